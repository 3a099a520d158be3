//! The verdict on a mirror: good enough for what, what to correct, and what that would buy.

use chrono::NaiveDate;
use rayon::prelude::*;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::figure::NotJudged;
use crate::optics::instrument::Instrument;
use crate::optics::knife::{Doubt, Interval, Reduction, ZoneOutcome};
use crate::optics::mtf::{Mtf, cutoff_cycles_per_arcsec};
use crate::optics::resolution::airy_radius_arcsec;
use crate::optics::sphere::Sphere;
use crate::plan::refusal::NoNight;
use crate::plan::week::{Week, Year, week};
use crate::targets::verdict::ThreeAirs;
use crate::workshop::{Figure, FocalLength, Stated, StatedAmount, Telescope, Workshop};

/// Least Strehl ratio of a mirror for the planets: the quarter-wave rule, 0.80, less what no test on
/// a bench can tell (0.025; common practice knows it only as "about a quarter of a wave").
pub const PLANET_WORTHY_STREHL: f64 = 0.775;

/// At a power of half the aperture in mm the eye's best frequencies, some 6 cycles a degree, lie at
/// a tenth of the mirror's cutoff. There a mirror for low power must keep this share of a perfect one's
/// contrast: smooth errors of about half a wave. Common practice, no source.
pub const LOW_POWER_SHARE: f64 = 0.6;

const LOW_POWER_FREQUENCY: f64 = 0.1;

/// What a mirror is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Class {
    /// For everything the air allows.
    PlanetWorthy,
    /// Moon, fields, up to about half the aperture in mm as power.
    LowPower,
    /// More work first.
    FigureAgain,
    /// The readings do not decide it: measure more.
    ReadAgain,
}

/// The verdict on one mirror.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The telescope, put together.
    pub instrument: Instrument,
    /// As in the workshop file.
    pub telescope: Telescope,
    /// What it is good for.
    pub class: Class,
    /// How well the focal length is known from how it was measured, mm either way; common practice.
    pub focal_length_uncertainty_mm: f64,
    /// Peak to valley, nm, over the open pupil, tilt and focus removed.
    pub wavefront_pv_nm: Interval,
    /// Root mean square, nm, the same.
    pub wavefront_rms_nm: Interval,
    /// At the tilt and focus of the highest peak.
    pub strehl: Interval,
    /// Radius of the first dark ring, 550 nm.
    pub airy_radius_arcsec: f64,
    /// Width of a star's image at half its peak; `None` without a core.
    pub fwhm_arcsec: Option<f64>,
    /// `(share of the cutoff, contrast kept)` at 0.05 to 0.95 of the cutoff, 550 nm, mean over azimuth.
    pub mtf: Vec<(f64, f64)>,
    /// Contrast kept at the scales that matter, against the same telescope with a perfect mirror.
    pub contrast: Vec<ContrastKept>,
    /// Aperture of the perfect telescope that shows Jupiter's finer belts alike, mm.
    pub sees_like_mm: f64,
    /// What a sphere of this size would do.
    pub sphere: Sphere,
    /// What more work would buy.
    pub week: Week,
}

/// Contrast kept at one scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContrastKept {
    /// What is that fine.
    pub scale: Scale,
    /// Its width.
    pub width_arcsec: f64,
    /// Over that of the same telescope with a perfect mirror, 0 to 1.
    pub share: f64,
}

/// What makes a width matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scale {
    /// Jupiter's two main belts.
    MainBelts,
    /// Jupiter's finer belts.
    FinerBelts,
    /// Lunar craterlets of 2 km.
    Craterlets,
    /// The Cassini Division.
    CassiniDivision,
}

/// One telescope's outcome.
#[derive(Debug, Clone, PartialEq)]
pub struct MirrorOutcome {
    /// As in the workshop file.
    pub name: String,
    /// The verdict, or why there is none.
    pub judged: Result<Box<Judged>, NotJudged>,
}

