//! The part of a file about lead: kinds, and pieces weighed one by one, each of which becomes a kind.
//! Takes the settings under `lead`; gives the kinds with their families, or notes what is wrong.
//! Does not know the mounts on which lead goes.

use std::ops::Range;

use super::bounds;
use super::{Kind, Rules, Within};
use crate::diagnosis::Fault;
use crate::document::{Fields, Value, written_mass};
use crate::units::{Length, Mass};

/// One setting under `lead`: a kind, or pieces weighed one by one, each of which is a kind.
pub(super) struct Family<'r> {
    pub(super) name: String,
    pub(super) value: Value<'r>,
    pub(super) kinds: Range<usize>,
    pub(super) thickness: Option<Length>,
    has_bolts: bool,
    pub(super) pattern: Option<String>,
}

/// The lead in the box and on the kart. A kind that could not be read keeps its name, so that mounts and
/// lists may mention it.
#[derive(Default)]
pub(super) struct LeadBox<'r> {
    /// Whether `lead` is there but no list of kinds: then no name can be called wrong.
    pub(super) unreadable: bool,
    pub(super) families: Vec<Family<'r>>,
    pub(super) names: Vec<String>,
    pub(super) kinds: Vec<Option<Kind>>,
}

impl<'r> LeadBox<'r> {
    pub(super) fn family(&self, kind: usize) -> &Family<'r> {
        let index = self.families.partition_point(|family| family.kinds.end <= kind);
        &self.families[index]
    }

    /// Names of families and of their single pieces.
    pub(super) fn all_names(&self) -> impl Iterator<Item = &str> + Clone {
        let single =
            |family: &&Family| family.kinds.len() == 1 && self.names[family.kinds.start] == family.name;
        let families = self.families.iter().filter(move |family| !single(family));
        families.map(|family| family.name.as_str()).chain(self.names.iter().map(String::as_str))
    }
}

/// Reads `lead`.
pub(super) fn lead<'r>(
    value: Option<&Value<'r>>,
    rules: Option<&Rules>,
    within: Option<&Within>,
) -> LeadBox<'r> {
    let Some(value) = value.filter(|value| !value.is_null()) else { return LeadBox::default() };
    read_box(value, Stock::Owned, rules, within, |_, _| ())
}

/// Reads sizes that can be bought, each of which is one kind; hands over each with its price.
pub(super) fn sizes<'r>(
    value: &Value<'r>,
    rules: Option<&Rules>,
    within: Option<&Within>,
    priced: impl FnMut(&Value<'r>, Option<Value<'r>>),
) -> LeadBox<'r> {
    read_box(value, Stock::ForSale, rules, within, priced)
}

/// Whether lead is there or can be had.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stock {
    Owned,
    ForSale,
}

impl Stock {
    const fn example(self) -> &'static str {
        match self {
            Stock::Owned => "block: {mass: 5 kg, count: 2}",
            Stock::ForSale => "block: {mass: 5 kg, price: 20, most: 2}",
        }
    }
}

fn read_box<'r>(
    value: &Value<'r>,
    which: Stock,
    rules: Option<&Rules>,
    within: Option<&Within>,
    mut priced: impl FnMut(&Value<'r>, Option<Value<'r>>),
) -> LeadBox<'r> {
    let within = &within.cloned().unwrap_or_default();
    let mut lead = LeadBox::default();
    let (key, example) = match which {
        Stock::Owned => ("lead", "lead: {block: {mass: 5 kg, count: 2}}"),
        Stock::ForSale => ("buy", "buy: {block: {mass: 5 kg, price: 20, most: 2}}"),
    };
    let Some(fields) = value.settings(key, example) else {
        lead.unreadable = true;
        return lead;
    };
    for value in fields.entries() {
        if let Some(name) = value.key_as_name(key) {
            let price = family(&mut lead, name, &value, which, within);
            priced(&value, price);
        }
    }
    if lead.names.len() > bounds::MOST_KINDS {
        let (most, found) = (bounds::MOST_KINDS, lead.names.len());
        value.note_key(Fault::TooMany { what: "kinds of lead and weighed pieces", most, found });
        // Every list of lead has a cell for each kind on each mount: keep them few.
        return LeadBox { unreadable: true, ..LeadBox::default() };
    }
    named_once(&lead);
    let total: f64 = lead.kinds.iter().flatten().map(|kind| kind.mass.kg() * f64::from(kind.count)).sum();
    if total > bounds::ALL_LEAD_KG {
        let most = written_mass(Mass::from_kg(bounds::ALL_LEAD_KG), fields.reading().units());
        value.note_key(Fault::TooMuchLead { most });
        // Their masses could not be added up.
        lead.kinds.fill(None);
    }
    // One bolt at least goes through every piece; only a rule that wants more needs to know how many.
    if rules.and_then(|rules| rules.fewest_bolts_per_piece).is_some_and(|least| least > 1) {
        for family in lead.families.iter().filter(|family| !family.has_bolts) {
            family.value.note_key(Fault::KindBoltsMissing { kind: family.name.clone() });
        }
    }
    lead
}

