//! How moons stand about their planet as seen from the Earth's centre.

use serde::Serialize;

use crate::constants::ARCSEC_PER_RAD;
use crate::sky::Body;
use crate::sky::apparent::aberrated;
use crate::sky::earth::equator;
use crate::sky::ephemeris::{EphemerisBody, barycentric_state};
use crate::sky::magnitude::Circumstances;
use crate::sky::moons::Satellite;
use crate::sky::moons::light::satellite_mag;
use crate::sky::moons::limb::{Globe, Ray, Seen};
use crate::sky::vector::{Vec3, angle_rad, cross, difference, dot, length, scaled, unit};

/// A moon beside its planet, from the Earth's centre: both where they appear, light time and aberration of
/// each its own.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SatelliteView {
    /// Which.
    pub name: Satellite,
    /// Its planet.
    pub of: Body,
    /// East of the planet's centre on the plane that touches the sky there (the difference of right
    /// ascensions times the cosine of the moon's declination, to 0.001"), equator of date.
    pub east_arcsec: f64,
    /// North of it, on the same plane: up to 0.15" from the difference of declinations.
    pub north_arcsec: f64,
    /// Along the planet's projected equator, west positive, in its apparent equatorial radii.
    pub x_west_radii: f64,
    /// Across it, toward the planet's north pole positive, in the same unit.
    pub y_north_radii: f64,
    /// Before the planet, seen from us, rather than beyond it.
    pub nearer_than_planet: bool,
    /// V, as if in full sunlight.
    pub magnitude: f64,
    /// Its centre is before the disc.
    pub before_disc: bool,
    /// Its centre is hidden behind the disc.
    pub behind_disc: bool,
    /// Its centre is in the planet's shadow: not to be seen, wherever it stands.
    pub in_shadow: bool,
    /// Its shadow's centre falls on the part of the planet that faces us.
    pub casts_shadow: bool,
}

impl SatelliteView {
    /// No spark beside the planet: before its disc, behind it or in its shadow.
    pub fn is_hidden(&self) -> bool {
        self.before_disc || self.behind_disc || self.in_shadow
    }
}

/// The moons of Jupiter and Saturn, in the order of [`Satellite::ALL`], at days of TT since J2000.0.
/// `None` outside the ephemeris, 1950-2100.
pub fn satellite_views(tt_days: f64) -> Option<Vec<SatelliteView>> {
    let jupiter = Scene::new(Body::Jupiter, tt_days)?;
    let saturn = Scene::new(Body::Saturn, tt_days)?;
    let views = Satellite::ALL.into_iter().map(|moon| match moon.planet() {
        Body::Jupiter => jupiter.view(moon),
        _ => saturn.view(moon),
    });
    Some(views.collect())
}

/// One moon; `None` outside the ephemeris, 1950-2100.
pub fn satellite_view(satellite: Satellite, tt_days: f64) -> Option<SatelliteView> {
    Some(Scene::new(satellite.planet(), tt_days)?.view(satellite))
}

/// Cosine of the angle between the middle of the planet's disc and the place before which a moon stands, 0 off the limb;
/// `None` outside the ephemeris. As on the sphere to which the flattened planet is stretched.
pub fn moon_facing(satellite: Satellite, tt_days: f64) -> Option<f64> {
    let scene = Scene::new(satellite.planet(), tt_days)?;
    Some(scene.facing(&scene.seen.sight(|days| satellite.position_au(days))))
}

/// The same of the place on which its shadow falls.
pub fn shadow_facing(satellite: Satellite, tt_days: f64) -> Option<f64> {
    let scene = Scene::new(satellite.planet(), tt_days)?;
    Some(scene.facing(&scene.seen.shadow(|days| satellite.position_au(days))))
}

/// A planet at an instant: what its moons share.
struct Scene {
    planet: Body,
    seen: Seen,
    globe: Globe,
    earth_velocity_au_day: Vec3,
    /// Of date, GCRS.
    celestial_pole: Vec3,
}

