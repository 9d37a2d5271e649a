//! How long she sails on one charge.

use super::cell::common;
use crate::physics::battery::Pack;
use crate::physics::units::{AmpereHours, Amperes, Between, Ohms, Seconds, Volts};
use crate::setup::{Battery, Path, Setup};

/// Of the printed capacity of a battery (common practice, no source). Cold, age and a current that takes it out in
/// an hour cost about as much; of a greater current than that of one hour nothing more is reckoned, but for lead.
pub(super) const OF_CAPACITY: f64 = 0.8;

/// How long a full battery carries what hangs on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Endurance {
    /// Until the unit acts, or the battery is flat; the lower bound is the one to rely on.
    pub lasts: Between<Seconds>,
    /// The voltage at which that is.
    pub until: Volts,
    /// The unit acts there.
    pub alarm: bool,
}

/// How long a full battery carries all that hangs on it with the motors at full speed and no pump running, an
/// estimate; or the keys without which nobody can say.
///
/// # Errors
/// The keys that are missing, in the order of the file; none where the figures do not go together.
pub fn endurance(setup: &Setup, battery: usize) -> Result<Endurance, Vec<Path>> {
    let flows = setup.currents(battery);
    let this = &setup.batteries[battery];
    let mut missing = flows.unknown_sailing;
    missing.extend(unknown(this));
    if !missing.is_empty() {
        missing.sort();
        return Err(missing);
    }
    let found = || {
        let chemistry = common(this.chemistry.as_deref()?)?.chemistry;
        let capacity = AmpereHours(this.capacity.as_ref()?.0.to_f64() * OF_CAPACITY);
        let about = this.resistance.as_ref()?;
        let resistance = Ohms((&about.value.0 + &about.off.0).to_f64());
        let pack = Pack::new(chemistry, this.cells?, capacity, resistance).ok()?;
        let watched = setup.fail_safe.as_ref().and_then(|unit| unit.low_battery.as_ref());
        let below = watched.filter(|(index, _)| *index == battery).map(|(_, volts)| Volts(volts.0.to_f64()));
        let until = below.unwrap_or(pack.end());
        let lasts = pack.time_from_full(until, Amperes(flows.sailing.to_f64())).ok()?;
        Some(Endurance { lasts, until, alarm: below.is_some() })
    };
    found().ok_or_else(Vec::new)
}

fn unknown(battery: &Battery) -> impl Iterator<Item = Path> {
    let chemistry = battery.chemistry.as_deref().and_then(common);
    let all = [
        ("cells", battery.cells.is_some()),
        ("chemistry", chemistry.is_some()),
        ("capacity", battery.capacity.is_some()),
        ("resistance", battery.resistance.is_some()),
    ];
    let at = Path::of(["batteries", &battery.name]);
    all.into_iter().filter(|(_, known)| !known).map(move |(key, _)| at.then(key))
}
