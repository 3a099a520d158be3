//! Before the test: while the glass is being ground, how it stands to the plan; and the sheet to take to the tester.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::coma::{SHARP_RMS_WAVES, field_radius_mm};
use crate::optics::conic::Conic;
use crate::optics::feeler::fewest_blades_mm;
use crate::optics::focal_length::{KnownDepth, KnownFocalLength, sphere_depth_mm};
use crate::optics::instrument::{EyepieceCase, View, views};
use crate::optics::knife::Mirror;
use crate::optics::layout::Beam;
use crate::optics::mask::{
    FEWEST_WINDOWS, MaskWindow, edges_mm, most_windows, usual_windows, windows,
};
use crate::optics::sphere::Sphere;
use crate::plan::refusal::NoMask;
use crate::units::{ARCSEC_PER_ARCMIN, NM_PER_MM, arcsec_from_rad};
use crate::workshop::{Figure, FocalLength, KnifeEdge, ReadingAt, Telescope, Workshop};

/// What to know of one mirror before it is tested.
#[derive(Debug, Clone, PartialEq)]
pub struct BenchSheet {
    /// As in the workshop file.
    pub name: String,
    /// Clear aperture.
    pub aperture_mm: f64,
    /// How the focal length was found.
    pub measured_by: FocalLength,
    /// What came of it.
    pub focal_length: KnownFocalLength,
    /// How it stands to the plan, where there is one.
    pub grinding: Option<Grinding>,
    /// For the knife-edge test.
    pub mask: Mask,
}

/// Glass that is being ground toward a plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Grinding {
    /// As planned.
    pub planned_focal_length_mm: f64,
    /// As far as the measurement tells.
    pub stage: GroundTo,
    /// How deep it is.
    pub depth: KnownDepth,
    /// How deep it is to become, over the same diameter.
    pub wanted_sagitta_mm: f64,
    /// Blades of a usual set that fill the gap then; `None` where it is deeper than all of them.
    pub blades_mm: Option<Vec<f64>>,
    /// The telescope if the glass is kept as it is.
    pub as_it_is: FinishedTelescope,
    /// The telescope as planned.
    pub as_planned: FinishedTelescope,
}

/// Where the grinding has come to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GroundTo {
    /// Too shallow, surely: there is glass to go.
    BeforePlan,
    /// The plan lies within what the measurement leaves open.
    PlanAsFarAsMeasured,
    /// Too deep, surely: overshot.
    BeyondPlan,
}

/// What a focal length means for the telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct FinishedTelescope {
    /// Of the mirror.
    pub focal_length_mm: f64,
    /// Focal length over aperture.
    pub focal_ratio: f64,
    /// Length of the usual tube; `None` where no tube is so short.
    pub tube_length_mm: Option<f64>,
    /// From the mirror's face to the middle of the focuser, in that tube.
    pub focuser_from_mirror_mm: Option<f64>,
    /// The lowest power of the eyepieces at hand.
    pub lowest: View,
    /// The one with the widest sky.
    pub widest: View,
    /// Diameter in the focal plane within which coma stays below a fourteenth of a wave RMS.
    pub sharp_field_mm: f64,
    /// The same on the sky.
    pub sharp_field_arcmin: f64,
    /// What a sphere would do.
    pub sphere: Sphere,
    /// By how much the paraboloid is shallower at the rim than the sphere that touches it in the middle: what figuring has
    /// to bring about.
    pub to_figure_nm: f64,
}

/// A zonal mask and what a paraboloid reads through it.
#[derive(Debug, Clone, PartialEq)]
pub struct Mask {
    /// Whose windows these are.
    pub origin: MaskOrigin,
    /// Which radius of a window a reading belongs to.
    pub reading_at: ReadingAt,
    /// From the middle outward.
    pub windows: Vec<MaskWindow>,
    /// Of the mirror's area, what no window shows, 0 to 1.
    pub unread_area_share: f64,
}

