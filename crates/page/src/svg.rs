//! A scene as SVG, one picture a page: text as text, with the subset font inside.

use std::fmt::Write as _;

use super::font::{FAMILY, Weight, subset_for};
use super::pdf::characters;
use super::scene::{Item, Page, Path, Picture, Scene, Segment, Squares, Text};
use super::{MM_PER_POINT, RenderError};

/// Draws each page, with its fonts embedded.
///
/// # Errors
///
/// When a font cannot be cut down.
pub fn to_svg(scene: &Scene) -> Result<Vec<String>, RenderError> {
    let mut faces = String::new();
    for (weight, characters) in characters(scene) {
        let data = base64(&subset_for(weight, &characters)?);
        let number = weight_number(weight);
        let _ = write!(
            faces,
            "@font-face{{font-family:\"{FAMILY}\";font-weight:{number};src:url(data:font/ttf;base64,{data})}}"
        );
    }
    let style = format!("<style>{faces}</style>\n");
    scene.pages.iter().map(|page| draw(page, &scene.title, &style, true)).collect()
}

/// Draws one page without its fonts and pictures, for a reader that has them.
pub(super) fn draw_plain(page: &Page) -> Result<String, RenderError> {
    draw(page, "", "", false)
}

fn weight_number(weight: Weight) -> u16 {
    match weight {
        Weight::Regular => 400,
        Weight::Bold => 700,
    }
}

fn draw(page: &Page, title: &str, style: &str, pictures: bool) -> Result<String, RenderError> {
    let (w, h) = (number(page.width), number(page.height));
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n"
    );
    if !title.is_empty() {
        let _ = writeln!(svg, "<title>{}</title>", escape(title));
    }
    svg.push_str(style);
    let _ = writeln!(svg, "<rect width=\"{w}\" height=\"{h}\" fill=\"#fff\"/>");
    // The PDF sets letters one by one as wide as they are; so must this.
    let _ = writeln!(svg, "<g font-family=\"{FAMILY}\" font-kerning=\"none\" stroke-linejoin=\"round\">");
    for item in &page.items {
        match item {
            Item::Text(text) => draw_text(&mut svg, text),
            Item::Path(path) => draw_path(&mut svg, path),
            Item::Squares(squares) => draw_squares(&mut svg, squares),
            Item::Picture(picture) => draw_picture(&mut svg, picture, pictures)?,
        }
    }
    svg.push_str("</g>\n</svg>\n");
    Ok(svg)
}

fn draw_picture(svg: &mut String, picture: &Picture, inside: bool) -> Result<(), RenderError> {
    if !inside {
        return Ok(());
    }
    let png =
        lidcard_pixels::to_png(&picture.pixels).map_err(|e| RenderError::Inner(format!("the logo: {e}")))?;
    let [x, y, width, height] = [picture.x, picture.y, picture.width, picture.height].map(number);
    let _ = writeln!(
        svg,
        "<image x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" preserveAspectRatio=\"none\" \
         href=\"data:image/png;base64,{}\"/>",
        base64(&png)
    );
    Ok(())
}

fn draw_text(svg: &mut String, text: &Text) {
    let (x, y) = (number(text.x), number(text.y));
    let size = number(text.size * MM_PER_POINT);
    let weight = weight_number(text.weight);
    let paint = match text.outline {
        Some(line) => {
            format!("fill=\"none\" stroke=\"{}\" stroke-width=\"{}\"", shade(text.grey), number(line))
        }
        None => format!("fill=\"{}\"", shade(text.grey)),
    };
    let turn = match text.turn {
        0.0 => String::new(),
        turn => format!(" transform=\"rotate({} {x} {y})\"", number(-turn)),
    };
    let words = escape(&text.text);
    let _ = writeln!(
        svg,
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" font-weight=\"{weight}\" {paint}{turn} \
         xml:space=\"preserve\">{words}</text>"
    );
}

fn draw_path(svg: &mut String, path: &Path) {
    let at = |p: [f64; 2]| format!("{} {}", number(p[0]), number(p[1]));
    let mut steps = format!("M{}", at(path.start));
    for segment in &path.segments {
        let _ = match segment {
            Segment::Line(p) => write!(steps, "L{}", at(*p)),
            Segment::Curve(a, b, p) => write!(steps, "C{} {} {}", at(*a), at(*b), at(*p)),
        };
    }
    if path.closed {
        steps.push('Z');
    }
    let fill = path.fill.map_or_else(|| "none".to_owned(), shade);
    let mut line = String::new();
    if let Some(thickness) = path.line {
        let _ = write!(line, " stroke=\"{}\" stroke-width=\"{}\"", shade(path.line_grey), number(thickness));
        if let Some([dash, gap]) = path.dash {
            let _ = write!(line, " stroke-dasharray=\"{} {}\"", number(dash), number(gap));
        }
    }
    let _ = writeln!(svg, "<path d=\"{steps}\" fill=\"{fill}\"{line}/>");
}

fn draw_squares(svg: &mut String, squares: &Squares) {
    let [x, y, side] = [squares.x, squares.y, squares.side].map(number);
    let _ = writeln!(svg, "<rect x=\"{x}\" y=\"{y}\" width=\"{side}\" height=\"{side}\" fill=\"#fff\"/>");
    // In units of a square: whole numbers, and neighbours share their edge exactly.
    let unit = squares.side / squares.count as f64;
    let mut steps = String::new();
    for (column, row, long) in &squares.runs {
        let _ = write!(steps, "M{column} {row}h{long}v1h-{long}z");
    }
    let _ = writeln!(
        svg,
        "<path transform=\"translate({x} {y}) scale({unit:.6})\" d=\"{steps}\" fill=\"#000\" \
         shape-rendering=\"crispEdges\"/>"
    );
}

/// A number of millimetres to a thousandth, without superfluous noughts.
fn number(value: f64) -> String {
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn shade(grey: f64) -> String {
    let level = (grey.clamp(0.0, 1.0) * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}

fn escape(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Bytes as letters (RFC 4648, section 4).
pub fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |n: usize| u32::from(chunk.get(n).copied().unwrap_or(0));
        let group = byte(0) << 16 | byte(1) << 8 | byte(2);
        for n in 0..4 {
            let letter = LETTERS[(group >> (18 - 6 * n) & 63) as usize];
            text.push(if n <= chunk.len() { char::from(letter) } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_become_letters_as_in_the_standard() {
        // The examples of RFC 4648, section 10.
        for (plain, coded) in
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")]
        {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!([number(-0.0001), number(10.0), number(2.5)], ["0", "10", "2.5"]);
    }
}
