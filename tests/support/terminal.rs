//! A pseudo-terminal: its end that a test holds, and the other that a program is given.

use std::fs::{File, OpenOptions};
use std::io::Read;
use std::thread::JoinHandle;

use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};

/// Both ends; the second can be opened for reading and writing as often as it is needed.
pub(crate) fn terminal() -> (File, impl Fn() -> File) {
    let terminal = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).expect("there are pseudo-terminals");
    grantpt(&terminal).and_then(|()| unlockpt(&terminal)).expect("it is ours");
    let other_end =
        ptsname(&terminal, Vec::new()).expect("it has a name").into_string().expect("a plain one");
    let open = move || OpenOptions::new().read(true).write(true).open(&other_end).expect("it can be opened");
    (File::from(terminal), open)
}

/// Everything that is written to a terminal until nobody holds its other end.
pub(crate) fn seen(mut terminal: File) -> JoinHandle<String> {
    std::thread::spawn(move || {
        let mut seen = Vec::new();
        let mut some = [0; 4096];
        // Where nobody holds the other end any more, Linux says so with an error.
        while let Ok(count @ 1..) = terminal.read(&mut some) {
            seen.extend_from_slice(&some[..count]);
        }
        String::from_utf8(seen).expect("the program writes UTF-8")
    })
}
