//! Everything a workshop file may say: one row a key, with its legal range and an example.
//!
//! Checks and messages both come from here, so they cannot disagree. Ranges keep out slips of
//! the pen and wrong units; they are common practice of makers, not physics, and generous.

/// One key of the file.
#[derive(Debug, PartialEq)]
pub(in crate::workshop) struct Key {
    pub(in crate::workshop) name: &'static str,
    pub(in crate::workshop) is: Is,
    /// What to write instead, or an example.
    pub(in crate::workshop) hint: &'static str,
}

/// What a key's value has to be.
#[derive(Debug, PartialEq)]
pub(in crate::workshop) enum Is {
    /// A number from low to high, ends included.
    Number {
        low: f64,
        high: f64,
        unit: &'static str,
    },
    /// A number without fraction, ends included.
    Whole { low: i64, high: i64 },
    /// Text of the user's own.
    Text,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A calendar date.
    Date,
    /// True or false.
    Flag,
    /// Values in square brackets, no more than that.
    List { most: usize },
    /// Keys in braces, or under a heading of their own.
    Table,
    /// Either of the above; the code that reads it says what is wrong.
    NumberOrText { low: f64, high: f64 },
}

/// The keys that may stand together under one heading.
#[derive(Debug)]
pub(in crate::workshop) struct Grammar {
    /// As it stands in the file.
    pub(in crate::workshop) heading: &'static str,
    pub(in crate::workshop) keys: &'static [Key],
}

impl Grammar {
    /// The row of a key. Only names written in this program are asked for.
    pub(in crate::workshop) fn key(&self, name: &str) -> &'static Key {
        let row = self.keys.iter().find(|key| key.name == name);
        row.expect("every key that is read has its row")
    }
}

pub(super) const fn number(
    name: &'static str,
    low: f64,
    high: f64,
    unit: &'static str,
    hint: &'static str,
) -> Key {
    let is = Is::Number { low, high, unit };
    Key { name, is, hint }
}

pub(super) const fn key(name: &'static str, is: Is, hint: &'static str) -> Key {
    Key { name, is, hint }
}

pub(in crate::workshop) static FILE: Grammar = Grammar {
    heading: "the file",
    keys: &[
        key(
            "site",
            Is::Table,
            "the place stands under the heading [site]",
        ),
        key(
            "observer",
            Is::Table,
            "who looks stands under the heading [observer]",
        ),
        key(
            "jupiter",
            Is::Table,
            "what changes on Jupiter stands under the heading [jupiter]",
        ),
        key(
            "session",
            Is::Table,
            "what is settled for public evenings stands under the heading [session]",
        ),
        key(
            "eyepiece",
            Is::List { most: 100 },
            "each eyepiece has its own heading [[eyepiece]], with two brackets",
        ),
        key(
            "barlow",
            Is::List { most: 100 },
            "each Barlow lens has its own heading [[barlow]], with two brackets",
        ),
        key(
            "telescope",
            Is::List { most: 100 },
            "each telescope has its own heading [[telescope]], with two brackets",
        ),
        key(
            "small_bodies",
            Is::Table,
            "comets and asteroids of your own stand in a table beside: [small_bodies] and below it file = \"comets.csv\"",
        ),
    ],
};

pub(in crate::workshop) static SMALL_BODIES: Grammar = Grammar {
    heading: "[small_bodies]",
    keys: &[key(
        "file",
        Is::Text,
        "the name of a table beside this file, one comet or asteroid a row: file = \"comets.csv\"",
    )],
};

/// Rows of that table: as many as a list may have.
pub(in crate::workshop) static SMALL_BODY_ROWS: Key = key(
    "the table of small bodies",
    Is::List { most: 200 },
    "one comet or asteroid a row",
);

