//! What a telescope can reach at its site: the faintest star, the closest pair, and from which to
//! which magnification its eyepieces are of use.
//!
//! Overhead, on a moonless night, whatever is up there; `plan::night` is about a date. Here the date only
//! tells how old the coating is.

mod blur;

use chrono::NaiveDate;
use rayon::prelude::*;
use serde::Serialize;

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::eye::age;
use crate::eye::crumey::{StarSearch, rule_of_thumb_limit_mag, telescopic_limit_mag};
use crate::eye::pupil::dark_adapted_pupil_mm;
use crate::eye::{Eyes, MOST_PEOPLE};
use crate::optics::eyepiece::{
    HighLimit, HighestUseful, LEEWAY, SMALLEST_EXIT_PUPIL_MM, drift_time_s,
    highest_useful_magnification, lowest_useful_magnification,
};
use crate::optics::figure::{Basis, NotJudged};
use crate::optics::layout::light_grasp;
use crate::optics::resolution::{airy_radius_arcsec, dawes_arcsec, rayleigh_arcsec};
use crate::optics::{Instrument, View};
use crate::plan::conditions::{dark_zenith_mag_arcsec2, seeing_zenith_arcsec};
use crate::plan::reach::blur::Blur;
use crate::plan::tube::Tube;
use crate::sky::air::{CLEAR_NIGHT_HAZE_MAG, extinction_mag_per_airmass};
use crate::targets::closest_pair::{closest_pair_in_still_air, closest_pair_in_typical_air};
use crate::targets::look::Look;
use crate::targets::verdict::ThreeAirs;
use crate::workshop::{Figure, Observer, Telescope, Workshop};

pub use self::blur::SoftFrom;
pub use crate::targets::closest_pair::ClosestPair;

/// What one telescope can reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// The telescope put together. Where `figure` is not judged, as if its mirror were perfect.
    pub instrument: Instrument,
    /// Its knife-edge readings cannot be used: what follows is for a perfect mirror.
    pub not_judged: Option<NotJudged>,
    /// What stands around the mirror.
    pub tube: Tube,
    /// Under what sky, by whose eye.
    pub conditions: ReachConditions,
    /// Radius of the first dark ring of a star, arcseconds, 550 nm.
    pub airy_radius_arcsec: f64,
    /// Rayleigh's limit for an equal pair, arcseconds.
    pub rayleigh_arcsec: f64,
    /// Dawes's limit for an equal pair, arcseconds.
    pub dawes_arcsec: f64,
    /// The closest even pair that most people part with it in still air; `None` where they part none.
    pub pair_in_still_air: Option<ClosestPair>,
    /// The same in the site's typical air; `None` also where nobody knows how wide that makes a star.
    pub pair_in_typical_air: Option<ClosestPair>,
    /// How many times more light of a star than the bare eye.
    pub light_grasp: f64,
    /// The lowest magnification that wastes no light.
    pub lowest_useful: Useful,
    /// The highest magnification that still shows more.
    pub highest_useful: Useful,
    /// Where below that the mirror's own image begins to look soft; `None` where it does not.
    pub soft_from: Option<SoftFrom>,
    /// The eyepiece with the faintest star among those that are not too strong: index into `views`.
    pub faintest_view_idx: usize,
    /// Handbooks' 2 + 5 log10 D(mm), magnitudes, beside the model's.
    pub rule_of_thumb_mag: f64,
    /// As `instrument.views`, one for one.
    pub views: Vec<ViewReach>,
}

/// Sky and eye that a reach is stated for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReachConditions {
    /// Moonless zenith; `None` where the faintest star stated fits no sky on Earth.
    pub sky_mag_arcsec2: Option<f64>,
    /// Light lost on the way down from the zenith, V.
    pub extinction_mag: f64,
    /// Typical width of a star overhead; `None` off the scale it was stated on.
    pub seeing_arcsec: Option<f64>,
    /// Of the observer, years.
    pub age_years: f64,
    /// In the dark, at that age.
    pub eye_pupil_mm: f64,
}

