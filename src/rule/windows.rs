//! Which endpoint values are safe.
//!
//! Every multiple of the set's step is tried and judged by the same rules as the boat itself, with
//! every other setting left as it is; so windows hold for whatever the chain does in between.
//!
//! An endpoint is named after a way, and mostly limits that way. On a reversed channel of a set that names
//! endpoints by the side of the pulse it limits the other; where the file leaves that line open, either.
//! A value is called safe for a name only if it is safe for every way that the name may limit.

use super::context::{Context, may_zone, short_of};
use super::crossing::Empty;
use super::say::{self, Draft};
use super::sense_reversed::{senses, worst};
use crate::chain::Order;
use crate::finding::WayWindows;
use crate::proof::sense::Moves;
use crate::proof::{Cases, Zone};
use crate::setup::{ChannelId, Exact, Reserved, Setup, Side};

/// What sort of limit an instance is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// A work that must not be engaged.
    Avoid,
    /// A work that must be engaged.
    Want,
    /// A stop.
    Stop,
    /// The sense.
    Sense,
}

/// One rule on this channel at one endpoint value.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    pub key: String,
    pub sort: Sort,
    pub broken: bool,
    pub margin: Option<Exact>,
    /// The side of the axis that it lies on.
    pub sign: i32,
}

/// Judges one way in set-ups that differ in nothing that happens before the channel's endpoint, so
/// that this is worked out once for all of them.
pub(super) struct Judge {
    channel: ChannelId,
    orders: Vec<Order>,
    cases: Option<Cases>,
}

impl Judge {
    /// Under every order that the file leaves open.
    pub fn new(setup: &Setup, channel: ChannelId) -> Self {
        Self { channel, orders: Order::all(&setup.transmitter.order), cases: None }
    }

    /// Every rule on the channel that the endpoint named after this way can touch.
    pub fn row(&mut self, setup: &Setup, side: Side) -> Vec<Judged> {
        let mut context = Context::with_orders(setup, self.orders.clone());
        if let Some(cases) = self.cases.take().and_then(|cases| cases.reshaped(setup)) {
            context = context.with_cases(cases);
        }
        let row = setup
            .limited_by(self.channel, side)
            .into_iter()
            .flat_map(|way| judged(&context, self.channel, way, side))
            .collect();
        self.cases = context.into_cases(self.channel);
        row
    }
}

/// The windows of every way of every channel with works, stops or wants.
pub fn endpoints(setup: &Setup) -> Vec<WayWindows> {
    let mut all = Vec::new();
    for channel in 0..setup.channels.len() {
        for side in Side::BOTH {
            all.extend(way(setup, channel, side));
        }
    }
    all
}

pub(super) fn concerns(setup: &Setup, channel: ChannelId) -> bool {
    let c = &setup.channels[channel];
    let devices =
        setup.devices_on(channel).any(|(_, d)| !d.works.is_empty() || d.stops.iter().any(Option::is_some));
    devices || c.wants.iter().any(|w| !w.is_empty()) || senses(setup).iter().any(|s| s.channel == channel)
}

