//! The same program as rows and columns, for solvers that know nothing of mounts.
//! Holds no solver; `engine` hands it to good_lp and `export` writes it down.
//!
//! All numbers are kept exactly, in units of 10⁻¹² (a nanogram where the row is in kilograms).

use std::fmt;

use super::{Cell, Model};
use crate::goal::Goal;

mod settings;

use settings::Settings;

/// A number in units of 10⁻¹².
pub type Fixed = i64;

/// One.
pub const ONE: Fixed = 1_000_000_000_000;

/// What a column counts or measures. Shown without blanks, it is the column's name; kinds, mounts and targets go by number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Pieces of a kind on a mount.
    Pieces { kind: usize, mount: usize },
    /// A target's miss of its tolerance, kg.
    Miss { target: usize },
    /// A target's distance from its aim, kg.
    Distance { target: usize },
    /// Changes of a kind: the larger of its pieces put on and taken off.
    Work { kind: usize },
    /// Pieces of a kind that are put on a mount beyond what is fitted there.
    PutOn { kind: usize, mount: usize },
    /// Pieces of a kind that are taken off a mount.
    TakenOff {
        kind: usize,
        /// Off this mount.
        mount: usize,
    },
    /// 1 if an adjuster is at one of its settings, else 0.
    Chosen { adjuster: usize, setting: usize },
    /// Pieces of a kind on a mount that rides on an adjuster, if the adjuster is at this setting; else 0.
    Riding { kind: usize, mount: usize, adjuster: usize, setting: usize },
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Quantity::Pieces { kind, mount } => write!(f, "n_k{kind}_m{mount}"),
            Quantity::Miss { target } => write!(f, "targets_t{target}"),
            Quantity::Distance { target } => write!(f, "close_t{target}"),
            Quantity::Work { kind } => write!(f, "work_k{kind}"),
            Quantity::PutOn { kind, mount } => write!(f, "on_k{kind}_m{mount}"),
            Quantity::TakenOff { kind, mount } => write!(f, "off_k{kind}_m{mount}"),
            Quantity::Chosen { adjuster, setting } => write!(f, "a{adjuster}_p{setting}"),
            Quantity::Riding { kind, mount, adjuster, setting } => {
                write!(f, "n_k{kind}_m{mount}_a{adjuster}_p{setting}")
            }
        }
    }
}

/// A variable.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// What it stands for; also its name.
    pub quantity: Quantity,
    /// Factor in the objective.
    pub objective: Fixed,
    /// Smallest value.
    pub least: Fixed,
    /// Largest value; none for no limit.
    pub most: Option<Fixed>,
    /// Whether it is a whole number.
    pub whole: bool,
}

/// `least ≤ Σ factor·column ≤ most`; at least one of the two is given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// Name, without blanks.
    pub name: String,
    /// Factors by column.
    pub terms: Vec<(usize, Fixed)>,
    /// Smallest value.
    pub least: Option<Fixed>,
    /// Largest value.
    pub most: Option<Fixed>,
}

/// A linear program in whole and real numbers; its objective is to be made small.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Linear {
    /// Variables.
    pub columns: Vec<Column>,
    /// Constraints.
    pub rows: Vec<Row>,
    /// Added to the objective.
    pub constant: Fixed,
}

