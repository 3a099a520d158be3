//! The chains that a verdict and its reason run a detail through: the three airs of tonight, and
//! the typical night with one link made ideal. Each air has those eyepieces that `reach` does not call too
//! strong for it, and nothing that is graded knows of the others.

use std::sync::OnceLock;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::eyepiece::{HighestUseful, highest_useful_magnification};
use crate::optics::instrument::Instrument;
use crate::optics::mtf::{Mtf, cutoff_cycles_per_arcsec};
use crate::sky::air;
use crate::sky::seeing::fwhm_keeping_half_arcsec;
use crate::targets::chain::{Chain, Glaring, Links};
use crate::targets::grade::ThreeAirs;
use crate::targets::limit::Limit;
use crate::targets::look::Look;
use crate::targets::sight::Today;

/// One telescope and one look, with the chains already carried through.
pub(super) struct Aimed<'a> {
    pub(super) instrument: &'a Instrument,
    pub(super) look: Look<'a>,
    chains: Chains,
}

/// Every chain is built when first asked for.
#[derive(Default)]
struct Chains {
    airs: ThreeAirs<OnceLock<Chain>>,
    ideals: OnceLock<Vec<(Limit, Chain)>>,
    everything: OnceLock<Chain>,
    everything_in_still_air: OnceLock<Chain>,
    rare_airs: [OnceLock<Chain>; RARE_AIRS_ARCSEC.len()],
    more_light: OnceLock<Chain>,
    figure_blur_arcsec: OnceLock<f64>,
    apertures: OnceLock<Vec<(f64, Chain)>>,
    apertures_in_good_air: OnceLock<Vec<(f64, Chain)>>,
}