/// An end of the range of useful magnifications.
#[derive(Debug, Clone, PartialEq)]
pub struct Useful {
    /// Times.
    pub magnification: f64,
    /// What ends it there.
    pub end: RangeEnd,
}

/// What ends the range of useful magnifications.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RangeEnd {
    /// Below it the light leaves the eyepiece wider than the eye's pupil in the dark.
    EyePupil {
        /// Of the observer.
        pupil_mm: f64,
        /// Of the observer.
        age_years: f64,
    },
    /// Above it typical air only looks softer.
    Air {
        /// Typical FWHM at the zenith, arcseconds.
        seeing_arcsec: f64,
    },
    /// Above it the light leaves the eyepiece narrower than is of use.
    ExitPupil {
        /// Smallest of use.
        least_mm: f64,
    },
}

/// What one eyepiece reaches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ViewReach {
    /// Time a star on the celestial equator takes across the field, seconds; longer by
    /// 1 / cos(declination) elsewhere. `None` if it never leaves.
    pub drift_time_s: Option<f64>,
    /// Faintest star overhead that most people see, catalogue magnitude; `None` without a sky.
    pub faintest_star_mag: Option<f64>,
    /// What the figure's blur takes off that, magnitudes.
    pub figure_cost_mag: Option<f64>,
    /// Whether its magnification is of use.
    pub fit: Fit,
}

/// Where a magnification stands in the useful range.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fit {
    /// Wastes light on the iris.
    TooLow,
    /// Within, or outside by no more than a tenth: the ends are no sharper.
    Useful,
    /// Larger and dimmer, and nothing more to see.
    TooHigh,
}

/// Reach of every telescope of the workshop, in the file's order, its coating as old as on a date.
///
/// ```
/// use skyworthy::plan::reach::reach;
/// use skyworthy::workshop;
///
/// for reach in reach(&workshop::example(), "2026-12-17".parse()?) {
///     println!("{}: pairs {:.2} arcseconds apart", reach.instrument.name, reach.rayleigh_arcsec);
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn reach(workshop: &Workshop, on: NaiveDate) -> Vec<Reach> {
    let conditions = ReachConditions::of(workshop);
    workshop
        .telescopes
        .par_iter()
        .map(|telescope| {
            let (instrument, not_judged) = match Instrument::of(workshop, telescope, on) {
                Ok(instrument) => (instrument, None),
                Err(not_judged) => (as_if_perfect(workshop, telescope, on), Some(not_judged)),
            };
            let tube = Tube::of(telescope, &instrument, on);
            Reach {
                not_judged,
                ..reach_of(instrument, tube, conditions)
            }
        })
        .collect()
}