/// The windows of one way; `None` if nothing on the channel limits it.
pub fn way(setup: &Setup, channel: ChannelId, side: Side) -> Option<WayWindows> {
    let own = setup.channels[channel].control?;
    if !concerns(setup, channel) {
        return None;
    }
    let mut judge = Judge::new(setup, channel);
    let step = setup.transmitter.step.clone();
    let count = (&setup.transmitter.furthest / &step).floor().unwrap_or(0).max(0) as usize;
    let mut changed = setup.clone();
    let mut at = |value: &Exact| {
        changed.channels[channel].endpoints[side.index()] = value.clone();
        judge.row(&changed, side)
    };
    let values: Vec<Exact> = (0..=count).map(|k| &step * Exact::int(k as i64)).collect();
    let table: Vec<Vec<Judged>> = values.iter().map(&mut at).collect();
    let at_set = at(&setup.channels[channel].endpoints[side.index()]);

    let instances = table.first().map_or(0, Vec::len);
    let moved = |i: usize| {
        table.iter().any(|row| row[i].margin != table[0][i].margin || row[i].broken != table[0][i].broken)
    };
    let (moving, still): (Vec<usize>, Vec<usize>) = (0..instances).partition(|&i| moved(i));
    let not_moved = still.iter().filter(|&&i| table[0][i].broken).map(|&i| table[0][i].key.clone()).collect();
    let safe: Vec<bool> = table.iter().map(|row| moving.iter().all(|&i| !row[i].broken)).collect();
    let mut stretches: Vec<[usize; 2]> = Vec::new();
    for k in (0..safe.len()).filter(|&k| safe[k]) {
        match stretches.last_mut() {
            Some(last) if last[1] + 1 == k => last[1] = k,
            _ => stretches.push([k, k]),
        }
    }
    let broken_at = |k: usize| moving.iter().copied().filter(|&i| table[k][i].broken).collect::<Vec<_>>();
    let low_limits =
        stretches.first().map_or_else(Vec::new, |s| if s[0] > 0 { broken_at(s[0] - 1) } else { vec![] });
    let high_limits = stretches
        .last()
        .map_or_else(Vec::new, |s| if s[1] + 1 < table.len() { broken_at(s[1] + 1) } else { vec![] });
    let names = |limits: &[usize], none: &str| {
        if limits.is_empty() {
            none.to_string()
        } else {
            limits.iter().map(|&i| table[0][i].key.as_str()).collect::<Vec<_>>().join(", ")
        }
    };
    let best = stretches.iter().find_map(|s| best_in(*s, &table, &moving, &values));
    let margin_of = |limits: &[usize]| {
        limits
            .iter()
            .filter_map(|&i| at_set.get(i).and_then(|j| j.margin.as_ref().map(|m| (m, j.sign))))
            .reduce(|a, b| if b.0 < a.0 { b } else { a })
            .map(|(margin, sign)| say::margin(setup, margin, sign))
    };
    let crossing = stretches.is_empty().then(|| {
        Empty { setup, channel, side, values: &values, table: &table, moving: &moving }.told(&mut judge)
    });
    Some(WayWindows {
        channel: setup.channels[channel].number,
        name: setup.channels[channel].name.clone().unwrap_or_default(),
        way: setup.controls[own].ways[side.index()].clone(),
        set: setup.channels[channel].endpoints[side.index()].clone(),
        windows: stretches.iter().map(|s| [values[s[0]].clone(), values[s[1]].clone()]).collect(),
        best,
        low_limit: if stretches.is_empty() { String::new() } else { names(&low_limits, "0 %") },
        high_limit: if stretches.is_empty() {
            String::new()
        } else {
            names(&high_limits, "the furthest output")
        },
        margins: [margin_of(&low_limits), margin_of(&high_limits)],
        not_moved,
        crossing,
    })
}

/// The best value of a window whose lower end is set by a wanted work.
fn best_in(window: [usize; 2], table: &[Vec<Judged>], moving: &[usize], values: &[Exact]) -> Option<Exact> {
    let [low, high] = window;
    let limits = |k: usize, sort: Sort| {
        moving.iter().copied().filter(|&i| table[k][i].broken && table[k][i].sort == sort).collect::<Vec<_>>()
    };
    let wanted = limits(low.checked_sub(1)?, Sort::Want);
    if wanted.is_empty() {
        return None;
    }
    let works = if high + 1 < table.len() { limits(high + 1, Sort::Avoid) } else { Vec::new() };
    if works.is_empty() {
        let target = &values[low] + Exact::percent(5);
        return (low..=high).map(|k| &values[k]).find(|v| **v >= target).or(values.get(high)).cloned();
    }
    let smallest =
        |k: usize| wanted.iter().chain(&works).filter_map(|&i| table[k][i].margin.clone()).reduce(Exact::min);
    let mut best: Option<(Exact, usize)> = None;
    for k in low..=high {
        if let Some(margin) = smallest(k)
            && best.as_ref().is_none_or(|(m, _)| margin > *m)
        {
            best = Some((margin, k));
        }
    }
    best.map(|(_, k)| values[k].clone())
}

