use super::{KindInfo, PulsesFail};

/// A speed controller: stands still in a band around rest.
pub(super) const SPEED_CONTROLLER: KindInfo = KindInfo {
    name: "speed controller",
    also_called: &["controller", "esc", "motor", "motor controller", "winch", "thruster", "bow thruster"],
    about: "Drives a motor by its pulse, and stands still in a band around rest.",
    keys: &[
        "accuracy",
        "stops",
        "effects",
        "also",
        "works",
        "still_between",
        "without_pulses",
        "one_way",
        "signal",
        "module_mixes",
        "learns_rest",
        "draws",
        "stall",
        "rated",
        "battery",
    ],
    when_pulses_fail: PulsesFail::StopsUnlessSaid,
    rests_in_band: true,
    passes_on: false,
    works_alone: false,
    moves_water: false,
};
