//! The proof where it is easiest to get wrong: works that hold on, one servo with two works, two
//! outputs on one stick; against plain evaluation where that can be done.

use crate::help::read;
use lidcard::chain::terms::Gathered;
use lidcard::chain::{Inputs, Order, output};
use lidcard::finding::Finding;
use lidcard::proof::{Domain, Verdict, Zone, joint};
use lidcard::setup::{Exact, Setup};
use proptest::prelude::*;

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
  a: {{kind: servo, channel: 1, stops: [-80 %, +80 %], works: {{pump: {{kind: pump switch, from: +90 %, releases: +5 %}}}}}}
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

/// Without stops in its way it may have been anywhere before its first pulse came.
#[test]
fn a_work_that_a_servo_was_pushed_to_before_power_came_may_still_be_held() {
    let text = stages("no pulses", "+10 %");
    let engages = |text: &str| open(text, "stage-engages").iter().filter(|f| f.about == "one.pump").count();
    assert_eq!(engages(&text), 0);
    assert_eq!(engages(&text.replace("stops: [-80 %, +80 %], ", "")), 1);
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
    joint::both_meet(
        setup,
        &Gathered::default(),
        &[order],
        &Domain::everything(setup),
        (0, one),
        (1, two),
        joint::MOST_BOXES,
    )
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

/// Both channels on one stick, each with its own rates and endpoints, nothing else.
fn twins(rates: [i64; 2], ends: [i64; 2]) -> Setup {
    read(&format!(
        "lidcard: 1
boat: {{name: Test}}
transmitter: {{channels: 4, furthest: 150 %}}
controls:
  helm: {{at: right stick, ways: {{left: port, right: starboard}}}}
channels:
  1: {{control: helm, longer: starboard, rate: {} %, endpoints: {} %}}
  2: {{control: helm, longer: starboard, rate: {} %, endpoints: {} %}}
devices:
  a: {{kind: servo, channel: 1}}
  b: {{kind: servo, channel: 2}}
",
        rates[0], ends[0], rates[1], ends[1]
    ))
}

#[test]
fn two_zones_that_touch_at_a_third_of_the_stick_are_told_from_two_that_do_not() {
    // The first passes 23 % upward and the second 41 % downward at exactly p = 1/3.
    let setup = twins([100, 100], [69, 123]);
    let order = Order::all(&setup.transmitter.order)[0];
    let one = Zone::from(Exact::percent(23));
    assert!(matches!(asked(&setup, order, &one, &Zone::up_to(Exact::percent(41))), Verdict::Met(_)));
    let short = Exact::percent(41) - Exact::ratio(1, 1_000_000_000);
    assert!(matches!(asked(&setup, order, &one, &Zone::up_to(short)), Verdict::Clear));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    /// At a place of odd denominators both outputs are just what they are: found. The second moved
    /// away by a billionth where only that place gives the first: never found.
    #[test]
    fn straight_lines_are_never_undecided(
        place in 1i64..41, grid in prop::sample::select(vec![7i64, 9, 11, 13, 41]),
        rates in [20i64..=70, 20i64..=70], ends in [30i64..=120, 30i64..=120],
        which in 0usize..64,
    ) {
        let setup = twins(rates, ends);
        let order = Order::all(&setup.transmitter.order)[which];
        let mut inputs = Inputs::at_rest(&setup);
        inputs.positions[0] = Exact::ratio(place % grid, grid);
        let outputs = [0, 1].map(|channel| output(&setup, channel, &inputs, &order));
        let point = |at: &Exact| Zone { low: Some(at.clone()), high: Some(at.clone()), closed: true };
        let met = asked(&setup, order, &point(&outputs[0]), &point(&outputs[1]));
        prop_assert!(matches!(met, Verdict::Met(_)), "{met:?}");
        let mut nudged = inputs.clone();
        nudged.positions[0] += Exact::ratio(1, 1_000_000);
        let strict = [0, 1].map(|c| output(&setup, c, &nudged, &order) > outputs[c]);
        if strict == [true, true] {
            let off = &outputs[1] + Exact::ratio(1, 1_000_000_000);
            let clear = asked(&setup, order, &point(&outputs[0]), &point(&off));
            prop_assert!(matches!(clear, Verdict::Clear), "{clear:?}");
        }
    }

    /// With two sticks, trims and a mix, but no expo: always told, and right.
    #[test]
    fn straight_lines_over_several_sticks_are_told_and_told_rightly(
        add in -100i64..=100, first in -110i64..=110, second in -110i64..=110, width in 0i64..12, which in 0usize..64,
    ) {
        let setup = pair(add, 0, 10);
        let order = Order::all(&setup.transmitter.order)[which];
        let stretch = |from: i64| {
            let third = Exact::ratio(1, 300);
            Zone {
                low: Some(Exact::percent(from) + &third),
                high: Some(Exact::percent(from + width) + third),
                closed: true,
            }
        };
        let (one, two) = (stretch(first), stretch(second));
        let both = |inputs: &Inputs| {
            one.holds(&output(&setup, 0, inputs, &order)) && two.holds(&output(&setup, 1, inputs, &order))
        };
        let mut inputs = Inputs::at_rest(&setup);
        match asked(&setup, order, &one, &two) {
            Verdict::Met(found) => {
                inputs.positions = found.hand.positions;
                inputs.trims = found.hand.trims;
                prop_assert!(both(&inputs), "{inputs:?}");
            }
            Verdict::Clear => {
                for helm in -30..=30 {
                    for dive in -15..=15 {
                        for (t, u) in [(-1, -1), (-1, 1), (0, 0), (1, -1), (1, 1)] {
                            inputs.positions = vec![Exact::ratio(helm, 30), Exact::ratio(dive, 15)];
                            inputs.trims = vec![Exact::ratio(t, 10), Exact::ratio(u, 10)];
                            prop_assert!(!both(&inputs), "{inputs:?}");
                        }
                    }
                }
            }
            Verdict::Unknown(why) => prop_assert!(false, "undecided: {why}"),
        }
    }
}

/// Two servos behind one leveller, or each behind its own; the second work lies 2 % beyond the first.
fn behind(second: &str, starts: &str) -> String {
    format!(
        "lidcard: 1
boat: {{name: Test, kind: submarine}}
transmitter: {{channels: 4, pulse: {{accuracy: 0 us}}}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}}}
channels:
  1: {{control: tank, longer: blow}}
devices:
  auto: {{kind: leveller, channel: 1, limits: [-90 %, +90 %]}}
  other: {{kind: leveller, limits: [-90 %, +90 %]}}
  a: {{kind: servo, behind: auto, accuracy: 3 %, works: {{vent: {{kind: vent valve, from: +30 %, to: +50 %}}}}}}
  b: {{kind: servo, behind: {second}, accuracy: 3 %, works: {{pump: {{kind: pump switch, from: {starts}}}}}}}
"
    )
}

