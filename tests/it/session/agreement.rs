//! One evening, one answer: text, JSON, table, calendar and every printed page say the same, compared with each other.
//!
//! Instants come from the answer's JSON, which names them in UTC, and are put on the clock of the place here.

use crate::support::{printed_at, workshop_of};
use chrono::{DateTime, NaiveDate, Utc};
use serde_json::Value;
use skyworthy::plan::session::{Ask, session};
use skyworthy::show;
use skyworthy::show::sheet::{Printing, SheetFile, files};
use skyworthy::workshop::{EXAMPLE_TOML, SessionNotes, Workshop};

use super::calendar::events;
use super::february;

/// One evening as every renderer has it, blanks run together and tags taken off.
struct Renderings {
    zone: chrono_tz::Tz,
    json: Value,
    text: String,
    csv: Vec<csv::StringRecord>,
    ics: String,
    pages: Vec<SheetFile>,
}

const ROME: (f64, f64, &str) = (46.3, 13.1, "Europe/Rome");
const BERGEN: (f64, f64, &str) = (60.2, 5.3, "Europe/Oslo");
const CAPE: (f64, f64, &str) = (-34.0, 18.9, "Africa/Johannesburg");

/// The example's telescopes over and over, at another place, with what an organiser settles.
fn workshop((latitude, longitude, zone): (f64, f64, &str), n_telescopes: usize) -> Workshop {
    let mut parts = EXAMPLE_TOML.split("[[telescope]]");
    let head = parts.next().expect("a head");
    let head = (head.replacen(
        "latitude_deg = 46.3",
        &format!("latitude_deg = {latitude}"),
        1,
    ))
    .replacen(
        "longitude_deg = 13.1",
        &format!("longitude_deg = {longitude}"),
        1,
    )
    .replacen("Europe/Rome", zone, 1);
    let telescopes: Vec<&str> = parts.collect();
    let of_session = "[session]\ngather = \"19:00\"\ndecide_at = \"16:00\"\nbackup_on = 2027-04-19\nleader = \"the keeper\"\n";
    let mut toml = format!("{of_session}{head}");
    for idx in 0..n_telescopes {
        let name = ["Hazel", "Rowan", "Alder"][idx % 3];
        let own = telescopes[idx % 3].replacen(name, &format!("{name} {idx}"), 1);
        toml += &format!("[[telescope]]{own}");
    }
    workshop_of(&toml)
}

fn asked(on: &str, window: &str, visitors: u32) -> Ask {
    Ask {
        on: on.parse().expect("a date"),
        visitors,
        ..february(window)
    }
}

#[track_caller]
fn rendered(workshop: &Workshop, ask: &Ask) -> Renderings {
    let session = session(workshop, ask).unwrap_or_else(|why| panic!("{why:?}"));
    let notes = SessionNotes::default();
    let printing = Printing {
        session: &session,
        notes: &notes,
        unkept: &[],
        last: None,
        looks: &[],
        now: printed_at(),
    };
    let mut pages = files(&printing);
    pages.retain(|page| page.file.ends_with(".html"));
    for page in &mut pages {
        page.text = untagged(&page.text);
    }
    let table = show::session::csv(&session);
    let ics = show::session::ics(&session, printed_at());
    Renderings {
        zone: session.zone,
        json: serde_json::from_str(&show::session::json(&session)).expect("JSON"),
        text: spaced(&show::session::page(&session).text()),
        csv: (csv::Reader::from_reader(table.as_bytes()).records())
            .map(|row| row.expect("a row"))
            .collect(),
        ics: spaced(
            &(events(&ics).iter())
                .map(|event| {
                    let (summary, told) = (event.text("SUMMARY"), event.text("DESCRIPTION"));
                    format!("{} {summary}. {told}\n", event.utc("DTSTART"))
                })
                .collect::<String>(),
        ),
        pages,
    }
}

fn spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn untagged(page: &str) -> String {
    let body = &page[page.find("<main").expect("a page")..];
    let words = body
        .split('<')
        .map(|part| part.split_once('>').map_or(part, |(_, words)| words));
    let words = words.collect::<Vec<_>>().join(" ");
    let words = words
        .replace("&lt;", "<")
        .replace("&quot;", "\"")
        .replace("&amp;", "&");
    spaced(&words)
}

