//! The bands to expect at the tester, panels side by side.

use maud::html;

use crate::optics::bands::Cell;
use crate::plan::bands::{Bands, CELLS, Panel};
use crate::show::bands::stand::{stand, title};
use crate::show::picture::chart::{
    LETTER_HEIGHT, NAME_HEIGHT, NAME_Y, WHAT_Y, fitting, heading, px, sheet,
};
use crate::show::picture::lettering::{self, Anchor, Type, Weight};
use crate::show::picture::raster::Grey;

/// Cells across that make one pixel: edges of bands come out in greys instead of steps.
const CELLS_A_PIXEL: usize = 2;

/// Pixels of black around a mirror, so that a bright rim shows on white paper.
const RING: usize = 2;

/// Pixels across a mirror with its ring.
const SIDE: usize = CELLS / CELLS_A_PIXEL + 2 * RING;

/// Of a mirror on the drawing, in its units.
const SIDE_ON_PAPER: f64 = 320.0;

const GAP: f64 = 24.0;

const TOP: f64 = 70.0;

/// From the drawing's top to the line of the mirrors' names.
const NAMES_Y: f64 = TOP + SIDE_ON_PAPER + 26.0;

const HEIGHT: f64 = NAMES_Y + 20.0;

fn left_of(panel: usize) -> f64 {
    GAP + panel as f64 * (SIDE_ON_PAPER + GAP)
}

/// As SVG, each panel with its name.
pub fn svg(bands: &Bands) -> String {
    let width = left_of(bands.panels.len());
    let body = html! {
        (heading(&bands.name, &stand(bands), (GAP, width - 2.0 * GAP)))
        @for (idx, panel) in bands.panels.iter().enumerate() {
            image x=(px(left_of(idx))) y=(px(TOP)) width=(px(SIDE_ON_PAPER)) height=(px(SIDE_ON_PAPER))
                href=(mirror(panel).data_uri()) {}
            text x=(px(left_of(idx) + SIDE_ON_PAPER / 2.0)) y=(px(NAMES_Y)) text-anchor="middle" {
                (title(panel.shape))
            }
        }
    };
    sheet((width, HEIGHT), body)
}

/// As PNG: the same drawing in the size in which a mirror's pixels are the picture's.
pub fn png(bands: &Bands) -> Vec<u8> {
    let scale = SIDE as f64 / SIDE_ON_PAPER;
    let pixels = |units: f64| (units * scale).round() as usize;
    let width = left_of(bands.panels.len());
    let mut picture = Grey::white(pixels(width), pixels(HEIGHT));
    let mut write = |(x, y): (f64, f64), words: &str, look: Type| {
        let size_px = look.size_px * scale;
        let at = (x * scale, y * scale);
        lettering::write(&mut picture, at, words, Type { size_px, ..look });
    };
    let line = |words: &str, usual: f64, weight: Weight| Type {
        size_px: fitting(words, usual, width - 2.0 * GAP),
        weight,
        anchor: Anchor::Start,
    };
    let stand = stand(bands);
    let name = line(&bands.name, NAME_HEIGHT, Weight::Bold);
    write((GAP, NAME_Y), &bands.name, name);
    let what = line(&stand, LETTER_HEIGHT, Weight::Ordinary);
    write((GAP, WHAT_Y), &stand, what);
    let under = Type {
        size_px: LETTER_HEIGHT,
        weight: Weight::Ordinary,
        anchor: Anchor::Middle,
    };
    for (idx, panel) in bands.panels.iter().enumerate() {
        let middle = left_of(idx) + SIDE_ON_PAPER / 2.0;
        write((middle, NAMES_Y), title(panel.shape), under);
    }
    for (idx, panel) in bands.panels.iter().enumerate() {
        picture.lay(&mirror(panel), (pixels(left_of(idx)), pixels(TOP)));
    }
    picture.png()
}

/// One mirror, black around it as thin as a pen.
fn mirror(panel: &Panel) -> Grey {
    let mut picture = Grey::white(SIDE, SIDE);
    let middle = SIDE as f64 / 2.0;
    for y in 0..SIDE {
        for x in 0..SIDE {
            let (dx, dy) = (x as f64 + 0.5 - middle, y as f64 + 0.5 - middle);
            if dx.hypot(dy) < middle {
                picture.blacken(x, y);
            }
        }
    }
    for y in 0..SIDE - 2 * RING {
        for x in 0..SIDE - 2 * RING {
            if let Some(shade) = shade(panel, x, y) {
                picture.pixels[(y + RING) * SIDE + x + RING] = shade;
            }
        }
    }
    picture
}

/// Mean of the cells under a pixel; `None` where all are off the mirror.
fn shade(panel: &Panel, x: usize, y: usize) -> Option<u8> {
    let cells = (0..CELLS_A_PIXEL * CELLS_A_PIXEL).map(|idx| {
        let column = x * CELLS_A_PIXEL + idx % CELLS_A_PIXEL;
        let row = y * CELLS_A_PIXEL + idx / CELLS_A_PIXEL;
        panel.cells[row * CELLS + column]
    });
    let (mut bright, mut on_mirror) = (0, 0);
    for cell in cells {
        bright += usize::from(cell == Cell::Bright);
        on_mirror += usize::from(cell != Cell::Outside);
    }
    (on_mirror > 0).then(|| (255 * bright / (CELLS_A_PIXEL * CELLS_A_PIXEL)) as u8)
}
