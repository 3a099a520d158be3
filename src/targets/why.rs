//! The reason: which link holds a detail back most, and the one change that would help.
//!
//! Found by carrying the detail through the chain again with one link ideal at a time, never by
//! rule: a perfect figure, no diagonal, half the seeing, the zenith, a dark sky, a full set of
//! eyepieces, half as much mirror again; or by carrying it as it would look with one thing about the body at its best:
//! Saturn's ring wide open, the disc of Mars large, a crater in low sunlight.

use crate::sky::Appearance;
use crate::sky::almanac::NAUTICAL_TWILIGHT_DEG;
use crate::targets::aimed::Aimed;
use crate::targets::at_its_best::{Bests, at_its_best, dated};
use crate::targets::chain::Chain;
use crate::targets::details::Detail;
use crate::targets::grade::{Grade, ThreeAirs};
use crate::targets::limit::{Gain, Larger, Limit, Shortcoming, Why};
use crate::targets::sight::Today;

/// A detail that has been graded.
pub(super) struct Case<'a> {
    pub(super) detail: Option<&'static Detail>,
    pub(super) today: &'a Today,
    /// Its body as it looks then.
    pub(super) seen: Option<&'a Appearance>,
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
    if let Some(too_strong) = with_eyepieces_too_strong(aimed, case) {
        return (Limit::Magnification, too_strong);
    }
    let bests = bests(aimed, case);
    let utmost = bests.all.as_ref().unwrap_or(case.today);
    if Grade::of_visibility(aimed.best(aimed.everything(), utmost)) <= now {
        if now < Grade::of_visibility(aimed.best(aimed.everything_in_still_air(), utmost)) {
            return of_air(aimed, case);
        }
        return (Limit::Contrast, Why::Contrast { grade: now });
    }
    let (limit, ideal) = (aimed.ideals().iter())
        .map(|(limit, chain)| (*limit, aimed.best(chain, case.today)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .expect("there are ideals");
    let best = (bests.one_by_one.iter())
        .map(|(shortcoming, today)| (*shortcoming, aimed.best(aimed.usual(), today)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    // What its owner can mend comes before what he has to wait for.
    let can_be_mended = matches!(
        limit,
        Limit::Figure | Limit::Obstruction | Limit::Magnification
    ) && now < Grade::of_visibility(ideal);
    if let Some((shortcoming, visibility)) = best.filter(|best| {
        let by_light = matches!(
            best.0,
            Shortcoming::HighSun { .. } | Shortcoming::LowSun { .. }
        );
        let alone_would_do = |visibility: f64| now < Grade::of_visibility(visibility);
        // No mirror gives a crater its shadow back.
        by_light && (alone_would_do(best.1) || !alone_would_do(ideal))
            || !can_be_mended && ideal < best.1
    }) {
        let then = gain(case, Grade::of_visibility(visibility));
        return (
            shortcoming.limit(),
            Why::Appearance {
                shortcoming: dated(shortcoming, &aimed.look.stated()),
                then,
            },
        );
    }
    if limit == Limit::Air {
        return of_air(aimed, case);
    }
    let limit = match limit {
        Limit::Aperture if is_for_light(aimed, case, ideal) => Limit::Brightness,
        other => other,
    };
    let why = reason(aimed, case, limit, Grade::of_visibility(ideal));
    match why {
        // No mirror would do in the usual air: in good air one may.
        Why::Aperture { larger: None } | Why::Brightness { larger: None } => {
            let in_good_air = larger(aimed, case, aimed.apertures_in_good_air());
            let both = in_good_air.map(|larger| Why::AirAndAperture { larger });
            (limit, both.unwrap_or(why))
        }
        why => (limit, why),
    }
}

/// Where better air would help most: better air that there is, or a larger mirror in it, or nothing.
fn of_air(aimed: &Aimed, case: &Case) -> (Limit, Why) {
    let now = case.grade.typical;
    if now < case.grade.good {
        let seeing_arcsec = aimed.look.seeing_zenith_arcsec.good;
        let grade = case.grade.good;
        return (
            Limit::Air,
            Why::Air {
                seeing_arcsec,
                grade,
            },
        );
    }
    let is_better = |visibility: f64| now < Grade::of_visibility(visibility);
    if let Some(below_arcsec) = aimed.rare_air_arcsec(case.today, is_better) {
        let grade = now.next_better().unwrap_or(Grade::Plain);
        return (
            Limit::Air,
            Why::RareAir {
                below_arcsec,
                grade,
            },
        );
    }
    match larger(aimed, case, aimed.apertures_in_good_air()) {
        Some(larger) => (Limit::Aperture, Why::AirAndAperture { larger }),
        None => (Limit::Contrast, Why::Contrast { grade: now }),
    }
}

/// What gains a grade in typical air and lies with the telescope's people, where the reason bids them wait for better air;
/// the easiest first: another eyepiece, a look when it stands higher, a better figure, half as much mirror again.
pub(super) fn instead(aimed: &Aimed, case: &Case, why: &Why) -> Option<Why> {
    if !matches!(why, Why::Air { .. } | Why::RareAir { .. }) {
        return None;
    }
    let with_ideal = |wanted: Limit| {
        let mut ideals = aimed.ideals().iter();
        let (_, chain) = ideals.find(|(limit, _)| *limit == wanted)?;
        let there = Grade::of_visibility(aimed.best(chain, case.today));
        (case.grade.typical < there).then(|| reason(aimed, case, wanted, there))
    };
    let in_their_hands = [
        Limit::Magnification,
        Limit::Altitude,
        Limit::Figure,
        Limit::Aperture,
    ];
    in_their_hands.into_iter().find_map(with_ideal)
}

/// Where typical air bears none of the eyepieces.
fn with_eyepieces_too_strong(aimed: &Aimed, case: &Case) -> Option<Why> {
    let highest = aimed.highest_useful(aimed.look.seeing_zenith_arcsec.typical);
    let weakest = aimed.instrument.views.first()?;
    if highest.bears(weakest.magnification) {
        return None;
    }
    let mut ideals = aimed.ideals().iter();
    let (_, full_set) = ideals.find(|(limit, _)| *limit == Limit::Magnification)?;
    let there = Grade::of_visibility(aimed.best(full_set, case.today));
    Some(Why::TooStrong {
        magnification: weakest.magnification,
        highest: highest.magnification,
        then: gain(case, there),
    })
}

/// What of the detail's looks could be better another time.
fn bests(aimed: &Aimed, case: &Case) -> Bests {
    let of_body = case.seen.zip(case.detail);
    let stated = aimed.look.stated();
    of_body.map_or_else(Bests::none, |(seen, detail)| {
        at_its_best(detail, seen, &stated)
    })
}

fn gain(case: &Case, there: Grade) -> Gain {
    if case.grade.typical < there {
        Gain::Grade(there)
    } else {
        Gain::NotEnough
    }
}

fn reason(aimed: &Aimed, case: &Case, limit: Limit, there: Grade) -> Why {
    let then = gain(case, there);
    match limit {
        Limit::Air => of_air(aimed, case).1,
        Limit::Altitude => Why::Altitude {
            altitude_deg: aimed.look.altitude_deg,
            highest_deg: aimed.look.highest_deg,
            then,
        },
        Limit::Aperture => Why::Aperture {
            larger: larger(aimed, case, aimed.apertures()),
        },
        Limit::Brightness => Why::Brightness {
            larger: larger(aimed, case, aimed.apertures()),
        },
        Limit::Figure => Why::Figure { then },
        Limit::Obstruction => Why::Obstruction { then },
        Limit::Magnification => Why::Magnification { then },
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

/// The smallest usual mirror that gains a grade.
fn larger(aimed: &Aimed, case: &Case, apertures: &[(f64, Chain)]) -> Option<Larger> {
    let there = |(aperture_mm, chain): &(f64, Chain)| Larger {
        aperture_mm: *aperture_mm,
        grade: Grade::of_visibility(aimed.best(chain, case.today)),
    };
    (apertures.iter())
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