impl Renderings {
    fn page(&self, name: &str) -> &str {
        let page = self.pages.iter().find(|page| page.file == name);
        &page.unwrap_or_else(|| panic!("no {name}")).text
    }

    fn instant(&self, value: &Value) -> DateTime<Utc> {
        value
            .as_str()
            .expect("an instant")
            .parse()
            .expect("an instant")
    }

    /// On the clock of the place, to the nearest minute.
    fn clock(&self, value: &Value) -> String {
        let at = self.instant(value) + chrono::TimeDelta::seconds(30);
        at.with_timezone(&self.zone).format("%H:%M").to_string()
    }

    /// All that is read as words, by what it is called.
    fn all(&self) -> impl Iterator<Item = (&str, &str)> {
        let pages = self
            .pages
            .iter()
            .map(|page| (page.file.as_str(), page.text.as_str()));
        [("text", self.text.as_str()), ("calendar", &self.ics)]
            .into_iter()
            .chain(pages)
    }

    /// From a word to the stop that ends its sentence.
    #[track_caller]
    fn sentence(&self, begins: &str) -> &str {
        let at = self
            .text
            .find(begins)
            .unwrap_or_else(|| panic!("no {begins}: {}", self.text));
        let rest = &self.text[at..];
        &rest[..=rest.find('.').expect("it ends")]
    }

    #[track_caller]
    fn agree(&self) {
        self.date();
        self.sun_and_moon();
        self.people();
        for station in self.json["telescopes"].as_array().expect("telescopes") {
            self.station(station);
        }
        let page = self.page("overview.html");
        for told in self.json["infeasible"].as_array().expect("a list") {
            let told = told.as_str().expect("words");
            // What stands outside before sunset is said of all telescopes at once, and how warm they begin.
            if told.contains("put out at sunset") {
                continue;
            }
            if let Some((name, warm)) = told.split_once(" is still ") {
                let (degrees, _) = warm.split_once(" (").expect("how much wider");
                let told = spaced(&format!("{name} {degrees}"));
                assert!(page.contains(&told) && self.text.contains(&told), "{told}");
            } else {
                let told = spaced(told);
                assert!(
                    page.contains(&told) && self.text.contains(&told) && self.ics.contains(&told),
                    "{told}"
                );
            }
        }
    }

    /// The day on which people come, by one rule; where it is not the night's own, the night too.
    #[track_caller]
    fn date(&self) {
        let first = self
            .instant(&self.json["from_utc"])
            .with_timezone(&self.zone);
        let (day, night) = (
            first.date_naive(),
            self.json["on"].as_str().expect("a date"),
        );
        let night: NaiveDate = night.parse().expect("a date");
        let mut want = day.format("%A %-d %B %Y").to_string();
        if day != night {
            want += &format!(" (the night of {})", night.format("%A %-d %B"));
        }
        for (name, words) in self.all() {
            assert_eq!(words.matches(&want).count(), 1, "{want} in {name}: {words}");
        }
        let iso = day.to_string();
        assert_eq!(self.json["evening_date"], iso.as_str());
        for row in &self.csv {
            assert_eq!(row.iter().next_back(), Some(iso.as_str()));
        }
    }

    #[track_caller]
    fn sun_and_moon(&self) {
        let is_morning = self.text.contains("Twilight begins");
        let (sun, event) = match is_morning {
            true => (self.sentence("Twilight begins"), "rise_utc"),
            false => (self.sentence("Sunset"), "set_utc"),
        };
        let at = &self.json["sun"][event];
        assert!(at.is_null() || sun.contains(&self.clock(at)), "{sun}");
        let moon = self.sentence("Moon ");
        let lit = self.json["moon"]["lit"].as_f64().expect("a share");
        assert!(
            moon.starts_with(&format!("Moon {:.0} % lit", 100.0 * lit)),
            "{moon}"
        );
        let page = self.page("overview.html");
        assert!(
            page.contains(sun) && page.contains(moon),
            "{sun} {moon} {page}"
        );
        if is_morning {
            for (name, words) in self.all() {
                let is_told = ["Sunset", "twilight ends"]
                    .iter()
                    .any(|of_evening| words.contains(of_evening));
                assert!(!is_told, "{name}: {words}");
            }
        }
    }

