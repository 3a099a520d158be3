//! How the Sun lights Saturn's ring as we see it: both faces, and the globe's shadow across it.

use chrono::Datelike;
use serde::Serialize;

use crate::constants::LIGHT_TIME_AU_DAYS;
use crate::sky::Body;
use crate::sky::apparent::geocentric_sighting;
use crate::sky::rotation::rotation;
use crate::sky::time::utc_from_tt;
use crate::sky::vector::scaled;
use crate::units::wrap_180_deg;

/// Where Sun and Earth stand over the plane of Saturn's ring.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RingLight {
    /// Height of the Earth over the plane, north positive.
    pub opening_earth_deg: f64,
    /// Height of the Sun over the plane, north positive.
    pub opening_sun_deg: f64,
    /// Longitude of the Sun less that of the Earth, along the plane in the sense of Saturn's turning: negative
    /// before opposition, positive after it, at most 6.4 either way.
    pub sun_ahead_deg: f64,
}

/// As seen from the Earth's centre. `None` outside the ephemeris, 1950-2100.
pub fn ring_light(tt_days: f64) -> Option<RingLight> {
    let seen = geocentric_sighting(Body::Saturn.target(), tt_days)?;
    let saturn = rotation(
        Body::Saturn,
        tt_days - seen.distance_au * LIGHT_TIME_AU_DAYS,
    );
    let below = |from_saturn| saturn.longitude_latitude_deg(from_saturn);
    let (earth_deg, opening_earth_deg) = below(scaled(seen.astrometric_au, -1.0));
    let (sun_deg, opening_sun_deg) = below(scaled(seen.heliocentric_au, -1.0));
    Some(RingLight {
        opening_earth_deg,
        opening_sun_deg,
        sun_ahead_deg: wrap_180_deg(sun_deg - earth_deg),
    })
}

/// A side of the globe, on the sky.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Side {
    /// Celestial east: following.
    East,
    /// Celestial west: preceding.
    West,
}

/// The globe's shadow on the ring, where it sticks out from behind the globe.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GlobeShadow {
    /// Beside the globe; west before opposition, east after it.
    pub side: Side,
    /// Length of the bite along the ring at that radius, degrees of ring longitude.
    pub arc_deg: f64,
    /// Width seen from west to east, in equatorial radii of the globe.
    pub width_radii: f64,
}

impl RingLight {
    /// Whether the face turned to us is the lit one: unlit, the ring all but vanishes.
    pub fn lit_face_is_ours(&self) -> bool {
        self.opening_earth_deg * self.opening_sun_deg > 0.0
    }

    /// The shadow of the globe across the ring at that radius, in equatorial radii of the globe (inner edge
    /// of ring B 1.53, outer edge of ring A 2.27).
    ///
    /// `None` where none is seen: right at opposition the globe hides it, with the ring wide open it does not
    /// reach that far, the unlit face has none, and inside the globe there is no ring. Geometry of a cylinder
    /// behind an ellipsoid: the Sun's disc (0.06 degrees) is a point. With the Sun lower over the ring than we
    /// are, a thinner sliver may stick out on the other side as well: it is not told.
    pub fn globe_shadow(&self, ring_radius_radii: f64) -> Option<GlobeShadow> {
        if !self.lit_face_is_ours() || ring_radius_radii <= 1.0 {
            return None;
        }
        // Longitudes from that of the Earth; 180 is right behind the globe.
        let shadow_deg = half_behind_globe_deg(self.opening_sun_deg, ring_radius_radii)?;
        let hidden_deg =
            half_behind_globe_deg(self.opening_earth_deg, ring_radius_radii).unwrap_or(0.0);
        let (side, ahead_deg) = if self.sun_ahead_deg > 0.0 {
            (Side::East, self.sun_ahead_deg)
        } else {
            (Side::West, -self.sun_ahead_deg)
        };
        let outer_deg = ahead_deg + shadow_deg;
        let inner_deg = hidden_deg.max(ahead_deg - shadow_deg);
        let across = |deg: f64| ring_radius_radii * deg.to_radians().sin();
        (outer_deg > inner_deg).then(|| GlobeShadow {
            side,
            arc_deg: outer_deg - inner_deg,
            width_radii: (across(outer_deg) - across(inner_deg)).abs(),
        })
    }
}

