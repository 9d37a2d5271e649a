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

/// Everything that is read beside boat files, pictures and templates, from `file`.
fn beside_boats(file: &str) -> Vec<Vec<&str>> {
    let seat = ["--by", "KL", "--conditions", "cold", "--meter", "pulse meter=2 us"];
    let mut all: Vec<Vec<&str>> = vec![
        vec!["listen", "boats/sprat.yaml", file],
        vec!["adopt", "boats/sprat.yaml", "--record", file],
        vec!["verify", "boats/sprat.yaml", "--certificate", file],
        vec!["new", "--questions", "--answers", file],
    ];
    for command in ["bench", "probe"] {
        all.push([&[command, "boats/sprat.yaml", "--record", file], &seat[..]].concat());
        all.push(
            [
                &[command, "boats/sprat.yaml", "--answers", file, "--record", "target/none.bench.yaml"],
                &seat[..],
            ]
            .concat(),
        );
    }
    all
}

#[test]
#[cfg(unix)]
fn nothing_that_lies_beside_a_boat_is_waited_for() {
    let home = home(&[]);
    let pipe = at(&home, "pipe");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    for file in [pipe.as_str(), "/dev/zero"] {
        for args in beside_boats(file) {
            let ran = run(&args);
            assert_eq!(ran.status, 2, "{args:?}: {}", ran.stderr);
            assert!(ran.stderr.contains("no plain file"), "{args:?}: {}", ran.stderr);
        }
    }
}

#[test]
fn what_lies_beside_a_boat_is_read_only_as_far_as_it_may_be_long() {
    let home = home(&[]);
    let film = at(&home, "film");
    fs::File::create(&film).unwrap().set_len(300 << 20).unwrap();
    for args in beside_boats(&film) {
        let ran = run(&args);
        assert_eq!(ran.status, 2, "{args:?}: {}", ran.stderr);
        let why = ["is longer than", "too long", "the header has no end"];
        assert!(why.iter().any(|why| ran.stderr.contains(why)), "{args:?}: {}", ran.stderr);
    }
}

#[test]
#[cfg(unix)]
fn a_pipe_from_which_nobody_reads_is_no_output() {
    let home = home(&[]);
    let pipe = at(&home, "pipe.pdf");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let report = format!("json:{pipe}");
    for args in [
        vec!["card", "boats/sprat.yaml", "-o", &pipe],
        vec!["try", "boats/sprat.yaml", "-o", &pipe],
        vec!["check", "boats/sprat.yaml", "--certificate", &pipe],
        vec!["check", "boats/sprat.yaml", "--output", &report],
    ] {
        let ran = run(&args);
        assert_eq!(ran.status, 2, "{args:?}");
        assert!(ran.stderr.contains("a pipe from which nobody reads"), "{args:?}: {}", ran.stderr);
    }
}

#[test]
fn a_page_of_the_record_does_not_take_the_place_of_the_record() {
    let home = home(&[("newt.yaml", &fs::read("boats/sprat.yaml").unwrap())]);
    let (boat, record) = (at(&home, "newt.yaml"), at(&home, "newt.bench.yaml"));
    let seat = ["--by", "KL", "--conditions", "cold", "--meter", "pulse meter=2 us"];
    fs::write(home.path().join("answers.txt"), " \n").unwrap();
    let answers = at(&home, "answers.txt");
    run(&[&["bench", &boat, "--answers", &answers], &seat[..]].concat());
    let kept = fs::read(&record).unwrap();
    let ran = run(&["record", &boat, "-o", &record, "--format", "pdf"]);
    assert_eq!(ran.status, 2, "{}", ran.stderr);
    assert!(ran.stderr.contains("is the bench record itself"), "{}", ran.stderr);
    assert_eq!(fs::read(&record).unwrap(), kept);
}

