//! The sections `transmitter` and `axis`.

use super::super::exact::Exact;
use super::super::keys::transmitter::{AXIS, ORDER, PULSE, TRANSMITTER};
use super::super::model::{
    Axis, EndpointDoes, EndpointSide, Figure, OrderLines, OrderPlace, PastFull, Path, Pulse, SubTrimDoes,
    Transmitter,
};
use super::super::quantity::{About, Decibels, Micros};
use super::super::unknown;
use super::dive::about;
use super::mistakes::{Block, EXACT, Mistakes, NOT_MEASURED};
use super::text::{either, near, shown};
use super::units::UnitOfMeasure;
use crate::radio::{REGIONS, Region};
use crate::source::{Mistake, Node};

pub(in crate::setup) const PLACES: &[(&str, OrderPlace)] =
    &[("before endpoint", OrderPlace::Before), ("after endpoint", OrderPlace::After)];
pub(in crate::setup) const PAST_FULL: &[(&str, PastFull)] =
    &[("cut off", PastFull::CutOff), ("carries on", PastFull::CarriesOn)];
pub(in crate::setup) const ENDPOINT: &[(&str, EndpointDoes)] =
    &[("scales", EndpointDoes::Scales), ("clamps", EndpointDoes::Clamps)];
pub(in crate::setup) const ENDPOINT_SIDE: &[(&str, EndpointSide)] =
    &[("stick", EndpointSide::Stick), ("pulse", EndpointSide::Pulse)];
pub(in crate::setup) const SUB_TRIM: &[(&str, SubTrimDoes)] =
    &[("shifts ends", SubTrimDoes::ShiftsEnds), ("keeps ends", SubTrimDoes::KeepsEnds)];
/// No receiver has more outputs.
pub(in crate::setup) const MOST_CHANNELS: u32 = 64;
/// No link of a model has so many decibels to spare.
const MOST_DECIBELS: i64 = 200;
/// Where radio ends.
const MOST_HERTZ: i64 = 300_000_000_000;

fn usual_pulse() -> Pulse {
    let [shorter, rest, longer, accuracy] = [1100, 1500, 1900, 0].map(|us| Micros(Exact::int(us)));
    Pulse { scale: Axis { rest, shorter, longer }, accuracy }
}

pub(super) fn transmitter(mistakes: &mut Mistakes, top: &Block<'_>) -> Transmitter {
    let mut set = Transmitter {
        name: None,
        memory: None,
        region: None,
        frequency: None,
        hertz: None,
        margin: None,
        channels: 8,
        pulse: usual_pulse(),
        furthest: Exact::percent(125),
        step: Exact::percent(1),
        order: OrderLines::default(),
    };
    let pulse_node = top.get("transmitter").and_then(|node| node.get("pulse"));
    let accuracy = pulse_node.and_then(|node| node.get("accuracy")).and_then(|node| node.text());
    if accuracy.is_none() || accuracy == Some(NOT_MEASURED) {
        let path = Path::of(["transmitter", "pulse", "accuracy"]);
        mistakes.left_out(Figure::PulseAccuracy, path, accuracy.is_some());
    }
    let furthest = top.get("transmitter").and_then(|node| node.get("furthest")).and_then(|node| node.text());
    if furthest.is_none() || furthest == Some(NOT_MEASURED) {
        let path = Path::of(["transmitter", "furthest"]);
        for end in [0, 1] {
            mistakes.left_out(Figure::Furthest(end), path.clone(), furthest.is_some());
        }
    }
    let Some(block) = mistakes.section(top, "transmitter", &TRANSMITTER) else {
        return set;
    };
    set.name = mistakes.optional_text(&block, "name");
    set.memory = mistakes.optional_text(&block, "memory");
    set.region = region(mistakes, &block);
    if let Some(node) = block.get("frequency")
        && let Some(hertz) = frequency(mistakes, node)
    {
        set.frequency = Some(written(hertz));
        set.hertz = Some(hertz);
    }
    set.margin = block.get("margin").and_then(|node| margin(mistakes, node));
    if let Some(node) = block.get("channels")
        && let Some(count) = mistakes.whole(node, "`channels`", 1, MOST_CHANNELS)
    {
        set.channels = count as u8;
    }
    if let Some(node) = block.get("pulse")
        && let Some(pulse) = pulse(mistakes, node)
    {
        set.pulse = pulse;
    }
    if let Some(node) = block.get("furthest")
        && let Some(value) = within(mistakes, node, "`furthest`", unknown::MOST_FURTHEST)
    {
        if value < Exact::ONE {
            mistakes.add(
                Mistake::at(node.span, "`furthest` lies short of a full pulse", "less than 100 %")
                    .help("100 % is the full pulse under `pulse`; no set stops short of that"),
            );
        }
        set.furthest = value;
    }
    if let Some(node) = block.get("step")
        && let Some(value) = within(mistakes, node, "`step`", unknown::MOST_STEP)
    {
        set.step = value;
    }
    if let Some(node) = block.get("order") {
        set.order = order(mistakes, node);
    }
    set
}

