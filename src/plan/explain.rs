//! Why a detail shows or not: its chain in every telescope of the workshop, on the first night it is there.

use chrono::DateTime;
use chrono::Days;
use chrono::NaiveDate;
use chrono::Utc;

use crate::optics::instrument::Instrument;
use crate::plan::local::night_window;
use crate::plan::night::NoNight;
use crate::plan::night::Outlook;
use crate::plan::watch::Watch;
use crate::targets::details::Detail;
use crate::targets::explain::Explanation;
use crate::targets::explain::explain;
use crate::targets::verdict::ThreeAirs;
use crate::workshop::Workshop;

/// Nights tried: details that need an open ring or a large Mars may be years away, but a plan is not.
const NIGHTS_TRIED: u64 = 400;

/// The chain of one detail.
#[derive(Debug, Clone, PartialEq)]
pub struct DetailExplained {
    /// Which.
    pub detail: &'static Detail,
    /// The local date on which the night begins.
    pub on: NaiveDate,
    /// The best time of that night.
    pub best: DateTime<Utc>,
    /// When and where the body is.
    pub outlook: Outlook,
    /// FWHM at the zenith.
    pub seeing_zenith_arcsec: ThreeAirs<f64>,
    /// In the file's order; telescopes that cannot be judged are left out.
    pub telescopes: Vec<(Instrument, Explanation)>,
}

/// Looks from a date on for the first night on which the detail is there; `None` when there is none in some
/// thirteen months.
pub fn detail_explained(
    workshop: &Workshop,
    detail: &'static Detail,
    from: NaiveDate,
) -> Result<Option<DetailExplained>, NoNight> {
    let site = &workshop.site;
    let instruments: Vec<Instrument> = (workshop.telescopes.iter())
        .filter_map(|telescope| Instrument::of(workshop, telescope, from).ok())
        .collect();
    for days in 0..NIGHTS_TRIED {
        let Some(on) = from.checked_add_days(Days::new(days)) else {
            break;
        };
        let Some(window) = night_window(on, site.time_zone) else {
            continue;
        };
        let watch = Watch::new(site, window)?;
        let Ok(outlook) = watch.outlook(detail.body, false)? else {
            continue;
        };
        let seeing_zenith_arcsec = watch.seeing_zenith_arcsec;
        let look = outlook.look(seeing_zenith_arcsec, workshop.observer.age_years);
        let telescopes: Option<Vec<(Instrument, Explanation)>> = instruments
            .iter()
            .map(|instrument| Some((instrument.clone(), explain(instrument, &look, detail).ok()?)))
            .collect();
        if let Some(telescopes) = telescopes {
            return Ok(Some(DetailExplained {
                detail,
                on,
                best: outlook.best,
                seeing_zenith_arcsec,
                telescopes,
                outlook,
            }));
        }
    }
    Ok(None)
}
