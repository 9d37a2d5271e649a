//! A drawing to scale of a device's axis: what lies where on it, how far the sticks reach, where the
//! stages put it, and the room between. Each thing has a lane of its own and all lanes share one
//! scale, so that what must not meet is seen apart at a glance. No colour, and no grey alone, tells
//! anything: what may be is hatched, what surely is is filled.

mod lanes;
mod scale;
mod throw;

use serde::Serialize;
use serde_json::Value;

use super::ink::{At, Ink};
use super::say::Say;
use crate::axis::{Axes, Put, Reach, Shows};
use crate::finding::SafeEndpoints;
use crate::labels::text::sheet::axes;
use crate::labels::text::sheet::settings;
use crate::render::RenderError;
use crate::setup::{ChannelId, Device, DeviceId, Input, Side, WorkRef};
use crate::words::{self, listed, listed_apart, plain};
use lanes::Lanes;
pub(super) use lanes::{SURE, may};
use scale::Scale;

/// Size of the title over the first drawing.
const TITLE: f64 = 13.0;

/// One drawing.
#[derive(Serialize)]
pub(crate) struct Axis {
    /// What the device is called.
    name: String,
    /// What it is and where it gets its pulse from.
    about: String,
    /// How far what it drives by a rod moves; empty without a linkage.
    throw: String,
    height: f64,
    items: Vec<Value>,
}

impl Axis {
    /// Its height and what is drawn.
    pub(crate) fn drawn(self) -> (f64, Vec<Value>) {
        (self.height, self.items)
    }
}

/// Every device whose travel works something, in file order: only there is anything to keep apart.
pub(super) fn axes(say: &Say<'_>, windows: &[SafeEndpoints], width: f64) -> Result<Vec<Axis>, RenderError> {
    let (of, mut all) = (Axes::new(say.setup), Vec::new());
    for id in 0..say.setup.devices.len() {
        if !say.setup.devices[id].works.is_empty() {
            all.extend(axis(say, &of, id, windows, width)?);
        }
    }
    Ok(all)
}

/// The drawing of one device, if it has an axis.
pub(crate) fn of_device(
    say: &Say<'_>,
    id: DeviceId,
    windows: &[SafeEndpoints],
    width: f64,
) -> Result<Option<Axis>, RenderError> {
    axis(say, &Axes::new(say.setup), id, windows, width)
}

/// A line for every other device: what it is, and where something binds.
pub(super) fn others(say: &Say<'_>) -> Vec<[String; 2]> {
    let devices = say.setup.devices.iter().enumerate().filter(|(_, device)| device.works.is_empty());
    devices.map(|(id, device)| [plain(&device.name), line(say, id)]).collect()
}

fn line(say: &Say<'_>, id: DeviceId) -> String {
    let device = &say.setup.devices[id];
    let mut all = vec![fed_by(say, device)];
    if let Some([low, high]) = &device.still_between {
        all.push(say.fill(axes::StillIn { low: &say.signed(low), high: &say.signed(high) }));
    }
    let stops = device.stops.iter().flatten().map(|stop| say.toleranced(stop));
    let stops = listed(stops);
    if !stops.is_empty() {
        all.push(say.fill(axes::StopsAt { stops: &stops }));
    }
    all.push(throw::told(say, id));
    listed_apart(all)
}

/// Whether a stick cannot bring a device surely as far as a work, whatever is thrown and trimmed.
pub(super) fn beyond_the_stick(say: &Say<'_>, work: WorkRef) -> bool {
    let w = say.setup.work(work);
    let at = w.from.farthest(w.sign);
    let reaches = Axes::new(say.setup).reaches(work.device);
    let gets_there = |reach: &Reach| {
        let [low, high] = &reach.common;
        if w.sign < 0 { *low <= at } else { *high >= at }
    };
    !reaches.iter().any(gets_there)
}

/// The picture that explains the pictures.
pub(super) struct Legend {
    pub(super) drawn: (f64, Vec<Value>),
    /// It begins so far to the right that the title stands on its line.
    pub(super) beside_title: bool,
}

/// Behind the title where that leaves room for it.
pub(super) fn legend(say: &Say<'_>, width: f64) -> Result<Legend, RenderError> {
    let behind = super::ink::wide(say.get(axes::TITLE), TITLE, true)? + 4.0;
    let (end, drawn) = legend_from(say, behind)?;
    if end <= width {
        return Ok(Legend { drawn, beside_title: true });
    }
    Ok(Legend { drawn: legend_from(say, 0.0)?.1, beside_title: false })
}

