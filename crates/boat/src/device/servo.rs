use super::{KindInfo, PulsesFail};

/// A servo: goes to a position and works whatever its horn reaches on the way.
pub(super) const SERVO: KindInfo = KindInfo {
    name: "servo",
    also_called: &["retract", "winch servo", "sail winch"],
    about: "Goes to the position that its pulse asks for and works whatever its horn reaches on the way. Without pulses it stays where it is or is pushed about.",
    keys: &[
        "accuracy",
        "stops",
        "effects",
        "also",
        "works",
        "turn",
        "arm",
        "linkage",
        "stall",
        "draws",
        "battery",
        "signal",
        "takes",
        "speed",
        "level_at",
        "module_mixes",
    ],
    when_pulses_fail: PulsesFail::Anywhere,
    rests_in_band: false,
    passes_on: false,
    works_alone: false,
    moves_water: false,
};
