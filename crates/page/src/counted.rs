//! Somebody else's template made to count its own work: after every tag that begins a loop or keeps a value
//! stands one of ours, which adds to a sum and says stop. It counts, and looks at no clock, so a template
//! is stopped on every machine at the same place or on none.

use std::ops::Range;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use tera::{Error, Kwargs, State, Tera, TeraResult, Value};

/// Steps of all loops. Ours take some thousand; one step of a long template counts for several.
const MOST_STEPS: u64 = 100_000;
/// So many bytes of a template are one step, should each loop go through all of it.
const BYTES_OF_A_STEP: u64 = 8 << 10;
/// The longest value that is kept or made, in bytes as JSON; all labels are about 60 kB.
const MOST_KEPT: usize = 256 << 10;
/// Texts joined in one tag: joined to themselves they grow.
const MOST_JOINED: usize = 32;
/// The longest tag, in bytes.
const LONGEST_TAG: usize = 2_000;
/// What a template may do. What is left out repeats or keeps text where it cannot be counted.
const TAGS: [&str; 10] =
    ["if", "elif", "else", "endif", "for", "endfor", "set", "set_global", "break", "continue"];
/// Names of our functions.
const STEP: &str = "counted_step";
const KEPT: &str = "counted_value";

/// A template with our tags in it.
pub(crate) struct Counted {
    /// All of it.
    pub text: String,
    /// Where in the original each of ours stands, and how long it is.
    added: Vec<(usize, usize)>,
}

impl Counted {
    /// Puts the tags in.
    ///
    /// # Errors
    /// The place and what is wrong with it.
    pub(crate) fn of(text: &str) -> Result<Self, (Range<usize>, String)> {
        let mut counted = Self { text: String::with_capacity(text.len() * 2), added: Vec::new() };
        let mut done = 0;
        while let Some(tag) = Tag::next(text, done) {
            let Range { start, end } = tag.place;
            counted.text.push_str(&text[done..end]);
            done = end;
            let ours = tag.counted(text).map_err(|why| (start..end, why))?;
            if let Some(call) = ours {
                // What the tag trims behind it, ours trims in its place.
                let trims = text[..end].ends_with("-%}");
                let call = format!("{{{{ {call} {}}}}}", if trims { "-" } else { "" });
                counted.added.push((end, call.len()));
                counted.text.push_str(&call);
            }
        }
        counted.text.push_str(&text[done..]);
        Ok(counted)
    }

    /// A range of the text with our tags, in the original.
    pub(crate) fn original(&self, range: &Range<usize>) -> Range<usize> {
        let place = |at: usize| {
            let mut before = 0;
            for (original, length) in &self.added {
                if original + before >= at {
                    break;
                }
                // Inside of ours: the tag it stands behind.
                before += (*length).min(at - original - before);
            }
            at - before
        };
        let (start, end) = (place(range.start), place(range.end));
        start..end.max(start)
    }
}

/// What stands between `{%`, `{{` or `{#` and its end.
struct Tag {
    place: Range<usize>,
    kind: u8,
}

impl Tag {
    fn next(text: &str, from: usize) -> Option<Self> {
        let bytes = text.as_bytes();
        let mut at = from;
        let (start, kind) = loop {
            at += text.get(at..)?.find('{')?;
            match bytes.get(at + 1) {
                Some(kind @ (b'%' | b'{' | b'#')) => break (at, *kind),
                Some(_) => at += 1,
                None => return None,
            }
        };
        let ending: &[u8] = match kind {
            b'%' => b"%}",
            b'{' => b"}}",
            _ => b"#}",
        };
        let mut quote = None;
        let mut at = start + 2;
        while at < bytes.len() {
            match (quote, bytes[at]) {
                (None, letter @ (b'"' | b'\'' | b'`')) if kind != b'#' => quote = Some(letter),
                (Some(open), letter) if letter == open => quote = None,
                (Some(_), b'\\') => at += 1,
                (None, _) if bytes[at..].starts_with(ending) => {
                    return Some(Self { place: start..at + 2, kind });
                }
                _ => {}
            }
            at += 1;
        }
        // Without an end it is no tag; that is told by whoever reads the template.
        None
    }

