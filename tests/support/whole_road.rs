//! The whole road of a text that may be anything: document, scenario, plan, every report; none may panic, hang or contradict
//! itself.

use std::collections::BTreeSet;
use std::sync::atomic::AtomicUsize;
use std::time::{Duration, Instant};

use kentledge::answer::Frame;
use kentledge::answer::card::Card;
use kentledge::answer::check::Check;
use kentledge::answer::log::Log;
use kentledge::answer::plan::Plan;
use kentledge::answer::reach::Reach;
use kentledge::answer::swap::Swap;
use kentledge::answer::trouble::Wrong;
use kentledge::answer::weigh::Weighing;
use kentledge::blocks::{self, Listed};
use kentledge::diagnosis::{Diagnosis, Severity, Summary, rendered};
use kentledge::document::Document;
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::{self, drawn};
use kentledge::imprint::Imprint;
use kentledge::page::terminal::{self, Shown};
use kentledge::page::{Page, html};
use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, Patience, solve};
use kentledge::tasks::card::{Across, Grid, Steps, card};
use kentledge::tasks::reach::{Reached, reach};
use kentledge::tasks::swap::{self, stints, swap};
use kentledge::units::UnitSystem;

/// A narrow screen, where layouts are most easily broken.
const COLUMNS: usize = 40;
/// A solve that is later than this hangs: it looks at the clock now and then, but a busy machine may not let it run for minutes.
const LATE: Duration = Duration::from_secs(600);

/// How far a text came.
pub(crate) struct Journey {
    /// The faults by name: a new set of them is a new way through the reader.
    pub(crate) faults: BTreeSet<String>,
    /// Whether it is a scenario.
    pub(crate) accepted: Option<Scenario>,
}

/// Reads a text and words everything that is wrong with it.
pub(crate) fn read(bytes: &[u8]) -> Journey {
    let source = String::from_utf8_lossy(bytes);
    let read = Document::from_bytes(bytes).and_then(|document| Scenario::from_document(&document));
    let (diagnoses, accepted) = match read {
        Ok((scenario, warnings)) => {
            assert!(warnings.iter().all(|one| one.kind.severity() == Severity::Warning), "{warnings:?}");
            (warnings, Some(scenario))
        }
        Err(errors) => {
            assert!(errors.iter().any(|one| one.kind.severity() == Severity::Error), "{errors:?}");
            (errors, None)
        }
    };
    let shown = rendered(&diagnoses, "file.yaml", &source);
    assert_eq!(shown.is_empty(), diagnoses.is_empty());
    assert!(!shown.contains(|c: char| c.is_control() && c != '\n'), "{shown:?}");
    let summaries: Vec<Summary> = diagnoses.iter().map(Diagnosis::summary).collect();
    let wrong = Wrong { diagnoses: summaries.clone() };
    parsed(&Frame { warnings: &summaries, ..frame("check") }.document(Wrong::STATUS, wrong));
    // A name such as `NotWhole { key: .. }` up to its fields.
    let name =
        |one: &Diagnosis| format!("{:?}", one.kind).split(['{', ' ']).next().unwrap_or_default().to_owned();
    Journey { faults: diagnoses.iter().map(name).collect(), accepted }
}

fn frame(command: &str) -> Frame<'_> {
    Frame { command, exit_code: 0, warnings: &[], display_units: None, elapsed: Duration::ZERO }
}

/// A page in both units: for a narrow screen, and for paper if it may be that.
fn laid_out(page: &Page, on_paper: bool) {
    let imprint = Imprint::of_file("file.yaml", b"any bytes");
    for units in [UnitSystem::KgMm, UnitSystem::LbIn] {
        for shown in [Shown::Brief, Shown::Full] {
            fits(&terminal::text(page, units, COLUMNS, shown));
        }
        if on_paper {
            marked_up(&html::sheet(page, units, drawing::STYLE, &imprint));
        }
    }
}

