//! What happens between two dates, for reading: a line each, in order of time, month by month.
//!
//! Pairings stand at the moment when they are best seen from the place; what is not seen from it is counted. Left
//! to the JSON: conjunctions and oppositions by right ascension, stations, least distances but of Mars.

pub mod entry;

mod eclipses;

mod covered;

pub(super) mod json;

pub mod table;

mod ics;

use chrono::{DateTime, Datelike, Utc};
use chrono_tz::Tz;

use crate::plan::best_moment::{BestMoment, Chance};
use crate::plan::caution::Caution;
use crate::plan::happenings::{Happenings, Listed, MoonFields};
use crate::show::happenings::entry::Entry;
use crate::show::page::{Block, Labelled, Page};
use crate::show::words::{self, caution};
use crate::sky::happenings::What;
use crate::sky::happenings::pairings::{CLOSE_DEG, Pairing};
use crate::sky::happenings::phases::MoonPhase;
use crate::sky::happenings::planets::{Definition, GreatestElongation, MeetingKind, SunMeeting};
use crate::sky::happenings::ring_plane::Passer;
use crate::sky::{Appearance, Body};

pub use self::ics::ics;
pub use self::json::json;
pub use self::table::csv;

/// Of date and clock before the words.
const WHEN_COLUMNS: usize = 15;

/// The entries for what is worth telling people, in order of time.
pub fn entries(listed: &[Listed], telescopes: &[MoonFields], zone: Tz) -> Vec<Entry> {
    let mut entries: Vec<Entry> = (listed.iter())
        .filter_map(|listed| entry_of(listed, telescopes, zone))
        .collect();
    entries.sort_by_key(|entry| entry.at);
    entries
}

/// Whether the page has anything to say.
pub fn has_entries(happenings: &Happenings) -> bool {
    !entries(&happenings.listed, &happenings.telescopes, happenings.zone).is_empty()
}

/// The page.
pub fn page(happenings: &Happenings) -> Page {
    let zone = happenings.zone;
    let entries = entries(&happenings.listed, &happenings.telescopes, zone);
    let month = |entry: &Entry| {
        let local = words::local_minute(entry.at, zone);
        (local.year(), local.month())
    };
    let months = entries.chunk_by(|a, b| month(a) == month(b));
    let nothing = [Block::Space, Block::say("Nothing of note.")];
    let notes = foot(happenings).into_iter();
    Page::new(title(happenings))
        .with(months.map(|entries| month_section(entries, zone)))
        .with(nothing.into_iter().filter(|_| entries.is_empty()))
        .with(notes.flat_map(|note| [Block::Space, Block::say(note)]))
}

/// One month's entries, at least one; where the clocks change, it says so.
fn month_section(entries: &[Entry], zone: Tz) -> Block {
    let offset = |entry: &Entry| words::utc_offset(entry.at, zone);
    let heading = format!(
        "{}, times {}",
        words::local_minute(entries[0].at, zone).format("%B %Y"),
        offset(&entries[0])
    );
    let mut blocks = Vec::new();
    for entries in entries.chunk_by(|a, b| offset(a) == offset(b)) {
        if !blocks.is_empty() {
            let now = offset(&entries[0]);
            blocks.push(Block::say(format!("from here on times {now}")));
        }
        let mut lines = Labelled::new(WHEN_COLUMNS).hanging();
        for entry in entries {
            let paragraphs = std::iter::once(&entry.words).chain(&entry.more);
            lines.say_all(when_words(entry, zone), paragraphs.cloned().collect());
        }
        blocks.push(lines.into());
    }
    Block::section(heading, blocks)
}

/// `Sat 20  18:45`
fn when_words(entry: &Entry, zone: Tz) -> String {
    words::local_minute(entry.at, zone)
        .format("%a %e  %H:%M")
        .to_string()
}

pub(super) fn title(happenings: &Happenings) -> String {
    let name = &happenings.site_name;
    let (from, to) = (
        words::plain_date(happenings.from),
        words::plain_date(happenings.to),
    );
    if from == to {
        format!("{name}: what happens on {from}")
    } else {
        format!("{name}: what happens from {from} to {to}")
    }
}

