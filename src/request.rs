//! What the words of a command line mean, or why they cannot be followed.
//! Belongs to the binary.

use std::ffi::OsString;
use std::fmt::Display;
use std::path::PathBuf;
use std::str::FromStr;
use std::time::Duration;

pub(crate) use kentledge::diagnosis::Refusal;
use kentledge::diagnosis::explained::{self, Explanation};
use kentledge::goal::Goal;
use kentledge::scenario::line;
use kentledge::statics::{Chassis, Stiffness};
use kentledge::tasks::alternatives::Kind;
use kentledge::tasks::card::Steps;
use kentledge::units::{Mass, UnitSystem};

/// Seconds that a search may take; below the least nothing useful is found, above the most nobody waits.
const SECONDS: (f64, f64) = (0.1, 3600.0);

/// When the screen is coloured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Color {
    /// On a terminal, unless the environment asks for none.
    Auto,
    Always,
    Never,
}

/// How what is wrong is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum MessageFormat {
    /// Sentence, place, the user's own line, help.
    Human,
    /// One line each, for editors.
    Short,
    /// One JSON object a line.
    Json,
}

/// What every command understands.
#[expect(clippy::struct_excessive_bools, reason = "options without a value, each by itself")]
pub(crate) struct Options {
    pub(crate) json: bool,
    pub(crate) output: Option<PathBuf>,
    /// Where a page for people away from the screen goes.
    pub(crate) sheet: Option<PathBuf>,
    /// Where the drawing alone goes.
    pub(crate) drawing: Option<PathBuf>,
    pub(crate) units: Option<UnitSystem>,
    pub(crate) color: Color,
    pub(crate) quiet: bool,
    pub(crate) plain: bool,
    pub(crate) full: bool,
    pub(crate) messages: MessageFormat,
    pub(crate) time: Duration,
}

/// What `weigh` is about.
pub(crate) enum Weighed {
    InFile(Input),
    /// Behind those of a file, LF RF LR RR of one set after the other.
    Behind(Input, Vec<String>),
    Typed(Readings),
}

/// Four readings without a file.
pub(crate) struct Readings {
    /// LF RF LR RR.
    pub(crate) pads: [Mass; 4],
    /// From the lengths, if they were given.
    pub(crate) chassis: Option<Chassis>,
    /// In which to answer.
    pub(crate) units: UnitSystem,
}

/// A goal as people name it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Which {
    /// By its place in the order of the file, from 1.
    Nth(usize),
    /// By its word.
    Called(Goal),
}

/// Where a scenario comes from.
#[derive(Clone)]
pub(crate) enum Input {
    Stdin,
    File(PathBuf),
}

impl Input {
    /// A file, or stdin for `-`.
    pub(crate) fn new(path: PathBuf) -> Input {
        if path.as_os_str() == "-" { Input::Stdin } else { Input::File(path) }
    }
}

/// The code that `explain` is asked for, by itself or its name.
pub(crate) fn code(word: &str) -> Result<&'static Explanation, Refusal> {
    explained::explained(word).map_err(|unknown| {
        let help = match unknown.similar {
            Some(name) => format!("a similar one is `{name}`"),
            None => "`kentledge explain` lists them all".to_owned(),
        };
        Refusal::new(format!("there is no code `{word}`"), help)
    })
}

/// A number as typed after an option, within limits; `of` says what it counts, `usual` is an example.
fn number<T: FromStr + PartialOrd + Display>(
    option: &str,
    typed: &str,
    (least, most): (T, T),
    of: &str,
    usual: &T,
) -> Result<T, Refusal> {
    let number = typed.trim().parse().ok().filter(|number| *number >= least && *number <= most);
    number.ok_or_else(|| {
        Refusal::new(
            format!("`--{option}` must be {least} to {most}{of}, found {typed}"),
            format!("for example `--{option} {usual}`"),
        )
    })
}

/// The time that `--time` gives.
pub(crate) fn seconds(typed: Option<&str>, usual: f64) -> Result<Duration, Refusal> {
    let seconds = typed.map_or(Ok(usual), |typed| number("time", typed, SECONDS, " seconds", &usual))?;
    Ok(Duration::from_secs_f64(seconds))
}

/// So many alternatives: there are six kinds.
pub(crate) fn alternatives(typed: Option<&str>) -> Result<usize, Refusal> {
    let limits = (1, Kind::ALL.len());
    let read = |typed| number("alternatives", typed, limits, ", as many as there are kinds", &3);
    typed.map_or(Ok(0), read)
}

/// The goal that `--goal` names.
pub(crate) fn goal(typed: &str) -> Result<Which, Refusal> {
    let typed = typed.trim();
    let nth = typed.parse().ok().filter(|nth| (1..=Goal::ALL.len()).contains(nth)).map(Which::Nth);
    let called = || Goal::from_word(&typed.to_lowercase()).map(Which::Called);
    nth.or_else(called).ok_or_else(|| {
        let words = Goal::ALL.map(Goal::word).join(", ");
        Refusal::new(
            format!("`--goal` must be 1 to {} or one of {words}; found `{typed}`", Goal::ALL.len()),
            "numbers follow the order in which the file's goals are solved; `--goal 1` is always `legal`",
        )
    })
}

