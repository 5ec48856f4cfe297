//! The part of a file about lead: kinds, and pieces weighed one by one, each of which becomes a kind.

use std::ops::Range;

use super::{Kind, Rules, Within, bounds, keys};
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::form::Form;
use crate::document::{Given, Value, written_mass};
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

/// What `lead` says.
pub(super) fn lead<'r>(given: &Given<'r, Value<'r>>, rules: Option<&Rules>, within: &Within) -> LeadBox<'r> {
    let Some(value) = given.value.as_ref().filter(|value| value.is_list()) else {
        let named = given.clone().then(|value| value.named("{block: {mass: 5 kg, count: 2}}"));
        return read_box(&named, "lead", rules, within, owned);
    };
    // Pieces that are only listed by their masses are called by them.
    let mut kinds: Vec<(Value, Mass, u32)> = Vec::new();
    let mut right = true;
    for item in value.list("").unwrap_or_default() {
        match keys::PIECE.read(&item) {
            Some(mass) => match kinds.iter_mut().find(|(_, other, _)| *other == mass) {
                Some((_, _, count)) => *count += 1,
                None => kinds.push((item, mass, 1)),
            },
            None => right = false,
        }
    }
    let mut lead = LeadBox { unreadable: !right, ..LeadBox::default() };
    for (item, mass, count) in kinds {
        let name = written_mass(mass, item.units());
        let pieces = vec![(name.clone(), Some((mass, count)))];
        lead.add(name, &item, Some(Stock { piece: None, quick: true, weighed: false, pieces }), within);
    }
    checked(lead, value, rules)
}

/// Sizes that can be bought, each of which is one kind; hands over each with its price.
pub(super) fn sizes<'r>(
    given: &Given<'r, Vec<Value<'r>>>,
    rules: Option<&Rules>,
    within: &Within,
    mut priced: impl FnMut(&Value<'r>, Option<Given<'r, f64>>),
) -> LeadBox<'r> {
    read_box(given, "buy", rules, within, |value, name| {
        let size = keys::Size::read(value);
        priced(value, size.as_ref().map(|size| size.price.clone()));
        let size = size?;
        let pieces = vec![(name.to_owned(), size.mass.read.zip(size.most.read))];
        Some(Stock { piece: Some(size.piece), quick: true, weighed: false, pieces })
    })
}

/// One setting as read, whether it is there or can be had.
struct Stock<'r> {
    piece: Option<keys::Piece<'r>>,
    quick: bool,
    weighed: bool,
    /// Mass and number of each kind, with its name.
    pieces: Vec<(String, Option<(Mass, u32)>)>,
}

fn owned<'r>(value: &Value<'r>, name: &str) -> Option<Stock<'r>> {
    let lead = keys::Lead::read(value)?;
    let weighed = lead.weighed.value.is_some();
    let pieces = if weighed {
        let piece = |(number, item): (usize, Value)| {
            (format!("{name} {number}"), keys::PIECE.read(&item).map(|mass| (mass, 1)))
        };
        (1..).zip(lead.weighed.read.unwrap_or_default()).map(piece).collect()
    } else {
        vec![(name.to_owned(), lead.mass.read.zip(lead.count.or(1)))]
    };
    // A flag that could not be read has been noted.
    Some(Stock { piece: Some(lead.piece), quick: lead.quick.or(true).unwrap_or(true), weighed, pieces })
}

fn read_box<'r>(
    given: &Given<'r, Vec<Value<'r>>>,
    key: &str,
    rules: Option<&Rules>,
    within: &Within,
    mut one: impl FnMut(&Value<'r>, &str) -> Option<Stock<'r>>,
) -> LeadBox<'r> {
    let mut lead = LeadBox::default();
    let Some(value) = &given.value else { return lead };
    let Some(entries) = &given.read else { return LeadBox { unreadable: true, ..lead } };
    for value in entries {
        if let Some(name) = value.key_as_name(key) {
            let stock = one(value, &name);
            lead.add(name, value, stock, within);
        }
    }
    checked(lead, value, rules)
}

/// Notes what is wrong with all of it together.
fn checked<'r>(mut lead: LeadBox<'r>, value: &Value<'r>, rules: Option<&Rules>) -> LeadBox<'r> {
    if !value.at_most(bounds::MOST_KINDS, "kinds of lead and weighed pieces", lead.names.len()) {
        // Every list of lead has a cell for each kind on each mount: keep them few.
        return LeadBox { unreadable: true, ..LeadBox::default() };
    }
    named_once(&lead);
    let total: f64 = lead.kinds.iter().flatten().map(|kind| kind.mass.kg() * f64::from(kind.count)).sum();
    if total > bounds::ALL_LEAD_KG {
        let most = written_mass(Mass::from_kg(bounds::ALL_LEAD_KG), value.units());
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

impl<'r> LeadBox<'r> {
    /// Adds one setting, or only its name if it could not be read.
    fn add(&mut self, name: String, value: &Value<'r>, stock: Option<Stock<'r>>, within: &Within) {
        let start = self.names.len();
        let mut family = Family {
            name,
            value: value.clone(),
            kinds: start..start + 1,
            thickness: None,
            has_bolts: true,
            pattern: None,
        };
        if let Some(Stock { piece, quick, weighed, pieces }) = stock {
            let (bolts, own) = match piece {
                Some(piece) => {
                    family.thickness = piece.thickness.read;
                    family.pattern = piece.pattern.read;
                    (piece.bolts, piece.within.read)
                }
                None => (Given { value: None, read: None }, None),
            };
            family.has_bolts = bolts.value.is_some();
            let nominal = |mass: Mass| Mass::from_kg(mass.kg() * within.nominal_lead_percent / 100.0);
            let usual = |mass| if weighed { within.weighed_lead } else { nominal(mass) };
            for (name, piece_of) in pieces {
                self.kinds.push(piece_of.map(|(mass, count)| Kind {
                    name: name.clone(),
                    mass,
                    count,
                    thickness: family.thickness.unwrap_or(Length::ZERO),
                    bolts: bolts.read,
                    within: own.unwrap_or_else(|| usual(mass)),
                    quick,
                }));
                self.names.push(name);
            }
        } else {
            self.names.push(family.name.clone());
            self.kinds.push(None);
        }
        family.kinds.end = self.names.len();
        self.families.push(family);
    }
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
