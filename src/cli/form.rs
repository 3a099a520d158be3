//! In which form an answer goes out: by `--json` and the ending of `--output`, one table for all commands.

use std::ffi::OsStr;
use std::path::Path;

use skyworthy::show::page::Page;

use super::args::Args;
use super::failure::Failure;

/// What an output can hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// The words, for a terminal of 80 columns.
    Text,
    /// The same words for a browser, to be read or printed.
    Html,
    /// For other programs.
    Json,
    /// For a spreadsheet.
    Csv,
    /// For a calendar.
    Calendar,
    /// A picture of lines and letters.
    Svg,
    /// A picture of dots.
    Png,
}

/// The ending that asks for a form, and what such a file is for.
const ENDINGS: [(Form, &str, &str); 7] = [
    (Form::Text, "txt", "the words"),
    (Form::Html, "html", "a page"),
    (Form::Svg, "svg", "a picture"),
    (Form::Png, "png", "a picture in dots"),
    (Form::Csv, "csv", "a spreadsheet"),
    (Form::Calendar, "ics", "a calendar"),
    (Form::Json, "json", "another program"),
];

/// Of answers that are neither drawn nor tabulated.
pub const WORDS: &[Form] = &[Form::Text, Form::Html, Form::Json];

/// Of answers that are words and a picture.
pub const DRAWN: &[Form] = &[Form::Text, Form::Html, Form::Svg, Form::Png, Form::Json];

impl Form {
    fn of_ending(ending: &OsStr) -> Option<Form> {
        let ending = ending.to_str()?.to_lowercase();
        let row = ENDINGS.iter().find(|(_, known, _)| *known == ending)?;
        Some(row.0)
    }
}

/// The form that was asked for, if the command writes it; a name that promises something else, or a file in the way, is
/// found before anything is computed or kept.
pub fn form(args: &Args, written: &'static [Form]) -> Result<Form, Failure> {
    let usual = if args.json { Form::Json } else { Form::Text };
    let Some(path) = &args.output else {
        return Ok(usual);
    };
    let form = match path.extension().map(Form::of_ending) {
        None => Ok(usual),
        Some(Some(form)) if args.json && form != Form::Json => Err(Failure::NotJson(path.clone())),
        Some(Some(form)) if written.contains(&form) => Ok(form),
        Some(_) if args.json => Err(Failure::NotJson(path.clone())),
        Some(_) => Err(Failure::Ending(path.clone(), written)),
    }?;
    match path.is_file() && !args.overwrite {
        true => Err(Failure::Exists(path.clone())),
        false => Ok(form),
    }
}

/// Of a file that is written beside the answer.
pub fn check_ending(path: &Path, written: &'static [Form]) -> Result<(), Failure> {
    match path.extension().and_then(Form::of_ending) {
        Some(form) if written.contains(&form) => Ok(()),
        _ => Err(Failure::Ending(path.to_path_buf(), written)),
    }
}

/// For whoever brought no workshop file: whose telescopes these are.
const NOTICE: [&str; 2] = [
    "This is the example workshop, an invented place and invented telescopes.",
    "Your own: `skyworthy begin`, edit workshop.toml, `skyworthy`.",
];

/// A page as words or for a browser, with the notice where it is needed: last on a terminal, which shows its end; first in a
/// file, which others open later and at its beginning.
pub fn laid_out(page: Page, form: Form, args: &Args, is_example: bool) -> String {
    let page = match (is_example, &args.output) {
        (true, Some(_)) => page.below(NOTICE),
        (true, None) => return format!("{}\n{}\n", page.text(), NOTICE.join("\n")),
        (false, _) => page,
    };
    match form {
        Form::Html => page.html(),
        _ => page.text(),
    }
}

/// Why a name is refused: what it may end in instead.
pub fn refused(path: &Path, written: &[Form]) -> String {
    let rows = ENDINGS.iter().filter(|(form, ..)| written.contains(form));
    let choices: Vec<String> = rows
        .map(|(_, ending, what)| format!(".{ending} for {what}"))
        .collect();
    format!(
        "`{}` has an ending that is not written here\n  end its name in {}",
        path.display(),
        choices.join(", ")
    )
}
