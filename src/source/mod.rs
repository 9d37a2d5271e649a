//! Stand-in while the real one is being written.
use crate::setup::Path;

/// A stretch of bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Span {
    /// First byte.
    pub start: usize,
    /// One past the last.
    pub end: usize,
}

/// A boat file's text.
#[derive(Clone, Debug)]
pub struct Source {
    /// Name as shown.
    pub name: String,
    /// Text.
    pub text: String,
}

/// A mistake in reading.
#[derive(Clone, Debug)]
pub struct Mistake {
    /// What.
    pub message: String,
    /// Where.
    pub labels: Vec<(Span, String)>,
    /// What instead.
    pub help: Option<String>,
}

impl Source {
    /// From text.
    pub fn from_text(name: &str, text: String) -> Self {
        Self { name: name.to_owned(), text }
    }
    /// Reads bytes.
    pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Result<Self, Vec<Mistake>> {
        let text = String::from_utf8(bytes).map_err(|_| {
            vec![Mistake { message: "not UTF-8".into(), labels: vec![], help: None }]
        })?;
        Ok(Self::from_text(name, text))
    }
    /// Reads a file.
    pub fn load(name: &str) -> Result<Self, Vec<Mistake>> {
        let bytes = std::fs::read(name).map_err(|e| {
            vec![Mistake { message: format!("cannot be read: {e}"), labels: vec![], help: None }]
        })?;
        Self::from_bytes(name, bytes)
    }
    /// Place of a path.
    pub fn locate(&self, path: &Path) -> Span {
        let (mut start, mut end) = (0, 0);
        for key in &path.0 {
            if let Some(at) = self.text[start..].find(key.as_str()) {
                start += at;
                end = start + key.len();
            }
        }
        Span { start, end }
    }
    /// 1-based.
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        let before = &self.text[..offset.min(self.text.len())];
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
        (line, column)
    }
}
