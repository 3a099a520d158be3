//! The telescope around its mirror: diagonal, aim, coating, cooling, the eyepiece's height; what a
//! maker can do about each.

use chrono::NaiveDate;
use serde::Serialize;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::Instrument;
use crate::optics::coating::Coat;
use crate::optics::coma::{
    SHARP_RMS_WAVES, Tolerance, collimation, coma_rms_nm, field_radius_mm, tangential_coma_arcsec,
};
use crate::optics::cooling::{
    BORNE_LAG_K, FAN_W_M2K, Faces, STILL_AIR_W_M2K, Slab, USUAL_START_K, material,
};
use crate::optics::diagonal::{Diagonal, exact_minor_axis_mm};
use crate::optics::layout::Beam;
use crate::optics::mount::Pivot;
use crate::optics::sphere::Sphere;
use crate::units::{ARCSEC_PER_ARCMIN, arcsec_from_rad};
use crate::workshop::{Figure, Glass, Telescope};

/// Everything around one mirror, on a date.
#[derive(Debug, Clone, PartialEq)]
pub struct Tube {
    /// `None` without a diagonal, or with one that would sit behind the mirror.
    pub diagonal: Option<DiagonalFit>,
    /// How far from the middle stars stay sharp.
    pub coma: ComaReach,
    /// How well the mirror has to be aimed.
    pub collimation: Tolerance,
    /// Of both mirrors, on the date.
    pub coat: Coat,
    /// `None` where the thickness is not known.
    pub cooling: Option<CoolDown>,
    /// `None` where the mount is not known.
    pub eyepiece_height: Option<EyepieceHeight>,
    /// What a sphere of this size comes to, whatever the figure.
    pub sphere: Sphere,
    /// The workshop says that the bands are straight.
    pub is_left_spherical: bool,
}

/// What the diagonal lights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiagonalFit {
    /// As in the instrument.
    pub minor_axis_mm: f64,
    /// From its middle to the focal plane: of the usual tube, the workshop does not say.
    pub to_focus_mm: f64,
    /// Smallest minor axis that lights the usual 10 mm of field fully.
    pub needed_mm: f64,
    /// Diameter in the focal plane that sees the whole mirror; `None` where no point does.
    pub fully_lit_mm: Option<f64>,
    /// Diameter of the mirror that the middle of the field sees.
    pub aperture_used_mm: f64,
    /// Index into the instrument's views of the one with the widest sky.
    pub widest_view_idx: usize,
    /// Diameter of that view in the mirror's focal plane.
    pub widest_view_mm: f64,
    /// Share of the mirror that the edge of that view sees, 0 to 1.
    pub edge_illumination: f64,
    /// From the tube's axis, away from the focuser, and as much toward the mirror.
    pub offset_mm: f64,
}

/// How far from the middle of the field coma leaves stars sharp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ComaReach {
    /// Diameter in the focal plane within which coma stays below a fourteenth of a wave RMS.
    pub sharp_field_mm: f64,
    /// The same on the sky.
    pub sharp_field_arcmin: f64,
    /// Index into the instrument's views of the one with the widest sky.
    pub widest_view_idx: usize,
    /// At the edge of that view, waves on the wavefront.
    pub edge_rms_waves: f64,
    /// Length of a star's tail there.
    pub edge_tail_arcsec: f64,
}

/// How long the mirror takes to the temperature of the night.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct CoolDown {
    /// Of the mirror.
    pub thickness_mm: f64,
    /// Of the mirror.
    pub glass: Glass,
    /// How much warmer than the night it comes out: the usual difference, the workshop does not say.
    pub to_lose_k: f64,
    /// How much warmer than the air it is borne.
    pub borne_lag_k: f64,
    /// In still air, its back open.
    pub still_air_min: f64,
    /// With a fan, its back open.
    pub fan_min: f64,
    /// In still air, its back closed in.
    pub back_closed_min: f64,
    /// What it stays behind still air that cools by a degree an hour, its back open.
    pub lag_in_falling_air_k: f64,
}

/// Of the eyepiece above the ground, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EyepieceHeight {
    /// With the telescope 30 degrees up.
    pub at_30_deg_m: f64,
    /// With the telescope 80 degrees up.
    pub at_80_deg_m: f64,
}

impl Tube {
    /// Of a telescope that has been put together, on a date.
    ///
    /// ```
    /// use skyworthy::optics::Instrument;
    /// use skyworthy::plan::tube::Tube;
    /// use skyworthy::workshop;
    ///
    /// let (workshop, on) = (workshop::example(), "2026-12-17".parse()?);
    /// let telescope = &workshop.telescopes[0];
    /// let tube = Tube::of(telescope, &Instrument::of(&workshop, telescope, on)?, on);
    /// let cooling = tube.cooling.expect("its thickness is known");
    /// assert!(cooling.fan_min < cooling.still_air_min && cooling.still_air_min < cooling.back_closed_min);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(telescope: &Telescope, instrument: &Instrument, on: NaiveDate) -> Tube {
        let (aperture_mm, focal_length_mm) = (instrument.aperture_mm, instrument.focal_length_mm);
        let widest = Widest::of(instrument);
        Tube {
            diagonal: diagonal(instrument, widest),
            coma: coma(instrument, widest),
            collimation: collimation(aperture_mm, focal_length_mm, REFERENCE_WAVELENGTH_NM),
            coat: Coat::on(telescope.coating, telescope.coated_on, on),
            cooling: CoolDown::of(telescope),
            eyepiece_height: eyepiece_height(telescope),
            sphere: Sphere::of(aperture_mm, focal_length_mm),
            is_left_spherical: telescope.figure == Figure::Sphere,
        }
    }
}

