//! `skyworthy seen` as somebody types it.

use std::fs;
use std::path::Path;
use std::process::Output;

use serde_json::Value;

use crate::cli::{A_LOOK, folder, refuses, run_in, stderr, stdout};

const EVENING: &str = "2027-02-20T22:30:00Z";

fn seen(folder: &Path, more: &[&str]) -> Output {
    let with_time = more.contains(&"--at");
    let at: &[&str] = if with_time { &[] } else { &["--at", EVENING] };
    run_in(folder, &[&A_LOOK[..], at, more].concat())
}

#[test]
fn a_look_is_logged_and_reported() {
    let folder = folder();
    let path = folder.path().join("seen.csv");
    let first = seen(
        folder.path(),
        &[
            "--air",
            "poor",
            "--eyepiece",
            "10 mm",
            "--note",
            "=cmd(), \"loud\"\nqueue",
        ],
    );
    assert!(first.status.success(), "{}", stderr(&first));
    for part in [
        "Rowan, 10 mm: ",
        "20 February 2027 23:30",
        "seen by most",
        "in poor air: plain",
        "Look 1 in seen.csv",
    ] {
        assert!(
            stdout(&first).replace("\n  ", " ").contains(part),
            "`{part}`: {}",
            stdout(&first)
        );
    }
    let before = fs::read_to_string(&path).expect("a log");
    assert!(
        before.contains(",\"'=cmd(), \"\"loud\"\"\\nqueue\","),
        "{before}"
    );

    let second = seen(folder.path(), &["--json"]);
    let json: Value = serde_json::from_slice(&second.stdout).expect("JSON");
    assert_eq!(
        (&json["looks"], &json["grade"]),
        (&Value::from(2), &Value::from("plain"))
    );
    assert_eq!(json["log"], "seen.csv");
    assert!(
        fs::read_to_string(&path)
            .expect("a log")
            .starts_with(&before)
    );

    let report = run_in(folder.path(), &["seen", "--report"]);
    assert!(report.status.success(), "{}", stderr(&report));
    for part in [
        "2 looks on 1 night",
        "Rowan",
        "plain 2",
        "From 20 on 3 nights",
    ] {
        assert!(
            stdout(&report).replace("\n  ", " ").contains(part),
            "`{part}`: {}",
            stdout(&report)
        );
    }
    let json = run_in(folder.path(), &["seen", "--report", "--json"]);
    let json: Value = serde_json::from_slice(&json.stdout).expect("JSON");
    assert_eq!(json["telescopes"][0]["details"][0]["seen"]["most"], 2);
    assert_eq!(
        fs::read_dir(folder.path()).expect("a folder").count(),
        1,
        "no other file"
    );
}

#[test]
fn the_log_stands_beside_the_workshop_file_and_that_is_never_written() {
    let folder = folder();
    fs::create_dir(folder.path().join("club")).expect("made");
    let file = folder.path().join("club/workshop.toml");
    let text = "[site]\nlatitude_deg = 46.3\nlongitude_deg = 13.1\ntime_zone = \"Europe/Rome\"\n[observer]\nmargin_dex = 0.1\n\
         [[telescope]]\nname = \"Larch\"\naperture_mm = 150\nfocal_length_mm = 1200\n";
    fs::write(&file, text).expect("written");
    let args = [
        "seen",
        "jupiter_north_belt",
        "--by",
        "none",
        "--at",
        "2027-02-20 23:30",
        "--workshop",
        "club/workshop.toml",
    ];
    let output = run_in(folder.path(), &args);
    assert!(output.status.success(), "{}", stderr(&output));
    let log = fs::read_to_string(folder.path().join("club/seen.csv")).expect("a log");
    assert!(
        log.contains("\n2027-02-20T22:30:00Z,Larch,jupiter_north_belt,,none,,,2.200,"),
        "{log}"
    );
    assert!(log.ends_with(",0.100,plain\n"), "{log}");
    assert_eq!(fs::read_to_string(&file).expect("there"), text);
    assert!(!stdout(&output).contains("example workshop"));
}

