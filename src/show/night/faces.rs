//! What a body's face has tonight, in a line for the night's page and as JSON.

use chrono::{DateTime, Utc};
use chrono_tz::Tz;
use serde_json::{Value, json};

use crate::plan::faces::FaceTonight;
use crate::show::words::{clock, local_minute, rfc3339, rounded};
use crate::sky::ring_light::Side;
use crate::targets::faces::{AtTerminator, MarsMarking, NearLimb};

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
            let until = place.until_utc()?;
            let sun = if place.morning { "rising" } else { "setting" };
            let day = match (until - at).num_hours() < 12 {
                true => String::new(),
                false => local_minute(until, zone).format("%A ").to_string(),
            };
            let until = clock(until, zone);
            Some(format!("{} ({sun}, {day}{until})", place.detail.name))
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

/// The same for machines; null where there is nothing to say. Saturn's shadow is null where it is hidden behind
/// the globe, or on the unlit face.
pub(super) fn json(face: &FaceTonight) -> Value {
    match face {
        FaceTonight::Plain => Value::Null,
        FaceTonight::Moon {
            terminator,
            near_limb,
        } => json!({
            "terminator": terminator.iter().map(terminator_json).collect::<Value>(),
            "near_limb": near_limb.iter().map(limb_json).collect::<Value>(),
        }),
        FaceTonight::Mars(markings) => json!({
            "facing": markings.iter().map(marking_json).collect::<Value>(),
        }),
        FaceTonight::Saturn(globe_shadow) => json!({ "globe_shadow": globe_shadow }),
    }
}

/// Instants bound the time in which the Sun stands as low as the detail needs it.
fn terminator_json(place: &AtTerminator) -> Value {
    json!({
        "id": place.detail.id,
        "sun_altitude_deg": place.sun_altitude_deg,
        "morning": place.morning,
        "from_utc": place.from_utc().map(rfc3339),
        "until_utc": place.until_utc().map(rfc3339),
    })
}

fn limb_json(place: &NearLimb) -> Value {
    json!({
        "id": place.detail.id,
        "from_limb_deg": rounded(place.from_limb_deg, 2),
        "gain_deg": rounded(place.gain_deg, 2),
    })
}

fn marking_json(marking: &MarsMarking) -> Value {
    json!({
        "id": marking.detail.id,
        "to_come_deg": rounded(marking.to_come_deg, 2),
        "facing": rounded(marking.facing, 3),
    })
}
