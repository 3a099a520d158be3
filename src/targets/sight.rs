//! What is to be told from its surroundings, before any telescope: pattern, point, glow or pair, with
//! the light it stands in.

use crate::eye::detect::Pattern;
use crate::sky::moons::view::SatelliteView;

/// A detail tonight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Today {
    /// What is to be told from its surroundings.
    pub sight: Sight,
    /// Luminance of the surroundings above the air, cd/m²; of the body itself for what stands
    /// against the sky.
    pub luminance_cd_m2: f64,
    /// Height of the Sun over the place, degrees (Moon only).
    pub sun_altitude_deg: Option<f64>,
    /// How many times the threshold of "something is there" is asked for before it counts as
    /// recognised.
    pub recognition: f64,
}

/// What has to be told from its surroundings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sight {
    /// A pattern on a bright ground.
    Marking {
        /// Shape and size, arcseconds.
        pattern: Pattern,
        /// Weber: -1 black, +1 twice as bright; +1 also for what stands bright against the sky,
        /// reckoned on its own luminance.
        contrast: f64,
        /// Width of the surroundings it is to be told from, arcseconds; infinite on an endless even ground.
        within_arcsec: f64,
    },
    /// A point beside a bright body, or alone in the sky.
    Point {
        /// Tonight, above the air.
        magnitude: f64,
        /// From the middle of the body, arcseconds, a usual value; without a body it means nothing.
        from_body_arcsec: f64,
    },
    /// A large faint area against the sky, beside the bright part of its body or alone.
    Glow {
        /// Diameter, arcseconds.
        diameter_arcsec: f64,
        /// Above the air.
        surface_brightness_mag_arcsec2: f64,
    },
    /// Two stars that are to be seen as two.
    Pair {
        /// From star to star, arcseconds.
        separation_arcsec: f64,
        /// Above the air.
        magnitude_a: f64,
        /// Above the air; which of the two is the brighter does not matter.
        magnitude_b: f64,
    },
}

impl Sight {
    /// The same marking on ground that is even at least so far.
    pub(super) fn in_ground(self, even_arcsec: f64) -> Sight {
        match self {
            Sight::Marking { within_arcsec, .. } => self.within(within_arcsec.max(even_arcsec)),
            other => other,
        }
    }

    /// The same marking with surroundings of that width; other sights have none.
    pub(super) fn within(self, within_arcsec: f64) -> Sight {
        match self {
            Sight::Marking {
                pattern, contrast, ..
            } => Sight::Marking {
                pattern,
                contrast,
                within_arcsec,
            },
            other => other,
        }
    }

    /// The narrow way across, arcseconds; 0 for points and glows, which have no stripes.
    pub fn width_arcsec(&self) -> f64 {
        self.across_arcsec().0
    }

    /// The long way across, arcseconds; 0 for a point.
    pub fn span_arcsec(&self) -> f64 {
        self.across_arcsec().1
    }

    /// The narrow way and the long one.
    fn across_arcsec(&self) -> (f64, f64) {
        let alike = |arcsec: f64| (arcsec, arcsec);
        match *self {
            Sight::Point { .. } => alike(0.0),
            Sight::Glow {
                diameter_arcsec, ..
            } => (0.0, diameter_arcsec),
            Sight::Pair {
                separation_arcsec, ..
            } => alike(separation_arcsec),
            Sight::Marking { pattern, .. } => match pattern {
                Pattern::Bar {
                    width_arcsec: a,
                    length_arcsec: b,
                }
                | Pattern::Dip {
                    width_arcsec: a,
                    length_arcsec: b,
                } => (a.min(b), a.max(b)),
                Pattern::Edge { length_arcsec } => alike(length_arcsec),
                Pattern::Spot { diameter_arcsec }
                | Pattern::CraterShadow { diameter_arcsec }
                | Pattern::DiscNotStar { diameter_arcsec } => alike(diameter_arcsec),
                Pattern::Pair {
                    separation_arcsec, ..
                } => alike(separation_arcsec),
            },
        }
    }
}

impl Today {
    /// The same moon of a planet where it stands, and as bright as it is.
    pub(super) fn at_its_place(self, moon: &SatelliteView) -> Today {
        Today {
            sight: Sight::Point {
                magnitude: moon.magnitude,
                from_body_arcsec: moon.east_arcsec.hypot(moon.north_arcsec),
            },
            ..self
        }
    }

    /// Something that stands alone in the sky: on no disc and beside none.
    pub fn alone(sight: Sight) -> Today {
        Today {
            sight,
            luminance_cd_m2: 0.0,
            sun_altitude_deg: None,
            recognition: 1.0,
        }
    }
}