/// Columns of that table; `epoch` and `perihelion_time` are dates.
pub(in crate::workshop) static SMALL_BODY: Grammar = Grammar {
    heading: "the table of small bodies",
    keys: &[
        number(
            "semi_major_axis_au",
            0.2,
            1000.0,
            "au",
            "half the long axis of the ellipse; comets have perihelion_distance_au instead",
        ),
        number(
            "perihelion_distance_au",
            0.001,
            100.0,
            "au",
            "the least distance from the Sun",
        ),
        number(
            "eccentricity",
            0.0,
            20.0,
            "",
            "below 1 for ellipses, 1 for a parabola",
        ),
        number(
            "inclination_deg",
            0.0,
            180.0,
            "degrees",
            "to the ecliptic of J2000",
        ),
        number(
            "node_deg",
            -360.0,
            360.0,
            "degrees",
            "longitude of the ascending node, ecliptic of J2000",
        ),
        number(
            "argument_of_perihelion_deg",
            -360.0,
            360.0,
            "degrees",
            "from the node to the perihelion",
        ),
        number(
            "mean_anomaly_deg",
            -360.0,
            360.0,
            "degrees",
            "at the epoch; comets have perihelion_time instead",
        ),
        number(
            "h_mag",
            -2.0,
            35.0,
            "",
            "the absolute magnitude H of an asteroid",
        ),
        number(
            "g",
            -0.3,
            1.0,
            "",
            "the slope G of an asteroid: 0.15 is usual",
        ),
        number(
            "m1_mag",
            -5.0,
            30.0,
            "",
            "the total absolute magnitude M1 of a comet",
        ),
        number(
            "k1",
            5.0,
            60.0,
            "",
            "magnitudes for each factor of ten in the distance from the Sun: 10 is usual; \
             lists that give a slope of 4 mean k1 = 2.5 x 4 = 10",
        ),
        number(
            "error_arcsec",
            0.0,
            3600.0,
            "arcsec",
            "how sure the orbit is at its epoch; 1 is taken if nothing is given",
        ),
    ],
};

pub(in crate::workshop) static SITE: Grammar = Grammar {
    heading: "[site]",
    keys: &[
        key("name", Is::Text, "for example name = \"School roof\""),
        number(
            "latitude_deg",
            -90.0,
            90.0,
            "degrees",
            "north is positive: latitude_deg = 47.5",
        ),
        number(
            "longitude_deg",
            -180.0,
            180.0,
            "degrees",
            "east is positive, west negative: longitude_deg = -2.9",
        ),
        number(
            "elevation_m",
            -450.0,
            9000.0,
            "m",
            "above the sea: elevation_m = 250",
        ),
        key(
            "time_zone",
            Is::Text,
            "a region and a city in English: time_zone = \"Europe/Madrid\"",
        ),
        number(
            "sky_brightness_mag_arcsec2",
            14.0,
            22.2,
            "mag/arcsec2",
            "a city centre has about 17.5, a village 20.5, a mountain 21.8",
        ),
        number(
            "faintest_star_mag",
            1.0,
            8.0,
            "mag",
            "the faintest star seen overhead without a telescope: about 4 in a city, 6 in the country",
        ),
        key(
            "seeing_arcsec",
            Is::Table,
            "for example seeing_arcsec = { good = 1.2, typical = 2.2, poor = 3.5 }",
        ),
        key(
            "seeing_scale",
            Is::Table,
            "for example seeing_scale = { scale = \"pickering\", value = 6, aperture_mm = 127 }",
        ),
        key(
            "horizon",
            Is::List { most: 1000 },
            "pairs of azimuth and lowest clear altitude, in degrees: horizon = [[0, 10], [90, 35], [135, 8]]",
        ),
        key(
            "marks",
            Is::List { most: 100 },
            "what everybody there knows: marks = [ { azimuth_deg = 135, name = \"bell tower\" } ]",
        ),
    ],
};

