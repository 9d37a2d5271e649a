//! What the receiver does when it hears nothing.

use super::{Used, used};
use crate::answers::Answers;
use crate::file::Lines;
use crate::question::Takes::{One, Quantity};
use crate::question::{Question, choices};
use crate::words::said;

const WAYS: &[(&str, &str)] = &[
    ("no pulses", "the meter shows nothing any more"),
    ("hold", "the pulses stay as they were"),
    ("noise", "the pulses jump about"),
    ("preset", "every channel goes to a position that was stored"),
];

pub(super) fn ask(answers: &Answers) -> Vec<Question> {
    let mut all = vec![
        Question::new(
            "link.on_loss",
            "Transmitter off, propeller held free, gas bottle off: what do the pulses do?",
            "Meter on a channel, way held over, switch off. A receiver that holds its last signal blinds the \
             fail-safe unit, and she stays down.",
            One(choices(WAYS)),
        ),
        Question::new(
            "link.after",
            "How long after switching off?",
            "A watch with hands will do.",
            Quantity { units: &["s"], words: &[], example: "1 s" },
        )
        .or("is `not measured`"),
    ];
    if answers.is("link.on_loss", "preset") {
        for channel in used(answers) {
            all.push(Question::new(
                format!("link.preset.{}", channel.number),
                said("Where does channel {channel} ({name}) go?")
                    .with("channel", channel.number)
                    .with("name", channel.name()),
                "Read the pulse while the transmitter is off.",
                Quantity { units: &["us", "%"], words: &["hold"], example: "1500 us" },
            ));
        }
    }
    all
}

pub(super) fn write(answers: &Answers, lines: &mut Lines) {
    lines.key("receiver");
    let on_loss = match answers.get("link.on_loss") {
        Some("preset") => {
            let stored = |channel: &Used| answers.known(&format!("link.preset.{}", channel.number));
            let (held, sent): (Vec<Used>, Vec<Used>) =
                used(answers).into_iter().partition(|channel| stored(channel) == Some("hold"));
            let each = sent.iter().map(|c| format!("{}: {}", c.number, stored(c).unwrap_or_default()));
            let rest = (!held.is_empty()).then(|| "others: hold".to_owned());
            match sent.is_empty() {
                true => "hold".to_owned(),
                false => format!("{{{}}}", each.chain(rest).collect::<Vec<_>>().join(", ")),
            }
        }
        other => other.unwrap_or_default().to_owned(),
    };
    lines.put("on_loss", &on_loss);
    lines.put("after", answers.get("link.after").unwrap_or_default());
}
