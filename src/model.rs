//! The integer program of one driver as plain data: whole pieces on mounts, settings of adjusters, limits, targets, goals.
//! Holds no solver and no state of a solve; the rows and columns of a general solver are in `model::linear`.
//!
//! # States collapse
//!
//! Lead acts alike in every state, so a target's value in state j is `r_j + x` with one x for all states. The worst state's
//! distance from the aim is `max_j |r_j + x| = max(x + max_j r_j, −x + max_j −r_j)`, and the worst state's miss of the tolerance
//! `max(0, x + max_j (r_j − h_j) − τ, −x + max_j (−r_j − h_j) − τ)`, where τ is what the lead's own mass adds to the tolerance's
//! half-width. Two numbers per target and goal stand for any number of states.
//!
//! # Settings
//!
//! A setting of an adjuster adds to `r`, in every state what it adds there, and the effects of several adjusters add up. Only
//! the seat also changes gains, those of the mounts that ride on it. So with all settings fixed what is left is a program of
//! lead alone, and [`Model::targets_at`] states it.

use crate::counts::Counts;
use crate::goal::{Goal, Preferences};
use crate::inspection;
use crate::scenario::{Access, Kind, Line, Moment, Mount, Scenario, Shift, Target};
use crate::statics::Corners;
use crate::weighing::{self, Load};

pub mod linear;
mod settings;

pub use settings::{AdjusterRow, SettingRow};

/// A kind of piece.
#[derive(Clone, Debug)]
pub struct KindRow {
    /// Mass of one piece, ng.
    pub mass_ng: i64,
    /// Pieces there are.
    pub count: u32,
    /// Thickness of one piece, nm.
    pub thickness_nm: i64,
}

/// What a mount can take.
#[derive(Clone, Debug)]
pub struct MountRow {
    /// Most lead, ng.
    pub capacity_ng: i64,
    /// Most thickness, nm.
    pub room_nm: i64,
    pub most_pieces: u32,
}

/// What may be done with the pieces of one kind on one mount.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Any number of the pieces there are.
    Open,
    /// None: the mount, a bolt pattern or a rule refuses the kind.
    Closed,
    /// Exactly this many: they stay, none is added.
    Locked(u32),
}

impl Cell {
    /// Whether so many pieces obey it.
    pub fn allows(self, count: u32) -> bool {
        match self {
            Cell::Open => true,
            Cell::Closed => count == 0,
            Cell::Locked(fitted) => count == fitted,
        }
    }
}

/// One target, with its weight multiplied in. `x = Σ gain·n` and `τ = Σ slack·n`; see the module documentation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TargetRow {
    /// What one piece of a kind on a mount adds to x, ng; by `kind * mounts + mount`.
    pub gain_ng: Vec<i64>,
    /// What one piece of a kind adds to the half-width of the tolerance, ng.
    pub slack_ng: Vec<i64>,
    /// Every state where the target counts.
    pub states: Vec<StateRow>,
    /// What the states leave of it.
    pub ends: Ends,
}

/// The four numbers in which the states of a target collapse.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ends {
    /// max over states of `r − h`, ng.
    pub outside_over_ng: i64,
    /// max over states of `−r − h`, ng.
    pub outside_under_ng: i64,
    /// max over states of `r`, ng.
    pub close_over_ng: i64,
    /// max over states of `−r`, ng.
    pub close_under_ng: i64,
}

/// A target in one state, without any lead that could be moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StateRow {
    /// Signed distance from the aim, r, ng.
    pub value_ng: i64,
    /// Half-width of the tolerance, h, ng.
    pub half_width_ng: i64,
}

/// The whole program.
#[derive(Clone, Debug)]
pub struct Model {
    /// Kinds in file order.
    pub kinds: Vec<KindRow>,
    /// Mounts in file order.
    pub mounts: Vec<MountRow>,
    /// What may be where, by `kind * mounts + mount`.
    pub cells: Vec<Cell>,
    /// What is on the kart now; a plan's changes are counted from it.
    pub fitted: Counts,
    /// Targets in file order, at the settings of now.
    pub targets: Vec<TargetRow>,
    /// Adjusters in the order of the scenario.
    pub adjusters: Vec<AdjusterRow>,
    /// Everything but lead, as the officials weigh it, ng.
    pub bare_ng: i64,
    /// Least total, as the officials weigh it, ng.
    pub required_ng: i64,
    /// Most lead that the rules allow together, ng.
    pub most_lead_ng: i64,
    /// Goals: order, resolutions, spare.
    pub preferences: Preferences,
}

