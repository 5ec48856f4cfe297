//! What `pack` has to show: what to buy and to take, the plan of every case, what each piece is for, what one piece less gives
//! up, how far the kit reaches, and what it is bolted on with; or why no kit makes every case legal.
//! Takes the scenario and the answer of the task; gives a view, rounded and in the units of the screen.
//! Does not lay anything out and does not solve.

mod cases;
mod hardware;

use super::amount::{Screen, Weight, trimmed};
use super::borrowed::{BorrowedLine, borrowed_lines};
use super::headline::STOPPED;
use super::plan::Status;
use super::shortfall::ShortfallLines;
use crate::scenario::{Price, Scenario, Trip};
use crate::tasks::pack::{Answer, Asked, Forced, Left, Packed, Probed, Smaller, Worth};
use crate::units::Mass;

pub use cases::{CaseLines, CaseName};
pub use hardware::{HardwareLines, MountBolts};

use cases::named;

/// Said of a search that ended before its time.
const MEMORY_FULL: &str = "the search ended with its memory full of kits still to look at: more time would not help, \
                           fewer kinds on the list may";

/// Everything that `pack` shows.
#[derive(Clone, Debug, PartialEq)]
pub struct PackView {
    /// Units of the screen.
    pub screen: Screen,
    /// How it ended.
    pub status: Status,
    /// The kart's name.
    pub kart: String,
    /// `3 drivers, 2 classes, 3 targets: 18 cases`.
    pub trip: String,
    /// Whether the list has prices; without them pieces bought are counted.
    pub is_priced: bool,
    /// Drivers whose place was taken from another.
    pub borrowed: Vec<BorrowedLine>,
    /// The kit, or why there is none.
    pub outcome: PackOutcome,
}

/// How it ended, with everything there is to show.
#[derive(Clone, Debug, PartialEq)]
pub enum PackOutcome {
    /// A kit with which every case is legal.
    Kit(Box<KitLines>),
    /// With everything along some cases have no legal plan.
    NeverLegal(Vec<ShortCase>),
    /// Not known in this time; what is known of the price.
    OutOfTime {
        /// One sentence, if anything is known.
        bound: Option<String>,
        /// Kits that were tried.
        tried: u64,
    },
}

/// A case that has no legal plan whatever is packed.
#[derive(Clone, Debug, PartialEq)]
pub struct ShortCase {
    /// Which.
    pub case: CaseName,
    /// By how much, and why.
    pub shortfall: ShortfallLines,
}

/// A kit.
#[derive(Clone, Debug, PartialEq)]
pub struct KitLines {
    /// What is bought, in file order.
    pub buy: Vec<PieceLine>,
    /// What is taken along of what is there, in file order.
    pub take: Vec<PieceLine>,
    /// What stays at home, in file order.
    pub leave: Vec<PieceLine>,
    /// What is paid for all of it; the number of pieces bought where there are no prices.
    pub price: String,
    /// The same as a number.
    pub cost: f64,
    /// Pieces bought.
    pub bought: u32,
    /// All lead that goes along, spares included.
    pub carried: Weight,
    /// Pieces that go along, spares included.
    pub pieces: u32,
    /// Every case, in the order of the trip.
    pub cases: Vec<CaseLines>,
    /// What each kind is for.
    pub forced: Vec<ForcedLine>,
    /// The next smaller kit.
    pub smaller: Option<SmallerLines>,
    /// How far the kit reaches, in the order of the cases.
    pub beyond: Vec<BeyondLine>,
    /// Bolts, washers, nuts; none if the file does not say what lead is fixed with.
    pub hardware: Option<HardwareLines>,
    /// What is proved of it, one sentence each.
    pub proof: Vec<String>,
    /// Kits that were tried.
    pub tried: u64,
}

/// Pieces of one kind.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceLine {
    /// Its name.
    pub piece: String,
    /// How many, spares included.
    pub count: u32,
    /// How many of them are spares.
    pub spares: u32,
    /// Mass of one.
    pub each: Weight,
    /// Mass of all of them.
    pub mass: Weight,
    /// What all of them cost, as written and as a number; none for what is owned and where there are no prices.
    pub price: Option<(String, f64)>,
}

/// What a kind is along for.
#[derive(Clone, Debug, PartialEq)]
pub struct ForcedLine {
    /// Its name.
    pub piece: String,
    /// How many the cases need.
    pub count: u32,
    /// Places of the cases that are lost with one less.
    pub cases: Vec<usize>,
    /// `only for Sam, heavy, front 44`.
    pub sentence: String,
}

/// The next smaller kit.
#[derive(Clone, Debug, PartialEq)]
pub struct SmallerLines {
    /// What is left out: one of this kind.
    pub piece: String,
    /// `saves 14 and 2 kg`.
    pub saves: String,
    /// What it gives up, one sentence for each case.
    pub lost: Vec<(CaseName, String)>,
}

/// How far the kit reaches beyond one case.
#[derive(Clone, Debug, PartialEq)]
pub struct BeyondLine {
    /// The case.
    pub case: CaseName,
    /// What came of the probes, in the order of the task.
    pub probed: [Probed; 4],
}

