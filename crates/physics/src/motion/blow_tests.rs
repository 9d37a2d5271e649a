use super::super::rise::{Ballast, rise};
use super::*;
use crate::gas::supply::Heat;
use crate::pump::PumpCurve;
use crate::units::{Celsius, CubicMetresPerSecond, KgPerM3, SquareMetres};

const LONG: Seconds = Seconds(600.0);

fn boat(lift: f64, depth: f64, sinking: f64, emptiers: Vec<Emptier>) -> Submerged {
    Submerged {
        boat: Boat {
            mass: Kilograms(5.0),
            added: Kilograms(4.59),
            drag: 1.1,
            area: SquareMetres(0.06),
            water: KgPerM3(1000.0),
        },
        lift: Newtons(lift),
        tank: CubicMetres::from_litres(0.5),
        driven: Driven::default(),
        start: Start { depth: Metres(depth), sinking: MetresPerSecond(sinking) },
        emptiers,
        vented: Vec::new(),
        drops: Vec::new(),
        hull: None,
        leak: None,
        drawn: true,
        spring: Spring::default(),
    }
}

fn pump(flow: f64, shut_off: f64, through_snorkel: bool, on: [f64; 2]) -> Emptier {
    let points = [
        (Pascals(0.0), CubicMetresPerSecond(flow)),
        (Pascals(shut_off), CubicMetresPerSecond(if shut_off > 1e6 { flow } else { 0.0 })),
    ];
    let curve = PumpCurve::new(&points).unwrap();
    Emptier {
        source: Source::Pump { curve, flow_by: 1.0, pressure_by: 1.0, through_snorkel },
        on: vec![Stretch::whole(Seconds(on[0]), Seconds(on[1]))],
    }
}

#[test]
fn with_nothing_to_empty_the_tank_she_rises_by_the_closed_form() {
    let found = boat(1.0, 2.0, 0.0, Vec::new()).follow(LONG).unwrap().surfaced.unwrap();
    let (time, speed) = boat(1.0, 2.0, 0.0, Vec::new()).boat.over_way(Newtons(1.0), Metres(2.0)).unwrap();
    assert!((found.time - time).0.abs() < 1e-4 && (found.sinking + speed).0.abs() < 1e-5, "{found:?}");
}

#[test]
fn an_even_flow_gives_what_a_rise_with_even_ballast_does() {
    let even = boat(-1.0, 0.5, 0.1, vec![pump(1e-4, 1e7, false, [1.0, f64::INFINITY])]);
    let found = even.follow(LONG).unwrap();
    let ballast = Ballast {
        before: Newtons(-1.0),
        begins: Seconds(1.0),
        rate: CubicMetresPerSecond(1e-4),
        volume: even.tank,
    };
    let want =
        rise(&even.boat, even.start, LONG, &ballast.bends(), |t, _| ballast.load(&even.boat, t)).unwrap();
    assert!((found.deepest.depth - want.deepest.depth).0.abs() < 2e-5);
    assert!((found.surfaced.unwrap().time - want.surfaced.unwrap().time).0.abs() < 1e-3);
    // 0.5 l of fresh water lift 0.5 · 9.80665 N, and it takes five seconds.
    assert!((found.lift.0 - (0.5 * GRAVITY - 1.0)).abs() < 1e-6);
    assert!((found.empty.unwrap().0 - 6.0).abs() < 1e-3);
}

/// The tank of half a litre is blown, she is up after some seconds, and then the vent lets the air out again.
#[test]
fn a_vent_that_opens_when_she_is_up_takes_the_lift_away() {
    let mut boat = boat(-1.0, 0.5, 0.0, vec![pump(1e-4, 1e7, false, [0.0, 20.0])]);
    let kept = boat.follow(LONG).unwrap();
    assert!(kept.surfaced.is_some_and(|up| up.time.0 < 25.0) && kept.lift.0 > 3.0, "{kept:?}");
    boat.vented = vec![Stretch::whole(Seconds(25.0), Seconds(f64::INFINITY))];
    let flooded = boat.follow(LONG).unwrap();
    assert!(flooded.surfaced.is_some() && (flooded.lift.0 + 1.0).abs() < 1e-6, "{flooded:?}");
}

