//! A public evening, for machines. Names carry units and stay; fields are only ever added.

use serde_json::{Value, json};

use crate::optics::figure::NotJudged;
use crate::plan::session::{
    Direction, Heights, Moment, Session, ShownTarget, Skip, StaleNote, Station, Step, Turn,
    TurnFallback, WarmStart,
};
use crate::show::json;
use crate::show::session::changed;
use crate::show::session::moments::words;
use crate::show::session::{impossible, stale, wording};
use crate::show::words::{assumed, caption, caution, figure, rfc3339};
use crate::targets::verdict::Verdict;

/// The whole evening; `evening_date` is the day on which people come, the Moon is `lit` so in the middle of the window.
pub fn json(session: &Session) -> String {
    let (window, decision, zone) = (&session.window, &session.decision, session.zone);
    let (infeasible, cautions) = (session.infeasible.iter(), session.cautions.iter().copied());
    json::document(json!({
        "on": session.on.to_string(),
        "site": session.site_name,
        "time_zone": zone.name(),
        "visitors": session.visitors,
        "first": session.first,
        "gather_utc": rfc3339(window.gather),
        "from_utc": rfc3339(window.from),
        "until_utc": rfc3339(window.until),
        "first_look_utc": window.first_look.map(rfc3339),
        "last_look_utc": window.last_look.map(rfc3339),
        "decide_by_utc": decision.by.map(rfc3339),
        "backup_on": decision.backup.map(|on| on.to_string()),
        "leader": decision.leader,
        "sun": sun(session),
        "moon": moon(session),
        "observer_margin_dex": session.observer_margin_dex,
        "minimum_stay_minutes": session.evening.minimum_stay_minutes,
        "most_changes": session.evening.most_changes,
        "arrive": session.evening.arrival,
        "slots": slots(session),
        "telescopes": session.telescopes.iter().map(station).collect::<Value>(),
        "moments": moments(&session.moments),
        "queue": session.queue,
        "plan_total": session.total.plan,
        "plan_bound": session.total.bound,
        "gap": session.total.gap,
        "taken_home": session.total.taken_home,
        "infeasible": infeasible.map(|what| impossible::words_of(what, zone)).collect::<Value>(),
        "cautions": cautions.map(|caution| caution::words(caution, zone)).collect::<Value>(),
        "assumed": session.assumed.iter().map(assumed::line).collect::<Value>(),
        "evening_date": session.evening_date.to_string(),
        "morning_stop_utc": session.morning_stop.map(|it| rfc3339(it.stop)),
        "changed": session.changed.as_ref().map(changed::json),
        "left_out": session.skipped.iter().map(left_out).collect::<Value>(),
        "stale_notes": session.stale_notes.iter().map(stale_note).collect::<Value>(),
    }))
}

fn left_out(skip: &Skip) -> Value {
    json!({ "telescope": skip.telescope, "target": skip.target })
}

/// `target` is null where all that is written about a telescope has no place.
fn stale_note(note: &StaleNote) -> Value {
    json!({
        "line": note.line,
        "telescope": note.telescope,
        "target": note.target,
        "kind": note.sort,
        "words": stale::line(note),
    })
}

fn sun(session: &Session) -> Value {
    let sun = &session.sun;
    let [civil, nautical, _] = &sun.twilights;
    json!({
        "set_utc": sun.set.map(rfc3339),
        "rise_utc": sun.rise.map(rfc3339),
        "civil_dusk_utc": civil.dusk.map(rfc3339),
        "nautical_dusk_utc": nautical.dusk.map(rfc3339),
        "nautical_dawn_utc": nautical.dawn.map(rfc3339),
        "civil_dawn_utc": civil.dawn.map(rfc3339),
    })
}

fn moon(session: &Session) -> Value {
    let moon = &session.moon;
    json!({
        "lit": moon.lit,
        "waxing": moon.is_waxing,
        "altitude_deg": moon.altitude_deg,
        "rises_utc": moon.rises.map(rfc3339),
        "sets_utc": moon.sets.map(rfc3339),
    })
}

/// With what the line does then.
fn slots(session: &Session) -> Value {
    let slots = session.slots.iter().zip(&session.queue_by_slot);
    slots
        .map(|(slot, queue)| json::joined(json::span(slot.from, slot.until), json!(queue)))
        .collect()
}

/// Where it cannot be judged, `not_judged` says why, and what it is and shows is null or empty.
fn station(station: &Station) -> Value {
    let (summary, put_out) = (station.summary.as_ref().ok(), station.put_out);
    let collimate = station.before.iter().find_map(|step| match step {
        Step::Collimate { by, .. } => Some(rfc3339(*by)),
        _ => None,
    });
    json!({
        "name": station.name,
        "not_judged": station.summary.as_ref().err().map(NotJudged::to_string),
        "class": summary.map(|summary| wording::class(summary.class)),
        "aperture_mm": summary.map(|summary| summary.aperture_mm),
        "focal_length_mm": summary.map(|summary| summary.focal_length_mm),
        "strehl": summary.map(|summary| summary.strehl),
        "figure": summary.map(|summary| figure::words(&summary.figure)),
        "place": station.place,
        "helper": station.helper,
        "low_eyepiece": station.is_low,
        "for_children": station.is_for_children,
        "put_out_utc": put_out.map(|put_out| rfc3339(put_out.by)),
        "put_out_by_day": put_out.map(|put_out| put_out.by_day),
        "collimate_utc": collimate,
        "eyepiece_height_m": station.heights.map(heights),
        "queue": station.queue,
        "at_first_look": station.start.map(start),
        "turns": station.turns.iter().map(turn).collect::<Value>(),
    })
}