impl Linear {
    /// The program of one goal, with earlier goals held. Values of mass, targets and close are in kilograms, of work in changes.
    pub fn new(model: &Model, goal: Goal, held: &[(Goal, i64)]) -> Linear {
        let mut linear = Linear::default();
        let pieces = linear.add_pieces(model);
        linear.add_limits(model, &pieces);
        let settings = linear.add_settings(model, &pieces);
        let concerns =
            |wanted: &[Goal]| wanted.contains(&goal) || held.iter().any(|(held, _)| wanted.contains(held));
        let mass = mass_terms(model, &pieces);
        let outside = if concerns(&[Goal::Targets]) {
            linear.add_misses(model, &pieces, &settings, Goal::Targets)
        } else {
            Vec::new()
        };
        let close = if concerns(&[Goal::Close]) {
            linear.add_misses(model, &pieces, &settings, Goal::Close)
        } else {
            Vec::new()
        };
        let work =
            if concerns(&[Goal::Work]) { linear.add_work(model, &pieces, &settings) } else { Vec::new() };
        let terms = |of: Goal| match of {
            Goal::Legal | Goal::Light => (&mass, model.bare_ng),
            Goal::Targets => (&outside, 0),
            Goal::Work => (&work, 0),
            Goal::Close => (&close, 0),
        };
        for (held, at) in held {
            let (terms, constant) = terms(*held);
            let at = if *held == Goal::Work { at * ONE } else { *at };
            linear.at_most(format!("held_{}", held.word()), terms.clone(), at - constant);
        }
        let (objective, constant) = terms(goal);
        linear.constant = constant;
        for (column, factor) in objective {
            linear.columns[*column].objective = *factor;
        }
        linear
    }

    /// A column for the pieces of every kind on every mount, by `kind * mounts + mount`.
    fn add_pieces(&mut self, model: &Model) -> Vec<usize> {
        let mounts = model.mounts.len();
        let column = |cell: usize| {
            let (kind, mount) = (cell / mounts, cell % mounts);
            let (least, most) = match model.cell(kind, mount) {
                Cell::Open => (0, model.kinds[kind].count),
                Cell::Closed => (0, 0),
                Cell::Locked(count) => (count, count),
            };
            (Quantity::Pieces { kind, mount }, i64::from(least) * ONE, Some(i64::from(most) * ONE))
        };
        (0..model.kinds.len() * mounts)
            .map(|cell| {
                let (quantity, least, most) = column(cell);
                self.add_column(quantity, least, most, true)
            })
            .collect()
    }

    fn add_limits(&mut self, model: &Model, pieces: &[usize]) {
        let mounts = model.mounts.len();
        let kinds = model.kinds.len();
        for (kind, row) in model.kinds.iter().enumerate() {
            let terms = (0..mounts).map(|mount| (pieces[kind * mounts + mount], ONE)).collect();
            self.at_most(format!("stock_k{kind}"), terms, i64::from(row.count) * ONE);
        }
        for (mount, row) in model.mounts.iter().enumerate() {
            let on_mount = |factor: &dyn Fn(usize) -> Fixed| -> Vec<(usize, Fixed)> {
                (0..kinds).map(|kind| (pieces[kind * mounts + mount], factor(kind))).collect()
            };
            let mass = on_mount(&|kind| model.kinds[kind].mass_ng);
            self.at_most(format!("capacity_m{mount}"), mass, row.capacity_ng);
            let thickness: i64 =
                model.kinds.iter().map(|kind| kind.thickness_nm * i64::from(kind.count)).sum();
            if row.room_nm < thickness {
                // Millimetres: a nanometre is 10⁶ units of 10⁻¹².
                let room = on_mount(&|kind| model.kinds[kind].thickness_nm * 1_000_000);
                self.at_most(format!("room_m{mount}"), room, row.room_nm * 1_000_000);
            }
            if row.most_pieces < model.kinds.iter().map(|kind| kind.count).sum() {
                let count = on_mount(&|_| ONE);
                self.at_most(format!("pieces_m{mount}"), count, i64::from(row.most_pieces) * ONE);
            }
        }
        let mass = mass_terms(model, pieces);
        if model.most_lead_ng < model.stock_ng() {
            self.at_most("most_lead".into(), mass.clone(), model.most_lead_ng);
        }
        self.at_least("minimum".into(), mass, model.required_ng - model.bare_ng);
    }