/// Every rule on this way of the channel, for the endpoint named after the way `named`.
fn judged(context: &Context, channel: ChannelId, side: Side, named: Side) -> Vec<Judged> {
    let setup = context.setup;
    let Some(own) = setup.channels[channel].control else { return Vec::new() };
    let towards = setup.channels[channel].longer.sign() * side.sign();
    let way = &setup.controls[own].ways[side.index()];
    let this_side = context.everything.clone().with_side(own, side);
    let cases = context.cases(channel);
    let mut all = Vec::new();
    let mut push = |key: String, sort: Sort, (broken, margin): (bool, Option<Exact>)| {
        all.push(Judged { key, sort, broken, margin, sign: towards });
    };
    for (work, w) in context.works_on(channel).filter(|(_, w)| w.sign == towards) {
        let name = setup.work_name(work);
        let slack = setup.slack(work.device, w.sign, false);
        let may = may_zone(w, &slack, false);
        let reserved = w.kind.emergency || w.reserved != Reserved::No;
        if reserved {
            let mut domain = this_side.clone();
            if let Reserved::Unless(switch, setting) = w.reserved {
                domain = domain.without_setting(switch, setting);
            }
            push(name.clone(), Sort::Avoid, cases.may_meet(setup, &domain, &may));
        } else if !context.wants(channel, side, work) {
            push(name.clone(), Sort::Avoid, cases.may_meet(setup, &this_side, &may));
        }
        if setup.controls[own].springs_back && !w.kept_on {
            let rest = context.everything.clone().with_position(own, Exact::ZERO);
            let held = context.pilot_may_engage(work);
            let zone = may_zone(w, &slack, held);
            push(format!("{name} at rest"), Sort::Avoid, cases.may_meet(setup, &rest, &zone));
        }
    }
    for want in &setup.channels[channel].wants[side.index()] {
        let w = setup.work(want.work);
        let end = context.everything.clone().with_position(own, side.position()).with_settings(&want.needs);
        let needed = w.full.as_ref().unwrap_or(&w.from);
        let slack = setup.slack(want.work.device, w.sign, false);
        let place = context.piloting(want.work.device);
        if place == super::states::Place::Pilot {
            let short = cases.may_meet(setup, &end, &short_of(needed, w.sign, &slack));
            push(setup.work_name(want.work), Sort::Want, short);
            if let Some(to) = &w.to {
                let edge = to.nearest(w.sign);
                let zone = if w.sign < 0 { Zone::below(edge + &slack) } else { Zone::above(edge - &slack) };
                push(
                    format!("the far end of {}", setup.work_name(want.work)),
                    Sort::Avoid,
                    cases.may_meet(setup, &end, &zone),
                );
            }
        }
    }
    for (id, device) in setup.devices_on(channel) {
        let index = usize::from(towards > 0);
        if let Some(stop) = &device.stops[index] {
            let slack = setup.slack(id, towards, false);
            let edge = stop.nearest(towards);
            let zone = if towards < 0 { Zone::below(edge + slack) } else { Zone::above(edge - slack) };
            let key = stop_key(&device.name, (side != named).then_some(way));
            push(key, Sort::Stop, cases.may_meet(setup, &this_side, &zone));
        }
    }
    for sense in senses(setup) {
        if sense.channel != channel || sense.control != own || sense.side != side {
            continue;
        }
        let (Some(resting), Some(anywhere)) = worst(context, &sense) else { continue };
        let (broken, margin) = match (&resting.moves, &anywhere.moves) {
            (Moves::Rightly(by), Moves::Rightly(_) | Moves::NotAtAll) => (false, Some(by.clone())),
            (Moves::Rightly(_), Moves::Wrongly(by)) | (Moves::Wrongly(by), _) => (true, Some(-by)),
            (Moves::NotAtAll, _) => (true, Some(Exact::ZERO)),
        };
        let key = format!("the sense of {way}");
        all.push(Judged { key, sort: Sort::Sense, broken, margin, sign: towards });
    }
    all
}

/// What the stop of a device is called; with its way where the endpoint is named after the other.
pub(super) fn stop_key(device: &str, way: Option<&str>) -> String {
    way.map_or_else(|| format!("the stop of {device}"), |way| format!("the stop of {device} ({way})"))
}

/// Adds to a finding about a way the safe values of every endpoint that may limit that way.
pub fn advise(context: &Context, draft: Draft, channel: ChannelId, side: Side) -> Draft {
    context
        .setup
        .limited_by(channel, side)
        .into_iter()
        .fold(draft, |draft, named| advise_one(context, draft, channel, named))
}

