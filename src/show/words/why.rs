//! The line beside a verdict: what holds a detail back, and the one change that would help.

use crate::targets::grade::Grade;
use crate::targets::limit::{Gain, Larger, Shortcoming, Why};
use crate::targets::verdict::Verdict;

/// In one line, by itself.
pub fn words(why: &Why) -> String {
    let matter = matter(why);
    match (why, change(why)) {
        (_, None) => matter,
        // What good air brings is there already.
        (Why::Air { grade, .. }, Some(change)) => {
            format!("{matter}: {} it is {}", change.with, grade.word())
        }
        (_, Some(change)) => match helps(&change) {
            Some(helps) => format!("{matter}: {helps}"),
            None => format!("{matter}, {NOT_ALL}"),
        },
    }
}

/// The same beside the grades of three airs: nothing that the columns say already, and what else would do than to wait for
/// better air.
pub fn beside_grades(verdict: &Verdict) -> String {
    let why = &verdict.why;
    let (matter, change) = match why {
        Why::Air { .. } => (String::from("the air"), None),
        _ => (matter(why), self::change(why)),
    };
    let instead = verdict.instead.as_ref().and_then(self::change);
    let in_typical_air = |change: &Change| helps_beside(change, verdict.grade.good);
    match change.as_ref().map(in_typical_air) {
        Some(Some(helps)) => format!("{matter}: {helps}"),
        Some(None) => format!("{matter}, {NOT_ALL}"),
        None => match instead.and_then(|it| in_typical_air(&it)) {
            Some(helps) => format!("{matter}; {helps}"),
            None => matter,
        },
    }
}

/// What else gains a grade in typical air: `in 250 mm it would be plain`.
pub fn instead(why: &Why) -> Option<String> {
    helps(&change(why)?)
}

/// The reason of several places on the Moon over which the Sun is high.
pub fn under_high_sun(then: Gain) -> String {
    let matter = "the Sun is high over them";
    match then {
        Gain::Grade(grade) => {
            format!("{matter}: with a low Sun they would be {}", grade.word())
        }
        Gain::NotEnough => format!("{matter}, {NOT_ALL}"),
    }
}

/// Of what weighs most, and would not do alone.
const NOT_ALL: &str = "among other reasons";

/// What would be changed, and what that would bring.
struct Change {
    with: String,
    then: Gain,
}

impl Change {
    fn new(with: impl Into<String>, then: Gain) -> Option<Change> {
        let with = with.into();
        Some(Change { with, then })
    }
}

/// `at 65, its highest, it would be plain`; `None` where it would not be better.
fn helps(change: &Change) -> Option<String> {
    match change.then {
        Gain::Grade(grade) => Some(format!("{} it would be {}", change.with, grade.word())),
        Gain::NotEnough => None,
    }
}

/// The same beside the grade of good air: one that good air brings too is meant of typical air.
fn helps_beside(change: &Change, in_good_air: Grade) -> Option<String> {
    let helps = helps(change)?;
    Some(match change.then {
        Gain::Grade(grade) if grade <= in_good_air => helps + " in typical air",
        _ => helps,
    })
}

/// What holds it back.
fn matter(why: &Why) -> String {
    match *why {
        Why::Nothing => "nothing stands in its way".to_string(),
        Why::PoorAir {
            seeing_arcsec,
            grade,
        } => format!("in {seeing_arcsec:.1}\" air it is {}", grade.word()),
        Why::Contrast { grade } => contrast(grade),
        Why::Air { .. } => "limited by the air".to_string(),
        Why::RareAir {
            below_arcsec,
            grade,
        } => format!(
            "limited by the air: to be {} it needs nights below {below_arcsec:.1}\"",
            grade.word()
        ),
        Why::AirAndAperture { .. } => "limited by aperture and air".to_string(),
        Why::Altitude { altitude_deg, .. } => format!("too low at {altitude_deg:.0} degrees"),
        Why::Aperture { larger } => larger_mirror("aperture", larger),
        Why::Brightness { larger } => larger_mirror("light", larger),
        Why::Figure { .. } => "limited by the figure".to_string(),
        Why::Obstruction { .. } => "limited by the diagonal".to_string(),
        Why::Magnification { .. } => "limited by the eyepieces".to_string(),
        Why::Appearance { shortcoming, .. } => shortcoming_matter(shortcoming),
        Why::TooStrong { magnification, .. } => {
            format!("the weakest eyepiece, {magnification:.0}x, is too strong for the air")
        }
        Why::Twilight { .. } => "limited by the twilight".to_string(),
        Why::BrightSky { .. } => "limited by the bright sky of town or Moon".to_string(),
    }
}

