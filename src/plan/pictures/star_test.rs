//! A star inside and outside focus by equal amounts, as this mirror shows it and as a perfect one would.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::instrument::Instrument;
use crate::optics::mtf::cutoff_cycles_per_arcsec;
use crate::optics::pupil::BestFocus;
use crate::optics::wave::defocus::{away_from_focus, travel_mm};
use crate::optics::wave::spot::{Frame, photopic_patch};
use crate::optics::wave::{Field, PathMap};

/// A star out of focus, in daylight; brightness 1 at the peak of a perfect mirror's star in focus.
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfFocus {
    /// Defocus at the rim, waves of green light.
    pub waves: f64,
    /// What the eyepiece is moved from best focus either way, mm.
    pub travel_mm: f64,
    /// Pixels across.
    pub pixels: usize,
    /// From the middle to an edge.
    pub half_width_arcsec: f64,
    /// The eyepiece nearer to the mirror than best focus; row by row.
    pub inside: Vec<f64>,
    /// Farther from the mirror.
    pub outside: Vec<f64>,
    /// A mirror without error behind the same diagonal and vanes: alike on both sides.
    pub perfect: Vec<f64>,
    /// Brightest light near the edge of the patch, inside over outside focus: 1 where the two are alike.
    pub rim_inside_over_outside: f64,
}

pub(super) fn star_test(instrument: &Instrument) -> OutOfFocus {
    let waves = waves(instrument.focal_ratio);
    let sharpest = instrument.quality().sharpest;
    let map = PathMap::of(&instrument.wavefront, SAMPLES);
    let frame = frame(waves);
    let seen =
        |focus: BestFocus| photopic_patch(&Field::new(&map, instrument.opening, focus), frame);
    let without_error = || {
        let flat = PathMap::symmetric(SAMPLES, |_| 0.0);
        let focus = away_from_focus(BestFocus::default(), waves);
        photopic_patch(&Field::new(&flat, instrument.opening, focus), frame)
    };
    let ((inside, outside), perfect) = rayon::join(
        || {
            rayon::join(
                || seen(away_from_focus(sharpest, waves)),
                || seen(away_from_focus(sharpest, -waves)),
            )
        },
        without_error,
    );
    let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
    OutOfFocus {
        waves,
        travel_mm: travel_mm(waves, instrument.focal_ratio, REFERENCE_WAVELENGTH_NM),
        pixels: frame.points,
        half_width_arcsec: frame.half_width_lambda_n / cutoff,
        rim_inside_over_outside: rim(&inside, frame, waves) / rim(&outside, frame, waves),
        inside,
        outside,
        perfect,
    }
}

/// Few, for a patch that is bright and shows single rings; more where the eyepiece would have to be moved by less than a
/// beginner can hold.
fn waves(focal_ratio: f64) -> f64 {
    let of_one_wave_mm = travel_mm(1.0, focal_ratio, REFERENCE_WAVELENGTH_NM);
    (LEAST_TRAVEL_MM / of_one_wave_mm)
        .ceil()
        .clamp(FEWEST_WAVES, MOST_WAVES)
}

fn frame(waves: f64) -> Frame {
    let half_width_lambda_n = MARGIN * edge_lambda_n(waves);
    Frame {
        half_width_lambda_n,
        points: 2 * (half_width_lambda_n / PIXEL_LAMBDA_N).ceil() as usize + 1,
    }
}

/// Where the rays of the rim pass, in units of wavelength times focal ratio.
fn edge_lambda_n(waves: f64) -> f64 {
    4.0 * waves
}

/// Brightest ring of the outer part of a patch: the mean around each ring, one pixel wide.
fn rim(image: &[f64], frame: Frame, waves: f64) -> f64 {
    let middle = (frame.points / 2) as f64;
    let pixel = frame.half_width_lambda_n / middle;
    let edge = (edge_lambda_n(waves) / pixel) as usize;
    let mut rings = vec![(0.0, 0u32); edge + 2];
    for (idx, brightness) in image.iter().enumerate() {
        let (row, column) = (idx / frame.points, idx % frame.points);
        let from_middle = (row as f64 - middle).hypot(column as f64 - middle);
        if let Some((sum, count)) = rings.get_mut(from_middle.round() as usize) {
            *sum += brightness;
            *count += 1;
        }
    }
    let outer = &rings[(OUTER * edge as f64) as usize..];
    let mean = |(sum, count): &(f64, u32)| sum / f64::from((*count).max(1));
    outer.iter().map(mean).fold(0.0, f64::max)
}

/// The patch is some two dozen rings across at most: pixels of a pupil in plenty.
const SAMPLES: usize = 160;

const FEWEST_WAVES: f64 = 4.0;
const MOST_WAVES: f64 = 10.0;

/// A focuser moved by hand; common practice, no source.
const LEAST_TRAVEL_MM: f64 = 1.0;

/// Of the patch, for what spreads beyond it.
const MARGIN: f64 = 1.35;

/// A third of what the finest ring of a perfect mirror measures.
const PIXEL_LAMBDA_N: f64 = 0.35;

/// Of the patch's radius: the outermost ring lies beyond.
const OUTER: f64 = 0.75;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_travel_is_one_that_a_hand_can_hold() {
        for focal_ratio in [4.0, 5.0, 6.0, 8.0, 10.0] {
            let waves = waves(focal_ratio);
            let mm = travel_mm(waves, focal_ratio, 550.0);
            assert!((4.0..=10.0).contains(&waves), "{waves}");
            assert!(1.0 <= mm || waves == 10.0, "{focal_ratio}: {mm}");
            assert!(mm < 2.0 || waves == 4.0, "{focal_ratio}: {mm}");
        }
    }
}
