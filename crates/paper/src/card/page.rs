//! The card as a page: its blocks in order of importance. `templates/card.tera` says the same for a workshop that wants
//! to begin from it; a test holds that it makes the same card.
//!
//! Nothing here may need more room on a larger card than on a smaller one. No percentages on a front. What is of safety
//! is bold: of light letters in this size a poor photocopy leaves dots. Only on the small front there is no room for that
//! with the alarms.

use super::facts::Facts;
use super::measures::{MARK, Measures};
use super::plan::Front;
use crate::labels::Labels;
use crate::labels::text::card::{self, head};
use crate::render::Weight;
use crate::render::sheet::{
    Align, Beside, Block, Cell, Column, Drawing, Frame, Panel, Paper, Part, PlacedBox, PlacedLogo,
    PlacedText, Qr, Sheet, Stand, Table, Thing, Ticks, Time, Timeline, Words,
};

/// Clear between the columns of a table with few words.
const GAP: f64 = 1.6;
/// Side of the QR code, its white edge included.
const QR: f64 = 12.0;

/// Lays the card out in one size and by one plan.
pub(super) fn sheet(facts: &Facts, labels: &Labels, is: Measures) -> Sheet {
    let page = Page { facts, labels, is };
    let front = is.plan.front;
    let small = front == Front::Small;
    let blocks = [
        page.emergency(),
        page.controls().filter(|_| !small),
        Some(page.name_line()),
        Some(page.power_on_order()),
        page.controls().filter(|_| small).map(|block| Block { back: true, ..block }),
        Some(page.lost_signal()),
        Some(page.alarms()),
        (!small).then(|| page.launch()),
        page.lights().filter(|_| !small),
        (!small).then(|| page.whom_to_ask()),
        is.plan.table.then(|| page.channels()),
        page.switches().filter(|_| is.plan.table),
        page.logo(),
    ];
    Sheet {
        title: facts.title.clone(),
        page: Paper {
            width: is.width,
            height: is.height,
            margin: is.margin,
            ends: None,
            columns: is.plan.columns,
            gutter: 4.0,
            gap: if small { 0.5 } else { 0.8 },
        },
        head: None,
        foot: Some(page.foot()),
        blocks: blocks.into_iter().flatten().collect(),
    }
}

struct Page<'a> {
    facts: &'a Facts,
    labels: &'a Labels,
    is: Measures,
}