    /// A column for every target's miss of the tolerance, or distance from the aim, bounded from below by its two sides.
    fn add_misses(
        &mut self,
        model: &Model,
        pieces: &[usize],
        settings: &Settings,
        goal: Goal,
    ) -> Vec<(usize, Fixed)> {
        let mounts = model.mounts.len();
        let mut sum = Vec::new();
        for (t, target) in model.targets.iter().enumerate() {
            let (over, under, slack): (i64, i64, &dyn Fn(usize) -> i64) = match goal {
                Goal::Targets => {
                    (target.ends.outside_over_ng, target.ends.outside_under_ng, &|kind| target.slack_ng[kind])
                }
                _ => (target.ends.close_over_ng, target.ends.close_under_ng, &|_| 0),
            };
            let quantity = match goal {
                Goal::Targets => Quantity::Miss { target: t },
                _ => Quantity::Distance { target: t },
            };
            let miss = self.add_column(quantity, 0, None, false);
            sum.push((miss, ONE));
            // Without adjusters the worst state is known beforehand; with them it depends on the settings.
            let states: Vec<(Option<usize>, i64, i64)> = if model.adjusters.is_empty() {
                vec![(None, over, under)]
            } else {
                let rests = target.states.iter().enumerate().map(|(state, row)| {
                    let half_width = if goal == Goal::Targets { row.half_width_ng } else { 0 };
                    (Some(state), row.value_ng - half_width, -row.value_ng - half_width)
                });
                rests.collect()
            };
            for (state, over, under) in states {
                for (side, sign, offset) in [("over", -1, over), ("under", 1, under)] {
                    let mut terms = vec![(miss, ONE)];
                    let gains = target.gain_ng.iter().enumerate();
                    terms
                        .extend(gains.map(|(cell, gain)| (pieces[cell], sign * gain + slack(cell / mounts))));
                    terms.extend(settings.terms(model, t, state, sign));
                    let of_state = state.map_or(String::new(), |state| format!("_s{state}"));
                    self.at_least(format!("{quantity}{of_state}_{side}"), terms, offset);
                }
            }
        }
        sum
    }

    /// A column for the changes of every kind: at least its pieces off, at least its pieces on; and the changes of adjusters.
    fn add_work(&mut self, model: &Model, pieces: &[usize], settings: &Settings) -> Vec<(usize, Fixed)> {
        let mounts = model.mounts.len();
        let mut sum = settings.work(model);
        for kind in 0..model.kinds.len() {
            let work = self.add_column(Quantity::Work { kind }, 0, None, false);
            sum.push((work, ONE));
            let (mut on, mut off) = (vec![(work, ONE)], vec![(work, ONE)]);
            for mount in 0..mounts {
                let piece = pieces[kind * mounts + mount];
                let fitted = i64::from(model.fitted.get(kind, mount)) * ONE;
                if fitted == 0 {
                    on.push((piece, -ONE));
                    continue;
                }
                let quantity = Quantity::PutOn { kind, mount };
                let put_on = self.add_column(quantity, 0, None, false);
                self.at_least(quantity.to_string(), vec![(put_on, ONE), (piece, -ONE)], -fitted);
                on.push((put_on, -ONE));
                let quantity = Quantity::TakenOff { kind, mount };
                let taken_off = self.add_column(quantity, 0, None, false);
                self.at_least(quantity.to_string(), vec![(taken_off, ONE), (piece, ONE)], fitted);
                off.push((taken_off, -ONE));
            }
            self.at_least(format!("work_k{kind}_on"), on, 0);
            if off.len() > 1 {
                self.at_least(format!("work_k{kind}_off"), off, 0);
            }
        }
        sum
    }

    fn add_column(&mut self, quantity: Quantity, least: Fixed, most: Option<Fixed>, whole: bool) -> usize {
        self.columns.push(Column { quantity, objective: 0, least, most, whole });
        self.columns.len() - 1
    }

    fn at_most(&mut self, name: String, terms: Vec<(usize, Fixed)>, most: Fixed) {
        self.rows.push(Row { name, terms, least: None, most: Some(most) });
    }

    fn at_least(&mut self, name: String, terms: Vec<(usize, Fixed)>, least: Fixed) {
        self.rows.push(Row { name, terms, least: Some(least), most: None });
    }
}

fn mass_terms(model: &Model, pieces: &[usize]) -> Vec<(usize, Fixed)> {
    let mounts = model.mounts.len();
    pieces.iter().enumerate().map(|(cell, column)| (*column, model.kinds[cell / mounts].mass_ng)).collect()
}
