//! What a wrong workshop file is told: which line, what stands there, what would be right.

use super::{LONGEST_MESSAGE_CHARS, figure, read, read_with_table, site, table, telescope};

/// The message begins with the place and contains every part.
#[track_caller]
pub fn refused(text: &str, place: &str, parts: &[&str]) {
    let message = read(text).expect_err("should be refused").to_string();
    check_message(&message, place, parts);
}

#[track_caller]
fn check_message(message: &str, place: &str, parts: &[&str]) {
    // Hints are broken into lines; the parts are not.
    let flat = message.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.starts_with(place), "want {place} first in: {message}");
    for part in parts {
        assert!(flat.contains(part), "want {part} in: {message}");
    }
    assert!(message.chars().count() < LONGEST_MESSAGE_CHARS, "{message}");
    for ours in ["f64", "i64", "TOML", "invalid type", "Some("] {
        assert!(!message.contains(ours), "{ours} is our language: {message}");
    }
}

fn zones(lines: &str) -> String {
    figure(&format!(
        "kind = \"knife-edge\"\nsource = \"fixed\"\nzones = [\n{lines}\n]"
    ))
}

#[test]
fn files_that_are_no_workshop() {
    refused(
        "",
        "elm.toml: the file is empty",
        &["[site]", "[[telescope]]", "skyworthy begin"],
    );
    refused("# only a comment\n\n", "elm.toml: the file is empty", &[]);
    refused("\u{feff}", "elm.toml: the file is empty", &[]);
    refused(
        "\0\u{1}\u{2}",
        "elm.toml: this is not a text file",
        &["UTF-8"],
    );
    refused(
        "[observer]\nage_years = 40",
        "elm.toml: the heading [site] is missing",
        &["latitude_deg = 47.5", "no [[telescope]]"],
    );
    refused(
        "[site]\nlatitude_deg = 1\nlongitude_deg = 1",
        "elm.toml: there is no [[telescope]]",
        &["aperture_mm = 150"],
    );
    refused(
        "[site]\nlatitude_deg = 1\nlongitude_deg = 1\n[telescope]\nname = \"x\"",
        "elm.toml, line 4: the heading [telescope] has the wrong number of brackets",
        &["[[telescope]]", "two brackets"],
    );
    refused(
        "[[site]]\nlatitude_deg = 1",
        "elm.toml, line 1: the heading [[site]] has the wrong number of brackets",
        &["[site]"],
    );
    refused(
        &site("[eyepieces]\nfocal_length_mm = 25"),
        "elm.toml, line 4: eyepieces is not known",
        &["did you mean eyepiece?"],
    );
    refused(
        "telescope = 5\n[site]\nlatitude_deg = 1\nlongitude_deg = 1",
        "elm.toml, line 1: telescope = 5 should be a list",
        &[],
    );
}