    /// The call that belongs behind it.
    fn counted(&self, text: &str) -> Result<Option<String>, String> {
        if self.kind == b'#' {
            return Ok(None);
        }
        if self.place.len() > LONGEST_TAG {
            return Err(format!("a tag is at most {LONGEST_TAG} bytes long: part it"));
        }
        let words = words(&text[self.place.start + 2..self.place.end - 2]);
        let joined = words.iter().filter(|word| *word == "~").count();
        if joined > MOST_JOINED {
            return Err(format!("more than {MOST_JOINED} texts are joined in one tag: part it"));
        }
        let mut words = words.iter().map(String::as_str).filter(|word| *word != "-");
        if self.kind == b'{' {
            return if words.any(|word| word == "for") { Err(LOOP_INSIDE.to_owned()) } else { Ok(None) };
        }
        let tag = words.next().unwrap_or_default();
        if !TAGS.contains(&tag) {
            return Err(format!("`{tag}` is not taken in a template: take {}", TAGS.join(", ")));
        }
        let rest: Vec<&str> = words.collect();
        if rest.contains(&"for") {
            return Err(LOOP_INSIDE.to_owned());
        }
        match (tag, &rest[..]) {
            ("for", _) => Ok(Some(format!("{STEP}()"))),
            ("set" | "set_global", [name, "=", ..]) => Ok(Some(format!("{KEPT}(value={name})"))),
            ("set" | "set_global", _) => Err("write `set NAME = VALUE`".to_owned()),
            _ => Ok(None),
        }
    }
}

const LOOP_INSIDE: &str = "a loop inside of a value is not taken: write it as a tag";

/// Names, and signs one by one; what is quoted is left out.
fn words(tag: &str) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    let (mut quote, mut name, mut escaped) = (None, String::new(), false);
    for letter in tag.chars() {
        if let Some(open) = quote {
            match letter {
                _ if escaped => escaped = false,
                '\\' => escaped = true,
                letter if letter == open => quote = None,
                _ => {}
            }
            continue;
        }
        if letter.is_alphanumeric() || letter == '_' || letter == '.' {
            name.push(letter);
            continue;
        }
        if !name.is_empty() {
            all.push(std::mem::take(&mut name));
        }
        match letter {
            '"' | '\'' | '`' => quote = Some(letter),
            letter if letter.is_whitespace() => {}
            letter => all.push(letter.to_string()),
        }
    }
    if !name.is_empty() {
        all.push(name);
    }
    all
}

