//! What `pack` has found: what to buy and to take, the plan of every case, what each piece is for, what one piece less gives up, how
//! far the kit reaches, and what it is bolted on with; or why no kit makes every case legal.

use schemars::JsonSchema;
use serde::Serialize;

use super::assumed::{Borrowed, borrowed};
use super::cases::{CaseName, named};
use super::kart::{Kart, Residual, verdict};
use super::margin::Margin;
use super::shortfall::Shortfall;
use super::work::{Placement, Setting, placements_by_mount, settings};
use super::{STOPPED, Status};
use crate::assess::in_the_way::{in_the_way, misses};
use crate::decimals::{counted, trimmed};
use crate::hardware::Fixings;
use crate::marks::given;
use crate::quantity::{Exact, Kg, Quantity};
use crate::scenario::{Price, Scenario, Trip};
use crate::tasks::pack::{Answer, Asked, Forced, Left, Packed, Probed, Served, Smaller, Worth};
use crate::uncertainty::verdict::Verdict;
use crate::units::Mass;

/// Everything that `pack` says.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Pack {
    /// How it ended.
    #[serde(skip)]
    pub status: Status,
    /// The kart's name.
    pub kart: String,
    /// `3 drivers, 2 classes, 3 targets: 18 cases`.
    pub trip: String,
    /// Whether the list has prices; without them pieces bought are counted.
    pub priced: bool,
    /// Whether a kit makes every case legal.
    pub legal: bool,
    /// Whether every case meets every target.
    pub on_target: bool,
    /// The kit, if there is one.
    #[serde(flatten)]
    pub kit: Option<Box<Kit>>,
    /// Drivers known only by what they weigh.
    pub estimated_places: Vec<Borrowed>,
    /// Cases without a legal plan whatever is packed.
    pub never_legal: Vec<ShortCase>,
    /// What is known of the price where there is no kit yet.
    pub bound: Option<String>,
    /// Kits that were tried.
    pub kits_tried: Option<u64>,
}

/// A case without a legal plan.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ShortCase {
    /// Which case.
    #[serde(flatten)]
    pub case: CaseName,
    /// By how much, and why.
    pub shortfall: Shortfall,
}

/// A kit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Kit {
    /// What is bought, in file order.
    pub buy: Vec<Pieces>,
    /// What is taken along of what is there, in file order.
    pub take: Vec<Pieces>,
    /// What stays at home, in file order.
    pub leave: Vec<Pieces>,
    /// What is paid for all of it; the number of pieces bought where there are no prices.
    pub cost: f64,
    /// Pieces bought.
    pub pieces_bought: u32,
    /// All lead that goes along, spares included.
    pub carried: Exact<Kg>,
    /// Pieces that go along, spares included.
    pub pieces: u32,
    /// Every case, in the order of the trip.
    pub cases: Vec<CaseFound>,
    /// What each kind is for.
    pub pieces_for: Vec<NeededFor>,
    /// The next smaller kit.
    pub one_piece_less: Option<OneLess>,
    /// How far the kit reaches, in the order of the cases.
    pub beyond: Vec<Beyond>,
    /// Bolts, washers, nuts; none if the file does not say what lead is fixed with.
    pub hardware: Option<Fixings>,
    /// What is proved of it, one sentence each.
    pub proof: Vec<String>,
}

/// Pieces of one kind.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Pieces {
    /// Its name.
    pub piece: String,
    /// How many, spares included.
    pub count: u32,
    /// How many of them are spares.
    pub spares: u32,
    /// Mass of one.
    pub each: Exact<Kg>,
    /// Mass of all of them.
    pub mass: Exact<Kg>,
    /// What all of them cost; none for what is owned and where there are no prices.
    pub price: Option<f64>,
}

/// How a case comes out.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CaseFound {
    /// Which case.
    #[serde(flatten)]
    pub case: CaseName,
    /// As the officials weigh it.
    pub total: Quantity<Kg>,
    /// How it stands to what they want.
    pub margin: Margin,
    /// Whether every target is met.
    pub on_target: bool,
    /// `on target`, `legal` or `legal, given up in time`: what the kit was made to do for it.
    pub asked: &'static str,
    /// What is on which mount, by mount.
    pub placements: Vec<Placement>,
    /// What is set otherwise than now.
    pub adjusters: Vec<Setting>,
    /// How it stands to its targets.
    pub residuals: Vec<Residual>,
    /// Targets that are missed, one sentence each.
    pub missed: Vec<String>,
    /// What stands in the way of them, one sentence each.
    pub in_the_way: Vec<String>,
}

/// What a kind is along for.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NeededFor {
    /// Its name.
    pub piece: String,
    /// How many the cases need.
    pub count: u32,
    /// Places of the cases that are lost with one less.
    pub lost_with_one_less: Vec<usize>,
    /// Places of those of which that was not decided.
    #[serde(skip)]
    pub not_decided: Vec<usize>,
    /// `only for Sam, heavy, front 44`.
    pub sentence: String,
}

