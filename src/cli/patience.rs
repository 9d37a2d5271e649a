//! How long the reader of pictures is waited for.

use super::parallel::THREADS;
use crate::fingerprint::Sight;
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

/// What has not been seen in a picture by then is not there to be seen.
pub const MOST: Duration = Duration::from_secs(30);

/// Sees for so long from now, counted over all sights of a picture. Where the reader broke down nothing was
/// seen: another size of the picture may still be read. Without threads it is waited for to the end.
pub fn seen_within(time: Duration) -> impl Fn(Sight) -> Option<Vec<String>> {
    let until = Instant::now() + time;
    move |sight| {
        if !THREADS {
            return Some(sight.texts());
        }
        let (send, receive) = mpsc::channel();
        // Nobody listens any more when the time was up: then there is nothing to hand over to.
        thread::spawn(move || send.send(sight.texts()));
        match receive.recv_timeout(until.saturating_duration_since(Instant::now())) {
            Ok(texts) => Some(texts),
            Err(mpsc::RecvTimeoutError::Disconnected) => Some(Vec::new()),
            Err(mpsc::RecvTimeoutError::Timeout) => None,
        }
    }
}
