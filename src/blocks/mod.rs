//! Answers made into pages: every word that a reader of an answer sees, once for screens, rows and paper.

mod balance;
mod brief;
mod card;
mod check;
mod done;
mod help;
mod learn;
mod log;
mod pack;
mod plan;
mod reach;
mod swap;
mod trays;
mod weigh;
mod work;

use maud::Markup;

pub use card::{Listed, card};
pub use check::{check, explanation, explanations};
pub use done::done;
pub use learn::learn;
pub use log::{log, log_rows};
pub use pack::pack;
pub use plan::{numbers, outcome, plan, to_do};
pub use reach::reach;
pub use swap::swap;
pub use weigh::{how_to, weigh};
pub use work::ToDo;

use crate::answer::Status;
use crate::answer::doubts::Finding;
use crate::answer::kart::Residual;
use crate::answer::margin::{Margin, Required};
use crate::answer::plan::{GoalFound, GoalValue};
use crate::answer::shortfall::Shortfall;
use crate::answer::work::Setting;
use crate::decimals::{counted, trimmed};
use crate::goal::Goal;
use crate::marks::{MASS_UNIT, fine, given, name, plain, written};
use crate::page::{Block, Cell, Item, Table, Tone};
use crate::quantity::{Exact, Kg, Percent, kg};
use crate::scenario::Figure;
use crate::solve::News;
use crate::uncertainty::verdict::Verdict;
use crate::units::{Mass, UnitSystem};

/// What a page for paper has besides the answer: a picture, and the letters by which it names mounts.
#[derive(Clone, Debug)]
pub struct Drawn {
    /// The drawing.
    pub picture: Markup,
    /// Mounts and their letters, in file order.
    pub letters: Vec<(String, String)>,
}

/// A mount with its letter where there is a picture that has it.
fn mount(called: &str, drawn: Option<&Drawn>) -> String {
    let letter = drawn.and_then(|drawn| drawn.letters.iter().find(|(mount, _)| mount == called));
    letter.map_or_else(|| name(called), |(_, letter)| format!("{letter} {}", name(called)))
}

fn picture(drawn: Option<&Drawn>) -> Option<Block> {
    drawn.map(|drawn| Block::Picture(drawn.picture.clone()))
}

/// What a tool that tells people to bolt lead to a kart must not leave unsaid.
const LEAD_CAUTIONS: [&str; 4] = [
    "Lead is toxic: wear gloves, wash hands, coat it; never sand or melt it in the paddock.",
    "Loose lead is a projectile: through bolts, large washers, lock nuts, checked before every run; seat and \
     mounts must be fit to carry it.",
    "Lead on bumpers, fairings or bodywork is refused by many rulebooks: look it up.",
    "The rulebook and the scrutineers decide, not this tool. The official scale is the one that counts: \
     weigh there before the race.",
];

/// To be said where washers are spoken of, which are moved and looked at with the kart off the ground.
const FRAME_CAUTION: &str = "Lifting a kart with a driver aboard, or tweaking a frame, can injure and can crack \
                             welds: follow the chassis maker.";

/// Said of a search that ended without a plan.
const NOTHING_FOUND: &str = "no legal plan was found before the search was stopped, and it is not proved \
                             that there is none; a longer `--time` may find one";

/// Of what stands in the way, the first are the most telling; documents have all of it.
const MOST_IN_THE_WAY: usize = 3;

/// Said where washers are moved.
const WASHERS_CAUTION: &str = "After washers: toe, caster and camber checked, then weighed again.";

/// Said where the seat is moved.
const SEAT_CAUTION: &str = "After the seat has moved: pedals reached with knees bent, full lock free, clear of axle, tank and \
                            chain.";

/// Where something is set otherwise; `washers` where they are spoken of besides.
fn cautions_of<'s>(settings: impl Iterator<Item = &'s Setting>, mut washers: bool) -> Block {
    let mut seat = false;
    for setting in settings {
        seat |= setting.seat_goes.is_some();
        washers |= setting.washers_to_above != 0;
    }
    let moved = washers.then_some([WASHERS_CAUTION, FRAME_CAUTION]).into_iter().flatten();
    let all = LEAD_CAUTIONS.into_iter().chain(moved).chain(seat.then_some(SEAT_CAUTION));
    Block::Cautions(all.map(str::to_owned).collect())
}

/// Where nothing but lead is spoken of.
fn cautions() -> Block {
    cautions_of(std::iter::empty(), false)
}

