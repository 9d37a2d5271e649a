//! What a pump gets of the voltage at which its curve was found, when the battery is low.

use super::corner::Corner;
use super::missing::{Wanted, Wants};
use super::{Assumption, Cause, body::note, cell};
use crate::setup::{Pump, Setup};

/// The part of its voltage that a pump runs on: all of it, but on a low battery the voltage that the unit
/// watches for, less what the pump's own current costs in the battery's resistance. A curve of which nobody
/// says at how many volts it was found is taken for one at the nominal voltage, in the worst case for one on
/// a full battery.
pub(super) fn share(
    setup: &Setup,
    cause: Cause,
    pump: &Pump,
    corner: &Corner,
    wants: &mut Wants,
    assumed: &mut Vec<Assumption>,
) -> f64 {
    let low = setup.fail_safe.as_ref().and_then(|unit| unit.low_battery.as_ref());
    let Some((battery, below)) = low.filter(|_| cause == Cause::Battery) else { return 1.0 };
    let battery = &setup.batteries[*battery];
    let cells = battery.cells.zip(battery.chemistry.as_deref().and_then(cell::common));
    let found_at = pump.measured_at.as_ref().map(|volts| volts.0.to_f64()).or_else(|| {
        let (cells, kind) = cells?;
        let cell = kind.chemistry.cell();
        let volts = if corner.bad > 0.0 { cell.full } else { cell.nominal };
        Some(volts.0 * f64::from(cells))
    });
    let Some(found_at) = found_at.filter(|volts| *volts > 0.0) else {
        wants.note(Wanted::Volts, format!("batteries.{}.cells", battery.name));
        wants.note(Wanted::Volts, format!("batteries.{}.chemistry", battery.name));
        note(assumed, Assumption::FullVolts);
        return 1.0;
    };
    note(assumed, Assumption::LowVolts);
    // What comes up fast does so on as much as it may have had.
    if corner.bad < 0.0 {
        return 1.0;
    }
    let resistance = wants.need(
        battery.resistance.as_ref(),
        Wanted::Volts,
        &format!("batteries.{}.resistance", battery.name),
    );
    let ohms = resistance.map_or(0.0, |about| corner.of(about, |ohms| &ohms.0, 1.0));
    let sag = pump.current.as_ref().map_or(0.0, |amperes| amperes.0.to_f64() * ohms);
    ((below.0.to_f64() - sag) / found_at).clamp(0.0, 1.0)
}
