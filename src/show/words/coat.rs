//! The coat of a telescope's mirrors, in words.

use crate::optics::coating::Coat;
use crate::workshop::Coating;

/// `3 months old`, to the nearest whole one, years from two on; `None` where nobody says.
pub(in crate::show) fn age_words(coat: Coat) -> Option<String> {
    coat.age_months.map(months_old)
}

/// What was taken for a coat: `95 % each mirror, as fresh silver; age not counted`.
pub(in crate::show) fn taken(kind: Coating, reflectivity: f64, age_months: Option<f64>) -> String {
    let kind = kind.word().unwrap_or("stated");
    let percent = 100.0 * reflectivity;
    match age_months {
        None => format!("{percent:.0} % each mirror, as fresh {kind}; age not counted"),
        Some(months) => format!(
            "{percent:.0} % each mirror, as {kind} {}",
            months_old(months)
        ),
    }
}

fn months_old(months: f64) -> String {
    if months < 1.0 {
        return String::from("less than a month old");
    }
    let (count, unit) = if months.round() < 24.0 {
        (months.round(), "month")
    } else {
        ((months / 12.0).round(), "year")
    };
    let plural = if count == 1.0 { "" } else { "s" };
    format!("{count:.0} {unit}{plural} old")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ages_in_words() {
        for (months, want) in [
            (0.4, "less than a month old"),
            (1.2, "1 month old"),
            (23.4, "23 months old"),
            (23.9, "2 years old"),
            (30.1, "3 years old"),
        ] {
            assert_eq!(months_old(months), want);
        }
    }
}
