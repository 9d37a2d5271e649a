//! The lowest battery threshold that leaves enough for a blow.

use super::cell::common;
use super::endurance::OF_CAPACITY;
use super::missing::{Wanted, Wants};
use super::solve::{OVER, Setting, Sought, Stop, TENTH};
use super::tries::Breaks;
use super::{Cause, Start, worst_case};
use crate::physics::battery::Pack;
use crate::physics::units::{AmpereHours, Amperes, Ohms, Volts};
use crate::setup::{Battery, Emptier, Path, Setup};

/// The lowest threshold, where the file gives all that the battery has to feed.
pub(super) fn proposed(setup: &Setup, wants: &mut Wants) -> Option<Setting> {
    let mut own = Wants::default();
    let found = below(setup, &mut own);
    let missing = own.into_list();
    missing.iter().for_each(|missing| wants.note(missing.wanted, missing.path.clone()));
    found.filter(|_| missing.is_empty())
}

/// The lowest threshold of the battery that leaves enough for a blow, with currents that are not given at none, which is
/// their best; `None` where the file tells too little.
pub fn lowest_threshold(setup: &Setup) -> Option<Setting> {
    below(setup, &mut Wants::default())
}

fn below(setup: &Setup, wants: &mut Wants) -> Option<Setting> {
    let (index, now) = setup.fail_safe.as_ref()?.low_battery.as_ref()?;
    let battery = &setup.batteries[*index];
    let pack = pack(battery, wants)?;
    let (worst, missing) = worst_case(setup, Cause::Battery, &Start::default());
    for missing in missing.iter().filter(|m| m.wanted == Wanted::Charge) {
        wants.note(Wanted::Charge, missing.path.clone());
    }
    let draws = wants
        .need(battery.draws.as_ref(), Wanted::Charge, || Path::of(["batteries", &battery.name, "draws"]));
    let besides = draws.map(|amperes| amperes.0.to_f64());
    // Servos and receiver have to hold out until the last of it is over, pumps or none.
    let until_over = besides.map(|amperes| AmpereHours(amperes * worst.ends_at().0 / 3600.0));
    let needed = worst.charge.into_iter().chain(until_over).reduce(|a, b| a + b)?;
    let currents = setup.tank.emptied_by.iter().filter_map(|(_, emptier)| match emptier {
        Emptier::Pump(pump) => pump.current.as_ref().map(|a| a.0.to_f64()),
        Emptier::Gas(_) => None,
    });
    let work = Amperes(currents.sum::<f64>() + besides.unwrap_or(0.0));
    // Read with nothing else running: what flows at the alarm would only leave more.
    let lowest = pack.lowest_threshold(needed * OVER, Amperes(0.0), work).ok()?;
    let keeps = lowest.map(|v: Volts| (v.0 / TENTH - 1e-9).ceil() / 10.0);
    // At the voltage of a good battery under load the unit would act on every full one.
    let loaded =
        |cells: u32| battery.chemistry.as_deref().and_then(common).map(|c| c.loaded * i64::from(cells));
    let loaded = battery.cells.and_then(loaded).map_or(f64::INFINITY, |hundredths| hundredths as f64 / 100.0);
    let keeps = keeps.filter(|&volts| volts < loaded);
    let stopped = keeps.map(|_| Stop::Breaks { breaks: Breaks::Charge, as_written: false });
    Some(Setting { sought: Sought::Below, now: Some(now.0.to_f64()), keeps, stopped })
}

fn pack(battery: &Battery, wants: &mut Wants) -> Option<Pack> {
    let mut key = |key: &str, missing: bool| {
        if missing {
            wants.note(Wanted::Charge, Path::of(["batteries", &battery.name, key]));
        }
    };
    let chemistry = battery.chemistry.as_deref().and_then(common).map(|cell| cell.chemistry);
    let capacity = battery.capacity.as_ref().map(|c| c.0.to_f64());
    key("chemistry", chemistry.is_none());
    key("cells", battery.cells.is_none());
    key("capacity", capacity.is_none());
    key("resistance", battery.resistance.is_none());
    let resistance = battery.resistance.as_ref()?;
    let resistance = Ohms((&resistance.value.0 + &resistance.off.0).to_f64());
    Pack::new(chemistry?, battery.cells?, AmpereHours(capacity? * OF_CAPACITY), resistance).ok()
}
