//! The link ends where the water begins.

use super::engine::Engine;
use super::radio_estimate::{self, Estimate, assumed, depth_at_most, salty, told};
use super::say::Draft;
use crate::finding::{Severity, StateId, Subject};
use crate::physics::units::figures;
use crate::question::Question;
use crate::radio::{DEFER, shown, water};
use crate::setup::quantity::Metres;
use crate::setup::{BoatKind, Exact, Path, Water};

pub(super) const NAME: &str = "band-stops-at-surface";

/// Once for a submarine that goes under, if the file names the frequency: water is the same everywhere.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let (set, boat) = (&engine.setup.transmitter, &engine.setup.boat);
    let Some(hertz) = set.hertz else { return };
    let dives = boat.depth_limit.as_ref().is_none_or(|depth| depth.0 > Exact::ZERO);
    if boat.kind != BoatKind::Submarine || !dives {
        return;
    }
    let (sea, kind) = match boat.water {
        Water::Fresh | Water::Brackish if salty(engine.setup) => (false, "water as salty as hers"),
        Water::Fresh | Water::Brackish => (false, "fresh water"),
        Water::Sea => (true, "sea water"),
    };
    // That a band gets through hangs on the link and the water: nobody can promise it, so nothing is said.
    let reach = depth_at_most(engine.setup);
    // Salt that is not the sea's shuts out what the estimate says; where the margin is known, another rule does.
    let short = |limit: &Metres| reach.is_some_and(|reach| limit.0.to_f64() > reach.ends.low.0);
    let by_salt = salty(engine.setup) && set.margin.is_none() && boat.depth_limit.as_ref().is_none_or(short);
    if !water::is_shut_out(hertz, sea) && !by_salt {
        return;
    }
    let loss = radio_estimate::loss(engine.setup);
    let label = match &loss {
        Some(Estimate { middle, ends }) => format!(
            "each metre of {kind} takes an estimated {} dB ({} to {}) off this",
            figures(middle.0, 2),
            figures(ends.low.0, 2),
            figures(ends.high.0, 2)
        ),
        None => format!("{kind} takes this off"),
    };
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::Transmitter, StateId::Piloting)
        .at(Path::of(["transmitter", "frequency"]), label);
    if let Some(depth) = &boat.depth_limit {
        draft = draft.and_at(
            Path::of(["boat", "depth_limit"]),
            format!("and she may go down to {} m", depth.0.to_decimal(2)),
        );
    }
    if sea {
        draft = draft.and_at(Path::of(["boat", "water"]), "salt shuts out every band").sentence("sea");
    }
    draft = draft
        .help("write `aerial: floats` under boat if her aerial is kept above the water while she is under");
    draft = draft.help(if sea {
        format!("in the sea nothing else helps: no model band gets through salt water; for the band itself, {DEFER}")
    } else {
        match by_salt {
            true => "in water as salty as this no band reaches far: sail her in fresher water, or less deep".to_owned(),
            false => format!("or take a band that goes through fresh water, such as 27, 40 or 75 MHz; {DEFER}"),
        }
    });
    if loss.is_some() {
        draft = draft.help(format!("{}; a test on a tether in shallow water decides", assumed(engine.setup)));
    }
    let gone = match reach {
        Some(depth) => format!("estimated to end at {}", told(&depth)),
        None => "gone somewhere near the surface".to_owned(),
    };
    questions.push(draft.fact(
        !boat.aerial_floats,
        format!("{} does not reach her dived: in {kind} the link is {gone}", shown(hertz)),
        format!("her aerial is kept above the water, where {} reaches it", shown(hertz)),
    ));
}
