//! Where the knife has to stand: the geometry of the knife-edge test, exact.
//!
//! Light comes from a lamp near the centre of curvature, meets the mirror at a spot and crosses the
//! axis again; there the knife darkens that spot evenly. With the lamp on the knife's carriage the
//! light comes back along its own way, so it crosses the axis where the normal does.

use crate::workshop::{KnifeSource, ReadingAt};

/// The lamp and how it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lamp {
    /// On the axis, this far from the mirror's vertex.
    Fixed {
        /// Near the radius of curvature, mm.
        from_vertex_mm: f64,
    },
    /// On the knife's carriage.
    Moving,
}

/// A spot of a surface of revolution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Distance from the axis, mm, positive.
    pub from_axis_mm: f64,
    /// Depth of the curve there, above the vertex, mm.
    pub sagitta_mm: f64,
}

impl Lamp {
    /// The lamp as makers set it up: a fixed one at the centre of curvature.
    ///
    /// One that stands 5 mm off moves all readings together; between the middle and the rim of a
    /// 200 mm f/5 mirror it makes 0.025 mm.
    pub fn of(source: KnifeSource, radius_of_curvature_mm: f64) -> Lamp {
        match source {
            KnifeSource::Moving => Lamp::Moving,
            KnifeSource::Fixed => Lamp::Fixed {
                from_vertex_mm: radius_of_curvature_mm,
            },
        }
    }

    /// Distance from the vertex at which light from a spot with this slope (tangent, positive)
    /// crosses the axis, mm.
    pub fn crossing_mm(self, spot: Spot, slope: f64) -> f64 {
        let normal = slope.atan();
        let back = match self {
            Lamp::Moving => normal,
            Lamp::Fixed { from_vertex_mm } => 2.0 * normal - spot.angle_from(from_vertex_mm),
        };
        spot.sagitta_mm + spot.from_axis_mm / back.tan()
    }

    /// The slope (tangent) of the spot whose light crosses the axis at this distance from the
    /// vertex: the inverse of [`Lamp::crossing_mm`].
    pub fn slope(self, spot: Spot, crossing_mm: f64) -> f64 {
        let back = spot.angle_from(crossing_mm);
        let normal = match self {
            Lamp::Moving => back,
            Lamp::Fixed { from_vertex_mm } => (spot.angle_from(from_vertex_mm) + back) / 2.0,
        };
        normal.tan()
    }
}

impl Spot {
    /// A spot of the paraboloid with this vertex radius.
    pub fn on_paraboloid(from_axis_mm: f64, radius_of_curvature_mm: f64) -> Spot {
        Spot {
            from_axis_mm,
            sagitta_mm: from_axis_mm * from_axis_mm / (2.0 * radius_of_curvature_mm),
        }
    }

    /// Angle at a point of the axis between the axis and the ray to this spot.
    fn angle_from(self, from_vertex_mm: f64) -> f64 {
        (self.from_axis_mm / (from_vertex_mm - self.sagitta_mm)).atan()
    }
}

/// How much farther than the middle a zone of a true paraboloid reads, mm: exact, a fixed lamp
/// standing at the paraxial centre of curvature.
pub fn ideal_reading_mm(
    source: KnifeSource,
    from_axis_mm: f64,
    radius_of_curvature_mm: f64,
) -> f64 {
    let (r, radius) = (from_axis_mm, radius_of_curvature_mm);
    match source {
        KnifeSource::Moving => r * r / (2.0 * radius),
        KnifeSource::Fixed => r * r / radius * (1.0 + (r / radius).powi(2) / 2.0),
    }
}

/// How far the normal's crossing moves for each mm of knife: 1 moving, 1/2 fixed (in the limit of
/// small angles).
pub fn normal_per_knife(source: KnifeSource) -> f64 {
    match source {
        KnifeSource::Moving => 1.0,
        KnifeSource::Fixed => 0.5,
    }
}

