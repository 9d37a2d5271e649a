//! What receiver and fail-safe unit do.

use super::super::lower::loss as reader;
use super::Takes::{
    Block, ChannelNumber, Either, List, Named, Numbered, NumberedAnd, OneOrList, Quantity, Text, Word, Words,
    YesNo,
};
use super::Without::{Means, Needed, Taken};
use super::quantity::{AMPERES, SECONDS, SET_POSITION, SHARE, SIGNED_SHARE, THRESHOLD, VOLTS};
use super::{Part, fact, figure, part, range, remark, words_of};

pub(in crate::setup) static RECEIVER: Part = Part {
    name: "receiver",
    about: "What the receiver does when it hears nothing.",
    either: &[],
    least: &[],
    around: "receiver: ...",
    keys: &[
        fact(
            "on_loss",
            "What it sends then: nothing, the last pulse, anything, or a preset: `{3: 0 %, 4: +100 %, others: hold}`.",
            Either(&[Words(|| words_of(reader::OTHERS)), NumberedAnd(&PRESET, &Quantity(&SET_POSITION))]),
            Means("it may do any of these, and what hangs on it is not judged"),
            "{3: 0 %, 5: +100 %, others: hold}",
        )
        .standing_for(&range::ON_LOSS),
        figure(
            "after",
            "How long it waits before it does so.",
            Quantity(&SECONDS),
            Means("anything up to 600 s, and what hangs on it is not judged"),
            "1 s",
        )
        .standing_for(&range::AFTER),
        figure(
            "browns_out",
            "Volts of the watched battery below which it gives up.",
            Quantity(&VOLTS),
            Means("the unit's threshold is not held against it"),
            "5.5 V",
        ),
        figure(
            "supply",
            "The current that receiver and servos can have together.",
            Quantity(&AMPERES),
            Means("where a servo's `stall` is given, whether it is enough is not judged"),
            "3 A",
        ),
        fact(
            "presets",
            "The outputs that can have a preset, if not all of them can: `[3]`.",
            List(0, &ChannelNumber),
            Means("all of them can"),
            "[3]",
        ),
        fact(
            "stored_with",
            "What the set showed when the presets were stored: `{4: {reverse: yes, sub_trim: 0 %}}`.",
            Numbered(0, &Block(&STORED)),
            Means("the presets are taken to be stored with the settings of today"),
            "{5: {reverse: yes, sub_trim: 0 %}}",
        ),
    ],
};

pub(in crate::setup) static STORED: Part = Part {
    name: "stored",
    about: "What the set's screen showed for a channel when its preset was stored.",
    either: &[],
    least: &[],
    around: "receiver:\n  stored_with:\n    5: ...",
    keys: &[
        fact("reverse", "What it showed under reverse.", YesNo, Means("nobody wrote it down"), "yes"),
        figure(
            "sub_trim",
            "The sub-trim it showed.",
            Quantity(&SIGNED_SHARE),
            Means("nobody wrote it down"),
            "-3 %",
        ),
    ],
};

pub(in crate::setup) static PRESET: Part = Part {
    name: "preset",
    about: "Positions stored in the receiver, each under the number of its channel.",
    either: &[],
    least: &[("5", "+60 %")],
    around: "receiver:\n  on_loss: ...",
    keys: &[
        fact(
            "others",
            "What the channels do that are not named; hold when left out.",
            Words(|| words_of(reader::OTHERS)),
            Taken("hold"),
            "no pulses",
        ),
        part(
            "works",
            "The works that the preset is there to engage.",
            OneOrList(&Text),
            Means("it is there to engage none"),
            "pump",
        ),
    ],
};

