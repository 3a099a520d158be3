//! Looks at one evening: what shows within its hours, in which telescope, and what does not.

use std::cell::OnceCell;

use chrono::{NaiveDate, TimeDelta};

use crate::plan::clock_window::showings_in_night;
use crate::plan::dates::ask::{Audience, SHORTEST_MINUTES};
use crate::plan::dates::course::{Held, held, held_at_most};
use crate::plan::dates::evening::{
    Dark, Evening, GradedDetail, Happens, Missing, MoonThen, Shown, WhyMissing,
};
use crate::plan::dates::menu::{Item, Sort, is_fine, n_stars};
use crate::plan::dates::score::CHILDRENS_BEDTIME;
use crate::plan::dates::stars::{LOWEST_STAR_DEG, Stars, most_points_first};
use crate::plan::dates::team::{Team, airs, in_typical_air, least_promised, welcome};
use crate::plan::dates::{happens, score, stars};
use crate::plan::local::date_there;
use crate::plan::lookout::{LOWEST_USEFUL_ALTITUDE_DEG, STOP_BEFORE_SUNRISE_MINUTES};
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::{Absence, Outlook};
use crate::plan::refusal::NoNight;
use crate::plan::time_span::{TimeSpan, utc};
use crate::plan::watch::Watch;
use crate::sky::Body;
use crate::sky::almanac::{CIVIL_TWILIGHT_DEG, Span};
use crate::sky::appearance::Scene;
use crate::sky::earth::Place;
use crate::sky::happenings::phases::is_waxing;
use crate::sky::spans::common;
use crate::sky::time::tt_days;
use crate::targets::asked::Asked;
use crate::targets::grade::Grade;
use crate::targets::subject::Subject;
use crate::targets::verdict::visibilities_on;
use crate::units::MINUTES_PER_DAY;

/// Telescopes whose points differ by less show it alike to anybody.
const ALIKE: f64 = 0.95;

/// Higher than the upper limb of a rising Sun, degrees.
const SUN_NEARLY_UP_DEG: f64 = -1.0;

/// One evening's hours under one sky.
struct Hours<'a> {
    team: &'a Team<'a>,
    watch: Watch<'a>,
    onlooker: Onlooker,
    /// Days of TT since J2000.0.
    within: Span,
    /// It is asked for as a target and as what lights the sky, and has the most details of all.
    moons_outlook: OnceCell<Result<Result<Outlook, Absence>, NoNight>>,
}

impl Team<'_> {
    /// `None` where the clocks of the place do not show these hours on that date.
    pub(super) fn evening(&self, on: NaiveDate) -> Result<Option<Evening>, NoNight> {
        let site = &self.workshop.site;
        let hours = self.wanted.window.on(on, site.time_zone).ok();
        let is_long = |hours: &TimeSpan| SHORTEST_MINUTES as f64 <= hours.minutes();
        let Some(asked) = hours.filter(is_long) else {
            return Ok(None);
        };
        let watch = Watch::of(self.workshop, self.watched(asked)?)?;
        let hours = Hours {
            team: self,
            onlooker: watch.onlooker(self.workshop.observer),
            watch,
            within: asked.of_sky(),
            moons_outlook: OnceCell::new(),
        };
        let (shown, missing) = hours.offers()?;
        let (mut moon, moon_clear) = hours.moon()?;
        let audience = &self.wanted.audience;
        let happens = happens::within(audience, &self.listed, hours.within, &moon_clear);
        moon.is_eclipsed = happens.iter().any(Happens::is_umbral_eclipse);
        let dark = hours.dark(self.bedtime(on));
        let shown_points = shown.iter().map(|shown| shown.points).sum::<f64>()
            + happens.iter().map(|it| it.points).sum::<f64>();
        let minutes = minutes(hours.within);
        let terms = score::terms(audience, shown_points, (&moon, &dark, minutes));
        let score = shown_points + terms.iter().map(|term| term.points).sum::<f64>();
        Ok(Some(Evening {
            on,
            date: date_there(asked.from, site.time_zone),
            from: asked.from,
            until: asked.until,
            score: score.max(0.0),
            shown,
            happens,
            terms,
            missing,
            moon,
            dark,
        }))
    }

    /// The hours, and a little more where the Sun comes up right after them: who watches the morning must
    /// know of it.
    fn watched(&self, asked: TimeSpan) -> Result<TimeSpan, NoNight> {
        let site = &self.workshop.site;
        let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
        let later = asked.until + TimeDelta::minutes(STOP_BEFORE_SUNRISE_MINUTES as i64 + 1);
        let sun = Scene::new(place, later).and_then(|scene| scene.appearance(Body::Sun));
        let sun_deg = sun.ok_or(NoNight::OutsideEphemeris)?.place.altitude_deg;
        let is_nearly_up = SUN_NEARLY_UP_DEG < sun_deg;
        Ok(TimeSpan {
            until: if is_nearly_up { later } else { asked.until },
            ..asked
        })
    }

    /// In hours that begin in the evening before it.
    fn bedtime(&self, on: NaiveDate) -> Option<f64> {
        let zone = self.workshop.site.time_zone;
        let (bedtime, _) = showings_in_night(CHILDRENS_BEDTIME, on, zone).ok()?;
        (0 < self.wanted.window.minutes_to(CHILDRENS_BEDTIME)).then_some(tt_days(bedtime))
    }
}

