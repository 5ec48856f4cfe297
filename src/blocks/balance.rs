//! Tables of a kart before and after: targets, corners, the margin at inspection.

use super::{chance, definitions, stands, tone};
use crate::answer::kart::{Kart, Place, Residual};
use crate::answer::margin::Margin;
use crate::marks::{self, MASS_UNIT, column, figure, fine, given, written};
use crate::page::{Block, Cell, Item, Table, Tone};
use crate::quantity::{Kg, Mm, Quantity, Wheels};
use crate::scenario::{Figure, Moment};
use crate::statics::Corner;
use crate::units::UnitSystem;

impl Residual {
    /// The figure with its ±.
    pub(super) fn shown(&self) -> String {
        figure(self.target, self.value.0, Some(self.plus_minus.0)).to_string()
    }

    /// What is wanted of it.
    pub(super) fn wanted(&self) -> String {
        marks::wanted(self.target, self.aim.0, self.within.0)
    }
}

/// Every target before and planned, with its ± and how it stands; one row for both states where they read alike. Shares without
/// a target tell where a kart stands all the same.
pub(super) fn targets(before: &Kart, planned: &Kart, earlier: &str, weighed_at: Moment) -> Vec<Block> {
    let mut rows = Vec::new();
    let pairs: Vec<(&Residual, &Residual)> = before.residuals.iter().zip(&planned.residuals).collect();
    for target in pairs.chunk_by(|(_, one), (_, next)| one.target == next.target) {
        let row = |(then, now): &(&Residual, &Residual), state: &str| {
            vec![
                Cell::words(state),
                Cell::number(then.shown()),
                Cell::number(now.shown()),
                Cell::words(now.wanted()),
                Cell::words(stands(now)).toned(tone(now.verdict)),
            ]
        };
        let read = |cells: &[Cell]| -> Vec<String> {
            cells.iter().skip(1).map(|cell| written(&cell.text, UnitSystem::KgMm)).collect()
        };
        let mut states: Vec<Vec<Cell>> =
            target.iter().map(|pair| row(pair, pair.1.state.map_or("", Moment::word))).collect();
        if let [start, finish] = states.as_slice()
            && read(start) == read(finish)
        {
            states = vec![row(&target[0], "both")];
        }
        let names = std::iter::once(target[0].1.target.name()).chain(std::iter::repeat(""));
        rows.extend(names.zip(states).map(|(name, cells)| [vec![Cell::words(name)], cells].concat()));
    }
    let is_targeted = |of: Figure| {
        pairs.iter().any(|(_, now)| now.target == of || (of == Figure::Front && now.target == Figure::Rear))
    };
    let untargeted: Vec<Figure> =
        [Figure::Front, Figure::Left, Figure::Cross].into_iter().filter(|of| !is_targeted(*of)).collect();
    for of in &untargeted {
        let shown = |kart: &Kart| {
            let (value, plus_minus) = kart.states.at(weighed_at).of(*of).unwrap_or_default();
            Cell::number(figure(*of, value, Some(plus_minus)))
        };
        let quiet = Cell::words("no target").toned(Tone::Quiet);
        let row = [Cell::words(of.name()), Cell::words(weighed_at.word()), shown(before), shown(planned)];
        rows.push([row.to_vec(), vec![Cell::words(""), quiet]].concat());
    }
    let head = ["", "fuel", earlier, "planned", "wanted", ""];
    let shown = pairs.iter().map(|(_, now)| now.target);
    let mut figures: Vec<Figure> = shown.chain(untargeted).collect();
    figures.dedup();
    let mut blocks = vec![Block::Table(Table::new("targets", "Balance", &head, rows))];
    blocks.extend(definitions(figures.into_iter()));
    blocks
}

/// Corners and their sum.
type Loads = (Quantity<Kg, Wheels>, Quantity<Kg>);

