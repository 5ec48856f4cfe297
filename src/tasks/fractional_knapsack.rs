//! Lead as if it were divisible: what so much of it adds at most, poured where it does most (fractional knapsack).
//! Does not know what is added up: kilograms at a wheel, or a price.

/// Of a mass from `least` to `most`. Each place says what a unit of mass adds there, and how much of it there may be.
///
/// `start` is a mass that is there already, and what it adds; less than nothing where places begin below it.
pub(super) fn poured(mut places: Vec<(f64, f64)>, start: (f64, f64), (least, most): (i64, i64)) -> f64 {
    places.sort_by(|(one, _), (other, _)| other.total_cmp(one));
    let (_, value) = places.into_iter().fold(start, |(mass, value), (density, holds)| {
        let wanted = if density > 0.0 { most } else { least } as f64 - mass;
        let taken = holds.min(wanted.max(0.0));
        (mass + taken, value + density * taken)
    });
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_does_good_is_poured_to_the_most_and_what_does_harm_to_the_least() {
        let places = vec![(-1.0, 5.0), (2.0, 3.0), (0.5, 4.0)];
        assert!((poured(places.clone(), (0.0, 0.0), (2, 6)) - (6.0 + 1.5)).abs() < 1e-12);
        assert!((poured(places.clone(), (0.0, 0.0), (9, 20)) - (6.0 + 2.0 - 2.0)).abs() < 1e-12);
        // From a kilogram less than nothing that did 4 of harm.
        assert!((poured(places, (-1.0, -4.0), (0, 1)) - 0.0).abs() < 1e-12);
    }
}
