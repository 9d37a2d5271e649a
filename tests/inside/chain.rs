//! The arithmetic from hand to pulse, against values worked out by hand, and the proof against
//! plain evaluation.

use crate::help::read;
use lidcard::chain::{Inputs, Order, output};
use lidcard::proof::{Cases, Domain};
use lidcard::setup::{Exact, Setup, Side};
use proptest::prelude::*;
use std::collections::BTreeSet;

/// One channel on one stick and one that is mixed in, with the given lines.
fn boat(order: &str, channel: &str) -> Setup {
    read(&format!(
        "lidcard: 1
boat: {{name: Test}}
transmitter:
  channels: 4
  furthest: 150 %
  order: {{{order}}}
controls:
  helm: {{at: right stick, ways: {{left: port, right: starboard}}, trim: 20 %}}
  dive: {{at: right stick, ways: {{towards: rise, away: dive}}, trim: 10 %}}
  gear: {{at: top left, kind: switch, settings: [low, high]}}
channels:
  1: {{name: rudder, control: helm, {channel}}}
  2: {{name: planes, control: dive, longer: dive, rate: {{gear: {{low: 50 %, high: 100 %}}}}}}
devices:
  a: {{kind: servo, channel: 1}}
  b: {{kind: servo, channel: 2}}
"
    ))
}

struct Row {
    order: &'static str,
    channel: &'static str,
    helm: &'static str,
    trim: &'static str,
    dive: &'static str,
    /// Worked out by hand; the sum stands beside each row.
    output: &'static str,
}

const CLOSED: &str = "past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends";

#[rustfmt::skip]
const TABLE: &[Row] = &[
    // 0.5 · 0.80 = 0.40
    Row { order: CLOSED, channel: "longer: starboard, endpoints: {port: 90 %, starboard: 80 %}", helm: "0.5", trim: "0", dive: "0", output: "0.40" },
    // -0.5 · 0.90 = -0.45
    Row { order: CLOSED, channel: "longer: starboard, endpoints: {port: 90 %, starboard: 80 %}", helm: "-0.5", trim: "0", dive: "0", output: "-0.45" },
    // port lengthens: -(-0.5 · 0.90) = 0.45
    Row { order: CLOSED, channel: "longer: port, endpoints: {port: 90 %, starboard: 80 %}", helm: "-0.5", trim: "0", dive: "0", output: "0.45" },
    // by pulse side the two endpoints change places: 0.5 · 0.8 = 0.40
    Row { order: "past_full_stick: cut off, endpoint: scales, endpoint_side: pulse, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends",
          channel: "longer: port, endpoints: {port: 90 %, starboard: 80 %}", helm: "-0.5", trim: "0", dive: "0", output: "0.40" },
    // expo 20 %: 0.8 · 0.5 + 0.2 · 0.125 = 0.425
    Row { order: CLOSED, channel: "longer: starboard, expo: 20 %", helm: "0.5", trim: "0", dive: "0", output: "0.425" },
    // rate 60 % and trim 0.2 before the endpoint: (0.6 + 0.2) · 0.5 = 0.40
    Row { order: CLOSED, channel: "longer: starboard, rate: 60 %, endpoints: {port: 50 %, starboard: 50 %}", helm: "1", trim: "0.2", dive: "0", output: "0.40" },
    // trim after: 0.6 · 0.5 + 0.2 = 0.50
    Row { order: "past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: after endpoint, mix: before endpoint, sub_trim: shifts ends",
          channel: "longer: starboard, rate: 60 %, endpoints: {port: 50 %, starboard: 50 %}", helm: "1", trim: "0.2", dive: "0", output: "0.50" },
    // 1 + 0.2 cut off at 1: 1 · 1 = 1
    Row { order: CLOSED, channel: "longer: starboard", helm: "1", trim: "0.2", dive: "0", output: "1" },
    // the same carried on: 1.2
    Row { order: "past_full_stick: carries on, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends",
          channel: "longer: starboard", helm: "1", trim: "0.2", dive: "0", output: "1.2" },
    // the endpoint clamps: min(0.7, 0.5) = 0.5
    Row { order: "past_full_stick: cut off, endpoint: clamps, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends",
          channel: "longer: starboard, endpoints: {port: 50 %, starboard: 50 %}", helm: "0.7", trim: "0", dive: "0", output: "0.5" },
    // sub-trim shifts the ends: 0.9 + 0.1 = 1.0
    Row { order: CLOSED, channel: "longer: starboard, endpoints: {port: 90 %, starboard: 90 %}, sub_trim: 10 %", helm: "1", trim: "0", dive: "0", output: "1" },
    // or keeps them: min(1.0, 0.9) = 0.9
    Row { order: "past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: keeps ends",
          channel: "longer: starboard, endpoints: {port: 90 %, starboard: 90 %}, sub_trim: 10 %", helm: "1", trim: "0", dive: "0", output: "0.9" },
    // sub-trim lies on the output axis: port lengthens, held to starboard: -(1 · 0.9) + 0.1 = -0.8
    Row { order: CLOSED, channel: "longer: port, endpoints: {port: 90 %, starboard: 90 %}, sub_trim: 10 %", helm: "1", trim: "0", dive: "0", output: "-0.8" },
    // mix before: (0.5 + 0.4 · 1) · 0.5 = 0.45
    Row { order: CLOSED, channel: "longer: starboard, endpoints: {port: 50 %, starboard: 50 %}, mixes: [{add: 40 %, of: dive}]", helm: "0.5", trim: "0", dive: "1", output: "0.45" },
    // mix after: 0.5 · 0.5 + 0.4 = 0.65
    Row { order: "past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: after endpoint, sub_trim: shifts ends",
          channel: "longer: starboard, endpoints: {port: 50 %, starboard: 50 %}, mixes: [{add: 40 %, of: dive}]", helm: "0.5", trim: "0", dive: "1", output: "0.65" },
    // through channel 2, whose rate is 50 % with the gear low: 0.4 · 0.5 = 0.2
    Row { order: CLOSED, channel: "longer: starboard, mixes: [{add: 40 %, of: channel 2}]", helm: "0", trim: "0", dive: "1", output: "0.2" },
    // never past the furthest, 150 %: 1.5 · 1 + 0.4, carried on = 1.9 -> 1.5
    Row { order: "past_full_stick: carries on, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: before endpoint, sub_trim: shifts ends",
          channel: "longer: starboard, rate: 150 %, mixes: [{add: 40 %, of: dive}]", helm: "1", trim: "0", dive: "1", output: "1.5" },
];

