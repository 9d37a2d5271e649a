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

/// The example in a folder of its own, with one text in it changed.
fn example(from: &str, to: &str) -> (tempfile::TempDir, String, String) {
    let folder = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string("tests/fixtures/example.yaml").unwrap();
    assert!(text.contains(from));
    let text = text.replace(from, to);
    let file = folder.path().join("boat.yaml").to_str().unwrap().to_owned();
    std::fs::write(&file, &text).unwrap();
    (folder, file, text)
}

const ENDS: &str = "{flood: 80 %, blow: 58 %}";

#[test]
fn solved_values_are_printed_as_lines_for_the_file() {
    let (outcome, out, err) = lidcard(&["endpoints", "--solve", "tests/fixtures/example.yaml"]);
    assert_eq!((outcome, err.as_str()), (Outcome::Clean, ""));
    assert!(out.contains("    endpoints: {flood: 80 %, blow: 57 %}\n    sub_trim: 0 %\n"), "{out}");
    assert!(out.contains("smallest margin 5 % (20 us) becomes 5 % (20 us)"), "{out}");
    assert!(out.contains("measure again"), "{out}");
    let (_, out, _) = lidcard(&["endpoints", "--solve", "--format", "json", "tests/fixtures/example.yaml"]);
    let json: serde_json::Value = serde_json::from_str(&out).unwrap();
    let solved = json["solved"].as_array().unwrap();
    let ballast = solved.iter().find(|s| s["channel"] == 4).unwrap();
    assert_eq!(ballast["endpoints"], serde_json::json!({"flood": 80.0, "blow": 57.0}));
    assert_eq!(ballast["margin_after"]["percent"], 5.0);
}

#[test]
fn writing_changes_the_values_and_no_other_byte_and_keeps_what_was_there() {
    let (_folder, file, before) = example(ENDS, "{flood:  80 % ,blow: '58 %' }   # tried, 3 May");
    let (outcome, _, err) = lidcard(&["endpoints", "--solve", "--write", &file]);
    assert_eq!(outcome, Outcome::Clean, "{err}");
    let after = std::fs::read_to_string(&file).unwrap();
    let meant = before.replace("{flood:  80 % ,blow: '58 %' }", "{flood:  80 % ,blow: 57 % }");
    assert_eq!(after, meant);
    assert_eq!(std::fs::read_to_string(format!("{file}.bak")).unwrap(), before);
    // The second time there is nothing to gain, so nothing is written.
    let (_, out, err) = lidcard(&["endpoints", "--solve", "--write", &file]);
    assert!(out.contains("no channel has a margin to gain") && err.is_empty(), "{out}{err}");
    assert!(!std::path::Path::new(&format!("{file}.bak.1")).exists());
    // Another change gets a backup of its own.
    std::fs::write(&file, &before).unwrap();
    lidcard(&["endpoints", "--solve", "--write", &file]);
    assert_eq!(std::fs::read_to_string(format!("{file}.bak.1")).unwrap(), before);
}

#[test]
fn one_value_for_both_ways_or_none_at_all_becomes_two() {
    let two = "{flood: 80 %, blow: 57 %}";
    let (_folder, file, before) = example(ENDS, "58 %      # both");
    lidcard(&["endpoints", "--solve", "--write", &file]);
    assert_eq!(
        std::fs::read_to_string(&file).unwrap(),
        before.replace("58 %      # both", &format!("{two}      # both"))
    );
    let (_folder, file, before) =
        example(&format!("    longer: blow\n    endpoints: {ENDS}\n"), "    longer: blow # seen\n");
    lidcard(&["endpoints", "--solve", "--write", &file]);
    let after = std::fs::read_to_string(&file).unwrap();
    let added = after.lines().find(|l| l.starts_with("    endpoints: {flood: ")).unwrap();
    assert_eq!(after.replace(&format!("{added}\n"), ""), before);
    assert!(after.contains("    longer: blow # seen\n    endpoints: {flood: "));
}

#[test]
fn what_cannot_be_written_safely_is_refused_and_nothing_changes() {
    let (outcome, _, err) = lidcard(&["endpoints", "--solve", "--write", "-"]);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("standard input"), "{err}");
    // Both channels share the endpoints: changing them in one place changes both.
    let (folder, file, _) = example("rest", "rest");
    let text = std::fs::read_to_string(&file)
        .unwrap()
        .replace(&format!("endpoints: {ENDS}"), "endpoints: {flood: 80 %, blow: &e 58 %}");
    let text = text.replace("endpoints: {up: 70 %, down: 70 %}", "endpoints: {up: *e, down: 70 %}");
    std::fs::write(&file, &text).unwrap();
    let (outcome, _, err) = lidcard(&["endpoints", "--solve", "--write", &file]);
    assert_eq!(std::fs::read_to_string(&file).unwrap(), text);
    assert_eq!(outcome, Outcome::Failed);
    assert!(err.contains("nothing written"), "{err}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn a_rehearsal_says_that_it_is_an_estimate_and_fits_on_the_screen() {
    for boat in ["boats/moonfish.yaml", "boats/sprat.yaml", "boats/capstan.yaml"] {
        for cause in ["loss", "battery", "leak", "power-up"] {
            let (outcome, out, err) = lidcard(&["rehearse", boat, "--cause", cause, "--solve"]);
            assert_eq!((outcome, err.as_str()), (Outcome::Clean, ""));
            assert!(out.replace('\n', " ").contains("A tethered test in shallow water decides."), "{out}");
            assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
        }
        let (_, out, _) = lidcard(&["rehearse", boat, "--format", "json"]);
        let json: serde_json::Value = serde_json::from_str(&out).unwrap();
        assert_eq!((json["version"].as_u64(), json["cause"].as_str()), (Some(1), Some("loss")));
    }
}

#[test]
fn a_rehearsal_starts_where_a_witness_says() {
    let at = |from: &str| lidcard(&["rehearse", "boats/moonfish.yaml", "--from", from]);
    let (outcome, out, _) = at("tank=flood, trim of helm = -10 %, agility=full");
    assert_eq!(outcome, Outcome::Clean);
    // The vent is open in the nominal case too.
    assert!(out.contains("     0 s       0 s  tank_servo.vent on"), "{out}");
    for (from, why) in [
        ("tank=up", "tank is never at `up`: take flood, blow or"),
        ("tonk=flood", "there is no control `tonk`"),
        ("tank=flood, tank=blow", "`tank` is given two places"),
        ("trim of helm=30 %", "the trim of helm goes from -20 % to 20 %"),
        ("tank_servo.gas", "no finding with a witness is about `tank_servo.gas`"),
    ] {
        let (outcome, _, err) = at(from);
        assert_eq!(outcome, Outcome::Failed);
        assert!(err.contains(why), "{err}");
    }
    let spoilt = "tests/fixtures/mistakes/blow-reaches-gas.yaml";
    let (outcome, out, err) = lidcard(&["rehearse", spoilt, "--from", "tank_servo.gas"]);
    assert_eq!((outcome, err.as_str()), (Outcome::Clean, ""));
    // The hand holds blow: the pump is on from the beginning.
    assert!(out.contains("     0 s       0 s  tank_servo.pump on"), "{out}");
}
