//! When something can be looked at, and where it stands: the same for all telescopes.

use chrono_tz::Tz;

use crate::plan::outlook::{Edge, Outlook, Stretch};
use crate::show::words;

/// `19:40-23:10 Jupiter, SE, four fists up at 21:30; then behind the skyline`
pub(super) fn line(outlook: &Outlook, zone: Tz) -> String {
    format!(
        "{} {}, {}",
        hours(outlook, zone),
        outlook.subject().name(),
        at_best(outlook, zone)
    )
}

/// `19:40-21:05 and 22:10-23:10`
pub(super) fn hours(outlook: &Outlook, zone: Tz) -> String {
    let hours = |stretch: &Stretch| {
        format!(
            "{}-{}",
            words::clock(stretch.from, zone),
            words::clock(stretch.until, zone)
        )
    };
    let all: Vec<String> = outlook.stretches.iter().map(hours).collect();
    words::list(&all)
}

/// `SE, four fists up at 21:30; then behind the skyline`
pub(super) fn at_best(outlook: &Outlook, zone: Tz) -> String {
    format!(
        "{} at {}{}",
        place(outlook),
        words::clock(outlook.best, zone),
        outlook.stretches.last().map(ending).unwrap_or_default(),
    )
}

/// At its best: `SE, four fists up`.
pub(super) fn place(outlook: &Outlook) -> String {
    let place = outlook.at_best.place();
    format!(
        "{}, {}",
        words::wind(place.azimuth_deg),
        words::fists(place.refracted_altitude_deg)
    )
}

fn ending(stretch: &Stretch) -> String {
    match stretch.ends {
        Edge::Skyline => format!(
            "; then behind your skyline in the {}",
            words::wind(stretch.azimuth_until_deg)
        ),
        Edge::TooLow => String::from("; then too low"),
        Edge::BeforeSunrise => String::from("; stop then: the Sun is coming"),
        Edge::Twilight | Edge::Noon => String::new(),
    }
}
