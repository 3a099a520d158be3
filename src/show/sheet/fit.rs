//! How much paper words take, on the safe side: a page that this room lets through does not overflow.
//!
//! Letters are reckoned as wide as in the widest of the usual plain typefaces (DejaVu Sans), so that a page set in a
//! narrower one has some room to spare. All lengths in points, 1/72 inch, as in the looks of the page.

/// Of the paper inside its margins.
pub(super) const PAGE_WIDTH_PT: f64 = 549.0;

/// Of the paper inside its margins, less a line for what this reckoning misses.
pub(super) const PAGE_HEIGHT_PT: f64 = 793.0 - LINE_PT;

/// From one line to the next, and the size of the letters.
pub(super) const LINE_PT: f64 = 16.0;
pub(super) const BODY_PT: f64 = 14.0;

/// The same of names and times.
pub(super) const NAME_LINE_PT: f64 = 27.0;
pub(super) const NAME_PT: f64 = 24.0;

/// Bold letters beside plain ones, where no table says (DejaVu Sans: 1.1 to 1.2 for all but the narrowest).
const HEAVIER: f64 = 1.18;

/// Letters and their weight.
#[derive(Debug, Clone, Copy)]
pub(super) struct Type {
    pub(super) size_pt: f64,
    pub(super) is_bold: bool,
}

pub(super) const BODY: Type = Type {
    size_pt: BODY_PT,
    is_bold: false,
};

pub(super) const BOLD_BODY: Type = Type {
    size_pt: BODY_PT,
    is_bold: true,
};

pub(super) const NAME: Type = Type {
    size_pt: NAME_PT,
    is_bold: true,
};

/// Of words in one line.
pub(super) fn width_pt(words: &str, letters: Type) -> f64 {
    let ems = words
        .chars()
        .map(|letter| width_em(letter, letters.is_bold));
    ems.sum::<f64>() * letters.size_pt
}

/// How many lines words take in a column.
pub(super) fn lines(words: &str, letters: Type, column_pt: f64) -> usize {
    let space = width_pt(" ", letters);
    let (mut lines, mut used) = (1, 0.0);
    for word in words.split_whitespace() {
        let width = width_pt(word, letters);
        let with_space = if used > 0.0 {
            used + space + width
        } else {
            width
        };
        if with_space <= column_pt {
            used = with_space;
            continue;
        }
        if used > 0.0 {
            lines += 1;
        }
        used = width;
        // A word that is too long for any line is broken wherever a line ends.
        if column_pt < width {
            lines += (width / (column_pt - letters.size_pt)).ceil() as usize - 1;
            used = column_pt;
        }
    }
    lines
}

/// As much of some words as so many lines of a column hold; what is cut off is seen to be.
pub(super) fn cut_to(words: &str, letters: Type, column_pt: f64, most: usize) -> String {
    if lines(words, letters, column_pt) <= most {
        return words.to_string();
    }
    // The longest that fits: a word broken in the middle may take a line more than a longer one unbroken.
    let cut = |end: usize| format!("{}…", words[..end].trim_end());
    let ends = words.char_indices().map(|(at, _)| at).rev();
    let cuts = ends.map(cut);
    cuts.into_iter()
        .find(|cut| lines(cut, letters, column_pt) <= most)
        .unwrap_or_default()
}

/// The fewest equal parts, a page each, for which `level` finds how much of each fits; none where not even single ones do.
pub(super) fn parts<T, L>(
    all: &[T],
    level: impl Fn(&[T], usize) -> Option<L>,
) -> Vec<(Option<L>, &[T])> {
    if all.is_empty() {
        return vec![(None, all)];
    }
    let in_parts = |n_parts: usize| -> Vec<(Option<L>, &[T])> {
        let parts = all.chunks(all.len().div_ceil(n_parts));
        parts.map(|part| (level(part, n_parts), part)).collect()
    };
    let parts = (1..=all.len()).map(in_parts);
    let mut fitting = parts.filter(|parts| parts.iter().all(|(level, _)| level.is_some()));
    fitting.next().unwrap_or_else(|| in_parts(all.len()))
}