/// Steps of a card as typed: how large, and how far to either side.
pub(crate) fn steps(
    option: &str,
    [step, range]: [Option<String>; 2],
    usual: [f64; 2],
    most_each_way: u32,
) -> Result<Steps, Refusal> {
    let points = |typed: Option<String>, name: &str, usual: f64, limits: (f64, f64)| {
        let option = format!("{option}-{name}");
        typed.map_or(Ok(usual), |typed| number(&option, &typed, limits, " points of percent", &usual))
    };
    let step = points(step, "step", usual[0], (0.1, 5.0))?;
    let range = points(range, "range", usual[1], (0.0, 10.0))?;
    // A hair more than whole, so that 0.3 is three times 0.1.
    let each_way = (range / step + 1e-9).floor() as u32;
    if each_way > most_each_way {
        return Err(Refusal::new(
            format!(
                "{range} points by {step} are {each_way} steps to either side; a card has {most_each_way} at most"
            ),
            format!("make `--{option}-step` larger or `--{option}-range` smaller"),
        ));
    }
    Ok(Steps { step, each_way })
}

/// The file that `new` writes; none for stdout.
pub(crate) fn new_file(
    file: Option<PathBuf>,
    options: &mut Options,
    force: bool,
) -> Result<Option<PathBuf>, Refusal> {
    if options.json {
        return Err(Refusal::new(
            "`new` writes a scenario, which is YAML; `--json` means nothing to it",
            "leave `--json` away",
        ));
    }
    let output = options.output.take();
    if file.is_some() && output.is_some() {
        return Err(Refusal::new("`new` is given two files to write", "leave `--output` away"));
    }
    let file = file.or(output).filter(|path| path.as_os_str() != "-");
    if force && file.is_none() {
        return Err(Refusal::new(
            "`--force` replaces a file, and none is named",
            "for example `kentledge new kart.yaml --force`",
        ));
    }
    Ok(file)
}

/// What `weigh` is asked for: one file, a file with sets of four readings, or four readings with three lengths or none.
pub(crate) fn weigh(
    what: Vec<OsString>,
    lengths: [Option<String>; 3],
    driver: Option<&str>,
    units: Option<UnitSystem>,
) -> Result<Weighed, Refusal> {
    let found = what.len();
    let four: [OsString; 4] = match <[OsString; 4]>::try_from(what) {
        Ok(four) => four,
        Err(mut words) if found % 4 == 1 => {
            if lengths.iter().any(Option::is_some) {
                return Err(Refusal::new(
                    "`--wheelbase`, `--track-front` and `--track-rear` go with four readings",
                    "a scenario file has its own lengths under `kart`",
                ));
            }
            let input = Input::new(words.remove(0).into());
            let readings = words.into_iter().map(|word| word.to_string_lossy().into_owned()).collect();
            return Ok(if found == 1 { Weighed::InFile(input) } else { Weighed::Behind(input, readings) });
        }
        Err(_) => {
            return Err(Refusal::new(
                format!(
                    "`weigh` takes a file, a file and sets of four readings, or four readings; found {found} words"
                ),
                "four readings in the order LF RF LR RR, such as `kentledge weigh 91lb 89lb 118lb 121lb`",
            ));
        }
    };
    if driver.is_some() {
        return Err(Refusal::new("`--driver` goes with a scenario file", "four readings have no drivers"));
    }
    let mut readings = [Mass::ZERO; 4];
    let mut written_in = Vec::new();
    for ((slot, typed), corner) in readings.iter_mut().zip(&four).zip(["LF", "RF", "LR", "RR"]) {
        let typed = typed.to_string_lossy();
        let (mass, system) =
            line::reading(&typed, corner, units).map_err(|refused| refused.refusal(&typed, ["kg", "lb"]))?;
        *slot = mass;
        written_in.push(system);
    }
    // Answered in the units asked for, else in those of the readings; kilograms if they are mixed.
    let in_pounds = written_in.iter().all(|system| *system == UnitSystem::LbIn);
    let spoken = units.unwrap_or(if in_pounds { UnitSystem::LbIn } else { UnitSystem::KgMm });
    Ok(Weighed::Typed(Readings { pads: readings, chassis: chassis(lengths, units)?, units: spoken }))
}

/// Fails where readings are no sets of four.
pub(crate) fn whole_sets(found: usize, what: &str) -> Result<(), Refusal> {
    if found.is_multiple_of(4) {
        return Ok(());
    }
    Err(Refusal::new(
        format!("{what} takes sets of four readings; found {found}"),
        "LF RF LR RR of one set after the other, such as `72.5 73 99 101.5`",
    ))
}

/// An option of a weighing that is typed behind its file, without one.
pub(crate) fn alone_without_readings(option: &str) -> Refusal {
    Refusal::new(
        format!("`{option}` goes with readings that are typed behind a file"),
        "for example `kentledge weigh kart.yaml 72.5 73 99 101.5 --fuel start --save`",
    )
}

fn chassis(lengths: [Option<String>; 3], units: Option<UnitSystem>) -> Result<Option<Chassis>, Refusal> {
    let [wheelbase, track_front, track_rear] = match lengths {
        [None, None, None] => return Ok(None),
        [Some(wheelbase), Some(track_front), Some(track_rear)] => [wheelbase, track_front, track_rear],
        _ => {
            return Err(Refusal::new(
                "centre of gravity and twist need all three lengths, or none",
                "give `--wheelbase`, `--track-front` and `--track-rear` together",
            ));
        }
    };
    let length = |typed: &str, key: &str| {
        line::length(typed, key, units).map_err(|refused| refused.refusal(typed, ["mm", "in"]))
    };
    Ok(Some(Chassis::from_stiffness(
        length(&wheelbase, "wheelbase")?,
        length(&track_front, "track_front")?,
        length(&track_rear, "track_rear")?,
        Stiffness::default(),
    )))
}
