//! A way moves the boat the wrong way, or not at all.

use super::engine::Engine;
use super::reversals;
use super::say::{self, Draft};
use crate::finding::{Finding, Gap, Missing, Outcome, Severity, StateId, Subject, Witness};
use crate::proof::sense::{Moves, Worst, hand_for};
use crate::proof::zone::Found;
use crate::question::asks::Moved;
use crate::question::{Asks, Detail, Question};
use crate::setup::{Device, Effect, Input, MixOf, Path, Setup, Side};

pub(super) const NAME: &str = "sense-reversed";

/// A way of a control that ought to move a channel's output to one side.
#[derive(Clone, Copy, Debug)]
pub(super) struct WantedDirection {
    /// The way, and the side of the axis that the wanted effect needs.
    pub moved: Moved,
    /// The effect that is wanted.
    pub effect: Effect,
}

impl WantedDirection {
    /// What a finding about it is about.
    pub(super) fn subject(&self) -> Subject {
        Subject::WayOf(self.moved.channel, self.moved.control, self.moved.side)
    }
}

/// Every such way, once for each channel and side of the axis.
pub(super) fn senses(setup: &Setup) -> Vec<WantedDirection> {
    let mut all: Vec<WantedDirection> = Vec::new();
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
                            all.push(WantedDirection { moved, effect });
                        }
                    }
                }
            }
        }
    }
    all
}

/// Once for each way that wants an effect and each channel that it drives.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    unsaid(engine, questions);
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
                    format!("{way} does not move this channel to the side of \"{effect}\""),
                )
                .and_at(Path::of(["controls", &control.name, "wants"]), format!("{way} wants: {effect}"))
                .help(
                    "check on the bench which way the pulse goes; then flip reverse in the set and `longer` here, or put the rod on the other side of the horn",
                )
                .asks(
                    Asks::Moves { way: sense.moved, at_all: false },
                    format!("{way} wants \"{effect}\", but does not move {title} at all"),
                    format!("{way} always moves {title} to the side of \"{effect}\""),
                )
                .telling(move |engine, answered, draft| {
                    let Detail::Move(worst, at_rest) = &answered.detail else { return };
                    let sentence = match worst.moves {
                        Moves::Wrongly(_) => "opposite",
                        _ => "not_at_all",
                    };
                    draft.finding.sentence = sentence;
                    if sentence == "opposite" {
                        let setup = engine.setup;
                        let way = &setup.controls[sense.moved.control].ways[sense.moved.side.index()];
                        let effect = setup.effect_words(sense.effect);
                        let title = setup.channel_title(sense.moved.channel);
                        draft.instead =
                            Some(format!("{way} wants \"{effect}\", but moves {title} the opposite way"));
                    }
                    draft.finding.gaps.push(("effect", Gap::Effect(sense.effect)));
                    draft.finding.witness = shown(engine, &sense, worst, *at_rest);
                }),
        );
    }
}

/// Once for each control that moves something of which nobody said what it is for, and for each device that
/// moves something of which nobody said what is seen.
fn unsaid<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    let moved = |channel: usize| {
        let steered = (0..setup.devices.len()).filter(move |&d| setup.channel_of(d) == Some(channel));
        steered.filter(|&d| is_for_effect(&setup.devices[d]))
    };
    let ask = |subject, key: Path, write: &str, holds: String| {
        let missing = Missing { path: key, bench: write.to_owned(), holds: None, said: false, decides: None };
        Draft::new(NAME, Severity::Error, subject, StateId::Piloting).asks(
            Asks::Unsaid(vec![missing]),
            String::new(),
            holds,
        )
    };
    for (id, control) in setup.controls.iter().enumerate().filter(|(_, c)| !c.wants_said) {
        let drives = |channel: usize| {
            let c = &setup.channels[channel];
            c.control == Some(id) || c.mixes.iter().any(|m| m.of == MixOf::Control(id))
        };
        if (0..setup.channels.len()).any(|channel| drives(channel) && moved(channel).next().is_some()) {
            questions.push(ask(
                Subject::Control(id),
                Path::of(["controls", &control.name, "wants"]),
                if control.settings.is_empty() {
                    "say what each way is meant to do to the boat, such as `{left: turns left, right: turns right}` \
                     with your words for the ways, or `none`"
                } else {
                    "say what the first and the last setting are meant to do to the boat, each by its name, such as \
                     `{down: lowers, up: raises}`, or `none`"
                },
                format!("{} does to the boat what it is for", control.name),
            ));
        }
    }
    for (id, device) in setup.devices.iter().enumerate() {
        if setup.channel_of(id).is_some() && is_for_effect(device) && !device.effects_said {
            questions.push(ask(
                Subject::Device(id),
                Path::of(["devices", &device.name, "effects"]),
                "move the stick and look at the boat, not at the servo: `{longer: turns right, shorter: turns left}`, \
                 or `none` where nothing is seen",
                format!("{} moves the boat as the hand wants", device.name),
            ));
        }
    }
}

/// Whether it is there for what is seen at the boat, not for what it works on its way.
fn is_for_effect(device: &Device) -> bool {
    device.kind.keys.contains(&"effects") && device.works.is_empty()
}

/// Adds the whole answer, said once: what to turn round together. A wrong sign is told where it stands.
pub(super) fn told_together(engine: &Engine, findings: &mut [Finding]) {
    let setup = engine.setup;
    let senses = senses(setup);
    let is_broken = |f: &Finding| f.rule == NAME && f.outcome == Outcome::Broken;
    let moved =
        |f: &Finding| senses.iter().find(|sense| sense.subject() == f.subject).map(|sense| sense.moved);
    let broken: Vec<Moved> = findings.iter().filter(|f| is_broken(f)).filter_map(moved).collect();
    if broken.is_empty() {
        return;
    }
    let turns = reversals::to_turn(engine, &broken);
    let mix = |f: &Finding| {
        let way = moved(f)?;
        Some((way.channel, turns.as_ref()?.mix(setup, way.channel, way.control)?))
    };
    for finding in findings.iter_mut().filter(|f| is_broken(f)) {
        if let Some((channel, at)) = mix(finding) {
            finding.primary = (
                reversals::mix_path(setup, channel, at),
                "this adds to the wrong side: its sign is the other".to_owned(),
            );
            finding.help.clear();
        }
    }
    // The one that a report tells first: by channel, what stands before its mixes, then by name.
    let place = |f: &Finding| (moved(f).map(|way| way.channel), mix(f), f.about.clone());
    let first = findings.iter_mut().filter(|f| is_broken(f)).min_by_key(|f| place(f));
    if let Some(first) = first {
        first.help.push(reversals::line(setup, turns.as_ref()));
    }
}

/// A hand that shows it, in the builder's words.
pub(super) fn shown(
    engine: &Engine,
    sense: &WantedDirection,
    worst: &Worst,
    at_rest: bool,
) -> Option<Witness> {
    let Moved { channel, control, side, wanted } = sense.moved;
    let domain = &engine.sense_domains()[usize::from(!at_rest)];
    let hand = hand_for(engine.setup, channel, (control, side, wanted), worst, domain)?;
    let (order, settings) = worst.case.clone();
    let fixed = crate::proof::ChannelCase::new(engine.setup, channel, &order, &settings);
    let output = fixed.output(&hand);
    Some(say::witness(engine, &Found { channel, order, settings, hand, output }))
}