/// A plan's values, goal by goal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Values {
    /// Total mass as the officials weigh it, ng.
    pub mass_ng: i64,
    /// Weighted kilograms outside the tolerances, ng.
    pub outside_ng: i64,
    /// Changes from what is fitted.
    pub work: i64,
    /// Weighted kilograms from the targets, ng.
    pub close_ng: i64,
}

impl Values {
    /// The value of one goal: ng, or changes for `work`.
    pub fn of(&self, goal: Goal) -> i64 {
        match goal {
            Goal::Legal | Goal::Light => self.mass_ng,
            Goal::Targets => self.outside_ng,
            Goal::Work => self.work,
            Goal::Close => self.close_ng,
        }
    }
}

impl TargetRow {
    /// Sums of gains x and of slacks τ of so many pieces, ng.
    pub fn sums(&self, counts: &Counts) -> (i64, i64) {
        counts.placed().fold((0, 0), |(x, tau), (kind, mount, count)| {
            let count = i64::from(count);
            (x + self.gain_ng[kind * counts.mounts() + mount] * count, tau + self.slack_ng[kind] * count)
        })
    }

    /// Miss of the tolerance for a sum of gains x and of slacks τ, ng.
    pub fn outside_ng(&self, x: i64, tau: i64) -> i64 {
        (x + self.ends.outside_over_ng - tau).max(-x + self.ends.outside_under_ng - tau).max(0)
    }

    /// Makes the tolerance wider by so much at either end, in every state.
    pub fn widen(&mut self, by_ng: i64) {
        for state in &mut self.states {
            state.half_width_ng += by_ng;
        }
        self.ends.outside_over_ng -= by_ng;
        self.ends.outside_under_ng -= by_ng;
    }

    /// Distance from the aim for a sum of gains x, ng.
    pub fn close_ng(&self, x: i64) -> i64 {
        (x + self.ends.close_over_ng).max(-x + self.ends.close_under_ng)
    }
}

impl Ends {
    /// Of no state at all: nothing is ever missed.
    pub(crate) const OF_NONE: Ends = Ends {
        outside_over_ng: i64::MIN / 4,
        outside_under_ng: i64::MIN / 4,
        close_over_ng: i64::MIN / 4,
        close_under_ng: i64::MIN / 4,
    };

    /// The largest over the states.
    pub fn of(states: impl IntoIterator<Item = StateRow>) -> Ends {
        let of_state = |StateRow { value_ng, half_width_ng }: StateRow| Ends {
            outside_over_ng: value_ng - half_width_ng,
            outside_under_ng: -value_ng - half_width_ng,
            close_over_ng: value_ng,
            close_under_ng: -value_ng,
        };
        states.into_iter().map(of_state).fold(Ends::OF_NONE, |ends, own| ends.each(own, i64::max))
    }

    /// One of each two numbers.
    #[must_use]
    pub fn each(self, other: Ends, choose: impl Fn(i64, i64) -> i64) -> Ends {
        Ends {
            outside_over_ng: choose(self.outside_over_ng, other.outside_over_ng),
            outside_under_ng: choose(self.outside_under_ng, other.outside_under_ng),
            close_over_ng: choose(self.close_over_ng, other.close_over_ng),
            close_under_ng: choose(self.close_under_ng, other.close_under_ng),
        }
    }

    /// What they are once lead with sums of gains x and of slacks τ counts as settled, ng.
    #[must_use]
    pub fn with_lead(self, x: i64, tau: i64) -> Ends {
        Ends {
            outside_over_ng: self.outside_over_ng + x - tau,
            outside_under_ng: self.outside_under_ng - x - tau,
            close_over_ng: self.close_over_ng + x,
            close_under_ng: self.close_under_ng - x,
        }
    }

    /// The largest magnitude, ng.
    pub fn largest(self) -> i64 {
        let ends = [self.outside_over_ng, self.outside_under_ng, self.close_over_ng, self.close_under_ng];
        ends.into_iter().map(i64::abs).fold(0, i64::max)
    }
}

