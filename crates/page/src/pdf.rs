//! A scene as PDF: text as text in subset fonts, the same bytes every time.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::{Dictionary, Object, ObjectId, Stream, StringFormat};
use printpdf::{
    DictItem, FontId, Mm, Op, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, PdfPage, PdfSaveOptions, Pt,
    TextItem, TextMatrix, TextRenderingMode,
};

use super::font::{Weight, subset_for};
use super::scene::{Item, Page, Path, Picture, Scene, Segment, Squares, Text};
use super::{MM_PER_POINT, RenderError};
use lidcard_pixels::Rgb;

/// What the file says about itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Meta {
    /// Who made it.
    pub author: Option<String>,
    /// What it is about.
    pub subject: Option<String>,
    /// `YYYY-MM-DD`.
    pub date: Option<String>,
    /// What the file carries where that is not given, in seconds since 1970; else 1970 itself: never the clock.
    pub epoch: Option<i64>,
    /// The language its text is in, as an RFC 3066 tag; `en-GB` where nobody said.
    pub language: Option<String>,
}

/// Draws a scene.
///
/// # Errors
///
/// When a font cannot be cut down or a picture not be read.
pub fn to_pdf(scene: &Scene, meta: &Meta) -> Result<Vec<u8>, RenderError> {
    let mut document = PdfDocument::new(&scene.title);
    for (weight, characters) in characters(scene) {
        let bytes = subset_for(weight, &characters)?;
        let font = ParsedFont::from_bytes(&bytes, 0, &mut Vec::new())
            .ok_or_else(|| RenderError::Inner("the subset font cannot be read back".into()))?;
        document.resources.fonts.map.insert(font_id(weight), PdfFont::new(font));
    }
    for page in &scene.pages {
        document.pages.push(PdfPage::new(Mm(page.width as f32), Mm(page.height as f32), operations(page)));
    }
    // The fonts are subset already. `secure` would leave out the path operators that we write ourselves.
    let options =
        PdfSaveOptions { optimize: true, subset_fonts: true, secure: false, image_optimization: None };
    let mut warnings = Vec::new();
    let mut file = document.to_lopdf_document(&options, &mut warnings);
    describe(&mut file, scene, meta)?;
    embed_picture(&mut file, scene)?;
    file.version = "1.7".into();
    pack(&mut file)?;
    save(&mut file)
}

/// The last hundredth of a file's size would take most of the time that packing takes.
const LEVEL: Compression = Compression::new(6);

/// Packs every stream that gets smaller by it.
fn pack(file: &mut lopdf::Document) -> Result<(), RenderError> {
    let why = |why: &str| RenderError::Inner(format!("the PDF cannot be packed: {why}"));
    // To make a new one for each stream takes about as long as packing.
    let mut packer = Compress::new(LEVEL, true);
    for object in file.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        if !stream.allows_compression || stream.dict.get(b"Filter").is_ok() {
            continue;
        }
        packer.reset();
        // What does not get smaller is left as it is, so that more room is not needed.
        let mut packed = Vec::with_capacity(stream.content.len());
        let status = packer.compress_vec(&stream.content, &mut packed, FlushCompress::Finish);
        let ended = status.map_err(|e| why(&e.to_string()))? == Status::StreamEnd;
        if ended && packed.len() < stream.content.len() {
            stream.dict.set("Filter", "FlateDecode");
            stream.set_content(packed);
        }
    }
    Ok(())
}

/// Writes the file, then its identity over noughts that keep its place: it comes from the content, so that the same card
/// is the same file.
fn save(file: &mut lopdf::Document) -> Result<Vec<u8>, RenderError> {
    let why = |e: &dyn std::fmt::Display| RenderError::Inner(format!("the PDF cannot be written: {e}"));
    let none = Object::String(vec![0; 16], StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![none.clone(), none]);
    let mut bytes = Vec::new();
    file.save_to(&mut bytes).map_err(|e| why(&e))?;
    let room = format!("<{0:032}><{0:032}>", 0);
    let place = bytes.windows(room.len()).rposition(|there| there == room.as_bytes());
    let place = place.ok_or_else(|| why(&"it has no place for its identity"))?;
    let identity = fingerprint(&bytes);
    let identity = format!("<{identity:032X}><{identity:032X}>");
    bytes[place..place + room.len()].copy_from_slice(identity.as_bytes());
    Ok(bytes)
}

fn font_id(weight: Weight) -> FontId {
    let tag = match weight {
        Weight::Regular => "LIDCAR",
        Weight::Bold => "LIDCAB",
    };
    FontId(format!("{tag}+{}", weight.postscript_name()))
}

