//! What may be written in a scenario file, and that nothing that is written makes the reader panic.

use approx::assert_relative_eq;
use kentledge::diagnosis::{Diagnosis, Fault, MOST_SHOWN, rendered};
use kentledge::document::{Document, MOST_BYTES, starter};
use kentledge::goal::Goal;
use kentledge::inspection;
use kentledge::scenario::{Access, Moment};
use kentledge::units::{Length, Mass, UnitSystem};
use proptest::prelude::*;

use small::{SMALL, accepted, refused, scenario_files, with};

#[path = "support/small.rs"]
mod small;

fn codes(diagnoses: &[Diagnosis]) -> Vec<&'static str> {
    diagnoses.iter().map(|diagnosis| diagnosis.kind.code()).collect()
}

#[test]
fn every_scenario_is_read_without_warnings_and_tells_its_story_in_two_lines() {
    let files = scenario_files();
    assert!(files.len() >= 7);
    for (name, text) in files {
        assert!(
            text.lines().take(2).all(|line| line.starts_with("# ") && line.ends_with(['.', '?'])),
            "{name}"
        );
        accepted(&text);
    }
}

#[test]
fn both_starters_describe_the_same_kart() {
    let [metric, imperial] = [UnitSystem::KgMm, UnitSystem::LbIn].map(|units| {
        let scenario = accepted(starter(units));
        assert_eq!(scenario.units(), units);
        scenario
    });
    // To half of the last digit that either file writes: a tenth of a kilogram or half a pound, 2 mm or a
    // quarter inch.
    let same_mass = |a: Mass, b: Mass| assert!((a - b).abs() <= Mass::from_kg(0.06), "{a:?} {b:?}");
    let same_length = |a: Length, b: Length| assert!((a.mm() - b.mm()).abs() <= 2.0, "{a:?} {b:?}");
    let (chassis, other) = (metric.kart().chassis, imperial.kart().chassis);
    same_length(chassis.wheelbase, other.wheelbase);
    same_length(chassis.track_front, other.track_front);
    same_length(chassis.track_rear, other.track_rear);
    same_mass(
        inspection::required(&metric, metric.driver()),
        inspection::required(&imperial, imperial.driver()),
    );
    for (a, b) in metric.weighing().readings.into_iter().zip(imperial.weighing().readings) {
        same_mass(a, b);
    }
    same_mass(metric.drivers()[0].mass, imperial.drivers()[0].mass);
    for moment in Moment::ALL {
        same_mass(metric.tanks()[0].fuel(moment), imperial.tanks()[0].fuel(moment));
    }
    assert_eq!(metric.mounts().len(), imperial.mounts().len());
    for (a, b) in metric.mounts().iter().zip(imperial.mounts()) {
        assert_eq!(a.name, b.name);
        same_mass(a.capacity, b.capacity);
        same_length(a.place.x, b.place.x);
        same_length(a.place.y, b.place.y);
        same_length(a.height_counted(), b.height_counted());
    }
    for (a, b) in metric.lead().iter().zip(imperial.lead()) {
        assert_eq!((&a.name, a.count), (&b.name, b.count));
        same_mass(a.mass, b.mass);
    }
}

#[test]
fn a_starter_marks_nine_lines_and_its_remarks_are_valid_settings() {
    for units in [UnitSystem::KgMm, UnitSystem::LbIn] {
        let text = starter(units);
        let marked =
            text.lines().filter(|line| !line.starts_with('#') && line.contains("# <- yours")).count();
        assert_eq!(marked, 9);
        // Every setting that stands there as a remark is taken as it is once the remark signs are gone.
        let plain = |line: &str| {
            let setting =
                ["  # margin", "  # rules", "  #   ", "# pads", "# inspection", "# fitted", "#   seat_left"];
            let remark = setting.iter().any(|start| line.starts_with(start));
            if remark { line.replacen("# ", "", 1) } else { line.to_owned() }
        };
        let all: String = text.lines().map(|line| plain(line) + "\n").collect();
        let scenario = accepted(
            &all.replace("capacity: 5}", "capacity: 5, bolts: 2}")
                .replace("capacity: 4}", "capacity: 4, bolts: 2}")
                .replace("capacity: 11}", "capacity: 11, bolts: 2}")
                .replace("capacity: 8.8}", "capacity: 8.8, bolts: 2}"),
        );
        assert_eq!(scenario.fitted().get(0, 0), 1);
        assert!(scenario.class().rules.most_lead.is_some());
    }
}

