//! Random mirrors, read by an unsteady hand: how often the intervals hold, that nothing unread is certified, and that
//! slips are named. The mirrors are drawn here and know nothing of the reduction: a conic part, a ring, an edge; a
//! reading is the mean slope over its window. Reading to knife by the models of every handbook: `-k z` and twice that.

use super::Hand;
use super::holds;
use skyworthy::optics::evidence::Interval;
use skyworthy::optics::knife::{Doubt, Mirror, Reduction, Slip, Suspected, Unreadable, reduce};
use skyworthy::plan::mirror::{MOST_BELOW_THE_LINE, PLANET_WORTHY_STREHL};
use skyworthy::workshop::{KnifeEdge, KnifeSource, MirrorEdge, ReadingAt, TurnedEdge, Zone};
use std::f64::consts::TAU;

/// What is drawn.
#[derive(Clone, Copy)]
struct Recipe {
    /// Largest departure of the correction from 1.
    conic: f64,
    /// Largest height of the ring, nm of glass.
    ring_nm: f64,
    /// Share of mirrors with an edge that is soft.
    soft_edges: f64,
    /// What the maker says of the edge.
    edge: MirrorEdge,
    /// Where the last window ends, a share of the radius.
    last: f64,
}

/// As workshops turn them out.
const USUAL: Recipe = Recipe {
    conic: 0.35,
    ring_nm: 40.0,
    soft_edges: 0.33,
    edge: MirrorEdge::NotLooked,
    last: 1.0,
};

const READING_ERROR_MM: f64 = 0.05;

struct Drawn {
    mirror: Mirror,
    readings: KnifeEdge,
    truth: Truth,
}

struct Truth {
    strehl: f64,
    rms_nm: f64,
    pv_nm: f64,
    correction: f64,
}

/// Steps of x = (r / rim)^2.
const STEPS: usize = 1000;

