//! # sky: where things are, how they face us, and what the air does to their light
//!
//! Knows times, directions, discs and the atmosphere. Does not know telescopes or observers' eyes.

pub mod air;

pub mod seeing;

pub mod glow;

/// What moves among the stars and is bright enough for a small telescope.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Body {
    /// The Sun: a caution, never a target.
    Sun,
    /// The Moon.
    Moon,
    /// Mercury.
    Mercury,
    /// Venus.
    Venus,
    /// Mars.
    Mars,
    /// Jupiter.
    Jupiter,
    /// Saturn.
    Saturn,
    /// Uranus.
    Uranus,
    /// Neptune.
    Neptune,
}

/// One body as seen from one place at one instant.
#[derive(Debug, Clone, PartialEq)]
pub struct Appearance {
    /// Which.
    pub body: Body,
    /// Geocentric apparent right ascension, true equator and equinox of date.
    pub right_ascension_deg: f64,
    /// Geocentric apparent declination, true equator of date.
    pub declination_deg: f64,
    /// The same from the observer's place.
    pub topocentric_right_ascension_deg: f64,
    /// The same from the observer's place.
    pub topocentric_declination_deg: f64,
    /// Topocentric altitude of the centre without refraction.
    pub altitude_deg: f64,
    /// With refraction (equal to `altitude_deg` well below the horizon).
    pub refracted_altitude_deg: f64,
    /// From north through east.
    pub azimuth_deg: f64,
    /// Topocentric.
    pub distance_au: f64,
    /// Equatorial angular diameter, topocentric.
    pub diameter_arcsec: f64,
    /// Of the disc's area, 0 to 1 (1 for the Sun).
    pub illuminated_fraction: f64,
    /// Angle Sun-body-observer (0 for the Sun).
    pub phase_angle_deg: f64,
    /// Topocentric angle from the Sun (0 for the Sun).
    pub elongation_deg: f64,
    /// Apparent visual magnitude outside the atmosphere; Saturn with rings.
    pub magnitude: f64,
    /// What its disc shows, where it has a face to turn.
    pub face: Face,
}

/// How the disc is turned. Position angles from celestial north (of date) through east.
#[derive(Debug, Clone, Copy, PartialEq)]
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
