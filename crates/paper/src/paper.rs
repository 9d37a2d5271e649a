//! Paper that printers take.

/// A size of paper, upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// A series of ISO 216.
    A4,
    /// As in North America.
    Letter,
}

impl Paper {
    /// Every size there is.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// What it is called on the command line.
    pub fn name(self) -> &'static str {
        match self {
            Paper::A4 => "a4",
            Paper::Letter => "letter",
        }
    }

    /// Its measures, and who says so.
    pub fn about(self) -> &'static str {
        match self {
            Paper::A4 => "210 x 297 mm (ISO 216)",
            Paper::Letter => "8 1/2 x 11 in (ANSI/ASME Y14.1, size A)",
        }
    }

    /// Width and height in millimetres.
    pub fn size_mm(self) -> [f64; 2] {
        match self {
            Paper::A4 => [210.0, 297.0],
            Paper::Letter => [215.9, 279.4],
        }
    }
}
