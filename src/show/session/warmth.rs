//! Mirrors still warm, telescopes at rest: in words.

use chrono_tz::Tz;

use crate::plan::session::{Station, WarmStart, WhyIdle};
use crate::show::words::{self, clock};

/// `still 4 degrees warm at 19:00 (stars 1.1" wider for it) and cool at 20:40`.
pub fn warm_start(start: &WarmStart, zone: Tz) -> String {
    if !start.is_warm() {
        return format!("cool at {}", clock(start.cool_at, zone));
    }
    format!(
        "still {:.0} degrees warm at {} (stars {:.1}\" wider for it) and cool at {}",
        start.warmth.warm_k,
        clock(start.at, zone),
        start.softer_arcsec,
        clock(start.cool_at, zone)
    )
}

/// `Still 4 degrees warm at 19:00 (stars 1.1" wider for it) and cool at 20:40.`; `None` of one that is cool by its first look.
pub fn still_warm(station: &Station, zone: Tz) -> Option<String> {
    let start = station.start.filter(WarmStart::is_warm)?;
    Some(format!(
        "{}.",
        words::capitalised(&warm_start(&start, zone))
    ))
}

/// Why a telescope rests, to stand after a colon.
pub fn why_idle(why: WhyIdle) -> &'static str {
    match why {
        WhyIdle::Aiming => "people have only just met, its mirrors are being aimed",
        WhyIdle::NothingClear => "nothing is clear in a dark enough sky",
        WhyIdle::LeftToBetter => "what is up are planets, and better mirrors show them",
        WhyIdle::NothingShows => {
            "what is up would not show in it, is hard to find, or is not clear for a whole stay"
        }
        WhyIdle::Taken => "what it could show is on others already",
        WhyIdle::TooShort => "what is free is there for less than a whole stay",
        WhyIdle::NoMoreChanges => "it has changed its target as often as it may",
        WhyIdle::NotWorthFinding => {
            "what is free was on show before and is not worth finding again"
        }
        WhyIdle::NotBegun => "the evening begins later than planned",
        WhyIdle::Out => "it can no longer be used",
        WhyIdle::Clouded => "cloud covers all that would be clear",
        WhyIdle::Over => "the evening ends sooner than planned",
    }
}
