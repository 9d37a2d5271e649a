//! A boat for practice, for machines, version 1: what her channels send as sums that anybody can add up, where on
//! each axis something happens, and what she does by herself, worked out beforehand. Whoever shows her to a person
//! evaluates these and judges nothing.
//!
//! Shares are fractions as text, nothing rounded: `17/20` is 85 %. Times are in seconds and have four figures.

use super::practice::{held_ways, plays};
use crate::rule::{Bands, Engine, at_worst};
use crate::setup::{
    Axis, BoatKind, ChannelId, Control, ControlId, ControlKind, DeviceId, Effect, Exact, Input, Setup, Side,
    WorkRef,
};
use lidcard_proof::chain::closed::Closed;
use lidcard_proof::chain::terms::{Curve, Terms};
use lidcard_proof::chain::{self, EndStages, Inputs};
use lidcard_proof::proof::Zone;
use serde::Serialize;

/// The whole answer of `try` for machines.
#[derive(Debug, Serialize)]
pub struct PracticeV1<'a> {
    version: u8,
    boat: &'a str,
    kind: &'static str,
    code: String,
    controls: Vec<ControlV1<'a>>,
    channels: Vec<ChannelV1<'a>>,
    devices: Vec<DeviceV1<'a>>,
    tank: Option<TankV1>,
    plays: Vec<super::practice::Play>,
}

#[derive(Debug, Serialize)]
struct ControlV1<'a> {
    name: &'a str,
    at: Option<&'a str>,
    kind: &'static str,
    /// Along which line the hand moves: the words for low and high.
    line: [&'static str; 2],
    ways: [&'a str; 2],
    settings: Vec<SettingV1<'a>>,
    /// Of these the one in which nobody has thrown it; nought without settings.
    home: usize,
    springs_back: bool,
    /// The most the trim can move it to the low and to the high way.
    trim: [String; 2],
}

#[derive(Debug, Serialize)]
struct SettingV1<'a> {
    name: &'a str,
    position: String,
}

#[derive(Debug, Serialize)]
struct ChannelV1<'a> {
    number: u8,
    name: Option<&'a str>,
    /// The switches that choose among the sums, by index; the last of them changes first.
    switches: Vec<ControlId>,
    /// Lists of pairs, before and behind the endpoint: one pair for each combination of the switches.
    sums: Vec<Vec<[Vec<TermV1>; 2]>>,
    shapes: Vec<ShapeV1>,
    /// Index into `sums` and into `shapes`: every way in which the set may reckon.
    cases: Vec<[usize; 2]>,
}

/// What one control adds: `linear p + cubic p³` on each side of rest, and a multiple of its trim.
#[derive(Debug, PartialEq, Serialize)]
struct TermV1 {
    control: ControlId,
    low: [String; 2],
    high: [String; 2],
    trim: String,
}

#[derive(Debug, Serialize)]
struct ShapeV1 {
    sense: i32,
    ends: [String; 2],
    cut_off: bool,
    scales: bool,
    sub_trim: String,
    limits: [String; 2],
    /// Shorter full pulse, rest and longer full pulse in microseconds: of the set, and of the axis that all
    /// positions lie on. Nothing where they are the same.
    axes: Option<[[String; 3]; 2]>,
}

#[derive(Debug, Serialize)]
struct DeviceV1<'a> {
    name: &'a str,
    kind: &'static str,
    /// Index of the channel that drives it.
    channel: Option<ChannelId>,
    /// Where it may be, of one that something on board drives.
    within: Option<[String; 2]>,
    /// What it stands behind.
    behind: Option<&'a str>,
    works: Vec<WorkV1<'a>>,
    motor: Option<BandsV1>,
    /// What is seen with the shorter and with the longer pulse.
    effects: [Option<SeenV1<'a>>; 2],
}

#[derive(Debug, Serialize)]
struct WorkV1<'a> {
    name: &'a str,
    kind: &'static str,
    verb: &'static str,
    emergency: bool,
    sinks: bool,
    raises: bool,
    #[serde(flatten)]
    bands: BandsV1,
}

#[derive(Debug, Serialize)]
struct SeenV1<'a> {
    effect: &'a str,
    #[serde(flatten)]
    bands: BandsV1,
}

