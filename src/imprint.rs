//! Where a sheet comes from: the scenario, its digest, the program and its version.
//! Does not know what the sheet says; the only file that knows how a digest is made.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// Bytes of the digest that a footer shows: enough that no two files of one team look alike, short enough to
/// compare by eye.
const SHOWN: usize = 8;

/// What a footer says of the origin of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Imprint {
    /// The file as the user named it, with the start of its SHA-256 in hexadecimal; none if the readings were
    /// typed.
    pub scenario: Option<(String, String)>,
}

impl Imprint {
    /// Of a file with these bytes.
    pub fn of_file(name: &str, bytes: &[u8]) -> Imprint {
        let digest = Sha256::digest(bytes);
        let start: [u8; SHOWN] = std::array::from_fn(|index| digest[index]);
        Imprint { scenario: Some((name.to_owned(), format!("{:016x}", u64::from_be_bytes(start)))) }
    }

    /// Of readings typed on the command line.
    pub const TYPED: Imprint = Imprint { scenario: None };
}

/// The whole digest of a text, as a page has it that allows its own script and no other: SHA-256 in base 64.
pub fn allowed(text: &str) -> String {
    STANDARD.encode(Sha256::digest(text))
}

/// Four letters that stand for a text: two texts that somebody looks at have the same once in a million.
pub fn mark(text: &str) -> String {
    /// Without I, O, 0 and 1, which look like others.
    const LETTERS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
    let digest = Sha256::digest(text);
    let letter = |index: usize| char::from(LETTERS[usize::from(digest[index]) % LETTERS.len()]);
    (0..4).map(letter).collect()
}

/// What marks a file as one that this program may write again.
pub fn generator() -> String {
    format!("{GENERATOR} {}", env!("CARGO_PKG_VERSION"))
}

/// The program's name in the files that it writes.
pub const GENERATOR: &str = "kentledge";

#[cfg(test)]
mod tests {
    use super::*;

    // Source: FIPS 180-4, example of SHA-256 for the message "abc".
    #[test]
    fn the_digest_starts_as_sha256_of_the_file_does() {
        let imprint = Imprint::of_file("kart.yaml", b"abc");
        assert_eq!(imprint.scenario, Some(("kart.yaml".to_owned(), "ba7816bf8f01cfea".to_owned())));
    }
}
