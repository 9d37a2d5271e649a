//! The boat as a body in water, and what empties her tank.

use super::super::lower::boat::WATERS;
use super::super::lower::dive::{AIR, AIRS, GASES, MATERIALS};
use super::Takes::{Block, Either, Flow, Named, Pair, Quantity, Words};
use super::Without::{Means, NeededOr};
use super::quantity::{
    AMPERES, CONDUCTIVITY, LEAK, MILLIMETRES, PERCENT, PRESSURE, SECONDS, SPEED, TEMPERATURE, VOLTS, VOLUME,
    WEIGHT,
};
use super::{Part, fact, figure, part, words_of};

const NOT_ESTIMATED: super::Without = Means("what hangs on it is not estimated");

pub(in crate::setup) static HULL: Part = Part {
    name: "hull",
    about: "The boat as a body in water, for estimates.",
    either: &[],
    least: &[],
    around: "hull: ...",
    keys: &[
        figure(
            "weight",
            "What she weighs on dry land, tank empty, ready to dive: `8.4 kg`.",
            Quantity(&WEIGHT),
            NOT_ESTIMATED,
            "8.4 kg ± 50 g",
        ),
        figure(
            "heavy",
            "How much heavier than the water she is with the tank full: `15 g ± 10 g`; below nought, lighter.",
            Quantity(&WEIGHT),
            Means("she is taken to float level in the water in which that was tried"),
            "15 g ± 10 g",
        ),
        figure(
            "weighed_at",
            "How warm the water was in which `heavy` was found: `18 degC`.",
            Quantity(&TEMPERATURE),
            Means("as cold or as warm as `water` allows, whichever is worse"),
            "18 degC",
        ),
        fact(
            "weighed_in",
            "What water that was.",
            Words(|| words_of(WATERS)),
            Means("the very water she sails in"),
            "fresh",
        ),
        figure(
            "weighed_conductivity",
            "How well that water conducts, as a meter shows it, if it was brackish: `12000 uS/cm ± 500 uS/cm`.",
            Quantity(&CONDUCTIVITY),
            Means("of brackish water any is possible, whichever is worse"),
            "12000 uS/cm ± 500 uS/cm",
        ),
        fact(
            "material",
            "What the hull is made of: it grows with warmth.",
            Words(|| words_of(MATERIALS)),
            Means("it grows not at all or as ABS does, whichever is worse"),
            "acrylic",
        ),
        figure("length", "Her length: `900 mm`.", Quantity(&MILLIMETRES), NOT_ESTIMATED, "900 mm"),
        figure("beam", "Her breadth: `110 mm`.", Quantity(&MILLIMETRES), NOT_ESTIMATED, "110 mm"),
        figure(
            "dives_at",
            "The fastest she goes down under way: `0.2 m/s`.",
            Quantity(&SPEED),
            NOT_ESTIMATED,
            "0.2 m/s",
        ),
        figure(
            "sails_at",
            "How fast she sails ahead, dived, with which she coasts on when the motor stands: `0.5 m/s`.",
            Quantity(&SPEED),
            Means("three times `dives_at`"),
            "0.5 m/s",
        ),
        figure(
            "air",
            "How much air is in the hull, which a pump with `air: hull` thins: `3.5 L ± 0.5 L`.",
            Quantity(&VOLUME),
            Means("the air is taken to suffice, and that is said"),
            "3.5 L ± 0.5 L",
        ),
        figure(
            "leaks",
            "How fast water may come in, as a rate or as the hole it comes through: `0.2 L/min`, `1 mm`.",
            Quantity(&LEAK),
            Means("what leaks in is taken to weigh nothing, and that is said"),
            "0.2 L/min",
        ),
        figure(
            "water",
            "The coldest and the warmest water she is sailed in: `[4 degC, 22 degC]`.",
            Pair(&Quantity(&TEMPERATURE)),
            Means("estimates take a temperate range, and say so"),
            "[4 degC, 22 degC]",
        ),
    ],
};

pub(in crate::setup) static TANK: Part = Part {
    name: "tank",
    about: "The ballast tank and what empties it, for estimates.",
    either: &[],
    least: &[],
    around: "tank: ...",
    keys: &[
        figure(
            "volume",
            "How much water it takes: `600 mL ± 20 mL`.",
            Quantity(&VOLUME),
            NOT_ESTIMATED,
            "600 mL ± 20 mL",
        ),
        part(
            "emptied_by",
            "What empties it, each under the name of the work that sets it going.",
            Named("WORK", 0, &Block(&EMPTIER)),
            Means("nothing is known that empties it"),
            "{pump: {flow: [[0 bar, 4 L/min], [0.4 bar, 0 L/min]]}}",
        ),
    ],
};

