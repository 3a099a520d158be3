//! One evening: what shows within its hours, in which telescope, and what does not.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};

use crate::constants::JULIAN_YEAR_DAYS;
use crate::optics::instrument::Instrument;
use crate::plan::dates::menu::{Item, Sort, has_room, is_fine, menu};
use crate::plan::dates::window::shown as shown_by_the_clock;
use crate::plan::dates::{
    Audience, CHILDRENS_BEDTIME, Dark, Evening, GradedDetail, Happens, Missing, MoonThen, Shown,
    Wanted, WhyMissing, happens, score,
};
use crate::plan::happenings::Listed;
use crate::plan::local::NightWindow;
use crate::plan::lookout::{LOWEST_USEFUL_ALTITUDE_DEG, STOP_BEFORE_SUNRISE_MINUTES};
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::{Absence, Outlook};
use crate::plan::refusal::NoNight;
use crate::plan::watch::{Watch, utc};
use crate::sky::Body;
use crate::sky::almanac::Span;
use crate::sky::appearance::Scene;
use crate::sky::earth::Place;
use crate::sky::spans::common;
use crate::sky::time::tt_days;
use crate::targets::asked::Asked;
use crate::targets::details::Shape;
use crate::targets::grade::Grade;
use crate::targets::look::Look;
use crate::targets::subject::Subject;
use crate::targets::typical::TypicalAir;
use crate::workshop::Workshop;

/// Lower than this no star is worth the trouble while so much stands higher, degrees.
const LOWEST_STAR_DEG: f64 = 25.0;

/// Higher than the upper limb of a rising Sun, degrees.
const SUN_NEARLY_UP_DEG: f64 = -1.0;

/// Everything that is the same for all evenings of a month.
pub(super) struct Team<'a> {
    pub(super) workshop: &'a Workshop,
    pub(super) wanted: &'a Wanted<'a>,
    pub(super) instruments: Vec<Instrument>,
    /// What happens about that month.
    pub(super) listed: Vec<Listed>,
}

/// One evening's hours under one sky.
struct Hours<'a> {
    team: &'a Team<'a>,
    watch: Watch<'a>,
    onlooker: Onlooker,
    /// Days of TT since J2000.0.
    within: Span,
}

/// What became of one thing asked for.
struct Found {
    shown: Shown,
    sort: Sort,
}

