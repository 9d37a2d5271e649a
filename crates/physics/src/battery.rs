//! What is left in a battery, and what voltage it shows under load.
//!
//! **Assumed:** a voltage source behind one resistance; all cells alike. The charge left at a resting
//! voltage lies between two curves through three points: full at the full voltage, half at the nominal
//! one, empty at the end of discharge. Discharge curves are flat in the middle and fall off ever faster
//! at the end, so below the nominal voltage the straight line is the most that can be left; the least
//! is the fourth power of it, a sharper knee than cells have. Above the nominal voltage the curve may
//! bend either way, and the bounds allow both (all of this common practice, no source).
//! **Range:** resting voltages from end of discharge to full. **Uncertainty:** large, which is what the
//! bounds are for: age, cold and one weak cell take away more than any formula gives. Count on the
//! lower bound, and on 80 % of the printed capacity (common practice, no source).

use super::domain::{DomainError, not_negative, positive, within};
use super::units::{AmpereHours, Amperes, Between, Joules, Ohms, Seconds, Volts};

/// A kind of cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Chemistry {
    /// Nickel metal hydride.
    NiMh,
    /// Sealed lead-acid.
    LeadAcid,
    /// Lithium ion or lithium polymer with a cobalt-type cathode.
    LiIon,
    /// Lithium iron phosphate.
    LiFePo4,
}

/// Voltages of one cell of a chemistry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellVoltages {
    /// Resting, full.
    pub full: Volts,
    /// As counted in the name of a pack.
    pub nominal: Volts,
    /// End of discharge: below it the cell is empty, and some are harmed.
    pub end: Volts,
    /// Where the end of discharge comes from.
    pub source: &'static str,
}

impl Chemistry {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::NiMh, Self::LeadAcid, Self::LiIon, Self::LiFePo4];

    /// Voltages of one cell. The maker's data sheet goes before them.
    pub fn cell(self) -> CellVoltages {
        let (full, nominal, end, source) = match self {
            Self::NiMh => (1.4, 1.2, 1.0, "IEC 61951-2:2017, 7.3: 1.0 V at 0.2 It (from memory)"),
            Self::LeadAcid => (2.15, 2.0, 1.75, "IEC 61056-1: 1.75 V at the 20 h rate (from memory)"),
            Self::LiIon => (
                4.2,
                3.7,
                3.0,
                "common practice; IEC 61960-3 leaves it to the maker, usually 2.5 to 3.0 V (from memory)",
            ),
            Self::LiFePo4 => (3.6, 3.2, 2.5, "common practice, from memory"),
        };
        CellVoltages { full: Volts(full), nominal: Volts(nominal), end: Volts(end), source }
    }

    /// How many cells in a row make a pack of this printed voltage.
    ///
    /// # Errors
    /// A voltage that is no whole number of cells to within 4 %: makers round, and lithium cells are
    /// called 3.6 or 3.7 V, phosphate ones 3.2 or 3.3 V.
    pub fn cells(self, printed: Volts) -> Result<u32, DomainError> {
        positive("battery voltage", printed.0, Volts::SIGN)?;
        within("battery voltage", printed.0, 0.0, 1000.0, Volts::SIGN)?;
        let cells = printed / self.cell().nominal;
        let whole = cells.round().max(1.0);
        if (cells / whole - 1.0).abs() > 0.04 {
            return Err(DomainError::Inconsistent {
                what: "the printed voltage of the battery is no whole number of cells of this chemistry",
            });
        }
        Ok(whole as u32)
    }
}

/// A pack of cells in a row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pack {
    chemistry: Chemistry,
    cells: u32,
    capacity: AmpereHours,
    resistance: Ohms,
}

impl Pack {
    /// A pack with the resistance of all of it, leads and plugs included.
    ///
    /// # Errors
    /// No cell, a capacity that is not positive, a negative resistance.
    pub fn new(
        chemistry: Chemistry,
        cells: u32,
        capacity: AmpereHours,
        resistance: Ohms,
    ) -> Result<Self, DomainError> {
        positive("number of cells", f64::from(cells), "")?;
        positive("battery capacity", capacity.0, AmpereHours::SIGN)?;
        not_negative("battery resistance", resistance.0, Ohms::SIGN)?;
        Ok(Self { chemistry, cells, capacity, resistance })
    }

    /// The voltage under load at which the pack is empty.
    pub fn end(self) -> Volts {
        self.chemistry.cell().end * f64::from(self.cells)
    }

