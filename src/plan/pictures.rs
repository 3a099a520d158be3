//! The curves behind a mirror's pictures: nothing here draws.

mod history;
mod profile;
mod star_test;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::knife;
use crate::optics::mtf::cutoff_cycles_per_arcsec;
use crate::optics::wave::spot::{Frame, photopic_spot};
use crate::optics::wave::{Field, PathMap, SAMPLES};
use crate::plan::mirror::Judged;
use crate::plan::pictures::history::history;
use crate::plan::pictures::profile::profile;
use crate::plan::pictures::star_test::star_test;
use crate::workshop::Figure;

pub use self::history::PastTest;
pub use self::profile::{Corridor, DrawnWindow, GlassPoint, KnownEdge, Profile, RadiusStretch};
pub use self::star_test::OutOfFocus;

/// All pictures of one mirror.
#[derive(Debug, Clone, PartialEq)]
pub struct Pictures {
    /// Whose.
    pub subject: PictureHeading,
    /// Height of the glass against the best paraboloid; `None` where the mirror is not alike all around
    /// or nothing is known of its shape.
    pub profile: Option<Profile>,
    /// Readings against what they may be, from the middle outward; only of knife-edge tests.
    pub readings: Vec<Reading>,
    /// Contrast by fineness.
    pub contrast: ContrastCurve,
    /// The image of a star.
    pub star: Star,
    /// The image of a star beside best focus.
    pub star_test: OutOfFocus,
    /// All tests by date, oldest first; empty where there are no two.
    pub history: Vec<PastTest>,
}

/// What stands above every picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureHeading {
    /// As in the workshop file.
    pub name: String,
    /// What the figure rests on.
    pub basis: DrawnFrom,
}

/// What a drawn figure rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DrawnFrom {
    /// Its shape was measured.
    Measured,
    /// One number was stated; the shape is assumed smooth.
    OneNumber,
    /// Nothing was said: taken as perfect.
    Nothing,
}

/// One zone's reading less the ideal one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Inner edge of the window.
    pub inner_mm: f64,
    /// Outer edge of the window.
    pub outer_mm: f64,
    /// Radius it belongs to.
    pub from_axis_mm: f64,
    /// Reading less ideal, positive farther from the mirror.
    pub residual_mm: f64,
    /// How large that may be either way.
    pub tolerance_mm: f64,
    /// Standard error of the mean reading.
    pub error_mm: f64,
}

/// Contrast kept, by how fine a pattern is.
#[derive(Debug, Clone, PartialEq)]
pub struct ContrastCurve {
    /// From coarse to the finest that the aperture passes.
    pub points: Vec<ContrastPoint>,
}

/// One fineness of pattern.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContrastPoint {
    /// Pairs of a dark and a light stripe in an arcsecond.
    pub pairs_per_arcsec: f64,
    /// In daylight, mean over all directions.
    pub this_mirror: f64,
    /// In the direction where it is least, green light; `None` where all directions are alike.
    pub worst_direction: Option<f64>,
    /// In daylight, a mirror without error behind the same diagonal and vanes.
    pub perfect: f64,
}

/// A star's image, brightness 1 at the peak of the perfect one.
#[derive(Debug, Clone, PartialEq)]
pub struct Star {
    /// Pixels across.
    pub pixels: usize,
    /// From the middle to an edge.
    pub half_width_arcsec: f64,
    /// Row by row.
    pub this_mirror: Vec<f64>,
    /// Row by row.
    pub perfect: Vec<f64>,
}

/// Steps of the curves.
const STEPS: usize = 100;

const STAR_PIXELS: usize = 121;

/// Enough for four bright rings.
const STAR_HALF_WIDTH_LAMBDA_N: f64 = 5.0;

