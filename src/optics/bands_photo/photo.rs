//! A photograph as light.

/// A picture of the mirror taken through the grating: how light each pixel is.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    /// Pixels across.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
    /// Row by row from the top, of the green channel as it was coded for display, 0 to 255.
    pub coded: Vec<u8>,
}

/// From here on a pixel may have been any lighter: 0.97 of the scale.
const BURNT_FROM: u8 = 248;

impl Photo {
    /// Light of a pixel, 0 to 1; coded as IEC 61966-2-1 has it.
    pub fn light(&self, x: usize, y: usize) -> f64 {
        LIGHT[usize::from(self.coded[y * self.width + x])]
    }

    /// Whether a pixel is as light as the scale goes.
    pub fn is_burnt(&self, x: usize, y: usize) -> bool {
        BURNT_FROM <= self.coded[y * self.width + x]
    }

    /// Light between pixels, whose middles stand at whole numbers; that of the nearest beyond the picture.
    pub fn light_at(&self, x: f64, y: f64) -> f64 {
        let x = x.clamp(0.0, (self.width - 1) as f64);
        let y = y.clamp(0.0, (self.height - 1) as f64);
        let (left, top) = (x.floor() as usize, y.floor() as usize);
        let (right, bottom) = (
            (left + 1).min(self.width - 1),
            (top + 1).min(self.height - 1),
        );
        let (across, down) = (x - left as f64, y - top as f64);
        let row = |y: usize| self.light(left, y) * (1.0 - across) + self.light(right, y) * across;
        row(top) * (1.0 - down) + row(bottom) * down
    }
}

/// Of each code.
static LIGHT: std::sync::LazyLock<[f64; 256]> = std::sync::LazyLock::new(|| {
    std::array::from_fn(|code| {
        let coded = code as f64 / 255.0;
        match coded <= 0.040_45 {
            true => coded / 12.92,
            false => ((coded + 0.055) / 1.055).powf(2.4),
        }
    })
});

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    /// IEC 61966-2-1: a code of half the scale is 0.2140 of the light.
    #[test]
    fn light_of_codes() {
        let photo = Photo {
            width: 2,
            height: 1,
            coded: vec![0, 255],
        };
        close("black", photo.light(0, 0), 0.0, 0.0);
        close("white", photo.light(1, 0), 1.0, 1e-12);
        close("between", photo.light_at(0.25, 0.0), 0.25, 1e-12);
        close("half", LIGHT[128], 0.2159, 5e-5);
        assert!(photo.is_burnt(1, 0) && !photo.is_burnt(0, 0));
    }
}
