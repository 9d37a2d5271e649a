use super::{KindInfo, PulsesFail};

/// A relay or an electronic switch: closes beyond one pulse and opens before another.
pub(super) const RELAY: KindInfo = KindInfo {
    name: "relay",
    also_called: &[
        "switch",
        "rc switch",
        "switch module",
        "electronic switch",
        "solenoid",
        "light module",
        "sound module",
    ],
    about: "A relay or an electronic switch: closes beyond one pulse and opens before another.",
    keys: &["accuracy", "works", "signal", "without_pulses", "draws", "rated", "battery"],
    when_pulses_fail: PulsesFail::StopsUnlessSaid,
    rests_in_band: false,
    passes_on: false,
    works_alone: false,
    moves_water: false,
};
