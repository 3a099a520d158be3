//! A public evening, for machines. Names carry units and stay; fields are only ever added.

use chrono::{DateTime, Utc};
use serde::Serialize;

use crate::plan::assignment::Refuge;
use crate::plan::session::{
    Direction, First, Queue, Session, ShownTarget, SizeOf, Slot, Station, Step, Turn,
};
use crate::show::json::AirsJson;
use crate::show::words::rfc3339;
use crate::show::{assumed, caution, figure, json, session_words};
use crate::targets::subject::Subject;
use crate::targets::verdict::Verdict;
use crate::workshop::Helper;

#[derive(Serialize)]
struct SessionJson<'a> {
    on: String,
    site: &'a str,
    time_zone: &'static str,
    visitors: u32,
    first: Option<&'static str>,
    gather_utc: String,
    from_utc: String,
    until_utc: String,
    first_look_utc: Option<String>,
    last_look_utc: Option<String>,
    decide_by_utc: Option<String>,
    backup_on: Option<String>,
    leader: Option<&'a str>,
    sun: SunJson,
    moon: MoonJson,
    observer_margin_dex: f64,
    minimum_stay_minutes: u32,
    most_changes: u32,
    slots: Vec<SlotJson>,
    telescopes: Vec<StationJson<'a>>,
    queue: QueueJson,
    plan_total: f64,
    plan_bound: f64,
    gap: f64,
    infeasible: Vec<String>,
    cautions: Vec<String>,
    assumed: Vec<String>,
    /// The day on which people come.
    evening_date: String,
}

#[derive(Serialize)]
struct SunJson {
    set_utc: Option<String>,
    rise_utc: Option<String>,
    civil_dusk_utc: Option<String>,
    nautical_dusk_utc: Option<String>,
    nautical_dawn_utc: Option<String>,
    civil_dawn_utc: Option<String>,
}

#[derive(Serialize)]
struct MoonJson {
    lit: f64,
    waxing: bool,
    altitude_deg: f64,
    rises_utc: Option<String>,
    sets_utc: Option<String>,
}

#[derive(Serialize)]
struct SlotJson {
    from_utc: String,
    until_utc: String,
}

#[derive(Serialize)]
struct StationJson<'a> {
    name: &'a str,
    /// Why it shows nothing, where it cannot be judged.
    not_judged: Option<&'a str>,
    class: Option<&'static str>,
    aperture_mm: Option<f64>,
    focal_length_mm: Option<f64>,
    strehl: Option<f64>,
    figure: Option<String>,
    place: Option<&'a str>,
    helper: &'static str,
    low_eyepiece: bool,
    for_children: bool,
    put_out_utc: Option<String>,
    put_out_by_day: Option<bool>,
    collimate_utc: Option<String>,
    eyepiece_height_m: Option<HeightsJson>,
    queue: QueueJson,
    turns: Vec<TurnJson<'a>>,
}

#[derive(Serialize)]
struct HeightsJson {
    lowest: f64,
    highest: f64,
    child_step: Option<f64>,
    adult_step: Option<f64>,
    seated_throughout: bool,
}

#[derive(Serialize)]
struct QueueJson {
    seconds_per_look: f64,
    recentre_s: f64,
    pointing_s: f64,
    looks_per_hour: f64,
    looks: u32,
    served: u32,
    looks_per_visitor: f64,
    expected_wait_min: f64,
}

#[derive(Serialize)]
struct TurnJson<'a> {
    from_utc: String,
    until_utc: String,
    #[serde(flatten)]
    shown: ShownTargetJson<'a>,
    fallback: Option<FallbackJson<'a>>,
    /// By slot of the turn.
    fallback_by_slot: Vec<Option<&'a str>>,
}

#[derive(Serialize)]
struct FallbackJson<'a> {
    refuge: &'static str,
    #[serde(flatten)]
    shown: ShownTargetJson<'a>,
}

