//! Grades: how surely a detail shows, in words; and where the lines between them lie.

use serde::Serialize;

/// How surely a detail shows. Rising: `Beyond < Fleeting < Patient < Plain`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// Do not promise it.
    Beyond,
    /// Moments of steady air, a practised eye.
    Fleeting,
    /// An attentive look, a minute or more.
    Patient,
    /// Any visitor sees it.
    Plain,
}

/// Visibility from which a practised observer sees it every other time he tries: the threshold
/// itself.
pub const FLEETING_FROM: f64 = 1.0;

/// Visibility from which most people see it with a quiet minute: twice the threshold, Crumey's
/// (2014) field factor for them. With it, untuned, equal double stars part at Rayleigh's limit.
pub const PATIENT_FROM: f64 = 2.0;

/// Visibility from which all but one in thirty see it: the factor of most people, times 1.88
/// standard deviations (97 %) of the spread among observers, 0.1635 dex (Blackwell 1946 as quoted
/// by Crumey 2014): 2 × 10^(1.88 × 0.1635) = 4.06.
pub const PLAIN_FROM: f64 = 4.06;

/// A visibility lower by so much nobody notices, nor can the model tell it: no reason to change the eyepiece or to wait for
/// another hour, even where a grade's line lies between.
pub(super) const SAME_TO_ANYONE: f64 = 0.85;

impl Grade {
    /// Of a visibility: 1 is a practised observer's 50 % threshold.
    pub fn of_visibility(visibility: f64) -> Grade {
        match visibility {
            v if PLAIN_FROM <= v => Grade::Plain,
            v if PATIENT_FROM <= v => Grade::Patient,
            v if FLEETING_FROM <= v => Grade::Fleeting,
            _ => Grade::Beyond,
        }
    }

    /// `None` above the best.
    pub fn next_better(self) -> Option<Grade> {
        match self {
            Grade::Beyond => Some(Grade::Fleeting),
            Grade::Fleeting => Some(Grade::Patient),
            Grade::Patient => Some(Grade::Plain),
            Grade::Plain => None,
        }
    }

    /// `None` below the worst.
    pub fn next_worse(self) -> Option<Grade> {
        match self {
            Grade::Beyond => None,
            Grade::Fleeting => Some(Grade::Beyond),
            Grade::Patient => Some(Grade::Fleeting),
            Grade::Plain => Some(Grade::Patient),
        }
    }

    /// As it is printed.
    pub fn word(self) -> &'static str {
        match self {
            Grade::Beyond => "beyond",
            Grade::Fleeting => "fleeting",
            Grade::Patient => "patient",
            Grade::Plain => "plain",
        }
    }
}

/// One value for each of the site's three airs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct ThreeAirs<T> {
    /// The steadiest nights.
    pub good: T,
    /// The usual night.
    pub typical: T,
    /// The unsteady nights.
    pub poor: T,
}

impl<T> ThreeAirs<T> {
    /// The same question asked of each air.
    pub fn map<U>(&self, mut answer: impl FnMut(&T) -> U) -> ThreeAirs<U> {
        ThreeAirs {
            good: answer(&self.good),
            typical: answer(&self.typical),
            poor: answer(&self.poor),
        }
    }
}
