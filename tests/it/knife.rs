//! Knife-edge readings of mirrors that are known: how near the truth the reduction comes, and how
//! often its intervals hold it.

mod anchors;
mod doubts;
mod noise;
mod random;

use crate::support::{close, number, rows};
use skyworthy::optics::evidence::Interval;
use skyworthy::optics::knife::{Doubt, Mirror, Reduction, reduce};
use skyworthy::workshop::{KnifeEdge, KnifeSource, MirrorEdge, ReadingAt, Zone};

/// One mirror of `zones.tsv`, read one way.
struct Known {
    name: &'static str,
    at: &'static str,
    mirror: Mirror,
    readings: KnifeEdge,
    wavefront_rms_nm: f64,
    wavefront_pv_nm: f64,
    strehl: f64,
    tenths_nm: Vec<f64>,
}

/// Mirrors that a few zones describe.
const SMOOTH: [&str; 6] = [
    "paraboloid",
    "under-corrected",
    "over-corrected",
    "sphere",
    "oblate",
    "nearly right",
];

impl Known {
    fn is_smooth(&self) -> bool {
        SMOOTH.contains(&self.name)
    }

    fn what(&self) -> String {
        format!(
            "{}, lamp {:?}, read at {}",
            self.name, self.readings.source, self.at
        )
    }

    fn reduced(&self, readings: &KnifeEdge) -> Reduction {
        reduce(readings, self.mirror).unwrap_or_else(|why| panic!("{}: {why}", self.what()))
    }
}

fn known() -> impl Iterator<Item = Known> {
    rows(include_str!("../reference/zones.tsv")).map(|row| {
        let list = |text: &str| text.split(';').map(number).collect::<Vec<f64>>();
        let [edges_mm, exact_mm] = [list(row[5]), list(row[6])];
        let zone = |(edges, reading): (&[f64], &f64)| Zone {
            inner_mm: edges[0],
            outer_mm: edges[1],
            readings_mm: vec![*reading],
        };
        Known {
            name: row[0],
            at: row[4],
            mirror: mirror(number(row[1]), number(row[2])),
            readings: KnifeEdge {
                source: match row[3] {
                    "fixed" => KnifeSource::Fixed,
                    _ => KnifeSource::Moving,
                },
                reading_at: match row[4] {
                    "middle" => ReadingAt::Middle,
                    _ => ReadingAt::Window,
                },
                edge: MirrorEdge::NotLooked,
                reading_error_mm: None,
                zones: edges_mm.windows(2).zip(&exact_mm).map(zone).collect(),
            },
            wavefront_rms_nm: number(row[7]),
            wavefront_pv_nm: number(row[8]),
            strehl: number(row[9]),
            tenths_nm: list(row[10]),
        }
    })
}

fn mirror(aperture_mm: f64, radius_of_curvature_mm: f64) -> Mirror {
    Mirror {
        aperture_mm,
        radius_of_curvature_mm,
        obstruction: 0.0,
        wavelength_nm: 550.0,
    }
}

/// As a scale shows them.
fn rounded(readings: &KnifeEdge) -> KnifeEdge {
    let mut rounded = readings.clone();
    for zone in &mut rounded.zones {
        for reading in &mut zone.readings_mm {
            *reading = (*reading * 100.0).round() / 100.0;
        }
    }
    rounded
}

fn holds(interval: Interval, truth: f64) -> bool {
    interval.low <= truth && truth <= interval.high
}

/// RMS within 3 nm or 10 %, and inside the interval: conics of either sign, spheres, 114 to 300 mm,
/// f/4.5 to f/10.
#[test]
fn smooth_mirrors_come_out_as_they_are() {
    for known in known().filter(Known::is_smooth) {
        let reduction = known.reduced(&rounded(&known.readings));
        let (what, truth_nm) = (known.what(), known.wavefront_rms_nm);
        let rms = reduction.evidence.wavefront_rms_nm;
        close(&what, rms.value, truth_nm, (0.1 * truth_nm).max(3.0));
        assert!(holds(rms, truth_nm), "{what}: {truth_nm} not in {rms:?}");
        let pv = reduction.evidence.wavefront_pv_nm;
        assert!(holds(pv, known.wavefront_pv_nm), "{what}: {pv:?}");
        let strehl = reduction.evidence.strehl;
        assert!(holds(strehl, known.strehl), "{what}: {strehl:?}");
        assert!(!reduction.doubts.contains(&Doubt::Rings), "{what}");
    }
}

