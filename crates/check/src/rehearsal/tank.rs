//! What empties the tank, at one end of the tolerances.

use super::Assumption;
use super::body::{Around, note};
use super::corner::{Corner, Figure};
use super::missing::{Wanted, Wants};
use crate::physics::domain::DomainError;
use crate::physics::gas::fluid::Liquid;
use crate::physics::gas::mixture::Mixture;
use crate::physics::gas::restriction::Restriction;
use crate::physics::gas::supply::{Charge, Heat, Supply};
use crate::physics::motion::Source;
use crate::physics::pressure::ATMOSPHERE;
use crate::physics::units::{Celsius, CubicMetres, Kilograms, Metres, Pascals};
use crate::setup::quantity::{About, Kilograms as Weight};
use crate::setup::{Emptier, Exact, Gas, GasKind, LiquefiedGas, Path, Pump, Setup, WorkRef};
use std::cell::RefCell;

/// Discharge coefficient of a hole: nominal, least, greatest; between a sharp hole and a rounded one, see
/// [`Restriction::Orifice`].
const HOLE: [f64; 3] = [0.75, 0.6, 0.95];

/// Bottles that were worked out before: what a charge gives while it cools takes longer to find than to be used.
#[derive(Debug, Default)]
pub(super) struct Bottles(RefCell<Vec<(Bottle, Supply)>>);

/// Everything that [`Supply::liquefied`] is worked out from.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Bottle {
    liquid: Liquid,
    charge: Option<Charge>,
    temperature: Celsius,
    heat: Heat,
}

impl Bottles {
    fn get(&self, bottle: Bottle) -> Result<Supply, DomainError> {
        let mut known = self.0.borrow_mut();
        if let Some((_, supply)) = known.iter().find(|(known, _)| *known == bottle) {
            return Ok(supply.clone());
        }
        let supply = Supply::liquefied(bottle.liquid, bottle.charge, bottle.temperature, bottle.heat)?;
        known.push((bottle, supply.clone()));
        Ok(supply)
    }
}

/// What empties the tank by a work; `None` where too little is given to say what it moves.
pub(super) fn source(
    (setup, bottles): (&Setup, &Bottles),
    (work, emptier): &(WorkRef, Emptier),
    corner: &Corner,
    volts: f64,
    around: Around,
    wants: &mut Wants,
    assumed: &mut Vec<Assumption>,
) -> Result<Option<Source>, DomainError> {
    let path = setup.emptier_path(*work);
    match emptier {
        Emptier::Pump(pump) => {
            wants.need(pump.flow_off.as_ref(), Wanted::Spread, || path.then("flow_off"));
            wants.need(pump.starts_in.as_ref(), Wanted::Starts, || path.then("starts_in"));
            if !setup.work(*work).facts.never_too_long {
                wants.need(pump.duty.as_ref(), Wanted::Duty, || path.then("duty"));
            }
            let snorkel = setup.through_snorkel(pump);
            if pump.through_snorkel.is_none() {
                note(assumed, Assumption::Air { work: setup.work_name(*work), snorkel });
            }
            pump_source(pump, snorkel, corner, volts).map(Some)
        }
        Emptier::Gas(gas) => {
            let hole = wants.need(gas.hole.as_ref(), Wanted::Flow, || path.then("hole"));
            let supply = supply((gas, bottles), &path, corner, around, wants, assumed)?;
            let (Some(hole), Some(supply)) = (hole, supply) else { return Ok(None) };
            note(assumed, Assumption::Hole(HOLE));
            let hole = Metres::from_millimetres(hole.0.to_f64()) * corner.by(Figure::Hole, -1.0);
            let valve = Restriction::hole(hole, corner.little(HOLE))?;
            Ok(Some(Source::Gas { supply, valve }))
        }
    }
}

