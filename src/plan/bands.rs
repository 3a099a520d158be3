//! The Ronchi bands to expect at the tester: for the sphere, for the paraboloid wanted, and for the
//! mirror as measured.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::bands::{Blank, Cell, Figured, RonchiGrating, Setup, Surface, Tester, raster};
use crate::optics::conic::Conic;
use crate::optics::instrument::Instrument;
use crate::workshop::{Figure, KnifeSource, Telescope};

/// Cells across one picture of a mirror.
pub const CELLS: usize = 1200;

/// More bands than this no eye tells apart at the tester, and no picture of [`CELLS`] shows truly.
const MOST_BANDS: f64 = 100.0;

/// The grating and the lamp on their stand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RonchiTest {
    /// Of the grating, 1 to 20.
    pub lines_per_mm: f64,
    /// Of the grating from the centre of curvature, mm, not 0; negative is inside, nearer the mirror.
    pub offset_mm: f64,
    /// A lamp that stands still in the centre of curvature, or one behind the grating itself.
    pub source: KnifeSource,
}

/// The bands of one telescope's mirror.
#[derive(Debug, Clone, PartialEq)]
pub struct Bands {
    /// As in the workshop file.
    pub name: String,
    /// Clear aperture.
    pub aperture_mm: f64,
    /// At the vertex.
    pub radius_of_curvature_mm: f64,
    /// As asked.
    pub ronchi: RonchiTest,
    /// Side by side: sphere, paraboloid and, where its shape is known and alike all around, the mirror.
    pub panels: Vec<Panel>,
    /// The mirror as measured, or why it is not among the panels.
    pub measured: Measured,
    /// How far apart on the mirror the images of neighbouring orders lie; small against the aperture, the
    /// bands are those of rays.
    pub order_shear_mm: f64,
    /// Least offset outside the centre of curvature at which a paraboloid's bands do not close into loops.
    pub clear_outside_mm: f64,
}

/// What is known of the mirror's own bands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// They are the last panel.
    Shown(Departure),
    /// Nothing was said of the figure.
    NotGiven,
    /// One stated number: the shape is unknown.
    OneNumber,
    /// Not alike all around: one picture across the bands does not tell it.
    NotAlikeAllAround,
}

/// Where the mirror's bands leave the paraboloid's farthest behind, a shift of the grating along the axis
/// made good.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Departure {
    /// From the middle of the mirror.
    pub from_axis_mm: f64,
    /// By how many bands; positive away from the middle.
    pub periods: f64,
}

/// What mirror a picture shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MirrorShape {
    /// A sphere of the same radius.
    Sphere,
    /// The paraboloid wanted.
    Paraboloid,
    /// This mirror as measured.
    Measured,
}

/// One picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Whose bands.
    pub shape: MirrorShape,
    /// [`CELLS`] rows of [`CELLS`], from the top; the grating's lines run up and down.
    pub cells: Vec<Cell>,
    /// Grating periods crossed from rim to rim along the diameter across the bands.
    pub periods_across: f64,
    /// Where light turns to dark or back along that diameter, mm from the middle, to the right.
    pub borders_mm: Vec<f64>,
    /// How much nearer to the middle the band half way out runs at six tenths of the radius above and below:
    /// positive for a barrel, negative for an hourglass; `None` where it does not get there.
    pub bow_mm: Option<f64>,
}

impl Bands {
    /// The grating stands so near outside the centre of curvature that some of a paraboloid's bands close into
    /// loops.
    pub fn has_loops(&self) -> bool {
        0.0 < self.ronchi.offset_mm && self.ronchi.offset_mm < self.clear_outside_mm
    }

    /// There are too many bands to tell apart, on the mirror or in a picture.
    pub fn is_crowded(&self) -> bool {
        self.panels
            .iter()
            .any(|panel| MOST_BANDS < panel.periods_across)
    }
}

