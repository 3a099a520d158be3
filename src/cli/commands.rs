//! One function a command, all of one form: read, plan, show.

use std::path::Path;

use chrono::{NaiveDate, Utc};

use skyworthy::optics::instrument::Instrument;
use skyworthy::plan::bands::RonchiTest;
use skyworthy::plan::called::meant;
use skyworthy::plan::clock_window::ClockWindow;
use skyworthy::plan::local::night_window;
use skyworthy::plan::mirror::Mirrors;
use skyworthy::plan::night::Wish;
use skyworthy::plan::refusal::{NoNight, NoSuchTelescope};
use skyworthy::sky::earth::Place;
use skyworthy::workshop::{KnifeSource, Telescope, Workshop};
use skyworthy::{plan, show, workshop};

use super::args::{
    Args, BandsArgs, BeginArgs, BenchArgs, MirrorArgs, NightArgs, ReachArgs, SkyArgs, Source,
};
use super::called::id_said;
use super::failure::Failure;
use super::form::{DRAWN, Form, WORDS, check_ending, form, laid_out};
use super::{Answer, files};

/// `begin`
pub fn begin(begin: &BeginArgs, overwrite: bool) -> Result<(), Failure> {
    files::write_new(&begin.file, workshop::template().as_bytes(), overwrite)?;
    let name = begin.file.display();
    let next = format!("Wrote {name}. Edit it, then:\n  skyworthy --workshop {name}\n");
    files::print(next.as_bytes())
}

/// `sky`
pub fn sky(args: &Args, sky: &SkyArgs) -> Result<Answer, Failure> {
    let form = form(args, WORDS)?;
    let at = sky.at.unwrap_or_else(Utc::now);
    let (name, zone, place, is_example) = match (sky.latitude, sky.longitude) {
        (Some(latitude_deg), Some(longitude_deg)) => (
            format!("{latitude_deg}° north, {longitude_deg}° east"),
            chrono_tz::UTC,
            Place::new(latitude_deg, longitude_deg, sky.elevation.unwrap_or(0.0)),
            false,
        ),
        _ => {
            let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
            let site = workshop.site;
            let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
            (site.name, site.time_zone, place, is_example)
        }
    };
    let answer = plan::sky_now::sky_now(place, at)?;
    Ok(Answer {
        bytes: match form {
            Form::Json => show::sky::json(&answer),
            // On the terminal the place's name is enough.
            _ => {
                let page = show::sky::page(&answer, &name, zone);
                laid_out(page, form, args, is_example && args.output.is_some())
            }
        }
        .into_bytes(),
        has_content: true,
    })
}

