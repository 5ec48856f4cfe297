//! `swap`: several drivers on one kart, a common base and the least work at each change of driver.

use kentledge::answer::help::{eased, remedies};
use kentledge::answer::swap::Swap;
use kentledge::answer::team_help::{Cost, TeamHelp};
use kentledge::blocks;
use kentledge::diagnosis::Fault;
use kentledge::drawing::ground::GroundView;
use kentledge::drawing::map::map;
use kentledge::drawing::{drawings, drawn};
use kentledge::scenario::{Lever, Scenario};
use kentledge::tasks::swap::{self, stints};
use kentledge::tasks::team_help::{TeamHelps, team_would_help};

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
    let (found, helps) = reading.search(|patience| {
        let found = swap::swap(scenario, &order, patience)?;
        let helps = team_would_help(scenario, &order, &found, patience.silent())?;
        Ok((found, helps))
    })?;
    let mut swap = Swap::new(scenario, &order, &found);
    if let Some(helps) = &helps {
        add_help(&mut swap, scenario, helps);
    }
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

fn add_help(swap: &mut Swap, scenario: &Scenario, helps: &TeamHelps) {
    swap.costs = helps.costs.iter().map(|cost| Cost::new(scenario, cost)).collect();
    swap.would_help = Some(helps.worth.iter().map(|help| TeamHelp::new(scenario, help)).collect());
    swap.would_cure = helps.alone.as_ref().map(|cures| remedies(scenario, cures));
    let alone = helps.alone.iter().flat_map(|cures| eased(scenario, &cures.unsettled));
    swap.unsettled = eased(scenario, &helps.unsettled).into_iter().chain(alone).collect();
}

/// The setting of a file under which its quick adjusters stand.
fn place_of_quick_adjusters(scenario: &Scenario) -> &'static str {
    let on_the_kart = |lever: Lever| matches!(lever, Lever::Seat | Lever::Spindle { .. });
    let quick = scenario.adjusters().iter().filter(|adjuster| adjuster.quick);
    if quick.into_iter().all(|adjuster| on_the_kart(adjuster.lever)) { "kart" } else { "adjusters" }
}
