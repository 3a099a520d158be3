//! Ground floor, for tests alone: how a number is compared with a published one.

/// Fails where a number is farther from the wanted one than that.
#[track_caller]
pub fn close(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "{what}: want {want} ± {tolerance}, got {got}"
    );
}

/// A random public evening: the text of its workshop file and what is asked.
#[derive(Debug, Clone)]
pub struct RandomEvening {
    /// As it would stand in a file.
    pub toml: String,
    /// The local date on which it begins.
    pub on: String,
    /// Its hours.
    pub window: String,
    /// People expected.
    pub visitors: u32,
}

/// Evenings over four latitudes, one to seven telescopes, with and without an hour at which people meet. The same number draws
/// the same evening.
pub fn evening(number: u64) -> RandomEvening {
    let mut dice = Dice(number.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let latitude_deg = [19.4, 52.1, 60.2, -34.0][number as usize % 4];
    let begin = 18 * 60 + 15 * dice.below(12);
    let end = begin + 90 + 15 * dice.below(9);
    let gather = match dice.below(2) {
        0 => String::new(),
        _ => format!("gather = \"{}\"\n", hour(begin - 5 * dice.below(20))),
    };
    let arrive = ["together", "over-time"][dice.below(2) as usize];
    let mut toml = format!(
        "[session]\narrive = \"{arrive}\"\nseconds_per_look = {}\nminimum_stay_minutes = {}\nmost_changes = {}\n{gather}\
         [site]\nlatitude_deg = {latitude_deg}\nlongitude_deg = 0\ntime_zone = \"Etc/UTC\"\n\
         faintest_star_mag = {}.0\nhorizon = [[0, {}], [180, {}]]\n",
        40 + 5 * dice.below(5),
        15 + 15 * dice.below(3),
        dice.below(5),
        3 + dice.below(3),
        5 + dice.below(25),
        5 + dice.below(25),
    );
    for idx in 0..=dice.below(7) {
        let aperture_mm = [76, 114, 130, 150, 203, 254, 305][dice.below(7) as usize];
        let focal_length_mm = aperture_mm * (4 + dice.below(5));
        toml += &format!(
            "[[telescope]]\nname = \"T{idx}\"\naperture_mm = {aperture_mm}\nfocal_length_mm = {focal_length_mm}\nhelper = \"{}\"\n{}",
            ["new", "practised"][dice.below(2) as usize],
            match dice.below(3) {
                0 => String::new(),
                _ => format!("thickness_mm = {}\n", 12 + dice.below(35)),
            }
        );
        if dice.below(3) == 0 {
            toml += "[telescope.figure]\nkind = \"stated\"\npeak_to_valley_waves = 0.7\non = \"wavefront\"\n";
        }
    }
    let (month, day) = (1 + dice.below(12), 1 + dice.below(28));
    RandomEvening {
        toml,
        on: format!("{}-{month:02}-{day:02}", 2026 + dice.below(5)),
        window: format!("{}-{}", hour(begin), hour(end)),
        visitors: 5 + dice.below(200) as u32,
    }
}

fn hour(minutes: u64) -> String {
    format!("{:02}:{:02}", minutes / 60 % 24, minutes % 60)
}

/// Numbers as if by chance: the same seed, the same numbers (xorshift64*).
#[derive(Debug, Clone)]
pub struct Dice(pub u64);

impl Dice {
    /// From 0, below 1.
    pub fn share(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A whole number from 0, below that.
    pub fn below(&mut self, many: u64) -> u64 {
        (self.share() * many as f64) as u64
    }
}