impl Team<'_> {
    /// `None` where the clocks of the place do not show these hours on that date.
    pub(super) fn evening(&self, on: NaiveDate) -> Result<Option<Evening>, NoNight> {
        let site = &self.workshop.site;
        let Some((from, until)) = self.wanted.window.on(on, site.time_zone) else {
            return Ok(None);
        };
        let watch = Watch::of(self.workshop, self.watched(from, until)?)?;
        let hours = Hours {
            team: self,
            onlooker: watch.onlooker(self.workshop.observer),
            watch,
            within: Span {
                from_tt_days: tt_days(from),
                until_tt_days: tt_days(until),
            },
        };
        let (shown, missing) = hours.offers()?;
        let (mut moon, moon_clear) = hours.moon()?;
        let audience = &self.wanted.audience;
        let happens = happens::within(audience, &self.listed, (from, until), &moon_clear);
        moon.is_eclipsed = happens.iter().any(Happens::is_umbral_eclipse);
        let dark = hours.dark(self.bedtime(on));
        let shown_points = shown.iter().map(|shown| shown.points).sum::<f64>()
            + happens.iter().map(|it| it.points).sum::<f64>();
        let minutes = minutes(hours.within);
        let terms = score::terms(audience, shown_points, (&moon, &dark, minutes));
        let score = shown_points + terms.iter().map(|term| term.points).sum::<f64>();
        Ok(Some(Evening {
            on,
            from,
            until,
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
    fn watched(&self, from: DateTime<Utc>, until: DateTime<Utc>) -> Result<NightWindow, NoNight> {
        let site = &self.workshop.site;
        let place = Place::new(site.latitude_deg, site.longitude_deg, site.elevation_m);
        let later = until + TimeDelta::minutes(STOP_BEFORE_SUNRISE_MINUTES as i64 + 1);
        let sun = Scene::new(place, later).and_then(|scene| scene.appearance(Body::Sun));
        let sun_deg = sun.ok_or(NoNight::OutsideEphemeris)?.altitude_deg;
        let is_nearly_up = SUN_NEARLY_UP_DEG < sun_deg;
        Ok(NightWindow {
            from,
            until: if is_nearly_up { later } else { until },
        })
    }

    /// In hours that begin in the evening before it.
    fn bedtime(&self, on: NaiveDate) -> Option<f64> {
        let window = self.wanted.window;
        let bedtime = window.local(CHILDRENS_BEDTIME, on)?;
        let begins = window.local(window.from(), on)?;
        let (at, _) = shown_by_the_clock(bedtime, self.workshop.site.time_zone)?;
        (begins < bedtime).then_some(tt_days(at))
    }
}

impl Hours<'_> {
    /// What shows, most points first, and what of the things that count for themselves does not.
    fn offers(&self) -> Result<(Vec<Shown>, Vec<Missing>), NoNight> {
        let year = 2000.0 + self.within.from_tt_days / JULIAN_YEAR_DAYS;
        let items = menu(&self.team.wanted.audience, &self.team.instruments, year);
        let (mut found, mut missing, mut enough) = (Vec::new(), Vec::new(), Vec::new());
        for item in items.iter().filter(|item| has_sense(item)) {
            if !has_room(item.sort, &enough) {
                continue;
            }
            match self.offer(item)? {
                Ok(shown) => {
                    if 4.0 * item.weight <= shown.points {
                        enough.push(item.sort);
                    }
                    found.push(Found {
                        shown,
                        sort: item.sort,
                    });
                }
                Err(why) if item.sort == Sort::Each => missing.push(Missing {
                    name: item.called(),
                    why,
                }),
                Err(_) => {}
            }
        }
        found.sort_by(|a, b| b.shown.points.total_cmp(&a.shown.points));
        let mut taken = Vec::new();
        found.retain(|found| {
            let has_room = has_room(found.sort, &taken);
            if has_room {
                taken.push(found.sort);
            }
            has_room
        });
        let shown = found.into_iter().map(|found| found.shown).collect();
        Ok((shown, missing))
    }

    /// One thing asked for, or why it does not show.
    fn offer(&self, item: &Item) -> Result<Result<Shown, WhyMissing>, NoNight> {
        let subject = item.wished.subject.clone();
        Ok(
            match self.watch.outlook_within(self.within, subject, false)? {
                Ok(outlook) => self.graded(item, outlook),
                Err(absence) => Err(why_absent(absence)),
            },
        )
    }

    /// What the telescopes make of it at its best time.
    fn graded(&self, item: &Item, outlook: Outlook) -> Result<Shown, WhyMissing> {
        let altitude_deg = outlook.at_best.refracted_altitude_deg();
        if item.sort != Sort::Each && altitude_deg < LOWEST_STAR_DEG {
            return Err(WhyMissing::Low);
        }
        let asked = self.asked(item, &outlook)?;
        let audience = &self.team.wanted.audience;
        let look = outlook.look(&self.onlooker);
        let sights: Vec<Vec<Sight>> = (self.team.instruments.iter())
            .map(|instrument| sights(audience, instrument, &look, &asked))
            .collect();
        let points: Vec<f64> = (sights.iter())
            .map(|sights| item.weight * score::subject_points(sights.iter().map(|it| it.points)))
            .collect();
        let most = points.iter().copied().fold(0.0, f64::max);
        if most <= 0.0 {
            return Err(WhyMissing::Beyond);
        }
        let telescopes: Vec<usize> = (0..points.len())
            .filter(|idx| points[*idx] == most)
            .collect();
        let showing_minutes: f64 = (outlook.stretches.iter())
            .map(|it| (it.until - it.from).num_seconds() as f64 / 60.0)
            .sum();
        let points = match audience {
            // Every mirror is to be tried, and as high as it can be.
            Audience::FigureTest => {
                let mean = points.iter().sum::<f64>() / points.len() as f64;
                mean * score::mirror_tried(altitude_deg)
            }
            _ => most * score::time_for_all(audience, showing_minutes),
        };
        if points <= 0.0 {
            return Err(WhyMissing::Low);
        }
        Ok(Shown {
            name: item.called(),
            detail_id: item.wished.detail_id.clone(),
            details: (sights[telescopes[0]].iter())
                .filter(|sight| 0.0 < sight.points)
                .map(|sight| sight.named(&asked))
                .collect(),
            telescopes,
            points,
            outlook,
        })
    }

    /// What is asked of a subject.
    fn asked(&self, item: &Item, outlook: &Outlook) -> Result<Vec<Asked>, WhyMissing> {
        let mut asked = outlook.asked.clone();
        if self.team.wanted.audience == Audience::FigureTest {
            asked.retain(is_fine);
        }
        let Some(id) = &item.wished.detail_id else {
            return Ok(asked);
        };
        asked.retain(|asked| asked.caption.id == *id);
        match asked.first().map(|asked| &asked.today) {
            None => Err(WhyMissing::NotThere(None)),
            Some(Err(unmet)) => Err(WhyMissing::NotThere(Some(*unmet))),
            Some(Ok(_)) => Ok(asked),
        }
    }

    /// The Moon, and while it is clear of the skyline.
    fn moon(&self) -> Result<(MoonThen, Vec<Span>), NoNight> {
        let subject = Subject::Body(Body::Moon);
        let outlook = self.watch.outlook_within(self.within, subject, false)?.ok();
        let middle = 0.5 * (self.within.from_tt_days + self.within.until_tt_days);
        let moon = MoonThen {
            lit: (self.watch.appearance(Body::Moon, middle)?).illuminated_fraction,
            altitude_deg: (outlook.as_ref()).map(|it| it.at_best.refracted_altitude_deg()),
            is_eclipsed: false,
        };
        let stretches = outlook.into_iter().flat_map(|outlook| outlook.stretches);
        let clear = stretches.map(|stretch| Span {
            from_tt_days: tt_days(stretch.from),
            until_tt_days: tt_days(stretch.until),
        });
        Ok((moon, clear.collect()))
    }

    fn dark(&self, bedtime: Option<f64>) -> Dark {
        let dark = common(&self.watch.dark(), &[self.within]);
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
    stretch.days() * 1440.0
}

/// The surest detail of a kind in one telescope.
struct Sight {
    shape: Option<Shape>,
    /// Its place among what was asked.
    idx: usize,
    grade: Grade,
    points: f64,
}

impl Sight {
    fn named(&self, asked: &[Asked]) -> GradedDetail {
        let caption = &asked[self.idx].caption;
        GradedDetail {
            id: caption.id.clone(),
            name: caption.name.clone(),
            grade: self.grade,
        }
    }
}

/// What an audience has of a subject in one telescope, most points first.
fn sights(
    audience: &Audience,
    instrument: &Instrument,
    look: &Look,
    asked: &[Asked],
) -> Vec<Sight> {
    let mut sights = surest_of_each_kind(instrument, look, asked);
    for sight in &mut sights {
        sight.points = score::sight_points(audience, sight.shape, sight.grade);
    }
    // Of equal ones in the table's order, which puts what is easiest first.
    sights.sort_by(|a, b| b.points.total_cmp(&a.points));
    sights
}

/// Of each kind of detail the surest one. Looking at a kind ends with the first that is plain.
fn surest_of_each_kind(instrument: &Instrument, look: &Look, asked: &[Asked]) -> Vec<Sight> {
    let air = TypicalAir::new(instrument, look);
    let mut surest: Vec<Sight> = Vec::new();
    for (idx, asked) in asked.iter().enumerate() {
        let Ok(today) = &asked.today else {
            continue;
        };
        let shape = asked.detail.map(|detail| detail.shape);
        // Glow and stars of a cluster are two sights; they have no row in the table of details.
        let same = |known: &&mut Sight| shape.is_some() && known.shape == shape;
        match surest.iter_mut().find(same) {
            Some(known) if known.grade == Grade::Plain => {}
            Some(known) => {
                let grade = air.grade(today);
                if known.grade < grade {
                    (known.idx, known.grade) = (idx, grade);
                }
            }
            None => surest.push(Sight {
                shape,
                idx,
                grade: air.grade(today),
                points: 0.0,
            }),
        }
    }
    surest
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
