//! What the table of keys says of one place of a file, so that what a boat file says can be told from how it is
//! written down.

use super::super::keys::device::DEVICE;
use super::super::keys::file::FILE;
use super::super::keys::work::WORK;
use super::super::keys::{Key, Part, Takes, Without};
use super::shapes::RATE_DEPTH;

/// The forms that a value may have at one place, choices spread out.
#[derive(Clone)]
pub(in crate::setup) struct SchemaPlace {
    forms: Vec<Form>,
    /// What leaving the value out means, if that means something.
    default: Option<Taken>,
}

/// What kind of value a single word or number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::setup) enum Scalar {
    /// Somebody's own words.
    Text,
    YesNo,
    Whole,
    /// A number with a unit, or one of some words.
    Quantity,
}

/// One form of a value.
#[derive(Clone, Copy)]
enum Form {
    /// A block with keys of its own.
    Part(&'static Part),
    /// What the table says, but that a choice and a list with one thing in its place are spread out.
    Takes(&'static Takes),
    /// A number with its unit.
    Quantity,
    /// Anybody's words.
    Text,
    /// A share, or shares under names, so many blocks deep.
    Rate(u8),
    /// A pressure with what a pump moves against it.
    Point,
}

/// What is taken where nothing is said.
#[derive(Clone)]
enum Taken {
    One(&'static str),
    List(Vec<&'static str>),
}

impl Taken {
    /// Of a block it is said by its keys.
    fn of(key: &Key) -> Option<Self> {
        let Without::Taken(taken) = key.without else { return None };
        match taken.strip_prefix('[').and_then(|inner| inner.strip_suffix(']')) {
            Some(list) => Some(Self::List(list.split(", ").collect())),
            None => (!taken.starts_with('{')).then_some(Self::One(taken)),
        }
    }
}

impl SchemaPlace {
    /// The file as a whole.
    pub(in crate::setup) fn top() -> Self {
        Self { forms: vec![Form::Part(&FILE)], default: None }
    }

    /// The value of a key.
    pub(in crate::setup) fn under(&self, key: &str) -> Self {
        let mut place = Self { forms: Vec::new(), default: None };
        for form in &self.forms {
            match form {
                Form::Part(part) => place.add_key(part, key),
                Form::Rate(deep @ 1..) => place.forms.push(Form::Rate(deep - 1)),
                Form::Takes(takes) => place.add_under(takes, key),
                Form::Quantity | Form::Text | Form::Rate(0) | Form::Point => {}
            }
        }
        // What holds for all ways together holds for each; a block of blocks says more than that.
        if !place.forms.iter().any(|form| form.is_block()) {
            let one = self.default.clone().filter(|default| matches!(default, Taken::One(_)));
            place.default = place.default.or(one);
        }
        place
    }

    fn add_under(&mut self, takes: &'static Takes, key: &str) {
        let is_number = key.bytes().all(|byte| byte.is_ascii_digit());
        match takes {
            Takes::NumberedAnd(part, of) if part.key(key).is_none() && is_number => self.add(of),
            Takes::Block(part) | Takes::NumberedAnd(part, _) => self.add_key(part, key),
            // A key means the same whatever the kind.
            Takes::Device => self.add_key(&DEVICE, key),
            Takes::Works => self.forms.push(Form::Part(&WORK)),
            Takes::Named(_, _, of) => self.add(of),
            Takes::Numbered(_, of) if is_number => self.add(of),
            Takes::Conditions | Takes::Condition => self.forms.push(Form::Text),
            _ => {}
        }
    }

    fn add_key(&mut self, part: &Part, key: &str) {
        let Some(found) = part.key(key) else { return };
        self.default = self.default.take().or_else(|| Taken::of(found));
        self.add(&found.takes);
    }

    /// Spreads out what may stand here.
    fn add(&mut self, takes: &'static Takes) {
        match takes {
            Takes::Either(each) => each.iter().for_each(|of| self.add(of)),
            Takes::OneOrList(of) => {
                self.forms.push(Form::Takes(takes));
                self.add(of);
            }
            Takes::Quantity(_) => self.forms.push(Form::Quantity),
            Takes::Text => self.forms.push(Form::Text),
            Takes::Rate => self.forms.push(Form::Rate(RATE_DEPTH)),
            _ => self.forms.push(Form::Takes(takes)),
        }
    }

    /// An item of a list.
    pub(in crate::setup) fn item(&self, index: usize) -> Self {
        let mut place = Self { forms: Vec::new(), default: None };
        for form in &self.forms {
            match form {
                Form::Takes(Takes::List(_, of) | Takes::Pair(of) | Takes::OneOrList(of)) => place.add(of),
                Form::Takes(Takes::Settings) => place.forms.push(Form::Text),
                Form::Takes(Takes::Flow) => place.forms.push(Form::Point),
                Form::Point if index < 2 => place.forms.push(Form::Quantity),
                _ => {}
            }
        }
        if let Some(Taken::List(list)) = &self.default {
            place.default = list.get(index).map(|taken| Taken::One(taken));
        }
        place
    }

    /// Whether one thing stands for a list of one here: a list of something else is another statement.
    pub(in crate::setup) fn takes_list(&self) -> bool {
        self.forms.iter().any(|form| matches!(form, Form::Takes(Takes::OneOrList(_))))
    }

    /// What a single word or number is here.
    pub(in crate::setup) fn scalar(&self) -> Scalar {
        let any = |is: fn(&Form) -> bool| self.forms.iter().any(is);
        if any(|form| matches!(form, Form::Text | Form::Takes(Takes::Effect))) {
            Scalar::Text
        } else if any(|form| matches!(form, Form::Takes(Takes::YesNo))) {
            Scalar::YesNo
        } else if any(|form| matches!(form, Form::Takes(Takes::Count(_) | Takes::ChannelNumber))) {
            Scalar::Whole
        } else if any(|form| matches!(form, Form::Quantity | Form::Rate(_) | Form::Takes(Takes::Date))) {
            Scalar::Quantity
        } else {
            Scalar::Text
        }
    }

    /// What leaving a single word or number out means.
    pub(in crate::setup) fn default(&self) -> Option<&'static str> {
        match self.default {
            Some(Taken::One(taken)) => Some(taken),
            _ => None,
        }
    }
}

impl Form {
    fn is_block(&self) -> bool {
        match self {
            Form::Part(_) | Form::Rate(1..) => true,
            Form::Takes(takes) => matches!(
                takes,
                Takes::Block(_)
                    | Takes::NumberedAnd(..)
                    | Takes::Device
                    | Takes::Works
                    | Takes::Named(..)
                    | Takes::Numbered(..)
                    | Takes::Conditions
                    | Takes::Condition
            ),
            Form::Quantity | Form::Text | Form::Rate(0) | Form::Point => false,
        }
    }
}