#[test]
fn every_row_of_the_table_comes_out_as_worked_out_by_hand() {
    for (index, row) in TABLE.iter().enumerate() {
        let setup = boat(row.order, row.channel);
        let mut inputs = Inputs::at_rest(&setup);
        let value = |s: &str| Exact::from_decimal(s).unwrap();
        inputs.positions[0] = value(row.helm);
        inputs.trims[0] = value(row.trim);
        inputs.positions[1] = value(row.dive);
        let orders = Order::all(&setup.transmitter.order);
        assert_eq!(orders.len(), 1);
        assert_eq!(output(&setup, 0, &inputs, &orders[0]), value(row.output), "row {index}: {}", row.channel);
    }
}

#[test]
fn an_open_order_is_every_order() {
    let setup = boat("", "longer: starboard");
    assert_eq!(Order::all(&setup.transmitter.order).len(), 64);
}

/// Own mix -50 % behind the endpoint at a rate of 150 %, cut off: greatest at two thirds of the
/// stick, where 1.5·p = 1 and 1 - 0.5·p = 2/3. At both ends it is only one half.
#[test]
fn the_greatest_output_may_lie_inside_the_travel() {
    let setup = boat(
        "past_full_stick: cut off, endpoint: scales, endpoint_side: stick, trim: before endpoint, mix: after endpoint, sub_trim: shifts ends",
        "longer: starboard, rate: 150 %, mixes: [{add: -50 %, of: helm}]",
    );
    let orders = Order::all(&setup.transmitter.order);
    let cases = Cases::of(&setup, 0, &orders, &BTreeSet::new());
    let (low, high) = cases.span(&setup, &Domain::everything(&setup).with_trims_at_nought()).unwrap();
    assert_eq!(high, Exact::ratio(2, 3));
    assert_eq!(low, Exact::ratio(-2, 3));
}

prop_compose! {
    fn percent(low: i64, high: i64)(v in low..=high) -> String { format!("{v} %") }
}

prop_compose! {
    fn channel()(
        longer in prop::sample::select(vec!["port", "starboard"]),
        rate in percent(0, 150), expo in percent(0, 100), e1 in percent(0, 150), e2 in percent(0, 150),
        sub in percent(-30, 30), a in percent(-100, 100), b in percent(-100, 100), c in percent(-100, 100),
        with_trim in prop::sample::select(vec!["yes", "no"]),
    ) -> String {
        format!("longer: {longer}, rate: {rate}, expo: {expo}, endpoints: {{port: {e1}, starboard: {e2}}}, sub_trim: {sub}, \
                 mixes: [{{add: {a}, of: dive, with_trim: {with_trim}}}, {{add: {b}, of: helm}}, {{add: {c}, of: channel 2, when: {{gear: high}}}}]")
    }
}

