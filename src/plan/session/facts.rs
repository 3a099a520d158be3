//! What people ask at the eyepiece: how far away, how large, how large it looks, how small a thing shows.

use crate::constants::{AU_KM, JULIAN_YEAR_DAYS, SPEED_OF_LIGHT_KM_S};
use crate::eye::pupil::dark_adapted_pupil_mm;
use crate::optics::instrument::{Instrument, View};
use crate::plan::onlooker::Onlooker;
use crate::plan::outlook::Outlook;
use crate::plan::session::answer::{Facts, SizeOf};
use crate::sky::Appearance;
use crate::sky::time::tt_days;
use crate::targets::beyond::Beyond;
use crate::targets::deep_sky::SeenWidth;
use crate::targets::distance::{distance_ly, extent_ly, gap_au};
use crate::targets::smallest::smallest_km;
use crate::targets::subject::Seen;
use crate::units::{ARCMIN_PER_DEG, ARCSEC_PER_ARCMIN};

/// Of a target as it stands, for that telescope, eyepiece and eye.
pub(super) fn facts(
    onlooker: &Onlooker,
    instrument: &Instrument,
    outlook: &Outlook,
    view: &View,
) -> Facts {
    let pupil_mm = dark_adapted_pupil_mm(onlooker.observer.age_years);
    let year = 2000.0 + tt_days(outlook.best) / JULIAN_YEAR_DAYS;
    let of_target = match &outlook.at_best {
        Seen::Body(seen) => of_body(seen, view),
        Seen::Beyond(there, _) => of_beyond(*there, year, view),
        Seen::Small(..) => Facts::default(),
    };
    Facts {
        smallest_km: smallest_km(instrument, &outlook.look(onlooker)),
        light_gain: instrument.transmission * (instrument.aperture_mm / pupil_mm).powi(2),
        ..of_target
    }
}

fn of_body(seen: &Appearance, view: &View) -> Facts {
    let distance_km = seen.distance_au * AU_KM;
    Facts {
        distance_km: Some(distance_km),
        light_time_s: Some(distance_km / SPEED_OF_LIGHT_KM_S),
        diameter_km: Some(2.0 * seen.body.equatorial_radius_km()),
        seems_from_km: Some(distance_km / view.magnification),
        ..looking(
            seen.diameter_arcsec / ARCSEC_PER_ARCMIN,
            SizeOf::Whole,
            view,
        )
    }
}

fn of_beyond(there: Beyond, year: f64, view: &View) -> Facts {
    let distance_ly = distance_ly(there.id());
    match there {
        Beyond::Double(double) => {
            let gap_arcsec = double.separation_and_angle(year).separation_arcsec;
            Facts {
                distance_ly,
                gap_au: gap_au(double, gap_arcsec),
                ..looking(gap_arcsec / ARCSEC_PER_ARCMIN, SizeOf::Gap, view)
            }
        }
        Beyond::DeepSky(object) => {
            let width = object.seen_width();
            let of = match width {
                SeenWidth::Whole(_) => SizeOf::Whole,
                SeenWidth::BrightPart(_) => SizeOf::BrightPart,
            };
            Facts {
                distance_ly,
                extent_ly: extent_ly(object),
                ..looking(width.arcmin(), of, view)
            }
        }
    }
}

fn looking(arcmin: f64, of: SizeOf, view: &View) -> Facts {
    Facts {
        apparent_size_arcmin: Some(arcmin * view.magnification),
        apparent_size_of: of,
        is_wider_than_view: view.true_field_deg < arcmin / ARCMIN_PER_DEG,
        ..Facts::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::targets::beyond::beyond;

    /// 1200 mm and a 30 mm eyepiece with a field of 70 degrees.
    fn low_power(id: &str) -> Facts {
        let view = View {
            eyepiece: String::from("30 mm"),
            eyepiece_idx: 0,
            barlow_idx: None,
            magnification: 40.0,
            exit_pupil_mm: 5.0,
            true_field_deg: 1.75,
            apparent_field_deg: 70.0,
            field_from_stop: false,
        };
        let there = beyond().find(|there| there.id() == id);
        of_beyond(there.expect("it is in a table"), 2027.0, &view)
    }

    #[test]
    fn only_what_shows_is_promised() {
        // The outline of M 31 is 3 degrees long; what shows is its bulge, 10' in the table.
        let m31 = low_power("m31");
        assert_eq!(m31.apparent_size_arcmin, Some(400.0));
        assert_eq!(m31.apparent_size_of, SizeOf::BrightPart);
        assert!(!m31.is_wider_than_view);
        // 110' of the Pleiades do not go into 105', the 95' of the Beehive do.
        assert!(low_power("m45").is_wider_than_view);
        assert!(!low_power("m44").is_wider_than_view);
    }

    #[test]
    fn a_pair_has_a_gap_and_no_extent() {
        let pair = low_power("61_cyg");
        assert_eq!(pair.distance_ly, Some(11.4));
        assert_eq!(pair.extent_ly, None);
        assert_eq!(pair.apparent_size_of, SizeOf::Gap);
        // The same angle twice: in arcminutes times 40 and in Earth-Sun distances at 11.4 light years.
        let gap_arcsec = pair.apparent_size_arcmin.unwrap() * 60.0 / 40.0;
        assert!((pair.gap_au.unwrap() - gap_arcsec * 11.4 / 3.261564).abs() < 0.01);
    }
}