#[test]
fn numbers_that_cannot_be() {
    refused(
        &site("").replace("46.3", "91"),
        "elm.toml, line 2: latitude_deg = 91 is outside -90 to 90 degrees",
        &["north is positive"],
    );
    refused(
        &site("").replace("46.3", "nan"),
        "elm.toml, line 2: latitude_deg = nan is no number",
        &["-90 to 90 degrees"],
    );
    refused(
        &site("").replace("46.3", "-inf"),
        "elm.toml, line 2: latitude_deg = -inf is outside -90 to 90 degrees",
        &[],
    );
    refused(
        &site("").replace("46.3", "1e999"),
        "elm.toml, line 2: latitude_deg = 1e999 is outside",
        &[],
    );
    refused(
        &site("").replace("46.3", "99999999999999999999999"),
        "elm.toml, line 2: latitude_deg = 99999999999999999999999 is outside",
        &[],
    );
    refused(
        &site("").replace("46.3", "\"46.3\""),
        "elm.toml, line 2: latitude_deg = \"46.3\" should be a number, without quotes",
        &["latitude_deg = 47.5"],
    );
    refused(
        &site("").replace("46.3", "true"),
        "elm.toml, line 2: latitude_deg = true should be a number",
        &[],
    );
    refused(
        &site("").replace("46.3", "46,3"),
        "elm.toml, line 2: latitude_deg = 46,3 has a decimal comma",
        &["numbers take a decimal point: latitude_deg = 46.3"],
    );
    refused(
        &site("").replace("13.1", "357.1"),
        "elm.toml, line 3: longitude_deg = 357.1 is outside -180 to 180",
        &["west negative"],
    );
    refused(
        &site("elevation_m = 25000"),
        "elm.toml, line 4: elevation_m = 25000 is outside -450 to 9000 m",
        &[],
    );
    refused(
        &site("sky_brightness_mag_arcsec2 = 4.5"),
        "elm.toml, line 4: sky_brightness_mag_arcsec2 = 4.5 is outside 14 to 22.2",
        &["village 20.5"],
    );
    refused(
        &site("faintest_star_mag = 19"),
        "elm.toml, line 4: faintest_star_mag = 19 is outside 1 to 8 mag",
        &[],
    );
    refused(
        &table("[observer]", "age_years = 3"),
        "elm.toml, line 5: age_years = 3 is outside 5 to 100 years",
        &[],
    );
    refused(
        &table("[[barlow]]", "factor = 0.5"),
        "elm.toml, line 5: factor = 0.5 is outside 1.05 to 8",
        &[],
    );
    refused(
        &table("[[eyepiece]]", "focal_length_mm = 250"),
        "elm.toml, line 5: focal_length_mm = 250 is outside 2 to 100 mm",
        &[],
    );
    refused(
        &telescope("aperture_mm = -150\nfocal_length_mm = 1200"),
        "elm.toml, line 5: aperture_mm = -150 is outside 30 to 2000 mm",
        &["aperture_mm = 150"],
    );
    refused(
        &telescope("aperture_mm = 0.15\nfocal_length_mm = 1.2"),
        "elm.toml, line 5: aperture_mm = 0.15 is outside 30 to 2000 mm",
        &[],
    );
}

#[test]
fn keys_that_are_missing_or_unknown() {
    refused(
        "[site]\nlatitude_deg = 46",
        "elm.toml, line 1: [site] needs longitude_deg",
        &["longitude_deg = -2.9"],
    );
    refused(
        &telescope("name = \"Elm\"\nfocal_length_mm = 1200"),
        "elm.toml, line 4: telescope \"Elm\" needs aperture_mm",
        &["aperture_mm = 150"],
    );
    refused(
        &telescope("apertur_mm = 150"),
        "elm.toml, line 5: apertur_mm is not known in [[telescope]]: did you mean aperture_mm?",
        &["[[telescope]] takes name, aperture_mm"],
    );
    refused(
        &site("color = 3"),
        "elm.toml, line 4: color is not known in [site]",
        &["[site] takes name, latitude_deg"],
    );
    refused(
        &table("[[eyepiece]]", "name = \"25 mm\""),
        "elm.toml, line 4: [[eyepiece]] needs focal_length_mm",
        &[],
    );
    refused(
        &figure("kind = \"sphere\"\nsecondary_mm = 35"),
        "elm.toml, line 9: secondary_mm is not known in [telescope.figure]",
        &["secondary_mm belongs under [[telescope]]"],
    );
    refused(
        &site("\"\\u0007\\u001b[31m\" = 3"),
        "elm.toml, line 4: \\u{7}\\u{1b}[31m is not known",
        &[],
    );
}

#[test]
fn names_that_cannot_be() {
    refused(&site("name = \"\""), "elm.toml, line 4: name is empty", &[]);
    refused(
        &site("name = \"roof\\u001b[2J\""),
        "elm.toml, line 4: name = \"roof\\u{1b}[2J\" has characters that cannot be printed",
        &[],
    );
    refused(
        &site("name = \"\"\"two\nlines\"\"\""),
        "elm.toml, line 4: name = ",
        &["cannot be printed"],
    );
    refused(
        &site(&format!("name = \"{}\"", "long ".repeat(20))),
        "elm.toml, line 4: name = ",
        &["has 99 characters, more than 60"],
    );
    refused(
        &site("name = 5"),
        "elm.toml, line 4: name = 5 should be text in quotes",
        &[],
    );
    let twice = table(
        "[[eyepiece]]",
        "name = \"long\"\nfocal_length_mm = 25\n[[eyepiece]]\nname = \"long\"\nfocal_length_mm = 30",
    );
    refused(
        &twice,
        "elm.toml, line 8: eyepiece \"long\" is there already, in line 5",
        &["a name of its own"],
    );
    let unnamed = table(
        "[[eyepiece]]",
        "focal_length_mm = 25\n[[eyepiece]]\nfocal_length_mm = 25.0",
    );
    refused(
        &unnamed,
        "elm.toml, line 6: eyepiece \"25 mm\" is there already, in line 4",
        &[],
    );
    let barlows = table("[[barlow]]", "factor = 2\n[[barlow]]\nfactor = 2");
    refused(
        &barlows,
        "elm.toml, line 6: barlow \"2x\" is there already",
        &[],
    );
    let telescopes = format!(
        "{}[[telescope]]\naperture_mm = 150\nfocal_length_mm = 750\n",
        site("")
    );
    refused(
        &telescopes,
        "elm.toml, line 8: telescope \"150 mm\" is there already, in line 5",
        &[],
    );
}

