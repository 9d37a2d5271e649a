//! What a command writes takes nothing away: no input, no paper of before, no permission.

use crate::help::{Ran, command, ran};
use std::fs;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::Path;
use std::process::Stdio;

const SPRAT: &str = "boats/sprat.yaml";

fn run_in(folder: &Path, args: &[&str]) -> Ran {
    ran(command(args).current_dir(folder), "")
}

/// A folder with Sprat under these names.
fn home(names: &[&str]) -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    for name in names {
        fs::copy(SPRAT, home.path().join(name)).unwrap();
    }
    home
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// The command is refused with these words, and every file is as it was.
fn refused(home: &Path, args: &[&str], words: &str) {
    let state = || -> Vec<(String, Vec<u8>)> {
        names(home).into_iter().map(|n| (n.clone(), fs::read(home.join(n)).unwrap_or_default())).collect()
    };
    let before = state();
    let ran = run_in(home, args);
    assert_eq!(ran.status, 2, "{args:?}: {}{}", ran.stdout, ran.stderr);
    assert!(ran.stderr.contains(words), "{args:?}: {}", ran.stderr);
    assert!(state() == before, "{args:?} changed {:?} to {:?}", before.len(), names(home));
}

#[test]
fn a_page_is_not_written_over_a_boat_file_whose_name_it_would_get() {
    let home = home(&["newt-1.yaml", "newt.yaml"]);
    let args = ["card", "newt-1.yaml", "-o", "newt.yaml", "--format", "svg"];
    refused(home.path(), &args, "newt-1.yaml is the boat file newt-1.yaml itself");
    refused(home.path(), &["card", "newt.yaml", "-o", "newt.yaml"], "the boat file newt.yaml itself");
    symlink("newt.yaml", home.path().join("link.pdf")).unwrap();
    refused(home.path(), &["card", "newt.yaml", "-o", "link.pdf"], "the boat file newt.yaml itself");
}

#[test]
fn a_report_is_not_written_over_the_boat_it_is_of() {
    let home = home(&["newt.yaml"]);
    refused(
        home.path(),
        &["check", "newt.yaml", "--output", "json:newt.yaml"],
        "newt.yaml is the boat file newt.yaml itself",
    );
    let twice = ["check", "newt.yaml", "--output", "json:a", "--output", "short:a"];
    refused(home.path(), &twice, "named twice");
}

#[test]
fn a_template_a_workshop_and_a_picture_are_not_written_over() {
    let home = home(&["newt.yaml"]);
    fs::copy("templates/card.tera", home.path().join("own.tera")).unwrap();
    let template = ["card", "newt.yaml", "--template", "own.tera", "-o", "own.tera"];
    refused(home.path(), &template, "own.tera is the template itself");
    fs::create_dir(home.path().join("ours")).unwrap();
    fs::write(home.path().join("ours/contact.txt"), "Ring\n").unwrap();
    let workshop = ["card", "newt.yaml", "--workshop", "ours", "-o", "ours/contact.txt"];
    refused(home.path(), &workshop, "in the workshop's own folder");
    assert_eq!(fs::read_to_string(home.path().join("ours/contact.txt")).unwrap(), "Ring\n");
    assert_eq!(run_in(home.path(), &["sheet", "newt.yaml", "-o", "s.png"]).status, 0);
    let last = names(home.path()).into_iter().rfind(|name| name.starts_with("s-")).unwrap();
    refused(home.path(), &["restore", &last, "-o", &last, "--force"], "is a picture of the sheet itself");
}

#[test]
fn a_link_that_leads_nowhere_is_no_place_for_an_output() {
    let home = home(&["newt.yaml"]);
    symlink("away/c.pdf", home.path().join("c.pdf")).unwrap();
    for args in [["card", "newt.yaml", "-o", "c.pdf"], ["handover", "newt.yaml", "-o", "c.pdf"]] {
        let ran = run_in(home.path(), &args);
        assert_eq!(ran.status, 2, "{}", ran.stdout);
        assert!(ran.stderr.contains("a link to something that is not there"), "{}", ran.stderr);
        assert_eq!(names(home.path()), ["c.pdf", "newt.yaml"]);
    }
}

#[test]
fn a_backup_may_be_read_by_those_who_may_read_the_file() {
    let home = home(&[]);
    let boat = home.path().join("m.yaml");
    fs::copy("tests/fixtures/mistakes/blow-reaches-gas.yaml", &boat).unwrap();
    fs::set_permissions(&boat, fs::Permissions::from_mode(0o600)).unwrap();
    let ran = run_in(home.path(), &["endpoints", "m.yaml", "--solve", "--write"]);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    for name in ["m.yaml", "m.yaml.bak"] {
        let mode = fs::metadata(home.path().join(name)).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "{name}");
    }
}

