//! How far linkages move, for people and for machines.

use super::text::hanging;
use crate::rule::driven::Throw;
use crate::setup::{Exact, Input, Moved, Setup};
use serde::Serialize;

/// One line or two below the picture of a servo's axis.
pub fn lines(out: &mut String, setup: &Setup, throw: &Throw, width: usize) {
    let device = &setup.devices[throw.device];
    let Some(linkage) = &device.facts.linkage else { return };
    let unit = linkage.unit();
    let mut parts = Vec::new();
    if let Ok(moved) = &throw.rest
        && !moved.most.is_zero()
    {
        parts.push(format!("with nothing touched {}", told(moved, unit)));
    }
    if let Input::Channel(channel) = device.input
        && let Some(control) = setup.channels[channel].control
    {
        for (side, moved) in &throw.held {
            let way = &setup.controls[control].ways[side.index()];
            parts.push(match moved {
                Ok(moved) => format!("{way} held fully {}", told(moved, unit)),
                Err(refusal) => format!("{way} held fully: {refusal}"),
            });
        }
    }
    if let [Ok(shorter), Ok(longer)] = &throw.furthest {
        parts.push(format!(
            "never beyond {} {unit} on the shorter and {} {unit} on the longer side",
            tenths(&shorter.most, true),
            tenths(&longer.most, true)
        ));
    }
    let text = format!("from where it stands at 0 %, {}", parts.join("; "));
    hanging(out, &format!("    {}: ", linkage.driven_name()), &text, width);
}

/// `33.1 to 35.2 deg`, rounded outwards.
fn told(moved: &Moved, unit: &str) -> String {
    let (least, most) = (tenths(&moved.least, false), tenths(&moved.most, true));
    if moved.least.is_zero() { format!("within {most} {unit}") } else { format!("{least} to {most} {unit}") }
}

/// With one digit behind the point, up or down.
pub fn tenths(value: &Exact, up: bool) -> String {
    let scaled = value * Exact::int(10);
    let whole = if up { scaled.ceil() } else { scaled.floor() };
    Exact::ratio(whole.unwrap_or(0), 10).to_decimal(1)
}

/// The throw of one linkage, version 1: degrees or millimetres from where it stands at 0 % of the axis.
#[derive(Debug, Serialize)]
pub struct ThrowV1<'a> {
    device: &'a str,
    drives: &'static str,
    unit: &'static str,
    rest: Option<MovedV1>,
    held: Vec<HeldV1<'a>>,
    /// Shorter and longer side.
    furthest: [Option<MovedV1>; 2],
}

#[derive(Debug, Serialize)]
struct HeldV1<'a> {
    way: &'a str,
    moved: Option<MovedV1>,
}

#[derive(Debug, Serialize)]
struct MovedV1 {
    least: f64,
    most: f64,
}

impl MovedV1 {
    fn of(moved: &Moved) -> Self {
        Self { least: moved.least.to_f64(), most: moved.most.to_f64() }
    }
}

/// For machines; nothing where the linkage may meet a dead centre on the way.
pub fn json<'a>(setup: &'a Setup, throws: &[Throw]) -> Vec<ThrowV1<'a>> {
    let all = throws.iter().filter_map(|throw| {
        let device = &setup.devices[throw.device];
        let linkage = device.facts.linkage.as_ref()?;
        let ways = match device.input {
            Input::Channel(channel) => setup.channels[channel].control.map(|c| &setup.controls[c].ways),
            _ => None,
        };
        let held = throw.held.iter().filter_map(|(side, moved)| {
            Some(HeldV1 { way: &ways?[side.index()], moved: moved.as_ref().ok().map(MovedV1::of) })
        });
        Some(ThrowV1 {
            device: &device.name,
            drives: linkage.driven_name(),
            unit: linkage.unit(),
            rest: throw.rest.as_ref().ok().map(MovedV1::of),
            held: held.collect(),
            furthest: [0, 1].map(|side| throw.furthest[side].as_ref().ok().map(MovedV1::of)),
        })
    });
    all.collect()
}
