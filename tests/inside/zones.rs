//! Zones of an axis: an answer without a witness is the one with it, a zone whose far end nobody reaches is one without,
//! and what only touches is told from what is inside.

use crate::help::{files_in, read};
use lidcard::chain::Order;
use lidcard::chain::terms::Gathered;
use lidcard::proof::{Cases, Domain, Verdict, Zone};
use lidcard::rule::Engine;
use lidcard::setup::{Exact, Setup};
use lidcard::source::Source;

fn boats() -> Vec<(String, Setup)> {
    let files = ["boats", "tests/fixtures/clean", "tests/fixtures/mistakes"].into_iter().flat_map(files_in);
    let read = |file: String| {
        let setup = lidcard::setup::lower::lower(&Source::load(&file).ok()?).ok()?;
        Some((file, setup))
    };
    files.filter_map(read).collect()
}

/// Beyond what any set puts out.
fn far() -> Exact {
    Exact::int(100)
}

/// The same with a far end: it is worked out case by case, where one without is known from the furthest of all cases.
fn ended(zone: &Zone) -> Zone {
    let low = zone.low.clone().unwrap_or_else(|| -far());
    let high = zone.high.clone().unwrap_or_else(far);
    Zone { low: Some(low), high: Some(high), closed: zone.closed }
}

fn zones_at(edge: &Exact) -> [Zone; 4] {
    let edge = || edge.clone();
    [Zone::from(edge()), Zone::above(edge()), Zone::up_to(edge()), Zone::below(edge())]
}

/// Holds all ways of asking the same against each other and answers whether it is met.
fn asked(what: &str, setup: &Setup, cases: &Cases, domain: &Domain, zone: &Zone) -> bool {
    let (may, margin) = cases.may_meet(setup, domain, zone);
    let closed_off = cases.may_meet(setup, domain, &ended(zone));
    assert_eq!((may, &margin), (closed_off.0, &closed_off.1), "{what}: {zone:?}");
    let shown = cases.meets(setup, domain, zone);
    match &shown.verdict {
        Verdict::Clear => assert!(!may, "{what}: {zone:?}"),
        Verdict::Met(found) => {
            assert!(may && zone.holds(&found.output), "{what}: {zone:?} {found:?}");
        }
        Verdict::Unknown(_) => assert!(may, "{what}: {zone:?}"),
    }
    if !matches!(shown.verdict, Verdict::Unknown(_)) {
        assert_eq!(shown.margin, margin, "{what}: {zone:?}");
    }
    may
}

#[test]
fn an_answer_without_a_witness_is_the_one_with_it_for_zones_with_one_end_or_two() {
    let (mut met, mut clear) = (0, 0);
    for (file, setup) in boats().into_iter().step_by(3) {
        let engine = Engine::new(&setup);
        for channel in 0..setup.channels.len() {
            let cases = engine.cases(channel);
            let everything = Domain::everything(&setup);
            for domain in [everything.clone(), everything.settled().with_trims_at_nought()] {
                let span = cases.span(&setup, &domain);
                let edges = (-5..=5).map(|n| Exact::percent(n * 23));
                for edge in edges.chain(span.into_iter().flat_map(|(low, high)| [low, high])) {
                    for zone in zones_at(&edge) {
                        match asked(&file, &setup, cases, &domain, &zone) {
                            true => met += 1,
                            false => clear += 1,
                        }
                    }
                }
            }
        }
    }
    assert!(met > 1000 && clear > 1000, "{met} {clear}");
}

/// Where a switch is held, the setting that stands there is in force and no other: to say so besides changes nothing.
#[test]
fn a_switch_that_is_held_has_the_setting_of_its_place() {
    let (mut same, mut told_apart) = (0, 0);
    for (file, setup) in boats() {
        let engine = Engine::new(&setup);
        for (switch, control) in setup.controls.iter().enumerate() {
            for setting in 0..control.settings.len() {
                let at = control.setting_position(setting);
                let held = Domain::everything(&setup).with_position(switch, at);
                let said = held.clone().with_settings(&[(switch, setting)]);
                let only = Domain::everything(&setup).settled().with_settings(&[(switch, setting)]);
                for channel in 0..setup.channels.len() {
                    let cases = engine.cases(channel);
                    // A switch without a part in a channel is where it belongs.
                    if cases.cases.iter().all(|case| case.settings[switch] == control.home) {
                        continue;
                    }
                    let span = cases.span(&setup, &held);
                    assert_eq!(span, cases.span(&setup, &said), "{file}: {} {setting}", control.name);
                    assert_eq!(span, cases.span(&setup, &only), "{file}: {} {setting}", control.name);
                    let anywhere = cases.span(&setup, &Domain::everything(&setup).settled());
                    if span == anywhere { same += 1 } else { told_apart += 1 }
                }
            }
        }
    }
    assert!(same > 100 && told_apart > 100, "{same} {told_apart}");
}

#[test]
fn what_touches_a_zone_is_in_it_where_its_end_counts() {
    let edge = Exact::percent(40);
    let [from, above, up_to, below] = zones_at(&edge);
    let beyond = Exact::percent(41);
    let short = Exact::percent(39);
    assert!(from.holds(&edge) && from.holds(&beyond) && !from.holds(&short));
    assert!(!above.holds(&edge) && above.holds(&beyond) && !above.holds(&short));
    assert!(up_to.holds(&edge) && up_to.holds(&short) && !up_to.holds(&beyond));
    assert!(!below.holds(&edge) && below.holds(&short) && !below.holds(&beyond));
    // The stick comes to 40 % and no further.
    let setup = read(
        "lidcard: 1
boat: {name: Test, kind: surface}
transmitter: {channels: 1}
controls: {helm: {at: right stick, ways: {left: port, right: starboard}, trim: locked}}
channels: {1: {control: helm, longer: starboard, endpoints: {port: 40 %, starboard: 40 %}}}
devices: {rudder: {kind: servo, channel: 1}}
",
    );
    let engine = Engine::new(&setup);
    let everything = Domain::everything(&setup);
    let may = |zone: &Zone| asked("a stick", &setup, engine.cases(0), &everything, zone);
    assert!(may(&from) && !may(&above));
    assert!(may(&Zone::up_to(-edge.clone())) && !may(&Zone::below(-edge)));
}

/// A trim that is told in microseconds reaches further on the shorter side of a scale whose sides are unlike.
#[test]
fn what_a_signal_comes_to_at_most_counts_the_longer_side_of_a_trim() {
    let setup = read(
        "lidcard: 1
boat: {name: Test, kind: surface}
transmitter: {channels: 1, pulse: {rest: 1500 us, full: [1100 us, 2100 us]}}
controls: {helm: {at: right stick, ways: {left: port, right: starboard}, trim: 120 us}}
channels: {1: {control: helm, longer: starboard}}
devices: {rudder: {kind: servo, channel: 1}}
",
    );
    let trim = &setup.controls[0].trim;
    assert_ne!(trim[0], trim[1]);
    let longer = trim[0].clone().max(trim[1].clone());
    let order = Order::all(&setup.transmitter.order)[0];
    let settings = vec![0; setup.controls.len()];
    let gathered = Gathered::default();
    let [before, after] = [
        gathered.before(&setup, 0, &order, &settings).most(&setup, true),
        gathered.after(&setup, 0, &order, &settings).most(&setup, true),
    ];
    assert_eq!(before + after, Exact::ONE + longer);
    assert_eq!(gathered.before(&setup, 0, &order, &settings).most(&setup, false), Exact::ONE);
}
