//! The axes of the devices for whoever draws them, in percent of full travel, version 1. Frozen like the
//! report of `check`.

use super::axis::{about_work, fed_by};
use super::json_v1::percent;
use super::lanes::told;
use crate::axes::{Axes, Lane, Lanes, Shows};
use crate::setup::{DeviceId, Exact, Input, Setup, WorkRef};
use serde::Serialize;

#[derive(Debug, Serialize)]
pub(super) struct AxisV1<'a> {
    device: &'a str,
    /// What it is and where it gets its pulse from, in words.
    about: String,
    /// The channel it hangs on, directly or behind others.
    channel: Option<u8>,
    /// The builder's words for the ways to the shorter and to the longer pulse.
    ways: [Option<&'a str>; 2],
    /// The axis goes from minus to plus this.
    half: f64,
    lanes: Vec<LaneV1<'a>>,
}

#[derive(Debug, Serialize)]
struct LaneV1<'a> {
    shows: &'static str,
    /// The work, where it shows one.
    work: Option<&'a str>,
    about: Option<String>,
    emergency: bool,
    perhaps: Vec<[f64; 2]>,
    surely: Vec<[f64; 2]>,
    marks: Vec<f64>,
    value: String,
}

/// Every device with an axis to show, in file order.
pub(super) fn axes(setup: &Setup) -> Vec<AxisV1<'_>> {
    let axes = Axes::new(setup);
    (0..setup.devices.len()).filter_map(|id| axis(setup, id, axes.lanes(id)?)).collect()
}

fn axis(setup: &Setup, id: DeviceId, drawn: Lanes) -> Option<AxisV1<'_>> {
    let device = &setup.devices[id];
    let mut ways = [None; 2];
    if let Input::Channel(channel) = device.input
        && let Some(control) = setup.channels[channel].control
    {
        let high = setup.channels[channel].longer.index();
        let words = &setup.controls[control].ways;
        ways = [Some(words[1 - high].as_str()), Some(words[high].as_str())];
    }
    Some(AxisV1 {
        device: &device.name,
        about: fed_by(setup, device),
        channel: setup.channel_of(id).map(|channel| setup.channels[channel].number),
        ways,
        half: percent(&drawn.half),
        lanes: drawn.lanes.into_iter().map(|each| lane(setup, id, each)).collect(),
    })
}

fn lane(setup: &Setup, id: DeviceId, lane: Lane) -> LaneV1<'_> {
    let works = &setup.devices[id].works;
    let (shows, work) = match lane.shows {
        Shows::Ends => ("ends", None),
        Shows::Reached => ("reached", None),
        Shows::Function(work) => ("work", Some(work)),
        Shows::Still => ("still", None),
        Shows::PastStop => ("past stop", None),
    };
    let stretch = |[low, high]: &[Exact; 2]| [percent(low), percent(high)];
    LaneV1 {
        shows,
        work: work.map(|work| works[work].name.as_str()),
        about: work.map(|work| about_work(setup, WorkRef { device: id, work })),
        emergency: work.is_some_and(|work| works[work].kind.emergency),
        perhaps: lane.perhaps.iter().map(stretch).collect(),
        surely: lane.surely.iter().map(stretch).collect(),
        marks: lane.marks.iter().map(percent).collect(),
        value: told(&lane.said),
    }
}
