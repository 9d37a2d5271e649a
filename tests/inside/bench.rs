//! `lidcard bench` where it meets the disk and the check; `check_bench.py` goes through all of it.

use std::fs;

use super::help::run;

const ANSWERS: &str = "tests/fixtures/bench/an-hour.txt";

fn bench(boat: &str, record: &str, more: &[&str]) -> super::help::Ran {
    run(&[&["bench", boat, "--record", record], more].concat())
}

#[test]
fn a_boat_that_fails_its_check_does_not_go_to_the_bench() {
    let home = tempfile::tempdir().unwrap();
    let record = home.path().join("r.yaml").to_str().unwrap().to_owned();
    let ran = bench("tests/fixtures/mistakes/blow-reaches-gas.yaml", &record, &["--answers", ANSWERS]);
    assert_eq!(ran.status, 1);
    assert!(ran.stderr.contains("not to the bench yet: first put right 1 error"), "{}", ran.stderr);
    assert!(fs::metadata(&record).is_err());
}

#[test]
fn what_was_answered_is_in_the_record_and_what_was_not_is_named() {
    let home = tempfile::tempdir().unwrap();
    let record = home.path().join("r.yaml").to_str().unwrap().to_owned();
    let ran = bench("boats/moonfish.yaml", &record, &["--answers", ANSWERS]);
    assert_eq!((ran.status, ran.stderr.as_str()), (0, ""));
    assert!(
        ran.stdout.contains("\n16 of ") && ran.stdout.contains(" done and as they should be, "),
        "{}",
        ran.stdout
    );
    let text = fs::read_to_string(&record).unwrap();
    assert!(text.contains("by: \"KL\"") && text.contains("meters: {\"pulse meter\": \"2 us\"}"), "{text}");
    assert!(text.contains("of: \"1/rest\"") && text.contains("read: [\"1488 us\"]"), "{text}");
    assert!(text.contains("skipped: yes"), "{text}");
    let ran = bench("boats/moonfish.yaml", &record, &["--answers", ANSWERS]);
    assert!(ran.stdout.contains("done already: 16 of "), "{}", ran.stdout);
    assert!(fs::read_to_string(&record).unwrap().starts_with(&text));
}

#[test]
fn the_boat_file_the_answers_and_what_is_no_record_are_left_alone() {
    let ran = bench("boats/moonfish.yaml", "boats/moonfish.yaml", &["--answers", ANSWERS]);
    assert!(
        ran.status == 2 && ran.stderr.contains("the boat file boats/moonfish.yaml itself"),
        "{}",
        ran.stderr
    );
    let ran = bench("boats/moonfish.yaml", ANSWERS, &["--answers", ANSWERS]);
    assert!(ran.status == 2 && ran.stderr.contains("the answers themselves"), "{}", ran.stderr);
    let ran = bench("boats/moonfish.yaml", "tests/fixtures/example.yaml", &["--answers", ANSWERS]);
    assert!(ran.status == 2 && ran.stderr.contains("is no bench record"), "{}", ran.stderr);
}

#[test]
fn meters_that_differ_by_more_than_both_can_be_off_are_told_first() {
    let home = tempfile::tempdir().unwrap();
    let answers = home.path().join("a.txt");
    for (second, apart, goes_on) in
        [("1504 us", "4 us, within what", true), ("1509 us", "9 us, more than", false)]
    {
        let record = home.path().join(format!("{second}.yaml")).to_str().unwrap().to_owned();
        // Nothing is read before all that guards it is done and she has power: 13 steps.
        fs::write(&answers, format!("{}1500 us\n{second}\nstop\n", " \n".repeat(13))).unwrap();
        let meters = ["--by", "KL", "--conditions", "warm", "--meter", "one = 2 us", "--meter", "two = 3 us"];
        let asked = [&["--answers", answers.to_str().unwrap()][..], &meters].concat();
        let ran = bench("boats/moonfish.yaml", &record, &asked);
        assert!(ran.stdout.contains(&format!("one and two differ by {apart}")), "{}", ran.stdout);
        let at = |text: &str| ran.stdout.find(text).unwrap_or(usize::MAX);
        assert!(at("Take the gas bottle out") < at("One pulse with every meter"), "{}", ran.stdout);
        assert!(at("Then the boat on.") < at("One pulse with every meter"), "{}", ran.stdout);
        assert_eq!(at("pulse: 1/rest") < usize::MAX, goes_on, "{}", ran.stdout);
        assert_eq!(ran.stdout.contains("read them once more, or stop"), !goes_on, "{}", ran.stdout);
    }
}

