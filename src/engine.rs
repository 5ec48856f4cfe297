//! The linear programs that good_lp solves: divisible lead, the directions of the search's bounds, a second opinion.
//! The only file that names good_lp; knows no karts and keeps nothing between calls.

use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution, SolutionStatus, SolverModel, Variable,
    WithTimeLimit, constraint, microlp, variable,
};

use crate::goal::Goal;
use crate::model::linear::{Column, Fixed, Linear, ONE};
use crate::model::{Model, TargetRow};
use crate::search::{Balance, BoundedSum, Pricing, Subproblem};

const KG_PER_NG: f64 = 1e-12;

/// What is held is held this far above its value, ng: the engine's rows may be off by 1e-7 kg, and a hold without slack would
/// then exclude the very plan it came from.
const HOLD_SLACK_NG: i64 = 1_000_000;

/// Components of a price below this are noise of the engine; as directions they would only cost time.
const LEAST_PRICE: f64 = 1e-6;

/// What could be reached if lead could be cut to any size.
#[derive(Clone, Debug, PartialEq)]
pub struct Divisible {
    /// Kilograms outside the tolerances.
    pub outside_kg: f64,
    /// Kilograms from the targets, with the tolerances held as for whole pieces.
    pub close_kg: f64,
    /// Lead on every mount that is so near to the targets, kg, in file order.
    pub lead_kg: Vec<f64>,
}

/// What lead of any size could reach: the programs of `targets` and of `close` under what is `held` before each, but pieces
/// need not be whole. No plan that keeps to the same is better. None if the engine has no answer.
pub fn divisible(model: &Model, held: impl Fn(Goal) -> Vec<(Goal, i64)>) -> Option<Divisible> {
    let (outside_kg, _) = relaxed(model, Goal::Targets, &held(Goal::Targets))?;
    let (close_kg, pieces) = relaxed(model, Goal::Close, &held(Goal::Close))?;
    let mounts = model.mounts.len();
    let on_mount = |mount: usize| {
        let kinds = model.kinds.iter().enumerate();
        kinds.map(|(kind, row)| pieces[kind * mounts + mount] * row.mass_ng as f64 * KG_PER_NG).sum()
    };
    Some(Divisible { outside_kg, close_kg, lead_kg: (0..mounts).map(on_mount).collect() })
}

/// The least value of a goal under what is held where nothing needs to be whole, neither pieces nor settings: a bound on every
/// plan, good to what the engine's rows are. Also the pieces, by `kind * mounts + mount`; none if the engine has no answer.
pub fn relaxed(model: &Model, goal: Goal, held: &[(Goal, i64)]) -> Option<(f64, Vec<f64>)> {
    let held: Vec<(Goal, i64)> =
        held.iter().map(|(held, at)| (*held, at.saturating_add(HOLD_SLACK_NG))).collect();
    let linear = Linear::new(model, goal, &held);
    let (problem, columns, objective) = stated(&linear, false);
    let solution = problem.solve().ok()?;
    let pieces = columns.iter().take(model.cells.len()).map(|column| solution.value(*column)).collect();
    Some((solution.eval(&objective), pieces))
}

/// One target in kilograms, with lead by mass instead of by pieces.
struct Row {
    /// x per kilogram of lead on each mount.
    gain: Vec<f64>,
    /// Half-width per kilogram of lead.
    slack: f64,
    over_kg: f64,
    under_kg: f64,
}

/// The targets with lead by mass; none where there is no lead.
fn rows(model: &Model, balance: Balance) -> Option<Vec<Row>> {
    let reference = model.kinds.first()?;
    let per_kg = |ng: i64| ng as f64 / reference.mass_ng as f64;
    let row = |target: &TargetRow| {
        let (over, under) = balance.rests_ng(target);
        Row {
            // The first kind's row stands for all: gains are proportional to mass.
            gain: target.gain_ng[..model.mounts.len()].iter().map(|gain| per_kg(*gain)).collect(),
            slack: if balance == Balance::Targets { per_kg(target.slack_ng[0]) } else { 0.0 },
            over_kg: over as f64 * KG_PER_NG,
            under_kg: under as f64 * KG_PER_NG,
        }
    };
    Some(model.targets.iter().map(row).collect())
}