fn tenths() -> impl Strategy<Value = Exact> {
    (-20i64..=20).prop_map(|v| Exact::ratio(v, 20))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// No sample ever lies beyond the proved reach, and the reach is really attained.
    #[test]
    fn the_reach_is_never_beaten_and_is_attained(channel in channel(), samples in prop::collection::vec((tenths(), tenths(), tenths(), tenths(), 0usize..2), 30), which in 0usize..64) {
        let setup = boat("", &channel);
        let order = Order::all(&setup.transmitter.order)[which];
        let cases = Cases::of(&setup, 0, &[order], &BTreeSet::new());
        let everything = Domain::everything(&setup);
        let (low, high) = cases.span(&setup, &everything).unwrap();
        for (helm, dive, t, u, gear) in samples {
            let mut inputs = Inputs::at_rest(&setup);
            inputs.positions[0] = helm;
            inputs.positions[1] = dive;
            inputs.trims[0] = t * Exact::ratio(1, 5);
            inputs.trims[1] = u * Exact::ratio(1, 10);
            inputs.settings[2] = gear;
            let out = output(&setup, 0, &inputs, &order);
            prop_assert!(low <= out && out <= high, "{out} outside {low} ..= {high}");
        }
        let mut attained = Vec::new();
        for case in &cases.cases {
            for which in [lidcard::proof::Extreme::Least, lidcard::proof::Extreme::Greatest] {
                let extreme = case.fixed.extreme(&everything, which);
                let inputs = Inputs {
                    positions: extreme.at.positions.clone(),
                    trims: extreme.at.trims.clone(),
                    settings: case.settings.clone(),
                };
                prop_assert_eq!(&output(&setup, 0, &inputs, &case.order), &extreme.value);
                prop_assert!((&extreme.bound - &extreme.value).abs() < Exact::ratio(1, 1_000_000));
                attained.push(extreme.value);
            }
        }
        let close = |a: &Exact, b: &Exact| (a - b).abs() < Exact::ratio(1, 1_000_000);
        prop_assert!(attained.iter().any(|v| close(v, &low)) && attained.iter().any(|v| close(v, &high)));
    }

    /// Exchanging `longer` and all signs of hand and sub-trim mirrors the output.
    #[test]
    fn a_mirrored_boat_gives_the_mirrored_output(helm in tenths(), trim in tenths(), e1 in percent(0, 150), e2 in percent(0, 150), expo in percent(0, 100), sub in 0i64..30, which in 0usize..64) {
        let of = |port: &str, starboard: &str, sub: i64| format!("longer: starboard, expo: {expo}, endpoints: {{port: {port}, starboard: {starboard}}}, sub_trim: {sub} %");
        let one = boat("", &of(&e1, &e2, sub));
        let two = boat("", &of(&e2, &e1, -sub));
        let order = Order::all(&one.transmitter.order)[which];
        let at = |setup: &Setup, p: Exact, t: Exact| {
            let mut inputs = Inputs::at_rest(setup);
            inputs.positions[0] = p;
            inputs.trims[0] = t;
            output(setup, 0, &inputs, &order)
        };
        let t = trim * Exact::ratio(1, 5);
        prop_assert_eq!(at(&one, helm.clone(), t.clone()), -at(&two, -helm, -t));
    }

    /// Nothing ever leaves `furthest`.
    #[test]
    fn no_output_lies_beyond_the_furthest(channel in channel(), helm in tenths(), dive in tenths()) {
        let setup = boat("", &channel);
        for order in Order::all(&setup.transmitter.order) {
            let mut inputs = Inputs::at_rest(&setup);
            inputs.positions[0] = helm.clone();
            inputs.positions[1] = dive.clone();
            prop_assert!(output(&setup, 0, &inputs, &order).abs() <= setup.transmitter.furthest);
        }
    }
}

#[test]
fn a_work_that_is_only_touched_counts_as_engaged() {
    // 21 % + 1.5 % + 0.5 % (2 us) = 23 %: binary floating point makes it 22.999… or 23.000…1.
    let text = |endpoint: &str| {
        format!(
            "lidcard: 1
boat: {{name: Touch, kind: other}}
transmitter: {{pulse: {{accuracy: 2 us}}}}
controls:
  tank: {{at: left stick, ways: {{towards: out, away: in}}, trim: locked}}
channels:
  1: {{control: tank, longer: in, endpoints: {{out: 0 %, in: {endpoint}}}}}
devices:
  s: {{kind: servo, channel: 1, accuracy: 1.5 %, works: {{gas: {{kind: emergency gas valve, from: +23 % ± 0 %, releases: where it engages}}}}}}
"
        )
    };
    let open = |endpoint: &str| {
        lidcard::rule::check(&read(&text(endpoint)))
            .into_iter()
            .any(|f| f.rule == "emergency-within-reach" && f.is_open())
    };
    assert!(open("21 %"));
    assert!(!open("20.999 %"));
}

