//! # cli: arguments, files, clock, terminal
//!
//! Reads like a table of contents: what was typed ([`args`]) becomes an answer ([`commands`]), which goes
//! where it was wanted ([`files`]). Answers go to standard output, messages to standard error.
//! Exit code 0: answered; 1: nothing to show; 2: failed.

mod args;
mod ask;
mod called;
mod commands;
mod dates;
mod failure;
mod files;
mod form;
mod log;
mod looks;
mod progress;
mod seen;
mod session;
mod sheets;

use std::process::ExitCode;

use clap::Parser;

use args::{Args, Command};
use failure::Failure;

/// What a command comes to.
struct Answer {
    /// For standard output or the output file, in the form that was asked for.
    bytes: Vec<u8>,
    /// There was something to show.
    has_content: bool,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let args = Args::parse();
    match run(&args) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::from(1),
        Err(failure) => {
            eprintln!("error: {failure}");
            ExitCode::from(2)
        }
    }
}

fn run(args: &Args) -> Result<bool, Failure> {
    let answer = match &args.command {
        Some(Command::Begin(begin)) => {
            return commands::begin(begin, args.overwrite).map(|()| true);
        }
        Some(Command::Sky(sky)) => commands::sky(args, sky)?,
        Some(Command::Bench(bench)) => commands::bench(args, bench)?,
        Some(Command::Mirror(mirror)) => commands::mirror(args, mirror)?,
        Some(Command::Bands(bands)) => commands::bands(args, bands)?,
        Some(Command::Reach(reach)) => commands::reach(args, reach)?,
        Some(Command::Night(night)) => commands::night(args, night)?,
        Some(Command::Dates(dates)) => dates::dates(args, dates)?,
        Some(Command::Session(wanted)) => session::run(args, wanted)?,
        Some(Command::Seen(seen)) => seen::run(args, seen)?,
        None => commands::night(args, &args::NightArgs::default())?,
    };
    match &args.output {
        Some(path) => files::write_new(path, &answer.bytes, args.overwrite)?,
        None => files::print(&answer.bytes)?,
    }
    Ok(answer.has_content)
}
