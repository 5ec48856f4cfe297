//! What drivers of one kart cost each other, and what stays as it is, as sentences made from facts at hand.

use crate::counts::Counts;
use crate::inspection;
use crate::marks::{given, plain};
use crate::plan::Measured;
use crate::scenario::{Access, Scenario};
use crate::tasks::swap::Swap;
use crate::units::Mass;

/// What each driver needs, where that differs: the reason why anything has to change at all.
pub fn needs(scenario: &Scenario, drivers: &[usize]) -> Vec<String> {
    let none = Counts::none(scenario.lead().len(), scenario.mounts().len());
    let mut sentences = Vec::new();
    for driver in drivers {
        let required = inspection::required(scenario, Some(*driver));
        let bare = Measured::new(scenario, Some(*driver), none.clone()).worth.total;
        if bare > required {
            let name = &scenario.drivers()[*driver].name;
            let over = given(bare - required);
            sentences.push(format!(
                "{name} is {over} over the minimum without any lead: every kilogram that stays on the kart \
                 is one too many under {name}"
            ));
        }
    }
    sentences
}

/// That nothing may change at a stop, if so.
pub fn nothing_is_quick(scenario: &Scenario) -> Option<String> {
    let quick = (0..scenario.mounts().len()).any(|mount| {
        let place = &scenario.mounts()[mount];
        let takes = place.takes.iter().zip(scenario.lead()).any(|(takes, kind)| *takes && kind.quick);
        place.quick && place.access == Access::Open && takes
    });
    let set = scenario.adjusters().iter().any(|adjuster| adjuster.quick);
    (!quick).then(|| {
        let changes = if set { "no lead" } else { "nothing" };
        format!(
            "no mount is marked `quick: true`, so {changes} may change at a stop: what differs between the drivers \
             stays wrong for one of them"
        )
    })
}

/// What one driver costs the others, and what else should be known; one sentence each.
pub fn remarks(scenario: &Scenario, swap: &Swap) -> Vec<String> {
    let mut remarks = needs(scenario, &swap.drivers);
    remarks.extend(nothing_is_quick(scenario));
    let preferences = scenario.preferences();
    let heavier = Mass::from_ng(swap.values.excess_ng);
    if heavier > preferences.spare {
        remarks.push(format!(
            "with one base somebody carries {} more than the lightest alone; the spare allows {}",
            plain(heavier),
            given(preferences.spare)
        ));
    }
    let outside = Mass::from_ng(swap.values.outside_ng);
    if outside > preferences.targets {
        remarks.push(format!(
            "with one base the worst driver is {} further outside the tolerances than alone",
            plain(outside)
        ));
    }
    for ((driver, plan), alone) in swap.drivers.iter().zip(&swap.plans).zip(&swap.alone) {
        let name = &scenario.drivers()[*driver].name;
        let alone = alone.plan.measured();
        if !alone.all_on_target() {
            remarks.push(format!("{name} cannot be brought onto every target even alone on this kart"));
        } else if !plan.measured().all_on_target() {
            remarks.push(format!("{name} alone could be on every target; what the others need keeps it out"));
        }
    }
    let adjusters = scenario.adjusters();
    let slow: Vec<&str> =
        adjusters.iter().filter(|adjuster| !adjuster.quick).map(|adjuster| adjuster.name.as_str()).collect();
    if !slow.is_empty() && slow.len() == adjusters.len() {
        remarks.push("seats, spacers and other adjusters stay as they are set now".to_owned());
    } else if !slow.is_empty() {
        remarks.push(format!("not marked `quick: true`, so set as now for everybody: {}", slow.join(", ")));
    }
    remarks
}
