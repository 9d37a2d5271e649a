//! What readings of a point prove of all that follow.

use crate::setup::{Exact, Function, Readings, Setup, Toleranced};

/// A claim about all readings to come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proves {
    /// Of how many of them and how surely: `95 % of all at 95 % confidence`.
    pub words: String,
    /// Between which pulses they lie, in microseconds.
    pub ends: [Exact; 2],
}

/// Of readings in microseconds that were crept up to along the axis, towards -1 or +1; `None` of too few.
pub fn of(setup: &Setup, w: &Function, read: &[(String, Exact)], crept: i32) -> Option<Proves> {
    let (axis, set) = (&setup.axis, &setup.transmitter);
    let taken = read.iter().map(|(_, us)| Toleranced {
        value: axis.position_of(&crate::setup::quantity::Micros(us.clone())),
        off: Exact::ZERO,
    });
    let usual = w.readings().next();
    let dangerous = Exact::percent(if w.is_dangerous() { 99 } else { 95 });
    let readings = Readings {
        taken: taken.collect(),
        // These are crept up to on the set in the file.
        step: axis.share_from(&set.pulse.scale, &set.step, w.sign),
        crept,
        coverage: usual.map_or(dangerous, |r| r.coverage.clone()),
        confidence: usual.map_or_else(|| Exact::percent(95), |r| r.confidence.clone()),
    };
    let point = readings.enough().then(|| readings.point()).flatten()?;
    let percent = |share: &Exact| (share * Exact::int(100)).to_decimal(2);
    let words =
        format!("{} % of all at {} % confidence", percent(&readings.coverage), percent(&readings.confidence));
    let ends = [&point.value - &point.off, &point.value + &point.off].map(|at| axis.pulse_at(&at).0);
    Some(Proves { words, ends })
}
