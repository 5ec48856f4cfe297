//! The command line: what may be typed, its help, and which command it asks for.
//! Only this file and those below it know clap. Belongs to the binary.

mod common;
mod page;
mod shell;
mod typed;
mod words;
mod work;

use std::ffi::OsString;
use std::path::PathBuf;

use clap::builder::PossibleValuesParser;
use clap::{CommandFactory, Parser, Subcommand};
use kentledge::answer;
use kentledge::blocks::Listed;
use kentledge::scenario::schema;
use kentledge::tasks::card::{Across, Grid};

use common::{Common, Scenario, SheetAlone, Typeset, first, name_of_a_driver, one_of};
use shell::Shell;
use words::{EXAMPLES, EXIT_CODES, SHORT_HELP, VERSION, nearest_first};
use work::{alone, of_file, on, text};

pub(crate) use work::Request;

use crate::commands::{self, reach::Whom};
use crate::request::{self, MessageFormat, Options, Refusal};
use crate::run::Reading;

/// A card of more rows or columns to either side does not fit the trailer, nor a second.
const MOST_ROWS_EACH_WAY: u32 = 20;
const MOST_COLUMNS_EACH_WAY: u32 = 5;
/// Kept short: an interrupted search still gives its best, and a longer one can be asked for.
const DEFAULT_SECONDS: f64 = 5.0;

#[derive(Parser)]
#[command(
    name = "kentledge",
    version = VERSION,
    about = "Which lead, on which mounts: a kart legal and balanced with the least work",
    before_long_help = EXAMPLES,
    after_long_help = EXIT_CODES,
    override_usage = "kentledge <COMMAND> [OPTIONS]",
    disable_help_subcommand = true,
    max_term_width = 100
)]
struct Line {
    #[command(flatten)]
    common: Common,
    #[command(subcommand)]
    command: Option<Typed>,
}

#[derive(Subcommand)]
enum Typed {
    /// What four pads say: figures, what lead can cure, what is twist
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Examples:
  kentledge weigh kart.yaml
  kentledge weigh kart.yaml 72.5 73 99 101.5 --fuel start --save
  kentledge weigh kart.yaml --official 160.9 --driver Jo --fuel finish --save
  kentledge weigh 91lb 89lb 118lb 121lb
  kentledge weigh 30.1 30.4 40.2 41.0 --units kg-mm \\
      --wheelbase 1040 --track-front 1080 --track-rear 1120")]
    Weigh {
        /// A file, `-` for stdin; or four readings; or both
        #[arg(
            value_name = "FILE | LF RF LR RR",
            required_unless_present = "howto",
            allow_negative_numbers = true
        )]
        what: Vec<OsString>,
        /// Of a file: the last weighing with this driver
        #[arg(long, value_name = "NAME")]
        driver: Option<String>,
        /// The order of a good weighing, and nothing else
        #[arg(long, conflicts_with_all = ["what", "driver", "wheelbase", "track_front", "track_rear", "drawing"])]
        howto: bool,
        #[command(flatten)]
        lengths: typed::Lengths,
        #[command(flatten)]
        weighed: typed::Weighed,
        /// Readings or `--official` behind a file: write them into it
        #[arg(long)]
        save: bool,
        /// With `--save`: show what would be added, and add nothing
        #[arg(long, hide_short_help = true, requires = "save")]
        dry_run: bool,
        #[command(flatten)]
        typeset: Typeset,
    },
    /// Where which piece of lead goes: legal, balanced, least work
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Examples:
  kentledge plan kart.yaml
  kentledge plan kart.yaml --driver Sam
  kentledge plan kart.yaml --only seat,spacers
  kentledge plan kart.yaml --sheet plan.html
  kentledge plan kart.yaml --readings 72.5 73 99 101.5 --fuel start
  kentledge plan kart.yaml --alternatives 3
  kentledge plan kart.yaml --time 60 -o plan.txt")]
    Plan {
        #[command(flatten)]
        scenario: Scenario,
        /// Plan for this driver of the file instead of today's
        #[arg(long, value_name = "NAME")]
        driver: Option<String>,
        /// Change nothing but these: lead, seat, spacers, or an adjuster of the file by its name
        #[arg(long, value_name = "WHAT", value_delimiter = ',')]
        only: Vec<String>,
        /// A look without saving: LF RF LR RR as the pads stand now, with the options of `weigh`
        #[arg(long, num_args = 1.., value_name = "KG", allow_negative_numbers = true)]
        readings: Vec<String>,
        #[command(flatten)]
        weighed: typed::Weighed,
        #[command(flatten)]
        typeset: Typeset,
        /// Show up to so many plans of another kind, 1 to 6
        ///
        /// Fewest changes, fewest pieces, closest, lightest, lowest, most central, in this order: each with what
        /// it gives and what it costs. The same plan with two equal pieces exchanged is not another one.
        #[arg(long, value_name = "N", allow_hyphen_values = true)]
        alternatives: Option<String>,
    },
    /// What was planned has been bolted: write it into the file as fitted
    #[command(before_long_help = "\
