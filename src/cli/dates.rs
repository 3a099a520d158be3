//! `dates`: which evenings suit, as words, as a calendar, as a picture; and what happens.

use chrono::Utc;

use skyworthy::plan::called::wish_meant;
use skyworthy::plan::dates::{Audience, Wanted, Wished};
use skyworthy::plan::refusal::NoSuchWish;
use skyworthy::{plan, show};

use super::args::{Args, DatesArgs, For};
use super::called::id_said;
use super::commands::telescopes;
use super::failure::Failure;
use super::form::{Form, form, laid_out};
use super::progress::Progress;
use super::{Answer, files};

/// What happens can be written as any of these.
const TOLD: &[Form] = &[
    Form::Text,
    Form::Html,
    Form::Csv,
    Form::Calendar,
    Form::Json,
];

/// `dates`
pub fn dates(args: &Args, dates: &DatesArgs) -> Result<Answer, Failure> {
    if dates.happenings {
        return happenings(args, dates);
    }
    let form = form(args, &[Form::Text, Form::Html, Form::Svg, Form::Json])?;
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let wanted = Wanted {
        from: dates.from,
        to: dates.to,
        window: dates.window,
        audience: audience(dates)?,
        telescopes: telescopes(&workshop, &dates.telescope)?,
        weekdays: dates.weekdays.clone(),
    };
    let progress = Progress::new("evenings");
    let answer = plan::dates::dates(&workshop, &wanted, &|done, of| progress.tell(done, of));
    progress.end();
    let answer = answer?;
    let page = match dates.calendar {
        true => show::dates::months::page,
        false => show::dates::page,
    };
    Ok(Answer {
        // A document is an answer even when no evening is in it.
        has_content: form == Form::Json || !answer.best.is_empty(),
        bytes: match form {
            Form::Json => show::dates::json(&answer),
            Form::Svg => show::picture::dates::svg(&answer),
            _ => laid_out(page(&answer), form, args, is_example),
        }
        .into_bytes(),
    })
}

fn audience(dates: &DatesArgs) -> Result<Audience, Failure> {
    let of_wishes = || -> Result<Audience, Failure> {
        let wished = |said: &String| {
            let id = id_said(said, wish_meant(said))?;
            Wished::of(&id).ok_or_else(|| NoSuchWish(id).into())
        };
        let wishes: Result<Vec<Wished>, Failure> = dates.wish.iter().map(wished).collect();
        Ok(Audience::OwnList(wishes?))
    };
    match dates.audience {
        Some(For::OwnList) => of_wishes(),
        None if !dates.wish.is_empty() => of_wishes(),
        Some(_) if !dates.wish.is_empty() => Err(Failure::WishesOfOthers),
        None | Some(For::Public) => Ok(Audience::Public),
        Some(For::FigureTest) => Ok(Audience::FigureTest),
    }
}

/// `dates --happenings`
fn happenings(args: &Args, dates: &DatesArgs) -> Result<Answer, Failure> {
    let form = form(args, TOLD)?;
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let answer = plan::happenings::happenings(&workshop, dates.from, dates.to)?;
    Ok(Answer {
        has_content: form == Form::Json || show::happenings::has_entries(&answer),
        bytes: match form {
            Form::Json => show::happenings::json(&answer),
            Form::Csv => show::happenings::csv(&answer),
            Form::Calendar => show::happenings::ics(&answer, Utc::now()),
            _ => laid_out(show::happenings::page(&answer), form, args, is_example),
        }
        .into_bytes(),
    })
}
