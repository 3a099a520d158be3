//! One telescope of a workshop, put together: what its mirror, diagonal, coating, figure and
//! eyepieces come to.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::coating::Coat;
use crate::optics::eyepiece::{Combination, exit_pupil_mm};
use crate::optics::figure;
use crate::optics::figure::{FigureFound, FigureTaken, JudgedFigure, MirrorInTube, NotJudged};
use crate::optics::focal_length::focal_length_mm;
use crate::optics::layout::{Blockage, transmission, usual_minor_axis_mm};
use crate::optics::mtf::Mtf;
use crate::optics::opening::Opening;
use crate::optics::pupil::Quality;
use crate::optics::wave::StarImage;
use crate::optics::wave::image::{perfect_photopic_mtf, unobstructed_photopic_mtf};
use crate::optics::wavefront::Wavefront;
use crate::workshop::{Assumed, Barlow, Eyepiece, EyepieceField, Taken, Telescope, Workshop};
use chrono::NaiveDate;

/// A telescope as the rest of the program sees it. Wavefront figures are for 550 nm, at best focus,
/// over the mirror less the shadows of diagonal and vanes.
#[derive(Debug, Clone, PartialEq)]
pub struct Instrument {
    /// As in the workshop file.
    pub name: String,
    /// Clear aperture, mm.
    pub aperture_mm: f64,
    /// Half the vertex radius, mm.
    pub focal_length_mm: f64,
    /// Focal length over aperture.
    pub focal_ratio: f64,
    /// Minor axis of the diagonal, mm; 0 = unobstructed.
    pub secondary_mm: f64,
    /// Diagonal over aperture, 0 to below 1.
    pub obstruction: f64,
    /// Reflectivity of each mirror, 0 to 1.
    pub reflectivity: f64,
    /// Share of the light falling on the aperture that reaches the eyepiece: two reflections less
    /// what diagonal and vanes hide.
    pub transmission: f64,
    /// Root mean square, nm.
    pub wavefront_rms_nm: f64,
    /// Peak to valley, nm.
    pub wavefront_pv_nm: f64,
    /// Peak of a star's image over that of the same pupil without error, 0 to 1.
    pub strehl: f64,
    /// What was read or looked at, with intervals and doubts.
    pub found: FigureFound,
    /// The wavefront itself, before tilt and focus are chosen.
    pub wavefront: Wavefront,
    /// What the light comes through.
    pub opening: Opening,
    /// What the mirror makes of a star.
    pub image: StarImage,
    /// Contrast kept in daylight if the figure were perfect, all else as it is.
    pub mtf_of_perfect_figure: Mtf,
    /// Contrast kept in daylight if nothing stood in the way, all else as it is.
    pub mtf_unobstructed: Mtf,
    /// What was taken for the figure.
    pub figure: FigureTaken,
    /// Every eyepiece, with and without every Barlow lens, by magnification. Never empty.
    pub views: Vec<View>,
    /// What this telescope's file entry did not say and optics filled in.
    pub assumed: Vec<Assumed>,
}

/// An eyepiece, or an eyepiece and a Barlow lens, in one telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// `10 mm`, or `10 mm + 2x`: the names in the file.
    pub eyepiece: String,
    /// Index into the workshop's eyepieces.
    pub eyepiece_idx: usize,
    /// Index into the workshop's Barlow lenses.
    pub barlow_idx: Option<usize>,
    /// How much larger a small angle looks.
    pub magnification: f64,
    /// Diameter of the pencil of light that leaves the eyepiece, mm.
    pub exit_pupil_mm: f64,
    /// Diameter of the sky seen, degrees.
    pub true_field_deg: f64,
    /// Angle over which the eye sees it, degrees.
    pub apparent_field_deg: f64,
    /// The field comes from a measured field stop and is exact; otherwise from the printed apparent
    /// field, within 10 % or so.
    pub field_from_stop: bool,
}

/// What the eyepiece case holds: a telescope's indices point into it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EyepieceCase<'a> {
    /// In the file's order.
    pub eyepieces: &'a [Eyepiece],
    /// In the file's order.
    pub barlows: &'a [Barlow],
}

impl Instrument {
    /// Puts together one telescope of the workshop as it is on a date: what ages is its coating.
    ///
    /// Knife-edge readings that cannot be used leave a telescope without judgement.
    pub fn of(
        workshop: &Workshop,
        telescope: &Telescope,
        on: NaiveDate,
    ) -> Result<Instrument, NotJudged> {
        let case = EyepieceCase {
            eyepieces: &workshop.eyepieces,
            barlows: &workshop.barlows,
        };
        let fresh = Instrument::with_eyepieces(telescope, case)?;
        Ok(fresh.with_coat(Coat::on(telescope.coating, telescope.coated_on, on)))
    }

