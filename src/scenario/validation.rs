//! From what was written to what is valid: every part read, then compared with the others.
//! Takes a document; gives a scenario with warnings, or everything that is wrong with the file.
//! Does not know the rules of each part, which stand beside it.

use super::aboard::{self, LeadWords, Names};
use super::drivers::{self, ListedDriver};
use super::history::History;
use super::lead::LeadBox;
use super::mounts::{self, Boxes, Mounts, on_mounts};
use super::tanks::{self, ListedTank};
use super::weighed::{self, ListedWeighing};
use super::{
    Adjuster, Beliefs, NONE, Scenario, Tank, Weighing, adjusters, class, consistency, doubts, heights, kart,
    lead, pads, pit, trip,
};
use crate::counts::Counts;
use crate::diagnosis::{Diagnosis, Fault};
use crate::document::{Document, Fields, Noted, Reading, Value};
use crate::goal::Preferences;
use crate::statics::Chassis;
use crate::units::UnitSystem;

impl Scenario {
    /// A scenario and its warnings, or everything that is wrong, in the order of the file.
    pub fn from_document(document: &Document) -> Result<(Scenario, Vec<Diagnosis>), Vec<Diagnosis>> {
        let reading = Reading::new(document);
        let scenario = reading.root().and_then(|root| read(&reading, root));
        let diagnoses = reading.diagnoses();
        match scenario.filter(|_| !reading.failed()) {
            Some(scenario) => Ok((scenario, diagnoses)),
            None => Err(diagnoses),
        }
    }

    /// The same from the text of a file.
    ///
    /// ```
    /// use kentledge::document::starter;
    /// use kentledge::scenario::Scenario;
    /// use kentledge::units::{Mass, UnitSystem};
    ///
    /// let text = starter(UnitSystem::KgMm);
    /// let (scenario, warnings) = Scenario::from_yaml(text).map_err(|errors| format!("{errors:?}"))?;
    /// assert!(warnings.is_empty());
    /// assert_eq!(scenario.class().minimum, Mass::from_kg(156.0));
    ///
    /// let errors = Scenario::from_yaml(&text.replace("minimum: 156", "minimum: 156,5")).unwrap_err();
    /// assert_eq!(errors[0].to_string(), "error[K005]: weights need a dot, not a comma");
    /// # Ok::<(), String>(())
    /// ```
    pub fn from_yaml(text: &str) -> Result<(Scenario, Vec<Diagnosis>), Vec<Diagnosis>> {
        Scenario::from_document(&Document::from_text(text)?)
    }
}

