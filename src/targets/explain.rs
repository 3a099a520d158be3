//! One detail's way from the sky to the eye, link by link, with its numbers.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::eye::glare::retinal_illuminance_td;
use crate::eye::pupil::dark_adapted_pupil_mm;
use crate::optics::instrument::Instrument;
use crate::optics::mtf::cutoff_cycles_per_arcsec;
use crate::sky::seeing::Blur;
use crate::targets::aimed::Aimed;
use crate::targets::details::Detail;
use crate::targets::grade::ThreeAirs;
use crate::targets::limit::Limit;
use crate::targets::look::Look;
use crate::targets::sight::{Sight, Today};
use crate::targets::tried::{Tried, tried};

/// The chain of one detail in one telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// What is to be told from its surroundings.
    pub sight: Sight,
    /// Luminance of its surroundings (or of itself against the sky) above the air, cd/m².
    pub luminance_cd_m2: f64,
    /// Share of the light that the air lets through.
    pub through_air: f64,
    /// Share that reaches the eyepiece.
    pub transmission: f64,
    /// How fine it is and what is kept of its contrast; `None` for points and glows.
    pub fineness: Option<Fineness>,
    /// With each view of the instrument, in their order.
    pub views: Vec<ViewExplained>,
    /// Best visibility in typical air with one link made ideal.
    pub ideals: Vec<(Limit, f64)>,
    /// What would have to be otherwise for its grade to change.
    pub tried: Vec<Tried>,
}

/// Contrast kept at a detail's fineness, shares.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fineness {
    /// Of a stripe as wide as the detail and its like gap.
    pub cycles_per_arcsec: f64,
    /// By this mirror behind its diagonal.
    pub by_mirror: f64,
    /// By a perfect mirror behind the same diagonal.
    pub by_perfect: f64,
    /// By the air, short glimpses.
    pub by_air: ThreeAirs<f64>,
}

/// One magnification.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ViewExplained {
    /// Light on the retina from the surroundings.
    pub illuminance_td: f64,
    /// 1 is a practised observer's 50 % threshold.
    pub visibility: ThreeAirs<f64>,
    /// Whether it counts: not too strong for the air, or the weakest there is.
    pub is_in_use: ThreeAirs<bool>,
}

/// Carries something that is there tonight through the chain. `detail`: its row, if it is of a body.
pub fn explain(
    instrument: &Instrument,
    look: &Look,
    detail: Option<&Detail>,
    today: &Today,
) -> Explanation {
    let aimed = Aimed::new(instrument, look);
    let airs = look.seeing_zenith_arcsec;
    let by_air =
        airs.map(|&seeing_arcsec| aimed.visibilities(&aimed.with_every_view(seeing_arcsec), today));
    let n_in_use = airs.map(|&seeing_arcsec| aimed.n_in_use(seeing_arcsec));
    let through_air = 10f64.powf(-0.4 * look.extinction_mag_airmass * look.airmass);
    let light_cd_m2 = today.luminance_cd_m2 * through_air * instrument.transmission;
    let eye_pupil_mm = dark_adapted_pupil_mm(look.observer.age_years);
    let views = instrument.views.iter().enumerate();
    Explanation {
        sight: today.sight,
        luminance_cd_m2: today.luminance_cd_m2,
        through_air,
        transmission: instrument.transmission,
        fineness: fineness(instrument, look, today.sight.width_arcsec()),
        views: views
            .map(|(idx, view)| ViewExplained {
                illuminance_td: retinal_illuminance_td(
                    light_cd_m2,
                    view.exit_pupil_mm.min(eye_pupil_mm),
                ),
                visibility: by_air.map(|visibilities| visibilities[idx]),
                is_in_use: n_in_use.map(|n| idx < *n),
            })
            .collect(),
        ideals: (aimed.ideals().iter())
            .map(|(limit, chain)| (*limit, aimed.best(chain, today)))
            .collect(),
        tried: tried(instrument, look, detail, today),
    }
}

fn fineness(instrument: &Instrument, look: &Look, width_arcsec: f64) -> Option<Fineness> {
    if width_arcsec <= 0.0 {
        return None;
    }
    let cycles_per_arcsec = 1.0 / (2.0 * width_arcsec);
    let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
    let by_air = look.seeing_zenith_arcsec.map(|&seeing_arcsec| {
        Blur::toward(seeing_arcsec, look.airmass).glimpse_mtf(cycles_per_arcsec)
    });
    Some(Fineness {
        cycles_per_arcsec,
        by_mirror: instrument.image.photopic_mtf.at(cycles_per_arcsec / cutoff),
        by_perfect: instrument
            .mtf_of_perfect_figure
            .at(cycles_per_arcsec / cutoff),
        by_air,
    })
}
