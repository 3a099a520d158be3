//! The telescope around its mirror, through the public door: what `reach` and `night` say of diagonal,
//! coating, cooling and the eyepiece's height.

use chrono::{DurationRound, NaiveDate, TimeDelta};

use crate::support::workshop_of;
use skyworthy::plan::night::Wish;
use skyworthy::workshop::Workshop;
use skyworthy::{plan, show};

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

/// One telescope of that size, with more lines of its own.
fn workshop(aperture_mm: u32, focal_length_mm: u32, lines: &str) -> Workshop {
    workshop_of(&format!(
        "[site]\nlatitude_deg = 46.3\nlongitude_deg = 13.1\ntime_zone = \"Europe/Rome\"\n\
         [[eyepiece]]\nfocal_length_mm = 25\n\
         [[telescope]]\nname = \"Osier\"\naperture_mm = {aperture_mm}\n\
         focal_length_mm = {focal_length_mm}\n{lines}\n"
    ))
}

#[track_caller]
fn reach_says(workshop: &Workshop, on: &str, want: &[&str]) {
    let page = show::reach::page(&plan::reach::reach(workshop, day(on))).text();
    let words: Vec<&str> = page.split_whitespace().collect();
    for want in want {
        assert!(words.join(" ").contains(want), "no `{want}` in:\n{page}");
    }
    for line in page.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

/// Focal ratios for a sphere: P-V = D / 2048 N^3 at best focus, a quarter of 550 nm is borne.
#[test]
fn spheres_are_judged_by_their_size() {
    let sphere = "[telescope.figure]\nkind = \"sphere\"";
    for (aperture_mm, focal_length_mm, want) in [
        (
            114,
            1140,
            "straight bands are enough: 0.10 wave over the whole disc, even an eighth",
        ),
        (
            114,
            912,
            "straight bands are enough: 0.20 wave over the whole disc, Rayleigh's rule bears a quarter",
        ),
        (150, 1200, "straight bands are just about enough: 0.26 wave"),
        (200, 1000, "straight bands are not enough: 1.42 wave"),
    ] {
        let workshop = workshop(aperture_mm, focal_length_mm, sphere);
        reach_says(&workshop, "2026-12-01", &[want]);
    }
}

/// A 150 f/8 with 165 mm from diagonal to focus: the beam is 20.6 mm wide there, by similar triangles.
#[test]
fn diagonals_too_small_and_large_enough_for_everything() {
    let small = workshop(150, 1200, "secondary_mm = 15");
    reach_says(
        &small,
        "2026-12-01",
        &["too small: the middle of the view sees 109 mm of the mirror"],
    );
    // 25 mm of focal length and 50 degrees: 21.8 mm across.
    let large = workshop(150, 1200, "secondary_mm = 44");
    reach_says(
        &large,
        "2026-12-01",
        &["lights the whole view of the 25 mm fully"],
    );
    let none = workshop(150, 1200, "secondary_mm = 0");
    let reach = &plan::reach::reach(&none, day("2026-12-01"))[0];
    assert_eq!(reach.tube.diagonal, None);
}

#[test]
fn a_coat_ages_and_is_spoken_of_when_it_may_be_due() {
    let silver = workshop(150, 1200, "coating = \"silver\"\ncoated_on = 2025-06-01");
    reach_says(
        &silver,
        "2025-06-20",
        &["silver less than a month old: about 95 % each mirror, costs nothing that shows"],
    );
    reach_says(
        &silver,
        "2027-06-01",
        &[
            "silver 2 years old: about 78 % each mirror, costs 0.4 magnitudes",
            "look at it by daylight",
        ],
    );
    let undated = workshop(150, 1200, "coating = \"silver\"");
    reach_says(
        &undated,
        "2027-06-01",
        &["as fresh silver; age not counted"],
    );
}

/// Two reflections: the light falls as the square of the reflectivity, and nothing else changes.
#[test]
fn a_night_counts_the_age_of_the_coat_on_its_own_date() {
    let workshop = workshop(
        150,
        1200,
        "coating = \"silver\"\ncoated_on = 2026-01-01\nspider_vane_mm = 1",
    );
    let instrument = |on: &str| {
        let wish = Wish {
            on: day(on),
            daylight: false,
        };
        let night = plan::night::night(&workshop, wish).expect("a night of this century");
        night.telescopes[0]
            .instrument
            .clone()
            .expect("a perfect mirror is judged")
    };
    let (before, fresh, later) = (
        instrument("2025-12-01"),
        instrument("2026-01-01"),
        instrument("2027-01-01"),
    );
    assert_eq!(before.transmission, fresh.transmission);
    assert_eq!(fresh.reflectivity, 0.95);
    assert!(
        (later.reflectivity - 0.87).abs() < 1e-3,
        "{}",
        later.reflectivity
    );
    let ratio = (later.reflectivity / fresh.reflectivity).powi(2);
    assert!((later.transmission / fresh.transmission - ratio).abs() < 1e-12);
    assert_eq!(later.strehl, fresh.strehl);
}

#[test]
fn the_time_to_put_it_out_is_the_first_look_less_the_cooling() {
    let thick = workshop(150, 1200, "thickness_mm = 25");
    let wish = Wish {
        on: day("2026-12-17"),
        daylight: false,
    };
    let night = plan::night::night(&thick, wish).expect("a night of this century");
    let telescope = &night.telescopes[0];
    let put_out = telescope.put_out.expect("a thickness and targets");
    let first_look = telescope.targets[0].outlook.stretches[0].from;
    let cools = TimeDelta::seconds((60.0 * put_out.cooling.still_air_min) as i64);
    // Ten minutes to aim it once it is cool.
    let spare = first_look - put_out.by - cools - TimeDelta::minutes(10);
    assert!(
        TimeDelta::zero() <= spare && spare < TimeDelta::minutes(10),
        "{spare}"
    );
    assert_eq!(
        put_out.by,
        put_out
            .by
            .duration_trunc(TimeDelta::minutes(10))
            .expect("in range")
    );
    assert_eq!(put_out.by_day, put_out.by < night.sun.set.expect("it sets"));
    let page = show::night::page(&night).text();
    assert!(
        page.contains("Put it outside by ") && page.contains("(25 mm glass, 10 degrees to lose)"),
        "{page}"
    );

    let unknown = plan::night::night(&workshop(150, 1200, ""), wish).expect("a night");
    assert_eq!(unknown.telescopes[0].put_out, None);
    assert!(
        !show::night::page(&unknown)
            .text()
            .contains("Put it outside")
    );
}

/// "A fan halves it" (common practice, no source), and a thicker mirror takes longer; a closed back
/// about doubles it.
#[test]
fn fans_help_and_thickness_costs() {
    let cooling = |thickness_mm: u32| {
        let workshop = workshop(200, 1200, &format!("thickness_mm = {thickness_mm}"));
        plan::reach::reach(&workshop, day("2026-12-01"))[0]
            .tube
            .cooling
            .expect("a thickness")
    };
    let (thin, thick) = (cooling(19), cooling(40));
    assert!(thin.still_air_min < thick.still_air_min);
    for cooling in [thin, thick] {
        let by_fan = cooling.fan_min / cooling.still_air_min;
        assert!((0.3..0.6).contains(&by_fan), "{by_fan}");
        let by_back = cooling.back_closed_min / cooling.still_air_min;
        assert!((1.9..2.2).contains(&by_back), "{by_back}");
    }
}

#[test]
fn heights_are_given_where_the_mount_is_known() {
    let known = workshop(
        150,
        1200,
        "pivot_height_m = 0.60\npivot_to_eyepiece_m = 0.55",
    );
    reach_says(
        &known,
        "2026-12-01",
        &["0.88 m above the ground at 30 degrees up, 1.14 m at 80"],
    );
    let half_known = workshop(150, 1200, "pivot_height_m = 0.60");
    assert_eq!(
        plan::reach::reach(&half_known, day("2026-12-01"))[0]
            .tube
            .eyepiece_height,
        None
    );
}
