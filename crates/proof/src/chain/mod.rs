//! From hand to pulse: the arithmetic of a transmitter, step by step, in exact numbers.
//!
//! What is dialled in the set is a share of its own full pulse; what comes out of it lies on the axis of the
//! boat file, as do the devices that it is compared with ([`EndStages::sent`]).
//!
//! This is the one place where it stands. The proof works on the same pieces ([`EndStages`]) and every
//! witness is re-run through [`output`] before it is shown; the documents call it too.

pub mod closed;
pub mod order;
pub mod rounded;
pub mod terms;

use crate::setup::{
    Axis, ChannelId, ControlId, EndpointDoes, EndpointSide, Exact, MixOf, OrderPlace, PastFull, Setup, Side,
    SubTrimDoes,
};
pub use order::Order;

/// Where everything that a hand can move stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inputs {
    /// Position of each control in [-1, +1].
    pub positions: Vec<Exact>,
    /// Trim of each control.
    pub trims: Vec<Exact>,
    /// Setting of each switch; 0 for other controls.
    pub settings: Vec<usize>,
}

impl Inputs {
    /// Nothing touched: controls at rest, trims at nought, switches as they are when nobody has thrown them.
    pub fn at_rest(setup: &Setup) -> Self {
        let n = setup.controls.len();
        // A switch has no rest: it stands where the setting lies in which nobody has thrown it.
        let positions = setup.controls.iter().map(|c| c.setting_position(c.home)).collect();
        Self {
            positions,
            trims: vec![Exact::ZERO; n],
            settings: setup.controls.iter().map(|c| c.home).collect(),
        }
    }
}

/// Whether all the settings that a mix or a want asks for are in force.
pub fn holds(when: &[(usize, usize)], settings: &[usize]) -> bool {
    when.iter().all(|&(control, setting)| settings[control] == setting)
}

/// The rate of one way of a channel under the switch settings.
pub fn rate(setup: &Setup, channel: ChannelId, side: Side, settings: &[usize]) -> Exact {
    let rate = &setup.channels[channel].rate[side.index()];
    let index = rate.switch.map_or(0, |switch| settings[switch]);
    rate.values[index.min(rate.values.len() - 1)].clone()
}

/// What happens to a channel's signal from its endpoint on: steps 4 to 9 of the format.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EndStages {
    /// +1 when the high way is the longer pulse, else -1.
    pub sense: i32,
    /// Endpoints as they act on the low and the high way, after any exchange by pulse side.
    pub ends: [Exact; 2],
    /// Whether a signal past full stick is cut off.
    pub cut_off: bool,
    /// Whether the endpoints scale (else they clamp).
    pub scales: bool,
    /// Sub-trim, + towards the longer pulse.
    pub sub_trim: Exact,
    /// The least and greatest output: the ends where they are kept, and the furthest.
    pub limits: [Exact; 2],
    /// The set's own scale and the axis, where the two are not the same.
    onto: Option<[Axis; 2]>,
}

/// A stretch of the endpoint stage without a bend: `height + slope · (v - place)`.
#[derive(Debug)]
pub struct Stretch {
    /// Where it begins; `None`: nowhere.
    pub from: Option<Exact>,
    /// Where it ends; `None`: nowhere.
    pub to: Option<Exact>,
    /// A place in it.
    pub place: Exact,
    /// What comes out there.
    pub height: Exact,
    /// How much more comes out where 1 more goes in.
    pub slope: Exact,
}

impl EndStages {
    /// The shape of a channel under one order.
    pub fn of(setup: &Setup, channel: ChannelId, order: &Order) -> Self {
        let c = &setup.channels[channel];
        let sense = c.longer.sign();
        let [low, high] = c.endpoints.clone();
        let ends = if order.side == EndpointSide::Pulse && sense < 0 { [high, low] } else { [low, high] };
        let furthest = &setup.transmitter.furthest;
        let mut limits = [-furthest, furthest.clone()];
        if order.sub_trim == SubTrimDoes::KeepsEnds {
            let (shorter, longer) = if sense > 0 { (&ends[0], &ends[1]) } else { (&ends[1], &ends[0]) };
            // Two clamps, one after the other; where the ends lie beyond the furthest, that holds.
            limits = [(-shorter).clamp(&limits[0], &limits[1]), longer.clone().clamp(&limits[0], &limits[1])];
        }
        Self {
            sense,
            ends,
            cut_off: order.past_full == PastFull::CutOff,
            scales: order.endpoint == EndpointDoes::Scales,
            sub_trim: c.sub_trim.clone(),
            limits,
            onto: (setup.transmitter.pulse.scale != setup.axis)
                .then(|| [setup.transmitter.pulse.scale.clone(), setup.axis.clone()]),
        }
    }

