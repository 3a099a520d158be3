//! # workshop: what the user brings
//!
//! Checked values of the place, the observer, the eyepieces and every telescope. A value that
//! exists here is legal; nobody downstream checks it again. What the file left out and a default
//! filled in is remembered in [`Workshop::assumed`] so that it can be printed where it was used.
//!
//! Knows nothing of optics or the sky: a sagitta stays a sagitta until `optics` turns it into a
//! focal length.
//!
//! [`Workshop::from_toml`] is the only way in. `file` reads the text, `file::keys` is the table of
//! everything it may say with its legal ranges, `wording` every sentence about what is wrong.
//! [`template`] is a file to fill in, [`example`] one to look at.

mod error;
mod evening;
mod evidence;
mod example;
mod file;
mod horizon;
pub mod log;
pub mod near;
mod notes;
mod red_spot;
mod wording;

use chrono::NaiveDate;
use serde::Serialize;

pub use self::error::{Complaint, Error};
pub use self::evening::{Arrival, EveningRules, Helper, Mark, Stand};
pub use self::evidence::{
    BandsLooked, BandsSeen, DatedFigure, Figure, FocalLength, KnifeEdge, KnifeSource, MirrorEdge,
    On, ReadingAt, Sagitta, StarTest, Stated, StatedAmount, TurnedEdge, ZernikeTerm, Zone,
};
pub use self::example::{EXAMPLE_TOML, example, template};
pub use self::notes::{Sector, SessionNotes, TelescopeNotes, TurnNotes, Upset};
pub use self::red_spot::RedSpot;

/// Everything one workshop file says.
#[derive(Debug, Clone, PartialEq)]
pub struct Workshop {
    /// Where the telescopes stand.
    pub site: Site,
    /// Who looks.
    pub observer: Observer,
    /// At least one.
    pub eyepieces: Vec<Eyepiece>,
    /// Possibly none.
    pub barlows: Vec<Barlow>,
    /// At least one, in the file's order.
    pub telescopes: Vec<Telescope>,
    /// Comets and asteroids of the user's own, in their table's order; possibly none.
    pub small_bodies: Vec<OwnSmallBody>,
    /// Where Jupiter's Great Red Spot was last measured.
    pub red_spot: RedSpot,
    /// What is settled for public evenings.
    pub evening: EveningRules,
    /// What the file did not say and what was taken instead.
    pub assumed: Vec<Assumed>,
}

/// One default that was used.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumed {
    /// Where in the file it would have stood: `site.sky_brightness_mag_arcsec2`,
    /// `telescope "Heron": figure`.
    pub key: String,
    /// What was taken.
    pub value: Taken,
}

/// What was taken where the file does not say.
#[derive(Debug, Clone, PartialEq)]
pub enum Taken {
    /// As the reader of the file puts it, with its unit.
    Words(String),
    /// The minor axis of a diagonal that lights 10 mm of field fully in the usual tube, mm.
    DiagonalMm(f64),
    /// The coat of both mirrors.
    Coat {
        /// Its kind.
        kind: Coating,
        /// Of each mirror at 550 nm, 0 to 1.
        reflectivity: f64,
        /// `None` where nobody says when it was put on.
        age_months: Option<f64>,
    },
}

/// The place.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// As the user calls it.
    pub name: String,
    /// North positive, -90 to 90.
    pub latitude_deg: f64,
    /// East positive, -180 to 180.
    pub longitude_deg: f64,
    /// Above the sea (taken as the ellipsoid), m. Default 0.
    pub elevation_m: f64,
    /// IANA zone. Default: the nautical zone of the longitude.
    pub time_zone: chrono_tz::Tz,
    /// Darkness of the moonless zenith, however it was stated.
    pub darkness: Darkness,
    /// Steadiness of the air, however it was stated.
    pub seeing: Seeing,
    /// Lowest clear altitude at each azimuth.
    pub horizon: Horizon,
    /// Named marks on it, by azimuth; possibly none.
    pub marks: Vec<Mark>,
}

/// How dark the moonless zenith is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Darkness {
    /// Surface brightness, V magnitudes per square arcsecond.
    MagArcsec2(f64),
    /// Magnitude of the faintest star seen overhead without optics.
    FaintestStarMag(f64),
}

/// How steady the air is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seeing {
    /// Long-exposure FWHM at the zenith, 550 nm, arcseconds; `good <= typical <= poor`.
    Arcsec {
        /// The best tenth or so of nights.
        good: f64,
        /// The middle.
        typical: f64,
        /// The worst quarter or so.
        poor: f64,
    },
    /// A published scale of words, as judged with a telescope of that aperture.
    Scale {
        /// Which scale.
        scale: SeeingScale,
        /// Pickering 1 (worst) to 10 (best); Antoniadi 1 (best) to 5 (worst).
        value: f64,
        /// Aperture it was judged with, mm.
        aperture_mm: f64,
    },
}

impl Seeing {
    /// Of ordinary lowland sites, zenith FWHM in good, typical and poor air, arcseconds (common practice, no source).
    pub const USUAL_ARCSEC: [f64; 3] = [1.2, 2.2, 3.5];
}

/// Published scales of seeing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeeingScale {
    /// 1 worst, 10 best, defined by the look of the diffraction disc in a 127 mm refractor.
    Pickering,
    /// I best, V worst.
    Antoniadi,
}

/// The user's own skyline: lowest clear altitude as straight lines between given azimuths.
#[derive(Debug, Clone, PartialEq)]
pub struct Horizon {
    /// `(azimuth_deg, altitude_deg)`, azimuths strictly increasing in `[0, 360)`; empty = flat.
    corners: Vec<(f64, f64)>,
}

