//! The lanes of one drawing, from top to bottom.

use serde_json::Value;

use super::super::ink::{At, Ink, wide};
use super::super::say::{Say, held, switched};
use super::scale::{GUTTER, Scale};
use crate::chain::{self, Order};
use crate::finding::WayWindows;
use crate::labels::text::sheet::axes;
use crate::render::RenderError;
use crate::render::font::{self, Weight};
use crate::rule::states::Place;
use crate::setup::{
    ChannelId, ControlId, DeviceId, EndpointSide, Exact, Reserved, Side, Toleranced, WorkRef,
};
use crate::words::plain;

/// Grey of what surely is.
pub(in crate::sheet) const SURE: f64 = 0.45;
/// Grey of a side on which the pilot has no business.
const FORBIDDEN: f64 = 0.9;
const SIZE: f64 = 7.5;
const SMALL: f64 = 7.0;
/// Height of a lane and of the bar in it.
const LANE: f64 = 4.6;
const BAR: f64 = 2.8;

/// How far a device is driven.
pub(super) struct Reach {
    /// The guard that is as its work asks; without one, every guard is as it ought to be.
    pub(super) guard: Option<(ControlId, usize)>,
    /// In one or other order that the file leaves open.
    pub(super) hull: [Exact; 2],
    /// In every one of them.
    pub(super) common: [Exact; 2],
}

/// Hatched: it may be so.
pub(in crate::sheet) fn may(ink: &mut Ink, across: [f64; 2], down: [f64; 2]) {
    ink.hatch(across, down, 1.0);
    ink.frame(across, down, 0.15);
}

/// Lanes being drawn.
pub(super) struct Lanes<'a> {
    say: &'a Say<'a>,
    id: DeviceId,
    scale: Scale,
    /// Behind everything, once the height is known: from where on, towards which sign.
    forbidden: Vec<(f64, i32)>,
    ink: Ink,
    y: f64,
    /// Where the lanes begin below the numbers.
    top: f64,
}

impl<'a> Lanes<'a> {
    pub(super) fn new(say: &'a Say<'a>, id: DeviceId, scale: Scale) -> Self {
        let device = &say.setup.devices[id];
        // Behind a guard the pilot has business: that reach has a lane of its own.
        let works = device.works.iter().filter(|w| match w.reserved {
            Reserved::Always => true,
            Reserved::No => w.kind.emergency,
            Reserved::Unless(..) => false,
        });
        let mut forbidden: Vec<(f64, i32)> =
            works.map(|w| (scale.x(&w.from.nearest(w.sign)), w.sign)).collect();
        for (stop, sign) in device.stops.iter().zip([-1, 1]) {
            forbidden.extend(stop.as_ref().map(|stop| (scale.x(&stop.nearest(sign)), sign)));
        }
        Self { say, id, scale, forbidden, ink: Ink::default(), y: 0.0, top: 0.0 }
    }

    /// Where the ground of a side begins: of several the one nearest to rest covers the others.
    fn ground(&self, sign: i32) -> f64 {
        let edges = self.forbidden.iter().filter(|(_, s)| *s == sign).map(|(x, _)| *x);
        edges.fold(self.scale.end(sign), if sign < 0 { f64::max } else { f64::min })
    }

    /// Figures in a lane; a guide that would run through them is covered.
    fn tag(&mut self, [x, y]: [f64; 2], text: &str, at: At, bold: bool) -> Result<(), RenderError> {
        let long = wide(text, SMALL, bold)?;
        let left = match at {
            At::Left => x,
            At::Centre => x - long / 2.0,
            At::Right => x - long,
        };
        let right = left + long;
        if self.forbidden.iter().any(|(guide, _)| (left - 0.4..right + 0.4).contains(guide)) {
            let middle = f64::midpoint(left, right);
            let outside = !(self.scale.left..=self.scale.right).contains(&middle);
            let clear = outside || (self.ground(-1)..=self.ground(1)).contains(&middle);
            let (mut from, mut to) = (left - 0.4, right + 0.4);
            if !clear {
                (from, to) = (from.max(self.scale.left), to.min(self.scale.right));
            }
            self.ink.fill([from, to], [y - 1.3, y + 1.3], if clear { 1.0 } else { FORBIDDEN });
        }
        self.ink.text([x, y], text, SMALL, at, bold);
        Ok(())
    }

