//! A picture of the workshop's, its logo: read from SVG or PNG, laid on white, and fine enough to print.

use std::fmt;
use std::io::Cursor;
use std::sync::Arc;

use image::imageops::FilterType;
use image::{ImageReader, Limits, RgbImage, RgbaImage};
use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg;

/// It is never printed larger than this, in millimetres.
pub const LARGEST: [f64; 2] = [60.0, 20.0];
/// As fine as it is kept, in dots per inch: a good printer shows no more of a drawing.
const FINE: f64 = 600.0;
/// Coarser than this, steps are seen in a printed drawing (common practice, no source).
const COARSE: f64 = 300.0;
/// Both sides of the printed picture are at least this long, in millimetres: a thinner one is a line.
const THINNEST: f64 = 4.0;
/// The longest side of a PNG, in pixels: what unpacks to more is no logo.
const MOST_PIXELS: u32 = 12_000;
/// The longest file, in bytes.
pub const LONGEST: usize = 4 << 20;

/// Pixels on white, row by row from the top, three bytes each: red, green, blue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels in a row.
    pub width: usize,
    /// Rows.
    pub height: usize,
    /// The bytes.
    pub rgb: Vec<u8>,
}

/// A picture that can be printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Logo {
    /// What is drawn.
    pub pixels: Arc<Pixels>,
}

/// Why a picture cannot be printed, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PictureError(String);

impl fmt::Display for PictureError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for PictureError {}

fn refused<T>(why: impl Into<String>) -> Result<T, PictureError> {
    Err(PictureError(why.into()))
}

impl Logo {
    /// Reads an SVG.
    ///
    /// # Errors
    /// When it cannot be read, draws nothing, is too long or too thin, or holds what might be drawn
    /// otherwise elsewhere: text, which needs a font, and pictures inside the picture.
    pub fn from_svg(bytes: &[u8]) -> Result<Self, PictureError> {
        small_enough(bytes)?;
        let Ok(text) = std::str::from_utf8(bytes) else {
            return refused("it is not UTF-8 text; save it again as plain SVG");
        };
        let mut options = usvg::Options::default();
        // Nothing but this file is ever read: not what it names on the disk either.
        options.image_href_resolver.resolve_string = Box::new(|_, _| None);
        let tree = match usvg::Tree::from_str(text, &options) {
            Ok(tree) => tree,
            Err(why) => {
                return refused(format!("it cannot be read as SVG: {why}; save it again as plain SVG"));
            }
        };
        if tree.has_text_nodes() || text.contains("<text") {
            return refused(
                "it holds text, and a font is drawn differently elsewhere; turn the text into paths and save \
                 it again",
            );
        }
        if text.contains("<image") {
            return refused(
                "it holds a picture inside the picture; save the whole as logo.png, or draw it with paths",
            );
        }
        let (wide, high) = (f64::from(tree.size().width()), f64::from(tree.size().height()));
        let [width, height] = fitted(wide / high, LARGEST)?;
        let dots = |mm: f64| (mm / 25.4 * FINE).round().max(1.0);
        let (columns, rows) = (dots(width), dots(height));
        let Some(mut pixels) = Pixmap::new(columns as u32, rows as u32) else {
            return refused("it has no size; give its <svg> a width and a height");
        };
        pixels.fill(Color::WHITE);
        let scale = Transform::from_scale((columns / wide) as f32, (rows / high) as f32);
        resvg::render(&tree, scale, &mut pixels.as_mut());
        let rgb = pixels.data().chunks_exact(4).flat_map(|p| [p[0], p[1], p[2]]).collect();
        Self::of(Pixels { width: columns as usize, height: rows as usize, rgb })
    }

    /// Reads a PNG. What lies behind clear pixels is paper.
    ///
    /// # Errors
    /// When it cannot be read, draws nothing, or is too long, too thin or too coarse to print.
    pub fn from_png(bytes: &[u8]) -> Result<Self, PictureError> {
        small_enough(bytes)?;
        let mut reader = ImageReader::with_format(Cursor::new(bytes), image::ImageFormat::Png);
        let mut limits = Limits::default();
        (limits.max_image_width, limits.max_image_height) = (Some(MOST_PIXELS), Some(MOST_PIXELS));
        reader.limits(limits);
        let picture = match reader.decode() {
            Ok(picture) => on_white(&picture.into_rgba8()),
            Err(why) => {
                return refused(format!("it cannot be read as PNG: {why}; save it again as PNG"));
            }
        };
        let (wide, high) = (f64::from(picture.width()), f64::from(picture.height()));
        let [width, _] = fitted(wide / high, LARGEST)?;
        let resolution = wide / (width / 25.4);
        if resolution < COARSE {
            let least = (width / 25.4 * COARSE).ceil();
            return refused(format!(
                "it is {wide} x {high} pixels, and on {width:.0} mm of paper that is {resolution:.0} dots per \
                 inch; give one at least {least} pixels wide, or logo.svg"
            ));
        }
        let picture = if resolution > FINE * 1.05 {
            let dots = |pixels: f64| ((pixels * FINE / resolution).round() as u32).max(1);
            image::imageops::resize(&picture, dots(wide), dots(high), FilterType::Triangle)
        } else {
            picture
        };
        let (width, height) = (picture.width() as usize, picture.height() as usize);
        Self::of(Pixels { width, height, rgb: picture.into_raw() })
    }

    fn of(pixels: Pixels) -> Result<Self, PictureError> {
        if pixels.rgb.iter().all(|level| *level == u8::MAX) {
            return refused("it draws nothing but white; give one that can be seen on paper");
        }
        Ok(Self { pixels: Arc::new(pixels) })
    }