Examples:
  kentledge done kart.yaml 7K3F --except floor_front
  kentledge done kart.yaml --undo")]
    Done(typed::Done),
    /// The whole tool as one page for a phone, with the scenario inside, which needs no network
    Page(page::Page),
    /// Tuning card: from today's plan, the least changes for front and left % up and down
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Examples:
  kentledge card kart.yaml
  kentledge card kart.yaml --across cross --all
  kentledge card kart.yaml --front-range 2 --front-step 0.25
  kentledge card kart.yaml --sheet card.html")]
    Card {
        #[command(flatten)]
        scenario: Scenario,
        /// For this driver of the file instead of today's
        #[arg(long, value_name = "NAME")]
        driver: Option<String>,
        /// What the columns are
        #[arg(long, value_name = "FIGURE", default_value = "left",
            value_parser = one_of(&[("left", Across::Left), ("cross", Across::Cross)]))]
        across: Across,
        /// Points of front % from one row to the next, 0.1 to 5 [default: 0.5]
        #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
        front_step: Option<String>,
        /// Points of front % to either side, up to 10 [default: 3]
        #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
        front_range: Option<String>,
        /// Points from one column to the next, 0.1 to 5 [default: 0.5]
        #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
        across_step: Option<String>,
        /// Points to either side of the columns, up to 10 [default: 1]
        #[arg(long, value_name = "POINTS", allow_hyphen_values = true)]
        across_range: Option<String>,
        /// List what to do for every cell, not only for those that change one figure
        #[arg(long)]
        all: bool,
        #[command(flatten)]
        sheet: SheetAlone,
    },
    /// Which front % and left % the lead can reach on these mounts
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Examples:
  kentledge reach kart.yaml
  kentledge reach kart.yaml --all-drivers --svg -o reach.svg
  kentledge reach kart.yaml --sheet reach.html")]
    Reach {
        #[command(flatten)]
        scenario: Scenario,
        /// For this driver of the file instead of today's
        #[arg(long, value_name = "NAME", conflicts_with = "all_drivers")]
        driver: Option<String>,
        /// For every driver of the file
        #[arg(long)]
        all_drivers: bool,
        /// A drawing (SVG) instead of text
        #[arg(long, conflicts_with = "json")]
        svg: bool,
        #[command(flatten)]
        typeset: Typeset,
    },
    /// Everything that is wrong in a scenario, at once
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Example:
  kentledge check kart.yaml")]
    Check {
        #[command(flatten)]
        scenario: Scenario,
    },
    /// The integer program of one goal, for any solver
    ///
    /// Free MPS on stdout or in a file, always in kg and mm, to be minimised. Earlier goals are solved first
    /// and held where `plan` holds them, so that another solver can check each goal by itself: under those
    /// holds its least value must lie between the bound and the value that `plan --json` shows. Comment lines
    /// say what every column is.
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Examples:
  kentledge export kart.yaml --goal 1 -o legal.mps
  kentledge export kart.yaml --goal close --driver Sam")]
    Export {
        #[command(flatten)]
        scenario: Scenario,
        /// Which goal: 1 to 5 in the order of the file, or legal, targets, light, work, close
        #[arg(long, value_name = "N | WORD", allow_hyphen_values = true)]
        goal: String,
        /// For this driver of the file instead of today's
        #[arg(long, value_name = "NAME")]
        driver: Option<String>,
    },
    /// Several drivers on one kart: a common base, and the least work at each change
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Examples:
  kentledge swap kart.yaml
  kentledge swap kart.yaml --order Sam,Alex,Sam
  kentledge swap kart.yaml --sheet swap.html")]
    Swap {
        #[command(flatten)]
        scenario: Scenario,
        /// Who drives each stint, names with commas between them [default: `order` under `pit`, else every driver once]
        ///
        /// A name that has a comma in it can only be given in the file.
        #[arg(long, value_name = "NAMES", value_delimiter = ',', value_parser = name_of_a_driver)]
        order: Vec<String>,
        #[command(flatten)]
        typeset: Typeset,
    },
    /// Before the trip: the smallest kit of lead that serves every driver, class and target
    ///
    /// What has to be raced and what can be bought stands under `trip` in the file. The kit costs least, then weighs least,
    /// then has the fewest pieces; what cannot be brought onto target by any kit is made legal, and the exit code is 1.
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Examples:
  kentledge pack kart.yaml
  kentledge pack kart.yaml --time 60 -o kit.txt
  kentledge pack kart.yaml --sheet kit.html")]
    Pack {
        #[command(flatten)]
        scenario: Scenario,
        #[command(flatten)]
        sheet: SheetAlone,
    },
    /// What a code such as K005 means, with a wrong and a right example
    #[command(before_long_help = "\
