//! The skyline once round, and the ways of all bodies across it.

use chrono::{DateTime, Utc};
use maud::Markup;

use crate::plan::night_curves::{BodyCurve, CurvePoint, NightCurves, SkylinePoint, Standing};
use crate::show::picture::axis::Axis;
use crate::show::picture::chart::{Chart, Stroke};
use crate::show::picture::marks::mark;
use crate::show::picture::night::panel::{
    LOWER, Name, anchors, clock_marks, fists, label, point_at, stroke,
};
use crate::show::picture::placing::Placing;
use crate::show::words;
use crate::units::wrap_180_deg;

/// A degree up is then as long as a degree along.
const USUAL_HIGH_DEG: f64 = 70.0;

/// Letters of the hours.
const HOUR_LETTERS: f64 = 10.5;

/// Letters of what stands on the skyline.
const MARK_LETTERS: f64 = 11.5;

/// The stroke across the skyline, above it and below.
const STROKE_UP: f64 = 5.0;

const STROKE_DOWN: f64 = 9.0;

/// The panel, with everything in it.
pub(super) fn panel(curves: &NightCurves) -> Markup {
    let from_deg = curves
        .skyline
        .first()
        .map_or(0.0, |first| first.azimuth_deg);
    let high_deg = high_deg(curves);
    let tens = (high_deg / 10.0).round() as usize;
    let ticks = (0..=8).map(|idx| from_deg + 45.0 * f64::from(idx));
    let mut panel = Panel {
        curves,
        from_deg,
        chart: Chart::within(
            LOWER,
            Axis::named(
                "along the horizon; numbers beside the marks are hours",
                (from_deg, from_deg + 360.0),
                ticks
                    .map(|deg| (deg, words::wind(deg).to_string()))
                    .collect(),
            ),
            Axis::named(
                "degrees above it",
                (0.0, high_deg),
                (0..=tens)
                    .map(|ten| (10.0 * ten as f64, (10 * ten).to_string()))
                    .collect(),
            ),
        ),
        placing: Placing::within(LOWER.wider_by(-2.0)),
    };
    panel.skyline(tens);
    panel.tracks();
    panel.names();
    panel.marks();
    panel.hours();
    panel.chart.markup()
}

/// Above everything that is drawn, whole fists.
fn high_deg(curves: &NightCurves) -> f64 {
    let pieces = curves.bodies.iter().flat_map(|curve| &curve.pieces);
    let of_tracks = pieces.flat_map(|piece| piece.points.iter().map(|point| point.altitude_deg));
    let of_skyline = curves.skyline.iter().map(|corner| corner.altitude_deg);
    let highest = of_tracks.chain(of_skyline).fold(USUAL_HIGH_DEG, f64::max);
    (highest / 10.0).ceil() * 10.0
}

struct Panel<'a> {
    curves: &'a NightCurves,
    from_deg: f64,
    chart: Chart,
    placing: Placing,
}

