//! What is drawn on a page, as the operators of PDF (ISO 32000-1, annex A).

use super::super::RenderError;
use super::super::font::Weight;
use super::super::scene::{Item, Page, Path, Picture, Segment, Squares, Text};
use super::fonts::Fonts;
use super::points;

/// The name under which a page knows its one picture.
pub(super) const PICTURE: &str = "Logo";

/// The content of a page.
pub(super) fn drawn(page: &Page, fonts: &Fonts) -> Result<Vec<u8>, RenderError> {
    let mut pen = Pen { out: Vec::new(), fonts, height: page.height, ink: None, line: None, font: None };
    // Lines end where they end, and are rounded where they meet.
    pen.out.extend(b"0 J 1 j\n");
    for item in &page.items {
        match item {
            Item::Path(path) => pen.path(path),
            Item::Text(text) => pen.text(text)?,
            Item::Squares(squares) => pen.squares(squares),
            Item::Picture(picture) => pen.picture(picture),
        }
    }
    Ok(pen.out)
}

/// What is drawn with stays until another is chosen (ISO 32000-1, 8.4.1): it is said when it changes.
struct Pen<'a> {
    out: Vec<u8>,
    fonts: &'a Fonts,
    /// A page is measured from its top in a scene, and from its foot in a PDF.
    height: f64,
    ink: Option<f64>,
    line: Option<(f64, f64)>,
    font: Option<(Weight, f64)>,
}

impl Pen<'_> {
    /// An operator behind its numbers.
    fn say(&mut self, numbers: &[f64], operator: &str) {
        self.say_to(3, numbers, operator);
    }

    fn say_to(&mut self, places: u32, numbers: &[f64], operator: &str) {
        for value in numbers {
            decimal(&mut self.out, *value, places);
            self.out.push(b' ');
        }
        self.out.extend(operator.as_bytes());
        self.out.push(b'\n');
    }

    /// Fills areas and letters in a grey.
    fn fill_in(&mut self, grey: f64) {
        if self.ink.replace(grey) != Some(grey) {
            self.say(&[grey], "g");
        }
    }

    /// Draws lines of a thickness in a grey.
    fn line_in(&mut self, thickness: f64, grey: f64) {
        if self.line.replace((thickness, grey)) != Some((thickness, grey)) {
            self.say(&[points(thickness)], "w");
            self.say(&[grey], "G");
        }
    }

    fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [points(x), points(self.height - y)]
    }

    fn path(&mut self, path: &Path) {
        if let Some(fill) = path.fill {
            self.fill_in(fill);
        }
        if let Some(line) = path.line {
            self.line_in(line, path.line_grey);
        }
        if let Some([dash, gap]) = path.dash {
            self.out.push(b'[');
            self.say(&[points(dash), points(gap)], "] 0 d");
        }
        self.say(&self.at(path.start), "m");
        for segment in &path.segments {
            match segment {
                Segment::Line(p) => self.say(&self.at(*p), "l"),
                Segment::Curve(a, b, p) => self.say(&[*a, *b, *p].map(|p| self.at(p)).concat(), "c"),
            }
        }
        if path.closed {
            self.say(&[], "h");
        }
        let paint = match (path.fill.is_some(), path.line.is_some()) {
            (true, true) => "B",
            (true, false) => "f",
            (false, true) => "S",
            (false, false) => "n",
        };
        self.say(&[], paint);
        if path.dash.is_some() {
            self.say(&[], "[] 0 d");
        }
    }

    fn squares(&mut self, squares: &Squares) {
        let side = squares.side;
        let [x, top] = self.at([squares.x, squares.y]);
        self.fill_in(1.0);
        self.say(&[x, top - points(side), points(side), points(side)], "re");
        self.say(&[], "f");
        self.fill_in(0.0);
        // In units of a square, downwards: whole numbers, and neighbours share their edge exactly.
        let unit = points(side / squares.count as f64);
        self.say(&[], "q");
        self.say_to(6, &[unit, 0.0, 0.0, -unit, x, top], "cm");
        for (column, row, long) in &squares.runs {
            self.say(&[*column as f64, *row as f64, *long as f64, 1.0], "re");
        }
        self.say(&[], "f");
        self.say(&[], "Q");
    }

    fn picture(&mut self, picture: &Picture) {
        let [x, foot] = self.at([picture.x, picture.y + picture.height]);
        self.say(&[], "q");
        // A picture fills the unit square (ISO 32000-1, 8.9.5), which is made as large as it is printed.
        self.say(&[points(picture.width), 0.0, 0.0, points(picture.height), x, foot], "cm");
        self.say(&[], &format!("/{PICTURE} Do"));
        self.say(&[], "Q");
    }

    fn text(&mut self, text: &Text) -> Result<(), RenderError> {
        self.say(&[], "BT");
        self.fill_in(text.grey);
        let font = (text.weight, text.size);
        if self.font.replace(font) != Some(font) {
            self.out.push(b'/');
            self.out.extend(Fonts::name(text.weight).as_bytes());
            self.out.push(b' ');
            self.say(&[text.size], "Tf");
        }
        if let Some(line) = text.outline {
            self.line_in(line, text.grey);
            self.say(&[], "1 Tr");
        }
        let [x, y] = self.at([text.x, text.y]);
        if text.turn == 0.0 {
            self.say(&[x, y], "Td");
        } else {
            let (sin, cos) = libm::sincos(text.turn.to_radians());
            self.say_to(5, &[cos, sin, -sin, cos, x, y], "Tm");
        }
        self.letters(text)?;
        if text.outline.is_some() {
            self.say(&[], "0 Tr");
        }
        self.say(&[], "ET");
        Ok(())
    }

    /// The glyphs of a text as a string of two bytes each.
    fn letters(&mut self, text: &Text) -> Result<(), RenderError> {
        self.out.push(b'(');
        for character in text.text.chars() {
            let glyph = self.fonts.glyph(text.weight, character);
            let glyph = glyph.ok_or_else(|| RenderError::Glyph { character, text: text.text.clone() })?;
            for byte in glyph.to_be_bytes() {
                match byte {
                    b'(' | b')' | b'\\' => self.out.extend([b'\\', byte]),
                    // By itself it would be read as the end of a line, which is another byte.
                    b'\r' => self.out.extend(b"\\r"),
                    byte => self.out.push(byte),
                }
            }
        }
        self.out.extend(b") Tj\n");
        Ok(())
    }
}

