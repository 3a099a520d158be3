//! Readings that are refused, and readings that leave a doubt.

use super::{Known, known, mirror, rounded};
use skyworthy::optics::knife::{Doubt, Reduction, Slip, Suspected, Unreadable, reduce};
use skyworthy::show::words::doubt;
use skyworthy::workshop::{KnifeEdge, KnifeSource, MirrorEdge, ReadingAt, TurnedEdge, Zone};

fn one(name: &str, source: KnifeSource) -> Known {
    known()
        .find(|known| known.name == name && known.readings.source == source && known.at == "middle")
        .expect("in the table")
}

fn has(reduction: &Reduction, is_it: fn(&Doubt) -> bool) -> bool {
    reduction.doubts.iter().any(is_it)
}

#[test]
fn a_turned_edge_inside_the_last_window_is_asked_for() {
    let hidden = |edge| {
        let mut known = one("hidden turned edge", KnifeSource::Fixed);
        known.readings.edge = edge;
        known.reduced(&rounded(&known.readings))
    };
    let asked = |doubt: &Doubt| matches!(doubt, Doubt::EdgeNotLookedAt { .. });
    let not_looked = hidden(MirrorEdge::NotLooked);
    // The readings know nothing of it: 0.90 in truth.
    assert!(not_looked.evidence.strehl.value > 0.99);
    assert!(has(&not_looked, asked));
    let said = doubt::words(&not_looked.doubts[0]);
    assert!(
        said.starts_with("a turned edge in the last 11 % of the radius"),
        "{said}"
    );
    assert_eq!(hidden(MirrorEdge::Sound).doubts, []);
    assert_eq!(
        hidden(MirrorEdge::Turned(TurnedEdge {
            width_mm: None,
            depth_nm: None
        }))
        .doubts,
        [Doubt::EdgeTurned(TurnedEdge {
            width_mm: None,
            depth_nm: None
        })]
    );
}

#[test]
fn a_narrow_last_window_leaves_no_room_for_an_edge() {
    let mut known = one("under-corrected", KnifeSource::Fixed);
    let rim_mm = known.mirror.aperture_mm / 2.0;
    let [.., before, last] = &mut known.readings.zones[..] else {
        panic!("zones");
    };
    (before.outer_mm, last.inner_mm) = (0.98 * rim_mm, 0.98 * rim_mm);
    assert_eq!(known.reduced(&known.readings).doubts, []);
}

#[test]
fn the_other_lamp_is_suspected() {
    for source in [KnifeSource::Fixed, KnifeSource::Moving] {
        let mut known = one("under-corrected", source);
        known.readings.source = match source {
            KnifeSource::Fixed => KnifeSource::Moving,
            KnifeSource::Moving => KnifeSource::Fixed,
        };
        let reduction = known.reduced(&known.readings);
        assert!(has(&reduction, |doubt| matches!(
            doubt,
            Doubt::Slip(Suspected {
                slip: Slip::OtherLamp,
                ..
            })
        )));
        assert_eq!(reduction.bars_to_a_verdict().count(), 1);
    }
}

#[test]
fn a_scale_that_runs_the_other_way_is_suspected() {
    let mut known = one("nearly right", KnifeSource::Moving);
    for zone in &mut known.readings.zones {
        zone.readings_mm[0] *= -1.0;
    }
    let reduction = known.reduced(&known.readings);
    assert!(has(&reduction, |doubt| matches!(
        doubt,
        Doubt::Slip(Suspected {
            slip: Slip::Reversed,
            ..
        })
    )));
}

#[test]
fn good_mirrors_and_spheres_raise_no_doubt_of_the_bench() {
    for known in known().filter(Known::is_smooth) {
        let reduction = known.reduced(&rounded(&known.readings));
        assert_eq!(reduction.doubts.len(), 1, "{:?}", reduction.doubts);
        assert_eq!(reduction.bars_to_a_verdict().count(), 0);
    }
}

/// At f/4.5 with a moving lamp a reading at the rim has 0.055 mm to be off by.
#[test]
fn repeats_that_scatter_too_much_judge_nothing() {
    let mut known = one("over-corrected", KnifeSource::Moving);
    for (idx, zone) in known.readings.zones.iter_mut().enumerate() {
        let off_mm = if idx % 2 == 0 { 0.2 } else { -0.2 };
        let reading_mm = zone.readings_mm[0];
        zone.readings_mm = vec![reading_mm - off_mm, reading_mm + off_mm, reading_mm];
    }
    let reduction = known.reduced(&known.readings);
    assert!(has(&reduction, |doubt| matches!(
        doubt,
        Doubt::TooScattered { .. }
    )));
    assert!(reduction.evidence.strehl.high - reduction.evidence.strehl.low > 0.3);
}

