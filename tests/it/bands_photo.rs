//! Figures from photographed bands: pictures simulated by another method than the one that reads them.

use skyworthy::optics::bands_photo::circles::proposed;
use skyworthy::optics::bands_photo::photo::Photo;
use skyworthy::optics::bands_photo::reading::{NotRead, read};
use skyworthy::optics::bands_photo::rim::refined;
use skyworthy::optics::bands_photo::setup::PhotoSetup;

use crate::support::{number, rows};

const TRUTHS: &str = include_str!("../reference/bands.tsv");

/// What is allowed for air, processing and the ruling on every reading, nm.
const FLOOR_NM: f64 = 6.0;

fn photo(file: &str) -> Photo {
    let path = format!(
        "{}/tests/reference/bands/{file}",
        env!("CARGO_MANIFEST_DIR")
    );
    let picture = image::open(path).expect("a picture").to_rgb8();
    Photo {
        width: picture.width() as usize,
        height: picture.height() as usize,
        coded: picture.pixels().map(|pixel| pixel.0[1]).collect(),
    }
}

fn setup(diameter_mm: f64, radius_mm: f64, lines_per_mm: f64) -> PhotoSetup {
    PhotoSetup {
        rim_mm: diameter_mm / 2.0,
        radius_mm,
        period_mm: 1.0 / lines_per_mm,
        wavelength_nm: 540.0,
    }
}

/// Paraboloid, sphere with its lamp shining through the lines, a ring, and a grating outside the centre of curvature.
#[test]
fn simulated_photographs_are_read() {
    let mut n = 0;
    for row in rows(TRUTHS) {
        let [file, diameter, radius, lines, offset, lamp, rms, rim_px] = row[..] else {
            panic!("{row:?}")
        };
        let setup = setup(number(diameter), number(radius), number(lines));
        let reading = read(&photo(file), &setup, number(offset), None)
            .unwrap_or_else(|why| panic!("{file}: {why:?}"));
        let wider = reading.rim.radius_px() / number(rim_px) - 1.0;
        assert!(wider.abs() < 0.005, "{file}: rim off by {wider}");
        let got = reading.wave_rms_nm(&setup);
        assert!(
            (got - number(rms)).abs() <= FLOOR_NM,
            "{file}: {got} nm for {rms}"
        );
        let share = reading.fitted.pictures[0].explained;
        assert!(0.98 < share, "{file}: {share}");
        // Lit through its own lines the grating seems twice as far off.
        let unknowns = &reading.fitted.unknowns;
        let seems_mm = setup.offset_mm(unknowns.pictures[0].focus_nm, unknowns.shared_nm[0]);
        let times = if lamp == "fixed" { 1.0 } else { 2.0 };
        assert!(
            (seems_mm / (times * number(offset)) - 1.0).abs() < 0.15,
            "{file}: {seems_mm}"
        );
        n += 1;
    }
    assert_eq!(n, 4);
}

/// The rims of them alone, to a third of a percent.
#[test]
fn rims_of_simulated_photographs() {
    for row in rows(TRUTHS) {
        let photo = photo(row[0]);
        let rims = proposed(&photo).into_iter();
        let refined = rims.filter_map(|start| refined(&photo, start).ok());
        let off = refined.map(|rim| (rim.radius_px() / number(row[7]) - 1.0).abs());
        let nearest = off.fold(f64::INFINITY, f64::min);
        assert!(nearest < 0.005, "{}: {nearest}", row[0]);
    }
}

/// A room without a mirror, and a mirror without bands.
#[test]
fn what_shows_no_bands_is_refused() {
    let grey = |light: &dyn Fn(f64, f64) -> f64| Photo {
        width: 400,
        height: 400,
        coded: (0..160_000)
            .map(|idx| (255.0 * light((idx % 400) as f64, (idx / 400) as f64)) as u8)
            .collect(),
    };
    let setup = setup(150.0, 2400.0, 4.0);
    let room = grey(&|x, _| 0.2 + 0.001 * x);
    assert!(matches!(
        read(&room, &setup, -12.0, None),
        Err(NotRead::Rim(_))
    ));
    let bare = grey(&|x, y| match (x - 200.0).hypot(y - 200.0) < 150.0 {
        true => 0.7,
        false => 0.05,
    });
    assert!(matches!(
        read(&bare, &setup, -12.0, None),
        Err(NotRead::NoBands { .. })
    ));
}
