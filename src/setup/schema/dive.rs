//! The sections about the boat as a body in water, and what empties her tank.

use super::super::lower::boat::WATERS;
use super::super::lower::dive::{AIR, AIRS, GASES, MATERIALS};
use super::parts::{block, link, open_block, pair, table, words};
use serde_json::{Value, json};

pub(super) fn defs() -> Vec<(&'static str, Value)> {
    vec![("hull", hull()), ("tank", tank()), ("emptier", emptier())]
}

fn hull() -> Value {
    block(
        "The boat as a body in water, for estimates.",
        &[],
        vec![
            ("weight", "What she weighs on dry land, tank empty, ready to dive: `8.4 kg`.", link("weight")),
            (
                "heavy",
                "How much heavier than the water she is with the tank full: `15 g ± 10 g`; below nought, lighter.",
                link("weight"),
            ),
            (
                "weighed_at",
                "How warm the water was in which `heavy` was found: `18 degC`. Not given: as cold or as warm as `water` allows, whichever is worse.",
                link("temperature"),
            ),
            ("weighed_in", "What water that was; not given: the water she sails in.", table(WATERS)),
            (
                "material",
                "What the hull is made of: it grows with warmth. Not given: as little as a metal or as much as acrylic, whichever is worse.",
                table(MATERIALS),
            ),
            ("length", "Her length: `900 mm`.", link("millimetres")),
            ("beam", "Her breadth: `110 mm`.", link("millimetres")),
            ("dives_at", "The fastest she goes down under way: `0.2 m/s`.", link("speed")),
            (
                "sails_at",
                "How fast she sails ahead, dived, with which she coasts on when the motor stands: `0.5 m/s`. Not given: three times `dives_at`.",
                link("speed"),
            ),
            (
                "air",
                "How much air is in the hull, which a pump with `air: hull` thins: `3.5 L ± 0.5 L`.",
                link("volume"),
            ),
            (
                "leaks",
                "How fast water may come in, as a rate or as the hole it comes through: `0.2 L/min`, `1 mm`.",
                json!({"anyOf": [link("flow"), link("millimetres")]}),
            ),
            (
                "water",
                "The coldest and the warmest water she is sailed in: `[4 degC, 22 degC]`.",
                pair(&link("temperature")),
            ),
        ],
    )
}

fn tank() -> Value {
    block(
        "The ballast tank and what empties it, for estimates.",
        &[],
        vec![
            ("volume", "How much water it takes: `600 mL ± 20 mL`.", link("volume")),
            (
                "emptied_by",
                "What empties it, each under the name of the work that sets it going.",
                open_block(link("emptier")),
            ),
        ],
    )
}

fn emptier() -> Value {
    let point = json!({"type": "array", "prefixItems": [link("pressure"), link("flow")], "minItems": 2, "maxItems": 2});
    let gases = words(GASES.iter().map(|(word, _)| *word).chain([AIR]));
    block(
        "A pump or blower (`flow`), or gas from a bottle (`gas`).",
        &[],
        vec![
            (
                "flow",
                "What the pump moves against a pressure, two points or more: `[[0 bar, 4 L/min], [0.4 bar, 0 L/min]]`.",
                json!({"type": "array", "items": point, "minItems": 2}),
            ),
            ("flow_off", "By which part of itself the flow can be off: `15 %`.", link("percent")),
            (
                "pressure_off",
                "By which part of themselves the pressures can be off, as on another day or another pump of the kind: `5 %`. Not given: as `flow_off`.",
                link("percent"),
            ),
            (
                "measured_at",
                "The volts at which `flow` was found: `7.2 V`. A pump on less moves less, against less.",
                link("volts"),
            ),
            ("starts_in", "From the switch to the first water: `0.5 s`.", link("seconds")),
            ("duty", "The longest it may run: `90 s`.", link("seconds")),
            ("current", "What it draws: `1.8 A`.", link("amperes")),
            (
                "air",
                "Where a blower takes its air from: the `hull`, or a `snorkel`. Not given: the snorkel of a boat that has one.",
                table(AIRS),
            ),
            (
                "gas",
                "What is in the bottle: `butane`, `air`, or parts by weight: `{butane: 70 %, propane: 30 %}`.",
                json!({"anyOf": [gases, open_block(link("percent"))]}),
            ),
            ("bottle", "Volume of the bottle: `50 mL`.", link("volume")),
            ("charge", "Weight of a liquefied gas when the bottle is full: `12 g ± 1 g`.", link("weight")),
            ("pressure", "Pressure of the air when the bottle is full: `8 bar`.", link("pressure")),
            ("hole", "Diameter of the narrowest hole on the way to the tank: `0.5 mm`.", link("millimetres")),
        ],
    )
}
