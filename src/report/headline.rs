//! Sentences that say how a plan or a weighing stands: the same on the screen and on the sheet.
//! Takes views; gives sentences without a full stop.
//! Does not lay them out.

use super::amount::{Distance, Screen, trimmed};
use super::card::CardView;
use super::help::HelpLines;
use super::margin::Required;
use super::pack::{BeyondLine, KitLines, PackView, SmallerLines};
use super::plan::{PlanLines, PlanView, Status};
use super::reach::RegionLines;
use super::shortfall::ShortfallLines;
use super::state::{CornersLine, KartLines};
use super::sure::SureKart;
use super::swap::{DriverLines, HandoverLines, SetupLines, SwapView};
use super::target::TargetLines;
use super::title::Title;
use super::warp::WarpLines;
use super::weigh::{About, WeighStatus, WeighView};
use crate::scenario::Moment;
use crate::solve::Proof;
use crate::tasks::pack::{DRIVER_STEP_KG, Probed};
use crate::uncertainty::verdict::Call;

/// What a tool that tells people to bolt lead to a kart must not leave unsaid.
pub const LEAD_CAUTIONS: [&str; 3] = [
    "Lead is toxic: wear gloves, wash hands, coat it; never sand or melt it in the paddock.",
    "Loose lead is a projectile: through bolts, large washers, lock nuts, checked before every run; seat and \
     mounts must be fit to carry it.",
    "The rulebook and the scrutineers decide, not this tool. The official scale is the one that counts: \
     weigh there before the race.",
];

/// To be said where spacers are spoken of.
pub const FRAME_CAUTION: &str = "Lifting a kart with a driver aboard, or tweaking a frame, can injure and can \
                                 crack welds: follow the chassis maker.";

/// More than that is not read; documents have all of it.
const MOST_HELPS: usize = 3;

/// Of what stands in the way, the first are the most telling; documents have all of it.
pub(super) const MOST_IN_THE_WAY: usize = 3;

/// Said under washers to be moved; common practice, no published source.
pub const ALIGNMENT: &str =
    "Washers at a spindle change caster and camber: check the alignment, then weigh again.";

/// How to stand on the pads.
pub const READY_TO_RACE: &str = "Weigh ready to race: driver in full gear, fuel as planned, wheel straight \
                                 ahead, pads level with each other and zeroed.";

/// Said of a search that ended without a plan.
pub const NOTHING_FOUND: &str = "no legal plan was found before the search was stopped, and it is not proved \
                                 that there is none; a longer `--time` may find one";

/// Said of a search that did not prove its answer in time.
pub const STOPPED: &str = "the search was stopped; a longer `--time` may find or prove more";

/// `legal, but 1 target missed`; met and missed are said only where it is sure.
fn balance<'t>(legal: &str, targets: impl Iterator<Item = &'t TargetLines>) -> String {
    let (mut all, mut missed, mut close) = (0, 0, 0);
    for target in targets {
        all += 1;
        match target.call() {
            Call::Met => {}
            Call::Missed => missed += 1,
            Call::TooClose => close += 1,
        }
    }
    let several = |count: usize| format!("{count} target{}", if count == 1 { "" } else { "s" });
    match (missed, close) {
        (0, 0) if all == 0 => format!("{legal}; no targets are set"),
        (0, 0) => format!("{legal}, every target met"),
        (0, close) => format!("{legal}, {} too close to call", several(close)),
        (missed, 0) => format!("{legal}, but {} missed", several(missed)),
        (missed, close) => format!("{legal}, but {} missed, {close} too close to call", several(missed)),
    }
}

