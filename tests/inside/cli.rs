//! The program as its user meets it: exit status, standard output, standard error and files.

use crate::help::{Ran, run, run_with};
use lidcard::rule::page;
use std::path::Path;

const CLEAN: &str = "boats/moonfish.yaml";
const BROKEN: &str = "tests/fixtures/mistakes/blow-reaches-gas.yaml";

#[test]
fn a_clean_boat_says_so_and_exits_with_0() {
    let ran = run(&["check", CLEAN]);
    assert_eq!(ran.status, 0, "{}{}", ran.stdout, ran.stderr);
    assert!(ran.stdout.contains("nothing found"), "{}", ran.stdout);
}

#[test]
fn an_endpoint_that_reaches_the_gas_is_shown_at_its_place_and_exits_with_1() {
    let ran = run(&["check", BROKEN]);
    assert_eq!(ran.status, 1);
    for wanted in [
        "emergency-within-reach",
        "it may open from +68 %",
        "tank: blow held fully, nothing else touched: output +71 %, 1784 us",
        "endpoint for blow: 45 % to 65 %; best 55 %",
    ] {
        assert!(ran.stdout.contains(wanted), "{wanted} in\n{}", ran.stdout);
    }
    assert!(!ran.stdout.contains('\u{1b}'), "no colour without a terminal");
}

#[test]
fn a_warning_alone_exits_with_0_and_under_strict_with_1() {
    let file = "tests/fixtures/mistakes/sense-left-out.yaml";
    assert_eq!(run(&["check", file]).status, 0);
    assert_eq!(run(&["check", "--strict", file]).status, 1);
}

#[test]
fn a_file_that_cannot_be_read_exits_with_2_even_beside_a_broken_one() {
    let ran = run(&["check", BROKEN, "tests/fixtures/no-such-boat.yaml"]);
    assert_eq!(ran.status, 2);
    assert_eq!(run(&["check", "boats"]).status, 2);
    assert_eq!(run(&["check"]).status, 2);
}

#[test]
fn a_dash_reads_standard_input() {
    let text = std::fs::read_to_string(CLEAN).unwrap();
    assert_eq!(run_with(&["check", "-"], &text).status, 0);
    assert_eq!(run_with(&["check", "-"], "").status, 2);
}

#[test]
fn a_character_that_the_font_lacks_is_shown_in_the_file() {
    let text = std::fs::read_to_string(CLEAN).unwrap().replace("name: Moonfish", "name: Moonfish 月");
    let ran = run_with(&["check", "-"], &text);
    assert_eq!(ran.status, 2);
    let all = ran.stdout + &ran.stderr;
    assert!(all.contains("U+6708") && all.contains("name: Moonfish"), "{all}");
}

#[test]
fn json_names_rule_place_margin_and_witness() {
    let ran = run(&["check", "--format", "json", BROKEN]);
    assert_eq!(ran.status, 1);
    let json: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(json["version"], 1);
    let file = &json["files"][0];
    assert_eq!(file["status"], "findings");
    let finding = &file["findings"][0];
    assert_eq!(finding["rule"], "emergency-within-reach");
    assert_eq!(finding["where"], "tank_servo.gas");
    assert_eq!(finding["line"], 91);
    assert_eq!(finding["margin"]["percent"], -5.0);
    assert_eq!(finding["margin"]["us"], -20.0);
    assert_eq!(finding["witness"]["output_percent"], 71.0);
    assert_eq!(finding["witness"]["pulse_us"], 1784.0);
}

#[test]
fn many_files_come_out_in_the_order_given_and_the_same_every_time() {
    let files = ["boats/sprat.yaml", BROKEN, CLEAN, "boats/capstan.yaml"];
    let args: Vec<&str> = ["check", "--format", "json"].into_iter().chain(files).collect();
    let first = run(&args);
    let json: serde_json::Value = serde_json::from_str(&first.stdout).unwrap();
    let names: Vec<_> =
        json["files"].as_array().unwrap().iter().map(|f| f["file"].as_str().unwrap()).collect();
    assert_eq!(names, files);
    assert_eq!(run(&args).stdout, first.stdout);
}

