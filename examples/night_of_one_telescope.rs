//! One telescope, one night: what shows at least to an attentive look in the usual air, when and with what.
//!
//! `cargo run --example night_of_one_telescope`

use std::error::Error;

use chrono::NaiveDate;
use skyworthy::plan::night::{Wish, night};
use skyworthy::show::words::caption;
use skyworthy::targets::verdict::Grade;
use skyworthy::workshop::Workshop;

const LONE_MAKER: &str = include_str!("lone-maker.toml");

fn main() -> Result<(), Box<dyn Error>> {
    let no_tables = |name: &str| Err(format!("{name} is not there"));
    let workshop = Workshop::from_toml(LONE_MAKER, "lone-maker.toml", &no_tables)?;
    let on = NaiveDate::from_ymd_opt(2027, 2, 12).ok_or("a date")?;
    let night = night(
        &workshop,
        Wish {
            on,
            daylight: false,
        },
    )?;
    for telescope in &night.telescopes {
        let instrument = telescope
            .instrument
            .as_ref()
            .map_err(|why| why.to_string())?;
        for target in telescope.targets.iter().chain(&telescope.beyond) {
            let best = target.outlook.best.with_timezone(&night.zone);
            println!(
                "{} at {}",
                target.outlook.subject().name(),
                best.format("%H:%M")
            );
            for verdict in &target.verdicts {
                if verdict.grade.typical >= Grade::Patient {
                    println!(
                        "  {:<8} {} ({})",
                        verdict.grade.typical.word(),
                        caption::name(&verdict.caption.name),
                        instrument.views[verdict.view].eyepiece,
                    );
                }
            }
        }
    }
    Ok(())
}
