//! The sheet of `card` against its document: every cell of the table, every list.

use serde_json::Value;

use crate::{close, kg, program, rows, sheet, words};

const CARDS: [&str; 3] = ["two-drivers", "odd-names", "seat-and-spacers"];

fn cells(document: &Value) -> &Vec<Value> {
    document["cells"].as_array().expect("a list")
}

#[test]
fn every_cell_of_the_table_is_that_of_the_document() {
    let mut plans = 0;
    for stem in CARDS {
        let (html, document) = sheet("card", stem);
        let rows = rows(&html, "card");
        let shown: Vec<&String> = rows.iter().flat_map(|row| &row[1..]).collect();
        assert_eq!(shown.len(), cells(&document).len(), "{stem}");
        for (shown, cell) in shown.iter().zip(cells(&document)) {
            let mark = match cell["way"].as_str().expect("a word") {
                "plan" => cell["work"].to_string(),
                "out_of_reach" => "x".to_owned(),
                "others" => "o".to_owned(),
                "pieces" => "p".to_owned(),
                _ => "?".to_owned(),
            };
            assert_eq!(**shown, mark);
            plans += usize::from(cell["way"] == "plan");
        }
        let step = |row: &Vec<String>| kg(&row[0].replace('\u{2212}', "-"));
        let steps: Vec<f64> = rows.iter().map(step).collect();
        let documented =
            cells(&document).chunks(rows[0].len() - 1).map(|cells| cells[0]["front_step_percent"].as_f64());
        assert!(steps.iter().copied().map(Some).eq(documented), "{steps:?}");
    }
    assert!(plans > 50, "only {plans} cells have a plan");
}

#[test]
fn every_cell_of_one_figure_says_what_to_do_and_where_it_leads() {
    for stem in CARDS {
        let (html, document) = sheet("card", stem);
        let [front, across, total] = ["front_percent", "across_percent", "total_kg"].map(|key| {
            let of_cells = cells(&document).iter().map(|cell| &cell["plus_minus"][key]);
            let all = of_cells.chain([&document["plus_minus"][key]]).filter_map(Value::as_f64);
            all.max_by(f64::total_cmp).expect("a \u{b1}")
        });
        let sure = format!("known to \u{b1} {front:.2}, \u{b1} {across:.2} and \u{b1} {total:.2} or better");
        assert!(words(&html).contains(&sure), "{stem}: {sure}");
        let changed =
            cells(&document).iter().filter(|cell| cell["work"].as_u64().is_some_and(|work| work > 0));
        let of_one = |cell: &&Value| cell["front_step_percent"] == 0.0 || cell["across_step_percent"] == 0.0;
        let mut listed = html.split("<section class=\"cell\">").skip(1);
        for cell in changed.filter(of_one) {
            let section =
                listed.next().expect("a list for every cell").split("</section>").next().expect("its end");
            let heading = words(section.split_once("</h3>").expect("a heading").0);
            let [front, across, total] = heading
                .rsplit(' ')
                .filter_map(|word| word.parse().ok())
                .take(3)
                .collect::<Vec<f64>>()
                .try_into()
                .map(|[total, across, front]: [f64; 3]| [front, across, total])
                .expect("three numbers");
            close(front, cell["front_percent"].as_f64().expect("a share"), 2);
            close(across, cell["across_percent"].as_f64().expect("a share"), 2);
            close(total, cell["total_kg"].as_f64().expect("a mass"), 3);
            let set = |adjuster: &&Value| adjuster["now"] != adjuster["planned"];
            let settings = cell["adjusters"].as_array().expect("a list").iter().filter(set);
            let changes = cell["changes"].as_array().expect("a list").iter();
            let names = settings.map(|one| &one["adjuster"]).chain(changes.map(|one| &one["piece"]));
            let items: Vec<String> = section
                .split("<li>")
                .skip(1)
                .map(|item| words(item.split("</li>").next().expect("an item")))
                .collect();
            let names: Vec<&str> = names.map(|name| name.as_str().expect("a name")).collect();
            assert_eq!(items.len(), names.len(), "{stem}: {items:?}");
            assert!(
                items.iter().zip(&names).all(|(item, name)| item.contains(name)),
                "{items:?} and {names:?}"
            );
        }
        assert!(listed.next().is_none(), "{stem}: more lists than cells");
    }
}

#[test]
fn today_is_on_the_card_with_its_uncertainty() {
    for stem in CARDS {
        let (html, document) = sheet("card", stem);
        let said = words(&html);
        for key in ["front_percent", "across_percent"] {
            let share = document[key].as_f64().expect("a share");
            assert!(said.contains(&format!("{share:.2} ± ")), "{stem}: {share} is not said");
        }
        for placement in document["placements"].as_array().expect("a list") {
            let rows = rows(&html, "mounts");
            let [mount, piece] = ["mount", "piece"].map(|key| placement[key].as_str().expect("a name"));
            let row = rows.iter().find(|row| row[0].ends_with(mount)).expect("a row for the mount");
            assert!(row[1].contains(piece), "{row:?}");
        }
    }
}

#[test]
fn all_cells_are_listed_when_asked_for() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("sheet");
    std::fs::create_dir_all(&folder).expect("a folder can be made");
    let file = folder.join("card.all.html");
    let file = file.to_str().expect("test folders have plain names");
    let run = program::run(&[
        "card",
        "scenarios/two-drivers.yaml",
        "--json",
        "--all",
        "--time",
        "600",
        "--sheet",
        file,
    ]);
    let document: Value = serde_json::from_str(&run.stdout).expect("a document");
    let html = std::fs::read_to_string(file).expect("the sheet is there");
    let changed =
        cells(&document).iter().filter(|cell| cell["work"].as_u64().is_some_and(|work| work > 0)).count();
    assert_eq!(html.matches("<section class=\"cell\">").count(), changed);
    assert_eq!(html.matches("<article").count(), 2);
}

#[test]
fn a_card_has_no_drawing_and_says_so() {
    let run = program::run(&["card", "scenarios/two-drivers.yaml", "--drawing", "card.svg"]);
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("K025") && run.stderr.contains("no drawing"), "{}", run.stderr);
    assert_eq!((run.stderr.matches("error").count(), run.stderr.matches("help: ").count()), (1, 1));
}
