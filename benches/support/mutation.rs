//! Changes a text in a few places: bits, bytes, words of the format, numbers, lines, pieces of another text.

use kentledge::document::MOST_BYTES;

use crate::bits::BITS;

/// Numbers at the edges of what a double, a count or a file can hold.
const NUMBERS: &[&str] = &[
    "0",
    "-0",
    "-0.0",
    "1",
    "-1",
    "0.5",
    "1e308",
    "-1e308",
    "1e309",
    "1e-308",
    "5e-324",
    "1e15",
    "1e9",
    "99999999999",
    "65535",
    "65536",
    "2147483648",
    "-2147483649",
    "9223372036854775808",
    "18446744073709551616",
    ".nan",
    ".inf",
    "-.inf",
    "1/3",
    "1/0",
    "41 1/2 in",
    "3 L",
    "0 L",
    "1e308 L",
    "1e308 lb",
    "0.000001 g",
    "50000",
    "50001",
    "43 %",
    "100 %",
    "1000",
    "1001",
    "1.0e0",
];

/// Draws changes.
pub(crate) struct Mutator {
    state: u64,
}

impl Mutator {
    /// One whose texts depend on the seed alone.
    pub(crate) fn new(seed: u64) -> Mutator {
        Mutator { state: seed }
    }

    /// `SplitMix64`: Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014.
    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// From 0 up to `end`, without it; 0 if there is nothing to choose from.
    fn below(&mut self, end: usize) -> usize {
        if end == 0 { 0 } else { (self.next() % end as u64) as usize }
    }

    fn any<'t, T>(&mut self, all: &'t [T]) -> &'t T {
        &all[self.below(all.len())]
    }

    /// A text of the corpus, changed in one to eight places, mostly few. Every other one is made from the first `right` texts,
    /// which are scenarios: what is made from wreckage hardly ever is one.
    pub(crate) fn mutated(&mut self, corpus: &[Vec<u8>], right: usize) -> Vec<u8> {
        let from = if self.next().is_multiple_of(2) { &corpus[..right] } else { corpus };
        let mut text = self.any(from).clone();
        let changes = 1 + (self.next() & self.next() & 7) as usize;
        for _ in 0..changes {
            self.change(&mut text, corpus);
        }
        // One byte more is allowed, so that the limit itself is met too.
        text.truncate(MOST_BYTES + 1);
        text
    }

    fn change(&mut self, text: &mut Vec<u8>, corpus: &[Vec<u8>]) {
        let (start, end) = self.range(text.len(), 24);
        match self.below(16) {
            0 => {
                if let Some(byte) = text.get_mut(start) {
                    *byte ^= 1 << (self.next() % 8);
                }
            }
            1 => {
                let byte = self.next() as u8;
                text.insert(start, byte);
            }
            2 => drop(text.drain(start..end)),
            3 => {
                let piece = text[start..end].to_vec();
                text.splice(start..start, piece);
            }
            4 => {
                let (from, to) = self.range(text.len(), 200);
                let piece = text[from..to].to_vec();
                text.splice(start..start, piece);
            }
            5 | 6 => {
                let bit = self.any(BITS).bytes();
                text.splice(start..end, bit);
            }
            7 => {
                let bit = self.any(BITS).bytes();
                text.splice(start..start, bit);
            }
            8 => {
                let other = self.any(corpus);
                let (from, to) = self.range(other.len(), 300);
                text.splice(start..end, other[from..to].iter().copied());
            }
            9 => {
                // Now and then very many, up to the limit of a file.
                let times = 1 << self.below(14);
                let bit = self.any(BITS).repeat(times);
                text.splice(start..start, bit.into_bytes());
            }
            10 => {
                let (line, other) = (self.line(text), self.line(text));
                let copy = text[other.0..other.1].to_vec();
                text.splice(line.0..line.0, copy);
            }
            11 => {
                let line = self.line(text);
                text.drain(line.0..line.1);
            }
            _ => self.change_number(text),
        }
    }

    fn change_number(&mut self, text: &mut Vec<u8>) {
        let is_number = |byte: &u8| byte.is_ascii_digit() || *byte == b'.';
        let from = self.below(text.len());
        let Some(start) = text[from..].iter().position(is_number).map(|offset| from + offset) else { return };
        let end = text[start..]
            .iter()
            .position(|byte| !is_number(byte))
            .map_or(text.len(), |offset| start + offset);
        let number = self.any(NUMBERS).bytes();
        text.splice(start..end, number);
    }

    fn range(&mut self, length: usize, longest: usize) -> (usize, usize) {
        let start = self.below(length + 1);
        (start, (start + self.below(longest + 1)).min(length))
    }

    /// A line with its end.
    fn line(&mut self, text: &[u8]) -> (usize, usize) {
        let inside = self.below(text.len());
        let start = text[..inside].iter().rposition(|byte| *byte == b'\n').map_or(0, |end| end + 1);
        let end =
            text[inside..].iter().position(|byte| *byte == b'\n').map_or(text.len(), |end| inside + end + 1);
        (start, end)
    }
}
