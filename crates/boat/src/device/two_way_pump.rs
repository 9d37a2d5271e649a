use super::{KindInfo, PulsesFail};

/// A pump that fills a tank one way and empties it the other, behind a controller of its own.
pub(super) const TWO_WAY_PUMP: KindInfo = KindInfo {
    name: "two-way pump",
    also_called: &["pump", "ballast pump"],
    about: "A pump that fills her tank one way and empties it the other; it stands still in a band around rest.",
    keys: &["accuracy", "effects", "also", "still_between", "without_pulses", "signal"],
    when_pulses_fail: PulsesFail::StopsUnlessSaid,
    rests_in_band: true,
    passes_on: false,
    works_alone: false,
    moves_water: true,
};
