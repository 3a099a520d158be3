//! From one photograph to the wavefront behind its bands.

use crate::optics::opening::Opening;
use crate::optics::pupil::{Grid, quality};

use super::circles::proposed;
use super::fit::{Case, Fitted, coarse, fitted};
use super::photo::Photo;
use super::rim::{Ellipse, NoRim, refined};
use super::samples::Samples;
use super::setup::PhotoSetup;
use super::start::starts;
use super::terms::{RIM_FROM, height};
use super::unknowns::Unknowns;

/// What one photograph came to.
#[derive(Debug, Clone)]
pub struct PhotoReading {
    /// The rim that was used.
    pub rim: Ellipse,
    /// The wavefront, and how well its bands are those of the picture.
    pub fitted: Fitted,
    /// The places that were compared.
    pub samples: Samples,
}

/// Why a photograph is not read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NotRead {
    /// No rim.
    Rim(NoRim),
    /// Nothing like the bands of such a ruling.
    NoBands {
        /// How alike the likest are, 0 to about 0.7.
        alike: f64,
    },
    /// Bands that no mirror explains.
    Unexplained {
        /// Share of the light's variance that was, 0 to 1.
        share: f64,
    },
}

/// Places compared in the end.
const PLACES: usize = 9000;

/// Every so manieth of them to begin with, and to choose among beginnings.
const THIN_FOR_START: usize = 6;
const THIN_FOR_CHOICE: usize = 3;

/// Rims tried.
const RIMS: usize = 3;

const LEAST_ALIKE: f64 = 0.12;
const LEAST_EXPLAINED: f64 = 0.75;

/// With the rim that explains most, of those that may be meant; with the given one, where somebody gives it.
/// `offset_mm`: of the grating from the centre of curvature as it was read, negative inside; only its sign is relied on.
pub fn read(
    photo: &Photo,
    setup: &PhotoSetup,
    offset_mm: f64,
    given: Option<Ellipse>,
) -> Result<PhotoReading, NotRead> {
    let rims: Vec<Result<Ellipse, NoRim>> = match given {
        Some(rim) => vec![Ok(rim)],
        // What is refused costs little: the fits do.
        None => {
            let all = proposed(photo).into_iter();
            let (found, refused): (Vec<_>, Vec<_>) =
                (all.map(|start| refined(photo, start))).partition(Result::is_ok);
            let mut each: Vec<Ellipse> = Vec::new();
            for rim in found.into_iter().flatten() {
                if each.len() < RIMS && !each.iter().any(|known| known.is_like(&rim)) {
                    each.push(rim);
                }
            }
            match each.is_empty() {
                true => refused,
                false => each.into_iter().map(Ok).collect(),
            }
        }
    };
    let mut best: Option<(f64, Ellipse, Samples, Unknowns)> = None;
    let mut why = NotRead::Rim(NoRim::NoCircle);
    for rim in rims {
        let rim = match rim {
            Ok(rim) => rim,
            Err(no_rim) => {
                why = NotRead::Rim(no_rim);
                continue;
            }
        };
        let samples = Samples::of(photo, &rim, PLACES);
        match chosen(&samples, setup, offset_mm) {
            Ok((explained, unknowns)) => {
                if best.as_ref().is_none_or(|best| best.0 < explained) {
                    best = Some((explained, rim, samples, unknowns));
                }
            }
            Err(not_read) => why = not_read,
        }
    }
    let (_, rim, samples, unknowns) = best.ok_or(why)?;
    let fitted = {
        let case = Case {
            samples: &samples,
            offset_mm,
            turned_rad: 0.0,
        };
        fitted(setup, &[case], unknowns, false)
    };
    let share = fitted.pictures[0].explained;
    match share < LEAST_EXPLAINED {
        true => Err(NotRead::Unexplained { share }),
        false => Ok(PhotoReading {
            rim,
            fitted,
            samples,
        }),
    }
}

/// The best of several beginnings.
fn chosen(
    samples: &Samples,
    setup: &PhotoSetup,
    offset_mm: f64,
) -> Result<(f64, Unknowns), NotRead> {
    let starts = starts(&samples.thinned(THIN_FOR_START), setup, offset_mm);
    let alike = starts.first().map_or(0.0, |start| start.alike);
    if alike < LEAST_ALIKE {
        return Err(NotRead::NoBands { alike });
    }
    let fewer = samples.thinned(THIN_FOR_CHOICE);
    let case = [Case {
        samples: &fewer,
        offset_mm,
        turned_rad: 0.0,
    }];
    let tried = starts.iter().map(|start| {
        let (unknowns, explained) = coarse(setup, &case, Unknowns::starting(setup, &[*start]));
        (explained, unknowns)
    });
    let best = tried.max_by(|a, b| a.0.total_cmp(&b.0));
    best.ok_or(NotRead::NoBands { alike })
}

impl PhotoReading {
    /// Of the star's wavefront from the paraboloid of that radius of curvature, nm; piston and focus are left in.
    pub fn wave_nm(&self, setup: &PhotoSetup, rho: f64) -> f64 {
        let terms = self.fitted.unknowns.terms_nm(0);
        height(&terms, rho) - paraboloid_nm(setup, rho)
    }

    /// RMS of the wavefront at best focus, over the full disc, nm.
    pub fn wave_rms_nm(&self, setup: &PhotoSetup) -> f64 {
        let grid = Grid {
            opening: Opening::FULL,
            corners: RIM_FROM.to_vec(),
            rings: 60,
            spokes: 1,
        };
        let path_nm = |rho: f64, _| self.wave_nm(setup, rho);
        quality(&grid, setup.wavelength_nm, path_nm).wavefront_rms_nm
    }
}

/// Path from the centre of curvature by a paraboloid and back, over that by its vertex, nm.
fn paraboloid_nm(setup: &PhotoSetup, rho: f64) -> f64 {
    let (r, radius) = (rho * setup.rim_mm, setup.radius_mm);
    let depth = r * r / (2.0 * radius);
    2.0 * (r.hypot(radius - depth) - radius) * 1e6
}
