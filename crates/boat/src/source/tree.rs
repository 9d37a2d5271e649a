//! From YAML events to a tree with a place for everything in it.
//!
//! The events are read directly, not through serde: they keep the place of every key, tell a plain
//! word from a quoted one, and go on where a typed reader would stop at its first complaint.

use super::{Entry, Mistake, Node, Span, Value};
use serde_yaml::granit_parser::{Event, Parser, ScalarStyle, ScanError, StructureStyle};
use std::collections::BTreeMap;

/// The largest boats have some hundred values; copies made through aliases count too.
pub(super) const MOST_NODES: usize = 5_000;
/// The format itself is seven levels deep.
const DEEPEST: usize = 32;

enum Open {
    List {
        start: Span,
        flow: bool,
        anchor: usize,
        items: Vec<Node>,
    },
    Map {
        start: Span,
        flow: bool,
        anchor: usize,
        entries: Vec<Entry>,
        seen: BTreeMap<String, Span>,
        key: Option<(String, Span)>,
    },
}

struct Builder<'a> {
    text: &'a str,
    open: Vec<Open>,
    root: Option<Node>,
    anchors: BTreeMap<usize, (Node, usize)>,
    nodes: usize,
    most: usize,
}

/// Reads one YAML document of at most so many values.
pub(super) fn build(text: &str, most: usize) -> Result<Node, Mistake> {
    let mut builder =
        Builder { text, open: Vec::new(), root: None, anchors: BTreeMap::new(), nodes: 0, most };
    let options = serde_yaml::granit_parser::options! { emit_comments: false };
    let mut parser = Parser::new_from_str_with_options(text, options);
    while let Some(next) = parser.next_event() {
        let (event, span) = next.map_err(|error| builder.not_yaml(&error))?;
        let span = Span {
            start: span.start.byte_offset().unwrap_or(0).min(text.len()),
            end: span.end.byte_offset().unwrap_or(0).min(text.len()),
        };
        builder.take(event, span)?;
    }
    match builder.root {
        Some(root) if !root.is_empty() => Ok(root),
        _ => Err(Mistake::whole("the file is empty").help("begin with `lidcard: 1` and the section `boat:`")),
    }
}

