//! One limit of a scenario eased, or its starting point moved, so that it can be solved again.

use super::bounds;
use super::consistency::sums_fit;
use super::{Access, Aim, Hole, Lever, Margin, Scenario, SeatEnd, Shift, Target};
use crate::counts::Counts;
use crate::statics::Point;
use crate::units::{Length, Mass};

/// One thing that a person could change about the kart, the box of lead or the wish. Mounts, kinds and targets are indices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Easing {
    /// A mount made to carry more.
    MountCarries {
        mount: usize,
        /// By so much.
        more: Mass,
    },
    /// A mount with room for a thicker stack.
    MountHasRoom {
        mount: usize,
        /// By so much.
        more: Length,
    },
    /// A mount that takes more pieces.
    MountTakes {
        mount: usize,
        /// So many more.
        more: u32,
    },
    /// A mount held by more bolts, where a rule counts them.
    MountBolts {
        mount: usize,
        /// So many more.
        more: u32,
    },
    /// A locked mount freed: what is on it may go, more may come.
    Unlock { mount: usize },
    /// More pieces of a kind in the box.
    Pieces {
        kind: usize,
        /// So many more.
        more: u32,
    },
    /// A seat with one hole more than there are, where the file gives its holes.
    SeatHole { end: SeatEnd },
    /// A mount that is changed with pins, so that what is on it may differ between drivers.
    MountQuick { mount: usize },
    /// Pieces of a kind made so that they may change at a stop.
    KindQuick { kind: usize },
    /// A driver who sits further forward or back on the same seat: another insert.
    DriverSits {
        driver: usize,
        /// So much further forward; negative for back.
        forward: Length,
    },
    /// A total that may lie further above the lightest legal one.
    Spare {
        /// By so much.
        more: Mass,
    },
    /// A smaller margin above the class minimum.
    Margin {
        /// By so much.
        less: Mass,
    },
    /// A wider tolerance of a target that is a share.
    WiderTolerance {
        target: usize,
        /// Half-width added, points of percent.
        points: f64,
    },
    /// A wider tolerance of a target that is a difference.
    WiderPair {
        target: usize,
        /// Half-width added.
        by: Mass,
    },
    /// A wider tolerance of a height.
    WiderHeight {
        target: usize,
        /// Half-width added.
        by: Length,
    },
}

impl Easing {
    /// Most pieces that a kind may have.
    pub const MOST_PIECES: u32 = bounds::MOST_PIECES as u32;
}

impl Scenario {
    /// The same with one thing eased; none where there is nothing of the kind to ease, or where no file could say so.
    pub fn eased(&self, easing: Easing) -> Option<Scenario> {
        let mut eased = self.clone();
        match easing {
            Easing::MountCarries { mount, more } => eased.mounts[mount].capacity += more,
            Easing::MountHasRoom { mount, more } => {
                let room = eased.mounts[mount].room?;
                eased.mounts[mount].room = Some(Length::from_mm(room.mm() + more.mm()));
            }
            Easing::MountTakes { mount, more } => *eased.mounts[mount].most_pieces.as_mut()? += more,
            Easing::MountBolts { mount, more } => {
                self.class.rules.most_mass_per_bolt?;
                *eased.mounts[mount].bolts.as_mut()? += more;
            }
            Easing::Unlock { mount } => {
                if eased.mounts[mount].access == Access::Open {
                    return None;
                }
                eased.mounts[mount].access = Access::Open;
            }
            Easing::Pieces { kind, more } => {
                let count = eased.lead[kind].count.checked_add(more)?;
                if count > Easing::MOST_PIECES {
                    return None;
                }
                eased.lead[kind].count = count;
            }
            Easing::SeatHole { end } => {
                let (seat, holes) = (self.kart.seat.as_ref()?, self.seat_holes()?);
                let settings = seat.settings_at(&seat.holes_beyond(&holes, end)?);
                eased.adjusters.iter_mut().find(|a| a.lever == Lever::Seat)?.settings.extend(settings);
            }
            Easing::MountQuick { mount } => {
                if eased.mounts[mount].quick || eased.mounts[mount].access != Access::Open {
                    return None;
                }
                eased.mounts[mount].quick = true;
            }
            Easing::KindQuick { kind } => {
                if eased.lead[kind].quick {
                    return None;
                }
                eased.lead[kind].quick = true;
            }
            Easing::DriverSits { driver, forward } => eased.seat_further(driver, forward)?,
            Easing::Spare { more } => eased.preferences.spare += more,
            Easing::Margin { less } => match &mut eased.class.margin {
                Margin::Fixed(margin) if less > *margin => return None,
                Margin::Fixed(margin) => *margin -= less,
                Margin::Confidence { less: given_up, .. } => *given_up += less,
            },
            Easing::WiderTolerance { target, points } => match &mut eased.targets[target].aim {
                Aim::Percent { within, .. } => *within += points,
                Aim::Difference { .. } | Aim::Height { .. } => return None,
            },
            Easing::WiderPair { target, by } => match &mut eased.targets[target].aim {
                Aim::Difference { within, .. } => *within += by,
                Aim::Percent { .. } | Aim::Height { .. } => return None,
            },
            Easing::WiderHeight { target, by } => match &mut eased.targets[target].aim {
                Aim::Height { within, .. } => *within = Length::from_mm(within.mm() + by.mm()),
                Aim::Percent { .. } | Aim::Difference { .. } => return None,
            },
        }
        sums_fit(&eased).then_some(eased)
    }

