//! How Moon, Mars, Jupiter and Saturn are turned toward us.
//!
//! Sources: tests/reference/moon_libration.tsv (JPL's integrated rotation of the Moon, no series)
//! and tests/reference/faces.tsv (SPICE); their heads tell how they were computed.

use skyworthy::sky::appearance::Scene;
use skyworthy::sky::ephemeris::ACCURACY_ARCSEC;
use skyworthy::sky::time::utc_from_tt;
use skyworthy::sky::{Body, Face};

use super::table::{Errors, NamedRow, geocentre, rows, turn_deg};

const MOON: &str = include_str!("../../reference/moon_libration.tsv");
const FACES: &str = include_str!("../../reference/faces.tsv");

/// The series of the IAU report follows the integrated rotation within some 150 m on the Moon's
/// surface (the report's own words, from memory): 0.005 degrees.
const LUNAR_SERIES_DEG: f64 = 0.005;

/// The same published constants on both sides: half the table's last digit, 2 ms of TDB - TT at
/// Jupiter's 0.01 degrees a second, and the ephemeris.
const SAME_CONSTANTS_DEG: f64 = 5e-5 + 2e-5 + 3e-5;

/// Position angles: SPICE takes them at the geometric place, we at the apparent one; aberration (20.84"
/// at the Earth's perihelion) times the tangent of the largest declination (28.6 degrees).
const POSITION_ANGLE_DEG: f64 = 0.00316 + SAME_CONSTANTS_DEG;

#[test]
fn the_moon_faces_us_as_integrated() {
    let mut libration = Errors::of("Moon, libration", "deg");
    let mut colongitude = Errors::of("Moon, colongitude and subsolar latitude", "deg");
    let mut axis = Errors::of("Moon, axis", "deg");
    let mut bright_limb = Errors::of("Moon, bright limb, times sine of elongation", "deg");
    for row in rows(MOON) {
        let scene = Scene::new(row.place(), row.instant("utc")).expect("in range");
        let seen = scene.appearance(Body::Moon).expect("in range");
        // Near new or full Moon the limb's middle is as uncertain as the line to the Sun is short.
        let across = seen.place.elongation_deg.to_radians().sin();
        let Face::Moon {
            libration_longitude_deg,
            libration_latitude_deg,
            colongitude_deg,
            subsolar_latitude_deg,
            axis_position_angle_deg,
            bright_limb_position_angle_deg,
        } = seen.face
        else {
            panic!("the Moon has a Moon's face");
        };
        let push = |errors: &mut Errors, column: &str, got_deg: f64| {
            let at = format!("{column} {} {}", row.text("utc"), row.text("site"));
            errors.push(turn_deg(got_deg, row.number(column)), at);
        };
        push(
            &mut libration,
            "libration_longitude_deg",
            libration_longitude_deg,
        );
        push(
            &mut libration,
            "libration_latitude_deg",
            libration_latitude_deg,
        );
        push(&mut colongitude, "colongitude_deg", colongitude_deg);
        push(
            &mut colongitude,
            "subsolar_latitude_deg",
            subsolar_latitude_deg,
        );
        push(
            &mut axis,
            "axis_position_angle_deg",
            axis_position_angle_deg,
        );
        let limb_column = "bright_limb_position_angle_deg";
        let limb_error_deg = turn_deg(bright_limb_position_angle_deg, row.number(limb_column));
        bright_limb.push(limb_error_deg * across, row.text("utc"));
    }
    libration.check(0.5 * LUNAR_SERIES_DEG, LUNAR_SERIES_DEG);
    colongitude.check(0.5 * LUNAR_SERIES_DEG, LUNAR_SERIES_DEG);
    axis.check(0.5 * LUNAR_SERIES_DEG, LUNAR_SERIES_DEG);
    // Two apparent places, 0.02" each: across the line between them they weigh as below.
    let two_places_deg = 2.0 * ACCURACY_ARCSEC / 3600.0;
    bright_limb.check(two_places_deg, two_places_deg);
}

