//! The two vendored fonts: which characters they have, how wide a text is, how it breaks into
//! lines, and the part of them that a document needs.

use std::collections::BTreeSet;
use std::sync::OnceLock;

use allsorts::binary::read::ReadScope;
use allsorts::font::read_cmap_subtable;
use allsorts::font_data::FontData;
use allsorts::subset::{CmapTarget, SubsetProfile, subset};
use allsorts::tables::cmap::Cmap;
use allsorts::tables::{HeadTable, HheaTable, HmtxTable, MaxpTable, OpenTypeFont};
use allsorts::tag;
use serde::{Deserialize, Serialize};

use super::{MM_PER_POINT, RenderError};

/// The family name of both.
pub const FAMILY: &str = "Roboto Condensed";
/// A space that does not break: laid out as such, drawn as an ordinary space.
pub const FIXED_SPACE: char = '\u{a0}';
/// From the top of a line to its baseline, as part of the size.
const ASCENT: f64 = 0.90;
/// From one baseline to the next, as part of the size.
const LEADING: f64 = 1.17;
/// Height of a capital letter, as part of the size.
pub const CAPITAL: f64 = 0.711;

/// Weight of a text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Deserialize, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Weight {
    /// Body text.
    #[default]
    Regular,
    /// Headings, and what has to be found at once.
    Bold,
}

impl Weight {
    /// Both.
    pub const BOTH: [Weight; 2] = [Weight::Regular, Weight::Bold];

    /// The whole font file.
    pub fn bytes(self) -> &'static [u8] {
        match self {
            Weight::Regular => include_bytes!("fonts/RobotoCondensed-Regular.ttf"),
            Weight::Bold => include_bytes!("fonts/RobotoCondensed-Bold.ttf"),
        }
    }

    /// Its PostScript name.
    pub fn postscript_name(self) -> &'static str {
        match self {
            Weight::Regular => "RobotoCondensed-Regular",
            Weight::Bold => "RobotoCondensed-Bold",
        }
    }
}

/// A font, as far as setting type needs it: drawing the letters is left to whoever draws.
struct Face {
    /// Code point, glyph and width of every character, by code point; the width in units of the font.
    characters: Vec<(u32, u16, u16)>,
    /// Glyph and width of the characters that nearly every text is made of, by code point.
    common: Vec<Option<(u16, u16)>>,
    units_per_em: u16,
}

/// How many characters, from the first of Unicode, are common: Basic Latin and Latin-1.
const COMMON: u32 = 0x100;

impl Face {
    fn of(bytes: &[u8]) -> Option<Self> {
        let file = ReadScope::new(bytes);
        let font = file.read::<OpenTypeFont<'_>>().ok()?;
        let tables = font.offset_table(0).ok()?;
        let table = |tag| tables.read_table(&file, tag).ok().flatten();
        let (_, mapping) = read_cmap_subtable(&table(tag::CMAP)?.read::<Cmap<'_>>().ok()?).ok()??;
        let glyphs = usize::from(table(tag::MAXP)?.read::<MaxpTable>().ok()?.num_glyphs);
        let metrics = usize::from(table(tag::HHEA)?.read::<HheaTable>().ok()?.num_h_metrics);
        let widths = table(tag::HMTX)?.read_dep::<HmtxTable<'_>>((glyphs, metrics)).ok()?;
        let units_per_em = table(tag::HEAD)?.read::<HeadTable>().ok()?.units_per_em;
        let mut characters = Vec::new();
        let known = |code, id| Some((code, id, widths.horizontal_advance(id).ok()?));
        let each = |code, id| characters.extend(known(code, id).filter(|_| id != 0));
        mapping.mappings_fn(each).ok()?;
        characters.sort_unstable();
        let mut face = Self { characters, common: Vec::new(), units_per_em };
        face.common = (0..COMMON).map(|code| face.looked_up(code)).collect();
        Some(face)
    }

    fn looked_up(&self, code: u32) -> Option<(u16, u16)> {
        let place = self.characters.binary_search_by_key(&code, |character| character.0).ok()?;
        let (_, id, wide) = self.characters[place];
        Some((id, wide))
    }

    /// Glyph and width of a character, the width in units of the font.
    fn glyph(&self, character: char) -> Option<(u16, u16)> {
        let code = u32::from(if character == FIXED_SPACE { ' ' } else { character });
        self.common.get(code as usize).copied().unwrap_or_else(|| self.looked_up(code))
    }

    /// Width of a text in units of the font: whole numbers, which add up whatever the order.
    fn units(&self, text: &str) -> Result<u32, RenderError> {
        let wide = |character: char| {
            let glyph = (!character.is_control()).then(|| self.glyph(character)).flatten();
            let (_, wide) = glyph.ok_or_else(|| RenderError::Glyph { character, text: text.to_owned() })?;
            Ok(u32::from(wide))
        };
        text.chars().map(wide).sum()
    }

    fn millimetres(&self, units: u32, points: f64) -> f64 {
        f64::from(units) / f64::from(self.units_per_em) * points * MM_PER_POINT
    }
}

/// Reads the fonts, where somebody has time for that before they are needed.
pub fn get_ready() {
    for weight in Weight::BOTH {
        usual(weight);
    }
}

fn read(weight: Weight) -> Result<&'static Face, RenderError> {
    face(weight).ok_or_else(|| RenderError::Inner("the built-in font cannot be read".into()))
}

