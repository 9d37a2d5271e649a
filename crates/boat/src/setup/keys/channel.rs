//! What the set sends on a channel.

use super::Takes::{Block, Conditions, Either, List, Named, OneOrList, Quantity, Rate, Text, YesNo};
use super::Without::{Means, Needed, Taken};
use super::quantity::{PERCENT, PULSE_WIDTH, SECONDS, SIGNED_PERCENT, SIGNED_SHARE};
use super::{Part, fact, figure, part, remark};

pub(in crate::setup) static CHANNEL: Part = Part {
    name: "channel",
    about: "What the set sends on one channel.",
    either: &[],
    least: &[("control", "helm")],
    around: "channels:\n  1: ...",
    keys: &[
        remark("name", "Your name for it: `rudder`.", Text, Means("the papers give its number"), "rudder"),
        fact("control", "The control that moves it.", Text, Means("only what is mixed in moves it"), "helm"),
        fact(
            "longer",
            "The way towards which the pulse gets longer, as seen on the meter.",
            Text,
            Means(
                "the right, away or upper way is taken, the other with `reverse: yes`, and a warning says that \
                   nobody measured it",
            ),
            "starboard",
        ),
        fact(
            "reverse",
            "What the set's screen shows under reverse; printed, and watched for changes.",
            YesNo,
            Means("it is not known, and the bench sheet says how to set it"),
            "yes",
        ),
        figure(
            "rate",
            "How much of the stick counts: one value, one per way, per setting of a switch, or both.",
            Rate,
            Taken("100 %"),
            "{agility: {gentle: 60 %, full: 100 %}}",
        ),
        figure(
            "expo",
            "How much gentler it is around rest: `20 %`.",
            Quantity(&PERCENT),
            Taken("0 %"),
            "20 %",
        ),
        figure(
            "endpoints",
            "The number on the set's screen for each way: `{flood: 80 %, blow: 54 %}`; 100 % when left out.",
            Either(&[Quantity(&PERCENT), Named("WAY", 0, &Quantity(&PERCENT))]),
            Taken("100 %"),
            "{port: 95 %, starboard: 90 %}",
        ),
        figure(
            "sub_trim",
            "The sub-trim on the set's screen; + is a longer pulse.",
            Quantity(&SIGNED_SHARE),
            Taken("0 %"),
            "-3 %",
        ),
        part(
            "mixes",
            "What else is mixed in.",
            List(0, &Block(&MIX)),
            Means("nothing is mixed in"),
            "[{add: 15 %, of: helm}]",
        ),
        part(
            "wants",
            "What each way is there to work: `{flood: vent, blow: pump}`.",
            Named("WAY", 0, &OneOrList(&Either(&[Text, Block(&WANT)]))),
            Means("it is there to work nothing"),
            "{starboard: tube}",
        ),
        figure(
            "measured",
            "The pulse with a way held fully, trims at nought and all else at rest: `{blow: 1732 us}`, also with a way of a \
             control that is mixed in. Believed above all else.",
            Named("WAY", 0, &Quantity(&PULSE_WIDTH)),
            Means("what the settings give is believed"),
            "{starboard: 1860 us}",
        ),
        figure(
            "slow",
            "What the set takes from one end of the travel to the other, where it slows this channel down: `2 s`.",
            Quantity(&SECONDS),
            Means("the set does not slow it down"),
            "2 s",
        ),
        fact("spare", "`yes` if nothing is plugged in here on purpose.", YesNo, Taken("no"), "yes"),
    ],
};

/// What makes no sense on a channel without a control of its own.
pub(in crate::setup) const NEED_CONTROL: &[&str] = &["rate", "expo", "wants"];

pub(in crate::setup) static MIX: Part = Part {
    name: "mix",
    about: "Something that is added to a channel.",
    either: &[],
    least: &[("add", "15 %"), ("of", "helm")],
    around: "channels:\n  1:\n    mixes:\n      - ...",
    keys: &[
        figure(
            "add",
            "How much of it, with its sign: `15 %`. Of every control the right, away or upper way counts as plus, the left, \
             towards or lower way as minus: with a plus the right way of what is mixed in moves this channel as a right way \
             of its own does, with a minus as a left way does.",
            Quantity(&SIGNED_PERCENT),
            Needed,
            "15 %",
        ),
        part(
            "of",
            "The control that is mixed in, or another channel: `helm`, `channel 3`.",
            Text,
            Needed,
            "helm",
        ),
        fact(
            "when",
            "Only in these settings: `{agility: full}`.",
            Conditions,
            Means("it is mixed in always"),
            "{agility: full}",
        ),
        fact("with_trim", "`yes` if the control's trim comes along.", YesNo, Taken("no"), "yes"),
    ],
};

pub(in crate::setup) static WANT: Part = Part {
    name: "want",
    about: "A work that is wanted only in some settings.",
    either: &[],
    least: &[("work", "tube")],
    around: "channels:\n  1:\n    control: helm\n    wants:\n      starboard: ...",
    keys: &[
        part(
            "work",
            "The work: `tube`, or `bow_servo.tube` where the name stands twice.",
            Text,
            Needed,
            "tube",
        ),
        fact(
            "needs",
            "The settings in which it is to be reached: `{guard: armed}`.",
            Conditions,
            Means("it is to be reached in every setting"),
            "{agility: full}",
        ),
    ],
};