    /// How long a line of figures beside rest may be on a side.
    fn room(&self, sign: i32) -> f64 {
        let clear = (self.ground(sign) - self.scale.rest()).abs() - 2.5;
        let all = self.scale.rest() - self.scale.left - 2.5;
        // Too narrow a column reads worse than a covered guide.
        if clear < 24.0 { all } else { clear }
    }

    fn label(&mut self, text: &str) -> Result<(), RenderError> {
        let lines = font::wrap(text, SIZE, Weight::Regular, GUTTER)?;
        let high = font::line_height(SIZE);
        for (n, line) in lines.iter().enumerate() {
            self.ink.text([0.0, self.y + LANE / 2.0 + n as f64 * high], line, SIZE, At::Left, false);
        }
        Ok(())
    }

    /// Moves on below a lane whose name took this many lines.
    fn next(&mut self, name: &str) -> Result<(), RenderError> {
        let lines = font::wrap(name, SIZE, Weight::Regular, GUTTER)?.len().max(1);
        self.y += LANE + (lines - 1) as f64 * font::line_height(SIZE);
        Ok(())
    }

    fn bar(&self) -> [f64; 2] {
        let middle = self.y + LANE / 2.0;
        [middle - BAR / 2.0, middle + BAR / 2.0]
    }

    fn middle(&self) -> f64 {
        self.y + LANE / 2.0
    }

    /// The scale itself: ways, percent, microseconds.
    pub(super) fn numbers(&mut self, [shorter, longer]: [String; 2]) {
        let (left, right) = (self.scale.left, self.scale.right);
        self.ink.text([left, 1.8], &shorter, SIZE, At::Left, true);
        self.ink.text([right, 1.8], &longer, SIZE, At::Right, true);
        self.ink.text([0.0, 5.4], "%", SIZE, At::Left, false);
        self.ink.text([0.0, 8.6], self.say.get(axes::MICROS), SIZE, At::Left, false);
        let quarters = (&self.scale.half * Exact::int(4)).ceil().unwrap_or(4);
        // Where numbers would crowd, every other one.
        let step = if quarters > 6 { 2 } else { 1 };
        for n in -quarters..=quarters {
            let at = Exact::ratio(n, 4);
            let x = self.scale.x(&at);
            if n % step == 0 {
                let percent = (&at * Exact::int(100)).to_decimal(0).replace('-', "\u{2212}");
                let plus = if n > 0 { "+" } else { "" };
                self.ink.text([x, 5.4], &format!("{plus}{percent}"), SMALL, At::Centre, false);
                let pulse = self.say.setup.axis.pulse_at(&at).0.to_decimal(0);
                self.ink.text([x, 8.6], &pulse, SMALL, At::Centre, false);
            }
            self.ink.line([x, 10.4], [x, 11.4], 0.2);
        }
        self.ink.line([left, 11.4], [right, 11.4], 0.3);
        self.y = 12.0;
        self.top = 11.4;
    }

