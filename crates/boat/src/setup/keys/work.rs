//! What a device works at a point of its travel.

use super::super::lower::works as reader;
use super::Takes::{Block, Condition, Either, List, OneOrList, Quantity, Text, Word, Words, YesNo};
use super::Without::{Means, Needed, NeededOr, Taken};
use super::quantity::{FOUND_POSITION, PERCENT, READING, SECONDS, WEIGHT};
use super::{Part, fact, figure, part, range, remark, words_of};
use crate::device::works;

const AROUND: &str = "\
devices:
  tank_servo:
    kind: servo
    channel: 1
    works:
      ballast: ...";

pub(in crate::setup) static WORK: Part = Part {
    name: "work",
    about: "Something that is worked at a point of the travel.",
    either: &[&["from"], &["clicks"]],
    least: &[("kind", "pump switch"), ("from", "+40 %")],
    around: AROUND,
    keys: &[
        fact(
            "kind",
            "What it is. Vent and flood valves sink her; pump switch, blow valve, emergency gas valve, ballast valve and drop weight raise her.",
            Words(|| works::ALL.iter().map(|kind| kind.name).collect()),
            Needed,
            "vent valve",
        ),
        figure(
            "from",
            "Where it engages, coming from rest: `+72 % ± 4 %`.",
            Quantity(&FOUND_POSITION),
            NeededOr("clicks"),
            "+72 % ± 4 %",
        ),
        figure(
            "clicks",
            "Readings from creeping up to it five times or more, always from rest: `[+36 %, +38 %, +35 %, +37 %, +36 %]`. \
             They stand for the tolerance interval in which `coverage` of all clicks lie; of fewer than five nothing is proved.",
            List(1, &Quantity(&READING)),
            NeededOr("from"),
            "[+36 %, +38 %, +35 %, +37 %, +36 %]",
        )
        .beside(&[("kind", "pump switch")]),
        figure(
            "coverage",
            "The share of all clicks that has to lie where the readings say: `99 %`.",
            Quantity(&PERCENT),
            Means("95 %, or 99 % for all that is dangerous: what fires, lets go, heats, sinks her, gives emergency gas or is reserved"),
            "99 %",
        )
        .beside(&[("kind", "pump switch"), ("clicks", "[+36 %, +38 %, +35 %, +37 %, +36 %]")]),
        figure(
            "confidence",
            "How often a claim made from so many readings is true: `95 %`.",
            Quantity(&PERCENT),
            Means("95 %"),
            "95 %",
        )
        .beside(&[("kind", "pump switch"), ("clicks", "[+36 %, +38 %, +35 %, +37 %, +36 %]")]),
        figure(
            "to",
            "Where it ends again farther out, if it does.",
            Quantity(&FOUND_POSITION),
            Means("it does not end again"),
            "+70 % ± 3 %",
        ),
        part(
            "full",
            "Where its effect is complete, if that is farther out than where it engages: a valve that opens by and by.",
            Quantity(&FOUND_POSITION),
            Means("nothing more is asked of it than to engage"),
            "+60 % ± 3 %",
        ),
        figure(
            "releases",
            "Where it lets go on the way back, or readings of that, always from beyond; or `where it engages`.",
            Either(&[Word(reader::AT_ONCE), Quantity(&FOUND_POSITION), List(1, &Quantity(&READING))]),
            Means("it lets go somewhere between there and rest, and what hangs on it is not judged"),
            "+33 % ± 2 %",
        )
        .standing_for(&range::RELEASES),
        fact(
            "reserved",
            "`yes` if no stick may ever engage it; `{unless: {guard: armed}}` allows it in one setting.",
            Either(&[YesNo, Block(&RESERVED)]),
            Taken("no"),
            "{unless: {guard: armed}}",
        ),
        fact(
            "kept_on",
            "`yes` if it is meant to stay on when the control is let go.",
            YesNo,
            Taken("no"),
            "yes",
        ),
        part(
            "never_with",
            "Works that must never be engaged at the same time.",
            OneOrList(&Text),
            Means("only what sinks and what raises exclude each other"),
            "tank_servo.lamp",
        ),
        fact(
            "dangerous",
            "`yes` if it can hurt somebody, whatever its kind: it is then treated like a firing contact.",
            YesNo,
            Taken("no"),
            "yes",
        ),
        fact(
            "signal",
            "`held` if it acts only while the signal is there, `momentary` if a touch is enough and it must not stay.",
            Words(|| words_of(reader::SIGNALS)),
            Means("it is not held against the kind of its control"),
            "held",
        ),
        remark(
            "hose",
            "The hose on it, for the plan: what it looks like, where it runs: `clear, 4 mm, to the tank`.",
            Text,
            Means("the plan says that the file does not tell"),
            "\"clear, 4 mm, to the tank\"",
        ),
        figure(
            "longest",
            "The longest it may be engaged in one go: tank full, pump hot, bottle empty: `90 s`; `none` where it may \
             stay on for ever.",
            Either(&[Word("none"), Quantity(&SECONDS)]),
            Means("whether a pump is kept on for too long is not judged"),
            "90 s",
        ),
        figure(
            "must_run",
            "How long it has to run in one go to bring her up from her depth limit: `12 s`.",
            Quantity(&SECONDS),
            Means("whether a stage lasts for long enough is estimated, or not judged"),
            "12 s",
        ),
        figure(
            "weighs",
            "What a drop weight pulls on a balance while it hangs in water: `350 g ± 10 g`. She has to be heavier than the \
             water by less than that with her tank full (`hull.heavy`).",
            Quantity(&WEIGHT),
            Means("whether it brings her up is not judged"),
            "350 g ± 10 g",
        )
        .beside(&[("kind", "drop weight"), ("from", "+60 % ± 3 %")]),
        fact(
            "wakes",
            "`on` if it is on from the moment the battery is connected until it hears a signal.",
            Words(|| words_of(reader::WAKES)),
            Means("of what a relay works and can hurt it is not known, and not judged; else off"),
            "off",
        )
        .standing_for(&range::WAKES),
    ],
};

pub(in crate::setup) static RESERVED: Part = Part {
    name: "reserved",
    about: "Out of the pilot's reach but for one setting.",
    either: &[],
    least: &[],
    around: "\
devices:
  tank_servo:
    kind: servo
    channel: 1
    works:
      hook: {kind: release, from: +40 %, reserved: ...}",
    keys: &[fact(
        "unless",
        "One setting of one switch: `{guard: armed}`.",
        Condition,
        Needed,
        "{guard: armed}",
    )],
};
