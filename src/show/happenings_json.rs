//! What happens between two dates, for machines. Names carry units and stay; fields are only ever added.

use serde::Serialize;

use crate::plan::best_moment::Chance;
use crate::plan::caution::Caution;
use crate::plan::happenings::{Happenings, Listed, MoonFields};
use crate::show::words::rfc3339;
use crate::show::{caution, json};
use crate::sky::happenings::What;
use crate::sky::happenings::lunar_eclipse::{Contact, LunarEclipse, LunarEclipseKind};
use crate::sky::happenings::pairings::Pairing;
use crate::sky::happenings::phases::MoonPhase;
use crate::sky::happenings::planets::{Definition, MeetingKind, SunMeeting};
use crate::sky::happenings::ring_plane::Passer;
use crate::sky::happenings::solar_eclipse::{SolarEclipse, SolarEclipseKind, SunMoment};
use crate::sky::occultations::{Contact as EdgeContact, Cusp, Limb, Occultation, Occulted};
use crate::sky::{Appearance, Body};

#[derive(Serialize)]
struct HappeningsJson<'a> {
    from: String,
    to: String,
    site: &'a str,
    happenings: Vec<HappeningJson<'a>>,
    cautions: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct HappeningJson<'a> {
    /// At the Earth's centre; of an eclipse its deepest moment.
    at_utc: String,
    kind: &'static str,
    #[serde(flatten)]
    what: WhatJson<'a>,
    /// Topocentric, of the one planet meant.
    #[serde(skip_serializing_if = "Option::is_none")]
    planet: Option<PlanetJson>,
    /// When it is best seen from the place within half a day; absent for what has no view of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    from_here: Option<FromHereJson>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum WhatJson<'a> {
    Phase {
        phase: &'static str,
    },
    Meeting {
        body: Body,
        definition: &'static str,
        elongation_deg: f64,
        distance_au: f64,
        over_sun: bool,
    },
    Elongation {
        body: Body,
        side: &'static str,
        elongation_deg: f64,
    },
    Nearest {
        body: Body,
        distance_au: f64,
        diameter_arcsec: f64,
    },
    Station {
        body: Body,
        becomes: &'static str,
    },
    Pairing(PairingJson),
    LunarEclipse(LunarEclipseJson<'a>),
    SolarEclipse(SolarEclipseJson),
    Occultation(OccultationJson),
    RingPlane {
        body: Body,
        passer: &'static str,
        toward: &'static str,
        elongation_deg: f64,
    },
}

#[derive(Serialize)]
struct PlanetJson {
    magnitude: f64,
    diameter_arcsec: f64,
    distance_au: f64,
    illuminated_fraction: f64,
    elongation_deg: f64,
}

#[derive(Serialize)]
struct FromHereJson {
    /// `seen`, `near_sun` or `never_in_the_dark`.
    state: &'static str,
    best_utc: Option<String>,
    altitude_deg: Option<f64>,
    azimuth_deg: Option<f64>,
    /// Of a pair, at that moment.
    separation_deg: Option<f64>,
    /// The first seen from the second: 0 above, 90 to the right.
    clockwise_from_up_deg: Option<f64>,
}

#[derive(Serialize)]
struct PairingJson {
    bodies: [Body; 2],
    separation_deg: f64,
    /// Of the first as seen from the second, celestial north through east.
    position_angle_deg: f64,
    /// From the Sun, of the nearer to it.
    elongation_deg: f64,
    /// One of the two is not seen by eye.
    needs_telescope: bool,
    topocentric: TopocentricJson,
}

#[derive(Serialize)]
struct TopocentricJson {
    closest_utc: String,
    separation_deg: f64,
    altitudes_deg: [f64; 2],
    sun_altitude_deg: f64,
    covered_by_moon: bool,
}

#[derive(Serialize)]
struct OccultationJson {
    occulted: &'static str,
    /// Of a star, V.
    magnitude: Option<f64>,
    /// The Moon's edge passes so flatly that instants are uncertain.
    grazing: bool,
    disappearance: EdgeContactJson,
    reappearance: EdgeContactJson,
}

