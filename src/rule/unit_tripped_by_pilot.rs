//! The pilot can trip the unit by moving a stick.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::proof::{Verdict, Zone};
use crate::setup::{Notices, Path};

/// The rule's name.
pub const NAME: &str = "unit-tripped-by-pilot";

/// Once, if the unit watches a channel.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    let Some(Notices::Channel { channel, beyond }) = setup.fail_safe.as_ref().map(|u| &u.notices) else {
        return;
    };
    let sign = beyond.value.signum();
    let scale = &setup.transmitter.pulse;
    let slack = scale.width(&scale.accuracy, sign);
    let edge = beyond.nearest(sign);
    let zone = if sign < 0 { Zone::up_to(edge + slack) } else { Zone::from(edge - slack) };
    let answer = context.cases(*channel).meets(setup, &context.everything, &zone);
    let side = say::way_towards(setup, *channel, sign);
    let mut draft = Draft::new(NAME, Severity::Error, "fail_safe".into(), "piloting")
        .on_side(sign)
        .place("channel", setup.channels[*channel].number.to_string())
        .account_of_pulse(setup, ("threshold of the fail-safe unit".into(), beyond), sign)
        .at(
            say::endpoint_path(setup, *channel, side),
            "piloting can take the watched channel past the unit's threshold",
        )
        .and_at(Path::of(["fail_safe", "notices"]), format!("it acts beyond {}", say::toleranced(beyond)));
    if !matches!(answer.verdict, Verdict::Clear) {
        draft = draft.help("lower this endpoint, or watch for a preset farther out");
    }
    findings.push(draft.close(
        context,
        &answer,
        &format!("the pilot can trip the fail-safe unit on {}", setup.channel_title(*channel)),
        &format!("the pilot never trips the fail-safe unit on {}", setup.channel_title(*channel)),
    ));
}
