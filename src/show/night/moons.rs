//! The moons of Jupiter and Saturn on a night's page: who stands on which side, and what happens to whom.

use chrono::{DateTime, Utc};
use chrono_tz::Tz;

use crate::plan::outlook::Outlook;
use crate::show::words;
use crate::show::words::satellite;
use crate::sky::moons::view::SatelliteView;
use crate::sky::satellite_events::SatelliteEvent;

/// `Moons at 21:10: Io and Europa on one side, Callisto on the other; Ganymede behind the planet.`
/// `None` for bodies without moons that a telescope shows. In an astronomer's east and west as the sky has
/// them; which of them is left in the eyepiece, the mirrors decide.
pub(super) fn sides(outlook: &Outlook, zone: Tz) -> Option<String> {
    let moons = &outlook.moons;
    if moons.is_empty() {
        return None;
    }
    let named = |wanted: &dyn Fn(&&SatelliteView) -> bool| -> Vec<String> {
        let mut those: Vec<&SatelliteView> = moons.iter().filter(wanted).collect();
        those.sort_by(|a, b| a.x_west_radii.abs().total_cmp(&b.x_west_radii.abs()));
        (those.iter())
            .map(|moon| moon.name.name().to_string())
            .collect()
    };
    let east = named(&|moon| !moon.is_hidden() && moon.x_west_radii < 0.0);
    let west = named(&|moon| !moon.is_hidden() && 0.0 <= moon.x_west_radii);
    let beside = match (east.is_empty(), west.is_empty()) {
        (false, false) => vec![format!(
            "{} on one side (east), {} on the other",
            words::list(&east),
            words::list(&west)
        )],
        (false, true) => vec![format!("{} on one side (east)", words::list(&east))],
        (true, false) => vec![format!("{} on one side (west)", words::list(&west))],
        (true, true) => Vec::new(),
    };
    let hidden = [
        (named(&|moon| moon.before_disc), "before the disc"),
        (named(&|moon| moon.behind_disc), "behind the planet"),
        (
            named(&|moon| moon.in_shadow && !moon.behind_disc),
            "in its shadow",
        ),
    ];
    let hidden = (hidden.iter())
        .filter(|(names, _)| !names.is_empty())
        .map(|(names, place)| format!("{} {place}", words::list(names)));
    let parts: Vec<String> = beside.into_iter().chain(hidden).collect();
    Some(format!(
        "Moons at {}, from the planet outward: {}.",
        words::clock(outlook.best, zone),
        parts.join("; ")
    ))
}

/// `21:12 Io's shadow comes on, 23:05 it leaves`, what is to be seen while the planet is up.
pub(super) fn happens(outlook: &Outlook, events: &[SatelliteEvent], zone: Tz) -> Option<String> {
    let is_open = |at: &DateTime<Utc>| {
        let mut stretches = outlook.stretches.iter();
        stretches.any(|stretch| (stretch.from..=stretch.until).contains(at))
    };
    let lines: Vec<String> = (events.iter())
        .filter_map(|event| {
            let at = event.visible_at().filter(is_open)?;
            Some(format!(
                "{} {}",
                words::clock(at, zone),
                satellite::words(event)
            ))
        })
        .collect();
    (!lines.is_empty()).then(|| format!("Its moons: {}.", lines.join(", ")))
}
