//! Density and viscosity of fresh and sea water at the surface's pressure.
//!
//! **Assumed:** clean water without bubbles. Pressure is left out: ten metres of depth add 0.005 %.
//! **Range:** 0 to 40 °C, practical salinity 0 to 42.
//! **Uncertainty:** the formulas are good to 0.001 % (fresh) and 0.002 % (sea). A pond is not pure: what
//! is dissolved and stirred up in it adds up to about 0.1 % (common practice, no source).

use super::domain::{DomainError, within};
use super::radio::SiemensPerMetre;
use super::units::{Celsius, KgPerM3, PascalSeconds};

/// Water that a model sails in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Water {
    temperature: Celsius,
    salinity: f64,
}

impl Water {
    /// Fresh water.
    ///
    /// # Errors
    /// A temperature outside 0 to 40 °C.
    pub fn fresh(temperature: Celsius) -> Result<Self, DomainError> {
        Self::sea(temperature, 0.0)
    }

    /// Water of a practical salinity: 35 is the ocean, about 7 the Baltic, 0 fresh. One unit is very
    /// nearly one gram of salt in a kilogram of water.
    ///
    /// # Errors
    /// A temperature outside 0 to 40 °C, a salinity outside 0 to 42.
    pub fn sea(temperature: Celsius, salinity: f64) -> Result<Self, DomainError> {
        within("water temperature", temperature.0, 0.0, 40.0, Celsius::SIGN)?;
        within("salinity", salinity, 0.0, 42.0, "g/kg")?;
        Ok(Self { temperature, salinity })
    }

    /// Its practical salinity.
    pub fn salinity(self) -> f64 {
        self.salinity
    }

    /// The temperature it was made with.
    pub fn temperature(self) -> Celsius {
        self.temperature
    }

    /// Density at one atmosphere.
    ///
    /// Fresh: Tanaka and others, Metrologia 38:301 (2001), recommended by the CIPM. What salt adds: the
    /// one-atmosphere equation of Millero and Poisson (1981), UNESCO technical papers in marine science
    /// 44 (1983). Coefficients of both from memory, held against IAPWS-95 and TEOS-10 in
    /// `tests/outside/check_gas.py`.
    pub fn density(self) -> KgPerM3 {
        let t = self.temperature.0;
        let s = self.salinity;
        let warm = t - 3.983_035;
        let fresh = 999.974_950 * (1.0 - warm * warm * (t + 301.797) / (522_528.9 * (t + 69.348_81)));
        let a = polynomial(t, &[8.244_93e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9]);
        let b = polynomial(t, &[-5.724_66e-3, 1.0227e-4, -1.6546e-6]);
        KgPerM3(fresh + a * s + b * s * s.sqrt() + 4.8314e-4 * s * s)
    }

    /// Dynamic viscosity.
    ///
    /// Fresh: the 0.1 MPa equation of IAPWS, "Viscosity of Liquid Water" (R12-08), good to 1 %. What salt
    /// adds: Sharqawy, Lienhard and Zubair, Desalination and Water Treatment 16:354 (2010), good to
    /// 1.5 %. Coefficients from memory, held against the IAPWS library and ITTC values.
    pub fn viscosity(self) -> PascalSeconds {
        let t = self.temperature.0;
        let warm = (t + super::units::ICE_POINT) / 300.0;
        let fresh = 280.68 * libm::pow(warm, -1.9)
            + 511.45 * libm::pow(warm, -7.7)
            + 61.131 * libm::pow(warm, -19.6)
            + 0.459_03 * libm::pow(warm, -40.0);
        let s = self.salinity * 1e-3;
        let a = polynomial(t, &[1.541, 1.998e-2, -9.52e-5]);
        let b = polynomial(t, &[7.974, -7.561e-2, 4.724e-4]);
        PascalSeconds(1e-6 * fresh * (1.0 + a * s + b * s * s))
    }
}