pub(in crate::setup) static FAIL_SAFE: Part = Part {
    name: "fail_safe",
    about: "A unit wired between receiver and devices.",
    either: &[],
    least: &[("channels", "[3, 5]"), ("stages", "[{name: rest, set: {3: 0 %}}]")],
    around: "fail_safe: ...",
    keys: &[
        fact(
            "channels",
            "The channels that run through it: `[3, 5]`.",
            List(0, &ChannelNumber),
            Needed,
            "[3, 5]",
        ),
        fact(
            "notices",
            "What it watches for: `no pulses`, `invalid pulses`, or a preset: `{channel: 7, beyond: +80 %}`.",
            Either(&[Word("no pulses"), Word("invalid pulses"), Block(&NOTICES)]),
            Means("whether it notices at all is not judged"),
            "{channel: 7, beyond: +80 %}",
        )
        .standing_for(&range::NOTICES),
        fact(
            "tried",
            "How it was tried that it notices invalid pulses.",
            Text,
            Means("whether it tells noise from a signal is not judged"),
            "20 times off and on",
        )
        .standing_for(&range::TRIED),
        fact(
            "until_it_acts",
            "What it makes of its channels while it waits: it `holds` the last signal or `passes` on what comes.",
            Words(|| words_of(reader::UNTIL_IT_ACTS)),
            Means("it may do either, and what hangs on it is not judged"),
            "holds",
        )
        .standing_for(&range::UNTIL_IT_ACTS),
        figure(
            "accuracy",
            "How far the pulses it makes by itself can be off.",
            Either(&[Word("exact"), Quantity(&SHARE)]),
            Means("anything from 0 us to 40 us; what hangs on it is not judged"),
            "6 us",
        )
        .standing_for(&range::UNIT),
        figure(
            "wait",
            "How long it waits before the first stage.",
            Quantity(&SECONDS),
            Means("anything up to 600 s, and what hangs on it is not judged"),
            "4 s",
        )
        .standing_for(&range::WAIT),
        part(
            "stages",
            "What it does, one after the other.",
            List(1, &Block(&STAGE)),
            Needed,
            "[{name: rest, set: {3: 0 %}}]",
        ),
        part(
            "low_battery",
            "The battery it watches.",
            Block(&LOW_BATTERY),
            Means("it watches none"),
            "{battery: main, below: 6.6 V}",
        ),
        part("leak", "`yes` if it acts on water in the hull.", YesNo, Taken("no"), "yes"),
        remark(
            "dialled",
            "What is set in its own menus, each under what the menu is called: `{menu 3: 8 s}`.",
            Named("MENU", 0, &Text),
            Means("nothing is printed"),
            "{menu 3: 8 s}",
        ),
    ],
};

pub(in crate::setup) static NOTICES: Part = Part {
    name: "notices",
    about: "A channel on which the unit watches for the receiver's preset.",
    either: &[],
    least: &[("channel", "7"), ("beyond", "+80 %")],
    around: "fail_safe:\n  channels: [3, 5]\n  stages: [{name: rest, set: {3: 0 %}}]\n  notices: ...",
    keys: &[
        fact("channel", "The channel it watches.", ChannelNumber, Needed, "7"),
        figure(
            "beyond",
            "The position beyond which it acts, with its side: `+80 %`.",
            Quantity(&THRESHOLD),
            Needed,
            "+80 %",
        ),
    ],
};

pub(in crate::setup) static STAGE: Part = Part {
    name: "stage",
    about: "One thing the unit does.",
    either: &[],
    least: &[("name", "blow"), ("set", "{5: +60 %}")],
    around: "fail_safe:\n  channels: [3, 5]\n  stages:\n    - ...",
    keys: &[
        remark("name", "Your name for it: `blow`.", Text, Needed, "blow"),
        figure(
            "lasts",
            "How long; only the last may go without, and then holds until the signal returns.",
            Quantity(&SECONDS),
            Means("it holds until the signal returns; only the last stage may"),
            "12 s",
        ),
        part(
            "set",
            "Where it puts its channels: `{3: 0 %, 4: +105 %}`.",
            Numbered(0, &Quantity(&SET_POSITION)),
            Means("every channel keeps what it had in the stage before, or while it waited"),
            "{5: +60 %}",
        ),
        part(
            "works",
            "The works that it is there to engage: `[pump, gas]`.",
            OneOrList(&Text),
            Means("it is there to engage none"),
            "[pump]",
        ),
    ],
};

pub(in crate::setup) static LOW_BATTERY: Part = Part {
    name: "low_battery",
    about: "When the unit acts on a tired battery.",
    either: &[],
    least: &[("battery", "main"), ("below", "6.6 V")],
    around: "fail_safe:\n  channels: [3, 5]\n  stages: [{name: rest, set: {3: 0 %}}]\n  low_battery: ...",
    keys: &[
        part("battery", "Which of the `batteries`.", Text, Needed, "main"),
        figure("below", "The voltage below which it acts.", Quantity(&VOLTS), Needed, "6.6 V"),
    ],
};
