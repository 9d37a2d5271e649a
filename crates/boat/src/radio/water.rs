//! Which bands end at the surface.
//!
//! Pure water swallows the more the higher the frequency, because its molecules turn with the field;
//! salt makes it a conductor, which shuts every band out. How much each metre takes is estimated elsewhere,
//! for people to read; the verdict rests on the class of the band alone.

/// Below this, a submarine in fresh water is reached at the depths that models go to.
const REACHES_BELOW: i64 = 300_000_000;

/// Whether a frequency in hertz does not reach a dived boat in fresh (or sea) water.
pub fn is_shut_out(hertz: i64, sea: bool) -> bool {
    sea || hertz >= REACHES_BELOW
}
