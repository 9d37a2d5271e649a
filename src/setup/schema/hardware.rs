//! The sections about receiver, unit, devices and batteries.

use super::super::lower::{devices as reader, linkage as rod, loss, works as works_reader};
use super::parts::{Key, block, link, one_or_list, open_block, or_else, pair, table, words};
use crate::device::{self, KindInfo, works};
use serde_json::{Value, json};

/// The numbers of channels as keys.
const NUMBERS: &str = "^[0-9]+$";

/// Name and shape of every block in these sections.
pub(super) fn defs() -> Vec<(String, Value)> {
    let defs = [
        ("receiver", receiver()),
        ("preset", preset()),
        ("stored", stored()),
        ("fail_safe", fail_safe()),
        ("notices", notices()),
        ("stage", stage()),
        ("low_battery", low_battery()),
        ("device", any_device()),
        ("effects", effects()),
        ("also", also()),
        ("corrects", corrects()),
        ("linkage", linkage()),
        ("work", work()),
        ("reserved", reserved()),
        ("battery", battery()),
    ];
    let kinds = device::ALL.iter().map(|kind| (part_name(kind), of_kind(kind)));
    defs.into_iter().map(|(name, part)| (name.to_owned(), part)).chain(kinds).collect()
}

pub(super) fn devices() -> Value {
    open_block(link("device"))
}

pub(super) fn batteries() -> Value {
    open_block(link("battery"))
}

fn receiver() -> Value {
    let stored = json!({
        "type": "object",
        "patternProperties": {NUMBERS: link("stored")},
        "additionalProperties": false,
    });
    let on_loss = json!({"anyOf": [table(loss::OTHERS), link("preset")]});
    block(
        "What the receiver does when it hears nothing.",
        &[],
        vec![
            (
                "on_loss",
                "What it sends then: nothing, the last pulse, anything, or a preset: `{3: 0 %, 4: +100 %, others: hold}`.",
                on_loss,
            ),
            ("after", "How long it waits before it does so.", link("seconds")),
            ("browns_out", "Volts of the watched battery below which it gives up.", link("volts")),
            ("supply", "The current that receiver and servos can have together.", link("amperes")),
            (
                "presets",
                "The outputs that can have a preset, if not all of them can: `[3]`.",
                json!({"type": "array", "items": link("channel_number")}),
            ),
            (
                "stored_with",
                "What the set showed when the presets were stored: `{4: {reverse: yes, sub_trim: 0 %}}`.",
                stored,
            ),
        ],
    )
}

fn stored() -> Value {
    block(
        "What the set's screen showed for a channel when its preset was stored.",
        &[],
        vec![
            ("reverse", "What it showed under reverse.", link("yes_no")),
            ("sub_trim", "The sub-trim it showed.", link("signed_share")),
        ],
    )
}

fn preset() -> Value {
    let mut preset = block(
        "Positions stored in the receiver, each under the number of its channel.",
        &[],
        vec![
            (
                "others",
                "What the channels do that are not named; hold when left out.",
                or_else(table(loss::OTHERS), "hold"),
            ),
            ("works", "The works that the preset is there to engage.", one_or_list(&link("text"))),
        ],
    );
    preset["patternProperties"] = json!({NUMBERS: link("set_position")});
    preset
}

fn fail_safe() -> Value {
    let watched = json!({"anyOf": [{"const": "no pulses"}, link("notices")]});
    let channels = json!({"type": "array", "items": link("channel_number")});
    let stages = json!({"type": "array", "items": link("stage"), "minItems": 1});
    block(
        "A unit wired between receiver and devices.",
        &["channels", "stages"],
        vec![
            ("channels", "The channels that run through it: `[3, 5]`.", channels),
            (
                "notices",
                "What it watches for: `no pulses`, or a preset: `{channel: 7, beyond: +80 %}`.",
                or_else(watched, "no pulses"),
            ),
            ("accuracy", "How far the pulses it makes by itself can be off.", link("share")),
            ("wait", "How long it waits before the first stage.", link("seconds")),
            ("stages", "What it does, one after the other.", stages),
            ("low_battery", "The battery it watches.", link("low_battery")),
            ("leak", "`yes` if it acts on water in the hull.", or_else(link("yes_no"), "no")),
        ],
    )
}

