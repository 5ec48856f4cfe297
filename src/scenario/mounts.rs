//! The parts of a file about places for lead: mounts, and which pieces are on which mount.

use super::lead::LeadBox;
use super::{Access, FixedTo, Kind, Mount, Rules, Seat, bounds, keys, place};
use crate::counts::Counts;
use crate::diagnosis::Fault;
use crate::document::block::Block;
use crate::document::form::Form;
use crate::document::{Given, Value, every, no_such, written_length, written_mass};
use crate::statics::Chassis;

/// All mounts of a file; one that could not be read keeps its name.
#[derive(Default)]
pub(super) struct Mounts<'r> {
    /// As in [`LeadBox`].
    pub(super) unreadable: bool,
    pub(super) names: Vec<String>,
    pub(super) values: Vec<Value<'r>>,
    pub(super) read: Vec<Option<Mount>>,
    /// Which sizes on a trip's list each takes.
    pub(super) takes_of_list: Vec<Vec<bool>>,
}

/// Lead that mounts may name in what they take.
#[derive(Clone, Copy)]
pub(super) struct Boxes<'b, 'r> {
    pub(super) lead: &'b LeadBox<'r>,
    /// What can be bought for a trip.
    pub(super) list: &'b LeadBox<'r>,
}

/// What `mounts` says.
pub(super) fn mounts<'r>(
    given: Given<'r, Vec<Value<'r>>>,
    boxes: Boxes,
    rules: Option<&Rules>,
    chassis: Option<&Chassis>,
    (has_seat, seat): (bool, Option<&Seat>),
) -> Mounts<'r> {
    let mut mounts = Mounts::default();
    let Some(value) = given.value else { return mounts };
    let Some(entries) = given.read else {
        mounts.unreadable = true;
        return mounts;
    };
    if !value.at_most(bounds::MOST_MOUNTS, "mounts", entries.len()) {
        mounts.unreadable = true;
        return mounts;
    }
    let counts_bolts = rules.is_some_and(|rules| rules.most_mass_per_bolt.is_some());
    for value in entries {
        let Some(name) = value.key_as_name("mounts") else { continue };
        // None of the list where the mount could not be read.
        let mut takes_of_list = vec![false; boxes.list.names.len()];
        let mut mount = mount(&value, &name, boxes, counts_bolts, has_seat, &mut takes_of_list);
        if let (Some(mount), Some(chassis)) = (&mount, chassis) {
            place::mount_on_the_kart(value.reading(), &value, &name, mount.place, chassis);
        }
        // What rides on the seat has come with it since the tape was there.
        if let (Some(mount), Some(seat)) = (&mut mount, seat)
            && mount.fixed_to == FixedTo::Seat
        {
            mount.place = seat.since_measured().of(mount.place);
        }
        mounts.names.push(name);
        mounts.values.push(value);
        mounts.read.push(mount);
        mounts.takes_of_list.push(takes_of_list);
    }
    mounts
}

/// A mount; which sizes on a trip's list it takes is put into `takes_of_list`.
fn mount(
    value: &Value,
    name: &str,
    boxes: Boxes,
    counts_bolts: bool,
    has_seat: bool,
    takes_of_list: &mut [bool],
) -> Option<Mount> {
    let given = keys::Mount::read(value)?;
    if given.on.read == Some(FixedTo::Seat) && !has_seat {
        given.on.note_key(Fault::NoSeat);
    }
    let allowed = match &given.takes.value {
        Some(_) => given.takes.read.and_then(|takes| kinds_named(&takes, boxes)),
        None => Some([vec![true; boxes.lead.names.len()], vec![true; boxes.list.names.len()]]),
    };
    let (pattern, room) = (given.pattern.read, given.room.optional());
    let pattern_fits = |lead: &LeadBox, kind: usize| match (&pattern, &lead.family(kind).pattern) {
        (Some(mount), Some(kind)) => mount == kind,
        _ => true,
    };
    let fitting = |lead: &LeadBox, allowed: Vec<bool>| -> Vec<bool> {
        let kinds = allowed.into_iter().enumerate();
        kinds.map(|(kind, allowed)| allowed && pattern_fits(lead, kind)).collect()
    };
    let limits_room = matches!(room, Some(Some(_)));
    let takes = allowed.map(|[of_lead, of_list]| {
        let [of_lead, of_list] = [fitting(boxes.lead, of_lead), fitting(boxes.list, of_list)];
        if limits_room {
            thickness_known(boxes.lead, &of_lead, name);
            thickness_known(boxes.list, &of_list, name);
        }
        takes_of_list.copy_from_slice(&of_list);
        of_lead
    });
    if counts_bolts && given.bolts.value.is_none() {
        value.note_key(Fault::MountBoltsMissing { mount: name.into() });
    }
    let mount = Mount {
        name: name.into(),
        place: given.place.point()?,
        height: given.z.optional()?,
        capacity: given.capacity.read?,
        room: room?,
        most_pieces: given.most_pieces.optional()?,
        bolts: given.bolts.optional()?,
        access: if given.locked.or(false)? { Access::Locked } else { Access::Open },
        quick: given.quick.or(false)?,
        fixed_to: given.on.or(FixedTo::Frame)?,
        takes: takes?,
    };
    if !takes_of_list.contains(&true) {
        never_used(value, &mount, boxes.lead);
    }
    Some(mount)
}

