//! The weighings of a kart in time: what was known of it at each, and the kart as another weighing would have it.

use super::{Aboard, Misread, OfficialTotal, Scenario, Weighing};
use crate::units::Mass;

impl Scenario {
    /// The scenario as if nothing but that weighing had ever been taken: every state is reckoned from it.
    #[must_use]
    pub fn weighed_as(&self, weighing: &Weighing) -> Scenario {
        let mut scenario = self.clone();
        scenario.weighing = weighing.clone();
        for driver in &mut scenario.drivers {
            driver.weighing = None;
        }
        scenario
    }

    /// The same, with the places of drivers who have none of their own.
    #[must_use]
    pub fn reckoned_from(&self, weighing: &Weighing) -> Scenario {
        let mut scenario = self.weighed_as(weighing);
        scenario.lend_places();
        scenario
    }

    /// Positions in the list of the weighings of the kart as raced.
    pub fn raced(&self) -> impl DoubleEndedIterator<Item = usize> {
        self.weighings.iter().enumerate().filter(|(_, one)| one.as_raced).map(|(index, _)| index)
    }

    /// What was known of the kart at a weighing of the list, with what was learned of readings taken off them: every state is
    /// reckoned from the last weighing with its driver until then, else from that one.
    #[must_use]
    pub fn known_at(&self, listed: usize) -> Scenario {
        let mut scenario = self.clone();
        for (driver, own) in scenario.drivers.iter_mut().zip(&self.own_weighings) {
            driver.weighing.clone_from(own);
        }
        let misread = self.misread.as_ref().and_then(|misread| Some((self.misread_at(misread)?, misread)));
        for index in self.raced().take_while(|index| *index <= listed) {
            let weighing = match misread {
                Some((at, misread)) if at == index => misread.corrected(&self.weighings[index]),
                _ => self.weighings[index].clone(),
            };
            if let Some(driver) = weighing.aboard.driver {
                scenario.drivers[driver].weighing = Some(weighing.clone());
            }
            scenario.weighing = weighing;
        }
        // The last is that of everybody else too.
        if let Some(driver) = scenario.weighing.aboard.driver {
            scenario.drivers[driver].weighing = None;
        }
        scenario.lend_places();
        let is_known = |total: &&OfficialTotal| total.after <= listed + 1 || listed >= self.weighings.len();
        for total in self.official_totals.iter().filter(is_known) {
            self.correct(&mut scenario, total, listed);
        }
        scenario
    }

    /// What driver, fuel and lead aboard weigh together.
    fn carried(&self, aboard: &Aboard) -> Mass {
        let driver = aboard.driver.map(|index| self.drivers[index].mass);
        let lead = aboard.lead.placed().map(|(kind, _, count)| self.lead[kind].mass * count);
        driver.into_iter().chain(aboard.fuel.iter().copied()).chain(lead).sum()
    }

    /// Brings what the officials read without pads to the weighing on pads that its driver rests on: with what was on the kart
    /// then they would have read as much more, or less, than by one's own bookkeeping.
    ///
    /// Nothing where that driver has been on the pads since. Of one who never was, it tells what he weighs.
    fn correct(&self, scenario: &mut Scenario, read: &OfficialTotal, listed: usize) {
        let before =
            Scenario { official_totals: Vec::new(), ..self.clone() }.known_at(listed.min(read.after - 1));
        let driver = read.aboard.driver;
        let rests_on = |scenario: &Scenario| {
            let own = driver.and_then(|index| scenario.drivers[index].weighing.as_ref());
            own.unwrap_or(&scenario.weighing).clone()
        };
        let (base, now) = (rests_on(&before), rests_on(scenario));
        if (now.date, now.taken, now.aboard) != (base.date, base.taken.clone(), base.aboard.clone()) {
            return;
        }
        let weighed: Mass = base.readings.into_iter().sum();
        let more = read.total - (weighed - before.carried(&base.aboard) + before.carried(&read.aboard));
        if let Some(index) = driver.filter(|_| base.aboard.driver != driver) {
            scenario.drivers[index].mass = (before.drivers[index].mass + more).max(Mass::ZERO);
            return;
        }
        let own = driver.and_then(|index| scenario.drivers[index].weighing.as_mut());
        let weighing = own.unwrap_or(&mut scenario.weighing);
        weighing.official = Some(weighed + more);
        weighing.official_later = Some(read.total);
    }

    /// What is known of the kart now; where the officials have read it, theirs is the total.
    #[must_use]
    pub(super) fn known_now(&self) -> Scenario {
        let mut scenario = self.known_at(self.weighings.len());
        scenario.weighing = scenario.weighing.counted();
        for own in scenario.drivers.iter_mut().filter_map(|driver| driver.weighing.as_mut()) {
            *own = own.counted();
        }
        scenario
    }

    /// The kart as its last weighing of it as raced shows it, whatever was learned of the readings or read by the officials.
    #[must_use]
    pub fn as_read(&self) -> Scenario {
        Scenario { misread: None, ..self.clone() }.known_at(self.weighings.len())
    }

    /// What was known of the kart at the last weighing with that driver in the seat: one of the list, or his own; none if there is
    /// none.
    pub fn weighed_with(&self, driver: usize) -> Option<Scenario> {
        if let Some(index) =
            self.raced().rev().find(|index| self.weighings[*index].aboard.driver == Some(driver))
        {
            let mut scenario = self.known_at(index);
            scenario.weighings.truncate(index + 1);
            scenario.driver = Some(driver);
            return Some(scenario.known_now());
        }
        let own = self.own_weighings[driver].clone()?;
        let mut scenario = Scenario { weighings: vec![own], driver: Some(driver), ..self.clone() };
        scenario.own_weighings[driver] = None;
        Some(scenario.known_now())
    }

    fn misread_at(&self, misread: &Misread) -> Option<usize> {
        self.raced().take_while(|index| *index < misread.weighings).last()
    }
}