/// The next smaller kit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OneLess {
    /// What is left out: one of this kind.
    pub piece: String,
    /// `14 and 2 kg`.
    pub saves: String,
    /// Case by case.
    pub gives_up: Vec<Lost>,
}

/// What a smaller kit gives up.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Lost {
    /// Which case.
    #[serde(flatten)]
    pub case: CaseName,
    /// In a sentence.
    pub how: String,
}

/// How far the kit reaches beyond one case, in a word each.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Beyond {
    /// Which case.
    #[serde(flatten)]
    pub case: CaseName,
    /// A driver lighter.
    pub driver_lighter: &'static str,
    /// A driver heavier.
    pub driver_heavier: &'static str,
    /// A point less front.
    pub front_less: &'static str,
    /// A point more front.
    pub front_more: &'static str,
}

/// Said of a search that ended before its time.
const MEMORY_FULL: &str = "the search ended with its memory full of kits still to look at: more time would not help, \
                           fewer kinds on the list may";

impl Pack {
    /// From what the task has found.
    pub fn new(scenario: &Scenario, answer: &Answer) -> Pack {
        let trip = scenario.trip();
        let (mut kit, mut never_legal, mut known, mut kits_tried) = (None, Vec::new(), None, None);
        let status = match answer {
            Answer::Packed(packed) => {
                kit = Some(Box::new(Kit::new(scenario, packed)));
                kits_tried = Some(packed.kits);
                if packed.is_best_possible() { Status::BestPossible } else { Status::NotProvedBest }
            }
            Answer::NeverLegal { cases, everything } => {
                let short = cases.iter().map(|(case, shortfall)| {
                    let packed = scenario.packed(&trip, *case, everything);
                    let shortfall = Shortfall::new(&packed, case.driver, shortfall);
                    ShortCase { case: CaseName::new(scenario, &trip, *case), shortfall }
                });
                never_legal = short.collect();
                Status::NoLegalPlan
            }
            Answer::OutOfTime { bound, kits } => {
                known = bound.as_ref().and_then(|bound| bound_sentence(&trip, bound));
                kits_tried = Some(*kits);
                Status::OutOfTime
            }
        };
        let drives = |driver| trip.cases().iter().any(|case| case.driver == Some(driver));
        Pack {
            status,
            kart: scenario.kart().name.clone(),
            trip: trip_in_words(&trip),
            priced: trip.is_priced(),
            legal: kit.is_some(),
            on_target: kit.as_deref().is_some_and(|kit: &Kit| kit.cases.iter().all(|case| case.on_target)),
            kit,
            estimated_places: borrowed(scenario, drives),
            never_legal,
            bound: known,
            kits_tried,
        }
    }
}

/// `3 drivers, 2 classes, 3 targets: 18 cases`.
fn trip_in_words(trip: &Trip) -> String {
    let classes = match trip.classes.len() {
        1 => "1 class".to_owned(),
        several => format!("{several} classes"),
    };
    format!(
        "{}, {classes}, {} of targets: {}",
        counted(trip.drivers.len(), "driver"),
        counted(trip.variations.len(), "set"),
        counted(trip.cases().len(), "case")
    )
}

/// A price as a number.
fn money(thousandths: i64) -> f64 {
    thousandths as f64 / 1e3
}

/// What a kit costs in words: money, or pieces where there is none.
fn cost_in_words(trip: &Trip, cost: i64) -> String {
    if trip.is_priced() { trimmed(money(cost), 3) } else { counted(cost, "piece") }
}

fn bound_sentence(trip: &Trip, bound: &Worth) -> Option<String> {
    (*bound > Worth::NOTHING).then(|| {
        format!(
            "no kit that costs less than {} serves every case, nor one of that price under {}",
            cost_in_words(trip, bound.cost),
            given(Mass::from_ng(bound.mass_ng))
        )
    })
}

