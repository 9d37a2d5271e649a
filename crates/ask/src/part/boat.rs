//! The boat and the job.

use crate::answers::Answers;
use crate::file::{Lines, text};
use crate::question::Takes::{One, Quantity, Text};
use crate::question::{Question, choices};

/// What empties the tank decides what kind of model she is and which channels she has.
const EMPTIES: &[(&str, &str)] = &[
    ("pump", "a pump or blower that a servo switches"),
    ("gas", "gas or air through a valve that a servo opens"),
    ("pump and gas", "a pump day by day, gas when the pump cannot"),
    ("two-way pump", "a pump that fills it as well"),
    ("piston", "a piston"),
    ("nothing", "she has no tank: she dives under way and comes up when she stops"),
    ("surface", "she does not dive at all: a boat"),
    ("other", "she is no boat: a vehicle, an airship, something else that is steered"),
];

pub(super) fn ask(answers: &Answers) -> Vec<Question> {
    let mut all = vec![Question::new(
        "boat.empties",
        "What empties the tank?",
        "What brings her up decides what has to be proved. Look into the hull: what pushes the water out?",
        One(choices(EMPTIES)),
    )];
    if answers.get("boat.empties").is_none() {
        return all;
    }
    all.push(Question::new(
        "boat.name",
        "What is she called?",
        "The name stands on every page.",
        Text { example: "Newt" },
    ));
    let remark = |id, ask, why, example| Question::new(id, ask, why, Text { example }).or("is left out");
    all.push(remark(
        "boat.reference",
        "What is the number of the job?",
        "The papers of a job are found by it.",
        "LB-040",
    ));
    all.push(remark(
        "boat.date",
        "Which day is it, as 2026-05-09?",
        "Papers say of which day they are.",
        "2026-05-09",
    ));
    all.push(remark(
        "boat.workshop",
        "Which workshop fits her out?",
        "It stands on the papers.",
        "Lantern Bay Model Workshop",
    ));
    if dives(answers) || answers.is("boat.empties", "surface") {
        let waters = [("fresh", "ponds, lakes, rivers, pools"), ("sea", "salt water")];
        all.push(
            Question::new(
                "boat.water",
                "Which water does she sail in?",
                "Radio does not reach far into salt water, and salt water carries more.",
                One(choices(&waters)),
            )
            .or("is left out"),
        );
    }
    if dives(answers) {
        all.push(
            Question::new(
                "boat.depth_limit",
                "How deep may she go?",
                "Her hull's limit, or that of the pump: the estimate starts from it. It is not found by trying.",
                Quantity { units: &["m"], words: &[], example: "2 m" },
            )
            .or("is left out, and no estimate starts from it"),
        );
        all.push(
            Question::new(
                "boat.sinks_in",
                "How long does she take from a lost trim down to that depth?",
                "Flood her by hand in shallow water, with a watch. All that waits before she is blown has to be shorter.",
                Quantity { units: &["s"], words: &[], example: "15 s" },
            )
            .or("is left out, and whether she is blown in time is estimated, or not judged"),
        );
    }
    all
}

/// Whether she is a submarine.
pub(super) fn dives(answers: &Answers) -> bool {
    !answers.is("boat.empties", "surface") && !answers.is("boat.empties", "other")
}

pub(super) fn write(answers: &Answers, lines: &mut Lines) {
    let kind = match answers.get("boat.empties") {
        Some("surface") => "surface",
        Some("other") => "other",
        _ => "submarine",
    };
    lines.key("boat");
    lines.put("name", &text(answers.get("boat.name").unwrap_or_default()));
    lines.put("kind", kind);
    for key in ["reference", "date", "workshop", "water", "depth_limit", "sinks_in"] {
        if let Some(said) = answers.known(&format!("boat.{key}")) {
            lines.put(key, &text(said));
        }
    }
    if answers.is("boat.empties", "nothing") {
        lines.remark(
            "she has no tank: whether she comes up by herself when she stops is `floats_when_stopped`",
        );
    }
}