#[test]
#[cfg(target_os = "linux")]
fn names_of_any_bytes_are_taken() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;
    let home = tempfile::tempdir().unwrap();
    let named = |name: &[u8]| home.path().join(OsStr::from_bytes(name));
    fs::copy("boats/sprat.yaml", named(b"n\xffx.yaml")).unwrap();
    fs::write(named(b"a\xfe.txt"), " \n").unwrap();
    let run_here = |words: &[&[u8]]| {
        let mut command = crate::help::command(&[]);
        command.args(words.iter().map(|word| OsStr::from_bytes(word))).current_dir(home.path());
        crate::help::ran(&mut command, "")
    };
    let file = &b"n\xffx.yaml"[..];
    for command in [
        "check",
        "endpoints",
        "states",
        "rehearse",
        "pond",
        "card",
        "guide",
        "sheet",
        "plan",
        "service",
        "try",
        "handover",
    ] {
        let ran = run_here(&[command.as_bytes(), file]);
        assert!(ran.status < 2, "{command}: {}", ran.stderr);
        assert!(!ran.stderr.contains("UTF-8"), "{command}: {}", ran.stderr);
    }
    for name in [&b"n\xffx-card.pdf"[..], b"n\xffx-practice.html", b"n\xffx-handover"] {
        assert!(named(name).exists(), "{:?}", OsStr::from_bytes(name));
    }
    let output =
        run_here(&[b"check", file, b"--output", b"json:r\xfd.json", b"--certificate", b"c\xfd.json"]);
    assert!(output.status < 2, "{}", output.stderr);
    assert!(named(b"r\xfd.json").exists() && named(b"c\xfd.json").exists());
    let bench = run_here(&[
        b"bench",
        file,
        b"--answers",
        b"a\xfe.txt",
        b"--by",
        b"KL",
        b"--conditions",
        b"cold",
        b"--meter",
        b"m=2 us",
    ]);
    assert!(bench.status < 2, "{}", bench.stderr);
    assert!(named(b"n\xffx.bench.yaml").exists());
    for command in ["record", "adopt"] {
        let ran = run_here(&[command.as_bytes(), file]);
        assert!(ran.status < 2, "{command}: {}", ran.stderr);
    }
    let over = run_here(&[b"card", file, b"-o", file, b"--format", b"pdf"]);
    assert!(over.status == 2 && over.stderr.contains("itself"), "{}", over.stderr);
}

/// Two channels into which every one of so many switches lets a mix.
fn switches(count: usize) -> String {
    let all = || 0..count;
    let controls: String = all().map(|n| format!("  s{n}: {{kind: switch, settings: [p0, p1]}}\n")).collect();
    let mixes: Vec<String> =
        all().map(|n| format!("{{add: {}.{n:02} %, of: tank, when: {{s{n}: p1}}}}", n % 5 + 1)).collect();
    format!(
        "lidcard: 1
boat: {{name: Switches, kind: submarine}}
transmitter: {{channels: 2, furthest: 125 %, pulse: {{accuracy: 2 us}}}}
controls:
  tank: {{at: left stick, ways: {{towards: flood, away: blow}}}}
{controls}channels:
  1: {{control: tank, longer: blow, endpoints: 60 %, mixes: [{0}]}}
  2: {{endpoints: 60 %, mixes: [{0}]}}
devices:
  d: {{kind: servo, channel: 1, accuracy: 1 %, stops: [-118 %, +118 %], works: {{v: {{kind: vent valve, from: -45 % ± 1 %}}}}}}
  e: {{kind: servo, channel: 2, accuracy: 1 %, stops: [-118 %, +118 %], works: {{v: {{kind: vent valve, from: -45 % ± 1 %}}}}}}
",
        mixes.join(", ")
    )
}

#[test]
fn what_is_too_much_to_work_out_says_which_part_and_costs_no_other_boat_its_report() {
    let home = home(&[("few.yaml", switches(1).as_bytes()), ("many.yaml", switches(19).as_bytes())]);
    let (few, many) = (at(&home, "few.yaml"), at(&home, "many.yaml"));
    assert!(!run(&["check", &few]).stdout.contains("too much"));
    let ran = run(&["check", &many, "boats/sprat.yaml"]);
    assert_eq!(ran.status, 2);
    assert!(ran.stdout.contains("too much to work out") && ran.stdout.contains("boats/sprat.yaml: "));
    for args in [
        vec!["card", &many],
        vec!["handover", &many],
        vec!["endpoints", &many],
        vec!["endpoints", "--solve", &many],
        vec!["try", &many],
    ] {
        let ran = run(&args);
        let said = format!("{}{}", ran.stdout, ran.stderr);
        assert_eq!(ran.status, 2, "{args:?}: {said}");
        assert!(said.contains("too much to work out") && !said.contains("report it"), "{args:?}: {said}");
    }
    assert_eq!(fs::read_dir(home.path()).unwrap().count(), 2, "nothing was made of it");
}
