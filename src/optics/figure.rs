//! From what a maker knows of the figure to a wavefront, and what was taken.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::conic::Conic;
use crate::optics::evidence::bands_seen::{self, BandsOutcome};
use crate::optics::evidence::{Evidence, Interval};
use crate::optics::knife::{Doubt, Mirror, Reduction, Unreadable, reduce_with_star};
use crate::optics::pupil::Quality;
use crate::optics::wavefront::{Wavefront, WavefrontTerm, pv_over_rms_of_balanced_spherical};
use crate::units::SurfaceNm;
use crate::workshop::{Figure, On, StarTest, Stated, StatedAmount};
use std::fmt;

/// The figure is not judged: no wavefront can be had from its knife-edge readings.
#[derive(Debug, Clone, PartialEq)]
pub struct NotJudged {
    /// Whose.
    pub telescope: String,
    /// What is wrong with them.
    pub why: Unreadable,
}

impl fmt::Display for NotJudged {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let NotJudged { telescope, why } = self;
        write!(f, "the figure of `{telescope}` cannot be judged: {why}")
    }
}

impl std::error::Error for NotJudged {}

/// A wavefront and, where it was read at the bench, how surely.
#[derive(Debug, Clone, PartialEq)]
pub struct JudgedFigure {
    /// What the figure does to light.
    pub wavefront: Wavefront,
    /// What it rests on.
    pub found: FigureFound,
}

/// What looking at the mirror left, as far as it has an interval.
#[derive(Debug, Clone, PartialEq)]
pub enum FigureFound {
    /// Nothing was looked at, or what is known is taken at its word.
    AsStated,
    /// Of knife-edge readings.
    Readings(Reduction),
    /// Of bands that were looked at.
    Bands(BandsOutcome),
}

impl FigureFound {
    /// The figures and how surely.
    pub fn evidence(&self) -> Option<&Evidence> {
        match self {
            FigureFound::AsStated => None,
            FigureFound::Readings(reduction) => Some(&reduction.evidence),
            FigureFound::Bands(bands) => Some(&bands.evidence),
        }
    }

    /// What has to be known of it.
    pub fn doubts(&self) -> &[Doubt] {
        match self {
            FigureFound::AsStated => &[],
            FigureFound::Readings(reduction) => &reduction.doubts,
            FigureFound::Bands(bands) => &bands.doubts,
        }
    }

    /// Of knife-edge readings.
    pub fn reduction(&self) -> Option<&Reduction> {
        match self {
            FigureFound::Readings(reduction) => Some(reduction),
            _ => None,
        }
    }
}

/// The mirror and its place in the tube, as far as the figure needs them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MirrorInTube {
    /// Clear aperture, mm.
    pub aperture_mm: f64,
    /// Vertex radius, mm.
    pub radius_of_curvature_mm: f64,
    /// Diagonal over aperture.
    pub obstruction: f64,
}

/// The wavefront of a figure; fails only for knife-edge readings that cannot be used.
///
/// A stated number is taken at its word for the part of the mirror that works, with the shape
/// that figuring leaves most often: primary spherical aberration. Other shapes have other ratios of
/// peak to valley to RMS (that one 3.4, astigmatism 4.9, coma 5.7, a narrow ring or edge more).
///
/// What a star showed narrows what readings and bands leave open; it changes no other figure.
pub fn judged(
    figure: &Figure,
    star: Option<StarTest>,
    glass: MirrorInTube,
) -> Result<JudgedFigure, Unreadable> {
    let wavefront = match figure {
        Figure::NotGiven => Wavefront::Perfect,
        Figure::Stated(stated) => Wavefront::Balanced {
            wavefront_rms_nm: stated_rms_nm(stated),
            obstruction: glass.obstruction,
        },
        Figure::Sphere => Wavefront::OfConic {
            conic: Conic::sphere(glass.radius_of_curvature_mm),
            aperture_mm: glass.aperture_mm,
        },
        Figure::KnifeEdge(readings) => {
            let reduction = reduce_with_star(readings, glass.mirror(), star)?;
            return Ok(JudgedFigure {
                wavefront: reduction.evidence.wavefront(),
                found: FigureFound::Readings(reduction),
            });
        }
        Figure::Zernike { terms, on } => Wavefront::Terms(
            terms
                .iter()
                .map(|term| WavefrontTerm {
                    n: term.n,
                    m: term.m,
                    wavefront_nm: path_per_height(*on) * term.nm_rms,
                })
                .collect(),
        ),
        Figure::BandsSeen(seen) => {
            let bands = bands_seen::outcome(seen, glass.mirror(), star);
            return Ok(JudgedFigure {
                wavefront: bands.evidence.wavefront(),
                found: FigureFound::Bands(bands),
            });
        }
        Figure::Profile { points, on } => Wavefront::Profile(
            points
                .iter()
                .map(|(rho, nm)| (*rho, path_per_height(*on) * nm))
                .collect(),
        ),
    };
    Ok(JudgedFigure {
        wavefront,
        found: FigureFound::AsStated,
    })
}

