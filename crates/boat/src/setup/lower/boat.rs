//! The sections about the boat and its papers: `boat`, `batteries`, `owner`, `card`, `opposites`.

use super::super::exact::Exact;
use super::super::keys::boat::{BATTERY, BOAT, CARD, CARRIER, OWNER};
use super::super::model::{Battery, Boat, BoatKind, CardOptions, Owner, Water};
use super::super::quantity::{About, AmpereHours, Metres, MicrosiemensPerCm, Ohms, Seconds};
use super::dive::{about, above_nought, base, current, rating};
use super::mistakes::{Block, Mistakes, NONE};
use super::text::shown;
use super::units::UnitOfMeasure;
use crate::language;
use crate::source::{Mistake, Node};

pub(in crate::setup) const WATERS: &[(&str, Water)] =
    &[("fresh", Water::Fresh), ("brackish", Water::Brackish), ("sea", Water::Sea)];

/// Where the aerial is while she is under; whether it stays above the water.
pub(in crate::setup) const AERIALS: &[(&str, bool)] = &[("floats", true), ("inside", false)];

pub(super) fn boat(mistakes: &mut Mistakes, top: &Block<'_>) -> Boat {
    let mut boat = Boat::default();
    if mistakes.require(top, "boat").is_none() {
        return boat;
    }
    let Some(block) = mistakes.section(top, "boat", &BOAT) else {
        return boat;
    };
    if let Some(node) = mistakes.require(&block, "name") {
        boat.name = mistakes.text(node, "`name`").unwrap_or_default().to_owned();
    }
    boat.kind = mistakes.optional_word(&block, "kind", BoatKind::ALL).unwrap_or_default();
    boat.reference = mistakes.optional_text(&block, "reference");
    boat.revision = mistakes.optional_text(&block, "revision");
    boat.date = block.get("date").and_then(|node| date(mistakes, node));
    boat.workshop = mistakes.optional_text(&block, "workshop");
    boat.water = mistakes.optional_word(&block, "water", WATERS).unwrap_or_default();
    boat.conductivity =
        block.get("conductivity").and_then(|node| conductivity(mistakes, node, "conductivity", boat.water));
    boat.depth_limit = block
        .get("depth_limit")
        .and_then(|node| mistakes.amount(node, "`depth_limit`", &[UnitOfMeasure::Metres]))
        .map(|q| Metres(q.value));
    boat.floats_when_stopped = mistakes.yes_no(&block, "floats_when_stopped").unwrap_or(false);
    boat.aerial_floats = mistakes.optional_word(&block, "aerial", AERIALS).unwrap_or(false);
    boat.sinks_in = block
        .get("sinks_in")
        .and_then(|node| mistakes.amount(node, "`sinks_in`", &[UnitOfMeasure::Seconds]))
        .map(|q| Seconds(q.value));
    boat
}

/// As much as the warm ocean, and the most that estimates answer for.
const MOST: i64 = 60_000;

pub(super) fn conductivity(
    mistakes: &mut Mistakes,
    node: &Node,
    key: &str,
    water: Water,
) -> Option<About<MicrosiemensPerCm>> {
    let quantity = mistakes.quantity(node, &format!("`{key}`"), &[UnitOfMeasure::MicrosiemensPerCm])?;
    let found = about(quantity, MicrosiemensPerCm);
    let (value, off) = (&found.value.0, &found.off.0);
    let (why, label, help) = if water == Water::Sea {
        (
            format!("`{key}` is for other water than the ocean's"),
            "of the sea it is known",
            "leave it out, or write `water: brackish`",
        )
    } else if value.signum() <= 0 || off > value {
        (
            format!("`{key}` must stay above nought"),
            "nought or less is possible",
            "write what the meter shows",
        )
    } else if value + off > Exact::int(MOST) {
        (
            "no water conducts more than 60 000 uS/cm".to_owned(),
            "more than the sea",
            "look for a slip of the unit: 1 mS/cm is 1000 uS/cm",
        )
    } else {
        return Some(found);
    };
    mistakes.add(Mistake::at(node.span, why, label).help(help));
    None
}

