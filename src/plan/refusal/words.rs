//! What the person who asked reads: what is wrong, and on the next line what would be right.

use std::fmt;

use chrono::{Days, NaiveDate};

use crate::plan::refusal::{
    NoDates, NoHappenings, NoHours, NoInstant, NoLook, NoMask, NoNight, NoSession, NoSuchDetail,
    NoSuchTelescope, NoSuchWish, NoUpset,
};
use crate::sky::small_bodies::TooFar;
use crate::targets::details::details;

use super::near;

impl fmt::Display for NoNight {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            NoNight::OutsideEphemeris => {
                "the ephemeris covers 1950 to 2100\n  choose a date between 1950-01-02 and 2100-12-30"
            }
            NoNight::NoSuchDate => {
                "that date does not exist in the time zone of the place: the zone skipped it\n  \
                 choose the day before or after"
            }
            NoNight::DarknessOutOfRange => {
                "no night sky has that faintest star overhead\n  \
                 faintest_star_mag is usually 3 (town) to 6.5 (desert)"
            }
            NoNight::SeeingOutOfRange => {
                "that value does not stand on the seeing scale\n  \
                 Pickering goes from 1 (worst) to 10 (best), Antoniadi from 1 (best) to 5 (worst)"
            }
        })
    }
}

impl fmt::Display for NoDates {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoDates::Backwards { from, to } => backwards(f, *from, *to),
            NoDates::TooMany {
                from,
                evenings,
                most,
            } => write!(
                f,
                "{evenings} evenings are more than anybody chooses among: {most} at most\n  \
                 end the range sooner, at {} at the latest",
                *from + Days::new(most - 1)
            ),
            NoDates::NoEvenings => f.write_str(
                "no evening between those dates is one of the days asked for, with hours that the clocks show\n  \
                 ask for more dates, or for other --weekdays",
            ),
            NoDates::NotJudged(why) => {
                let why: Vec<String> = why.iter().map(ToString::to_string).collect();
                f.write_str(&why.join("\n"))
            }
            NoDates::NoNight(why) => why.fmt(f),
        }
    }
}

impl fmt::Display for NoHappenings {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoHappenings::Backwards { from, to } => backwards(f, *from, *to),
            NoHappenings::OutsideEphemeris => NoNight::OutsideEphemeris.fmt(f),
        }
    }
}

fn backwards(f: &mut fmt::Formatter<'_>, from: NaiveDate, to: NaiveDate) -> fmt::Result {
    write!(
        f,
        "the last date, {to}, lies before the first, {from}\n  \
         the earlier one comes first: `dates {to} {from}`"
    )
}

impl fmt::Display for NoSession {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoSession::Night(why) => why.fmt(f),
            NoSession::Hours(why) => why.fmt(f),
            NoSession::WindowTooShort { slot_minutes } => write!(
                f,
                "the window is shorter than one slot of {slot_minutes} minutes\n  \
                 widen --window, or say --slot-minutes 5"
            ),
            NoSession::TooManySlots { slots, most } => write!(
                f,
                "{slots} slots are more than the {most} that are planned here\n  \
                 narrow --window, or lengthen --slot-minutes"
            ),
            NoSession::Telescope(why) => why.fmt(f),
            NoSession::UnknownSubject { id } => write!(
                f,
                "nothing to look at is called `{id}`{}\n  say it as lists have it, or the beginning of that: jupiter, albireo, \
                 m 42, orion neb",
                did_you_mean(&near::near_subjects(id))
            ),
            NoSession::Upset(why) => why.fmt(f),
        }
    }
}

impl fmt::Display for NoUpset {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoUpset::Over => f.write_str(
                "no slot of the evening begins after that: there is nothing left to change\n  \
                 give --now a time within --window",
            ),
            NoUpset::EndsBeforeNow => f.write_str(
                "the new end is past already\n  give --end a time after --now",
            ),
            NoUpset::EndsLater => f.write_str(
                "the evening ends before that\n  to go on longer, widen --window: what is planned till then may move",
            ),
            NoUpset::NotThere { name } => write!(
                f,
                "`{name}` takes no part in this evening\n  --out and --back are for those that --telescope names"
            ),
        }
    }
}