fn card(file: &str, out: &Path, more: &[&str]) -> Ran {
    let mut args = vec!["card", file, "-o", out.to_str().unwrap()];
    args.extend(more);
    run(&args)
}

#[test]
fn a_clean_boat_gets_a_card_with_the_same_bytes_every_time() {
    let folder = tempfile::tempdir().unwrap();
    let (one, two) = (folder.path().join("one.pdf"), folder.path().join("two.pdf"));
    assert_eq!(card(CLEAN, &one, &[]).status, 0);
    assert_eq!(card(CLEAN, &two, &[]).status, 0);
    let bytes = std::fs::read(&one).unwrap();
    assert!(bytes.starts_with(b"%PDF-1.7") && bytes.len() < 40_000);
    assert_eq!(bytes, std::fs::read(&two).unwrap());
}

#[test]
fn a_broken_boat_gets_no_card_and_what_was_there_stays() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("card.pdf");
    std::fs::write(&out, "the old card").unwrap();
    let ran = card(BROKEN, &out, &[]);
    assert_eq!(ran.status, 1);
    assert!(ran.stderr.contains("emergency-within-reach"), "{}", ran.stderr);
    assert_eq!(std::fs::read_to_string(&out).unwrap(), "the old card");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "nothing half-written is left");
}

#[test]
fn a_draft_of_a_broken_boat_says_check_failed_on_every_page() {
    let folder = tempfile::tempdir().unwrap();
    let ran = card(BROKEN, &folder.path().join("draft.svg"), &["--draft"]);
    assert!(ran.stdout.contains("a draft marked on every page"), "{}", ran.stdout);
    let pages: Vec<_> = std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().path()).collect();
    assert!(!pages.is_empty());
    for page in pages {
        let svg = std::fs::read_to_string(&page).unwrap();
        assert!(svg.contains(">CHECK FAILED<"), "{}", page.display());
    }
}

#[test]
fn a_draft_never_asks_for_what_its_check_forbids() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("boat.yaml");
    let text = std::fs::read_to_string(BROKEN).unwrap();
    let given = "  emergency:                     # judged, and on every page in the largest letters\n    - {hold: tank.blow, until: up}\n    - {switch_off: transmitter, until: up}\n";
    assert!(text.contains(given));
    let html = |text: &str, more: &[&str]| {
        std::fs::write(&file, text).unwrap();
        let out = folder.path().join("card.html");
        let ran = card(file.to_str().unwrap(), &out, &[&["--format", "html"], more].concat());
        assert_eq!(ran.status, 0, "{}{}", ran.stdout, ran.stderr);
        std::fs::read_to_string(&out).unwrap()
    };
    for (text, told) in [
        (text.clone(), "Step 1 of the file failed the check"),
        (text.replace(given, ""), "One step is not printed: what it asks for is what failed the check"),
    ] {
        let page = html(&text, &["--draft"]);
        assert!(page.contains(told) && !page.contains("Hold REAR LEFT"), "{told}: {page}");
        let page = html(&text.replace("blow: 71 %", "blow: 55 %"), &[]);
        assert!(!page.contains(told) && page.contains("Hold REAR LEFT"), "{told}: {page}");
    }
    // With the transmitter off the unit would blow her up, and drive her.
    let moonfish = std::fs::read_to_string("boats/moonfish.yaml").unwrap();
    let driven = moonfish.replace("set: {3: 0 %, 4: +104 %}", "set: {3: +40 %, 4: +104 %}");
    for (text, asks, more) in [(moonfish, true, &[][..]), (driven, false, &["--draft"])] {
        let page = html(&text, more);
        assert_eq!(page.contains("transmitter OFF"), asks, "{page}");
        assert_eq!(page.contains("Step 2 of the file failed the check"), !asks, "{page}");
        assert!(page.contains("Hold REAR LEFT") && !page.contains("Nothing on board is sure"), "{page}");
    }
}

