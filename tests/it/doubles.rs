//! Double stars: the model of splitting against published limits and against itself; the table
//! against catalogues and their ephemeris.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::support::{number, rows};
use proptest::prelude::*;
use skyworthy::optics::mtf::Mtf;
use skyworthy::optics::pupil::BestFocus;
use skyworthy::optics::wave::StarImage;
use skyworthy::optics::wavefront::Wavefront;
use skyworthy::targets::chain::{Chain, Links};
use skyworthy::targets::doubles::{Placement, Separation, double, doubles};
use skyworthy::targets::grade::PLAIN_FROM;
use skyworthy::targets::sight::{Sight, Today};

// ---- Telescopes and pairs to try things with

/// A perfect, unobstructed mirror with a full set of eyepieces, looking up at a dark zenith.
fn links(aperture_mm: f64, seeing_arcsec: f64) -> Links {
    let exit_pupils_mm = (0..16).map(|idx| 6.0 * 0.83f64.powi(idx));
    Links {
        aperture_mm,
        obstruction: 0.0,
        mtf: Mtf::annular(0.0),
        transmission: 0.8,
        magnifications: exit_pupils_mm.map(|mm| aperture_mm / mm).collect(),
        seeing_zenith_arcsec: seeing_arcsec,
        airmass: 1.0,
        extinction_mag_airmass: 0.2,
        sky_brightness_mag_arcsec2: 21.0,
        age_years: 35.0,
        figure_blur_arcsec: 0.0,
    }
}

/// Air that does nothing.
const STILL_ARCSEC: f64 = 0.01;

#[derive(Debug, Clone, Copy)]
struct Pair {
    separation_arcsec: f64,
    magnitude_a: f64,
    magnitude_b: f64,
}

impl Pair {
    fn seen(&self, links: &Links) -> f64 {
        self.through(&Chain::new(links.clone()))
    }

    fn through(&self, chain: &Chain) -> f64 {
        let sight = Sight::Pair {
            separation_arcsec: self.separation_arcsec,
            magnitude_a: self.magnitude_a,
            magnitude_b: self.magnitude_b,
        };
        chain.best_visibility(&Today::alone(sight), None)
    }
}

/// Closest separation at which a pair reaches that visibility, arcseconds.
fn limit_arcsec(chain: &Chain, magnitudes: (f64, f64), visibility: f64) -> f64 {
    let (mut close, mut wide): (f64, f64) = (0.01, 200.0);
    while wide / close > 1.0001 {
        let separation_arcsec = (close * wide).sqrt();
        let pair = Pair {
            separation_arcsec,
            magnitude_a: magnitudes.0,
            magnitude_b: magnitudes.1,
        };
        if pair.through(chain) < visibility {
            close = separation_arcsec
        } else {
            wide = separation_arcsec
        }
    }
    wide
}

// ---- The model against published limits

#[test]
fn equal_pairs_part_at_dawes_and_rayleigh() {
    // Dawes's 116/D" for a practised eye and Rayleigh's 138.4/D" for most people, each star as bright
    // in its telescope as Dawes's sixth magnitude in six inches. 10 % is the spread of Dawes's own
    // observers (handbook value). Nothing was fitted.
    for aperture_mm in [60.0, 80.0, 114.0, 150.0, 200.0, 300.0] {
        let chain = Chain::new(links(aperture_mm, STILL_ARCSEC));
        let scaled = 6.0 + 5.0 * (aperture_mm / 150.0).log10();
        let in_dawes = |magnitude: f64, visibility: f64| {
            limit_arcsec(&chain, (magnitude, magnitude), visibility) * aperture_mm / 116.0
        };
        let (practised, people) = (in_dawes(scaled, 1.0), in_dawes(scaled, 2.0));
        println!(
            "{aperture_mm} mm: {practised:.3} and {people:.3} of Dawes's limit; as bright as magnitude \
             6 + 6 at any aperture {:.3} and {:.3}",
            in_dawes(6.0, 1.0),
            in_dawes(6.0, 2.0)
        );
        assert!(
            (practised - 1.0).abs() < 0.1,
            "{aperture_mm} mm: {practised}"
        );
        assert!(
            (people * 116.0 / 138.4 - 1.0).abs() < 0.1,
            "{aperture_mm} mm: {people}"
        );
        // A sixth-magnitude pair in two inches is as dim as an eighth in five: Dawes, who had no such
        // term, is missed by 29 % at 60 mm and by 23 % at 300; his rule holds near six inches.
        if (100.0..160.0).contains(&aperture_mm) {
            let sixth = in_dawes(6.0, 1.0);
            assert!(
                (sixth - 1.0).abs() < 0.1,
                "{aperture_mm} mm, 6 + 6: {sixth}"
            );
        }
    }
}