#[test]
fn the_boat_file_of_an_older_revision_stays_for_whoever_has_its_card() {
    let home = home(&["newt.yaml"]);
    let here = home.path();
    let code = run_in(here, &["verify", "newt.yaml"]).stdout[..9].to_owned();
    assert_eq!(run_in(here, &["handover", "newt.yaml"]).status, 0);
    let old = fs::read_to_string(SPRAT).unwrap();
    let other = old.replacen("starboard: 90 %", "starboard: 89 %", 1);
    assert_ne!(old, other);
    fs::write(here.join("newt.yaml"), &other).unwrap();
    let ran = run_in(here, &["handover", "newt.yaml"]);
    assert_eq!(ran.status, 2);
    assert!(ran.stderr.contains("90 % -> 89 %") && ran.stderr.contains("--replace"), "{}", ran.stderr);
    assert_eq!(fs::read_to_string(here.join("newt-handover/newt.yaml")).unwrap(), old);
    let ran = run_in(here, &["handover", "newt.yaml", "--replace"]);
    assert_eq!(ran.status, 0, "{}", ran.stderr);
    assert_eq!(fs::read_to_string(here.join(format!("newt-handover/older-{code}.yaml"))).unwrap(), old);
    let index = fs::read_to_string(here.join("newt-handover/index.html")).unwrap();
    assert!(index.contains(&format!("older-{code}.yaml")));
    let ran = run_in(here, &["verify", "newt.yaml", "--code", &code, "--older", "newt-handover"]);
    assert_eq!(ran.status, 1);
    assert!(ran.stdout.contains("since then changed"), "{}", ran.stdout);
}

#[test]
fn a_failed_write_says_what_became_of_the_pages() {
    let home = home(&["newt.yaml"]);
    fs::create_dir(home.path().join("c-2.svg")).unwrap();
    let ran = run_in(home.path(), &["card", "newt.yaml", "-o", "c.svg"]);
    assert_eq!(ran.status, 2);
    assert!(
        ran.stderr.contains("c-2.svg") && ran.stderr.contains("all pages are as they were"),
        "{}",
        ran.stderr
    );
    assert_eq!(names(home.path()), ["c-2.svg", "newt.yaml"]);
}

/// Runs a command with the boat on standard input kept open until it was sent a signal.
fn signalled(home: &Path, signal: &str) -> (std::process::ExitStatus, String) {
    let program = env!("CARGO_BIN_EXE_lidcard");
    let mut child = std::process::Command::new(program)
        .args(["check", "-", "--output", "json:r.json"])
        .current_dir(home)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // It reads, and watches for signals before it does.
    let watched = |id: u32| {
        let status = fs::read_to_string(format!("/proc/{id}/status")).unwrap_or_default();
        let caught = status.lines().find_map(|line| line.strip_prefix("SigCgt:"));
        // SIGHUP is number 1, SIGINT 2, SIGTERM 15 (signal(7)); one that is not watched yet may be ignored, as it
        // is in the background of a shell.
        let all = 1 | 1 << 1 | 1 << 14;
        caught
            .and_then(|bits| u64::from_str_radix(bits.trim(), 16).ok())
            .is_some_and(|bits| bits & all == all)
    };
    while !watched(child.id()) {
        assert!(child.try_wait().unwrap().is_none(), "it ended by itself");
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    // Kept open until it has ended: at the end of its input it would go on, and be quicker than the signal.
    let _open = child.stdin.take();
    let sent = std::process::Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let output = child.wait_with_output().unwrap();
    (output.status, String::from_utf8_lossy(&output.stderr).into_owned())
}

#[test]
#[cfg(target_os = "linux")]
fn a_run_that_is_stopped_says_so_and_ends_with_the_status_of_its_signal() {
    use std::os::unix::process::ExitStatusExt;
    let home = home(&[]);
    for (signal, number) in [("-INT", 2), ("-TERM", 15), ("-HUP", 1)] {
        let (status, told) = signalled(home.path(), signal);
        assert_eq!(status.signal(), Some(number), "{told}");
        assert_eq!(told, "lidcard: stopped; nothing was written\n");
        assert!(names(home.path()).is_empty());
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_bench_that_is_stopped_says_where_the_readings_are() {
    use std::io::Write;
    let home = home(&["newt.yaml"]);
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_lidcard"))
        .args(["bench", "newt.yaml", "--by", "KL", "--conditions", "cold", "--meter", "pulse meter=2 us"])
        .current_dir(home.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut open = child.stdin.take().unwrap();
    open.write_all(b" \n").unwrap();
    let record = home.path().join("newt.bench.yaml");
    while !fs::read_to_string(&record).unwrap_or_default().contains("seen: yes") {
        assert!(child.try_wait().unwrap().is_none(), "it ended by itself");
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    let kept = fs::read(&record).unwrap();
    let sent = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let told = String::from_utf8_lossy(&child.wait_with_output().unwrap().stderr).into_owned();
    assert_eq!(told, "lidcard: stopped; written before that, and whole: newt.bench.yaml\n");
    assert_eq!(fs::read(&record).unwrap(), kept);
}

#[test]
fn a_file_that_may_not_grow_is_told_and_not_left_half() {
    let home = home(&["newt.yaml"]);
    let program = env!("CARGO_BIN_EXE_lidcard");
    let mut command = std::process::Command::new("bash");
    command.args(["-c", "ulimit -f 2; exec \"$0\" card newt.yaml"]).arg(program).current_dir(home.path());
    let output = command.output().unwrap();
    let told = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(2), "{told}");
    assert!(told.contains("cannot write newt-card.pdf: File too large"), "{told}");
    assert_eq!(names(home.path()), ["newt.yaml"]);
}
