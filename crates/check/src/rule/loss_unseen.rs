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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::NAME;
    use crate::finding::Outcome;
    use crate::setup::lower::lower;
    use crate::source::Source;

    /// A unit that was tried with noise sees nothing wrong where the last signal is held, and which of the two comes
    /// nobody said.
    #[test]
    fn a_unit_that_knows_noise_is_not_sure_to_hear_what_nobody_said() {
        let text = std::fs::read_to_string("../../tests/fixtures/clean/smew.yaml").unwrap();
        let outcome = |text: &str| {
            let source = Source::from_bytes("x", text.as_bytes().to_vec()).unwrap();
            let findings = crate::rule::check(&lower(&source).unwrap());
            findings.iter().find(|f| f.rule == NAME).unwrap().outcome
        };
        assert!(text.contains("on_loss: noise, "));
        assert_eq!(outcome(&text), Outcome::Proved);
        assert_eq!(outcome(&text.replace("on_loss: noise, ", "")), Outcome::NotJudged);
    }
}