/// Widths that decide what a planet shows, arcseconds: see `data/details.csv`.
const SCALES: [(Scale, f64); 4] = [
    (Scale::MainBelts, 4.1),
    (Scale::FinerBelts, FINER_BELTS_ARCSEC),
    (Scale::Craterlets, 1.1),
    (Scale::CassiniDivision, 0.7),
];

const FINER_BELTS_ARCSEC: f64 = 1.6;

/// All mirrors of a workshop.
#[derive(Debug, Clone, PartialEq)]
pub struct Mirrors {
    /// In the file's order.
    pub mirrors: Vec<MirrorOutcome>,
    /// Air of the site at the zenith.
    pub seeing_zenith_arcsec: ThreeAirs<f64>,
}

/// Verdicts on all mirrors of the workshop; the year of planets begins at `from`.
///
/// ```
/// use skyworthy::plan::mirror::mirrors;
/// use skyworthy::workshop;
///
/// let answer = mirrors(&workshop::example(), "2026-12-17".parse()?)?;
/// for mirror in &answer.mirrors {
///     println!("{}: {}", mirror.name, if mirror.judged.is_ok() { "judged" } else { "not judged" });
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn mirrors(workshop: &Workshop, from: NaiveDate) -> Result<Mirrors, NoNight> {
    let year = Year::beginning(workshop, from)?;
    let outcome = |telescope: &Telescope| MirrorOutcome {
        name: telescope.name.clone(),
        judged: Instrument::of(workshop, telescope, from)
            .map(|instrument| Box::new(judged(&year, telescope, instrument))),
    };
    Ok(Mirrors {
        // A mirror's images take tens of milliseconds: worth a thread each.
        mirrors: workshop.telescopes.par_iter().map(outcome).collect(),
        seeing_zenith_arcsec: year.onlooker.seeing_zenith_arcsec,
    })
}

fn judged(year: &Year, telescope: &Telescope, instrument: Instrument) -> Judged {
    let figures = Figures::of(telescope, &instrument);
    let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
    let kept = |(scale, width_arcsec): (Scale, f64)| ContrastKept {
        scale,
        width_arcsec,
        share: share_kept(&instrument, fineness(width_arcsec) / cutoff),
    };
    // Width at half the peak comes in wavelengths over the aperture.
    let lambda_over_d_arcsec = 1.0 / cutoff;
    Judged {
        class: class(telescope, &instrument, &figures.strehl),
        focal_length_uncertainty_mm: focal_length_uncertainty_mm(telescope, &instrument),
        wavefront_pv_nm: figures.wavefront_pv_nm,
        wavefront_rms_nm: figures.wavefront_rms_nm,
        strehl: figures.strehl,
        airy_radius_arcsec: airy_radius_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM),
        fwhm_arcsec: (instrument.image.fwhm_lambda_n).map(|width| width * lambda_over_d_arcsec),
        mtf: (1..20)
            .map(|step| f64::from(step) / 20.0)
            .map(|share| (share, instrument.image.mtf.at(share)))
            .collect(),
        contrast: SCALES.into_iter().map(kept).collect(),
        sees_like_mm: sees_like_mm(&instrument, fineness(FINER_BELTS_ARCSEC)),
        sphere: Sphere::of(instrument.aperture_mm, instrument.focal_length_mm),
        week: week(year, &instrument),
        telescope: telescope.clone(),
        instrument,
    }
}

/// Spatial frequency at which a stripe and its like gap are so wide, cycles an arcsecond.
fn fineness(width_arcsec: f64) -> f64 {
    1.0 / (2.0 * width_arcsec)
}

/// Contrast kept against the same telescope with a perfect mirror, 0 to 1; 0 beyond what that keeps.
fn share_kept(instrument: &Instrument, share_of_cutoff: f64) -> f64 {
    let perfect = instrument.mtf_of_perfect_figure.at(share_of_cutoff);
    if perfect <= 1e-6 {
        return 0.0;
    }
    (instrument.image.photopic_mtf.at(share_of_cutoff) / perfect).clamp(0.0, 1.0)
}