    /// The set's own scale and the axis of the file, where the two are not the same.
    pub fn axes(&self) -> Option<&[Axis; 2]> {
        self.onto.as_ref()
    }

    /// Steps 4 and 6: the signal after the endpoint, before what is added behind it.
    pub fn endpoint(&self, v: &Exact) -> Exact {
        let q = if self.cut_off { v.clone().clamp(&Exact::int(-1), &Exact::ONE) } else { v.clone() };
        if self.scales {
            let end = if q.signum() < 0 { &self.ends[0] } else { &self.ends[1] };
            q * end
        } else {
            q.clamp(&-&self.ends[0], &self.ends[1])
        }
    }

    /// Steps 7 (sense) and 8 (sub-trim), before any limit.
    pub fn unlimited(&self, w: &Exact) -> Exact {
        if self.sense < 0 { &self.sub_trim - w } else { &self.sub_trim + w }
    }

    /// Steps 8 and 9: the limits, and where the pulse that comes of it lies on the axis. It never falls.
    pub fn sent(&self, out: &Exact) -> Exact {
        let [least, greatest] = &self.limits;
        let out = out.clone().clamp(least, greatest);
        match &self.onto {
            Some([set, axis]) => axis.position_from(set, &out),
            None => out,
        }
    }

    /// The output that makes the pulse of a position, whatever the limits.
    pub fn output_for(&self, position: &Exact) -> Exact {
        self.onto.as_ref().map_or_else(|| position.clone(), |[set, axis]| set.position_from(axis, position))
    }

    /// Outputs at which [`EndStages::sent`] bends: the limits, and rest of the set and of the axis.
    pub fn sent_bends(&self) -> Vec<Exact> {
        let mut bends = self.limits.to_vec();
        if self.onto.is_some() {
            bends.extend([Exact::ZERO, self.output_for(&Exact::ZERO)]);
        }
        bends
    }

    /// Steps 4 to 9 in one: `v` before the endpoint, `added` behind it.
    pub fn finish(&self, v: &Exact, added: &Exact) -> Exact {
        self.sent(&self.unlimited(&(self.endpoint(v) + added)))
    }

    /// The stretches between the bends of [`EndStages::endpoint`], each with the line that it is there.
    pub fn stretches(&self) -> Vec<Stretch> {
        let mut bends = self.bends();
        bends.sort();
        bends.dedup();
        let mut edges: Vec<Option<Exact>> = vec![None];
        edges.extend(bends.into_iter().map(Some));
        edges.push(None);
        let of = |pair: &[Option<Exact>]| {
            let (from, to) = (pair[0].clone(), pair[1].clone());
            // Two places of the stretch give its line.
            let place = from.clone().or_else(|| to.as_ref().map(|t| t - &Exact::ONE)).unwrap_or(Exact::ZERO);
            let next = to.clone().unwrap_or_else(|| &place + &Exact::ONE);
            let height = self.endpoint(&place);
            let slope = (self.endpoint(&next) - &height) / (&next - &place);
            Stretch { from, to, place, height, slope }
        };
        edges.windows(2).map(of).collect()
    }

    /// Where [`EndStages::endpoint`] bends.
    pub fn bends(&self) -> Vec<Exact> {
        let mut bends = Vec::with_capacity(4);
        if self.cut_off {
            bends.extend([Exact::int(-1), Exact::ONE]);
        }
        if self.scales {
            bends.push(Exact::ZERO);
        } else {
            bends.extend([-&self.ends[0], self.ends[1].clone()]);
        }
        bends
    }

    /// Every slope that [`EndStages::endpoint`] can have.
    pub fn slopes(&self) -> Vec<Exact> {
        if self.scales {
            vec![Exact::ZERO, self.ends[0].clone(), self.ends[1].clone()]
        } else {
            vec![Exact::ZERO, Exact::ONE]
        }
    }
}

