//! How a set does its sums: what readings leave, and the command.

use crate::help::{boat, read, run};
use lidcard::chain::rounded::{self, Held, point};
use lidcard::chain::{Inputs, Order, output};
use lidcard::probe::survey::{Next, Wanted};
use lidcard::probe::{Reading, Shot, Survey, words};
use lidcard::setup::{Exact, Setup};
use proptest::prelude::*;
use std::fs;

const ANSWERS: &str = "tests/fixtures/bench/sums-of-a-set.txt";

/// Two channels, one mixed into the other, with a trim, a rate, sub-trims and unequal endpoints.
fn general([a, b, c, d]: [i64; 4], sub: i64, longer: &str) -> Setup {
    read(&format!(
        "lidcard: 1
boat: {{name: Test, kind: surface}}
transmitter: {{channels: 4, furthest: 120 %, pulse: {{rest: 1500 us, full: [1100 us, 1900 us], accuracy: 1 us}}}}
controls:
  helm: {{at: right stick, ways: {{left: port, right: starboard}}, trim: 20 %}}
  dive: {{at: right stick, ways: {{towards: rise, away: dive}}, trim: 10 %}}
  gear: {{at: top left, kind: switch, settings: [low, high]}}
channels:
  1: {{name: rudder, control: helm, longer: {longer}, rate: {{gear: {{low: 60 %, high: 100 %}}}}, endpoints: {{port: {a} %, starboard: {b} %}}, sub_trim: {sub} %}}
  2: {{name: planes, control: dive, longer: dive, endpoints: {{rise: {c} %, dive: {d} %}}, mixes: [{{add: 30 %, of: helm}}]}}
devices:
  a: {{kind: servo, channel: 1, stops: [none, none]}}
  b: {{kind: servo, channel: 2, stops: [none, none]}}
"
    ))
}

fn any_setup() -> impl Strategy<Value = Setup> {
    let ends = prop::array::uniform4((40i64..24 * 5).prop_map(|n| n / 5 * 5));
    (ends, -2i64..3, any::<bool>())
        .prop_map(|(ends, sub, port)| general(ends, sub * 5, if port { "port" } else { "starboard" }))
}

proptest! {
    /// A set that does not round is the one of the chain.
    #[test]
    fn with_the_finest_grid_the_sums_are_those_of_the_chain(
        setup in any_setup(), p in -4i64..5, q in -4i64..5, t in -2i64..3, gear in 0usize..2, order in 0usize..64,
    ) {
        let order = Order::all(&setup.transmitter.order)[order];
        let mut inputs = Inputs::at_rest(&setup);
        inputs.positions = vec![Exact::ratio(p, 4), Exact::ratio(q, 4), Exact::int(2 * gear as i64 - 1)];
        inputs.trims[0] = Exact::ratio(t, 10);
        inputs.settings[2] = gear;
        let held = Held {
            positions: inputs.positions.iter().map(point).collect(),
            trims: inputs.trims.clone(),
            settings: inputs.settings.clone(),
        };
        for channel in 0..2 {
            let [low, high] = rounded::output(&setup, channel, &held, &order, &Exact::ZERO);
            let most = &setup.transmitter.furthest;
            prop_assert_eq!(&low, &high);
            prop_assert_eq!(low.clamp(&-most, most), output(&setup, channel, &inputs, &order));
        }
    }

}

