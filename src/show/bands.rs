//! The bands to expect, in words and for machines.

use serde::Serialize;

use crate::plan::bands::Bands;
use crate::plan::bands::Panel;
use crate::show::json;
use crate::show::table::PAGE_COLUMNS;
use crate::show::words;
use crate::workshop::KnifeSource;

/// What to hold against the eyepiece of the tester when there is no picture.
pub fn text(bands: &Bands) -> String {
    let inside = bands.bench.offset_mm < 0.0;
    let lamp = match bands.bench.source {
        KnifeSource::Fixed => "lamp fixed at the centre of curvature",
        KnifeSource::Moving => "lamp and grating together, or lit through the grating itself",
    };
    let head = format!(
        "{}, {:.0} mm, centre of curvature {:.0} mm away; {} lines/mm, {:.1} mm {} it; {lamp}.",
        bands.name,
        bands.aperture_mm,
        bands.radius_of_curvature_mm,
        words::short(bands.bench.lines_per_mm),
        bands.bench.offset_mm.abs(),
        if inside { "inside" } else { "outside" },
    );
    let panels: String = bands.panels.iter().map(panel_text).collect();
    let look = format!(
        "Look for: the sphere's bands are straight and evenly spaced; {} the centre of curvature a paraboloid's \
         bow {}. At the rim a turned-down edge hooks the ends of the bands {}.",
        if inside { "inside" } else { "outside" },
        if inside {
            "outward in the middle, like a barrel"
        } else {
            "inward in the middle, like an hourglass"
        },
        if inside { "inward" } else { "outward" },
    );
    let soft = if bands.order_shear_mm > 0.1 * bands.aperture_mm {
        format!(
            "\n{}",
            words::wrapped(
                &format!(
                    "A grating as fine as this shows several images of the mirror, {:.0} mm apart: a coarser one \
                     gives cleaner bands.",
                    bands.order_shear_mm
                ),
                PAGE_COLUMNS,
                "  "
            )
        )
    } else {
        String::new()
    };
    format!(
        "{}\n\n{panels}\n{}{soft}\n{}\n{}\n",
        words::wrapped(&head, PAGE_COLUMNS, "  "),
        words::wrapped(&look, PAGE_COLUMNS, "  "),
        words::wrapped(
            "A picture: add --output bands.svg or bands.png.",
            PAGE_COLUMNS,
            "  "
        ),
        words::wrapped(
            "Take care: a lamp at the centre of curvature, never the Sun.",
            PAGE_COLUMNS,
            "  "
        ),
    )
}

fn panel_text(panel: &Panel) -> String {
    format!(
        "  {:26}{:.1} bands from rim to rim\n",
        panel.title, panel.periods_across
    )
}

#[derive(Serialize)]
struct BandsJson<'a> {
    name: &'a str,
    aperture_mm: f64,
    radius_of_curvature_mm: f64,
    lines_per_mm: f64,
    offset_mm: f64,
    source: &'static str,
    order_shear_mm: f64,
    mirrors: Vec<PanelJson<'a>>,
}

#[derive(Serialize)]
struct PanelJson<'a> {
    mirror: &'a str,
    periods_across: f64,
    borders_mm: &'a [f64],
}

/// The same for machines.
pub fn json(bands: &Bands) -> String {
    json::document(&BandsJson {
        name: &bands.name,
        aperture_mm: bands.aperture_mm,
        radius_of_curvature_mm: bands.radius_of_curvature_mm,
        lines_per_mm: bands.bench.lines_per_mm,
        offset_mm: bands.bench.offset_mm,
        source: match bands.bench.source {
            KnifeSource::Fixed => "fixed",
            KnifeSource::Moving => "moving",
        },
        order_shear_mm: bands.order_shear_mm,
        mirrors: (bands.panels.iter())
            .map(|panel| PanelJson {
                mirror: panel.title,
                periods_across: panel.periods_across,
                borders_mm: &panel.borders_mm,
            })
            .collect(),
    })
}
