//! The JSON document of `pack`.
//! Takes the view; gives the document, every key present whatever the outcome.
//! Does not round and does not word anything.

use serde::Serialize;

use super::borrowed::BorrowedEntry;
use super::changes::PlacementEntry;
use super::plan::{ShortfallEntry, shortfall};
use super::{Frame, MarginEntry, ResidualEntry};
use crate::report::amount::Distance;
use crate::report::pack::{
    BeyondLine, CaseLines, CaseName, ForcedLine, HardwareLines, KitLines, PackOutcome, PackView, PieceLine,
    SmallerLines,
};
use crate::tasks::pack::{Asked, Probed};

#[derive(Serialize)]
struct PackAnswer<'v> {
    kart: &'v str,
    trip: &'v str,
    buy: Vec<PieceEntry<'v>>,
    take: Vec<PieceEntry<'v>>,
    leave: Vec<PieceEntry<'v>>,
    /// Money of the file, or pieces where the list has no prices.
    cost: Option<f64>,
    priced: bool,
    carried_kg: Option<f64>,
    pieces: Option<u32>,
    cases: Vec<CaseEntry<'v>>,
    pieces_for: Vec<ForcedEntry<'v>>,
    one_piece_less: Option<SmallerEntry<'v>>,
    beyond: Vec<BeyondEntry<'v>>,
    hardware: Option<HardwareEntry<'v>>,
    proof: &'v [String],
    /// Drivers known only by a dressed mass.
    estimated_places: Vec<BorrowedEntry<'v>>,
    bound: Option<&'v str>,
    never_legal: Vec<ShortEntry<'v>>,
    kits_tried: Option<u64>,
}

#[derive(Serialize)]
struct NameEntry<'v> {
    driver: Option<&'v str>,
    class: &'v str,
    targets: &'v str,
}

impl<'v> NameEntry<'v> {
    fn new(name: &'v CaseName) -> NameEntry<'v> {
        NameEntry { driver: name.driver.as_deref(), class: &name.class, targets: &name.variation }
    }
}

#[derive(Serialize)]
struct PieceEntry<'v> {
    piece: &'v str,
    count: u32,
    spares: u32,
    each_kg: f64,
    mass_kg: f64,
    price: Option<f64>,
}

impl<'v> PieceEntry<'v> {
    fn all(lines: &'v [PieceLine]) -> Vec<PieceEntry<'v>> {
        let entry = |line: &'v PieceLine| PieceEntry {
            piece: &line.piece,
            count: line.count,
            spares: line.spares,
            each_kg: line.each.kg,
            mass_kg: line.mass.kg,
            price: line.price.as_ref().map(|(_, price)| *price),
        };
        lines.iter().map(entry).collect()
    }
}

#[derive(Serialize)]
struct CaseEntry<'v> {
    #[serde(flatten)]
    name: NameEntry<'v>,
    total_kg: f64,
    total_plus_minus_kg: f64,
    margin: MarginEntry,
    in_band: bool,
    /// `in band`, or `legal` where no kit can do more, or none was found in time.
    asked: &'static str,
    placements: Vec<PlacementEntry<'v>>,
    adjusters: Vec<SettingEntry<'v>>,
    residuals: Vec<ResidualEntry>,
    in_the_way: &'v [String],
}

#[derive(Serialize)]
struct SettingEntry<'v> {
    adjuster: &'v str,
    now: &'v str,
    planned: &'v str,
}

impl<'v> CaseEntry<'v> {
    fn new(case: &'v CaseLines) -> CaseEntry<'v> {
        let settings = case.settings.iter().map(|setting| SettingEntry {
            adjuster: &setting.adjuster,
            now: &setting.now,
            planned: &setting.planned,
        });
        CaseEntry {
            name: NameEntry::new(&case.case),
            total_kg: case.total.kg,
            total_plus_minus_kg: case.passing.total_sure.kg,
            margin: MarginEntry::new(&case.required, Some(&case.above_required), Some(&case.passing)),
            in_band: case.misses.is_empty(),
            asked: match case.asked {
                Asked::InBand => "in band",
                Asked::Legal => "legal",
                Asked::GivenUp => "legal, given up in time",
            },
            placements: case.placements.iter().map(PlacementEntry::new).collect(),
            adjusters: settings.collect(),
            residuals: ResidualEntry::of_targets(&case.targets),
            in_the_way: &case.in_the_way,
        }
    }
}

#[derive(Serialize)]
struct ForcedEntry<'v> {
    piece: &'v str,
    count: u32,
    /// Places in `cases`.
    lost_with_one_less: &'v [usize],
}

#[derive(Serialize)]
struct SmallerEntry<'v> {
    piece: &'v str,
    gives_up: Vec<LostEntry<'v>>,
}

#[derive(Serialize)]
struct LostEntry<'v> {
    #[serde(flatten)]
    name: NameEntry<'v>,
    how: &'v str,
}

