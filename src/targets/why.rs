//! The reason: which link holds a detail back most, and the one change that would help.
//!
//! Found by carrying the detail through the chain again with one link ideal at a time, never by
//! rule: a perfect figure, no diagonal, half the seeing, the zenith, a dark sky, a full set of
//! eyepieces, half as much mirror again, Saturn's ring well open.

use crate::sky::{Appearance, Face};
use crate::targets::aimed::Aimed;
use crate::targets::details::Detail;
use crate::targets::grade::{Grade, ThreeAirs};
use crate::targets::limit::Limit;
use crate::targets::sight::Today;
use crate::targets::today::today;

/// A detail that has been graded.
pub(super) struct Case<'a> {
    pub(super) detail: Option<&'static Detail>,
    pub(super) today: &'a Today,
    pub(super) grade: ThreeAirs<Grade>,
    /// In typical air.
    pub(super) visibility: f64,
}

/// The limit in typical air and the line that says it.
pub(super) fn limit(aimed: &Aimed, case: &Case) -> (Limit, String) {
    let now = case.grade.typical;
    if now == Grade::Plain {
        return (Limit::Nothing, nothing_words(aimed, case));
    }
    let opened = with_ring_open(aimed, case);
    let utmost = opened.as_ref().unwrap_or(case.today);
    if Grade::of_visibility(aimed.best(aimed.everything(), utmost)) <= now {
        return (Limit::Contrast, contrast_words(now));
    }
    let (limit, ideal) = aimed
        .ideals()
        .iter()
        .map(|(limit, chain)| (*limit, aimed.best(chain, case.today)))
        .chain(opened.map(|open| (Limit::RingClosed, aimed.best(aimed.usual(), &open))))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .expect("there are ideals");
    let limit = match limit {
        Limit::Aperture if is_for_light(aimed, case, ideal) => Limit::Brightness,
        other => other,
    };
    (
        limit,
        words(aimed, case, limit, Grade::of_visibility(ideal)),
    )
}

fn words(aimed: &Aimed, case: &Case, limit: Limit, there: Grade) -> String {
    let helped = case.grade.typical < there;
    let becomes = |change: &str| {
        let word = if helped { there.word() } else { "surer" };
        format!("{change} it would be {word}")
    };
    let low_deg = aimed.look.altitude_deg;
    let airs = aimed.look.seeing_zenith_arcsec;
    match limit {
        Limit::Air if case.grade.typical < case.grade.good => {
            format!(
                "limited by the air: in {:.1}\" air it is {}",
                airs.good,
                case.grade.good.word()
            )
        }
        Limit::Air => {
            let next = next_word(case.grade.typical);
            format!(
                "limited by the air: to be {next} it needs nights below {:.1}\"",
                airs.good
            )
        }
        Limit::Altitude => format!(
            "too low at {low_deg:.0} degrees: {}",
            becomes("high in the sky")
        ),
        Limit::Aperture => larger_words(aimed, case, "aperture"),
        Limit::Brightness => larger_words(aimed, case, "light"),
        Limit::Figure => format!(
            "limited by the figure: {}",
            becomes("with a perfect mirror")
        ),
        Limit::Obstruction => format!("limited by the diagonal: {}", becomes("without it")),
        Limit::Magnification => format!(
            "limited by the eyepieces: {}",
            becomes("at the right power")
        ),
        Limit::RingClosed => {
            let opening_deg = aimed.look.appearance.and_then(opening_deg).unwrap_or(0.0);
            format!(
                "the ring is only {opening_deg:.0} degrees open: {}",
                becomes("wide open")
            )
        }
        _ if TWILIGHT_FROM_DEG < aimed.look.sun_altitude_deg => {
            format!(
                "limited by the twilight: {}",
                becomes("later or earlier in the night")
            )
        }
        _ => format!("limited by the bright sky: {}", becomes("under a dark one")),
    }
}

/// Sun's altitude above which a bright sky is put down to twilight.
const TWILIGHT_FROM_DEG: f64 = -12.0;

fn nothing_words(aimed: &Aimed, case: &Case) -> String {
    if case.grade.poor == Grade::Plain {
        return "nothing stands in its way".to_string();
    }
    let poor_arcsec = aimed.look.seeing_zenith_arcsec.poor;
    format!("in {poor_arcsec:.1}\" air it is {}", case.grade.poor.word())
}

fn contrast_words(now: Grade) -> String {
    match now {
        Grade::Beyond => "too faint a mark for any telescope like this one".to_string(),
        _ => format!("a faint mark: {} is as good as it gets", now.word()),
    }
}

fn next_word(now: Grade) -> &'static str {
    match now {
        Grade::Beyond => Grade::Fleeting.word(),
        Grade::Fleeting => Grade::Patient.word(),
        _ => Grade::Plain.word(),
    }
}

fn larger_words(aimed: &Aimed, case: &Case, what: &str) -> String {
    let enough = aimed
        .apertures()
        .iter()
        .map(|(aperture_mm, chain)| {
            (
                aperture_mm,
                Grade::of_visibility(aimed.best(chain, case.today)),
            )
        })
        .find(|(_, there)| case.grade.typical < *there);
    match enough {
        Some((aperture_mm, there)) => {
            format!(
                "limited by {what}: in {aperture_mm:.0} mm it would be {}",
                there.word()
            )
        }
        None => format!("limited by {what}: no portable mirror is large enough"),
    }
}

/// Light alone explains the gain of a larger mirror when it brings this share of it.
const MOSTLY_LIGHT: f64 = 0.8;

fn is_for_light(aimed: &Aimed, case: &Case, larger: f64) -> bool {
    let gain = larger.ln() - case.visibility.ln();
    let by_light = aimed.best(aimed.more_light(), case.today).ln() - case.visibility.ln();
    MOSTLY_LIGHT * gain <= by_light
}

/// Saturn's ring near its widest, degrees.
const WIDE_OPEN_DEG: f64 = 25.0;

fn opening_deg(seen: &Appearance) -> Option<f64> {
    match seen.face {
        Face::Saturn {
            ring_opening_earth_deg,
            ..
        } => Some(ring_opening_earth_deg.abs()),
        _ => None,
    }
}

/// The detail as it would look with the ring wide open, where that would be new.
fn with_ring_open(aimed: &Aimed, case: &Case) -> Option<Today> {
    let (seen, detail) = aimed.look.appearance.zip(case.detail)?;
    let is_half_closed = opening_deg(seen)? < WIDE_OPEN_DEG;
    if !is_half_closed || !detail.shape.is_of_the_ring() {
        return None;
    }
    let mut opened = seen.clone();
    if let Face::Saturn {
        ring_opening_earth_deg,
        ..
    } = &mut opened.face
    {
        *ring_opening_earth_deg = WIDE_OPEN_DEG;
    }
    today(detail, &opened)
}
