//! Pictures from files. What is transparent is paper: white.

use std::fmt;
use std::io::Cursor;

use png::{ColorType, Transformations};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use crate::{Grey, Raster, Rgb};

/// How much of a picture is opened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Pixels along one side.
    pub side: u32,
    /// Pixels in all.
    pub pixels: u64,
    /// Bytes of memory for the unpacked picture.
    pub memory: usize,
}

/// Why a picture could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadError {
    /// Neither of the two kinds.
    Unknown,
    /// Larger than the limits.
    TooLarge(u32, u32),
    /// Broken, or of a variety that nobody reads.
    Broken(String),
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown => write!(f, "it begins like neither"),
            Self::TooLarge(width, height) => write!(f, "{width} x {height} pixels are too many"),
            Self::Broken(why) => f.write_str(why),
        }
    }
}

impl std::error::Error for ReadError {}

/// Whether a file begins as PNG does (PNG specification, 5.2).
pub fn is_png(bytes: &[u8]) -> bool {
    bytes.starts_with(b"\x89PNG\r\n\x1a\n")
}

/// Whether a file begins as JPEG does: the start of the image and the next marker (ITU-T T.81, annex B).
pub fn is_jpeg(bytes: &[u8]) -> bool {
    bytes.starts_with(&[0xff, 0xd8, 0xff])
}

/// Reads a PNG or JPEG in grey.
///
/// # Errors
/// When it is neither, larger than the limits, or broken.
pub fn grey(bytes: &[u8], limits: &Limits) -> Result<Grey, ReadError> {
    let unpacked = unpacked(bytes, limits)?;
    Ok(match unpacked.levels {
        1 => unpacked.drawn(|[grey]: [u8; 1]| [grey]),
        2 => unpacked.drawn(|[grey, solid]| [on_paper(grey, solid)]),
        3 => unpacked.drawn(|[red, green, blue]| [lightness(red, green, blue)]),
        _ => unpacked.drawn(|[red, green, blue, solid]| [on_paper(lightness(red, green, blue), solid)]),
    })
}

/// Reads a PNG or JPEG in colour.
///
/// # Errors
/// When it is neither, larger than the limits, or broken.
pub fn rgb(bytes: &[u8], limits: &Limits) -> Result<Rgb, ReadError> {
    let unpacked = unpacked(bytes, limits)?;
    Ok(match unpacked.levels {
        1 => unpacked.drawn(|[grey]| [grey; 3]),
        2 => unpacked.drawn(|[grey, solid]| [on_paper(grey, solid); 3]),
        3 => unpacked.drawn(|colour: [u8; 3]| colour),
        _ => {
            unpacked.drawn(|[red, green, blue, solid]| [red, green, blue].map(|level| on_paper(level, solid)))
        }
    })
}

pub(crate) fn on_paper(level: u8, solid: u8) -> u8 {
    let [level, solid] = [level, solid].map(u32::from);
    ((level * solid + 255 * (255 - solid) + 127) / 255) as u8
}

/// How light a colour looks: the weights of ITU-R BT.709.
pub(crate) fn lightness(red: u8, green: u8, blue: u8) -> u8 {
    let [red, green, blue] = [red, green, blue].map(u32::from);
    ((2126 * red + 7152 * green + 722 * blue) / 10_000) as u8
}

/// What a decoder gives: so many levels for each pixel, in the order grey or red, green and blue, then
/// how solid it is.
struct Unpacked {
    sides: (u32, u32),
    levels: usize,
    bytes: Vec<u8>,
}

impl Unpacked {
    fn drawn<const FROM: usize, const TO: usize>(
        &self,
        pixel: impl Fn([u8; FROM]) -> [u8; TO],
    ) -> Raster<TO> {
        let (width, height) = (self.sides.0 as usize, self.sides.1 as usize);
        let (pixels, _) = self.bytes.as_chunks::<FROM>();
        Raster::from_fn(width, height, |x, y| pixel(pixels[y * width + x]))
    }
}

fn unpacked(bytes: &[u8], limits: &Limits) -> Result<Unpacked, ReadError> {
    let picture = if is_png(bytes) {
        from_png(bytes, limits)?
    } else if is_jpeg(bytes) {
        from_jpeg(bytes, limits)?
    } else {
        return Err(ReadError::Unknown);
    };
    let pixels = picture.sides.0 as usize * picture.sides.1 as usize;
    if picture.bytes.len() != pixels * picture.levels {
        return Err(ReadError::Broken("it holds fewer pixels than it says".to_owned()));
    }
    Ok(picture)
}

fn within(limits: &Limits, sides: (u32, u32), levels: usize) -> Result<(), ReadError> {
    let (width, height) = sides;
    let pixels = u64::from(width) * u64::from(height);
    let memory = pixels.saturating_mul(levels as u64);
    let fits = width.max(height) <= limits.side && pixels <= limits.pixels && memory <= limits.memory as u64;
    if fits { Ok(()) } else { Err(ReadError::TooLarge(width, height)) }
}

pub(crate) fn broken(why: impl fmt::Display) -> ReadError {
    ReadError::Broken(why.to_string())
}

