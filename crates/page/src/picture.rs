//! A picture of the workshop's, its logo: read from SVG or PNG, laid on white, and fine enough to print.

use std::fmt;
use std::sync::Arc;

use super::drawing;
use lidcard_pixels::{Limits, Rgb, is_png, resized};
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
/// How much of a PNG is opened: what unpacks to more is no logo.
const OPENED: Limits = Limits { side: 12_000, pixels: 20_000_000, memory: 100 << 20 };
/// The longest file, in bytes.
pub const LONGEST: usize = 4 << 20;

/// A picture that can be printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Logo {
    /// What is drawn.
    pub pixels: Arc<Rgb>,
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
        drawing::holds_only_shapes(text).map_err(PictureError)?;
        let mut options = usvg::Options::default();
        // Nothing but this file is ever read: not what it names on the disk, and no picture inside of it.
        options.image_href_resolver.resolve_string = Box::new(|_, _| None);
        options.image_href_resolver.resolve_data = Box::new(|_, _, _| None);
        let tree = match usvg::Tree::from_str(text, &options) {
            Ok(tree) => tree,
            Err(why) => {
                return refused(format!("it cannot be read as SVG: {why}; save it again as plain SVG"));
            }
        };
        let (wide, high) = (f64::from(tree.size().width()), f64::from(tree.size().height()));
        let [width, height] = fitted(wide / high, LARGEST)?;
        let dots = |mm: f64| (mm / 25.4 * FINE).round().max(1.0);
        let (columns, rows) = (dots(width), dots(height));
        drawing::is_soon_drawn(&tree, (columns / wide).max(rows / high), columns * rows)
            .map_err(PictureError)?;
        let Some(mut pixels) = Pixmap::new(columns as u32, rows as u32) else {
            return refused("it has no size; give its <svg> a width and a height");
        };
        pixels.fill(Color::WHITE);
        let scale = Transform::from_scale((columns / wide) as f32, (rows / high) as f32);
        resvg::render(&tree, scale, &mut pixels.as_mut());
        let (drawn, _) = pixels.data().as_chunks::<4>();
        let (width, height) = (pixels.width() as usize, pixels.height() as usize);
        Self::of(Rgb::from_fn(width, height, |x, y| {
            let [red, green, blue, _] = drawn[y * width + x];
            [red, green, blue]
        }))
    }

    /// Reads a PNG. What lies behind clear pixels is paper.
    ///
    /// # Errors
    /// When it cannot be read, draws nothing, or is too long, too thin or too coarse to print.
    pub fn from_png(bytes: &[u8]) -> Result<Self, PictureError> {
        small_enough(bytes)?;
        let unreadable =
            |why: &dyn fmt::Display| format!("it cannot be read as PNG: {why}; save it again as PNG");
        if !is_png(bytes) {
            return refused(unreadable(&"it does not begin like one"));
        }
        let picture = match lidcard_pixels::rgb(bytes, &OPENED) {
            Ok(picture) => picture,
            Err(why) => return refused(unreadable(&why)),
        };
        let (wide, high) = (picture.width() as f64, picture.height() as f64);
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
            let dots = |pixels: f64| ((pixels * FINE / resolution).round() as usize).max(1);
            resized(&picture, (dots(wide), dots(high)))
        } else {
            picture
        };
        Self::of(picture)
    }

    fn of(pixels: Rgb) -> Result<Self, PictureError> {
        if pixels.bytes().iter().all(|level| *level == u8::MAX) {
            return refused("it draws nothing but white; give one that can be seen on paper");
        }
        Ok(Self { pixels: Arc::new(pixels) })
    }

    /// Width and height in millimetres when it may fill a room.
    pub fn size_in(&self, room: [f64; 2]) -> [f64; 2] {
        within(self.pixels.width() as f64 / self.pixels.height() as f64, room)
    }
}

