//! Changes of a boat file that leave most of it as it was, led by the table of keys: what may follow a key, in its
//! units and words, at and beyond its ends; what it could not mean; keys that no boat at hand has.

use crate::chance::Chance;
use crate::tree::Tree;
use lidcard::setup::keys::{Key, KeyPlace, Part, Takes, places};

/// A place in a tree: the way there, and the key by which its value is known.
struct Site {
    way: Vec<usize>,
    key: Option<&'static Key>,
    part: Option<&'static Part>,
}

/// Every key at every place, with what stands on the way to it.
#[derive(Debug)]
pub struct Table {
    places: Vec<(Vec<String>, KeyPlace)>,
    /// Trees in which other values stand.
    others: Vec<Tree>,
}

/// Values that no key expects.
const ODD: [&str; 14] = [
    "0",
    "-0",
    "1e30",
    "0.0000001",
    "99999999999999999999",
    "~",
    "",
    "yes",
    "none",
    "not measured",
    "\u{202e}gas",
    "<b>&amp;",
    "${x}",
    "Ünterwäßer",
];
/// Factors for a number; one is exactly at its end.
const FACTORS: [f64; 12] = [0.0, 0.01, 0.3, 0.8, 0.99, 0.999_999, 1.0, 1.01, 1.2, 2.0, 10.0, 1000.0];

impl Table {
    /// With boats from which values are taken.
    pub fn new(others: Vec<Tree>) -> Self {
        let split = |path: &str| path.split('.').map(|part| part.trim_end_matches("[]").to_owned()).collect();
        Self { places: places().into_iter().map(|place| (split(&place.path), place)).collect(), others }
    }

    /// A boat, changed in some places.
    pub fn varied(&self, chance: &mut Chance<'_>) -> Tree {
        let first = chance.below(self.others.len());
        let mut boat = self.others.get(first).cloned().unwrap_or(Tree::Map(Vec::new()));
        for _ in 0..chance.pick([0, 1, 1, 1, 2, 2, 3, 6]) {
            self.change(chance, &mut boat);
        }
        boat
    }

    fn change(&self, chance: &mut Chance<'_>, boat: &mut Tree) {
        let sites = self.sites(boat);
        let Some(Site { way, key, part }) = chance.one(&sites) else { return };
        let kind = chance.below(100);
        let Some((last, above)) = way.split_last() else { return };
        if kind < 12 {
            // Left out.
            match boat.at_mut(above) {
                Some(Tree::Map(entries)) => drop(entries.remove(*last)),
                Some(Tree::List(items)) => drop(items.remove(*last)),
                _ => {}
            }
            return;
        }
        if kind < 28 {
            // A key beside it that is not there.
            let new = part.and_then(|part| chance.one(part.keys));
            if let (Some(new), Some(Tree::Map(entries))) = (new, boat.at_mut(above))
                && entries.iter().all(|(name, _)| name != new.name)
            {
                let value = self.value(chance, new, None, 3);
                entries.push((new.name.to_owned(), value));
            }
            return;
        }
        if kind < 36 {
            // Doubled, under another name where it has one.
            match boat.at_mut(above) {
                Some(Tree::Map(entries)) => {
                    let (name, value) = entries[*last].clone();
                    let name = if name.parse::<u8>().is_ok() {
                        (1 + chance.below(16)).to_string()
                    } else {
                        format!("{name}{}", chance.pick(["2", "_b", "ß"]))
                    };
                    if entries.iter().all(|(known, _)| *known != name) {
                        entries.push((name, value));
                    }
                }
                Some(Tree::List(items)) => items.push(items[*last].clone()),
                _ => {}
            }
            return;
        }
        if kind < 52 {
            // What some boat has there.
            let other = chance.one(&self.others).cloned().unwrap_or(Tree::word("x"));
            let there = self.sites(&other);
            let alike: Vec<&Site> =
                there.iter().filter(|site| named(site.key) == named(*key) && key.is_some()).collect();
            let mut other = other;
            if let Some(site) = chance.one(&alike)
                && let (Some(value), Some(place)) = (other.at_mut(&site.way).cloned(), boat.at_mut(way))
            {
                *place = value;
            }
            return;
        }
        if let Some(place) = boat.at_mut(way) {
            let old = match place {
                Tree::Word(text, _) => Some(text.clone()),
                _ => None,
            };
            match (key, old) {
                (Some(key), old) if kind < 90 => *place = self.value(chance, key, old.as_deref(), 3),
                (_, Some(old)) if kind < 97 => *place = Tree::word(figure(chance, &old)),
                _ => *place = Tree::word(chance.pick(ODD)),
            }
        }
    }

    /// All places of a tree.
    fn sites(&self, boat: &Tree) -> Vec<Site> {
        let mut sites = Vec::new();
        let all: Vec<usize> = (0..self.places.len()).collect();
        self.walk(boat, &mut Vec::new(), 0, &all, None, &mut sites);
        sites
    }