#[test]
fn places_that_cannot_be() {
    refused(
        &site("time_zone = \"Europe/Madird\""),
        "elm.toml, line 4: time_zone = \"Europe/Madird\" is not known",
        &["did you mean \"Europe/Madrid\"?"],
    );
    refused(
        &site("time_zone = \"Madrid\""),
        "elm.toml, line 4: time_zone = \"Madrid\" is not known",
        &["\"Europe/Madrid\"?"],
    );
    refused(
        &site("time_zone = \"Europe/Atlantis\""),
        "elm.toml, line 4: time_zone",
        &[],
    );
    refused(
        &site("time_zone = \"UTC+1\""),
        "elm.toml, line 4: time_zone = \"UTC+1\" is not known",
        &["Europe/Madrid"],
    );
    refused(
        &site("sky_brightness_mag_arcsec2 = 20\nfaintest_star_mag = 5"),
        "elm.toml, line 5: [site] has both sky_brightness_mag_arcsec2 and faintest_star_mag",
        &["one of them"],
    );
    refused(
        &site("seeing_arcsec = { good = 3, typical = 2, poor = 4 }"),
        "elm.toml, line 4: seeing_arcsec should grow from good (3) to typical (2)",
        &["steadier"],
    );
    refused(
        &site("seeing_arcsec = { good = 3 }"),
        "elm.toml, line 4: seeing_arcsec needs typical",
        &[],
    );
    refused(
        &site("seeing_arcsec = 2"),
        "elm.toml, line 4: seeing_arcsec = 2 should be",
        &["{ good = 1.2"],
    );
    refused(
        &site("seeing_arcsec = { good = 1, typical = 2, poor = 40 }"),
        "elm.toml, line 4: poor = 40 is outside 0.3 to 15 arcsec",
        &[],
    );
    refused(
        &site("seeing_scale = { scale = \"pickring\", value = 5, aperture_mm = 100 }"),
        "elm.toml, line 4: scale = \"pickring\" is not known: did you mean \"pickering\"?",
        &[],
    );
    refused(
        &site("seeing_scale = { scale = \"antoniadi\", value = 6, aperture_mm = 100 }"),
        "elm.toml, line 4: value = 6 is outside 1 to 5 of the Antoniadi scale",
        &[],
    );
    refused(
        &site("seeing_scale = { scale = \"pickering\", value = 0, aperture_mm = 100 }"),
        "elm.toml, line 4: value = 0 is outside 1 to 10",
        &["10 (best)"],
    );
    refused(
        &site("seeing_scale = { scale = \"pickering\", value = \"VI\", aperture_mm = 100 }"),
        "elm.toml, line 4: value = \"VI\" is not a value",
        &[],
    );
    refused(
        &site("seeing_scale = { scale = \"pickering\", value = 5 }"),
        "elm.toml, line 4: seeing_scale needs aperture_mm",
        &["127"],
    );
}

