//! `swap`: several drivers on one kart, a common base and the least work at each change of driver.

use kentledge::answer::swap::explained;
use kentledge::blocks;
use kentledge::diagnosis::Fault;
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::map::map;
use kentledge::drawing::{drawings, drawn};
use kentledge::scenario::{Lever, Scenario};
use kentledge::tasks::swap::{self, stints};

use crate::outcome::{Answer, Exit, Failure};
use crate::run::Reading;

/// The set-up for the stints named, or for those of the file.
pub(crate) fn answer(reading: &Reading, names: &[String]) -> Result<Answer, Failure> {
    let scenario = &reading.scenario;
    let named = names.iter().map(|name| scenario.driver_called(name)).collect::<Result<Vec<_>, _>>()?;
    let order = stints(scenario, &named).map_err(|fault| {
        let in_the_file = match fault {
            Fault::TooManyWays { .. } => Some(place_of_quick_adjusters(scenario)),
            _ => names.is_empty().then_some("drivers"),
        };
        match in_the_file {
            Some(key) => reading.wrong(fault, reading.document.place_of(key)).into(),
            None => Failure::from(fault),
        }
    })?;
    let (swap, found) = reading.search(|patience| explained(scenario, &order, patience))?;
    let form = reading.form(Exit::of(swap.status, swap.on_target));
    let page = |drawn: &[_]| blocks::swap(&swap, drawn);
    form.answer(swap.status.words(), &swap, page, |units| {
        let now = |driver| vec![GroundView::of_now(units, scenario, driver)];
        let grounds = match &found {
            swap::Answer::Setup(setup) => GroundView::of_swap(units, scenario, setup),
            swap::Answer::NotEvenAlone { driver, .. } => now(Some(*driver)),
            swap::Answer::NoCommonBase(_) | swap::Answer::OutOfTime => now(order.first().copied()),
        };
        let pictures = (1..).zip(&grounds).map(|(number, ground)| drawn(ground, &format!("driver-{number}")));
        let base = match &found {
            swap::Answer::Setup(setup) => Some(map(&GroundView::of_base(units, scenario, setup), "base")),
            _ => None,
        };
        (pictures.chain(base).collect(), Some(drawings(&grounds)))
    })
}

/// The setting of a file under which its quick adjusters stand.
fn place_of_quick_adjusters(scenario: &Scenario) -> &'static str {
    let on_the_kart = |lever: Lever| matches!(lever, Lever::Seat | Lever::Spindle { .. });
    let quick = scenario.adjusters().iter().filter(|adjuster| adjuster.quick);
    if quick.into_iter().all(|adjuster| on_the_kart(adjuster.lever)) { "kart" } else { "adjusters" }
}
