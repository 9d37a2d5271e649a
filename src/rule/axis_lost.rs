//! Limits swallow a way while other controls are moved: no steering at full throttle.

use super::context::{Context, Judged};
use super::say::{self, Draft};
use super::sense_reversed::{about, domains, shown};
use crate::finding::{Finding, Severity};
use crate::proof::sense::Moves;

/// The rule's name.
pub const NAME: &str = "axis-lost";

/// Once for each way that wants an effect and each channel that it drives.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for Judged { sense, anywhere, .. } in context.senses() {
        let name = about(setup, sense);
        let lost = anywhere.moves == Moves::NotAtAll;
        let way = &setup.controls[sense.control].ways[sense.side.index()];
        let title = setup.channel_title(sense.channel);
        let mut draft = Draft::new(NAME, Severity::Warning, name, "piloting")
            .at(
                say::channel_path(setup, sense.channel),
                format!("{way} may come to nothing here while other controls are held"),
            )
            .help("lower the rates or mixes so that their sum stays within 100 %, or raise the endpoint");
        if lost && let Some(hint) = say::hangs_on_orders(context, sense.channel, &anywhere.orders) {
            draft = draft.help(hint);
        }
        let mut finding = draft.close_plain(
            lost,
            &format!("with other controls held, {way} may no longer move {title} at all"),
            &format!("{way} moves {title} wherever the other controls are"),
        );
        if lost {
            finding.witness = shown(context, sense, anywhere, &domains(context).1);
        }
        findings.push(finding);
    }
}