#[test]
fn two_servos_behind_one_leveller_share_what_it_puts_out() {
    // 50 + 3 and 57 - 3 do not meet, 50 + 3 and 56 - 3 do; behind two levellers anything meets.
    assert_eq!(open(&behind("auto", "+57 %"), "works-together").len(), 0);
    assert_eq!(open(&behind("auto", "+56 %"), "works-together").len(), 1);
    assert_eq!(open(&behind("other", "+57 %"), "works-together").len(), 1);
    assert_eq!(open(&behind("auto", "+56 %").replace("+90", "+52"), "works-together").len(), 0);
}

/// By hand neither work is in reach; noise puts each channel anywhere within the furthest.
fn noise(second: i64, works: [&str; 2]) -> String {
    format!(
        "lidcard: 1
boat: {{name: Test, kind: submarine}}
transmitter: {{channels: 4, furthest: 110 %, pulse: {{accuracy: 0 us}}}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}}}
  vents: {{at: right stick, ways: {{towards: shut, away: open}}}}
channels:
  1: {{control: tank, longer: blow, endpoints: 40 %}}
  2: {{control: vents, longer: open, endpoints: 40 %}}
receiver: {{on_loss: noise}}
devices:
  a: {{kind: servo, channel: 1, accuracy: 1 %, works: {{vent: {{kind: vent valve, {}}}}}}}
  b: {{kind: servo, channel: {second}, accuracy: 1 %, works: {{pump: {{kind: pump switch, {}}}}}}}
  c: {{kind: servo, channel: 2}}
",
        works[0], works[1]
    )
}

#[test]
fn noise_may_engage_two_works_that_no_hand_brings_together() {
    let found = |second, works| open(&noise(second, works), "works-together");
    let apart = found(2, ["from: +60 %", "from: -60 %"]);
    assert_eq!(apart.iter().map(|f| f.state.as_str()).collect::<Vec<_>>(), ["waiting"]);
    // Touching the furthest counts; beyond it nothing goes.
    assert_eq!(found(2, ["from: +60 %", "from: +111 %"]).len(), 1);
    assert_eq!(found(2, ["from: +60 %", "from: +112 %"]).len(), 0);
    // On one channel both get the same noise.
    assert_eq!(found(1, ["from: +60 %", "from: -60 %"]).len(), 0);
    assert_eq!(found(1, ["from: +60 %, to: +70 %", "from: +72 %"]).len(), 1);
    assert_eq!(found(1, ["from: +60 %, to: +70 %", "from: +73 %"]).len(), 0);
}

