//! Words that the file, the reports and the papers use, and what they mean here.

/// A word and what it means.
#[derive(Clone, Copy, Debug)]
pub struct Term {
    /// The word.
    pub name: &'static str,
    /// What it means, in whole sentences.
    pub about: &'static str,
    /// Where it is to be seen.
    pub shown: Shown,
}

/// An example of a word.
#[derive(Clone, Copy, Debug)]
pub enum Shown {
    /// That of a key, by its place.
    Key(&'static str),
    /// The same with another value behind the key.
    With(&'static str, &'static str),
    /// What a command says, with its arguments.
    Command(&'static str),
}

use Shown::{Command, Key, With};

macro_rules! terms {
    ($($name:literal: $about:literal, $shown:expr;)*) => {
        /// Every word, those of the file first, then the states of the boat, then those of the verdicts.
        pub const ALL: &[Term] = &[$(Term { name: $name, about: $about, shown: $shown }),*];
    };
}

terms! {
    "axis": "The line on which everything of devices, presets and units lies: 0 % is the pulse at rest, +100 % the \
        longer full pulse, -100 % the shorter, straight lines between and beyond. `axis` says which pulses these are: \
        those of the set on which the positions were read. It is a matter of the pulse alone, so what lies on it does \
        not move when somebody flips reverse on the set or sails the boat with another set. Endpoints, sub-trims, \
        rates, trims and mixes are shares of the full pulse of the set that is in the file, `transmitter.pulse`.", Key("axis");
    "position": "A point on the axis, in percent with its sign (`+54 %`) or in microseconds off the meter (`1664 us`); for a servo that gives `turn` and `arm` in degrees or millimetres, too.", Key("devices.DEVICE.works.WORK.from");
    "pulse": "What the receiver sends to a device, some 50 times a second: its length in microseconds says where to \
        go. A pulse meter reads it.", Key("transmitter.pulse");
    "way": "A direction of a control by where the hand goes (left, right, towards, away, lower, upper), with your \
        own word for it: `{left: port, right: starboard}`. Endpoints, wants and sense are named by that word.", Key("controls.CONTROL.ways");
    "control": "Something the hand moves: a stick along one line, a pair of buttons, a switch, a slider or a knob.", Key("controls");
    "channel": "What the set sends for one output of the receiver, under the number of that output.", Key("channels");
    "device": "What is plugged into a channel: a servo, a speed controller, a leveller, a relay.", Key("devices");
    "work": "What a device works at a point of its travel: a valve, a switch, a release. One servo may work several.", Key("devices.DEVICE.works");
    "effect": "What is seen at the boat when the pulse gets longer or shorter. The words come in pairs of opposites, \
        such as `turns left` and `turns right`; a file may add pairs of its own under `opposites`.", Key("devices.DEVICE.effects");
    "sense": "Which way something goes: which way of the hand makes the pulse longer (`longer` of a channel), and \
        what a longer pulse does to the boat (`effects` of a device).", Key("channels.NUMBER.longer");
    "reversed": "A channel that the set turns round, so that the other way makes the pulse longer. The file tells it \
        by `longer`, as seen on the meter; `reverse` is what the set's screen shows.", Key("channels.NUMBER.reverse");
    "endpoint": "The number on the set's screen that says how far one way of a control carries the output.", Key("channels.NUMBER.endpoints");
    "sub-trim": "The number on the set's screen that shifts a channel's output at rest; + is a longer pulse.", Key("channels.NUMBER.sub_trim");
    "trim": "A small lever or pair of buttons that moves the middle of a control; the file says how far at most.", Key("controls.CONTROL.trim");
    "rate": "How much of the stick counts. A switch can choose between several.", Key("channels.NUMBER.rate");
    "expo": "How much gentler a control acts around rest than at its ends.", Key("channels.NUMBER.expo");
    "mix": "A share of another control, or of another channel, that the set adds to a channel.", Key("channels.NUMBER.mixes");
    "plus": "Of every control the right, away or upper way counts as plus, the left, towards or lower way as minus, \
        whichever way the pulse goes. A mix with a plus takes what is mixed in to the same end as the channel's own control: \
        its right, away or upper way moves the channel as the right, away or upper way of a stick on it would, towards the \
        longer pulse where that way is `longer`, else towards the shorter; a mix with a minus the other way.", With("channels.NUMBER.mixes", "[{add: -45 %, of: helm}]");
    "tail": "Surfaces that two hands share, each on a channel of its own, mixed in the set: a V tail, four surfaces in an X.", With("channels.NUMBER.mixes", "[{add: 45 %, of: helm}]");
    "percent": "Behind a figure of a device, a preset or a unit: percent of the `axis`. Behind what is dialled in the set \
        (endpoints, rates, mixes, trims, sub-trims): percent of the full travel of that side, as the set's screen shows it.", Key("axis");
    "throw": "How far something is moved: a channel's output by a way that is held fully, or the lever at the end of a rod.", Key("devices.DEVICE.linkage");
    "setting": "A position of a switch, by your word for it. A switch that nobody has thrown is in its first setting, or in the one that `home` names.", Key("controls.CONTROL.settings");
    "guard": "A switch without which something reserved cannot be engaged: `reserved: {unless: {guard: armed}}`.", Key("devices.DEVICE.works.WORK.reserved");
    "stop": "Where something binds: a servo driven past it hums, heats or breaks something.", Key("devices.DEVICE.stops");
    "accuracy": "The most something can be off, either side, beyond what repeating shows: warmth, voltage, wear, \
        slack.", Key("devices.DEVICE.accuracy");
    "tolerance": "What follows `±`: the most a number can be off, either side, with its own unit or the same.", Key("devices.DEVICE.works.WORK.from");
    "slack": "A function that was engaged stays so until its device is surely back past `releases`; without that \
        key it lets go where it engaged.", Key("devices.DEVICE.works.WORK.releases");
    "order": "How a set does its sums: whether trim and mixes come before the endpoint, whether an endpoint scales \
        or clamps, and so on. What `transmitter.order` does not say is checked for every possibility.", Key("transmitter.order");
    "preset": "A position that the receiver sends for a channel when it hears nothing.", Key("receiver.on_loss");
    "hold": "The receiver goes on sending the last pulse it heard.", With("receiver.on_loss", "hold");
    "noise": "The receiver may send any pulse.", With("receiver.on_loss", "noise");
    "no pulses": "The receiver sends nothing: a servo stays, a speed controller does as `without_pulses` says.", With("receiver.on_loss", "no pulses");

    "piloting": "A state of the boat: link in order, every position of every control, every trim, every setting.", Command("check --all boats/moonfish.yaml");
    "waiting": "A state of the boat: link lost, and nothing done about it yet; each channel as `receiver.on_loss` \
        says.", Key("receiver.after");
    "stage": "A state of the boat: what the fail-safe unit does for a while after a lost link, a low battery or a \
        leak; the first after its `wait`, then one after the other.", Key("fail_safe.stages");
    "lost for good": "A state of the boat: link lost, and what the last stage, or the receiver by itself, leaves.", Command("states boats/moonfish.yaml");
    "power-up": "A state of the boat: receiver on, transmitter off, nothing heard yet; then what receiver and unit \
        do by themselves, as on a lost link.", Command("states boats/moonfish.yaml");
    "power gone": "A state of the boat: switched off, a fuse, a flat pack. Servos stay where they are, motors stop, \
        and nothing on board acts.", Command("states boats/moonfish.yaml");
    "unpowered": "A state of the boat: `power gone`, as reports for machines call it.", Command("states --format json boats/moonfish.yaml");
    "not judged": "A verdict: it hangs on something that the file does not say. `check` names the key, how the bench finds it and \
        the value that decides; where people could be hurt it counts as an error.", Command("check tests/fixtures/mistakes/servo-never-repeated.yaml");
    "provisional": "What a paper is called while something of the boat is not judged; it says so on every page, with how many.", Command("handover --help");
    "window": "The values of an endpoint at which every question that hangs on it is answered well, from the least to the \
        greatest; all else as it is set.", Command("endpoints boats/moonfish.yaml");
    "error": "A finding with which a boat is not to be sailed. While there is one no paper is printed but a draft.", Command("check tests/fixtures/mistakes/blow-reaches-gas.yaml");
    "warning": "A finding that may be meant: look at it, mend it or accept it. With `--strict` it counts as an error does.", Command("check --strict tests/fixtures/mistakes/hook-called-by-what-it-does.yaml");
    "certificate": "The proof of a boat as a file that somebody else's checker can follow without believing this program.", Command("verify --help");
    "low battery": "A state of the boat: the unit's stages begin because the battery it watches is low, while the \
        pilot still has the channels outside the unit.", Key("fail_safe.low_battery");
    "leak": "A state of the boat: the same because of water in the hull.", Key("fail_safe.leak");

    "proved": "A verdict: it holds for everything the hand, the trims, the switches and the stated tolerances can \
        do, with the least distance left, the margin.", Command("check --all boats/moonfish.yaml");
    "broken": "A verdict: a witness breaks it.", Command("check tests/fixtures/mistakes/blow-reaches-gas.yaml");
    "undecided": "A verdict: the program could not tell. It counts as an error.", Key("channels.NUMBER.expo");
    "witness": "A stick position that breaks a rule. Hold it on the bench, and the meter shows the pulse that is \
        named.", Command("check tests/fixtures/mistakes/blow-reaches-gas.yaml");
    "margin": "The distance between what is proved and the limit it keeps, in percent of the axis and in \
        microseconds.", Command("check boats/moonfish.yaml");
    "acceptance": "A finding that somebody has looked at and lives with, under `accept`, with the reason.", Key("accept");
    "estimate": "A figure from physics that rests on what the file says and on assumptions that are named. It warns \
        and proves nothing; a tethered test in shallow water decides.", Command("rehearse boats/moonfish.yaml");
    "code": "Eight characters that stand for the boat file on everything printed from it. A paper with another code \
        is of another state of the boat.", Command("verify boats/moonfish.yaml");
}
