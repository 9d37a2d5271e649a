//! From a sheet to as many pages as it takes: blocks follow each other down the pages; a block that
//! may break goes on over the page, its tables with their heads again.

mod columns;

use super::RenderError;
use super::draw::{Drawn, draw_block, draw_drawing, sheet_error, shifted, slices};
use super::layout::{numbered, stays_on_paper};
use super::scene::{Heading, Item, Page, Scene};
use super::sheet::{Block, Drawing, Sheet};

/// Sums of lengths are floats; this much is not an overflow.
const TOLERANCE: f64 = 1e-4;
/// A template that fills more pages than this has lost its way.
const MOST_PAGES: usize = 500;

/// Lays a sheet out over pages. Its columns play no part: every block is as wide as the page.
///
/// # Errors
///
/// When the measures of the page make no sense, when a block is higher than a page, or when there is no end of pages.
pub fn flow(sheet: &Sheet) -> Result<Scene, RenderError> {
    let paper = &sheet.page;
    let strip = |d: &Option<Drawing>| d.as_ref().map_or(0.0, |d| d.height + paper.gap);
    let inner = paper.width - 2.0 * paper.margin;
    let ends = paper.ends.unwrap_or(paper.margin);
    let room = paper.height - 2.0 * ends - strip(&sheet.head) - strip(&sheet.foot);
    let sane = |v: f64| v.is_finite() && (0.0..=2000.0).contains(&v);
    if ![paper.width, paper.height, paper.margin, ends, paper.gap].into_iter().all(sane)
        || inner < 20.0
        || room < 20.0
    {
        return Err(sheet_error("the page must have a width and a height, and its margins must leave room"));
    }
    let mut filler = Filler { room, gap: paper.gap, bodies: vec![Body::default()] };
    let half = (inner - paper.gutter) / 2.0;
    let wide = |block: &Block| if block.half { half } else { inner };
    let cut = sheet.blocks.iter().map(|block| Ok((block, units(block, wide(block), room)?)));
    let blocks = cut.collect::<Result<Vec<_>, RenderError>>()?;
    let mut n = 0;
    while n < blocks.len() {
        let run = blocks[n..].iter().take_while(|(block, _)| block.half).count();
        if run > 0 {
            filler.columns(&blocks[n..n + run], half + paper.gutter)?;
            n += run;
            continue;
        }
        let (block, units) = &blocks[n];
        // What leads needs room for the beginning of what follows it, and that for what it leads.
        let mut follows = 0.0;
        for window in blocks[n..].windows(2).take_while(|w| w[0].0.leads) {
            follows += paper.gap + window[1].0.above + window[1].1.first().map_or(0.0, Unit::height);
        }
        filler.add(block, units, follows)?;
        n += 1;
        if filler.bodies.len() > MOST_PAGES {
            return Err(sheet_error("the sheet fills more than 500 pages"));
        }
    }
    let count = filler.bodies.len();
    let top = ends + strip(&sheet.head);
    let mut pages = Vec::new();
    for (index, body) in filler.bodies.into_iter().enumerate() {
        let mut items = Vec::new();
        let number = |d: &Drawing| numbered(d, index + 1, count);
        if let Some(head) = &sheet.head {
            items.extend(shifted(draw_drawing(&number(head))?.items, paper.margin, ends));
        }
        items.extend(shifted(body.items, paper.margin, top));
        if let Some(foot) = &sheet.foot {
            let y = paper.height - ends - foot.height;
            items.extend(shifted(draw_drawing(&number(foot))?.items, paper.margin, y));
        }
        let down = |h: Heading| Heading { y: h.y + top, ..h };
        let headings = body.headings.into_iter().map(down).collect();
        let page = Page { width: paper.width, height: paper.height, items, headings };
        stays_on_paper(&page)?;
        pages.push(page);
    }
    Ok(Scene { title: sheet.title.clone(), pages })
}

