//! A way moves the boat the wrong way, or not at all.

use super::context::Context;
use super::reversals;
use super::say::{self, Draft};
use crate::finding::{Finding, Gap, Outcome, Severity, StateId, Subject, Witness};
use crate::proof::sense::{Moves, Worst, hand_for};
use crate::proof::zone::Found;
use crate::question::asks::Moved;
use crate::question::{Asks, Detail, Question};
use crate::setup::{Effect, Input, MixOf, Path, Setup, Side};

/// The rule's name.
pub const NAME: &str = "sense-reversed";

/// A way of a control that ought to move a channel's output to one side.
#[derive(Clone, Copy, Debug)]
pub struct Sense {
    /// The way, and the side of the axis that the wanted effect needs.
    pub moved: Moved,
    /// The effect that is wanted.
    pub effect: Effect,
}

impl Sense {
    /// What a finding about it is about.
    pub fn subject(&self) -> Subject {
        Subject::WayOf(self.moved.channel, self.moved.control, self.moved.side)
    }
}

/// Every such way, once for each channel and side of the axis.
pub fn senses(setup: &Setup) -> Vec<Sense> {
    let mut all: Vec<Sense> = Vec::new();
    for (control, c) in setup.controls.iter().enumerate() {
        for side in Side::BOTH {
            for &effect in &c.wants[side.index()] {
                for (device, d) in setup.devices.iter().enumerate() {
                    let Some(channel) = setup.channel_of(device) else { continue };
                    let of = &setup.channels[channel];
                    let drives = of.control == Some(control)
                        || of.mixes.iter().any(|m| m.of == MixOf::Control(control));
                    if !drives || matches!(d.input, Input::None) {
                        continue;
                    }
                    for wanted in [-1, 1] {
                        if !d.effects_on(wanted).any(|does| does == effect) {
                            continue;
                        }
                        let moved = Moved { channel, control, side, wanted };
                        if !all.iter().any(|sense| sense.moved == moved) {
                            all.push(Sense { moved, effect });
                        }
                    }
                }
            }
        }
    }
    all
}

/// Once for each way that wants an effect and each channel that it drives.
pub fn ask<'a>(context: &Context<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = context.setup;
    for sense in senses(setup) {
        let Moved { channel, control, side, .. } = sense.moved;
        let control = &setup.controls[control];
        let way = &control.ways[side.index()];
        let effect = setup.effect_words(sense.effect);
        let title = setup.channel_title(channel);
        questions.push(
            Draft::new(NAME, Severity::Error, sense.subject(), StateId::Piloting)
                .at(
                    say::channel_path(setup, channel).then("longer"),
                    format!("{way} does not move this channel to the side that {effect}"),
                )
                .and_at(Path::of(["controls", &control.name, "wants"]), format!("{way} wants: {effect}"))
                .help(
                    "check on the bench which way the pulse goes; then flip reverse in the set and `longer` here, or correct the effects of the device",
                )
                .asks(
                    Asks::Moves { way: sense.moved, at_all: false },
                    format!("{way} wants \"{effect}\", but does not move {title} at all"),
                    format!("{way} always moves {title} so that she {effect}"),
                )
                .telling(move |context, answered, draft| {
                    let Detail::Move(worst, at_rest) = &answered.detail else { return };
                    let sentence = match worst.moves {
                        Moves::Wrongly(_) => "opposite",
                        _ => "not_at_all",
                    };
                    draft.finding.sentence = sentence;
                    if sentence == "opposite" {
                        let setup = context.setup;
                        let way = &setup.controls[sense.moved.control].ways[sense.moved.side.index()];
                        let effect = setup.effect_words(sense.effect);
                        let title = setup.channel_title(sense.moved.channel);
                        draft.instead =
                            Some(format!("{way} wants \"{effect}\", but moves {title} the opposite way"));
                    }
                    draft.finding.gaps.push(("effect", Gap::Effect(sense.effect)));
                    draft.finding.witness = shown(context, &sense, worst, *at_rest);
                }),
        );
    }
}

/// Adds the whole answer, said once: which reverses to flip together.
pub fn told_together(context: &Context, findings: &mut [Finding]) {
    let broken: Vec<Moved> = findings
        .iter()
        .filter(|f| f.rule == NAME && f.outcome == Outcome::Broken)
        .filter_map(|f| {
            let senses = senses(context.setup);
            senses.iter().find(|sense| sense.subject() == f.subject).map(|sense| sense.moved)
        })
        .collect();
    let first = findings.iter_mut().find(|f| f.rule == NAME && f.outcome == Outcome::Broken);
    if let Some(first) = first {
        let flip = reversals::to_flip(context, &broken);
        first.help.push(reversals::line(context.setup, flip.as_deref()));
    }
}

/// A hand that shows it, in the builder's words.
pub fn shown(context: &Context, sense: &Sense, worst: &Worst, at_rest: bool) -> Option<Witness> {
    let Moved { channel, control, side, wanted } = sense.moved;
    let domain = &context.sense_domains()[usize::from(!at_rest)];
    let hand = hand_for(context.setup, channel, (control, side, wanted), worst, domain)?;
    let (order, settings) = worst.case.clone();
    let fixed = crate::proof::Fixed::new(context.setup, channel, &order, &settings);
    let output = fixed.output(&hand);
    Some(say::witness(context, &Found { channel, order, settings, hand, output }))
}
