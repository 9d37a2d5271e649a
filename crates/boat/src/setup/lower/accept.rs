//! The section `accept`: findings that the builder has thought about and lives with.

use super::super::keys::boat::ACCEPTANCE;
use super::super::model::Acceptance;
use super::mistakes::{Block, Mistakes};
use super::text::shown;
use crate::source::{Mistake, Node};

const EXAMPLE: &str =
    "accept: [{rule: neutral-missed, where: motor_esc, because: she is towed to the start}]";

pub(super) fn accept(mistakes: &mut Mistakes, top: &Block<'_>) -> Vec<Acceptance> {
    let Some(node) = top.get("accept") else {
        return Vec::new();
    };
    let mut all: Vec<Acceptance> = Vec::new();
    for item in mistakes.list(node, "`accept`", EXAMPLE).unwrap_or_default() {
        let Some(acceptance) = one(mistakes, item) else {
            continue;
        };
        let same = |a: &Acceptance| {
            (&a.rule, &a.about, &a.state) == (&acceptance.rule, &acceptance.about, &acceptance.state)
        };
        if all.iter().any(same) {
            let what = format!("{} at {}", shown(&acceptance.rule), shown(&acceptance.about));
            mistakes.add(
                Mistake::at(item.span, format!("{what} is accepted already"), "named before")
                    .help("keep one of the two, with all there is to say in its `because`"),
            );
            continue;
        }
        all.push(acceptance);
    }
    all
}

/// The keys that must be there are asked for at once, so that one run names everything that is missing.
fn one(mistakes: &mut Mistakes, item: &Node) -> Option<Acceptance> {
    let block = mistakes.block(item, item.span, "an acceptance", &ACCEPTANCE)?;
    let rule = text(mistakes, &block, "rule");
    let about = text(mistakes, &block, "where");
    let state = block.get("state").and_then(|_| text(mistakes, &block, "state"));
    let because = text(mistakes, &block, "because");
    let on_card = mistakes.yes_no(&block, "on_card").unwrap_or(false);
    Some(Acceptance { rule: rule?, about: about?, state, because: because?, on_card })
}

/// A text on one line, however it was broken in the file: it goes into reports of one line.
fn text(mistakes: &mut Mistakes, block: &Block<'_>, key: &str) -> Option<String> {
    let node = mistakes.require(block, key)?;
    if node.text().is_some_and(|text| node.is_empty() || text.trim().is_empty()) {
        // The usual advice, to leave an empty key out, would be wrong here.
        mistakes.add(
            Mistake::at(node.span, format!("`{key}` of an acceptance is empty"), "nothing follows")
                .help(format!("write for instance `{key}: {}`", block.example(key))),
        );
        return None;
    }
    let text = mistakes.text(node, &format!("`{key}`"))?;
    Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
}
