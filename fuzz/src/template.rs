//! Bytes as somebody's own template of the card and of the page of a hand-over.

use crate::Got;
use crate::chance::Chance;
use lidcard::document::{ALL, Job, Request};
use lidcard::fingerprint::Code;
use lidcard::rule;
use lidcard::setup::{Setup, lower};
use lidcard::source::Source;
use std::sync::OnceLock;

const WORDS: &[&str] = &[
    "{{ ",
    " }}",
    "{% for a in range(end=100000000) %}",
    "{% endfor %}",
    "{% if ",
    "{% endif %}",
    "{% set a = a ~ a %}",
    "{% macro x() %}",
    "{% raw %}",
    "| json",
    "| safe",
    "|replace(from='a', to='aa')",
    "{# ",
    " #}",
    "{% include 'x' %}",
    "__tera_context",
    "loop.index",
    "- text: ",
    "\n",
    "size: 1e9",
];

struct Boat {
    setup: Setup,
    judged: rule::Judgement,
    code: Code,
}

fn boat() -> &'static Boat {
    static BOAT: OnceLock<Boat> = OnceLock::new();
    BOAT.get_or_init(|| {
        let text = std::fs::read_to_string(crate::root().join("boats/sprat.yaml")).expect("a boat");
        let source = Source::from_text("sprat.yaml", &text).expect("it can be read");
        let setup = lower::lower(&source).expect("it is a boat");
        Boat { judged: rule::judge(&setup), code: Code::of(&source), setup }
    })
}

/// Has a card made with bytes as its template.
///
/// # Panics
/// When something does not hold.
pub fn run(bytes: &[u8]) -> Got {
    let Ok(text) = std::str::from_utf8(bytes) else { return Got::Refused };
    let Boat { setup, judged, code } = boat();
    let job = Job {
        setup,
        findings: &judged.verdict.findings,
        code: *code,
        packed: &[],
        lost: judged.lost.as_ref(),
        emergency: &judged.emergency,
        windows: &judged.windows,
    };
    let request = Request { template: Some(("own.tera".to_owned(), text.to_owned())), ..Request::default() };
    match ALL[0].scene(&job, &request) {
        Ok(scene) => {
            let again = ALL[0].scene(&job, &request).expect("what was made once is made again");
            let drawn = [&scene, &again].map(|scene| lidcard::render::svg::to_svg(scene).ok());
            assert!(drawn[0] == drawn[1], "another page from the same template");
            Got::Through
        }
        Err(why) => {
            assert!(!why.to_string().is_empty(), "a refusal without a reason");
            Got::Read
        }
    }
}

/// One of our templates, bent.
pub fn made(number: u64) -> Vec<u8> {
    static OURS: OnceLock<Vec<u8>> = OnceLock::new();
    let ours =
        OURS.get_or_init(|| std::fs::read(crate::root().join("templates/card.tera")).unwrap_or_default());
    crate::bent(&mut Chance::numbered(number), ours, WORDS)
}
