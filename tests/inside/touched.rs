//! Boats a hair on either side of where a verdict turns, and boats of which two facts must not be taken for one.

use lidcard::finding::Outcome;
use lidcard::rule::check;
use lidcard::setup::lower::lower;
use lidcard::source::Source;
use std::collections::BTreeSet;

/// A boat, what is written otherwise in her file, and what is then found: rule and place.
type Case<'a> = (&'a str, &'a [(&'a str, &'a str)], &'a [&'a str]);

fn holds(cases: &[Case]) {
    for (boat, changes, expected) in cases {
        let mut text = std::fs::read_to_string(format!("{boat}.yaml")).unwrap();
        for (from, to) in *changes {
            assert_eq!(text.matches(from).count(), 1, "{boat}: {from}");
            text = text.replace(from, to);
        }
        let source = Source::from_text(boat, &text).unwrap_or_else(|m| panic!("{boat}: {m:#?}"));
        let setup = lower(&source).unwrap_or_else(|m| panic!("{boat}: {m:#?}"));
        let open = check(&setup).into_iter().filter(|f| f.is_open() && f.outcome != Outcome::NotJudged);
        let found: BTreeSet<String> = open.map(|f| format!("{} {}", f.rule, f.about)).collect();
        let expected = expected.iter().map(|&found| found.to_owned()).collect();
        assert_eq!(found, expected, "{boat} with {changes:?}");
    }
}

#[test]
fn what_is_touched_is_told_from_what_is_missed_by_little() {
    // The unit acts while the pack is still good, from the voltage on that its cells give under load.
    holds(&[
        (
            "tests/fixtures/mistakes/threshold-of-eight-cells",
            &[("below: 8.8 V", "below: 7.2 V")],
            &["battery-threshold-odd main"],
        ),
        ("tests/fixtures/mistakes/threshold-of-eight-cells", &[("below: 8.8 V", "below: 7.19 V")], &[]),
    ]);
    // Six cells are empty at 5.4 V: a unit that acts there does so before.
    holds(&[
        (
            "tests/fixtures/mistakes/threshold-of-eight-cells",
            &[("below: 8.8 V", "below: 5.4 V")],
            &["threshold-leaves-too-little main"],
        ),
        (
            "tests/fixtures/mistakes/threshold-of-eight-cells",
            &[("below: 8.8 V", "below: 5.39 V")],
            &["battery-threshold-odd main", "threshold-leaves-too-little main"],
        ),
    ]);
    // A receiver that gives up where the unit acts may give up first.
    holds(&[
        (
            "tests/fixtures/mistakes/receiver-gone-before-unit-acts",
            &[("browns_out: 6.8 V", "browns_out: 6.6 V")],
            &["battery-threshold-odd main"],
        ),
        (
            "tests/fixtures/mistakes/receiver-gone-before-unit-acts",
            &[("browns_out: 6.8 V", "browns_out: 6.59 V")],
            &[],
        ),
    ]);
    // Receiver and unit wait for 9 s together.
    holds(&[
        (
            "tests/fixtures/mistakes/waits-longer-than-she-sinks",
            &[("sinks_in: 8 s", "sinks_in: 9 s")],
            &["carried-too-deep fail_safe", "delays-outlast-sinking fail_safe"],
        ),
        (
            "tests/fixtures/mistakes/waits-longer-than-she-sinks",
            &[("sinks_in: 8 s", "sinks_in: 9.01 s")],
            &["carried-too-deep fail_safe"],
        ),
    ]);
    // A fuse of no more amperes gives way first.
    holds(&[
        ("tests/fixtures/mistakes/controller-of-a-smaller-motor", &[("rated: 2 A", "rated: 10 A")], &[]),
        (
            "tests/fixtures/mistakes/controller-of-a-smaller-motor",
            &[("rated: 2 A", "rated: 9.9 A")],
            &["carries-too-much motor_esc"],
        ),
        (
            "tests/fixtures/mistakes/plug-for-half-of-it",
            &[("plug: {rated: 4 A}", "plug: {rated: 10 A}")],
            &[],
        ),
        (
            "tests/fixtures/mistakes/plug-for-half-of-it",
            &[("plug: {rated: 4 A}", "plug: {rated: 9.9 A}")],
            &["carries-too-much main"],
        ),
    ]);
    // A meter and a hand may be off by 5 us beside the 2 us of the pulse.
    holds(&[
        ("boats/moonfish", &[("measured: {rise: 1840 us", "measured: {rise: 1847 us")], &[]),
        (
            "boats/moonfish",
            &[("measured: {rise: 1840 us", "measured: {rise: 1847.1 us")],
            &["measured-differs 2/rise"],
        ),
    ]);
    // She hangs level with the piston at -10 % ± 4 %. It is right within 1 %, the pulse within 2 us: 0.5 % of an axis on
    // its shorter side, where that is, and 0.25 % on the longer one. So it surely lifts her beyond -6 + 1.5 = -4.5 %, and may
    // sink her before that.
    let lopsided = (
        "axis: {rest: 1500 us, full: [1100 us, 1900 us]}\ncontrols",
        "axis: {rest: 1500 us, full: [1100 us, 2300 us]}\ncontrols",
    );
    holds(&[
        ("tests/fixtures/clean/coot", &[lopsided, ("3: +80 %", "3: -4.4 %")], &[]),
        ("tests/fixtures/clean/coot", &[lopsided, ("3: +80 %", "3: -4.5 %")], &["no-blow-on-loss fail_safe"]),
        (
            "tests/fixtures/clean/coot",
            &[lopsided, ("3: +80 %", "3: -4.6 %")],
            &["no-blow-on-loss fail_safe", "sinks-on-loss tank_piston", "waiting-engages tank_piston"],
        ),
    ]);
    // Four fifths of the 45 % that its mirror moves by are enough for a surface, two thirds for a hand.
    const PORT: &str = "mixes: [{add: 45 %, of: dive}, {add: 45 %, of: helm}]";
    const STARBOARD: &str = "mixes: [{add: 45 %, of: dive}, {add: -45 %, of: helm}]";
    let tern = "tests/fixtures/clean/tern";
    holds(&[
        (tern, &[(STARBOARD, "mixes: [{add: 36 %, of: dive}, {add: -45 %, of: helm}]")], &[]),
        (
            tern,
            &[(STARBOARD, "mixes: [{add: 35.9 %, of: dive}, {add: -45 %, of: helm}]")],
            &["throws-unequal 2/dive", "throws-unequal 2/rise"],
        ),
        (
            tern,
            &[
                (PORT, "mixes: [{add: 45 %, of: dive}, {add: 30 %, of: helm}]"),
                (STARBOARD, "mixes: [{add: 45 %, of: dive}, {add: -30 %, of: helm}]"),
            ],
            &[],
        ),
        (
            tern,
            &[
                (PORT, "mixes: [{add: 45 %, of: dive}, {add: 29.9 %, of: helm}]"),
                (STARBOARD, "mixes: [{add: 45 %, of: dive}, {add: -29.9 %, of: helm}]"),
            ],
            &["throws-unequal helm"],
        ),
        // The other way round as well.
        (
            tern,
            &[
                (PORT, "mixes: [{add: 29.9 %, of: dive}, {add: 45 %, of: helm}]"),
                (STARBOARD, "mixes: [{add: 29.9 %, of: dive}, {add: -45 %, of: helm}]"),
            ],
            &["throws-unequal dive"],
        ),
    ]);
    // Motor, blower and receiver draw 4.5 A under way.
    holds(&[
        ("boats/moonfish", &[("fuse: {rated: 10 A}", "fuse: {rated: 4.5 A}")], &[]),
        ("boats/moonfish", &[("fuse: {rated: 10 A}", "fuse: {rated: 4.49 A}")], &["carries-too-much main"]),
    ]);
    // Held fast, 13 A flow.
    holds(&[
        (
            "tests/fixtures/mistakes/nothing-gives-way-before-the-plug",
            &[("plug: {rated: 12 A}", "plug: {rated: 13 A}")],
            &[],
        ),
        (
            "tests/fixtures/mistakes/nothing-gives-way-before-the-plug",
            &[("plug: {rated: 12 A}", "plug: {rated: 12.99 A}")],
            &["carries-too-much main"],
        ),
    ]);
    // Planes at half of their travel are hard over, at a tenth they count as level.
    holds(&[
        (
            "tests/fixtures/mistakes/driven-up-on-loss",
            &[("2: +75 %, 3", "2: +50 %, 3")],
            &["broaches-on-loss bow_servo", "motor-runs-on-loss motor_esc"],
        ),
        (
            "tests/fixtures/mistakes/driven-up-on-loss",
            &[("2: +75 %, 3", "2: +49 %, 3")],
            &["motor-runs-on-loss motor_esc"],
        ),
        ("tests/fixtures/mistakes/planes-stored-at-dive", &[("2: -45 %", "2: -10 %")], &[]),
        (
            "tests/fixtures/mistakes/planes-stored-at-dive",
            &[("2: -45 %", "2: -10.1 %")],
            &["planes-dive-on-loss bow_servo"],
        ),
    ]);
    // The stage runs for 14 s.
    holds(&[
        (
            "boats/moonfish",
            &[("releases: where it engages}", "releases: where it engages, must_run: 14 s}")],
            &[],
        ),
        ("boats/moonfish", &[("duty: 90 s", "duty: 14 s")], &[]),
        ("boats/moonfish", &[("duty: 90 s", "duty: 13.99 s")], &["runs-too-long tank_servo.pump"]),
    ]);
    // She is heavier than the water by up to 25 g, so a weight raises her that is more than that at its least.
    holds(&[
        (
            "tests/fixtures/clean/skate",
            &[("weighs: 120 g", "weighs: 30 g ± 5 g")],
            &["no-blow-on-loss fail_safe", "stays-down-on-loss fail_safe"],
        ),
        (
            "tests/fixtures/clean/skate",
            &[("weighs: 120 g", "weighs: 30.1 g ± 5 g")],
            &["stays-down-on-loss fail_safe"],
        ),
        (
            "tests/fixtures/clean/skate",
            &[("weighs: 120 g", "weighs: 26 g ± 5 g")],
            &["no-blow-on-loss fail_safe", "stays-down-on-loss fail_safe"],
        ),
    ]);
    // Servos held fast draw 2.3 A together.
    holds(&[
        ("tests/fixtures/mistakes/servos-starve-receiver", &[("supply: 2 A", "supply: 2.3 A")], &[]),
        (
            "tests/fixtures/mistakes/servos-starve-receiver",
            &[("supply: 2 A", "supply: 2.29 A")],
            &["stalls-exceed-supply receiver"],
        ),
    ]);
    // The servo gets to the gas after 0.285 s.
    holds(&[
        (
            "tests/fixtures/mistakes/stage-over-before-servo",
            &[("lasts: 0.1 s", "lasts: 0.285 s")],
            &[
                "stage-too-short blow.tank_servo.gas",
                "stage-too-short blow.tank_servo.pump",
                "stays-down-on-loss fail_safe",
            ],
        ),
        (
            "tests/fixtures/mistakes/stage-over-before-servo",
            &[("lasts: 0.1 s", "lasts: 0.286 s")],
            &["stage-too-short blow.tank_servo.pump", "stays-down-on-loss fail_safe"],
        ),
    ]);
    // A minute is what anybody may mean.
    holds(&[("boats/moonfish", &[("after: 1 s", "after: 60 s")], &["stays-down-on-loss fail_safe"])]);
}

#[test]
fn a_judgement_is_about_what_it_names_and_nothing_beside() {
    // One rule, one place and one state are accepted, not what else is found at the place or of the rule.
    holds(&[
        (
            "tests/fixtures/accepted/blow-reaches-gas",
            &[("where: tank_servo.gas, because", "where: tank_servo.pump, because")],
            &["acceptance-stale tank_servo.pump", "emergency-within-reach tank_servo.gas"],
        ),
        (
            "tests/fixtures/accepted/blow-reaches-gas",
            &[("where: tank_servo.gas, because", "where: tank_servo.gas, state: waiting, because")],
            &["acceptance-stale tank_servo.gas", "emergency-within-reach tank_servo.gas"],
        ),
        (
            "tests/fixtures/accepted/blow-reaches-gas",
            &[("where: tank_servo.gas, because", "where: tank_servo.gas, state: piloting, because")],
            &[],
        ),
        (
            "tests/fixtures/accepted/blow-reaches-gas",
            &[("rule: emergency-within-reach", "rule: works-at-rest"), (", on_card: yes", "")],
            &["acceptance-stale tank_servo.gas", "emergency-within-reach tank_servo.gas"],
        ),
    ]);
    // Planes throw her out of the water only if a motor drives her ahead.
    holds(&[(
        "tests/fixtures/mistakes/driven-up-on-loss",
        &[("3: +60 %, 4", "3: -60 %, 4")],
        &["motor-runs-on-loss motor_esc"],
    )]);
    // Whichever of its two sides the file tells of, the planes do the opposite on the other.
    holds(&[
        (
            "tests/fixtures/mistakes/levelling-grows-a-tilt",
            &[(
                "behind: leveller\n    accuracy: 2 %\n    stops: [-116 % ± 1 %, +116 % ± 1 %]\n    effects: {longer: bow rises, shorter: bow dips}",
                "behind: leveller\n    accuracy: 2 %\n    stops: [-116 % ± 1 %, +116 % ± 1 %]\n    effects: {longer: bow rises}",
            )],
            &["levelling-runs-away stern_servo"],
        ),
        (
            "tests/fixtures/mistakes/levelling-grows-a-tilt",
            &[(
                "behind: leveller\n    accuracy: 2 %\n    stops: [-116 % ± 1 %, +116 % ± 1 %]\n    effects: {longer: bow rises, shorter: bow dips}",
                "behind: leveller\n    accuracy: 2 %\n    stops: [-116 % ± 1 %, +116 % ± 1 %]\n    effects: {shorter: bow dips}",
            )],
            &["levelling-runs-away stern_servo"],
        ),
        (
            "boats/moonfish",
            &[(
                "behind: leveller\n    accuracy: 2 %\n    stops: [-116 % ± 1 %, +116 % ± 1 %]\n    effects: {longer: bow rises, shorter: bow dips}",
                "behind: leveller\n    accuracy: 2 %\n    stops: [-116 % ± 1 %, +116 % ± 1 %]\n    effects: {longer: bow rises}",
            )],
            &[],
        ),
    ]);
    // A hook may be meant to let go, but nothing dangerous is excused by being named.
    holds(&[
        (
            "boats/capstan",
            &[(
                "on_loss: {3: 0 %, 4: -80 %, 5: 0 %, others: hold}",
                "on_loss: {3: 0 %, 4: -80 %, 5: +75 %, others: hold, works: [tow]}",
            )],
            &[],
        ),
        (
            "boats/capstan",
            &[
                (
                    "on_loss: {3: 0 %, 4: -80 %, 5: 0 %, others: hold}",
                    "on_loss: {3: 0 %, 4: -80 %, 5: +75 %, others: hold, works: [tow]}",
                ),
                ("kind: release", "kind: release\n        dangerous: yes"),
            ],
            &["burns-on-after-loss hook_servo.tow", "starts-on hook_servo.tow"],
        ),
    ]);
    // Nor is a gun that the preset names.
    holds(&[(
        "tests/fixtures/mistakes/gun-left-at-fire",
        &[("4: -80 %, 5: 0 %, others: hold", "4: +80 %, 5: 0 %, others: hold, works: [gun]")],
        &[
            "burns-on-after-loss water_servo.gun",
            "interlock-missing water_servo.gun",
            "starts-on water_servo.gun",
        ],
    )]);
    // A stage that ends does not leave the gas open, and what was stored of a channel counts while the preset sets it.
    holds(&[
        (
            "tests/fixtures/mistakes/gas-open-until-signal",
            &[("{name: blow, set", "{name: blow, lasts: 14 s, set")],
            &[
                "emergency-does-not-raise fail_safe",
                "runs-on-after-loss tank_servo.pump",
                "sinks-on-loss tank_servo.vent",
                "stays-down-on-loss fail_safe",
            ],
        ),
        (
            "tests/fixtures/mistakes/preset-before-reversal",
            &[("{3: 0 %, 4: +70 %, others: hold, works: [pump]}", "{3: 0 %, others: hold}")],
            &[
                "emergency-does-not-raise receiver",
                "no-blow-on-loss fail_safe",
                "sinks-on-loss valve_servo.vent",
            ],
        ),
    ]);
}

/// A one-way controller that stands still at the longer end of its range.
#[test]
fn a_stop_at_the_longer_end_is_looked_for_there() {
    const LINE: &str = "control: speed, longer: ahead, endpoints: {astern: 50 %, ahead: 100 %}";
    let turned = |line: &'static str| {
        [
            (LINE, line),
            ("still_between: [-135 %, -90.4 %]", "still_between: [+90.4 %, +135 %]"),
            ("{3: -100 %, 4", "{3: +100 %, 4"),
            (
                "effects: {longer: drives ahead, shorter: drives astern}",
                "effects: {longer: drives astern, shorter: drives ahead}",
            ),
        ]
    };
    // Half a percent of the controller and 2 us of 400 for the pulse: 91 % may be 90 %.
    holds(&[
        (
            "tests/fixtures/mistakes/one-way-motor-short-of-its-stop",
            &turned("control: speed, longer: astern, endpoints: {astern: 91 %, ahead: 100 %}"),
            &["one-way-controller motor_esc"],
        ),
        (
            "tests/fixtures/mistakes/one-way-motor-short-of-its-stop",
            &turned("control: speed, longer: astern, endpoints: {astern: 92 %, ahead: 100 %}"),
            &[],
        ),
    ]);
}

