//! How long something may take, by a clock that is handed in.

use std::time::Duration;

use crate::goal::Goal;

/// How far a search has come with one goal; in ng, or changes for `work`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct News {
    /// Which goal.
    pub goal: Goal,
    /// Of the best so far.
    pub value: Option<i64>,
    /// Nothing has a smaller value.
    pub bound: i64,
}

/// What was found may take so long to put together when the time is over: not felt as waiting.
const OVERTIME: Duration = Duration::from_millis(300);

/// The share of a time that is used; from 1 on, of the time to put things together.
pub fn share(elapsed: Duration, time: Duration) -> f64 {
    match elapsed.checked_sub(time) {
        Some(over) => 1.0 + over.div_duration_f64(OVERTIME),
        None => elapsed.div_duration_f64(time),
    }
}

/// How long a task may take, and who wants to know how far it has come.
#[derive(Clone, Copy)]
pub struct Patience<'c> {
    used: &'c dyn Fn() -> f64,
    until: f64,
    listener: Option<&'c dyn Fn(News)>,
    goal: Option<Goal>,
}

impl<'c> Patience<'c> {
    /// Nothing ends it.
    pub const ENDLESS: Patience<'static> = Patience { used: &|| 0.0, until: 1.0, listener: None, goal: None };

    /// `used` tells the share of the time that is used: from 1 on everything ends, and it jumps there when somebody asks to end
    /// now. Between 1 and 2 what was found is put together; whoever hands in the clock decides how long that is.
    pub fn new(used: &'c dyn Fn() -> f64) -> Patience<'c> {
        Patience { used, until: 1.0, listener: None, goal: None }
    }

    /// The same, with somebody who wants to know how far the goals of a task have come.
    #[must_use]
    pub fn telling(self, listener: &'c dyn Fn(News)) -> Patience<'c> {
        Patience { listener: Some(listener), ..self }
    }

    /// The same for a part of the task of which nobody wants to know.
    #[must_use]
    pub fn silent(self) -> Patience<'c> {
        Patience { listener: None, ..self }
    }

    /// The same for one goal.
    #[must_use]
    pub(crate) fn about(self, goal: Goal) -> Patience<'c> {
        Patience { goal: Some(goal), ..self }
    }

    /// Tells how far its goal has come.
    pub(crate) fn tell(self, value: Option<i64>, bound: i64) {
        if let (Some(listener), Some(goal)) = (self.listener, self.goal) {
            listener(News { goal, value, bound });
        }
    }

    /// Whether to end now.
    pub fn is_over(self) -> bool {
        (self.used)() >= self.until
    }

    /// So much of the time that is left.
    #[must_use]
    pub fn part(self, part: f64) -> Patience<'c> {
        let used = (self.used)();
        Patience { until: used + part * (self.until - used).max(0.0), ..self }
    }

    /// The share of the whole time that is used.
    pub(crate) fn used(self) -> f64 {
        (self.used)()
    }

    /// The same, but such a share of the whole time is kept for what comes after.
    #[must_use]
    pub(crate) fn keeping(self, share: f64) -> Patience<'c> {
        Patience { until: self.until - share, ..self }
    }

    /// Each goal may use half of the time that is left, the last all of it, so that a hard goal starves no later one.
    #[must_use]
    pub(crate) fn for_goal(self, is_last: bool) -> Patience<'c> {
        if is_last { self } else { self.part(0.5) }
    }

    /// The same with the time for putting together what was found.
    #[must_use]
    pub(crate) fn with_overtime(self) -> Patience<'c> {
        Patience { until: 2.0, ..self }
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::Patience;

    #[test]
    fn a_part_is_of_what_is_left_and_the_overtime_begins_where_the_whole_ends() {
        let now = Cell::new(0.2);
        let used = || now.get();
        let whole = Patience::new(&used);
        let (half, over) = (whole.part(0.5), whole.with_overtime());
        let is_over = |at: f64| {
            now.set(at);
            [half.is_over(), whole.is_over(), over.is_over()]
        };
        assert_eq!(is_over(0.59), [false, false, false]);
        assert_eq!(is_over(0.61), [true, false, false]);
        assert_eq!(is_over(1.0), [true, true, false]);
        assert!(whole.part(0.5).is_over(), "nothing is left to have a part of");
        assert_eq!(is_over(2.0), [true, true, true]);
        assert!(!Patience::ENDLESS.part(0.0001).is_over());
    }
}