fn date(mistakes: &mut Mistakes, node: &Node) -> Option<String> {
    let text = mistakes.text(node, "`date`")?;
    if text.len() == 10 && text.parse::<jiff::civil::Date>().is_ok() {
        return Some(text.to_owned());
    }
    mistakes.add(
        Mistake::at(node.span, format!("`{}` is not a date", shown(text)), "no such day")
            .help("write year, month and day with their noughts: `2026-05-02`"),
    );
    None
}

/// The pairs that every file may use.
pub(in crate::setup) const OPPOSITES: &[[&str; 2]] = &[
    ["turns left", "turns right"],
    ["bow rises", "bow dips"],
    ["stern rises", "stern dips"],
    ["rolls left", "rolls right"],
    ["drives ahead", "drives astern"],
    ["hauls in", "pays out"],
    ["fills", "empties"],
    ["raises", "lowers"],
    ["opens", "closes"],
    ["swings left", "swings right"],
];

/// What else people call them; the file takes none of these, a mistake tells the word.
pub(super) const ALSO_CALLED: &[(&str, &str)] = &[
    ("turns port", "turns left"),
    ("turns starboard", "turns right"),
    ("steers left", "turns left"),
    ("steers right", "turns right"),
    ("nose rises", "bow rises"),
    ("nose dips", "bow dips"),
    ("bow up", "bow rises"),
    ("bow down", "bow dips"),
    ("tail rises", "stern rises"),
    ("tail dips", "stern dips"),
    ("banks left", "rolls left"),
    ("banks right", "rolls right"),
    ("drives forward", "drives ahead"),
    ("drives forwards", "drives ahead"),
    ("goes ahead", "drives ahead"),
    ("drives back", "drives astern"),
    ("drives backward", "drives astern"),
    ("drives backwards", "drives astern"),
    ("goes astern", "drives astern"),
    ("reverses", "drives astern"),
    ("winds in", "hauls in"),
    ("heaves in", "hauls in"),
    ("winds out", "pays out"),
    ("lets out", "pays out"),
    ("pumps in", "fills"),
    ("floods", "fills"),
    ("pumps out", "empties"),
    ("blows", "empties"),
    ("lifts", "raises"),
    ("sinks", "lowers"),
    ("shuts", "closes"),
];

pub(super) fn opposites(mistakes: &mut Mistakes, top: &Block<'_>) -> Vec<[String; 2]> {
    let mut pairs: Vec<[String; 2]> = OPPOSITES.iter().map(|p| p.map(str::to_owned)).collect();
    let example = "opposites: [[lid lifts, lid drops]]";
    let Some(node) = top.get("opposites") else {
        return pairs;
    };
    for item in mistakes.list(node, "`opposites`", example).unwrap_or_default() {
        let Some([a, b]) = mistakes.pair(item, "a pair of opposites", example) else {
            continue;
        };
        let (Some(first), Some(second)) = (mistakes.text(a, "an effect"), mistakes.text(b, "an effect"))
        else {
            continue;
        };
        for (node, word) in [(a, first), (b, second)] {
            if pairs.iter().flatten().any(|known| known == word) {
                mistakes.add(
                    Mistake::at(
                        node.span,
                        format!("the effect `{}` is known already", shown(word)),
                        "named before",
                    )
                    .help("leave this pair out, or choose another word"),
                );
            }
        }
        if first == second {
            mistakes.add(
                Mistake::at(item.span, "the two words of a pair of opposites are the same", "no opposites")
                    .help(format!("write for instance `{example}`")),
            );
        }
        pairs.push([first.to_owned(), second.to_owned()]);
    }
    pairs
}

