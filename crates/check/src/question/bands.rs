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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::Bands;
    use crate::proof::Zone;
    use crate::setup::lower::lower;
    use crate::setup::{Exact, Setup, Side, WorkRef};
    use crate::source::Source;

    fn moonfish(change: impl Fn(String) -> String) -> Setup {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../boats/moonfish.yaml");
        let text = change(std::fs::read_to_string(path).unwrap());
        lower(&Source::from_bytes("moonfish.yaml", text.into()).unwrap()).unwrap()
    }

    fn device(setup: &Setup, name: &str) -> usize {
        setup.devices.iter().position(|device| device.name == name).unwrap()
    }

    /// The gas engages at +72 % ± 4 %; the servo is off by 1.5 %, the pulse by 2 us of 400 us, which is 0.5 %:
    /// it may be open from 72 - 4 - 2 = 66 % on, and surely is beyond 72 + 4 + 2 = 78 %.
    #[test]
    fn a_work_may_act_and_surely_acts_where_all_tolerances_together_say() {
        let setup = moonfish(|text| text);
        let gas = WorkRef { device: device(&setup, "tank_servo"), work: 2 };
        let bands = Bands::of_work(&setup, gas);
        assert_eq!(bands.may, [Zone::from(Exact::percent(66))]);
        assert_eq!(bands.may_not, [Zone::below(Exact::percent(78))]);
    }

    /// Stands from -4 % to +4 %, is off by 0.5 %, the pulse by 0.5 %.
    #[test]
    fn a_motor_may_run_and_surely_runs_on_either_side_of_its_band() {
        let setup = moonfish(|text| text);
        let bands = Bands::of_motor(&setup, device(&setup, "motor_esc"));
        assert_eq!(bands.may, [Zone::below(Exact::percent(-3)), Zone::above(Exact::percent(3))]);
        let inside = Zone { low: Some(Exact::percent(-5)), high: Some(Exact::percent(5)), closed: true };
        assert_eq!(bands.may_not, [inside]);
    }

    /// The rudder's channel rests at its sub-trim, -3 %, and servo and pulse are off by 2.5 %.
    #[test]
    fn what_is_seen_of_a_servo_begins_where_its_channel_rests() {
        let setup = moonfish(|text| text);
        let right = Bands::of_effect(&setup, device(&setup, "rudder_servo"), Side::High);
        assert_eq!(right.may, [Zone::above(Exact::ratio(-55, 1000))]);
        assert!(right.may_not[0].holds(&Exact::ratio(-5, 1000)) && !right.may_not[0].holds(&Exact::ZERO));
    }

    #[test]
    fn an_accuracy_that_nobody_gave_widens_both() {
        let without = moonfish(|text| text.replace("    accuracy: 1.5 %\n", ""));
        let gas = WorkRef { device: device(&without, "tank_servo"), work: 2 };
        let bands = Bands::of_work(&without, gas);
        assert!(bands.may.iter().any(|zone| zone.holds(&Exact::percent(60))), "{bands:?}");
        assert!(bands.may_not.iter().any(|zone| zone.holds(&Exact::percent(86))), "{bands:?}");
    }
}