    /// The same, freshly coated, where only the mirror and the eyepieces are at hand.
    pub fn with_eyepieces(
        telescope: &Telescope,
        case: EyepieceCase<'_>,
    ) -> Result<Instrument, NotJudged> {
        let aperture_mm = telescope.aperture_mm;
        let focal_length_mm = focal_length_mm(telescope);
        let mut assumed = Vec::new();
        let blockage = blockage(telescope, focal_length_mm, &mut assumed);
        let coat = Coat::fresh(telescope.coating);
        assumed.extend(coat.taken().map(|value| Assumed {
            key: reflectivity_key(&telescope.name),
            value,
        }));
        let reflectivity = coat.reflectivity;
        let obstruction = blockage.obstruction();
        let glass = MirrorInTube {
            aperture_mm,
            radius_of_curvature_mm: 2.0 * focal_length_mm,
            obstruction,
        };
        let JudgedFigure { wavefront, found } =
            figure::judged(&telescope.figure, telescope.star_test, glass).map_err(|why| {
                NotJudged {
                    telescope: telescope.name.clone(),
                    why,
                }
            })?;
        let opening = blockage.opening();
        let quality = wavefront.quality(opening, REFERENCE_WAVELENGTH_NM);
        Ok(Instrument {
            name: telescope.name.clone(),
            aperture_mm,
            focal_length_mm,
            focal_ratio: focal_length_mm / aperture_mm,
            secondary_mm: blockage.secondary_mm,
            obstruction,
            reflectivity,
            transmission: transmission(reflectivity, blockage.open_share()),
            wavefront_rms_nm: quality.wavefront_rms_nm,
            wavefront_pv_nm: quality.wavefront_pv_nm,
            strehl: quality.strehl,
            image: StarImage::new(&wavefront, opening, quality.sharpest),
            mtf_of_perfect_figure: perfect_photopic_mtf(opening),
            mtf_unobstructed: unobstructed_photopic_mtf(&wavefront),
            wavefront,
            opening,
            figure: FigureTaken::of(&telescope.figure, &quality, &found),
            found,
            views: views(telescope, case),
            assumed,
        })
    }

    /// Of its wavefront, without what it rests on.
    pub fn quality(&self) -> Quality {
        self.wavefront
            .quality(self.opening, REFERENCE_WAVELENGTH_NM)
    }

    /// The same with another coat on both mirrors.
    pub fn with_coat(self, coat: Coat) -> Instrument {
        let open_share = self.transmission / transmission(self.reflectivity, 1.0);
        let key = reflectivity_key(&self.name);
        let mut assumed = self.assumed;
        assumed.retain(|assumed| assumed.key != key);
        assumed.extend(coat.taken().map(|value| Assumed { key, value }));
        Instrument {
            reflectivity: coat.reflectivity,
            transmission: transmission(coat.reflectivity, open_share),
            assumed,
            ..self
        }
    }
}

impl Instrument {
    /// The same telescope with another wavefront: what it would be after more work on the glass.
    pub fn with_wavefront(&self, wavefront: Wavefront) -> Instrument {
        let quality = wavefront.quality(self.opening, REFERENCE_WAVELENGTH_NM);
        Instrument {
            wavefront_rms_nm: quality.wavefront_rms_nm,
            wavefront_pv_nm: quality.wavefront_pv_nm,
            strehl: quality.strehl,
            found: FigureFound::AsStated,
            image: StarImage::new(&wavefront, self.opening, quality.sharpest),
            mtf_unobstructed: unobstructed_photopic_mtf(&wavefront),
            wavefront,
            ..self.clone()
        }
    }
}

fn blockage(telescope: &Telescope, focal_length_mm: f64, assumed: &mut Vec<Assumed>) -> Blockage {
    let secondary_mm = telescope.secondary_mm.unwrap_or_else(|| {
        let usual_mm = usual_minor_axis_mm(telescope.aperture_mm, focal_length_mm);
        assumed.push(Assumed {
            key: format!("telescope \"{}\": secondary_mm", telescope.name),
            value: Taken::DiagonalMm(usual_mm),
        });
        usual_mm
    });
    Blockage {
        aperture_mm: telescope.aperture_mm,
        secondary_mm,
        vane_mm: telescope.spider_vane_mm,
    }
}

fn reflectivity_key(name: &str) -> String {
    format!("telescope \"{name}\": reflectivity")
}

/// Every pair of an eyepiece of this telescope with no Barlow lens or one, by magnification.
pub fn views(telescope: &Telescope, case: EyepieceCase<'_>) -> Vec<View> {
    let barlows = || std::iter::once(None).chain((0..case.barlows.len()).map(Some));
    let mut views: Vec<View> = telescope
        .eyepieces
        .iter()
        .flat_map(|&eyepiece_idx| barlows().map(move |barlow_idx| (eyepiece_idx, barlow_idx)))
        .map(|(eyepiece_idx, barlow_idx)| view(telescope, case, (eyepiece_idx, barlow_idx)))
        .collect();
    // Of two ways to one power, the one with less glass first.
    views.sort_by(|a, b| {
        let by_power = a.magnification.total_cmp(&b.magnification);
        by_power.then(a.barlow_idx.cmp(&b.barlow_idx))
    });
    views
}

fn view(
    telescope: &Telescope,
    case: EyepieceCase<'_>,
    (eyepiece_idx, barlow_idx): (usize, Option<usize>),
) -> View {
    let eyepiece = &case.eyepieces[eyepiece_idx];
    let barlow = barlow_idx.map(|idx| &case.barlows[idx]);
    let combination = Combination {
        telescope_focal_length_mm: focal_length_mm(telescope),
        eyepiece_focal_length_mm: eyepiece.focal_length_mm,
        barlow_factor: barlow.map_or(1.0, |barlow| barlow.factor),
    };
    let magnification = combination.magnification();
    let true_field_deg = match eyepiece.field {
        EyepieceField::StopMm(mm) => combination.true_field_of_stop_deg(mm),
        EyepieceField::ApparentDeg(deg) => combination.true_field_of_apparent_deg(deg),
    };
    View {
        eyepiece: match barlow {
            Some(barlow) => format!("{} + {}", eyepiece.name, barlow.name),
            None => eyepiece.name.clone(),
        },
        eyepiece_idx,
        barlow_idx,
        magnification,
        exit_pupil_mm: exit_pupil_mm(telescope.aperture_mm, magnification),
        true_field_deg,
        apparent_field_deg: true_field_deg * magnification,
        field_from_stop: matches!(eyepiece.field, EyepieceField::StopMm(_)),
    }
}
