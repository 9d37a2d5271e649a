//! Where choices come from: a number, or bytes that somebody else chose.

/// Choices, always the same from the same beginning.
#[derive(Clone, Debug)]
pub struct Chance<'a> {
    bytes: &'a [u8],
    state: u64,
}

impl<'a> Chance<'a> {
    /// From bytes as long as there are any, so that whoever changes one of them changes one choice; then from
    /// what they add up to.
    pub fn of(bytes: &'a [u8]) -> Self {
        let state = bytes.iter().fold(0x9E37_79B9_7F4A_7C15, |sum: u64, byte| {
            (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01B3)
        });
        Self { bytes, state }
    }

    /// From a number.
    pub fn numbered(number: u64) -> Chance<'static> {
        Chance { bytes: &[], state: number.wrapping_mul(0xD134_2543_DE82_EF95) ^ 0x9E37_79B9_7F4A_7C15 }
    }

    /// Any number (SplitMix64, by Guy Steele and others, 2014).
    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below another one; 0 below 0.
    pub fn below(&mut self, end: usize) -> usize {
        if end < 2 {
            return 0;
        }
        let number = match self.bytes {
            [first, rest @ ..] if end <= 256 => {
                self.bytes = rest;
                u64::from(*first)
            }
            [first, second, rest @ ..] => {
                self.bytes = rest;
                u64::from(*first) << 8 | u64::from(*second)
            }
            _ => self.next(),
        };
        (number % end as u64) as usize
    }

    /// Whether something of so many percent happens.
    pub fn percent(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    /// A number from one to another.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.below(256) as f64 / 255.0
    }

    /// One of several.
    pub fn one<'t, T>(&mut self, of: &'t [T]) -> Option<&'t T> {
        of.get(self.below(of.len()))
    }

    /// One of several that are surely there.
    pub fn pick<T: Copy, const N: usize>(&mut self, of: [T; N]) -> T {
        of[self.below(N)]
    }
}
