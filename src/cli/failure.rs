//! Everything that can go wrong out here, in one voice: what, where, what would be right.

use std::path::PathBuf;
use std::{fmt, io};

use skyworthy::plan::refusal::Refusal;
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
    /// The ending of the output's name promises what the command does not write; what it does.
    Ending(PathBuf, &'static [Form]),
    /// JSON was asked for, and the ending of the output's name promises something else.
    NotJson(PathBuf),
    /// Hours to be shaded where nothing is drawn.
    WindowWithoutPicture,
    /// A picture of a night with bodies in daylight.
    PictureByDay,
    /// Several telescopes, and none was named.
    WhichTelescope(Vec<String>),
    /// Several telescopes, and a picture that shows one mask.
    WhichMask(Vec<String>),
    /// Several mirrors, and one certificate.
    WhichCertificate(Vec<String>),
    /// Whose mirror has no certificate, and why.
    NotCertified(String, String),
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
    /// What was asked has no answer.
    Refused(Refusal),
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
            Failure::WhichTelescope(known) => write!(
                f,
                "which telescope was it?\n  say --telescope and its name: the workshop has {}",
                known.join(", ")
            ),
            Failure::WhichMask(known) => write!(
                f,
                "a picture shows one mask\n  say --telescope and its name: the workshop has {}",
                known.join(", ")
            ),
            Failure::WhichCertificate(known) => write!(
                f,
                "a certificate is of one mirror\n  say --telescope and its name: the workshop has {}",
                known.join(", ")
            ),
            Failure::NotCertified(name, why) => {
                write!(f, "no certificate for `{name}`, and nothing written: {why}")
            }
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
            Failure::WishesOfOthers => write!(
                f,
                "--wish belongs to an own list\n  say --for own-list, or leave --for out"
            ),
            Failure::Refused(why) => why.fmt(f),
        }
    }
}

impl std::error::Error for Failure {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Failure::Unreadable(_, why)
            | Failure::Unwritable(_, why)
            | Failure::Stdout(why)
            | Failure::LogUnreadable(_, why)
            | Failure::NotAdded(_, why) => Some(why),
            // Their words are the failure's own: what lies behind them comes next.
            Failure::Workshop(why) => why.source(),
            Failure::NotALog(_, why) => Some(why),
            Failure::Refused(why) => why.source(),
            _ => None,
        }
    }
}

impl<E> From<E> for Failure
where
    Refusal: From<E>,
{
    fn from(why: E) -> Failure {
        Failure::Refused(why.into())
    }
}
