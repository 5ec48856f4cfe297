//! `done`: a plan that has been bolted, written into the file as what is fitted and set now.

use kentledge::answer::done::{Done, carried_out};
use kentledge::answer::fragment;
use kentledge::blocks;
use kentledge::counts::Counts;
use kentledge::document::{Document, Step};
use kentledge::scenario::{Freedom, FrontWheel, Lever, Scenario};
use kentledge::solve;

use super::change::Change;
use crate::outcome::{Answer, Exit, Failure};
use crate::request::{Input, Refusal};
use crate::run::Reading;

/// Which plan, and how much of it.
pub(crate) struct Which {
    pub(crate) mark: String,
    pub(crate) driver: Option<String>,
    pub(crate) only: Vec<String>,
    /// Mounts and adjusters at which nothing was done.
    pub(crate) except: Vec<String>,
    /// Whether the change is only shown.
    pub(crate) dry_run: bool,
}

/// Finds the plan again and writes it into the file.
pub(crate) fn answer(reading: &Reading, input: &Input, which: &Which) -> Result<Answer, Failure> {
    let Which { mark, except, .. } = which;
    let scenario = &reading.scenario;
    let Input::File(path) = input else {
        return Err(Refusal::new("`done` changes a file, and stdin is none", "name the scenario file").into());
    };
    let mut change = Change::of("`done`", path)?;
    let driver = reading.driver(which.driver.as_deref())?;
    let freedom =
        if which.only.is_empty() { Freedom::all(scenario) } else { Freedom::only(scenario, &which.only)? };
    let found = reading.search(|patience| solve::solve_within(scenario, driver, &freedom, patience))?;
    let solve::Answer::Plan(solved) = found else {
        return Err(Refusal::new(
            "this file has no plan that could have been bolted",
            "run `kentledge plan` to see why",
        )
        .into());
    };
    let plan = solved.plan.measured();
    let now = fragment::mark(scenario, plan);
    if !now.eq_ignore_ascii_case(mark.trim()) {
        let whose =
            driver.map(|index| format!(" for `{}`", scenario.drivers()[index].name)).unwrap_or_default();
        return Err(Refusal::new(
            format!("the plan of `{}`{whose} is {now} now, not {mark}", reading.name),
            "nothing was written; if the file has changed since, plan again; of another driver add `--driver`, after `plan --only` the same `--only`",
        ).into());
    }
    known(scenario, except)?;
    let counts = carried_out(scenario, plan, except);
    let text = written(reading, &counts)?;
    change.becomes(&text);
    let mut done = Done::new(scenario, plan, &counts, except);
    done.diff = change.diff();
    let answer = reading.form(Exit::Good).words("done", &done, || blocks::done(&done))?;
    if which.dry_run { Ok(answer) } else { Ok(change.made(reading.run, answer)?) }
}

/// Fails for a name that is neither a mount nor an adjuster.
fn known(scenario: &Scenario, except: &[String]) -> Result<(), Refusal> {
    let mounts = scenario.mounts().iter().map(|mount| mount.name.as_str());
    let all: Vec<&str> =
        mounts.chain(scenario.adjusters().iter().map(|adjuster| adjuster.name.as_str())).collect();
    match except.iter().find(|name| !all.contains(&name.as_str())) {
        Some(name) => Err(Refusal::new(
            format!("`{name}` is neither a mount nor an adjuster"),
            format!("`--except` takes one of: {}", all.join(", ")),
        )),
        None => Ok(()),
    }
}

/// The text in which that is fitted and set, read again and found to say so.
fn written(reading: &Reading, counts: &Counts) -> Result<String, Failure> {
    let (scenario, name) = (&reading.scenario, &reading.name);
    let odd = || {
        Refusal::new(
            format!("`{name}` is laid out in a way that cannot be changed safely"),
            "nothing was written; write by hand under `fitted` what is on the kart now, and how the adjusters are set",
        )
    };
    let mut text = reading.document.text().to_owned();
    for (index, adjuster) in scenario.adjusters().iter().enumerate() {
        let setting = counts.setting(index, adjuster.now);
        if setting == adjuster.now {
            continue;
        }
        if adjuster.lever == Lever::Seat {
            return Err(Refusal::new(
                "the plan moves the seat, and what rides on it has its place in the file as it is now",
                "nothing was written; change `hole:` and the `x:` and `y:` of what rides on the seat by hand, then add `--except seat`",
            ).into());
        }
        for (steps, word) in words(adjuster, setting) {
            let document = Document::from_text(&text).map_err(|_| odd())?;
            text = document.with_word(&steps, &word).ok_or_else(odd)?;
        }
    }
    let document = Document::from_text(&text).map_err(|_| odd())?;
    let remark = document.place_of("fitted").and_then(|place| text.lines().nth(place.line - 1));
    let remark = remark
        .and_then(|line| line.split_once(" #"))
        .map_or_else(String::new, |(_, remark)| format!(" #{remark}"));
    let text = document.with_block("fitted", &fragment::fitted(scenario, counts, &remark)).ok_or_else(odd)?;
    let read = Document::from_text(&text).and_then(|document| Scenario::from_document(&document));
    let says_so = |read: &Scenario| read.fitted() == counts && read.weighings() == scenario.weighings();
    match read {
        Ok((read, _)) if says_so(&read) => Ok(text),
        _ => Err(odd().into()),
    }
}

/// Where a setting stands in the file, and the word for another one.
fn words(adjuster: &kentledge::scenario::Adjuster, setting: usize) -> Vec<(Vec<Step<'_>>, String)> {
    let then = &adjuster.settings[setting];
    match adjuster.lever {
        Lever::Seat => Vec::new(),
        Lever::Spindle { side, .. } => {
            let side = if side == FrontWheel::Left { "left" } else { "right" };
            let at = |key| vec![Step::Key("kart"), Step::Key("spindles"), Step::Key(side), Step::Key(key)];
            let below = adjuster.settings.len() - 1 - setting;
            vec![(at("above"), then.steps.to_string()), (at("below"), below.to_string())]
        }
        Lever::Measured { .. } => vec![(now_of(adjuster), then.steps.to_string())],
        Lever::Part { .. } | Lever::Tank { .. } => {
            vec![(now_of(adjuster), kentledge::document::written_name(&then.name))]
        }
    }
}

fn now_of(adjuster: &kentledge::scenario::Adjuster) -> Vec<Step<'_>> {
    vec![Step::Key("adjusters"), Step::Key(&adjuster.name), Step::Key("now")]
}
