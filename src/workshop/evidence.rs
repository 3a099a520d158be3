//! What the maker knows of a mirror: how long it is, how it was tested and what was seen.
//!
//! As it was told: a sagitta stays a sagitta, readings stay readings. What follows from them is
//! worked out in `optics`.

use chrono::NaiveDate;
use serde::Serialize;

/// How the focal length is known.
#[derive(Debug, Clone, PartialEq)]
pub enum FocalLength {
    /// Directly, mm.
    FocalLengthMm(f64),
    /// From the radius of curvature, mm.
    RadiusOfCurvatureMm(f64),
    /// From the sagitta of the ground sphere.
    SagittaMm(Sagitta),
    /// From the wet disc to the Sun's image, mm.
    SunImageMm(f64),
}

/// How deep the middle lies below a straightedge across the glass.
#[derive(Debug, Clone, PartialEq)]
pub struct Sagitta {
    /// The depth, mm.
    pub sagitta_mm: f64,
    /// Diameter it was measured over, mm; `None`: the clear aperture.
    pub across_mm: Option<f64>,
    /// Half-width within which the depth is known, mm, as the maker states it.
    pub uncertainty_mm: Option<f64>,
    /// The feeler gauges that together fill the gap, mm; empty where the depth was stated as one number.
    pub gauges_mm: Vec<f64>,
}

/// Whether an error is stated on the glass or on the wavefront: a factor of two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// Height of the glass.
    Surface,
    /// Path of the light.
    Wavefront,
}

/// What is known of the figure, in the form it is known.
#[derive(Debug, Clone, PartialEq)]
pub enum Figure {
    /// Nothing was said: a perfect paraboloid is assumed, and said so loudly.
    NotGiven,
    /// One number.
    Stated(Stated),
    /// Bands straight at the centre of curvature.
    Sphere,
    /// Readings through a zonal mask.
    KnifeEdge(KnifeEdge),
    /// Zernike terms; positive is high glass on the surface, a long path on the wavefront.
    Zernike {
        /// Terms, each `(n, m)` at most once.
        terms: Vec<ZernikeTerm>,
        /// Surface or wavefront.
        on: On,
    },
    /// Radial profile, rotationally symmetric; positive is high glass on the surface, a long path
    /// on the wavefront.
    Profile {
        /// `(radius as a fraction of the aperture's, height or path nm)`, radii strictly
        /// increasing from 0 to 1; straight lines between.
        points: Vec<(f64, f64)>,
        /// Surface or wavefront.
        on: On,
    },
    /// How the Ronchi bands looked, by eye.
    BandsSeen(BandsSeen),
}

/// One test of a mirror among several.
#[derive(Debug, Clone, PartialEq)]
pub struct DatedFigure {
    /// When it was made.
    pub on_date: Option<NaiveDate>,
    /// What came of it.
    pub figure: Figure,
    /// What a star showed then.
    pub star_test: Option<StarTest>,
}

/// How a star looked inside and outside focus, by equal amounts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StarTest {
    /// Rings alike on both sides.
    Alike,
    /// The outermost ring is brighter inside focus.
    BrightRimInside,
    /// Hairs of light all around, on one side at least.
    Hairy,
    /// Oval, or a cross.
    NotRound,
}

/// A figure stated as one number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stated {
    /// The number, in waves.
    pub amount: StatedAmount,
    /// Surface or wavefront.
    pub on: On,
    /// The wavelength of those waves, nm.
    pub wavelength_nm: f64,
}

/// Which number was stated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StatedAmount {
    /// Peak to valley, waves.
    PeakToValleyWaves(f64),
    /// Root mean square, waves.
    RmsWaves(f64),
}

/// One Zernike term, OSA/ANSI order and normalisation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZernikeTerm {
    /// Radial order, at least 0.
    pub n: u32,
    /// Azimuthal order, `|m| <= n`, same parity as `n`.
    pub m: i32,
    /// Coefficient, nm RMS over the full disc.
    pub nm_rms: f64,
}

/// Knife-edge readings, zone by zone.
#[derive(Debug, Clone, PartialEq)]
pub struct KnifeEdge {
    /// Whether the lamp moves with the knife.
    pub source: KnifeSource,
    /// Which radius a reading belongs to.
    pub reading_at: ReadingAt,
    /// What was seen at the rim itself, inside the outermost window.
    pub edge: MirrorEdge,
    /// Standard error of a single reading as the maker states it, mm.
    pub reading_error_mm: Option<f64>,
    /// At least two, from the middle outward, not overlapping; they need not touch.
    pub zones: Vec<Zone>,
}

/// Whether the lamp stands still or travels with the knife: a factor of two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum KnifeSource {
    /// Lamp fixed at the centre of curvature.
    Fixed,
    /// Lamp moves with the knife.
    Moving,
}

/// Which radius of the window a reading belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadingAt {
    /// The whole opening balanced.
    Window,
    /// Its mid radius.
    Middle,
}

/// What the Ronchi bands or a star showed at the rim: readings cannot tell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MirrorEdge {
    /// Nobody looked, or nobody wrote it down.
    NotLooked,
    /// Good to the very rim.
    Sound,
    /// Turned down.
    Turned(TurnedEdge),
}

/// How far down a turned edge goes, as far as anybody measured it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurnedEdge {
    /// How far from the rim it begins, mm.
    pub width_mm: Option<f64>,
    /// How far the glass at the very rim lies below where it would have gone, nm.
    pub depth_nm: Option<f64>,
}

/// How the bands of a grating looked at the centre of curvature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BandsSeen {
    /// Lamp standing still, or moving: behind the same grating.
    pub source: KnifeSource,
    /// Full periods of the grating.
    pub lines_per_mm: f64,
    /// Grating from the centre of curvature, mm, negative inside, nearer the mirror; not 0.
    pub offset_mm: f64,
    /// What was seen.
    pub looked: BandsLooked,
    /// What was seen at the rim: a hook or none.
    pub edge: MirrorEdge,
    /// The least bow that this eye notices, in widths of a band and its gap.
    pub least_bow_bands: f64,
}

/// The look of the bands, beside what the paraboloid would show there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BandsLooked {
    /// Straight.
    Straight,
    /// As a paraboloid's.
    LikeParaboloid,
    /// More bowed than a paraboloid's.
    BowedMore,
    /// Bowed, but less than a paraboloid's.
    BowedLess,
}

/// One window of the mask and what was read through it.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Inner edge, mm from the mirror's axis.
    pub inner_mm: f64,
    /// Outer edge, mm, at most half the aperture.
    pub outer_mm: f64,
    /// Knife positions, mm, larger = farther from the mirror; at least one.
    pub readings_mm: Vec<f64>,
}