#[test]
fn a_card_that_does_not_fit_says_what_and_where_it_would() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("card.pdf");
    let ran = card(CLEAN, &out, &["--size", "40x30"]);
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("does not fit") || ran.stderr.contains("do not fit"), "{}", ran.stderr);
    assert!(ran.stderr.contains("105"), "{}", ran.stderr);
    assert!(!out.exists());
}

#[test]
fn a_reader_of_inches_is_offered_sizes_in_inches_that_can_be_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("card.pdf");
    let ran = card(CLEAN, &out, &["--size", "2x2in", "--units", "us"]);
    assert_eq!(ran.status, 2);
    let help = ran.stderr.split("fits: ").nth(1).unwrap();
    assert!(!help.contains("mm"), "{}", ran.stderr);
    for size in help.split([',', ' ', '\n']).filter(|word| word.ends_with("in")) {
        assert_eq!(card(CLEAN, &out, &["--size", size, "--units", "us"]).status, 0, "{size}");
    }
    assert!(out.exists(), "{}", ran.stderr);
}

#[test]
fn a_card_that_cannot_be_written_does_not_hide_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    // In the way of one card, and nothing that a card may be written over.
    std::fs::create_dir_all(out.join("sprat-card.pdf/in the way")).unwrap();
    let boats = ["boats/capstan.yaml", "boats/sprat.yaml", "boats/moonfish.yaml"];
    let ran = run(&["card", boats[0], boats[1], boats[2], "-o", &out.display().to_string()]);
    assert_eq!(ran.status, 2);
    let wrote = |name: &str| ran.stdout.contains(&format!("wrote {}", out.join(name).display()));
    assert!(wrote("capstan-card.pdf") && wrote("moonfish-card.pdf"), "{}", ran.stdout);
    assert!(!wrote("sprat-card.pdf"), "{}", ran.stdout);
    let failures = ran.stderr.lines().filter(|line| line.contains("cannot write")).count();
    assert!(failures == 1 && ran.stderr.contains("sprat-card.pdf"), "{}", ran.stderr);
}

#[test]
fn two_boat_files_that_would_become_one_card_are_refused_by_name_before_anything_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).display().to_string();
    for sub in ["a", "b", "out"] {
        std::fs::create_dir(at(sub)).unwrap();
    }
    std::fs::copy(CLEAN, at("a/boat.yaml")).unwrap();
    std::fs::copy("boats/sprat.yaml", at("b/boat.yaml")).unwrap();
    let (one, two, out) = (at("a/boat.yaml"), at("b/boat.yaml"), at("out"));
    let ran = run(&["card", &one, CLEAN, &two, "-o", &out]);
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains(&format!("{one} and {two} would both become")), "{}", ran.stderr);
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), 0);
    assert_eq!(run(&["card", &one, CLEAN, "-o", &out]).status, 0);
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), 2);
}

#[test]
fn a_card_never_takes_the_place_of_its_boat_file() {
    let folder = tempfile::tempdir().unwrap();
    let boat = folder.path().join("boat.yaml").display().to_string();
    std::fs::copy(CLEAN, &boat).unwrap();
    let ran = run(&["card", &boat, "-o", &boat]);
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("is the boat file"), "{}", ran.stderr);
    assert_eq!(std::fs::read(&boat).unwrap(), std::fs::read(CLEAN).unwrap());
}

#[test]
fn a_card_speaks_the_language_and_has_the_size_in_inches_that_were_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let ran = card(CLEAN, &folder.path().join("card.svg"), &["--size", "6x4in", "--language", "de"]);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    let pages = std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().path());
    let pages: Vec<_> = pages.map(|page| std::fs::read_to_string(page).unwrap()).collect();
    assert!(pages.iter().any(|page| page.contains("BEI SIGNALVERLUST")));
    assert!(pages.iter().all(|page| page.contains("width=\"152.4mm\" height=\"101.6mm\"")));
    let ran = card(CLEAN, &folder.path().join("none.pdf"), &["--language", "latin"]);
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("take en or de"), "{}", ran.stderr);
}

