use super::{Outcome, Screen, Streams, run, write};
use std::io::{self, Write};

fn lidcard(arguments: &[&str]) -> (Outcome, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let all = std::iter::once("lidcard").chain(arguments.iter().copied());
    let outcome = run(
        all,
        &mut Streams { stdin: &mut io::empty(), stdout: &mut out, stderr: &mut err, screen: Screen::NONE },
    );
    (outcome, String::from_utf8(out).unwrap(), String::from_utf8(err).unwrap())
}

#[test]
fn run_can_be_called_twice_and_says_the_same() {
    assert_eq!(lidcard(&["--help"]), lidcard(&["--help"]));
    assert_eq!(lidcard(&["check", "not/there.yaml"]), lidcard(&["check", "not/there.yaml"]));
}

#[test]
fn help_goes_to_stdout_and_a_wrong_argument_to_stderr() {
    let (outcome, out, err) = lidcard(&["--help"]);
    assert_eq!((outcome, err.as_str()), (Outcome::Clean, ""));
    assert!(out.contains("lidcard check moonfish.yaml"));
    let (outcome, out, err) = lidcard(&["card", "m.yaml", "--size", "wide"]);
    assert_eq!((outcome, out.as_str()), (Outcome::Failed, ""));
    assert!(err.contains("such as 105x74"), "{err}");
}

#[test]
fn many_files_are_reported_in_the_order_given() {
    let (outcome, out, _) = lidcard(&["check", "--format", "short", "c", "a", "b", "d", "a"]);
    assert_eq!(outcome, Outcome::Failed);
    let lines: Vec<&str> = out.lines().collect();
    let (closing, lines) = lines.split_last().unwrap();
    assert!(closing.starts_with("5 files not read"), "{closing}");
    let names: Vec<&str> = lines.iter().filter_map(|l| l.get(..1)).collect();
    assert_eq!(names, ["c", "a", "b", "d", "a"]);
}

#[test]
fn standard_input_can_be_given_once_only() {
    let (outcome, _, err) = lidcard(&["check", "-", "-"]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("once"), "{err}");
}

#[test]
fn a_closed_pipe_ends_quietly() {
    struct Closed;
    impl Write for Closed {
        fn write(&mut self, _: &[u8]) -> io::Result<usize> {
            Err(io::ErrorKind::BrokenPipe.into())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }
    let mut err = Vec::new();
    let outcome = run(
        ["lidcard", "check", "not/there.yaml"],
        &mut Streams { stdin: &mut io::empty(), stdout: &mut Closed, stderr: &mut err, screen: Screen::NONE },
    );
    assert_eq!((outcome, err), (Outcome::Failed, vec![]));
}

#[test]
fn a_file_is_replaced_whole_and_nothing_is_left_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let target = folder.path().join("card.pdf");
    write::atomically(&target, b"old and longer").unwrap();
    write::atomically(&target, b"new").unwrap();
    assert_eq!(std::fs::read(&target).unwrap(), b"new");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
    assert!(write::atomically(folder.path(), b"x").is_err());
    assert!(write::atomically(&folder.path().join("no/such/card.pdf"), b"x").is_err());
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}
