//! Tera with a leash: a template yields text, not too much of it and not for too long.

use std::io::{self, Write};
use std::ops::Range;
use std::sync::{Arc, mpsc};
use std::time::{Duration, Instant};

use tera::{Context, ErrorKind, Kwargs, State, Tera, Value};

/// The most text a template may yield. A full A4 page of small print takes a twentieth of it.
const MOST_BYTES: usize = 2 << 20;
/// The longest a template may take. Ours take about a thousandth of it.
const MOST_TIME: Duration = Duration::from_secs(2);

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

struct Leash {
    bytes: Vec<u8>,
    until: Instant,
}

impl Write for Leash {
    fn write(&mut self, chunk: &[u8]) -> io::Result<usize> {
        if self.bytes.len() + chunk.len() > MOST_BYTES {
            return Err(io::Error::from(io::ErrorKind::FileTooLarge));
        }
        if Instant::now() > self.until {
            return Err(io::Error::from(io::ErrorKind::TimedOut));
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
    serde_json::to_string(value).map_err(tera::Error::message)
}

/// Fills a template in.
///
/// # Errors
/// When the template is wrong, or goes on for too long.
pub fn fill(name: &str, text: &str, context: Context) -> Result<String, TemplateError> {
    Parsed::read(name, text)?.fill(context)
}

/// The same for a page of HTML: what is filled in is text and never a tag, whatever is in it.
///
/// # Errors
/// As [`fill`].
pub fn fill_html(name: &str, text: &str, context: Context) -> Result<String, TemplateError> {
    Parsed::escaping(name, text, vec![""])?.fill(context)
}

/// A template read once, to be filled in as often as one likes.
pub struct Parsed {
    name: String,
    text: String,
    tera: Arc<Tera>,
    watched: bool,
}

impl Parsed {
    /// Reads a template.
    ///
    /// # Errors
    /// When the template is wrong.
    pub fn read(name: &str, text: &str) -> Result<Self, TemplateError> {
        Self::escaping(name, text, Vec::new())
    }

    /// The same template, filled in without anybody watching the clock over loops that write nothing: for
    /// one that is built in, whose loops are known.
    pub fn trusted(self) -> Self {
        Self { watched: false, ..self }
    }

    /// What is filled in is escaped in templates whose name has one of these ends; every name ends in
    /// nothing.
    fn escaping(name: &str, text: &str, ends: Vec<&'static str>) -> Result<Self, TemplateError> {
        let mut tera = Tera::new();
        tera.register_filter("json", json);
        tera.autoescape_on(ends);
        let added = tera.add_raw_template(name, text);
        let parsed =
            Self { name: name.to_owned(), text: text.to_owned(), tera: Arc::new(tera), watched: true };
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

    /// Fills it in.
    ///
    /// # Errors
    /// As [`fill`].
    pub fn fill(&self, context: Context) -> Result<String, TemplateError> {
        let bytes = if self.watched { self.fill_watched(context)? } else { self.render(&context)? };
        String::from_utf8(bytes).map_err(|_| self.wrong("it yields text that is not UTF-8".into(), 0..0))
    }

    fn render(&self, context: &Context) -> Result<Vec<u8>, TemplateError> {
        rendered(&self.tera, &self.name, context).map_err(|e| self.explain(&e))
    }

    /// A loop that writes nothing never reaches the writer, so the clock is also watched from here.
    fn fill_watched(&self, context: Context) -> Result<Vec<u8>, TemplateError> {
        let (send, receive) = mpsc::channel();
        let (tera, inside) = (Arc::clone(&self.tera), self.name.clone());
        let work = move || {
            // Nobody listens any more when the time was up: then there is nothing to hand over to.
            let _ = send.send(rendered(&tera, &inside, &context));
        };
        std::thread::Builder::new()
            .stack_size(16 << 20)
            .spawn(work)
            .map_err(|e| self.wrong(format!("no thread to fill it in: {e}"), 0..0))?;
        match receive.recv_timeout(MOST_TIME + Duration::from_millis(500)) {
            Ok(outcome) => outcome.map_err(|e| self.explain(&e)),
            Err(mpsc::RecvTimeoutError::Timeout) => Err(self.wrong(too_long(), 0..0)),
            Err(mpsc::RecvTimeoutError::Disconnected) => {
                Err(self.wrong("it cannot be filled in".into(), 0..0))
            }
        }
    }

    fn wrong(&self, message: String, range: Range<usize>) -> TemplateError {
        TemplateError { name: self.name.clone(), text: self.text.clone(), range, message }
    }

    fn explain(&self, error: &tera::Error) -> TemplateError {
        explain(error, &self.text, &|message, range| self.wrong(message, range))
    }
}

fn rendered(tera: &Tera, name: &str, context: &Context) -> tera::TeraResult<Vec<u8>> {
    let mut leash = Leash { bytes: Vec::new(), until: Instant::now() + MOST_TIME };
    tera.render_to(name, context, &mut leash).map(|()| leash.bytes)
}

fn too_long() -> String {
    format!("takes longer than {} s and was stopped; is there a loop without end?", MOST_TIME.as_secs())
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
        ErrorKind::Io(io::ErrorKind::TimedOut) => wrong(too_long(), 0..0),
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
    fn a_template_that_loops_in_silence_is_stopped() {
        let text = "{% for a in range(end=90000) %}{% for b in range(end=90000) %}{% endfor %}{% endfor %}";
        let started = Instant::now();
        let error = fill("mine.tera", text, Context::new()).expect_err("too long");
        assert!(error.message.contains("stopped"), "{error}");
        assert!(started.elapsed() < Duration::from_secs(6));
    }
}