#[test]
fn faint_and_unequal_pairs_as_lewis_found_them() {
    // T. Lewis 1914, means of the closest pairs that observers measured (from memory): separation
    // times aperture, arcseconds times mm, for mean magnitudes. His observers scatter by a factor of
    // two; practised ones are between a glimpse and a sure sight. Model in 1" air at 150 mm.
    let rows = [
        ((5.7, 6.4), 122.0),
        ((8.5, 9.1), 216.0),
        ((6.2, 9.5), 419.0),
        ((4.7, 10.4), 914.0),
    ];
    let chain = Chain::new(links(150.0, 1.0));
    let mut last = 0.0;
    for (magnitudes, lewis) in rows {
        let at = |visibility: f64| 150.0 * limit_arcsec(&chain, magnitudes, visibility);
        let (glimpse, people) = (at(1.0), at(2.0));
        println!("{magnitudes:?}: {glimpse:.0} at 1, {people:.0} at 2; Lewis {lewis}");
        assert!(
            glimpse < 2.0 * lewis,
            "{magnitudes:?}: {glimpse} for {lewis}"
        );
        assert!(lewis / 2.0 < people, "{magnitudes:?}: {people} for {lewis}");
        assert!(
            last < glimpse,
            "{magnitudes:?} is easier than the row before"
        );
        last = glimpse;
    }
}

#[test]
fn sirius_b_needs_steady_air() {
    // An independent prototype without the companion's speckles and dust gave, for 8.4 at 11" from
    // -1.46, margins of 1.12, 2.38 and 3.07 magnitudes at 114, 200 and 300 mm in 1" and 0.44, 1.32,
    // 1.77 in 3", and was called too lenient for that. Here: never easier, and gone in 3".
    let pair = Pair {
        separation_arcsec: 11.0,
        magnitude_a: -1.46,
        magnitude_b: 8.44,
    };
    for (aperture_mm, calm_mag) in [(114.0, 1.12), (200.0, 2.38), (300.0, 3.07)] {
        let margin_mag = |seeing| 2.5 * pair.seen(&links(aperture_mm, seeing)).log10();
        let (calm, rough) = (margin_mag(1.0), margin_mag(3.0));
        println!("Sirius B, {aperture_mm} mm: {calm:+.2} mag in 1\", {rough:+.2} in 3\"");
        assert!(
            0.0 < calm && calm < calm_mag,
            "{aperture_mm} mm, 1\": {calm}"
        );
        assert!(rough < 0.0, "{aperture_mm} mm, 3\": {rough}");
    }
}

#[test]
fn a_pair_is_no_jump_from_touching_to_clear() {
    // Through all separations in steps of 1 %: never more than a few per cent of visibility a step
    // once anything shows (a pair near its limit goes as the fourth power of separation).
    let chain = Chain::new(links(150.0, 1.5));
    for magnitude_b in [6.0, 8.0, 11.0] {
        let at = |step: i32| {
            let separation_arcsec = 0.3 * 1.01f64.powi(step);
            let (magnitude_a, magnitude_b) = (5.0, magnitude_b);
            let pair = Pair {
                separation_arcsec,
                magnitude_a,
                magnitude_b,
            };
            pair.through(&chain)
        };
        for step in 0..500 {
            let (here, next) = (at(step), at(step + 1));
            assert!(here <= next * (1.0 + 1e-9), "{magnitude_b}: {here}, {next}");
            assert!(
                next <= 1.08 * here,
                "{magnitude_b}, step {step}: {here}, {next}"
            );
        }
    }
}

fn any_pair() -> impl Strategy<Value = Pair> {
    (0.4..40.0f64, -1.0..8.0f64, 0.0..8.0f64).prop_map(
        |(separation_arcsec, magnitude_a, fainter)| Pair {
            separation_arcsec,
            magnitude_a,
            magnitude_b: magnitude_a + fainter,
        },
    )
}

fn any_links() -> impl Strategy<Value = Links> {
    let numbers = (
        60.0..400.0f64,
        0.0..0.35f64,
        0.5..4.0f64,
        1.0..3.0f64,
        17.0..21.8f64,
    );
    numbers.prop_map(|(aperture_mm, obstruction, seeing, airmass, sky)| Links {
        obstruction,
        mtf: Mtf::annular(obstruction),
        airmass,
        sky_brightness_mag_arcsec2: sky,
        ..links(aperture_mm, seeing)
    })
}

