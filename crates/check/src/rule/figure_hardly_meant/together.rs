//! Figures of which each may be that of a model, and that no model has together.

use super::{Figures, NAME, say};
use crate::finding::{Severity, StateId, Subject};
use crate::rule::say::Draft;
use crate::setup::{BoatKind, Exact, Path, Setup};

/// The deepest hull for its beam that still is one, keel and sail not counted (common practice, no source).
const DEPTH_FOR_BEAM: i64 = 3;

/// The most that her tank, or the air in her hull, has of what she weighs, litre by kilogram: a boat that is nearly all
/// tank has twice as much (likewise).
const HELD_FOR_WEIGHT: i64 = 3;

/// A figure with its place, its amount and how it is told.
struct Told<'a> {
    path: Path,
    amount: &'a Exact,
    text: String,
}

fn told<'a>(path: Path, amount: &'a Exact, unit: &str) -> Told<'a> {
    Told { path, amount, text: format!("{} {unit}", amount.to_decimal(3)) }
}

impl Figures {
    pub(super) fn of_a_body(&mut self, setup: &Setup) {
        let hull = &setup.hull;
        let of = |section: &str, key: &str| Path::of([section, key]);
        let length = hull.length.as_ref().map(|q| told(of("hull", "length"), &q.0, "mm"));
        let beam = hull.beam.as_ref().map(|q| told(of("hull", "beam"), &q.0, "mm"));
        self.no_more(Subject::Hull, beam, length, "she is broader than long");
        // What floats in water weighs as much as the water in whose place it is, about a kilogram the litre.
        if setup.boat.kind == BoatKind::Other {
            return;
        }
        let dives = setup.dives();
        let weight = || hull.weight.as_ref().map(|q| told(of("hull", "weight"), &q.value.0, "kg"));
        let held = hull.weight.as_ref().map(|q| &q.value.0 * Exact::int(HELD_FOR_WEIGHT));
        let held = || {
            let text = format!("{HELD_FOR_WEIGHT} times what she weighs, in litres");
            held.as_ref().map(|amount| Told { path: of("hull", "weight"), amount, text })
        };
        let volume = setup.tank.volume.as_ref().filter(|_| dives);
        let volume = volume.map(|q| told(of("tank", "volume"), &q.value.0, "L"));
        self.no_more(Subject::Tank, volume, held(), "her tank takes far more water than she weighs");
        let air = hull.air.as_ref().filter(|_| dives);
        let air = air.map(|q| told(of("hull", "air"), &q.value.0, "L"));
        self.no_more(Subject::Hull, air, held(), "with so much air in her she floats high on the water");
        if let (Some(length), Some(beam)) = (&hull.length, &hull.beam)
            && !self.asks_about(&of("hull", "length"))
        {
            let litres = &length.0 * &beam.0 * &beam.0 * Exact::ratio(DEPTH_FOR_BEAM, 1_000_000);
            let text = "a body of her length and beam holds, three times as deep as it is broad".to_owned();
            let holds = Told { path: of("hull", "beam"), amount: &litres, text };
            self.no_more(
                Subject::Hull,
                weight(),
                Some(holds),
                "she is too heavy for her length and beam to float",
            );
        }
    }

    pub(super) fn of_times(&mut self, setup: &Setup) {
        for function in setup.works() {
            let facts = &setup.work(function).facts;
            let at = |key: &str| say::work_path(setup, function).then(key);
            let needs = facts.must_run.as_ref().map(|q| told(at("must_run"), &q.0, "s"));
            let may = facts.longest.as_ref().map(|q| told(at("longest"), &q.0, "s"));
            self.no_more(Subject::Function(function), needs, may, "it has to run for longer than it may");
        }
    }

    fn asks_about(&self, path: &Path) -> bool {
        self.found.iter().any(|found| found.primary.0 == *path)
    }

    /// One that is never more than another, where the file gives both.
    fn no_more(&mut self, about: Subject, one: Option<Told>, other: Option<Told>, what: &str) {
        let (Some(one), Some(other)) = (one, other) else { return };
        // Of one that is asked about by itself nothing more is to be said.
        if one.amount <= other.amount || self.asks_about(&one.path) || self.asks_about(&other.path) {
            return;
        }
        let draft = Draft::new(NAME, Severity::Warning, about, StateId::OnPaper)
            .at(one.path, format!("{}, more than {}", one.text, other.text))
            .and_at(other.path, "beside this")
            .help("look for a slip of the unit or of the point in either; if both are right, accept the finding with that reason");
        self.found.push(draft.close_plain(true, what, ""));
    }
}
