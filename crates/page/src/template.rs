//! Tera with a leash: a template yields text, not too much of it and not by too much work.

use std::io::{self, Write};
use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use super::counted::{self, Counted};
use tera::{Context, ErrorKind, Kwargs, State, Tera, Value};

/// On so many bytes of stack a template that is nested too deep is told as an error, and is not the end of
/// the program.
pub const STACK: usize = 16 << 20;

/// The most text a template may yield. A full A4 page of small print takes a twentieth of it.
const MOST_BYTES: usize = 2 << 20;

/// A mistake in a template.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemplateError {
    /// Name of the template.
    pub name: String,
    /// The template itself.
    pub text: String,
    /// Which bytes of it are wrong; empty at 0 where that cannot be said.
    pub range: Range<usize>,
    /// What is wrong.
    pub message: String,
}

impl TemplateError {
    /// Line and column, from 1, of the first wrong byte.
    pub fn place(&self) -> (usize, usize) {
        let before = self.text.get(..self.range.start).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
        (line, column)
    }
}

impl std::fmt::Display for TemplateError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (line, column) = self.place();
        write!(f, "{}:{line}:{column}: {}", self.name, self.message)
    }
}

impl std::error::Error for TemplateError {}

struct LimitedOutput {
    bytes: Vec<u8>,
}

