use super::*;
use crate::physics::battery::{Chemistry, Pack};
use crate::physics::units::{AmpereHours, Amperes, Metres, Ohms};
use crate::setup::{Setup, lower};
use crate::source::Source;

const FACTS: &str = "
hull: {weight: 8.4 kg, heavy: 15 g ± 10 g, weighed_at: 12 degC, material: glass fibre, air: 4 L ± 0.5 L, length: 900 mm, beam: 110 mm, dives_at: 0.1 m/s, water: [4 degC, 22 degC]}
tank:
  volume: 600 mL ± 20 mL
  emptied_by:
    tank_servo.pump: {flow: [[0 bar, 4 L/min], [0.4 bar, 0 L/min]], flow_off: 15 %, measured_at: 7.2 V, starts_in: 0.5 s, duty: 90 s, current: 1.8 A, air: hull}
    tank_servo.gas: {gas: isobutane, bottle: 50 mL, charge: 12 g ± 1 g, hole: 0.5 mm}
";

pub(super) fn read(text: &str) -> Setup {
    // Of a pump whose duty is given the work that starts it says no time as well.
    let text = if text.contains("duty:") { text.replace(", longest: 90 s}", "}") } else { text.to_owned() };
    let source = Source::from_bytes("x", text.into_bytes()).unwrap();
    lower::lower(&source).unwrap()
}

pub(super) fn example(change: impl Fn(String) -> String) -> Setup {
    let text = std::fs::read_to_string("../../tests/fixtures/example.yaml").unwrap();
    assert!(!text.contains("\nhull:"));
    let text =
        text.replace("    accuracy: 1.5 %\n", "    accuracy: 1.5 %\n    turn: 45 deg\n    speed: 0.2 s\n");
    let known = "capacity: 4.2 Ah, resistance: 30 mohm, draws: 200 mA}";
    read(&change(text + FACTS).replace("capacity: 4.2 Ah}", known))
}

fn first(run: &Run, wanted: &What) -> Option<f64> {
    run.first(|what| what == wanted).map(|at| at.0)
}

/// A fifth of a second for 60 degrees and 45 degrees for 100 % make 0.15 s for 100 %: 1 s of the receiver, 4 s of
/// the unit, then +38 % after 0.057 s and +72 % after 0.108 s. The valve is let go at +72 % on the way back
/// from +105 % to rest, 0.33 · 0.15 = 0.0495 s after 19 s.
#[test]
fn delays_and_the_way_of_the_servo_add_up() {
    let found = rehearse(&example(|t| t), Cause::Loss, &Start::default());
    let run = &found.nominal;
    let near = |got: Option<f64>, want: f64| assert!((got.unwrap() - want).abs() < 1e-9, "{got:?}");
    near(first(run, &What::ReceiverActs), 1.0);
    near(first(run, &What::Stage(0)), 5.0);
    // The clicks' interval lies about 37.5 %: half a step before what was read.
    near(run.raises_at.map(|s| s.0), 5.05625);
    near(run.first(|w| matches!(w, What::Moves(w) if w.work == 2)).map(|s| s.0), 5.108);
    near(run.first(|w| matches!(w, What::Off(w) if w.work == 2)).map(|s| s.0), 19.0495);
    near(first(run, &What::Stage(1)), 19.0);
}

#[test]
fn the_worst_case_is_deeper_later_and_the_quick_one_faster() {
    let found = rehearse(&example(|t| t), Cause::Loss, &Start::default());
    assert!(found.missing.is_empty() && found.refused.is_empty(), "{found:?}");
    let deepest = |run: &Run| run.deepest.unwrap().depth;
    let up = |run: &Run| run.surfaced.unwrap();
    assert!(deepest(&found.worst) > deepest(&found.nominal));
    assert!(found.deepest.unwrap().depth >= deepest(&found.worst));
    assert!(
        up(&found.worst).time > up(&found.nominal).time && up(&found.nominal).time > up(&found.quick).time
    );
    assert!(up(&found.quick).sinking < up(&found.nominal).sinking);
    assert_eq!(found.worst.comes_up(), Some(true));
}

#[test]
fn a_place_of_the_hand_counts_in_the_nominal_case_too() {
    let setup = example(|t| t);
    let mut hand = crate::chain::Inputs::at_rest(&setup);
    let tank = setup.controls.iter().position(|c| c.name == "tank").unwrap();
    hand.positions[tank] = crate::setup::Exact::int(-1);
    let found = rehearse(&setup, Cause::Loss, &Start { hand: Some(hand), depth: None });
    // From -80 % it is 1.175 of the axis to the pump: 5 + 1.175 · 0.15 s; the vent is open until -45 %.
    assert!((found.nominal.raises_at.unwrap().0 - 5.17625).abs() < 1e-9);
    let shut = found.nominal.first(|w| matches!(w, What::Off(w) if w.work == 0)).unwrap();
    assert!((shut.0 - 5.0525).abs() < 1e-9);
}

#[test]
fn power_up_happens_at_the_surface_and_low_battery_needs_no_receiver() {
    let setup = example(|t| t);
    let found = rehearse(&setup, Cause::PowerUp, &Start::default());
    assert!(found.nominal.track.is_empty() && found.worst.comes_up().is_none());
    assert!(found.nominal.raises_at.is_some());
    // The unit's own four seconds only; it has a leak probe as well.
    for cause in [Cause::Battery, Cause::Leak] {
        let found = rehearse(&setup, cause, &Start::default());
        assert_eq!(first(&found.nominal, &What::Stage(0)), Some(4.0));
        assert!(found.assumed.iter().any(|a| matches!(a, Assumption::UnitWaits(_))));
    }
}

