//! One detail's way from the sky to the eye, in words and numbers.

use chrono_tz::Tz;
use serde_json::{Value, json};

use crate::optics::instrument::{Instrument, View};
use crate::plan::explain::DetailExplained;
use crate::show::page::{Block, Labelled, Page, Table};
use crate::show::words::caption;
use crate::show::{json, words};
use crate::targets::asked::Spread;
use crate::targets::explain::{Explanation, Fineness, ViewExplained};
use crate::targets::grade::{FLEETING_FROM, PATIENT_FROM, PLAIN_FROM, ThreeAirs};
use crate::targets::limit::Limit;
use crate::targets::sight::Sight;
use crate::targets::subject::Subject;
use crate::targets::tried::{Condition, GradeTurn, Tried};

/// Where the words beside a label begin.
const LABEL_COLUMNS: usize = 15;

/// All telescopes, local times.
pub fn page(explained: &DetailExplained, zone: Tz) -> Page {
    let outlook = &explained.outlook;
    let across = outlook
        .at_best
        .appearance()
        .map(|seen| format!(", {:.1}\" across", seen.diameter_arcsec))
        .unwrap_or_default();
    let name = caption::name(&explained.asked.caption.name);
    let what = match outlook.subject() {
        Subject::Body(body) => format!("{name} on {}", body.name()),
        Subject::Beyond(_) | Subject::Small(_) => name.clone(),
    };
    let head = format!(
        "{what}, {}: {:.0}° up, airmass {:.1}{across}, sky {:.1} mag/arcsec² there.",
        words::date_and_clock(outlook.best, zone),
        outlook.at_best.place().refracted_altitude_deg,
        outlook.sky.airmass,
        outlook.sky.sky_brightness_mag_arcsec2
    );
    let note = format!(
        "Visibility 1 is a practised observer's even chance: fleeting from {FLEETING_FROM}, patient from \
         {PATIENT_FROM}, plain from {PLAIN_FROM}. Light on the retina in trolands (Td). In brackets: too strong an eyepiece \
         for that air, not counted."
    );
    let telescopes = explained.telescopes.iter();
    Page::named(what)
        .with([Block::say(head)])
        .with(telescopes.map(|(instrument, chain)| telescope(instrument, chain, explained)))
        .with([Block::say(note)])
}

fn telescope(instrument: &Instrument, chain: &Explanation, explained: &DetailExplained) -> Block {
    let mut before = Labelled::new(LABEL_COLUMNS);
    let doubt = doubt_words(explained.asked.spread);
    before.say("the detail", sight_words(&chain.sight) + &doubt);
    before.say("light", light_words(chain));
    if let Some(fineness) = &chain.fineness {
        let airs = explained.seeing_zenith_arcsec;
        before.say("contrast kept", fineness_words(fineness, airs));
    }
    let mut after = Labelled::new(LABEL_COLUMNS);
    after.say("were it ideal", ideals_words(chain));
    after.say("the grade", tried_words(&chain.tried));
    let views = views(instrument, chain);
    Block::section(
        &instrument.name,
        [before.into(), views.into(), after.into()],
    )
}

fn fineness_words(fineness: &Fineness, airs: ThreeAirs<f64>) -> String {
    format!(
        "{:.0} % by the mirror (a perfect one {:.0} %), by the air {:.0} % in {:.1}\", {:.0} % in {:.1}\", {:.0} % \
         in {:.1}\", at {:.2} cycles an arcsecond",
        100.0 * fineness.by_mirror,
        100.0 * fineness.by_perfect,
        100.0 * fineness.by_air.good,
        airs.good,
        100.0 * fineness.by_air.typical,
        airs.typical,
        100.0 * fineness.by_air.poor,
        airs.poor,
        fineness.cycles_per_arcsec
    )
}

fn views(instrument: &Instrument, chain: &Explanation) -> Table {
    let rows = (instrument.views.iter().zip(&chain.views)).map(|(view, seen)| {
        [
            format!("{} {:.0}x", view.eyepiece, view.magnification),
            if chain.luminance_cd_m2 > 0.0 {
                format!("{} Td", words::two_digits(seen.illuminance_td))
            } else {
                String::from("-")
            },
            shown(seen.visibility.good, seen.is_in_use.good),
            shown(seen.visibility.typical, seen.is_in_use.typical),
            shown(seen.visibility.poor, seen.is_in_use.poor),
        ]
    });
    let heading = ["with", "retina", "good", "typical", "poor"];
    Table::new(heading, rows.collect())
}

/// In brackets what is not reckoned with.
fn shown(visibility: f64, is_in_use: bool) -> String {
    let digits = words::two_digits(visibility);
    if is_in_use {
        digits
    } else {
        format!("({digits})")
    }
}

fn ideals_words(chain: &Explanation) -> String {
    let ideals: Vec<String> = (chain.ideals.iter())
        .map(|(limit, visibility)| {
            format!(
                "{} {}",
                limit.word().replace('_', " "),
                words::two_digits(*visibility)
            )
        })
        .collect();
    format!("(typical air) {}", ideals.join(", "))
}

/// Where each condition, moved by itself, changes the grade.
fn tried_words(all: &[Tried]) -> String {
    let words: Vec<String> = all.iter().map(tried_one).collect();
    format!("(typical air, all else as it is) {}", words.join("; "))
}