/// Computes the bands.
///
/// ```
/// use skyworthy::optics::Instrument;
/// use skyworthy::plan::bands::{RonchiTest, bands};
/// use skyworthy::workshop::{self, KnifeSource};
///
/// let workshop = workshop::example();
/// let telescope = &workshop.telescopes[0];
/// let instrument = Instrument::of(&workshop, telescope, "2026-12-17".parse()?)?;
/// let ronchi = RonchiTest { lines_per_mm: 4.0, offset_mm: -6.0, source: KnifeSource::Fixed };
/// assert!(!bands(telescope, &instrument, ronchi).is_crowded());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn bands(telescope: &Telescope, instrument: &Instrument, ronchi: RonchiTest) -> Bands {
    let radius_of_curvature_mm = 2.0 * instrument.focal_length_mm;
    let aperture_mm = instrument.aperture_mm;
    let test = Test {
        rim_mm: aperture_mm / 2.0,
        tester: Tester {
            radius_of_curvature_mm,
            offset_mm: ronchi.offset_mm,
            source: ronchi.source,
        },
        grating: RonchiGrating::of_lines_per_mm(ronchi.lines_per_mm),
    };
    let sphere = Conic::sphere(radius_of_curvature_mm);
    let paraboloid = Conic::paraboloid(radius_of_curvature_mm);
    let mut panels = vec![
        test.panel(MirrorShape::Sphere, &sphere),
        test.panel(MirrorShape::Paraboloid, &paraboloid),
    ];
    let blank = Blank {
        radius_of_curvature_mm,
        aperture_mm,
    };
    let figured = Figured::new(&instrument.wavefront, blank);
    let measured = match (&telescope.figure, figured) {
        (Figure::NotGiven, _) => Measured::NotGiven,
        (Figure::Stated(_), _) => Measured::OneNumber,
        (_, None) => Measured::NotAlikeAllAround,
        (_, Some(figured)) => {
            panels.push(test.panel(MirrorShape::Measured, &figured));
            Measured::Shown(test.departure(&figured, &paraboloid))
        }
    };
    Bands {
        name: instrument.name.clone(),
        aperture_mm,
        radius_of_curvature_mm,
        ronchi,
        panels,
        measured,
        order_shear_mm: (test.tester).order_shear_mm(test.grating, REFERENCE_WAVELENGTH_NM),
        clear_outside_mm: test.clear_outside_mm(),
    }
}

/// A mirror's size and what it is looked at with.
#[derive(Debug, Clone, Copy)]
struct Test {
    rim_mm: f64,
    tester: Tester,
    grating: RonchiGrating,
}

/// Tenths of a millimetre: finer than a band's edge is seen.
const BORDER_STEP_MM: f64 = 0.1;

/// Steps from the middle to the rim.
const STEPS: usize = 400;

/// How far aside, in steps, a band is looked for from one chord to the next: kinks of a measured profile
/// throw it about.
const REACH: usize = 20;

impl Test {
    fn panel(&self, shape: MirrorShape, surface: &impl Surface) -> Panel {
        let setup = Setup {
            surface,
            aperture_mm: 2.0 * self.rim_mm,
            tester: self.tester,
            grating: self.grating,
        };
        let intercept_mm =
            |step: usize| self.intercept_mm(surface, self.rim_mm * step as f64 / STEPS as f64);
        let crossed_mm: f64 = (1..=STEPS)
            .map(|step| (intercept_mm(step) - intercept_mm(step - 1)).abs())
            .sum();
        Panel {
            shape,
            cells: raster(&setup, CELLS),
            periods_across: 2.0 * crossed_mm / self.grating.period_mm,
            borders_mm: self.borders_mm(surface),
            bow_mm: self.bow_mm(surface),
        }
    }

    fn intercept_mm(&self, surface: &impl Surface, from_axis_mm: f64) -> f64 {
        (self.tester)
            .intercept_mm(surface, from_axis_mm)
            .unwrap_or_default()
    }

    fn borders_mm(&self, surface: &impl Surface) -> Vec<f64> {
        let passes = |at_mm: f64| self.grating.passes(self.intercept_mm(surface, at_mm));
        let n_steps = (self.rim_mm / BORDER_STEP_MM) as usize;
        (1..=n_steps)
            .map(|step| step as f64 * BORDER_STEP_MM)
            .filter(|at_mm| passes(at_mm - BORDER_STEP_MM) != passes(*at_mm))
            .map(|at_mm| at_mm - 0.5 * BORDER_STEP_MM)
            .collect()
    }

    /// Follows the band half way out from the diameter to the chord at six tenths of the radius; `None`
    /// where it turns back or leaves the mirror before.
    fn bow_mm(&self, surface: &impl Surface) -> Option<f64> {
        let start_mm = 0.5 * self.rim_mm;
        let wanted_mm = self.intercept_mm(surface, start_mm);
        let excess_mm = |x_mm: f64, chord_mm: f64| {
            let from_axis_mm = x_mm.hypot(chord_mm);
            self.intercept_mm(surface, from_axis_mm) * x_mm / from_axis_mm - wanted_mm
        };
        let step_mm = self.rim_mm / STEPS as f64;
        let mut x_mm = start_mm;
        for rise in 1..=STEPS {
            let chord_mm = 0.6 * self.rim_mm * rise as f64 / STEPS as f64;
            let on_mirror_mm = (self.rim_mm.powi(2) - chord_mm.powi(2)).sqrt();
            let (near_mm, far_mm) = (1..=REACH)
                .map(|reach| reach as f64 * step_mm)
                .map(|reach_mm| (x_mm - reach_mm, (x_mm + reach_mm).min(on_mirror_mm)))
                .find(|(near_mm, far_mm)| {
                    excess_mm(*near_mm, chord_mm) * excess_mm(*far_mm, chord_mm) <= 0.0
                })?;
            x_mm = halved((near_mm, far_mm), |x_mm| excess_mm(x_mm, chord_mm));
        }
        Some(start_mm - x_mm)
    }