#[test]
fn what_is_not_in_the_file_is_named_and_the_rest_is_worked_out() {
    let setup = example(|t| t[..t.find("\nhull:").unwrap()].to_owned());
    let found = rehearse(&setup, Cause::Loss, &Start::default());
    let keys: Vec<String> = found.missing.iter().map(|m| m.path.dotted()).collect();
    for key in ["hull.weight", "hull.length", "hull.beam", "tank.volume", "tank.emptied_by.tank_servo.gas"] {
        assert!(keys.iter().any(|k| k == key), "{key} of {keys:?}");
    }
    assert!(found.nominal.track.is_empty() && (found.nominal.raises_at.unwrap().0 - 5.05625).abs() < 1e-9);
    // Without the hole there is no gas, but the pump alone brings her up.
    let found = rehearse(&example(|t| t.replace(", hole: 0.5 mm", "")), Cause::Loss, &Start::default());
    assert_eq!(found.missing.len(), 1);
    assert_eq!(found.missing[0].path.dotted(), "tank.emptied_by.tank_servo.gas.hole");
    assert_eq!((found.nominal.comes_up(), found.nominal.emptied[1].gas.0), (Some(true), 0.0));
    let unwatched = example(|t| t.replace("  leak: yes\n", ""));
    let found = rehearse(&unwatched, Cause::Leak, &Start::default());
    assert_eq!(found.missing[0].path.dotted(), "fail_safe.leak");
}

#[test]
fn a_unit_that_cannot_notice_does_nothing_and_a_preset_acts_with_the_receiver() {
    let held = example(|t| t.replace("on_loss: no pulses", "on_loss: hold"));
    let found = rehearse(&held, Cause::Loss, &Start::default());
    assert_eq!(first(&found.nominal, &What::UnitUnaware), Some(1.0));
    assert!(found.nominal.acts_at.is_none() && found.worst.comes_up() == Some(false));
    let preset =
        example(|t| t.replace("on_loss: no pulses", "on_loss: {3: 0 %, 4: +105 %, works: [pump, gas]}"));
    let found = rehearse(&preset, Cause::Loss, &Start::default());
    assert_eq!(found.nominal.acts_at.map(|s| s.0), Some(1.0));
}

/// What the solver says keeps its margins, and one step of half a second beyond it does not.
#[test]
fn solved_values_are_the_ones_that_just_keep_the_margins() {
    let setup = example(|t| t);
    let solved = solve::solve(&setup, &Start::default());
    let sought = |what| solved.settings.iter().find(|s| s.sought == what).unwrap().keeps.unwrap();
    let lasts = sought(solve::Sought::Lasts(0));
    let worst = |lasts: f64| {
        let setup = example(|t| t.replace("lasts: 14 s", &format!("lasts: {lasts} s")));
        rehearse(&setup, Cause::Loss, &Start::default()).worst
    };
    let half = |run: &Run| run.comes_up() == Some(true) && run.track.last().unwrap().emptied.litres() >= 0.31;
    assert!(half(&worst(lasts / solve::OVER)) && !half(&worst((lasts - 0.5) / solve::OVER)), "{lasts}");
    let wait = sought(solve::Sought::Wait);
    let deepest = |wait: f64| {
        let setup = example(|t| t.replace("wait: 4 s", &format!("wait: {wait} s")));
        rehearse(&setup, Cause::Loss, &Start::default()).deepest.unwrap().depth.0
    };
    assert!(deepest(wait) <= 2.5 && deepest(wait + 0.5) > 2.5, "{wait}");
    // Where the battery's resistance is not given, its threshold cannot be told.
    let unknown = example(|t| t.replace("capacity: 4.2 Ah}", "capacity: 4.2 Ah, draws: 200 mA}"));
    let solved = solve::solve(&unknown, &Start::default());
    assert_eq!(solved.missing[0].path.dotted(), "batteries.main.resistance");
}

/// 30 mΩ and a pump of 1.8 A; whatever else draws has to be fed until the last of it is over.
#[test]
fn what_else_draws_from_the_battery_raises_its_lowest_threshold() {
    let with = |draws: &str, pump: &str| {
        example(|t| {
            t.replace("capacity: 4.2 Ah}", &format!("capacity: 4.2 Ah, resistance: 30 mohm{draws}}}"))
                .replace(", current: 1.8 A", pump)
        })
    };
    let lowest = |setup: &Setup| solve::lowest_threshold(setup).map(|found| found.keeps.unwrap());
    let worked = |setup: &Setup, draws: f64, pump: f64| {
        let pack = Pack::new(Chemistry::NiMh, 6, AmpereHours(4.0), Ohms(0.03)).unwrap();
        let (worst, _) = worst_case(setup, Cause::Battery, &Start::default());
        let charge = worst.charge.map_or(0.0, |c| c.0) + draws * worst.ends_at().0 / 3600.0;
        let volts = pack.lowest_threshold(AmpereHours(charge * 1.25), Amperes(0.0), Amperes(draws + pump));
        (volts.unwrap().unwrap().0 * 10.0).ceil() / 10.0
    };
    let pump_alone = with("", ", current: 1.8 A");
    let all = with(", draws: 2 A", ", current: 1.8 A");
    assert_eq!(lowest(&pump_alone), Some(worked(&pump_alone, 0.0, 1.8)));
    assert_eq!(lowest(&all), Some(worked(&all, 2.0, 1.8)));
    assert!(lowest(&all) > lowest(&pump_alone));
    assert_eq!(lowest(&with(", draws: 2000 mA", ", current: 1800 mA")), lowest(&all));
    // A pump of unknown current leaves what else there is; with neither nobody can say.
    let rest = with(", draws: 2 A", "");
    assert_eq!(lowest(&rest), Some(worked(&rest, 2.0, 0.0)));
    assert_eq!(lowest(&with("", "")), None);
}

