//! What a line that is no TOML probably meant to be.
//!
//! The parser says where it stopped; makers want to know what to change. The usual slips are
//! told apart by the look of the line, the others get the parser's own words.

use crate::workshop::error::Complaint;
use crate::workshop::wording;

use super::section::Page;

/// A complaint in our words about what the parser refused.
pub(super) fn complaint(page: Page, refused: &toml::de::Error) -> Complaint {
    let offset = refused
        .span()
        .map_or(0, |span| span.start)
        .min(page.text.len());
    let line = line_around(page.text, offset);
    let (reason, hint) = match usual_slip(line, refused.message()) {
        Some((reason, hint)) => (reason.to_string(), Some(hint)),
        None => (wording::shown(refused.message()), None),
    };
    page.complaint(offset, wording::not_understood(line, &reason, hint))
}

fn line_around(text: &str, offset: usize) -> &str {
    let bytes = text.as_bytes();
    let start = bytes[..offset]
        .iter()
        .rposition(|byte| *byte == b'\n')
        .map_or(0, |at| at + 1);
    let end = bytes[offset..]
        .iter()
        .position(|byte| *byte == b'\n')
        .map_or(text.len(), |at| offset + at);
    &text[start..end]
}

/// What is wrong and what to do, for the slips that people make.
fn usual_slip(line: &str, message: &str) -> Option<(&'static str, &'static str)> {
    let line = line.split('#').next().unwrap_or_default().trim();
    if message == "duplicate key" {
        return Some(match line.starts_with('[') {
            true => (
                "this heading is there already",
                "eyepieces, Barlow lenses and telescopes may repeat, with two brackets: [[telescope]]",
            ),
            false => ("this key is there already", "keep one of the two lines"),
        });
    }
    if line.contains([
        '\u{201c}', '\u{201d}', '\u{201e}', '\u{00ab}', '\u{2018}', '\u{2019}',
    ]) {
        return Some(("the quotes are curly", "text stands in straight quotes: \""));
    }
    if line.starts_with('[') && !line.contains('=') {
        return Some((
            "the heading is not closed",
            "[site] or [[telescope]]: as many brackets behind as before",
        ));
    }
    let Some((key, value)) = line.split_once('=') else {
        return line
            .contains(':')
            .then_some(("the sign between key and value is =", "name = \"...\""))
            .or(Some((
                "this is neither a key with a value nor a heading",
                "every line is key = value, or a [heading], or begins with #",
            )));
    };
    slip_of_key(key.trim()).or_else(|| slip_of_value(value.trim()))
}

fn slip_of_key(key: &str) -> Option<(&'static str, &'static str)> {
    let odd = key
        .chars()
        .any(|c| !c.is_ascii_alphanumeric() && !"_-.\"'".contains(c));
    odd.then_some((
        "the name before = is not one word",
        "names are written with small letters and underlines: aperture_mm",
    ))
}

fn slip_of_value(value: &str) -> Option<(&'static str, &'static str)> {
    if value.is_empty() {
        return Some(("there is no value", "give one, or put # before the line"));
    }
    if value.matches('"').count() % 2 == 1 {
        return Some((
            "the quotes are not closed",
            "text stands between two quotes: \"...\"",
        ));
    }
    if value.starts_with('"') && value.contains('\\') {
        return Some(("a \\ in the text", "write / instead"));
    }
    if has_decimal_comma(value) {
        return Some((
            "a number with a comma",
            "numbers take a decimal point: 150.5",
        ));
    }
    let first = value.chars().next().unwrap_or_default();
    if first.is_ascii_digit() || "+-.".contains(first) {
        return Some(slip_of_number(value));
    }
    first
        .is_alphabetic()
        .then_some(("text without quotes", "text stands in quotes: \"...\""))
}

fn slip_of_number(value: &str) -> (&'static str, &'static str) {
    let digits = value.trim_start_matches(['+', '-']);
    if digits.contains(char::is_alphabetic) || digits.contains(['"', '\'', '%']) {
        return (
            "a number with something behind it",
            "numbers stand alone, the unit is in the key: 150",
        );
    }
    if digits.matches('-').count() == 2 {
        return ("this is no date", "year-month-day: 2026-10-03");
    }
    (
        "this is no number",
        "digits on both sides of the point, no zero in front: 0.5, 5.0",
    )
}

fn has_decimal_comma(value: &str) -> bool {
    value
        .as_bytes()
        .windows(3)
        .any(|three| three[0].is_ascii_digit() && three[1] == b',' && three[2].is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use toml::de::DeTable;

    use super::*;

    #[track_caller]
    fn check(line: &str, want: &str) {
        let text = format!("# a comment\n{line}\n");
        let refused = DeTable::parse(&text).expect_err("no TOML");
        let page = Page {
            file_name: "alder.toml",
            text: &text,
        };
        let got = complaint(page, &refused).to_string();
        assert!(
            got.starts_with("alder.toml, line 2: ") && got.contains(want),
            "want {want}, got {got}"
        );
    }

    #[test]
    fn usual_slips_are_named() {
        check("aperture_mm = 150,5", "numbers take a decimal point");
        check(
            "seeing = { good = 1,2, poor = 3 }",
            "numbers take a decimal point",
        );
        check("aperture_mm = 150 mm", "the unit is in the key");
        check("aperture_mm = 150mm", "the unit is in the key");
        check("aperture_mm = .5", "digits on both sides");
        check("aperture_mm = 05", "no zero in front");
        check("coated_on = 2026-13-40", "this is no date");
        check("name = Linden", "text stands in quotes");
        check("name = \"Linden", "the quotes are not closed");
        check("name = \u{201c}Linden\u{201d}", "straight quotes");
        check("file = \"C:\\users\\x.csv\"", "write / instead");
        check("name =", "there is no value");
        check("name : \"Linden\"", "is =");
        check("focal length = 1200", "not one word");
        check("hello world", "every line is key = value");
        check("[telescope", "as many brackets");
    }
}
