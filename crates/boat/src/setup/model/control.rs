//! What the hand moves, and the effects that it wants.

use crate::setup::exact::Exact;

/// A way of a control: by where the hand goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// Left, towards or lower: position -1.
    Low,
    /// Right, away or upper: position +1.
    High,
}

impl Side {
    /// Both, low first.
    pub const BOTH: [Side; 2] = [Side::Low, Side::High];

    /// 0 for low, 1 for high.
    pub fn index(self) -> usize {
        match self {
            Side::Low => 0,
            Side::High => 1,
        }
    }

    /// -1 for low, +1 for high.
    pub fn sign(self) -> i32 {
        match self {
            Side::Low => -1,
            Side::High => 1,
        }
    }

    /// -1 or +1 as a position of the control.
    pub fn position(self) -> Exact {
        Exact::int(i64::from(self.sign()))
    }

    /// The side of a sign; nought counts as high.
    pub fn of_sign(sign: i32) -> Self {
        if sign < 0 { Side::Low } else { Side::High }
    }

    /// The other one.
    pub fn other(self) -> Self {
        match self {
            Side::Low => Side::High,
            Side::High => Side::Low,
        }
    }
}

/// Along which line the hand moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Left and right.
    LeftRight,
    /// Towards the holder and away.
    TowardsAway,
    /// Lower and upper.
    LowerUpper,
}

impl Line {
    /// The trade's words for low and high, as the file spells them.
    pub fn words(self) -> [&'static str; 2] {
        match self {
            Line::LeftRight => ["left", "right"],
            Line::TowardsAway => ["towards", "away"],
            Line::LowerUpper => ["lower", "upper"],
        }
    }
}

/// What the hand moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ControlKind {
    /// One line of a gimbal.
    Stick,
    /// A pair of push buttons.
    Buttons,
    /// A switch with settings.
    Switch,
    /// A slider.
    Slider,
    /// A knob.
    Knob,
}

/// A control of the transmitter.
#[derive(Clone, Debug)]
pub struct Control {
    /// Name in the file.
    pub name: String,
    /// Where it is on the set, in the builder's words.
    pub at: Option<String>,
    /// What it is.
    pub kind: ControlKind,
    /// Along which line it moves.
    pub line: Line,
    /// The builder's words for low and high. For a switch: its first and last setting.
    pub ways: [String; 2],
    /// A switch's settings in order, spread evenly over [-1, +1]; empty for others.
    pub settings: Vec<String>,
    /// The setting in which a switch stands that nobody has thrown; 0 for others.
    pub home: usize,
    /// Springs back to rest when let go.
    pub springs_back: bool,
    /// The most the trim can move it, to the low and to the high way; nought when absent or locked.
    pub trim: [Exact; 2],
    /// Effects that each way wants, low and high.
    pub wants: [Vec<Effect>; 2],
    /// Whether the file says what they want, and be it nothing.
    pub wants_said: bool,
}

impl Control {
    /// Whether there is a trim that moves it.
    pub fn has_trim(&self) -> bool {
        self.trim.iter().any(|most| !most.is_zero())
    }

    /// Where setting `index` of a switch lies in [-1, +1].
    pub fn setting_position(&self, index: usize) -> Exact {
        match self.settings.len() {
            0 | 1 => Exact::ZERO,
            n => Exact::int(2 * index as i64) / Exact::int(n as i64 - 1) - Exact::ONE,
        }
    }
}

/// An effect: a pair of opposites and which of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Effect {
    /// Index in [`Setup::opposites`].
    pub pair: usize,
    /// 0 for the first word of the pair, 1 for the second.
    pub which: usize,
}
