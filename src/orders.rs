//! Whether four readings were written down in another order than LF RF LR RR.
//!
//! All 24 orders are weighed against what is known of karts: where the weight is, and how much they are twisted. Two fronts, or
//! two rears, that are a few kilograms apart make a usual kart in either order, so nothing is said of them.

use crate::statics::{Chassis, Corner, Corners};

/// What is known of a kart before anybody has looked: the middle and one standard deviation.
#[derive(Clone, Copy, Debug)]
pub struct Usual {
    /// Percent of the total on the front.
    pub front: (f64, f64),
    /// Percent on the left.
    pub left: (f64, f64),
    /// Twist at LF, kg.
    pub twist_kg: (f64, f64),
}

impl Usual {
    /// Front: common practice, no published source. The deviations are assumed, from simulated karts before their first plan.
    pub fn new(front: Option<f64>, left: Option<f64>, twisted_on_purpose: bool) -> Usual {
        Usual {
            front: (front.unwrap_or(43.0), 2.5),
            left: (left.unwrap_or(50.0), 2.0),
            twist_kg: (0.0, if twisted_on_purpose { 6.0 } else { 1.5 }),
        }
    }

    /// How far corners are from it: a sum of squares of standard deviations.
    fn distance(&self, chassis: &Chassis, corners: &Corners) -> f64 {
        let percent = |kg: f64| 100.0 * kg / corners.total();
        let far = |value: f64, (middle, deviation): (f64, f64)| ((value - middle) / deviation).powi(2);
        far(percent(corners.front()), self.front)
            + far(percent(corners.left()), self.left)
            + far(chassis.split(corners).twist_kg, self.twist_kg)
    }
}

/// Which of the readings, as written, belongs to LF, RF, LR and RR.
pub type Order = [usize; 4];

const AS_WRITTEN: Order = [0, 1, 2, 3];

/// Squares by which one exchange must fit better before it is thought of, and a mix-up of three or four: they are rarer. Assumed.
const ONE_EXCHANGE: f64 = 8.0;
const MIX_UP: f64 = 12.0;
/// And so much more before anything is said: odds of seven to one.
const CLEAR: f64 = 4.0;
/// No kart is farther from the usual one.
const FITS: f64 = 9.0;

/// The order in which the readings make a kart, where it is clear that they were written in another.
pub fn likelier(corners: &Corners, chassis: &Chassis, usual: &Usual) -> Option<Order> {
    let squares = |order: Order| usual.distance(chassis, &ordered(corners, order));
    let score = |order: &Order| squares(*order) + rarity(*order);
    let best = every().min_by(|one, other| score(one).total_cmp(&score(other)))?;
    let clear = squares(AS_WRITTEN) - score(&best) >= CLEAR && squares(best) <= FITS;
    clear.then_some(best)
}

/// Corners with each reading where it belongs.
pub fn ordered(corners: &Corners, order: Order) -> Corners {
    let read = corners.kg();
    Corners::from_kg(order.map(|from| read[from]))
}

/// All 24.
pub fn every() -> impl Iterator<Item = Order> {
    let digits = (0..256_usize).map(|code| [code / 64, code / 16 % 4, code / 4 % 4, code % 4]);
    digits.filter(|order| (0..4).all(|reading| order.contains(&reading)))
}

/// Whether sides, or ends, were exchanged as a whole.
pub fn is_whole(order: Order) -> bool {
    order == [1, 0, 3, 2] || order == [2, 3, 0, 1]
}

/// `RF and LR exchanged`, or the order in which the readings seem to stand.
pub fn said(order: Order) -> String {
    let exchanged: Vec<&str> = Corner::ALL
        .into_iter()
        .zip(order)
        .filter(|(corner, from)| *corner as usize != *from)
        .map(|(corner, _)| corner.word())
        .collect();
    match (order, exchanged.as_slice()) {
        ([1, 0, 3, 2], _) => "left and right exchanged".to_owned(),
        ([2, 3, 0, 1], _) => "front and rear exchanged".to_owned(),
        (_, [one, other]) => format!("{one} and {other} exchanged"),
        _ => {
            let mut stands = [""; 4];
            for (corner, from) in Corner::ALL.into_iter().zip(order) {
                stands[from] = corner.word();
            }
            format!("the order {}", stands.join(" "))
        }
    }
}

fn rarity(order: Order) -> f64 {
    let moved = (0..4).filter(|corner| order[*corner] != *corner).count();
    match moved {
        0 => 0.0,
        2 => ONE_EXCHANGE,
        _ if is_whole(order) => ONE_EXCHANGE,
        _ => MIX_UP,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_are_24_orders_and_six_are_single_exchanges() {
        assert_eq!(every().count(), 24);
        let twos = every().filter(|order| (0..4).filter(|corner| order[*corner] != *corner).count() == 2);
        assert_eq!(twos.count(), 6);
    }
}
