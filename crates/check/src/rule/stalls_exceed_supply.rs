//! All servos held fast at once draw more than the receiver's supply gives.

use super::engine::Engine;
use super::say::Draft;
use crate::finding::{Gap, Missing, Severity, StateId, Subject};
use crate::question::{Asks, Question};
use crate::setup::{Device, Exact, Input, Path};

pub(super) const NAME: &str = "stalls-exceed-supply";

/// Once, where the file gives the supply and something hangs on it that can be held fast, or what that draws then.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    // The motor of a controller has its current from the battery.
    let fed = setup.devices.iter().filter(|d| !d.kind.runs_a_motor());
    let (known, unknown): (Vec<&Device>, Vec<&Device>) = fed.partition(|d| d.facts.stall.is_some());
    let stalls: Vec<_> = known.into_iter().filter_map(|d| Some((d, d.facts.stall.as_ref()?))).collect();
    // A relay or a leveller has no motor that could be held fast.
    let missing = unknown.into_iter().filter(|d| d.kind.keys.contains(&"stall") && d.input != Input::None);
    let missing: Vec<Missing> = missing.map(wanting).collect();
    if stalls.is_empty() && missing.is_empty() {
        return;
    }
    let holds = format!("the supply feeds all {} servos held fast at once", stalls.len());
    let Some(supply) = &setup.receiver.supply.current else {
        let draft = Draft::new(NAME, Severity::Warning, Subject::Receiver, StateId::Piloting);
        let asks = Asks::Unsaid(vec![no_supply()]);
        questions.extend((!stalls.is_empty()).then(|| draft.asks(asks, "", holds)));
        return;
    };
    let sum = stalls.iter().fold(Exact::ZERO, |sum, (_, stall)| sum + &stall.0);
    let amperes = |value: &Exact| format!("{} A", value.to_decimal(2));
    let mut draft = Draft::new(NAME, Severity::Warning, Subject::Receiver, StateId::Piloting)
        .at(Path::of(["receiver", "supply"]), "all there is for receiver and servos");
    for (device, _) in &stalls {
        draft = draft.and_at(Path::of(["devices", &device.name, "stall"]), "held fast it draws this");
    }
    let asks = match sum > supply.0 {
        false if !missing.is_empty() => Asks::Unsaid(missing),
        broken => Asks::Fact(broken),
    };
    questions.push(
        draft
            .gap("sum", Gap::Amperes(sum.clone()))
            .gap("supply", Gap::Amperes(supply.0.clone()))
            .help("use a stronger supply, give the hungriest servo one of its own, or see to it that no endpoint reaches a stop")
            .asks(
                asks,
                format!(
                    "{} servos held fast draw {}, the supply gives {}: the receiver may restart under way",
                    stalls.len(),
                    amperes(&sum),
                    amperes(&supply.0)
                ),
                holds,
            ),
    );
}

/// What the receiver and the servos are fed with, where nobody says what that gives.
fn no_supply() -> Missing {
    Missing {
        path: Path::of(["receiver", "supply"]),
        bench: "read the current off the regulator or the controller that feeds the receiver, or take it from its papers"
            .to_owned(),
        holds: None,
        said: false,
        decides: None,
    }
}

/// A servo of which nobody knows what it draws when it is held fast.
fn wanting(device: &Device) -> Missing {
    Missing {
        path: Path::of(["devices", &device.name, "stall"]),
        bench: "hold its horn fast for half a second and read the current, or take it from its papers"
            .to_owned(),
        holds: None,
        said: false,
        decides: None,
    }
}
