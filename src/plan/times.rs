//! The times of a night's watch: rising, setting, dusk and dawn, and the cautions that hang on them.

use chrono::{DateTime, Utc};

use crate::plan::caution::{Caution, Offered, sun_cautions};
use crate::plan::night::BodyTimes;
use crate::plan::outlook::Outlook;
use crate::plan::sun::{SunTimes, Twilight};
use crate::plan::time_span::utc;
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::almanac::{SUNRISE_ALTITUDE_DEG, TWILIGHTS_DEG};
use crate::sky::search::Crossing;

impl Watch<'_> {
    pub(super) fn sun_times(&self) -> SunTimes {
        let twilight = |altitude_deg: f64| {
            let (dawn, dusk) =
                first_up_and_down(&self.almanac.altitude_crossings(Body::Sun, altitude_deg));
            Twilight { dusk, dawn }
        };
        let (rise, set) = first_up_and_down(&self.almanac.risings_and_settings(Body::Sun));
        let noon = self.almanac.span().from_tt_days;
        SunTimes {
            set,
            rise,
            twilights: TWILIGHTS_DEG.map(twilight),
            up_at_noon: SUNRISE_ALTITUDE_DEG
                < self.almanac.horizontal(Body::Sun, noon).altitude_deg,
        }
    }

    pub(super) fn body_times(&self, body: Body) -> BodyTimes {
        let crossings = self.almanac.risings_and_settings(body);
        let of_kind = |rising| {
            let of_kind = crossings
                .iter()
                .filter(|crossing| crossing.rising == rising);
            of_kind.map(|crossing| utc(crossing.at)).collect()
        };
        let transits = self.almanac.upper_transits(body);
        BodyTimes {
            body,
            rises: of_kind(true),
            transits: transits.into_iter().map(utc).collect(),
            sets: of_kind(false),
        }
    }

    pub(super) fn cautions(&self, outlooks: &[Outlook], daylight: bool) -> Vec<Caution> {
        let mut cautions = vec![Caution::Sun];
        if daylight {
            cautions.push(Caution::Daylight);
        }
        let offered: Vec<Offered> = (outlooks.iter())
            .flat_map(|outlook| {
                let stretches = outlook.stretches.iter();
                stretches.map(|stretch| Offered::of(outlook.subject(), stretch))
            })
            .collect();
        cautions.extend(sun_cautions(&offered, &self.sun_times()));
        cautions.push(Caution::Terrace);
        cautions
    }
}

fn first_up_and_down(crossings: &[Crossing]) -> (Option<DateTime<Utc>>, Option<DateTime<Utc>>) {
    let first = |rising| {
        let mut of_kind = crossings
            .iter()
            .filter(|crossing| crossing.rising == rising);
        of_kind.next().map(|crossing| utc(crossing.at))
    };
    (first(true), first(false))
}
