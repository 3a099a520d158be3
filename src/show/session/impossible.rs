//! What could not be had, in words.

use chrono_tz::Tz;

use crate::plan::session::{Impossible, WhyIdle, WhyNot};
use crate::plan::time_span::TimeSpan;
use crate::show::session::warmth::{warm_start, why_idle};
use crate::show::words::{self, clock};

/// What could not be had, in a sentence.
pub fn words_of(what: &Impossible, zone: Tz) -> String {
    match what {
        Impossible::NothingUntil {
            until,
            sun_is_up: true,
            ..
        } => format!(
            "Nothing before {}: the Sun is still up, or the sky too bright.",
            clock(*until, zone)
        ),
        Impossible::NothingUntil {
            until,
            is_aiming: true,
            ..
        } => format!(
            "Nothing before {}: people meet too late to have the mirrors aimed.",
            clock(*until, zone)
        ),
        Impossible::NothingUntil { until, .. } => {
            format!(
                "Nothing before {}: nothing that shows is clear yet for a whole stay.",
                clock(*until, zone)
            )
        }
        Impossible::NothingAtAll => String::from(
            "Nothing can be shown in this window: no target is clear in a dark enough sky.",
        ),
        Impossible::NothingAfter {
            from,
            sun_comes_up: true,
        } => format!("Nothing after {}: the Sun is coming.", clock(*from, zone)),
        Impossible::NothingAfter { from, .. } => {
            format!(
                "Nothing after {}: nothing that shows is clear for a whole stay any more.",
                clock(*from, zone)
            )
        }
        Impossible::NotJudged(why) => format!("{} shows nothing: {why}.", why.telescope),
        Impossible::Idle {
            telescope,
            all_along: true,
            why,
            ..
        } => format!("{telescope} has nothing to show: {}.", why_idle(*why)),
        Impossible::Idle {
            telescope,
            from,
            until,
            why,
            ..
        } => {
            let span = TimeSpan {
                from: *from,
                until: *until,
            };
            rests(std::slice::from_ref(telescope), span, *why, zone)
        }
        Impossible::Warm {
            telescope,
            from_sunset,
        } => format!(
            "{telescope} stands outside before sunset, capped and in the shade, to be cool at its first look; put \
             out at sunset it is {}.",
            warm_start(from_sunset, zone)
        ),
        Impossible::Late { telescope, start } => format!(
            "{telescope} is {}: people meet too late to have it cool.",
            warm_start(start, zone)
        ),
        Impossible::FewTargets { from, until } => format!(
            "Between {} and {} there are fewer targets than telescopes: two may show the same.",
            clock(*from, zone),
            clock(*until, zone)
        ),
        Impossible::Want { want, name, why } => {
            let whom = want.telescope.as_ref();
            let on = whom.map_or(String::new(), |telescope| format!(" on {telescope}"));
            format!(
                "{name}{on}, as wanted: not possible, {}.",
                why_not(why, zone)
            )
        }
        Impossible::StaleBackup { on } => format!(
            "The other date in the file, session.backup_on = {on}, is not after this evening: left out."
        ),
        Impossible::OtherGather { stated } => format!(
            "The hour in the file, session.gather = {}, is not of this part of the night: people meet a quarter of an hour \
             before it begins.",
            stated.format("%H:%M")
        ),
        Impossible::NobodySeated => String::from(
            "No telescope keeps its eyepiece where a seated eye reaches it (0.9 to 1.2 m), or the mounts are not \
             known: give pivot_height_m and pivot_to_eyepiece_m.",
        ),
        Impossible::SeatNotKnown { telescope } => format!(
            "{telescope} is for seated viewers, but its mount is not known: give pivot_height_m and \
             pivot_to_eyepiece_m, and it keeps to what a seated eye reaches (0.9 to 1.2 m)."
        ),
        Impossible::NothingForChildren => String::from(
            "No eyepiece is known to be within a child's reach in the first third: have steps ready.",
        ),
        Impossible::TooManyVisitors { without, resting } if resting.is_empty() => format!(
            "{}: shorter looks, more telescopes or a longer evening.",
            without_a_look(*without)
        ),
        Impossible::TooManyVisitors { without, resting } => format!(
            "{} while {} at times, for want of targets: shorter looks or a longer evening.",
            without_a_look(*without),
            match &resting[..] {
                [one] => format!("{one} rests"),
                more => format!("{} rest", words::list(more)),
            }
        ),
    }
}

/// `Rowan rests 19:30 to 20:00: ...`
pub fn rests(telescopes: &[String], span: TimeSpan, why: WhyIdle, zone: Tz) -> String {
    let rest = match telescopes.len() {
        1 => "rests",
        _ => "rest",
    };
    let (from, until) = (clock(span.from, zone), clock(span.until, zone));
    format!(
        "{} {rest} {from} to {until}: {}.",
        words::list(telescopes),
        why_idle(why)
    )
}

fn without_a_look(visitors: u32) -> String {
    match visitors {
        1 => String::from("One visitor goes without a look"),
        many => format!("{many} visitors go without a look"),
    }
}

fn why_not(why: &WhyNot, zone: Tz) -> String {
    match why {
        WhyNot::Sun => String::from("it is up only with the Sun, near it, or in too bright a sky"),
        WhyNot::Skyline => String::from("it is not clear of the skyline then"),
        WhyNot::TooHard => String::from("nothing on it would show to visitors in typical air"),
        WhyNot::NotReady { ready } => {
            format!("the telescope is not aimed before {}", clock(*ready, zone))
        }
        WhyNot::Crowded => {
            String::from("as many telescopes are wanted on it already as may show it")
        }
        WhyNot::NewHelper => String::from("too faint for a new helper to find"),
        WhyNot::OtherWants => String::from("the other wants leave no turn for it"),
        WhyNot::LeftOut => String::from("your notes leave it out"),
        WhyNot::NotJudged => String::from("the telescope cannot be judged"),
        WhyNot::NotFound => String::from("no plan with it was found"),
    }
}
