//! The page of `weigh`: the corners as they lie on the ground, the figures, and which part lead or a spacer can cure.

use super::balance::centre_of_gravity;
use super::{
    Drawn, FRAME_CAUTION, LEAD_CAUTIONS, brief, chance_to_pass, definitions, odd, picture, spared, stands,
    title, tone, work,
};
use crate::answer::doubts::{EXCHANGED, HOW_TO};
use crate::answer::forecast::{Forecast, Foretold};
use crate::answer::official::OfficialReading;
use crate::answer::weigh::{About, Correction, Height, Twist, WeighStatus, Weighing};
use crate::assess::twist::pressed;
use crate::decimals::fixed;
use crate::marks::{self, MASS_UNIT, column, fine, given, name, place, plain, share, signed};
use crate::page::{Block, Cell, Item, Page, Table, Tone};
use crate::quantity::{Exact, Kg, Mm, Percent, Quantity, kg, mm};
use crate::scenario::Figure;
use crate::uncertainty::verdict::Verdict;

/// Twist below this is nothing to cure, kg: a tenth of a millimetre of pad height, finer than pads read.
const WORTH_A_WORD_KG: f64 = 0.05;
/// A shift of left % below this is not shown by two decimals.
const SHOWN_PERCENT: f64 = 0.005;

/// How to stand on the pads.
const READY_TO_RACE: &str = "Weigh ready to race: driver in full gear, fuel as planned, wheel straight ahead, \
                             pads level with each other and zeroed.";

/// How to lift an axle; common practice, no published source.
const LIFT_CAUTION: &str = "A lift: driver out, brake off, front wheels chocked, no hands under the kart.";

/// The page of a weighing.
pub fn weigh(weighing: &Weighing, drawn: Option<&Drawn>) -> Page {
    let mut called = "Four readings".to_owned();
    if let Some(about) = &weighing.about {
        let who = title(about.aboard.driver.as_deref(), &about.kart, &about.class);
        called = format!("As weighed: {who}");
    }
    let mut blocks = vec![Block::Title(called.clone())];
    if let Some(about) = &weighing.about {
        let tone = if weighing.status == WeighStatus::OnTarget { Tone::Good } else { Tone::Bad };
        blocks.push(Block::Verdict(tone, weighing.status.words().to_owned()));
        blocks.extend([Block::Line(aboard(about)), Block::Line(official(weighing.status, about))]);
        blocks.extend(read_by_officials(about).into_iter().chain(missing(about)).map(Block::Line));
    }
    let residuals = &weighing.residuals;
    let strips = brief::strips(Some(residuals), None);
    let stands =
        brief::balance("Balance".to_owned(), Some(&weighing.figures), None, residuals, strips).into_iter();
    let stands = stands.chain([Block::ByHand(vec!["Fuel", "Date", "By", "Official scale"])]);
    blocks.push(Block::Beside(vec![picture(drawn).into_iter().collect(), stands.collect()]));
    let earlier = weighing.forecasts.len().saturating_sub(1);
    let left = corners(weighing).into_iter().chain(weighing.forecasts[earlier..].iter().flat_map(forecast));
    blocks.push(Block::Beside(vec![left.collect(), figures(weighing)]));
    let doubts = weighing.doubts.iter().flat_map(odd);
    let how_to = "`kentledge weigh --howto` tells the order of a good weighing";
    let how_to = (!weighing.doubts.is_empty()).then(|| Item::from(how_to));
    blocks.extend(Block::section("Look at the weighing again", doubts.chain(how_to)));
    let spacers = weighing.twist.as_ref().map(|_| FRAME_CAUTION);
    let lifts = weighing.height.as_ref().and_then(|height| height.lifts).map(|_| LIFT_CAUTION);
    let cautions = [READY_TO_RACE].into_iter().chain(LEAD_CAUTIONS).chain(lifts).chain(spacers);
    blocks.push(Block::Cautions(cautions.map(str::to_owned).collect()));
    blocks.push(Block::Side);
    blocks.extend(weighing.about.as_ref().map(|about| lead(about, drawn)));
    blocks.extend(weighing.forecasts[..earlier].iter().flat_map(forecast));
    let origins = weighing.most_of_plus_minus.iter().map(|origin| format!("most of the \u{b1} of {origin}"));
    let turned = weighing.turned_would_bring.iter();
    let sure = origins.chain(weighing.assumptions.iter().chain(turned).cloned());
    blocks.extend(Block::section("How sure this is: \u{b1} holds the truth in 95 of 100 cases", sure));
    let exchanged = looks_exchanged(weighing);
    if !weighing.residuals.is_empty() && !exchanged {
        let nothing = "nothing: no target for front, rear or left is missed";
        let cures = weighing.cures.iter().map(|cure| cure.sentence.as_str());
        let none = weighing.cures.is_empty().then_some(nothing);
        blocks.extend(Block::section("What lead or the seat can cure", cures.chain(none)));
    }
    let twists = weighing.twist.iter().flat_map(twist);
    blocks.extend(Block::section("What is twist: washers, tyres and lead set diagonally change it", twists));
    let practice = weighing.common_practice.iter().map(String::as_str);
    blocks.extend(Block::section("Common practice, no published source", practice));
    let brief = brief::weigh(weighing);
    Page { title: called, brief, blocks, status: weighing.status.words().to_owned() }
}