impl Model {
    /// States the program for one driver of a scenario.
    pub fn new(scenario: &Scenario, driver: Option<usize>) -> Model {
        let trunk = weighing::trunk(scenario, driver);
        let mounts = scenario.mounts();
        let states: Vec<(Moment, Load)> = Moment::ALL
            .into_iter()
            .map(|moment| {
                let fuel = weighing::fuel(scenario, moment);
                (moment, Load { corners: trunk.corners + fuel.corners, total: trunk.total + fuel.total })
            })
            .collect();
        let class = scenario.class();
        let bare = states.iter().find(|(moment, _)| *moment == class.weighed_at);
        Model {
            kinds: scenario.lead().iter().map(KindRow::new).collect(),
            mounts: mounts.iter().map(|mount| MountRow::new(mount, scenario)).collect(),
            cells: (0..scenario.lead().len())
                .flat_map(|kind| (0..mounts.len()).map(move |mount| cell(scenario, kind, mount)))
                .collect(),
            fitted: scenario.fitted().clone(),
            targets: scenario.targets().iter().map(|t| TargetRow::new(t, &states, scenario)).collect(),
            adjusters: settings::rows(scenario, driver),
            bare_ng: bare.map_or(trunk.total, |(_, load)| load.total).ng(),
            required_ng: inspection::required(scenario, driver).ng(),
            most_lead_ng: class.rules.most_lead.map_or(i64::MAX / 4, crate::units::Mass::ng),
            preferences: scenario.preferences().clone(),
        }
    }

    /// What may be done with `kind` on `mount`.
    pub fn cell(&self, kind: usize, mount: usize) -> Cell {
        self.cells[kind * self.mounts.len() + mount]
    }

    /// The resolution of a goal: ng, or changes for `work`.
    pub fn resolution(&self, goal: Goal) -> i64 {
        match goal {
            Goal::Legal => self.preferences.legal.ng(),
            Goal::Targets => self.preferences.targets.ng(),
            Goal::Light => self.preferences.light.ng(),
            Goal::Work => i64::from(self.preferences.work),
            Goal::Close => self.preferences.close.ng(),
        }
    }

    /// How far two plans that are equal on paper may be apart in a goal of this program: ng, or changes for `work`.
    ///
    /// Masses and changes are exact. Of balance every coefficient is rounded to the nearest nanogram: each piece brings a gain,
    /// one more on a seat that has moved (twice rounded), and a slack; each step of an adjuster brings its effect; a state
    /// brings two numbers.
    pub fn rounding(&self, goal: Goal) -> i64 {
        match goal {
            Goal::Legal | Goal::Light | Goal::Work => 0,
            Goal::Targets | Goal::Close => {
                let pieces: i64 = self.kinds.iter().map(|kind| i64::from(kind.count)).sum();
                let steps: i64 = self.adjusters.iter().map(|row| row.settings.len() as i64).sum();
                // Half a nanogram each, in either plan.
                (4 * pieces + steps + 2) * self.targets.len() as i64
            }
        }
    }

    /// Goals in the order in which they are solved.
    pub fn goals(&self) -> [Goal; 5] {
        self.preferences.goals()
    }

    /// The values of a plan, by this model's own arithmetic.
    pub fn values(&self, counts: &Counts) -> Values {
        let (mut mass_ng, mut outside_ng, mut close_ng) = (self.bare_ng, 0, 0);
        for (kind, _, count) in counts.placed() {
            mass_ng += self.kinds[kind].mass_ng * i64::from(count);
        }
        let targets = self.targets_at(counts.settings());
        for target in targets.iter() {
            let (x, tau) = target.sums(counts);
            outside_ng += target.outside_ng(x, tau);
            close_ng += target.close_ng(x);
        }
        let work = i64::from(self.fitted.changes_to(counts)) + self.work_of(counts.settings());
        Values { mass_ng, outside_ng, work, close_ng }
    }

    /// Mass of all lead in stock, ng.
    pub fn stock_ng(&self) -> i64 {
        self.kinds.iter().map(|kind| kind.mass_ng * i64::from(kind.count)).sum()
    }