/// What mirrors with a fifth in the way keep: without error, and with a tenth of a wave RMS of
/// spherical aberration.
static FIGURES: LazyLock<[Mtf; 2]> = LazyLock::new(|| {
    [0.0, 55.0].map(|wavefront_rms_nm| {
        let wavefront = Wavefront::Balanced {
            wavefront_rms_nm,
            obstruction: 0.2,
        };
        StarImage::new(&wavefront, 0.2.into(), BestFocus::default()).photopic_mtf
    })
});

/// Arithmetic on a table of straight lines.
const ROUNDING: f64 = 1.0 + 1e-6;

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn farther_apart_never_hides(links in any_links(), pair in any_pair(), more in 1.0..3.0f64) {
        let wide = Pair { separation_arcsec: more * pair.separation_arcsec, ..pair };
        prop_assert!(pair.seen(&links) <= wide.seen(&links) * ROUNDING);
    }

    #[test]
    fn a_brighter_companion_never_hides(links in any_links(), pair in any_pair(), share in 0.0..1.0f64) {
        let magnitude_b = pair.magnitude_a + share * (pair.magnitude_b - pair.magnitude_a);
        let bright = Pair { magnitude_b, ..pair };
        prop_assert!(pair.seen(&links) <= bright.seen(&links) * ROUNDING);
    }

    #[test]
    fn which_is_called_first_does_not_matter(links in any_links(), pair in any_pair()) {
        let turned = Pair { magnitude_a: pair.magnitude_b, magnitude_b: pair.magnitude_a, ..pair };
        prop_assert_eq!(pair.seen(&links), turned.seen(&links));
    }

    #[test]
    fn more_aperture_never_hides(links in any_links(), pair in any_pair(), more in 1.0..2.0f64) {
        let magnifications = links.magnifications.iter().map(|times| more * times).collect();
        let large = Links { aperture_mm: more * links.aperture_mm, magnifications, ..links.clone() };
        prop_assert!(pair.seen(&links) <= pair.seen(&large) * 1.001);
    }

    #[test]
    fn steadier_and_less_air_never_hides(
        links in any_links(), pair in any_pair(), worse in 1.0..2.5f64, lower in 1.0..1.8f64,
    ) {
        let rough = Links { seeing_zenith_arcsec: worse * links.seeing_zenith_arcsec, ..links.clone() };
        let low = Links { airmass: lower * links.airmass, ..links.clone() };
        let here = pair.seen(&links) * ROUNDING;
        prop_assert!(pair.seen(&rough) <= here);
        prop_assert!(pair.seen(&low) <= here);
    }

    #[test]
    fn a_better_mirror_never_hides(links in any_links(), pair in any_pair()) {
        let with = |mtf: &Mtf| Links { obstruction: 0.2, mtf: mtf.clone(), ..links.clone() };
        let [perfect, tenth_wave] = &*FIGURES;
        prop_assert!(pair.seen(&with(tenth_wave)) <= pair.seen(&with(perfect)) * ROUNDING);
    }

    /// Up to what is plain: Crumey's curve dips where night vision hands over to day vision, under stars
    /// in bright glare that nobody could miss.
    #[test]
    fn a_darker_sky_never_hides(links in any_links(), pair in any_pair(), darker in 0.0..2.0f64) {
        let dark = Links {
            sky_brightness_mag_arcsec2: links.sky_brightness_mag_arcsec2 + darker,
            ..links.clone()
        };
        let up_to_plain = |links| pair.seen(links).min(PLAIN_FROM);
        prop_assert!(up_to_plain(&links) <= up_to_plain(&dark) * ROUNDING);
    }
}

// ---- Things that stand alone in the sky

#[test]
fn a_point_and_a_glow_may_stand_alone() {
    let chain = Chain::new(links(200.0, 2.0));
    let point = |magnitude| Sight::Point {
        magnitude,
        from_body_arcsec: 0.0,
    };
    let glow = |surface_brightness_mag_arcsec2| Sight::Glow {
        diameter_arcsec: 600.0,
        surface_brightness_mag_arcsec2,
    };
    let seen = |sight| chain.best_visibility(&Today::alone(sight), None);
    // Crumey's limit for most people at this aperture under 21 mag/arcsec² is near 14.0 at high power
    // (an independent evaluation of his equations: 14.1 at 21.5 and 14.0 at 20), and the air takes 0.2.
    assert!(seen(point(13.0)) > 2.0 && seen(point(14.5)) < 2.0);
    assert!(seen(glow(20.0)) > seen(glow(21.0)) && seen(glow(21.0)) > seen(glow(24.0)));
    assert!(seen(glow(21.0)) > 1.0 && seen(glow(28.0)) < 1.0);
}