/// Whether no cure can be worked out, as the readings are not known to be at their wheels.
pub(super) fn looks_exchanged(weighing: &Weighing) -> bool {
    weighing.doubts.iter().any(|doubt| doubt.name == EXCHANGED)
}

/// The page of the order of a good weighing.
pub fn how_to() -> Page {
    let title = "A good weighing (common practice, no published source)".to_owned();
    let steps = (1..).zip(HOW_TO).map(|(number, step)| Item::from(format!("{number}. {step}")));
    let blocks = vec![
        Block::Title(title.clone()),
        Block::List(steps.collect()),
        Block::ByHand(vec!["Set 1: LF", "RF", "LR", "RR"]),
        Block::ByHand(vec!["Set 2: LF", "RF", "LR", "RR"]),
        Block::ByHand(vec!["Set 3: LF", "RF", "LR", "RR"]),
        Block::ByHand(vec!["Turned, pad by pad: LF", "RF", "LR", "RR"]),
        Block::ByHand(vec!["Driver", "Fuel", "Lead aboard"]),
        Block::ByHand(vec!["Date", "By", "Official scale"]),
        Block::Cautions(vec![FRAME_CAUTION.to_owned()]),
    ];
    Page { title, brief: Vec::new(), blocks, status: String::new() }
}

/// Driver, fuel, lead and seat at the weighing.
pub(super) fn aboard(about: &About) -> String {
    let aboard = &about.aboard;
    let mut all = Vec::new();
    all.extend(
        aboard
            .driver
            .iter()
            .zip(aboard.driver_mass)
            .map(|(who, mass)| format!("{} {}", name(who), given(mass))),
    );
    all.push(format!("fuel {}", plain(aboard.fuel)));
    all.push(if aboard.lead.is_empty() {
        "no lead".to_owned()
    } else {
        format!("lead {}", plain(aboard.lead_mass))
    });
    all.extend(aboard.seat_hole.map(|hole| match aboard.seat_across {
        None | Some(0) => format!("seat at hole {hole}"),
        Some(across) => format!("seat at hole {hole}, across {across}"),
    }));
    format!("aboard: {}", all.join(", "))
}