fn face(weight: Weight) -> Option<&'static Face> {
    static FACES: [OnceLock<Option<Face>>; 2] = [OnceLock::new(), OnceLock::new()];
    FACES[weight as usize].get_or_init(|| Face::of(weight.bytes())).as_ref()
}

fn glyph(weight: Weight, character: char) -> Option<u16> {
    face(weight)?.glyph(character).map(|(id, _)| id)
}

/// The characters of a text that cannot be printed, each once, in order of appearance.
pub fn missing_characters(text: &str) -> Vec<char> {
    // Both have every letter of Basic Latin and Latin-1 that can be seen, as a test holds: nearly no text has others, and
    // to read the fonts takes as long as to judge a small boat.
    let plain = |c: char| matches!(c, ' '..='~' | '\u{a1}'..='\u{ac}' | '\u{ae}'..='\u{ff}');
    if text.chars().all(plain) {
        return Vec::new();
    }
    let mut missing = Vec::new();
    for c in text.chars() {
        let known = !c.is_control() && Weight::BOTH.iter().all(|w| glyph(*w, c).is_some());
        if !known && !missing.contains(&c) {
            missing.push(c);
        }
    }
    missing
}

/// Width of a text in millimetres.
///
/// # Errors
///
/// When the built-in font cannot be read or has no glyph for a character.
pub fn width(text: &str, points: f64, weight: Weight) -> Result<f64, RenderError> {
    let face = read(weight)?;
    Ok(face.millimetres(face.units(text)?, points))
}

/// Height of one line in millimetres.
pub fn line_height(points: f64) -> f64 {
    points * MM_PER_POINT * LEADING
}

/// From the top of a line to its baseline in millimetres.
pub fn ascent(points: f64) -> f64 {
    points * MM_PER_POINT * ASCENT
}

/// Breaks a text into lines no wider than `room` millimetres. A single word that is wider is an
/// error: nothing is ever cut or squeezed.
///
/// # Errors
///
/// When a single word is wider than the room, or as [`width`].
pub fn wrap(text: &str, points: f64, weight: Weight, room: f64) -> Result<Vec<String>, RenderError> {
    // Sums of widths are floats: a box made exactly as wide as its text must still hold it.
    let room = room + 1e-6;
    let face = read(weight)?;
    let space = face.units(" ")?;
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let (mut line, mut taken) = (String::new(), 0);
        for word in paragraph.split([' ', '\t']).filter(|w| !w.is_empty()) {
            let wide = face.units(word)?;
            if face.millimetres(wide, points) > room {
                return Err(RenderError::TooWide { text: text.replace(FIXED_SPACE, " ") });
            }
            let longer = taken + space + wide;
            if line.is_empty() {
                (line, taken) = (word.to_owned(), wide);
            } else if face.millimetres(longer, points) <= room {
                line.push(' ');
                line.push_str(word);
                taken = longer;
            } else {
                lines.push(std::mem::replace(&mut line, word.to_owned()));
                taken = wide;
            }
        }
        lines.push(line);
    }
    Ok(lines)
}

