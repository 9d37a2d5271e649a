//! Percent of what: everything of devices, presets and the unit stays where it was read when the set changes.

use crate::help::read;
use lidcard::rule::{check, endpoints};
use lidcard::setup::{Exact, Setup};

/// The set on which the example was read: 400 us to each side of 1500 us.
const READ_ON: &str = "pulse: {rest: 1500 us, full: [1100 us, 1900 us], accuracy: 2 us}";

fn example(change: impl Fn(&str) -> String) -> Setup {
    let text = std::fs::read_to_string("tests/fixtures/example.yaml").unwrap();
    // What was measured on one set says nothing of another.
    read(&change(&text.replace("    measured: {flood: 1180 us, blow: 1732 us}\n", "")))
}

fn on_set(pulse: &str) -> Setup {
    example(|text| {
        assert!(text.contains(READ_ON) && text.contains("\naxis: {rest: 1500 us, full: [1100 us, 1900 us]}"));
        text.replace(READ_ON, pulse)
    })
}

/// Lowest, highest and best endpoint of a way.
fn window(setup: &Setup, way: &str) -> [Exact; 3] {
    let found = endpoints(setup).into_iter().find(|w| w.way == way).unwrap();
    let [low, high] = found.windows[0].clone();
    [low, high, found.best.unwrap()]
}

/// With all that is off, the pump is surely on from 1692.12 us (its clicks come to 46.03 % at the most) and gas may
/// open from 1764 us; the vent is surely open from 1200 us and the stop may bind beyond 1068 us.
#[test]
fn the_endpoints_of_another_set_are_those_that_make_the_same_pulses() {
    for (pulse, blow, flood) in [
        (READ_ON, [49, 65, 57], [75, 108, 80]),
        // 192.12 / 500 = 38.4 and 264 / 500 = 52.8; half way lie 228.06 us, 45.6. 300 / 500 = 60 and 432 / 500 = 86.4.
        ("pulse: {rest: 1500 us, full: [1000 us, 2000 us], accuracy: 2 us}", [39, 52, 46], [60, 86, 65]),
        // 172.12 / 380 = 45.3 and 244 / 380 = 64.2; half way lie 208.06 us, 54.8. 320 / 420 = 76.2 and 452 / 420 = 107.6.
        ("pulse: {rest: 1520 us, full: [1100 us, 1900 us], accuracy: 2 us}", [46, 64, 55], [77, 107, 82]),
    ] {
        let setup = on_set(pulse);
        assert_eq!(window(&setup, "blow"), blow.map(Exact::percent), "{pulse}");
        assert_eq!(window(&setup, "flood"), flood.map(Exact::percent), "{pulse}");
    }
}

#[test]
fn nothing_of_the_boat_moves_when_the_set_changes() {
    let lies =
        |setup: &Setup| format!("{:?}", (&setup.axis, &setup.devices, &setup.fail_safe, &setup.receiver));
    let first = on_set(READ_ON);
    for pulse in
        ["{rest: 1520 us}", "{full: [1000 us, 2000 us]}", "{rest: 1480 us, full: [1180 us, 2040 us]}"]
    {
        assert_eq!(lies(&on_set(&format!("pulse: {pulse}"))), lies(&first), "{pulse}");
    }
    // Where the file names no axis, they move with the set.
    let unsaid = |pulse: &str| {
        example(|text| {
            text.replace("\naxis: {rest: 1500 us, full: [1100 us, 1900 us]}", "").replace(READ_ON, pulse)
        })
    };
    assert_eq!(lies(&unsaid(READ_ON)), lies(&first));
    assert_ne!(lies(&unsaid("pulse: {rest: 1520 us}")), lies(&first));
}

/// 125 % of 300 us and of 500 us are 375 us and 625 us: 1125 us and 2125 us, on an axis of 400 us to each side.
#[test]
fn what_a_set_with_unlike_sides_can_send_is_told_on_the_axis() {
    let setup = on_set("pulse: {rest: 1500 us, full: [1200 us, 2000 us]}");
    assert_eq!(setup.furthest(), [Exact::ratio(-9375, 10_000), Exact::ratio(15_625, 10_000)]);
    assert_eq!(setup.furthest_either(), Exact::ratio(15_625, 10_000));
}

#[test]
fn one_warning_asks_for_the_axis_where_a_figure_hangs_on_it() {
    let boat = |more: &str, stops: &str, accuracy: &str| {
        let setup = read(&format!(
            "lidcard: 1
boat: {{name: Test, floats_when_stopped: yes}}
transmitter: {{channels: 4}}
{more}controls:
  helm: {{at: right stick, ways: {{left: port, right: starboard}}, trim: 20 %}}
channels:
  1: {{name: rudder, control: helm, longer: starboard, endpoints: 90 %}}
devices:
  a: {{kind: servo, channel: 1, accuracy: {accuracy}, stops: {stops}}}
"
        ));
        let found = check(&setup).into_iter().filter(|f| f.rule == "percent-without-axis");
        found.map(|f| (f.is_open(), f.primary.0.0.join("."))).collect::<Vec<_>>()
    };
    let at = |place: &str| vec![(true, place.to_owned())];
    assert_eq!(boat("", "[-100 %, +100 %]", "2 %"), at("devices.a.accuracy"));
    assert_eq!(boat("", "[1100 us, +100 %]", "8 us"), at("devices.a.stops.1"));
    assert_eq!(boat("", "[1100 us, 1900 us ± 2 %]", "8 us"), at("devices.a.stops.1"));
    assert_eq!(boat("", "[1100 us, 1900 us]", "8 us"), []);
    let said = boat("axis: {rest: 1500 us, full: [1000 us, 2000 us]}\n", "[-100 %, +100 %]", "2 %");
    assert_eq!(said, [(false, "axis".to_owned())]);
}