/// The characters of each weight.
pub(super) fn characters(scene: &Scene) -> BTreeMap<Weight, BTreeSet<char>> {
    let mut all: BTreeMap<Weight, BTreeSet<char>> = BTreeMap::new();
    for item in scene.pages.iter().flat_map(|p| &p.items) {
        if let Item::Text(text) = item {
            all.entry(text.weight).or_default().extend(text.text.chars());
        }
    }
    all
}

fn points(mm: f64) -> f64 {
    mm / MM_PER_POINT
}

fn operator(key: &str, numbers: &[f64]) -> Op {
    // Thousandths of a point are far below a hundredth of a millimetre and keep the file small.
    let value = numbers.iter().map(|n| DictItem::Real(((n * 1000.0).round() / 1000.0) as f32)).collect();
    Op::Unknown { key: key.to_owned(), value }
}

fn operations(page: &Page) -> Vec<Op> {
    let mut pen = Pen { ops: vec![operator("J", &[0.0]), operator("j", &[1.0])], ink: None, font: None };
    for item in &page.items {
        match item {
            Item::Path(path) => draw_path(&mut pen, path, page.height),
            Item::Text(text) => draw_text(&mut pen, text, page.height),
            Item::Squares(squares) => draw_squares(&mut pen, squares, page.height),
            Item::Picture(picture) => draw_picture(&mut pen.ops, picture, page.height),
        }
    }
    pen.ops
}

/// What is drawn with stays until another is chosen (ISO 32000-1, 8.4.1): it is said when it changes.
struct Pen {
    ops: Vec<Op>,
    ink: Option<f64>,
    font: Option<(Weight, f64)>,
}

impl Pen {
    /// Fills areas and letters in a grey.
    fn fill_in(&mut self, grey: f64) {
        if self.ink.replace(grey) != Some(grey) {
            self.ops.push(operator("g", &[grey]));
        }
    }

    fn set_in(&mut self, weight: Weight, size: f64) {
        if self.font.replace((weight, size)) != Some((weight, size)) {
            let font = PdfFontHandle::External(font_id(weight));
            self.ops.push(Op::SetFont { font, size: Pt(size as f32) });
        }
    }
}

fn draw_path(pen: &mut Pen, path: &Path, height: f64) {
    let at = |p: [f64; 2]| [points(p[0]), points(height - p[1])];
    if let Some(fill) = path.fill {
        pen.fill_in(fill);
    }
    let ops = &mut pen.ops;
    if let Some(line) = path.line {
        ops.push(operator("w", &[points(line)]));
        ops.push(operator("G", &[path.line_grey]));
    }
    if let Some([dash, gap]) = path.dash {
        let pattern =
            DictItem::Array(vec![DictItem::Real(points(dash) as f32), DictItem::Real(points(gap) as f32)]);
        ops.push(Op::Unknown { key: "d".into(), value: vec![pattern, DictItem::Int(0)] });
    }
    ops.push(operator("m", &at(path.start)));
    for segment in &path.segments {
        match segment {
            Segment::Line(p) => ops.push(operator("l", &at(*p))),
            Segment::Curve(a, b, p) => ops.push(operator("c", &[at(*a), at(*b), at(*p)].concat())),
        }
    }
    if path.closed {
        ops.push(operator("h", &[]));
    }
    let paint = match (path.fill.is_some(), path.line.is_some()) {
        (true, true) => "B",
        (true, false) => "f",
        (false, true) => "S",
        (false, false) => "n",
    };
    ops.push(operator(paint, &[]));
    if path.dash.is_some() {
        ops.push(Op::Unknown { key: "d".into(), value: vec![DictItem::Array(Vec::new()), DictItem::Int(0)] });
    }
}

fn draw_squares(pen: &mut Pen, squares: &Squares, height: f64) {
    let side = squares.side;
    pen.fill_in(1.0);
    pen.ops.push(operator("re", &[squares.x, height - squares.y - side, side, side].map(points)));
    pen.ops.push(operator("f", &[]));
    pen.fill_in(0.0);
    pen.ops.push(operator("q", &[]));
    // In units of a square and downwards: whole numbers are written and packed in a fraction of the time, and neighbours
    // share their edge exactly.
    let unit = points(side / squares.count as f64);
    let [x, top] = [squares.x, height - squares.y].map(points);
    let finely = |n: f64| DictItem::Real(((n * 1e6).round() / 1e6) as f32);
    let value = [unit, 0.0, 0.0, -unit, x, top].map(finely).to_vec();
    pen.ops.push(Op::Unknown { key: "cm".into(), value });
    for (column, row, long) in &squares.runs {
        let value = [*column, *row, *long, 1].map(|n| DictItem::Int(n as i64)).to_vec();
        pen.ops.push(Op::Unknown { key: "re".into(), value });
    }
    pen.ops.push(operator("f", &[]));
    pen.ops.push(operator("Q", &[]));
}

