//! The page of `card`: a table to tape to the trailer, then what to do for each cell.

use super::{Drawn, brief, cautions_of, definitions, picture, title, work};
use crate::answer::card::{Card, Cell as Found, CellPlan, Shares};
use crate::decimals::trimmed;
use crate::marks::{given, share};
use crate::page::{Block, Cell, Item, Page, Table, Tone};
use crate::scenario::Figure;

/// Which cells have their jobs listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Listed {
    /// Those that change one figure only.
    OneFigure,
    /// All that can be reached.
    All,
}

/// What stands in a cell that cannot be reached, and what that means.
const MARKS: [(&str, &str, &str); 4] = [
    ("out_of_reach", "x", "not even lead cut to any size gets there with these mounts"),
    ("others", "o", "another target would leave its tolerance: "),
    ("pieces", "p", "no set of these pieces on these mounts comes so near"),
    ("unsettled", "?", "not settled before the search was stopped"),
];

/// The page of a tuning card.
pub fn card(card: &Card, listed: Listed, drawn: Option<&Drawn>) -> Page {
    let called = format!("Tuning card: {}", title(card.driver.as_deref(), &card.kart, &card.class));
    let figure = card.across_figure.name();
    let Shares { front, across, total } = card.start;
    let start = format!(
        "around today\u{2019}s plan: front % {}, {figure} {} at the {}, {}",
        share(front),
        share(across),
        card.state.word(),
        given(total)
    );
    let mut blocks = vec![Block::Title(called.clone()), Block::Line(start)];
    let plans = || card.cells.iter().filter_map(|cell| cell.plan.as_ref()).filter(|plan| plan.work > 0);
    let step = plans().map(|plan| plan.step).reduce(Shares::or_worse);
    blocks.extend(step.map(|step| {
        Block::Line(format!(
            "the steps share most of these errors, so they are surer: front % to \u{b1} {}, {figure} to \u{b1} {}",
            share(step.front.sure()).as_plus_minus(),
            share(step.across.sure()).as_plus_minus()
        ))
    }));
    blocks.extend(definitions(std::iter::once(card.across_figure)));
    let set_first = &card.adjusters_before_the_first_step;
    let first = work::jobs(set_first, None, &card.changes_before_the_first_step, &card.mounts, drawn, true);
    if !first.is_empty() {
        blocks.push(Block::Heading("First carry out today\u{2019}s plan".to_owned()));
        blocks.push(work::in_order(&first));
    }
    let (table, mut left) = (Block::Table(table(card)), vec![Block::List(marks(card))]);
    // Whoever asks for the jobs of all cells gets the whole page.
    let brief = match listed {
        Listed::OneFigure => brief::card(card, table.clone(), left[0].clone()),
        Listed::All => Vec::new(),
    };
    let practice = "Rules of thumb (common practice, no published source)";
    left.extend(Block::section(practice, card.common_practice));
    blocks.extend([table, Block::Beside(vec![picture(drawn).into_iter().collect(), left])]);
    let settings = plans().flat_map(|plan| &plan.adjusters).chain(set_first);
    blocks.extend([cautions_of(settings, false), Block::Side]);
    blocks.extend(drawn.map(|_| work::mounts("Lead on the mounts", &card.mounts, &card.placements, drawn)));
    let heading = "What to do, from today\u{2019}s plan".to_owned();
    blocks.push(Block::Heading(heading));
    let all = card.cells.iter().filter_map(|cell| Some((cell, cell.plan.as_ref()?)));
    let (shown, others): (Vec<_>, Vec<_>) = all.filter(|(_, plan)| plan.work > 0).partition(|(cell, _)| {
        listed == Listed::All || cell.front_step.value == 0.0 || cell.across_step.value == 0.0
    });
    blocks.extend(match others.len() {
        0 => None,
        1 => Some(Block::Line("one more cell changes both figures: `--all` lists it".to_owned())),
        several => Some(Block::Line(format!("{several} more cells change both figures: `--all` lists them"))),
    });
    blocks.extend(shown.into_iter().flat_map(|(cell, plan)| to_do(cell, plan, card.across_figure)));
    Page { title: called, brief, blocks, status: card.status.said("card") }
}

/// `+0.5`, `−1`, `0`.
fn step(points: f64) -> String {
    let number = trimmed(points, 3).replace('-', "\u{2212}");
    if points > 0.0 && number != "0" { format!("+{number}") } else { number }
}

/// Steps of front % down, of the other figure across; what a cell takes, or why it is empty.
fn table(card: &Card) -> Table {
    let rows: Vec<&[Found]> = card.cells.chunks(card.columns.max(1)).collect();
    let across = rows.first().into_iter().flat_map(|row| row.iter());
    let head: Vec<String> = std::iter::once("front %".to_owned())
        .chain(across.map(|cell| step(cell.across_step.value)))
        .collect();
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    let cell = |cell: &Found| match &cell.plan {
        Some(plan) if plan.work == 0 => Cell::number(0).toned(Tone::Strong),
        Some(plan) => Cell::number(plan.work),
        None => Cell::number(mark(cell).map_or("", |(_, mark, _)| mark)).toned(Tone::Quiet),
    };
    let row = |cells: &&[Found]| {
        let first = cells.first().map_or_else(String::new, |cell| step(cell.front_step.value));
        std::iter::once(Cell::number(first)).chain(cells.iter().map(cell)).collect()
    };
    let caption = format!("Changes for front % (down) and {} (across)", card.across_figure.name());
    Table::new("card", caption, &head, rows.iter().map(row).collect())
}

fn mark(cell: &Found) -> Option<(&'static str, &'static str, &'static str)> {
    MARKS.into_iter().find(|(way, _, _)| *way == cell.way)
}

/// What the marks that occur mean.
fn marks(card: &Card) -> Vec<Item> {
    let occur = MARKS.into_iter().filter(|(way, _, _)| card.cells.iter().any(|cell| cell.way == *way));
    let words = occur.map(|(way, mark, words)| {
        let mut targets: Vec<&str> = Vec::new();
        for figure in card.cells.iter().filter(|cell| cell.way == way).flat_map(|cell| &cell.blocked_by) {
            if !targets.contains(&figure.name()) {
                targets.push(figure.name());
            }
        }
        Item::from(format!("{mark}: {words}{}", targets.join(", ")))
    });
    words.collect()
}

fn to_do(cell: &Found, plan: &CellPlan, figure: Figure) -> [Block; 2] {
    let Shares { front, across, total } = plan.shares;
    let heading = format!(
        "front {}, {} {}: to {} and {}, {}",
        step(cell.front_step.value),
        figure.name(),
        step(cell.across_step.value),
        share(front),
        share(across),
        given(total)
    );
    [Block::Heading(heading), work::in_order_short(&work::in_short(&plan.adjusters, &plan.changes))]
}
