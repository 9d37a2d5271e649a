//! The drawing: the receiver on the left with its outputs, the unit that some of them run through, and every
//! device at the end of its lead.

use serde_json::Value;

use crate::labels::Labels;
use crate::labels::text::plan;
use crate::labels::text::sheet::axes;
use crate::render::RenderError;
use crate::render::font::{self, Weight};
use crate::setup::{ChannelId, DeviceId, Input, Setup};
use crate::sheet::ink::{At, Ink};
use crate::words::{listed, plain};

/// The least height of the box in a row, a line in it, and what is clear below it, in millimetres.
const BOX: f64 = 9.5;
const HIGH: f64 = 3.1;
const CLEAR: f64 = 3.0;
const HEAD: f64 = 6.0;
/// Left and right edge of each column, as parts of the width.
const RECEIVER: [f64; 2] = [0.0, 0.2];
const UNIT: [f64; 2] = [0.27, 0.34];
const DEVICE: [f64; 2] = [0.5, 0.72];
const BEHIND: [f64; 2] = [0.8, 1.0];
const SIZE: f64 = 8.0;
const SMALL: f64 = 7.0;
const LINE: f64 = 0.35;

/// A row: the output it hangs on, and what is drawn in it.
struct Row {
    channel: Option<ChannelId>,
    /// The first of its output.
    first: bool,
    device: Option<DeviceId>,
    behind: Option<DeviceId>,
    /// The first behind its device.
    leads: bool,
}

/// Height and items.
pub(super) fn drawing(labels: &Labels, setup: &Setup, width: f64) -> Result<(f64, Vec<Value>), RenderError> {
    let rows = rows(setup);
    let mut page = Page { ink: Ink::default(), labels, setup, width, high: BOX };
    // All boxes are as high as the fullest of them.
    for row in &rows {
        for (column, bold, small) in page.boxes(row) {
            let count = page.lines(column, &bold, &small)?.len();
            page.high = page.high.max(HIGH * count as f64 + 0.8);
        }
    }
    page.heads()?;
    let step = page.high + CLEAR;
    for (n, row) in rows.iter().enumerate() {
        page.row(row, HEAD + step * n as f64, above(&rows, n))?;
    }
    page.unit(&rows);
    Ok((HEAD + step * rows.len() as f64, page.ink.items))
}

/// How many rows up the row lies from which this one branches off.
fn above(rows: &[Row], n: usize) -> usize {
    (1..=n).find(|up| rows[n - up].device.is_some() && rows[n - up].leads).unwrap_or(0)
}

/// What runs through the unit first, so that it is one block; then the other outputs, then what hangs on none.
fn rows(setup: &Setup) -> Vec<Row> {
    let through = |id: &ChannelId| setup.fail_safe.as_ref().is_some_and(|unit| unit.channels.contains(id));
    let all = 0..setup.channels.len();
    let (with, without): (Vec<_>, Vec<_>) = all.partition(through);
    let mut rows = Vec::new();
    for channel in with.into_iter().chain(without) {
        let before = rows.len();
        for (device, _) in setup.devices_on(channel) {
            let first = rows.len() == before;
            of_device(setup, Some(channel), first, device, &mut rows);
        }
        if rows.len() == before {
            rows.push(Row { channel: Some(channel), first: true, device: None, behind: None, leads: false });
        }
    }
    for (device, _) in setup.devices.iter().enumerate().filter(|(_, d)| d.input == Input::None) {
        of_device(setup, None, false, device, &mut rows);
    }
    rows
}

fn of_device(setup: &Setup, channel: Option<ChannelId>, first: bool, device: DeviceId, rows: &mut Vec<Row>) {
    let mut behind = Vec::new();
    all_behind(setup, device, &mut behind);
    let mut behind = behind.into_iter();
    rows.push(Row { channel, first, device: Some(device), behind: behind.next(), leads: true });
    for other in behind {
        rows.push(Row { channel, first: false, device: None, behind: Some(other), leads: false });
    }
}

/// Whatever stands behind a device, near or far.
fn all_behind(setup: &Setup, device: DeviceId, found: &mut Vec<DeviceId>) {
    for (id, other) in setup.devices.iter().enumerate() {
        if other.input == Input::Behind(device) && !found.contains(&id) {
            found.push(id);
            all_behind(setup, id, found);
        }
    }
}

struct Page<'a> {
    ink: Ink,
    labels: &'a Labels,
    setup: &'a Setup,
    width: f64,
    /// Height of every box.
    high: f64,
}

/// A box: its column, what stands in bold, and what below it.
type Boxed = ([f64; 2], String, String);

