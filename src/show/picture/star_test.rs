//! A star inside and outside focus, a perfect mirror's between them.

use maud::html;

use crate::plan::pictures::{OutOfFocus, PictureHeading};
use crate::show::picture::caveat;
use crate::show::picture::chart::{WIDTH, heading, px, sheet};
use crate::show::picture::raster::Grey;
use crate::show::words;

const MARGIN: f64 = 24.0;

const GAP: f64 = 15.0;

const SIDE: f64 = (WIDTH - 2.0 * MARGIN - 2.0 * GAP) / 3.0;

const TOP: f64 = 66.0;

const LINE: f64 = 19.0;

/// Letters that fit the sheet.
const COLUMNS: usize = 84;

/// Three patches of light to one scale and one brightness, and what to compare.
pub fn star_test(subject: &PictureHeading, test: &OutOfFocus) -> String {
    let what = format!(
        "a star out of focus, in still air; shaded by the root of brightness{}",
        caveat(subject.basis)
    );
    let brightest = [&test.inside, &test.outside, &test.perfect]
        .into_iter()
        .flatten()
        .fold(1e-12, |most, brightness| brightness.max(most));
    let panels = [
        (
            &test.inside,
            "this mirror, inside focus",
            "nearer to the mirror",
        ),
        (&test.perfect, "a perfect mirror", "alike on both sides"),
        (
            &test.outside,
            "this mirror, outside focus",
            "farther from the mirror",
        ),
    ];
    let left_of = |idx: usize| MARGIN + idx as f64 * (SIDE + GAP);
    let below = TOP + SIDE + 22.0;
    let notes = words::wrapped(&notes(test), COLUMNS, "");
    let notes_top = below + 2.0 * LINE + 10.0;
    let body = html! {
        (heading(&subject.name, &what, (MARGIN, WIDTH - 2.0 * MARGIN)))
        @for (idx, (image, title, place)) in panels.into_iter().enumerate() {
            image x=(px(left_of(idx))) y=(px(TOP)) width=(px(SIDE)) height=(px(SIDE))
                href=(grey(test.pixels, image, brightest).data_uri()) {}
            text x=(px(left_of(idx))) y=(px(below)) font-weight="bold" { (title) }
            text x=(px(left_of(idx))) y=(px(below + LINE)) { (place) }
        }
        @for (idx, line) in notes.lines().enumerate() {
            text x=(px(MARGIN)) y=(px(notes_top + LINE * idx as f64)) { (line) }
        }
    };
    let height = notes_top + LINE * notes.lines().count() as f64;
    sheet((WIDTH, height), body)
}

fn notes(test: &OutOfFocus) -> String {
    format!(
        "Move the eyepiece by {:.1} mm from best focus either way ({:.0} waves). {} Compare only when the mirror has cooled, \
         is collimated and the air is steady.",
        test.travel_mm,
        test.waves,
        compared(test.rim_inside_over_outside)
    )
}

/// The look of the outermost ring says on which side of the paraboloid a mirror is.
fn compared(rim_inside_over_outside: f64) -> &'static str {
    match rim_inside_over_outside {
        ratio if SHOWS < ratio => {
            "The outermost ring is brighter inside focus: the rim is too high for the middle, as in a mirror that is \
             corrected too little."
        }
        ratio if ratio < 1.0 / SHOWS => {
            "The outermost ring is brighter outside focus: the rim is too low for the middle, as in a mirror that is \
             corrected too much or has a turned edge."
        }
        _ => "The rings are about alike on both sides, as a perfect mirror's.",
    }
}

fn grey(pixels: usize, image: &[f64], brightest: f64) -> Grey {
    let shade =
        |brightness: &f64| (255.0 * (brightness / brightest).clamp(0.0, 1.0).sqrt()).round() as u8;
    Grey {
        width: pixels,
        height: pixels,
        pixels: image.iter().map(shade).collect(),
    }
}

/// Of two rings side by side, the brighter is seen to be so; from memory, no source.
const SHOWS: f64 = 1.25;
