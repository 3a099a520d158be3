//! Every command's JSON and four printed pages, letter by letter: the names are promised for good, so a
//! difference here is read twice.

use chrono::NaiveDate;

use crate::support::{printed_at, workshop_of};
use skyworthy::optics::instrument::Instrument;
use skyworthy::plan::bands::RonchiTest;
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::dates::{Audience, Dates, Wanted};
use skyworthy::plan::local::night_window;
use skyworthy::plan::night::{Night, Wish};
use skyworthy::plan::seen::Tick;
use skyworthy::plan::session::{Ask, Session, Want, session};
use skyworthy::show::seen::LogFile;
use skyworthy::show::sheet::{Printing, files};
use skyworthy::sky::earth::Place;
use skyworthy::workshop::log::{JudgedAir, SeenBy};
use skyworthy::workshop::{self, KnifeSource, SessionNotes, Workshop};
use skyworthy::{plan, show};

use super::check;

fn date(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

/// One telescope, so that a night's document can still be read.
pub fn lone_maker() -> Workshop {
    workshop_of(include_str!("../../../examples/lone-maker.toml"))
}

pub fn winter_night(workshop: &Workshop) -> Night {
    let wish = Wish {
        on: date("2027-02-12"),
        daylight: false,
    };
    plan::night::night(workshop, wish).expect("a night of this century")
}

#[test]
fn a_night_for_machines() {
    let night = winter_night(&lone_maker());
    check("night.json", &show::night::json(&night));
}

#[test]
fn mirrors_for_machines() {
    let answer = plan::mirror::mirrors(&workshop::example(), date("2026-11-25"));
    let answer = answer.expect("a year of planets");
    check("mirror.json", &show::mirror::json(&answer.mirrors));
}

#[test]
fn reach_for_machines() {
    let answer = plan::reach::reach(&workshop::example(), date("2026-12-17"));
    check("reach.json", &show::reach::json(&answer));
}

#[test]
fn a_detail_explained() {
    let id = "jupiter_red_spot";
    let workshop = workshop::example();
    let night = night_window(date("2027-02-12"), workshop.site.time_zone).expect("a night");
    let explained = plan::explain::detail_explained(&workshop, id, night.from);
    let explained = explained.expect("this century").expect("it is there");
    check("explain.json", &show::explain::json(&explained));
    let zone = workshop.site.time_zone;
    check("explain.txt", &show::explain::page(&explained, zone).text());
}

#[test]
fn bands_for_machines() {
    let workshop = workshop::example();
    let telescope = &workshop.telescopes[2];
    let instrument = Instrument::of(&workshop, telescope, date("2026-11-25")).expect("judged");
    let ronchi = RonchiTest {
        lines_per_mm: 4.0,
        offset_mm: -6.0,
        source: KnifeSource::Moving,
    };
    let bands = plan::bands::bands(telescope, &instrument, ronchi);
    check("bands.json", &show::bands::json(&bands));
}

#[test]
fn the_sky_for_machines() {
    let site = workshop::example().site;
    let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
    let at = "2026-12-01T20:00:00Z".parse().expect("an instant");
    let sky = plan::sky_now::sky_now(place, at).expect("an instant of this century");
    check("sky.json", &show::sky::json(&sky));
}

pub fn five_evenings(workshop: &Workshop) -> Dates {
    let time = |text: &str| text.parse().expect("a time");
    let wanted = Wanted {
        from: date("2027-02-18"),
        to: date("2027-02-22"),
        window: ClockWindow::new(time("19:30"), time("21:30")).expect("two hours"),
        audience: Audience::Public,
        telescopes: workshop.telescopes.iter().collect(),
        weekdays: Vec::new(),
    };
    plan::dates::dates(workshop, &wanted, &|_, _| ()).expect("five evenings")
}

#[test]
fn evenings_for_machines() {
    let found = five_evenings(&workshop::example());
    check("dates.json", &show::dates::json(&found));
}

#[test]
fn happenings_for_machines() {
    let all =
        plan::happenings::happenings(&workshop::example(), date("2026-08-10"), date("2026-09-05"));
    let all = all.expect("weeks of this century");
    check("happenings.json", &show::happenings::json(&all));
}

fn public_evening() -> Session {
    let ask = Ask {
        on: date("2027-02-12"),
        window: ClockWindow::said("19:30-22:00").expect("hours"),
        visitors: 120,
        slot_minutes: 15,
        first: None,
        telescopes: Vec::new(),
        wants: vec![Want {
            subject: String::from("m42"),
            telescope: None,
        }],
    };
    session(&workshop::example(), &ask).expect("an evening")
}

#[test]
fn a_public_evening_for_machines_and_on_paper() {
    let session = public_evening();
    check("session.json", &show::session::json(&session));
    let notes = SessionNotes::from_toml_bytes(
        b"[[telescope]]\nname = \"Rowan\"\nnote = \"red torch <below> the stair\"\n",
        "session.notes.toml",
    );
    let pages = files(&Printing {
        session: &session,
        notes: &notes.expect("notes"),
        unkept: &[],
        last: None,
        looks: &[],
        now: printed_at(),
    });
    let pages: Vec<_> = (pages.iter())
        .filter(|page| page.file.ends_with(".html"))
        .collect();
    assert_eq!(pages.len(), 6, "three stations, poster, overview, indoors");
    // The third station is made of nothing that the first two do not have.
    for page in pages.iter().filter(|page| !page.file.contains("Alder")) {
        check(&format!("page-{}", page.file), &page.text);
    }
}

#[test]
fn a_look_for_machines() {
    let workshop = workshop::example();
    let tick = Tick {
        at: "2027-02-12T20:30:00Z".parse().expect("an instant"),
        telescope: &workshop.telescopes[1],
        detail: "jupiter_north_belt",
        eyepiece: None,
        by: SeenBy::Most,
        air: Some(JudgedAir::Typical),
        note: "a child saw it first",
    };
    let ticked = plan::seen::ticked(&workshop, &tick).expect("a look");
    let file = LogFile {
        name: "seen.csv",
        unread: &[],
    };
    check("look.json", &show::seen::json::ticked(&ticked, &file, 1));
}