/// The name under which a page knows its one picture.
const PICTURE: &str = "Logo";

fn draw_picture(ops: &mut Vec<Op>, picture: &Picture, height: f64) {
    let (wide, high) = (picture.width, picture.height);
    ops.push(operator("q", &[]));
    // A picture fills the unit square (ISO 32000-1, 8.9.5), which is made as large as it is printed.
    let [a, d, e, f] = [wide, high, picture.x, height - picture.y - high].map(points);
    ops.push(operator("cm", &[a, 0.0, 0.0, d, e, f]));
    ops.push(Op::Unknown { key: "Do".into(), value: vec![DictItem::Name(PICTURE.into())] });
    ops.push(operator("Q", &[]));
}

/// Puts the pixels into the file, once, and tells each page that shows them.
fn embed_picture(file: &mut lopdf::Document, scene: &Scene) -> Result<(), RenderError> {
    let lost = |e: lopdf::Error| RenderError::Inner(format!("the PDF lacks a part: {e}"));
    let mut embedded: Option<(Arc<Rgb>, ObjectId)> = None;
    let ids: Vec<ObjectId> = file.page_iter().collect();
    for (page, id) in scene.pages.iter().zip(ids) {
        for item in &page.items {
            let Item::Picture(Picture { pixels, .. }) = item else { continue };
            let object = match &embedded {
                Some((known, object)) if known == pixels => *object,
                Some(_) => return Err(RenderError::Inner("a document can show one picture only".into())),
                None => {
                    let object = file.add_object(picture_stream(pixels));
                    embedded = Some((pixels.clone(), object));
                    object
                }
            };
            file.add_xobject(id, PICTURE, object).map_err(lost)?;
        }
    }
    Ok(())
}

fn picture_stream(pixels: &Rgb) -> Stream {
    let mut facts = Dictionary::new();
    facts.set("Type", "XObject");
    facts.set("Subtype", "Image");
    facts.set("Width", pixels.width() as i64);
    facts.set("Height", pixels.height() as i64);
    facts.set("ColorSpace", "DeviceRGB");
    facts.set("BitsPerComponent", 8);
    Stream::new(facts, pixels.bytes().to_vec())
}

fn draw_text(pen: &mut Pen, text: &Text, height: f64) {
    pen.ops.push(Op::StartTextSection);
    pen.fill_in(text.grey);
    pen.set_in(text.weight, text.size);
    let ops = &mut pen.ops;
    if let Some(line) = text.outline {
        ops.push(operator("w", &[points(line)]));
        ops.push(operator("G", &[text.grey]));
        ops.push(Op::SetTextRenderingMode { mode: TextRenderingMode::Stroke });
    }
    let (sin, cos) = libm::sincos(text.turn.to_radians());
    let rounded = |n: f64| ((n * 1e5).round() / 1e5) as f32;
    let matrix = [cos, sin, -sin, cos, points(text.x), points(height - text.y)].map(rounded);
    ops.push(Op::SetTextMatrix { matrix: TextMatrix::Raw(matrix) });
    ops.push(Op::ShowText { items: vec![TextItem::Text(text.text.clone())] });
    if text.outline.is_some() {
        ops.push(Op::SetTextRenderingMode { mode: TextRenderingMode::Fill });
    }
    ops.push(Op::EndTextSection);
}

fn describe(file: &mut lopdf::Document, scene: &Scene, meta: &Meta) -> Result<(), RenderError> {
    let lost = |e: lopdf::Error| RenderError::Inner(format!("the PDF lacks a part: {e}"));
    let date = Object::string_literal(pdf_date(meta.date.as_deref(), meta.epoch));
    let mut info = Dictionary::new();
    info.set("Title", lopdf::text_string(&scene.title));
    if let Some(author) = &meta.author {
        info.set("Author", lopdf::text_string(author));
    }
    if let Some(subject) = &meta.subject {
        info.set("Subject", lopdf::text_string(subject));
    }
    let maker = format!("lidcard {}", env!("CARGO_PKG_VERSION"));
    info.set("Creator", Object::string_literal(maker.clone()));
    info.set("Producer", Object::string_literal(maker));
    info.set("CreationDate", date.clone());
    info.set("ModDate", date);
    let id = file.add_object(info);
    if let Ok(Object::Reference(old)) = file.trailer.get(b"Info").cloned() {
        file.objects.remove(&old);
    }
    file.trailer.set("Info", Object::Reference(id));
    let catalog = file.catalog_mut().map_err(lost)?;
    catalog.set("Lang", Object::string_literal(meta.language.as_deref().unwrap_or("en-GB")));
    let mut preferences = Dictionary::new();
    preferences.set("DisplayDocTitle", true);
    // A viewer that scales to the paper would spoil the millimetres.
    preferences.set("PrintScaling", "None");
    catalog.set("ViewerPreferences", preferences);
    outline(file, scene)?;
    for page in file.page_iter().collect::<Vec<_>>() {
        if let Ok(page) = file.get_dictionary_mut(page) {
            page.remove(b"Annots");
        }
    }
    Ok(())
}

