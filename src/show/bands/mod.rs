//! The bands to expect, in words and for machines.

pub(super) mod stand;

use serde_json::{Value, json};

use crate::plan::bands::{Bands, Departure, Measured, Panel};
use crate::show::bands::stand::{side, stand, title};
use crate::show::page::{Block, Page, Table};
use crate::show::picture::bands::svg;
use crate::show::{json, words};
use crate::workshop::KnifeSource;

/// A shift of bands that an eye at the tester notices; common practice, no source.
const VISIBLE_PERIODS: f64 = 0.1;

/// A bow that no eye at the tester tells from a straight band, of the aperture; common practice, no source.
const STRAIGHT_SHARE: f64 = 0.0015;

/// From the page's edge to each column of the mirrors' table.
const LEFT_EDGES: [usize; 3] = [2, 28, 36];

/// What to hold against the eyepiece of the tester, with the picture where one can be drawn.
pub fn page(bands: &Bands) -> Page {
    let head = format!(
        "{}, {:.0} mm, centre of curvature {:.0} mm away: {}.",
        bands.name,
        bands.aperture_mm,
        bands.radius_of_curvature_mm,
        stand(bands)
    );
    let of_panel = |panel| panel_row(panel, STRAIGHT_SHARE * bands.aperture_mm);
    let rows = bands.panels.iter().map(of_panel).collect();
    let panels = Table::new(["", "bands", "a band half way out"], rows).fixed(&LEFT_EDGES);
    let paragraphs = [
        Some(of_this_mirror(bands)),
        Some(look_for(bands)),
        few_or_many_bands(bands),
        fine_grating(bands),
        Some(lit_through(bands)),
        (!bands.is_crowded()).then(|| {
            String::from(
                "A picture to hold against the eyepiece: add --output bands.svg or bands.png.",
            )
        }),
        Some(String::from(
            "Take care: a lamp at the centre of curvature, never the Sun.",
        )),
    ];
    Page::named(format!("The bands to expect of {}", bands.name))
        .with([Block::say(head), Block::Space, panels.into(), Block::Space])
        .with(paragraphs.into_iter().flatten().map(Block::say))
        .with((!bands.is_crowded()).then(|| Block::Picture(svg(bands))))
}

fn panel_row(panel: &Panel, straight_mm: f64) -> [String; 3] {
    let bow = match panel.bow_mm {
        None => String::from("turns off before the top"),
        Some(bow_mm) if bow_mm.abs() < straight_mm => String::from("straight"),
        Some(bow_mm) if bow_mm > 0.0 => format!("bows {bow_mm:.1} mm outward in the middle"),
        Some(bow_mm) => format!("bows {:.1} mm inward in the middle", -bow_mm),
    };
    let periods = format!("{:.1}", panel.periods_across);
    [String::from(title(panel.shape)), periods, bow]
}

fn of_this_mirror(bands: &Bands) -> String {
    match bands.measured {
        Measured::Shown(Departure {
            from_axis_mm,
            periods,
        }) => {
            let by = format!(
                "This mirror's bands leave the paraboloid's by {:.2} of a band at most, {from_axis_mm:.0} mm \
                 from the middle",
                periods.abs()
            );
            if periods.abs() < VISIBLE_PERIODS {
                format!("{by}: too little to see.")
            } else if bands.has_loops() {
                format!("{by}.")
            } else if periods > 0.0 {
                format!("{by}, outward.")
            } else {
                format!("{by}, inward.")
            }
        }
        Measured::NotGiven => {
            String::from("The figure of this mirror is not given: this is what to aim at.")
        }
        Measured::OneNumber => String::from(
            "One stated number does not tell a shape: there are no bands for this mirror itself.",
        ),
        Measured::NotAlikeAllAround => String::from(
            "This mirror is not alike all around, so that no one picture tells its bands: turn it under the \
             tester and see how they change.",
        ),
    }
}

fn look_for(bands: &Bands) -> String {
    let sphere = "Look for: the sphere's bands are straight and evenly spaced;";
    if bands.has_loops() {
        return format!(
            "{sphere} so near outside the centre of curvature some of a paraboloid's close into loops \
             and are hard to read: go inside, or {:.0} mm outside or more.",
            bands.clear_outside_mm.ceil()
        );
    }
    let (shape, hook) = if bands.ronchi.offset_mm < 0.0 {
        ("outward in the middle, like a barrel", "inward")
    } else {
        ("inward in the middle, like an hourglass", "outward")
    };
    format!(
        "{sphere} {} the centre of curvature a paraboloid's bow {shape}. At the rim a turned-down edge hooks the \
         ends of the bands {hook}.",
        side(bands)
    )
}

fn few_or_many_bands(bands: &Bands) -> Option<String> {
    let advice = if bands.is_crowded() {
        "More bands than an eye tells apart, or a picture shows: stand nearer to the centre of curvature, or take \
         a coarser grating."
    } else if bands.panels[0].periods_across < 2.0 {
        "Fewer than two bands tell little: stand farther off, or take a finer grating."
    } else {
        return None;
    };
    Some(String::from(advice))
}

fn fine_grating(bands: &Bands) -> Option<String> {
    (bands.order_shear_mm > 0.1 * bands.aperture_mm).then(|| {
        format!(
            "A grating as fine as this shows several images of the mirror, {:.0} mm apart: a coarser one gives \
             cleaner bands.",
            bands.order_shear_mm
        )
    })
}

fn lit_through(bands: &Bands) -> String {
    String::from(match bands.ronchi.source {
        KnifeSource::Moving => {
            "A tester lit through its own grating shows these bands, too, only softer."
        }
        KnifeSource::Fixed => {
            "A tester lit through its own grating is another case: --source moving."
        }
    })
}

/// The same for machines.
pub fn json(bands: &Bands) -> String {
    let (measured, departure) = match bands.measured {
        Measured::Shown(departure) => ("shown", Some(departure)),
        Measured::NotGiven => ("not-given", None),
        Measured::OneNumber => ("one-number", None),
        Measured::NotAlikeAllAround => ("not-alike-all-around", None),
    };
    json::document(json!({
        "name": bands.name,
        "aperture_mm": bands.aperture_mm,
        "radius_of_curvature_mm": bands.radius_of_curvature_mm,
        "lines_per_mm": bands.ronchi.lines_per_mm,
        "offset_mm": bands.ronchi.offset_mm,
        "source": bands.ronchi.source,
        "order_shear_mm": words::rounded(bands.order_shear_mm, 3),
        "clear_outside_mm": words::rounded(bands.clear_outside_mm, 2),
        "measured": measured,
        "departure": departure.map(departure_json),
        "mirrors": bands.panels.iter().map(panel_json).collect::<Value>(),
    }))
}

fn departure_json(departure: Departure) -> Value {
    json!({
        "from_axis_mm": words::rounded(departure.from_axis_mm, 1),
        "periods": words::rounded(departure.periods, 4),
    })
}

fn panel_json(panel: &Panel) -> Value {
    let rounded = |at_mm: &f64| words::rounded(*at_mm, 2);
    json!({
        "mirror": title(panel.shape),
        "periods_across": words::rounded(panel.periods_across, 4),
        "bow_mm": panel.bow_mm.as_ref().map(rounded),
        "borders_mm": panel.borders_mm.iter().map(rounded).collect::<Value>(),
    })
}