const LAST: &str = "    - {name: rest, set: {3: 0 %, 4: 0 %}}\n";

#[test]
fn a_boat_that_goes_on_down_has_no_deepest_place() {
    let setup = example(|t| t.replace("lasts: 14 s", "lasts: 0.6 s"));
    let found = rehearse(&setup, Cause::Loss, &Start::default());
    assert!(found.worst.sinks_on() && found.deepest.is_none() && found.worst.surfaced.is_none());
    assert!(first(&found.worst, &What::SinksOn).is_some() && first(&found.worst, &What::Deepest).is_none());
    let still = found.worst.track.last().unwrap();
    let limit = setup.boat.depth_limit.as_ref().map(|d| Metres(d.0.to_f64()));
    assert!(still.sinking.0 > 0.0 && Pictured::of(&found, limit).depth == still.depth);
    let found = rehearse(&example(|t| t), Cause::Loss, &Start::default());
    assert!(!found.worst.sinks_on() && first(&found.worst, &What::SinksOn).is_none());
    let seen = Pictured::of(&found, limit);
    assert_eq!((seen.way(&found.worst), seen.until), (found.worst.track.clone(), found.worst.ends_at()));
}

/// A pump that gives up at a metre, and a gas that hardly comes: she is seen as far as twice her limit of 2 m, and no
/// longer than she takes to get there.
#[test]
fn of_a_boat_that_sinks_for_minutes_the_picture_ends_where_it_matters() {
    let change = |t: String| {
        t.replace("[0.4 bar", "[0.1 bar").replace("0.5 mm", "0.01 mm").replace("lasts: 14 s", "lasts: 90 s")
    };
    let found = rehearse(&example(change), Cause::Loss, &Start::default());
    let worst = &found.worst;
    assert!(worst.sinks_on() && worst.track.last().unwrap().depth.0 > 10.0);
    let seen = Pictured::of(&found, Some(Metres(2.0)));
    let leaves = *seen.way(worst).last().unwrap();
    assert!((seen.depth.0 - 4.0).abs() < 1e-9 && leaves.depth == seen.depth);
    assert!(seen.until >= leaves.time && seen.until.0 < worst.ends_at().0 / 2.0, "{seen:?}");
    // Deeper than her limit when it begins: twice that.
    assert!((Pictured::of(&found, Some(Metres(1.0))).depth.0 - 4.0).abs() < 1e-9);
}

/// The blow is the only stage and ends after half a second. With a low battery the pilot's stick, at rest,
/// switches the pump off; on a lost link nobody can be sure of a servo without pulses.
#[test]
fn what_the_last_stage_switched_on_does_not_go_on_for_ever() {
    let setup = example(|t| t.replace(LAST, "").replace("lasts: 14 s", "lasts: 0.5 s"));
    let off = |run: &Run| run.first(|w| matches!(w, What::Off(w) if w.work == 1)).map(|s| s.0);
    let low = rehearse(&setup, Cause::Battery, &Start::default());
    // From +105 % back to where the pump is let go, at most the way to rest: 1.05 · 0.15 s.
    for run in [&low.nominal, &low.worst] {
        assert!(off(run).is_some_and(|at| (4.5..=4.66).contains(&at)), "{:?}", off(run));
    }
    assert!(low.assumed.contains(&Assumption::Released { to_hand: true }));
    assert!(low.assumed.contains(&Assumption::LowVolts) && !low.assumed.contains(&Assumption::NoLeak));
    let lost = rehearse(&setup, Cause::Loss, &Start::default());
    assert_eq!((off(&lost.nominal), off(&lost.worst)), (None, Some(5.5)));
    assert_eq!((lost.nominal.comes_up(), lost.worst.comes_up()), (Some(true), Some(false)));
    assert!(lost.assumed.contains(&Assumption::Released { to_hand: false }));
    let held = example(|t| {
        t.replace(LAST, "")
            .replace("lasts: 14 s", "lasts: 0.5 s")
            .replace("on_loss: no pulses", "on_loss: {1: 0 %, others: hold}")
    });
    let back = |setup: &Setup| rehearse(setup, Cause::Leak, &Start::default()).assumed;
    assert!(back(&held).contains(&Assumption::NoLeak));
}

/// Three blows of which one would do, as the file stands: each by itself could be left out.
#[test]
fn solved_values_hold_when_they_are_put_in_together() {
    let blows = ["one", "two", "three"].map(|name| {
        format!("    - {{name: {name}, lasts: 14 s, set: {{3: 0 %, 4: +105 %}}, works: [pump, gas]}}\n")
    });
    let blow = "    - {name: blow, lasts: 14 s, set: {3: 0 %, 4: +105 %}, works: [pump, gas]}\n";
    let text = |t: String| t.replace(blow, &blows.concat());
    let setup = example(text);
    assert_eq!(setup.fail_safe.as_ref().unwrap().stages.len(), 4);
    let solved = solve::solve(&setup, &Start::default());
    let mut changed = setup.clone();
    let unit = changed.fail_safe.as_mut().unwrap();
    for setting in &solved.settings {
        let value =
            crate::setup::Exact::from_f64(setting.keeps.unwrap()).map(crate::setup::quantity::Seconds);
        match setting.sought {
            solve::Sought::Lasts(index) => unit.stages[index].lasts = value,
            solve::Sought::Wait => unit.wait = value,
            solve::Sought::Below => {}
        }
    }
    let found = rehearse(&changed, Cause::Loss, &Start::default());
    assert_eq!(found.worst.comes_up(), Some(true));
    assert!(found.deepest.unwrap().depth.0 <= 2.5);
}

