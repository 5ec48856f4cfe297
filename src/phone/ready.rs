//! A request made ready: the file with what was bolted and typed, read and found right; and what is answered from it.

use std::sync::atomic::AtomicUsize;
use std::time::Duration;

use maud::html;
use serde::Serialize;

use super::reply::{Field, Job, Kart, Looked, Plan, Reply, Setting, Standing, raw};
use super::{Bolted, Look, Pads, Place, Planned, Request};
use crate::answer::bolted;
use crate::answer::card::Card;
use crate::answer::done::partly;
use crate::answer::doubts::{HOW_TO, HowTo, contradictions};
use crate::answer::log::Log;
use crate::answer::plan::{Plan as Answered, explained};
use crate::answer::typed::added;
use crate::answer::weigh::Weighing;
use crate::answer::{Exit, Frame, Status, fragment, swap};
use crate::blocks::{self, Listed};
use crate::counts::Counts;
use crate::diagnosis::{Diagnosis, Summary, rendered};
use crate::document::{Document, Step};
use crate::drawing::ground::GroundView;
use crate::drawing::{drawn, outline};
use crate::inspection;
use crate::marks::{plain, written};
use crate::page::html::{fragment, sides};
use crate::page::markup::marked;
use crate::page::{Block, Page};
use crate::patience::Patience;
use crate::plan::Measured;
use crate::quantity::{kg, percent};
use crate::scenario::{Figure, Moment, Scenario, line};
use crate::solve::{Answer, solve, solve_within};
use crate::tasks;
use crate::tasks::card::{Across, Grid, Steps};
use crate::units::{Mass, UnitSystem};
use crate::weighing;

/// Rows and columns of a card on the page: half a point each, three and two each way.
const CARD: Grid = Grid {
    front: Steps { step: 0.5, each_way: 6 },
    across: Steps { step: 0.5, each_way: 2 },
    figure: Across::Left,
};

/// A file that was read, and what came with it.
pub(super) struct Ready<'r> {
    request: &'r Request,
    document: Document,
    scenario: Scenario,
    warnings: Vec<Diagnosis>,
}

fn read(text: &str, name: &str) -> Result<(Document, Scenario, Vec<Diagnosis>), Reply> {
    let wrong = |faults: Vec<Diagnosis>| Reply::wrong(&faults, name, text);
    let document = Document::from_bytes(text.as_bytes()).map_err(wrong)?;
    let (scenario, warnings) = Scenario::from_document(&document).map_err(wrong)?;
    Ok((document, scenario, warnings))
}

fn odd() -> Reply {
    Reply::refused(
        "this file is laid out in a way that cannot be changed safely",
        "nothing was changed; write it by hand, under Kart",
    )
}

