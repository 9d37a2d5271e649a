//! The sections `hull` and `tank`: the boat as a body in water, and what empties her tank.

use super::super::exact::Exact;
use super::super::keys::water::{EMPTIER, HULL, TANK};
use super::super::model::{Emptier, Gas, GasKind, Hull, Leaks, LiquefiedGas, Material, Pump, Tank, Water};
use super::super::quantity::{
    About, Amperes, Bar, Celsius, Kilograms, Litres, LitresPerMinute, MetresPerSecond, Millimetres, Seconds,
    Volts,
};
use super::Reader;
use super::boat::{WATERS, conductivity};
use super::mistakes::{Block, Mistakes};
use super::text::{either, shown};
use super::units::{Quantity, UnitOfMeasure};
use crate::source::{Entry, Mistake, Node, Value};

/// Of these, the keys of a pump.
const OF_PUMP: &[&str] =
    &["flow", "flow_off", "pressure_off", "measured_at", "starts_in", "duty", "current", "stall", "air"];

pub(in crate::setup) const MATERIALS: &[(&str, Material)] = &[
    ("acrylic", Material::Acrylic),
    ("polycarbonate", Material::Polycarbonate),
    ("PVC", Material::Pvc),
    ("ABS", Material::Abs),
    ("polystyrene", Material::Polystyrene),
    ("glass fibre", Material::Glass),
    ("carbon fibre", Material::Carbon),
    ("aluminium", Material::Aluminium),
    ("brass", Material::Brass),
    ("steel", Material::Steel),
    ("wood", Material::Wood),
];

/// Where a blower takes its air from; whether that is a snorkel.
pub(in crate::setup) const AIRS: &[(&str, bool)] = &[("hull", false), ("snorkel", true)];
pub(in crate::setup) const GASES: &[(&str, LiquefiedGas)] = &[
    ("propane", LiquefiedGas::Propane),
    ("butane", LiquefiedGas::Butane),
    ("isobutane", LiquefiedGas::Isobutane),
    ("R134a", LiquefiedGas::R134a),
    ("R152a", LiquefiedGas::R152a),
    ("R1234ze", LiquefiedGas::R1234ze),
];
pub(in crate::setup) const AIR: &str = "air";

const FLOW: &str = "flow: [[0 bar, 4 L/min], [0.4 bar, 0 L/min]]";

/// In the unit that is kept.
pub(super) fn base(unit: UnitOfMeasure, value: Exact) -> Exact {
    match unit {
        UnitOfMeasure::Percent => value / Exact::int(100),
        UnitOfMeasure::Grams
        | UnitOfMeasure::Milliamperes
        | UnitOfMeasure::MilliampereHours
        | UnitOfMeasure::Millilitres
        | UnitOfMeasure::Milliohms => value / Exact::int(1000),
        _ => value,
    }
}

pub(super) fn about<Q>(quantity: Quantity, make: fn(Exact) -> Q) -> About<Q> {
    let off = quantity.off.map_or(Exact::ZERO, |(off, unit)| base(unit, off));
    About { value: make(base(quantity.unit, quantity.value)), off: make(off) }
}

/// A current, in amperes or in milliamperes.
pub(super) fn current(mistakes: &mut Mistakes, block: &Block<'_>, key: &str) -> Option<Amperes> {
    let node = block.get(key)?;
    let read =
        mistakes.amount(node, &format!("`{key}`"), &[UnitOfMeasure::Amperes, UnitOfMeasure::Milliamperes])?;
    Some(Amperes(base(read.unit, read.value)))
}

/// What something may surely carry for long.
pub(super) fn rating(mistakes: &mut Mistakes, block: &Block<'_>) -> Option<Amperes> {
    above_nought(mistakes, block, "rated", &[UnitOfMeasure::Amperes, UnitOfMeasure::Milliamperes])
        .map(|q| about(q, Amperes))
        .map(|rated| Amperes(&rated.value.0 - &rated.off.0))
}

