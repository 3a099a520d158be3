//! A public evening in words: places, details, facts and refusals, one place for text, sheets, tables and calendars.

use chrono::{DateTime, Timelike, Utc};
use chrono_tz::Tz;

use crate::plan::mirror::Class;
use crate::plan::outlook::Edge;
use crate::plan::session::{
    Direction, Heights, Moment, NearMark, Session, ShownTarget, SideOfMark, SunBeside, Turn,
    WhyHere,
};
use crate::show::session::moments;
use crate::show::words::{
    self, FIST_DEG, caption, clock, clock_or_never, crossing, field, fists, list, n_fists,
    wind_in_words,
};
use crate::targets::subject::Subject;
use crate::targets::verdict::Verdict;
use crate::workshop::Helper;

/// The day on which people come: `Saturday 13 February 2027 (the night of Friday 12 February)`.
pub fn evening_date(session: &Session) -> String {
    words::evening(session.evening_date, session.on)
}

/// What such hours are called: `evening`, after midnight `night`, toward dawn `morning`.
pub fn part_of_night(session: &Session) -> &'static str {
    match words::local_minute(session.window.from, session.zone).hour() {
        0..3 => "night",
        3..12 => "morning",
        _ => "evening",
    }
}

/// The day for who has to be there: `Early on Saturday 13 February 2027 (the night of Friday 12 February)`.
pub fn dated(session: &Session) -> String {
    let date = evening_date(session);
    match part_of_night(session) {
        "evening" => date,
        _ => format!("Early on {date}"),
    }
}

/// What the local times are, from the first that is told to the end: `UTC+1`, `UTC+2, after the clock change UTC+1`.
pub fn offsets(session: &Session) -> String {
    let put_out = session.telescopes.iter().filter_map(|it| it.put_out);
    let first = put_out
        .map(|it| it.by)
        .fold(session.window.gather, DateTime::min);
    words::utc_offsets(first, session.window.until, session.zone)
}

/// `Sunset 17:28, twilight ends 17:59 (civil) and 18:35 (nautical).`, or what comes in the morning.
pub fn sun(session: &Session) -> String {
    let time = |at| clock_or_never(at, session.zone);
    match session.sun_beside {
        SunBeside::Evening {
            sunset,
            civil_dusk,
            nautical_dusk,
        } => format!(
            "Sunset {}, twilight ends {} (civil), {} (nautical).",
            time(sunset),
            time(civil_dusk),
            time(nautical_dusk)
        ),
        SunBeside::Morning {
            nautical_dawn,
            civil_dawn,
            sunrise,
        } => format!(
            "Twilight begins {} (nautical), {} (civil), sunrise {}.",
            time(nautical_dawn),
            time(civil_dawn),
            time(sunrise)
        ),
    }
}

/// `Moon 33 % lit, waxing, sets 00:09.`
pub fn moon(session: &Session) -> String {
    let moon = &session.moon;
    let of = |what: &str, at: Option<DateTime<Utc>>| {
        at.map_or(String::new(), |at| {
            format!(", {what} {}", clock(at, session.zone))
        })
    };
    let where_it_is = match moon.is_down {
        true => String::from(", below the horizon"),
        false => of("rises", moon.rises_in_window) + &of("sets", moon.sets_after_begin),
    };
    format!(
        "Moon {:.0} % lit, {}{where_it_is}.",
        100.0 * moon.lit,
        if moon.is_waxing { "waxing" } else { "waning" },
    )
}

/// `19:15`; `19:15, who puts telescopes out sooner`
pub fn meeting(session: &Session) -> String {
    let gather = session.window.gather;
    let outside = session.telescopes.iter().filter_map(|it| it.put_out);
    let sooner = match outside
        .min_by_key(|it| it.by)
        .is_some_and(|it| it.by < gather)
    {
        true => ", who puts telescopes out sooner",
        false => "",
    };
    let at = words::clock_beside(gather, session.window.from, session.zone);
    format!("{at}{sooner}")
}

/// `It happens: 20:31 the Moon goes dark: all of it in the shadow; ...`, what everybody looks up for.
pub fn for_all(session: &Session) -> Option<String> {
    let words = timed(
        session.moments.iter().filter(|it| it.is_for_all()),
        session.zone,
    )?;
    Some(format!("It happens: {words}."))
}

/// The same of what people come for: eclipses, stars behind the Moon.
pub fn for_visitors(session: &Session) -> Option<String> {
    timed(
        session.moments.iter().filter(|it| it.is_worth_coming()),
        session.zone,
    )
}