    /// Hatched where it may engage, filled where it surely does; its figures on the side that is free.
    pub(super) fn work(&mut self, index: usize) -> Result<(), RenderError> {
        let reference = WorkRef { device: self.id, work: index };
        let work = self.say.setup.work(reference);
        let name = plain(&work.name);
        self.label(&name)?;
        let bar = self.bar();
        let (sign, end) = (work.sign, self.scale.end(work.sign));
        let [near, sure] = [work.from.nearest(sign), work.from.farthest(sign)].map(|p| self.scale.x(&p));
        let (far, sure_end) = work
            .to
            .as_ref()
            .map_or((end, end), |to| (self.scale.x(&to.farthest(sign)), self.scale.x(&to.nearest(sign))));
        may(&mut self.ink, sorted(near, far), bar);
        let filled = sorted(sure, sure_end);
        if (sign > 0) == (sure_end > sure) {
            self.ink.fill(filled, bar, SURE);
        }
        if let Some(full) = &work.full {
            let x = self.scale.x(&full.value);
            self.ink.line([x, bar[0] - 0.4], [x, bar[1] + 0.4], 0.5);
        }
        if let Some(releases) = &work.releases {
            let x = self.scale.x(&releases.value);
            self.ink.dashed([x, bar[0] - 0.4], [x, bar[1] + 0.4], 0.3);
        }
        let mut said = self.say.fill(axes::From { at: &self.say.toleranced(&work.from) });
        let say = self.say;
        let at = |edge: &Option<Toleranced>| edge.as_ref().map(|at| say.toleranced(at));
        let full = at(&work.full).map(|at| say.fill(axes::Full { at: &at }));
        let to = at(&work.to).map(|at| say.fill(axes::To { at: &at }));
        let releases = at(&work.releases).map(|at| say.fill(axes::Releases { at: &at }));
        for more in [full, to, releases].into_iter().flatten() {
            said = format!("{said}, {more}");
        }
        let kind = self.say.kind(reference);
        if kind != name && !work.kind.nameless {
            said = format!("{kind} {said}");
        }
        let lines = font::wrap(&said, SMALL, Weight::Regular, self.room(-sign))?;
        let at = if sign > 0 { At::Right } else { At::Left };
        let x = self.scale.rest() - f64::from(sign) * 1.5;
        for (n, line) in lines.iter().enumerate() {
            let y = self.middle() + n as f64 * font::line_height(SMALL);
            self.tag([x, y], line, at, false)?;
        }
        self.y += (lines.len().max(1) - 1) as f64 * font::line_height(SMALL);
        self.next(&name)
    }

    /// The band in which a controller or leveller does nothing.
    pub(super) fn still(&mut self) {
        let Some([low, high]) = self.say.setup.devices[self.id].still_between.clone() else { return };
        let name = self.say.get(axes::STILL).to_owned();
        self.ink.text([0.0, self.middle()], &name, SIZE, At::Left, false);
        let across = [self.scale.x(&low), self.scale.x(&high)];
        let bar = self.bar();
        self.ink.fill(across, bar, SURE);
        let y = self.middle();
        self.ink.text([across[0] - 1.0, y], &self.say.signed(&low), SMALL, At::Right, false);
        self.ink.text([across[1] + 1.0, y], &self.say.signed(&high), SMALL, At::Left, false);
        self.y += LANE;
    }

    /// Hatched where something may bind, filled where it surely does.
    pub(super) fn stops(&mut self) {
        let stops = self.say.setup.devices[self.id].stops.clone();
        if stops.iter().all(Option::is_none) {
            return;
        }
        let name = self.say.get(axes::STOPS).to_owned();
        self.ink.text([0.0, self.middle()], &name, SIZE, At::Left, false);
        for (stop, sign) in stops.iter().zip([-1, 1]) {
            let Some(stop) = stop else { continue };
            let bar = self.bar();
            let [near, sure] = [stop.nearest(sign), stop.farthest(sign)].map(|p| self.scale.x(&p));
            let end = self.scale.end(sign);
            may(&mut self.ink, sorted(near, end), bar);
            self.ink.fill(sorted(sure, end), bar, SURE);
            let (at, y) = (if sign < 0 { At::Left } else { At::Right }, self.middle());
            let x = near - f64::from(sign) * 1.2;
            self.ink.text([x, y], &self.say.toleranced(stop), SMALL, at, false);
        }
        self.y += LANE;
    }

