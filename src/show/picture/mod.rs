//! Pictures of a mirror, of a night, of dates: black on white, legible in grey, every curve named beside it.

mod axis;

mod chart;

mod lettering;

pub mod raster;

mod marks;

mod placing;

mod contrast;

mod profile;

mod readings;

mod star;

mod star_test;

mod history;

pub mod bands;

pub mod mask;

pub mod dates;

pub mod night;

use crate::plan::pictures::{DrawnFrom, Pictures};

pub use self::contrast::contrast;
pub use self::history::history;
pub use self::profile::{glass_and_notes, surface, wavefront};
pub use self::readings::readings;
pub use self::star::star;
pub use self::star_test::star_test;

/// A picture and the end of the name of its file.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// `surface.svg`, to be put behind whatever tells mirrors apart.
    pub file: &'static str,
    /// The file.
    pub svg: String,
}

/// All pictures there are of a mirror.
pub fn all(pictures: &Pictures) -> Vec<Drawn> {
    let subject = &pictures.subject;
    let mut all = Vec::new();
    let mut add = |file, svg| all.push(Drawn { file, svg });
    if let Some(profile) = &pictures.profile {
        add("surface.svg", surface(subject, profile));
        add("wavefront.svg", wavefront(subject, profile));
    }
    if !pictures.readings.is_empty() {
        add("readings.svg", readings(subject, &pictures.readings));
    }
    add("contrast.svg", contrast(subject, &pictures.contrast));
    add("star.svg", star(subject, &pictures.star));
    add("star-test.svg", star_test(subject, &pictures.star_test));
    if !pictures.history.is_empty() {
        add("history.svg", history(subject, &pictures.history));
    }
    all
}

/// What to say of a figure that nobody measured; nothing otherwise.
fn caveat(basis: DrawnFrom) -> &'static str {
    match basis {
        DrawnFrom::Measured => "",
        DrawnFrom::OneNumber => "; from one stated number, shape assumed",
        DrawnFrom::Nothing => "; figure not given, drawn as if perfect",
    }
}
