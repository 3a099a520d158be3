//! How bright the sky is in a direction: night, moonlight, twilight.
//!
//! Sources: Krisciunas & Schaefer 1991 (moonlight, and how the dark sky brightens downward); Patat
//! 2006 (twilight at the zenith, 5 to 15 degrees of depression). Clear air; thin cloud doubles
//! moonlight.

use crate::sky::air::{CLEAR_NIGHT_HAZE_MAG, extinction_mag_per_airmass};

/// All that lights the sky at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glow {
    /// The moonless zenith of the place at night.
    pub dark_zenith_mag_arcsec2: f64,
    /// V magnitudes lost per airmass.
    pub extinction_mag: f64,
    /// Altitude of the Sun's centre, negative at night.
    pub sun_altitude_deg: f64,
    /// The Moon, if it is to count.
    pub moon: Option<Moonlight>,
}

/// The Moon, seen from where one looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moonlight {
    /// Sun-Moon-observer, 0 full, 180 new; arccos(2 · illuminated fraction - 1).
    pub phase_angle_deg: f64,
    /// Of its centre; below the horizon it counts as dark.
    pub altitude_deg: f64,
    /// Between it and the direction one looks.
    pub separation_deg: f64,
    /// Share of its light that the Earth's shadow leaves; 1 but in an eclipse.
    pub left: f64,
}

impl Glow {
    /// A moonless night far from twilight, at that height in clear air.
    pub fn dark(dark_zenith_mag_arcsec2: f64, elevation_m: f64) -> Glow {
        Glow {
            dark_zenith_mag_arcsec2,
            extinction_mag: extinction_mag_per_airmass(elevation_m, CLEAR_NIGHT_HAZE_MAG),
            sun_altitude_deg: -90.0,
            moon: None,
        }
    }
}

/// Brightness of the sky at that altitude, V mag/arcsec²: night, moonlight and twilight added as
/// light.
///
/// Moonlight within 8 to 23 % of its authors' measurements (one network of observers found it 0.6
/// mag too faint near the quarters). Twilight is taken as equally bright everywhere; toward the
/// Sun it is up to 2 mag brighter, low sites 0.3 mag. City glow is not directional here.
pub fn sky_brightness_mag_arcsec2(glow: &Glow, altitude_deg: f64) -> f64 {
    let night = dark_sky_nl(
        glow.dark_zenith_mag_arcsec2,
        glow.extinction_mag,
        altitude_deg,
    );
    let moon = glow.moon.map_or(0.0, |moon| {
        moonlight_nl(&moon, glow.extinction_mag, altitude_deg)
    });
    let twilight = nl_of_mag_arcsec2(twilight_mag_arcsec2(glow.sun_altitude_deg));
    mag_arcsec2_of_nl(night + moon + twilight)
}

/// The dark sky away from the zenith, nanolamberts: more glowing air, then more absorbing air.
/// Krisciunas & Schaefer 1991, equation 2.
pub fn dark_sky_nl(zenith_mag_arcsec2: f64, extinction_mag: f64, altitude_deg: f64) -> f64 {
    let x = glow_airmass(altitude_deg);
    nl_of_mag_arcsec2(zenith_mag_arcsec2) * 10f64.powf(-0.4 * extinction_mag * (x - 1.0)) * x
}

/// Moonlight scattered into the line of sight, nanolamberts; 0 with the Moon down.
///
/// Krisciunas & Schaefer 1991, equations 15 and 20 to 21, and their r^-2 law within 10 degrees.
/// Closer than a quarter of a degree one looks at the Moon itself: held there.
pub fn moonlight_nl(moon: &Moonlight, extinction_mag: f64, altitude_deg: f64) -> f64 {
    if moon.altitude_deg <= 0.0 {
        return 0.0;
    }
    let phase = moon.phase_angle_deg.abs();
    let outside = 10f64.powf(-0.4 * (3.84 + 0.026 * phase + 4e-9 * phase.powi(4)));
    let arriving = 10f64.powf(-0.4 * extinction_mag * glow_airmass(moon.altitude_deg));
    let path = 1.0 - 10f64.powf(-0.4 * extinction_mag * glow_airmass(altitude_deg));
    scattering(moon.separation_deg.max(0.25)) * moon.left * outside * arriving * path
}