/// Step 1: the stick signal of a channel at a position of its own control.
pub fn stick_signal(setup: &Setup, channel: ChannelId, position: &Exact, settings: &[usize]) -> Exact {
    let c = &setup.channels[channel];
    let rate = rate(setup, channel, Side::of_sign(position.signum()), settings);
    let cube = position * position * position;
    rate * ((Exact::ONE - &c.expo) * position + &c.expo * cube)
}

/// Steps 1 to 3 for every channel that `channel` needs, each once.
fn before_endpoint(
    setup: &Setup,
    channel: ChannelId,
    inputs: &Inputs,
    order: &Order,
    known: &mut [Option<Exact>],
) -> Exact {
    if let Some(value) = &known[channel] {
        return value.clone();
    }
    let mut v = Exact::ZERO;
    if let Some(own) = setup.channels[channel].control {
        v += stick_signal(setup, channel, &inputs.positions[own], &inputs.settings);
        if order.trim == OrderPlace::Before {
            v += inputs.trims[own].clone();
        }
    }
    if order.mix == OrderPlace::Before {
        v += mixed_in(setup, channel, inputs, order, known);
    }
    known[channel] = Some(v.clone());
    v
}

/// Step 2: the sum of the mixes that are in force.
fn mixed_in(
    setup: &Setup,
    channel: ChannelId,
    inputs: &Inputs,
    order: &Order,
    known: &mut [Option<Exact>],
) -> Exact {
    let mut sum = Exact::ZERO;
    for mix in &setup.channels[channel].mixes {
        if !holds(&mix.when, &inputs.settings) {
            continue;
        }
        let x = match mix.of {
            MixOf::Control(control) if mix.with_trim => &inputs.positions[control] + &inputs.trims[control],
            MixOf::Control(control) => inputs.positions[control].clone(),
            MixOf::Channel(other) => before_endpoint(setup, other, inputs, order, known),
        };
        sum += &mix.add * x;
    }
    sum
}

/// What each step from hand to pulse comes to.
#[derive(Clone, Debug)]
pub struct Steps {
    /// Step 3 of the channel and of each that is mixed in.
    pub signals: Vec<(ChannelId, Exact)>,
    /// Step 6: behind the endpoint.
    pub endpoint: Exact,
    /// Step 7: what is added there.
    pub added: Exact,
    /// Step 8: with sense and sub-trim, before any limit.
    pub unlimited: Exact,
    /// Step 9, on the axis of the boat file.
    pub sent: Exact,
}

/// The output of a channel, on the axis of the boat file: steps 1 to 9.
pub fn output(setup: &Setup, channel: ChannelId, inputs: &Inputs, order: &Order) -> Exact {
    steps(setup, channel, inputs, order).sent
}

/// The same, step by step.
pub fn steps(setup: &Setup, channel: ChannelId, inputs: &Inputs, order: &Order) -> Steps {
    let mut known = vec![None; setup.channels.len()];
    let v = before_endpoint(setup, channel, inputs, order, &mut known);
    let mut added = Exact::ZERO;
    if let Some(own) = setup.channels[channel].control
        && order.trim == OrderPlace::After
    {
        added += inputs.trims[own].clone();
    }
    if order.mix == OrderPlace::After {
        added += mixed_in(setup, channel, inputs, order, &mut known);
    }
    let shape = EndStages::of(setup, channel, order);
    let endpoint = shape.endpoint(&v);
    let unlimited = shape.unlimited(&(&endpoint + &added));
    let sent = shape.sent(&unlimited);
    let signals = known.into_iter().enumerate().filter_map(|(id, v)| Some((id, v?))).collect();
    Steps { signals, endpoint, added, unlimited, sent }
}

/// The output with one way of a control held fully, trims at nought, all else at rest and
/// every switch as it is when nobody has thrown it: what a pulse meter shows for `measured`.
pub fn held_fully(
    setup: &Setup,
    channel: ChannelId,
    (held, side): (ControlId, Side),
    order: &Order,
) -> Exact {
    let mut inputs = Inputs::at_rest(setup);
    inputs.positions[held] = side.position();
    let settings = setup.controls[held].settings.len();
    if settings > 0 {
        inputs.settings[held] = if side == Side::High { settings - 1 } else { 0 };
    }
    output(setup, channel, &inputs, order)
}