    #[track_caller]
    fn people(&self) {
        let queue = &self.json["queue"];
        if queue["looks"] == 0 {
            return;
        }
        let wait = queue["expected_wait_min"]
            .as_f64()
            .expect("minutes")
            .round()
            .max(1.0);
        let wait = match wait as u32 {
            1 => String::from("a minute"),
            more => format!("{more} minutes"),
        };
        let in_all = format!("{} looks in all", queue["looks"]);
        assert!(
            self.text.contains(&in_all)
                && self.text.contains(&format!("{wait} in line for each look"))
        );
        assert!(
            self.page("overview.html")
                .contains(&format!("{wait} in line for each look"))
        );
        assert!(
            self.poster()
                .contains(&format!("in line it may be {wait} for each")),
            "{wait}: {}",
            self.poster()
        );
    }

    /// All its sheets together.
    fn poster(&self) -> String {
        self.of("poster")
    }

    fn of(&self, stem: &str) -> String {
        let own = self.pages.iter().filter(|page| page.file.starts_with(stem));
        own.map(|page| page.text.as_str())
            .collect::<Vec<_>>()
            .join(" ")
    }

    #[track_caller]
    fn station(&self, station: &Value) {
        let name = station["name"].as_str().expect("a name");
        let turns = station["turns"].as_array().expect("turns");
        if turns.is_empty() {
            return;
        }
        let begin = self
            .text
            .rfind(&format!("{name}, "))
            .unwrap_or_else(|| panic!("no {name}"));
        let own = &self.text[begin..];
        let all = self.json["telescopes"].as_array().expect("telescopes");
        let place = all
            .iter()
            .position(|other| other["name"] == name)
            .expect("it is there");
        let sheets = self.of(&format!("{}-", place + 1));
        let page = self.page("overview.html");

        let wait = station["queue"]["expected_wait_min"]
            .as_f64()
            .expect("minutes")
            .round();
        if 1.5 <= wait {
            assert!(
                own.contains(&format!("about {wait:.0} minutes in line")),
                "{wait}: {own}"
            );
        }
        let per_hour = station["queue"]["looks_per_hour"].as_f64().expect("looks");
        let out = match &station["put_out_utc"] {
            Value::Null => String::from("?"),
            at => {
                let by = self.clock(at);
                assert!(own.contains(&format!("Put it outside by {by}")), "{own}");
                assert!(sheets.contains(&format!("outside by {by}")), "{sheets}");
                by
            }
        };
        let row = format!(
            "{name} {out} {per_hour:.0} {} {wait:.0} ",
            station["queue"]["looks"]
        );
        assert!(page.contains(&row), "{row} in {page}");
        assert!(
            own.contains(&format!(
                "{per_hour:.0} looks an hour, {} in all",
                station["queue"]["looks"]
            )),
            "{own}"
        );

        let rows: Vec<_> = self.csv.iter().filter(|row| &row[0] == name).collect();
        assert_eq!(rows.len(), turns.len());
        for (turn, row) in turns.iter().zip(rows) {
            self.turn(name, turn, row, own, &sheets);
        }
    }