#[test]
fn clocks_of_another_side_of_the_world() {
    let at = |longitude: &str, zone: &str| {
        site(&format!("time_zone = \"{zone}\"")).replace("13.1", longitude)
    };
    refused(
        &at("70.6", "America/Santiago"),
        "elm.toml, line 4: time_zone = \"America/Santiago\" is UTC-4, but at longitude_deg = 70.6 the Sun goes by UTC+5",
        &["west negative: longitude_deg = -70.6 would fit"],
    );
    refused(
        &at("2.9", "Asia/Tokyo"),
        "elm.toml, line 4: time_zone = \"Asia/Tokyo\" is UTC+9, but at longitude_deg = 2.9 the Sun goes by UTC+0",
        &["one of the two lines belongs to another place"],
    );
    for (longitude, zone) in [
        ("-70.6", "America/Santiago"),
        ("75.9", "Asia/Shanghai"),
        ("-157.4", "Pacific/Kiritimati"),
        ("-176.6", "Pacific/Chatham"),
        ("-9.2", "Europe/Madrid"),
        ("166.7", "Antarctica/McMurdo"),
        ("120", "Etc/UTC"),
        ("120", "UTC"),
        ("-120", "Etc/GMT-9"),
    ] {
        let read = read(&at(longitude, zone));
        assert!(read.is_ok(), "{longitude} {zone}: {read:?}");
    }
}

#[test]
fn horizons_that_cannot_be() {
    refused(
        &site("horizon = [[0, 10],\n[90, 35],\n[45, 8]]"),
        "elm.toml, line 6: horizon: azimuth 45 comes after 90",
        &["azimuths increase"],
    );
    refused(
        &site("horizon = [[0, 10], [400, 35]]"),
        "elm.toml, line 4: azimuth = 400 is outside 0 to 360 degrees",
        &[],
    );
    refused(
        &site("horizon = [[0, 95]]"),
        "elm.toml, line 4: altitude = 95 is outside -5 to 90 degrees",
        &[],
    );
    refused(
        &site("horizon = [[0, 5], [360, 15]]"),
        "elm.toml, line 4: horizon: azimuths 0 and 360 are both north",
        &["5 and 15"],
    );
    refused(
        &site("horizon = [[90,5, 35]]"),
        "elm.toml, line 4: [90,5, 35] in horizon should be a pair [azimuth, altitude]",
        &["decimal point"],
    );
    refused(
        &site("horizon = 10"),
        "elm.toml, line 4: horizon = 10 should be a list",
        &["[[0, 10], [90, 35]"],
    );
}

#[test]
fn telescopes_that_cannot_be() {
    let scope = |lines: &str| telescope(&format!("aperture_mm = 150\n{lines}"));
    refused(
        &scope("focal_length_mm = 1200\nsecondary_mm = 151"),
        "elm.toml, line 7: secondary_mm = 151 is larger than the mirror (aperture_mm = 150)",
        &["about 30 to 38 mm here"],
    );
    refused(
        &scope(""),
        "elm.toml, line 4: telescope \"150 mm\" needs one of focal_length_mm, radius_of_curvature_mm, sagitta_mm",
        &[],
    );
    refused(
        &scope("focal_length_mm = 1200\nsagitta_mm = 1.17"),
        "elm.toml, line 7: telescope \"150 mm\" has both focal_length_mm and sagitta_mm",
        &[],
    );
    refused(
        &scope("sagitta_mm = 80"),
        "elm.toml, line 6: sagitta_mm = 80 is deeper than half the mirror",
        &["0.31 to 4.69 mm"],
    );
    refused(
        &scope("sagitta_mm = 20"),
        "elm.toml, line 6: sagitta_mm = 20 is too deep",
        &[],
    );
    refused(
        &scope("sagitta_mm = 0.1"),
        "elm.toml, line 6: sagitta_mm = 0.1 is too shallow",
        &[],
    );
    refused(
        &scope("focal_length_mm = 120"),
        "elm.toml, line 6: focal_length_mm = 120 makes f/0.8 with aperture_mm = 150",
        &["300 to 4500 mm"],
    );
    refused(
        &scope("radius_of_curvature_mm = 24000"),
        "elm.toml, line 6: radius_of_curvature_mm = 24000 makes f/80.0",
        &["600 to 9000 mm"],
    );
    refused(
        &scope("focal_length_mm = 1200\nspider_vane_mm = 16"),
        "elm.toml, line 7: spider_vane_mm = 16 would cover",
        &[],
    );
    refused(
        &scope("focal_length_mm = 1200\ncoating = \"aluminum\""),
        "elm.toml, line 7: coating = \"aluminum\" is not known: did you mean \"aluminium\"?",
        &[],
    );
    refused(
        &scope("focal_length_mm = 1200\ncoating = \"silver\"\nreflectivity = 0.9"),
        "elm.toml, line 8: telescope \"150 mm\" has both coating and reflectivity",
        &[],
    );
    refused(
        &scope("focal_length_mm = 1200\nreflectivity = 92"),
        "elm.toml, line 7: reflectivity = 92 is outside 0.3 to 1",
        &["reflectivity = 0.92"],
    );
    refused(
        &scope("focal_length_mm = 1200\ncoated_on = \"2026-10-03\""),
        "elm.toml, line 7: coated_on = \"2026-10-03\" should be a date",
        &["without quotes"],
    );
    refused(
        &scope("focal_length_mm = 1200\ncoated_on = 1026-10-03"),
        "elm.toml, line 7: coated_on = 1026-10-03 is outside the years",
        &[],
    );
    refused(
        &scope("focal_length_mm = 1200\ncoated_on = 2026-02-30"),
        "elm.toml, line 7: cannot understand coated_on = 2026-02-30",
        &["date"],
    );
    refused(
        &scope("focal_length_mm = 1200\neyepieces = [\"25mn\"]"),
        "elm.toml, line 7: eyepieces: there is no eyepiece \"25mn\": did you mean \"25 mm\"?",
        &["25 mm, 10 mm"],
    );
    refused(
        &scope("focal_length_mm = 1200\neyepieces = []"),
        "elm.toml, line 7: eyepieces = [] leaves nothing",
        &[],
    );
    refused(
        &scope("focal_length_mm = 1200\neyepieces = [25]"),
        "elm.toml, line 7: eyepieces: 25 should be a name in quotes",
        &[],
    );
    refused(
        &scope("focal_length_mm = 1200\neyepieces = [\"25 mm\", \"25 mm\"]"),
        "elm.toml, line 7: eyepieces names \"25 mm\" twice",
        &[],
    );
    refused(
        &table("[[eyepiece]]", "focal_length_mm = 10\nfield_stop_mm = 30"),
        "elm.toml, line 6: field_stop_mm = 30 is too wide",
        &[],
    );
}

