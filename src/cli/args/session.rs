//! `session`: what is said of a public evening, before it and while it runs.

use std::path::PathBuf;

use chrono::{NaiveDate, NaiveTime};
use skyworthy::plan::clock_window::{self, ClockWindow};
use skyworthy::plan::refusal::NoHours;
use skyworthy::plan::session::{Sector, Want};

use super::date;

/// `session`
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  skyworthy session --on 2027-02-12 --window 19:30-22:00 --visitors 120 --output session.ics"
)]
pub struct SessionArgs {
    /// The local date on which the evening begins, as in 2027-02-12
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub on: NaiveDate,

    /// First look and end, local, as in 19:30-22:00; before noon is the morning after, as is what is counted on to 30:00
    #[arg(long, value_name = "FROM-UNTIL", value_parser = session_window)]
    pub window: ClockWindow,

    /// People expected
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=100_000))]
    pub visitors: u32,

    /// Length of a slot: targets change at its ends only
    #[arg(long, value_name = "MINUTES", default_value = "15", value_parser = clap::value_parser!(u32).range(3..=60))]
    pub slot_minutes: u32,

    /// For whom the plan is bent first
    #[arg(long, value_enum)]
    pub first: Option<FirstIn>,

    /// A telescope that takes part; may be said again [default: all]
    #[arg(long, value_name = "NAME")]
    pub telescope: Vec<String>,

    /// What is to be shown, as in jupiter, or on which telescope, as in jupiter@Rowan; may be said again
    #[arg(long, value_name = "TARGET[@TELESCOPE]", value_parser = want)]
    pub want: Vec<Want>,

    /// The evening runs: plan it again from this local time on, keeping what can be kept
    #[arg(long, value_name = "HH:MM", value_parser = clock_time)]
    pub now: Option<NaiveTime>,

    /// With --now: the first looks come so much later than planned
    #[arg(long, value_name = "MINUTES", requires = "now", default_value = "0", value_parser = clap::value_parser!(u32).range(0..=600))]
    pub late: u32,

    /// With --now: a telescope that can no longer be used; may be said again
    #[arg(long, value_name = "NAME", requires = "now")]
    pub out: Vec<String>,

    /// With --now: what cloud covers, by azimuth clockwise, as in 200-280 or 330-45, up to where the sky is overhead (65 degrees);
    /// 0-360 is all of it; may be said again
    #[arg(long, value_name = "FROM-TO", requires = "now", value_parser = sector)]
    pub cloud: Vec<Sector>,

    /// With --now: the local time of the last look, sooner than planned
    #[arg(long, value_name = "HH:MM", requires = "now", value_parser = clock_time)]
    pub end: Option<NaiveTime>,

    /// Write a sheet a telescope, a poster and an overview, to be printed, into this folder (made if missing); notes and
    /// orders written there in session.notes.toml are kept
    #[arg(long, value_name = "FOLDER")]
    pub sheets: Option<PathBuf>,
}

/// Who comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum FirstIn {
    /// Early slots: the plainest targets, the lowest eyepieces
    Children,
    /// One telescope keeps to what a seated eye reaches
    Wheelchair,
}

fn session_window(text: &str) -> Result<ClockWindow, String> {
    let said = ClockWindow::said(text).and_then(|window| match window.minutes() {
        0 => Err(NoHours::Backwards),
        _ => Ok(window),
    });
    said.map_err(|why| {
        String::from(match why {
            NoHours::Backwards => {
                "the end comes after the beginning in a night that goes from noon to noon, \
                 as in 19:30-22:00 or 21:30-00:30"
            }
            _ => {
                "a window looks like 19:30-22:00 (from-until, local time), 21:30-00:30 through midnight, or \
                 04:30-06:30 in the morning after; hours counted on end at 30:00"
            }
        })
    })
}

fn want(text: &str) -> Result<Want, String> {
    let (subject, telescope) = match text.split_once('@') {
        Some((subject, telescope)) => (subject, Some(telescope.trim().to_string())),
        None => (text, None),
    };
    let subject = subject.trim().to_string();
    if subject.is_empty() || telescope.as_deref() == Some("") {
        return Err(String::from("a want looks like jupiter or jupiter@Rowan"));
    }
    Ok(Want { subject, telescope })
}

fn clock_time(text: &str) -> Result<NaiveTime, String> {
    clock_window::clock_time(text)
        .ok_or_else(|| String::from("a time looks like 20:40 (local), or 00:15 after midnight"))
}

fn sector(text: &str) -> Result<Sector, String> {
    let azimuth = |text: &str| {
        let deg: f64 = text.trim().parse().ok()?;
        (0.0..=360.0).contains(&deg).then_some(deg)
    };
    let said = (text.split_once(['-', '\u{2013}']))
        .and_then(|(from, until)| Some((azimuth(from)?, azimuth(until)?)));
    let (from_deg, until_deg) = said.ok_or(
        "a part of the sky looks like 200-280: azimuths from north through east, clockwise, 0 to 360",
    )?;
    if from_deg == until_deg {
        return Err(String::from(
            "from there to there is nothing; all of the sky is 0-360",
        ));
    }
    Ok(Sector {
        from_deg,
        until_deg,
    })
}
