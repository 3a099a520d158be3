//! How far away the doubles, clusters, nebulae and galaxies are, and what follows from it: how large they are.
//!
//! One row a target in `data/distances.csv`, whose head tells where the figures come from.

use std::sync::LazyLock;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use crate::constants::{AU_KM, JULIAN_YEAR_DAYS, SECONDS_PER_DAY, SPEED_OF_LIGHT_KM_S};
use crate::tables;
use crate::targets::deep_sky::DeepSky;
use crate::targets::doubles::Double;
use crate::units::{ARCMIN_PER_DEG, ARCSEC_PER_DEG};

/// By definition; of the Julian year, as the IAU has it.
const LIGHT_YEAR_AU: f64 = SPEED_OF_LIGHT_KM_S * SECONDS_PER_DAY * JULIAN_YEAR_DAYS / AU_KM;

/// Distance of the target of that id, light years, to the digits that are known; `None` where it is not, and for whatever is
/// nearer than the stars.
pub fn distance_ly(id: &str) -> Option<f64> {
    row(id)?.distance_ly
}

/// How far apart the stars of a pair are as we see it, in distances from Earth to Sun: in space they are that far apart or farther.
/// `None` where the distance is not known, or not known to be that of both stars.
pub fn gap_au(double: &Double, separation_arcsec: f64) -> Option<f64> {
    let row = row(&double.id)?;
    let together = row.companion == Some(Companion::Together);
    let distance_ly = row.distance_ly.filter(|_| together)?;
    Some(distance_ly * LIGHT_YEAR_AU * (separation_arcsec / ARCSEC_PER_DEG).to_radians().tan())
}

/// How large a cluster, nebula or galaxy is, light years along the long axis of its catalogue outline.
pub fn extent_ly(object: &DeepSky) -> Option<f64> {
    let half_angle_rad = (object.outline.major_arcmin / ARCMIN_PER_DEG / 2.0).to_radians();
    Some(2.0 * distance_ly(&object.id)? * half_angle_rad.tan())
}

/// What the program uses of a row; errors and sources are for whoever reads the table, and for the tests.
#[derive(Debug, Deserialize)]
struct DistanceRow {
    id: String,
    distance_ly: Option<f64>,
    companion: Option<Companion>,
}

/// How the second star of a double stands to the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Companion {
    /// At one distance, known or commonly taken to be.
    Together,
    /// Behind each other by chance.
    Chance,
    /// Not settled.
    Disputed,
}

fn row(id: &str) -> Option<&'static DistanceRow> {
    static ROWS: LazyLock<Vec<DistanceRow>> = LazyLock::new(rows);
    ROWS.iter().find(|row| row.id == id)
}

