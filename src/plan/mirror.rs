//! The verdict on a mirror: good enough for what, what to correct, and what that would buy.

mod class;
mod figures;
mod history;
mod masked;

use chrono::NaiveDate;
use rayon::prelude::*;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::evidence::Interval;
use crate::optics::evidence::bands_seen::BandsOutcome;
use crate::optics::figure::{self, FigureFound, MirrorInTube, NotJudged};
use crate::optics::focal_length::KnownFocalLength;
use crate::optics::instrument::Instrument;
use crate::optics::knife::{Doubt, Reduction, ZoneOutcome};
use crate::optics::mtf::{Mtf, cutoff_cycles_per_arcsec};
use crate::optics::opening::Opening;
use crate::optics::resolution::airy_radius_arcsec;
use crate::optics::sphere::Sphere;
use crate::plan::mirror::class::class;
use crate::plan::mirror::history::history;
use crate::plan::mirror::masked::best_mask;
use crate::plan::refusal::NoNight;
use crate::plan::week::{Week, Year, week};
use crate::targets::verdict::ThreeAirs;
use crate::workshop::{Figure, Telescope, Workshop};

pub use self::class::{Class, MOST_BELOW_THE_LINE, PLANET_WORTHY_STREHL, Undecided};
pub use self::figures::Figures;
pub use self::history::{DatedOutcome, DatedStep};
pub use self::masked::Masked;

const LOW_POWER_FREQUENCY: f64 = 0.1;

/// The verdict on one mirror.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// The telescope, put together.
    pub instrument: Instrument,
    /// As in the workshop file.
    pub telescope: Telescope,
    /// What it is good for.
    pub class: Class,
    /// Why that is not settled, and what would settle it.
    pub undecided: Option<Undecided>,
    /// How well the focal length is known from how it was measured, mm either way; common practice.
    pub focal_length_uncertainty_mm: f64,
    /// Over the open pupil, behind the diagonal.
    pub figures: Figures,
    /// Over the full disc, as it lies on the bench.
    pub full_disc: Figures,
    /// Most of the error is that of a conic: the correction is what to work on.
    pub is_off_by_correction: bool,
    /// What a mask over a turned edge would give, where one puts more light into a star's core.
    pub mask: Option<Masked>,
    /// All tests by date, oldest first; empty where there is one.
    pub history: Vec<DatedOutcome>,
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
    let figures = Figures::of(&telescope.figure, &instrument.found, &instrument.quality());
    let low_power_kept = share_kept(&instrument, LOW_POWER_FREQUENCY);
    let (class, undecided) = class(telescope, &instrument, &figures.strehl, low_power_kept);
    let cutoff = cutoff_cycles_per_arcsec(instrument.aperture_mm, REFERENCE_WAVELENGTH_NM);
    let kept = |(scale, width_arcsec): (Scale, f64)| ContrastKept {
        scale,
        width_arcsec,
        share: share_kept(&instrument, fineness(width_arcsec) / cutoff),
    };
    // Width at half the peak comes in wavelengths over the aperture.
    let lambda_over_d_arcsec = 1.0 / cutoff;
    Judged {
        class,
        undecided,
        full_disc: full_disc(telescope, &instrument),
        is_off_by_correction: is_off_by_correction(&instrument),
        mask: (turned_edge(&instrument)).and_then(|width_mm| best_mask(&instrument, width_mm)),
        history: history(telescope, &instrument),
        focal_length_uncertainty_mm: KnownFocalLength::of(telescope).half_width_mm(),
        figures,
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

/// A turned edge that was seen or read, and how wide if that was measured.
fn turned_edge(instrument: &Instrument) -> Option<Option<f64>> {
    instrument
        .found
        .doubts()
        .iter()
        .find_map(|doubt| match doubt {
            Doubt::EdgeTurned(turned) => Some(turned.width_mm),
            Doubt::EdgeRead { .. } => Some(None),
            _ => None,
        })
}

fn is_off_by_correction(instrument: &Instrument) -> bool {
    let Some(evidence) = instrument.found.evidence() else {
        return false;
    };
    let sphere = Sphere::of(instrument.aperture_mm, instrument.focal_length_mm);
    let sphere_rms_nm = sphere.wavefront_rms_waves * REFERENCE_WAVELENGTH_NM;
    let conic_nm = (1.0 - evidence.correction.value).abs() * sphere_rms_nm;
    let is_as_good_as_a_paraboloid =
        (evidence.correction.low..=evidence.correction.high).contains(&1.0);
    // Squares add up: more than half of them.
    !is_as_good_as_a_paraboloid && 0.5 * evidence.wavefront_rms_nm.value.powi(2) < conic_nm.powi(2)
}

/// Without the diagonal's shadow; what cannot be read was found out before.
fn full_disc(telescope: &Telescope, instrument: &Instrument) -> Figures {
    let glass = MirrorInTube {
        aperture_mm: instrument.aperture_mm,
        radius_of_curvature_mm: 2.0 * instrument.focal_length_mm,
        obstruction: 0.0,
    };
    let judged = figure::judged(&telescope.figure, telescope.star_test, glass);
    let (wavefront, found) = match judged {
        Ok(judged) => (judged.wavefront, judged.found),
        Err(_) => (instrument.wavefront.clone(), instrument.found.clone()),
    };
    let quality = wavefront.quality(Opening::from(0.0), REFERENCE_WAVELENGTH_NM);
    Figures::of(&telescope.figure, &found, &quality)
}

/// What the mirror of one telescope is good for.
pub fn class_of(telescope: &Telescope, instrument: &Instrument) -> Class {
    let figures = Figures::of(&telescope.figure, &instrument.found, &instrument.quality());
    let low_power_kept = share_kept(instrument, LOW_POWER_FREQUENCY);
    class(telescope, instrument, &figures.strehl, low_power_kept).0
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
        if self.instrument.found.evidence().is_some()
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
        let reduction = self.instrument.found.reduction()?;
        Some((reduction.worst_zone_idx + 1, reduction.worst_zone()))
    }

    /// Share of the paraboloid's departure from the sphere, where it was found; nothing of a sphere's.
    pub fn correction(&self) -> Option<Interval> {
        const SPHERE: Interval = Interval {
            value: 0.0,
            low: 0.0,
            high: 0.0,
        };
        match (&self.telescope.figure, self.instrument.found.evidence()) {
            (Figure::Sphere, _) => Some(SPHERE),
            (_, evidence) => evidence.map(|evidence| evidence.correction),
        }
    }

    /// What looking at the bands left.
    pub fn bands(&self) -> Option<&BandsOutcome> {
        match &self.instrument.found {
            FigureFound::Bands(bands) => Some(bands),
            _ => None,
        }
    }

    /// Every zone that was read is within what is allowed.
    pub fn is_within_tolerance(&self) -> bool {
        let reduction = self.instrument.found.reduction();
        reduction.is_some_and(Reduction::is_within_tolerance)
    }

    /// What the readings leave in doubt.
    pub fn doubts(&self) -> &[Doubt] {
        self.instrument.found.doubts()
    }
}