/// A number with so many decimal places at most. Thousandths of a point are far below a hundredth of a millimetre
/// and keep the file small.
fn decimal(out: &mut Vec<u8>, value: f64, mut places: u32) {
    let mut left = (value.abs() * 10_u64.pow(places) as f64).round() as u64;
    if left > 0 && value < 0.0 {
        out.push(b'-');
    }
    while places > 0 && left.is_multiple_of(10) {
        left /= 10;
        places -= 1;
    }
    let mut digits = [0; 24];
    let mut at = digits.len();
    let mut place = |digit: u8| {
        at -= 1;
        digits[at] = digit;
    };
    loop {
        place(b'0' + (left % 10) as u8);
        left /= 10;
        if places > 0 {
            places -= 1;
            if places == 0 {
                place(b'.');
                if left == 0 {
                    break;
                }
            }
        } else if left == 0 {
            break;
        }
    }
    out.extend(&digits[at..]);
}

#[cfg(test)]
mod tests {
    use super::decimal;

    #[test]
    fn numbers_are_short_and_right() {
        for (value, places, text) in [
            (0.0, 3, "0"),
            (-0.0001, 3, "0"),
            (10.0, 3, "10"),
            (100.0, 0, "100"),
            (2.5, 3, "2.5"),
            (-841.8899, 3, "-841.89"),
            (0.0005, 3, ".001"),
            (-0.05, 3, "-.05"),
            (1.05, 3, "1.05"),
            (0.935_826_77, 6, ".935827"),
            (12_345.678_901, 6, "12345.678901"),
        ] {
            let mut out = Vec::new();
            decimal(&mut out, value, places);
            assert_eq!(String::from_utf8_lossy(&out), text, "{value}");
        }
    }
}
