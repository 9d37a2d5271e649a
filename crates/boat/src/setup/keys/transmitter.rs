//! The set and how it does its sums.

use super::super::lower::transmitter as reader;
use super::Takes::{Block, Count, Either, Pair, Quantity, Text, Word, Words};
use super::Without::{Means, Needed, Taken};
use super::quantity::{DECIBELS, FREQUENCY, PERCENT, PULSE_WIDTH};
use super::{Part, fact, figure, part, range, remark, words_of};
use crate::radio;

const NOT_PRINTED: super::Without = Means("it is not printed");
const CHECKED_BOTH: super::Without = Means("both are checked, and a verdict that hangs on it says so");

pub(in crate::setup) static TRANSMITTER: Part = Part {
    name: "transmitter",
    about: "The set and how it does its sums.",
    either: &[],
    least: &[],
    around: "transmitter: ...",
    keys: &[
        remark("name", "Which set it is, in your words.", Text, NOT_PRINTED, "loan set 3"),
        remark("memory", "The stored model to select before she goes in.", Text, NOT_PRINTED, "4 MOONFISH"),
        fact(
            "region",
            "Where she sails; says which table of frequencies applies.",
            Words(|| words_of(radio::REGIONS)),
            Means("the frequency is held against no table"),
            "europe",
        ),
        figure(
            "frequency",
            "What the set sends on: `40.685 MHz`.",
            Quantity(&FREQUENCY),
            Means("nothing is said of the air and of the depth that radio reaches"),
            "40.685 MHz",
        ),
        figure(
            "margin",
            "What the signal may lose before the link breaks, aerial just above the water and as far off as she is \
             sailed, for estimates: `40 dB ± 6 dB`; without a tolerance 6 dB are taken.",
            Quantity(&DECIBELS),
            Means(
                "how deep the radio reaches is not estimated, and where `conductivity` is given not judged: any margin is \
                 possible",
            ),
            "40 dB ± 6 dB",
        ),
        figure(
            "channels",
            "How many channels the set has; 8 when left out.",
            Count(reader::MOST_CHANNELS),
            Taken("8"),
            "6",
        ),
        part(
            "pulse",
            "What a pulse meter reads with endpoints at 100 % and no sub-trim.",
            Block(&PULSE),
            Taken("{rest: 1500 us, full: [1100 us, 1900 us]}"),
            "{rest: 1520 us, full: [1120 us, 1920 us], accuracy: 2 us}",
        ),
        figure(
            "furthest",
            "How far any output can go either side of rest, whatever is dialled in.",
            Quantity(&PERCENT),
            Means("125 % is taken, and what hangs on its being more or less is not judged"),
            "150 %",
        )
        .standing_for(&range::FURTHEST),
        figure(
            "step",
            "The finest step in which an endpoint can be dialled, and in which readings are crept up to.",
            Quantity(&PERCENT),
            Means(
                "windows are told in steps of 1 %, and readings are taken to be crept up to in steps of 5 %",
            ),
            "0.5 %",
        ),
        part(
            "order",
            "How the set does its sums. Leave a line out and every possibility is checked.",
            Block(&ORDER),
            Means("every possibility is checked"),
            "{endpoint: scales, trim: before endpoint}",
        ),
    ],
};

pub(in crate::setup) static AXIS: Part = Part {
    name: "axis",
    about: "The axis on which positions in percent were read.",
    either: &[],
    least: &[("rest", "1500 us"), ("full", "[1100 us, 1900 us]")],
    around: "axis: ...",
    keys: &[
        figure(
            "rest",
            "The pulse at 0 %: that of the set on which the positions were read, with the control at rest.",
            Quantity(&PULSE_WIDTH),
            Needed,
            "1500 us",
        ),
        figure(
            "full",
            "The pulses at -100 % and at +100 %, the shorter one first: `[1100 us, 1900 us]`.",
            Pair(&Quantity(&PULSE_WIDTH)),
            Needed,
            "[1100 us, 1900 us]",
        ),
    ],
};

pub(in crate::setup) static PULSE: Part = Part {
    name: "pulse",
    about: "What the set sends, on the pulse meter.",
    either: &[],
    least: &[],
    around: "transmitter:\n  pulse: ...",
    keys: &[
        figure(
            "rest",
            "The pulse at rest, 0 % of what is dialled; 1500 us when left out.",
            Quantity(&PULSE_WIDTH),
            Taken("1500 us"),
            "1520 us",
        ),
        figure(
            "full",
            "The shorter and the longer full pulse, -100 % and +100 % of what is dialled: `[1100 us, 1900 us]`.",
            Pair(&Quantity(&PULSE_WIDTH)),
            Taken("[1100 us, 1900 us]"),
            "[1120 us, 1920 us]",
        ),
        figure(
            "accuracy",
            "How far a pulse or the meter can be off, either side.",
            Either(&[Word("exact"), Quantity(&PULSE_WIDTH)]),
            Means("anything from 0 us to 20 us; what hangs on it is not judged"),
            "3 us",
        )
        .standing_for(&range::PULSE),
    ],
};

pub(in crate::setup) static ORDER: Part = Part {
    name: "order",
    about: "How the set does its sums, as found by trying.",
    either: &[],
    least: &[],
    around: "transmitter:\n  order: ...",
    keys: &[
        fact(
            "past_full_stick",
            "Whether a signal beyond full stick, from a rate, trim or mix, is cut off there or carries on.",
            Words(|| words_of(reader::PAST_FULL)),
            CHECKED_BOTH,
            "cut off",
        ),
        fact(
            "endpoint",
            "Whether an endpoint scales the whole travel of its side or only clamps its end.",
            Words(|| words_of(reader::ENDPOINT)),
            CHECKED_BOTH,
            "scales",
        ),
        fact(
            "endpoint_side",
            "Whether an endpoint stays with the way of the stick or with the side of the pulse when reverse is flipped.",
            Words(|| words_of(reader::ENDPOINT_SIDE)),
            CHECKED_BOTH,
            "stick",
        ),
        fact(
            "trim",
            "Whether the trim is added before or after the endpoint acts.",
            Words(|| words_of(reader::PLACES)),
            CHECKED_BOTH,
            "before endpoint",
        ),
        fact(
            "mix",
            "Whether mixes are added before or after the endpoint acts.",
            Words(|| words_of(reader::PLACES)),
            CHECKED_BOTH,
            "before endpoint",
        ),
        fact(
            "sub_trim",
            "Whether a sub-trim shifts both ends along or keeps them where they are.",
            Words(|| words_of(reader::SUB_TRIM)),
            CHECKED_BOTH,
            "shifts ends",
        ),
    ],
};
