//! What the hours of one subject are worth in one telescope: at each instant what shows then, in the sharpness that the air
//! leaves it; and how long that lasts.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::plan::outlook::{Outlook, TriedHour};
use crate::sky::seeing::fwhm_arcsec;
use crate::targets::asked::Asked;
use crate::targets::merit;

/// Instants lie five minutes apart: of what has many details every third will do.
const MANY_DETAILS: usize = 6;
const EVERY: usize = 3;

/// Fainter than this is not told apart from nothing.
const LEAST_VISIBILITY: f64 = 1e-9;

/// What the hours of a subject are worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Held {
    /// At their best instant, in plain details of a planet.
    pub(super) most: f64,
    /// So many minutes as good as the best would be worth as much as all of them.
    pub(super) minutes: f64,
}

/// Of everything asked of a subject, each `seen` so far above the threshold at its own hour, in one air or in three.
///
/// Through the hours all details rise and fall together, as the subject does in a middling telescope; none shows better than
/// at its own hour.
pub(super) fn held(outlook: &Outlook, asked: &[Asked], seen: &[Vec<f64>]) -> Held {
    let subject = outlook.subject();
    let at_own_hour: Vec<f64> = (asked.iter())
        .map(|asked| ln_at_its_hour(outlook, asked))
        .collect();
    let ln_seen: Vec<Vec<f64>> = (seen.iter())
        .map(|airs| {
            airs.iter()
                .map(|it| it.max(LEAST_VISIBILITY).ln())
                .collect()
        })
        .collect();
    let worth = |tried: &TriedHour| {
        let at = tried.hour.at_tt_days;
        let is_there = |asked: &Asked| {
            asked.during.is_empty() || asked.during.iter().any(|span| span.contains(at))
        };
        let there = (0..asked.len()).filter(|idx| is_there(&asked[*idx]));
        let each = there.map(|idx| {
            let lost = (tried.ln_visibility - at_own_hour[idx]).min(0.0);
            let of_air = |it: &f64| merit::of_ln_visibility(it + lost);
            expected(ln_seen[idx].iter().map(of_air).collect())
        });
        merit::of_details(&subject, each.collect()) * sharpness(tried.hour.airmass)
    };
    let every = if asked.len() < MANY_DETAILS { 1 } else { EVERY };
    let (mut most, mut all) = (0.0_f64, 0.0);
    for instants in outlook.tried.chunks(every) {
        let worth = worth(&instants[instants.len() / 2]);
        most = most.max(worth);
        all += worth * instants.iter().map(|it| it.minutes).sum::<f64>();
    }
    Held {
        most,
        minutes: if 0.0 < most { all / most } else { 0.0 },
    }
}

/// Of something that would show as well as anything all the time: only how high it stands, and how long.
pub(super) fn held_at_most(outlook: &Outlook) -> Held {
    let (mut most, mut all) = (0.0_f64, 0.0);
    for tried in &outlook.tried {
        let sharpness = sharpness(tried.hour.airmass);
        most = most.max(sharpness);
        all += sharpness * tried.minutes;
    }
    Held {
        most,
        minutes: all / most,
    }
}

/// How well the subject shows in a middling telescope at the hour for which a detail is graded.
fn ln_at_its_hour(outlook: &Outlook, asked: &Asked) -> f64 {
    let hour = asked.hour.unwrap_or(outlook.sky).at_tt_days;
    let away = |it: &&TriedHour| (it.hour.at_tt_days - hour).abs();
    let nearest = (outlook.tried.iter()).min_by(|a, b| away(a).total_cmp(&away(b)));
    nearest.map_or(0.0, |it| it.ln_visibility)
}

/// Over the site's airs: the usual one is as frequent as good and poor ones together.
fn expected(of_airs: Vec<f64>) -> f64 {
    match of_airs[..] {
        [good, typical, poor] => 0.25 * good + 0.5 * typical + 0.25 * poor,
        _ => of_airs.iter().sum(),
    }
}

/// How fine the air lets anything look, 1 at the zenith: the list of details ends, what there is to see does not.
pub(super) fn sharpness(airmass: f64) -> f64 {
    fwhm_arcsec(1.0, airmass, REFERENCE_WAVELENGTH_NM).recip()
}
