//! Text broken into lines, for screens that count columns and pictures in which nothing breaks lines by itself.

/// Lines of words that fit the `room` of each line, the first being 0; breaks at spaces, within a word only if it is too long
/// alone.
pub(crate) fn lines(text: &str, room: impl Fn(usize) -> f64, width: impl Fn(char) -> f64) -> Vec<String> {
    let (mut lines, mut line) = (Vec::new(), String::new());
    let mut used = 0.0;
    for word in text.split(' ') {
        let long: f64 = word.chars().map(&width).sum();
        if used > 0.0 && used + width(' ') + long > room(lines.len()) {
            lines.push(std::mem::take(&mut line));
            used = 0.0;
        }
        let space = (used > 0.0).then_some(' ');
        for letter in space.into_iter().chain(word.chars()) {
            let wide = width(letter);
            if used > 0.0 && used + wide > room(lines.len()) {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            line.push(letter);
            used += wide;
        }
    }
    lines.push(line);
    lines
}