proptest! {
    // Each case judges the boat under every order; the outside check takes many more.
    #![proptest_config(ProptestConfig::with_cases(4))]

    /// Whatever the set does, as long as the meter is no worse than it is said to be: the truth is never thrown out, and
    /// it comes to an end.
    #[test]
    fn the_truth_is_never_thrown_out(
        setup in any_setup(), order in 0usize..64, off in prop::collection::vec(-20i64..21, 24), scale in any::<bool>(),
    ) {
        let order = Order::all(&setup.transmitter.order)[order];
        let wanted = Wanted { every_line: true, scale_too: scale };
        let survey = Survey::new(&setup, wanted, Exact::int(2));
        let mut readings: Vec<Reading> = Vec::new();
        for off in off {
            let standing = survey.standing(&readings);
            prop_assert!(standing.orders.contains(&order), "{readings:#?}");
            let shot = match &standing.next {
                Next::Done => break,
                Next::Plan(node, _, shortest) => {
                    prop_assert!(*shortest);
                    &node.shot
                }
                Next::Scale(shot) | Next::Back(shot, _) => shot,
            };
            // At a tenth of a microsecond, up to what set and meter are off; the grid is a quarter of the step.
            let dialled = shot.dialled(&setup);
            let [low, high] = rounded::output(&dialled, shot.channel, &shot.held, &order, &Exact::ratio(1, 400));
            let furthest = &setup.transmitter.furthest;
            let out = (low * Exact::ratio(1, 3) + high * Exact::ratio(2, 3)).clamp(&-furthest, furthest);
            let pulse = setup.transmitter.pulse.scale.pulse_at(&out).0 + Exact::ratio(off, 10);
            readings.push(Reading {
                name: String::new(), shot: shot.clone(), read: pulse, off: survey.off(), in_file: false,
            });
        }
        let standing = survey.standing(&readings);
        prop_assert!(standing.orders.contains(&order) && matches!(standing.next, Next::Done), "{:?}", standing.next);
    }

    #[test]
    fn a_shot_is_known_by_its_name(setup in any_setup()) {
        let survey = Survey::new(&setup, Wanted { every_line: true, scale_too: false }, Exact::int(1));
        let Next::Plan(node, _, _) = survey.standing(&[]).next else { return Ok(()) };
        let mut left = vec![node];
        while let Some(node) = left.pop() {
            prop_assert_eq!(Shot::named(&setup, &node.shot.name(&setup)), Some(node.shot.clone()));
            left.extend(node.then.into_iter().filter_map(|(_, _, next)| next));
        }
    }
}

/// Half the endpoint is half the travel, whatever the order: 1730 us lies half way to 1900 us only from a rest of 1560 us,
/// and no set of this kind is so far off. Neither of the two says so alone, and the reading at rest is not needed.
/// Who is told only what to dial in leaves the sub-trim of the reading before where it is, and reads something else.
#[test]
fn what_was_dialled_in_for_the_reading_before_is_put_back_first() {
    let setup = general([100, 90, 80, 80], 5, "starboard");
    let shot = |text: &str| Shot::named(&setup, text).unwrap();
    let steps = |text: &str, before: &str| words::steps(&setup, &shot(text), Some(&shot(before))).join("; ");
    let trimmed = "probe channel 1, helm=starboard, gear=high, sub-trim=10 %";
    let ends = "probe channel 1, helm=starboard, gear=high, endpoints=50 %/50 %";
    let told = steps(ends, trimmed);
    assert!(told.starts_with("put back: sub-trim of channel 1: 5 %; dial in for now: endpoints"), "{told}");
    let told = steps("probe channel 2, dive=rise", ends);
    assert!(
        told.starts_with("put back: endpoints of channel 1: port 100 %, starboard 90 %; dive: hold"),
        "{told}"
    );
    let told = steps(ends, "probe channel 1, helm=port, gear=high, endpoints=50 %/100 %");
    assert!(!told.contains("put back"), "{told}");
    let told = steps(trimmed, "probe channel 1");
    assert!(!told.contains("put back"), "{told}");
}

#[test]
fn the_smallest_group_that_contradicts_itself_is_named() {
    let setup = general([100, 100, 80, 80], 0, "starboard");
    let survey = Survey::new(&setup, Wanted { every_line: true, scale_too: true }, Exact::int(2));
    let shot = |text: &str| Shot::named(&setup, text).unwrap();
    let reading = |name: &str, text: &str, us: i64| Reading {
        name: name.into(),
        shot: shot(text),
        read: Exact::int(us),
        off: survey.off(),
        in_file: false,
    };
    let mut readings = vec![
        reading("rest", "probe channel 1", 1500),
        reading("starboard", "probe channel 1, helm=starboard, gear=high", 1900),
        reading("half", "probe channel 1, helm=starboard, gear=high, endpoints=50 %/50 %", 1700),
    ];
    assert!(survey.standing(&readings).contradiction.is_empty());
    readings[2].read = Exact::int(1730);
    let standing = survey.standing(&readings);
    let names: Vec<&str> = standing.contradiction.iter().map(|r| r.name.as_str()).collect();
    assert!(standing.orders.is_empty(), "{standing:?}");
    assert_eq!(names, ["starboard", "half"]);
    // Without any one of them something fits.
    for n in 0..names.len() {
        let mut fewer = standing.contradiction.clone();
        fewer.remove(n);
        assert!(!survey.standing(&fewer).orders.is_empty(), "{n} of {names:?}");
    }
}

