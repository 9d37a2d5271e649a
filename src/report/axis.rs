//! A picture of a device's axis in characters: where rest lies, the ends as they are set, what the
//! sticks can reach, and the works and stops that lie there. Each thing has a row of its own, all
//! rows share one scale, so what overlaps stands one below the other. No colour is needed.

use super::Look;
use super::text::{signed, signed_percent};
use crate::rule::ChannelReach;
use crate::setup::{Device, DeviceId, Exact, Input, Reserved, Setup, Side, SubTrimDoes, Toleranced, WorkRef};
use std::fmt::Write;

/// Columns on either side of rest.
const HALF: usize = 25;
const LABEL: usize = 12;

/// What may stand in a row, strongest last: where two fall into one column the stronger is seen.
#[derive(Clone, Copy, PartialEq, PartialOrd)]
enum Ink {
    Line,
    Perhaps,
    Sure,
    End,
    Rest,
}

struct Pen {
    ink: [char; 5],
}

impl Pen {
    fn of(look: Look) -> Self {
        let ink = if look.unicode { ['─', '▒', '█', '┃', '│'] } else { ['.', '~', '#', '!', '|'] };
        Self { ink }
    }

    fn draw(&self, ink: Ink) -> char {
        match ink {
            Ink::Line => self.ink[0],
            Ink::Perhaps => self.ink[1],
            Ink::Sure => self.ink[2],
            Ink::End => self.ink[3],
            Ink::Rest => self.ink[4],
        }
    }
}

/// The scale of one picture.
struct Axis {
    /// What half of the axis stands for; a multiple of 25 %.
    half: Exact,
}

impl Axis {
    fn column(&self, at: &Exact) -> usize {
        let steps = at * Exact::int(HALF as i64) / &self.half;
        let column = steps.round_to(&Exact::ONE).floor().unwrap_or(0) + HALF as i64;
        usize::try_from(column).unwrap_or(0).min(2 * HALF)
    }

    fn row(&self) -> Vec<Ink> {
        let mut row = vec![Ink::Line; 2 * HALF + 1];
        row[HALF] = Ink::Rest;
        row
    }

    /// Inks the closed stretch, without covering what is stronger.
    fn fill(&self, row: &mut [Ink], low: &Exact, high: &Exact, ink: Ink) {
        if low > high {
            return;
        }
        for cell in &mut row[self.column(low)..=self.column(high)] {
            if *cell < ink {
                *cell = ink;
            }
        }
    }

    /// The scale itself, with numbers at full output where there is room for them.
    fn numbers(&self) -> String {
        let outer = if self.half > Exact::int(2) { self.half.clone() } else { Exact::ONE };
        let mut cells = vec![' '; 2 * HALF + 1];
        for halves in -2..=2 {
            let value = &outer * Exact::ratio(halves, 2);
            let text: Vec<char> = signed(&value, 1).chars().collect();
            let start = self.column(&value).saturating_sub(text.len() / 2);
            let start = start.min(cells.len() - text.len());
            for (cell, letter) in cells[start..].iter_mut().zip(text) {
                *cell = letter;
            }
        }
        cells.into_iter().collect::<String>().trim_end().to_owned()
    }
}