/// The radius that a reading through a window belongs to, mm: the one that halves the window's
/// area where the whole opening was balanced, otherwise its mid radius.
///
/// With the first, readings of a perfect mirror by wave optics (J. Burrows, March 2005) come out 2 %
/// over-corrected, with the second 5 % under-corrected.
pub fn reading_radius_mm(reading_at: ReadingAt, inner_mm: f64, outer_mm: f64) -> f64 {
    match reading_at {
        ReadingAt::Window => ((inner_mm * inner_mm + outer_mm * outer_mm) / 2.0).sqrt(),
        ReadingAt::Middle => (inner_mm + outer_mm) / 2.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::conic::Conic;
    use crate::testing::close;

    /// Traced with vectors by a program outside this project; moving: r^2 / 2R.
    #[test]
    fn ideal_readings_of_a_paraboloid() {
        use KnifeSource::{Fixed, Moving};
        for (source, r, radius, want_mm) in [
            (Fixed, 100.0, 2000.0, 5.00625),
            (Fixed, 150.0, 2700.0, 8.346193415637861),
            (Moving, 150.0, 2700.0, 4.166666666666667),
            (Moving, 100.0, 2000.0, 2.5),
        ] {
            close("ideal", ideal_reading_mm(source, r, radius), want_mm, 1e-14);
            let spot = Spot::on_paraboloid(r, radius);
            let crossing_mm = Lamp::of(source, radius).crossing_mm(spot, r / radius);
            close("ray", crossing_mm - radius, want_mm, 1e-11);
        }
    }

    /// -0.9 at f/5, lamp fixed: traced, as above. Any conic, lamp moving: -k times the sagitta.
    #[test]
    fn readings_of_other_conics() {
        for (source, k, want_mm) in [
            (KnifeSource::Fixed, -0.9, 4.505344),
            (KnifeSource::Fixed, 0.0, 0.0),
        ] {
            let conic = Conic {
                radius_of_curvature_mm: 2000.0,
                conic_constant: k,
            };
            let spot = Spot {
                from_axis_mm: 100.0,
                sagitta_mm: conic.sagitta_mm(100.0).unwrap(),
            };
            let lamp = Lamp::of(source, 2000.0);
            let crossing_mm = lamp.crossing_mm(spot, conic.slope(100.0).unwrap());
            close("reading", crossing_mm - 2000.0, want_mm, 5e-7);
            let moving_mm = Lamp::Moving.crossing_mm(spot, conic.slope(100.0).unwrap());
            close("moving", moving_mm - 2000.0, -k * spot.sagitta_mm, 1e-11);
        }
    }

    #[test]
    fn a_slope_comes_back_from_its_reading() {
        let spot = Spot::on_paraboloid(77.0, 2100.0);
        let fixed = |from_vertex_mm| Lamp::Fixed { from_vertex_mm };
        for lamp in [Lamp::Moving, fixed(2100.0), fixed(2093.0), fixed(2111.0)] {
            for slope in [0.036, 0.0366666, 0.0371] {
                let back = lamp.slope(spot, lamp.crossing_mm(spot, slope));
                close("slope", back, slope, 1e-15);
            }
        }
    }

    #[test]
    fn a_lamp_off_its_place_moves_all_readings_together() {
        let reading_mm = |from_vertex_mm: f64, r: f64| {
            let spot = Spot::on_paraboloid(r, 2000.0);
            Lamp::Fixed { from_vertex_mm }.crossing_mm(spot, r / 2000.0)
        };
        let correction_mm = |lamp_mm| reading_mm(lamp_mm, 100.0) - reading_mm(lamp_mm, 1.0);
        let apart_mm = correction_mm(2005.0) - correction_mm(2000.0);
        assert!(apart_mm.abs() < 0.03, "{apart_mm}");
    }

    #[test]
    fn radius_of_a_reading() {
        close(
            "window",
            reading_radius_mm(ReadingAt::Window, 30.0, 50.0),
            1700f64.sqrt(),
            1e-12,
        );
        close(
            "middle",
            reading_radius_mm(ReadingAt::Middle, 30.0, 50.0),
            40.0,
            0.0,
        );
    }
}
