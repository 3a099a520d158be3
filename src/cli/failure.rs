//! Everything that can go wrong out here, in one voice: what, where, what would be right.

use std::path::PathBuf;
use std::{fmt, io};

use skyworthy::plan::refusal::Refusal;
use skyworthy::workshop;
use skyworthy::workshop::log::{NotALog, NotASheet};

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
    /// A file of an evening's sheets that exists and was not to be replaced.
    SheetsThere(PathBuf),
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
    /// Another file where the table of looks should be, or lines in it that cannot be read.
    NotASheet(PathBuf, NotASheet),
    /// So many answers of another evening in the table of looks.
    OtherEvening(PathBuf, usize),
    /// Lines of the table of looks that can be no looks, and why: nothing was added.
    NoLooks(PathBuf, Vec<(usize, String)>),
    /// No row of the table of looks is called so; or several are, of these telescopes.
    WhichRow(String, Vec<String>),
    /// There is no table of looks.
    NoSheet(PathBuf),
    /// A look, and nobody who saw it.
    WhoSaw,
    /// What holds for one look was said of a sheet of them.
    OfOneLook,
    /// What was said may mean any of these.
    Ambiguous(String, Vec<String>),
    /// What was said is a row's code, and no folder was.
    RowOfWhat(String),
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
            Failure::SheetsThere(path) => write!(
                f,
                "`{}` exists and is left alone\n  --overwrite prints all anew; your notes and what is filled in among the looks \
                 are kept",
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
            Failure::NotASheet(path, why) => {
                write!(f, "`{}` {}", path.display(), not_a_sheet(why))
            }
            Failure::OtherEvening(path, n) => write!(
                f,
                "`{}` has {n} answer{} of another evening in it, and is left alone\n  \
                 log them (`skyworthy seen --sheet` and this folder), then move it away; or print into another folder",
                path.display(),
                if *n == 1 { "" } else { "s" }
            ),
            Failure::NoLooks(path, lines) => write!(
                f,
                "`{}`: nothing was logged, for{}\n  put them right and say it again",
                path.display(),
                listed(lines.iter().map(|(line, why)| (*line, why.as_str())))
            ),
            Failure::WhichRow(row, telescopes) if telescopes.is_empty() => write!(
                f,
                "no row of these sheets is called `{row}`\n  rows are called as printed, a1, a2, b1 ..."
            ),
            Failure::WhichRow(row, telescopes) => write!(
                f,
                "several telescopes have a row {row}\n  say --telescope and its name: {}",
                telescopes.join(", ")
            ),
            Failure::NoSheet(path) => write!(
                f,
                "there is no `{}`\n  name the folder that `session --sheets` wrote: the table stands in it",
                path.display()
            ),
            Failure::WhoSaw => write!(
                f,
                "who saw it?\n  say --by most, some, helper, alone or none"
            ),
            Failure::OfOneLook => write!(
                f,
                "--by, --at, --eyepiece and --note are of one look\n  \
                 name its row, as in `seen b2 --sheet paper --by most`, or leave them out"
            ),
            Failure::Ambiguous(said, all) => {
                let more = all.len().saturating_sub(MOST_NAMED);
                let named = all[..all.len() - more].join(", ");
                let more = if more > 0 {
                    format!(" and {more} more")
                } else {
                    String::new()
                };
                write!(
                    f,
                    "`{said}` may be several things\n  say more of the name, or the id in brackets: {named}{more}"
                )
            }
            Failure::RowOfWhat(row) => write!(
                f,
                "`{row}` is a row of a printed sheet, and of which is not said\n  \
                 say --sheet and the folder that `session --sheets` wrote"
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

/// So many things that may be meant are named.
const MOST_NAMED: usize = 8;

fn not_a_sheet(why: &NotASheet) -> String {
    match why {
        NotASheet::NoText => String::from(
            "is not text (UTF-8), so it is no table of looks\n  save it as CSV in UTF-8, or print the sheets again",
        ),
        NotASheet::Column(column) => format!(
            "is no table of looks: its first line has not one column `{column}`\n  keep the columns as they were printed"
        ),
        NotASheet::Lines(unread) => format!(
            "has lines that cannot be read:{}\n  put them right and say it again",
            listed(unread.iter().map(|it| (it.line, it.why.as_str())))
        ),
    }
}

fn listed<'a>(lines: impl Iterator<Item = (usize, &'a str)>) -> String {
    // A reason may have a second line of its own, with what would be right.
    lines
        .map(|(line, why)| format!("\n  line {line}: {}", why.replace('\n', "\n  ")))
        .collect()
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
