//! Where the pulse of a device has to lie for something to happen, surely or perhaps: the zones that the engine
//! holds the outputs of a channel against, for whoever shows one output at a time. What the file does not say
//! counts at its best and at its worst.

use super::worlds::at_worst;
use super::zones::{inside, may_zone, missed, outside, past, short};
use crate::chain::{Inputs, Order, output};
use crate::proof::Zone;
use crate::setup::{DeviceId, Exact, Setup, Side, WorkRef};

/// Outputs of the pilot at which something may happen, and at which it may fail to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bands {
    /// In one of these it may happen; outside of all of them it does not.
    pub may: Vec<Zone>,
    /// In one of these it may fail to; outside of all of them it surely happens, if it may.
    pub may_not: Vec<Zone>,
}

impl Bands {
    fn gathered(setup: &Setup, of: impl Fn(&Setup) -> Self) -> Self {
        let mut all = of(setup);
        for there in at_worst(setup).iter().map(of) {
            for (known, more) in [(&mut all.may, there.may), (&mut all.may_not, there.may_not)] {
                let new = more.into_iter().filter(|zone| !known.contains(zone)).collect::<Vec<_>>();
                known.extend(new);
            }
        }
        all
    }

    /// Of a work: whether it is engaged. What it was engaged by before counts, so that between its two points it
    /// may be.
    pub fn of_work(setup: &Setup, function: WorkRef) -> Self {
        Self::gathered(setup, |setup| {
            let work = setup.work(function);
            let slack = setup.slack(function.device, work.sign, false);
            Self { may: vec![may_zone(work, &slack, true)], may_not: missed(work, &slack, false) }
        })
    }

    /// Of a motor: whether it runs.
    pub fn of_motor(setup: &Setup, device: DeviceId) -> Self {
        Self::gathered(setup, |setup| {
            let off = [-1, 1].map(|sign| setup.slack(device, sign, false));
            let still = crate::rule::still(setup, &setup.devices[device]);
            let rest = still.clone().unwrap_or([Exact::ZERO, Exact::ZERO]);
            Self {
                may: outside(&rest, off.each_ref()).into(),
                may_not: vec![inside(setup.devices[device].still_between.as_ref(), off.each_ref())],
            }
        })
    }

    /// Of what is seen on one side of rest: whether it is seen. Rest is the band in which a motor stands, and for
    /// anything else where its pulse lies with no control touched: that is where its horn was put on.
    pub fn of_effect(setup: &Setup, device: DeviceId, side: Side) -> Self {
        Self::gathered(setup, |setup| {
            let sign = side.sign();
            let slack = setup.slack(device, sign, false);
            let edge = match &setup.devices[device].still_between {
                Some(band) => band[side.index()].clone(),
                None => at_rest(setup, device, sign),
            };
            let needed = &edge * Exact::int(i64::from(sign));
            Self { may: vec![past(&edge, sign, false, &slack)], may_not: vec![short(&needed, sign, &slack)] }
        })
    }
}

/// The output with no control touched, in whatever order it is reckoned: the farthest towards a side.
fn at_rest(setup: &Setup, device: DeviceId, sign: i32) -> Exact {
    let Some(channel) = setup.channel_of(device) else { return Exact::ZERO };
    let inputs = Inputs::at_rest(setup);
    let orders = Order::all(&setup.transmitter.order);
    let all = orders.iter().map(|order| output(setup, channel, &inputs, order));
    all.reduce(|a, b| if sign < 0 { a.min(b) } else { a.max(b) }).unwrap_or(Exact::ZERO)
}