    /// The voltage under a current, of a pack that rests at `resting`: V = V₀ − I R.
    ///
    /// # Errors
    /// A negative current.
    pub fn under_load(self, resting: Volts, current: Amperes) -> Result<Volts, DomainError> {
        Ok(resting - self.sag(current)?)
    }

    /// What the voltage falls by under a current.
    ///
    /// # Errors
    /// A negative current.
    pub fn sag(self, current: Amperes) -> Result<Volts, DomainError> {
        not_negative("current", current.0, Amperes::SIGN)?;
        Ok(Volts(current.0 * self.resistance.0))
    }

    /// Share of the charge left at a resting voltage, from nothing at the end of discharge to all at
    /// full; the model of this module.
    ///
    /// # Errors
    /// A voltage that is not finite or is negative.
    pub fn share_left(self, resting: Volts) -> Result<Between<f64>, DomainError> {
        not_negative("battery voltage", resting.0, Volts::SIGN)?;
        let cell = self.chemistry.cell();
        let v = resting / f64::from(self.cells);
        if v.0 >= cell.nominal.0 {
            let upper = ((v - cell.nominal) / (cell.full - cell.nominal)).min(1.0);
            return Ok(Between {
                low: 0.5 + 0.5 * libm::pow(upper, 4.0),
                high: 0.5 + 0.5 * libm::pow(upper, 0.25),
            });
        }
        let lower = ((v - cell.end) / (cell.nominal - cell.end)).max(0.0);
        Ok(Between { low: 0.5 * libm::pow(lower, 4.0), high: 0.5 * lower })
    }

    /// Charge that a `threshold`, read while `at_alarm` flows, leaves for a work that draws
    /// `during_work`: until the voltage under that current is the end of discharge.
    ///
    /// # Errors
    /// A negative voltage or current.
    pub fn charge_left(
        self,
        threshold: Volts,
        at_alarm: Amperes,
        during_work: Amperes,
    ) -> Result<Between<AmpereHours>, DomainError> {
        let from = self.share_left(threshold + self.sag(at_alarm)?)?;
        let to = self.share_left(self.end() + self.sag(during_work)?)?;
        // Both ends of the span are uncertain and nothing says they err the same way.
        Ok(Between {
            low: self.capacity * (from.low - to.high).max(0.0),
            high: self.capacity * (from.high - to.low).max(0.0),
        })
    }

    /// The energy of that charge at the terminals: at least at the end-of-discharge voltage, at most at
    /// the resting voltage of the threshold.
    ///
    /// # Errors
    /// Those of [`Self::charge_left`].
    pub fn energy_left(
        self,
        threshold: Volts,
        at_alarm: Amperes,
        during_work: Amperes,
    ) -> Result<Between<Joules>, DomainError> {
        let charge = self.charge_left(threshold, at_alarm, during_work)?;
        let resting = threshold + self.sag(at_alarm)?;
        let joules = |charge: AmpereHours, v: Volts| Joules(charge.0 * 3600.0 * v.0);
        Ok(Between { low: joules(charge.low, self.end()), high: joules(charge.high, resting) })
    }

    /// How long that charge carries the work. The lower bound is the one to rely on.
    ///
    /// # Errors
    /// A current of the work that is not positive, and those of [`Self::charge_left`].
    pub fn time_left(
        self,
        threshold: Volts,
        at_alarm: Amperes,
        during_work: Amperes,
    ) -> Result<Between<Seconds>, DomainError> {
        positive("current", during_work.0, Amperes::SIGN)?;
        let charge = self.charge_left(threshold, at_alarm, during_work)?;
        let seconds = |charge: AmpereHours| Seconds(charge.0 * 3600.0 / during_work.0);
        Ok(Between { low: seconds(charge.low), high: seconds(charge.high) })
    }

    /// How long a full pack carries a steady current until the voltage under it is `threshold`. The low bound
    /// counts on the most that can be left by then; of lead-acid it follows Peukert's law as well.
    ///
    /// # Errors
    /// A current that is not positive, a negative voltage.
    pub fn time_from_full(self, threshold: Volts, current: Amperes) -> Result<Between<Seconds>, DomainError> {
        positive("current", current.0, Amperes::SIGN)?;
        let left = self.share_left(threshold + self.sag(current)?)?;
        let seconds = |share: f64| self.capacity.0 * 3600.0 * (1.0 - share) / current.0;
        let by_rate = match self.chemistry {
            Chemistry::LeadAcid => {
                let at_rate = peukert(self.capacity, RATED, current, PEUKERT)?.0;
                (at_rate * current.0 / (self.capacity.0 * 3600.0)).min(1.0)
            }
            _ => 1.0,
        };
        Ok(Between { low: Seconds(seconds(left.high) * by_rate), high: Seconds(seconds(left.low)) })
    }