#[test]
fn a_mistake_in_a_template_is_shown_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let template = folder.path().join("mine.tera");
    std::fs::write(&template, "page:\n  {{ boat.nmae | }}\n").unwrap();
    let out = folder.path().join("card.pdf");
    let ran = card(CLEAN, &out, &["--template", template.to_str().unwrap()]);
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("mine.tera:2"), "{}", ran.stderr);
    assert!(!out.exists());
}

#[test]
fn a_template_that_loops_for_ever_is_stopped() {
    let folder = tempfile::tempdir().unwrap();
    let template = folder.path().join("endless.tera");
    let nest = "{% for a in range(end=100000) %}".repeat(4) + "x" + &"{% endfor %}".repeat(4);
    std::fs::write(&template, nest).unwrap();
    let out = folder.path().join("card.pdf");
    let ran = card(CLEAN, &out, &["--template", template.to_str().unwrap()]);
    assert_eq!(ran.status, 2);
    assert!(!out.exists());
}

#[test]
fn every_mistake_fixture_is_caught_by_the_rule_it_names() {
    for entry in std::fs::read_dir("tests/fixtures/mistakes").unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        let json: serde_json::Value =
            serde_json::from_str(&run(&["check", "--format", "json", path.to_str().unwrap()]).stdout)
                .unwrap();
        let entries = |key: &str| json["files"][0][key].as_array().cloned().unwrap_or_default();
        let rules = |entries: Vec<serde_json::Value>, kept: fn(&serde_json::Value) -> bool| {
            let kept = entries.into_iter().filter(kept).map(|f| f["rule"].as_str().unwrap().to_string());
            kept.collect::<std::collections::BTreeSet<_>>()
        };
        let open = |f: &serde_json::Value| f["accepted"].is_null() && f["outcome"] != "not judged";
        let found = [rules(entries("findings"), open), rules(entries("not_judged"), |_| true)];
        let mut wanted = [const { std::collections::BTreeSet::new() }; 2];
        for line in text.lines().filter_map(|line| line.strip_prefix("# expect: ")) {
            let (open, line) = line.strip_prefix("not judged ").map_or((0, line), |line| (1, line));
            wanted[open].extend(line.split(' ').next().map(str::to_owned));
        }
        assert!(wanted.iter().any(|rules| !rules.is_empty()), "{}", path.display());
        assert_eq!(found, wanted, "{}", path.display());
    }
}

#[test]
fn every_rule_is_shown_by_a_fixture_and_absent_from_the_clean_boats() {
    let mut shown = std::collections::BTreeSet::new();
    for entry in std::fs::read_dir("tests/fixtures/mistakes").unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        let expected = text.lines().filter_map(|l| l.strip_prefix("# expect: "));
        for line in expected.filter(|line| !line.starts_with("not judged ")) {
            shown.extend(line.split(' ').next().map(str::to_string));
        }
    }
    for rule in lidcard::rule::ALL {
        assert!(shown.contains(rule.name), "no fixture shows {}", rule.name);
    }
    for boat in ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml"] {
        assert_eq!(run(&["check", "--strict", boat]).status, 0, "{boat}");
    }
    for entry in std::fs::read_dir("tests/fixtures/clean").unwrap() {
        let path = entry.unwrap().path();
        let ran = run(&["check", "--strict", path.to_str().unwrap()]);
        assert_eq!(ran.status, 0, "{}: {}", path.display(), ran.stdout);
    }
}