/// A piece of a line in one weight, and how far to the right of its beginning it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// The text.
    pub text: String,
    /// Its weight.
    pub weight: Weight,
    /// From the beginning of the line, in millimetres.
    pub from: f64,
}

/// Breaks texts of several weights that follow each other into lines no wider than `room` millimetres.
///
/// # Errors
///
/// As [`wrap`].
pub fn wrap_runs(texts: &[(&str, Weight)], points: f64, room: f64) -> Result<Vec<Vec<Run>>, RenderError> {
    let mut lines: Vec<Vec<Run>> = vec![Vec::new()];
    for (text, weight) in texts {
        for word in text.split([' ', '\t', '\n']).filter(|w| !w.is_empty()) {
            let long = width(word, points, *weight)?;
            if long > room + 1e-6 {
                return Err(RenderError::TooWide { text: text.replace(FIXED_SPACE, " ") });
            }
            let mut end = 0.0;
            if let Some(last) = lines.last().and_then(|line| line.last()) {
                end = last.from + width(&last.text, points, last.weight)? + width(" ", points, last.weight)?;
            }
            if end + long > room + 1e-6 {
                (end, _) = (0.0, lines.push(Vec::new()));
            }
            let Some(line) = lines.last_mut() else { continue };
            match line.last_mut().filter(|last| last.weight == *weight) {
                Some(last) => {
                    last.text.push(' ');
                    last.text.push_str(word);
                }
                None => line.push(Run { text: word.to_owned(), weight: *weight, from: end }),
            }
        }
    }
    Ok(lines)
}

/// The part of a font that draws these characters, as a font file of its own.
///
/// # Errors
///
/// When the font cannot be cut down to them.
pub fn subset_for(weight: Weight, characters: &BTreeSet<char>) -> Result<Vec<u8>, RenderError> {
    match usual(weight).filter(|_| characters.iter().all(|c| is_usual(*c) || *c == FIXED_SPACE)) {
        Some(Usual { bytes, face }) => cut(bytes, face, characters.iter().copied()),
        None => cut(weight.bytes(), read(weight)?, characters.iter().copied()),
    }
}

/// The part of a font that draws nearly every page: to cut out of the whole takes ten times as long as out of this.
struct Usual {
    bytes: Vec<u8>,
    face: Face,
}

/// Basic Latin, Latin-1, and the dashes, quotation marks and signs of general punctuation.
fn is_usual(character: char) -> bool {
    matches!(character, ' '..='~' | '\u{a1}'..='\u{ff}' | '\u{2010}'..='\u{2027}' | '\u{2030}' | '\u{2212}')
}

fn usual(weight: Weight) -> Option<&'static Usual> {
    static PARTS: [OnceLock<Option<Usual>>; 2] = [OnceLock::new(), OnceLock::new()];
    let part = || {
        let whole = face(weight)?;
        let known = whole.characters.iter().filter_map(|(code, ..)| char::from_u32(*code));
        let bytes = cut(weight.bytes(), whole, known.filter(|c| is_usual(*c))).ok()?;
        Some(Usual { face: Face::of(&bytes)?, bytes })
    };
    PARTS[weight as usize].get_or_init(part).as_ref()
}