/// Gives a reader of templates what counts, for a template of this length. The sum is that of one filling in.
pub(crate) fn register(tera: &mut Tera, length: usize) -> Arc<AtomicU64> {
    let sum = Arc::new(AtomicU64::new(0));
    let each = 1 + length as u64 / BYTES_OF_A_STEP;
    let step = {
        let sum = Arc::clone(&sum);
        move |steps: u64| {
            let more = steps.saturating_mul(each).min(MOST_STEPS + 1);
            if sum.fetch_add(more, Ordering::Relaxed) + more > MOST_STEPS {
                return Err(Error::message(
                    "it was stopped after too many steps of its loops; is there a loop without end?",
                ));
            }
            Ok(())
        }
    };
    let one = step.clone();
    tera.register_function(STEP, move |_: Kwargs, _: &State| one(1).map(|()| ""));
    tera.register_function(KEPT, |given: Kwargs, _: &State| -> TeraResult<&'static str> {
        let mut room = Room(MOST_KEPT);
        match serde_json::to_writer(&mut room, &given.must_get::<Value>("value")?) {
            Ok(()) => Ok(""),
            Err(_) => Err(too_long()),
        }
    });
    tera.register_function("range", move |given: Kwargs, _: &State| -> TeraResult<Vec<i64>> {
        let (start, end) = (given.get::<i64>("start")?.unwrap_or(0), given.must_get::<i64>("end")?);
        let by = given.get::<i64>("step_by")?.unwrap_or(1);
        if by < 1 {
            return Err(Error::message("`step_by` of a range is 1 or more"));
        }
        let by = by.unsigned_abs();
        let count = if end > start { end.abs_diff(start).div_ceil(by) } else { 0 };
        step(count)?;
        Ok((0..count).map(|n| start + (n * by) as i64).collect())
    });
    tera.register_filter("replace", |text: &str, given: Kwargs, _: &State| -> TeraResult<String> {
        let (from, to) = (given.must_get::<&str>("from")?, given.must_get::<&str>("to")?);
        let places = text.matches(from).count();
        if text.len() + places * to.len() > MOST_KEPT {
            return Err(too_long());
        }
        Ok(text.replace(from, to))
    });
    for grows in ["join", "indent", "escape", "escape_html", "escape_xml", "newlines_to_br"] {
        tera.register_filter(grows, move |_: &Value, _: Kwargs, _: &State| -> TeraResult<String> {
            Err(Error::message(format!("the filter `{grows}` is not taken in a template")))
        });
    }
    sum
}

fn too_long() -> Error {
    Error::message(format!("a value grows longer than {} kB and was stopped", MOST_KEPT >> 10))
}

/// Takes so many bytes and keeps none.
struct Room(usize);

impl std::io::Write for Room {
    fn write(&mut self, chunk: &[u8]) -> std::io::Result<usize> {
        self.0 = self.0.checked_sub(chunk.len()).ok_or(std::io::ErrorKind::FileTooLarge)?;
        Ok(chunk.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

/// The JSON of a value, if it is no longer than one may be.
pub(crate) fn json(value: &Value) -> TeraResult<String> {
    serde_json::to_writer(&mut Room(MOST_KEPT), value).map_err(|_| too_long())?;
    serde_json::to_string(value).map_err(Error::message)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::Counted;

    #[test]
    fn ours_stand_behind_loops_and_values_and_trim_what_was_trimmed() {
        let text = "a{% for x in y -%}\n b{% set z = \"%} ~\" ~ x %}{# {% for #}{%- endfor %}{{ z }}";
        let counted = Counted::of(text).unwrap();
        let wanted = "a{% for x in y -%}{{ counted_step() -}}\n b{% set z = \"%} ~\" ~ x %}{{ counted_value(value=z) }}{# {% for #}{%- endfor %}{{ z }}";
        assert_eq!(counted.text, wanted);
        for word in ["a", "b{", "\"%} ~\"", "{{ z }}"] {
            let (old, new) = (text.find(word).unwrap(), wanted.find(word).unwrap());
            assert_eq!(counted.original(&(new..new + word.len())), old..old + word.len(), "{word}");
        }
        let step = wanted.find("counted_step").unwrap();
        let behind = text.find("%}").unwrap() + 2;
        assert_eq!(counted.original(&(step..step + 4)).start, behind);
    }

    #[test]
    fn what_repeats_or_keeps_text_uncounted_is_not_taken() {
        for (text, words) in [
            ("{% macro a() %}{% endmacro %}", "`macro` is not taken"),
            ("{% include \"a\" %}", "`include`"),
            ("{% filter upper %}a{% endfilter %}", "`filter`"),
            ("{% set a %}a{% endset %}", "set NAME = VALUE"),
            ("{{ [x for x in y] }}", "a loop inside"),
            ("{% set a = [x for x in y] %}", "a loop inside"),
            (&format!("{{{{ a{} }}}}", " ~ a".repeat(40)), "joined"),
            (&format!("{{{{ {} }}}}", "(".repeat(3_000)), "bytes long"),
        ] {
            let (_, why) = Counted::of(text).err().unwrap();
            assert!(why.contains(words), "{text}: {why}");
        }
    }
}
