//! A year of evenings compared, beside the same evenings planned one by one in full.

use std::hint::black_box;

use chrono::{NaiveDate, NaiveTime};
use divan::Bencher;
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::dates::{Audience, Dates, Wanted, dates};
use skyworthy::plan::night::{Wish, night};
use skyworthy::workshop::Workshop;

fn main() {
    divan::main();
}

/// The example workshop's three telescopes, and two of them again under another name.
fn five_telescopes() -> Workshop {
    let mut workshop = skyworthy::workshop::example();
    for idx in 0..2 {
        let mut other = workshop.telescopes[idx].clone();
        other.name += " the younger";
        workshop.telescopes.push(other);
    }
    workshop
}

fn first() -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 1, 1).expect("a date")
}

fn year(workshop: &Workshop, audience: Audience, days: i64) -> Dates {
    let hour = |hour| NaiveTime::from_hms_opt(hour, 0, 0).expect("a time");
    let wanted = Wanted {
        from: first(),
        to: first() + chrono::TimeDelta::days(days - 1),
        window: ClockWindow::new(hour(19), hour(22)).expect("three hours"),
        audience,
        telescopes: workshop.telescopes.iter().collect(),
        weekdays: Vec::new(),
    };
    dates(black_box(workshop), &wanted, &|_, _| ()).expect("a year of this century")
}

#[divan::bench(sample_count = 10)]
fn a_year_for_five_telescopes_and_the_public(bencher: Bencher) {
    let workshop = five_telescopes();
    bencher.bench(|| year(&workshop, Audience::Public, 365));
}

#[divan::bench(sample_count = 10)]
fn a_year_for_five_telescopes_to_be_tried(bencher: Bencher) {
    let workshop = five_telescopes();
    bencher.bench(|| year(&workshop, Audience::FigureTest, 365));
}

/// For the ratio to the one below: ten evenings and ten to fall back on.
#[divan::bench(sample_count = 10)]
fn ten_evenings_for_five_telescopes(bencher: Bencher) {
    let workshop = five_telescopes();
    bencher.bench(|| year(&workshop, Audience::Public, 10));
}

/// The whole plan of each, night by night.
#[divan::bench(sample_count = 3)]
fn ten_nights_for_five_telescopes_in_full(bencher: Bencher) {
    let workshop = five_telescopes();
    let in_full = |days| {
        let on = first() + chrono::TimeDelta::days(days);
        let wish = Wish {
            on,
            daylight: false,
        };
        night(&workshop, wish).expect("a night of this century")
    };
    bencher.bench(|| (0..10).map(in_full).collect::<Vec<_>>());
}
