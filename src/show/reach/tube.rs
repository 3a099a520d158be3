//! The lines of a telescope's reach about what stands around the mirror: each for something that
//! a maker can do.

use crate::optics::sphere::SphereWorth;
use crate::plan::reach::Reach;
use crate::plan::tube::{CoolDown, DiagonalFit};
use crate::show::words::{self, coat};
use crate::units::ARCMIN_PER_DEG;
use crate::workshop::Glass;

/// Labels and sentences, in order; what is not known has no line.
pub(super) fn lines(reach: &Reach) -> Vec<(&'static str, String)> {
    let tube = &reach.tube;
    let lines = [
        ("sphere", sphere(reach)),
        ("diagonal", tube.diagonal.map(|fit| diagonal(reach, fit))),
        ("coma", Some(coma(reach))),
        ("collimation", Some(collimation(reach))),
        ("coating", coating(reach)),
        ("cooling", tube.cooling.map(cooling)),
        ("eyepiece at", height(reach)),
    ];
    (lines.into_iter())
        .filter_map(|(label, words)| Some((label, words?)))
        .collect()
}

/// Only for a mirror that is one.
fn sphere(reach: &Reach) -> Option<String> {
    let sphere = reach.tube.sphere;
    let size_mm = reach.instrument.aperture_mm;
    let over_all = format!("{:.2} wave over the whole disc", sphere.wavefront_pv_waves);
    let (quarter, eighth) = (
        sphere.quarter_wave_focal_ratio,
        sphere.eighth_wave_focal_ratio,
    );
    reach.tube.is_left_spherical.then(|| match sphere.worth {
        SphereWorth::WithinEighth => format!(
            "straight bands are enough: {over_all}, even an eighth is kept (at {size_mm:.0} mm \
             from f/{eighth:.1} on)"
        ),
        SphereWorth::WithinQuarter => format!(
            "straight bands are enough: {over_all}, Rayleigh's rule bears a quarter (at \
             {size_mm:.0} mm from f/{quarter:.1} on; an eighth from f/{eighth:.1})"
        ),
        SphereWorth::NeedsParaboloid if sphere.is_borderline() => format!(
            "straight bands are just about enough: {over_all}, Rayleigh's rule bears a quarter (at \
             {size_mm:.0} mm from f/{quarter:.1} on): a paraboloid would hardly show"
        ),
        SphereWorth::NeedsParaboloid => format!(
            "straight bands are not enough: {over_all}, Rayleigh's rule bears a quarter (at \
             {size_mm:.0} mm from f/{quarter:.1} on): figure it toward the paraboloid"
        ),
    })
}

fn diagonal(reach: &Reach, fit: DiagonalFit) -> String {
    let taken = format!(
        "(taken: {:.0} mm from diagonal to focal plane)",
        fit.to_focus_mm
    );
    let offset = format!(
        "set it {:.1} mm off the axis, away from the focuser and toward the mirror",
        fit.offset_mm
    );
    let Some(fully_lit_mm) = fit.fully_lit_mm else {
        return format!(
            "too small: the middle of the view sees {:.0} mm of the mirror; {:.0} mm would light 10 \
             mm of field fully {taken}; {offset}",
            fit.aperture_used_mm, fit.needed_mm
        );
    };
    let widest = &reach.instrument.views[fit.widest_view_idx].eyepiece;
    let lights = if fully_lit_mm >= fit.widest_view_mm {
        format!("lights the whole view of the {widest} fully")
    } else {
        format!(
            "lights the middle {fully_lit_mm:.0} mm of the view fully, the edge of the {widest}'s \
             ({:.0} mm across) to {:.0} %",
            fit.widest_view_mm,
            100.0 * fit.edge_illumination
        )
    };
    format!("{lights} {taken}; {offset}")
}

fn coma(reach: &Reach) -> String {
    let coma = reach.tube.coma;
    let widest = &reach.instrument.views[coma.widest_view_idx];
    if coma.sharp_field_arcmin >= widest.true_field_deg * ARCMIN_PER_DEG {
        return format!(
            "none to speak of: sharp to the edge of the {}",
            widest.eyepiece
        );
    }
    format!(
        "keep what is fine within the middle {:.0}' ({:.1} mm): there coma leaves a star sharp; at \
         the edge of the {} it draws one out to {:.0}\"",
        coma.sharp_field_arcmin, coma.sharp_field_mm, widest.eyepiece, coma.edge_tail_arcsec
    )
}

fn collimation(reach: &Reach) -> String {
    let tolerance = reach.tube.collimation;
    format!(
        "aim the mirror to {:.1}', which is {:.2} mm at its edge: its axis within {:.1} mm of the \
         middle of the view",
        tolerance.tilt_arcmin, tolerance.at_edge_mm, tolerance.at_focus_mm
    )
}

/// Only where kind and day are known: the rest stands among what was assumed.
fn coating(reach: &Reach) -> Option<String> {
    let coat = reach.tube.coat;
    let (kind, age) = (coat.kind.word()?, coat::age_words(coat)?);
    let cost_mag = coat.cost_mag();
    let cost = if cost_mag < LEAST_COST_MAG {
        String::from("costs nothing that shows")
    } else {
        format!("costs {cost_mag:.1} magnitudes against a fresh one")
    };
    let about = if coat.is_older_than_table {
        "at most"
    } else {
        "about"
    };
    let advice = if coat.may_be_due {
        "; look at it by daylight: brown or cloudy patches, or a lamp shining through, ask for a \
         new one"
    } else {
        ""
    };
    Some(format!(
        "{kind} {age}: {about} {:.0} % each mirror, {cost}{advice}",
        100.0 * coat.reflectivity
    ))
}

fn cooling(cooling: CoolDown) -> String {
    format!(
        "put it outside {} before the first look ({:.0} mm of {} glass, {:.0} degrees to lose, its \
         back open); {} with a fan, {} with its back closed in",
        hours(cooling.still_air_min),
        cooling.thickness_mm,
        glass(cooling.glass),
        cooling.to_lose_k,
        hours(cooling.fan_min),
        hours(cooling.back_closed_min),
    )
}

/// What a blank is made of: `plate`, as the workshop file has it.
fn glass(glass: Glass) -> &'static str {
    match glass {
        Glass::Plate => "plate",
        Glass::Borosilicate => "borosilicate",
    }
}

fn height(reach: &Reach) -> Option<String> {
    let height = reach.tube.eyepiece_height?;
    Some(format!(
        "{:.2} m above the ground at 30 degrees up, {:.2} m at 80",
        height.at_30_deg_m, height.at_80_deg_m
    ))
}

/// To the half hour: the air is not known any better; below an hour to ten minutes.
fn hours(minutes: f64) -> String {
    if minutes < 55.0 {
        format!("{:.0} minutes", ((minutes / 10.0).round() * 10.0).max(10.0))
    } else {
        let hours = (minutes / 30.0).round() / 2.0;
        let plural = if hours == 1.0 { "" } else { "s" };
        format!("{} hour{plural}", words::short(hours))
    }
}

/// A twentieth of a magnitude: nobody sees it.
const LEAST_COST_MAG: f64 = 0.05;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_no_finer_than_the_air() {
        for (minutes, want) in [
            (4.0, "10 minutes"),
            (46.2, "50 minutes"),
            (58.0, "1 hour"),
            (112.8, "2 hours"),
            (229.0, "4 hours"),
            (95.8, "1.5 hours"),
        ] {
            assert_eq!(hours(minutes), want);
        }
    }
}