impl PlanView {
    /// Who is on what.
    pub fn title(&self) -> Title<'_> {
        Title { driver: self.driver.as_deref(), kart: &self.kart, class: &self.class }
    }

    /// `legal, every target met; best possible`. Met and missed are said only where it is sure.
    pub fn verdict(&self, lines: &PlanLines) -> String {
        format!("{}; {}", balance("legal", lines.targets.iter()), self.status.words())
    }

    /// What it weighs, and what it weighs now.
    pub fn totals(&self, lines: &PlanLines) -> String {
        let KartLines { total, total_sure, .. } = &lines.now;
        let planned = lines.planned.total_at(self.required.weighed_at);
        format!("{planned}, now {} +- {total_sure}", total.number)
    }

    /// What was proved, what more time could do, and what the sizes of the pieces cost.
    pub fn proofs(&self, lines: &PlanLines) -> Vec<String> {
        let mut sentences = Vec::new();
        if self.status == Status::BestPossible {
            sentences.push("best possible: proved for every goal, to what the pads can read".to_owned());
        } else {
            let stopped = lines.goals.iter().filter(|goal| goal.proved == Proof::Stopped);
            let most = stopped.map(|goal| goal.gap.as_str()).collect::<Vec<_>>().join(", ");
            sentences.push(format!("{}: nothing can beat it by more than {most}", self.status.words()));
            sentences.push(STOPPED.to_owned());
        }
        if let Some(divisible) = &lines.divisible {
            let ((band, with_band), (close, with_close)) = (&divisible.band, &divisible.close);
            // Told only where somebody could wonder: every target met, and yet something outside.
            let met = if lines.misses.is_empty() && with_band.kg > 0.0 {
                format!(" (up to {} per target counts as met)", divisible.counts_as_met)
            } else {
                String::new()
            };
            sentences.push(format!(
                "if lead could be cut to any size: {band} outside the bands and {close} from the aims; with \
                 these pieces {with_band}{met} and {with_close}"
            ));
        }
        sentences
    }

    /// How far from legal it remains.
    pub fn shortfall(&self, lines: &ShortfallLines) -> String {
        lines.headline(&self.required)
    }
}

impl SwapView {
    /// `legal for everybody, every target met; best possible`.
    pub fn verdict(&self, lines: &SetupLines) -> String {
        let targets = lines.drivers.iter().flat_map(|driver| &driver.targets);
        format!("{}; {}", balance("legal for everybody", targets), self.status.words())
    }

    /// What was proved, and what more time could do.
    pub fn proofs(&self, lines: &SetupLines) -> Vec<String> {
        if self.status == Status::BestPossible {
            return vec![
                "best possible: proved for every goal in order (each driver's own legal weight, bands of the worst \
                 driver, changes over all stops, weight, closeness), to what the pads can read"
                    .to_owned(),
            ];
        }
        let stopped = lines.goals.iter().filter(|goal| goal.proved == Proof::Stopped);
        let gaps: Vec<&str> = stopped.map(|goal| goal.gap.as_str()).collect();
        let most = if gaps.is_empty() {
            "what a driver's plan alone may still gain".to_owned()
        } else {
            gaps.join(", ")
        };
        vec![format!("{}: nothing can beat it by more than {most}", self.status.words()), STOPPED.to_owned()]
    }
}

impl SetupLines {
    /// `4 changes over 3 stops, 2.4 min`.
    pub fn work(&self) -> String {
        format!("{} over {}{}", changes(self.changes), stops(self.stops.len()), in_minutes(self.minutes))
    }

    /// The same if each driver's plan were made alone.
    pub fn work_alone(&self) -> String {
        let alone = &self.alone;
        format!(
            "planned for each driver alone it would be {}, with tools at {} of {}",
            changes(alone.changes),
            alone.stops_with_tools,
            stops(alone.stops)
        )
    }
}

impl CardView {
    /// What the steps start from.
    pub fn start(&self) -> String {
        let figure = self.figure.name();
        format!(
            "around today's plan: front % {} +- {}, {figure} {} +- {} at the {}, {} +- {}",
            self.front.1,
            self.sure.front.number,
            self.across.1,
            self.sure.across.number,
            self.moment.word(),
            self.total,
            self.sure.total.number
        )
    }

    /// To what the steps are known; none if no cell changes anything.
    pub fn how_sure_steps_are(&self) -> Option<String> {
        let figure = self.figure.name();
        self.least_sure_step().map(|step| {
            format!(
                "the steps share most of these errors, so they are surer: front % to +- {}, {figure} to +- {}",
                step.front.number, step.across.number
            )
        })
    }
}

impl RegionLines {
    /// The ± that no place of the region exceeds.
    pub fn how_sure(&self) -> String {
        let most = &self.sure.most;
        format!(
            "no place within reach is less sure than +- {} in front % and +- {} in left % (k = 2), its total +- {}",
            most.front.number, most.across.number, most.total
        )
    }

    /// How near whole pieces come to every place.
    pub fn how_near(&self) -> String {
        let near = match self.gaps {
            Some((median, most)) => format!(
                "the pieces reach {} places near a grid that the search was asked for; a place of that grid is {median:.2} \
                 points from the nearest of them as a rule, {most:.2} at most",
                self.points.len()
            ),
            None => "no places of whole pieces were found".to_owned(),
        };
        match self.unanswered {
            0 => near,
            1 => format!("{near}; 1 place of the grid had no answer in this time"),
            several => format!("{near}; {several} places of the grid had no answer in this time"),
        }
    }
}

impl SmallerLines {
    /// What one piece less saves, above what it gives up.
    pub fn heading(&self) -> String {
        format!("One `{}` less saves {}, and gives up", self.piece, self.saves)
    }
}

