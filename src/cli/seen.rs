//! `seen`: a look ticked, a sheet's worth of them, or the report.

use std::path::Path;

use chrono::Utc;

use skyworthy::plan::called::{Meant, meant};
use skyworthy::plan::local::instant_said;
use skyworthy::plan::refusal::NoSuchDetail;
use skyworthy::plan::seen::Tick;
use skyworthy::show::page::Page;
use skyworthy::show::seen::LogFile;
use skyworthy::targets::small_bodies::small_bodies;
use skyworthy::workshop::Workshop;
use skyworthy::workshop::log::{JudgedAir, SeenBy};
use skyworthy::{plan, show};

use super::args::{AirIn, Args, By, SeenArgs};
use super::called::id_said;
use super::commands::{telescope, telescope_names};
use super::failure::Failure;
use super::form::{Form, WORDS, form, laid_out};
use super::looks::{Kept, SheetAsk, is_code, keep};
use super::{Answer, files, log};

/// `seen`
pub fn run(args: &Args, wanted: &SeenArgs) -> Result<Answer, Failure> {
    let form = form(args, WORDS)?;
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let folder = (args.workshop.as_deref().and_then(Path::parent)).unwrap_or(Path::new(""));
    let path = (wanted.log.clone()).unwrap_or_else(|| folder.join("seen.csv"));
    let laid = |page| laid_out(page, form, args, is_example);
    let (has_content, words) = match (&wanted.sheet, &wanted.detail, wanted.by) {
        _ if wanted.report => record(form, &workshop, &path, laid)?,
        (Some(folder), ..) => {
            let kept = keep(&workshop, &path, &sheet_ask(wanted, folder)?)?;
            sheet(form, &kept, &path, laid)
        }
        (None, Some(detail), Some(by)) => {
            let detail = detail_said(&workshop, detail)?;
            let tick = tick(&workshop, wanted, &detail, by)?;
            (true, ticked(form, &workshop, &tick, &path, laid)?)
        }
        _ => return Err(Failure::WhoSaw),
    };
    Ok(Answer {
        has_content,
        bytes: words.into_bytes(),
    })
}

/// The id of what is called so.
fn detail_said(workshop: &Workshop, said: &str) -> Result<String, Failure> {
    match meant(said, &small_bodies(workshop)) {
        Meant::Nothing if is_code(said) => Err(Failure::RowOfWhat(said.to_string())),
        Meant::Nothing => Err(NoSuchDetail(said.to_string()).into()),
        found => id_said(said, found),
    }
}

fn sheet_ask<'a>(wanted: &'a SeenArgs, folder: &'a Path) -> Result<SheetAsk<'a>, Failure> {
    let by = wanted.by.map(seen_by);
    let is_of_one = wanted.at.is_some() || wanted.eyepiece.is_some() || !wanted.note.is_empty();
    let one = match (&wanted.detail, by) {
        (Some(row), Some(by)) => Some((row.as_str(), by)),
        (Some(_), None) => return Err(Failure::WhoSaw),
        (None, by) if is_of_one || by.is_some() => return Err(Failure::OfOneLook),
        (None, _) => None,
    };
    Ok(SheetAsk {
        folder,
        telescope: wanted.telescope.as_deref(),
        one,
        at: wanted.at.as_deref(),
        eyepiece: wanted.eyepiece.as_deref(),
        air: wanted.air.map(judged),
        note: &wanted.note,
    })
}

fn tick<'a>(
    workshop: &'a Workshop,
    wanted: &'a SeenArgs,
    detail: &'a str,
    by: By,
) -> Result<Tick<'a>, Failure> {
    let now = Utc::now();
    let at = (wanted.at.as_deref())
        .map(|said| instant_said(said, workshop.site.time_zone, now))
        .transpose()?;
    let telescope = match (&wanted.telescope, &workshop.telescopes[..]) {
        (None, [_, _, ..]) => return Err(Failure::WhichTelescope(telescope_names(workshop))),
        (name, _) => telescope(workshop, name.as_deref())?,
    };
    Ok(Tick {
        at: at.unwrap_or(now),
        telescope,
        detail,
        eyepiece: wanted.eyepiece.as_deref(),
        by: seen_by(by),
        air: wanted.air.map(judged),
        note: &wanted.note,
    })
}

fn seen_by(by: By) -> SeenBy {
    match by {
        By::Most => SeenBy::Most,
        By::Some => SeenBy::Some,
        By::Helper => SeenBy::Helper,
        By::Alone => SeenBy::Alone,
        By::None => SeenBy::Nobody,
    }
}

fn judged(air: AirIn) -> JudgedAir {
    match air {
        AirIn::Good => JudgedAir::Good,
        AirIn::Typical => JudgedAir::Typical,
        AirIn::Poor => JudgedAir::Poor,
    }
}

fn ticked(
    form: Form,
    workshop: &Workshop,
    tick: &Tick,
    path: &Path,
    laid: impl Fn(Page) -> String,
) -> Result<String, Failure> {
    let ticked = plan::seen::ticked(workshop, tick)?;
    let kept = log::append(path, &ticked.look)?;
    let name = path.display().to_string();
    let log = LogFile {
        name: &name,
        unread: &kept.unread,
    };
    let looks = kept.looks.len();
    let now = Utc::now().with_timezone(&workshop.site.time_zone);
    Ok(match form {
        Form::Json => show::seen::json::ticked(&ticked, &log, looks),
        _ => laid(show::seen::look(&ticked, &log, looks, now)),
    })
}

/// `seen --report`
fn record(
    form: Form,
    workshop: &Workshop,
    path: &Path,
    laid: impl Fn(Page) -> String,
) -> Result<(bool, String), Failure> {
    let kept = log::read(path)?;
    let record = plan::record::record(workshop, &kept.looks)?;
    let name = path.display().to_string();
    let log = LogFile {
        name: &name,
        unread: &kept.unread,
    };
    let zone = workshop.site.time_zone;
    let answer = match form {
        Form::Json => show::seen::json::record(&record, &log),
        _ => laid(show::seen::record(&record, &log, zone)),
    };
    // A document is an answer even when no look is in it.
    Ok((form == Form::Json || 0 < record.looks, answer))
}

/// `seen --sheet`
fn sheet(form: Form, kept: &Kept, path: &Path, laid: impl Fn(Page) -> String) -> (bool, String) {
    let name = path.display().to_string();
    let log = LogFile {
        name: &name,
        unread: &kept.log.unread,
    };
    let answer = match form {
        Form::Json => show::seen::json::sheet(&kept.sheet, &log, kept.log.looks.len()),
        _ => laid(show::seen::sheet::page(&kept.sheet, &log)),
    };
    // A document is an answer even when no look is in it.
    (form == Form::Json || !kept.sheet.is_empty(), answer)
}