// ---- The table

#[track_caller]
fn check_apart(id: &str, year: f64, want: Separation, tolerance_arcsec: f64, tolerance_deg: f64) {
    let got = double(id)
        .expect("a pair of the table")
        .separation_and_angle(year);
    let turned =
        (got.position_angle_deg - want.position_angle_deg + 540.0).rem_euclid(360.0) - 180.0;
    assert!(
        (got.separation_arcsec - want.separation_arcsec).abs() <= tolerance_arcsec
            && turned.abs() <= tolerance_deg,
        "{id}, {year}: want {want:?}, got {got:?}"
    );
}

#[test]
fn orbits_as_the_catalogues_own_ephemeris() {
    // USNO Sixth Orbit Catalog, ephemeris file of 2023: degrees, arcseconds at 2023.0 .. 2027.0. Its
    // angles are of the equinox of date: here from J2000 by 0.0056° sin α / cos δ a year.
    let rows = [
        (
            "alpha_cen",
            [
                (1.6, 7.451),
                (5.3, 8.109),
                (8.4, 8.731),
                (11.1, 9.296),
                (13.6, 9.781),
            ],
        ),
        (
            "xi_boo",
            [
                (292.8, 5.085),
                (291.3, 4.996),
                (289.7, 4.907),
                (288.1, 4.816),
                (286.4, 4.724),
            ],
        ),
    ];
    for (id, ephemeris) in rows {
        let pair = double(id).unwrap();
        let alpha = pair.right_ascension_deg.to_radians();
        let precession_deg = 0.00557 * alpha.sin() / pair.declination_deg.to_radians().cos();
        for (idx, (of_date_deg, separation_arcsec)) in ephemeris.into_iter().enumerate() {
            let year = 2023.0 + idx as f64;
            let position_angle_deg = of_date_deg - precession_deg * (year - 2000.0);
            let want = Separation {
                separation_arcsec,
                position_angle_deg,
            };
            // Half of the last digits; the angle's precession is good to 0.01°.
            check_apart(id, year, want, 0.0006, 0.06);
        }
    }
}

#[test]
fn orbits_as_computed_independently() {
    // The same elements of the Sixth Orbit Catalog through another program, 2027.0, angles J2000; it
    // was compared with the catalogue's ephemeris for ten pairs (within 0.005" and 0.3°).
    let rows = [
        ("epsilon1_lyr", 2.01, 341.5),
        ("epsilon2_lyr", 2.42, 71.5),
        ("gamma_leo", 4.77, 128.0),
        ("gamma_vir", 3.66, 350.1),
        ("castor", 5.77, 48.8),
        ("eta_cas", 13.58, 329.3),
        ("alpha_her", 4.64, 102.0),
        ("61_cyg", 32.18, 154.4),
        ("zeta_cnc", 6.35, 61.9),
        ("xi_uma", 2.74, 131.1),
        ("36_oph", 5.17, 136.9),
        ("70_oph", 6.72, 115.9),
        ("mu_dra", 2.67, 352.0),
        ("delta_cyg", 2.83, 212.0),
        ("zeta_aqr", 2.48, 150.1),
        ("alpha_psc", 1.85, 255.8),
        ("alpha_cen", 9.78, 13.8),
    ];
    for (id, separation_arcsec, position_angle_deg) in rows {
        let want = Separation {
            separation_arcsec,
            position_angle_deg,
        };
        check_apart(id, 2027.0, want, 0.0051, 0.051);
    }
}

#[test]
fn sirius_b_where_it_was_seen() {
    // Handbook values, from memory: closest in 1993 with 2.5", widest about 2022 with 11.3".
    let apart = |year| double("sirius").unwrap().separation_and_angle(year);
    assert!((apart(1993.5).separation_arcsec - 2.5).abs() <= 0.05);
    assert!((apart(2022.0).separation_arcsec - 11.3).abs() <= 0.05);
}

/// Right ascension and declination, degrees, against those of a pair, arcseconds.
fn off_arcsec(place: (f64, f64), want: (f64, f64)) -> f64 {
    let parallel = want.1.to_radians().cos();
    let east = ((place.0 - want.0 + 540.0).rem_euclid(360.0) - 180.0) * parallel;
    3600.0 * east.hypot(place.1 - want.1)
}

