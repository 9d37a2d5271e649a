use super::pose::{Driven, Parts, Shape};
use super::*;

const EXACTLY: f64 = 0.0;

fn mm(value: f64) -> Length {
    Length::millimetres(value, EXACTLY)
}

fn deg(value: f64) -> Angle {
    Angle::degrees(value, EXACTLY)
}

/// Holds the value, and is no wider than a billionth.
fn is(found: Interval, value: f64, by: f64) {
    assert!(found.width() < 1e-9, "{found:?} is wide");
    assert!((found.middle() - value).abs() < by, "{found:?} is not {value}");
}

fn parts(lengths: [f64; 4]) -> Parts {
    lengths.map(Interval::point)
}

/// The driven place for a horn so many degrees from the base line.
fn driven(driven: Driven, branch: Branch, lengths: [f64; 4], from_line: f64) -> Interval {
    let horn = trig::radians(Interval::point(90.0 - from_line));
    Shape { driven, branch }.driven_at(&parts(lengths), horn).unwrap()
}

/// R. L. Norton, Design of Machinery, example 4-1: a 40, b 120, c 80, d 100, 40 degrees from the base
/// line; printed 57.33 open and -98.01 crossed (from memory), more digits by an independent root finder.
#[test]
fn the_four_bar_of_norton_comes_out_on_both_branches() {
    for (branch, from_line) in [(Branch::Open, 57.324_880_070_361), (Branch::Crossed, -98.004_964_079)] {
        let found = trig::degrees(driven(Driven::Arm, branch, [40.0, 120.0, 80.0, 100.0], 40.0));
        let from_line_found = Interval::point(90.0) - found;
        let circles = Interval::point(((from_line_found.middle() - from_line) / 360.0).round() * 360.0);
        is(from_line_found - circles, from_line, 1e-9);
    }
}

/// R. L. Norton, Design of Machinery, example 4-2: a 40, b 120, c -20, 60 degrees from the base line;
/// printed 126.84 open (from memory), more digits worked out apart from this program.
#[test]
fn the_offset_slider_crank_of_norton_comes_out_on_both_branches() {
    let lengths = [40.0, 120.0, 0.0, -20.0];
    is(driven(Driven::Slider, Branch::Open, lengths, 60.0), 126.838_005_194_523, 1e-11);
    is(driven(Driven::Slider, Branch::Crossed, lengths, 60.0), -86.838_005_194_523, 1e-11);
}

/// x = r cos a + sqrt(l² - r² sin² a), r 20, l 80: worked out from the textbook formula of the in-line
/// slider-crank and by root finding.
#[test]
fn the_in_line_slider_crank_follows_the_textbook_formula() {
    for (from_line, x) in [
        (30.0, 96.693_047_408),
        (45.0, 92.882_214_364),
        (60.0, 88.102_496_759),
        (90.0, 77.459_666_924),
        (120.0, 68.102_496_759),
    ] {
        is(driven(Driven::Slider, Branch::Open, [20.0, 80.0, 0.0, 0.0], from_line), x, 1e-9);
    }
}

/// Horn and arm upright at rest.
fn rudder() -> FourBar {
    FourBar {
        horn: mm(12.0),
        rod: mm((60.0f64 * 60.0 + 3.0 * 3.0).sqrt()),
        arm: mm(15.0),
        pivots: mm(60.0),
        at_rest: deg(0.0),
        branch: Branch::Open,
    }
}

fn piston() -> SliderCrank {
    SliderCrank { horn: mm(12.0), rod: mm(40.0), height: mm(12.0), at_rest: deg(0.0), branch: Branch::Open }
}

/// Horn 12, arm 15, pivots 60 mm apart: by Brent's root finder on the rod's length, apart from this
/// program.
#[test]
fn horn_and_arm_of_a_rudder_agree_with_a_root_finder_both_ways() {
    for (turn, arm) in [
        (-60.0, -44.439_129_884_907),
        (-45.0, -34.675_220_193_378),
        (-15.0, -11.966_252_965_553),
        (15.0, 11.933_061_255_941),
        (30.0, 23.497_777_297_510),
        (60.0, 43.177_561_398_157),
    ] {
        is(rudder().move_at(deg(turn)).unwrap().bounds(), arm, 1e-9);
        is(rudder().turn_for(deg(arm)).unwrap().bounds(), turn, 1e-9);
    }
}

/// Horn 12, rod 40, way through the upright horn's tip. The throws differ: +8.33 against -8.64 mm.
#[test]
fn a_slider_goes_further_one_way_than_the_other() {
    for (turn, slider) in [(-45.0, -8.639_996), (-30.0, -6.032_322), (15.0, 3.103_739), (45.0, 8.330_567)] {
        is(piston().move_at(deg(turn)).unwrap().bounds(), slider, 1e-6);
        is(piston().turn_for(mm(slider)).unwrap().bounds(), turn, 1e-5);
    }
}

