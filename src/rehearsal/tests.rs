use super::*;
use crate::setup::{Setup, lower};
use crate::source::Source;

const FACTS: &str = "
hull: {weight: 8.4 kg, heavy: 15 g ± 10 g, length: 900 mm, beam: 110 mm, dives_at: 0.1 m/s, water: [4 degC, 22 degC]}
tank:
  volume: 600 mL ± 20 mL
  emptied_by:
    tank_servo.pump: {flow: [[0 bar, 4 L/min], [0.4 bar, 0 L/min]], flow_off: 15 %, starts_in: 0.5 s, duty: 90 s, current: 1.8 A}
    tank_servo.gas: {gas: isobutane, bottle: 50 mL, charge: 12 g ± 1 g, hole: 0.5 mm}
";

fn read(text: &str) -> Setup {
    let source = Source::from_bytes("x", text.as_bytes().to_vec()).unwrap();
    lower::lower(&source).unwrap()
}

fn example(change: impl Fn(String) -> String) -> Setup {
    let text = std::fs::read_to_string("tests/fixtures/example.yaml").unwrap();
    assert!(!text.contains("\nhull:"));
    let text =
        text.replace("    accuracy: 1.5 %\n", "    accuracy: 1.5 %\n    turn: 45 deg\n    speed: 0.2 s\n");
    read(&change(text + FACTS))
}

fn first(run: &Run, wanted: &What) -> Option<f64> {
    run.first(|what| what == wanted).map(|at| at.0)
}

/// A fifth of a second for 60 degrees and 45 degrees for 100 % make 0.15 s for 100 %: 1 s of the receiver, 4 s of
/// the unit, then +38 % after 0.057 s and +72 % after 0.108 s. The valve is let go at +72 % on the way back
/// from +105 % to rest, 0.33 · 0.15 = 0.0495 s after 17 s.
#[test]
fn delays_and_the_way_of_the_servo_add_up() {
    let found = rehearse(&example(|t| t), Cause::Loss, &Start::default());
    let run = &found.nominal;
    let near = |got: Option<f64>, want: f64| assert!((got.unwrap() - want).abs() < 1e-9, "{got:?}");
    near(first(run, &What::ReceiverActs), 1.0);
    near(first(run, &What::Stage(0)), 5.0);
    near(run.raises_at.map(|s| s.0), 5.057);
    near(run.first(|w| matches!(w, What::Moves(w) if w.work == 2)).map(|s| s.0), 5.108);
    near(run.first(|w| matches!(w, What::Off(w) if w.work == 2)).map(|s| s.0), 17.0495);
    near(first(run, &What::Stage(1)), 17.0);
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
