//! What hangs on the channels, and what it works.

use super::super::lower::{devices as reader, linkage as rod, works as works_reader};
use super::Takes::{
    Block, ChannelNumber, Effect, Either, Named, OneOrList, Pair, Quantity, Text, Word, Words, Works, YesNo,
};
use super::Without::{Means, Needed, NeededOr, Taken};
use super::quantity::{
    ACCURACY, AMPERES, ANGLE, DEGREES, FOUND_POSITION, LENGTH, MILLIMETRES, SECONDS, SET_POSITION, SHARE,
};
use super::{Part, fact, figure, part, range, remark, words_of};
use crate::device;

const SERVO: super::Pairs = &[("kind", "servo"), ("channel", "1")];
const CONTROLLER: super::Pairs = &[("kind", "speed controller"), ("channel", "1")];
const LEVELLER: super::Pairs = &[("kind", "leveller"), ("channel", "1")];
const RELAY: super::Pairs = &[("kind", "relay"), ("channel", "1")];

/// The keys of all kinds of devices; `device::ALL` says which of them each kind takes beside the first four.
pub(in crate::setup) static DEVICE: Part = Part {
    name: "device",
    about: "Something that listens to a channel.",
    either: &[&["channel"], &["behind"]],
    least: SERVO,
    around: "devices:\n  rudder_servo: ...",
    keys: &[
        fact(
            "kind",
            "What it is.",
            Words(|| device::ALL.iter().map(|kind| kind.name).collect()),
            Needed,
            "servo",
        ),
        fact("channel", "The channel it is plugged into.", ChannelNumber, NeededOr("behind"), "1"),
        fact(
            "behind",
            "The device that passes its signal on to this one.",
            Text,
            NeededOr("channel"),
            "levels",
        )
        .beside(&[("kind", "servo")]),
        remark("note", "A remark for the documents.", Text, Means("nothing is printed"), "hatch side"),
        remark(
            "lead",
            "What its lead looks like and where it runs, for the plan of leads: `orange to port`. One that feeds several \
             devices says `split`.",
            Text,
            Means("the plan leaves room to write it"),
            "orange to port",
        ),
        remark(
            "dialled",
            "What is set in its own menus, each under what the menu is called: `{menu 3: 8 s}`.",
            Named("MENU", 0, &Text),
            Means("nothing is printed"),
            "{menu 3: 8 s}",
        ),
        figure(
            "accuracy",
            "What repeating does not show: warmth, voltage, wear, slack. The most it can be off, either side.",
            Either(&[Word("exact"), Quantity(&ACCURACY)]),
            Means("anything from 0 % to 20 %; what hangs on it is not judged"),
            "2 %",
        )
        .standing_for(&range::ACCURACY),
        figure(
            "stops",
            "Where something binds, shorter side first: `[-118 %, +118 %]`; `none` where nothing does.",
            Either(&[Word("none"), Pair(&Either(&[Words(|| vec!["none", "not measured"]), Quantity(&FOUND_POSITION)]))]),
            Means("it may bind anywhere, and whether it is driven there is not judged"),
            "[-118 %, +118 %]",
        )
        .standing_for(&range::STOPS),
        part(
            "effects",
            "What is seen at the boat when the pulse changes; `none` where nothing is.",
            Either(&[Word("none"), Block(&EFFECTS)]),
            Means("whether it does what the hand wants is not judged"),
            "{longer: turns right, shorter: turns left}",
        ),
        part(
            "also",
            "What else is seen then: one of two screws turns her as well as driving her.",
            Block(&ALSO),
            Means("nothing else"),
            "{longer: turns left}",
        ),
        part(
            "works",
            "What its travel works, each under a name of your own.",
            Works,
            Means("it works nothing"),
            "{pump: {kind: pump switch, from: +40 % ± 2 %}}",
        ),
        figure(
            "turn",
            "How far the horn turns from rest at 100 %; lets positions be given in degrees.",
            Quantity(&DEGREES),
            Means("nothing can be given in degrees"),
            "45 deg",
        ),
        figure(
            "arm",
            "The length of the horn's arm; lets positions be given in millimetres.",
            Quantity(&MILLIMETRES),
            Means("nothing can be given in millimetres"),
            "12 mm",
        ),
        part(
            "linkage",
            "The rod and what it drives, beside `turn`: `{horn: 12 mm, rod: 60 mm, lever: 15 mm, pivots: 60 mm, \
             longer: towards}`.",
            Block(&LINKAGE),
            Means("what its rod drives is not judged"),
            "{horn: 12 mm, rod: 60 mm, lever: 15 mm, pivots: 60 mm, longer: towards}",
        )
        .beside(&[("kind", "servo"), ("channel", "1"), ("turn", "45 deg")]),
        figure(
            "still_between",
            "The band around rest in which it does nothing: `[-4 %, +4 %]`.",
            Pair(&Quantity(&SET_POSITION)),
            Means("it may stand still at no pulse that is known, and what hangs on it is not judged"),
            "[-4 %, +4 %]",
        )
        .beside(CONTROLLER)
        .standing_for(&range::STILL),
        fact(
            "without_pulses",
            "What it does when no pulses reach it: a controller `stops` or `stays`, a relay is `off`, `on` or `stays`.",
            Words(|| {
                let mut words = words_of(reader::WITHOUT_PULSES);
                let of_switch = words_of(reader::SWITCH_WITHOUT_PULSES);
                words.extend(of_switch.into_iter().filter(|word| *word != "stays"));
                words
            }),
            Means("it may do any of these, and what hangs on it is not judged"),
            "stops",
        )
        .beside(CONTROLLER)
        .standing_for(&range::WITHOUT_PULSES),
        fact(
            "role",
            "What its channel is for: `override` takes part in what it corrects, and has to be stronger.",
            Text,
            Means("nothing is asked of its channel against what the unit adds"),
            "override",
        )
            .beside(LEVELLER),
        figure(
            "limits",
            "How far its own output can go: `[-90 %, +90 %]`.",
            Pair(&Quantity(&SET_POSITION)),
            Means("as far as any pulse goes"),
            "[-90 %, +90 %]",
        )
        .beside(LEVELLER),
        fact(
            "one_way",
            "`yes` if it knows one direction only and stops at the end of its range.",
            YesNo,
            Taken("no"),
            "yes",
        )
        .beside(CONTROLLER),
        figure(
            "stall",
            "What the servo, or the motor of a speed controller, draws when it is held fast: `1.2 A`.",
            Quantity(&AMPERES),
            Means("it is not counted against the supply, and what its battery has to carry then is not judged"),
            "1.2 A",
        ),
        figure(
            "draws",
            "What it draws at work, a motor at full speed in the water: `4 A`.",
            Quantity(&AMPERES),
            Means("it is not counted against its battery, whose own `draws` may hold it"),
            "4 A",
        ),
        figure(
            "rated",
            "What a speed controller or a relay may carry for long: `10 A`.",
            Quantity(&AMPERES),
            Means("where its `draws` or `stall` is given, whether it carries that is not judged"),
            "10 A",
        )
        .beside(CONTROLLER),
        fact(
            "battery",
            "On which of the `batteries` it hangs.",
            Text,
            Means("on the only one; of several it is not known, and its current is not counted"),
            "main",
        ),
        figure(
            "correction",
            "The most the unit adds by itself.",
            Quantity(&SHARE),
            Means("anything up to 200 %, and whether an override is stronger is not judged"),
            "40 %",
        )
        .beside(LEVELLER)
        .standing_for(&range::CORRECTION),
        part(
            "corrects",
            "To which side it moves its output when the bow is high.",
            Block(&CORRECTS),
            Means("whether it levels is not judged"),
            "{bow high: shorter}",
        )
        .beside(LEVELLER)
        .standing_for(&range::CORRECTS),
        fact(
            "astern",
            "`off` if the unit leaves the planes alone while she goes astern; it corrects when left out.",
            Words(|| words_of(reader::ASTERN)),
            Taken("corrects"),
            "off",
        )
        .beside(LEVELLER),
        fact(
            "signal",
            "`held` if it acts only while the signal is there, `momentary` if a touch is enough and it must not stay.",
            Words(|| words_of(works_reader::SIGNALS)),
            Means("it is not held against the kind of its control"),
            "momentary",
        )
        .beside(RELAY),
        figure(
            "takes",
            "The time it needs from -100 % to +100 %: `1.2 s`.",
            Quantity(&SECONDS),
            Means("anything up to 30 s, and whether it gets there within a stage is not judged"),
            "1.2 s",
        )
        .standing_for(&range::TAKES),
        figure(
            "speed",
            "The time a servo needs for 60 degrees, beside `turn`: `0.2 s`.",
            Quantity(&SECONDS),
            Means("estimates take the servo to jump, and say so"),
            "0.2 s",
        )
        .beside(&[("kind", "servo"), ("channel", "1"), ("turn", "45 deg")]),
        figure(
            "level_at",
            "Where a piston, or a servo that fills and empties her, holds as much water as lets her hang level: \
             `-20 % ± 5 %`. From there on she is lifted on one side and sinks on the other.",
            Quantity(&FOUND_POSITION),
            Means("of what fills and empties her by its position, anywhere; what sinks and raises her is not judged"),
            "-20 % ± 5 %",
        )
        .beside(&[("kind", "piston"), ("channel", "1"), ("effects", "{longer: empties, shorter: fills}")])
        .standing_for(&range::LEVEL),
        part(
            "module_mixes",
            "Controls that a module between the receiver and this device mixes in by itself.",
            OneOrList(&Text),
            Means("there is no such module"),
            "helm",
        ),
        fact(
            "learns_rest",
            "`yes` if it takes the first pulse after power-up for its rest; `no` if its rest was taught once, or is fixed.",
            YesNo,
            Means("it may, and whether it learns a wrong one is not judged"),
            "no",
        )
        .beside(CONTROLLER)
        .standing_for(&range::LEARNS_REST),
    ],
};

