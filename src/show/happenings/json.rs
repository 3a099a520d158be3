//! What happens between two dates, for machines. Names carry units and stay; fields are only ever added.

use serde_json::{Value, json};

use crate::plan::best_moment::Chance;
use crate::plan::caution::Caution;
use crate::plan::happenings::{Happenings, Listed, MoonFields};
use crate::show::json;
use crate::show::words::{caution, rfc3339};
use crate::sky::happenings::What;
use crate::sky::happenings::lunar_eclipse::{ContactHere, LunarEclipse};
use crate::sky::happenings::pairings::Pairing;
use crate::sky::happenings::solar_eclipse::{SolarEclipse, SolarEclipseHere, SunMoment};
use crate::sky::occultations::{Contact as EdgeContact, Occultation, Occulted};
use crate::sky::{Appearance, Body};

/// The whole list.
pub fn json(happenings: &Happenings) -> String {
    let (listed, telescopes) = (happenings.listed.iter(), &happenings.telescopes);
    json::document(json!({
        "from": happenings.from.to_string(),
        "to": happenings.to.to_string(),
        "site": happenings.site_name,
        "happenings": listed.map(|listed| happening(listed, telescopes)).collect::<Value>(),
        "cautions": [caution::words(Caution::Sun, happenings.zone)],
    }))
}

/// One of them: `at_utc` for the Earth's centre, of an eclipse its deepest moment; `planet` topocentric,
/// where one planet is meant; `from_here`, when it is best seen from the place within half a day, for all
/// that have a view of their own.
pub(in crate::show) fn happening(listed: &Listed, telescopes: &[MoonFields]) -> Value {
    let at = json!({ "at_utc": rfc3339(listed.happening.at) });
    let seen = json!({
        "planet": listed.planet.as_ref().map(planet),
        "from_here": listed.chance.map(from_here),
    });
    let all = json::joined(json::joined(at, what(listed, telescopes)), seen);
    json::absent_if_null(all, &["planet", "from_here"])
}

fn what(listed: &Listed, telescopes: &[MoonFields]) -> Value {
    match &listed.happening.what {
        What::Phase(phase) => json!({ "kind": "moon_phase", "phase": phase }),
        What::Meeting(meeting) => json!({
            "kind": meeting.kind,
            "body": meeting.body,
            "definition": meeting.definition,
            "elongation_deg": meeting.elongation_deg,
            "distance_au": meeting.distance_au,
            "over_sun": meeting.over_sun,
        }),
        What::Elongation(greatest) => json!({
            "kind": "greatest_elongation",
            "body": greatest.body,
            "side": if greatest.east { "east" } else { "west" },
            "elongation_deg": greatest.elongation_deg,
        }),
        What::Nearest(nearest) => json!({
            "kind": "nearest_to_earth",
            "body": nearest.body,
            "distance_au": nearest.distance_au,
            "diameter_arcsec": nearest.diameter_arcsec,
        }),
        What::Station(station) => json!({
            "kind": "station",
            "body": station.body,
            "becomes": if station.becomes_retrograde { "retrograde" } else { "direct" },
        }),
        What::Pairing(pair) => pairing(pair),
        What::LunarEclipse(eclipse) => lunar(eclipse, &listed.moon_clear, telescopes),
        What::SolarEclipse(eclipse) => solar(eclipse),
        What::Occultation(it) => occultation(it, &listed.moon_clear),
        What::RingPlane(crossing) => json!({
            "kind": "ring_plane_crossing",
            "body": Body::Saturn,
            "passer": crossing.passer,
            "toward": if crossing.northward { "north" } else { "south" },
            "elongation_deg": crossing.elongation_deg,
        }),
    }
}

fn planet(seen: &Appearance) -> Value {
    json!({
        "magnitude": seen.magnitude,
        "diameter_arcsec": seen.diameter_arcsec,
        "distance_au": seen.distance_au,
        "illuminated_fraction": seen.illuminated_fraction,
        "elongation_deg": seen.place.elongation_deg,
    })
}

/// Of a pair the separation at that moment, and the first as seen from the second: 0 above, 90 to the right.
fn from_here(chance: Chance) -> Value {
    let (state, moment) = match chance {
        Chance::Seen(moment) => ("seen", Some(moment)),
        Chance::NearSun => ("near_sun", None),
        Chance::NeverInTheDark => ("never_in_the_dark", None),
    };
    let apart = moment.and_then(|moment| moment.apart);
    json!({
        "state": state,
        "best_utc": moment.map(|moment| rfc3339(moment.at)),
        "altitude_deg": moment.map(|moment| moment.altitude_deg),
        "azimuth_deg": moment.map(|moment| moment.azimuth_deg),
        "separation_deg": apart.map(|apart| apart.separation_deg),
        "clockwise_from_up_deg": apart.map(|apart| apart.clockwise_from_up_deg),
    })
}