/// Gives the price of what is for sale, if there is one.
fn family<'r>(
    lead: &mut LeadBox<'r>,
    name: String,
    value: &Value<'r>,
    which: Stock,
    within: &Within,
) -> Option<Value<'r>> {
    let start = lead.names.len();
    let fields = value.settings(name.clone(), which.example());
    let mut family = Family {
        name,
        value: value.clone(),
        kinds: start..start + 1,
        thickness: None,
        has_bolts: true,
        pattern: None,
    };
    let Some(fields) = fields else {
        lead.names.push(family.name.clone());
        lead.kinds.push(None);
        lead.families.push(family);
        return None;
    };
    let price = if which == Stock::ForSale { fields.value("price") } else { None };
    family.thickness = fields.value("thickness").and_then(|value| value.length(bounds::THICKNESS));
    let quick = match which {
        Stock::Owned => fields.value("quick").map_or(Some(true), |value| value.boolean()),
        Stock::ForSale => Some(true),
    };
    let bolts = fields.value("bolts");
    family.has_bolts = bolts.is_some();
    let bolts = bolts.and_then(|value| value.count(0, bounds::MOST_BOLTS));
    family.pattern = fields.value("pattern").and_then(|value| value.name());
    let pieces = match which {
        Stock::Owned => pieces(&fields, &family.name),
        Stock::ForSale => vec![(family.name.clone(), counted(&fields, "most", "most: 2"))],
    };
    let own = fields.value("within").and_then(|value| value.mass(bounds::WITHIN_MASS));
    let weighed = which == Stock::Owned && fields.value("weighed").is_some();
    let nominal = |mass: Mass| Mass::from_kg(mass.kg() * within.nominal_lead_percent / 100.0);
    let within =
        |mass: Mass| own.unwrap_or_else(|| if weighed { within.weighed_lead } else { nominal(mass) });
    fields.finish();
    let thickness = family.thickness.unwrap_or(Length::ZERO);
    for (name, piece) in pieces {
        lead.kinds.push(piece.map(|(mass, count)| Kind {
            name: name.clone(),
            mass,
            count,
            thickness,
            bolts,
            within: within(mass),
            // A flag that could not be read has been noted.
            quick: quick.unwrap_or(true),
        }));
        lead.names.push(name);
    }
    family.kinds.end = lead.names.len();
    lead.families.push(family);
    price
}

/// Mass and number of a kind.
fn counted(fields: &Fields, key: &'static str, example: &'static str) -> Option<(Mass, u32)> {
    let mass = fields.required("mass", "mass: 5 kg").and_then(|mass| mass.mass(bounds::PIECE));
    let count = fields.required(key, example).and_then(|count| count.count(0, bounds::MOST_PIECES));
    mass.zip(count)
}

/// Mass and count of each kind of a family, with its name.
fn pieces(fields: &Fields, name: &str) -> Vec<(String, Option<(Mass, u32)>)> {
    let Some(weighed) = fields.value("weighed") else {
        return vec![(name.into(), counted(fields, "count", "count: 2"))];
    };
    for other in ["mass", "count"] {
        if let Some(value) = fields.value(other) {
            value.note_key(Fault::BothGiven { first: "weighed", second: other });
        }
    }
    let items = weighed.list("weighed: [2.013 kg, 1.987 kg]").unwrap_or_default();
    let piece = |(number, item): (usize, &Value)| {
        (format!("{name} {number}"), item.mass(bounds::PIECE).map(|mass| (mass, 1)))
    };
    (1..).zip(&items).map(piece).collect()
}

/// `puck 1` may be a kind of its own or a piece of `puck`, but not both.
fn named_once(lead: &LeadBox) {
    for family in &lead.families {
        for kind in family.kinds.clone() {
            let clash = lead.families.iter().find(|other| {
                other.name == lead.names[kind] && other.kinds != family.kinds && family.name != other.name
            });
            if let Some(clash) = clash {
                let (name, family) = (clash.name.clone(), family.name.clone());
                clash.value.note_key(Fault::KindTwice { name, family });
            }
        }
    }
}
