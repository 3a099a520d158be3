//! What clear air does to light on its way down: dims it, lifts it, spreads its colours.
//!
//! Sources: Kasten & Young 1989 (airmass), Bennett 1982 and Saemundsson 1986 (refraction),
//! Filippenko 1982 (dispersion), the standard atmosphere (pressure).

use crate::units::{ARCMIN_PER_DEG, M_PER_KM, arcsec_from_rad};

/// Air at the telescope.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Station pressure (not reduced to the sea).
    pub pressure_hpa: f64,
    /// At the telescope.
    pub temperature_c: f64,
    /// Partial pressure of water vapour; 10 hPa is an ordinary mild evening.
    pub vapour_hpa: f64,
}

impl Air {
    /// Ordinary weather at that height: pressure of the standard atmosphere, half-damp air.
    /// A high or low changes the pressure by 2 %, and refraction with it.
    pub fn ordinary(elevation_m: f64, temperature_c: f64) -> Air {
        // Magnus's formula for saturation, halved.
        let saturated_hpa = 6.112 * (17.62 * temperature_c / (243.12 + temperature_c)).exp();
        Air {
            pressure_hpa: standard_pressure_hpa(elevation_m),
            temperature_c,
            vapour_hpa: 0.5 * saturated_hpa,
        }
    }
}

/// Pressure of the ICAO standard atmosphere, hPa, up to 11 km.
pub fn standard_pressure_hpa(elevation_m: f64) -> f64 {
    1013.25 * (1.0 - 0.0065 * elevation_m / 288.15).powf(5.255_88)
}

/// Air between us and space in units of that overhead, for an apparent altitude of 0 to 90
/// degrees; `None` below the horizon.
///
/// Kasten & Young 1989, within 0.07 % of their integration for 10 degrees and up, 0.5 % at the
/// horizon.
pub fn airmass(apparent_altitude_deg: f64) -> Option<f64> {
    let h = apparent_altitude_deg;
    let x = 1.0 / (h.to_radians().sin() + 0.50572 * (h + 6.07995).powf(-1.6364));
    (0.0..=90.0).contains(&h).then_some(x)
}

/// Dust and haze overhead at the sea on a clear night, V magnitudes; 0.05 washed clean, 0.25 hazy.
/// From memory of published site surveys.
pub const CLEAR_NIGHT_HAZE_MAG: f64 = 0.12;

/// Light lost in V, magnitudes per airmass, at that height for a haze at the sea of `haze_mag`:
/// air molecules (scale height 8.2 km), ozone (above us all), haze (1.5 km). About 0.25 at the sea
/// on a clear night, 0.13 at 2.5 km.
pub fn extinction_mag_per_airmass(elevation_m: f64, haze_mag: f64) -> f64 {
    let km = elevation_m / M_PER_KM;
    0.1066 * (-km / 8.2).exp() + 0.031 + haze_mag * (-km / 1.5).exp()
}

/// Lowest altitude the refraction formulas are used for, degrees.
const LOWEST_REFRACTED_DEG: f64 = -1.0;

/// How much higher than it is a light appears, from where it *appears*, arcminutes.
///
/// Bennett 1982, within 0.07' of a full integration at any altitude in ordinary weather; the last
/// degree above the horizon varies by several arcminutes with the weather. `None` under -1 degree.
pub fn refraction_of_apparent_arcmin(apparent_altitude_deg: f64, air: &Air) -> Option<f64> {
    let h = apparent_altitude_deg;
    let angle = (h + 7.31 / (h + 4.4)).to_radians();
    (h >= LOWEST_REFRACTED_DEG).then(|| density(air) / angle.tan())
}

/// The same from where it *is* (geometric altitude), arcminutes.
///
/// Saemundsson 1986, consistent with Bennett to 0.1'. `None` under -1 degree.
pub fn refraction_of_true_arcmin(true_altitude_deg: f64, air: &Air) -> Option<f64> {
    let h = true_altitude_deg;
    let angle = (h + 10.3 / (h + 5.11)).to_radians();
    (h >= LOWEST_REFRACTED_DEG).then(|| 1.02 * density(air) / angle.tan())
}

