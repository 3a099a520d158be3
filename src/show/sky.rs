//! Where everything stands at an instant.

use chrono::SecondsFormat;
use chrono_tz::Tz;
use serde::Serialize;

use crate::plan::sky_now::SkyNow;
use crate::show::json;
use crate::show::table::table;
use crate::show::words;
use crate::sky::Appearance;
use crate::sky::Body;
use crate::sky::Face;

/// The sky at an instant, local times in `zone`.
pub fn text(sky: &SkyNow, place_name: &str, zone: Tz) -> String {
    let local = sky.at.with_timezone(&zone);
    let rows: Vec<[String; 7]> = sky.bodies.iter().map(row).collect();
    let faces: String = sky.bodies.iter().filter_map(face_line).collect();
    format!(
        "{place_name}, {} ({}), {} UTC\n\n{}\n{faces}",
        local.format("%A %-d %B %Y, %H:%M"),
        words::utc_offset(sky.at, zone),
        sky.at.format("%H:%M:%S"),
        table(
            [
                "body",
                "altitude",
                "azimuth",
                "magnitude",
                "size",
                "lit",
                "from the Sun"
            ],
            &rows,
            0
        ),
    )
}

fn row(seen: &Appearance) -> [String; 7] {
    let altitude = if seen.refracted_altitude_deg < 0.0 {
        String::from("below")
    } else {
        format!("{:.0}°", seen.refracted_altitude_deg)
    };
    let size = if seen.diameter_arcsec > 100.0 {
        format!("{:.1}'", seen.diameter_arcsec / 60.0)
    } else {
        format!("{:.1}\"", seen.diameter_arcsec)
    };
    let (lit, from_sun) = match seen.body {
        Body::Sun => (String::new(), String::new()),
        _ => (
            format!("{:.0} %", 100.0 * seen.illuminated_fraction),
            format!("{:.0}°", seen.elongation_deg),
        ),
    };
    [
        seen.body.name().to_string(),
        altitude,
        format!("{:.0}° {}", seen.azimuth_deg, words::wind(seen.azimuth_deg)),
        format!("{:.1}", seen.magnitude),
        size,
        lit,
        from_sun,
    ]
}

#[derive(Serialize)]
struct SkyJson<'a> {
    at_utc: String,
    bodies: &'a [Appearance],
    /// Moons of Jupiter and Saturn: none computed yet.
    satellites: [(); 0],
}

/// The same for machines.
pub fn json(sky: &SkyNow) -> String {
    json::document(&SkyJson {
        at_utc: sky.at.to_rfc3339_opts(SecondsFormat::AutoSi, true),
        bodies: &sky.bodies,
        satellites: [],
    })
}

/// What the disc shows, in a line.
fn face_line(seen: &Appearance) -> Option<String> {
    let name = seen.body.name();
    match seen.face {
        Face::Moon {
            colongitude_deg,
            libration_longitude_deg,
            libration_latitude_deg,
            ..
        } => Some(format!(
            "{name}: Sun's colongitude {colongitude_deg:.1}°, libration {libration_longitude_deg:+.1}° \
             in longitude, {libration_latitude_deg:+.1}° in latitude\n"
        )),
        Face::Mars {
            central_meridian_deg,
            solar_longitude_deg,
            ..
        } => Some(format!(
            "{name}: central meridian {central_meridian_deg:.0}°, season {solar_longitude_deg:.0}° \
             (0° northern spring)\n"
        )),
        Face::Jupiter {
            central_meridian_1_deg,
            central_meridian_2_deg,
            ..
        } => Some(format!(
            "{name}: central meridian {central_meridian_1_deg:.0}° in System I, \
             {central_meridian_2_deg:.0}° in System II\n"
        )),
        Face::Saturn {
            ring_opening_earth_deg,
            ring_major_arcsec,
            ring_minor_arcsec,
            ..
        } => Some(format!(
            "{name}: ring {ring_opening_earth_deg:+.1}° open, {ring_major_arcsec:.0}\" by \
             {ring_minor_arcsec:.0}\"\n"
        )),
        Face::Plain | Face::Inner { .. } => None,
    }
}