#[test]
fn no_reading_is_asked_for_that_could_work_the_gas_or_run_the_motor() {
    let mut setup = boat("boats/moonfish.yaml");
    setup.transmitter.order = Default::default();
    let survey = Survey::new(&setup, Wanted { every_line: true, scale_too: false }, Exact::int(2));
    let Next::Plan(node, _, _) = survey.standing(&[]).next else { panic!("everything is open") };
    let mut left = vec![node];
    while let Some(node) = left.pop() {
        let channel = &setup.channels[node.shot.channel];
        assert!(![3, 4].contains(&channel.number), "{}", node.shot.name(&setup));
        left.extend(node.then.into_iter().filter_map(|(_, _, next)| next));
    }
}

#[test]
fn the_command_goes_through_its_readings_and_names_what_it_found() {
    let home = tempfile::tempdir().unwrap();
    let record = home.path().join("r.yaml").to_str().unwrap().to_owned();
    let probe =
        |more: &[&str]| run(&[&["probe", "boats/sprat.yaml", "--all", "--record", &record], more].concat());
    let ran = probe(&["--format", "json"]);
    assert!(ran.status == 1 && ran.stdout.contains("\"at_most\": 3"), "{}", ran.stdout);
    let ran = probe(&["--answers", ANSWERS]);
    assert_eq!((ran.status, ran.stderr.as_str()), (0, ""), "{}", ran.stdout);
    assert!(
        ran.stdout.contains("\n  endpoint: scales\n") && ran.stdout.contains("\n  trim: before endpoint\n")
    );
    assert!(
        ran.stdout.contains("mix: open: no reading that works nothing dangerous tells it"),
        "{}",
        ran.stdout
    );
    let text = fs::read_to_string(&record).unwrap();
    assert!(
        text.contains("of: \"probe channel 1, helm=port\", agrees: \"yes\", read: [\"1141.5 us\"]"),
        "{text}"
    );
    // What was read stays read.
    let ran = probe(&[]);
    assert!(ran.status == 0 && ran.stdout.contains("endpoint: scales, by what was read"), "{}", ran.stdout);
}

#[test]
fn what_was_not_put_back_is_noticed_and_what_contradicts_itself_is_read_again() {
    let home = tempfile::tempdir().unwrap();
    let (record, answers) = (home.path().join("r.yaml"), home.path().join("a.txt"));
    let good = fs::read_to_string(ANSWERS).unwrap();
    let probe = |text: &str| {
        fs::write(&answers, text).unwrap();
        let [record, answers] = [&record, &answers].map(|path| path.to_str().unwrap());
        run(&["probe", "boats/sprat.yaml", "--all", "--record", record, "--answers", answers])
    };
    // The endpoint of port still at 50 %.
    let ran = probe(&good.replace("1141.5 us\n", "1300 us\n1141.5 us\n"));
    assert!(ran.status == 0 && ran.stdout.contains("that is not what it was: put it back"), "{}", ran.stdout);
    fs::remove_file(&record).unwrap();
    let ran = probe(&good.replace("1300.0 us\n", "1390 us\n1300.0 us\n"));
    let told = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(ran.status == 0 && told.contains("(once more: it contradicts another)"), "{}", ran.stdout);
    fs::remove_file(&record).unwrap();
    let ran = probe(&good.replace("1300.0 us\n", "1390 us\n1390 us\n"));
    assert!(ran.status == 1 && ran.stdout.contains("No order and no scale fits"), "{}", ran.stdout);
}

#[test]
fn where_nothing_hangs_on_what_is_open_there_is_nothing_to_do() {
    let ran = run(&["probe", "boats/moonfish.yaml"]);
    assert!(ran.status == 0 && ran.stdout.contains("leaves no line of `order` open"), "{}", ran.stdout);
}
