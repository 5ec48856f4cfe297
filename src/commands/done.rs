//! `done`: a plan that has been bolted, written into the file as what is fitted and set now.

use kentledge::answer::bolted::{self, Last};
use kentledge::answer::done::{Done, carried_out};
use kentledge::answer::fragment;
use kentledge::blocks;
use kentledge::scenario::{Freedom, Scenario};
use kentledge::solve;

use super::change::Change;
use crate::outcome::{Answer, Exit, Failure};
use crate::request::{Input, Refusal};
use crate::run::Reading;

/// Which plan, and how much of it.
pub(crate) struct Which {
    /// The plan; the last one is taken back if there is none.
    pub(crate) mark: Option<String>,
    pub(crate) driver: Option<String>,
    pub(crate) only: Vec<String>,
    /// Mounts and adjusters at which nothing was done.
    pub(crate) except: Vec<String>,
    /// Whether the change is only shown.
    pub(crate) dry_run: bool,
}

/// Finds the plan again and writes it into the file; without a mark takes the last one back.
pub(crate) fn answer(reading: &Reading, input: &Input, which: &Which) -> Result<Answer, Failure> {
    let Input::File(path) = input else {
        return Err(Refusal::new("`done` changes a file, and stdin is none", "name the scenario file").into());
    };
    let change = Change::of_text("`done`", path, reading.document.text())?;
    let last = bolted::last(&reading.document, &reading.scenario);
    let (done, text) = match &which.mark {
        Some(mark) => bolted(reading, which, mark, last)?,
        None => taken_back(reading, last)?,
    };
    made(reading, change, done, &text, which.dry_run)
}

/// Shows the change, and makes it if that is wanted.
fn made(
    reading: &Reading,
    mut change: Change,
    mut done: Done,
    text: &str,
    dry_run: bool,
) -> Result<Answer, Failure> {
    change.becomes(text);
    done.diff = change.diff();
    let answer = reading.form(Exit::Good).words("done", &done, || blocks::done(&done))?;
    if dry_run { Ok(answer) } else { Ok(change.made(reading.run, answer)?) }
}

/// What was before the last plan.
fn taken_back(reading: &Reading, last: Option<Last>) -> Result<(Done, String), Failure> {
    let name = &reading.name;
    let Some(Last { mark, before }) = last else {
        return Err(Refusal::new(
            format!("`{name}` holds no plan that could be taken back"),
            "only the last plan that `done` wrote can be taken back, and only once",
        )
        .into());
    };
    let Some(before) = before else {
        return Err(Refusal::new(
            format!("lead, settings or weighings of `{name}` have changed since plan {mark} was written into it"),
            "nothing was written; change `fitted` and the adjusters by hand, or plan from what is on the kart now",
        )
        .into());
    };
    let text = bolted::written(&reading.document, &reading.scenario, &before, None);
    let text = text.ok_or_else(|| odd(name))?;
    Ok((Done::taken_back(&reading.scenario, mark, &before), text))
}

fn odd(name: &str) -> Refusal {
    Refusal::new(
        format!("`{name}` is laid out in a way that cannot be changed safely"),
        "nothing was written; write by hand under `fitted` what is on the kart now, and how the adjusters are set",
    )
}

/// The plan of that mark, carried out.
fn bolted(
    reading: &Reading,
    which: &Which,
    mark: &str,
    last: Option<Last>,
) -> Result<(Done, String), Failure> {
    let (scenario, except) = (&reading.scenario, &which.except);
    let same = |other: &str| other.eq_ignore_ascii_case(mark.trim());
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
    if !same(&now) && last.is_some_and(|last| same(&last.mark) && last.before.is_some()) {
        return Err(Refusal::new(
            format!("plan {mark} is written into `{}` already", reading.name),
            "nothing was written; `kentledge done FILE --undo` takes it back",
        )
        .into());
    }
    if !same(&now) {
        let whose =
            driver.map(|index| format!(" for `{}`", scenario.drivers()[index].name)).unwrap_or_default();
        return Err(Refusal::new(
            format!("the plan of `{}`{whose} is {now} now, not {mark}", reading.name),
            "nothing was written; if the file has changed since, plan again; of another driver add `--driver`, after `plan --only` the same `--only`",
        ).into());
    }
    known(scenario, except)?;
    let counts = carried_out(scenario, plan, except);
    let text = bolted::written(&reading.document, scenario, &counts, Some(&now));
    let text = text.ok_or_else(|| odd(&reading.name))?;
    Ok((Done::new(scenario, plan, &counts, except), text))
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
