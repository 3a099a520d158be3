//! Names and ids at the command line: one telescope by its name, and what somebody who misspells is asked.

use serde_json::Value;

use crate::cli::{folder, run_in, stderr, stdout};

#[track_caller]
fn asked(args: &[&str], parts: &[&str]) {
    let output = run_in(folder().path(), args);
    let message = stderr(&output);
    assert!(!output.status.success(), "{args:?}");
    for part in parts {
        assert!(message.contains(part), "want {part} in {message}");
    }
}

#[test]
fn ids_that_were_probably_meant() {
    let several = [
        "`omega_centauri` may be several things",
        "ngc5139_glow",
        "ngc5139_stars",
    ];
    asked(&["reach", "--explain", "omega_centauri"], &several);
    let tick = ["--telescope", "Rowan", "--by", "most"];
    asked(&[&["seen", "omega_centauri"], &tick[..]].concat(), &several);
    let dates = ["dates", "2027-02-01", "2027-02-03", "--wish"];
    asked(
        &[&dates[..], &["omega_centuari"]].concat(),
        &["nothing in the sky is called `omega_centuari`: did you mean `ngc5139`?"],
    );
    asked(
        &[&dates[..], &["double"]].concat(),
        &["`double` may be several things"],
    );
    asked(
        &["reach", "--explain", "jupiter_red_spto"],
        &["did you mean `jupiter_red_spot`?", "jupiter has "],
    );
    let session = [
        "session",
        "--on",
        "2027-02-12",
        "--window",
        "19:30-22:00",
        "--visitors",
        "40",
        "--want",
        "jupitre",
    ];
    asked(
        &session,
        &["nothing to look at is called `jupitre`: did you mean `jupiter`?"],
    );
    // Nothing is near: no guess.
    let kitchen = run_in(folder().path(), &["reach", "--explain", "kitchen_sink"]);
    assert!(!stderr(&kitchen).contains("did you mean"));
}

/// Wherever something is asked for it may be called as it is printed, and the answer is that of its id.
#[test]
fn what_is_printed_may_be_said() {
    let same = |named: &[&str], by_id: &[&str]| {
        let [named, by_id] = [named, by_id].map(|args| {
            let output = run_in(folder().path(), args);
            assert!(output.status.success(), "{args:?}: {}", stderr(&output));
            stdout(&output)
        });
        assert_eq!(named, by_id);
    };
    let explain = |what| ["reach", "--on", "2027-02-12", "--explain", what];
    same(&explain("Great Red Spot"), &explain("jupiter_red_spot"));
    same(&explain("Cassini Div"), &explain("saturn_cassini"));
    let wish = |what| ["dates", "2027-02-01", "2027-02-03", "--wish", what];
    same(&wish("Orion Nebula (M 42)"), &wish("m42"));
    same(&wish("red spot"), &wish("jupiter_red_spot"));
    let want = |what| {
        let evening = "session --on 2027-02-12 --window 19:30-21:00 --visitors 40 --want";
        evening.split(' ').chain([what]).collect::<Vec<_>>()
    };
    same(&want("Pleiades@Rowan"), &want("m45@Rowan"));
    same(&want("MOON"), &want("moon"));
}

#[test]
fn one_mirror_by_its_name() {
    let run = |args: &[&str]| run_in(folder().path(), args);
    let one = run(&["mirror", "--telescope", "Rowan", "--json"]);
    let all = run(&["mirror", "--json"]);
    let read = |output| serde_json::from_str::<Value>(&stdout(output)).expect("JSON");
    let (one, all) = (read(&one), read(&all));
    let rows = |answer: &Value| answer["telescopes"].as_array().expect("telescopes").clone();
    assert_eq!(rows(&one).len(), 1);
    assert_eq!(rows(&one)[0], rows(&all)[1]);
    let text = stdout(&run(&["mirror", "--telescope", "Rowan"]));
    assert!(text.contains("Rowan") && !text.contains("Hazel"), "{text}");
    asked(
        &["mirror", "--telescope", "Rowen"],
        &[
            "no telescope is called `Rowen`: did you mean `Rowan`?",
            "Hazel, Rowan, Alder",
        ],
    );
}