impl Page<'_> {
    fn foot(&self) -> Drawing {
        let wide = Measures::mark_wide(self.facts);
        let mark = (!self.facts.mark_word.is_empty()).then(|| {
            let behind = PlacedBox {
                x: 0.0,
                y: -0.6,
                width: wide - 1.0,
                height: 3.8,
                line: None,
                fill: Some(0.0),
                radius: 0.6,
            };
            let word = PlacedText {
                x: (wide - 1.0) / 2.0,
                y: 1.3,
                text: self.facts.mark_word.clone(),
                size: MARK,
                weight: Weight::Bold,
                grey: 1.0,
                align: Align::Centre,
                stand: Stand::Middle,
                width: None,
            };
            [Thing::Box(behind), Thing::Text(word)]
        });
        let imprint = PlacedText {
            x: self.is.inner,
            y: 0.3 * self.is.foot / 7.0,
            text: format!("{} \u{b7} {{page}}/{{pages}}", self.is.imprint(self.facts)),
            size: self.is.foot,
            weight: Weight::Bold,
            grey: 0.0,
            align: Align::Right,
            stand: Stand::Top,
            width: None,
        };
        let items = mark.into_iter().flatten().chain([Thing::Text(imprint)]).collect();
        Drawing { height: 2.7 * self.is.foot / 7.0, items }
    }

    fn emergency(&self) -> Option<Block> {
        let Facts { emergency, emergency_own, within_reach, failed, dives, .. } = self.facts;
        if emergency.is_empty() && emergency_own.is_empty() && within_reach.is_empty() && failed.is_empty() {
            return None;
        }
        let Measures { hand, loud, .. } = self.is;
        let mut parts = Vec::new();
        if matches!(self.is.plan.front, Front::Whole | Front::All) {
            let title = self.labels.get(if *dives { card::SURFACE } else { card::EMERGENCY });
            parts.push(bold(title, hand));
        }
        if !failed.is_empty() {
            parts.extend([bold(failed, loud), Part::Space(0.4)]);
        }
        if !emergency.is_empty() {
            parts.push(pairs(emergency, loud, Weight::Bold));
        }
        // Nobody checked the builder's own words: they stand below, and smaller.
        parts.extend(emergency_own.iter().map(|text| light(text, hand)));
        // What is within reach is no step: a line parts it from them.
        if !emergency.is_empty() && !within_reach.is_empty() {
            parts.extend([Part::Space(0.5), Part::Rule(0.4)]);
        }
        parts.extend(within_reach.iter().flat_map(|text| [Part::Space(0.4), bold(text, hand)]));
        let name = if *dives { "how to surface in an emergency" } else { "in an emergency" };
        let frame = Frame { pad: 1.3, line: Some(0.9), fill: None, radius: 1.0 };
        Some(Block { span: !self.is.plan.beside, frame: Some(frame), ..block(name, parts) })
    }

    fn controls(&self) -> Option<Block> {
        let banks = self.facts.panel.clone();
        let panel = Panel { size: self.is.hand, small: self.is.points, banks };
        (!panel.banks.is_empty())
            .then(|| Block { span: !self.is.plan.beside, ..block("the controls", vec![Part::Panel(panel)]) })
    }

    fn name_line(&self) -> Block {
        let parts = vec![bold(&self.is.name_line(self.facts), self.is.hand)];
        Block { span: true, ..block("name, memory and depth", parts) }
    }

    fn power_on_order(&self) -> Block {
        let order = format!("{} {}", self.labels.get(card::ON_ORDER), self.facts.off_order);
        let caution = self.caution().filter(|_| self.is.plan.front != Front::Water);
        let parts = [self.bold(&order)].into_iter().chain(caution).collect();
        Block { span: true, ..block("power-on order", parts) }
    }

    fn lost_signal(&self) -> Block {
        let Measures { plan, points, .. } = self.is;
        let small = plan.front == Front::Small;
        let title = (!small).then(|| self.bold(self.labels.get(card::SIGNAL_LOST)));
        let mut times: Vec<Time> = self.facts.times.clone();
        if let Some(first) = times.first_mut().filter(|_| small) {
            first.begins = format!("{}: {}", self.labels.get(card::LOST), first.begins);
        }
        let line = Part::Timeline(Timeline { size: points, times });
        Block {
            span: !plan.beside || !small,
            back: plan.front == Front::Water || small && self.facts.panel.is_empty(),
            ..block("what she does when the signal is lost", title.into_iter().chain([line]).collect())
        }
    }

    fn alarms(&self) -> Block {
        let small = self.is.plan.front == Front::Small;
        let title = self.labels.get(card::ALARMS);
        let mut parts = Vec::new();
        if !small {
            parts.push(self.bold(title));
        }
        for (n, text) in self.facts.alarms.iter().enumerate() {
            parts.push(match (small, n) {
                (true, 0) if !self.facts.alarmed => light(&format!("{title}: {text}"), self.is.points),
                (true, _) => light(text, self.is.points),
                (false, _) => self.bold(text),
            });
        }
        let caution = self.caution().filter(|_| self.is.plan.front == Front::Water);
        parts.extend(caution.into_iter().flat_map(|caution| [Part::Space(0.6), caution]));
        let name = "what she does on low battery or a leak";
        Block { span: small && !self.is.plan.beside, ..block(name, parts) }
    }

    fn launch(&self) -> Block {
        let ticks = Ticks { size: self.is.points, items: self.facts.launch.clone() };
        let parts = vec![self.bold(self.labels.get(card::launch::TITLE)), Part::Ticks(ticks)];
        block("what is seen before each trip", parts)
    }

    fn lights(&self) -> Option<Block> {
        let lights = &self.facts.lights;
        let parts =
            || vec![self.bold(self.labels.get(card::LIGHTS)), pairs(lights, self.is.points, Weight::Regular)];
        (!lights.is_empty()).then(|| block("the lights", parts()))
    }

    fn whom_to_ask(&self) -> Block {
        let Facts { transmitter, workshop, contact, code_for_qr, .. } = self.facts;
        let asked = if contact == workshop { "" } else { contact };
        let rows =
            [(card::TRANSMITTER, transmitter.as_str()), (card::WORKSHOP, workshop), (card::CONTACT, asked)];
        let said = rows.into_iter().filter(|(_, text)| !text.is_empty());
        let column = Column { flex: true, weight: Weight::Bold, ..Column::default() };
        let table = Table {
            size: self.is.points,
            gap: GAP,
            columns: vec![Column { gives: true, ..Column::default() }, column],
            rows: said.map(|(label, text)| vec![self.labels.get(label).into(), text.into()]).collect(),
            ..Table::default()
        };
        let elsewhere = (!self.is.plan.table).then(|| light(self.labels.get(card::LEFT_OUT), self.is.points));
        let qr = Qr { x: 0.0, y: 0.0, size: QR, text: code_for_qr.clone() };
        let code = Part::Drawing(Drawing { height: QR, items: vec![Thing::Qr(qr)] });
        let beside = Beside {
            gutter: 1.0,
            widths: vec![None, Some(QR)],
            columns: vec![[Part::Table(table)].into_iter().chain(elsewhere).collect(), vec![code]],
            leads: false,
        };
        block("whom to ask, and the code", vec![Part::Beside(beside)])
    }

    fn channels(&self) -> Block {
        let right = Column { align: Align::Right, ..Column::default() };
        let flex = Column { flex: true, ..Column::default() };
        let gives = Column { gives: true, ..Column::default() };
        let heads =
            [head::NUMBER, head::NAME, head::CONTROL, head::ENDPOINTS].map(|label| self.labels.get(label));
        let more = [head::SUB_TRIM, head::REVERSE].map(|label| self.labels.get(label));
        let rows = self.facts.channels.iter().map(|row| {
            let cells =
                [&row.number, &row.name, &row.control, &row.low, &row.high, &row.sub_trim, &row.reverse];
            cells.map(|text| Cell::from(text.as_str())).to_vec()
        });
        let table = Table {
            size: self.is.points,
            gap: 2.4,
            lead: 0.4,
            rule: Some(0.15),
            columns: vec![
                Column { weight: Weight::Bold, ..right.clone() },
                flex.clone(),
                flex,
                gives.clone(),
                gives,
                right,
                Column::default(),
            ],
            head: Some(heads.into_iter().chain([""]).chain(more).map(Cell::from).collect()),
            rows: rows.collect(),
            ..Table::default()
        };
        let back = self.is.plan.front == Front::Whole;
        Block { span: true, back, ..block("the table of channels", vec![Part::Table(table)]) }
    }

    fn switches(&self) -> Option<Block> {
        let rows = &self.facts.switch_rows;
        let gives = Column { gives: true, ..Column::default() };
        let table = || Table {
            size: self.is.points,
            gap: 1.3,
            lead: 0.1,
            columns: vec![
                gives.clone(),
                Column::default(),
                Column { weight: Weight::Bold, ..gives.clone() },
                Column { flex: true, ..Column::default() },
            ],
            rows: rows.clone(),
            ..Table::default()
        };
        let parts = || vec![self.bold(self.labels.get(card::SWITCHES)), Part::Table(table())];
        (!rows.is_empty()).then(|| Block { span: true, ..block("the settings of switches", parts()) })
    }

    /// Asked for only where it costs no other text its size.
    fn logo(&self) -> Option<Block> {
        let size = self.is.logo?;
        let (width, height) = (size.width, size.height);
        let place = PlacedLogo { x: self.is.inner - width, y: 0.0, width, height, logo: None };
        let drawing = Drawing { height, items: vec![Thing::Logo(place)] };
        Some(Block { span: true, ..block("the workshop's logo", vec![Part::Drawing(drawing)]) })
    }

    fn caution(&self) -> Option<Part> {
        let caution = &self.facts.caution;
        (!caution.is_empty()).then(|| self.bold(caution))
    }

    fn bold(&self, text: &str) -> Part {
        bold(text, self.is.points)
    }
}

fn block(name: &str, parts: Vec<Part>) -> Block {
    Block { name: name.to_owned(), parts, ..Block::default() }
}

fn light(text: &str, size: f64) -> Part {
    Part::Words(Words { text: text.to_owned(), size, ..Words::default() })
}

fn bold(text: &str, size: f64) -> Part {
    Part::Words(Words { text: text.to_owned(), size, weight: Weight::Bold, ..Words::default() })
}

/// What is said of each of a few things.
fn pairs(rows: &[[String; 2]], size: f64, weight: Weight) -> Part {
    let named = Column { gives: true, weight: Weight::Bold, ..Column::default() };
    Part::Table(Table {
        size,
        gap: GAP,
        columns: vec![named, Column { flex: true, weight, ..Column::default() }],
        rows: rows.iter().map(|row| row.iter().map(|text| Cell::from(text.as_str())).collect()).collect(),
        ..Table::default()
    })
}
