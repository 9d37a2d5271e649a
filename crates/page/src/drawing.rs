//! A drawing of somebody else's, judged by its tree before anything of it is drawn: what may be in it, and
//! how much work it is. The work is counted and not timed, so a drawing is refused on every machine or on
//! none.

use std::collections::HashMap;

use resvg::usvg::{self, Group, Node};
use roxmltree::{Document, NodeId, ParsingOptions};

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";
/// What draws plain shapes and colours (SVG 2, appendix on elements).
const ELEMENTS: [&str; 20] = [
    "circle",
    "clipPath",
    "defs",
    "desc",
    "ellipse",
    "g",
    "line",
    "linearGradient",
    "metadata",
    "path",
    "polygon",
    "polyline",
    "radialGradient",
    "rect",
    "stop",
    "style",
    "svg",
    "symbol",
    "title",
    "use",
];
/// Elements, attributes and texts of the file.
const MOST_NODES: u32 = 100_000;
/// Elements inside of elements, and of `<use>` inside of what is used.
const DEEPEST: usize = 48;
/// Elements as often as they are used, and one more for every [`BYTES_OF_ONE`] of a path.
const MOST_SHAPES: u64 = 60_000;
const BYTES_OF_ONE: usize = 64;
/// Bytes of rules that every element is compared with.
const MOST_STYLE: usize = 16 << 10;
/// Groups that are drawn aside and laid on as one, each as large as the whole.
const MOST_LAYERS: usize = 48;
/// Such groups inside of each other.
const DEEPEST_LAYERS: usize = 6;
/// Pixels that all shapes cover, one upon the other; a logo is two thirds of a million pixels large.
const MOST_PIXELS: f64 = 200e6;
/// Strokes of all dashed lines.
const MOST_DASHES: f64 = 50_000.0;

/// Whether a file holds only what is drawn here, before it is read as a drawing.
///
/// # Errors
/// In words, with what to do.
pub(crate) fn holds_only_shapes(text: &str) -> Result<(), String> {
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let tree = Document::parse_with_options(text, options)
        .map_err(|why| format!("it cannot be read as SVG: {why}; save it again as plain SVG"))?;
    let mut style = 0;
    for node in
        tree.descendants().filter(|node| node.is_element() && node.tag_name().namespace() == Some(SVG))
    {
        let name = node.tag_name().name();
        match name {
            "text" | "tspan" | "textPath" => {
                return Err(
                    "it holds text, and a font is drawn differently elsewhere; turn the text into paths \
                            and save it again"
                        .to_owned(),
                );
            }
            "image" | "feImage" => {
                return Err(
                    "it holds a picture inside the picture; save the whole as logo.png, or draw it with \
                            paths"
                        .to_owned(),
                );
            }
            "style" => style += node.descendants().filter_map(|n| n.text()).map(str::len).sum::<usize>(),
            _ => {}
        }
        if !ELEMENTS.contains(&name) {
            return Err(format!(
                "it holds <{name}>, and only plain shapes and colours are drawn; flatten it, or save it as logo.png"
            ));
        }
    }
    if style > MOST_STYLE {
        return Err(format!("its <style> is longer than {} kB; {SIMPLER}", MOST_STYLE >> 10));
    }
    let mut count = Count { tree: &tree, by_id: HashMap::new(), counted: HashMap::new() };
    for node in tree.descendants() {
        if let Some(id) = node.attribute("id") {
            count.by_id.entry(id).or_insert(node.id());
        }
    }
    match count.of(tree.root_element().id(), 0) {
        Some(shapes) if shapes <= MOST_SHAPES => Ok(()),
        Some(shapes) => Err(format!("it comes to {shapes} shapes, more than {MOST_SHAPES}; {SIMPLER}")),
        None => Err(format!("its elements lie more than {DEEPEST} inside of each other; {SIMPLER}")),
    }
}

/// What to do about it.
const SIMPLER: &str = "make it simpler, or save it as logo.png";

/// Counts elements as often as they come to be drawn.
struct Count<'a> {
    tree: &'a Document<'a>,
    by_id: HashMap<&'a str, NodeId>,
    counted: HashMap<NodeId, u64>,
}