/// Reports on a scenario, and plans for it in the time given.
pub(crate) fn report(scenario: &Scenario, time: Duration) {
    let weighed = Weighing::of_scenario(scenario);
    let checked = Check::new("file.yaml".into(), scenario);
    parsed(&frame("weigh").document("", &weighed));
    parsed(&frame("check").document("", &checked));
    laid_out(&blocks::check(&checked, 0), false);
    let log = Log::new(scenario);
    parsed(&frame("log").document("", &log));
    laid_out(&blocks::log(&log), true);
    let grounds = [UnitSystem::KgMm, UnitSystem::LbIn].map(|units| GroundView::of_weighing(units, scenario));
    for ground in &grounds {
        laid_out(&blocks::weigh(&weighed, Some(&drawn(ground, "weighed"))), true);
        marked_up(&drawing::drawing(ground));
    }
    let driver = scenario.driver();
    if driver.is_none() && !scenario.drivers().is_empty() {
        return;
    }
    let started = Instant::now();
    let used = || started.elapsed().div_duration_f64(time);
    let answer = solve(scenario, driver, Patience::new(&used));
    assert!(started.elapsed() < time + LATE, "the search took {:?}", started.elapsed());
    let answer = answer.expect("judge and search agree");
    let plan = Plan::new(scenario, driver, &answer);
    let ground = GroundView::of_answer(UnitSystem::LbIn, scenario, driver, &answer);
    laid_out(&blocks::plan(&plan, Some(&drawn(&ground, "plan"))), true);
    parsed(&frame("plan").document("", &plan));
    let used = || started.elapsed().div_duration_f64(2 * time);
    others(scenario, driver, &answer, Patience::new(&used));
}

/// What else has a sheet, as far as the time allows.
fn others(scenario: &Scenario, driver: Option<usize>, answer: &Answer, patience: Patience) {
    let units = UnitSystem::KgMm;
    if let Answer::Plan(solved) = answer {
        let steps = Steps { step: 0.5, each_way: 1 };
        let grid = Grid { front: steps, across: steps, figure: Across::Cross };
        let done = AtomicUsize::new(0);
        let card = card(scenario, driver, solved, grid, patience, &done).expect("judge and search agree");
        let card = Card::new(scenario, driver, solved, &card);
        let ground = GroundView::of_plan(units, scenario, solved.plan.measured());
        laid_out(&blocks::card(&card, Listed::All, Some(&drawn(&ground, "card"))), true);
        parsed(&frame("card").document("", &card));
    }
    let mut region = Reach::new(scenario);
    if let Reached::Region(found) = reach(scenario, driver, patience).expect("judge and search agree") {
        region.add(scenario, driver, &found);
    }
    laid_out(&blocks::reach(&region, Some(&drawing::reach::drawn(&region, "reach"))), true);
    marked_up(&drawing::reach::drawing(&region));
    if let Ok(order) = stints(scenario, &[]) {
        let found = swap(scenario, &order, patience).expect("judge and search agree");
        let grounds = match &found {
            swap::Answer::Setup(setup) => GroundView::of_swap(units, scenario, setup),
            _ => vec![GroundView::of_now(units, scenario, order.first().copied())],
        };
        let pictures: Vec<_> = grounds.iter().map(|ground| drawn(ground, "driver")).collect();
        laid_out(&blocks::swap(&Swap::new(scenario, &order, &found), &pictures), true);
        marked_up(&drawing::drawings(&grounds));
    }
}

/// Text that a narrow screen shows whole and a terminal cannot be steered with.
fn fits(text: &str) {
    let plain = anstream::adapter::strip_str(text).to_string();
    assert!(!plain.is_empty());
    assert!(!plain.contains(|c: char| c.is_control() && c != '\n'), "{plain:?}");
    for line in plain.lines() {
        // Accents that are characters of their own take no column.
        let columns = line.chars().filter(|letter| !('\u{300}'..='\u{36f}').contains(letter)).count();
        assert!(columns <= COLUMNS, "{line}");
        assert!(!line.contains("NaN") && !line.contains("inf kg"), "{line}");
    }
}

/// A page or a drawing that no name has broken out of.
fn marked_up(markup: &str) {
    assert!(markup.starts_with('<') && markup.trim_end().ends_with('>'), "{markup}");
    assert!(!markup.contains("<script") && !markup.contains("<b>&"), "{markup}");
    assert!(!markup.contains("NaN"), "{markup}");
    assert!(!markup.contains(|c: char| c.is_control() && c != '\n'), "{markup:?}");
}

/// A document is JSON whatever the names in it; JSON has no NaN and no infinity, so those would have become null.
fn parsed(document: &str) {
    serde_json::from_str::<serde_json::Value>(document).expect("a document is JSON");
}