pub(in crate::setup) static EFFECTS: Part = Part {
    name: "effects",
    about: "What is seen at the boat, not at the device.",
    either: &[],
    least: &[],
    around: "devices:\n  rudder_servo:\n    kind: servo\n    channel: 1\n    effects: ...",
    keys: &[
        fact(
            "longer",
            "What is seen when the pulse gets longer: one effect, or a list.",
            OneOrList(&Effect),
            Means("nobody looked"),
            "turns right",
        ),
        fact(
            "shorter",
            "What is seen when the pulse gets shorter: one effect, or a list.",
            OneOrList(&Effect),
            Means("nobody looked"),
            "turns left",
        ),
    ],
};

pub(in crate::setup) static ALSO: Part = Part {
    name: "also",
    about: "What is seen at the boat beside the effects: one, or a list.",
    either: &[],
    least: &[],
    around: "devices:\n  port_esc:\n    kind: speed controller\n    channel: 1\n    also: ...",
    keys: &[
        fact(
            "longer",
            "What else is seen when the pulse gets longer.",
            OneOrList(&Effect),
            Means("nothing else"),
            "turns right",
        ),
        fact(
            "shorter",
            "What else is seen when the pulse gets shorter.",
            OneOrList(&Effect),
            Means("nothing else"),
            "[turns left]",
        ),
    ],
};