impl<'a> Aimed<'a> {
    pub(super) fn new(instrument: &'a Instrument, look: &Look<'a>) -> Aimed<'a> {
        Aimed {
            instrument,
            look: *look,
            chains: Chains::default(),
        }
    }

    /// With each of the chain's eyepieces: the instrument's views from the first on, as far as the air bears them.
    pub(super) fn visibilities(&self, chain: &Chain, today: &Today) -> Vec<f64> {
        let mut visibilities = chain.visibilities(today, self.glaring().as_ref());
        (visibilities.iter_mut()).for_each(|visibility| *visibility *= self.observer_factor());
        visibilities
    }

    pub(super) fn best(&self, chain: &Chain, today: &Today) -> f64 {
        chain.best_visibility(today, self.glaring().as_ref()) * self.observer_factor()
    }

    /// How much more this observer sees than the thresholds of the models.
    fn observer_factor(&self) -> f64 {
        10f64.powf(self.look.observer.margin_dex)
    }

    fn glaring(&self) -> Option<Glaring> {
        self.look.appearance.map(Glaring::of)
    }

    pub(super) fn links(&self, seeing_zenith_arcsec: f64) -> Links {
        Links {
            aperture_mm: self.instrument.aperture_mm,
            obstruction: self.instrument.obstruction,
            mtf: self.instrument.image.photopic_mtf.clone(),
            transmission: self.instrument.transmission,
            magnifications: self
                .instrument
                .views
                .iter()
                .map(|view| view.magnification)
                .collect(),
            seeing_zenith_arcsec,
            airmass: self.look.airmass,
            extinction_mag_airmass: self.look.extinction_mag_airmass,
            sky_brightness_mag_arcsec2: self.look.sky_brightness_mag_arcsec2,
            age_years: self.look.observer.age_years,
            figure_blur_arcsec: self.figure_blur_arcsec(),
        }
    }

    /// What the figure adds to the width of a star.
    fn figure_blur_arcsec(&self) -> f64 {
        *self.chains.figure_blur_arcsec.get_or_init(|| {
            let instrument = self.instrument;
            let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
            let width = |mtf: &Mtf| fwhm_keeping_half_arcsec(cutoff * mtf.half_kept());
            let own = width(&instrument.image.photopic_mtf);
            let perfect = width(&instrument.mtf_of_perfect_figure);
            (own * own - perfect * perfect).max(0.0).sqrt()
        })
    }

    /// With all eyepieces, also those that are too strong: for whoever looked through one or asks what it would show.
    pub(super) fn with_every_view(&self, seeing_zenith_arcsec: f64) -> Chain {
        Chain::new(self.links(seeing_zenith_arcsec))
    }

    /// How many of the instrument's views count under an air: from the first on, as they rise.
    pub(super) fn n_in_use(&self, seeing_zenith_arcsec: f64) -> usize {
        let links = self.links(seeing_zenith_arcsec);
        highest_of(&links).n_borne(&links.magnifications)
    }

    /// The highest magnification of use in the instrument under an air.
    pub(super) fn highest_useful(&self, seeing_zenith_arcsec: f64) -> HighestUseful {
        highest_useful_magnification(self.instrument.aperture_mm, seeing_zenith_arcsec)
    }

    pub(super) fn typical(&self) -> Links {
        self.links(self.look.seeing_zenith_arcsec.typical)
    }

    pub(super) fn airs(&self) -> ThreeAirs<&Chain> {
        let ThreeAirs { good, poor, .. } = &self.chains.airs;
        let seeing = &self.look.seeing_zenith_arcsec;
        ThreeAirs {
            good: good.get_or_init(|| in_use(self.links(seeing.good))),
            typical: self.usual(),
            poor: poor.get_or_init(|| in_use(self.links(seeing.poor))),
        }
    }

    /// The typical night as it is.
    pub(super) fn usual(&self) -> &Chain {
        (self.chains.airs.typical).get_or_init(|| in_use(self.typical()))
    }

    /// The typical night with one link made ideal, for each link in turn.
    pub(super) fn ideals(&self) -> &[(Limit, Chain)] {
        self.chains.ideals.get_or_init(|| {
            [
                Limit::Figure,
                Limit::Obstruction,
                Limit::Air,
                Limit::Altitude,
                Limit::SkyBrightness,
                Limit::Magnification,
                Limit::Aperture,
            ]
            .map(|limit| (limit, in_use(self.idealised(self.typical(), limit))))
            .into()
        })
    }

    /// All links ideal at once, in half of the typical blur.
    pub(super) fn everything(&self) -> &Chain {
        self.chains
            .everything
            .get_or_init(|| in_use(self.all_ideal()))
    }

    /// The same in air as it hardly ever is.
    pub(super) fn everything_in_still_air(&self) -> &Chain {
        self.chains.everything_in_still_air.get_or_init(|| {
            let mut links = self.all_ideal();
            links.seeing_zenith_arcsec = links.seeing_zenith_arcsec.min(STILL_AIR_ARCSEC);
            in_use(links)
        })
    }

    /// The mildest air, better than the site's good one, in which it passes a visibility, arcseconds; `None` where it never does.
    pub(super) fn rare_air_arcsec(
        &self,
        today: &Today,
        is_enough: impl Fn(f64) -> bool,
    ) -> Option<f64> {
        let helps = |idx: &usize| {
            let chain = (self.chains.rare_airs[*idx])
                .get_or_init(|| in_use(self.links(RARE_AIRS_ARCSEC[*idx])));
            is_enough(self.best(chain, today))
        };
        let last = RARE_AIRS_ARCSEC.len() - 1;
        if !helps(&last) {
            return None;
        }
        let good_arcsec = self.look.seeing_zenith_arcsec.good;
        let mut rarer = (0..=last).filter(|&idx| RARE_AIRS_ARCSEC[idx] < good_arcsec);
        rarer.find(helps).map(|idx| RARE_AIRS_ARCSEC[idx])
    }

    fn all_ideal(&self) -> Links {
        let all = [
            Limit::Obstruction,
            Limit::Air,
            Limit::Altitude,
            Limit::SkyBrightness,
            Limit::Aperture,
            Limit::Magnification,
            Limit::Figure,
        ];
        all.into_iter()
            .fold(self.typical(), |links, limit| self.idealised(links, limit))
    }

    /// As much light as the larger mirror of [`Limit::Aperture`] would bring, and nothing else.
    pub(super) fn more_light(&self) -> &Chain {
        self.chains.more_light.get_or_init(|| {
            let mut links = self.typical();
            links.transmission *= LARGER_APERTURE.powi(2);
            in_use(links)
        })
    }

    /// The same telescope built larger and well figured, with eyepieces of the same exit pupils.
    pub(super) fn apertures(&self) -> &[(f64, Chain)] {
        let typical_arcsec = self.look.seeing_zenith_arcsec.typical;
        (self.chains.apertures).get_or_init(|| self.built_larger(typical_arcsec))
    }

    /// The same in the site's good air.
    pub(super) fn apertures_in_good_air(&self) -> &[(f64, Chain)] {
        let good_arcsec = self.look.seeing_zenith_arcsec.good;
        (self.chains.apertures_in_good_air).get_or_init(|| self.built_larger(good_arcsec))
    }

    fn built_larger(&self, seeing_zenith_arcsec: f64) -> Vec<(f64, Chain)> {
        APERTURES_MM
            .into_iter()
            .filter(|&mm| 1.05 * self.instrument.aperture_mm < mm)
            .map(|mm| {
                // Nobody makes a larger mirror with the errors of this one.
                let links = self.links(seeing_zenith_arcsec);
                let well_figured = self.idealised(links, Limit::Figure);
                let times = mm / self.instrument.aperture_mm;
                (mm, in_use(enlarged(well_figured, times)))
            })
            .collect()
    }

    /// As high as it gets; at the zenith where nobody says how high that is.
    fn least_airmass(&self) -> f64 {
        let highest = self.look.highest_deg;
        highest
            .map_or(Some(1.0), air::airmass)
            .unwrap_or(f64::INFINITY)
    }

    pub(super) fn idealised(&self, mut links: Links, limit: Limit) -> Links {
        match limit {
            Limit::Figure => {
                links.figure_blur_arcsec = 0.0;
                links.mtf = if links.obstruction > 0.0 {
                    self.instrument.mtf_of_perfect_figure.clone()
                } else {
                    Mtf::annular(0.0).in_daylight()
                };
            }
            Limit::Obstruction => {
                links.obstruction = 0.0;
                links.mtf = self.instrument.mtf_unobstructed.clone();
            }
            Limit::Air => links.seeing_zenith_arcsec *= 0.5,
            Limit::Altitude => links.airmass = links.airmass.min(self.least_airmass()),
            Limit::SkyBrightness => {
                links.sky_brightness_mag_arcsec2 =
                    links.sky_brightness_mag_arcsec2.max(DARK_SKY_MAG_ARCSEC2);
            }
            Limit::Magnification => {
                links.magnifications = EXIT_PUPILS_MM.map(|mm| links.aperture_mm / mm).into();
            }
            Limit::Aperture => return enlarged(links, LARGER_APERTURE),
            _ => {}
        }
        links
    }
}