pub(super) fn batteries(mistakes: &mut Mistakes, top: &Block<'_>) -> Vec<Battery> {
    let Some(node) = top.get("batteries").filter(|node| node.text() != Some(NONE)) else {
        return Vec::new();
    };
    let Some(block) = mistakes.open_block(node, node.span, "`batteries`") else {
        return Vec::new();
    };
    let mut batteries = Vec::new();
    for entry in block.entries() {
        let mut battery = Battery {
            name: entry.key.clone(),
            cells: None,
            chemistry: None,
            capacity: None,
            resistance: None,
            draws: None,
            rated: None,
            plug: None,
            switch: None,
            fuse: None,
        };
        let what = format!("the battery `{}`", shown(&entry.key));
        if let Some(block) = mistakes.block(&entry.value, entry.key_span, what, &BATTERY) {
            battery.cells = block.get("cells").and_then(|node| mistakes.whole(node, "`cells`", 1, 100));
            battery.chemistry = mistakes.optional_text(&block, "chemistry");
            battery.capacity = block.get("capacity").and_then(|node| {
                let quantity = mistakes.amount(
                    node,
                    "`capacity`",
                    &[UnitOfMeasure::AmpereHours, UnitOfMeasure::MilliampereHours],
                )?;
                if quantity.value.is_zero() {
                    mistakes.add(
                        Mistake::at(node.span, "`capacity` must be above nought", "no battery holds nothing")
                            .help("write what is printed on it: `4.2 Ah`, `3300 mAh`"),
                    );
                }
                Some(AmpereHours(base(quantity.unit, quantity.value)))
            });
            battery.resistance = above_nought(
                mistakes,
                &block,
                "resistance",
                &[UnitOfMeasure::Milliohms, UnitOfMeasure::Ohms],
            )
            .map(|q| about(q, Ohms));
            battery.draws = current(mistakes, &block, "draws");
            battery.rated = rating(mistakes, &block);
            let mut carrier = |key: &str| {
                let node = block.get(key)?;
                let block = mistakes.block(node, node.span, format!("`{key}`"), &CARRIER)?;
                mistakes.require(&block, "rated")?;
                rating(mistakes, &block)
            };
            (battery.plug, battery.switch, battery.fuse) =
                (carrier("plug"), carrier("switch"), carrier("fuse"));
        }
        batteries.push(battery);
    }
    batteries
}

/// The contact and the language; what to do in an emergency is read where the controls are known.
pub(super) fn owner<'a>(mistakes: &mut Mistakes, top: &Block<'a>) -> (Owner, Option<Block<'a>>) {
    let mut owner = Owner::default();
    let Some(block) = mistakes.section(top, "owner", &OWNER) else {
        return (owner, None);
    };
    if let Some(node) = block.get("left_to_owner") {
        for item in mistakes.one_or_list(node) {
            owner.left_to_owner.extend(mistakes.text(item, "a line of `left_to_owner`").map(str::to_owned));
        }
    }
    owner.contact = mistakes.optional_text(&block, "contact");
    owner.language = mistakes.optional_word(&block, "language", language::ALL);
    (owner, Some(block))
}

pub(super) fn card(mistakes: &mut Mistakes, top: &Block<'_>) -> CardOptions {
    let mut card = CardOptions::default();
    let Some(block) = mistakes.section(top, "card", &CARD) else {
        return card;
    };
    let Some([width, height]) =
        block.get("size").and_then(|node| mistakes.pair(node, "`size`", "size: [105 mm, 74 mm]"))
    else {
        return card;
    };
    let mut side = |node: &Node| {
        let length = mistakes.amount(node, "`size`", &[UnitOfMeasure::Millimetres])?.value.to_f64();
        if (20.0..=1000.0).contains(&length) {
            return Some(length);
        }
        mistakes.add(
            Mistake::at(node.span, "no card can be printed in this size", "20 mm to 1000 mm")
                .help("write width and height: `size: [105 mm, 74 mm]`"),
        );
        None
    };
    if let (Some(width), Some(height)) = (side(width), side(height)) {
        card.size = Some([width, height]);
    }
    card
}
