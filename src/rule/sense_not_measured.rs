//! Nobody measured which way lengthens the pulse.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};

/// The rule's name.
pub const NAME: &str = "sense-not-measured";

/// Once for each channel with a control.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (channel, c) in setup.channels.iter().enumerate() {
        let Some(own) = c.control else { continue };
        let way = &setup.controls[own].ways[c.longer.index()];
        let title = setup.channel_title(channel);
        findings.push(
            Draft::new(NAME, Severity::Warning, say::way_name(setup, channel, c.longer), "piloting")
                .at(
                    say::channel_path(setup, channel),
                    format!("`longer` is missing; {way} is assumed to lengthen the pulse"),
                )
                .place("channel", c.number.to_string())
                .help(format!(
                    "hold {way} with a pulse meter or the set's servo monitor on this channel; if the pulse gets longer write `longer: {way}`, else the other way"
                ))
                .close_plain(
                    !c.longer_measured,
                    &format!("nobody measured which way of {title} lengthens the pulse"),
                    &format!("{title}: {way} lengthens the pulse, as measured"),
                ),
        );
    }
}
