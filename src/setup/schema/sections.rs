//! The sections about the boat, the set, the hand and the channels.

use super::super::lower::{boat, channels, controls, fittings as fitted, transmitter};
use super::super::model::Line;
use super::parts::{block, link, one_or_list, open_block, pair, table};
use serde_json::{Value, json};

/// Name and shape of every block in these sections.
pub(super) fn defs() -> Vec<(&'static str, Value)> {
    vec![
        ("boat", the_boat()),
        ("transmitter", the_transmitter()),
        ("pulse", pulse()),
        ("order", order()),
        ("control", control()),
        ("ways", ways()),
        ("effect", effect()),
        ("conditions", conditions()),
        ("channel", channel()),
        ("rate", rate()),
        ("mix", mix()),
        ("want", want()),
        ("fittings", fittings()),
        ("owner", owner()),
        ("card", card()),
        ("acceptance", acceptance()),
    ]
}

pub(super) fn controls() -> Value {
    with(open_block(link("control")), "minProperties", json!(1))
}

pub(super) fn channels() -> Value {
    json!({
        "type": "object",
        "minProperties": 1,
        "patternProperties": {"^0*[1-9][0-9]{0,2}$": link("channel")},
        "additionalProperties": false,
    })
}

pub(super) fn opposites() -> Value {
    json!({"type": "array", "items": pair(&link("text"))})
}

pub(super) fn accept() -> Value {
    json!({"type": "array", "items": link("acceptance")})
}

fn acceptance() -> Value {
    block(
        "A finding that is accepted, and why.",
        &["rule", "where", "because"],
        vec![
            ("rule", "The rule's name as a report prints it.", link("text")),
            ("where", "What the finding is about: `tank_servo.gas`, `4/blow`.", link("text")),
            ("state", "In which state of the boat, as a report prints it: `stage blow`.", link("text")),
            ("because", "The reason; it is printed wherever the finding would be.", link("text")),
            ("on_card", "`yes` puts emergency gas within reach on the lid card.", link("yes_no")),
        ],
    )
}

fn fittings() -> Value {
    block(
        "What she carries beyond her channels; bench sheet and guide tell of it.",
        &[],
        vec![
            ("power", "How she is switched on.", table(fitted::POWERS)),
            ("power_at", "Where the switch or plug is: `under the sail`.", link("text")),
            (
                "snorkel",
                "A pipe through which she takes air near the surface: with a `float valve` that closes it, or `open`.",
                table(fitted::SNORKELS),
            ),
            ("aerial", "Where the receiver's aerial runs: `up the periscope`.", link("text")),
            ("leak_test", "Where the tube for the leak test is.", link("text")),
            (
                "couplings",
                "What comes apart when the cylinder is opened and must be joined again.",
                one_or_list(&link("text")),
            ),
            ("closing", "In which order her compartments are closed.", one_or_list(&link("text"))),
            (
                "lights",
                "Indicator lights, each with what it means: `{\"red, blinking\": battery low}`.",
                open_block(link("text")),
            ),
        ],
    )
}

fn with(mut value: Value, key: &str, more: Value) -> Value {
    value[key] = more;
    value
}

fn the_boat() -> Value {
    let date = json!({"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"});
    block(
        "The boat and the job.",
        &["name"],
        vec![
            ("name", "Her name, as it is printed on the card.", link("text")),
            ("kind", "What sort of model she is; a submarine when left out.", table(boat::KINDS)),
            ("reference", "The workshop's own job number.", link("text")),
            ("revision", "Which revision of the set-up this is; count it up at every change.", link("text")),
            ("date", "The day of this revision: `2026-05-02`.", date),
            ("workshop", "Who fitted her out.", link("text")),
            (
                "conductivity",
                "How well her water conducts, as a meter shows it, for estimates: `500 uS/cm ± 100 uS/cm`, in brackish water or a salted pool up to `60000 uS/cm`; without a tolerance a fifth is taken.",
                link("conductivity"),
            ),
            ("water", "Fresh or sea water; fresh when left out.", table(boat::WATERS)),
            ("depth_limit", "How deep she may go: `2 m`.", link("metres")),
            ("floats_when_stopped", "`yes` if she comes up by herself when the motor stops.", link("yes_no")),
            (
                "aerial",
                "`floats` if the aerial stays above the water while she is under.",
                table(boat::AERIALS),
            ),
            ("sinks_in", "How long she takes from a lost trim to the depth limit: `9 s`.", link("seconds")),
        ],
    )
}