/// Reach of one instrument in its tube under given conditions.
pub fn reach_of(instrument: Instrument, tube: Tube, conditions: ReachConditions) -> Reach {
    let aperture_mm = instrument.aperture_mm;
    let lowest_useful = lowest(aperture_mm, &conditions);
    // Without a width of the air only the exit pupil limits: still air.
    let seeing_arcsec = conditions.seeing_arcsec.unwrap_or(0.0);
    let highest = highest_useful_magnification(aperture_mm, seeing_arcsec);
    let blur = Blur::of(&instrument);
    let views: Vec<ViewReach> = instrument
        .views
        .iter()
        .map(|view| {
            let search = star_search(&instrument, view, &conditions);
            let figure_cost_mag = search.map(|search| blur.cost_mag(&search, seeing_arcsec));
            ViewReach {
                drift_time_s: drift_time_s(view.true_field_deg, 0.0),
                faintest_star_mag: search.zip(figure_cost_mag).map(|(search, cost_mag)| {
                    telescopic_limit_mag(&search) - conditions.extinction_mag - cost_mag
                }),
                figure_cost_mag,
                fit: fit(view.magnification, &lowest_useful, highest),
            }
        })
        .collect();
    let transmission = instrument.transmission;
    let overhead = conditions.overhead();
    Reach {
        pair_in_still_air: closest_pair_in_still_air(&instrument, &overhead),
        pair_in_typical_air: (conditions.seeing_arcsec)
            .and_then(|_| closest_pair_in_typical_air(&instrument, &overhead)),
        not_judged: None,
        tube,
        conditions,
        airy_radius_arcsec: airy_radius_arcsec(aperture_mm, REFERENCE_WAVELENGTH_NM),
        rayleigh_arcsec: rayleigh_arcsec(aperture_mm, REFERENCE_WAVELENGTH_NM),
        dawes_arcsec: dawes_arcsec(aperture_mm),
        light_grasp: light_grasp(aperture_mm, conditions.eye_pupil_mm, transmission),
        lowest_useful,
        highest_useful: highest_useful(highest, seeing_arcsec),
        soft_from: blur.soft_from(highest),
        faintest_view_idx: faintest_view_idx(&views),
        rule_of_thumb_mag: rule_of_thumb_limit_mag(aperture_mm),
        views,
        instrument,
    }
}

impl Reach {
    /// Faintest star of the best eyepiece, catalogue magnitude.
    pub fn faintest_star_mag(&self) -> Option<f64> {
        self.views[self.faintest_view_idx].faintest_star_mag
    }

    /// The closest pair to be promised in still air, arcseconds: by Rayleigh's rule, or wider where this mirror with
    /// these eyepieces falls short of it.
    pub fn closest_pair_arcsec(&self) -> Option<f64> {
        (self.pair_in_still_air).map(|pair| pair.gap_arcsec.max(self.rayleigh_arcsec))
    }

    /// Whether it is the strongest eyepiece, and not the mirror, that parts no closer pair in still air.
    pub fn eyepieces_hold_pairs_back(&self) -> bool {
        let falls_short =
            |pair: ClosestPair| LEEWAY * self.rayleigh_arcsec < pair.perfect_gap_arcsec;
        let strongest = self.instrument.views.last();
        let is_mild = |view: &View| LEEWAY * SMALLEST_EXIT_PUPIL_MM < view.exit_pupil_mm;
        self.pair_in_still_air.is_some_and(falls_short) && strongest.is_some_and(is_mild)
    }

    /// Whether any power is within both ends: in poor air a large mirror has none.
    pub fn has_useful_power(&self) -> bool {
        self.lowest_useful.magnification <= self.highest_useful.magnification
    }

    /// Whether a figure was given that can be used; otherwise all is for a perfect mirror.
    pub fn knows_figure(&self) -> bool {
        self.not_judged.is_none() && self.instrument.figure.basis != Basis::NotGiven
    }
}

impl ReachConditions {
    /// Of the workshop's site and observer.
    pub fn of(workshop: &Workshop) -> ReachConditions {
        let (site, age_years) = (&workshop.site, workshop.observer.age_years);
        ReachConditions {
            sky_mag_arcsec2: dark_zenith_mag_arcsec2(site.darkness),
            extinction_mag: extinction_mag_per_airmass(site.elevation_m, CLEAR_NIGHT_HAZE_MAG),
            seeing_arcsec: seeing_zenith_arcsec(site.seeing).map(|airs| airs.typical),
            age_years,
            eye_pupil_mm: dark_adapted_pupil_mm(age_years),
        }
    }

    /// At whatever stands overhead, by most people.
    fn overhead(&self) -> Look<'static> {
        let typical = self.seeing_arcsec.unwrap_or(0.0);
        let airs = ThreeAirs {
            good: typical,
            typical,
            poor: typical,
        };
        let observer = Observer {
            age_years: self.age_years,
            margin_dex: 0.0,
        };
        let sky_mag_arcsec2 = self.sky_mag_arcsec2.unwrap_or(DARK_SKY_MAG_ARCSEC2);
        Look::overhead(self.extinction_mag, sky_mag_arcsec2, airs, observer)
    }
}

