//! The notes' file as it lies in a folder at first: nothing but comments, with names of this evening to be taken over.

use crate::plan::session::{Session, Station};
use crate::show::page::document::tidy;
use crate::show::session::wording;
use crate::show::words;

/// To be filled in by the organiser.
pub fn notes_to_fill_in(session: &Session) -> String {
    let busy = session.telescopes.iter().max_by_key(|it| it.turns.len());
    let name = tidy(busy.map_or("Rowan", |station| station.name.as_str()));
    let targets = busy.map_or(Vec::new(), targets);
    let target = targets.first().map_or("Saturn", String::as_str);
    let order: Vec<String> = targets.iter().map(|it| quoted(it)).collect();
    let middle = session.window.from + (session.window.until - session.window.from) / 2;
    let (now, end) = (
        words::clock(middle, session.zone),
        words::clock(session.window.until, session.zone),
    );
    // In an hour that comes twice the clock says which; the file takes hours alone.
    let [now, end] = [now, end].map(|it| it.chars().take(5).collect::<String>());
    let (name, order, target) = (quoted(&name), order.join(", "), quoted(target));
    format!(
        "# Your notes for these sheets: take the # away from what you want, then print again with --overwrite.\n\
         # This file is never replaced. Telescopes and targets are called as the sheets call them.\n\
         #\n\
         # [[telescope]]\n\
         # name = {name}\n\
         # note = \"mind the step\"       # stands on its sheet\n\
         # order = [{order}]    # as it is now: change it\n\
         #\n\
         # [[telescope.turn]]           # of the telescope above it\n\
         # target = {target}\n\
         # note = \"a minute each\"\n\
         # skip = true                  # not to be shown after all\n\
         #\n\
         # [[happened]]                 # what changes while the evening runs\n\
         # now = \"{now}\"\n\
         # out = [{name}]               # can no longer be used; back = [...]: can be used again\n\
         # cloud_deg = [[200, 290]]     # what cloud covers, azimuths clockwise; [[0, 360]] is all\n\
         # late_minutes = 20            # the first looks come so much later\n\
         # end = \"{end}\"              # the last look\n"
    )
}

/// As they are called, each once.
fn targets(station: &Station) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for turn in &station.turns {
        let name = tidy(wording::short_name(&turn.shown.subject));
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// As TOML writes a text.
fn quoted(text: &str) -> String {
    toml::Value::String(text.to_string()).to_string()
}
