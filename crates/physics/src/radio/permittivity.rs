//! Permittivity of pure and of sea water: ITU-R P.527-6, sections 5.1.1 and 5.1.2, a double Debye
//! relaxation with ionic conductivity (formulas read in two independent listings, not in the
//! Recommendation itself).
//!
//! The Recommendation has no formula for fresh water with ions in it: pure water and the conductivity
//! that was measured are put together here (our convention), and so between fresh water and the sea, as in a
//! pool that is chlorinated by salt: what conducts there takes far more than what the molecules do. As salty
//! as the sea and below 100 MHz that is 2 % off the Recommendation's own formula for the sea (a test). Its rounded 18 GHz m/S is used as the exact
//! 1/(2 π ε0), 0.14 % less.

use super::units::SiemensPerMetre;
use crate::domain::{DomainError, within};
use crate::units::{Celsius, Hertz};

/// Permittivity of free space in F/m (CODATA 2018).
pub(super) const EPSILON_0: f64 = 8.854_187_812_8e-12;

/// What the boat swims in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Water {
    /// Fresh, or salty by what a meter says, with its conductivity at the water's temperature: a meter that corrects its reading to
    /// 25 degrees shows about 2 % more for each degree colder (common practice, no source).
    Fresh(SiemensPerMetre),
    /// Sea or brackish, with its salt in grams per kilogram.
    Sea {
        /// Grams per kilogram.
        salinity: f64,
    },
}

/// Relative permittivity `real - i imaginary`, conduction included.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Permittivity {
    /// How far the field is weakened.
    pub real: f64,
    /// What is swallowed.
    pub imaginary: f64,
}

/// Siemens per metre of water that takes up no more salt, warm (from memory): what conducts more is no water.
const BRINE: f64 = 30.0;

struct Relaxation {
    /// Static, between the relaxations, and beyond both.
    levels: [f64; 3],
    /// Relaxation frequencies in GHz.
    gigahertz: [f64; 2],
}

impl Relaxation {
    fn pure(t: f64) -> Self {
        let theta = 300.0 / (t + super::super::units::ICE_POINT) - 1.0;
        let at_rest = 77.66 + 103.3 * theta;
        let first = 20.20 - 146.4 * theta + 316.0 * theta * theta;
        Self { levels: [at_rest, 0.0671 * at_rest, 3.52 - 7.52 * theta], gigahertz: [first, 39.8 * first] }
    }

    fn sea(t: f64, s: f64) -> Self {
        let Self { levels: [at_rest, between, beyond], gigahertz: [first, second] } = Self::pure(t);
        // The sign of the cubic term is as printed; the model's authors call it a slip, which below 3 GHz
        // cannot be seen.
        let shift = 2.3232e-3 + t * (-7.9208e-5 + t * (3.6764e-6 + t * (3.5594e-7 + t * 8.9795e-9)));
        Self {
            levels: [
                at_rest * libm::exp(-3.33330e-3 * s + 4.74868e-6 * s * s),
                between * libm::exp(-6.28908e-3 * s + 1.76032e-4 * s * s - 9.22144e-5 * t * s),
                beyond * (1.0 + s * (-2.04265e-3 + 1.57883e-4 * t)),
            ],
            gigahertz: [first * (1.0 + s * shift), second * (1.0 + s * (-1.99723e-2 + 1.81176e-4 * t))],
        }
    }

    fn at(&self, gigahertz: f64) -> Permittivity {
        let [at_rest, between, beyond] = self.levels;
        let [one, two] = self.gigahertz.map(|f| gigahertz / f);
        let (slow, fast) = ((at_rest - between) / (1.0 + one * one), (between - beyond) / (1.0 + two * two));
        Permittivity { real: slow + fast + beyond, imaginary: one * slow + two * fast }
    }
}

/// Conductivity of sea water, ITU-R P.527-6 section 5.1.2.
fn sea_conductivity(t: f64, s: f64) -> f64 {
    let at_35 = 2.903602 + t * (8.607e-2 + t * (4.738817e-4 + t * (-2.991e-6 + t * 4.3047e-9)));
    let by_salt = s * (37.5109 + 5.45216 * s + 1.4409e-2 * s * s) / (1004.75 + 182.283 * s + s * s);
    let a0 = (6.9431 + 3.2841 * s - 9.9486e-2 * s * s) / (84.850 + 69.024 * s + s * s);
    let a1 = 49.843 - 0.2276 * s + 0.198e-2 * s * s;
    at_35 * by_salt * (1.0 + a0 * (t - 15.0) / (a1 + t))
}