/// Outputs at which it may be, and at which it may fail to be.
#[derive(Debug, Serialize)]
struct BandsV1 {
    may: Vec<ZoneV1>,
    may_not: Vec<ZoneV1>,
}

#[derive(Debug, Serialize)]
struct ZoneV1 {
    low: Option<String>,
    high: Option<String>,
    closed: bool,
}

#[derive(Debug, Serialize)]
struct TankV1 {
    /// How soon it can be empty with a way held fully, and how late at worst; from the depth limit, an estimate.
    empties: Vec<EmptiesV1>,
}

#[derive(Debug, Serialize)]
struct EmptiesV1 {
    control: ControlId,
    way: usize,
    soon_s: Option<f64>,
    late_s: Option<f64>,
}

/// Switches that act on one channel and can be combined in too many ways to be told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TooMany {
    /// The channel, as messages name it.
    pub channel: String,
}

/// A boat for practice; `code` is that of her file.
///
/// # Errors
/// Where switches on one channel can be combined in more ways than a page can carry.
pub fn practice<'a>(setup: &'a Setup, code: &str) -> Result<PracticeV1<'a>, TooMany> {
    let engine = Engine::new(setup);
    let worlds = at_worst(setup);
    let channels = (0..setup.channels.len()).map(|id| {
        let told = |setup: &Setup| {
            let orders = Engine::new(setup).orders;
            let too_many = || TooMany { channel: setup.channel_title(id) };
            Closed::of(setup, id, &orders).ok_or_else(too_many)
        };
        let mut all = told(setup)?;
        for world in &worlds {
            all.with(told(world)?);
        }
        Ok(channel(setup, id, &all))
    });
    let channels = channels.collect::<Result<Vec<_>, _>>()?;
    let furthest = |id: ControlId, side: usize| {
        let most = worlds.iter().map(|world| world.controls[id].trim[side].clone());
        most.fold(setup.controls[id].trim[side].clone(), Exact::max)
    };
    let controls = setup.controls.iter().enumerate();
    Ok(PracticeV1 {
        version: 1,
        boat: &setup.boat.name,
        kind: match setup.boat.kind {
            BoatKind::Submarine => "submarine",
            BoatKind::Surface => "surface",
            BoatKind::Other => "other",
        },
        code: code.to_owned(),
        controls: controls.map(|(id, c)| control(c, [0, 1].map(|side| furthest(id, side)))).collect(),
        channels,
        devices: (0..setup.devices.len()).map(|id| device(setup, id)).collect(),
        tank: tank(setup, &engine),
        plays: plays(setup, &engine),
    })
}

fn text(value: &Exact) -> String {
    value.to_fraction()
}

fn texts<const N: usize>(values: &[Exact; N]) -> [String; N] {
    values.each_ref().map(text)
}

fn control(control: &Control, trim: [Exact; 2]) -> ControlV1<'_> {
    let setting = |(index, name)| {
        let position = text(&control.setting_position(index));
        SettingV1 { name, position }
    };
    ControlV1 {
        name: &control.name,
        at: control.at.as_deref(),
        kind: match control.kind {
            ControlKind::Stick => "stick",
            ControlKind::Buttons => "buttons",
            ControlKind::Switch => "switch",
            ControlKind::Slider => "slider",
            ControlKind::Knob => "knob",
        },
        line: control.line.words(),
        ways: control.ways.each_ref().map(String::as_str),
        settings: control.settings.iter().map(String::as_str).enumerate().map(setting).collect(),
        home: control.home,
        springs_back: control.springs_back,
        trim: texts(&trim),
    }
}

fn channel<'a>(setup: &'a Setup, id: ChannelId, closed: &Closed) -> ChannelV1<'a> {
    let c = &setup.channels[id];
    let pair = |[before, behind]: &[Terms; 2]| [terms(before), terms(behind)];
    ChannelV1 {
        number: c.number,
        name: c.name.as_deref(),
        switches: closed.switches.clone(),
        sums: closed.sums.iter().map(|list| list.iter().map(pair).collect()).collect(),
        shapes: closed.shapes.iter().map(shape).collect(),
        cases: closed.cases.clone(),
    }
}

