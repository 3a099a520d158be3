//! Circles in a picture that may be the mirror's rim: outlines of what is lighter than several shares of the light.

use std::f64::consts::TAU;

use crate::optics::evidence::chance::Chance;

use super::photo::Photo;
use super::rim::Ellipse;

/// Rims that may be meant, the likeliest first.
pub fn proposed(photo: &Photo) -> Vec<Ellipse> {
    let small = Small::of(photo);
    let mut circles: Vec<(f64, Ellipse)> = (SHARES.into_iter())
        .filter_map(|share| small.circle(share))
        .collect();
    circles.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut kept: Vec<Ellipse> = Vec::new();
    for (_, circle) in circles {
        let is_known = |known: &Ellipse| {
            let [dx, dy] = [0, 1].map(|k| known.centre_px[k] - circle.centre_px[k]);
            let off = dx
                .hypot(dy)
                .max((known.radius_px() - circle.radius_px()).abs());
            off < ALIKE * circle.radius_px()
        };
        if !kept.iter().any(is_known) {
            kept.push(circle);
        }
    }
    kept
}

/// Shares of the light's range from which a pixel counts as mirror.
const SHARES: [f64; 6] = [0.06, 0.12, 0.2, 0.3, 0.4, 0.5];

/// Half the widest dark band over which the light ones are one patch, of the picture's longer side.
const CLOSED: f64 = 0.05;

/// Two circles nearer than this are one, of the radius.
const ALIKE: f64 = 0.01;

/// A picture made small enough to look over as a whole.
struct Small {
    width: usize,
    height: usize,
    light: Vec<f64>,
    step: usize,
}

/// Pixels of its longer side, about.
const SMALL_PX: usize = 500;

impl Small {
    fn of(photo: &Photo) -> Small {
        let step = photo.width.max(photo.height).div_ceil(SMALL_PX).max(1);
        let (width, height) = ((photo.width / step).max(1), (photo.height / step).max(1));
        let mean = |x: usize, y: usize| {
            let cells = (0..step).flat_map(|down| (0..step).map(move |across| (across, down)));
            let sum: f64 = cells
                .map(|(across, down)| {
                    let (px, py) = (x * step + across, y * step + down);
                    photo.light(px.min(photo.width - 1), py.min(photo.height - 1))
                })
                .sum();
            sum / (step * step) as f64
        };
        let light = (0..height)
            .flat_map(|y| (0..width).map(move |x| (x, y)))
            .map(|(x, y)| mean(x, y))
            .collect();
        let mut small = Small {
            width,
            height,
            light,
            step,
        };
        small.smooth();
        small
    }

    /// By a bell of 1.5 pixels.
    fn smooth(&mut self) {
        let weights: Vec<f64> = (-4i32..=4)
            .map(|k| (-f64::from(k * k) / (2.0 * 1.5 * 1.5)).exp())
            .collect();
        let all: f64 = weights.iter().sum();
        let run = |light: &[f64], n: usize, at: &dyn Fn(usize) -> usize| -> Vec<f64> {
            (0..n)
                .map(|i| {
                    let near = weights.iter().enumerate().map(|(k, weight)| {
                        let there = (i + k).saturating_sub(4).min(n - 1);
                        weight * light[at(there)]
                    });
                    near.sum::<f64>() / all
                })
                .collect()
        };
        let (width, height) = (self.width, self.height);
        for y in 0..height {
            let row = run(&self.light, width, &|x| y * width + x);
            self.light[y * width..(y + 1) * width].copy_from_slice(&row);
        }
        for x in 0..width {
            let column = run(&self.light, height, &|y| y * width + x);
            for (y, light) in column.into_iter().enumerate() {
                self.light[y * width + x] = light;
            }
        }
    }

    /// Best circle through the outline of what is lighter than a share of the range, with its score.
    fn circle(&self, share: f64) -> Option<(f64, Ellipse)> {
        let mut sorted = self.light.clone();
        sorted.sort_by(f64::total_cmp);
        let percentile = |p: f64| sorted[(p * (sorted.len() - 1) as f64) as usize];
        let (low, high) = (percentile(0.03), percentile(0.97));
        let line = low + share * (high - low);
        let is_light: Vec<bool> = self.light.iter().map(|light| line < *light).collect();
        let outline = self.outline(&is_light)?;
        let most = LARGEST * self.width.max(self.height) as f64;
        best_circle(&outline, most).map(|(score, [x, y, radius])| {
            let back = |at: f64| (at + 0.5) * self.step as f64 - 0.5;
            let step = self.step as f64;
            (score, Ellipse::circle([back(x), back(y)], radius * step))
        })
    }

