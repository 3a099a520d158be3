//! One function a command, all of one form: read, plan, show.

use chrono::Utc;

use skyworthy::plan;
use skyworthy::plan::night::Wish;
use skyworthy::show;
use skyworthy::sky::earth::Place;
use skyworthy::workshop;

use super::Answer;
use super::args::Args;
use super::args::BeginArgs;
use super::args::NightArgs;
use super::args::SkyArgs;
use super::failure::Failure;
use super::files;

/// `begin`
pub fn begin(begin: &BeginArgs, overwrite: bool) -> Result<(), Failure> {
    files::write_new(&begin.file, workshop::template(), overwrite)?;
    let name = begin.file.display();
    files::print(&format!(
        "Wrote {name}. Edit it, then:\n  skyworthy --workshop {name}\n"
    ))
}

/// `sky`
pub fn sky(args: &Args, sky: &SkyArgs) -> Result<Answer, Failure> {
    let at = sky.at.unwrap_or_else(Utc::now);
    let (name, zone, place) = match (sky.latitude, sky.longitude) {
        (Some(latitude_deg), Some(longitude_deg)) => (
            format!("{latitude_deg}° north, {longitude_deg}° east"),
            chrono_tz::UTC,
            Place::new(latitude_deg, longitude_deg, sky.elevation.unwrap_or(0.0)),
        ),
        _ => {
            let site = files::workshop(args.workshop.as_deref())?.0.site;
            let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
            (site.name, site.time_zone, place)
        }
    };
    let answer = plan::sky_now::sky_now(place, at).ok_or(Failure::OutsideEphemeris)?;
    Ok(Answer {
        text: if args.json {
            show::sky::json(&answer)
        } else {
            show::sky::text(&answer, &name, zone)
        },
        has_content: true,
    })
}

/// `mirror`
pub fn mirror(args: &Args) -> Result<Answer, Failure> {
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let today = plan::local::night_date(Utc::now(), workshop.site.time_zone);
    let answer = plan::mirror::mirrors(&workshop, today)?;
    Ok(Answer {
        text: if args.json {
            show::mirror_json::json(&answer.mirrors)
        } else {
            with_notice(show::mirror::text(&answer), is_example)
        },
        has_content: true,
    })
}

/// `reach`
pub fn reach(args: &Args) -> Result<Answer, Failure> {
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let today = Utc::now()
        .with_timezone(&workshop.site.time_zone)
        .date_naive();
    let answer = plan::reach::reach(&workshop, today);
    Ok(Answer {
        text: if args.json {
            show::reach_json::json(&answer)
        } else {
            with_notice(show::reach::text(&answer), is_example)
        },
        has_content: !answer.is_empty(),
    })
}

/// `night`
pub fn night(args: &Args, night: &NightArgs) -> Result<Answer, Failure> {
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let tonight = || plan::local::night_date(Utc::now(), workshop.site.time_zone);
    let wish = Wish {
        on: night.on.unwrap_or_else(tonight),
        daylight: night.daylight,
    };
    let answer = plan::night::night(&workshop, wish)?;
    Ok(Answer {
        // A document is an answer even when no target is in it.
        has_content: args.json
            || answer
                .telescopes
                .iter()
                .any(|telescope| !telescope.targets.is_empty()),
        text: if args.json {
            show::night_json::json(&answer)
        } else {
            with_notice(show::night::text(&answer), is_example)
        },
    })
}

/// Tells whoever brought no workshop file whose telescopes these are.
fn with_notice(text: String, is_example: bool) -> String {
    if is_example {
        format!(
            "{text}\nThis is the example workshop, an invented place and invented telescopes.\n\
             Your own: `skyworthy begin`, edit workshop.toml, `skyworthy`.\n"
        )
    } else {
        text
    }
}