fn terms(terms: &Terms) -> Vec<TermV1> {
    let term = |(control, (curve, trim)): (usize, (&Curve, &Exact))| {
        let [low, high] = curve.sides.each_ref().map(texts);
        (!curve.is_zero() || !trim.is_zero()).then(|| TermV1 { control, low, high, trim: text(trim) })
    };
    terms.curves.iter().zip(&terms.trims).enumerate().filter_map(term).collect()
}

fn shape(shape: &EndStages) -> ShapeV1 {
    let axis = |axis: &Axis| [&axis.shorter, &axis.rest, &axis.longer].map(|micros| text(&micros.0));
    ShapeV1 {
        sense: shape.sense,
        ends: texts(&shape.ends),
        cut_off: shape.cut_off,
        scales: shape.scales,
        sub_trim: text(&shape.sub_trim),
        limits: texts(&shape.limits),
        axes: shape.axes().map(|[set, own]| [axis(set), axis(own)]),
    }
}

fn zones(zones: &[Zone]) -> Vec<ZoneV1> {
    let zone = |zone: &Zone| ZoneV1 {
        low: zone.low.as_ref().map(text),
        high: zone.high.as_ref().map(text),
        closed: zone.closed,
    };
    zones.iter().map(zone).collect()
}

fn bands(bands: &Bands) -> BandsV1 {
    BandsV1 { may: zones(&bands.may), may_not: zones(&bands.may_not) }
}

fn device(setup: &Setup, id: DeviceId) -> DeviceV1<'_> {
    let d = &setup.devices[id];
    let work = |(index, work): (usize, &'_ crate::setup::Function)| {
        let function = WorkRef { device: id, work: index };
        (work.kind, bands(&Bands::of_work(setup, function)))
    };
    let works = d.works.iter().enumerate().map(|each| {
        let (kind, bands) = work(each);
        WorkV1 {
            name: &each.1.name,
            kind: kind.name,
            verb: kind.verb,
            emergency: kind.emergency,
            sinks: kind.sinks(),
            raises: kind.raises(),
            bands,
        }
    });
    let seen = |side: Side, effect: &Option<Effect>| {
        let effect = setup.effect_words(effect.as_ref().copied()?);
        Some(SeenV1 { effect, bands: bands(&Bands::of_effect(setup, id, side)) })
    };
    let (channel, within, behind) = match d.input {
        Input::Channel(channel) => (Some(channel), None, None),
        Input::Behind(other) => {
            let limits = setup.devices[other].limits.clone().unwrap_or_else(|| setup.furthest());
            (None, Some(texts(&limits)), Some(setup.devices[other].name.as_str()))
        }
        Input::None => (None, None, None),
    };
    let [shorter, longer] = &d.effects;
    DeviceV1 {
        name: &d.name,
        kind: d.kind.name,
        channel,
        within,
        behind,
        works: works.collect(),
        motor: d.kind.runs_a_motor().then(|| bands(&Bands::of_motor(setup, id))),
        effects: [seen(Side::Low, shorter), seen(Side::High, longer)],
    }
}

fn tank(setup: &Setup, engine: &Engine) -> Option<TankV1> {
    if setup.tank.emptied_by.is_empty() {
        return None;
    }
    let empties = held_ways(setup).into_iter().filter_map(|(control, side)| {
        let mut inputs = Inputs::at_rest(setup);
        inputs.positions[control] = side.position();
        let mut ways: Vec<Vec<(ChannelId, Exact)>> = Vec::new();
        for order in &engine.orders {
            let at = |id| (id, chain::output(setup, id, &inputs, order));
            let held = (0..setup.channels.len()).map(at).collect();
            if !ways.contains(&held) {
                ways.push(held);
            }
        }
        let times: Vec<_> =
            ways.iter().map(|held| lidcard_check::rehearsal::emptied_in(setup, held)).collect();
        let soon = times.iter().filter_map(|[soon, _]| soon.map(|s| s.0)).reduce(f64::min);
        let late = times.iter().map(|[_, late]| late.map(|s| s.0)).reduce(|a, b| Some(a?.max(b?))).flatten();
        let told = |time: Option<f64>| time.and_then(super::practice::figure);
        soon.is_some().then(|| EmptiesV1 {
            control,
            way: side.index(),
            soon_s: told(soon),
            late_s: told(late),
        })
    });
    Some(TankV1 { empties: empties.collect() })
}