/// The picture of one device, or nothing for one that has no axis to show.
pub fn picture(setup: &Setup, id: DeviceId, reach: &[ChannelReach], look: Look) -> Option<String> {
    let device = &setup.devices[id];
    let hull = reached(setup, device, reach);
    let bare = device.works.is_empty() && device.stops.iter().all(Option::is_none);
    if device.input == Input::None || (bare && device.still_between.is_none() && hull.is_none()) {
        return None;
    }
    let axis = Axis { half: half(setup, device, hull.as_ref()) };
    let pen = Pen::of(look);
    let mut out = format!("  {}: {}\n", device.name, fed_by(setup, device));
    let _ = writeln!(out, "{:15}{}", "", sides(setup, device));
    let _ = writeln!(out, "{:15}{}", "  %", axis.numbers());
    let mut row = |label: &str, cells: &[Ink], value: &str| {
        let strip: String = cells.iter().map(|i| pen.draw(*i)).collect();
        let line = format!("  {:LABEL$} {strip} {value}", shortened(label));
        let _ = writeln!(out, "{}", line.trim_end());
    };
    if let Some(ends) = ends(setup, device) {
        let mut cells = axis.row();
        for end in &ends {
            axis.fill(&mut cells, end, end, Ink::End);
        }
        row("ends as set", &cells, &ends.iter().map(|end| signed(end, 1)).collect::<Vec<_>>().join(" "));
    }
    if let Some(Reach { hull: [low, high], common }) = &hull {
        let mut cells = axis.row();
        let (before, behind) = (setup.slack(id, -1, false), setup.slack(id, 1, false));
        axis.fill(&mut cells, &(low - before), &(high + behind), Ink::Perhaps);
        axis.fill(&mut cells, &common[0], &common[1], Ink::Sure);
        row("reached", &cells, &format!("{} {}", signed(low, 1), signed(high, 1)));
    }
    for work in &device.works {
        let mut cells = axis.row();
        zone(&axis, &mut cells, work.sign, &work.from, work.to.as_ref());
        row(&work.name, &cells, &toleranced(&work.from));
    }
    if let Some([low, high]) = &device.still_between {
        let mut cells = axis.row();
        axis.fill(&mut cells, low, high, Ink::Sure);
        row("stands still", &cells, &format!("{} {}", signed(low, 1), signed(high, 1)));
    }
    if device.stops.iter().any(Option::is_some) {
        let mut cells = axis.row();
        let mut values = Vec::new();
        for (stop, sign) in device.stops.iter().zip([-1, 1]) {
            if let Some(stop) = stop {
                // A tolerance on a stop brings it nearer.
                zone(&axis, &mut cells, sign, stop, None);
                values.push(signed(&stop.value, 1));
            }
        }
        row("past a stop", &cells, &values.join(" "));
    }
    for (index, _) in device.works.iter().enumerate() {
        let _ = writeln!(out, "    {}", about_work(setup, WorkRef { device: id, work: index }));
    }
    Some(out)
}

/// What the two shades mean; once below all pictures.
pub fn legend(look: Look) -> String {
    let pen = Pen::of(look);
    let (sure, perhaps, end) = (pen.draw(Ink::Sure), pen.draw(Ink::Perhaps), pen.draw(Ink::End));
    let rest = pen.draw(Ink::Rest);
    format!(
        "  {sure} surely   {end} an end as set   {rest} rest\n  {perhaps} perhaps: within a tolerance, or \
         by the order in which the set does its sums\n  Where shades of one column meet, the \
         figures decide; a column is wide.\n"
    )
}

/// A stretch that begins at a threshold and goes on away from rest, or to where it ends.
fn zone(axis: &Axis, cells: &mut [Ink], sign: i32, from: &Toleranced, to: Option<&Toleranced>) {
    let far = if sign < 0 { -&axis.half } else { axis.half.clone() };
    let (may, surely) = (from.nearest(sign), from.farthest(sign));
    let (may_end, sure_end) = to.map_or((far.clone(), far), |to| (to.farthest(sign), to.nearest(sign)));
    for (a, b, ink) in [(may, may_end, Ink::Perhaps), (surely, sure_end, Ink::Sure)] {
        let (low, high) = if sign < 0 { (b, a) } else { (a, b) };
        axis.fill(cells, &low, &high, ink);
    }
}

fn half(setup: &Setup, device: &Device, reach: Option<&Reach>) -> Exact {
    let mut most = setup.furthest_either();
    let works = device.works.iter().flat_map(|w| [Some(&w.from), w.to.as_ref()]);
    for at in works.chain(device.stops.iter().map(Option::as_ref)).flatten() {
        most = most.max(at.value.abs() + &at.off);
    }
    for end in reach.iter().flat_map(|r| &r.hull) {
        most = most.max(end.abs());
    }
    let steps = (most * Exact::int(4)).ceil().unwrap_or(4).max(4);
    Exact::ratio(steps, 4)
}

/// How far a device is driven.
struct Reach {
    /// In one or other order that the file leaves open.
    hull: [Exact; 2],
    /// In every one of them.
    common: [Exact; 2],
}

