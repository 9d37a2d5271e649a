//! What the builder accepts: which findings it covers, and which it cannot.

use super::{emergency_within_reach, unwanted_within_reach};
use crate::finding::{Finding, Outcome, StateId};
use crate::setup::lower::{known_are, near, shown};
use crate::setup::{Acceptance, Path, Setup};
use crate::source::{Mistake, Node, Value};

/// The rule whose acceptance the lid card must tell: whoever holds the sticks has to know.
pub const TOLD_ON_CARD: &str = emergency_within_reach::NAME;

/// Rules that judged piloting alone when acceptances could not yet name a state: one of them must not
/// swallow what they have come to ask of other states since.
const PILOTING_ALONE: &[&str] = &[emergency_within_reach::NAME, unwanted_within_reach::NAME];

/// Whether the acceptance is about this finding.
pub fn matches(acceptance: &Acceptance, finding: &Finding) -> bool {
    let state = match &acceptance.state {
        Some(state) => *state == finding.state,
        None => finding.when == StateId::Piloting || !PILOTING_ALONE.contains(&finding.rule),
    };
    acceptance.rule == finding.rule && acceptance.about == finding.about && state
}

/// The place of the acceptance of this index.
pub fn path(index: usize) -> Path {
    Path::of(["accept".to_owned(), index.to_string()])
}

/// Marks what is accepted. What cannot be accepted stays open and says why at the acceptance.
pub(super) fn settle(setup: &Setup, findings: &mut [Finding]) {
    for finding in findings.iter_mut().filter(|f| f.outcome != Outcome::Proved) {
        let found = setup.accept.iter().enumerate().find(|(_, a)| matches(a, finding));
        let Some((index, acceptance)) = found else { continue };
        let refused = if finding.outcome == Outcome::Undecided {
            Some((
                "nobody knows yet what this would accept",
                "an undecided verdict cannot be accepted: settle it first",
            ))
        } else if finding.outcome == Outcome::NotJudged {
            Some((
                "nobody knows yet what this would accept",
                "what is not judged cannot be accepted: find out what is missing first",
            ))
        } else if finding.rule == TOLD_ON_CARD && !acceptance.on_card {
            Some((
                "accepted here, but the lid card would not tell",
                "write `on_card: yes` into the acceptance if it is to stay within reach: the card must name it",
            ))
        } else {
            None
        };
        match refused {
            Some((label, help)) => {
                finding.others.push((path(index), label.to_owned()));
                finding.help.push(help.to_owned());
            }
            None => finding.accepted = Some(acceptance.because.clone()),
        }
    }
}

/// Mistakes in `accept` that only one who knows the rules can see. They are looked for in the tree,
/// so that they are named in the same run as all other mistakes of reading.
pub fn mistakes(root: &Node) -> Vec<Mistake> {
    let Some(Value::List(items)) = root.get("accept").map(|node| &node.value) else {
        return Vec::new();
    };
    items.iter().filter_map(mistake).collect()
}

fn mistake(item: &Node) -> Option<Mistake> {
    let node = item.get("rule")?;
    let name = node.text().map(str::trim).filter(|name| !name.is_empty())?;
    // An acceptance of a stale acceptance could never be anything but stale itself.
    let stale = super::acceptance_stale::NAME;
    if name == stale {
        let message = format!("`{stale}` cannot be accepted");
        return Some(
            Mistake::at(node.span, message, "this one only").help("take the stale acceptance out instead"),
        );
    }
    let known: Vec<&str> = super::ALL.iter().map(|rule| rule.name).filter(|n| *n != stale).collect();
    if !known.contains(&name) {
        let label = match near(name, &known) {
            Some(near) => format!("did you mean `{near}`?"),
            None => "not a rule".to_owned(),
        };
        let message = format!("there is no rule `{}`", shown(name));
        return Some(Mistake::at(node.span, message, label).help(known_are(&known, "rules")));
    }
    let on_card = item.get("on_card")?;
    // A promise that the card would not keep must not be made.
    (name != TOLD_ON_CARD && matches!(on_card.text(), Some("yes" | "true"))).then(|| {
        let message = format!("the lid card has no words for `{name}`");
        Mistake::at(on_card.span, message, format!("only `{TOLD_ON_CARD}` is told there"))
            .help("leave `on_card` out")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{matches, settle};
    use crate::finding::{Outcome, Severity, StateId, Subject};
    use crate::rule::say::Draft;
    use crate::setup::{Acceptance, lower};
    use crate::source::Source;

    #[test]
    fn an_acceptance_covers_its_own_state_or_what_its_rule_has_always_judged() {
        let about = |rule: &'static str, when: StateId, state: &str| {
            let mut finding = Draft::new(rule, Severity::Error, Subject::Unit, when).finding;
            (finding.about, finding.state) = ("tank.gas".into(), state.into());
            finding
        };
        let accepts = |rule: &str, state: Option<&str>| Acceptance {
            rule: rule.into(),
            about: "tank.gas".into(),
            state: state.map(str::to_owned),
            because: "so".into(),
            on_card: false,
        };
        let piloting = about("emergency-within-reach", StateId::Piloting, "piloting");
        let waiting = about("emergency-within-reach", StateId::Waiting, "waiting");
        let plain = accepts("emergency-within-reach", None);
        assert!(matches(&plain, &piloting) && !matches(&plain, &waiting));
        let named = accepts("emergency-within-reach", Some("waiting"));
        assert!(!matches(&named, &piloting) && matches(&named, &waiting));
        let stop = about("beyond-stop", StateId::Waiting, "waiting");
        assert!(matches(&accepts("beyond-stop", None), &stop));
    }

    #[test]
    fn what_is_broken_can_be_accepted_and_what_is_undecided_cannot() {
        let source = Source::from_text("sprat", include_str!("../../../../boats/sprat.yaml")).unwrap();
        let mut setup = lower::lower(&source).unwrap();
        setup.accept = vec![Acceptance {
            rule: "beyond-stop".into(),
            about: "bow_servo".into(),
            state: None,
            because: "it gives".into(),
            on_card: false,
        }];
        for (outcome, accepted) in
            [(Outcome::Broken, Some("it gives")), (Outcome::Undecided, None), (Outcome::Proved, None)]
        {
            let subject = Subject::Device(setup.devices.iter().position(|d| d.name == "bow_servo").unwrap());
            let mut finding = Draft::new("beyond-stop", Severity::Error, subject, StateId::Piloting).finding;
            finding.about = subject.name(&setup);
            finding.outcome = outcome;
            let mut findings = [finding];
            settle(&setup, &mut findings);
            assert_eq!(findings[0].accepted.as_deref(), accepted);
            assert_eq!(findings[0].help.is_empty(), outcome != Outcome::Undecided);
        }
    }
}