fn read(reading: &Reading, root: Fields) -> Option<Scenario> {
    let units = units(&root);
    let kart_value = root.required("kart", "kart:");
    // Without units every bound would be broken; the missing line is the one thing to say.
    if units.is_none() || kart::limits_are_lifted(kart_value.clone()) {
        reading.lift_limits();
    }
    let listed_kart = kart_value.as_ref().and_then(kart::kart);
    let kart = listed_kart.as_ref().map(|listed| &listed.kart);
    let chassis = kart.map(|kart| &kart.chassis);
    let has_seat = kart_value.as_ref().is_some_and(|kart| kart.peek("seat").is_some());
    let class_value = root.required("class", "class: {name: senior, minimum: 160 kg}");
    let class = class_value.as_ref().and_then(class::class);
    let targets_value = root.value("targets");
    let targets = targets_value.as_ref().map(|value| class::targets(value, chassis)).unwrap_or_default();
    let preferences = preferences(&root);

    let trip = trip::Early::new(&root, class.as_ref());
    let (pads, within, inspection, height) = pads::read(&root);
    let trip_value = trip.value.clone();
    let (lead, listed, mounts) = lead_and_mounts(&root, &trip, within.as_ref(), chassis, has_seat);
    let fitted = fitted(&root, &lead, &mounts);

    let driver_entries = drivers::driver_names(&root);
    let driver_names: Option<Vec<String>> =
        driver_entries.as_ref().map(|entries| entries.iter().map(|(name, _)| name.clone()).collect());
    let today = root.value("driver").map(|value| aboard::driver_named(&value, driver_names.as_deref()));
    let pit = pit::pit(root.value("pit").as_ref(), driver_names.as_deref());
    let trip = trip.trip(&trip::Parts {
        drivers: driver_names.as_deref(),
        class: class.as_ref(),
        targets: &targets,
        chassis,
        lead: &lead,
        mounts: &mounts,
        listed: &listed,
    });
    let tanks = tanks::tanks(root.value("fuel").as_ref(), chassis);
    let adjusters_value = root.value("adjusters");
    let adjusters = all_adjusters(adjusters_value.as_ref(), listed_kart.as_ref(), tanks.as_deref());
    let fitted = fitted.zip(adjusters.as_ref()).map(|(fitted, adjusters)| set_as_now(fitted, adjusters));
    let names = Names {
        drivers: driver_names.as_deref(),
        tanks: tanks.as_deref(),
        lead: &lead,
        mounts: &mounts,
        fitted: fitted.as_ref(),
        has_seat,
        seat: kart.and_then(|kart| kart.seat.as_ref()),
        adjusters: adjusters.as_deref(),
        lead_words: LeadWords::Usual,
        chassis,
    };
    let weighing_value = root.required("weighing", "weighing: {scales: ..., aboard: ...}");
    let main = weighing_value.as_ref().and_then(|value| weighed::weighing(value, &names));
    let drivers = all_drivers(driver_entries.as_deref(), &names, chassis);
    let history = History::listed(&root, &names);
    root.finish();

    // Parts that could not be read have said so; what follows compares whole parts.
    let complete_lead = lead.kinds.iter().cloned().collect::<Option<Vec<_>>>();
    let complete_mounts = mounts.read.iter().cloned().collect::<Option<Vec<_>>>();
    mounts_and_lead(&mounts, complete_mounts.as_deref(), &lead, complete_lead.as_deref(), fitted.as_ref());
    doubts::readings_look_swapped(main.as_ref(), &targets);
    consistency::targets_agree(&targets, class.as_ref(), targets_value.as_ref());
    let locks = Locks { mounts: &mounts, lead: complete_lead.as_deref(), fitted: fitted.as_ref() };
    locks.keep_to(reading, complete_mounts.as_deref(), class.as_ref(), class_value.as_ref(), &trip);
    let wish = heights::wished(targets_value.as_ref(), trip_value.as_ref(), &trip);
    heights::needed(wish.as_ref(), &mounts, tanks.as_deref(), drivers.as_deref(), main.as_ref());
    let (kinds, listed, main) = (complete_lead?, drivers?, main?);
    let drivers = compared(reading, &kinds, &listed, &main, history.settings());
    // Of several drivers none is chosen where the file chooses none.
    let driver = today.map_or_else(|| Some((listed.len() == 1).then_some(0)), |chosen| chosen.map(Some))?;
    let measured = measured(complete_mounts.as_ref()?, &listed, chassis?);
    let history = history.told(&measured, &names, chassis?, main.weighing.as_ref()?)?;
    let weighing = main.weighing?;
    let kart = listed_kart?.kart;
    let scenario = Scenario {
        units: units?,
        heights: height.map(|height| height.of(&weighing, &kart.chassis)),
        kart,
        class: class?,
        targets,
        weighing,
        drivers: drivers?,
        driver,
        tanks: complete_tanks(tanks?)?,
        adjusters: adjusters?,
        mounts: complete_mounts?,
        lead: kinds,
        fitted: fitted?,
        preferences: preferences?,
        further: history.further,
        after: history.after,
        measured: Box::new(measured),
        misread: history.misread,
        pads: pads?,
        within: within?,
        inspection: inspection?,
        pit: pit?,
        trip: trip.ok()?,
    };
    trip_in_range(&scenario, trip_value.as_ref());
    consistency::combinations(&scenario.adjusters, adjusters_value.as_ref().or(kart_value.as_ref()));
    let scenario = scenario.believing(&history.beliefs.unwrap_or_else(|| scenario.beliefs()));
    consistency::sums_in_range(&scenario, targets_value.as_ref().or(kart_value.as_ref()));
    Some(scenario)
}