/// An outline entry that is being put together.
struct Entry {
    id: ObjectId,
    title: Object,
    target: Object,
    inner: bool,
}

/// The list of headings beside the pages (ISO 32000-1, 12.3.3).
fn outline(file: &mut lopdf::Document, scene: &Scene) -> Result<(), RenderError> {
    let lost = |e: lopdf::Error| RenderError::Inner(format!("the PDF lacks a part: {e}"));
    let ids: Vec<ObjectId> = file.page_iter().collect();
    let mut entries: Vec<Entry> = Vec::new();
    for (page, id) in scene.pages.iter().zip(ids) {
        for heading in &page.headings {
            let top = Object::Real(points(page.height - heading.y) as f32);
            let target = vec![Object::Reference(id), "XYZ".into(), Object::Null, top, Object::Null];
            entries.push(Entry {
                id: file.new_object_id(),
                title: lopdf::text_string(&heading.title),
                target: Object::Array(target),
                // The first of all has nothing to belong under.
                inner: heading.inner && !entries.is_empty(),
            });
        }
    }
    if entries.is_empty() {
        return Ok(());
    }
    let root = file.new_object_id();
    let outer: Vec<usize> = (0..entries.len()).filter(|n| !entries[*n].inner).collect();
    let mut groups: Vec<(ObjectId, Vec<usize>)> = vec![(root, outer.clone())];
    for (n, at) in outer.iter().enumerate() {
        let end = outer.get(n + 1).copied().unwrap_or(entries.len());
        groups.push((entries[*at].id, (at + 1..end).collect()));
    }
    let mut dictionaries: BTreeMap<ObjectId, Dictionary> = BTreeMap::new();
    for entry in &entries {
        let mut dictionary = Dictionary::new();
        dictionary.set("Title", entry.title.clone());
        dictionary.set("Dest", entry.target.clone());
        dictionaries.insert(entry.id, dictionary);
    }
    for (parent, members) in groups {
        let reference = |n: usize| Object::Reference(entries[n].id);
        let above = dictionaries.entry(parent).or_default();
        if let (Some(first), Some(last)) = (members.first(), members.last()) {
            above.set("First", reference(*first));
            above.set("Last", reference(*last));
            above.set("Count", members.len() as i64);
        }
        for (n, member) in members.iter().enumerate() {
            let Some(dictionary) = dictionaries.get_mut(&entries[*member].id) else { continue };
            dictionary.set("Parent", Object::Reference(parent));
            if n > 0 {
                dictionary.set("Prev", reference(members[n - 1]));
            }
            if let Some(next) = members.get(n + 1) {
                dictionary.set("Next", reference(*next));
            }
        }
    }
    // Everything is shown unfolded, so the root counts all of them.
    if let Some(top) = dictionaries.get_mut(&root) {
        top.set("Type", "Outlines");
        top.set("Count", entries.len() as i64);
    }
    for (id, dictionary) in dictionaries {
        file.objects.insert(id, Object::Dictionary(dictionary));
    }
    let catalog = file.catalog_mut().map_err(lost)?;
    catalog.set("Outlines", Object::Reference(root));
    catalog.set("PageMode", "UseOutlines");
    Ok(())
}

fn pdf_date(date: Option<&str>, epoch: Option<i64>) -> String {
    let day = date.and_then(|d| d.parse::<jiff::civil::Date>().ok());
    if let Some(day) = day {
        return format!("D:{:04}{:02}{:02}000000Z", day.year(), day.month(), day.day());
    }
    let moment =
        epoch.and_then(|s| jiff::Timestamp::from_second(s).ok()).unwrap_or(jiff::Timestamp::UNIX_EPOCH);
    let t = moment.to_zoned(jiff::tz::TimeZone::UTC);
    let (date, time) = (t.date(), t.time());
    let day = format!("{:04}{:02}{:02}", date.year(), date.month(), date.day());
    format!("D:{day}{:02}{:02}{:02}Z", time.hour(), time.minute(), time.second())
}

/// FNV-1a, 128 bits: a file identity, not a secret.
fn fingerprint(bytes: &[u8]) -> u128 {
    let mut hash: u128 = 0x6c62_272e_07bb_0142_62b8_2175_6295_c58d;
    for byte in bytes {
        hash ^= u128::from(*byte);
        hash = hash.wrapping_mul(0x0000_0000_0100_0000_0000_0000_0000_013b);
    }
    hash
}
