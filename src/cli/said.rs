//! What is said on the command line, read; what is wrong with it in words that fit behind the argument's name.

use chrono::{DateTime, NaiveDate, Utc, Weekday};

use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::dates::SHORTEST_MINUTES;
use skyworthy::plan::refusal::NoHours;
use skyworthy::plan::session::Want;

pub fn instant(text: &str) -> Result<DateTime<Utc>, String> {
    DateTime::parse_from_rfc3339(text)
        .map(|instant| instant.to_utc())
        .map_err(|_| {
            String::from("an instant looks like 2026-12-01T20:00:00Z or 2026-12-01T21:00:00+01:00")
        })
}

pub fn date(text: &str) -> Result<NaiveDate, String> {
    text.parse()
        .map_err(|_| String::from("a date looks like 2027-02-20 (year, month, day)"))
}

pub fn window(text: &str) -> Result<ClockWindow, String> {
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

pub fn weekday(text: &str) -> Result<Weekday, String> {
    text.parse()
        .map_err(|_| String::from("days are mon, tue, wed, thu, fri, sat and sun, as in fri,sat"))
}

pub fn session_window(text: &str) -> Result<ClockWindow, String> {
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
            _ => "a window looks like 19:30-22:00 (from-until, local time), or 21:30-00:30 through midnight",
        })
    })
}

pub fn zones(text: &str) -> Result<usize, String> {
    text.parse()
        .map_err(|_| String::from("a mask has a whole number of windows, as in 5"))
}

pub fn want(text: &str) -> Result<Want, String> {
    let (subject, telescope) = match text.split_once('@') {
        Some((subject, telescope)) => (subject, Some(telescope.trim().to_string())),
        None => (text, None),
    };
    let subject = subject.trim().to_lowercase();
    if subject.is_empty() || telescope.as_deref() == Some("") {
        return Err(String::from("a want looks like jupiter or jupiter@Rowan"));
    }
    Ok(Want { subject, telescope })
}

pub fn latitude_deg(text: &str) -> Result<f64, String> {
    within(text, -90.0, 90.0, "degrees, north positive, as in 43.2")
}

pub fn longitude_deg(text: &str) -> Result<f64, String> {
    within(text, -180.0, 180.0, "degrees, east positive, as in -2.9")
}

pub fn elevation_m(text: &str) -> Result<f64, String> {
    within(text, -450.0, 9000.0, "metres above the sea, as in 40")
}

pub fn lines_per_mm(text: &str) -> Result<f64, String> {
    within(text, 1.0, 40.0, "lines a millimetre, as in 4")
}

pub fn offset_mm(text: &str) -> Result<f64, String> {
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