impl PackView {
    /// `one kit serves every case, every target met; best possible`.
    pub fn verdict(&self, lines: &KitLines) -> String {
        let missed = lines.cases.iter().filter(|case| !case.misses.is_empty()).count();
        let close = lines.cases.iter().filter(|case| case.verdict().0 == Call::TooClose).count();
        let serves = match (missed, close) {
            (0, 0) => "one kit serves every case, every target met".to_owned(),
            (0, close) if close == lines.cases.len() => {
                "one kit serves every case, all of them too close to call".to_owned()
            }
            (0, close) => format!("one kit serves every case, {close} of them too close to call"),
            (1, _) => "one kit makes every case legal, but 1 misses a target".to_owned(),
            (several, _) => format!("one kit makes every case legal, but {several} miss a target"),
        };
        format!("{serves}; {}", self.status.words())
    }

    /// `2 pieces to buy for 14.5; 22.73 kg in 8 pieces to carry`.
    pub fn to_carry(&self, lines: &KitLines) -> String {
        let bought = match lines.bought {
            0 => "nothing to buy".to_owned(),
            1 => "1 piece to buy".to_owned(),
            several => format!("{several} pieces to buy"),
        };
        let price =
            if self.is_priced && lines.bought > 0 { format!(" for {}", lines.price) } else { String::new() };
        format!("{bought}{price}; {} in {} pieces to carry", lines.carried, lines.pieces)
    }
}

/// What was tried beyond the cases of a trip, in the order of the task.
pub(super) fn probes(screen: Screen) -> [String; 4] {
    let step = screen.plain(DRIVER_STEP_KG);
    [format!("-{step}"), format!("+{step}"), "front -1".to_owned(), "front +1".to_owned()]
}

/// What came of it, in a word.
pub(super) const fn probed_word(probed: Probed) -> &'static str {
    match probed {
        Probed::InBand => "yes",
        Probed::OutOfBand => "no",
        Probed::Illegal => "light",
        Probed::Unknown => "?",
        Probed::NotAsked => "-",
    }
}

/// What the words mean that occur.
pub(super) fn probed_legend(lines: &[BeyondLine]) -> String {
    let legend = [
        (Probed::InBand, "yes: legal, every target met"),
        (Probed::OutOfBand, "no: legal, but a target is missed"),
        (Probed::Illegal, "light: no legal plan"),
        (Probed::Unknown, "?: not decided"),
        (Probed::NotAsked, "-: cannot be asked"),
    ];
    let occurs = |probed| lines.iter().flat_map(|line| line.probed).any(|one| one == probed);
    let used: Vec<&str> =
        legend.into_iter().filter(|(probed, _)| occurs(*probed)).map(|(_, words)| words).collect();
    format!("driver lighter or heavier, front a point either way; {}", used.join("; "))
}

impl DriverLines {
    /// `165.53 +- 0.5 kg at the finish`.
    pub fn total_at_inspection(&self) -> String {
        self.planned.total_at(self.required.weighed_at)
    }

    /// `legal, every target met`.
    pub fn verdict(&self) -> String {
        balance("legal", self.targets.iter())
    }
}

impl HandoverLines {
    /// `3 changes, 1.6 min`, or that nothing changes.
    pub fn work(&self) -> String {
        if self.jobs.is_empty() && self.settings.is_empty() {
            return "nothing changes".to_owned();
        }
        format!("{}{}", changes(self.changes), in_minutes(self.minutes))
    }
}

impl KartLines {
    /// `165.53 +- 0.5 kg at the finish`.
    fn total_at(&self, when: Moment) -> String {
        format!("{} +- {} at the {}", self.total.number, self.total_sure, when.word())
    }
}

fn changes(count: u32) -> String {
    if count == 1 { "1 change".to_owned() } else { format!("{count} changes") }
}

fn stops(count: usize) -> String {
    if count == 1 { "1 stop".to_owned() } else { format!("{count} stops") }
}

fn in_minutes(minutes: Option<f64>) -> String {
    minutes.map(|minutes| format!(", {} min", trimmed(minutes, 1))).unwrap_or_default()
}

impl ShortfallLines {
    /// How far from legal it remains.
    pub fn headline(&self, required: &Required) -> String {
        if let Some(broken) = &self.broken {
            return format!("what is fitted breaks a rule: {broken}");
        }
        let short = if self.short == self.short_at_least {
            self.too_light()
        } else {
            format!("{} to {}", self.short_at_least.number, self.too_light())
        };
        let with = if self.heaviest.is_some() { "with the heaviest lead that fits" } else { "without lead" };
        format!("{short} too light at the {} {with}", required.weighed_at.word())
    }

