//! What is asked of one subject tonight: each of its details that are there, as it looks.
//!
//! The common coin of everything that is graded: details of a body from the table, and whatever else
//! makes a pattern in the eyepiece.

use crate::sky::almanac::Span;
use crate::sky::{Appearance, Body};
use crate::targets::among_stars::is_among_stars;
use crate::targets::before_disc;
use crate::targets::caption::Caption;
use crate::targets::conditions::{Told, outside_good_light_deg, passage_kind, shows_tonight};
use crate::targets::details::{Detail, details_of};
use crate::targets::look::Hour;
use crate::targets::own_hour::OwnHours;
use crate::targets::sight::Today;
use crate::targets::when::Tonight;
use crate::units::ARCSEC_PER_DEG;

/// One question to a telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// How it is called.
    pub caption: Caption,
    /// How it looks tonight.
    pub today: Today,
    /// True field that holds the whole of what one looks at, degrees.
    pub field_deg: f64,
    /// How much weaker and stronger than reckoned with it may be by nature, as factors of its
    /// visibility; both 1 where the figures are sure.
    pub spread: Spread,
    /// When it is there, if it comes and goes while its subject can be looked at; empty: all the time.
    pub during: Vec<Span>,
    /// When it shows best, where that is another hour than its subject's.
    pub hour: Option<Hour>,
    /// Its row, where it has one in the table of details.
    pub detail: Option<&'static Detail>,
    /// Its body as it looks when the detail is looked for.
    pub seen: Option<Appearance>,
}

impl Asked {
    /// Well placed on its body when it is looked for: turned to us, in its good light.
    pub fn stands_well(&self, told: &Told) -> bool {
        match (self.detail, &self.seen) {
            (Some(detail), Some(seen)) => outside_good_light_deg(detail, seen, told) == 0.0,
            _ => true,
        }
    }
}

/// Factors of a visibility, `weak <= 1 <= strong`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// At the weak end.
    pub weak: f64,
    /// At the strong end.
    pub strong: f64,
}

impl Spread {
    /// Nothing in doubt.
    pub const NONE: Spread = Spread {
        weak: 1.0,
        strong: 1.0,
    };

    /// A marking's visibility goes as its contrast, so that the doubt of one is the doubt of the other.
    fn of(detail: &Detail) -> Spread {
        match detail.contrast {
            Some(contrast) if contrast.likely != 0.0 => Spread {
                weak: (contrast.weak / contrast.likely).clamp(1e-3, 1.0),
                strong: (contrast.strong / contrast.likely).max(1.0),
            },
            _ => Spread::NONE,
        }
    }
}

/// Everything that can be asked of a body at one look, in the order of the table; left out is what is not there.
pub fn asked_of(seen: &Appearance, told: &Told) -> Vec<Asked> {
    details_of(seen.body)
        .filter_map(|detail| asked(detail, seen, told))
        .collect()
}

/// The same of a whole night, each at the hour at which it shows best; and when everything shows well that comes and goes.
pub fn asked_tonight(tonight: &Tonight, told: &Told) -> Vec<Asked> {
    let hours = OwnHours::of(tonight);
    details_of(tonight.seen.body)
        .filter_map(|detail| {
            let (at_tt_days, spans) = best_look(detail, tonight, told, &hours)?;
            let is_other = at_tt_days != tonight.at_tt_days;
            let told = Told {
                at_tt_days: Some(at_tt_days),
                moons: if is_other {
                    tonight.hours.moons(at_tt_days)
                } else {
                    told.moons.clone()
                },
                ..told.clone()
            };
            Some(Asked {
                during: if spans == tonight.stretches {
                    Vec::new()
                } else {
                    spans
                },
                hour: is_other.then(|| tonight.hours.hour(at_tt_days)),
                ..asked(detail, &tonight.seen_at(at_tt_days), &told)?
            })
        })
        .collect()
}

/// When to look for a detail, and when it shows well.
fn best_look(
    detail: &Detail,
    tonight: &Tonight,
    told: &Told,
    hours: &OwnHours,
) -> Option<(f64, Vec<Span>)> {
    let spans = tonight.spans_of(detail, told);
    let today_at = |at_tt_days: f64| {
        let told = Told {
            at_tt_days: Some(at_tt_days),
            moons: tonight.hours.moons(at_tt_days),
            ..told.clone()
        };
        shows_tonight(detail, &tonight.seen_at(at_tt_days), &told).ok()
    };
    if passage_kind(detail.shape).is_some() {
        let (at_tt_days, spans) = before_disc::best_of(detail, &spans)?;
        return Some(hours.worth_a_look(at_tt_days, spans, &today_at));
    }
    let best = hours.best(&spans, &today_at)?;
    if detail.body == Body::Moon && detail.latitude_deg.is_some() {
        // Good light lasts days: only where the Sun or the Earth's shadow comes or goes is there anything to time.
        return at_its_hours(best, tonight.spans_there(detail, told));
    }
    if !spans.is_empty() {
        return Some((best, spans));
    }
    // What never stands well is told with the hours in which it is there.
    at_its_hours(best, tonight.spans_there(detail, told))
}

fn at_its_hours(best: f64, spans: Vec<Span>) -> Option<(f64, Vec<Span>)> {
    let holds = spans.iter().any(|span| span.contains(best));
    holds.then_some((best, spans))
}

fn asked(detail: &'static Detail, seen: &Appearance, told: &Told) -> Option<Asked> {
    let today = shows_tonight(detail, seen, told).ok()?;
    Some(Asked {
        caption: Caption {
            among_stars: is_among_stars(&today.sight),
            ..detail.caption()
        },
        field_deg: field_arcsec(detail, &today, seen) / ARCSEC_PER_DEG,
        spread: Spread::of(detail),
        detail: Some(detail),
        seen: Some(seen.clone()),
        during: Vec::new(),
        hour: None,
        today,
    })
}

/// Outer diameter of ring A over the globe's: 136 775 km over 60 268 km.
const RING_OVER_GLOBE: f64 = 2.27;

fn field_arcsec(detail: &Detail, today: &Today, seen: &Appearance) -> f64 {
    match detail.body {
        Body::Moon if detail.latitude_deg.is_some() => today.sight.span_arcsec(),
        Body::Saturn => seen.diameter_arcsec * RING_OVER_GLOBE,
        _ => seen.diameter_arcsec,
    }
}
