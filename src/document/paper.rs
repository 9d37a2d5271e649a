//! Paper that printers take.

/// A size of paper, upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216)
    A4,
    /// 8 1/2 x 11 in (ANSI/ASME Y14.1, size A)
    Letter,
}

impl Paper {
    /// Width and height in millimetres.
    pub fn size_mm(self) -> [f64; 2] {
        match self {
            Paper::A4 => [210.0, 297.0],
            Paper::Letter => [215.9, 279.4],
        }
    }
}