#[test]
fn lengths_are_read_in_every_form() {
    let forms = [
        ("1040", 1040.0),
        ("1040.5", 1040.5),
        ("1.04e3", 1040.0),
        ("+1040", 1040.0),
        ("1040 mm", 1040.0),
        ("1040mm", 1040.0),
        ("104 cm", 1040.0),
        ("1.04 m", 1040.0),
        ("1.04 M", 1040.0),
        ("41 in", 1041.4),
        ("41.5 in", 1054.1),
        ("41 1/2 in", 1054.1),
        ("83/2 in", 1054.1),
        ("41 1/2 inches", 1054.1),
        ("'41.5\"'", 1054.1),
        ("41.5\"", 1054.1),
        ("'41 1/2\"'", 1054.1),
        ("3.5 ft", 1066.8),
        ("\"3.5'\"", 1066.8),
        ("\"1040\"", 1040.0),
        (".104e4", 1040.0),
    ];
    for (written, mm) in forms {
        let text = with("{name: kart 7, wheelbase: 1040, track_front: 1080, track_rear: 1120}", "").replace(
            "kart: ",
            &format!(
                "kart:\n  name: kart 7\n  wheelbase: {written}\n  track_front: 1080\n  track_rear: 1120"
            ),
        );
        assert_relative_eq!(accepted(&text).kart().chassis.wheelbase.mm(), mm, max_relative = 1e-12);
    }
}

#[test]
fn weights_are_read_in_every_form_and_pounds_stay_exact() {
    let forms = [
        ("70.5", Mass::from_kg(70.5)),
        ("70.5 kg", Mass::from_kg(70.5)),
        ("70.5kg", Mass::from_kg(70.5)),
        ("70500 g", Mass::from_kg(70.5)),
        ("155 lb", Mass::from_lb(155.0)),
        ("155lb", Mass::from_lb(155.0)),
        ("155 1/2 LBS", Mass::from_lb(155.5)),
        ("2480 oz", Mass::from_lb(155.0)),
        ("155.4321 lb", Mass::from_ng(1_554_321 * 45_359_237)),
    ];
    for (written, mass) in forms {
        assert_eq!(
            accepted(&with("mass: 70.5", &format!("mass: {written}"))).drivers()[0].mass,
            mass,
            "{written}"
        );
    }
    let pounds = SMALL
        .replace("kg-mm", "lb-in")
        .replace(
            "wheelbase: 1040, track_front: 1080, track_rear: 1120",
            "wheelbase: 41, track_front: 42 1/2, track_rear: 44",
        )
        .replace("mass: 70.5, x: 440, y: 20", "mass: 155.4321, x: 17, y: 1")
        .replace("lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5", "lf: 68, rf: 69, lr: 93, rr: 98")
        .replace("minimum: 160", "minimum: 350")
        .replace("x: 560, y: 40", "x: 22, y: 1")
        .replace("x: 260, y: 270", "x: 10, y: 11")
        .replace("x: 820, y: 60", "x: 32, y: 2");
    assert_eq!(accepted(&pounds).drivers()[0].mass, Mass::from_ng(1_554_321 * 45_359_237));
}

#[test]
fn fuel_is_a_volume_or_a_weight() {
    // 0.745 kg/L is the default; a US gallon is 231 cubic inches, 3.785411784 L, exact.
    let forms = [
        ("3 L", 3.0 * 0.745),
        ("3L", 3.0 * 0.745),
        ("3000 mL", 3.0 * 0.745),
        ("0.8 gal", 0.8 * 3.785_411_784 * 0.745),
        ("2.2 kg", 2.2),
        ("2.2", 2.2),
        ("2200 g", 2.2),
        ("none", 0.0),
        ("start", 5.0 * 0.745),
        ("finish", 2.0 * 0.745),
        ("{tank: 3 L}", 3.0 * 0.745),
    ];
    for (written, kg) in forms {
        let scenario = accepted(&with("fuel: 3 L", &format!("fuel: {written}")));
        assert_eq!(scenario.weighing().aboard.fuel, [Mass::from_kg(kg)], "{written}");
    }
    let dense = with("start: 5 L", "density: 0.8, start: 5 L");
    assert_eq!(accepted(&dense).tanks()[0].start, Mass::from_kg(4.0));
}