/// The wavefront alone.
pub fn wavefront(figure: &Figure, glass: MirrorInTube) -> Result<Wavefront, Unreadable> {
    judged(figure, None, glass).map(|judged| judged.wavefront)
}

impl MirrorInTube {
    fn mirror(self) -> Mirror {
        Mirror {
            aperture_mm: self.aperture_mm,
            radius_of_curvature_mm: self.radius_of_curvature_mm,
            obstruction: self.obstruction,
            wavelength_nm: REFERENCE_WAVELENGTH_NM,
        }
    }
}

/// What was taken for the figure, and what came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FigureTaken {
    /// Where it comes from.
    pub basis: Basis,
    /// Peak to valley at best focus, nm.
    pub wavefront_pv_nm: f64,
    /// Root mean square at best focus, nm.
    pub wavefront_rms_nm: f64,
    /// Strehl ratio of mirrors that may as well have looked so, where the test leaves it open.
    pub strehl: Option<Interval>,
    /// What has to be settled before its readings can be relied on.
    pub doubt: Option<Doubt>,
}

/// What the maker knows of a figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// Nothing: a perfect paraboloid is assumed.
    NotGiven,
    /// It was left spherical.
    Sphere,
    /// Knife-edge readings.
    KnifeEdge {
        /// In so many zones.
        n_zones: usize,
    },
    /// One number, peak to valley; smooth spherical aberration is assumed.
    StatedPeakToValley,
    /// One number, RMS; smooth spherical aberration is assumed.
    StatedRms,
    /// Zernike terms.
    Zernike {
        /// So many.
        n_terms: usize,
    },
    /// A radial profile.
    Profile,
    /// The look of the Ronchi bands.
    BandsSeen,
}

impl FigureTaken {
    /// Of that figure, whose wavefront came out so.
    pub fn of(figure: &Figure, quality: &Quality, found: &FigureFound) -> FigureTaken {
        FigureTaken {
            basis: Basis::of(figure),
            wavefront_pv_nm: quality.wavefront_pv_nm,
            wavefront_rms_nm: quality.wavefront_rms_nm,
            strehl: found.evidence().map(|evidence| evidence.strehl),
            doubt: (found.doubts().iter())
                .find(|doubt| doubt.bars_a_certificate())
                .cloned(),
        }
    }
}

impl Basis {
    fn of(figure: &Figure) -> Basis {
        match figure {
            Figure::NotGiven => Basis::NotGiven,
            Figure::Sphere => Basis::Sphere,
            Figure::KnifeEdge(readings) => Basis::KnifeEdge {
                n_zones: readings.zones.len(),
            },
            Figure::Stated(stated) => match stated.amount {
                StatedAmount::PeakToValleyWaves(_) => Basis::StatedPeakToValley,
                StatedAmount::RmsWaves(_) => Basis::StatedRms,
            },
            Figure::Zernike { terms, .. } => Basis::Zernike {
                n_terms: terms.len(),
            },
            Figure::Profile { .. } => Basis::Profile,
            Figure::BandsSeen(_) => Basis::BandsSeen,
        }
    }
}

fn stated_rms_nm(stated: &Stated) -> f64 {
    let waves = match stated.amount {
        StatedAmount::RmsWaves(waves) => waves,
        StatedAmount::PeakToValleyWaves(waves) => waves / pv_over_rms_of_balanced_spherical(),
    };
    let nm = waves * stated.wavelength_nm;
    match stated.on {
        On::Wavefront => nm,
        On::Surface => SurfaceNm(nm).magnitude_on_wavefront().0,
    }
}

/// High glass shortens the path, twice.
fn path_per_height(on: On) -> f64 {
    match on {
        On::Surface => -2.0,
        On::Wavefront => 1.0,
    }
}
