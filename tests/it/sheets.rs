//! Printed sheets: whole pages, escaped, with the organiser's words, one side of paper each.

mod browser;
mod invented;
mod narrow;
mod odd;
mod program;

use std::sync::LazyLock;

use chrono::{NaiveDate, NaiveTime};

use crate::support::{printed_at, workshop_of};
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::session::{Ask, Session, Station, Want, session, session_as_noted};
use skyworthy::show::session::{sizes, wording};
use skyworthy::show::sheet::station::pages;
use skyworthy::show::sheet::{Last, Printing, SheetFile, files};
use skyworthy::show::words;
use skyworthy::workshop::{EXAMPLE_TOML, SessionNotes, Workshop};

use self::invented::sheet;

fn workshop() -> Workshop {
    let marks = "marks = [ { azimuth_deg = 215, name = \"poplars\" }, { azimuth_deg = 120, name = \"water tower\" } ]\n[observer]";
    workshop_of(&EXAMPLE_TOML.replacen("[observer]", marks, 1))
}

fn ask(day: u32, from: u32, until: u32) -> Ask {
    let time = |hour| NaiveTime::from_hms_opt(hour, 0, 0).expect("an hour");
    Ask {
        on: NaiveDate::from_ymd_opt(2026, 12, day).expect("a date"),
        window: ClockWindow::new(time(from), time(until)).expect("hours"),
        visitors: 120,
        slot_minutes: 15,
        first: None,
        telescopes: Vec::new(),
        wants: Vec::new(),
    }
}

/// An evening with the Moon and Saturn.
static EVENING: LazyLock<Session> =
    LazyLock::new(|| session(&workshop(), &ask(17, 18, 22)).expect("a plan"));

fn printed(session: &Session, notes: &SessionNotes, last: Option<&Last>) -> Vec<SheetFile> {
    files(&Printing {
        session,
        notes,
        unkept: &[],
        last,
        looks: &[],
        now: printed_at(),
    })
}

fn notes(text: &str) -> SessionNotes {
    SessionNotes::from_toml_bytes(text.as_bytes(), "session.notes.toml").expect("notes")
}

fn of<'a>(files: &'a [SheetFile], name: &str) -> &'a str {
    let file = files.iter().find(|file| file.file == name);
    &file
        .unwrap_or_else(|| panic!("no {name} among {:?}", names(files)))
        .text
}

fn names(files: &[SheetFile]) -> Vec<&str> {
    files.iter().map(|file| file.file.as_str()).collect()
}

/// Elements without an end in HTML.
const VOID: [&str; 2] = ["meta", "br"];

/// Every tag is closed where it should be, and the page's own two scripts are its only ones.
#[track_caller]
fn is_whole(page: &str) {
    assert_eq!(page.matches("<script").count(), 2, "{page}");
    is_closed(page);
}

/// Every tag is closed where it should be.
#[track_caller]
pub fn is_closed(page: &str) {
    assert!(
        page.starts_with("<!DOCTYPE html><html lang=\"en\">"),
        "{page}"
    );
    let mut open: Vec<&str> = Vec::new();
    let mut rest = &page["<!DOCTYPE html>".len()..];
    while let Some(at) = rest.find('<') {
        let end = at + rest[at..].find('>').expect("a tag ends");
        let tag = &rest[at + 1..end];
        rest = &rest[end + 1..];
        let name = tag.split([' ', '/']).next().unwrap_or_default();
        if let Some(closed) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(closed), "{page}");
        } else if !VOID.contains(&name) {
            open.push(name);
        }
        if matches!(open.last(), Some(&"script" | &"style")) {
            rest = &rest[rest.find("</").expect("it ends")..];
        }
    }
    assert!(open.is_empty(), "{open:?}");
}

/// The box for visitors is on the poster, and nothing that only helpers can do.
#[track_caller]
fn is_safe_for_visitors(page: &str) {
    let (_, safety) = page
        .split_once("<section class=\"safety\">")
        .expect("a safety box");
    for part in ["barrier", "Children", "Sun"] {
        assert!(safety.contains(part), "`{part}` is not in {safety}");
    }
    for part in ["Cables", "Caps", "owner", "cap off"] {
        assert!(!page.contains(part), "`{part}` is in {page}");
    }
}

/// The helpers' box is on the page, whole.
#[track_caller]
fn is_safe(page: &str) {
    let safety = &page[page
        .find("<section class=\"safety\">")
        .expect("a safety box")..];
    for part in ["filter", "Lasers", "barrier", "Cables", "Caps", "owner"] {
        assert!(safety.contains(part), "`{part}` is not in {safety}");
    }
}