pub(in crate::workshop) static MARK: Grammar = Grammar {
    heading: "marks",
    keys: &[
        number(
            "azimuth_deg",
            0.0,
            360.0,
            "degrees",
            "of the true north, not the compass's: azimuth_deg = 135 for south-east; of something wide from its left edge \
             to its right one: azimuth_deg = [120, 155]",
        ),
        key("name", Is::Text, "for example name = \"bell tower\""),
    ],
};

/// Of something wide.
pub(in crate::workshop) static MARK_EDGES: Grammar = Grammar {
    heading: "azimuth_deg",
    keys: &[
        number("left edge", 0.0, 360.0, "degrees", EDGES_HINT),
        number("right edge", 0.0, 360.0, "degrees", EDGES_HINT),
    ],
};

const EDGES_HINT: &str =
    "of the true north, from left to right: azimuth_deg = [120, 155], over north [350, 20]";

const SEEING_HINT: &str =
    "width of a star at the zenith in arcseconds: about 1 on a very steady night, 4 on a poor one";

pub(in crate::workshop) static SEEING_ARCSEC: Grammar = Grammar {
    heading: "seeing_arcsec",
    keys: &[
        number("good", 0.3, 15.0, "arcsec", SEEING_HINT),
        number("typical", 0.3, 15.0, "arcsec", SEEING_HINT),
        number("poor", 0.3, 15.0, "arcsec", SEEING_HINT),
    ],
};

pub(in crate::workshop) static SEEING_SCALE: Grammar = Grammar {
    heading: "seeing_scale",
    keys: &[
        key(
            "scale",
            Is::Word(&["pickering", "antoniadi"]),
            "for example scale = \"pickering\"",
        ),
        key(
            "value",
            Is::NumberOrText {
                low: 1.0,
                high: 10.0,
            },
            "Pickering runs from 1 (worst) to 10 (best), Antoniadi from 1 or \"I\" (best) to 5 or \"V\" (worst)",
        ),
        number(
            "aperture_mm",
            20.0,
            2000.0,
            "mm",
            "the aperture of the telescope it was judged with: aperture_mm = 127",
        ),
    ],
};

pub(in crate::workshop) static HORIZON_CORNER: Grammar = Grammar {
    heading: "horizon",
    keys: &[
        number(
            "azimuth",
            0.0,
            360.0,
            "degrees",
            "north is 0, east 90, south 180, west 270",
        ),
        number(
            "altitude",
            -5.0,
            90.0,
            "degrees",
            "the level is 0, overhead 90; a fist at arm's length is about 10",
        ),
    ],
};

pub(in crate::workshop) static OBSERVER: Grammar = Grammar {
    heading: "[observer]",
    keys: &[
        number(
            "age_years",
            5.0,
            100.0,
            "years",
            "for example age_years = 40",
        ),
        number(
            "margin_dex",
            -0.5,
            0.5,
            "powers of ten",
            "above 0 you see more than reckoned with, below 0 less; skyworthy seen --report finds it from \
             your own looks: margin_dex = 0.08",
        ),
    ],
};

pub(in crate::workshop) static JUPITER: Grammar = Grammar {
    heading: "[jupiter]",
    keys: &[
        number(
            "red_spot_longitude_deg",
            0.0,
            360.0,
            "degrees",
            "of the Great Red Spot in System II, as observers publish it: red_spot_longitude_deg = 95",
        ),
        key(
            "red_spot_on",
            Is::Date,
            "the day for which that longitude was published: red_spot_on = 2026-10-01",
        ),
        number(
            "red_spot_drift_deg_per_month",
            -10.0,
            10.0,
            "degrees",
            "by how much its longitude grows in a month: red_spot_drift_deg_per_month = 1.7",
        ),
    ],
};

