//! Batteries, and what the owner is told.

use crate::answers::{Answers, UNKNOWN};
use crate::file::{Lines, text};
use crate::question::Takes::{Count, One, Quantity, Text};
use crate::question::{Question, choices};

/// What the one battery is called that is asked for.
pub(super) const BATTERY: &str = "main";

const CHEMISTRIES: &[(&str, &str)] = &[
    ("NiMH", "nickel metal hydride"),
    ("NiCd", "nickel cadmium"),
    ("LiPo", "lithium polymer"),
    ("LiFePO4", "lithium iron phosphate"),
    ("lead", "lead acid, gel"),
];

pub(super) fn ask(answers: &Answers) -> Vec<Question> {
    let mut all = Vec::new();
    let low = answers.is("unit.low", "yes");
    let is = [("yes", ""), ("no", "none that can run low under way")];
    if !low {
        all.push(Question::new(
            "power.is",
            "Has she a battery?",
            "What she does when it is low is judged.",
            One(choices(&is)),
        ));
    }
    if low || answers.is("power.is", "yes") {
        all.push(Question::new(
            "power.chemistry",
            "Of which chemistry is it?",
            "Each has its own lowest voltage, and its own cautions.",
            One(choices(CHEMISTRIES)),
        ));
        all.push(Question::new(
            "power.cells",
            "How many cells in a row?",
            "It stands on the pack.",
            Count { least: 1, most: 24 },
        ));
        all.push(
            Question::new(
                "power.capacity",
                "What does it hold?",
                "It stands on the pack.",
                Quantity { units: &["Ah", "mAh"], words: &[], example: "4.2 Ah" },
            )
            .or("is `not measured`"),
        );
    }
    let remark = |id, ask, why, example| Question::new(id, ask, why, Text { example }).or("is left out");
    all.push(remark(
        "owner.contact",
        "Whom may the owner call?",
        "It stands on card and guide.",
        "Lantern Bay Model Workshop",
    ));
    all.push(Question::new(
        "owner.language",
        "In which language are the owner's papers?",
        "The emergency is read in a hurry.",
        One(choices(&[("en", "English"), ("de", "German")])),
    ));
    all
}

pub(super) fn write(answers: &Answers, lines: &mut Lines) {
    lines.gap();
    let said = |id: &str| answers.get(&format!("power.{id}")).unwrap_or(UNKNOWN);
    if answers.get("power.chemistry").is_some() && !answers.is("power.is", "no") {
        let pack = ["cells", "chemistry", "capacity"].map(|key| format!("{key}: {}", said(key))).join(", ");
        lines.top("batteries", &format!("{{{}: {{{pack}}}}}", lines.name(BATTERY)));
    } else {
        lines.top("batteries", "none");
    }
    lines.key("owner");
    lines.put("language", answers.get("owner.language").unwrap_or("en"));
    if let Some(contact) = answers.known("owner.contact") {
        lines.put("contact", &text(contact));
    }
}