impl PackView {
    /// From what the task has found.
    pub fn new(screen: Screen, scenario: &Scenario, answer: &Answer) -> PackView {
        let trip = scenario.trip();
        let (status, outcome) = match answer {
            Answer::Packed(packed) => {
                let best = packed.is_best_possible();
                let status = if best { Status::BestPossible } else { Status::NotProvedBest };
                (status, PackOutcome::Kit(Box::new(KitLines::new(screen, scenario, packed))))
            }
            Answer::NeverLegal { cases, everything } => {
                let short = cases.iter().map(|(case, shortfall)| {
                    let packed = scenario.packed(&trip, *case, everything);
                    let shortfall = ShortfallLines::new(screen, &packed, case.driver, shortfall);
                    ShortCase { case: CaseName::new(scenario, &trip, *case), shortfall }
                });
                (Status::NoLegalPlan, PackOutcome::NeverLegal(short.collect()))
            }
            Answer::OutOfTime { bound, kits } => {
                let bound = bound.as_ref().and_then(|bound| bound_sentence(screen, &trip, bound));
                (Status::OutOfTime, PackOutcome::OutOfTime { bound, tried: *kits })
            }
        };
        PackView {
            screen,
            status,
            kart: scenario.kart().name.clone(),
            trip: trip_in_words(&trip),
            is_priced: trip.is_priced(),
            borrowed: borrowed_lines(screen, scenario, |driver| {
                trip.cases().iter().any(|case| case.driver == Some(driver))
            }),
            outcome,
        }
    }

    /// Whether there is a kit and every case is in every band.
    pub fn all_in_band(&self) -> bool {
        matches!(&self.outcome, PackOutcome::Kit(lines) if lines.cases.iter().all(|case| case.misses.is_empty()))
    }
}

/// `3 drivers, 2 classes, 3 targets: 18 cases`.
fn trip_in_words(trip: &Trip) -> String {
    let counted = |count: usize, one: &str, many: &str| match count {
        1 => format!("1 {one}"),
        several => format!("{several} {many}"),
    };
    format!(
        "{}, {}, {}: {}",
        counted(trip.drivers.len(), "driver", "drivers"),
        counted(trip.classes.len(), "class", "classes"),
        counted(trip.variations.len(), "set of targets", "sets of targets"),
        counted(trip.cases().len(), "case", "cases")
    )
}

/// A price as the file writes it.
fn money(thousandths: i64) -> (String, f64) {
    let price = thousandths as f64 / 1e3;
    (trimmed(price, 3), price)
}

/// What a kit costs in words: money, or pieces where there is none.
fn cost_in_words(trip: &Trip, cost: i64) -> String {
    match (trip.is_priced(), cost) {
        (true, cost) => money(cost).0,
        (false, 1) => "1 piece".to_owned(),
        (false, cost) => format!("{cost} pieces"),
    }
}

fn bound_sentence(screen: Screen, trip: &Trip, bound: &Worth) -> Option<String> {
    (*bound > Worth::NOTHING).then(|| {
        format!(
            "no kit that costs less than {} serves every case, nor one of that price under {}",
            cost_in_words(trip, bound.cost),
            screen.given(Mass::from_ng(bound.mass_ng))
        )
    })
}

impl KitLines {
    fn new(screen: Screen, scenario: &Scenario, packed: &Packed) -> KitLines {
        let trip = &packed.trip;
        let owned = scenario.lead().len();
        let kind = |index: usize| match index.checked_sub(owned) {
            None => &scenario.lead()[index],
            Some(size) => &trip.list[size].kind,
        };
        let line = |index: usize, count: u32, spares: u32| {
            let price = index.checked_sub(owned).and_then(|size| trip.list[size].price);
            PieceLine {
                piece: kind(index).name.clone(),
                count,
                spares,
                each: screen.given(kind(index).mass),
                mass: screen.given(kind(index).mass * count),
                price: price.map(|Price(each)| money(each * i64::from(count))),
            }
        };
        let along = |index: usize| packed.kit[index] + trip.spares[index];
        let kinds = || 0..packed.kit.len();
        let carried = kinds().map(|index| kind(index).mass * along(index)).sum();
        let spare_cost: i64 = trip.list.iter().zip(&trip.spares[owned..]).fold(0, |sum, (size, spares)| {
            sum + size.price.map_or(1, |Price(each)| each) * i64::from(*spares)
        });
        let lines = |range: std::ops::Range<usize>| {
            range
                .filter(|index| along(*index) > 0)
                .map(|index| line(index, along(index), trip.spares[index]))
                .collect()
        };
        let stays =
            (0..owned).map(|index| (index, scenario.lead()[index].count.saturating_sub(along(index))));
        let cost = packed.worth.cost + spare_cost;
        KitLines {
            buy: lines(owned..packed.kit.len()),
            take: lines(0..owned),
            leave: stays.filter(|(_, left)| *left > 0).map(|(index, left)| line(index, left, 0)).collect(),
            price: cost_in_words(trip, cost),
            cost: if trip.is_priced() { money(cost).1 } else { cost as f64 },
            bought: (owned..packed.kit.len()).map(along).sum(),
            carried: screen.given(carried),
            pieces: kinds().map(along).sum(),
            cases: packed.cases.iter().map(|served| CaseLines::new(screen, scenario, trip, served)).collect(),
            forced: packed
                .forced
                .iter()
                .map(|forced| forced_line(scenario, packed, forced, &kind(forced.kind).name))
                .collect(),
            smaller: packed
                .smaller
                .as_ref()
                .map(|smaller| smaller_lines(screen, scenario, packed, smaller, &kind(smaller.kind).name)),
            beyond: packed
                .beyond
                .iter()
                .map(|beyond| BeyondLine {
                    case: CaseName::new(scenario, trip, beyond.case),
                    probed: beyond.probed,
                })
                .collect(),
            hardware: trip
                .hardware
                .as_ref()
                .map(|hardware| HardwareLines::new(screen, scenario, hardware, packed)),
            proof: proof(screen, packed),
            tried: packed.kits,
        }
    }
}