#[derive(Serialize)]
struct ShownTargetJson<'a> {
    id: &'a str,
    target: &'a str,
    at_utc: String,
    altitude_deg: f64,
    azimuth_deg: f64,
    direction: String,
    clear_from_utc: String,
    clear_until_utc: String,
    ends_behind: Option<&'a str>,
    eyepiece: &'a str,
    magnification: f64,
    true_field_deg: f64,
    drift_s: Option<f64>,
    eyepiece_height_m: Option<f64>,
    look_for: DetailJson<'a>,
    others: Vec<DetailJson<'a>>,
    distance_km: Option<f64>,
    light_time_s: Option<f64>,
    diameter_km: Option<f64>,
    apparent_size_arcmin: Option<f64>,
    /// When the turn begins; all figures above are for `at_utc`, its middle.
    start: DirectionJson,
    /// When it ends.
    end: DirectionJson,
    moved_deg: f64,
    seems_from_km: Option<f64>,
    smallest_km: Option<f64>,
    light_gain: f64,
    apparent_size_of: Option<&'static str>,
    is_wider_than_view: bool,
    distance_ly: Option<f64>,
    extent_ly: Option<f64>,
    gap_au: Option<f64>,
}

#[derive(Serialize)]
struct DirectionJson {
    altitude_deg: f64,
    azimuth_deg: f64,
    direction: String,
}

#[derive(Serialize)]
struct DetailJson<'a> {
    id: &'a str,
    name: &'a str,
    say: &'a str,
    grade: AirsJson<&'static str>,
}

/// The whole evening.
pub fn json(session: &Session) -> String {
    let window = &session.window;
    let zone = session.zone;
    json::document(&SessionJson {
        on: session.on.to_string(),
        site: &session.site_name,
        time_zone: zone.name(),
        visitors: session.visitors,
        first: session.first.map(|first| match first {
            First::Children => "children",
            First::Wheelchair => "wheelchair",
        }),
        gather_utc: rfc3339(window.gather),
        from_utc: rfc3339(window.from),
        until_utc: rfc3339(window.until),
        first_look_utc: window.first_look.map(rfc3339),
        last_look_utc: window.last_look.map(rfc3339),
        decide_by_utc: session.decision.by.map(rfc3339),
        backup_on: session.decision.backup.map(|on| on.to_string()),
        leader: session.decision.leader.as_deref(),
        sun: sun(session),
        moon: moon(session),
        observer_margin_dex: session.observer_margin_dex,
        minimum_stay_minutes: session.evening.minimum_stay_minutes,
        most_changes: session.evening.most_changes,
        slots: session.slots.iter().map(slot).collect(),
        telescopes: session.telescopes.iter().map(station).collect(),
        queue: queue(&session.queue),
        plan_total: session.total.plan,
        plan_bound: session.total.bound,
        gap: session.total.gap,
        infeasible: (session.infeasible.iter())
            .map(|what| session_words::impossible(what, zone))
            .collect(),
        cautions: (session.cautions.iter())
            .map(|caution| caution::words(*caution, zone))
            .collect(),
        assumed: (session.assumed.iter()).map(assumed::line).collect(),
        evening_date: session.evening_date.to_string(),
    })
}

fn sun(session: &Session) -> SunJson {
    let time = |at: Option<DateTime<Utc>>| at.map(rfc3339);
    let [civil, nautical, _] = &session.sun.twilights;
    SunJson {
        set_utc: time(session.sun.set),
        rise_utc: time(session.sun.rise),
        civil_dusk_utc: time(civil.dusk),
        nautical_dusk_utc: time(nautical.dusk),
        nautical_dawn_utc: time(nautical.dawn),
        civil_dawn_utc: time(civil.dawn),
    }
}

fn moon(session: &Session) -> MoonJson {
    let moon = &session.moon;
    MoonJson {
        lit: moon.lit,
        waxing: moon.is_waxing,
        altitude_deg: moon.altitude_deg,
        rises_utc: moon.rises.map(rfc3339),
        sets_utc: moon.sets.map(rfc3339),
    }
}

fn slot(slot: &Slot) -> SlotJson {
    SlotJson {
        from_utc: rfc3339(slot.from),
        until_utc: rfc3339(slot.until),
    }
}

