//! Words put together: lists, capitals, lines of a width.

/// `a`, `a and b`, `a, b and c`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [all_but_last @ .., last] => format!("{} and {last}", all_but_last.join(", ")),
    }
}

/// The same sentence with a capital: `Two stripes`.
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Letters in place of names: from `a` on `a` to `z`, then `a2`.
pub fn nth_letter(first: char, idx: usize) -> String {
    let letter = char::from_u32(u32::from(first) + idx as u32 % 26).unwrap_or(first);
    match idx / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{}", round + 1),
    }
}

/// Holds words together in a line, and is printed as a space.
pub(in crate::show) const JOINED: char = '\u{a0}';

/// Held together where that is short enough for any column; a longer name breaks as it must.
pub fn together(words: &str) -> String {
    const SHORT_COLUMNS: usize = 12;
    match words.chars().count() <= SHORT_COLUMNS {
        true => words.replace(' ', &JOINED.to_string()),
        false => String::from(words),
    }
}

/// Paragraph broken to a width, never where words are held together; every line after the first begun with `indent`.
pub fn wrapped(text: &str, width: usize, indent: &str) -> String {
    let mut out = String::new();
    let mut used = 0;
    let ends_word = |c: char| c.is_whitespace() && c != JOINED;
    for word in text.split(ends_word).filter(|word| !word.is_empty()) {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > width {
            out.push('\n');
            out.push_str(indent);
            used = indent.chars().count();
        } else if used > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(word);
        used += length;
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_do_not_run_out() {
        let letters = [('A', 0), ('A', 25), ('a', 1), ('a', 26), ('A', 53)];
        let letters = letters.map(|(first, idx)| nth_letter(first, idx));
        assert_eq!(letters, ["A", "Z", "b", "a2", "B3"]);
    }

    #[test]
    fn lines_stay_within_the_width() {
        let text = wrapped("one two three four five", 9, "  ");
        assert_eq!(text, "one two\n  three\n  four\n  five");
    }
}