impl<'r> Ready<'r> {
    /// With what was bolted; with what was typed only if that `wants_pads`.
    pub(super) fn new(request: &'r Request, wants_pads: bool) -> Result<Ready<'r>, Reply> {
        let name = &request.name;
        let (mut document, mut scenario, mut warnings) = read(&request.text, name)?;
        if let Some(bolted) = &request.bolted {
            let (planned, counts) = counts_of(&scenario, bolted)?;
            let mark = fragment::mark(&scenario, &planned);
            let text = if counts == *scenario.fitted() {
                document.text().to_owned()
            } else {
                bolted::written(&document, &scenario, &counts, Some(&mark)).ok_or_else(odd)?
            };
            (document, scenario, warnings) = read(&text, name)?;
        }
        if let Some(pads) = request.pads.as_ref().filter(|_| wants_pads) {
            (document, scenario, warnings) = weighed(&document, &scenario, pads, name)?;
        }
        let place = document.place_of("weighing");
        warnings.extend(contradictions(&scenario).into_iter().map(|kind| Diagnosis { kind, place }));
        Ok(Ready { request, document, scenario, warnings })
    }

    fn units(&self) -> UnitSystem {
        self.scenario.units()
    }

    /// Who is in the seat, else who is meant to drive.
    fn driver(&self) -> Option<usize> {
        let pads = self.request.pads.as_ref().and_then(|pads| pads.driver.as_deref());
        match pads {
            Some(name) if name != "none" => self.scenario.driver_called(name).ok(),
            _ => self.scenario.driver(),
        }
    }

    fn document<A: Serialize>(
        &self,
        command: &str,
        exit: Exit,
        status: &str,
        answer: A,
        took: Duration,
    ) -> String {
        let summaries: Vec<Summary> = self.warnings.iter().map(Diagnosis::summary).collect();
        let exit_code = exit as u8;
        let display_units = Some(self.units());
        Frame { command, exit_code, warnings: &summaries, display_units, elapsed: took }
            .document(status, answer)
    }

    pub(super) fn kart(&self) -> Reply {
        let scenario = &self.scenario;
        let aboard = scenario.weighings().last().map(|weighing| weighing::readings(weighing).corners.kg());
        Reply::Kart(Box::new(Kart {
            text: self.document.text().to_owned(),
            name: scenario.kart().name.clone(),
            class: scenario.class().name.clone(),
            unit: if self.units() == UnitSystem::KgMm { "kg" } else { "lb" },
            drivers: scenario.drivers().iter().map(|driver| driver.name.clone()).collect(),
            driver: scenario.driver().map(|index| scenario.drivers()[index].name.clone()),
            has_fuel: !scenario.tanks().is_empty(),
            is_fitted: scenario.fitted().placed().next().is_some(),
            outline: outline(&scenario.kart().chassis).into_string(),
            warnings: rendered(&self.warnings, &self.request.name, self.document.text()),
            weighed: aboard.map(|kg| kg.map(|kg| self.as_pads_show(kg))).unwrap_or_default(),
            mounts: scenario.mounts().iter().map(|mount| mount.name.clone()).collect(),
            adjusters: scenario.adjusters().iter().map(|adjuster| adjuster.name.clone()).collect(),
            settings: self.settings(),
        }))
    }

    /// Minimum, targets, drivers and lead, word by word.
    fn settings(&self) -> Vec<Setting> {
        let leaves = self.document.leaves().into_iter();
        let often = leaves.filter(|(path, _)| match path.as_slice() {
            ["class", key] => matches!(*key, "minimum" | "margin" | "maximum"),
            ["drivers", _] | ["drivers", _, "mass"] | ["lead", _, "count" | "mass"] | ["targets", ..] => true,
            _ => false,
        });
        often
            .map(|(path, word)| Setting {
                path: path.into_iter().map(str::to_owned).collect(),
                word: word.to_owned(),
            })
            .collect()
    }

    /// With another word at that place; it may be any word, as what becomes of the file is read again.
    pub(super) fn set(&self, path: &[String], word: &str) -> Reply {
        let steps: Vec<Step> = path.iter().map(|key| Step::Key(key)).collect();
        let Some(text) = self.document.with_word(&steps, word.trim()) else { return odd() };
        match read(&text, &self.request.name) {
            Ok((document, scenario, warnings)) => {
                Ready { request: self.request, document, scenario, warnings }.kart()
            }
            Err(wrong) => wrong,
        }
    }

    /// To a tenth.
    fn as_pads_show(&self, mass: f64) -> String {
        written(&plain(kg(mass).known_to(kg(0.5))).without_plus_minus().bare().to_string(), self.units())
    }

    pub(super) fn look(&self, pads: Option<&Pads>) -> Reply {
        let Some(pads) = pads else { return Reply::refused("nothing is typed", "type what the pads show") };
        let expected = self.request.bolted.as_ref().and_then(|_| self.expected(pads));
        let mut fields: Vec<Field> = Vec::new();
        for (index, typed) in pads.readings.iter().enumerate() {
            let dotted = typed.trim().replacen(',', ".", 1);
            let read = (!dotted.is_empty())
                .then(|| line::reading(&dotted, ["LF", "RF", "LR", "RR"][index % 4], Some(self.units())));
            let refused = |read: &Result<_, line::Refused>| {
                Some(read.as_ref().err()?.refusal(typed, ["kg", "lb"]).message)
            };
            let expected = expected.map(|all| all[index % 4]).filter(|_| pads.turned.is_none());
            let difference = match (&read, expected) {
                (Some(Ok((mass, _))), Some(expected)) => {
                    let more = mass.kg() - expected;
                    let shown = self.as_pads_show(more.abs());
                    Some(format!("{}{shown}", if more < 0.0 { "\u{2212}" } else { "+" }))
                }
                _ => None,
            };
            let expected = expected.map(|expected| self.as_pads_show(expected));
            fields.push(Field { wrong: read.as_ref().and_then(refused), expected, difference });
        }
        let whole = pads.is_whole() && fields.iter().all(|field| field.wrong.is_none());
        let looked = whole.then(|| self.weigh(pads));
        let (html, document, refused) = match looked {
            Some(Ok((html, document))) => (html, Some(document), None),
            Some(Err(Reply::Refused { said, help })) => {
                (String::new(), None, Some(format!("{said}: {help}")))
            }
            Some(Err(Reply::Wrong { said, .. })) => (String::new(), None, Some(said)),
            Some(Err(_)) | None => (String::new(), None, None),
        };
        Reply::Looked(Box::new(Looked { fields, html, refused, document: document.map(raw) }))
    }

    /// What `weigh` says of that weighing.
    fn weigh(&self, pads: &Pads) -> Result<(String, String), Reply> {
        let (document, scenario, warnings) =
            weighed(&self.document, &self.scenario, pads, &self.request.name)?;
        let weighing = Weighing::of_scenario(&scenario);
        // The pads stand beside it.
        let said = blocks::weigh(&weighing, None).brief.into_iter();
        let said: Vec<Block> = said.filter(|block| !matches!(block, Block::Table(_))).collect();
        let ready = Ready { request: self.request, document, scenario, warnings };
        let document = ready.document(
            "weigh",
            weighing.status.exit(),
            weighing.status.words(),
            &weighing,
            Duration::ZERO,
        );
        Ok((fragment(&said, self.units()).into_string(), document))
    }

    /// LF RF LR RR with what is fitted now and the fuel that is aboard, kg.
    fn expected(&self, pads: &Pads) -> Option<[f64; 4]> {
        let moment = if pads.fuel.as_deref() == Some("finish") { Moment::Finish } else { Moment::Start };
        let driver = self.driver();
        let now = Measured::new(&self.scenario, driver, self.scenario.fitted().clone());
        Some(now.state(moment)?.load.corners.kg())
    }

    pub(super) fn stand(&self) -> Reply {
        let (scenario, driver) = (&self.scenario, self.driver());
        let now = Measured::new(scenario, driver, scenario.fitted().clone());
        let at = |moment: Moment| now.state(moment).map(|state| state.load.corners);
        let weighed = at(scenario.class().weighed_at);
        let of = |figure: Figure| weighed.as_ref().map_or(0.0, |corners| figure.of(corners));
        let total = now.worth.total;
        let missing = (inspection::required(scenario, driver) - total).max(Mass::ZERO);
        let short = if missing > Mass::ZERO {
            format!("{} too light", plain(kg(missing.kg())).seen())
        } else {
            "legal".to_owned()
        };
        let said = format!(
            "If you stop here: {}, {short}, front {} %, left {} %",
            plain(kg(total.kg()).known_to(kg(0.5))).without_plus_minus(),
            crate::marks::share(percent(of(Figure::Front))),
            crate::marks::share(percent(of(Figure::Left)))
        );
        let expected = at(Moment::Start).map(|corners| corners.kg()).unwrap_or_default();
        Reply::Standing(Box::new(Standing {
            html: marked(&said, self.units()).into_string(),
            expected: expected.map(|kg| self.as_pads_show(kg)),
            total_kg: total.kg(),
            front_percent: of(Figure::Front),
            left_percent: of(Figure::Left),
        }))
    }

    pub(super) fn plan(
        &self,
        leave: &[Place],
        elapsed: &dyn Fn() -> Duration,
        patience: Patience,
        look: Look,
    ) -> (Reply, bool) {
        let mounts: Vec<usize> = leave.iter().filter_map(|place| place.mount(&self.scenario)).collect();
        let adjusters: Vec<usize> = leave.iter().filter_map(|place| place.adjuster(&self.scenario)).collect();
        let (scenario, freedom) = self.scenario.leaving(&mounts, &adjusters);
        let driver = self.driver();
        let found = match look {
            Look::First => solve_within(&scenario, driver, &freedom, patience)
                .map(|answer| (Answered::new(&scenario, driver, &answer), answer)),
            Look::Last => {
                let freedom = (!leave.is_empty()).then_some(&freedom);
                explained(&scenario, driver, freedom, 0, patience)
            }
        };
        let (plan, answer) = match found {
            Ok(found) => found,
            Err(disagreement) => return (disagreed(&disagreement), true),
        };
        let exit = Exit::of(plan.status, plan.on_target);
        let document = self.document("plan", exit, plan.status.words(), &plan, elapsed());
        let ground = GroundView::of_answer(self.units(), &scenario, driver, &answer);
        let ground = ground.numbered(&blocks::numbers(&plan));
        let picture = drawn(&ground, "jobs");
        let sheet = blocks::plan(&plan, Some(&drawn(&ground, "plan")));
        let jobs = plan.plan.as_ref().map(|planned| self.jobs(planned)).unwrap_or_default();
        let planned = match &answer {
            Answer::Plan(solved) => Some(Planned::new(&scenario, &solved.plan.measured().counts)),
            _ => None,
        };
        let is_open = !matches!(plan.status, Status::BestPossible | Status::NoLegalPlan);
        let reply = Plan {
            text: self.document.text().to_owned(),
            html: fragment(&blocks::outcome(&plan), self.units()).into_string(),
            picture: picture.picture.into_string(),
            sheet: sides(&sheet, self.units()).into_string(),
            jobs,
            planned,
            is_open,
            document: raw(document),
        };
        (Reply::Planned(Box::new(reply)), look == Look::Last)
    }

    fn jobs(&self, planned: &crate::answer::plan::Planned) -> Vec<Job> {
        let scenario = &self.scenario;
        let minutes = |at: &str, is_setting: bool| -> f64 {
            if is_setting {
                let set = planned.adjusters.iter().filter(|setting| setting.adjuster == at);
                set.map(|setting| setting.time.value).sum()
            } else {
                let ends_here = planned.changes.iter().filter(|change| {
                    change.to.as_ref().or(change.from.as_ref()).is_some_and(|end| end == at)
                });
                ends_here.map(|change| change.time.value).sum()
            }
        };
        let jobs = blocks::to_do(planned).into_iter().map(|job| {
            let [place, done, detail] = &job.cells;
            let shown = |text: &str| marked(text, self.units());
            let html = html! {
                b { (shown(&place.text)) } " " (shown(&done.text)) " " small { (shown(&detail.text)) }
            };
            let at = job.at.as_ref().and_then(|name| {
                if job.is_setting {
                    scenario.adjusters().iter().position(|one| one.name == *name).map(Place::Adjuster)
                } else {
                    scenario.mounts().iter().position(|one| one.name == *name).map(Place::Mount)
                }
            });
            let minutes = match &job.at {
                Some(name) => minutes(name, job.is_setting),
                None => planned.gate.as_ref().map_or(0.0, |gate| gate.time.value),
            };
            Job { at, html: html.into_string(), minutes }
        });
        jobs.collect()
    }

    pub(super) fn swap(&self, elapsed: &dyn Fn() -> Duration, patience: Patience) -> (Reply, bool) {
        let order = match tasks::swap::stints(&self.scenario, &[]) {
            Ok(order) => order,
            Err(fault) => {
                let fault = Diagnosis { kind: fault, place: self.document.place_of("drivers") };
                return (Reply::wrong(&[fault], &self.request.name, self.document.text()), true);
            }
        };
        let (swap, found) = match swap::explained(&self.scenario, &order, patience) {
            Ok(found) => found,
            Err(disagreement) => return (disagreed(&disagreement), true),
        };
        let grounds = match &found {
            tasks::swap::Answer::Setup(setup) => GroundView::of_swap(self.units(), &self.scenario, setup),
            _ => Vec::new(),
        };
        let pictures = (1..).zip(&grounds).map(|(number, ground)| drawn(ground, &format!("stint-{number}")));
        let page = blocks::swap(&swap, &pictures.collect::<Vec<_>>());
        let exit = Exit::of(swap.status, swap.on_target);
        let document = self.document("swap", exit, swap.status.words(), &swap, elapsed());
        let is_proved = matches!(swap.status, Status::BestPossible | Status::NoLegalPlan);
        (self.page(&page, document), is_proved)
    }

    pub(super) fn card(&self, patience: Patience) -> (Reply, bool) {
        let (scenario, driver) = (&self.scenario, self.driver());
        let found = solve(scenario, driver, patience).and_then(|answer| match answer {
            Answer::Plan(solved) => {
                let card =
                    tasks::card::card(scenario, driver, &solved, CARD, patience, &AtomicUsize::new(0))?;
                Ok(Some(Card::new(scenario, driver, &solved, &card)))
            }
            _ => Ok(None),
        });
        match found {
            Ok(Some(card)) => {
                let exit = if card.on_target { Exit::Good } else { Exit::OffTarget };
                let document = self.document("card", exit, card.status.words(), &card, Duration::ZERO);
                let is_proved = card.status == Status::BestPossible;
                (self.page(&blocks::card(&card, Listed::OneFigure, None), document), is_proved)
            }
            Ok(None) => (
                Reply::refused("there is no legal plan to tune from", "look at Jobs: what would cure it"),
                true,
            ),
            Err(disagreement) => (disagreed(&disagreement), true),
        }
    }

    pub(super) fn log(&self) -> Reply {
        let log = Log::new(&self.scenario);
        let document = self.document("log", Exit::Good, "as before", &log, Duration::ZERO);
        self.page(&blocks::log(&log), document)
    }

    pub(super) fn how_to(&self) -> Reply {
        let document = self.document("weigh", Exit::Good, "", HowTo { steps: HOW_TO }, Duration::ZERO);
        self.page(&blocks::how_to(), document)
    }

    fn page(&self, page: &Page, document: String) -> Reply {
        Reply::page(sides(page, self.units()), document)
    }
}

/// The file with that weighing behind its others.
fn weighed(
    document: &Document,
    scenario: &Scenario,
    pads: &Pads,
    name: &str,
) -> Result<(Document, Scenario, Vec<Diagnosis>), Reply> {
    if !pads.readings.len().is_multiple_of(4) {
        return Err(Reply::refused("a set of readings is not whole", "type all four of each set"));
    }
    let weighing = pads.typed().weighing(scenario)?;
    let (_, text) = added(document, scenario, &weighing);
    let read = read(&text.ok_or_else(odd)?, name)?;
    // What was typed may add one weighing and nothing else.
    let is_one_more = read.1.weighings().len() == scenario.weighings().len() + 1
        && read.1.weighings().starts_with(scenario.weighings());
    if is_one_more {
        Ok(read)
    } else {
        Err(Reply::refused("that is more than one weighing", "look at the note and at what was typed"))
    }
}

/// The plan, and what of it is on the kart; fails for what no plan of this file can be.
fn counts_of(scenario: &Scenario, bolted: &Bolted) -> Result<(Measured, Counts), Reply> {
    let Bolted { planned, done } = bolted;
    let (kinds, mounts) = (scenario.lead().len(), scenario.mounts().len());
    let fits = |(adjuster, setting): (&crate::scenario::Adjuster, &u16)| {
        usize::from(*setting) < adjuster.settings.len()
    };
    let used = |kind: usize| {
        planned.lead.iter().filter(move |(of, ..)| *of == kind).map(|(.., count)| u64::from(*count))
    };
    let is_of_this_file = planned.lead.iter().all(|(kind, mount, _)| *kind < kinds && *mount < mounts)
        && (0..kinds).all(|kind| used(kind).sum::<u64>() <= u64::from(scenario.lead()[kind].count))
        && planned.settings.len() == scenario.adjusters().len()
        && std::iter::zip(scenario.adjusters(), &planned.settings).all(fits);
    if !is_of_this_file {
        return Err(Reply::refused("the plan is for another kart than this file", "plan again"));
    }
    let mut counts = scenario.fitted().without_pieces().with_settings(&planned.settings);
    for (kind, mount, count) in &planned.lead {
        *counts.get_mut(*kind, *mount) = *count;
    }
    let measured = Measured::new(scenario, scenario.driver(), counts);
    let mounts: Vec<usize> = done.iter().filter_map(|place| place.mount(scenario)).collect();
    let adjusters: Vec<usize> = done.iter().filter_map(|place| place.adjuster(scenario)).collect();
    let now = partly(scenario, &measured, &mounts, &adjusters);
    Ok((measured, now))
}

fn disagreed(disagreement: &crate::solve::Disagreement) -> Reply {
    Reply::refused(
        disagreement.to_string(),
        "this is a fault of the program; please report it together with the file",
    )
}

impl Place {
    fn mount(self, scenario: &Scenario) -> Option<usize> {
        match self {
            Place::Mount(mount) => Some(mount).filter(|mount| *mount < scenario.mounts().len()),
            Place::Adjuster(_) => None,
        }
    }

    fn adjuster(self, scenario: &Scenario) -> Option<usize> {
        match self {
            Place::Adjuster(adjuster) => Some(adjuster).filter(|one| *one < scenario.adjusters().len()),
            Place::Mount(_) => None,
        }
    }
}

impl Planned {
    fn new(scenario: &Scenario, counts: &Counts) -> Planned {
        let adjusters = scenario.adjusters().iter().enumerate();
        let settings = adjusters.map(|(index, adjuster)| counts.setting(index, adjuster.now) as u16);
        Planned { lead: counts.placed().collect(), settings: settings.collect() }
    }
}
