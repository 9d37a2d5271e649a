//! `lidcard listen` where it meets the disk and the command line; `check_listen.py` hears all of it.

use crate::help::run;
use std::fs;

const BLOW: &str = "tests/fixtures/bench/blow.vcd";

#[test]
fn steady_stretches_are_matched_with_the_ways_held() {
    let ran = run(&["listen", "boats/moonfish.yaml", BLOW, "--line", "D3=4"]);
    assert_eq!((ran.status, ran.stderr.as_str()), (0, ""), "{}", ran.stdout);
    assert!(ran.stdout.contains("D3: one channel, 60 pulses every 20 ms"), "{}", ran.stdout);
    assert!(ran.stdout.contains("agrees with 4/rest") && ran.stdout.contains("agrees with 4/blow held"));
    assert!(
        ran.stdout.contains("of: \"4/blow held\", safe: \"yes\", agrees: \"yes\", read: [\"1712 us\"]"),
        "{}",
        ran.stdout
    );
}

#[test]
fn what_agrees_with_nothing_is_found_and_a_line_that_nobody_named_is_asked_for() {
    let ran = run(&["listen", "boats/moonfish.yaml", BLOW, "--line", "D3=1"]);
    assert!(ran.status == 1 && ran.stdout.contains("agrees with nothing"), "{}", ran.stdout);
    let ran = run(&["listen", "boats/moonfish.yaml", BLOW]);
    assert!(ran.status == 0 && ran.stdout.contains("Which line is which channel?"), "{}", ran.stdout);
    let ran = run(&["listen", "boats/moonfish.yaml", BLOW, "--line", "D9=4"]);
    assert!(ran.status == 2 && ran.stderr.contains("no line `D9`: it has D3"), "{}", ran.stderr);
    let went = |names: &str| run(&["listen", "boats/moonfish.yaml", BLOW, "--line", "D3=4", "--went", names]);
    assert_eq!(went("4/rest; 4/blow held; 4/rest").status, 0);
    let ran = went("4/rest; 4/blow held");
    assert!(ran.status == 1 && ran.stdout.contains("3 steady stretches, and 2 were told"), "{}", ran.stdout);
    let ran = went("4/rest; 4/blow hold");
    assert!(ran.status == 2 && ran.stderr.contains("reads no `4/blow hold`"), "{}", ran.stderr);
    let ran = run(&["listen", "boats/moonfish.yaml", BLOW, "--line", "D3=4", "--loss"]);
    assert!(
        ran.status == 1 && ran.stdout.contains("Nothing in it shows when the signal was lost"),
        "{}",
        ran.stdout
    );
}

#[test]
fn the_recording_and_the_boat_file_are_never_written_over() {
    let home = tempfile::tempdir().unwrap();
    let (boat, recording) = (home.path().join("moonfish.yaml"), home.path().join("blow.vcd"));
    fs::copy("boats/moonfish.yaml", &boat).unwrap();
    fs::copy(BLOW, &recording).unwrap();
    let [boat, recording] = [&boat, &recording].map(|path| path.to_str().unwrap());
    let ran = run(&["listen", boat, recording, "--line", "D3=4", "--add", "KL", "--record", recording]);
    assert!(ran.status == 2 && ran.stderr.contains("the recording itself"), "{}", ran.stderr);
    let ran = run(&["listen", boat, recording, "--line", "D3=4", "--add", "KL"]);
    assert_eq!((ran.status, ran.stderr.as_str()), (0, ""));
    let record = fs::read_to_string(home.path().join("moonfish.bench.yaml")).unwrap();
    assert!(record.contains("by: \"KL\"") && record.contains("of: \"4/blow held\""), "{record}");
}