Examples:
  kentledge explain K005
  kentledge explain decimal-comma
  kentledge explain")]
    Explain {
        /// The code or its name; without it all are listed
        #[arg(value_name = "CODE")]
        code: Option<String>,
    },
    /// What several weighings teach of a kart: where mounts and drivers act, how it twists
    ///
    /// From all weighings: how sure each number is, what they cannot tell apart, what contradicts, what to weigh next.
    #[command(after_long_help = EXIT_CODES, before_long_help = "\
Examples:
  kentledge learn kart.yaml --sheet learned.html
  kentledge learn kart.yaml --into kart.yaml")]
    Learn {
        #[command(flatten)]
        scenario: Scenario,
        /// Show the change of this scenario file and make it: the block `learned` and nothing else
        ///
        /// Comments and everything else stay as they are.
        #[arg(long, value_name = "FILE")]
        into: Option<PathBuf>,
        #[command(flatten)]
        sheet: SheetAlone,
    },
    /// All weighings in time, and what has changed on the kart itself
    ///
    /// Frame watch: what lead, driver, fuel and settings do not explain is the frame, a spindle or a tyre, as far as pads and
    /// floor let it be told. `--plain` gives one row a weighing for a spreadsheet.
    #[command(before_long_help = "\
Examples:
  kentledge log kart.yaml
  kentledge log kart.yaml --plain -o log.txt
  kentledge log kart.yaml --sheet log.html")]
    Log {
        #[command(flatten)]
        scenario: Scenario,
        #[command(flatten)]
        sheet: SheetAlone,
    },
    /// Write a commented first scenario, which solves as it is
    #[command(before_long_help = "\
