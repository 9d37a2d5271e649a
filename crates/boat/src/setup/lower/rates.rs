//! `rate`: one value, one per way, one per setting of a switch, or both nested in either order.

use super::super::exact::Exact;
use super::super::model::{ControlId, Rate, Side};
use super::Reader;
use super::text::{either, near, shown};
use crate::source::{Mistake, Node, Value};

/// The most a rate can be, in percent.
const MOST: i64 = 200;

impl<'a> Reader<'a> {
    /// The rate of both ways of a control on a channel whose pulse gets longer towards one of them: a rate in
    /// microseconds is a share of the full travel of its own side.
    pub(super) fn rate(&mut self, node: &'a Node, control: ControlId, longer: Side) -> Option<[Rate; 2]> {
        let sign = |side: Side| if side == longer { 1 } else { -1 };
        for entry in node.entries() {
            self.count_as_used(Some(&entry.key));
            for inner in entry.value.entries() {
                self.count_as_used(Some(&inner.key));
            }
        }
        let Value::Map(_) = node.value else {
            let [low, high] = Side::BOTH.map(|side| {
                let value = self.share_of_side(node, "`rate`", MOST, sign(side))?;
                Some(Rate { switch: None, values: vec![value] })
            });
            return Some([low?, high?]);
        };
        if self.names_a_way(node, control) {
            let [low, high] = self.per_way(node, control)?;
            let [low, high] =
                [(low, Side::Low), (high, Side::High)].map(|(node, side)| self.rate_of_way(node, sign(side)));
            return Some([low?, high?]);
        }
        let (switch, values) = self.per_setting(node, control)?;
        let mut rates = [Vec::new(), Vec::new()];
        let mut whole = true;
        for value in values {
            let sides = if matches!(value.value, Value::Map(_)) {
                self.per_way(value, control)
            } else {
                Some([value, value])
            };
            let Some(sides) = sides else {
                whole = false;
                continue;
            };
            for side in Side::BOTH {
                match self.share_of_side(sides[side.index()], "`rate`", MOST, sign(side)) {
                    Some(share) => rates[side.index()].push(share),
                    None => whole = false,
                }
            }
        }
        let [low, high] = rates;
        whole.then(|| [low, high].map(|values| Rate { switch: Some(switch), values }))
    }

    fn names_a_way(&self, node: &Node, control: ControlId) -> bool {
        let ways = &self.controls[control].ways;
        let is_control = |key: &str| self.controls.iter().any(|c| c.name == key);
        node.entries().iter().any(|e| ways.contains(&e.key))
            || node.entries().len() > 1
            || node.entries().iter().any(|e| !is_control(&e.key) && near(&e.key, ways).is_some())
    }

    fn rate_of_way(&mut self, node: &'a Node, sign: i32) -> Option<Rate> {
        let Value::Map(_) = node.value else {
            let value = self.share_of_side(node, "`rate`", MOST, sign)?;
            return Some(Rate { switch: None, values: vec![value] });
        };
        let (switch, nodes) = self.settings_of(node)?;
        let values: Vec<Option<Exact>> =
            nodes.into_iter().map(|n| self.share_of_side(n, "`rate`", MOST, sign)).collect();
        let values = values.into_iter().collect::<Option<Vec<_>>>()?;
        Some(Rate { switch: Some(switch), values })
    }

    /// The values for the low and the high way; both must be there.
    fn per_way(&mut self, node: &'a Node, control: ControlId) -> Option<[&'a Node; 2]> {
        let mut found = [None, None];
        let mut whole = true;
        for entry in node.entries() {
            match self.way(control, &entry.key, entry.key_span) {
                Some(side) => found[side.index()] = Some(&entry.value),
                None => whole = false,
            }
        }
        if whole {
            for side in Side::BOTH {
                if found[side.index()].is_none() {
                    let way = shown(&self.controls[control].ways[side.index()]);
                    self.lacks(node, &format!("the way `{way}`"), &way);
                }
            }
        }
        Some([found[0]?, found[1]?])
    }

    fn lacks(&mut self, node: &Node, what: &str, key: &str) {
        self.mistakes.add(
            Mistake::at(node.span, format!("the rate lacks {what}"), "one value is missing")
                .help(format!("add for instance `{key}: 100 %`")),
        );
    }

    fn per_setting(&mut self, node: &'a Node, control: ControlId) -> Option<(ControlId, Vec<&'a Node>)> {
        if let [entry] = node.entries()
            && !self.controls.iter().any(|c| c.name == entry.key)
        {
            let mut known = self.controls[control].ways.to_vec();
            known.extend(self.controls.iter().filter(|c| !c.settings.is_empty()).map(|c| c.name.clone()));
            self.count_as_used(near(&entry.key, &known));
            let label = match near(&entry.key, &known) {
                Some(near) => format!("did you mean `{near}`?"),
                None => "not known here".to_owned(),
            };
            self.mistakes.add(
                Mistake::at(
                    entry.key_span,
                    format!("`{}` is neither a way nor a switch", shown(&entry.key)),
                    label,
                )
                .help(format!("a rate goes by {}", either(&known))),
            );
            return None;
        }
        self.settings_of(node)
    }

    /// One value for each setting of a switch: `{agility: {gentle: 60 %, full: 100 %}}`.
    fn settings_of(&mut self, node: &'a Node) -> Option<(ControlId, Vec<&'a Node>)> {
        let [entry] = node.entries() else {
            self.mistakes.add(
                Mistake::at(node.span, "a rate goes by one switch", "not one key")
                    .help("write for instance `rate: {agility: {gentle: 60 %, full: 100 %}}`"),
            );
            return None;
        };
        let switch = self.switch_named(&entry.key, entry.key_span)?;
        let block = self.mistakes.open_block(&entry.value, entry.key_span, "the rate by a switch")?;
        let mut whole = true;
        for inner in block.entries() {
            whole &= self.setting_named(switch, &inner.key, inner.key_span).is_some();
        }
        let settings = self.controls[switch].settings.clone();
        let mut values = Vec::new();
        for setting in &settings {
            match block.get(setting) {
                Some(value) => values.push(value),
                None if whole => {
                    let setting = shown(setting);
                    self.lacks(&entry.value, &format!("the setting `{setting}`"), &setting);
                    return None;
                }
                None => return None,
            }
        }
        (whole && !values.is_empty()).then_some((switch, values))
    }
}