/// The lead there is, the lead that can be bought, and the mounts, which may name both.
fn lead_and_mounts<'r>(
    root: &Fields<'r>,
    trip: &trip::Early<'r>,
    within: Option<&super::Within>,
    chassis: Option<&Chassis>,
    has_seat: bool,
) -> (LeadBox<'r>, trip::Listed<'r>, Mounts<'r>) {
    let rules = trip.rules.as_ref();
    let lead = lead::lead(root.value("lead").as_ref(), rules, within);
    let listed = trip::for_sale(trip.value.as_ref(), &lead, rules, within);
    let boxes = Boxes { lead: &lead, list: &listed.sizes };
    let mounts = mounts::mounts(root.value("mounts").as_ref(), boxes, rules, chassis, has_seat);
    (lead, listed, mounts)
}

/// Every driver; none if one of them could not be read. Each is read whatever the others are.
fn all_drivers<'r>(
    entries: Option<&[(String, Value<'r>)]>,
    names: &Names,
    chassis: Option<&Chassis>,
) -> Option<Vec<ListedDriver<'r>>> {
    let entries = entries.into_iter().flatten();
    let drivers: Vec<Option<ListedDriver>> =
        entries.map(|(name, value)| drivers::driver(name, value, names, chassis)).collect();
    drivers.into_iter().collect()
}

/// What is locked onto the kart.
struct Locks<'p, 'r> {
    mounts: &'p Mounts<'r>,
    lead: Option<&'p [super::Kind]>,
    fitted: Option<&'p Counts>,
}

impl Locks<'_, '_> {
    /// Notes where it breaks a limit of its mount, or a rule of the class or of a class of the trip.
    fn keep_to(
        &self,
        reading: &Reading,
        read: Option<&[super::Mount]>,
        class: Option<&super::Class>,
        class_value: Option<&Value>,
        trip: &Result<Option<super::Trip>, Noted>,
    ) {
        let (Some(kinds), Some(read), Some(fitted), Some(class)) = (self.lead, read, self.fitted, class)
        else {
            return;
        };
        let rules = class_value.and_then(|class| class.peek("rules"));
        consistency::locked(self.mounts, read, kinds, fitted, class, rules.as_ref());
        if let (Ok(Some(trip)), false) = (trip, reading.failed()) {
            for other in trip.classes.iter().filter(|other| other.rules != class.rules) {
                consistency::locked(self.mounts, read, kinds, fitted, other, class_value);
            }
        }
    }
}

/// Notes a trip whose sums the integer program could not hold.
fn trip_in_range(scenario: &Scenario, value: Option<&Value>) {
    if let (Some(trip), Some(value)) = (&scenario.trip, value)
        && !scenario.trip_fits(trip)
    {
        value.note_key(Fault::TooLargeTogether);
    }
}

/// What mounts, lead and what is fitted say about each other, however much of them could be read.
fn mounts_and_lead(
    mounts: &Mounts,
    read: Option<&[super::Mount]>,
    lead: &LeadBox,
    kinds: Option<&[super::Kind]>,
    fitted: Option<&Counts>,
) {
    let Some(read) = read else { return };
    consistency::same_places(mounts, read);
    doubts::sides_in_names(mounts, read);
    let Some(kinds) = kinds else { return };
    doubts::every_kind_fits(lead, kinds, read);
    if let Some(fitted) = fitted {
        doubts::fitted_within_limits(mounts, read, kinds, fitted);
    }
}

/// Where things act and how the kart twists before anything was learned.
fn measured(mounts: &[super::Mount], drivers: &[ListedDriver], chassis: &Chassis) -> Beliefs {
    Beliefs {
        mounts: mounts.iter().map(|mount| mount.place).collect(),
        drivers: drivers.iter().map(|driver| driver.acts).collect(),
        roll_share: chassis.roll_share,
        twist_rate_kg_per_mm: chassis.twist_rate_kg_per_mm,
    }
}

