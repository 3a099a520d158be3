//! What the eye loses with the years, beside its shrinking pupil.
//!
//! Jackson & Owsley 2000, "Scotopic sensitivity during adulthood", Vision Research 40, 2467: 94 people from their
//! twenties to their eighties, healthy eyes, optics and lens taken out; the loss is a straight line in the logarithm.

/// Of night vision, powers of ten a decade of years.
const NIGHT_DEX_PER_DECADE: f64 = 0.08;

/// Of day vision, powers of ten a decade of years.
const DAY_DEX_PER_DECADE: f64 = 0.04;

/// Age at which published field factors hold: what they add to the thresholds of laboratories was found with observers of
/// about forty. From memory.
const REFERENCE_YEARS: f64 = 40.0;

/// The study begins with people in their twenties; younger ones count as these.
const YOUNGEST_YEARS: f64 = 20.0;

/// The thresholds of night vision at that age over those at forty: 0.7 at twenty, 1.5 at sixty, 2.1 at eighty.
pub fn night_loss(age_years: f64) -> f64 {
    loss(age_years, NIGHT_DEX_PER_DECADE)
}

/// The same of day vision: 0.8 at twenty, 1.2 at sixty.
pub fn day_loss(age_years: f64) -> f64 {
    loss(age_years, DAY_DEX_PER_DECADE)
}

fn loss(age_years: f64, dex_per_decade: f64) -> f64 {
    let decades = (age_years.max(YOUNGEST_YEARS) - REFERENCE_YEARS) / 10.0;
    10f64.powf(dex_per_decade * decades)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_a_dex_in_a_life() {
        // "About a half log unit" from young to old adults, the same authors; their line from the twenties to the eighties.
        let dex = (night_loss(85.0) / night_loss(25.0)).log10();
        assert!((dex - 0.5).abs() < 0.05, "{dex}");
        assert_eq!(night_loss(12.0), night_loss(20.0));
        assert_eq!((night_loss(40.0), day_loss(40.0)), (1.0, 1.0));
    }
}
