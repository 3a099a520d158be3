//! `skyworthy session --sheets` as somebody types it.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Output;

use crate::cli::{folder, refuses, run_in, stderr};

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
            "2-Rowan.html",
            "3-Alder.html",
            "overview.html",
            "poster.html",
            "session.last.json"
        ]
    );
    let rowan = &before["2-Rowan.html"];
    assert!(at(rowan, "<bdi>Moon</bdi></h2>") < at(rowan, "<bdi>Saturn</bdi></h2>"));

    refuses(
        &session(folder.path(), &[]),
        &["`paper", "exists and is left alone", "--overwrite"],
    );
    assert_eq!(all(folder.path()), before);

    let notes = "[[telescope]]\nname = \"Rowan\"\nnote = \"mind the step\"\norder = [\"albireo\", \"saturn\", \"moon\"]\n\
                 [[telescope.turn]]\ntarget = \"saturn\"\nnote = \"show Titan\"\n";
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

#[test]
fn what_cannot_be_understood_is_named_and_nothing_is_written() {
    let folder = folder();
    fs::create_dir(folder.path().join("paper")).expect("made");
    let notes = folder.path().join("paper/session.notes.toml");
    for (text, parts) in [
        (
            "[[telescope]]\nname = \"Rowen\"\n",
            &["line 2", "did you mean Rowan?"][..],
        ),
        (
            "[[telescope]]\nname = \"Rowan\"\norder = [\"pluto\"]\n",
            &["line 3", "Rowan does not show pluto", "it shows"],
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
fn an_order_that_the_sky_forbids_is_named() {
    let folder = folder();
    fs::create_dir(folder.path().join("paper")).expect("made");
    let notes = "[[telescope]]\nname = \"Rowan\"\norder = [\"jupiter\", \"venus\"]\n";
    fs::write(folder.path().join("paper/session.notes.toml"), notes).expect("written");
    let args = [
        "session",
        "--on",
        "2026-12-17",
        "--window",
        "06:00-08:00",
        "--visitors",
        "20",
        "--want",
        "venus@Rowan",
        "--want",
        "jupiter@Rowan",
        "--telescope",
        "Rowan",
        "--sheets",
        "paper",
    ];
    let output = run_in(folder.path(), &args);
    assert!(output.status.success(), "{}", stderr(&output));
    let message = stderr(&output);
    let page = fs::read_to_string(folder.path().join("paper/1-Rowan.html")).expect("a sheet");
    at(
        &page,
        "Stop at 07:31, a quarter of an hour before sunrise (07:46)",
    );
    at(&page, "Stop at 07:31, whoever still waits");
    let overview =
        fs::read_to_string(folder.path().join("paper/overview.html")).expect("an overview");
    // Venus comes last in that order: its stop is named, on the page and to whoever typed it.
    let why = "Rowan: the order jupiter, venus is not kept: Venus can be looked at from 04:19 to 07:31 only";
    assert_eq!(message, format!("note: {why}\n"));
    at(&overview, why);
    // And the telescope is planned as if it had not been given: Venus first.
    assert!(at(&page, "<bdi>Venus</bdi></h2>") < at(&page, "<bdi>Jupiter</bdi></h2>"));
}