/// `22:14 Io's shadow leaves`, on what a telescope shows.
pub fn meanwhile(turn: &Turn, zone: Tz) -> Option<String> {
    timed(turn.moments.iter(), zone)
}

fn timed<'a>(moments: impl Iterator<Item = &'a Moment>, zone: Tz) -> Option<String> {
    let lines: Vec<String> = moments.map(|it| moments::timed(it, zone)).collect();
    (!lines.is_empty()).then(|| lines.join("; "))
}

/// `Shadow of Io 21:12-22:14`: with its hours, where it comes or goes within the turn.
pub fn named(verdict: &Verdict, zone: Tz) -> String {
    let time = |at: Option<DateTime<Utc>>| clock_or_never(at, zone);
    let hours: Vec<String> = (verdict.during.iter())
        .map(|it| format!("{}-{}", time(it.from_utc()), time(it.until_utc())))
        .collect();
    let name = caption::name(&verdict.caption.name);
    match hours.is_empty() {
        true => name,
        false => format!("{name} {}", list(&hours)),
    }
}

/// `Albireo`: what comes before the bracket, for narrow columns.
pub fn short_name(subject: &Subject) -> &str {
    let name = subject.name();
    name.split_once(" (").map_or(name, |(short, _)| short)
}

/// `south-west, four fists up, left of the bell tower`
pub fn direction(direction: &Direction) -> String {
    let beside = match &direction.mark {
        None => String::new(),
        Some(NearMark { name, side, .. }) => match side {
            SideOfMark::Left => format!(", left of the {name}"),
            SideOfMark::Over => format!(", over the {name}"),
            SideOfMark::Right => format!(", right of the {name}"),
        },
    };
    let height = fists(direction.altitude_deg);
    if height == "overhead" {
        return height.to_string();
    }
    format!("{}, {height}{beside}", wind_in_words(direction.azimuth_deg))
}

/// For whoever moves the tube.
pub const HARD_TO_HOLD: &str = "so near the zenith a small way over the sky is a long way round: turn the whole mount, not only the tube";

/// `it shows this best`
pub fn why_here(why: &WhyHere) -> String {
    match why {
        WhyHere::Wanted => String::from("it is wanted there"),
        WhyHere::Ordered => String::from("your notes' order has it there"),
        WhyHere::Eclipse => String::from("somebody keeps to the Moon in the Earth's shadow"),
        WhyHere::Only => String::from("no other could show it then"),
        WhyHere::Best => String::from("it shows it best of all"),
        WhyHere::AsGood => String::from("it shows it as surely as any"),
        WhyHere::BetterBusy { telescope, with } => {
            let meanwhile = with.as_ref().map_or(String::from("rests"), |with| {
                format!("has {}", short_name(with))
            });
            format!("{telescope} would show it better, but {meanwhile}")
        }
        WhyHere::Shared => String::from("it is welcome on more than one"),
    }
}

/// Where to turn under cloud, with what, and where that stands: `Vega, 39x with 32 mm: overhead`.
pub fn fallback(shown: &ShownTarget, place: &str) -> String {
    let (name, view) = (shown.subject.name(), &shown.view);
    format!(
        "{name}, {:.0}x with {}: {place}",
        view.magnification, view.eyepiece
    )
}

/// Where to turn under cloud when no single target lasts the turn: `Jupiter from 21:45 and Mars from 22:00`.
pub fn passing(session: &Session, turn: &Turn) -> Option<String> {
    let slots = turn.slots.clone().zip(&turn.fallback_by_slot);
    let mut named: Vec<String> = Vec::new();
    let mut before = None;
    for (slot, passing) in slots {
        let subject = passing.as_ref().map(|passing| &passing.subject);
        if let Some(subject) = subject.filter(|subject| before != Some(*subject)) {
            let from = clock(session.slots[slot].from, session.zone);
            named.push(format!("{} from {from}", subject.name()));
        }
        before = subject;
    }
    (!named.is_empty()).then(|| list(&named))
}

/// Where to point from the beginning of a turn to its end: `west, five fists up; at 22:00 west, two fists up`.
///
/// One place where a stay is too short for words to follow it: then that of the middle of the turn.
pub fn path(shown: &ShownTarget, until: DateTime<Utc>, zone: Tz) -> String {
    let path = &shown.path;
    let (start, end) = (direction(&path.start), direction(&path.end));
    let at = clock(until, zone);
    match path.moved_deg / FIST_DEG {
        // Half a fist is what an arm gives.
        moved if moved < 0.5 => direction(&shown.direction),
        _ if start != end => format!("{start}; at {at} {end}"),
        moved if 1.0 <= moved => {
            let side = if path.right_deg < 0.0 {
                "left"
            } else {
                "right"
            };
            format!("{start}; by {at} {} farther {side}", n_fists(moved))
        }
        _ => direction(&shown.direction),
    }
}