#[test]
fn what_was_meant_wrongly_is_said_and_nothing_is_logged() {
    let folder = folder();
    let refused = |args: &[&str], parts: &[&str]| {
        refuses(&run_in(folder.path(), args), parts);
        assert!(!folder.path().join("seen.csv").exists(), "{args:?}");
    };
    let all = [&A_LOOK[..], &["--at", EVENING]].concat();
    let with = |idx: usize, word| {
        let mut args = all.clone();
        args[idx] = word;
        args
    };
    refused(
        &with(1, "jupiter_moustache"),
        &[
            "no detail is called `jupiter_moustache`",
            "jupiter_north_belt",
        ],
    );
    refused(
        &with(3, "Rowen"),
        &["did you mean `Rowan`?", "Hazel, Rowan, Alder"],
    );
    refused(&with(5, "many"), &["most, some, helper, alone, none"]);
    refused(&with(7, "half past nine"), &["21:40", "2026-12-01 21:40"]);
    refused(&with(7, "2026-10-25 02:30"), &["came twice", "+01:00"]);
    refused(&with(7, "2026-03-29 02:30"), &["never came"]);
    refused(
        &with(7, "2027-02-20T12:00:00Z"),
        &["Jupiter was", "below the horizon", "--at"],
    );
    refused(&with(7, "1949-02-20T22:00:00Z"), &["1950 to 2100"]);
    refused(
        &[&all[..], &["--eyepiece", "15 mm"]].concat(),
        &["Rowan has no such eyepiece", "10 mm + 2x"],
    );
    refused(
        &[&all[..], &["--air", "fine"]].concat(),
        &["good, typical, poor"],
    );
    refused(
        &[
            "seen",
            "jupiter_north_belt",
            "--by",
            "most",
            "--at",
            EVENING,
        ],
        &["which telescope", "Hazel, Rowan, Alder"],
    );
    refused(&["seen"], &["DETAIL", "--by"]);
    refused(&["seen", "jupiter_north_belt", "--report"], &["--report"]);
    refused(&[&all[..], &["--log", "."]].concat(), &["`.`"]);
    refused(
        &[&all[..], &["--log", "no/such/seen.csv"]].concat(),
        &["nothing was added to `no/such/seen.csv`"],
    );
    refused(
        &["seen", "--report", "--log", "."],
        &["cannot read the log `.`"],
    );

    fs::write(folder.path().join("mine.csv"), "a,b\n1,2\n").expect("written");
    refused(
        &[&all[..], &["--log", "mine.csv"]].concat(),
        &["`mine.csv` is no log of looks", "at_utc"],
    );
    refused(
        &["seen", "--report", "--log", "mine.csv"],
        &["no log of looks"],
    );
    assert_eq!(
        fs::read_to_string(folder.path().join("mine.csv")).expect("there"),
        "a,b\n1,2\n"
    );

    let empty = run_in(folder.path(), &["seen", "--report"]);
    assert_eq!(empty.status.code(), Some(1));
    assert!(stdout(&empty).starts_with("No looks in seen.csv yet."));
}

#[test]
fn a_torn_line_is_kept_and_named() {
    let folder = folder();
    let path = folder.path().join("seen.csv");
    assert!(seen(folder.path(), &[]).status.success());
    let whole = fs::read(&path).expect("a log");
    let torn = &whole[..whole.len() - 30];
    fs::write(&path, torn).expect("written");
    let output = seen(folder.path(), &[]);
    assert!(output.status.success(), "{}", stderr(&output));
    assert!(stdout(&output).contains("no looks"), "{}", stdout(&output));
    assert!(fs::read(&path).expect("a log").starts_with(torn));
    let report = stdout(&run_in(folder.path(), &["seen", "--report"]));
    assert!(
        report.contains("1 look on 1 night") && report.contains("line 2: it has"),
        "{report}"
    );
}

/// A limit on the size of files stands in for a full disk: the system takes a part of the line and
/// then refuses.
#[cfg(unix)]
#[test]
fn on_a_full_disk_nothing_is_half_written() {
    let folder = folder();
    let path = folder.path().join("seen.csv");
    let command = |blocks: usize| {
        format!(
            "trap '' XFSZ; ulimit -f {blocks}; exec {} seen jupiter_north_belt --telescope Rowan --by most --at {EVENING}",
            env!("CARGO_BIN_EXE_skyworthy")
        )
    };
    let run = |blocks| {
        let mut shell = std::process::Command::new("sh");
        let shell = shell
            .args(["-c", &command(blocks)])
            .current_dir(folder.path());
        shell.output().expect("a shell")
    };
    let mut refused = None;
    for n in 1..30 {
        let before = fs::read(&path).unwrap_or_default();
        // Of 512 or 1024 bytes, as the shell has it.
        let output = run(1);
        let after = fs::read(&path).expect("a log");
        if output.status.success() {
            assert_eq!(after.iter().filter(|byte| **byte == b'\n').count(), n + 1);
            continue;
        }
        refuses(
            &output,
            &["nothing was added to `seen.csv`", "log this one again"],
        );
        assert_eq!(after, before, "cut back to what it was");
        assert!(
            !after.len().is_multiple_of(512),
            "there was room for a part of the line"
        );
        refused = Some(n);
        break;
    }
    assert!(refused.is_some_and(|n| 1 < n), "{refused:?}");
    assert!(run(100).status.success(), "and with room again it goes on");
}

#[test]
fn two_programs_at_once() {
    let folder = folder();
    let writer = |_| {
        let folder = folder.path().to_path_buf();
        std::thread::spawn(move || {
            (0..12).for_each(|_| assert!(seen(&folder, &[]).status.success()));
        })
    };
    let writers: Vec<_> = (0..2).map(writer).collect();
    for writer in writers {
        writer.join().expect("all were logged");
    }
    let text = fs::read_to_string(folder.path().join("seen.csv")).expect("a log");
    assert_eq!(text.lines().count(), 1 + 24);
    let lines: std::collections::BTreeSet<&str> = text.lines().skip(1).collect();
    assert_eq!(lines.len(), 1, "all alike");
}