#[test]
fn a_sheet_a_telescope_a_poster_and_an_overview() {
    let files = printed(&EVENING, &SessionNotes::default(), None);
    assert_eq!(
        names(&files),
        [
            "1-Hazel.html",
            "1-Hazel.ics",
            "2-Rowan.html",
            "2-Rowan.ics",
            "3-Alder.html",
            "3-Alder.ics",
            "poster.html",
            "overview.html",
            "indoors.html",
            "looks.csv",
            "session.last.json"
        ]
    );
    for file in files.iter().filter(|file| file.file.ends_with(".html")) {
        is_whole(&file.text);
        match file.file.as_str() {
            "poster.html" => is_safe_for_visitors(&file.text),
            _ => is_safe(&file.text),
        }
        assert!(
            !file.text.contains("NaN") && !file.text.contains("inf "),
            "{}",
            file.text
        );
        // Nothing is fetched, and no ink but black: red is for screens alone.
        let asks = file
            .text
            .replace("http://www.w3.org/2000/svg", "")
            .contains("://");
        assert!(!asks && !file.text.contains("url("));
        let colours: Vec<&str> = file
            .text
            .match_indices('#')
            .map(|(at, _)| &file.text[at..at + 4])
            .collect();
        let known = ["#000", "#fff", "#ec0", "#dim"];
        assert!(
            colours.iter().all(|colour| known.contains(colour)),
            "{colours:?}"
        );
    }
}

#[test]
fn a_sheet_says_all_that_is_needed_at_the_telescope() {
    let files = printed(&EVENING, &SessionNotes::default(), None);
    for (file, parts) in [
        (
            "1-Hazel.html",
            &[
                "200 mm f/6",
                "Thursday 17 December 2026, times UTC+1",
                "Ropewalk School roof: helpers 17:45",
                "outside by 15:30, capped, in the shade",
                "Eyepiece 0.90 to 1.28 m above the ground",
                "18:00",
                "Saturn",
                "10 mm 120x",
                "crossed in",
                "Look for",
                "76 minutes",
                "km across",
                "If cloud",
                "most",
            ][..],
        ),
        (
            "overview.html",
            &[
                "Who shows what when",
                "120 visitors",
                "Sunset 16:22",
                "Moon 5",
                "looks an hour",
                "To put out in good time",
                "<svg",
            ],
        ),
        (
            "poster.html",
            &[
                "18:00 to 22:00 (UTC+1)",
                "Rowan",
                "150 mm mirror",
                "18:00 Moon",
                "in line",
            ],
        ),
    ] {
        for part in parts {
            assert!(
                of(&files, file).contains(part),
                "`{part}` is not in {file}: {}",
                of(&files, file)
            );
        }
    }
}

/// Every stay of hours says where its target stands at both ends, in the words of those instants.
#[test]
fn a_long_stay_has_two_directions() {
    let files = printed(&EVENING, &SessionNotes::default(), None);
    let mut n_long = 0;
    for (idx, station) in EVENING.telescopes.iter().enumerate() {
        let page = of(&files, &format!("{}-{}.html", idx + 1, station.name));
        for turn in &station.turns {
            let path = &turn.shown.path;
            let minutes = (turn.until - turn.from).num_minutes() as f64;
            // The sky turns by a quarter of a degree a minute, less near the poles.
            assert!(path.moved_deg <= 0.26 * minutes, "{path:?}");
            let end = wording::direction(&path.end);
            let start = wording::direction(&path.start);
            if path.moved_deg < 10.0 || start == end {
                continue;
            }
            n_long += 1;
            let until = words::clock(turn.until, EVENING.zone);
            let said = format!("{start}; at {until} {end}");
            assert!(page.contains(&said), "`{said}` is not in {page}");
            // The figures of the answer are those of the middle.
            assert_eq!(turn.shown.at, turn.from + (turn.until - turn.from) / 2);
        }
    }
    assert!(0 < n_long);
}