/// A page without its head and foot.
#[derive(Default)]
struct Body {
    items: Vec<Item>,
    headings: Vec<Heading>,
    bottom: f64,
}

struct Filler {
    room: f64,
    gap: f64,
    /// Never empty; the last is being filled.
    bodies: Vec<Body>,
}

impl Filler {
    fn body(&mut self) -> &mut Body {
        if self.bodies.is_empty() {
            self.bodies.push(Body::default());
        }
        let last = self.bodies.len() - 1;
        &mut self.bodies[last]
    }

    fn turn(&mut self) {
        self.bodies.push(Body::default());
    }

    fn is_fresh(&mut self) -> bool {
        self.body().bottom <= 0.0
    }

    fn fits(&mut self, height: f64) -> bool {
        let room = self.room;
        self.body().bottom + height <= room + TOLERANCE
    }

    fn place(&mut self, drawn: &Drawn) {
        let body = self.body();
        let y = body.bottom;
        body.items.extend(shifted(drawn.items.clone(), 0.0, y));
        body.bottom += drawn.height;
    }

    /// Places a block; `follows` is the room below its first unit that it must find on the page as well.
    fn add(&mut self, block: &Block, units: &[Unit], follows: f64) -> Result<(), RenderError> {
        if block.page && !self.is_fresh() {
            self.turn();
        }
        for (n, unit) in units.iter().enumerate() {
            let gap = if n == 0 && !self.is_fresh() { self.gap + block.above } else { 0.0 };
            let below = if n + 1 == units.len() { follows } else { 0.0 };
            if self.fits(gap + unit.height() + below) {
                self.body().bottom += gap;
            } else {
                if !self.is_fresh() {
                    self.turn();
                }
                let tall = unit.height() + unit.head.as_ref().map_or(0.0, |head| head.height);
                if !self.fits(tall) {
                    return Err(RenderError::Overflow { blocks: vec![block.name.clone()] });
                }
                if let Some(head) = &unit.head {
                    self.place(head);
                }
            }
            if let (0, Some(title)) = (n, &block.heading) {
                let y = self.body().bottom;
                self.body().headings.push(Heading { title: title.clone(), inner: block.inner, y });
            }
            for piece in &unit.pieces {
                self.place(piece);
            }
        }
        Ok(())
    }
}

/// What no page break goes through.
struct Unit {
    pieces: Vec<Drawn>,
    /// The head of the table that it goes on with, for when it begins a page.
    head: Option<Drawn>,
}

impl Unit {
    fn height(&self) -> f64 {
        self.pieces.iter().map(|p| p.height).sum()
    }
}

/// A block that would fill less of a page than this is not torn.
const SMALL: f64 = 0.3;
/// Two units are joined, so that none of them stands alone before or after a break, up to this part of a page.
const JOINED: f64 = 0.4;

/// A block cut where a page may break: what leads stays with what follows it.
fn units(block: &Block, width: f64, room: f64) -> Result<Vec<Unit>, RenderError> {
    let whole = |drawn| vec![Unit { pieces: vec![drawn], head: None }];
    if !block.breaks || block.frame.is_some() {
        return Ok(whole(draw_block(block, width)?));
    }
    let pieces = slices(block, width)?;
    let all: f64 = pieces.iter().map(|p| p.drawn.height).sum();
    let mut units: Vec<Unit> = Vec::new();
    let mut at = 0;
    while at < pieces.len() {
        let run = pieces[at..].iter().take_while(|p| p.leads).count();
        let end = (at + run + 1).min(pieces.len());
        let head = pieces[at].head.filter(|head| *head < at).map(|head| pieces[head].drawn.clone());
        let pieces = pieces[at..end].iter().map(|p| p.drawn.clone()).collect();
        units.push(Unit { pieces, head });
        at = end;
    }
    if block.torn {
        return Ok(units);
    }
    if all <= SMALL * room {
        units = units.into_iter().reduce(joined).into_iter().collect();
    }
    // Neither the first nor the last row stands alone.
    for from_end in [false, true] {
        let pair = if from_end { units.len().saturating_sub(2) } else { 0 };
        if units.len() > 1 && units[pair].height() + units[pair + 1].height() <= JOINED * room {
            let second = units.remove(pair + 1);
            let first = units.remove(pair);
            units.insert(pair, joined(first, second));
        }
    }
    Ok(units)
}

