//! The papers of a boat of which not everything was measured, and which is handed over with work left to do.

use crate::help::{files_in, looked_at};
use lidcard::document::card::Card;
use lidcard::document::guide::Guide;
use lidcard::document::labels::Labels;
use lidcard::document::sheet::BenchSheet;
use lidcard::document::{Document, Job, Request};
use lidcard::finding::Outcome;
use lidcard::fingerprint::{Code, pack};
use lidcard::language;
use lidcard::render::{Item, Page, Scene};
use lidcard::rule::{self, Windows};
use lidcard::source::Source;

/// Moonfish without some of her figures, each named by its device and its key.
fn without(figures: &[[&str; 2]]) -> String {
    let text = std::fs::read_to_string("boats/moonfish.yaml").expect("readable");
    let mut lines: Vec<&str> = text.lines().collect();
    for [device, key] in figures {
        let begins = lines.iter().position(|line| line.trim() == format!("{device}:")).expect("the device");
        let behind = lines[begins..].iter().position(|line| line.trim_start().starts_with(key));
        lines.remove(begins + behind.expect("the figure"));
    }
    lines.iter().map(|line| format!("{line}\n")).collect()
}

const STOPS: [&str; 2] = ["bow_servo", "stops:"];
const ACCURACY: [&str; 2] = ["rudder_servo", "accuracy:"];
const LEFT: &str =
    "  left_to_owner: [fit the tank servo, measure how exactly it repeats, fill the gas bottle]\n";

fn page_of(document: &dyn Document, text: &str, labels: &Labels) -> Scene {
    let source = Source::from_text("boat.yaml", text).expect("YAML");
    let setup = lidcard::setup::lower::lower(&source).expect("understood");
    let judged = rule::judge(&setup);
    let (code, packed) = (Code::of(&source), pack(&source));
    let (findings, emergency) = (&judged.verdict.findings[..], &judged.emergency[..]);
    let job = Job {
        setup: &setup,
        findings,
        code,
        packed: &packed,
        lost: None,
        emergency,
        windows: &Windows::default(),
    };
    let request = Request { labels: Some(labels.clone()), ..Request::default() };
    document.scene(&job, &request).expect("pages")
}

fn words(page: &Page) -> String {
    let text = |item: &Item| if let Item::Text(t) = item { Some(t.text.clone()) } else { None };
    page.items.iter().filter_map(text).collect::<Vec<_>>().join(" ").replace('\u{a0}', " ")
}

fn unjudged(text: &str) -> Vec<String> {
    let source = Source::from_text("boat.yaml", text).expect("YAML");
    let setup = lidcard::setup::lower::lower(&source).expect("understood");
    let judged = rule::judge(&setup);
    let open = judged.verdict.findings.iter().filter(|f| f.outcome == Outcome::NotJudged);
    open.flat_map(|f| &f.missing).map(|missing| missing.path.0.join(", ").replace('_', " ")).collect()
}

#[test]
fn the_sheet_begins_with_what_is_not_judged_and_how_the_bench_finds_it() {
    let text = without(&[STOPS, ACCURACY]);
    let sheet = words(&page_of(&BenchSheet, &text, &Labels::english()).pages[0]);
    let keys = unjudged(&text);
    assert!(keys.len() > 1, "{keys:?}");
    let (first, cautions) = (sheet.find("Not judged: measure this first"), sheet.find("Before anything is"));
    assert!(first.is_some() && first < cautions, "{sheet}");
    let listed = &sheet[first.expect("there")..cautions.expect("there")];
    for key in &keys {
        // A row for each figure, however many checks hang on it.
        assert_eq!(listed.matches(key.as_str()).count(), 1, "{key}: {listed}");
    }
    for order in
        ["Creep outwards on each side", "Bring it to one position twenty times", "never against a stop"]
    {
        assert!(listed.contains(order), "`{order}`: {listed}");
    }
    let whole = words(&page_of(&BenchSheet, &without(&[]), &Labels::english()).pages[0]);
    assert!(!whole.contains("Not judged"), "{whole}");
}

