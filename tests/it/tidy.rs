//! The house rules: arrows between rooms, a `//!` on every file, the fixed top level.
//!
//! Each rule is a function from a file's path and text to complaints, `path:line: what`, so that the
//! tests at the end can show that it catches what it is for.

mod circles;
mod names;
mod paths;
mod sentences;

use std::fs;

use self::paths::{Path, paths};
use self::sentences::sentences;

/// Rooms from the cellar up: a room may use rooms listed before it, never after.
const ROOMS: &[&str] = &[
    "workshop", "optics", "sky", "eye", "targets", "plan", "show",
];

/// Rooms that may not use an earlier one either: neighbours, brought together further up.
const STRANGERS: &[(&str, &str)] = &[
    ("sky", "workshop"),
    ("sky", "optics"),
    ("eye", "workshop"),
    ("eye", "optics"),
    ("eye", "sky"),
];

/// Whose results `show` may name (types, constants) but whose functions it may not call: it computes nothing physical, and
/// asks nobody what a look is worth.
const PHYSICS: &[&str] = &["optics", "sky", "eye", "targets"];

/// Functions that only look a row of a table up.
const LOOKED_UP: &[(&str, &str)] = &[("targets", "detail")];

/// Everything at the top level, beside dot-files and what git ignores.
const TOP_LEVEL: &[&str] = &[
    "Cargo.toml",
    "Cargo.lock",
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "src",
    "data",
    "tests",
    "benches",
    "examples",
    "target",
];

/// Longest file in src, lines, its tests included.
const LONGEST_FILE: usize = 500;

/// Flat lists that are read in a row and would only lose by being cut: all wordings of the workshop
/// file's errors, and its one table of keys.
const FLAT_LISTS: &[&str] = &["src/workshop/wording.rs", "src/workshop/file/keys.rs"];

/// Files, clock, environment, network, terminal: for `cli` alone.
const OUTSIDE_WORLD: &[&str] = &[
    "std::fs",
    "std::env",
    "std::net",
    "std::process",
    "std::io",
    "SystemTime",
    "Instant::now",
    "Utc::now",
    "chrono::Local",
    "Local::now",
    "println!",
    "eprintln!",
    "dbg!",
];

/// Traces of somebody's machine or notebook. In two halves, lest this file complain of itself.
const TRACES: &[(&str, &str)] = &[
    ("/wo", "rk/"),
    ("/ho", "me/"),
    ("/Us", "ers/"),
    ("issue", " #"),
    ("TO", "DO"),
];

/// A file under the project's folder.
#[derive(Clone)]
struct Source {
    /// From the top level, with slashes.
    path: String,
    text: String,
}

impl Source {
    /// The room it belongs to; `None` on the ground floor and in the program.
    fn room(&self) -> Option<&str> {
        let below = self.path.strip_prefix("src/")?;
        let first = below.split('/').next()?.trim_end_matches(".rs");
        ROOMS.iter().copied().find(|room| *room == first)
    }

    fn is_program(&self) -> bool {
        self.path == "src/main.rs" || self.path.starts_with("src/cli")
    }

    /// Lines of code with their numbers: comments left out.
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        (self.text.lines().enumerate())
            .map(|(idx, line)| (idx + 1, line.split("//").next().unwrap_or(line)))
            .filter(|(_, line)| !line.trim().is_empty())
    }

    fn complaint(&self, line: usize, what: &str) -> String {
        format!("{}:{line}: {what}", self.path)
    }
}

/// Where a word stands alone, not as a part of a longer one.
fn has_word(line: &str, word: &str) -> bool {
    let is_part = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(word).any(|(at, _)| {
        !line[..at].ends_with(is_part) && !line[at + word.len()..].starts_with(is_part)
    })
}

/// The paths into rooms: line, room, and the path's last name.
fn paths_into_rooms(source: &Source) -> Vec<(usize, &'static str, String)> {
    let into = |path: Path| {
        let room = path
            .names
            .iter()
            .find(|name| *name != "super" && *name != "crate")?;
        let room = ROOMS.iter().find(|known| *known == room)?;
        Some((path.line, *room, path.names.last()?.clone()))
    };
    paths(&source.text).into_iter().filter_map(into).collect()
}

fn floor(room: &str) -> usize {
    (ROOMS.iter().position(|other| *other == room)).expect("a room of the list")
}

