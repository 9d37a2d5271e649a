//! The QR codes in a picture.
//!
//! A scan is easy. A photograph is looked at several times over: in several sizes, because blur and
//! noise go when it gets smaller and squares of two pixels are found when it gets larger; and with
//! black told from white within each neighbourhood, because a lamp lights one corner only.
//!
//! How much is looked at is counted in pixels and in tries, the same on every machine: no picture keeps the
//! reader busy for longer, whatever is drawn on it.

mod code;
mod light;
mod marks;
mod plane;
mod seen;

use lidcard_pixels::{Limits, ReadError, Small, resized, small_grey};
use std::cell::Cell;
use std::fmt;

/// Why a picture could not be looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unseen {
    /// A PDF: pages, not a picture.
    Pdf,
    /// It is no picture of a kind that is read, or broken.
    NoPicture(String),
    /// More pixels than any camera or scanner in a workshop makes.
    TooLarge(u32, u32),
}

impl fmt::Display for Unseen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pdf => write!(f, "a PDF is not looked into; make a PNG picture of the page, at 300 dpi"),
            Self::NoPicture(why) => {
                write!(f, "not a PNG or JPEG picture that can be read ({why}); save it as one of these")
            }
            Self::TooLarge(width, height) => {
                write!(f, "{width} x {height} pixels are too many; 300 dpi are enough")
            }
        }
    }
}

impl std::error::Error for Unseen {}

/// How much of a picture is opened at all.
const OPENED: Limits = Limits { side: 20_000, pixels: 100_000_000, memory: 100 << 20 };
/// Pixels of the largest picture that is looked at: a sheet at 340 dpi. One with more is made smaller.
const MOST_PIXELS: u64 = 12_000_000;
/// Pixels that are looked at in all sizes together.
const MOST_IN_ALL: usize = 44_000_000;

/// Places at which small marks are looked for, in all sizes together: a page of nine codes takes some hundred
/// thousand.
const MOST_LOOKS: u64 = 4_000_000;

/// How long a picture is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// As it is, then smaller: quick, and enough for a scan and a good photograph.
    Quick,
    /// Larger and larger: takes several times as long.
    Enlarged,
}

impl Look {
    /// In which sizes, the likeliest first. Where squares are little more than two pixels wide it hangs
    /// on how they fall on these, so several larger ones.
    fn sizes(self) -> &'static [f64] {
        match self {
            Self::Quick => &[1.0, 0.5, 0.7, 0.25],
            Self::Enlarged => &[1.4, 2.0, 2.7, 1.7, 1.2],
        }
    }
}

/// Pixels that may still be opened and looked at in all pictures of a run together: however many there are, none keeps
/// the reader busy for longer.
#[derive(Debug)]
pub struct Allowance(Cell<usize>);

/// A dozen photographs at once, each of the largest size that is looked at.
const MOST_OF_A_RUN: usize = 500_000_000;

impl Default for Allowance {
    fn default() -> Self {
        Self(Cell::new(MOST_OF_A_RUN))
    }
}

impl Allowance {
    fn spends(&self, pixels: usize) -> bool {
        let left = self.0.get().checked_sub(pixels);
        self.0.set(left.unwrap_or(0));
        left.is_some()
    }

    /// Whether nothing more is looked at.
    pub fn is_spent(&self) -> bool {
        self.0.get() == 0
    }
}

/// What was seen in a picture.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Seen {
    /// The texts of its codes, each once.
    pub texts: Vec<String>,
    /// Whether the file ends before the picture does.
    pub cut_off: bool,
    /// Whether it was left before it was looked at in every way, because too much was looked at in all.
    pub left: bool,
    /// The sizes in which it was looked at: in none of them a second look sees more.
    looked_at: Vec<(usize, usize)>,
    /// The looks that went through all of their sizes.
    through: Vec<Look>,
}

impl Seen {
    /// Whether another such look would see anything that was not seen.
    pub fn may_gain(&self, look: Look) -> bool {
        !self.left && !self.through.contains(&look)
    }
}

/// The texts of the QR codes that are seen in a PNG or JPEG picture. It is looked at in other ways until
/// `enough` says that nothing is missing.
///
/// # Errors
/// When it is no picture, or too large.
pub fn texts_in(bytes: &[u8], look: Look, enough: &dyn Fn(&[String]) -> bool) -> Result<Seen, Unseen> {
    let mut seen = Seen::default();
    look_into(bytes, look, &mut seen, &Allowance::default(), enough)?;
    Ok(seen)
}