    #[track_caller]
    fn turn(&self, name: &str, turn: &Value, row: &csv::StringRecord, own: &str, sheets: &str) {
        let of = |key: &str| turn[key].as_str().unwrap_or_else(|| panic!("no {key}"));
        let (from, until) = (
            self.clock(&turn["from_utc"]),
            self.clock(&turn["until_utc"]),
        );
        let target = of("target");
        let short = target.split(" (").next().expect("a name");
        assert_eq!(
            (&row[2], &row[3], &row[4], &row[7]),
            (from.as_str(), until.as_str(), of("from_utc"), target)
        );
        assert!(own.contains(&format!("{from}-{until} {target}: ")), "{own}");
        let start = self.instant(&turn["from_utc"]);
        assert!(
            self.ics.contains(&format!("{start} {name}: {target}. ")),
            "{}",
            self.ics
        );
        assert!(sheets.contains(&format!("{from} {short}")), "{sheets}");
        assert!(
            self.poster().contains(&format!("{from} {short}")),
            "{}",
            self.poster()
        );
        // Eyepiece, power, field, drift and height: one sentence, wherever it stands.
        let at = own
            .find(&format!("{from}-{until} {target}: "))
            .expect("just seen");
        let eyepiece = format!("{} {}x, ", of("eyepiece"), row[12].to_owned());
        let rest = &own[at..];
        let view = &rest[rest
            .find(&eyepiece)
            .unwrap_or_else(|| panic!("no {eyepiece}: {rest}"))..];
        let view = &view[..view.find(" look for:").expect("it ends")];
        assert!(
            sheets.contains(view) && self.ics.contains(view),
            "{view} in {sheets}"
        );
    }
}

#[track_caller]
fn check(place: (f64, f64, &str), n_telescopes: usize, ask: &Ask) -> Renderings {
    let renderings = rendered(&workshop(place, n_telescopes), ask);
    renderings.agree();
    renderings
}

#[test]
fn after_midnight_the_day_and_the_night_are_told_apart() {
    let seen = check(ROME, 3, &asked("2027-02-12", "01:30-03:30", 40));
    let want = "public night of Saturday 13 February 2027 (the night of Friday 12 February)";
    assert!(seen.text.contains(want), "{}", seen.text);
    let sun = "Twilight begins 06:08 (nautical), 06:43 (civil), sunrise 07:15.";
    assert!(
        seen.page("overview.html").contains(sun),
        "{}",
        seen.page("overview.html")
    );
}

#[test]
fn an_evening_of_many_visitors() {
    let seen = check(ROME, 3, &asked("2027-02-12", "19:30-22:00", 120));
    let want = "public evening of Friday 12 February 2027, times";
    assert!(seen.text.contains(want), "{}", seen.text);
}

#[test]
fn through_midnight_and_in_the_morning() {
    check(ROME, 3, &asked("2026-12-17", "22:00-01:30", 40));
    check(ROME, 3, &asked("2027-02-12", "04:30-06:30", 40));
}

#[test]
fn over_a_change_of_the_clocks() {
    check(ROME, 3, &asked("2026-10-24", "21:00-01:30", 40));
    check(ROME, 3, &asked("2027-03-27", "00:30-04:30", 40));
}

#[test]
fn far_north_and_far_south() {
    check(BERGEN, 3, &asked("2026-12-17", "18:00-22:00", 80));
    check(BERGEN, 3, &asked("2027-06-20", "23:30-01:00", 10));
    check(CAPE, 3, &asked("2027-01-20", "21:30-00:30", 80));
}

#[test]
fn one_telescope_and_eight() {
    check(ROME, 1, &asked("2027-02-12", "19:30-22:00", 30));
    check(ROME, 8, &asked("2026-12-17", "18:00-22:00", 150));
}

/// Of the evening's or the morning's Sun: in the text, the JSON, the sheets of that telescope, the overview, and the calendar's
/// entries of the evening and of the first turn; visitors have other words.
#[track_caller]
fn is_warned_everywhere(seen: &Renderings, begins: &str) {
    let caution = (seen.json["cautions"].as_array().expect("a list").iter())
        .filter_map(Value::as_str)
        .find(|told| told.starts_with(begins))
        .unwrap_or_else(|| panic!("no {begins}: {}", seen.json["cautions"]));
    let caution = spaced(caution);
    let (_, below) = seen.text.split_once("Take care:").expect("cautions");
    assert!(below.contains(&caution), "{below}");
    for (name, words) in [
        ("station", seen.of("1-")),
        ("overview", seen.of("overview")),
    ] {
        assert!(words.contains(&caution), "{caution} in {name}: {words}");
    }
    assert!(!seen.poster().contains(&caution), "{}", seen.poster());
    assert_eq!(seen.ics.matches(&caution).count(), 2, "{}", seen.ics);
}

