//! What is solved for, held against rehearsals of the boats with the values put in.

use super::solve::{BEYOND, LONGEST_STAGE, LONGEST_WAIT, OVER, STEP, Setting, Sought, Stop, solve};
use super::tests::{example, read};
use super::*;
use crate::setup::quantity::Seconds;
use crate::setup::{Exact, Setup};

/// Boats in which something may be solved for; those of the fixtures are tried from outside.
fn boats() -> Vec<(String, Setup)> {
    let mut all = Vec::new();
    let moonfish = std::fs::read_to_string("../../boats/moonfish.yaml").unwrap();
    let floating = moonfish.replace("heavy: 15 g ± 10 g", "heavy: -300 g ± 10 g");
    for (name, text) in [("Moonfish", moonfish), ("who floats up whatever the unit does", floating)] {
        all.push((name.to_owned(), read(&text)));
    }
    let blow = "    - {name: blow, lasts: 14 s, set: {3: 0 %, 4: +105 %}, works: [pump, gas]}\n";
    let thrice = ["one", "two", "three"].map(|name| blow.replace("name: blow", &format!("name: {name}")));
    let others = [
        ("as the example", "", String::new()),
        ("with a deeper limit", "depth_limit: 2 m", "depth_limit: 5 m".to_owned()),
        ("with the deepest limit", "depth_limit: 2 m", "depth_limit: 10 m".to_owned()),
        ("with a minute's wait", "wait: 4 s", "wait: 60 s".to_owned()),
        ("without a wait", "  wait: 4 s\n", String::new()),
        ("with a short blow", "lasts: 14 s", "lasts: 1 s".to_owned()),
        ("with three blows", blow, thrice.concat()),
        ("with a tired pump", "duty: 90 s", "duty: 2 s".to_owned()),
        ("with a pump that may run for half as long", "duty: 90 s", "duty: 8 s".to_owned()),
        (
            "with a pump alone",
            "tank_servo.gas: {gas: isobutane, bottle: 50 mL, charge: 12 g ± 1 g, hole: 0.5 mm}",
            String::new(),
        ),
        ("who goes down quickly", "dives_at: 0.1 m/s", "dives_at: 0.4 m/s".to_owned()),
        ("who floats up by herself", "heavy: 15 g ± 10 g", "heavy: -60 g ± 10 g".to_owned()),
        ("who hardly floats up", "heavy: 15 g ± 10 g", "heavy: -40 g ± 10 g".to_owned()),
        ("who is heavy", "heavy: 15 g ± 10 g", "heavy: 200 g ± 10 g".to_owned()),
        ("whose tank nobody has measured well", "600 mL ± 20 mL", "600 mL ± 200 mL".to_owned()),
    ];
    for (name, from, to) in others {
        all.push((name.to_owned(), example(|t| if from.is_empty() { t } else { t.replace(from, &to) })));
    }
    all
}

/// With these values put in.
fn with<'a>(setup: &Setup, values: impl IntoIterator<Item = (&'a Setting, f64)>) -> Setup {
    let mut changed = setup.clone();
    let unit = changed.fail_safe.as_mut().unwrap();
    for (setting, value) in values {
        let value = Exact::from_f64(value).map(Seconds);
        match setting.sought {
            Sought::Lasts(index) => unit.stages[index].lasts = value,
            Sought::Wait => unit.wait = value,
            Sought::Below => {}
        }
    }
    changed
}

/// What of a rehearsal does not keep the margins; how deep she goes and whether she comes up counts where a wait is among
/// what is proposed.
fn arrives(setup: &Setup, waits: bool) -> Option<String> {
    let found = rehearse(setup, Cause::Loss, &Start::default());
    let past = |run: &&Run| run.first(|what| matches!(what, What::PastDuty(_))).is_some();
    if [&found.nominal, &found.worst, &found.quick].iter().any(past) {
        return Some("beyond the duty".to_owned());
    }
    if !waits {
        return None;
    }
    if ![&found.nominal, &found.worst].into_iter().all(|run| run.comes_up() == Some(true)) {
        return Some("she stays down".to_owned());
    }
    let most = setup.boat.depth_limit.as_ref().map(|limit| limit.0.to_f64() * BEYOND);
    let deepest = found.deepest.map_or(f64::INFINITY, |deepest| deepest.depth.0);
    most.filter(|most| deepest > *most).map(|most| format!("{deepest} m, beyond {most} m"))
}

