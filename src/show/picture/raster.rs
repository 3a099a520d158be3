//! Grey pictures as PNG.

use crate::plan::pictures::Star;

/// Grey from 0 black to 255 white, row by row.
pub(super) struct Grey {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) pixels: Vec<u8>,
}

impl Grey {
    pub(super) fn png(&self) -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width as u32, self.height as u32);
        encoder.set_color(png::ColorType::Grayscale);
        encoder.set_depth(png::BitDepth::Eight);
        let mut writer = encoder.write_header().expect("a Vec can be written to");
        writer
            .write_image_data(&self.pixels)
            .expect("the picture has as many pixels as it says");
        writer.finish().expect("a Vec can be written to");
        bytes
    }
}

/// Screen pixels for one of the star's.
const ZOOM: usize = 3;

/// White between the two stars.
const GAP: usize = 12;

/// The star this mirror shows, left, beside the perfect one's, right: white on black, the square root of
/// brightness so that the rings show.
pub fn star(star: &Star) -> Vec<u8> {
    let side = star.pixels * ZOOM;
    let width = 2 * side + GAP;
    let mut pixels = vec![255; width * side];
    for (image, left) in [(&star.this_mirror, 0), (&star.perfect, side + GAP)] {
        for y in 0..side {
            for x in 0..side {
                let brightness = image[(y / ZOOM) * star.pixels + x / ZOOM];
                let grey = (255.0 * brightness.clamp(0.0, 1.0).sqrt()).round() as u8;
                pixels[y * width + left + x] = grey;
            }
        }
    }
    Grey {
        width,
        height: side,
        pixels,
    }
    .png()
}
