//! A year of Jupiter's moons, and beside it a day asked the slow, obvious way.

use std::hint::black_box;

use divan::Bencher;
use skyworthy::sky::moons::Satellite;
use skyworthy::sky::moons::view::{SatelliteView, satellite_view, satellite_views};
use skyworthy::sky::satellite_events::events;

fn main() {
    divan::main();
}

/// 2026 December 1, 12h TT, days since J2000.0.
const START_TT_DAYS: f64 = 9_831.0;

/// All ten moons at one instant: what `sky` asks.
#[divan::bench]
fn ten_moons_at_an_instant(bencher: Bencher) {
    bencher.bench(|| satellite_views(black_box(START_TT_DAYS)).expect("in range"));
}

/// What `night` asks.
#[divan::bench]
fn events_of_jupiters_moons_over_a_day(bencher: Bencher) {
    bencher.bench(|| events(black_box(START_TT_DAYS), START_TT_DAYS + 1.0).expect("in range"));
}

/// Some 3,000 contacts from nothing.
#[divan::bench]
fn events_of_jupiters_moons_over_365_days(bencher: Bencher) {
    bencher.bench(|| events(black_box(START_TT_DAYS), START_TT_DAYS + 365.0).expect("in range"));
}

/// The slow, obvious way, to the minute only: the exact places every minute, and whatever has changed since.
#[divan::bench(sample_count = 5)]
fn events_over_a_day_by_looking_every_minute(bencher: Bencher) {
    let flags = |seen: &SatelliteView| {
        [
            seen.before_disc,
            seen.casts_shadow,
            seen.behind_disc,
            seen.in_shadow,
        ]
    };
    let look = |minute: u32| {
        let tt_days = black_box(START_TT_DAYS) + f64::from(minute) / 1440.0;
        Satellite::GALILEAN
            .map(|moon| flags(&satellite_view(moon, tt_days).expect("in range")))
            .concat()
    };
    bencher.bench(|| {
        let looks: Vec<_> = (0..=1440).map(look).collect();
        let changes = looks.windows(2).map(|pair| {
            let both = pair[0].iter().zip(&pair[1]);
            both.filter(|(before, after)| before != after).count()
        });
        changes.sum::<usize>()
    });
}