/// A unit whose last stage ends hands her back to a receiver that sends noise; one whose last stage does not end keeps her.
#[test]
fn whom_a_unit_hands_her_back_to_has_her_for_good() {
    const REST: &str = "    - {name: rest, set: {1: 0 %, 2: 0 %, 3: 0 %, 4: 0 %}}";
    holds(&[
        ("tests/fixtures/clean/smew", &[(REST, REST)], &[]),
        (
            "tests/fixtures/clean/smew",
            &[(REST, "    - {name: rest, lasts: 9 s, set: {1: 0 %, 2: 0 %, 3: 0 %, 4: 0 %}}")],
            &["motor-runs-on-loss motor_esc", "sinks-on-loss tank_pump"],
        ),
    ]);
}

/// On a lost link the receiver holds the flooding pump at rest; on a low battery or a leak the pilot has it, gas or no gas.
#[test]
fn what_a_stage_leaves_out_is_the_pilots_where_the_link_is_whole() {
    let boat = |otherwise: &str, channels: &str, rest: &str| {
        format!(
            "fail_safe:\n  channels: [{channels}]\n  notices: {{channel: 6, beyond: +80 % ± 1 %}}\n  until_it_acts: holds\n  \
             accuracy: 4 us\n  wait: 2 s\n{otherwise}  stages:\n    - {{name: lift, lasts: 6 s, set: {{{rest}4: +100 %}}, \
             works: [gas]}}\n    - {{name: rest, set: {{{rest}4: 0 %}}}}\n"
        )
    };
    const UNIT: &str = "fail_safe:
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
    let (battery, leak) = ("  low_battery: {battery: main, below: 6 V}\n", "  leak: yes\n");
    let flooding = ["stage-engages tank_pump", "works-together bottle_servo.gas"];
    for (unit, expected) in [
        (boat("", "4", ""), &[][..]),
        (boat(battery, "4", ""), &flooding[..]),
        (boat(leak, "4", ""), &flooding[..]),
        (boat(battery, "2, 3, 4", "2: 0 %, 3: 0 %, "), &[][..]),
    ] {
        let changes = [
            ("  4: {name: bottle, control", "  6: {name: watch}\n  4: {name: bottle, control"),
            (
                "receiver: {on_loss: noise, after: 0.5 s}",
                "receiver: {on_loss: {1: 0 %, 2: 0 %, 3: 0 %, 4: 0 %, 6: +100 %}, after: 0.5 s}",
            ),
            (UNIT, &unit),
        ];
        holds(&[("tests/fixtures/clean/smew", &changes, expected)]);
    }
}

/// Two stages of eight seconds keep the blower on for sixteen in one go.
#[test]
fn stages_that_follow_each_other_are_one_go() {
    let stages = (
        "    - {name: blow, lasts: 14 s, set: {3: 0 %, 4: +104 %}, works: [pump, gas]}",
        "    - {name: pump, lasts: 8 s, set: {3: 0 %, 4: +55 %}, works: [pump]}\n    - {name: blow, lasts: 8 s, set: {3: 0 %, 4: \
         +104 %}, works: [pump, gas]}",
    );
    holds(&[
        ("boats/moonfish", &[stages, ("duty: 90 s", "duty: 16 s")], &[]),
        ("boats/moonfish", &[stages, ("duty: 90 s", "duty: 15.9 s")], &["runs-too-long tank_servo.pump"]),
    ]);
}
