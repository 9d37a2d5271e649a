//! Something that can hurt is on as soon as the battery is connected.

use super::context::Context;
use super::interlock_missing::is_guarded;
use super::say::{self, Draft};
use crate::finding::{Finding, Severity};
use crate::proof::Verdict;
use crate::setup::{Path, Reserved, Work};

/// The rule's name.
pub const NAME: &str = "starts-on";

/// Whether a work can hurt somebody who does not expect it.
pub fn can_hurt(w: &Work) -> bool {
    w.kind.fires || w.kind.heats || w.facts.dangerous
}

/// Once for each work that can hurt.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    for (work, w) in context.works().filter(|(_, w)| can_hurt(w)) {
        let name = setup.work_name(work);
        let mut draft = Draft::new(NAME, Severity::Error, name.clone(), "power-up")
            .at(say::work_path(setup, work), "can hurt whoever connects the battery");
        let mut left = None;
        if w.facts.wakes_on {
            draft = draft.and_at(say::work_path(setup, work).then("wakes"), "on until it hears a signal");
        } else if !is_guarded(context, work) {
            // The set is on first: everything that springs is at rest, everything else is where it
            // was left last time, but the guard is where it belongs.
            let mut domain = context.everything.clone().with_trims_at_nought().with_springing_at_rest(setup);
            if let Reserved::Unless(switch, setting) = w.reserved {
                domain = domain.without_setting(switch, setting);
            }
            let answer = context.may_engage(work, &context.piloting(work.device), &domain, false);
            // A work that trims or sub-trims reach is the mistake of another rule.
            let own = setup.channel_of(work.device).and_then(|c| setup.channels[c].control);
            left = own.filter(|&own| {
                !setup.controls[own].springs_back && matches!(answer.verdict, Verdict::Met(_))
            });
        }
        if let Some(own) = left {
            let control = &setup.controls[own].name;
            draft = draft
                .and_at(Path::of(["controls", control]), "stays where it was left")
                .sentence("left_on")
                .name("control", control);
        }
        let why = match left {
            Some(own) => format!("if {} was left there", setup.controls[own].name),
            None => "until it hears a signal".to_owned(),
        };
        findings.push(
            draft
                .help("put it on a control that springs back, or let a guard switch arm it and prove that: `reserved: {unless: {guard: armed}}`; use a switch unit that wakes up off")
                .close_plain(
                    w.facts.wakes_on || left.is_some(),
                    &format!("{name}, the {}, is on as soon as the battery is connected, {why}", w.kind.name),
                    &format!("{name} is off when the battery is connected"),
                ),
        );
    }
}