#[test]
fn explain_lists_every_rule_and_prints_its_page() {
    let list = run(&["explain"]);
    assert_eq!(list.status, 0, "{}", list.stderr);
    for rule in lidcard::rule::ALL {
        assert!(list.stdout.contains(&format!("{} ", rule.name)), "{} in\n{}", rule.name, list.stdout);
        let page = run(&["explain", rule.name]);
        assert_eq!(page.status, 0, "{}", page.stderr);
        assert!(page.stdout.starts_with(&format!("{}\n===", rule.name)), "{}", page.stdout);
        let broken = format!("{}:\n\n    lidcard: 1\n", page::examples(rule.text)[0].0);
        for part in ["What is wrong\n----", &broken, "cured:\n\n    lidcard: 1\n"] {
            assert!(page.stdout.contains(part), "{part} in\n{}", page.stdout);
        }
        let prose = page.stdout.lines().filter(|line| !line.starts_with("    "));
        assert!(prose.clone().all(|line| line.chars().count() <= 80), "{}", page.stdout);
        assert!(!page.stdout.contains("```") && !page.stdout.contains("\n#"), "{}", page.stdout);
    }
    let faults = run(&["explain", "faults"]);
    assert_eq!(faults.status, 0);
    assert!(faults.stdout.contains("\n  1. "), "{}", faults.stdout);
}

#[test]
fn explain_tells_of_keys_and_terms_and_offers_the_near_one() {
    let list = run(&["explain", "keys"]);
    assert_eq!(list.status, 0, "{}", list.stderr);
    assert!(list.stdout.contains("channels.NUMBER.mixes  What else is mixed in."), "{}", list.stdout);
    let page = run(&["explain", "mixes"]);
    assert_eq!(page.status, 0, "{}", page.stderr);
    for part in ["mixes\n=====\n", "- left out: nothing is mixed in\n", "mixes: [{add: 15 %, of: helm}]"] {
        assert!(page.stdout.contains(part), "{part} in\n{}", page.stdout);
    }
    assert!(!page.stdout.contains("```") && !page.stdout.contains("\n#"), "{}", page.stdout);
    let axis = run(&["explain", "axis"]).stdout;
    // A term and a key of one name: what both say.
    for part in [
        "lies: 0 % is the",
        "- left out: percent is taken to be of the pulse of the set",
        "axis: {rest: 1500 us",
    ] {
        assert!(axis.contains(part), "{part} in\n{axis}");
    }
    // A word of the trade for what the file calls otherwise, and a command.
    for (word, part) in
        [("EPA", "endpoints: {port: 95 %"), ("tow hook", "kind: release"), ("rehearse", "--help")]
    {
        let page = run(&["explain", word]).stdout;
        assert!(page.contains(part), "{part} in\n{page}");
    }
    let near = run(&["explain", "mixxes"]);
    assert_eq!(near.status, 2);
    assert!(near.stderr.contains("did you mean `mixes`?"), "{}", near.stderr);
}

#[test]
fn explain_of_an_unknown_rule_offers_the_near_one_and_exits_with_2() {
    let ran = run(&["explain", "beyond-stops"]);
    assert_eq!((ran.status, ran.stdout.as_str()), (2, ""));
    assert!(
        ran.stderr.contains("no rule, key or term `beyond-stops`; did you mean `beyond-stop`?"),
        "{}",
        ran.stderr
    );
    let ran = run(&["explain", "porridge"]);
    assert_eq!(ran.status, 2);
    assert!(!ran.stderr.contains("did you mean"), "{}", ran.stderr);
}

#[test]
fn only_a_report_with_findings_points_to_explain() {
    let hint = "`lidcard explain RULE` tells more\n";
    assert!(run(&["check", BROKEN]).stdout.ends_with(hint));
    assert!(!run(&["check", CLEAN]).stdout.contains(hint));
}

/// Sprat as she is, and again under other names on other frequencies.
fn pond_of(others: &[(&str, &str)]) -> (tempfile::TempDir, Vec<String>) {
    let folder = tempfile::tempdir().unwrap();
    let sprat = std::fs::read_to_string("boats/sprat.yaml").unwrap();
    let files = others.iter().map(|(name, frequency)| {
        let text = sprat.replace("name: Sprat", &format!("name: {name}"));
        let file = folder.path().join(format!("{name}.yaml"));
        std::fs::write(&file, text.replace("40.665 MHz", frequency).replace("  region: europe\n", ""))
            .unwrap();
        file.to_str().unwrap().to_owned()
    });
    let files = files.collect();
    (folder, files)
}

