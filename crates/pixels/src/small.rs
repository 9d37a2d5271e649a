//! Pictures from files in grey, no larger than somebody wants to look at: a scan of a hundred million pixels is
//! never held as a whole.

use std::io::Cursor;

use png::{ColorType, Transformations};
use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use crate::read::{broken, lightness, on_paper};
use crate::{Grey, Limits, ReadError, is_jpeg, is_png};

/// A picture made small enough.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Small {
    /// What it shows.
    pub grey: Grey,
    /// Whether the file ends before the picture does.
    pub cut_off: bool,
}

/// Reads a PNG or JPEG in grey, by whole numbers smaller where it has more pixels than `most`.
///
/// # Errors
/// When it is neither, larger than the limits, or broken.
pub fn small_grey(bytes: &[u8], limits: &Limits, most: u64) -> Result<Small, ReadError> {
    if is_png(bytes) {
        from_png(bytes, limits, most)
    } else if is_jpeg(bytes) {
        from_jpeg(bytes, limits, most)
    } else {
        Err(ReadError::Unknown)
    }
}

/// How many times smaller each side has to be.
fn times((width, height): (u32, u32), most: u64) -> usize {
    let pixels = u64::from(width) * u64::from(height);
    (1..).find(|n| pixels / (n * n) <= most).map_or(1, |n| n as usize)
}

/// Takes rows and keeps the means of squares of pixels.
struct Shrinking {
    times: usize,
    width: usize,
    sums: Vec<u32>,
    rows: usize,
    pixels: Vec<[u8; 1]>,
}

impl Shrinking {
    fn new((width, height): (u32, u32), times: usize) -> Self {
        let sides = [width, height].map(|side| (side as usize / times).max(1));
        Self {
            times,
            width: sides[0],
            sums: vec![0; sides[0]],
            rows: 0,
            pixels: Vec::with_capacity(sides[0] * sides[1]),
        }
    }

    fn take(&mut self, row: impl Iterator<Item = u8>) {
        if self.times == 1 {
            self.pixels.extend(row.map(|level| [level]));
            return;
        }
        for (x, level) in row.enumerate() {
            // What is left over at the right belongs to nothing.
            if let Some(sum) = self.sums.get_mut(x / self.times) {
                *sum += u32::from(level);
            }
        }
        self.rows += 1;
        if self.rows == self.times {
            let of = (self.times * self.times) as u32;
            self.pixels.extend(self.sums.iter().map(|sum| [(sum / of) as u8]));
            self.sums.fill(0);
            self.rows = 0;
        }
    }

    fn done(self) -> Option<Grey> {
        let height = self.pixels.len() / self.width;
        if height == 0 { None } else { Grey::new(self.width, height, self.pixels) }
    }
}

fn from_png(bytes: &[u8], limits: &Limits, most: u64) -> Result<Small, ReadError> {
    let mut decoder = png::Decoder::new_with_limits(Cursor::new(bytes), png::Limits { bytes: limits.memory });
    decoder.set_transformations(Transformations::normalize_to_color8());
    decoder.set_ignore_text_chunk(true);
    decoder.set_ignore_iccp_chunk(true);
    let header = decoder.read_header_info().map_err(broken)?;
    let (sides, interlaced) = (header.size(), header.interlaced);
    let pixels = u64::from(sides.0) * u64::from(sides.1);
    // An interlaced picture has to be held as a whole before its second row is known.
    let held = if interlaced { pixels.saturating_mul(4) } else { 0 };
    if sides.0.max(sides.1) > limits.side || pixels > limits.pixels || held > limits.memory as u64 {
        return Err(ReadError::TooLarge(sides.0, sides.1));
    }
    let mut reader = decoder.read_info().map_err(broken)?;
    let levels = match reader.output_color_type().0 {
        ColorType::Grayscale => 1,
        ColorType::GrayscaleAlpha => 2,
        ColorType::Rgb => 3,
        ColorType::Rgba => 4,
        ColorType::Indexed => return Err(broken("its palette is not resolved")),
    };
    let times = times(sides, most);
    let mut small = Shrinking::new(sides, times);
    if interlaced {
        let length = reader.output_buffer_size().ok_or(ReadError::TooLarge(sides.0, sides.1))?;
        let mut all = vec![0; length];
        reader.next_frame(&mut all).map_err(broken)?;
        for row in all.chunks_exact((sides.0 as usize * levels).max(1)) {
            small.take(row.chunks_exact(levels).map(grey_of));
        }
    } else {
        while let Some(row) = reader.next_row().map_err(broken)? {
            small.take(row.data().chunks_exact(levels).map(grey_of));
        }
    }
    let grey = small.done().ok_or_else(|| broken("it holds fewer pixels than it says"))?;
    Ok(Small { grey, cut_off: false })
}

