//! What a pump gets of the voltage at which its curve was found.

use super::corner::{Corner, Salt, Warmth};
use super::missing::{Wanted, Wants};
use super::{Assumption, Cause, body::note, cell};
use crate::physics::units::Pascals;
use crate::setup::{Path, Pump, Setup, WorkRef};

/// The pressure against which a pump moves nothing any more, with everything against it: its tolerance, the
/// lowest voltage of its battery, and what all pumps of the boat and all else draw from that together. `None`
/// where no curve can be made of its points.
pub fn gives_up_at(setup: &Setup, pump: &Pump) -> Option<Pascals> {
    let all: Vec<WorkRef> = setup.tank.emptied_by.iter().map(|(work, _)| *work).collect();
    let (mut wants, mut assumed) = (Wants::default(), Vec::new());
    let amperes = pumps_draw(setup, &all, &mut wants);
    let worst = Corner::worst((Warmth::Coldest, Salt::Most), 0, false);
    let share = share(setup, Cause::Loss, pump, amperes, &worst, &mut wants, &mut assumed);
    Some(pump.gives_up_at().ok()? * share * share)
}

/// The amperes of all these pumps together, noting as missing what is not given.
pub(super) fn pumps_draw(setup: &Setup, on: &[WorkRef], wants: &mut Wants) -> f64 {
    let mut sum = 0.0;
    for (work, pump) in setup.pumps().filter(|(work, _)| on.contains(work)) {
        let path = || setup.emptier_path(work).then("current");
        sum += wants.need(pump.current.as_ref(), Wanted::Volts, path).map_or(0.0, |a| a.0.to_f64());
    }
    sum
}

/// The part of its voltage that a pump runs on, while the pumps together draw `amperes`.
///
/// - as written: all of it, but on a low battery the voltage that the unit watches for;
/// - at the bad end: that voltage whatever the cause, for a battery that has reached it is nobody's fault; of one
///   that nobody watches the end of its discharge. Less what the current of all pumps and of all else that
///   hangs on the battery costs in its resistance;
/// - at the end that comes up fast: that of a full battery, or on a low one that of the threshold, and no current.
///
/// A curve of which nobody says at how many volts it was found is taken for one at the nominal voltage, at the
/// bad end for one on a full battery, and at the other for one on an empty one.
pub(super) fn share(
    setup: &Setup,
    cause: Cause,
    pump: &Pump,
    amperes: f64,
    corner: &Corner,
    wants: &mut Wants,
    assumed: &mut Vec<Assumption>,
) -> f64 {
    if cause != Cause::Battery && corner.as_written() {
        return 1.0;
    }
    let Some((index, below)) = setup.battery_of_pumps() else {
        wants.note(Wanted::Volts, Path::of(["batteries"]));
        note(assumed, Assumption::FullVolts);
        return 1.0;
    };
    let battery = &setup.batteries[index];
    let key = |key: &str| Path::of(["batteries", &battery.name, key]);
    let cells = wants.need(battery.cells, Wanted::Volts, || key("cells"));
    let cell = battery.chemistry.as_deref().and_then(cell::common).map(|c| c.chemistry.cell());
    let cell = wants.need(cell, Wanted::Volts, || key("chemistry"));
    let pack = cells
        .zip(cell)
        .map(|(cells, cell)| [cell.end, cell.nominal, cell.full].map(|volts| volts.0 * f64::from(cells)));
    let low = below.map(|volts| volts.0.to_f64()).or(pack.map(|[end, _, _]| end));
    let Some(low) = low else {
        note(assumed, Assumption::FullVolts);
        return 1.0;
    };
    let found_at = pump.measured_at.as_ref().map(|volts| volts.0.to_f64()).or_else(|| {
        let [_, nominal, full] = pack?;
        Some(if corner.bad > 0.0 {
            full
        } else if corner.bad < 0.0 {
            low
        } else {
            nominal
        })
    });
    let Some(found_at) = found_at.filter(|volts| *volts > 0.0) else {
        note(assumed, Assumption::FullVolts);
        return 1.0;
    };
    note(assumed, Assumption::LowVolts);
    if corner.bad < 0.0 {
        let most = pack.filter(|_| cause != Cause::Battery).map_or(low, |[_, _, full]| full.max(low));
        return (most / found_at).max(1.0);
    }
    let resistance = wants.need(battery.resistance.as_ref(), Wanted::Volts, || key("resistance"));
    let ohms = resistance.map_or(0.0, |about| corner.of(about, |ohms| &ohms.0, 1.0));
    wants.need(battery.draws.as_ref(), Wanted::Volts, || key("draws"));
    let sag = (amperes + setup.currents(index).sailing.to_f64()) * ohms;
    ((low - sag) / found_at).clamp(0.0, 1.0)
}