pub(in crate::setup) static CORRECTS: Part = Part {
    name: "corrects",
    about: "What the unit does by itself, as seen on the bench.",
    either: &[],
    least: &[],
    around: "devices:\n  levels:\n    kind: leveller\n    channel: 1\n    corrects: ...",
    keys: &[fact(
        "bow high",
        "The side to which its output moves when the bow is held high.",
        Words(|| words_of(reader::TOWARDS)),
        Needed,
        "shorter",
    )],
};

const LEVER: super::Pairs =
    &[("horn", "12 mm"), ("rod", "60 mm"), ("lever", "15 mm"), ("pivots", "60 mm"), ("longer", "towards")];

pub(in crate::setup) static LINKAGE: Part = Part {
    name: "linkage",
    about: "Horn and rod of a servo with the lever (`lever`, `pivots`) or the slide (`way`) that they drive.",
    either: &[&["lever", "pivots"], &["way"]],
    least: LEVER,
    around: "devices:\n  rudder_servo:\n    kind: servo\n    channel: 1\n    turn: 45 deg\n    linkage: ...",
    keys: &[
        figure(
            "horn",
            "From the servo's shaft to the rod's hole in the horn: `12 mm`.",
            Quantity(&LENGTH),
            Needed,
            "12 mm",
        ),
        figure(
            "rod",
            "From hole to hole; its play belongs into the tolerance: `60 mm ± 0.5 mm`.",
            Quantity(&LENGTH),
            Needed,
            "60 mm ± 0.5 mm",
        ),
        figure(
            "lever",
            "From the lever's pivot to the rod's hole in it: `15 mm`.",
            Quantity(&LENGTH),
            NeededOr("way"),
            "15 mm",
        ),
        figure(
            "pivots",
            "From the servo's shaft to the lever's pivot: `60 mm ± 1 mm`.",
            Quantity(&LENGTH),
            NeededOr("way"),
            "60 mm ± 1 mm",
        ),
        figure(
            "way",
            "How far the line on which the rod's end slides passes from the shaft, on the horn's side: `12 mm`.",
            Quantity(&LENGTH),
            NeededOr("lever and pivots"),
            "12 mm",
        )
        .beside(&[("horn", "12 mm"), ("rod", "60 mm"), ("longer", "towards")]),
        figure(
            "rests",
            "The horn at rest, seen so that it points up: 0 deg square to the line from shaft to pivot or to the way, \
             + leaning towards the lever or the slide.",
            Quantity(&ANGLE),
            Means("it may lean anywhere, and whether the rod fits is not judged"),
            "-5 deg ± 2 deg",
        )
        .standing_for(&range::RESTS),
        fact(
            "longer",
            "Where the horn turns when the pulse gets longer: `towards` the lever or the slide, or `away` from it.",
            Words(|| words_of(rod::LONGER)),
            Needed,
            "towards",
        ),
        fact(
            "joined",
            "How it is put together; `crossed` where the rod crosses the line from shaft to pivot.",
            Words(|| words_of(rod::JOINED)),
            Taken("open"),
            "crossed",
        ),
    ],
};
