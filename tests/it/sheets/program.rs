//! `skyworthy session --sheets` as somebody types it.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Output;

use crate::cli::{folder, refuses, run_in, stderr, stdout};

fn session(folder: &Path, more: &[&str]) -> Output {
    let args = [
        "session",
        "--on",
        "2026-12-17",
        "--window",
        "18:00-22:00",
        "--visitors",
        "120",
        "--want",
        "saturn@Rowan",
        "--want",
        "moon@Rowan",
        "--sheets",
        "paper",
    ];
    run_in(folder, &[&args[..], more].concat())
}

fn all(folder: &Path) -> BTreeMap<String, String> {
    let entries = fs::read_dir(folder.join("paper")).expect("a folder");
    let file = |entry: std::io::Result<fs::DirEntry>| {
        let entry = entry.expect("a file");
        let name = entry.file_name().to_string_lossy().into_owned();
        (name, fs::read_to_string(entry.path()).expect("text"))
    };
    entries.map(file).collect()
}

/// Where words stand on a page.
#[track_caller]
fn at(page: &str, words: &str) -> usize {
    page.find(words)
        .unwrap_or_else(|| panic!("`{words}` is not in {page}"))
}

#[test]
fn sheets_are_written_once_and_again_with_what_the_organiser_wrote() {
    let folder = folder();
    let first = session(folder.path(), &[]);
    assert!(first.status.success(), "{}", stderr(&first));
    let before = all(folder.path());
    let names: Vec<&str> = before.keys().map(String::as_str).collect();
    assert_eq!(
        names,
        [
            "1-Hazel.html",
            "1-Hazel.ics",
            "2-Rowan.html",
            "2-Rowan.ics",
            "3-Alder.html",
            "3-Alder.ics",
            "indoors.html",
            "looks.csv",
            "overview.html",
            "poster.html",
            "session.last.json",
            "session.notes.toml"
        ]
    );
    let rowan = &before["2-Rowan.html"];
    assert!(at(rowan, "<bdi>Moon</bdi></h2>") < at(rowan, "<bdi>Saturn</bdi></h2>"));

    refuses(
        &session(folder.path(), &[]),
        &["`paper", "exists and is left alone", "--overwrite", "notes"],
    );
    assert_eq!(all(folder.path()), before);

    let notes = "[[telescope]]\nname = \"Rowan\"\nnote = \"mind the step\"\norder = [\"Saturn\", \"Moon\"]\n\
                 [[telescope.turn]]\ntarget = \"Saturn\"\nnote = \"show Titan\"\n";
    fs::write(folder.path().join("paper/session.notes.toml"), notes).expect("written");
    let again = session(folder.path(), &["--overwrite"]);
    assert!(again.status.success(), "{}", stderr(&again));
    assert_eq!(stderr(&again), "");
    let after = all(folder.path());
    let rowan = &after["2-Rowan.html"];
    assert!(at(rowan, "<bdi>Saturn</bdi></h2>") < at(rowan, "<bdi>Moon</bdi></h2>"));
    at(rowan, "mind the step");
    at(rowan, "show Titan");
    let overview = &after["overview.html"];
    assert!(at(overview, "Changed since the last print:") < at(overview, "Rowan: Saturn "));
    assert_eq!(after["session.notes.toml"], notes);

    // Printed once more, nothing has moved and everything is still there.
    assert!(session(folder.path(), &["--overwrite"]).status.success());
    let third = all(folder.path());
    assert_eq!(third["2-Rowan.html"], after["2-Rowan.html"]);
    at(
        &third["overview.html"],
        "Changed since the last print: nothing",
    );
}