#[test]
fn named_tanks_are_told_apart_and_an_electric_kart_has_none() {
    let two = with(
        "fuel: {x: 560, y: 40, start: 5 L, finish: 2 L}",
        "fuel:\n  main: {x: 560, y: 40, start: 5 L, finish: 2 L}\n  \
         side: {x: 500, y: 300, density: 0.8, start: 2 L, finish: 0 L}",
    )
    .replace("fuel: 3 L", "fuel: {side: 1 L, main: none}");
    let scenario = accepted(&two);
    assert_eq!(scenario.tanks()[1].name, "side");
    assert_eq!(scenario.weighing().aboard.fuel, [Mass::ZERO, Mass::from_kg(0.8)]);
    let none =
        with("fuel: {x: 560, y: 40, start: 5 L, finish: 2 L}\n", "").replace("fuel: 3 L", "fuel: none");
    assert!(accepted(&none).tanks().is_empty());
}

#[test]
fn percentages_may_carry_their_sign() {
    let percent = accepted(&with("{aim: 43, within: 0.5}", "{aim: 43 %, within: 0.5%}"));
    assert_eq!(percent.targets(), accepted(SMALL).targets());
}

#[test]
fn weighed_pieces_become_kinds_and_their_family_names_them_all() {
    let text = with("slab: {mass: 2.5, count: 3}", "slab: {weighed: [2.51, 5.5 lb]}")
        .replace("capacity: 5}\n  floor", "capacity: 5, takes: [slab]}\n  floor")
        .replace("y: 60, capacity: 5", "y: 60, capacity: 5, takes: [puck, slab 2]")
        + "fitted:\n  seat: {slab 2: 1}\n";
    let scenario = accepted(&text);
    let names: Vec<&str> = scenario.lead().iter().map(|kind| kind.name.as_str()).collect();
    assert_eq!(names, ["slab 1", "slab 2", "puck"]);
    assert_eq!(scenario.lead()[1].mass, Mass::from_lb(5.5));
    assert_eq!(scenario.mounts()[0].takes, [true, true, false]);
    assert_eq!(scenario.mounts()[1].takes, [false, true, true]);
    assert_eq!(scenario.fitted().get(1, 0), 1);
}

#[test]
fn bolt_patterns_keep_kinds_off_mounts_that_have_another() {
    let text = with("slab: {mass: 2.5,", "slab: {pattern: wide, mass: 2.5,")
        .replace("capacity: 5}\n  floor", "capacity: 5, pattern: narrow}\n  floor")
        .replace("y: 60, capacity: 5", "y: 60, capacity: 5, pattern: wide, locked: true, quick: true")
        .replace("\nlead:", "\n  rail: {x: 500, y: 0, capacity: 5}\nlead:");
    let scenario = accepted(&text);
    assert_eq!(scenario.mounts()[0].takes, [false, true]);
    assert_eq!(scenario.mounts()[1].takes, [true, true]);
    assert_eq!(scenario.mounts()[1].access, Access::Locked);
}

#[test]
fn goals_take_the_users_order_and_resolutions() {
    let text = SMALL.to_owned()
        + "goals:\n  order: [work, targets, light, close]\n  spare: 2\n  resolution: {light: 500 g, work: 1}\n";
    let preferences = accepted(&text).preferences().clone();
    assert_eq!(preferences.order, [Goal::Work, Goal::Targets, Goal::Light, Goal::Close]);
    assert_eq!((preferences.spare, preferences.light), (Mass::from_kg(2.0), Mass::from_kg(0.5)));
    assert_eq!((preferences.work, preferences.close), (1, Mass::from_kg(0.05)));
}