fn foot(happenings: &Happenings) -> Vec<String> {
    let left_out = (happenings.listed.iter())
        .filter(|listed| matches!(listed.happening.what, What::Pairing(_)))
        .filter(|listed| close_here(listed).is_none())
        .count();
    let mut notes = vec![caution::words(Caution::Sun, happenings.zone)];
    if left_out > 0 {
        notes.push(format!(
            "Left out: {left_out} pairing{} too near the Sun, or not close while up here in the dark.",
            if left_out == 1 { "" } else { "s" }
        ));
    }
    notes
}

/// A pairing's best moment, where the two are close then too.
fn close_here(listed: &Listed) -> Option<BestMoment> {
    match listed.chance {
        Some(Chance::Seen(moment)) => (moment.apart)
            .filter(|apart| apart.separation_deg < CLOSE_DEG)
            .map(|_| moment),
        _ => None,
    }
}

/// `None`: only for machines.
fn entry_of(listed: &Listed, telescopes: &[MoonFields], zone: Tz) -> Option<Entry> {
    let at = listed.happening.at;
    let planet = listed.planet.as_ref();
    let plain = |words: String| Some(Entry::new(at, words));
    match &listed.happening.what {
        What::Phase(phase) => plain(phase_words(*phase).to_string()),
        What::Meeting(meeting) if meeting.definition == Definition::EclipticLongitude => {
            let mut entry = Entry::new(at, meeting_words(meeting, planet, listed.chance));
            if meeting.kind == MeetingKind::InferiorConjunction && meeting.over_sun {
                entry.more.push(String::from(caution::solar_eclipse()));
            }
            Some(entry)
        }
        What::Elongation(greatest) => {
            plain(elongation_words(at, greatest, planet, listed.chance, zone))
        }
        What::Nearest(nearest) if nearest.body == Body::Mars => plain(format!(
            "Mars nearest to the Earth: {:.1}\" across, {:.3} au",
            nearest.diameter_arcsec, nearest.distance_au
        )),
        What::Pairing(pair) => {
            let moment = close_here(listed)?;
            Some(Entry::new(moment.at, pairing_words(pair, &moment, zone)))
        }
        What::RingPlane(crossing) => plain(ring_words(crossing.passer, listed.chance)),
        What::LunarEclipse(eclipse) => Some(eclipses::lunar(listed, eclipse, telescopes, zone)),
        What::SolarEclipse(eclipse) => Some(eclipses::solar(at, eclipse, zone)),
        What::Occultation(occultation) => covered::covered(listed, occultation, zone),
        What::Meeting(_) | What::Nearest(_) | What::Station(_) => None,
    }
}

fn phase_words(phase: MoonPhase) -> &'static str {
    match phase {
        MoonPhase::New => "New Moon: no moonlight all night",
        MoonPhase::FirstQuarter => "First quarter: mountains in relief, up in the evening",
        MoonPhase::Full => "Full Moon: up all night, faint things drown in its light",
        MoonPhase::LastQuarter => "Last quarter: the Moon comes up about midnight",
    }
}

fn meeting_words(
    meeting: &SunMeeting,
    planet: Option<&Appearance>,
    chance: Option<Chance>,
) -> String {
    let name = meeting.body.name();
    match meeting.kind {
        MeetingKind::Opposition => opposition_words(meeting, planet, chance),
        MeetingKind::Conjunction => format!("{name} beyond the Sun: out of sight for some weeks"),
        MeetingKind::SuperiorConjunction => {
            format!("{name} beyond the Sun: on its way to the evening sky")
        }
        MeetingKind::InferiorConjunction if meeting.over_sun => {
            format!("{name} before the Sun's disc: not for your telescopes")
        }
        MeetingKind::InferiorConjunction => {
            format!("{name} between us and the Sun: on its way to the morning sky")
        }
    }
}