impl Count<'_> {
    /// None where it goes too deep; what uses itself does.
    fn of(&mut self, id: NodeId, depth: usize) -> Option<u64> {
        if depth > DEEPEST {
            return None;
        }
        if let Some(count) = self.counted.get(&id) {
            return Some(*count);
        }
        let node = self.tree.get_node(id)?;
        let long: usize = ["d", "points"].iter().filter_map(|key| node.attribute(*key)).map(str::len).sum();
        let mut count = 1 + (long / BYTES_OF_ONE) as u64;
        if node.tag_name().name() == "use" {
            let href = node.attribute("href").or_else(|| node.attribute((XLINK, "href")));
            let used = href.and_then(|href| self.by_id.get(href.strip_prefix('#')?).copied());
            if let Some(used) = used {
                count = count.saturating_add(self.of(used, depth + 1)?);
            }
        }
        for child in node.children().filter(roxmltree::Node::is_element) {
            count = count.saturating_add(self.of(child.id(), depth + 1)?);
        }
        self.counted.insert(id, count);
        Some(count)
    }
}

/// Whether a drawing, at so many pixels for one of its units and on so many pixels in all, is little enough
/// work.
///
/// # Errors
/// In words, with what to do.
pub(crate) fn is_soon_drawn(tree: &usvg::Tree, scale: f64, canvas: f64) -> Result<(), String> {
    if !tree.filters().is_empty() || !tree.masks().is_empty() || !tree.patterns().is_empty() {
        let what = "it uses a filter, a mask or a pattern, and only plain shapes and colours are drawn";
        return Err(format!("{what}; flatten it, or save it as logo.png"));
    }
    let mut work = Work { scale, canvas, ..Work::default() };
    work.add(tree.root(), 0);
    for clip in tree.clip_paths() {
        work.layers += 1;
        work.add(clip.root(), 0);
    }
    let over = |what: &str, most: f64| Err(format!("it has more than {most} {what}; {SIMPLER}"));
    if work.layers > MOST_LAYERS || work.deepest > DEEPEST_LAYERS {
        return over(
            "groups that are see-through or cut out, or too many inside of each other",
            MOST_LAYERS as f64,
        );
    }
    if work.pixels > MOST_PIXELS {
        return over("million pixels to fill, one shape upon the other", MOST_PIXELS / 1e6);
    }
    if work.dashes > MOST_DASHES {
        return over("dashes", MOST_DASHES);
    }
    Ok(())
}

#[derive(Default)]
struct Work {
    scale: f64,
    canvas: f64,
    layers: usize,
    deepest: usize,
    pixels: f64,
    dashes: f64,
}

impl Work {
    fn add(&mut self, group: &Group, layers: usize) {
        let aside = group.should_isolate() || group.clip_path().is_some();
        let layers = layers + usize::from(aside);
        self.layers += usize::from(aside);
        self.deepest = self.deepest.max(layers);
        if aside {
            self.pixels += self.canvas;
        }
        for node in group.children() {
            match node {
                Node::Group(group) => self.add(group, layers),
                Node::Path(path) => self.add_path(path),
                Node::Image(_) | Node::Text(_) => {}
            }
        }
    }

    fn add_path(&mut self, path: &usvg::Path) {
        let bounds = path.abs_stroke_bounding_box();
        let area = f64::from(bounds.width()) * f64::from(bounds.height()) * self.scale * self.scale;
        let fills = usize::from(path.fill().is_some()) + usize::from(path.stroke().is_some());
        // What reaches beyond the picture is not drawn; what is not a number is all of it.
        self.pixels += if area < self.canvas { area } else { self.canvas } * fills as f64;
        let dashes = path.stroke().and_then(|stroke| stroke.dasharray());
        let one: f64 = dashes.unwrap_or_default().iter().map(|dash| f64::from(*dash)).sum();
        if dashes.is_some() {
            self.dashes += length(path.data()) / (one / 2.0).max(1e-9);
        }
    }
}

/// How long a path is at most: curves by the lines along their handles.
fn length(path: &resvg::tiny_skia::Path) -> f64 {
    use resvg::tiny_skia::PathSegment::{Close, CubicTo, LineTo, MoveTo, QuadTo};
    let (mut at, mut start, mut sum) =
        (resvg::tiny_skia::Point::zero(), resvg::tiny_skia::Point::zero(), 0.0);
    for segment in path.segments() {
        let points = match segment {
            MoveTo(to) => {
                (at, start) = (to, to);
                continue;
            }
            LineTo(to) => vec![to],
            QuadTo(handle, to) => vec![handle, to],
            CubicTo(one, other, to) => vec![one, other, to],
            Close => vec![start],
        };
        for to in points {
            sum += libm::hypot(f64::from(to.x - at.x), f64::from(to.y - at.y));
            at = to;
        }
    }
    sum
}