impl CoolDown {
    /// How much warmer than the night the mirror's face is so long after it came out, in still air, its back open.
    pub fn warmer_k(&self, minutes_outside: f64) -> f64 {
        let in_still_air = in_still_air(self.thickness_mm, self.glass);
        self.to_lose_k * in_still_air.front_share(minutes_outside.max(0.0)).min(1.0)
    }

    /// From the usual difference down to what is borne; `None` where the thickness is not known.
    pub fn of(telescope: &Telescope) -> Option<CoolDown> {
        let thickness_mm = telescope.thickness_mm?;
        let in_still_air = in_still_air(thickness_mm, telescope.glass);
        let with_fan = Slab {
            film_w_m2k: FAN_W_M2K,
            ..in_still_air
        };
        let back_closed = Slab {
            faces: Faces::Front,
            ..in_still_air
        };
        let minutes = |slab: Slab| slab.minutes_until(BORNE_LAG_K, USUAL_START_K);
        Some(CoolDown {
            thickness_mm,
            glass: telescope.glass,
            to_lose_k: USUAL_START_K,
            borne_lag_k: BORNE_LAG_K,
            still_air_min: minutes(in_still_air),
            fan_min: minutes(with_fan),
            back_closed_min: minutes(back_closed),
            lag_in_falling_air_k: in_still_air.lag_in_falling_air_k(1.0),
        })
    }
}

fn in_still_air(thickness_mm: f64, glass: Glass) -> Slab {
    Slab {
        thickness_mm,
        material: material(glass),
        faces: Faces::Both,
        film_w_m2k: STILL_AIR_W_M2K,
    }
}

/// The view with the most sky.
#[derive(Clone, Copy)]
struct Widest {
    idx: usize,
    /// From the middle to the edge, on the sky.
    radius_rad: f64,
    /// The same in the mirror's focal plane.
    radius_mm: f64,
}

impl Widest {
    fn of(instrument: &Instrument) -> Widest {
        let field_deg = |idx: usize| instrument.views[idx].true_field_deg;
        let idx = (0..instrument.views.len())
            .max_by(|&a, &b| field_deg(a).total_cmp(&field_deg(b)))
            .expect("a telescope has a view");
        let radius_rad = field_deg(idx).to_radians() / 2.0;
        Widest {
            idx,
            radius_rad,
            radius_mm: instrument.focal_length_mm * radius_rad.tan(),
        }
    }
}

fn diagonal(instrument: &Instrument, widest: Widest) -> Option<DiagonalFit> {
    let beam = Beam::of_usual_tube(instrument.aperture_mm, instrument.focal_length_mm);
    let diagonal = Diagonal {
        aperture_mm: instrument.aperture_mm,
        focal_length_mm: instrument.focal_length_mm,
        to_focus_mm: beam.diagonal_to_focus_mm,
        minor_axis_mm: instrument.secondary_mm,
    };
    let is_there = diagonal.minor_axis_mm > 0.0;
    let has_room = diagonal.to_focus_mm < diagonal.focal_length_mm;
    (is_there && has_room).then(|| DiagonalFit {
        minor_axis_mm: diagonal.minor_axis_mm,
        to_focus_mm: diagonal.to_focus_mm,
        needed_mm: exact_minor_axis_mm(beam),
        fully_lit_mm: diagonal.fully_lit_mm(),
        aperture_used_mm: diagonal.aperture_used_mm(),
        widest_view_idx: widest.idx,
        widest_view_mm: 2.0 * widest.radius_mm,
        edge_illumination: diagonal.illumination(widest.radius_mm),
        offset_mm: diagonal.offset_mm(),
    })
}

fn coma(instrument: &Instrument, widest: Widest) -> ComaReach {
    let focal_ratio = instrument.focal_ratio;
    let sharp_rms_nm = SHARP_RMS_WAVES * REFERENCE_WAVELENGTH_NM;
    let sharp_radius_mm = field_radius_mm(focal_ratio, sharp_rms_nm);
    let edge_rms_nm = coma_rms_nm(widest.radius_mm, focal_ratio);
    let sharp_radius_arcsec = arcsec_from_rad(sharp_radius_mm / instrument.focal_length_mm);
    ComaReach {
        sharp_field_mm: 2.0 * sharp_radius_mm,
        sharp_field_arcmin: 2.0 * sharp_radius_arcsec / ARCSEC_PER_ARCMIN,
        widest_view_idx: widest.idx,
        edge_rms_waves: edge_rms_nm / REFERENCE_WAVELENGTH_NM,
        edge_tail_arcsec: tangential_coma_arcsec(arcsec_from_rad(widest.radius_rad), focal_ratio),
    }
}

fn eyepiece_height(telescope: &Telescope) -> Option<EyepieceHeight> {
    let pivot = Pivot {
        height_m: telescope.pivot_height_m?,
        to_eyepiece_m: telescope.pivot_to_eyepiece_m?,
    };
    Some(EyepieceHeight {
        at_30_deg_m: pivot.eyepiece_height_m(30.0),
        at_80_deg_m: pivot.eyepiece_height_m(80.0),
    })
}
