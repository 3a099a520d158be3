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
    let glow =
        "no detail is called `omega_centauri`: did you mean `ngc5139_glow` or `ngc5139_stars`?";
    asked(&["reach", "--explain", "omega_centauri"], &[glow]);
    let seen = [
        "seen",
        "omega_centauri",
        "--telescope",
        "Rowan",
        "--by",
        "most",
    ];
    asked(
        &seen,
        &[
            "`omega_centauri` may be several things",
            "ngc5139_glow",
            "ngc5139_stars",
        ],
    );
    let dates = ["dates", "2027-02-01", "2027-02-03", "--wish"];
    asked(
        &[&dates[..], &["omega_centauri"]].concat(),
        &["nothing in the sky is called `omega_centauri`: did you mean `ngc5139`?"],
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