/// Whether a blow that is a quarter shorter leaves too much in the tank.
fn raises(setup: &Setup) -> Option<String> {
    let tank = setup.tank.volume.as_ref().unwrap();
    let half = (&tank.value.0 + &tank.off.0).to_f64() / 2.0;
    let start = Start::default();
    let mut scene = scene::Scene::of(setup, Cause::Loss, &start);
    let ways = scene.ways();
    let runs: Vec<Run> = ways.iter().flat_map(|way| [scene.run(way), scene.run(&way.lighter())]).collect();
    let out = |run: &Run| run.track.last().map_or(0.0, |end| end.emptied.litres());
    let bad = runs.iter().any(|run| run.comes_up() != Some(true) || out(run) < half);
    bad.then(|| format!("{:?} of {half} L out", runs.iter().map(out).collect::<Vec<_>>()))
}

/// Whether a stage ends before what raises her in it has run for as long as the file says that it must.
fn ends_too_soon(setup: &Setup) -> Option<String> {
    let stages = &setup.fail_safe.as_ref().unwrap().stages;
    let must = |stage: &crate::setup::Stage| {
        let works = stage.works.iter().map(|work| setup.work(*work)).filter(|work| work.kind.raises());
        works.filter_map(|work| Some(work.facts.must_run.as_ref()?.0.clone())).max()
    };
    let soon = stages
        .iter()
        .find(|stage| stage.lasts.as_ref().is_some_and(|l| must(stage).is_some_and(|m| l.0 < m)));
    soon.map(|stage| format!("{} ends too soon", stage.name))
}

/// What does not hold with these values, each of them with all the others.
fn breaks(setup: &Setup, values: &[(&Setting, f64)]) -> Option<String> {
    let all = with(setup, values.iter().copied());
    let short = |(sought, value): &(&Setting, f64)| {
        let shorter = values.iter().filter(|(one, _)| one.sought != sought.sought).copied();
        let shorter = with(setup, shorter.chain([(*sought, value / OVER)]));
        matches!(sought.sought, Sought::Lasts(_)).then(|| raises(&shorter)).flatten()
    };
    let waits = values.iter().any(|(setting, _)| setting.sought == Sought::Wait);
    let blows = values.iter().any(|(setting, _)| matches!(setting.sought, Sought::Lasts(_)));
    let soon = if blows { ends_too_soon(&all) } else { None };
    soon.or_else(|| arrives(&all, waits)).or_else(|| values.iter().find_map(short))
}

/// What is proposed holds, all together; one step further breaks something, or is none that anybody should take.
#[test]
fn proposed_times_hold_and_one_step_further_does_not() {
    let (mut waits, mut blows, mut ends) = (0, 0, 0);
    for (name, setup) in boats() {
        let settings = solve(&setup, &Start::default()).settings;
        let times: Vec<&Setting> = settings.iter().filter(|s| s.sought != Sought::Below).collect();
        let kept: Vec<(&Setting, f64)> = times.iter().filter_map(|s| Some((*s, s.keeps?))).collect();
        if kept.is_empty() {
            continue;
        }
        assert_eq!(breaks(&setup, &kept), None, "{name}: {kept:?}");
        for &(setting, value) in &kept {
            let most = if setting.sought == Sought::Wait { LONGEST_WAIT } else { LONGEST_STAGE };
            assert!(value <= most as f64, "{name}: {setting:?}");
            *if setting.sought == Sought::Wait { &mut waits } else { &mut blows } += 1;
            match setting.stopped.unwrap() {
                Stop::Breaks { as_written, .. } => {
                    let beyond = setting.beyond().unwrap();
                    let others =
                        kept.iter().filter(|(other, _)| other.sought != setting.sought && !as_written);
                    let further: Vec<_> = others.copied().chain([(setting, beyond)]).collect();
                    assert!(breaks(&setup, &further).is_some(), "{name}: {setting:?} at {beyond}");
                }
                Stop::Nothing => {
                    ends += 1;
                    let end = if setting.sought == Sought::Wait { LONGEST_WAIT as f64 } else { STEP };
                    assert!((value - end).abs() < 1e-9, "{name}: {setting:?}");
                }
            }
        }
    }
    assert!(waits > 10 && blows > 10 && ends > 0, "{waits} {blows} {ends}");
}
