//! Something that fires, lets go or is called dangerous hangs on one control, without a switch that arms it.

use super::engine::Engine;
use super::say::{self, Draft};
use crate::finding::{Severity, StateId, Subject};
use crate::proof::cases::Influence;
use crate::question::{Asks, Question};
use crate::setup::{Reserved, WorkRef};

pub(super) const NAME: &str = "interlock-missing";

/// Once for each work that fires, lets go or is called dangerous and that the pilot can reach.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for (function, w) in engine.works().filter(|(_, w)| w.kind.lets_go || w.facts.dangerous) {
        // What is out of reach for good is another rule's.
        if w.reserved == Reserved::Always || !engine.pilot_may_engage(function) {
            continue;
        }
        let name = setup.work_name(function);
        let asks = match setup.guard(function) {
            Some(_) => Asks::Fact(false),
            None => {
                let over = engine.everything.clone();
                let place = engine.piloting(function.device);
                let mut all = vec![Asks::Engages { function, place, over }];
                all.extend(without_throwing(engine, function));
                Asks::All(all)
            }
        };
        questions.push(
            Draft::new(NAME, Severity::Warning, Subject::Function(function), StateId::Piloting)
                .at(say::work_path(setup, function), "one touch is enough")
                .help("let a switch arm it: a rate that is too small to reach it until the switch is thrown, and `reserved: {unless: {guard: armed}}` here")
                .asks(
                    asks,
                    format!("{name}, the {}, may {} at a single touch", w.kind.called(), w.kind.verb),
                    format!("{name} asks for a switch to be thrown first"),
                ),
        );
    }
}

/// For each switch beside the hands that work it: whether the pilot reaches a work with that switch in its
/// setting where it stands when nobody has thrown it. One that has to be thrown first guards the
/// work; it need not be called a guard to be one.
pub(super) fn without_throwing(engine: &Engine, function: WorkRef) -> Vec<Asks> {
    let setup = engine.setup;
    let Some(channel) = setup.channel_of(function.device) else { return Vec::new() };
    let hands: Vec<_> = engine.hands_on(channel).into_iter().map(|(control, _)| control).collect();
    let switches = Influence::on(setup, channel).thrown(setup);
    let beside = switches.into_iter().filter(|switch| !hands.contains(switch));
    beside
        .map(|switch| {
            let over =
                engine.everything.clone().settled().with_settings(&[(switch, setup.controls[switch].home)]);
            Asks::Engages { function, place: engine.piloting(function.device), over }
        })
        .collect()
}
