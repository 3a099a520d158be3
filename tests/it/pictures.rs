//! Pictures: well-formed, escaped, and what they show.

use chrono::NaiveDate;

use skyworthy::optics::bands::Cell;
use skyworthy::optics::instrument::Instrument;
use skyworthy::plan::bands::Bands;
use skyworthy::plan::bands::Bench;
use skyworthy::plan::bands::PIXELS;
use skyworthy::plan::bands::bands;
use skyworthy::plan::mirror::mirrors;
use skyworthy::plan::pictures::Pictures;
use skyworthy::plan::pictures::pictures;
use skyworthy::show::picture;
use skyworthy::workshop;
use skyworthy::workshop::KnifeSource;
use skyworthy::workshop::Workshop;

fn on() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).expect("a date")
}

fn knife_edge_workshop(name: &str) -> Workshop {
    let text = format!(
        "[site]\nlatitude_deg = 43\nlongitude_deg = 0\n[[telescope]]\nname = \"{name}\"\naperture_mm = 150\n\
         radius_of_curvature_mm = 2400\n[telescope.figure]\nkind = \"knife-edge\"\nsource = \"fixed\"\nzones = [\n\
         {{ inner_mm = 0, outer_mm = 37, readings_mm = [0.10, 0.12] }},\n\
         {{ inner_mm = 37, outer_mm = 53, readings_mm = [0.85, 0.80] }},\n\
         {{ inner_mm = 53, outer_mm = 65, readings_mm = [1.44, 1.47] }},\n\
         {{ inner_mm = 65, outer_mm = 75, readings_mm = [2.05, 2.02] }} ]\n"
    );
    let no_files = |name: &str| Err(format!("{name} is not there"));
    Workshop::from_toml(&text, "test.toml", &no_files).expect("legal")
}

fn of_first(workshop: &Workshop) -> Pictures {
    let answer = mirrors(workshop, on()).expect("a year of planets");
    pictures(answer.mirrors[0].judged.as_ref().expect("judged"))
}

fn bench(offset_mm: f64) -> Bench {
    Bench {
        lines_per_mm: 4.0,
        offset_mm,
        source: KnifeSource::Moving,
    }
}

fn example_bands(idx: usize, offset_mm: f64) -> Bands {
    let workshop = workshop::example();
    let telescope = &workshop.telescopes[idx];
    let instrument = Instrument::of(&workshop, telescope, on()).expect("judged");
    bands(telescope, &instrument, bench(offset_mm))
}

#[test]
fn drawings_are_xml_and_a_name_is_only_a_name() {
    let drawn = of_first(&knife_edge_workshop("<script>&"));
    let profile = drawn.profile.as_ref().expect("zones were read");
    let mut svgs = vec![
        picture::surface(&drawn.name, profile),
        picture::wavefront(&drawn.name, profile),
        picture::readings(&drawn.name, &drawn.readings),
        picture::contrast(&drawn.name, &drawn.contrast),
    ];
    svgs.push(picture::bands::svg(&example_bands(2, -6.0)));
    for svg in &svgs {
        let document = roxmltree::Document::parse(svg).expect("well-formed XML");
        assert_eq!(document.root_element().tag_name().name(), "svg");
        assert!(!svg.contains("<script") && !svg.contains("NaN") && !svg.contains("inf"));
        assert!(document.descendants().any(|node| node.has_tag_name("text")));
    }
    assert!(svgs[0].contains("&lt;script&gt;&amp;"));
    assert_eq!(drawn.readings.len(), 4);
}

#[test]
fn grey_pictures_decode_with_their_size() {
    let size = |png: Vec<u8>| {
        let decoder = png::Decoder::new(std::io::Cursor::new(png));
        let mut reader = decoder.read_info().expect("a PNG");
        let mut pixels = vec![0; reader.output_buffer_size().expect("small")];
        let info = reader.next_frame(&mut pixels).expect("a whole PNG");
        assert!(pixels.iter().any(|pixel| *pixel < 50) && pixels.iter().any(|pixel| *pixel > 200));
        (info.width, info.height)
    };
    let star = of_first(&knife_edge_workshop("Larch")).star;
    let side = 3 * star.pixels as u32;
    assert_eq!(size(picture::raster::star(&star)), (2 * side + 12, side));
    assert_eq!(
        size(picture::bands::png(&example_bands(2, -6.0))),
        (1320, 460)
    );
}

#[test]
fn bands_of_a_sphere_are_straight_and_those_of_a_paraboloid_bow() {
    // Geometry: at the centre of curvature a sphere returns every ray to one point, so its bands are straight and
    // evenly spaced; inside it a paraboloid's are farther apart in the middle than at top and bottom.
    let bands = example_bands(2, -6.0);
    let width_of_middle_band = |panel: usize, row: usize| {
        let row = &bands.panels[panel].cells[row * PIXELS..(row + 1) * PIXELS];
        let right = row[PIXELS / 2..]
            .iter()
            .take_while(|cell| **cell == Cell::Bright)
            .count();
        let left = row[..PIXELS / 2]
            .iter()
            .rev()
            .take_while(|cell| **cell == Cell::Bright)
            .count();
        right + left
    };
    let (middle, upper) = (PIXELS / 2, PIXELS / 8);
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
    for (finest, this, _, perfect) in &drawn.contrast.points {
        assert!(
            *this <= perfect + 1e-3,
            "at {finest}: {this} over {perfect}"
        );
    }
    let peak = |image: &[f64]| image.iter().copied().fold(0.0, f64::max);
    assert!(peak(&drawn.star.this_mirror) < peak(&drawn.star.perfect));
    assert!((peak(&drawn.star.perfect) - 1.0).abs() < 1e-3);
}