fn forced_line(scenario: &Scenario, packed: &Packed, forced: &Forced, name: &str) -> ForcedLine {
    let count = packed.kit[forced.kind];
    let all = packed.cases.len();
    let which = |cases: &[usize]| {
        named(scenario, &packed.trip, &cases.iter().map(|case| packed.cases[*case].case).collect::<Vec<_>>())
    };
    let all_of_them = if count == 1 { "without it" } else { "with one less" };
    let sentence = match (forced.cases.as_slice(), forced.unknown.as_slice()) {
        ([], []) => "no case needs the last of them".to_owned(),
        ([], unknown) => format!("{all_of_them} nobody knows: {}", which(unknown)),
        (cases, _) if cases.len() == all => format!("{all_of_them} no case is served"),
        (cases @ [_], _) => format!("only for {}", which(cases)),
        (cases, _) => format!("for {} of {all} cases: {}", cases.len(), which(cases)),
    };
    ForcedLine { piece: name.to_owned(), count, cases: forced.cases.clone(), sentence }
}

fn smaller_lines(
    screen: Screen,
    scenario: &Scenario,
    packed: &Packed,
    smaller: &Smaller,
    name: &str,
) -> SmallerLines {
    let saved = packed.worth.cost - smaller.worth.cost;
    let lighter = screen.given(Mass::from_ng(packed.worth.mass_ng - smaller.worth.mass_ng));
    let saves = match saved {
        0 => lighter.to_string(),
        saved => format!("{} and {lighter}", cost_in_words(&packed.trip, saved)),
    };
    let lost = smaller.lost.iter().map(|lost| {
        let sentence = match &lost.how {
            Left::Plan(plan, _) => {
                let misses = super::hurdle::misses(screen, plan.measured());
                if misses.is_empty() { "not proved".to_owned() } else { misses.join("; ") }
            }
            Left::Illegal(shortfall) => format!("no legal plan, {} too light", screen.given(shortfall.short)),
            Left::Unknown => "not decided".to_owned(),
        };
        (CaseName::new(scenario, &packed.trip, lost.case), sentence)
    });
    SmallerLines { piece: name.to_owned(), saves, lost: lost.collect() }
}

fn proof(screen: Screen, packed: &Packed) -> Vec<String> {
    let trip = &packed.trip;
    let mut sentences = Vec::new();
    let (worth, bound) = (packed.worth, packed.bound);
    let given_up = packed.cases.iter().filter(|served| served.asked == Asked::GivenUp).count();
    sentences.push(match (worth.cost - bound.cost, worth.mass_ng - bound.mass_ng) {
        _ if worth == bound && given_up > 0 => {
            "good, not proved best: no kit that serves as much is cheaper or lighter, but one may serve more"
                .to_owned()
        }
        _ if worth == bound => {
            "best possible: no kit that serves as much costs less, none of that price is lighter, none \
                                so light has fewer pieces; proved"
                .to_owned()
        }
        (0, 0) => "good, not proved best: a kit of that price and mass may have fewer pieces".to_owned(),
        (0, lighter) => format!(
            "good, not proved best: no kit costs less, and none of that price is lighter by more than {}",
            screen.given(Mass::from_ng(lighter))
        ),
        (cheaper, _) => {
            format!("good, not proved best: no kit is cheaper by more than {}", cost_in_words(trip, cheaper))
        }
    });
    if !packed.is_best_possible() {
        sentences.push(if packed.is_full { MEMORY_FULL } else { STOPPED }.to_owned());
    }
    sentences.push(
        "each plan is what `plan` finds with only these pieces, from an empty kart; what is locked stays"
            .to_owned(),
    );
    let stopped = packed.cases.iter().filter(|served| !served.solved.is_best_possible()).count();
    if stopped > 0 {
        sentences.push(format!("{stopped} of the plans are not proved best"));
    }
    sentences
}
