//! Why a detail shows or not: its chain in every telescope of the workshop, on the first night it is there.

use chrono::{DateTime, Days, NaiveDate, Utc};

use crate::optics::instrument::Instrument;
use crate::plan::local::{night_date, night_window};
use crate::plan::outlook::Outlook;
use crate::plan::refusal::{NoNight, NoSuchDetail, Refusal};
use crate::plan::time_span::TimeSpan;
use crate::plan::watch::Watch;
use crate::sky::almanac::Span;
use crate::sky::time::utc_from_tt;
use crate::targets::asked::Asked;
use crate::targets::explain::{Explanation, explain};
use crate::targets::subject::{Subject, subject_of};
use crate::targets::verdict::ThreeAirs;
use crate::workshop::Workshop;

/// Nights tried: details that need an open ring or a large Mars may be years away, but a plan is not.
const NIGHTS_TRIED: u64 = 400;

/// The chain of one detail.
#[derive(Debug, Clone, PartialEq)]
pub struct DetailExplained {
    /// Which, how it looks, and how sure its figures are.
    pub asked: Asked,
    /// The local date on which the night begins.
    pub on: NaiveDate,
    /// When and where its subject is to be looked at.
    pub outlook: Outlook,
    /// FWHM at the zenith.
    pub seeing_zenith_arcsec: ThreeAirs<f64>,
    /// In the file's order; telescopes that cannot be judged are left out.
    pub telescopes: Vec<(Instrument, Explanation)>,
}

/// Looks from an instant on for the first night on which the detail of that id is there; `None` when there
/// is none in some thirteen months.
///
/// ```
/// use skyworthy::plan::explain::detail_explained;
/// use skyworthy::workshop;
///
/// let from = "2026-12-20T11:00:00Z".parse()?;
/// let spot = detail_explained(&workshop::example(), "jupiter_red_spot", from)?;
/// assert!(spot.is_some_and(|spot| from <= spot.outlook.best));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn detail_explained(
    workshop: &Workshop,
    id: &str,
    from: DateTime<Utc>,
) -> Result<Option<DetailExplained>, Refusal> {
    let site = &workshop.site;
    let subject = subject_of(id).ok_or_else(|| NoSuchDetail(id.to_string()))?;
    let tonight = night_date(from, site.time_zone);
    for days in 0..NIGHTS_TRIED {
        let Some(on) = tonight.checked_add_days(Days::new(days)) else {
            break;
        };
        let Some(window) = night_window(on, site.time_zone) else {
            continue;
        };
        let watch = Watch::of(workshop, window)?;
        let rest = TimeSpan {
            from: window.from.max(from),
            ..window
        };
        let there = at_its_hour(&watch, &subject, id, rest.of_sky())?;
        let Some((outlook, asked)) = there else {
            continue;
        };
        let today = &asked.today;
        let seeing_zenith_arcsec = watch.seeing_zenith_arcsec;
        let look = outlook.look(&watch.onlooker(workshop.observer));
        let telescopes = (workshop.telescopes.iter())
            .filter_map(|telescope| Instrument::of(workshop, telescope, on).ok())
            .map(|instrument| {
                let explanation = explain(&instrument, &look, asked.detail, today);
                (instrument, explanation)
            })
            .collect();
        return Ok(Some(DetailExplained {
            on,
            seeing_zenith_arcsec,
            telescopes,
            asked,
            outlook,
        }));
    }
    Ok(None)
}

/// The look at it, at the hour at which the detail shows best.
fn at_its_hour(
    watch: &Watch,
    subject: &Subject,
    id: &str,
    within: Span,
) -> Result<Option<(Outlook, Asked)>, NoNight> {
    let Ok(outlook) = watch.outlook_within(within, subject.clone(), false)? else {
        return Ok(None);
    };
    let mut asked = outlook.asked.iter();
    let Some(asked) = asked.find(|it| it.caption.id == id).cloned() else {
        return Ok(None);
    };
    let Some(best) = asked.hour.and_then(|hour| utc_from_tt(hour.at_tt_days)) else {
        return Ok(Some((outlook, asked)));
    };
    let there = Outlook {
        stretches: outlook.stretches,
        ..watch.outlook_at(subject.clone(), best)?
    };
    Ok(Some((there, asked)))
}