fn small_enough(bytes: &[u8]) -> Result<(), PictureError> {
    if bytes.len() > LONGEST {
        return refused(format!("it is larger than {} MB; save it smaller", LONGEST >> 20));
    }
    Ok(())
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
    use lidcard_pixels::{Raster, to_png};

    fn svg(width: u32, height: u32, inside: &str) -> String {
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\">{inside}</svg>"
        )
    }

    fn png(width: usize, height: usize, pixel: [u8; 4]) -> Vec<u8> {
        to_png(&Raster::from_fn(width, height, |_, _| pixel)).unwrap()
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
        assert_eq!(logo.pixels.sides(), (1417, 472));
        assert!(logo.pixels.bytes().iter().all(|level| *level == 0));
        let [width, height] = logo.size_in([10.0, 10.0]);
        assert!((width - 10.0).abs() < 1e-9 && (height - 10.0 * 472.0 / 1417.0).abs() < 1e-9);
    }

    #[test]
    fn clear_pixels_are_paper() {
        let logo = Logo::from_png(&png(800, 300, [0, 0, 0, 128])).unwrap();
        // 0 * 128/255 + 255 * 127/255 = 127.
        assert_eq!(logo.pixels.bytes()[..3], [127, 127, 127]);
        assert!(why(Logo::from_png(&png(800, 300, [0, 0, 0, 0]))).contains("nothing but white"));
    }

    #[test]
    fn a_fine_picture_is_made_no_finer_than_paper_shows() {
        let logo = Logo::from_png(&png(6000, 2000, [9, 9, 9, 255])).unwrap();
        assert_eq!(logo.pixels.sides(), (1417, 472));
        assert_eq!(logo.pixels.bytes()[..3], [9, 9, 9]);
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

    #[test]
    fn a_drawing_that_would_take_too_long_is_refused_before_it_is_drawn() {
        let s = "xmlns:s='http://www.w3.org/2000/svg'";
        let named = format!("<s:image {s} href='data:image/png;base64,QQ=='/>");
        let nested =
            |open: &str, close: &str, deep: usize| format!("{}{}", open.repeat(deep), close.repeat(deep));
        let doubled: String = (1..40)
            .map(|n| format!("<g id='a{n}'><use href='#a{}'/><use href='#a{}'/></g>", n - 1, n - 1))
            .collect();
        let covering = "<rect width='300' height='100' fill='red' stroke='blue'/>".repeat(400);
        let cases = [
            (
                "<filter id='f' width='1e30'/><rect filter='url(#f)' width='9' height='9'/>".to_owned(),
                "<filter>",
            ),
            ("<rect style='filter: blur(1e30px)' width='9' height='9'/>".to_owned(), "a filter"),
            ("<mask id='m'/>".to_owned(), "<mask>"),
            ("<pattern id='p'/>".to_owned(), "<pattern>"),
            (named, "picture inside"),
            ("<filter><feImage href='a'/></filter>".to_owned(), "<filter>"),
            ("<a><rect/></a>".to_owned(), "<a>"),
            ("<script/>".to_owned(), "<script>"),
            ("<rect width='1' height='1'/>".repeat(60_001), "shapes"),
            (format!("<path d='M0 0{}'/>", "h1v1".repeat(1_000_000)), "shapes"),
            (format!("<path id='a0' d='M0 0h9'/>{doubled}"), "shapes"),
            ("<g id='a'><use href='#a'/></g>".to_owned(), "inside of each other"),
            (nested("<g>", "</g>", 60), "inside of each other"),
            (nested("<g opacity='.9'><rect width='9' height='9'/>", "</g>", 7), "groups"),
            (
                "<g opacity='.9'><rect width='9' height='9'/><rect width='8' height='8'/></g>".repeat(49),
                "groups",
            ),
            (covering, "million pixels"),
            ("<path d='M0 0h300' stroke='red' stroke-dasharray='.001 .001'/>".to_owned(), "dashes"),
            (format!("<style>{}</style>", "a{}".repeat(6_000)), "<style>"),
        ];
        for (inside, words) in cases {
            let text = svg(300, 100, &inside);
            let said = why(Logo::from_svg(text.as_bytes()));
            assert!(said.contains(words), "{:.80}: {said}", inside);
        }
    }

    #[test]
    fn a_logo_as_drawing_programs_save_it_is_drawn() {
        let inside = "<defs><linearGradient id='a'><stop stop-color='red'/><stop offset='1'/></linearGradient>\
                      <clipPath id='c'><circle cx='50' cy='50' r='40'/></clipPath></defs><metadata><x:y \
                      xmlns:x='urn:x'/></metadata><style>.b{fill:url(#a)}</style><g clip-path='url(#c)'><g \
                      opacity='.5'><path id='d' class='b' d='M0 0h300v100z'/></g><use href='#d' x='4'/></g>\
                      <path d='M0 9h300' stroke='red' stroke-dasharray='4 2'/>";
        Logo::from_svg(svg(300, 100, inside).as_bytes()).unwrap();
    }
}
