//! The shapes of values: texts, words, numbers with a unit, and lists and blocks of them.

use super::super::keys::Takes;
use super::super::keys::quantity::{self, Form, Quantity};
use super::super::keys::work::WORK;
use super::super::lower::NOT_MEASURED;
use super::super::lower::boat::OPPOSITES;
use super::super::lower::units::SPELLINGS;
use super::link;
use serde_json::{Map, Value, json};

/// A number as the reader takes it; a decimal comma is none.
const NUMBER: &str = r"([0-9]+(\.[0-9]+)?|\.[0-9]+)";
/// The numbers of channels as keys.
pub(super) const NUMBERS: &str = "^0*[1-9][0-9]{0,2}$";

/// So many blocks deep a share may hang on ways and switches.
pub(super) const RATE_DEPTH: u8 = 3;

/// Of what may follow a key.
pub(super) fn shape(takes: &Takes) -> Value {
    match takes {
        Takes::Version => json!({"enum": [1, "1"]}),
        Takes::Text => link("text"),
        Takes::YesNo => link("yes_no"),
        Takes::Date => json!({"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}),
        Takes::Count(most) => json!({"anyOf": [
            {"type": "integer", "minimum": 1, "maximum": most},
            {"type": "string", "pattern": "^[0-9]+$"},
        ]}),
        Takes::ChannelNumber => link("channel_number"),
        Takes::Effect => link("effect"),
        Takes::Conditions => link("conditions"),
        Takes::Condition => {
            let mut value = link("conditions");
            value["minProperties"] = 1.into();
            value["maxProperties"] = 1.into();
            value
        }
        Takes::Settings => {
            json!({"type": "array", "items": link("text"), "minItems": 2, "uniqueItems": true})
        }
        Takes::Rate => link("rate"),
        Takes::Quantity(of) => link(of.name),
        Takes::Words(words) => json!({"enum": words()}),
        Takes::Word(word) => json!({"const": word}),
        Takes::Block(part) | Takes::NumberedAnd(part, _) => link(part.name),
        Takes::Device => link("device"),
        Takes::Named(_, least, of) => {
            let mut value = open_block(shape(of));
            if *least > 0 {
                value["minProperties"] = (*least).into();
            }
            value
        }
        Takes::Works => {
            let mut value = open_block(link(WORK.name));
            value["propertyNames"] = json!({"pattern": "^[^.]*$"});
            value
        }
        Takes::Numbered(least, of) => {
            let mut value = json!({"type": "object", "patternProperties": {NUMBERS: shape(of)}, "additionalProperties": false});
            if *least > 0 {
                value["minProperties"] = (*least).into();
            }
            value
        }
        Takes::List(least, of) => {
            let mut value = json!({"type": "array", "items": shape(of)});
            if *least > 0 {
                value["minItems"] = (*least).into();
            }
            value
        }
        Takes::Pair(of) => json!({"type": "array", "items": shape(of), "minItems": 2, "maxItems": 2}),
        Takes::OneOrList(of) => {
            let item = shape(of);
            json!({"anyOf": [item, {"type": "array", "items": item}]})
        }
        Takes::Either(each) => json!({"anyOf": each.iter().map(shape).collect::<Vec<_>>()}),
        Takes::Flow => {
            let point = json!({
                "type": "array",
                "prefixItems": [link("pressure"), link("flow")],
                "minItems": 2,
                "maxItems": 2,
            });
            json!({"type": "array", "items": point, "minItems": 2})
        }
    }
}

/// A block whose keys are names of the builder's own.
fn open_block(value: Value) -> Value {
    json!({"type": "object", "additionalProperties": value})
}

/// A number with its unit.
pub(super) fn quantity(of: &Quantity) -> Value {
    let known = SPELLINGS.iter().filter(|(unit, _)| of.units.contains(unit));
    let signs: Vec<&str> = known.flat_map(|(_, spellings)| spellings.iter().copied()).collect();
    let signs = signs.join("|");
    let sign = if of.form == Form::Amount { r"\+?" } else { "[+−-]?" };
    let tolerance = match of.form {
        Form::Toleranced => format!(r"(\s*(±|\+-|\+/-)\s*(\+?{NUMBER}\s*({signs})?|{NOT_MEASURED}))?"),
        _ => String::new(),
    };
    let pattern = format!(r"^\s*{sign}{NUMBER}\s*({signs}){tolerance}\s*$");
    json!({"description": of.about, "type": "string", "pattern": pattern})
}

/// What is no number and no part, and is linked to from several places.
pub(super) fn plain() -> Map<String, Value> {
    let known: Vec<&str> = OPPOSITES.iter().flatten().copied().collect();
    // By way and switch, in either order: two blocks deep and one more for the switch's name.
    let share = || link(quantity::SHARE.name);
    let mut rate = share();
    for _ in 0..RATE_DEPTH {
        rate = json!({"anyOf": [share(), open_block(rate)]});
    }
    rate["description"] = "How much of the stick counts: `{agility: {gentle: 60 %, full: 100 %}}`.".into();
    let mut conditions = open_block(link("text"));
    conditions["description"] = "Switches and their settings that must hold: `{agility: full}`.".into();
    let defs = json!({
        "text": {
            "description": "A word or a text.",
            // A revision `2` or a memory `4` is text to the reader, but a number to an editor.
            "type": ["string", "number", "boolean"],
            "pattern": r"\S",
        },
        "yes_no": {"description": "`yes` or `no`.", "enum": ["yes", "no", true, false]},
        "channel_number": {
            "description": "The number of a channel on the receiver.",
            "anyOf": [{"type": "integer", "minimum": 1, "maximum": 255}, {"type": "string", "pattern": "^[0-9]+$"}],
        },
        "effect": {
            "description": "What is seen at the boat. Pairs of your own can be added under `opposites`.",
            // The list is there for editors to offer; a file's own pairs must pass as well.
            "anyOf": [{"enum": known}, link("text")],
        },
        "conditions": conditions,
        "rate": rate,
    });
    match defs {
        Value::Object(defs) => defs,
        _ => Map::new(),
    }
}
