//! What a wave loses on its way down and at the surface: the plane wave in a lossy medium, as in any
//! text on electromagnetic fields (C. A. Balanis, *Advanced Engineering Electromagnetics*, chapter 4, from
//! memory).

use super::permittivity::{EPSILON_0, Permittivity, Water, permittivity};
use super::units::{Decibels, DecibelsPerMetre};
use crate::domain::DomainError;
use crate::units::{Celsius, Hertz};
use std::f64::consts::{LN_10, PI, TAU};

/// Permeability of free space, and of water, in H/m (4 π 1e-7, within 1e-9 of CODATA 2018).
const MU_0: f64 = 4e-7 * PI;

/// The complex index of refraction `n - i k` of a permittivity.
fn index(e: Permittivity) -> [f64; 2] {
    let size = libm::hypot(e.real, e.imaginary);
    let n = ((size + e.real) / 2.0).sqrt();
    // The imaginary part by division: in clear water the difference of the other form would cancel.
    [n, e.imaginary / (2.0 * n)]
}

/// Decibels lost in each metre.
///
/// # Errors
/// As [`permittivity`].
pub fn attenuation(
    frequency: Hertz,
    temperature: Celsius,
    water: Water,
) -> Result<DecibelsPerMetre, DomainError> {
    Ok(DecibelsPerMetre(of(frequency, permittivity(frequency, temperature, water)?)))
}

fn of(frequency: Hertz, e: Permittivity) -> f64 {
    let [_, k] = index(e);
    let nepers = TAU * frequency.0 * (MU_0 * EPSILON_0).sqrt() * k;
    nepers * 20.0 / LN_10
}

/// Decibels lost in passing the surface straight down: what the jump in the index of refraction throws
/// back.
///
/// # Errors
/// As [`permittivity`].
pub fn surface_loss(frequency: Hertz, temperature: Celsius, water: Water) -> Result<Decibels, DomainError> {
    Ok(Decibels(thrown_back(permittivity(frequency, temperature, water)?)))
}

fn thrown_back(e: Permittivity) -> f64 {
    let [n, k] = index(e);
    // 1 - |(1 - N) / (1 + N)|² without the difference.
    -10.0 * libm::log10(4.0 * n / ((1.0 + n) * (1.0 + n) + k * k))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::units::SiemensPerMetre;
    use super::*;

    fn with(real: f64, sigma: f64, mhz: f64) -> f64 {
        let imaginary = sigma / (TAU * mhz * 1e6 * EPSILON_0);
        of(Hertz(mhz * 1e6), Permittivity { real, imaginary })
    }

    /// scikit-rf 2.2.0, `Freespace(ep_r=81 - 1j*sigma/(2 pi f eps0)).gamma`.
    #[test]
    fn a_salt_solution_is_what_scikit_rf_computes() {
        for (mhz, sigma, loss) in [
            (27.0, 0.05, 8.910_576_53),
            (75.0, 0.005, 0.908_930_114),
            (40.0, 4.0, 213.438_281),
            (2400.0, 5.0, 886.690_471),
        ] {
            assert!((with(81.0, sigma, mhz) / loss - 1.0).abs() < 1e-8, "{mhz} {sigma}");
        }
    }

    /// The good conductor's 0.0173 sqrt(f sigma): L. Butler, Underwater Radio Communication, Amateur Radio,
    /// April 1987 (its sea of 4 S/m read, the formula from memory).
    #[test]
    fn far_below_a_megahertz_salt_water_is_a_good_conductor() {
        assert!((with(81.0, 4.0, 0.01) / 3.451_63 - 1.0).abs() < 1e-3);
    }

    /// 0.36 passes from a medium of index 9: textbook arithmetic, (1 - 0.8²).
    #[test]
    fn a_surface_of_index_nine_lets_36_percent_through() {
        let found = thrown_back(Permittivity { real: 81.0, imaginary: 0.0 });
        assert!((found - 4.436_97).abs() < 1e-5);
    }

    /// ITU-R P.527-6 worked out by a script apart from this program.
    #[test]
    fn ponds_agree_with_a_second_reading_of_the_recommendation() {
        for (mhz, t, sigma, loss) in [
            (27.0, 0.0, 0.005, 0.9383),
            (40.0, 10.0, 0.05, 8.9544),
            (75.0, 20.0, 0.005, 1.1665),
            (433.0, 10.0, 0.05, 20.496),
            (2400.0, 20.0, 0.005, 256.01),
        ] {
            let found =
                attenuation(Hertz(mhz * 1e6), Celsius(t), Water::Fresh(SiemensPerMetre(sigma))).unwrap();
            assert!((found.0 / loss - 1.0).abs() < 1e-4, "{mhz} {t}: {found:?}");
        }
    }
}