    /// `4.645 +- 0.57 kg`.
    pub fn too_light(&self) -> String {
        format!("{} +- {}", self.short.number, self.short_sure)
    }
}

impl PlanLines {
    /// What must not be left unsaid under this plan.
    pub fn cautions(&self) -> impl Iterator<Item = &'static str> {
        // Washers are moved, and looked at, with the kart off the ground.
        let spindles = self.speaks_of_spacers || self.settings.iter().any(|line| line.moves_washers);
        LEAD_CAUTIONS.into_iter().chain(spindles.then_some(FRAME_CAUTION))
    }
}

impl HelpLines {
    /// What would help a plan, best first; nothing where nothing is worth it.
    pub fn would_help(&self) -> Vec<String> {
        let worth = self.lines.iter().take(MOST_HELPS);
        let told = worth.map(|line| format!("{}: {}", line.easing.words, line.gains));
        told.chain(self.unsettled_words()).collect()
    }

    /// Every single remedy.
    pub fn would_cure(&self) -> Vec<String> {
        if self.lines.is_empty() && self.unsettled.is_empty() {
            return vec!["nothing does alone; several of these limits have to be eased together".to_owned()];
        }
        self.lines.iter().map(|line| line.easing.words.clone()).chain(self.unsettled_words()).collect()
    }

    fn unsettled_words(&self) -> Option<String> {
        match self.unsettled.as_slice() {
            [] => None,
            [one] => Some(format!("not solved to the end: {}", one.words)),
            several => Some(format!(
                "{} more things were not solved to the end, and nothing is said of them",
                several.len()
            )),
        }
    }
}

impl Required {
    /// What is wanted, and what that is made of.
    pub fn sum(&self) -> String {
        format!("wanted {}", self.sentence())
    }
}

impl About {
    /// Who was on what.
    pub fn title(&self) -> Title<'_> {
        let driver = self.driver.as_ref().map(|(name, _)| name.as_str());
        Title { driver, kart: &self.kart, class: &self.class }
    }

    /// Driver, fuel, lead and seat at the weighing.
    pub fn aboard(&self) -> String {
        let mut aboard = Vec::new();
        aboard.extend(self.driver.iter().map(|(name, mass)| format!("{name} {mass}")));
        aboard.push(format!("fuel {}", self.fuel));
        aboard.push(if self.lead.is_empty() {
            "no lead".to_owned()
        } else {
            format!("lead {}", self.lead_mass)
        });
        aboard.extend(self.seat_hole.map(|hole| match hole.across {
            0 => format!("seat at hole {}", hole.along),
            across => format!("seat at hole {}, across {across}", hole.along),
        }));
        format!("aboard: {}", aboard.join(", "))
    }
}

impl WeighView {
    /// What the officials would weigh with what is fitted now.
    pub fn official(&self, about: &About) -> String {
        let required = &about.required;
        let who = about.official_driver.as_deref().map(|name| format!(" with {name}")).unwrap_or_default();
        let side = if self.status == WeighStatus::TooLight { "too light for" } else { "above" };
        format!(
            "at the {}{who} and what is fitted now: {} +- {}, {} {side} {}; chance to pass so {}",
            required.weighed_at.word(),
            about.official.number,
            about.official_unsure,
            about.apart,
            required.required,
            about.passing.chance
        )
    }
}

impl WarpLines {
    /// Where the centre of gravity is, and how sure that is.
    pub fn centre_of_gravity(&self, sure: &SureKart) -> String {
        let place = centre_of_gravity(&self.cg_ahead, &self.cg_left, sure);
        format!("centre of gravity: {place}")
    }
}

impl CornersLine {
    /// The same of a state of a plan.
    pub fn centre_of_gravity(&self, is_only_one: bool) -> String {
        let [ahead, left] = &self.cg;
        let place = centre_of_gravity(ahead, left, &self.sure);
        let at = if is_only_one { String::new() } else { format!(" at the {}", self.moment.word()) };
        format!("centre of gravity{at}: {place}")
    }
}

fn centre_of_gravity(ahead: &Distance, left: &Distance, sure: &SureKart) -> String {
    let side = if left.mm < 0.0 { "right" } else { "left" };
    let (ahead, beside) = (&ahead.number, left.number.trim_start_matches('-'));
    let (unsure_ahead, unsure_beside) = (&sure.cg_ahead, &sure.cg_left);
    format!(
        "{ahead} +- {unsure_ahead} ahead of the rear axle, {beside} +- {unsure_beside} {side} of the centre line"
    )
}
