//! The boat as a body in water, at one end of the tolerances.

use super::corner::{Corner, Figure, Salt, Warmth};
use super::missing::{Wanted, Wants};
use super::{Assumption, Start, salt, warmth};
use crate::physics::domain::DomainError;
use crate::physics::motion::{self, broadside, spheroid};
use crate::physics::pressure::GRAVITY;
use crate::physics::units::{
    Celsius, CubicMetres, Kilograms, Metres, MetresPerSecond, Newtons, Seconds, SquareMetres,
};
use crate::physics::water::Water;
use crate::setup::quantity::{About, Kilograms as Weight, Litres};
use crate::setup::{Exact, Path, Setup, Water as Waters};

/// The temperatures where none is given: in the middle, the coldest, the warmest (common practice, no source).
const TEMPERATE: [f64; 3] = [10.0, 4.0, 22.0];
/// By which part a drag coefficient may be off: see [`motion`].
const DRAG_OFF: f64 = 1.0 / 3.0;

/// Drag coefficient of a hull that coasts ahead, by its shadow from before, nominal, least, greatest: a bare body
/// of revolution has about a twentieth (Hoerner, Fluid-Dynamic Drag, from memory), with tower, planes and rails
/// some four times as much; a smooth boat may have half of that and one full of holes half as much again
/// (common practice, no source). The less it is, the longer she coasts.
pub(super) const COASTING: [f64; 3] = [0.2, 0.1, 0.3];
/// How much faster than down she sails ahead where the file does not say: a dive of about one in three, the
/// steepest that is usual (common practice, no source). The slower she is, the longer her way lasts.
const STEEPEST: f64 = 3.0;

/// The boat as a body in water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Body {
    pub(super) boat: motion::Boat,
    pub(super) lift: Newtons,
    pub(super) tank: CubicMetres,
    pub(super) depth: Metres,
    /// How fast she is going down, and goes on while she is driven.
    pub(super) sinking: MetresPerSecond,
    /// How long her way takes to halve when the motor stands.
    pub(super) coasts: Seconds,
}

/// How the water around her is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Around {
    pub(super) water: Water,
    /// The file gives it.
    pub(super) given: bool,
}

impl Around {
    pub(super) fn of(
        setup: &Setup,
        (warmth, salt): (Warmth, Salt),
        assumed: &mut Vec<Assumption>,
    ) -> Result<Self, DomainError> {
        let given = setup.hull.water.is_some();
        let [middle, cold, warm] = temperatures(setup);
        let t = match warmth {
            Warmth::Middle => middle,
            Warmth::Coldest => cold,
            Warmth::Warmest => warm,
        };
        if !given {
            note(assumed, Assumption::Water([middle, cold, warm]));
        }
        let salts = salt::sailed(setup);
        if salts.is_range() || setup.boat.water == Waters::Sea {
            note(assumed, Assumption::Salt(salts.0));
        }
        let water = Water::sea(Celsius(t), salts.at(salt))?;
        Ok(Self { water, given })
    }
}

/// The degrees of the water she is sailed in: in the middle, coldest, warmest.
pub(super) fn temperatures(setup: &Setup) -> [f64; 3] {
    setup.hull.water.as_ref().map_or(TEMPERATE, |[cold, warm]| {
        let (cold, warm) = (cold.0.to_f64(), warm.0.to_f64());
        [(cold + warm) / 2.0, cold, warm]
    })
}

/// The water she is sailed in at a temperature, as salty as it may be: the denser it is, the harder it presses.
///
/// # Errors
///
/// When no published figure holds for water as warm or as salt as that.
pub fn water_at(setup: &Setup, temperature: Celsius) -> Result<Water, DomainError> {
    Water::sea(temperature, salt::sailed(setup).at(Salt::Most))
}