fn station(station: &Station) -> StationJson<'_> {
    let summary = station.summary.as_ref().ok();
    StationJson {
        name: &station.name,
        not_judged: station.summary.as_ref().err().map(String::as_str),
        class: summary.map(|summary| session_words::class(summary.class)),
        aperture_mm: summary.map(|summary| summary.aperture_mm),
        focal_length_mm: summary.map(|summary| summary.focal_length_mm),
        strehl: summary.map(|summary| summary.strehl),
        figure: summary.map(|summary| figure::words(&summary.figure)),
        place: station.place.as_deref(),
        helper: match station.helper {
            Helper::New => "new",
            Helper::Practised => "practised",
        },
        low_eyepiece: station.is_low,
        for_children: station.is_for_children,
        put_out_utc: station.put_out.map(|put_out| rfc3339(put_out.by)),
        put_out_by_day: station.put_out.map(|put_out| put_out.by_day),
        collimate_utc: station.before.iter().find_map(|step| match step {
            Step::Collimate { by, .. } => Some(rfc3339(*by)),
            _ => None,
        }),
        eyepiece_height_m: station.heights.map(|heights| HeightsJson {
            lowest: heights.lowest_m,
            highest: heights.highest_m,
            child_step: heights.child_step_m,
            adult_step: heights.adult_step_m,
            seated_throughout: heights.seated_throughout,
        }),
        queue: queue(&station.queue),
        turns: station.turns.iter().map(turn).collect(),
    }
}

fn queue(queue: &Queue) -> QueueJson {
    QueueJson {
        seconds_per_look: queue.seconds_per_look,
        recentre_s: queue.recentre_s,
        pointing_s: queue.pointing_s,
        looks_per_hour: queue.looks_per_hour,
        looks: queue.looks,
        served: queue.served,
        looks_per_visitor: queue.looks_per_visitor,
        expected_wait_min: queue.expected_wait_min,
    }
}

fn turn(turn: &Turn) -> TurnJson<'_> {
    TurnJson {
        from_utc: rfc3339(turn.from),
        until_utc: rfc3339(turn.until),
        shown: shown_target(&turn.shown),
        fallback: turn.fallback.as_ref().map(|fallback| FallbackJson {
            refuge: match fallback.refuge {
                Refuge::Elsewhere => "elsewhere",
                Refuge::Crowded => "crowded",
                Refuge::SamePart => "same_part",
            },
            shown: shown_target(&fallback.shown),
        }),
        fallback_by_slot: (turn.fallback_by_slot.iter())
            .map(|subject| subject.as_ref().map(Subject::id))
            .collect(),
    }
}

fn shown_target(shown: &ShownTarget) -> ShownTargetJson<'_> {
    ShownTargetJson {
        id: shown.subject.id(),
        target: shown.subject.name(),
        at_utc: rfc3339(shown.at),
        altitude_deg: shown.direction.altitude_deg,
        azimuth_deg: shown.direction.azimuth_deg,
        direction: session_words::direction(&shown.direction),
        clear_from_utc: rfc3339(shown.limits.from),
        clear_until_utc: rfc3339(shown.limits.until),
        ends_behind: shown.ends_behind.as_deref(),
        eyepiece: &shown.view.eyepiece,
        magnification: shown.view.magnification,
        true_field_deg: shown.view.true_field_deg,
        drift_s: shown.drift_s,
        eyepiece_height_m: shown.eyepiece_height_m,
        look_for: detail(&shown.look_for),
        others: shown.others.iter().map(detail).collect(),
        distance_km: shown.facts.distance_km,
        light_time_s: shown.facts.light_time_s,
        diameter_km: shown.facts.diameter_km,
        apparent_size_arcmin: shown.facts.apparent_size_arcmin,
        start: direction(&shown.path.start),
        end: direction(&shown.path.end),
        moved_deg: shown.path.moved_deg,
        seems_from_km: shown.facts.seems_from_km,
        smallest_km: shown.facts.smallest_km,
        light_gain: shown.facts.light_gain,
        apparent_size_of: (shown.facts.apparent_size_arcmin)
            .map(|_| size_of(shown.facts.apparent_size_of)),
        is_wider_than_view: shown.facts.is_wider_than_view,
        distance_ly: shown.facts.distance_ly,
        extent_ly: shown.facts.extent_ly,
        gap_au: shown.facts.gap_au,
    }
}

fn size_of(of: SizeOf) -> &'static str {
    match of {
        SizeOf::Whole => "whole",
        SizeOf::BrightPart => "bright_part",
        SizeOf::Gap => "gap",
    }
}

fn direction(direction: &Direction) -> DirectionJson {
    DirectionJson {
        altitude_deg: direction.altitude_deg,
        azimuth_deg: direction.azimuth_deg,
        direction: session_words::direction(direction),
    }
}

fn detail(verdict: &Verdict) -> DetailJson<'_> {
    DetailJson {
        id: &verdict.caption.id,
        name: &verdict.caption.name,
        say: &verdict.caption.say,
        grade: AirsJson::from(verdict.grade.map(|grade| grade.word())),
    }
}
