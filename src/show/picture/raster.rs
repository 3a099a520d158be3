//! Grey pictures as PNG, on their own or inside a drawing.

/// Grey from 0 black to 255 white, row by row.
#[derive(Debug, Clone)]
pub(super) struct Grey {
    pub(super) width: usize,
    pub(super) height: usize,
    pub(super) pixels: Vec<u8>,
}

impl Grey {
    pub(super) fn white(width: usize, height: usize) -> Grey {
        Grey {
            width,
            height,
            pixels: vec![255; width * height],
        }
    }

    /// Lays another picture over this one; what hangs over the edge is cut off.
    pub(super) fn lay(&mut self, other: &Grey, (left, top): (usize, usize)) {
        let rows = other.pixels.chunks_exact(other.width);
        for (y, row) in (top..self.height).zip(rows) {
            for (x, pixel) in (left..self.width).zip(row) {
                self.pixels[y * self.width + x] = *pixel;
            }
        }
    }

    /// Darkens one pixel, if it is on the picture.
    pub(super) fn blacken(&mut self, x: usize, y: usize) {
        if x < self.width && y < self.height {
            self.pixels[y * self.width + x] = 0;
        }
    }

    /// Covers part of one pixel with black, if it is on the picture.
    pub(super) fn ink(&mut self, (x, y): (i64, i64), covered: f32) {
        let (Ok(x), Ok(y)) = (usize::try_from(x), usize::try_from(y)) else {
            return;
        };
        if x < self.width && y < self.height {
            let pixel = &mut self.pixels[y * self.width + x];
            *pixel = (f32::from(*pixel) * (1.0 - covered.clamp(0.0, 1.0))).round() as u8;
        }
    }

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

    /// For the `href` of an SVG image.
    pub(super) fn data_uri(&self) -> String {
        format!("data:image/png;base64,{}", base64(&self.png()))
    }
}

const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Six bits a letter, as RFC 4648 section 4 has it.
fn base64(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for triple in bytes.chunks(3) {
        let byte = |idx: usize| u32::from(triple.get(idx).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for letter in 0..4 {
            let digit = DIGITS[(bits >> (18 - 6 * letter) & 63) as usize];
            text.push(if letter <= triple.len() {
                char::from(digit)
            } else {
                '='
            });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_as_published() {
        // RFC 4648, section 10.
        for (bytes, want) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(base64(bytes.as_bytes()), want);
        }
    }
}
