//! What several tests share.

use std::io::Write;
use std::process::{Command, Stdio};

use lidcard::setup::Setup;
use lidcard::setup::lower::lower;
use lidcard::source::Source;

/// What came of a run of the program.
pub(crate) struct Ran {
    pub status: i32,
    pub stdout: String,
    pub stderr: String,
}

/// The program with these arguments, and with nothing of the surroundings.
pub(crate) fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_lidcard"));
    command.args(arguments).env_clear().env("COLUMNS", "100");
    command
}

pub(crate) fn ran(command: &mut Command, stdin: &str) -> Ran {
    let pipes = command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = pipes.spawn().unwrap();
    // A program that asks for no input may have left before it comes.
    let _ = child.stdin.take().unwrap().write_all(stdin.as_bytes());
    let output = child.wait_with_output().unwrap();
    Ran {
        status: output.status.code().expect("not ended by a signal"),
        stdout: String::from_utf8(output.stdout).unwrap(),
        stderr: String::from_utf8(output.stderr).unwrap(),
    }
}

pub(crate) fn run(arguments: &[&str]) -> Ran {
    run_with(arguments, "")
}

pub(crate) fn run_with(arguments: &[&str], stdin: &str) -> Ran {
    ran(&mut command(arguments), stdin)
}

pub(crate) fn run_in(arguments: &[&str], environment: &[(&str, &str)]) -> Ran {
    ran(command(arguments).envs(environment.iter().copied()), "")
}

/// A boat from its file.
pub(crate) fn boat(file: &str) -> Setup {
    lower(&Source::load(file).expect("readable")).unwrap_or_else(|m| panic!("{file}: {m:#?}"))
}

/// A boat from its text.
pub(crate) fn read(text: &str) -> Setup {
    let source = Source::from_text("test.yaml", text).unwrap();
    lower(&source).unwrap_or_else(|m| panic!("{m:#?}\n{text}"))
}

/// The paths of a folder in order.
pub(crate) fn files_in(folder: &str) -> Vec<String> {
    let entries = std::fs::read_dir(folder).expect("a folder");
    let mut files: Vec<String> = entries.map(|entry| entry.unwrap().path().display().to_string()).collect();
    files.sort();
    files
}

/// A boat read and judged, as a document gets her.
pub(crate) fn judged<T>(text: &str, work: impl FnOnce(&lidcard::document::Job<'_>) -> T) -> T {
    let source = lidcard::source::Source::from_text("boat", text).expect("YAML");
    let setup = lidcard::setup::lower::lower(&source).expect("understood");
    let judged = lidcard::rule::judge(&setup);
    work(&lidcard::document::Job {
        setup: &setup,
        findings: &judged.verdict.findings,
        code: lidcard::fingerprint::Code::of(&source),
        packed: &[],
        lost: judged.lost.as_ref(),
        emergency: &judged.emergency,
        windows: &judged.windows,
    })
}

/// A page as a picture of 72 dots per inch, held against the one that somebody looked at.
pub(crate) fn looked_at(name: &str, page: lidcard::render::Page) {
    let scene = lidcard::render::Scene { title: name.to_owned(), pages: vec![page] };
    let drawn = lidcard::render::png::to_png(&scene, 72.0).expect("PNG").remove(0);
    let file = format!("tests/golden/{name}.png");
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&file, &drawn).expect("written");
    }
    assert!(std::fs::read(&file).is_ok_and(|kept| kept == drawn), "{file}: look at it, then BLESS=1");
}