const OF_PUMP: &[(&str, &str)] = &[("flow", "[[0 bar, 4 L/min], [0.4 bar, 0 L/min]]")];
const OF_BOTTLE: &[(&str, &str)] = &[("gas", "butane")];

pub(in crate::setup) static EMPTIER: Part = Part {
    name: "emptier",
    about: "A pump or blower (`flow`), or gas from a bottle (`gas`).",
    either: &[],
    least: OF_PUMP,
    around: "tank:\n  emptied_by:\n    pump: ...",
    keys: &[
        figure(
            "flow",
            "What the pump moves against a pressure, two points or more: `[[0 bar, 4 L/min], [0.4 bar, 0 L/min]]`.",
            Flow,
            NeededOr("gas"),
            "[[0 bar, 4 L/min], [0.4 bar, 0 L/min]]",
        ),
        figure(
            "flow_off",
            "By which part of itself the flow can be off: `15 %`.",
            Quantity(&PERCENT),
            Means("estimates take what is written, and say so"),
            "15 %",
        ),
        figure(
            "pressure_off",
            "By which part of themselves the pressures can be off, as on another day or another pump of the kind: \
             `5 %`.",
            Quantity(&PERCENT),
            Means("as `flow_off`"),
            "5 %",
        ),
        figure(
            "measured_at",
            "The volts at which `flow` was found: `7.2 V`. A pump on less moves less, against less.",
            Quantity(&VOLTS),
            Means("nominal for its battery, in the worst case full, for the greatest speed empty"),
            "7.2 V",
        ),
        figure(
            "starts_in",
            "From the switch to the first water: `0.5 s`.",
            Quantity(&SECONDS),
            Means("it is taken to move water at once"),
            "0.5 s",
        ),
        figure(
            "duty",
            "The longest it may run: `90 s`.",
            Quantity(&SECONDS),
            Means("it is not held against the time it runs"),
            "90 s",
        ),
        figure(
            "current",
            "What it draws: `1.8 A`.",
            Quantity(&AMPERES),
            Means("it is not counted against the battery"),
            "1.8 A",
        ),
        figure(
            "stall",
            "What it draws when it is held fast, by weed or a frozen hose: `6 A`.",
            Quantity(&AMPERES),
            Means("what the battery has to carry then is not judged"),
            "6 A",
        ),
        fact(
            "air",
            "Where a blower takes its air from: the `hull`, or a `snorkel`. Not given: the snorkel of a boat that \
             has one.",
            Words(|| words_of(AIRS)),
            Means("the snorkel of a boat that has one"),
            "hull",
        ),
        fact(
            "gas",
            "What is in the bottle: `butane`, `air`, or parts by weight: `{butane: 70 %, propane: 30 %}`.",
            Either(&[
                Words(|| GASES.iter().map(|(word, _)| *word).chain([AIR]).collect()),
                Named("GAS", 0, &Quantity(&PERCENT)),
            ]),
            NeededOr("flow"),
            "butane",
        )
        .beside(OF_BOTTLE),
        figure("bottle", "Volume of the bottle: `50 mL`.", Quantity(&VOLUME), NOT_ESTIMATED, "50 mL")
            .beside(OF_BOTTLE),
        figure(
            "charge",
            "Weight of a liquefied gas when the bottle is full: `12 g ± 1 g`.",
            Quantity(&WEIGHT),
            NOT_ESTIMATED,
            "12 g ± 1 g",
        )
        .beside(OF_BOTTLE),
        figure(
            "pressure",
            "Pressure of the air when the bottle is full: `8 bar`.",
            Quantity(&PRESSURE),
            NOT_ESTIMATED,
            "8 bar",
        )
        .beside(&[("gas", "air")]),
        figure(
            "hole",
            "Diameter of the narrowest hole on the way to the tank: `0.5 mm`.",
            Quantity(&MILLIMETRES),
            NOT_ESTIMATED,
            "0.5 mm",
        )
        .beside(OF_BOTTLE),
    ],
};
