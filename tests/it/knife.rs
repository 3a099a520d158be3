//! Knife-edge readings of mirrors that are known: how near the truth the reduction comes, and how
//! often its intervals hold it.

use super::optics::number;
use super::optics::rows;
use skyworthy::optics::knife::Doubt;
use skyworthy::optics::knife::Mirror;
use skyworthy::optics::knife::Reduction;
use skyworthy::optics::knife::Unreadable;
use skyworthy::optics::knife::reduce;
use skyworthy::workshop::Edge;
use skyworthy::workshop::KnifeEdge;
use skyworthy::workshop::KnifeSource;
use skyworthy::workshop::ReadingAt;
use skyworthy::workshop::Zone;

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
            mirror: Mirror {
                aperture_mm: number(row[1]),
                radius_of_curvature_mm: number(row[2]),
                obstruction: 0.0,
                wavelength_nm: 550.0,
            },
            readings: KnifeEdge {
                source: match row[3] {
                    "fixed" => KnifeSource::Fixed,
                    _ => KnifeSource::Moving,
                },
                reading_at: match row[4] {
                    "middle" => ReadingAt::Middle,
                    _ => ReadingAt::Window,
                },
                edge: Edge::NotLooked,
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

fn rounded(readings: &KnifeEdge) -> KnifeEdge {
    let mut rounded = readings.clone();
    for zone in &mut rounded.zones {
        for reading in &mut zone.readings_mm {
            *reading = (*reading * 100.0).round() / 100.0;
        }
    }
    rounded
}

fn holds(interval: skyworthy::optics::knife::Interval, truth: f64) -> bool {
    interval.low <= truth && truth <= interval.high
}

#[test]
fn survey() {
    for known in known() {
        let start = std::time::Instant::now();
        let r = reduce(&rounded(&known.readings), known.mirror).expect(known.name);
        println!("{:18} {:?} {:6} rms {:6.2}: {:6.2} [{:6.2} {:6.2}] {} lines {:6.2} poly {:6.2}  strehl {:.4}: {:.4} [{:.4} {:.4}] {} pv {:.0}: {:.0} [{:.0} {:.0}] {:?} {:?}",
            known.name, known.readings.source, known.at, known.wavefront_rms_nm,
            r.wavefront_rms_nm.value, r.wavefront_rms_nm.low, r.wavefront_rms_nm.high, holds(r.wavefront_rms_nm, known.wavefront_rms_nm),
            r.by_straight_lines.wavefront_rms_nm, r.by_polynomial.wavefront_rms_nm,
            known.strehl, r.strehl.value, r.strehl.low, r.strehl.high, holds(r.strehl, known.strehl),
            known.wavefront_pv_nm, r.wavefront_pv_nm.value, r.wavefront_pv_nm.low, r.wavefront_pv_nm.high,
            start.elapsed(), r.doubts.iter().map(|d| format!("{d:?}").chars().take(12).collect::<String>()).collect::<Vec<_>>());
    }
}

/// A tester's hand: normal errors from a stream of its own.
struct Hand(u64);

impl Hand {
    fn even(&mut self) -> f64 {
        // Marsaglia 2003, xorshift with shifts 13, 7, 17.
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Sum of twelve (Irwin-Hall): normal as far as the tails of an interval go.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.even()).sum::<f64>() - 6.0
    }

    fn read(&mut self, exact: &KnifeEdge, repeats: usize, error_mm: f64) -> KnifeEdge {
        let mut read = exact.clone();
        for zone in &mut read.zones {
            let exact_mm = zone.readings_mm[0];
            zone.readings_mm = (0..repeats)
                .map(|_| ((exact_mm + error_mm * self.normal()) * 100.0).round() / 100.0)
                .collect();
        }
        read
    }
}

#[test]
fn coverage() {
    let mut hand = Hand(88172645463325252);
    let trials = std::env::var("TRIALS").map_or(200, |t| t.parse().unwrap());
    let only = std::env::var("ONLY").unwrap_or_default();
    for known in known() {
        if known.at == "spot" || known.name.contains("hidden") || !known.name.contains(&only) { continue; }
        for repeats in [1, 2, 3] {
            let mut n = [0; 3];
            let mut sum = [0.0; 6];
            let mut disagree = 0;
            for _ in 0..trials {
                let r: Reduction = reduce(&hand.read(&known.readings, repeats, 0.05), known.mirror).unwrap();
                n[0] += holds(r.wavefront_rms_nm, known.wavefront_rms_nm) as usize;
                n[1] += holds(r.strehl, known.strehl) as usize;
                n[2] += holds(r.wavefront_pv_nm, known.wavefront_pv_nm) as usize;
                disagree += r.doubts.iter().any(|d| matches!(d, Doubt::WaysDisagree { .. })) as usize;
                for (s, v) in sum.iter_mut().zip([r.wavefront_rms_nm.value, r.wavefront_rms_nm.low, r.wavefront_rms_nm.high, r.strehl.value, r.strehl.low, r.strehl.high]) { *s += v / trials as f64; }
            }
            let pc = |n: usize| 100.0 * n as f64 / trials as f64;
            println!("{:18} {:?} {:6} x{repeats}: rms {:3.0} strehl {:3.0} pv {:3.0} disagree {:3.0}  rms {:.1}: {:.1} [{:.1} {:.1}] strehl {:.3}: {:.3} [{:.3} {:.3}]", known.name, known.readings.source, known.at, pc(n[0]), pc(n[1]), pc(n[2]), pc(disagree),
              known.wavefront_rms_nm, sum[0], sum[1], sum[2], known.strehl, sum[3], sum[4], sum[5]);
        }
    }
}
