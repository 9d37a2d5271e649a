//! The order in which a transmitter does its sums, and every order a file leaves open.

use crate::setup::{EndpointDoes, EndpointSide, OrderLines, OrderPlace, PastFull, SubTrimDoes};

/// One complete order of operations.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Order {
    /// What a stick signal beyond full does.
    pub past_full: PastFull,
    /// What an endpoint does.
    pub endpoint: EndpointDoes,
    /// By what an endpoint is named.
    pub side: EndpointSide,
    /// Where the trim comes in.
    pub trim: OrderPlace,
    /// Where mixes come in.
    pub mix: OrderPlace,
    /// What the sub-trim does to the ends.
    pub sub_trim: SubTrimDoes,
}

/// One line of `transmitter.order`, for messages.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    /// Its key in the file.
    pub key: &'static str,
    /// Its two words.
    pub words: [&'static str; 2],
    /// The two-minute bench test that tells them apart.
    pub bench_test: &'static str,
}

/// The six lines, in the order of the file format.
pub const LINES: [Line; 6] = [
    Line {
        key: "past_full_stick",
        words: ["cut off", "carries on"],
        bench_test: "set the rate of one way to 110 %, endpoint 100 %, no trim: hold it fully and read the \
                     pulse; if it equals the full pulse the signal is cut off, if it lies beyond it carries on",
    },
    Line {
        key: "endpoint",
        words: ["scales", "clamps"],
        bench_test: "set the endpoint of one way to 50 % and hold the stick half way: a quarter of the full \
                     pulse travel means it scales, a half means it clamps",
    },
    Line {
        key: "endpoint_side",
        words: ["stick", "pulse"],
        bench_test: "set one way's endpoint to 50 % and the other's to 100 %, then flip reverse: if the short \
                     travel stays with the way it goes by stick, if it changes to the other way by pulse",
    },
    Line {
        key: "trim",
        words: ["before endpoint", "after endpoint"],
        bench_test: "set both endpoints to 50 % and move the trim fully over with the stick at rest: if the \
                     pulse moves half as far as with 100 % the trim comes before the endpoint, if just as far after",
    },
    Line {
        key: "mix",
        words: ["before endpoint", "after endpoint"],
        bench_test: "set both endpoints of the mixed channel to 50 % and move only the control that is mixed \
                     in: if the pulse moves half as far as with 100 % the mix comes before, if just as far after",
    },
    Line {
        key: "sub_trim",
        words: ["shifts ends", "keeps ends"],
        bench_test: "read the pulse with one way held fully, set the sub-trim 10 % towards that way and read \
                     again: if it moved the ends shift, if it stayed they are kept",
    },
];

impl Order {
    /// Every order that the lines of a file allow: one, or up to 64.
    pub fn all(lines: &OrderLines) -> Vec<Order> {
        fn open<T: Copy>(line: Option<T>, both: [T; 2]) -> Vec<T> {
            line.map_or_else(|| both.to_vec(), |value| vec![value])
        }
        let mut orders = Vec::new();
        for &past_full in &open(lines.past_full_stick, [PastFull::CutOff, PastFull::CarriesOn]) {
            for &endpoint in &open(lines.endpoint, [EndpointDoes::Scales, EndpointDoes::Clamps]) {
                for &side in &open(lines.endpoint_side, [EndpointSide::Stick, EndpointSide::Pulse]) {
                    for &trim in &open(lines.trim, [OrderPlace::Before, OrderPlace::After]) {
                        for &mix in &open(lines.mix, [OrderPlace::Before, OrderPlace::After]) {
                            for &sub_trim in
                                &open(lines.sub_trim, [SubTrimDoes::ShiftsEnds, SubTrimDoes::KeepsEnds])
                            {
                                orders.push(Order { past_full, endpoint, side, trim, mix, sub_trim });
                            }
                        }
                    }
                }
            }
        }
        orders
    }

    /// Which of the two words of line `index` of [`LINES`] this order has.
    pub fn word_index(&self, index: usize) -> usize {
        match index {
            0 => usize::from(self.past_full == PastFull::CarriesOn),
            1 => usize::from(self.endpoint == EndpointDoes::Clamps),
            2 => usize::from(self.side == EndpointSide::Pulse),
            3 => usize::from(self.trim == OrderPlace::After),
            4 => usize::from(self.mix == OrderPlace::After),
            _ => usize::from(self.sub_trim == SubTrimDoes::KeepsEnds),
        }
    }

    /// This order with the other word of line `index` of [`LINES`].
    #[must_use]
    pub fn with_other_word(mut self, index: usize) -> Self {
        let first = self.word_index(index) == 1;
        match index {
            0 => self.past_full = if first { PastFull::CutOff } else { PastFull::CarriesOn },
            1 => self.endpoint = if first { EndpointDoes::Scales } else { EndpointDoes::Clamps },
            2 => self.side = if first { EndpointSide::Stick } else { EndpointSide::Pulse },
            3 => self.trim = if first { OrderPlace::Before } else { OrderPlace::After },
            4 => self.mix = if first { OrderPlace::Before } else { OrderPlace::After },
            _ => self.sub_trim = if first { SubTrimDoes::ShiftsEnds } else { SubTrimDoes::KeepsEnds },
        }
        self
    }

    /// This order, and where another differs from it in a line, that line as in `full`.
    #[must_use]
    pub fn or_as_in(self, full: &Self, other: &Self) -> Self {
        let mut both = self;
        for line in 0..LINES.len() {
            let word = full.word_index(line);
            if other.word_index(line) == word && both.word_index(line) != word {
                both = both.with_other_word(line);
            }
        }
        both
    }
}