/// The file that lies there at first is all comments; with the marks taken away it is a file of notes for this evening.
#[test]
fn notes_to_fill_in_lie_beside_the_sheets() {
    let folder = folder();
    assert!(session(folder.path(), &[]).status.success());
    let path = folder.path().join("paper/session.notes.toml");
    let blank = fs::read_to_string(&path).expect("text");
    assert!(blank.lines().all(|line| line.starts_with('#')));
    let example = blank
        .lines()
        .skip(3)
        .map(|line| line.trim_start_matches(['#', ' ']));
    fs::write(&path, example.collect::<Vec<_>>().join("\n")).expect("written");
    let again = session(folder.path(), &["--overwrite", "--json"]);
    assert!(again.status.success(), "{}", stderr(&again));
    let answer: serde_json::Value = serde_json::from_slice(&again.stdout).expect("JSON");
    assert_eq!(answer["left_out"].as_array().map(Vec::len), Some(1));
    assert_eq!(answer["changed"]["late_minutes"], 20);
}

#[test]
fn what_cannot_be_understood_is_named_and_nothing_is_written() {
    let folder = folder();
    fs::create_dir(folder.path().join("paper")).expect("made");
    let notes = folder.path().join("paper/session.notes.toml");
    for (text, parts) in [
        (
            "[[telescope]]\nname = \"Rowan\"\nnotes = \"x\"\n",
            &["line 3", "did you mean note?"][..],
        ),
        ("[telescope]\n", &["session.notes.toml"]),
    ] {
        fs::write(&notes, text).expect("written");
        refuses(&session(folder.path(), &["--overwrite"]), parts);
        assert_eq!(all(folder.path()).len(), 1);
    }
    fs::remove_file(&notes).expect("removed");
    fs::write(folder.path().join("paper/session.last.json"), "{\"a\": 1}").expect("written");
    refuses(
        &session(folder.path(), &["--overwrite"]),
        &[
            "session.last.json` is not the plan of the last print",
            "move it away",
        ],
    );
}

#[test]
fn notes_without_a_place_are_listed_and_kept() {
    let folder = folder();
    assert!(session(folder.path(), &[]).status.success());
    let before = all(folder.path());
    let notes = "[[telescope]]\nname = \"Rowen\"\nnote = \"mind the step\"\n\
                 [[telescope]]\nname = \"Rowan\"\norder = [\"pluto\"]\n\
                 [[telescope.turn]]\ntarget = \"uranus\"\nskip = true\n";
    fs::write(folder.path().join("paper/session.notes.toml"), notes).expect("written");
    let again = session(folder.path(), &["--overwrite"]);
    assert!(again.status.success(), "{}", stderr(&again));
    let text = stdout(&again);
    for part in [
        "Your notes for which this plan has no place; they are kept:",
        "Rowen: the workshop has no telescope of that name (did you mean Rowan?) (line",
        "Rowan, pluto: nothing to look at is called so; the order is kept without it",
        "Rowan, uranus: it does not show it in this plan; nothing had to be left out",
    ] {
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        at(&flat, part);
    }
    let after = all(folder.path());
    at(
        &after["overview.html"],
        "3 notes wait for another plan: Rowen; Rowan, pluto; Rowan, uranus.",
    );
    assert_eq!(after["session.notes.toml"], notes);
    assert_eq!(after["2-Rowan.html"], before["2-Rowan.html"]);
    let table = session(folder.path(), &["--overwrite", "--output", "plan.csv"]);
    at(
        &stderr(&table),
        "note: Rowan, pluto: nothing to look at is called so",
    );
    let json = session(folder.path(), &["--overwrite", "--json"]);
    let answer: serde_json::Value = serde_json::from_slice(&json.stdout).expect("JSON");
    let stale = &answer["stale_notes"];
    assert_eq!(stale.as_array().map(Vec::len), Some(3));
    assert_eq!(
        (&stale[1]["kind"], &stale[1]["line"]),
        (&"order".into(), &6.into())
    );
}

/// What each telescope shows and from when.
fn turns(output: &Output) -> (serde_json::Value, Vec<(String, String)>) {
    assert!(output.status.success(), "{}", stderr(output));
    let answer: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let telescopes = answer["telescopes"].as_array().expect("telescopes");
    let of = |telescope: &serde_json::Value| {
        let turns = telescope["turns"].as_array().expect("turns").iter();
        let each = turns.map(|turn| format!("{} {}", turn["from_utc"], turn["id"]));
        (
            telescope["name"].to_string(),
            each.collect::<Vec<_>>().join(", "),
        )
    };
    let all = telescopes.iter().map(of).collect();
    (answer, all)
}