/// Computes the curves of one mirror.
///
/// ```
/// use skyworthy::plan::mirror::mirrors;
/// use skyworthy::plan::pictures::pictures;
/// use skyworthy::workshop;
///
/// let answer = mirrors(&workshop::example(), "2026-12-17".parse()?)?;
/// let judged = answer.mirrors[0].judged.as_ref().map_err(Clone::clone)?;
/// let curves = pictures(judged);
/// for point in &curves.contrast.points {
///     println!("{:.2} pairs an arcsecond: {:.2}", point.pairs_per_arcsec, point.this_mirror);
/// }
/// // No mirror keeps more contrast than one without error, but for rounding.
/// assert!(curves.contrast.points.iter().all(|it| it.this_mirror <= it.perfect + 1e-3));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn pictures(judged: &Judged) -> Pictures {
    Pictures {
        subject: heading(judged),
        profile: glass(judged),
        readings: readings(judged),
        contrast: contrast(judged),
        star: star(judged),
        star_test: star_test(&judged.instrument),
        history: history(judged),
    }
}

/// Height of the glass against the best paraboloid; `None` where the mirror is not alike all around or nothing is
/// known of its shape.
pub fn glass(judged: &Judged) -> Option<Profile> {
    match basis(&judged.telescope.figure) {
        DrawnFrom::Measured => profile(judged),
        DrawnFrom::OneNumber | DrawnFrom::Nothing => None,
    }
}

fn heading(judged: &Judged) -> PictureHeading {
    PictureHeading {
        name: judged.instrument.name.clone(),
        basis: basis(&judged.telescope.figure),
    }
}

fn basis(figure: &Figure) -> DrawnFrom {
    match figure {
        Figure::NotGiven => DrawnFrom::Nothing,
        Figure::Stated(_) => DrawnFrom::OneNumber,
        Figure::Sphere
        | Figure::KnifeEdge(_)
        | Figure::Zernike { .. }
        | Figure::Profile { .. }
        | Figure::BandsSeen(_) => DrawnFrom::Measured,
    }
}

fn readings(judged: &Judged) -> Vec<Reading> {
    let (Some(reduction), Figure::KnifeEdge(test)) = (
        judged.instrument.found.reduction(),
        &judged.telescope.figure,
    ) else {
        return Vec::new();
    };
    let times_read = |inner_mm: f64| {
        let zone = test.zones.iter().find(|zone| zone.inner_mm == inner_mm);
        zone.map_or(1, |zone| zone.readings_mm.len().max(1))
    };
    let reading = |zone: &knife::ZoneOutcome| Reading {
        inner_mm: zone.inner_mm,
        outer_mm: zone.outer_mm,
        from_axis_mm: zone.reading_radius_mm,
        residual_mm: zone.residual_mm,
        tolerance_mm: zone.tolerance_mm,
        error_mm: reduction.reading_error_mm / (times_read(zone.inner_mm) as f64).sqrt(),
    };
    reduction.zones.iter().map(reading).collect()
}

fn contrast(judged: &Judged) -> ContrastCurve {
    let instrument = &judged.instrument;
    let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
    let alike_all_around = instrument.wavefront.is_symmetric();
    let point = |step: usize| {
        let share = step as f64 / STEPS as f64;
        ContrastPoint {
            pairs_per_arcsec: share * cutoff,
            this_mirror: instrument.image.photopic_mtf.at(share),
            worst_direction: (!alike_all_around).then(|| instrument.image.worst_mtf.at(share)),
            perfect: instrument.mtf_of_perfect_figure.at(share),
        }
    };
    ContrastCurve {
        points: (0..=STEPS).map(point).collect(),
    }
}

fn star(judged: &Judged) -> Star {
    let instrument = &judged.instrument;
    let sharpest = instrument
        .wavefront
        .quality(instrument.opening, REFERENCE_WAVELENGTH_NM)
        .sharpest;
    let field = Field::new(
        &PathMap::of(&instrument.wavefront, SAMPLES),
        instrument.opening,
        sharpest,
    );
    let frame = Frame {
        half_width_lambda_n: STAR_HALF_WIDTH_LAMBDA_N,
        points: STAR_PIXELS,
    };
    let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
    Star {
        pixels: STAR_PIXELS,
        half_width_arcsec: STAR_HALF_WIDTH_LAMBDA_N / cutoff,
        this_mirror: photopic_spot(&field, frame),
        perfect: photopic_spot(&Field::perfect(SAMPLES, instrument.opening), frame),
    }
}
