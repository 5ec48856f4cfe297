//! From what was written to what is valid: every part read, then compared with the others.

use super::aboard::{self, Names};
use super::drivers::{self, ListedDriver};
use super::history::{self, ListedWeighing};
use super::kart::{self, ListedTank};
use super::lead::LeadBox;
use super::mounts::{self, Boxes, Mounts, on_mounts};
use super::{
    Aboard, Adjuster, Beliefs, Inspection, NONE, Pads, Pit, Scenario, Tank, Weighing, Within, adjusters,
    class, consistency, doubts, heights, keys, lead, pit, trip,
};
use crate::counts::Counts;
use crate::diagnosis::{Diagnosis, Fault};
use crate::document::block::Block;
use crate::document::{Document, Given, Reading, Value, every};
use crate::goal::Preferences;
use crate::statics::Chassis;
use crate::tasks::learn;
use crate::units::UnitSystem;

impl Scenario {
    /// A scenario and its warnings, or everything that is wrong, in the order of the file.
    pub fn from_document(document: &Document) -> Result<(Scenario, Vec<Diagnosis>), Vec<Diagnosis>> {
        let reading = Reading::new(document);
        let scenario = read(&reading);
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

fn read(reading: &Reading) -> Option<Scenario> {
    let (file, units) = file(reading)?;
    let (kart_value, has_seat) =
        (file.kart.value, file.kart.read.as_ref().is_some_and(|k| k.seat.value.is_some()));
    let listed_kart = file.kart.read.and_then(kart::kart);
    let kart = listed_kart.as_ref().map(|listed| &listed.kart);
    let (chassis, seat) = (kart.map(|kart| &kart.chassis), kart.and_then(|kart| kart.seat.as_ref()));
    let class = file.class.read.and_then(class::class);
    let (class_value, targets_value) = (file.class.value, file.targets.value);
    let targets = file.targets.read.map(|given| class::targets(given, chassis)).unwrap_or_default();
    let preferences = file.goals.read.map_or_else(|| Some(Preferences::default()), class::preferences);

    let trip_value = file.trip.value.clone();
    let trip = trip::Early::new(file.trip, class.as_ref());
    let pads = Pads::told(file.pads.read, units.unwrap_or(UnitSystem::KgMm));
    let within = Within::told(file.measured_within.read, listed_kart.as_ref().map(|listed| listed.frame));
    let inspection = Inspection::told(file.inspection.read, units.unwrap_or(UnitSystem::KgMm));
    let height = file.height.read.and_then(heights::heights);
    let lead = lead::lead(&file.lead, trip.rules.as_ref(), &within);
    let listed = trip.for_sale(&lead, &within);
    let boxes = Boxes { lead: &lead, list: &listed.sizes };
    let mounts = mounts::mounts(file.mounts, boxes, trip.rules.as_ref(), chassis, (has_seat, seat));

    let (drivers_value, adjusters_value) = (file.drivers.value.clone(), file.adjusters.value.clone());
    let entries = drivers::driver_names(file.drivers, &reading.root());
    let driver_names = entries.as_ref().map(drivers::Entries::names);
    let today = file.driver.then(|value| aboard::driver_named(&value, driver_names.as_deref()));
    let pit = file.pit.then(|given| pit::pit(given, driver_names.as_deref())).or(Pit::default());
    let trip = trip.trip(&trip::Parts {
        drivers: driver_names.as_deref(),
        class: class.as_ref(),
        targets: &targets,
        chassis,
        lead: &lead,
        mounts: &mounts,
        listed: &listed,
    });
    let tanks = kart::tanks(&file.fuel, chassis);
    let adjusters = all_adjusters(file.adjusters, listed_kart.as_ref(), tanks.as_deref());
    let names = Names {
        drivers: driver_names.as_deref(),
        only_driver: entries.as_ref().is_some_and(drivers::Entries::is_one),
        tanks: tanks.as_deref(),
        lead: &lead,
        mounts: &mounts,
        has_seat,
        seat,
        adjusters: adjusters.as_deref(),
        chassis,
    };
    let history = history::history(file.weighing, &names).unwrap_or_default();
    let fitted = fitted(&file.fitted, &names, history.last_aboard(), adjusters.as_deref());
    let drivers = entries.as_ref().and_then(|entries| all_drivers(entries, &names, chassis));

    // Parts that could not be read have said so; what follows compares whole parts.
    let complete_lead = lead.kinds.iter().cloned().collect::<Option<Vec<_>>>();
    let complete_mounts = mounts.read.iter().cloned().collect::<Option<Vec<_>>>();
    mounts_and_lead(&mounts, complete_mounts.as_deref(), &lead, complete_lead.as_deref(), fitted.as_ref());
    history.raced().for_each(|weighing| doubts::readings_look_swapped(weighing, &targets));
    consistency::targets_agree(&targets, class.as_ref(), targets_value.as_ref());
    let locks = Locks { mounts: &mounts, lead: complete_lead.as_deref(), fitted: fitted.as_ref() };
    locks.keep_to(reading, complete_mounts.as_deref(), class.as_ref(), class_value.as_ref(), trip.as_ref());
    let wish = heights::wished(targets_value.as_ref(), trip_value.as_ref(), trip.as_ref());
    heights::needed(wish.as_ref(), &mounts, tanks.as_deref(), drivers.as_deref(), history.first());
    let (kinds, listed) = (complete_lead?, drivers?);
    let drivers = compared(reading, &kinds, &listed, &history.listed);
    let measured = measured(complete_mounts.as_ref()?, &listed, chassis?);
    let learned = |given| history::learned(given, &measured, &names, chassis?, history.listed.len());
    let learned = file.learned.then(learned).optional()?;
    let (first, last) = (history.first()?, history.last()?.clone());
    let driver = driver_of_today(&today, &listed, history.last_aboard()?, drivers_value.as_ref())?;
    let kart = listed_kart?.kart;
    let scenario = Scenario {
        units: units?,
        heights: height.map(|height| height.of(first, &kart.chassis)),
        kart,
        class: class?,
        targets,
        weighing: last,
        drivers: drivers?,
        unweighed: entries?.unweighed.into_iter().map(|(name, _)| name).collect(),
        driver,
        tanks: complete_tanks(tanks?)?,
        adjusters: adjusters?,
        mounts: complete_mounts?,
        lead: kinds,
        fitted: fitted?,
        preferences: preferences?,
        weighings: history.all()?,
        official_totals: history.totals()?,
        own_weighings: listed.iter().map(ListedDriver::own_weighing).collect(),
        measured: Box::new(measured),
        misread: learned.as_ref().and_then(|learned| learned.misread),
        taught: Vec::new(),
        pads,
        within,
        inspection,
        pit: pit?,
        trip,
    };
    trip_in_range(&scenario, trip_value.as_ref());
    consistency::combinations(&scenario.adjusters, adjusters_value.as_ref().or(kart_value.as_ref()));
    let scenario = with_learned(&scenario, learned).known_now();
    consistency::sums_in_range(&scenario, targets_value.as_ref().or(kart_value.as_ref()));
    Some(scenario)
}

/// The scenario as its weighings have taught it, with what they left open.
fn with_learned(scenario: &Scenario, learned: Option<history::Learned>) -> Scenario {
    let Some(learned) = learned else { return scenario.believing(&scenario.beliefs()) };
    let taught = learn::taught(scenario, learned.weighings);
    Scenario { taught, ..scenario.believing(&learned.beliefs) }
}

/// Every driver of whom something is told; none if one could not be read. Each is read whatever the others are.
fn all_drivers<'r>(
    entries: &drivers::Entries<'r>,
    names: &Names,
    chassis: Option<&Chassis>,
) -> Option<Vec<ListedDriver<'r>>> {
    let driver = |(name, value): &(String, Value<'r>)| drivers::driver(name, value, names, chassis);
    let read = every(entries.known.iter().map(driver));
    every(entries.unweighed.iter().filter(|(_, value)| !value.is_null()).map(driver))?;
    read
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
        trip: Option<&super::Trip>,
    ) {
        let (Some(kinds), Some(read), Some(fitted), Some(class)) = (self.lead, read, self.fitted, class)
        else {
            return;
        };
        let rules = class_value.and_then(|class| class.peek("rules"));
        consistency::locked(self.mounts, read, kinds, fitted, class, rules.as_ref());
        if let (Some(trip), false) = (trip, reading.failed()) {
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

/// Adjusters of the kart, then those of the file.
fn all_adjusters(
    given: Given<Vec<Value>>,
    kart: Option<&kart::ListedKart>,
    tanks: Option<&[ListedTank]>,
) -> Option<Vec<Adjuster>> {
    let first = kart.map(|kart| kart.adjusters.as_slice()).unwrap_or_default();
    let tank_names: Option<Vec<String>> =
        tanks.map(|tanks| tanks.iter().map(|tank| tank.name.clone()).collect());
    let own = adjusters::adjusters(given, &adjusters::Known { first, tanks: tank_names.as_deref() });
    kart?;
    Some(first.iter().cloned().chain(own?).collect())
}

/// What is bolted on now, with the adjusters as they are set now; what was at the last weighing if the file does not say.
fn fitted(
    given: &Given<Value>,
    names: &Names,
    last: Option<&Aboard>,
    adjusters: Option<&[Adjuster]>,
) -> Option<Counts> {
    let (lead, mounts) = (names.lead, names.mounts);
    let fitted = match &given.value {
        Some(value) if value.word() == Some(NONE) => Counts::none(lead.names.len(), mounts.names.len()),
        Some(value) => on_mounts(value, lead, mounts)?,
        None => last?.lead.clone(),
    };
    let now: Vec<u16> = adjusters?.iter().map(|adjuster| adjuster.now as u16).collect();
    Some(fitted.with_settings(&now))
}

/// For whom to plan: whom the file names, the only one there is, or who sat in the kart last.
#[expect(clippy::option_option, reason = "a kart without drivers has none")]
fn driver_of_today(
    named: &Given<usize>,
    listed: &[ListedDriver],
    last: &Aboard,
    drivers: Option<&Value>,
) -> Option<Option<usize>> {
    if named.value.is_some() {
        return named.read.map(Some);
    }
    let found = if listed.len() > 1 { last.driver } else { (!listed.is_empty()).then_some(0) };
    if found.is_none() && listed.len() > 1 {
        let names = listed.iter().map(|driver| driver.name.clone()).collect();
        drivers?.note_key(Fault::NoDriverChosen { drivers: names });
        return None;
    }
    Some(found)
}

/// Every key of the file, read in its units and within the bounds that it wants.
fn file<'r>(reading: &'r Reading<'r>) -> Option<(keys::File<'r>, Option<UnitSystem>)> {
    let root = reading.root();
    let word = |value: Option<Value>| value.and_then(|value| value.word().map(str::to_owned));
    let known = [("kg", UnitSystem::KgMm), ("lb", UnitSystem::LbIn)];
    let units = word(root.peek("units"))
        .and_then(|word| known.into_iter().find(|(short, one)| *short == word || one.word() == word));
    let units = units.map(|(_, units)| units);
    if let Some(units) = units {
        reading.set_units(units);
    }
    // Without units every bound would be broken; the missing line is the one thing to say.
    if units.is_none()
        || word(root.peek("kart").and_then(|kart| kart.peek("limits"))).as_deref() == Some("off")
    {
        reading.lift_limits();
    }
    let file = keys::File::read(&root)?;
    match file.units.value.as_ref().filter(|value| !value.is_null()) {
        None => root.note_key(Fault::UnitsMissing),
        Some(value) if units.is_none() => {
            let found = value.word().map_or_else(|| value.found(), str::to_owned);
            value.note(Fault::UnitsUnknown { found });
        }
        Some(_) => {}
    }
    Some((file, units))
}

/// Drivers and weighings held against each other.
fn compared<'l>(
    reading: &Reading,
    lead: &[super::Kind],
    listed: &'l [ListedDriver<'l>],
    weighings: &'l [ListedWeighing<'l>],
) -> Option<Vec<super::Driver>> {
    let told = |one: &'l ListedWeighing<'l>| Some((one, one.weighing.as_ref()?));
    let all: Vec<(&ListedWeighing, &Weighing)> = weighings.iter().filter_map(told).collect();
    let (mut raced, learning): (Vec<&Weighing>, Vec<&Weighing>) =
        all.iter().map(|(_, weighing)| *weighing).partition(|one| one.as_raced);
    raced.extend(learning);
    // Sums of lead that is out of stock or beyond all bounds could leave the range of a mass.
    let drivers = consistency::drivers(listed, &raced, lead, reading)?;
    let own = listed.iter().filter_map(|driver| driver.weighing.as_ref().and_then(told));
    let all: Vec<(&ListedWeighing, &Weighing)> = all.into_iter().chain(own).collect();
    consistency::parts_fit(&all, &drivers, lead, reading);
    Some(drivers)
}

fn complete_tanks(tanks: Vec<ListedTank>) -> Option<Vec<Tank>> {
    tanks.into_iter().map(|listed| listed.tank).collect()
}