/// Prices subproblems of the search by the dual of their relaxation.
///
/// The search bounds in any direction; the best one is a dual solution. The dual is stated and solved outright, because the
/// engine does not hand out prices: maximise `Σ u·over + d·under + p·least − q·most − Σ free·y` over u, d, p, q, y ≥ 0 with
/// `u + d ≤ 1` (targets) or `= 1` (close) for each target, and `Σ (u−d)·gain − Σ (u+d)·slack − p + q + y ≥ 0` for each
/// mount. A sum that is held brings u' and d' of its own, with `u' + d' ≤ w` and `w ≥ 0`, of which each unit costs its limit.
/// The direction is d − u, and d' − u' with it.
#[derive(Debug)]
pub struct DualPrices<'m> {
    model: &'m Model,
}

impl<'m> DualPrices<'m> {
    /// For subproblems of a search over this model.
    pub fn new(model: &'m Model) -> DualPrices<'m> {
        DualPrices { model }
    }

    /// The rows of one sum, with what is placed in them.
    fn rows(&self, sum: &BoundedSum, subproblem: &Subproblem) -> Option<Vec<Row>> {
        let mut rows = rows(self.model, sum.balance)?;
        for (t, row) in rows.iter_mut().enumerate() {
            let x_kg = subproblem.x_ng[t] as f64 * KG_PER_NG;
            let tau_ng = if sum.balance == Balance::Targets { subproblem.tau_ng[t] } else { 0 };
            let tau_kg = tau_ng as f64 * KG_PER_NG;
            let (over, under) = sum.rests_ng[t];
            row.over_kg = over as f64 * KG_PER_NG + x_kg - tau_kg;
            row.under_kg = under as f64 * KG_PER_NG - x_kg - tau_kg;
        }
        Some(rows)
    }
}

impl Pricing for DualPrices<'_> {
    fn direction(&self, subproblem: &Subproblem) -> Option<Vec<f64>> {
        let mut dual = Dual::new(subproblem);
        dual.add(&self.rows(&subproblem.bounded, subproblem)?, &subproblem.bounded, None);
        if let Some(held) = &subproblem.held {
            let weight = dual.variables.add(variable().min(0.0));
            dual.objective.add_mul(-held.most_ng as f64 * KG_PER_NG, weight);
            dual.add(&self.rows(held, subproblem)?, held, Some(weight));
        }
        let direction = dual.solve().ok()?;
        direction.iter().any(|v| v.abs() > LEAST_PRICE).then_some(direction)
    }
}

/// The dual of a subproblem's relaxation, as it is stated.
struct Dual {
    variables: ProblemVariables,
    objective: Expression,
    /// u and d of every target, and u' and d' of what is held.
    prices: Vec<Vec<(Variable, Variable)>>,
    /// What each target's u + d may be: one, or the weight of what is held.
    shares: Vec<(Expression, Balance)>,
    /// The reduced cost of lead, by mount.
    reduced: Vec<Expression>,
}

impl Dual {
    /// Prices of mass and capacities.
    fn new(subproblem: &Subproblem) -> Dual {
        let mut variables = ProblemVariables::new();
        let mut objective = Expression::from(0.0);
        let (least, most) = (variables.add(variable().min(0.0)), variables.add(variable().min(0.0)));
        let lead_kg = |ng: i64| ng.max(0) as f64 * KG_PER_NG;
        objective.add_mul(lead_kg(subproblem.least_ng), least);
        objective.add_mul(-lead_kg(subproblem.most_ng), most);
        let mut reduced = |free_ng: &i64| {
            let full = variables.add(variable().min(0.0));
            objective.add_mul(-lead_kg(*free_ng), full);
            Expression::from(full) - least + most
        };
        let reduced = subproblem.free_ng.iter().map(&mut reduced).collect();
        Dual { variables, objective, prices: Vec::new(), shares: Vec::new(), reduced }
    }

