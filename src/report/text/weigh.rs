//! The text of `weigh`: the corners as they lie on the ground, the figures, and which part lead or a spacer
//! can cure.
//! Takes the view; gives text.
//! Does not know the scenario.

use super::page::{Cell, Page, Table, Tone};
use super::{definitions, tone_of, verdict};
use crate::report::doubts::DoubtLine;
use crate::report::forecast::{CornerLine, ForecastLines};
use crate::report::headline::{FRAME_CAUTION, READY_TO_RACE};
use crate::report::height::{HeightLine, LineMeans};
use crate::report::target::{Standing, Wanted};
use crate::report::warp::WarpLines;
use crate::report::weigh::{About, Picture, Share, WeighStatus, WeighView};
use crate::scenario::Figure;

/// Lays out a weighing for a screen of so many columns.
pub fn weigh(view: &WeighView, width: usize) -> String {
    let mut page = Page::new(width);
    if let Some(about) = &view.about {
        heading(&mut page, view, about);
    } else {
        page.paragraph(0, Tone::Strong, "Four readings");
    }
    picture(&mut page, view);
    for lines in &view.after {
        forecast(&mut page, view, lines);
    }
    figures(&mut page, view);
    doubts(&mut page, &view.doubts);
    how_sure(&mut page, view);
    cures(&mut page, view);
    if let Some(lines) = &view.warp {
        warp(&mut page, lines);
    } else {
        page.section("What is warp");
        let help =
            "centre of gravity and warp need three lengths: add --wheelbase, --track-front and --track-rear";
        page.paragraph(2, Tone::Plain, help);
    }
    if !view.practice.is_empty() {
        page.section("Common practice, no published source");
        for remark in &view.practice {
            page.paragraph(2, Tone::Plain, remark);
        }
    }
    if view.about.is_none() {
        page.gap();
        page.paragraph(0, Tone::Plain, READY_TO_RACE);
    }
    page.into_text()
}

fn heading(page: &mut Page, view: &WeighView, about: &About) {
    page.paragraph(0, Tone::Strong, &format!("As weighed: {}", about.title()));
    page.paragraph(2, Tone::Plain, &about.aboard());
    for (count, piece, mount) in &about.lead {
        page.paragraph(4, Tone::Plain, &format!("{count} x {piece} on {mount}"));
    }
    let tone = if view.status == WeighStatus::TooLight { Tone::Bad } else { Tone::Plain };
    page.paragraph(2, tone, &view.official(about));
}

/// What was foretold of a weighing after work, and how it came out.
fn forecast(page: &mut Page, view: &WeighView, lines: &ForecastLines) {
    page.section(&format!(
        "Forecast and truth, number {} of `after`, {}",
        lines.after,
        view.screen.mass_unit()
    ));
    let verdict = |corner: &CornerLine| if corner.within { "as foretold" } else { "not as foretold" };
    let row = |corner: &CornerLine| {
        let tone = if corner.within { Tone::Good } else { Tone::Bad };
        vec![
            Cell::word(corner.word),
            Cell::number(&corner.forecast.number),
            Cell::word("->"),
            Cell::number(&corner.weighed.number),
            Cell::number(&corner.difference.number),
            Cell::word(&format!("+- {}", corner.expanded.number)),
            Cell::word(verdict(corner)).toned(tone),
        ]
    };
    if !page.table(&Table::new(2, lines.corners.iter().map(row).collect())) {
        for corner in &lines.corners {
            let CornerLine { word, forecast, weighed, difference, expanded, .. } = corner;
            let numbers = format!("{word} {} -> {}", forecast.number, weighed.number);
            page.paragraph(2, Tone::Plain, &numbers);
            let apart = format!("{} +- {}, {}", difference.number, expanded.number, verdict(corner));
            page.paragraph(4, Tone::Plain, &apart);
        }
    }
    page.paragraph(2, Tone::Plain, &lines.alone());
    page.paragraph(2, if lines.as_forecast { Tone::Good } else { Tone::Bad }, &lines.verdict);
    for (index, cause) in lines.causes.iter().enumerate() {
        page.paragraph(4, Tone::Plain, &if index == 0 { cause.clone() } else { format!("or {cause}") });
    }
}

fn picture(page: &mut Page, view: &WeighView) {
    let Picture { corners: [lf, rf, lr, rr], total, front, rear, left, right, .. } = &view.picture;
    let sure = &view.sure;
    page.section(&format!("Corners, {}", view.screen.mass_unit()));
    let percent = |share: &Share| Cell::number(&format!("{} %", share.number));
    let number = |text: &str| Cell::number(text);
    let rows = vec![
        vec![Cell::word(""), number("left"), number("right")],
        vec![
            Cell::word("front"),
            number(&lf.number),
            number(&rf.number),
            number(&front.load.number),
            percent(front),
        ],
        vec![
            Cell::word("  +-"),
            number(&sure.corners[0].number),
            number(&sure.corners[1].number),
            number(&sure.front.number),
            number(&format!("{} %", sure.front_percent.number)),
        ],
        vec![
            Cell::word("rear"),
            number(&lr.number),
            number(&rr.number),
            number(&rear.load.number),
            percent(rear),
        ],
        vec![
            Cell::word("  +-"),
            number(&sure.corners[2].number),
            number(&sure.corners[3].number),
            number(&sure.rear.number),
            number(&format!("{} %", sure.front_percent.number)),
        ],
        vec![Cell::word(""), number(&left.load.number), number(&right.load.number), number(&total.number)],
        vec![
            Cell::word("  +-"),
            number(&sure.left.number),
            number(&sure.right.number),
            number(&sure.total.number),
        ],
        vec![Cell::word(""), percent(left), percent(right)],
        vec![
            Cell::word("  +-"),
            number(&format!("{} %", sure.left_percent.number)),
            number(&format!("{} %", sure.left_percent.number)),
        ],
    ];
    if !page.table(&Table::new(2, rows)) {
        let numbers = view.picture.corners.each_ref().map(|corner| corner.number.as_str()).join(" ");
        let plus_minus = sure.corners.each_ref().map(|corner| corner.number.as_str()).join(" ");
        let text =
            format!("LF RF LR RR {numbers}, +- {plus_minus}, total {} +- {}", total.number, sure.total);
        page.paragraph(2, Tone::Plain, &text);
    }
}