impl Hours<'_> {
    /// What shows, most points first, and what of the things that count for themselves does not.
    fn offers(&self) -> Result<(Vec<Shown>, Vec<Missing>), NoNight> {
        let (mut shown, mut missing) = (Vec::new(), Vec::new());
        for item in &self.team.menu {
            if item.sort != Sort::Each || !has_sense(item) {
                continue;
            }
            match self.offer(item)? {
                Ok(one) => shown.push(one),
                Err(why) => missing.push(Missing {
                    name: item.called(),
                    why,
                }),
            }
        }
        let (n_stars, further) = n_stars(&self.team.wanted.audience);
        let mut stars = Stars::new(n_stars, further);
        let site = &self.team.workshop.site;
        for (at_most, most, item) in stars::in_reach(&self.team.menu, site, self.within) {
            let subject = &item.wished.subject;
            if stars.has_room_for(subject, at_most * self.share(most))
                && let Ok(outlook) = self.outlook(subject)?
                && stars.has_room_for(subject, at_most * self.share(held_at_most(&outlook)))
                && let Ok(one) = self.graded(item, outlook)
            {
                stars.take(one);
            }
        }
        shown.extend(stars.shown());
        shown.sort_by(most_points_first);
        Ok((shown, missing))
    }

    /// One thing asked for, or why it does not show.
    fn offer(&self, item: &Item) -> Result<Result<Shown, WhyMissing>, NoNight> {
        Ok(match self.outlook(&item.wished.subject)? {
            Ok(outlook) => self.graded(item, outlook),
            Err(absence) => Err(why_absent(absence)),
        })
    }

    fn outlook(&self, subject: &Subject) -> Result<Result<Outlook, Absence>, NoNight> {
        if subject.body() == Some(Body::Moon) {
            let look = || (self.watch).outlook_within(self.within, subject.clone(), false);
            return self.moons_outlook.get_or_init(look).clone();
        }
        let subject = subject.clone();
        self.watch.outlook_within(self.within, subject, false)
    }

    /// What is left of something's worth by its hours.
    fn share(&self, held: Held) -> f64 {
        let audience = &self.team.wanted.audience;
        held.most * score::time_for_all(audience, held.minutes, minutes(self.within))
    }

    /// What the telescopes make of it at its best time; of one detail at its own.
    fn graded(&self, item: &Item, mut outlook: Outlook) -> Result<Shown, WhyMissing> {
        let asked = self.asked(item, &mut outlook)?;
        let altitude_deg = outlook.at_best.place().refracted_altitude_deg;
        if item.sort != Sort::Each && altitude_deg < LOWEST_STAR_DEG {
            return Err(WhyMissing::Low);
        }
        let audience = &self.team.wanted.audience;
        let look = outlook.look(&self.onlooker);
        let seen: Vec<Vec<Vec<f64>>> = (self.team.instruments.iter())
            .map(|instrument| visibilities_on(instrument, &look, &asked, airs(audience)))
            .collect();
        let points: Vec<f64> = (seen.iter())
            .map(|seen| self.points(&outlook, &asked, seen))
            .collect();
        let most = points.iter().copied().fold(0.0, f64::max);
        if most <= 0.0 {
            return Err(WhyMissing::Beyond);
        }
        let telescopes: Vec<usize> = (0..points.len())
            .filter(|idx| ALIKE * most <= points[*idx])
            .collect();
        let points = match audience {
            // Every mirror is to be tried, and as high as it can be.
            Audience::FigureTest => {
                let mean = points.iter().sum::<f64>() / points.len() as f64;
                mean * score::mirror_tried(altitude_deg)
            }
            _ => most,
        };
        if points <= 0.0 {
            return Err(WhyMissing::Low);
        }
        let grades: Vec<Grade> = (seen[telescopes[0]].iter())
            .map(|seen| Grade::of_visibility(in_typical_air(seen)))
            .collect();
        Ok(Shown {
            name: item.called(),
            detail_id: item.wished.detail_id.clone(),
            details: surest_of_each_kind(audience, &asked, &grades),
            telescopes,
            points,
            outlook,
        })
    }

    /// What an audience has of the hours of a subject in one telescope, in which each thing asked is `seen` so surely. Nothing
    /// where nothing of it can be promised in typical air: makers who try a mirror, and who comes for a wish, take moments of
    /// steady air for what they are.
    fn points(&self, outlook: &Outlook, asked: &[Asked], seen: &[Vec<f64>]) -> f64 {
        let audience = &self.team.wanted.audience;
        let surest = (seen.iter()).map(|seen| in_typical_air(seen));
        if Grade::of_visibility(surest.fold(0.0, f64::max)) < least_promised(audience) {
            return 0.0;
        }
        score::points_of_a_detail(audience)
            * welcome(audience, &outlook.subject())
            * self.share(held(outlook, asked, seen))
    }

    /// What is asked of a subject; of one detail with the outlook in its own hours.
    fn asked(&self, item: &Item, outlook: &mut Outlook) -> Result<Vec<Asked>, WhyMissing> {
        let mut asked = outlook.asked.clone();
        if self.team.wanted.audience == Audience::FigureTest {
            asked.retain(is_fine);
        }
        let Some(id) = &item.wished.detail_id else {
            return Ok(asked);
        };
        asked.retain(|asked| asked.caption.id == *id);
        let [detail] = &mut asked[..] else {
            return Err(WhyMissing::NotThere(outlook.unmet(id, &self.onlooker)));
        };
        if !detail.stands_well(&self.onlooker.told()) {
            return Err(WhyMissing::NotWell);
        }
        if let Some(hour) = detail.hour {
            let subject = &item.wished.subject;
            let at_best = self.watch.seen(subject, hour.at_tt_days);
            outlook.look_at(at_best.map_err(|_| WhyMissing::NotThere(None))?, hour);
            detail.hour = None;
        }
        outlook.keep(&detail.during);
        Ok(asked)
    }

    /// The Moon, and while it is clear of the skyline.
    fn moon(&self) -> Result<(MoonThen, Vec<Span>), NoNight> {
        let outlook = self.outlook(&Subject::Body(Body::Moon))?.ok();
        let middle = 0.5 * (self.within.from_tt_days + self.within.until_tt_days);
        let at_middle = self.watch.appearance(Body::Moon, middle)?;
        let moon = MoonThen {
            lit: at_middle.illuminated_fraction,
            lit_on_right: is_waxing(middle) == (0.0 <= self.team.workshop.site.latitude_deg),
            altitude_deg: (outlook.as_ref()).map(|it| it.at_best.place().refracted_altitude_deg),
            is_eclipsed: false,
        };
        let stretches = outlook.into_iter().flat_map(|outlook| outlook.stretches);
        let clear = stretches.map(|stretch| stretch.span().of_sky());
        Ok((moon, clear.collect()))
    }

    fn dark(&self, bedtime: Option<f64>) -> Dark {
        let dark = common(
            &self.watch.with_sun_below(CIVIL_TWILIGHT_DEG),
            &[self.within],
        );
        let until = |end: f64| -> f64 {
            let before = Span {
                from_tt_days: self.within.from_tt_days,
                until_tt_days: end,
            };
            common(&dark, &[before]).into_iter().map(minutes).sum()
        };
        Dark {
            from: dark.first().map(|dark| utc(dark.from_tt_days)),
            minutes: until(self.within.until_tt_days),
            minutes_before_bedtime: bedtime.map(until),
        }
    }
}

