//! The stars of the zodiac: every one bright enough for a small telescope that the Moon can cover.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::sky::stars::CatalogueStar;
use crate::tables;

/// A star near the ecliptic.
#[derive(Debug, Clone, PartialEq)]
pub struct ZodiacStar {
    /// Number in the Hipparcos catalogue.
    pub hip: u32,
    /// Its own name, for the few that have one in common use: `Aldebaran`.
    pub proper_name: Option<String>,
    /// `alpha Tauri`, `37 Tauri`, `HIP 78650`.
    pub designation: String,
    /// V.
    pub magnitude: f64,
    /// Where it is and how it moves.
    pub place: CatalogueStar,
}

impl ZodiacStar {
    /// The name to call it by: its own, or the designation.
    pub fn name(&self) -> &str {
        self.proper_name.as_deref().unwrap_or(&self.designation)
    }
}

/// All stars to V = 5.0 within 7 degrees of the ecliptic, by right ascension.
pub fn zodiac_stars() -> &'static [ZodiacStar] {
    static STARS: LazyLock<Vec<ZodiacStar>> = LazyLock::new(|| {
        let rows = tables::rows(include_str!("../../data/zodiac_stars.csv"));
        rows.into_iter().map(star_of).collect()
    });
    &STARS
}

/// One row of data/zodiac_stars.csv.
#[derive(Deserialize)]
struct StarRow {
    hip: u32,
    name: Option<String>,
    designation: String,
    right_ascension_deg: f64,
    declination_deg: f64,
    proper_motion_ra_mas_yr: f64,
    proper_motion_dec_mas_yr: f64,
    parallax_mas: f64,
    magnitude: f64,
}

fn star_of(row: StarRow) -> ZodiacStar {
    ZodiacStar {
        hip: row.hip,
        proper_name: row.name,
        designation: row.designation,
        magnitude: row.magnitude,
        place: CatalogueStar {
            right_ascension_deg: row.right_ascension_deg,
            declination_deg: row.declination_deg,
            proper_motion_ra_mas_yr: row.proper_motion_ra_mas_yr,
            proper_motion_dec_mas_yr: row.proper_motion_dec_mas_yr,
            parallax_mas: row.parallax_mas,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::constants::ARCSEC_PER_RAD;
    use crate::sky::vector::{angle_rad, direction};

    #[test]
    fn every_star_is_in_range() {
        let stars = zodiac_stars();
        assert_eq!(stars.len(), 203);
        for star in stars {
            let place = star.place;
            assert!(
                (0.5..=5.0).contains(&star.magnitude)
                    && (0.0..360.0).contains(&place.right_ascension_deg)
                    && place.declination_deg.abs() < 31.0
                    && (0.0..200.0).contains(&place.parallax_mas)
                    && !star.name().is_empty(),
                "{star:?}"
            );
        }
        let ascending = stars
            .windows(2)
            .all(|two| two[0].place.right_ascension_deg < two[1].place.right_ascension_deg);
        assert!(ascending, "sorted by right ascension");
    }

    /// Places of another catalogue: FK5, epoch and equinox J2000.0, from memory, to 0.01 s and 0.1"; FK5 lies
    /// within 0.05" of ICRS. Magnitudes as every handbook has them.
    #[track_caller]
    fn check(name: &str, (h, m, s): (f64, f64, f64), (d, arcmin, arcsec): (f64, f64, f64), v: f64) {
        let star = zodiac_stars()
            .iter()
            .find(|star| star.name() == name)
            .unwrap_or_else(|| panic!("{name} is missing"));
        let want_declination_deg = d + (arcmin / 60.0 + arcsec / 3600.0).copysign(d);
        let want = direction(15.0 * (h + m / 60.0 + s / 3600.0), want_declination_deg);
        let got = direction(star.place.right_ascension_deg, star.place.declination_deg);
        let off_arcsec = angle_rad(got, want) * ARCSEC_PER_RAD;
        assert!(off_arcsec < 0.2, "{name}: {off_arcsec}\" off");
        assert!((star.magnitude - v).abs() < 0.05, "{name}: {star:?}");
    }

    #[test]
    fn bright_stars_stand_where_they_should() {
        check("Aldebaran", (4.0, 35.0, 55.24), (16.0, 30.0, 33.5), 0.86);
        check("Regulus", (10.0, 8.0, 22.31), (11.0, 58.0, 1.9), 1.36);
        check("Spica", (13.0, 25.0, 11.58), (-11.0, 9.0, 40.8), 0.98);
        check("Antares", (16.0, 29.0, 24.46), (-26.0, 25.0, 55.2), 1.06);
        check("Alcyone", (3.0, 47.0, 29.08), (24.0, 6.0, 18.5), 2.87);
    }
}
