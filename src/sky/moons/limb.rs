//! Lines of sight and of sunlight past a planet: is a moon before it, behind it, in its shadow?
//!
//! A straight ray from the Earth or the Sun through the moon's centre, in axes that stay with the planet's centre,
//! each body where it was when that very light passed it.

use crate::constants::{AU_KM, LIGHT_TIME_AU_DAYS};
use crate::sky::Body;
use crate::sky::apparent::light_time_solution;
use crate::sky::ephemeris::{EphemerisBody, barycentric_position_au, barycentric_state};
use crate::sky::rotation::rotation;
use crate::sky::vector::{Vec3, cross, difference, dot, length, scaled, sum};

/// A planet as the light shows it that reaches the Earth's centre now. Vectors from the planet's
/// centre, ICRF axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Seen {
    /// The Earth now, au.
    pub earth_au: Vec3,
    /// The Sun when the light left it that lit the planet, au.
    pub sun_au: Vec3,
    /// The planet's own motion, barycentric, au per day.
    pub velocity_au_day: Vec3,
    /// When the light left the planet's centre, days of TDB since J2000.0.
    pub left_days: f64,
}

impl Seen {
    /// `None` outside the ephemeris. The planet's centre is taken at the centre of gravity with its
    /// moons, 300 km off at most: nothing in its direction from Earth or Sun.
    pub(crate) fn at(planet: Body, tt_days: f64) -> Option<Seen> {
        let earth_au = barycentric_position_au(EphemerisBody::Earth, tt_days)?;
        let place = |days| barycentric_position_au(planet.target(), days);
        let (to_planet, left_days) = light_time_solution(place, earth_au, tt_days)?;
        let planet_au = sum(earth_au, to_planet);
        let sun = |days| barycentric_position_au(EphemerisBody::Sun, days);
        let (sun_au, _) = light_time_solution(sun, planet_au, left_days)?;
        Some(Seen {
            earth_au: scaled(to_planet, -1.0),
            sun_au,
            velocity_au_day: barycentric_state(planet.target(), left_days)?.velocity_au_day,
            left_days,
        })
    }

    /// The ray that reaches the Earth now through a moon (of the given path about the planet).
    pub(crate) fn sight(&self, path: impl Fn(f64) -> Vec3) -> Ray {
        let far_days = length(self.earth_au) * LIGHT_TIME_AU_DAYS;
        let mut later_days = 0.0;
        let mut moon_au = path(self.left_days);
        // Each round shrinks the error by the moon's v/c, 6e-5: from 100 km to metres, then nothing.
        for _ in 0..2 {
            let nearer_days =
                far_days - length(difference(moon_au, self.earth_au)) * LIGHT_TIME_AU_DAYS;
            later_days = nearer_days;
            moon_au = sum(
                path(self.left_days + later_days),
                scaled(self.velocity_au_day, later_days),
            );
        }
        Ray {
            from_au: self.earth_au,
            moon_au,
            passed_days: self.left_days + later_days,
        }
    }

    /// The sunlight that passed the moon and would now be seen, where it falls, on the planet's disc.
    pub(crate) fn shadow(&self, path: impl Fn(f64) -> Vec3) -> Ray {
        let mut earlier_days = length(path(self.left_days)) * LIGHT_TIME_AU_DAYS;
        let moon_au = path(self.left_days - earlier_days);
        earlier_days = length(moon_au) * LIGHT_TIME_AU_DAYS;
        Ray {
            from_au: self.sun_au,
            moon_au: difference(moon_au, scaled(self.velocity_au_day, earlier_days)),
            passed_days: self.left_days - earlier_days,
        }
    }

    /// The sunlight by which a moon behind the planet is now seen: past the planet first.
    pub(crate) fn sunlight(&self, path: impl Fn(f64) -> Vec3) -> Ray {
        let passed_days = self.sight(&path).passed_days;
        let moon_au = path(passed_days);
        let since_planet_days = length(moon_au) * LIGHT_TIME_AU_DAYS;
        Ray {
            from_au: self.sun_au,
            moon_au: sum(moon_au, scaled(self.velocity_au_day, since_planet_days)),
            passed_days,
        }
    }
}

/// A straight ray from Earth or Sun through a moon's centre, seen from the planet's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ray {
    /// The Earth or the Sun.
    pub from_au: Vec3,
    /// The moon.
    pub moon_au: Vec3,
    /// When the light was at the moon, days of TDB since J2000.0.
    pub passed_days: f64,
}

impl Ray {
    /// The moon is on the side of the planet that faces Earth or Sun.
    pub(crate) fn is_before(&self) -> bool {
        dot(self.moon_au, self.from_au) > 0.0
    }
}

/// The planet's body: a spheroid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Globe {
    pole: Vec3,
    equator_au: f64,
    /// Equatorial over polar radius.
    stretch: f64,
}

impl Globe {
    /// At an instant, days of TDB since J2000.0.
    pub(crate) fn of(planet: Body, tdb_days: f64) -> Globe {
        Globe {
            pole: rotation(planet, tdb_days).pole,
            equator_au: planet.equatorial_radius_km() / AU_KM,
            stretch: planet.equatorial_radius_km() / planet.polar_radius_km(),
        }
    }

    /// Unit vector of the north pole.
    pub(crate) fn pole(&self) -> Vec3 {
        self.pole
    }

    /// Stretched along the axis until the spheroid is a sphere: straight lines stay straight.
    fn stretched(&self, v: Vec3) -> Vec3 {
        let along = dot(v, self.pole) * (self.stretch - 1.0);
        sum(v, scaled(self.pole, along))
    }

    /// How far outside the limb a ray passes, km, negative where it meets the planet. Measured in the
    /// stretched space: beyond the poles up to 7 % (Saturn 11 %) more than true.
    pub(crate) fn clearance_km(&self, ray: &Ray) -> f64 {
        let (from, moon) = (self.stretched(ray.from_au), self.stretched(ray.moon_au));
        let way = difference(moon, from);
        (length(cross(from, way)) / length(way) - self.equator_au) * AU_KM
    }

    /// How far west of the planet's axis the moon stands as seen from the ray's start, au times a
    /// positive length: rises through zero where the moon passes before the planet, falls behind it.
    pub(crate) fn westing(&self, ray: &Ray) -> f64 {
        dot(ray.moon_au, cross(self.pole, ray.from_au))
    }

    /// Cosine-like measure of how well the Earth sees the place where a ray first meets the planet:
    /// positive where it is on our side of the limb. Where the ray passes outside, of the point of the
    /// limb next to it.
    pub(crate) fn faces_earth(&self, ray: &Ray, earth_au: Vec3) -> f64 {
        let (from, moon) = (self.stretched(ray.from_au), self.stretched(ray.moon_au));
        let way = difference(moon, from);
        let way = scaled(way, 1.0 / length(way));
        let foot = difference(from, scaled(way, dot(from, way)));
        let half_chord = (self.equator_au.powi(2) - dot(foot, foot)).max(0.0).sqrt();
        let spot = difference(foot, scaled(way, half_chord));
        // What touches the spheroid touches the sphere that it is stretched to.
        let spot = scaled(spot, self.equator_au / length(spot));
        let to_earth = difference(self.stretched(earth_au), spot);
        dot(spot, to_earth) / (length(spot) * length(to_earth))
    }
}
