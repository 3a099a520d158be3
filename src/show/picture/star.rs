//! The image of a star beside that of a perfect mirror.

use maud::html;

use crate::plan::pictures::{PictureHeading, Star};
use crate::show::picture::axis::tick_words;
use crate::show::picture::caveat;
use crate::show::picture::chart::{WIDTH, heading, px, sheet};
use crate::show::picture::raster::Grey;

const SIDE: f64 = 320.0;

const MARGIN: f64 = 30.0;

const TOP: f64 = 66.0;

/// The star this mirror shows beside the perfect one's, to one scale: white on black, the square root
/// of brightness so that the rings show.
pub fn star(subject: &PictureHeading, star: &Star) -> String {
    let what = format!(
        "a star in still air; shaded by the root of brightness{}",
        caveat(subject.basis)
    );
    let right = WIDTH - MARGIN - SIDE;
    let panels = [
        (MARGIN, &star.this_mirror, "this mirror"),
        (right, &star.perfect, "a perfect mirror"),
    ];
    let bar_arcsec = round_length(0.4 * star.half_width_arcsec * 2.0);
    let bar = bar_arcsec / (2.0 * star.half_width_arcsec) * SIDE;
    let below = TOP + SIDE + 26.0;
    let body = html! {
        (heading(&subject.name, &what, (MARGIN, WIDTH - 2.0 * MARGIN)))
        @for (left, image, title) in panels {
            image x=(px(left)) y=(px(TOP)) width=(px(SIDE)) height=(px(SIDE))
                href=(grey(star.pixels, image).data_uri()) {}
            text x=(px(left)) y=(px(below)) { (title) }
            path d=(format!("M{} {}v-8m0 4h{}m0 -4v8", px(left + SIDE - bar), px(below), px(bar)))
                fill="none" stroke="black" stroke-width="1.5" {}
            text x=(px(left + SIDE - bar / 2.0)) y=(px(below + 18.0)) text-anchor="middle" {
                (tick_words(bar_arcsec)) " arcsec"
            }
        }
    };
    sheet((WIDTH, below + 32.0), body)
}

fn grey(pixels: usize, image: &[f64]) -> Grey {
    let shade = |brightness: &f64| (255.0 * brightness.clamp(0.0, 1.0).sqrt()).round() as u8;
    Grey {
        width: pixels,
        height: pixels,
        pixels: image.iter().map(shade).collect(),
    }
}

/// The largest of 1, 2 and 5 times a power of ten that is no longer.
fn round_length(longest: f64) -> f64 {
    let power = 10f64.powf(longest.log10().floor());
    let factor = [5.0, 2.0].into_iter().find(|f| f * power <= longest);
    factor.unwrap_or(1.0) * power
}
