//! `session --sheets FOLDER`: the plan on paper, in the organiser's order and with the organiser's notes.

use std::path::Path;

use chrono::{TimeDelta, Utc};

use skyworthy::plan::called::with_ids;
use skyworthy::plan::session::{Ask, Session, Upset, session_as_noted};
use skyworthy::show::sheet;
use skyworthy::show::sheet::{LAST_FILE, LOOKS_FILE, Last, NOTES_FILE, Printing};
use skyworthy::workshop::log::{SheetLook, sheet_read};
use skyworthy::workshop::{SessionNotes, Workshop};

use super::failure::Failure;
use super::files;

/// Looks farther from the beginning of an evening are of another.
const ONE_EVENING: TimeDelta = TimeDelta::hours(18);

/// The plan as the notes in the folder want it, written there as everything that is printed.
///
/// Files are replaced only where that was said, each whole or not at all, and nothing is written if one of them is in the way.
pub fn write(
    folder: &Path,
    workshop: &Workshop,
    ask: &Ask,
    upsets: &[Upset],
    overwrite: bool,
) -> Result<Session, Failure> {
    let notes = with_ids(notes(folder)?);
    let (session, unkept) = session_as_noted(workshop, ask, &notes, upsets)?;
    for unkept in &unkept {
        eprintln!("note: {}", sheet::unkept_words(unkept, &session));
    }
    let last = last(folder)?;
    let looks = filled(folder, &session)?;
    let all = sheet::files(&Printing {
        session: &session,
        notes: &notes,
        unkept: &unkept,
        last: last.as_ref(),
        looks: &looks,
        now: Utc::now(),
    });
    files::make_folder(folder)?;
    let in_the_way = all.iter().map(|file| folder.join(&file.file));
    if let Some(path) = in_the_way.filter(|path| path.exists()).find(|_| !overwrite) {
        return Err(Failure::SheetsThere(path));
    }
    let notes_file = folder.join(NOTES_FILE);
    if !notes_file.exists() {
        files::write_new(
            &notes_file,
            sheet::notes_to_fill_in(&session).as_bytes(),
            false,
        )?;
    }
    // What was printed is remembered last: should anything fail before, the next print still says what moved.
    for file in &all {
        files::write_new(&folder.join(&file.file), file.text.as_bytes(), overwrite)?;
    }
    Ok(session)
}

fn notes(folder: &Path) -> Result<SessionNotes, Failure> {
    let path = folder.join(NOTES_FILE);
    match files::read_if_there(&path)? {
        None => Ok(SessionNotes::default()),
        Some(bytes) => SessionNotes::from_toml_bytes(&bytes, &path.display().to_string())
            .map_err(|error| Failure::Workshop(Box::new(error))),
    }
}

/// What was filled in already: it is carried over, never lost.
fn filled(folder: &Path, session: &Session) -> Result<Vec<SheetLook>, Failure> {
    let path = folder.join(LOOKS_FILE);
    let Some(bytes) = files::read_if_there(&path)? else {
        return Ok(Vec::new());
    };
    let looks = sheet_read(&bytes).map_err(|why| Failure::NotASheet(path.clone(), why))?;
    let looks = looks.into_iter().map(|(_, look)| look);
    let filled: Vec<SheetLook> = looks.filter(SheetLook::is_filled).collect();
    let is_of_another = |look: &SheetLook| ONE_EVENING < (look.at - session.window.from).abs();
    match filled.iter().filter(|look| is_of_another(look)).count() {
        0 => Ok(filled),
        n => Err(Failure::OtherEvening(path, n)),
    }
}

fn last(folder: &Path) -> Result<Option<Last>, Failure> {
    let path = folder.join(LAST_FILE);
    let Some(bytes) = files::read_if_there(&path)? else {
        return Ok(None);
    };
    let not_ours = |why: String| Failure::NotLast(path.clone(), why);
    let text = String::from_utf8(bytes).map_err(|why| not_ours(why.to_string()))?;
    Last::from_json(&text).map(Some).map_err(not_ours)
}
