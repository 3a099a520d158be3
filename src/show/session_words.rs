//! A public evening in words: places, details, facts and refusals, one place for text, sheets, tables and calendars.

use chrono_tz::Tz;

use crate::plan::mirror::Class;
use crate::plan::night::Edge;
use crate::plan::session::Direction;
use crate::plan::session::Facts;
use crate::plan::session::Heights;
use crate::plan::session::Impossible;
use crate::plan::session::Queue;
use crate::plan::session::Showing;
use crate::plan::session::Shutter;
use crate::show::words::clock;
use crate::show::words::fists;
use crate::show::words::two_digits;
use crate::targets::subject::Subject;
use crate::workshop::Helper;

/// Nearer than this a target stands over its mark.
const OVER_MARK_DEG: f64 = 3.0;

/// The Moon to the naked eye, arcminutes.
const MOON_ARCMIN: f64 = 30.0;

/// `Albireo`: what comes before the bracket, for narrow columns.
pub fn short_name(subject: &Subject) -> &str {
    let name = subject.name();
    name.split_once(" (").map_or(name, |(short, _)| short)
}

/// `south-west, four fists up, left of the bell tower`
pub fn direction(direction: &Direction) -> String {
    let beside = match &direction.mark {
        None => String::new(),
        Some(mark) if mark.right_of_it_deg.abs() < OVER_MARK_DEG => {
            format!(", over the {}", mark.name)
        }
        Some(mark) if mark.right_of_it_deg < 0.0 => format!(", left of the {}", mark.name),
        Some(mark) => format!(", right of the {}", mark.name),
    };
    let height = fists(direction.altitude_deg);
    if height == "overhead" {
        return height.to_string();
    }
    format!("{}, {height}{beside}", plain_wind(direction.azimuth_deg))
}

/// One of eight directions in full: `south-west`.
pub fn plain_wind(azimuth_deg: f64) -> &'static str {
    const WINDS: [&str; 8] = [
        "north",
        "north-east",
        "east",
        "south-east",
        "south",
        "south-west",
        "west",
        "north-west",
    ];
    WINDS[(azimuth_deg / 45.0).round().rem_euclid(8.0) as usize % 8]
}