/// p V of what is in the tank stays, from 5 m (150 358 Pa) to the surface.
#[test]
fn gas_in_the_tank_grows_as_she_rises() {
    let supply =
        Supply::air(CubicMetres::from_litres(0.1), Pascals::from_bar(9.0), Celsius(10.0), Heat::FromWater);
    let valve = Restriction::hole(Metres::from_millimetres(0.5), 0.8).unwrap();
    let gas = Emptier {
        source: Source::Gas { supply: supply.unwrap(), valve },
        on: vec![Stretch::whole(Seconds(0.0), Seconds(0.5))],
    };
    let found = boat(0.5, 5.0, 0.0, vec![gas]).follow(LONG).unwrap();
    let product = |m: &Moment| m.emptied.0 * (ATMOSPHERE.0 + 1000.0 * GRAVITY * m.depth.0);
    let after: Vec<&Moment> = found.moments.iter().filter(|m| m.time.0 >= 0.5).collect();
    let (first, last) = (after[0], after[after.len() - 1]);
    assert!(last.emptied.0 > 1.4 * first.emptied.0 && found.surfaced.is_some());
    assert!((product(last) / product(first) - 1.0).abs() < 1e-3);
    assert_eq!(last.drawn[0], first.drawn[0]);
}

#[test]
fn a_boat_driven_down_keeps_her_speed_until_the_drive_ends() {
    // 1000 · 1.1 · 0.06 / 2 · 0.2² = 1.32 N balance the drag at 0.2 m/s.
    let mut driven = boat(0.0, 1.0, 0.2, Vec::new());
    driven.driven = Driven { force: Newtons(1.32), until: Seconds(10.0), fades: Seconds(0.0) };
    let found = driven.follow(Seconds(10.0)).unwrap();
    assert!((found.deepest.depth.0 - 3.0).abs() < 1e-6 && !found.sinks_on);
}

/// At 5 m the water has 0.49 bar; the pump ends at 0.4 bar, and a snorkel is under water.
#[test]
fn what_moves_nothing_down_there_is_told() {
    for (shut_off, snorkel, depth) in [(4e4, false, 5.0), (4e4, true, 0.2)] {
        let found = boat(-0.1, depth, 0.0, vec![pump(1e-4, shut_off, snorkel, [2.0, 20.0])]);
        let found = found.follow(LONG).unwrap();
        assert_eq!(found.stalled, [Some(Seconds(2.0))]);
        assert!(found.surfaced.is_none() && found.moments.last().unwrap().emptied.0 <= 0.0);
        assert!(found.sinks_on);
        // She is given up when nothing more can help.
        assert!((found.moments.last().unwrap().time.0 - 20.0).abs() < 1e-9);
    }
}

#[test]
fn nonsense_is_refused() {
    assert!(boat(1.0, -1.0, 0.0, Vec::new()).follow(LONG).is_err());
    assert!(boat(f64::NAN, 1.0, 0.0, Vec::new()).follow(LONG).is_err());
    let huge = Submerged { tank: CubicMetres::from_litres(6.0), ..boat(1.0, 1.0, 0.0, Vec::new()) };
    assert!(huge.follow(LONG).is_err());
}

/// A litre of hull air gives 0.4 l at 1 m (1.11 bar absolute): Boyle leaves 1 - 0.4 · 111 131.5 / 101 325 of
/// an atmosphere, 0.561 bar. A pump of 0.6 bar works against 0.098 + 0.439 bar at the end: just enough. With
/// three quarters of a litre it would be against 0.683 bar: it stalls on the way.
#[test]
fn air_that_is_pumped_out_of_the_hull_is_missing_there() {
    let on = [0.0, f64::INFINITY];
    let mut with = boat(-1.0, 1.0, 0.0, vec![pump_to_nought(on)]);
    with.tank = CubicMetres::from_litres(0.4);
    with.boat.mass = Kilograms(500.0);
    with.boat.area = SquareMetres(1e5);
    let of = |litres: f64| {
        let hull = HullAir { volume: CubicMetres::from_litres(litres), pressure: ATMOSPHERE };
        Submerged { hull: Some(hull), ..with.clone() }.follow(Seconds(60.0)).unwrap()
    };
    assert!(of(1.0).empty.is_some(), "{:?}", of(1.0).moments.last());
    let stalled = of(0.75);
    assert!(stalled.empty.is_none());
    // It stalls where 0.6 bar = 0.098 bar + p₀ V·p / (p₀ 0.75 l): V = 0.75 · (0.6 - 0.0981) / 1.1113 l.
    let want = 0.75 * (0.6 - 0.098_066_5) / 1.111_315;
    assert!((stalled.moments.last().unwrap().emptied.litres() - want).abs() < 2e-3);
    let left = HullAir { volume: CubicMetres(1e-3), pressure: ATMOSPHERE }
        .left(CubicMetres(0.4e-3 * 111_131.5 / 101_325.0), CubicMetres(0.0));
    assert!((left.0 - (101_325.0 - 0.4 * 111_131.5)).abs() < 1e-6);
}

