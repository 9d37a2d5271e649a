//! A printed sheet that is badly photographed: in perspective, turned, in shadow, out of focus, with grain, cut, and
//! with wrong bytes.

use crate::Got;
use crate::chance::Chance;
use lidcard::document::{ALL, Job, Request};
use lidcard::fingerprint::{Code, pack, unpack};
use lidcard::render::png::to_png;
use lidcard::rule;
use lidcard::setup::lower;
use lidcard::source::Source;
use lidcard_pixels::{Grey, Limits, grey};
use lidcard_scan::{Look, texts_in};
use std::sync::OnceLock;

/// Dots per inch of the sheets that are photographed.
const DPI: f64 = 150.0;
const LIMITS: Limits = Limits { side: 20_000, pixels: 100_000_000, memory: 100 << 20 };

struct Sheet {
    page: Grey,
    text: String,
}

/// The page that carries the file.
fn sheet() -> &'static Sheet {
    static SHEET: OnceLock<Sheet> = OnceLock::new();
    SHEET.get_or_init(|| {
        let text = std::fs::read_to_string(crate::root().join("boats/sprat.yaml")).expect("a boat");
        let source = Source::from_text("sprat.yaml", &text).expect("it can be read");
        let setup = lower::lower(&source).expect("it is a boat");
        let judged = rule::judge(&setup);
        let packed = pack(&source);
        let job = Job {
            setup: &setup,
            findings: &judged.verdict.findings,
            code: Code::of(&source),
            packed: &packed,
            lost: judged.lost.as_ref(),
            emergency: &judged.emergency,
            windows: &judged.windows,
        };
        let sheet = ALL.iter().find(|document| document.holds_the_file()).expect("a sheet");
        let request = Request { certificate: Some("0".repeat(64)), ..Request::default() };
        let mut scene = sheet.scene(&job, &request).expect("it can be made");
        scene.pages = scene.pages.pop().into_iter().collect();
        let page = to_png(&scene, DPI).expect("it can be drawn").pop().expect("a page");
        let (_, text) = unpack(&packed).expect("it can be unpacked");
        Sheet { page: grey(&page, &LIMITS).expect("it can be read"), text }
    })
}

/// Photographs a sheet and reads its codes.
///
/// # Panics
/// When something does not hold.
pub fn run(bytes: &[u8]) -> Got {
    let mut chance = Chance::of(bytes);
    let Sheet { page, text } = sheet();
    let picture = photographed(&mut chance, page);
    let mut file = lidcard_pixels::to_png(&picture).expect("it can be written");
    if chance.percent(15) {
        file = crate::bent(&mut chance, &file, &[]);
    }
    let enough = |texts: &[String]| unpack(texts).is_ok();
    let Ok(mut seen) = texts_in(&file, Look::Quick, &enough) else { return Got::Refused };
    if !enough(&seen.texts) && chance.percent(40) {
        let more = texts_in(&file, Look::Enlarged, &enough).expect("it was read before");
        seen.texts.extend(more.texts);
    }
    match unpack(&seen.texts) {
        Ok((_, back)) => {
            assert_eq!(&back, text, "another file than the sheet holds");
            Got::Through
        }
        Err(_) => Got::Read,
    }
}

