//! What raises her in an emergency and after a lost link: boats of which one thing is otherwise, worked out by hand.

use lidcard::finding::Outcome;
use lidcard::rule::check;
use lidcard::setup::lower::lower;
use lidcard::source::Source;
use std::collections::BTreeSet;

type Changes<'a> = &'a [(&'a str, &'a str)];

/// What one of two rules finds, by its name and place; what it cannot judge has a question mark.
fn found(boat: &str, changes: Changes) -> BTreeSet<String> {
    let mut text = std::fs::read_to_string(format!("tests/fixtures/clean/{boat}.yaml")).unwrap();
    for (from, to) in changes {
        assert_eq!(text.matches(from).count(), 1, "{boat}: {from}");
        text = text.replace(from, to);
    }
    let source = Source::from_text(boat, &text).unwrap_or_else(|m| panic!("{boat}: {m:#?}"));
    let setup = lower(&source).unwrap_or_else(|m| panic!("{boat}: {m:#?}"));
    let asked = ["emergency-does-not-raise", "no-blow-on-loss"];
    let told = check(&setup).into_iter().filter(|f| f.is_open() || f.outcome == Outcome::NotJudged);
    let open = told.filter(|f| asked.contains(&f.rule));
    let mark = |outcome| if outcome == Outcome::NotJudged { "? " } else { "" };
    open.map(|f| format!("{}{} {}", mark(f.outcome), f.rule, f.about)).collect()
}

fn holds(boat: &str, cases: &[(Changes, &[&str])]) {
    for (changes, expected) in cases {
        let expected: BTreeSet<String> = expected.iter().map(|&found| found.to_owned()).collect();
        assert_eq!(found(boat, changes), expected, "{boat} with {changes:?}");
    }
}

const SMEW: &str = "batteries: {main: {cells: 6, chemistry: NiMH, capacity: 3 Ah}}";
const SMEW_PULLS: (&str, &str) = (
    SMEW,
    "batteries: {main: {cells: 6, chemistry: NiMH, capacity: 3 Ah}}\n\
     owner: {emergency: [{hold: bottle.pull, rest: tank, until: up}]}",
);
const SMEW_OFF: (&str, &str) = (
    SMEW,
    "batteries: {main: {cells: 6, chemistry: NiMH, capacity: 3 Ah}}\n\
     owner: {emergency: [{switch_off: transmitter, until: up}]}",
);

/// Her gas is open from 72 % and wholly so from 85 % on.
#[test]
fn a_valve_that_is_not_wholly_open_raises_nobody() {
    let by_hand = |end: &'static str| [SMEW_PULLS, ("endpoints: {shut: 40 %, pull: 40 %}}", end)];
    holds(
        "smew",
        &[
            (
                &by_hand("endpoints: {shut: 40 %, pull: 80 %}, wants: {pull: gas}}"),
                &["emergency-does-not-raise bottle"],
            ),
            (&by_hand("endpoints: {shut: 40 %, pull: 95 %}, wants: {pull: gas}}"), &[]),
        ],
    );
    let by_stage = |set: &'static str| [SMEW_OFF, ("3: +70 %, 4: +100 %", set)];
    holds(
        "smew",
        &[
            (&by_stage("3: 0 %, 4: +82 %"), &["emergency-does-not-raise fail_safe"]),
            (&by_stage("3: 0 %, 4: +100 %"), &[]),
        ],
    );
}

const SKATE: &str = "batteries: {main: {cells: 6, chemistry: NiMH, capacity: 3 Ah}}";
const SKATE_DITCHES: (&str, &str) = (
    SKATE,
    "batteries: {main: {cells: 6, chemistry: NiMH, capacity: 3 Ah}}\n\
     owner: {emergency: [{hold: drop.ditch, until: up}]}",
);
const UNWEIGHED: (&str, &str) = ("releases: where it engages, weighs: 120 g}", "releases: where it engages}");

/// A valve on the channel of her weight, and the step that works both.
const WITH_GAS: (&str, &str) = (
    SKATE,
    "  gas_servo: {kind: servo, channel: 3, accuracy: 2 %, stops: [-120 %, +120 %], works: {gas: {kind: emergency gas valve, \
     from: +60 % ± 3 %, releases: where it engages, must_run: 5 s}}}\n\
     batteries: {main: {cells: 6, chemistry: NiMH, capacity: 3 Ah}}\n\
     owner: {emergency: [{hold: drop.ditch, until: up}]}",
);

