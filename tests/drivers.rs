//! What a file may say of its drivers, and what of them it may leave out.

use kentledge::diagnosis::{Diagnosis, Fault};
use kentledge::tasks::swap::stints;
use kentledge::units::Mass;
use small::{SMALL, accepted, refused, with};

#[path = "support/small.rs"]
#[expect(dead_code, reason = "no shipped scenario is read here")]
mod small;

fn codes(diagnoses: &[Diagnosis]) -> Vec<&'static str> {
    diagnoses.iter().map(|diagnosis| diagnosis.kind.code()).collect()
}

#[test]
fn a_second_weighing_tells_a_mass_that_was_not_given() {
    let text = with(
        "Sam: {mass: 70.5, x: 440, y: 20}",
        "Sam: {mass: 70.5}\n  Alex: {weighing: {scales: {lf: 28.5, rf: 29.1, lr: 39, rr: 41.4}, \
         aboard: {driver: Alex, fuel: 3 L, lead: none}}}\ndriver: Alex",
    );
    let scenario = accepted(&text);
    assert_eq!(scenario.driver(), Some(1));
    // 138 kg on the pads instead of 149 kg: eleven kilograms lighter than Sam.
    assert_eq!(scenario.drivers()[1].mass, Mass::from_kg(59.5));
}

#[test]
fn a_weighing_of_the_list_tells_a_mass_as_well() {
    let again = SMALL.replace("weighing:\n  ", "weighings:\n  - ").replace("\n  aboard:", "\n    aboard:");
    let second =
        "\n  - {scales: [28.5, 29.1, 39, 41.4], aboard: {driver: Alex, fuel: 3 L, lead: none}}\ndrivers:";
    let text = again.replace("\ndrivers:", second).replace("  Sam: {mass", "  Alex: {}\n  Sam: {mass");
    let scenario = accepted(&text);
    assert_eq!((scenario.driver(), scenario.drivers()[0].mass), (Some(0), Mass::from_kg(59.5)));
}

#[test]
fn a_driver_of_whom_nothing_is_told_is_missed_only_by_who_asks_for_him() {
    let with_alex = |alex: &str| with("  Sam: {mass", &format!("  Alex:{alex}\n  Sam: {{mass"));
    for alex in ["", " {}", " {x: 440, y: 20}"] {
        let scenario = accepted(&with_alex(alex));
        assert_eq!((scenario.drivers().len(), scenario.driver()), (1, Some(0)));
        assert_eq!(scenario.driver_called("alex"), Err(Fault::DriverMassMissing { driver: "Alex".into() }));
        let missing = stints(&scenario, &[]);
        assert_eq!(missing, Err(Fault::DriverMassMissing { driver: "Alex".into() }));
    }
    assert_eq!(codes(&refused(&with_alex(" {colour: red}"))), ["K008"]);
    // Whoever is mentioned anywhere else is needed.
    assert_eq!(codes(&refused(&format!("driver: Alex\n{}", with_alex(" {}")))), ["K012"]);
}

#[test]
fn of_several_drivers_today_is_who_sat_in_the_kart_last_unless_the_file_names_one() {
    let text = with("  Sam: {mass: 70.5, x: 440, y: 20}", "  Alex: {mass: 60, x: 440, y: 20}\n  Sam: 70.5");
    assert_eq!(accepted(&text).driver(), Some(1));
    assert_eq!(accepted(&format!("driver: Alex\n{text}")).driver(), Some(0));
    assert_eq!(accepted(SMALL).driver(), Some(0));
}
