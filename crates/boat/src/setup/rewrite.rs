//! A boat file written anew from its tree: the same keys and values in the same order, without
//! remarks, as short as stays easy to read.

use crate::source::{Entry, Node, Value};

/// A block that fits into so many characters stands on one line.
const WIDEST: usize = 100;

/// The file as text.
pub fn text(root: &Node) -> String {
    let mut out = String::new();
    for entry in root.entries() {
        write_entry(&mut out, entry, 0);
    }
    out
}

fn write_entry(out: &mut String, entry: &Entry, depth: usize) {
    let indent = "  ".repeat(depth);
    let key = scalar(&entry.key, false);
    let short = flow(&entry.value);
    let fits = indent.len() + key.len() + short.len() + 2 <= WIDEST;
    match &entry.value.value {
        Value::Map(entries) if !entries.is_empty() && (depth == 0 || !fits) => {
            out.push_str(&format!("{indent}{key}:\n"));
            for inner in entries {
                write_entry(out, inner, depth + 1);
            }
        }
        Value::List(items) if !items.is_empty() && !fits => {
            out.push_str(&format!("{indent}{key}:\n"));
            for item in items {
                out.push_str(&format!("{indent}  - {}\n", flow(item)));
            }
        }
        _ => out.push_str(format!("{indent}{key}: {short}").trim_end()),
    }
    if !out.ends_with('\n') {
        out.push('\n');
    }
}

fn flow(node: &Node) -> String {
    match &node.value {
        Value::Scalar { text, quoted } => scalar(text, *quoted),
        Value::List(items) => format!("[{}]", items.iter().map(flow).collect::<Vec<_>>().join(", ")),
        Value::Map(entries) => {
            let inner = entries.iter().map(|e| format!("{}: {}", scalar(&e.key, false), flow(&e.value)));
            format!("{{{}}}", inner.collect::<Vec<_>>().join(", "))
        }
    }
}

/// Plain where YAML cannot take it for anything else, else in double quotes.
fn scalar(text: &str, quoted: bool) -> String {
    let tame = |c: char| c.is_alphanumeric() || " +-.%±/()_°".contains(c);
    let begins = |c: char| c.is_alphanumeric() || "+-.".contains(c);
    let plain = text.chars().all(tame)
        && text.chars().next().is_none_or(begins)
        && !text.starts_with("- ")
        && !matches!(text, "-" | "---" | "...")
        && text.trim() == text;
    if plain && !quoted {
        return text.to_owned();
    }
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => out.push_str(&format!("\\u{:04x}", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::text;
    use crate::setup::canonical::lines;
    use crate::source::Source;

    fn source(text: &str) -> Source {
        Source::from_bytes("t", text.into()).unwrap()
    }

    #[test]
    fn a_boat_written_anew_says_the_same_and_writing_it_again_changes_nothing() {
        for boat in [
            include_str!("../../../../boats/moonfish.yaml"),
            include_str!("../../../../boats/sprat.yaml"),
            include_str!("../../../../boats/capstan.yaml"),
        ] {
            let first = source(boat);
            let anew = text(&first.root);
            let second = source(&anew);
            assert_eq!(lines(&first.root), lines(&second.root), "{anew}");
            assert_eq!(text(&second.root), anew);
        }
    }

    #[test]
    fn awkward_texts_are_quoted() {
        let awkward =
            "a: {b: \"x: y # z\", c: '- no', d: '', e: 'it''s \"so\"', f: [], g: \"l1\\nl2\", h: '--- x'}\n";
        let first = source(awkward);
        assert_eq!(lines(&first.root), lines(&source(&text(&first.root)).root), "{}", text(&first.root));
    }
}
