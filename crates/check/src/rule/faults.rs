//! The faults known in the trade, and where each can be caught. The page `faults.md` is the only
//! place where they stand: `lidcard explain faults` prints it and this reads it.

use std::sync::LazyLock;

/// The page.
pub const PAGE: &str = include_str!("faults.md");

/// The mark of what no setting shows, or not always.
const BENCH: &str = "bench";

/// A fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Its number on the page, from 1.
    pub number: usize,
    /// What goes wrong, in one sentence.
    pub what: &'static str,
    /// How the bench shows it, in one sentence; `None` where the file shows it always.
    pub test: Option<&'static str>,
    /// The rules that tell it from a file.
    pub rules: Vec<&'static str>,
}

/// Every fault, in the order of the page.
pub fn all() -> &'static [Fault] {
    static ALL: LazyLock<Vec<Fault>> = LazyLock::new(|| PAGE.lines().filter_map(fault).collect());
    &ALL
}

/// The faults that no rule tells from a file, each with its test: for the list of bench tests.
pub fn bench_only() -> &'static [Fault] {
    static ONLY: LazyLock<Vec<Fault>> =
        LazyLock::new(|| all().iter().filter(|fault| fault.rules.is_empty()).cloned().collect());
    &ONLY
}

/// `12. What goes wrong. Test: what to do. (`rule`, `bench`)`
fn fault(line: &'static str) -> Option<Fault> {
    let (number, rest) = line.split_once(". ")?;
    let number = number.parse().ok()?;
    let (text, marks) = rest.strip_suffix(')')?.rsplit_once(" (")?;
    let (what, test) = match text.split_once(" Test: ") {
        Some((what, test)) => (what, Some(test)),
        None => (text, None),
    };
    let rules = marks.split(", ").map(|mark| mark.trim_matches('`')).filter(|mark| *mark != BENCH).collect();
    Some(Fault { number, what, test, rules })
}
