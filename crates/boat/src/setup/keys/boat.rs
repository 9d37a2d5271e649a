//! The boat and the job, what she carries, and what is printed for her owner.

use super::super::lower::{boat, emergency, fittings};
use super::Takes::{
    Block, Conditions, Count, Date, Either, Named, OneOrList, Pair, Quantity, Text, Words, YesNo,
};
use super::Without::{Means, Needed, Taken};
use super::quantity::{AMPERES, CAPACITY, CONDUCTIVITY, METRES, MILLIMETRES, RESISTANCE, SECONDS};
use super::{Part, fact, figure, part, remark, words_of};
use crate::language;
use crate::setup::model::BoatKind;

const NOT_PRINTED: super::Without = Means("it is not printed");

pub(in crate::setup) static BOAT: Part = Part {
    name: "boat",
    about: "The boat and the job.",
    either: &[],
    least: &[("name", "Moonfish")],
    around: "boat: ...",
    keys: &[
        remark("name", "Her name, as it is printed on the card.", Text, Needed, "Moonfish"),
        fact(
            "kind",
            "What sort of model she is; a submarine when left out.",
            Words(|| words_of(BoatKind::ALL)),
            Taken("submarine"),
            "surface",
        ),
        remark("reference", "The workshop's own job number.", Text, NOT_PRINTED, "LB-014"),
        remark(
            "revision",
            "Which revision of the set-up this is; count it up at every change.",
            Text,
            NOT_PRINTED,
            "B",
        ),
        remark("date", "The day of this revision: `2026-05-02`.", Date, NOT_PRINTED, "2026-05-02"),
        remark("workshop", "Who fitted her out.", Text, NOT_PRINTED, "Lantern Bay Model Workshop"),
        fact(
            "water",
            "Fresh, brackish or sea water; fresh when left out.",
            Words(|| words_of(boat::WATERS)),
            Taken("fresh"),
            "sea",
        ),
        figure(
            "conductivity",
            "How well her water conducts, as a meter shows it, for estimates: `500 uS/cm ± 100 uS/cm`, in brackish \
             water or a salted pool up to `60000 uS/cm`; without a tolerance a fifth is taken.",
            Quantity(&CONDUCTIVITY),
            Means(
                "an average pond is taken, in brackish water any: where `margin` is given too, that is enough to warn by, and \
                 in fresh water not enough to say that the radio reaches her",
            ),
            "500 uS/cm ± 100 uS/cm",
        ),
        figure(
            "depth_limit",
            "How deep she may go: `2 m`.",
            Quantity(&METRES),
            Means("no depth is printed, and nothing is estimated that needs one"),
            "2 m",
        ),
        fact(
            "floats_when_stopped",
            "`yes` if she comes up by herself when the motor stops.",
            YesNo,
            Taken("no"),
            "yes",
        ),
        fact(
            "aerial",
            "`floats` if the aerial stays above the water while she is under.",
            Words(|| words_of(boat::AERIALS)),
            Taken("inside"),
            "floats",
        ),
        figure(
            "sinks_in",
            "How long she takes from a lost trim to the depth limit: `9 s`.",
            Quantity(&SECONDS),
            Means("the delays of the fail-safe are not held against it"),
            "9 s",
        ),
    ],
};

pub(in crate::setup) static BATTERY: Part = Part {
    name: "battery",
    about: "A battery.",
    either: &[],
    least: &[],
    around: "batteries:\n  main: ...",
    keys: &[
        figure("cells", "How many cells in series.", Count(100), Means("it is not known"), "6"),
        fact("chemistry", "What is in it: `NiMH`.", Text, Means("it is not known"), "NiMH"),
        figure(
            "capacity",
            "What it holds: `4.2 Ah`.",
            Quantity(&CAPACITY),
            Means("it is not known"),
            "4.2 Ah",
        ),
        figure(
            "resistance",
            "What the pack sets against a current, leads and plugs included, for estimates: `80 mohm ± 20 mohm`.",
            Quantity(&RESISTANCE),
            Means("how its voltage falls under load is not estimated"),
            "80 mohm ± 20 mohm",
        ),
        figure(
            "draws",
            "What receiver, unit, lights, servos at work and motors draw from it together, beside the pumps: `0.6 A`. \
             Where it is less than the `draws` of its devices it is added to them.",
            Quantity(&AMPERES),
            Means("only the pumps are counted, and the motors with `draws` of their own"),
            "0.6 A",
        ),
        figure(
            "rated",
            "What the pack may give for long, by its maker: `20 A`.",
            Quantity(&AMPERES),
            Means(
                "where all that flows or something of its line is given, whether it carries what flows is not judged",
            ),
            "20 A",
        ),
        part("plug", "The plug in its line.", Block(&CARRIER), NOT_HELD, "{rated: 15 A}"),
        part("switch", "The switch in its line.", Block(&CARRIER), NOT_HELD, "{rated: 10 A}"),
        part(
            "fuse",
            "The fuse in its line, which carries all of it and gives way before anything else burns.",
            Block(&CARRIER),
            Means("there is none"),
            "{rated: 10 A}",
        ),
    ],
};

const NOT_HELD: super::Without = Means("it is not held against what flows");

pub(in crate::setup) static CARRIER: Part = Part {
    name: "carrier",
    about: "A plug, switch or fuse between a battery and what hangs on it.",
    either: &[],
    least: &[("rated", "15 A")],
    around: "batteries:\n  main:\n    plug: ...",
    keys: &[figure(
        "rated",
        "What it may carry for long, by its maker; a fuse gives way sooner or later beyond it: `15 A`.",
        Quantity(&AMPERES),
        Needed,
        "15 A",
    )],
};

