//! The QR codes in a picture.
//!
//! A scan is easy. A photograph is looked at several times over: in several sizes, because blur and
//! noise go when it gets smaller and squares of two pixels are found when it gets larger; and with
//! black told from white within each neighbourhood, because a lamp lights one corner only.

use lidcard_pixels::{Grey, Limits, ReadError, resized};
use std::fmt;

/// Why a picture could not be looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unseen {
    /// A PDF: pages, not a picture.
    Pdf,
    /// It is no picture of a kind that is read, or broken.
    NoPicture(String),
    /// More pixels than any camera or scanner in a workshop makes.
    TooLarge(u32, u32),
}

impl fmt::Display for Unseen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pdf => write!(f, "a PDF is not looked into; make a PNG picture of the page, at 300 dpi"),
            Self::NoPicture(why) => {
                write!(f, "not a PNG or JPEG picture that can be read ({why}); save it as one of these")
            }
            Self::TooLarge(width, height) => {
                write!(f, "{width} x {height} pixels are too many; 300 dpi are enough")
            }
        }
    }
}

impl std::error::Error for Unseen {}

/// How much of a picture is opened at all.
const OPENED: Limits = Limits { side: 20_000, pixels: 100_000_000, memory: 512 << 20 };
/// Pixels that are looked at; a picture with more is made smaller first.
const MOST_PIXELS: f64 = 40e6;
/// How many times smaller the picture is that shows how the light falls.
const SMALLER: usize = 8;

/// How a picture is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// As it is, then smaller: quick, and enough for a scan and a good photograph.
    Quick,
    /// Larger and larger: takes many times as long.
    Enlarged,
}

impl Look {
    /// In which sizes, the likeliest first. Where squares are little more than two pixels wide it hangs
    /// on how they fall on these, so several larger ones.
    fn sizes(self) -> &'static [f64] {
        match self {
            Self::Quick => &[1.0, 0.5, 0.7, 0.25],
            Self::Enlarged => &[1.4, 2.0, 2.7, 1.7, 1.2],
        }
    }
}

/// One way of looking at a picture, to be done where the caller likes: a picture made to keep the reader busy
/// (a wallpaper of corner marks) takes it minutes, and others it may panic over.
#[derive(Debug)]
pub struct Sight(Grey);

impl Sight {
    /// The texts of the codes that are seen.
    pub fn texts(self) -> Vec<String> {
        decoded(self.0)
    }
}

/// The texts of the QR codes that are seen in a PNG or JPEG picture, each once. It is looked at in
/// other ways until `enough` says that nothing is missing, or `see` answers nothing: then it waits no longer
/// for the texts of a sight, and what was seen until then is all.
///
/// # Errors
/// When it is no picture, or too large.
pub fn texts_in(
    bytes: &[u8],
    look: Look,
    enough: &dyn Fn(&[String]) -> bool,
    see: &dyn Fn(Sight) -> Option<Vec<String>>,
) -> Result<Vec<String>, Unseen> {
    let grey = opened(bytes)?;
    let mut texts: Vec<String> = Vec::new();
    let pixels = grey.pixels().len() as f64;
    let largest = (MOST_PIXELS / pixels).sqrt();
    let mut looked_at = Vec::new();
    for size in look.sizes().iter().map(|size| size.min(largest)) {
        let side = |pixels: usize| (pixels as f64 * size).round().max(1.0) as usize;
        let sides = (side(grey.width()), side(grey.height()));
        // The smallest QR code has 21 squares along a side.
        if sides.0.min(sides.1) < 21 || looked_at.contains(&sides) {
            continue;
        }
        looked_at.push(sides);
        let sized = resized(&grey, sides);
        // A scan is seen as it is; only a photograph needs its light evened out.
        for evened in [false, true] {
            let picture = if evened { even(&sized) } else { sized.clone() };
            let Some(found) = see(Sight(picture)) else { return Ok(texts) };
            for text in found {
                if !texts.contains(&text) {
                    texts.push(text);
                }
            }
            if enough(&texts) {
                return Ok(texts);
            }
        }
    }
    Ok(texts)
}