#[test]
fn figures_that_cannot_be() {
    refused(
        &figure("on = \"surface\""),
        "elm.toml, line 7: the figure of telescope \"150 mm\" needs kind",
        &["\"knife-edge\""],
    );
    refused(
        &figure("kind = \"spere\""),
        "elm.toml, line 8: kind = \"spere\" is not known: did you mean \"sphere\"?",
        &[],
    );
    refused(
        &figure("kind = \"sphere\"\non = \"surface\""),
        "elm.toml, line 9: on does not go with kind = \"sphere\"",
        &["needs nothing more"],
    );
    refused(
        &figure("kind = \"stated\"\nrms_waves = 0.1"),
        "elm.toml, line 7: the figure of telescope \"150 mm\" needs on",
        &["twice as much"],
    );
    refused(
        &figure("kind = \"stated\"\non = \"surface\""),
        "elm.toml, line 7: the figure of telescope \"150 mm\" needs one of peak_to_valley_waves, rms_waves",
        &[],
    );
    refused(
        &figure("kind = \"stated\"\non = \"glass\"\nrms_waves = 0.1"),
        "elm.toml, line 9: on = \"glass\" is not known",
        &["\"surface\""],
    );
    refused(
        &figure("kind = \"zernike\"\non = \"surface\"\nterms = [{ n = 4, m = 1, nm_rms = 3 }]"),
        "elm.toml, line 10: n = 4, m = 1 is no Zernike term",
        &["-4, -2, 0, 2, 4"],
    );
    refused(
        &figure(
            "kind = \"zernike\"\non = \"surface\"\nterms = [{ n = 4, m = 0, nm_rms = 3 },\n{ n = 4, m = 0, nm_rms = 4 }]",
        ),
        "elm.toml, line 11: the term n = 4, m = 0 is given twice",
        &[],
    );
    refused(
        &figure("kind = \"zernike\"\non = \"surface\"\nterms = [{ n = 4.5, m = 0, nm_rms = 3 }]"),
        "elm.toml, line 10: n = 4.5 should be a whole number",
        &[],
    );
    refused(
        &figure("kind = \"zernike\"\non = \"surface\"\nterms = [{ n = 4000, m = 0, nm_rms = 3 }]"),
        "elm.toml, line 10: n = 4000 is outside 0 to 60",
        &[],
    );
    refused(
        &figure("kind = \"profile\"\non = \"surface\"\npoints = [[0, 0], [75, 10]]"),
        "elm.toml, line 10: radius_fraction = 75 is outside 0 to 1",
        &[],
    );
    refused(
        &figure("kind = \"profile\"\non = \"surface\"\npoints = [[0, 0], [0.5, 10], [0.4, 3]]"),
        "elm.toml, line 10: points: radius 0.4 comes after 0.5",
        &[],
    );
    refused(
        &figure("kind = \"profile\"\non = \"surface\"\npoints = [[0, 0], [0.5, 10]]"),
        "elm.toml, line 10: points should begin at radius 0",
        &["end at 1"],
    );
}

