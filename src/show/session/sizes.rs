//! Distances, light times and sizes of what is shown, in round numbers.

use crate::plan::session::{Facts, ShownTarget, SizeOf};
use crate::show::words::{to_two_digits, two_digits};

/// The Moon to the naked eye, arcminutes.
const MOON_ARCMIN: f64 = 30.0;

/// `628 million km away; its light takes 35 minutes; 143 000 km across; looks 1.5 times as wide as the naked-eye Moon`: whatever of it is known.
pub fn facts(shown: &ShownTarget) -> String {
    joined(&shown.facts)
}

fn joined(facts: &Facts) -> String {
    let gap = |au| format!("the two are {}", as_far_apart(au));
    let known = [
        facts.distance_km.map(|km| format!("{} away", distance(km))),
        (facts.light_time_s).map(|seconds| format!("its light takes {}", light_time(seconds))),
        (facts.diameter_km).map(|km| format!("{} across", distance(km))),
        facts.distance_ly.map(light_years_away),
        facts.extent_ly.map(light_years_across),
        facts.gap_au.map(gap),
        width(facts),
    ];
    known.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// The same one by one, each behind a label: `Distance`, `628 million km`.
pub fn facts_apart(shown: &ShownTarget) -> Vec<(&'static str, String)> {
    let facts = &shown.facts;
    let (looks, in_view) = match facts.apparent_size_of {
        SizeOf::Gap => ("The gap", facts.apparent_size_arcmin.map(apparent_size)),
        SizeOf::Whole | SizeOf::BrightPart => ("In the view", width(facts)),
    };
    let known = [
        ("Distance", facts.distance_km.map(distance)),
        ("Light takes", facts.light_time_s.map(light_time)),
        (
            "True size",
            (facts.diameter_km).map(|km| format!("{} across", distance(km))),
        ),
        ("Distance", facts.distance_ly.map(light_years_away)),
        ("True size", facts.extent_ly.map(light_years_across)),
        ("The two are", facts.gap_au.map(as_far_apart)),
        (looks, in_view),
    ];
    let known = known.into_iter();
    known
        .filter_map(|(label, words)| Some((label, words?)))
        .collect()
}

fn light_years_away(ly: f64) -> String {
    let number = large(ly);
    format!("{number} light years away; its light has been under way for {number} years")
}

fn light_years_across(ly: f64) -> String {
    format!("{} light years across", large(to_two_digits(ly)))
}

fn as_far_apart(au: f64) -> String {
    let times = large(to_two_digits(au));
    format!("{times} times as far apart as Earth and Sun, as we see it")
}

fn width(facts: &Facts) -> Option<String> {
    let looks = apparent_size(facts.apparent_size_arcmin?);
    Some(match facts.apparent_size_of {
        _ if facts.is_wider_than_view => String::from("wider than the view"),
        SizeOf::Whole => looks,
        SizeOf::BrightPart => format!("its bright part {looks}"),
        SizeOf::Gap => format!("the gap {looks}"),
    })
}

/// A rounded number as people say it: `8.6`, `440`, `25 000`, `2.5 million`.
fn large(value: f64) -> String {
    match value {
        value if value < 1e3 => value.to_string(),
        value if value < 1e6 => grouped(value),
        value => format!("{} million", value / 1e6),
    }
}

/// The same to two digits, for what depends on air and eyes: `5 500 km`, `2.6 km`
pub fn rough_distance(km: f64) -> String {
    match km {
        km if km < 10.0 => distance(km),
        km => distance(to_two_digits(km)),
    }
}

/// `369 000 km`, `640 million km`
pub fn distance(km: f64) -> String {
    match km {
        km if km < 100.0 => format!("{} km", two_digits(km)),
        km if km < 1e6 => format!("{} km", grouped(km)),
        km if km < 1e9 => format!("{} million km", two_digits(km / 1e6)),
        km => format!("{} thousand million km", two_digits(km / 1e9)),
    }
}

/// `1.2 s`, `36 minutes`, `2.5 hours`
pub fn light_time(seconds: f64) -> String {
    match seconds {
        s if s < 10.0 => format!("{s:.1} s"),
        s if s < 5400.0 => format!("{:.0} minutes", s / 60.0),
        s => format!("{:.1} hours", s / 3600.0),
    }
}

/// What it looks like at the eyepiece, beside the Moon without one.
fn apparent_size(arcmin: f64) -> String {
    let moons = arcmin / MOON_ARCMIN;
    match moons {
        moons if moons < 0.75 => format!("looks {} of the Moon wide", part(moons)),
        moons if moons < 1.25 => String::from("looks as wide as the Moon without a telescope"),
        moons => format!(
            "looks {} times as wide as the naked-eye Moon",
            two_digits(moons)
        ),
    }
}

fn part(moons: f64) -> &'static str {
    match moons {
        m if m < 0.07 => "a twentieth",
        m if m < 0.15 => "a tenth",
        m if m < 0.22 => "a fifth",
        m if m < 0.3 => "a quarter",
        m if m < 0.42 => "a third",
        m if m < 0.6 => "half",
        _ => "two thirds",
    }
}

