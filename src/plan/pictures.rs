//! The curves behind a mirror's pictures: nothing here draws.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::mtf::cutoff_cycles_per_arcsec;
use crate::optics::wave::Field;
use crate::optics::wave::PathMap;
use crate::optics::wave::SAMPLES;
use crate::optics::wave::spot::Frame;
use crate::optics::wave::spot::photopic_spot;
use crate::plan::mirror::Judged;

/// All pictures of one mirror.
#[derive(Debug, Clone, PartialEq)]
pub struct Pictures {
    /// As in the workshop file.
    pub name: String,
    /// Height of the glass against the best paraboloid; `None` where the mirror is not alike all around.
    pub profile: Option<Profile>,
    /// Readings against what they may be; only of knife-edge tests.
    pub readings: Vec<Reading>,
    /// Contrast by fineness.
    pub contrast: Contrast,
    /// The image of a star.
    pub star: Star,
}

/// Height of the glass from the middle to the rim.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// `(from the middle mm, height nm, low nm, high nm)`; low and high hold the truth nine times in ten.
    pub points: Vec<(f64, f64, f64, f64)>,
    /// Half-width of the band that a quarter of a wave on the wavefront leaves to the glass, nm.
    pub tolerance_nm: f64,
}

/// One zone's reading less the ideal one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Radius it belongs to.
    pub from_axis_mm: f64,
    /// Reading less ideal.
    pub residual_mm: f64,
    /// How large that may be either way.
    pub tolerance_mm: f64,
    /// Standard error of the mean reading.
    pub error_mm: f64,
}

/// Contrast kept, by the width of a stripe.
#[derive(Debug, Clone, PartialEq)]
pub struct Contrast {
    /// `(cycles an arcsecond, this mirror, in its worst direction, a perfect mirror)`, in daylight; the worst
    /// direction in green.
    pub points: Vec<(f64, f64, f64, f64)>,
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
pub fn pictures(judged: &Judged) -> Pictures {
    Pictures {
        name: judged.instrument.name.clone(),
        profile: profile(judged),
        readings: readings(judged),
        contrast: contrast(judged),
        star: star(judged),
    }
}

fn profile(judged: &Judged) -> Option<Profile> {
    let instrument = &judged.instrument;
    let rim_mm = instrument.aperture_mm / 2.0;
    // A path too long is glass too low, by half.
    let height = |wavefront_nm: f64| -wavefront_nm / 2.0;
    let points = match &instrument.reduction {
        Some(reduction) => reduction
            .profile
            .iter()
            .map(|point| {
                (
                    point.radius_fraction * rim_mm,
                    height(point.wavefront_nm),
                    height(point.wavefront_high_nm),
                    height(point.wavefront_low_nm),
                )
            })
            .collect(),
        None if instrument.wavefront.is_symmetric() => judged
            .departures_nm()
            .into_iter()
            .map(|(share, nm)| (share * rim_mm, nm, nm, nm))
            .collect(),
        None => return None,
    };
    Some(Profile {
        points,
        tolerance_nm: REFERENCE_WAVELENGTH_NM / 16.0,
    })
}

fn readings(judged: &Judged) -> Vec<Reading> {
    let Some(reduction) = &judged.instrument.reduction else {
        return Vec::new();
    };
    let counts = match &judged.telescope.figure {
        crate::workshop::Figure::KnifeEdge(knife) => knife
            .zones
            .iter()
            .map(|zone| zone.readings_mm.len())
            .collect(),
        _ => Vec::new(),
    };
    reduction
        .zones
        .iter()
        .zip(counts)
        .map(|(zone, count)| Reading {
            from_axis_mm: zone.reading_radius_mm,
            residual_mm: zone.residual_mm,
            tolerance_mm: zone.tolerance_mm,
            error_mm: reduction.reading_error_mm / (count.max(1) as f64).sqrt(),
        })
        .collect()
}

fn contrast(judged: &Judged) -> Contrast {
    let instrument = &judged.instrument;
    let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
    let point = |step: usize| {
        let share = step as f64 / STEPS as f64;
        (
            share * cutoff,
            instrument.image.photopic_mtf.at(share),
            instrument.image.worst_mtf.at(share),
            instrument.mtf_of_perfect_figure.at(share),
        )
    };
    Contrast {
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
