//! Words of the trade for what the file calls otherwise, or does not know: what a builder asks for who has not read
//! the handbook. All are common practice, no source.

use super::terms::Shown::{self, Command, Key, With};

/// Words that mean the same, and where it stands in the file.
#[derive(Clone, Copy, Debug)]
pub struct Called {
    /// The words.
    pub words: &'static [&'static str],
    /// What they are here, in whole sentences.
    pub about: &'static str,
    /// Where it is to be seen.
    pub shown: Shown,
}

macro_rules! called {
    ($($($word:literal)|+: $about:literal, $shown:expr;)*) => {
        /// Every one, in the order of the file.
        pub const ALL: &[Called] = &[$(Called { words: &[$($word),+], about: $about, shown: $shown }),*];
    };
}

called! {
    "ship" | "sailing boat" | "sailing" | "rover" | "airship" | "hovercraft" | "truck" | "excavator": "A model that \
        does not dive is `kind: surface`, one that is no boat `kind: other`. What is asked of sinking is then asked of \
        nobody but an airship's valves.", With("boat.kind", "other");
    "static diver" | "dynamic diver": "A boat that dives by her planes under way and comes up when the motor stops says \
        `floats_when_stopped: yes`; one that dives by her tank leaves it out.", Key("boat.floats_when_stopped");
    "depth" | "crush depth" | "depth gauge": "How deep she may go is `depth_limit`. The pressure that would crush \
        her is no matter of the radio: what she was tested to belongs well below it.", Key("boat.depth_limit");
    "salt" | "salinity": "What water she sails in is `water`; a meter tells how well it conducts, `conductivity`.", With("boat.water", "sea");
    "temperature" | "water temperature": "The coldest and the warmest water she is sailed in; warm water carries less, cold \
        gas gives less.", Key("hull.water");

    "crystal" | "band" | "2.4 GHz" | "27 MHz" | "40 MHz" | "75 MHz": "What the set sends on is `frequency`. Held against \
        the table of its `region`, and against what goes through water: a few metres of fresh water at 40 MHz, none at \
        2.4 GHz, none in the sea.", Key("transmitter.frequency");
    "range" | "range check" | "range test" | "link margin": "How much the signal may lose before the link breaks is \
        `margin`. How far she can be sailed at the surface is tried on the water, not reckoned.", Key("transmitter.margin");
    "antenna" | "whip": "Where the receiver's aerial runs is printed; `aerial: floats` under `boat` says that it stays \
        above the water while she is under.", With("boat.aerial", "floats");
    "model memory" | "model select": "The stored model to select before she goes in; it is printed, and \
        heads the card.", Key("transmitter.memory");
    "loan set": "Which set it is, in your words.", Key("transmitter.name");
    "binding" | "pairing": "How a receiver is made to listen to one set only is in the set's handbook. The file knows \
        nothing of it; what the receiver does when it hears nothing is `on_loss`.", Key("receiver.on_loss");
    "PWM" | "servo pulse" | "pulse width" | "pulse meter" | "meter" | "microsecond" | "microseconds": "A servo goes by the length of \
        its pulse, in microseconds, mostly from 1100 us to 1900 us about 1500 us. A pulse meter reads it, plugged in at the place \
        of the servo.", Key("transmitter.pulse");
    "PPM" | "PCM": "How the set packs its channels on the air says nothing certain of a lost link. Switch the transmitter \
        off and read the pulses: old receivers make noise, others hold, stop or go to a preset.", Key("receiver.on_loss");
    "jitter": "How far a pulse at rest wanders is part of `accuracy` of the pulse.", Key("transmitter.pulse.accuracy");
    "resolution": "The finest step in which the set can be dialled is `step`.", Key("transmitter.step");
    "sums" | "sum": "How the set does its sums is `order`; `lidcard probe` finds it by readings.", Key("transmitter.order");

    "stick unit" | "gimbal" | "button" | "toggle" | "dial" | "trim lever" | "joystick": "Something the hand moves is a \
        `control`: its kind is stick, buttons, switch, slider or knob. A gimbal is two sticks, one for each line along which it \
        goes.", With("controls.CONTROL.kind", "buttons");
    "spring" | "springs back" | "self-centring" | "ratchet": "Where a control is when it is let go: a stick and buttons spring \
        back, all else stays where it was left, unless `rests` says otherwise.", Key("controls.CONTROL.rests");
    "neutral" | "middle" | "centre" | "center" | "hands off": "Where a control is when nobody touches it; of what springs \
        back, 0 % of its travel. What the pulse is there is `pulse.rest`, shifted by the sub-trim.", Key("transmitter.pulse.rest");
    "full stick" | "held fully": "A way held to its end. What the pulse is there hangs on rate, expo, mixes, endpoint and \
        sub-trim; a signal beyond it is what `past_full_stick` is about.", Key("transmitter.order.past_full_stick");
    "helm" | "port" | "starboard" | "ahead": "Words of yours for a control and its two ways; what the boat does is \
        `turns left` and `turns right`, `drives ahead` and `drives astern`.", Key("controls.CONTROL.ways");
    "throttle": "The control that wants `drives ahead`; one that stays where it is left says `rests: where left`.", With("controls.CONTROL.wants", "{starboard: drives ahead}");
    "throttle cut" | "throttle hold": "A switch that takes a channel to rest is a rate: `{cut: {run: 100 %, off: 0 %}}`. \
        Where it does not take it to rest but to a pulse of its own, the format does not know it.", With("channels.NUMBER.rate", "{agility: {gentle: 0 %, full: 100 %}}");
    "direction" | "purpose": "What a way of the hand is meant to do is `wants`; what the boat does when the pulse changes is \
        `effects`; the two are held against each other.", Key("controls.CONTROL.wants");

    "EPA" | "ATV" | "travel" | "travel adjust" | "end point adjustment" | "throw adjust": "The number on the set's screen \
        that says how far one way carries the output is the endpoint of that way.", Key("channels.NUMBER.endpoints");
    "dual rate" | "dual rates" | "D/R": "A rate that a switch chooses.", Key("channels.NUMBER.rate");
    "exponential": "How much gentler a control acts around rest is `expo`; one that acts less gently there is not in the \
        format.", Key("channels.NUMBER.expo");
    "differential": "A surface that moves farther one way than the other: an endpoint or a rate for each way.", With("channels.NUMBER.rate", "{port: 60 %, starboard: 100 %}");
    "curve" | "throttle curve": "Of curves the format knows `expo` alone. With another one in the set what is between rest \
        and full stick is not as the file says: take a straight line, or believe only what is said of the ends.", Key("channels.NUMBER.expo");
    "offset": "What shifts a channel's output at rest is the sub-trim.", Key("channels.NUMBER.sub_trim");
    "reversing" | "servo reverse": "Which way of the hand makes the pulse longer is `longer`, read off the meter; what the \
        screen shows is `reverse`.", Key("channels.NUMBER.longer");
    "mixer" | "mixing" | "master" | "slave" | "tank steering" | "elevon": "A share of another control that the set adds to a \
        channel is a mix: it stands at the channel that gets it (the slave) and names what is added (the master).", Key("channels.NUMBER.mixes");
    "V tail" | "X tail" | "cross tail": "Surfaces that two hands share, each on a channel of its own: each hand is mixed in \
        with a plus on one side and with a minus on the other where the surfaces move against each other.", With("channels.NUMBER.mixes", "[{add: 45 %, of: helm}]");
    "servo slow" | "servo speed": "What the set takes for the whole travel where it slows a channel down; how slow a servo is \
        by itself is its `takes` or `speed`.", Key("channels.NUMBER.slow");
    "unused" | "free channel": "A channel with nothing plugged in on purpose is `spare`.", Key("channels.NUMBER.spare");

    "lost link" | "loss of signal" | "signal lost" | "signal loss" | "link lost": "What the receiver does when it hears \
        nothing is `on_loss`; then the unit waits and goes through its stages. `lidcard states` shows what becomes of each \
        thing.", Command("states boats/moonfish.yaml");
    "glitch" | "interference" | "hash": "A receiver that sends any pulse when it hears none is `on_loss: noise`.", With("receiver.on_loss", "noise");
    "delay" | "hold time": "The receiver waits for `after`, then the unit for `wait`.", Key("fail_safe.wait");
    "failsafe unit" | "unit": "What is wired between receiver and devices and acts by itself; it stands under \
        `fail_safe`.", Key("fail_safe");
    "leak detector" | "water alarm" | "leak sensor": "A unit that acts on water in the hull says `leak: yes`.", Key("fail_safe.leak");
    "low voltage" | "low voltage alarm": "The battery that the unit watches, and the voltage below which it acts.", Key("fail_safe.low_battery");
    "brown-out": "The volts below which the receiver gives up.", Key("receiver.browns_out");
    "BEC" | "regulator supply": "What receiver and servos are fed from: the current that they can have together is \
        `supply`.", Key("receiver.supply");
    "pack" | "NiMH" | "LiPo" | "LiFePO4" | "lead acid" | "voltage" | "amps": "A pack stands under `batteries` with its \
        `cells`, its `chemistry` and its `capacity`; volts follow from cells and chemistry, amperes stand under `draws`, `stall` \
        and `rated`.", Key("batteries");

    "servo horn" | "pushrod" | "clevis" | "tiller" | "bellcrank": "Horn and rod of a servo and what they move are its \
        `linkage`. What is seen at the boat is enough for most: leave it out where nothing hangs on degrees.", Key("devices.DEVICE.linkage");
    "rudder" | "planes" | "bow planes" | "stern planes" | "dive planes" | "hydroplane" | "elevator" | "aileron" | "fin": "A \
        surface is told by its servo and by what is seen when the pulse gets longer.", Key("devices.DEVICE.effects");
    "capstan" | "crane" | "sheet winch" | "windlass" | "boom" | "jib": "What hauls, lifts or swings is a servo or a controller with \
        that effect: `hauls in` and `pays out`, `raises` and `lowers`, `swings left` and `swings right`.", With("devices.DEVICE.effects", "{longer: hauls in, shorter: pays out}");
    "dead band" | "brake band": "The band around rest in which a controller or a leveller does nothing. How far it repeats is its `accuracy`.", Key("devices.DEVICE.still_between");
    "backlash" | "play" | "repeatability" | "lost motion": "What repeating does not show, the slack of a linkage with it, is the device's \
        `accuracy`.", Key("devices.DEVICE.accuracy");
    "bind" | "binds" | "binding point" | "hum" | "clearance" | "end stop": "Where something binds or a servo hums is its stop.", Key("devices.DEVICE.stops");
    "Y lead" | "Y cable" | "split": "One output that feeds several devices: each names the same `channel`, and a lead that \
        feeds several says `split`.", Key("devices.DEVICE.lead");
    "module" | "mixer module": "What is wired between the receiver and a device and mixes controls in by itself.", Key("devices.DEVICE.module_mixes");

    "function": "A work: what a device works at a point of its travel. Reports and papers call it a function.", Key("devices.DEVICE.works");
    "threshold" | "click" | "microswitch" | "limit switch" | "cam": "The place of the travel at which something engages: \
        `from` with what it can be off, or `clicks`, the readings of creeping up to it.", Key("devices.DEVICE.works.WORK.clicks");
    "reading" | "readings" | "creep" | "spread": "What the meter shows at the place to which one creeps up, always from the \
        same side; five or more make a tolerance interval.", Key("devices.DEVICE.works.WORK.clicks");
    "hysteresis": "What lets go farther back than where it engages says so by `releases`.", Key("devices.DEVICE.works.WORK.releases");
    "opening" | "full opening" | "fully open": "A valve that opens by and by is complete at `full`; a way that wants it has to \
        get that far.", Key("devices.DEVICE.works.WORK.full");
    "ballast" | "ballast tank" | "trim tank" | "main ballast": "What fills and empties her is told by its works (vent, pump, \
        blow and flood valves), or for a pump or piston by `effects: {longer: empties, shorter: fills}`. What the tank holds is \
        for estimates.", Key("tank");
    "arming" | "armed" | "lock" | "safety switch" | "interlock": "A switch without which something cannot be engaged is a \
        guard: what it guards says `reserved: {unless: {guard: armed}}`. What must never be on together says \
        `never_with`.", Key("devices.DEVICE.works.WORK.reserved");

    "buoyancy" | "neutral buoyancy" | "ballasting" | "trimming": "How much heavier than the water she is with the tank full is `heavy`; \
        what she weighs, and how large, stands beside it.", Key("hull.heavy");
    "hatch" | "cylinder" | "o-ring" | "seal" | "watertight" | "WTC": "In which order her compartments are closed stands under \
        `fittings`, and on the owner's guide.", Key("fittings.closing");
    "sail" | "periscope" | "magnet": "Where her switch is, and her aerial, stands under `fittings`, and is printed.", Key("fittings.power_at");
    "power on" | "switch on" | "switching on": "In which order set and boat are switched on stands on card and guide: the \
        transmitter first, its sticks at rest. What comes without a transmitter is `power-up`.", Command("states boats/moonfish.yaml");
    "switching off" | "power off": "Never while she is under: `power gone`. Servos stay where they are, and what \
        was open stays open.", Command("states boats/moonfish.yaml");
    "kill switch" | "emergency stop": "What stops or saves her stands under `owner.emergency`, as steps that are judged.", Key("owner.emergency");
    "surfacing" | "come up" | "dive" | "diving" | "sink" | "rise": "What sinks her and what raises her is known by the kinds of \
        her works and by the effects `fills` and `empties`; planes dip or raise the bow. `lidcard rehearse` follows her in time \
        and water.", Command("rehearse boats/moonfish.yaml");

    "mm" | "millimetres" | "degrees" | "degC" | "bar" | "percentage" | "quantity": "A number stands with its unit: `64 %`, `1664 us`, \
        `22 deg`, `3.2 mm`, `4 s`, `40.685 MHz`, `6.6 V`, `5 Ah`, `2 A`, `4 L/min`, `25 g`, `1.5 bar`, `18 degC`; behind it `±` and \
        the most it can be off.", Key("devices.DEVICE.works.WORK.from");
    "unknown" | "unmeasured" | "forgotten": "What is left out is not known: it stands for every value it can have. `not measured` in \
        the place of a figure says that one knows that.", With("devices.DEVICE.accuracy", "not measured");
    "assumed" | "assumption": "What an estimate takes where the file is silent is said beside it. A verdict assumes \
        nothing.", Command("rehearse boats/moonfish.yaml");
    "finding": "What `check` has to say: an error, a warning, or something not judged that could hurt people.", Command("check tests/fixtures/mistakes/blow-reaches-gas.yaml");
    "strict": "`--strict` counts warnings, and what is not judged, as errors.", Command("check --strict boats/moonfish.yaml");
    "safety margin": "The distance between what is proved and the limit it keeps.", Command("check boats/moonfish.yaml");
    "safe" | "best" | "solve": "The values of an endpoint at which all is well, and of these the one that leaves most.", Command("endpoints boats/moonfish.yaml");
    "fingerprint" | "QR" | "QR code": "The code of a boat file, on everything printed from it; the squares on the bench sheet hold the \
        file itself.", Command("verify boats/moonfish.yaml");
    "draft": "A paper of a boat with errors: marked all over, never for the lid.", Command("card --help");
    "lid": "The card for the inside of the transmitter's lid.", Command("card --help");
    "bench sheet" | "bench test" | "test": "The tests that hold the boat against the file, and the file against the boat.", Command("sheet --help");
    "rehearsal": "The fail-safe followed in time and water, an estimate.", Command("rehearse boats/moonfish.yaml");
    "practice" | "simulator": "A page on which the owner moves the sticks and sees what she does.", Command("try --help");
    "logic analyser": "A recording of the receiver's outputs, which `lidcard listen` hears.", Command("listen --help");
    "tether" | "sea trial" | "first trial": "No estimate and no proof replaces the first dive in shallow water, on a line. \
        The bench sheet and the guide begin with it.", Command("sheet --help");
}
