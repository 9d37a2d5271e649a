use super::{KindInfo, PulsesFail};

/// A piston tank: it goes to the position that its pulse asks for, and holds as much water as that lets in.
pub(super) const PISTON: KindInfo = KindInfo {
    name: "piston",
    also_called: &["piston tank", "syringe"],
    about: "A piston tank: goes to the position that its pulse asks for, and holds as much water as that lets in. Without pulses it stays where it is.",
    keys: &["accuracy", "stops", "effects", "also", "takes", "level_at", "signal"],
    when_pulses_fail: PulsesFail::Anywhere,
    rests_in_band: false,
    passes_on: false,
    works_alone: false,
    moves_water: true,
};