/// Density of the air against that both formulas were made for.
/// Altitude with refraction, degrees, at a place of that elevation on a night of 10 degrees Celsius;
/// unchanged below -1 degree.
pub fn refracted_altitude_deg(true_altitude_deg: f64, elevation_m: f64) -> f64 {
    let air = Air::ordinary(elevation_m, ORDINARY_NIGHT_C);
    let lift_arcmin = refraction_of_true_arcmin(true_altitude_deg, &air).unwrap_or(0.0);
    true_altitude_deg + lift_arcmin / ARCMIN_PER_DEG
}

/// The temperature for which refraction tables are made.
const ORDINARY_NIGHT_C: f64 = 10.0;

fn density(air: &Air) -> f64 {
    air.pressure_hpa / 1010.0 * 283.0 / (273.0 + air.temperature_c)
}

/// Two colours, the ends of a band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Short end.
    pub blue_nm: f64,
    /// Long end.
    pub red_nm: f64,
}

/// Most of what the eye uses of a planet's light; its middle weighs most.
pub const VISUAL_BAND: Band = Band {
    blue_nm: 450.0,
    red_nm: 650.0,
};

/// How much higher blue light appears than red, arcseconds, at that *true* altitude above some 10
/// degrees (plane-parallel air).
///
/// Filippenko 1982. 0.5" for the visual band at 60 degrees, 1.5" at 30, 2.4" at 20.
pub fn dispersion_arcsec(altitude_deg: f64, band: &Band, air: &Air) -> f64 {
    let spread = refractivity(band.blue_nm, air) - refractivity(band.red_nm, air);
    arcsec_from_rad(spread) / altitude_deg.to_radians().tan()
}

/// Refractive index of air less 1 (Edlén 1953 and Barrell 1951 as Filippenko 1982 gives them).
fn refractivity(wavelength_nm: f64, air: &Air) -> f64 {
    let s = (1000.0 / wavelength_nm).powi(2);
    let p = air.pressure_hpa / HPA_PER_MMHG;
    let vapour = air.vapour_hpa / HPA_PER_MMHG;
    let t = air.temperature_c;
    let warm = 1.0 + 0.003661 * t;
    let standard = 64.328 + 29498.1 / (146.0 - s) + 255.4 / (41.0 - s);
    let dry = standard * p * (1.0 + (1.049 - 0.0157 * t) * 1e-6 * p) / (720.883 * warm);
    1e-6 * (dry - vapour * (0.0624 - 0.00068 * s) / warm)
}