impl Scene {
    fn new(planet: Body, tt_days: f64) -> Option<Scene> {
        let seen = Seen::at(planet, tt_days)?;
        Some(Scene {
            planet,
            seen,
            globe: Globe::of(planet, seen.left_days),
            earth_velocity_au_day: barycentric_state(EphemerisBody::Earth, tt_days)?
                .velocity_au_day,
            celestial_pole: equator(tt_days).true_of_date[2],
        })
    }

    fn view(&self, moon: Satellite) -> SatelliteView {
        let path = |days| moon.position_au(days);
        let sight = self.seen.sight(path);
        let sunlight = self.seen.sunlight(path);
        let shadow = self.seen.shadow(path);
        let meets = |ray: &Ray| self.globe.clearance_km(ray) < 0.0;
        let nearer_than_planet = sight.is_before();
        let [east_arcsec, north_arcsec] = self.east_north_arcsec(&sight);
        let [x_west_radii, y_north_radii] = self.west_north_radii(&sight);
        SatelliteView {
            name: moon,
            of: self.planet,
            east_arcsec,
            north_arcsec,
            x_west_radii,
            y_north_radii,
            nearer_than_planet,
            magnitude: self.magnitude(moon, &sight),
            before_disc: nearer_than_planet && meets(&sight),
            behind_disc: !nearer_than_planet && meets(&sight),
            in_shadow: !sunlight.is_before() && meets(&sunlight),
            casts_shadow: shadow.is_before()
                && meets(&shadow)
                && self.globe.faces_earth(&shadow, self.seen.earth_au) > 0.0,
        }
    }

    fn facing(&self, ray: &Ray) -> f64 {
        self.globe.faces_earth(ray, self.seen.earth_au).max(0.0)
    }

    /// East and north of the planet where both appear.
    fn east_north_arcsec(&self, sight: &Ray) -> [f64; 2] {
        let apparent = |astrometric| aberrated(unit(astrometric), self.earth_velocity_au_day);
        let line = apparent(scaled(self.seen.earth_au, -1.0));
        let moon = apparent(difference(sight.moon_au, self.seen.earth_au));
        let [west, north] = west_north(line, moon, self.celestial_pole);
        [-west * ARCSEC_PER_RAD, north * ARCSEC_PER_RAD]
    }

    /// Along and across the planet's equator. Aberration widens the disc as it does everything else: no part
    /// of a place counted in its radii.
    fn west_north_radii(&self, sight: &Ray) -> [f64; 2] {
        let line = unit(scaled(self.seen.earth_au, -1.0));
        let moon = difference(sight.moon_au, self.seen.earth_au);
        let radius_rad = self.planet.semidiameter_rad(length(self.seen.earth_au));
        west_north(line, moon, self.globe.pole()).map(|offset| offset / radius_rad.tan())
    }

    fn magnitude(&self, moon: Satellite, sight: &Ray) -> f64 {
        let from_earth = difference(sight.moon_au, self.seen.earth_au);
        let from_sun = difference(sight.moon_au, self.seen.sun_au);
        let circumstances = Circumstances {
            sun_distance_au: length(from_sun),
            distance_au: length(from_earth),
            phase_angle_deg: angle_rad(from_sun, from_earth).to_degrees(),
        };
        let axis = unit(cross(self.globe.pole(), self.seen.earth_au));
        let west_of_planet = dot(unit(sight.moon_au), axis);
        satellite_mag(moon, circumstances, west_of_planet)
    }
}

/// West and north of a line of sight (unit vector) on the plane across it, tangents of the angles; `pole` says
/// where north is.
fn west_north(line: Vec3, direction: Vec3, pole: Vec3) -> [f64; 2] {
    let west = unit(cross(line, pole));
    let north = cross(west, line);
    [west, north].map(|axis| dot(direction, axis) / dot(direction, line))
}