    /// The outermost light pixel in each direction from the middle of the largest patch.
    fn outline(&self, is_light: &[bool]) -> Option<Vec<[f64; 2]>> {
        let reach = (CLOSED * self.width.max(self.height) as f64).round() as usize;
        let grown = self.grown(is_light, reach);
        let patch = self.largest(&grown)?;
        let members: Vec<(usize, usize)> = (0..self.light.len())
            .filter(|idx| patch[*idx] && is_light[*idx])
            .map(|idx| (idx % self.width, idx / self.width))
            .collect();
        let n = members.len().max(1) as f64;
        let middle = [
            members.iter().map(|(x, _)| *x as f64).sum::<f64>() / n,
            members.iter().map(|(_, y)| *y as f64).sum::<f64>() / n,
        ];
        let mut farthest = vec![(0.0, [0.0; 2]); 360];
        for (x, y) in members {
            let [dx, dy] = [x as f64 - middle[0], y as f64 - middle[1]];
            let direction = (dy.atan2(dx).rem_euclid(TAU) / TAU * 360.0) as usize % 360;
            if farthest[direction].0 < dx.hypot(dy) {
                farthest[direction] = (dx.hypot(dy), [x as f64, y as f64]);
            }
        }
        let found: Vec<[f64; 2]> = (farthest.into_iter())
            .filter(|(distance, _)| 0.0 < *distance)
            .map(|(_, at)| at)
            .collect();
        (60 <= found.len()).then_some(found)
    }

    /// Closed over gaps as wide as dark bands, row by row and column by column.
    fn grown(&self, is_light: &[bool], reach: usize) -> Vec<bool> {
        let spread = |light: &[bool], n: usize, at: &dyn Fn(usize) -> usize| -> Vec<bool> {
            let mut until = 0;
            let mut grown = vec![false; n];
            for i in 0..n {
                if light[at(i)] {
                    let from = i.saturating_sub(reach).max(until);
                    until = (i + reach + 1).min(n);
                    grown[from..until].fill(true);
                }
            }
            grown
        };
        let (width, height) = (self.width, self.height);
        let mut all = is_light.to_vec();
        for y in 0..height {
            let row = spread(&all, width, &|x| y * width + x);
            all[y * width..(y + 1) * width].copy_from_slice(&row);
        }
        for x in 0..width {
            let column = spread(&all, height, &|y| y * width + x);
            for (y, is_light) in column.into_iter().enumerate() {
                all[y * width + x] = is_light;
            }
        }
        all
    }

    /// The largest patch of neighbours.
    fn largest(&self, is_light: &[bool]) -> Option<Vec<bool>> {
        let mut number = vec![0usize; is_light.len()];
        let mut sizes = vec![0usize];
        for start in 0..is_light.len() {
            if !is_light[start] || number[start] != 0 {
                continue;
            }
            let patch = sizes.len();
            let (mut size, mut open) = (0, vec![start]);
            number[start] = patch;
            while let Some(idx) = open.pop() {
                size += 1;
                let (x, y) = (idx % self.width, idx / self.width);
                let beside = [
                    (0 < x).then(|| idx - 1),
                    (x + 1 < self.width).then_some(idx + 1),
                    (0 < y).then(|| idx - self.width),
                    (y + 1 < self.height).then_some(idx + self.width),
                ];
                for next in beside.into_iter().flatten() {
                    if is_light[next] && number[next] == 0 {
                        number[next] = patch;
                        open.push(next);
                    }
                }
            }
            sizes.push(size);
        }
        let largest = (1..sizes.len()).max_by_key(|patch| sizes[*patch])?;
        Some(number.into_iter().map(|it| it == largest).collect())
    }
}

/// Circles through three points drawn by lot: the one with most points within 2 % and all round, and fewest outside.
fn best_circle(points: &[[f64; 2]], most: f64) -> Option<(f64, [f64; 3])> {
    let mut chance = Chance::new();
    let mut draw = || (chance.even() * points.len() as f64) as usize;
    let circles =
        (0..DRAWN).filter_map(|_| through([draw(), draw(), draw()].map(|idx| points[idx])));
    // A circle that hardly bends has any points near it.
    let circles = circles.filter(|[.., radius]| *radius <= most);
    let scored = circles.map(|circle| (score(points, circle), circle));
    scored.max_by(|a, b| a.0.total_cmp(&b.0))
}

/// Radius of the largest rim that the longer side of a picture holds, with some room for what is cut off.
const LARGEST: f64 = 0.6;

/// Circles drawn.
const DRAWN: usize = 3000;

fn score(points: &[[f64; 2]], [x, y, radius]: [f64; 3]) -> f64 {
    let mut sectors = [false; 24];
    let (mut inliers, mut outside) = (0.0, 0.0);
    for point in points {
        let [dx, dy] = [point[0] - x, point[1] - y];
        let off = dx.hypot(dy) / radius - 1.0;
        if off.abs() < 0.02 {
            inliers += 1.0;
            sectors[(dy.atan2(dx).rem_euclid(TAU) / TAU * 24.0) as usize % 24] = true;
        } else if 0.035 < off {
            outside += 1.0;
        }
    }
    let filled = sectors.iter().filter(|it| **it).count() as f64;
    inliers + 15.0 * filled - 2.0 * outside
}

/// The circle through three points: its middle and radius.
fn through([a, b, c]: [[f64; 2]; 3]) -> Option<[f64; 3]> {
    let [bx, by] = [b[0] - a[0], b[1] - a[1]];
    let [cx, cy] = [c[0] - a[0], c[1] - a[1]];
    let twice = 2.0 * (bx * cy - by * cx);
    if twice.abs() < 1e-6 {
        return None;
    }
    let (b2, c2) = (bx * bx + by * by, cx * cx + cy * cy);
    let [x, y] = [(cy * b2 - by * c2) / twice, (bx * c2 - cx * b2) / twice];
    Some([a[0] + x, a[1] + y, x.hypot(y)])
}
