//! One night, for machines. Names carry units and stay; fields are only ever added.

use serde::Serialize;

use crate::optics::instrument::Instrument;
use crate::plan::night::{BodyTimes, Night, TelescopeNight};
use crate::plan::outlook::Target;
use crate::plan::sun::SunTimes;
use crate::show::happenings_json::{HappeningJson, happening};
use crate::show::json::AirsJson;
use crate::show::night_faces::FaceJson;
use crate::show::words::{rfc3339, rounded};
use crate::show::{assumed, caution, figure, json, night_faces, why};
use crate::sky::Body;
use crate::sky::moons::view::SatelliteView;
use crate::sky::satellite_events::{Kind, Phase, SatelliteEvent};
use crate::targets::verdict::Verdict;

#[derive(Serialize)]
struct NightJson<'a> {
    on: String,
    site: &'a str,
    sun: SunJson,
    bodies: Vec<BodyJson>,
    red_spot: RedSpotJson,
    /// Of the moons of Jupiter.
    events: Vec<EventJson>,
    /// As `dates --happenings` has them.
    happenings: Vec<HappeningJson<'a>>,
    /// Asteroids and comets that cannot be placed any more, in words.
    too_far: Vec<String>,
    telescopes: Vec<TelescopeJson<'a>>,
    cautions: Vec<String>,
    assumed: Vec<String>,
    /// Powers of ten by which the file shifts every margin below.
    observer_margin_dex: f64,
}

/// From which measurement the Great Red Spot's times are.
#[derive(Serialize)]
struct RedSpotJson {
    system_2_longitude_deg: f64,
    measured_on: String,
    drift_deg_per_month: f64,
    age_months: f64,
    uncertain_min: f64,
}

/// At the Earth's centre: the moon's centre on the limb or on the shadow's edge.
#[derive(Serialize)]
struct EventJson {
    utc: String,
    kind: Kind,
    phase: Phase,
    body: &'static str,
    of: Body,
    /// There is something to see, wherever Jupiter is up.
    observable: bool,
    /// When it is to be seen: of a shadow, when it comes round the limb.
    visible_utc: Option<String>,
    /// The instant may be off by more than half a minute.
    grazing: bool,
    /// Jupiter is on this night's list then.
    in_view: bool,
}

#[derive(Serialize)]
struct SunJson {
    set_utc: Option<String>,
    rise_utc: Option<String>,
    civil_dusk_utc: Option<String>,
    civil_dawn_utc: Option<String>,
    nautical_dusk_utc: Option<String>,
    nautical_dawn_utc: Option<String>,
    astronomical_dusk_utc: Option<String>,
    astronomical_dawn_utc: Option<String>,
}

#[derive(Serialize)]
struct BodyJson {
    body: Body,
    rises: Vec<String>,
    transits: Vec<String>,
    sets: Vec<String>,
}

#[derive(Serialize)]
struct TelescopeJson<'a> {
    name: &'a str,
    figure: String,
    /// Null without targets or without the mirror's thickness.
    put_out_utc: Option<String>,
    cooling_min: Option<f64>,
    targets: Vec<TargetJson<'a>>,
    /// Beyond the solar system, some of the evening's.
    beyond: Vec<TargetJson<'a>>,
}

#[derive(Serialize)]
struct TargetJson<'a> {
    body: String,
    from_utc: String,
    until_utc: String,
    best_utc: String,
    windows: Vec<WindowJson>,
    altitude_deg: f64,
    azimuth_deg: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    diameter_arcsec: Option<f64>,
    /// Topocentric, true equator and equinox of date.
    right_ascension_deg: f64,
    declination_deg: f64,
    airmass: f64,
    sky_brightness_mag_arcsec2: f64,
    /// Of Jupiter or Saturn at the best time.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    moons: &'a [SatelliteView],
    #[serde(skip_serializing_if = "Option::is_none")]
    face: Option<FaceJson<'a>>,
    details: Vec<DetailJson<'a>>,
}

#[derive(Serialize)]
struct WindowJson {
    from_utc: String,
    until_utc: String,
}

#[derive(Serialize)]
struct DetailJson<'a> {
    id: &'a str,
    name: &'a str,
    /// When it is there, if it comes and goes while its body can be looked at; else empty.
    during: Vec<WindowJson>,
    eyepiece: &'a str,
    magnification: f64,
    grade: AirsJson<&'static str>,
    /// Powers of ten over a practised observer's 50 % threshold.
    margin: AirsJson<f64>,
    /// Powers of ten to be added to the margins at the weak and the strong end of what the detail's
    /// contrast may be; zeros where it is sure.
    contrast_spread: SpreadJson,
    limited_by: &'static str,
    why: String,
    say: &'a str,
}

#[derive(Serialize)]
struct SpreadJson {
    weak: f64,
    strong: f64,
}

/// The whole night.
pub fn json(night: &Night) -> String {
    let caution_words = |caution| caution::words(caution, night.zone);
    json::document(&NightJson {
        on: night.on.to_string(),
        site: &night.site_name,
        sun: sun(&night.sun),
        bodies: night.bodies.iter().map(body).collect(),
        red_spot: RedSpotJson {
            system_2_longitude_deg: night.red_spot.measured.longitude_deg,
            measured_on: night.red_spot.measured.measured_on.to_string(),
            drift_deg_per_month: night.red_spot.measured.drift_deg_per_month,
            age_months: rounded(night.red_spot.age_months, 1),
            uncertain_min: rounded(night.red_spot.uncertain_min, 0),
        },
        events: (night.satellite_events.iter())
            .map(|contact| event(contact, night))
            .collect(),
        happenings: (night.happenings.iter())
            .map(|listed| happening(listed, &night.moon_fields))
            .collect(),
        too_far: night.too_far.iter().map(|why| why.to_string()).collect(),
        telescopes: night.telescopes.iter().map(telescope).collect(),
        cautions: night.cautions.iter().copied().map(caution_words).collect(),
        observer_margin_dex: night.observer_margin_dex,
        assumed: (night.assumed.iter()).map(assumed::line).collect(),
    })
}