#[test]
fn short_forms_say_what_long_ones_say() {
    for (long, short) in [
        ("kg-mm", "kg"),
        ("{aim: 43, within: 0.5}", "43"),
        ("{lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5}", "[30.8, 31.4 kg, 42.3, 44500 g]"),
        ("driver: Sam, fuel: 3 L", "fuel: 3 L"),
        ("mass: 2.5, count: 3", "count: 3, mass: 2.5"),
    ] {
        let [long, short] = [SMALL, &with(long, short)].map(accepted);
        assert_eq!((long.weighing(), long.targets()), (short.weighing(), short.targets()));
        assert_eq!((long.drivers(), long.lead()), (short.drivers(), short.lead()));
    }
    let sam = "Sam: {mass: 70.5, x: 440, y: 20}";
    assert_eq!(
        accepted(&with(sam, "Sam: {mass: 70.5}")).drivers(),
        accepted(&with(sam, "Sam: 70.5")).drivers()
    );
    let lead = "  slab: {mass: 2.5, count: 3}\n  puck: {mass: 1, count: 6}";
    let listed =
        accepted(&with(&format!("lead:\n{lead}\n"), "lead: [2.5, 1, 2.5 kg]\nfitted: {seat: {2.5 kg: 1}}\n"));
    let named =
        with(lead, "  2.5 kg: {mass: 2.5, count: 2}\n  1 kg: {mass: 1}") + "fitted: {seat: {2.5 kg: 1}}\n";
    assert_eq!((listed.lead(), listed.fitted()), (accepted(&named).lead(), accepted(&named).fitted()));
    // What is wrong in a short form is told at its place, by the name of its key.
    for (old, wrong, code, column) in [
        ("{aim: 43, within: 0.5}", "0.43", "K016", 10),
        ("{lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5}", "[30.8, 31.4, 42.3]", "K012", 3),
        ("{lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5}", "[30.8, 31.4, 42.3, high]", "K010", 30),
        ("{mass: 70.5, x: 440, y: 20}", "705", "K013", 8),
    ] {
        let errors = refused(&with(old, wrong));
        let found: Vec<_> =
            errors.iter().map(|one| (one.kind.code(), one.place.map(|at| at.column))).collect();
        assert_eq!(found, [(code, Some(column))], "{wrong}");
    }
}

/// The kart's nose points to where its left side was, so its left front wheel stands on the pad that was under the left rear
/// one, and so round; what an empty pad showed and how high it stands goes with the pad.
#[test]
fn readings_of_a_turned_kart_are_typed_by_pad_and_moved_to_its_wheels() {
    let scales = "  scales: {lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5}";
    let read = |lines: &str| accepted(&with(scales, lines)).weighing().readings.map(Mass::kg);
    let left = read("  scales: {lf: 31.4, rf: 44.5, lr: 30.8, rr: 42.3, turned: left}");
    let right = read("  scales: {lf: 42.3, rf: 30.8, lr: 44.5, rr: 31.4, turned: right}");
    assert_eq!((left, right), ([30.8, 31.4, 42.3, 44.5], [30.8, 31.4, 42.3, 44.5]));
    let zeros = "\n  zero_before: {lf: 0.4, rf: 0, lr: 0.2, rr: 0}";
    let turned = "  scales: {lf: 31.4, rf: 44.5, lr: 30.8, rr: 42.3, turned: left}".to_owned() + zeros;
    for (found, expected) in read(&turned).into_iter().zip([30.6, 31.0, 42.3, 44.5]) {
        assert_relative_eq!(found, expected, max_relative = 1e-9);
    }
    // One pad too high by 1 mm twists a kart that stands straight one way, and one that is turned the other.
    let floor = "\n  floor: {lf: 1, rf: 0, lr: 0, rr: 0}";
    let straight = read(&(scales.to_owned() + floor));
    let turned =
        read(&("  scales: {lf: 31.4, rf: 44.5, lr: 30.8, rr: 42.3, turned: left}".to_owned() + floor));
    assert!(straight[0] < 30.8 && turned[0] > 30.8, "{straight:?} {turned:?}");
}

#[test]
fn notes_are_allowed_everywhere_and_long_names_for_corners_too() {
    let text = with("lf: 30.8, rf: 31.4", "left_front: 30.8, right_front: 31.4, note: wet")
        .replace("puck: {", "note: {from: [the, box]}\n  x-shelf: 2\n  puck: {note: round, x-colour: grey, ");
    let scenario = accepted(&text);
    assert_eq!(scenario.weighing(), accepted(SMALL).weighing());
    assert_eq!(scenario.lead().len(), 2);
}

