//! What goes on at a body while it can be looked at: its moons, its face. The same for all telescopes.

use crate::plan::night::Night;
use crate::plan::outlook::Outlook;
use crate::show::night::{faces, moons};
use crate::show::words;
use crate::sky::Body;

/// Lines for reading.
pub(super) fn lines(outlook: &Outlook, night: &Night) -> Vec<String> {
    let events: &[_] = match outlook.subject().body() {
        Some(Body::Jupiter) => &night.satellite_events,
        _ => &[],
    };
    let moons = [
        moons::sides(outlook, night.zone),
        moons::happens(outlook, events, night.zone),
    ];
    let face = faces::lines(&outlook.face, outlook.best, night.zone);
    (moons.into_iter().flatten())
        .chain(face)
        .chain(red_spot_words(outlook, night))
        .collect()
}

/// Where the Spot is asked for: from what, how old, how sure.
fn red_spot_words(outlook: &Outlook, night: &Night) -> Option<String> {
    let mut asked = outlook.asked.iter();
    let spot = &night.red_spot;
    asked.any(|asked| asked.caption.id == "jupiter_red_spot").then(|| {
        format!(
            "The Red Spot is placed by a longitude of {} ({:.0} months old): its times may be {:.0} minutes off.",
            words::plain_date(spot.measured.measured_on),
            spot.age_months.abs(),
            spot.uncertain_min
        )
    })
}
