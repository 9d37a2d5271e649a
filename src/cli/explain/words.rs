//! Pages of what stands in a boat file: its keys, the kinds of devices and works, and the words used of them.

use crate::device::{self, works};
use crate::report::text::hanging;
use crate::setup::keys::terms::Shown;
use crate::setup::keys::{Key, KeyPlace, Part, Sort, Takes, Without, effects, places, terms, trade};
use std::collections::BTreeSet;
use std::fmt::Write;

/// Compared without regard to capitals and to whether and how the words of a name are parted: `failsafe`.
fn same(a: &str, b: &str) -> bool {
    let plain = |word: &str| word.to_lowercase().replace(['-', ' ', '_'], "");
    plain(a) == plain(b)
}

/// The keys on the way, without the names and numbers of the builder's own.
fn route(path: &str) -> String {
    let own = |part: &&str| !part.chars().all(|c| c.is_ascii_uppercase());
    let parts: Vec<&str> = path.split('.').map(|part| part.trim_end_matches("[]")).filter(own).collect();
    parts.join(".")
}

/// Every word that has a page.
pub(super) fn known() -> BTreeSet<String> {
    let keys = places().into_iter().map(|place| place.key.name);
    let kinds = device::ALL.iter().map(|kind| kind.name).chain(works::ALL.iter().map(|kind| kind.name));
    let terms = terms::ALL.iter().map(|term| term.name);
    let trade = trade::ALL.iter().flat_map(|called| called.words).copied();
    keys.chain(kinds).chain(terms).chain(trade).map(str::to_owned).collect()
}

/// The page of a word as Markdown: everything it stands for.
pub(super) fn page(word: &str) -> Option<String> {
    let mut out = String::new();
    for term in terms::ALL.iter().filter(|term| same(term.name, word)) {
        let _ = writeln!(out, "\n{}", term.about);
        if let Some(example) = shown(term.shown) {
            let _ = writeln!(out, "{}", fenced(&example));
        }
    }
    for called in trade::ALL.iter().filter(|called| called.words.iter().any(|known| same(known, word))) {
        let _ = writeln!(out, "\n{}", called.about);
        if let Some(example) = shown(called.shown) {
            let _ = writeln!(out, "{}", fenced(&example));
        }
    }
    for kind in device::ALL {
        let called = kind.also_called.iter().any(|other| same(other, word));
        if called {
            let _ = writeln!(out, "\nIt is called `{}` here.", kind.name);
        }
        if called || same(kind.name, word) {
            let _ = writeln!(out, "\n## a kind of device\n\n{}\n", kind.about);
            let _ = writeln!(out, "- keys: {}", listed(kind.keys));
            out.push_str(&of_kind(KIND_OF_DEVICE, kind.name));
        }
    }
    for kind in works::ALL {
        let called = kind.also_called.iter().any(|other| same(other, word));
        if !called && !same(kind.name, word) {
            continue;
        }
        if called {
            let _ = writeln!(out, "\nIt is told as `{}` here.", kind.name);
        }
        let _ = writeln!(out, "\n## a kind of works\n\n{}", kind.about);
        out.push_str(&of_kind(KIND_OF_WORK, kind.name));
    }
    let all = places();
    let by_name = |place: &&KeyPlace| {
        same(place.key.name, word) || same(&place.path, word) || same(&route(&place.path), word)
    };
    let mut found: Vec<&KeyPlace> = all.iter().filter(by_name).collect();
    if found.is_empty() && out.is_empty() {
        // A word that may follow a key.
        let follows = |place: &&KeyPlace| follows(&place.key.takes).iter().any(|known| same(known, word));
        found = all.iter().filter(follows).collect();
    }
    for place in &found {
        of_key(&mut out, place);
    }
    (!out.is_empty()).then(|| format!("# {word}\n{out}"))
}

/// Where the kinds stand.
const KIND_OF_DEVICE: &str = "devices.DEVICE.kind";
const KIND_OF_WORK: &str = "devices.DEVICE.works.WORK.kind";

/// An example of a kind.
fn of_kind(path: &str, kind: &str) -> String {
    with(path, Some(kind)).map_or_else(String::new, |example| format!("{}\n", fenced(&example)))
}