/// The practical salinity of water that conducts so much at a temperature, at the surface.
///
/// The scale of 1978: Fofonoff and Millard, UNESCO technical papers in marine science 44 (1983); below 2 with the
/// correction of Hill, Dauphinee and Woods, IEEE Journal of Oceanic Engineering 11:109 (1986), which fades above.
/// Coefficients from memory, held against TEOS-10's library. It is made for the salts of the sea: a lake whose salts
/// are others is a few tenths of itself off (common practice, no source).
pub fn practical_salinity(conducts: SiemensPerMetre, temperature: Celsius) -> f64 {
    const STANDARD: f64 = 4.2914;
    // The scale was made in degrees of 1968.
    let t = temperature.0 * 1.000_24;
    let warm = polynomial(t, &[0.676_609_7, 2.005_64e-2, 1.104_259e-4, -6.969_8e-7, 1.003_1e-9]);
    let ratio = (conducts.0 / STANDARD / warm).max(0.0);
    let root = ratio.sqrt();
    let at_15 = polynomial(root, &[0.008, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081]);
    let off = polynomial(root, &[0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144]);
    let by = (t - 15.0) / (1.0 + 0.0162 * (t - 15.0));
    let (x, y) = (400.0 * ratio, (100.0 * ratio).sqrt());
    let little = 0.008 / (1.0 + x * (1.5 + x)) + by * 0.0005 / (1.0 + y * (1.0 + y * (1.0 + y)));
    (at_15 + by * off - little).max(0.0)
}

/// The polynomial in `x` with these coefficients, the constant first.
fn polynomial(x: f64, coefficients: &[f64]) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn density(t: f64, s: f64) -> f64 {
        Water::sea(Celsius(t), s).unwrap().density().0
    }

    #[test]
    fn fresh_water_has_the_density_of_iapws_95() {
        // IAPWS-95 at 101 325 Pa, run with iapws 1.5.5.
        for (t, rho) in [(4.0, 999.974_87), (5.0, 999.966_63), (10.0, 999.702_47), (15.0, 999.102_62)] {
            assert!((density(t, 0.0) - rho).abs() < 0.002, "{t}");
        }
        for (t, rho) in [(20.0, 998.207_15), (25.0, 997.047_64), (30.0, 995.649_45)] {
            assert!((density(t, 0.0) - rho).abs() < 0.002, "{t}");
        }
    }

    #[test]
    fn sea_water_has_the_density_of_unesco_technical_paper_44() {
        // The printed check values at one atmosphere (from memory). They rest on the density of fresh
        // water of 1968; the fresh water here is that of 2001, which is up to 0.01 kg/m³ apart.
        for (t, s, rho) in [(5.0, 35.0, 1_027.675_47), (25.0, 35.0, 1_023.343_06), (5.0, 0.0, 999.966_75)] {
            assert!((density(t, s) - rho).abs() < 0.01, "{t} {s}");
        }
    }

    #[test]
    fn viscosity_is_that_of_iapws_and_of_the_ittc_table() {
        // IAPWS R12-08 table of check values: 889.996 774 µPa s at 298.15 K (from memory).
        let fresh = Water::fresh(Celsius(25.0)).unwrap().viscosity().0;
        assert!((fresh / 889.996_774e-6 - 1.0).abs() < 1e-6);
        // ITTC 7.5-02-01-03, sea water of 35 g/kg at 15 and 20 °C (from memory).
        for (t, mu) in [(15.0, 0.001_220), (20.0, 0.001_077)] {
            let sea = Water::sea(Celsius(t), 35.0).unwrap().viscosity().0;
            assert!((sea / mu - 1.0).abs() < 0.005, "{t}: {sea}");
        }
    }

    #[test]
    fn a_conductivity_means_the_salt_that_teos_10_reads_from_it() {
        // The definition: 4.2914 S/m at 15 °C of 1968 are 35. The rest: gsw 3.6.23, SP_from_C at the surface.
        for (us_per_cm, t, salt) in [
            (42_914.0, 15.0 / 1.000_24, 35.0),
            (500.0, 25.0, 0.240_38),
            (3_000.0, 25.0, 1.558_63),
            (12_000.0, 4.0, 11.769_78),
            (30_000.0, 15.0, 23.521_26),
        ] {
            let got = practical_salinity(SiemensPerMetre::from_us_per_cm(us_per_cm), Celsius(t));
            assert!((got - salt).abs() < 1e-3, "{us_per_cm} at {t}: {got}");
        }
    }

    #[test]
    fn ice_and_brine_are_refused() {
        assert!(Water::fresh(Celsius(-0.1)).is_err());
        assert!(Water::fresh(Celsius(f64::NAN)).is_err());
        assert!(Water::sea(Celsius(10.0), 43.0).is_err());
        assert!(Water::sea(Celsius(10.0), -1.0).is_err());
    }
}