    /// Prices of one sum.
    fn add(&mut self, rows: &[Row], sum: &BoundedSum, weight: Option<Variable>) {
        let mut prices = Vec::new();
        for row in rows {
            let mut price = || self.variables.add(variable().min(0.0));
            let (up, down) = (price(), price());
            self.objective.add_mul(row.over_kg, up);
            self.objective.add_mul(row.under_kg, down);
            let most = weight.map_or(Expression::from(1.0), Expression::from);
            self.shares.push((up + down - most, sum.balance));
            for (reduced, gain) in self.reduced.iter_mut().zip(&row.gain) {
                reduced.add_mul(gain - row.slack, up);
                reduced.add_mul(-gain - row.slack, down);
            }
            prices.push((up, down));
        }
        self.prices.push(prices);
    }

    /// The direction of the best prices.
    fn solve(self) -> Result<Vec<f64>, ResolutionError> {
        let mut problem = self.variables.maximise(self.objective).using(microlp);
        for (beyond, balance) in self.shares {
            problem.add_constraint(match balance {
                Balance::Targets => constraint!(beyond <= 0.0),
                Balance::Close => constraint!(beyond == 0.0),
            });
        }
        for reduced in self.reduced {
            problem.add_constraint(constraint!(reduced >= 0.0));
        }
        let solution = problem.solve()?;
        let mut direction = vec![0.0; self.prices[0].len()];
        for prices in &self.prices {
            for (v, (up, down)) in direction.iter_mut().zip(prices) {
                *v += solution.value(*down) - solution.value(*up);
            }
        }
        let longest = direction.iter().fold(1.0, |longest: f64, v| longest.max(v.abs()));
        // Rounded so that the same price is met again as the same.
        let rounded = |v: f64| (v / longest / LEAST_PRICE).round() * LEAST_PRICE;
        Ok(direction.into_iter().map(|v| if v.is_finite() { rounded(v) } else { 0.0 }).collect())
    }
}

/// What the general engine says of a program in whole numbers.
#[derive(Clone, Debug, PartialEq)]
pub enum Opinion {
    /// A plan of this value, and nothing better by more than the gap.
    Value(f64),
    /// It finds no plan. A hint, never a verdict.
    NoPlan,
    /// It ran out of time, or failed.
    None,
}

/// Asks the general engine to solve a program in whole numbers within so many seconds.
///
/// It takes seconds where the search takes milliseconds and often does not end; tests ask it on small programs, as a judge
/// that shares no code with the search.
pub fn second_opinion(linear: &Linear, seconds: f64) -> Opinion {
    let (problem, _, objective) = stated(linear, true);
    match problem.with_time_limit(seconds.max(0.0)).solve() {
        Ok(solution) if matches!(solution.status(), SolutionStatus::Optimal) => {
            Opinion::Value(solution.eval(&objective))
        }
        Err(ResolutionError::Infeasible) => Opinion::NoPlan,
        _ => Opinion::None,
    }
}

/// A program as the engine takes it, whole where it is to be `whole`, with its columns and its objective.
fn stated(
    linear: &Linear,
    whole: bool,
) -> (impl SolverModel<Error = ResolutionError> + WithTimeLimit, Vec<Variable>, Expression) {
    let value = |fixed: Fixed| fixed as f64 / ONE as f64;
    let mut variables = ProblemVariables::new();
    let columns: Vec<Variable> = linear
        .columns
        .iter()
        .map(|column| {
            let definition = variable().min(value(column.least));
            let definition = match column.most {
                Some(most) => definition.max(value(most)),
                None => definition,
            };
            variables.add(if whole && column.whole { definition.integer() } else { definition })
        })
        .collect();
    let mut objective = Expression::from(value(linear.constant));
    for (column, definition) in columns.iter().zip(&linear.columns) {
        objective.add_mul(value(definition.objective), *column);
    }
    let mut problem = variables.minimise(&objective).using(microlp);
    for row in &linear.rows {
        let mut sum = Expression::from(0.0);
        for (column, factor) in &row.terms {
            sum.add_mul(value(*factor), columns[*column]);
        }
        if let Some(least) = row.least {
            problem.add_constraint(constraint!(sum.clone() >= value(least)));
        }
        if let Some(most) = row.most {
            problem.add_constraint(constraint!(sum <= value(most)));
        }
    }
    (problem, columns, objective)
}

