use super::*;
use crate::setup::lower::lower;
use crate::source::Source;

fn of(file: &str) -> Matrix {
    let path = format!("{}/{file}", env!("CARGO_MANIFEST_DIR"));
    let setup = lower(&Source::load(&path).unwrap()).unwrap();
    matrix(&Engine::new(&setup))
}

fn row(matrix: &Matrix, name: &str) -> String {
    let cause = matrix.causes.iter().find(|c| c.name == name).unwrap();
    let marks: Vec<_> = cause.marks.iter().map(|m| m.word()).collect();
    marks.join(" ")
}

#[test]
fn moonfish_in_every_state() {
    let m = of("../../boats/moonfish.yaml");
    let names: Vec<_> = m.effects.iter().map(|e| e.name.as_str()).collect();
    assert_eq!(names, ["motor_esc", "tank_servo.vent", "tank_servo.pump", "tank_servo.gas"]);
    for (name, wanted) in [
        ("all controls at rest", "never never never never"),
        // The tank's buttons have no part in the motor, nor the speed stick in the tank.
        ("tank: flood held fully", "- surely never never"),
        ("tank: blow held fully", "- never surely never"),
        ("speed: astern held fully", "surely - - -"),
        ("speed: ahead held fully", "surely - - -"),
        // No pulses: the motor stops, the servo stays where the pilot left it.
        ("link lost, waiting", "never may may never"),
        ("link lost, stage blow", "never never surely surely"),
        ("stage blow (low battery or leak)", "never never surely surely"),
        ("link lost, stage rest", "never never never never"),
        ("link lost for good", "never never never never"),
        // Anywhere between the stops, and those lie beyond all three.
        ("power-up, transmitter off", "never may may may"),
        // Then the unit acts as on a lost link: receiver 1 s, unit 3 s, the blow 14 s.
        ("power-up, from 4 s: stage blow", "never never surely surely"),
        ("power-up, from 18 s: stage rest", "never never never never"),
        // The servo stays where it was, and the motor has nothing to run on.
        ("power gone", "never may may may"),
    ] {
        assert_eq!(row(&m, name), wanted, "{name}");
    }
}

#[test]
fn a_unit_that_may_never_act_leaves_both_ends_open() {
    // The receiver holds, so the unit never sees the pulses fail.
    let m = of("../../tests/fixtures/mistakes/receiver-holds.yaml");
    assert_eq!(row(&m, "link lost, stage blow, if the unit notices"), "may may may may");
    assert_eq!(row(&m, "link lost, stage rest, if the unit notices"), "may may may never");
    // A leak or a low battery it notices by itself.
    assert_eq!(row(&m, "stage blow (low battery or leak)"), "never never surely surely");
    let lost = row(&m, "link lost for good");
    assert!(lost.starts_with("may may may"), "{lost}");
}

#[test]
fn a_way_that_needs_a_guard_is_shown_with_and_without() {
    let m = of("../../boats/capstan.yaml");
    let tow = m.effects.iter().position(|e| e.name == "hook_servo.tow").unwrap();
    let held = |name: &str| row(&m, name).split(' ').nth(tow).unwrap().to_owned();
    assert_eq!(held("hook: free held fully"), "may");
    let armed = m.causes.iter().find(|c| c.name.starts_with("hook: free held fully, ")).unwrap();
    assert_eq!(armed.marks[tow], Mark::Surely, "{}", armed.name);
}

#[test]
fn a_mark_never_agrees_with_neither() {
    assert_eq!(Mark::Surely.either(Mark::Never), Mark::May);
    assert_eq!(Mark::Never.either(Mark::Never), Mark::Never);
}

#[test]
fn presets_come_at_power_up_as_well() {
    let m = of("../../boats/sprat.yaml");
    assert_eq!(row(&m, "power-up, from 1 s: the receiver's presets"), "never never surely");
}

#[test]
fn a_last_stage_that_ends_leaves_her_to_the_receiver_again() {
    let text =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../../boats/moonfish.yaml")).unwrap();
    let text = text.replace("{name: rest, set:", "{name: rest, lasts: 5 s, set:");
    let setup = lower(&Source::from_bytes("m.yaml", text.into_bytes()).unwrap()).unwrap();
    let m = matrix(&Engine::new(&setup));
    assert_eq!(row(&m, "link lost, stage rest"), "never never never never");
    // No pulses again: the servo stays, or is pushed to where the pilot could have left it.
    assert_eq!(row(&m, "link lost for good"), "never may may never");
    assert_eq!(row(&m, "power-up, from 23 s: handed back"), "never may may may");
}