/// `in_water` is that of the boat.
pub(super) fn hull(mistakes: &mut Mistakes, top: &Block<'_>, in_water: Water) -> Hull {
    let mut hull = Hull::default();
    let Some(block) = mistakes.section(top, "hull", &HULL) else {
        return hull;
    };
    let weights = [UnitOfMeasure::Kilograms, UnitOfMeasure::Grams];
    hull.weight = above_nought(mistakes, &block, "weight", &weights).map(|q| about(q, Kilograms));
    hull.heavy = block
        .get("heavy")
        .and_then(|node| mistakes.quantity(node, "`heavy`", &weights))
        .map(|q| about(q, Kilograms));
    let mut length = |key: &str| {
        let quantity = above_nought(mistakes, &block, key, &[UnitOfMeasure::Millimetres])?;
        Some(Millimetres(quantity.value))
    };
    (hull.length, hull.beam) = (length("length"), length("beam"));
    let mut speed = |key: &str| {
        above_nought(mistakes, &block, key, &[UnitOfMeasure::MetresPerSecond])
            .map(|q| MetresPerSecond(q.value))
    };
    (hull.dives_at, hull.sails_at) = (speed("dives_at"), speed("sails_at"));
    hull.air = above_nought(mistakes, &block, "air", &[UnitOfMeasure::Litres, UnitOfMeasure::Millilitres])
        .map(|q| about(q, Litres));
    hull.leaks = block.get("leaks").and_then(|node| leaks(mistakes, node));
    hull.material = mistakes.optional_word(&block, "material", MATERIALS);
    hull.weighed_in = mistakes.optional_word(&block, "weighed_in", WATERS);
    let weighed_in = hull.weighed_in.unwrap_or(in_water);
    hull.weighed_conductivity = block
        .get("weighed_conductivity")
        .and_then(|node| conductivity(mistakes, node, "weighed_conductivity", weighed_in));
    hull.weighed_at = block.get("weighed_at").and_then(|node| weighed_at(mistakes, node));
    if let Some(node) = block.get("water")
        && let Some([cold, warm]) = mistakes.pair(node, "`water`", "water: [4 degC, 22 degC]")
    {
        let mut degrees = |node| {
            mistakes.plain(node, "a temperature of the water", &[UnitOfMeasure::Celsius]).map(|q| q.value)
        };
        if let (Some(cold), Some(warm)) = (degrees(cold), degrees(warm)) {
            if cold > warm || cold.signum() < 0 || warm > Exact::int(40) {
                let why = "water she sails in lies between 0 degC and 40 degC, the coldest first";
                mistakes.add(
                    Mistake::at(node.span, why, "not so here")
                        .help("write for instance `water: [4 degC, 22 degC]`"),
                );
            }
            hull.water = Some([Celsius(cold), Celsius(warm)]);
        }
    }
    hull
}

/// A hole by its diameter, or a rate.
fn leaks(mistakes: &mut Mistakes, node: &Node) -> Option<Leaks> {
    let read =
        mistakes.amount(node, "`leaks`", &[UnitOfMeasure::Millimetres, UnitOfMeasure::LitresPerMinute])?;
    Some(match read.unit {
        UnitOfMeasure::Millimetres => Leaks::Hole(Millimetres(read.value)),
        _ => Leaks::Rate(LitresPerMinute(read.value)),
    })
}

fn weighed_at(mistakes: &mut Mistakes, node: &Node) -> Option<Celsius> {
    let warmth = mistakes.plain(node, "`weighed_at`", &[UnitOfMeasure::Celsius])?.value;
    if warmth.signum() < 0 || warmth > Exact::int(40) {
        mistakes.add(
            Mistake::at(node.span, "water to weigh in lies between 0 degC and 40 degC", "not so here")
                .help("write what the thermometer showed: `weighed_at: 18 degC`"),
        );
    }
    Some(Celsius(warmth))
}

/// A quantity that makes no sense at nought or below.
pub(super) fn above_nought(
    mistakes: &mut Mistakes,
    block: &Block<'_>,
    key: &str,
    units: &[UnitOfMeasure],
) -> Option<Quantity> {
    let node = block.get(key)?;
    let quantity = mistakes.quantity(node, &format!("`{key}`"), units)?;
    let least = match &quantity.off {
        Some((off, unit)) => base(quantity.unit, quantity.value.clone()) - base(*unit, off.clone()),
        None => quantity.value.clone(),
    };
    if least.signum() > 0 {
        return Some(quantity);
    }
    mistakes.add(
        Mistake::at(node.span, format!("`{key}` must stay above nought"), "nought or less is possible")
            .help("write what was measured, and a tolerance smaller than that"),
    );
    None
}

