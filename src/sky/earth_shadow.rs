//! The Earth's shadow where the Moon meets it: how much sunlight is left to each part of the Moon.
//!
//! Size by Danjon's rule (the Earth's radius larger by 1/85 for its air, smaller by 1/594 for its figure at latitude 45
//! degrees: together 1.01), as in Espenak & Meeus 2009, Five Millennium Canon of Lunar Eclipses (NASA TP-2009-214172). The
//! older rule of Chauvenet (both shadows larger by 1/50) makes the penumbra's radius 48" larger and the umbra's 9".

use std::f64::consts::PI;

use crate::constants::AU_KM;
use crate::sky::Body;
use crate::sky::apparent::geocentric_sighting;
use crate::sky::earth::equator;
use crate::sky::vector::{angle_rad, length, position_angle_deg, rotated, scaled};
use crate::units::rad_from_arcsec;

/// Danjon's enlargement: 1 + 1/85 - 1/594, rounded as the canon has it.
const DANJON: f64 = 1.01;

/// The Earth's equatorial radius, km (WGS 84), whose angle is the horizontal parallax.
const EARTH_RADIUS_KM: f64 = 6_378.137;

/// The Moon's radius in Earth radii, IAU 1982, as in the canon.
const MOON_RADIUS_EARTHS: f64 = 0.272_507_6;

/// The Sun's semidiameter at 1 au, arcseconds (Auwers 1891), as in the canon.
const SUN_SEMIDIAMETER_ARCSEC: f64 = 959.63;

/// The shadow's cross-section at the Moon's distance, as the Earth's centre sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EarthShadow {
    /// Between the Moon's centre and the shadow's axis, radians.
    pub from_axis_rad: f64,
    /// Where the axis lies as seen from the Moon's centre: from true north of date through east, degrees.
    pub axis_position_angle_deg: f64,
    /// Of the Moon, radians.
    pub moon_radius_rad: f64,
    /// Of the shadow in which all of the Sun is covered, radians.
    pub umbra_radius_rad: f64,
    /// Of the shadow in which a part of it is, radians.
    pub penumbra_radius_rad: f64,
}

/// Light left at the umbra's edge and in its middle, powers of ten of full sunlight, with an even fall between. From
/// memory, for Danjon's 2 to 3; nature scatters tenfold either way after eruptions.
const LOG_LIGHT_AT_EDGE: f64 = -3.0;
const LOG_LIGHT_IN_THE_MIDDLE: f64 = -4.7;

/// Rings over which the disc's light is summed.
const N_RINGS: usize = 96;

impl EarthShadow {
    /// At an instant, days of TT since J2000.0; `None` outside the ephemeris.
    pub fn at(tt_days: f64) -> Option<EarthShadow> {
        let apparent_au = |body: Body| {
            let sighting = geocentric_sighting(body.target(), tt_days)?;
            Some(sighting.apparent_au)
        };
        let (moon_au, sun_au) = (apparent_au(Body::Moon)?, apparent_au(Body::Sun)?);
        let parallax = |distance_au: f64| (EARTH_RADIUS_KM / AU_KM / distance_au).asin();
        let moon_parallax = parallax(length(moon_au));
        let sun_parallax = parallax(length(sun_au));
        let sun_radius = (rad_from_arcsec(SUN_SEMIDIAMETER_ARCSEC).sin() / length(sun_au)).asin();
        let axis_au = scaled(sun_au, -1.0);
        let equator = equator(tt_days).true_of_date;
        Some(EarthShadow {
            from_axis_rad: angle_rad(moon_au, axis_au),
            axis_position_angle_deg: position_angle_deg(
                rotated(&equator, moon_au),
                rotated(&equator, axis_au),
            ),
            moon_radius_rad: (MOON_RADIUS_EARTHS * moon_parallax.sin()).asin(),
            umbra_radius_rad: DANJON * moon_parallax + sun_parallax - sun_radius,
            penumbra_radius_rad: DANJON * moon_parallax + sun_parallax + sun_radius,
        })
    }

    /// The same, where it touches the Moon.
    pub fn on_the_moon(tt_days: f64) -> Option<EarthShadow> {
        EarthShadow::at(tt_days).filter(|shadow| {
            shadow.from_axis_rad < shadow.penumbra_radius_rad + shadow.moon_radius_rad
        })
    }

    /// Part of the Moon's diameter inside a shadow of that radius; negative outside.
    pub fn magnitude(&self, shadow_radius_rad: f64) -> f64 {
        (shadow_radius_rad + self.moon_radius_rad - self.from_axis_rad)
            / (2.0 * self.moon_radius_rad)
    }

    /// Part of its diameter in the umbra.
    pub fn umbral_magnitude(&self) -> f64 {
        self.magnitude(self.umbra_radius_rad)
    }

