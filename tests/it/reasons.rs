//! What stands beside the grades: nothing twice, nothing empty, and of the hour that was graded.

use chrono::NaiveDate;

use crate::support::larch_at;
use skyworthy::plan::night::{Night, Wish, night};
use skyworthy::show;
use skyworthy::show::words::why;
use skyworthy::sky::Body;
use skyworthy::sky::time::tt_days;
use skyworthy::targets::caption::{Caption, CaptionName};
use skyworthy::targets::conditions::{Told, Unmet, shows_tonight};
use skyworthy::targets::details::detail;
use skyworthy::targets::grade::{Grade, ThreeAirs};
use skyworthy::targets::limit::{Gain, Larger, Limit, Shortcoming, Why};
use skyworthy::targets::verdict::Verdict;

fn nights(n: usize, from: &str) -> impl Iterator<Item = Night> {
    let from: NaiveDate = from.parse().expect("a date");
    let workshop = larch_at(46.0, 12.0, "Europe/Rome", "");
    from.iter_days().take(n).map(move |on| {
        let wish = Wish {
            on,
            daylight: false,
        };
        night(&workshop, wish).expect("a night of this century")
    })
}

fn verdicts(night: &Night) -> impl Iterator<Item = &Verdict> {
    let telescope = &night.telescopes[0];
    let targets = telescope.targets.iter().chain(&telescope.beyond);
    targets.flat_map(|target| &target.verdicts)
}