/// A boat whose receiver stores presets and whose unit watches one of them.
fn watched(blows: &str, stages: &str) -> String {
    format!(
        "lidcard: 1
boat: {{name: Test, kind: submarine}}
transmitter: {{channels: 4, pulse: {{rest: 1500 us, full: [1100 us, 1900 us], accuracy: 2 us}}}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}, trim: locked}}
  spare: {{at: right stick, ways: {{towards: down, away: up}}, trim: locked}}
channels:
  1: {{control: tank, longer: blow, endpoints: {{flood: 50 %, blow: 50 %}}, wants: {{blow: pump}}}}
  2: {{control: spare, longer: up, endpoints: {{down: 50 %, up: 50 %}}, spare: yes}}
receiver: {{on_loss: {{1: {blows}, 2: +90 %, works: [pump]}}}}
fail_safe:
  channels: [1]
  notices: {{channel: 2, beyond: +70 %}}
  wait: 20 s
  stages:
{stages}devices:
  a: {{kind: servo, channel: 1, accuracy: 1 %, stops: [-80 %, +80 %], works: {{pump: {{kind: pump switch, from: +40 %, longest: 30 s}}}}}}
"
    )
}

#[test]
fn what_a_preset_blows_until_the_unit_comes_brings_nobody_up() {
    let none = |text: &str| open(text, "no-blow-on-loss").len();
    assert_eq!(none(&watched("+60 %", "    - {name: rest, set: {1: 0 %}}\n")), 1);
    assert_eq!(none(&watched("+60 %", "    - {name: rest, lasts: 5 s, set: {1: 0 %}}\n")), 0);
    assert_eq!(none(&watched("0 %", "    - {name: blow, set: {1: +60 %}}\n")), 0);
    // A unit that may never notice leaves her as the receiver does.
    let unseen = watched("0 %", "    - {name: blow, set: {1: +60 %}}\n").replace("2: +90 %", "2: 0 %");
    assert_eq!(none(&unseen), 1);
}

#[test]
fn the_wait_of_the_unit_belongs_to_one_go() {
    let long = |lasts: &str| {
        let stages = format!(
            "    - {{name: blow, lasts: {lasts}, set: {{1: +60 %}}, works: [pump]}}\n    - {{name: rest, set: {{1: 0 %}}}}\n"
        );
        open(&watched("+60 %", &stages), "runs-too-long").len()
    };
    assert_eq!(long("10 s"), 0);
    assert_eq!(long("11 s"), 1);
    // Handed back, the preset goes on.
    let back = watched("+60 %", "    - {name: blow, lasts: 5 s, set: {1: +60 %}, works: [pump]}\n");
    let found = open(&back, "runs-too-long");
    assert_eq!(found.iter().map(|f| f.state.as_str()).collect::<Vec<_>>(), ["lost for good"]);
}

#[test]
fn a_switch_that_hides_a_burner_is_no_guard_until_it_is_called_one() {
    let text = |guard: &str| {
        format!(
            "lidcard: 1
boat: {{name: Test, kind: other}}
transmitter: {{channels: 4, pulse: {{accuracy: 2 us}}}}
controls:
  burner: {{at: left side, kind: slider, ways: {{lower: out, upper: lit}}}}
  gentle: {{at: top right, kind: switch, settings: [low, high]}}
channels:
  1: {{control: burner, longer: lit, rate: {{gentle: {{low: 25 %, high: 100 %}}}}, endpoints: {{out: 60 %, lit: 90 %}}, wants: {{lit: {{work: gas, needs: {{gentle: high}}}}}}}}
receiver: {{on_loss: {{1: -60 %}}}}
devices:
  s: {{kind: servo, channel: 1, accuracy: 2 %, works: {{gas: {{kind: gas burner, from: +62 % ± 4 %, releases: where it engages{guard}}}}}}}
"
        )
    };
    assert_eq!(open(&text(""), "starts-on").len(), 1);
    assert_eq!(open(&text(", reserved: {unless: {gentle: high}}"), "starts-on").len(), 0);
}

