//! The windows of the mask along a mirror's radius, and what would come off the glass in each.

use maud::html;

use crate::plan::pictures::{DrawnWindow, Profile};
use crate::show::picture::axis::{Area, Axis};
use crate::show::picture::chart::{Chart, px, width_of};
use crate::show::words;

/// Of the panel with the bars.
pub(super) const TAKE_OFF_HEIGHT: f64 = 96.0;

/// Inside the lower edge of the curve's panel.
pub(super) fn height(profile: &Profile) -> f64 {
    match profile.windows.is_empty() {
        true => 0.0,
        false => LANE,
    }
}

/// Each window as a line from end to end with its number over it, under the curve.
pub(super) fn marked(chart: &mut Chart, profile: &Profile) {
    let y = chart.bottom() - 8.0;
    for (idx, window) in profile.windows.iter().enumerate() {
        let [left, right] = ends(chart, window);
        let number = (idx + 1).to_string();
        let named = format!("window {number}");
        let words = match idx == 0 && width_of(&named) < right - left {
            true => named,
            false => number,
        };
        let line = format!("M{} {}v8m0 -4H{}m0 -4v8", px(left), px(y - 4.0), px(right));
        chart.add(html! {
            path d=(line) fill="none" stroke="black" stroke-width="1.2" {}
            text x=(px((left + right) / 2.0)) y=(px(y - 6.0)) text-anchor="middle" { (words) }
        });
    }
}

/// A bar a window, with its number of nanometres; nothing where nothing is to come off.
pub(super) fn take_off(profile: &Profile, (left, right, top): (f64, f64, f64)) -> Option<Chart> {
    let most_nm = profile
        .windows
        .iter()
        .map(|window| window.remove_nm)
        .fold(0.0, f64::max);
    (LEAST_NM < most_nm).then_some(())?;
    let area = Area {
        left,
        right,
        top,
        bottom: top + TAKE_OFF_HEIGHT,
    };
    let mut chart = Chart::within(
        area,
        Axis::named("", (0.0, profile.rim_mm), Vec::new()),
        Axis::named("take off, nm", (0.0, 1.3 * most_nm), Vec::new()),
    );
    for window in &profile.windows {
        let [left, right] = ends(&chart, window);
        let (_, bar) = chart.at(0.0, window.remove_nm);
        let nm = words::glass_nm(window.remove_nm);
        chart.add(html! {
            rect x=(px(left)) y=(px(bar)) width=(px(right - left)) height=(px(area.bottom - bar))
                fill="#bbb" stroke="black" {}
            text x=(px((left + right) / 2.0)) y=(px(bar - 5.0)) text-anchor="middle" { (nm) }
        });
    }
    Some(chart)
}

fn ends(chart: &Chart, window: &DrawnWindow) -> [f64; 2] {
    [window.stretch.from_mm, window.stretch.to_mm].map(|mm| chart.at(mm, 0.0).0)
}

const LANE: f64 = 34.0;

/// Less is no bar on paper.
const LEAST_NM: f64 = 0.5;
