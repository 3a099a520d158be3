//! Distances, light times and sizes of what is shown, in round numbers.

use crate::plan::session::Facts;
use crate::plan::session::Showing;
use crate::show::words::two_digits;
use crate::targets::beyond::Beyond;
use crate::targets::subject::Subject;

/// The Moon to the naked eye, arcminutes.
const MOON_ARCMIN: f64 = 30.0;

/// `628 million km away; its light takes 35 minutes; 143 000 km across; looks 1.5 Moons wide`: whatever of it is known.
pub fn facts(showing: &Showing) -> String {
    let subject = if is_pair(showing) { "the gap " } else { "" };
    joined(&showing.facts, subject)
}

/// What is looked at are two stars, and what has a width is the gap between them.
fn is_pair(showing: &Showing) -> bool {
    matches!(showing.subject, Subject::Beyond(Beyond::Double(_)))
}

fn joined(facts: &Facts, subject: &str) -> String {
    let known = [
        facts.distance_km.map(|km| format!("{} away", distance(km))),
        (facts.light_time_s).map(|seconds| format!("its light takes {}", light_time(seconds))),
        (facts.diameter_km).map(|km| format!("{} across", distance(km))),
        (facts.apparent_size_arcmin).map(|arcmin| format!("{subject}{}", apparent_size(arcmin))),
    ];
    known.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// The same one by one, each behind a label: `Distance`, `628 million km`.
pub fn facts_apart(showing: &Showing) -> Vec<(&'static str, String)> {
    let facts = &showing.facts;
    let looks = if is_pair(showing) {
        "The gap"
    } else {
        "In the view"
    };
    let known = [
        ("Distance", facts.distance_km.map(distance)),
        ("Light takes", facts.light_time_s.map(light_time)),
        (
            "True size",
            (facts.diameter_km).map(|km| format!("{} across", distance(km))),
        ),
        (looks, facts.apparent_size_arcmin.map(apparent_size)),
    ];
    let known = known.into_iter();
    known
        .filter_map(|(label, words)| Some((label, words?)))
        .collect()
}

/// The same to two digits, for what depends on air and eyes: `5 500 km`, `2.6 km`
pub fn rough_distance(km: f64) -> String {
    let unit = 10f64.powf(km.max(1.0).log10().floor() - 1.0);
    match km {
        km if km < 10.0 => distance(km),
        km => distance((km / unit).round() * unit),
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
        moons => format!("looks {} Moons wide", two_digits(moons)),
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
                seems_from_km: None,
                smallest_km: None,
                light_gain: 400.0,
            };
            joined(&facts, "")
        };
        assert_eq!(
            of(Some(6.42e8), Some(142_984.0), 76.0),
            "640 million km away; its light takes 36 minutes; 143 000 km across; looks 2.5 Moons wide"
        );
        assert_eq!(
            of(Some(384_400.0), Some(3_476.0), 3000.0),
            "384 000 km away; its light takes 1.3 s; 3 480 km across; looks 100 Moons wide"
        );
        assert_eq!(of(None, None, 14.0), "looks half of the Moon wide");
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