#[test]
fn readings_are_put_in_only_where_somebody_says_yes() {
    let home = tempfile::tempdir().unwrap();
    let boat = home.path().join("moonfish.yaml");
    fs::copy("boats/moonfish.yaml", &boat).unwrap();
    let before = fs::read_to_string(&boat).unwrap();
    let file = boat.to_str().unwrap();
    let code = run(&["verify", file]).stdout[..9].to_owned();
    let read = "[\"1648 us\", \"+37 %\", \"1646 us\", \"1648 us\", \"1650 us\"]";
    let record = format!(
        "bench: 1\nentries:\n- {{run: \"2026-05-09T14:03:11Z\", code: \"{code}\"}}\n\
         - {{of: \"tank_servo.pump clicks\", read: {read}}}\n\
         - {{of: \"2/rise held\", read: [\"1700 us\"], agrees: \"no\", safe: \"yes\"}}\n"
    );
    fs::write(home.path().join("moonfish.bench.yaml"), record).unwrap();
    let answers = home.path().join("answers.txt");
    let adopt = |answer: &str| {
        fs::write(&answers, answer).unwrap();
        run(&["adopt", file, "--answers", answers.to_str().unwrap()])
    };
    let ran = adopt("no\n");
    assert!(ran.stdout.contains("contradicts the file: 2/rise held: read 1700 us"), "{}", ran.stdout);
    assert_eq!(ran.status, 1);
    assert_eq!(fs::read_to_string(&boat).unwrap(), before);
    let ran = adopt("yes\n");
    assert!(ran.stdout.contains("window of 4/blow: 45 % to 65 %; then 4"), "{}", ran.stdout);
    let old = "clicks: [+36 %, +38 %, +35 %, +37 %, +36 %]";
    let new = "clicks: [1648 us, +37 %, 1646 us, 1648 us, 1650 us]";
    assert_eq!(fs::read_to_string(&boat).unwrap(), before.replace(old, new));
    assert_eq!(fs::read_to_string(home.path().join("moonfish.yaml.bak")).unwrap(), before);
    // Its code is another now, and nothing was read of it yet.
    let ran = adopt("yes\n");
    assert!(ran.status == 0 && ran.stdout.contains("nothing was read of"), "{}", ran.stdout);
}

/// A folder with Moonfish and a record of these lines, in which `CODE` stands for her code.
fn at_home(boat: &str, lines: &str) -> tempfile::TempDir {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("moonfish.yaml");
    fs::write(&file, boat).unwrap();
    let code = run(&["verify", file.to_str().unwrap()]).stdout[..9].to_owned();
    let record = format!("bench: 1\nentries:\n{}", lines.replace("CODE", &code));
    fs::write(home.path().join("moonfish.bench.yaml"), record).unwrap();
    home
}

/// `adopt` with these answers; what was told in one line, and the boat file afterwards.
fn adopted(home: &tempfile::TempDir, answers: &str) -> (i32, String, String) {
    let [file, script] = ["moonfish.yaml", "answers.txt"].map(|name| home.path().join(name));
    fs::write(&script, answers).unwrap();
    let ran = run(&["adopt", file.to_str().unwrap(), "--answers", script.to_str().unwrap()]);
    assert_eq!(ran.stderr, "");
    let told = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    (ran.status, told, fs::read_to_string(&file).unwrap())
}

fn moonfish() -> String {
    fs::read_to_string("boats/moonfish.yaml").unwrap()
}

