//! What is common for one cell of a battery. Common practice, without a source.

use crate::physics::battery::Chemistry;

/// A cell of a chemistry, voltages in hundredths of a volt.
#[derive(Debug)]
pub struct Cell {
    /// The chemistry. A nickel-cadmium cell is taken for one of nickel-metal hydride.
    pub chemistry: Chemistry,
    /// How people write it, letters and digits only.
    words: &'static [&'static str],
    /// At the end of discharge: lower than this it is as good as empty.
    pub end: i64,
    /// Under load while there is still something in it.
    pub loaded: i64,
}

/// The longer words first: one chemistry's name may begin with another's.
const CELLS: &[Cell] = &[
    Cell { chemistry: Chemistry::NiMh, words: &["nimh", "nicd"], end: 90, loaded: 120 },
    Cell { chemistry: Chemistry::LiFePo4, words: &["lifepo4", "lifepo", "lfp"], end: 250, loaded: 320 },
    Cell { chemistry: Chemistry::LiIon, words: &["lipo", "liion", "lithiumpolymer"], end: 300, loaded: 370 },
    Cell { chemistry: Chemistry::LeadAcid, words: &["lead", "pb", "sla", "agm"], end: 175, loaded: 205 },
];

/// The cell that a chemistry's name means, however it is spelled.
pub fn common(chemistry: &str) -> Option<&'static Cell> {
    let plain: String =
        chemistry.chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_ascii_lowercase();
    CELLS.iter().find(|cell| cell.words.iter().any(|word| plain.starts_with(word)))
}