/// Notes what a mount with limited room takes without knowing how thick it is.
fn thickness_known(lead: &LeadBox, takes: &[bool], mount: &str) {
    for family in &lead.families {
        if family.thickness.is_none() && family.kinds.clone().any(|kind| takes[kind]) {
            let (kind, mount) = (family.name.clone(), mount.to_owned());
            family.value.note_key(Fault::ThicknessMissing { kind, mount });
        }
    }
}

/// Which kinds a list of names means, of the lead and of what can be bought; the name of a family means all its pieces.
fn kinds_named(items: &[Value], boxes: Boxes) -> Option<[Vec<bool>; 2]> {
    if boxes.lead.unreadable || boxes.list.unreadable {
        return None;
    }
    let both = [boxes.lead, boxes.list];
    let mut named = both.map(|lead| vec![false; lead.names.len()]);
    let meant = |item: &Value| {
        let name = item.name()?;
        let meant = both.map(|lead| {
            let family =
                lead.families.iter().find(|family| family.name == name).map(|family| family.kinds.clone());
            let piece = || lead.names.iter().position(|kind| *kind == name).map(|kind| kind..kind + 1);
            family.or_else(piece)
        });
        if meant.iter().all(Option::is_none) {
            let known = boxes.lead.all_names().chain(boxes.list.all_names());
            item.note(no_such("kind of lead", &name, known));
            return None;
        }
        Some(meant)
    };
    for meant in every(items.iter().map(meant))? {
        for (named, kinds) in named.iter_mut().zip(meant) {
            named[kinds.unwrap_or(0..0)].fill(true);
        }
    }
    Some(named)
}

/// Warns of a mount on which no piece of the box can ever go.
fn never_used(value: &Value, mount: &Mount, lead: &LeadBox) {
    let Some(kinds) = lead.kinds.iter().cloned().collect::<Option<Vec<Kind>>>() else { return };
    if mount.access == Access::Locked || kinds.iter().all(|kind| kind.count == 0) {
        return;
    }
    let units = value.units();
    let taken: Vec<&Kind> = kinds
        .iter()
        .zip(&mount.takes)
        .filter(|(kind, takes)| **takes && kind.count > 0)
        .map(|(kind, _)| kind)
        .collect();
    let lightest = taken.iter().map(|kind| kind.mass).min();
    let carries = |kind: &&&Kind| kind.mass <= mount.capacity;
    let fits = |kind: &&Kind| mount.room.is_none_or(|room| kind.thickness <= room);
    let reason = match (lightest, mount.room) {
        (None, _) => "it takes none of the lead listed".into(),
        (Some(lightest), _) if lightest > mount.capacity => format!(
            "its limit {} is below your lightest piece {}",
            written_mass(mount.capacity, units),
            written_mass(lightest, units)
        ),
        (Some(_), Some(room)) if !taken.iter().filter(carries).any(fits) => format!(
            "its room {} is below the thickness of every piece it can carry",
            written_length(room, units)
        ),
        _ => return,
    };
    value.note_key(Fault::NeverUsed { mount: mount.name.clone(), reason });
}

/// Reads a list of lead on mounts: `seat_left: {block: 1}`.
pub(super) fn on_mounts(value: &Value, lead: &LeadBox, mounts: &Mounts) -> Option<Counts> {
    let mut counts = Counts::none(lead.names.len(), mounts.names.len());
    let listed = keys::ON_MOUNTS.read(value)?;
    if lead.unreadable || mounts.unreadable {
        return None;
    }
    let mut put = |mount: usize, piece: &Value| {
        let kind = piece.key_among("piece of lead", &lead.names)?;
        *counts.get_mut(kind, mount) = keys::COUNT.read(piece)?;
        let wanted = counts.of_kind(kind);
        match lead.kinds[kind].as_ref().map(|kind| kind.count) {
            Some(stock) if wanted > stock => {
                piece.note(Fault::NotInStock { kind: lead.names[kind].clone(), wanted, stock });
                None
            }
            _ => Some(()),
        }
    };
    every(listed.iter().map(|on_mount| {
        let mount = on_mount.key_among("mount", &mounts.names)?;
        every(keys::ON_MOUNT.read(on_mount)?.iter().map(|piece| put(mount, piece)))
    }))?;
    Some(counts)
}
