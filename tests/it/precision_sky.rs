//! astro-float as the judge of time and rotation: what is left of a double after a century.
//!
//! Every limit is a sum of roundings: a double of size s is off by half a unit in its last place,
//! s/2^53 at most; each operation named adds one such half unit of its result.

use astro_float::{BigFloat, Consts, Radix, RoundingMode};
use chrono::{DateTime, Utc};
use skyworthy::sky::Body;
use skyworthy::sky::earth::rotation_angle_rad;
use skyworthy::sky::ephemeris::{FIRST_TDB_DAYS, LAST_TDB_DAYS};
use skyworthy::sky::rotation::rotation;
use skyworthy::sky::time::{utc_days, utc_from_utc_days};
use skyworthy::sky::vector::{Vec3, angle_rad, direction};

const BITS: usize = 192;
const ROUND: RoundingMode = RoundingMode::ToEven;

/// Half a unit in the last place of doubles just below the power of two at or above `size`.
fn half_unit(size: f64) -> f64 {
    size.log2().ceil().exp2() * f64::EPSILON / 4.0
}

/// The farthest instant, days from J2000.0, at the end of 2100.
const FARTHEST_DAYS: f64 = LAST_TDB_DAYS;

/// Arithmetic in 192 bits, and the way in and out.
struct Judge {
    consts: Consts,
}

impl Judge {
    fn new() -> Self {
        Judge {
            consts: Consts::new().expect("memory for a few constants"),
        }
    }

    /// A number as printed in the source, not its binary neighbour.
    fn decimal(&mut self, text: &str) -> BigFloat {
        let number = BigFloat::parse(text, Radix::Dec, BITS, ROUND, &mut self.consts);
        assert!(!number.is_nan(), "{text} is not a number");
        number
    }

    fn double(&mut self, number: &BigFloat) -> f64 {
        let text = number
            .format(Radix::Dec, ROUND, &mut self.consts)
            .expect("a finite number");
        text.parse().expect("a number as a double reads it")
    }

    /// `at_epoch + rate * days`, in whole turns of `turn`, less `got`, the short way round.
    fn turn_error(&mut self, forms: [&str; 3], days: f64, got: f64) -> f64 {
        let [at_epoch, rate, turn] = forms.map(|text| self.decimal(text));
        let exact = at_epoch.add(
            &rate.mul(&BigFloat::from_f64(days, BITS), BITS, ROUND),
            BITS,
            ROUND,
        );
        let gap = exact.sub(&BigFloat::from_f64(got, BITS), BITS, ROUND);
        let half = BigFloat::from_f64(0.5, BITS);
        let turns = gap.div(&turn, BITS, ROUND);
        let whole = turns.add(&half, BITS, ROUND).floor();
        let rest = turns.sub(&whole, BITS, ROUND).mul(&turn, BITS, ROUND);
        self.double(&rest).abs()
    }

    /// Angle below 90 degrees between two vectors exactly as given.
    fn angle_rad(&mut self, a: Vec3, b: Vec3) -> BigFloat {
        let [a, b] = [a, b].map(|v| v.map(|x| BigFloat::from_f64(x, BITS)));
        let product = |x: &BigFloat, y: &BigFloat| x.mul(y, BITS, ROUND);
        let sum = |x: &BigFloat, y: &BigFloat| x.add(y, BITS, ROUND);
        let mut squares = BigFloat::new(BITS);
        let mut scalar = BigFloat::new(BITS);
        for i in 0..3 {
            let (j, k) = ((i + 1) % 3, (i + 2) % 3);
            let part = product(&a[j], &b[k]).sub(&product(&a[k], &b[j]), BITS, ROUND);
            squares = sum(&squares, &product(&part, &part));
            scalar = sum(&scalar, &product(&a[i], &b[i]));
        }
        let tangent = squares.sqrt(BITS, ROUND).div(&scalar, BITS, ROUND);
        tangent.atan(BITS, ROUND, &mut self.consts)
    }
}

