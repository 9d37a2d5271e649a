//! What the hand moves.

use super::super::lower::controls as reader;
use super::Takes::{Block, Effect, Either, Named, OneOrList, Quantity, Settings, Text, Word, Words};
use super::Without::{Means, NeededOr};
use super::quantity::SHARE;
use super::{Part, fact, figure, range, remark, words_of};

pub(in crate::setup) static CONTROL: Part = Part {
    name: "control",
    about: "Something the hand moves. A stick or a pair of buttons springs back; all else stays where it was left.",
    // A switch has settings, everything else has ways; nothing has both.
    either: &[&["ways"], &["settings"]],
    least: &[("ways", "{left: port, right: starboard}")],
    around: "controls:\n  helm: ...",
    keys: &[
        remark(
            "at",
            "Where it is on the set: `right stick`.",
            Text,
            Means("the papers name its kind instead"),
            "right stick",
        ),
        fact(
            "kind",
            "What it is; a stick when left out, a switch if it has settings.",
            Words(|| words_of(reader::KINDS)),
            Means("it is a stick, or a switch if it has `settings`"),
            "slider",
        ),
        fact(
            "ways",
            "Where the hand goes, each with your word for it: `{left: port, right: starboard}`.",
            Block(&WAYS),
            NeededOr("settings"),
            "{left: port, right: starboard}",
        ),
        fact(
            "settings",
            "The settings of a switch, in their order: `[gentle, full]`.",
            Settings,
            NeededOr("ways"),
            "[gentle, full]",
        )
        .beside(&[("kind", "switch")]),
        fact(
            "home",
            "The setting in which a switch stands that nobody has thrown: `stop` of `[in, stop, out]`.",
            Text,
            Means("it is the first"),
            "gentle",
        )
        .beside(&[("kind", "switch"), ("settings", "[gentle, full]")]),
        fact(
            "rests",
            "Where it is when let go, if that is unusual for its kind.",
            Words(|| words_of(reader::RESTS)),
            Means("a stick and buttons spring back, all else stays where it was left"),
            "where left",
        ),
        figure(
            "trim",
            "The most its trim can move it, either side: `20 %`, or `locked`.",
            Either(&[Word("locked"), Quantity(&SHARE)]),
            Means("a stick's is anything up to 50 %, and what hangs on it is not judged; all else has none"),
            "20 %",
        )
        .standing_for(&range::TRIM),
        fact(
            "wants",
            "What each way is meant to do to the boat: `{port: turns left, starboard: turns right}`; `none` where \
             nothing of the kind is meant.",
            Either(&[Word("none"), Named("WAY", 0, &OneOrList(&Effect))]),
            Means("whether it does what it is for is not judged"),
            "{port: turns left, starboard: turns right}",
        ),
    ],
};

const OR_ANOTHER: super::Without = NeededOr("the two ends of another line");

pub(in crate::setup) static WAYS: Part = Part {
    name: "ways",
    about: "Both ends of one movement, each with your word for it.",
    either: &[&["left", "right"], &["towards", "away"], &["lower", "upper"]],
    least: &[],
    around: "controls:\n  helm:\n    ways: ...",
    keys: &[
        fact("left", "Your word for moving it left.", Text, OR_ANOTHER, "port")
            .beside(&[("right", "starboard")]),
        fact("right", "Your word for moving it right.", Text, OR_ANOTHER, "starboard")
            .beside(&[("left", "port")]),
        fact("towards", "Your word for pulling it towards you.", Text, OR_ANOTHER, "rise")
            .beside(&[("away", "dive")]),
        fact("away", "Your word for pushing it away.", Text, OR_ANOTHER, "dive")
            .beside(&[("towards", "rise")]),
        fact("lower", "Your word for the lower end or button.", Text, OR_ANOTHER, "flood")
            .beside(&[("upper", "blow")]),
        fact("upper", "Your word for the upper end or button.", Text, OR_ANOTHER, "blow")
            .beside(&[("lower", "flood")]),
    ],
};
