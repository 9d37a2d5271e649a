//! The sections of the file.

use super::Takes::{Block, Device, Either, List, Named, Numbered, Pair, Text, Version, Word};
use super::Without::{Means, Needed};
use super::boat::{ACCEPTANCE, BATTERY, BOAT, CARD, FITTINGS, OWNER};
use super::channel::CHANNEL;
use super::control::CONTROL;
use super::loss::{FAIL_SAFE, RECEIVER};
use super::transmitter::{AXIS, TRANSMITTER};
use super::water::{HULL, TANK};
use super::{Part, fact, part, remark};

/// The file as a whole.
pub(in crate::setup) static FILE: Part = Part {
    name: "",
    about: "How a model's radio is set up.",
    either: &[],
    least: &[],
    around: "",
    keys: &[
        fact("lidcard", "The version of the format; always the first line.", Version, Needed, "1"),
        part("boat", "The boat and the job.", Block(&BOAT), Needed, "{name: Moonfish}"),
        part(
            "transmitter",
            "The set and how it does its sums.",
            Block(&TRANSMITTER),
            Means("a usual set of 8 channels is taken, and nothing of how it does its sums"),
            "{name: loan set 3, channels: 8}",
        ),
        part(
            "axis",
            "What positions of devices, presets and units in percent are percent of: rest and the two full pulses of \
             the set on which they were read. With it they keep their microseconds when the boat goes to another set.",
            Block(&AXIS),
            Means("percent is taken to be of the pulse of the set, and one warning says so"),
            "{rest: 1500 us, full: [1100 us, 1900 us]}",
        ),
        part(
            "controls",
            "What the hand moves, each under a name of your own.",
            Named("CONTROL", 1, &Block(&CONTROL)),
            Needed,
            "{helm: {at: right stick, ways: {left: port, right: starboard}}}",
        ),
        part(
            "channels",
            "What the set sends, each under its number on the receiver.",
            Numbered(1, &Block(&CHANNEL)),
            Needed,
            "{1: {control: helm}}",
        ),
        part(
            "receiver",
            "What the receiver does when it hears nothing.",
            Block(&RECEIVER),
            Means("what comes of a lost link is not judged"),
            "{on_loss: hold}",
        ),
        part(
            "fail_safe",
            "A unit wired between receiver and devices.",
            Block(&FAIL_SAFE),
            Means("there is none"),
            "{channels: [1], stages: [{name: rest, set: {1: 0 %}}]}",
        ),
        part(
            "devices",
            "What hangs on the channels, each under a name of your own.",
            Named("DEVICE", 0, &Device),
            Needed,
            "{rudder_servo: {kind: servo, channel: 1}}",
        ),
        part(
            "batteries",
            "Batteries, each under a name of your own; `none` where she carries none.",
            Either(&[Word("none"), Named("BATTERY", 0, &Block(&BATTERY))]),
            Means("what she does when one is low is not judged"),
            "{main: {cells: 6, chemistry: NiMH, capacity: 4.2 Ah}}",
        ),
        part(
            "hull",
            "The boat as a body in water, for estimates.",
            Block(&HULL),
            Means("how deep she goes after a lost link is not estimated"),
            "{weight: 8.4 kg, length: 900 mm, beam: 110 mm}",
        ),
        part(
            "tank",
            "The ballast tank and what empties it, for estimates.",
            Block(&TANK),
            Means("nothing is estimated of it"),
            "{volume: 600 mL ± 20 mL}",
        ),
        part(
            "fittings",
            "What she carries beyond her channels.",
            Block(&FITTINGS),
            Means("bench sheet and guide tell of none"),
            "{power: plug, power_at: under the sail}",
        ),
        part(
            "owner",
            "What the owner is told.",
            Block(&OWNER),
            Means("the program words the emergency by itself, in English"),
            "{contact: Lantern Bay Model Workshop}",
        ),
        fact(
            "opposites",
            "Pairs of opposite effects that the program does not know yet.",
            List(0, &Pair(&Text)),
            Means("the pairs that the program knows are all there are"),
            "[[lid lifts, lid drops]]",
        ),
        part(
            "card",
            "How the lid card is to be printed.",
            Block(&CARD),
            Means("it is printed in A7"),
            "{size: [105 mm, 74 mm]}",
        ),
        remark(
            "accept",
            "Findings that somebody has looked at and lives with.",
            List(0, &Block(&ACCEPTANCE)),
            Means("every finding counts"),
            "[{rule: neutral-missed, where: motor_esc, because: she is towed to the start}]",
        ),
    ],
};