/// `20:10 to 21:35, then behind the bell tower`
pub fn limits(showing: &Showing, zone: Tz) -> String {
    let limits = &showing.limits;
    let behind = showing.ends_behind.as_deref().unwrap_or("skyline");
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
pub fn view(showing: &Showing) -> String {
    let drift = match showing.drift_s {
        Some(drift_s) if drift_s < 120.0 => format!(", crossed in {drift_s:.0} s"),
        Some(drift_s) => format!(", crossed in {:.0} min", drift_s / 60.0),
        None => String::from(", where it stays"),
    };
    let height = (showing.eyepiece_height_m).map_or(String::new(), |height_m| {
        format!("; eyepiece {height_m:.2} m up")
    });
    format!(
        "{} {:.0}x, {} of sky{drift}{height}",
        showing.view.eyepiece,
        showing.view.magnification,
        sky_width(showing.view.true_field_deg)
    )
}

fn sky_width(field_deg: f64) -> String {
    if field_deg < 1.0 {
        format!("{:.0}'", 60.0 * field_deg)
    } else {
        format!("{field_deg:.1} degrees")
    }
}

/// `628 million km; its light takes 35 minutes; 143 000 km across; looks 1.5 Moons wide`: whatever of it is known.
pub fn facts(facts: &Facts) -> String {
    let known = [
        facts.distance_km.map(distance),
        facts.light_time_s.map(light_time),
        facts
            .diameter_km
            .map(|km| format!("{} km across", grouped(km))),
        facts.apparent_size_arcmin.map(apparent_size),
    ];
    known.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn distance(km: f64) -> String {
    match km {
        km if km < 1e6 => format!("{} km away", grouped(km)),
        km if km < 1e9 => format!("{} million km away", two_digits(km / 1e6)),
        km => format!("{} thousand million km away", two_digits(km / 1e9)),
    }
}

fn light_time(seconds: f64) -> String {
    match seconds {
        s if s < 10.0 => format!("its light takes {s:.1} s"),
        s if s < 5400.0 => format!("its light takes {:.0} minutes", s / 60.0),
        s => format!("its light takes {:.1} hours", s / 3600.0),
    }
}

/// What it looks like at the eyepiece, beside the Moon without one.
fn apparent_size(arcmin: f64) -> String {
    let moons = arcmin / MOON_ARCMIN;
    match moons {
        moons if moons < 0.75 => format!("looks {} of the Moon wide", part(moons)),
        moons if moons < 1.25 => String::from("looks as wide as the Moon without a telescope"),
        moons => format!("looks {} Moons wide", two_digits(moons)),
    }
}

fn part(moons: f64) -> &'static str {
    match moons {
        m if m < 0.07 => "a twentieth",
        m if m < 0.15 => "a tenth",
        m if m < 0.22 => "a fifth",
        m if m < 0.3 => "a quarter",
        m if m < 0.42 => "a third",
        m if m < 0.6 => "half",
        _ => "two thirds",
    }
}

/// Two or three digits that mean something, in groups: `143 000`.
fn grouped(value: f64) -> String {
    let unit = 10f64.powf(value.max(1.0).log10().floor() - 2.0).max(1.0);
    let digits = format!("{:.0}", (value / unit).round() * unit);
    let mut grouped = String::new();
    for (idx, digit) in digits.chars().enumerate() {
        if idx > 0 && (digits.len() - idx) % 3 == 0 {
            grouped.push(' ');
        }
        grouped.push(digit);
    }
    grouped
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
fn step_cm(step_m: f64) -> f64 {
    (20.0 * step_m).ceil() * 5.0
}

/// `60 looks an hour, 238 in all; about 11 minutes in line for each.`
pub fn queue(queue: &Queue) -> String {
    if queue.looks == 0 {
        return String::from("No looks.");
    }
    let wait = match queue.expected_wait_min {
        wait if wait < 1.0 => String::from("hardly a line"),
        wait => format!("about {wait:.0} minutes in line for each if all are there"),
    };
    format!(
        "{:.0} looks an hour, {} in all; {wait}.",
        queue.looks_per_hour, queue.looks
    )
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

/// What could not be had, in a sentence.
pub fn impossible(what: &Impossible, zone: Tz) -> String {
    match what {
        Impossible::NothingUntil {
            until,
            sun_is_up: true,
        } => format!(
            "Nothing before {}: the Sun is still up, or the sky too bright.",
            clock(*until, zone)
        ),
        Impossible::NothingUntil { until, .. } => {
            format!(
                "Nothing before {}: nothing that shows is clear yet.",
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
                "Nothing after {}: nothing that shows is clear any more.",
                clock(*from, zone)
            )
        }
        Impossible::NotJudged { telescope, why } => format!("{telescope} shows nothing: {why}."),
        Impossible::Idle { telescope } => {
            format!("{telescope} has nothing to show: others show it better, or nothing is clear.")
        }
        Impossible::Warm { telescope, cool_at } => format!(
            "{telescope} is not cool by its first look unless it stands outside before sunset, capped and in \
             the shade; put out at sunset it is cool at {}.",
            clock(*cool_at, zone)
        ),
        Impossible::Late {
            telescope,
            ready,
            out_by,
        } => format!(
            "{telescope} is not cool before {}: it would have to be outside by {}, before people meet.",
            clock(*ready, zone),
            clock(*out_by, zone)
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
                shutter(why, zone)
            )
        }
        Impossible::NobodySeated => String::from(
            "No telescope keeps its eyepiece where a seated eye reaches it (0.9 to 1.2 m), or the mounts are not \
             known: give pivot_height_m and pivot_to_eyepiece_m.",
        ),
        Impossible::NothingForChildren => String::from(
            "No eyepiece is known to be within a child's reach in the first third: have steps ready.",
        ),
        Impossible::TooManyVisitors { without } => format!(
            "{without} visitors go without a look: shorter looks, more telescopes or a longer evening."
        ),
    }
}

fn shutter(why: &Shutter, zone: Tz) -> String {
    match why {
        Shutter::Sun => String::from("it is up only with the Sun, near it, or in too bright a sky"),
        Shutter::Skyline => String::from("it is not clear of the skyline then"),
        Shutter::TooHard => String::from("nothing on it would show to visitors in typical air"),
        Shutter::Class => String::from(
            "this mirror is for Moon and fields, and a better one is there for planets",
        ),
        Shutter::NotReady { ready } => {
            format!("the telescope is not cool before {}", clock(*ready, zone))
        }
        Shutter::Crowded => {
            String::from("as many telescopes are wanted on it already as may show it")
        }
        Shutter::NewHelper => String::from("too faint for a new helper to find"),
        Shutter::OtherWants => String::from("the other wants leave no turn for it"),
        Shutter::NotJudged => String::from("the telescope cannot be judged"),
        Shutter::NotFound => String::from("no plan with it was found"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::session::NearMark;

    #[track_caller]
    fn check(azimuth_deg: f64, altitude_deg: f64, mark_deg: Option<f64>, want: &str) {
        let mark = mark_deg.map(|right_of_it_deg| NearMark {
            name: "bell tower".to_string(),
            right_of_it_deg,
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
        check(
            225.0,
            40.0,
            Some(-12.0),
            "south-west, four fists up, left of the bell tower",
        );
        check(
            350.0,
            14.0,
            Some(20.0),
            "north, one fist up, right of the bell tower",
        );
        check(
            100.0,
            31.0,
            Some(1.0),
            "east, three fists up, over the bell tower",
        );
        check(100.0, 31.0, None, "east, three fists up");
        check(100.0, 88.0, Some(1.0), "overhead");
    }

    #[test]
    fn facts_in_round_numbers() {
        let of = |distance_km, diameter_km, arcmin| {
            facts(&Facts {
                distance_km,
                light_time_s: distance_km.map(|km| km / 299_792.458),
                diameter_km,
                apparent_size_arcmin: Some(arcmin),
            })
        };
        assert_eq!(
            of(Some(6.42e8), Some(142_984.0), 76.0),
            "640 million km away; its light takes 36 minutes; 143 000 km across; looks 2.5 Moons wide"
        );
        assert_eq!(
            of(Some(384_400.0), Some(3_476.0), 3000.0),
            "384 000 km away; its light takes 1.3 s; 3 480 km across; looks 100 Moons wide"
        );
        assert_eq!(of(None, None, 14.0), "looks half of the Moon wide");
    }
}
