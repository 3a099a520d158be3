//! Noise, and good files with something nasty in them: a short answer, never a panic.

use std::time::{Duration, Instant};

use proptest::prelude::*;
use skyworthy::workshop::{EXAMPLE_TOML, Workshop};

use super::evidence::EVIDENCE_TOML;
use super::{
    CEDAR_CSV, KNIFE_EDGE_TOML, LONE_MAKER_TOML, LONGEST_MESSAGE_CHARS, read, read_with_table,
};

#[test]
fn noise_is_refused_quickly_and_shortly() {
    let noise: Vec<u8> = (0..10_000_000_u32)
        .map(|i| (i.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    let nothing = |_: &str| Err("no tables".to_string());
    let megabyte = 1_000_000;
    let files: [Vec<u8>; 10] = [
        noise.clone(),
        noise[..megabyte].to_vec(),
        vec![0xff; 1000],
        b"[".repeat(megabyte),
        b"a.".repeat(megabyte / 2),
        b"a = [".repeat(megabyte / 5),
        [
            b"[site]\nname = \"".to_vec(),
            b"x".repeat(megabyte - 100),
            b"\"\n".to_vec(),
        ]
        .concat(),
        b"[[telescope]]\nx = 1\n".repeat(megabyte / 20),
        [
            b"[site]\nhorizon = [".to_vec(),
            b"[0,0],".repeat(megabyte / 7),
            b"]\n".to_vec(),
        ]
        .concat(),
        [b"a".repeat(megabyte - 100), b" = 1\n".to_vec()].concat(),
    ];
    let begun = Instant::now();
    for bytes in &files {
        let message = Workshop::from_toml_bytes(bytes, "elm.toml", &nothing)
            .expect_err("noise")
            .to_string();
        assert!(
            message.chars().count() < LONGEST_MESSAGE_CHARS,
            "{}",
            message.chars().count()
        );
        assert!(!message.contains(|c: char| c.is_control() && c != '\n'));
    }
    assert!(
        begun.elapsed() < Duration::from_secs(5),
        "{:?}",
        begun.elapsed()
    );
}

/// What a mutation may put into a file.
const NASTY: &[&str] = &[
    "nan",
    "-inf",
    "1e308",
    "-1",
    "0",
    "\"",
    "[[",
    "]]",
    "{",
    "}",
    "\n",
    ",",
    "=",
    "[telescope.figure]",
    "2026-02-29",
    "'''",
    "\u{202e}",
    "\u{0}",
    "999999999999999999999",
    "kind = \"profile\"\n",
    "kind = \"bands-seen\"\n",
    "[[telescope.figure]]\n",
    "edge = \"turned\"\n",
    "1,5",
    "file = \"cedar.csv\"\n",
    "0x7f",
    "#",
];

/// Puts something nasty at a place, over some of what stood there.
fn mutated(text: &str, places: &[(usize, usize, usize)]) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    for &(at, over, what) in places {
        let at = at % (chars.len() + 1);
        let end = (at + over).min(chars.len());
        chars.splice(at..end, NASTY[what % NASTY.len()].chars());
    }
    chars.into_iter().collect()
}

fn check_survives(text: &str) {
    if let Err(error) = read(text) {
        let message = error.to_string();
        assert!(!error.complaints().is_empty());
        assert!(message.chars().count() < LONGEST_MESSAGE_CHARS, "{message}");
        assert!(
            !message.contains(|c: char| c.is_control() && c != '\n'),
            "{message:?}"
        );
    }
}

proptest! {
    #[test]
    fn random_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = Workshop::from_toml_bytes(&bytes, "elm.toml", &|_| Err(String::new()));
    }

    #[test]
    fn random_text_never_panics(text in "\\PC{0,60}(\n[a-z_\\[\\]]{1,12} ?= ?\\PC{0,20}){0,5}") {
        check_survives(&text);
    }

    #[test]
    fn mutated_examples_never_panic(
        which in 0..4_usize,
        places in proptest::collection::vec((any::<usize>(), 0..12_usize, any::<usize>()), 1..4),
    ) {
        let text = [EXAMPLE_TOML, LONE_MAKER_TOML, KNIFE_EDGE_TOML, EVIDENCE_TOML][which];
        check_survives(&mutated(text, &places));
    }

    #[test]
    fn mutated_tables_never_panic(
        places in proptest::collection::vec((any::<usize>(), 0..6_usize, any::<usize>()), 1..4),
    ) {
        let table = mutated(CEDAR_CSV, &places);
        if let Err(error) = read_with_table(KNIFE_EDGE_TOML, &table) {
            prop_assert!(error.to_string().chars().count() < LONGEST_MESSAGE_CHARS);
        }
    }

    /// What is accepted is legal, whatever was changed.
    #[test]
    fn accepted_files_are_legal(
        which in 0..2_usize,
        places in proptest::collection::vec((any::<usize>(), 0..3_usize, any::<usize>()), 1..3),
    ) {
        let text = [EXAMPLE_TOML, EVIDENCE_TOML][which];
        let Ok(workshop) = read(&mutated(text, &places)) else { return Ok(()) };
        prop_assert!(workshop.site.latitude_deg.abs() <= 90.0);
        prop_assert!(!workshop.eyepieces.is_empty() && !workshop.telescopes.is_empty());
        for telescope in &workshop.telescopes {
            prop_assert!((30.0..=2000.0).contains(&telescope.aperture_mm));
            prop_assert!(!telescope.eyepieces.is_empty());
            prop_assert!(telescope.eyepieces.iter().all(|idx| *idx < workshop.eyepieces.len()));
            let counts = telescope.history.last().map(|test| &test.figure);
            prop_assert!(counts.is_none_or(|figure| *figure == telescope.figure));
            prop_assert!(telescope.history.is_sorted_by(|a, b| a.on_date < b.on_date));
            prop_assert!(telescope.secondary_mm.is_none_or(|secondary| secondary < telescope.aperture_mm));
        }
    }
}
