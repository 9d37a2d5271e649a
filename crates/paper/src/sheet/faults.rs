//! The faults that only the bench shows, each as a test where the boat has what can go wrong.

use super::say::Say;
use crate::device::PulsesFail;
use crate::rule::faults::{self, Fault};
use crate::setup::{BoatKind, Device, Setup};

/// Where a fault can be tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tried {
    /// Hull open, on the bench.
    Open,
    /// In the water, with all on board that it takes.
    Afloat,
}

/// Those that a dry boat cannot show: they take a tank with water in it.
const AFLOAT: &[&str] = &["pump_stops", "supply"];

/// A test of the bench: a piece of the fault's own words, its label, and the boats that need it.
struct Bench {
    words: &'static str,
    label: &'static str,
    on: fn(&Setup) -> bool,
}

impl Bench {
    fn tried(&self) -> Tried {
        if AFLOAT.contains(&self.label) { Tried::Afloat } else { Tried::Open }
    }
}

const ALL: [Bench; 17] = [
    Bench { words: "V or X tail", label: "tail", on: has_mixed_tail },
    Bench { words: "no room to steer by the screws", label: "steering_screws", on: has_two_motors },
    Bench { words: "turns against each other", label: "screws", on: has_two_motors },
    Bench { words: "Going astern turns the leveller's", label: "leveller_astern", on: has_leveller },
    Bench { words: "set too keen", label: "leveller_hunts", on: has_leveller },
    Bench { words: "learned its level", label: "leveller_level", on: has_leveller },
    Bench { words: "plugged in behind the mixer", label: "unit_place", on: has_unit },
    Bench { words: "planes stay at dive", label: "planes", on: dives },
    Bench { words: "nothing stops it when the tank", label: "pump_stops", on: has_pump },
    Bench { words: "Two regulators", label: "regulators", on: has_motor },
    Bench { words: "Blowing takes more battery", label: "supply", on: has_tank },
    Bench { words: "memory of another boat", label: "memory", on: every },
    Bench { words: "does not carry the number", label: "numbers", on: every },
    Bench { words: "share a frequency", label: "shared", on: every },
    Bench { words: "of another revision", label: "revision", on: every },
    Bench { words: "come into line within the travel", label: "dead_centre", on: has_rod },
    Bench { words: "another one than the figures say", label: "rod", on: has_rod },
];

fn every(_: &Setup) -> bool {
    true
}

fn dives(setup: &Setup) -> bool {
    setup.boat.kind == BoatKind::Submarine
}

/// A tail that mixes takes two channels at least.
fn has_mixed_tail(setup: &Setup) -> bool {
    setup.channels.iter().filter(|c| !c.mixes.is_empty()).count() > 1
}

fn motors(setup: &Setup) -> usize {
    setup.devices.iter().filter(|d| d.kind.when_pulses_fail == PulsesFail::StopsUnlessSaid).count()
}

fn has_motor(setup: &Setup) -> bool {
    motors(setup) > 0
}

fn has_two_motors(setup: &Setup) -> bool {
    motors(setup) > 1
}

fn has_leveller(setup: &Setup) -> bool {
    setup.devices.iter().any(|d| d.kind.passes_on)
}

fn has_rod(setup: &Setup) -> bool {
    setup.devices.iter().any(|d| d.facts.linkage.is_some())
}

fn has_unit(setup: &Setup) -> bool {
    setup.fail_safe.is_some()
}

/// A pump on a switch, or behind a controller of its own.
fn has_pump(setup: &Setup) -> bool {
    let water = |d: &Device| {
        let mut all = d.all_effects().map(|(_, effect)| setup.effect_words(effect));
        all.any(|words| matches!(words, "fills" | "empties"))
    };
    let pumps = |d: &Device| d.works.iter().any(|w| w.kind.pumps) || d.kind.runs_a_motor() && water(d);
    setup.devices.iter().any(pumps)
}

fn has_tank(setup: &Setup) -> bool {
    dives(setup) && setup.has_tank()
}

/// The faults that have a test for the bench, in the order of their page.
fn for_the_bench() -> impl Iterator<Item = &'static Fault> {
    faults::all().iter().filter(|fault| fault.test.is_some())
}

/// What to do and what to see, for every fault of the bench that this boat can have and that is tried
/// there, in the order of the page of faults.
pub(super) fn tests(say: &Say<'_>, tried: Tried) -> Vec<[String; 2]> {
    let benches = for_the_bench().filter_map(|f| ALL.iter().find(|bench| f.what.contains(bench.words)));
    let here = benches.filter(|bench| (bench.on)(say.setup) && bench.tried() == tried);
    here.map(|bench| say.labels.fault(bench.label).map(str::to_owned)).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{AFLOAT, ALL, for_the_bench};
    use crate::labels::Labels;
    use crate::language;

    #[test]
    fn every_fault_of_the_bench_has_a_test_in_every_language() {
        let faults: Vec<_> = for_the_bench().collect();
        assert_eq!(faults.len(), ALL.len());
        assert!(AFLOAT.iter().all(|label| ALL.iter().any(|bench| bench.label == *label)));
        for fault in faults {
            let of = ALL.iter().filter(|bench| fault.what.contains(bench.words)).count();
            assert_eq!(of, 1, "{}", fault.what);
        }
        for (_, language) in language::ALL {
            let labels = Labels::of(*language);
            for bench in &ALL {
                assert!(labels.fault(bench.label).iter().all(|text| !text.is_empty()), "{}", bench.label);
            }
        }
    }
}
