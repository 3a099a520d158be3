//! One mirror, from its wavefront to image and contrast, by the name a user would give the job.
//!
//! `benches/mirror_reference.py` does `images_and_mtfs_in_five_colours` in numpy and scipy.

use divan::{Bencher, black_box};
use skyworthy::optics::opening::Opening;
use skyworthy::optics::pupil::BestFocus;
use skyworthy::optics::wave::photopic::colours;
use skyworthy::optics::wave::radial::RadialOtf;
use skyworthy::optics::wave::{Field, PathMap, SAMPLES, StarImage, Transform};
use skyworthy::optics::wavefront::{Wavefront, WavefrontTerm};

fn main() {
    divan::main();
}

const OPENING: Opening = Opening {
    obstruction: 0.2,
    vane: 0.0067,
};

/// Spherical aberration, and coma or not.
fn wavefront(coma_nm: f64) -> Wavefront {
    let terms = [(4, 0, 27.0), (3, 1, coma_nm)]
        .into_iter()
        .map(|(n, m, wavefront_nm)| WavefrontTerm { n, m, wavefront_nm });
    Wavefront::Terms(terms.filter(|term| term.wavefront_nm != 0.0).collect())
}

fn five_colours(transform: &mut Transform, field: &Field) -> Vec<RadialOtf> {
    colours()
        .iter()
        .map(|colour| RadialOtf::of(transform, field, colour.wavelength_nm))
        .collect()
}

/// 512 pixels padded to 1024; a mirror without symmetry.
#[divan::bench(sample_count = 15)]
fn images_and_mtfs_in_five_colours(bencher: Bencher) {
    let map = PathMap::of(&wavefront(14.0), SAMPLES);
    let field = Field::new(&map, OPENING, BestFocus::default());
    let mut transform = Transform::new(SAMPLES);
    bencher.bench_local(|| five_colours(&mut transform, black_box(&field)));
}

/// The same for the usual mirror, alike all around.
#[divan::bench(sample_count = 15)]
fn images_and_mtfs_of_a_symmetric_mirror(bencher: Bencher) {
    let map = PathMap::of(&wavefront(0.0), SAMPLES);
    let field = Field::new(&map, OPENING, BestFocus::default());
    let mut transform = Transform::new(SAMPLES);
    bencher.bench_local(|| five_colours(&mut transform, black_box(&field)));
}

/// All of it, from the wavefront to figures and curves.
#[divan::bench(sample_count = 15, args = [0.0, 14.0])]
fn one_mirror_from_wavefront_to_mtf(bencher: Bencher, coma_nm: f64) {
    let wavefront = wavefront(coma_nm);
    bencher.bench_local(|| {
        let quality = black_box(&wavefront).quality(OPENING, 550.0);
        StarImage::new(&wavefront, OPENING, quality.sharpest)
    });
}
