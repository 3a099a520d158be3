//! The place and who looks: `[site]` and `[observer]`.

use std::str::FromStr;

use chrono::{NaiveDate, TimeZone};
use chrono_tz::{OffsetComponents, TZ_VARIANTS, Tz};
use toml::de::DeValue;

use crate::workshop::error::Complaint;
use crate::workshop::{
    Assumed, Darkness, Horizon, Observer, Seeing, SeeingScale, Site, Taken, wording,
};

use super::evening;
use super::keys::{FILE, Grammar, HORIZON_CORNER, OBSERVER, SEEING_ARCSEC, SEEING_SCALE, SITE};
use super::section::{Page, Section, Value};
use crate::workshop::near::near_miss;

/// A village or the edge of a small town (common practice, no source).
const USUAL_DARKNESS_MAG_ARCSEC2: f64 = 20.0;

/// Observers who say nothing are taken to be of middle age.
const USUAL_OBSERVER: Observer = Observer {
    age_years: 40.0,
    margin_dex: 0.0,
};

pub(super) fn observer(file: &Section, notes: &mut Vec<Assumed>) -> Result<Observer, Complaint> {
    let Some(value) = file.value("observer") else {
        let value = format!("{} years", USUAL_OBSERVER.age_years);
        notes.push(Assumed {
            key: "observer.age_years".to_string(),
            value: Taken::Words(value),
        });
        return Ok(USUAL_OBSERVER);
    };
    let section = Section::open(file.page, &OBSERVER, file.key("observer"), value)?;
    let age_years = section.number_or("age_years", USUAL_OBSERVER.age_years, notes)?;
    let margin_dex = section.number("margin_dex")?;
    Ok(Observer {
        age_years,
        margin_dex: margin_dex.unwrap_or(USUAL_OBSERVER.margin_dex),
    })
}

pub(super) fn site(page: Page, value: &Value, notes: &mut Vec<Assumed>) -> Result<Site, Complaint> {
    let section = Section::open(page, &SITE, FILE.key("site"), value)?;
    let latitude_deg = section.needed_number("latitude_deg")?;
    let longitude_deg = section.needed_number("longitude_deg")?;
    Ok(Site {
        name: match section.text("name")? {
            Some(name) => name,
            None => coordinates(latitude_deg, longitude_deg),
        },
        latitude_deg,
        longitude_deg,
        elevation_m: section.number_or("elevation_m", 0.0, notes)?,
        time_zone: match section.text("time_zone")? {
            Some(name) => named_zone(&section, &name, longitude_deg)?,
            None => nautical_zone(&section, longitude_deg, notes),
        },
        darkness: darkness(&section, notes)?,
        seeing: seeing(&section, notes)?,
        horizon: horizon(&section, notes)?,
        marks: evening::marks(&section)?,
    })
}

/// What a place without a name is called: `43.20 N, 2.90 W`.
fn coordinates(latitude_deg: f64, longitude_deg: f64) -> String {
    let north = if latitude_deg < 0.0 { 'S' } else { 'N' };
    let east = if longitude_deg < 0.0 { 'W' } else { 'E' };
    format!(
        "{:.2} {north}, {:.2} {east}",
        latitude_deg.abs(),
        longitude_deg.abs()
    )
}

fn named_zone(section: &Section, name: &str, longitude_deg: f64) -> Result<Tz, Complaint> {
    let Ok(zone) = Tz::from_str(name) else {
        let trouble = wording::unknown_zone(name, &near_zones(name));
        return Err(section.complaint("time_zone", trouble));
    };
    match standard_offset_h(zone) {
        Some(offset_h) if FARTHEST_ZONE_H < hours_apart(offset_h, longitude_deg) => {
            let other_side = hours_apart(offset_h, -longitude_deg) <= FARTHEST_ZONE_H;
            let trouble = wording::zone_far_away(name, offset_h, longitude_deg, other_side);
            Err(section.complaint("time_zone", trouble))
        }
        _ => Ok(zone),
    }
}