fn reached(setup: &Setup, device: &Device, reach: &[ChannelReach]) -> Option<Reach> {
    match device.input {
        Input::None => None,
        Input::Behind(other) => {
            let limits = setup.devices[other].limits.clone()?;
            Some(Reach { hull: limits.clone(), common: limits })
        }
        Input::Channel(channel) => {
            let number = setup.channels[channel].number;
            let of = reach.iter().filter(|r| r.channel == number);
            let (low, high) = (of.clone().map(|r| r.low.clone()), of.map(|r| r.high.clone()));
            Some(Reach {
                hull: [low.clone().reduce(Exact::min)?, high.clone().reduce(Exact::max)?],
                common: [low.reduce(Exact::max)?, high.reduce(Exact::min)?],
            })
        }
    }
}

/// The endpoints on the axis: one to each side, or all those possible where the file leaves open by
/// what they are named or what the sub-trim does to them.
fn ends(setup: &Setup, device: &Device) -> Option<Vec<Exact>> {
    let Input::Channel(id) = device.input else {
        return None;
    };
    let channel = &setup.channels[id];
    let shifted = match setup.transmitter.order.sub_trim {
        Some(SubTrimDoes::ShiftsEnds) => vec![channel.sub_trim.clone()],
        Some(SubTrimDoes::KeepsEnds) => vec![Exact::ZERO],
        None => vec![Exact::ZERO, channel.sub_trim.clone()],
    };
    let mut all = Vec::new();
    for named in Side::BOTH {
        for way in setup.limited_by(id, named) {
            let end =
                &channel.endpoints[named.index()] * Exact::int((channel.longer.sign() * way.sign()).into());
            all.extend(shifted.iter().map(|by| setup.position_of_output(&(&end + by))));
        }
    }
    all.sort();
    all.dedup();
    Some(all)
}

fn fed_by(setup: &Setup, device: &Device) -> String {
    let kind = device.kind.name.replace('_', " ");
    match device.input {
        Input::Channel(channel) => format!("{kind} on {}", setup.channel_title(channel)),
        Input::Behind(other) => format!("{kind} behind {}", setup.devices[other].name),
        Input::None => kind,
    }
}

/// Which way of the control lies on which side, over the two halves of the scale.
fn sides(setup: &Setup, device: &Device) -> String {
    let (mut shorter, mut longer) = (String::new(), String::new());
    if let Input::Channel(channel) = device.input
        && let Some(control) = setup.channels[channel].control
    {
        let high = setup.channels[channel].longer.index();
        let ways = &setup.controls[control].ways;
        shorter = format!(" ({})", ways[1 - high]);
        longer = format!("({}) ", ways[high]);
    }
    let left = format!("< shorter{shorter}");
    let right = format!("{longer}longer >");
    let room = (2 * HALF + 1).saturating_sub(left.chars().count() + right.chars().count()).max(1);
    format!("{left}{:room$}{right}", "")
}

fn shortened(label: &str) -> String {
    if label.chars().count() <= LABEL {
        return label.to_owned();
    }
    label.chars().take(LABEL - 2).chain("..".chars()).collect()
}

fn toleranced(at: &Toleranced) -> String {
    if at.off.is_zero() {
        return signed(&at.value, 1);
    }
    format!("{} ±{}", signed(&at.value, 1), super::text::digits(&at.off, 1))
}

/// `gas: emergency gas valve from +72 %, never within the pilot's reach`
fn about_work(setup: &Setup, reference: WorkRef) -> String {
    let work = setup.work(reference);
    let mut text = format!("{}: {}", work.name, work.kind.name.replace('_', " "));
    let _ = write!(text, " from {}", signed_percent(&work.from.value));
    if let Some(to) = &work.to {
        let _ = write!(text, " to {}", signed_percent(&to.value));
    }
    let mut wanted = Vec::new();
    for channel in &setup.channels {
        let Some(control) = channel.control else {
            continue;
        };
        for side in Side::BOTH {
            if channel.wants[side.index()].iter().any(|w| w.work == reference) {
                let control = &setup.controls[control];
                wanted.push(format!("{} {}", control.name, control.ways[side.index()]));
            }
        }
    }
    if !wanted.is_empty() {
        let _ = write!(text, ", wanted by {}", wanted.join(" and "));
    }
    match work.reserved {
        _ if work.kind.emergency => text.push_str(", never within the pilot's reach"),
        Reserved::Always => text.push_str(", reserved"),
        Reserved::Unless(switch, setting) => {
            let switch = &setup.controls[switch];
            let _ = write!(text, ", reserved unless {} is {}", switch.name, switch.settings[setting]);
        }
        Reserved::No => {}
    }
    text
}
