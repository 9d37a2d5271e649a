//! More liquefied gas in a bottle than it may hold.

use super::engine::Engine;
use super::estimate::{bottles, lacking};
use super::say::Draft;
use crate::finding::{Finding, Severity, StateId, Subject};
use crate::physics::gas::liquefied::greatest_fill;
use crate::physics::units::{CubicMetres, figures_above, figures_below};
use crate::rehearsal::CAUTION;
use crate::setup::GasKind;

pub(super) const NAME: &str = "bottle-too-full";

/// Once for each bottle of liquefied gas whose size and charge the file tells. The greatest fill is that of
/// ADR 4.3.3.2.2, see [`greatest_fill`]; of a mixture, that of its lightest liquid.
pub(super) fn apply(engine: &Engine, findings: &mut Vec<Finding>) {
    let setup = engine.setup;
    for (work, gas, path) in bottles(setup) {
        let GasKind::Liquefied(parts) = &gas.kind else { continue };
        let name = setup.work_name(work);
        let (Some(volume), Some(charge)) = (&gas.bottle, &gas.charge) else {
            let given = [("bottle", gas.bottle.is_some()), ("charge", gas.charge.is_some())];
            let missing = lacking(given.map(|(key, given)| (path.then(key), given)));
            let draft = Draft::new(NAME, Severity::Error, Subject::Function(work), StateId::Piloting);
            findings.push(draft.close_unsaid(missing, "the bottle holds no more than it may"));
            continue;
        };
        let volume = CubicMetres::from_litres(volume.0.to_f64());
        let fills = parts.iter().filter(|(_, share)| share.signum() > 0);
        let fills = fills.filter_map(|(kind, _)| greatest_fill(kind.liquid(), volume).ok());
        let Some(most) = fills.map(|fill| fill.grams()).reduce(f64::min) else { continue };
        let held = (&charge.value.0 + &charge.off.0).to_f64() * 1000.0;
        if held <= most {
            continue;
        }
        let (most, held) = (figures_below(most, 3), figures_above(held, 3));
        findings.push(
            Draft::new(NAME, Severity::Error, Subject::Function(work), StateId::Piloting)
                .at(path.then("charge"), format!("up to {held} g"))
                .and_at(path.then("bottle"), format!("this may hold {most} g"))
                .help("a bottle full of liquid gains several bar with every degree and bursts in the sun: fill it by weight, to 0.95 of the liquid's density at 50 degC at the most")
                .help(CAUTION)
                .close_plain(
                    true,
                    &format!("{name}: up to {held} g in a bottle that may hold {most} g"),
                    "",
                ),
        );
    }
}
