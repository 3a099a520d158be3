//! What the organiser of a public evening settles: `[session]`, and who stands at each telescope.

use chrono::{NaiveDate, NaiveTime};
use serde::Serialize;

use crate::units::wrap_180_deg;

/// `[session]`: the same for every public evening.
#[derive(Debug, Clone, PartialEq)]
pub struct EveningRules {
    /// One look, stepping up and down included; 15 to 300. Default 50.
    pub seconds_per_look: f64,
    /// Least time a telescope stays on one target, 5 to 180. Default 30.
    pub minimum_stay_minutes: u32,
    /// Most changes of target of one telescope over the evening, 0 to 50. Default 3: four targets.
    pub most_changes: u32,
    /// Whether visitors are all there from the first look.
    pub arrival: Arrival,
    /// When helpers and visitors meet, on the clock of the place; default a quarter of an hour before the first look.
    pub gather: Option<NaiveTime>,
    /// When it is decided whether the weather allows it, on the clock of the place.
    pub decide_at: Option<NaiveTime>,
    /// Another date for it.
    pub backup_on: Option<NaiveDate>,
    /// Who decides: plain text of the organiser's.
    pub leader: Option<String>,
}

impl Default for EveningRules {
    /// Common practice, no source: 45 to 60 seconds a look, half an hour on a target, four targets an evening.
    fn default() -> Self {
        EveningRules {
            seconds_per_look: 50.0,
            minimum_stay_minutes: 30,
            most_changes: 3,
            arrival: Arrival::Together,
            gather: None,
            decide_at: None,
            backup_on: None,
            leader: None,
        }
    }
}

/// How visitors come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Arrival {
    /// All are there at the first look.
    #[default]
    Together,
    /// One by one, evenly from the first look to the last.
    OverTime,
}

/// How a telescope stands on a public evening.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Stand {
    /// Who stands at it.
    pub helper: Helper,
    /// Where it is put up: plain text of the organiser's.
    pub station: Option<String>,
    /// Low enough for a seated eye: kept to targets that leave it so.
    pub low_eyepiece: bool,
    /// Meant for children: kept to what is plain and low.
    pub for_children: bool,
}

/// How well a helper knows telescope and sky.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Helper {
    /// Keeps to what is found at once: the Moon and what the naked eye sees.
    New,
    /// Finds faint things, as who built a telescope does. Taken where the file says nothing.
    #[default]
    Practised,
}

/// Something on the horizon that everybody at the place knows.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// Of its left edge, from true north through east, 0 to 360.
    pub azimuth_deg: f64,
    /// From there to its right edge, 0 to 180; 0 for what is narrow.
    pub width_deg: f64,
    /// As one would say it, without article: "bell tower".
    pub name: String,
}

impl Mark {
    /// Azimuth of its middle, 0 to 360.
    pub fn middle_deg(&self) -> f64 {
        (self.azimuth_deg + 0.5 * self.width_deg).rem_euclid(360.0)
    }

    /// How far an azimuth lies beside it, -180 to 180: below 0 left of its left edge, above 0 right of its right edge, and 0
    /// over it.
    pub fn right_of_it_deg(&self, azimuth_deg: f64) -> f64 {
        let from_middle_deg = wrap_180_deg(azimuth_deg - self.middle_deg());
        let beside_deg = (from_middle_deg.abs() - 0.5 * self.width_deg).max(0.0);
        beside_deg.copysign(from_middle_deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(azimuth_deg: f64, width_deg: f64) -> Mark {
        Mark {
            azimuth_deg,
            width_deg,
            name: String::from("gym wall"),
        }
    }

    /// By hand.
    #[test]
    fn beside_a_mark_is_from_its_nearer_edge() {
        for (azimuth_deg, width_deg, middle_deg, beside) in [
            (
                135.0,
                0.0,
                135.0,
                &[(135.0, 0.0), (120.0, -15.0), (140.0, 5.0), (314.0, 179.0)][..],
            ),
            (
                120.0,
                35.0,
                137.5,
                &[
                    (110.0, -10.0),
                    (120.0, 0.0),
                    (137.5, 0.0),
                    (155.0, 0.0),
                    (160.0, 5.0),
                ],
            ),
            (
                350.0,
                20.0,
                0.0,
                &[
                    (345.0, -5.0),
                    (350.0, 0.0),
                    (0.0, 0.0),
                    (9.0, 0.0),
                    (12.0, 2.0),
                    (340.0, -10.0),
                ],
            ),
            (
                300.0,
                120.0,
                0.0,
                &[(290.0, -10.0), (359.0, 0.0), (1.0, 0.0), (70.0, 10.0)],
            ),
        ] {
            let mark = mark(azimuth_deg, width_deg);
            assert_eq!(mark.middle_deg(), middle_deg);
            for (at_deg, want_deg) in beside {
                let got_deg = mark.right_of_it_deg(*at_deg);
                assert!((got_deg - want_deg).abs() < 1e-9, "{at_deg}: {got_deg}");
            }
        }
    }
}
