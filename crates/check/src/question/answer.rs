//! How a question came out.

use crate::chain::Order;
use crate::finding::{Margin, Missing, Outcome};
use crate::proof::sense::Worst;
use crate::proof::zone::Found;
use crate::proof::{Answer, Verdict};
use crate::setup::{ChannelId, Exact};

/// An answer with all that is known of it.
#[derive(Clone, Debug)]
pub struct Answered {
    /// What was seen.
    pub seen: Seen,
    /// The least distance, negative where it is broken; `None` where there is none.
    pub margin: Option<Margin>,
    /// The side of the axis on which that lies.
    pub sign: i32,
    /// The channel whose orders `met_under` are.
    pub channel: Option<ChannelId>,
    /// Orders under which it is broken, as far as they matter to the channel.
    pub met_under: Vec<Order>,
    /// What only some questions come to.
    pub detail: Detail,
}

/// What was seen.
#[derive(Clone, Debug)]
pub enum Seen {
    /// It cannot happen.
    Never,
    /// It can, here.
    Here(Box<Found>),
    /// It is so; no hand has a part in it, or none was looked for.
    So,
    /// The program cannot tell, and why.
    Unknown(String),
    /// Nobody said what it hangs on.
    Unsaid(Vec<Missing>),
}

/// What only some questions come to.
#[derive(Clone, Debug)]
pub enum Detail {
    /// Nothing more.
    None,
    /// The worst move of a way, and whether that is with every springing control at rest.
    Move(Box<Worst>, bool),
    /// How far a way asks the set to send.
    Asked(Exact),
    /// How wide a zone of a way is.
    Width(Exact),
    /// What keeps two functions apart.
    Apart(super::together::Apart),
}

impl Answered {
    /// Whether something is so, without more.
    pub fn fact(broken: bool) -> Self {
        Self {
            seen: if broken { Seen::So } else { Seen::Never },
            margin: None,
            sign: 1,
            channel: None,
            met_under: Vec::new(),
            detail: Detail::None,
        }
    }

    /// From an answer of the proof.
    pub fn of(answer: Answer, margin: Option<Margin>, sign: i32) -> Self {
        let (seen, channel) = match answer.verdict {
            Verdict::Clear => (Seen::Never, None),
            Verdict::Met(found) => {
                let channel = found.channel;
                (Seen::Here(found), Some(channel))
            }
            Verdict::Unknown(why) => (Seen::Unknown(why), None),
        };
        Self { seen, margin, sign, channel, met_under: answer.met_under, detail: Detail::None }
    }

    /// The worse of two answers to one question. Where both are broken it happens under the orders of either.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        let second = match other.outcome().rank().cmp(&self.outcome().rank()) {
            std::cmp::Ordering::Equal => match (&other.margin, &self.margin) {
                (Some(x), Some(y)) => x.axis < y.axis,
                (x, y) => x.is_some() && y.is_none(),
            },
            order => order == std::cmp::Ordering::Less,
        };
        let both = [&self, &other].map(Self::outcome) == [Outcome::Broken; 2];
        // Orders that are told apart for one channel say nothing of another.
        let met_under = both.then(|| match self.channel == other.channel {
            true => either_order(&self.met_under, &other.met_under),
            false => Vec::new(),
        });
        let worse = if second { other } else { self };
        Self { met_under: met_under.unwrap_or_else(|| worse.met_under.clone()), ..worse }
    }

    /// Proved, broken or undecided.
    pub fn outcome(&self) -> Outcome {
        match self.seen {
            Seen::Never => Outcome::Proved,
            Seen::Here(_) | Seen::So => Outcome::Broken,
            Seen::Unknown(_) => Outcome::Undecided,
            Seen::Unsaid(_) => Outcome::NotJudged,
        }
    }
}

/// The orders under which one of two things happens; none are named where one of them hangs on no order.
pub(super) fn either_order(one: &[Order], other: &[Order]) -> Vec<Order> {
    if one.is_empty() || other.is_empty() {
        return Vec::new();
    }
    let mut orders = [one, other].concat();
    orders.sort();
    orders.dedup();
    orders
}