/// The one thing that would be otherwise.
fn change(why: &Why) -> Option<Change> {
    match *why {
        Why::Nothing | Why::PoorAir { .. } | Why::Contrast { .. } | Why::RareAir { .. } => None,
        Why::Air {
            seeing_arcsec,
            grade,
        } => Change::new(format!("in {seeing_arcsec:.1}\" air"), Gain::Grade(grade)),
        Why::AirAndAperture { larger } => Change::new(
            format!("in {:.0} mm and good air", larger.aperture_mm),
            Gain::Grade(larger.grade),
        ),
        Why::Altitude {
            highest_deg, then, ..
        } => Change::new(format!("at {:.0}, its highest,", highest_deg?), then),
        Why::Aperture { larger } | Why::Brightness { larger } => {
            let Larger { aperture_mm, grade } = larger?;
            Change::new(format!("in {aperture_mm:.0} mm"), Gain::Grade(grade))
        }
        Why::Figure { then } => Change::new("with a perfect mirror", then),
        Why::Obstruction { then } => Change::new("without it", then),
        Why::Magnification { then } => Change::new("at the right power", then),
        Why::Appearance { shortcoming, then } => Change::new(at_its_best(shortcoming), then),
        Why::TooStrong { highest, then, .. } => Change::new(format!("at {highest:.0}x"), then),
        Why::Twilight { then } => Change::new("in the dark", then),
        Why::BrightSky { then } => Change::new("under a dark one", then),
    }
}

/// What is the matter with its looks.
fn shortcoming_matter(shortcoming: Shortcoming) -> String {
    match shortcoming {
        Shortcoming::RingClosed { opening_deg, .. } => {
            format!("the ring is only {} open", degrees(opening_deg))
        }
        Shortcoming::SmallDisc {
            diameter_arcsec, ..
        } => format!("the disc is only {diameter_arcsec:.1}\" wide"),
        Shortcoming::PoleTipped { tipped_deg, .. } if tipped_deg < 0.0 => {
            format!("foreshortened, tipped {} away", degrees(-tipped_deg))
        }
        Shortcoming::PoleTipped { tipped_deg, .. } => {
            format!("foreshortened, tipped {} toward us", degrees(tipped_deg))
        }
        Shortcoming::NearLimb { from_middle_deg } => format!(
            "foreshortened {} from the middle of the disc",
            degrees(from_middle_deg)
        ),
        Shortcoming::HighSun { sun_altitude_deg } => {
            format!("the Sun stands {} over it", degrees(sun_altitude_deg))
        }
        Shortcoming::LowSun { sun_altitude_deg } if sun_altitude_deg < 0.5 => {
            String::from("the Sun is hardly up over it")
        }
        Shortcoming::LowSun { sun_altitude_deg } => {
            format!("the Sun stands only {} over it", degrees(sun_altitude_deg))
        }
        Shortcoming::TooFull { lit, .. } => format!("the disc is {:.0} % lit", 100.0 * lit),
    }
}

/// When they would be better.
fn at_its_best(shortcoming: Shortcoming) -> String {
    match shortcoming {
        Shortcoming::RingClosed { opens_in, .. } => {
            let year = opens_in.map_or(String::new(), |year| format!(" in {year}"));
            format!("wide open{year}")
        }
        Shortcoming::SmallDisc { best_arcsec, .. } => format!("at {best_arcsec:.0}\""),
        Shortcoming::PoleTipped {
            tipped_deg,
            best_deg,
        } if tipped_deg < 0.0 => format!("tipped {best_deg:.0} toward us"),
        Shortcoming::PoleTipped { best_deg, .. } => format!("at {best_deg:.0}"),
        Shortcoming::NearLimb { .. } => String::from("there"),
        Shortcoming::HighSun { .. } => String::from("with a low Sun"),
        Shortcoming::LowSun { .. } => String::from("higher"),
        Shortcoming::TooFull { best_lit, .. } if best_lit < 0.25 => {
            String::from("as a thin crescent")
        }
        Shortcoming::TooFull { best_lit, .. } => format!("at {:.0} %", 100.0 * best_lit),
    }
}

fn degrees(deg: f64) -> String {
    match format!("{deg:.0}").as_str() {
        "1" => "1 degree".to_string(),
        many => format!("{many} degrees"),
    }
}

fn contrast(grade: Grade) -> String {
    match grade {
        Grade::Beyond => "too faint or too small for any telescope like this one".to_string(),
        _ => format!("a faint mark: {} is as good as it gets", grade.word()),
    }
}

fn larger_mirror(wanting: &str, larger: Option<Larger>) -> String {
    let matter = format!("limited by {wanting}");
    match larger {
        Some(_) => matter,
        None => matter + ": no portable mirror is large enough",
    }
}