/// The glyphs of these characters, and the one for what is missing.
fn cut(bytes: &[u8], face: &Face, characters: impl Iterator<Item = char>) -> Result<Vec<u8>, RenderError> {
    let inner = |e: &dyn std::fmt::Display| RenderError::Inner(format!("the font cannot be cut down: {e}"));
    let drawn = characters.filter_map(|c| face.glyph(c)).map(|(id, _)| id);
    let ids: BTreeSet<u16> = drawn.chain([0]).collect();
    let ids: Vec<u16> = ids.into_iter().collect();
    let file = ReadScope::new(bytes).read::<FontData<'_>>().map_err(|e| inner(&e))?;
    let provider = file.table_provider(0).map_err(|e| inner(&e))?;
    subset(&provider, &ids, &SubsetProfile::Minimal, CmapTarget::Unicode).map_err(|e| inner(&e))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_as_wide_as_its_letters() {
        // Roboto Condensed Regular has 2048 units per em; a digit is 1004 of them wide.
        let one = width("0", 10.0, Weight::Regular).expect("digit");
        assert!((width("0000", 10.0, Weight::Regular).expect("digits") - 4.0 * one).abs() < 1e-9);
        let units = one / (10.0 * MM_PER_POINT) * 2048.0;
        assert!((900.0..1100.0).contains(&units), "{units}");
        assert!(width("M", 10.0, Weight::Bold).expect("M") > one);
    }

    #[test]
    fn both_have_every_letter_that_is_not_looked_up() {
        let seen = |c: &char| !c.is_control() && *c != '\u{ad}';
        for weight in Weight::BOTH {
            for character in ('\0'..='\u{ff}').filter(seen) {
                assert!(glyph(weight, character).is_some(), "{weight:?} {character:?}");
            }
        }
    }

    #[test]
    fn a_missing_glyph_is_named_with_its_text() {
        assert_eq!(missing_characters("Möwe Ж Ω −5 %"), Vec::<char>::new());
        assert_eq!(missing_characters("a漢b漢\u{7}"), vec!['漢', '\u{7}']);
        let error = width("go 漢", 8.0, Weight::Regular).expect_err("no such glyph");
        assert_eq!(error, RenderError::Glyph { character: '漢', text: "go 漢".into() });
        assert!(error.to_string().contains("U+6F22"));
    }

    #[test]
    fn lines_break_at_spaces_but_not_inside_a_quantity() {
        let room = width("endpoint 95 %", 8.0, Weight::Regular).expect("width") - 0.1;
        let lines = wrap("endpoint 95\u{a0}%", 8.0, Weight::Regular, room).expect("wraps");
        assert_eq!(lines, vec!["endpoint", "95\u{a0}%"]);
    }

    #[test]
    fn what_goes_on_in_another_weight_follows_on_the_same_line() {
        let texts = [("hold it", Weight::Bold), ("it moves", Weight::Regular)];
        let long = |text, weight| width(text, 8.0, weight).expect("width");
        let behind = long("hold it ", Weight::Bold);
        let room = behind + long("it", Weight::Regular);
        let lines = wrap_runs(&texts, 8.0, room).expect("wraps");
        let run = |text: &str, weight, from| Run { text: text.to_owned(), weight, from };
        assert_eq!(lines.len(), 2);
        assert_eq!(lines[0][0], run("hold it", Weight::Bold, 0.0));
        assert_eq!(lines[0][1].text, "it");
        assert!((lines[0][1].from - behind).abs() < 1e-9, "{lines:?}");
        assert_eq!(lines[1], vec![run("moves", Weight::Regular, 0.0)]);
        // With one weight it is what `wrap` makes of it.
        let text = "a longer text that goes over several lines of this narrow box";
        let one = wrap_runs(&[(text, Weight::Regular)], 8.0, 20.0).expect("wraps");
        let one: Vec<String> = one.into_iter().flatten().map(|run| run.text).collect();
        assert_eq!(one, wrap(text, 8.0, Weight::Regular, 20.0).expect("wraps"));
    }

    #[test]
    fn a_word_wider_than_its_box_is_refused() {
        let error = wrap("a starboard b", 8.0, Weight::Regular, 5.0).expect_err("too wide");
        assert_eq!(error, RenderError::TooWide { text: "a starboard b".into() });
    }
}
