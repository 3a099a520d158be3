//! `session`: what was typed becomes a question, the answer goes out in the form its file's ending asks for.

use std::path::Path;

use skyworthy::plan::session::{Ask, First, Refused, Session, session, session_in_order};
use skyworthy::show;
use skyworthy::workshop::Workshop;

use super::args::{Args, FirstIn, SessionArgs};
use super::failure::Failure;
use super::{Answer, files};

/// In which form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Text,
    Json,
    Csv,
    Calendar,
}

/// `session`
pub fn run(args: &Args, wanted: &SessionArgs) -> Result<Answer, Failure> {
    let form = form(args)?;
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let (asked, refused) = (ask(wanted), |why| refused(why, &workshop, wanted));
    let mut answer = session(&workshop, &asked).map_err(refused)?;
    if let Some(folder) = &wanted.sheets {
        let in_order = |orders: &[_]| session_in_order(&workshop, &asked, orders).map_err(refused);
        answer = super::sheets::write(folder, answer, args.overwrite, in_order)?;
    }
    Ok(Answer {
        picture: None,
        // A document is an answer even when nothing is shown in it.
        has_content: form != Form::Text || answer.window.first_look.is_some(),
        text: words(&answer, form, is_example),
    })
}

fn words(answer: &Session, form: Form, is_example: bool) -> String {
    match form {
        Form::Text => super::commands::with_notice(show::session::text(answer), is_example),
        Form::Json => show::session_json::json(answer),
        Form::Csv => show::session_csv::csv(answer),
        Form::Calendar => show::session_calendar::calendar(answer),
    }
}

fn ask(wanted: &SessionArgs) -> Ask {
    let (from, until) = wanted.window;
    Ask {
        on: wanted.on,
        from,
        until,
        visitors: wanted.visitors,
        slot_minutes: wanted.slot_minutes,
        first: wanted.first.map(|first| match first {
            FirstIn::Children => First::Children,
            FirstIn::Wheelchair => First::Wheelchair,
        }),
        telescopes: wanted.telescope.clone(),
        wants: wanted.want.clone(),
    }
}

fn form(args: &Args) -> Result<Form, Failure> {
    let Some(path) = &args.output else {
        return Ok(if args.json { Form::Json } else { Form::Text });
    };
    let ending = path.extension().and_then(|ending| ending.to_str());
    match (ending.map(str::to_lowercase).as_deref(), args.json) {
        (Some("json"), _) => Ok(Form::Json),
        (Some("ics"), false) => Ok(Form::Calendar),
        (Some("csv"), false) => Ok(Form::Csv),
        (Some("txt"), false) => Ok(Form::Text),
        _ => Err(ending_of(path, args.json)),
    }
}

fn ending_of(path: &Path, json: bool) -> Failure {
    Failure::SessionEnding(path.to_path_buf(), json)
}

fn refused(why: Refused, workshop: &Workshop, wanted: &SessionArgs) -> Failure {
    match why {
        Refused::Night(why) => Failure::NoNight(why),
        Refused::UnknownTelescope { name, known } => Failure::NoSuchTelescope {
            near: workshop.telescope_near(&name).map(String::from),
            name,
            known,
        },
        Refused::Hours(why) => Failure::NoHours(why),
        Refused::WindowTooShort => Failure::ShortWindow(wanted.slot_minutes),
        Refused::TooManySlots { slots } => Failure::ManySlots(slots),
        Refused::UnknownSubject { id } => Failure::NoSuchTarget(id),
    }
}