/// Runs at either end of warmth, in each of which the pump's switch clicked around such a pulse, as she was found or closed.
fn warmth(cold: i64, warm: i64, warm_as: &str) -> String {
    let read = |around: i64| [0, 1, -1, 0, 0].map(|n| format!("\"{} us\"", around + n)).join(", ");
    let once_more = if warm_as.is_empty() { String::new() } else { format!("as: \"{warm_as}\", ") };
    format!(
        "- {{run: \"2026-01-09T14:03:11Z\", code: \"CODE\", extreme: \"coldest\"}}\n\
         - {{of: \"tank_servo.pump clicks\", read: [{}], agrees: \"yes\"}}\n\
         - {{run: \"2026-07-09T14:03:11Z\", code: \"CODE\", extreme: \"warmest\"}}\n\
         - {{of: \"tank_servo.pump clicks\", {once_more}read: [{}], agrees: \"yes\"}}\n",
        read(cold),
        read(warm)
    )
}

/// The servo's `accuracy` of 1.5 % is 6 us either side and a step is 4 us: 12 us from what is put into the file is more, though
/// it would lie within 6 us either side of the middle. 12 us of 400 us are 3 %.
#[test]
fn what_warm_and_cold_lie_apart_is_offered_as_accuracy_and_is_no_sample() {
    let home = at_home(&moonfish(), &warmth(1645, 1657, ""));
    let (status, told, file) = adopted(&home, "yes\nyes\n");
    assert!(
        told.contains(
            "tank_servo tank_servo.pump clicks: in the mean 1657 us as she was found, at the warmest, and 1645 us as she \
             was found, at the coldest: 12 us apart, for `accuracy` to span; that of tank_servo spans 6 us either side \
             now accuracy: 1.5 % new accuracy: 3 %"
        ),
        "{told}"
    );
    assert!(told.contains("window of 4/flood: 77 % to 110 %; then 79 % to 108 %"), "{told}");
    assert!(!told.contains("nothing was read"), "{told}");
    assert_eq!(status, 0, "{told}");
    let clicks = "clicks: [1657 us, 1658 us, 1656 us, 1657 us, 1657 us]";
    let new = moonfish()
        .replace("clicks: [+36 %, +38 %, +35 %, +37 %, +36 %]", clicks)
        .replace("    accuracy: 1.5 %\n", "    accuracy: 3 %\n");
    assert_eq!(file, new, "nothing else is touched, and of the cold readings none is among the warm ones");
}

/// 9 us are within 6 us and a step.
#[test]
fn what_accuracy_spans_is_no_drift() {
    let (status, told, file) = adopted(&at_home(&moonfish(), &warmth(1645, 1654, "")), "no\n");
    assert!(status == 0 && !told.contains("apart"), "{told}");
    assert_eq!(file, moonfish());
}

#[test]
fn whoever_says_no_to_it_leaves_a_contradiction() {
    let (status, told, file) = adopted(&at_home(&moonfish(), &warmth(1645, 1657, "closed")), "yes\nno\n");
    assert!(
        told.contains("1657 us closed, at the warmest, and 1645 us as she was found, at the coldest"),
        "{told}"
    );
    assert_eq!(status, 1, "{told}");
    assert!(file.contains("    accuracy: 1.5 %\n") && file.contains("clicks: [1657 us"), "{file}");
}

/// 100 us are 25 %, and a file may state 20 %.
#[test]
fn what_no_accuracy_may_span_and_what_too_few_readings_show_contradicts_the_file() {
    let (status, told, _) = adopted(&at_home(&moonfish(), &warmth(1645, 1745, "")), "no\n");
    assert!(
        status == 1 && told.contains("contradicts the file: tank_servo.pump clicks: in the mean"),
        "{told}"
    );
    assert!(!told.contains("new accuracy"), "{told}");
    let few = warmth(1645, 1657, "").replace("\"1645 us\", \"1646 us\", \"1644 us\", ", "");
    let (status, told, _) = adopted(&at_home(&moonfish(), &few), "no\n");
    assert!(
        status == 1 && told.contains("contradicts the file: tank_servo.pump clicks: in the mean"),
        "{told}"
    );
}