fn tried_one(tried: &Tried) -> String {
    let value = |value: f64| match tried.condition {
        Condition::Seeing => format!("{value:.1}\""),
        Condition::Altitude => format!("{value:.0}°"),
        Condition::RingOpening => format!("{value:.1}°"),
        Condition::Diameter => format!("{value:.1}\""),
        Condition::Sky => format!("{value:.1} mag/arcsec²"),
    };
    let what = match tried.condition {
        Condition::Seeing => "seeing",
        Condition::Altitude => "height",
        Condition::RingOpening => "ring open",
        Condition::Diameter => "disc",
        Condition::Sky => "sky",
    };
    let turns = [tried.better, tried.worse].into_iter().flatten();
    let turns: Vec<String> = turns
        .map(|turn| {
            let side = if turn.at < tried.now {
                "below"
            } else {
                "above"
            };
            format!("{} {side} {}", turn.grade.word(), value(turn.at))
        })
        .collect();
    let changes = if turns.is_empty() {
        let (least, most) = (value(*tried.within.start()), value(*tried.within.end()));
        format!("the same from {least} to {most}")
    } else {
        turns.join(", ")
    };
    format!("{what} {}: {changes}", value(tried.now))
}

/// What of the light arrives; points and glows in the dark have no ground to be told from.
fn light_words(chain: &Explanation) -> String {
    let arrives = format!(
        "{:.0} % comes through the air, {:.0} % of that to the eyepiece",
        100.0 * chain.through_air,
        100.0 * chain.transmission
    );
    if chain.luminance_cd_m2 > 0.0 {
        let ground = words::two_digits(chain.luminance_cd_m2);
        format!("{ground} cd/m² above the air; {arrives}")
    } else {
        arrives
    }
}

/// What the doubt of its contrast does to all the visibilities below.
fn doubt_words(spread: Spread) -> String {
    if spread == Spread::NONE {
        return String::new();
    }
    format!(
        "; at the weak end of what it may be by nature all visibilities are {} times those below, at the strong end {} times",
        words::two_digits(spread.weak),
        words::two_digits(spread.strong)
    )
}

fn sight_words(sight: &Sight) -> String {
    match *sight {
        Sight::Marking { contrast, .. } => format!(
            "{:.1}\" the narrow way, {:.1}\" the long, {:+.0} % against its surroundings",
            sight.width_arcsec(),
            sight.span_arcsec(),
            100.0 * contrast
        ),
        Sight::Point {
            magnitude,
            from_body_arcsec,
        } if from_body_arcsec.is_infinite() => format!("points of magnitude {magnitude:.1}"),
        Sight::Point {
            magnitude,
            from_body_arcsec,
        } => format!(
            "a point of magnitude {magnitude:.1}, {from_body_arcsec:.0}\" from the middle of the body"
        ),
        Sight::Glow {
            surface_brightness_mag_arcsec2,
            ..
        } => format!("a glow of {surface_brightness_mag_arcsec2:.1} mag/arcsec²"),
        Sight::Pair {
            separation_arcsec,
            magnitude_a,
            magnitude_b,
        } => format!(
            "stars of magnitude {magnitude_a:.1} and {magnitude_b:.1}, {separation_arcsec:.1}\" apart"
        ),
    }
}

/// The same for machines.
pub fn json(explained: &DetailExplained) -> String {
    let outlook = &explained.outlook;
    let telescopes = explained.telescopes.iter();
    json::document(json!({
        "id": explained.asked.caption.id,
        "on": explained.on.to_string(),
        "best_utc": words::rfc3339(outlook.best),
        "altitude_deg": outlook.at_best.place().refracted_altitude_deg,
        "airmass": outlook.sky.airmass,
        "sky_brightness_mag_arcsec2": outlook.sky.sky_brightness_mag_arcsec2,
        "telescopes": telescopes.map(|(instrument, chain)| chain_json(instrument, chain)).collect::<Value>(),
    }))
}

/// Where the grade in typical air changes.
fn tried_json(tried: &Tried) -> Value {
    let turn = |turn: GradeTurn| json!({ "at": turn.at, "grade": turn.grade.word() });
    json!({
        "condition": tried.condition.word(),
        "now": tried.now,
        "from": tried.within.start(),
        "until": tried.within.end(),
        "better": tried.better.map(turn),
        "worse": tried.worse.map(turn),
    })
}

/// Visibility 1 is a practised observer's 50 % threshold.
fn chain_json(instrument: &Instrument, chain: &Explanation) -> Value {
    let fineness = chain.fineness;
    let eyepiece = |(view, seen): (&View, &ViewExplained)| {
        json!({
            "eyepiece": view.eyepiece,
            "magnification": view.magnification,
            "illuminance_td": seen.illuminance_td,
            "visibility": seen.visibility,
            "in_use": seen.is_in_use,
        })
    };
    let ideal = |(link, visibility): &(Limit, f64)| json!({ "link": link.word(), "visibility": visibility });
    let views = instrument.views.iter().zip(&chain.views);
    json!({
        "name": instrument.name,
        "luminance_cd_m2": chain.luminance_cd_m2,
        "through_air": chain.through_air,
        "transmission": chain.transmission,
        "cycles_per_arcsec": fineness.map(|fineness| fineness.cycles_per_arcsec),
        "contrast_kept_by_mirror": fineness.map(|fineness| fineness.by_mirror),
        "contrast_kept_by_perfect_mirror": fineness.map(|fineness| fineness.by_perfect),
        "contrast_kept_by_air": fineness.map(|fineness| fineness.by_air),
        "eyepieces": views.map(eyepiece).collect::<Value>(),
        "ideals": chain.ideals.iter().map(ideal).collect::<Value>(),
        "tried": chain.tried.iter().map(tried_json).collect::<Value>(),
    })
}
