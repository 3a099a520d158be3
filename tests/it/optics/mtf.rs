//! Contrast by fineness: against a closed form, counted areas and Fourier transforms.

use crate::support::{close, number, rows};
use skyworthy::optics::mtf::{Mtf, cutoff_cycles_per_arcsec};
use std::f64::consts::PI;

/// O'Neill 1956, as printed in later handbooks (transcribed from memory; the fixture below and the
/// area count stand beside it). `x` is the frequency as a share of the cutoff.
fn oneill(e: f64, x: f64) -> f64 {
    let circle = |x: f64| (x < 1.0).then(|| x.acos() - x * (1.0 - x * x).sqrt());
    let a = 2.0 / PI * circle(x).unwrap_or(0.0);
    let b = if e > 0.0 {
        2.0 * e * e / PI * circle(x / e).unwrap_or(0.0)
    } else {
        0.0
    };
    let c = if x <= (1.0 - e) / 2.0 {
        -2.0 * e * e
    } else if x < (1.0 + e) / 2.0 {
        let p = ((1.0 + e * e - 4.0 * x * x) / (2.0 * e)).acos();
        let ratio = (1.0 + e) / (1.0 - e) * (p / 2.0).tan();
        2.0 * e / PI * p.sin() + (1.0 + e * e) / PI * p
            - 2.0 * (1.0 - e * e) / PI * ratio.atan()
            - 2.0 * e * e
    } else {
        0.0
    };
    (a + b + c) / (1.0 - e * e)
}

/// Share of an annulus that its shifted copy covers, by counting strips.
fn counted(e: f64, x: f64) -> f64 {
    const STRIPS: i32 = 2000;
    let chord = |r: f64, y: f64| (r * r - y * y).max(0.0).sqrt();
    let common = |r1: f64, r2: f64, y: f64| {
        let (left, right) = (-chord(r1, y), chord(r1, y));
        let (from, to) = (2.0 * x - chord(r2, y), 2.0 * x + chord(r2, y));
        (right.min(to) - left.max(from)).max(0.0)
    };
    let strips = (0..STRIPS).map(|i| {
        let y = -1.0 + (f64::from(i) + 0.5) * 2.0 / f64::from(STRIPS);
        let inner = if y.abs() < e { e } else { 0.0 };
        common(1.0, 1.0, y) - common(1.0, inner, y) - common(inner, 1.0, y)
            + common(inner, inner, y)
    });
    strips.sum::<f64>() * 2.0 / f64::from(STRIPS) / (PI * (1.0 - e * e))
}

#[test]
fn annular_mtf_is_oneills_and_the_counted_area() {
    for e in [0.0, 0.05, 0.1, 0.2, 0.25, 0.3, 0.35, 0.5] {
        let mtf = Mtf::annular(e);
        let (mut squares, mut worst) = (0.0, 0.0f64);
        // Off the table's own rows: 0.0007 and on, in steps that never fall into step with it.
        let off_rows: Vec<f64> = (0..997)
            .map(|i| 0.0007 + f64::from(i) * 0.0010013)
            .collect();
        for &x in &off_rows {
            let miss = mtf.at(x) - oneill(e, x);
            squares += miss * miss;
            worst = worst.max(miss.abs());
        }
        let rms = (squares / off_rows.len() as f64).sqrt();
        assert!(
            rms < 6e-6 && worst < 1e-4,
            "obstruction {e}: rms {rms}, worst {worst}"
        );
        for x in [0.05, 0.25, 0.5, 0.75, 0.95] {
            close("counted strips", mtf.at(x), counted(e, x), 3e-4);
        }
    }
}

/// Another library's road: pupil, FFT, image, FFT (grey-edged 1024 pupil, hence 0.003).
#[test]
fn annular_mtf_as_by_fourier_transform() {
    let mut count = 0;
    for row in rows(include_str!("../../reference/mtf.tsv")) {
        let mtf = Mtf::annular(number(row[0]));
        close("MTF by FFT", mtf.at(number(row[1])), number(row[2]), 0.003);
        count += 1;
    }
    assert_eq!(count, 6 * 19);
}

#[test]
fn mtf_ends_where_it_should() {
    for e in [0.0, 0.2, 0.35] {
        let perfect = Mtf::annular(e);
        close("at rest", perfect.at(0.0), 1.0, 1e-12);
        close("at rest", perfect.at(-0.1), 1.0, 1e-12);
        assert_eq!((perfect.at(1.0), perfect.at(7.0)), (0.0, 0.0));
        let daylight = perfect.in_daylight();
        close("at rest", daylight.at(0.0), 1.0, 1e-12);
        // The bluest of the colours, 470 nm, ends at 550 / 470 of the cutoff in green.
        assert!(daylight.at(1.0) > 0.0, "blue passes where green ends");
        assert_eq!(daylight.at(1.175), 0.0);
    }
}

/// 200 mm at 550 nm: 200e6 / 550 / 206265 = 1.763 cycles per arcsecond.
#[test]
fn finest_pattern_of_200_mm() {
    close(
        "cutoff",
        cutoff_cycles_per_arcsec(200.0, 550.0),
        1.763,
        5e-4,
    );
}
