//! Causes against effects, as many effects beside each other as fit.

use super::say::Say;
use super::table::{Cell, Table};
use crate::labels::text::sheet::matrix;
use crate::rule::matrix::{Cause, CauseKind, Effect, Mark, What, matrix};
use crate::setup::{ControlId, UnitActs};
use crate::words::{listed, plain, time};

/// Effects beside each other: more would leave their names no room.
const ABREAST: usize = 7;

/// One table, or several with the same causes.
pub(super) fn tables(say: &Say<'_>) -> Vec<Table> {
    let matrix = matrix(say.engine);
    let causes = names(say, &matrix.causes);
    let effects: Vec<usize> = (0..matrix.effects.len()).collect();
    let abreast = matrix.effects.len().div_ceil(matrix.effects.len().div_ceil(ABREAST).max(1)).max(1);
    let mut all = Vec::new();
    for some in effects.chunks(abreast) {
        let mut head = vec![say.get(matrix::CAUSE).to_owned()];
        for effect in some {
            let effect = &matrix.effects[*effect];
            head.push(self::effect(say, effect));
        }
        let mut table = Table::with_head(head);
        for (cause, name) in matrix.causes.iter().zip(&causes) {
            if some.iter().all(|effect| cause.marks[*effect] == Mark::Apart) {
                continue;
            }
            let mut row = vec![Cell::plain(name)];
            row.extend(some.iter().map(|effect| mark(say, cause.marks[*effect])));
            table.cells(row);
        }
        all.push(table);
    }
    all.retain(|table| !table.is_empty());
    all
}

/// A heading, over two lines.
pub(crate) fn effect(say: &Say<'_>, effect: &Effect) -> String {
    match effect.what {
        What::Function(work) => {
            let device = plain(&say.setup.devices[work.device].name);
            format!("{}\n{device}", plain(&say.setup.work(work).name))
        }
        What::Motor(device) => {
            let name = plain(&say.setup.devices[device].name);
            say.fill(matrix::Runs { motor: &name })
        }
    }
}

fn mark(say: &Say<'_>, mark: Mark) -> Cell {
    match mark {
        Mark::Surely => Cell::bold(say.get(matrix::SURELY)),
        Mark::May => Cell::plain(say.get(matrix::MAY)),
        Mark::Never => Cell::plain(say.get(matrix::NEVER)),
        Mark::Apart => Cell::plain(""),
    }
}

/// The causes in the reader's language.
pub(crate) fn names(say: &Say<'_>, causes: &[Cause]) -> Vec<String> {
    let stage = |n: usize| {
        let stages = say.setup.fail_safe.as_ref().map(|unit| &unit.stages);
        stages.and_then(|stages| stages.get(n)).map_or_else(String::new, |s| plain(&s.name))
    };
    let (mut after_loss, mut while_piloting, mut powered) = (0, 0, 0);
    let time =
        |cause: &Cause| cause.begins.as_ref().map_or_else(String::new, |begins| time(say.labels, begins));
    let mut name = |cause: &Cause| match cause.kind {
        CauseKind::AtRest => say.get(matrix::AT_REST).to_owned(),
        CauseKind::Held(control) => held(say, control, cause),
        CauseKind::Waiting if say.setup.fail_safe.is_none() => say.get(matrix::LOST).to_owned(),
        CauseKind::Waiting => say.get(matrix::WAITING).to_owned(),
        CauseKind::Stage => {
            after_loss += 1;
            let stage = stage(after_loss - 1);
            match say.engine.unit {
                UnitActs::Unsure => say.fill(matrix::StageUnsure { stage: &stage }),
                UnitActs::Sure | UnitActs::Absent => say.fill(matrix::Stage { stage: &stage }),
            }
        }
        CauseKind::StageWhilePiloting => {
            while_piloting += 1;
            say.fill(matrix::StageAlarm { stage: &stage(while_piloting - 1) })
        }
        CauseKind::LostForGood => say.get(matrix::LOST_FOR_GOOD).to_owned(),
        CauseKind::PowerUp => say.get(matrix::POWER_UP).to_owned(),
        CauseKind::PowerUpPreset => say.fill(matrix::PowerUpPreset { time: &time(cause) }),
        CauseKind::PowerUpStage => {
            powered += 1;
            let (stage, time) = (stage(powered - 1), time(cause));
            match say.engine.unit {
                UnitActs::Unsure => say.fill(matrix::PowerUpStageUnsure { stage: &stage, time: &time }),
                UnitActs::Sure | UnitActs::Absent => {
                    say.fill(matrix::PowerUpStage { stage: &stage, time: &time })
                }
            }
        }
        CauseKind::PowerUpOver => say.fill(matrix::PowerUpOver { time: &time(cause) }),
        CauseKind::Unpowered => say.get(matrix::UNPOWERED).to_owned(),
    };
    causes.iter().map(&mut name).collect()
}

/// What the pilot holds: a way of a control, or a switch in one of its settings.
fn held(say: &Say<'_>, control: ControlId, cause: &Cause) -> String {
    let controls = &say.setup.controls;
    let Some(held) = &cause.held else { return plain(&controls[control].name) };
    let way = plain(&held.way);
    let way = if controls[control].settings.is_empty() { say.fill(matrix::Held { way: &way }) } else { way };
    let needs = held.needs.iter().map(|(switch, setting)| {
        let switch = &controls[*switch];
        format!("{} {}", plain(&switch.name), plain(&switch.settings[*setting]))
    });
    format!("{}: {}", plain(&controls[control].name), listed(std::iter::once(way).chain(needs)))
}
