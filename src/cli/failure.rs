//! Everything that can go wrong out here, in one voice: what, where, what would be right.

use std::path::PathBuf;
use std::{fmt, io};

use skyworthy::plan::clock_window::NoHours;
use skyworthy::plan::dates::{MOST_EVENINGS, NoDates};
use skyworthy::plan::happenings::NoHappenings;
use skyworthy::plan::local::NoInstant;
use skyworthy::plan::refusal::NoNight;
use skyworthy::plan::seen::NoLook;
use skyworthy::targets::details::details;
use skyworthy::workshop;
use skyworthy::workshop::log::NotALog;

use super::form::{self, Form};

/// Why there is no answer.
#[derive(Debug)]
pub enum Failure {
    /// A file could not be read.
    Unreadable(PathBuf, io::Error),
    /// A directory where a file should be.
    Directory(PathBuf),
    /// Far larger than any workshop file.
    TooLarge(PathBuf, u64),
    /// Not text.
    NotText(PathBuf),
    /// The workshop file says something that cannot be used.
    Workshop(Box<workshop::Error>),
    /// The output exists.
    Exists(PathBuf),
    /// The output could not be written.
    Unwritable(PathBuf, io::Error),
    /// The terminal, or whatever stands in for it, could not be written to.
    Stdout(io::Error),
    /// No telescope of that name.
    NoSuchTelescope {
        /// As typed.
        name: String,
        /// The one that was probably meant.
        near: Option<String>,
        /// Those there are.
        known: Vec<String>,
    },
    /// The ending of the output's name promises what the command does not write; what it does.
    Ending(PathBuf, &'static [Form]),
    /// JSON was asked for, and the ending of the output's name promises something else.
    NotJson(PathBuf),
    /// Hours to be shaded where nothing is drawn.
    WindowWithoutPicture,
    /// A picture of a night with bodies in daylight.
    PictureByDay,
    /// No such hours in that night.
    NoHours(NoHours),
    /// A window shorter than a slot of so many minutes.
    ShortWindow(u32),
    /// More slots than anybody plans.
    ManySlots(usize),
    /// Nothing to look at is called so.
    NoSuchTarget(String),
    /// No detail of that name in the table.
    NoSuchDetail(String),
    /// Several telescopes, and none was named.
    WhichTelescope(Vec<String>),
    /// No eyepiece of that name in that telescope.
    NoSuchEyepiece {
        /// The telescope's name.
        telescope: String,
        /// Those there are.
        known: Vec<String>,
    },
    /// It was not above the horizon.
    Below {
        /// What is meant.
        subject: &'static str,
        /// Degrees, negative.
        altitude_deg: f64,
    },
    /// No such time on the clocks of the place.
    NoInstant(NoInstant),
    /// The log could not be read.
    LogUnreadable(PathBuf, io::Error),
    /// Another file where the log should be.
    NotALog(PathBuf, NotALog),
    /// Nothing was added to the log.
    NotAdded(PathBuf, io::Error),
    /// Another file where the plan of the last print should be, and why it cannot be read.
    NotLast(PathBuf, String),
    /// More bands than a picture shows truly.
    TooManyBands,
    /// A telescope whose readings cannot be used.
    NotJudged(String),
    /// No sky for that instant.
    OutsideEphemeris,
    /// No plan for that night.
    NoNight(NoNight),
    /// Nothing to tell between those dates.
    NoHappenings(NoHappenings),
    /// No evenings to choose among.
    NoDates(NoDates),
    /// Nothing in the sky is called so.
    NoSuchWish(String),
    /// Wishes, and an audience that does not have them.
    WishesOfOthers,
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::Unreadable(path, why) => write!(
                f,
                "cannot read `{}`: {why}\n  `skyworthy begin` writes a workshop file to fill in",
                path.display()
            ),
            Failure::Directory(path) => write!(
                f,
                "`{}` is a directory, not a workshop file\n  name the file in it, e.g. `{}`",
                path.display(),
                path.join("workshop.toml").display()
            ),
            Failure::TooLarge(path, bytes) => write!(
                f,
                "`{}` has {:.1} MB; a workshop file has a few kB\n  is this the right file?",
                path.display(),
                *bytes as f64 / 1e6
            ),
            Failure::NotText(path) => write!(
                f,
                "`{}` is not text (UTF-8), so it is no workshop file",
                path.display()
            ),
            Failure::Workshop(error) => write!(f, "{error}"),
            Failure::Exists(path) => write!(
                f,
                "`{}` exists and is left alone\n  choose another name, or say --overwrite",
                path.display()
            ),
            Failure::Unwritable(path, why) => {
                write!(f, "cannot write `{}`: {why}", path.display())
            }
            Failure::Stdout(why) => write!(f, "cannot write the answer: {why}"),
            Failure::NoSuchTelescope { name, near, known } => match near {
                Some(near) => write!(
                    f,
                    "no telescope is called `{name}`: did you mean `{near}`?\n  the workshop has {}",
                    known.join(", ")
                ),
                None => write!(
                    f,
                    "no telescope is called `{name}`\n  the workshop has {}",
                    known.join(", ")
                ),
            },
            Failure::NotJson(path) => write!(
                f,
                "`{}` does not look like a JSON file\n  end its name in .json, or leave --json out",
                path.display()
            ),
            Failure::Ending(path, written) => f.write_str(&form::refused(path, written)),
            Failure::WindowWithoutPicture => write!(
                f,
                "--window shades hours in the picture of a night, and no picture is asked for\n  \
                 add --output night.svg"
            ),
            Failure::PictureByDay => write!(
                f,
                "the picture shows the night only\n  \
                 leave --daylight out, or --output for the list with bodies in daylight"
            ),
            Failure::NoHours(NoHours::NotUnderstood) => write!(
                f,
                "no hours like that\n  write --window 20:00-22:30 (local)"
            ),
            Failure::NoHours(NoHours::NothingLeft) => write!(
                f,
                "nothing is left of those hours: the clocks of the place go forward over them that night\n  \
                 give --window an hour before or after"
            ),
            Failure::NoHours(NoHours::Backwards) => write!(
                f,
                "those hours do not follow each other: a night goes from noon to noon\n  \
                 the earlier one comes first, as in 20:00-22:30 or 22:00-01:00"
            ),
            Failure::ShortWindow(minutes) => write!(
                f,
                "the window is shorter than one slot of {minutes} minutes\n  \
                 widen --window, or say --slot-minutes 5"
            ),
            Failure::ManySlots(slots) => write!(
                f,
                "{slots} slots are more than the 200 that are planned here\n  \
                 narrow --window, or lengthen --slot-minutes"
            ),
            Failure::NoSuchTarget(id) => write!(
                f,
                "nothing to look at is called `{id}`\n  planets by their names (moon, jupiter), all else by its id \
                 (albireo, m42): `night --json` lists those of a night"
            ),
            Failure::NoSuchDetail(id) => {
                // The same body's details, or all of them: whoever mistypes knows the planet.
                let body = id.split('_').next().unwrap_or_default();
                let of_body = details().iter().filter(|detail| detail.body.id() == body);
                let known: Vec<&str> = of_body.map(|detail| detail.id.as_str()).collect();
                write!(f, "no detail is called `{id}`\n  ")?;
                if known.is_empty() {
                    write!(
                        f,
                        "names begin with the body: moon_, mars_, jupiter_, saturn_ ...; `skyworthy night --json` has them all"
                    )
                } else {
                    write!(f, "{body} has {}", known.join(", "))
                }
            }
            Failure::WhichTelescope(known) => write!(
                f,
                "which telescope was it?\n  say --telescope and its name: the workshop has {}",
                known.join(", ")
            ),
            Failure::NoSuchEyepiece { telescope, known } => write!(
                f,
                "{telescope} has no such eyepiece\n  it has {}",
                known.join(", ")
            ),
            Failure::Below {
                subject,
                altitude_deg,
            } => write!(
                f,
                "{subject} was {:.0} degrees below the horizon then: nobody can have seen it\n  \
                 give the time of the look with --at, as in \"2026-12-01 21:40\" (local)",
                -altitude_deg
            ),
            Failure::NoInstant(NoInstant::NotUnderstood) => write!(
                f,
                "no time like that\n  \
                 write 21:40, \"2026-12-01 21:40\" (both local) or 2026-12-01T20:40:00Z"
            ),
            Failure::NoInstant(NoInstant::Twice) => write!(
                f,
                "the clocks went back that night: that time came twice\n  \
                 give it with its distance from UTC, as in 2026-10-25T02:30:00+01:00"
            ),
            Failure::NoInstant(NoInstant::Never) => write!(
                f,
                "that time never came on the clocks of the place: they went forward\n  \
                 give it in UTC, as in 2026-03-29T01:30:00Z"
            ),
            Failure::LogUnreadable(path, why) => {
                write!(f, "cannot read the log `{}`: {why}", path.display())
            }
            Failure::NotALog(path, why) => write!(
                f,
                "`{}` is no log of looks, and is left alone: {why}\n  \
                 name another file with --log; it is made if it is missing",
                path.display()
            ),
            Failure::NotAdded(path, why) => write!(
                f,
                "nothing was added to `{}`: {why}\n  \
                 every look logged before is still there; once there is room and leave to write, log this one again",
                path.display()
            ),
            Failure::NotLast(path, why) => write!(
                f,
                "`{}` is not the plan of the last print: {why}\n  \
                 move it away: the sheets are written afresh, without a list of what moved",
                path.display()
            ),
            Failure::TooManyBands => write!(
                f,
                "more bands than a picture can show, or an eye tell apart\n  \
                 bring --offset-mm nearer to 0, or take fewer --lines-per-mm"
            ),
            Failure::NotJudged(why) => write!(f, "{why}"),
            Failure::NoHappenings(NoHappenings::Backwards { from, to })
            | Failure::NoDates(NoDates::Backwards { from, to }) => write!(
                f,
                "the last date, {to}, lies before the first, {from}\n  \
                 the earlier one comes first: `dates {to} {from}`"
            ),
            Failure::NoDates(NoDates::TooMany { from, evenings }) => write!(
                f,
                "{evenings} evenings are more than anybody chooses among: {MOST_EVENINGS} at most\n  \
                 end the range sooner, at {} at the latest",
                *from + chrono::Days::new(MOST_EVENINGS - 1)
            ),
            Failure::NoDates(NoDates::NoEvenings) => write!(
                f,
                "no evening between those dates is one of the days asked for, with hours that the clocks show\n  \
                 ask for more dates, or for other --weekdays"
            ),
            Failure::NoDates(NoDates::NotJudged(why)) => write!(f, "{}", why.join("\n")),
            Failure::NoSuchWish(id) => write!(
                f,
                "nothing in the sky is called `{id}`\n  \
                 wish for a body (moon, mars, jupiter ...), a star or cluster (albireo, m13 ...) or a detail \
                 (saturn_cassini ...); `skyworthy night --json` has their ids"
            ),
            Failure::WishesOfOthers => write!(
                f,
                "--wish belongs to an own list\n  say --for own-list, or leave --for out"
            ),
            Failure::OutsideEphemeris
            | Failure::NoNight(NoNight::OutsideEphemeris)
            | Failure::NoDates(NoDates::NoNight(NoNight::OutsideEphemeris))
            | Failure::NoHappenings(NoHappenings::OutsideEphemeris) => write!(
                f,
                "the ephemeris covers 1950 to 2100\n  choose a date between 1950-01-02 and 2100-12-30"
            ),
            Failure::NoHours(NoHours::NoSuchDate)
            | Failure::NoNight(NoNight::NoSuchDate)
            | Failure::NoDates(NoDates::NoNight(NoNight::NoSuchDate)) => write!(
                f,
                "that date does not exist in the time zone of the place: the zone skipped it\n  \
                 choose the day before or after"
            ),
            Failure::NoNight(NoNight::DarknessOutOfRange)
            | Failure::NoDates(NoDates::NoNight(NoNight::DarknessOutOfRange)) => write!(
                f,
                "no night sky has that faintest star overhead\n  \
                 faintest_star_mag is usually 3 (town) to 6.5 (desert)"
            ),
            Failure::NoNight(NoNight::SeeingOutOfRange)
            | Failure::NoDates(NoDates::NoNight(NoNight::SeeingOutOfRange)) => write!(
                f,
                "that value does not stand on the seeing scale\n  \
                 Pickering goes from 1 (worst) to 10 (best), Antoniadi from 1 (best) to 5 (worst)"
            ),
        }
    }
}

impl Failure {
    /// Why a tick is no look.
    pub fn no_look(why: NoLook, detail: &str, telescope: &str) -> Failure {
        match why {
            NoLook::NoNight(why) => Failure::NoNight(why),
            NoLook::NotJudged(why) => Failure::NotJudged(why),
            NoLook::NoSuchDetail => Failure::NoSuchDetail(detail.to_string()),
            NoLook::NoSuchEyepiece { known } => Failure::NoSuchEyepiece {
                telescope: telescope.to_string(),
                known,
            },
            NoLook::Below {
                subject,
                altitude_deg,
            } => Failure::Below {
                subject,
                altitude_deg,
            },
        }
    }
}

impl From<NoNight> for Failure {
    fn from(why: NoNight) -> Self {
        Failure::NoNight(why)
    }
}

impl From<NoHappenings> for Failure {
    fn from(why: NoHappenings) -> Self {
        Failure::NoHappenings(why)
    }
}

impl From<NoDates> for Failure {
    fn from(why: NoDates) -> Self {
        Failure::NoDates(why)
    }
}
