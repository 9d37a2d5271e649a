//! How heavy she is in the water she is in, by the water she was weighed in.
//!
//! What she displaces is her hull, which grows with its own warmth, and water of a density: with `W` her weight on
//! dry land, `h` what she was heavier than water of a density `a`, sailed in `b` and kelvins warmer, the hull
//! displaces `(W - h) (b / a) (1 + 3 α ΔT)` (Archimedes; three times the linear expansion α). The water in the tank
//! is as dense as that around it and does not count.

use super::Assumption;
use super::body::{note, temperatures};
use super::corner::Salt;
use super::salt;
use crate::physics::domain::DomainError;
use crate::physics::units::Celsius;
use crate::physics::water::Water;
use crate::setup::{Material, Setup};

/// Where the file does not say it, she may be of what grows by nothing, or of what grows most.
fn materials() -> [f64; 2] {
    [0.0, Material::Abs.grows()]
}

/// In how many steps the warmth of the water is gone through where it is not known at which she was weighed:
/// she is heaviest where water grows as her hull does, and that hangs on both.
const STEPS: u32 = 40;

/// How much heavier she is than the `heavy` kilograms of `hull.heavy`, in water of a density and warmth; `sign` +1
/// the most that may be, -1 the least, 0 as far as the file says.
pub(super) fn heavier(
    setup: &Setup,
    water: Water,
    heavy: f64,
    sign: f64,
    assumed: &mut Vec<Assumption>,
) -> Result<f64, DomainError> {
    let hull = &setup.hull;
    let Some(weight) = &hull.weight else { return Ok(0.0) };
    let unsure = sign.abs() > 0.0;
    let sailed = water.temperature().0;
    let mut weighed = vec![sailed];
    if let Some(at) = &hull.weighed_at {
        weighed = vec![at.0.to_f64()];
    } else if unsure {
        let [_, cold, warm] = temperatures(setup);
        let step = (warm - cold) / f64::from(STEPS);
        weighed = (0..=STEPS).map(|n| cold + step * f64::from(n)).collect();
        note(assumed, Assumption::Weighed);
    }
    let grows = match hull.material {
        Some(material) => vec![material.grows()],
        None if unsure && (weighed.len() > 1 || (weighed[0] - sailed).abs() > 0.0) => {
            note(assumed, Assumption::Material);
            materials().to_vec()
        }
        None => vec![materials()[0]],
    };
    // The more salt there was, the less she displaces for her weight, and the heavier she is here.
    let weighed_in = salt::weighed(setup);
    if hull.heavy.is_some() && hull.weighed_in.is_none() && weighed_in.is_none() {
        note(assumed, Assumption::SameWater);
    }
    let salt = weighed_in.map_or(water.salinity(), |salts| {
        note(assumed, Assumption::WeighedSalt(salts.0));
        salts.at(match sign {
            sign if sign > 0.0 => Salt::Most,
            sign if sign < 0.0 => Salt::Least,
            _ => Salt::Middle,
        })
    });
    let weight = weight.value.0.to_f64();
    let mut found: Option<f64> = None;
    for at in weighed {
        let before = Water::sea(Celsius(at), salt)?.density().0;
        for grows in &grows {
            let grown = 1.0 + 3.0 * grows * 1e-6 * (sailed - at);
            let more = (weight - heavy) * (1.0 - water.density().0 / before * grown);
            found = Some(found.map_or(more, |one| if sign < 0.0 { one.min(more) } else { one.max(more) }));
        }
    }
    Ok(found.unwrap_or(0.0))
}
