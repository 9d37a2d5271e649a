//! The page for practice: what stands in it, whom it is made for and whom not. What its script adds up is held
//! against the program by `tests/web/practice.mjs`, what a person sees of it by `tests/web/practice-person.mjs`.

use crate::help::{files_in, run};
use sha2::{Digest, Sha256};
use std::fs;

const BROKEN: &str = "tests/fixtures/mistakes/blow-reaches-gas.yaml";
const NOT_JUDGED: &str = "tests/fixtures/mistakes/vent-lets-go-somewhere.yaml";

fn page(file: &str, more: &[&str]) -> String {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("page.html").display().to_string();
    let mut args = vec!["try", file, "-o", &out];
    args.extend(more);
    let ran = run(&args);
    assert_eq!(ran.status, 0, "{file}: {}", ran.stderr);
    fs::read_to_string(out).unwrap()
}

/// What stands between an opening and the next end of an element.
fn within<'a>(page: &'a str, opening: &str, end: &str) -> &'a str {
    let from = page.find(opening).unwrap_or_else(|| panic!("no {opening}")) + opening.len();
    &page[from..from + page[from..].find(end).unwrap()]
}

#[test]
fn every_boat_has_a_page_in_every_language_small_enough_and_whole_without_scripts() {
    for file in ["boats", "tests/fixtures/clean"].iter().flat_map(|folder| files_in(folder)) {
        for (language, banner) in [("en", "PRACTICE, NOT A TRIAL"), ("de", "ÜBUNG, KEINE ERPROBUNG")] {
            let page = page(&file, &["--language", language]);
            assert!(page.len() < 300_000, "{file}: {} bytes", page.len());
            assert!(page.contains(banner), "{file}");
            let code = run(&["verify", &file]).stdout;
            let code = code.split_whitespace().find(|word| word.len() == 9 && word.contains('-')).unwrap();
            assert!(page.contains(code), "{file}: {code}");
            // The table of a boat in which nothing is worked would have no column.
            let states = run(&["states", &file, "--format", "json"]).stdout;
            let states: serde_json::Value = serde_json::from_str(&states).unwrap();
            let rows = page.split("<tbody>").nth(1).map_or(0, |body| body.matches("<tr>").count());
            let wanted = match states["effects"].as_array().unwrap().len() {
                0 => 0,
                _ => states["causes"].as_array().unwrap().len(),
            };
            assert_eq!(rows, wanted, "{file}");
            assert!(!page.contains("http:") && !page.contains("https:"), "{file} names an address");
        }
    }
}

#[test]
fn nothing_runs_in_it_but_its_own_script_and_nothing_is_asked_for() {
    let page = page("boats/moonfish.yaml", &[]);
    let policy = within(&page, "Content-Security-Policy\" content=\"", "\"");
    assert!(policy.starts_with("default-src 'none'; "), "{policy}");
    for (opening, end) in
        [("<style>", "</style>"), ("<script id=\"form\">", "</script>"), ("<script>", "</script>")]
    {
        let sum = Sha256::digest(within(&page, opening, end));
        let sum = lidcard::render::svg::base64(&sum);
        assert!(policy.contains(&format!("'sha256-{sum}'")), "{opening}");
    }
    assert!(!policy.contains("unsafe"), "{policy}");
}

#[test]
fn a_boat_with_errors_has_none_and_a_draft_says_so() {
    let home = tempfile::tempdir().unwrap();
    let out = home.path().join("page.html").display().to_string();
    let ran = run(&["try", BROKEN, "-o", &out]);
    assert_eq!(ran.status, 1, "{}", ran.stderr);
    assert!(ran.stderr.contains("no practice page made: first put right 1 error"), "{}", ran.stderr);
    assert!(!std::path::Path::new(&out).exists());
    let draft = page(BROKEN, &["--draft"]);
    assert!(draft.contains("CHECK FAILED"), "{draft}");
    assert!(draft.contains("role=\"alert\""));
    assert!(!page("boats/moonfish.yaml", &[]).contains("role=\"alert\""));
}

#[test]
fn what_is_not_judged_makes_it_provisional() {
    assert!(page(NOT_JUDGED, &[]).contains("PROVISIONAL - 5 not judged"));
    assert!(!page("boats/moonfish.yaml", &[]).contains("PROVISIONAL"));
}

#[test]
fn the_same_file_gives_the_same_page_and_the_figures_in_it_are_those_for_machines() {
    let one = page("boats/moonfish.yaml", &[]);
    assert_eq!(one, page("boats/moonfish.yaml", &[]));
    let told = page("boats/moonfish.yaml", &["--format", "json"]);
    let told: serde_json::Value = serde_json::from_str(&told).unwrap();
    let inside = within(&one, "<script type=\"application/json\" id=\"boat\">", "</script>");
    assert_eq!(serde_json::from_str::<serde_json::Value>(inside).unwrap(), told);
    let causes: Vec<_> =
        told["plays"].as_array().unwrap().iter().map(|p| p["cause"].as_str().unwrap()).collect();
    assert_eq!(causes, ["loss", "battery", "leak", "power-up", "unpowered"]);
    // Sticks at rest, the tank's two ways held.
    assert_eq!(told["plays"][0]["runs"].as_array().unwrap().len(), 3);
}

#[test]
fn what_nobody_knows_when_it_comes_is_named_and_not_played() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("late.yaml").display().to_string();
    let moonfish = fs::read_to_string("boats/moonfish.yaml").unwrap();
    for (line, causes, key) in
        [("  wait: 3 s\n", 4, "fail_safe.wait"), ("  on_loss: no pulses ", 2, "receiver.on_loss")]
    {
        assert!(moonfish.contains(line));
        fs::write(&file, moonfish.replace(line, if line.ends_with('\n') { "" } else { "  #" })).unwrap();
        let told: serde_json::Value =
            serde_json::from_str(&page(&file, &["--draft", "--format", "json"])).unwrap();
        let plays = told["plays"].as_array().unwrap();
        let named =
            plays.iter().filter(|play| play["untold"][0] == key && play["runs"] == serde_json::json!([]));
        assert_eq!((plays.len(), named.count()), (5, causes), "{key}");
    }
}

/// Ten switches that each let in a mix of their own: 1024 combinations act on one channel.
#[test]
fn switches_that_combine_in_too_many_ways_are_told_with_the_channel() {
    let mut controls = String::new();
    let mut mixes = Vec::new();
    for n in 0..10 {
        controls.push_str(&format!("  s{n}: {{kind: switch, settings: [off, full]}}\n"));
        mixes.push(format!("{{add: 1 %, of: helm, when: {{s{n}: full}}}}"));
    }
    let sprat = fs::read_to_string("boats/sprat.yaml").unwrap();
    let more = format!("dive: 80 %}}, mixes: [{}]}}", mixes.join(", "));
    let boat = sprat.replace("channels:\n  1:", &format!("{controls}channels:\n  1:"));
    let boat = boat.replace("dive: 80 %}}", &more);
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("many.yaml").display().to_string();
    let out = home.path().join("page.html").display().to_string();
    fs::write(&file, boat).unwrap();
    let ran = run(&["try", "--draft", &file, "-o", &out]);
    assert_eq!(ran.status, 2, "{}", ran.stderr);
    assert!(ran.stderr.contains("the switches on channel 2 (bow planes) can be combined"), "{}", ran.stderr);
}
