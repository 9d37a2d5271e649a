//! The fields of a boat that has no file: what a boat of her kind has, each under its key in the file to come.

use super::fields::{Boxes, Field, Section, boxes_for};
use crate::device::works::{self, FunctionKind};
use crate::labels::text::form;
use crate::labels::text::sheet::tests;
use crate::labels::text::sheet::unjudged::BENCHES;
use crate::labels::{Labels, Text, text};
use crate::setup::BoatKind;
use crate::sheet::ORDERS;
use crate::sheet::ink::{At, Ink};
use serde_json::Value;

/// Rows for channels: as many as most sets have.
const CHANNELS: usize = 8;
/// Rows for servos.
const SERVOS: usize = 4;
/// Where a name is written in.
const NAME: &str = "________";

/// Keys of the file, each with the word for how the bench finds it.
type Keys = &'static [(&'static str, &'static str)];

const SET: Keys = &[
    ("transmitter.pulse.accuracy", "pulse"),
    ("transmitter.furthest", "furthest"),
    ("controls.________.trim", "trim"),
];
const MOTOR: Keys = &[
    ("devices.________.still_between", "still between"),
    ("devices.________.without_pulses", "without pulses"),
];
const LEVELLER: Keys = &[
    ("devices.________.corrects", "corrects"),
    ("devices.________.correction", "correction"),
    ("devices.________.limits", "stops"),
];
const LOSS: Keys = &[
    ("receiver.on_loss", "on loss"),
    ("receiver.after", "after"),
    ("fail_safe.notices", "notices"),
    ("fail_safe.tried", "tried"),
    ("fail_safe.wait", "wait"),
    ("fail_safe.until_it_acts", "until it acts"),
    ("fail_safe.accuracy", "unit"),
];
const AFLOAT: Keys = &[("boat.sinks_in", "sinks in"), ("fail_safe.stages.must_run", "must run")];

/// What is read of every boat of a kind.
pub(super) fn sections(labels: &Labels, kind: BoatKind, width: f64) -> Vec<Section> {
    let dives = kind == BoatKind::Submarine;
    let of = |keys: Keys| keys.iter().map(|(key, word)| keyed(labels, key, word)).collect::<Vec<_>>();
    let section =
        |title: Text, fields| Section { title: labels.get(title).to_owned(), before: String::new(), fields };
    let channels = |n: usize| {
        let boxes = [form::REST, form::ONE_WAY, form::OTHER_WAY, form::LONGER_TOWARDS]
            .map(|t| labels.get(t).to_owned());
        let name = labels.fill(text::common::Channel { number: &n.to_string() });
        Field::new(name, labels.get(form::CHANNEL), &Boxes::Of(boxes.to_vec()), labels)
    };
    let sums = ORDERS.iter().map(|line| {
        let [what, see] = line.test.map(|t| labels.get(t));
        Field::new(labels.get(line.name), format!("{what} {see}"), &Boxes::One, labels)
    });
    let servo = |_| {
        let name = |key: &str| format!("devices.{NAME}.{key}");
        [("stops", "stops"), ("accuracy", "accuracy"), ("takes", "takes")].map(|(key, word)| {
            Field::new(
                name(key),
                labels.find_word(BENCHES, word).unwrap_or_default(),
                &boxes_for(word),
                labels,
            )
        })
    };
    let suits = |work: &&FunctionKind| dives || !(work.sinks() || work.raises());
    let worked =
        works::ALL.iter().filter(suits).filter(|work| !work.nameless).enumerate().map(|(n, work)| {
            let name = labels.word(text::common::WORKS, work.name);
            let field = Field::new(name, labels.get(form::ENGAGES), &Boxes::Crept, labels);
            if n == 0 { field.with_drawing(empty_axis(width)) } else { field }
        });
    let mut all = vec![
        section(form::set::TITLE, (1..=CHANNELS).map(channels).chain(of(SET)).collect()),
        section(tests::orders::TITLE, sums.collect()),
        section(form::servos::TITLE, (0..SERVOS).flat_map(servo).collect()),
        section(tests::works::TITLE, worked.collect()),
        section(form::motors::TITLE, of(MOTOR)),
        section(form::loss::TITLE, of(LOSS)),
        section(text::sheet::batteries::TITLE, of(&[("batteries.________", "batteries")])),
    ];
    if dives {
        all.insert(5, section(form::leveller::TITLE, of(LEVELLER)));
        all.push(section(tests::in_water::TITLE, of(AFLOAT)));
    }
    all
}

fn keyed(labels: &Labels, key: &str, word: &str) -> Field {
    let how = labels.find_word(BENCHES, word).unwrap_or_default();
    Field::new(key, how, &boxes_for(word), labels)
}

/// An axis to draw on what lies where.
fn empty_axis(width: f64) -> (f64, Vec<Value>) {
    const HIGH: f64 = 22.0;
    let mut ink = Ink::default();
    let x = |percent: f64| width * (0.5 + percent / 280.0);
    for step in -5..=5 {
        let percent = f64::from(step) * 25.0;
        let at = x(percent);
        ink.line([at, 3.6], [at, if step == 0 { HIGH } else { 5.2 }], 0.2);
        let sign = if step > 0 {
            "+"
        } else if step < 0 {
            "\u{2212}"
        } else {
            ""
        };
        ink.text([at, 1.8], &format!("{sign}{}", percent.abs()), 7.5, At::Centre, false);
    }
    ink.text([0.0, 1.8], "%", 7.5, At::Left, false);
    ink.line([x(-125.0), 5.2], [x(125.0), 5.2], 0.3);
    for lane in [10.5, 16.0, 21.5] {
        ink.dashed([x(-125.0), lane], [x(125.0), lane], 0.1);
    }
    (HIGH, ink.items)
}