/// What the officials would weigh with what is fitted now.
fn official(status: WeighStatus, about: &About) -> String {
    let official = &about.official;
    let (wanted, above) = (&official.margin.wanted, official.margin.above_required.alone());
    let who = official.driver.as_deref().map(|who| format!(" with {}", name(who))).unwrap_or_default();
    let side = if status == WeighStatus::TooLight { "too light for" } else { "above" };
    format!(
        "at the {}{who} and what is fitted now: {}, {} {side} {}; as it is, {}",
        wanted.weighed_at.word(),
        given(official.total),
        given(kg(above.value.abs())).seen(),
        given(wanted.required),
        chance_to_pass(&official.margin)
    )
}

/// What the officials' own reading changes.
pub(super) fn read_by_officials(about: &About) -> Option<String> {
    let read = about.official.read.as_ref()?;
    let spared = spared(&about.official.margin.wanted).filter(|_| !read.alone);
    Some(official_reading(read) + &spared.map(|spared| format!("; {spared}")).unwrap_or_default())
}

/// What the officials read, and what follows from it.
pub(super) fn official_reading(read: &OfficialReading) -> String {
    let apart = read.above_pads.value;
    let side = if apart < 0.0 { "less" } else { "more" };
    let (official, apart) = (given(read.official), plain(kg(apart.abs())));
    if read.alone {
        return format!("officials: {official}, {apart} {side} than expected; balance is that of the pads");
    }
    format!("the officials read {official}, {apart} {side} than the pads: theirs is the total")
}

/// Where the lead that is missing should act.
pub(super) fn missing(about: &About) -> Option<String> {
    let point = about.official.missing.as_ref()?;
    let left = point.y.map_or_else(String::new, |y| {
        let side = if y.value < 0.0 { "right" } else { "left" };
        format!(" and {} to the {side}", place(Quantity::new(Mm, y.value.abs(), y.plus_minus)))
    });
    let end = if point.x.value < 0.0 { "behind" } else { "ahead of" };
    let x = place(Quantity::new(Mm, point.x.value.abs(), point.x.plus_minus));
    let cannot = if point.among_mounts { "" } else { "; no mounts lie around that place" };
    Some(format!("missing {}, best {x} {end} the rear axle{left}{cannot}", plain(point.mass)))
}

/// What was expected of a weighing, and how it came out.
fn forecast(found: &Forecast) -> Vec<Block> {
    let rows = found.corners.iter().map(|corner| {
        let (words, tone) =
            if corner.within { ("as expected", Tone::Good) } else { ("not as expected", Tone::Bad) };
        vec![
            Cell::words(corner.corner),
            Cell::number(column(corner.forecast).without_plus_minus()),
            Cell::number(column(corner.weighed).without_plus_minus()),
            Cell::number(signed(corner.difference)),
            Cell::words(words).toned(tone),
        ]
    });
    let caption = format!("Expected and weighed, weighing {}, {MASS_UNIT}", found.weighing);
    let head = ["", "expected", "weighed", "difference", ""];
    let most = |sure: &dyn Fn(&Foretold) -> Exact<Kg>| {
        let all = found.corners.iter().map(sure).map(|sure| sure.value);
        plain(kg(all.fold(0.0, f64::max))).as_plus_minus()
    };
    let alone = format!(
        "by itself a corner is expected to \u{b1} {} and weighed to \u{b1} {}; the difference is free of what they share",
        most(&|corner| corner.forecast.sure()),
        most(&|corner| corner.weighed.sure())
    );
    let (tone, verdict) = match (found.as_forecast, found.causes.is_empty()) {
        (true, _) => (Tone::Good, "as expected: pads, tape and frame explain the difference"),
        (false, false) => (Tone::Bad, "not as expected; the likeliest slip:"),
        (false, true) => (
            Tone::Bad,
            "not as expected, and no single slip explains it: look at `aboard` and the readings, or weigh again",
        ),
    };
    let causes = found.causes.iter().enumerate().map(|(index, cause)| {
        let or = if index == 0 { "" } else { "or " };
        let percent = fixed(100.0 * cause.chance, 0);
        Item::under(format!("{or}{} ({percent} % among all that explain it)", cause.sentence))
    });
    let sentences = [Item::from(alone), Item::from(verdict).toned(tone)].into_iter().chain(causes);
    vec![
        Block::Table(Table::new("forecast", caption, &head, rows.collect())),
        Block::List(sentences.collect()),
    ]
}