/// `needs_telescope`: one of the two is not seen by eye.
fn pairing(pair: &Pairing) -> Value {
    let here = &pair.here;
    json!({
        "kind": "pairing",
        "bodies": [pair.first, pair.second],
        "separation_deg": pair.separation_deg,
        "position_angle_deg": pair.position_angle_deg,
        "elongation_deg": pair.elongation_deg,
        "needs_telescope": matches!(pair.second, Body::Uranus | Body::Neptune),
        "topocentric": {
            "closest_utc": rfc3339(here.at),
            "separation_deg": here.separation_deg,
            "altitudes_deg": [here.first_altitude_deg, here.second_altitude_deg],
            "sun_altitude_deg": here.sun_altitude_deg,
            "covered_by_moon": here.covers,
        },
    })
}

/// No telescopes where the Moon is down all the time.
fn lunar(eclipse: &LunarEclipse, clear: &[bool], telescopes: &[MoonFields]) -> Value {
    let is_up = eclipse.contacts.iter().any(|contact| contact.is_up);
    let contacts = eclipse.contacts.iter().zip(clear);
    let telescopes = telescopes.iter().filter(|_| is_up);
    json!({
        "kind": "lunar_eclipse",
        "eclipse": eclipse.kind,
        "umbral_magnitude": eclipse.umbral_magnitude,
        "penumbral_magnitude": eclipse.penumbral_magnitude,
        "shadow": "Danjon, 1.01 of the lunar parallax",
        "contacts": contacts.map(|(here, clear)| contact(here, *clear)).collect::<Value>(),
        "telescopes": telescopes.map(|it| whole_moon(it, eclipse)).collect::<Value>(),
    })
}

/// `visible`: above the horizon and clear of the skyline.
fn contact(here: &ContactHere, is_clear: bool) -> Value {
    json!({
        "contact": here.contact,
        "at_utc": rfc3339(here.at),
        "moon_altitude_deg": here.moon_altitude_deg,
        "moon_azimuth_deg": here.moon_azimuth_deg,
        "visible": is_clear,
    })
}

/// With the strongest eyepiece that shows the whole Moon; null: none does.
fn whole_moon(fields: &MoonFields, eclipse: &LunarEclipse) -> Value {
    let whole = fields.whole_moon(eclipse.moon_diameter_deg);
    json!({
        "name": fields.telescope,
        "whole_moon_eyepiece": whole.map(|field| &field.eyepiece),
        "whole_moon_magnification": whole.map(|field| field.magnification),
        "widest_field_deg": fields.widest().map(|field| field.true_field_deg),
    })
}

/// `magnitude` is a star's, V. `grazing`: the Moon's edge passes so flatly that instants are uncertain.
fn occultation(it: &Occultation, clear: &[bool]) -> Value {
    json!({
        "kind": "lunar_occultation",
        "occulted": it.occulted.name(),
        "magnitude": match it.occulted {
            Occulted::Star(star) => Some(star.magnitude),
            Occulted::Planet(_) => None,
        },
        "grazing": it.grazing,
        "disappearance": edge_contact(&it.disappearance, clear[0]),
        "reappearance": edge_contact(&it.reappearance, clear[1]),
    })
}

/// The position angle is on the Moon's disc; `visible`: clear of the skyline in a dark enough sky.
fn edge_contact(contact: &EdgeContact, is_clear: bool) -> Value {
    json!({
        "at_utc": rfc3339(contact.at()),
        "uncertain_s": contact.uncertain_s,
        "disc_takes_s": contact.disc_takes_s,
        "position_angle_deg": contact.edge.position_angle_deg,
        "cusp_angle_deg": contact.edge.cusp_angle_deg,
        "cusp": contact.edge.cusp,
        "limb": contact.edge.limb,
        "moon_altitude_deg": contact.altitude_deg,
        "moon_azimuth_deg": contact.azimuth_deg,
        "sun_altitude_deg": contact.sun_altitude_deg,
        "visible": is_clear,
    })
}

/// `eclipse` is what somebody somewhere sees; `here` is null where nothing of it is seen.
fn solar(eclipse: &SolarEclipse) -> Value {
    json!({
        "kind": "solar_eclipse",
        "eclipse": eclipse.kind,
        "gamma_earth_radii": eclipse.gamma_earths,
        "caution": caution::solar_eclipse(),
        "here": eclipse.here.as_ref().map(solar_here),
    })
}

/// Magnitudes are of the Sun's diameter; above 1: total, by how much the Moon is the larger.
fn solar_here(here: &SolarEclipseHere) -> Value {
    json!({
        "magnitude": here.magnitude,
        "magnitude_up": here.magnitude_up,
        "deepest_up": sun_moment(&here.deepest_up),
        "begins": sun_moment(&here.first),
        "deepest": sun_moment(&here.deepest),
        "ends": sun_moment(&here.last),
    })
}

fn sun_moment(moment: &SunMoment) -> Value {
    json!({
        "at_utc": rfc3339(moment.at),
        "sun_altitude_deg": moment.sun_altitude_deg,
        "sun_is_up": moment.sun_is_up,
    })
}
