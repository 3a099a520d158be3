//! The zonal mask for a knife-edge test: where its windows end, and what a paraboloid reads through them.
//!
//! A window is read as a whole. Across it the reading that a paraboloid would give changes, and toward the rim
//! less and less error is borne; so windows are cut such that within each the wanted reading changes by the same part
//! of what a reading there may be off. The wanted reading goes with `r^2` and what it may be off with `1 / r`, so
//! `r^3` is what is cut into equal parts.

use crate::optics::knife::Mirror;
use crate::optics::knife::geometry::{ideal_reading_mm, reading_radius_mm};
use crate::optics::knife::tolerance::reading_tolerance_mm;
use crate::workshop::{KnifeSource, ReadingAt};

/// Fewer windows tell nothing: only differences count.
pub const FEWEST_WINDOWS: usize = 2;

/// No narrower window is proposed, mm: it is dim, and its edges spread the light. Common practice, no source.
const USUAL_LEAST_MM: f64 = 5.0;

/// No narrower one is cut, whoever asks for it, mm. Common practice, no source.
const LEAST_MM: f64 = 4.0;

/// Windows that masks for 100 to 300 mm have. Common practice, no source.
const USUAL_WINDOWS: (usize, usize) = (3, 7);

/// Card is cut to tenths of a millimetre.
const PARTS_OF_A_MM: f64 = 10.0;

/// One window, and what a paraboloid reads through it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MaskWindow {
    /// Inner edge, mm from the middle.
    pub inner_mm: f64,
    /// Outer edge, mm.
    pub outer_mm: f64,
    /// The radius that a reading belongs to, mm.
    pub reads_at_mm: f64,
    /// With the lamp standing still.
    pub fixed: WantedReading,
    /// With the lamp on the knife's carriage.
    pub moving: WantedReading,
}

/// What the knife's scale should say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WantedReading {
    /// Farther from the mirror than through the first window, mm.
    pub reading_mm: f64,
    /// What it may be off, mm either way, once the zero is where it suits all readings best.
    pub tolerance_mm: f64,
}

/// Edges of windows of equal tolerance, mm, from 0 to the rim, cut to a tenth of a millimetre.
pub fn edges_mm(rim_mm: f64, windows: usize) -> Vec<f64> {
    let cut = |edge_mm: f64| (PARTS_OF_A_MM * edge_mm).round() / PARTS_OF_A_MM;
    (0..=windows)
        .map(|idx| match idx == windows {
            true => rim_mm,
            false => cut(rim_mm * (idx as f64 / windows as f64).cbrt()),
        })
        .collect()
}

/// How many windows to propose: so many that within each the wanted reading changes by what it may be off, no more, as
/// far as 3 to 7 of them do and none is too narrow.
pub fn usual_windows(mirror: &Mirror) -> usize {
    let rim_mm = mirror.aperture_mm / 2.0;
    let wanted = tolerances_across(mirror).ceil() as usize;
    wanted
        .clamp(USUAL_WINDOWS.0, USUAL_WINDOWS.1)
        .min(most_of_width(rim_mm, USUAL_LEAST_MM))
}

/// More windows would be too narrow.
pub fn most_windows(rim_mm: f64) -> usize {
    most_of_width(rim_mm, LEAST_MM)
}

/// The last window is the narrowest: `rim (1 - (1 - 1/n)^(1/3))`.
fn most_of_width(rim_mm: f64, least_mm: f64) -> usize {
    let left = (1.0 - least_mm / rim_mm).max(0.0);
    let most = 1.0 / (1.0 - left.powi(3));
    (most as usize).max(FEWEST_WINDOWS)
}

/// From the middle to the rim: by how many times what it may be off the wanted reading changes; the same with either
/// lamp. `a / (58.5 lambda F^3)` for a rim `a`.
fn tolerances_across(mirror: &Mirror) -> f64 {
    let (rim_mm, radius_mm) = (mirror.aperture_mm / 2.0, mirror.radius_of_curvature_mm);
    let reading_mm = ideal_reading_mm(KnifeSource::Moving, rim_mm, radius_mm);
    // The integral of 2 r dr over c / r, where at the rim the reading is rim^2 and the tolerance c / rim.
    2.0 / 3.0 * reading_mm / reading_tolerance_mm(mirror, KnifeSource::Moving, rim_mm)
}