#[test]
fn an_accuracy_that_the_file_leaves_out_is_for_a_hand_to_write() {
    let boat = moonfish().replace("    accuracy: 1.5 %\n", "");
    let (_, told, file) = adopted(&at_home(&boat, &warmth(1645, 1657, "")), "no\n");
    assert!(told.contains("not taken over: tank_servo: the file has no line that could be changed; put in by hand: accuracy: 3 %"), "{told}");
    assert_eq!(file, boat);
}

#[test]
fn at_which_end_of_warmth_nothing_was_read_is_told_of_each_point() {
    let cold_only = warmth(1645, 1645, "").replace("extreme: \"warmest\"", "conditions: \"mild\"");
    let (_, told, _) = adopted(&at_home(&moonfish(), &cold_only), "no\n");
    assert!(
        told.contains("note: nothing was read of tank_servo.pump clicks at the warmest that she is sailed in: no number of"),
        "{told}"
    );
    let neither = cold_only.replace("extreme: \"coldest\"", "conditions: \"mild\"");
    let (_, told, _) = adopted(&at_home(&moonfish(), &neither), "no\n");
    assert!(told.contains("of tank_servo.pump clicks at the warmest or the coldest that she is"), "{told}");
}

/// The vent is fully open at -70 % ± 3 %: 1208 to 1232 us. Readings around 1214 us reach beyond it with their factor.
#[test]
fn a_place_with_a_tolerance_of_its_own_is_told_and_not_put_in() {
    let read = |agrees: &str| {
        format!(
            "- {{run: \"2026-05-09T14:03:11Z\", code: \"CODE\"}}\n\
             - {{of: \"tank_servo.vent full\", read: [\"1214 us\", \"1215 us\", \"1213 us\", \"1214 us\", \"1214 us\"], \
             agrees: \"{agrees}\"}}\n"
        )
    };
    let (status, told, _) = adopted(&at_home(&moonfish(), &read("yes")), "");
    assert!(
        status == 0
            && told.contains("not taken over: tank_servo.vent full: 99 % of all at 95 % confidence lie"),
        "{told}"
    );
    let (status, told, _) = adopted(&at_home(&moonfish(), &read("no")), "");
    assert!(
        status == 1 && told.contains("contradicts the file: tank_servo.vent full: read 1214 us"),
        "{told}"
    );
}

#[test]
fn whoever_keeps_a_figure_that_readings_contradict_is_told_so_by_the_status() {
    let read = "- {run: \"2026-05-09T14:03:11Z\", code: \"CODE\"}\n\
                - {of: \"tank_servo.pump clicks\", read: [\"1700 us\", \"1701 us\", \"1699 us\", \"1700 us\", \"1700 us\"], \
                agrees: \"no\"}\n";
    let home = at_home(&moonfish(), read);
    let (status, told, _) = adopted(&home, "no\n");
    assert!(status == 1 && told.contains("read otherwise than the file says"), "{told}");
}

/// Of findings that share rule, place and state each is held against its own: this one has a margin in neither file.
#[test]
fn what_a_change_leaves_as_it_was_is_not_told() {
    let (_, told, _) = adopted(&at_home(&moonfish(), &warmth(1645, 1654, "")), "no\n");
    assert!(
        told.contains("wanted-not-reached at tank_servo.pump") && !told.contains("emergency-does-not-raise"),
        "{told}"
    );
}

