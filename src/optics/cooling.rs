//! How long a warm mirror takes to the temperature of the night air.
//!
//! A slab of glass, heat flowing through its thickness only and from its faces to the air at a rate
//! proportional to the difference: the classical series (Carslaw & Jaeger, *Conduction of Heat in
//! Solids*, slab with radiation at its surface). The arithmetic is exact to 1e-6; what is not known is
//! the air at the faces, and with it every time here is good to about a third. The edge is left out:
//! small thick mirrors are faster.
//!
//! And what its warmth does to the image meanwhile: see [`mirror_seeing_arcsec`].

use crate::tables;
use crate::units::{MM_PER_M, SECONDS_PER_HOUR, SECONDS_PER_MINUTE};
use crate::workshop::Glass;
use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

/// Heat that a face gives to still air for each degree, radiation included: 5 to 10 W/m2K, from
/// memory.
pub const STILL_AIR_W_M2K: f64 = 8.0;

/// The same in the draught of a fan: 15 to 25 W/m2K, from memory.
pub const FAN_W_M2K: f64 = 20.0;

/// How much warmer than the air a mirror is borne, K: 1 degree turns 1.2" air into 1.3", 3 degrees into 2.1" (see
/// [`mirror_seeing_arcsec`]). That one degree is the line is common practice, no source.
pub const BORNE_LAG_K: f64 = 1.0;

/// How much warmer than the night a mirror comes out of the house, K: common practice, no source.
pub const USUAL_START_K: f64 = 10.0;

/// Width that a mirror one degree warmer than the air gives a star, arcseconds: 0.40 (Racine et al. 1991, PASP 103, 1020).
const ARCSEC_AT_ONE_K: f64 = 0.40;

/// With which power of the difference that grows: of air that rises freely from a warm face (the same; Zago 1995).
const MIRROR_SEEING_POWER: f64 = 1.2;

/// Full width at half maximum, at 550 nm, of a star through the air that a warm mirror stirs in front of itself, arcseconds; 0 for
/// one that is not warmer than the air.
///
/// Racine et al. 1991 measured it over 25 nights on 3.6 m, for differences of a few degrees. Zago (thesis, Lausanne 1995, on
/// mirrors in free convection) laid laboratory mirrors beside it: for them too the power is 1.2, the size of the mirror does
/// hardly matter, and experiments differ by about 25 %. Above some five degrees it is carried on beyond what was
/// measured at a telescope. A breeze or a fan over the face makes it smaller: not reckoned with.
pub fn mirror_seeing_arcsec(warmer_k: f64) -> f64 {
    ARCSEC_AT_ONE_K * warmer_k.max(0.0).powf(MIRROR_SEEING_POWER)
}

/// Two layers of stirred air one behind the other: their widths add in powers of 5/3, as those of turbulence do.
pub fn through_both_arcsec(one_arcsec: f64, other_arcsec: f64) -> f64 {
    let power = 5.0 / 3.0;
    (one_arcsec.powf(power) + other_arcsec.powf(power)).powf(1.0 / power)
}

/// What glass does with heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Conductivity, W/(m K).
    pub conductivity_w_mk: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Heat capacity, J/(kg K).
    pub heat_capacity_j_kgk: f64,
}

/// Of the blank, from data/glasses.tsv: within 5 to 10 % of any glass sold under that name.
pub fn material(glass: Glass) -> Material {
    let name = match glass {
        Glass::Plate => "plate",
        Glass::Borosilicate => "borosilicate",
    };
    let row = (ROWS.iter().find(|row| row.glass == name)).expect("a test asks for both");
    Material {
        conductivity_w_mk: row.conductivity_w_mk,
        density_kg_m3: row.density_kg_m3,
        heat_capacity_j_kgk: row.heat_capacity_j_kgk,
    }
}

/// Which faces the air reaches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Faces {
    /// The front; the back is closed in by its cell.
    Front,
    /// Front and back alike.
    Both,
}

/// A mirror as a slab in the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slab {
    /// Its thickness, mm.
    pub thickness_mm: f64,
    /// Its glass.
    pub material: Material,
    /// Where it cools.
    pub faces: Faces,
    /// Heat given to the air by each such face for each degree, W/(m2 K).
    pub film_w_m2k: f64,
}

