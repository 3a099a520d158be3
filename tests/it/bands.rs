//! Ronchi bands: against numbers worked out by hand, and what must hold of any pattern.

use crate::support::close;
use skyworthy::optics::bands::{
    Blank, Cell, Figured, Middle, RonchiGrating, Setup, Surface, Tester, bright, raster,
};
use skyworthy::optics::conic::Conic;
use skyworthy::optics::wavefront::{Wavefront, WavefrontTerm};
use skyworthy::workshop::KnifeSource;

fn tester(radius_of_curvature_mm: f64, offset_mm: f64, source: KnifeSource) -> Tester {
    Tester {
        radius_of_curvature_mm,
        offset_mm,
        source,
    }
}

/// Reflected and intersected with vectors, apart from this project: 200 mm f/5, 5 mm inside.
#[test]
fn rays_to_the_grating() {
    let (sphere, paraboloid) = (Conic::sphere(2000.0), Conic::paraboloid(2000.0));
    for (surface, source, want_mm) in [
        (sphere, KnifeSource::Moving, 0.500_623),
        (paraboloid, KnifeSource::Moving, 0.749_993),
        (paraboloid, KnifeSource::Fixed, 0.499_686),
    ] {
        let got = tester(2000.0, -5.0, source).intercept_mm(&surface, 100.0);
        close("at the rim", got.expect("on the mirror"), want_mm, 5e-7);
    }
}

/// Third order, any handbook: `2 r (LA - d) / R` with the lamp moving and `LA = -k r^2 / 2R`;
/// `r (LA - d) / R` with `LA = -k r^2 / R` when it stands.
#[test]
fn rays_by_the_third_order() {
    for k in [-1.3, -1.0, -0.6, 0.0, 0.4] {
        for offset_mm in [-8.0, -2.0, 3.0, 10.0] {
            let surface = Conic {
                radius_of_curvature_mm: 2400.0,
                conic_constant: k,
            };
            for r in [20.0, 50.0, 75.0] {
                let squared = -k * r * r / 2400.0;
                let moving = 2.0 * r * (squared / 2.0 - offset_mm) / 2400.0;
                let fixed = r * (squared - offset_mm) / 2400.0;
                for (source, want) in [(KnifeSource::Moving, moving), (KnifeSource::Fixed, fixed)] {
                    let got = tester(2400.0, offset_mm, source).intercept_mm(&surface, r);
                    // Fifth order: r^4 / R^4 of the offset, r^5 / R^4 of the figure.
                    close(
                        "paraxial",
                        got.expect("on it"),
                        want,
                        0.004 * offset_mm.abs() * r / 2400.0 + 1e-4,
                    );
                }
            }
        }
    }
}

