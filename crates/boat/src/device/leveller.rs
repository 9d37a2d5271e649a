use super::{KindInfo, PulsesFail};

/// A levelling unit: keeps the boat level with the servo behind it, with or without a channel of its own.
pub(super) const LEVELLER: KindInfo = KindInfo {
    name: "leveller",
    also_called: &["gyro", "pitch controller", "angle keeper", "stabiliser"],
    about: "Keeps the boat level with the servo behind it, with or without a channel of its own.",
    keys: &["accuracy", "role", "still_between", "limits", "correction", "corrects", "astern"],
    when_pulses_fail: PulsesFail::Anywhere,
    rests_in_band: true,
    passes_on: true,
    works_alone: true,
    moves_water: false,
};