impl Page<'_> {
    fn across(&self, column: [f64; 2]) -> [f64; 2] {
        column.map(|part| part * self.width)
    }

    fn heads(&mut self) -> Result<(), RenderError> {
        let [left, _] = self.across(RECEIVER);
        self.ink.text([left, 2.0], self.labels.get(plan::RECEIVER), SIZE, At::Left, true);
        let [left, _] = self.across(DEVICE);
        self.ink.text([left, 2.0], self.labels.get(plan::DEVICES), SIZE, At::Left, true);
        Ok(())
    }

    /// One block over all outputs that run through it; its rows come first.
    fn unit(&mut self, rows: &[Row]) {
        let Some(unit) = &self.setup.fail_safe else { return };
        let through = |row: &&Row| row.channel.is_some_and(|id| unit.channels.contains(&id));
        let count = rows.iter().take_while(through).count();
        if count == 0 {
            return;
        }
        let [left, right] = self.across(UNIT);
        self.ink.frame([left, right], [HEAD, HEAD + (self.high + CLEAR) * count as f64 - CLEAR], LINE);
        let text = self.labels.get(plan::UNIT);
        self.ink.text([f64::midpoint(left, right), 2.0], text, SIZE, At::Centre, true);
    }

    fn boxes(&self, row: &Row) -> Vec<Boxed> {
        let kind = |id: DeviceId| self.labels.word(axes::KINDS, self.setup.devices[id].kind.name).to_owned();
        let name = |id: DeviceId| plain(&self.setup.devices[id].name);
        let mut all = Vec::new();
        if let Some(channel) = row.channel.filter(|_| row.first) {
            let channel = &self.setup.channels[channel];
            let name = channel.name.as_deref().map_or_else(String::new, plain);
            all.push((RECEIVER, format!("{} {name}", channel.number), String::new()));
        }
        all.extend(row.device.map(|id| (DEVICE, name(id), kind(id))));
        all.extend(row.behind.map(|id| {
            let lead = self.setup.devices[id].facts.lead.clone();
            (BEHIND, name(id), listed([Some(kind(id)), lead].into_iter().flatten()))
        }));
        all
    }

    fn row(&mut self, row: &Row, top: f64, up: usize) -> Result<(), RenderError> {
        for (column, bold, small) in self.boxes(row) {
            self.boxed(column, top, &bold, &small)?;
        }
        let middle = top + self.high / 2.0;
        let step = self.high + CLEAR;
        let from = self.across(RECEIVER)[1];
        let [device_left, device_right] = self.across(DEVICE);
        if let Some(id) = row.device {
            let device = &self.setup.devices[id];
            if let Some(channel) = row.channel {
                let unit = self.setup.fail_safe.as_ref().is_some_and(|unit| unit.channels.contains(&channel));
                let [unit_left, unit_right] = self.across(UNIT);
                if row.first && unit {
                    self.ink.line([from, middle], [unit_left, middle], LINE);
                    self.ink.line([unit_right, middle], [device_left, middle], LINE);
                } else if row.first {
                    self.ink.line([from, middle], [device_left, middle], LINE);
                } else {
                    // A second one on the same output hangs on the lead of the first.
                    let x = device_left - 4.0;
                    self.ink.line([x, middle], [device_left, middle], LINE);
                    self.ink.line([x, middle], [x, middle - step], LINE);
                }
                let room = [if unit { unit_right } else { unit_left }, device_left - 5.0];
                self.lead(device.facts.lead.as_deref(), room, middle)?;
            }
        }
        if row.behind.is_some() {
            let left = self.across(BEHIND)[0];
            if row.leads {
                self.ink.line([device_right, middle], [left, middle], LINE);
            } else {
                let x = f64::midpoint(device_right, left);
                self.ink.line([x, middle], [left, middle], LINE);
                self.ink.line([x, middle], [x, middle - step * up as f64], LINE);
            }
        }
        Ok(())
    }

    /// What the file says of a lead, above its line; where it says nothing there is room to write.
    fn lead(&mut self, lead: Option<&str>, [left, right]: [f64; 2], y: f64) -> Result<(), RenderError> {
        let Some(lead) = lead else { return Ok(()) };
        let lines = font::wrap(lead, SMALL, Weight::Regular, right - left - 2.0)?;
        let high = font::line_height(SMALL);
        for (n, line) in lines.iter().enumerate() {
            let up = (lines.len() - n) as f64 - 0.5;
            self.ink.text([left + 1.5, y - 0.4 - up * high], line, SMALL, At::Left, false);
        }
        Ok(())
    }

    /// The lines of a box, each with whether it is bold.
    fn lines(&self, column: [f64; 2], bold: &str, small: &str) -> Result<Vec<(String, bool)>, RenderError> {
        let [left, right] = self.across(column);
        let room = right - left - 3.0;
        let mut lines = Vec::new();
        for (text, size, weight) in [(bold, SIZE, Weight::Bold), (small, SMALL, Weight::Regular)] {
            if !text.is_empty() {
                let wrapped = font::wrap(text, size, weight, room)?;
                lines.extend(wrapped.into_iter().map(|line| (line, weight == Weight::Bold)));
            }
        }
        Ok(lines)
    }

    fn boxed(&mut self, column: [f64; 2], top: f64, bold: &str, small: &str) -> Result<(), RenderError> {
        let lines = self.lines(column, bold, small)?;
        let [left, right] = self.across(column);
        self.ink.frame([left, right], [top, top + self.high], LINE);
        let first = top + (self.high - HIGH * lines.len() as f64) / 2.0;
        for (n, (line, bold)) in lines.iter().enumerate() {
            let y = first + HIGH * (n as f64 + 0.5);
            self.ink.text([left + 1.5, y], line, if *bold { SIZE } else { SMALL }, At::Left, *bold);
        }
        Ok(())
    }
}