/// Widths of the letters from space to tilde in DejaVu Sans 2.37, the widest of the typefaces that the looks of the page name,
/// in thousandths of their size; from its table of advance widths, rounded up.
const PLAIN: [u16; 95] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, 637, 637, 637,
    637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 531, 1000, 685, 687, 699, 771, 632,
    576, 775, 752, 295, 295, 656, 558, 863, 749, 788, 604, 788, 695, 635, 611, 732, 685, 989, 686,
    611, 686, 391, 337, 391, 838, 500, 500, 613, 635, 550, 635, 616, 353, 635, 634, 278, 278, 580,
    278, 975, 634, 612, 635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838,
];

/// The same in bold.
const BOLD: [u16; 95] = [
    349, 457, 521, 838, 696, 1002, 873, 307, 458, 458, 523, 838, 380, 416, 380, 366, 696, 696, 696,
    696, 696, 696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 581, 1000, 774, 763, 734, 831, 684,
    684, 821, 837, 373, 373, 775, 638, 996, 837, 851, 733, 851, 771, 721, 683, 813, 774, 1104, 771,
    725, 726, 458, 366, 458, 838, 500, 500, 675, 716, 593, 716, 679, 436, 716, 712, 343, 343, 666,
    343, 1042, 712, 688, 716, 716, 494, 596, 479, 712, 652, 924, 646, 652, 583, 712, 366, 712, 838,
];

/// Letters with marks are as wide as without, or nearly; full-width letters fill a square; whatever else there is counts as the
/// widest letters of its scripts do.
fn width_em(letter: char, is_bold: bool) -> f64 {
    let table = if is_bold { &BOLD } else { &PLAIN };
    let heavier = if is_bold { HEAVIER } else { 1.0 };
    match letter {
        ' '..='~' => f64::from(table[letter as usize - 32]) / 1000.0,
        '\u{a0}' => width_em(' ', is_bold),
        '\u{300}'..='\u{36f}' => 0.0,
        '·' => 0.35 * heavier,
        '°' | '–' => 0.64 * heavier,
        '…' | '—' | '½' => heavier,
        '\u{a1}'..='\u{52f}' => 0.85 * heavier,
        _ => 1.1 * heavier,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Advance widths of the typeface's own table, units of 1/2048 em: from its `hmtx`.
    #[test]
    fn no_letter_is_wider_than_reckoned() {
        for (letter, units) in [
            ('a', 1255),
            ('e', 1260),
            ('g', 1300),
            ('n', 1298),
            ('i', 569),
            ('r', 842),
            ('t', 803),
            ('m', 1995),
            ('w', 1675),
            ('s', 1067),
            ('z', 1075),
            ('c', 1126),
            ('k', 1186),
            ('f', 721),
            ('l', 569),
            ('M', 1767),
            ('W', 2025),
            ('O', 1612),
            ('Q', 1612),
            ('G', 1587),
            ('0', 1303),
            (' ', 651),
            ('-', 739),
            ('é', 1260),
        ] {
            assert!(
                f64::from(units) / 2048.0 <= width_em(letter, false),
                "{letter}"
            );
        }
    }

    #[test]
    fn words_are_cut_to_their_lines() {
        assert_eq!(cut_to("one two", BODY, 500.0, 1), "one two");
        assert_eq!(cut_to("one two three", BODY, 60.0, 1), "one t…");
        let long = cut_to(&"m".repeat(200), BODY, PAGE_WIDTH_PT, 2);
        assert!(lines(&long, BODY, PAGE_WIDTH_PT) == 2 && 70 < long.chars().count());
    }

    #[test]
    fn lines_of_words_and_of_one_long_word() {
        assert_eq!(lines("", BODY, 100.0), 1);
        assert_eq!(lines("one two", BODY, 500.0), 1);
        // By hand: 39.1 pt a word and space, 14 of them in a line of 549.
        assert_eq!(lines(&"word ".repeat(40), BODY, PAGE_WIDTH_PT), 3);
        // 100 m's at 14 pt are 1365 pt: three lines of 549, the third begun.
        assert_eq!(lines(&"m".repeat(100), BODY, PAGE_WIDTH_PT), 3);
        assert_eq!(
            lines(&format!("a {}", "m".repeat(100)), BODY, PAGE_WIDTH_PT),
            4
        );
    }
}