fn the_transmitter() -> Value {
    let count = json!({"anyOf": [{"type": "integer", "minimum": 1, "maximum": transmitter::MOST_CHANNELS}, {"type": "string", "pattern": "^[0-9]+$"}]});
    block(
        "The set and how it does its sums.",
        &[],
        vec![
            ("name", "Which set it is, in your words.", link("text")),
            ("memory", "The stored model to select before she goes in.", link("text")),
            (
                "region",
                "Where she sails; says which table of frequencies applies.",
                table(crate::radio::REGIONS),
            ),
            ("frequency", "What the set sends on: `40.685 MHz`.", link("frequency")),
            (
                "margin",
                "What the signal may lose before the link breaks, aerial just above the water and as far off as she is sailed, for estimates: `40 dB ± 6 dB`; without a tolerance 6 dB are taken.",
                link("decibels"),
            ),
            ("channels", "How many channels the set has; 8 when left out.", count),
            ("pulse", "What a pulse meter reads with endpoints at 100 % and no sub-trim.", link("pulse")),
            (
                "furthest",
                "How far any output can go either side of rest, whatever is dialled in; 125 % when left out.",
                link("percent"),
            ),
            (
                "step",
                "The finest step in which an endpoint can be dialled; 1 % when left out.",
                link("percent"),
            ),
            (
                "order",
                "How the set does its sums. Leave a line out and every possibility is checked.",
                link("order"),
            ),
        ],
    )
}

fn pulse() -> Value {
    block(
        "Where the output axis lies on the pulse meter.",
        &[],
        vec![
            ("rest", "The pulse at rest, 0 % of the axis; 1500 us when left out.", link("pulse_width")),
            (
                "full",
                "The shorter and the longer full pulse, -100 % and +100 %: `[1100 us, 1900 us]`.",
                pair(&link("pulse_width")),
            ),
            (
                "accuracy",
                "How far a pulse or the meter can be off, either side; 2 us when left out.",
                link("pulse_width"),
            ),
        ],
    )
}

fn order() -> Value {
    block(
        "How the set does its sums, as found by trying.",
        &[],
        vec![
            (
                "past_full_stick",
                "Whether a signal beyond full stick, from a rate, trim or mix, is cut off there or carries on.",
                table(transmitter::PAST_FULL),
            ),
            (
                "endpoint",
                "Whether an endpoint scales the whole travel of its side or only clamps its end.",
                table(transmitter::ENDPOINT),
            ),
            (
                "endpoint_side",
                "Whether an endpoint stays with the way of the stick or with the side of the pulse when reverse is flipped.",
                table(transmitter::ENDPOINT_SIDE),
            ),
            (
                "trim",
                "Whether the trim is added before or after the endpoint acts.",
                table(transmitter::PLACES),
            ),
            ("mix", "Whether mixes are added before or after the endpoint acts.", table(transmitter::PLACES)),
            (
                "sub_trim",
                "Whether a sub-trim shifts both ends along or keeps them where they are.",
                table(transmitter::SUB_TRIM),
            ),
        ],
    )
}

fn control() -> Value {
    let trim = json!({"anyOf": [{"const": "locked"}, link("share")]});
    let settings = json!({"type": "array", "items": link("text"), "minItems": 2, "uniqueItems": true});
    let control = block(
        "Something the hand moves. A stick or a pair of buttons springs back; all else stays where it was left.",
        &[],
        vec![
            ("at", "Where it is on the set: `right stick`.", link("text")),
            (
                "kind",
                "What it is; a stick when left out, a switch if it has settings.",
                table(controls::KINDS),
            ),
            (
                "ways",
                "Where the hand goes, each with your word for it: `{left: port, right: starboard}`.",
                link("ways"),
            ),
            ("settings", "The settings of a switch, in their order: `[gentle, full]`.", settings),
            ("rests", "Where it is when let go, if that is unusual for its kind.", table(controls::RESTS)),
            ("trim", "The most its trim can move it, either side: `20 %`, or `locked`.", trim),
            (
                "wants",
                "What each way is meant to do to the boat: `{port: turns left, starboard: turns right}`.",
                open_block(one_or_list(&link("effect"))),
            ),
        ],
    );
    // A switch has settings, everything else has ways; nothing has both.
    with(control, "oneOf", json!([{"required": ["ways"]}, {"required": ["settings"]}]))
}

fn ways() -> Value {
    let lines = [Line::LeftRight, Line::TowardsAway, Line::LowerUpper].map(Line::words);
    let about = [
        "Your word for moving it left.",
        "Your word for moving it right.",
        "Your word for pulling it towards you.",
        "Your word for pushing it away.",
        "Your word for the lower end or button.",
        "Your word for the upper end or button.",
    ];
    let keys = lines.iter().flatten().zip(about).map(|(way, about)| (*way, about, link("text")));
    let ways = block("Both ends of one movement, each with your word for it.", &[], keys.collect());
    let pairs: Vec<Value> = lines.iter().map(|pair| json!({"required": pair})).collect();
    with(with(ways, "oneOf", json!(pairs)), "maxProperties", json!(2))
}

