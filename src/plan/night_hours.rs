//! What a night knows of its hours, for whoever chooses one for a detail.

use std::cell::RefCell;

use crate::plan::watch::{Watch, moons_of};
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::moons::view::SatelliteView;
use crate::sky::track::Track;
use crate::targets::asked::{Asked, asked_tonight};
use crate::targets::conditions::Told;
use crate::targets::look::Hour;
use crate::targets::subject::Seen;
use crate::targets::when::{Hours, Tonight};

impl Watch<'_> {
    /// What is asked of a body in its stretches; it is `seen` at its best time.
    pub(super) fn asked_in_the_night(
        &self,
        seen: &Seen,
        track: &Track,
        at_tt_days: f64,
        stretches: &[Span],
        told: &Told,
    ) -> Vec<Asked> {
        let Some(body) = seen.appearance() else {
            return Vec::new();
        };
        let hours = NightHours {
            watch: self,
            seen,
            track,
            moons: RefCell::default(),
        };
        let tonight = Tonight {
            seen: body,
            at_tt_days,
            stretches,
            hours: &hours,
        };
        asked_tonight(&tonight, told)
    }
}

/// One body's night for whoever asks for its hours.
struct NightHours<'a> {
    watch: &'a Watch<'a>,
    seen: &'a Seen,
    track: &'a Track,
    /// By instant, worked out when first asked for.
    moons: RefCell<Vec<(f64, Vec<SatelliteView>)>>,
}

impl Hours for NightHours<'_> {
    fn hour(&self, tt_days: f64) -> Hour {
        self.watch.hour(self.seen, self.track, tt_days)
    }

    fn with_sun_below(&self, altitude_deg: f64) -> Vec<Span> {
        self.watch.with_sun_below(altitude_deg)
    }

    fn umbral(&self) -> Vec<Span> {
        self.watch.eclipse_light().umbral.clone()
    }

    fn moons(&self, tt_days: f64) -> Vec<SatelliteView> {
        let Some(body @ (Body::Jupiter | Body::Saturn)) = self.seen.subject().body() else {
            return Vec::new();
        };
        let mut known = self.moons.borrow_mut();
        let found = known.iter().find(|(at, _)| *at == tt_days);
        if let Some((_, moons)) = found {
            return moons.clone();
        }
        let moons = moons_of(body, tt_days);
        known.push((tt_days, moons.clone()));
        moons
    }

    fn seeing_zenith_arcsec(&self) -> f64 {
        self.watch.seeing_zenith_arcsec.typical
    }
}