impl Reader<'_> {
    pub(super) fn tank(&mut self, top: &Block<'_>) -> Tank {
        let mut tank = Tank::default();
        let Some(block) = self.mistakes.section(top, "tank", &TANK) else {
            return tank;
        };
        let volumes = [UnitOfMeasure::Litres, UnitOfMeasure::Millilitres];
        tank.volume = above_nought(&mut self.mistakes, &block, "volume", &volumes).map(|q| about(q, Litres));
        let Some(node) = block.get("emptied_by") else {
            return tank;
        };
        let Some(block) = self.mistakes.open_block(node, node.span, "`emptied_by`") else {
            return tank;
        };
        for entry in block.entries() {
            let emptier = self.emptier(entry);
            let name = Node {
                span: entry.key_span,
                value: Value::Scalar { text: entry.key.clone(), quoted: false },
            };
            if let (Some(work), Some(emptier)) = (self.work(&name, None), emptier) {
                let kind = self.devices[work.device].works[work.work].kind;
                if kind.sinks() {
                    let message = format!("a {} empties no tank", kind.name);
                    self.mistakes.add(
                        Mistake::at(entry.key_span, message, "this fills it")
                            .help("name the work that pumps or blows"),
                    );
                }
                let facts = &self.devices[work.device].works[work.work].facts;
                let mut emptier = emptier;
                if let Emptier::Pump(pump) = &mut emptier {
                    pump.duty = pump.duty.take().or_else(|| facts.longest.clone());
                }
                let said = facts.longest.is_some() || facts.never_too_long;
                if let (Some(duty), true) = (entry.value.get("duty"), said) {
                    self.mistakes.add(
                        Mistake::at(
                            duty.span,
                            "a pump has either `duty` or the `longest` of the work that starts it",
                            "both are given",
                        )
                        .help("keep the shorter of both, as `longest` where something else than the pump ends it"),
                    );
                }
                tank.emptied_by.push((work, emptier));
            }
        }
        tank
    }

    fn emptier(&mut self, entry: &Entry) -> Option<Emptier> {
        let what = format!("`{}`", shown(&entry.key));
        let block = self.mistakes.block(&entry.value, entry.key_span, what, &EMPTIER)?;
        let (pump, gas): (Vec<_>, Vec<_>) =
            block.entries().iter().partition(|e| OF_PUMP.contains(&e.key.as_str()));
        match (pump.first(), gas.first()) {
            (Some(a), Some(b)) => {
                self.mistakes.add(
                    Mistake::at(
                        b.key_span,
                        format!("{} is a pump and a bottle at once", block.what),
                        "of a bottle",
                    )
                    .also(a.key_span, "of a pump")
                    .help("give each a work of its own"),
                );
                None
            }
            (Some(_), None) => self.pump(&block).map(Emptier::Pump),
            _ => self.gas(&block).map(Emptier::Gas),
        }
    }

    fn pump(&mut self, block: &Block<'_>) -> Option<Pump> {
        let mistakes = &mut self.mistakes;
        let node = mistakes.require(block, "flow")?;
        let flow = flow(mistakes, node);
        let (flow_off, pressure_off) = (
            part(mistakes, block, "flow_off", "a flow"),
            part(mistakes, block, "pressure_off", "a pressure"),
        );
        let measured_at = above_nought(mistakes, block, "measured_at", &[UnitOfMeasure::Volts])
            .map(|quantity| Volts(quantity.value));
        let mut seconds = |key: &str| {
            let node = block.get(key)?;
            mistakes.amount(node, &format!("`{key}`"), &[UnitOfMeasure::Seconds]).map(|q| Seconds(q.value))
        };
        let (starts_in, duty) = (seconds("starts_in"), seconds("duty"));
        let (current, stall) = (current(mistakes, block, "current"), current(mistakes, block, "stall"));
        Some(Pump {
            flow: flow?,
            flow_off,
            pressure_off,
            measured_at,
            starts_in,
            duty,
            current,
            stall,
            through_snorkel: mistakes.optional_word(block, "air", AIRS),
        })
    }

    fn gas(&mut self, block: &Block<'_>) -> Option<Gas> {
        let mistakes = &mut self.mistakes;
        let node = mistakes.require(block, "gas")?;
        let kind = gas_kind(mistakes, node);
        let bottle =
            above_nought(mistakes, block, "bottle", &[UnitOfMeasure::Litres, UnitOfMeasure::Millilitres]);
        let charge =
            above_nought(mistakes, block, "charge", &[UnitOfMeasure::Kilograms, UnitOfMeasure::Grams]);
        let pressure = above_nought(mistakes, block, "pressure", &[UnitOfMeasure::Bar]);
        let hole = above_nought(mistakes, block, "hole", &[UnitOfMeasure::Millimetres]);
        let kind = kind?;
        let wrong = match kind {
            GasKind::Air => ("charge", "air is measured by its pressure: write `pressure: 8 bar`"),
            GasKind::Liquefied(_) => {
                ("pressure", "a liquefied gas has the pressure of its temperature: write `charge: 12 g`")
            }
        };
        if let Some(entry) = block.entries().iter().find(|e| e.key == wrong.0) {
            let message = format!("`{}` does not say how much of this gas there is", wrong.0);
            mistakes.add(Mistake::at(entry.key_span, message, "of another kind of gas").help(wrong.1));
        }
        Some(Gas {
            kind,
            bottle: bottle.map(|q| about(q, Litres).value),
            charge: charge.map(|q| about(q, Kilograms)),
            pressure: pressure.map(|q| about(q, Bar)),
            hole: hole.map(|q| Millimetres(q.value)),
        })
    }
}

