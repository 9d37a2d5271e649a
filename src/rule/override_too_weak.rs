//! The pilot's override moves less than the levelling unit puts against it.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::proof::Zone;
use crate::setup::{Exact, Input, Path, Side};

/// The rule's name.
pub const NAME: &str = "override-too-weak";

/// The role that makes a leveller's channel an override.
const ROLE: &str = "override";

/// Once for each way of a leveller's override, where the file says how much the unit corrects.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (id, device) in setup.devices.iter().enumerate() {
        let (Some(correction), Input::Channel(channel)) = (&device.facts.correction, device.input) else {
            continue;
        };
        let Some(own) = setup.channels[channel].control.filter(|_| device.role.as_deref() == Some(ROLE))
        else {
            continue;
        };
        let domain = context.everything.clone().with_trims_at_nought().with_springing_at_rest(setup);
        for side in Side::BOTH {
            let sign = setup.channels[channel].longer.sign() * side.sign();
            let domain = domain.clone().with_position(own, side.position());
            let place = context.piloting(id);
            // As strong as the correction is not stronger: she would stay as she is.
            let answer = context.ask(id, &place, &domain, sign, &|slack: &Exact| {
                let needed = correction + slack;
                if sign < 0 {
                    Zone { closed: true, ..Zone::above(-needed) }
                } else {
                    Zone { closed: true, ..Zone::below(needed) }
                }
            });
            let way = &setup.controls[own].ways[side.index()];
            findings.push(
                Draft::new(NAME, Severity::Warning, say::way_name(setup, channel, side), "piloting")
                    .on_side(sign)
                    .at(say::endpoint_path(setup, channel, side), format!("all that {way} held fully can do"))
                    .and_at(
                        Path::of(["devices", &device.name, "correction"]),
                        format!("{} puts this against it", device.name),
                    )
                    .name("unit", &device.name)
                    .help("raise this endpoint above the correction, or lower the gain or the limit of the unit")
                    .close(
                        context,
                        &answer,
                        &format!("{way} held fully may be weaker than the correction of {}", device.name),
                        &format!("{way} held fully overrules {}", device.name),
                    ),
            );
        }
    }
}