    fn walk(
        &self,
        node: &Tree,
        way: &mut Vec<usize>,
        deep: usize,
        fitting: &[usize],
        key: Option<&'static Key>,
        sites: &mut Vec<Site>,
    ) {
        match node {
            Tree::Word(..) => {}
            Tree::List(items) => {
                for (n, item) in items.iter().enumerate() {
                    way.push(n);
                    sites.push(Site { way: way.clone(), key, part: None });
                    self.walk(item, way, deep, fitting, key, sites);
                    way.pop();
                }
            }
            Tree::Map(entries) => {
                for (n, (name, value)) in entries.iter().enumerate() {
                    let fits = |at: &&usize| {
                        self.places[**at].0.get(deep).is_some_and(|part| part == name || is_placeholder(part))
                    };
                    let further: Vec<usize> = fitting.iter().filter(fits).copied().collect();
                    let here =
                        further.iter().map(|at| &self.places[*at]).find(|(path, _)| path.len() == deep + 1);
                    let (key, part) = here.map(|(_, place)| (place.key, place.part)).unzip();
                    way.push(n);
                    sites.push(Site { way: way.clone(), key, part });
                    self.walk(value, way, deep + 1, &further, key, sites);
                    way.pop();
                }
            }
        }
    }

    /// A value that may follow a key.
    fn value(&self, chance: &mut Chance<'_>, key: &'static Key, old: Option<&str>, deep: usize) -> Tree {
        if chance.percent(15) {
            return example(key);
        }
        self.taken(chance, &key.takes, key, old, deep)
    }

    fn taken(
        &self,
        chance: &mut Chance<'_>,
        takes: &'static Takes,
        key: &'static Key,
        old: Option<&str>,
        deep: usize,
    ) -> Tree {
        match takes {
            Takes::YesNo => Tree::word(chance.pick(["yes", "no", "not measured"])),
            Takes::Count(most) => Tree::word(chance.below(*most as usize + 2).to_string()),
            Takes::ChannelNumber => Tree::word(chance.below(18).to_string()),
            Takes::Words(words) => Tree::word(chance.one(&words()).copied().unwrap_or("none")),
            Takes::Word(word) => Tree::word(*word),
            Takes::Quantity(quantity) => {
                let old = old.filter(|text| text.contains(|c: char| c.is_ascii_digit()));
                let text = match (old, example(key)) {
                    (Some(old), _) => old.to_owned(),
                    (None, Tree::Word(text, _)) => text,
                    (None, _) => "10".to_owned(),
                };
                let signs = quantity.signs();
                let unit = chance.one(&signs).copied().unwrap_or("%");
                let text = if chance.percent(20) {
                    let digits = |c: &char| !c.is_ascii_digit() && *c != '.';
                    let number: String = text.chars().skip_while(digits).take_while(|c| !digits(c)).collect();
                    format!("{number} {unit}")
                } else {
                    text
                };
                let text = figure(chance, &text);
                let tolerance = quantity.takes_tolerance() && !text.contains('±') && chance.percent(40);
                Tree::word(if tolerance {
                    format!("{text} ± {} {unit}", chance.pick(["0", "0.5", "3", "40"]))
                } else {
                    text
                })
            }
            Takes::Either(each) => match chance.one(each) {
                Some(of) => self.taken(chance, of, key, old, deep),
                None => example(key),
            },
            Takes::Pair(of) => Tree::List((0..2).map(|_| self.taken(chance, of, key, None, deep)).collect()),
            Takes::OneOrList(of) | Takes::List(_, of) if deep > 0 => {
                let count = 1 + chance.below(3);
                Tree::List((0..count).map(|_| self.taken(chance, of, key, None, deep - 1)).collect())
            }
            Takes::Block(part) if deep > 0 => {
                let some = part.keys.iter().filter(|_| chance.percent(45)).collect::<Vec<_>>();
                Tree::Map(
                    some.into_iter()
                        .map(|key| (key.name.to_owned(), self.value(chance, key, None, deep - 1)))
                        .collect(),
                )
            }
            _ => example(key),
        }
    }
}

fn named(key: Option<&'static Key>) -> Option<(&'static str, &'static str)> {
    key.map(|key| (key.name, key.about))
}

/// What is a name or a number of the builder's own stands in capitals.
fn is_placeholder(part: &str) -> bool {
    part.chars().all(|c| c.is_ascii_uppercase() || c == '_' || c == ' ')
}

fn example(key: &'static Key) -> Tree {
    let read = Tree::read(&format!("key: {}\n", key.example));
    match read {
        Some(Tree::Map(mut entries)) if !entries.is_empty() => entries.remove(0).1,
        _ => Tree::word(key.example),
    }
}

/// Another number in the place of the first of a text.
pub fn figure(chance: &mut Chance<'_>, old: &str) -> String {
    let Some(start) = old.find(|c: char| c.is_ascii_digit()) else { return old.to_owned() };
    let rest = &old[start..];
    let end = start + rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
    let (before, number, behind) = (&old[..start], &old[start..end], &old[end..]);
    let before = match before.trim() {
        "+" if chance.percent(10) => "-",
        "-" if chance.percent(10) => "+",
        _ => before,
    };
    let number: f64 = number.parse().unwrap_or(1.0);
    let places = chance.pick([0, 0, 1, 2, 6, 9]);
    let number = number * chance.pick(FACTORS);
    format!("{before}{number:.places$}{behind}")
}
