//! One body as seen from one place at one instant: everything the contract of `sky` promises.

use chrono::{DateTime, Utc};
use serde::Serialize;

use crate::constants::{JULIAN_YEAR_DAYS, LIGHT_TIME_AU_DAYS};
use crate::sky::apparent::{Sighting, sighting};
use crate::sky::earth::{Equator, Place, equator, rotation_angle_rad};
use crate::sky::earth_shadow::EarthShadow;
use crate::sky::ephemeris::{
    EphemerisBody, FIRST_TDB_DAYS, LAST_TDB_DAYS, State, barycentric_state,
};
use crate::sky::magnitude::Circumstances;
use crate::sky::rotation::{Rotation, rotation};
use crate::sky::terminator::subsolar_as_seen;
use crate::sky::time::{tt_days, utc_days};
use crate::sky::vector::{
    Vec3, angle_rad, cross, difference, direction, dot, longitude_latitude_deg, position_angle_deg,
    rotated, scaled, sum, unit, unrotated,
};
use crate::sky::{Body, air, magnitude};
use crate::units::{wrap_180_deg, wrap_360_deg};

/// Where something stands in the sky of one place at one instant: the centre of a body, or a star.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ApparentPlace {
    /// Geocentric apparent right ascension, true equator and equinox of date.
    pub right_ascension_deg: f64,
    /// Geocentric apparent declination, true equator of date.
    pub declination_deg: f64,
    /// The same from the observer's place; of a star, diurnal aberration (up to 0.3") is all that differs.
    pub topocentric_right_ascension_deg: f64,
    /// The same from the observer's place.
    pub topocentric_declination_deg: f64,
    /// Topocentric altitude without refraction.
    pub altitude_deg: f64,
    /// With refraction (equal to `altitude_deg` well below the horizon).
    pub refracted_altitude_deg: f64,
    /// From north through east.
    pub azimuth_deg: f64,
    /// Topocentric angle from the Sun (0 for the Sun).
    pub elongation_deg: f64,
}

/// One body as seen from one place at one instant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Appearance {
    /// Which.
    pub body: Body,
    /// Of its centre.
    #[serde(flatten)]
    pub place: ApparentPlace,
    /// Topocentric.
    pub distance_au: f64,
    /// Equatorial angular diameter, topocentric.
    pub diameter_arcsec: f64,
    /// Of the disc's area, 0 to 1 (1 for the Sun).
    pub illuminated_fraction: f64,
    /// Angle Sun-body-observer (0 for the Sun).
    pub phase_angle_deg: f64,
    /// Apparent visual magnitude outside the atmosphere; Saturn with rings.
    pub magnitude: f64,
    /// The Earth's shadow, while it touches the Moon; of no other body. It is not in the magnitude.
    #[serde(skip)]
    pub shadow: Option<EarthShadow>,
    /// What its disc shows, where it has a face to turn.
    #[serde(rename = "physical", skip_serializing_if = "Face::is_plain")]
    pub face: Face,
}

