//! The plan as it was last printed, kept beside the sheets, and what has moved since.

use chrono::{DateTime, NaiveDate, Utc};
use chrono_tz::Tz;
use serde::{Deserialize, Serialize};

use crate::plan::session::{Session, Station, Turn};
use crate::show::words;

/// What stood on the sheets. Fields are only ever added.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Last {
    /// The local date on which the evening begins.
    #[serde(with = "iso_8601")]
    pub on: NaiveDate,
    /// In the order of the workshop file.
    pub telescopes: Vec<LastTelescope>,
}

/// One telescope's sheets.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LastTelescope {
    /// As in the workshop file.
    pub name: String,
    /// Files in the folder.
    pub files: Vec<String>,
    /// In order of time.
    pub turns: Vec<LastTurn>,
}

/// One turn of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LastTurn {
    /// Id of what is shown.
    pub target: String,
    /// Its name.
    pub name: String,
    /// Start.
    #[serde(with = "iso_8601")]
    pub from_utc: DateTime<Utc>,
    /// End.
    #[serde(with = "iso_8601")]
    pub until_utc: DateTime<Utc>,
    /// Eyepiece and power, as printed.
    pub with: String,
}

impl Last {
    /// Of a plan that is being printed; `files` knows what becomes of each station.
    pub(super) fn of(session: &Session, files: impl Fn(usize) -> Vec<String>) -> Last {
        let turns = |station: &Station| station.turns.iter().map(LastTurn::of).collect();
        let stations = session.telescopes.iter().enumerate();
        Last {
            on: session.on,
            telescopes: stations
                .map(|(idx, station)| LastTelescope {
                    name: station.name.clone(),
                    files: files(idx),
                    turns: turns(station),
                })
                .collect(),
        }
    }

    /// As text for the folder.
    pub(super) fn json(&self) -> String {
        serde_json::to_string_pretty(self).expect("plain data") + "\n"
    }

    /// From that text; the reason where it is not what was written.
    pub fn from_json(text: &str) -> Result<Last, String> {
        serde_json::from_str(text).map_err(|why| why.to_string())
    }
}

impl LastTurn {
    fn of(turn: &Turn) -> LastTurn {
        let shown = &turn.shown;
        LastTurn {
            target: shown.subject.id().to_string(),
            name: shown.subject.name().to_string(),
            from_utc: turn.from,
            until_utc: turn.until,
            with: format!("{} {:.0}x", shown.view.eyepiece, shown.view.magnification),
        }
    }
}

/// What has moved, a line each, local times.
pub(super) fn changes(last: &Last, now: &Last, zone: Tz) -> Vec<String> {
    let mut lines = Vec::new();
    if last.on != now.on {
        let [now, last] = [now.on, last.on].map(words::date);
        lines.push(format!("The night of {now}, was {last}"));
    }
    let of = |plan: &Last, name: &str| plan.telescopes.iter().position(|at| at.name == name);
    for telescope in &now.telescopes {
        match of(last, &telescope.name) {
            None => lines.push(format!("{} takes part now", telescope.name)),
            Some(idx) => lines.extend(moved(&last.telescopes[idx], telescope, zone)),
        }
    }
    for gone in last
        .telescopes
        .iter()
        .filter(|old| of(now, &old.name).is_none())
    {
        lines.push(format!("{} takes no part any more", gone.name));
    }
    let current: Vec<&String> = now.telescopes.iter().flat_map(|at| &at.files).collect();
    let old = last.telescopes.iter().flat_map(|at| &at.files);
    for file in old.filter(|file| !current.contains(file)) {
        lines.push(format!("{file} is out of date: throw it away"));
    }
    lines
}

fn moved(last: &LastTelescope, now: &LastTelescope, zone: Tz) -> Vec<String> {
    let name = &now.name;
    let mut old: Vec<&LastTurn> = last.turns.iter().collect();
    let mut lines = Vec::new();
    let time = |turn: &LastTurn| {
        let clock = |at| words::clock(at, zone);
        format!("{} to {}", clock(turn.from_utc), clock(turn.until_utc))
    };
    for turn in &now.turns {
        let Some(idx) = old.iter().position(|old| old.target == turn.target) else {
            lines.push(format!("{name}: {} is new, {}", turn.name, time(turn)));
            continue;
        };
        let before = old.remove(idx);
        if (before.from_utc, before.until_utc) != (turn.from_utc, turn.until_utc) {
            lines.push(format!(
                "{name}: {} {}, was {}",
                turn.name,
                time(turn),
                time(before)
            ));
        }
        if before.with != turn.with {
            lines.push(format!(
                "{name}: {} with {}, was {}",
                turn.name, turn.with, before.with
            ));
        }
    }
    let dropped = old
        .iter()
        .map(|old| format!("{name}: {} is dropped, was {}", old.name, time(old)));
    lines.extend(dropped);
    lines
}

/// Dates as `2026-12-12`, instants as `2026-12-12T18:00:00Z`: what both print for debugging, and read back.
mod iso_8601 {
    use std::fmt::Debug;
    use std::str::FromStr;

    use serde::de::Error;
    use serde::{Deserialize, Deserializer, Serializer};

    pub(super) fn serialize<T: Debug, S: Serializer>(time: &T, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&format!("{time:?}"))
    }

    pub(super) fn deserialize<'de, T: FromStr, D: Deserializer<'de>>(
        from: D,
    ) -> Result<T, D::Error> {
        let text = String::deserialize(from)?;
        text.parse()
            .map_err(|_| D::Error::custom(format!("`{text}` is no date or instant")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn turn(name: &str, from: u32, with: &str) -> LastTurn {
        let at = |hour: u32| {
            format!("2026-12-12T{hour:02}:00:00Z")
                .parse()
                .expect("an instant")
        };
        LastTurn {
            target: name.to_lowercase(),
            name: name.to_string(),
            from_utc: at(from),
            until_utc: at(from + 1),
            with: with.to_string(),
        }
    }

    fn plan(telescopes: &[(&str, &[LastTurn])]) -> Last {
        Last {
            on: NaiveDate::from_ymd_opt(2026, 12, 12).expect("a date"),
            telescopes: (telescopes.iter())
                .map(|(name, turns)| LastTelescope {
                    name: name.to_string(),
                    files: vec![format!("{name}.html")],
                    turns: turns.to_vec(),
                })
                .collect(),
        }
    }

    #[test]
    fn what_moved_is_said_once_and_nothing_else() {
        let before = plan(&[
            (
                "Rowan",
                &[
                    turn("Moon", 18, "32 mm 38x"),
                    turn("Saturn", 19, "10 mm 120x"),
                ],
            ),
            ("Alder", &[turn("Mars", 18, "10 mm 125x")]),
        ]);
        let now = plan(&[
            (
                "Rowan",
                &[
                    turn("Saturn", 18, "10 mm 120x"),
                    turn("Jupiter", 19, "10 mm 120x"),
                ],
            ),
            ("Hazel", &[]),
        ]);
        assert_eq!(changes(&now, &now, chrono_tz::UTC), [""; 0]);
        assert_eq!(
            changes(&before, &now, chrono_tz::UTC),
            [
                "Rowan: Saturn 18:00 to 19:00, was 19:00 to 20:00",
                "Rowan: Jupiter is new, 19:00 to 20:00",
                "Rowan: Moon is dropped, was 18:00 to 19:00",
                "Hazel takes part now",
                "Alder takes no part any more",
                "Alder.html is out of date: throw it away",
            ]
        );
        assert_eq!(Last::from_json(&now.json()).as_ref(), Ok(&now));
        assert!(Last::from_json("{}").is_err());
    }
}
