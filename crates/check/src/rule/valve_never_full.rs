//! A valve of which the place where it is fully open lies beyond where its servo binds.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::Path;

pub(super) const NAME: &str = "valve-never-full";

/// Once for each work with a `full` on a device with a stop on that side.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (work, w) in engine.works() {
        let device = &setup.devices[work.device];
        let side = usize::from(w.sign > 0);
        let (Some(full), Some(stop)) = (&w.full, &device.stops[side]) else { continue };
        let needs = full.farthest(w.sign).outward(w.sign);
        let binds = stop.nearest(w.sign).outward(w.sign);
        let name = setup.work_name(work);
        questions.push(
            Draft::new(NAME, Severity::Warning, Subject::Function(work), StateId::Piloting)
                .at(say::work_path(setup, work).then("full"), "it may be fully open only here")
                .and_at(
                    Path::of(["devices", &device.name, "stops", &side.to_string()]),
                    "and something may bind here",
                )
                .help("hang the rod farther out on the horn or nearer in on the valve's lever, so that it is fully open before anything binds; both places are others then")
                .fact(
                    needs > binds,
                    format!("{name} may never be fully open: something binds before it is"),
                    format!("{name} can be opened fully before anything binds"),
                ),
        );
    }
}