/// The relative permittivity of water.
///
/// # Errors
/// Outside 1 MHz to 1 THz, 0 to 40 degrees, 0 to 40 g/kg, 0 to 300 000 µS/cm.
pub fn permittivity(
    frequency: Hertz,
    temperature: Celsius,
    water: Water,
) -> Result<Permittivity, DomainError> {
    let f = within("frequency", frequency.0, 1e6, 1e12, "Hz")?;
    let t = within("water temperature", temperature.0, 0.0, 40.0, "°C")?;
    let (relaxation, sigma) = match water {
        Water::Fresh(sigma) => {
            (Relaxation::pure(t), within("conductivity of the water", sigma.0, 0.0, BRINE, "S/m")?)
        }
        Water::Sea { salinity } => {
            let s = within("salinity", salinity, 0.0, 40.0, "g/kg")?;
            (Relaxation::sea(t, s), sea_conductivity(t, s))
        }
    };
    let Permittivity { real, imaginary } = relaxation.at(f / 1e9);
    let conducted = sigma / (std::f64::consts::TAU * f * EPSILON_0);
    Ok(Permittivity { real, imaginary: imaginary + conducted })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn at(ghz: f64, t: f64, water: Water) -> Permittivity {
        permittivity(Hertz(ghz * 1e9), Celsius(t), water).unwrap()
    }

    /// smrt 1.7, `water_permittivity_maetzler87(2.4e9, 293.15)`: the same double Debye formula, written by
    /// other hands.
    #[test]
    fn pure_water_is_what_the_snow_model_smrt_computes() {
        let found = at(2.4, 20.0, Water::Fresh(SiemensPerMetre(0.0)));
        assert!((found.real - 78.605_840_714_166_65).abs() < 1e-11);
        assert!((found.imaginary - 10.375_482_421_477_89).abs() < 1e-11);
    }

    /// smrt 1.7, `seawater_permittivity_klein76`: an older model from other measurements; 3 % apart at most.
    #[test]
    fn sea_water_lies_within_three_percent_of_klein_and_swift() {
        for (ghz, real, imaginary) in [(0.433, 72.4323, 200.4436), (2.4, 71.2269, 44.9552)] {
            let found = at(ghz, 20.0, Water::Sea { salinity: 35.0 });
            assert!((found.real / real - 1.0).abs() < 0.015, "{found:?}");
            assert!((found.imaginary / imaginary - 1.0).abs() < 0.035, "{found:?}");
        }
    }

    /// ITU-R P.527-6 worked out by a script apart from this program; it uses the rounded 18.
    #[test]
    fn sea_water_agrees_with_a_second_reading_of_the_recommendation() {
        for (ghz, t, real, imaginary) in [
            (0.027, 0.0, 78.599_622, 1935.917),
            (0.433, 10.0, 74.943_705, 160.541_8),
            (2.4, 20.0, 70.796_486, 43.535_9),
            (2.4, 30.0, 68.284_244, 47.883_5),
        ] {
            let found = at(ghz, t, Water::Sea { salinity: 35.0 });
            assert!((found.real - real).abs() < 1e-6, "{found:?}");
            assert!((found.imaginary / imaginary - 1.0).abs() < 0.0015, "{found:?}");
        }
        assert!((sea_conductivity(20.0, 35.0) - 4.791_266).abs() < 1e-6);
    }

    #[test]
    fn what_no_formula_covers_is_refused() {
        let fresh = Water::Fresh(SiemensPerMetre(0.05));
        assert!(permittivity(Hertz(0.0), Celsius(10.0), fresh).is_err());
        assert!(permittivity(Hertz(4e7), Celsius(f64::NAN), fresh).is_err());
        assert!(permittivity(Hertz(4e7), Celsius(10.0), Water::Fresh(SiemensPerMetre(31.0))).is_err());
        assert!(permittivity(Hertz(4e7), Celsius(10.0), Water::Sea { salinity: 41.0 }).is_err());
    }

    /// What conducts is added as it stands: σ / (2 π f ε₀), by hand 7.2 S/m at 40 MHz make 3235.5.
    #[test]
    fn brine_swallows_by_what_it_conducts() {
        let of = |s: f64| at(0.04, 10.0, Water::Fresh(SiemensPerMetre(s))).imaginary;
        assert!((of(7.2) - of(0.0) - 3235.5).abs() < 0.1, "{}", of(7.2));
        assert!(of(25.0) > 3.0 * of(7.2));
    }

    /// The sea by its salt and by its conductivity alone: what both say of the imaginary part, which decides.
    #[test]
    fn what_conducts_like_the_sea_swallows_like_the_sea() {
        for (t, salinity) in [(5.0, 35.0), (20.0, 35.0), (15.0, 8.0)] {
            let sigma = SiemensPerMetre(sea_conductivity(t, salinity));
            for hertz in [27e6, 40e6, 75e6] {
                let of = |water| permittivity(Hertz(hertz), Celsius(t), water).unwrap().imaginary;
                let ratio = of(Water::Fresh(sigma)) / of(Water::Sea { salinity });
                assert!((ratio - 1.0).abs() < 0.02, "{t} {salinity} {hertz}: {ratio}");
            }
        }
    }
}