/// Two or three digits that mean something, in groups: `143 000`.
fn grouped(value: f64) -> String {
    let unit = 10f64.powf(value.max(1.0).log10().floor() - 2.0).max(1.0);
    let digits = format!("{:.0}", (value / unit).round() * unit);
    let mut grouped = String::new();
    for (idx, digit) in digits.chars().enumerate() {
        if idx > 0 && (digits.len() - idx) % 3 == 0 {
            grouped.push(' ');
        }
        grouped.push(digit);
    }
    grouped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn facts_in_round_numbers() {
        let of = |distance_km: Option<f64>, diameter_km, arcmin| {
            let facts = Facts {
                distance_km,
                light_time_s: distance_km.map(|km| km / 299_792.458),
                diameter_km,
                apparent_size_arcmin: Some(arcmin),
                ..Facts::default()
            };
            joined(&facts)
        };
        assert_eq!(
            of(Some(6.42e8), Some(142_984.0), 76.0),
            "640 million km away; its light takes 36 minutes; 143 000 km across; looks 2.5 times as wide as the naked-eye Moon"
        );
        assert_eq!(
            of(Some(384_400.0), Some(3_476.0), 3000.0),
            "384 000 km away; its light takes 1.3 s; 3 480 km across; looks 100 times as wide as the naked-eye Moon"
        );
        assert_eq!(of(None, None, 14.0), "looks half of the Moon wide");
    }

    #[test]
    fn facts_beyond_the_planets() {
        let check = |facts: Facts, want: &str| assert_eq!(joined(&facts), want);
        check(
            Facts {
                distance_ly: Some(440.0),
                extent_ly: Some(14.08),
                apparent_size_arcmin: Some(4400.0),
                is_wider_than_view: true,
                ..Facts::default()
            },
            "440 light years away; its light has been under way for 440 years; 14 light years across; wider than the view",
        );
        check(
            Facts {
                distance_ly: Some(2_500_000.0),
                extent_ly: Some(129_340.0),
                apparent_size_arcmin: Some(400.0),
                apparent_size_of: SizeOf::BrightPart,
                ..Facts::default()
            },
            "2.5 million light years away; its light has been under way for 2.5 million years; 130 000 light years across; \
             its bright part looks 13 times as wide as the naked-eye Moon",
        );
        check(
            Facts {
                distance_ly: Some(8.6),
                gap_au: Some(29.6),
                apparent_size_arcmin: Some(28.0),
                apparent_size_of: SizeOf::Gap,
                ..Facts::default()
            },
            "8.6 light years away; its light has been under way for 8.6 years; \
             the two are 30 times as far apart as Earth and Sun, as we see it; \
             the gap looks as wide as the Moon without a telescope",
        );
        assert_eq!(large(to_two_digits(27_431.0)), "27 000");
        assert_eq!(large(to_two_digits(0.9235)), "0.92");
        assert_eq!(large(28e6), "28 million");
    }

    #[test]
    fn two_digits_where_more_would_be_a_lie() {
        for (km, want) in [
            (2.64, "2.6 km"),
            (0.47, "0.47 km"),
            (46.4, "46 km"),
            (99.7, "100 km"),
            (5_540.0, "5 500 km"),
            (12_345.0, "12 000 km"),
        ] {
            assert_eq!(rough_distance(km), want);
        }
    }
}
