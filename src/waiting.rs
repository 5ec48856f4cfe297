//! Waiting for a search: its clock, Ctrl-C, and a word to whoever waits.
//! Belongs to the binary.

use std::sync::OnceLock;
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

use kentledge::patience::share;
use kentledge::solve::Patience;

use crate::streams::Streams;

/// A search that lasts longer says so, lest somebody think that it hangs.
const SILENCE: Duration = Duration::from_secs(1);

/// On a terminal a line then moves: from one look at it to the next.
const MOVES: Duration = Duration::from_millis(250);

/// When the first Ctrl-C came: the search ends with the best it has.
static ASKED_TO_END: OnceLock<Instant> = OnceLock::new();

/// Searches for at most so long from the command's beginning; Ctrl-C ends it earlier, and after a second the
/// user is told how it goes on: once, or in one line that moves where somebody watches.
pub(crate) fn patiently<T>(
    streams: &Streams,
    started: Instant,
    time: Duration,
    goes_on: impl Fn() -> String + Sync,
    search: impl FnOnce(Patience) -> T,
) -> T {
    // Without a handler Ctrl-C ends the program, as it does everywhere: worse, but no reason to refuse an
    // answer.
    ctrlc::set_handler(interrupted).ok();
    let (done, waiting) = mpsc::channel::<()>();
    thread::scope(|scope| {
        let goes_on = &goes_on;
        scope.spawn(move || {
            let line = || {
                let (now, end) = (started.elapsed().as_secs(), time.as_secs_f64());
                format!("{now} s of {end}, Ctrl-C stops: {}", goes_on())
            };
            let is_on = |pause| waiting.recv_timeout(pause) == Err(mpsc::RecvTimeoutError::Timeout);
            if !is_on(SILENCE) {
                return;
            }
            if !Streams::are_watched() {
                return streams.talk(&format!("still searching, {}\n", line()));
            }
            streams.rewrite(&line());
            while is_on(MOVES) {
                streams.rewrite(&line());
            }
            // What follows begins where the line stood.
            streams.rewrite("");
        });
        let used = || used(started.elapsed(), time, ASKED_TO_END.get().map(|at| *at - started));
        let found = search(Patience::new(&used));
        drop(done);
        found
    })
}

/// The share of the time that is used, which ends when somebody asks.
fn used(elapsed: Duration, time: Duration, asked: Option<Duration>) -> f64 {
    share(elapsed, asked.map_or(time, |asked| asked.min(time)))
}

/// The machine's own day.
pub(crate) fn today() -> String {
    jiff::ZonedDateTime::now().date().to_string()
}

/// The first Ctrl-C asks the search to end, the second ends the program.
#[expect(
    clippy::exit,
    reason = "the user has asked twice, and the search may not have noticed the first time"
)]
fn interrupted() {
    if ASKED_TO_END.set(Instant::now()).is_err() {
        std::process::exit(130);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn asking_ends_the_time_and_never_gives_more_of_it() {
        let ms = Duration::from_millis;
        assert!((used(ms(250), ms(1000), None) - 0.25).abs() < 1e-9);
        assert!((used(ms(1150), ms(1000), None) - 1.5).abs() < 1e-9);
        assert!((used(ms(250), ms(1000), Some(ms(250))) - 1.0).abs() < 1e-9);
        assert!((used(ms(550), ms(1000), Some(ms(250))) - 2.0).abs() < 1e-9);
        assert!((used(ms(1150), ms(1000), Some(ms(1100))) - 1.5).abs() < 1e-9);
    }
}