/// Days of the ephemeris, none of them round.
fn days() -> impl Iterator<Item = f64> {
    let span = LAST_TDB_DAYS - FIRST_TDB_DAYS;
    (0..2000).map(move |idx| FIRST_TDB_DAYS + span * (f64::from(idx) * 0.618_033_988_7).fract())
}

#[test]
fn earth_rotation_angle_keeps_thirteen_digits_over_150_years() {
    // Formula: IERS Conventions 2010, eq. 5.15, in turns.
    const FORM: [&str; 3] = ["0.7790572732640", "1.00273781191135448", "1"];
    // The part beyond one turn a day reaches 102 turns: both constants' own rounding, the product's, the
    // sum's. Then the sum of two fractions below 2, and two pi multiplied in and divided out again.
    let constants = half_unit(0.8) + FARTHEST_DAYS * half_unit(0.002_74);
    let limit_turns = constants + 2.0 * half_unit(102.0) + 4.0 * half_unit(2.0);
    let mut judge = Judge::new();
    let mut worst = 0f64;
    for ut1_days in days() {
        let got_turns = rotation_angle_rad(ut1_days) / std::f64::consts::TAU;
        worst = worst.max(judge.turn_error(FORM, ut1_days, got_turns));
    }
    println!("Earth rotation angle: worst {worst:.2e} of a turn, derived limit {limit_turns:.2e}");
    assert!(worst <= limit_turns, "{worst:e} > {limit_turns:e}");
    // Thirteen digits of a turn, 0.03 microarcseconds; the double that holds the instant is the coarser.
    assert!(limit_turns < 1e-13);
    assert!(limit_turns < half_unit(FARTHEST_DAYS));
}

/// Seconds of UTC from J2000.0, in days, exactly.
fn exact_days(judge: &mut Judge, utc: DateTime<Utc>) -> BigFloat {
    // 2000-01-01T12:00:00Z on the Unix clock.
    let whole_s = BigFloat::from_i64(utc.timestamp() - 946_728_000, BITS);
    let nanoseconds = BigFloat::from_u32(utc.timestamp_subsec_nanos(), BITS);
    let rest_s = nanoseconds.mul(&judge.decimal("1e-9"), BITS, ROUND);
    let day_s = BigFloat::from_u32(86_400, BITS);
    whole_s.add(&rest_s, BITS, ROUND).div(&day_s, BITS, ROUND)
}

/// What [`utc_days`] may lose: the nanoseconds' product and factor, the sum to seconds of the day, the
/// division by 86,400, the sum with the whole days.
fn utc_days_limit() -> f64 {
    let seconds = 2.0 * half_unit(1.0) + half_unit(86_400.0);
    seconds / 86_400.0 + half_unit(1.0) + half_unit(FARTHEST_DAYS)
}

#[test]
fn instants_keep_a_third_of_a_microsecond() {
    let limit_days = utc_days_limit();
    let mut judge = Judge::new();
    let mut worst = 0f64;
    for days in days() {
        let nanoseconds = (days * 86_400e9) as i64 + 946_728_000_000_000_000;
        let utc = DateTime::from_timestamp_nanos(nanoseconds);
        let exact = exact_days(&mut judge, utc);
        let got = BigFloat::from_f64(utc_days(utc), BITS);
        let gap = judge.double(&exact.sub(&got, BITS, ROUND));
        worst = worst.max(gap.abs());
    }
    let as_us = |days: f64| days * 86_400e6;
    println!(
        "days of UTC: worst {:.3} us, derived limit {:.3} us",
        as_us(worst),
        as_us(limit_days)
    );
    assert!(worst <= limit_days, "{worst:e} > {limit_days:e}");
    assert!(as_us(limit_days) < 1.0 / 3.0);
}

