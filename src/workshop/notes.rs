//! What the organiser writes beside a plan: notes, turns to leave out, another order. Kept whatever the plan becomes.

use chrono::NaiveTime;

/// One file of notes. Its names are as written: a plan may have no place for them.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SessionNotes {
    /// In the file's order; each name once.
    pub telescopes: Vec<TelescopeNotes>,
    /// What has happened since the plan was made, in the file's order.
    pub happened: Vec<Upset>,
}

/// What is written about one telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct TelescopeNotes {
    /// As in the workshop file.
    pub name: String,
    /// For its whole evening: at most 280 characters.
    pub note: Option<String>,
    /// Ids of targets that change places among themselves; empty: as planned.
    pub order: Vec<String>,
    /// In the file's order; each target once.
    pub turns: Vec<TurnNotes>,
    /// Where its name stands in the file, from 1.
    pub line: usize,
    /// Where its order does.
    pub order_line: usize,
}

/// What is written about one target of a telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct TurnNotes {
    /// Its id: `saturn`.
    pub target: String,
    /// At most 280 characters.
    pub note: Option<String>,
    /// Not to be shown after all.
    pub skip: bool,
    /// Where it stands in the file, from 1.
    pub line: usize,
}

impl SessionNotes {
    /// What is written about a telescope.
    pub fn of(&self, telescope: &str) -> Option<&TelescopeNotes> {
        self.telescopes.iter().find(|notes| notes.name == telescope)
    }
}

/// What has changed, and when that was known. Whatever is said again later stands instead of what was said before.
#[derive(Debug, Clone, PartialEq)]
pub struct Upset {
    /// On the clock of the place, in the night of the evening.
    pub now: NaiveTime,
    /// The first looks come so much later than planned, minutes.
    pub late_minutes: u32,
    /// Telescopes that can no longer be used, by name.
    pub out: Vec<String>,
    /// Telescopes that can be used again.
    pub back: Vec<String>,
    /// What cloud covers, up to where the sky is overhead.
    pub clouds: Vec<Sector>,
    /// The last look, on the clock of the place.
    pub end: Option<NaiveTime>,
}

/// A part of the sky from one azimuth clockwise to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sector {
    /// From north through east, degrees, 0 to 360.
    pub from_deg: f64,
    /// Likewise; where it is less than `from_deg`, north lies within. 0 to 360 is all of it.
    pub until_deg: f64,
}

/// What covers so much leaves no part of the sky worth a wait, degrees.
const ALL_ROUND_DEG: f64 = 350.0;

impl Sector {
    /// Whether it covers that azimuth, degrees.
    ///
    /// ```
    /// use skyworthy::workshop::Sector;
    ///
    /// let over_north = Sector { from_deg: 300.0, until_deg: 45.0 };
    /// assert!(over_north.covers(10.0) && over_north.covers(300.0) && !over_north.covers(180.0));
    /// assert!(Sector { from_deg: 0.0, until_deg: 360.0 }.covers(180.0));
    /// ```
    pub fn covers(&self, azimuth_deg: f64) -> bool {
        (azimuth_deg - self.from_deg).rem_euclid(360.0) <= self.width_deg()
    }

    /// From its beginning clockwise to its end, degrees, 0 to 360.
    pub fn width_deg(&self) -> f64 {
        match (self.until_deg - self.from_deg).rem_euclid(360.0) {
            0.0 if self.from_deg != self.until_deg => 360.0,
            width => width,
        }
    }

    /// Nothing is left, overhead neither.
    pub fn is_all_round(&self) -> bool {
        ALL_ROUND_DEG <= self.width_deg()
    }
}