/// The picture in grey.
fn opened(bytes: &[u8]) -> Result<Grey, Unseen> {
    if bytes.starts_with(b"%PDF") {
        return Err(Unseen::Pdf);
    }
    lidcard_pixels::grey(bytes, &OPENED).map_err(|why| match why {
        ReadError::TooLarge(width, height) => Unseen::TooLarge(width, height),
        why => Unseen::NoPicture(why.to_string()),
    })
}

/// The same picture as if it were evenly lit: everything is compared with its neighbourhood.
fn even(grey: &Grey) -> Grey {
    // Light changes slowly: a small picture shows it as well.
    let small = |pixels: usize| pixels.div_ceil(SMALLER);
    let light = resized(grey, (small(grey.width()), small(grey.height())));
    // Some squares of any code wide, and narrower than a shadow.
    let reach = (light.width().max(light.height()) / 48).max(1);
    let light = mean_of_rows(&mean_of_rows(&light, reach).turned(), reach).turned();
    let means = resized(&light, grey.sides());
    let mut even = grey.clone();
    for ([pixel], [mean]) in even.pixels_mut().iter_mut().zip(means.pixels()) {
        // Paper comes out white, inside a code and beside it, and ink far darker, whatever falls on both.
        *pixel = u8::try_from(u16::from(*pixel) * 255 / u16::from(*mean).max(1)).unwrap_or(u8::MAX);
    }
    even
}

/// Each pixel as the mean of those up to `reach` beside it.
fn mean_of_rows(grey: &Grey, reach: usize) -> Grey {
    let width = grey.width();
    let mut means = grey.clone();
    for (row, out) in grey.pixels().chunks_exact(width).zip(means.pixels_mut().chunks_exact_mut(width)) {
        let mut sum: usize = row.iter().take(reach).map(|[p]| usize::from(*p)).sum();
        for x in 0..width {
            sum += row.get(x + reach).map_or(0, |[p]| usize::from(*p));
            let first = x.saturating_sub(reach);
            let count = (x + reach).min(width - 1) - first + 1;
            out[x] = [u8::try_from(sum / count).unwrap_or(u8::MAX)];
            if x >= reach {
                sum -= usize::from(row[x - reach][0]);
            }
        }
    }
    means
}

/// The reader takes corner marks of two codes beside each other for those of one, and then sees one of
/// them or none. So what was read is painted over, and the rest looked at again.
fn decoded(mut grey: Grey) -> Vec<String> {
    let mut texts = Vec::new();
    loop {
        let before = texts.len();
        for (corners, text) in codes(&grey) {
            paint_over(&mut grey, corners);
            if !texts.contains(&text) {
                texts.push(text);
            }
        }
        if texts.len() == before {
            return texts;
        }
    }
}

/// The corners of each code that can be read, in turn round it, and its text.
fn codes(grey: &Grey) -> Vec<([[i32; 2]; 4], String)> {
    let at = |x, y| grey.at(x, y)[0];
    let mut prepared = rqrr::PreparedImage::prepare_from_greyscale(grey.width(), grey.height(), at);
    let read = |grid: &rqrr::Grid<_>| {
        let (_, text) = grid.decode().ok()?;
        Some((grid.bounds.map(|corner| [corner.x, corner.y]), text))
    };
    prepared.detect_grids().iter().filter_map(read).collect()
}

