//! What a body's face has tonight, in a line for the night's page and as JSON.

use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use serde::Serialize;

use crate::plan::faces::FaceTonight;
use crate::show::words;
use crate::show::words::rfc3339;
use crate::sky::ring_light::{GlobeShadow, Side};
use crate::targets::faces::{AtTerminator, NearLimb};

/// Named in a line; JSON has them all.
const NAMED: usize = 5;

/// Tilts that nobody would notice, degrees.
const LEAST_TILT_DEG: f64 = 3.0;

/// Lines for reading; empty where there is nothing to say.
pub(super) fn lines(face: &FaceTonight, at: DateTime<Utc>, zone: Tz) -> Vec<String> {
    match face {
        FaceTonight::Moon {
            terminator,
            near_limb,
        } => [terminator_line(terminator, at, zone), limb_line(near_limb)]
            .into_iter()
            .flatten()
            .collect(),
        FaceTonight::Saturn(Some(shadow)) => vec![format!(
            "The globe's shadow falls on the {} end of the ring.",
            side_word(shadow.side)
        )],
        FaceTonight::Saturn(None) | FaceTonight::Mars(_) | FaceTonight::Plain => Vec::new(),
    }
}

/// `Low Sun, and until when: Plato (setting, Thu 02:10), ...`
fn terminator_line(places: &[AtTerminator], at: DateTime<Utc>, zone: Tz) -> Option<String> {
    let named: Vec<String> = (places.iter().take(NAMED))
        .filter_map(|place| {
            let until = place.until_utc()?.with_timezone(&zone);
            let sun = if place.morning { "rising" } else { "setting" };
            let format = if (until.to_utc() - at).num_hours() < 12 {
                "%H:%M"
            } else {
                "%A %H:%M"
            };
            Some(format!(
                "{} ({sun}, {})",
                place.detail.name,
                until.format(format)
            ))
        })
        .collect();
    (!named.is_empty()).then(|| format!("Low Sun, and until when: {}.", named.join(", ")))
}

fn limb_line(places: &[NearLimb]) -> Option<String> {
    let tilted = places
        .iter()
        .filter(|place| LEAST_TILT_DEG <= place.gain_deg && 0.0 < place.from_limb_deg);
    let named: Vec<String> = (tilted.take(NAMED))
        .map(|place| format!("{} ({:.0}°)", place.detail.name, place.gain_deg))
        .collect();
    (!named.is_empty()).then(|| format!("Tilted toward us tonight: {}.", named.join(", ")))
}

fn side_word(side: Side) -> &'static str {
    match side {
        Side::East => "eastern",
        Side::West => "western",
    }
}

/// The same for machines.
#[derive(Serialize)]
#[serde(untagged)]
pub(super) enum FaceJson<'a> {
    Moon {
        terminator: Vec<TerminatorJson<'a>>,
        near_limb: Vec<LimbJson<'a>>,
    },
    Mars {
        facing: Vec<FacingJson<'a>>,
    },
    Saturn {
        /// Null: hidden behind the globe, or on the unlit face.
        globe_shadow: Option<GlobeShadow>,
    },
}

#[derive(Serialize)]
pub(super) struct TerminatorJson<'a> {
    id: &'a str,
    sun_altitude_deg: f64,
    morning: bool,
    /// While the Sun stands as low as the detail needs it.
    from_utc: Option<String>,
    until_utc: Option<String>,
}

#[derive(Serialize)]
pub(super) struct LimbJson<'a> {
    id: &'a str,
    from_limb_deg: f64,
    /// Of it owed to tonight's libration.
    gain_deg: f64,
}

#[derive(Serialize)]
pub(super) struct FacingJson<'a> {
    id: &'a str,
    /// West longitude from the middle of the disc: positive, still to come, 14.6 degrees an hour.
    to_come_deg: f64,
    /// 1 in the middle of the disc, 0 at its edge.
    facing: f64,
}

/// `None` where there is nothing to say.
pub(super) fn json(face: &FaceTonight) -> Option<FaceJson<'_>> {
    Some(match face {
        FaceTonight::Plain => return None,
        FaceTonight::Moon {
            terminator,
            near_limb,
        } => FaceJson::Moon {
            terminator: (terminator.iter())
                .map(|place| TerminatorJson {
                    id: &place.detail.id,
                    sun_altitude_deg: place.sun_altitude_deg,
                    morning: place.morning,
                    from_utc: place.from_utc().map(rfc3339),
                    until_utc: place.until_utc().map(rfc3339),
                })
                .collect(),
            near_limb: (near_limb.iter())
                .map(|place| LimbJson {
                    id: &place.detail.id,
                    from_limb_deg: words::rounded(place.from_limb_deg, 2),
                    gain_deg: words::rounded(place.gain_deg, 2),
                })
                .collect(),
        },
        FaceTonight::Mars(markings) => FaceJson::Mars {
            facing: (markings.iter())
                .map(|marking| FacingJson {
                    id: &marking.detail.id,
                    to_come_deg: words::rounded(marking.to_come_deg, 2),
                    facing: words::rounded(marking.facing, 3),
                })
                .collect(),
        },
        FaceTonight::Saturn(globe_shadow) => FaceJson::Saturn {
            globe_shadow: *globe_shadow,
        },
    })
}