/// Clocks of a whole country may be three hours from the Sun, hardly ever more than four.
const FARTHEST_ZONE_H: f64 = 5.0;

/// Ahead of UTC without summer time; `None` for zones that belong to no place, or to stations that keep the time
/// of their harbour.
fn standard_offset_h(zone: Tz) -> Option<f64> {
    let placeless = [
        "Etc/",
        "UTC",
        "UCT",
        "GMT",
        "Zulu",
        "Universal",
        "Greenwich",
        "Antarctica/",
    ];
    if placeless.iter().any(|start| zone.name().starts_with(start)) {
        return None;
    }
    // Any day does: zones do not move by hours.
    let day = NaiveDate::from_ymd_opt(2025, 1, 1)?.and_hms_opt(0, 0, 0)?;
    let offset = zone.offset_from_utc_datetime(&day).base_utc_offset();
    Some(offset.num_minutes() as f64 / 60.0)
}

/// Between the clock and the Sun's own time there, either way around the Earth.
fn hours_apart(offset_h: f64, longitude_deg: f64) -> f64 {
    let apart_h = (offset_h - longitude_deg / 15.0).rem_euclid(24.0);
    apart_h.min(24.0 - apart_h)
}

/// The zone with a name nearly like this, or those whose city is.
fn near_zones(name: &str) -> Vec<&'static str> {
    let city = |zone: &'static str| zone.rsplit('/').next().unwrap_or(zone);
    let names = || TZ_VARIANTS.iter().map(|zone| zone.name());
    // "CEST" or "UTC+1" are near a dozen others that mean something else.
    if name.chars().count() < 5 || name.contains(|c: char| c == '+' || c.is_ascii_digit()) {
        return Vec::new();
    }
    if let Some(near) = near_miss(name, names().filter(|zone| zone.contains('/'))) {
        return vec![near];
    }
    let wanted = name.rsplit('/').next().unwrap_or(name);
    match near_miss(wanted, names().map(city)) {
        Some(near) => names().filter(|zone| city(zone) == near).take(3).collect(),
        None => Vec::new(),
    }
}

/// Whole hours by longitude, as at sea: no summer time.
fn nautical_zone(section: &Section, longitude_deg: f64, notes: &mut Vec<Assumed>) -> Tz {
    let hours = (longitude_deg / 15.0).round() as i32;
    // The names count the other way round: east of Greenwich is minus.
    let name = match hours {
        0 => "Etc/GMT".to_string(),
        _ => format!("Etc/GMT{:+}", -hours),
    };
    let says = match hours {
        0 => "UTC all year, by the longitude".to_string(),
        _ => format!("UTC{hours:+} all year, by the longitude"),
    };
    notes.push(section.note("time_zone", &says));
    Tz::from_str(&name).expect("there is a zone for each whole hour from -12 to 12")
}

fn darkness(section: &Section, notes: &mut Vec<Assumed>) -> Result<Darkness, Complaint> {
    match section.one_of(&["sky_brightness_mag_arcsec2", "faintest_star_mag"])? {
        Some("faintest_star_mag") => Ok(Darkness::FaintestStarMag(
            section.needed_number("faintest_star_mag")?,
        )),
        _ => Ok(Darkness::MagArcsec2(section.number_or(
            "sky_brightness_mag_arcsec2",
            USUAL_DARKNESS_MAG_ARCSEC2,
            notes,
        )?)),
    }
}

fn seeing(section: &Section, notes: &mut Vec<Assumed>) -> Result<Seeing, Complaint> {
    match section.one_of(&["seeing_arcsec", "seeing_scale"])? {
        Some("seeing_arcsec") => seeing_arcsec(section),
        Some(_) => seeing_scale(section),
        None => {
            let [good, typical, poor] = Seeing::USUAL_ARCSEC;
            let value = format!("good {good}\", typical {typical}\", poor {poor}\"");
            notes.push(section.note("seeing_arcsec", &value));
            Ok(Seeing::Arcsec {
                good,
                typical,
                poor,
            })
        }
    }
}