#[test]
fn anchors_repeat_a_value_and_faults_point_at_the_one_place() {
    let text = with("capacity: 5}\n  floor", "capacity: &most 4.5}\n  floor")
        .replace("y: 60, capacity: 5", "y: 60, capacity: *most");
    assert_eq!(accepted(&text).mounts()[1].capacity, Mass::from_kg(4.5));
    let errors = refused(&text.replace("&most 4.5", "&most -4"));
    assert_eq!(codes(&errors), ["K013"]);
    assert_eq!(errors[0].place.map(|place| place.line), Some(13));
}

#[test]
fn names_keep_the_letters_typed() {
    let text = with("name: kart 7", "name: 007").replace("Sam", "1e3").replace("puck:", "NO:");
    let scenario = accepted(&text);
    assert_eq!(scenario.kart().name, "007");
    assert_eq!(scenario.drivers()[0].name, "1e3");
    assert_eq!(scenario.lead()[1].name, "NO");
}

#[test]
fn limits_off_lifts_bounds_but_not_sense() {
    let heavy = with("name: kart 7,", "name: van, limits: off,")
        .replace("lf: 30.8, rf: 31.4, lr: 42.3, rr: 44.5", "lf: 3000, rf: 3000, lr: 4000, rr: 4000")
        .replace("wheelbase: 1040", "wheelbase: 19 m");
    assert_eq!(accepted(&heavy).weighing().readings[0], Mass::from_kg(3000.0));
    assert_eq!(codes(&refused(&heavy.replace("19 m", "-19 m"))), ["K013"]);
    assert!(codes(&refused(&heavy.replace(", limits: off", ""))).contains(&"K013"));
}

#[test]
fn a_file_that_is_no_text_says_what_it_looks_like() {
    let utf16: Vec<u8> = "units: kg-mm".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let marked: Vec<u8> = [0xff, 0xfe].into_iter().chain(utf16.clone()).collect();
    let cases: [(&[u8], &str); 7] = [
        (b"PK\x03\x04 and more", "a spreadsheet or a zip archive"),
        (&utf16, "UTF-16 text"),
        (&marked, "UTF-16 text"),
        (b"%PDF-1.7", "a PDF"),
        (b"\x1f\x8b\x08 ", "a compressed file"),
        (b"name: caf\xe9\n", "text in an old code page"),
        (b"units: kg-mm\nname: \x00\x01\n", ""),
    ];
    for (bytes, looks_like) in cases {
        let errors = Document::from_bytes(bytes).map(|_| ()).unwrap_err();
        assert_eq!(codes(&errors), ["K003"], "{looks_like}");
        assert!(errors[0].kind.to_string().contains(looks_like), "{}", errors[0]);
    }
    assert_eq!(codes(&Document::from_bytes(b"").map(|_| ()).unwrap_err()), ["K002"]);
    let long = vec![b' '; MOST_BYTES + 1];
    let errors = Document::from_bytes(&long).map(|_| ()).unwrap_err();
    assert_eq!(errors[0].to_string(), "error[K003]: this file is 65 KiB; scenarios are at most 64 KiB");
    let errors = Document::from_text("---\n...\n").map(|_| ()).unwrap_err();
    assert_eq!(codes(&errors), ["K002"]);
    // A byte order mark, as some editors write it, is no reason to refuse a file.
    assert_eq!(accepted(&format!("\u{feff}{SMALL}")).kart().name, "kart 7");
    let errors = refused(&format!("\u{feff}{}", SMALL.replace("units: kg-mm", "units: metric")));
    assert_eq!(errors[0].place.map(|place| (place.line, place.column)), Some((1, 8)));
    // Lines may end as on any system.
    assert_eq!(accepted(&SMALL.replace('\n', "\r\n")).kart().name, "kart 7");
}

