//! Eclipses on the page of happenings: the Moon's with contacts and telescopes, the Sun's as a caution.

use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use crate::plan::happenings::{FAINTEST_PENUMBRAL_MAGNITUDE, Listed, MoonFields};
use crate::show::happenings::entry::Entry;
use crate::show::words::{self, caution};
use crate::sky::happenings::lunar_eclipse::{
    ContactHere, EclipseContact, LunarEclipse, LunarEclipseKind,
};
use crate::sky::happenings::solar_eclipse::{
    SolarEclipse, SolarEclipseHere, SolarEclipseKind, SunMoment,
};

/// An eclipse of the Moon.
pub(super) fn lunar(
    listed: &Listed,
    eclipse: &LunarEclipse,
    telescopes: &[MoonFields],
    zone: Tz,
) -> Entry {
    let mut entry = Entry {
        at: listed.happening.at,
        words: lunar_words(eclipse),
        more: Vec::new(),
    };
    if eclipse.contacts.iter().all(|contact| !contact.is_up) {
        entry.more.push(String::from(
            "Not seen from here: the Moon is down all the time.",
        ));
        return entry;
    }
    let contacts: Vec<String> = (eclipse.contacts.iter())
        .zip(&listed.moon_clear)
        .map(|(contact, clear)| {
            let at = words::clock_beside(contact.at, listed.happening.at, zone);
            contact_words(contact, *clear, eclipse.kind, &at)
        })
        .collect();
    entry.more.push(format!("{}.", contacts.join(", ")));
    if eclipse.kind != LunarEclipseKind::Penumbral {
        entry.more.extend(telescope_words(eclipse, telescopes));
    }
    entry
}

fn lunar_words(eclipse: &LunarEclipse) -> String {
    match eclipse.kind {
        LunarEclipseKind::Total => format!(
            "Total eclipse of the Moon, deepest: magnitude {:.2}",
            eclipse.umbral_magnitude
        ),
        LunarEclipseKind::Partial => format!(
            "Partial eclipse of the Moon, deepest: {:.0} % of its width in the shadow",
            100.0 * eclipse.umbral_magnitude
        ),
        LunarEclipseKind::Penumbral
            if eclipse.penumbral_magnitude < FAINTEST_PENUMBRAL_MAGNITUDE =>
        {
            String::from("The Moon in the Earth's outer shadow, too little to be noticed")
        }
        LunarEclipseKind::Penumbral => format!(
            "The Moon in the Earth's outer shadow, {:.0} % of its width: a slight shading about this time",
            100.0 * eclipse.penumbral_magnitude.min(1.0)
        ),
    }
}

fn contact_words(here: &ContactHere, clear: bool, kind: LunarEclipseKind, at: &str) -> String {
    let what = match here.contact {
        EclipseContact::P1 => "Outer shadow",
        EclipseContact::U1 => "shadow",
        EclipseContact::U2 => "total",
        EclipseContact::Greatest => "deepest",
        EclipseContact::U3 => "total ends",
        EclipseContact::U4 => "shadow leaves",
        EclipseContact::P4 => match kind {
            LunarEclipseKind::Penumbral => "leaves",
            _ => "outer shadow leaves",
        },
    };
    let moon = match (here.is_up, clear) {
        (false, _) => String::from("Moon down"),
        (true, true) => format!("{:.0}° up", here.moon_altitude_deg.max(0.0)),
        (true, false) => format!(
            "{:.0}° up, behind your skyline",
            here.moon_altitude_deg.max(0.0)
        ),
    };
    format!("{what} {at} ({moon})")
}

/// Which eyepieces take in the whole Moon; what the others are for.
fn telescope_words(eclipse: &LunarEclipse, telescopes: &[MoonFields]) -> Vec<String> {
    let diameter_deg = eclipse.moon_diameter_deg;
    let (mut whole, mut parts) = (Vec::new(), Vec::new());
    for telescope in telescopes {
        let name = &telescope.telescope;
        if let Some(field) = telescope.whole_moon(diameter_deg) {
            whole.push(format!(
                "{name} {} {:.0}x",
                field.eyepiece, field.magnification
            ));
        } else if let Some(field) = telescope.widest() {
            parts.push(format!(
                "{name}'s widest, {} {:.0}x, takes {:.0} % of its width",
                field.eyepiece,
                field.magnification,
                100.0 * field.true_field_deg / diameter_deg
            ));
        }
    }
    let mut out = Vec::new();
    if !whole.is_empty() {
        out.push(format!(
            "The whole Moon in one view up to: {}.",
            words::list(&whole)
        ));
    }
    if !parts.is_empty() {
        out.push(format!("{}.", words::list(&parts)));
    }
    out.push(String::from(
        "Stronger eyepieces follow the shadow's soft edge over the craters.",
    ));
    out
}

/// An eclipse of the Sun, never without the caution.
pub(super) fn solar(at: DateTime<Utc>, eclipse: &SolarEclipse, zone: Tz) -> Entry {
    let (at, words) = match &eclipse.here {
        Some(here) => (here.deepest_up.at, solar_words_here(here, zone)),
        None => (at, solar_words_elsewhere(eclipse.kind)),
    };
    Entry {
        at,
        words,
        more: vec![String::from(caution::solar_eclipse())],
    }
}

fn solar_words_here(here: &SolarEclipseHere, zone: Tz) -> String {
    let moment = |moment: &SunMoment| {
        let sun = match (moment.sun_is_up, moment.sun_altitude_deg) {
            (false, _) => String::from("Sun down"),
            (true, low) if low < 1.0 => String::from("Sun on the horizon"),
            (true, altitude_deg) => format!("Sun {altitude_deg:.0}° up"),
        };
        format!("{} ({sun})", words::clock(moment.at, zone))
    };
    let covered = if here.magnitude_up < 1.0 {
        let percent = (100.0 * here.magnitude_up).min(99.0);
        format!("{percent:.0} % of its width covered")
    } else {
        String::from("wholly covered")
    };
    format!(
        "CAUTION, eclipse of the Sun here: begins {}, {covered} at {}, ends {}",
        moment(&here.first),
        moment(&here.deepest_up),
        moment(&here.last)
    )
}

fn solar_words_elsewhere(kind: SolarEclipseKind) -> String {
    let kind = match kind {
        SolarEclipseKind::Partial => "Partial",
        SolarEclipseKind::Annular => "Annular",
        SolarEclipseKind::Hybrid => "Annular and total",
        SolarEclipseKind::Total => "Total",
    };
    format!("{kind} eclipse of the Sun elsewhere; nothing of it here")
}
