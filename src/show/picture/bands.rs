//! The bands to expect at the tester, panels side by side.

use maud::html;

use crate::optics::bands::Cell;
use crate::plan::bands::Bands;
use crate::plan::bands::PIXELS;
use crate::plan::bands::Panel;
use crate::show::picture::raster::Grey;
use crate::show::words;

/// White between panels.
const GAP: usize = 30;

/// As SVG, each panel with its name.
pub fn svg(bands: &Bands) -> String {
    let width = bands.panels.len() * (PIXELS + GAP) + GAP;
    let height = PIXELS + 110;
    let title = format!(
        "{}: {} lines/mm, {:.1} mm {} the centre of curvature",
        bands.name,
        words::short(bands.bench.lines_per_mm),
        bands.bench.offset_mm.abs(),
        if bands.bench.offset_mm < 0.0 {
            "inside"
        } else {
            "outside"
        }
    );
    let picture = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {width} {height}"))
            font-family="sans-serif" font-size="20" {
            rect width="100%" height="100%" fill="white" {}
            text x=(GAP) y="34" { (title) }
            @for (idx, panel) in bands.panels.iter().enumerate() {
                @let left = GAP + idx * (PIXELS + GAP);
                g transform=(format!("translate({left} 55)")) {
                    circle cx=(PIXELS / 2) cy=(PIXELS / 2) r=(PIXELS / 2) fill="black" {}
                    path d=(bright_runs(panel)) stroke="white" stroke-width="1.05" fill="none" {}
                    circle cx=(PIXELS / 2) cy=(PIXELS / 2) r=(PIXELS / 2) fill="none" stroke="black" {}
                    text x=(PIXELS / 2) y=(PIXELS + 32) text-anchor="middle" { (panel.title) }
                }
            }
        }
    };
    picture.into_string() + "\n"
}

/// Every run of bright cells as a horizontal stroke.
fn bright_runs(panel: &Panel) -> String {
    let mut path = String::new();
    for (y, row) in panel.cells.chunks(PIXELS).enumerate() {
        let mut x = 0;
        while x < PIXELS {
            let length = row[x..]
                .iter()
                .take_while(|cell| **cell == Cell::Bright)
                .count();
            if length > 0 {
                path.push_str(&format!("M{x} {y}.5h{length}"));
            }
            x += length.max(1);
        }
    }
    path
}

/// As PNG, without words: the panels from left to right as in `bands.panels`.
pub fn png(bands: &Bands) -> Vec<u8> {
    let width = bands.panels.len() * (PIXELS + GAP) + GAP;
    let height = PIXELS + 2 * GAP;
    let mut pixels = vec![255u8; width * height];
    for (idx, panel) in bands.panels.iter().enumerate() {
        let left = GAP + idx * (PIXELS + GAP);
        for (cell_idx, cell) in panel.cells.iter().enumerate() {
            let (x, y) = (left + cell_idx % PIXELS, GAP + cell_idx / PIXELS);
            pixels[y * width + x] = match cell {
                Cell::Dark => 0,
                // A shade off white, so that the mirror's rim shows.
                Cell::Bright => 235,
                Cell::Outside => 255,
            };
        }
    }
    Grey {
        width,
        height,
        pixels,
    }
    .png()
}
