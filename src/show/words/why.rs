//! The line beside a verdict: what holds a detail back, and the one change that would help.

use crate::show::words::unmet;
use crate::targets::grade::Grade;
use crate::targets::limit::{Gain, Larger, Why};

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
        Why::Altitude { altitude_deg, then } => format!(
            "too low at {altitude_deg:.0} degrees: high in the sky {}",
            gain(then)
        ),
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
        Why::RingClosed { opening_deg, then } => format!(
            "the ring is only {opening_deg:.0} degrees open: wide open {}",
            gain(then)
        ),
        Why::Twilight { then } => format!(
            "limited by the twilight: later or earlier in the night {}",
            gain(then)
        ),
        Why::BrightSky { then } => {
            format!("limited by the bright sky: under a dark one {}", gain(then))
        }
        Why::NotThere(ref reason) => unmet::words(reason),
    }
}

fn gain(then: Gain) -> String {
    let word = match then {
        Gain::Surer => "surer",
        Gain::Grade(grade) => grade.word(),
    };
    format!("it would be {word}")
}

fn contrast(grade: Grade) -> String {
    match grade {
        Grade::Beyond => "too faint a mark for any telescope like this one".to_string(),
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