fn pump_to_nought(on: [f64; 2]) -> Emptier {
    pump(1e-3, 6e4, false, on)
}

/// While the vent is open nothing stays in the tank; what was in it is gone.
#[test]
fn an_open_vent_lets_out_whatever_is_blown_in() {
    let mut open = boat(-0.1, 1.0, 0.0, vec![pump(1e-4, 1e7, false, [0.0, 20.0])]);
    open.vented = vec![Stretch::whole(Seconds(0.5), Seconds(f64::INFINITY))];
    let found = open.follow(LONG).unwrap();
    assert!(found.surfaced.is_none() && found.sinks_on);
    assert!(found.moments.last().unwrap().emptied.0 <= 0.0);
    assert!(found.moments.iter().any(|m| m.time.0 < 0.5 && m.emptied.0 > 0.0));
    open.vented = vec![Stretch::whole(Seconds(0.5), Seconds(1.0))];
    assert!(open.follow(LONG).unwrap().surfaced.is_some());
}

/// A hole that opens evenly over two seconds passes in them half of what it passes wholly open.
#[test]
fn a_valve_that_opens_slowly_passes_its_part() {
    let opening = Stretch { from: Seconds(0.0), until: Seconds(2.0), open: [0.0, 1.0] };
    let mut source = pump(1e-4, 1e7, false, [0.0, 2.0]);
    source.on = vec![opening];
    let found = boat(-5.0, 3.0, 0.0, vec![source]).follow(Seconds(2.0)).unwrap();
    assert!((found.moments.last().unwrap().emptied.litres() - 0.1).abs() < 1e-6);
    assert_eq!(found.stalled, [None]);
}

/// Torricelli: 1 mm² at 5 m lets in 1e-6 · √(2 · 9.80665 · 5) m³ in a second.
#[test]
fn what_leaks_in_weighs() {
    let mut leaking = boat(0.0, 5.0, 0.0, Vec::new());
    leaking.boat.area = SquareMetres(1e5);
    leaking.leak = Some(Leak::Hole(SquareMetres(1e-6)));
    leaking.emptiers = vec![pump(1e-9, 1e7, false, [0.0, 10.0])];
    let found = leaking.follow(Seconds(10.0)).unwrap();
    let want = 10.0 * 1e-6 * (2.0 * GRAVITY * 5.0_f64).sqrt();
    let end = found.moments.last().unwrap();
    assert!((end.leaked.0 / want - 1.0).abs() < 1e-3, "{end:?}");
    assert!((found.lift.0 / (-1000.0 * GRAVITY * want) - 1.0).abs() < 2e-2);
}

#[test]
fn a_drive_fades_with_the_square_of_a_speed_that_drag_takes_away() {
    let driven = Driven { force: Newtons(2.0), until: Seconds(3.0), fades: Seconds(4.0) };
    for (t, force) in [(0.0, 2.0), (3.0, 2.0), (7.0, 0.5), (11.0, 2.0 / 9.0)] {
        assert!((driven.at(t) - force).abs() < 1e-12);
    }
}

