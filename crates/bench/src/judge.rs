//! A reading against the file and against what must not happen.

use crate::record::NOT_JUDGED;
use crate::setup::Exact;

/// Whether a reading is what the file says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Agrees {
    /// Within pulse accuracy, meter and step.
    Yes,
    /// Off by so many microseconds beyond them.
    No(Exact),
}

/// Whether a reading leaves everything safe that was proved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Safe {
    /// It stays inside, whatever the meter is off.
    Yes,
    /// It lies outside, whatever the meter is off.
    No,
    /// The limit lies within what the meter can be off.
    CannotTell,
    /// It hangs on what the file does not give: the keys.
    NotJudged(Vec<String>),
    /// Nothing that is asked of the boat hangs on it.
    NothingHangs,
}

impl Safe {
    /// As the record has it; empty where nothing hangs on it.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
            Self::CannotTell => "cannot tell",
            Self::NotJudged(_) => NOT_JUDGED,
            Self::NothingHangs => "",
        }
    }

    /// The keys that the file lacks, where it hangs on them.
    pub fn lacks(&self) -> Vec<String> {
        match self {
            Self::NotJudged(keys) => keys.clone(),
            _ => Vec::new(),
        }
    }

    /// Whether nothing keeps it from being believed.
    pub fn is_good(&self) -> bool {
        matches!(self, Self::Yes | Self::NothingHangs)
    }
}

/// Both.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verdict {
    /// As the file says.
    pub agrees: Agrees,
    /// By what must not happen.
    pub safe: Safe,
}

/// How far a reading may lie from what was worked out: microseconds to the shorter and to the longer side; `None`
/// where nothing hangs on that side.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Room {
    /// To the shorter side, and what has it; below nought where it is broken already.
    pub shorter: Option<(Exact, String)>,
    /// To the longer side.
    pub longer: Option<(Exact, String)>,
}

/// Whether a reading lies in a band that is widened by what it may be off.
pub fn agrees(read: &Exact, [low, high]: &[Exact; 2], off: &Exact) -> Agrees {
    let beyond = (low - read).max(read - high) - off;
    if beyond.signum() > 0 { Agrees::No(beyond) } else { Agrees::Yes }
}

/// A guard band: the reading widened by the meter has to stay in the room on either side of the band; what
/// touches the limit counts as beyond it.
pub fn safe(read: &Exact, [low, high]: &[Exact; 2], meter: &Exact, room: &Room) -> Safe {
    let sides = [(low - read, &room.shorter), (read - high, &room.longer)];
    let of = |(past, room): (Exact, &Option<(Exact, String)>)| match room {
        None => Safe::NothingHangs,
        Some((left, _)) => {
            // Between the ends of the band it is no farther than what was judged.
            let past = past.max(Exact::ZERO);
            if &past - meter > *left || left.signum() < 0 {
                Safe::No
            } else if &past + meter >= *left {
                Safe::CannotTell
            } else {
                Safe::Yes
            }
        }
    };
    sides.map(of).into_iter().reduce(worse).unwrap_or(Safe::NothingHangs)
}

/// The worse of two.
pub fn worse(a: Safe, b: Safe) -> Safe {
    let rank = |safe: &Safe| match safe {
        Safe::No => 0,
        Safe::CannotTell => 1,
        Safe::NotJudged(_) => 2,
        Safe::Yes => 3,
        Safe::NothingHangs => 4,
    };
    if rank(&b) < rank(&a) { b } else { a }
}

#[cfg(test)]
mod tests {
    use super::{Agrees, Room, Safe, agrees, safe};
    use crate::setup::Exact;

    fn us(n: i64) -> Exact {
        Exact::int(n)
    }

    #[test]
    fn a_reading_may_be_off_by_accuracy_meter_and_step_together_and_no_more() {
        let band = [us(1488), us(1488)];
        assert_eq!(agrees(&us(1496), &band, &us(8)), Agrees::Yes);
        assert_eq!(agrees(&us(1497), &band, &us(8)), Agrees::No(us(1)));
        assert_eq!(agrees(&us(1479), &band, &us(8)), Agrees::No(us(1)));
    }

    /// Limits 1500 ± 10 us and a meter of 2 us, as in the figures of JCGM 106:2012, 8.3: accepted inside 1492 to
    /// 1508, rejected beyond 1488 and 1512, and neither between.
    #[test]
    fn a_guard_band_accepts_rejects_or_cannot_tell() {
        let room = Room { shorter: Some((us(10), "a".into())), longer: Some((us(10), "b".into())) };
        let of = |read: i64| safe(&us(read), &[us(1500), us(1500)], &us(2), &room);
        for (read, known) in [
            (1500, Safe::Yes),
            (1507, Safe::Yes),
            (1508, Safe::CannotTell),
            (1512, Safe::CannotTell),
            (1513, Safe::No),
            (1493, Safe::Yes),
            (1492, Safe::CannotTell),
            (1487, Safe::No),
        ] {
            assert_eq!(of(read), known, "{read}");
        }
    }

    #[test]
    fn where_nothing_hangs_nothing_is_called_safe_and_what_is_broken_stays_so() {
        assert_eq!(safe(&us(1), &[us(0), us(0)], &us(1), &Room::default()), Safe::NothingHangs);
        let broken = Room { shorter: Some((us(-1), "x".into())), longer: None };
        assert_eq!(safe(&us(0), &[us(0), us(0)], &us(1), &broken), Safe::No);
    }
}