#[test]
fn a_weight_that_nobody_weighed_is_asked_for_where_nothing_else_raises_her() {
    holds(
        "skate",
        &[
            (&[SKATE_DITCHES], &[]),
            (
                &[SKATE_DITCHES, UNWEIGHED],
                &["? emergency-does-not-raise drop", "? no-blow-on-loss fail_safe"],
            ),
            // With gas on the same channel she comes up whatever it weighs.
            (&[WITH_GAS, UNWEIGHED], &[]),
            // A valve that this hand does not reach raises nobody, and the weight is asked for again.
            (
                &[(WITH_GAS.0, &WITH_GAS.1.replace("from: +60 %", "from: +100 %")), UNWEIGHED],
                &["? emergency-does-not-raise drop", "? no-blow-on-loss fail_safe"],
            ),
        ],
    );
}

#[test]
fn a_switch_that_has_no_part_in_it_spoils_no_step() {
    let lamp = (
        "  drop: {at: rear left",
        "  lamp: {at: top left, kind: switch, settings: [off, on]}\n  drop: {at: rear left",
    );
    let step = SKATE_DITCHES.1.replace("hold: drop.ditch,", "hold: drop.ditch, with: {lamp: on},");
    holds("skate", &[(&[lamp, (SKATE, &step)], &[])]);
}

const SMEW_UNIT: &str = "fail_safe:
  channels: [1, 2, 3, 4]
  notices: invalid pulses
  tried: 20 times off and on, near and far
  until_it_acts: holds
  accuracy: 4 us
  wait: 2 s
  stages:
    - {name: lift, lasts: 6 s, set: {1: 0 %, 2: 0 %, 3: +70 %, 4: +100 %}, works: [gas]}
    - {name: rest, set: {1: 0 %, 2: 0 %, 3: 0 %, 4: 0 %}}
";
const SMEW_RECEIVER: &str = "receiver: {on_loss: noise, after: 0.5 s}";
const SMEW_FLOATS: (&str, &str) =
    ("kind: submarine, sinks_in", "kind: submarine, floats_when_stopped: yes, sinks_in");

/// She has no unit. Of one that floats by herself only the motor is asked for, unless something raises her: then that.
#[test]
fn of_a_boat_that_floats_the_motor_is_asked_for_where_nothing_raises_her() {
    let only_empties = ("{longer: empties, shorter: fills}", "{longer: empties}");
    let preset = |on_loss: &'static str| {
        [SMEW_OFF, SMEW_FLOATS, (SMEW_UNIT, ""), only_empties, (SMEW_RECEIVER, on_loss)]
    };
    let ahead = "receiver: {on_loss: {2: +50 %, others: hold}, after: 0.5 s}";
    let stopped = "receiver: {on_loss: {2: 0 %, others: hold}, after: 0.5 s}";
    let blown = "receiver: {on_loss: {2: +50 %, 4: +100 %, others: hold, works: [gas]}, after: 0.5 s}";
    holds(
        "smew",
        &[
            (&preset(ahead), &["emergency-does-not-raise receiver"]),
            (&preset(stopped), &[]),
            (&preset(blown), &[]),
        ],
    );
}

/// A unit that watches for the preset of the receiver, and what it then does.
fn watching(stages: &str) -> String {
    format!(
        "fail_safe:\n  channels: [1, 2, 3, 4]\n  notices: {{channel: 6, beyond: +80 % ± 1 %}}\n  until_it_acts: holds\n  \
         accuracy: 4 us\n  wait: 2 s\n  stages:\n{stages}"
    )
}

/// The preset opens the gas for the two seconds until the unit takes over.
#[test]
fn what_a_preset_does_until_the_unit_takes_over_raises_nobody() {
    let watch = ("  4: {name: bottle, control", "  6: {name: watch}\n  4: {name: bottle, control");
    let opens =
        "receiver: {on_loss: {1: 0 %, 2: 0 %, 3: 0 %, 4: +100 %, 6: +100 %, works: [gas]}, after: 0.5 s}";
    let unsaid = (", must_run: 5 s}}}", "}}}");
    let shuts = watching("    - {name: rest, set: {1: 0 %, 2: 0 %, 3: 0 %, 4: 0 %}}\n");
    let keeps = watching("    - {name: rest, set: {1: 0 %, 2: 0 %, 3: 0 %, 4: +100 %}, works: [gas]}\n");
    let back = watching("    - {name: rest, lasts: 3 s, set: {1: 0 %, 2: 0 %, 3: 0 %, 4: 0 %}}\n");
    let with = |unit: &str| found("smew", &[watch, unsaid, (SMEW_RECEIVER, opens), (SMEW_UNIT, unit)]);
    assert_eq!(with(&shuts), BTreeSet::from(["no-blow-on-loss fail_safe".to_owned()]));
    assert_eq!(with(&keeps), BTreeSet::new());
    // The receiver has her again after three seconds, and its preset opens the gas for good.
    assert_eq!(with(&back), BTreeSet::new());
}
