//! What a star's light comes through: the round mirror less the diagonal's shadow and the vanes'.

use crate::optics::quadrature::gauss_legendre;
use std::f64::consts::PI;

/// The transmitting pupil, in shares of the aperture's diameter.
///
/// The obstruction is round and in the middle. Four vanes of one width run along `+x`, `-x`, `+y`
/// and `-y` from it to the rim (with no obstruction, to where they meet).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// Diameter of the obstruction, 0 to below 1.
    pub obstruction: f64,
    /// Width of each vane, 0 to below 1.
    pub vane: f64,
}

impl Opening {
    /// Nothing in the way.
    pub const FULL: Opening = Opening {
        obstruction: 0.0,
        vane: 0.0,
    };

    /// Share of the full disc that stays open, 0 to 1.
    pub fn open_share(self) -> f64 {
        let hidden: f64 = self
            .vane_points(&[self.obstruction, 1.0])
            .map(|point| point.area)
            .sum();
        1.0 - self.obstruction.powi(2) - 4.0 * hidden / PI
    }

    /// Points that integrate over the vane along `+x`, cut where a wavefront has its corners:
    /// `edges` are radii in order, from the obstruction to 1.
    pub(super) fn vane_points(self, edges: &[f64]) -> impl Iterator<Item = VanePoint> {
        // A vane's half width in shares of the radius is its width in shares of the diameter.
        let half_width = self.vane;
        let across = gauss_legendre(if half_width > 0.0 { ACROSS } else { 0 });
        let along = gauss_legendre(ALONG);
        edges
            .windows(2)
            .flat_map(|pair| {
                let mut points = Vec::with_capacity(2 * ACROSS * ALONG);
                for (t, w_across) in &across {
                    let y = half_width * (t + 1.0) / 2.0;
                    // Where vanes meet, each keeps its own side of the diagonals.
                    let on_arc = |rho: f64| (rho * rho - y * y).max(0.0).sqrt().max(y);
                    let (from, to) = (on_arc(pair[0]), on_arc(pair[1]));
                    for (s, w_along) in &along {
                        let x = from + (to - from) * (s + 1.0) / 2.0;
                        let area = w_across * half_width / 2.0 * w_along * (to - from) / 2.0;
                        points.extend([y, -y].map(|y| VanePoint { x, y, area }));
                    }
                }
                points
            })
            .collect::<Vec<_>>()
            .into_iter()
    }
}

/// An unobstructed pupil but for the diagonal: its share of the diameter.
impl From<f64> for Opening {
    fn from(obstruction: f64) -> Opening {
        Opening {
            obstruction,
            vane: 0.0,
        }
    }
}

/// A node in a vane; the areas of all of them sum to the vane's, in squared radii.
#[derive(Debug, Clone, Copy)]
pub(super) struct VanePoint {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) area: f64,
}

/// Nodes over half a vane's width, and along each stretch between corners: a vane hides a few
/// percent, so that these need not be many.
const ACROSS: usize = 4;
const ALONG: usize = 6;

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(opening: Opening, want: f64, tolerance: f64) {
        let got = opening.open_share();
        assert!(
            (got - want).abs() <= tolerance,
            "{opening:?}: want {want} within {tolerance}, got {got}"
        );
    }

    /// Areas done by hand: rings; and a cross in a full disc, two crossing strips of length 2 (each
    /// short by its two rounded ends, `w^3 / 6` to the lowest order) less the square they share.
    #[test]
    fn open_shares_by_hand() {
        check(Opening::FULL, 1.0, 1e-15);
        check(Opening::from(0.25), 1.0 - 0.0625, 1e-15);
        for vane in [0.005_f64, 0.01, 0.02] {
            let width = 2.0 * vane;
            let strip = 2.0 * width - width.powi(3) / 12.0;
            let cross = 2.0 * strip - width * width;
            check(
                Opening {
                    obstruction: 0.0,
                    vane,
                },
                1.0 - cross / PI,
                1e-8,
            );
            let vane_length = |e: f64| width * (1.0 - e) + width.powi(3) / 24.0 * (1.0 / e - 1.0);
            check(
                Opening {
                    obstruction: 0.25,
                    vane,
                },
                1.0 - 0.0625 - 4.0 * vane_length(0.25) / PI,
                1e-7,
            );
        }
    }
}
