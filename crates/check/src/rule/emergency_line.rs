//! What a line of the owner's emergency in the builder's own words asks for. It is read for the ways that it names; one
//! that it forbids is not asked for. Where that is in doubt it counts as asked for: a false alarm is looked at once, a
//! line that floods her when she is down.

use crate::setup::{Control, ControlId, Setup, Side};

/// Words that forbid what follows, in the languages of the documents.
const FORBID: &[&str] = &[
    "never", "not", "don't", "dont", "no", "without", "avoid", "nie", "niemals", "nicht", "kein", "keine",
    "keinen", "ohne",
];
/// Words that forbid what stands before them.
const FORBIDDEN: &[&str] =
    &["never", "not", "forbidden", "prohibited", "nie", "niemals", "nicht", "verboten"];
/// What a hand does: with one of these before it a way is asked for.
const HANDLES: &[&str] = &[
    "hit",
    "hold",
    "holding",
    "move",
    "moving",
    "operate",
    "press",
    "pressing",
    "pull",
    "pulling",
    "push",
    "pushing",
    "put",
    "putting",
    "select",
    "set",
    "switch",
    "touch",
    "touching",
    "turn",
    "turning",
    "use",
    "using",
    "betätigen",
    "berühren",
    "drücken",
    "halten",
    "stellen",
    "ziehen",
];
/// What else may stand between a word that forbids and the way that it forbids.
const JOINS: &[&str] = &[
    "a", "an", "any", "at", "button", "by", "ever", "hand", "in", "into", "it", "knob", "lever", "on",
    "onto", "slider", "stick", "the", "to", "towards", "auf", "das", "dem", "den", "der", "die", "je",
    "knopf", "knüppel", "nach", "taste", "zu", "zum", "zur",
];
/// What may follow a way that is spoken of: "flood must never be pressed".
const SPEAKS: &[&str] = &[
    "be",
    "button",
    "held",
    "is",
    "may",
    "must",
    "pressed",
    "should",
    "stick",
    "touched",
    "used",
    "berührt",
    "darf",
    "gedrückt",
    "gehalten",
    "ist",
    "knopf",
    "soll",
    "taste",
    "werden",
    "wird",
];
/// With one of these behind the way only for how long or when is told: "never hold flood too long".
const HOW_MUCH: &[&str] = &[
    "after", "before", "longer", "more", "only", "too", "unless", "until", "bevor", "bis", "länger", "mehr",
    "nur", "vor", "zu",
];
/// A clause that begins so tells when, and forbids nothing: "if flood does not help".
const CONDITIONS: &[&str] = &["if", "when", "once", "falls", "sobald", "wenn"];
/// Words between two things of which both are forbidden.
const OR: &[&str] = &["nor", "or", "noch", "oder"];
/// Words that begin another clause.
const ENDING: &[&str] = &["and", "but", "instead", "then", "aber", "dann", "sondern", "stattdessen", "und"];

/// The ways that a line asks for: by the builder's word for one, or by where a control sits and where the hand
/// goes.
pub(super) fn asked_for(setup: &Setup, line: &str) -> Vec<(ControlId, Side)> {
    let text = line.to_lowercase().replace('\u{2019}', "'").replace(" - ", "; ");
    let clauses = clauses(&text);
    let mut all = Vec::new();
    for (id, control) in setup.controls.iter().enumerate().filter(|(_, c)| c.settings.is_empty()) {
        let ways = Side::BOTH.into_iter().filter(|side| asks(control, &clauses, *side));
        all.extend(ways.map(|side| (id, side)));
    }
    all
}

fn asks(control: &Control, clauses: &[Vec<&str>], side: Side) -> bool {
    let way = control.ways[side.index()].to_lowercase();
    let way: Vec<&str> = words(&way).collect();
    if clauses.iter().any(|clause| asked_in(clause, &way)) {
        return true;
    }
    let at = control.at.as_deref().unwrap_or_default().to_lowercase();
    let place: Vec<&str> = words(&at).collect();
    let hand = [control.line.words()[side.index()]];
    // Where the place is named once, each clause may be about it.
    let named = clauses.iter().any(|clause| find(clause, &place).is_some());
    named
        && clauses.iter().any(|clause| {
            // No word of the place, "left stick", is where the hand goes.
            let rest = match find(clause, &place) {
                Some(begins) => [&clause[..begins], &clause[begins + place.len()..]].concat(),
                None => clause.clone(),
            };
            asked_in(&rest, &hand)
        })
}

