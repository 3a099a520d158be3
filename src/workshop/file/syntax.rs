//! What a line that is no TOML probably meant to be.
//!
//! The parser says where it stopped; makers want to know what to change. The usual slips are
//! told apart by the look of the line, the others get the parser's own words.

use crate::workshop::error::Complaint;
use crate::workshop::wording;

use super::comma;
use super::section::Page;

/// How the parser puts it.
const DUPLICATE: &str = "duplicate key";

/// A complaint in our words about what the parser refused.
pub(super) fn complaint(page: Page, refused: &toml::de::Error) -> Complaint {
    let offset = refused
        .span()
        .map_or(0, |span| span.start)
        .min(page.text.len());
    let start = line_start(page.text, offset);
    let line = page.text[start..].lines().next().unwrap_or_default();
    if refused.message() == DUPLICATE {
        let trouble = wording::there_already(line);
        return page.complaint(offset, trouble);
    }
    if let Some(comma) = comma::decimal_comma(line, offset - start) {
        let trouble = wording::decimal_comma(line, &comma.written, &comma.right);
        return page.complaint(offset, trouble);
    }
    let (reason, hint) = match usual_slip(line) {
        Some((reason, hint)) => (reason.to_string(), Some(hint)),
        None => (wording::shown(refused.message()), None),
    };
    page.complaint(offset, wording::not_understood(line, &reason, hint))
}

fn line_start(text: &str, offset: usize) -> usize {
    let before = &text.as_bytes()[..offset];
    before
        .iter()
        .rposition(|byte| *byte == b'\n')
        .map_or(0, |at| at + 1)
}

/// What is wrong and what to do, for the slips that people make.
fn usual_slip(line: &str) -> Option<(&'static str, &'static str)> {
    let line = line.split('#').next().unwrap_or_default().trim();
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
        check(
            "aperture_mm = 150,5",
            "aperture_mm = 150,5 has a decimal comma\n  numbers take a decimal point: aperture_mm = 150.5",
        );
        check(
            "seeing = { good = 1,2, poor = 3 }",
            "good = 1,2 has a decimal comma, in seeing =",
        );
        check("seeing = { good = 1,2 }", "good = 1.2");
        check(
            "readings_mm = [0,002, -0,003]",
            "0,002 has a decimal comma, in readings_mm = [0,002, -0,003]",
        );
        check(
            "inner_mm = 30,5 # mm",
            "inner_mm = 30,5 has a decimal comma\n",
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
