//! Changing single values of a boat file and leaving every other byte as it is.

use super::{Entry, Node, Source, Span, Value};

/// A stretch of the text and what takes its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// What goes; of no length where something is only put in.
    pub span: Span,
    /// What comes.
    pub text: String,
}

/// A key under which something is to stand in a block that may lack it.
#[derive(Clone, Copy, Debug)]
pub struct Put<'a> {
    /// The key.
    pub key: &'a str,
    /// Its value, as it is to be written.
    pub value: &'a str,
    /// Where the key is missing and the block goes over several lines: behind which keys a new line
    /// for it looks best, the first that there is.
    pub after: &'a [&'a str],
}

impl Source {
    /// What has to be changed so that `put` stands in the block `node`; `None` where there is no
    /// place in which a new key could safely go.
    pub fn put(&self, node: &Node, put: Put<'_>) -> Option<Edit> {
        if let Some(entry) = node.entry(put.key) {
            let whole = matches!(entry.value.value, Value::Scalar { .. }) && !entry.value.is_empty();
            return whole.then(|| Edit { span: entry.value.span, text: put.value.to_owned() });
        }
        let line = format!("{}: {}", put.key, put.value);
        if self.text[node.span.start..].starts_with('{') && self.text[..node.span.end].ends_with('}') {
            let last = node.entries().last()?;
            let at = self.end_of(last)?;
            return Some(Edit { span: Span { start: at, end: at }, text: format!(", {line}") });
        }
        let after = put.after.iter().filter_map(|key| node.entry(key));
        after.chain(node.entries().iter().rev()).find_map(|entry| self.line_behind(entry, &line))
    }

    /// A new line behind one that holds a whole entry of a block and nothing of another.
    fn line_behind(&self, entry: &Entry, line: &str) -> Option<Edit> {
        let begin = self.text[..entry.key_span.start].rfind('\n').map_or(0, |at| at + 1);
        let indent = &self.text[begin..entry.key_span.start];
        let end = self.end_of(entry)?;
        if !indent.bytes().all(|b| b == b' ') || self.text[entry.key_span.start..end].contains('\n') {
            return None;
        }
        let rest = &self.text[end..];
        let newline = rest.find('\n');
        let stop = end + newline.unwrap_or(rest.len());
        let ending = if self.text[..stop].ends_with('\r') { "\r\n" } else { "\n" };
        // Behind the end of the line, comment and all; a last line without an end gets one.
        let (at, text) = match newline {
            Some(_) => (stop + 1, format!("{indent}{line}{ending}")),
            None => (stop, format!("\n{indent}{line}")),
        };
        Some(Edit { span: Span { start: at, end: at }, text })
    }

    /// Where an entry ends whose value is a scalar or stands in brackets; a block has no end to see.
    fn end_of(&self, entry: &Entry) -> Option<usize> {
        let node = &entry.value;
        let closed = |bracket| self.text[..node.span.end].ends_with(bracket);
        let seen = match node.value {
            Value::Scalar { .. } => !node.is_empty(),
            Value::List(_) => closed(']'),
            Value::Map(_) => closed('}'),
        };
        (seen && node.span.start >= entry.key_span.end).then_some(node.span.end)
    }

    /// The text with all of these made, which must not overlap. Two that go to the same place come
    /// in the order given.
    pub fn with(&self, edits: &[Edit]) -> String {
        let mut edits: Vec<&Edit> = edits.iter().collect();
        edits.sort_by_key(|edit| edit.span);
        let (mut text, mut at) = (String::with_capacity(self.text.len() + 64), 0);
        for edit in edits {
            text.push_str(self.text.get(at..edit.span.start).unwrap_or_default());
            text.push_str(&edit.text);
            at = edit.span.end;
        }
        text.push_str(self.text.get(at..).unwrap_or_default());
        text
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Put, Source};

    fn put(text: &str, key: &str, value: &str) -> Option<String> {
        let source = Source::from_bytes("x", text.as_bytes().to_vec()).unwrap();
        let edit = source.put(source.root.get("a").unwrap(), Put { key, value, after: &["b"] })?;
        Some(source.with(&[edit]))
    }

    #[test]
    fn a_value_is_replaced_and_what_stands_around_it_is_not() {
        assert_eq!(put("a: {b:  1 % , c: 2}  # x\n", "b", "9 %").unwrap(), "a: {b:  9 % , c: 2}  # x\n");
        assert_eq!(
            put("a:\n  b:  '1 %'   # x\n  c: 2\n", "b", "9 %").unwrap(),
            "a:\n  b:  9 %   # x\n  c: 2\n"
        );
        assert_eq!(put("a:\r\n  b: 1 %\r\n", "b", "9 %").unwrap(), "a:\r\n  b: 9 %\r\n");
    }

    #[test]
    fn a_missing_key_goes_where_one_would_write_it() {
        assert_eq!(put("a: {b: 1, c: [2, 3] }\n", "d", "9").unwrap(), "a: {b: 1, c: [2, 3], d: 9 }\n");
        assert_eq!(put("a:\n  b: 1  # x\n  c: 2\n", "d", "9").unwrap(), "a:\n  b: 1  # x\n  d: 9\n  c: 2\n");
        assert_eq!(put("a:\r\n  b: 1\r\n", "d", "9").unwrap(), "a:\r\n  b: 1\r\n  d: 9\r\n");
        assert_eq!(put("a:\n  b: 1", "d", "9").unwrap(), "a:\n  b: 1\n  d: 9");
        assert_eq!(put("a:\n  b:\n    c: 1\n", "d", "9"), None);
    }
}
