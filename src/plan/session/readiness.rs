//! When a telescope is cool and aimed, as far as those who put it out meet in time.

use crate::plan::put_out::lead;
use crate::plan::session::candidates::Candidates;
use crate::plan::session::clock::Clock;
use crate::plan::session::impossible::Impossible;
use crate::plan::session::telescopes::EveningTelescope;
use crate::plan::sun::SunTimes;
use crate::plan::time_span::TimeSpan;

/// When a telescope is cool and aimed.
pub(super) struct Readiness {
    /// First slot in which it is.
    pub(super) from_slot: usize,
    /// What there is to say about it.
    pub(super) trouble: Option<Impossible>,
}

impl Readiness {
    /// From the first look, if it can be put out in time after sunset, or would have to be before: then it stands in the shade,
    /// capped, or begins warm. Later, if those who put it out meet too late.
    pub(super) fn of(
        scope: &EveningTelescope,
        clock: &Clock,
        candidates: &Candidates,
        sun: &SunTimes,
    ) -> Readiness {
        let on_time = |trouble| Readiness {
            from_slot: 0,
            trouble,
        };
        let first = (0..clock.slots.len()).find(|slot| {
            let mut targets = candidates.targets.iter();
            targets.any(|candidate| candidate.at[*slot].is_some())
        });
        let (Some(first), Some(cooling)) = (first, scope.cooling) else {
            return on_time(None);
        };
        if scope.judged.is_err() {
            return on_time(None);
        }
        let telescope = || scope.telescope.name.clone();
        let lead = lead(cooling);
        let out_by = clock.slots[first].from - lead;
        if let Some(set) = sun.set.filter(|set| out_by < *set) {
            return on_time(Some(Impossible::Warm {
                telescope: telescope(),
                cool_at: set + lead,
            }));
        }
        match clock.stated_gather.filter(|gather| out_by < *gather) {
            None => on_time(None),
            Some(gather) => {
                let ready = gather + lead;
                let is_ready = |slot: &TimeSpan| ready <= slot.from;
                let late = Impossible::Late {
                    telescope: telescope(),
                    ready,
                    out_by,
                };
                Readiness {
                    from_slot: (clock.slots.iter().position(is_ready)).unwrap_or(clock.slots.len()),
                    trouble: Some(late),
                }
            }
        }
    }
}
