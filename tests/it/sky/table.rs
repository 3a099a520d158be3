//! Reading the tables of tests/reference, and errors summed up as a distribution.

use std::collections::HashMap;

use crate::support;
use chrono::{DateTime, Utc};
use skyworthy::constants::{ARCSEC_PER_RAD, J2000_JD};
use skyworthy::sky::Body;
use skyworthy::sky::earth::Place;
use skyworthy::sky::vector::{angle_rad, direction};

/// One row of a table, by the names of its columns.
#[derive(Debug)]
pub struct NamedRow(HashMap<&'static str, &'static str>);

/// All rows below the head and the line of column names.
pub fn rows(table: &'static str) -> Vec<NamedRow> {
    let columns = support::columns(table);
    support::rows(table)
        .map(|cells| NamedRow(columns.iter().copied().zip(cells).collect()))
        .collect()
}

impl NamedRow {
    pub fn text(&self, column: &str) -> &'static str {
        self.0
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    /// `None` where the table has `-` or `none`.
    pub fn maybe_number(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!["-", "none"].contains(&text)).then(|| {
            text.parse()
                .unwrap_or_else(|_| panic!("{column}: {text} is not a number"))
        })
    }

    #[track_caller]
    pub fn number(&self, column: &str) -> f64 {
        self.maybe_number(column)
            .unwrap_or_else(|| panic!("{column} is empty in {self:?}"))
    }

    pub fn body(&self) -> Body {
        Body::from_id(self.text("body")).expect("a body's id")
    }

    pub fn instant(&self, column: &str) -> DateTime<Utc> {
        self.text(column).parse().expect("an RFC 3339 instant")
    }

    /// Days of TT since J2000.0 from the two parts of a Julian date.
    pub fn tt_days(&self) -> f64 {
        self.number("tt_jd_whole") - J2000_JD + self.number("tt_jd_fraction")
    }

    pub fn has_site(&self) -> bool {
        self.text("site") != "-"
    }

    /// The row's site, or the Earth's centre where it has none.
    pub fn place(&self) -> Place {
        if !self.has_site() {
            return geocentre();
        }
        Place::new(
            self.number("latitude_deg"),
            self.number("longitude_deg"),
            self.number("elevation_m"),
        )
    }
}

/// The Earth's centre as a place: one equatorial radius (WGS 84) below the equator.
pub fn geocentre() -> Place {
    Place::new(0.0, 0.0, -6_378_137.0)
}

/// Angle between two directions given as longitude and latitude, arcseconds.
pub fn separation_arcsec(a_deg: (f64, f64), b_deg: (f64, f64)) -> f64 {
    angle_rad(direction(a_deg.0, a_deg.1), direction(b_deg.0, b_deg.1)) * ARCSEC_PER_RAD
}

/// Difference of two angles, degrees, not negative, the short way round.
pub fn turn_deg(a_deg: f64, b_deg: f64) -> f64 {
    skyworthy::units::wrap_180_deg(a_deg - b_deg).abs()
}

/// Errors of one quantity, each with where it happened.
#[derive(Debug)]
pub struct Errors {
    what: &'static str,
    unit: &'static str,
    all: Vec<(f64, String)>,
}

impl Errors {
    pub fn of(what: &'static str, unit: &'static str) -> Self {
        Errors {
            what,
            unit,
            all: Vec::new(),
        }
    }

    pub fn push(&mut self, error: f64, place: impl Into<String>) {
        assert!(error.is_finite(), "{}: {}", self.what, place.into());
        self.all.push((error.abs(), place.into()));
    }

    /// Prints the distribution (seen with `cargo test -- --nocapture`) and holds it to its limits.
    #[track_caller]
    pub fn check(mut self, median_limit: f64, worst_limit: f64) {
        assert!(!self.all.is_empty(), "{}: nothing compared", self.what);
        self.all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let n = self.all.len();
        let median = self.all[n / 2].0;
        let (worst, at) = &self.all[n - 1];
        let unit = self.unit;
        let line = format!(
            "{}: {n} compared, median {median:.2e}, 90 % {:.2e}, worst {worst:.2e} {unit} ({at})",
            self.what,
            self.all[n * 9 / 10].0,
        );
        println!("{line}");
        assert!(
            median <= median_limit && *worst <= worst_limit,
            "{line}; allowed: median {median_limit:.2e}, worst {worst_limit:.2e} {unit}"
        );
    }
}
