//! How far off one reading is: from repeats, from the maker's word, or from what testers usually do.

use crate::optics::knife::spline::ReadingError;
use crate::workshop::{KnifeEdge, Zone};

/// Where the error of a reading is known from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadingErrorFrom {
    /// From how repeats of these readings scatter.
    Repeats,
    /// The maker stated it.
    Stated,
    /// Nothing was repeated or stated: what careful testers usually do, 0.05 mm.
    Assumed,
}

/// Error of a single reading where nothing is known of it, mm (common practice: 0.02 to 0.1).
pub const USUAL_READING_ERROR_MM: f64 = 0.05;

pub(super) fn reading_errors(readings: &KnifeEdge) -> (Vec<ReadingError>, ReadingErrorFrom) {
    let usual_mm = readings.reading_error_mm.unwrap_or(USUAL_READING_ERROR_MM);
    match scatter(&readings.zones) {
        Some(scatter) => (likely_errors(scatter, usual_mm), ReadingErrorFrom::Repeats),
        None => {
            let certain = ReadingError {
                mm: usual_mm,
                log_weight: 0.0,
            };
            let from = match readings.reading_error_mm {
                Some(_) => ReadingErrorFrom::Stated,
                None => ReadingErrorFrom::Assumed,
            };
            (vec![certain], from)
        }
    }
}

/// What repeats scatter by.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Scatter {
    squares_mm2: f64,
    freedoms: f64,
}

impl Scatter {
    fn error_mm(self) -> f64 {
        (self.squares_mm2 / self.freedoms).sqrt()
    }
}

/// Scatter about the zones' means; where every zone was read equally often, about the runs' means
/// too: each run may have a zero of its own, and only differences between zones count.
fn scatter(zones: &[Zone]) -> Option<Scatter> {
    let runs = zones[0].readings_mm.len();
    let is_table = zones.iter().all(|zone| zone.readings_mm.len() == runs);
    let run_means: Vec<f64> = (0..runs)
        .filter(|_| is_table)
        .map(|run| mean(zones.iter().map(|zone| zone.readings_mm[run])))
        .collect();
    let overall = mean(run_means.iter().copied());
    let mut scatter = Scatter {
        squares_mm2: 0.0,
        freedoms: 0.0,
    };
    for zone in zones {
        let of_zone = mean(zone.readings_mm.iter().copied());
        for (run, reading) in zone.readings_mm.iter().enumerate() {
            let of_run = run_means.get(run).map_or(0.0, |mean| mean - overall);
            scatter.squares_mm2 += (reading - of_zone - of_run).powi(2);
        }
        scatter.freedoms += zone.readings_mm.len() as f64 - 1.0;
    }
    if is_table {
        scatter.freedoms -= runs as f64 - 1.0;
    }
    (scatter.freedoms > 0.0).then_some(scatter)
}

/// A row of errors by how well they fit the scatter and what testers usually do: few repeats tell
/// little, and three equal readings are no proof of perfection.
fn likely_errors(scatter: Scatter, usual_mm: f64) -> Vec<ReadingError> {
    let largest_mm = (LARGEST_OF_SCATTER * scatter.error_mm()).max(LARGEST_MM);
    let ladder = std::iter::successors(Some(SMALLEST_MM), |mm| Some(mm * STEP));
    ladder
        .take_while(|mm| *mm <= largest_mm)
        .map(|mm| {
            let off = (mm / usual_mm).ln() / USUAL_SPREAD;
            let fits = -scatter.freedoms * mm.ln() - scatter.squares_mm2 / (2.0 * mm * mm);
            ReadingError {
                mm,
                log_weight: fits - off * off / 2.0,
            }
        })
        .collect()
}

pub(super) fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, count), value| (sum + value, count + 1.0));
    if count > 0.0 { sum / count } else { 0.0 }
}

/// A scale is not read more finely.
const SMALLEST_MM: f64 = 0.01;
const LARGEST_MM: f64 = 0.3;
const LARGEST_OF_SCATTER: f64 = 4.0;
const STEP: f64 = 1.3;

/// Of the logarithm: two testers in three are within a factor of two of the usual.
const USUAL_SPREAD: f64 = std::f64::consts::LN_2;

#[cfg(test)]
mod tests {
    use super::*;

    fn zones(readings_mm: &[&[f64]]) -> Vec<Zone> {
        let zone = |(idx, readings_mm): (usize, &&[f64])| Zone {
            inner_mm: idx as f64,
            outer_mm: idx as f64 + 1.0,
            readings_mm: readings_mm.to_vec(),
        };
        readings_mm.iter().enumerate().map(zone).collect()
    }

    #[test]
    fn scatter_of_repeats() {
        // Two zones, pooled: (0.02 + 0.08) / 3 degrees of freedom.
        let unequal = zones(&[&[0.0, 0.2], &[1.0, 1.2, 1.4]]);
        let got = scatter(&unequal).unwrap();
        assert!((got.squares_mm2 - 0.1).abs() < 1e-12 && got.freedoms == 3.0);
        // A run that starts from another zero is no scatter.
        let shifted = zones(&[&[0.0, 0.5], &[1.0, 1.5], &[2.0, 2.5]]);
        let got = scatter(&shifted).unwrap();
        assert!(got.squares_mm2 < 1e-12 && got.freedoms == 2.0);
        assert_eq!(scatter(&zones(&[&[0.0], &[1.0]])), None);
    }

    #[test]
    fn few_repeats_leave_the_error_open() {
        let equal = zones(&[&[0.0, 0.0], &[1.0, 1.0]]);
        let errors = likely_errors(scatter(&equal).unwrap(), 0.05);
        let likeliest = errors
            .iter()
            .max_by(|a, b| a.log_weight.total_cmp(&b.log_weight));
        let mm = likeliest.unwrap().mm;
        assert!((0.02..0.05).contains(&mm), "{mm}");
    }
}
