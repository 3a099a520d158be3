//! Pictures: well-formed, escaped, and what they show.

use chrono::NaiveDate;

use crate::support::workshop_of;
use skyworthy::optics::bands::Cell;
use skyworthy::optics::instrument::Instrument;
use skyworthy::plan::bands::{Bands, CELLS, Measured, RonchiTest, bands};
use skyworthy::plan::mirror::mirrors;
use skyworthy::plan::pictures::{DrawnFrom, KnownEdge, Pictures, pictures};
use skyworthy::show::picture;
use skyworthy::workshop;
use skyworthy::workshop::{KnifeSource, Workshop};

fn on() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).expect("a date")
}

fn knife_edge_workshop(name: &str) -> Workshop {
    workshop_of(&format!(
        "[site]\nlatitude_deg = 43\nlongitude_deg = 0\n[[telescope]]\nname = \"{name}\"\naperture_mm = 150\n\
         radius_of_curvature_mm = 2400\n[telescope.figure]\nkind = \"knife-edge\"\nsource = \"fixed\"\nzones = [\n\
         {{ inner_mm = 0, outer_mm = 37, readings_mm = [0.10, 0.12] }},\n\
         {{ inner_mm = 37, outer_mm = 53, readings_mm = [0.85, 0.80] }},\n\
         {{ inner_mm = 53, outer_mm = 65, readings_mm = [1.44, 1.47] }},\n\
         {{ inner_mm = 65, outer_mm = 75, readings_mm = [2.05, 2.02] }} ]\n"
    ))
}

fn of_first(workshop: &Workshop) -> Pictures {
    let answer = mirrors(workshop, on()).expect("a year of planets");
    pictures(answer.mirrors[0].judged.as_ref().expect("judged"))
}

fn ronchi(offset_mm: f64) -> RonchiTest {
    RonchiTest {
        lines_per_mm: 4.0,
        offset_mm,
        source: KnifeSource::Moving,
    }
}

fn example_bands(idx: usize, offset_mm: f64) -> Bands {
    let workshop = workshop::example();
    let telescope = &workshop.telescopes[idx];
    let instrument = Instrument::of(&workshop, telescope, on()).expect("judged");
    bands(telescope, &instrument, ronchi(offset_mm))
}

fn stated_workshop(figure: &str) -> Workshop {
    workshop_of(&format!(
        "[site]\nlatitude_deg = 43\nlongitude_deg = 0\n[[telescope]]\nname = \"Larch\"\naperture_mm = 150\n\
         focal_length_mm = 1200\n{figure}"
    ))
}

fn first_bands(workshop: &Workshop, offset_mm: f64) -> Bands {
    let telescope = &workshop.telescopes[0];
    let instrument = Instrument::of(workshop, telescope, on()).expect("judged");
    bands(telescope, &instrument, ronchi(offset_mm))
}

/// Width, height and grey pixels.
fn decoded(png: &[u8]) -> (usize, usize, Vec<u8>) {
    let decoder = png::Decoder::new(std::io::Cursor::new(png));
    let mut reader = decoder.read_info().expect("a PNG");
    let mut pixels = vec![0; reader.output_buffer_size().expect("small")];
    let info = reader.next_frame(&mut pixels).expect("a whole PNG");
    assert_eq!(info.color_type, png::ColorType::Grayscale);
    (info.width as usize, info.height as usize, pixels)
}

#[test]
fn drawings_are_xml_and_a_name_is_only_a_name() {
    let workshop = knife_edge_workshop("<script>&");
    let drawn = of_first(&workshop);
    let mut svgs: Vec<String> = (picture::all(&drawn).into_iter())
        .map(|drawn| drawn.svg)
        .collect();
    assert_eq!(svgs.len(), 6);
    svgs.push(picture::bands::svg(&first_bands(&workshop, -6.0)));
    for svg in &svgs {
        let document = roxmltree::Document::parse(svg).expect("well-formed XML");
        assert_eq!(document.root_element().tag_name().name(), "svg");
        assert!(!svg.contains("<script"));
        let drawn = document.descendants().flat_map(|node| node.attributes());
        for attribute in drawn.filter(|attribute| attribute.name() != "href") {
            let mut tokens = attribute
                .value()
                .split(|c: char| !c.is_alphanumeric() && !"-.".contains(c));
            assert!(!tokens.any(|token| ["NaN", "inf", "-inf", "-0.0"].contains(&token)));
        }
        let name = document
            .descendants()
            .find(|node| node.text() == Some("<script>&"));
        assert!(name.is_some_and(|node| node.has_tag_name("text")));
    }
    assert_eq!(drawn.readings.len(), 4);
}