    /// Brackets round the endpoints that are safe, a pointer at the one that is set.
    pub(super) fn endpoints(
        &mut self,
        channel: ChannelId,
        windows: &[WayWindows],
    ) -> Result<(), RenderError> {
        let setup = self.say.setup;
        if setup.channels[channel].control.is_none() {
            return Ok(());
        }
        let name = self.say.get(axes::ENDPOINTS).to_owned();
        self.label(&name)?;
        let bar = self.bar();
        let mut tall = 1;
        for side in Side::BOTH {
            let sign = setup.channels[channel].longer.sign() * self.limited(channel, side).sign();
            let set = &setup.channels[channel].endpoints[side.index()];
            let at = self.scale.x(&self.held(channel, side, set));
            let way = self.say.way(channel, side);
            let mut said = self.say.fill(axes::Set { way: &way, value: &self.say.percent(set) });
            let here = |w: &&WayWindows| {
                let control = setup.channels[channel].control.map(|c| &setup.controls[c]);
                w.channel == setup.channels[channel].number
                    && control.is_some_and(|c| c.ways[side.index()] == w.way)
            };
            if let Some(found) = windows.iter().find(here) {
                for [low, high] in &found.windows {
                    let ends = [low, high].map(|v| self.scale.x(&self.held(channel, side, v)));
                    self.bracket(sorted(ends[0], ends[1]), bar);
                    let (low, high) = (self.say.percent(low), self.say.percent(high));
                    let safe = self.say.fill(axes::Safe { low: &low, high: &high });
                    said = format!("{said}, {safe}");
                }
                if let Some(best) = &found.best {
                    let x = self.scale.x(&self.held(channel, side, best));
                    self.ink.line([x, bar[0]], [x, bar[1]], 0.5);
                    said =
                        format!("{said}, {}", self.say.fill(axes::Best { value: &self.say.percent(best) }));
                }
            }
            self.ink.pointer([at, bar[1] - 0.3]);
            // Below, in the half of the scale that is this way's own.
            let x = self.scale.rest() + f64::from(sign) * 1.5;
            let lines = font::wrap(&said, SMALL, Weight::Regular, self.room(sign))?;
            for (n, line) in lines.iter().enumerate() {
                let y = self.y + LANE + 1.3 + n as f64 * font::line_height(SMALL);
                self.tag([x, y], line, if sign < 0 { At::Right } else { At::Left }, false)?;
            }
            tall = tall.max(lines.len());
        }
        self.y += LANE + 0.2 + tall as f64 * font::line_height(SMALL);
        Ok(())
    }

    fn bracket(&mut self, [left, right]: [f64; 2], [top, bottom]: [f64; 2]) {
        let middle = f64::midpoint(top, bottom);
        self.ink.line([left, middle], [right, middle], 0.35);
        for (x, inward) in [(left, 1.0), (right, -1.0)] {
            self.ink.line([x, top], [x, bottom], 0.35);
            self.ink.line([x, top], [x + inward, top], 0.35);
            self.ink.line([x, bottom], [x + inward, bottom], 0.35);
        }
    }

    /// Where an endpoint of this value would bring the way that it limits, held fully in whatever
    /// setting lets it go furthest.
    fn held(&self, channel: ChannelId, side: Side, endpoint: &Exact) -> Exact {
        let mut changed = self.say.setup.clone();
        changed.channels[channel].endpoints[side.index()] = endpoint.clone();
        let limited = self.limited(channel, side);
        let switch = changed.channels[channel].rate[limited.index()].switch;
        let Some(control) = changed.channels[channel].control else { return Exact::ZERO };
        let last = changed.controls[control].settings.len().saturating_sub(1);
        let inputs =
            held(&changed, control, limited.position(), if limited == Side::High { last } else { 0 });
        let settings = switch.map_or(1, |s| changed.controls[s].settings.len());
        let outputs = (0..settings).map(|n| {
            let inputs = match switch {
                Some(switch) => switched(&changed, inputs.clone(), switch, n),
                None => inputs.clone(),
            };
            chain::output(&changed, channel, &inputs, &self.order())
        });
        outputs.reduce(|a, b| if b.abs() > a.abs() { b } else { a }).unwrap_or(Exact::ZERO)
    }

    /// The way that an endpoint limits: another than it is named after where the set names endpoints
    /// by the side of the pulse and the channel is reversed.
    fn limited(&self, channel: ChannelId, side: Side) -> Side {
        let exchanged =
            self.order().side == EndpointSide::Pulse && self.say.setup.channels[channel].longer == Side::Low;
        if exchanged { side.other() } else { side }
    }

    /// Of several possible orders the first: a bracket is drawn once.
    fn order(&self) -> Order {
        self.say.context.orders.first().copied().unwrap_or(crate::rule::states::ANY_ORDER)
    }

