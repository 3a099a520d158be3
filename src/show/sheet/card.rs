//! One turn of a telescope in the words of its sheet: what to find where, with what, and what to say.

use chrono::TimeDelta;
use chrono_tz::Tz;

use crate::plan::night::Edge;
use crate::plan::session::Direction;
use crate::plan::session::Facts;
use crate::plan::session::NearMark;
use crate::plan::session::Showing;
use crate::plan::session::Turn;
use crate::show::words;

use super::page::clipped;

/// More letters of one entry nobody reads in the dark.
const LONGEST_ENTRY: usize = 220;

/// The longest name a workshop file may give.
const LONGEST_NAME: usize = 60;

/// The Moon to the bare eye.
const MOON_ARCMIN: f64 = 30.0;

/// A target that goes later than that after its turn is as good as there all evening.
const SOON: TimeDelta = TimeDelta::minutes(45);

/// A turn in words; whatever is missing is not known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Card {
    /// Of what is shown: `saturn`.
    pub id: String,
    /// Local time: `19:40`.
    pub from: String,
    /// Local time.
    pub until: String,
    /// Of what is shown.
    pub name: String,
    /// Where to point.
    pub place: String,
    /// When and why it ends for good.
    pub then: Option<String>,
    /// When the Sun comes too near: printed whatever has to give way.
    pub stop: Option<String>,
    /// Eyepiece and power.
    pub with: String,
    /// Of the eyepiece above the ground, and how long it holds the target.
    pub height: Option<String>,
    /// One thing.
    pub look_for: String,
    /// What a visitor will really see.
    pub you_see: String,
    /// Distance, light time, size.
    pub facts: Option<String>,
    /// What to turn to under cloud.
    pub cloud: Option<String>,
    /// The organiser's own words.
    pub note: Option<String>,
    /// The organiser has left this turn out.
    pub is_left_out: bool,
    /// The next one begins when this one ends: nobody has to be told when that is.
    pub is_followed: bool,
}

impl Card {
    /// The words of a turn, times of that zone.
    pub(super) fn of(turn: &Turn, zone: Tz) -> Card {
        let shown = &turn.shown;
        Card {
            id: shown.subject.id().to_string(),
            from: words::clock(turn.from, zone),
            until: words::clock(turn.until, zone),
            name: shown.subject.name().to_string(),
            place: place(&shown.direction),
            then: then(turn, zone),
            stop: stop(shown, zone),
            with: with(shown),
            height: height(shown),
            look_for: shown.look_for.caption.name.clone(),
            you_see: you_see(shown),
            facts: facts(&shown.facts),
            cloud: turn.fallback.as_ref().map(|standby| {
                let shown = &standby.shown;
                format!(
                    "{}, {}, {}",
                    shown.subject.name(),
                    place(&shown.direction),
                    with(shown)
                )
            }),
            note: None,
            is_left_out: false,
            is_followed: false,
        }
    }

    /// The same with every entry short enough for paper.
    pub(super) fn cut(&self) -> Card {
        let entry = |words: &String| clipped(words, LONGEST_ENTRY);
        let maybe = |words: &Option<String>| words.as_ref().map(entry);
        Card {
            id: self.id.clone(),
            from: clipped(&self.from, 5),
            until: clipped(&self.until, 5),
            name: clipped(&self.name, LONGEST_NAME),
            place: entry(&self.place),
            then: maybe(&self.then),
            stop: maybe(&self.stop),
            with: entry(&self.with),
            height: maybe(&self.height),
            look_for: entry(&self.look_for),
            you_see: entry(&self.you_see),
            facts: maybe(&self.facts),
            cloud: maybe(&self.cloud),
            // Its length was checked where it was read: it is never cut.
            note: self.note.as_deref().map(super::page::tidy),
            is_left_out: self.is_left_out,
            is_followed: self.is_followed,
        }
    }
}

/// `south-west, four fists up, just left of the bell tower`
pub(super) fn place(direction: &Direction) -> String {
    let mark =
        (direction.mark.as_ref()).map_or(String::new(), |mark| format!(", {}", beside(mark)));
    format!(
        "{}, {}{mark}",
        words::wind_in_words(direction.azimuth_deg),
        words::fists(direction.altitude_deg)
    )
}

/// In fists, as far as a fist measures.
fn beside(mark: &NearMark) -> String {
    let side = if mark.right_of_it_deg < 0.0 {
        "left"
    } else {
        "right"
    };
    let away = match mark.right_of_it_deg.abs() {
        off if off < 2.0 => return format!("above the {}", mark.name),
        off if off < 7.0 => "just",
        off if off < 15.0 => "a fist",
        off if off < 25.0 => "two fists",
        _ => "well",
    };
    format!("{away} {side} of the {}", mark.name)
}

