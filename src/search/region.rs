//! Where the sums of a plan have to lie, and what that asks of them in any direction. Takes limits on what lies outside the
//! tolerances and on the distance from the targets; gives the least that plans within both come to in a direction. Knows no
//! pieces.
//!
//! Let x be the targets' sums of gains. Target t lies `b_t(x_t)` outside its tolerance and `c_t(x_t)` from its aim, both of them
//! convex with slopes from −1 to 1, and plans within the limits have `Σ b ≤ B` and `Σ c ≤ C`. For a direction v, and any α and
//! β ≥ 0 that add up to the largest `|v_t|`, all of them therefore have
//!
//! ```text
//! v·x ≥ Σ_t min over x_t of (v_t·x_t + α·b_t(x_t) + β·c_t(x_t)) − α·B − β·C.
//! ```
//!
//! That is Lagrangian duality, and as a dual it has a largest right-hand side that is attained: the *need* of v. The inner
//! minimum is taken apart once more. Share `v_t` between the two sums, what the tolerances get from −α to α, and what the aims
//! get from −β to β; for each share the two minima are known. Both are concave in it and bend at zero and at the ends alone, so
//! a few shares are all that there are to try. The whole is piecewise linear and concave in β and bends where an end of a share
//! meets zero or another end: at `|v_t|` and at half of `max |v| ± v_t`.

use super::Limits;
use super::pricing::Balance;
use crate::model::TargetRow;

/// Weights up to this are not divided by.
const LEAST_WEIGHT: f64 = 1e-3;

/// Limits on both sums, at certain settings.
#[derive(Clone, Copy, Debug)]
pub(super) struct Region<'a> {
    pub(super) targets: &'a [TargetRow],
    /// The most that the lead can add to each target's half-width.
    pub(super) most_tau_ng: &'a [i64],
    /// Most outside the tolerances, and most distance from the targets.
    pub(super) outside_ng: i64,
    pub(super) close_ng: i64,
}

/// How a direction is shared between the two sums: their weights, and what the minima come to.
struct Share {
    alpha: f64,
    beta: f64,
    minima_ng: f64,
}

impl Region<'_> {
    /// Least v·x of any plan within both limits, ng.
    pub(super) fn need_ng(&self, direction: &[f64]) -> f64 {
        let (outside, close) = (self.outside_ng as f64, self.close_ng as f64);
        let mut need = f64::NEG_INFINITY;
        for share in self.shares(direction, self.outside_ng < Limits::FREE, self.close_ng < Limits::FREE) {
            let of_share = share.minima_ng - share.alpha * outside - share.beta * close;
            // It is concave in the share: past its largest it only falls.
            if of_share < need {
                break;
            }
            need = need.max(of_share);
        }
        need
    }

    /// The least that one sum can come to within the limit on the other, if v·x is at most `reached_ng`; its own limit
    /// does not matter.
    ///
    /// A weight of almost nothing would make much of rounding: such a share is left out.
    pub(super) fn least_ng(&self, balance: Balance, direction: &[f64], reached_ng: f64) -> f64 {
        let (outside, close) = (self.outside_ng as f64, self.close_ng as f64);
        let least = |share: Share| match balance {
            Balance::Targets if share.alpha > LEAST_WEIGHT => {
                (share.minima_ng - share.beta * close - reached_ng) / share.alpha
            }
            Balance::Close if share.beta > LEAST_WEIGHT => {
                (share.minima_ng - share.alpha * outside - reached_ng) / share.beta
            }
            _ => 0.0,
        };
        let has_outside = balance == Balance::Targets || self.outside_ng < Limits::FREE;
        let has_close = balance == Balance::Close || self.close_ng < Limits::FREE;
        self.shares(direction, has_outside, has_close).map(least).fold(0.0, f64::max)
    }

    /// The shares among which the best one is, those of the aims falling. What has no limit gets none.
    fn shares(&self, direction: &[f64], has_outside: bool, has_close: bool) -> impl Iterator<Item = Share> {
        let longest = direction.iter().fold(0.0, |longest: f64, v| longest.max(v.abs()));
        let mut bends = vec![if has_close { longest } else { 0.0 }];
        if has_outside && has_close {
            bends.push(0.0);
            let of_target = |v: &f64| [v.abs(), f64::midpoint(longest, *v), f64::midpoint(longest, -v)];
            bends.extend(direction.iter().flat_map(of_target));
            // Most directions run along targets or halfway between them, and bend at the same few places again and again.
            bends.sort_unstable_by(|a, b| b.total_cmp(a));
            bends.dedup();
        }
        bends.into_iter().map(move |beta| {
            let alpha = longest - beta;
            let targets = self.targets.iter().zip(self.most_tau_ng).zip(direction);
            let minima_ng = targets.map(|((target, tau), v)| minimum_ng(target, *tau, *v, alpha, beta)).sum();
            Share { alpha, beta, minima_ng }
        })
    }
}

/// The least `v·x + α·b(x) + β·c(x)` of one target.
fn minimum_ng(target: &TargetRow, tau_ng: i64, v: f64, alpha: f64, beta: f64) -> f64 {
    // Where one sum has no weight, the other gets all.
    if beta == 0.0 {
        return of_misses_ng(target, tau_ng, v, alpha);
    }
    if alpha == 0.0 {
        return of_aims_ng(target, v, beta);
    }
    let (lowest, highest) = ((-alpha).max(v - beta), alpha.min(v + beta));
    let shared = |of_misses: f64| {
        of_misses_ng(target, tau_ng, of_misses, alpha) + of_aims_ng(target, v - of_misses, beta)
    };
    // Rounding may leave the ends a hair apart the wrong way: the higher one serves.
    let nearest_zero = lowest.max(0.0).min(highest);
    shared(lowest.min(highest)).max(shared(highest)).max(shared(nearest_zero))
}