/// By which part of itself something can be off: less than all of it.
fn part(mistakes: &mut Mistakes, block: &Block<'_>, key: &str, of: &str) -> Option<Exact> {
    let node = block.get(key)?;
    let quantity = mistakes.amount(node, &format!("`{key}`"), &[UnitOfMeasure::Percent])?;
    if quantity.value >= Exact::int(100) {
        mistakes.add(
            Mistake::at(node.span, format!("`{key}` must stay below 100 %"), "then nothing may flow at all")
                .help(format!("write by how much of itself {of} may be off: `{key}: 10 %`")),
        );
    }
    Some(base(quantity.unit, quantity.value))
}

/// Points of a curve on which more pressure means less flow.
fn flow(mistakes: &mut Mistakes, node: &Node) -> Option<Vec<(Bar, LitresPerMinute)>> {
    let mut points: Vec<(Bar, LitresPerMinute)> = Vec::new();
    for item in mistakes.list(node, "`flow`", FLOW)? {
        let [pressure, flow] = mistakes.pair(item, "a point of `flow`", FLOW)?;
        let pressure = mistakes.amount(pressure, "a pressure", &[UnitOfMeasure::Bar])?.value;
        let flow = mistakes.amount(flow, "a flow", &[UnitOfMeasure::LitresPerMinute])?.value;
        if points.last().is_some_and(|(p, f)| pressure <= p.0 || flow >= f.0) {
            mistakes.add(
                Mistake::at(
                    item.span,
                    "a pump moves less against more pressure",
                    "not so from the point before",
                )
                .help(format!("write rising pressures with falling flows: `{FLOW}`")),
            );
            return None;
        }
        points.push((Bar(pressure), LitresPerMinute(flow)));
    }
    if points.len() < 2 {
        mistakes.add(
            Mistake::at(node.span, "a curve needs two points or more", "too few")
                .help(format!("write for instance `{FLOW}`")),
        );
        return None;
    }
    Some(points)
}

fn gas_kind(mistakes: &mut Mistakes, node: &Node) -> Option<GasKind> {
    let whole = Exact::ONE;
    let Value::Map(entries) = &node.value else {
        if node.text() == Some(AIR) {
            return Some(GasKind::Air);
        }
        let known: Vec<&str> = GASES.iter().map(|(word, _)| *word).chain([AIR]).collect();
        let text = mistakes.text(node, "`gas`")?;
        let Some((_, gas)) = GASES.iter().find(|(word, _)| *word == text) else {
            mistakes.add(
                Mistake::at(
                    node.span,
                    format!("nothing is known of the gas `{}`", shown(text)),
                    "not one of its words",
                )
                .help(format!(
                    "write {}, or parts by weight: `{{butane: 70 %, propane: 30 %}}`",
                    either(&known)
                )),
            );
            return None;
        };
        return Some(GasKind::Liquefied(vec![(*gas, whole)]));
    };
    let mut parts = Vec::new();
    for entry in entries {
        let key =
            Node { span: entry.key_span, value: Value::Scalar { text: entry.key.clone(), quoted: false } };
        let gas = mistakes.word(&key, "a part of `gas`", GASES);
        let share = mistakes.amount(&entry.value, "a part of `gas`", &[UnitOfMeasure::Percent]);
        parts.push((gas?, share.map(|q| base(q.unit, q.value))?));
    }
    let hydrocarbon = |gas: &LiquefiedGas| {
        matches!(gas, LiquefiedGas::Propane | LiquefiedGas::Butane | LiquefiedGas::Isobutane)
    };
    if parts.len() > 1 && !parts.iter().all(|(gas, _)| hydrocarbon(gas)) {
        mistakes.add(
            Mistake::at(
                node.span,
                "nothing is known of this mixture",
                "not of propane, butane and isobutane only",
            )
            .help("write the one gas of it that boils least readily, to stay on the careful side"),
        );
        return None;
    }
    let sum = parts.iter().fold(Exact::ZERO, |sum, (_, share)| sum + share);
    if sum != whole {
        let message =
            format!("the parts of the gas make {} %, not 100 %", (sum * Exact::int(100)).to_decimal(3));
        mistakes.add(Mistake::at(node.span, message, "parts by weight").help("let them make 100 % together"));
        return None;
    }
    Some(GasKind::Liquefied(parts))
}