/// Front, left and total in kilograms: of everything but lead, and of one piece in every cell.
#[derive(Clone, Debug)]
pub struct SharePlane {
    /// Without lead.
    pub bare_kg: [f64; 3],
    /// Of one piece, by `kind * mounts + mount`.
    pub pieces_kg: Vec<[f64; 3]>,
}

/// Which columns a row keeps below their bound anyway, as stock and capacities do: thousands of rows less where there are many
/// kinds and mounts, and with them minutes.
fn implied_bounds(linear: &Linear) -> Vec<bool> {
    let mut implied = vec![false; linear.columns.len()];
    for row in &linear.rows {
        let adds_up =
            row.terms.iter().all(|(column, factor)| *factor >= 0 && linear.columns[*column].least >= 0);
        let Some(row_most) = row.most.filter(|_| adds_up) else { continue };
        for (column, factor) in &row.terms {
            let holds = |most: Fixed| {
                i128::from(*factor) * i128::from(most) >= i128::from(row_most) * i128::from(ONE)
            };
            implied[*column] |= linear.columns[*column].most.is_some_and(holds);
        }
    }
    implied
}

/// Pieces, not whole, within the rows of a program whose shares of the total lie farthest in a direction (front, left); none if
/// the engine finds none.
///
/// Charnes and Cooper's form of the fractional program: T stands for a reference total over the total, z for pieces times T.
/// The first columns of the program are its pieces.
pub fn farthest(linear: &Linear, plane: &SharePlane, direction: [f64; 2]) -> Option<Vec<f64>> {
    let value = |fixed: Fixed| fixed as f64 / ONE as f64;
    let reference = plane.bare_kg[2];
    let towards = |kg: &[f64; 3]| (direction[0] * kg[0] + direction[1] * kg[1]) / reference;
    let mut variables = ProblemVariables::new();
    let inverse = variables.add(variable().min(0.0));
    // Nothing times the inverse is nothing: such a column needs no row to be kept above it.
    let from_nothing = |definition: &Column| {
        if definition.least == 0 { variable().min(0.0) } else { variable() }
    };
    let columns: Vec<Variable> =
        linear.columns.iter().map(|definition| variables.add(from_nothing(definition))).collect();
    let mut objective = Expression::from(0.0);
    objective.add_mul(towards(&plane.bare_kg), inverse);
    let mut total = Expression::from(inverse);
    for (column, piece) in columns.iter().zip(&plane.pieces_kg) {
        objective.add_mul(towards(piece), *column);
        total.add_mul(piece[2] / reference, *column);
    }
    let mut problem = variables.maximise(objective).using(microlp);
    problem.add_constraint(constraint!(total == 1.0));
    let implied = implied_bounds(linear);
    let bounds = linear.columns.iter().zip(&columns).zip(implied).map(|((definition, column), implied)| {
        let least = (definition.least != 0).then_some(definition.least);
        let most = definition.most.filter(|_| !implied);
        (Expression::from(*column), least, most)
    });
    let rows = linear.rows.iter().map(|row| {
        let mut sum = Expression::from(0.0);
        for (column, factor) in &row.terms {
            sum.add_mul(value(*factor), columns[*column]);
        }
        (sum, row.least, row.most)
    });
    for (sum, least, most) in bounds.chain(rows) {
        if let Some(least) = least {
            problem.add_constraint(constraint!(sum.clone() - value(least) * inverse >= 0.0));
        }
        if let Some(most) = most {
            problem.add_constraint(constraint!(sum - value(most) * inverse <= 0.0));
        }
    }
    let solution = problem.solve().ok()?;
    let inverse = solution.value(inverse);
    let pieces = columns.iter().take(plane.pieces_kg.len()).map(|column| solution.value(*column) / inverse);
    let pieces: Vec<f64> = pieces.collect();
    (inverse > 0.0 && pieces.iter().all(|pieces| pieces.is_finite())).then_some(pieces)
}