/// What helpers answer is what was computed, and gives way where the page is full.
#[test]
fn helpers_have_something_to_tell_where_there_is_room() {
    let files = printed(&EVENING, &SessionNotes::default(), None);
    let moon = (EVENING.telescopes.iter().enumerate()).find(|(_, station)| {
        station.turns.len() == 1 && station.turns[0].shown.subject.id() == "moon"
    });
    let (idx, station) = moon.expect("one telescope keeps to the Moon");
    let page = of(&files, &format!("{}-{}.html", idx + 1, station.name));
    let smallest_km = station.turns[0]
        .shown
        .facts
        .smallest_km
        .expect("a crater shows");
    // Practice: a few kilometres in telescopes of 150 to 250 mm; common practice, no source.
    assert!((1.0..12.0).contains(&smallest_km), "{smallest_km} km");
    let answer = format!(
        "a crater has to be about {} wide",
        sizes::rough_distance(smallest_km)
    );
    for part in [
        "The Moon: to tell, and what people ask",
        "Can we see the flag?",
        &answer,
    ] {
        assert!(page.contains(part), "`{part}` is not in {page}");
    }
    let full = pages(&sheet("Heron", 7));
    assert!(full.iter().all(|page| !page.contains("what people ask")));
}

#[test]
fn venus_in_the_morning_has_its_stop_on_the_sheet() {
    let mut ask = ask(17, 6, 8);
    ask.wants = vec![Want {
        subject: String::from("venus"),
        telescope: Some(String::from("Rowan")),
    }];
    let session = session(&workshop(), &ask).expect("a plan");
    let shows = |station: &Station| {
        station
            .turns
            .iter()
            .any(|turn| turn.shown.subject.id() == "venus")
    };
    assert!(
        session.telescopes.iter().any(shows),
        "{:?}",
        session.infeasible
    );
    let skipped = notes(
        "[[telescope]]\nname = \"Rowan\"\n[[telescope.turn]]\ntarget = \"venus\"\nskip = true\n",
    );
    for notes in [&SessionNotes::default(), &skipped] {
        let files = printed(&session, notes, None);
        let poster = of(&files, "poster.html");
        let last_look = "The last look ends at 07:31: the Sun rises at 07:46.";
        assert!(poster.contains(last_look), "{poster}");
        is_safe_for_visitors(poster);
        for file in ["2-Rowan.html", "overview.html"] {
            let page = of(&files, file);
            let stop = "Stop at 07:31, a quarter of an hour before sunrise (07:46)";
            assert!(
                page.contains(stop) && page.contains("The Sun comes to you."),
                "{file}: {page}"
            );
            is_safe(page);
        }
        let at_the_turn = of(&files, "2-Rowan.html").contains("Stop at 07:31, whoever still waits");
        // Whatever comes last ends then.
        assert!(at_the_turn);
        // And the day is the morning's.
        assert!(of(&files, "2-Rowan.html").contains("Friday 18 December 2026"));
    }
}

#[test]
fn names_and_words_of_any_kind_are_only_words() {
    let mut session = EVENING.clone();
    session.site_name = String::from("Roof & <b>sky</b>");
    for station in &mut session.telescopes {
        station.name = String::from("<script>alert(\"1\")</script>");
        station.place = Some(String::from("by </section> the wall"));
        for turn in &mut station.turns {
            turn.shown.view.eyepiece = String::from("\"><img src=x onerror=alert(1)>");
        }
    }
    let note = "[[telescope]]\nname = \"<script>alert(\\\"1\\\")</script>\"\nnote = \"<i>mind</i> the step\"\n";
    let files = printed(&session, &notes(note), None);
    for file in &files {
        assert!(
            file.file
                .chars()
                .all(|c| c.is_alphanumeric() || matches!(c, '-' | '.')),
            "{}",
            file.file
        );
        if file.file.ends_with(".html") {
            is_whole(&file.text);
        }
    }
    assert!(
        files[0]
            .text
            .contains("<bdi>&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt;</bdi>")
    );
    assert!(files[0].text.contains("&lt;i&gt;mind&lt;/i&gt; the step"));
}

#[test]
fn what_the_organiser_wrote_is_on_every_print() {
    let text = "[[telescope]]\nname = \"Hazel\"\nnote = \"red torch in the box\"\n\
                [[telescope]]\nname = \"Rowan\"\n[[telescope.turn]]\ntarget = \"moon\"\nskip = true\n\
                [[telescope.turn]]\ntarget = \"saturn\"\nnote = \"ask for Titan\"\n";
    let notes = notes(text);
    let (evening, _) =
        session_as_noted(&workshop(), &ask(17, 18, 22), &notes, &[]).expect("a plan");
    let first = printed(&evening, &notes, None);
    let last = Last::from_json(of(&first, "session.last.json")).expect("as written");
    let again = printed(&evening, &notes, Some(&last));
    for file in ["1-Hazel.html", "2-Rowan.html", "poster.html"] {
        assert_eq!(of(&first, file), of(&again, file));
    }
    assert!(of(&again, "1-Hazel.html").contains("red torch in the box"));
    assert!(of(&again, "2-Rowan.html").contains("ask for Titan"));
    let moon = "<bdi>Moon</bdi></h2>";
    let with_it = printed(&EVENING, &SessionNotes::default(), None);
    assert!(of(&with_it, "2-Rowan.html").contains(moon));
    assert!(!of(&again, "2-Rowan.html").contains(moon));
    assert!(!of(&first, "overview.html").contains("Changed since"));
    assert!(of(&again, "overview.html").contains("Changed since the last print: nothing"));
    assert!(of(&again, "overview.html").contains("Rowan, moon is left out"));
}

