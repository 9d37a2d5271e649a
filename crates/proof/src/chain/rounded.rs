//! The same steps from hand to pulse in a set that rounds: what comes out lies between two bounds.
//!
//! A set does its sums on a grid. Nought and full stay exact on any grid, and so does what is only added, limited or
//! turned round; a share that is multiplied or dialled in may come out off by up to one `grain`, either way (cut off
//! or rounded, whichever the set does).

use super::{EndStages, Order, holds, rate, stick_signal};
use crate::setup::{ChannelId, Exact, MixOf, OrderPlace, Setup, Side, SubTrimDoes};

/// From the least to the greatest.
pub type Range = [Exact; 2];

/// Where everything that a hand can move stands, as well as a hand can tell.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Held {
    /// Position of each control in [-1, +1]: one place, or anywhere between two.
    pub positions: Vec<Range>,
    /// Trim of each control.
    pub trims: Vec<Exact>,
    /// Setting of each switch; 0 for other controls.
    pub settings: Vec<usize>,
}

/// One value.
pub fn point(at: &Exact) -> Range {
    [at.clone(), at.clone()]
}

/// Both bounds moved.
pub fn plus([low, high]: &Range, [least, most]: &Range) -> Range {
    [low + least, high + most]
}

fn off([low, high]: Range, by: &Exact) -> Range {
    [low - by, high + by]
}

/// A share that is dialled in: nought and full are exact.
fn dialled(at: &Exact, grain: &Exact) -> Range {
    if at.is_zero() || at.abs() == Exact::ONE { point(at) } else { off(point(at), grain) }
}

fn is_point(range: &Range, at: &Exact) -> bool {
    range[0] == *at && range[1] == *at
}

/// Step 1.
fn stick(setup: &Setup, channel: ChannelId, held: &Held, control: usize, grain: &Exact) -> Range {
    let range = &held.positions[control];
    if is_point(range, &Exact::ZERO) {
        return point(&Exact::ZERO);
    }
    let ends = range.clone().map(|p| stick_signal(setup, channel, &p, &held.settings));
    let at_end = range[0] == range[1] && range[0].abs() == Exact::ONE;
    let rates = Side::BOTH.map(|side| rate(setup, channel, side, &held.settings));
    let most = rates[0].clone().max(rates[1].clone());
    let mut by = Exact::ZERO;
    // The stick itself is read on the grid, and its curve.
    if !at_end {
        by += grain * &most;
        if !setup.channels[channel].expo.is_zero() {
            by += grain * &most;
        }
    }
    if rates.iter().any(|rate| *rate != Exact::ONE) {
        by += grain.clone();
    }
    off(ends, &by)
}

/// Steps 1 to 3 for every channel that `channel` needs, each once.
fn before_endpoint(
    setup: &Setup,
    channel: ChannelId,
    held: &Held,
    order: &Order,
    grain: &Exact,
    known: &mut [Option<Range>],
) -> Range {
    if let Some(value) = &known[channel] {
        return value.clone();
    }
    let mut v = point(&Exact::ZERO);
    if let Some(own) = setup.channels[channel].control {
        v = plus(&v, &stick(setup, channel, held, own, grain));
        if order.trim == OrderPlace::Before {
            v = plus(&v, &dialled(&held.trims[own], grain));
        }
    }
    if order.mix == OrderPlace::Before {
        v = plus(&v, &mixed_in(setup, channel, held, order, grain, known));
    }
    known[channel] = Some(v.clone());
    v
}

/// Step 2.
fn mixed_in(
    setup: &Setup,
    channel: ChannelId,
    held: &Held,
    order: &Order,
    grain: &Exact,
    known: &mut [Option<Range>],
) -> Range {
    let mut sum = point(&Exact::ZERO);
    for mix in setup.channels[channel].mixes.iter().filter(|mix| holds(&mix.when, &held.settings)) {
        let x = match mix.of {
            MixOf::Control(control) => {
                let at = held.positions[control].clone();
                let at_end = at[0] == at[1] && (at[0].is_zero() || at[0].abs() == Exact::ONE);
                let at = if at_end { at } else { off(at, grain) };
                if mix.with_trim { plus(&at, &dialled(&held.trims[control], grain)) } else { at }
            }
            MixOf::Channel(other) => before_endpoint(setup, other, held, order, grain, known),
        };
        sum = plus(&sum, &times(&x, &mix.add, grain));
    }
    sum
}

/// A product; by nought and by one it is exact.
fn times(range: &Range, by: &Exact, grain: &Exact) -> Range {
    if by.is_zero() || is_point(range, &Exact::ZERO) {
        return point(&Exact::ZERO);
    }
    let [a, b] = [&range[0] * by, &range[1] * by];
    let ends = if a <= b { [a, b] } else { [b, a] };
    if by.abs() == Exact::ONE { ends } else { off(ends, grain) }
}

/// Held between two bounds which are themselves known only so well.
fn limited(range: &Range, least: &Range, most: &Range) -> Range {
    let at = |end: usize| range[end].clone().max(least[end].clone()).min(most[end].clone());
    [at(0), at(1)]
}

/// Where the outputs end, from the endpoints of the side that makes less and of the other.
fn ends_of(low: &Exact, high: &Exact, grain: &Exact) -> [Range; 2] {
    let [least, most] = dialled(low, grain);
    [[-most, -least], dialled(high, grain)]
}

/// Steps 4 and 6.
fn endpoint(shape: &EndStages, range: &Range, grain: &Exact) -> Range {
    let full = [point(&-Exact::ONE), point(&Exact::ONE)];
    let q = if shape.cut_off { limited(range, &full[0], &full[1]) } else { range.clone() };
    let [low, high] = &shape.ends;
    if !shape.scales {
        let [least, most] = ends_of(low, high, grain);
        return limited(&q, &least, &most);
    }
    if is_point(&q, &Exact::ZERO) {
        return q;
    }
    let scaled = |v: &Exact, sign: i32| {
        let end = if v.signum() < 0 { low } else { high };
        let by = if *end == Exact::ONE || end.is_zero() { Exact::ZERO } else { grain.clone() };
        v * end + by * Exact::int(i64::from(sign))
    };
    [scaled(&q[0], -1), scaled(&q[1], 1)]
}

/// Steps 1 to 8 as a share of the set's own full pulse, before the furthest.
pub fn output(setup: &Setup, channel: ChannelId, held: &Held, order: &Order, grain: &Exact) -> Range {
    let mut known = vec![None; setup.channels.len()];
    let v = before_endpoint(setup, channel, held, order, grain, &mut known);
    let shape = EndStages::of(setup, channel, order);
    let mut w = endpoint(&shape, &v, grain);
    if let Some(own) = setup.channels[channel].control
        && order.trim == OrderPlace::After
    {
        w = plus(&w, &dialled(&held.trims[own], grain));
    }
    if order.mix == OrderPlace::After {
        w = plus(&w, &mixed_in(setup, channel, held, order, grain, &mut known));
    }
    let turned = if shape.sense < 0 { [-&w[1], -&w[0]] } else { w };
    let out = plus(&turned, &dialled(&shape.sub_trim, grain));
    if order.sub_trim == SubTrimDoes::ShiftsEnds {
        return out;
    }
    let [low, high] = &shape.ends;
    let [shorter, longer] = if shape.sense > 0 { [low, high] } else { [high, low] };
    let [least, most] = ends_of(shorter, longer, grain);
    limited(&out, &least, &most)
}