/// The three figures with their intervals.
struct Figures {
    wavefront_pv_nm: Interval,
    wavefront_rms_nm: Interval,
    strehl: Interval,
}

/// Peak to valley over RMS of a rough surface: four standard deviations and more either way of many
/// small zones; common practice, no source.
const ROUGH_PV_OVER_RMS: f64 = 6.0;

impl Figures {
    fn of(telescope: &Telescope, instrument: &Instrument) -> Figures {
        let sure = |value: f64| Interval {
            value,
            low: value,
            high: value,
        };
        if let Some(reduction) = &instrument.reduction {
            return Figures {
                wavefront_pv_nm: reduction.wavefront_pv_nm,
                wavefront_rms_nm: reduction.wavefront_rms_nm,
                strehl: reduction.strehl,
            };
        }
        let smooth = Figures {
            wavefront_pv_nm: sure(instrument.wavefront_pv_nm),
            wavefront_rms_nm: sure(instrument.wavefront_rms_nm),
            strehl: sure(instrument.strehl),
        };
        match &telescope.figure {
            Figure::Stated(stated) => smooth.or_rough(stated),
            _ => smooth,
        }
    }

    /// One stated number has no shape: the smooth case is given, the rough one bounds it.
    fn or_rough(mut self, stated: &Stated) -> Figures {
        match stated.amount {
            StatedAmount::PeakToValleyWaves(_) => {
                let rms_nm = self.wavefront_pv_nm.value / ROUGH_PV_OVER_RMS;
                self.wavefront_rms_nm.low = rms_nm.min(self.wavefront_rms_nm.low);
                let sigma = std::f64::consts::TAU * rms_nm / REFERENCE_WAVELENGTH_NM;
                self.strehl.high = self.strehl.high.max((-sigma * sigma).exp());
            }
            StatedAmount::RmsWaves(_) => {
                let pv_nm = self.wavefront_rms_nm.value * ROUGH_PV_OVER_RMS;
                self.wavefront_pv_nm.high = self.wavefront_pv_nm.high.max(pv_nm);
            }
        }
        self
    }
}

/// What the mirror of one telescope is good for.
pub fn class_of(telescope: &Telescope, instrument: &Instrument) -> Class {
    class(
        telescope,
        instrument,
        &Figures::of(telescope, instrument).strehl,
    )
}

fn class(telescope: &Telescope, instrument: &Instrument, strehl: &Interval) -> Class {
    if telescope.figure == Figure::NotGiven {
        return Class::ReadAgain;
    }
    let barred = |reduction: &Reduction| reduction.bars_to_a_verdict().next().is_some();
    let straddles = strehl.low < PLANET_WORTHY_STREHL && PLANET_WORTHY_STREHL <= strehl.high;
    if instrument.reduction.as_ref().is_some_and(barred) || straddles {
        Class::ReadAgain
    } else if PLANET_WORTHY_STREHL <= strehl.value {
        Class::PlanetWorthy
    } else if LOW_POWER_SHARE <= share_kept(instrument, LOW_POWER_FREQUENCY) {
        Class::LowPower
    } else {
        Class::FigureAgain
    }
}

/// Half-width within which the focal length is known, mm. Common practice, no source: a tape to the
/// centre of curvature 5 mm, a feeler gauge under a straightedge 0.02 mm, a lamp's or the Moon's image 1 %.
fn focal_length_uncertainty_mm(telescope: &Telescope, instrument: &Instrument) -> f64 {
    let focal_length_mm = instrument.focal_length_mm;
    match telescope.focal_length {
        FocalLength::FocalLengthMm(_) => 0.01 * focal_length_mm,
        FocalLength::RadiusOfCurvatureMm(_) => 5.0 / 2.0,
        FocalLength::SagittaMm(sagitta_mm) => focal_length_mm * 0.02 / sagitta_mm,
    }
}

