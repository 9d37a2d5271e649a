//! A scene as PDF: text as text in subset fonts, the same bytes every time.

mod fonts;
mod ink;

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::sync::Arc;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use lopdf::{Dictionary, Document, Object, ObjectId, Stream, StringFormat, dictionary};

use super::font::Weight;
use super::scene::{Item, Picture, Scene};
use super::{MM_PER_POINT, RenderError};
use fonts::Fonts;
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
    let mut file = Document::with_version("1.7");
    let fonts = Fonts::of(scene)?;
    let mut resources = dictionary! { "Font" => fonts.embedded(&mut file)? };
    if let Some(picture) = only_picture(scene)? {
        let object = file.add_object(picture_stream(picture)?);
        resources.set("XObject", dictionary! { ink::PICTURE => object });
    }
    let resources = file.add_object(resources);
    let tree = file.new_object_id();
    let mut pages = Vec::with_capacity(scene.pages.len());
    for page in &scene.pages {
        let content = file.add_object(packed(Dictionary::new(), ink::drawn(page, &fonts)?)?);
        let [width, height] = [page.width, page.height].map(real);
        pages.push(file.add_object(dictionary! {
            "Type" => "Page",
            "Parent" => tree,
            "MediaBox" => vec![0.into(), 0.into(), width, height],
            "Resources" => resources,
            "Contents" => content,
        }));
    }
    let kids: Vec<Object> = pages.iter().map(|page| Object::Reference(*page)).collect();
    let count = kids.len() as i64;
    file.set_object(tree, dictionary! { "Type" => "Pages", "Kids" => kids, "Count" => count });
    let catalog = catalog(&mut file, scene, meta, tree, &pages);
    file.trailer.set("Root", catalog);
    let about = file.add_object(about(scene, meta));
    file.trailer.set("Info", about);
    save(&mut file)
}

/// The last hundredth of a file's size would take most of the time that packing takes.
const LEVEL: Compression = Compression::new(6);

/// A stream, packed where it gets smaller by it.
fn packed(facts: Dictionary, content: Vec<u8>) -> Result<Stream, RenderError> {
    let why = |e: std::io::Error| RenderError::Inner(format!("the PDF cannot be packed: {e}"));
    let mut packer = ZlibEncoder::new(Vec::with_capacity(content.len() / 2), LEVEL);
    packer.write_all(&content).map_err(why)?;
    let small = packer.finish().map_err(why)?;
    if small.len() >= content.len() {
        return Ok(Stream::new(facts, content));
    }
    let mut stream = Stream::new(facts, small);
    stream.dict.set("Filter", "FlateDecode");
    Ok(stream)
}

/// Writes the file with an identity that comes from its content, so that the same card is the same file.
fn save(file: &mut Document) -> Result<Vec<u8>, RenderError> {
    let why = |e: &dyn std::fmt::Display| RenderError::Inner(format!("the PDF cannot be written: {e}"));
    let none = Object::String(vec![0; 16], StringFormat::Hexadecimal);
    file.trailer.set("ID", vec![none.clone(), none]);
    let mut bytes = Vec::new();
    file.save_to(&mut bytes).map_err(|e| why(&e))?;
    let room = format!("<{0:032}><{0:032}>", 0);
    let identity = fingerprint(&bytes);
    let place = bytes.windows(room.len()).rposition(|there| there == room.as_bytes());
    let place = place.ok_or_else(|| why(&"it has no place for its identity"))?;
    bytes[place..place + room.len()]
        .copy_from_slice(format!("<{identity:032X}><{identity:032X}>").as_bytes());
    Ok(bytes)
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

/// A length as a file has it: thousandths of a point are far below a hundredth of a millimetre.
fn real(mm: f64) -> Object {
    Object::Real(((points(mm) * 1000.0).round() / 1000.0) as f32)
}

/// The picture of a scene, if it shows one.
fn only_picture(scene: &Scene) -> Result<Option<&Arc<Rgb>>, RenderError> {
    let pictures = scene.pages.iter().flat_map(|page| &page.items).filter_map(|item| match item {
        Item::Picture(Picture { pixels, .. }) => Some(pixels),
        _ => None,
    });
    let mut only: Option<&Arc<Rgb>> = None;
    for picture in pictures {
        if only.is_some_and(|known| known != picture) {
            return Err(RenderError::Inner("a document can show one picture only".into()));
        }
        only = Some(picture);
    }
    Ok(only)
}

fn picture_stream(pixels: &Rgb) -> Result<Stream, RenderError> {
    let facts = dictionary! {
        "Type" => "XObject",
        "Subtype" => "Image",
        "Width" => pixels.width() as i64,
        "Height" => pixels.height() as i64,
        "ColorSpace" => "DeviceRGB",
        "BitsPerComponent" => 8,
    };
    packed(facts, pixels.bytes().to_vec())
}

/// Who made the file, what of and when.
fn about(scene: &Scene, meta: &Meta) -> Dictionary {
    let date = Object::string_literal(pdf_date(meta.date.as_deref(), meta.epoch));
    let maker = Object::string_literal(format!("lidcard {}", env!("CARGO_PKG_VERSION")));
    let mut info = dictionary! {
        "Title" => lopdf::text_string(&scene.title),
        "Creator" => maker.clone(),
        "Producer" => maker,
        "CreationDate" => date.clone(),
        "ModDate" => date,
    };
    for (key, value) in [("Author", &meta.author), ("Subject", &meta.subject)] {
        if let Some(value) = value {
            info.set(key, lopdf::text_string(value));
        }
    }
    info
}

/// Where a viewer begins to read the file.
fn catalog(file: &mut Document, scene: &Scene, meta: &Meta, tree: ObjectId, pages: &[ObjectId]) -> ObjectId {
    let mut catalog = dictionary! {
        "Type" => "Catalog",
        "Pages" => tree,
        "PageLayout" => "OneColumn",
        "Lang" => Object::string_literal(meta.language.as_deref().unwrap_or("en-GB")),
        // A viewer that scales to the paper would spoil the millimetres.
        "ViewerPreferences" => dictionary! { "DisplayDocTitle" => true, "PrintScaling" => "None" },
    };
    if let Some(outlines) = outline(file, scene, pages) {
        catalog.set("Outlines", outlines);
        catalog.set("PageMode", "UseOutlines");
    }
    file.add_object(catalog)
}

/// An outline entry that is being put together.
struct Entry {
    id: ObjectId,
    title: Object,
    target: Object,
    inner: bool,
}

/// The list of headings beside the pages (ISO 32000-1, 12.3.3).
fn outline(file: &mut Document, scene: &Scene, pages: &[ObjectId]) -> Option<ObjectId> {
    let mut entries: Vec<Entry> = Vec::new();
    for (page, id) in scene.pages.iter().zip(pages) {
        for heading in &page.headings {
            let top = real(page.height - heading.y);
            let target = vec![Object::Reference(*id), "XYZ".into(), Object::Null, top, Object::Null];
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
        return None;
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
    Some(root)
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
