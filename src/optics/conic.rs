//! Conics of revolution: depth of the curve, and how far a sphere is from the paraboloid.
//!
//! Everything is written so that nothing large cancels: a sphere and a paraboloid of the same
//! radius differ by a millionth of a millimetre near the middle, and both are a millimetre deep.
//! `tests/it/precision.rs` says how many digits are kept.

use crate::units::NM_PER_MM;

/// A surface of revolution with vertex at the origin, concave toward the light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conic {
    /// Radius of curvature at the vertex, mm, positive.
    pub radius_of_curvature_mm: f64,
    /// -1 paraboloid, 0 sphere, between them under-corrected, below -1 over-corrected.
    pub conic_constant: f64,
}

impl Conic {
    /// What generating and grinding make.
    pub fn sphere(radius_of_curvature_mm: f64) -> Conic {
        Conic {
            radius_of_curvature_mm,
            conic_constant: 0.0,
        }
    }

    /// What a star needs.
    pub fn paraboloid(radius_of_curvature_mm: f64) -> Conic {
        Conic {
            radius_of_curvature_mm,
            conic_constant: -1.0,
        }
    }

    /// Half the radius of curvature, mm.
    pub fn focal_length_mm(self) -> f64 {
        self.radius_of_curvature_mm / 2.0
    }

    /// Depth below the plane that touches the vertex, at a distance from the axis, mm.
    ///
    /// `None` beyond the rim of an ellipsoid that closes before that distance.
    pub fn sagitta_mm(self, from_axis_mm: f64) -> Option<f64> {
        let r = from_axis_mm;
        let root = self.root(r, self.conic_constant)?;
        Some(r * r / (self.radius_of_curvature_mm * (1.0 + root)))
    }

    /// Tangent of the slope at a distance from the axis; `None` as for the sagitta.
    pub fn slope(self, from_axis_mm: f64) -> Option<f64> {
        let root = self.root(from_axis_mm, self.conic_constant)?;
        (root > 0.0).then(|| from_axis_mm / self.radius_of_curvature_mm / root)
    }

    /// Sagitta of this conic less that of the sphere with the same vertex radius, mm: what
    /// figuring removes (negative: the paraboloid is the shallower).
    ///
    /// Keeps its relative accuracy down to the vertex, where the two sagittas agree to every digit.
    pub fn minus_sphere_mm(self, from_axis_mm: f64) -> Option<f64> {
        let t = (from_axis_mm / self.radius_of_curvature_mm).powi(2);
        let a = self.root(from_axis_mm, self.conic_constant)?;
        let b = self.root(from_axis_mm, 0.0)?;
        if a + b == 0.0 {
            return None;
        }
        let roots_apart = self.conic_constant * t / (a + b);
        let r_times_t = self.radius_of_curvature_mm * t;
        Some(r_times_t * roots_apart / ((1.0 + a) * (1.0 + b)))
    }

    /// Where the image of a star is sharpest, mm beyond the paraxial focus (negative: nearer the
    /// mirror): the focus of least RMS, third order.
    pub fn best_focus_shift_mm(self, aperture_mm: f64) -> f64 {
        let r = aperture_mm / 2.0;
        -(1.0 + self.conic_constant) * r * r / (8.0 * self.radius_of_curvature_mm)
    }

    /// Path of a ray less that of the middle ray, nm; `None` where there is no mirror.
    ///
    /// Exact for any conic. At the paraxial focus it is zero for the paraboloid and negative (too
    /// short) toward the rim of a sphere.
    pub fn path_nm(self, ray: Ray) -> Option<f64> {
        let z = self.sagitta_mm(ray.from_axis_mm)?;
        let shift = ray.focus_shift_mm;
        let focus = self.focal_length_mm() + shift;
        // sqrt(r^2 + (F-z)^2) - (F+z) = (r^2 - 4Fz) / (sum of the two), and on a conic
        // r^2 = 4fz - (1+k) z^2: what is large is gone before anything is subtracted.
        let to_focus = ray.from_axis_mm.hypot(focus - z);
        let numerator = -(1.0 + self.conic_constant) * z * z - 4.0 * shift * z;
        Some(numerator / (to_focus + focus + z) * NM_PER_MM)
    }

