//! The closest even pair that this mirror parts, beside a perfect one's, in words.

use crate::plan::reach::{ClosestPair, Reach};
use crate::show::words;

/// In still air and in typical, each with the eyepiece that it takes; what prints alike is said once.
pub(super) fn words(reach: &Reach) -> String {
    let Some(still) = reach.pair_in_still_air else {
        return String::from("none of these eyepieces parts one");
    };
    let typical = reach.pair_in_typical_air;
    let air = |words: &str, pair: &ClosestPair| {
        let eyepiece = &reach.instrument.views[pair.view].eyepiece;
        let gap = words::two_digits(pair.gap_arcsec);
        format!("from {gap}\" in {words} air with the {eyepiece}")
    };
    let in_still = air("still", &still);
    let in_typical = typical.zip(reach.conditions.seeing_arcsec);
    let in_typical = in_typical.map_or(String::new(), |(pair, seeing_arcsec)| {
        let words = format!("typical {seeing_arcsec:.1}\"");
        format!(", {}", air(&words, &pair))
    });
    let pairs: Vec<ClosestPair> = [Some(still), typical].into_iter().flatten().collect();
    let magnitude = still.star_mag;
    format!(
        "{in_still}{in_typical} (two stars of magnitude {magnitude:.1}); {}{}",
        beside_perfect(reach, &pairs),
        eyepieces(reach)
    )
}

fn beside_perfect(reach: &Reach, pairs: &[ClosestPair]) -> String {
    if !reach.knows_figure() {
        return String::from("for a perfect mirror");
    }
    let printed = |gap: fn(&ClosestPair) -> f64| -> Vec<String> {
        let gaps = pairs.iter().map(|pair| words::two_digits(gap(pair)));
        gaps.map(|gap| format!("{gap}\"")).collect()
    };
    let perfect = printed(|pair| pair.perfect_gap_arcsec);
    if printed(|pair| pair.gap_arcsec) == perfect {
        String::from("a perfect mirror no closer")
    } else {
        format!("a perfect mirror from {}", perfect.join(" and "))
    }
}

fn eyepieces(reach: &Reach) -> &'static str {
    if reach.eyepieces_hold_pairs_back() {
        "; in still air stronger eyepieces would part closer ones"
    } else {
        ""
    }
}