/// How strongly air and haze scatter by that angle.
fn scattering(angle_deg: f64) -> f64 {
    let molecules = 10f64.powf(5.36) * (1.06 + angle_deg.to_radians().cos().powi(2));
    let haze = if angle_deg < 10.0 {
        6.2e7 / angle_deg.powi(2)
    } else {
        10f64.powf(6.15 - angle_deg / 40.0)
    };
    molecules + haze
}

/// Path through the glowing layer, 1 overhead and 5 at the horizon. Krisciunas & Schaefer 1991,
/// equation 3.
fn glow_airmass(altitude_deg: f64) -> f64 {
    let sin_zenith = altitude_deg.clamp(0.0, 90.0).to_radians().cos();
    (1.0 - 0.96 * sin_zenith * sin_zenith).powf(-0.5)
}

/// Light of twilight alone at the zenith, V mag/arcsec², by the Sun's altitude.
///
/// From 5 to 15 degrees down: Patat 2006 less the night sky in his data. Deeper: his slope at 15
/// degrees continued, soon nothing. Shallower: a parabola to about 7 at sunset (from memory), then
/// evenly to the clear day's 3.5. Never brighter with a lower Sun.
pub fn twilight_mag_arcsec2(sun_altitude_deg: f64) -> f64 {
    match -sun_altitude_deg {
        up if up < 0.0 => (SUNSET_MAG + SUNSET_SLOPE * up).max(DAY_MAG),
        early if early < 5.0 => SUNSET_MAG + SUNSET_SLOPE * early + SUNSET_CURVE * early.powi(2),
        down if down <= 15.0 => without_night(patat_mag(down), PATAT_NIGHT_MAG),
        deep => {
            let last = without_night(patat_mag(15.0), PATAT_NIGHT_MAG);
            last + DEEP_SLOPE * (deep - 15.0)
        }
    }
}

/// Surface brightness of the zenith by the Sun's depression, degrees; night sky included.
fn patat_mag(depression_deg: f64) -> f64 {
    let x = depression_deg - 5.0;
    11.84 + 1.518 * x - 0.057 * x * x
}

/// V of the night sky where Patat measured (Cerro Paranal; his 2003 survey, from memory).
const PATAT_NIGHT_MAG: f64 = 21.6;

/// Slope of twilight without the night sky at 15 degrees, mag per degree: Patat's there,
/// 1.518 - 2 · 0.057 · 10, over the share of twilight in his sky, 1 - 10^(-0.4 · (21.6 - 21.32)).
const DEEP_SLOPE: f64 = 0.378 / 0.2273;

/// Zenith at sunset, V mag/arcsec², about 170 cd/m². From memory.
const SUNSET_MAG: f64 = 7.0;

/// Parabola from sunset that meets Patat's value and slope at 5 degrees.
const SUNSET_CURVE: f64 = (1.518 - (11.84 - SUNSET_MAG) / 5.0) / 5.0;
const SUNSET_SLOPE: f64 = 1.518 - 10.0 * SUNSET_CURVE;

/// Zenith of a clear day, V mag/arcsec², about 4000 cd/m². From memory.
const DAY_MAG: f64 = 3.5;

/// What is left of a surface brightness when a fainter one is taken off.
fn without_night(total_mag: f64, night_mag: f64) -> f64 {
    total_mag - 2.5 * (1.0 - 10f64.powf(-0.4 * (night_mag - total_mag))).log10()
}

/// Nanolamberts of a surface brightness. Garstang's conversion, as Krisciunas & Schaefer use it.
pub fn nl_of_mag_arcsec2(mag_arcsec2: f64) -> f64 {
    34.08 * (20.7233 - 0.92104 * mag_arcsec2).exp()
}