impl Figure {
    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Figure::Front => "front %",
            Figure::Rear => "rear %",
            Figure::Left => "left %",
            Figure::Cross => "cross %",
            Figure::FrontPair => "front pair",
            Figure::RearPair => "rear pair",
            Figure::Height => "height",
        }
    }

    /// What it is made of, for those that differ from place to place; printed once where it is shown.
    pub const fn definition(self) -> Option<&'static str> {
        match self {
            Figure::Front | Figure::Rear | Figure::Left => None,
            Figure::Cross => Some("cross % is (RF + LR) / total"),
            Figure::FrontPair => Some("front pair is LF - RF"),
            Figure::RearPair => Some("rear pair is LR - RR"),
            Figure::Height => Some("height is that of the centre of gravity above the ground"),
        }
    }
}

/// What the shown figures are made of, once; nothing where everybody knows.
fn definitions(figures: impl Iterator<Item = Figure>) -> Option<Block> {
    let definitions: Vec<&str> = figures.filter_map(Figure::definition).collect();
    (!definitions.is_empty()).then(|| Block::Line(definitions.join("; ")))
}

/// What is odd about a weighing, and what to do about it.
fn odd(found: &Finding) -> [Item; 2] {
    [Item::from(found.finding.as_str()).toned(Tone::Bad), Item::under(found.cure)]
}

/// Who is on what.
fn title(driver: Option<&str>, kart: &str, class: &str) -> String {
    match driver {
        Some(driver) => format!("{} on {}, {}", name(driver), name(kart), name(class)),
        None => format!("{} without a driver, {}", name(kart), name(class)),
    }
}

const fn tone(verdict: Verdict) -> Tone {
    match verdict {
        Verdict::OnTarget => Tone::Good,
        Verdict::NearEdge | Verdict::CannotConfirm => Tone::Unsure,
        Verdict::JustOff | Verdict::Off => Tone::Bad,
    }
}

/// Short enough for a table: on target; on it near the edge; on it but not to be confirmed by the pads; by how much it is off.
fn stands(residual: &Residual) -> String {
    let off = match residual.height_miss {
        Some(way) => fine(way).seen(),
        None => plain(residual.miss).without_plus_minus().seen(),
    };
    match residual.verdict {
        Verdict::OnTarget => "on target".to_owned(),
        Verdict::NearEdge => "near the edge".to_owned(),
        Verdict::CannotConfirm => "not confirmed".to_owned(),
        Verdict::JustOff => format!("just off, {off}"),
        Verdict::Off => format!("off by {off}"),
    }
}

/// `chance to pass 94.2 %; 0.32 kg more: 99 %`.
fn chance_to_pass(margin: &Margin) -> String {
    let better = margin
        .better
        .as_ref()
        .map(|better| format!("; {} more: {}", plain(better.more), chance(better.chance)));
    format!("chance to pass {}{}", chance(margin.chance), better.unwrap_or_default())
}

/// `160.84 kg: 160 minimum + 0.84 margin`.
fn wanted(required: &Required) -> String {
    let why = match required.wanted_chance {
        Some(percent) => format!(" for {} %", trimmed(percent.value, 2)),
        None => String::new(),
    };
    let [minimum, margin] = [required.minimum, required.margin].map(|mass| given(mass).bare());
    let spared = spared(required).map(|spared| format!("; {spared}")).unwrap_or_default();
    format!("wanted {}: {minimum} minimum + {margin} margin{why}{spared}", given(required.required))
}

/// What the officials' own reading takes off the margin.
fn spared(required: &Required) -> Option<String> {
    let spared = required.spared.filter(|spared| spared.value > 0.0)?;
    Some(format!("{} less margin, as the officials have read it", plain(spared)))
}

/// `99.3 %`; nothing is ever called certain, nor impossible.
fn chance(percent: Exact<Percent>) -> String {
    match percent.value {
        high if high > 99.95 => "over 99.9 %".to_owned(),
        low if low < 0.05 => "under 0.1 %".to_owned(),
        middle => format!("{} %", trimmed(middle, 1)),
    }
}

