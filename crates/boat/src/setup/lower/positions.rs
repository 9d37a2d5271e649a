//! Positions on the axis of the boat and shares of the travel of the set, from every unit they may be written in.

use super::super::exact::Exact;
use super::super::model::Toleranced;
use super::super::quantity::Micros;
use super::super::unknown;
use super::Reader;
use super::units::{Quantity, UnitOfMeasure};
use crate::source::{Mistake, Node};

/// How a servo's horn turns its travel into degrees and millimetres, as far as the file says.
#[derive(Clone, Debug, Default)]
pub(super) struct Linkage {
    /// Degrees from rest at 100 %.
    pub(super) turn: Option<Exact>,
    /// Length of the horn's arm in millimetres.
    pub(super) arm: Option<Exact>,
}

const POSITION: &[UnitOfMeasure] = &[UnitOfMeasure::Percent, UnitOfMeasure::Micros];
const POSITION_OF_SERVO: &[UnitOfMeasure] =
    &[UnitOfMeasure::Percent, UnitOfMeasure::Micros, UnitOfMeasure::Degrees, UnitOfMeasure::Millimetres];

/// An arc sine is computed in floating point and kept to this; the same is added to the tolerance.
fn grid() -> Exact {
    Exact::ratio(1, 1_000_000)
}

/// No servo and no speed controller follows a pulse beyond this.
fn outermost() -> Exact {
    Exact::int(3)
}

/// A value that could not be converted, and what to do about it.
type Refusal = (String, String);

impl Linkage {
    fn turn(&self) -> Result<&Exact, Refusal> {
        self.turn.as_ref().ok_or_else(|| {
            (
                "degrees need to know how far the servo turns".to_owned(),
                "add for instance `turn: 45 deg` to the device: the angle from rest at 100 %".to_owned(),
            )
        })
    }

    fn arm(&self) -> Result<&Exact, Refusal> {
        self.turn()?;
        self.arm.as_ref().ok_or_else(|| {
            (
                "millimetres need to know the horn".to_owned(),
                "add for instance `arm: 12 mm` to the device, beside `turn`".to_owned(),
            )
        })
    }

    fn position_at(&self, millimetres: &Exact) -> Result<Exact, Refusal> {
        let (arm, turn) = (self.arm()?, self.turn()?);
        let sine = (millimetres / arm).to_f64();
        if sine.abs() > 1.0 {
            return Err((
                format!(
                    "an arm of {} mm cannot move {} mm",
                    arm.to_decimal(3),
                    millimetres.abs().to_decimal(3)
                ),
                "check `arm` and this value".to_owned(),
            ));
        }
        let degrees = Exact::from_f64(libm::asin(sine).to_degrees()).unwrap_or(Exact::ZERO);
        Ok((degrees / turn).round_to(&grid()))
    }

    fn millimetres_at(&self, position: &Exact) -> Result<Exact, Refusal> {
        let (arm, turn) = (self.arm()?, self.turn()?);
        let angle = (position * turn).to_f64().to_radians();
        Ok(Exact::from_f64(libm::sin(angle)).unwrap_or(Exact::ZERO) * arm)
    }
}