#[test]
fn every_figure_that_can_be_left_out_has_its_order_for_the_bench_in_every_language() {
    // Whatever a file may leave out, one after the other: the report tells in English how it is found, and no
    // paper in another language falls back to that.
    let german = Labels::of(language::ALL[1].1);
    let mut asked = 0;
    for file in files_in("boats") {
        let text = std::fs::read_to_string(&file).expect("readable");
        let lines: Vec<&str> = text.lines().collect();
        for cut in [
            "accuracy:",
            "stops:",
            "trim:",
            "releases:",
            "still_between:",
            "without_pulses:",
            "wants:",
            "effects:",
            "wait:",
            "takes:",
            "furthest:",
            "on_loss:",
            "notices:",
            "tried:",
            "until_it_acts:",
            "after:",
            "longest:",
            "must_run:",
            "sinks_in:",
            "correction:",
            "clicks:",
            "corrects:",
        ] {
            let Some(at) = lines.iter().position(|line| line.trim_start().starts_with(cut)) else { continue };
            let rest =
                lines.iter().enumerate().filter(|(n, _)| *n != at).map(|(_, line)| format!("{line}\n"));
            let text: String = rest.collect();
            let source = Source::from_text("boat.yaml", &text).expect("YAML");
            let Ok(setup) = lidcard::setup::lower::lower(&source) else { continue };
            let judged = rule::judge(&setup);
            let open = judged.verdict.findings.iter().filter(|f| f.outcome == Outcome::NotJudged);
            let orders: Vec<&str> =
                open.flat_map(|f| &f.missing).map(|missing| missing.bench.as_str()).collect();
            if orders.is_empty() {
                continue;
            }
            let said: String =
                page_of(&BenchSheet, &text, &german).pages.iter().map(words).collect::<Vec<_>>().join(" ");
            for order in orders {
                let begins: String = order.chars().take(30).collect();
                assert!(!said.contains(&begins), "{file} without {cut} says in English: {order}");
                asked += 1;
            }
        }
    }
    assert!(asked > 10, "only {asked} figures were asked for");
}

#[test]
fn what_is_left_to_the_owner_comes_before_all_else_with_a_hold_point_after_each_step() {
    let text = without(&[STOPS, ACCURACY]) + LEFT;
    for (labels, halt, never) in [
        (
            Labels::english(),
            "HALT Do not go on before step 2 is done and signed. date: initials:",
            "What each control does",
        ),
        (
            Labels::of(language::ALL[1].1),
            "HALT Nicht weiter, bevor Schritt 2 getan und abgezeichnet ist. Datum: Zeichen:",
            "Was jeder Geber tut",
        ),
    ] {
        let guide = page_of(&Guide, &text, &labels);
        let first = words(&guide.pages[2]);
        let at = |what: &str| first.find(what).unwrap_or_else(|| panic!("`{what}` is not in {first}"));
        assert!(at("fit the tank servo") < at("measure how exactly it repeats"));
        assert!(at("measure how exactly it repeats") < at(halt) && at(halt) < at("fill the gas bottle"));
        assert!(!first.contains(never), "{first}");
        // The mark is across that page as across every other, and in the title.
        let across =
            |page: &Page| page.items.iter().any(|i| matches!(i, Item::Text(t) if t.outline.is_some()));
        assert!(guide.pages.iter().all(across));
    }
    let done = page_of(&Guide, &without(&[]), &Labels::english());
    assert!(!done.pages.iter().any(|page| words(page).contains("HALT")));
}

#[test]
fn a_provisional_card_says_so_in_its_foot_and_across_every_page() {
    let card = page_of(&Card, &without(&[STOPS, ACCURACY]), &Labels::english());
    for page in &card.pages {
        let said = words(page);
        assert!(said.contains("PROVISIONAL - ") && said.contains("not judged"), "{said}");
        assert!(page.items.iter().any(|item| matches!(item, Item::Text(t) if t.outline.is_some())), "{said}");
    }
    assert!(card.title.starts_with("PROVISIONAL"), "{}", card.title);
    let whole = page_of(&Card, &without(&[]), &Labels::english());
    assert!(!whole.pages.iter().any(|page| words(page).contains("PROVISIONAL")));
}

#[test]
fn a_step_that_nobody_could_judge_is_not_said_to_have_failed() {
    let of =
        |text: &str| page_of(&Card, text, &Labels::english()).pages.iter().map(words).collect::<String>();
    let whole = without(&[]);
    let open = of(&whole.replace("  notices: no pulses\n", ""));
    assert!(open.contains("Step 2 of the file is not judged, for want of figures"), "{open}");
    assert!(!open.contains("transmitter OFF"), "{open}");
    let sinks = of(&whole.replace("{hold: tank.blow, until: up}", "{hold: tank.flood, until: up}"));
    assert!(sinks.contains("Step 1 of the file failed the check"), "{sinks}");
    assert!(!of(&whole).contains("of the file"));
}

#[test]
fn the_pages_of_an_unfinished_boat_are_those_that_were_looked_at() {
    let text = without(&[STOPS, ACCURACY]) + LEFT;
    let pages = [
        ("left-to-owner", page_of(&Guide, &text, &Labels::english()).pages.swap_remove(2)),
        ("not-judged", page_of(&BenchSheet, &text, &Labels::english()).pages.swap_remove(0)),
    ];
    for (name, page) in pages {
        looked_at(name, page);
    }
}