pub(in crate::workshop) static SESSION: Grammar = Grammar {
    heading: "[session]",
    keys: &[
        number(
            "seconds_per_look",
            15.0,
            300.0,
            "s",
            "one visitor's look with stepping up and down: 45 to 60 is usual, seconds_per_look = 50",
        ),
        key(
            "minimum_stay_minutes",
            Is::Whole { low: 5, high: 180 },
            "least time on one target: minimum_stay_minutes = 30",
        ),
        key(
            "most_changes",
            Is::Whole { low: 0, high: 50 },
            "how often a telescope may change its target: most_changes = 3",
        ),
        key(
            "arrive",
            Is::Word(&["together", "over-time"]),
            "whether all visitors are there at the first look or come over the evening: arrive = \"over-time\"",
        ),
        key(
            "gather",
            Is::Text,
            "when people meet, hours and minutes in quotes: gather = \"19:00\"",
        ),
        key(
            "decide_at",
            Is::Text,
            "when the weather is judged, hours and minutes in quotes: decide_at = \"16:00\"",
        ),
        key(
            "backup_on",
            Is::Date,
            "another date for it, without quotes: backup_on = 2027-02-27",
        ),
        key(
            "leader",
            Is::Text,
            "who decides, as it is to be printed: leader = \"the workshop's leader\"",
        ),
    ],
};

pub(in crate::workshop) static EYEPIECE: Grammar = Grammar {
    heading: "[[eyepiece]]",
    keys: &[
        key("name", Is::Text, "for example name = \"25 mm\""),
        number(
            "focal_length_mm",
            2.0,
            100.0,
            "mm",
            "as printed on it: focal_length_mm = 25",
        ),
        number(
            "apparent_field_deg",
            20.0,
            120.0,
            "degrees",
            "50 is usual: apparent_field_deg = 50",
        ),
        number(
            "field_stop_mm",
            1.0,
            60.0,
            "mm",
            "the inner diameter of the ring inside: field_stop_mm = 21",
        ),
    ],
};

pub(in crate::workshop) static BARLOW: Grammar = Grammar {
    heading: "[[barlow]]",
    keys: &[
        key("name", Is::Text, "for example name = \"2x\""),
        number(
            "factor",
            1.05,
            8.0,
            "",
            "by how much it multiplies the magnification: factor = 2.0",
        ),
    ],
};