/// Where no sky is known; it means nothing to stars of sixth magnitude.
const DARK_SKY_MAG_ARCSEC2: f64 = 21.0;

/// The tube and eyepieces of a telescope whose figure is not judged.
fn as_if_perfect(workshop: &Workshop, telescope: &Telescope, on: NaiveDate) -> Instrument {
    let perfect = Telescope {
        figure: Figure::NotGiven,
        ..telescope.clone()
    };
    Instrument::of(workshop, &perfect, on).expect("only knife-edge readings are refused")
}

fn lowest(aperture_mm: f64, conditions: &ReachConditions) -> Useful {
    let pupil_mm = conditions.eye_pupil_mm;
    Useful {
        magnification: lowest_useful_magnification(aperture_mm, pupil_mm),
        end: RangeEnd::EyePupil {
            pupil_mm,
            age_years: conditions.age_years,
        },
    }
}

fn highest_useful(highest: HighestUseful, seeing_arcsec: f64) -> Useful {
    Useful {
        magnification: highest.magnification,
        end: match highest.limit {
            HighLimit::Seeing => RangeEnd::Air { seeing_arcsec },
            HighLimit::ExitPupil => RangeEnd::ExitPupil {
                least_mm: SMALLEST_EXIT_PUPIL_MM,
            },
        },
    }
}

fn fit(magnification: f64, lowest: &Useful, highest: HighestUseful) -> Fit {
    if magnification * LEEWAY < lowest.magnification {
        Fit::TooLow
    } else if highest.bears(magnification) {
        Fit::Useful
    } else {
        Fit::TooHigh
    }
}

/// Most people, one eye, a star overhead; `None` without a sky.
fn star_search(
    instrument: &Instrument,
    view: &View,
    conditions: &ReachConditions,
) -> Option<StarSearch> {
    Some(StarSearch {
        sky_mag_arcsec2: conditions.sky_mag_arcsec2?,
        veil_cd_m2: 0.0,
        aperture_mm: instrument.aperture_mm,
        magnification: view.magnification,
        transmission: instrument.transmission,
        eye_pupil_mm: conditions.eye_pupil_mm,
        field_factor: MOST_PEOPLE * age::night_loss(conditions.age_years),
        eyes: Eyes::One,
    })
}

