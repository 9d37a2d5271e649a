//! The lanes of one drawing, from top to bottom.

use serde_json::Value;

use super::super::ink::{At, Ink, wide};
use super::super::say::{Say, held, switched};
use super::scale::{GUTTER, Scale};
use crate::axis::{Lane, Next, Put, Reach, Room, Said, Shows, lacks};
use crate::chain::{self, Order};
use crate::finding::SafeEndpoints;
use crate::labels::text;
use crate::labels::text::sheet::axes;
use crate::render::RenderError;
use crate::render::font::{self, Weight};
use crate::rule::states::PulsePlace;
use crate::setup::{
    ChannelId, DeviceId, EndpointSide, Exact, Figure, Point, Reserved, Side, Toleranced, WorkRef,
};
use crate::words::plain;

/// Grey of what surely is.
pub(in crate::sheet) const SURE: f64 = 0.45;
/// Grey of a side on which the pilot has no business.
const FORBIDDEN: f64 = 0.9;
const SIZE: f64 = 7.5;
const SMALL: f64 = 7.0;
/// In the place of a figure that nobody has measured.
const UNKNOWN: &str = "?";
/// Height of a lane and of the bar in it.
const LANE: f64 = 4.2;
const BAR: f64 = 2.8;

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
    pub(super) fn new(say: &'a Say<'a>, id: DeviceId, scale: Scale, lanes: &[Lane]) -> Self {
        let device = &say.setup.devices[id];
        let mut forbidden: Vec<(f64, i32)> = Vec::new();
        for lane in lanes {
            match lane.shows {
                // Behind a guard the pilot has business: that reach has a lane of its own.
                Shows::Function(work) => {
                    let work = &device.works[work];
                    let never = match work.reserved {
                        Reserved::Always => true,
                        Reserved::No => work.kind.emergency,
                        Reserved::Unless(..) => false,
                    };
                    let edge = if never { nearest(lane, work.sign) } else { None };
                    forbidden.extend(edge.map(|at| (scale.x(&at), work.sign)));
                }
                Shows::PastStop => {
                    // One that nobody has measured may lie anywhere, and bounds nothing.
                    for (side, sign) in [(0, -1), (1, 1)] {
                        let known = device.stops[side].is_some();
                        forbidden.extend(
                            known.then(|| nearest(lane, sign)).flatten().map(|at| (scale.x(&at), sign)),
                        );
                    }
                }
                Shows::Ends | Shows::Reached | Shows::Still => {}
            }
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

    /// Hatched where it may be so, filled where it surely is.
    fn zones(&mut self, lane: &Lane) {
        let bar = self.bar();
        for [low, high] in &lane.perhaps {
            may(&mut self.ink, [self.scale.x(low), self.scale.x(high)], bar);
        }
        for [low, high] in &lane.surely {
            self.ink.fill([self.scale.x(low), self.scale.x(high)], bar, SURE);
        }
    }

    /// A place that was found, with what it can be off: a question mark where nobody has measured that.
    fn found(&self, at: &Toleranced, point: Figure) -> String {
        if !lacks(self.say.setup, point) {
            return self.say.toleranced(at);
        }
        self.say.fill(text::sheet::Toleranced { value: &self.say.signed(&at.value), off: UNKNOWN })
    }

    /// Where a work acts; its figures on the side that is free.
    pub(super) fn work(&mut self, index: usize, lane: &Lane) -> Result<(), RenderError> {
        let reference = WorkRef { device: self.id, work: index };
        let work = self.say.setup.work(reference);
        let name = plain(&work.name);
        self.label(&name)?;
        let (bar, sign) = (self.bar(), work.sign);
        self.zones(lane);
        if let Some(full) = &work.full {
            let x = self.scale.x(&full.value);
            self.ink.line([x, bar[0] - 0.4], [x, bar[1] + 0.4], 0.5);
        }
        if let Some(releases) = &work.releases {
            let x = self.scale.x(&releases.value);
            self.ink.dashed([x, bar[0] - 0.4], [x, bar[1] + 0.4], 0.3);
        }
        let off = |point| Figure::Tolerance(reference, point);
        let mut said = self.say.fill(axes::From { at: &self.found(&work.from, off(Point::From)) });
        let at = |edge: &Option<Toleranced>, point| edge.as_ref().map(|at| self.found(at, off(point)));
        let full = at(&work.full, Point::Full).map(|at| self.say.fill(axes::Full { at: &at }));
        let to = at(&work.to, Point::To).map(|at| self.say.fill(axes::To { at: &at }));
        let unknown = lacks(self.say.setup, Figure::Releases(reference)).then(|| UNKNOWN.to_owned());
        let releases = at(&work.releases, Point::Releases).or(unknown);
        let releases = releases.map(|at| self.say.fill(axes::Releases { at: &at }));
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
    pub(super) fn still(&mut self, lane: &Lane) {
        let name = self.say.get(axes::STILL).to_owned();
        self.ink.text([0.0, self.middle()], &name, SIZE, At::Left, false);
        let y = self.middle();
        if let Said::At(ends) = &lane.said
            && let [low, high] = ends.as_slice()
        {
            self.zones(lane);
            let across = [self.scale.x(low), self.scale.x(high)];
            self.ink.text([across[0] - 1.0, y], &self.say.signed(low), SMALL, At::Right, false);
            self.ink.text([across[1] + 1.0, y], &self.say.signed(high), SMALL, At::Left, false);
        } else {
            self.ink.text([self.scale.rest() + 1.5, y], UNKNOWN, SMALL, At::Left, false);
        }
        self.y += LANE;
    }

    /// Where something binds.
    pub(super) fn stops(&mut self, lane: &Lane) {
        let name = self.say.get(axes::STOPS).to_owned();
        self.ink.text([0.0, self.middle()], &name, SIZE, At::Left, false);
        self.zones(lane);
        let stops = self.say.setup.devices[self.id].stops.clone();
        for (side, sign) in [(0, -1), (1, 1)] {
            let said = match &stops[side] {
                Some(stop) => self.found(stop, Figure::StopTolerance(self.id, side)),
                None if lacks(self.say.setup, Figure::Stop(self.id, side)) => UNKNOWN.to_owned(),
                None => continue,
            };
            let at = if sign < 0 { At::Left } else { At::Right };
            let near = stops[side].as_ref().and_then(|_| nearest(lane, sign));
            let x =
                near.map_or_else(|| self.scale.end(sign), |near| self.scale.x(&near) - f64::from(sign) * 1.2);
            // What is unknown is hatched, so its mark needs clear ground.
            if stops[side].is_none() {
                let long = 2.0 * f64::from(-sign);
                self.ink.fill(sorted(x, x + long), [self.middle() - 1.2, self.middle() + 1.2], 1.0);
            }
            self.ink.text([x, self.middle()], &said, SMALL, at, false);
        }
        self.y += LANE;
    }

    /// Brackets round the endpoints that are safe, a pointer at the one that is set.
    pub(super) fn endpoints(
        &mut self,
        channel: ChannelId,
        windows: &[SafeEndpoints],
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
            let here = |w: &&SafeEndpoints| {
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
        self.say.engine.orders.first().copied().unwrap_or(crate::rule::states::ANY_ORDER)
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
        let ends = reach.outer.each_ref().map(|at| self.scale.x(at));
        let sure = [self.scale.x(&reach.common[0]), self.scale.x(&reach.common[1])];
        self.figures(ends, sure, &reach.hull)
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

    /// The room between a reach and what lies next to it, and how far a wanted work is passed.
    pub(super) fn margins(&mut self, rooms: Vec<Room>) -> Result<(), RenderError> {
        let mut rows: Vec<Vec<[f64; 2]>> = Vec::new();
        let first = self.y;
        for room in rooms {
            let (from, to, text) =
                (self.scale.x(&room.from), self.scale.x(&room.to), self.room_in_words(&room));
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

    fn room_in_words(&self, room: &Room) -> String {
        let name = |work: usize| plain(&self.say.setup.devices[self.id].works[work].name);
        let what = match room.next {
            Next::ShortOf(work) => self.say.fill(axes::ShortOf { what: &name(work) }),
            Next::Past(work) => self.say.fill(axes::Past { what: &name(work) }),
            Next::ShortOfStop(_) => self.say.get(axes::SHORT_OF_STOP).to_owned(),
        };
        let by = (&room.to - &room.from).abs();
        self.say.fill(axes::Room { room: &self.say.percent(&by), what: &what })
    }

    /// Where a state puts it.
    pub(super) fn state(&mut self, name: &str, put: &Put) -> Result<(), RenderError> {
        self.label(name)?;
        let ends = put.outer.each_ref().map(|at| self.scale.x(at));
        match &put.place {
            PulsePlace::Fixed { at, .. } => {
                let both = [at.clone(), at.clone()];
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
            PulsePlace::Within(..) => {
                let (bar, y) = (self.bar(), self.middle());
                may(&mut self.ink, ends, bar);
                let [low, high] = put.outer.each_ref().map(|v| self.say.signed(v));
                self.tag([ends[0] - 1.0, y], &low, At::Right, false)?;
                self.tag([ends[1] + 1.0, y], &high, At::Left, false)?;
            }
            PulsePlace::Pilot | PulsePlace::Still => {}
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

/// Where a lane begins on the side of a sign, seen from rest.
fn nearest(lane: &Lane, sign: i32) -> Option<Exact> {
    let on_side =
        lane.perhaps.iter().filter(|[low, high]| (if sign < 0 { low } else { high }).signum() == sign);
    let edges = on_side.map(|[low, high]| if sign < 0 { high.clone() } else { low.clone() });
    edges.reduce(|a, b| if (a > b) == (sign < 0) { a } else { b })
}

fn sorted(a: f64, b: f64) -> [f64; 2] {
    if a <= b { [a, b] } else { [b, a] }
}