fn notices() -> Value {
    block(
        "A channel on which the unit watches for the receiver's preset.",
        &["channel", "beyond"],
        vec![
            ("channel", "The channel it watches.", link("channel_number")),
            ("beyond", "The position beyond which it acts, with its side: `+80 %`.", link("threshold")),
        ],
    )
}

fn stage() -> Value {
    let set = json!({
        "type": "object",
        "patternProperties": {NUMBERS: link("set_position")},
        "additionalProperties": false,
    });
    block(
        "One thing the unit does.",
        &["name"],
        vec![
            ("name", "Your name for it: `blow`.", link("text")),
            (
                "lasts",
                "How long; only the last may go without, and then holds until the signal returns.",
                link("seconds"),
            ),
            ("set", "Where it puts its channels: `{3: 0 %, 4: +105 %}`.", set),
            ("works", "The works that it is there to engage: `[pump, gas]`.", one_or_list(&link("text"))),
        ],
    )
}

fn low_battery() -> Value {
    block(
        "When the unit acts on a tired battery.",
        &["battery", "below"],
        vec![
            ("battery", "Which of the `batteries`.", link("text")),
            ("below", "The voltage below which it acts.", link("volts")),
        ],
    )
}

/// By its kind: an editor then offers the keys of that kind only and says which one is wrong.
fn any_device() -> Value {
    let by_kind: Vec<Value> = device::ALL
        .iter()
        .map(|kind| {
            json!({
                "if": {"properties": {"kind": {"const": kind.name}}, "required": ["kind"]},
                "then": link(&part_name(kind)),
            })
        })
        .collect();
    json!({
        "description": "Something that listens to a channel.",
        "type": "object",
        "properties": {"kind": described("What it is; says which keys it takes.", kinds())},
        "required": ["kind"],
        "allOf": by_kind,
    })
}

/// A link is an address, and there is no blank in one.
pub(super) fn part_name(kind: &KindInfo) -> String {
    kind.name.replace(' ', "_")
}

fn described(about: &str, mut value: Value) -> Value {
    value["description"] = about.into();
    value
}

fn kinds() -> Value {
    words(device::ALL.iter().map(|kind| kind.name))
}

/// The shape of one kind.
fn of_kind(kind: &KindInfo) -> Value {
    // A key without words here stays out, and the test that compares the lists says so.
    let known = reader::COMMON.iter().chain(kind.keys);
    let keys = known.filter_map(|key| device_keys().into_iter().find(|(k, ..)| k == key)).collect();
    let mut device = block(&format!("A {}.", kind.name), &["kind"], keys);
    device["properties"]["kind"] = described("What it is.", json!({"const": kind.name}));
    if kind.works_alone {
        device["not"] = json!({"required": ["channel", "behind"]});
    } else {
        device["oneOf"] = json!([{"required": ["channel"]}, {"required": ["behind"]}]);
    }
    device
}

