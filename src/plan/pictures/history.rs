//! A mirror's tests over the dates.

use chrono::NaiveDate;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::evidence::Interval;
use crate::plan::mirror::{DatedOutcome, DatedStep, Judged};

/// What one test came to.
#[derive(Debug, Clone, PartialEq)]
pub struct PastTest {
    /// When it was made.
    pub on_date: NaiveDate,
    /// Behind the diagonal of today.
    pub strehl: Interval,
    /// Peak to valley at best focus, waves.
    pub wavefront_pv_waves: Interval,
    /// Share of the paraboloid's departure from the sphere; `None` where it was not found.
    pub correction: Option<Interval>,
    /// `(from the middle mm, height of the glass nm)` against the best paraboloid; empty where the shape is not known.
    pub glass: Vec<(f64, f64)>,
}

/// Oldest first; nothing where fewer than two tests came to anything, for that is no run.
pub(super) fn history(judged: &Judged) -> Vec<PastTest> {
    let rim_mm = judged.instrument.aperture_mm / 2.0;
    let test = |dated: &DatedOutcome| {
        let step = dated.outcome.as_ref().ok()?;
        Some(of_step(dated.on_date, step, rim_mm))
    };
    let tests: Vec<PastTest> = judged.history.iter().filter_map(test).collect();
    match tests.len() {
        0 | 1 => Vec::new(),
        _ => tests,
    }
}

fn of_step(on_date: NaiveDate, step: &DatedStep, rim_mm: f64) -> PastTest {
    let pv_nm = &step.figures.wavefront_pv_nm;
    let waves = |nm: f64| nm / REFERENCE_WAVELENGTH_NM;
    let glass = step.surface_nm.iter();
    PastTest {
        on_date,
        strehl: step.figures.strehl,
        wavefront_pv_waves: Interval {
            value: waves(pv_nm.value),
            low: waves(pv_nm.low),
            high: waves(pv_nm.high),
        },
        correction: step.correction,
        glass: glass.map(|(share, nm)| (share * rim_mm, *nm)).collect(),
    }
}