#[test]
fn a_millisecond_survives_the_way_to_days_and_back() {
    // Milliseconds on the way back: the days' own error, then two products.
    let seconds = FARTHEST_DAYS * 86_400.0;
    let limit_ms =
        utc_days_limit() * 86_400e3 + half_unit(seconds) * 1e3 + half_unit(seconds * 1e3);
    assert!(limit_ms < 0.5, "rounding would go astray: {limit_ms} ms");
    for days in days() {
        let milliseconds = (days * 86_400e3) as i64 + 946_728_000_000;
        let utc = DateTime::from_timestamp_millis(milliseconds).expect("in range");
        assert_eq!(utc_from_utc_days(utc_days(utc)), Some(utc));
    }
}

#[test]
fn days_become_the_nearest_millisecond() {
    let seconds = FARTHEST_DAYS * 86_400.0;
    let limit_ms = 0.5 + half_unit(seconds) * 1e3 + half_unit(seconds * 1e3);
    let mut judge = Judge::new();
    for days in days() {
        let utc = utc_from_utc_days(days).expect("in range");
        let exact = exact_days(&mut judge, utc);
        let gap = exact.sub(&BigFloat::from_f64(days, BITS), BITS, ROUND);
        let gap_ms = judge.double(&gap).abs() * 86_400e3;
        assert!(gap_ms <= limit_ms, "{days}: {gap_ms} ms");
    }
}

#[test]
fn jupiters_meridians_keep_eight_decimals_of_a_degree_over_a_century() {
    // Archinal et al. 2018: Systems I, II, III, degrees and degrees a day.
    const FORMS: [[&str; 3]; 3] = [
        ["67.1", "877.900", "360"],
        ["43.3", "870.270", "360"],
        ["284.95", "870.536", "360"],
    ];
    // 3.2e7 degrees: the rate's own rounding, the product, two sums; then remainders below a turn.
    let degrees = 877.9 * FARTHEST_DAYS;
    let limit_deg =
        FARTHEST_DAYS * half_unit(877.9) + 3.0 * half_unit(degrees) + 4.0 * half_unit(360.0);
    let mut judge = Judge::new();
    let mut worst = 0f64;
    for tdb_days in days() {
        let rotation = rotation(Body::Jupiter, tdb_days);
        // The node of the equator, from which the meridians are counted: its west longitude is W.
        let node = [-rotation.pole[1], rotation.pole[0], 0.0];
        let got = rotation.west_longitudes_of_three_systems_deg(node);
        for (form, got_deg) in FORMS.into_iter().zip(got) {
            worst = worst.max(judge.turn_error(form, tdb_days, got_deg));
        }
    }
    println!("Jupiter's meridians: worst {worst:.2e} deg, derived limit {limit_deg:.2e} deg");
    assert!(worst <= limit_deg, "{worst:e} > {limit_deg:e}");
    assert!(limit_deg < 1e-8, "the promise is 0.02 degrees");
}

#[test]
fn small_angles_between_directions_keep_their_digits() {
    // Vector product over scalar product: components below 1 lose two products and a difference each,
    // on three axes, at any angle. By the arc cosine 0.001" would be lost altogether.
    let limit_rad = 3f64.sqrt() * 3.0 * half_unit(1.0) + half_unit(1.0);
    let mut judge = Judge::new();
    let mut worst = 0f64;
    for (idx, days) in days().enumerate() {
        let apart_deg = 10f64.powi(-((idx % 9) as i32));
        let a = direction(days, 40.0);
        let b = direction(days + apart_deg, 40.0 - 0.3 * apart_deg);
        let exact = judge.angle_rad(a, b);
        let gap = exact.sub(&BigFloat::from_f64(angle_rad(a, b), BITS), BITS, ROUND);
        worst = worst.max(judge.double(&gap).abs());
    }
    println!("angles: worst {worst:.2e} rad, derived limit {limit_rad:.2e} rad");
    assert!(worst <= limit_rad, "{worst:e} > {limit_rad:e}");
}
