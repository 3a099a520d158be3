//! # sheet: a public evening on paper
//!
//! A sheet a telescope ([`station`]), a poster for the line ([`poster`]), an overview for who leads the evening: each
//! one HTML file that needs nothing else, prints on A4 and can be read in the dark. Words only: everything told was
//! computed by [`crate::plan::session`].

pub mod card;

mod fit;

mod indoors;

mod looks;

pub mod last;

mod of_session;

mod overview;

mod shell;

pub mod poster;

pub mod safety;

pub mod station;

pub mod talk;

mod timeline;

mod notes;

use chrono::{DateTime, Utc};

use crate::plan::session::{Session, Station, Unkept};
use crate::show::session::{FormerTurn, ics_of_helper};
use crate::workshop::SessionNotes;
use crate::workshop::log::{SheetLook, carried_over, sheet_text};

pub use self::last::Last;
pub use self::notes::notes_to_fill_in;
pub use self::overview::unkept_words;

/// Where the organiser writes notes, in the folder of the sheets; never replaced.
pub const NOTES_FILE: &str = "session.notes.toml";

/// Where everything promised stands to be filled in, in the same folder.
pub const LOOKS_FILE: &str = "looks.csv";

/// Where the plan is kept as it was printed, in the same folder.
pub const LAST_FILE: &str = "session.last.json";

/// A plan and everything that stands beside it on paper.
#[derive(Debug, Clone, Copy)]
pub struct Printing<'a> {
    /// The plan, in the organiser's order.
    pub session: &'a Session,
    /// What the organiser wrote.
    pub notes: &'a SessionNotes,
    /// Orders that could not be kept.
    pub unkept: &'a [Unkept],
    /// What was printed before, if anything.
    pub last: Option<&'a Last>,
    /// What was filled in in the table of looks, if there is one.
    pub looks: &'a [SheetLook],
    /// When it is printed.
    pub now: DateTime<Utc>,
}

/// A file to be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetFile {
    /// Its name in the folder: letters, digits, dashes, dots.
    pub file: String,
    /// What is in it.
    pub text: String,
}

/// All files of an evening: each telescope's sheets and its helper's calendar, poster, overview, a page for a cloudy
/// evening, the table of looks, and the plan to compare with next time.
pub fn files(evening: &Printing) -> Vec<SheetFile> {
    let Printing { session, notes, .. } = *evening;
    let pages: Vec<Vec<SheetFile>> = (session.telescopes.iter().enumerate())
        .map(|(idx, station)| {
            let stem = format!("{}-{}", idx + 1, stem(&station.name));
            let pages = station::pages(&of_session::sheet(session, station, notes));
            let mut files = named(&stem, pages);
            files.push(SheetFile {
                file: format!("{stem}.ics"),
                text: ics_of_helper(session, station, &former(evening, station), evening.now),
            });
            files
        })
        .collect();
    let file_names = |idx: usize| pages[idx].iter().map(|page| page.file.clone()).collect();
    let now = Last::of(session, file_names);
    let posters = named("poster", poster::pages(&of_session::poster(session)));
    let beside = overview::Beside {
        notes,
        unkept: evening.unkept,
        changes: (evening.last).map(|last| last::changes(last, &now, session.zone)),
        stops: of_session::stops(session),
    };
    let looks = carried_over(looks::looks(session), evening.looks.to_vec());
    let others = [
        ("overview.html", overview::overview(session, &beside)),
        ("indoors.html", indoors::indoors(session)),
        (LOOKS_FILE, sheet_text(&looks)),
        (LAST_FILE, now.json()),
    ];
    let others = others.map(|(file, text)| SheetFile {
        file: file.to_string(),
        text,
    });
    (pages.into_iter().flatten().chain(posters).chain(others)).collect()
}

/// What a telescope was to show when that evening was printed before.
fn former(evening: &Printing, station: &Station) -> Vec<FormerTurn> {
    let same_evening = evening.last.filter(|last| last.on == evening.session.on);
    let telescopes = same_evening.map_or(&[][..], |last| &last.telescopes);
    let before = telescopes.iter().find(|before| before.name == station.name);
    let turns = before.map_or(&[][..], |before| &before.turns).iter();
    turns
        .map(|turn| FormerTurn {
            from: turn.from_utc,
            until: turn.until_utc,
            name: turn.name.clone(),
        })
        .collect()
}

/// `2-Rowan.html`, or `2-Rowan-sheet-1.html` and so on.
fn named(stem: &str, pages: Vec<String>) -> Vec<SheetFile> {
    let is_one = pages.len() == 1;
    let file = |idx: usize| match is_one {
        true => format!("{stem}.html"),
        false => format!("{stem}-sheet-{}.html", idx + 1),
    };
    let pages = pages.into_iter().enumerate();
    pages
        .map(|(idx, text)| SheetFile {
            file: file(idx),
            text,
        })
        .collect()
}

/// A telescope may be called anything; a file may not.
fn stem(telescope: &str) -> String {
    let safe = |c: char| if c.is_alphanumeric() { c } else { '-' };
    telescope.chars().map(safe).take(40).collect()
}