    /// What the sticks can do: filled in every order, hatched in some and by what servo and pulse are off.
    pub(super) fn reach(&mut self, reach: &Reach) -> Result<(), RenderError> {
        let name = match reach.guard {
            None => self.say.get(axes::PILOTING).to_owned(),
            Some((switch, setting)) => {
                let switch = &self.say.setup.controls[switch];
                let setting = switch.settings.get(setting).map_or("", |s| s.as_str());
                self.say.fill(axes::Guarded { switch: &plain(&switch.name), setting: &plain(setting) })
            }
        };
        self.ink.text([0.0, self.middle()], &name, SIZE, At::Left, true);
        let ends = self.outer(&reach.hull, false);
        let sure = [self.scale.x(&reach.common[0]), self.scale.x(&reach.common[1])];
        self.figures(ends, sure, &reach.hull)
    }

    fn outer(&self, [low, high]: &[Exact; 2], by_unit: bool) -> [f64; 2] {
        let setup = self.say.setup;
        let (before, behind) = (setup.slack(self.id, -1, by_unit), setup.slack(self.id, 1, by_unit));
        [self.scale.x(&(low - before)), self.scale.x(&(high + behind))]
    }

    fn figures(&mut self, ends: [f64; 2], sure: [f64; 2], said: &[Exact; 2]) -> Result<(), RenderError> {
        let bar = self.bar();
        may(&mut self.ink, ends, bar);
        self.ink.fill(sure, bar, 0.0);
        let y = self.middle();
        let [low, high] = said.each_ref().map(|v| self.say.signed(v));
        self.tag([ends[0] - 1.0, y], &low, At::Right, true)?;
        self.tag([ends[1] + 1.0, y], &high, At::Left, true)?;
        self.y += LANE;
        Ok(())
    }

    /// The room between the reach and what lies next to it, and how far a wanted work is passed.
    pub(super) fn margins(&mut self, reach: &Reach) -> Result<(), RenderError> {
        let rooms = self.rooms(reach);
        let mut rows: Vec<Vec<[f64; 2]>> = Vec::new();
        let first = self.y;
        for (from, to, text) in rooms {
            let across = sorted(from, to);
            let long = wide(&text, SMALL, false)?;
            // Towards rest the lanes are clear; where that is too short, behind the outer end.
            let right_hand = f64::midpoint(from, to) > self.scale.rest();
            let (inner, outer) = if right_hand {
                (across[0] - 1.0 - long, across[1] + 1.0)
            } else {
                (across[1] + 1.0, across[0] - 1.0 - long)
            };
            let crosses_rest = if right_hand {
                inner < self.scale.rest() + 1.0
            } else {
                inner + long > self.scale.rest() - 1.0
            };
            let start = if crosses_rest { outer.clamp(GUTTER, self.scale.width - long) } else { inner };
            let taken = [across[0].min(start) - 1.0, across[1].max(start + long) + 1.0];
            let free = |row: &Vec<[f64; 2]>| row.iter().all(|[a, b]| taken[1] <= *a || taken[0] >= *b);
            let row = rows.iter().position(free).unwrap_or_else(|| {
                rows.push(Vec::new());
                rows.len() - 1
            });
            rows[row].push(taken);
            let y = first + (row as f64 + 0.5) * 3.4;
            self.ink.arrows(across, y);
            self.tag([start, y], &text, At::Left, false)?;
        }
        if !rows.is_empty() {
            self.ink.text([0.0, first + 1.7], self.say.get(axes::MARGINS), SIZE, At::Left, false);
        }
        self.y += rows.len() as f64 * 3.4;
        Ok(())
    }

