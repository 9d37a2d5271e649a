//! What more readings would win.

use super::safe::endpoints;
use crate::finding::SafeEndpoints;
use crate::setup::{Exact, Figure, Point, Setup, WorkRef};

/// So many readings are thought of: the factor falls fast up to here and slowly beyond.
pub const READINGS: usize = 10;

/// The windows of a way if the readings on its device were ten, with the mean and spread that they have.
#[derive(Clone, Debug)]
pub struct More {
    /// Channel number.
    pub channel: u8,
    /// The builder's word for the way.
    pub way: String,
    /// The works that would be read again.
    pub works: Vec<String>,
    /// The windows there would be.
    pub windows: Vec<[Exact; 2]>,
}

/// What ten readings of each point would win, for each way whose windows they would change.
pub fn readings(setup: &Setup, now: &[SafeEndpoints]) -> Vec<More> {
    let mut changed = setup.clone();
    let mut again = Vec::new();
    for (device, d) in changed.devices.iter_mut().enumerate() {
        for (work, w) in d.works.iter_mut().enumerate() {
            let points = [
                (Point::From, &w.clicks, Some(&mut w.from)),
                (Point::Releases, &w.releasing, w.releases.as_mut()),
            ];
            for (at, readings, point) in points {
                let few = readings.as_ref().filter(|readings| readings.taken.len() < READINGS);
                if let (Some(found), Some(point)) = (few.and_then(|few| few.point_of(READINGS)), point) {
                    *point = found;
                    again.push((WorkRef { device, work }, at));
                }
            }
        }
    }
    if again.is_empty() {
        return Vec::new();
    }
    // So many readings would leave nothing unknown of the point.
    changed.unknown.retain(|unknown| {
        !again.iter().any(|&(function, at)| unknown.figure == Figure::Tolerance(function, at))
    });
    let mut again: Vec<WorkRef> = again.into_iter().map(|(function, _)| function).collect();
    again.dedup();
    let then = endpoints(&changed);
    let differ = now.iter().zip(&then).filter(|(now, then)| now.windows != then.windows);
    let of = |(_, then): (&SafeEndpoints, &SafeEndpoints)| {
        let on = again.iter().filter(|function| {
            let channel = setup.channel_of(function.device);
            channel.is_some_and(|channel| setup.channels[channel].number == then.channel)
        });
        More {
            channel: then.channel,
            way: then.way.clone(),
            works: on.map(|function| setup.work_name(*function)).collect(),
            windows: then.windows.clone(),
        }
    };
    differ.map(of).filter(|more| !more.works.is_empty()).collect()
}
