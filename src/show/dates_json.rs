//! Which evenings suit, for machines. Names carry units and stay; fields are only ever added.

use chrono::Weekday;
use serde::Serialize;

use crate::plan::dates::{
    Audience, Backup, Best, Change, Dates, Evening, Missing, Shown, Term, WhyMissing, WishMet,
};
use crate::show::dates_words::{event_words, not_there_words, offer_words};
use crate::show::happenings_json::{HappeningJson, happening};
use crate::show::json;
use crate::show::words::rfc3339;

#[derive(Serialize)]
struct DatesJson<'a> {
    from: String,
    to: String,
    site: &'a str,
    time_zone: &'a str,
    audience: &'static str,
    wishes: Vec<&'a str>,
    window_from_local: String,
    window_until_local: String,
    weekdays: Vec<String>,
    telescopes: &'a [String],
    not_judged: Vec<String>,
    typical_seeing_arcsec: f64,
    observer_margin_dex: f64,
    best: Vec<BestJson<'a>>,
    best_of_months: Vec<OfMonthJson>,
    /// One by one; empty for other audiences.
    wishes_met: Vec<WishMetJson<'a>>,
    evenings: Vec<EveningJson<'a>>,
}

#[derive(Serialize)]
struct BestJson<'a> {
    on: String,
    score: f64,
    backup: Option<BackupJson<'a>>,
    other_backup: Option<BackupJson<'a>>,
}

#[derive(Serialize)]
struct OfMonthJson {
    on: String,
    score: f64,
}

#[derive(Serialize)]
struct WishMetJson<'a> {
    name: &'a str,
    on_evenings: usize,
    /// The first evening on which it is at its surest.
    best_on: Option<String>,
    /// In typical air, then.
    best_grade: Option<&'static str>,
}

#[derive(Serialize)]
struct BackupJson<'a> {
    evening: EveningJson<'a>,
    changes: Vec<ChangeJson>,
}

#[derive(Serialize)]
struct ChangeJson {
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    name: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    grade_from: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    grade_to: Option<&'static str>,
    /// In the unit that `kind` says.
    #[serde(skip_serializing_if = "Option::is_none")]
    value_from: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    value_to: Option<f64>,
}

#[derive(Serialize)]
struct EveningJson<'a> {
    on: String,
    from_utc: String,
    until_utc: String,
    score: f64,
    shows: Vec<ShownJson<'a>>,
    happenings: Vec<HappensJson<'a>>,
    terms: Vec<TermJson>,
    missing: Vec<MissingJson<'a>>,
    moon_lit: f64,
    /// `null` where it is not clear of the skyline.
    moon_altitude_deg: Option<f64>,
    dark_from_utc: Option<String>,
    dark_minutes: f64,
    dark_minutes_before_bedtime: Option<f64>,
}

#[derive(Serialize)]
struct ShownJson<'a> {
    id: String,
    name: &'a str,
    points: f64,
    /// Those that show most of it, alike; `details` are the first one's.
    telescopes: Vec<&'a str>,
    from_utc: String,
    until_utc: String,
    best_utc: String,
    altitude_deg: f64,
    azimuth_deg: f64,
    details: Vec<DetailJson<'a>>,
}

#[derive(Serialize)]
struct DetailJson<'a> {
    id: &'a str,
    name: &'a str,
    /// In typical air.
    grade: &'static str,
}

/// As `--happenings` has it, and what it brings.
#[derive(Serialize)]
struct HappensJson<'a> {
    name: String,
    points: f64,
    #[serde(flatten)]
    happening: HappeningJson<'a>,
}

#[derive(Serialize)]
struct TermJson {
    kind: &'static str,
    points: f64,
}

#[derive(Serialize)]
struct MissingJson<'a> {
    name: &'a str,
    why: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    highest_deg: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    words: Option<String>,
}

/// The answer as a document.
pub fn json(dates: &Dates) -> String {
    json::document(&DatesJson {
        from: dates.from.to_string(),
        to: dates.to.to_string(),
        site: &dates.site_name,
        time_zone: dates.zone.name(),
        audience: audience(&dates.audience),
        wishes: wishes(&dates.audience),
        window_from_local: dates.window.from().format("%H:%M").to_string(),
        window_until_local: dates.window.until().format("%H:%M").to_string(),
        weekdays: dates.weekdays.iter().map(Weekday::to_string).collect(),
        telescopes: &dates.telescopes,
        not_judged: dates.not_judged.iter().map(ToString::to_string).collect(),
        typical_seeing_arcsec: dates.typical_seeing_arcsec,
        observer_margin_dex: dates.observer_margin_dex,
        best: (dates.best.iter())
            .map(|best| best_json(dates, best))
            .collect(),
        best_of_months: (dates.of_months.iter())
            .map(|it| OfMonthJson {
                on: it.on.to_string(),
                score: it.score,
            })
            .collect(),
        wishes_met: dates.wishes.iter().map(wish_met_json).collect(),
        evenings: (dates.evenings.iter())
            .map(|evening| evening_json(dates, evening))
            .collect(),
    })
}