impl Kit {
    fn new(scenario: &Scenario, packed: &Packed) -> Kit {
        let trip = &packed.trip;
        let owned = scenario.lead().len();
        let kind = |index: usize| match index.checked_sub(owned) {
            None => &scenario.lead()[index],
            Some(size) => &trip.list[size].kind,
        };
        let pieces = |index: usize, count: u32, spares: u32| {
            let price = index.checked_sub(owned).and_then(|size| trip.list[size].price);
            Pieces {
                piece: kind(index).name.clone(),
                count,
                spares,
                each: kind(index).mass.into(),
                mass: (kind(index).mass * count).into(),
                price: price.map(|Price(each)| money(each * i64::from(count))),
            }
        };
        let along = |index: usize| packed.kit[index] + trip.spares[index];
        let kinds = || 0..packed.kit.len();
        let spare_cost: i64 = trip.list.iter().zip(&trip.spares[owned..]).fold(0, |sum, (size, spares)| {
            sum + size.price.map_or(1, |Price(each)| each) * i64::from(*spares)
        });
        let going = |range: std::ops::Range<usize>| {
            let going = range.filter(|index| along(*index) > 0);
            going.map(|index| pieces(index, along(index), trip.spares[index])).collect()
        };
        let stays =
            (0..owned).map(|index| (index, scenario.lead()[index].count.saturating_sub(along(index))));
        let cost = packed.worth.cost + spare_cost;
        let needed = |forced: &Forced| needed_for(scenario, packed, forced, &kind(forced.kind).name);
        let less = |smaller: &Smaller| one_less(scenario, packed, smaller, &kind(smaller.kind).name);
        let beyond = packed.beyond.iter().map(|beyond| {
            let [driver_lighter, driver_heavier, front_less, front_more] = beyond.probed.map(probed);
            let case = CaseName::new(scenario, trip, beyond.case);
            Beyond { case, driver_lighter, driver_heavier, front_less, front_more }
        });
        let plans = packed.cases.iter().map(|served| (&served.scenario, &served.plan().measured().counts));
        let plans: Vec<_> = plans.collect();
        Kit {
            buy: going(owned..packed.kit.len()),
            take: going(0..owned),
            leave: stays.filter(|(_, left)| *left > 0).map(|(index, left)| pieces(index, left, 0)).collect(),
            cost: if trip.is_priced() { money(cost) } else { cost as f64 },
            pieces_bought: (owned..packed.kit.len()).map(along).sum(),
            carried: kinds().map(|index| kind(index).mass * along(index)).sum::<Mass>().into(),
            pieces: kinds().map(along).sum(),
            cases: packed.cases.iter().map(|served| CaseFound::new(scenario, trip, served)).collect(),
            pieces_for: packed.forced.iter().map(needed).collect(),
            one_piece_less: packed.smaller.as_ref().map(less),
            beyond: beyond.collect(),
            hardware: trip.hardware.as_ref().map(|hardware| Fixings::new(hardware, &plans)),
            proof: proof(packed),
        }
    }
}

/// What came of a probe, in a word.
const fn probed(probed: Probed) -> &'static str {
    match probed {
        Probed::OnTarget => "on target",
        Probed::OffTarget => "off target",
        Probed::Illegal => "no legal plan",
        Probed::Unknown => "not decided",
        Probed::NotAsked => "not asked",
    }
}

impl CaseFound {
    fn new(scenario: &Scenario, trip: &Trip, served: &Served) -> CaseFound {
        let packed = &served.scenario;
        let driver = served.case.driver;
        let measured = served.plan().measured();
        let kart = Kart::new(packed, measured);
        let mut adjusters = settings(packed, packed.fitted(), measured);
        adjusters.retain(Setting::is_job);
        let divisible = served.solved.divisible(packed);
        CaseFound {
            case: CaseName::new(scenario, trip, served.case),
            total: kart.total,
            margin: Margin::new(packed, driver, &measured.counts, measured.worth.total),
            on_target: measured.all_on_target(),
            asked: match served.asked {
                Asked::OnTarget => "on target",
                Asked::Legal => "legal",
                Asked::GivenUp => "legal, given up in time",
            },
            placements: placements_by_mount(packed, &measured.counts),
            adjusters,
            residuals: kart.residuals,
            missed: misses(measured),
            in_the_way: in_the_way(packed, &served.solved, divisible.as_ref()),
        }
    }

    /// What can be said of all its targets together.
    pub fn verdict(&self) -> Verdict {
        verdict(&self.residuals)
    }
}

fn needed_for(scenario: &Scenario, packed: &Packed, forced: &Forced, name: &str) -> NeededFor {
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
    NeededFor {
        piece: name.to_owned(),
        count,
        lost_with_one_less: forced.cases.clone(),
        not_decided: forced.unknown.clone(),
        sentence,
    }
}

fn one_less(scenario: &Scenario, packed: &Packed, smaller: &Smaller, name: &str) -> OneLess {
    let saved = packed.worth.cost - smaller.worth.cost;
    let lighter = given(Mass::from_ng(packed.worth.mass_ng - smaller.worth.mass_ng));
    let saves = match saved {
        0 => lighter.to_string(),
        saved => format!("{} and {lighter}", cost_in_words(&packed.trip, saved)),
    };
    let lost = smaller.lost.iter().map(|lost| {
        let how = match &lost.how {
            Left::Plan(plan, _) => {
                let misses = misses(plan.measured());
                if misses.is_empty() { "not proved".to_owned() } else { misses.join("; ") }
            }
            Left::Illegal(shortfall) => format!("no legal plan, {} too light", given(shortfall.short)),
            Left::Unknown => "not decided".to_owned(),
        };
        Lost { case: CaseName::new(scenario, &packed.trip, lost.case), how }
    });
    OneLess { piece: name.to_owned(), saves, gives_up: lost.collect() }
}

fn proof(packed: &Packed) -> Vec<String> {
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
            "no better kit exists: no kit that serves as much costs less, none of that price is lighter, none \
                                so light has fewer pieces; proved"
                .to_owned()
        }
        (0, 0) => "good, not proved best: a kit of that price and mass may have fewer pieces".to_owned(),
        (0, lighter) => format!(
            "good, not proved best: no kit costs less, and none of that price is lighter by more than {}",
            given(Mass::from_ng(lighter))
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