impl Slab {
    /// Resistance of the glass against that of the air at its face, without unit.
    pub fn biot(self) -> f64 {
        self.film_w_m2k * self.depth_m() / self.material.conductivity_w_mk
    }

    /// Time in which the slowest part of the difference falls to 1/e, minutes.
    pub fn slowest_time_min(self) -> f64 {
        self.minutes_per_unit() / root(self.biot(), 0).powi(2)
    }

    /// What is left of the first difference at the front after a time, 1 to 0.
    pub fn front_share(self, minutes: f64) -> f64 {
        let (biot, time) = (self.biot(), minutes / self.minutes_per_unit());
        (0..TERMS)
            .map(|idx| {
                let root = root(biot, idx);
                let twice = (2.0 * root).sin();
                2.0 * twice / (2.0 * root + twice) * (-root * root * time).exp()
            })
            .sum()
    }

    /// Time until the front is within `lag_k` of air that was `start_k` colder, minutes; 0 where
    /// it is from the start.
    pub fn minutes_until(self, lag_k: f64, start_k: f64) -> f64 {
        let share = lag_k / start_k;
        if start_k <= lag_k {
            return 0.0;
        }
        // The slowest term alone is never above the whole, and at time 0 the whole is 1.
        let (mut early, mut late) = (0.0, self.slowest_time_min());
        while self.front_share(late) > share {
            (early, late) = (late, 2.0 * late);
        }
        while late - early > MINUTES_APART {
            let middle = 0.5 * (early + late);
            if self.front_share(middle) > share {
                early = middle;
            } else {
                late = middle;
            }
        }
        late
    }

    /// How far the front stays behind air that cools steadily, K: what no waiting brings down.
    pub fn lag_in_falling_air_k(self, fall_k_per_hour: f64) -> f64 {
        let heat_j_m2k =
            self.material.density_kg_m3 * self.material.heat_capacity_j_kgk * self.depth_m();
        heat_j_m2k / self.film_w_m2k * fall_k_per_hour / SECONDS_PER_HOUR
    }

    /// From a cooling face to where no heat flows, m.
    fn depth_m(self) -> f64 {
        let faces = match self.faces {
            Faces::Front => 1.0,
            Faces::Both => 2.0,
        };
        self.thickness_mm / MM_PER_M / faces
    }

    /// Depth squared over diffusivity, minutes.
    fn minutes_per_unit(self) -> f64 {
        let material = self.material;
        let diffusivity_m2_s =
            material.conductivity_w_mk / (material.density_kg_m3 * material.heat_capacity_j_kgk);
        self.depth_m().powi(2) / diffusivity_m2_s / SECONDS_PER_MINUTE
    }
}

/// The root of `x tan x = biot` in the branch that begins at `idx` half turns; bisection, since the
/// tangent has a pole at the other end.
fn root(biot: f64, idx: usize) -> f64 {
    let start = idx as f64 * PI;
    let (mut low, mut high) = (0.0, FRAC_PI_2);
    for _ in 0..BISECTIONS {
        let middle: f64 = 0.5 * (low + high);
        if (start + middle) * middle.sin() < biot * middle.cos() {
            low = middle;
        } else {
            high = middle;
        }
    }
    start + 0.5 * (low + high)
}

/// One row of data/glasses.tsv.
#[derive(Debug, Clone, PartialEq, serde::Deserialize)]
struct GlassRow {
    glass: String,
    conductivity_w_mk: f64,
    density_kg_m3: f64,
    heat_capacity_j_kgk: f64,
    basis: String,
}

static ROWS: LazyLock<Vec<GlassRow>> =
    LazyLock::new(|| tables::rows(include_str!("../../data/glasses.tsv")));