    fn root(self, r: f64, k: f64) -> Option<f64> {
        let under = 1.0 - (1.0 + k) * (r / self.radius_of_curvature_mm).powi(2);
        (under >= 0.0).then(|| under.sqrt())
    }
}

/// From a star on the axis by a point of the mirror to a point of the axis near the focus.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ray {
    /// Where it meets the mirror, mm.
    pub from_axis_mm: f64,
    /// Where it is to end, mm beyond the paraxial focus.
    pub focus_shift_mm: f64,
}

/// The hollow of a ground sphere, as a straightedge and a feeler or a spherometer finds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hollow {
    /// Half the straightedge's span, or the spherometer's foot circle, mm.
    pub from_axis_mm: f64,
    /// Depth in the middle below that circle, mm, positive.
    pub sagitta_mm: f64,
}

impl Hollow {
    /// Radius of curvature of the sphere, mm: exact, not the paraboloid's `r^2 / 2s`.
    pub fn radius_of_curvature_mm(self) -> f64 {
        let Hollow {
            from_axis_mm: r,
            sagitta_mm: s,
        } = self;
        (r * r + s * s) / (2.0 * s)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(what: &str, got: f64, want: f64, tolerance: f64) {
        assert!(
            (got - want).abs() <= tolerance,
            "{what}: want {want} within {tolerance}, got {got}"
        );
    }

    /// Depths as any handbook's `R - sqrt(R^2 - r^2)` and `r^2 / 2R` give them, to the digits
    /// printed; their difference to a thousandth of a nanometre.
    #[test]
    fn sphere_and_paraboloid_depths() {
        for (aperture_mm, radius_mm, sphere_mm, paraboloid_mm, apart_nm) in [
            (150.0, 2400.0, 1.172161242, 1.171875, 286.242),
            (200.0, 2000.0, 2.501564456, 2.5, 1564.456),
            (114.0, 1800.0, 0.902726365, 0.9025, 226.365),
            (300.0, 3000.0, 3.752346684, 3.75, 2346.684),
        ] {
            let r = aperture_mm / 2.0;
            let sphere = Conic::sphere(radius_mm);
            let paraboloid = Conic::paraboloid(radius_mm);
            check("sphere", sphere.sagitta_mm(r).unwrap(), sphere_mm, 5e-10);
            check(
                "par.",
                paraboloid.sagitta_mm(r).unwrap(),
                paraboloid_mm,
                1e-15,
            );
            let apart = -paraboloid.minus_sphere_mm(r).unwrap() * 1e6;
            check("sphere less paraboloid", apart, apart_nm, 5e-4);
            let back = Hollow {
                from_axis_mm: r,
                sagitta_mm: sphere.sagitta_mm(r).unwrap(),
            };
            check("back", back.radius_of_curvature_mm(), radius_mm, 1e-9);
        }
    }

    /// Spherometer with feet on a 75 mm circle: r = 75, s = 2.5 gives 1126.25 exactly.
    #[test]
    fn radius_from_a_hollow() {
        let radius = |sagitta_mm| {
            Hollow {
                from_axis_mm: 75.0,
                sagitta_mm,
            }
            .radius_of_curvature_mm()
        };
        check("radius", radius(2.5), 1126.25, 1e-12);
        check("0.01 mm deeper", radius(2.51) - radius(2.5), -4.477, 5e-4);
    }

    #[test]
    fn beyond_the_rim_there_is_no_depth() {
        assert_eq!(Conic::sphere(100.0).sagitta_mm(100.1), None);
        assert_eq!(Conic::sphere(100.0).slope(100.0), None);
        assert!(Conic::paraboloid(100.0).sagitta_mm(1000.0).is_some());
    }

    #[test]
    fn a_paraboloid_is_free_of_error_and_a_sphere_is_short_at_the_rim() {
        let ray = Ray {
            from_axis_mm: 75.0,
            focus_shift_mm: 0.0,
        };
        let path = |conic: Conic| conic.path_nm(ray).unwrap();
        assert_eq!(path(Conic::paraboloid(2400.0)), 0.0);
        // Third order: a^4 / 4R^3.
        let third_order_nm = -75f64.powi(4) / (4.0 * 2400f64.powi(3)) * 1e6;
        let sphere = path(Conic::sphere(2400.0));
        check("sphere", sphere / third_order_nm, 1.0, 1e-3);
    }
}
