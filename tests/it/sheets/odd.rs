//! Odd strings never break a page.

use proptest::prelude::*;

use skyworthy::show::sheet::card::{Card, More};
use skyworthy::show::sheet::poster::{Poster, PosterRow, PosterTurn, pages as posters};
use skyworthy::show::sheet::safety::Stops;
use skyworthy::show::sheet::station::{StationSheet, pages};
use skyworthy::show::sheet::talk::Talk;

use super::{is_safe, is_whole};

/// Anything, signs that mean something in HTML, and other scripts, up to very long.
fn odd() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[<>&\"' a-z/=]{0,40}",
        "[\u{5d0}-\u{5ea} ]{0,60}",
        "[\u{4e00}-\u{4fff}]{0,80}",
        "[A-Z]{0,500}",
    ]
}

fn maybe() -> impl Strategy<Value = Option<String>> {
    prop::option::of(odd())
}

prop_compose! {
    fn card()(
        (id, name, place, with, look_for, you_see) in (odd(), odd(), odd(), odd(), odd(), odd()),
        (also, then, stop, facts, cloud) in (odd(), maybe(), maybe(), maybe(), maybe()),
        (surely, say, question) in (odd(), odd(), odd()),
        note in prop::option::of("[^\u{0}]{0,280}"),
        is_followed in any::<bool>(),
    ) -> Card {
        Card {
            meanwhile: None,
            from: String::from("19:00"),
            until: String::from("19:30"),
            more: vec![More { name: name.clone(), surely: surely.clone(), say: say.clone() }; 2],
            facts_apart: vec![("Distance", say.clone())],
            talk: Talk { about: name.clone(), tells: vec![say.clone()], asks: vec![(question, say)] },
            id, name, place, with, look_for, surely, you_see, also, then, stop, facts, cloud, note, is_followed,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn sheets_stay_whole_and_safe(
        name in odd(),
        head in prop::collection::vec(odd(), 0..5),
        cards in prop::collection::vec(card(), 0..11),
        words in prop::collection::vec("[ -~]{0,120}", 0..2),
    ) {
        let n_cards = cards.len();
        let names: Vec<String> = cards.iter().map(|card| card.from.clone()).collect();
        let pages = pages(&StationSheet { name, head, note: None, cards, stops: Stops { words } });
        prop_assert!((1..=n_cards.max(1)).contains(&pages.len()));
        for page in &pages {
            is_whole(page);
            is_safe(page);
        }
        // No turn is lost between the sheets.
        let shown: usize = pages.iter().map(|page| page.matches("<section class=\"turn\">").count()).sum();
        prop_assert_eq!(shown, names.len());
    }

    #[test]
    fn posters_stay_whole_and_safe(site in odd(), when in odd(), names in prop::collection::vec((odd(), odd()), 0..13)) {
        let rows = names.into_iter().map(|(name, about)| PosterRow {
            shows: vec![PosterTurn {
                when: String::from("19:00"),
                what: name.clone(),
                sight: Some(about.clone()),
            }],
            name,
            about,
        });
        for page in posters(&Poster { site, when, moments: None, rows: rows.collect(), flow: None, weather: None, closing: None }) {
            is_whole(&page);
            prop_assert!(page.contains("<section class=\"safety\">") && page.contains("stay behind the barrier"));
        }
    }
}