/// Arrows point down and never between neighbours; the ground floor knows no room.
fn turned_arrows(source: &Source) -> Vec<String> {
    let mut complaints = Vec::new();
    let is_tour = source.path == "src/lib.rs";
    if !source.path.starts_with("src/") || source.is_program() || is_tour {
        return complaints;
    }
    for (line, code) in source.code() {
        if code.contains("crate::{") {
            complaints.push(source.complaint(line, "one `use crate::room::...;` a room"));
        }
        if has_word(code, "cli") && code.contains("::cli") {
            complaints.push(source.complaint(line, "`cli` belongs to the program"));
        }
    }
    for (line, to, last_name) in paths_into_rooms(source) {
        let allowed = match source.room() {
            None => false,
            Some(from) if from == to => true,
            Some("show") if PHYSICS.contains(&to) => {
                last_name.starts_with(|c: char| c.is_uppercase())
                    || LOOKED_UP.contains(&(to, last_name.as_str()))
            }
            Some(from) => floor(to) < floor(from) && !STRANGERS.contains(&(from, to)),
        };
        if !allowed {
            let from = source.room().unwrap_or("the ground floor");
            let what = format!("`{from}` may not use `{to}::...::{last_name}`");
            complaints.push(source.complaint(line, &what));
        }
    }
    complaints
}

/// The library's tour does not open the program's room.
fn program_in_library(source: &Source) -> Vec<String> {
    let opens = |code: &str| has_word(code, "mod") && has_word(code, "cli");
    (source.code())
        .filter(|(_, code)| source.path == "src/lib.rs" && opens(code))
        .map(|(line, _)| source.complaint(line, "`cli` belongs to the program"))
        .collect()
}

/// Only the program reads files, clock and environment, or writes to the terminal.
fn doors_to_the_world(source: &Source) -> Vec<String> {
    let mut complaints = Vec::new();
    if !source.path.starts_with("src/") || source.is_program() {
        return complaints;
    }
    for (line, code) in source.code() {
        for word in OUTSIDE_WORLD.iter().filter(|word| has_word(code, word)) {
            complaints.push(source.complaint(line, &format!("`{word}` is for `cli` alone")));
        }
    }
    complaints
}

/// Every file says first what it is for, and is short enough to have one subject.
fn untold_or_long(source: &Source) -> Vec<String> {
    let mut complaints = Vec::new();
    if !source.path.ends_with(".rs") {
        return complaints;
    }
    if !source.text.starts_with("//!") {
        complaints.push(source.complaint(1, "the first line is `//!`: what the file is for"));
    }
    let n_lines = source.text.lines().count();
    let is_flat = FLAT_LISTS.contains(&source.path.as_str());
    if source.path.starts_with("src/") && n_lines > LONGEST_FILE && !is_flat {
        let what = format!("{n_lines} lines: two subjects in one file");
        complaints.push(source.complaint(n_lines, &what));
    }
    complaints
}

/// No trace of a machine's folders, of a tracker's numbers, of work left over.
fn traces(source: &Source) -> Vec<String> {
    let mut complaints = Vec::new();
    for (idx, line) in source.text.lines().enumerate() {
        for word in TRACES.iter().map(|(a, b)| format!("{a}{b}")) {
            if line.contains(&word) {
                complaints.push(source.complaint(idx + 1, &format!("`{word}` says nothing here")));
            }
        }
    }
    complaints
}

/// A data file tells in its head what it is, from where, under which licence, and who checks it.
fn headless_data(source: &Source) -> Vec<String> {
    ["# What:", "# Source:", "# Licence:", "# Checked by:"]
        .into_iter()
        .filter(|head| !source.text.lines().any(|line| line.starts_with(head)))
        .map(|head| source.complaint(1, &format!("the head has no line `{head}`")))
        .collect()
}

/// A data file is built in by exactly one module.
fn readers_of(data: &Source, sources: &[Source]) -> Vec<String> {
    let reads = |source: &Source| {
        let built_in = |code: &str| {
            (code.contains("include_str!") || code.contains("include_bytes!"))
                && code.contains(&format!("/{}\"", data.path))
        };
        source.code().any(|(_, code)| built_in(code))
    };
    let readers: Vec<_> = (sources.iter())
        .filter(|source| source.path.starts_with("src/") && reads(source))
        .map(|source| source.path.as_str())
        .collect();
    match readers[..] {
        [_] => Vec::new(),
        _ => vec![data.complaint(1, &format!("built in by one module, not by {readers:?}"))],
    }
}

fn top_level(names: &[String]) -> Vec<String> {
    (names.iter())
        .filter(|name| !name.starts_with('.') && !TOP_LEVEL.contains(&name.as_str()))
        .map(|name| format!("{name}: not of the top level"))
        .collect()
}

// ---- the project as it stands -----------------------------------------------------------------