/// The picture of a sheet.
pub fn photographed(chance: &mut Chance<'_>, page: &Grey) -> Grey {
    let (w, h) = (page.width() as f64, page.height() as f64);
    let mut picture = page.clone();
    if chance.percent(60) {
        // From where each corner of the picture looks at the sheet.
        let mut off = |far: f64| chance.between(-0.04, 0.12) * far;
        let quad = [[off(w), off(h)], [w - off(w), off(h)], [w - off(w), h - off(h)], [off(w), h - off(h)]];
        let turn = if chance.percent(40) {
            chance.between(-std::f64::consts::PI, std::f64::consts::PI)
        } else {
            0.0
        };
        let (sin, cos) = (libm::sin(turn), libm::cos(turn));
        let around = chance.pick([0.0, 120.0, 255.0]);
        picture = Grey::from_fn(page.width(), page.height(), |x, y| {
            let (dx, dy) = (x as f64 - w / 2.0, y as f64 - h / 2.0);
            let (u, v) = ((dx * cos - dy * sin) / w + 0.5, (dx * sin + dy * cos) / h + 0.5);
            [level(page, through(&quad, u, v), around)]
        });
    }
    if chance.percent(40) {
        let (left, top) = (chance.between(0.1, 1.0), chance.between(0.3, 1.0));
        let width = picture.width() as f64;
        let height = picture.height() as f64;
        picture = Grey::from_fn(picture.width(), picture.height(), |x, y| {
            let light = (left + (1.0 - left) * x as f64 / width) * (1.0 - (1.0 - top) * y as f64 / height);
            [(f64::from(picture.at(x, y)[0]) * light) as u8]
        });
    }
    if chance.percent(35) {
        let reach = chance.pick([1, 1, 2, 3, 5]);
        picture = blurred(&blurred(&picture, reach).turned(), reach).turned();
    }
    if chance.percent(30) {
        let grain = chance.pick([5, 20, 60]);
        let noise = Chance::numbered(chance.below(1 << 16) as u64);
        let mut noise = noise;
        for [pixel] in picture.pixels_mut() {
            *pixel =
                (i32::from(*pixel) + noise.below(2 * grain + 1) as i32 - grain as i32).clamp(0, 255) as u8;
        }
    }
    if chance.percent(15) {
        let (w, h) = picture.sides();
        let (x0, y0, w, h) = chance.pick([
            (0, 0, w, h / 2),
            (0, h / 2, w, h / 2),
            (w / 3, h / 4, w / 2, h / 2),
            (0, 0, w / 2, h),
        ]);
        picture = Grey::from_fn(w.max(1), h.max(1), |x, y| picture.at(x + x0, y + y0));
    }
    picture
}

/// Where a place of the unit square lies in a quadrilateral seen in perspective (Heckbert, Fundamentals of Texture
/// Mapping and Image Warping, 1989, 2.2.3).
fn through(quad: &[[f64; 2]; 4], u: f64, v: f64) -> [f64; 2] {
    let [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = *quad;
    let (dx1, dx2, sx) = (x1 - x2, x3 - x2, x0 - x1 + x2 - x3);
    let (dy1, dy2, sy) = (y1 - y2, y3 - y2, y0 - y1 + y2 - y3);
    let det = dx1 * dy2 - dx2 * dy1;
    let (g, h) = ((sx * dy2 - dx2 * sy) / det, (dx1 * sy - sx * dy1) / det);
    let away = g * u + h * v + 1.0;
    [
        ((x1 - x0 + g * x1) * u + (x3 - x0 + h * x3) * v + x0) / away,
        ((y1 - y0 + g * y1) * u + (y3 - y0 + h * y3) * v + y0) / away,
    ]
}

fn level(page: &Grey, [x, y]: [f64; 2], around: f64) -> u8 {
    let (left, top) = (x.floor(), y.floor());
    let at = |dx: f64, dy: f64| {
        let (x, y) = (left + dx, top + dy);
        let inside = x >= 0.0 && y >= 0.0 && x < page.width() as f64 && y < page.height() as f64;
        if inside { f64::from(page.at(x as usize, y as usize)[0]) } else { around }
    };
    let (right, below) = (x - left, y - top);
    let row = |dy: f64| at(0.0, dy) * (1.0 - right) + at(1.0, dy) * right;
    (row(0.0) * (1.0 - below) + row(1.0) * below) as u8
}

fn blurred(picture: &Grey, reach: usize) -> Grey {
    Grey::from_fn(picture.width(), picture.height(), |x, y| {
        let (first, last) = (x.saturating_sub(reach), (x + reach).min(picture.width() - 1));
        let sum: usize = (first..=last).map(|x| usize::from(picture.at(x, y)[0])).sum();
        [(sum / (last - first + 1)) as u8]
    })
}
