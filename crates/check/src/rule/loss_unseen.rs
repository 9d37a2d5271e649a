//! The unit may never notice that the link is lost.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Missing, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{Figure, Notices, OnLoss, Path, UnitActs};

pub(super) const NAME: &str = "loss-unseen";

/// Once, if there is a unit.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let Some(unit) = &engine.setup.fail_safe else { return };
    let broken = engine.unit == UnitActs::Unsure;
    let on_loss = &engine.setup.receiver.on_loss;
    let noisy = matches!(on_loss, OnLoss::Noise);
    // A unit may watch for one of the presets that are stored, and the file does not say whether this one does.
    let may_watch = matches!(on_loss, OnLoss::Preset { values, .. } if !values.is_empty());
    let unsaid = broken && may_watch && engine.setup.lacks(Figure::Notices);
    let help = match unit.notices {
        Notices::NoPulses | Notices::Channel { .. } if noisy => {
            "behind a receiver that sends noise use a unit that `notices: invalid pulses`, tried twenty times near and far; or another receiver"
        }
        Notices::NoPulses => {
            "set the receiver to stop its pulses on a lost link (on_loss: no pulses), or use a unit that watches a channel for a preset"
        }
        Notices::InvalidPulses => {
            "switch the transmitter off and on twenty times, near and far, and write under `tried` that it acted each time; behind a receiver that holds or sends presets such a unit sees nothing wrong"
        }
        Notices::Channel { .. } => {
            "store a receiver preset on the watched channel that lies surely beyond the threshold"
        }
    };
    questions.push(
        Draft::new(NAME, Severity::Error, Subject::Unit, StateId::Waiting)
            .at(Path::of(["receiver", "on_loss"]), "this is what the unit gets when the link is lost")
            .and_at(Path::of(["fail_safe", "notices"]), "and this is what it watches for")
            .help(help)
            .asks(
                if unsaid { Asks::Unsaid(vec![wanting()]) } else { Asks::Fact(broken) },
                "the fail-safe unit is not sure to notice a lost link, so she may stay down",
                "the fail-safe unit surely notices a lost link",
            ),
    );
}

fn wanting() -> Missing {
    let range = Figure::Notices.range();
    Missing {
        path: Path::of(["fail_safe", "notices"]),
        bench: range.bench.to_owned(),
        holds: None,
        said: false,
        decides: None,
    }
}