#[test]
fn places_as_hipparcos() {
    let table = include_str!("../reference/doubles.tsv");
    let rows: BTreeMap<&str, Vec<f64>> = rows(table)
        .map(|cells| {
            (
                cells[0],
                cells[1..].iter().map(|cell| number(cell)).collect(),
            )
        })
        .collect();
    let mut n_compared = 0;
    for pair in doubles() {
        let Some(row) = rows.get(pair.id.as_str()) else {
            assert_eq!(pair.id, "xi_uma", "not in the fixture");
            continue;
        };
        // The table's places were taken from this catalogue, rounded: half of its last digit each way.
        let off = off_arcsec(
            (pair.right_ascension_deg, pair.declination_deg),
            (row[1], row[2]),
        );
        assert!(off <= 0.26, "{}: {off} arcsec", pair.id);
        let motion = pair.motion.expect("Hipparcos has its motion");
        assert!((motion.east_mas_yr - row[3]).abs() <= 0.51, "{}", pair.id);
        assert!((motion.north_mas_yr - row[4]).abs() <= 0.51, "{}", pair.id);
        n_compared += 1;
    }
    assert_eq!(n_compared, rows.len());
}

#[test]
fn places_as_the_orbit_catalogue_has_them() {
    // Its right ascensions and declinations (J2000), typed; of the pair or of its brighter star, some
    // from old positions: 4" for pairs that move.
    let rows = [
        ("eta_cas", (0, 49, 6.29), (57, 48, 54.7)),
        ("alpha_psc", (2, 2, 2.80), (2, 45, 49.4)),
        ("sirius", (6, 45, 8.92), (-16, 42, 58.0)),
        ("castor", (7, 34, 35.86), (31, 53, 17.8)),
        ("zeta_cnc", (8, 12, 12.79), (17, 38, 51.2)),
        ("gamma_leo", (10, 19, 58.35), (19, 50, 29.4)),
        ("xi_uma", (11, 18, 10.90), (31, 31, 45.0)),
        ("gamma_vir", (12, 41, 39.60), (-1, 26, 57.9)),
        ("alpha_cen", (14, 39, 36.50), (-60, 50, 2.3)),
        ("mu_dra", (17, 5, 20.20), (54, 28, 14.3)),
        ("70_oph", (18, 5, 27.37), (2, 29, 59.3)),
        ("epsilon1_lyr", (18, 44, 20.34), (39, 40, 12.4)),
        ("delta_cyg", (19, 44, 58.44), (45, 7, 50.5)),
        ("61_cyg", (21, 6, 53.95), (38, 44, 57.9)),
        ("zeta_aqr", (22, 28, 49.81), (0, -1, -12.2)),
    ];
    for (id, (h, m, s), (d, minutes, seconds)) in rows {
        let sign = if d < 0 { -1.0 } else { 1.0 };
        let want = (
            15.0 * (f64::from(h) + f64::from(m) / 60.0 + s / 3600.0),
            f64::from(d) + sign * (f64::from(minutes) / 60.0 + seconds / 3600.0),
        );
        let pair = double(id).unwrap();
        let off = off_arcsec((pair.right_ascension_deg, pair.declination_deg), want);
        assert!(off <= 4.0, "{id}: {off:.2} arcsec");
    }
}

#[test]
fn something_for_every_season_and_hemisphere() {
    for hours in 0..8 {
        let near = |pair: &&skyworthy::targets::doubles::Double| {
            (pair.right_ascension_deg / 45.0) as i32 == hours
        };
        assert!(
            3 <= doubles().iter().filter(near).count(),
            "from {} h",
            3 * hours
        );
    }
    let south = doubles()
        .iter()
        .filter(|pair| pair.declination_deg < -20.0)
        .count();
    assert!(6 <= south, "{south} in the south");
    let orbits = doubles()
        .iter()
        .filter(|pair| matches!(pair.placement, Placement::Orbit(_)))
        .count();
    assert!(50 <= doubles().len() && 20 <= orbits, "{orbits} orbits");
}

#[test]
fn a_pair_shines_as_both_its_stars() {
    // Castor, 1.93 and 2.97: 1.58 together, as catalogues have it.
    let castor = double("castor").unwrap();
    assert!((castor.total_magnitude() - 1.58).abs() < 0.005);
    let Sight::Pair {
        separation_arcsec, ..
    } = castor.sight(2027.0)
    else {
        panic!("a pair is a pair");
    };
    assert!((separation_arcsec - 5.77).abs() < 0.005);
}
