//! The moment: the one place of the program where a clock is read. A record says when, and nothing else does.

use std::time::{SystemTime, UNIX_EPOCH};

/// Now, as in RFC 3339, or the moment of `SOURCE_DATE_EPOCH` for who wants the same bytes again.
pub(in crate::cli) fn now() -> String {
    let wished = std::env::var("SOURCE_DATE_EPOCH").ok().and_then(|text| text.parse::<i64>().ok());
    let seconds = wished.unwrap_or_else(|| {
        let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        i64::try_from(since.as_secs()).unwrap_or_default()
    });
    jiff::Timestamp::from_second(seconds)
        .map_or_else(|_| "1970-01-01T00:00:00Z".to_owned(), |at| at.to_string())
}
