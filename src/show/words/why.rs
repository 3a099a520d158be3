//! The line beside a verdict: what holds a detail back, and the one change that would help.

use crate::targets::grade::Grade;
use crate::targets::limit::{Gain, Larger, Shortcoming, Why};

/// In one line.
pub fn words(why: &Why) -> String {
    match *why {
        Why::Nothing => "nothing stands in its way".to_string(),
        Why::PoorAir {
            seeing_arcsec,
            grade,
        } => format!("in {seeing_arcsec:.1}\" air it is {}", grade.word()),
        Why::Contrast { grade } => contrast(grade),
        Why::Air {
            seeing_arcsec,
            grade,
        } => format!(
            "limited by the air: in {seeing_arcsec:.1}\" air it is {}",
            grade.word()
        ),
        Why::RareAir {
            below_arcsec,
            grade,
        } => format!(
            "limited by the air: to be {} it needs nights below {below_arcsec:.1}\"",
            grade.word()
        ),
        Why::Altitude {
            altitude_deg,
            highest_deg: Some(highest_deg),
            then,
        } => format!(
            "too low at {altitude_deg:.0} degrees: at {highest_deg:.0}, its highest, {}",
            gain(then)
        ),
        Why::Altitude { altitude_deg, .. } => format!("too low at {altitude_deg:.0} degrees"),
        Why::Aperture { larger } => larger_mirror("aperture", larger),
        Why::Brightness { larger } => larger_mirror("light", larger),
        Why::Figure { then } => format!(
            "limited by the figure: with a perfect mirror {}",
            gain(then)
        ),
        Why::Obstruction { then } => {
            format!("limited by the diagonal: without it {}", gain(then))
        }
        Why::Magnification { then } => {
            format!(
                "limited by the eyepieces: at the right power {}",
                gain(then)
            )
        }
        Why::Appearance { shortcoming, then } => {
            format!("{} {}", shortcoming_words(shortcoming), gain(then))
        }
        Why::TooStrong {
            magnification,
            highest,
            then,
        } => format!(
            "the weakest eyepiece, {magnification:.0}x, is too strong for the air: at {highest:.0}x {}",
            gain(then)
        ),
        Why::Twilight { then } => format!(
            "limited by the twilight: later or earlier in the night {}",
            gain(then)
        ),
        Why::BrightSky { then } => {
            format!("limited by the bright sky: under a dark one {}", gain(then))
        }
    }
}

/// The reason of several places on the Moon over which the Sun is high.
pub fn under_high_sun(then: Gain) -> String {
    format!(
        "the Sun is high over them: with a low Sun they would be {}",
        gained(then)
    )
}

/// What is the matter, and when it would be better; what then would be follows.
fn shortcoming_words(shortcoming: Shortcoming) -> String {
    match shortcoming {
        Shortcoming::RingClosed {
            opening_deg,
            opens_in,
        } => {
            let year = opens_in.map_or(String::new(), |year| format!(" in {year}"));
            format!(
                "the ring is only {} open: wide open{year}",
                degrees(opening_deg)
            )
        }
        Shortcoming::SmallDisc {
            diameter_arcsec,
            best_arcsec,
        } => format!("the disc is only {diameter_arcsec:.1}\" wide: at {best_arcsec:.0}\""),
        Shortcoming::PoleTipped {
            tipped_deg,
            best_deg,
        } if tipped_deg < 0.0 => format!(
            "foreshortened, tipped {} away: tipped {best_deg:.0} toward us",
            degrees(-tipped_deg)
        ),
        Shortcoming::PoleTipped {
            tipped_deg,
            best_deg,
        } => {
            format!(
                "foreshortened, tipped {} toward us: at {best_deg:.0}",
                degrees(tipped_deg)
            )
        }
        Shortcoming::TurnedAway => {
            String::from("on the side turned away then: in the middle of the disc")
        }
        Shortcoming::NearLimb { from_middle_deg } => {
            format!(
                "foreshortened {} from the middle of the disc: there",
                degrees(from_middle_deg)
            )
        }
        Shortcoming::HighSun { sun_altitude_deg } => {
            format!(
                "the Sun stands {} over it: with a low Sun",
                degrees(sun_altitude_deg)
            )
        }
        Shortcoming::LowSun { sun_altitude_deg } => {
            format!(
                "the Sun stands only {} over it: higher",
                degrees(sun_altitude_deg)
            )
        }
        Shortcoming::TooFull { lit, best_lit } => {
            let best = match best_lit {
                best if best < 0.25 => "as a thin crescent".to_string(),
                best => format!("at {:.0} %", 100.0 * best),
            };
            format!("the disc is {:.0} % lit: {best}", 100.0 * lit)
        }
    }
}

fn degrees(deg: f64) -> String {
    match format!("{deg:.0}").as_str() {
        "1" => "1 degree".to_string(),
        many => format!("{many} degrees"),
    }
}

fn gain(then: Gain) -> String {
    format!("it would be {}", gained(then))
}

fn gained(then: Gain) -> &'static str {
    match then {
        Gain::Surer => "surer",
        Gain::Grade(grade) => grade.word(),
    }
}

fn contrast(grade: Grade) -> String {
    match grade {
        Grade::Beyond => "too faint or too small for any telescope like this one".to_string(),
        _ => format!("a faint mark: {} is as good as it gets", grade.word()),
    }
}

fn larger_mirror(wanting: &str, larger: Option<Larger>) -> String {
    match larger {
        Some(Larger { aperture_mm, grade }) => format!(
            "limited by {wanting}: in {aperture_mm:.0} mm it would be {}",
            grade.word()
        ),
        None => format!("limited by {wanting}: no portable mirror is large enough"),
    }
}
