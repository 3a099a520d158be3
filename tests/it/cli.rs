//! The built program, as a user types at it.

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// Runs the program in an empty folder, so that no workshop.toml of ours is found.
pub fn run_in(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_skyworthy"))
        .args(args)
        .current_dir(folder)
        .output()
        .expect("the program starts")
}

pub fn folder() -> TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

fn run(args: &[&str]) -> Output {
    run_in(folder().path(), args)
}

pub fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8")
}

pub fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("UTF-8")
}

#[track_caller]
fn json(args: &[&str]) -> Value {
    let output = run(args);
    assert!(output.status.success(), "{args:?}: {}", stderr(&output));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// Fails with code 2, prints no answer, and the message has all these parts.
#[track_caller]
pub fn refuses(output: &Output, parts: &[&str]) {
    let message = stderr(output);
    assert_eq!(output.status.code(), Some(2), "{message}");
    assert_eq!(stdout(output), "", "an error prints no answer");
    for part in parts {
        assert!(message.contains(part), "`{part}` is not in: {message}");
    }
    assert!(
        !message.contains("panicked") && message.len() < 6_000,
        "{message}"
    );
}

#[test]
fn without_a_command_shows_tonight_for_the_example() {
    let output = run(&[]);
    let text = stdout(&output);
    assert!(output.status.success(), "{}", stderr(&output));
    for part in [
        "Ropewalk School roof, the night of",
        "Hazel",
        "Rowan",
        "Alder",
        "Take care",
        "example workshop",
    ] {
        assert!(text.contains(part), "`{part}` is not in:\n{text}");
    }
}

/// Last on a terminal, first in a file, nowhere for a workshop of one's own.
#[test]
fn the_example_workshop_is_named_wherever_it_stands_in() {
    let here = folder();
    let notice = "This is the example workshop, an invented place and invented telescopes.";
    let reach = ["reach", "--on", "2026-12-20"];
    let written = |arguments: &[&str], file: &str| {
        let output = run_in(here.path(), &[arguments, &["--output", file]].concat());
        assert!(output.status.success(), "{}", stderr(&output));
        fs::read_to_string(here.path().join(file)).expect("what was written")
    };
    let printed = stdout(&run_in(here.path(), &reach));
    let words = printed.split(&format!("\n{notice}")).next();
    let words = words.expect("what the notice follows");
    assert!(words.len() < printed.len(), "{printed}");
    let text = written(&reach, "reach.txt");
    assert!(text.starts_with(notice) && text.ends_with(words), "{text}");
    let explain = [&reach[..], &["--explain", "jupiter_north_belt"]].concat();
    let sky = ["sky", "--at", "2026-12-01T20:00:00Z"];
    for (arguments, file) in [
        (&reach[..], "reach.html"),
        (&explain, "explain.html"),
        (&sky, "sky.html"),
    ] {
        let page = written(arguments, file);
        let first = page
            .split("<main>")
            .nth(1)
            .expect("what stands on the page");
        assert!(first.contains(notice), "{page}");
        assert!(first.find(notice) < first.find("<h1>"), "{page}");
    }
    let own = "begin workshop.toml";
    assert!(
        run_in(here.path(), &own.split(' ').collect::<Vec<_>>())
            .status
            .success()
    );
    let page = written(&reach, "own.html");
    assert!(!page.contains("example workshop"), "{page}");
    let elsewhere = ["sky", "--latitude", "41", "--longitude", "-4"];
    assert!(!written(&elsewhere, "elsewhere.html").contains("example workshop"));
}

#[test]
fn every_text_fits_eighty_columns() {
    for args in [
        &["night", "--on", "2027-02-20"][..],
        &["night", "--on", "2027-02-20", "--all"],
        &["night", "--on", "2026-06-20", "--daylight"],
        &["reach"],
        &["mirror"],
        &["bands", "--telescope", "Alder"],
        &["bench"],
        &["bench", "--help"],
        &[
            "bands",
            "--offset-mm",
            "1",
            "--source",
            "fixed",
            "--lines-per-mm",
            "20",
        ],
        &["bands", "--help"],
        &["sky", "--at", "2026-12-01T20:00:00Z"],
        &["dates", "2026-08-01", "2028-12-31", "--happenings"],
        &["dates", "2027-03-01", "2027-04-15"],
        &["dates", "2027-03-01", "2027-04-15", "--calendar"],
        &["dates", "2027-06-15", "2027-06-20", "--for", "figure-test"],
        &["dates", "--help"],
        &["--help"],
        &["night", "--help"],
        &["sky", "--help"],
        &["seen", "--help"],
    ] {
        let text = stdout(&run(args));
        for line in text.lines() {
            assert!(line.chars().count() <= 80, "{args:?}: {line}");
        }
        assert!(!text.contains('\u{1b}'), "{args:?} uses colour");
        assert!(
            !text.contains("NaN") && !text.contains("inf "),
            "{args:?}:\n{text}"
        );
    }
}

#[test]
fn every_help_has_an_example_that_works_when_pasted() {
    let folder = folder();
    for command in [
        "begin", "bench", "mirror", "bands", "reach", "sky", "night", "seen",
    ] {
        let help = stdout(&run(&[command, "--help"]));
        let (_, example) = help
            .split_once("Example:\n  skyworthy ")
            .expect("an example");
        let words: Vec<&str> = example.split_whitespace().collect();
        let output = run_in(folder.path(), &words);
        assert!(output.status.success(), "{example}: {}", stderr(&output));
    }
}

#[test]
fn begin_writes_a_file_that_night_understands_and_never_overwrites_it() {
    let folder = folder();
    let written = run_in(folder.path(), &["begin"]);
    assert!(written.status.success(), "{}", stderr(&written));
    let text = fs::read_to_string(folder.path().join("workshop.toml")).expect("written");
    let night = run_in(folder.path(), &["night", "--on", "2027-02-20"]);
    assert!(night.status.success(), "{}", stderr(&night));
    assert!(!stdout(&night).contains("example workshop"));

    fs::write(folder.path().join("workshop.toml"), "mine").expect("writable");
    refuses(
        &run_in(folder.path(), &["begin"]),
        &["`workshop.toml` exists and is left alone", "--overwrite"],
    );
    let kept = fs::read_to_string(folder.path().join("workshop.toml")).expect("there");
    assert_eq!(kept, "mine");
    assert!(
        run_in(folder.path(), &["begin", "--overwrite"])
            .status
            .success()
    );
    let replaced = fs::read_to_string(folder.path().join("workshop.toml")).expect("there");
    assert_eq!(replaced, text);
    let leftovers = fs::read_dir(folder.path()).expect("a folder").count();
    assert_eq!(leftovers, 1, "no temporary file stays behind");
}

#[test]
fn output_goes_to_a_file_whole_or_not_at_all() {
    let folder = folder();
    let args = [
        "sky",
        "--at",
        "2026-12-01T20:00:00Z",
        "--json",
        "--output",
        "sky.json",
    ];
    assert!(run_in(folder.path(), &args).status.success());
    let written = fs::read(folder.path().join("sky.json")).expect("written");
    assert!(serde_json::from_slice::<Value>(&written).is_ok());
    refuses(&run_in(folder.path(), &args), &["`sky.json` exists"]);

    let nowhere = ["reach", "--output", "no/such/folder/reach.txt"];
    refuses(
        &run_in(folder.path(), &nowhere),
        &["cannot write `no/such/folder/reach.txt`"],
    );
    refuses(
        &run_in(folder.path(), &["reach", "--output", "."]),
        &["cannot write `.`"],
    );
}

#[test]
fn a_closed_pipe_is_no_failure() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_skyworthy"))
        .args(["night", "--on", "2027-02-20", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    assert!(output.status.success());
    assert_eq!(stderr(&output), "");
}

#[test]
fn bad_arguments_say_what_would_be_right() {
    for (args, parts) in [
        (
            &["sky", "--at", "yesterday"][..],
            &["2026-12-01T20:00:00Z"][..],
        ),
        (
            &["sky", "--latitude", "91", "--longitude", "0"],
            &["91", "-90 to 90"],
        ),
        (
            &["sky", "--latitude", "NaN", "--longitude", "0"],
            &["-90 to 90"],
        ),
        (
            &["sky", "--latitude", "43,2", "--longitude", "0"],
            &["decimal point"],
        ),
        (&["sky", "--latitude", "43.2"], &["--longitude"]),
        (&["night", "--on", "20.2.2027"], &["2027-02-20"]),
        (&["night", "--on", "1800-01-01"], &["1950 to 2100"]),
        (&["sky", "--at", "1949-12-31T23:00:00Z"], &["1950 to 2100"]),
        (&["sky", "--at", "2101-01-01T00:00:00Z"], &["1950 to 2100"]),
        (&["sky", "--at", "1800-01-01T00:00:00Z"], &["1950 to 2100"]),
        (&["sky", "--at", "2300-01-01T00:00:00Z"], &["1950 to 2100"]),
        (&["nigth"], &["night"]),
        (&["bands", "--telescope", "Larch"], &["Hazel, Rowan, Alder"]),
        (&["bands", "--offset-mm", "0"], &["no bands"]),
        (&["bands", "--lines-per-mm", "-4"], &["1 to 40"]),
        (&["bands", "--lines-per-mm", "0"], &["1 to 40"]),
        (
            &["bands", "--telescope", "rowen"],
            &["did you mean `Rowan`?"],
        ),
        (
            &["bands", "--output", "bands.jpg"],
            &[".svg for a picture", ".png"],
        ),
        (
            &[
                "bands",
                "--offset-mm",
                "-200",
                "--lines-per-mm",
                "40",
                "--output",
                "bands.png",
            ],
            &[
                "more bands than a picture can show",
                "--offset-mm nearer to 0",
            ],
        ),
        (&["bands", "--json", "--output", "bands.svg"], &[".json"]),
    ] {
        refuses(&run(args), parts);
    }
}

#[test]
fn bad_workshop_files_are_named_and_never_panic() {
    let folder = folder();
    let site = "[site]\nlatitude_deg = 43.2\nlongitude_deg = -2.9\n";
    let telescope = "[[telescope]]\naperture_mm = 150\nfocal_length_mm = 1200\n";
    let noise: Vec<u8> = (0..10_000_000u32)
        .map(|k| (k.wrapping_mul(2_654_435_761) >> 24) as u8)
        .collect();
    for (name, bytes, parts) in [
        ("empty.toml", Vec::new(), &["empty.toml"][..]),
        ("noise.toml", noise, &["noise.toml"]),
        (
            "nan.toml",
            format!("{site}[[telescope]]\naperture_mm = nan\nfocal_length_mm = 1200\n").into_bytes(),
            &["nan.toml, line 5", "aperture_mm"],
        ),
        (
            "inf.toml",
            format!("{site}[[telescope]]\naperture_mm = 150\nfocal_length_mm = inf\n").into_bytes(),
            &["inf.toml, line 6", "focal_length_mm"],
        ),
        (
            "negative.toml",
            format!("{site}[[telescope]]\naperture_mm = -150\nfocal_length_mm = 1200\n").into_bytes(),
            &["negative.toml, line 5", "aperture_mm = -150"],
        ),
        (
            "sagitta.toml",
            format!("{site}[[telescope]]\naperture_mm = 150\nsagitta_mm = 400\n").into_bytes(),
            &["sagitta.toml, line 6", "sagitta_mm = 400"],
        ),
        (
            "latitude.toml",
            format!("[site]\nlatitude_deg = 91\nlongitude_deg = 0\n{telescope}").into_bytes(),
            &["latitude.toml, line 2", "latitude_deg = 91", "-90"],
        ),
        (
            "zone.toml",
            format!("{site}time_zone = \"Europe/Madird\"\n{telescope}").into_bytes(),
            &["zone.toml, line 4", "Europe/Madrid"],
        ),
        (
            "names.toml",
            format!(
                "{site}{telescope}[[eyepiece]]\nname = \"a\"\nfocal_length_mm = 9\n[[eyepiece]]\nname = \"a\"\nfocal_length_mm = 9\n"
            )
            .into_bytes(),
            &["names.toml, line 11", "\"a\""],
        ),
    ] {
        fs::write(folder.path().join(name), bytes).expect("writable");
        refuses(&run_in(folder.path(), &["--workshop", name, "night"]), parts);
    }
    refuses(
        &run_in(folder.path(), &["--workshop", "."]),
        &["is a directory"],
    );
    refuses(
        &run_in(folder.path(), &["--workshop", "none.toml"]),
        &["cannot read `none.toml`"],
    );
}

#[test]
fn sky_json_keeps_the_names_of_its_contract() {
    let sky = json(&[
        "sky",
        "--at",
        "2026-12-01T20:00:00Z",
        "--latitude=43.2",
        "--longitude=-2.9",
        "--elevation=40",
        "--json",
    ]);
    assert_eq!(sky["at_utc"], "2026-12-01T20:00:00Z");
    let bodies = sky["bodies"].as_array().expect("bodies");
    assert_eq!(bodies.len(), 9);
    for body in bodies {
        for name in [
            "right_ascension_deg",
            "declination_deg",
            "topocentric_right_ascension_deg",
            "topocentric_declination_deg",
            "altitude_deg",
            "refracted_altitude_deg",
            "azimuth_deg",
            "distance_au",
            "diameter_arcsec",
            "illuminated_fraction",
            "phase_angle_deg",
            "elongation_deg",
            "magnitude",
        ] {
            assert!(
                body[name].is_f64() || body[name].is_i64(),
                "{}: {name}",
                body["body"]
            );
        }
    }
    assert!(bodies[5]["physical"]["central_meridian_2_deg"].is_f64());
    assert!(bodies[6]["physical"]["ring_opening_earth_deg"].is_f64());
    let moons = sky["satellites"].as_array().expect("satellites");
    assert_eq!(moons.len(), 10);
    for moon in moons {
        for name in [
            "east_arcsec",
            "north_arcsec",
            "x_west_radii",
            "y_north_radii",
            "magnitude",
        ] {
            assert!(moon[name].is_f64(), "{}: {name}", moon["name"]);
        }
        assert!(moon["nearer_than_planet"].is_boolean());
    }
    assert_eq!(
        (&moons[0]["name"], &moons[0]["of"]),
        (&"io".into(), &"jupiter".into())
    );
    assert_eq!(moons[4]["of"], "saturn");
}

#[test]
fn night_json_keeps_the_names_of_its_contract() {
    let night = json(&["night", "--on", "2027-02-20", "--json"]);
    for name in [
        "set_utc",
        "rise_utc",
        "civil_dusk_utc",
        "civil_dawn_utc",
        "nautical_dusk_utc",
        "nautical_dawn_utc",
        "astronomical_dusk_utc",
        "astronomical_dawn_utc",
    ] {
        assert!(night["sun"][name].is_string(), "{name}");
    }
    assert_eq!(night["bodies"].as_array().map(Vec::len), Some(9));
    let target = &night["telescopes"][0]["targets"][0];
    for name in ["body", "from_utc", "until_utc", "best_utc"] {
        assert!(target[name].is_string(), "{name}");
    }
    let detail = &target["details"][0];
    for name in ["id", "name", "eyepiece", "limited_by", "why"] {
        assert!(detail[name].is_string(), "{name}");
    }
    for air in ["good", "typical", "poor"] {
        assert!(
            detail["grade"][air].is_string() && detail["margin"][air].is_number(),
            "{air}"
        );
    }
    assert!(night["cautions"][0].is_string() && night["events"].is_array());
    let row = &night["table"][0];
    assert!(row["name"].is_string() && row["telescopes"][2]["grade"].is_string());
    let best = night["telescopes"][0]["targets"][0]["best_utc"].clone();
    assert_eq!((&row["body"], &row["best_utc"]), (&target["body"], &best));
}

#[test]
fn a_night_of_several_telescopes_begins_short() {
    let on = |more: &[&str]| {
        let output = run(&[&["night", "--on", "2027-02-20"][..], more].concat());
        assert!(output.status.success(), "{}", stderr(&output));
        stdout(&output)
    };
    let (short, one, all) = (on(&[]), on(&["--telescope", "Rowan"]), on(&["--all"]));
    let detail = "Flattened globe";
    assert!(short.contains("--telescope Hazel, or --all") && !short.contains(detail));
    assert!(one.contains(detail) && !one.contains("Hazel"), "{one}");
    assert!(all.contains(detail) && all.contains("Hazel, 200 mm f/6: "));
    let twice = on(&[
        "--telescope",
        "Rowan",
        "--telescope",
        "Hazel",
        "--telescope",
        "Rowan",
    ]);
    assert!(
        twice.find("Rowan, 150 mm") < twice.find("Hazel, 200 mm"),
        "{twice}"
    );
    assert_eq!(twice.matches("Rowan, 150 mm").count(), 1);
    let unknown = run(&["night", "--telescope", "Rowen"]);
    assert!(stderr(&unknown).contains("Rowan"), "{}", stderr(&unknown));
}

#[test]
fn one_detail_is_explained_link_by_link() {
    // The ring is 6 degrees open in December 2026: too closed for the Division until it opens.
    let args = ["reach", "--explain", "saturn_cassini", "--on", "2026-12-01"];
    let text = stdout(&run(&args));
    for part in [
        "Cassini Division on Saturn, ",
        "Hazel",
        "contrast kept",
        "Td",
        "were it ideal",
        "figure",
    ] {
        assert!(text.contains(part), "`{part}` is not in:\n{text}");
    }
    assert!(
        text.lines().all(|line| line.chars().count() <= 80),
        "{text}"
    );
    refuses(
        &run(&["reach", "--explain", "saturn_casini"]),
        &["saturn_cassini"],
    );
    let never = run(&[
        "reach",
        "--explain",
        "saturn_ring_line",
        "--on",
        "2026-12-01",
    ]);
    assert_eq!(never.status.code(), Some(1));
}

#[test]
fn pictures_are_written_beside_each_other_and_never_over() {
    let folder = folder();
    let args = ["mirror", "--pictures", "drawn"];
    assert!(run_in(folder.path(), &args).status.success());
    let drawn = fs::read_dir(folder.path().join("drawn"))
        .expect("a folder")
        .count();
    // Contrast, star and star out of focus of three mirrors; surface and wavefront of the two that are alike all around.
    assert_eq!(drawn, 13);
    refuses(&run_in(folder.path(), &args), &["exists and is left alone"]);
    for (name, begins) in [
        ("bands.PNG", &b"\x89PNG"[..]),
        ("bands.svg", b"<svg"),
        ("b.txt", b"This is the example workshop"),
    ] {
        let bands = ["bands", "--output", name];
        assert!(run_in(folder.path(), &bands).status.success());
        let bytes = fs::read(folder.path().join(name)).expect("written");
        assert!(bytes.starts_with(begins), "{name}");
        refuses(
            &run_in(folder.path(), &bands),
            &["exists and is left alone"],
        );
        let again = [&bands[..], &["--overwrite"]].concat();
        assert!(run_in(folder.path(), &again).status.success());
    }
}

#[test]
fn bands_json_keeps_its_names() {
    let bands = json(&[
        "bands",
        "--telescope",
        "Alder",
        "--offset-mm",
        "-6",
        "--json",
    ]);
    for name in [
        "aperture_mm",
        "radius_of_curvature_mm",
        "lines_per_mm",
        "offset_mm",
        "order_shear_mm",
    ] {
        assert!(bands[name].is_number(), "{name}");
    }
    assert_eq!(bands["source"], "moving");
    let sphere = &bands["mirrors"][0];
    assert!(sphere["periods_across"].is_number() && sphere["bow_mm"].is_number());
    let borders = sphere["borders_mm"].as_array().expect("a list");
    assert!(!borders.is_empty() && borders.iter().all(Value::is_number));
}

#[test]
fn mirror_json_keeps_the_names_of_its_contract() {
    let mirrors = json(&["mirror", "--json"]);
    for mirror in mirrors["telescopes"].as_array().expect("telescopes") {
        for name in [
            "focal_length_mm",
            "focal_ratio",
            "wavefront_pv_nm",
            "wavefront_rms_nm",
            "strehl",
            "strehl_low",
            "strehl_high",
            "airy_radius_arcsec",
            "fwhm_arcsec",
            "encircled_energy_airy",
        ] {
            assert!(mirror[name].is_number(), "{name}");
        }
        assert!(mirror["class"].is_string() && mirror["sphere_is_enough"].is_boolean());
        assert_eq!(mirror["mtf"].as_array().map(Vec::len), Some(19));
        assert!(mirror["zones"].is_array() && mirror["reasons"].is_array());
    }
}

#[test]
fn a_night_without_anything_to_show_says_so_by_its_exit_code() {
    let folder = folder();
    let midsummer = "[site]\nlatitude_deg = 69.6\nlongitude_deg = 18.9\n[[telescope]]\naperture_mm = 150\nfocal_length_mm = 1200\n";
    fs::write(folder.path().join("north.toml"), midsummer).expect("writable");
    let output = run_in(
        folder.path(),
        &["--workshop", "north.toml", "night", "--on", "2027-06-21"],
    );
    assert_eq!(output.status.code(), Some(1), "{}", stderr(&output));
    assert!(stdout(&output).contains("The Sun does not set"));
}

#[test]
fn knife_edge_readings_are_judged_and_slips_of_the_pen_are_not() {
    // A night's targets for a mirror of 150 mm f/8 with these two readings.
    let targets = |first: &str, last: &str| {
        let folder = folder();
        let text = format!(
            "[site]\nlatitude_deg = 43.2\nlongitude_deg = -2.9\n[[telescope]]\nname = \"Plane\"\n\
             aperture_mm = 150\nradius_of_curvature_mm = 2400\n[telescope.figure]\n\
             kind = \"knife-edge\"\nsource = \"fixed\"\nzones = [\n\
             {{ inner_mm = 0, outer_mm = 53, readings_mm = [{first}] }},\n\
             {{ inner_mm = 53, outer_mm = 75, readings_mm = [{last}] }} ]\n"
        );
        fs::write(folder.path().join("knife.toml"), text).expect("writable");
        let args = [
            "--workshop",
            "knife.toml",
            "night",
            "--on",
            "2027-02-20",
            "--json",
        ];
        let output = run_in(folder.path(), &args);
        let night: Value = serde_json::from_slice(&output.stdout).expect("JSON");
        assert_eq!(night["telescopes"][0]["name"], "Plane");
        night["telescopes"][0]["targets"].as_array().map(Vec::len)
    };
    assert!(targets("0.1", "1.3") > Some(3));
    // In metres.
    assert_eq!(targets("0.0001", "0.0013"), Some(0));
}

#[test]
fn lists_what_happens_between_two_dates() {
    let text = stdout(&run(&["dates", "2026-08-25", "2026-08-30", "--happenings"]));
    for part in [
        "August 2026, times UTC",
        "Full Moon",
        "Partial eclipse of the Moon",
    ] {
        assert!(text.contains(part), "`{part}` is not in:\n{text}");
    }
    let all = json(&[
        "dates",
        "2026-08-25",
        "2026-08-30",
        "--happenings",
        "--json",
    ]);
    let happenings = all["happenings"].as_array().expect("a list");
    let of = |kind: &str| {
        (happenings.iter())
            .find(|happening| happening["kind"] == kind)
            .unwrap_or_else(|| panic!("no {kind}"))
    };
    assert_eq!(of("moon_phase")["phase"], "full");
    assert_eq!(of("superior_conjunction")["body"], "mercury");
    let eclipse = of("lunar_eclipse");
    assert_eq!(eclipse["eclipse"], "partial");
    assert_eq!(eclipse["contacts"][2]["contact"], "greatest");
    assert_eq!(eclipse["contacts"][2]["at_utc"], eclipse["at_utc"]);
    assert_eq!(eclipse["telescopes"][0]["name"], "Hazel");
}

#[test]
fn compares_evenings() {
    let march = ["dates", "2027-03-01", "2027-03-31"];
    let text = stdout(&run(&march));
    for part in ["for the public", "1. ", "Jupiter", "If cloudy: "] {
        assert!(
            text.to_lowercase().contains(&part.to_lowercase()),
            "`{part}` is not in:\n{text}"
        );
    }
    let all = json(&[&march[..], &["--json", "--telescope", "Rowan"]].concat());
    assert_eq!(all["evenings"].as_array().map(Vec::len), Some(31));
    assert_eq!(all["telescopes"], serde_json::json!(["Rowan"]));
    let best = &all["best"][0];
    assert_ne!(best["on"], best["backup"]["evening"]["on"]);
    let from = all["evenings"][0]["from_utc"].as_str().expect("an instant");
    assert_eq!(from, "2027-03-01T18:00:00Z");

    let folder = folder();
    let picture = [&march[..], &["--output", "march.svg"]].concat();
    assert!(run_in(folder.path(), &picture).status.success());
    let svg = fs::read_to_string(folder.path().join("march.svg")).expect("a file");
    assert!(svg.starts_with("<svg") && svg.contains("March 2027"));
    // Nobody's file is lost.
    refuses(
        &run_in(folder.path(), &picture),
        &["march.svg", "--overwrite"],
    );
}

#[test]
fn evenings_that_cannot_be_compared_are_explained() {
    let ask = |more: &[&str]| run(&[&["dates", "2027-03-01", "2027-03-31"], more].concat());
    refuses(
        &run(&["dates", "2027-03-31", "2027-03-01"]),
        &["lies before the first"],
    );
    refuses(
        &run(&["dates", "2027-01-01", "2030-12-31"]),
        &["1461 evenings", "800 at most", "2029-03-10"],
    );
    refuses(
        &run(&["dates", "1949-02-01", "1949-03-01"]),
        &["1950 to 2100"],
    );
    refuses(
        &ask(&["--window", "22:00-19:00"]),
        &["half an hour", "21:30-01:00"],
    );
    refuses(&ask(&["--window", "7pm-10pm"]), &["19:00-22:00"]);
    refuses(&ask(&["--weekdays", "caturday"]), &["fri,sat"]);
    refuses(&ask(&["--telescope", "Hazle"]), &["did you mean `Hazel`"]);
    refuses(&ask(&["--wish", "pluto"]), &["`pluto`", "albireo"]);
    refuses(&ask(&["--wish", "sun"]), &["`sun`"]);
    refuses(&ask(&["--for", "own-list"]), &["--wish"]);
    refuses(
        &ask(&["--for", "public", "--wish", "mars"]),
        &["--for own-list"],
    );
    refuses(&ask(&["--output", "march.png"]), &["march.png", ".svg"]);
    refuses(&ask(&["--happenings", "--calendar"]), &["--calendar"]);
    refuses(
        &run(&["dates", "2027-03-14", "2027-03-14", "--weekdays", "sat"]),
        &["--weekdays"],
    );
}

#[test]
fn dates_that_make_no_stretch_are_explained() {
    let ask = |from, to| run(&["dates", from, to, "--happenings"]);
    refuses(
        &ask("2027-02-01", "2027-01-01"),
        &[
            "2027-01-01, lies before the first, 2027-02-01",
            "dates 2027-01-01 2027-02-01",
        ],
    );
    refuses(&ask("1949-02-01", "1951-01-01"), &["1950 to 2100"]);
    refuses(
        &ask("1 May", "2027-01-01"),
        &["a date looks like 2027-02-20"],
    );
}

/// What each command writes, by the ending of the output's name; everything else is refused before it is computed, and
/// leaves no file.
#[test]
fn an_ending_is_kept_or_refused() {
    let look = [
        "--telescope",
        "Rowan",
        "--by",
        "most",
        "--at",
        "2027-02-12T20:30:00Z",
    ];
    let look = [&["seen", "jupiter_north_belt"][..], &look].concat();
    let commands: [(&[&str], &[&str]); 11] = [
        (
            &["sky", "--at", "2026-12-01T20:00:00Z"],
            &["txt", "html", "json"],
        ),
        (
            &["night", "--on", "2027-02-20"],
            &["txt", "html", "json", "svg"],
        ),
        (&["reach"], &["txt", "html", "json"]),
        (&["mirror"], &["txt", "html", "json"]),
        (&["bands"], &["txt", "html", "json", "svg", "png"]),
        (
            &["bench", "--telescope", "Rowan"],
            &["txt", "html", "json", "svg", "png"],
        ),
        (
            &["dates", "2027-03-01", "2027-03-03"],
            &["txt", "html", "json", "svg"],
        ),
        (
            &["dates", "2027-03-01", "2027-03-30", "--happenings"],
            &["txt", "html", "json", "csv", "ics"],
        ),
        (
            &[
                "session",
                "--on",
                "2027-02-12",
                "--window",
                "20:00-21:00",
                "--visitors",
                "20",
            ],
            &["txt", "html", "json", "csv", "ics"],
        ),
        (&look, &["txt", "html", "json"]),
        (
            &["reach", "--explain", "saturn_titan", "--on", "2026-12-20"],
            &["txt", "html", "json"],
        ),
    ];
    for (command, written) in commands {
        for ending in ["txt", "json", "html", "svg", "png", "csv", "ics", "pdf"] {
            let folder = folder();
            let name = format!("answer.{ending}");
            let output = run_in(folder.path(), &[command, &["--output", &name]].concat());
            let is_there = folder.path().join(&name).exists();
            if written.contains(&ending) {
                assert!(
                    output.status.success(),
                    "{command:?} {ending}: {}",
                    stderr(&output)
                );
                let bytes = fs::read(folder.path().join(&name)).expect("a file");
                let begins = match ending {
                    "html" => "<!DOCTYPE html>",
                    "json" => "{",
                    "svg" => "<svg",
                    "png" => "\u{89}PNG",
                    "ics" => "BEGIN:VCALENDAR",
                    _ => "",
                };
                let is_png = ending == "png" && bytes.starts_with(b"\x89PNG");
                assert!(
                    is_png || bytes.starts_with(begins.as_bytes()),
                    "{command:?} {ending}"
                );
            } else {
                refuses(
                    &output,
                    &[
                        &name,
                        "an ending that is not written here",
                        ".txt for the words",
                    ],
                );
                assert!(!is_there, "{command:?} {ending}");
            }
        }
    }
}

/// A command that keeps a look in the log.
pub const A_LOOK: [&str; 6] = [
    "seen",
    "jupiter_north_belt",
    "--telescope",
    "Rowan",
    "--by",
    "most",
];

/// What stands in the way of the answer is found before a look is kept.
#[test]
fn a_file_in_the_way_keeps_no_look() {
    let folder = folder();
    fs::write(folder.path().join("kept.txt"), "mine").expect("a file");
    let when = ["--at", "2027-02-12T20:30:00Z", "--output", "kept.txt"];
    let output = run_in(folder.path(), &[&A_LOOK[..], &when].concat());
    refuses(&output, &["kept.txt", "is left alone", "--overwrite"]);
    assert!(!folder.path().join("seen.csv").exists());
    let kept = fs::read_to_string(folder.path().join("kept.txt"));
    assert_eq!(kept.expect("a file"), "mine");
}