#[derive(Serialize)]
struct EdgeContactJson {
    at_utc: String,
    uncertain_s: f64,
    /// How long the whole disc of a planet takes; 0 for a star.
    disc_takes_s: f64,
    /// On the Moon's disc, celestial north through east.
    position_angle_deg: f64,
    /// From the nearer cusp, positive on the dark limb.
    cusp_angle_deg: f64,
    cusp: &'static str,
    limb: &'static str,
    moon_altitude_deg: f64,
    moon_azimuth_deg: f64,
    sun_altitude_deg: f64,
    /// Clear of the skyline in a dark enough sky.
    visible: bool,
}

#[derive(Serialize)]
struct LunarEclipseJson<'a> {
    eclipse: &'static str,
    umbral_magnitude: f64,
    penumbral_magnitude: f64,
    /// How the shadow's radius was reckoned.
    shadow: &'static str,
    contacts: Vec<ContactJson>,
    /// Empty where the Moon is down all the time.
    telescopes: Vec<TelescopeJson<'a>>,
}

#[derive(Serialize)]
struct ContactJson {
    contact: &'static str,
    at_utc: String,
    moon_altitude_deg: f64,
    moon_azimuth_deg: f64,
    /// Above the horizon and clear of the skyline.
    visible: bool,
}

#[derive(Serialize)]
struct TelescopeJson<'a> {
    name: &'a str,
    /// The strongest that shows the whole Moon; null: none does.
    whole_moon_eyepiece: Option<&'a str>,
    whole_moon_magnification: Option<f64>,
    widest_field_deg: Option<f64>,
}

#[derive(Serialize)]
struct SolarEclipseJson {
    /// Somewhere on the Earth.
    eclipse: &'static str,
    gamma_earth_radii: f64,
    caution: &'static str,
    /// Null where nothing of it is seen.
    here: Option<SolarHereJson>,
}

#[derive(Serialize)]
struct SolarHereJson {
    /// Of the Sun's diameter; above 1: total, by how much the Moon is the larger.
    magnitude: f64,
    /// While the Sun is up.
    magnitude_up: f64,
    deepest_up: SunMomentJson,
    begins: SunMomentJson,
    deepest: SunMomentJson,
    ends: SunMomentJson,
}

#[derive(Serialize)]
struct SunMomentJson {
    at_utc: String,
    sun_altitude_deg: f64,
    sun_is_up: bool,
}

/// The whole list.
pub fn json(happenings: &Happenings) -> String {
    json::document(&HappeningsJson {
        from: happenings.from.to_string(),
        to: happenings.to.to_string(),
        site: &happenings.site_name,
        happenings: (happenings.listed.iter())
            .map(|listed| happening(listed, &happenings.telescopes))
            .collect(),
        cautions: vec![caution::words(Caution::Sun, happenings.zone)],
    })
}

/// One of them.
pub(super) fn happening<'a>(listed: &'a Listed, telescopes: &'a [MoonFields]) -> HappeningJson<'a> {
    let (kind, what) = what(listed, telescopes);
    HappeningJson {
        at_utc: rfc3339(listed.happening.at),
        kind,
        what,
        planet: listed.planet.as_ref().map(planet),
        from_here: listed.chance.map(from_here),
    }
}