const HPA_PER_MMHG: f64 = 1.333_224;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::close;

    /// What both refraction formulas are stated for.
    const TABLE_AIR: Air = Air {
        pressure_hpa: 1010.0,
        temperature_c: 10.0,
        vapour_hpa: 0.0,
    };

    #[test]
    fn airmass_as_kasten_and_young() {
        let rows = [
            (90.0, 0.9997, 5e-5),
            (60.0, 1.154, 5e-4),
            (30.0, 1.9943, 5e-5),
            (20.0, 2.9031, 5e-5),
            (10.0, 5.586, 5e-4),
            (5.0, 10.306, 5e-4),
            (0.0, 37.92, 5e-3),
        ]; // their table, from memory
        for (altitude_deg, want, tolerance) in rows {
            close("airmass", airmass(altitude_deg).unwrap(), want, tolerance);
        }
        assert_eq!(airmass(-0.1), None);
        assert_eq!(airmass(f64::NAN), None);
    }

    #[test]
    fn extinction_by_height() {
        // Ordinary values of clear sites, from memory.
        close(
            "sea",
            extinction_mag_per_airmass(0.0, CLEAR_NIGHT_HAZE_MAG),
            0.25,
            0.01,
        );
        close(
            "2.5 km",
            extinction_mag_per_airmass(2500.0, CLEAR_NIGHT_HAZE_MAG),
            0.13,
            0.01,
        );
        // Cerro Paranal, 2635 m, k_V = 0.13 in the mean (from memory).
        close(
            "2.6 km",
            extinction_mag_per_airmass(2635.0, CLEAR_NIGHT_HAZE_MAG),
            0.13,
            0.01,
        );
    }

    #[test]
    fn refraction_as_tabulated() {
        let apparent = |h| refraction_of_apparent_arcmin(h, &TABLE_AIR).unwrap();
        // Mean refraction of the almanacs, 1010 hPa and 10 °C: 34.5' at the horizon, 5.3' to 5.4' at
        // 10 degrees, 1.0' at 45 (from memory); Bennett's own figures to their last digit.
        close("0", apparent(0.0), 34.5, 0.05);
        close("10", apparent(10.0), 5.39, 0.005);
        close("45", apparent(45.0), 0.995, 0.0005);
        close("90", apparent(90.0), 0.0, 0.002);
        let real = |h| refraction_of_true_arcmin(h, &TABLE_AIR).unwrap();
        close("0", real(0.0), 28.98, 0.005);
        close("10", real(10.0), 5.41, 0.005);
        close("45", real(45.0), 1.013, 0.0005);
        // The Sun's rim on the sea: 34' by convention, from the geometric side.
        close("-34.5'", real(-34.5 / 60.0), 34.5, 0.5);
        assert_eq!(refraction_of_true_arcmin(-3.0, &TABLE_AIR), None);
    }

    #[test]
    fn the_two_refractions_are_each_others_inverse() {
        for tenths in 0..=900 {
            let apparent_deg = f64::from(tenths) / 10.0;
            let down = refraction_of_apparent_arcmin(apparent_deg, &TABLE_AIR).unwrap();
            let up = refraction_of_true_arcmin(apparent_deg - down / 60.0, &TABLE_AIR).unwrap();
            close("both ways", up, down, 0.1); // Saemundsson's stated consistency
        }
    }

    #[test]
    fn pressure_of_the_standard_atmosphere() {
        // ICAO Doc 7488, geopotential heights (from memory).
        close("0 m", standard_pressure_hpa(0.0), 1013.25, 0.005);
        close("1000 m", standard_pressure_hpa(1000.0), 898.76, 0.05);
        close("3000 m", standard_pressure_hpa(3000.0), 701.1, 0.05);
    }

    #[test]
    fn dispersion_as_filippenko() {
        // His table: sec z = 1.5, relative to 500 nm, at 600 mmHg, 7 °C, 8 mmHg of vapour.
        let air = Air {
            pressure_hpa: 600.0 * HPA_PER_MMHG,
            temperature_c: 7.0,
            vapour_hpa: 8.0 * HPA_PER_MMHG,
        };
        let against_green = |wavelength_nm, airmass: f64| {
            let altitude_deg = (1.0 / airmass).asin().to_degrees();
            dispersion_arcsec(
                altitude_deg,
                &Band {
                    blue_nm: wavelength_nm,
                    red_nm: 500.0,
                },
                &air,
            )
        };
        let row = [
            (300.0, 2.37),
            (350.0, 1.34),
            (400.0, 0.71),
            (450.0, 0.29),
            (550.0, -0.21),
            (600.0, -0.37),
            (650.0, -0.50),
            (700.0, -0.60),
        ];
        for (wavelength_nm, want) in row {
            close("1.5", against_green(wavelength_nm, 1.5), want, 0.0051);
        }
        for (wavelength_nm, want) in [(350.0, 3.40), (400.0, 1.80), (600.0, -0.95), (700.0, -1.51)]
        {
            close("3", against_green(wavelength_nm, 3.0), want, 0.0051);
        }
    }

    #[test]
    fn colours_of_a_low_planet() {
        let sea = Air::ordinary(0.0, 10.0);
        for (altitude_deg, want) in [(60.0, 0.50), (30.0, 1.51), (20.0, 2.40)] {
            // an independent evaluation for standard air; weather moves it by 2 %
            let got = dispersion_arcsec(altitude_deg, &VISUAL_BAND, &sea);
            close("visual", got, want, 0.03 * want);
        }
    }
}