/// Who looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observer {
    /// Years, 5 to 100: decides the pupil in the dark and the glare in the eye.
    pub age_years: f64,
    /// How much more (or less) this observer and these visitors see than the eye's published thresholds
    /// say, as found from a log of looks: powers of ten of every visibility, -0.5 to 0.5. Default 0.
    pub margin_dex: f64,
}

/// An eyepiece.
#[derive(Debug, Clone, PartialEq)]
pub struct Eyepiece {
    /// Unique in the file.
    pub name: String,
    /// Focal length, mm.
    pub focal_length_mm: f64,
    /// Its field.
    pub field: EyepieceField,
}

/// The field of an eyepiece, whichever the user knows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum EyepieceField {
    /// Apparent field, degrees.
    ApparentDeg(f64),
    /// Diameter of the field stop, mm.
    StopMm(f64),
}

/// A Barlow lens.
#[derive(Debug, Clone, PartialEq)]
pub struct Barlow {
    /// Unique in the file.
    pub name: String,
    /// By how much it multiplies the focal length, above 1.
    pub factor: f64,
}

/// A Newtonian telescope with a finished (or nearly finished) mirror.
#[derive(Debug, Clone, PartialEq)]
pub struct Telescope {
    /// Unique in the file.
    pub name: String,
    /// Clear aperture, mm.
    pub aperture_mm: f64,
    /// Focal length, however it was measured.
    pub focal_length: FocalLength,
    /// The plan while the glass is still being ground, mm, beside what was measured.
    pub planned_focal_length_mm: Option<f64>,
    /// Minor axis of the diagonal, mm, 0 = unobstructed; `None` = from the usual layout.
    pub secondary_mm: Option<f64>,
    /// Width of each of four vanes, mm.
    pub spider_vane_mm: f64,
    /// What covers both mirrors.
    pub coating: Coating,
    /// When they were coated.
    pub coated_on: Option<NaiveDate>,
    /// Thickness of the primary, mm.
    pub thickness_mm: Option<f64>,
    /// What it is made of.
    pub glass: Glass,
    /// Height of the altitude pivot above ground, m.
    pub pivot_height_m: Option<f64>,
    /// From that pivot to the eyepiece, m.
    pub pivot_to_eyepiece_m: Option<f64>,
    /// Indices into [`Workshop::eyepieces`], at least one.
    pub eyepieces: Vec<usize>,
    /// What is known of the figure: by the latest test if there are several.
    pub figure: Figure,
    /// When that was found.
    pub figure_on: Option<NaiveDate>,
    /// What a star showed then.
    pub star_test: Option<StarTest>,
    /// Every test by its date, oldest first, the one that counts last; empty when there is only one.
    pub history: Vec<DatedFigure>,
    /// How it stands on a public evening.
    pub stand: Stand,
}

/// The reflecting layer of both mirrors.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Coating {
    /// Chemically or vacuum deposited silver.
    Silver,
    /// Vacuum deposited aluminium.
    Aluminium,
    /// Stated reflectivity of each mirror, 0 to 1.
    Reflectivity(f64),
}

impl Coating {
    /// `silver`, as the workshop file has it; `None` for a stated reflectivity.
    pub fn word(self) -> Option<&'static str> {
        match self {
            Coating::Silver => Some("silver"),
            Coating::Aluminium => Some("aluminium"),
            Coating::Reflectivity(_) => None,
        }
    }
}

/// The blank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Glass {
    /// Plate (soda-lime) glass.
    Plate,
    /// Low-expansion borosilicate.
    Borosilicate,
}

/// A comet or asteroid of the user's own: heliocentric osculating elements, ecliptic and equinox of
/// J2000.0, as they were typed.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnSmallBody {
    /// Unique in the table.
    pub name: String,
    /// The instant of the elements, Julian date of TT.
    pub epoch_jd: f64,
    /// How large the orbit is; half a long axis only on ellipses.
    pub size: OwnSize,
    /// At least 0.
    pub eccentricity: Typed,
    /// 0 to 180.
    pub inclination_deg: Typed,
    /// Longitude of the ascending node.
    pub node_deg: Typed,
    /// From the node to the perihelion.
    pub argument_of_perihelion_deg: Typed,
    /// Where on the orbit.
    pub timing: OwnTiming,
    /// What its brightness follows.
    pub light: OwnLight,
    /// How sure the orbit is at its epoch, seen from the Sun. Default 1.
    pub error_arcsec: f64,
}

/// A number and how far it may be off for its last typed digit: half a unit of that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Typed {
    /// The number.
    pub value: f64,
    /// Half a unit of its last digit.
    pub half_unit: f64,
}

/// Which size of an orbit was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OwnSize {
    /// Half the long axis, au.
    SemiMajorAxis(Typed),
    /// The least distance from the Sun, au.
    PerihelionDistance(Typed),
}

/// Where on its orbit the body was said to be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OwnTiming {
    /// At the epoch, degrees.
    MeanAnomalyDeg(Typed),
    /// Passage through the perihelion, Julian date of TT.
    PerihelionJd(Typed),
}

/// Which law of brightness was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OwnLight {
    /// An asteroid's.
    Asteroid {
        /// Absolute magnitude.
        h_mag: f64,
        /// Slope; default 0.15.
        g: f64,
    },
    /// A comet's.
    Comet {
        /// Total absolute magnitude.
        m1_mag: f64,
        /// Magnitudes for each factor of ten in the distance from the Sun; default 10.
        k1: f64,
    },
}
