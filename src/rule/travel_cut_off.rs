//! Endpoint and sub-trim together ask for more than the set can send.

use super::context::Context;
use super::say::{self, Draft};
use crate::chain::{Shape, stick_signal};
use crate::finding::{Finding, Gap, Severity};
use crate::setup::{ControlKind, Exact, Side, SubTrimDoes};

/// The rule's name.
pub const NAME: &str = "travel-cut-off";

/// Once for each way of a channel with a control of its own that moves by degrees.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    let furthest = &setup.transmitter.furthest;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control else { continue };
        // A button or a switch has no part of its travel to lose.
        if matches!(setup.controls[own].kind, ControlKind::Buttons | ControlKind::Switch) {
            continue;
        }
        for side in Side::BOTH {
            let sign = c.longer.sign() * side.sign();
            let mut most = None;
            let mut under = Vec::new();
            for case in &context.cases(channel).cases {
                // Ends that are kept cut the travel by intention of the set.
                if case.order.sub_trim == SubTrimDoes::KeepsEnds {
                    continue;
                }
                let shape = Shape::of(setup, channel, &case.order);
                let stick = stick_signal(setup, channel, &side.position(), &case.settings);
                let out = shape.unlimited(&shape.endpoint(&stick)) * Exact::int(sign.into());
                if out > *furthest {
                    under.push(case.order);
                }
                most = most.max(Some(out));
            }
            let Some(most) = most else { continue };
            under.sort();
            under.dedup();
            let broken = !under.is_empty();
            let name = say::way_name(setup, channel, side);
            let mut draft = Draft::new(NAME, Severity::Warning, name.clone(), "piloting")
                .at(say::endpoint_path(setup, channel, side), format!("asks for {} with the sub-trim", say::percent(&most)))
                .and_at(crate::setup::Path::of(["transmitter", "furthest"]), format!("the set sends {} at most", say::percent(furthest)))
                .gap("asked", Gap::Percent(most.clone()))
                .gap("furthest", Gap::Percent(furthest.clone()))
                .help("lower the endpoint or the sub-trim; centre the horn on its spline and take the sub-trim back to 0 %");
            if broken && let Some(hint) = say::hangs_on_orders(context, channel, &under) {
                draft = draft.help(hint);
            }
            findings.push(draft.close_plain(
                broken,
                &format!("the last part of {name} does nothing: the set cannot send that far"),
                &format!("all of {name} moves the pulse"),
            ));
        }
    }
}