/// How the disc is turned. Position angles from celestial north (of date) through east.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Face {
    /// Nothing to say (Sun, Uranus, Neptune).
    Plain,
    /// Topocentric, mean-Earth frame.
    Moon {
        /// Of the disc's centre, east (toward Mare Crisium) positive.
        libration_longitude_deg: f64,
        /// Of the disc's centre, north positive.
        libration_latitude_deg: f64,
        /// Selenographic colongitude of the Sun: 0 at first quarter, 90 full.
        colongitude_deg: f64,
        /// Selenographic latitude below the Sun.
        subsolar_latitude_deg: f64,
        /// Of the Moon's north pole.
        axis_position_angle_deg: f64,
        /// Of the middle of the bright limb.
        bright_limb_position_angle_deg: f64,
    },
    /// Mercury and Venus.
    Inner {
        /// Of the middle of the bright limb.
        bright_limb_position_angle_deg: f64,
    },
    /// Geometric, planetocentric, IAU WGCCRE 2015.
    Mars {
        /// Areographic west longitude of the disc's centre.
        central_meridian_deg: f64,
        /// Planetocentric latitude of the disc's centre.
        sub_earth_latitude_deg: f64,
        /// Season: 0 northern spring, 90 northern summer.
        solar_longitude_deg: f64,
        /// Of the north pole.
        pole_position_angle_deg: f64,
    },
    /// Geometric, planetocentric, IAU WGCCRE 2015.
    Jupiter {
        /// System I: the equatorial zone.
        central_meridian_1_deg: f64,
        /// System II: the rest of the clouds, and the Red Spot.
        central_meridian_2_deg: f64,
        /// System III: the magnetic field.
        central_meridian_3_deg: f64,
        /// Planetocentric latitude of the disc's centre.
        sub_earth_latitude_deg: f64,
        /// Of the north pole.
        pole_position_angle_deg: f64,
    },
    /// The ring; axes are full axes of the outer edge of ring A.
    Saturn {
        /// Elevation of Earth above the ring plane, north positive.
        ring_opening_earth_deg: f64,
        /// Elevation of the Sun above the ring plane, north positive.
        ring_opening_sun_deg: f64,
        /// Of the northern semi-minor axis.
        ring_position_angle_deg: f64,
        /// East to west.
        ring_major_arcsec: f64,
        /// Across.
        ring_minor_arcsec: f64,
    },
}

impl ApparentPlace {
    /// From the observer's place, true equator of date.
    pub fn topocentric_direction(&self) -> Vec3 {
        direction(
            self.topocentric_right_ascension_deg,
            self.topocentric_declination_deg,
        )
    }
}

impl Appearance {
    /// How it looks so many days later (or earlier) of the same night: carried are the rotation of Jupiter and
    /// Mars and the Sun over the Moon, at their mean rates; place, size and brightness stay. Within 0.2 degrees
    /// of the face over half a day.
    pub fn turned(&self, days: f64) -> Appearance {
        Appearance {
            face: self.face.turned(days),
            ..self.clone()
        }
    }
}

/// Farther from full than this the Moon is never near the shadow, phase angle in degrees: the penumbra ends at 1.6.
const SHADOW_WITHIN_DEG: f64 = 2.5;

/// The Earth's shadow on a body that looks full within a few degrees: on the Moon alone.
fn shadow_on(body: Body, phase_angle_deg: f64, tt_days: f64) -> Option<EarthShadow> {
    let is_near = body == Body::Moon && phase_angle_deg < SHADOW_WITHIN_DEG;
    is_near.then(|| EarthShadow::on_the_moon(tt_days)).flatten()
}

impl Face {
    fn turned(mut self, days: f64) -> Face {
        let carry = |angle_deg: &mut f64, deg_per_day: f64| {
            *angle_deg = wrap_360_deg(*angle_deg + deg_per_day * days);
        };
        match &mut self {
            Face::Moon {
                colongitude_deg, ..
            } => carry(colongitude_deg, COLONGITUDE_DEG_PER_DAY),
            Face::Mars {
                central_meridian_deg,
                ..
            } => carry(central_meridian_deg, MARS_DEG_PER_DAY),
            Face::Jupiter {
                central_meridian_1_deg,
                central_meridian_2_deg,
                central_meridian_3_deg,
                ..
            } => {
                carry(central_meridian_1_deg, JUPITER_DEG_PER_DAY[0]);
                carry(central_meridian_2_deg, JUPITER_DEG_PER_DAY[1]);
                carry(central_meridian_3_deg, JUPITER_DEG_PER_DAY[2]);
            }
            Face::Plain | Face::Inner { .. } | Face::Saturn { .. } => {}
        }
        self
    }

    fn is_plain(&self) -> bool {
        *self == Face::Plain
    }
}

