//! Amounts as a meter, a scale or a watch shows them: bands in which a good boat lies.

use super::say::Say;
use crate::labels::text::sheet::units;
use crate::measure::Units;
use crate::setup::quantity::{About, Bar, Kilograms, Litres, LitresPerMinute, Metres};
use crate::setup::{Exact, Pump};

/// Steps in which a band is printed, a part of the unit each: a band is widened to whole steps.
const HUNDREDTHS: i64 = 100;
const TENTHS: i64 = 10;
const WHOLE: i64 = 1;

/// The water that stands against a pump while the boat lies at the surface, in hundredths of a bar:
/// a fifth of a metre is more than a model's tank lies deep (common practice, no source).
const AT_THE_SURFACE: i64 = 2;

/// Puts the unit to a number.
type Unit = fn(&Say<'_>, &str) -> String;

impl Say<'_> {
    /// An amount with its unit.
    pub(super) fn amount(&self, unit: Unit, value: &Exact, places: u32) -> String {
        unit(self, &self.decimal(value, places))
    }

    fn decimal(&self, value: &Exact, places: u32) -> String {
        self.labels.decimal(&value.to_decimal(places).replace('-', "\u{2212}"))
    }

    /// From the least to the most, rounded outwards: a good boat must never fail by a rounding.
    fn span(&self, unit: Unit, [low, high]: [Exact; 2], step: i64) -> String {
        let whole = |value: Option<i64>, else_: &Exact| {
            value.map_or_else(|| else_.clone(), |steps| Exact::ratio(steps, step))
        };
        let steps = Exact::int(step);
        let low = whole((&low * &steps).floor(), &low);
        let high = whole((&high * &steps).ceil(), &high);
        let [from, to] = [&low, &high].map(|value| self.decimal(value, 2));
        if low == high {
            return unit(self, &from);
        }
        if low.signum() < 0 {
            // A dash beside a minus would be read as one of them.
            return self.fill(units::To { from: &unit(self, &from), to: &unit(self, &to) });
        }
        unit(self, &format!("{from}\u{2013}{to}"))
    }

    /// `8.35–8.45 kg`, `5–25 g`
    pub(super) fn weight(&self, weight: &About<Kilograms>) -> String {
        let [low, high] = ends(&weight.value.0, &weight.off.0);
        if low.abs().max(high.abs()) >= Exact::ONE {
            return self.span(|say, number| say.fill(units::Kilograms { number }), [low, high], HUNDREDTHS);
        }
        let grams = Exact::int(1000);
        self.span(|say, number| say.fill(units::Grams { number }), [low * &grams, high * grams], TENTHS)
    }

    /// `7.5–8.5 bar`
    pub(super) fn pressure(&self, pressure: &About<Bar>) -> String {
        self.span(
            |say, number| say.fill(units::Bar { number }),
            ends(&pressure.value.0, &pressure.off.0),
            TENTHS,
        )
    }

    /// `1 m`
    pub(super) fn depth(&self, depth: &Metres) -> String {
        Units::Metric.depth(depth, self.labels)
    }

    /// `13–19 s`
    pub(super) fn stopwatch(&self, band: &[Exact; 2]) -> String {
        self.span(|say, number| say.fill(units::Seconds { number }), band.clone(), WHOLE)
    }

    /// `580–620 mL`
    pub(super) fn volume(&self, volume: &About<Litres>) -> String {
        let millilitres = Exact::int(1000);
        let [low, high] = ends(&volume.value.0, &volume.off.0);
        self.span(
            |say, number| say.fill(units::Millilitres { number }),
            [low * &millilitres, high * millilitres],
            WHOLE,
        )
    }

    /// What a pump moves freely: `3.4–4.6 L/min`.
    pub(super) fn free_flow(&self, pump: &Pump) -> Option<String> {
        let (_, LitresPerMinute(free)) = pump.flow.first()?;
        let band = [Exact::ONE - pump.off(), Exact::ONE + pump.off()].map(|part| free * part);
        Some(self.span(|say, number| say.fill(units::LitresPerMinute { number }), band, HUNDREDTHS))
    }

    /// From the switch until a full tank is empty, at the surface: volume by flow, everything that can
    /// be off against each other. Nothing where the pump may not manage it at all.
    pub(super) fn time_to_empty(&self, volume: &About<Litres>, pump: &Pump) -> Option<String> {
        let (_, LitresPerMinute(free)) = pump.flow.first()?;
        let against = flow_against(pump, &Exact::ratio(AT_THE_SURFACE, 100));
        let most = free * (Exact::ONE + pump.off());
        let least = against * (Exact::ONE - pump.off());
        if least.signum() <= 0 {
            return None;
        }
        let [small, large] = ends(&volume.value.0, &volume.off.0);
        let minute = Exact::int(60);
        // Of one that nobody timed no longest time is told.
        let start = pump.starts_in.as_ref()?.0.clone();
        let band = [small / most * &minute, large / least * minute + start];
        Some(self.span(|say, number| say.fill(units::Seconds { number }), band, WHOLE))
    }
}

fn ends(value: &Exact, off: &Exact) -> [Exact; 2] {
    [value - off, value + off]
}

/// What a pump moves against a pressure; straight between its points, as they were measured.
fn flow_against(pump: &Pump, pressure: &Exact) -> Exact {
    let Some((first, rest)) = pump.flow.split_first() else { return Exact::ZERO };
    let mut before = first;
    if *pressure <= before.0.0 {
        return before.1.0.clone();
    }
    for point in rest {
        if *pressure <= point.0.0 {
            let share = (pressure - &before.0.0) / (&point.0.0 - &before.0.0);
            return &before.1.0 + (&point.1.0 - &before.1.0) * share;
        }
        before = point;
    }
    Exact::ZERO
}
