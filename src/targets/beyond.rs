//! What lies beyond the solar system: double stars, clusters, nebulae, galaxies, as subjects to be
//! pointed at and graded like everything else.

use crate::constants::JULIAN_YEAR_DAYS;
use crate::sky::stars::CatalogueStar;
use crate::targets::asked::{Asked, Spread};
use crate::targets::caption::{Caption, CaptionName};
use crate::targets::deep_sky::{DeepSky, deep_sky};
use crate::targets::doubles::{Double, Separation, doubles};
use crate::targets::sight::Today;
use crate::units::{ARCMIN_PER_DEG, ARCSEC_PER_DEG};

/// A subject that keeps its place among the stars.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Beyond {
    /// A pair of stars.
    Double(&'static Double),
    /// A cluster, a nebula or a galaxy.
    DeepSky(&'static DeepSky),
}

/// All of them: doubles, then the rest, each in its table's order.
pub fn beyond() -> impl Iterator<Item = Beyond> {
    let pairs = doubles().iter().map(Beyond::Double);
    pairs.chain(deep_sky().iter().map(Beyond::DeepSky))
}

impl Beyond {
    /// Lower case, stable.
    pub fn id(&self) -> &'static str {
        match self {
            Beyond::Double(double) => &double.id,
            Beyond::DeepSky(object) => &object.id,
        }
    }

    /// As written in a list for people.
    pub fn name(&self) -> &'static str {
        match self {
            Beyond::Double(double) => &double.name,
            Beyond::DeepSky(object) => &object.name,
        }
    }

    /// All it is called: its id, its name, and each part of a name like `Omega Centauri (NGC 5139)`.
    pub fn names(&self) -> impl Iterator<Item = String> + use<> {
        let whole = [self.id(), self.name()].map(String::from);
        let parts = self.name().split(['(', ')', ',']).map(str::trim);
        let parts = parts.filter(|part| !part.is_empty()).map(String::from);
        whole.into_iter().chain(parts)
    }

    /// Its place among the stars.
    pub fn star(&self) -> CatalogueStar {
        match self {
            Beyond::Double(double) => double.star(),
            Beyond::DeepSky(object) => {
                CatalogueStar::fixed(object.right_ascension_deg, object.declination_deg)
            }
        }
    }

    /// V magnitude of all its light.
    pub fn magnitude(&self) -> f64 {
        match self {
            Beyond::Double(double) => double.total_magnitude(),
            Beyond::DeepSky(object) => object.magnitude,
        }
    }

    /// What can be asked of it at days of TT since J2000.0.
    pub fn asked(&self, tt_days: f64) -> Vec<Asked> {
        match self {
            Beyond::Double(double) => {
                let year = 2000.0 + tt_days / JULIAN_YEAR_DAYS;
                let Separation {
                    separation_arcsec, ..
                } = double.separation_and_angle(year);
                vec![Asked {
                    caption: Caption {
                        id: double.id.clone(),
                        name: CaptionName::Pair {
                            pair: double.name.clone(),
                            separation_arcsec,
                        },
                        say: double.say.clone(),
                        among_stars: false,
                    },
                    today: Today::alone(double.sight(year)),
                    field_deg: 2.0 * separation_arcsec / ARCSEC_PER_DEG,
                    spread: Spread::NONE,
                    during: Vec::new(),
                    hour: None,
                    detail: None,
                    seen: None,
                }]
            }
            Beyond::DeepSky(object) => (object.aspects().into_iter())
                .map(|aspect| Asked {
                    caption: Caption {
                        id: aspect.id,
                        name: CaptionName::Part {
                            of: object.name.clone(),
                            part: aspect.part,
                        },
                        say: aspect.say.to_string(),
                        among_stars: false,
                    },
                    today: Today::alone(aspect.sight),
                    field_deg: object.outline.major_arcmin / ARCMIN_PER_DEG,
                    spread: Spread::NONE,
                    during: Vec::new(),
                    hour: None,
                    detail: None,
                    seen: None,
                })
                .collect(),
        }
    }
}