/// The Sun is nobody's target, whoever asks.
fn has_sense(item: &Item) -> bool {
    item.wished.subject.body() != Some(Body::Sun)
}

fn minutes(stretch: Span) -> f64 {
    stretch.days() * MINUTES_PER_DAY
}

/// Of each kind of detail that counts the surest one, the surest first; of equal ones in the table's order, which puts what
/// is easiest first.
fn surest_of_each_kind(
    audience: &Audience,
    asked: &[Asked],
    grades: &[Grade],
) -> Vec<GradedDetail> {
    let least = least_promised(audience);
    let mut there: Vec<(&Asked, Grade)> = (asked.iter().zip(grades))
        .map(|(asked, grade)| (asked, *grade))
        .filter(|(_, grade)| least <= *grade)
        .collect();
    there.sort_by(|(_, a), (_, b)| b.cmp(a));
    let mut kinds = Vec::new();
    // Glow and stars of a cluster are two sights; they have no row in the table of details.
    there.retain(|(asked, _)| match asked.detail.map(|detail| detail.shape) {
        Some(shape) if kinds.contains(&shape) => false,
        shape => {
            kinds.extend(shape);
            true
        }
    });
    (there.into_iter())
        .map(|(asked, grade)| GradedDetail {
            id: asked.caption.id.clone(),
            name: asked.caption.name.clone(),
            grade,
        })
        .collect()
}

fn why_absent(absence: Absence) -> WhyMissing {
    match absence {
        Absence::NeverClear { highest_deg } if highest_deg < LOWEST_USEFUL_ALTITUDE_DEG => {
            WhyMissing::Low
        }
        Absence::NeverClear { highest_deg } => WhyMissing::Skyline { highest_deg },
        Absence::OnlyInDaylight { .. } => WhyMissing::Twilight,
        Absence::NearSun { .. } => WhyMissing::NearSun,
    }
}
