//! The page of `reach`: for each driver the wishes, where the kart stands, a small picture and the corners.

use crate::answer::reach::{Place, Reach, Reachable, Wish};
use crate::decimals::{counted, trimmed};
use crate::marks::{given, name, plain, share};
use crate::page::{Block, Cell, Item, Page, Sketch, Table, Tone};

use super::{Drawn, brief, cautions, picture};

impl Wish {
    /// `43 ± 0.5`.
    pub fn text(&self) -> String {
        format!("{} \u{b1} {}", trimmed(self.aim.value, 3), trimmed(self.within.value, 3))
    }
}

/// The page of what is within reach.
pub fn reach(reach: &Reach, drawn: Option<&Drawn>) -> Page {
    let title = format!("{}, {}: front % and left % within reach", name(&reach.kart), name(&reach.class));
    let read = format!("read at the {}, with all adjusters as they are set now", reach.state.word());
    let mut blocks = vec![Block::Title(title.clone()), Block::Line(read)];
    let wishes = [("front %", &reach.front_wanted), ("left %", &reach.left_wanted)];
    let wanted = wishes.into_iter().filter_map(|(what, wish)| Some((what, wish.as_ref()?)));
    blocks.extend(wanted.map(|(what, wish)| Block::Line(format!("wanted {what}: {}", wish.text()))));
    let mut words: Vec<Block> = reach.regions.iter().flat_map(|region| in_words(reach, region)).collect();
    words.extend(reach.without.iter().flat_map(|nothing| {
        let why = Item::from(nothing.sentence).toned(Tone::Bad);
        [Block::Heading(who(nothing.driver.as_deref())), Block::List(vec![why])]
    }));
    // The picture has all places; where there is none, a table has them.
    blocks.extend(match picture(drawn) {
        Some(picture) => vec![Block::Beside(vec![vec![picture], words])],
        None => words.into_iter().chain(reach.regions.iter().map(places)).collect(),
    });
    blocks.push(cautions());
    Page { title, brief: brief::reach(reach), blocks, status: reach.status().to_owned() }
}

pub(super) fn who(driver: Option<&str>) -> String {
    driver.map_or_else(|| "Without a driver".to_owned(), name)
}

/// What the picture shows of one driver, in words.
fn in_words(reach: &Reach, region: &Reachable) -> Vec<Block> {
    let totals = format!("totals from {} to {}", given(region.least_total), given(region.most_total));
    let sure = &region.plus_minus_at_most;
    let sure = format!(
        "no place within reach is less sure than \u{b1} {} in front % and \u{b1} {} in left % (95 of 100), its total \u{b1} {}",
        share(sure.front).as_plus_minus(),
        share(sure.left).as_plus_minus(),
        plain(sure.total).as_plus_minus()
    );
    let all = std::iter::once(totals).chain(region.verdict.clone()).chain([sure, how_near(region)]);
    vec![
        Block::Heading(who(region.driver.as_deref())),
        Block::List(all.map(Item::from).collect()),
        small_picture(reach, region),
    ]
}

/// How near whole pieces come to every place.
fn how_near(region: &Reachable) -> String {
    let near = match region.gap_median.zip(region.gap_most) {
        Some((median, most)) => format!(
            "the pieces reach {} places near a grid that the search was asked for; a place of that grid is {} points \
             from the nearest of them as a rule, {} at most",
            region.points.len(),
            share(median),
            share(most)
        ),
        None => "no places of whole pieces were found".to_owned(),
    };
    match region.unanswered_places {
        0 => near,
        several => format!("{near}; {} of the grid had no answer in this time", counted(several, "place")),
    }
}

/// The table behind the outline.
fn places(region: &Reachable) -> Block {
    let row = |what: String, place: &Place| {
        vec![Cell::words(what), Cell::number(share(place.front)), Cell::number(share(place.left))]
    };
    let now = [row("now".to_owned(), &region.now), row("planned".to_owned(), &region.planned)];
    let corners = (1..).zip(&region.corners).map(|(number, corner)| row(format!("corner {number}"), corner));
    let rows = now.into_iter().chain(corners).collect();
    Block::Table(Table::new("places", who(region.driver.as_deref()), &["", "front %", "left %"], rows))
}

/// Front % to the right, left % upwards.
pub(super) fn small_picture(reach: &Reach, region: &Reachable) -> Block {
    let (front, left) = (reach.front_wanted.as_ref(), reach.left_wanted.as_ref());
    let at = |place: &Place, letter| (place.front.value, place.left.value, letter);
    let target = front.zip(left).map(|(front, left)| (front.aim.value, left.aim.value, '+'));
    let points = region.points.iter().map(|point| at(point, '.'));
    let corners = region.corners.iter().map(|corner| at(corner, 'o'));
    let karts = [at(&region.now, 'N'), at(&region.planned, 'P')];
    let legend =
        "left % up, front % across; o corner, . pieces, N now, P planned, + target, : and - its tolerance";
    Block::Sketch(Sketch {
        places: points.chain(corners).chain(target).chain(karts).collect(),
        wanted: [front, left].map(|wish| wish.map(Wish::ends)),
        legend: legend.to_owned(),
    })
}