/// Each named angle of a planet's face.
fn named_angles(face: &Face) -> Vec<(&'static str, f64)> {
    match *face {
        Face::Mars {
            central_meridian_deg,
            sub_earth_latitude_deg,
            solar_longitude_deg,
            pole_position_angle_deg,
        } => vec![
            ("central_meridian_1_deg", central_meridian_deg),
            ("sub_earth_latitude_deg", sub_earth_latitude_deg),
            ("solar_longitude_deg", solar_longitude_deg),
            ("pole_position_angle_deg", pole_position_angle_deg),
        ],
        Face::Jupiter {
            central_meridian_1_deg,
            central_meridian_2_deg,
            central_meridian_3_deg,
            sub_earth_latitude_deg,
            pole_position_angle_deg,
        } => vec![
            ("central_meridian_1_deg", central_meridian_1_deg),
            ("central_meridian_2_deg", central_meridian_2_deg),
            ("central_meridian_3_deg", central_meridian_3_deg),
            ("sub_earth_latitude_deg", sub_earth_latitude_deg),
            ("pole_position_angle_deg", pole_position_angle_deg),
        ],
        Face::Saturn {
            ring_opening_earth_deg,
            ring_opening_sun_deg,
            ring_position_angle_deg,
            ..
        } => vec![
            ("sub_earth_latitude_deg", ring_opening_earth_deg),
            ("sub_sun_latitude_deg", ring_opening_sun_deg),
            ("pole_position_angle_deg", ring_position_angle_deg),
        ],
        _ => panic!("Mars, Jupiter or Saturn"),
    }
}

fn faces() -> Vec<(NamedRow, Face)> {
    rows(FACES)
        .into_iter()
        .map(|row| {
            let utc = utc_from_tt(row.number("tdb_days_j2000")).expect("in range");
            let scene = Scene::new(geocentre(), utc).expect("in range");
            let seen = scene.appearance(row.body()).expect("in range");
            (row, seen.face)
        })
        .collect()
}

#[test]
fn planets_face_us_as_spice_says() {
    let mut meridians = Errors::of("central meridians of Mars and Jupiter", "deg");
    let mut latitudes = Errors::of("latitudes below Earth and Sun, ring openings", "deg");
    let mut position_angles = Errors::of("position angles of poles", "deg");
    let mut seasons = Errors::of("Mars, Ls", "deg");
    for (row, face) in faces() {
        for (column, got_deg) in named_angles(&face) {
            let error_deg = turn_deg(got_deg, row.number(column));
            let errors = match column {
                "pole_position_angle_deg" => &mut position_angles,
                "solar_longitude_deg" => &mut seasons,
                _ if column.contains("latitude") => &mut latitudes,
                _ => &mut meridians,
            };
            let at = format!("{} {}", row.text("body"), row.text("tdb_days_j2000"));
            errors.push(error_deg, at);
        }
    }
    meridians.check(SAME_CONSTANTS_DEG, SAME_CONSTANTS_DEG);
    latitudes.check(SAME_CONSTANTS_DEG, SAME_CONSTANTS_DEG);
    position_angles.check(POSITION_ANGLE_DEG, POSITION_ANGLE_DEG);
    // SPICE too takes the plane of Mars' orbit from its position and velocity of the moment.
    seasons.check(SAME_CONSTANTS_DEG, SAME_CONSTANTS_DEG);
}

#[test]
fn saturns_ring_is_as_large_as_spice_says() {
    // The ring's minor axis over the opening: half the last digit, and B itself.
    let mut axes = Errors::of("Saturn, ring axes", "arcsec");
    for (row, face) in faces() {
        if let Face::Saturn {
            ring_major_arcsec,
            ring_minor_arcsec,
            ..
        } = face
        {
            let at = row.text("tdb_days_j2000");
            axes.push(ring_major_arcsec - row.number("ring_major_arcsec"), at);
            axes.push(ring_minor_arcsec - row.number("ring_minor_arcsec"), at);
        }
    }
    axes.check(1.5e-4, 1.5e-4);
}