/// Each assumption once.
pub(super) fn note(assumed: &mut Vec<Assumption>, assumption: Assumption) {
    if !assumed.contains(&assumption) {
        assumed.push(assumption);
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
        corner: &Corner,
        start: &Start,
        around: Around,
        wants: &mut Wants,
        assumed: &mut Vec<Assumption>,
    ) -> Result<Option<Self>, DomainError> {
        let hull = &setup.hull;
        let limit = setup.boat.depth_limit.as_ref().map(|d| Metres(d.0.to_f64()));
        let depth = wants.need(start.depth.or(limit), Wanted::Depth, || Path::of(["boat", "depth_limit"]));
        let weight = wants.need(hull.weight.as_ref(), Wanted::Depth, || Path::of(["hull", "weight"]));
        let length = wants.need(hull.length.as_ref(), Wanted::Depth, || Path::of(["hull", "length"]));
        let beam = wants.need(hull.beam.as_ref(), Wanted::Depth, || Path::of(["hull", "beam"]));
        let none = About { value: Litres(Exact::int(0)), off: Litres(Exact::int(0)) };
        let tank = match &setup.tank.volume {
            None if !setup.has_tank() => Some(&none),
            given => wants.need(given.as_ref(), Wanted::Depth, || Path::of(["tank", "volume"])),
        };
        if hull.heavy.is_none() {
            wants.note(Wanted::Weight, Path::of(["hull", "heavy"]));
            note(assumed, Assumption::Neutral);
        }
        if hull.dives_at.is_none() {
            wants.note(Wanted::Diving, Path::of(["hull", "dives_at"]));
        }
        let (Some(depth), Some(weight), Some(length), Some(beam), Some(tank)) =
            (depth, weight, length, beam, tank)
        else {
            return Ok(None);
        };
        let (length, beam) = (length.0.to_f64() * 1e-3, beam.0.to_f64() * 1e-3);
        // A tank that holds little is soon empty; one that holds much makes a boat of more mass.
        let full = corner.of(tank, |v| &v.0, corner.mass) * 1e-3;
        let tank = CubicMetres::from_litres(corner.of(tank, |v| &v.0, -1.0) * corner.by(Figure::Tank, -1.0));
        let weighed = hull.heavy.as_ref().map_or(0.0, |given| heavy(given, corner));
        let heavy = weighed + warmth::heavier(setup, around.water, weighed, corner.heavy, assumed)?;
        let density = around.water.density();
        let mass = corner.of(weight, |w| &w.0, corner.mass) + density.0 * full;
        if heavy >= mass {
            return Err(DomainError::Inconsistent { what: "hull.heavy is more than all that she weighs" });
        }
        // A hull as broad as long is a sphere, and one broader than long is seen from its other side.
        let ratio = (length / beam).max(beam / length);
        let carried = spheroid(ratio.max(1.01))?;
        let added = carried.across * (mass - heavy);
        let drags = drags(ratio);
        note(assumed, Assumption::Drag(drags));
        let drag = drags[corner.drag];
        let dives_at = hull.dives_at.as_ref().map_or(0.0, |v| v.0.to_f64());
        let sinking = if corner.diving { dives_at * corner.by(Figure::DivesAt, 1.0) } else { 0.0 };
        let ahead = hull.sails_at.as_ref().map_or(STEEPEST * dives_at, |v| v.0.to_f64());
        let moved = mass + carried.along * (mass - heavy);
        let shadow = density.0 * corner.little(COASTING) * std::f64::consts::FRAC_PI_4 * beam * beam;
        let coasts = if ahead > 0.0 { 2.0 * moved / (shadow * ahead) } else { 0.0 };
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
            depth: depth * corner.by(Figure::Depth, 1.0),
            sinking: MetresPerSecond(sinking),
            coasts: Seconds(coasts),
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

/// What she is too heavy for the water she was weighed in.
fn heavy(given: &About<Weight>, corner: &Corner) -> f64 {
    let value = given.value.0.to_f64() + corner.heavy * given.off.0.to_f64();
    // Of a boat that is lighter than the water less is worse.
    value * corner.by(Figure::Heavy, if value < 0.0 { -1.0 } else { 1.0 })
}
