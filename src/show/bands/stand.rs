//! What stands on the bench, for the page of bands and for their picture.

use crate::plan::bands::{Bands, MirrorShape};
use crate::show::words;
use crate::workshop::KnifeSource;

/// What stands on the bench: grating, place, lamp.
pub(in crate::show) fn stand(bands: &Bands) -> String {
    format!(
        "{} lines/mm, {:.1} mm {} the centre of curvature; {}",
        words::short(bands.ronchi.lines_per_mm),
        bands.ronchi.offset_mm.abs(),
        side(bands),
        match bands.ronchi.source {
            KnifeSource::Fixed => "lamp fixed at the centre of curvature",
            KnifeSource::Moving => "lamp moving with the grating",
        }
    )
}

/// Of the centre of curvature.
pub(in crate::show) fn side(bands: &Bands) -> &'static str {
    if bands.ronchi.offset_mm < 0.0 {
        "inside"
    } else {
        "outside"
    }
}

/// What mirror a picture shows.
pub(in crate::show) fn title(shape: MirrorShape) -> &'static str {
    match shape {
        MirrorShape::Sphere => "a sphere",
        MirrorShape::Paraboloid => "the paraboloid wanted",
        MirrorShape::Measured => "this mirror as measured",
    }
}