#[test]
fn the_ratio_is_the_slope_of_the_move() {
    let (a, b) = (rudder().move_at(deg(20.001)).unwrap(), rudder().move_at(deg(19.999)).unwrap());
    let slope = (a.bounds().middle() - b.bounds().middle()) / 0.002;
    is(rudder().ratio_at(deg(20.0)).unwrap(), slope, 1e-7);
    // Upright, the horn moves the rod 12 mm per radian and the arm takes 15 mm for one.
    is(rudder().ratio_at(deg(0.0)).unwrap(), 12.0 / 15.0, 1e-12);
    is(piston().ratio_at(deg(0.0)).unwrap(), 12.0 * std::f64::consts::PI / 180.0, 1e-12);
}

/// The rudder with its lengths and its angle at rest off by this much, in millimetres and degrees.
fn loose_rudder(off: [f64; 4], rest_off: f64) -> FourBar {
    let nominal = rudder();
    FourBar {
        horn: Length::millimetres(12.0, off[0]),
        rod: Length::millimetres(nominal.rod.0.middle(), off[1]),
        arm: Length::millimetres(15.0, off[2]),
        pivots: Length::millimetres(60.0, off[3]),
        at_rest: Angle::degrees(0.0, rest_off),
        ..nominal
    }
}

/// Every corner and every middle. The extreme may lie between them, so the bounds may be a little wider.
#[test]
fn the_bounds_hold_every_set_of_parts_and_are_hardly_wider() {
    let off = [0.1, 0.25, 0.1, 0.5];
    let (nominal, loose) = (rudder(), loose_rudder(off, 3.0));
    for turn in [-50.0, -20.0, 0.0, 10.0, 50.0] {
        let bounds = loose.move_at(deg(turn)).unwrap().bounds();
        let mut seen: Option<Interval> = None;
        for n in 0..3_i32.pow(5) {
            let pick = |k: u32| f64::from(n / 3_i32.pow(k) % 3 - 1);
            let tried = FourBar {
                horn: mm(12.0 + off[0] * pick(0)),
                rod: mm(nominal.rod.0.middle() + off[1] * pick(1)),
                arm: mm(15.0 + off[2] * pick(2)),
                pivots: mm(60.0 + off[3] * pick(3)),
                at_rest: deg(3.0 * pick(4)),
                ..nominal
            };
            let found = tried.move_at(deg(turn)).unwrap().bounds();
            assert!(bounds.low() <= found.low() + 1e-11 && found.high() <= bounds.high() + 1e-11);
            seen = Some(seen.map_or(found, |s| s.hull(found)));
        }
        let seen = seen.unwrap();
        // Near rest, where the parts nearly cancel, most slopes have no sure sign.
        let slack = if f64::abs(turn) < 20.0 { 1.12 } else { 1.02 };
        assert!(bounds.width() <= slack * seen.width() + 0.01, "{turn}: {bounds:?} against {seen:?}");
    }
}

#[test]
fn a_turn_found_for_a_range_of_moves_covers_them_all() {
    let loose = SliderCrank { horn: Length::millimetres(12.0, 0.2), ..piston() };
    let turn = loose.turn_for(Length::millimetres(5.0, 0.5)).unwrap().bounds();
    for horn in [11.8, 12.0, 12.2] {
        for by in [4.5, 5.0, 5.5] {
            let one = SliderCrank { horn: mm(horn), ..piston() }.turn_for(mm(by)).unwrap().bounds();
            assert!(turn.low() <= one.low() + 1e-11 && one.high() <= turn.high() + 1e-11);
        }
    }
    assert!(turn.width() < 8.0, "{turn:?}");
}

#[test]
fn a_rod_that_cannot_join_is_refused() {
    let short = FourBar { rod: mm(30.0), ..rudder() };
    assert_eq!(short.move_at(deg(0.0)), Err(Refusal::DoesNotJoin));
    let long = SliderCrank { rod: mm(5.0), height: mm(30.0), ..piston() };
    assert_eq!(long.move_at(deg(0.0)), Err(Refusal::DoesNotJoin));
}

/// Horn 12 and rod sqrt(60² + 3²) come into line where the shaft is 12 + 60.075 from the arm's hole: the
/// arm at 49.55 degrees by the law of cosines, the horn at 82.24. On the other side they never do.
#[test]
fn a_horn_that_comes_into_line_with_its_rod_is_refused_there() {
    let Err(Refusal::Reverses { turn }) = rudder().move_at(deg(100.0)) else {
        panic!("no dead centre was found");
    };
    // tan h = (60 + 15 sin u) / (15 cos u) with 60² + 15² + 2·60·15 sin u = 72.075².
    let sine: f64 = (libm::pow(72.074_953_f64, 2.0) - 3825.0) / 1800.0;
    let u = libm::asin(sine);
    let dead = libm::atan((60.0 + 15.0 * sine) / (15.0 * libm::cos(u))).to_degrees();
    assert!((turn - dead).abs() < 0.05, "{turn} against {dead}");
    assert!(rudder().move_at(deg(dead - 0.5)).is_ok());
    assert_eq!(rudder().turn_for(deg(u.to_degrees() + 0.5)), Err(Refusal::OutOfReach));
}