fn rows<R: DeserializeOwned>() -> Vec<R> {
    tables::rows(include_str!("../../data/distances.csv"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::targets::beyond::{Beyond, beyond};
    use crate::targets::deep_sky::{DeepSkyKind, deep_sky_object};
    use crate::targets::doubles::double;

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct WholeRow {
        id: String,
        distance_ly: Option<f64>,
        error_percent: Option<f64>,
        companion: Option<Companion>,
        basis: String,
        companion_basis: String,
    }

    #[test]
    fn one_row_a_target() {
        let rows = rows::<WholeRow>().into_iter();
        let mut ids: Vec<String> = rows.map(|row| row.id).collect();
        let mut targets: Vec<_> = beyond().map(|there| there.id().to_string()).collect();
        ids.sort_unstable();
        targets.sort_unstable();
        assert_eq!(ids, targets);
    }

    #[test]
    fn every_row_says_where_it_comes_from() {
        for row in rows::<WholeRow>() {
            let id = &row.id;
            let starts: &[&str] = match (row.distance_ly, row.error_percent) {
                (Some(_), Some(_)) => &["published: ", "computed: "],
                (Some(_), None) => &["from memory: "],
                (None, None) => &["not known: "],
                (None, Some(_)) => panic!("{id}: an error without a distance"),
            };
            let is_told =
                |basis: &str, starts: &[&str]| starts.iter().any(|s| basis.starts_with(s));
            assert!(is_told(&row.basis, starts), "{id}: {}", row.basis);
            assert!(
                row.distance_ly.is_none_or(|ly| (4.0..1e8).contains(&ly)),
                "{id}"
            );
            assert!(
                row.error_percent.is_none_or(|e| (0.0..15.0).contains(&e)),
                "{id}"
            );
            let starts = ["published: ", "computed: ", "from memory: "];
            let is_double = double(id).is_some();
            assert_eq!(row.companion.is_some(), is_double, "{id}");
            assert_eq!(is_told(&row.companion_basis, &starts), is_double, "{id}");
        }
    }

    /// Where the kind of target puts it: stars one can see one by one, our own galaxy, other galaxies.
    #[test]
    fn every_distance_is_of_its_kind() {
        for there in beyond() {
            let Some(ly) = distance_ly(there.id()) else {
                continue;
            };
            let range = match there {
                Beyond::Double(_) => 4.0..2_000.0,
                Beyond::DeepSky(object) => match object.kind {
                    DeepSkyKind::OpenCluster => 400.0..10_000.0,
                    DeepSkyKind::Globular => 6_000.0..40_000.0,
                    DeepSkyKind::Planetary => 600.0..10_000.0,
                    DeepSkyKind::Nebula => 1_000.0..170_000.0,
                    DeepSkyKind::Galaxy => 2e6..4e7,
                },
            };
            assert!(range.contains(&ly), "{}: {ly}", there.id());
        }
    }

    #[track_caller]
    fn check(id: &str, want_ly: f64, tolerance_percent: f64) {
        let got = distance_ly(id).unwrap_or_else(|| panic!("{id} has no distance"));
        let off_percent = 100.0 * (got / want_ly - 1.0).abs();
        assert!(
            off_percent <= tolerance_percent,
            "{id}: want {want_ly} ± {tolerance_percent} %, got {got}"
        );
    }

    /// By other roads than the table's own, typed from memory of the papers; a tolerance is both sources' errors and our rounding.
    #[test]
    fn as_published_by_other_roads() {
        let of_mas = |parallax_mas: f64| 3261.564 / parallax_mas;
        let of_kpc = |kpc: f64| 3261.564 * kpc;
        check("61_cyg", of_mas(285.995), 0.6); // Gaia DR3 2022, the fainter star
        check("alpha_cen", of_mas(750.81), 1.2); // Akeson et al. 2021, orbit and radio astrometry
        check("sirius", of_mas(380.02), 0.6); // van Altena et al. 1995, from the ground
        check("mizar", of_mas(39.4), 5.0); // Hummel et al. 1998, interferometric orbit
        check("gamma_vel", of_kpc(0.336), 4.0); // North et al. 2007, interferometric orbit
        check("sigma_ori", of_kpc(0.3875), 4.0); // Schaefer et al. 2016, interferometric orbit
        check("m45", of_kpc(0.1362), 1.5); // Melis et al. 2014, radio parallaxes
        check("ngc869", of_kpc(2.34), 5.0); // Currie et al. 2010, main sequence
        check("m13", of_kpc(7.42), 8.0); // Baumgardt & Vasiliev 2021
        check("ngc104", of_kpc(4.52), 5.0); // Baumgardt & Vasiliev 2021
        check("ngc5139", of_kpc(5.43), 8.0); // Baumgardt & Vasiliev 2021
        check("m42", of_kpc(0.414), 5.0); // Menten et al. 2007, radio parallaxes
        check("ngc2070", of_kpc(49.59), 2.0); // Pietrzynski et al. 2019, eclipsing stars
        check("m31", of_kpc(761.0), 3.0); // Li et al. 2021, Cepheids
        check("m81", of_kpc(3630.0), 5.0); // Freedman et al. 2001, Cepheids
        check("m51", of_kpc(8580.0), 5.0); // McQuinn et al. 2016, tip of the giants
        check("m104", of_kpc(9550.0), 5.0); // McQuinn et al. 2016, tip of the giants
    }

    #[test]
    fn unknown_is_not_guessed() {
        assert_eq!(distance_ly("24_com"), None);
        assert_eq!(distance_ly("moon"), None);
    }

    #[test]
    fn a_gap_is_an_angle_times_a_distance() {
        // By definition of the parsec: one arcsecond at 3.2616 light years is one Earth-Sun distance. 61 Cygni: 11.4 ly, 31.5".
        let au = gap_au(double("61_cyg").unwrap(), 31.5).unwrap();
        assert!((au - 31.5 * 11.4 / 3.261564).abs() < 0.01, "{au}");
        // Nothing is said of a gap between stars that may stand far behind each other.
        for id in ["albireo", "h3945_cma", "24_com"] {
            assert_eq!(gap_au(double(id).unwrap(), 30.0), None, "{id}");
        }
    }

    #[test]
    fn extents_by_hand() {
        // Small angles: arcminutes over 3438 times the distance.
        let extent = |id| extent_ly(deep_sky_object(id).unwrap()).unwrap();
        for (id, want) in [
            ("m45", 110.0 / 3437.75 * 440.0),
            ("m13", 16.5 / 3437.75 * 23_000.0),
            ("m31", 177.83 / 3437.75 * 2.5e6),
        ] {
            assert!((extent(id) / want - 1.0).abs() < 1e-3, "{id}: {want}");
        }
    }
}