/// The least `v·x + α·b(x)`, for |v| ≤ α.
///
/// `b = max(x + over, −x + under, 0)`, so for u and d ≥ 0 with `u + d ≤ α` and `d − u = v` it is at least `u·over + d·under`; the
/// best u + d is the smallest or the largest.
fn of_misses_ng(target: &TargetRow, tau_ng: i64, v: f64, alpha: f64) -> f64 {
    let over = (target.ends.outside_over_ng - tau_ng) as f64;
    let under = (target.ends.outside_under_ng - tau_ng) as f64;
    let within = if v > 0.0 { v * under } else { -v * over };
    within.max((alpha - v) / 2.0 * over + f64::midpoint(alpha, v) * under)
}

/// The least `v·x + β·c(x)`, for |v| ≤ β: the same, but `c = max(x + over, −x + under)` leaves one u + d only.
fn of_aims_ng(target: &TargetRow, v: f64, beta: f64) -> f64 {
    (beta - v) / 2.0 * target.ends.close_over_ng as f64
        + f64::midpoint(beta, v) * target.ends.close_under_ng as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Ends;

    /// A target of which the tolerances' and the aims' distance from lead, `over` and `under`, are given.
    fn target(outside: (i64, i64), close: (i64, i64)) -> TargetRow {
        let (outside_over_ng, outside_under_ng) = outside;
        let (close_over_ng, close_under_ng) = close;
        let ends = Ends { outside_over_ng, outside_under_ng, close_over_ng, close_under_ng };
        TargetRow { gain_ng: Vec::new(), slack_ng: Vec::new(), states: Vec::new(), ends }
    }

    /// Regions of two targets: tolerances about their aims, one with two states so far apart that nothing is in both
    /// tolerances, and half-widths that lead adds to.
    fn regions(mut look_at: impl FnMut(&Region)) {
        let pairs = [
            [target((-30, -10), (-20, 0)), target((-5, -45), (-25, 25))],
            [target((4, 6), (15, 17)), target((-40, -20), (-30, 10))],
        ];
        for targets in &pairs {
            for most_tau_ng in [[0, 0], [3, 8]] {
                for (outside_ng, close_ng) in [(25, 60), (60, 50), (12, Limits::FREE), (Limits::FREE, 45)] {
                    look_at(&Region { targets, most_tau_ng: &most_tau_ng, outside_ng, close_ng });
                }
            }
        }
    }

    /// Both sums at some x, from their definition.
    fn sums(region: &Region, x: [i64; 2]) -> (i64, i64) {
        let mut sums = (0, 0);
        for ((target, tau), x) in region.targets.iter().zip(region.most_tau_ng).zip(x) {
            let Ends { outside_over_ng, outside_under_ng, close_over_ng, close_under_ng } = target.ends;
            sums.0 += (x + outside_over_ng - tau).max(-x + outside_under_ng - tau).max(0);
            sums.1 += (x + close_over_ng).max(-x + close_under_ng);
        }
        sums
    }

    fn grid() -> impl Iterator<Item = [i64; 2]> {
        (-150..=150).flat_map(|x| (-150..=150).map(move |y| [x, y]))
    }

    fn directions() -> impl Iterator<Item = [f64; 2]> {
        let eighths = (-8..=8).map(|n| f64::from(n) / 8.0);
        eighths.flat_map(|v| [[1.0, v], [-1.0, v], [v, 1.0], [v, -1.0]])
    }

    #[test]
    fn a_need_is_the_least_that_any_point_within_both_limits_comes_to() {
        regions(|region| {
            let is_within = |x: &[i64; 2]| {
                let (outside_ng, close_ng) = sums(region, *x);
                outside_ng <= region.outside_ng && close_ng <= region.close_ng
            };
            let points: Vec<[i64; 2]> = grid().filter(is_within).collect();
            assert!(points.len() > 100);
            for v in directions() {
                let least = points.iter().map(|x| v[0] * x[0] as f64 + v[1] * x[1] as f64);
                let least = least.fold(f64::INFINITY, f64::min);
                let need = region.need_ng(&v);
                // Corners may lie between the points of the grid, but no farther than a point away.
                assert!(
                    need <= least + 1e-6 && need >= least - 1.0,
                    "{need} and {least} for {v:?}, {region:?}"
                );
            }
        });
    }

    #[test]
    fn the_least_of_a_sum_is_where_its_own_limit_would_begin_to_ask_for_more_than_is_reached() {
        regions(|region| {
            for balance in [Balance::Targets, Balance::Close] {
                for (v, reached) in directions().flat_map(|v| [(v, -40.0), (v, 3.0), (v, 70.0)]) {
                    let least = region.least_ng(balance, &v, reached);
                    let limited_to = |most: f64| match balance {
                        Balance::Targets => Region { outside_ng: most as i64, ..*region },
                        Balance::Close => Region { close_ng: most as i64, ..*region },
                    };
                    // What asks for more than is reached whatever the sum may be is left to the other limit.
                    if least < 1e6 && limited_to(1e6).need_ng(&v) <= reached {
                        assert!(
                            limited_to(least.ceil()).need_ng(&v) <= reached + 1e-6,
                            "{least}, {v:?}, {region:?}"
                        );
                        if least > 1.0 {
                            assert!(limited_to(least.floor() - 1.0).need_ng(&v) > reached);
                        }
                    }
                }
            }
        });
    }
}
