//! A weighing that is typed, behind the file to which it belongs.

use super::fragment::{self, TypedWeighing};
use crate::date::Date;
use crate::diagnosis::Refusal;
use crate::document::Document;
use crate::scenario::{Scenario, line};
use crate::units::UnitSystem;

/// As typed.
#[derive(Clone, Debug, Default)]
pub struct Typed {
    /// LF RF LR RR of one set after the other.
    pub readings: Vec<String>,
    /// Of bare numbers; those of the file if nothing is said.
    pub units: Option<UnitSystem>,
    pub driver: Option<String>,
    pub fuel: Option<String>,
    pub lead: Option<String>,
    pub turned: Option<String>,
    pub set_up: Option<String>,
    pub date: String,
    pub official: Option<String>,
    pub note: Option<String>,
}

impl Typed {
    /// With what everybody would choose where nothing was said.
    pub fn weighing(&self, scenario: &Scenario) -> Result<TypedWeighing, Refusal> {
        let mut sets = Vec::new();
        for (index, set) in self.readings.chunks_exact(4).enumerate() {
            let mut written = <[String; 4]>::default();
            for ((slot, typed), corner) in written.iter_mut().zip(set).zip(["LF", "RF", "LR", "RR"]) {
                let corner =
                    if index == 0 { corner.to_owned() } else { format!("{corner} of set {}", index + 1) };
                *slot = self.mass(typed, &corner, scenario)?;
            }
            sets.push(written);
        }
        if self.turned.is_some() && sets.len() < 2 {
            return Err(Refusal::new(
                "a kart that is turned on its pads tells its twist only beside a straight set",
                "type the four readings of a straight set first, then the four of the turned one, by pad",
            ));
        }
        if let (true, Some(_)) = (sets.is_empty(), self.set_up.as_ref()) {
            return Err(Refusal::new(
                "`--set-up` is about pads, and the officials' total alone has none",
                "leave `--set-up` away",
            ));
        }
        let date = self.date.clone();
        if Date::from_text(&date).is_none() {
            return Err(Refusal::new(
                format!("`--date` must be a day, found `{date}`"),
                "for example `--date 2026-11-28`",
            ));
        }
        let driver = match self.driver.as_deref() {
            Some("none") => None,
            Some(name) => Some(scenario.driver_called(name).map_err(|fault| Refusal::of_fault(&fault))?),
            None => scenario.driver(),
        };
        if self.fuel.is_none() && !scenario.tanks().is_empty() {
            return Err(Refusal::new(
                "nothing tells how much fuel was aboard",
                "add `--fuel start`, `--fuel finish`, `--fuel none` or an amount such as `--fuel 3L`",
            ));
        }
        let official = self.official.as_ref().map(|typed| self.mass(typed, "--official", scenario));
        Ok(TypedWeighing {
            date,
            sets,
            turned: self.turned.clone(),
            driver,
            fuel: self.fuel.clone(),
            lead: self.lead.clone(),
            set_up: self.set_up.clone(),
            official: official.transpose()?,
            note: self.note.clone(),
        })
    }

    /// A mass as a file may have it; a comma is taken for a dot, as on this line it can mean nothing else.
    fn mass(&self, typed: &str, what: &str, scenario: &Scenario) -> Result<String, Refusal> {
        let dotted = typed.trim().replacen(',', ".", 1);
        let units = self.units.unwrap_or(scenario.units());
        line::reading(&dotted, what, Some(units)).map_err(|refused| refused.refusal(typed, ["kg", "lb"]))?;
        let is_bare = dotted.ends_with(|last: char| last.is_ascii_digit() || last == '.');
        let unit = match units {
            _ if !is_bare || units == scenario.units() => "",
            UnitSystem::KgMm => " kg",
            UnitSystem::LbIn => " lb",
        };
        Ok(format!("{dotted}{unit}"))
    }
}

/// The text of a file with that weighing behind its others, and the lines that are new; none if it is laid out in a way that
/// cannot be changed safely.
pub fn added(document: &Document, scenario: &Scenario, weighing: &TypedWeighing) -> (String, Option<String>) {
    let lines = fragment::weighing(scenario, weighing);
    let text = document.with_item(["weighing", "weighings"], &lines);
    let text = text.map(|text| refitted(document, weighing, text));
    (lines, text)
}

/// The text in which what is fitted now is what was aboard, if the file says what is fitted and something else was aboard.
fn refitted(known: &Document, weighing: &TypedWeighing, text: String) -> String {
    let lead = weighing.lead.as_ref().filter(|_| known.place_of("fitted").is_some());
    let changed = lead.and_then(|lead| {
        let document = Document::from_text(&text).ok()?;
        document.with_block("fitted", &format!("fitted: {lead}\n"))
    });
    changed.unwrap_or(text)
}