fn fenced(example: &str) -> String {
    format!("\n```yaml example\n{example}\n```")
}

/// What shows a word: some lines of a file, or a command.
fn shown(shown: Shown) -> Option<String> {
    match shown {
        Shown::Key(path) => with(path, None),
        Shown::With(path, value) => with(path, Some(value)),
        Shown::Command(arguments) => Some(format!("$ lidcard {arguments}")),
    }
}

/// The example of the key at a place, or the same with another value.
fn with(path: &str, value: Option<&str>) -> Option<String> {
    let all = places();
    let place = all.iter().find(|place| place.path == path)?;
    Some(match value {
        Some(value) => place.part.example_with(place.key, value),
        None => place.part.example(place.key),
    })
}

/// The closed list of words that may follow.
fn follows(takes: &Takes) -> Vec<&'static str> {
    match takes {
        Takes::Words(words) => words(),
        Takes::Word(word) => vec![word],
        Takes::Effect => effects().iter().flatten().copied().collect(),
        Takes::Either(each) => each.iter().flat_map(follows).collect(),
        Takes::Pair(of) | Takes::OneOrList(of) | Takes::List(_, of) => follows(of),
        _ => Vec::new(),
    }
}

fn of_key(out: &mut String, KeyPlace { path, part, key }: &KeyPlace) {
    let _ = writeln!(out, "\n## {path}\n\n{}\n", key.about);
    let _ = writeln!(out, "- takes: {}", told(&key.takes));
    let _ = writeln!(out, "- left out: {}", left_out(key));
    if let Some(range) = key.range {
        let _ = writeln!(out, "- on the bench: {}", range.bench);
    }
    if let Some(kinds) = takers(part, key) {
        let _ = writeln!(out, "- of: {kinds}");
    }
    let sort = match key.sort {
        Sort::Figure => "a figure: measured, or dialled into the set",
        Sort::Part => "a part: it is there, or it is not",
        Sort::Fact => "a fact: which way something is",
        Sort::Remark => "a remark: printed, nothing is judged by it",
    };
    let _ = writeln!(out, "- is: {sort}\n\n```yaml example\n{}\n```", part.example(key));
}

fn left_out(key: &Key) -> String {
    match key.without {
        Without::Needed => "it has to be there".to_owned(),
        Without::NeededOr(other) => format!("it has to be there, or `{other}`"),
        Without::Taken(value) => format!("`{value}` is taken"),
        Without::Means(text) => text.to_owned(),
    }
}

/// The kinds of devices that take a key, where not all do.
fn takers(part: &Part, key: &Key) -> Option<String> {
    let kinds = device::ALL.iter().filter(|kind| kind.keys.contains(&key.name)).map(|kind| kind.name);
    let kinds: Vec<&str> = kinds.collect();
    (part.name == "device" && !kinds.is_empty()).then(|| kinds.join(", "))
}

/// `a`, `b`, `c`
fn listed(words: &[&str]) -> String {
    words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
}

/// What may follow a key, in words.
fn told(takes: &Takes) -> String {
    match takes {
        Takes::Version => "`1`".to_owned(),
        Takes::Text => "a word or a text".to_owned(),
        Takes::YesNo => "`yes` or `no`".to_owned(),
        Takes::Date => "a day: year, month, day".to_owned(),
        Takes::Count(most) => format!("a whole number from 1 to {most}"),
        Takes::ChannelNumber => "the number of a channel".to_owned(),
        Takes::Effect => "an effect, such as `turns left`, or one of your `opposites`".to_owned(),
        Takes::Conditions => "switches, each with its setting".to_owned(),
        Takes::Condition => "one switch with one of its settings".to_owned(),
        Takes::Settings => "a list of words, two or more".to_owned(),
        Takes::Rate => {
            "a number in `%` or `us`, or one for each way, each setting of a switch, or both".to_owned()
        }
        Takes::Quantity(of) => {
            let off = if of.takes_tolerance() { ", with `±` the most it can be off" } else { "" };
            format!("a number in {}{off}", listed(&of.signs()))
        }
        Takes::Words(words) => format!("one of {}", listed(&words())),
        Takes::Word(word) => format!("`{word}`"),
        Takes::Block(part) => format!("a block with {}", listed(&part.names())),
        Takes::Device => "a block with `kind` and the keys of its kind".to_owned(),
        Takes::Named(name, _, of) => format!("under each {}: {}", name.to_lowercase(), told(of)),
        Takes::Works => "under each name of your own: a block with `kind` and where it engages".to_owned(),
        Takes::Numbered(_, of) => format!("under each number of a channel: {}", told(of)),
        Takes::NumberedAnd(part, of) => {
            format!("under each number of a channel: {}; and {}", told(of), listed(&part.names()))
        }
        Takes::List(_, of) => format!("a list; in each place {}", told(of)),
        Takes::Pair(of) => format!("two in brackets, each {}", told(of)),
        Takes::OneOrList(of) => format!("{}, or a list", told(of)),
        Takes::Either(each) => each.iter().map(told).collect::<Vec<_>>().join(", or "),
        Takes::Flow => "a list of pressures in `bar`, each with a flow in `L/min`".to_owned(),
    }
}