/// Every key that some kind of device takes.
fn device_keys() -> Vec<Key> {
    let stop = json!({"anyOf": [{"const": "none"}, link("found_position")]});
    let band = pair(&link("set_position"));
    vec![
        ("kind", "What it is.", kinds()),
        ("channel", "The channel it is plugged into.", link("channel_number")),
        ("behind", "The device that passes its signal on to this one.", link("text")),
        ("note", "A remark for the documents.", link("text")),
        (
            "accuracy",
            "What repeating does not show: warmth, voltage, wear, slack. The most it can be off, either side.",
            link("accuracy"),
        ),
        (
            "stops",
            "Where something binds, shorter side first: `[-118 %, +118 %]`; `none` where nothing does.",
            pair(&stop),
        ),
        ("effects", "What is seen at the boat when the pulse changes.", link("effects")),
        ("also", "What else is seen then: one of two screws turns her as well as driving her.", link("also")),
        ("works", "What its travel works, each under a name of your own.", works_of_device()),
        (
            "turn",
            "How far the horn turns from rest at 100 %; lets positions be given in degrees.",
            link("degrees"),
        ),
        ("arm", "The length of the horn's arm; lets positions be given in millimetres.", link("millimetres")),
        (
            "linkage",
            "The rod and what it drives, beside `turn`: `{horn: 12 mm, rod: 60 mm, lever: 15 mm, pivots: 60 mm, longer: towards}`.",
            link("linkage"),
        ),
        ("still_between", "The band around rest in which it does nothing: `[-4 %, +4 %]`.", band.clone()),
        (
            "without_pulses",
            "What it does when no pulses reach it; taken to stop when left out.",
            table(reader::WITHOUT_PULSES),
        ),
        ("role", "What its channel is for: `override`.", link("text")),
        ("limits", "How far its own output can go: `[-90 %, +90 %]`.", band),
        (
            "one_way",
            "`yes` if it knows one direction only and stops at the end of its range.",
            or_else(link("yes_no"), "no"),
        ),
        ("stall", "What the servo draws when it is held fast: `1.2 A`.", link("amperes")),
        ("correction", "The most the unit adds by itself.", link("share")),
        ("corrects", "To which side it moves its output when the bow is high.", link("corrects")),
        (
            "astern",
            "`off` if the unit leaves the planes alone while she goes astern; it corrects when left out.",
            or_else(table(reader::ASTERN), "corrects"),
        ),
        (
            "signal",
            "`held` if it acts only while the signal is there, `momentary` if a touch is enough and it must not stay.",
            table(works_reader::SIGNALS),
        ),
        ("takes", "The time it needs from -100 % to +100 %: `1.2 s`.", link("seconds")),
        ("speed", "The time a servo needs for 60 degrees, beside `turn`: `0.2 s`.", link("seconds")),
        (
            "module_mixes",
            "Controls that a module between the receiver and this device mixes in by itself.",
            one_or_list(&link("text")),
        ),
        (
            "learns_rest",
            "`yes` if it takes the first pulse after power-up for its rest.",
            or_else(link("yes_no"), "no"),
        ),
    ]
}

fn works_of_device() -> Value {
    json!({
        "type": "object",
        // A point stands between a device and its work wherever one is named.
        "propertyNames": {"pattern": "^[^.]*$"},
        "additionalProperties": link("work"),
    })
}

fn linkage() -> Value {
    let mut linkage = block(
        "Horn and rod of a servo with the lever (`lever`, `pivots`) or the slide (`way`) that they drive.",
        &["horn", "rod", "longer"],
        vec![
            ("horn", "From the servo's shaft to the rod's hole in the horn: `12 mm`.", link("length")),
            (
                "rod",
                "From hole to hole; its play belongs into the tolerance: `60 mm ± 0.5 mm`.",
                link("length"),
            ),
            ("lever", "From the lever's pivot to the rod's hole in it: `15 mm`.", link("length")),
            ("pivots", "From the servo's shaft to the lever's pivot: `60 mm ± 1 mm`.", link("length")),
            (
                "way",
                "How far the line on which the rod's end slides passes from the shaft, on the horn's side: `12 mm`.",
                link("length"),
            ),
            (
                "rests",
                "The horn at rest, seen so that it points up: 0 deg square to the line from shaft to pivot or to the way, + leaning towards the lever or the slide.",
                link("angle"),
            ),
            (
                "longer",
                "Where the horn turns when the pulse gets longer: `towards` the lever or the slide, or `away` from it.",
                table(rod::LONGER),
            ),
            (
                "joined",
                "How it is put together; `crossed` where the rod crosses the line from shaft to pivot.",
                or_else(table(rod::JOINED), "open"),
            ),
        ],
    );
    linkage["oneOf"] = json!([{"required": ["lever", "pivots"]}, {"required": ["way"]}]);
    linkage
}

fn corrects() -> Value {
    block(
        "What the unit does by itself, as seen on the bench.",
        &["bow high"],
        vec![(
            "bow high",
            "The side to which its output moves when the bow is held high.",
            table(reader::TOWARDS),
        )],
    )
}

