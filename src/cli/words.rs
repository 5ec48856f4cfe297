//! The texts of the command line that belong to no single option: short help, examples, exit codes, version.
//! Tests hold them against the commands.

use clap::error::{ContextKind, ContextValue};

/// Printed when nothing is asked.
pub(crate) const SHORT_HELP: &str = "\
kentledge: which lead, on which mounts, so that
a kart is legal and balanced with least work

  kentledge new kart.yaml
      a first scenario, which solves as it is
  kentledge plan kart.yaml
      where which piece of lead goes

Also: weigh, swap, pack, card, reach, learn,
check, explain, export; all: kentledge --help
New here? Run the two lines above, then put your
own numbers into kart.yaml.
";

/// Before the help of the whole.
pub(super) const EXAMPLES: &str = "\
Examples:
  kentledge new kart.yaml            a first scenario, which solves as it is
  kentledge plan kart.yaml           where which piece of lead goes
  kentledge plan kart.yaml --json    the same as one JSON document
  kentledge plan kart.yaml --sheet plan.html   the same to print, with a drawing
  kentledge weigh 91lb 89lb 118lb 121lb";

/// After every help.
pub(super) const EXIT_CODES: &str = "\
Exit codes:
  0  legal, and on every target (or: the file is right, the scenario or program is written)
  1  legal, but off a target (weigh: or too light as it stands)
  2  wrong command line
  3  the scenario is wrong
  4  no legal plan: proved
  5  out of time without a plan, or the plan failed its own check";

/// After the program's name.
pub(super) const VERSION: &str =
    concat!(env!("CARGO_PKG_VERSION"), ", own exact search, linear programs by microlp");

/// Lists similar commands with the nearest on top; the parser has it last.
pub(super) fn nearest_first(error: &mut clap::Error) {
    if let Some(ContextValue::Strings(similar)) = error.get(ContextKind::SuggestedSubcommand) {
        let nearest = similar.iter().rev().cloned().collect();
        error.insert(ContextKind::SuggestedSubcommand, ContextValue::Strings(nearest));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_short_help_has_at_most_twelve_lines_of_a_phone() {
        assert!(SHORT_HELP.lines().count() <= 12);
        assert!(SHORT_HELP.lines().all(|line| line.len() <= 48), "{SHORT_HELP}");
    }
}
