//! A scene as PNG: the SVG of the same scene, drawn with the vendored fonts and no others.

use std::sync::Arc;

use resvg::tiny_skia::{FilterQuality, IntSize, Pixmap, PixmapPaint, PremultipliedColorU8, Transform};
use resvg::usvg::{self, fontdb};

use lidcard_pixels::{Grey, Rgb, resized, to_png as to_png_file};

use super::font::{FAMILY, Weight};
use super::scene::{Item, Picture, Scene};
use super::{RenderError, svg};

/// The finest resolution drawn.
pub const FINEST_DPI: f64 = 1200.0;
/// The most pixels of one page: 8 GB of memory for one picture would be no service.
const MOST_PIXELS: f64 = 1.5e8;

/// Draws each page at a resolution in dots per inch.
///
/// # Errors
///
/// When the resolution is out of range, the picture too large, or a picture on it not to be read.
pub fn to_png(scene: &Scene, dpi: f64) -> Result<Vec<Vec<u8>>, RenderError> {
    if !(10.0..=FINEST_DPI).contains(&dpi) {
        return Err(RenderError::Inner(format!(
            "a resolution of {dpi} dpi is not between 10 and {FINEST_DPI}"
        )));
    }
    let mut fonts = fontdb::Database::new();
    for weight in Weight::BOTH {
        fonts.load_font_data(weight.bytes().to_vec());
    }
    let options =
        usvg::Options { font_family: FAMILY.to_owned(), fontdb: Arc::new(fonts), ..Default::default() };
    let mut pictures = Vec::new();
    for page in &scene.pages {
        let tree = usvg::Tree::from_str(&svg::draw_plain(page)?, &options)
            .map_err(|e| RenderError::Inner(format!("the page cannot be drawn: {e}")))?;
        let (wide, high) = ((page.width / 25.4 * dpi).round(), (page.height / 25.4 * dpi).round());
        if wide * high > MOST_PIXELS {
            return Err(RenderError::Inner(format!("{wide} x {high} pixels are too many")));
        }
        let mut pixels = Pixmap::new(wide as u32, high as u32)
            .ok_or_else(|| RenderError::Inner("the page has no size".into()))?;
        let size = tree.size();
        let scale = Transform::from_scale(wide as f32 / size.width(), high as f32 / size.height());
        resvg::render(&tree, scale, &mut pixels.as_mut());
        for item in &page.items {
            if let Item::Picture(picture) = item {
                lay(picture, dpi / 25.4, &mut pixels)?;
            }
        }
        pictures.push(with_resolution(written(&pixels)?, dpi));
    }
    Ok(pictures)
}

/// The page as a PNG file: in grey where nothing on it has a colour, which is a quarter of the work of packing it.
fn written(page: &Pixmap) -> Result<Vec<u8>, RenderError> {
    let (wide, high) = (page.width() as usize, page.height() as usize);
    // Whatever is not covered is paper.
    let paper = |pixel: &PremultipliedColorU8| u8::MAX - pixel.alpha();
    let grey = |p: &PremultipliedColorU8| p.red() == p.green() && p.green() == p.blue();
    let bytes = if page.pixels().iter().all(grey) {
        let level = |p: &PremultipliedColorU8| [p.red() + paper(p)];
        Grey::new(wide, high, page.pixels().iter().map(level).collect()).map(|p| to_png_file(&p))
    } else {
        let levels = |p: &PremultipliedColorU8| [p.red(), p.green(), p.blue()].map(|level| level + paper(p));
        Rgb::new(wide, high, page.pixels().iter().map(levels).collect()).map(|p| to_png_file(&p))
    };
    let bytes = bytes.ok_or_else(|| RenderError::Inner("the page has no size".into()))?;
    bytes.map_err(|e| RenderError::Inner(format!("the picture cannot be written: {e}")))
}

/// Lays a picture on the page; `scale` is pixels in a millimetre.
fn lay(picture: &Picture, scale: f64, page: &mut Pixmap) -> Result<(), RenderError> {
    let lost = || RenderError::Inner("the logo has no size".into());
    let (columns, rows) = (picture.width * scale, picture.height * scale);
    let side = |pixels: f64| (pixels.round() as usize).max(1);
    // Made as coarse as the page first: a picture only sampled there would lose its thin lines.
    let small = resized(&picture.pixels, (side(columns), side(rows)));
    let rgba = small.pixels().iter().flat_map(|[red, green, blue]| [*red, *green, *blue, u8::MAX]).collect();
    let (width, height) = (small.width() as u32, small.height() as u32);
    let size = IntSize::from_wh(width, height).ok_or_else(lost)?;
    let small = Pixmap::from_vec(rgba, size).ok_or_else(lost)?;
    let paint = PixmapPaint { quality: FilterQuality::Nearest, ..PixmapPaint::default() };
    let (x, y) = ((picture.x * scale).round() as i32, (picture.y * scale).round() as i32);
    page.draw_pixmap(x, y, small.as_ref(), &paint, Transform::identity(), None);
    Ok(())
}

/// Says in the file how large a pixel is, so that it prints in its true size.
fn with_resolution(png: Vec<u8>, dpi: f64) -> Vec<u8> {
    // Signature and header chunk are always 33 bytes; the resolution has to stand before the data.
    const HEADER: usize = 33;
    let per_metre = (dpi / 0.0254).round() as u32;
    let mut chunk = b"pHYs".to_vec();
    chunk.extend(per_metre.to_be_bytes());
    chunk.extend(per_metre.to_be_bytes());
    chunk.push(1);
    let mut bytes = png[..HEADER.min(png.len())].to_vec();
    bytes.extend(9_u32.to_be_bytes());
    bytes.extend(&chunk);
    bytes.extend(crc(&chunk).to_be_bytes());
    bytes.extend(png.get(HEADER..).unwrap_or_default());
    bytes
}

fn crc(bytes: &[u8]) -> u32 {
    !bytes.iter().fold(u32::MAX, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |c, _| if c & 1 == 1 { c >> 1 ^ 0xedb8_8320 } else { c >> 1 })
    })
}
