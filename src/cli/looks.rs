//! `seen --sheet FOLDER`: the table of looks that was printed with the sheets, filled in or asked row by row; all of it goes
//! into the log, or nothing.

use std::io;
use std::io::IsTerminal;
use std::path::Path;

use chrono::Utc;

use skyworthy::plan::local::instant_said;
use skyworthy::plan::seen::{Reckoner, Tick, Ticked};
use skyworthy::show::seen::sheet::{AlreadyThere, KeptRow, SheetKept};
use skyworthy::show::sheet::LOOKS_FILE;
use skyworthy::workshop::Workshop;
use skyworthy::workshop::log::{JudgedAir, Log, LoggedLook, SeenBy, SheetLook, sheet_read};

use super::failure::Failure;
use super::{ask, commands, files, log};

/// A row with its line in the file.
type Row = (usize, SheetLook);

/// What is asked for.
pub struct SheetAsk<'a> {
    /// Where the table stands.
    pub folder: &'a Path,
    /// Of this telescope alone.
    pub telescope: Option<&'a str>,
    /// One row alone, by its code, and who saw it.
    pub one: Option<(&'a str, SeenBy)>,
    /// Of that row, instead of what the table has.
    pub at: Option<&'a str>,
    /// Likewise.
    pub eyepiece: Option<&'a str>,
    /// Where the table has none.
    pub air: Option<JudgedAir>,
    /// Of that row; may be empty.
    pub note: &'a str,
}

/// What became of a sheet.
pub struct Kept {
    /// Row by row.
    pub sheet: SheetKept,
    /// All that the log says now.
    pub log: Log,
}

/// A letter or two for the turn and a number: `b12`.
pub fn is_code(said: &str) -> bool {
    let number = said.trim_start_matches(|c: char| c.is_ascii_alphabetic());
    let n_letters = said.len() - number.len();
    let is_number = !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit());
    is_number && (1..=2).contains(&n_letters) && number.len() <= 2
}

/// Keeps the looks of a sheet: those filled in, those asked for at a terminal, or the one that is named.
pub fn keep(workshop: &Workshop, log_path: &Path, wanted: &SheetAsk) -> Result<Kept, Failure> {
    let file = wanted.folder.join(LOOKS_FILE);
    let mut rows = read(&file)?;
    if let Some(name) = wanted.telescope {
        commands::telescope(workshop, Some(name))?;
        rows.retain(|(_, look)| look.telescope == name);
    }
    match wanted.one {
        Some((code, by)) => {
            let (line, look) = row(&rows, code)?;
            rows = vec![(line, ticked_now(workshop, wanted, look, by)?)];
        }
        None => {
            let is_filled = rows.iter().any(|(_, look)| look.by.is_some());
            if !is_filled && io::stdin().is_terminal() {
                fill_in(&file, &mut rows, &log::read(log_path)?)?;
            }
        }
    }
    for (_, look) in &mut rows {
        look.air = look.air.or(wanted.air);
    }
    let silent: Vec<SheetLook> = (rows.iter())
        .map(|(_, look)| look.clone())
        .filter(|look| look.by.is_none())
        .collect();
    let answered = reckoned(workshop, &file, rows)?;
    let mut sheet = SheetKept {
        file: file.display().to_string(),
        kept: Vec::new(),
        already: Vec::new(),
        unanswered: 0,
    };
    let n_open = |log: &Log| silent.iter().filter(|look| is_open(look, log)).count();
    if answered.is_empty() {
        let log = log::read(log_path)?;
        sheet.unanswered = n_open(&log);
        return Ok(Kept { sheet, log });
    }
    let log = log::append_after(log_path, |before| {
        let mut all: Vec<LoggedLook> = before.looks.clone();
        for (row, ticked) in answered {
            match all.iter().find(|there| is_same(there, &ticked.look)) {
                Some(there) => sheet.already.push(AlreadyThere { by: there.by, row }),
                None => {
                    all.push(ticked.look.clone());
                    sheet.kept.push(KeptRow { row, ticked });
                }
            }
        }
        all.split_off(before.looks.len())
    })?;
    sheet.unanswered = n_open(&log);
    Ok(Kept { sheet, log })
}

