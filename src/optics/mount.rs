//! Where the eyepiece is when the telescope points up.

/// The altitude pivot of a mount and what turns on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pivot {
    /// Above the ground, m.
    pub height_m: f64,
    /// From the pivot to the eyepiece, along the tube, m.
    pub to_eyepiece_m: f64,
}

impl Pivot {
    /// Height of the eyepiece above the ground with the telescope at an altitude, m.
    ///
    /// For an eyepiece that looks out level; one that looks up or down at the side of the tube is
    /// higher or lower by half the tube's width times the cosine. As good as the tape: 2 cm.
    pub fn eyepiece_height_m(self, altitude_deg: f64) -> f64 {
        self.height_m + self.to_eyepiece_m * altitude_deg.to_radians().sin()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By the law of sines, to the centimetre: a 150 mm f/8 and a 300 mm f/6 on low wooden mounts.
    #[test]
    fn heights_to_the_centimetre() {
        for (height_m, to_eyepiece_m, at_30_m, at_80_m) in
            [(0.60, 0.55, 0.88, 1.14), (0.50, 1.05, 1.03, 1.53)]
        {
            let pivot = Pivot {
                height_m,
                to_eyepiece_m,
            };
            // Half of the last digit, and rounding at it.
            assert!((pivot.eyepiece_height_m(30.0) - at_30_m).abs() < 0.0051);
            assert!((pivot.eyepiece_height_m(80.0) - at_80_m).abs() < 0.0051);
        }
    }
}
