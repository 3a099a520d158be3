//! One night, for machines. Names carry units and stay; fields are only ever added.

use chrono::{DateTime, Utc};
use serde_json::{Value, json};

use crate::optics::instrument::Instrument;
use crate::plan::night::{BodyTimes, Night, RedSpotTonight, TelescopeNight};
use crate::plan::outlook::{Stretch, Target};
use crate::plan::sun::SunTimes;
use crate::show::happenings::json::happening;
use crate::show::json;
use crate::show::night::{faces, glance};
use crate::show::words::{assumed, caption, caution, figure, rfc3339, rounded, too_far, why};
use crate::sky::almanac::Span;
use crate::sky::satellite_events::SatelliteEvent;
use crate::targets::verdict::Verdict;

/// The whole night.
pub fn json(night: &Night) -> String {
    let events = night.satellite_events.iter();
    let happenings = night.happenings.iter();
    let cautions = night.cautions.iter().copied();
    json::document(json!({
        "on": night.on.to_string(),
        "site": night.site_name,
        "sun": sun(&night.sun),
        "bodies": night.bodies.iter().map(body).collect::<Value>(),
        "red_spot": red_spot(&night.red_spot),
        "events": events.map(|contact| event(contact, night)).collect::<Value>(),
        "happenings": happenings.map(|listed| happening(listed, &night.moon_fields)).collect::<Value>(),
        "too_far": night.too_far.iter().map(too_far::words).collect::<Value>(),
        "telescopes": night.telescopes.iter().map(telescope).collect::<Value>(),
        "table": glance::json(night),
        "cautions": cautions.map(|caution| caution::words(caution, night.zone)).collect::<Value>(),
        "assumed": night.assumed.iter().map(assumed::line).collect::<Value>(),
        "observer_margin_dex": night.observer_margin_dex,
    }))
}

/// From which measurement the Great Red Spot's times are.
fn red_spot(spot: &RedSpotTonight) -> Value {
    json!({
        "system_2_longitude_deg": spot.measured.longitude_deg,
        "measured_on": spot.measured.measured_on.to_string(),
        "drift_deg_per_month": spot.measured.drift_deg_per_month,
        "age_months": rounded(spot.age_months, 1),
        "uncertain_min": rounded(spot.uncertain_min, 0),
    })
}

/// At the Earth's centre, the moon's on the limb or on the shadow's edge; `in_view`: Jupiter is on this
/// night's list then.
fn event(contact: &SatelliteEvent, night: &Night) -> Value {
    let utc = contact.at();
    let of = contact.satellite.planet();
    let mut targets = night.telescopes.iter().flat_map(|it| &it.targets);
    let target = targets.find(|target| target.outlook.subject().body() == Some(of));
    let in_view = target.is_some_and(|target| {
        let mut stretches = target.outlook.stretches.iter();
        stretches.any(|stretch| stretch.from <= utc && utc <= stretch.until)
    });
    json!({
        "utc": rfc3339(utc),
        "kind": contact.kind,
        "phase": contact.phase,
        "body": contact.satellite.id(),
        "of": of,
        "observable": contact.observable,
        "visible_utc": contact.visible_at().map(rfc3339),
        "grazing": contact.grazing,
        "in_view": in_view,
    })
}

fn sun(sun: &SunTimes) -> Value {
    let [civil, nautical, astronomical] = &sun.twilights;
    json!({
        "set_utc": sun.set.map(rfc3339),
        "rise_utc": sun.rise.map(rfc3339),
        "civil_dusk_utc": civil.dusk.map(rfc3339),
        "civil_dawn_utc": civil.dawn.map(rfc3339),
        "nautical_dusk_utc": nautical.dusk.map(rfc3339),
        "nautical_dawn_utc": nautical.dawn.map(rfc3339),
        "astronomical_dusk_utc": astronomical.dusk.map(rfc3339),
        "astronomical_dawn_utc": astronomical.dawn.map(rfc3339),
    })
}

fn body(times: &BodyTimes) -> Value {
    let all = |instants: &[DateTime<Utc>]| instants.iter().copied().map(rfc3339).collect::<Value>();
    json!({
        "body": times.body,
        "rises": all(&times.rises),
        "transits": all(&times.transits),
        "sets": all(&times.sets),
    })
}