fn wish_met_json(wish: &WishMet) -> WishMetJson<'_> {
    WishMetJson {
        name: &wish.name,
        on_evenings: wish.n_evenings,
        best_on: wish.best.map(|(on, _)| on.to_string()),
        best_grade: wish.best.map(|(_, grade)| grade.word()),
    }
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

fn best_json<'a>(dates: &'a Dates, best: &'a Best) -> BestJson<'a> {
    let backup = |backup: &'a Backup| BackupJson {
        evening: evening_json(dates, &backup.evening),
        changes: backup.changes.iter().map(change_json).collect(),
    };
    BestJson {
        on: best.evening.on.to_string(),
        score: best.evening.score,
        backup: best.backup.as_ref().map(backup),
        other_backup: best.other_backup.as_ref().map(backup),
    }
}

fn change_json(change: &Change) -> ChangeJson {
    let mut json = ChangeJson {
        kind: match change {
            Change::MoonLit { .. } => "moon_lit",
            Change::Gone(_) => "gone",
            Change::New(_) => "new",
            Change::Graded { .. } => "grade",
            Change::DarkMinutes { .. } => "dark_minutes",
        },
        name: None,
        grade_from: None,
        grade_to: None,
        value_from: None,
        value_to: None,
    };
    match change {
        Change::Gone(offer) | Change::New(offer) => json.name = Some(offer_words(offer)),
        Change::Graded { name, from, to } => {
            json.name = Some(name.clone());
            (json.grade_from, json.grade_to) = (Some(from.word()), Some(to.word()));
        }
        Change::MoonLit { from, to } | Change::DarkMinutes { from, to } => {
            (json.value_from, json.value_to) = (Some(*from), Some(*to));
        }
    }
    json
}

fn evening_json<'a>(dates: &'a Dates, evening: &'a Evening) -> EveningJson<'a> {
    let term = |term: &Term| TermJson {
        kind: term.kind.word(),
        points: term.points,
    };
    EveningJson {
        on: evening.on.to_string(),
        from_utc: rfc3339(evening.from),
        until_utc: rfc3339(evening.until),
        score: evening.score,
        shows: (evening.shown.iter())
            .map(|shown| shown_json(dates, shown))
            .collect(),
        happenings: (evening.happens.iter())
            .map(|it| HappensJson {
                name: event_words(it.event),
                points: it.points,
                happening: happening(&it.listed, &[]),
            })
            .collect(),
        terms: evening.terms.iter().map(term).collect(),
        missing: evening.missing.iter().map(missing_json).collect(),
        moon_lit: evening.moon.lit,
        moon_altitude_deg: evening.moon.altitude_deg,
        dark_from_utc: evening.dark.from.map(rfc3339),
        dark_minutes: evening.dark.minutes,
        dark_minutes_before_bedtime: evening.dark.minutes_before_bedtime,
    }
}

fn shown_json<'a>(dates: &'a Dates, shown: &'a Shown) -> ShownJson<'a> {
    let outlook = &shown.outlook;
    let (first, last) = (
        &outlook.stretches[0],
        &outlook.stretches[outlook.stretches.len() - 1],
    );
    ShownJson {
        id: match &shown.detail_id {
            Some(id) => id.clone(),
            None => shown.outlook.subject().id().to_string(),
        },
        name: &shown.name,
        points: shown.points,
        telescopes: (shown.telescopes.iter())
            .map(|idx| dates.telescopes[*idx].as_str())
            .collect(),
        from_utc: rfc3339(first.from),
        until_utc: rfc3339(last.until),
        best_utc: rfc3339(outlook.best),
        altitude_deg: outlook.at_best.refracted_altitude_deg(),
        azimuth_deg: outlook.at_best.azimuth_deg(),
        details: (shown.details.iter())
            .map(|detail| DetailJson {
                id: &detail.id,
                name: &detail.name,
                grade: detail.grade.word(),
            })
            .collect(),
    }
}

fn missing_json(missing: &Missing) -> MissingJson<'_> {
    let (why, highest_deg, words) = match &missing.why {
        WhyMissing::Low => ("low", None, None),
        WhyMissing::Skyline { highest_deg } => ("skyline", Some(*highest_deg), None),
        WhyMissing::Twilight => ("twilight", None, None),
        WhyMissing::NearSun => ("near_sun", None, None),
        WhyMissing::NotThere(why) => ("not_there", None, Some(not_there_words(why.as_ref()))),
        WhyMissing::Beyond => ("beyond", None, None),
    };
    MissingJson {
        name: &missing.name,
        why,
        highest_deg,
        words,
    }
}