/// The workshop with that telescope alone; without a name with all.
fn workshop_of(args: &Args, name: Option<&str>) -> Result<(Workshop, bool), Failure> {
    let (mut workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    if name.is_some() {
        let only = telescope(&workshop, name)?.clone();
        workshop.telescopes = vec![only];
    }
    Ok((workshop, is_example))
}

/// `bench`
pub fn bench(args: &Args, wanted: &BenchArgs) -> Result<Answer, Failure> {
    let form = form(args, DRAWN)?;
    let (workshop, is_example) = workshop_of(args, wanted.telescope.as_deref())?;
    let answer = plan::bench::bench(&workshop, wanted.zones)?;
    Ok(Answer {
        bytes: match (form, &answer[..]) {
            (Form::Svg, [one]) => show::picture::mask::svg(one).into_bytes(),
            (Form::Png, [one]) => show::picture::mask::png(one),
            (Form::Svg | Form::Png, _) => {
                return Err(Failure::WhichMask(telescope_names(&workshop)));
            }
            (Form::Json, all) => show::bench::json(all).into_bytes(),
            (_, all) => laid_out(show::bench::page(all), form, args, is_example).into_bytes(),
        },
        has_content: true,
    })
}

/// `mirror`
pub fn mirror(args: &Args, mirror: &MirrorArgs) -> Result<Answer, Failure> {
    let form = form(args, WORDS)?;
    let (workshop, is_example) = workshop_of(args, mirror.telescope.as_deref())?;
    let today = plan::local::night_date(Utc::now(), workshop.site.time_zone);
    let answer = plan::mirror::mirrors(&workshop, today)?;
    if let Some(path) = &mirror.certificate {
        certify(&answer, path, args.overwrite)?;
    }
    if let Some(folder) = &mirror.pictures {
        draw(&answer, folder, args.overwrite)?;
    }
    Ok(Answer {
        bytes: match form {
            Form::Json => show::mirror::json(&answer.mirrors),
            _ => laid_out(
                show::mirror::page(&answer, mirror.ways),
                form,
                args,
                is_example,
            ),
        }
        .into_bytes(),
        has_content: true,
    })
}

/// The one mirror's certificate, where it has one.
fn certify(answer: &Mirrors, path: &Path, overwrite: bool) -> Result<(), Failure> {
    check_ending(path, &[Form::Html])?;
    let [outcome] = &answer.mirrors[..] else {
        let names = answer.mirrors.iter().map(|outcome| outcome.name.clone());
        return Err(Failure::WhichCertificate(names.collect()));
    };
    let refused = |why: String| Failure::NotCertified(outcome.name.clone(), why);
    let judged = (outcome.judged.as_ref()).map_err(|why| refused(why.to_string()))?;
    let glass = plan::pictures::glass(judged);
    let page = show::mirror::certificate_page(judged, glass.as_ref()).map_err(refused)?;
    files::write_new(path, page.as_bytes(), overwrite)
}

/// Every judged mirror's pictures, into a folder.
fn draw(answer: &Mirrors, folder: &Path, overwrite: bool) -> Result<(), Failure> {
    files::make_folder(folder)?;
    let judged = answer.mirrors.iter().flat_map(|outcome| &outcome.judged);
    for (idx, judged) in judged.enumerate() {
        let pictures = plan::pictures::pictures(judged);
        // A telescope may be called anything; a file may not.
        let stem = format!("{}-{}", idx + 1, file_stem(&pictures.subject.name));
        for drawn in show::picture::all(&pictures) {
            let path = folder.join(format!("{stem}-{}", drawn.file));
            files::write_new(&path, drawn.svg.as_bytes(), overwrite)?;
        }
    }
    Ok(())
}

/// Letters and digits of a name, the rest as dashes.
fn file_stem(name: &str) -> String {
    let safe = |c: char| if c.is_alphanumeric() { c } else { '-' };
    name.chars().map(safe).collect()
}

/// `bands`
pub fn bands(args: &Args, wanted: &BandsArgs) -> Result<Answer, Failure> {
    let form = form(args, DRAWN)?;
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let today = plan::local::night_date(Utc::now(), workshop.site.time_zone);
    let telescope = telescope(&workshop, wanted.telescope.as_deref())?;
    let instrument = Instrument::of(&workshop, telescope, today)?;
    let ronchi = RonchiTest {
        lines_per_mm: wanted.lines_per_mm,
        offset_mm: wanted.offset_mm,
        source: match wanted.source {
            Source::Fixed => KnifeSource::Fixed,
            Source::Moving => KnifeSource::Moving,
        },
    };
    let answer = plan::bands::bands(telescope, &instrument, ronchi);
    if answer.is_crowded() && matches!(form, Form::Svg | Form::Png) {
        return Err(Failure::TooManyBands);
    }
    Ok(Answer {
        bytes: match form {
            Form::Svg => show::picture::bands::svg(&answer).into_bytes(),
            Form::Png => show::picture::bands::png(&answer),
            Form::Json => show::bands::json(&answer).into_bytes(),
            _ => laid_out(show::bands::page(&answer), form, args, is_example).into_bytes(),
        },
        has_content: true,
    })
}

/// The telescope of that name; without a name the first.
pub fn telescope<'a>(workshop: &'a Workshop, name: Option<&str>) -> Result<&'a Telescope, Failure> {
    let Some(name) = name else {
        return Ok(&workshop.telescopes[0]);
    };
    let mut telescopes = workshop.telescopes.iter();
    telescopes
        .find(|telescope| telescope.name == name)
        .ok_or_else(|| NoSuchTelescope::new(workshop, name).into())
}

/// Those of that name, none twice; without a name all.
pub fn telescopes<'a>(
    workshop: &'a Workshop,
    names: &[String],
) -> Result<Vec<&'a Telescope>, Failure> {
    if names.is_empty() {
        return Ok(workshop.telescopes.iter().collect());
    }
    let mut found: Vec<&Telescope> = Vec::new();
    for name in names {
        let telescope = telescope(workshop, Some(name))?;
        if found.iter().all(|known| known.name != telescope.name) {
            found.push(telescope);
        }
    }
    Ok(found)
}

