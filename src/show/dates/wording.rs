//! What an evening offers, what it misses and what another changes, in words.

use crate::plan::dates::{Change, Event, Missing, Offer, WhyMissing};
use crate::show::words::{self, unmet};
use crate::targets::conditions::Unmet;

/// As one would say it.
pub(super) fn event_words(event: Event) -> String {
    match event {
        Event::LunarEclipse => String::from("eclipse of the Moon"),
        Event::SolarEclipse => String::from("eclipse of the Sun"),
        Event::Occultation { name } => format!("{name} behind the Moon"),
        Event::Pairing { first, second } => format!("{} beside {}", first.name(), second.name()),
    }
}

/// As one would say it.
pub(super) fn offer_words(offer: &Offer) -> String {
    match offer {
        Offer::Target(name) => name.clone(),
        Offer::Happening(event) => event_words(*event),
    }
}

pub(super) fn missing_words(missing: &Missing) -> String {
    let why = match &missing.why {
        WhyMissing::Low => String::from("below the horizon, or too low"),
        WhyMissing::Skyline { highest_deg } => {
            format!("behind your skyline, {highest_deg:.0}° up at most")
        }
        WhyMissing::Twilight => String::from("up only in twilight too bright for it"),
        WhyMissing::NearSun => String::from("too near the Sun"),
        WhyMissing::NotThere(why) => not_there_words(why.as_ref()),
        WhyMissing::NotWell => String::from("never well placed on its disc in these hours"),
        WhyMissing::Beyond => String::from("beyond these telescopes in typical air"),
    };
    format!("{} ({why})", missing.name)
}

pub(super) fn not_there_words(why: Option<&Unmet>) -> String {
    why.map_or_else(
        || String::from("not there at the best time of these hours"),
        unmet::words,
    )
}

/// What is gone in one breath, what is new in another.
pub(super) fn grouped(changes: &[Change]) -> Vec<String> {
    let names = |wanted: fn(&Change) -> Option<&Offer>| -> Vec<String> {
        (changes.iter().filter_map(wanted))
            .map(offer_words)
            .collect()
    };
    let gone = names(|change| match change {
        Change::Gone(offer) => Some(offer),
        _ => None,
    });
    let new = names(|change| match change {
        Change::New(offer) => Some(offer),
        _ => None,
    });
    let mut words: Vec<String> = changes.iter().filter_map(change_words).collect();
    if !gone.is_empty() {
        words.push(format!("without {}", words::list(&gone)));
    }
    if !new.is_empty() {
        words.push(format!("also {}", words::list(&new)));
    }
    words
}

fn change_words(change: &Change) -> Option<String> {
    match change {
        Change::MoonLit { from, to } => Some(format!(
            "the Moon {:.0} % lit instead of {:.0} %",
            100.0 * to,
            100.0 * from
        )),
        Change::Graded { name, from, to } => {
            Some(format!("{name} {} instead of {}", to.word(), from.word()))
        }
        Change::DarkMinutes { from, to } => Some(format!(
            "{:.0} minutes past civil twilight instead of {:.0}",
            to, from
        )),
        Change::Gone(_) | Change::New(_) => None,
    }
}