/// With a maker who reads to 0.005 mm what is left is the method's own error. Read at the middle of
/// each window or at the radius that halves its area: the same mirror.
#[test]
fn fine_readings_leave_the_methods_own_error() {
    for known in known().filter(Known::is_smooth) {
        let fine = KnifeEdge {
            reading_error_mm: Some(0.005),
            ..known.readings.clone()
        };
        let reduction = known.reduced(&fine);
        let what = known.what();
        let rms_nm = reduction.evidence.wavefront_rms_nm.value;
        close(&what, rms_nm, known.wavefront_rms_nm, 0.3);
        close(&what, reduction.evidence.strehl.value, known.strehl, 0.002);
        for (tenth, want_nm) in known.tenths_nm.iter().enumerate() {
            let point = reduction.evidence.profile[10 * tenth];
            assert!((point.radius_fraction - tenth as f64 / 10.0).abs() < 1e-12);
            close(&what, point.wavefront_nm, *want_nm, 1.0);
        }
    }
}

/// The interval holds the truth and the doubt is raised, with the reading at the middle of the
/// window, at the radius that halves its area, or the mean over it.
#[test]
fn a_ring_is_seen_and_held() {
    for known in known().filter(|known| known.name == "ring") {
        let reduction = known.reduced(&rounded(&known.readings));
        let what = known.what();
        let rms = reduction.evidence.wavefront_rms_nm;
        assert!(holds(rms, known.wavefront_rms_nm), "{what}: {rms:?}");
        let strehl = reduction.evidence.strehl;
        assert!(holds(strehl, known.strehl), "{what}: {strehl:?}");
        assert!(reduction.doubts.contains(&Doubt::Rings), "{what}");
        // 60 nm of glass too much at 0.7, on the border of the third and the fourth window.
        assert!([2, 3].contains(&reduction.worst_zone_idx), "{what}");
        assert!(reduction.worst_zone().is_high(), "{what}");
    }
}

#[test]
fn a_low_centre_is_held() {
    for known in known().filter(|known| known.name == "low centre") {
        let reduction = known.reduced(&rounded(&known.readings));
        let (what, rms) = (known.what(), reduction.evidence.wavefront_rms_nm);
        assert!(holds(rms, known.wavefront_rms_nm), "{what}: {rms:?}");
        assert!(holds(reduction.evidence.strehl, known.strehl), "{what}");
        assert!(!reduction.zones[0].is_high(), "{what}");
    }
}

/// FIXME: a trench as narrow as a window and near the middle is drawn too shallow, and half the
/// intervals miss it; what is left is the doubt. More windows are the remedy.
#[test]
fn a_narrow_trench_raises_a_doubt_with_a_fixed_lamp() {
    let trenches = known().filter(|known| known.name == "trench");
    for known in trenches.filter(|known| known.readings.source == KnifeSource::Fixed) {
        let reduction = known.reduced(&rounded(&known.readings));
        assert!(reduction.doubts.contains(&Doubt::Rings), "{}", known.what());
        assert!(reduction.evidence.wavefront_rms_nm.value < known.wavefront_rms_nm);
    }
}

#[test]
fn fixed_and_moving_lamp_agree() {
    let with = |source| {
        let of_source = known().filter(move |known| known.readings.source == source);
        of_source.filter(|known| known.is_smooth() && known.at == "middle")
    };
    for (fixed, moving) in with(KnifeSource::Fixed).zip(with(KnifeSource::Moving)) {
        let repeated = |known: &Known| {
            let stated = KnifeEdge {
                reading_error_mm: Some(0.02),
                ..rounded(&known.readings)
            };
            known.reduced(&stated)
        };
        let (a, b) = (repeated(&fixed), repeated(&moving));
        let rms_nm = a.evidence.wavefront_rms_nm.value;
        close(fixed.name, b.evidence.wavefront_rms_nm.value, rms_nm, 2.0);
        close(
            fixed.name,
            b.evidence.strehl.value,
            a.evidence.strehl.value,
            0.015,
        );
        close(fixed.name, b.correction_ratio, a.correction_ratio, 0.01);
    }
}

#[test]
fn the_wavefront_handed_on_is_the_one_reported() {
    for mut known in known().filter(|known| known.at == "middle") {
        known.mirror.obstruction = 0.25;
        let reduction = known.reduced(&known.readings);
        let what = known.what();
        let quality = reduction.evidence.wavefront().quality(0.25, 550.0);
        let rms_nm = quality.wavefront_rms_nm;
        close(
            &what,
            reduction.evidence.wavefront_rms_nm.value,
            rms_nm,
            0.05 + 0.005 * rms_nm,
        );
        close(&what, reduction.evidence.strehl.value, quality.strehl, 1e-3);
        let pv_nm = quality.wavefront_pv_nm;
        close(
            &what,
            reduction.evidence.wavefront_pv_nm.value,
            pv_nm,
            0.01 * pv_nm,
        );
    }
}

#[test]
fn the_same_readings_give_the_same_answer() {
    let known = known().next().expect("a mirror");
    assert_eq!(
        known.reduced(&known.readings),
        known.reduced(&known.readings)
    );
}

/// Errors from a stream of its own: Marsaglia 2003, xorshift with shifts 13, 7, 17.
struct Hand(u64);

impl Hand {
    fn even(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Sum of twelve: normal as far out as an interval of 90 % goes.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }
}
