//! The verdict on each detail of a body: how surely it shows in good, typical and poor air, with
//! which eyepiece, and what limits it.

use crate::optics::instrument::Instrument;
use crate::sky::Appearance;
use crate::sky::Body;
use crate::targets::bench::Bench;
use crate::targets::conditions::Told;
use crate::targets::conditions::Unmet;
use crate::targets::conditions::shows_tonight;
use crate::targets::details::Detail;
use crate::targets::details::details_of;
use crate::targets::grade::PLAIN_FROM;
use crate::targets::today::Sight;
use crate::targets::today::Today;
use crate::targets::why;
use crate::targets::why::Case;

pub use crate::targets::grade::Grade;
pub use crate::targets::grade::ThreeAirs;

/// What is looked at, from where, through which air, by whom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look<'a> {
    /// The body tonight.
    pub appearance: &'a Appearance,
    /// Of the Sun, degrees, negative below the horizon: only chooses the words when the sky is
    /// too bright; how bright it is stands below.
    pub sun_altitude_deg: f64,
    /// Toward the body.
    pub airmass: f64,
    /// V magnitudes lost per airmass.
    pub extinction_mag_airmass: f64,
    /// Toward the body, V mag/arcsec²: site, Moon and twilight together.
    pub sky_brightness_mag_arcsec2: f64,
    /// FWHM at the zenith, 550 nm, arcseconds.
    pub seeing_zenith_arcsec: ThreeAirs<f64>,
    /// Of the observer.
    pub observer_age_years: f64,
    /// System II longitude of the Great Red Spot, where somebody knows it.
    pub red_spot_longitude_deg: Option<f64>,
}

/// How surely one detail shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// Which.
    pub detail: &'static Detail,
    /// The eyepiece to use: index into [`Instrument::views`].
    pub view: usize,
    /// Of that view.
    pub magnification: f64,
    /// Decimal logarithm of the visibility, with the best of one's eyepieces for each air: 0 is a
    /// practised observer's 50 % threshold. [`UNMET_MARGIN_DEX`] where a condition is not met.
    pub margin: ThreeAirs<f64>,
    /// In words.
    pub grade: ThreeAirs<Grade>,
    /// The link that holds it back most in typical air.
    pub limited_by: Limit,
    /// One short line: the limit, then the one change that would help.
    pub why: String,
}

/// What holds a detail back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Limit {
    /// It is plain as it is.
    Nothing,
    /// How fine a pattern the mirror's size can part.
    Aperture,
    /// How much light the mirror collects.
    Brightness,
    /// Errors of the mirror's shape.
    Figure,
    /// The diagonal in the light's way.
    Obstruction,
    /// Unsteady air.
    Air,
    /// The body stands low.
    Altitude,
    /// No eyepiece of the right power.
    Magnification,
    /// Town light, moonlight or twilight.
    SkyBrightness,
    /// It is too faint by nature for anything of this kind.
    Contrast,
    /// The disc is too small tonight.
    TooSmall,
    /// Saturn's ring is too closed.
    RingClosed,
}

/// Margin reported where a condition is not met: far below any threshold, a mark and no measurement.
pub const UNMET_MARGIN_DEX: f64 = -1.0;

/// Margins below this are not told apart.
const LEAST_MARGIN_DEX: f64 = -3.0;

/// Verdicts on all details of the body, in the table's order.
///
/// Left out is what cannot be asked for tonight: on the other face or too near the limb, in another
/// season, at the wrong phase, without its shadows on the Moon, the Red Spot without a stated
/// longitude, the ring's needle while the ring is open. Listed as beyond, with the reason, is what
/// a visitor will ask for: what the ring is too closed for and the disc too small.
pub fn verdicts(instrument: &Instrument, look: &Look) -> Vec<Verdict> {
    let bench = Bench::new(instrument, look);
    let told = Told {
        red_spot_longitude_deg: look.red_spot_longitude_deg,
    };
    details_of(look.appearance.body)
        .filter_map(
            |detail| match shows_tonight(detail, look.appearance, &told) {
                Ok(today) => Some(bench.verdict(detail, &today)),
                Err(unmet) if unmet.is_asked_for() => Some(bench.unmet(detail, &unmet)),
                Err(_) => None,
            },
        )
        .collect()
}

impl Bench<'_> {
    fn verdict(&self, detail: &'static Detail, today: &Today) -> Verdict {
        let visibility = self.airs().map(|chain| self.best(chain, today));
        let grade = visibility.map(|&v| Grade::of_visibility(v));
        let case = Case {
            detail,
            today,
            grade,
            visibility: visibility.typical,
        };
        let (limited_by, why) = why::limit(self, &case);
        let view = self.view(detail, today);
        Verdict {
            detail,
            view,
            magnification: self.instrument.views[view].magnification,
            margin: visibility.map(|&v| margin_dex(v)),
            grade,
            limited_by,
            why,
        }
    }

    fn unmet(&self, detail: &'static Detail, unmet: &Unmet) -> Verdict {
        let same = |_: &f64| UNMET_MARGIN_DEX;
        let limited_by = match unmet {
            Unmet::RingTooClosed { .. } => Limit::RingClosed,
            _ => Limit::TooSmall,
        };
        Verdict {
            detail,
            view: 0,
            magnification: self.instrument.views[0].magnification,
            margin: self.look.seeing_zenith_arcsec.map(same),
            grade: self.look.seeing_zenith_arcsec.map(|_| Grade::Beyond),
            limited_by,
            why: unmet.words(),
        }
    }

    /// The lowest magnification that shows it, in typical air, within a tenth of the best and with
    /// the same grade; where one of them holds the whole object in its field, the lowest such.
    fn view(&self, detail: &Detail, today: &Today) -> usize {
        let chain = self.usual();
        let visibilities = chain.visibilities(today, &self.glaring());
        let best = visibilities.iter().copied().fold(0.0, f64::max);
        // A spark that any visitor sees gains nothing by more power but a narrower field.
        let enough = match today.sight {
            Sight::Point { .. } => best.min(AMPLY_PLAIN),
            _ => best,
        };
        let serves = |v: f64| {
            NEARLY_AS_GOOD * enough <= v && Grade::of_visibility(v) == Grade::of_visibility(best)
        };
        let field_deg = self.field_needed_deg(detail, today);
        let views = &self.instrument.views;
        let serving = || (0..views.len()).filter(|&idx| serves(visibilities[idx]));
        serving()
            .find(|&idx| field_deg <= views[idx].true_field_deg)
            .or_else(|| serving().next())
            .unwrap_or(0)
    }

    fn field_needed_deg(&self, detail: &Detail, today: &Today) -> f64 {
        let seen = self.look.appearance;
        let needed_arcsec = match (seen.body, detail.latitude_deg) {
            (Body::Moon, Some(_)) => today.sight.span_arcsec(),
            (Body::Saturn, _) => seen.diameter_arcsec * RING_OVER_GLOBE,
            _ => seen.diameter_arcsec,
        };
        needed_arcsec / 3600.0
    }
}

fn margin_dex(visibility: f64) -> f64 {
    visibility.max(1e-9).log10().max(LEAST_MARGIN_DEX)
}

/// A lower power serves when it keeps this share of the best visibility: the curve is flat at the
/// top, and the lower power has the wider field and the slower drift.
const NEARLY_AS_GOOD: f64 = 0.9;

/// Twice what is plain.
const AMPLY_PLAIN: f64 = 2.0 * PLAIN_FROM;

/// Outer diameter of ring A over the globe's: 136 775 km over 60 268 km.
const RING_OVER_GLOBE: f64 = 2.27;