fn effects() -> Value {
    block(
        "What is seen at the boat, not at the device.",
        &[],
        vec![
            (
                "longer",
                "What is seen when the pulse gets longer: one effect, or a list.",
                one_or_list(&link("effect")),
            ),
            (
                "shorter",
                "What is seen when the pulse gets shorter: one effect, or a list.",
                one_or_list(&link("effect")),
            ),
        ],
    )
}

fn also() -> Value {
    block(
        "What is seen at the boat beside the effects: one, or a list.",
        &[],
        vec![
            ("longer", "What else is seen when the pulse gets longer.", one_or_list(&link("effect"))),
            ("shorter", "What else is seen when the pulse gets shorter.", one_or_list(&link("effect"))),
        ],
    )
}

fn work() -> Value {
    let clicks = json!({"type": "array", "items": link("reading"), "minItems": 1});
    let mut work = block(
        "Something that is worked at a point of the travel.",
        &["kind"],
        vec![
            (
                "kind",
                "What it is. Vent and flood valves sink her; pump switch, blow valve and emergency gas valve raise her.",
                words(works::ALL.iter().map(|kind| kind.name)),
            ),
            ("from", "Where it engages, coming from rest: `+72 % ± 4 %`.", link("found_position")),
            (
                "clicks",
                "Readings from creeping up to it several times, always from rest: `[+37 %, +38 %, +40 %]`.",
                clicks,
            ),
            ("to", "Where it ends again farther out, if it does.", link("found_position")),
            ("full", "Where its effect is complete.", link("found_position")),
            (
                "releases",
                "Where it lets go on the way back; at `from` when left out.",
                link("found_position"),
            ),
            (
                "reserved",
                "`yes` if no stick may ever engage it; `{unless: {guard: armed}}` allows it in one setting.",
                or_else(json!({"anyOf": [{"enum": ["yes", "no", true, false]}, link("reserved")]}), "no"),
            ),
            (
                "kept_on",
                "`yes` if it is meant to stay on when the control is let go.",
                or_else(link("yes_no"), "no"),
            ),
            ("never_with", "Works that must never be engaged at the same time.", one_or_list(&link("text"))),
            (
                "dangerous",
                "`yes` if it can hurt somebody, whatever its kind: it is then treated like a firing contact.",
                or_else(link("yes_no"), "no"),
            ),
            (
                "signal",
                "`held` if it acts only while the signal is there, `momentary` if a touch is enough and it must not stay.",
                table(works_reader::SIGNALS),
            ),
            (
                "longest",
                "The longest it may be engaged in one go: tank full, pump hot, bottle empty: `90 s`.",
                link("seconds"),
            ),
            (
                "wakes",
                "`on` if it is on from the moment the battery is connected until it hears a signal; off when left out.",
                or_else(table(works_reader::WAKES), "off"),
            ),
        ],
    );
    work["oneOf"] = json!([{"required": ["from"]}, {"required": ["clicks"]}]);
    work
}

fn reserved() -> Value {
    let mut setting = link("conditions");
    setting["minProperties"] = json!(1);
    setting["maxProperties"] = json!(1);
    block(
        "Out of the pilot's reach but for one setting.",
        &["unless"],
        vec![("unless", "One setting of one switch: `{guard: armed}`.", setting)],
    )
}

fn battery() -> Value {
    let cells = json!({"anyOf": [{"type": "integer", "minimum": 1, "maximum": 100}, {"type": "string", "pattern": "^[0-9]+$"}]});
    block(
        "A battery.",
        &[],
        vec![
            ("cells", "How many cells in series.", cells),
            ("chemistry", "What is in it: `NiMH`.", link("text")),
            ("capacity", "What it holds: `4.2 Ah`.", link("capacity")),
            (
                "resistance",
                "What the pack sets against a current, leads and plugs included, for estimates: `80 mohm ± 20 mohm`.",
                link("resistance"),
            ),
            (
                "draws",
                "What receiver, unit, lights, servos at work and motors draw from it together, beside the pumps, for \
                 estimates: `0.6 A`.",
                link("amperes"),
            ),
        ],
    )
}