Examples:
  kentledge new kart.yaml
  kentledge new kart.yaml --units lb-in
  kentledge new kart.yaml --oval
  kentledge new --minimal
  kentledge new kart.yaml --ask")]
    New {
        /// The file to write; without it the scenario goes to stdout
        #[arg(value_name = "FILE")]
        file: Option<PathBuf>,
        /// The least that is needed, eight lines, instead of a commented file
        #[arg(long)]
        minimal: bool,
        /// For a kart that only turns left: left and cross bias
        #[arg(long, conflicts_with = "minimal")]
        oval: bool,
        /// Ask a dozen questions at the terminal instead
        #[arg(long, conflicts_with_all = ["minimal", "oval"])]
        ask: bool,
        /// Replace a file that is already there
        #[arg(long)]
        force: bool,
    },
    /// The format of a scenario, or of an answer, as a JSON Schema, for editors and validators
    ///
    /// `new` writes that of a scenario beside it, where editors that know YAML find it without a network.
    #[command(before_long_help = "\
Examples:
  kentledge schema -o kentledge.schema.json
  kentledge schema --answer plan")]
    Schema {
        /// That of what this command writes with `--json`
        #[arg(long, value_name = "COMMAND",
            value_parser = PossibleValuesParser::new(answer::SCHEMAS.iter().map(|(command, _)| *command)))]
        answer: Option<String>,
    },
    /// Completions for a shell; the first line of the text says how to install it
    #[command(before_long_help = "\
Examples:
  kentledge completions bash
  kentledge completions powershell")]
    Completions {
        /// The shell
        #[arg(value_enum)]
        shell: Shell,
    },
}

/// Why there is no request.
pub(crate) enum Instead {
    /// A text was asked for: help or the version.
    Text(String),
    /// The grammar was broken; the text says where.
    Grammar(String),
    /// The words are right, but cannot be followed.
    Refused(Refusal, MessageFormat),
}

/// What the arguments, the first being the program's own name, ask for.
pub(crate) fn request(arguments: Vec<OsString>) -> Result<Request, Instead> {
    if arguments.len() <= 1 {
        return Err(Instead::Text(SHORT_HELP.to_owned()));
    }
    let line = Line::try_parse_from(arguments).map_err(|mut error| {
        nearest_first(&mut error);
        let text = error.render().ansi().to_string();
        if error.use_stderr() { Instead::Grammar(text) } else { Instead::Text(text) }
    })?;
    let messages = line.common.message_format;
    meant(line, messages).map_err(|refusal| Instead::Refused(refusal, messages))
}