/// At its first look; `softer_arcsec` is by how much stars are wider at the zenith in typical air.
fn start(start: WarmStart) -> Value {
    json!({
        "at_utc": rfc3339(start.at),
        "warm_k": start.warmth.warm_k,
        "blur_arcsec": start.warmth.blur_arcsec,
        "softer_arcsec": start.softer_arcsec,
        "cool_utc": rfc3339(start.cool_at),
    })
}

fn heights(heights: Heights) -> Value {
    json!({
        "lowest": heights.lowest_m,
        "highest": heights.highest_m,
        "child_step": heights.child_step_m,
        "adult_step": heights.adult_step_m,
        "seated_throughout": heights.seated_throughout,
    })
}

fn turn(turn: &Turn) -> Value {
    let by_slot = turn.fallback_by_slot.iter();
    let cloud = json!({
        "moments": moments(&turn.moments),
        "why_here": wording::why_here(&turn.why_here),
        "fallback": turn.fallback.as_ref().map(|it| fallback(turn, it)),
        "fallback_by_slot": by_slot.map(|it| it.as_ref().map(|it| it.subject.id())).collect::<Value>(),
    });
    let shown = shown_target(turn, &turn.shown);
    let shown = json::joined(json::span(turn.from, turn.until), shown);
    json::joined(shown, cloud)
}

/// `body` is null where no telescope is needed.
fn moments(moments: &[Moment]) -> Value {
    let moment = |moment: &Moment| {
        json!({
            "utc": rfc3339(moment.at),
            "kind": moment.what.word(),
            "body": moment.body.map(|body| body.id()),
            "words": words(moment),
        })
    };
    moments.iter().map(moment).collect()
}

fn fallback(turn: &Turn, fallback: &TurnFallback) -> Value {
    let refuge = json!({ "refuge": fallback.refuge });
    json::joined(refuge, shown_target(turn, &fallback.shown))
}

/// `start` and `end` are of the turn; all other figures are for `at_utc`, its middle.
fn shown_target(turn: &Turn, shown: &ShownTarget) -> Value {
    let (facts, path) = (&shown.facts, &shown.path);
    json!({
        "id": shown.subject.id(),
        "target": shown.subject.name(),
        "at_utc": rfc3339(shown.at),
        "altitude_deg": shown.direction.altitude_deg,
        "azimuth_deg": shown.direction.azimuth_deg,
        "direction": wording::direction(&shown.direction),
        "clear_from_utc": rfc3339(shown.limits.from),
        "clear_until_utc": rfc3339(shown.limits.until),
        "ends_behind": shown.ends_behind,
        "is_hard_to_hold": shown.is_hard_to_hold,
        "eyepiece": shown.view.eyepiece,
        "magnification": shown.view.magnification,
        "true_field_deg": shown.view.true_field_deg,
        "drift_s": shown.drift_s,
        "eyepiece_height_m": shown.eyepiece_height_m,
        "look_for": detail(turn, &shown.look_for),
        "others": shown.others.iter().map(|it| detail(turn, it)).collect::<Value>(),
        "distance_km": facts.distance_km,
        "light_time_s": facts.light_time_s,
        "diameter_km": facts.diameter_km,
        "apparent_size_arcmin": facts.apparent_size_arcmin,
        "start": direction(&path.start),
        "end": direction(&path.end),
        "moved_deg": path.moved_deg,
        "seems_from_km": facts.seems_from_km,
        "smallest_km": facts.smallest_km,
        "light_gain": facts.light_gain,
        "apparent_size_of": facts.apparent_size_arcmin.map(|_| facts.apparent_size_of),
        "is_wider_than_view": facts.is_wider_than_view,
        "distance_ly": facts.distance_ly,
        "extent_ly": facts.extent_ly,
        "gap_au": facts.gap_au,
        "warm_k": shown.warmth.map(|warmth| warmth.warm_k),
        "blur_arcsec": shown.warmth.map(|warmth| warmth.blur_arcsec),
    })
}

fn direction(direction: &Direction) -> Value {
    json!({
        "altitude_deg": direction.altitude_deg,
        "azimuth_deg": direction.azimuth_deg,
        "direction": wording::direction(direction),
    })
}

/// Promised from `from_utc` until `until_utc` and only then; `during` where there is a gap between.
fn detail(turn: &Turn, verdict: &Verdict) -> Value {
    let hours = turn.hours_of(verdict);
    json!({
        "id": verdict.caption.id,
        "name": caption::name(&verdict.caption.name),
        "say": verdict.caption.say,
        "grade": verdict.grade.map(|grade| grade.word()),
        "from_utc": hours.first().map(|it| rfc3339(it.from)),
        "until_utc": hours.last().map(|it| rfc3339(it.until)),
        "during": (hours.iter()).map(|it| json::span(it.from, it.until)).collect::<Value>(),
    })
}