impl Write for LimitedOutput {
    fn write(&mut self, chunk: &[u8]) -> io::Result<usize> {
        if self.bytes.len() + chunk.len() > MOST_BYTES {
            return Err(io::Error::from(io::ErrorKind::FileTooLarge));
        }
        self.bytes.extend_from_slice(chunk);
        Ok(chunk.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// What `json` says of a value that is not there.
const NOT_THERE: &str = "not defined";

/// `{{ text | json }}`: quotes a text, or writes any value, so that it is safe inside YAML. What is
/// not there would pass for nothing to say, so it is refused.
fn json(value: &Value, _: Kwargs, _: &State) -> tera::TeraResult<String> {
    if value.is_undefined() {
        return Err(tera::Error::message(NOT_THERE));
    }
    counted::json(value)
}

/// Fills in a page of HTML: what is filled in is text and never a tag, whatever is in it.
///
/// # Errors
/// When the template is wrong, or takes too much work.
pub fn fill_html(name: &str, text: &str, context: Context) -> Result<String, TemplateError> {
    // What is filled in is escaped in templates whose name has one of these ends; every name ends in nothing.
    Parsed::new(name, text, vec![""], true)?.fill(context)
}

/// A template read once, to be filled in as often as one likes.
pub struct Parsed {
    name: String,
    /// As it was written.
    text: String,
    /// As it was read, if that is something else.
    counted: Option<(Counted, Arc<AtomicU64>)>,
    tera: Tera,
}

impl Parsed {
    /// Reads a template of ours, whose work is known.
    ///
    /// # Errors
    /// When the template is wrong.
    pub fn ours(name: &str, text: &str) -> Result<Self, TemplateError> {
        Self::new(name, text, Vec::new(), false)
    }

    /// Reads somebody else's: its work is counted.
    ///
    /// # Errors
    /// When the template is wrong, or does what cannot be counted.
    pub fn read(name: &str, text: &str) -> Result<Self, TemplateError> {
        Self::new(name, text, Vec::new(), true)
    }

    fn new(name: &str, text: &str, escaped: Vec<&'static str>, counts: bool) -> Result<Self, TemplateError> {
        let wrong =
            |(range, message)| TemplateError { name: name.to_owned(), text: text.to_owned(), range, message };
        let counted = if counts { Some(Counted::of(text).map_err(wrong)?) } else { None };
        let mut tera = Tera::new();
        let counted = counted.map(|counted| (counted, counted::register(&mut tera, text.len())));
        tera.register_filter("json", json);
        tera.autoescape_on(escaped);
        let read = counted.as_ref().map_or(text, |(counted, _)| &counted.text).to_owned();
        let added = tera.add_raw_template(name, &read);
        let parsed = Self { name: name.to_owned(), text: text.to_owned(), counted, tera };
        added.map_err(|e| parsed.explain(&e))?;
        Ok(parsed)
    }

    /// Its name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The template itself.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Fills it in. The deeper a template is nested the more stack that takes: whoever fills in somebody
    /// else's gives it room ([`STACK`]).
    ///
    /// # Errors
    /// When something is missing, or takes too much work.
    pub fn fill(&self, context: Context) -> Result<String, TemplateError> {
        if let Some((_, sum)) = &self.counted {
            sum.store(0, Ordering::Relaxed);
        }
        let mut leash = LimitedOutput { bytes: Vec::new() };
        let filled = self.tera.render_to(&self.name, &context, &mut leash).map(|()| leash.bytes);
        let bytes = filled.map_err(|e| self.explain(&e))?;
        String::from_utf8(bytes).map_err(|_| self.wrong("it yields text that is not UTF-8".into(), 0..0))
    }

    fn wrong(&self, message: String, range: Range<usize>) -> TemplateError {
        TemplateError { name: self.name.clone(), text: self.text.clone(), range, message }
    }

    fn explain(&self, error: &tera::Error) -> TemplateError {
        let read = self.counted.as_ref().map_or(self.text.as_str(), |(counted, _)| &counted.text);
        explain(error, read, &|message, range| {
            let range = self.counted.as_ref().map_or(range.clone(), |(counted, _)| counted.original(&range));
            self.wrong(message, range)
        })
    }
}

fn explain(
    error: &tera::Error,
    text: &str,
    wrong: &dyn Fn(String, Range<usize>) -> TemplateError,
) -> TemplateError {
    match error.kind() {
        ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report)
            if report.message().ends_with(NOT_THERE)
                && text.get(report.span().range.clone()) == Some("json") =>
        {
            let range = before_filter(text, report.span().range.start);
            wrong(format!("`{}` is {NOT_THERE}", &text[range.clone()]), range)
        }
        ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => {
            wrong(report.message().to_owned(), report.span().range.clone())
        }
        ErrorKind::Io(io::ErrorKind::FileTooLarge) => wrong(
            format!("yields more than {MOST_BYTES} bytes and was stopped; is there a loop without end?"),
            0..0,
        ),
        _ => wrong(error.to_string(), 0..0),
    }
}

/// The expression that goes into the filter at a place: `labels.card.on` before `| json`.
fn before_filter(text: &str, filter: usize) -> Range<usize> {
    let before = &text[..filter];
    let start = before.rfind("{{").map_or(0, |at| at + 2);
    let inner = before[start..].trim_end().trim_end_matches('|').trim();
    let start = start + before[start..].find(inner).unwrap_or(0);
    start..start + inner.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fill(name: &str, text: &str, context: Context) -> Result<String, TemplateError> {
        Parsed::read(name, text)?.fill(context)
    }

    #[test]
    fn a_text_stays_one_text_whatever_is_in_it() {
        let mut context = Context::new();
        context.insert("name", "a \"b\"\n- <c>: {d}");
        let yaml = fill("t", "{{ name | json }}", context).expect("fills");
        assert_eq!(yaml, "\"a \\\"b\\\"\\n- <c>: {d}\"");
    }

    #[test]
    fn a_mistake_is_placed_by_line_and_column() {
        let error =
            fill("mine.tera", "title: x\nname: {{ nowhere }}\n", Context::new()).expect_err("undefined");
        assert_eq!(error.place(), (2, 10));
        assert_eq!(&error.text[error.range.clone()], "nowhere");
        let error = fill("mine.tera", "a\nb\n  {% fi x %}", Context::new()).expect_err("syntax");
        assert_eq!(error.place().0, 3);
    }

    #[test]
    fn a_template_that_writes_for_ever_is_stopped() {
        let text = "{% for a in range(end=90000) %}{% for b in range(end=90000) %}xxxxxxxxxxxxxxxx{% endfor %}{% endfor %}";
        let error = fill("mine.tera", text, Context::new()).expect_err("too much");
        assert!(error.message.contains("stopped"), "{error}");
    }

    #[test]
    fn a_template_that_works_or_grows_without_end_is_stopped_by_what_it_did() {
        let twice = |inside: &str| {
            format!(
                "{{% for a in range(end=9000) %}}{{% for b in range(end=9000) %}}{inside}{{% endfor %}}{{% endfor %}}"
            )
        };
        let doubling = |value: &str| {
            format!(
                "{{% set_global a = \"aaaaaaaa\" %}}{{% for b in range(end=60) %}}{{% set_global a = {value} %}}{{% endfor %}}"
            )
        };
        for text in [
            twice(""),
            "{% for a in range(end=9000) %}{% if range(end=9000) %}{% endif %}{% endfor %}".to_owned(),
            "{% for a in range(end=4000000000) %}{% endfor %}".to_owned(),
            doubling("a ~ a"),
            doubling("[a, a]"),
            doubling("a | replace(from=\"a\", to=\"aa\")"),
            format!(
                "{{% set a = \"{}\" %}}{{{{ a | replace(from=\"\", to=a) | replace(from=\"\", to=a) }}}}",
                "a".repeat(900)
            ),
        ] {
            let error = fill("mine.tera", &text, Context::new()).expect_err(&text);
            assert!(error.message.contains("stopped"), "{text:.90}: {error}");
        }
        let error = fill("mine.tera", &twice(""), Context::new()).expect_err("too many steps");
        assert_eq!(error.place().0, 1);
        assert!(error.text.starts_with("{% for a"), "the template as it was written");
    }
}