fn advise_one(context: &Context, draft: Draft, channel: ChannelId, side: Side) -> Draft {
    let Some(window) = context.windows(channel, side) else { return draft };
    let advice = match (&window.windows[..], &window.best, &window.crossing) {
        ([], _, Some(crossing)) => format!("no endpoint for {} is safe: {crossing}", window.way),
        ([], ..) => return draft,
        (_, Some(best), _) => {
            format!("endpoint for {}: {}; best {}", window.way, ranges(window), say::percent(best))
        }
        _ => format!("endpoint for {}: {}", window.way, ranges(window)),
    };
    let draft = if window.not_moved.is_empty() {
        draft
    } else {
        draft.help(format!(
            "the endpoint alone does not cure {}: look at trim, sub-trim, mixes and the other way",
            window.not_moved.join(", ")
        ))
    };
    draft.help(advice)
}

fn ranges(window: &WayWindows) -> String {
    window
        .windows
        .iter()
        .map(|[low, high]| {
            if low.is_zero() {
                format!("{} or less", say::percent(high))
            } else {
                format!("{} to {}", say::percent(low), say::percent(high))
            }
        })
        .collect::<Vec<_>>()
        .join(" or ")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::way;
    use crate::setup::{Exact, Setup, Side, lower};
    use crate::source::Source;

    fn boat(line: &str, longer: &str) -> Setup {
        let text = format!(
            "lidcard: 1
boat: {{name: Test, kind: surface}}
transmitter: {{channels: 4, pulse: {{accuracy: 0 us}}, order: {{past_full_stick: carries on, endpoint: clamps, {line}trim: after endpoint, mix: after endpoint, sub_trim: keeps ends}}}}
controls:
  helm: {{at: right stick, trim: 5 %, ways: {{left: port, right: starboard}}}}
channels:
  1: {{control: helm, longer: {longer}, endpoints: {{port: 80 %, starboard: 82 %}}}}
devices:
  rudder: {{kind: servo, channel: 1, accuracy: 2 %, stops: [-90 %, +96 %]}}
"
        );
        lower::lower(&Source::from_bytes("x", text.into_bytes()).unwrap()).unwrap()
    }

    fn window(setup: &Setup, side: Side) -> [i64; 2] {
        let windows = way(setup, 0, side).unwrap().windows;
        let [[low, high]] = &windows[..] else { panic!("{windows:?}") };
        [low, high].map(|end| (end * Exact::int(100)).floor().unwrap())
    }

    /// Ends are kept at the endpoint whatever the trim; 96 - 2 = 94 % is the longer end, 90 - 2 = 88 %
    /// the shorter. Port is the longer way. Named by the stick, port may go to 94 %; by the pulse, the
    /// endpoint named after the left way is the one of the shorter side: 88 %.
    #[test]
    fn an_endpoint_is_judged_by_the_way_that_it_limits() {
        for (line, port, starboard) in
            [("endpoint_side: stick, ", 94, 88), ("endpoint_side: pulse, ", 88, 94), ("", 88, 88)]
        {
            let setup = boat(line, "port");
            assert_eq!(window(&setup, Side::Low)[1], port, "{line}");
            assert_eq!(window(&setup, Side::High)[1], starboard, "{line}");
            for (side, last) in [(Side::Low, port), (Side::High, starboard)] {
                let broken_at = |percent: i64| {
                    let mut changed = setup.clone();
                    changed.channels[0].endpoints[side.index()] = Exact::percent(percent);
                    crate::rule::check(&changed).iter().any(|f| f.rule == "beyond-stop" && f.is_open())
                };
                assert!(!broken_at(last) && broken_at(last + 1), "{line}{side:?} {last}");
            }
        }
    }

    #[test]
    fn on_a_channel_that_is_not_reversed_the_name_is_the_way() {
        for line in ["endpoint_side: stick, ", "endpoint_side: pulse, ", ""] {
            let setup = boat(line, "starboard");
            assert_eq!([Side::Low, Side::High].map(|side| window(&setup, side)[1]), [88, 94], "{line}");
        }
    }
}