#[test]
fn a_weight_that_is_dropped_raises_her_once_and_for_good() {
    let rest = "    - {name: rest, set: {1: 0 %}}\n";
    let weight = watched("+60 %", rest).replace(
        "{kind: pump switch, from: +40 %, longest: 30 s}",
        "{kind: drop weight, from: +40 %, weighs: 120 g ± 10 g}",
    ) + "hull: {heavy: 90 g ± 10 g}\n";
    assert_eq!(open(&weight, "no-blow-on-loss").len(), 0);
    assert_eq!(open(&weight.replace("1: +60 %", "1: +20 %"), "no-blow-on-loss").len(), 1);
    // 110 g at the least have to be more than 100 g at the most; what nobody weighed is not judged, and nothing is taken
    // for granted of one that floats up by herself.
    assert_eq!(open(&weight.replace("heavy: 90 g", "heavy: 100 g"), "no-blow-on-loss").len(), 1);
    for lacking in
        [weight.replace(", weighs: 120 g ± 10 g", ""), weight.replace("hull: {heavy: 90 g ± 10 g}\n", "")]
    {
        let found = lidcard::rule::check(&read(&lacking));
        let found = found.iter().find(|f| f.rule == "no-blow-on-loss").expect("it is asked");
        assert_eq!(found.outcome, lidcard::finding::Outcome::NotJudged, "{lacking}");
    }
    // It burns nothing, and a vent that is open beside it does not call it back.
    let held = weight.replace("works: {pump:", "works: {vent: {kind: vent valve, from: +30 %}, pump:");
    for rule in ["burns-on-after-loss", "works-together"] {
        assert_eq!(open(&held, rule).len(), 0, "{rule}");
    }
    let pump = held.replace("drop weight", "pump switch").replace(", weighs: 120 g ± 10 g", "");
    assert!(!open(&pump, "works-together").is_empty());
}

#[test]
fn what_has_to_run_for_some_time_raises_nobody_in_less() {
    let stages = |lasts: &str| {
        format!(
            "    - {{name: blow, lasts: {lasts}, set: {{1: +60 %}}, works: [pump]}}\n    - {{name: rest, set: {{1: 0 %}}}}\n"
        )
    };
    let none = |blows: &str, lasts: &str| {
        let text = watched(blows, &stages(lasts)).replace("longest: 30 s", "must_run: 25 s");
        open(&text, "no-blow-on-loss").len()
    };
    assert_eq!(none("0 %", "25 s"), 0);
    assert_eq!(none("0 %", "24 s"), 1);
    // The preset blows already while the unit waits: 20 s and 5 s.
    assert_eq!(none("+60 %", "5 s"), 0);
    assert_eq!(none("+60 %", "4 s"), 1);
}

#[test]
fn a_two_way_pump_and_a_piston_sink_her_where_they_fill() {
    let text = |kind: &str, preset: &str, more: &str| {
        format!(
            "lidcard: 1
boat: {{name: Test, kind: submarine}}
transmitter: {{channels: 4}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}, trim: locked}}
channels:
  1: {{control: tank, longer: blow}}
receiver: {{on_loss: {preset}}}
devices:
  p: {{kind: {kind}, channel: 1{more}}}
"
        )
    };
    let effects = ", effects: {longer: empties, shorter: fills}";
    let pump = |preset: &str, more: &str| {
        text("two-way pump", preset, &format!(", still_between: [-5 %, +5 %]{more}"))
    };
    let open = |text: &str, rule: &str| open(text, rule).len();
    assert_eq!(open(&pump("hold", effects), "sinks-on-loss"), 1);
    assert_eq!(open(&pump("{1: +60 %}", effects), "sinks-on-loss"), 0);
    assert_eq!(open(&pump("{1: +60 %}", effects), "no-blow-on-loss"), 0);
    assert_eq!(open(&pump("{1: 0 %}", effects), "no-blow-on-loss"), 1);
    // Where nobody says which way is which, either may be the one that fills her; it drives her nowhere.
    assert_eq!(open(&pump("{1: +60 %}", ""), "sinks-on-loss"), 1);
    assert_eq!(open(&pump("hold", effects), "motor-runs-on-loss"), 0);
    let level = |at: &str| format!(", accuracy: 1 %, level_at: {at}{effects}");
    assert_eq!(open(&text("piston", "hold", &level("0 % ± 2 %")), "sinks-on-loss"), 1);
    assert_eq!(open(&text("piston", "{1: +90 %}", &level("0 % ± 2 %")), "sinks-on-loss"), 0);
    // Level at -10 % ± 2 %, a piston that is off by 1 % and a pulse by 20 us, 5 %, at the most: -1.9 % lifts her surely,
    // -2 % need not, and -18.1 % surely sinks her.
    for (preset, sinks, stays_down) in [("-1.9 %", 0, 0), ("-2 %", 0, 1), ("-2.1 %", 0, 1), ("-18.1 %", 1, 1)]
    {
        let text = text("piston", &format!("{{1: {preset}}}"), &level("-10 % ± 2 %"));
        let known = text.replace(
            "channels: 4}",
            "channels: 4, pulse: {rest: 1500 us, full: [1100 us, 1900 us], accuracy: 20 us}}",
        );
        assert_eq!(open(&known, "no-blow-on-loss"), stays_down, "{preset}");
        assert!(open(&known, "sinks-on-loss") >= sinks, "{preset}");
    }
    let unread = lidcard::rule::check(&read(&text("piston", "{1: +90 %}", effects)));
    let found = unread.iter().find(|f| f.rule == "sinks-on-loss").expect("it is asked");
    assert_eq!(found.outcome, lidcard::finding::Outcome::NotJudged);
}