#[test]
fn no_words_leave_the_paper() {
    // A sans-serif letter is about 0.56 of its height wide; the longest name that a workshop file allows.
    let workshop = knife_edge_workshop(&"W".repeat(60));
    let mut svgs: Vec<String> = (picture::all(&of_first(&workshop)).into_iter())
        .map(|drawn| drawn.svg)
        .collect();
    svgs.push(picture::bands::svg(&first_bands(&workshop, 6.0)));
    for svg in &svgs {
        let document = roxmltree::Document::parse(svg).expect("well-formed XML");
        let number = |node: roxmltree::Node, name: &str| -> Option<f64> {
            node.attribute(name)?.parse().ok()
        };
        let width = number(document.root_element(), "width").expect("a width");
        for node in document
            .descendants()
            .filter(|node| node.has_tag_name("text"))
        {
            if node.attribute("transform").is_some() {
                continue;
            }
            let letters = node.text().unwrap_or_default().chars().count() as f64;
            let length = 0.56 * number(node, "font-size").unwrap_or(14.0) * letters;
            let x = number(node, "x").expect("a place");
            let left = match node.attribute("text-anchor") {
                Some("end") => x - length,
                Some("middle") => x - length / 2.0,
                _ => x,
            };
            assert!(0.0 <= left && left + length <= width, "{:?}", node.text());
        }
    }
}

#[test]
fn an_unmeasured_figure_is_not_drawn_as_glass() {
    let nothing = of_first(&stated_workshop(""));
    assert_eq!(nothing.subject.basis, DrawnFrom::Nothing);
    assert_eq!(nothing.profile, None);
    let stated = "[telescope.figure]\nkind = \"stated\"\nrms_waves = 0.05\non = \"wavefront\"\n";
    let one_number = of_first(&stated_workshop(stated));
    assert_eq!(one_number.subject.basis, DrawnFrom::OneNumber);
    for (drawn, words) in [
        (&nothing, "figure not given"),
        (&one_number, "shape assumed"),
    ] {
        let names: Vec<&str> = (picture::all(drawn).iter())
            .map(|drawn| drawn.file)
            .collect();
        assert_eq!(names, ["contrast.svg", "star.svg", "star-test.svg"]);
        for drawn in picture::all(drawn) {
            assert!(drawn.svg.contains(words), "{}", drawn.file);
        }
    }
}

#[test]
fn a_rim_nobody_looked_at_is_marked() {
    let drawn = of_first(&knife_edge_workshop("Larch"));
    let profile = drawn.profile.expect("zones were read");
    // 10 mm of 75 are more than 3 %.
    assert_eq!(profile.edge, Some(KnownEdge::NotLookedAt { from_mm: 65.0 }));
    let svg = picture::surface(&drawn.subject, &profile);
    assert!(svg.contains("a turned edge would not show"));
    // The glass is half the wavefront: so is what a quarter of a wave from peak to valley leaves it in all.
    assert!((profile.corridor.width_nm - 550.0 / 4.0 / 2.0).abs() < 1e-9);
    assert!(profile.points.iter().all(|point| {
        point.surface_low_nm <= point.surface_nm && point.surface_nm <= point.surface_high_nm
    }));
}

#[test]
fn grey_pictures_decode_with_their_size() {
    let (width, height, pixels) = decoded(&picture::bands::png(&example_bands(2, -6.0)));
    // The drawing, 1056 by 436, at 604 pixels for 320 units.
    assert_eq!((width, height), (1993, 823));
    assert!(pixels.contains(&0) && pixels.contains(&255));
    let svg = of_first(&knife_edge_workshop("Larch"));
    let svg = picture::star(&svg.subject, &svg.star);
    let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
    let images: Vec<_> = document
        .descendants()
        .filter(|node| node.has_tag_name("image"))
        .collect();
    assert_eq!(images.len(), 2);
    for image in images {
        let href = image.attribute("href").expect("a picture");
        assert!(href.starts_with("data:image/png;base64,iVBORw0KGgo"));
    }
}

/// Where the row of a mirror in the PNG turns from one side of grey to the other.
fn edges(png: &[u8], panel: usize, row: usize) -> Vec<usize> {
    let (width, _, pixels) = decoded(png);
    let left = ((24.0 + panel as f64 * 344.0) * 604.0 / 320.0).round() as usize;
    // Below 70 units of heading and 2 pixels of ring.
    let row = &pixels[(134 + row) * width..][left..left + 604];
    (1..row.len())
        .filter(|x| (row[x - 1] < 128) != (row[*x] < 128))
        .collect()
}

#[test]
fn drawn_bands_are_straight_for_a_sphere_and_bow_as_geometry_says() {
    // Innermost pair of edges, in the PNG as written: at the middle, and at a fifth of the radius from the top.
    let gap = |png: &[u8], panel: usize, row: usize| {
        let edges = edges(png, panel, row);
        edges[edges.len() / 2] - edges[edges.len() / 2 - 1]
    };
    let inside = picture::bands::png(&example_bands(2, -6.0));
    let outside = picture::bands::png(&example_bands(2, 25.0));
    for png in [&inside, &outside] {
        assert!(gap(png, 0, 300).abs_diff(gap(png, 0, 60)) <= 1, "sphere");
    }
    assert!(gap(&inside, 1, 60) + 4 <= gap(&inside, 1, 300), "barrel");
    assert!(
        gap(&outside, 1, 300) + 2 <= gap(&outside, 1, 60),
        "hourglass"
    );
}