    /// The lowest threshold, read while `at_alarm` flows, that surely leaves `charge` for the work by the
    /// lower bound. `None` where not even a full pack does.
    ///
    /// # Errors
    /// A negative charge or current.
    pub fn lowest_threshold(
        self,
        charge: AmpereHours,
        at_alarm: Amperes,
        during_work: Amperes,
    ) -> Result<Option<Volts>, DomainError> {
        not_negative("charge needed", charge.0, AmpereHours::SIGN)?;
        let sag = self.sag(at_alarm)?;
        let mut enough = self.chemistry.cell().full * f64::from(self.cells) - sag;
        if enough.0 < 0.0 || self.charge_left(enough, at_alarm, during_work)?.low < charge {
            return Ok(None);
        }
        // With little to draw even the end of discharge, or a voltage below it, might do: not lower.
        let mut short = Volts((self.end() - sag).0.max(0.0));
        for _ in 0..60 {
            let middle = (enough + short) / 2.0;
            let left = self.charge_left(middle, at_alarm, during_work)?.low;
            if left >= charge { enough = middle } else { short = middle }
        }
        Ok(Some(enough))
    }
}

/// The discharge for which the capacity of a lead-acid battery is printed, 20 h (IEC 61056-1, from memory).
const RATED: Seconds = Seconds(72_000.0);
/// Peukert's exponent of sealed lead-acid batteries lies between 1.05 and 1.3 (common practice, no source): the
/// greatest, which leaves least.
const PEUKERT: f64 = 1.3;

