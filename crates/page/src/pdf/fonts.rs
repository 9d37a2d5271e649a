//! The fonts of a file: cut down to what it says, and described as composite fonts (ISO 32000-1, 9.7).

use std::collections::BTreeMap;
use std::fmt::Write as _;

use lopdf::{Dictionary, Document, Object, ObjectId, dictionary};

use super::super::RenderError;
use super::super::font::{CAPITAL, Measures, Subset, Weight, measures, subset_for};
use super::super::scene::Scene;
use super::{characters, packed};

/// The part of each weight that a scene is written with.
pub(super) struct Fonts(BTreeMap<Weight, Subset>);

impl Fonts {
    pub(super) fn of(scene: &Scene) -> Result<Self, RenderError> {
        let cut = |(weight, characters)| Ok((weight, subset_for(weight, &characters)?));
        Ok(Self(characters(scene).into_iter().map(cut).collect::<Result<_, RenderError>>()?))
    }

    /// What a page calls a weight.
    pub(super) fn name(weight: Weight) -> &'static str {
        match weight {
            Weight::Regular => "R",
            Weight::Bold => "B",
        }
    }

    /// The glyph that draws a character.
    pub(super) fn glyph(&self, weight: Weight, character: char) -> Option<u16> {
        self.0.get(&weight)?.glyphs.get(&character).copied()
    }

    /// Puts the fonts into the file, and says where each of them is.
    pub(super) fn embedded(&self, file: &mut Document) -> Result<Dictionary, RenderError> {
        let mut names = Dictionary::new();
        for (weight, subset) in &self.0 {
            names.set(Self::name(*weight), font(file, *weight, subset)?);
        }
        Ok(names)
    }
}

/// The six letters before the name of a font of which a part is embedded (ISO 32000-1, 9.6.4), and the name.
fn base_name(weight: Weight) -> String {
    let tag = match weight {
        Weight::Regular => "LIDCAR",
        Weight::Bold => "LIDCAB",
    };
    format!("{tag}+{}", weight.postscript_name())
}

/// How thick the upright strokes are, in thousandths of the size. Common practice, no source: a viewer asks for it only
/// where it cannot use the font itself.
fn stem(weight: Weight) -> i64 {
    match weight {
        Weight::Regular => 88,
        Weight::Bold => 166,
    }
}

fn font(file: &mut Document, weight: Weight, subset: &Subset) -> Result<ObjectId, RenderError> {
    // Characters that one glyph draws are read out as the first of them; a fixed space comes behind the other.
    let mut drawn: BTreeMap<u16, char> = BTreeMap::new();
    for (character, id) in &subset.glyphs {
        drawn.entry(*id).or_insert(*character);
    }
    let Measures { bounds, reaches, widths } = measures(weight, drawn.values().copied())?;
    let mut each: Vec<Object> = Vec::new();
    for (id, wide) in drawn.keys().zip(widths) {
        each.push(i64::from(*id).into());
        each.push(vec![number(wide)].into());
    }
    let name = base_name(weight);
    let length = subset.file.len() as i64;
    let program = packed(dictionary! { "Length1" => length }, subset.file.clone())?;
    let program = file.add_object(program);
    let descriptor = file.add_object(dictionary! {
        "Type" => "FontDescriptor",
        "FontName" => Object::Name(name.clone().into_bytes()),
        // Letters of an ordinary alphabet (ISO 32000-1, table 123: bit 6).
        "Flags" => 32,
        "FontBBox" => bounds.map(|side| Object::Integer(side.round() as i64)).to_vec(),
        "ItalicAngle" => 0,
        "Ascent" => reaches[0].round() as i64,
        "Descent" => reaches[1].round() as i64,
        "CapHeight" => (CAPITAL * 1000.0).round() as i64,
        "StemV" => stem(weight),
        "FontFile2" => program,
    });
    let letters = file.add_object(dictionary! {
        "Type" => "Font",
        "Subtype" => "CIDFontType2",
        "BaseFont" => Object::Name(name.clone().into_bytes()),
        "CIDSystemInfo" => dictionary! {
            "Registry" => Object::string_literal("Adobe"),
            "Ordering" => Object::string_literal("Identity"),
            "Supplement" => 0,
        },
        "W" => each,
        "DW" => 0,
        "FontDescriptor" => descriptor,
        "CIDToGIDMap" => "Identity",
    });
    let words = file.add_object(packed(Dictionary::new(), to_unicode(&drawn).into_bytes())?);
    Ok(file.add_object(dictionary! {
        "Type" => "Font",
        "Subtype" => "Type0",
        "BaseFont" => Object::Name(name.into_bytes()),
        "Encoding" => "Identity-H",
        "DescendantFonts" => vec![Object::Reference(letters)],
        "ToUnicode" => words,
    }))
}

/// A width to a hundredth of a thousandth: a long line ends where it was laid out to end.
fn number(value: f64) -> Object {
    Object::Real(((value * 100.0).round() / 100.0) as f32)
}

/// So many characters may be told in one piece (Adobe Technical Note 5014, 7.2).
const PIECE: usize = 100;

/// Which character each glyph is, for whoever searches and copies (ISO 32000-1, 9.10.3).
fn to_unicode(drawn: &BTreeMap<u16, char>) -> String {
    let mut text = "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n\
        /CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n\
        /CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n\
        1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
        .to_owned();
    let all: Vec<(&u16, &char)> = drawn.iter().collect();
    for piece in all.chunks(PIECE) {
        let _ = writeln!(text, "{} beginbfchar", piece.len());
        for (id, character) in piece {
            let mut units = [0; 2];
            let units = character.encode_utf16(&mut units).iter().map(|unit| format!("{unit:04X}"));
            let _ = writeln!(text, "<{id:04X}> <{}>", units.collect::<String>());
        }
        text.push_str("endbfchar\n");
    }
    text.push_str("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    text
}