    /// Lets a driver act further forward, at every weighing too: with him aboard the pads would have shown otherwise by just
    /// that. None where nobody has told where he acts, or if it would no longer be between the axles.
    fn seat_further(&mut self, driver: usize, forward: Length) -> Option<()> {
        let sits = self.drivers[driver].acts.filter(|_| self.drivers[driver].place_of.is_none())?;
        let acts = Point { x: Length::from_mm(sits.x.mm() + forward.mm()), y: sits.y };
        if !(0.0..=self.kart.chassis.wheelbase.mm()).contains(&acts.x.mm()) {
            return None;
        }
        let (mass, kart) = (self.drivers[driver].mass, &self.kart);
        let own = self.drivers[driver].weighing.as_mut();
        for weighing in own.into_iter().chain(std::iter::once(&mut self.weighing)) {
            if weighing.aboard.driver != Some(driver) {
                continue;
            }
            // From where the seat is now to where it was then.
            let then = kart.seat.as_ref().zip(weighing.aboard.seat_hole);
            let then = then.map_or_else(Shift::default, |(seat, hole)| seat.shift(seat.hole, hole));
            let [to, from] = [acts, sits].map(|place| kart.chassis.influence(then.of(place)));
            let more = ((to - from) * mass.kg()).kg().map(Mass::from_kg);
            weighing.readings = std::array::from_fn(|pad| weighing.readings[pad] + more[pad]);
        }
        self.drivers[driver].acts = Some(acts);
        Some(())
    }

    /// The holes of the seat, in the order of its settings; none if it cannot be moved.
    pub fn seat_holes(&self) -> Option<Vec<Hole>> {
        let seat = self.kart.seat.as_ref()?;
        let adjuster = self.adjusters.iter().find(|adjuster| adjuster.lever == Lever::Seat)?;
        Some(adjuster.settings.iter().map(|setting| seat.hole_after(setting.shift)).collect())
    }

    /// The same with other lead bolted on today: where a plan has been carried out.
    ///
    /// What lies on locked mounts and how many pieces there are stay as they are, so `fitted` has to agree with both; a plan
    /// of this very scenario does. None if it does not.
    pub fn with_fitted(&self, fitted: &Counts) -> Option<Scenario> {
        let as_locked = |mount: usize| {
            self.mounts[mount].access == Access::Open
                || (0..self.lead.len()).all(|kind| fitted.get(kind, mount) == self.fitted.get(kind, mount))
        };
        let in_stock = (0..self.lead.len()).all(|kind| fitted.of_kind(kind) <= self.lead[kind].count);
        ((0..self.mounts.len()).all(as_locked) && in_stock)
            .then(|| Scenario { fitted: fitted.clone(), ..self.clone() })
    }

