//! `session`: what was typed becomes a question, the answer goes out in the form its file's ending asks for.

use chrono::Utc;

use skyworthy::plan::called::subject_meant;
use skyworthy::plan::session::{Ask, First, Upset, Want, session_as_noted};
use skyworthy::show;
use skyworthy::workshop::SessionNotes;

use super::args::{Args, FirstIn, SessionArgs};
use super::called::id_said;
use super::failure::Failure;
use super::form::{Form, form, laid_out};
use super::{Answer, files};

/// What an evening can be written as.
const FORMS: &[Form] = &[
    Form::Text,
    Form::Html,
    Form::Csv,
    Form::Calendar,
    Form::Json,
];

/// `session`
pub fn run(args: &Args, wanted: &SessionArgs) -> Result<Answer, Failure> {
    let form = form(args, FORMS)?;
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let asked = ask(wanted)?;
    let upsets = Vec::from_iter(upset(wanted));
    let answer = match &wanted.sheets {
        Some(folder) => super::sheets::write(folder, &workshop, &asked, &upsets, args.overwrite)?,
        None => {
            let notes = SessionNotes::default();
            session_as_noted(&workshop, &asked, &notes, &upsets)?.0
        }
    };
    if matches!(form, Form::Csv | Form::Calendar) {
        // Neither has room for what is said to whoever plans.
        for stale in &answer.stale_notes {
            eprintln!("note: {}", show::session::stale::line(stale));
        }
    }
    Ok(Answer {
        // A document is an answer even when nothing is shown in it.
        has_content: form != Form::Text || answer.window.first_look.is_some(),
        bytes: match form {
            Form::Json => show::session::json(&answer),
            Form::Csv => show::session::csv(&answer),
            Form::Calendar => show::session::ics(&answer, Utc::now()),
            _ => laid_out(show::session::page(&answer), form, args, is_example),
        }
        .into_bytes(),
    })
}

/// What has changed since.
fn upset(wanted: &SessionArgs) -> Option<Upset> {
    Some(Upset {
        now: wanted.now?,
        late_minutes: wanted.late,
        out: wanted.out.clone(),
        back: Vec::new(),
        clouds: wanted.cloud.clone(),
        end: wanted.end,
    })
}

fn ask(wanted: &SessionArgs) -> Result<Ask, Failure> {
    let want = |want: &Want| {
        Ok(Want {
            subject: id_said(&want.subject, subject_meant(&want.subject))?,
            telescope: want.telescope.clone(),
        })
    };
    let wants: Result<Vec<Want>, Failure> = wanted.want.iter().map(want).collect();
    Ok(Ask {
        on: wanted.on,
        window: wanted.window,
        visitors: wanted.visitors,
        slot_minutes: wanted.slot_minutes,
        first: wanted.first.map(|first| match first {
            FirstIn::Children => First::Children,
            FirstIn::Wheelchair => First::Wheelchair,
        }),
        telescopes: wanted.telescope.clone(),
        wants: wants?,
    })
}