/// A horn longer than the arm drags it past its own dead centre: 20 mm against 10, pivots 60 apart.
#[test]
fn an_arm_that_comes_into_line_with_its_rod_is_refused_there() {
    let greedy = FourBar { horn: mm(20.0), arm: mm(10.0), rod: mm(3700f64.sqrt()), ..rudder() };
    let Err(Refusal::Locks { turn }) = greedy.move_at(deg(80.0)) else {
        panic!("no dead centre was found");
    };
    // The horn's tip then lies rod - arm from the arm's pivot: 20² + 60² - 2·20·60 sin h = 50.83².
    let dead: f64 = libm::asin((4000.0 - libm::pow(3700f64.sqrt() - 10.0, 2.0)) / 2400.0).to_degrees();
    assert!((turn - dead).abs() < 0.05, "{turn} against {dead}");
    assert!(greedy.move_at(deg(dead - 0.5)).is_ok());
}

#[test]
fn a_tolerance_that_may_reach_dead_centre_is_refused_where_the_nominal_parts_are_not() {
    let turn = Angle::from_to(-60.0, 81.0);
    assert!(rudder().move_at(turn).is_ok());
    let loose = FourBar { at_rest: Angle::degrees(0.0, 3.0), ..rudder() };
    assert!(matches!(loose.move_at(turn), Err(Refusal::Reverses { .. })));
}

#[test]
fn an_arm_on_the_other_side_turns_the_other_way() {
    let crossed = FourBar { branch: Branch::Crossed, ..rudder() };
    let there = crossed.move_at(deg(20.0)).unwrap();
    assert!(there.bounds().is_negative());
    let back = crossed.turn_for(there).unwrap();
    assert!(back.bounds().contains(20.0) && back.bounds().width() < 1e-9);
}

fn end(found: Result<Option<End>, Refusal>) -> End {
    found.unwrap().unwrap()
}

/// The same law of cosines as in the two tests above: 82.24 degrees for the rudder.
#[test]
fn the_free_turn_ends_where_horn_and_rod_or_rod_and_arm_come_into_line() {
    let towards = end(rudder().free_turn(HornDirection::Towards));
    let sine: f64 = (libm::pow(72.074_953_f64, 2.0) - 3825.0) / 1800.0;
    let dead = libm::atan((60.0 + 15.0 * sine) / (15.0 * libm::cos(libm::asin(sine)))).to_degrees();
    assert!((towards.surely_free - dead).abs() < 1e-6 && (towards.met_by - dead).abs() < 1e-6, "{towards:?}");
    assert_eq!(towards.what, DeadCentre::Reverses);
    let greedy = FourBar { horn: mm(20.0), arm: mm(10.0), rod: mm(3700f64.sqrt()), ..rudder() };
    let dead: f64 = libm::asin((4000.0 - libm::pow(3700f64.sqrt() - 10.0, 2.0)) / 2400.0).to_degrees();
    let found = end(greedy.free_turn(HornDirection::Towards));
    assert!((found.surely_free - dead).abs() < 1e-6 && found.what == DeadCentre::Locks, "{found:?}");
    // Stretched, rod and arm are 60.83 + 10 mm long: sin h = (20² + 60² - 70.83²) / (2·20·60).
    let dead: f64 = libm::asin((4000.0 - libm::pow(3700f64.sqrt() + 10.0, 2.0)) / 2400.0).to_degrees();
    let found = end(greedy.free_turn(HornDirection::Away));
    assert!((found.surely_free + dead).abs() < 1e-6 && found.what == DeadCentre::Locks, "{found:?}");
}

/// Horn 12, rod 40, way 12 above the shaft: in line at cos h = 12 / 52 ahead and 12 / (12 - 40) behind.
#[test]
fn a_slider_has_its_dead_centres_where_the_textbook_has_them() {
    let ahead = end(piston().free_turn(HornDirection::Towards));
    assert!((ahead.surely_free - libm::acos(12.0f64 / 52.0).to_degrees()).abs() < 1e-9, "{ahead:?}");
    let behind = end(piston().free_turn(HornDirection::Away));
    assert!((behind.surely_free - libm::acos(12.0f64 / -28.0).to_degrees()).abs() < 1e-9, "{behind:?}");
    assert_eq!([ahead.what, behind.what], [DeadCentre::Reverses; 2]);
    let short = SliderCrank { rod: mm(6.0), ..piston() };
    // The rod of 6 mm stands across the way where the tip is at 6 mm: cos h = 1/2.
    let found = end(short.free_turn(HornDirection::Away));
    assert!((found.surely_free - 60.0).abs() < 1e-9 && found.what == DeadCentre::Locks, "{found:?}");
}

