//! A boat file as a tree that can be taken apart, and the text of one.

use lidcard::source::{Node, Source, Value};
use std::fmt::Write;

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub enum Tree {
    /// A word, number or text, and whether it stands in quotes.
    Word(String, bool),
    /// A list.
    List(Vec<Tree>),
    /// Keys and values in order.
    Map(Vec<(String, Tree)>),
}

impl Tree {
    /// A word as it is.
    pub fn word(text: impl Into<String>) -> Self {
        Self::Word(text.into(), false)
    }

    /// What a text says.
    pub fn read(text: &str) -> Option<Self> {
        Source::from_text("tree", text).ok().map(|source| Self::of(&source.root))
    }

    fn of(node: &Node) -> Self {
        match &node.value {
            Value::Scalar { text, quoted } => Self::Word(text.clone(), *quoted),
            Value::List(items) => Self::List(items.iter().map(Self::of).collect()),
            Value::Map(entries) => {
                Self::Map(entries.iter().map(|e| (e.key.clone(), Self::of(&e.value))).collect())
            }
        }
    }

    /// What stands at a place: by the number of each key or item on the way.
    pub fn at_mut(&mut self, way: &[usize]) -> Option<&mut Self> {
        let Some((first, rest)) = way.split_first() else { return Some(self) };
        match self {
            Self::Word(..) => None,
            Self::List(items) => items.get_mut(*first)?.at_mut(rest),
            Self::Map(entries) => entries.get_mut(*first)?.1.at_mut(rest),
        }
    }

    /// How many values there are.
    pub fn size(&self) -> usize {
        1 + match self {
            Self::Word(..) => 0,
            Self::List(items) => items.iter().map(Self::size).sum(),
            Self::Map(entries) => entries.iter().map(|(_, value)| value.size()).sum(),
        }
    }

    /// The text, one key to a line.
    pub fn text(&self) -> String {
        let mut out = String::new();
        self.write(&mut out, 0);
        out
    }

    fn write(&self, out: &mut String, deep: usize) {
        let pad = "  ".repeat(deep);
        match self {
            Self::Map(entries) => {
                for (key, value) in entries {
                    let _ = write!(out, "{pad}{}:", spelled(key, false));
                    value.behind(out, deep);
                }
            }
            Self::List(items) => {
                for item in items {
                    let _ = write!(out, "{pad}-");
                    item.behind(out, deep);
                }
            }
            Self::Word(text, quoted) => {
                let _ = writeln!(out, "{pad}{}", spelled(text, *quoted));
            }
        }
    }

    /// The rest of a line and what hangs on it.
    fn behind(&self, out: &mut String, deep: usize) {
        match self {
            Self::Word(text, quoted) => {
                let _ = writeln!(out, " {}", spelled(text, *quoted));
            }
            Self::List(items) if items.is_empty() => out.push_str(" []\n"),
            Self::Map(entries) if entries.is_empty() => out.push_str(" {}\n"),
            _ => {
                out.push('\n');
                self.write(out, deep + 1);
            }
        }
    }
}

/// A word as YAML has it: bare where that says the same.
fn spelled(text: &str, quoted: bool) -> String {
    let bare = !quoted
        && text.chars().all(|c| c.is_alphanumeric() || " _.+-%±/".contains(c))
        && text.starts_with(|c: char| c.is_alphanumeric() || c == '+' || c == '-')
        && !text.starts_with("- ")
        && text != "-"
        && !text.ends_with(' ');
    if bare {
        return text.to_owned();
    }
    let mut out = "\"".to_owned();
    for c in text.chars() {
        match c {
            '"' | '\\' => out.extend(['\\', c]),
            c if c.is_control() || ('\u{200b}'..='\u{206f}').contains(&c) || c == '\u{feff}' => {
                let _ = write!(out, "\\u{:04x}", c as u32);
            }
            c => out.push(c),
        }
    }
    out + "\""
}

#[cfg(test)]
mod tests {
    use super::Tree;

    /// Quotes that a word needs among others say nothing.
    fn unquoted(tree: Tree) -> Tree {
        match tree {
            Tree::Word(text, _) => Tree::word(text),
            Tree::List(items) => Tree::List(items.into_iter().map(unquoted).collect()),
            Tree::Map(entries) => {
                Tree::Map(entries.into_iter().map(|(key, value)| (key, unquoted(value))).collect())
            }
        }
    }

    #[test]
    fn what_is_written_of_a_tree_is_the_tree() {
        for path in crate::boats::files() {
            let text = std::fs::read_to_string(&path).expect("a boat file");
            let Some(tree) = Tree::read(&text) else { continue };
            assert_eq!(Tree::read(&tree.text()).map(unquoted), Some(unquoted(tree)), "{}", path.display());
        }
        let odd = Tree::Map(vec![("a: b".into(), Tree::word("\u{202e}\"x\\")), ("".into(), Tree::word(""))]);
        assert_eq!(Tree::read(&odd.text()).map(|tree| tree.size()), Some(3));
    }
}
