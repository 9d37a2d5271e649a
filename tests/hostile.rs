//! Files made to do harm: none brings the program down, none takes another boat's report or file with
//! it, and none speaks to the terminal.

#![allow(clippy::unwrap_used)]

use assert_cmd::Command;
use std::fs;
use std::path::Path;

struct Ran {
    status: i32,
    stdout: String,
    stderr: String,
}

fn run(args: &[&str]) -> Ran {
    let output = Command::cargo_bin("lidcard").unwrap().args(args).env_clear().output().unwrap();
    Ran {
        // No status means that a signal ended it.
        status: output.status.code().unwrap_or(-1),
        stdout: String::from_utf8_lossy(&output.stdout).into_owned(),
        stderr: String::from_utf8_lossy(&output.stderr).into_owned(),
    }
}

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

#[test]
fn nothing_here_is_left_behind() {
    // The tests above name no output: nothing may have been made where they ran.
    assert!(!Path::new("bad-card.pdf").exists() && !Path::new("bad-handover").exists());
}