/// Time to empty a **lead-acid** battery at a steady current, by Peukert's law in the rated form
/// t = H (C / (I H))ᵏ, with C the capacity printed for a discharge over H. For lithium it does not hold.
///
/// # Errors
/// A capacity, rated time or current that is not positive, an exponent outside 1 to 1.6.
pub fn peukert(
    capacity: AmpereHours,
    rated: Seconds,
    current: Amperes,
    exponent: f64,
) -> Result<Seconds, DomainError> {
    positive("battery capacity", capacity.0, AmpereHours::SIGN)?;
    positive("rated time", rated.0, Seconds::SIGN)?;
    positive("current", current.0, Amperes::SIGN)?;
    within("Peukert exponent", exponent, 1.0, 1.6, "")?;
    Ok(rated * libm::pow(capacity.0 * 3600.0 / (current.0 * rated.0), exponent))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn near(got: f64, want: f64) {
        assert!((got / want - 1.0).abs() < 1e-6, "{got} instead of {want}");
    }

    fn pack() -> Pack {
        // 6 cells NiMH, 7.2 V, 3 Ah, 0.1 ohm.
        Pack::new(Chemistry::NiMh, 6, AmpereHours(3.0), Ohms(0.1)).unwrap()
    }

    #[test]
    fn packs_are_counted_in_cells_and_end_where_the_standards_say() {
        // Printed voltage, cells, end of discharge: check-values section 7.
        for (chemistry, printed, cells, end) in [
            (Chemistry::NiMh, 4.8, 4, 4.0),
            (Chemistry::NiMh, 6.0, 5, 5.0),
            (Chemistry::NiMh, 7.2, 6, 6.0),
            (Chemistry::NiMh, 12.0, 10, 10.0),
            (Chemistry::LeadAcid, 6.0, 3, 5.25),
            (Chemistry::LeadAcid, 12.0, 6, 10.5),
            (Chemistry::LiIon, 7.4, 2, 6.0),
            (Chemistry::LiIon, 11.1, 3, 9.0),
            (Chemistry::LiIon, 3.6, 1, 3.0),
            (Chemistry::LiFePo4, 6.4, 2, 5.0),
            (Chemistry::LiFePo4, 6.6, 2, 5.0),
        ] {
            assert_eq!(chemistry.cells(Volts(printed)), Ok(cells));
            let pack = Pack::new(chemistry, cells, AmpereHours(1.0), Ohms(0.0)).unwrap();
            near(pack.end().0, end);
        }
        assert!(Chemistry::LiIon.cells(Volts(6.0)).is_err());
        assert!(Chemistry::LeadAcid.cells(Volts(7.4)).is_err());
        assert!(Chemistry::NiMh.cells(Volts(0.0)).is_err());
    }

    #[test]
    fn five_amperes_through_a_tenth_of_an_ohm_cost_half_a_volt() {
        near(pack().under_load(Volts(7.2), Amperes(5.0)).unwrap().0, 6.7);
        assert!(pack().under_load(Volts(7.2), Amperes(-1.0)).is_err());
    }

    #[test]
    fn the_charge_left_is_none_at_the_end_half_at_nominal_all_at_full() {
        let share = |v: f64| pack().share_left(Volts(v)).unwrap();
        assert_eq!(share(5.0), Between { low: 0.0, high: 0.0 });
        near(share(7.2).low, 0.5);
        near(share(7.2).high, 0.5);
        near(share(8.5).low, 1.0);
        // Halfway from end to nominal: 0.5 · 0.5 and 0.5 · 0.5⁴.
        near(share(6.6).high, 0.25);
        near(share(6.6).low, 0.03125);
    }

    #[test]
    fn charge_energy_and_time_below_a_threshold_are_worked_by_hand() {
        // Threshold 6.9 V with 1 A flowing: resting 7.0 V, 10/12 of the way from 6.0 to 7.2 V: at most
        // 0.41667, at least 0.5 · (10/12)⁴ = 0.241127. The work draws 2 A, sag 0.2 V: it ends at 6.2 V resting,
        // 1/6: at most 0.083333, at least 0.5/6⁴ = 0.000386.
        let charge = pack().charge_left(Volts(6.9), Amperes(1.0), Amperes(2.0)).unwrap();
        near(charge.low.0, 3.0 * (0.241_126_543 - 0.083_333_333));
        near(charge.high.0, 3.0 * (0.416_666_667 - 0.000_385_802));
        let energy = pack().energy_left(Volts(6.9), Amperes(1.0), Amperes(2.0)).unwrap();
        near(energy.low.0, charge.low.0 * 3600.0 * 6.0);
        near(energy.high.0, charge.high.0 * 3600.0 * 7.0);
        let time = pack().time_left(Volts(6.9), Amperes(1.0), Amperes(2.0)).unwrap();
        near(time.low.0, charge.low.0 * 1800.0);
    }

    /// 3 Ah at 2 A down to 6.6 V, 6.8 V at rest: 0.8/1.2 of the way from 6.0 to 7.2 V, at most 0.5 · 2/3 = 0.3333
    /// left, at least 0.5 · (2/3)⁴ = 0.098765. 3 Ah · 0.66667 / 2 A = 1 h; 3 · 0.901235 / 2 = 1.351852 h.
    #[test]
    fn a_full_pack_lasts_until_the_threshold_under_its_own_current() {
        let time = pack().time_from_full(Volts(6.6), Amperes(2.0)).unwrap();
        near(time.low.0, 3600.0);
        near(time.high.0, 1.351_851_852 * 3600.0);
        assert!(pack().time_from_full(Volts(6.6), Amperes(0.0)).is_err());
        // Lead-acid, 7 Ah at 2 A down to nothing: 20 h (7 / (2 · 20))^1.3 = 2.0747 h instead of 3.5 h.
        let lead = Pack::new(Chemistry::LeadAcid, 6, AmpereHours(7.0), Ohms(0.0)).unwrap();
        let time = lead.time_from_full(Volts(10.5), Amperes(2.0)).unwrap();
        near(time.low.0 / 3600.0, 20.0 * libm::pow(7.0 / 40.0, 1.3));
        near(time.high.0 / 3600.0, 3.5);
        // A slow discharge gives no more than is printed.
        let slow = lead.time_from_full(Volts(10.5), Amperes(0.1)).unwrap();
        near(slow.low.0 / 3600.0, 70.0);
    }

    #[test]
    fn the_lowest_threshold_leaves_just_what_is_asked() {
        let (alarm, work) = (Amperes(1.0), Amperes(2.0));
        let threshold = pack().lowest_threshold(AmpereHours(0.4), alarm, work).unwrap().unwrap();
        near(pack().charge_left(threshold, alarm, work).unwrap().low.0, 0.4);
        assert_eq!(pack().lowest_threshold(AmpereHours(4.0), alarm, work).unwrap(), None);
    }

    #[test]
    fn peukert_gives_the_examples_of_battery_maths() {
        // check-values section 7: 100 Ah at 20 h, 10 A, k 1.2: 8.705506 h; 7 Ah, 2 A: 2.469879 h.
        let hours =
            |c: f64, i: f64| peukert(AmpereHours(c), Seconds(72_000.0), Amperes(i), 1.2).unwrap().0 / 3600.0;
        near(hours(100.0, 10.0), 8.705_506);
        near(hours(7.0, 2.0), 2.469_879);
        assert!(peukert(AmpereHours(7.0), Seconds(72_000.0), Amperes(2.0), 0.9).is_err());
    }
}