#[test]
fn a_value_that_breaks_something_else_is_not_solved_for() {
    let lasts = |setup: &Setup| {
        let solved = solve::solve(setup, &Start::default());
        solved.settings.iter().find(|s| matches!(s.sought, solve::Sought::Lasts(_))).copied()
    };
    assert!(lasts(&example(|t| t)).unwrap().keeps.is_some());
    // A pump that may run for two seconds only.
    let tired = example(|t| t.replace("lasts: 14 s", "lasts: 1 s"));
    let needed = lasts(&tired).unwrap().keeps.unwrap();
    assert!(needed > 2.0);
    let source = std::fs::read_to_string("../../tests/fixtures/example.yaml").unwrap();
    let rested = read(
        &(source
            .replace("    accuracy: 1.5 %\n", "    accuracy: 1.5 %\n    turn: 45 deg\n    speed: 0.2 s\n")
            .replace("capacity: 4.2 Ah}", "capacity: 4.2 Ah, resistance: 30 mohm, draws: 200 mA}")
            + &FACTS.replace("duty: 90 s", "duty: 2 s")),
    );
    assert_eq!(lasts(&rested).unwrap().keeps, None);
    // A blow without an end, last of all, lasts until the signal returns.
    let open = example(|t| t.replace(LAST, "").replace("lasts: 14 s, ", ""));
    assert_eq!(lasts(&open), None);
}

#[test]
fn a_pump_breathes_as_the_file_says_and_else_through_the_snorkel_if_she_has_one() {
    let source = std::fs::read_to_string("../../tests/fixtures/example.yaml").unwrap();
    let with = |air: &str, fittings: &str| {
        let setup = read(&(source.clone() + &FACTS.replace(", air: hull", air) + fittings));
        let found = rehearse(&setup, Cause::Loss, &Start::default());
        let told = found.assumed.iter().find_map(|a| match a {
            Assumption::Air { snorkel, .. } => Some(*snorkel),
            _ => None,
        });
        (found.nominal.emptied[0].stalled, told)
    };
    let snorkel = "fittings: {snorkel: open}\n";
    assert_eq!(with(", air: hull", snorkel), (false, None));
    assert_eq!(with("", ""), (false, Some(false)));
    assert_eq!(with("", snorkel), (true, Some(true)));
    assert_eq!(with(", air: snorkel", ""), (true, None));
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(60))]

    /// Whatever the figures: never above the surface, never more out of the tank than it holds, and the worst
    /// case never ends better than the nominal one, nor that than the quick one.
    #[test]
    fn no_case_ends_better_than_the_one_it_is_to_be_worse_than(
        lasts in 1..60i32, wait in 0..10i32, limit in 1..8i32, flow in 1..60i32, shut_off in 2..20i32,
        hole in 1..20i32, dives_at in 1..40i32, off in 0..40i32, heavy in 0..80i32,
    ) {
        let setup = example(|t| t
            .replace("lasts: 14 s", &format!("lasts: {lasts} s"))
            .replace("wait: 4 s", &format!("wait: {wait} s"))
            .replace("depth_limit: 2 m", &format!("depth_limit: {limit} m")));
        let mut setup = setup;
        let tenth = |n: i32| crate::setup::Exact::ratio(i64::from(n), 10);
        use crate::setup::quantity::{Bar, Kilograms, LitresPerMinute, MetresPerSecond, Millimetres};
        setup.hull.dives_at = Some(MetresPerSecond(tenth(dives_at) / crate::setup::Exact::int(10)));
        if let Some(weight) = &mut setup.hull.heavy {
            weight.value = Kilograms(crate::setup::Exact::ratio(i64::from(heavy), 1000));
        }
        for (_, emptier) in &mut setup.tank.emptied_by {
            match emptier {
                Emptier::Pump(pump) => {
                    pump.flow = vec![
                        (Bar(tenth(0)), LitresPerMinute(tenth(flow))),
                        (Bar(tenth(shut_off)), LitresPerMinute(tenth(0))),
                    ];
                    pump.flow_off = Some(crate::setup::Exact::ratio(i64::from(off), 100));
                }
                Emptier::Gas(gas) => gas.hole = Some(Millimetres(tenth(hole))),
            }
        }
        let found = rehearse(&setup, Cause::Loss, &Start::default());
        proptest::prop_assert!(found.refused.is_empty(), "{:?}", found.refused);
        let runs = [&found.quick, &found.nominal, &found.worst];
        for run in runs {
            for s in &run.track {
                proptest::prop_assert!(s.depth.0 >= 0.0 && (0.0..=0.6201).contains(&s.emptied.litres()));
            }
        }
        let up = |run: &Run| match run.surfaced {
            Some(up) if run.comes_up() == Some(true) => up.time.0,
            _ => f64::INFINITY,
        };
        for pair in runs.windows(2) {
            proptest::prop_assert!(up(pair[0]) <= up(pair[1]) + 1e-3, "{} {}", up(pair[0]), up(pair[1]));
        }
        let fastest = runs.iter().filter_map(|run| run.surfaced).map(|s| -s.sinking.0).fold(0.0, f64::max);
        proptest::prop_assert!(found.fastest.is_none_or(|most| most.0 >= fastest));
    }
}