impl Panel<'_> {
    fn skyline(&mut self, tens: usize) {
        let corner = |deg: f64| deg.max(0.0);
        let corners = &self.curves.skyline;
        fists(&mut self.chart, self.from_deg + 360.0, tens);
        self.chart.band(
            (corners.iter()).map(|point| (point.azimuth_deg, 0.0, corner(point.altitude_deg))),
        );
        for quarter in 1..4 {
            let azimuth_deg = self.from_deg + 90.0 * f64::from(quarter);
            let top_deg = 10.0 * tens as f64;
            self.chart
                .curve([(azimuth_deg, 0.0), (azimuth_deg, top_deg)], Stroke::Grid);
        }
        let outline = corners.iter();
        let outline: Vec<_> = outline
            .map(|point| (point.azimuth_deg, corner(point.altitude_deg)))
            .collect();
        let on_paper: Vec<_> = outline.iter().map(|(x, y)| self.chart.at(*x, *y)).collect();
        self.placing.line(usize::MAX, &on_paper);
        self.chart.curve(outline, Stroke::Full);
    }

    /// Inside the turn that is drawn.
    fn azimuth_deg(&self, azimuth_deg: f64) -> f64 {
        self.from_deg + (azimuth_deg - self.from_deg).rem_euclid(360.0)
    }

    fn on_paper(&self, point: &CurvePoint) -> (f64, f64) {
        let azimuth_deg = self.azimuth_deg(point.azimuth_deg);
        self.chart.at(azimuth_deg, point.altitude_deg)
    }

    fn whole_hours(&self) -> Vec<DateTime<Utc>> {
        clock_marks(self.curves.drawn, self.curves, 60)
    }

    fn tracks(&mut self) {
        let hours = self.whole_hours();
        for (owner, curve) in self.curves.bodies.iter().enumerate() {
            for piece in &curve.pieces {
                for run in runs(&piece.points, self.from_deg) {
                    let points: Vec<_> = run.iter().map(|(x, y)| self.chart.at(*x, *y)).collect();
                    self.placing.line(owner, &points);
                }
            }
            self.track(curve, &hours);
        }
    }

    fn track(&mut self, curve: &BodyCurve, hours: &[DateTime<Utc>]) {
        let from_deg = self.from_deg;
        let marks = marked(curve, hours);
        let marks: Vec<_> = marks.iter().map(|point| self.on_paper(point)).collect();
        self.chart.titled(("body", curve.body.name()), |chart| {
            for piece in &curve.pieces {
                for run in runs(&piece.points, from_deg) {
                    chart.curve(run, stroke(curve.body, piece.standing));
                }
            }
            for place in marks {
                chart.add(mark(curve.body, place));
            }
        });
    }

    fn names(&mut self) {
        for (owner, curve) in self.curves.bodies.iter().enumerate() {
            let name = Name {
                name: curve.body.name(),
                letters: 13.0,
                under: "",
            };
            let anchors = anchors(curve);
            let anchors: Vec<_> = anchors.iter().map(|at| self.on_paper(at)).collect();
            if let Some(spot) = self.placing.place(name.label(owner), &anchors) {
                name.write(&mut self.chart, &spot);
            }
        }
    }

    /// What stands on the skyline: a stroke across it and its name.
    fn marks(&mut self) {
        let owners = self.curves.bodies.len()..;
        for (owner, mark) in owners.zip(&self.curves.marks) {
            let SkylinePoint {
                azimuth_deg,
                altitude_deg,
            } = mark.point;
            let foot = self.chart.at(azimuth_deg, altitude_deg.max(0.0));
            let ends = [(foot.0, foot.1 - STROKE_UP), (foot.0, foot.1 + STROKE_DOWN)];
            self.chart.leader(ends);
            self.placing.line(owner, &ends);
            let label = label(owner, &mark.name, MARK_LETTERS);
            if let Some(spot) = self.placing.place(label, &[ends[1], ends[0]]) {
                if let Some(leader) = spot.leader {
                    self.chart.leader(leader);
                }
                self.chart.words_in(&spot.place, "normal", &mark.name);
            }
        }
    }

    /// Beside the marks, where nothing is in the way.
    fn hours(&mut self) {
        let hours = self.whole_hours();
        for (owner, curve) in self.curves.bodies.iter().enumerate() {
            for point in marked(curve, &hours) {
                let local = point.at.with_timezone(&self.curves.zone);
                let words = local.format("%H").to_string();
                let label = label(owner, &words, HOUR_LETTERS);
                let anchors = [self.on_paper(&point)];
                if let Some(place) = self.placing.place_if_free(label, &anchors) {
                    self.chart.words_in(&place, "normal", &words);
                }
            }
        }
    }
}

/// Whole hours at which it can be looked at.
fn marked(curve: &BodyCurve, hours: &[DateTime<Utc>]) -> Vec<CurvePoint> {
    let pieces = curve.pieces.iter();
    let pieces = pieces.filter(|piece| piece.standing == Standing::ToLookAt);
    pieces
        .flat_map(|piece| hours.iter().filter_map(|at| point_at(piece, *at)))
        .collect()
}

/// Azimuth and altitude of a way, cut where it leaves the drawn turn at one end and comes in at the other.
fn runs(points: &[CurvePoint], from_deg: f64) -> Vec<Vec<(f64, f64)>> {
    let mut runs: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut last: Option<(f64, f64)> = None;
    for point in points {
        let inside_deg = from_deg + (point.azimuth_deg - from_deg).rem_euclid(360.0);
        let here = (inside_deg, point.altitude_deg);
        let step_deg = last.map_or(0.0, |(azimuth_deg, _)| {
            wrap_180_deg(inside_deg - azimuth_deg)
        });
        match last {
            Some((azimuth_deg, altitude_deg))
                if 1e-6 < (inside_deg - azimuth_deg - step_deg).abs() =>
            {
                let (out_deg, in_deg) = match step_deg < 0.0 {
                    true => (from_deg, from_deg + 360.0),
                    false => (from_deg + 360.0, from_deg),
                };
                let share = (out_deg - azimuth_deg) / step_deg;
                let seam_deg = altitude_deg + share * (here.1 - altitude_deg);
                if let Some(run) = runs.last_mut() {
                    run.push((out_deg, seam_deg));
                }
                runs.push(vec![(in_deg, seam_deg), here]);
            }
            Some(_) => {
                if let Some(run) = runs.last_mut() {
                    run.push(here);
                }
            }
            None => runs.push(vec![here]),
        }
        last = Some(here);
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_way_through_north_is_cut_there() {
        let at = "2026-12-01T20:00:00Z".parse().expect("an instant");
        let points = [(350.0, 10.0), (10.0, 20.0), (30.0, 20.0)];
        let points = points.map(|(azimuth_deg, altitude_deg)| CurvePoint {
            at,
            altitude_deg,
            azimuth_deg,
        });
        let east = vec![(0.0, 15.0), (10.0, 20.0), (30.0, 20.0)];
        assert_eq!(
            runs(&points, 0.0),
            [vec![(350.0, 10.0), (360.0, 15.0)], east]
        );
        let whole = vec![(350.0, 10.0), (370.0, 20.0), (390.0, 20.0)];
        assert_eq!(runs(&points, 180.0), [whole]);
        let back: Vec<CurvePoint> = points.iter().rev().copied().collect();
        let west = vec![(360.0, 15.0), (350.0, 10.0)];
        assert_eq!(runs(&back, 0.0)[1], west);
    }
}
