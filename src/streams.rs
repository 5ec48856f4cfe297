//! The two streams: the answer on stdout, talk and complaints on stderr, in colour where it is wanted.
//! Belongs to the binary.

use std::io::{self, IsTerminal, Write};

use anstream::{AutoStream, ColorChoice};
use terminal_size::terminal_size_of;

use crate::files::in_words;
use crate::messages::refusal_worded;
use crate::outcome::Exit;
use crate::request::{Color, MessageFormat, Refusal};

/// Where to write, and how.
pub(crate) struct Streams {
    color: ColorChoice,
    quiet: bool,
    messages: MessageFormat,
}

impl Streams {
    /// Streams for what the user wants; `--color` beats the environment, which is asked only by `auto`.
    pub(crate) fn new(color: Color, quiet: bool, messages: MessageFormat) -> Streams {
        let color = match color {
            Color::Auto => ColorChoice::Auto,
            Color::Always => ColorChoice::Always,
            Color::Never => ColorChoice::Never,
        };
        Streams { color, quiet, messages }
    }

    /// Writes the answer. A reader who has seen enough and closed the pipe is no fault: that ends well and
    /// silently.
    pub(crate) fn show(&self, answer: &str, exit: Exit) -> Exit {
        let mut stdout = AutoStream::new(io::stdout(), self.color);
        match stdout.write_all(answer.as_bytes()).and_then(|()| stdout.flush()) {
            Ok(()) => exit,
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Exit::Good,
            Err(error) => {
                self.refuse(&Refusal::new(
                    format!("cannot write the answer: {}", in_words(&error)),
                    "write it to a file with `--output`",
                ));
                Exit::CommandLine
            }
        }
    }

    /// Writes what is wrong.
    pub(crate) fn complain(&self, text: &str) {
        let mut stderr = AutoStream::new(io::stderr(), self.color);
        // If nobody listens on stderr there is nobody left to tell; the exit code still speaks.
        stderr.write_all(text.as_bytes()).ok();
    }

    /// Writes what is good to know, unless silence was asked for.
    pub(crate) fn talk(&self, text: &str) {
        if !self.quiet {
            self.complain(text);
        }
    }

    /// Writes a line over the one that stands there, on a terminal; an empty one takes it away.
    pub(crate) fn rewrite(&self, line: &str) {
        if self.quiet {
            return;
        }
        let width = terminal_size_of(io::stderr()).map_or(80, |(width, _)| usize::from(width.0));
        // The last column stays free: a terminal that has filled it goes on to the next row.
        let shown: String = line.chars().take(width.saturating_sub(1)).collect();
        let mut stderr = io::stderr();
        write!(stderr, "\r{shown}\u{1b}[K").and_then(|()| stderr.flush()).ok();
    }

    /// Whether somebody watches what is said: a terminal, where news are welcome; a file needs them once.
    pub(crate) fn are_watched() -> bool {
        io::stderr().is_terminal()
    }

    /// Says why the command line cannot be followed.
    pub(crate) fn refuse(&self, refusal: &Refusal) {
        self.complain(&refusal_worded(refusal, self.messages));
    }
}
