//! What a boat file says: its text with places, and the typed set-up read from it.
//!
//! `source` is text with places, `device`, `radio` and `language` are what a file may name, `setup` is the typed
//! set-up, `fingerprint` the code of a file and the file as texts for QR codes.

pub mod device;
pub mod fingerprint;
pub mod language;
pub mod radio;
pub mod setup;
pub mod source;

use lidcard_physics as physics;
