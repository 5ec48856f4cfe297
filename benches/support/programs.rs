//! Writes a solved case down for other solvers: the scenario, the integer program of every goal, and what solve found.
//! Does not solve and does not compare; `second_opinion.py` and `side_by_side.py` read what it writes.

use std::fs;
use std::io;
use std::path::Path;
use std::time::Duration;

use kentledge::counts::Counts;
use kentledge::export;
use kentledge::goal::Goal;
use kentledge::model::Model;
use kentledge::model::linear::Linear;
use kentledge::scenario::Scenario;
use kentledge::solve::{Answer, GoalResult, Proof};
use serde_json::{Value, json};

/// How near to its own bound another solver has to come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Gap {
    /// All the way, so that its interval is a single number.
    Zero,
    /// To the resolution of the goal.
    Resolution,
}

/// A case and how it is to be judged.
#[derive(Debug)]
pub(crate) struct Case<'a> {
    /// Name of its folder.
    pub(crate) name: String,
    /// The family it was drawn from.
    pub(crate) family: &'a str,
    /// The scenario file.
    pub(crate) text: &'a str,
    /// How near another solver has to come.
    pub(crate) gap: Gap,
    /// Seconds that another solver may use for each goal.
    pub(crate) seconds: f64,
    /// Time that solve took.
    pub(crate) elapsed: Duration,
}

/// Writes one case; earlier files of the same names are replaced.
pub(crate) fn write_case(folder: &Path, case: &Case, scenario: &Scenario, answer: &Answer) -> io::Result<()> {
    let folder = folder.join(&case.name);
    fs::create_dir_all(&folder)?;
    fs::write(folder.join("scenario.yaml"), case.text)?;
    let model = Model::new(scenario, scenario.driver());
    let (word, results, placed) = match answer {
        Answer::Plan(solved) => ("plan", solved.goals.as_slice(), Some(&solved.plan.measured().counts)),
        Answer::NoLegalPlan(shortfall) => ("no legal plan", [].as_slice(), shortfall.heaviest.as_ref()),
        Answer::OutOfTime => ("out of time", [].as_slice(), None),
    };
    let mut held: Vec<(Goal, i64)> = Vec::new();
    let mut goals = Vec::new();
    for result in results {
        let program = write_program(&folder, &model, result.goal, &held)?;
        goals.push(goal_of(result, &program));
        held.push((result.goal, result.held_at));
    }
    if results.is_empty() {
        goals.push(json!({"goal": "legal", "program": write_program(&folder, &model, Goal::Legal, &[])?}));
    }
    let shortfall = match answer {
        Answer::NoLegalPlan(shortfall) => json!({
            "required_ng": model.required_ng,
            "resolution_ng": model.resolution(Goal::Legal),
            "short_ng": shortfall.short.ng(),
            "short_at_least_ng": shortfall.short_at_least.ng(),
        }),
        Answer::Plan(_) | Answer::OutOfTime => Value::Null,
    };
    let found = json!({
        "family": case.family,
        "gap": if case.gap == Gap::Zero { "zero" } else { "resolution" },
        "seconds": case.seconds,
        "elapsed_us": case.elapsed.as_secs_f64() * 1e6,
        "answer": word,
        "goals": goals,
        "pieces": placed.map(|counts| pieces(counts, &model)),
        "shortfall": shortfall,
    });
    fs::write(folder.join("found.json"), format!("{found:#}\n"))
}

/// Writes the list of cases, last, so that a reader never takes half a run for a whole one.
pub(crate) fn write_list(folder: &Path, names: &[String]) -> io::Result<()> {
    fs::write(folder.join("cases.json"), format!("{:#}\n", json!(names)))
}

/// The name of the file that holds the program of a goal under the holds of earlier ones.
fn write_program(folder: &Path, model: &Model, goal: Goal, held: &[(Goal, i64)]) -> io::Result<String> {
    let name = format!("{}-{}.mps", held.len() + 1, goal.word());
    let comment = format!("the least {} under the holds of {} earlier goals", goal.word(), held.len());
    fs::write(folder.join(&name), export::mps(&Linear::new(model, goal, held), &[comment]))?;
    Ok(name)
}

/// Whole numbers throughout: nanograms, or changes for `work`.
fn goal_of(result: &GoalResult, program: &str) -> Value {
    json!({
        "goal": result.goal.word(),
        "program": program,
        "unit": if result.goal == Goal::Work { "changes" } else { "ng" },
        "value": result.value,
        "bound": result.bound,
        "held_at": result.held_at,
        "resolution": result.resolution,
        "proved": result.proved == Proof::Proved,
    })
}

/// Counts by the names that the columns of the program have; what is not named is zero.
fn pieces(counts: &Counts, model: &Model) -> Value {
    let settings = || counts.settings().iter().zip(&model.adjusters).enumerate();
    let chosen = settings().map(|(k, (setting, _))| (format!("a{k}_p{setting}"), json!(1)));
    let placed = counts.placed().flat_map(|(kind, mount, count)| {
        let cell = kind * model.mounts.len() + mount;
        let riding = settings()
            .filter(move |(_, (_, adjuster))| adjuster.carries(cell))
            .map(move |(k, (setting, _))| format!("n_k{kind}_m{mount}_a{k}_p{setting}"));
        std::iter::once(format!("n_k{kind}_m{mount}")).chain(riding).map(move |name| (name, json!(count)))
    });
    Value::Object(placed.chain(chosen).collect())
}
