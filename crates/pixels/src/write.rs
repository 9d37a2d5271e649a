//! A picture as PNG.

use png::{BitDepth, ColorType, DeflateCompression, Encoder, EncodingError, Filter};

use crate::Raster;

/// The picture as a PNG file. One with four levels for a pixel says in the last how solid it is.
///
/// # Errors
/// When it has more pixels along a side, or none, than a PNG can have.
pub fn to_png<const N: usize>(picture: &Raster<N>) -> Result<Vec<u8>, EncodingError> {
    let side = |pixels: usize| u32::try_from(pixels).unwrap_or(u32::MAX);
    let mut bytes = Vec::new();
    let mut encoder = Encoder::new(&mut bytes, side(picture.width()), side(picture.height()));
    encoder.set_depth(BitDepth::Eight);
    encoder.set_color(const { kind(N) });
    // Of letters and lines no pixel is guessed from its neighbours: tried on the cards of the demo boats, this takes half
    // of the time that the usual settings of the encoder take, and the files are as small.
    encoder.set_deflate_compression(DeflateCompression::Level(5));
    encoder.set_filter(Filter::NoFilter);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(picture.bytes())?;
    writer.finish()?;
    Ok(bytes)
}

const fn kind(levels: usize) -> ColorType {
    match levels {
        1 => ColorType::Grayscale,
        2 => ColorType::GrayscaleAlpha,
        3 => ColorType::Rgb,
        4 => ColorType::Rgba,
        _ => panic!("a PNG has one to four levels for a pixel"),
    }
}
