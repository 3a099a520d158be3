//! One telescope of a night in a line: what it is, when it has to be outside.

use chrono_tz::Tz;

use crate::optics::instrument::Instrument;
use crate::plan::night::TelescopeNight;
use crate::plan::put_out::PutOut;
use crate::show::words::{self, figure};

/// `Rowan, 150 mm f/8: left spherical ...`
pub(super) fn heading(telescope: &TelescopeNight) -> String {
    match &telescope.instrument {
        Ok(instrument) => format!(
            "{}: {}",
            named(&instrument.name, instrument),
            figure::words(&instrument.figure)
        ),
        Err(why) => format!("{}: {why}", telescope.name),
    }
}

/// `Rowan, 150 mm f/8`; a telescope without a name of its own is called by its size.
pub(super) fn named(name: &str, instrument: &Instrument) -> String {
    let size = size(instrument);
    match size.starts_with(name) {
        true => size,
        false => format!("{name}, {size}"),
    }
}

/// `150 mm f/8`
pub(super) fn size(instrument: &Instrument) -> String {
    format!(
        "{:.0} mm f/{}",
        instrument.aperture_mm,
        words::short(instrument.focal_ratio)
    )
}

/// `Put it outside by 15:40 (30 mm glass, 10 degrees to lose).`
pub(super) fn put_out_words(put_out: PutOut, zone: Tz) -> String {
    format!(
        "Put it {} ({:.0} mm glass, {:.0} degrees to lose).",
        outside_by(put_out, zone),
        put_out.cooling.thickness_mm,
        put_out.cooling.to_lose_k
    )
}

/// `outside by 15:40, capped, in shade`
pub(super) fn outside_by(put_out: PutOut, zone: Tz) -> String {
    let shade = if put_out.by_day {
        ", capped, in shade"
    } else {
        ""
    };
    format!("outside by {}{shade}", words::clock(put_out.by, zone))
}
