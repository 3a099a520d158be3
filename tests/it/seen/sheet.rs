//! `seen` with names as they are printed, and with a sheet's worth of looks.

use std::fs;
use std::path::Path;
use std::process::Output;

use serde_json::Value;

use crate::cli::{folder, refuses, run_in, stderr, stdout};

fn seen(folder: &Path, said: &str, more: &[&str]) -> Output {
    let usual = ["--telescope", "Rowan", "--by", "most"];
    run_in(folder, &[&["seen", said], &usual[..], more].concat())
}

fn json(output: &Output) -> Value {
    assert!(output.status.success(), "{}", stderr(output));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

#[test]
fn names_are_taken_as_they_are_printed() {
    let folder = folder();
    for (said, at, id) in [
        (
            "Great Red Spot 20:59-22:00",
            "2027-02-12 21:30",
            "jupiter_red_spot",
        ),
        (
            "JÚPITER: north equ",
            "2027-02-12 21:30",
            "jupiter_north_belt",
        ),
        (
            "Ring Nebula (M 57), its glow",
            "2026-12-17 18:30",
            "m57_glow",
        ),
        ("Albireo, 34.6\" apart", "2026-12-17 18:30", "albireo"),
        // Listed by `night --on 2027-02-12`.
        (
            "Vesta, asteroid of magnitude 8.2",
            "2027-02-12 20:00",
            "vesta",
        ),
    ] {
        let look = json(&seen(folder.path(), said, &["--at", at, "--json"]));
        assert_eq!(look["detail"], id, "{said}");
        assert!(look["grade"].is_string(), "{look}");
    }
    let before = fs::read(folder.path().join("seen.csv")).expect("a log");
    refuses(
        &seen(folder.path(), "mare", &["--at", "2027-02-12 20:00"]),
        &[
            "`mare` may be several things",
            "Mare Crisium (moon_mare_crisium)",
            "and 5 more",
        ],
    );
    refuses(
        &seen(folder.path(), "b2", &["--at", "2027-02-12 20:00"]),
        &["`b2` is a row of a printed sheet", "--sheet"],
    );
    assert_eq!(
        fs::read(folder.path().join("seen.csv")).expect("a log"),
        before
    );
}

#[test]
fn the_spot_is_turned_away_and_not_unstated() {
    let folder = folder();
    let stated = "[site]\nlatitude_deg = 46.3\nlongitude_deg = 13.1\ntime_zone = \"Europe/Rome\"\n\
                  [jupiter]\nred_spot_longitude_deg = 95\nred_spot_on = 2027-02-01\n\
                  [[telescope]]\nname = \"Rowan\"\naperture_mm = 150\nfocal_length_mm = 1200\n";
    fs::write(folder.path().join("stated.toml"), stated).expect("written");
    let mut away = 0;
    for hour in 19..24 {
        let at = format!("2027-02-12 {hour}:00");
        for more in [
            &["--at", &at, "--json"][..],
            &["--at", &at, "--json", "--workshop", "stated.toml"],
        ] {
            let look = json(&seen(folder.path(), "jupiter_red_spot", more));
            if let Some(why) = look["absent"].as_str() {
                assert_eq!(why, "it is on the side turned away from us");
                away += 1;
            }
        }
    }
    assert!((1..10).contains(&away), "{away} of 10");
}

#[test]
fn a_cluster_is_one_row_of_the_report() {
    let folder = folder();
    for said in ["m3_glow", "M 3, its stars"] {
        json(&seen(
            folder.path(),
            said,
            &["--at", "2027-02-13 02:00", "--json"],
        ));
    }
    let report = stdout(&run_in(folder.path(), &["seen", "--report"]));
    assert_eq!(report.matches("\n  M 3 ").count(), 1, "{report}");
    let report = json(&run_in(folder.path(), &["seen", "--report", "--json"]));
    let details = &report["telescopes"][0]["details"];
    assert_eq!(details.as_array().map(Vec::len), Some(1));
    assert_eq!(
        details[0]["ids"],
        serde_json::json!(["m3_glow", "m3_stars"])
    );
    assert_eq!(
        (&details[0]["id"], &details[0]["looks"]),
        (&"m3_glow".into(), &2.into())
    );
}

/// A pipe into which nobody writes would never end.
#[cfg(unix)]
#[test]
fn a_pipe_is_no_log() {
    let folder = folder();
    let made = std::process::Command::new("mkfifo")
        .arg(folder.path().join("pipe"))
        .status();
    assert!(made.expect("mkfifo").success());
    for args in [
        &["seen", "--report", "--log", "pipe"][..],
        &[
            "seen",
            "titan",
            "--telescope",
            "Rowan",
            "--by",
            "most",
            "--log",
            "pipe",
        ],
    ] {
        refuses(
            &run_in(folder.path(), args),
            &["cannot read the log `pipe`: it is no ordinary file"],
        );
    }
}

/// Prints an evening's sheets and gives the table of looks.
fn printed(folder: &Path) -> String {
    let evening = [
        "session",
        "--on",
        "2027-02-12",
        "--window",
        "19:00-22:00",
        "--visitors",
        "120",
        "--sheets",
        "paper",
    ];
    let output = run_in(folder, &evening);
    assert!(output.status.success(), "{}", stderr(&output));
    fs::read_to_string(folder.join("paper/looks.csv")).expect("a table")
}

/// The table with an answer in the row of that telescope and code.
fn filled(table: &str, answers: &[(&str, &str)]) -> String {
    let mut lines: Vec<String> = table.lines().map(String::from).collect();
    for (row, by) in answers {
        let line = lines
            .iter_mut()
            .find(|line| line.starts_with(&format!("{row},")));
        let line = line.unwrap_or_else(|| panic!("no {row} in {table}"));
        // After the fifth comma of a line without quotes the answer begins.
        assert!(!line.contains('"'), "{line}");
        let at = line
            .match_indices(',')
            .nth(5)
            .map(|(at, _)| at + 1)
            .expect("a column");
        line.insert_str(at, by);
    }
    lines.join("\r\n") + "\r\n"
}

fn sheet(folder: &Path, more: &[&str]) -> Output {
    run_in(folder, &[&["seen", "--sheet", "paper"], more].concat())
}

#[test]
fn every_promise_of_the_plan_has_a_row_and_its_code_is_on_the_sheet() {
    let folder = folder();
    let table = printed(folder.path());
    let evening = [
        "session",
        "--on",
        "2027-02-12",
        "--window",
        "19:00-22:00",
        "--visitors",
        "120",
        "--json",
    ];
    let plan = json(&run_in(folder.path(), &evening));
    let mut n_rows = 0;
    for (idx, station) in plan["telescopes"]
        .as_array()
        .expect("telescopes")
        .iter()
        .enumerate()
    {
        let name = station["name"].as_str().expect("a name");
        let page = fs::read_to_string(folder.path().join(format!("paper/{}-{name}.html", idx + 1)));
        let page = page.expect("a sheet");
        let mut of_station = table
            .lines()
            .filter(|line| line.starts_with(&format!("{name},")));
        for (turn, letter) in station["turns"]
            .as_array()
            .expect("turns")
            .iter()
            .zip('a'..)
        {
            let others = turn["others"].as_array().expect("others");
            let mut ids: Vec<&str> = others
                .iter()
                .map(|it| it["id"].as_str().expect("an id"))
                .collect();
            ids.push(turn["look_for"]["id"].as_str().expect("an id"));
            assert!(page.contains(&format!("{letter}1 ")), "{name} {letter}1");
            for number in 1..=ids.len() {
                let line = of_station.next().expect("a row a promise");
                assert!(
                    line.starts_with(&format!("{name},{letter}{number},")),
                    "{line}"
                );
                let fields: Vec<&str> = line.split(',').collect();
                let id = fields[fields.len() - 2];
                assert!(ids.contains(&id), "{id} of {ids:?}");
                n_rows += 1;
            }
        }
        assert_eq!(of_station.next(), None);
    }
    assert!(20 < n_rows && n_rows + 1 == table.lines().count());
}

#[test]
fn a_filled_table_goes_into_the_log_once() {
    let folder = folder();
    let table = printed(folder.path());
    let answers = [("Hazel,a1", "most"), ("Hazel,a2", "n"), ("Rowan,a1", "Y")];
    let file = folder.path().join("paper/looks.csv");
    fs::write(&file, filled(&table, &answers)).expect("written");
    let first = sheet(folder.path(), &["--air", "good"]);
    assert!(first.status.success(), "{}", stderr(&first));
    assert!(
        stdout(&first).starts_with("3 looks kept in seen.csv.\n"),
        "{}",
        stdout(&first)
    );
    let log = fs::read_to_string(folder.path().join("seen.csv")).expect("a log");
    assert_eq!(log.lines().count(), 4);
    assert!(
        log.contains(",Hazel,saturn_titan,10 mm,none,good,"),
        "{log}"
    );

    let answers = [
        ("Hazel,a1", "some"),
        ("Hazel,a2", "none"),
        ("Rowan,a1", "most"),
        ("Rowan,a2", "helper"),
    ];
    fs::write(&file, filled(&table, &answers)).expect("written");
    let again = json(&sheet(folder.path(), &["--json"]));
    assert_eq!(again["kept"].as_array().map(Vec::len), Some(1));
    assert_eq!(
        (&again["kept"][0]["row"], &again["kept"][0]["by"]),
        (&"a2".into(), &"helper".into())
    );
    let already = again["already"].as_array().expect("those before");
    assert_eq!(already.len(), 3);
    assert_eq!(
        (&already[0]["by"], &already[0]["by_in_log"]),
        (&"some".into(), &"most".into())
    );
    assert_eq!(again["unanswered"], table.lines().count() - 5);
    let after = fs::read_to_string(folder.path().join("seen.csv")).expect("a log");
    assert!(after.starts_with(&log) && after.lines().count() == 5);
    let words = stdout(&sheet(folder.path(), &[]));
    assert!(words.starts_with("Nothing new for seen.csv.\n"), "{words}");
    assert!(words.contains("as most, which stays"), "{words}");
}

#[test]
fn whole_or_nothing() {
    let folder = folder();
    let table = printed(folder.path());
    let file = folder.path().join("paper/looks.csv");
    let good = filled(
        &table,
        &[
            ("Hazel,a1", "most"),
            ("Hazel,a2", "most"),
            ("Hazel,a3", "most"),
        ],
    );
    let refused = |text: &str, parts: &[&str]| {
        fs::write(&file, text).expect("written");
        refuses(&sheet(folder.path(), &[]), parts);
        assert!(!folder.path().join("seen.csv").exists(), "{parts:?}");
    };
    refused(
        &good.replacen(",saturn_titan,", ",saturn_titam,", 1),
        &[
            "nothing was logged",
            "line 3: no detail is called `saturn_titam`",
        ],
    );
    refused(
        &good.replacen("Hazel,a3", "Hazle,a3", 1),
        &["line 4: no telescope is called `Hazle`"],
    );
    refused(
        &good.replacen(
            ",most,,,10 mm,saturn_ring",
            ",perhaps,,,10 mm,saturn_ring",
            1,
        ),
        &["line 2: by is `perhaps`, none of most"],
    );
    refused(
        &good.replacen("detail", "things", 1),
        &["has not one column `detail`"],
    );
    refuses(
        &sheet(folder.path(), &["--note", "x"]),
        &["are of one look"],
    );
    fs::remove_file(&file).expect("removed");
    refuses(
        &sheet(folder.path(), &[]),
        &["there is no `paper/looks.csv`"],
    );

    fs::write(&file, &table).expect("written");
    let nothing = sheet(folder.path(), &[]);
    assert_eq!(nothing.status.code(), Some(1));
    assert!(stdout(&nothing).starts_with("Nothing is filled in in paper/looks.csv yet.\n"));
}

#[test]
fn one_row_of_a_sheet() {
    let folder = folder();
    printed(folder.path());
    let row = |more: &[&str]| {
        run_in(
            folder.path(),
            &[&["seen", "a1", "--sheet", "paper"], more].concat(),
        )
    };
    refuses(
        &row(&["--by", "most"]),
        &["several telescopes have a row a1", "Hazel, Rowan"],
    );
    refuses(&row(&["--telescope", "Hazel"]), &["who saw it?"]);
    let kept = json(&row(&[
        "--by",
        "some",
        "--telescope",
        "Hazel",
        "--note",
        "windy",
        "--json",
    ]));
    assert_eq!(
        (&kept["kept"][0]["detail"], &kept["kept"][0]["note"]),
        (&"saturn_ring".into(), &"windy".into())
    );
    let missing = run_in(
        folder.path(),
        &["seen", "z9", "--sheet", "paper", "--by", "most"],
    );
    refuses(&missing, &["no row of these sheets is called `z9`"]);
}

/// What was filled in is never lost: carried over into the new print, or in the way of another evening's.
#[test]
fn printing_again_keeps_the_answers() {
    let folder = folder();
    let table = printed(folder.path());
    let file = folder.path().join("paper/looks.csv");
    fs::write(&file, filled(&table, &[("Hazel,a1", "most")])).expect("written");
    let again = |on: &str| {
        let args = [
            "session",
            "--on",
            on,
            "--window",
            "19:00-22:00",
            "--visitors",
            "120",
            "--sheets",
            "paper",
            "--overwrite",
        ];
        run_in(folder.path(), &args)
    };
    assert!(again("2027-02-12").status.success());
    let text = fs::read_to_string(&file).expect("a table");
    assert!(
        text.contains("Hazel,a1,Saturn,The ring,19:00,19:45,most,"),
        "{text}"
    );
    refuses(
        &again("2027-03-12"),
        &[
            "paper/looks.csv",
            "1 answer of another evening",
            "move it away",
        ],
    );
    assert_eq!(fs::read_to_string(&file).expect("a table"), text);
}
