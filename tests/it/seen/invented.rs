//! The report on an invented log, letter by letter, and what is in its JSON.

use serde_json::Value;
use skyworthy::plan::record::record;
use skyworthy::show::seen::LogFile;
use skyworthy::workshop::log::Log;
use skyworthy::{show, workshop};

use crate::golden;

/// Nights of an invented spring on which less was seen than promised.
fn invented() -> Log {
    let mut text = String::from(
        "at_utc,telescope,detail,eyepiece,by,air,note,seeing_arcsec,margin_dex,margin_steadier_dex,\
         margin_rougher_dex,doubt_dex,observer_margin_dex,grade\n",
    );
    let kinds = [
        (
            "Rowan,jupiter_north_belt,10 mm",
            "1.03,1.1,0.92,0.05,0,plain",
        ),
        (
            "Rowan,jupiter_north_temperate_belt,6 mm",
            "0.33,0.44,0.18,0.14,0,patient",
        ),
        (
            "Hazel,jupiter_south_temperate_belt,6 mm",
            "0.45,0.58,0.27,0.14,0,patient",
        ),
        (
            "Hazel,mars_north_cap_summer,6 mm",
            "0.38,0.6,0.1,0.12,0,patient",
        ),
        ("Rowan,mars_sirenum,6 mm", "0.16,0.36,-0.1,0.1,0,fleeting"),
        ("Hazel,saturn_cassini,6 mm", "-0.05,0.2,-0.4,0.1,0,beyond"),
    ];
    let answers = ["most", "helper", "some", "some", "none", "none"];
    for night in 0..6 {
        for (idx, (what, promised)) in kinds.iter().enumerate() {
            let day = 2 + 5 * night;
            let by = match (night + idx) % 5 {
                0 if idx == 3 => "helper",
                1 if idx == 4 => "helper",
                _ => answers[idx],
            };
            text.push_str(&format!(
                "2027-03-{day:02}T20:{idx}0:00Z,{what},{by},typical,,2.2,{promised}\n"
            ));
        }
    }
    text.push_str("2027-03-27T21:10:00Z,Rowan,jupiter_flattening,10 mm,alone,,by hand,,,,,,,\n");
    text.push_str("2027-03-27T21:20:00Z,Rowan,saturn_encke_minimum,,none,poor,,3.5,,,,,0,absent\n");
    text.push_str("2027-03-27T21:25:00Z,Rowan,jupiter_fl\n");
    Log::of_bytes(text.as_bytes()).expect("a log")
}

#[test]
fn the_report_letter_by_letter() {
    let log = invented();
    let workshop = workshop::example();
    let record = record(&workshop, &log.looks).expect("a record");
    let file = LogFile {
        name: "seen.csv",
        unread: &log.unread,
    };
    let text = show::seen::record(&record, &file, workshop.site.time_zone).text();
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    golden::check("seen.txt", &text);
    golden::check("seen.json", &show::seen::json::record(&record, &file));
}

#[test]
fn the_report_before_there_are_enough_looks() {
    let log = invented();
    let workshop = workshop::example();
    let record = record(&workshop, &log.looks[..9]).expect("a record");
    let file = LogFile {
        name: "seen.csv",
        unread: &[],
    };
    let text = show::seen::record(&record, &file, workshop.site.time_zone).text();
    assert!(
        text.contains("From 20 on 3 nights a correction is worked out."),
        "{text}"
    );
    assert!(!text.contains("margin_dex ="), "{text}");
}

#[test]
fn the_report_for_machines() {
    let log = invented();
    let record = record(&workshop::example(), &log.looks).expect("a record");
    let file = LogFile {
        name: "seen.csv",
        unread: &log.unread,
    };
    let json: Value =
        serde_json::from_str(&show::seen::json::record(&record, &file)).expect("JSON");
    assert_eq!(json["looks"], 38);
    assert_eq!(json["nights"], 6);
    assert_eq!(json["unpromised"], 1);
    assert_eq!(json["unread"][0]["line"], 40);
    assert_eq!(json["telescopes"][0]["name"], "Hazel");
    let cassini = &json["telescopes"][0]["details"][2];
    assert_eq!(cassini["id"], "saturn_cassini");
    assert_eq!(cassini["promised"]["beyond"], 6);
    assert_eq!(cassini["seen"]["none"], 6);
    assert_eq!(json["promises"][0]["grade"], "plain");
    assert_eq!(json["promises"][0]["by_most"]["seen"], 6);
    let found = &json["correction"]["found"];
    assert_eq!(found["differs"], true);
    let number = |name: &str| found[name].as_f64().expect("a number");
    assert!(number("margin_low_dex") < number("margin_dex"));
    assert!(number("margin_dex") < 0.0 && 1.0 < number("seeing_factor"));
    assert!(number("proposed_margin_dex") < 0.0);
}
