//! What was typed, checked but not acted upon.

mod session;

use std::path::PathBuf;

use chrono::{DateTime, NaiveDate, Utc, Weekday};
use clap::{Parser, Subcommand};
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::dates::SHORTEST_MINUTES;
use skyworthy::plan::refusal::NoHours;

pub use self::session::{FirstIn, SessionArgs};

/// From a finished telescope mirror to an honest list of what it will show tonight.
///
/// One workshop file describes the place, the eyepieces and every telescope; without one the built-in
/// example workshop is used. With no command: what each telescope shows tonight.
#[derive(Debug, Parser)]
#[command(
    version,
    max_term_width = 80,
    after_help = "Example:\n  skyworthy night --on 2027-02-20"
)]
pub struct Args {
    /// The workshop file [default: workshop.toml in this folder if there is one, else the example]
    #[arg(long, global = true, value_name = "FILE")]
    pub workshop: Option<PathBuf>,

    /// Answer in JSON, for other programs
    #[arg(long, global = true)]
    pub json: bool,

    /// Write the answer to this file instead of the terminal
    #[arg(long, global = true, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Replace the file to be written if it exists
    #[arg(long, global = true)]
    pub overwrite: bool,

    /// What to do
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What can be asked.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a commented workshop file to fill in
    Begin(BeginArgs),
    /// Before the test: how ground glass stands to its plan; the mask, the readings to expect, room to write them down
    Bench(BenchArgs),
    /// Whether each mirror is good enough, what to correct, and what another week of work would buy
    Mirror(MirrorArgs),
    /// The Ronchi bands to expect at the tester: sphere, paraboloid, and the mirror as measured
    Bands(BandsArgs),
    /// What a telescope can reach: limiting magnitude, resolving power, useful magnifications, eyepieces; and
    /// what to do about diagonal, collimation, coating and cooling
    Reach(ReachArgs),
    /// Where Sun, Moon and planets stand at an instant, and how they face us
    Sky(SkyArgs),
    /// What each telescope shows on one night: which details, how surely, when, with which eyepiece
    Night(NightArgs),
    /// Which evenings suit the telescopes and who comes, and where to fall back; or what happens between two dates
    Dates(DatesArgs),
    /// A public evening: which telescope shows what when, how many people get a look, from which height
    Session(SessionArgs),
    /// Log what was really seen, a look at a time; and how promises and looks agree
    Seen(SeenArgs),
}

/// `begin`
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  skyworthy begin my-workshop.toml")]
pub struct BeginArgs {
    /// The file to write
    #[arg(default_value = "workshop.toml", value_name = "FILE")]
    pub file: PathBuf,
}

/// `bench`
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  skyworthy bench --telescope Rowan --output bench.html")]
pub struct BenchArgs {
    /// Of one telescope alone [default: all]
    #[arg(long, value_name = "NAME")]
    pub telescope: Option<String>,

    /// Windows of the mask [default: those read through already, else as many as suit]
    #[arg(long, value_name = "N", value_parser = zones, allow_negative_numbers = true)]
    pub zones: Option<usize>,
}

/// `mirror`
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  skyworthy mirror --pictures pictures")]
pub struct MirrorArgs {
    /// Of one telescope alone [default: all]
    #[arg(long, value_name = "NAME")]
    pub telescope: Option<String>,

    /// Draw every mirror's profile, readings, contrast, star in and out of focus, and history into this folder (made if missing)
    #[arg(long, value_name = "FOLDER")]
    pub pictures: Option<PathBuf>,

    /// Write one mirror's certificate into this file, a page of A4 for a browser or a printer (.html); none is written for a
    /// mirror that has to be read again
    #[arg(long, value_name = "FILE")]
    pub certificate: Option<PathBuf>,

    /// Show beside the reduction of knife-edge readings what two simpler ways make of them
    #[arg(long)]
    pub ways: bool,
}

/// `bands`
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  skyworthy bands --telescope Rowan --offset-mm -6 --output bands.svg"
)]
pub struct BandsArgs {
    /// Whose mirror [default: the first of the file]
    #[arg(long, value_name = "NAME")]
    pub telescope: Option<String>,

    /// Of the grating
    #[arg(long, value_name = "N", default_value = "4", value_parser = lines_per_mm, allow_negative_numbers = true)]
    pub lines_per_mm: f64,

    /// Of the grating from the centre of curvature, mm: negative is inside, nearer the mirror
    #[arg(long, value_name = "MM", default_value = "-6", value_parser = offset_mm, allow_negative_numbers = true)]
    pub offset_mm: f64,

    /// Whether the lamp stands still or moves with the grating (lit through the grating: moving)
    #[arg(long, value_enum, default_value = "moving")]
    pub source: Source,
}

/// Whether the lamp moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Source {
    /// At the centre of curvature.
    Fixed,
    /// With the grating.
    Moving,
}