/// Air blown in by a pump while she is carried from 2 m to 6 m shrinks by the ratio of the pressures.
#[test]
fn pumped_air_is_squeezed_on_the_way_down_where_the_tank_is_open_below() {
    let out = |spring: Spring| {
        let mut sinking = boat(-1.0, 2.0, 1.0, vec![pump(1e-4, 1e7, false, [0.0, 0.2])]);
        sinking.driven = Driven { force: Newtons(20.0), until: Seconds(100.0), fades: Seconds(0.0) };
        sinking.spring = spring;
        let found = sinking.follow(Seconds(8.0)).unwrap();
        let after: Vec<Moment> = found.moments.into_iter().filter(|m| m.time.0 >= 0.2).collect();
        let pressure = |m: &Moment| ATMOSPHERE.0 + 1000.0 * GRAVITY * m.depth.0;
        let (first, last) = (after[0], after[after.len() - 1]);
        (last.emptied.0 / first.emptied.0, pressure(&first) / pressure(&last))
    };
    let (kept, _) = out(Spring::default());
    assert!((kept - 1.0).abs() < 1e-9);
    let (shrunk, boyle) = out(Spring { shrinks: true, grows: false });
    assert!(boyle < 0.9 && (shrunk / boyle - 1.0).abs() < 1e-4, "{shrunk} {boyle}");
}

/// Without the weight from the beginning she is a boat of less mass under a constant force, of which the closed form
/// is known; let go later, she has sunk on until then as that says of the heavy one.
#[test]
fn a_weight_that_is_let_go_lifts_by_what_it_pulled_and_takes_its_mass_along() {
    let weighs = Kilograms(0.3);
    let dropping = |at: f64, heavy: f64| {
        let mut boat = boat(-heavy, 2.0, 0.0, Vec::new());
        boat.drops = vec![Drop { at: Seconds(at), weighs }];
        boat
    };
    let lighter = Boat { mass: Kilograms(4.7), ..dropping(0.0, 1.0).boat };
    let net = Newtons(0.3 * GRAVITY - 1.0);
    let up = dropping(0.0, 1.0).follow(LONG).unwrap().surfaced.unwrap();
    let (time, speed) = lighter.over_way(net, Metres(2.0)).unwrap();
    assert!((up.time - time).0.abs() < 1e-4 && (up.sinking + speed).0.abs() < 1e-5, "{up:?}");
    let late = dropping(3.0, 1.0).follow(LONG).unwrap();
    let before = late.moments.iter().rfind(|m| m.time.0 <= 3.0).unwrap();
    let sunk = dropping(3.0, 1.0).boat.from_rest(Newtons(1.0), Seconds(3.0)).unwrap();
    assert!((before.depth.0 - 2.0 - sunk.0.0).abs() < 1e-5 && (before.time.0 - 3.0).abs() < 1e-12);
    let over = lighter.stopping(net, before.sinking).unwrap();
    assert!((late.deepest.depth.0 - before.depth.0 - over.way.0).abs() < 1e-5, "{:?}", late.deepest);
    assert!((late.lift.0 - net.0).abs() < 1e-9 && late.surfaced.is_some());
}

/// A boat that has no tank is lifted by what she lets go as one whose tank stays full.
#[test]
fn a_boat_without_a_tank_is_followed_and_one_of_less_than_none_refused() {
    let letting_go = |litres: f64| {
        let mut boat = boat(-1.0, 2.0, 0.0, Vec::new());
        boat.tank = CubicMetres::from_litres(litres);
        boat.drops = vec![Drop { at: Seconds(3.0), weighs: Kilograms(0.3) }];
        boat.follow(LONG)
    };
    let (without, full) = (letting_go(0.0).unwrap(), letting_go(0.5).unwrap());
    assert_eq!((without.surfaced, without.empty), (full.surfaced, None));
    assert!(without.surfaced.is_some() && letting_go(-0.1).is_err());
}

/// One of less than she is too heavy slows her fall and no more; of nought or more than she weighs nothing is said.
#[test]
fn a_weight_too_light_does_not_stop_her_and_nonsense_is_refused() {
    let mut light = boat(-1.0, 2.0, 0.0, Vec::new());
    light.drops = vec![Drop { at: Seconds(1.0), weighs: Kilograms(0.05) }];
    let found = light.follow(LONG).unwrap();
    assert!(found.surfaced.is_none() && found.sinks_on);
    for weighs in [0.0, -1.0, 4.6, f64::NAN] {
        light.drops[0].weighs = Kilograms(weighs);
        assert!(light.follow(LONG).is_err(), "{weighs}");
    }
}
