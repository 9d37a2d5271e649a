//! What a run has taken so far, as the system counts it.

use std::fs;

/// Seconds of CPU of this thread.
pub fn cpu() -> f64 {
    seconds("/proc/thread-self/schedstat")
}

/// Seconds of CPU of the thread with which the program began.
pub fn cpu_of_the_first() -> f64 {
    seconds("/proc/self/schedstat")
}

fn seconds(path: &str) -> f64 {
    let text = fs::read_to_string(path).unwrap_or_default();
    text.split_whitespace().next().and_then(|ns| ns.parse::<f64>().ok()).unwrap_or(0.0) / 1e9
}

/// The greatest resident memory since the last call, in MB.
pub fn memory() -> f64 {
    let text = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = text.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kb = line.and_then(|line| line.split_whitespace().next()?.parse::<f64>().ok()).unwrap_or(0.0);
    // Counted anew from here.
    let _ = fs::write("/proc/self/clear_refs", "5");
    kb / 1024.0
}