pub(in crate::workshop) static TELESCOPE: Grammar = Grammar {
    heading: "[[telescope]]",
    keys: &[
        key("name", Is::Text, "for example name = \"Linden\""),
        number(
            "aperture_mm",
            30.0,
            2000.0,
            "mm",
            "the clear aperture in mm: aperture_mm = 150",
        ),
        number(
            "focal_length_mm",
            60.0,
            60_000.0,
            "mm",
            "from the mirror to the focus in mm: focal_length_mm = 1200",
        ),
        number(
            "radius_of_curvature_mm",
            120.0,
            120_000.0,
            "mm",
            "from the mirror to its centre of curvature, twice the focal length: radius_of_curvature_mm = 2400",
        ),
        number(
            "sagitta_mm",
            0.01,
            250.0,
            "mm",
            "the depth of the middle below the rim: sagitta_mm = 1.17",
        ),
        key(
            "sagitta_gauges_mm",
            Is::List { most: 30 },
            "the feeler gauges that together fill the gap under a straightedge: sagitta_gauges_mm = [1.0, 0.15]",
        ),
        number(
            "sagitta_across_mm",
            20.0,
            2000.0,
            "mm",
            "the diameter over which the depth was measured, without it the clear aperture: sagitta_across_mm = 148",
        ),
        number(
            "sagitta_uncertainty_mm",
            0.001,
            1.0,
            "mm",
            "by how much the depth may be off: sagitta_uncertainty_mm = 0.02",
        ),
        number(
            "sun_image_mm",
            60.0,
            60_000.0,
            "mm",
            "from the wet disc to where the Sun's image is smallest: sun_image_mm = 1210",
        ),
        number(
            "planned_focal_length_mm",
            60.0,
            60_000.0,
            "mm",
            "what the grinding aims at, beside what was measured: planned_focal_length_mm = 1200",
        ),
        number(
            "secondary_mm",
            0.0,
            1000.0,
            "mm",
            "the minor axis of the diagonal, 0 if nothing obstructs: secondary_mm = 35",
        ),
        number(
            "spider_vane_mm",
            0.0,
            30.0,
            "mm",
            "the width of each of four vanes: spider_vane_mm = 1.0",
        ),
        key(
            "coating",
            Is::Word(&["silver", "aluminium"]),
            "coating = \"silver\" or coating = \"aluminium\"",
        ),
        number(
            "reflectivity",
            0.3,
            1.0,
            "",
            "the part of the light that each mirror returns, 1 being all of it: reflectivity = 0.92",
        ),
        key(
            "coated_on",
            Is::Date,
            "year-month-day without quotes: coated_on = 2026-10-03",
        ),
        number(
            "thickness_mm",
            3.0,
            300.0,
            "mm",
            "the thickness of the mirror: thickness_mm = 25",
        ),
        key(
            "glass",
            Is::Word(&["plate", "borosilicate"]),
            "glass = \"plate\" or glass = \"borosilicate\"",
        ),
        number(
            "pivot_height_m",
            0.05,
            5.0,
            "m",
            "the altitude pivot above the ground: pivot_height_m = 0.6",
        ),
        number(
            "pivot_to_eyepiece_m",
            0.05,
            20.0,
            "m",
            "along the tube: pivot_to_eyepiece_m = 0.55",
        ),
        key(
            "eyepieces",
            Is::List { most: 100 },
            "names in quotes: eyepieces = [\"25 mm\", \"10 mm\"]",
        ),
        key(
            "helper",
            Is::Word(&["new", "practised"]),
            "who stands at it on a public evening: helper = \"new\" or helper = \"practised\"",
        ),
        key(
            "station",
            Is::Text,
            "where it stands on a public evening: station = \"by the south wall\"",
        ),
        key(
            "low_eyepiece",
            Is::Flag,
            "low_eyepiece = true keeps it to what a seated eye reaches",
        ),
        key(
            "for_children",
            Is::Flag,
            "for_children = true keeps it to what is plain and low",
        ),
        key(
            "figure",
            Is::Table,
            "the figure stands under the heading [telescope.figure]; several, as the mirror was tested again, \
             each under [[telescope.figure]] with on_date",
        ),
    ],
};

/// The tests of one mirror.
pub(in crate::workshop) static FIGURES: Key = key(
    "telescope.figure",
    Is::List { most: 100 },
    "each test under [[telescope.figure]]",
);

/// Keys that go with every kind of figure.
pub(in crate::workshop) static EVERY_FIGURE: &[&str] = &["kind", "on_date", "star_test"];

/// A kind of figure and the keys that go with it beside those.
pub(in crate::workshop) static FIGURE_KINDS: &[(&str, &[&str])] = &[
    (
        "stated",
        &["peak_to_valley_waves", "rms_waves", "on", "wavelength_nm"],
    ),
    ("sphere", &[]),
    (
        "knife-edge",
        &[
            "source",
            "zones",
            "file",
            "reading_at",
            "unit",
            "edge",
            "edge_width_mm",
            "edge_depth_nm",
            "reading_error_mm",
        ],
    ),
    ("zernike", &["terms", "on"]),
    ("profile", &["points", "file", "on"]),
    (
        "bands-seen",
        &[
            "lines_per_mm",
            "offset_mm",
            "looked",
            "source",
            "least_bow_bands",
            "edge",
            "edge_width_mm",
            "edge_depth_nm",
        ],
    ),
];