    /// Sunlight left on a place of the Moon's disc, 0 to 1; its place in Moon's radii from the middle, east and north on the
    /// sky.
    pub fn light_on(&self, east_radii: f64, north_radii: f64) -> f64 {
        let (sin, cos) = self.axis_position_angle_deg.to_radians().sin_cos();
        let axis_radii = self.from_axis_rad / self.moon_radius_rad;
        let (east, north) = (
            axis_radii * sin - east_radii,
            axis_radii * cos - north_radii,
        );
        self.light_at(east.hypot(north) * self.moon_radius_rad)
    }

    /// Sunlight left on the whole disc, 0 to 1, as an even disc has it.
    pub fn light_left(&self) -> f64 {
        let axis_radii = self.from_axis_rad / self.moon_radius_rad;
        // Arcs about the axis are equally lit: the disc in rings about it.
        let (near, far) = ((axis_radii - 1.0).max(0.0), axis_radii + 1.0);
        let step = (far - near) / N_RINGS as f64;
        let inside = |from_axis: f64| half_arc_rad(from_axis, axis_radii) * 2.0 * from_axis * step;
        let mut lit = 0.0;
        let mut all = 0.0;
        for ring in 0..N_RINGS {
            let from_axis = near + (ring as f64 + 0.5) * step;
            let area = inside(from_axis);
            all += area;
            lit += area * self.light_at(from_axis * self.moon_radius_rad);
        }
        lit / all
    }

    /// At that distance from the axis.
    fn light_at(&self, from_axis_rad: f64) -> f64 {
        let within = from_axis_rad / self.umbra_radius_rad;
        let bent = 10f64.powf(
            LOG_LIGHT_IN_THE_MIDDLE
                + (LOG_LIGHT_AT_EDGE - LOG_LIGHT_IN_THE_MIDDLE) * within.min(1.0),
        );
        let across = (from_axis_rad - self.umbra_radius_rad)
            / (self.penumbra_radius_rad - self.umbra_radius_rad);
        (bent + sun_uncovered(across)).min(1.0)
    }
}

/// Share of the Sun's disc that a straight edge leaves free, the edge a part `across` of its diameter over it.
fn sun_uncovered(across: f64) -> f64 {
    let cosine = (1.0 - 2.0 * across).clamp(-1.0, 1.0);
    (cosine.acos() - cosine * (1.0 - cosine * cosine).sqrt()) / PI
}

/// Half of the arc about a point that lies on a disc of radius 1 whose middle is so far from the point.
fn half_arc_rad(radius: f64, to_middle: f64) -> f64 {
    if radius + to_middle <= 1.0 {
        return PI;
    }
    let cosine = (radius * radius + to_middle * to_middle - 1.0) / (2.0 * radius * to_middle);
    cosine.clamp(-1.0, 1.0).acos()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shadow(from_axis_radii: f64) -> EarthShadow {
        EarthShadow {
            from_axis_rad: from_axis_radii * 0.0045,
            axis_position_angle_deg: 90.0,
            moon_radius_rad: 0.0045,
            umbra_radius_rad: 2.7 * 0.0045,
            penumbra_radius_rad: 4.75 * 0.0045,
        }
    }

    /// Summed over the disc in squares instead of rings.
    #[test]
    fn light_of_the_whole_disc() {
        for from_axis_radii in [0.0, 0.4, 1.2, 1.9, 2.7, 3.3, 4.0, 5.0, 6.0] {
            let shadow = shadow(from_axis_radii);
            let (mut sum, mut n) = (0.0, 0.0);
            for k in -200..=200 {
                for j in -200..=200 {
                    let (east, north) = (f64::from(k) / 200.0, f64::from(j) / 200.0);
                    if east.hypot(north) < 1.0 {
                        sum += shadow.light_on(east, north);
                        n += 1.0;
                    }
                }
            }
            let (want, got) = (sum / n, shadow.light_left());
            assert!(
                (got / want - 1.0).abs() < 0.03,
                "{from_axis_radii}: {got}, {want}"
            );
        }
    }

    /// The published description of penumbral eclipses (Espenak & Meeus 2009): nine tenths of the way into the penumbra
    /// a tenth of the sunlight or less is left; an umbra beside it looks black, some five hundred times darker.
    #[test]
    fn penumbra_and_umbra() {
        let shadow = shadow(0.0);
        let near_the_umbra = shadow.light_at((2.7 + 0.1 * 2.05) * 0.0045);
        assert!((0.03..0.11).contains(&near_the_umbra), "{near_the_umbra}");
        let half_way = shadow.light_at((2.7 + 0.5 * 2.05) * 0.0045);
        assert!((half_way - 0.5).abs() < 0.002, "{half_way}");
        let in_the_umbra = shadow.light_at(2.3 * 0.0045);
        let ratio = half_way / in_the_umbra;
        assert!((100.0..3000.0).contains(&ratio), "{ratio}");
        assert_eq!(shadow.light_at(4.76 * 0.0045), 1.0);
    }
}
