//! Numbers with their units, as keys take them.

use super::super::lower::units::UnitOfMeasure::{
    self, AmpereHours, Amperes, Bar, Celsius, Decibels, Degrees, Gigahertz, Grams, Kilograms, Litres,
    LitresPerMinute, Megahertz, Metres, MetresPerSecond, Micros, MicrosiemensPerCm, MilliampereHours,
    Milliamperes, Millilitres, Millimetres, Milliohms, Ohms, Percent, Seconds, Volts,
};

/// A kind of number that keys take.
#[derive(Debug)]
pub struct Quantity {
    /// What the schema calls it.
    pub(in crate::setup) name: &'static str,
    /// What it is, with an example.
    pub(in crate::setup) about: &'static str,
    pub(in crate::setup) form: Form,
    pub(in crate::setup) units: &'static [UnitOfMeasure],
}

/// Whether a quantity may lie below nought, and whether it takes a tolerance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::setup) enum Form {
    Amount,
    Signed,
    Toleranced,
}

impl Quantity {
    /// The units it may have, the usual one first.
    pub fn signs(&self) -> Vec<&'static str> {
        self.units.iter().map(|unit| unit.sign()).collect()
    }

    /// Whether `±` and what it can be off may follow.
    pub fn takes_tolerance(&self) -> bool {
        self.form == Form::Toleranced
    }
}

use Form::{Amount, Signed, Toleranced};

const AXIS: &[UnitOfMeasure] = &[Percent, Micros];
const OF_SERVO: &[UnitOfMeasure] = &[Percent, Micros, Degrees, Millimetres];

macro_rules! quantities {
    ($($constant:ident $name:literal $form:ident $units:expr, $about:literal;)*) => {
        $(pub(in crate::setup) static $constant: Quantity =
            Quantity { name: $name, about: $about, form: $form, units: $units };)*
        /// Every kind of number, in the order of the schema.
        pub(in crate::setup) static ALL: &[&Quantity] = &[$(&$constant),*];
    };
}

quantities! {
    PERCENT "percent" Amount &[Percent], "A percentage: `64 %`.";
    SIGNED_PERCENT "signed_percent" Signed &[Percent], "A percentage with its sign: `-15 %`.";
    SHARE "share" Amount AXIS, "A part of the travel: `20 %` or `80 us`.";
    SIGNED_SHARE "signed_share" Signed AXIS, "A part of the travel with its side: `-3 %`.";
    ACCURACY "accuracy" Amount &[Percent, Micros, Degrees], "The most it can be off, either side: `2 %`.";
    SET_POSITION "set_position" Signed AXIS,
        "A position on the axis: 0 % is its pulse at rest, + is a longer pulse. `+54 %`, `1664 us`.";
    THRESHOLD "threshold" Toleranced AXIS, "A position with the most it can be off: `+80 % ± 2 %`.";
    READING "reading" Signed OF_SERVO, "A position as it was read: `+37 %`, `1648 us`, `22 deg`, `3.2 mm`.";
    FOUND_POSITION "found_position" Toleranced OF_SERVO,
        "A position found at the bench, with the most it can be off either side: `+72 % ± 4 %`.";
    PULSE_WIDTH "pulse_width" Amount &[Micros], "A pulse off the meter: `1664 us`.";
    SECONDS "seconds" Amount &[Seconds], "A time: `4 s`.";
    VOLTS "volts" Amount &[Volts], "A voltage: `6.6 V`.";
    AMPERES "amperes" Amount &[Amperes, Milliamperes], "A current: `1.2 A`.";
    METRES "metres" Amount &[Metres], "A depth: `2 m`.";
    MILLIMETRES "millimetres" Amount &[Millimetres], "A length: `12 mm`.";
    DEGREES "degrees" Amount &[Degrees], "An angle: `45 deg`.";
    LENGTH "length" Toleranced &[Millimetres], "A length, with the most it can be off: `60 mm ± 0.5 mm`.";
    ANGLE "angle" Toleranced &[Degrees], "An angle with its side: `-5 deg ± 2 deg`.";
    FREQUENCY "frequency" Amount &[Megahertz, Gigahertz], "A frequency: `40.685 MHz`.";
    WEIGHT "weight" Toleranced &[Kilograms, Grams], "A weight: `8.4 kg`, `12 g ± 1 g`.";
    VOLUME "volume" Toleranced &[Litres, Millilitres], "A volume: `600 mL ± 20 mL`.";
    SPEED "speed" Amount &[MetresPerSecond], "A speed: `0.25 m/s`.";
    PRESSURE "pressure" Toleranced &[Bar], "A pressure above that of the air: `0.4 bar`.";
    FLOW "flow" Amount &[LitresPerMinute], "A flow: `4 L/min`.";
    LEAK "leak" Amount &[LitresPerMinute, Millimetres],
        "How fast water comes in, or the hole it comes through: `0.2 L/min`, `1 mm`.";
    TEMPERATURE "temperature" Signed &[Celsius], "A temperature: `4 degC`.";
    RESISTANCE "resistance" Toleranced &[Milliohms, Ohms], "A resistance: `80 mohm ± 20 mohm`.";
    DECIBELS "decibels" Toleranced &[Decibels], "A loss of signal: `40 dB ± 6 dB`.";
    CONDUCTIVITY "conductivity" Toleranced &[MicrosiemensPerCm],
        "How well water conducts: `500 uS/cm ± 100 uS/cm`.";
    CAPACITY "capacity" Amount &[AmpereHours, MilliampereHours], "A capacity: `4.2 Ah`.";
}