pub(in crate::setup) static FITTINGS: Part = Part {
    name: "fittings",
    about: "What she carries beyond her channels; bench sheet and guide tell of it.",
    either: &[],
    least: &[],
    around: "fittings: ...",
    keys: &[
        part(
            "power",
            "How she is switched on.",
            Words(|| words_of(fittings::POWERS)),
            Means("the papers say only that she is switched on"),
            "plug",
        ),
        remark(
            "power_at",
            "Where the switch or plug is: `under the sail`.",
            Text,
            NOT_PRINTED,
            "under the sail",
        ),
        part(
            "snorkel",
            "A pipe through which she takes air near the surface: with a `float valve` that closes it, or `open`.",
            Words(|| words_of(fittings::SNORKELS)),
            Means("she has none"),
            "float valve",
        ),
        remark(
            "aerial",
            "Where the receiver's aerial runs: `up the periscope`.",
            Text,
            NOT_PRINTED,
            "up the periscope",
        ),
        part(
            "leak_test",
            "Where the tube for the leak test is.",
            Text,
            Means("she is held under in a tub for it"),
            "behind the sail",
        ),
        part(
            "couplings",
            "What comes apart when the cylinder is opened and must be joined again.",
            OneOrList(&Text),
            Means("nothing comes apart"),
            "[rudder rod, aft plug]",
        ),
        remark(
            "closing",
            "In which order her compartments are closed.",
            OneOrList(&Text),
            Means("the papers say only that she is closed"),
            "[battery hatch, bow cap]",
        ),
        part(
            "lights",
            "Indicator lights, each with what it means: `{\"red, blinking\": battery low}`.",
            Named("LIGHT", 0, &Text),
            Means("there are none"),
            "{\"red, blinking\": battery low}",
        ),
    ],
};

pub(in crate::setup) static OWNER: Part = Part {
    name: "owner",
    about: "What the owner is told.",
    either: &[],
    least: &[],
    around: "owner: ...",
    keys: &[
        fact(
            "emergency",
            "What to do, one step a line; heads the card. Steps are judged: `[{hold: tank.blow, until: up}, \
             {switch_off: transmitter, until: up}]`. Texts of your own stand below the steps, and nobody checks \
             them.",
            OneOrList(&Either(&[Text, Block(&STEP)])),
            Means("the program works out the steps that surely bring her up, or stop her"),
            "[{hold: helm.port, until: up}, {switch_off: transmitter, until: up}]",
        ),
        remark(
            "left_to_owner",
            "What the owner has yet to fit, connect, fill or measure, one step a line; heads the guide.",
            OneOrList(&Text),
            Means("nothing is left to do"),
            "[fit the bottle, fill the oil bath and measure where the vent lets go]",
        ),
        remark("contact", "Whom to ask.", Text, NOT_PRINTED, "Lantern Bay Model Workshop"),
        fact(
            "language",
            "The language of what is printed; English when left out.",
            Words(|| words_of(language::ALL)),
            Taken("en"),
            "de",
        ),
    ],
};

pub(in crate::setup) static STEP: Part = Part {
    name: "emergency_step",
    about: "A step of the emergency: where the hand puts what it names, all at once, or that the set is switched off.",
    either: &[],
    least: &[("hold", "helm.port")],
    around: "owner:\n  emergency:\n    - ...",
    keys: &[
        fact(
            "hold",
            "The ways to hold fully: `tank.blow`, or several at once. One of them has to bring her up, none may sink \
             her, with all that is not named anywhere.",
            OneOrList(&Text),
            Means("nothing is held"),
            "[helm.port]",
        ),
        fact(
            "rest",
            "Controls to let go, or to put to the middle: `speed`.",
            OneOrList(&Text),
            Means("what is not held may be anywhere"),
            "helm",
        )
        .beside(&[]),
        fact(
            "with",
            "Switches that have to be thrown first: `{guard: armed}`.",
            Conditions,
            Means("switches may stand in any setting"),
            "{agility: full}",
        ),
        fact(
            "switch_off",
            "`transmitter`: switch it off and leave it off, so that she acts by herself.",
            Words(|| words_of(emergency::OFF)),
            Means("the set stays on"),
            "transmitter",
        )
        .beside(&[]),
        fact(
            "until",
            "How long it goes on: until she is `up`, or `stopped`.",
            Words(|| words_of(emergency::UNTIL)),
            Means("it is done once"),
            "up",
        ),
    ],
};

pub(in crate::setup) static CARD: Part = Part {
    name: "card",
    about: "How the lid card is to be printed.",
    either: &[],
    least: &[],
    around: "card: ...",
    keys: &[figure(
        "size",
        "Width and height: `[105 mm, 74 mm]`; A7 when left out.",
        Pair(&Quantity(&MILLIMETRES)),
        Taken("[105 mm, 74 mm]"),
        "[105 mm, 74 mm]",
    )],
};

pub(in crate::setup) static ACCEPTANCE: Part = Part {
    name: "acceptance",
    about: "A finding that is accepted, and why.",
    either: &[],
    least: &[("rule", "neutral-missed"), ("where", "motor_esc"), ("because", "she is towed to the start")],
    around: "accept:\n  - ...",
    keys: &[
        fact("rule", "The rule's name as a report prints it.", Text, Needed, "neutral-missed"),
        fact("where", "What the finding is about: `tank_servo.gas`, `4/blow`.", Text, Needed, "motor_esc"),
        fact(
            "state",
            "In which state of the boat, as a report prints it: `stage blow`.",
            Text,
            Means("those states that its rule has always judged"),
            "stage blow",
        ),
        remark(
            "because",
            "The reason; it is printed wherever the finding would be.",
            Text,
            Needed,
            "she is towed to the start",
        ),
        fact("on_card", "`yes` puts emergency gas within reach on the lid card.", YesNo, Taken("no"), "yes"),
    ],
};
