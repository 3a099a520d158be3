//! What one mirror makes of a star: the figures of its image and the contrast it keeps.

use crate::constants::REFERENCE_WAVELENGTH_NM;
use crate::optics::mtf::Mtf;
use crate::optics::opening::Opening;
use crate::optics::pupil::BestFocus;
use crate::optics::resolution::FIRST_DARK_RING;
use crate::optics::wave::SAMPLES;
use crate::optics::wave::field::Field;
use crate::optics::wave::map::PathMap;
use crate::optics::wave::otf::Otf;
use crate::optics::wave::photopic::{Colour, colours};
use crate::optics::wave::radial::RadialOtf;
use crate::optics::wave::transform::Transform;
use crate::optics::wavefront::Wavefront;

/// The image of a star at the tilt and focus of the highest peak.
///
/// All but `photopic_mtf` in light of 550 nm. Good to 0.0005 for errors of up to a wave; see
/// `tests/it/wave.rs`. A wavefront wrong by many waves leaves numbers near 0 that say no more.
#[derive(Debug, Clone, PartialEq)]
pub struct StarImage {
    /// Contrast kept in daylight as the eye weighs it, mean over azimuth; frequencies are shares
    /// of the cutoff at 550 nm and end beyond it, where the shortest wavelength does.
    pub photopic_mtf: Mtf,
    /// Contrast kept, mean over azimuth.
    pub mtf: Mtf,
    /// Contrast kept in the direction where it is least.
    pub worst_mtf: Mtf,
    /// That direction, radians from `+x` toward `+y`, 0 to below pi.
    pub worst_azimuth_rad: f64,
    /// Share of the transmitted light inside the circle of the unobstructed aperture's first dark
    /// ring, 1.21967 wavelength times focal ratio, about the peak.
    pub encircled_energy_airy: f64,
    /// Full width at half the peak of the image's mean over azimuth, in units of wavelength times
    /// focal ratio (on the sky: wavelength over aperture); `None` for an image without a core,
    /// wider than five such units.
    pub fwhm_lambda_n: Option<f64>,
}

impl StarImage {
    /// Of a mirror behind its opening, seen where [`Wavefront::quality`] found the highest peak.
    pub fn new(wavefront: &Wavefront, opening: Opening, sharpest: BestFocus) -> StarImage {
        match wavefront {
            Wavefront::Perfect if opening.vane == 0.0 => StarImage::perfect(opening.obstruction),
            _ => {
                let map = PathMap::of(wavefront, SAMPLES);
                StarImage::of_field(&Field::new(&map, opening, sharpest))
            }
        }
    }

    /// Of any field of [`SAMPLES`] or another even number of pixels across.
    pub fn of_field(field: &Field) -> StarImage {
        let mut transform = Transform::new(field.samples());
        let green = Otf::of(&mut transform, field, REFERENCE_WAVELENGTH_NM);
        let of_colour = |colour: &Colour| {
            if colour.wavelength_nm == REFERENCE_WAVELENGTH_NM {
                green.radial().clone()
            } else {
                RadialOtf::of(&mut transform, field, colour.wavelength_nm)
            }
        };
        let by_colour: Vec<RadialOtf> = colours().iter().map(of_colour).collect();
        let photopic_mtf = Mtf::photopic(|colour, share| by_colour[colour].modulus(share));
        let worst_azimuth_rad = green.worst_azimuth_rad();
        let mean = green.radial();
        StarImage {
            photopic_mtf,
            mtf: Mtf::from_fn(|share| mean.modulus(share)),
            worst_mtf: Mtf::from_fn(|share| green.modulus(share, worst_azimuth_rad)),
            worst_azimuth_rad,
            encircled_energy_airy: mean.encircled_energy(FIRST_DARK_RING),
            fwhm_lambda_n: mean.fwhm_lambda_n(),
        }
    }

    /// Without error and without vanes, by the closed form.
    fn perfect(obstruction: f64) -> StarImage {
        let mtf = Mtf::annular(obstruction);
        let otf = RadialOtf::without_error(&mtf, SAMPLES);
        StarImage {
            photopic_mtf: mtf.in_daylight(),
            worst_mtf: mtf.clone(),
            worst_azimuth_rad: 0.0,
            encircled_energy_airy: otf.encircled_energy(FIRST_DARK_RING),
            fwhm_lambda_n: otf.fwhm_lambda_n(),
            mtf,
        }
    }
}

/// Contrast a mirror without error keeps behind that opening, in daylight as the eye weighs it.
pub fn perfect_photopic_mtf(opening: Opening) -> Mtf {
    if opening.vane == 0.0 {
        return Mtf::annular(opening.obstruction).in_daylight();
    }
    let field = Field::perfect(SAMPLES, opening);
    let otf = RadialOtf::of(
        &mut Transform::new(SAMPLES),
        &field,
        REFERENCE_WAVELENGTH_NM,
    );
    Mtf::photopic(|_, share| otf.modulus(share))
}

/// Contrast this mirror would keep with nothing in the way, in daylight as the eye weighs it.
///
/// Within 0.002: half the pixels across, as only comparisons need it.
pub fn unobstructed_photopic_mtf(wavefront: &Wavefront) -> Mtf {
    if *wavefront == Wavefront::Perfect {
        return perfect_photopic_mtf(Opening::FULL);
    }
    let sharpest = wavefront
        .quality(Opening::FULL, REFERENCE_WAVELENGTH_NM)
        .sharpest;
    let map = PathMap::of(wavefront, SAMPLES / 2);
    let field = Field::new(&map, Opening::FULL, sharpest);
    let mut transform = Transform::new(field.samples());
    let by_colour = colours().map(|c| RadialOtf::of(&mut transform, &field, c.wavelength_nm));
    Mtf::photopic(|colour, share| by_colour[colour].modulus(share))
}