/// A figure, its number, and what is wanted of it.
type Shown<'v> = (Figure, String, Option<&'v (Wanted, Standing)>);

/// Cross and pairs always; front and left only where they have a target, as the picture has them already.
fn figures(page: &mut Page, view: &WeighView) {
    page.section("Figures");
    let target = |figure: Figure| view.targets.iter().find(|(wanted, _)| wanted.figure == figure);
    let picture = &view.picture;
    let shown: Vec<Shown> = Figure::ALL
        .into_iter()
        .filter_map(|figure| {
            let number = match figure {
                Figure::Front => target(figure).map(|_| picture.front.number.clone())?,
                Figure::Rear => target(figure).map(|_| picture.rear.number.clone())?,
                Figure::Left => target(figure).map(|_| picture.left.number.clone())?,
                Figure::Cross => picture.cross.number.clone(),
                Figure::FrontPair => picture.front_pair.number.clone(),
                Figure::RearPair => picture.rear_pair.number.clone(),
                Figure::Height => target(figure).map(|(_, standing)| standing.number.clone())?,
            };
            Some((figure, number, target(figure)))
        })
        .collect();
    let rows = shown.iter().map(|(figure, number, target)| {
        let plus_minus = format!("+- {}", view.sure.of(*figure));
        let mut row = vec![Cell::word(figure.name()), Cell::number(number), Cell::number(&plus_minus)];
        if let Some((wanted, standing)) = target {
            row.extend([Cell::word(&format!("wanted {}", wanted.text)), verdict(standing)]);
        }
        row
    });
    if !page.table(&Table::new(2, rows.collect())) {
        for (figure, number, target) in &shown {
            let line = match target {
                Some((wanted, _)) => {
                    let sure = view.sure.of(*figure);
                    format!("{} {number} +- {sure}, wanted {}", figure.name(), wanted.text)
                }
                None => format!("{} {number} +- {}", figure.name(), view.sure.of(*figure)),
            };
            page.paragraph(2, Tone::Plain, &line);
            if let Some((_, standing)) = target {
                page.paragraph(4, tone_of(standing), &standing.verdict());
            }
        }
    }
    definitions(page, shown.iter().map(|(figure, _, _)| *figure));
    if let Some(lines) = &view.warp {
        page.paragraph(2, Tone::Plain, &lines.centre_of_gravity(&view.sure));
    }
    if let Some(line) = &view.height {
        height(page, line);
    }
}

/// What is odd about the weighing, before anybody acts on it.
fn doubts(page: &mut Page, doubts: &[DoubtLine]) {
    if doubts.is_empty() {
        return;
    }
    page.section("Look at the weighing again");
    for doubt in doubts {
        page.paragraph(2, Tone::Bad, &doubt.finding);
        page.paragraph(4, Tone::Plain, doubt.cure);
    }
    page.paragraph(2, Tone::Plain, "`kentledge weigh --howto` tells the order of a good weighing");
}

/// What every +- means and where most of it comes from.
fn how_sure(page: &mut Page, view: &WeighView) {
    page.section("How sure this is: +- is k = 2, about 95 %");
    for sentence in &view.origins {
        page.paragraph(2, Tone::Plain, &format!("most of the +- of {sentence}"));
    }
    for sentence in &view.assumptions {
        page.paragraph(2, Tone::Plain, sentence);
    }
}

/// The height from lifts, which nobody should repeat with a driver aboard without thinking.
fn height(page: &mut Page, line: &HeightLine) {
    let HeightLine { height, unsure, means } = line;
    let whence = match means {
        LineMeans::Lifted { scatter, lifts } => format!("from {lifts} lifts that agree to {scatter}"),
        LineMeans::Given => "as the file says".to_owned(),
    };
    let text = format!("centre of gravity: {} +- {unsure} above the ground, {whence}", height.number);
    page.paragraph(2, Tone::Plain, &text);
}

fn cures(page: &mut Page, view: &WeighView) {
    if view.targets.is_empty() {
        return;
    }
    page.section("What lead or the seat can cure");
    if view.cures.is_empty() {
        page.paragraph(2, Tone::Plain, "nothing: no target for front, rear or left is missed");
    }
    for cure in &view.cures {
        page.paragraph(2, Tone::Plain, &cure.sentence);
    }
}

fn warp(page: &mut Page, lines: &WarpLines) {
    page.section("What is warp: no lead and no seat cures it");
    for sentence in &lines.sentences {
        page.paragraph(2, Tone::Plain, sentence);
    }
    page.paragraph(2, Tone::Plain, &lines.how_sure());
    page.gap();
    page.paragraph(0, Tone::Plain, FRAME_CAUTION);
}