/// When to put it out, and how long it cools, are null without targets or without the mirror's thickness.
fn telescope(telescope: &TelescopeNight) -> Value {
    let (instrument, put_out) = (&telescope.instrument, telescope.put_out);
    let targets = |seen: &[Target]| -> Value {
        let judged = instrument.iter();
        judged
            .flat_map(|judged| seen.iter().map(|seen| target(seen, judged)))
            .collect()
    };
    json!({
        "name": telescope.name,
        "figure": match instrument {
            Ok(instrument) => figure::words(&instrument.figure),
            Err(why) => why.to_string(),
        },
        "put_out_utc": put_out.map(|put_out| rfc3339(put_out.by)),
        "cooling_min": put_out.map(|put_out| put_out.cooling.still_air_min),
        "targets": targets(&telescope.targets),
        "beyond": targets(&telescope.beyond),
    })
}

/// All but the windows is for the best time; right ascension and declination topocentric, true equator and
/// equinox of date.
fn target(target: &Target, instrument: &Instrument) -> Value {
    let outlook = &target.outlook;
    let (stretches, at_best) = (&outlook.stretches, &outlook.at_best);
    let window = |stretch: &Stretch| json::span(stretch.from, stretch.until);
    let place = at_best.place();
    let verdicts = target.verdicts.iter();
    let target = json!({
        "body": outlook.subject().id(),
        "from_utc": rfc3339(stretches[0].from),
        "until_utc": rfc3339(stretches[stretches.len() - 1].until),
        "best_utc": rfc3339(outlook.best),
        "still_climbing": outlook.still_climbing,
        "windows": stretches.iter().map(window).collect::<Value>(),
        "altitude_deg": place.refracted_altitude_deg,
        "azimuth_deg": place.azimuth_deg,
        "diameter_arcsec": at_best.appearance().map(|seen| seen.diameter_arcsec),
        "right_ascension_deg": place.topocentric_right_ascension_deg,
        "declination_deg": place.topocentric_declination_deg,
        "airmass": outlook.sky.airmass,
        "sky_brightness_mag_arcsec2": outlook.sky.sky_brightness_mag_arcsec2,
        "moons": (!outlook.moons.is_empty()).then_some(&outlook.moons),
        "face": faces::json(&outlook.face),
        "details": verdicts.map(|verdict| detail(verdict, instrument)).collect::<Value>(),
    });
    json::absent_if_null(target, &["diameter_arcsec", "moons", "face"])
}

/// `during` is when it is there, if it comes and goes while its body can be looked at; else empty. `best_utc` is when it
/// shows best, where that is another hour than its body's: it is graded for then.
/// `margin` is in powers of ten over a practised observer's 50 % threshold; `contrast_spread` is to be
/// added to it at the weak and at the strong end of what the detail's contrast may be, zeros where it is sure.
/// `in_good_air`: the eyepiece without which good air does not bring its grade, null where the other one does.
/// `instead`: what else gains a grade in typical air, null where `why` says enough.
fn detail(verdict: &Verdict, instrument: &Instrument) -> Value {
    let span = |span: &Span| Some(json::span(span.from_utc()?, span.until_utc()?));
    json!({
        "id": verdict.caption.id,
        "name": caption::name(&verdict.caption.name),
        "best_utc": verdict.best_utc().map(rfc3339),
        "during": verdict.during.iter().filter_map(span).collect::<Value>(),
        "eyepiece": instrument.views[verdict.view].eyepiece,
        "magnification": verdict.magnification,
        "in_good_air": verdict.view_in_good_air.map(|view| json!({
            "eyepiece": instrument.views[view].eyepiece,
            "magnification": instrument.views[view].magnification,
        })),
        "grade": verdict.grade.map(|grade| grade.word()),
        "margin": verdict.margin,
        "contrast_spread": {
            "weak": rounded(verdict.spread_dex.0, 3),
            "strong": rounded(verdict.spread_dex.1, 3),
        },
        "limited_by": verdict.limited_by.word(),
        "why": why::words(&verdict.why),
        "instead": verdict.instead.as_ref().and_then(why::instead),
        "among_stars": verdict.caption.among_stars,
        "say": verdict.caption.say,
    })
}