/// As the file stands she stays down whatever the wait; with the blow that is solved for she does not.
#[test]
fn a_wait_is_solved_for_beside_a_blow_that_is_too_short() {
    let setup = example(|t| t.replace("lasts: 14 s", "lasts: 1 s"));
    let solved = solve::solve(&setup, &Start::default());
    assert!(solved.settings.iter().filter(|s| s.sought != solve::Sought::Below).all(|s| s.keeps.is_some()));
}

#[test]
fn of_a_boat_that_never_dives_nothing_is_asked_about_water() {
    let setup = read(&std::fs::read_to_string("../../boats/capstan.yaml").unwrap());
    let found = rehearse(&setup, Cause::Loss, &Start::default());
    assert!(found.missing.iter().all(|m| matches!(m.wanted, Wanted::Passing | Wanted::Delay)));
    assert!(found.assumed.is_empty() && found.nominal.track.is_empty());
}

/// She is deeper after a longer wait: the blow told beside a wait is the one that is enough after it.
#[test]
fn solved_values_put_in_and_solved_again_still_keep_the_margins() {
    for (limit, wait) in [("3 m", "4 s"), ("5 m", "4 s"), ("2 m", "60 s"), ("2 m", "0 s")] {
        let setup = example(|t| {
            t.replace("depth_limit: 2 m", &format!("depth_limit: {limit}"))
                .replace("wait: 4 s", &format!("wait: {wait}"))
        });
        assert_eq!(setup.fail_safe.as_ref().unwrap().wait.as_ref().unwrap().0.to_decimal(0) + " s", wait);
        let of = |setup: &Setup| solve::solve(setup, &Start::default()).settings;
        let mut changed = setup.clone();
        let unit = changed.fail_safe.as_mut().unwrap();
        for setting in of(&setup) {
            let value =
                crate::setup::Exact::from_f64(setting.keeps.unwrap_or_else(|| panic!("{limit} {wait}")));
            match setting.sought {
                solve::Sought::Lasts(index) => {
                    unit.stages[index].lasts = value.map(crate::setup::quantity::Seconds);
                }
                solve::Sought::Wait => unit.wait = value.map(crate::setup::quantity::Seconds),
                solve::Sought::Below => {}
            }
        }
        for setting in of(&changed).iter().filter(|s| s.sought != solve::Sought::Below) {
            let (now, keeps) = (setting.now.unwrap(), setting.keeps.unwrap());
            match setting.sought {
                solve::Sought::Wait => assert!(now <= keeps, "{limit} {wait}: {setting:?}"),
                _ => assert!(now >= keeps, "{limit} {wait}: {setting:?}"),
            }
        }
    }
}

/// The unit acts at once on a low battery: the blow stops the motor, and the stage after it only says so again.
#[test]
fn a_motor_that_is_told_twice_to_stand_does_so_at_the_first() {
    let again = "set: {3: 0 %, 4: 0 %}";
    assert!(std::fs::read_to_string("../../tests/fixtures/example.yaml").unwrap().contains(again));
    let stands = |setup: &Setup| {
        let found = rehearse(setup, Cause::Battery, &Start::default()).nominal;
        found.first(|what| matches!(what, What::MotorStops(_))).unwrap().0
    };
    let twice = stands(&example(|t| t));
    let once = stands(&example(|t| t.replace(again, "set: {4: 0 %}")));
    assert!((twice - once).abs() < 1e-12, "{twice} {once}");
}

/// 6.6 V less 1.8 A through 30 mΩ, of the 7.2 V at which it was found: 0.909. Flow goes as that
/// and pressure as its square, 0.4 bar · 0.826 = 0.331 bar: she is up later, and from 3.5 m (0.343 bar) never.
#[test]
fn on_a_low_battery_a_pump_moves_less_and_gives_up_earlier() {
    let with = |limit: &str| {
        example(|t| {
            t.replace("capacity: 4.2 Ah}", "capacity: 4.2 Ah, resistance: 30 mohm}")
                .replace("works: [pump, gas]", "works: [pump]")
                .replace("4: +105 %", "4: +58 %")
                .replace("depth_limit: 2 m", &format!("depth_limit: {limit}"))
                .replace("lasts: 14 s", "lasts: 60 s")
        })
    };
    let up =
        |setup: &Setup, cause| rehearse(setup, cause, &Start::default()).nominal.surfaced.map(|s| s.time.0);
    let shallow = with("2 m");
    // The receiver's second comes on top of the unit's four on a lost link.
    assert!(up(&shallow, Cause::Battery).unwrap() > up(&shallow, Cause::Loss).unwrap() - 1.0 + 0.5);
    let deep = with("3.5 m");
    assert!(up(&deep, Cause::Loss).is_some() && up(&deep, Cause::Battery).is_none());
    // A curve that was found at the voltage of the alarm is only brought down by what the pump draws.
    let found = example(|t| {
        t.replace("capacity: 4.2 Ah}", "capacity: 4.2 Ah, resistance: 0.001 mohm}")
            .replace("works: [pump, gas]", "works: [pump]")
            .replace("4: +105 %", "4: +58 %")
            .replace("lasts: 14 s", "lasts: 60 s")
    });
    // Neither heavy nor light, so that a second more of waiting takes her no deeper.
    let mut found = found;
    found.hull.heavy = None;
    found.hull.weighed_at = Some(crate::setup::quantity::Celsius(crate::setup::Exact::int(13)));
    let mut at_alarm = found.clone();
    if let Emptier::Pump(pump) = &mut at_alarm.tank.emptied_by[0].1 {
        pump.measured_at = Some(crate::setup::quantity::Volts(crate::setup::Exact::ratio(66, 10)));
    }
    let later = up(&found, Cause::Loss).unwrap() - 1.0;
    assert!((up(&at_alarm, Cause::Battery).unwrap() - later).abs() < 1e-3);
}

