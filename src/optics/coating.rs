//! What the coating sends back, fresh and with the years.
//!
//! `data/coatings.tsv` has the reflectivities, each with its basis: most of what it says of age is
//! from memory, and town air, dew and covers differ more than the table's rows do. A reflectivity
//! stated in the workshop file is taken as it is and does not age.

use crate::tables;
use crate::workshop::{Coating, Taken};
use chrono::NaiveDate;
use std::sync::LazyLock;

/// The coat of a telescope's mirrors on a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coat {
    /// Its kind, as the workshop has it.
    pub kind: Coating,
    /// Of each mirror at 550 nm on that day, 0 to 1.
    pub reflectivity: f64,
    /// The same when it was new.
    pub fresh_reflectivity: f64,
    /// Mean months of 30.44 days since it was put on; `None` if nobody says when. 0 before that day.
    pub age_months: Option<f64>,
    /// Old enough to be looked at: it may be due.
    pub may_be_due: bool,
    /// Older than the table goes: its last reflectivity is taken, and is too high.
    pub is_older_than_table: bool,
}

impl Coat {
    /// Of that kind, just put on; age not counted.
    pub fn fresh(kind: Coating) -> Coat {
        let reflectivity = fresh_reflectivity(kind);
        Coat {
            kind,
            reflectivity,
            fresh_reflectivity: reflectivity,
            age_months: None,
            may_be_due: false,
            is_older_than_table: false,
        }
    }

    /// Of that kind, put on one day, looked at on another. Without the first it counts as fresh.
    pub fn on(kind: Coating, coated_on: Option<NaiveDate>, day: NaiveDate) -> Coat {
        let fresh = Coat::fresh(kind);
        let Some(coated_on) = coated_on else {
            return fresh;
        };
        let days = day.signed_duration_since(coated_on).num_days();
        let months = days.max(0) as f64 / DAYS_PER_MONTH;
        Coat {
            reflectivity: aged_reflectivity(kind, months),
            age_months: Some(months),
            may_be_due: rows_of(kind).any(|row| row.renew == "yes" && row.age_months <= months),
            is_older_than_table: rows_of(kind)
                .last()
                .is_some_and(|row| row.age_months < months),
            ..fresh
        }
    }

    /// What age has cost a star behind both mirrors, magnitudes.
    pub fn cost_mag(self) -> f64 {
        -2.5 * (self.reflectivity / self.fresh_reflectivity)
            .powi(2)
            .log10()
    }

    /// What was taken; `None` where the user stated it.
    pub fn taken(self) -> Option<Taken> {
        self.kind.word().map(|_| Taken::Coat {
            kind: self.kind,
            reflectivity: self.reflectivity,
            age_months: self.age_months,
        })
    }
}

/// Reflectivity of a fresh coat at 550 nm, each mirror, 0 to 1; whatever was stated.
pub fn fresh_reflectivity(kind: Coating) -> f64 {
    aged_reflectivity(kind, 0.0)
}

/// Reflectivity of a coat of that age at 550 nm, each mirror, 0 to 1: straight lines between the
/// rows of the table, level beyond the last. A stated one does not age.
pub fn aged_reflectivity(kind: Coating, age_months: f64) -> f64 {
    if let Coating::Reflectivity(stated) = kind {
        return stated;
    }
    let rows: Vec<&CoatingRow> = rows_of(kind).collect();
    let after = rows.partition_point(|row| row.age_months <= age_months);
    match (after.checked_sub(1).map(|idx| rows[idx]), rows.get(after)) {
        (Some(low), Some(high)) => {
            let share = (age_months - low.age_months) / (high.age_months - low.age_months);
            low.reflectivity + share * (high.reflectivity - low.reflectivity)
        }
        (Some(last), None) => last.reflectivity,
        (None, _) => rows[0].reflectivity,
    }
}

fn rows_of(kind: Coating) -> impl Iterator<Item = &'static CoatingRow> {
    let word = kind.word();
    (ROWS.iter()).filter(move |row| Some(row.kind.as_str()) == word)
}

/// One row of data/coatings.tsv.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
struct CoatingRow {
    kind: String,
    age_months: f64,
    reflectivity: f64,
    renew: String,
    basis: String,
}

static ROWS: LazyLock<Vec<CoatingRow>> =
    LazyLock::new(|| tables::rows(include_str!("../../data/coatings.tsv")));

/// Of the Gregorian calendar: 146 097 days in 4800 months.
const DAYS_PER_MONTH: f64 = 146_097.0 / 4800.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a date")
    }

    #[test]
    fn every_row_is_plausible_and_tells_its_basis() {
        for kind in [Coating::Silver, Coating::Aluminium] {
            let rows: Vec<&CoatingRow> = rows_of(kind).collect();
            assert_eq!(rows[0].age_months, 0.0, "{kind:?}");
            for pair in rows.windows(2) {
                assert!(pair[0].age_months < pair[1].age_months, "{pair:?}");
                assert!(pair[0].reflectivity >= pair[1].reflectivity, "{pair:?}");
            }
            for row in rows {
                assert!((0.3..=1.0).contains(&row.reflectivity), "{row:?}");
                assert!(["yes", "no"].contains(&row.renew.as_str()), "{row:?}");
                let bases = ["published: ", "common practice", "from memory"];
                assert!(
                    bases.iter().any(|basis| row.basis.starts_with(basis)),
                    "{row:?}"
                );
            }
        }
        assert_eq!(
            ROWS.len(),
            rows_of(Coating::Silver).count() + rows_of(Coating::Aluminium).count()
        );
    }

    /// Two mirrors of 0.95 against two of 0.88, in magnitudes: by hand, -5 log(0.88 / 0.95) = 0.166.
    #[test]
    fn cost_in_magnitudes() {
        let coat = Coat {
            reflectivity: 0.88,
            ..Coat::fresh(Coating::Silver)
        };
        assert!((coat.cost_mag() - 0.166).abs() < 5e-4);
    }

    #[test]
    fn age_counts_from_the_day_it_was_put_on() {
        let coat =
            |coated_on: &str, on: &str| Coat::on(Coating::Silver, Some(day(coated_on)), day(on));
        let year = coat("2025-12-01", "2026-12-01");
        assert!((year.age_months.unwrap() - 12.0).abs() < 0.02);
        assert!(coat("2025-10-01", "2026-12-01").may_be_due);
        let tomorrow = coat("2026-12-02", "2026-12-01");
        assert_eq!((tomorrow.age_months, tomorrow.cost_mag()), (Some(0.0), 0.0));
        // Half way between the rows of 0 and 6 months.
        let spring = coat("2026-01-01", "2026-04-02");
        assert!((spring.reflectivity - 0.935).abs() < 5e-4, "{spring:?}");
        let ancient = coat("1950-01-01", "2026-12-01");
        assert_eq!(
            (ancient.reflectivity, ancient.is_older_than_table),
            (0.78, true)
        );
        assert!(!spring.is_older_than_table);
    }

    #[test]
    fn what_is_stated_or_undated_does_not_age() {
        let on = day("2026-12-01");
        let stated = Coat::on(Coating::Reflectivity(0.9), Some(day("2016-12-01")), on);
        assert_eq!((stated.reflectivity, stated.may_be_due), (0.9, false));
        assert_eq!(stated.taken(), None);
        let undated = Coat::on(Coating::Aluminium, None, on);
        assert_eq!(undated.reflectivity, 0.88);
        assert!(matches!(
            undated.taken(),
            Some(Taken::Coat {
                age_months: None,
                ..
            })
        ));
    }
}