#[test]
fn all_problems_of_a_file_are_listed_in_one_run_and_in_order() {
    let text = SMALL
        .replace("wheelbase: 1040", "wheelbase: -1040")
        .replace("minimum: 160", "minimum: heavy")
        .replace("aim: 43", "aim: 0.43")
        .replace("driver: Sam", "driver: Sem")
        .replace("start: 5 L", "start: 5 stone")
        .replace("capacity: 5}\n  floor", "capacity: 5, locked: no}\n  floor")
        .replace("count: 6", "count: -6");
    let errors = refused(&text);
    assert_eq!(codes(&errors), ["K013", "K010", "K016", "K019", "K006", "K010", "K013"]);
    let lines: Vec<usize> = errors.iter().map(|error| error.place.unwrap().line).collect();
    assert_eq!(lines, [2, 3, 5, 8, 11, 13, 17]);
}

#[test]
fn twenty_problems_are_shown_and_the_rest_counted() {
    let keys = (0..500).map(|index| format!("key_{index}: 1\n")).collect::<Vec<_>>().concat();
    let text = keys + SMALL;
    let errors = refused(&text);
    assert_eq!(errors.len(), 500);
    let shown = rendered(&errors, "file.yaml", &text);
    assert_eq!(shown.matches("error[K008]").count(), MOST_SHOWN);
    assert!(shown.ends_with("\nand 480 more errors\n"));
}

#[test]
fn a_diagnosis_is_also_data() {
    let errors = refused(&with("wheelbase: 1040", "wheelbase: 1,5 m"));
    let json = serde_json::to_string(&errors[0].summary()).unwrap();
    let expected = [
        r#"{"code":"K005","severity":"error","line":2,"column":33,"#,
        r#""message":"numbers need a dot, not a comma","#,
        r#""help":"write `1.5 m`. If you meant two values, put them on two lines"}"#,
    ];
    assert_eq!(json, expected.concat());
}

#[test]
fn text_of_the_user_cannot_command_a_terminal() {
    let errors = refused(&with("driver: Sam", "driver: \"S\\e[31m\\u202em\\u061c\\u2028\""));
    let shown = rendered(&errors, "a\u{1b}b.yaml", SMALL);
    assert!(!shown.contains(['\u{1b}', '\u{202e}', '\u{61c}', '\u{2028}']), "{shown}");
}

#[test]
fn faults_without_a_file_of_their_own_are_worded_too() {
    let missing = Fault::FileMissing {
        file: "saterday.yaml".into(),
        folder: "karts".into(),
        similar: Some("saturday.yaml".into()),
    };
    let shown = rendered(&[Diagnosis::nowhere(missing)], "saterday.yaml", "");
    assert_eq!(
        shown,
        "error[K001]: cannot find `saterday.yaml` in\n  `karts`\n\
         help: a file with a similar name is here:\n  `saturday.yaml`\n"
    );
}

/// A driver of that mass as read from a file; the limits are off, since the weighing is another driver's.
fn accepted_driver(number: f64, unit: &str) -> Mass {
    let text = with("mass: 70.5", &format!("mass: {number} {unit}")).replace("driver: Sam", "driver: none");
    accepted(&text.replace("name: kart 7", "name: kart 7, limits: off")).drivers()[0].mass
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// Whatever is written in one unit means the same written in another, to the last digit that a double
    /// holds.
    #[test]
    fn quantities_survive_a_change_of_unit(grams in 15_001_u32..199_999, tenths in 5_000_i32..20_000) {
        let kg = f64::from(grams) / 1e3;
        let in_kg = accepted_driver(kg, "kg");
        prop_assert_eq!(in_kg, Mass::from_kg(kg));
        prop_assert_eq!(accepted_driver(f64::from(grams), "g"), in_kg);
        prop_assert!((accepted_driver(in_kg.lb(), "lb") - in_kg).abs() <= Mass::from_ng(1));
        prop_assert!((accepted_driver(in_kg.lb() * 16.0, "oz") - in_kg).abs() <= Mass::from_ng(1));
        let mm = f64::from(tenths) / 10.0;
        for (per_unit, unit) in [(1.0, "mm"), (10.0, "cm"), (1e3, "m"), (25.4, "in"), (304.8, "ft")] {
            let number = mm / per_unit;
            let text = with("wheelbase: 1040", &format!("wheelbase: {number} {unit}"));
            let text = text.replace("x: 820", "x: 420").replace("x: 560", "x: 360");
            let read = accepted(&text).kart().chassis.wheelbase.mm();
            approx::assert_relative_eq!(read, mm, max_relative = 1e-14);
        }
    }
}
