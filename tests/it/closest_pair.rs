//! The closest even pair that a mirror parts: against Rayleigh's and Dawes's rules, and against itself.

use crate::support::workshop_of;
use skyworthy::optics::Instrument;
use skyworthy::plan::reach::{Reach, ReachConditions, reach, reach_of};
use skyworthy::plan::tube::Tube;
use skyworthy::show;
use skyworthy::workshop::Workshop;

/// An f/8 with a full set of eyepieces, exit pupils of 4 to 0.5 mm.
fn workshop(aperture_mm: f64, figure: &str, site: &str) -> Workshop {
    let eyepieces = [32.0, 16.0, 8.0, 5.6, 4.0].map(|mm| {
        format!(
            "[[eyepiece]]\nname = \"{mm} mm\"\nfocal_length_mm = {mm}\napparent_field_deg = 50\n"
        )
    });
    workshop_of(&format!(
        "[site]\nlatitude_deg = 45\nlongitude_deg = 0\ntime_zone = \"UTC\"\n{site}\n{}[[telescope]]\nname = \"Larch\"\n\
         aperture_mm = {aperture_mm}\nfocal_length_mm = {}\n{figure}",
        eyepieces.concat(),
        8.0 * aperture_mm
    ))
}

fn smooth_error(rms_waves: f64) -> String {
    format!("[telescope.figure]\nkind = \"stated\"\non = \"wavefront\"\nrms_waves = {rms_waves}\n")
}

fn of(workshop: &Workshop) -> Reach {
    reach(workshop, "2026-12-17".parse().expect("a date")).remove(0)
}

fn larch(aperture_mm: f64, rms_waves: f64) -> Reach {
    of(&workshop(aperture_mm, &smooth_error(rms_waves), ""))
}

/// Gaps in still and in typical air, arcseconds: its own, and a perfect mirror's.
fn gaps(reach: &Reach) -> [(f64, f64); 2] {
    [reach.pair_in_still_air, reach.pair_in_typical_air].map(|pair| {
        let pair = pair.expect("parted");
        (pair.gap_arcsec, pair.perfect_gap_arcsec)
    })
}

const APERTURES_MM: [f64; 6] = [60.0, 114.0, 150.0, 200.0, 300.0, 400.0];

/// Rayleigh 1879: 1.22 wavelengths over the aperture, 138.4" mm at 550 nm, is what most people part; Dawes 1867: 116" mm,
/// for practised eyes. 10 % is the spread of Dawes's own observers (handbook value). Nothing was fitted.
#[test]
fn a_perfect_mirror_parts_what_the_rules_say() {
    for aperture_mm in APERTURES_MM {
        let perfect = larch(aperture_mm, 0.0);
        let [(own, beside), _] = gaps(&perfect);
        println!("{aperture_mm} mm: {own:.2}\"");
        assert!(
            (own * aperture_mm / 138.4 - 1.0).abs() < 0.1,
            "{aperture_mm} mm: {own}"
        );
        assert!(116.0 / aperture_mm < own, "{aperture_mm} mm: {own}");
        assert!((own / beside - 1.0).abs() < 0.002, "{own} beside {beside}");
        assert_eq!(perfect.soft_from, None);
        assert!(!perfect.eyepieces_hold_pairs_back());
    }
}