fn pond(files: &[String], more: &[&str]) -> Ran {
    let args: Vec<&str> =
        ["pond"].into_iter().chain(files.iter().map(String::as_str)).chain(more.iter().copied()).collect();
    run(&args)
}

#[test]
fn a_pond_without_conflicts_is_a_table_by_frequency_and_exits_with_0() {
    let (_folder, files) = pond_of(&[("Zander", "41.060 MHz"), ("Eel", "41.020 MHz")]);
    let ran = pond(&files, &[]);
    assert_eq!(ran.status, 0, "{}{}", ran.stdout, ran.stderr);
    let at = |text: &str| ran.stdout.find(text).unwrap();
    assert!(at("41.020 MHz   Eel") < at("41.060 MHz   Zander"), "{}", ran.stdout);
    assert!(ran.stdout.ends_with("no conflict among 2 boats; check your own country's rules\n"));
}

/// The example known in the trade: 41.060 and 41.100 MHz come up on 41.020 and on 41.140.
#[test]
fn two_boats_that_mix_onto_a_third_exit_with_1() {
    for (victim, sum) in
        [("41.020 MHz", "2 x 41.060 - 41.100 MHz"), ("41.140 MHz", "2 x 41.100 - 41.060 MHz")]
    {
        let (_folder, files) = pond_of(&[("Roach", "41.060 MHz"), ("Tench", "41.100 MHz"), ("Eel", victim)]);
        let ran = pond(&files, &["--format", "json"]);
        assert_eq!(ran.status, 1, "{}{}", ran.stdout, ran.stderr);
        let json: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
        let conflicts = json["conflicts"].as_array().unwrap();
        assert!(conflicts.iter().all(|c| c["kind"] == "intermodulation"), "{}", ran.stdout);
        let boats = json["boats"].as_array().unwrap();
        let eel = boats.iter().position(|b| b["boat"] == "Eel").unwrap();
        let hit = conflicts.iter().find(|c| c["boats"][0] == eel).unwrap();
        assert_eq!(hit["sums"], serde_json::json!([sum]));
    }
}

#[test]
fn a_pond_says_which_files_are_missing_and_exits_with_2() {
    let (_folder, mut files) = pond_of(&[("Roach", "41.060 MHz"), ("Tench", "41.060 MHz")]);
    files.push("no/such/boat.yaml".to_owned());
    let ran = pond(&files, &[]);
    assert_eq!(ran.status, 2);
    assert!(ran.stdout.contains("Roach and Tench are both on 41.060 MHz"), "{}", ran.stdout);
    assert!(ran.stdout.contains("1 conflict among 2 boats; 1 file could not be read"), "{}", ran.stdout);
}

#[test]
fn all_reverses_that_are_to_be_flipped_are_named_together() {
    let text = std::fs::read_to_string(CLEAN)
        .unwrap()
        .replace("longer: starboard ", "longer: port ")
        .replace("longer: rise", "longer: dive")
        .replace("    measured: {rise: 1840 us, dive: 1160 us}\n", "");
    let ran = run_with(&["check", "-"], &text);
    assert_eq!(ran.status, 1);
    assert_eq!(ran.stdout.matches("flip reverse on channels 1 and 2 together").count(), 1, "{}", ran.stdout);
}

#[test]
fn a_linkage_that_no_reverse_puts_right_is_called_one() {
    // Both planes on one channel, one of them with its rod on the wrong side of the horn.
    let text = std::fs::read_to_string(CLEAN).unwrap().replace(
        "  motor_esc:",
        "  port_servo: {kind: servo, channel: 2, stops: [-115 %, +115 %], effects: {longer: bow dips, shorter: bow rises}}\n  motor_esc:",
    );
    let ran = run_with(&["check", "-"], &text);
    assert_eq!(ran.status, 1);
    assert!(ran.stdout.contains("no set of reverses puts"), "{}", ran.stdout);
}