    fn departure(&self, surface: &impl Surface, wanted: &impl Surface) -> Departure {
        let offs: Vec<(f64, f64)> = (1..=STEPS)
            .map(|step| self.rim_mm * step as f64 / STEPS as f64)
            .map(|r| {
                (
                    r,
                    self.intercept_mm(surface, r) - self.intercept_mm(wanted, r),
                )
            })
            .collect();
        // A shift of the grating moves intercepts in proportion to the radius; area weighs with it.
        let shift = offs.iter().map(|(r, off)| r * r * off).sum::<f64>()
            / offs.iter().map(|(r, _)| r.powi(3)).sum::<f64>();
        let outward = -self.tester.offset_mm.signum();
        let (from_axis_mm, off_mm) = offs
            .into_iter()
            .map(|(r, off)| (r, off - shift * r))
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
            .unwrap_or_default();
        Departure {
            from_axis_mm,
            // A ray that lands farther out brings its band nearer to the middle.
            periods: -outward * off_mm / self.grating.period_mm,
        }
    }

    /// Third order: a paraboloid's intercepts go with `r^3 / 2R - d r` (lamp moving) or `r^3 / R - d r`, and
    /// turn back where the derivative is nought.
    fn clear_outside_mm(&self) -> f64 {
        let rim_by_radius = self.rim_mm.powi(2) / self.tester.radius_of_curvature_mm;
        match self.tester.source {
            KnifeSource::Fixed => 3.0 * rim_by_radius,
            KnifeSource::Moving => 1.5 * rim_by_radius,
        }
    }
}

/// Where the sign changes between two ends.
fn halved((mut low, mut high): (f64, f64), excess: impl Fn(f64) -> f64) -> f64 {
    let sign_at_low = excess(low).is_sign_positive();
    for _ in 0..40 {
        let middle = (low + high) / 2.0;
        if excess(middle).is_sign_positive() == sign_at_low {
            low = middle;
        } else {
            high = middle;
        }
    }
    (low + high) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bows_by_the_third_order() {
        // Lamp moving: x (x^2 + y^2 - 2 R d) is the same all along a band of a paraboloid. 200 mm f/6, 12 mm
        // inside: x = 50 on the diameter is 47.365 at y = 60.
        let test = Test {
            rim_mm: 100.0,
            tester: Tester {
                radius_of_curvature_mm: 2400.0,
                offset_mm: -12.0,
                source: KnifeSource::Moving,
            },
            grating: RonchiGrating::of_lines_per_mm(4.0),
        };
        let bow_mm = test.bow_mm(&Conic::paraboloid(2400.0)).expect("no loops");
        assert!((bow_mm - 2.635).abs() < 0.02, "{bow_mm}");
        let bow_mm = test.bow_mm(&Conic::sphere(2400.0)).expect("no loops");
        assert!(bow_mm.abs() < 0.03, "{bow_mm}");
    }

    #[test]
    fn bands_cross_as_often_as_they_are_counted() {
        // A paraboloid of 254 mm f/4.7, 5 mm outside, lamp moving: by the third order intercepts go out to
        // -0.2485 mm at 89.4 mm from the middle and come back to -0.1735 mm at the rim: 0.3234 mm in all, twice,
        // at 4 periods a millimetre; the fifth order is less than 0.02.
        let test = Test {
            rim_mm: 127.0,
            tester: Tester {
                radius_of_curvature_mm: 2400.0,
                offset_mm: 5.0,
                source: KnifeSource::Moving,
            },
            grating: RonchiGrating::of_lines_per_mm(4.0),
        };
        let panel = test.panel(MirrorShape::Paraboloid, &Conic::paraboloid(2400.0));
        let want = 2.0 * 4.0 * 0.3234;
        assert!(
            (panel.periods_across - want).abs() < 0.02,
            "{}",
            panel.periods_across
        );
    }
}
