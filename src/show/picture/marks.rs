//! Small marks along curves, told apart in black and white: one shape a body.

use maud::{Markup, html};

use crate::show::picture::chart::px;
use crate::sky::Body;

/// Half the height of a mark.
const SIZE: f64 = 4.4;

/// The mark of a body at a point of the paper.
pub(super) fn mark(body: Body, (x, y): (f64, f64)) -> Markup {
    match body {
        Body::Sun | Body::Moon => round((x, y), SIZE + 1.0, "white"),
        Body::Mercury => shape((x, y), &TRIANGLE_DOWN, "white"),
        Body::Venus => shape((x, y), &DIAMOND, "white"),
        Body::Mars => shape((x, y), &TRIANGLE, "black"),
        Body::Jupiter => round((x, y), SIZE, "black"),
        Body::Saturn => shape((x, y), &SQUARE, "black"),
        Body::Uranus => shape((x, y), &SQUARE, "white"),
        Body::Neptune => shape((x, y), &TRIANGLE, "white"),
    }
}

type Corners = [(f64, f64)];

const TRIANGLE: [(f64, f64); 3] = [(0.0, -1.2), (1.1, 0.8), (-1.1, 0.8)];

const TRIANGLE_DOWN: [(f64, f64); 3] = [(0.0, 1.2), (1.1, -0.8), (-1.1, -0.8)];

const DIAMOND: [(f64, f64); 4] = [(0.0, -1.3), (1.1, 0.0), (0.0, 1.3), (-1.1, 0.0)];

const SQUARE: [(f64, f64); 4] = [(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)];

fn round((x, y): (f64, f64), radius: f64, fill: &str) -> Markup {
    html! {
        circle cx=(px(x)) cy=(px(y)) r=(radius) fill=(fill) stroke="black" stroke-width="1.4" {}
    }
}

fn shape((x, y): (f64, f64), corners: &Corners, fill: &str) -> Markup {
    let corner = |(dx, dy): &(f64, f64)| format!("{},{}", px(x + SIZE * dx), px(y + SIZE * dy));
    let points: Vec<String> = corners.iter().map(corner).collect();
    html! {
        polygon points=(points.join(" ")) fill=(fill) stroke="black" stroke-width="1.4" {}
    }
}