/// What is fitted, with the adjusters as they are set now.
fn set_as_now(fitted: Counts, adjusters: &[Adjuster]) -> Counts {
    let now: Vec<u16> = adjusters.iter().map(|adjuster| adjuster.now as u16).collect();
    fitted.with_settings(&now)
}

/// Adjusters of the kart, then those of the file.
fn all_adjusters(
    value: Option<&Value>,
    kart: Option<&kart::ListedKart>,
    tanks: Option<&[ListedTank]>,
) -> Option<Vec<Adjuster>> {
    let first = kart.map(|kart| kart.adjusters.as_slice()).unwrap_or_default();
    let tank_names: Option<Vec<String>> =
        tanks.map(|tanks| tanks.iter().map(|tank| tank.name.clone()).collect());
    let known = adjusters::Known { first, tanks: tank_names.as_deref() };
    let own = match value.filter(|value| !value.is_null()) {
        Some(value) => adjusters::adjusters(value, &known),
        None => Some(Vec::new()),
    };
    kart?;
    Some(first.iter().cloned().chain(own?).collect())
}

/// Reads for the sake of what is asked, not of the answer.
#[cfg(test)]
pub(super) fn read_all(reading: &Reading) {
    let _scenario = reading.root().and_then(|root| read(reading, root));
}

/// How the goals are wanted; as usual if the file does not say.
fn preferences(root: &Fields) -> Option<Preferences> {
    root.value("goals").map_or_else(|| Some(Preferences::default()), |goals| class::preferences(&goals))
}

/// What is bolted on now; nothing if the file does not say.
fn fitted(root: &Fields, lead: &LeadBox, mounts: &Mounts) -> Option<Counts> {
    match root.value("fitted").filter(|value| !value.is_null() && value.word() != Some(NONE)) {
        Some(value) => on_mounts(&value, "fitted", lead, mounts),
        None => Some(Counts::none(lead.names.len(), mounts.names.len())),
    }
}

fn units(root: &Fields) -> Option<UnitSystem> {
    let Some(value) = root.value("units").filter(|value| !value.is_null()) else {
        root.note(Fault::UnitsMissing);
        return None;
    };
    let known = [UnitSystem::KgMm, UnitSystem::LbIn];
    let found = value.word().and_then(|word| known.into_iter().find(|units| units.word() == word));
    match found {
        Some(units) => root.reading().set_units(units),
        None => value.note(Fault::UnitsUnknown { found: units_found(&value) }),
    }
    found
}

fn units_found(value: &Value) -> String {
    value.word().map_or_else(|| value.found(), str::to_owned)
}

/// Drivers and weighings held against each other.
fn compared<'l>(
    reading: &Reading,
    lead: &[super::Kind],
    listed: &'l [ListedDriver<'l>],
    main: &'l ListedWeighing<'l>,
    later: impl Iterator<Item = &'l ListedWeighing<'l>>,
) -> Option<Vec<super::Driver>> {
    let weighing = main.weighing.as_ref()?;
    // Sums of lead that is out of stock or beyond all bounds could leave the range of a mass.
    let drivers = consistency::drivers(listed, main, lead, reading)?;
    consistency::places_known(listed, weighing);
    let own = listed.iter().filter_map(|driver| driver.weighing.as_ref());
    let weighings: Vec<(&ListedWeighing, &Weighing)> = std::iter::once(main)
        .chain(own)
        .chain(later)
        .filter_map(|one| Some((one, one.weighing.as_ref()?)))
        .collect();
    consistency::parts_fit(&weighings, &drivers, lead, reading);
    Some(drivers)
}

fn complete_tanks(tanks: Vec<ListedTank>) -> Option<Vec<Tank>> {
    tanks.into_iter().map(|listed| listed.tank).collect()
}
