//! What weighings tell, and what they cannot tell apart.

use super::Lesson;

/// A number is told well if the weighings leave less than this part of its doubt.
const WELL: f64 = 0.5;
/// It is not told if they leave more than this part, even were all other numbers known.
const NOTHING: f64 = 0.9;
/// Two numbers whose estimates move together so closely cannot be told apart.
const TOGETHER: f64 = 0.7;

/// How much the weighings tell of a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Told {
    /// Less than half of the doubt is left.
    Well,
    /// Some of it.
    Somewhat,
    /// Only together with others, which are not known well enough either.
    Entangled,
    /// Nothing, or next to nothing.
    NotAtAll,
}

impl Told {
    /// From the parts of the doubt that are left: as it is, and if all other numbers were known.
    pub(super) fn new(left: f64, left_alone: f64) -> Told {
        match () {
            () if left < WELL => Told::Well,
            () if left_alone > NOTHING => Told::NotAtAll,
            () if left_alone < WELL => Told::Entangled,
            () => Told::Somewhat,
        }
    }
}

/// Two numbers, by position among the lessons, of which the weighings tell only a combination.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Twins {
    pub one: usize,
    pub other: usize,
    /// Near −1 the two may grow only at each other's cost, near 1 only together.
    pub correlation: f64,
}

/// For every entangled number the one that it moves with most closely; each pair once.
pub(super) fn twins(lessons: &[Lesson], correlations: &[f64]) -> Vec<Twins> {
    let count = lessons.len();
    let correlation = |one: usize, other: usize| correlations[one * count + other];
    let mut twins: Vec<Twins> = Vec::new();
    for one in (0..count).filter(|one| lessons[*one].told != Told::Well) {
        let others = (0..count).filter(|other| *other != one && lessons[*other].told != Told::Well);
        let closest = others.max_by(|a, b| correlation(one, *a).abs().total_cmp(&correlation(one, *b).abs()));
        let Some(other) = closest.filter(|other| correlation(one, *other).abs() >= TOGETHER) else {
            continue;
        };
        let known = twins.iter().any(|pair| (pair.one, pair.other) == (other, one));
        if !known {
            twins.push(Twins { one, other, correlation: correlation(one, other) });
        }
    }
    twins
}

/// Independent combinations, each in its doubt, that are told better than the file tells them: those whose variance is less
/// than half of what it was.
pub(super) fn combinations(variances: &[f64]) -> usize {
    variances.iter().filter(|variance| **variance < 0.5).count()
}