/// The sky over one place at one instant: what all bodies share, computed once.
#[derive(Debug, Clone, Copy)]
pub struct Scene {
    pub(in crate::sky) place: Place,
    pub(in crate::sky) tt_days: f64,
    rotation_rad: f64,
    pub(in crate::sky) equator: Equator,
    pub(in crate::sky) geocentre: State,
    pub(in crate::sky) observer: State,
    pub(in crate::sky) sun: Sighting,
}

impl Scene {
    /// `None` outside the ephemeris, 1950-2100.
    pub fn new(place: Place, utc: DateTime<Utc>) -> Option<Scene> {
        let tt_days = tt_days(utc);
        if !(FIRST_TDB_DAYS..LAST_TDB_DAYS).contains(&tt_days) {
            return None;
        }
        let rotation_rad = rotation_angle_rad(utc_days(utc));
        let equator = equator(tt_days);
        let geocentre = barycentric_state(EphemerisBody::Earth, tt_days)?;
        let to_gcrs = |v| unrotated(&equator.intermediate(), v);
        let observer = State {
            position_au: sum(
                geocentre.position_au,
                to_gcrs(place.position_au(rotation_rad)),
            ),
            velocity_au_day: sum(
                geocentre.velocity_au_day,
                to_gcrs(place.velocity_au_day(rotation_rad)),
            ),
        };
        Some(Scene {
            place,
            tt_days,
            rotation_rad,
            equator,
            geocentre,
            observer,
            sun: sighting(EphemerisBody::Sun, observer, tt_days)?,
        })
    }

    /// How one body looks from here, now.
    pub fn appearance(&self, body: Body) -> Option<Appearance> {
        let geocentric = sighting(body.target(), self.geocentre, self.tt_days)?;
        let seen = sighting(body.target(), self.observer, self.tt_days)?;
        let phase_angle_deg = match body {
            Body::Sun => 0.0,
            _ => angle_rad(seen.heliocentric_au, seen.astrometric_au).to_degrees(),
        };
        Some(Appearance {
            body,
            place: self.apparent_place(geocentric.apparent_au, seen.apparent_au),
            distance_au: seen.distance_au,
            diameter_arcsec: body.diameter_arcsec(seen.distance_au),
            illuminated_fraction: 0.5 * (1.0 + phase_angle_deg.to_radians().cos()),
            phase_angle_deg,
            magnitude: self.magnitude(body, &seen, phase_angle_deg),
            shadow: shadow_on(body, phase_angle_deg, self.tt_days),
            face: self.face(body, &seen)?,
        })
    }

    /// Of what appears in those directions (GCRS) from the Earth's centre and from the observer's place.
    pub(in crate::sky) fn apparent_place(&self, geocentric: Vec3, seen: Vec3) -> ApparentPlace {
        let (right_ascension_deg, declination_deg) = self.of_date(geocentric);
        let (topocentric_right_ascension_deg, topocentric_declination_deg) = self.of_date(seen);
        let (altitude_deg, azimuth_deg) = self.altitude_azimuth_deg(seen);
        ApparentPlace {
            right_ascension_deg,
            declination_deg,
            topocentric_right_ascension_deg,
            topocentric_declination_deg,
            altitude_deg,
            refracted_altitude_deg: air::refracted_altitude_deg(
                altitude_deg,
                self.place.elevation_m,
            ),
            azimuth_deg,
            elongation_deg: angle_rad(seen, self.sun.apparent_au).to_degrees(),
        }
    }

    /// Right ascension and declination, true equator and equinox of date.
    pub(in crate::sky) fn of_date(&self, gcrs: Vec3) -> (f64, f64) {
        longitude_latitude_deg(rotated(&self.equator.true_of_date, gcrs))
    }

    pub(in crate::sky) fn altitude_azimuth_deg(&self, gcrs: Vec3) -> (f64, f64) {
        let fixed = crate::sky::vector::turned_about_z(
            rotated(&self.equator.intermediate(), gcrs),
            self.rotation_rad,
        );
        let [east, north, up] = self.place.east_north_up(fixed);
        let altitude_deg = up.atan2(east.hypot(north)).to_degrees();
        (altitude_deg, wrap_360_deg(east.atan2(north).to_degrees()))
    }