fn read(file: &Path) -> Result<Vec<Row>, Failure> {
    let bytes = files::read_if_there(file)?;
    let bytes = bytes.ok_or_else(|| Failure::NoSheet(file.to_path_buf()))?;
    sheet_read(&bytes).map_err(|why| Failure::NotASheet(file.to_path_buf(), why))
}

/// The one row that is called so.
fn row(rows: &[Row], code: &str) -> Result<Row, Failure> {
    let code = code.to_lowercase();
    let found: Vec<&Row> = rows.iter().filter(|(_, look)| look.row == code).collect();
    match found[..] {
        [one] => Ok(one.clone()),
        _ => {
            let telescopes = found.iter().map(|(_, look)| look.telescope.clone());
            Err(Failure::WhichRow(code, telescopes.collect()))
        }
    }
}

/// With what was typed beside it.
fn ticked_now(
    workshop: &Workshop,
    wanted: &SheetAsk,
    mut look: SheetLook,
    by: SeenBy,
) -> Result<SheetLook, Failure> {
    if let Some(said) = wanted.at {
        look.at = instant_said(said, workshop.site.time_zone, Utc::now())?;
    }
    look.by = Some(by);
    look.eyepiece = wanted.eyepiece.map(String::from).or(look.eyepiece);
    look.air = wanted.air.or(look.air);
    if !wanted.note.is_empty() {
        look.note = wanted.note.to_string();
    }
    Ok(look)
}

/// Asks for what the log does not have yet.
fn fill_in(file: &Path, rows: &mut [Row], log: &Log) -> Result<(), Failure> {
    let mut open: Vec<&mut SheetLook> = rows.iter_mut().map(|(_, look)| look).collect();
    open.retain(|look| is_open(look, log));
    ask::ask(&mut open, &mut io::stdin().lock(), &mut io::stderr())
        .map_err(|why| Failure::Unreadable(file.to_path_buf(), why))
}

/// The log has no answer to it.
fn is_open(look: &SheetLook, log: &Log) -> bool {
    let mut look = look.clone();
    look.by = Some(SeenBy::Nobody);
    let asked = look.look();
    asked.is_some_and(|asked| !log.looks.iter().any(|there| is_same(there, &asked)))
}

/// The same thing in the same telescope at the same second is the same look.
fn is_same(a: &LoggedLook, b: &LoggedLook) -> bool {
    let key = |look: &LoggedLook| {
        (
            look.at.timestamp(),
            look.telescope.clone(),
            look.detail.clone(),
        )
    };
    key(a) == key(b)
}

/// Those that somebody answered, with their promises; or everything that is wrong with any of them.
fn reckoned(
    workshop: &Workshop,
    file: &Path,
    rows: Vec<Row>,
) -> Result<Vec<(SheetLook, Ticked)>, Failure> {
    let mut reckoner = Reckoner::of(workshop);
    let (mut all, mut wrong) = (Vec::new(), Vec::new());
    for (line, row) in rows {
        let Some(look) = row.look() else { continue };
        match one_reckoned(workshop, &mut reckoner, &look) {
            Ok(ticked) => all.push((row, ticked)),
            Err(why) => wrong.push((line, why.to_string())),
        }
    }
    match wrong.is_empty() {
        true => Ok(all),
        false => Err(Failure::NoLooks(file.to_path_buf(), wrong)),
    }
}

fn one_reckoned(
    workshop: &Workshop,
    reckoner: &mut Reckoner,
    look: &LoggedLook,
) -> Result<Ticked, Failure> {
    let tick = Tick {
        at: look.at,
        telescope: commands::telescope(workshop, Some(&look.telescope))?,
        detail: &look.detail,
        eyepiece: look.eyepiece.as_deref(),
        by: look.by,
        air: look.air,
        note: &look.note,
    };
    Ok(reckoner.ticked(&tick)?)
}
