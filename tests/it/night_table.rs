//! A night at a glance: its table is that of the details, for every telescope, in 80 columns, however many there are.

use crate::golden::answers::winter_night;
use crate::support::workshop_of;
use skyworthy::plan::night::{Night, TelescopeNight};
use skyworthy::targets::by_grade::ByGrade;
use skyworthy::targets::verdict::Grade;
use skyworthy::{show, workshop};

/// The example's telescopes several times over, under these names.
fn night_of(names: &[&str]) -> Night {
    let mut workshop = workshop::example();
    let usual = workshop.telescopes.clone();
    let named = names.iter().zip(usual.iter().cycle()).map(|(name, one)| {
        let mut one = one.clone();
        one.name = name.to_string();
        one
    });
    workshop.telescopes = named.collect();
    winter_night(&workshop)
}

#[test]
fn the_table_counts_the_details_of_every_telescope() {
    let night = winter_night(&workshop::example());
    for (idx, telescope) in night.telescopes.iter().enumerate() {
        for target in telescope.targets.iter().chain(&telescope.beyond) {
            let subject = target.outlook.subject();
            let row = (night.table.iter()).find(|row| row.outlook.subject() == subject);
            let row = row.expect("a row for every target of any telescope");
            let typical = target.verdicts.iter().map(|it| it.grade.typical);
            assert_eq!(row.by_grade[idx], Some(ByGrade::of(typical)), "{subject:?}");
            assert_eq!(row.outlook.best, target.outlook.best);
        }
    }
    // What is only known by a chart says so: the asteroids, and Neptune where its disc is no surer.
    let charted: Vec<String> = (night.table.iter())
        .filter(|row| row.needs_a_chart)
        .map(|row| row.outlook.subject().id().to_string())
        .collect();
    let is_charted = |id: &str| charted.iter().any(|known| known == id);
    assert!(is_charted("neptune") && is_charted("vesta"), "{charted:?}");
    assert!(!is_charted("saturn") && !is_charted("m31"), "{charted:?}");
    // Each subject once; whoever is not given a target of the evening is asked for it all the same.
    let ids: Vec<String> = (night.table.iter())
        .map(|row| row.outlook.subject().id().to_string())
        .collect();
    let mut once = ids.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), ids.len(), "{ids:?}");
    assert!(
        night
            .table
            .iter()
            .all(|row| row.by_grade.iter().all(Option::is_some))
    );
    let only_some_are_given = night.table.iter().any(|row| {
        let subject = row.outlook.subject();
        let is_given = |it: &&TelescopeNight| {
            let mut all = it.targets.iter().chain(&it.beyond);
            all.any(|target| target.outlook.subject() == subject)
        };
        night.telescopes.iter().filter(is_given).count() < night.telescopes.len()
    });
    assert!(only_some_are_given, "else this night tries nothing");
}

/// A larger mirror of as good a figure never has a worse word: Hazel's 200 mm and Rowan's spherical 150 mm.
#[test]
fn the_better_telescope_has_the_better_word() {
    let night = winter_night(&workshop::example());
    let names: Vec<&str> = night.telescopes.iter().map(|it| it.name.as_str()).collect();
    assert_eq!(names[..2], ["Hazel", "Rowan"]);
    let words: Vec<(Grade, Grade)> = (night.table.iter())
        .filter_map(|row| Some((row.by_grade[0]?.grade(), row.by_grade[1]?.grade())))
        .collect();
    assert!(
        words.iter().all(|(hazel, rowan)| rowan <= hazel),
        "{words:?}"
    );
    assert!(words.iter().any(|(hazel, rowan)| rowan < hazel));
}

/// Readings in metres instead of millimetres.
#[test]
fn a_telescope_that_cannot_be_judged_has_a_column_of_strokes() {
    let workshop = workshop_of(
        "[site]\nlatitude_deg = 43.2\nlongitude_deg = -2.9\n[[telescope]]\nname = \"Plane\"\n\
         aperture_mm = 150\nradius_of_curvature_mm = 2400\n[telescope.figure]\nkind = \"knife-edge\"\n\
         source = \"fixed\"\nzones = [\n\
         { inner_mm = 0, outer_mm = 53, readings_mm = [0.0001] },\n\
         { inner_mm = 53, outer_mm = 75, readings_mm = [0.0013] } ]\n\
         [[telescope]]\naperture_mm = 150\nfocal_length_mm = 1200\n",
    );
    let night = winter_night(&workshop);
    let page = show::night::overview(&night).text();
    let moon = page.lines().find(|line| line.starts_with("  Moon "));
    let cells: Vec<&str> = moon.expect("the Moon").split_whitespace().collect();
    assert_eq!(cells[2..4], ["-", "plain"], "{page}");
    let table = json(&night)["table"].clone();
    assert!(table[0]["telescopes"][0]["grade"].is_null());
    assert_eq!(table[0]["telescopes"][1]["grade"], "plain");
    assert!(table[0]["telescopes"][1]["details"]["plain"].as_u64() > Some(20));
}

fn json(night: &Night) -> serde_json::Value {
    serde_json::from_str(&show::night::json(night)).expect("JSON")
}

/// Nine of them in three tables; names too long for a column are letters, and stand beside them below.
#[test]
fn however_many_and_however_called_it_fits_the_page() {
    let long = "The sixty-letter telescope of the school that lies on the hill";
    for names in [
        &["A"; 1][..],
        &["one", "two", "three", "four", "five"],
        &["1", "2", "3", "4", "5", "6", "7", "8", "9"],
        &["Hazel", long, "<Al>, 'der' & ; =x"],
    ] {
        let night = night_of(names);
        let page = show::night::overview(&night).text();
        assert!(
            page.lines().all(|line| line.chars().count() <= 80),
            "{page}"
        );
        let heads: Vec<Vec<&str>> = (page.lines())
            .filter_map(|line| line.trim_start().strip_prefix("best at"))
            .map(|names| names.split_whitespace().collect())
            .collect();
        assert_eq!(heads.len(), names.len().div_ceil(4), "{page}");
        assert!(
            heads.iter().all(|head| (1..=4).contains(&head.len())),
            "{page}"
        );
        let all = heads.concat();
        match names.contains(&long) {
            true => assert_eq!(all, ["A", "B", "C"]),
            false => assert_eq!(all, names),
        }
        assert!(
            names
                .iter()
                .all(|name| page.contains(&name[..name.len().min(30)])),
            "{page}"
        );
        let n_moons = page
            .lines()
            .filter(|line| line.starts_with("  Moon  "))
            .count();
        // In each table, and once with its hours.
        assert_eq!(n_moons, heads.len() + 1, "{page}");
    }
}

#[test]
fn what_all_telescopes_share_is_said_once() {
    let night = winter_night(&workshop::example());
    for page in [show::night::overview(&night), show::night::page(&night)] {
        let text = page.text();
        assert_eq!(text.matches("Low Sun, and until when").count(), 1, "{text}");
    }
    let (short, whole) = (
        show::night::overview(&night).text(),
        show::night::page(&night).text(),
    );
    assert!(!short.contains("Cassini Division") && whole.contains("Cassini Division"));
    assert!(3 * short.lines().count() < whole.lines().count());
}