/// How an answer stands and what of it is proved, in one line.
fn proved(status: Status, kind: &str, goals: &[GoalFound]) -> String {
    let words = status.said(kind);
    let of = |proved: bool| {
        let goals = goals.iter().filter(move |goal| goal.proved == proved);
        goals.map(|goal| goal.name.word()).collect::<Vec<_>>().join(", ")
    };
    match status {
        Status::BestPossible => format!("{words}: proved for {}", of(true)),
        Status::NotProvedBest => format!("{words}; proved for: {}; stopped at: {}", of(true), of(false)),
        Status::NoLegalPlan => format!("{words}: proved"),
        Status::OutOfTime => format!("{words}: nothing is proved"),
    }
}

/// `0.12 kg outside the tolerances`: by how much, at most, the goals whose search was stopped can be beaten.
fn gaps(goals: &[GoalFound]) -> Vec<String> {
    let gap = |goal: &GoalFound| {
        let apart = match (goal.value, goal.bound) {
            (GoalValue::Kg(value), GoalValue::Kg(bound)) => plain(kg(value - bound)).to_string(),
            (GoalValue::Count(value), GoalValue::Count(bound)) => counted(value - bound, "change"),
            _ => String::new(),
        };
        match goal.name {
            Goal::Legal | Goal::Light => format!("{apart} of total weight"),
            Goal::Targets => format!("{apart} outside the tolerances"),
            Goal::Close => format!("{apart} from the targets"),
            Goal::Work => apart,
        }
    };
    goals.iter().filter(|goal| !goal.proved).map(gap).collect()
}

/// How far a search has come with one goal: `0.35 kg outside the tolerances, nothing below 0.1 kg`.
pub fn so_far(news: News, units: UnitSystem) -> String {
    let shown = |value: i64| match news.goal {
        Goal::Work => counted(value, "change"),
        _ => written(&plain(kg(Mass::from_ng(value.max(0)).kg())).to_string(), units),
    };
    let what = match news.goal {
        Goal::Legal | Goal::Light => "above the lightest that could be",
        Goal::Targets => "outside the tolerances",
        Goal::Work => "of work",
        Goal::Close => "from the targets",
    };
    match (news.goal, news.value) {
        (Goal::Legal, None) => "nothing legal yet".to_owned(),
        (_, None) => "nothing found yet".to_owned(),
        // Totals of one driver and of a team are not the same thing; by how much they can still fall is.
        (Goal::Legal | Goal::Light, Some(value)) => format!("at most {} {what}", shown(value - news.bound)),
        (_, Some(value)) => format!("{} {what}, none below {}", shown(value), shown(news.bound)),
    }
}

/// How far from legal it remains.
fn too_light(shortfall: &Shortfall) -> String {
    if let Some(broken) = &shortfall.broken {
        return format!("what is fitted breaks a rule: {broken}");
    }
    let least = if shortfall.short == shortfall.short_at_least {
        String::new()
    } else {
        format!("{} to ", given(shortfall.short_at_least).without_plus_minus().bare())
    };
    format!("TOO LIGHT by {least}{}", given(shortfall.short))
}

/// When, and with what.
fn too_light_with(shortfall: &Shortfall, required: &Required) -> Option<String> {
    let with =
        if shortfall.heaviest_lead.is_some() { "with the heaviest lead that fits" } else { "without lead" };
    shortfall.broken.is_none().then(|| format!("at the {} {with}", required.weighed_at.word()))
}

/// What there is where it is too little, and what limits it.
fn what_there_is(shortfall: &Shortfall) -> Vec<Block> {
    let exact = |what: &'static str, mass: Exact<Kg>| (what, given(mass).bare());
    let rows = [
        Some(exact("wanted", shortfall.required)),
        Some(("without lead", given(shortfall.without_lead).bare())),
        Some(("lead needed", given(shortfall.needed).bare())),
        Some(exact("all lead in the box", shortfall.lead_in_stock)),
        Some(exact("mounts may carry", shortfall.mounts_carry)),
        shortfall.most_lead.map(|most| exact("the class allows", most)),
        shortfall.heaviest_lead.map(|lead| exact("heaviest that fits", lead)),
    ];
    let rows = rows.into_iter().flatten().map(|(what, mass)| vec![Cell::words(what), Cell::number(mass)]);
    let table = Table::new("there-is", format!("What there is, {MASS_UNIT}"), &[], rows.collect());
    // Where a rule is broken it is not mass that is missing.
    let mut blocks = if shortfall.broken.is_none() { vec![Block::Table(table)] } else { Vec::new() };
    blocks.extend(Block::section("What limits it", shortfall.limits.iter().map(String::as_str)));
    blocks
}