fn root() -> &'static std::path::Path {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// All files below a folder of the project, sorted; binary ones as far as they are text.
fn files(folder: &str) -> Vec<Source> {
    let mut found = Vec::new();
    let Ok(entries) = fs::read_dir(root().join(folder)) else {
        return found;
    };
    for entry in entries {
        let entry = entry.expect("a readable folder");
        let path = format!("{folder}/{}", entry.file_name().to_string_lossy());
        if entry.file_type().expect("a kind of file").is_dir() {
            found.extend(files(&path));
        } else {
            let bytes = fs::read(entry.path()).expect("a readable file");
            let text = String::from_utf8_lossy(&bytes).into_owned();
            found.push(Source { path, text });
        }
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    found
}

fn rust_files() -> Vec<Source> {
    ["src", "tests", "benches", "examples"]
        .into_iter()
        .flat_map(files)
        .filter(|source| source.path.ends_with(".rs"))
        .collect()
}

/// Tables to be built in: not the scripts that made them, nor the list of all.
fn data_files() -> Vec<Source> {
    files("data")
        .into_iter()
        .filter(|file| !file.path.starts_with("data/build/") && !file.path.ends_with(".md"))
        .collect()
}

#[track_caller]
fn hold(rule: impl Fn(&Source) -> Vec<String>, sources: &[Source]) {
    assert!(!sources.is_empty());
    let complaints: Vec<_> = sources.iter().flat_map(rule).collect();
    assert!(complaints.is_empty(), "\n{}\n", complaints.join("\n"));
}

#[test]
fn arrows_point_down() {
    hold(turned_arrows, &rust_files());
    hold(program_in_library, &rust_files());
}

#[test]
fn no_two_files_need_each_other() {
    let circles = circles::circles(&rust_files());
    let words: Vec<_> = circles.iter().map(|circle| circle.join(", ")).collect();
    assert!(
        circles.is_empty(),
        "circles of files:\n{}",
        words.join("\n")
    );
}

#[test]
fn public_types_have_names_of_their_own() {
    let shared = names::shared_names(&rust_files());
    assert!(shared.is_empty(), "\n{}\n", shared.join("\n"));
}

#[test]
fn only_the_program_meets_the_world() {
    hold(doors_to_the_world, &rust_files());
}

#[test]
fn every_file_says_what_it_is_for() {
    hold(untold_or_long, &rust_files());
}

#[test]
fn reasons_below_show_are_values() {
    hold(sentences, &rust_files());
}

#[test]
fn no_traces_of_a_machine() {
    let mut sources = rust_files();
    sources.extend(files("data/build"));
    sources.extend(files("tests/reference"));
    for name in ["README.md", "DEVELOPERS.md", "Cargo.toml", "data/README.md"] {
        if let Ok(text) = fs::read_to_string(root().join(name)) {
            let path = name.to_owned();
            sources.push(Source { path, text });
        }
    }
    hold(traces, &sources);
}

#[test]
fn data_tell_their_origin_and_are_built_in_once() {
    let sources = rust_files();
    hold(headless_data, &data_files());
    hold(|data| readers_of(data, &sources), &data_files());
    let list = fs::read_to_string(root().join("data/README.md")).expect("the list of all data");
    for data in data_files() {
        let name = data.path.trim_start_matches("data/");
        assert!(
            list.contains(&format!("`{name}`")),
            "data/README.md does not list {name}"
        );
    }
}

#[test]
fn the_top_level_is_fixed() {
    let names: Vec<_> = fs::read_dir(root())
        .expect("the project's own folder")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    let complaints = top_level(&names);
    assert!(complaints.is_empty(), "\n{}\n", complaints.join("\n"));
}

// ---- do the rules bite? -----------------------------------------------------------------------

#[track_caller]
fn check(rule: impl Fn(&Source) -> Vec<String>, path: &str, text: &str, want: &[&str]) {
    let source = Source {
        path: path.to_owned(),
        text: text.to_owned(),
    };
    assert_eq!(rule(&source), want, "{path}: {text}");
}

#[test]
fn turned_arrows_are_caught() {
    let check = |path, text, want| check(turned_arrows, path, text, want);
    check(
        "src/workshop/mod.rs",
        "//! x\nuse crate::optics::Mirror;",
        &["src/workshop/mod.rs:2: `workshop` may not use `optics::...::Mirror`"],
    );
    check(
        "src/sky/air.rs",
        "let d = crate::eye::pupil::diameter_mm(1.0);",
        &["src/sky/air.rs:1: `sky` may not use `eye::...::diameter_mm`"],
    );
    check(
        "src/eye/mod.rs",
        "use super::optics::Pupil;",
        &["src/eye/mod.rs:1: `eye` may not use `optics::...::Pupil`"],
    );
    check(
        "src/units.rs",
        "use crate::sky::Body;",
        &["src/units.rs:1: `the ground floor` may not use `sky::...::Body`"],
    );
    check(
        "src/plan/night.rs",
        "//! x\nuse crate::show::{\n    words, table,\n};",
        &[
            "src/plan/night.rs:2: `plan` may not use `show::...::words`",
            "src/plan/night.rs:2: `plan` may not use `show::...::table`",
        ],
    );
    check(
        "src/show/text.rs",
        "use crate::sky::{Body, air::refraction_deg};",
        &["src/show/text.rs:1: `show` may not use `sky::...::refraction_deg`"],
    );
    check(
        "src/show/dates/mod.rs",
        "use crate::targets::merit;\nlet one = crate::targets::merit::of_detail(grade);",
        &[
            "src/show/dates/mod.rs:1: `show` may not use `targets::...::merit`",
            "src/show/dates/mod.rs:2: `show` may not use `targets::...::of_detail`",
        ],
    );
    check(
        "src/plan/night.rs",
        "use crate::{sky::Body, units};",
        &["src/plan/night.rs:1: one `use crate::room::...;` a room"],
    );
    check(
        "src/plan/night.rs",
        "use crate::cli::Arguments;",
        &["src/plan/night.rs:1: `cli` belongs to the program"],
    );
    for (path, fine) in [
        (
            "src/optics/instrument.rs",
            "use crate::workshop::Telescope;",
        ),
        ("src/optics/mtf.rs", "use crate::optics::pupil::Pupil;"),
        ("src/sky/mod.rs", "// as `crate::eye::pupil` does"),
        ("src/sky/mod.rs", "use crate::units::wrap_360_deg;"),
        ("src/plan/night.rs", "use crate::sky::air::refraction_deg;"),
        ("src/show/text.rs", "use crate::sky::appearance::Face;"),
        ("src/show/text.rs", "use crate::plan::night::night;"),
        ("src/show/text.rs", "use crate::targets::grade::PLAIN_FROM;"),
        ("src/show/text.rs", "use crate::targets::details::detail;"),
        ("src/cli/mod.rs", "use crate::cli::args;"),
    ] {
        check(path, fine, &[]);
    }
}

#[test]
fn the_program_in_the_library_is_caught() {
    check(
        program_in_library,
        "src/lib.rs",
        "//! x\npub mod cli;",
        &["src/lib.rs:2: `cli` belongs to the program"],
    );
    check(program_in_library, "src/main.rs", "mod cli;", &[]);
}

#[test]
fn doors_to_the_world_are_caught() {
    for word in ["std::fs", "Utc::now", "chrono::Local", "println!"] {
        check(
            doors_to_the_world,
            "src/plan/night.rs",
            &format!("let x = {word}(y);"),
            &[&format!("src/plan/night.rs:1: `{word}` is for `cli` alone")],
        );
    }
    check(
        doors_to_the_world,
        "src/plan/local.rs",
        "chrono::LocalResult::None;",
        &[],
    );
    check(
        doors_to_the_world,
        "src/cli/mod.rs",
        "std::env::args()",
        &[],
    );
}

#[test]
fn untold_and_long_files_are_caught() {
    check(
        untold_or_long,
        "src/eye/mod.rs",
        "use x;",
        &["src/eye/mod.rs:1: the first line is `//!`: what the file is for"],
    );
    check(
        untold_or_long,
        "src/eye/mod.rs",
        &"//! x\n".repeat(501),
        &["src/eye/mod.rs:501: 501 lines: two subjects in one file"],
    );
}

#[test]
fn traces_are_caught() {
    let path = format!("{}{}", "/ho", "me/somebody/x.tsv");
    let want = format!("src/a.rs:2: `{}{}` says nothing here", "/ho", "me/");
    check(traces, "src/a.rs", &format!("//! x\n// {path}"), &[&want]);
}

#[test]
fn careless_data_are_caught() {
    check(
        headless_data,
        "data/x.tsv",
        "# What: x\n# Source: y\n# Licence: z\na\tb",
        &["data/x.tsv:1: the head has no line `# Checked by:`"],
    );
    let reader = |path: &str| Source {
        path: path.to_owned(),
        text: "static X: &str = include_str!(\"../../data/x.tsv\");".to_owned(),
    };
    let twice = [reader("src/sky/a.rs"), reader("src/sky/b.rs")];
    check(
        |data| readers_of(data, &twice),
        "data/x.tsv",
        "",
        &["data/x.tsv:1: built in by one module, not by [\"src/sky/a.rs\", \"src/sky/b.rs\"]"],
    );
    check(|data| readers_of(data, &twice[..1]), "data/x.tsv", "", &[]);
}

#[test]
fn strangers_at_the_top_level_are_caught() {
    let names = ["Cargo.toml", ".ci", "notes.txt"].map(str::to_owned);
    assert_eq!(top_level(&names), ["notes.txt: not of the top level"]);
}