/// The same for one of several pictures, of which some is seen already.
///
/// # Errors
/// When it is no picture, or too large.
pub fn look_into(
    bytes: &[u8],
    look: Look,
    seen: &mut Seen,
    allowance: &Allowance,
    enough: &dyn Fn(&[String]) -> bool,
) -> Result<(), Unseen> {
    if !seen.may_gain(look) {
        return Ok(());
    }
    let Small { grey, cut_off } = opened(bytes)?;
    seen.cut_off = cut_off;
    if !allowance.spends(grey.pixels().len()) {
        seen.left = true;
        return Ok(());
    }
    let largest = (MOST_PIXELS as f64 / grey.pixels().len() as f64).sqrt();
    let mut left = MOST_IN_ALL;
    let mut looks = MOST_LOOKS;
    for size in look.sizes().iter().map(|size| size.min(largest)) {
        let side = |pixels: usize| (pixels as f64 * size).round().max(1.0) as usize;
        let sides = (side(grey.width()), side(grey.height()));
        // The smallest QR code has 21 squares along a side.
        if sides.0.min(sides.1) < 21 || seen.looked_at.contains(&sides) {
            continue;
        }
        let Some(rest) = left.checked_sub(sides.0 * sides.1) else { continue };
        if !allowance.spends(sides.0 * sides.1) {
            seen.left = true;
            return Ok(());
        }
        left = rest;
        seen.looked_at.push(sides);
        let even =
            if sides == grey.sides() { light::even(&grey) } else { light::even(&resized(&grey, sides)) };
        let eye = code::Eye { even, left: Cell::new(looks) };
        let found = seen::texts(&eye);
        looks = eye.left.get();
        for text in found {
            if !seen.texts.contains(&text) {
                seen.texts.push(text);
            }
        }
        if enough(&seen.texts) {
            return Ok(());
        }
    }
    seen.through.push(look);
    Ok(())
}

/// The picture in grey.
fn opened(bytes: &[u8]) -> Result<Small, Unseen> {
    if bytes.starts_with(b"%PDF") {
        return Err(Unseen::Pdf);
    }
    small_grey(bytes, &OPENED, MOST_PIXELS).map_err(|why| match why {
        ReadError::TooLarge(width, height) => Unseen::TooLarge(width, height),
        why => Unseen::NoPicture(why.to_string()),
    })
}

#[cfg(test)]
mod tests {
    use super::{Allowance, Look, Seen, Unseen, look_into, texts_in};
    use std::cell::Cell;

    #[test]
    fn what_was_looked_at_in_every_way_is_not_looked_at_again_and_a_run_has_an_end() {
        let picture =
            lidcard_pixels::Grey::from_fn(300, 300, |x, y| [if (x / 7 + y / 5) % 2 == 0 { 0 } else { 255 }]);
        let bytes = lidcard_pixels::to_png(&picture).expect("a PNG");
        let (allowance, mut seen) = (Allowance(Cell::new(600_000)), Seen::default());
        look_into(&bytes, Look::Quick, &mut seen, &allowance, &|_| false).expect("a picture");
        let left = allowance.0.get();
        assert!(left < 600_000 && !seen.may_gain(Look::Quick) && seen.may_gain(Look::Enlarged));
        look_into(&bytes, Look::Quick, &mut seen, &allowance, &|_| false).expect("a picture");
        assert_eq!(allowance.0.get(), left);
        // Larger it has more pixels than are left.
        look_into(&bytes, Look::Enlarged, &mut seen, &allowance, &|_| false).expect("a picture");
        assert!(seen.left && !seen.may_gain(Look::Enlarged));
    }

    #[test]
    fn what_is_no_picture_is_refused() {
        let look = |bytes: &[u8]| texts_in(bytes, Look::Quick, &|_| true);
        assert!(matches!(look(b"lidcard: 1"), Err(Unseen::NoPicture(_))));
        assert!(matches!(look(b"\x89PNG\r\n\x1a\n"), Err(Unseen::NoPicture(_))));
        assert_eq!(look(b"%PDF-1.7"), Err(Unseen::Pdf));
    }
}