/// 0.5 L/min for some ten seconds are some 80 g: she is up later than without; without a rate that is said.
#[test]
fn what_leaks_in_is_weighed_where_the_file_says_how_fast() {
    let with = |leaks: &str| {
        let setup = example(|t| t);
        let mut setup = setup;
        setup.hull.leaks = match leaks {
            "" => None,
            rate => Some(crate::setup::Leaks::Rate(crate::setup::quantity::LitresPerMinute(
                crate::setup::Exact::from_decimal(rate).unwrap(),
            ))),
        };
        rehearse(&setup, Cause::Leak, &Start::default())
    };
    let (dry, wet) = (with(""), with("0.5"));
    assert!(wet.nominal.surfaced.unwrap().time > dry.nominal.surfaced.unwrap().time);
    assert!(dry.assumed.contains(&Assumption::NoLeak) && wet.assumed.contains(&Assumption::Leaks));
    assert!(dry.missing.iter().any(|m| m.path.dotted() == "hull.leaks"));
    assert!(!rehearse(&example(|t| t), Cause::Loss, &Start::default()).assumed.contains(&Assumption::NoLeak));
}

/// Half of a tank of 620 mL, each time at the pressure of the deepest place, out of 10 L and out of 2 L.
#[test]
fn how_often_she_can_blow_before_she_has_to_breathe() {
    let with = |air: i64, limit: &str| {
        let mut setup = example(|t| t.replace("depth_limit: 2 m", &format!("depth_limit: {limit}")));
        let litres = crate::setup::quantity::Litres(crate::setup::Exact::int(air));
        let off = crate::setup::quantity::Litres(crate::setup::Exact::ZERO);
        setup.hull.air = Some(crate::setup::quantity::About { value: litres, off });
        rehearse(&setup, Cause::Loss, &Start::default())
    };
    let found = with(10, "1 m");
    let depth = found.deepest.unwrap().depth.0;
    // 0.4 bar less 15 % of its own, on 6.6 V less 2 A through 30 mΩ of the 7.2 V at which it was found: 0.34 bar ·
    // 0.9083² = 0.2805 bar. Each blow takes p · 0.31 L / 10 L.
    let gauge = 999.97 * 9.806_65 * depth;
    let part = 6.54 / 7.2;
    let want = ((0.34e5 * part * part - gauge) / ((gauge + 101_325.0) * 0.031)) as u32;
    assert_eq!(found.blows, Some(want));
    assert!(want >= 2 && with(2, "1 m").blows < found.blows);
    let unknown = {
        let mut setup = example(|t| t);
        setup.hull.air = None;
        rehearse(&setup, Cause::Loss, &Start::default())
    };
    assert_eq!(unknown.blows, None);
    assert!(unknown.missing.iter().any(|m| m.path.dotted() == "hull.air"));
}

/// 8.4 kg weighed at 4 degC and sailed at 22 degC: 8.4 · (999.975 - 997.77) / 999.975 = 18.5 g heavier; of acrylic,
/// 3 · 70e-6 · 18 · 8.4 kg = 31.75 g lighter by its growth, or 31.7 g in the water that carries less.
#[test]
fn warm_water_carries_less_and_a_plastic_hull_displaces_more() {
    let heavier = |material: Option<crate::setup::Material>, weighed: i64, sailed: f64| {
        let mut setup = example(|t| t);
        setup.hull.weighed_at = Some(crate::setup::quantity::Celsius(crate::setup::Exact::int(weighed)));
        setup.hull.material = material;
        let water = water_at(&setup, crate::physics::units::Celsius(sailed)).unwrap();
        [1.0, -1.0].map(|sign| warmth::heavier(&setup, water, 0.0, sign, &mut Vec::new()).unwrap() * 1000.0)
    };
    use crate::setup::Material;
    let near = |got: f64, want: f64| assert!((got - want).abs() < 0.1, "{got} instead of {want}");
    near(heavier(Some(Material::Carbon), 4, 22.0)[0], 18.5 - 0.9);
    near(heavier(Some(Material::Acrylic), 4, 22.0)[0], 18.5 - 31.7);
    near(heavier(Some(Material::Acrylic), 22, 4.0)[0], 31.8 - 18.5);
    // Of an unknown hull both are told: of ABS it is 3 · 85e-6 · 18 · 8.4 kg = 38.56 g, less a
    // five-hundredth.
    let [most, least] = heavier(None, 4, 22.0);
    near(most, 18.5);
    near(least, 18.5 - 38.5);
}

/// By Kell's densities (J. Chem. Eng. Data 20:97, 1975) of 9 degC, 999.781 kg/m³, and 22 degC, 997.770: a hull of
/// glass fibre of 8.4 kg that was weighed at 9 and is sailed at 22 degC is 8.4 · (0.002 011 - 3 · 25e-6 · 13) kg
/// = 8.7 g heavier, more than one weighed at 4 or at 22 degC.
#[test]
fn she_may_have_been_weighed_at_any_warmth_of_her_water() {
    let mut setup = example(|t| t);
    setup.hull.weighed_at = None;
    setup.hull.material = Some(crate::setup::Material::Glass);
    let degrees = |n| crate::setup::quantity::Celsius(crate::setup::Exact::int(n));
    setup.hull.water = Some([degrees(4), degrees(22)]);
    let water = water_at(&setup, crate::physics::units::Celsius(22.0)).unwrap();
    let most = warmth::heavier(&setup, water, 0.0, 1.0, &mut Vec::new()).unwrap();
    assert!((most * 1000.0 - 8.7).abs() < 0.05, "{most}");
}