fn grey_of(levels: &[u8]) -> u8 {
    match *levels {
        [grey] => grey,
        [grey, solid] => on_paper(grey, solid),
        [red, green, blue] => lightness(red, green, blue),
        [red, green, blue, solid] => on_paper(lightness(red, green, blue), solid),
        _ => u8::MAX,
    }
}

fn from_jpeg(bytes: &[u8], limits: &Limits, most: u64) -> Result<Small, ReadError> {
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
        // How light it is stands by itself in the file.
        Some(ColorSpace::Luma | ColorSpace::YCbCr) => (1, ColorSpace::Luma),
        _ => (3, ColorSpace::RGB),
    };
    let pixels = u64::from(sides.0) * u64::from(sides.1);
    // One that comes in passes is held as a whole as it was packed: two bytes for each level, before it is drawn.
    let packed = if comes_in_passes(bytes) { 6 } else { 0 };
    let memory = pixels.saturating_mul(levels as u64 + packed);
    if sides.0.max(sides.1) > limits.side || pixels > limits.pixels || memory > limits.memory as u64 {
        return Err(ReadError::TooLarge(sides.0, sides.1));
    }
    decoder.set_options(decoder.options().jpeg_set_out_colorspace(kind));
    let all = decoder.decode().map_err(broken)?;
    let mut small = Shrinking::new(sides, times(sides, most));
    for row in all.chunks_exact((sides.0 as usize * levels).max(1)) {
        small.take(row.chunks_exact(levels).map(grey_of));
    }
    let grey = small.done().ok_or_else(|| broken("it holds fewer pixels than it says"))?;
    Ok(Small { grey, cut_off: !ends(bytes) })
}

/// Whether a JPEG has the mark of its end (ITU-T T.81, table B.1: EOI); cameras put their own behind it.
fn ends(bytes: &[u8]) -> bool {
    bytes.windows(2).rev().any(|two| two == [0xff, 0xd9])
}

/// Whether the frame of a JPEG is progressive: a marker SOF2 in front of the first scan.
fn comes_in_passes(bytes: &[u8]) -> bool {
    let mut at = 2;
    while let Some([0xff, marker, high, low]) = bytes.get(at..at + 4) {
        match marker {
            0xc2 | 0xc6 | 0xca | 0xce => return true,
            0xda => return false,
            0xff => at += 1,
            _ => at += 2 + usize::from(u16::from_be_bytes([*high, *low])),
        }
    }
    // What cannot be followed is taken for the larger of the two.
    true
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::small_grey;
    use crate::{Grey, Limits, ReadError, Rgb, grey, to_png};

    const LIMITS: Limits = Limits { side: 100, pixels: 5000, memory: 20_000 };
    const JPEG: &[u8] = include_bytes!("halves.jpg");

    #[test]
    fn what_is_small_enough_stays_as_it_is() {
        for file in
            [to_png(&Rgb::from_fn(9, 7, |x, y| [x as u8 * 20, y as u8 * 30, 7])).unwrap(), JPEG.to_vec()]
        {
            let small = small_grey(&file, &LIMITS, 1000).unwrap();
            let close = small.grey.pixels().iter().zip(grey(&file, &LIMITS).unwrap().pixels().to_vec());
            assert!(close.into_iter().all(|([a], [b])| a.abs_diff(b) <= 2));
            assert!(!small.cut_off);
        }
    }

    #[test]
    fn what_is_larger_is_the_means_of_squares() {
        let file = to_png(&Grey::from_fn(5, 4, |x, y| [(x * 10 + y * 20) as u8])).unwrap();
        // Four pixels each: 0 10 20 30, and 20 30 40 50; two rows further 40 more. The fifth column is left over.
        let small = small_grey(&file, &LIMITS, 5).unwrap().grey;
        assert_eq!((small.sides(), small.bytes()), ((2, 2), &[15, 35, 55, 75][..]));
        assert_eq!(small_grey(&file, &Limits { pixels: 19, ..LIMITS }, 5), Err(ReadError::TooLarge(5, 4)));
    }

    #[test]
    fn a_photograph_that_was_cut_off_is_told() {
        let half = &JPEG[..JPEG.len() - 2];
        assert!(small_grey(half, &LIMITS, 1000).is_ok_and(|small| small.cut_off));
    }
}