    fn rooms(&self, reach: &Reach) -> Vec<(f64, f64, String)> {
        let (setup, device) = (self.say.setup, &self.say.setup.devices[self.id]);
        let mut rooms = Vec::new();
        let mut room = |from: Exact, to: Exact, what: String| {
            let by = (&to - &from).abs();
            let text = self.say.fill(axes::Room { room: &self.say.percent(&by), what: &what });
            rooms.push((self.scale.x(&from), self.scale.x(&to), text));
        };
        let end = |sign: i32, of: &[Exact; 2]| if sign < 0 { of[0].clone() } else { of[1].clone() };
        let towards = |sign: i32, by: Exact| if sign < 0 { -by } else { by };
        let beyond = |sign: i32, a: &Exact, b: &Exact| if sign < 0 { a < b } else { a > b };
        // What lies behind another guard is that one's affair.
        let concerns = |reserved: Reserved| match (reach.guard, reserved) {
            (Some(guard), Reserved::Unless(switch, setting)) => guard == (switch, setting),
            _ => true,
        };
        for work in device.works.iter().filter(|work| concerns(work.reserved)) {
            let slack = setup.slack(self.id, work.sign, false);
            let edge = work.from.nearest(work.sign);
            let outermost = end(work.sign, &reach.hull) + towards(work.sign, slack.clone());
            let needed = work.full.as_ref().unwrap_or(&work.from).farthest(work.sign);
            let surely = end(work.sign, &reach.common) - towards(work.sign, slack);
            if beyond(work.sign, &edge, &outermost) {
                room(outermost, edge, self.say.fill(axes::ShortOf { what: &plain(&work.name) }));
            } else if beyond(work.sign, &surely, &needed) && work.to.is_none() {
                room(needed, surely, self.say.fill(axes::Past { what: &plain(&work.name) }));
            }
        }
        for (stop, sign) in device.stops.iter().zip([-1, 1]) {
            let Some(stop) = stop else { continue };
            let outermost = end(sign, &reach.hull) + towards(sign, setup.slack(self.id, sign, false));
            let edge = stop.nearest(sign);
            if beyond(sign, &edge, &outermost) {
                room(outermost, edge, self.say.get(axes::SHORT_OF_STOP).to_owned());
            }
        }
        rooms
    }

    /// Where a state puts it.
    pub(super) fn state(&mut self, name: &str, place: &Place) -> Result<(), RenderError> {
        self.label(name)?;
        match place {
            Place::Fixed { at, by_unit } => {
                let both = [at.clone(), at.clone()];
                let ends = self.outer(&both, *by_unit);
                let bar = self.bar();
                may(&mut self.ink, ends, bar);
                let (x, y) = (self.scale.x(at), self.middle());
                self.ink.diamond([x, y]);
                let text = self
                    .say
                    .fill(axes::State { position: &self.say.signed(at), pulse: &self.say.pulse(&both) });
                // Towards rest there is always room, except at rest itself.
                let (x, side) = if at.signum() > 0 {
                    (ends[0].min(x - 1.3) - 1.0, At::Right)
                } else {
                    (ends[1].max(x + 1.3) + 1.0, At::Left)
                };
                self.tag([x, y], &text, side, false)?;
            }
            Place::Within(low, high) => {
                let ends = [self.scale.x(low), self.scale.x(high)];
                let (bar, y) = (self.bar(), self.middle());
                may(&mut self.ink, ends, bar);
                let [low, high] = [low, high].map(|v| self.say.signed(v));
                self.tag([ends[0] - 1.0, y], &low, At::Right, false)?;
                self.tag([ends[1] + 1.0, y], &high, At::Left, false)?;
            }
            Place::Pilot | Place::Still => {}
        }
        self.next(name)
    }

    /// The grounds behind the lanes first, then the lanes.
    pub(super) fn finished(self) -> (f64, Vec<Value>) {
        let mut back = Ink::default();
        let down = [self.top, self.y];
        let grounds = [self.ground(-1), self.ground(1)];
        back.fill([self.scale.left, grounds[0]], down, FORBIDDEN);
        back.fill([grounds[1], self.scale.right], down, FORBIDDEN);
        for (from, _) in &self.forbidden {
            back.dashed([*from, down[0]], [*from, down[1]], 0.2);
        }
        back.line([self.scale.rest(), down[0]], [self.scale.rest(), down[1]], 0.2);
        back.items.extend(self.ink.items);
        (self.y + 0.5, back.items)
    }
}

fn sorted(a: f64, b: f64) -> [f64; 2] {
    if a <= b { [a, b] } else { [b, a] }
}