/// `20:10 to 21:35, then behind the bell tower`
pub fn limits(shown: &ShownTarget, zone: Tz) -> String {
    let limits = &shown.limits;
    let behind = shown.ends_behind.as_deref().unwrap_or("skyline");
    let then = match limits.ends {
        Edge::Skyline => format!(", then behind the {behind}"),
        Edge::TooLow => String::from(", then too low"),
        Edge::BeforeSunrise => String::from(", then stop: the Sun is coming"),
        Edge::Twilight => String::from(", then the sky is too bright"),
        Edge::Noon => String::new(),
    };
    format!(
        "{} to {}{then}",
        clock(limits.from, zone),
        clock(limits.until, zone)
    )
}

/// `10 mm 120x, 26' of sky, crossed in 104 s; eyepiece 1.14 m up`
pub fn view(shown: &ShownTarget) -> String {
    let drift = match shown.drift_s {
        Some(drift_s) => format!(", crossed in {}", crossing(drift_s)),
        None => String::from(", where it stays"),
    };
    let height = (shown.eyepiece_height_m).map_or(String::new(), |height_m| {
        format!("; eyepiece {height_m:.2} m up")
    });
    format!(
        "{} {:.0}x, {} of sky{drift}{height}",
        shown.view.eyepiece,
        shown.view.magnification,
        field(shown.view.true_field_deg, "degrees")
    )
}

/// `Eyepiece 0.96 to 1.38 m above the ground: a step of 35 cm for a child.`
pub fn heights(heights: &Heights) -> String {
    let range = if heights.highest_m - heights.lowest_m < 0.05 {
        format!("{:.2} m", heights.highest_m)
    } else {
        format!("{:.2} to {:.2} m", heights.lowest_m, heights.highest_m)
    };
    let step = match (heights.child_step_m, heights.adult_step_m) {
        (None, _) => String::from("no step needed"),
        (Some(child_m), None) => format!("a step of {} cm for a child", step_cm(child_m)),
        (Some(child_m), Some(adult_m)) => format!(
            "steps of {} cm for a child and {} cm for a grown-up, with something to hold that is not the telescope",
            step_cm(child_m),
            step_cm(adult_m)
        ),
    };
    let seated = if heights.seated_throughout {
        "; a seated eye reaches it"
    } else {
        ""
    };
    format!("Eyepiece {range} above the ground: {step}{seated}.")
}

/// Up to the next five.
pub fn step_cm(step_m: f64) -> f64 {
    (20.0 * step_m).ceil() * 5.0
}

/// When aiming begins at the latest: `aim the mirrors from 18:50, and again on a star`.
pub fn aiming(by: DateTime<Utc>, again_on_a_star: bool, zone: Tz) -> String {
    let again = if again_on_a_star {
        ", and again on a star"
    } else {
        ""
    };
    format!("aim the mirrors from {}{again}", clock(by, zone))
}

/// Who stands at a telescope.
pub fn helper(helper: Helper) -> &'static str {
    match helper {
        Helper::New => "new helper",
        Helper::Practised => "practised helper",
    }
}

/// What a mirror is good for, as [`Class`] is written everywhere.
pub fn class(class: Class) -> &'static str {
    crate::show::mirror::class_word(class)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(azimuth_deg: f64, altitude_deg: f64, side: Option<SideOfMark>, want: &str) {
        let mark = side.map(|side| NearMark {
            name: "bell tower".to_string(),
            right_of_it_deg: 0.0,
            side,
        });
        let there = Direction {
            azimuth_deg,
            altitude_deg,
            mark,
        };
        assert_eq!(direction(&there), want);
    }

    #[test]
    fn directions_without_degrees() {
        let left = "south-west, four fists up, left of the bell tower";
        check(225.0, 40.0, Some(SideOfMark::Left), left);
        let right = "north, one fist up, right of the bell tower";
        check(350.0, 14.0, Some(SideOfMark::Right), right);
        let over = "east, three fists up, over the bell tower";
        check(100.0, 31.0, Some(SideOfMark::Over), over);
        check(100.0, 31.0, None, "east, three fists up");
        check(100.0, 88.0, Some(SideOfMark::Over), "overhead");
    }
}
