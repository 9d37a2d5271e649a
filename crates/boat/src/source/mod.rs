//! The text of a boat file, what stands where in it, and the mistakes that can be made in it.

pub mod alike;
pub mod edit;
pub mod file;
mod load;
mod tree;
pub mod visible;

pub use load::LARGEST;

use crate::setup::Path;

/// A stretch of the text, in bytes: `start` belongs to it, `end` does not.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// A boat file as text and as a tree.
#[derive(Clone, Debug)]
pub struct Source {
    /// What to call it in reports.
    pub name: String,
    /// All of it.
    pub text: String,
    /// What YAML makes of it.
    pub root: Node,
}

/// A value in the tree.
#[derive(Clone, Debug)]
pub struct Node {
    /// What to underline when talking of the value: the value itself where that helps, the key
    /// before it for a block that goes on over many lines or for a value that was left out.
    pub span: Span,
    /// What it is.
    pub value: Value,
}

/// What a value can be.
#[derive(Clone, Debug)]
pub enum Value {
    /// A word, number or text. Nothing is made of it here: `yes` stays a word, `1.50` keeps its nought.
    Scalar {
        /// The text, without quotes and escapes.
        text: String,
        /// Whether it stood in quotes.
        quoted: bool,
    },
    /// A list.
    List(Vec<Node>),
    /// Keys and values in file order; no key twice.
    Map(Vec<Entry>),
}

/// A key and its value.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The key as written, without quotes.
    pub key: String,
    /// Where the key stands.
    pub key_span: Span,
    /// What it holds.
    pub value: Node,
}

/// Something in the file that cannot be meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// Where, and what to say there. The first is the place itself, the others explain it. Empty
    /// only when the file could not be read at all.
    pub labels: Vec<(Span, String)>,
    /// What to write instead.
    pub help: Option<String>,
}

/// A file that could not be turned into a tree.
#[derive(Clone, Debug)]
pub struct Unreadable {
    /// What to call the file in reports.
    pub name: String,
    /// Its text, as far as there is any to show.
    pub text: String,
    /// Why.
    pub mistake: Mistake,
}

impl Unreadable {
    /// What there is of the text, as a source without a tree, and the mistake.
    pub fn into_parts(self) -> (Source, Mistake) {
        let span = Span { start: 0, end: 0 };
        let root = Node { span, value: Value::Map(Vec::new()) };
        (Source { name: self.name, text: self.text, root }, self.mistake)
    }
}

impl Mistake {
    /// A mistake about a file as a whole.
    pub fn whole(message: impl Into<String>) -> Self {
        Self { message: message.into(), labels: Vec::new(), help: None }
    }

    /// A mistake at a place.
    pub fn at(span: Span, message: impl Into<String>, label: impl Into<String>) -> Self {
        Self { message: message.into(), labels: vec![(span, label.into())], help: None }
    }

    /// Says what to write instead.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Self {
        self.help = Some(text.into());
        self
    }

    /// Shows another place that explains this one.
    #[must_use]
    pub fn also(mut self, span: Span, label: impl Into<String>) -> Self {
        self.labels.push((span, label.into()));
        self
    }
}

impl Node {
    /// The value under a key of a map.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entry(key).map(|entry| &entry.value)
    }

    /// The key and the value under a key of a map.
    pub fn entry(&self, key: &str) -> Option<&Entry> {
        self.entries().iter().find(|entry| entry.key == key)
    }

    /// The entries of a map; none for anything else.
    pub fn entries(&self) -> &[Entry] {
        match &self.value {
            Value::Map(entries) => entries,
            _ => &[],
        }
    }

    /// The text of a scalar.
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Scalar { text, .. } => Some(text),
            _ => None,
        }
    }

    /// Whether nothing was written here, or what YAML takes for nothing.
    pub fn is_empty(&self) -> bool {
        matches!(&self.value, Value::Scalar { text, quoted: false } if NOTHING.contains(&text.as_str()))
    }
}

/// Plain words that say that there is no value.
const NOTHING: [&str; 5] = ["", "~", "null", "Null", "NULL"];

impl Source {
    /// Where the value at a path stands, as far as the path exists.
    pub fn locate(&self, path: &Path) -> Span {
        let mut node = &self.root;
        for key in &path.0 {
            let next = match &node.value {
                Value::Map(_) => node.get(key),
                Value::List(items) => key.parse().ok().and_then(|index: usize| items.get(index)),
                Value::Scalar { .. } => None,
            };
            match next {
                Some(next) => node = next,
                None => break,
            }
        }
        node.span
    }

    /// The path to the first value that stands at a place; an empty one where none does.
    pub fn path_to(&self, span: Span) -> Path {
        fn search(node: &Node, span: Span, keys: &mut Vec<String>) -> bool {
            let mut below = |key: String, value: &Node| {
                keys.push(key);
                search(value, span, keys) || keys.pop().is_none()
            };
            match &node.value {
                Value::Map(entries) => entries.iter().any(|entry| below(entry.key.clone(), &entry.value)),
                Value::List(items) => {
                    items.iter().enumerate().any(|(index, item)| below(index.to_string(), item))
                }
                Value::Scalar { .. } => node.span == span,
            }
        }
        let mut keys = Vec::new();
        search(&self.root, span, &mut keys);
        Path(keys)
    }

    /// Line and column of a byte, both counted from 1; the column counts characters.
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        line_column(&self.text, offset)
    }
}

/// Line and column of a byte in a text, both counted from 1; the column counts characters.
pub fn line_column(text: &str, offset: usize) -> (usize, usize) {
    let offset = text.floor_char_boundary_at(offset);
    let before = &text[..offset];
    let line_start = before.rfind('\n').map_or(0, |at| at + 1);
    let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
    (line, before[line_start..].chars().count() + 1)
}

trait FloorBoundary {
    fn floor_char_boundary_at(&self, offset: usize) -> usize;
}

impl FloorBoundary for str {
    /// The nearest place at or before `offset` where a character begins.
    fn floor_char_boundary_at(&self, offset: usize) -> usize {
        let mut at = offset.min(self.len());
        while !self.is_char_boundary(at) {
            at -= 1;
        }
        at
    }
}
