//! What is asked of one subject tonight: each of its details as it looks, or the reason why it is not there.
//!
//! The common coin of everything that is graded: details of a body from the table, and whatever else
//! makes a pattern in the eyepiece.

use crate::sky::Appearance;
use crate::sky::Body;
use crate::targets::conditions::Told;
use crate::targets::conditions::Unmet;
use crate::targets::conditions::shows_tonight;
use crate::targets::details::Detail;
use crate::targets::details::details_of;
use crate::targets::today::Today;

/// How something graded is called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caption {
    /// Unique, stable, lower case: `saturn_cassini`.
    pub id: String,
    /// As one would say it: "Cassini Division".
    pub name: String,
    /// What a visitor will really see, in one sentence.
    pub say: String,
}

/// One question to a telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// How it is called.
    pub caption: Caption,
    /// How it looks tonight, or why it is not there.
    pub today: Result<Today, Unmet>,
    /// True field that holds the whole of what one looks at, degrees.
    pub field_deg: f64,
    /// How much weaker and stronger than reckoned with it may be by nature, as factors of its
    /// visibility; both 1 where the figures are sure.
    pub spread: Spread,
    /// Its row, where it has one in the table of details.
    pub detail: Option<&'static Detail>,
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

/// Everything that can be asked of a body tonight, in the order of the table.
///
/// Left out is what nobody will miss: see [`Unmet::is_asked_for`].
pub fn asked_of(seen: &Appearance, told: &Told) -> Vec<Asked> {
    details_of(seen.body)
        .map(|detail| Asked {
            caption: detail.caption(),
            today: shows_tonight(detail, seen, told),
            field_deg: 0.0,
            spread: Spread::of(detail),
            detail: Some(detail),
        })
        .filter(|asked| asked.today.as_ref().err().is_none_or(Unmet::is_asked_for))
        .map(|asked| Asked {
            field_deg: field_arcsec(&asked, seen) / 3600.0,
            ..asked
        })
        .collect()
}

/// Outer diameter of ring A over the globe's: 136 775 km over 60 268 km.
const RING_OVER_GLOBE: f64 = 2.27;

fn field_arcsec(asked: &Asked, seen: &Appearance) -> f64 {
    let is_of_the_moon = asked
        .detail
        .is_some_and(|detail| detail.body == Body::Moon && detail.latitude_deg.is_some());
    match &asked.today {
        Ok(today) if is_of_the_moon => today.sight.span_arcsec(),
        _ if seen.body == Body::Saturn => seen.diameter_arcsec * RING_OVER_GLOBE,
        _ => seen.diameter_arcsec,
    }
}
