//! How far a band reaches into water.
//!
//! Pure water swallows the more the higher the frequency, because its molecules turn with the field;
//! salt makes it a conductor, which shuts every band out. The figures are ITU-R P.527 at 10 degrees:
//! a pond of 0.05 S/m, a sea of 35 g salt to the kilogram. They are for people to read; the verdict
//! rests on the class of the band alone.

/// Below this, a submarine in fresh water is reached at the depths that models go to.
const REACHES_BELOW: i64 = 300_000_000;

/// Decibels lost in each metre, up to a frequency in hertz.
const FRESH: &[(i64, u32)] = &[(600_000_000, 20), (1_000_000_000, 55), (i64::MAX, 350)];
const SEA: &[(i64, u32)] =
    &[(31_000_000, 170), (60_000_000, 210), (100_000_000, 280), (1_000_000_000, 560), (i64::MAX, 1000)];

/// Decibels lost in each metre of fresh (or sea) water, if that is too much for a dived boat.
pub fn shut_out(hertz: i64, sea: bool) -> Option<u32> {
    if !sea && hertz < REACHES_BELOW {
        return None;
    }
    let table = if sea { SEA } else { FRESH };
    table.iter().find(|(up_to, _)| hertz <= *up_to).map(|(_, loss)| *loss)
}

/// How deep the boat is when the link goes, in words that owe nothing to a formula.
pub fn gone_within(loss: u32) -> &'static str {
    match loss {
        0..=30 => "a metre or two",
        31..=100 => "about a metre",
        101..=300 => "a hand's breadth or two",
        _ => "about 10 cm",
    }
}