#[test]
fn a_reading_is_not_judged_where_the_file_lacks_what_its_safety_hangs_on() {
    let home = tempfile::tempdir().unwrap();
    let record = home.path().join("r.yaml").to_str().unwrap().to_owned();
    let (boat, answers) = (home.path().join("beetle.yaml"), home.path().join("a.txt"));
    let text = fs::read_to_string("tests/fixtures/clean/beetle.yaml").unwrap();
    fs::write(&answers, format!("KL\nwarm\nno\nmeter = 2 us\n{}1500 us\nstop\n", " \n".repeat(7))).unwrap();
    let servo = "steering_servo: {kind: servo, channel: 1, accuracy: 2 %";
    for (lacking, safe) in [(true, "not judged"), (false, "yes")] {
        let left = if lacking { "steering_servo: {kind: servo, channel: 1" } else { servo };
        fs::write(&boat, text.replace(servo, left)).unwrap();
        let ran = bench(boat.to_str().unwrap(), &record, &["--answers", answers.to_str().unwrap()]);
        assert!(ran.stdout.contains(&format!("safe: {safe}")), "{}", ran.stdout);
        assert_eq!(ran.stdout.contains("lacks devices.steering_servo.accuracy"), lacking, "{}", ran.stdout);
        assert_eq!(ran.stdout.contains("1 reading not judged until the file has what it lacks"), lacking);
        assert_eq!(ran.status, 0, "{}", ran.stdout);
        let text = fs::read_to_string(&record).unwrap();
        assert!(text.contains(&format!("of: \"1/rest\", safe: \"{safe}\"")), "{text}");
        let page =
            run(&["record", boat.to_str().unwrap(), "--record", &record, "--format", "html", "-o", "-"]);
        let told = page.stdout.contains("not judged: the boat file lacks devices.steering_servo.accuracy");
        assert_eq!(told, lacking, "{}", page.stdout);
        fs::remove_file(&record).unwrap();
    }
}

/// Up to the first step that reads a point: Moonfish's vent, with what a set-up as in her file shows before it.
fn at_the_points() -> tempfile::TempDir {
    let good = |of: &str, what: &str| format!("- {{of: \"{of}\", {what}}}\n");
    let seen = sheet_steps().into_iter().map(|(of, pulse)| match pulse {
        true => good(&of, "read: [\"1500 us\"], agrees: \"yes\", safe: \"yes\""),
        false => good(&of, "seen: yes"),
    });
    let lines: String = seen.collect();
    at_home(&moonfish(), &format!("- {{run: \"2026-05-09T14:03:11Z\", code: \"CODE\"}}\n{lines}"))
}

/// Every step before the points, by its name in the record, and whether a pulse is read.
fn sheet_steps() -> Vec<(String, bool)> {
    use lidcard::document::labels::Labels;
    use lidcard::document::sheet::{Reads, readings};
    let setup = crate::help::boat("boats/moonfish.yaml");
    let engine = lidcard::rule::Engine::new(&setup);
    let tests = readings(&engine, &Labels::english());
    let before = tests.iter().take_while(|test| !matches!(test.reads, Reads::Point(..)));
    let mut all = Vec::new();
    for test in before {
        match &test.reads {
            Reads::Pulses(pulses) => {
                all.extend(pulses.iter().map(|pulse| (pulse.name.clone(), true)));
                all.push((format!("{}: {}", test.what, test.see), false));
            }
            _ if tests.iter().filter(|other| other.what == test.what).count() > 1 => {
                all.push((format!("{}: {}", test.what, test.see), false));
            }
            _ => all.push((test.what.clone(), false)),
        }
    }
    all
}

/// Four readings agree, and prove nothing of the fifth: only with five is it safe and done.
#[test]
fn of_fewer_than_five_readings_nothing_is_called_safe() {
    let home = at_the_points();
    let file = home.path().join("moonfish.yaml").to_str().unwrap().to_owned();
    let answers = home.path().join("a.txt");
    let four = "1308 us / 1324 us, 1309 us / 1325 us, 1307 us / 1324 us, 1308 us / 1323 us";
    let go = |typed: &str| {
        fs::write(&answers, format!("{typed}\nstop\n")).unwrap();
        let seat = ["--by", "KL", "--conditions", "warm", "--meter", "one = 2 us"];
        run(&[&["bench", &file, "--answers", answers.to_str().unwrap()][..], &seat].concat()).stdout
    };
    let told = go(four);
    assert!(
        told.contains(
            "where it engages:\n       as the file says: yes\n       safe: cannot be told of fewer than"
        ),
        "{told}"
    );
    assert!(
        told.contains("a space if it was read so") && !told.contains("tank_servo.vent clicks, installed"),
        "{told}"
    );
    let told = go(&format!("{four}, 1308 us / 1324 us"));
    assert!(told.contains("these readings prove: 99 % of all") && !told.contains("cannot be told"), "{told}");
    assert!(told.contains("tank_servo.vent clicks, installed"), "{told}");
}