fn what<'a>(listed: &'a Listed, telescopes: &'a [MoonFields]) -> (&'static str, WhatJson<'a>) {
    match &listed.happening.what {
        What::Phase(phase) => {
            let phase = match phase {
                MoonPhase::New => "new",
                MoonPhase::FirstQuarter => "first_quarter",
                MoonPhase::Full => "full",
                MoonPhase::LastQuarter => "last_quarter",
            };
            ("moon_phase", WhatJson::Phase { phase })
        }
        What::Meeting(meeting) => (meeting_kind(meeting.kind), meeting_json(meeting)),
        What::Elongation(greatest) => (
            "greatest_elongation",
            WhatJson::Elongation {
                body: greatest.body,
                side: if greatest.east { "east" } else { "west" },
                elongation_deg: greatest.elongation_deg,
            },
        ),
        What::Nearest(nearest) => (
            "nearest_to_earth",
            WhatJson::Nearest {
                body: nearest.body,
                distance_au: nearest.distance_au,
                diameter_arcsec: nearest.diameter_arcsec,
            },
        ),
        What::Station(station) => {
            let becomes = if station.becomes_retrograde {
                "retrograde"
            } else {
                "direct"
            };
            let body = station.body;
            ("station", WhatJson::Station { body, becomes })
        }
        What::Pairing(pair) => ("pairing", WhatJson::Pairing(pairing(pair))),
        What::LunarEclipse(eclipse) => (
            "lunar_eclipse",
            WhatJson::LunarEclipse(lunar(eclipse, listed, telescopes)),
        ),
        What::SolarEclipse(eclipse) => ("solar_eclipse", WhatJson::SolarEclipse(solar(eclipse))),
        What::Occultation(it) => (
            "lunar_occultation",
            WhatJson::Occultation(occultation(it, &listed.moon_clear)),
        ),
        What::RingPlane(crossing) => (
            "ring_plane_crossing",
            WhatJson::RingPlane {
                body: Body::Saturn,
                passer: match crossing.passer {
                    Passer::Earth => "earth",
                    Passer::Sun => "sun",
                },
                toward: if crossing.northward { "north" } else { "south" },
                elongation_deg: crossing.elongation_deg,
            },
        ),
    }
}

fn meeting_kind(kind: MeetingKind) -> &'static str {
    match kind {
        MeetingKind::Opposition => "opposition",
        MeetingKind::Conjunction => "conjunction",
        MeetingKind::InferiorConjunction => "inferior_conjunction",
        MeetingKind::SuperiorConjunction => "superior_conjunction",
    }
}

fn meeting_json(meeting: &SunMeeting) -> WhatJson<'static> {
    WhatJson::Meeting {
        body: meeting.body,
        definition: match meeting.definition {
            Definition::EclipticLongitude => "ecliptic longitude",
            Definition::RightAscension => "right ascension",
        },
        elongation_deg: meeting.elongation_deg,
        distance_au: meeting.distance_au,
        over_sun: meeting.over_sun,
    }
}

fn planet(seen: &Appearance) -> PlanetJson {
    PlanetJson {
        magnitude: seen.magnitude,
        diameter_arcsec: seen.diameter_arcsec,
        distance_au: seen.distance_au,
        illuminated_fraction: seen.illuminated_fraction,
        elongation_deg: seen.elongation_deg,
    }
}

fn from_here(chance: Chance) -> FromHereJson {
    let (state, moment) = match chance {
        Chance::Seen(moment) => ("seen", Some(moment)),
        Chance::NearSun => ("near_sun", None),
        Chance::NeverInTheDark => ("never_in_the_dark", None),
    };
    let apart = moment.and_then(|moment| moment.apart);
    FromHereJson {
        state,
        best_utc: moment.map(|moment| rfc3339(moment.at)),
        altitude_deg: moment.map(|moment| moment.altitude_deg),
        azimuth_deg: moment.map(|moment| moment.azimuth_deg),
        separation_deg: apart.map(|apart| apart.separation_deg),
        clockwise_from_up_deg: apart.map(|apart| apart.clockwise_from_up_deg),
    }
}

fn pairing(pair: &Pairing) -> PairingJson {
    PairingJson {
        bodies: [pair.first, pair.second],
        separation_deg: pair.separation_deg,
        position_angle_deg: pair.position_angle_deg,
        elongation_deg: pair.elongation_deg,
        needs_telescope: matches!(pair.second, Body::Uranus | Body::Neptune),
        topocentric: TopocentricJson {
            closest_utc: rfc3339(pair.here.at),
            separation_deg: pair.here.separation_deg,
            altitudes_deg: [pair.here.first_altitude_deg, pair.here.second_altitude_deg],
            sun_altitude_deg: pair.here.sun_altitude_deg,
            covered_by_moon: pair.here.covers,
        },
    }
}