    /// The same with other targets; none if a sum of the integer program would leave its range.
    pub fn with_targets(&self, targets: Vec<Target>) -> Option<Scenario> {
        let aimed = Scenario { targets, ..self.clone() };
        sums_fit(&aimed).then_some(aimed)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "\
units: kg-mm
kart: {name: k, wheelbase: 1040, track_front: 1080, track_rear: 1120}
class: {name: c, minimum: 150, margin: 0.4}
targets: {front: {aim: 43, within: 0.5}, front_pair: {aim: 0, within: 0.5 kg}}
weighing:
  scales: {lf: 30, rf: 30, lr: 42, rr: 42}
  aboard: {driver: Sam, fuel: none, lead: {seat: {slab: 1}}}
drivers: {Sam: {mass: 70, x: 440, y: 20}}
mounts:
  seat: {x: 260, y: 270, capacity: 5, locked: true}
  nose: {x: 1230, y: 0, capacity: 2, room: 40}
lead:
  slab: {mass: 2.5, count: 3, thickness: 20}
fitted: {seat: {slab: 1}}
";

    fn scenario() -> Scenario {
        Scenario::from_yaml(TEXT).expect("the scenario is right").0
    }

    #[test]
    fn easing_changes_one_thing_and_nothing_else() {
        let before = scenario();
        let more = Mass::from_kg(1.0);
        let after = before.eased(Easing::MountCarries { mount: 1, more }).expect("a mount can be stronger");
        assert_eq!(after.mounts[1].capacity, Mass::from_kg(3.0));
        assert_eq!((&after.mounts[0], &after.lead), (&before.mounts[0], &before.lead));
        assert_eq!((&after.targets, &after.class), (&before.targets, &before.class));
    }

    #[test]
    fn a_seat_gets_a_whole_row_of_holes_more_and_its_settings_keep_their_numbers() {
        let seat = "seat: {mass: 4, x: 300, y: 0, pitch: 15, hole: 1, holes: {from: 0, to: 2}, across: {pitch: 10, hole: 0, holes: {from: 0, to: 1}}}";
        let text = TEXT.replace("track_rear: 1120}", &format!("track_rear: 1120, {seat}}}"));
        let text = text.replace("fuel: none,", "fuel: none, seat_hole: 1,");
        let before = Scenario::from_yaml(&text).expect("the scenario is right").0;
        let after = before.eased(Easing::SeatHole { end: SeatEnd::Front }).expect("there may be a hole more");
        let (old, new) = (before.seat_holes().expect("holes"), after.seat_holes().expect("holes"));
        assert_eq!(old, new[..6]);
        assert_eq!(new[6..], [Hole { along: 3, across: 0 }, Hole { along: 3, across: 1 }]);
        let (seat, there) = (&after.adjusters[0], after.adjusters[0].settings[7].shift);
        assert_eq!((there.forward.mm(), there.left.mm()), (30.0, 10.0));
        assert_eq!(seat.settings[7].name, "hole 3, across 1");
        let left = before.eased(Easing::SeatHole { end: SeatEnd::Left }).expect("there may be a hole more");
        assert_eq!(left.seat_holes().expect("holes")[6..].len(), 3);
        assert!(scenario().eased(Easing::SeatHole { end: SeatEnd::Back }).is_none(), "no seat");
    }

    #[test]
    fn what_is_not_limited_cannot_be_eased() {
        let scenario = scenario();
        assert!(scenario.eased(Easing::MountHasRoom { mount: 0, more: Length::from_mm(10.0) }).is_none());
        assert!(scenario.eased(Easing::MountTakes { mount: 1, more: 1 }).is_none());
        assert!(scenario.eased(Easing::MountBolts { mount: 1, more: 1 }).is_none());
        assert!(scenario.eased(Easing::Unlock { mount: 1 }).is_none());
        assert!(scenario.eased(Easing::WiderTolerance { target: 1, points: 0.5 }).is_none());
        assert!(scenario.eased(Easing::Margin { less: Mass::from_kg(0.5) }).is_none());
        assert!(scenario.eased(Easing::Pieces { kind: 0, more: 998 }).is_none());
    }

    #[test]
    fn lead_on_a_locked_mount_cannot_be_said_to_be_elsewhere() {
        let scenario = scenario();
        let mut fitted = scenario.fitted().clone();
        *fitted.get_mut(0, 1) = 1;
        assert!(scenario.with_fitted(&fitted).is_some());
        *fitted.get_mut(0, 0) = 0;
        assert!(scenario.with_fitted(&fitted).is_none());
    }
}
