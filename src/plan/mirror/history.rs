//! One mirror's figures by date: how it went, and where the glass changed.

use chrono::NaiveDate;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::evidence::{Evidence, Interval};
use crate::optics::figure::{self, MirrorInTube};
use crate::optics::instrument::Instrument;
use crate::optics::knife::Unreadable;
use crate::plan::mirror::figures::Figures;
use crate::workshop::{DatedFigure, Telescope};

/// One test among several of the same mirror.
#[derive(Debug, Clone, PartialEq)]
pub struct DatedOutcome {
    /// When it was made.
    pub on_date: NaiveDate,
    /// What came of it, or why nothing did.
    pub outcome: Result<DatedStep, Unreadable>,
}

/// A mirror at one date.
#[derive(Debug, Clone, PartialEq)]
pub struct DatedStep {
    /// Behind the diagonal of today.
    pub figures: Figures,
    /// Share of the paraboloid's departure from the sphere; `None` where it was not found.
    pub correction: Option<Interval>,
    /// `(share of the radius, height of the glass nm)` against the best paraboloid; empty where the shape is not known or not
    /// alike all around.
    pub surface_nm: Vec<(f64, f64)>,
    /// Where the glass changed most since the date before, both shapes known: `(from the middle mm, by nm)`, positive where it is
    /// higher now.
    pub changed: Option<(f64, f64)>,
}

/// All tests of a mirror that has several, oldest first.
pub(super) fn history(telescope: &Telescope, instrument: &Instrument) -> Vec<DatedOutcome> {
    let mut before: Option<Vec<(f64, f64)>> = None;
    (telescope.history.iter())
        .filter_map(|dated| {
            let outcome = step(dated, instrument, before.as_deref());
            if let Ok(step) = &outcome {
                before = Some(step.surface_nm.clone());
            }
            Some(DatedOutcome {
                on_date: dated.on_date?,
                outcome,
            })
        })
        .collect()
}

fn step(
    dated: &DatedFigure,
    instrument: &Instrument,
    before: Option<&[(f64, f64)]>,
) -> Result<DatedStep, Unreadable> {
    let glass = MirrorInTube {
        aperture_mm: instrument.aperture_mm,
        radius_of_curvature_mm: 2.0 * instrument.focal_length_mm,
        obstruction: instrument.obstruction,
    };
    let judged = figure::judged(&dated.figure, dated.star_test, glass)?;
    let quality = (judged.wavefront).quality(instrument.opening, REFERENCE_WAVELENGTH_NM);
    let surface_nm = judged.found.evidence().map_or(Vec::new(), surface_nm);
    let rim_mm = instrument.aperture_mm / 2.0;
    Ok(DatedStep {
        figures: Figures::of(&dated.figure, &judged.found, &quality),
        correction: judged.found.evidence().map(|evidence| evidence.correction),
        changed: before.and_then(|before| changed(before, &surface_nm, rim_mm)),
        surface_nm,
    })
}

fn surface_nm(evidence: &Evidence) -> Vec<(f64, f64)> {
    let points = evidence.profile.iter();
    points
        .map(|point| (point.radius_fraction, -point.wavefront_nm / 2.0))
        .collect()
}

fn changed(before: &[(f64, f64)], now: &[(f64, f64)], rim_mm: f64) -> Option<(f64, f64)> {
    let both = before.iter().zip(now);
    both.map(|(before, now)| (now.0 * rim_mm, now.1 - before.1))
        .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
}
