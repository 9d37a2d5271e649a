//! What the schema says of one place of a file, so that what a boat file says can be told from how it is
//! written down.

use super::boat_file;
use serde_json::Value;
use std::sync::OnceLock;

/// The forms that a value may have at one place, links followed and choices spread out.
#[derive(Clone)]
pub(in crate::setup) struct SchemaPlace {
    forms: Vec<&'static Value>,
    /// What leaving the value out means, if that means something.
    default: Option<&'static Value>,
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

fn schema() -> &'static Value {
    static SCHEMA: OnceLock<Value> = OnceLock::new();
    SCHEMA.get_or_init(boat_file)
}

impl SchemaPlace {
    /// The file as a whole.
    pub(in crate::setup) fn top() -> Self {
        Self::of([schema()])
    }

    fn of(values: impl IntoIterator<Item = &'static Value>) -> Self {
        let (mut forms, mut default) = (Vec::new(), None);
        for value in values {
            default = default.or(value.get("default"));
            spread(value, &mut forms);
        }
        Self { forms, default }
    }

    /// The value of a key.
    pub(in crate::setup) fn under(&self, key: &str) -> Self {
        let mut place = Self::of(self.forms.iter().filter_map(|form| {
            let named = form.get("properties").and_then(|keys| keys.get(key));
            let number = || {
                let numbered = key.bytes().all(|b| b.is_ascii_digit());
                form.get("patternProperties").filter(|_| numbered)?.as_object()?.values().next()
            };
            let own = || form.get("additionalProperties").filter(|value| value.is_object());
            named.or_else(number).or_else(own)
        }));
        // What holds for all ways together holds for each; a block of blocks says more than that.
        if place.forms.iter().all(|form| form["type"] != "object") {
            place.default = place.default.or(self.default.filter(|default| default.is_string()));
        }
        place
    }

    /// An item of a list.
    pub(in crate::setup) fn item(&self, index: usize) -> Self {
        let mut place = Self::of(self.forms.iter().filter_map(|form| {
            form.get("items").or_else(|| form.get("prefixItems").and_then(|items| items.get(index)))
        }));
        place.default = place.default.or(self.default.and_then(|list| list.get(index)));
        place
    }

    /// Whether one thing stands for a list of one here: a list of something else is another statement.
    pub(in crate::setup) fn takes_list(&self) -> bool {
        let mut lists = self.forms.iter().filter(|form| form["type"] == "array");
        lists.any(|list| self.forms.iter().any(|form| **form == list["items"]))
    }

    /// What a single word or number is here.
    pub(in crate::setup) fn scalar(&self) -> Scalar {
        let any = |is: fn(&Value) -> bool| self.forms.iter().any(|form| is(form));
        if any(|form| form["type"].is_array()) {
            Scalar::Text
        } else if any(|form| form["enum"].as_array().is_some_and(|words| words.contains(&Value::Bool(true))))
        {
            Scalar::YesNo
        } else if any(|form| form["type"] == "integer") {
            Scalar::Whole
        } else if any(|form| form["type"] == "string" && form["pattern"].is_string()) {
            Scalar::Quantity
        } else {
            Scalar::Text
        }
    }

    /// What leaving a single word or number out means.
    pub(in crate::setup) fn default(&self) -> Option<&'static str> {
        self.default?.as_str()
    }
}

fn spread(value: &'static Value, forms: &mut Vec<&'static Value>) {
    forms.push(value);
    if let Some(name) = value["$ref"].as_str().and_then(|link| link.strip_prefix("#/$defs/")) {
        spread(&schema()["$defs"][name], forms);
    }
    for choice in ["anyOf", "allOf"].into_iter().filter_map(|key| value[key].as_array()).flatten() {
        // The parts of a device hang on its kind; a key means the same in each of them.
        spread(choice.get("then").unwrap_or(choice), forms);
    }
}