fn from_png(bytes: &[u8], limits: &Limits) -> Result<Unpacked, ReadError> {
    let mut decoder = png::Decoder::new_with_limits(Cursor::new(bytes), png::Limits { bytes: limits.memory });
    decoder.set_transformations(Transformations::normalize_to_color8());
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    let header = decoder.read_header_info().map_err(broken)?;
    let sides = header.size();
    // Colours of a palette may turn out to be transparent too.
    within(limits, sides, 4)?;
    let mut reader = decoder.read_info().map_err(broken)?;
    let levels = match reader.output_color_type().0 {
        ColorType::Grayscale => 1,
        ColorType::GrayscaleAlpha => 2,
        ColorType::Rgb => 3,
        ColorType::Rgba => 4,
        ColorType::Indexed => return Err(broken("its palette is not resolved")),
    };
    let length = reader.output_buffer_size().ok_or(ReadError::TooLarge(sides.0, sides.1))?;
    let mut bytes = vec![0; length];
    reader.next_frame(&mut bytes).map_err(broken)?;
    Ok(Unpacked { sides, levels, bytes })
}

fn from_jpeg(bytes: &[u8], limits: &Limits) -> Result<Unpacked, ReadError> {
    // The sides are held to our own limits below.
    let options =
        DecoderOptions::default().set_strict_mode(false).set_max_width(usize::MAX).set_max_height(usize::MAX);
    let mut decoder = JpegDecoder::new_with_options(Cursor::new(bytes), options);
    decoder.decode_headers().map_err(broken)?;
    let sides = decoder
        .dimensions()
        .and_then(|(width, height)| Some((u32::try_from(width).ok()?, u32::try_from(height).ok()?)));
    let Some(sides) = sides else { return Err(broken("it does not say how large it is")) };
    let (levels, kind) = match decoder.input_colorspace() {
        Some(ColorSpace::Luma) => (1, ColorSpace::Luma),
        _ => (3, ColorSpace::RGB),
    };
    within(limits, sides, levels)?;
    decoder.set_options(decoder.options().jpeg_set_out_colorspace(kind));
    let bytes = decoder.decode().map_err(broken)?;
    Ok(Unpacked { sides, levels, bytes })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Limits, ReadError, grey, is_png, rgb};
    use crate::{Grey, Raster, Rgb, to_png};

    const LIMITS: Limits = Limits { side: 100, pixels: 5000, memory: 20_000 };

    /// Sixteen by eight pixels, the left half black and the right white, as another program writes it:
    /// Pillow 13.0, quality 95.
    const JPEG: &[u8] = include_bytes!("halves.jpg");

    #[test]
    fn what_is_no_picture_is_refused() {
        assert_eq!(grey(b"lidcard: 1", &LIMITS), Err(ReadError::Unknown));
        assert!(is_png(b"\x89PNG\r\n\x1a\n"));
        assert!(matches!(grey(b"\x89PNG\r\n\x1a\n", &LIMITS), Err(ReadError::Broken(_))));
        assert!(matches!(grey(&JPEG[..JPEG.len() / 4], &LIMITS), Err(ReadError::Broken(_))));
    }

    #[test]
    fn what_is_larger_than_the_limits_is_not_opened() {
        for (width, height) in [(101, 1), (80, 80)] {
            let file = to_png(&Grey::from_fn(width, height, |_, _| [9])).unwrap();
            assert_eq!(grey(&file, &LIMITS), Err(ReadError::TooLarge(width as u32, height as u32)));
        }
        let few = Limits { side: 15, ..LIMITS };
        assert_eq!(rgb(JPEG, &few), Err(ReadError::TooLarge(16, 8)));
    }

    #[test]
    fn a_written_picture_is_read_again() {
        let colours = Rgb::from_fn(5, 3, |x, y| [x as u8 * 50, y as u8 * 100, 7]);
        assert_eq!(rgb(&to_png(&colours).unwrap(), &LIMITS).unwrap(), colours);
        let greys = Grey::from_fn(5, 3, |x, y| [(x * 40 + y) as u8]);
        assert_eq!(grey(&to_png(&greys).unwrap(), &LIMITS).unwrap(), greys);
    }

    #[test]
    fn what_is_clear_is_paper() {
        let clear = Raster::from_fn(2, 1, |x, _| if x == 0 { [0, 0, 0, 0] } else { [0, 0, 0, 128] });
        // 0 * 128/255 + 255 * 127/255 = 127.
        assert_eq!(rgb(&to_png(&clear).unwrap(), &LIMITS).unwrap().pixels(), [[255; 3], [127; 3]]);
        assert_eq!(grey(&to_png(&clear).unwrap(), &LIMITS).unwrap().bytes(), [255, 127]);
    }

    #[test]
    fn a_photograph_is_read() {
        for picture in [
            grey(JPEG, &LIMITS).unwrap(),
            Grey::from_fn(16, 8, |x, y| [rgb(JPEG, &LIMITS).unwrap().at(x, y)[1]]),
        ] {
            assert_eq!(picture.sides(), (16, 8));
            assert!((0..8).all(|y| picture.at(2, y)[0] < 20 && picture.at(13, y)[0] > 235));
        }
    }
}