#[test]
fn a_line_of_the_order_that_makes_no_difference_is_not_asked_for() {
    let ran = run(&["check", "tests/fixtures/mistakes/one-way-motor-on-a-stick.yaml"]);
    assert!(!ran.stdout.contains("this hangs on"), "{}", ran.stdout);
}

#[test]
fn causes_and_effects_come_as_a_table_and_as_json() {
    let ran = run(&["states", CLEAN]);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    assert!(ran.stdout.contains("tank: blow held fully"), "{}", ran.stdout);
    assert!(!ran.stdout.contains('\u{1b}'), "no colour");
    let ran = run(&["states", CLEAN, "--format", "json"]);
    let json: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(json["version"], 1);
    let columns = json["effects"].as_array().unwrap().len();
    let causes = json["causes"].as_array().unwrap();
    assert!(causes.iter().all(|c| c["marks"].as_array().unwrap().len() == columns));
    assert_eq!(run(&["states", "tests/fixtures/no-such-boat.yaml"]).status, 2);
}

#[test]
fn the_schema_is_the_one_in_the_repository() {
    let ran = run(&["schema"]);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    assert_eq!(ran.stdout, std::fs::read_to_string("tests/golden/boat-file.schema.json").unwrap());
}

#[test]
fn a_preset_at_rest_is_half_speed_for_a_controller_that_knows_one_way() {
    let text = std::fs::read_to_string("boats/sprat.yaml")
        .unwrap()
        .replace("still_between: [-5 %, +5 %]", "one_way: yes, still_between: [-135 %, -90 %]")
        .replace("endpoints: {astern: 50 %", "endpoints: {astern: 100 %");
    let ran = run_with(&["check", "--format", "short", "-"], &text);
    assert!(ran.stdout.contains("motor-runs-on-loss"), "{}", ran.stdout);
    assert!(!ran.stdout.contains("one-way-controller"), "right back the lever stops it: {}", ran.stdout);
    let stopped = text.replace("{3: 0 %,", "{3: -100 %,");
    let ran = run_with(&["check", "--format", "short", "-"], &stopped);
    assert_eq!(ran.status, 0, "{}", ran.stdout);
}

#[test]
fn what_could_not_be_judged_for_want_of_a_key_is_told_beside_the_findings() {
    let folder = tempfile::tempdir().unwrap();
    let whole = std::fs::read_to_string(CLEAN).unwrap();
    let without = folder.path().join("without.yaml");
    std::fs::write(&without, whole.replace(", hole: 0.5 mm", "")).unwrap();
    let told = |path: &str| run(&["check", path]).stdout;
    let (complete, lacking) = (told(CLEAN), told(without.to_str().unwrap()));
    assert!(!complete.contains("not judged"), "{complete}");
    assert!(lacking.contains("not judged in full") && lacking.contains("tank_servo.gas.hole"), "{lacking}");
    let json = run(&["check", "--format", "json", without.to_str().unwrap()]).stdout;
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["files"][0]["wanting"][0], "tank.emptied_by.tank_servo.gas.hole");
}

#[test]
fn a_boat_file_alone_is_checked_and_gets_its_card_beside_it_where_it_is_clean() {
    let folder = tempfile::tempdir().unwrap();
    let names = || {
        let all =
            std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap());
        all.collect::<std::collections::BTreeSet<_>>()
    };
    let put = |from: &str, name: &str| {
        let path = folder.path().join(name);
        std::fs::copy(from, &path).unwrap();
        path.display().to_string()
    };
    let broken = put(BROKEN, "broken.yaml");
    let ran = run(&[&broken]);
    assert_eq!((ran.status, names().len()), (1, 1));
    assert!(
        ran.stderr.contains("emergency-within-reach") && ran.stderr.contains("no card made"),
        "{}",
        ran.stderr
    );
    let ran = run(&[&put(CLEAN, "clean.yaml")]);
    // Whoever dropped it asked for a verdict as well.
    assert!(ran.status == 0 && ran.stderr.contains("clean.yaml: nothing found; "), "{}", ran.stderr);
    assert!(ran.stdout.starts_with("wrote ") && names().contains("clean-card.pdf"), "{}", ran.stdout);
}