    fn magnitude(&self, body: Body, seen: &Sighting, phase_angle_deg: f64) -> f64 {
        let circumstances = Circumstances {
            sun_distance_au: crate::sky::vector::length(seen.heliocentric_au),
            distance_au: seen.distance_au,
            phase_angle_deg,
        };
        let latitudes_deg = || {
            let rotation = self.rotation(body, seen);
            (
                latitude_below_deg(&rotation, scaled(seen.heliocentric_au, -1.0)),
                latitude_below_deg(&rotation, scaled(seen.astrometric_au, -1.0)),
            )
        };
        match body {
            Body::Sun => magnitude::sun_mag(seen.distance_au),
            Body::Moon => magnitude::moon_mag(circumstances),
            Body::Mercury => magnitude::mercury_mag(circumstances),
            Body::Venus => magnitude::venus_mag(circumstances),
            Body::Mars => magnitude::mars_mag(circumstances),
            Body::Jupiter => magnitude::jupiter_mag(circumstances),
            Body::Saturn => {
                let (sun_deg, earth_deg) = latitudes_deg();
                magnitude::saturn_mag(circumstances, sun_deg, earth_deg)
            }
            Body::Uranus => {
                let (sun_deg, earth_deg) = latitudes_deg();
                magnitude::uranus_mag(circumstances, sun_deg, earth_deg)
            }
            Body::Neptune => {
                magnitude::neptune_mag(circumstances, 2000.0 + self.tt_days / JULIAN_YEAR_DAYS)
            }
        }
    }

    /// The body's rotation when the light we see now left it.
    fn rotation(&self, body: Body, seen: &Sighting) -> Rotation {
        rotation(body, self.tt_days - seen.distance_au * LIGHT_TIME_AU_DAYS)
    }

    fn face(&self, body: Body, seen: &Sighting) -> Option<Face> {
        Some(match body {
            Body::Moon => self.moon_face(seen)?,
            Body::Mercury | Body::Venus => Face::Inner {
                bright_limb_position_angle_deg: self.bright_limb_deg(seen),
            },
            Body::Mars => self.mars_face(seen)?,
            Body::Jupiter => self.jupiter_face(seen),
            Body::Saturn => self.saturn_face(seen),
            Body::Sun | Body::Uranus | Body::Neptune => Face::Plain,
        })
    }

    /// Position angle of a GCRS direction as seen at the body, from true north of date.
    fn position_angle_deg(&self, seen: &Sighting, toward: Vec3) -> f64 {
        let of_date = |v| rotated(&self.equator.true_of_date, v);
        position_angle_deg(of_date(seen.apparent_au), of_date(toward))
    }

    fn bright_limb_deg(&self, seen: &Sighting) -> f64 {
        self.position_angle_deg(seen, self.sun.apparent_au)
    }

    fn moon_face(&self, seen: &Sighting) -> Option<Face> {
        let rotation = self.rotation(Body::Moon, seen);
        let (longitude_deg, latitude_deg) =
            rotation.longitude_latitude_deg(scaled(seen.apparent_au, -1.0));
        let subsolar = subsolar_as_seen(seen, self.tt_days)?;
        Some(Face::Moon {
            libration_longitude_deg: wrap_180_deg(longitude_deg),
            libration_latitude_deg: latitude_deg,
            colongitude_deg: wrap_360_deg(90.0 - subsolar.longitude_deg),
            subsolar_latitude_deg: subsolar.latitude_deg,
            axis_position_angle_deg: self.position_angle_deg(seen, rotation.pole),
            bright_limb_position_angle_deg: self.bright_limb_deg(seen),
        })
    }