/// A pump on a part `volts` of the voltage at which its curve was found moves that part, against the square of
/// it: the affinity laws (flow goes as the speed, head as its square; Karassik and others, Pump Handbook, from
/// memory), with a brushed motor turning as fast as its voltage (common practice, no source).
fn pump_source(
    pump: &Pump,
    through_snorkel: bool,
    corner: &Corner,
    volts: f64,
) -> Result<Source, DomainError> {
    let volts = volts * corner.by(Figure::Volts, -1.0);
    let by = |off: &Exact, figure| (1.0 - corner.bad * off.to_f64()).max(0.0) * corner.by(figure, -1.0);
    Ok(Source::Pump {
        curve: pump.curve()?,
        flow_by: by(&pump.off(), Figure::Flow) * volts,
        pressure_by: by(&pump.pressures_off(), Figure::Pressure) * volts * volts,
        through_snorkel,
    })
}

fn supply(
    (gas, bottles): (&Gas, &Bottles),
    path: &Path,
    corner: &Corner,
    around: Around,
    wants: &mut Wants,
    assumed: &mut Vec<Assumption>,
) -> Result<Option<Supply>, DomainError> {
    let temperature = around.water.temperature();
    let heat = if corner.bad > 0.0 { Heat::FromItself } else { Heat::FromWater };
    let bottle = gas.bottle.as_ref().map(|v| CubicMetres::from_litres(v.0.to_f64()));
    note(assumed, Assumption::FullBottle);
    note(assumed, Assumption::GasHeat);
    match &gas.kind {
        GasKind::Air => {
            let bottle = wants.need(bottle, Wanted::Flow, || path.then("bottle"));
            let pressure = wants.need(gas.pressure.as_ref(), Wanted::Flow, || path.then("pressure"));
            let (Some(bottle), Some(pressure)) = (bottle, pressure) else { return Ok(None) };
            let least = Pascals::from_bar(corner.of(pressure, |p| &p.0, -1.0));
            let least = least * corner.by(Figure::Charge, -1.0) + ATMOSPHERE;
            // What cannot be followed from the most that may be in it is followed from nothing: of one boat
            // no way is told with her gas and another without.
            let most = Pascals::from_bar((&pressure.value.0 + &pressure.off.0).to_f64()) + ATMOSPHERE;
            Supply::air(bottle, most, temperature, heat)?;
            Supply::air(bottle, least, temperature, heat).map(Some)
        }
        GasKind::Liquefied(parts) => {
            if !around.given {
                wants.note(Wanted::Flow, Path::of(["hull", "water"]));
                return Ok(None);
            }
            note(assumed, Assumption::Upright);
            let charge = wants.need(gas.charge.as_ref(), Wanted::Lasts, || path.then("charge"));
            wants.need(bottle, Wanted::Bottle, || path.then("bottle"));
            let charge = charge.map(|c| Charge { mass: grams(c, corner), bottle });
            let of = |liquid| bottles.get(Bottle { liquid, charge, temperature, heat });
            match (parts.as_slice(), corner.bad > 0.0) {
                ([(only, _)], _) => of(only.liquid()).map(Some),
                // The lighter part boils off first: only the heaviest is sure to be there.
                (_, true) => {
                    let mut heaviest: Option<(Pascals, Liquid)> = None;
                    for (gas, _) in parts.iter().filter(|(_, share)| share.signum() > 0) {
                        let p = gas.liquid().vapour_pressure(temperature)?;
                        if heaviest.is_none_or(|(least, _)| p < least) {
                            heaviest = Some((p, gas.liquid()));
                        }
                    }
                    let Some((_, liquid)) = heaviest else { return Ok(None) };
                    of(liquid).map(Some)
                }
                _ => {
                    let share = |(gas, share): &(LiquefiedGas, Exact)| (gas.liquid(), share.to_f64());
                    let mixture = Mixture::by_mass(&parts.iter().map(share).collect::<Vec<_>>())?;
                    Supply::mixture(&mixture, charge, temperature).map(Some)
                }
            }
        }
    }
}

fn grams(charge: &About<Weight>, corner: &Corner) -> Kilograms {
    Kilograms(corner.of(charge, |mass| &mass.0, -1.0) * corner.by(Figure::Charge, -1.0))
}