impl fmt::Display for NoLook {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoLook::NoNight(why) => why.fmt(f),
            NoLook::NotJudged(why) => why.fmt(f),
            NoLook::Detail(why) => why.fmt(f),
            NoLook::NoSuchEyepiece { telescope, known } => write!(
                f,
                "{telescope} has no such eyepiece\n  it has {}",
                known.join(", ")
            ),
            NoLook::TooFar(TooFar { name, .. }) => write!(
                f,
                "nobody knows where {name} was then: its elements are too old, or not sure enough\n  \
                 newer ones go into the workshop file, under [[small_body]]"
            ),
            NoLook::Below {
                subject,
                altitude_deg,
            } => write!(
                f,
                "{subject} was {:.0} degrees below the horizon then: nobody can have seen it\n  \
                 give the time of the look with --at, as in \"2026-12-01 21:40\" (local)",
                -altitude_deg
            ),
        }
    }
}

impl fmt::Display for NoInstant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            NoInstant::NotUnderstood => {
                "no time like that\n  \
                 write 21:40, \"2026-12-01 21:40\" (both local) or 2026-12-01T20:40:00Z"
            }
            NoInstant::Twice => {
                "the clocks went back that night: that time came twice\n  \
                 give it with its distance from UTC, as in 2026-10-25T02:30:00+01:00"
            }
            NoInstant::Never => {
                "that time never came on the clocks of the place: they went forward\n  \
                 give it in UTC, as in 2026-03-29T01:30:00Z"
            }
        })
    }
}

impl fmt::Display for NoHours {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoHours::NotUnderstood => {
                f.write_str("no hours like that\n  write --window 20:00-22:30 (local)")
            }
            NoHours::Backwards => f.write_str(
                "those hours do not follow each other: a night goes from noon to noon\n  \
                 the earlier one comes first, as in 20:00-22:30 or 22:00-01:00",
            ),
            NoHours::NothingLeft => f.write_str(
                "nothing is left of those hours: the clocks of the place go forward over them that night\n  \
                 give --window an hour before or after",
            ),
            NoHours::NoSuchDate => NoNight::NoSuchDate.fmt(f),
        }
    }
}

impl fmt::Display for NoSuchTelescope {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "no telescope is called `{}`", self.name)?;
        if let Some(near) = &self.near {
            write!(f, ": did you mean `{near}`?")?;
        }
        write!(f, "\n  the workshop has {}", self.known.join(", "))
    }
}

impl fmt::Display for NoSuchDetail {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let NoSuchDetail(id) = self;
        // The same body's details, or all of them: whoever mistypes knows the planet.
        let body = id.split('_').next().unwrap_or_default();
        let of_body = details().iter().filter(|detail| detail.body.id() == body);
        let known: Vec<&str> = of_body.map(|detail| detail.id.as_str()).collect();
        let near = did_you_mean(&near::near_details(id));
        write!(f, "no detail is called `{id}`{near}\n  ")?;
        match known.is_empty() {
            true => f.write_str(
                "names begin with the body: moon_, mars_, jupiter_, saturn_ ...; `skyworthy night --json` has them all",
            ),
            false => write!(f, "{body} has {}", known.join(", ")),
        }
    }
}

impl fmt::Display for NoSuchWish {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "nothing in the sky is called `{}`{}\n  \
             wish for a body (moon, mars, jupiter ...), a star or cluster (albireo, m13 ...) or a detail \
             (saturn_cassini ...); `skyworthy night --json` has their ids",
            self.0,
            did_you_mean(&near::near_wishes(&self.0))
        )
    }
}

impl fmt::Display for NoMask {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoMask::TooFewWindows { windows, fewest } => write!(
                f,
                "{windows} {} too few: only differences between windows count\n  \
                 say --zones {fewest} or more, or leave it out",
                if *windows == 1 {
                    "window is"
                } else {
                    "windows are"
                }
            ),
            NoMask::TooManyWindows {
                windows,
                telescope,
                aperture_mm,
                most,
            } => write!(
                f,
                "{windows} windows are too narrow to be read on {telescope} ({aperture_mm} mm): there is room for {most}\n  \
                 say --zones {most} or fewer, or leave it out"
            ),
        }
    }
}

/// `: did you mean `m13_glow` or `m13_stars`?`, nothing where nothing is near.
fn did_you_mean(near: &[String]) -> String {
    match near {
        [] => String::new(),
        near => format!(": did you mean `{}`?", near.join("` or `")),
    }
}