fn meant(line: Line, messages: MessageFormat) -> Result<Request, Refusal> {
    let Common { json, output, units, color, quiet, plain, full, message_format: _, time } = line.common;
    let time = request::seconds(time.as_deref(), DEFAULT_SECONDS)?;
    // `-o -` is stdout, as `-` is stdin.
    let output = output.filter(|path| path.as_os_str() != "-");
    let (sheet, drawing) = (None, None);
    let mut options =
        Options { json, output, sheet, drawing, units, color, quiet, plain, full, messages, time };
    let Some(typed) = line.command else {
        return Err(Refusal::new("no command is given", "for example `kentledge plan kart.yaml`"));
    };
    if let Some(sentence) = beside_json(&typed, messages).filter(|_| json) {
        return Err(Refusal::new(sentence, "leave one of the two away"));
    }
    let (command, (input, work)) = match typed {
        Typed::Weigh { what, driver, lengths, weighed, save, dry_run, howto, typeset } => {
            options.also_write(typeset)?;
            let of_pads = || typed::weigh(what, lengths, weighed, [save, dry_run], driver, units);
            ("weigh", if howto { alone(commands::weigh::how_to) } else { of_pads()? })
        }
        Typed::Plan { scenario, driver, only, readings, weighed, typeset, alternatives } => {
            options.also_write(typeset)?;
            let most_alternatives = request::alternatives(alternatives.as_deref())?;
            let asked = commands::plan::Asked { driver, only, most_alternatives, is_kept: true };
            ("plan", typed::plan(scenario.input(), asked, readings, weighed, units)?)
        }
        Typed::Done(done) => {
            let (input, which) = done.which();
            let from = input.clone();
            ("done", on(input, move |reading| commands::done::answer(reading, &from, &which)))
        }
        Typed::Card {
            scenario,
            driver,
            across: figure,
            front_step,
            front_range,
            across_step,
            across_range,
            all,
            sheet,
        } => {
            options.also_write_sheet(
                sheet,
                "a card is a table and has no drawing of its own; its sheet shows the kart",
            )?;
            let front = request::steps("front", [front_step, front_range], [0.5, 3.0], MOST_ROWS_EACH_WAY)?;
            let across =
                request::steps("across", [across_step, across_range], [0.5, 1.0], MOST_COLUMNS_EACH_WAY)?;
            let grid = Grid { front, across, figure };
            let listed = if all { Listed::All } else { Listed::OneFigure };
            let card =
                move |reading: &Reading| commands::card::answer(reading, driver.as_deref(), grid, listed);
            ("card", on(scenario.input(), card))
        }
        Typed::Reach { scenario, driver, all_drivers, svg, typeset } => {
            options.also_write(typeset)?;
            let whom = if all_drivers { Whom::All } else { Whom::One(driver) };
            ("reach", on(scenario.input(), move |reading| commands::reach::answer(reading, &whom, svg)))
        }
        Typed::Pack { scenario, sheet } => {
            options.also_write_sheet(sheet, "`pack` has no drawing; `plan` draws one case")?;
            ("pack", on(scenario.input(), commands::pack::answer))
        }
        Typed::Check { scenario } => ("check", of_file(scenario.input(), commands::check::answer)),
        Typed::Swap { scenario, order, typeset } => {
            options.also_write(typeset)?;
            ("swap", on(scenario.input(), move |reading| commands::swap::answer(reading, &order)))
        }
        Typed::Export { scenario, goal, driver } => {
            let goal = request::goal(&goal)?;
            let export = move |reading: &Reading| commands::export::answer(reading, goal, driver.as_deref());
            ("export", on(scenario.input(), export))
        }
        Typed::Explain { code } => {
            let code = code.as_deref().map(request::code).transpose()?;
            ("explain", alone(move |run| commands::check::explain(run, code)))
        }
        Typed::Learn { scenario, into, sheet } => {
            options.also_write_sheet(sheet, "`learn` draws nothing but what has moved, on its sheet")?;
            let learn = move |reading: &Reading| commands::learn::answer(reading, into.as_deref());
            ("learn", on(scenario.input(), learn))
        }
        Typed::Log { scenario, sheet } => {
            options.also_write_sheet(sheet, "`log` has its pictures on its sheet")?;
            ("log", on(scenario.input(), commands::log::answer))
        }
        Typed::New { file, minimal, oval, ask, force } => {
            let which = first(minimal, oval, ask);
            let file = request::new_file(file, &mut options, force)?;
            ("new", alone(move |run| Ok(commands::new::answer(run, file.as_deref(), which, force)?)))
        }
        Typed::Page(page) => ("page", page.work()),
        Typed::Schema { answer } => {
            let of_answer = answer.and_then(|command| answer::schema_of_command(&command));
            ("schema", text(of_answer.unwrap_or_else(schema::json_schema)))
        }
        Typed::Completions { shell } => ("completions", text(shell.completions(&mut Line::command()))),
    };
    Ok(Request { command, options, input, work })
}

/// Why `--json` and something else that was typed mean nothing together; none if they do.
fn beside_json(typed: &Typed, messages: MessageFormat) -> Option<&'static str> {
    match typed {
        Typed::Export { .. } => Some("`export` writes an MPS file; `--json` means nothing to it"),
        Typed::Completions { .. } => Some("`completions` writes a script; `--json` means nothing to it"),
        Typed::Page(_) => Some("`page` writes a page; `--json` means nothing to it"),
        Typed::Card { all: true, sheet, .. } if sheet.sheet.is_none() => {
            Some("`--all` lists more on the screen and on the sheet; a document has every cell anyway")
        }
        Typed::Check { .. } if messages != MessageFormat::Human => {
            Some("with `--json` what `check` finds is in the document, whatever `--message-format` says")
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_declarations_do_not_contradict_each_other() {
        Line::command().debug_assert();
    }
}