/// The page's text without its line ends; cells of several lines run into their neighbours.
fn flowing(night: &Night) -> String {
    let page = show::night::page(night).text();
    println!("{page}");
    page.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Patient in good air, fleeting in typical.
fn patient_in_good_air(why: Why, instead: Option<Why>) -> Verdict {
    Verdict {
        caption: Caption {
            id: String::from("a_belt"),
            name: CaptionName::Said(String::from("A belt")),
            say: String::new(),
            among_stars: false,
        },
        during: Vec::new(),
        best_tt_days: None,
        view: 0,
        magnification: 100.0,
        view_in_good_air: None,
        margin: ThreeAirs {
            good: 0.5,
            typical: 0.1,
            poor: -1.0,
        },
        spread_dex: (0.0, 0.0),
        grade: ThreeAirs {
            good: Grade::Patient,
            typical: Grade::Fleeting,
            poor: Grade::Beyond,
        },
        limited_by: Limit::Air,
        why,
        instead,
    }
}

#[test]
fn beside_grades_stands_what_they_do_not_say() {
    let air = Why::Air {
        seeing_arcsec: 1.2,
        grade: Grade::Patient,
    };
    let larger = |grade| Why::Aperture {
        larger: Some(Larger {
            aperture_mm: 250.0,
            grade,
        }),
    };
    let beside = |why, instead| why::beside_grades(&patient_in_good_air(why, instead));
    assert_eq!(
        why::words(&air),
        "limited by the air: in 1.2\" air it is patient"
    );
    assert_eq!(beside(air, None), "the air");
    assert_eq!(
        beside(air, Some(larger(Grade::Patient))),
        "the air; in 250 mm it would be patient in typical air"
    );
    assert_eq!(
        beside(larger(Grade::Plain), None),
        "limited by aperture: in 250 mm it would be plain"
    );
    let figure = |then| Why::Figure { then };
    assert_eq!(
        beside(figure(Gain::Grade(Grade::Patient)), None),
        "limited by the figure: with a perfect mirror it would be patient in typical air"
    );
    assert_eq!(
        beside(figure(Gain::NotEnough), None),
        "limited by the figure, among other reasons"
    );
    let rare = Why::RareAir {
        below_arcsec: 1.2,
        grade: Grade::Plain,
    };
    assert_eq!(
        beside(rare, Some(larger(Grade::Plain))),
        "limited by the air: to be plain it needs nights below 1.2\"; in 250 mm it would be plain"
    );
}

#[test]
fn another_way_is_named_where_it_gains_and_the_air_is_the_reason() {
    let mut n_named = 0;
    for night in nights(8, "2026-12-14") {
        for verdict in verdicts(&night) {
            let (what, grade) = (&verdict.caption.id, verdict.grade);
            if let Some(instead) = &verdict.instead {
                n_named += 1;
                let of_air = matches!(verdict.why, Why::Air { .. } | Why::RareAir { .. });
                assert!(of_air, "{what}: {:?}", verdict.why);
                assert!(why::instead(instead).is_some(), "{what}: {instead:?}");
            }
            if let Some(view) = verdict.view_in_good_air {
                assert_ne!(view, verdict.view, "{what}");
                assert!(grade.typical < grade.good, "{what}: {grade:?}");
            }
        }
    }
    assert!(0 < n_named);
}

/// Over a lunation: what lies in the night when the Moon is best is told with the hours in which it does not, and no
/// reason is of another hour than the grade.
#[test]
fn nothing_on_the_moon_shows_in_its_night() {
    let mut n_later = 0;
    for night in nights(30, "2027-01-26") {
        let telescope = &night.telescopes[0];
        let mut targets = telescope.targets.iter();
        let Some(moon) = targets.find(|it| it.outlook.subject().body() == Some(Body::Moon)) else {
            continue;
        };
        let seen = moon.outlook.at_best.appearance().expect("it has a face");
        for verdict in &moon.verdicts {
            let what = (night.on, &verdict.caption.id);
            if let Why::Appearance {
                shortcoming:
                    Shortcoming::LowSun { sun_altitude_deg } | Shortcoming::HighSun { sun_altitude_deg },
                ..
            } = verdict.why
            {
                assert!(0.0 < sun_altitude_deg, "{what:?}: {sun_altitude_deg}");
            }
            let row = detail(&verdict.caption.id).expect("of the table");
            let at_best = shows_tonight(row, seen, &Told::default());
            if let Err(Unmet::NotOnTerminator {
                sun_altitude_deg, ..
            }) = at_best
                && sun_altitude_deg <= 0.0
            {
                n_later += 1;
                let best = tt_days(moon.outlook.best);
                assert!(!verdict.during.is_empty(), "{what:?}");
                assert!(verdict.during.iter().all(|span| !span.contains(best)));
            }
        }
    }
    assert!(0 < n_later);
}

#[test]
fn under_a_full_moon_walls_are_called_walls_and_asteroids_need_a_chart() {
    let night = nights(1, "2026-11-24").next().expect("one night");
    let flowing = flowing(&night);
    assert!(flowing.contains("Rays of Copernicus"));
    assert!(flowing.contains("beyond: walls and shadows of "));
    let n_lines_of_walls = flowing.matches("beyond: walls and shadows of ").count();
    assert_eq!(n_lines_of_walls, 1);
    assert!(flowing.contains("(among stars: with a chart)"));
    let stars: Vec<&str> = verdicts(&night)
        .filter(|verdict| verdict.caption.among_stars)
        .map(|verdict| verdict.caption.id.as_str())
        .collect();
    assert!(stars.contains(&"vesta") && !stars.contains(&"saturn_titan"));
    assert!(!stars.contains(&"jupiter_callisto"), "{stars:?}");
}

#[test]
fn who_climbs_on_after_the_evening_is_told() {
    let night = nights(1, "2026-12-03").next().expect("one night");
    let beyond = &night.telescopes[0].beyond;
    let latest = beyond.iter().map(|it| it.outlook.best).max();
    let (climbing, others): (Vec<_>, Vec<_>) =
        beyond.iter().partition(|it| it.outlook.still_climbing);
    assert!(!climbing.is_empty() && !others.is_empty());
    for target in climbing {
        let (outlook, place) = (&target.outlook, target.outlook.at_best.place());
        assert_eq!(Some(outlook.best), latest);
        assert!(place.azimuth_deg < 180.0, "in the east");
        let highest_deg = outlook.highest_deg.expect("of a place");
        assert!(place.altitude_deg + 10.0 <= highest_deg);
    }
    assert!(flowing(&night).contains("up, higher later"));
}
