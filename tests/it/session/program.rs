//! `session` as somebody types it.

use std::fs;

use chrono::{DateTime, NaiveDate, Utc};

use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::dates::{Audience, Wanted, dates};
use skyworthy::plan::night_curves::night_curves;
use skyworthy::plan::session::Ask;

use super::super::cli::{folder, refuses, run_in, stderr, stdout};

const EVENING: [&str; 7] = [
    "session",
    "--on",
    "2027-02-12",
    "--window",
    "19:00-22:00",
    "--visitors",
    "120",
];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    let mut args: Vec<&str> = EVENING.to_vec();
    args.extend(more);
    args
}

#[test]
fn endings_choose_the_form() {
    let folder = folder();
    for (file, begins) in [
        ("evening.txt", "This is the example workshop"),
        ("evening.json", "{\n  \"on\": \"2027-02-12\""),
        ("evening.csv", "telescope,place,from_local"),
        ("evening.ics", "BEGIN:VCALENDAR\r\n"),
    ] {
        let output = run_in(folder.path(), &with(&["--output", file]));
        assert!(output.status.success(), "{}", stderr(&output));
        let written = fs::read_to_string(folder.path().join(file)).expect("a file");
        assert!(written.starts_with(begins), "{file}: {written}");
        let again = run_in(folder.path(), &with(&["--output", file]));
        refuses(&again, &["exists and is left alone", "--overwrite"]);
    }
    let json = run_in(folder.path(), &with(&["--json"]));
    let answer: serde_json::Value = serde_json::from_slice(&json.stdout).expect("JSON");
    assert_eq!(answer["visitors"], 120);
    assert_eq!(answer["slots"].as_array().map(Vec::len), Some(12));
    assert_eq!(answer["time_zone"], "Europe/Rome");
    assert!(answer["telescopes"][0]["turns"][0]["look_for"]["say"].is_string());
}

#[test]
fn the_text_fits_the_page() {
    let folder = folder();
    for more in [
        &["--first", "children"][..],
        &["--slot-minutes", "5"],
        &["--want", "m45@Alder"],
    ] {
        let output = run_in(folder.path(), &with(more));
        let text = stdout(&output);
        assert!(output.status.success(), "{}", stderr(&output));
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
    }
}

#[track_caller]
fn refused(more: &[&str], parts: &[&str]) {
    refuses(&run_in(folder().path(), &with(more)), parts);
}

#[test]
fn mistakes_are_answered() {
    refused(
        &["--telescope", "Hazle"],
        &["no telescope is called `Hazle`", "Hazel"],
    );
    refused(
        &["--want", "jupiter@Elm"],
        &["no telescope is called `Elm`", "Hazel, Rowan, Alder"],
    );
    refused(
        &["--want", "planet9"],
        &["nothing to look at is called `planet9`", "jupiter, albireo"],
    );
    refused(
        &["--want", "@Hazel"],
        &["a want looks like jupiter or jupiter@Rowan"],
    );
    refused(&["--slot-minutes", "2"], &["2", "3..=60"]);
    refused(
        &["--output", "evening.pdf"],
        &["evening.pdf", ".ics", ".csv", ".json", ".txt"],
    );
    refused(
        &["--json", "--output", "evening.ics"],
        &["does not look like a JSON file"],
    );
    let typed = |window: &str| {
        let args = [
            "session",
            "--on",
            "2027-03-27",
            "--window",
            window,
            "--visitors",
            "9",
        ];
        run_in(folder().path(), &args)
    };
    refuses(&typed("19:30"), &["a window looks like 19:30-22:00"]);
    refuses(&typed("7pm-9pm"), &["a window looks like 19:30-22:00"]);
    refuses(
        &typed("20:00-20:05"),
        &["shorter than one slot of 15 minutes", "--slot-minutes 5"],
    );
    // The clocks go forward that night, from two to three.
    refuses(&typed("02:00-02:30"), &["nothing is left", "go forward"]);
}