/// Whether a clause asks for what bears a name.
fn asked_in(clause: &[&str], name: &[&str]) -> bool {
    let found = (0..clause.len()).filter(|at| !name.is_empty() && clause[*at..].starts_with(name));
    found.into_iter().any(|at| !forbidden(clause, at, at + name.len()))
}

fn forbidden(clause: &[&str], begins: usize, ends: usize) -> bool {
    let (before, behind) = (&clause[..begins], &clause[ends..]);
    if clause.first().is_some_and(|word| CONDITIONS.contains(word)) {
        return false;
    }
    let how_much = behind.iter().any(|word| HOW_MUCH.contains(word));
    if forbids_what_follows(before) && !how_much {
        return true;
    }
    // Only of a way that a clause begins with is spoken behind it.
    let heads = before.iter().all(|word| JOINS.contains(word));
    let mut behind = behind.iter().skip_while(|word| SPEAKS.contains(word));
    heads
        && behind.next().is_some_and(|word| FORBIDDEN.contains(word))
        && behind.all(|word| SPEAKS.contains(word) || HANDLES.contains(word))
}

fn forbids_what_follows(before: &[&str]) -> bool {
    let mut all_of_it = false;
    for word in before.iter().rev() {
        if FORBID.contains(word) {
            return true;
        }
        let passes = HANDLES.contains(word) || JOINS.contains(word) || OR.contains(word);
        if !passes && !all_of_it {
            return false;
        }
        // The one thing before "or" is forbidden along with the other, whatever it is called.
        all_of_it = OR.contains(word);
    }
    false
}

fn find(clause: &[&str], name: &[&str]) -> Option<usize> {
    (0..clause.len()).find(|at| !name.is_empty() && clause[*at..].starts_with(name))
}

/// The words of a text.
fn words(text: &str) -> impl Iterator<Item = &str> {
    let inside = |c: char| c.is_alphanumeric() || c == '_' || c == '\'';
    text.split(move |c: char| !inside(c)).filter(|word| !word.is_empty())
}

/// A text in pieces of which each speaks of one thing.
fn clauses(text: &str) -> Vec<Vec<&str>> {
    let mut all = Vec::new();
    for piece in text.split([',', ';', '.', ':', '!', '?', '(', ')', '\u{2013}', '\n']) {
        let mut clause = Vec::new();
        for word in words(piece) {
            if ENDING.contains(&word) {
                all.push(std::mem::take(&mut clause));
            } else {
                clause.push(word);
            }
        }
        all.push(clause);
    }
    all
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::asked_for;
    use crate::setup::Setup;
    use crate::setup::lower::lower;
    use crate::source::Source;

    fn moonfish() -> Setup {
        let text = std::fs::read_to_string("../../boats/moonfish.yaml").unwrap();
        lower(&Source::from_bytes("x", text.into_bytes()).unwrap()).unwrap()
    }

    fn ways(setup: &Setup, line: &str) -> Vec<String> {
        let all = asked_for(setup, line).into_iter();
        all.map(|(control, side)| setup.controls[control].ways[side.index()].clone()).collect()
    }

    #[test]
    fn what_a_line_forbids_it_does_not_ask_for() {
        let setup = moonfish();
        for line in [
            "never press flood",
            "Never press flood while she is under",
            "do not touch flood",
            "don\u{2019}t hold flood",
            "without pressing flood",
            "flood must never be pressed",
            "flood is forbidden",
            "hands off, no flood",
            "never press the lower button at the rear left",
            "flood nie drücken",
            "Niemals auf flood drücken",
        ] {
            assert!(ways(&setup, line).is_empty(), "{line}: {:?}", ways(&setup, line));
        }
        assert_eq!(ways(&setup, "hold blow, never flood"), ["blow"]);
        assert_eq!(ways(&setup, "do not press flood or dive but blow"), ["blow"]);
        assert_eq!(ways(&setup, "never press flood and hold blow"), ["blow"]);
    }

    #[test]
    fn what_is_in_doubt_is_asked_for() {
        let setup = moonfish();
        for line in [
            "press flood",
            "if she does not come up press flood",
            "if blow does not move hold flood",
            "do not let go of flood",
            "never release flood",
            "flood not too long",
            "never hold flood longer than she sinks",
            "flood nicht vergessen",
            "no signal: press flood",
            "do not wait - press flood",
            "not up? Then flood",
            "rear left: the lower button",
            "the lower button, rear left",
            "push the lower one of the buttons rear left",
        ] {
            assert!(ways(&setup, line).contains(&"flood".to_owned()), "{line}: {:?}", ways(&setup, line));
        }
    }
}
