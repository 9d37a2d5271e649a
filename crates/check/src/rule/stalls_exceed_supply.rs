//! All servos held fast at once draw more than the receiver's supply gives.

use super::context::Context;
use super::say::Draft;
use crate::finding::{Gap, Severity, StateId, Subject};
use crate::question::Question;
use crate::setup::{Exact, Path};

/// The rule's name.
pub(super) const NAME: &str = "stalls-exceed-supply";

/// Once, where the file gives the supply and at least one stall current.
pub(super) fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = context.setup;
    let Some(supply) = &setup.receiver.supply.current else { return };
    // The motor of a controller has its current from the battery.
    let fed = setup.devices.iter().filter(|d| !d.kind.runs_a_motor());
    let stalls: Vec<_> = fed.filter_map(|d| d.facts.stall.as_ref().map(|stall| (d, stall))).collect();
    if stalls.is_empty() {
        return;
    }
    let sum = stalls.iter().fold(Exact::ZERO, |sum, (_, stall)| sum + &stall.0);
    let amperes = |value: &Exact| format!("{} A", value.to_decimal(2));
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::Receiver, StateId::Piloting)
        .at(Path::of(["receiver", "supply"]), "all there is for receiver and servos");
    for (device, _) in &stalls {
        draft = draft.and_at(Path::of(["devices", &device.name, "stall"]), "held fast it draws this");
    }
    questions.push(
        draft
            .gap("sum", Gap::Amperes(sum.clone()))
            .gap("supply", Gap::Amperes(supply.0.clone()))
            .help("use a stronger supply, give the hungriest servo one of its own, or see to it that no endpoint reaches a stop")
            .fact(
                sum > supply.0,
                format!(
                    "{} servos held fast draw {}, the supply gives {}: the receiver may restart under way",
                    stalls.len(),
                    amperes(&sum),
                    amperes(&supply.0)
                ),
                format!("the supply feeds the {} servos whose stall current is known", stalls.len()),
            ),
    );
}