impl Drawn {
    fn of(recipe: Recipe, seed: u64) -> Drawn {
        let mut hand = Hand(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
        (0..20).for_each(|_| {
            hand.even();
        });
        let mut between = |low: f64, high: f64| low + (high - low) * hand.even();
        let aperture_mm = between(100.0, 300.0).round();
        let radius_mm = 2.0 * aperture_mm * between(5.0, 8.0);
        let mirror = Mirror {
            aperture_mm,
            radius_of_curvature_mm: radius_mm,
            obstruction: between(0.15, 0.28),
            wavelength_nm: 550.0,
        };
        let rim_mm = aperture_mm / 2.0;
        let sphere_nm = -2e6 * rim_mm.powi(4) / (8.0 * radius_mm.powi(3));
        let off = between(-recipe.conic, recipe.conic);
        let ring_nm = 2.0 * between(-recipe.ring_nm, recipe.ring_nm);
        let (at, width) = (between(0.0, 1.0), between(0.08, 0.22));
        let (edge_width, edge_nm) = (between(0.04, 0.15), 2.0 * between(20.0, 150.0));
        let edge_nm = if between(0.0, 1.0) < recipe.soft_edges {
            edge_nm
        } else {
            0.0
        };
        let path_nm = |x: f64| {
            let rho = x.sqrt();
            let ring = (-((rho - at) / width).powi(2) / 2.0).exp();
            let rolled = ((rho - 1.0 + edge_width) / edge_width).max(0.0).powi(2);
            -off * sphere_nm * x * x + ring_nm * ring + edge_nm * rolled
        };
        let source = match between(0.0, 1.0) < 0.5 {
            true => KnifeSource::Fixed,
            false => KnifeSource::Moving,
        };
        let n_zones = between(4.0, 8.0) as usize;
        let zones = (0..n_zones)
            .map(|idx| {
                let x = |idx: usize| recipe.last.powi(2) * idx as f64 / n_zones as f64;
                let (from, until) = (x(idx), x(idx + 1));
                let slope_nm = (path_nm(until) - path_nm(from)) / (until - from);
                let r2 = rim_mm * rim_mm * (from + until) / 2.0;
                let (ideal_mm, lamps) = match source {
                    KnifeSource::Moving => (r2 / (2.0 * radius_mm), 1.0),
                    KnifeSource::Fixed => {
                        (r2 / radius_mm + r2 * r2 / (2.0 * radius_mm.powi(3)), 2.0)
                    }
                };
                let exact_mm = ideal_mm + lamps * slope_nm * 1e-6 * (radius_mm / rim_mm).powi(2);
                let reading =
                    |_| ((exact_mm + READING_ERROR_MM * hand.normal()) * 100.0).round() / 100.0;
                Zone {
                    inner_mm: rim_mm * from.sqrt(),
                    outer_mm: rim_mm * until.sqrt(),
                    readings_mm: (0..3).map(reading).collect(),
                }
            })
            .collect();
        Drawn {
            truth: Truth::of(path_nm, mirror.obstruction, sphere_nm),
            mirror,
            readings: KnifeEdge {
                source,
                reading_at: ReadingAt::Window,
                edge: recipe.edge,
                reading_error_mm: None,
                zones,
            },
        }
    }

    fn reduced(&self) -> Reduction {
        reduce(&self.readings, self.mirror).expect("readings of a mirror")
    }
}

impl Truth {
    /// By plain sums over rings of equal area; the best focus by halving steps.
    fn of(path_nm: impl Fn(f64) -> f64, obstruction: f64, sphere_nm: f64) -> Truth {
        let hidden = obstruction * obstruction;
        let x = |idx: usize| hidden + (1.0 - hidden) * (idx as f64 + 0.5) / STEPS as f64;
        let mean =
            |of: &dyn Fn(f64) -> f64| (0..STEPS).map(|idx| of(x(idx))).sum::<f64>() / STEPS as f64;
        let mean_x = mean(&|x| x);
        let freed = |curve: &dyn Fn(f64) -> f64| {
            let level = mean(curve);
            let tilt = mean(&|x| (x - mean_x) * curve(x)) / mean(&|x| (x - mean_x).powi(2));
            (level, tilt)
        };
        let (level, tilt) = freed(&path_nm);
        let left = |x: f64| path_nm(x) - level - tilt * (x - mean_x);
        let (square_level, square_tilt) = freed(&|x| x * x);
        let square = |x: f64| x * x - square_level - square_tilt * (x - mean_x);
        let spherical = mean(&|x| left(x) * square(x)) / mean(&|x| square(x).powi(2));
        let all: Vec<f64> = (0..=STEPS)
            .map(|idx| left(hidden + (1.0 - hidden) * idx as f64 / STEPS as f64))
            .collect();
        let highest = all.iter().copied().fold(f64::MIN, f64::max);
        let lowest = all.iter().copied().fold(f64::MAX, f64::min);
        let peak = |focus_nm: f64| {
            let phase = |x: f64| TAU / 550.0 * (left(x) + focus_nm * (x - mean_x));
            mean(&|x| phase(x).cos()).powi(2) + mean(&|x| phase(x).sin()).powi(2)
        };
        let mut best_nm = (-20..=20)
            .map(|step| 50.0 * f64::from(step))
            .max_by(|a, b| peak(*a).total_cmp(&peak(*b)))
            .expect("a focus");
        for halving in 1..9 {
            let step_nm = 50.0 / f64::from(1 << halving);
            best_nm = [best_nm - step_nm, best_nm, best_nm + step_nm]
                .into_iter()
                .max_by(|a, b| peak(*a).total_cmp(&peak(*b)))
                .expect("a focus");
        }
        Truth {
            strehl: peak(best_nm),
            rms_nm: mean(&|x| left(x).powi(2)).sqrt(),
            pv_nm: highest - lowest,
            correction: 1.0 - spherical / sphere_nm,
        }
    }
}

/// As `plan` certifies: tested there with whole workshops.
fn is_certified(reduction: &Reduction) -> bool {
    let evidence = &reduction.evidence;
    !reduction.doubts.iter().any(Doubt::bars_a_certificate)
        && PLANET_WORTHY_STREHL <= evidence.strehl.low
        && PLANET_WORTHY_STREHL <= reduction.with_hidden_ring.strehl
        && evidence.chance_below(PLANET_WORTHY_STREHL) <= MOST_BELOW_THE_LINE
}

const MIRRORS: u64 = 150;

/// Nine in ten, and no wider than that: 86 to 96 % of mirrors, within what 150 of them can tell (two standard errors, 4 %).
/// And of those below the line none is certified.
#[test]
fn intervals_hold_random_mirrors_and_none_below_the_line_is_certified() {
    let mut held = [0; 4];
    let (mut widths, mut good, mut certified) = (Vec::new(), 0, 0);
    for seed in 0..MIRRORS {
        let drawn = Drawn::of(USUAL, 4000 + seed);
        let (reduction, truth) = (drawn.reduced(), &drawn.truth);
        let evidence = &reduction.evidence;
        let each: [(Interval, f64); 4] = [
            (evidence.strehl, truth.strehl),
            (evidence.wavefront_rms_nm, truth.rms_nm),
            (evidence.wavefront_pv_nm, truth.pv_nm),
            (evidence.correction, truth.correction),
        ];
        for (count, (interval, truth)) in held.iter_mut().zip(each) {
            *count += u64::from(holds(interval, truth));
        }
        widths.push(evidence.strehl.high - evidence.strehl.low);
        let passes = is_certified(&reduction);
        assert!(
            !passes || PLANET_WORTHY_STREHL <= truth.strehl,
            "mirror {seed} of Strehl ratio {:.3} certified at {:?}",
            truth.strehl,
            evidence.strehl
        );
        good += u64::from(0.9 < truth.strehl);
        certified += u64::from(0.9 < truth.strehl && passes);
    }
    widths.sort_by(f64::total_cmp);
    println!(
        "held of {MIRRORS}: Strehl {}, RMS {}, P-V {}, correction {}; median width of Strehl {:.3}; certified \
         {certified} of {good} above 0.9",
        held[0],
        held[1],
        held[2],
        held[3],
        widths[widths.len() / 2]
    );
    for count in held {
        let percent = 100.0 * count as f64 / MIRRORS as f64;
        assert!((82.0..=99.0).contains(&percent), "{percent}");
    }
    assert!(2 * certified > good, "{certified} of {good}");
}

#[test]
fn what_was_not_read_is_not_certified() {
    let turned = MirrorEdge::Turned(TurnedEdge {
        width_mm: None,
        depth_nm: None,
    });
    for recipe in [
        Recipe {
            edge: turned,
            conic: 0.05,
            ring_nm: 5.0,
            ..USUAL
        },
        // 15 % of the area and more lie outside.
        Recipe {
            last: 0.91,
            conic: 0.05,
            ring_nm: 5.0,
            ..USUAL
        },
        Recipe {
            last: 0.74,
            conic: 0.05,
            ring_nm: 5.0,
            edge: MirrorEdge::Sound,
            ..USUAL
        },
    ] {
        for seed in 0..20 {
            let drawn = Drawn::of(recipe, 700 + seed);
            let reduction = drawn.reduced();
            let unread = reduction.evidence.unread_area_share;
            let open = 1.0 - drawn.mirror.obstruction.powi(2);
            assert!((unread - (1.0 - recipe.last.powi(2)) / open).abs() < 1e-9);
            assert!(!is_certified(&reduction), "{:?}", reduction.evidence.strehl);
        }
    }
}

/// 150 mm f/6, the last 5 mm rolled by 250 nm of glass; the readings know nothing of it.
#[test]
fn an_edge_that_was_measured_is_in_the_figures() {
    let seen = |width_mm, depth_nm| MirrorEdge::Turned(TurnedEdge { width_mm, depth_nm });
    let (rim_mm, radius_mm) = (75.0f64, 1800.0f64);
    let rolled_nm = |x: f64| {
        let into = ((x.sqrt() - 1.0 + 5.0 / rim_mm) / (5.0 / rim_mm)).max(0.0);
        2.0 * 250.0 * into * into
    };
    let truth = Truth::of(rolled_nm, 0.25, -1.0);
    let with = |edge| {
        let zone = |idx: usize| {
            let edge = |idx: usize| rim_mm * (idx as f64 / 5.0).sqrt();
            let r2 = (edge(idx).powi(2) + edge(idx + 1).powi(2)) / 2.0;
            Zone {
                inner_mm: edge(idx),
                outer_mm: edge(idx + 1),
                readings_mm: vec![r2 / (2.0 * radius_mm); 3],
            }
        };
        let readings = KnifeEdge {
            source: KnifeSource::Moving,
            reading_at: ReadingAt::Window,
            edge,
            reading_error_mm: None,
            zones: (0..5).map(zone).collect(),
        };
        let mirror = Mirror {
            obstruction: 0.25,
            ..super::mirror(2.0 * rim_mm, radius_mm)
        };
        reduce(&readings, mirror).expect("readings").evidence.strehl
    };
    let sound = with(MirrorEdge::Sound);
    assert!(0.98 < sound.value, "{sound:?}");
    let measured = with(seen(Some(5.0), Some(250.0)));
    assert!(
        holds(measured, truth.strehl),
        "{measured:?}, {}",
        truth.strehl
    );
    let range = with(seen(None, None));
    assert!(holds(range, truth.strehl), "{range:?}, {}", truth.strehl);
    assert!(measured.high - measured.low < range.high - range.low);
}

/// Conics read to 0.03 mm come back within 0.06 of their correction: finer than any maker acts on (common practice, no source).
#[test]
fn the_correction_of_conics() {
    for (idx, correction) in [0.0, 0.4, 0.8, 1.0, 1.3, 1.6].into_iter().enumerate() {
        for source in [KnifeSource::Fixed, KnifeSource::Moving] {
            let mut hand = Hand(99 + idx as u64);
            let (rim_mm, radius_mm) = (75.0f64, 1800.0f64);
            let zone = |idx: usize| {
                let edge = |idx: usize| rim_mm * (idx as f64 / 5.0).sqrt();
                let r2 = (edge(idx).powi(2) + edge(idx + 1).powi(2)) / 2.0;
                let along_mm = correction * r2 / (2.0 * radius_mm);
                let exact_mm = match source {
                    KnifeSource::Moving => along_mm,
                    KnifeSource::Fixed => 2.0 * along_mm,
                };
                Zone {
                    inner_mm: edge(idx),
                    outer_mm: edge(idx + 1),
                    readings_mm: (0..3).map(|_| exact_mm + 0.03 * hand.normal()).collect(),
                }
            };
            let readings = KnifeEdge {
                source,
                reading_at: ReadingAt::Window,
                edge: MirrorEdge::Sound,
                reading_error_mm: None,
                zones: (0..5).map(zone).collect(),
            };
            let reduction =
                reduce(&readings, super::mirror(2.0 * rim_mm, radius_mm)).expect("readings");
            let got = reduction.evidence.correction;
            assert!(
                (got.value - correction).abs() < 0.06,
                "{correction}, {source:?}: {got:?}"
            );
            let remove: Vec<f64> = reduction.zones.iter().map(|zone| zone.remove_nm).collect();
            assert!(
                remove.iter().all(|nm| 0.0 <= *nm) && remove.contains(&0.0),
                "{remove:?}"
            );
            let most = remove.iter().copied().fold(0.0, f64::max);
            // Under-corrected: high at the middle and the rim; over-corrected: between.
            if correction < 0.5 {
                assert!(
                    remove[0] > 0.9 * most || remove[4] > 0.9 * most,
                    "{remove:?}"
                );
            }
            if correction > 1.5 {
                assert!(
                    remove[0] < 0.1 * most && remove[4] < 0.1 * most,
                    "{remove:?}"
                );
            }
        }
    }
}

/// One slip in readings of mirrors that are nearly done.
fn named(kind: &str, drawn: &mut Drawn, hand: &mut Hand) -> Option<bool> {
    let zones = &mut drawn.readings.zones;
    let flip = |zones: &mut [Zone]| {
        zones
            .iter_mut()
            .flat_map(|zone| &mut zone.readings_mm)
            .for_each(|mm| *mm = -*mm)
    };
    match kind {
        "digits" => {
            let (zone, idx) = (
                (hand.even() * zones.len() as f64) as usize,
                (hand.even() * 3.0) as usize,
            );
            let typed = &mut zones[zone].readings_mm[idx];
            let digits = format!("{:.2}", typed.abs());
            let swapped: String = [&digits[2..3], ".", &digits[0..1], &digits[3..]].concat();
            let meant: f64 = swapped.parse().expect("a number");
            // A change that is lost in the reading error is nobody's to name.
            if digits.len() != 4 || (meant - *typed).abs() < 4.0 * READING_ERROR_MM {
                return None;
            }
            *typed = meant.copysign(*typed);
        }
        "sign" => {
            let zone = 1 + (hand.even() * (zones.len() - 1) as f64) as usize;
            flip(&mut zones[zone..=zone]);
        }
        "reversed" => flip(zones),
        "lamp" => {
            drawn.readings.source = match drawn.readings.source {
                KnifeSource::Fixed => KnifeSource::Moving,
                KnifeSource::Moving => KnifeSource::Fixed,
            };
        }
        "inches" => {
            let all = zones.iter_mut().flat_map(|zone| &mut zone.readings_mm);
            all.for_each(|mm| *mm = (*mm / 25.4 * 1000.0).round() / 1000.0);
        }
        "radius" => drawn.mirror.radius_of_curvature_mm *= 2.0,
        _ => {}
    }
    let first = match reduce(&drawn.readings, drawn.mirror) {
        Ok(reduction) => match reduction.doubts.first() {
            Some(Doubt::Slip(suspected)) => Some(*suspected),
            _ => None,
        },
        Err(Unreadable::OutOfScale { suspected, .. }) => suspected,
        Err(_) => None,
    };
    let is = |slip: Slip| match slip {
        Slip::Digits { .. } => "digits",
        Slip::Sign { .. } => "sign",
        Slip::LoneSign { .. } => "lone sign",
        Slip::Exchanged { .. } => "exchanged",
        Slip::Apart { .. } => "apart",
        Slip::Reversed => "reversed",
        Slip::OtherLamp => "lamp",
        Slip::Inches => "inches",
        Slip::RadiusForFocalLength => "radius",
        Slip::FocalLengthForRadius => "focal length",
    };
    Some(match first {
        Some(Suspected { slip, .. }) => is(slip) == kind,
        None => kind == "none",
    })
}

/// At least 85 in a hundred slips are named first and rightly, and good readings are taken as they are (98 in a hundred).
#[test]
fn slips_are_named() {
    let good = Recipe {
        conic: 0.2,
        ring_nm: 15.0,
        soft_edges: 0.0,
        ..USUAL
    };
    let mut hand = Hand(0x5eed_0007);
    let (mut right, mut all) = (0, 0);
    for kind in ["digits", "sign", "reversed", "lamp", "inches", "radius"] {
        let outcomes: Vec<bool> = (0..14)
            .filter_map(|seed| named(kind, &mut Drawn::of(good, 9000 + seed), &mut hand))
            .collect();
        let n_right = outcomes.iter().filter(|is_right| **is_right).count();
        println!("{kind}: {n_right} of {} named", outcomes.len());
        right += n_right;
        all += outcomes.len();
    }
    assert!(100 * right >= 85 * all, "{right} of {all}");
    let quiet = (0..50)
        .filter(|seed| named("none", &mut Drawn::of(good, 9100 + seed), &mut hand) == Some(true));
    assert!(quiet.count() >= 49);
}