/// Fills a quadrangle with the lightest grey that is in it: that of the paper there.
fn paint_over(grey: &mut Grey, corners: [[i32; 2]; 4]) {
    let span = |axis: usize, most: usize| {
        let all = corners.map(|corner| usize::try_from(corner[axis]).unwrap_or(0).min(most));
        all.into_iter().min().unwrap_or(0)..all.into_iter().max().unwrap_or(0)
    };
    let (across, down) = (span(0, grey.width()), span(1, grey.height()));
    let sides: [_; 4] = std::array::from_fn(|n| (corners[n], corners[(n + 1) % 4]));
    let is_in = |x: usize, y: usize| {
        let [x, y] = [x as i64, y as i64];
        // A point is inside if it lies on the same hand of every side.
        let hand = |([ax, ay], [bx, by]): ([i32; 2], [i32; 2])| {
            let [ax, ay, bx, by] = [ax, ay, bx, by].map(i64::from);
            (bx - ax) * (y - ay) - (by - ay) * (x - ax)
        };
        let hands = sides.map(hand);
        hands.iter().all(|h| *h >= 0) || hands.iter().all(|h| *h <= 0)
    };
    let inside: Vec<(usize, usize)> =
        down.flat_map(|y| across.clone().map(move |x| (x, y))).filter(|(x, y)| is_in(*x, *y)).collect();
    let paper = inside.iter().map(|(x, y)| grey.at(*x, *y)[0]).max().unwrap_or(u8::MAX);
    for (x, y) in inside {
        grey.set(x, y, [paper]);
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::{Look, Unseen, even, mean_of_rows, paint_over, texts_in};
    use lidcard_pixels::Grey;

    #[test]
    fn what_is_no_picture_is_refused() {
        let look = |bytes: &[u8]| texts_in(bytes, Look::Quick, &|_| true, &|sight| Some(sight.texts()));
        assert!(matches!(look(b"lidcard: 1"), Err(Unseen::NoPicture(_))));
        assert!(matches!(look(b"\x89PNG\r\n\x1a\n"), Err(Unseen::NoPicture(_))));
        assert_eq!(look(b"%PDF-1.7"), Err(Unseen::Pdf));
    }

    #[test]
    fn what_is_painted_over_has_the_grey_of_its_paper_and_the_rest_is_left_alone() {
        // A rhombus with corners at the middles of the sides of a square.
        let mut picture = Grey::from_fn(9, 9, |x, _| [if x == 4 { 180 } else { 20 }]);
        paint_over(&mut picture, [[4, 0], [8, 4], [4, 8], [0, 4]]);
        assert_eq!(picture.at(3, 4), [180]);
        assert_eq!(picture.at(6, 4), [180]);
        for (x, y) in [(0, 0), (7, 1), (1, 7), (7, 7)] {
            assert_eq!(picture.at(x, y), [20], "at {x}, {y}");
        }
    }

    #[test]
    fn a_mean_is_that_of_the_neighbours_that_are_there() {
        let row = Grey::new(5, 1, [0, 10, 20, 30, 100].map(|p| [p]).to_vec()).unwrap();
        // By hand: (0 + 10)/2, (0 + 10 + 20)/3, (10 + 20 + 30)/3, (20 + 30 + 100)/3, (30 + 100)/2.
        assert_eq!(mean_of_rows(&row, 1).bytes(), [5, 10, 20, 50, 65]);
        assert_eq!(mean_of_rows(&row, 9).bytes(), [32; 5]);
    }

    #[test]
    fn stripes_in_light_that_fades_stay_apart() {
        // Ink reflects a fifth of what paper does; the light falls to a sixth across the picture, so
        // paper in the dark is darker than ink in the light.
        let light = |x: usize| 250.0 - x as f64 * 0.52;
        let ink = |x: usize| (x / 4).is_multiple_of(2);
        let picture = Grey::from_fn(400, 40, |x, _| [(light(x) * if ink(x) { 0.2 } else { 1.0 }) as u8]);
        assert!(picture.at(396, 5)[0] < picture.at(0, 5)[0]);
        let even = even(&picture);
        for (n, [pixel]) in even.pixels().iter().enumerate() {
            let x = n % even.width();
            assert_eq!(*pixel < 128, ink(x), "at {x}: {pixel}");
        }
    }
}