#[test]
fn readings_that_cannot_be() {
    refused(
        &figure("kind = \"knife-edge\"\nzones = []"),
        "elm.toml, line 7: the figure of telescope \"150 mm\" needs source",
        &["factor of two"],
    );
    refused(
        &figure("kind = \"knife-edge\"\nsource = \"fixed\""),
        "elm.toml, line 7: the figure of telescope \"150 mm\" needs one of zones, file",
        &[],
    );
    let first = "{ inner_mm = 0, outer_mm = 31, readings_mm = [0.0] },\n";
    let with = |second: &str| zones(&format!("{first}{second}"));
    refused(
        &zones(first),
        "elm.toml, line 10: a knife-edge test needs at least 2 zones, not 1",
        &["differences"],
    );
    refused(
        &with("{ inner_mm = 30, outer_mm = 60, readings_mm = [0.5] }"),
        "elm.toml, line 12: inner_mm = 30 lies inside the zone before, which ends at 31",
        &[],
    );
    refused(
        &with("{ inner_mm = 60, outer_mm = 40, readings_mm = [0.5] }"),
        "elm.toml, line 12: inner_mm = 60 is not smaller than outer_mm = 40",
        &[],
    );
    refused(
        &with("{ inner_mm = 62, outer_mm = 150, readings_mm = [0.5] }"),
        "elm.toml, line 12: outer_mm = 150 lies beyond the rim at 75 mm",
        &["not diameters"],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60, readings_mm = [2400.5] }"),
        "elm.toml, line 12: reading = 2400.5 is outside -100 to 100 mm",
        &["only differences"],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60, readings_mm = [0,61, 0,58] }"),
        "elm.toml, line 12: readings_mm = [0,61, 0,58] has decimal commas",
        &["decimal point: readings_mm = [0.61, 0.58]"],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60, readings_mm = [1,2, 1,3] }"),
        "elm.toml, line 12: readings_mm = [1,2, 1,3] has decimal commas",
        &["readings_mm = [1.2, 1.3]"],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60, readings_mm = [0,61] }"),
        "elm.toml, line 12: the readings of this zone differ by 61.00 mm",
        &["decimal point"],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60, readings_mm = [0,002, -0,003] }"),
        "elm.toml, line 12: 0,002 has a decimal comma, in { inner_mm = 31,",
        &["numbers take a decimal point: 0.002"],
    );
    refused(
        &with("{ inner_mm = 30,5, outer_mm = 60, readings_mm = [0.5] }"),
        "elm.toml, line 12: inner_mm = 30,5 has a decimal comma, in { inner_mm = 30,5",
        &["numbers take a decimal point: inner_mm = 30.5"],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60, readings_mm = [] }"),
        "elm.toml, line 12: this zone has no reading",
        &[],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60, readings_mm = 0.6 }"),
        "elm.toml, line 12: readings_mm = 0.6 should be a list",
        &["[0.61"],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60 }"),
        "elm.toml, line 12: this zone needs readings_mm",
        &[],
    );
    refused(
        &with("{ inner_mm = 31, outer_mm = 60, readings_inch = [0.02] }"),
        "elm.toml, line 12: readings_inch does not go with unit = \"mm\"",
        &[],
    );
    refused(
        &with("{ inner_mm = 31, outer = 60, readings_mm = [0.5] }"),
        "elm.toml, line 12: outer is not known in zones: did you mean outer_mm?",
        &[],
    );
}

#[track_caller]
pub fn table_refused(table: &str, place: &str, parts: &[&str]) {
    let text = figure("kind = \"knife-edge\"\nsource = \"fixed\"\nfile = \"a.csv\"");
    let message = read_with_table(&text, table)
        .expect_err("should be refused")
        .to_string();
    check_message(&message, place, parts);
}