    fn mars_face(&self, seen: &Sighting) -> Option<Face> {
        let rotation = self.rotation(Body::Mars, seen);
        let (longitude_deg, sub_earth_latitude_deg) =
            rotation.longitude_latitude_deg(scaled(seen.astrometric_au, -1.0));
        Some(Face::Mars {
            central_meridian_deg: wrap_360_deg(-longitude_deg),
            sub_earth_latitude_deg,
            solar_longitude_deg: self.mars_solar_longitude_deg(seen, &rotation)?,
            pole_position_angle_deg: self.position_angle_deg(seen, rotation.pole),
        })
    }

    /// Angle along Mars' own (osculating) orbit from its spring equinox to the Sun as seen there.
    fn mars_solar_longitude_deg(&self, seen: &Sighting, rotation: &Rotation) -> Option<f64> {
        let emitted_days = self.tt_days - seen.distance_au * LIGHT_TIME_AU_DAYS;
        let mars = barycentric_state(EphemerisBody::Mars, emitted_days)?;
        let sun = barycentric_state(EphemerisBody::Sun, emitted_days)?;
        let velocity = difference(mars.velocity_au_day, sun.velocity_au_day);
        let orbit_normal = unit(cross(seen.heliocentric_au, velocity));
        let equinox = cross(rotation.pole, orbit_normal);
        let to_sun = scaled(seen.heliocentric_au, -1.0);
        let sine = dot(orbit_normal, cross(equinox, to_sun));
        Some(wrap_360_deg(sine.atan2(dot(equinox, to_sun)).to_degrees()))
    }

    fn jupiter_face(&self, seen: &Sighting) -> Face {
        let rotation = self.rotation(Body::Jupiter, seen);
        let to_observer = scaled(seen.astrometric_au, -1.0);
        let [
            central_meridian_1_deg,
            central_meridian_2_deg,
            central_meridian_3_deg,
        ] = rotation.west_longitudes_of_three_systems_deg(to_observer);
        Face::Jupiter {
            central_meridian_1_deg,
            central_meridian_2_deg,
            central_meridian_3_deg,
            sub_earth_latitude_deg: latitude_below_deg(&rotation, to_observer),
            pole_position_angle_deg: self.position_angle_deg(seen, rotation.pole),
        }
    }

    fn saturn_face(&self, seen: &Sighting) -> Face {
        let rotation = self.rotation(Body::Saturn, seen);
        let ring_opening_earth_deg =
            latitude_below_deg(&rotation, scaled(seen.astrometric_au, -1.0));
        let ring_major_arcsec = 2.0
            * (RING_A_OUTER_KM / (seen.distance_au * crate::constants::AU_KM)).asin()
            * crate::constants::ARCSEC_PER_RAD;
        Face::Saturn {
            ring_opening_earth_deg,
            ring_opening_sun_deg: latitude_below_deg(&rotation, scaled(seen.heliocentric_au, -1.0)),
            ring_position_angle_deg: self.position_angle_deg(seen, rotation.pole),
            ring_major_arcsec,
            ring_minor_arcsec: ring_major_arcsec * ring_opening_earth_deg.to_radians().sin().abs(),
        }
    }
}

/// A turn a synodic month, on the mean.
const COLONGITUDE_DEG_PER_DAY: f64 = 360.0 / 29.530_589;

/// Rotation of Mars and of Jupiter's three systems, rounded. Source: IAU WGCCRE 2015. The Earth's own motion
/// about the Sun adds or takes up to half a degree a day.
const MARS_DEG_PER_DAY: f64 = 350.892;
const JUPITER_DEG_PER_DAY: [f64; 3] = [877.900, 870.270, 870.536];

/// Outer edge of Saturn's ring A, km. Source: Cuzzi et al. 2018 and NASA fact sheets, 136,775 km.
const RING_A_OUTER_KM: f64 = 136_775.0;

/// Planetocentric latitude of the point that has the given direction overhead, degrees.
fn latitude_below_deg(rotation: &Rotation, from_centre: Vec3) -> f64 {
    90.0 - angle_rad(rotation.pole, from_centre).to_degrees()
}