/// Corners before and planned; then where the centre of gravity is.
pub(super) fn corners(before: &Kart, planned: &Kart, earlier: &str, weighed_at: Moment) -> Vec<Block> {
    let alike = planned.corners.value.start == planned.corners.value.finish;
    let moments: Vec<Moment> = if alike { vec![weighed_at] } else { Moment::ALL.to_vec() };
    let of = |kart: &Kart, moment: Moment| (kart.corners.at(moment), kart.states.at(moment).total);
    let mut karts: Vec<(String, Loads)> =
        vec![(format!("{earlier}, {}", weighed_at.word()), of(before, weighed_at))];
    karts.extend(moments.iter().map(|moment| {
        let heading = if alike { "planned".to_owned() } else { format!("planned, {}", moment.word()) };
        (heading, of(planned, *moment))
    }));
    let row = |name: &str, each: &dyn Fn(&Loads) -> Quantity<Kg>| {
        let numbers = karts.iter().map(|(_, kart)| Cell::number(column(each(kart))));
        std::iter::once(Cell::words(name)).chain(numbers).collect::<Vec<Cell>>()
    };
    let wheels = Corner::ALL.into_iter().enumerate();
    let mut rows: Vec<Vec<Cell>> = wheels
        .map(|(index, corner)| row(corner.word(), &|(wheels, _)| wheels.part(|all| all.each()[index])))
        .collect();
    rows.push(row("total", &|(_, total)| *total));
    let headings: Vec<&str> =
        std::iter::once("").chain(karts.iter().map(|(heading, _)| heading.as_str())).collect();
    let places = moments.iter().filter_map(|moment| {
        let at = if alike { String::new() } else { format!(" at the {}", moment.word()) };
        let place = planned.states.at(*moment).centre_of_gravity.as_ref()?;
        Some(Item::from(format!("centre of gravity{at}: {}", centre_of_gravity(place))))
    });
    vec![
        Block::Table(Table::new("corners", format!("Corners, {MASS_UNIT}"), &headings, rows)),
        Block::List(places.collect()),
    ]
}

/// `436.5 ± 2.1 mm ahead of the rear axle, 5.2 ± 1.7 mm right of the centre line`.
pub(super) fn centre_of_gravity(place: &Place) -> String {
    let side = if place.y.value < 0.0 { "right" } else { "left" };
    let beside = Quantity::new(Mm, place.y.value.abs(), place.y.plus_minus);
    format!("{} ahead of the rear axle, {} {side} of the centre line", fine(place.x), fine(beside))
}

/// What the officials want, what is left above it, and what stands between the plan and their scale.
pub(super) fn inspection(margin: &Margin, planned: Quantity<Kg>) -> Vec<Block> {
    let wanted = &margin.wanted;
    let facts = [
        ("minimum", given(wanted.minimum)),
        ("margin", given(wanted.margin)),
        ("wanted", given(wanted.required)),
        ("planned", given(planned)),
        ("above what is wanted", marks::plain(margin.above_required)),
    ];
    let facts = facts.map(|(what, mass)| vec![Cell::words(what), Cell::number(mass.bare())]);
    let official = vec![Cell::words("official scale"), Cell::BLANK];
    let caption = format!("At inspection, with the fuel of the {}, {MASS_UNIT}", wanted.weighed_at.word());
    let facts = Table::new("facts", caption, &[], facts.into_iter().chain([official]).collect());
    vec![Block::Table(facts)]
}

/// What is lost between the plan and the officials' scale, line by line.
pub(super) fn budget(margin: &Margin) -> Vec<Block> {
    let row = |what: &str, loss: Quantity<Kg>| {
        let loses = if loss.value > 0.0 { column(loss.alone()).to_string() } else { String::new() };
        vec![Cell::words(what), Cell::number(loses), Cell::number(column(loss.sure()))]
    };
    let mut rows: Vec<Vec<Cell>> = margin.budget.lines.iter().map(|line| row(line.what, line.loss)).collect();
    rows.push(row("together", margin.budget.loss));
    let head = [&format!("between plan and scale, {MASS_UNIT}"), "loss", "\u{b1}"];
    let heading = format!("Chance to pass {}", chance(margin.chance));
    vec![
        Block::Table(Table::new("budget", heading, &head, rows)),
        Block::Line("\u{b1} holds the truth in 95 of 100 cases (k = 1.96)".to_owned()),
    ]
}