    /// Whether counts obey every limit but the minimum: bounds, stock, mounts, most lead.
    pub fn fits(&self, counts: &Counts) -> bool {
        let mut lead_ng = 0;
        for (kind, row) in self.kinds.iter().enumerate() {
            lead_ng += row.mass_ng * i64::from(counts.of_kind(kind));
            let allowed =
                (0..self.mounts.len()).all(|mount| self.cell(kind, mount).allows(counts.get(kind, mount)));
            if counts.of_kind(kind) > row.count || !allowed {
                return false;
            }
        }
        let mounts = self.mounts.iter().enumerate().all(|(mount, row)| {
            let (mut mass, mut room, mut pieces) = (0, 0, 0);
            for (kind, piece) in self.kinds.iter().enumerate() {
                let count = counts.get(kind, mount);
                mass += piece.mass_ng * i64::from(count);
                room += piece.thickness_nm * i64::from(count);
                pieces += count;
            }
            mass <= row.capacity_ng && room <= row.room_nm && pieces <= row.most_pieces
        });
        mounts && lead_ng <= self.most_lead_ng
    }
}

impl KindRow {
    fn new(kind: &Kind) -> KindRow {
        KindRow { mass_ng: kind.mass.ng(), count: kind.count, thickness_nm: kind.thickness.nm() }
    }
}

impl MountRow {
    fn new(mount: &Mount, scenario: &Scenario) -> MountRow {
        MountRow {
            capacity_ng: mount.may_carry(&scenario.class().rules).ng(),
            // Far above any stack, far below overflow when pieces are added.
            room_nm: mount.room.map_or(i64::MAX / 4, crate::units::Length::nm),
            most_pieces: mount.most_pieces.unwrap_or(u32::MAX),
        }
    }
}

/// What may be done in one cell: locked mounts stay as they are; a kind that the mount or a rule refuses stays off.
fn cell(scenario: &Scenario, kind: usize, mount: usize) -> Cell {
    let fitted = scenario.fitted().get(kind, mount);
    if scenario.mounts()[mount].access == Access::Locked {
        return Cell::Locked(fitted);
    }
    let rules = &scenario.class().rules;
    let piece = &scenario.lead()[kind];
    let too_heavy = rules.largest_piece.is_some_and(|largest| piece.mass > largest);
    // A piece whose bolts nobody counted has at least the one that holds it.
    let too_loose = rules.fewest_bolts_per_piece.is_some_and(|fewest| piece.bolts.unwrap_or(1) < fewest);
    let taken = scenario.mounts()[mount].takes[kind] && !too_heavy && !too_loose;
    if taken { Cell::Open } else { Cell::Closed }
}

impl TargetRow {
    /// A percentage is multiplied out, `|F − f·W| ≤ tol·W`, and so is a height, as a share of the wheelbase.
    fn new(target: &Target, states: &[(Moment, Load)], scenario: &Scenario) -> TargetRow {
        let Line { share, difference_kg, within_share, within_kg } = target.aim.line();
        // Kilograms to nanograms, with the target's weight.
        let scale = 1e12 * target.weight;
        let value =
            |corners: &Corners, total_kg: f64| target.figure.kg(corners) - share * total_kg - difference_kg;
        let counted = states.iter().filter(|(moment, _)| target.when.includes(*moment));
        let states = counted.map(|(_, load)| {
            let total_kg = load.total.kg();
            StateRow {
                value_ng: (value(&load.corners, total_kg) * scale).round() as i64,
                half_width_ng: ((within_share * total_kg + within_kg) * scale).round() as i64,
            }
        });
        let states: Vec<StateRow> = states.collect();
        let mut row = TargetRow {
            gain_ng: Vec::with_capacity(scenario.lead().len() * scenario.mounts().len()),
            slack_ng: Vec::with_capacity(scenario.lead().len()),
            ends: Ends::of(states.iter().copied()),
            states,
        };
        for kind in scenario.lead() {
            let mass_kg = kind.mass.kg();
            row.slack_ng.push((within_share * mass_kg * scale).round() as i64);
            for mount in 0..scenario.mounts().len() {
                let influence = weighing::mount_influence(scenario, mount, Shift::default());
                let per_kg = target.figure.kg(&influence) - share;
                row.gain_ng.push((per_kg * mass_kg * scale).round() as i64);
            }
        }
        row
    }
}