/// `reach`
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  skyworthy reach --explain saturn_titan --on 2026-12-01")]
pub struct ReachArgs {
    /// Instead: one detail's way from the sky to the eye, link by link, on the next night it is there. As lists call
    /// it, or the beginning of that
    #[arg(long, value_name = "DETAIL")]
    pub explain: Option<String>,

    /// The local date from which to look for that night, and of the coating's age [default: tonight]
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub on: Option<NaiveDate>,
}

/// `sky`
#[derive(Debug, Default, clap::Args)]
#[command(
    after_help = "Example:\n  skyworthy sky --at 2026-12-01T20:00:00Z --latitude 43.2 --longitude -2.9"
)]
pub struct SkyArgs {
    /// When, as in 2026-12-01T20:00:00Z or 2026-12-01T21:00:00+01:00 [default: now]
    #[arg(long, value_name = "INSTANT", value_parser = instant)]
    pub at: Option<DateTime<Utc>>,

    /// North positive, degrees; together with --longitude instead of the workshop's place
    #[arg(long, value_name = "DEG", requires = "longitude", value_parser = latitude_deg, allow_negative_numbers = true)]
    pub latitude: Option<f64>,

    /// East positive, degrees
    #[arg(long, value_name = "DEG", requires = "latitude", value_parser = longitude_deg, allow_negative_numbers = true)]
    pub longitude: Option<f64>,

    /// Above the sea, metres [default: 0]
    #[arg(long, value_name = "M", requires = "latitude", value_parser = elevation_m, allow_negative_numbers = true)]
    pub elevation: Option<f64>,
}

/// `night`
#[derive(Debug, Default, clap::Args)]
#[command(after_help = "Example:\n  skyworthy night --on 2027-02-20")]
pub struct NightArgs {
    /// The local date on which the night begins, as in 2027-02-20 [default: tonight]
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub on: Option<NaiveDate>,

    /// List bodies in daylight too, at least 25 degrees from the Sun: only for those who know the danger
    #[arg(long)]
    pub daylight: bool,

    /// Hours of a session, local, as in 19:00-21:30: shaded in the picture that --output night.svg draws
    #[arg(long, value_name = "HH:MM-HH:MM")]
    pub window: Option<String>,

    /// Of this telescope alone, with every detail; may be repeated [default: all of the file at a glance]
    #[arg(long, value_name = "NAME")]
    pub telescope: Vec<String>,

    /// Every detail in every telescope
    #[arg(long)]
    pub all: bool,
}

/// `dates`
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  skyworthy dates 2027-03-01 2027-05-31 --weekdays fri,sat\n  \
                  skyworthy dates 2027-01-01 2027-12-31 --wish jupiter --wish albireo\n  \
                  skyworthy dates 2027-01-01 2027-12-31 --happenings"
)]
pub struct DatesArgs {
    /// First local date, as in 2027-01-01
    #[arg(value_parser = date)]
    pub from: NaiveDate,

    /// Last local date, included
    #[arg(value_parser = date)]
    pub to: NaiveDate,

    /// Who comes [default: public, or own-list where something is wished for]
    #[arg(long = "for", value_enum, value_name = "WHOM")]
    pub audience: Option<For>,

    /// Hours on the clocks of the place; before noon: of the morning after
    #[arg(long, value_name = "FROM-UNTIL", default_value = "19:00-22:00", value_parser = window)]
    pub window: ClockWindow,

    /// Something to be seen: a body, star or detail, as lists call it or the beginning of that; may be repeated
    #[arg(long, value_name = "TARGET", required_if_eq("audience", "own-list"))]
    pub wish: Vec<String>,

    /// Only with this telescope; may be repeated [default: all of the file]
    #[arg(long, value_name = "NAME")]
    pub telescope: Vec<String>,

    /// Only on these days, as in fri,sat; any day may be the one to fall back on
    #[arg(long, value_name = "DAYS", value_delimiter = ',', value_parser = weekday)]
    pub weekdays: Vec<Weekday>,

    /// Every evening, month by month
    #[arg(long)]
    pub calendar: bool,

    /// Instead: what happens, phases of the Moon, oppositions, conjunctions, pairings, eclipses
    #[arg(long, conflicts_with_all = ["audience", "window", "wish", "telescope", "weekdays", "calendar"])]
    pub happenings: bool,
}

/// Who comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum For {
    /// Anybody: Moon near first quarter, planets, showpieces, dark before children's bedtime
    Public,
    /// Makers who try their mirrors: planets that stand high, close pairs of stars
    FigureTest,
    /// Whoever wants to see what --wish says
    OwnList,
}

/// `seen`
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  skyworthy seen jupiter_north_belt --telescope Rowan --by most --at 2026-01-15T22:00:00Z"
)]
pub struct SeenArgs {
    /// What was looked for: its name as printed, or the beginning of it, or its id; with --sheet also its row, as in b2
    #[arg(value_name = "DETAIL", required_unless_present_any = ["report", "sheet"])]
    pub detail: Option<String>,

