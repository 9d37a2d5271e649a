//! A picture of a device's axis in characters: where rest lies, the ends as they are set, what the
//! sticks can reach, and the works and stops that lie there. Each thing has a row of its own, all
//! rows share one scale, so what overlaps stands one below the other. No colour is needed.

use super::Look;
use super::lanes::told;
use super::text::{signed, signed_percent};
use crate::axes::{Axes, Lanes, Shows};
use crate::setup::{Device, DeviceId, Exact, Input, Reserved, Setup, Side, WorkRef};
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
pub fn picture(setup: &Setup, axes: &Axes, id: DeviceId, look: Look) -> Option<String> {
    let device = &setup.devices[id];
    let Lanes { half, lanes } = axes.lanes(id)?;
    let axis = Axis { half };
    let pen = Pen::of(look);
    let mut out = format!("  {}: {}\n", device.name, fed_by(setup, device));
    let _ = writeln!(out, "{:15}{}", "", sides(setup, device));
    let _ = writeln!(out, "{:15}{}", "  %", axis.numbers());
    for lane in &lanes {
        let mut cells = axis.row();
        for (stretches, ink) in [(&lane.perhaps, Ink::Perhaps), (&lane.surely, Ink::Sure)] {
            stretches.iter().for_each(|[low, high]| axis.fill(&mut cells, low, high, ink));
        }
        lane.marks.iter().for_each(|at| axis.fill(&mut cells, at, at, Ink::End));
        let strip: String = cells.iter().map(|i| pen.draw(*i)).collect();
        let label = match &lane.shows {
            Shows::Ends => "ends as set",
            Shows::Reached => "reached",
            Shows::Function(work) => &device.works[*work].name,
            Shows::Still => "stands still",
            Shows::PastStop => "past a stop",
        };
        let line = format!("  {:LABEL$} {strip} {}", shortened(label), told(&lane.said));
        let _ = writeln!(out, "{}", line.trim_end());
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

pub(super) fn fed_by(setup: &Setup, device: &Device) -> String {
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

/// `gas: emergency gas valve from +72 %, never within the pilot's reach`
pub(super) fn about_work(setup: &Setup, reference: WorkRef) -> String {
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
