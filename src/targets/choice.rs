//! Which eyepiece: for each detail those that show it as surely as any, for the whole body one that
//! suits most.

use crate::targets::aimed::Aimed;
use crate::targets::asked::Asked;
use crate::targets::grade::{Grade, SAME_TO_ANYONE, ThreeAirs};
use crate::targets::sight::Sight;
use crate::units::{ARCSEC_PER_ARCMIN, ARCSEC_PER_DEG};

/// A lower power serves when it keeps this share of the best visibility: the curve is flat at the
/// top, and the lower power has the wider field and the slower drift.
const NEARLY_AS_GOOD: f64 = 0.9;

/// A pair that looks so wide is parted for anyone; more power only takes the colours and the field from it. Common
/// practice, no source.
const WIDE_APART_ARCMIN: f64 = 10.0;

/// A glow that looks smaller than this passes for a star at a glance. Common practice, no source.
const LIKE_A_STAR_DEG: f64 = 2.0;

/// The views among which one detail may choose, rising magnification; empty where none shows it.
#[derive(Debug, Default)]
pub(super) struct Choice {
    /// All that show it with the same grade.
    serving: Vec<usize>,
    /// Those of them that show it nearly as well as the best of them.
    near_best: Vec<usize>,
    /// With each view that the air bears.
    pub(super) visibilities: ThreeAirs<Vec<f64>>,
}

impl Choice {
    /// The views that show a detail as surely as any, of those that typical air bears or, what typical air does not show, of
    /// those that good air bears; if some of them do so in good air and in poor too, only such. If some of them hold the
    /// whole object in their field, only such; of a small glow, those that show it as more than a star.
    pub(super) fn of(aimed: &Aimed, asked: &Asked) -> Choice {
        let today = &asked.today;
        let in_airs = (aimed.airs()).map(|chain| aimed.visibilities(chain, today));
        let is_seen = |all: &[f64]| Grade::Beyond < Grade::of_visibility(best_of(all));
        let visibilities = match (is_seen(&in_airs.typical), is_seen(&in_airs.good)) {
            (true, _) => in_airs.typical.as_slice(),
            (false, true) => in_airs.good.as_slice(),
            (false, false) => {
                return Choice {
                    visibilities: in_airs,
                    ..Choice::default()
                };
            }
        };
        let views = &aimed.instrument.views;
        let all = 0..visibilities.len();
        let mut serving: Vec<usize> = all.filter(|&idx| is_as_sure(visibilities, idx)).collect();
        keep_if_any(&mut serving, |idx| is_as_sure(&in_airs.good, idx));
        // Where poor air does not bear it a weaker one is put in.
        let n_in_poor = in_airs.poor.len();
        keep_if_any(&mut serving, |idx| {
            n_in_poor <= idx || is_as_sure(&in_airs.poor, idx)
        });
        keep_if_any(&mut serving, |idx| {
            asked.field_deg <= views[idx].true_field_deg
        });
        if let Sight::Glow {
            diameter_arcsec, ..
        } = today.sight
        {
            let shown_deg =
                |idx: usize| diameter_arcsec / ARCSEC_PER_DEG * views[idx].magnification;
            let largest = serving
                .iter()
                .map(|&idx| shown_deg(idx))
                .fold(0.0, f64::max);
            serving.retain(|&idx| LIKE_A_STAR_DEG.min(largest) <= shown_deg(idx));
        }
        let best = best_of(
            &serving
                .iter()
                .map(|idx| visibilities[*idx])
                .collect::<Vec<_>>(),
        );
        // More power makes a spark surer without end and the rest of the view worse: its grade is enough.
        let near_best = |idx: &usize| match today.sight {
            Sight::Point { .. } => true,
            Sight::Pair {
                separation_arcsec, ..
            } if WIDE_APART_ARCMIN * ARCSEC_PER_ARCMIN
                <= separation_arcsec * views[*idx].magnification =>
            {
                true
            }
            _ => NEARLY_AS_GOOD * best <= visibilities[*idx],
        };
        Choice {
            near_best: serving.iter().copied().filter(near_best).collect(),
            serving,
            visibilities: in_airs,
        }
    }

    /// The view for a detail of a body on which the usual one is in the focuser: that, unless another
    /// one gains a grade.
    pub(super) fn beside(&self, usual: usize) -> usize {
        match self.near_best.first() {
            Some(&own) if !self.serving.contains(&usual) => own,
            _ => usual,
        }
    }
}

/// The lowest power that suits nearly as many details of a body as any, of the first `n_borne` that the typical air bears:
/// nobody changes the eyepiece for each.
pub(super) fn usual_view(n_borne: usize, choices: &[Choice]) -> usize {
    let suits = |view: usize| {
        let suited = choices
            .iter()
            .filter(|choice| choice.near_best.contains(&view));
        suited.count()
    };
    let views = 0..n_borne;
    let most = views.clone().map(suits).max().unwrap_or(0);
    // Three quarters of them: one detail more is not worth a narrower field.
    views
        .clone()
        .find(|&view| 3 * most <= 4 * suits(view))
        .unwrap_or(0)
}

pub(super) fn best_of(visibilities: &[f64]) -> f64 {
    visibilities.iter().copied().fold(0.0, f64::max)
}

/// Whether a view has the grade of the best one, or one that nobody tells from it.
fn is_as_sure(visibilities: &[f64], idx: usize) -> bool {
    let best = best_of(visibilities);
    visibilities.get(idx).is_some_and(|&visibility| {
        Grade::of_visibility(visibility) == Grade::of_visibility(best)
            || best * SAME_TO_ANYONE <= visibility
    })
}

fn keep_if_any(views: &mut Vec<usize>, wanted: impl Fn(usize) -> bool) {
    if views.iter().any(|&view| wanted(view)) {
        views.retain(|&view| wanted(view));
    }
}
