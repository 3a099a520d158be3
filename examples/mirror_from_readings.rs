//! A mirror judged from knife-edge readings: what it is good for, and which ring of glass is off.
//!
//! `cargo run --example mirror_from_readings`

use std::error::Error;

use chrono::NaiveDate;
use skyworthy::plan::mirror::mirrors;
use skyworthy::workshop::Workshop;

/// Windows of a mask and the knife's place on the axis, the lamp standing still; larger is farther from the mirror.
const BENCH: &str = r#"
    [site]
    latitude_deg = 46.3
    longitude_deg = 13.1

    [[telescope]]
    name = "Hornbeam"
    aperture_mm = 180
    radius_of_curvature_mm = 2520

    [telescope.figure]
    kind = "knife-edge"
    source = "fixed"
    zones = [
        { inner_mm = 0, outer_mm = 45, readings_mm = [0.02, -0.01, 0.01] },
        { inner_mm = 45, outer_mm = 64, readings_mm = [0.79, 0.76, 0.78] },
        { inner_mm = 64, outer_mm = 78, readings_mm = [1.53, 1.56, 1.54] },
        { inner_mm = 78, outer_mm = 90, readings_mm = [2.31, 2.28, 2.30] },
    ]
"#;

fn main() -> Result<(), Box<dyn Error>> {
    let no_tables = |name: &str| Err(format!("{name} is not there"));
    let workshop = Workshop::from_toml(BENCH, "bench", &no_tables)?;
    let first_light = NaiveDate::from_ymd_opt(2027, 2, 12).ok_or("a date")?;
    for outcome in mirrors(&workshop, first_light)?.mirrors {
        let judged = outcome.judged?;
        println!("{}: {:?}", outcome.name, judged.class);
        println!(
            "  Strehl ratio {:.2} ({:.2} to {:.2}), {:.0} nm peak to valley on the wavefront",
            judged.figures.strehl.value,
            judged.figures.strehl.low,
            judged.figures.strehl.high,
            judged.figures.wavefront_pv_nm.value,
        );
        for zone in judged
            .instrument
            .found
            .reduction()
            .iter()
            .flat_map(|it| &it.zones)
        {
            println!(
                "  {:>2.0} to {:>2.0} mm: glass {:+4.0} nm against the best paraboloid",
                zone.inner_mm, zone.outer_mm, zone.surface_nm.value
            );
        }
    }
    Ok(())
}
