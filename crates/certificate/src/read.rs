//! Whether a text is a certificate that this program knows, and of which boat file.

use super::VERSION;
use crate::fingerprint::Code;
use serde_json::Value;

/// What keeps a text from being one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unread {
    /// It is no JSON, from this line and column on (counted from 1).
    NoJson {
        /// The line.
        line: usize,
        /// The column.
        column: usize,
        /// Whether all is well up to where it ends.
        is_cut: bool,
    },
    /// It is JSON, and lacks this key of a certificate or has no such thing there.
    Lacks(&'static str),
    /// It is one of another version, told as it stands there.
    Version(String),
}

/// The code of the boat file that a certificate says it is of.
///
/// # Errors
/// What keeps the text from being a certificate that this program knows.
pub fn code_in(text: &str) -> Result<Code, Unread> {
    let said: Value = serde_json::from_str(text).map_err(|error| Unread::NoJson {
        line: error.line(),
        column: error.column(),
        is_cut: error.is_eof() && !text.trim().is_empty(),
    })?;
    let has = |key: &'static str| said.get(key).ok_or(Unread::Lacks(key));
    let (version, boat, _) = (has("version")?, has("boat")?, has("coverage")?);
    if *version != VERSION {
        return Err(Unread::Version(version.to_string()));
    }
    boat.as_str().and_then(Code::read).ok_or(Unread::Lacks("boat"))
}

#[cfg(test)]
mod tests {
    use super::{Unread, code_in};

    #[test]
    fn what_is_no_certificate_is_told_apart() {
        let whole = r#"{"version": 1, "boat": "N7ED-Y83J", "coverage": {}}"#;
        assert_eq!(code_in(whole).map(|code| code.to_string()), Ok("N7ED-Y83J".to_owned()));
        let cut = &whole[..20];
        assert_eq!(code_in(cut), Err(Unread::NoJson { line: 1, column: 20, is_cut: true }));
        let yaml = "lidcard: 1\n";
        assert_eq!(code_in(yaml), Err(Unread::NoJson { line: 1, column: 1, is_cut: false }));
        assert_eq!(code_in(""), Err(Unread::NoJson { line: 1, column: 0, is_cut: false }));
        assert_eq!(code_in(r#"{"version": 1}"#), Err(Unread::Lacks("boat")));
        let other = whole.replace("1,", "2,");
        assert_eq!(code_in(&other), Err(Unread::Version("2".into())));
        let misspelt = whole.replace("N7ED", "N7E");
        assert_eq!(code_in(&misspelt), Err(Unread::Lacks("boat")));
    }
}