/// Surface brightness of that many nanolamberts.
pub fn mag_arcsec2_of_nl(nl: f64) -> f64 {
    (20.7233 - (nl / 34.08).ln()) / 0.92104
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    /// Extinction and dark zenith of the paper's site, Mauna Kea.
    const MAUNA_KEA_MAG: f64 = 0.172;
    const MAUNA_KEA_DARK_NL: f64 = 79.0;

    #[track_caller]
    fn check_moon(geometry: [f64; 4], want_nl: f64, want_sky: f64, want_change: f64) {
        let [phase_angle_deg, separation_deg, moon_zenith_deg, zenith_deg] = geometry;
        let moon = Moonlight {
            phase_angle_deg,
            altitude_deg: 90.0 - moon_zenith_deg,
            separation_deg,
            left: 1.0,
        };
        let zenith_mag = mag_arcsec2_of_nl(MAUNA_KEA_DARK_NL);
        let glow = Glow {
            dark_zenith_mag_arcsec2: zenith_mag,
            extinction_mag: MAUNA_KEA_MAG,
            sun_altitude_deg: -90.0,
            moon: Some(moon),
        };
        let altitude_deg = 90.0 - zenith_deg;
        let sky = sky_brightness_mag_arcsec2(&glow, altitude_deg);
        let dark = sky_brightness_mag_arcsec2(&Glow { moon: None, ..glow }, altitude_deg);
        close(
            "nL",
            moonlight_nl(&moon, MAUNA_KEA_MAG, altitude_deg),
            want_nl,
            0.05,
        );
        close("sky", sky, want_sky, 0.0051);
        close("change", sky - dark, want_change, 0.0051);
    }

    #[test]
    fn moonlight_as_krisciunas_and_schaefer() {
        // Their equations evaluated independently: phase, separation, zenith distances.
        check_moon([0.0, 60.0, 30.0, 30.0], 1390.4, 18.41, -3.06);
        check_moon([90.0, 60.0, 30.0, 30.0], 126.5, 20.50, -0.96);
        check_moon([45.0, 90.0, 45.0, 45.0], 387.5, 19.60, -1.69);
        check_moon([0.0, 30.0, 60.0, 60.0], 3716.9, 17.37, -3.68);
    }

    #[test]
    fn full_moon_sky_as_measured() {
        // The paper: full Moon at the zenith, 45 degrees from it, V = 18.0 ± 0.7 measured.
        let moon = Moonlight {
            phase_angle_deg: 0.0,
            altitude_deg: 90.0,
            separation_deg: 45.0,
            left: 1.0,
        };
        let glow = Glow {
            dark_zenith_mag_arcsec2: mag_arcsec2_of_nl(MAUNA_KEA_DARK_NL),
            extinction_mag: MAUNA_KEA_MAG,
            sun_altitude_deg: -90.0,
            moon: Some(moon),
        };
        close(
            "full Moon",
            sky_brightness_mag_arcsec2(&glow, 45.0),
            18.0,
            0.7,
        );
    }

    #[test]
    fn twilight_as_patat() {
        let rows = [
            (5.0, 11.84),
            (6.0, 13.30),
            (8.0, 15.88),
            (10.0, 18.00),
            (12.0, 19.67),
            (15.0, 21.32),
        ]; // his parabola for V
        for (down, want) in rows {
            let glow = Glow {
                sun_altitude_deg: -down,
                ..Glow::dark(PATAT_NIGHT_MAG, 2635.0)
            };
            close(
                "twilight",
                sky_brightness_mag_arcsec2(&glow, 90.0),
                want,
                0.0051,
            );
        }
        close("sunset", twilight_mag_arcsec2(0.0), 7.0, 1e-9); // from memory
        close(
            "deep slope",
            DEEP_SLOPE,
            0.378 / (1.0 - 10f64.powf(-0.4 * 0.28)),
            1e-3,
        );
    }

    #[test]
    fn twilight_only_fades() {
        let mut last = f64::NEG_INFINITY;
        for tenths in -900..=900 {
            let now = twilight_mag_arcsec2(-f64::from(tenths) / 10.0);
            assert!(
                now >= last,
                "at {tenths} tenths of a degree down: {last} then {now}"
            );
            assert!(
                tenths == -900 || now - last < 0.3,
                "a jump at {tenths}: {last} then {now}"
            );
            last = now;
        }
        // By the astronomers' definition the night is dark at 18 degrees.
        let dark = Glow::dark(21.7, 0.0);
        let dusk = Glow {
            sun_altitude_deg: -18.0,
            ..dark
        };
        let zenith = |glow: &Glow| sky_brightness_mag_arcsec2(glow, 90.0);
        close("18 degrees", zenith(&dusk), zenith(&dark), 0.01);
    }

    #[test]
    fn a_moon_below_the_horizon_is_dark() {
        let moon = Moonlight {
            phase_angle_deg: 0.0,
            altitude_deg: -1.0,
            separation_deg: 60.0,
            left: 1.0,
        };
        assert_eq!(moonlight_nl(&moon, 0.25, 45.0), 0.0);
    }
}