/// The table under a key that is known to be there.
fn table<'a>(
    section: &Section<'a>,
    name: &str,
    grammar: &'static Grammar,
) -> Result<Section<'a>, Complaint> {
    let value = section
        .value(name)
        .expect("only asked for when it is there");
    Section::open(section.page, grammar, section.key(name), value)
}

fn seeing_arcsec(section: &Section) -> Result<Seeing, Complaint> {
    let table = table(section, "seeing_arcsec", &SEEING_ARCSEC)?;
    let good = table.needed_number("good")?;
    let typical = table.needed_number("typical")?;
    let poor = table.needed_number("poor")?;
    if !(good <= typical && typical <= poor) {
        let trouble = wording::seeing_order(good, typical, poor);
        return Err(section.complaint("seeing_arcsec", trouble));
    }
    Ok(Seeing::Arcsec {
        good,
        typical,
        poor,
    })
}

fn seeing_scale(section: &Section) -> Result<Seeing, Complaint> {
    let table = table(section, "seeing_scale", &SEEING_SCALE)?;
    let scale = match table.needed_word("scale")? {
        "antoniadi" => SeeingScale::Antoniadi,
        _ => SeeingScale::Pickering,
    };
    Ok(Seeing::Scale {
        scale,
        value: scale_value(&table, scale)?,
        aperture_mm: table.needed_number("aperture_mm")?,
    })
}

fn scale_value(table: &Section, scale: SeeingScale) -> Result<f64, Complaint> {
    let value = match (table.value("value").map(|value| value.get_ref()), scale) {
        (Some(DeValue::String(numeral)), SeeingScale::Antoniadi) => roman(numeral),
        (Some(DeValue::String(_)), SeeingScale::Pickering) => None,
        _ => Some(table.needed_number("value")?),
    };
    let written = || {
        table
            .value("value")
            .map_or("", |value| table.page.written(value))
    };
    match value {
        None => Err(table.complaint("value", wording::no_roman_numeral(written()))),
        Some(value) if scale == SeeingScale::Antoniadi && value > 5.0 => {
            Err(table.complaint("value", wording::antoniadi_beyond_five(written())))
        }
        Some(value) => Ok(value),
    }
}

fn roman(numeral: &str) -> Option<f64> {
    let numerals = ["I", "II", "III", "IV", "V"];
    let idx = numerals
        .iter()
        .position(|known| numeral.trim().eq_ignore_ascii_case(known))?;
    Some(idx as f64 + 1.0)
}

fn horizon(section: &Section, notes: &mut Vec<Assumed>) -> Result<Horizon, Complaint> {
    let Some(list) = section.list("horizon")? else {
        notes.push(section.note("horizon", "flat, open all round"));
        return Ok(Horizon::flat());
    };
    let mut corners: Vec<(f64, f64)> = Vec::new();
    for value in list {
        let corner = section.page.pair(&HORIZON_CORNER, value)?;
        if let Some(before) = corners.last().filter(|before| before.0 >= corner.0) {
            let trouble = wording::horizon_order(before.0, corner.0);
            return Err(section.page.complaint(value.span().start, trouble));
        }
        corners.push(corner);
    }
    close_ring(section, &mut corners)?;
    Ok(Horizon::from_corners(corners).expect("azimuths and altitudes were checked one by one"))
}

/// A corner at azimuth 360 is the one at 0.
fn close_ring(section: &Section, corners: &mut Vec<(f64, f64)>) -> Result<(), Complaint> {
    let Some(&(_, at_360)) = corners.last().filter(|corner| corner.0 == 360.0) else {
        return Ok(());
    };
    corners.pop();
    match corners.first() {
        Some(&(0.0, at_0)) if at_0 == at_360 => Ok(()),
        Some(&(0.0, at_0)) => {
            let trouble = wording::horizon_ends_apart(at_0, at_360);
            Err(section.complaint("horizon", trouble))
        }
        _ => {
            corners.insert(0, (0.0, at_360));
            Ok(())
        }
    }
}
