//! The pupil of the eye, by light and age.
//!
//! Sources: Watson & Yellott 2012 (unified formula); Schaefer 1990 (dark-adapted, by age).

use crate::eye::Eyes;

/// What the eye looks at, and whose eye it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LitField {
    /// Mean luminance of the field.
    pub luminance_cd_m2: f64,
    /// Area of the field, square degrees.
    pub area_deg2: f64,
    /// Of the observer; the formula was fitted from 20 to 83 years, and ages beyond count as these.
    pub age_years: f64,
    /// One eye alone opens as if the field were ten times dimmer.
    pub eyes: Eyes,
}

/// Age for which Watson & Yellott's formula needs no correction, years.
const REFERENCE_AGE_YEARS: f64 = 28.58;

/// Diameter of the pupil, mm.
///
/// Watson & Yellott 2012, unified formula (Stanley & Davies 1995 with their own correction for
/// age). Individuals scatter by about a millimetre.
pub fn pupil_mm(field: &LitField) -> f64 {
    let attenuation = match field.eyes {
        Eyes::One => 0.1,
        Eyes::Two => 1.0,
    };
    let flux = (field.luminance_cd_m2 * field.area_deg2 * attenuation / 846.0).powf(0.41);
    let young_mm = 7.75 - 5.75 * flux / (flux + 2.0);
    let age = field.age_years.clamp(20.0, 83.0);
    young_mm + (age - REFERENCE_AGE_YEARS) * (0.021323 - 0.0095623 * young_mm)
}

/// Pupil of the young eyes whose thresholds are published: the eye to which the light of every other is referred, mm.
pub const REFERENCE_PUPIL_MM: f64 = 7.0;

/// Diameter of the dark-adapted pupil, mm: 7 mm in youth, 5.8 at sixty.
///
/// Schaefer 1990. Individuals scatter by about a millimetre.
pub fn dark_adapted_pupil_mm(age_years: f64) -> f64 {
    REFERENCE_PUPIL_MM * (-0.5 * (age_years / 100.0).powi(2)).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(field: &LitField, want_mm: f64, tolerance_mm: f64) {
        let got = pupil_mm(field);
        assert!(
            (got - want_mm).abs() <= tolerance_mm,
            "{field:?}: want {want_mm}, got {got}"
        );
    }

    const FIELD: LitField = LitField {
        luminance_cd_m2: 1.0,
        area_deg2: 900.0,
        age_years: 45.0,
        eyes: Eyes::Two,
    };

    #[test]
    fn pupil_as_watson_and_yellott() {
        check(&FIELD, 5.240, 5e-4); // an independent evaluation of the published formula
        // The formula's own ends at the reference age: 7.75 mm in darkness, 2 mm in glare.
        let young = LitField {
            age_years: REFERENCE_AGE_YEARS,
            ..FIELD
        };
        check(
            &LitField {
                luminance_cd_m2: 0.0,
                ..young
            },
            7.75,
            5e-3,
        );
        check(
            &LitField {
                luminance_cd_m2: 1e9,
                ..young
            },
            2.0,
            0.05,
        );
    }

    #[test]
    fn one_eye_opens_wider() {
        assert!(
            pupil_mm(&LitField {
                eyes: Eyes::One,
                ..FIELD
            }) > pupil_mm(&FIELD)
        );
    }

    #[test]
    fn the_two_sources_agree_in_the_dark() {
        // Both state a scatter between people of about a millimetre.
        for age_years in [40.0, 50.0, 60.0, 70.0, 80.0] {
            let field = LitField {
                luminance_cd_m2: 0.0,
                age_years,
                ..FIELD
            };
            check(&field, dark_adapted_pupil_mm(age_years), 1.0);
        }
    }
}