fn opposition_words(
    meeting: &SunMeeting,
    planet: Option<&Appearance>,
    chance: Option<Chance>,
) -> String {
    let looks = planet.map_or(String::new(), |seen| {
        format!(
            "{:.1}\" across, magnitude {:.1}, ",
            seen.diameter_arcsec, seen.magnitude
        )
    });
    let (all_night, high) = match chance {
        Some(Chance::Seen(moment)) => (
            ", up all night",
            format!("{:.0}° up at its highest", moment.altitude_deg),
        ),
        _ => ("", String::from("never clear of your skyline in the dark")),
    };
    format!(
        "{}{} at opposition{all_night}: {looks}{:.2} au away, {high}",
        meeting.body.name(),
        needs_telescope(meeting.body),
        meeting.distance_au,
    )
}

/// For what is not seen by eye.
fn needs_telescope(body: Body) -> &'static str {
    match body {
        Body::Uranus | Body::Neptune => " (needs a telescope)",
        _ => "",
    }
}

fn elongation_words(
    at: DateTime<Utc>,
    greatest: &GreatestElongation,
    planet: Option<&Appearance>,
    chance: Option<Chance>,
    zone: Tz,
) -> String {
    let (side, sky) = if greatest.east {
        ("east", "evening")
    } else {
        ("west", "morning")
    };
    let lit = planet.map_or(String::new(), |seen| {
        format!(", {:.0} % lit", 100.0 * seen.illuminated_fraction)
    });
    let best = match chance {
        Some(Chance::Seen(moment)) => format!(
            ", best {} at {}",
            where_words(&moment),
            words::clock_beside(moment.at, at, zone)
        ),
        _ => String::from(", not clear of your skyline in the dark"),
    };
    format!(
        "{} farthest {side} of the Sun, {:.0}°: {sky} sky{lit}{best}",
        greatest.body.name(),
        greatest.elongation_deg
    )
}

/// `WSW, two fists up`.
fn where_words(moment: &BestMoment) -> String {
    format!(
        "{}, {}",
        words::wind(moment.azimuth_deg),
        words::fists(moment.altitude_deg)
    )
}

fn pairing_words(pair: &Pairing, moment: &BestMoment, zone: Tz) -> String {
    let stand = moment.apart.map_or(String::from("beside"), |apart| {
        format!(
            "{:.1}° {}",
            apart.separation_deg,
            side_words(apart.clockwise_from_up_deg)
        )
    });
    let covers = if pair.here.covers && 0.0 < pair.here.second_altitude_deg {
        let by_day = if 0.0 < pair.here.sun_altitude_deg {
            " by day"
        } else {
            ""
        };
        format!(
            "; the Moon covers it{by_day} about {}",
            words::clock_beside(pair.here.at, moment.at, zone)
        )
    } else {
        String::new()
    };
    let telescope = needs_telescope(pair.second);
    format!(
        "{} {stand} {}{telescope}: {}{covers}",
        pair.first.name(),
        pair.second.name(),
        where_words(moment)
    )
}

/// Eighths of a turn clockwise from straight up.
fn side_words(clockwise_from_up_deg: f64) -> &'static str {
    const SIDES: [&str; 8] = [
        "above",
        "to the upper right of",
        "to the right of",
        "to the lower right of",
        "below",
        "to the lower left of",
        "to the left of",
        "to the upper left of",
    ];
    SIDES[(clockwise_from_up_deg / 45.0).round().rem_euclid(8.0) as usize % 8]
}

fn ring_words(passer: Passer, chance: Option<Chance>) -> String {
    let seen = match chance {
        Some(Chance::NearSun) => " (too near the Sun to be seen)",
        Some(Chance::NeverInTheDark) => " (not up here in the dark)",
        _ => "",
    };
    match passer {
        Passer::Earth => format!("Saturn's ring edge on: a line, or nothing, for days{seen}"),
        Passer::Sun => {
            format!("The Sun in the plane of Saturn's ring: the ring unlit for days{seen}")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sides_go_round_clockwise() {
        for (deg, want) in [
            (0.0, "above"),
            (350.0, "above"),
            (90.0, "to the right of"),
            (180.0, "below"),
            (225.0, "to the lower left of"),
        ] {
            assert_eq!(side_words(deg), want);
        }
    }
}