#[test]
fn what_is_only_turned_to_under_cloud_has_its_caution() {
    let lone = workshop_of(include_str!("../../../examples/lone-maker.toml"));
    let ask = Ask {
        wants: vec![super::want("saturn", None)],
        ..asked("2027-12-20", "17:00-17:40", 40)
    };
    let seen = rendered(&lone, &ask);
    let turns = &seen.json["telescopes"][0]["turns"];
    assert_eq!(turns.as_array().map(Vec::len), Some(1));
    assert_eq!(turns[0]["id"], "saturn");
    assert_eq!(turns[0]["fallback"]["id"], "venus");
    is_warned_everywhere(&seen, "Venus in the evening twilight: ");
}

#[test]
fn the_morning_stop_of_venus() {
    let ask = Ask {
        wants: vec![super::want("venus", None)],
        ..asked("2027-01-10", "06:30-07:20", 40)
    };
    let seen = rendered(&workshop(ROME, 1), &ask);
    let turns = &seen.json["telescopes"][0]["turns"];
    assert_eq!(turns.as_array().map(Vec::len), Some(1));
    assert_eq!(turns[0]["id"], "venus");
    is_warned_everywhere(
        &seen,
        "Stop at 07:34, a quarter of an hour before sunrise (07:49): caps on",
    );
    let last_look = "The last look ends at 07:20: the Sun rises at 07:49.";
    assert!(seen.poster().contains(last_look), "{}", seen.poster());
}

/// Hours after midnight and before dawn have their own headings: the day on which they are, the Sun that comes, and when people
/// meet, whatever the file says of evenings.
#[test]
fn a_morning_has_headings_of_its_own() {
    let mut workshop = workshop(ROME, 3);
    workshop.evening.gather = Some("19:30".parse().expect("an hour"));
    workshop.evening.leader = Some(String::from("A. Rossi"));
    workshop.evening.decide_at = None;
    workshop.evening.backup_on = None;
    let seen = rendered(&workshop, &asked("2027-02-12", "03:30-07:30", 40));
    let date = "Saturday 13 February 2027 (the night of Friday 12 February)";
    assert!(
        seen.text.contains(&format!("public morning of {date}")),
        "{}",
        seen.text
    );
    for name in ["1-", "2-", "3-", "overview", "poster"] {
        let page = seen.of(name);
        assert!(page.contains(&format!("Early on {date}")), "{page}");
        assert!(
            !page.contains("17:28") && !page.contains("Sunset"),
            "the evening before: {page}"
        );
        assert!(page.contains("07:15"), "sunrise: {page}");
        // Who leads is told why that hour in the file counts for nothing.
        assert!(name == "overview" || !page.contains("19:30"), "{page}");
    }
    for name in ["1-", "2-", "3-", "overview"] {
        let stop = "Stop at 07:00, a quarter of an hour before sunrise (07:15): caps on, and no telescope on the sky after it.";
        assert!(seen.of(name).contains(stop), "{}", seen.of(name));
    }
    assert!(
        seen.text.contains("people meet at 03:15")
            && seen
                .text
                .contains("session.gather = 19:30, is not of this part")
    );
    let instant = |told: &Value| -> DateTime<Utc> {
        let text = told.as_str().expect("an instant");
        text.parse().expect("RFC 3339")
    };
    let stop = instant(&seen.json["morning_stop_utc"]);
    let sunrise = instant(&seen.json["sun"]["rise_utc"]);
    assert_eq!((sunrise - stop).num_seconds(), 15 * 60);
    // No look after it, and somebody decides while people are still up.
    let ends = instant(&seen.json["last_look_utc"]);
    assert!(ends <= stop, "{ends}");
    assert_eq!(seen.json["decide_by_utc"], "2027-02-12T16:20:00Z");
    let decision = "Decision by 17:20 on 12 February (A. Rossi).";
    assert!(
        seen.of("overview").contains(decision),
        "{}",
        seen.of("overview")
    );
    assert!(
        seen.poster()
            .contains("If it is cloudy: decided by 17:20 on 12 February."),
        "{}",
        seen.poster()
    );
}