impl<'v> SmallerEntry<'v> {
    fn new(lines: &'v SmallerLines) -> SmallerEntry<'v> {
        let lost = lines.lost.iter().map(|(name, how)| LostEntry { name: NameEntry::new(name), how });
        SmallerEntry { piece: &lines.piece, gives_up: lost.collect() }
    }
}

#[derive(Serialize)]
struct BeyondEntry<'v> {
    #[serde(flatten)]
    name: NameEntry<'v>,
    driver_lighter: &'static str,
    driver_heavier: &'static str,
    front_less: &'static str,
    front_more: &'static str,
}

impl<'v> BeyondEntry<'v> {
    fn new(line: &'v BeyondLine) -> BeyondEntry<'v> {
        let [driver_lighter, driver_heavier, front_less, front_more] =
            line.probed.map(|probed| match probed {
                Probed::InBand => "in band",
                Probed::OutOfBand => "out of band",
                Probed::Illegal => "no legal plan",
                Probed::Unknown => "not decided",
                Probed::NotAsked => "not asked",
            });
        BeyondEntry {
            name: NameEntry::new(&line.case),
            driver_lighter,
            driver_heavier,
            front_less,
            front_more,
        }
    }
}

#[derive(Serialize)]
struct HardwareEntry<'v> {
    diameter_mm: f64,
    bolts: Vec<BoltEntry>,
    washers: u32,
    lock_nuts: u32,
    spares_of_each: u32,
    mounts: Vec<MountEntry<'v>>,
    remarks: &'v [String],
}

#[derive(Serialize)]
struct BoltEntry {
    length_mm: f64,
    count: u32,
}

#[derive(Serialize)]
struct MountEntry<'v> {
    mount: &'v str,
    bolts: u32,
    length_mm: Option<f64>,
    stack_mm: f64,
    needed_mm: f64,
    cases: usize,
}

impl<'v> HardwareEntry<'v> {
    fn new(lines: &'v HardwareLines) -> HardwareEntry<'v> {
        let mm = |length: &Distance| length.mm;
        let bolts =
            lines.bolts.iter().map(|(length, count)| BoltEntry { length_mm: length.mm, count: *count });
        let mounts = lines.mounts.iter().map(|mount| MountEntry {
            mount: &mount.mount,
            bolts: mount.bolts,
            length_mm: mount.length.as_ref().map(mm),
            stack_mm: mount.stack.mm,
            needed_mm: mount.needed.mm,
            cases: mount.cases,
        });
        HardwareEntry {
            diameter_mm: lines.diameter.mm,
            bolts: bolts.collect(),
            washers: lines.washers,
            lock_nuts: lines.nuts,
            spares_of_each: lines.spares,
            mounts: mounts.collect(),
            remarks: &lines.remarks,
        }
    }
}

#[derive(Serialize)]
struct ShortEntry<'v> {
    #[serde(flatten)]
    name: NameEntry<'v>,
    shortfall: ShortfallEntry<'v>,
}

/// The document of `pack`.
pub fn pack(view: &PackView, frame: Frame) -> String {
    let mut answer = PackAnswer {
        kart: &view.kart,
        trip: &view.trip,
        buy: Vec::new(),
        take: Vec::new(),
        leave: Vec::new(),
        cost: None,
        priced: view.is_priced,
        carried_kg: None,
        pieces: None,
        cases: Vec::new(),
        pieces_for: Vec::new(),
        one_piece_less: None,
        beyond: Vec::new(),
        hardware: None,
        proof: &[],
        estimated_places: BorrowedEntry::of(&view.borrowed),
        bound: None,
        never_legal: Vec::new(),
        kits_tried: None,
    };
    match &view.outcome {
        PackOutcome::Kit(lines) => fill(&mut answer, lines),
        PackOutcome::NeverLegal(cases) => {
            let entry = cases.iter().map(|short| ShortEntry {
                name: NameEntry::new(&short.case),
                shortfall: shortfall(&short.shortfall),
            });
            answer.never_legal = entry.collect();
        }
        PackOutcome::OutOfTime { bound, tried } => {
            answer.bound = bound.as_deref();
            answer.kits_tried = Some(*tried);
        }
    }
    frame.document(view.status.words(), answer)
}

fn fill<'v>(answer: &mut PackAnswer<'v>, lines: &'v KitLines) {
    answer.buy = PieceEntry::all(&lines.buy);
    answer.take = PieceEntry::all(&lines.take);
    answer.leave = PieceEntry::all(&lines.leave);
    answer.cost = Some(lines.cost);
    answer.carried_kg = Some(lines.carried.kg);
    answer.pieces = Some(lines.pieces);
    answer.cases = lines.cases.iter().map(CaseEntry::new).collect();
    let forced = |line: &'v ForcedLine| ForcedEntry {
        piece: &line.piece,
        count: line.count,
        lost_with_one_less: &line.cases,
    };
    answer.pieces_for = lines.forced.iter().map(forced).collect();
    answer.one_piece_less = lines.smaller.as_ref().map(SmallerEntry::new);
    answer.beyond = lines.beyond.iter().map(BeyondEntry::new).collect();
    answer.hardware = lines.hardware.as_ref().map(HardwareEntry::new);
    answer.proof = &lines.proof;
    answer.kits_tried = Some(lines.tried);
}