#[test]
fn tables_that_cannot_be() {
    let lines = "kind = \"knife-edge\"\nsource = \"fixed\"\nfile = \"oak.csv\"";
    refused(
        &figure(lines),
        "elm.toml, line 10: file = \"oak.csv\" cannot be read: no such file",
        &["beside the workshop file"],
    );
    table_refused("", "a.csv: the table has no rows", &["inner_mm, outer_mm"]);
    table_refused(
        "inner_mm,outer_mm,reading_mm\n",
        "a.csv: the table has no rows",
        &[],
    );
    table_refused(
        "0,40,0.5\n40,75,1.25\n",
        "a.csv, line 1: the column \"0\" is not known",
        &["inner_mm, outer_mm"],
    );
    table_refused(
        "innner_mm,outer_mm,reading_mm\n0,40,1\n",
        "a.csv, line 1: the column \"innner_mm\" is not known: did you mean inner_mm?",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm,redaing_mm\n0,40,1\n",
        "a.csv, line 1: the column \"redaing_mm\" is not known: did you mean reading_mm?",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm\n0,40\n",
        "a.csv, line 1: the column reading_1_mm is missing",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm,reading_inch\n0,40,1\n",
        "a.csv, line 1: reading_inch does not go with unit = \"mm\"",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm,reading_mm\n0,40,0,5\n40,75,1,25\n",
        "a.csv, line 2: 4 cells under 3 columns",
        &["semicolons"],
    );
    table_refused(
        "# note\ninner_mm,outer_mm,reading_mm\n0,40,soft\n",
        "a.csv, line 3: reading_mm = soft should be a number",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm,reading_mm\n0,40,NaN\n40,75,1",
        "a.csv, line 2: reading = NaN is no number",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm,reading_mm\n0,,1\n40,75,1",
        "a.csv, line 2: outer_mm is empty",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm,reading_mm\n0,40,\n40,75,1",
        "a.csv, line 2: this zone has no reading",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm,reading_mm\n0,40,1\n40,90,1",
        "a.csv, line 3: outer_mm = 90 lies beyond the rim",
        &[],
    );
    table_refused(
        "inner_mm,outer_mm,reading_mm\n0,40,1\n",
        "elm.toml, line 10: a knife-edge test needs at least 2 zones",
        &[],
    );
    table_refused("\0\0PK", "a.csv: this is not a text file", &[]);
}

#[test]
fn several_tables_are_mended_at_one_go() {
    let text = "[site]\nlatitude_deg = 91\nlongitude_deg = 1\n[[eyepiece]]\nfocal_length_mm = 900\n\
                [[telescope]]\naperture_mm = 150\nfocal_length_mm = 12\neyepieces = [\"any\"]\n";
    let error = read(text).expect_err("three things are wrong");
    let lines: Vec<Option<usize>> = error
        .complaints()
        .iter()
        .map(|complaint| complaint.line)
        .collect();
    assert_eq!(lines, [Some(2), Some(5), Some(8)]);
}

#[test]
fn lists_that_nobody_needs() {
    let telescopes = "[[telescope]]\naperture_mm = 150\n".repeat(101);
    let text = format!("[site]\nlatitude_deg = 1\nlongitude_deg = 1\n{telescopes}");
    refused(
        &text,
        "elm.toml, line 4: telescope has 101 entries",
        &["no more than 100"],
    );
    let rows: String = (0..101)
        .map(|idx| format!("{},{},1\n", idx as f64 / 10.0, (idx + 1) as f64 / 10.0))
        .collect();
    table_refused(
        &format!("inner_mm,outer_mm,reading_mm\n{rows}"),
        "a.csv: zones has 101 entries",
        &[],
    );
}

#[test]
fn a_red_spot_without_its_day() {
    let with = |lines: &str| format!("{}\n[jupiter]\n{lines}\n", site(""));
    refused(
        &with("red_spot_longitude_deg = 95"),
        "elm.toml, line",
        &["[jupiter] needs red_spot_on", "red_spot_on = 2026-10-01"],
    );
    refused(
        &with("red_spot_on = 2026-10-01"),
        "elm.toml, line",
        &["[jupiter] needs red_spot_longitude_deg"],
    );
    refused(
        &with("red_spot_longitude_deg = 395\nred_spot_on = 2026-10-01"),
        "elm.toml, line",
        &["red_spot_longitude_deg", "0 to 360"],
    );
}