/// Aperture of the perfect telescope of the same obstruction that keeps as much contrast at a fineness,
/// mm: at most the aperture itself.
fn sees_like_mm(instrument: &Instrument, cycles_per_arcsec: f64) -> f64 {
    let full_mm = instrument.aperture_mm;
    let share = |aperture_mm: f64| {
        cycles_per_arcsec / cutoff_cycles_per_arcsec(aperture_mm, REFERENCE_WAVELENGTH_NM)
    };
    let wanted = instrument.image.photopic_mtf.at(share(full_mm));
    let perfect = Mtf::annular(instrument.obstruction).in_daylight();
    let (mut small_mm, mut large_mm) = (1.0, full_mm);
    // Contrast at one fineness grows with the aperture: halve until a tenth of a millimetre.
    while large_mm - small_mm > 0.1 {
        let middle_mm = 0.5 * (small_mm + large_mm);
        if perfect.at(share(middle_mm)) < wanted {
            small_mm = middle_mm;
        } else {
            large_mm = middle_mm;
        }
    }
    large_mm
}

impl Judged {
    /// `(share of the radius, height of the glass nm)` against the paraboloid of least RMS, every hundredth of
    /// the radius, weighted by area; along one radius, so for mirrors that are alike all around.
    pub fn departures_nm(&self) -> Vec<(f64, f64)> {
        let obstruction = self.instrument.obstruction;
        let path_nm = |share: f64| self.instrument.wavefront.path_nm(share, 0.0);
        let shares: Vec<f64> = (0..=100).map(|step| f64::from(step) / 100.0).collect();
        // Straight line in q = share^2, every q of the open ring weighing alike: piston and focus.
        let ring: Vec<(f64, f64)> = (0..=400)
            .map(|step| obstruction.powi(2) + (1.0 - obstruction.powi(2)) * f64::from(step) / 400.0)
            .map(|q| (q, path_nm(q.sqrt())))
            .collect();
        let n = ring.len() as f64;
        let mean_q = ring.iter().map(|(q, _)| q).sum::<f64>() / n;
        let mean_nm = ring.iter().map(|(_, nm)| nm).sum::<f64>() / n;
        let tilt = ring
            .iter()
            .map(|(q, nm)| (q - mean_q) * (nm - mean_nm))
            .sum::<f64>()
            / ring.iter().map(|(q, _)| (q - mean_q).powi(2)).sum::<f64>();
        shares
            .into_iter()
            // A path too long is glass too low, by half.
            .map(|share| {
                (
                    share,
                    -(path_nm(share) - mean_nm - tilt * (share * share - mean_q)) / 2.0,
                )
            })
            .collect()
    }

    /// Where the glass is farthest off, of a symmetric mirror measured otherwise than by zones:
    /// `(from the middle mm, height nm)`.
    pub fn farthest_off(&self) -> Option<(f64, f64)> {
        if self.instrument.reduction.is_some()
            || !matches!(
                self.telescope.figure,
                Figure::Profile { .. } | Figure::Sphere
            )
        {
            return None;
        }
        let rim_mm = self.instrument.aperture_mm / 2.0;
        let hidden = self.instrument.obstruction;
        let open = self
            .departures_nm()
            .into_iter()
            .filter(|(share, _)| hidden <= *share);
        open.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
            .map(|(share, nm)| (share * rim_mm, nm))
    }

    /// The zone whose glass is farthest off, and its number from the middle, where zones were read.
    pub fn worst_zone(&self) -> Option<(usize, &ZoneOutcome)> {
        let reduction = self.instrument.reduction.as_ref()?;
        Some((reduction.worst_zone_idx + 1, reduction.worst_zone()))
    }

    /// What the readings leave in doubt.
    pub fn doubts(&self) -> &[Doubt] {
        let reduction = self.instrument.reduction.as_ref();
        reduction.map_or(&[], |reduction| &reduction.doubts)
    }
}