/// The pages of all keys, as Markdown.
pub(super) fn all_keys() -> String {
    let mut out =
        "# Keys of the boat file\n\nIn capitals stands what you name or number yourself.\n".to_owned();
    for place in &places() {
        of_key(&mut out, place);
    }
    out
}

/// What is named in a boat file and is no key, as Markdown.
pub(super) fn all_words() -> String {
    let mut out = "# Kinds of devices and works, and terms\n\n## Kinds of devices\n\n".to_owned();
    for kind in device::ALL {
        let _ = writeln!(out, "- **{}**: {} Keys: {}", kind.name, kind.about, listed(kind.keys));
    }
    out.push_str("\n## Kinds of works\n\n");
    for kind in works::ALL {
        let _ = writeln!(out, "- **{}**: {}", kind.name, kind.about);
    }
    out.push_str("\n## Terms\n\n");
    for term in terms::ALL {
        let _ = writeln!(out, "- **{}**: {}", term.name, term.about);
    }
    out.push_str("\n## Words of the trade\n\n");
    for called in trade::ALL {
        let _ = writeln!(out, "- **{}**: {}", called.words.join(", "), called.about);
    }
    out
}

/// All keys with what they mean, for a screen.
pub(super) fn list(width: usize) -> String {
    let mut out = String::new();
    for place in places() {
        let first = place.key.about.split_inclusive(". ").next().unwrap_or_default();
        hanging(&mut out, &format!("{}  ", place.path), first.trim_end(), width);
    }
    out
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{known, page, route};
    use crate::rule::states::states;
    use crate::setup::keys::places;
    use crate::setup::lower::lower;
    use crate::source::Source;

    #[test]
    fn every_key_kind_and_term_has_a_page_by_its_name_and_each_key_by_its_way_too() {
        let ways = places().into_iter().flat_map(|place| [place.path.clone(), route(&place.path)]);
        for word in known().into_iter().chain(ways) {
            let page = page(&word).unwrap_or_else(|| panic!("no page for `{word}`"));
            assert!(page.len() > word.len() + 20, "{page}");
            assert!(page.contains("example\n"), "no example:\n{page}");
        }
        assert!(page("turns left").is_some());
        assert!(page("winch").unwrap().contains("called `speed controller`"));
        assert!(page("Sub Trim").is_some() && page("cut off").is_some());
        assert!(
            page("failsafe").unwrap().contains("A unit wired between receiver and devices")
                && page("deadband").is_some()
        );
        assert!(page("porridge").is_none());
    }

    #[test]
    fn every_state_of_the_boat_is_explained() {
        let source = Source::from_text("moonfish", include_str!("../../../boats/moonfish.yaml")).unwrap();
        for state in states(&lower(&source).unwrap()) {
            // A stage bears its own name, and says in brackets what it follows upon.
            let sort = if state.name.starts_with("stage ") { "stage" } else { state.name.as_str() };
            let page =
                page(sort).unwrap_or_else(|| panic!("crates/boat/src/setup/keys/terms.rs has no `{sort}`"));
            assert!(page.contains("A state of the boat:"), "{page}");
        }
    }
}