fn lunar<'a>(
    eclipse: &LunarEclipse,
    listed: &Listed,
    telescopes: &'a [MoonFields],
) -> LunarEclipseJson<'a> {
    let any_up = eclipse.contacts.iter().any(|contact| contact.is_up);
    LunarEclipseJson {
        eclipse: match eclipse.kind {
            LunarEclipseKind::Penumbral => "penumbral",
            LunarEclipseKind::Partial => "partial",
            LunarEclipseKind::Total => "total",
        },
        umbral_magnitude: eclipse.umbral_magnitude,
        penumbral_magnitude: eclipse.penumbral_magnitude,
        shadow: "Danjon, 1.01 of the lunar parallax",
        contacts: (eclipse.contacts.iter())
            .zip(&listed.moon_clear)
            .map(|(here, clear)| ContactJson {
                contact: contact_name(here.contact),
                at_utc: rfc3339(here.at),
                moon_altitude_deg: here.moon_altitude_deg,
                moon_azimuth_deg: here.moon_azimuth_deg,
                visible: *clear,
            })
            .collect(),
        telescopes: (telescopes.iter())
            .filter(|_| any_up)
            .map(|fields| telescope(fields, eclipse.moon_diameter_deg))
            .collect(),
    }
}

fn occultation(it: &Occultation, seen: &[bool]) -> OccultationJson {
    OccultationJson {
        occulted: it.occulted.name(),
        magnitude: match it.occulted {
            Occulted::Star(star) => Some(star.magnitude),
            Occulted::Planet(_) => None,
        },
        grazing: it.grazing,
        disappearance: edge_contact(&it.disappearance, seen[0]),
        reappearance: edge_contact(&it.reappearance, seen[1]),
    }
}

fn edge_contact(contact: &EdgeContact, visible: bool) -> EdgeContactJson {
    EdgeContactJson {
        at_utc: rfc3339(contact.at()),
        uncertain_s: contact.uncertain_s,
        disc_takes_s: contact.disc_takes_s,
        position_angle_deg: contact.edge.position_angle_deg,
        cusp_angle_deg: contact.edge.cusp_angle_deg,
        cusp: match contact.edge.cusp {
            Cusp::North => "north",
            Cusp::South => "south",
        },
        limb: match contact.edge.limb {
            Limb::Bright => "bright",
            Limb::Dark => "dark",
        },
        moon_altitude_deg: contact.altitude_deg,
        moon_azimuth_deg: contact.azimuth_deg,
        sun_altitude_deg: contact.sun_altitude_deg,
        visible,
    }
}

fn contact_name(contact: Contact) -> &'static str {
    match contact {
        Contact::P1 => "P1",
        Contact::U1 => "U1",
        Contact::U2 => "U2",
        Contact::Greatest => "greatest",
        Contact::U3 => "U3",
        Contact::U4 => "U4",
        Contact::P4 => "P4",
    }
}

fn telescope(fields: &MoonFields, moon_diameter_deg: f64) -> TelescopeJson<'_> {
    let whole = fields.whole_moon(moon_diameter_deg);
    TelescopeJson {
        name: &fields.telescope,
        whole_moon_eyepiece: whole.map(|field| field.eyepiece.as_str()),
        whole_moon_magnification: whole.map(|field| field.magnification),
        widest_field_deg: fields.widest().map(|field| field.true_field_deg),
    }
}

fn solar(eclipse: &SolarEclipse) -> SolarEclipseJson {
    let moment = |moment: &SunMoment| SunMomentJson {
        at_utc: rfc3339(moment.at),
        sun_altitude_deg: moment.sun_altitude_deg,
        sun_is_up: moment.sun_is_up,
    };
    SolarEclipseJson {
        eclipse: match eclipse.kind {
            SolarEclipseKind::Partial => "partial",
            SolarEclipseKind::Annular => "annular",
            SolarEclipseKind::Hybrid => "hybrid",
            SolarEclipseKind::Total => "total",
        },
        gamma_earth_radii: eclipse.gamma_earths,
        caution: caution::solar_eclipse(),
        here: eclipse.here.as_ref().map(|here| SolarHereJson {
            magnitude: here.magnitude,
            magnitude_up: here.magnitude_up,
            deepest_up: moment(&here.deepest_up),
            begins: moment(&here.first),
            deepest: moment(&here.deepest),
            ends: moment(&here.last),
        }),
    }
}