/// Rayleigh 1879: an error of a quarter of a wave, a Strehl ratio of 0.8, does not yet spoil an image sensibly. A worse one
/// does, the more the worse it is; below a Strehl ratio of 0.4 the best focus jumps between places, and only much worse
/// than perfect is certain.
#[test]
fn a_worse_figure_parts_wider_pairs() {
    for aperture_mm in APERTURES_MM {
        let mut last = [0.0; 2];
        for rms_waves in [0.0, 0.03, 0.07, 0.10, 0.14] {
            let here = gaps(&larch(aperture_mm, rms_waves));
            for ((own, perfect), last) in here.into_iter().zip(&mut last) {
                // To the thousandth that gaps are searched to.
                assert!(
                    *last <= 1.002 * own,
                    "{aperture_mm} mm, {rms_waves}: {own} after {last}"
                );
                assert!(
                    perfect <= 1.002 * own,
                    "{own} is closer than perfect {perfect}"
                );
                if rms_waves <= 0.07 {
                    assert!(
                        own < 1.15 * perfect,
                        "{aperture_mm} mm, quarter wave: {own}, {perfect}"
                    );
                }
                *last = own;
            }
        }
        let spoiled = larch(aperture_mm, 0.25);
        assert!((0.15..0.3).contains(&spoiled.instrument.strehl));
        for (own, perfect) in gaps(&spoiled) {
            println!("{aperture_mm} mm spoiled: {own:.2}\", perfect {perfect:.2}\"");
            assert!(1.1 * perfect < own, "{aperture_mm} mm: {own}, {perfect}");
        }
        let [(still, perfect), _] = gaps(&spoiled);
        assert!(
            1.25 * perfect < still,
            "{aperture_mm} mm: {still}, {perfect}"
        );
        assert_eq!(spoiled.closest_pair_arcsec(), Some(still));
    }
}

/// What the figure's blur takes off the faintest star: nothing of a good mirror's, about a tenth of a spoiled one's.
#[test]
fn a_spoiled_image_costs_faint_stars() {
    let cost = |rms_waves| {
        let reach = larch(150.0, rms_waves);
        reach.views[reach.faintest_view_idx]
            .figure_cost_mag
            .expect("a sky")
    };
    assert!(cost(0.0).abs() < 1e-6, "{}", cost(0.0));
    assert!((0.0..0.01).contains(&cost(0.07)), "{}", cost(0.07));
    assert!((0.05..0.25).contains(&cost(0.25)), "{}", cost(0.25));
}

fn says(reach: &Reach, want: &str) {
    let page = show::reach::page(std::slice::from_ref(reach)).text();
    let words: Vec<&str> = page.split_whitespace().collect();
    let words = words.join(" ");
    assert!(words.contains(want), "{want}\nis not in\n{page}");
}

#[test]
fn the_pair_in_words() {
    let not_given = of(&workshop(150.0, "", ""));
    says(&not_given, "pairs from 0.9\" in still air.");
    says(
        &not_given,
        "(two stars of magnitude 6.0); for a perfect mirror light",
    );
    says(&larch(150.0, 0.0), "; a perfect mirror no closer light");
    let spoiled = larch(150.0, 0.25);
    says(&spoiled, "; a perfect mirror from 0.94\" and ");
    says(&spoiled, "pairs from 1.4\" in still air.");
    says(
        &spoiled,
        "on this mirror's image looks soft by itself, as in ",
    );
    says(&spoiled, "lost in the figure's blur)");
}

#[test]
fn no_power_is_both_in_poor_air() {
    let site = "seeing_arcsec = { good = 3.0, typical = 6.0, poor = 8.0 }";
    let large = of(&workshop(600.0, "", site));
    assert!(!large.has_useful_power());
    says(
        &large,
        "No power uses the whole mirror and is sharp too: below ",
    );
    assert!(larch(150.0, 0.0).has_useful_power());
}

#[test]
fn air_of_no_known_width_has_no_typical_pair() {
    let workshop = workshop(150.0, "", "");
    let (telescope, on) = (
        &workshop.telescopes[0],
        "2026-12-17".parse().expect("a date"),
    );
    let instrument = Instrument::of(&workshop, telescope, on).expect("judged");
    let tube = Tube::of(telescope, &instrument, on);
    let conditions = ReachConditions {
        seeing_arcsec: None,
        sky_mag_arcsec2: None,
        ..ReachConditions::of(&workshop)
    };
    let reach = reach_of(instrument, tube, conditions);
    assert_eq!(reach.pair_in_typical_air, None);
    says(&reach, "still air with the 4 mm (two stars");
    let json: serde_json::Value =
        serde_json::from_str(&show::reach::json(std::slice::from_ref(&reach))).expect("JSON");
    let pair = &json["telescopes"][0]["closest_pair"];
    assert!(pair["still_air_arcsec"].is_number() && pair["typical_air_arcsec"].is_null());
}