/// Only the first seconds need more.
const TERMS: usize = 12;
const BISECTIONS: usize = 52;
/// A hundredth of a second.
const MINUTES_APART: f64 = 1e-4;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    /// The borosilicate of the table's row.
    const BOROSILICATE: Material = Material {
        conductivity_w_mk: 1.13,
        density_kg_m3: 2230.0,
        heat_capacity_j_kgk: 830.0,
    };

    /// Finite differences through the thickness, computed apart from this project: minutes from 10
    /// to 1 degree, and degrees left after an hour. Half the last digit, and for the times what the
    /// two ways differ by there.
    #[test]
    fn cooling_as_finite_differences_have_it() {
        use Faces::{Both, Front};
        for (thickness_mm, film_w_m2k, faces, minutes, after_an_hour_k) in [
            (25.0, 8.0, Both, 112.83, 2.8987),
            (25.0, 8.0, Front, 229.23, 5.2417),
            (40.0, 8.0, Both, 182.27, 4.5404),
            (40.0, 8.0, Front, 373.50, 6.3878),
            (19.0, 8.0, Both, 85.43, 1.9707),
            (25.0, 20.0, Both, 46.20, 0.5138),
            (25.0, 20.0, Front, 95.83, 2.2405),
        ] {
            let slab = Slab {
                thickness_mm,
                material: BOROSILICATE,
                faces,
                film_w_m2k,
            };
            close("minutes", slab.minutes_until(1.0, 10.0), minutes, 0.035);
            // The differences step in time: 0.05 % of the whole.
            close(
                "after an hour",
                10.0 * slab.front_share(60.0),
                after_an_hour_k,
                5e-3,
            );
        }
    }

    /// Biot number and slowest time of the same mirrors, by hand.
    #[test]
    fn slowest_part_of_the_difference() {
        for (thickness_mm, faces, biot, minutes) in [
            (25.0, Faces::Both, 0.0885, 49.63),
            (25.0, Faces::Front, 0.1770, 102.15),
            (40.0, Faces::Both, 0.1416, 80.79),
            (19.0, Faces::Both, 0.0673, 37.46),
        ] {
            let slab = Slab {
                thickness_mm,
                material: BOROSILICATE,
                faces,
                film_w_m2k: STILL_AIR_W_M2K,
            };
            close("Biot", slab.biot(), biot, 5e-5);
            close("slowest", slab.slowest_time_min(), minutes, 5e-3);
        }
    }

    /// Tables of the slab (Carslaw & Jaeger; any book on heat): first and second root.
    #[test]
    fn roots_as_tabulated() {
        for (biot, first, second) in [
            (0.1, 0.3111, 3.1731),
            (1.0, 0.8603, 3.4256),
            (10.0, 1.4289, 4.3058),
        ] {
            close("first", root(biot, 0), first, 5e-5);
            close("second", root(biot, 1), second, 5e-5);
        }
    }

    /// By hand: 3^1.2 is 3.737; 1.2^(5/3) is 1.355 and 0.4^(5/3) 0.217, and 1.572^(3/5) is 1.312.
    #[test]
    fn a_warm_mirror_widens_stars() {
        close("one degree", mirror_seeing_arcsec(1.0), 0.40, 1e-12);
        close("three", mirror_seeing_arcsec(3.0), 1.495, 5e-4);
        assert_eq!(mirror_seeing_arcsec(-2.0), 0.0);
        close("1.2 in", through_both_arcsec(1.2, 0.4), 1.312, 1e-3);
        assert_eq!(through_both_arcsec(2.0, 0.0), 2.0);
    }

    #[test]
    fn begins_whole_and_needs_no_time_where_there_is_nothing_to_lose() {
        let slab = Slab {
            thickness_mm: 25.0,
            material: material(Glass::Plate),
            faces: Faces::Both,
            film_w_m2k: STILL_AIR_W_M2K,
        };
        // The terms left out fall as 1/n^2.
        close("start", slab.front_share(0.0), 1.0, 2e-2);
        assert_eq!(slab.minutes_until(1.0, 0.5), 0.0);
        // Lumped: density x heat capacity x half the thickness / film, 52 minutes.
        close("lag", slab.lag_in_falling_air_k(1.0), 52.08 / 60.0, 5e-4);
    }

    #[test]
    fn every_row_is_a_glass_and_tells_its_basis() {
        for row in ROWS.iter() {
            assert!((0.5..2.0).contains(&row.conductivity_w_mk), "{row:?}");
            assert!((2000.0..3000.0).contains(&row.density_kg_m3), "{row:?}");
            assert!(
                (600.0..1000.0).contains(&row.heat_capacity_j_kgk),
                "{row:?}"
            );
            assert!(!row.basis.is_empty(), "{row:?}");
        }
        assert_eq!(material(Glass::Borosilicate), BOROSILICATE);
        assert_eq!(material(Glass::Plate).density_kg_m3, 2500.0);
        assert_eq!(ROWS.len(), 2);
    }
}