/// Whose windows a mask has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MaskOrigin {
    /// Cut here, of equal tolerance.
    EqualTolerance,
    /// Those of the readings in the workshop file.
    Readings,
}

/// The sheets of all telescopes of the workshop. `zones`: how many windows the masks have; else those that were read
/// through already, or as many as suit.
///
/// ```
/// use skyworthy::plan::bench::bench;
/// use skyworthy::workshop;
///
/// let sheets = bench(&workshop::example(), None)?;
/// let rowan = &sheets[1].mask;
/// assert_eq!((rowan.windows.len(), rowan.windows[4].outer_mm), (5, 75.0));
/// // 150 mm f/8, lamp fixed: the rim's window reads about r^2 / R = 2 mm farther out than the middle's.
/// assert!((1.5..2.0).contains(&rowan.windows[4].fixed.reading_mm));
/// assert!(bench(&workshop::example(), Some(30)).is_err());
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn bench(workshop: &Workshop, zones: Option<usize>) -> Result<Vec<BenchSheet>, NoMask> {
    if let Some(windows) = zones.filter(|zones| *zones < FEWEST_WINDOWS) {
        return Err(NoMask::TooFewWindows {
            windows,
            fewest: FEWEST_WINDOWS,
        });
    }
    let case = EyepieceCase {
        eyepieces: &workshop.eyepieces,
        barlows: &workshop.barlows,
    };
    let telescopes = workshop.telescopes.iter();
    telescopes
        .map(|telescope| sheet(telescope, case, zones))
        .collect()
}

fn sheet(
    telescope: &Telescope,
    case: EyepieceCase<'_>,
    zones: Option<usize>,
) -> Result<BenchSheet, NoMask> {
    let focal_length = KnownFocalLength::of(telescope);
    let planned = telescope.planned_focal_length_mm;
    Ok(BenchSheet {
        name: telescope.name.clone(),
        aperture_mm: telescope.aperture_mm,
        measured_by: telescope.focal_length.clone(),
        grinding: planned.map(|planned_mm| grinding(telescope, case, planned_mm)),
        mask: mask(telescope, focal_length.mm, zones)?,
        focal_length,
    })
}

fn grinding(telescope: &Telescope, case: EyepieceCase<'_>, planned_mm: f64) -> Grinding {
    let known = KnownFocalLength::of(telescope);
    let depth = KnownDepth::of(telescope);
    let wanted_sagitta_mm = sphere_depth_mm(depth.across_mm, planned_mm);
    Grinding {
        planned_focal_length_mm: planned_mm,
        stage: if known.holds(planned_mm) {
            GroundTo::PlanAsFarAsMeasured
        } else if known.mm < planned_mm {
            GroundTo::BeyondPlan
        } else {
            GroundTo::BeforePlan
        },
        depth,
        wanted_sagitta_mm,
        blades_mm: fewest_blades_mm(wanted_sagitta_mm),
        as_it_is: finished(telescope, case, known.mm),
        as_planned: finished(telescope, case, planned_mm),
    }
}

fn finished(
    telescope: &Telescope,
    case: EyepieceCase<'_>,
    focal_length_mm: f64,
) -> FinishedTelescope {
    let aperture_mm = telescope.aperture_mm;
    let focal_ratio = focal_length_mm / aperture_mm;
    let beam = Beam::of_usual_tube(aperture_mm, focal_length_mm);
    let so_long = Telescope {
        focal_length: FocalLength::FocalLengthMm(focal_length_mm),
        ..telescope.clone()
    };
    let views = views(&so_long, case);
    let by = |value: fn(&View) -> f64| {
        let widest = views
            .iter()
            .max_by(|a, b| value(a).total_cmp(&value(b)))
            .cloned();
        widest.expect("a telescope has a view")
    };
    let sharp_field_mm =
        2.0 * field_radius_mm(focal_ratio, SHARP_RMS_WAVES * REFERENCE_WAVELENGTH_NM);
    let paraboloid = Conic::paraboloid(2.0 * focal_length_mm);
    let at_rim_mm = paraboloid.minus_sphere_mm(aperture_mm / 2.0);
    FinishedTelescope {
        focal_length_mm,
        focal_ratio,
        tube_length_mm: beam.tube_length_mm(),
        focuser_from_mirror_mm: beam.focuser_from_mirror_mm(),
        lowest: by(|view| -view.magnification),
        widest: by(|view| view.true_field_deg),
        sharp_field_mm,
        sharp_field_arcmin: arcsec_from_rad(sharp_field_mm / focal_length_mm) / ARCSEC_PER_ARCMIN,
        sphere: Sphere::of(aperture_mm, focal_length_mm),
        to_figure_nm: -at_rim_mm.expect("far less than half a ball") * NM_PER_MM,
    }
}

