//! Which evenings suit, for machines. Names carry units and stay; fields are only ever added.

use chrono::Weekday;
use serde_json::{Value, json};

use crate::plan::dates::{
    Audience, Backup, Best, Change, Dates, Evening, GradedDetail, Happens, Missing, OfMonth, Shown,
    WhyMissing, WishMet,
};
use crate::show::dates::wording::{event_words, not_there_words, offer_words};
use crate::show::happenings::json::happening;
use crate::show::json;
use crate::show::words::{caption, rfc3339};

/// The answer as a document. Dark is what civil twilight leaves; `moon_lit` is of the middle of the hours.
pub fn json(dates: &Dates) -> String {
    let evenings = dates.evenings.iter();
    json::document(json!({
        "from": dates.from.to_string(),
        "to": dates.to.to_string(),
        "site": dates.site_name,
        "time_zone": dates.zone.name(),
        "audience": audience(&dates.audience),
        "wishes": wishes(&dates.audience),
        "window_from_local": dates.window.from().format("%H:%M").to_string(),
        "window_until_local": dates.window.until().format("%H:%M").to_string(),
        "weekdays": dates.weekdays.iter().map(Weekday::to_string).collect::<Value>(),
        "telescopes": dates.telescopes,
        "not_judged": dates.not_judged.iter().map(ToString::to_string).collect::<Value>(),
        "typical_seeing_arcsec": dates.typical_seeing_arcsec,
        "observer_margin_dex": dates.observer_margin_dex,
        "best": dates.best.iter().map(|it| best(dates, it)).collect::<Value>(),
        "best_of_months": dates.of_months.iter().map(of_month).collect::<Value>(),
        "wishes_met": dates.wishes.iter().map(wish_met).collect::<Value>(),
        "evenings": evenings.map(|it| evening(dates, it)).collect::<Value>(),
    }))
}

fn audience(audience: &Audience) -> &'static str {
    match audience {
        Audience::Public => "public",
        Audience::FigureTest => "figure-test",
        Audience::OwnList(_) => "own-list",
    }
}

fn wishes(audience: &Audience) -> Vec<&str> {
    let Audience::OwnList(wishes) = audience else {
        return Vec::new();
    };
    (wishes.iter())
        .map(|wish| wish.detail_id.as_deref().unwrap_or(wish.subject.id()))
        .collect()
}

fn best(dates: &Dates, best: &Best) -> Value {
    let backup = |backup: &Backup| {
        json!({
            "evening": evening(dates, &backup.evening),
            "changes": backup.changes.iter().map(change).collect::<Value>(),
        })
    };
    json!({
        "on": best.evening.on.to_string(),
        "score": best.evening.score,
        "backup": best.backup.as_ref().map(backup),
        "other_backup": best.other_backup.as_ref().map(backup),
    })
}

fn of_month(best: &OfMonth) -> Value {
    json!({ "on": best.on.to_string(), "score": best.score })
}

/// The evening on which it brings most, and its grade in typical air then.
fn wish_met(wish: &WishMet) -> Value {
    json!({
        "name": wish.name,
        "on_evenings": wish.n_evenings,
        "best_on": wish.best.map(|(on, _)| on.to_string()),
        "best_grade": wish.best.map(|(_, grade)| grade.word()),
    })
}

/// Values in the unit that `kind` says.
fn change(change: &Change) -> Value {
    let values = |kind: &str, from: &f64, to: &f64| json!({ "kind": kind, "value_from": from, "value_to": to });
    match change {
        Change::MoonLit { from, to } => values("moon_lit", from, to),
        Change::DarkMinutes { from, to } => values("dark_minutes", from, to),
        Change::Gone(offer) => json!({ "kind": "gone", "name": offer_words(offer) }),
        Change::New(offer) => json!({ "kind": "new", "name": offer_words(offer) }),
        Change::Graded { name, from, to } => json!({
            "kind": "grade",
            "name": name,
            "grade_from": from.word(),
            "grade_to": to.word(),
        }),
    }
}

/// The Moon's altitude is null where it is not clear of the skyline.
fn evening(dates: &Dates, evening: &Evening) -> Value {
    let shows = evening.shown.iter().map(|it| shown(dates, it));
    json!({
        "on": evening.on.to_string(),
        "evening_date": evening.date.to_string(),
        "from_utc": rfc3339(evening.from),
        "until_utc": rfc3339(evening.until),
        "score": evening.score,
        "shows": shows.collect::<Value>(),
        "happenings": evening.happens.iter().map(happens).collect::<Value>(),
        "terms": evening.terms,
        "missing": evening.missing.iter().map(missing).collect::<Value>(),
        "moon_lit": evening.moon.lit,
        "moon_lit_on_right": evening.moon.lit_on_right,
        "moon_altitude_deg": evening.moon.altitude_deg,
        "dark_from_utc": evening.dark.from.map(rfc3339),
        "dark_minutes": evening.dark.minutes,
        "dark_minutes_before_bedtime": evening.dark.minutes_before_bedtime,
    })
}

/// Telescopes are those that show most of it, alike; `details` are the first one's.
fn shown(dates: &Dates, shown: &Shown) -> Value {
    let (outlook, stretches) = (&shown.outlook, &shown.outlook.stretches);
    let subject = outlook.subject();
    let telescopes = shown.telescopes.iter();
    json!({
        "id": shown.detail_id.as_deref().unwrap_or(subject.id()),
        "name": shown.name,
        "points": shown.points,
        "telescopes": telescopes.map(|idx| dates.telescopes[*idx].as_str()).collect::<Value>(),
        "from_utc": rfc3339(stretches[0].from),
        "until_utc": rfc3339(stretches[stretches.len() - 1].until),
        "best_utc": rfc3339(outlook.best),
        "altitude_deg": outlook.at_best.place().refracted_altitude_deg,
        "azimuth_deg": outlook.at_best.place().azimuth_deg,
        "details": shown.details.iter().map(detail).collect::<Value>(),
    })
}

/// The grade in typical air.
fn detail(detail: &GradedDetail) -> Value {
    json!({ "id": detail.id, "name": caption::name(&detail.name), "grade": detail.grade.word() })
}

/// As `--happenings` has it, and what it brings.
fn happens(it: &Happens) -> Value {
    let brings = json!({ "name": event_words(it.event), "points": it.points });
    json::joined(brings, happening(&it.listed, &[]))
}

fn missing(missing: &Missing) -> Value {
    let name = &missing.name;
    match &missing.why {
        WhyMissing::Low => json!({ "name": name, "why": "low" }),
        WhyMissing::Twilight => json!({ "name": name, "why": "twilight" }),
        WhyMissing::NearSun => json!({ "name": name, "why": "near_sun" }),
        WhyMissing::NotWell => json!({ "name": name, "why": "not_well" }),
        WhyMissing::Beyond => json!({ "name": name, "why": "beyond" }),
        WhyMissing::Skyline { highest_deg } => {
            json!({ "name": name, "why": "skyline", "highest_deg": highest_deg })
        }
        WhyMissing::NotThere(why) => {
            let words = not_there_words(why.as_ref());
            json!({ "name": name, "why": "not_there", "words": words })
        }
    }
}