pub(in crate::workshop) static FIGURE: Grammar = Grammar {
    heading: "[telescope.figure]",
    keys: &[
        key(
            "kind",
            Is::Word(&[
                "stated",
                "sphere",
                "knife-edge",
                "zernike",
                "profile",
                "bands-seen",
            ]),
            "kind is one of \"stated\", \"sphere\", \"knife-edge\", \"zernike\", \"profile\", \"bands-seen\"",
        ),
        key(
            "on_date",
            Is::Date,
            "the day of this test, without quotes: on_date = 2026-10-03",
        ),
        key(
            "star_test",
            Is::Word(&["alike", "bright-rim-inside", "hairy", "not-round"]),
            "a star inside and outside focus by equal amounts: star_test = \"alike\" if the rings are, \
             \"bright-rim-inside\" if the outermost is brighter inside, \"hairy\" or \"not-round\"",
        ),
        key(
            "on",
            Is::Word(&["surface", "wavefront"]),
            "on = \"surface\" for the height of the glass, on = \"wavefront\" for the path of the light: twice as much",
        ),
        number(
            "peak_to_valley_waves",
            0.0,
            20.0,
            "waves",
            "a quarter of a wave: peak_to_valley_waves = 0.25",
        ),
        number(
            "rms_waves",
            0.0,
            5.0,
            "waves",
            "for example rms_waves = 0.07",
        ),
        number(
            "wavelength_nm",
            350.0,
            800.0,
            "nm",
            "green light is 550 nm: wavelength_nm = 550",
        ),
        key(
            "source",
            Is::Word(&["fixed", "moving"]),
            "source = \"fixed\" if the lamp stands still, source = \"moving\" if it travels with the knife: \
             the readings differ by a factor of two",
        ),
        key(
            "reading_at",
            Is::Word(&["window", "middle"]),
            "reading_at = \"window\" if the whole opening was balanced, \"middle\" if its mid radius was",
        ),
        key(
            "unit",
            Is::Word(&["mm", "inch"]),
            "unit of the readings: unit = \"mm\" or unit = \"inch\"",
        ),
        key(
            "edge",
            Is::Word(&["sound", "turned"]),
            "what the bands or a star showed at the rim: edge = \"sound\" or edge = \"turned\"; \
             without the line, nobody looked",
        ),
        number(
            "edge_width_mm",
            0.2,
            1000.0,
            "mm",
            "how far from the rim a turned edge begins: edge_width_mm = 5",
        ),
        number(
            "edge_depth_nm",
            10.0,
            5000.0,
            "nm",
            "of glass missing at the very rim of a turned edge: edge_depth_nm = 250",
        ),
        number(
            "lines_per_mm",
            1.0,
            40.0,
            "lines a millimetre",
            "of the grating, a line and its gap counting once: lines_per_mm = 4",
        ),
        number(
            "offset_mm",
            -200.0,
            200.0,
            "mm",
            "of the grating from the centre of curvature, below 0 nearer the mirror: offset_mm = -6",
        ),
        key(
            "looked",
            Is::Word(&["straight", "like-paraboloid", "bowed-more", "bowed-less"]),
            "how the bands looked: looked = \"straight\", \"like-paraboloid\", or \"bowed-more\" or \"bowed-less\" \
             than a paraboloid's, which skyworthy bands draws",
        ),
        number(
            "least_bow_bands",
            0.02,
            1.0,
            "",
            "the least bow you would notice, a band and its gap being 1: least_bow_bands = 0.1",
        ),
        number(
            "reading_error_mm",
            0.005,
            1.0,
            "mm",
            "by how much one reading is usually off (standard error): reading_error_mm = 0.05",
        ),
        key(
            "zones",
            Is::List { most: 100 },
            "for example zones = [ { inner_mm = 0, outer_mm = 31, readings_mm = [0.00, 0.02] }, ... ]",
        ),
        key(
            "file",
            Is::Text,
            "a table beside the workshop file: file = \"linden.csv\"",
        ),
        key(
            "terms",
            Is::List { most: 2000 },
            "for example terms = [ { n = 4, m = 0, nm_rms = 35.0 } ]",
        ),
        key(
            "points",
            Is::List { most: 2000 },
            "pairs of radius (a fraction, 0 to 1) and error in nm: points = [[0.0, 0.0], [0.5, 12.0], [1.0, -40.0]]",
        ),
    ],
};

