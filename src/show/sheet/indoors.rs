//! When the whole sky is covered: the notice for the door, and three things to show in a room with what is at hand.

use maud::html;

use crate::plan::mirror::Class;
use crate::plan::session::{Session, Station, Summary};
use crate::show::session::wording;
use crate::show::words::{self, short};

use super::safety::{self, Stops};
use super::shell::{clipped, page};

/// For a room with a window: what burns and what blinds.
const CAUTIONS: [&str; 2] = [
    "A lamp, never the Sun and never a laser, in front of a mirror.",
    "Mirrors stay capped near windows: one in sunlight sets fire.",
];

/// A mirror longer than this in radius asks for a hall, m. Common practice, no source.
const LONGEST_ROOM_M: f64 = 5.0;

/// The page.
pub(super) fn indoors(session: &Session) -> String {
    let body = html! {
        h1 { "No stars tonight" }
        div.rows {
            @for line in notice(session) { p.big { (line) } }
        }
        // The door's notice is a leaf of its own.
        div style="break-before:page" {
            h1 { "Inside, with what is here" }
            p { "For the helpers." }
            @for (heading, lines) in demonstrations(session) {
                section.row {
                    h2 { (heading) }
                    @for line in lines { p { (line) } }
                }
            }
            div.manners style="--manners:14pt" { @for line in CAUTIONS { p { b { (line) } } } }
            (safety::safety_box(&Stops::default()))
        }
    };
    page(
        &format!("Indoors, {}", session.site_name),
        "poster indoors",
        body,
    )
}

/// `Public evening of Friday 12 February 2027, Terrace: cloud, no telescopes.`
fn notice(session: &Session) -> Vec<String> {
    let what = format!(
        "The public {} of {}, {}, has no telescopes: it is cloudy.",
        wording::part_of_night(session),
        wording::dated(session),
        clipped(&session.site_name, 60)
    );
    let other = session.decision.backup.map_or_else(
        || {
            String::from(
                "Another date is not settled yet: leave your name and you will hear of it.",
            )
        },
        |on| format!("The other date is {}.", words::date(on)),
    );
    vec![what, other]
}

/// Headings with what to do.
fn demonstrations(session: &Session) -> Vec<(&'static str, Vec<String>)> {
    let judged: Vec<(&Station, &Summary)> = (session.telescopes.iter())
        .filter_map(|station| Some((station, station.summary.as_ref().ok()?)))
        .collect();
    let shortest = judged
        .iter()
        .min_by(|a, b| a.1.focal_length_mm.total_cmp(&b.1.focal_length_mm));
    // A figure that was only assumed is nothing to show.
    let measured = judged
        .iter()
        .filter(|(_, summary)| summary.class != Class::ReadAgain);
    let best = measured.max_by(|a, b| a.1.strehl.total_cmp(&b.1.strehl));
    let best = best.or(judged.first());
    let mut all = Vec::new();
    if let Some((station, summary)) = shortest {
        all.push(("Bands in a mirror", bands(station, summary)));
    }
    if let Some((station, summary)) = best {
        all.push(("A warm hand before the mirror", warmth(station, summary)));
        all.push(("A star made of a pinhole", star(station)));
    }
    all
}

fn bands(station: &Station, summary: &Summary) -> Vec<String> {
    let radius_m = 2.0 * summary.focal_length_mm / 1000.0;
    let room = match LONGEST_ROOM_M < radius_m {
        true => "a hall or a corridor",
        false => "a darkened room",
    };
    vec![
        format!(
            "{}'s mirror ({}) on a stand in {room}, a small lamp and a grating {} m before it.",
            clipped(&station.name, 40),
            size(summary),
            short(radius_m)
        ),
        String::from(
            "Everybody looks once: straight bands are a sphere, bowed ones a mirror on its way to a paraboloid.",
        ),
        format!(
            "What they should see, to print before: skyworthy bands --telescope \"{}\" --output bands.svg",
            clipped(&station.name, 40)
        ),
    ]
}

fn warmth(station: &Station, summary: &Summary) -> Vec<String> {
    vec![
        format!(
            "{}'s mirror ({}) and the tester. A visitor holds a hand into the light before it, never on it: the warm \
             air over the palm streams up as smoke does. So does a night's air, and a warm mirror's.",
            clipped(&station.name, 40),
            size(summary)
        ),
        format!(
            "Its pictures beside it: skyworthy mirror --telescope \"{}\" --pictures pictures",
            clipped(&station.name, 40)
        ),
    ]
}

fn star(station: &Station) -> Vec<String> {
    vec![
        format!(
            "{} at one end of the longest corridor, a lamp behind a pinhole in foil at the other: in focus a point, on \
             both sides of it rings.",
            clipped(&station.name, 40)
        ),
        String::from(
            "The pictures of the star in and out of focus, made as above, say what the rings should look like.",
        ),
    ]
}

/// `150 mm f/8`
fn size(summary: &Summary) -> String {
    format!(
        "{:.0} mm f/{}",
        summary.aperture_mm,
        short(summary.focal_ratio)
    )
}
