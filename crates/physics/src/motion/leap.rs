//! Whether a boat that comes up fast leaves the water.

use super::steady::Boat;
use crate::domain::{DomainError, not_negative, positive};
use crate::pressure::GRAVITY;
use crate::units::{Between, CubicMetres, Metres, MetresPerSecond};

/// How high her keel comes above the water, from the speed at which her top meets it; nought if she does
/// not leave it.
///
/// Her kinetic energy against her weight, which the water carries less and less as she comes out: evenly,
/// so half of it on average over the height of the hull. The lesser end gives her own mass's energy only,
/// the greater all that of the added mass too; drag and spray are left out, so that the truth is rather
/// less (our own estimate, no source).
///
/// # Errors
/// For a mass, volume or height that is not above nought, or a speed below it.
pub fn leap(
    boat: &Boat,
    rising: MetresPerSecond,
    displaced: CubicMetres,
    hull_height: Metres,
) -> Result<Between<Metres>, DomainError> {
    let (moved, _) = boat.checked()?;
    let speed = not_negative("speed upwards", rising.0, "m/s")?;
    let displaced = positive("volume displaced", displaced.0, "m³")?;
    let height = positive("height of the hull", hull_height.0, "m")?;
    let weight = boat.mass.0 * GRAVITY;
    let carried = boat.water.0 * displaced * GRAVITY / 2.0;
    let above = |mass: f64| {
        let left = mass * speed * speed / 2.0 - (weight - carried) * height;
        Metres((left / weight).max(0.0))
    };
    Ok(Between { low: above(boat.mass.0), high: above(moved) })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::units::{KgPerM3, Kilograms, SquareMetres};

    fn at(speed: f64) -> Between<Metres> {
        let boat = Boat {
            mass: Kilograms(5.0),
            added: Kilograms(5.0),
            drag: 1.0,
            area: SquareMetres(0.06),
            water: KgPerM3(1000.0),
        };
        leap(&boat, MetresPerSecond(speed), CubicMetres(0.005), Metres(0.1)).unwrap()
    }

    /// A boat in trim, 0.1 m high, needs v² = g·0.1 m, 0.99 m/s, to come out with her own energy alone.
    #[test]
    fn a_slow_boat_stays_in_and_a_fast_one_leaps() {
        assert_eq!(at(0.5), Between { low: Metres(0.0), high: Metres(0.0) });
        assert!(at(0.98).low.0 <= 0.0 && at(1.0).low.0 > 0.0);
        // (2² / 2g) - 0.05 m and twice the energy.
        assert!((at(2.0).low.0 - (2.0 / GRAVITY - 0.05)).abs() < 1e-12);
        assert!((at(2.0).high.0 - (4.0 / GRAVITY - 0.05)).abs() < 1e-12);
    }
}