    /// Width and height in millimetres when it may fill a room.
    pub fn size_in(&self, room: [f64; 2]) -> [f64; 2] {
        within(self.pixels.width as f64 / self.pixels.height as f64, room)
    }
}

impl Pixels {
    /// As a PNG file.
    ///
    /// # Errors
    /// When the encoder fails.
    pub fn to_png(&self) -> Result<Vec<u8>, PictureError> {
        let mut bytes = Vec::new();
        let picture = RgbImage::from_raw(self.width as u32, self.height as u32, self.rgb.clone());
        let written = picture.map(|p| p.write_to(&mut Cursor::new(&mut bytes), image::ImageFormat::Png));
        match written {
            Some(Ok(())) => Ok(bytes),
            Some(Err(why)) => refused(why.to_string()),
            None => refused("it has fewer pixels than it says"),
        }
    }
}

fn small_enough(bytes: &[u8]) -> Result<(), PictureError> {
    if bytes.len() > LONGEST {
        return refused(format!("it is larger than {} MB; save it smaller", LONGEST >> 20));
    }
    Ok(())
}

fn on_white(picture: &RgbaImage) -> RgbImage {
    RgbImage::from_fn(picture.width(), picture.height(), |x, y| {
        let [red, green, blue, alpha] = picture.get_pixel(x, y).0;
        let mixed = |level: u8| {
            let (level, alpha) = (u32::from(level), u32::from(alpha));
            ((level * alpha + 255 * (255 - alpha) + 127) / 255) as u8
        };
        image::Rgb([mixed(red), mixed(green), mixed(blue)])
    })
}

fn within(aspect: f64, [width, height]: [f64; 2]) -> [f64; 2] {
    if aspect * height > width { [width, width / aspect] } else { [height * aspect, height] }
}

fn fitted(aspect: f64, room: [f64; 2]) -> Result<[f64; 2], PictureError> {
    let [width, height] = within(aspect, room);
    if width.min(height) < THINNEST {
        return refused(format!(
            "printed {width:.0} x {height:.0} mm it would be a line; give one whose longer side is at most {:.0} \
             times its width or {:.0} times its height",
            LARGEST[1] / THINNEST,
            LARGEST[0] / THINNEST
        ));
    }
    Ok([width, height])
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn svg(width: u32, height: u32, inside: &str) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\">{inside}</svg>"
        )
    }

    fn png(width: u32, height: u32, pixel: [u8; 4]) -> Vec<u8> {
        let mut bytes = Vec::new();
        let picture = RgbaImage::from_pixel(width, height, image::Rgba(pixel));
        picture.write_to(&mut Cursor::new(&mut bytes), image::ImageFormat::Png).unwrap();
        bytes
    }

    fn why(refused: Result<Logo, PictureError>) -> String {
        refused.unwrap_err().to_string()
    }

    #[test]
    fn a_drawing_keeps_its_shape_and_is_fine_enough() {
        let logo = Logo::from_svg(svg(300, 100, "<rect width='300' height='100'/>").as_bytes()).unwrap();
        let [width, height] = logo.size_in(LARGEST);
        assert!((width - 60.0).abs() < 1e-9 && (height - 20.0).abs() < 0.05, "{width} x {height}");
        // 60 mm at 600 dots per inch: 60 / 25.4 * 600 = 1417.3.
        assert_eq!((logo.pixels.width, logo.pixels.height), (1417, 472));
        assert!(logo.pixels.rgb.iter().all(|level| *level == 0));
        let [width, height] = logo.size_in([10.0, 10.0]);
        assert!((width - 10.0).abs() < 1e-9 && (height - 10.0 * 472.0 / 1417.0).abs() < 1e-9);
    }

    #[test]
    fn clear_pixels_are_paper() {
        let logo = Logo::from_png(&png(800, 300, [0, 0, 0, 128])).unwrap();
        // 0 * 128/255 + 255 * 127/255 = 127.
        assert_eq!(logo.pixels.rgb[..3], [127, 127, 127]);
        assert!(why(Logo::from_png(&png(800, 300, [0, 0, 0, 0]))).contains("nothing but white"));
    }

    #[test]
    fn a_fine_picture_is_made_no_finer_than_paper_shows() {
        let logo = Logo::from_png(&png(6000, 2000, [9, 9, 9, 255])).unwrap();
        assert_eq!((logo.pixels.width, logo.pixels.height), (1417, 472));
        assert_eq!(logo.pixels.rgb[..3], [9, 9, 9]);
    }

    #[test]
    fn what_would_print_badly_is_refused_with_what_to_do() {
        let coarse = why(Logo::from_png(&png(120, 40, [0, 0, 0, 255])));
        // 60 mm / 25.4 * 300 = 708.7.
        assert!(coarse.contains("51 dots per inch") && coarse.contains("at least 709 pixels"), "{coarse}");
        assert!(why(Logo::from_png(&png(4000, 40, [0, 0, 0, 255]))).contains("a line"));
        assert!(why(Logo::from_png(b"\x89PNG\r\n\x1a\nnot")).contains("cannot be read as PNG"));
        assert!(why(Logo::from_svg(b"<svg>")).contains("cannot be read as SVG"));
        assert!(why(Logo::from_svg(&[0xff, 0xfe])).contains("UTF-8"));
        assert!(why(Logo::from_svg(&vec![b' '; LONGEST + 1])).contains("larger than 4 MB"));
        assert!(why(Logo::from_svg(svg(30, 10, "").as_bytes())).contains("nothing but white"));
        let words = svg(30, 10, "<text x='1' y='9'>Boats</text>");
        assert!(why(Logo::from_svg(words.as_bytes())).contains("text into paths"));
        let inner = svg(30, 10, "<image href='/etc/hostname' width='9' height='9'/>");
        assert!(why(Logo::from_svg(inner.as_bytes())).contains("picture inside"));
    }
}