#[test]
fn what_is_left_out_is_filled_and_little_else_moves() {
    let folder = folder();
    let (_, before) = turns(&session(folder.path(), &["--json"]));
    let notes =
        "[[telescope]]\nname = \"Rowan\"\n[[telescope.turn]]\ntarget = \"saturn\"\nskip = true\n";
    fs::write(folder.path().join("paper/session.notes.toml"), notes).expect("written");
    let (answer, after) = turns(&session(folder.path(), &["--overwrite", "--json"]));
    assert!(before[1].1.contains("saturn") && !after[1].1.contains("saturn"));
    let n_changed = before.iter().zip(&after).filter(|(a, b)| a != b).count();
    assert!(n_changed <= 2, "{before:?} {after:?}");
    let out = serde_json::json!([{ "telescope": "Rowan", "target": "saturn" }]);
    assert_eq!(
        (&answer["left_out"], &answer["stale_notes"]),
        (&out, &serde_json::json!([]))
    );
    at(
        &answer["infeasible"].to_string(),
        "Saturn on Rowan, as wanted: not possible, your notes leave it out",
    );
    at(
        &all(folder.path())["overview.html"],
        "Rowan, saturn is left out",
    );
}

/// Rowan alone with two wishes and an order written in its notes.
fn ordered(folder: &Path, hours: &str, order: [&str; 2]) -> Output {
    fs::create_dir(folder.join("paper")).expect("made");
    let notes = format!("[[telescope]]\nname = \"Rowan\"\norder = {order:?}\n");
    fs::write(folder.join("paper/session.notes.toml"), notes).expect("written");
    let [first, second] = order.map(|id| format!("{id}@Rowan"));
    let asked = [
        "session",
        "--on",
        "2026-12-17",
        "--window",
        hours,
        "--visitors",
        "20",
    ];
    let rest = [
        "--want",
        &first,
        "--want",
        &second,
        "--telescope",
        "Rowan",
        "--sheets",
        "paper",
    ];
    let output = run_in(folder, &[&asked[..], &rest].concat());
    assert!(output.status.success(), "{}", stderr(&output));
    output
}

#[test]
fn an_order_that_the_sky_forbids_is_named() {
    let folder = folder();
    let output = ordered(folder.path(), "20:00-23:59", ["jupiter", "saturn"]);
    // Jupiter comes first in that order, and rises late: to whoever typed it, and on the page of who leads.
    let why = "Rowan: the order Jupiter, Saturn is not kept: Jupiter can be looked at from 21:53 to 07:31 only";
    assert_eq!(stderr(&output), format!("note: {why}\n"));
    let files = all(folder.path());
    at(&files["overview.html"], why);
    // And the telescope is planned as if it had not been given: Saturn first.
    let page = &files["1-Rowan.html"];
    assert!(at(page, "<bdi>Saturn</bdi></h2>") < at(page, "<bdi>Jupiter</bdi></h2>"));
}

#[test]
fn in_a_morning_the_last_of_an_order_ends_at_the_stop() {
    let folder = folder();
    let output = ordered(folder.path(), "06:00-08:00", ["jupiter", "venus"]);
    assert_eq!(stderr(&output), "");
    let page = &all(folder.path())["1-Rowan.html"];
    at(
        page,
        "Stop at 07:31, a quarter of an hour before sunrise (07:46)",
    );
    let [jupiter, venus] =
        ["Jupiter", "Venus"].map(|name| at(page, &format!("<bdi>{name}</bdi></h2>")));
    assert!(jupiter < venus);
    at(&page[venus..], "Stop at 07:31, whoever still waits");
    at(page, "end 07:30");
}