pub fn telescope_names(workshop: &Workshop) -> Vec<String> {
    let telescopes = workshop.telescopes.iter();
    telescopes.map(|telescope| telescope.name.clone()).collect()
}

/// `reach`
pub fn reach(args: &Args, wanted: &ReachArgs) -> Result<Answer, Failure> {
    let form = form(args, WORDS)?;
    if let Some(said) = &wanted.explain {
        return explain(args, form, said, wanted.on);
    }
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let on = wanted
        .on
        .unwrap_or_else(|| plan::local::night_date(Utc::now(), workshop.site.time_zone));
    let answer = plan::reach::reach(&workshop, on);
    Ok(Answer {
        bytes: match form {
            Form::Json => show::reach::json(&answer),
            _ => laid_out(show::reach::page(&answer), form, args, is_example),
        }
        .into_bytes(),
        has_content: !answer.is_empty(),
    })
}

/// `reach --explain`
fn explain(args: &Args, form: Form, said: &str, on: Option<NaiveDate>) -> Result<Answer, Failure> {
    let id = &id_said(said, meant(said, &[]))?;
    let (workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let zone = workshop.site.time_zone;
    let noon = |on| night_window(on, zone).ok_or(NoNight::NoSuchDate);
    let from = (on.map(noon).transpose()?).map_or_else(Utc::now, |night| night.from);
    let answer = plan::explain::detail_explained(&workshop, id, from)?;
    // On the terminal whoever asks for a detail knows whose telescopes these are.
    let is_told = is_example && args.output.is_some();
    let words = answer.map(|explained| match form {
        Form::Json => show::explain::json(&explained),
        _ => laid_out(show::explain::page(&explained, zone), form, args, is_told),
    });
    Ok(Answer {
        has_content: words.is_some(),
        bytes: words
            .unwrap_or_else(|| format!("{id} is not there in the coming thirteen months.\n"))
            .into_bytes(),
    })
}

/// `night`
pub fn night(args: &Args, night: &NightArgs) -> Result<Answer, Failure> {
    let form = form(args, &[Form::Text, Form::Html, Form::Svg, Form::Json])?;
    let (mut workshop, is_example) = files::workshop(args.workshop.as_deref())?;
    let asked_for = telescopes(&workshop, &night.telescope)?;
    workshop.telescopes = asked_for.into_iter().cloned().collect();
    let is_detailed = night.all || !night.telescope.is_empty() || workshop.telescopes.len() == 1;
    let tonight = || plan::local::night_date(Utc::now(), workshop.site.time_zone);
    let wish = Wish {
        on: night.on.unwrap_or_else(tonight),
        daylight: night.daylight,
    };
    if form == Form::Svg {
        return night_picture(&workshop, wish, night.window.as_deref());
    }
    if night.window.is_some() {
        return Err(Failure::WindowWithoutPicture);
    }
    let answer = plan::night::night(&workshop, wish)?;
    Ok(Answer {
        // A document is an answer even when no target is in it.
        has_content: form == Form::Json
            || answer
                .telescopes
                .iter()
                .any(|telescope| !telescope.targets.is_empty()),
        bytes: match form {
            Form::Json => show::night::json(&answer),
            _ if is_detailed => laid_out(show::night::page(&answer), form, args, is_example),
            _ => laid_out(show::night::overview(&answer), form, args, is_example),
        }
        .into_bytes(),
    })
}

/// `night --output night.svg`
fn night_picture(workshop: &Workshop, wish: Wish, window: Option<&str>) -> Result<Answer, Failure> {
    if wish.daylight {
        return Err(Failure::PictureByDay);
    }
    let session = window
        .map(|said| ClockWindow::said(said)?.on(wish.on, workshop.site.time_zone))
        .transpose()?;
    let curves = plan::night_curves::night_curves(&workshop.site, wish.on, session)?;
    Ok(Answer {
        bytes: show::picture::night::svg(&curves).into_bytes(),
        has_content: !curves.bodies.is_empty(),
    })
}
