//! The QR codes in a picture.

use image::{DynamicImage, GrayImage, ImageReader, Limits, imageops};
use std::fmt;
use std::io::Cursor;

/// Why a picture could not be looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unseen {
    /// It is no picture of a kind that is read, or too large, or broken.
    NoPicture(String),
}

impl fmt::Display for Unseen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoPicture(why) => write!(f, "not a PNG or JPEG picture that can be read: {why}"),
        }
    }
}

impl std::error::Error for Unseen {}

/// Pixels along one side; a photograph of 100 megapixels has fewer.
const LONGEST_SIDE: u32 = 20_000;
/// Memory that a picture may take.
const MOST_MEMORY: u64 = 512 << 20;
/// Pictures are also looked at in other sizes: blur and noise go when they get smaller, and modules
/// of two pixels are found when they get larger.
const SIZES: [f64; 4] = [1.0, 0.5, 2.0, 0.25];
/// Nothing is enlarged beyond so many pixels.
const MOST_PIXELS: f64 = 40e6;

/// The texts of all QR codes that are seen in a PNG or JPEG picture, each once.
pub fn texts_in(bytes: &[u8]) -> Result<Vec<String>, Unseen> {
    let failed = |e: &dyn fmt::Display| Unseen::NoPicture(e.to_string());
    let mut reader = ImageReader::new(Cursor::new(bytes)).with_guessed_format().map_err(|e| failed(&e))?;
    let mut limits = Limits::default();
    limits.max_image_width = Some(LONGEST_SIDE);
    limits.max_image_height = Some(LONGEST_SIDE);
    limits.max_alloc = Some(MOST_MEMORY);
    reader.limits(limits);
    let grey = on_white(reader.decode().map_err(|e| failed(&e))?);
    let mut texts: Vec<String> = Vec::new();
    for size in SIZES {
        let (width, height) = (f64::from(grey.width()) * size, f64::from(grey.height()) * size);
        if width * height > MOST_PIXELS.max(f64::from(grey.width()) * f64::from(grey.height()))
            || width < 21.0
        {
            continue;
        }
        let sized = if size.total_cmp(&1.0).is_eq() {
            grey.clone()
        } else {
            imageops::resize(&grey, width as u32, height.max(1.0) as u32, imageops::FilterType::Triangle)
        };
        for text in decoded(&sized) {
            if !texts.contains(&text) {
                texts.push(text);
            }
        }
    }
    Ok(texts)
}

fn decoded(grey: &GrayImage) -> Vec<String> {
    let (width, height) = (grey.width() as usize, grey.height() as usize);
    let pixels = grey.as_raw();
    let mut prepared =
        rqrr::PreparedImage::prepare_from_greyscale(width, height, |x, y| pixels[y * width + x]);
    prepared.detect_grids().iter().filter_map(|grid| grid.decode().ok()).map(|(_, text)| text).collect()
}

/// What is transparent is paper.
fn on_white(picture: DynamicImage) -> GrayImage {
    let picture = picture.into_luma_alpha8();
    GrayImage::from_fn(picture.width(), picture.height(), |x, y| {
        let [luma, alpha] = picture.get_pixel(x, y).0.map(u16::from);
        image::Luma([u8::try_from((luma * alpha + 255 * (255 - alpha)) / 255).unwrap_or(u8::MAX)])
    })
}

#[cfg(test)]
mod tests {
    use super::texts_in;

    #[test]
    fn what_is_no_picture_is_refused() {
        assert!(texts_in(b"lidcard: 1").is_err());
        assert!(texts_in(b"\x89PNG\r\n\x1a\n").is_err());
    }
}