impl Builder<'_> {
    fn take(&mut self, event: Event<'_>, span: Span) -> Result<(), Mistake> {
        match event {
            Event::Scalar(text, style, anchor, tag) => {
                no_tag(tag.is_some(), span)?;
                let quoted = style != ScalarStyle::Plain;
                // A value that was left out comes as a `~` of no length.
                let text = if span.start == span.end && !quoted { String::new() } else { text.into_owned() };
                let node = Node { span, value: Value::Scalar { text, quoted } };
                if anchor != 0 {
                    self.anchors.insert(anchor, (node.clone(), size_of(&node)));
                }
                self.place(node, 1)
            }
            Event::SequenceStart(style, anchor, tag) => {
                no_tag(tag.is_some(), span)?;
                self.go_deeper(span)?;
                let flow = style == StructureStyle::Flow;
                self.open.push(Open::List { start: span, flow, anchor, items: Vec::new() });
                Ok(())
            }
            Event::MappingStart(style, anchor, tag) => {
                no_tag(tag.is_some(), span)?;
                self.go_deeper(span)?;
                let flow = style == StructureStyle::Flow;
                self.open.push(Open::Map {
                    start: span,
                    flow,
                    anchor,
                    entries: Vec::new(),
                    seen: BTreeMap::new(),
                    key: None,
                });
                Ok(())
            }
            Event::SequenceEnd | Event::MappingEnd => self.close(span),
            Event::Alias(id) => match self.anchors.get(&id) {
                Some((node, size)) => {
                    let (mut node, size) = (node.clone(), *size);
                    node.span = span;
                    self.place(node, size)
                }
                None => Err(Mistake::at(span, "an alias stands inside what it stands for", "here")
                    .help("write the value out")),
            },
            Event::DocumentStart(..) if self.root.is_some() => {
                Err(Mistake::at(span, "a second document begins here", "one boat, one file")
                    .help("put each boat into a file of its own"))
            }
            _ => Ok(()),
        }
    }

    fn go_deeper(&self, span: Span) -> Result<(), Mistake> {
        if self.open.len() < DEEPEST {
            return Ok(());
        }
        Err(Mistake::at(first_byte(span), "values are nested too deeply", "one level too many")
            .help(format!("a boat file needs seven levels; {DEEPEST} are read")))
    }

    fn close(&mut self, end: Span) -> Result<(), Mistake> {
        let (node, anchor) = match self.open.pop() {
            Some(Open::List { start, flow, anchor, items }) => {
                let first = items.first().map(|item| item.span);
                let span = around(start, end, flow, first);
                (Node { span, value: Value::List(items) }, anchor)
            }
            Some(Open::Map { start, flow, anchor, entries, .. }) => {
                let first = entries.first().map(|entry| entry.key_span);
                let span = around(start, end, flow, first);
                (Node { span, value: Value::Map(entries) }, anchor)
            }
            None => return Ok(()),
        };
        // What is inside was counted when it was read; only a copy is counted whole.
        if anchor != 0 {
            self.anchors.insert(anchor, (node.clone(), size_of(&node)));
        }
        self.place(node, 1)
    }

    fn place(&mut self, mut node: Node, size: usize) -> Result<(), Mistake> {
        self.nodes += size;
        if self.nodes > self.most {
            return Err(Mistake::at(node.span, "the file holds too many values", "no more are read").help(
                format!(
                    "a boat file has some hundred values; {} are read, copies by alias included",
                    self.most
                ),
            ));
        }
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(Open::List { items, .. }) => items.push(node),
            Some(Open::Map { entries, seen, key, .. }) => match key.take() {
                Some((key, key_span)) => {
                    let left_out = node.span.start == node.span.end;
                    if left_out || is_block(&node, self.text) {
                        node.span = key_span;
                    }
                    entries.push(Entry { key, key_span, value: node });
                }
                None => {
                    if node.is_empty() {
                        return Err(Mistake::at(
                            node.span,
                            "a key must be a word or a number",
                            "this is none",
                        )
                        .help("write the key, in quotes if it is really called so"));
                    }
                    let Value::Scalar { text, .. } = node.value else {
                        return Err(Mistake::at(node.span, "a key must be a word or a number", "not a key")
                            .help("check the brackets here"));
                    };
                    if let Some(first) = seen.insert(text.clone(), node.span) {
                        return Err(Mistake::at(
                            node.span,
                            format!("`{}` stands here twice", shown(&text)),
                            "the second time",
                        )
                        .also(first, "the first time")
                        .help("keep one of the two, or rename one"));
                    }
                    *key = Some((text, node.span));
                }
            },
        }
        Ok(())
    }

    fn not_yaml(&self, error: &ScanError) -> Mistake {
        let mark = error.marker();
        let offset = mark.byte_offset().unwrap_or_else(|| {
            let start: usize =
                self.text.split_inclusive('\n').take(mark.line().saturating_sub(1)).map(str::len).sum();
            let line = self.text[start..].split('\n').next().unwrap_or("");
            start + line.chars().take(mark.col()).map(char::len_utf8).sum::<usize>()
        });
        let start = offset.min(self.text.len());
        let width = self.text.get(start..).and_then(|t| t.chars().next()).map_or(0, char::len_utf8);
        let span = Span { start, end: start + width };
        let info = error.info();
        // A pair in a list is a map without brackets: only what begins with one was opened.
        let opens = |start: &Span, bracket| self.text[start.start..].starts_with(bracket);
        let unclosed = self.open.iter().rev().find_map(|open| match open {
            Open::List { start, .. } if opens(start, '[') => Some((*start, ']')),
            Open::Map { start, .. } if opens(start, '{') => Some((*start, '}')),
            _ => None,
        });
        if info.contains("nest") || info.contains("depth") || info.contains("recursion") {
            return Mistake::at(span, "values are nested too deeply", "one level too many")
                .help(format!("a boat file needs seven levels; {DEEPEST} are read"));
        }
        if info.contains("anchor") && info.contains("unknown") || info.contains("unresolved alias") {
            return Mistake::at(span, "an alias without its anchor", "nothing has this name")
                .help("write the value out, or in quotes if it really begins with `*`");
        }
        let mistake = Mistake::at(span, format!("this is not YAML: {info}"), "the reading stops here");
        match unclosed {
            Some((start, bracket)) if start.start == span.start => {
                Mistake::at(span, format!("this is not YAML: {info}"), "never closed")
                    .help(format!("is a `{bracket}` missing behind it?"))
            }
            Some((start, bracket)) => mistake
                .also(first_byte(start), "opened here")
                .help(format!("is a `{bracket}` or a comma missing before this place?")),
            None => mistake.help(
                "check the indentation, and that a colon with a space follows each key; \
                 a text that holds `: ` or ` #` must stand in quotes",
            ),
        }
    }
}

fn no_tag(tagged: bool, span: Span) -> Result<(), Mistake> {
    if !tagged {
        return Ok(());
    }
    Err(Mistake::at(span, "a YAML tag means nothing in a boat file", "tagged with `!`")
        .help("leave the tag out, or put the text in quotes"))
}

fn around(start: Span, end: Span, flow: bool, first: Option<Span>) -> Span {
    if flow { Span { start: start.start, end: end.end.max(start.end) } } else { first.unwrap_or(start) }
}

/// A block has no brackets to underline.
fn is_block(node: &Node, text: &str) -> bool {
    let opens = |bracket| text[node.span.start..].starts_with(bracket);
    match node.value {
        Value::Scalar { .. } => false,
        Value::List(_) => !opens('[') && !opens('*'),
        Value::Map(_) => !opens('{') && !opens('*'),
    }
}

fn first_byte(span: Span) -> Span {
    Span { start: span.start, end: span.start + 1 }
}

fn size_of(node: &Node) -> usize {
    1 + match &node.value {
        // A long text weighs more, or a few copies of it would fill the memory.
        Value::Scalar { text, .. } => text.len() / 128,
        Value::List(items) => items.iter().map(size_of).sum(),
        Value::Map(entries) => entries.iter().map(|entry| size_of(&entry.value)).sum(),
    }
}

/// A text from the file, short enough for a message.
fn shown(text: &str) -> String {
    crate::setup::lower::shown(text)
}
