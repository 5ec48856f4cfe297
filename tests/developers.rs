//! The kart that DEVELOPERS.md follows: its numbers, computed again.

use kentledge::goal::Goal;
use kentledge::model::Model;
use kentledge::scenario::{Scenario, Shift};
use kentledge::solve::{Answer, Patience, solve};
use kentledge::statics::Corner;
use kentledge::weighing;

/// The scenario in the crate's documentation.
fn followed() -> Scenario {
    let (_, rest) = include_str!("../src/lib.rs").split_once("let text = \"\n").expect("it begins");
    let (shown, _) = rest.split_once("//! \";").expect("it ends");
    let text = shown
        .lines()
        .fold(String::new(), |text, line| text + line.strip_prefix("//! ").unwrap_or_default() + "\n");
    Scenario::from_yaml(&text).expect("it is right").0
}

/// Numbers as the page writes them, one after the other.
fn written(numbers: impl IntoIterator<Item = f64>, decimals: usize) -> String {
    numbers.into_iter().map(|number| format!("{number:.decimals$}")).collect::<Vec<_>>().join(", ")
}

#[test]
fn the_numbers_of_the_kart_that_is_followed_come_out() {
    let scenario = followed();
    let page = include_str!("../DEVELOPERS.md").split_whitespace().collect::<Vec<_>>().join(" ");
    let shows = |what: &str| assert!(page.contains(what), "DEVELOPERS.md does not show {what}");
    let kg = |ng: i64| ng as f64 / 1e12;

    let trunk = weighing::trunk(&scenario, scenario.driver());
    shows(&format!(
        "{}, together {} kg",
        written(Corner::ALL.map(|c| trunk.corners[c]), 1),
        trunk.total.kg()
    ));
    let [seat, floor] = [0, 1].map(|mount| {
        let influence = weighing::mount_influence(&scenario, mount, Shift::default());
        Corner::ALL.map(|corner| influence[corner])
    });
    let [lf, rf, lr, rr] = seat.map(|share| format!("{share:.4}"));
    shows(&format!("{lf} on LF, {rf} on RF, {lr} on LR and {rr} on RR"));
    shows(&format!("`floor` (820, 60): {}.", written(floor, 4)));

    let model = Model::new(&scenario, scenario.driver());
    let [front, left] = [&model.targets[0], &model.targets[1]];
    let (now, half) = (front.states[0].value_ng, front.states[0].half_width_ng);
    shows(&format!("it is {:.3} kg below that, with {:.3} kg of tolerance", -kg(now), kg(half)));
    shows(&format!("= {:.3} kg on `seat`", kg(front.gain_ng[0])).replace('-', "\u{2212}"));
    shows(&format!("+{:.3} kg on `floor`, and {:.3} kg", kg(front.gain_ng[1]), kg(front.slack_ng[0])));
    let (now, half) = (left.states[0].value_ng, left.states[0].half_width_ng);
    shows(&format!("Left is {:.3} kg below 50 %, tolerance {:.3} kg", -kg(now), kg(half)));
    shows(&format!("a block adds +{:.3} and +{:.3} kg", kg(left.gain_ng[0]), kg(left.gain_ng[1])));
    let both =
        |row: &kentledge::model::TargetRow, mount: usize| kg(row.states[0].value_ng + 2 * row.gain_ng[mount]);
    let (on_seat, on_floor) = (both(front, 0), both(left, 1));
    let sentence =
        format!("both on `seat` leave front at {on_seat:.3}, both on `floor` left at {on_floor:.3}");
    shows(&sentence.replace('-', "\u{2212}"));

    let Ok(Answer::Plan(solved)) = solve(&scenario, scenario.driver(), Patience::ENDLESS) else {
        panic!("it has a plan")
    };
    let of =
        |goal: Goal| solved.goals.iter().find(|result| result.goal == goal).expect("every goal is solved");
    let legal = of(Goal::Legal);
    let [value, bound, held] = [legal.value, legal.bound, legal.held_at].map(kg);
    shows(&format!("value {value}, bound {bound}, held at {held} by the spare"));
    assert_eq!((of(Goal::Targets).value, of(Goal::Light).value, of(Goal::Work).value), (0, legal.value, 2));
    shows(&format!("`work` (2 changes) have no choice left, `close` is {:.3} kg", kg(of(Goal::Close).value)));
    let plan = solved.plan.measured();
    let corners = written(Corner::ALL.map(|corner| plan.states[0].load.corners[corner]), 2);
    let [front, left] = [0, 2].map(|residual| plan.residuals[residual].value);
    shows(&format!("{corners}, total {} kg; front {front:.2} %, left {left:.2} %", plan.worth.total.kg()));
}