/// The calendar year in which the ring next opens that far toward us, either face, lit; `None` where that is
/// not within sixteen years, more than half of its swing, or leaves the ephemeris.
pub fn year_ring_opens_to(opening_deg: f64, from_tt_days: f64) -> Option<i32> {
    const MONTH_DAYS: f64 = 30.0;
    let open_at = (0..200)
        .map(|month| from_tt_days + MONTH_DAYS * f64::from(month))
        .map_while(|at| ring_light(at).map(|light| (at, light)))
        .find(|(_, light)| {
            light.lit_face_is_ours() && opening_deg <= light.opening_earth_deg.abs()
        });
    open_at.and_then(|(at, _)| Some(utc_from_tt(at)?.year()))
}

/// Half the arc of the ring that the globe covers from a light or an eye at that height over the plane,
/// degrees; `None` where nothing of the ring at that radius is behind it.
///
/// Along the light, a point of the plane at angle a from right behind lies within the globe's outline if
/// cos² a > (1 - 1/r²) / c², c the cosine of the height over the plane after the globe has been stretched
/// to a sphere.
fn half_behind_globe_deg(height_deg: f64, ring_radius_radii: f64) -> Option<f64> {
    let flattened = Body::Saturn.polar_radius_km() / Body::Saturn.equatorial_radius_km();
    let tangent = height_deg.to_radians().tan() / flattened;
    let cosine_squared = (1.0 - ring_radius_radii.powi(-2)) * (1.0 + tangent * tangent);
    (cosine_squared < 1.0).then(|| cosine_squared.sqrt().acos().to_degrees())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_shadow(light: RingLight, ring_radius_radii: f64, want: Option<(Side, f64, f64)>) {
        let got = light.globe_shadow(ring_radius_radii);
        match (got, want) {
            (None, None) => {}
            (Some(got), Some((side, arc_deg, width_radii))) => {
                assert_eq!(got.side, side, "{light:?}");
                assert!((got.arc_deg - arc_deg).abs() < 2e-3, "{got:?}");
                assert!((got.width_radii - width_radii).abs() < 1e-4, "{got:?}");
            }
            _ => panic!("{light:?}: want {want:?}, got {got:?}"),
        }
    }

    #[test]
    fn shadow_by_hand() {
        let light = |opening_earth_deg, opening_sun_deg, sun_ahead_deg| RingLight {
            opening_earth_deg,
            opening_sun_deg,
            sun_ahead_deg,
        };
        // Sun and Earth all but in the plane, ring of two radii: the globe covers sin a = 1/2, 30 degrees
        // either way; the Sun 6 degrees ahead shows 6 degrees of shadow, 2 (sin 36 - sin 30) = 0.1756 wide.
        check_shadow(
            light(1e-3, 1e-3, 6.0),
            2.0,
            Some((Side::East, 6.0, 0.175_57)),
        );
        check_shadow(
            light(-1e-3, -1e-3, -6.0),
            2.0,
            Some((Side::West, 6.0, 0.175_57)),
        );
        // Right behind the globe, on the unlit face, and where there is globe and no ring.
        check_shadow(light(1e-3, 1e-3, 0.0), 2.0, None);
        check_shadow(light(-5.0, 5.0, 6.0), 2.0, None);
        check_shadow(light(5.0, 5.0, 6.0), 0.9, None);
        // A second computation, rays from points of the ring every 0.001 degrees against an ellipsoid. In the first
        // case a sliver of 3.1 degrees sticks out in the west as well.
        check_shadow(
            light(20.0, 10.0, 4.0),
            2.0,
            Some((Side::East, 11.111, 0.346_5)),
        );
        check_shadow(
            light(5.0, 8.0, 5.5),
            1.53,
            Some((Side::East, 5.006, 0.097_7)),
        );
        check_shadow(
            light(-12.0, -9.0, -6.0),
            1.9,
            Some((Side::West, 7.189, 0.200_4)),
        );
        // Wide open (26.7 degrees) the outer edge of ring A is out of reach: 0.80594 x 1.31086 > 1.
        check_shadow(light(26.0, 26.7, 6.0), 2.27, None);
    }

    #[test]
    fn shadow_changes_sides_at_opposition() {
        // Opposition of Saturn: 2026 October 4 (almanacs, from memory; any within a day serves).
        let opposition = 9_773.5;
        let before = ring_light(opposition - 60.0).expect("in range");
        let after = ring_light(opposition + 60.0).expect("in range");
        assert!(before.sun_ahead_deg < -3.0 && after.sun_ahead_deg > 3.0);
        let side = |light: RingLight| light.globe_shadow(1.9).map(|shadow| shadow.side);
        // Observers' rule, common practice: west of the globe before opposition, east after it.
        assert_eq!(side(before), Some(Side::West));
        assert_eq!(side(after), Some(Side::East));
    }
}
