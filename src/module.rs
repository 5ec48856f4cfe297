//! The library as a program that a page runs: one request on stdin, its answers on stdout, one a line, each better than the one
//! before. Everything else that a page needs is `phone`.

use std::io::{Read, Write};
use std::time::Instant;

use kentledge::phone;

fn main() -> std::io::Result<()> {
    let began = Instant::now();
    let mut request = String::new();
    std::io::stdin().read_to_string(&mut request)?;
    let mut written = Ok(());
    phone::answer(&request, &|| began.elapsed(), &mut |reply| {
        let line = serde_json::to_string(reply).expect("every key is text");
        if written.is_ok() {
            written = writeln!(std::io::stdout(), "{}", line.replace('\n', " "));
        }
    });
    written
}
