//! Time that a calculation takes: processor time of its thread where the system counts it, else time by the wall.
//! On a quiet machine the two are the same, as a solve waits for nothing; on a shared one only the first says something
//! about the program.

use std::time::{Duration, Instant};

/// What the clock counts, for the heading of a table.
pub(crate) const COUNTS: &str = if cfg!(unix) { "processor time" } else { "time by the wall" };

/// A running measurement.
#[derive(Debug)]
pub(crate) struct Stopwatch {
    wall: Instant,
    processor: Option<Duration>,
}

impl Stopwatch {
    /// Begins now, on this thread.
    pub(crate) fn start() -> Stopwatch {
        Stopwatch { wall: Instant::now(), processor: processor_time() }
    }

    /// What has passed since; asked on the thread that began.
    pub(crate) fn elapsed(&self) -> Duration {
        match (processor_time(), self.processor) {
            (Some(now), Some(then)) => now.saturating_sub(then),
            _ => self.wall.elapsed(),
        }
    }
}

#[cfg(unix)]
fn processor_time() -> Option<Duration> {
    let time = rustix::time::clock_gettime(rustix::time::ClockId::ThreadCPUTime);
    Some(Duration::new(u64::try_from(time.tv_sec).ok()?, u32::try_from(time.tv_nsec).ok()?))
}

#[cfg(not(unix))]
fn processor_time() -> Option<Duration> {
    None
}
