//! Mirrors that are still warm: degrees that blur, never a telescope that stands idle for them.

use super::{february, plain, planned, shows, station, workshop};
use skyworthy::plan::session::{Impossible, Session, WhyIdle};
use skyworthy::show;

fn meeting(gather: &str, hazel: &str) -> Session {
    let headings = format!("[session]\ngather = \"{gather}\"");
    let workshop = workshop("", &[("Hazel", hazel)], &headings);
    planned(&workshop, &february("19:00-22:00"))
}

fn is_idle(session: &Session, name: &str) -> bool {
    session
        .infeasible
        .iter()
        .any(|what| matches!(what, Impossible::Idle { telescope, .. } if telescope == name))
}

/// People who meet a quarter of an hour before have warm telescopes: they begin all the same, and the answer says how warm.
#[test]
fn a_warm_telescope_begins_with_the_others() {
    let session = meeting("18:45", "");
    for station in &session.telescopes {
        let first = station.turns.first().expect("it shows something");
        assert_eq!(first.from, session.slots[0].from, "{}", station.name);
        let start = station.start.expect("its glass is known");
        assert!(start.is_warm() && start.at < start.cool_at, "{start:?}");
        let late = Impossible::Late {
            telescope: station.name.clone(),
            start,
        };
        assert!(session.infeasible.contains(&late));
        // 8 degrees make 0.40 x 8^1.2 = 4.9".
        let warmth = start.warmth;
        let blur_arcsec = 0.40 * warmth.warm_k.powf(1.2);
        assert!((warmth.blur_arcsec - blur_arcsec).abs() < 1e-9);
        let shown = &first.shown;
        let later = shown.warmth.expect("its glass is known");
        assert!(later.warm_k < warmth.warm_k);
    }
    let hazel = station(&session, "Hazel");
    let start = hazel.start.expect("its glass is known");
    let said = format!("Still {:.0} degrees warm at 19:00", start.warmth.warm_k);
    let text = show::session::page(&session).text();
    assert!(text.contains(&said), "{said} in {text}");
    let json: serde_json::Value =
        serde_json::from_str(&show::session::json(&session)).expect("JSON");
    let hazels = json["telescopes"].as_array().expect("telescopes");
    let hazels = hazels
        .iter()
        .find(|it| it["name"] == "Hazel")
        .expect("it is there");
    let said_k = hazels["at_first_look"]["warm_k"].as_f64().expect("degrees");
    assert!((said_k - start.warmth.warm_k).abs() < 1e-6);
    assert!(hazels["turns"][0]["blur_arcsec"].is_number());
}

/// As many looks, but for a turn more or less, whenever people meet; and never better for meeting later.
#[test]
fn an_hour_to_meet_costs_no_looks() {
    let without = planned(&plain(), &february("19:00-22:00"));
    let mut warm_k = 0.0;
    for gather in ["17:00", "17:45", "18:15", "18:45"] {
        let with = meeting(gather, "");
        let [with_looks, without_looks] = [&with, &without].map(|it| f64::from(it.queue.looks));
        assert!(
            (with_looks / without_looks - 1.0).abs() < 0.05,
            "{gather}: {with_looks}, {without_looks}"
        );
        let start = station(&with, "Hazel").start.expect("its glass is known");
        assert!(warm_k <= start.warmth.warm_k, "{gather}");
        warm_k = start.warmth.warm_k;
    }
}

/// Thicker glass is never cooler, and what the evening is worth never grows with it.
#[test]
fn thicker_glass_is_never_better() {
    let thin_to_thick = [15, 25, 35, 50].map(|thickness_mm| {
        let toml = skyworthy::workshop::EXAMPLE_TOML;
        let toml = toml.replace(
            "thickness_mm = 30",
            &format!("thickness_mm = {thickness_mm}"),
        );
        let toml = format!("[session]\ngather = \"18:15\"\n{toml}");
        planned(
            &crate::support::workshop_of(&toml),
            &february("19:00-22:00"),
        )
    });
    for two in thin_to_thick.windows(2) {
        let [thin, thick] = [&two[0], &two[1]].map(|it| station(it, "Hazel"));
        let [thin_start, thick_start] = [thin, thick].map(|it| it.start.expect("its glass"));
        assert!(thin_start.warmth.warm_k < thick_start.warmth.warm_k);
        assert!(thin_start.cool_at < thick_start.cool_at);
        assert!(
            two[1].total.plan <= two[0].total.plan + 100.0,
            "a detail less or the same"
        );
    }
}

/// Who meets at the first look has no telescope aimed in it: that is said.
#[test]
fn aiming_takes_the_first_slot_of_who_meets_at_the_first_look() {
    let session = meeting("19:00", "");
    let idle = session.infeasible.iter().find_map(|what| match what {
        Impossible::Idle { why, until, .. } => Some((*why, *until)),
        _ => None,
    });
    // Before anybody's first look nobody is idle alone: the first slot is empty for all.
    assert!(idle.is_none_or(|(why, _)| why != WhyIdle::Aiming));
    assert_eq!(session.window.first_look, Some(session.slots[1].from));
    let is_said = |what: &Impossible| {
        matches!(
            what,
            Impossible::NothingUntil {
                is_aiming: true,
                ..
            }
        )
    };
    assert!(session.infeasible.iter().any(is_said));
    assert!(!is_idle(&meeting("18:45", ""), "Hazel"));
    assert!(shows(station(&session, "Rowan"), "moon") || shows(station(&session, "Hazel"), "moon"));
}