fn event(contact: &SatelliteEvent, night: &Night) -> EventJson {
    let utc = contact.at();
    let of = contact.satellite.planet();
    let mut targets = night.telescopes.iter().flat_map(|it| &it.targets);
    let target = targets.find(|target| target.outlook.subject().body() == Some(of));
    let in_view = target.is_some_and(|target| {
        let mut stretches = target.outlook.stretches.iter();
        stretches.any(|stretch| stretch.from <= utc && utc <= stretch.until)
    });
    EventJson {
        utc: rfc3339(utc),
        kind: contact.kind,
        phase: contact.phase,
        body: contact.satellite.id(),
        of,
        observable: contact.observable,
        visible_utc: contact.visible_at().map(rfc3339),
        grazing: contact.grazing,
        in_view,
    }
}

fn sun(sun: &SunTimes) -> SunJson {
    let [civil, nautical, astronomical] = &sun.twilights;
    SunJson {
        set_utc: sun.set.map(rfc3339),
        rise_utc: sun.rise.map(rfc3339),
        civil_dusk_utc: civil.dusk.map(rfc3339),
        civil_dawn_utc: civil.dawn.map(rfc3339),
        nautical_dusk_utc: nautical.dusk.map(rfc3339),
        nautical_dawn_utc: nautical.dawn.map(rfc3339),
        astronomical_dusk_utc: astronomical.dusk.map(rfc3339),
        astronomical_dawn_utc: astronomical.dawn.map(rfc3339),
    }
}

fn body(times: &BodyTimes) -> BodyJson {
    let all = |instants: &[chrono::DateTime<chrono::Utc>]| {
        instants.iter().copied().map(rfc3339).collect()
    };
    BodyJson {
        body: times.body,
        rises: all(&times.rises),
        transits: all(&times.transits),
        sets: all(&times.sets),
    }
}

fn telescope(telescope: &TelescopeNight) -> TelescopeJson<'_> {
    TelescopeJson {
        name: &telescope.name,
        figure: match &telescope.instrument {
            Ok(instrument) => figure::words(&instrument.figure),
            Err(why) => why.to_string(),
        },
        put_out_utc: telescope.put_out.map(|put_out| rfc3339(put_out.by)),
        cooling_min: telescope
            .put_out
            .map(|put_out| put_out.cooling.still_air_min),
        targets: targets(&telescope.targets, telescope),
        beyond: targets(&telescope.beyond, telescope),
    }
}

fn targets<'a>(seen: &'a [Target], telescope: &'a TelescopeNight) -> Vec<TargetJson<'a>> {
    match &telescope.instrument {
        Ok(instrument) => seen.iter().map(|seen| target(seen, instrument)).collect(),
        Err(_) => Vec::new(),
    }
}

fn target<'a>(target: &'a Target, instrument: &'a Instrument) -> TargetJson<'a> {
    let outlook = &target.outlook;
    let windows: Vec<WindowJson> = (outlook.stretches.iter())
        .map(|stretch| WindowJson {
            from_utc: rfc3339(stretch.from),
            until_utc: rfc3339(stretch.until),
        })
        .collect();
    let (right_ascension_deg, declination_deg) = outlook.at_best.topocentric_deg();
    let last = &outlook.stretches[outlook.stretches.len() - 1];
    TargetJson {
        body: outlook.subject().id().to_string(),
        from_utc: rfc3339(outlook.stretches[0].from),
        until_utc: rfc3339(last.until),
        best_utc: rfc3339(outlook.best),
        windows,
        altitude_deg: outlook.at_best.refracted_altitude_deg(),
        azimuth_deg: outlook.at_best.azimuth_deg(),
        diameter_arcsec: outlook
            .at_best
            .appearance()
            .map(|seen| seen.diameter_arcsec),
        right_ascension_deg,
        declination_deg,
        moons: &outlook.moons,
        face: night_faces::json(&outlook.face),
        airmass: outlook.sky.airmass,
        sky_brightness_mag_arcsec2: outlook.sky.brightness_mag_arcsec2,
        details: (target.verdicts.iter())
            .map(|verdict| detail(verdict, instrument))
            .collect(),
    }
}

fn detail<'a>(verdict: &'a Verdict, instrument: &'a Instrument) -> DetailJson<'a> {
    DetailJson {
        id: &verdict.caption.id,
        name: &verdict.caption.name,
        during: (verdict.during.iter())
            .filter_map(|span| {
                Some(WindowJson {
                    from_utc: rfc3339(span.from_utc()?),
                    until_utc: rfc3339(span.until_utc()?),
                })
            })
            .collect(),
        eyepiece: &instrument.views[verdict.view].eyepiece,
        magnification: verdict.magnification,
        grade: verdict.grade.map(|grade| grade.word()).into(),
        margin: verdict.margin.into(),
        contrast_spread: SpreadJson {
            weak: rounded(verdict.spread_dex.0, 3),
            strong: rounded(verdict.spread_dex.1, 3),
        },
        limited_by: verdict.limited_by.word(),
        why: why::words(&verdict.why),
        say: &verdict.caption.say,
    }
}
