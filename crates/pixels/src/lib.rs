//! Pictures as plain pixels: read from PNG and JPEG, made smaller and larger, written as PNG.
//!
//! Nothing is known of colour spaces: what is drawn and photographed here is ink on paper, and a
//! pixel is as light as its file says.

mod raster;
mod read;
mod resize;
mod small;
mod write;

pub use raster::{Grey, Raster, Rgb};
pub use read::{Limits, ReadError, grey, is_jpeg, is_png, rgb};
pub use resize::resized;
pub use small::{Small, small_grey};
pub use write::to_png;
