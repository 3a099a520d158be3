//! The bands to expect at the tester, panels side by side.

use maud::html;

use crate::optics::bands::Cell;
use crate::plan::bands::{Bands, CELLS, Panel};
use crate::show::bands::stand::{stand, title};
use crate::show::picture::chart::{heading, px, sheet};
use crate::show::picture::lettering;
use crate::show::picture::raster::Grey;

/// Cells across that make one pixel: edges of bands come out in greys instead of steps.
const CELLS_A_PIXEL: usize = 2;

/// Pixels of black around a mirror, so that a bright rim shows on white paper.
const RING: usize = 2;

/// Pixels across a mirror with its ring.
const SIDE: usize = CELLS / CELLS_A_PIXEL + 2 * RING;

/// As SVG, each panel with its name.
pub fn svg(bands: &Bands) -> String {
    const SIDE_ON_PAPER: f64 = 320.0;
    const GAP: f64 = 24.0;
    let left_of = |idx: usize| GAP + idx as f64 * (SIDE_ON_PAPER + GAP);
    let width = left_of(bands.panels.len());
    let top = 70.0;
    let below = top + SIDE_ON_PAPER + 26.0;
    let body = html! {
        (heading(&bands.name, &stand(bands), (GAP, width - 2.0 * GAP)))
        @for (idx, panel) in bands.panels.iter().enumerate() {
            image x=(px(left_of(idx))) y=(px(top)) width=(px(SIDE_ON_PAPER)) height=(px(SIDE_ON_PAPER))
                href=(mirror(panel).data_uri()) {}
            text x=(px(left_of(idx) + SIDE_ON_PAPER / 2.0)) y=(px(below)) text-anchor="middle" {
                (title(panel.shape))
            }
        }
    };
    sheet((width, below + 20.0), body)
}

/// As PNG, words in capitals.
pub fn png(bands: &Bands) -> Vec<u8> {
    const GAP: usize = 36;
    const ENLARGED: usize = 3;
    let width = bands.panels.len() * (SIDE + GAP) + GAP;
    let mut picture = Grey::white(width, SIDE + 190);
    lettering::write(&mut picture, (GAP, 30), &bands.name, ENLARGED);
    lettering::write(&mut picture, (GAP, 70), &stand(bands), 2);
    for (idx, panel) in bands.panels.iter().enumerate() {
        let left = GAP + idx * (SIDE + GAP);
        picture.lay(&mirror(panel), (left, 110));
        let indent = SIDE.saturating_sub(lettering::width_of(title(panel.shape), ENLARGED)) / 2;
        let at = (left + indent, SIDE + 135);
        lettering::write(&mut picture, at, title(panel.shape), ENLARGED);
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
