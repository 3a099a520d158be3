//! Many mirrors that may as well have looked so, and what they come to.

use crate::optics::evidence::disc::{Disc, Figures};
use crate::optics::evidence::star;
use crate::optics::evidence::{Evidence, Interval, ProfilePoint};
use crate::optics::knife::Mirror;
use crate::units::NM_PER_MM;
use crate::workshop::StarTest;

/// Wavefronts on the rings of a disc, refocused.
pub(in crate::optics) struct Ensemble<'a> {
    disc: &'a Disc,
    /// Light of the mirror inside its rim, ring by ring.
    inside: Vec<f64>,
    /// Wavefront of a sphere, nm per unit of x^2.
    sphere_nm: f64,
    pub(in crate::optics) mean_nm: Vec<f64>,
    draws_nm: Vec<Vec<f64>>,
}

impl<'a> Ensemble<'a> {
    /// From the steepness of the mean and of equally likely ones.
    pub(in crate::optics) fn of(
        (disc, mirror): (&'a Disc, &Mirror),
        mean_steepness_nm: &[f64],
        steepnesses_nm: &[Vec<f64>],
    ) -> Ensemble<'a> {
        let refocused = |steepness: &[f64]| disc.refocused(&disc.wavefront_nm(steepness));
        Ensemble {
            disc,
            inside: inside(disc),
            sphere_nm: sphere_nm(mirror),
            mean_nm: refocused(mean_steepness_nm),
            draws_nm: steepnesses_nm.iter().map(|one| refocused(one)).collect(),
        }
    }

    /// With what a star's image says besides: each mirror counts as it is likely to look so. A star that hardly any of
    /// them would show disagrees, and narrows nothing.
    pub(in crate::optics) fn seen_in_a_star(self, star: Option<StarTest>) -> (Ensemble<'a>, bool) {
        let Some(star) = star else {
            return (self, false);
        };
        let likely: Vec<f64> = (self.draws_nm.iter())
            .map(|path_nm| {
                let spherical_nm = self.disc.spherical_nm(path_nm);
                star::likelihood(star, spherical_nm, self.rim_nm(path_nm))
            })
            .collect();
        let count = self.draws_nm.len() as f64;
        if likely.iter().sum::<f64>() / count < DISAGREES {
            return (self, true);
        }
        let draws_nm = drawn_again(self.draws_nm, &likely);
        let mean = |ring: usize| draws_nm.iter().map(|path| path[ring]).sum::<f64>() / count;
        let narrowed = Ensemble {
            mean_nm: (0..self.mean_nm.len()).map(mean).collect(),
            draws_nm,
            ..self
        };
        (narrowed, false)
    }

    pub(in crate::optics) fn evidence(&self, unread_area_share: f64) -> Evidence {
        let figures: Vec<Figures> = self
            .draws_nm
            .iter()
            .map(|path| self.disc.figures(path))
            .collect();
        let mean = self.disc.figures(&self.mean_nm);
        let of = |figure: fn(&Figures) -> f64| {
            interval(figure(&mean), figures.iter().map(figure).collect())
        };
        let mut strehls: Vec<f64> = figures.iter().map(|figures| figures.strehl).collect();
        strehls.sort_by(f64::total_cmp);
        Evidence {
            profile: self.profile(),
            wavefront_pv_nm: of(|figures| figures.wavefront_pv_nm),
            wavefront_rms_nm: of(|figures| figures.wavefront_rms_nm),
            strehl: of(|figures| figures.strehl),
            correction: self.seen(|path_nm| 1.0 - self.disc.spherical_nm(path_nm) / self.sphere_nm),
            rim_nm: self.seen(|path_nm| self.rim_nm(path_nm)),
            unread_area_share,
            strehls,
        }
    }

    /// Correction of the mirror inside its rim.
    pub(in crate::optics) fn correction_inside(&self) -> Interval {
        self.seen(|path_nm| {
            let [_, _, spherical_nm] = self.disc.parabola_in_x(path_nm, &self.inside);
            1.0 - spherical_nm / self.sphere_nm
        })
    }

    /// Height of the glass at the very rim over the conic that fits the mirror inside best, nm.
    fn rim_nm(&self, path_nm: &[f64]) -> f64 {
        let [level, tilt, bend] = self.disc.parabola_in_x(path_nm, &self.inside);
        let gone_on = level + tilt + bend;
        -(path_nm[path_nm.len() - 1] - gone_on) / 2.0
    }

    /// Of any figure that a wavefront has.
    pub(in crate::optics) fn seen(&self, figure: impl Fn(&[f64]) -> f64) -> Interval {
        let draws = self
            .draws_nm
            .iter()
            .map(|path_nm| figure(path_nm))
            .collect();
        interval(figure(&self.mean_nm), draws)
    }

    fn profile(&self) -> Vec<ProfilePoint> {
        (0..=PROFILE_STEPS)
            .map(|step| {
                let radius_fraction = step as f64 / PROFILE_STEPS as f64;
                let here = self.seen(|path_nm| self.disc.at(path_nm, radius_fraction));
                ProfilePoint {
                    radius_fraction,
                    wavefront_nm: here.value,
                    wavefront_low_nm: here.low,
                    wavefront_high_nm: here.high,
                }
            })
            .collect()
    }
}

/// Wavefront that a sphere of this size has beside the paraboloid, nm per unit of x^2: its rim is high, so its path is
/// shorter there.
pub(in crate::optics) fn sphere_nm(mirror: &Mirror) -> f64 {
    let rim_mm = mirror.aperture_mm / 2.0;
    -NM_PER_MM * rim_mm.powi(4) / (4.0 * mirror.radius_of_curvature_mm.powi(3))
}

/// Light of the mirror inside its rim.
fn inside(disc: &Disc) -> Vec<f64> {
    let lit = disc.x.iter().zip(&disc.share);
    lit.map(|(x, share)| match *x <= RIM_BEGINS * RIM_BEGINS {
        true => *share,
        false => 0.0,
    })
    .collect()
}

/// As many as before, each as often as it is likely, evenly spaced (systematic resampling; Kitagawa 1996).
fn drawn_again(draws: Vec<Vec<f64>>, likely: &[f64]) -> Vec<Vec<f64>> {
    let all: f64 = likely.iter().sum();
    if all <= 0.0 {
        return draws;
    }
    let step = all / draws.len() as f64;
    let (mut so_far, mut taken) = (0.0, Vec::with_capacity(draws.len()));
    for (draw, likely) in draws.iter().zip(likely) {
        so_far += likely;
        while taken.len() < draws.len() && (taken.len() as f64 + 0.5) * step < so_far {
            taken.push(draw.clone());
        }
    }
    taken
}

/// From 5 to 95 % of the draws, and never without the value itself.
fn interval(value: f64, mut draws: Vec<f64>) -> Interval {
    draws.sort_by(f64::total_cmp);
    let at = |share: f64| draws[(share * (draws.len() - 1) as f64).round() as usize];
    Interval {
        value,
        low: at(0.05).min(value),
        high: at(0.95).max(value),
    }
}

/// Of the likelihood of a mirror that would look so for certain.
const DISAGREES: f64 = 0.2;

const PROFILE_STEPS: usize = 100;

/// Of the radius: what lies beyond is the rim.
const RIM_BEGINS: f64 = 0.85;