/// A number from 0 to 1 that looks like chance: the fraction of a multiple of the golden section.
fn scattered(n: u32) -> f64 {
    (f64::from(n) * 0.618_033_988_749_895).fract()
}

/// Whether the rod joins and the driven part always goes the same way, by slopes over stretches of the way.
fn walk(shape: Shape, parts: &Parts, rest: Interval, turn: f64) -> Result<(), DeadCentre> {
    let pushes =
        shape.slopes(parts, rest, shape.driven_at(parts, rest).unwrap()).unwrap().horn.middle() > 0.0;
    for step in 0..250 {
        let [from, to] = [step, step + 1].map(|n| turn * f64::from(n) / 250.0);
        let horn = rest + Interval::between(from, to);
        let slopes = shape.driven_at(parts, horn).and_then(|driven| shape.slopes(parts, horn, driven));
        match slopes {
            Ok(slopes) if pushes && slopes.horn.is_positive() || !pushes && slopes.horn.is_negative() => {}
            Ok(_) => return Err(DeadCentre::Reverses),
            Err(_) => return Err(DeadCentre::Locks),
        }
    }
    Ok(())
}

/// The way, step by step, is clear up to the closed form's end and not beyond.
#[test]
fn the_closed_form_agrees_with_a_walk_along_the_way_on_both_branches() {
    let (mut joined, mut ends) = (0, [0, 0]);
    for n in 0..24 {
        let pick = |k: u32, from: f64, to: f64| from + (to - from) * scattered(7 * n + k + 1);
        let branch = if n % 2 == 0 { Branch::Open } else { Branch::Crossed };
        let rest = Interval::point(pick(0, -80.0f64, 80.0).to_radians());
        let driven = if n % 3 == 0 { Driven::Slider } else { Driven::Arm };
        let lengths = [pick(1, 5.0, 30.0), pick(2, 10.0, 60.0), pick(3, 5.0, 30.0), pick(4, 5.0, 60.0)];
        let (shape, parts) = (Shape { driven, branch }, parts(lengths));
        for (sense, sign) in [(HornDirection::Towards, 1.0), (HornDirection::Away, -1.0)] {
            let Ok(end) = dead_centre::free_turn(shape, &parts, rest, sense) else {
                assert!(shape.driven_at(&parts, rest).is_err(), "{lengths:?} {rest:?}");
                continue;
            };
            joined += 1;
            let told = format!("{n} {shape:?} {lengths:?} {rest:?} {sense:?}: {end:?}");
            let free = end.map_or(3.0, |end| end.surely_free);
            // Bounds over a step are wider than the step.
            assert_eq!(walk(shape, &parts, rest, sign * (free - 0.06).clamp(0.0, 3.0)), Ok(()), "{told}");
            let Some(end) = end.filter(|end| end.met_by < 3.0) else { continue };
            assert!(end.met_by - end.surely_free < 1e-6, "{told}");
            assert_eq!(walk(shape, &parts, rest, sign * (end.met_by + 1e-6)), Err(end.what), "{told}");
            ends[usize::from(end.what == DeadCentre::Reverses)] += 1;
        }
    }
    assert!(joined > 12 && ends.iter().all(|count| *count > 2), "{joined} {ends:?}");
}

#[test]
fn tolerances_bring_the_dead_centre_nearer_as_far_as_the_worst_parts_do() {
    let off = [0.2, 0.5, 0.2, 0.5];
    let (nominal, loose) = (rudder(), loose_rudder(off, 2.0));
    for sense in [HornDirection::Towards, HornDirection::Away] {
        let mut nearest = f64::INFINITY;
        for n in 0..2_i32.pow(5) {
            let pick = |k: u32| f64::from(n / 2_i32.pow(k) % 2 * 2 - 1);
            let tried = FourBar {
                horn: mm(12.0 + off[0] * pick(0)),
                rod: mm(nominal.rod.0.middle() + off[1] * pick(1)),
                arm: mm(15.0 + off[2] * pick(2)),
                pivots: mm(60.0 + off[3] * pick(3)),
                at_rest: deg(2.0 * pick(4)),
                ..nominal
            };
            nearest = nearest.min(end(tried.free_turn(sense)).met_by);
        }
        let found = end(loose.free_turn(sense));
        assert!(found.surely_free <= nearest && nearest <= found.met_by + 1e-9, "{found:?} {nearest}");
        assert!(found.met_by - found.surely_free < 0.02, "{found:?}");
    }
}
