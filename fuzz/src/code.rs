//! QR codes of every size, with wrong squares: what is read of one is what it says, or nothing.

use crate::Got;
use crate::chance::Chance;
use crate::photograph::photographed;
use lidcard_pixels::{Grey, to_png};
use lidcard_scan::{Look, texts_in};
use qrcodegen::{QrCode, QrCodeEcc};

/// Draws a code and reads it.
///
/// # Panics
/// When something does not hold.
pub fn run(bytes: &[u8]) -> Got {
    let mut chance = Chance::of(bytes);
    let letters = chance.pick([1, 8, 30, 200, 700]) + chance.below(40);
    let text: String = (0..letters).map(|_| chance.pick(['A', 'Z', '0', '9', ':', '/', 'x', ' '])).collect();
    let Ok(code) =
        QrCode::encode_text(&text, chance.pick([QrCodeEcc::Low, QrCodeEcc::Medium, QrCodeEcc::High]))
    else {
        return Got::Refused;
    };
    let side = code.size() as usize;
    let dots = chance.pick([2, 3, 4, 7]);
    let mut squares = vec![false; side * side];
    for (n, square) in squares.iter_mut().enumerate() {
        *square = code.get_module((n % side) as i32, (n / side) as i32);
    }
    let wrong = chance.pick([0, 0, 3, side, side * 4, side * side / 3]);
    for _ in 0..wrong {
        let at = chance.below(side * side);
        squares[at] = !squares[at];
    }
    let whole = (side + 8) * dots;
    let clean = Grey::from_fn(whole, whole, |x, y| {
        let place = |p: usize| (p / dots).checked_sub(4).filter(|p| *p < side);
        let ink = place(x).zip(place(y)).is_some_and(|(x, y)| squares[y * side + x]);
        [if ink { 0 } else { 255 }]
    });
    let bad = chance.percent(50);
    let picture = if bad { photographed(&mut chance, &clean) } else { clean };
    let file = to_png(&picture).expect("it can be written");
    let seen = texts_in(&file, Look::Quick, &|texts| !texts.is_empty()).expect("it is a picture");
    for read in &seen.texts {
        assert_eq!(read, &text, "another text than the code has");
    }
    assert!(
        bad || wrong > 0 || !seen.texts.is_empty(),
        "a clean code of {side} squares, {dots} dots each, is not read"
    );
    if seen.texts.is_empty() { Got::Read } else { Got::Through }
}
