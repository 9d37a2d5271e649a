//! The names and gaps of the English labels as Rust: `crates/paper/src/labels/text.rs` is what this makes
//! of `templates/labels/en.yaml`, so that a label or a gap that is not there does not compile.

use lidcard::document::labels::{Labels, WORDS};

const FILE: &str = "crates/paper/src/labels/text.rs";

const HEAD: &str = "\
// Names and gaps of the texts in `templates/labels/en.yaml`, and nothing else of them: a change of wording
// changes nothing here. Written by `BLESS=1 cargo test --test inside generated`; a line put in by hand
// is as good, the test without BLESS compares.
";

/// A key as the name of a constant, of a record or of a module.
struct Name(String);

impl Name {
    fn new(key: &str) -> Self {
        Self(key.replace([' ', '-'], "_"))
    }

    fn constant(&self) -> String {
        self.0.to_uppercase()
    }

    fn record(&self) -> String {
        let upper = |word: &str| word[..1].to_uppercase() + &word[1..];
        self.0.split('_').map(upper).collect()
    }

    /// What a text with these gaps is called.
    fn of(&self, gaps: &[String]) -> String {
        if gaps.is_empty() { self.constant() } else { self.record() }
    }

    fn plain(&self) -> String {
        raw(&self.0)
    }
}

/// The same word where the language keeps it for itself.
fn raw(word: &str) -> String {
    const RESERVED: &str = "abstract as async await become box break const continue do dyn else enum extern \
        false final fn for gen if impl in let loop macro match mod move mut override priv pub ref return static \
        struct trait true try type typeof unsafe unsized use virtual where while yield";
    let reserved = RESERVED.split_whitespace().any(|kept| kept == word);
    if reserved { format!("r#{word}") } else { word.to_owned() }
}

/// The gaps of a text, each once, by the alphabet: the order in which a language says them is its own.
fn gaps(text: &str) -> Vec<String> {
    let after = text.split('{').skip(1);
    let mut names: Vec<String> =
        after.filter_map(|rest| rest.split_once('}')).map(|(name, _)| raw(name)).collect();
    names.sort();
    names.dedup();
    names
}

fn with_gaps(gaps: &[String]) -> String {
    if gaps.is_empty() { String::new() } else { format!(" {{ {} }}", gaps.join(", ")) }
}

fn section(tree: &serde_json::Map<String, serde_json::Value>, path: &str, depth: usize) -> String {
    let indent = "    ".repeat(depth);
    let (mut texts, mut inner) = (String::new(), String::new());
    for (key, value) in tree {
        let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
        let name = Name::new(key);
        match value {
            serde_json::Value::Object(_) if path == "rules" || path == "sheet.faults" => {}
            serde_json::Value::Object(words) if WORDS.contains(&path.as_str()) => {
                let mut all = words.iter().map(|(_, text)| gaps(text.as_str().expect("a text")));
                let first = all.next().expect("a word");
                assert!(all.all(|other| other == first), "the words of `{path}` differ in their gaps");
                texts += &format!("{indent}    \"{path}\" each {}{};\n", name.of(&first), with_gaps(&first));
            }
            serde_json::Value::Object(tree) => {
                inner += &format!("{indent}pub mod {} {{\n", name.plain());
                inner += &section(tree, &path, depth + 1);
                inner += &format!("{indent}}}\n");
            }
            text => {
                let gaps = gaps(text.as_str().expect("a text"));
                texts += &format!("{indent}    \"{path}\" {}{};\n", name.of(&gaps), with_gaps(&gaps));
            }
        }
    }
    let texts = if texts.is_empty() { texts } else { format!("{indent}texts! {{\n{texts}{indent}}}\n") };
    texts + &inner
}

#[test]
fn the_typed_labels_are_those_of_the_english_file() {
    let tree = Labels::english().tree();
    let made = format!("{HEAD}\n{}", section(tree.as_object().expect("sections"), "", 0));
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(FILE, &made).expect("written");
    }
    let stands = std::fs::read_to_string(FILE).expect("read");
    let odd = stands.lines().zip(made.lines()).find(|(stands, made)| stands != made);
    assert!(
        stands == made,
        "{FILE} is not what `templates/labels/en.yaml` asks for, first at {odd:?}: \
         `BLESS=1 cargo test --test inside generated` writes it anew"
    );
}