const READING_HINT: &str =
    "only differences between zones count: read in mm from any zero near the centre of curvature";

pub(in crate::workshop) static ZONE: Grammar = Grammar {
    heading: "zones",
    keys: &[
        number(
            "inner_mm",
            0.0,
            1000.0,
            "mm",
            "the inner edge of the window, from the middle of the mirror",
        ),
        number(
            "outer_mm",
            0.0,
            1000.0,
            "mm",
            "the outer edge of the window, from the middle of the mirror",
        ),
        number(
            "inner_inch",
            0.0,
            40.0,
            "inch",
            "the inner edge of the window, from the middle of the mirror",
        ),
        number(
            "outer_inch",
            0.0,
            40.0,
            "inch",
            "the outer edge of the window, from the middle of the mirror",
        ),
        key(
            "readings_mm",
            Is::List { most: 100 },
            "for example readings_mm = [0.61, 0.58, 0.60]",
        ),
        key(
            "readings_inch",
            Is::List { most: 100 },
            "for example readings_inch = [0.024, 0.023], with unit = \"inch\" in the figure",
        ),
    ],
};

/// One feeler gauge, or whatever of a known thickness lies in the gap.
pub(in crate::workshop) static GAUGE: Key = number(
    "gauge",
    0.01,
    100.0,
    "mm",
    "the thickness of one feeler gauge: 0.15",
);

/// One reading; an inch figure is checked after its conversion.
pub(in crate::workshop) static READING: Key = number("reading", -100.0, 100.0, "mm", READING_HINT);

pub(in crate::workshop) static TERM: Grammar = Grammar {
    heading: "terms",
    keys: &[
        key(
            "n",
            Is::Whole { low: 0, high: 60 },
            "the radial order: n = 4",
        ),
        key(
            "m",
            Is::Whole { low: -60, high: 60 },
            "the azimuthal order, from -n to n in steps of two: m = 0",
        ),
        number(
            "nm_rms",
            -20_000.0,
            20_000.0,
            "nm",
            "for example nm_rms = 35.0",
        ),
    ],
};

pub(in crate::workshop) static PROFILE_POINT: Grammar = Grammar {
    heading: "points",
    keys: &[
        number(
            "radius_fraction",
            0.0,
            1.0,
            "",
            "the middle is 0, the rim 1",
        ),
        number("error_nm", -50_000.0, 50_000.0, "nm", "for example 12.0"),
    ],
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_of_figure_reads_keys_that_exist() {
        let kinds: Vec<&str> = FIGURE_KINDS.iter().map(|(kind, _)| *kind).collect();
        let Is::Word(known) = FIGURE.key("kind").is else {
            panic!("a kind is a word")
        };
        let by_name = |kinds: &[&'static str]| {
            let mut sorted = kinds.to_vec();
            sorted.sort_unstable();
            sorted
        };
        assert_eq!(by_name(known), by_name(&kinds));
        let own = FIGURE_KINDS.iter().flat_map(|(_, names)| *names);
        for name in own.chain(EVERY_FIGURE) {
            FIGURE.key(name);
        }
    }

    #[test]
    fn ranges_are_the_right_way_round() {
        let all = [
            &SITE,
            &MARK,
            &SESSION,
            &SEEING_ARCSEC,
            &HORIZON_CORNER,
            &OBSERVER,
            &JUPITER,
            &EYEPIECE,
            &BARLOW,
            &TELESCOPE,
            &FIGURE,
            &ZONE,
        ];
        let ranges = all.iter().flat_map(|grammar| grammar.keys);
        let mut n_ranges = 0;
        for key in ranges {
            if let Is::Number { low, high, .. } = key.is {
                assert!(low < high, "{}", key.name);
                n_ranges += 1;
            }
        }
        assert!(n_ranges > 20, "{n_ranges}");
    }
}
