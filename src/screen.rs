//! How many columns the screen has, found out once.
//! Belongs to the binary.

use std::io::{self, IsTerminal};
use std::sync::OnceLock;

use kentledge::page::terminal::PLAIN;

/// Columns where nobody says how many there are: a pipe, a file, a terminal that claims to have none.
const USUAL_COLUMNS: usize = 80;

/// Found out once: a screen that is resized while a report is laid out would tear it.
static COLUMNS: OnceLock<usize> = OnceLock::new();

/// From now on reports are laid out for no screen, one row a line; must be asked for before any is.
pub(crate) fn lay_out_plainly() {
    COLUMNS.get_or_init(|| PLAIN);
}

/// Columns of the screen: what `COLUMNS` says, else the terminal that shows the answer.
pub(crate) fn columns() -> usize {
    let said = || std::env::var("COLUMNS").ok().and_then(|columns| columns.trim().parse().ok());
    let measured = || {
        let stdout = io::stdout();
        let size = if stdout.is_terminal() { terminal_size::terminal_size_of(stdout) } else { None };
        size.map(|(width, _)| usize::from(width.0))
    };
    *COLUMNS.get_or_init(|| said().or_else(measured).filter(|columns| *columns > 0).unwrap_or(USUAL_COLUMNS))
}
