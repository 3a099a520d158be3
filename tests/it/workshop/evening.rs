//! `[session]`, the marks of the horizon and who stands at a telescope: what they say, and what wrong ones are told.

use skyworthy::workshop::{EveningRules, Helper, Stand, template};

use super::{assumed, good, read, site, table, telescope};

/// Keys of `[session]`.
pub const SETTLED: [&str; 8] = [
    "seconds_per_look",
    "minimum_stay_minutes",
    "most_changes",
    "arrive",
    "gather",
    "decide_at",
    "backup_on",
    "leader",
];

#[test]
fn the_evening_of_the_template_can_be_uncommented() {
    let mut text = template().replace("# [session]", "[session]");
    for key in SETTLED {
        assert!(text.contains(&format!("# {key} = ")), "{key}");
        text = text.replace(&format!("# {key} = "), &format!("{key} = "));
    }
    let evening = good(&text).evening;
    assert!(evening.gather.is_some() && evening.leader.is_some());
    // What is shown is what is taken.
    let usual = EveningRules {
        gather: None,
        decide_at: None,
        backup_on: None,
        leader: None,
        ..evening
    };
    assert_eq!(usual, EveningRules::default());
}

#[test]
fn nothing_need_be_said() {
    let workshop = good(&site(""));
    assert_eq!(workshop.evening, EveningRules::default());
    assert_eq!(workshop.telescopes[0].stand, Stand::default());
    assert!(workshop.site.marks.is_empty());
    assert_eq!(assumed(&workshop, "session.most_changes"), None);
}

#[test]
fn what_is_settled_for_an_evening() {
    let workshop = good(&table(
        "[session]",
        "seconds_per_look = 45\nmost_changes = 2\ngather = \"18:45\"\nbackup_on = 2027-02-19\nleader = \"Who leads\"",
    ));
    let evening = &workshop.evening;
    assert_eq!(evening.seconds_per_look, 45.0);
    assert_eq!(
        (evening.minimum_stay_minutes, evening.most_changes),
        (30, 2)
    );
    assert_eq!(
        evening.gather.map(|time| time.to_string()).as_deref(),
        Some("18:45:00")
    );
    assert_eq!(evening.decide_at, None);
    assert_eq!(
        evening.backup_on.map(|on| on.to_string()).as_deref(),
        Some("2027-02-19")
    );
    assert_eq!(evening.leader.as_deref(), Some("Who leads"));
    assert_eq!(
        assumed(&workshop, "session.minimum_stay_minutes").as_deref(),
        Some("30")
    );
    let marks = "marks = [ { azimuth_deg = 360, name = \"chimney\" }, { azimuth_deg = 135, name = \"bell tower\" } ]";
    let site = good(&site(marks)).site;
    let marks: Vec<_> = site
        .marks
        .iter()
        .map(|mark| (mark.azimuth_deg, mark.name.as_str()))
        .collect();
    assert_eq!(marks, [(0.0, "chimney"), (135.0, "bell tower")]);
    let workshop = good(&telescope(
        "aperture_mm = 150\nfocal_length_mm = 1200\nhelper = \"new\"\nstation = \"by the wall\"\nfor_children = true",
    ));
    assert_eq!(
        workshop.telescopes[0].stand,
        Stand {
            helper: Helper::New,
            station: Some("by the wall".to_string()),
            low_eyepiece: false,
            for_children: true,
        }
    );
}

#[track_caller]
fn check(text: &str, place: &str, parts: &[&str]) {
    let message = read(text).expect_err("should be refused").to_string();
    let flat = message.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.starts_with(place), "want {place} first in: {message}");
    for part in parts {
        assert!(flat.contains(part), "want {part} in: {message}");
    }
}

#[test]
fn what_wrong_lines_are_told() {
    let settled = |line: &str| table("[session]", line);
    check(
        &settled("seconds_per_look = 5"),
        "elm.toml, line 5: seconds_per_look = 5 is outside 15 to 300 s",
        &["45 to 60 is usual"],
    );
    check(
        &settled("gather = \"half past seven\""),
        "elm.toml, line 5: gather = \"half past seven\" is no time of day",
        &["gather = \"19:00\""],
    );
    check(
        &settled("gather = 1900"),
        "elm.toml, line 5: gather = 1900 should be text in quotes",
        &[],
    );
    check(
        &settled("most_changes = 2.5"),
        "elm.toml, line 5: most_changes = 2.5 should be a whole number",
        &[],
    );
    check(
        &settled("looks = 3"),
        "elm.toml, line 5: looks is not known in [session]",
        &["seconds_per_look", "leader"],
    );
    check(
        &site("marks = [ { azimuth_deg = 400, name = \"mast\" } ]"),
        "elm.toml, line 4: azimuth_deg = 400 is outside 0 to 360 degrees",
        &["true north"],
    );
    check(
        &site("marks = [ { azimuth_deg = 40 } ]"),
        "elm.toml, line 4: marks needs name",
        &["bell tower"],
    );
    let scope = |line: &str| {
        telescope(&format!(
            "aperture_mm = 150\nfocal_length_mm = 1200\n{line}"
        ))
    };
    check(
        &scope("helper = \"expert\""),
        "elm.toml, line 7: helper = \"expert\" is not known",
        &["helper = \"practised\""],
    );
    check(
        &scope("low_eyepiece = \"yes\""),
        "elm.toml, line 7: low_eyepiece = \"yes\" should be true or false",
        &[],
    );
    check(
        &site("seconds_per_look = 50"),
        "elm.toml, line 4: seconds_per_look is not known in [site]",
        &["belongs under [session]"],
    );
}