/// Every pair of waters at 12 degC, by TEOS-10 (gsw 3.6.23; salt in g/kg by the Venice system): 999.50 kg/m³ fresh,
/// 999.89 with 0.5, 1011.11 with 15, 1022.71 with 30, 1030.52 with 40. A boat of 8.4 kg and 15 ± 10 g displaces
/// (8.4 - h) b / a in water of b when a was that of the scales.
#[test]
fn she_is_heavier_by_every_water_that_carries_less_than_the_one_she_was_weighed_in() {
    use crate::setup::Water::{self, Brackish, Fresh, Sea};
    let density = |grams: f64| {
        let water = crate::physics::water::Water::sea(crate::physics::units::Celsius(12.0), grams).unwrap();
        water.density().0
    };
    let heavier = |weighed: Option<Water>, sailed: Water, salt: corner::Salt, sign: f64| {
        let mut setup = example(|t| t);
        setup.hull.weighed_in = weighed;
        setup.boat.water = sailed;
        let grams = salt::sailed(&setup).at(salt);
        let warm = crate::physics::units::Celsius(12.0);
        let water = crate::physics::water::Water::sea(warm, grams).unwrap();
        warmth::heavier(&setup, water, 0.0, sign, &mut Vec::new()).unwrap() * 1000.0
    };
    use corner::Salt::{Least, Most};
    let near = |got: f64, before: f64, after: f64| {
        let want = 8400.0 * (1.0 - density(after) / density(before));
        assert!((got - want).abs() < 0.5, "{got} instead of {want}");
    };
    for (weighed, most_before, least_before) in [(Fresh, 0.5, 0.0), (Brackish, 30.0, 0.5), (Sea, 40.0, 30.0)]
    {
        for (sailed, least, most) in [(Fresh, 0.0, 0.0), (Brackish, 0.5, 30.0), (Sea, 30.0, 40.0)] {
            if weighed == sailed && weighed != Brackish {
                near(heavier(Some(weighed), sailed, Least, 1.0), 0.0, 0.0);
                continue;
            }
            near(heavier(Some(weighed), sailed, Least, 1.0), most_before, least);
            near(heavier(Some(weighed), sailed, Most, -1.0), least_before, most);
        }
    }
    // The very water she is sailed in, as far as nobody says anything else.
    near(heavier(None, Brackish, Least, 1.0), 1.0, 1.0);
    // From the lagoon to the lake: 8400 (1 - 999.50 / 1022.71) = 191 g, and back again as much lighter.
    assert!((heavier(Some(Brackish), Fresh, Least, 1.0) - 190.6).abs() < 1.0);
    assert!((heavier(Some(Fresh), Brackish, Most, -1.0) + 195.0).abs() < 1.5);
}

/// Where the file does not say in which water she was weighed, that is among what is taken for granted.
#[test]
fn the_water_of_the_scales_is_assumed_where_it_is_not_given() {
    let assumes = |more: &str| {
        let setup = example(|t| t.replace("weighed_at: 12 degC", &format!("weighed_at: 12 degC{more}")));
        let found = rehearse(&setup, Cause::Loss, &Start::default());
        found.assumed.contains(&Assumption::SameWater)
    };
    assert!(assumes(""));
    assert!(!assumes(", weighed_in: fresh"));
    assert!(!assumes(", weighed_in: brackish, weighed_conductivity: 30000 uS/cm"));
    // What nobody weighed is told as such.
    let mut floats = example(|t| t);
    floats.hull.heavy = None;
    let found = rehearse(&floats, Cause::Loss, &Start::default());
    assert!(found.assumed.contains(&Assumption::Neutral) && !found.assumed.contains(&Assumption::SameWater));
}

/// 30 mS/cm at 25 degC are 18.5 g of salt (gsw 3.6.23, SP_from_C), at the 12 degC of the water 25.4; half a
/// millisiemens either way is 0.3 g.
#[test]
fn what_a_meter_found_says_better_than_a_word_how_salty_the_water_was() {
    let setup = example(|t| {
        let more = "weighed_at: 12 degC, weighed_in: brackish, weighed_conductivity: 30000 uS/cm ± 500 uS/cm";
        t.replace("weighed_at: 12 degC", more)
    });
    let salt::Salts([middle, least, most]) = salt::weighed(&setup).unwrap();
    let near = |got: f64, want: f64| assert!((got - want).abs() < 0.1, "{got} instead of {want}");
    near(middle, 18.57);
    near(least, 18.23);
    near(most, 25.91);
    // Nobody has to say it of a pond that is fresh; of one as salty as a lagoon it counts.
    let pond = |conducts: &str| {
        salt::sailed(&example(|t| {
            t.replace("water: fresh", &format!("water: fresh\n  conductivity: {conducts} uS/cm"))
        }))
    };
    assert_eq!(pond("500"), salt::Salts([0.0; 3]));
    assert!(pond("12000").0[0] > 6.0);
}

/// The blow that would be long enough is longer than the pump may run: where it is let go late, it is on for a
/// little longer than the stage lasts.
#[test]
fn no_blow_is_solved_for_that_is_longer_than_the_duty() {
    let lasts = |duty: &str| {
        let text = std::fs::read_to_string("../../tests/fixtures/example.yaml").unwrap();
        let text = text
            .replace("    accuracy: 1.5 %\n", "    accuracy: 1.5 %\n    turn: 45 deg\n    speed: 0.2 s\n")
            .replace("capacity: 4.2 Ah}", "capacity: 4.2 Ah, resistance: 30 mohm, draws: 200 mA}");
        let setup = read(&(text + &FACTS.replace("duty: 90 s", &format!("duty: {duty} s"))));
        let solved = solve::solve(&setup, &Start::default());
        solved.settings.iter().find(|s| s.sought == solve::Sought::Lasts(0)).unwrap().keeps
    };
    let needed = lasts("90").unwrap();
    assert_eq!(lasts(&format!("{}", needed + 1.0)), Some(needed));
    // With the wait that is told beside it a shorter one may do.
    assert!(lasts(&format!("{needed}")).is_none_or(|keeps| keeps < needed));
    assert_eq!(lasts("2"), None);
}