#[test]
fn what_is_not_known_of_a_mirror_has_no_bands() {
    let astigmatic = "[telescope.figure]\nkind = \"zernike\"\non = \"wavefront\"\n\
                      terms = [{ n = 2, m = 2, nm_rms = 50 }]\n";
    let stated = "[telescope.figure]\nkind = \"stated\"\nrms_waves = 0.05\non = \"wavefront\"\n";
    for (figure, want, words) in [
        ("", Measured::NotGiven, "what to aim at"),
        (stated, Measured::OneNumber, "does not tell a shape"),
        (astigmatic, Measured::NotAlikeAllAround, "alike all around"),
    ] {
        let bands = first_bands(&stated_workshop(figure), -6.0);
        assert_eq!((bands.panels.len(), bands.measured), (2, want));
        let text = skyworthy::show::bands::page(&bands).text();
        assert!(text.contains(words), "{text}");
    }
}

#[test]
fn a_turned_edge_is_told_from_the_paraboloid_at_its_place() {
    let turned = "[telescope.figure]\nkind = \"profile\"\non = \"wavefront\"\n\
                  points = [[0, 0], [0.9, 0], [1.0, 200]]\n";
    let workshop = stated_workshop(turned);
    // Inside, bands near a turned-down edge hook toward the middle; outside, away from it.
    for (offset_mm, sign) in [(-6.0, -1.0), (12.0, 1.0)] {
        let bands = first_bands(&workshop, offset_mm);
        let Measured::Shown(departure) = bands.measured else {
            panic!("a profile is a shape");
        };
        assert!((67.5..=75.0).contains(&departure.from_axis_mm));
        // 200 nm in 7.5 mm is 2.7e-5 of slope, over 2400 mm of way 0.064 mm: a quarter of a period at 4
        // lines/mm, less what refocusing makes good.
        assert!(
            (0.12..0.26).contains(&(sign * departure.periods)),
            "{departure:?}"
        );
    }
    let smooth = first_bands(
        &stated_workshop("[telescope.figure]\nkind = \"sphere\"\n"),
        -6.0,
    );
    assert_eq!(smooth.panels[0].borders_mm, smooth.panels[2].borders_mm);
}

#[test]
fn bands_of_a_sphere_are_straight_and_those_of_a_paraboloid_bow() {
    // Geometry: at the centre of curvature a sphere returns every ray to one point, so its bands are straight and
    // evenly spaced; inside it a paraboloid's are farther apart in the middle than at top and bottom.
    let bands = example_bands(2, -6.0);
    let width_of_middle_band = |panel: usize, row: usize| {
        let row = &bands.panels[panel].cells[row * CELLS..(row + 1) * CELLS];
        let right = row[CELLS / 2..]
            .iter()
            .take_while(|cell| **cell == Cell::Bright)
            .count();
        let left = row[..CELLS / 2]
            .iter()
            .rev()
            .take_while(|cell| **cell == Cell::Bright)
            .count();
        right + left
    };
    let (middle, upper) = (CELLS / 2, CELLS / 8);
    assert!(width_of_middle_band(0, middle).abs_diff(width_of_middle_band(0, upper)) <= 1);
    assert!(width_of_middle_band(1, middle) > width_of_middle_band(1, upper) + 3);
    let borders = &bands.panels[0].borders_mm;
    let gaps: Vec<f64> = borders.windows(2).map(|pair| pair[1] - pair[0]).collect();
    assert!(
        gaps.iter().all(|gap| (gap - gaps[0]).abs() < 0.5),
        "{gaps:?}"
    );
    // D p 2|d| / R, paraxial, moving lamp: 250 x 4 x 12 / 2500.
    assert!((bands.panels[0].periods_across - 4.8).abs() < 0.05);
}

#[test]
fn the_contrast_curve_lies_below_the_perfect_one_and_the_star_is_dimmer() {
    let drawn = of_first(&knife_edge_workshop("Larch"));
    for point in &drawn.contrast.points {
        assert!(point.this_mirror <= point.perfect + 1e-3, "{point:?}");
        assert_eq!(point.worst_direction, None);
    }
    let peak = |image: &[f64]| image.iter().copied().fold(0.0, f64::max);
    assert!(peak(&drawn.star.this_mirror) < peak(&drawn.star.perfect));
    assert!((peak(&drawn.star.perfect) - 1.0).abs() < 1e-3);
}
