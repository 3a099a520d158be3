//! How visitors take to what lies beyond the planets: a matter of taste, kept in `data/appeal.csv` for whoever knows better.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::tables;

/// Of a public evening's visitors, not of observers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Appeal {
    /// Pleases those who know what they see.
    Connoisseurs,
    /// Pleases most.
    Most,
    /// People call their friends.
    Everybody,
}

/// Of a target by its name in the tables of doubles and of clusters, nebulae and galaxies.
pub fn appeal(id: &str) -> Appeal {
    let row = ROWS.iter().find(|row| row.id == id);
    row.map_or(Appeal::Connoisseurs, |row| match row.appeal {
        3 => Appeal::Everybody,
        _ => Appeal::Most,
    })
}

/// One row of data/appeal.csv.
#[derive(Debug, Deserialize)]
struct AppealRow {
    id: String,
    appeal: u8,
}

static ROWS: LazyLock<Vec<AppealRow>> =
    LazyLock::new(|| tables::rows(include_str!("../../data/appeal.csv")));

#[cfg(test)]
mod tests {
    use super::*;
    use crate::targets::beyond::beyond;

    #[test]
    fn every_row_is_of_a_target_and_only_one() {
        for (idx, row) in ROWS.iter().enumerate() {
            assert!(beyond().any(|there| there.id() == row.id), "{}", row.id);
            assert!([2, 3].contains(&row.appeal), "{}", row.id);
            assert!(
                ROWS[..idx].iter().all(|before| before.id != row.id),
                "{}",
                row.id
            );
        }
        assert_eq!(appeal("m42"), Appeal::Everybody);
        assert_eq!(appeal("24_com"), Appeal::Connoisseurs);
    }
}
