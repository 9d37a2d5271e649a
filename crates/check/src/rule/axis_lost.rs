//! Limits swallow a way while other controls are moved: no steering at full throttle.

use super::engine::Engine;
use super::say::{self, Draft};
use super::sense_reversed::{senses, shown};
use crate::finding::{Outcome, Severity, StateId};
use crate::question::asks::Moved;
use crate::question::{Asks, Detail, Question, shares};

pub(super) const NAME: &str = "axis-lost";

/// Once for each way that wants an effect and each channel that it drives.
pub(super) fn ask<'a>(engine: &Engine<'a>, questions: &mut Vec<Question<'a>>) {
    let setup = engine.setup;
    for sense in senses(setup) {
        let Moved { channel, control, side, .. } = sense.moved;
        let way = &setup.controls[control].ways[side.index()];
        let title = setup.channel_title(channel);
        questions.push(
            Draft::new(NAME, Severity::Warning, sense.subject(), StateId::Piloting)
                .at(
                    say::channel_path(setup, channel),
                    format!("{way} may come to nothing here while other controls are held"),
                )
                .help("lower the rates or mixes so that their sum stays within 100 %, or raise the endpoint")
                .asks(
                    Asks::Moves { way: sense.moved, at_all: true },
                    format!("with other controls held, {way} may no longer move {title} at all"),
                    format!("{way} moves {title} wherever the other controls are"),
                )
                .telling(move |engine, answered, draft| {
                    if let Detail::Move(worst, at_rest) = &answered.detail {
                        draft.finding.witness = shown(engine, &sense, worst, *at_rest);
                    }
                    if answered.outcome() == Outcome::Broken {
                        let asks = Asks::Moves { way: sense.moved, at_all: true };
                        if let Some(shares) = shares::told(engine, &asks, channel) {
                            draft.finding.help = vec![shares];
                        }
                    }
                }),
        );
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::NAME;
    use crate::finding::Finding;
    use crate::setup::lower::lower;
    use crate::source::Source;

    fn lost(change: [&str; 2]) -> Vec<Finding> {
        let (_, text) = crate::rule::page::examples(include_str!("axis_lost.md"))[0];
        assert!(text.contains(change[0]));
        let source = Source::from_bytes("x", text.replace(change[0], change[1]).into_bytes()).unwrap();
        crate::rule::check(&lower(&source).unwrap())
            .into_iter()
            .filter(|f| f.rule == NAME && f.is_open())
            .collect()
    }

    /// 100 % and 130 % are 230 %: 43.47 % and 56.52 %, in steps of 1 % and not more.
    #[test]
    fn the_shares_that_are_told_put_it_right() {
        let told = lost(["add: 100 %", "add: 130 %"]);
        assert!(
            told.iter().any(|f| f.help == ["shares that fit together: `rate: 43 %`, `add: 56 %` of dive"]),
            "{told:#?}"
        );
        let mended = lost(["mixes: [{add: 100 %,", "rate: 43 %, mixes: [{add: 56 %,"]);
        assert!(mended.iter().all(|f| f.about.starts_with("2/")), "{mended:#?}");
    }

    /// A mix of the control itself may have to go before anything fits: no shares are told that do not help.
    #[test]
    fn no_shares_are_told_where_they_would_not() {
        let told = lost(["add: 100 %, of: dive}", "add: 100 %, of: dive}, {add: -100 %, of: helm}"]);
        assert!(
            told.iter().filter(|f| f.about.starts_with("1/")).all(|f| !f.help[0].contains("shares that")),
            "{told:#?}"
        );
    }
}