/// Corners as they lie on the ground, each with its part of the total, with their sums and shares; and blanks for the next weighing.
fn corners(weighing: &Weighing) -> Vec<Block> {
    let figures = &weighing.figures;
    let each = |index: usize| Cell::number(column(weighing.corners.part(|all| all.each()[index])));
    let of_total = |index: usize| {
        let corner = weighing.corners.part(|all| all.each()[index]).value;
        Cell::number(format!("{} %", fixed(100.0 * corner / figures.total.value, 1)))
    };
    let load = |load: Quantity<Kg>| Cell::number(column(load));
    let percent = |of: Quantity<Percent>| Cell::number(format!("{} %", share(of)));
    let empty = Cell::number("");
    let rows = vec![
        vec![Cell::words("front"), each(0), each(1), load(figures.front_load), percent(figures.front)],
        vec![Cell::words(""), of_total(0), of_total(1), empty.clone(), empty.clone()],
        vec![Cell::words("rear"), each(2), each(3), load(figures.rear_load), percent(figures.rear)],
        vec![Cell::words(""), of_total(2), of_total(3), empty.clone(), empty.clone()],
        vec![
            Cell::words("both"),
            load(figures.left_load),
            load(figures.right_load),
            load(figures.total),
            empty.clone(),
        ],
        vec![Cell::words(""), percent(figures.left), percent(figures.right), empty.clone(), empty],
    ];
    let head = ["", "left", "right", "both", ""];
    vec![Block::Table(Table::new("ground", format!("Corners, {MASS_UNIT}"), &head, rows))]
}

/// Cross and pairs always; front and left only where they have a target, as the corners have them already.
fn figures(weighing: &Weighing) -> Vec<Block> {
    let target = |figure: Figure| weighing.residuals.iter().find(|residual| residual.target == figure);
    let always = [Figure::Cross, Figure::FrontPair, Figure::RearPair];
    let shown = Figure::ALL.into_iter().filter(|figure| always.contains(figure) || target(*figure).is_some());
    let shown: Vec<Figure> = shown.collect();
    let rows = shown.iter().map(|of| {
        let figure = |value, plus_minus| Cell::number(marks::figure(*of, value, Some(plus_minus)));
        let [wanted, verdict] = match target(*of) {
            Some(residual) => {
                [Cell::words(residual.wanted()), Cell::words(stands(residual)).toned(tone(residual.verdict))]
            }
            None => [Cell::words(""), Cell::words("no target").toned(Tone::Quiet)],
        };
        let known = weighing
            .figures
            .of(*of)
            .or(target(*of).map(|residual| (residual.value.0, residual.plus_minus.0)));
        let (value, plus_minus) = known.unwrap_or_default();
        vec![Cell::words(of.name()), figure(value, plus_minus), wanted, verdict]
    });
    let caption = format!("Figures; pairs in {MASS_UNIT}");
    let table = Table::new("targets", caption, &["", "as weighed", "wanted", ""], rows.collect());
    let place = weighing.figures.centre_of_gravity.as_ref();
    let place = place.map(|place| format!("centre of gravity: {}", centre_of_gravity(place)));
    let more = place.into_iter().chain(weighing.height.as_ref().map(height)).map(Block::Line);
    std::iter::once(Block::Table(table)).chain(definitions(shown.into_iter())).chain(more).collect()
}