#[test]
fn the_published_windows_of_the_format_come_out() {
    let text = std::fs::read_to_string("tests/fixtures/example.yaml").unwrap();
    // The format's sum is made with a tolerance that holds always.
    let from = text.replace("clicks: [+37 %, +38 %, +40 %, +39 %, +36 %]", "from: +38 % ± 2 %");
    assert_ne!(from, text);
    let setup = read(&from);
    let windows = lidcard::rule::endpoints(&setup);
    let of = |way: &str| windows.iter().find(|w| w.way == way).unwrap();
    let percent = |v: &[[Exact; 2]]| -> Vec<[String; 2]> {
        v.iter().map(|w| w.clone().map(|e| (e * Exact::int(100)).to_decimal(3))).collect()
    };
    assert_eq!(percent(&of("blow").windows), [["42", "65"]]);
    assert_eq!(of("blow").best, Some(Exact::percent(54)));
    assert_eq!(percent(&of("flood").windows), [["75", "108"]]);
    assert_eq!(of("flood").best, Some(Exact::percent(80)));
    assert_eq!(setup.channels[3].endpoints[Side::High.index()], Exact::percent(58));
}

/// Of five clicks at 36, 38, 35, 37 and 36 %: mean 36.4, s = sqrt(5.2 / 4) = 1.1402, factor 5.0769 for 95 % of
/// clicks at 95 % confidence, so the blower may click as late as 36.4 + 5.7886 = 42.19. With servo 1.5 and pulse
/// 0.5 that is 44.19: 45 % is the lowest step that surely reaches it. Gas may open at 72 - 4 - 2 = 66: 65 % stays
/// short of it, and half way from 44.19 to 66 lies 55.1.
#[test]
fn the_blowers_window_is_that_of_its_tolerance_interval() {
    let setup = read(&std::fs::read_to_string("boats/moonfish.yaml").unwrap());
    let windows = lidcard::rule::endpoints(&setup);
    let blow = windows.iter().find(|w| w.way == "blow").unwrap();
    assert_eq!(blow.windows, [[Exact::percent(45), Exact::percent(65)]]);
    assert_eq!(blow.best, Some(Exact::percent(55)));
    // Factor 3.3935 for ten: 36.4 + 3.8692 = 40.27, with 2 for servo and pulse 42.27.
    let more = lidcard::rule::more::readings(&setup, &windows);
    assert_eq!(more.len(), 1);
    assert_eq!(more[0].windows, [[Exact::percent(43), Exact::percent(65)]]);
}

#[test]
fn microseconds_of_a_rate_and_of_a_trim_are_shares_of_their_own_side() {
    let share = |text| Exact::from_decimal(text).unwrap();
    // 100 % is 500 us on the shorter side and 300 us on the longer.
    let lopsided = |first: &str, second: &str| {
        read(&format!(
            "lidcard: 1
boat: {{name: Test}}
transmitter: {{channels: 4, pulse: {{rest: 1500 us, full: [1000 us, 1800 us]}}}}
controls:
  tank: {{at: left stick, ways: {{left: flood, right: blow}}, trim: 120 us}}
channels:
  1: {{name: first, control: tank, longer: {first}, rate: 240 us}}
  2: {{name: second, control: tank, longer: {second}, rate: {{flood: 100 %, blow: 60 us}}}}
devices:
  a: {{kind: servo, channel: 1}}
  b: {{kind: servo, channel: 2}}
"
        ))
    };
    for (first, second, rates, trim) in [
        // Shorter 240/500, longer 240/300; 60/300; shorter 120/500, longer 120/300.
        ("blow", "blow", [["0.48", "0.8"], ["1", "0.2"]], ["0.24", "0.4"]),
        // Flood lengthens the pulse: 240/300 and 240/500, 60/500, 120/300 and 120/500.
        ("flood", "flood", [["0.8", "0.48"], ["1", "0.12"]], ["0.4", "0.24"]),
        // One trim moves two channels that run opposite ways: each end as far as it moves either.
        ("blow", "flood", [["0.48", "0.8"], ["1", "0.12"]], ["0.4", "0.4"]),
    ] {
        let setup = lopsided(first, second);
        for (channel, rates) in setup.channels.iter().zip(rates) {
            let found = channel.rate.each_ref().map(|rate| rate.values[0].clone());
            assert_eq!(found, rates.map(share), "{first} {second}");
        }
        assert_eq!(setup.controls[0].trim, trim.map(share), "{first} {second}");
        let trims = &Domain::everything(&setup).trims[0];
        assert_eq!([-&trims.low, trims.high.clone()], trim.map(share), "{first} {second}");
    }
}
