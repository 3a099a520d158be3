//! What was taken for granted, at the end of an answer: the same of several telescopes in one line.

use crate::show::page::Block;
use crate::show::words::{self, coat};
use crate::workshop::{Assumed, Taken};

/// Of lines after the first.
const HANG_COLUMNS: usize = 4;

/// The lines under their heading; `None` where the file says everything.
pub(in crate::show) fn section(assumed: &[Assumed]) -> Option<Block> {
    let lines = together(assumed).into_iter();
    let lines = lines.map(|line| Block::Paragraph(line, HANG_COLUMNS));
    (!assumed.is_empty()).then(|| Block::section("Assumed, because the file does not say:", lines))
}

/// `telescope "Heron" and "Wren": spider_vane_mm: 0 mm`, where the first of them stands.
fn together(assumed: &[Assumed]) -> Vec<String> {
    let mut lines: Vec<(Vec<String>, String)> = Vec::new();
    for one in assumed {
        let (whose, key) = whose(&one.key);
        let rest = format!("{key}: {}", taken_words(&one.value));
        let same =
            |(names, known): &&mut (Vec<String>, String)| !names.is_empty() && *known == rest;
        match (whose, lines.iter_mut().find(same)) {
            (Some(name), Some((names, _))) => names.push(name.to_string()),
            (whose, _) => lines.push((whose.into_iter().map(String::from).collect(), rest)),
        }
    }
    (lines.into_iter())
        .map(|(names, rest)| {
            if names.is_empty() {
                return rest;
            }
            format!("telescope {}: {rest}", words::list(&names))
        })
        .collect()
}

/// `telescope "Heron": secondary_mm: 30 mm, ...`, each for itself.
pub(in crate::show) fn line(assumed: &Assumed) -> String {
    format!("{}: {}", assumed.key, taken_words(&assumed.value))
}

/// What was taken, with its unit.
pub fn taken_words(taken: &Taken) -> String {
    match taken {
        Taken::Words(words) => words.clone(),
        Taken::DiagonalMm(mm) => {
            format!("{mm:.0} mm, as the usual tube needs to light 10 mm of field fully")
        }
        Taken::Coat {
            kind,
            reflectivity,
            age_months,
        } => coat::taken(*kind, *reflectivity, *age_months),
    }
}

/// The name in quotes and what is left of the key.
fn whose(key: &str) -> (Option<&str>, &str) {
    let parts = key
        .strip_prefix("telescope ")
        .and_then(|it| it.rsplit_once(": "));
    parts.map_or((None, key), |(name, key)| (Some(name), key))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn telescopes_that_share_a_default_share_a_line() {
        let one = |key: &str, value: &str| Assumed {
            key: String::from(key),
            value: Taken::Words(String::from(value)),
        };
        let assumed = [
            one("site.elevation_m", "0 m"),
            one("telescope \"Heron: the old\": glass", "plate glass"),
            one("telescope \"Wren\": spider_vane_mm", "0 mm"),
            one("telescope \"Wren\": glass", "plate glass"),
        ];
        assert_eq!(
            together(&assumed),
            [
                "site.elevation_m: 0 m",
                "telescope \"Heron: the old\" and \"Wren\": glass: plate glass",
                "telescope \"Wren\": spider_vane_mm: 0 mm",
            ]
        );
        assert_eq!(section(&[]), None);
    }
}
