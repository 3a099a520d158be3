//! Which known word somebody probably meant.

/// Longer words than this are no slip of a finger, and not worth the time of comparing.
const LONGEST_WORD: usize = 60;

/// The nearest of the known words, if one is near enough to be meant.
///
/// ```
/// use skyworthy::workshop::near::near_miss;
///
/// assert_eq!(near_miss("omega_centuri", ["Albireo", "Omega Centauri"]), Some("Omega Centauri"));
/// assert_eq!(near_miss("mizar", ["Albireo", "Omega Centauri"]), None);
/// ```
pub fn near_miss<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let word = plain(word)?;
    known
        .into_iter()
        .filter_map(|candidate| Some((distance(&word, &plain(candidate)?)?, candidate)))
        .min_by_key(|&(slips, _)| slips)
        .map(|(_, candidate)| candidate)
}

/// Letters and digits alone, in lower case and without accents: `Jüpiter-1` and `jupiter 1` are the same.
///
/// ```
/// use skyworthy::workshop::near::plain_letters;
///
/// assert_eq!(plain_letters("Rayón de Tycho, 21:00"), "rayondetycho2100");
/// ```
pub fn plain_letters(text: &str) -> String {
    let letters = text.chars().filter(|c| c.is_alphanumeric());
    letters
        .flat_map(char::to_lowercase)
        .map(without_accent)
        .collect()
}

/// Of the Latin letters that European keyboards have; accents written apart are no letters and fall out before.
fn without_accent(c: char) -> char {
    match c {
        'à'..='å' | 'ā' | 'ă' | 'ą' => 'a',
        'ç' | 'ć' | 'ĉ' | 'ċ' | 'č' => 'c',
        'ď' | 'đ' => 'd',
        'è'..='ë' | 'ē' | 'ĕ' | 'ė' | 'ę' | 'ě' => 'e',
        'ĝ' | 'ğ' | 'ġ' | 'ģ' => 'g',
        'ĥ' | 'ħ' => 'h',
        'ì'..='ï' | 'ĩ' | 'ī' | 'ĭ' | 'į' | 'ı' => 'i',
        'ĵ' => 'j',
        'ķ' => 'k',
        'ĺ' | 'ļ' | 'ľ' | 'ŀ' | 'ł' => 'l',
        'ñ' | 'ń' | 'ņ' | 'ň' => 'n',
        'ò'..='ö' | 'ø' | 'ō' | 'ŏ' | 'ő' => 'o',
        'ŕ' | 'ŗ' | 'ř' => 'r',
        'ś' | 'ŝ' | 'ş' | 'š' | 'ș' => 's',
        'ţ' | 'ť' | 'ŧ' | 'ț' => 't',
        'ù'..='ü' | 'ũ' | 'ū' | 'ŭ' | 'ů' | 'ű' | 'ų' => 'u',
        'ŵ' => 'w',
        'ý' | 'ÿ' | 'ŷ' => 'y',
        'ź' | 'ż' | 'ž' => 'z',
        c => c,
    }
}

/// Lower case, without what joins words: `Aperture-mm` and `aperture_mm` are one word.
fn plain(word: &str) -> Option<Vec<char>> {
    if word.len() > 4 * LONGEST_WORD {
        return None;
    }
    let plain: Vec<char> = word
        .chars()
        .filter(|c| !matches!(c, '_' | '-' | ' '))
        .flat_map(char::to_lowercase)
        .collect();
    (!plain.is_empty() && plain.len() <= LONGEST_WORD).then_some(plain)
}

/// How many slips apart, `None` if too many to be the same word. A word cut short of its unit
/// (`latitude`) counts as one slip.
fn distance(a: &[char], b: &[char]) -> Option<usize> {
    let shorter = a.len().min(b.len());
    if shorter >= 4 && a[..shorter] == b[..shorter] {
        return Some(usize::from(a.len() != b.len()));
    }
    let allowed = match a.len().max(b.len()) {
        0..=3 => 1,
        4..=7 => 2,
        _ => 3,
    };
    let slips = edits(a, b);
    (slips <= allowed && slips < shorter).then_some(slips)
}

/// Letters to insert, drop or replace to get from one word to the other, two swapped neighbours
/// counting once (the "optimal string alignment" distance, row by row).
fn edits(a: &[char], b: &[char]) -> usize {
    let mut before = vec![0; b.len() + 1];
    let mut above: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let replaced = above[j - 1] + usize::from(a[i - 1] != b[j - 1]);
            row[j] = replaced.min(above[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        before = std::mem::replace(&mut above, row);
    }
    above[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(word: &str, want: Option<&str>) {
        let known = [
            "aperture_mm",
            "focal_length_mm",
            "name",
            "secondary_mm",
            "glass",
        ];
        assert_eq!(near_miss(word, known), want, "{word}");
    }

    #[test]
    fn slips_are_recognised_and_strangers_are_not() {
        check("apertur_mm", Some("aperture_mm"));
        check("aperture", Some("aperture_mm"));
        check("Aperture-MM", Some("aperture_mm"));
        check("focal_lenght_mm", Some("focal_length_mm"));
        check("nmae", Some("name"));
        check("glas", Some("glass"));
        check("colour", None);
        check("x", None);
        check("", None);
        check(&"aperture_mm".repeat(1000), None);
    }
}
