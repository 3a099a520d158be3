//! Whole answers, letter by letter. `UPDATE_GOLDEN=1 cargo test golden` rewrites them; read the
//! difference like code.

pub mod answers;

use std::fs;
use std::path::Path;

use chrono::NaiveDate;

use skyworthy::optics::instrument::Instrument;
use skyworthy::plan::bands::RonchiTest;
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::night::Wish;
use skyworthy::plan::pictures::{DrawnFrom, PictureHeading, Reading};
use skyworthy::sky::earth::Place;
use skyworthy::workshop::KnifeSource;
use skyworthy::{plan, show, workshop};

#[track_caller]
pub fn check(name: &str, got: &str) {
    check_file(&format!("tests/golden/{name}"), got);
}

#[track_caller]
fn check_file(name: &str, got: &str) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        fs::write(&path, got).expect("the project can be written");
    }
    let want = fs::read_to_string(&path).unwrap_or_default();
    let first = want
        .lines()
        .zip(got.lines())
        .position(|(want, got)| want != got);
    assert!(
        want == got,
        "{name} differs, first in line {:?}; UPDATE_GOLDEN=1 rewrites it. Got:\n{got}",
        first.map(|idx| idx + 1)
    );
}

fn night(year: i32, month: u32, day: u32) -> plan::night::Night {
    let on = NaiveDate::from_ymd_opt(year, month, day).expect("a date");
    let wish = Wish {
        on,
        daylight: false,
    };
    plan::night::night(&workshop::example(), wish).expect("a night of this century")
}

#[test]
fn the_pictures_of_the_readme() {
    let workshop = workshop::example();
    let date = |text: &str| text.parse::<NaiveDate>().expect("a date");
    let (on, zone) = (date("2027-02-20"), workshop.site.time_zone);
    let hours = ClockWindow::said("19:00-21:30").expect("hours");
    let shaded = hours.on(on, zone).expect("hours of that night");
    let curves = plan::night_curves::night_curves(&workshop.site, on, Some(shaded));
    let curves = curves.expect("a night of this century");
    check_file("examples/night.svg", &show::picture::night::svg(&curves));
    let answer = plan::mirror::mirrors(&workshop, date("2026-11-25")).expect("a year of planets");
    let judged = answer.mirrors[2].judged.as_ref().expect("it was measured");
    let pictures = plan::pictures::pictures(judged);
    let profile = pictures.profile.as_ref().expect("it was measured");
    check_file(
        "examples/profile.svg",
        &show::picture::surface(&pictures.subject, profile),
    );
}

#[test]
fn a_winter_night_with_nearly_everything_up() {
    check(
        "night-2026-12-17.txt",
        &show::night::page(&night(2026, 12, 17)).text(),
    );
}

#[test]
fn a_short_summer_night() {
    check(
        "night-2027-06-20.txt",
        &show::night::page(&night(2027, 6, 20)).text(),
    );
}

#[test]
fn what_the_example_mirrors_are_worth() {
    let on = NaiveDate::from_ymd_opt(2026, 11, 25).expect("a date");
    let verdicts = plan::mirror::mirrors(&workshop::example(), on).expect("a year of planets");
    check("mirror.txt", &show::mirror::page(&verdicts, false).text());
}

#[test]
fn readings_of_an_invented_mirror_drawn() {
    let reading = |from_axis_mm: f64, residual_mm: f64, tolerance_mm: f64| Reading {
        inner_mm: from_axis_mm - 8.0,
        outer_mm: from_axis_mm + 8.0,
        from_axis_mm,
        residual_mm,
        tolerance_mm,
        error_mm: 0.06,
    };
    let readings = [
        reading(30.0, -0.2, 0.8),
        reading(46.0, 0.05, 0.55),
        reading(62.0, 0.5, 0.4),
    ];
    let subject = PictureHeading {
        name: String::from("Heron & <Wren>"),
        basis: DrawnFrom::Measured,
    };
    check(
        "readings.svg",
        &show::picture::readings(&subject, &readings),
    );
}

#[test]
fn bands_of_an_example_mirror_in_words() {
    let workshop = workshop::example();
    let telescope = &workshop.telescopes[2];
    let on = NaiveDate::from_ymd_opt(2026, 11, 25).expect("a date");
    let instrument = Instrument::of(&workshop, telescope, on).expect("judged");
    let ronchi = RonchiTest {
        lines_per_mm: 4.0,
        offset_mm: -6.0,
        source: KnifeSource::Moving,
    };
    let bands = plan::bands::bands(telescope, &instrument, ronchi);
    check("bands.txt", &show::bands::page(&bands).text());
}

#[test]
fn what_the_example_telescopes_can_reach() {
    let on = NaiveDate::from_ymd_opt(2026, 12, 17).expect("a date");
    check(
        "reach.txt",
        &show::reach::page(&plan::reach::reach(&workshop::example(), on)).text(),
    );
}

#[test]
fn the_sky_at_an_instant() {
    let site = workshop::example().site;
    let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
    let at = "2026-12-01T20:00:00Z".parse().expect("an instant");
    let sky = plan::sky_now::sky_now(place, at).expect("an instant of this century");
    check(
        "sky.txt",
        &show::sky::page(&sky, &site.name, site.time_zone).text(),
    );
}

#[test]
fn what_happens_in_four_months() {
    let day = |month, day| NaiveDate::from_ymd_opt(2026, month, day).expect("a date");
    let all = plan::happenings::happenings(&workshop::example(), day(8, 1), day(11, 30));
    check(
        "happenings.txt",
        &show::happenings::page(&all.expect("months of this century")).text(),
    );
}