    /// With which telescope [default: the only one]
    #[arg(long, value_name = "NAME")]
    pub telescope: Option<String>,

    /// Who saw it
    #[arg(long, value_enum, required_unless_present_any = ["report", "sheet"])]
    pub by: Option<By>,

    /// How steady the air was, beside the usual nights of the place
    #[arg(long, value_enum)]
    pub air: Option<AirIn>,

    /// With which eyepiece, as in "10 mm" or "10 mm + 2x"
    #[arg(long, value_name = "NAME")]
    pub eyepiece: Option<String>,

    /// When: 21:40 (the last one), "2026-12-01 21:40" (both local) or 2026-12-01T20:40:00Z [default: now]
    #[arg(long, value_name = "TIME")]
    pub at: Option<String>,

    /// Whatever else there is to say
    #[arg(
        long,
        value_name = "TEXT",
        default_value = "",
        allow_hyphen_values = true
    )]
    pub note: String,

    /// The log [default: seen.csv beside the workshop file]
    #[arg(long, value_name = "FILE")]
    pub log: Option<PathBuf>,

    /// All of an evening: what is filled in in looks.csv of this folder, which `session --sheets` wrote; asks row by row in a
    /// terminal where nothing is
    #[arg(long, value_name = "FOLDER")]
    pub sheet: Option<PathBuf>,

    /// Instead: what was promised and what was seen, and what that says of air and eyes
    #[arg(long, conflicts_with_all = ["detail", "sheet", "telescope", "by", "air", "eyepiece", "at", "note"])]
    pub report: bool,
}

/// Who saw it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum By {
    /// At least half of the visitors
    Most,
    /// Fewer of them, but more than one or two of ten
    Some,
    /// The helper, and hardly a visitor
    Helper,
    /// You, and nobody else looked
    Alone,
    /// Nobody
    None,
}

/// How steady the air was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum AirIn {
    /// As on the steadiest nights
    Good,
    /// As usual
    Typical,
    /// As on unsteady nights
    Poor,
}

fn instant(text: &str) -> Result<DateTime<Utc>, String> {
    DateTime::parse_from_rfc3339(text)
        .map(|instant| instant.to_utc())
        .map_err(|_| {
            String::from("an instant looks like 2026-12-01T20:00:00Z or 2026-12-01T21:00:00+01:00")
        })
}

fn date(text: &str) -> Result<NaiveDate, String> {
    text.parse()
        .map_err(|_| String::from("a date looks like 2027-02-20 (year, month, day)"))
}

fn window(text: &str) -> Result<ClockWindow, String> {
    let of_a_night = || {
        String::from(
            "the end comes half an hour after the beginning or later, and both before the next noon, \
             as in 19:00-22:00 or 21:30-01:00",
        )
    };
    match ClockWindow::said(text) {
        Ok(window) if SHORTEST_MINUTES <= window.minutes() => Ok(window),
        Ok(_) | Err(NoHours::Backwards) => Err(of_a_night()),
        Err(_) => Err(String::from(
            "hours look like 19:00-22:00, or 21:30-01:00 through midnight",
        )),
    }
}

fn weekday(text: &str) -> Result<Weekday, String> {
    text.parse()
        .map_err(|_| String::from("days are mon, tue, wed, thu, fri, sat and sun, as in fri,sat"))
}

fn zones(text: &str) -> Result<usize, String> {
    text.parse()
        .map_err(|_| String::from("a mask has a whole number of windows, as in 5"))
}

fn latitude_deg(text: &str) -> Result<f64, String> {
    within(text, -90.0, 90.0, "degrees, north positive, as in 43.2")
}

fn longitude_deg(text: &str) -> Result<f64, String> {
    within(text, -180.0, 180.0, "degrees, east positive, as in -2.9")
}

fn elevation_m(text: &str) -> Result<f64, String> {
    within(text, -450.0, 9000.0, "metres above the sea, as in 40")
}

fn lines_per_mm(text: &str) -> Result<f64, String> {
    within(text, 1.0, 40.0, "lines a millimetre, as in 4")
}

fn offset_mm(text: &str) -> Result<f64, String> {
    match within(
        text,
        -200.0,
        200.0,
        "mm from the centre of curvature, as in -6",
    )? {
        offset if offset.abs() < 0.1 => Err(String::from(
            "at the centre of curvature itself there are no bands: take 0.1 mm at least, as in -6",
        )),
        offset => Ok(offset),
    }
}

fn within(text: &str, low: f64, high: f64, what: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if low <= value && value <= high => Ok(value),
        Ok(_) => Err(format!("outside {low} to {high} {what}")),
        Err(_) if text.contains(',') => Err(format!(
            "write a decimal point, not a comma: {low} to {high} {what}"
        )),
        Err(_) => Err(format!("not a number; it must be {low} to {high} {what}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn clap_finds_no_fault_with_the_arguments() {
        Args::command().debug_assert();
    }
}
