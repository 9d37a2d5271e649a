//! Turns an outcome into an exit status; everything else is in the library.
fn main() {}
