//! Where everything stands at an instant.

use chrono::SecondsFormat;
use chrono_tz::Tz;
use serde_json::json;

use crate::plan::sky_now::SkyNow;
use crate::show::page::{Block, Page, Table};
use crate::show::words::JOINED;
use crate::show::{json, words};
use crate::sky::moons::view::SatelliteView;
use crate::sky::{Appearance, Body, Face};

/// The sky at an instant, local times in `zone`.
pub fn page(sky: &SkyNow, place_name: &str, zone: Tz) -> Page {
    let local = words::local_minute(sky.at, zone);
    let title = format!(
        "{place_name}, {} ({}), {} UTC",
        local.format("%A %-d %B %Y, %H:%M"),
        words::utc_offset(sky.at, zone),
        sky.at.format("%H:%M:%S")
    );
    let heading = [
        "body",
        "altitude",
        "azimuth",
        "magnitude",
        "size",
        "lit",
        "from the Sun",
    ];
    let bodies = Table::new(heading, sky.bodies.iter().map(row).collect());
    let moons = [Body::Jupiter, Body::Saturn].map(|planet| moons_words(planet, &sky.satellites));
    Page::new(title)
        .with([Block::Space, bodies.into(), Block::Space])
        .with(sky.bodies.iter().filter_map(face_words).map(Block::say))
        .with([Block::Space])
        .with(moons.map(Block::say))
}

fn row(seen: &Appearance) -> [String; 7] {
    let altitude = if seen.place.refracted_altitude_deg < 0.0 {
        String::from("below")
    } else {
        format!("{:.0}°", seen.place.refracted_altitude_deg)
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
            format!("{:.0}°", seen.place.elongation_deg),
        ),
    };
    [
        seen.body.name().to_string(),
        altitude,
        format!(
            "{:.0}° {}",
            seen.place.azimuth_deg,
            words::wind(seen.place.azimuth_deg)
        ),
        format!("{:.1}", seen.magnitude),
        size,
        lit,
        from_sun,
    ]
}

/// The same for machines.
pub fn json(sky: &SkyNow) -> String {
    json::document(json!({
        "at_utc": sky.at.to_rfc3339_opts(SecondsFormat::AutoSi, true),
        "bodies": sky.bodies,
        "satellites": sky.satellites,
    }))
}

/// What the disc shows, in a line.
fn face_words(seen: &Appearance) -> Option<String> {
    let name = seen.body.name();
    match seen.face {
        Face::Moon {
            colongitude_deg,
            libration_longitude_deg,
            libration_latitude_deg,
            ..
        } => Some(format!(
            "{name}: Sun's colongitude {colongitude_deg:.1}°, libration {libration_longitude_deg:+.1}° \
             in longitude, {libration_latitude_deg:+.1}° in latitude"
        )),
        Face::Mars {
            central_meridian_deg,
            solar_longitude_deg,
            ..
        } => Some(format!(
            "{name}: central meridian {central_meridian_deg:.0}°, season {solar_longitude_deg:.0}° \
             (0° northern spring)"
        )),
        Face::Jupiter {
            central_meridian_1_deg,
            central_meridian_2_deg,
            ..
        } => Some(format!(
            "{name}: central meridian {central_meridian_1_deg:.0}° in System I, \
             {central_meridian_2_deg:.0}° in System II"
        )),
        Face::Saturn {
            ring_opening_earth_deg,
            ring_major_arcsec,
            ring_minor_arcsec,
            ..
        } => Some(format!(
            "{name}: ring {ring_opening_earth_deg:+.1}° open, {ring_major_arcsec:.0}\" by \
             {ring_minor_arcsec:.0}\""
        )),
        Face::Plain | Face::Inner { .. } => None,
    }
}

/// Where a planet's moons stand, in a sentence to be broken between moons.
fn moons_words(planet: Body, moons: &[SatelliteView]) -> String {
    let places: Vec<String> = (moons.iter().filter(|moon| moon.of == planet))
        .map(|moon| format!("{} {}", moon.name.name(), moon_place(moon)))
        .map(|place| place.replace(' ', &JOINED.to_string()))
        .collect();
    format!(
        "{}'s moons, in its radii from its centre: {}",
        planet.name(),
        places.join("; ")
    )
}

/// One moon's place: `2.1 west`, `18.3 west 2.0 north`, `behind the disc`.
fn moon_place(moon: &SatelliteView) -> String {
    let (x, y) = (moon.x_west_radii, moon.y_north_radii);
    let mut place = match (moon.before_disc, moon.behind_disc, moon.in_shadow) {
        (true, ..) => String::from("before the disc"),
        (_, true, _) => String::from("behind the disc"),
        (.., true) => String::from("in the shadow"),
        _ => format!("{:.1} {}", x.abs(), if x > 0.0 { "west" } else { "east" }),
    };
    // Near the equator's line nobody asks how near.
    let beside = !(moon.before_disc || moon.behind_disc || moon.in_shadow);
    if beside && y.abs() >= 1.0 {
        let side = if y > 0.0 { "north" } else { "south" };
        place += &format!(" {:.1} {side}", y.abs());
    }
    if moon.casts_shadow {
        place += ", its shadow on the disc";
    }
    place
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::moons::Satellite;

    /// Ganymede, clear of everything.
    const CLEAR: SatelliteView = SatelliteView {
        name: Satellite::Ganymede,
        of: Body::Jupiter,
        east_arcsec: 0.0,
        north_arcsec: 0.0,
        x_west_radii: -12.84,
        y_north_radii: 0.6,
        nearer_than_planet: true,
        magnitude: 4.6,
        before_disc: false,
        behind_disc: false,
        in_shadow: false,
        casts_shadow: false,
    };

    #[track_caller]
    fn check(moon: SatelliteView, want: &str) {
        assert_eq!(moon_place(&moon), want);
    }

    #[test]
    fn a_moon_stands_somewhere_in_few_words() {
        check(CLEAR, "12.8 east");
        check(
            SatelliteView {
                y_north_radii: -1.26,
                x_west_radii: 2.0,
                ..CLEAR
            },
            "2.0 west 1.3 south",
        );
        check(
            SatelliteView {
                before_disc: true,
                casts_shadow: true,
                ..CLEAR
            },
            "before the disc, its shadow on the disc",
        );
        check(
            SatelliteView {
                behind_disc: true,
                in_shadow: true,
                ..CLEAR
            },
            "behind the disc",
        );
        check(
            SatelliteView {
                in_shadow: true,
                ..CLEAR
            },
            "in the shadow",
        );
    }
}