/// How far to the right it ends, its height, and what is drawn.
fn legend_from(say: &Say<'_>, from: f64) -> Result<(f64, (f64, Vec<Value>)), RenderError> {
    use crate::labels::text::sheet::axes::legend;
    let mut ink = Ink::default();
    let (mut x, mut end) = (from, from);
    let y = [0.6, 3.4];
    for mark in [legend::SURE, legend::MAY, legend::END, legend::BEST, legend::STAGE, legend::MARGIN] {
        let (left, right) = (x, x + 7.0);
        let middle = f64::midpoint(left, right);
        match mark {
            legend::SURE => ink.fill([left, right], y, lanes::SURE),
            legend::MAY => lanes::may(&mut ink, [left, right], y),
            legend::END => ink.pointer([middle, 3.0]),
            legend::BEST => ink.line([middle, y[0]], [middle, y[1]], 0.5),
            legend::STAGE => ink.diamond([middle, 2.0]),
            _ => ink.arrows([left, right], 2.0),
        }
        let text = say.get(mark);
        let narrow = [legend::END, legend::BEST, legend::STAGE].contains(&mark);
        let at = if narrow { middle + 2.2 } else { right + 1.2 };
        ink.text([at, 2.0], text, 7.5, At::Left, false);
        end = at + super::ink::wide(text, 7.5, false)?;
        x = end + 5.0;
    }
    Ok((end, (4.4, ink.items)))
}

fn axis(
    say: &Say<'_>,
    of: &Axes,
    id: DeviceId,
    windows: &[SafeEndpoints],
    width: f64,
) -> Result<Option<Axis>, RenderError> {
    let setup = say.setup;
    let device = &setup.devices[id];
    let Some(shown) = of.lanes(id) else { return Ok(None) };
    let scale = Scale::new(shown.half.clone(), width);
    let mut lanes = Lanes::new(say, id, scale, &shown.lanes);
    lanes.numbers(sides(say, device));
    for lane in &shown.lanes {
        match lane.shows {
            Shows::Function(work) => lanes.work(work, lane)?,
            Shows::Still => lanes.still(lane),
            Shows::PastStop => lanes.stops(lane),
            Shows::Ends | Shows::Reached => {}
        }
    }
    if let Input::Channel(channel) = device.input {
        lanes.endpoints(channel, windows)?;
    }
    for reach in of.reaches(id) {
        lanes.reach(&reach)?;
        lanes.margins(of.rooms(id, &reach))?;
    }
    for (name, put) in states(say, of, id) {
        lanes.state(&name, &put)?;
    }
    let (height, items) = lanes.finished();
    let throw = throw::told(say, id);
    Ok(Some(Axis { name: plain(&device.name), about: fed_by(say, device), throw, height, items }))
}

/// The states in which somebody else than the pilot has it.
fn states(say: &Say<'_>, axes: &Axes, id: DeviceId) -> Vec<(String, Put)> {
    let puts = axes.puts(id).into_iter();
    puts.map(|put| (words::state(say.labels, say.setup, put.state), put)).collect()
}

fn fed_by(say: &Say<'_>, device: &Device) -> String {
    let kind = say.labels.word(axes::KINDS, device.kind.name).to_owned();
    match device.input {
        Input::Channel(channel) => say.fill(axes::On { kind: &kind, channel: &say.channel(channel) }),
        Input::Behind(other) => {
            let other = plain(&say.setup.devices[other].name);
            say.fill(axes::Behind { kind: &kind, device: &other })
        }
        Input::None => kind,
    }
}

/// Which way lies on which side.
fn sides(say: &Say<'_>, device: &Device) -> [String; 2] {
    let (shorter, longer) = (say.get(settings::SHORTER), say.get(settings::LONGER));
    let own = |channel: ChannelId| say.setup.channels[channel].control.map(|_| channel);
    let Some(channel) = (match device.input {
        Input::Channel(channel) => own(channel),
        _ => None,
    }) else {
        return [format!("\u{2039} {shorter}"), format!("{longer} \u{203a}")];
    };
    let high = say.setup.channels[channel].longer;
    let way = |side: Side| say.way(channel, side);
    [format!("\u{2039} {shorter}: {}", way(high.other())), format!("{longer}: {} \u{203a}", way(high))]
}
