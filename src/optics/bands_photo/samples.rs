//! A picture of bands as some thousand places of the mirror's disc.

use std::f64::consts::PI;

use super::photo::Photo;
use super::rim::Ellipse;

/// Light at places of the unit disc, right and down from its middle.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Samples {
    /// Where.
    pub at: Vec<[f64; 2]>,
    /// How light, 0 to 1.
    pub light: Vec<f64>,
    /// 1; 0 where the picture is burnt.
    pub weight: Vec<f64>,
}

/// Up to here, of the radius: beyond it the rim's own blur begins.
const OUTERMOST: f64 = 0.985;

/// Width of the bell over which each is a mean, of the distance between neighbours.
const BELL: f64 = 0.35;

/// More burnt pixels than this share, and nothing is known.
const MOST_BURNT: f64 = 0.1;

impl Samples {
    /// So many, about, on a square grid.
    pub fn of(photo: &Photo, rim: &Ellipse, about: usize) -> Samples {
        let step = (PI / about as f64).sqrt();
        let n = (OUTERMOST / step).floor() as i64;
        let mut samples = Samples::default();
        for row in -n..=n {
            for column in -n..=n {
                let at = [column as f64 * step, row as f64 * step];
                if at[0].hypot(at[1]) <= OUTERMOST {
                    let (light, burnt) = mean(photo, rim.px(at), BELL * step * rim.radius_px());
                    samples.at.push(at);
                    samples.light.push(light);
                    samples
                        .weight
                        .push(f64::from(u8::from(burnt <= MOST_BURNT)));
                }
            }
        }
        samples
    }

    /// Every so manieth of them.
    pub fn thinned(&self, every: usize) -> Samples {
        let pick = |values: &[f64]| values.iter().copied().step_by(every).collect();
        Samples {
            at: self.at.iter().copied().step_by(every).collect(),
            light: pick(&self.light),
            weight: pick(&self.weight),
        }
    }

    /// Share of them of which something is known.
    pub fn known_share(&self) -> f64 {
        self.weight.iter().sum::<f64>() / self.weight.len().max(1) as f64
    }
}

/// Light in a bell about a place, and the share of it that is burnt.
fn mean(photo: &Photo, [x, y]: [f64; 2], width_px: f64) -> (f64, f64) {
    let width_px = width_px.max(0.5);
    let reach = (2.5 * width_px).ceil();
    let range = |at: f64, n: usize| {
        let from = (at - reach).ceil().clamp(0.0, (n - 1) as f64) as usize;
        let until = (at + reach).floor().clamp(0.0, (n - 1) as f64) as usize;
        from..=until
    };
    let bell = |off: f64| (-0.5 * (off / width_px).powi(2)).exp();
    let (mut light, mut burnt, mut all) = (0.0, 0.0, 0.0);
    for row in range(y, photo.height) {
        let down = bell(row as f64 - y);
        for column in range(x, photo.width) {
            let weight = down * bell(column as f64 - x);
            all += weight;
            light += weight * photo.light(column, row);
            burnt += weight * f64::from(u8::from(photo.is_burnt(column, row)));
        }
    }
    (light / all, burnt / all)
}