/// The chain with those eyepieces that its air bears; with the weakest, where it bears none.
pub(super) fn in_use(mut links: Links) -> Chain {
    let highest = highest_of(&links);
    links
        .magnifications
        .truncate(highest.n_borne(&links.magnifications));
    Chain::new(links)
}

fn highest_of(links: &Links) -> HighestUseful {
    highest_useful_magnification(links.aperture_mm, links.seeing_zenith_arcsec)
}

/// With eyepieces of the same exit pupils; where the air does not bear them, with the strongest it does.
fn enlarged(mut links: Links, times: f64) -> Links {
    links.aperture_mm *= times;
    let highest = highest_of(&links);
    for magnification in &mut links.magnifications {
        *magnification = highest.held(*magnification, times);
    }
    links
}

/// By how much the mirror is enlarged to see whether its size is the limit.
const LARGER_APERTURE: f64 = 1.5;

/// Zenith FWHM of nights that are remembered. Common practice, no source.
const STILL_AIR_ARCSEC: f64 = 0.6;

/// Zenith FWHM in the steps in which a reason names it, down to the best that occurs. Common practice, no source.
const RARE_AIRS_ARCSEC: [f64; 8] = [2.0, 1.5, 1.2, 1.0, 0.8, 0.6, 0.5, 0.4];

/// Apertures named when a larger one would help, mm: the usual sizes of blanks.
const APERTURES_MM: [f64; 9] = [80.0, 100.0, 125.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0];

/// Exit pupils of a full set of eyepieces, mm, falling (so that magnifications rise).
const EXIT_PUPILS_MM: [f64; 7] = [5.0, 3.5, 2.0, 1.4, 1.0, 0.7, 0.5];

/// A sky without town, Moon or twilight.
const DARK_SKY_MAG_ARCSEC2: f64 = 21.7;