fn mask(telescope: &Telescope, focal_length_mm: f64, zones: Option<usize>) -> Result<Mask, NoMask> {
    let aperture_mm = telescope.aperture_mm;
    let rim_mm = aperture_mm / 2.0;
    // No diagonal stands before it on the bench.
    let mirror = Mirror {
        aperture_mm,
        radius_of_curvature_mm: 2.0 * focal_length_mm,
        obstruction: 0.0,
        wavelength_nm: REFERENCE_WAVELENGTH_NM,
    };
    let most = most_windows(rim_mm);
    let (origin, reading_at, edges) = match (zones, &telescope.figure) {
        (Some(windows), _) if most < windows => {
            return Err(NoMask::TooManyWindows {
                windows,
                telescope: telescope.name.clone(),
                aperture_mm,
                most,
            });
        }
        (None, Figure::KnifeEdge(read)) => {
            (MaskOrigin::Readings, read.reading_at, read_edges(read))
        }
        _ => {
            let n_windows = zones.unwrap_or_else(|| usual_windows(&mirror));
            let edges = edges_mm(rim_mm, n_windows);
            let pairs = edges.windows(2).map(|pair| (pair[0], pair[1])).collect();
            (MaskOrigin::EqualTolerance, ReadingAt::Window, pairs)
        }
    };
    let seen = (edges.iter()).map(|(inner_mm, outer_mm)| outer_mm.powi(2) - inner_mm.powi(2));
    Ok(Mask {
        origin,
        reading_at,
        unread_area_share: (1.0 - seen.sum::<f64>() / rim_mm.powi(2)).max(0.0),
        windows: windows(&mirror, &edges, reading_at),
    })
}