/// Strong eyepieces show the faintest stars, and too strong ones spread them.
fn faintest_view_idx(views: &[ViewReach]) -> usize {
    let rank = |view: &ViewReach| {
        let mag = view.faintest_star_mag.unwrap_or(f64::NEG_INFINITY);
        (view.fit != Fit::TooHigh, mag)
    };
    (0..views.len())
        .max_by(|&a, &b| {
            let (a, b) = (rank(&views[a]), rank(&views[b]));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        })
        .unwrap_or(0)
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::optics::instrument::EyepieceCase;
    use crate::workshop::{Barlow, Coating, Eyepiece, EyepieceField, FocalLength, Glass};

    /// 150 mm f/8 left spherical; 48x and 200x, through a Barlow lens 96x and 400x.
    fn larch() -> (Instrument, Tube) {
        let telescope = Telescope {
            name: "Larch".to_string(),
            aperture_mm: 150.0,
            focal_length: FocalLength::FocalLengthMm(1200.0),
            planned_focal_length_mm: None,
            secondary_mm: None,
            spider_vane_mm: 1.0,
            coating: Coating::Silver,
            coated_on: NaiveDate::from_ymd_opt(2026, 12, 1),
            thickness_mm: Some(25.0),
            glass: Glass::Plate,
            pivot_height_m: Some(0.60),
            pivot_to_eyepiece_m: Some(0.55),
            eyepieces: vec![0, 1],
            figure: Figure::Sphere,
            figure_on: None,
            star_test: None,
            history: Vec::new(),
            stand: crate::workshop::Stand::default(),
        };
        let eyepiece = |name: &str, focal_length_mm| Eyepiece {
            name: name.to_string(),
            focal_length_mm,
            field: EyepieceField::ApparentDeg(50.0),
        };
        let case = EyepieceCase {
            eyepieces: &[eyepiece("25 mm", 25.0), eyepiece("6 mm", 6.0)],
            barlows: &[Barlow {
                name: "2x".to_string(),
                factor: 2.0,
            }],
        };
        let larch = Instrument::with_eyepieces(&telescope, case).expect("a sphere is judged");
        let tube = Tube::of(
            &telescope,
            &larch,
            telescope.coated_on.expect("given above"),
        );
        (larch, tube)
    }

    pub(crate) fn larch_under(conditions: ReachConditions) -> Reach {
        let (instrument, tube) = larch();
        reach_of(instrument, tube, conditions)
    }

    const STEADY: ReachConditions = ReachConditions {
        sky_mag_arcsec2: Some(21.5),
        extinction_mag: 0.0,
        seeing_arcsec: Some(1.0),
        age_years: 40.0,
        eye_pupil_mm: 7.0,
    };

    #[test]
    fn useful_range_and_why() {
        let steady = larch_under(STEADY);
        assert_eq!(steady.highest_useful.magnification, 300.0);
        let narrow = RangeEnd::ExitPupil { least_mm: 0.5 };
        assert_eq!(steady.highest_useful.end, narrow);
        let poor = ReachConditions {
            seeing_arcsec: Some(2.5),
            ..STEADY
        };
        let poor = larch_under(poor);
        assert_eq!(poor.highest_useful.magnification, 120.0);
        let soft = RangeEnd::Air { seeing_arcsec: 2.5 };
        assert_eq!(poor.highest_useful.end, soft);
        let fits: Vec<Fit> = poor.views.iter().map(|view| view.fit).collect();
        assert_eq!(fits, [Fit::Useful, Fit::Useful, Fit::TooHigh, Fit::TooHigh]);
        assert_eq!(
            poor.instrument.views[poor.faintest_view_idx].eyepiece,
            "25 mm + 2x"
        );
    }

    /// Crumey 2014 for 200 mm, loss factor 1.33, one eye, F = 2, pupil 7 mm, computed apart from
    /// this project: sky 21.5 at 100x and 200x, sky 18 at 200x.
    #[test]
    fn faintest_stars_as_computed_apart() {
        for (sky, magnification, want) in [
            (21.5, 100.0, 13.95),
            (21.5, 200.0, 14.20),
            (18.0, 200.0, 13.07),
        ] {
            let (mut instrument, tube) = larch();
            instrument.aperture_mm = 200.0;
            instrument.transmission = 1.0 / 1.33;
            instrument.views.truncate(1);
            instrument.views[0].magnification = magnification;
            let conditions = ReachConditions {
                sky_mag_arcsec2: Some(sky),
                ..STEADY
            };
            let got = reach_of(instrument, tube, conditions)
                .faintest_star_mag()
                .expect("a sky");
            assert!(
                (got - want).abs() < 0.02,
                "sky {sky} at {magnification}x: {got}"
            );
        }
    }

    /// Handbooks: 2 + 5 log D is 12.9 for 150 mm; 0.92" and 0.77" are Rayleigh's and Dawes's limits.
    #[test]
    fn handbook_figures_of_150_mm() {
        let reach = larch_under(STEADY);
        assert!((reach.rule_of_thumb_mag - 12.9).abs() < 0.05);
        assert!((reach.rayleigh_arcsec - 0.92).abs() < 0.005);
        assert!((reach.dawes_arcsec - 0.77).abs() < 0.005);
    }
}
