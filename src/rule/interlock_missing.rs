//! Something that fires, lets go or is called dangerous hangs on one control, without a switch that arms it.

use super::context::Context;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::proof::Verdict;
use crate::proof::cases::Influence;
use crate::setup::{Reserved, WorkRef};

/// The rule's name.
pub const NAME: &str = "interlock-missing";

/// Once for each work that fires, lets go or is called dangerous and that the pilot can reach.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (work, w) in context.works().filter(|(_, w)| w.kind.lets_go || w.facts.dangerous) {
        // What is out of reach for good is another rule's.
        if w.reserved == Reserved::Always || !context.pilot_may_engage(work) {
            continue;
        }
        let name = setup.work_name(work);
        findings.push(
            Draft::new(NAME, Severity::Warning, name.clone(), "piloting")
                .at(say::work_path(setup, work), "one touch is enough")
                .help("let a switch arm it: a rate that is too small to reach it until the switch is thrown, and `reserved: {unless: {guard: armed}}` here")
                .close_plain(
                    w.reserved == Reserved::No && !is_guarded(context, work),
                    &format!("{name}, the {}, may {} at a single touch", w.kind.name, w.kind.verb),
                    &format!("{name} asks for a switch to be thrown first"),
                ),
        );
    }
}

/// Whether a switch other than the control itself can put a work out of the pilot's reach; it need
/// not be called a guard to be one.
pub fn is_guarded(context: &Context, work: WorkRef) -> bool {
    let setup = context.setup;
    let Some(channel) = setup.channel_of(work.device) else { return false };
    let place = context.piloting(work.device);
    let own = setup.channels[channel].control;
    let switches = Influence::on(setup, channel).switches;
    switches.into_iter().filter(|&switch| Some(switch) != own).any(|switch| {
        (0..setup.controls[switch].settings.len()).any(|setting| {
            let domain = context.everything.clone().with_settings(&[(switch, setting)]);
            matches!(context.may_engage(work, &place, &domain, false).verdict, Verdict::Clear)
        })
    })
}