/// Two windows, exactly read: a conic, and an interval that knows that rings may be.
#[test]
fn two_zones_say_little() {
    let mut known = one("sphere", KnifeSource::Fixed);
    known.readings.zones.remove(1);
    known.readings.zones.remove(1);
    let reduction = known.reduced(&known.readings);
    assert!(reduction.doubts.contains(&Doubt::TwoZones));
    let rms = reduction.evidence.wavefront_rms_nm;
    assert!(rms.low < known.wavefront_rms_nm && known.wavefront_rms_nm < rms.high);
    assert!(rms.high - rms.low > 10.0, "{rms:?}");
}

#[test]
fn tolerance_and_transverse_aberration_go_together() {
    for known in known() {
        let reduction = known.reduced(&known.readings);
        let ratio = |idx: usize| reduction.zones[idx].transverse_ratio;
        let worst = (0..reduction.zones.len()).map(ratio).fold(0.0, f64::max);
        let mut at_worst = 0;
        for zone in &reduction.zones {
            let share = zone.residual_mm.abs() / zone.tolerance_mm;
            assert!((share - zone.transverse_ratio).abs() < 1e-12);
            at_worst += usize::from(zone.transverse_ratio > worst - 1e-9);
        }
        // At the best focus two zones share the worst.
        assert!(at_worst >= 2, "{}", known.what());
    }
}

fn zones(windows: &[(f64, f64, f64)]) -> KnifeEdge {
    let zone = |(inner_mm, outer_mm, reading_mm): &(f64, f64, f64)| Zone {
        inner_mm: *inner_mm,
        outer_mm: *outer_mm,
        readings_mm: vec![*reading_mm],
    };
    KnifeEdge {
        source: KnifeSource::Fixed,
        reading_at: ReadingAt::Window,
        edge: MirrorEdge::NotLooked,
        reading_error_mm: None,
        zones: windows.iter().map(zone).collect(),
    }
}

/// 200 mm f/6: the paraboloid reads 0.52, 1.56, 2.60, 3.65 mm through four equal areas.
#[test]
fn readings_that_cannot_be_used() {
    type Windows<'a> = &'a [(f64, f64, f64)];
    let rows: [(&str, Windows, Unreadable); 7] = [
        ("one zone", &[(0.0, 100.0, 1.0)], Unreadable::TooFewZones(1)),
        (
            "the same radius twice",
            &[(0.0, 50.0, 0.5), (0.0, 50.0, 0.6)],
            Unreadable::Overlap { zone: 2 },
        ),
        (
            "overlapping",
            &[(0.0, 50.0, 0.5), (49.0, 70.0, 1.6)],
            Unreadable::Overlap { zone: 2 },
        ),
        (
            "not a number",
            &[(0.0, 50.0, 0.5), (50.0, 70.0, f64::NAN)],
            Unreadable::NoSuchZone { zone: 2 },
        ),
        (
            "beyond the rim",
            &[(0.0, 50.0, 0.5), (50.0, 120.0, 1.6)],
            Unreadable::NoSuchZone { zone: 2 },
        ),
        (
            "metres",
            &[
                (0.0, 50.0, 0.0005),
                (50.0, 71.0, 0.0016),
                (71.0, 100.0, 0.0036),
            ],
            Unreadable::InMetres { span_mm: 0.0031 },
        ),
        (
            "hundredths of a millimetre",
            &[(0.0, 50.0, 52.0), (50.0, 71.0, 156.0), (71.0, 100.0, 360.0)],
            Unreadable::OutOfScale {
                span_mm: 308.0,
                ideal_mm: 2.614,
                suspected: None,
            },
        ),
    ];
    for (what, windows, want) in rows {
        let got = reduce(&zones(windows), mirror(200.0, 2400.0)).expect_err(what);
        let same = std::mem::discriminant(&got) == std::mem::discriminant(&want);
        assert!(same, "{what}: {got:?}");
        let (got, want) = (got.to_string(), want.to_string());
        assert_eq!(got, want, "{what}");
    }
    let mut silent = zones(&[(0.0, 50.0, 0.5), (50.0, 70.0, 1.6)]);
    silent.zones[1].readings_mm.clear();
    let got = reduce(&silent, mirror(200.0, 2400.0));
    assert_eq!(got, Err(Unreadable::NoReading { zone: 2 }));
}