/// What a paraboloid reads through windows of these edges.
pub fn windows(mirror: &Mirror, edges: &[(f64, f64)], reading_at: ReadingAt) -> Vec<MaskWindow> {
    let reads_at_mm = |(inner_mm, outer_mm): (f64, f64)| {
        let middle_mm = reading_radius_mm(reading_at, inner_mm, outer_mm);
        middle_mm.min(mirror.aperture_mm / 2.0)
    };
    let zero_at_mm = edges.first().copied().map_or(0.0, reads_at_mm);
    let wanted = |source: KnifeSource, at_mm: f64| {
        let ideal_mm = |at_mm| ideal_reading_mm(source, at_mm, mirror.radius_of_curvature_mm);
        WantedReading {
            reading_mm: ideal_mm(at_mm) - ideal_mm(zero_at_mm),
            tolerance_mm: reading_tolerance_mm(mirror, source, at_mm),
        }
    };
    let window = |edge: &(f64, f64)| {
        let at_mm = reads_at_mm(*edge);
        MaskWindow {
            inner_mm: edge.0,
            outer_mm: edge.1,
            reads_at_mm: at_mm,
            fixed: wanted(KnifeSource::Fixed, at_mm),
            moving: wanted(KnifeSource::Moving, at_mm),
        }
    };
    edges.iter().map(window).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    fn mirror(aperture_mm: f64, focal_ratio: f64) -> Mirror {
        Mirror {
            aperture_mm,
            radius_of_curvature_mm: 2.0 * focal_ratio * aperture_mm,
            obstruction: 0.0,
            wavelength_nm: 550.0,
        }
    }

    fn pairs(edges_mm: &[f64]) -> Vec<(f64, f64)> {
        (edges_mm.windows(2))
            .map(|pair| (pair[0], pair[1]))
            .collect()
    }

    /// Readings of a perfect 200 mm f/6 by wave optics, lamp fixed, zones of equal area (J. Burrows, ATM mailing list,
    /// March 2005): 0.486, 1.510, 2.589, 3.662 mm. As published for the whole mirror they are 1.8 % steeper than
    /// geometry with the radius that halves the area has them: 2 %, and half of the last digits of two readings.
    #[test]
    fn readings_by_wave_optics() {
        let edges: Vec<f64> = (0..=4)
            .map(|idx| 100.0 * (f64::from(idx) / 4.0).sqrt())
            .collect();
        close("as published", edges[3], 86.6, 0.05);
        let got = windows(&mirror(200.0, 6.0), &pairs(&edges), ReadingAt::Window);
        let published_mm = [0.486, 1.510, 2.589, 3.662];
        for (window, reading_mm) in got.iter().zip(published_mm) {
            let want_mm = reading_mm - published_mm[0];
            close(
                "reading",
                window.fixed.reading_mm,
                want_mm,
                0.02 * want_mm + 1e-3,
            );
        }
        assert_eq!(got[0].fixed.reading_mm, 0.0);
    }

    /// Known to makers: with a moving lamp half of everything, and so as hard to meet.
    #[test]
    fn a_moving_lamp_halves_readings_and_tolerances() {
        let mirror = mirror(200.0, 6.0);
        let edges = pairs(&edges_mm(100.0, 5));
        for window in windows(&mirror, &edges, ReadingAt::Window) {
            let (fixed, moving) = (window.fixed, window.moving);
            close(
                "reading",
                2.0 * moving.reading_mm,
                fixed.reading_mm,
                2e-3 * fixed.reading_mm,
            );
            close(
                "tolerance",
                2.0 * moving.tolerance_mm,
                fixed.tolerance_mm,
                1e-12,
            );
        }
    }

    /// The definition itself, by adding up narrow steps with the formulas of geometry and tolerance; an edge is cut to
    /// 0.05 mm, of a window of 5 mm a hundredth on either side.
    #[test]
    fn windows_are_of_equal_tolerance() {
        for (aperture_mm, focal_ratio, n) in [(150.0, 8.0, 5), (200.0, 5.0, 7), (300.0, 4.5, 6)] {
            let mirror = mirror(aperture_mm, focal_ratio);
            for source in [KnifeSource::Fixed, KnifeSource::Moving] {
                let ideal_mm =
                    |r_mm: f64| ideal_reading_mm(source, r_mm, mirror.radius_of_curvature_mm);
                let change = |(inner_mm, outer_mm): (f64, f64)| {
                    let step_mm = (outer_mm - inner_mm) / 2000.0;
                    let steps = (0..2000).map(|idx| inner_mm + step_mm * f64::from(idx));
                    let share = |r_mm: f64| {
                        let middle_mm = r_mm + step_mm / 2.0;
                        (ideal_mm(r_mm + step_mm) - ideal_mm(r_mm))
                            / reading_tolerance_mm(&mirror, source, middle_mm)
                    };
                    steps.map(share).sum::<f64>()
                };
                let all = change((0.0, aperture_mm / 2.0));
                for edges in pairs(&edges_mm(aperture_mm / 2.0, n)) {
                    close("part", change(edges) / all * n as f64, 1.0, 0.025);
                }
                close("all", all / tolerances_across(&mirror), 1.0, 0.01);
            }
        }
    }

    /// Masks for 100 to 300 mm have three to seven windows, the last ending at the rim.
    #[test]
    fn usual_masks_are_usual() {
        for (aperture_mm, focal_ratio, want) in [
            (100.0, 8.0, 3),
            (114.0, 8.0, 4),
            (150.0, 8.0, 5),
            (200.0, 8.0, 7),
            (200.0, 6.0, 7),
            (300.0, 4.5, 7),
            (300.0, 15.0, 3),
        ] {
            let mirror = mirror(aperture_mm, focal_ratio);
            let n = usual_windows(&mirror);
            assert_eq!(n, want, "{aperture_mm} f/{focal_ratio}");
            let edges = edges_mm(aperture_mm / 2.0, n);
            assert_eq!((edges[0], edges[n]), (0.0, aperture_mm / 2.0));
            for (inner_mm, outer_mm) in pairs(&edges) {
                assert!(outer_mm - inner_mm >= USUAL_LEAST_MM - 0.1);
            }
        }
    }

    #[test]
    fn no_window_is_too_narrow_to_cut() {
        for rim_mm in [15.0, 25.0, 50.0, 76.2, 100.0, 150.0, 1000.0] {
            let most = most_windows(rim_mm);
            let narrowest = |n: usize| edges_mm(rim_mm, n)[n] - edges_mm(rim_mm, n)[n - 1];
            assert!(most == FEWEST_WINDOWS || narrowest(most) >= LEAST_MM - 0.051);
            assert!(narrowest(most + 1) < LEAST_MM + 0.051, "{rim_mm}");
        }
    }
}
