//! Decimal commas: what a maker types who writes them on paper.
//!
//! In the file a comma parts the entries of a list, so a decimal comma either stops the parser or,
//! worse, makes two numbers of one.

/// A number with a decimal comma and how it should have been written, with its key if that stands before.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct DecimalComma {
    pub(super) written: String,
    pub(super) right: String,
}

/// The number with a comma at which the parser stopped, `at` being a byte of the line.
pub(super) fn decimal_comma(line: &str, at: usize) -> Option<DecimalComma> {
    let bytes = line.as_bytes();
    let is_digit = |idx: usize| bytes.get(idx).is_some_and(u8::is_ascii_digit);
    let gap_behind = |end: usize| line[end + 1..].len() - line[end + 1..].trim_start().len();
    let run = |idx: usize, step: isize| {
        let mut end = idx;
        while let Some(next) = end.checked_add_signed(step).filter(|next| is_digit(*next)) {
            end = next;
        }
        end
    };
    let commas = (1..bytes.len())
        .filter(|&idx| bytes[idx] == b',' && is_digit(idx - 1) && is_digit(idx + 1));
    let mut numbers = commas.map(|comma| (run(comma, -1), comma, run(comma, 1)));
    let (start, comma, end) =
        numbers.find(|(start, _, end)| *start <= at && at <= end + 1 + gap_behind(*end))?;
    let before = line[..start].trim_end_matches(['+', '-']);
    let start = match before.trim_end().strip_suffix('=') {
        Some(key) => key_start(key),
        None => before.len(),
    };
    let written = line[start..=end].to_string();
    let right = format!("{}.{}", &line[start..comma], &line[comma + 1..=end]);
    Some(DecimalComma { written, right })
}

/// Where the word begins with which a text ends.
fn key_start(text: &str) -> usize {
    let word = text.trim_end();
    let is_of_word = |c: char| c.is_ascii_alphanumeric() || c == '_';
    word.trim_end_matches(is_of_word).len()
}

/// How a list should have been written whose commas are decimal ones, `[1,2, 1,3]`: whole numbers, some with a
/// gap behind their comma and some without.
pub(super) fn mended_list(written: &str) -> Option<String> {
    let inside = written.trim().strip_prefix('[')?.strip_suffix(']')?;
    let parts: Vec<&str> = inside.split_inclusive(',').collect();
    let has_gap_behind = |idx: usize| {
        parts
            .get(idx + 1)
            .is_none_or(|next| next.starts_with(char::is_whitespace))
    };
    let mut numbers: Vec<String> = Vec::new();
    let mut whole = String::new();
    let mut n_mended = 0;
    for (idx, part) in parts.iter().enumerate() {
        let digits = part.trim().trim_end_matches(',').trim_end();
        let unsigned = digits.strip_prefix(['+', '-']).unwrap_or(digits);
        if digits.is_empty() && idx + 1 == parts.len() {
            break;
        }
        if unsigned.is_empty() || !unsigned.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        match (whole.is_empty(), has_gap_behind(idx)) {
            (true, true) => numbers.push(digits.to_string()),
            (true, false) => whole = digits.to_string(),
            (false, true) => {
                numbers.push(format!("{whole}.{digits}"));
                whole.clear();
                n_mended += 1;
            }
            (false, false) => return None,
        }
    }
    (whole.is_empty() && 0 < n_mended && 1 < numbers.len())
        .then(|| format!("[{}]", numbers.join(", ")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(line: &str, at: &str, want: Option<(&str, &str)>) {
        let at = line.find(at).expect("in the line");
        let got = decimal_comma(line, at);
        let got = got
            .as_ref()
            .map(|comma| (comma.written.as_str(), comma.right.as_str()));
        assert_eq!(got, want, "{line}");
    }

    #[test]
    fn the_number_at_which_the_parser_stopped() {
        let key = Some(("inner_mm = 30,5", "inner_mm = 30.5"));
        check("inner_mm = 30,5", ",", key);
        check("{ inner_mm = 30,5, outer_mm = 60 }", "5", key);
        check("{ inner_mm = 30,5 }", "}", key);
        let negative = Some(("x_mm = -30,5", "x_mm = -30.5"));
        check("x_mm = -30,5", ",", negative);
        check("[0.1, 0,002]", "002", Some(("0,002", "0.002")));
        check("[0.1, -0,002, 1]", "002", Some(("-0,002", "-0.002")));
        check("[[0,10] [90,35]]", "[90", None);
        check("[1, 2, 3]", "2", None);
    }

    #[test]
    fn lists_of_whole_numbers_that_are_none() {
        let mended = |written| mended_list(written);
        assert_eq!(mended("[1,2, -1,3]").as_deref(), Some("[1.2, -1.3]"));
        assert_eq!(mended("[1,2, 1]").as_deref(), Some("[1.2, 1]"));
        assert_eq!(mended("[ 1,2,\n 1,35, ]").as_deref(), Some("[1.2, 1.35]"));
        for fine in [
            "[1, 2]",
            "[1,2]",
            "[1,2,3]",
            "[1.2, 1.3]",
            "[]",
            "[1,2,3, 4]",
            "[1,2, 1.3]",
        ] {
            assert_eq!(mended(fine), None, "{fine}");
        }
    }
}