impl Reader<'_> {
    /// Keeps in mind the first figure that means another pulse on another axis: all but microseconds do, for
    /// degrees and millimetres go by the turn at 100 %.
    pub(super) fn hangs_on_axis(&mut self, node: &Node, unit: UnitOfMeasure) {
        if unit != UnitOfMeasure::Micros {
            self.on_axis.get_or_insert(node.span);
        }
    }

    /// A position, perhaps with a tolerance.
    pub(super) fn position(
        &mut self,
        node: &Node,
        what: &str,
        linkage: Option<&Linkage>,
    ) -> Option<Toleranced> {
        let units = if linkage.is_some() { POSITION_OF_SERVO } else { POSITION };
        let quantity = self.mistakes.quantity(node, what, units)?;
        self.hangs_on_axis(node, quantity.unit);
        if let Some((_, unit)) = &quantity.off {
            self.hangs_on_axis(node, *unit);
        }
        let nothing = Linkage::default();
        match self.converted(&quantity, linkage.unwrap_or(&nothing)) {
            Ok(position) if position.value.abs() > outermost() => {
                let percent = (&position.value * Exact::int(100)).to_decimal(0);
                self.mistakes.add(
                    Mistake::at(
                        node.span,
                        format!("{what} lies at {percent} % of the axis"),
                        "far beyond any travel",
                    )
                    .help(format!(
                        "is the unit right? On this axis {} us is rest and {} us is +100 %",
                        self.axis.rest.0.to_decimal(2),
                        self.axis.longer.0.to_decimal(2)
                    )),
                );
                None
            }
            Ok(position) if self.is_off_too_far(&position.off) => {
                self.off_too_far(
                    node,
                    what,
                    &position.off,
                    "write how far several readings lie apart at the most, halved: `+72 % ± 4 %`; a place that \
                     moves about farther than that cannot be relied on, so mend what moves it",
                );
                None
            }
            Ok(position) => Some(position),
            Err((message, help)) => {
                self.mistakes.add(
                    Mistake::at(node.span, format!("{what}: {message}"), "cannot be converted").help(help),
                );
                None
            }
        }
    }

    /// Whether something is farther off than what a figure stands for where it is left out.
    pub(super) fn is_off_too_far(&self, off: &Exact) -> bool {
        *off > unknown::most_off(&self.axis, &self.set)
    }

    /// Notes that something is off so far.
    pub(super) fn off_too_far(&mut self, node: &Node, what: &str, off: &Exact, help: &str) {
        let percent = |share: &Exact| (share * Exact::int(100)).to_decimal(1);
        let most = percent(&unknown::most_off(&self.axis, &self.set));
        self.mistakes.add(
            Mistake::at(
                node.span,
                format!("{what} says that it can be off by {} % of the axis", percent(off)),
                format!("more than {most} %"),
            )
            .help(help),
        );
    }

    /// A position that is set, not found: no tolerance.
    pub(super) fn set_position(&mut self, node: &Node, what: &str) -> Option<Exact> {
        self.mistakes.plain(node, what, POSITION)?;
        self.position(node, what, None).map(|p| p.value)
    }

    fn converted(&self, quantity: &Quantity, linkage: &Linkage) -> Result<Toleranced, Refusal> {
        let value = match quantity.unit {
            UnitOfMeasure::Micros => self.axis.position_of(&Micros(quantity.value.clone())),
            UnitOfMeasure::Degrees => &quantity.value / linkage.turn()?,
            UnitOfMeasure::Millimetres => linkage.position_at(&quantity.value)?,
            _ => &quantity.value / Exact::int(100),
        };
        let mut off = match &quantity.off {
            None => Exact::ZERO,
            Some((off, UnitOfMeasure::Micros)) => {
                let micros = Micros(off.clone());
                if value.is_zero() {
                    self.axis.width_either(&micros)
                } else {
                    self.axis.width(&micros, value.signum())
                }
            }
            Some((off, UnitOfMeasure::Degrees)) => off / linkage.turn()?,
            Some((off, UnitOfMeasure::Millimetres)) => {
                let middle = match quantity.unit {
                    UnitOfMeasure::Millimetres => quantity.value.clone(),
                    _ => linkage.millimetres_at(&value)?,
                };
                let low = linkage.position_at(&(&middle - off))?;
                let high = linkage.position_at(&(&middle + off))?;
                // Rounding of the ends and of the middle.
                (&value - low).abs().max((high - &value).abs()) + grid()
            }
            Some((off, _)) => off / Exact::int(100),
        };
        if quantity.unit == UnitOfMeasure::Millimetres {
            off += grid();
        }
        Ok(Toleranced { value, off })
    }

    /// Two positions in rising order.
    pub(super) fn band(&mut self, node: &Node, what: &str, example: &str) -> Option<[Exact; 2]> {
        let [low, high] = self.mistakes.pair(node, what, example)?;
        let (low, high) = (self.set_position(low, what), self.set_position(high, what));
        let (low, high) = (low?, high?);
        if low >= high {
            self.mistakes.add(
                Mistake::at(
                    node.span,
                    format!("{what} is the wrong way round"),
                    "the second is not above the first",
                )
                .help(format!("the end on the shorter side comes first: `{example}`")),
            );
            return None;
        }
        Some([low, high])
    }

    /// A share of the axis without a side, in percent or microseconds, from nought to `most` percent.
    pub(super) fn share_of_axis(&mut self, node: &Node, what: &str, most: i64) -> Option<Exact> {
        let quantity = self.mistakes.amount(node, what, POSITION)?;
        self.hangs_on_axis(node, quantity.unit);
        let share = match quantity.unit {
            UnitOfMeasure::Micros => self.axis.width_either(&Micros(quantity.value)),
            _ => quantity.value / Exact::int(100),
        };
        self.within(node, what, share, &Exact::ZERO, &Exact::percent(most))
    }

    /// A share of the full travel of the set that may be added to either side; microseconds besides, whose
    /// share hangs on the side.
    pub(super) fn share_or_micros(
        &mut self,
        node: &Node,
        what: &str,
        most: i64,
    ) -> Option<(Exact, Option<Micros>)> {
        let quantity = self.mistakes.amount(node, what, POSITION)?;
        let (share, micros) = match quantity.unit {
            UnitOfMeasure::Micros => {
                let micros = Micros(quantity.value);
                (self.set.width_either(&micros), Some(micros))
            }
            _ => (quantity.value / Exact::int(100), None),
        };
        let share = self.within(node, what, share, &Exact::ZERO, &Exact::percent(most))?;
        Some((share, micros))
    }

    /// A share of the full travel of one side of the set.
    pub(super) fn share_of_side(&mut self, node: &Node, what: &str, most: i64, sign: i32) -> Option<Exact> {
        let quantity = self.mistakes.amount(node, what, POSITION)?;
        let share = match quantity.unit {
            UnitOfMeasure::Micros => self.set.width(&Micros(quantity.value.clone()), sign),
            _ => &quantity.value / Exact::int(100),
        };
        self.within(node, what, share, &Exact::ZERO, &Exact::percent(most))
    }

    /// A share of the full travel of the set with a sign.
    pub(super) fn signed_share(&mut self, node: &Node, what: &str, most: i64) -> Option<Exact> {
        let quantity = self.mistakes.plain(node, what, POSITION)?;
        let share = match quantity.unit {
            UnitOfMeasure::Micros => self.set.width(&Micros(quantity.value.clone()), quantity.value.signum()),
            _ => &quantity.value / Exact::int(100),
        };
        self.within(node, what, share, &Exact::percent(-most), &Exact::percent(most))
    }

    /// A percentage within bounds.
    pub(super) fn percent(&mut self, node: &Node, what: &str, low: &Exact, high: &Exact) -> Option<Exact> {
        let quantity = self.mistakes.plain(node, what, &[UnitOfMeasure::Percent])?;
        self.within(node, what, quantity.value / Exact::int(100), low, high)
    }

    fn within(&mut self, node: &Node, what: &str, value: Exact, low: &Exact, high: &Exact) -> Option<Exact> {
        if value >= *low && value <= *high {
            return Some(value);
        }
        let percent = |v: &Exact| (v * Exact::int(100)).to_decimal(3);
        self.mistakes.add(
            Mistake::at(
                node.span,
                format!("{what} of {} % is out of range", percent(&value)),
                if value < *low { "too low" } else { "too high" },
            )
            .help(format!("it lies from {} % to {} %", percent(low), percent(high))),
        );
        None
    }
}
