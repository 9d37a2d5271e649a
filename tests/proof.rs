//! The proof where it is easiest to get wrong: works that hold on, one servo with two works, two
//! outputs on one stick; against plain evaluation where that can be done.

#![allow(clippy::unwrap_used)]

use lidcard::chain::{Inputs, Order, output};
use lidcard::finding::Finding;
use lidcard::proof::{Domain, Verdict, Zone, joint};
use lidcard::setup::{Exact, Setup, lower::lower};
use lidcard::source::Source;
use proptest::prelude::*;

fn read(text: &str) -> Setup {
    let source = Source::from_text("test.yaml", text).unwrap();
    lower(&source).unwrap_or_else(|m| panic!("{m:#?}\n{text}"))
}

fn open(text: &str, rule: &str) -> Vec<Finding> {
    lidcard::rule::check(&read(text)).into_iter().filter(|f| f.rule == rule && f.is_open()).collect()
}

/// The pump cannot be reached by hand, lets go only below +5 %, and the next stage vents: `on_loss`
/// and `first` decide what happens before that stage.
fn stages(on_loss: &str, first: &str) -> String {
    format!(
        "lidcard: 1
boat: {{name: Test, kind: submarine}}
transmitter: {{channels: 4}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}}}
  vents: {{at: right stick, ways: {{towards: shut, away: open}}}}
channels:
  1: {{control: tank, longer: blow, endpoints: {{flood: 50 %, blow: 50 %}}}}
  2: {{control: vents, longer: open, endpoints: {{shut: 50 %, open: 50 %}}}}
receiver: {{on_loss: {on_loss}}}
fail_safe:
  channels: [1, 2]
  notices: no pulses
  stages:
    - {{name: one, lasts: 5 s, set: {{1: {first}, 2: 0 %}}}}
    - {{name: two, set: {{1: +10 %, 2: +100 %}}}}
devices:
  a: {{kind: servo, channel: 1, works: {{pump: {{kind: pump switch, from: +90 %, releases: +5 %}}}}}}
  b: {{kind: servo, channel: 2, works: {{vent: {{kind: vent valve, from: +90 %}}}}}}
"
    )
}

#[test]
fn a_work_that_an_earlier_stage_engaged_may_still_be_held_in_the_next() {
    assert_eq!(open(&stages("no pulses", "+100 %"), "works-together").len(), 1);
    assert_eq!(open(&stages("no pulses", "+10 %"), "works-together").len(), 0);
}

#[test]
fn a_work_that_a_preset_engaged_may_still_be_held_in_the_first_stage() {
    let engages = |on_loss: &str| {
        open(&stages(on_loss, "+10 %"), "stage-engages").iter().filter(|f| f.about == "one.pump").count()
    };
    assert_eq!(engages("{1: +100 %, 2: 0 %}"), 1);
    assert_eq!(engages("{1: +10 %, 2: 0 %}"), 0);
}

/// The two zones lie 2 % apart and the servo is 3 % off, but for both works by the same.
#[test]
fn one_servo_is_never_off_both_ways_at_once() {
    let text = |place: &str| {
        format!(
            "lidcard: 1
boat: {{name: Test, kind: submarine}}
transmitter: {{channels: 4}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}}}
channels:
  1: {{control: tank, longer: blow}}
receiver: {{on_loss: {{1: +59 %}}}}
devices:
  auto: {{kind: leveller, channel: 1, limits: [-90 %, +90 %]}}
  s: {{kind: servo, {place}, accuracy: 3 %, works: {{vent: {{kind: vent valve, from: +40 %, to: +58 %}}, pump: {{kind: pump switch, from: +60 %}}}}}}
"
        )
    };
    for place in ["channel: 1", "behind: auto"] {
        assert_eq!(open(&text(place), "works-together").len(), 0, "{place}");
    }
}

/// Two channels on one stick, the second with the other stick mixed in.
fn pair(add: i64, expo: i64, trim: i64) -> Setup {
    read(&format!(
        "lidcard: 1
boat: {{name: Test}}
transmitter: {{channels: 4}}
controls:
  helm: {{at: right stick, ways: {{left: port, right: starboard}}, trim: {trim} %}}
  dive: {{at: right stick, ways: {{towards: rise, away: dive}}, trim: 10 %}}
channels:
  1: {{control: helm, longer: starboard, expo: {expo} %}}
  2: {{control: dive, longer: dive, rate: 40 %, mixes: [{{add: {add} %, of: helm}}]}}
devices:
  a: {{kind: servo, channel: 1}}
  b: {{kind: servo, channel: 2}}
"
    ))
}

fn asked(setup: &Setup, order: Order, one: &Zone, two: &Zone) -> Verdict {
    joint::both_meet(setup, &[order], &Domain::everything(setup), (0, one), (1, two))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Where it says that both never meet their zones no sample does, and what it shows does.
    #[test]
    fn two_outputs_on_one_stick_are_judged_together(
        add in -100i64..=100, expo in 0i64..=60, first in -110i64..=110, second in -110i64..=110,
        width in 1i64..40, which in 0usize..64,
    ) {
        let setup = pair(add, expo, 10);
        let order = Order::all(&setup.transmitter.order)[which];
        let one = Zone { low: Some(Exact::percent(first)), high: Some(Exact::percent(first + width)), closed: true };
        let two = Zone::from(Exact::percent(second));
        let both = |inputs: &Inputs| {
            one.holds(&output(&setup, 0, inputs, &order)) && two.holds(&output(&setup, 1, inputs, &order))
        };
        match asked(&setup, order, &one, &two) {
            Verdict::Met(found) => {
                let inputs = Inputs {
                    positions: found.hand.positions.clone(),
                    trims: found.hand.trims.clone(),
                    settings: found.settings.clone(),
                };
                prop_assert!(both(&inputs));
            }
            Verdict::Clear => {
                let mut inputs = Inputs::at_rest(&setup);
                for helm in -20..=20 {
                    for dive in [-20, -10, 0, 10, 20] {
                        for (t, u) in [(-1, -1), (-1, 1), (0, 0), (1, -1), (1, 1)] {
                            inputs.positions = vec![Exact::ratio(helm, 20), Exact::ratio(dive, 20)];
                            inputs.trims = vec![Exact::ratio(t, 10), Exact::ratio(u, 10)];
                            prop_assert!(!both(&inputs), "{inputs:?}");
                        }
                    }
                }
            }
            Verdict::Unknown(_) => {}
        }
    }
}

/// A zone with two ends on an output that nothing else shares: both extremes lie outside it.
#[test]
fn outputs_that_share_nothing_meet_inside_a_zone_with_two_ends() {
    let setup = pair(0, 0, 0);
    let mut setup = setup;
    setup.channels[1].mixes.clear();
    let order = Order::all(&setup.transmitter.order)[0];
    let one = Zone { low: Some(Exact::percent(20)), high: Some(Exact::percent(30)), closed: true };
    let two = Zone { low: Some(Exact::percent(10)), high: Some(Exact::percent(15)), closed: true };
    assert!(matches!(asked(&setup, order, &one, &two), Verdict::Met(_)));
}