#[test]
fn what_moved_since_the_last_print_is_told() {
    let first = printed(&EVENING, &SessionNotes::default(), None);
    let last = Last::from_json(of(&first, "session.last.json")).expect("as written");
    let mut shorter = ask(17, 18, 21);
    shorter.telescopes = vec![String::from("Hazel"), String::from("Rowan")];
    let session = session(&workshop(), &shorter).expect("a plan");
    let again = printed(&session, &SessionNotes::default(), Some(&last));
    for part in [
        "Changed since the last print:",
        "to 21:00, was 18:00 to 22:00",
        "Alder takes no part any more",
        "3-Alder.html is out of date: throw it away",
    ] {
        assert!(
            of(&again, "overview.html").contains(part),
            "{part}: {}",
            of(&again, "overview.html")
        );
    }
}

#[test]
fn notes_that_cannot_be_understood_are_refused() {
    for (text, parts) in [
        ("[[telescope]]\nnote = \"x\"\n", &["needs name"][..]),
        (
            "[[telescope]]\nname = \"a\"\nnotes = \"x\"\n",
            &["line 3", "did you mean note?"],
        ),
        (
            "[[telescope]]\nname = \"a\"\n[[telescope]]\nname = \"a\"\n",
            &["line 4", "there already, in line 2"],
        ),
        (
            "[[telescope]]\nname = \"a\"\nnote = 7\n",
            &["line 3", "should be text in quotes"],
        ),
        (
            "[[telescope]]\nname = \"a\"\norder = [1]\n",
            &["line 3", "target in quotes"],
        ),
        (
            "[[telescope]]\nname = \"a\"\norder = [\"moon\", \"Moon\"]\n",
            &["a has moon twice"],
        ),
        (
            "[[telescope]]\nname = \"a\"\n[[telescope.turn]]\ntarget = \"x\"\nskip = \"yes\"\n",
            &["line 5", "skip"],
        ),
        ("note = ", &["line 1"]),
    ] {
        let error = SessionNotes::from_toml_bytes(text.as_bytes(), "session.notes.toml");
        let error = error.expect_err(text).to_string();
        for part in parts {
            assert!(
                error.contains(part) && error.starts_with("session.notes.toml"),
                "`{part}` is not in {error}"
            );
        }
    }
    let long = format!(
        "[[telescope]]\nname = \"a\"\nnote = \"{}\"\n",
        "word ".repeat(60)
    );
    let error = SessionNotes::from_toml_bytes(long.as_bytes(), "n.toml")
        .expect_err("long")
        .to_string();
    assert!(error.contains("299 characters, more than 280"), "{error}");
}

#[test]
fn the_organisers_order_is_kept_or_named() {
    let mut ask = ask(17, 18, 22);
    ask.wants = ["saturn", "moon"]
        .map(|id| Want {
            subject: id.to_string(),
            telescope: Some(String::from("Rowan")),
        })
        .to_vec();
    let planned = session(&workshop(), &ask).expect("a plan");
    let of_rowan = |session: &Session| -> Vec<String> {
        let turns = &session.telescopes[1].turns;
        turns
            .iter()
            .map(|turn| turn.shown.subject.id().to_string())
            .collect()
    };
    let mut order = of_rowan(&planned);
    assert!(1 < order.len(), "{order:?}");
    // What sets first stays first.
    order.retain(|id| id != "moon");
    let saturn = order.iter().position(|id| id == "saturn");
    order.insert(saturn.expect("it is wanted") + 1, String::from("moon"));
    let wanted = notes(&format!(
        "[[telescope]]\nname = \"Rowan\"\norder = {order:?}\n"
    ));
    let (session, unkept) = session_as_noted(&workshop(), &ask, &wanted, &[]).expect("a plan");
    assert_eq!((of_rowan(&session), unkept), (order, vec![]));
}