fn effect() -> Value {
    let known: Vec<&str> = boat::OPPOSITES.iter().flatten().copied().collect();
    json!({
        "description": "What is seen at the boat. Pairs of your own can be added under `opposites`.",
        // The list is there for editors to offer; a file's own pairs must pass as well.
        "anyOf": [{"enum": known}, link("text")],
    })
}

fn conditions() -> Value {
    let about = "Switches and their settings that must hold: `{agility: full}`.";
    with(open_block(link("text")), "description", json!(about))
}

fn channel() -> Value {
    let endpoints = json!({"anyOf": [link("percent"), open_block(link("percent"))]});
    let want = json!({"anyOf": [link("text"), link("want")]});
    let channel = block(
        "What the set sends on one channel.",
        &[],
        vec![
            ("name", "Your name for it: `rudder`.", link("text")),
            ("control", "The control that moves it.", link("text")),
            ("longer", "The way towards which the pulse gets longer, as seen on the meter.", link("text")),
            (
                "reverse",
                "What the set's screen shows under reverse; printed, and watched for changes.",
                link("yes_no"),
            ),
            (
                "rate",
                "How much of the stick counts: one value, one per way, per setting of a switch, or both.",
                link("rate"),
            ),
            ("expo", "How much gentler it is around rest: `20 %`.", link("percent")),
            (
                "endpoints",
                "The number on the set's screen for each way: `{flood: 80 %, blow: 54 %}`; 100 % when left out.",
                endpoints,
            ),
            ("sub_trim", "The sub-trim on the set's screen; + is a longer pulse.", link("signed_share")),
            ("mixes", "What else is mixed in.", json!({"type": "array", "items": link("mix")})),
            (
                "wants",
                "What each way is there to work: `{flood: vent, blow: pump}`.",
                open_block(one_or_list(&want)),
            ),
            (
                "measured",
                "The pulse with a way held fully, trims at nought: `{blow: 1732 us}`. Believed above all else.",
                open_block(link("pulse_width")),
            ),
            (
                "slow",
                "What the set takes from one end of the travel to the other, where it slows this channel down: `2 s`.",
                link("seconds"),
            ),
            ("spare", "`yes` if nothing is plugged in here on purpose.", link("yes_no")),
        ],
    );
    // Without a control there is no way that these could belong to.
    let needs: serde_json::Map<String, Value> =
        channels::NEED_CONTROL.iter().map(|key| ((*key).to_owned(), json!(["control"]))).collect();
    with(channel, "dependentRequired", Value::Object(needs))
}

fn rate() -> Value {
    // By way and switch, in either order: two blocks deep and one more for the switch's name.
    let mut value = link("share");
    for _ in 0..3 {
        value = json!({"anyOf": [link("share"), open_block(value)]});
    }
    with(
        value,
        "description",
        json!("How much of the stick counts: `{agility: {gentle: 60 %, full: 100 %}}`."),
    )
}

fn mix() -> Value {
    block(
        "Something that is added to a channel.",
        &["add", "of"],
        vec![
            ("add", "How much of it, with its sign: `15 %`.", link("signed_percent")),
            ("of", "The control that is mixed in, or another channel: `helm`, `channel 3`.", link("text")),
            ("when", "Only in these settings: `{agility: full}`.", link("conditions")),
            ("with_trim", "`yes` if the control's trim comes along.", link("yes_no")),
        ],
    )
}

fn want() -> Value {
    block(
        "A work that is wanted only in some settings.",
        &["work"],
        vec![
            ("work", "The work: `tube`, or `bow_servo.tube` where the name stands twice.", link("text")),
            ("needs", "The settings in which it is to be reached: `{guard: armed}`.", link("conditions")),
        ],
    )
}

fn owner() -> Value {
    block(
        "What the owner is told.",
        &[],
        vec![
            (
                "emergency",
                "How to bring her up, one step a line; heads the card.",
                one_or_list(&link("text")),
            ),
            ("contact", "Whom to ask.", link("text")),
            (
                "language",
                "The language of what is printed; English when left out.",
                table(crate::language::ALL),
            ),
        ],
    )
}

fn card() -> Value {
    block(
        "How the lid card is to be printed.",
        &[],
        vec![("size", "Width and height: `[105 mm, 74 mm]`; A7 when left out.", pair(&link("millimetres")))],
    )
}