/// The height from lifts, which were of the kart as it was weighed first.
fn height(height: &Height) -> String {
    let (whose, whence) = match (height.scatter, height.lifts) {
        (Some(scatter), Some(lifts)) => {
            ("of the kart as lifted", format!("from {lifts} lifts that agree to {}", fine(scatter)))
        }
        _ => ("of the kart as weighed first", "as the file says".to_owned()),
    };
    format!("centre of gravity {whose}: {} above the ground, {whence}", place(height.z))
}

/// The lead that was on it, as in the picture.
fn lead(about: &About, drawn: Option<&Drawn>) -> Block {
    let aboard = &about.aboard;
    if aboard.lead.is_empty() {
        return Block::Line("No lead was aboard.".to_owned());
    }
    work::mounts("Lead aboard", &aboard.mounts, &aboard.lead, drawn)
}

/// What twist means and what takes it away, one sentence each.
pub(super) fn twist(twist: &Twist) -> Vec<String> {
    let at = |index: usize| twist.corners.part(|all| all.each()[index]);
    let (front, rear) = (at(0), at(2));
    let size =
        |load: Quantity<Kg>| plain(Quantity::new(Kg, load.value.abs(), load.plus_minus)).without_plus_minus();
    let is_small = front.value.abs() < WORTH_A_WORD_KG;
    let (more, less) = pressed(front.value);
    let mut sentences = vec![if is_small {
        format!("next to none: {}", size(front))
    } else {
        format!(
            "{more} press harder than the centre of gravity explains: {} at the front, {} at the rear; {less} as much less",
            size(front),
            size(rear)
        )
    }];
    if twist.corrections.is_empty() && !is_small {
        let washers = twist.spacer.at_rf;
        sentences.push(if washers.value.abs() < washers.plus_minus {
            format!("less than these pads can tell ({} of washers): leave the washers", fine(washers))
        } else {
            format!("to take it away: {}", twist.spacer)
        });
    }
    sentences.extend(twist.corrections.iter().map(correction));
    sentences.extend(twist.rear_pair_then.map(|rears| {
        format!(
            "with the fronts right as well the rears are {} apart by themselves: correct them last",
            size(rears)
        )
    }));
    let (rate, across) = (twist.rate, &twist.lead_across);
    sentences.push(format!(
        "first check floor and tyres: a pad {} too high, or a tyre {} larger around, moves each corner by {}, as \
         twist does",
        fine(mm(1.0)),
        fine(mm(std::f64::consts::TAU)),
        plain(Quantity::new(Kg, rate.value, rate.plus_minus))
    ));
    sentences.push(format!(
        "lead does some of it: {} moved across in front and as much back again behind, {} off the middle over the \
         axles, change LF - RF by about {}, as {} of washers do; how much depends on the frame",
        given(across.mass),
        place(across.off_middle),
        // The frame decides about the next digit.
        plain(across.front_pair.known_to(kg(0.5))).without_plus_minus(),
        fine(across.washers)
    ));
    if twist.left_shift.value >= SHOWN_PERCENT {
        sentences.push(format!(
            "left % is free of twist only where both tracks are equal; here this twist shifts it by {} %",
            fixed(twist.left_shift.value, 2)
        ));
    }
    sentences.push(format!(
        "twist is known to \u{b1} {} at the front, \u{b1} {} at the rear",
        plain(front.sure()).as_plus_minus(),
        plain(rear.sure()).as_plus_minus()
    ));
    sentences
}

fn correction(correction: &Correction) -> String {
    let Correction { once, then, spacer } = correction;
    let unit = if then.target.is_share() { String::new() } else { format!(" {MASS_UNIT}") };
    let stands = stands(then);
    let is = format!("{once}, {} is {}{unit}, {stands}", then.target.name(), then.shown());
    match then.verdict {
        Verdict::OnTarget | Verdict::NearEdge => format!("{is}: leave the washers"),
        Verdict::Off => format!("{is}: {spacer}"),
        Verdict::CannotConfirm | Verdict::JustOff => {
            format!("{is}: weigh better before you touch the washers")
        }
    }
}
