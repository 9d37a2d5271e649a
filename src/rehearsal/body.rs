//! The boat as a body in water, at one end of the tolerances.

use super::missing::{Wanted, Wants};
use super::{Assumption, End, Start};
use crate::physics::domain::DomainError;
use crate::physics::motion::{self, broadside, spheroid};
use crate::physics::pressure::GRAVITY;
use crate::physics::units::{
    Celsius, CubicMetres, Kilograms, Metres, MetresPerSecond, Newtons, SquareMetres,
};
use crate::physics::water::Water;
use crate::setup::quantity::About;
use crate::setup::{Exact, Setup, Water as Waters};

/// Salt of the ocean in grams in a kilogram.
const OCEAN: f64 = 35.0;
/// The temperature where none is given; density hardly depends on it.
const COOL: f64 = 10.0;
/// By which part a drag coefficient may be off: see [`motion`].
const DRAG_OFF: f64 = 1.0 / 3.0;

/// The boat as a body in water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Body {
    pub(super) boat: motion::Boat,
    pub(super) lift: Newtons,
    pub(super) tank: CubicMetres,
    pub(super) depth: Metres,
    /// How fast she is going down, and goes on while she is driven.
    pub(super) sinking: MetresPerSecond,
    /// Length over beam.
    pub(super) slenderness: f64,
}

/// How the water around her is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Around {
    pub(super) water: Water,
    /// The file gives it.
    pub(super) given: bool,
}

impl Around {
    pub(super) fn of(setup: &Setup, end: End, assumed: &mut Vec<Assumption>) -> Result<Self, DomainError> {
        let range = setup.hull.water.as_ref().map(|[cold, warm]| [cold.0.to_f64(), warm.0.to_f64()]);
        let t = range.map_or(COOL, |[cold, warm]| match end {
            End::Nominal => (cold + warm) / 2.0,
            End::Worst => cold,
            End::Quick => warm,
        });
        if range.is_none() {
            note(assumed, Assumption::Water(Celsius(t)));
        }
        if setup.boat.water == Waters::Sea {
            note(assumed, Assumption::Salt(OCEAN));
        }
        let water = water_at(setup, Celsius(t))?;
        Ok(Self { water, given: range.is_some() })
    }
}

/// The water she is sailed in at a temperature.
pub fn water_at(setup: &Setup, temperature: Celsius) -> Result<Water, DomainError> {
    match setup.boat.water {
        Waters::Fresh => Water::fresh(temperature),
        Waters::Sea => Water::sea(temperature, OCEAN),
    }
}

/// Each assumption once.
pub(super) fn note(assumed: &mut Vec<Assumption>, assumption: Assumption) {
    if !assumed.contains(&assumption) {
        assumed.push(assumption);
    }
}

/// A value at one end of its tolerance: `sign` +1 if more of it makes her come up later.
pub(super) fn at_end<Q>(about: &About<Q>, exact: fn(&Q) -> &Exact, end: End, sign: f64) -> f64 {
    let (value, off) = (exact(&about.value).to_f64(), exact(&about.off).to_f64());
    match end {
        End::Nominal => value,
        End::Worst => value + sign * off,
        End::Quick => value - sign * off,
    }
}

/// The drag coefficient: nominal, least, greatest.
pub(super) fn drags(slenderness: f64) -> [f64; 3] {
    let nominal = broadside(slenderness);
    [nominal, nominal * (1.0 - DRAG_OFF), nominal * (1.0 + DRAG_OFF)]
}

impl Body {
    /// `None` where something is missing that there is no motion without.
    pub(super) fn of(
        setup: &Setup,
        end: End,
        start: &Start,
        around: Around,
        wants: &mut Wants,
        assumed: &mut Vec<Assumption>,
    ) -> Result<Option<Self>, DomainError> {
        let hull = &setup.hull;
        let limit = setup.boat.depth_limit.as_ref().map(|d| Metres(d.0.to_f64()));
        let depth = wants.need(start.depth.or(limit), Wanted::Depth, "boat.depth_limit");
        let weight = wants.need(hull.weight.as_ref(), Wanted::Depth, "hull.weight");
        let length = wants.need(hull.length.as_ref(), Wanted::Depth, "hull.length");
        let beam = wants.need(hull.beam.as_ref(), Wanted::Depth, "hull.beam");
        let tank = wants.need(setup.tank.volume.as_ref(), Wanted::Depth, "tank.volume");
        if hull.heavy.is_none() {
            note(assumed, Assumption::Neutral);
        }
        if hull.dives_at.is_none() {
            wants.note(Wanted::Diving, "hull.dives_at");
        }
        let (Some(depth), Some(weight), Some(length), Some(beam), Some(tank)) =
            (depth, weight, length, beam, tank)
        else {
            return Ok(None);
        };
        let (length, beam) = (length.0.to_f64() * 1e-3, beam.0.to_f64() * 1e-3);
        let tank = CubicMetres::from_litres(at_end(tank, |v| &v.0, end, -1.0));
        let heavy = hull.heavy.as_ref().map_or(0.0, |h| at_end(h, |w| &w.0, end, 1.0));
        let density = around.water.density();
        let mass = at_end(weight, |w| &w.0, end, 1.0) + density.0 * tank.0;
        if heavy >= mass {
            return Err(DomainError::Inconsistent { what: "hull.heavy is more than all that she weighs" });
        }
        // A hull as broad as long is a sphere, and one broader than long is seen from its other side.
        let ratio = (length / beam).max(beam / length);
        let added = spheroid(ratio.max(1.01))?.across * (mass - heavy);
        let drags = drags(ratio);
        note(assumed, Assumption::Drag(drags));
        let drag = if end == End::Quick { drags[1] } else { drags[0] };
        let diving = end == End::Worst;
        Ok(Some(Self {
            boat: motion::Boat {
                mass: Kilograms(mass),
                added: Kilograms(added),
                drag,
                area: SquareMetres(length * beam),
                water: density,
            },
            lift: Newtons(-heavy * GRAVITY),
            tank,
            depth,
            slenderness: ratio,
            sinking: MetresPerSecond(hull.dives_at.as_ref().filter(|_| diving).map_or(0.0, |v| v.0.to_f64())),
        }))
    }

    /// The force that keeps her going down at her speed: drag and what lifts her.
    pub(super) fn drive(&self) -> Newtons {
        if self.sinking.0 <= 0.0 {
            return Newtons(0.0);
        }
        let drag = self.boat.water.0 * self.boat.drag * self.boat.area.0 / 2.0;
        Newtons((drag * self.sinking.0 * self.sinking.0 + self.lift.0).max(0.0))
    }
}