/// A pump with a tenth of its pressure to spare loses it with a twentieth of its voltage: pressure goes as the square.
#[test]
fn what_hangs_on_the_voltage_of_a_pump_is_told() {
    let found = |bar: &str| {
        let text = std::fs::read_to_string("../../boats/moonfish.yaml").unwrap();
        let gas = "    tank_servo.gas: {gas: isobutane, bottle: 50 mL, charge: 12 g ± 1 g, hole: 0.5 mm}\n";
        let text = text
            .replace(
                "lasts: 14 s, set: {3: 0 %, 4: +104 %}, works: [pump, gas]",
                "lasts: 60 s, set: {3: 0 %, 4: +60 %}, works: [pump]",
            )
            .replace(gas, "")
            .replace("[0.7 bar, 0 L/min]", bar)
            .replace("pressure_off: 10 %", "pressure_off: 2 %");
        rehearse(&read(&text), Cause::Loss, &Start::default())
    };
    let near = found("[0.42 bar, 0 L/min]");
    assert_eq!((near.worst.comes_up(), near.hangs_on), (Some(true), vec![Figure::Volts]));
    let far = found("[0.7 bar, 0 L/min]");
    assert_eq!((far.worst.comes_up(), far.hangs_on), (Some(true), vec![]));
}

/// Above 20 bar no way is told with her gas, and how fast she comes up with it is not told at all.
#[test]
fn of_gas_that_cannot_be_followed_no_way_is_told() {
    let air = |pressure: &str| {
        let text = std::fs::read_to_string("../../boats/moonfish.yaml").unwrap();
        let gas = "gas: isobutane, bottle: 50 mL, charge: 12 g ± 1 g";
        let air = format!("gas: air, bottle: 200 mL, pressure: {pressure}");
        rehearse(&read(&text.replace(gas, &air)), Cause::Loss, &Start::default())
    };
    let up = |run: &Run| run.surfaced.unwrap().time;
    let known = air("18 bar ± 0.5 bar");
    assert!(known.refused.is_empty() && known.fastest.is_some() && known.leap.is_some());
    // At its least it would be one that can be followed.
    let beyond = air("19 bar ± 0.5 bar");
    assert_eq!((beyond.refused.len(), beyond.fastest, beyond.leap), (1, None, None));
    assert!(up(&beyond.nominal) > up(&known.nominal) && up(&beyond.worst) > up(&beyond.nominal));
}

/// Without the unit's wait the receiver's second is known and nothing after it; with both, the blow begins after 5 s.
#[test]
fn no_time_is_told_that_hangs_on_a_delay_nobody_gave() {
    let told = |setup: &Setup, what: &What| {
        let found = rehearse(setup, Cause::Loss, &Start::default());
        let run = found.worst.clone();
        let event = run.events.iter().find(|event| event.what == *what).unwrap();
        (run.time_of(event).map(|at| at.0), found)
    };
    let whole = example(|t| t);
    assert_eq!(told(&whole, &What::Stage(0)).0, Some(5.0));
    let waiting = example(|t| t.replace("  wait: 4 s\n", ""));
    assert_eq!(told(&waiting, &What::ReceiverActs).0, Some(1.0));
    let (at, found) = told(&waiting, &What::Stage(0));
    assert!(at.is_none() && !found.times_known());
    assert!(found.worst.track.is_empty() && found.deepest.is_none() && found.fastest.is_none());
    assert!(found.worst.raises_at.is_none() && found.worst.charge.is_none());
    assert!(found.missing.iter().any(|m| m.wanted == Wanted::Delay && m.path.dotted() == "fail_safe.wait"));
    let unheard = example(|t| t.replace("  after: 1 s\n", ""));
    assert_eq!(told(&unheard, &What::ReceiverActs).0, None);
    // On low battery the receiver has no part.
    assert!(rehearse(&unheard, Cause::Battery, &Start::default()).times_known());
    // The judge goes by the best that the delay can be, and says so.
    assert!(!at_best(&waiting, Cause::Loss, &Start::default()).worst.track.is_empty());
    assert!(at_best(&waiting, Cause::Loss, &Start::default()).assumed.contains(&Assumption::NoWait));
}

/// What the solver proposes rests on no figure that is missing: the wait that it looks for need not be there.
#[test]
fn nothing_is_proposed_that_would_rest_on_a_guess() {
    let sought = |setup: &Setup| -> Vec<solve::Sought> {
        solve::solve(setup, &Start::default()).settings.iter().map(|setting| setting.sought).collect()
    };
    let all = [solve::Sought::Wait, solve::Sought::Lasts(0), solve::Sought::Below];
    assert_eq!(sought(&example(|t| t)), all);
    assert_eq!(sought(&example(|t| t.replace("  wait: 4 s\n", ""))), all);
    assert_eq!(sought(&example(|t| t.replace("  after: 1 s\n", ""))), [solve::Sought::Below]);
    assert_eq!(sought(&example(|t| t.replace(", flow_off: 15 %", ""))), [solve::Sought::Below]);
    let draws = example(|t| t.replace(", current: 1.8 A", ""));
    assert!(!sought(&draws).contains(&solve::Sought::Below));
}