#[test]
fn a_shell_and_a_manual_know_every_command_from_its_one_description() {
    let help = run(&["--help"]).stdout;
    let listed = help.split("Commands:").nth(1).unwrap().split("\n\n").next().unwrap();
    let commands: Vec<&str> =
        listed.lines().filter_map(|l| l.strip_prefix("  ")?.split(' ').next()).collect();
    let commands: Vec<&str> = commands.into_iter().filter(|name| !name.is_empty()).collect();
    assert!(commands.len() > 12, "{commands:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = run(&["completions", shell]);
        assert_eq!((ran.status, ran.stderr.as_str()), (0, ""), "{shell}");
        for name in &commands {
            assert!(ran.stdout.contains(name), "{shell} knows no {name}");
        }
    }
    let whole = run(&["man"]).stdout;
    for name in &commands {
        assert!(whole.contains(&format!("lidcard\\-{name}(1)")), "{name} in\n{whole}");
        let page = run(&["man", name]);
        assert!(
            page.status == 0 && page.stdout.contains(&format!("lidcard {name}")),
            "{name}: {}",
            page.stdout
        );
    }
    let unknown = run(&["man", "cheque"]);
    assert!(unknown.status == 2 && unknown.stderr.contains("there is no command `cheque`: take one of"));
}

#[test]
fn a_wrong_sign_of_a_mix_is_told_at_the_mix_and_no_reverse_is_to_be_flipped() {
    let file = "tests/fixtures/mistakes/mix-of-the-wrong-sign.yaml";
    let ran = run(&["check", file]);
    assert!(ran.stdout.contains("`add: 45 %` of helm on channel 1"), "{}", ran.stdout);
    assert!(
        ran.stdout.contains("this adds to the wrong side") && !ran.stdout.contains("flip reverse"),
        "{}",
        ran.stdout
    );
    // A channel that is wrong as a whole is reversed, not mixed wrongly.
    let ran = run(&["check", "tests/fixtures/mistakes/one-tail-surface-reversed.yaml"]);
    assert!(
        ran.stdout.contains("flip reverse on channel 2 alone") && !ran.stdout.contains("sign"),
        "{}",
        ran.stdout
    );
}

#[test]
fn a_rehearsal_of_power_on_says_beside_its_estimate_what_is_proved_of_it() {
    let file = "tests/fixtures/mistakes/noise-fires-the-gun.yaml";
    let ran = run(&["rehearse", "--cause", "power-up", file]);
    let proved = ran.stdout.split("proved, wherever servos stood before").nth(1).unwrap();
    assert!(proved.contains("may:") && proved.contains("(fire)"), "{}", ran.stdout);
    // No motor has run before there was power, and of a lost link another table tells.
    let ran = run(&["rehearse", "--cause", "power-up", CLEAN]);
    assert!(ran.stdout.contains("surely:") && !ran.stdout.contains("motor_esc stands"), "{}", ran.stdout);
    let ran = run(&["rehearse", CLEAN]);
    assert!(!ran.stdout.contains("wherever servos stood before"), "{}", ran.stdout);
}

#[test]
fn what_hangs_on_one_word_of_a_file_is_no_long_story() {
    let ran = run(&["check", "tests/fixtures/report/noise-and-much-on-board.yaml"]);
    let of_it = ran.stdout.split("`receiver.on_loss`: ").nth(1).unwrap_or_else(|| panic!("{}", ran.stdout));
    let count: usize = of_it.split(' ').next().unwrap().parse().unwrap();
    let told = of_it.split("\nerror: ").nth(1).unwrap();
    assert!(count >= 15 && told.lines().count() < 60, "{count} in {} lines:\n{told}", told.lines().count());
    assert!(told.contains("likewise: servo_6.thing_6 (line"), "{told}");
}
