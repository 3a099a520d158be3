//! Which moons there are.

use serde::{Deserialize, Serialize};

use crate::sky::Body;

/// A moon of Jupiter or Saturn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Satellite {
    /// Jupiter I.
    Io,
    /// Jupiter II.
    Europa,
    /// Jupiter III.
    Ganymede,
    /// Jupiter IV.
    Callisto,
    /// Saturn VI.
    Titan,
    /// Saturn V.
    Rhea,
    /// Saturn III.
    Tethys,
    /// Saturn IV.
    Dione,
    /// Saturn VIII.
    Iapetus,
    /// Saturn II.
    Enceladus,
}

impl Satellite {
    /// All of them: Jupiter's outward, then Saturn's, the easiest first.
    pub const ALL: [Satellite; 10] = [
        Satellite::Io,
        Satellite::Europa,
        Satellite::Ganymede,
        Satellite::Callisto,
        Satellite::Titan,
        Satellite::Rhea,
        Satellite::Tethys,
        Satellite::Dione,
        Satellite::Iapetus,
        Satellite::Enceladus,
    ];

    /// Jupiter's four, outward.
    pub const GALILEAN: [Satellite; 4] = [
        Satellite::Io,
        Satellite::Europa,
        Satellite::Ganymede,
        Satellite::Callisto,
    ];

    /// Lower case, as in machine-readable output and in the data tables.
    pub fn id(self) -> &'static str {
        match self {
            Satellite::Io => "io",
            Satellite::Europa => "europa",
            Satellite::Ganymede => "ganymede",
            Satellite::Callisto => "callisto",
            Satellite::Titan => "titan",
            Satellite::Rhea => "rhea",
            Satellite::Tethys => "tethys",
            Satellite::Dione => "dione",
            Satellite::Iapetus => "iapetus",
            Satellite::Enceladus => "enceladus",
        }
    }

    /// As written in a list for people.
    pub fn name(self) -> &'static str {
        match self {
            Satellite::Io => "Io",
            Satellite::Europa => "Europa",
            Satellite::Ganymede => "Ganymede",
            Satellite::Callisto => "Callisto",
            Satellite::Titan => "Titan",
            Satellite::Rhea => "Rhea",
            Satellite::Tethys => "Tethys",
            Satellite::Dione => "Dione",
            Satellite::Iapetus => "Iapetus",
            Satellite::Enceladus => "Enceladus",
        }
    }

    /// The moon of an [`id`](Satellite::id).
    pub fn from_id(id: &str) -> Option<Satellite> {
        Satellite::ALL.into_iter().find(|moon| moon.id() == id)
    }

    /// What it goes round.
    pub fn planet(self) -> Body {
        match self {
            Satellite::Io | Satellite::Europa | Satellite::Ganymede | Satellite::Callisto => {
                Body::Jupiter
            }
            _ => Body::Saturn,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_lead_back() {
        for moon in Satellite::ALL {
            assert_eq!(Satellite::from_id(moon.id()), Some(moon));
        }
    }
}