/// One rule wherever hours are asked for: what the clocks show twice makes them longer, what they leave out shorter.
#[test]
fn hours_over_a_change_of_the_clocks_are_the_same_for_all() {
    let workshop = super::plain();
    // IANA: clocks back on 25 October 2026, forward on 28 March 2027, at 01:00 UTC.
    for (on, hours, from, until) in [
        (
            "2026-10-24",
            "20:00-02:30",
            "2026-10-24T18:00:00Z",
            "2026-10-25T01:30:00Z",
        ),
        (
            "2027-03-27",
            "22:00-02:30",
            "2027-03-27T21:00:00Z",
            "2027-03-28T01:00:00Z",
        ),
        (
            "2027-03-27",
            "02:15-04:00",
            "2027-03-28T01:00:00Z",
            "2027-03-28T02:00:00Z",
        ),
    ] {
        let on: NaiveDate = on.parse().expect("a date");
        let want = [from, until].map(|at| at.parse::<DateTime<Utc>>().expect("an instant"));
        let window = ClockWindow::said(hours).expect("hours");
        let ask = Ask {
            on,
            ..super::february(hours)
        };
        let session = super::planned(&workshop, &ask).window;
        assert_eq!([session.from, session.until], want, "session");
        let hours = window
            .on(on, workshop.site.time_zone)
            .expect("hours of that night");
        let curves = night_curves(&workshop.site, on, Some(hours)).expect("a night");
        let shaded = curves.session.expect("as asked");
        assert_eq!([shaded.from, shaded.until], want, "night");
        let wanted = Wanted {
            from: on,
            to: on,
            window,
            audience: Audience::Public,
            telescopes: workshop.telescopes.iter().collect(),
            weekdays: Vec::new(),
        };
        let dates = dates(&workshop, &wanted, &|_, _| ()).expect("an evening");
        let evening = &dates.evenings[0];
        assert_eq!([evening.from, evening.until], want, "dates");
    }
}

/// Whoever counts on through midnight means the same hours, in every command that takes some.
#[test]
fn hours_may_be_counted_on_through_midnight() {
    let folder = folder();
    let answer = |args: &[&str]| {
        let output = run_in(folder.path(), args);
        assert!(output.status.success(), "{args:?}: {}", stderr(&output));
        stdout(&output)
    };
    for before in [
        &[
            "session",
            "--on",
            "2027-02-12",
            "--visitors",
            "60",
            "--json",
            "--window",
        ][..],
        &["dates", "2027-02-12", "2027-02-13", "--json", "--window"],
    ] {
        let of = |window: &'static str| answer(&[before, &[window]].concat());
        assert_eq!(of("19:30-24:30"), of("19:30-00:30"), "{before:?}");
    }
    let drawn = |window: &str, file: &str| {
        answer(&[
            "night",
            "--on",
            "2027-02-12",
            "--window",
            window,
            "--output",
            file,
        ]);
        fs::read_to_string(folder.path().join(file)).expect("a picture")
    };
    assert_eq!(
        drawn("19:30-24:30", "counted.svg"),
        drawn("19:30-00:30", "clock.svg")
    );
    for (window, part) in [
        ("19:30-30:30", "hours counted on end at 30:00"),
        ("19:30-19:00", "the end comes after the beginning"),
        ("19:30-19:30", "the end comes after the beginning"),
        ("25:30-24:30", "the end comes after the beginning"),
    ] {
        let args = [
            "session",
            "--on",
            "2027-02-12",
            "--visitors",
            "9",
            "--window",
            window,
        ];
        refuses(&run_in(folder.path(), &args), &[part]);
    }
}

/// By day there is nothing to show: code 1, and the reason.
#[test]
fn nothing_by_day() {
    let args = [
        "session",
        "--on",
        "2027-02-12",
        "--window",
        "14:00-16:00",
        "--visitors",
        "9",
    ];
    let output = run_in(folder().path(), &args);
    assert_eq!(output.status.code(), Some(1));
    assert!(stdout(&output).contains("Nothing can be shown in this window"));
}