/// Where the band that the ray at `(x, 0)` belongs to runs at the height `y`.
fn followed<S: Surface>(surface: &S, tester: Tester, x_mm: f64, y_mm: f64) -> f64 {
    let across = |x: f64| {
        let r = x.hypot(y_mm);
        tester.intercept_mm(surface, r).expect("on the mirror") * x / r
    };
    let wanted = tester.intercept_mm(surface, x_mm).expect("on the mirror");
    let (mut low, mut high) = (0.0, 100.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if (across(middle) < wanted) == (wanted > 0.0) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

/// 200 mm f/6, lamp standing, bands followed by the third-order formula (two decimals, 0.005 mm off):
/// inside the centre of curvature they bow toward the axis above and below, outside away from it.
#[test]
fn how_bands_of_a_paraboloid_bow() {
    let paraboloid = Conic::paraboloid(2400.0);
    for (offset_mm, at_heights) in [
        (-12.0, [28.55, 26.91, 24.88]),
        (12.0, [31.98, 34.92, 40.33]),
    ] {
        let tester = tester(2400.0, offset_mm, KnifeSource::Fixed);
        for (y_mm, want_mm) in [40.0, 60.0, 80.0].into_iter().zip(at_heights) {
            close(
                "band",
                followed(&paraboloid, tester, 30.0, y_mm),
                want_mm,
                1e-2,
            );
        }
    }
    // The ray 0.15 mm from the axis, 200 mm f/5, 5 mm inside.
    let tester = tester(2000.0, -5.0, KnifeSource::Moving);
    for (surface, at_heights) in [
        (Conic::sphere(2000.0), [29.997, 29.991, 29.973]),
        (Conic::paraboloid(2000.0), [28.805, 26.879, 22.307]),
    ] {
        for (y_mm, x_mm) in [0.0, 40.0, 80.0].into_iter().zip(at_heights) {
            let r = f64::hypot(x_mm, y_mm);
            let across = tester.intercept_mm(&surface, r).expect("on it") * x_mm / r;
            close("across", across, 0.15, 5e-6);
        }
    }
}

/// A mirror told by its wavefront is the conic that has that wavefront.
#[test]
fn a_figured_mirror_is_its_conic() {
    let blank = Blank {
        radius_of_curvature_mm: 2400.0,
        aperture_mm: 150.0,
    };
    let k = -0.7;
    let conic = Conic {
        radius_of_curvature_mm: 2400.0,
        conic_constant: k,
    };
    // Third order: (1 + k) a^4 / 4 R^3 rho^4 too short; in Zernike terms, piston left out.
    let wavefront_nm = -(1.0 + k) * 75f64.powi(4) / (4.0 * 2400f64.powi(3)) * 1e6;
    let shape = [
        (4, wavefront_nm / (6.0 * 5f64.sqrt())),
        (2, wavefront_nm / (2.0 * 3f64.sqrt())),
    ];
    let terms = shape.map(|(n, wavefront_nm)| WavefrontTerm {
        n,
        m: 0,
        wavefront_nm,
    });
    let by_terms = Wavefront::Terms(terms.to_vec());
    let by_points = Wavefront::Profile(
        (0..=400)
            .map(|i| f64::from(i) / 400.0)
            .map(|rho| (rho, wavefront_nm * rho.powi(4)))
            .collect(),
    );
    for (wavefront, tolerance_mm) in [(by_terms, 2e-5), (by_points, 2e-4)] {
        let figured = Figured::new(&wavefront, blank).expect("alike all around");
        for source in [KnifeSource::Fixed, KnifeSource::Moving] {
            let tester = tester(2400.0, -4.0, source);
            for r in [1.0, 20.3, 47.1, 74.9] {
                let want = tester.intercept_mm(&conic, r).expect("on it");
                let got = tester.intercept_mm(&figured, r).expect("on it");
                close("intercept", got, want, tolerance_mm);
            }
        }
    }
    let sphere = Wavefront::OfConic {
        conic: Conic::sphere(2400.0),
        aperture_mm: 150.0,
    };
    let figured = Figured::new(&sphere, blank).expect("alike all around");
    assert_eq!(
        figured.depth_and_slope(60.0),
        Conic::sphere(2400.0).depth_and_slope(60.0)
    );
    let bent = WavefrontTerm {
        n: 2,
        m: 2,
        wavefront_nm: 20.0,
    };
    assert_eq!(Figured::new(&Wavefront::Terms(vec![bent]), blank), None);
}

/// A rim turned down sends its light as a longer radius does: inside the centre of curvature it
/// crosses the axis later, so that bands there hook inward.
#[test]
fn a_turned_edge_hooks_the_bands() {
    let wavefront = Wavefront::Profile(vec![(0.0, 0.0), (0.95, 0.0), (1.0, 150.0)]);
    let blank = Blank {
        radius_of_curvature_mm: 2400.0,
        aperture_mm: 150.0,
    };
    let turned = Figured::new(&wavefront, blank).expect("alike all around");
    let inside = tester(2400.0, -5.0, KnifeSource::Moving);
    let of_rim = |surface: &dyn Fn(f64) -> f64| surface(74.0);
    let ideal = of_rim(&|r| {
        inside
            .intercept_mm(&Conic::paraboloid(2400.0), r)
            .expect("on it")
    });
    let real = of_rim(&|r| inside.intercept_mm(&turned, r).expect("on it"));
    assert!(real > ideal, "{real} {ideal}");
    // dW/dr = 150 nm in 3.75 mm; the normal tips by half of it, the ray by all of it, over R.
    close("by hand", real - ideal, 150e-6 / 3.75 * 2395.0, 5e-5);
}

#[test]
fn the_picture_is_the_points() {
    let sphere = Conic::sphere(2000.0);
    let setup = Setup {
        surface: &sphere,
        aperture_mm: 200.0,
        tester: tester(2000.0, -5.0, KnifeSource::Moving),
        grating: RonchiGrating::of_lines_per_mm(10.0),
    };
    let pixels = 101;
    let cells = raster(&setup, pixels);
    assert_eq!(cells.len(), pixels * pixels);
    assert_eq!(cells[0], Cell::Outside);
    assert_eq!(bright(&setup, 0.0, 0.0), Some(true));
    assert_eq!(bright(&setup, 100.1, 0.0), None);
    let dark = Setup {
        grating: RonchiGrating {
            middle: Middle::Line,
            ..setup.grating
        },
        ..setup
    };
    assert_eq!(bright(&dark, 0.0, 0.0), Some(false));
    // Ten periods across the middle row: bright, and dark, twenty times.
    let row = &raster(&setup, 1001)[500 * 1001..501 * 1001];
    let changes = row.windows(2).filter(|pair| pair[0] != pair[1]).count();
    assert_eq!(changes, 20);
    close(
        "shear",
        setup.tester.order_shear_mm(setup.grating, 550.0),
        11.0,
        1e-9,
    );
}