fn region(mistakes: &mut Mistakes, block: &Block<'_>) -> Option<Region> {
    let node = block.get("region")?;
    let text = mistakes.text(node, "`region`")?;
    if let Some((_, region)) = REGIONS.iter().find(|(word, _)| *word == text) {
        return Some(*region);
    }
    let known: Vec<&str> = REGIONS.iter().map(|(word, _)| *word).collect();
    let label = match near(text, &known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "no frequency table for it".to_owned(),
    };
    let help = format!(
        "write {}; anywhere else leave `region` out, and the frequency is held against no table",
        either(&known)
    );
    mistakes.add(Mistake::at(node.span, format!("`region` cannot be `{}`", shown(text)), label).help(help));
    None
}

/// Whole hertz: no set is tuned more finely, and whole numbers compare exactly.
fn frequency(mistakes: &mut Mistakes, node: &Node) -> Option<i64> {
    let quantity =
        mistakes.amount(node, "`frequency`", &[UnitOfMeasure::Megahertz, UnitOfMeasure::Gigahertz])?;
    let per_unit = if quantity.unit == UnitOfMeasure::Gigahertz { 1_000_000_000 } else { 1_000_000 };
    let hertz = quantity.value * Exact::int(per_unit);
    let whole = hertz.floor().filter(|h| Exact::int(*h) == hertz && (1..=MOST_HERTZ).contains(h));
    if whole.is_none() {
        mistakes.add(
            Mistake::at(node.span, "that is no frequency of a radio", "from 1 Hz to 300 GHz, in whole hertz")
                .help("write it as the crystal or the set says: `40.665 MHz`"),
        );
    }
    whole
}

/// In the one unit in which people call it: `40.685 MHz`, `2.4 GHz`.
fn written(hertz: i64) -> String {
    let (unit, sign) = if hertz < 1_000_000_000 { (1_000_000, "MHz") } else { (1_000_000_000, "GHz") };
    format!("{} {sign}", Exact::ratio(hertz, unit).to_decimal(9))
}

/// At least a hundredth of a percent, 0.04 us of the usual pulse: no set shows finer figures, and the search
/// for safe endpoints counts in steps, so that a slip with the decimal point would keep it busy for minutes.
fn within(mistakes: &mut Mistakes, node: &Node, what: &str, most: i64) -> Option<Exact> {
    let quantity = mistakes.plain(node, what, &[UnitOfMeasure::Percent])?;
    let value = quantity.value / Exact::int(100);
    let label = if value < Exact::ratio(1, 10_000) {
        "too little"
    } else if value > Exact::percent(most) {
        "too much"
    } else {
        return Some(value);
    };
    mistakes.add(
        Mistake::at(node.span, format!("{what} must be at least 0.01 % and at most {most} %"), label)
            .help("write what the set allows, as its handbook or its screen says"),
    );
    None
}

fn pulse(mistakes: &mut Mistakes, node: &Node) -> Option<Pulse> {
    let block = mistakes.block(node, node.span, "`pulse`", &PULSE)?;
    let usual = usual_pulse();
    let accuracy = block.get("accuracy").filter(|node| node.text() != Some(EXACT));
    let accuracy = accuracy.map(|node| {
        let off = micros(mistakes, node, "`accuracy`")?;
        off_at_most(mistakes, node, &off, unknown::MOST_PULSE_OFF);
        Some(off)
    });
    let scale = scale(mistakes, &block, usual.scale);
    Some(Pulse { scale: scale?, accuracy: accuracy.unwrap_or(Some(usual.accuracy))? })
}