fn joined(mut first: Unit, second: Unit) -> Unit {
    first.pieces.extend(second.pieces);
    first
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::flow;
    use crate::sheet::read;
    use crate::{Item, RenderError, Scene};

    fn sheet(blocks: &str) -> String {
        format!(
            "title: T\npage: {{width: 60, height: 60, margin: 5, gap: 2}}\n\
             foot: {{height: 4, items: [{{text: {{x: 0, y: 0, size: 8, text: \"{{page}}/{{pages}}\"}}}}]}}\nblocks:\n{blocks}"
        )
    }

    fn texts(scene: &Scene) -> Vec<Vec<String>> {
        let of = |item: &Item| match item {
            Item::Text(text) => Some(text.text.clone()),
            _ => None,
        };
        scene.pages.iter().map(|page| page.items.iter().filter_map(of).collect()).collect()
    }

    fn table(rows: usize) -> String {
        let rows: Vec<String> = (1..=rows).map(|n| format!("[\"row {n}\", x]")).collect();
        format!(
            "- name: rows\n  breaks: true\n  heading: Rows\n  parts:\n  - words: {{text: Title, size: 10, weight: bold}}\n  \
             - table: {{size: 8, gap: 2, columns: [{{}}, {{flex: true}}], head: [one, two], rows: [{}]}}\n",
            rows.join(", ")
        )
    }

    #[test]
    fn a_long_table_goes_on_over_the_page_with_its_head_again() {
        let scene = flow(&read(&sheet(&table(40))).unwrap()).unwrap();
        let pages = texts(&scene);
        assert!(pages.len() > 2);
        for (n, page) in pages.iter().enumerate() {
            assert_eq!(page.iter().filter(|t| *t == "one").count(), 1, "page {n}");
            assert_eq!(page.last().unwrap(), &format!("{}/{}", n + 1, pages.len()));
        }
        let rows: Vec<&String> = pages.iter().flatten().filter(|t| t.starts_with("row")).collect();
        assert_eq!(rows.len(), 40);
        assert_eq!(scene.pages[0].headings.len(), 1);
        assert!(scene.pages[1].headings.is_empty());
    }

    #[test]
    fn a_title_never_stands_alone_at_the_foot_of_a_page() {
        for rows in 1..12 {
            let text = sheet(&format!("{}{}", table(rows), table(3)));
            let pages = texts(&flow(&read(&text).unwrap()).unwrap());
            for page in pages {
                let before_foot = &page[page.len() - 2];
                assert!(!["Title", "one", "two"].contains(&before_foot.as_str()), "{rows} rows: {page:?}");
            }
        }
    }

    #[test]
    fn what_introduces_a_table_stays_with_it() {
        let introduced =
            table(3).replace("  - table", "  - words: {text: Before, size: 8}\n  - space: 1\n  - table");
        for rows in 1..12 {
            let pages =
                texts(&flow(&read(&sheet(&format!("{}{introduced}", table(rows)))).unwrap()).unwrap());
            for page in pages {
                assert_ne!(page[page.len() - 2], "Before", "{rows} rows: {page:?}");
            }
        }
    }

    #[test]
    fn a_block_higher_than_a_page_is_refused_by_name() {
        let text = sheet("- name: tall\n  parts: [{drawing: {height: 70, items: []}}]\n");
        let refused = flow(&read(&text).unwrap());
        assert_eq!(refused.unwrap_err(), RenderError::Overflow { blocks: vec!["tall".into()] });
    }
}
