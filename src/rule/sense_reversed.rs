//! A way moves the boat the wrong way, or not at all.

use super::context::{Context, Judged};
use super::reversals;
use super::say::{self, Draft};
use crate::finding::{Finding, Gap, Severity, Witness};
use crate::proof::Domain;
use crate::proof::sense::{Moves, Worst, hand_for};
use crate::proof::zone::Found;
use crate::setup::{ChannelId, ControlId, Effect, Input, MixOf, Setup, Side};

/// The rule's name.
pub const NAME: &str = "sense-reversed";

/// A way of a control that ought to move a channel's output to one side.
#[derive(Clone, Copy, Debug)]
pub struct Sense {
    /// The channel.
    pub channel: ChannelId,
    /// The control.
    pub control: ControlId,
    /// The way.
    pub side: Side,
    /// The side of the axis that the wanted effect needs: -1 or +1.
    pub wanted: i32,
    /// The effect that is wanted.
    pub effect: Effect,
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
                    for (index, wanted) in [(0, -1), (1, 1)] {
                        if d.effects[index] != Some(effect) && !d.facts.also[index].contains(&effect) {
                            continue;
                        }
                        let known = all.iter().any(|s| {
                            (s.channel, s.control, s.side, s.wanted) == (channel, control, side, wanted)
                        });
                        if !known {
                            all.push(Sense { channel, control, side, wanted, effect });
                        }
                    }
                }
            }
        }
    }
    all
}

/// The worst that a way does with every springing control at rest, and with the others anywhere.
pub fn worst(context: &Context, sense: &Sense) -> (Option<Worst>, Option<Worst>) {
    let setup = context.setup;
    let (resting, anywhere) = domains(context);
    let cases = context.cases(sense.channel);
    let ask = |domain: &Domain| cases.moves(setup, sense.control, sense.side, sense.wanted, domain);
    (ask(&resting), ask(&anywhere))
}

/// Whether a way does what it wants. One that comes to nothing while others are held is the
/// business of `axis-lost`.
pub fn is_right(resting: &Worst, anywhere: &Worst) -> bool {
    matches!(resting.moves, Moves::Rightly(_)) && !matches!(anywhere.moves, Moves::Wrongly(_))
}

/// Once for each way that wants an effect and each channel that it drives.
pub fn apply(context: &Context, findings: &mut Vec<Finding>) {
    let setup = context.setup;
    let mut broken_ones: Vec<Sense> = Vec::new();
    let mut first = None;
    for Judged { sense, resting, anywhere } in context.senses() {
        let (calm, any) = domains(context);
        let broken = match (&resting.moves, &anywhere.moves) {
            (Moves::Rightly(_), Moves::Wrongly(_)) => Some((anywhere, any)),
            _ if is_right(resting, anywhere) => None,
            _ => Some((resting, calm)),
        };
        let control = &setup.controls[sense.control];
        let way = &control.ways[sense.side.index()];
        let effect = setup.effect_words(sense.effect);
        let title = setup.channel_title(sense.channel);
        let mut draft = Draft::new(NAME, Severity::Error, about(setup, sense), "piloting")
            .at(
                say::channel_path(setup, sense.channel).then("longer"),
                format!("{way} does not move this channel to the side that {effect}"),
            )
            .and_at(
                crate::setup::Path::of(["controls", &control.name, "wants"]),
                format!("{way} wants: {effect}"),
            );
        let Some((worst, domain)) = broken else {
            findings.push(draft.close_plain(
                false,
                "",
                &format!("{way} always moves {title} so that she {effect}"),
            ));
            continue;
        };
        draft = draft.help(
            "check on the bench which way the pulse goes; then flip reverse in the set and `longer` here, or correct the effects of the device",
        );
        if let Some(hint) = say::hangs_on_orders(context, sense.channel, &worst.orders) {
            draft = draft.help(hint);
        }
        let (sentence, told) = match &worst.moves {
            Moves::Wrongly(_) => {
                ("opposite", format!("{way} wants \"{effect}\", but moves {title} the opposite way"))
            }
            _ => ("not_at_all", format!("{way} wants \"{effect}\", but does not move {title} at all")),
        };
        draft = draft.sentence(sentence).gap("effect", Gap::Effect(sense.effect));
        let mut finding = draft.close_plain(true, &told, "");
        finding.witness = shown(context, sense, worst, &domain);
        first = first.or(Some(findings.len()));
        broken_ones.push(*sense);
        findings.push(finding);
    }
    // The whole answer, said once.
    if let Some(first) = first {
        let flip = reversals::to_flip(context, &broken_ones);
        findings[first].help.push(reversals::line(setup, flip.as_deref()));
    }
}

/// `2/starboard`
pub fn about(setup: &Setup, sense: &Sense) -> String {
    let way = &setup.controls[sense.control].ways[sense.side.index()];
    format!("{}/{way}", setup.channels[sense.channel].number)
}

/// A hand that shows it, in the builder's words.
pub fn shown(context: &Context, sense: &Sense, worst: &Worst, domain: &Domain) -> Option<Witness> {
    let asked = (sense.control, sense.side, sense.wanted);
    let hand = hand_for(context.setup, sense.channel, asked, worst, domain)?;
    let (order, settings) = worst.case.clone();
    let fixed = crate::proof::Fixed::new(context.setup, sense.channel, &order, &settings);
    let output = fixed.output(&hand);
    Some(say::witness(context, &Found { channel: sense.channel, order, settings, hand, output }))
}

/// Trims at nought, the others anywhere; and the same with every springing control at rest.
pub fn domains(context: &Context) -> (Domain, Domain) {
    let anywhere = context.everything.clone().with_trims_at_nought();
    let resting = anywhere.clone().with_springing_at_rest(context.setup);
    (resting, anywhere)
}