fn read_edges(read: &KnifeEdge) -> Vec<(f64, f64)> {
    let zones = read.zones.iter();
    zones.map(|zone| (zone.inner_mm, zone.outer_mm)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;
    use crate::workshop::{Sagitta, example};

    /// A 150 mm blank that is to become f/8, its depth found with blades across the whole glass.
    fn ground_to(blades_mm: &[f64], uncertainty_mm: Option<f64>) -> Grinding {
        let mut workshop = example();
        let telescope = &mut workshop.telescopes[1];
        telescope.focal_length = FocalLength::SagittaMm(Sagitta {
            sagitta_mm: blades_mm.iter().sum(),
            across_mm: None,
            uncertainty_mm,
            gauges_mm: blades_mm.to_vec(),
        });
        telescope.planned_focal_length_mm = Some(1200.0);
        let mut sheets = bench(&workshop, None).expect("a mask of usual windows");
        sheets.remove(1).grinding.expect("there is a plan")
    }

    /// By hand: at f/8 a hundredth is 10 mm of focal length, and 1.17 mm are wanted.
    #[test]
    fn the_plan_is_ahead_met_or_passed() {
        for (blades_mm, off_mm, want) in [
            (&[0.9][..], None, GroundTo::BeforePlan),
            (&[1.0, 0.15], None, GroundTo::PlanAsFarAsMeasured),
            (&[1.0, 0.2], None, GroundTo::PlanAsFarAsMeasured),
            (&[1.0, 0.2], Some(0.01), GroundTo::BeyondPlan),
            (&[1.0, 0.3], None, GroundTo::BeyondPlan),
        ] {
            let got = ground_to(blades_mm, off_mm);
            assert_eq!(got.stage, want, "{blades_mm:?}");
            close("wanted", got.wanted_sagitta_mm, 1.172161242, 5e-10);
            assert_eq!(got.blades_mm, Some(vec![1.0, 0.15, 0.02]));
            let too_short_mm = 1200.0 - got.as_it_is.focal_length_mm;
            let hundredths = 100.0 * (got.depth.sagitta_mm - got.wanted_sagitta_mm);
            assert!(too_short_mm * hundredths > 0.0);
        }
        let overshot = ground_to(&[1.0, 0.2], None).as_it_is;
        close(
            "28 mm too short",
            1200.0 - overshot.focal_length_mm,
            28.0,
            0.5,
        );
    }

    /// 150 mm f/8: 286.242 nm between sphere and paraboloid; coma within a fourteenth of a wave out to 0.010667 N^3 mm; a
    /// sphere of 0.26 wave, just about enough; 37.5x through 32 mm of 50 degrees.
    #[test]
    fn what_a_plan_comes_to() {
        let planned = ground_to(&[1.0, 0.15], None).as_planned;
        close("f/", planned.focal_ratio, 8.0, 1e-12);
        close("figure", planned.to_figure_nm, 286.242, 5e-4);
        close("coma", planned.sharp_field_mm, 2.0 * 0.010667 * 512.0, 5e-3);
        assert!(planned.sphere.is_borderline() && !planned.sphere.is_enough());
        close("power", planned.lowest.magnification, 37.5, 1e-9);
        close("field", planned.widest.true_field_deg, 50.0 / 37.5, 1e-9);
        let shorter = ground_to(&[1.0, 0.3], None).as_it_is;
        assert!(shorter.widest.true_field_deg > planned.widest.true_field_deg);
        assert!(shorter.tube_length_mm < planned.tube_length_mm);
        assert!(shorter.to_figure_nm > planned.to_figure_nm);
    }

    #[test]
    fn a_mask_has_the_windows_that_were_read_or_asked_for() {
        let read = |zones: &str, asked: Option<usize>| {
            let text = format!(
                "[site]\nlatitude_deg = 1\nlongitude_deg = 2\n[[eyepiece]]\nname = \"a\"\nfocal_length_mm = 25\n\
                 [[telescope]]\nname = \"Wren\"\naperture_mm = 150\nfocal_length_mm = 1200\n{zones}"
            );
            let workshop =
                Workshop::from_toml(&text, "x", &|_| Err(String::new())).expect("a workshop");
            bench(&workshop, asked).map(|mut sheets| sheets.remove(0).mask)
        };
        let figure = "[telescope.figure]\nkind = \"knife-edge\"\nsource = \"fixed\"\nreading_at = \"middle\"\nzones = [\
                      { inner_mm = 0, outer_mm = 40, readings_mm = [0] }, \
                      { inner_mm = 40, outer_mm = 60, readings_mm = [1] } ]\n";
        let mask = read(figure, None).expect("as read");
        assert_eq!(mask.origin, MaskOrigin::Readings);
        assert_eq!((mask.windows.len(), mask.windows[1].reads_at_mm), (2, 50.0));
        close("unread", mask.unread_area_share, 1.0 - 0.64, 1e-12);
        let mask = read(figure, Some(4)).expect("as asked");
        assert_eq!(mask.origin, MaskOrigin::EqualTolerance);
        assert_eq!((mask.windows.len(), mask.unread_area_share), (4, 0.0));
        assert!(matches!(
            read(figure, Some(1)),
            Err(NoMask::TooFewWindows { .. })
        ));
        let too_many = read(figure, Some(30)).expect_err("too narrow");
        assert!(
            too_many.to_string().contains("there is room for 6"),
            "{too_many}"
        );
    }
}