/// `10 mm eyepiece, 120x`
fn with(shown: &Showing) -> String {
    format!(
        "{} eyepiece, {:.0}x",
        shown.view.eyepiece, shown.view.magnification
    )
}

/// How high the eye has to be, and how soon the target has drifted out.
fn height(shown: &Showing) -> Option<String> {
    let up = shown
        .eyepiece_height_m
        .map(|metres| format!("eyepiece {metres:.1} m up"));
    let drift = (shown.drift_s).map(|s| format!("drifts across in {}", duration(s.round())));
    let known: Vec<String> = up.into_iter().chain(drift).collect();
    (!known.is_empty()).then(|| known.join("; "))
}

/// Only what ends soon after the turn: nobody plans further ahead in the dark.
fn then(turn: &Turn, zone: Tz) -> Option<String> {
    let limits = &turn.shown.limits;
    let until = words::clock(limits.until, zone);
    let is_soon = limits.until - turn.until <= SOON;
    match limits.ends {
        Edge::Skyline if is_soon => Some(format!("gone behind the skyline at {until}")),
        Edge::TooLow if is_soon => Some(format!("too low from {until}")),
        _ => None,
    }
}

fn stop(shown: &Showing, zone: Tz) -> Option<String> {
    (shown.limits.ends == Edge::BeforeSunrise).then(|| {
        format!(
            "Stop at {}, whoever still waits: the Sun comes to you.",
            words::clock(shown.limits.until, zone)
        )
    })
}

fn you_see(shown: &Showing) -> String {
    let say = &shown.look_for.caption.say;
    let disc = shown.subject.body().filter(|body| body.id() != "moon");
    match (disc, shown.facts.apparent_size_arcmin) {
        (Some(_), Some(arcmin)) => format!(
            "{say} {} looks {} times as wide as the Moon to the bare eye.",
            shown.subject.name(),
            words::two_digits(arcmin / MOON_ARCMIN)
        ),
        _ => say.clone(),
    }
}

fn facts(facts: &Facts) -> Option<String> {
    let all = [
        facts
            .distance_km
            .map(|km| format!("{} away", kilometres(km))),
        facts
            .light_time_s
            .map(|s| format!("its light takes {}", duration(s))),
        facts
            .diameter_km
            .map(|km| format!("{} across", kilometres(km))),
    ];
    let known: Vec<String> = all.into_iter().flatten().collect();
    (!known.is_empty()).then(|| known.join("; "))
}

/// Three digits, all that anybody remembers: `385 thousand km`, `1430 million km`.
fn kilometres(km: f64) -> String {
    match km {
        km if km < 1e4 => format!("{:.0} km", (km / 10.0).round() * 10.0),
        km if km < 1e5 => format!("{} thousand km", words::short(km / 1e3)),
        km if km < 1e6 => format!("{:.0} thousand km", km / 1e3),
        km if km < 1e8 => format!("{} million km", words::short(km / 1e6)),
        km if km < 1e9 => format!("{:.0} million km", km / 1e6),
        km => format!("{:.0} million km", (km / 1e7).round() * 10.0),
    }
}

/// `1.3 seconds`, `42 minutes`, `4.1 hours`
fn duration(seconds: f64) -> String {
    match seconds {
        s if s < 90.0 => format!("{} seconds", words::short(s)),
        s if s < 90.0 * 60.0 => format!("{:.0} minutes", s / 60.0),
        s => format!("{} hours", words::short(s / 3600.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_and_times_as_one_says_them() {
        for (km, want) in [
            (384_400.0, "384 thousand km"),
            (3_474.8, "3470 km"),
            (12_104.0, "12.1 thousand km"),
            (82.4e6, "82.4 million km"),
            (628.7e6, "629 million km"),
            (1_434.0e6, "1430 million km"),
        ] {
            assert_eq!(kilometres(km), want);
        }
        for (seconds, want) in [
            (1.28, "1.3 seconds"),
            (2_520.0, "42 minutes"),
            (14_900.0, "4.1 hours"),
        ] {
            assert_eq!(duration(seconds), want);
        }
    }

    #[test]
    fn beside_a_mark_in_fists() {
        for (right_of_it_deg, want) in [
            (-1.0, "above the bell tower"),
            (-5.0, "just left of the bell tower"),
            (11.0, "a fist right of the bell tower"),
            (-20.0, "two fists left of the bell tower"),
        ] {
            let mark = NearMark {
                name: String::from("bell tower"),
                right_of_it_deg,
            };
            assert_eq!(beside(&mark), want);
        }
    }
}
