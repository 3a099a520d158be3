//! What is sought: the wavefront that the pictures share, and of each picture where grating, camera and mirror stood.

use super::setup::PhotoSetup;
use super::start::Start;
use super::terms::{N_SMOOTH, N_TERMS};

/// What belongs to one picture alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OfPicture {
    /// The wavefront's first term, nm.
    pub focus_nm: f64,
    /// Of the ruling, radians.
    pub ruling_phase: f64,
    /// From the picture's right to across the bars, radians.
    pub angle_rad: f64,
    /// Of the mirror's middle from the rim's, of the radius.
    pub centre: [f64; 2],
    /// Of the mirror's radius over the rim's, less 1.
    pub wider: f64,
    /// Over which the rim fades, of the radius.
    pub rim_softness: f64,
}

/// Everything that is not linear.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknowns {
    /// From the second smooth term on, then those of the rim, nm.
    pub shared_nm: [f64; N_SHARED],
    /// Of `rho² cos 2t` and `rho² sin 2t` in the mirror, nm.
    pub astigmatism_nm: [f64; 2],
    /// In the order of the pictures.
    pub pictures: Vec<OfPicture>,
}

/// Terms of the wavefront that the pictures share.
pub const N_SHARED: usize = N_TERMS - 1;

/// Numbers of one picture.
pub(super) const N_OWN: usize = 7;

/// Where a picture's own begin: shared terms and astigmatism before them.
pub(super) const OWN_FROM: usize = N_SHARED + 2;

impl Unknowns {
    /// As a start has them.
    pub fn starting(setup: &PhotoSetup, starts: &[Start]) -> Unknowns {
        let n = starts.len().max(1) as f64;
        let conic = starts.iter().map(|start| start.conic).sum::<f64>() / n;
        let mut shared_nm = [0.0; N_SHARED];
        shared_nm[0] = setup.conic_terms_nm(conic, 0.0)[1];
        let picture = |start: &Start| OfPicture {
            focus_nm: setup.conic_terms_nm(conic, start.offset_mm)[0],
            ruling_phase: start.ruling_phase,
            angle_rad: start.angle_rad,
            centre: [0.0; 2],
            wider: 0.0,
            rim_softness: 0.01,
        };
        Unknowns {
            shared_nm,
            astigmatism_nm: [0.0; 2],
            pictures: starts.iter().map(picture).collect(),
        }
    }

    /// The wavefront's terms in one picture, nm.
    pub fn terms_nm(&self, picture: usize) -> [f64; N_TERMS] {
        let mut all = [0.0; N_TERMS];
        all[0] = self.pictures[picture].focus_nm;
        all[1..].copy_from_slice(&self.shared_nm);
        all
    }

    pub(super) fn get(&self, idx: usize) -> f64 {
        match idx {
            idx if idx < N_SHARED => self.shared_nm[idx],
            idx if idx < OWN_FROM => self.astigmatism_nm[idx - N_SHARED],
            idx => {
                let own = &self.pictures[(idx - OWN_FROM) / N_OWN];
                [
                    own.focus_nm,
                    own.ruling_phase,
                    own.angle_rad,
                    own.centre[0],
                    own.centre[1],
                    own.wider,
                    own.rim_softness,
                ][(idx - OWN_FROM) % N_OWN]
            }
        }
    }

    pub(super) fn add(&mut self, idx: usize, by: f64) {
        match idx {
            idx if idx < N_SHARED => self.shared_nm[idx] += by,
            idx if idx < OWN_FROM => self.astigmatism_nm[idx - N_SHARED] += by,
            idx => {
                let own = &mut self.pictures[(idx - OWN_FROM) / N_OWN];
                match (idx - OWN_FROM) % N_OWN {
                    0 => own.focus_nm += by,
                    1 => own.ruling_phase += by,
                    2 => own.angle_rad += by,
                    3 => own.centre[0] += by,
                    4 => own.centre[1] += by,
                    5 => own.wider += by,
                    _ => own.rim_softness = (own.rim_softness + by).clamp(0.001, 0.03),
                }
            }
        }
    }

    pub(super) fn n(&self) -> usize {
        OWN_FROM + N_OWN * self.pictures.len()
    }
}

/// How far an unknown is from what is expected, in deviations: its prior; `None` where anything goes.
pub(super) fn prior_sd(idx: usize) -> Option<f64> {
    match idx {
        // The correction.
        0 => Some(3000.0),
        1 => Some(150.0),
        idx if idx < N_SMOOTH - 1 => Some(90.0 / idx as f64),
        idx if idx < N_SHARED => Some(120.0),
        idx if idx < OWN_FROM => Some(300.0),
        idx => match (idx - OWN_FROM) % N_OWN {
            3 | 4 => Some(0.003),
            5 => Some(0.0012),
            6 => Some(0.005),
            _ => None,
        },
    }
}

pub(super) fn prior_mean(idx: usize) -> f64 {
    match idx < OWN_FROM || (idx - OWN_FROM) % N_OWN != 6 {
        true => 0.0,
        false => 0.01,
    }
}

/// Which unknowns a stage moves.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Free {
    /// The correction, and of each picture focus, ruling and angle.
    Correction,
    /// Two more smooth terms.
    Smooth,
    All,
}

impl Free {
    pub(super) fn holds(self, idx: usize, has_astigmatism: bool) -> bool {
        let own = (OWN_FROM <= idx).then(|| (idx - OWN_FROM) % N_OWN);
        match (self, own) {
            (Free::All, None) => idx < N_SHARED || has_astigmatism,
            (Free::All, Some(_)) => true,
            (Free::Correction, None) => idx == 0,
            (Free::Smooth, None) => idx < 3,
            (_, Some(own)) => own < 3,
        }
    }
}