/// Notes a pulse that can be off farther than what is taken where nobody says.
pub(super) fn off_at_most(mistakes: &mut Mistakes, node: &Node, off: &Micros, most: i64) {
    if off.0 > Exact::int(most) {
        let off = off.0.to_decimal(2);
        mistakes.add(
            Mistake::at(
                node.span,
                format!("`accuracy` says that the pulse can be off by {off} us"),
                format!("more than {most} us"),
            )
            .help(
                "look for a slip of the point or of the unit; a set or a unit that wanders so far is to be \
                     mended before anything is proved of it",
            ),
        );
    }
}

/// The steps in which readings were crept up to: of a set of which nothing is said the coarsest that a file may state.
pub(super) fn crept_in(top: &Block<'_>, set: &Transmitter) -> Exact {
    let said = top.get("transmitter").and_then(|node| node.get("step")).and_then(|node| node.text());
    match said {
        Some(word) if word != NOT_MEASURED => set.step.clone(),
        _ => Exact::percent(unknown::MOST_STEP),
    }
}

/// The axis of the file, where it says one.
pub(super) fn axis(mistakes: &mut Mistakes, top: &Block<'_>) -> Option<Axis> {
    let block = mistakes.section(top, "axis", &AXIS)?;
    let whole = ["rest", "full"].map(|key| mistakes.require(&block, key).is_some()) == [true; 2];
    whole.then(|| scale(mistakes, &block, usual_pulse().scale)).flatten()
}

fn micros(mistakes: &mut Mistakes, node: &Node, what: &str) -> Option<Micros> {
    mistakes.amount(node, what, &[UnitOfMeasure::Micros]).map(|q| Micros(q.value))
}

/// `rest` and `full`, and where one is left out that of `usual`.
fn scale(mistakes: &mut Mistakes, block: &Block<'_>, usual: Axis) -> Option<Axis> {
    let rest = block.get("rest").map(|node| micros(mistakes, node, "`rest`"));
    let full = block.get("full").map(|node| {
        let [low, high] = mistakes.pair(node, "`full`", "full: [1100 us, 1900 us]")?;
        let both = [low, high].map(|node| micros(mistakes, node, "`full`"));
        let [Some(low), Some(high)] = both else { return None };
        Some([low, high])
    });
    let (rest, [shorter, longer]) =
        (rest.unwrap_or(Some(usual.rest))?, full.unwrap_or(Some([usual.shorter, usual.longer]))?);
    if shorter >= rest || rest >= longer {
        let place = block.get("full").or(block.get("rest")).map_or(block.place, |n| n.span);
        mistakes.add(
            Mistake::at(
                place,
                format!(
                    "the pulses must rise: {} us, then {} us at rest, then {} us do not",
                    shorter.0.to_decimal(3),
                    rest.0.to_decimal(3),
                    longer.0.to_decimal(3)
                ),
                "shorter, then longer than at rest",
            )
            .help("write the shorter full pulse first: `full: [1100 us, 1900 us]`"),
        );
        return None;
    }
    Some(Axis { rest, shorter, longer })
}

fn margin(mistakes: &mut Mistakes, node: &Node) -> Option<About<Decibels>> {
    let found = about(mistakes.quantity(node, "`margin`", &[UnitOfMeasure::Decibels])?, Decibels);
    let (value, off) = (&found.value.0, &found.off.0);
    if value.signum() >= 0 && off <= value && value + off <= Exact::int(MOST_DECIBELS) {
        return Some(found);
    }
    mistakes.add(
        Mistake::at(node.span, format!("`margin` lies from 0 dB to {MOST_DECIBELS} dB"), "beyond that")
            .help("write what the link has to spare, and a tolerance no greater than that: `40 dB ± 6 dB`"),
    );
    None
}

fn order(mistakes: &mut Mistakes, node: &Node) -> OrderLines {
    let Some(block) = mistakes.block(node, node.span, "`order`", &ORDER) else {
        return OrderLines::default();
    };
    OrderLines {
        past_full_stick: mistakes.optional_word(&block, "past_full_stick", PAST_FULL),
        endpoint: mistakes.optional_word(&block, "endpoint", ENDPOINT),
        endpoint_side: mistakes.optional_word(&block, "endpoint_side", ENDPOINT_SIDE),
        trim: mistakes.optional_word(&block, "trim", PLACES),
        mix: mistakes.optional_word(&block, "mix", PLACES),
        sub_trim: mistakes.optional_word(&block, "sub_trim", SUB_TRIM),
    }
}
