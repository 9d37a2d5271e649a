//! Files made to do harm: none brings the program down, none takes another boat's report or file with
//! it, and none speaks to the terminal.

use crate::help::run;
use std::fs;

/// A folder with these files.
fn home(files: &[(&str, &[u8])]) -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        fs::write(home.path().join(name), bytes).unwrap();
    }
    home
}

fn at(home: &tempfile::TempDir, name: &str) -> String {
    home.path().join(name).display().to_string()
}

/// Every command that prints an excerpt, with one file.
fn readers(file: &str) -> Vec<Vec<&str>> {
    let mut all: Vec<Vec<&str>> =
        ["check", "card", "guide", "sheet", "endpoints", "states", "rehearse", "verify", "pond", "handover"]
            .iter()
            .map(|command| vec![*command, file])
            .collect();
    all.push(vec!["check", "--format", "short", file]);
    all.push(vec!["check", "--format", "sarif", file]);
    all
}

#[test]
fn a_mark_far_out_in_a_line_costs_no_other_boat_its_report() {
    let far = format!("lidcard: 1\nboat: {{{}nam: x}}\n", " ".repeat(66_000));
    let long = format!("lidcard: 1\nboat: {{{}: x}}\n", "n".repeat(66_000));
    let quoted = format!("lidcard: 1\nboat: {{name: \"{}\"}}\nchannels: 3\n", "\u{65e5}".repeat(66_000));
    for text in [far, long, quoted] {
        let home = home(&[("bad.yaml", text.as_bytes())]);
        let bad = at(&home, "bad.yaml");
        let ran = run(&["check", &bad, "boats/sprat.yaml"]);
        assert_eq!(ran.status, 2, "{}", ran.stderr);
        assert!(ran.stdout.contains("boats/sprat.yaml: "), "{}", ran.stdout);
        let longest = ran.stdout.lines().map(|line| line.chars().count()).max();
        assert!(longest < Some(500), "{longest:?} characters in a line");
        for args in readers(&bad) {
            let ran = run(&args);
            assert_eq!(ran.status, 2, "{args:?}: {}", ran.stderr);
            assert!(!ran.stderr.contains("program itself"), "{args:?}: {}", ran.stderr);
        }
    }
}

#[test]
fn a_line_that_nobody_reads_to_its_end_is_shown_around_its_mark() {
    let text = format!("lidcard: 1\nboat: {{name: Newt, workshop: {}, nam: x}}\n", "w".repeat(240));
    let home = home(&[("long.yaml", text.as_bytes())]);
    let ran = run(&["check", &at(&home, "long.yaml")]);
    let line =
        ran.stdout.lines().find(|line| line.contains("nam: x")).unwrap_or_else(|| panic!("{}", ran.stdout));
    assert!(line.contains("...www") && line.len() < 120, "{line}");
}

/// Everything that would steer a terminal or turn its line about, raw, as a comment, key and text may
/// hold it, or escaped in YAML.
const STEERING: [&str; 6] = [
    "boat: {name: \"a\\e[2Jb\"}\n",
    "boat: {\"na\\e]0;gone\\ame\": x}\n",
    "boat: {name: \"a\\u202eb\"} # \u{202e}\n",
    "boat: {nam\u{200b}e: x}\n",
    "boat: {name: \"\\x9b31m\"}\nchannels: \"\\u2066\"\n",
    "boat: {name: [\u{feff}\n",
];

#[test]
fn nothing_of_a_file_or_its_name_speaks_to_the_terminal() {
    let steers = |text: &str| {
        text.chars().find(|c| (c.is_control() && *c != '\n') || ('\u{200b}'..='\u{206f}').contains(c))
    };
    for text in STEERING {
        let text = format!("lidcard: 1\n{text}");
        let home = home(&[("a\u{1b}[2J\u{202e}.yaml", text.as_bytes())]);
        let file = at(&home, "a\u{1b}[2J\u{202e}.yaml");
        for format in ["human", "short", "json", "sarif"] {
            let ran = run(&["check", &file, "--format", format]);
            assert_eq!(ran.status, 2, "{text}");
            assert_eq!(steers(&ran.stdout), None, "{format}: {:?}", ran.stdout);
            assert_eq!(steers(&ran.stderr), None, "{format}: {:?}", ran.stderr);
            let shown = ["\\u{1b}", "\\u001b", "%1B"].iter().any(|number| ran.stdout.contains(number));
            assert!(shown, "{format}");
        }
        for args in readers(&file) {
            let ran = run(&args);
            assert_eq!(steers(&format!("{}{}", ran.stdout, ran.stderr)), None, "{args:?}: {:?}", ran.stderr);
        }
        let ran = run(&["check", &file, "--color", "always"]);
        for escape in ran.stdout.split('\u{1b}').skip(1) {
            let ours = escape.strip_prefix('[').and_then(|rest| rest.split_once('m'));
            let colour = |sort: &str| sort.bytes().all(|b| b.is_ascii_digit() || b == b';');
            assert!(ours.is_some_and(|(sort, _)| colour(sort)), "{escape:?}");
        }
        // The file's own colours are not ours: there is none in what it is called.
        assert!(!ran.stdout.contains("\u{1b}[2J"), "{:?}", ran.stdout);
    }
}

#[test]
#[cfg(unix)]
fn a_pipe_that_nobody_writes_into_is_not_waited_for() {
    let home = home(&[("boat.yaml", b"lidcard: 1\n")]);
    let pipe = at(&home, "pipe");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    fs::create_dir(home.path().join("ours")).unwrap();
    let inside = at(&home, "ours/card.tera");
    assert!(std::process::Command::new("mkfifo").arg(&inside).status().unwrap().success());
    let ours = at(&home, "ours");
    let mut all = readers(&pipe);
    all.push(vec!["restore", &pipe]);
    all.push(vec!["card", "boats/sprat.yaml", "--template", &pipe]);
    all.push(vec!["card", "boats/sprat.yaml", "--workshop", &ours]);
    for args in all {
        let ran = run(&args);
        let said = format!("{}{}", ran.stdout, ran.stderr);
        assert_eq!(ran.status, 2, "{args:?}: {said}");
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("no plain file") || said.contains("unreadable"), "{args:?}: {said}");
    }
}

#[test]
fn a_template_as_long_as_a_film_is_not_read() {
    let home = home(&[]);
    let film = at(&home, "film.tera");
    // It has a length and takes no room.
    fs::File::create(&film).unwrap().set_len(300 << 20).unwrap();
    let ran = run(&["card", "boats/sprat.yaml", "--template", &film]);
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("larger than 1 MB"), "{}", ran.stderr);
}
