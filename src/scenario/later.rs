//! The same kart at another weighing: read in place of the main one, or gone on from as what is known now.
//! Takes a weighing of the scenario's own kart; gives a scenario in which it counts.
//! Does not judge the weighing, nor know what the scenario is wanted for.

use super::{FixedTo, Hole, Lever, Scenario, Setting, Shift, Weighing};
use crate::counts::Counts;
use crate::statics::Point;
use crate::units::Length;

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

    /// The scenario after work that ended with that weighing: what was aboard then is fitted now, and drivers are reckoned
    /// from it where the kart was weighed with the driver of the main weighing, else only the driver who sat in it.
    #[must_use]
    pub fn gone_on(&self, weighing: &Weighing) -> Scenario {
        let mut scenario = self.clone();
        let aboard = &weighing.aboard;
        let mut settings: Vec<u16> = Vec::new();
        if let Some(hole) = aboard.seat_hole {
            scenario.set_seat(hole);
        }
        for (index, adjuster) in scenario.adjusters.iter_mut().enumerate() {
            if adjuster.lever != Lever::Seat {
                let then = aboard.lead.setting(index, adjuster.now);
                if let Lever::Tank { tank } = adjuster.lever {
                    let (from, to) = (adjuster.settings[adjuster.now].place, adjuster.settings[then].place);
                    let place = &mut scenario.tanks[tank].place;
                    *place = Point::from_mm(
                        place.x.mm() + to.x.mm() - from.x.mm(),
                        place.y.mm() + to.y.mm() - from.y.mm(),
                    );
                }
                adjuster.now = then;
            }
            settings.push(adjuster.now as u16);
        }
        scenario.fitted = aboard.lead.clone().with_settings(&settings);
        if aboard.driver == scenario.weighing.aboard.driver {
            scenario.weighing = weighing.clone();
            if let Some(driver) = aboard.driver {
                scenario.drivers[driver].weighing = None;
            }
        } else if let Some(driver) = aboard.driver {
            scenario.drivers[driver].weighing = Some(weighing.clone());
        }
        scenario.after.clear();
        scenario
    }

    /// The hole of the seat at a setting of its adjuster; that of now where the seat cannot be set.
    pub fn hole_at(&self, counts: &Counts) -> Option<Hole> {
        let seat = self.kart.seat.as_ref()?;
        let mut adjusters = self.adjusters.iter().enumerate();
        let Some((index, adjuster)) = adjusters.find(|(_, adjuster)| adjuster.lever == Lever::Seat) else {
            return Some(seat.hole);
        };
        let shift = adjuster.settings[counts.setting(index, adjuster.now)].shift;
        let holes = |way: Length, pitch: Length| {
            if pitch.mm() > 0.0 { (way.mm() / pitch.mm()).round() as i32 } else { 0 }
        };
        Some(Hole {
            along: seat.hole.along + holes(shift.forward, seat.pitch),
            across: seat.hole.across + holes(shift.left, seat.pitch_across),
        })
    }

    /// Bolts the seat at another hole: places that are told with the seat where it is now go with it.
    fn set_seat(&mut self, hole: Hole) {
        let Some(seat) = self.kart.seat.as_mut() else { return };
        let shift = seat.shift(seat.hole, hole);
        seat.hole = hole;
        for acts in self.drivers.iter_mut().filter_map(|driver| driver.acts.as_mut()) {
            *acts = shift.of(*acts);
        }
        for mount in self.mounts.iter_mut().filter(|mount| mount.fixed_to == FixedTo::Seat) {
            mount.place = shift.of(mount.place);
        }
        for adjuster in self.adjusters.iter_mut().filter(|adjuster| adjuster.lever == Lever::Seat) {
            for setting in &mut adjuster.settings {
                let from_there = shift.back().of(Point { x: setting.shift.forward, y: setting.shift.left });
                setting.shift = Shift { forward: from_there.x, left: from_there.y };
            }
            let distance = |setting: &Setting| setting.shift.forward.mm().hypot(setting.shift.left.mm());
            let nearest = |(_, one): &(usize, &Setting), (_, other): &(usize, &Setting)| {
                distance(one).total_cmp(&distance(other))
            };
            adjuster.now = adjuster.settings.iter().enumerate().min_by(nearest).map_or(0, |(index, _)| index);
        }
    }
}
