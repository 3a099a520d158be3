//! The reason: which link holds a detail back most, and the one change that would help.
//!
//! Found by carrying the detail through the chain again with one link ideal at a time, never by
//! rule: a perfect figure, no diagonal, half the seeing, the zenith, a dark sky, a full set of
//! eyepieces, half as much mirror again, Saturn's ring well open.

use crate::sky::almanac::NAUTICAL_TWILIGHT_DEG;
use crate::sky::{Appearance, Face};
use crate::targets::aimed::Aimed;
use crate::targets::chain::Chain;
use crate::targets::details::Detail;
use crate::targets::grade::{Grade, ThreeAirs};
use crate::targets::limit::{Gain, Larger, Limit, Why};
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

/// The limit in typical air and what would help.
pub(super) fn limit(aimed: &Aimed, case: &Case) -> (Limit, Why) {
    let now = case.grade.typical;
    if now == Grade::Plain {
        return (Limit::Nothing, when_plain(aimed, case));
    }
    let opened = with_ring_open(aimed, case);
    let utmost = opened.as_ref().unwrap_or(case.today);
    if Grade::of_visibility(aimed.best(aimed.everything(), utmost)) <= now {
        return (Limit::Contrast, Why::Contrast { grade: now });
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
        reason(aimed, case, limit, Grade::of_visibility(ideal)),
    )
}

fn reason(aimed: &Aimed, case: &Case, limit: Limit, there: Grade) -> Why {
    let then = if case.grade.typical < there {
        Gain::Grade(there)
    } else {
        Gain::Surer
    };
    let good_arcsec = aimed.look.seeing_zenith_arcsec.good;
    match limit {
        Limit::Air if case.grade.typical < case.grade.good => Why::Air {
            seeing_arcsec: good_arcsec,
            grade: case.grade.good,
        },
        Limit::Air => Why::RareAir {
            below_arcsec: good_arcsec,
            grade: next_better(case.grade.typical),
        },
        Limit::Altitude => Why::Altitude {
            altitude_deg: aimed.look.altitude_deg,
            then,
        },
        Limit::Aperture => Why::Aperture {
            larger: larger(aimed, case),
        },
        Limit::Brightness => Why::Brightness {
            larger: larger(aimed, case),
        },
        Limit::Figure => Why::Figure { then },
        Limit::Obstruction => Why::Obstruction { then },
        Limit::Magnification => Why::Magnification { then },
        Limit::RingClosed => Why::RingClosed {
            opening_deg: aimed.look.appearance.and_then(opening_deg).unwrap_or(0.0),
            then,
        },
        // Later a bright sky is not put down to it.
        _ if NAUTICAL_TWILIGHT_DEG < aimed.look.sun_altitude_deg => Why::Twilight { then },
        _ => Why::BrightSky { then },
    }
}

fn when_plain(aimed: &Aimed, case: &Case) -> Why {
    match case.grade.poor {
        Grade::Plain => Why::Nothing,
        grade => Why::PoorAir {
            seeing_arcsec: aimed.look.seeing_zenith_arcsec.poor,
            grade,
        },
    }
}

fn next_better(now: Grade) -> Grade {
    match now {
        Grade::Beyond => Grade::Fleeting,
        Grade::Fleeting => Grade::Patient,
        _ => Grade::Plain,
    }
}

/// The smallest usual mirror that gains a grade.
fn larger(aimed: &Aimed, case: &Case) -> Option<Larger> {
    let there = |(aperture_mm, chain): &(f64, Chain)| Larger {
        aperture_mm: *aperture_mm,
        grade: Grade::of_visibility(aimed.best(chain, case.today)),
    };
    (aimed.apertures().iter())
        .map(there)
        .find(|larger| case.grade.typical < larger.grade)
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
