//! The constants of each liquefied gas, and where each comes from.
//!
//! Vapour pressure and liquid density are the ancillary equations printed with each equation of state
//! (coefficients from memory; `tests/outside/check_gas.py` holds them against the equations of state
//! themselves in CoolProp). Heat of evaporation and of the liquid are fitted here to CoolProp 8.0.0, Bell
//! and others, Ind. Eng. Chem. Res. 53:2498 (2014), between −20 and 60 °C; so are the ratios of specific
//! heats, at 20 °C. Acentric factors are those of CoolProp.

use super::fluid::Liquid;

/// One term of a sum Σ a τᵗ.
pub(super) type Term = (f64, f64);

/// How the density of the liquid is written.
pub(super) enum LiquidDensity {
    /// ρ/ρc = 1 + Σ a τᵗ.
    Sum(&'static [Term]),
    /// ln(ρ/ρc) = Σ a τᵗ.
    Logarithm(&'static [Term]),
}

/// Constants of one gas.
pub(super) struct Constants {
    pub(super) name: &'static str,
    pub(super) source: &'static str,
    /// kg/mol.
    pub(super) molar_mass: f64,
    /// K, Pa and kg/m³ at the critical point, as the correlations take them.
    pub(super) critical: (f64, f64, f64),
    pub(super) acentric: f64,
    pub(super) gamma: f64,
    /// ln(p/pc) = Tc/T Σ a τᵗ.
    pub(super) vapour_pressure: &'static [Term],
    pub(super) liquid_density: LiquidDensity,
    /// h = h₀ τⁿ in J/kg, the form of Watson, Ind. Eng. Chem. 35:398 (1943).
    pub(super) evaporation: (f64, f64),
    /// c = a + b/τ + d τ in J/(kg K) of the boiling liquid.
    pub(super) heat_capacity: (f64, f64, f64),
    pub(super) flammable: bool,
}

pub(super) fn constants(liquid: Liquid) -> &'static Constants {
    match liquid {
        Liquid::Propane => &PROPANE,
        Liquid::NButane => &N_BUTANE,
        Liquid::Isobutane => &ISOBUTANE,
        Liquid::DimethylEther => &DIMETHYL_ETHER,
        Liquid::R134a => &R134A,
        Liquid::R152a => &R152A,
        Liquid::R1234zeE => &R1234ZE_E,
        Liquid::CarbonDioxide => &CARBON_DIOXIDE,
    }
}

static PROPANE: Constants = Constants {
    name: "propane",
    source: "Lemmon, McLinden and Wagner, J. Chem. Eng. Data 54:3141 (2009)",
    molar_mass: 0.044_095_62,
    critical: (369.89, 4.2512e6, 220.478),
    acentric: 0.1521,
    gamma: 1.1298,
    vapour_pressure: &[(-6.7722, 1.0), (1.6938, 1.5), (-1.3341, 2.2), (-3.1876, 4.8), (0.949_37, 6.2)],
    liquid_density: LiquidDensity::Sum(&[
        (1.822_05, 0.345),
        (0.658_02, 0.74),
        (0.211_09, 2.6),
        (0.083_973, 7.2),
    ]),
    evaporation: (621_000.0, 0.3764),
    heat_capacity: (2448.1, 101.7, -1308.4),
    flammable: true,
};

static N_BUTANE: Constants = Constants {
    name: "n-butane",
    source: "Bücker and Wagner, J. Phys. Chem. Ref. Data 35:929 (2006)",
    molar_mass: 0.058_122_2,
    critical: (425.125, 3.796e6, 228.0),
    acentric: 0.200_81,
    gamma: 1.0935,
    vapour_pressure: &[(-7.176_169_03, 1.0), (2.536_353_36, 1.5), (-2.075_328_69, 2.0), (-2.822_411_13, 4.5)],
    liquid_density: LiquidDensity::Sum(&[
        (1.978_745_15, 0.345),
        (0.856_799_51, 1.0),
        (-0.341_871_887, 1.5),
        (0.304_337_558, 3.0),
    ]),
    evaporation: (557_300.0, 0.3588),
    heat_capacity: (2403.8, 111.3, -1125.5),
    flammable: true,
};

static ISOBUTANE: Constants = Constants {
    name: "isobutane",
    source: "Bücker and Wagner, J. Phys. Chem. Ref. Data 35:929 (2006)",
    molar_mass: 0.058_122_2,
    critical: (407.81, 3.629e6, 225.5),
    acentric: 0.183_53,
    gamma: 1.0956,
    vapour_pressure: &[(-6.850_931_03, 1.0), (1.365_431_98, 1.5), (-1.325_426_91, 2.5), (-2.561_909_94, 4.5)],
    liquid_density: LiquidDensity::Sum(&[
        (2.040_251_04, 0.355),
        (0.850_874_089, 1.0),
        (-0.479_052_281, 4.0 / 3.0),
        (0.348_201_252, 7.0 / 3.0),
    ]),
    evaporation: (532_100.0, 0.3669),
    heat_capacity: (2444.1, 93.1, -1341.1),
    flammable: true,
};

static DIMETHYL_ETHER: Constants = Constants {
    name: "dimethyl ether",
    source: "Wu, Zhou and Lemmon, J. Phys. Chem. Ref. Data 40:023104 (2011)",
    molar_mass: 0.046_068_44,
    critical: (400.378, 5.336_845e6, 273.6465),
    acentric: 0.196,
    gamma: 1.1462,
    vapour_pressure: &[(-7.112_782, 1.0), (1.971_239, 1.5), (-2.276_083, 2.5), (-2.215_774, 5.0)],
    liquid_density: LiquidDensity::Sum(&[
        (7.884_834, 0.54),
        (-10.516_328, 0.74),
        (5.391_42, 0.95),
        (0.404_89, 11.43),
    ]),
    evaporation: (674_100.0, 0.3821),
    heat_capacity: (2119.9, 110.6, -462.5),
    flammable: true,
};

static R134A: Constants = Constants {
    name: "R134a",
    source: "Tillner-Roth and Baehr, J. Phys. Chem. Ref. Data 23:657 (1994)",
    molar_mass: 0.102_032,
    // The density is the scale of the correlation below, whose terms are in kg/m³: 1 + Σ = ρ/ρc.
    critical: (374.18, 4.056_29e6, 518.20),
    acentric: 0.326_84,
    gamma: 1.1097,
    vapour_pressure: &[(-7.686_556, 1.0), (2.311_791, 1.5), (-2.039_554, 2.0), (-3.583_758, 4.0)],
    liquid_density: LiquidDensity::Sum(&[
        (884.13 / 518.20, 1.0 / 3.0),
        (485.84 / 518.20, 2.0 / 3.0),
        (193.29 / 518.20, 10.0 / 3.0),
    ]),
    evaporation: (332_300.0, 0.3931),
    heat_capacity: (1261.4, 48.3, -366.4),
    flammable: false,
};

static R152A: Constants = Constants {
    name: "R152a",
    source: "Outcalt and McLinden, J. Phys. Chem. Ref. Data 25:605 (1996); liquid density fitted here to it",
    molar_mass: 0.066_051,
    critical: (386.411, 4.516_75e6, 368.0),
    acentric: 0.275_22,
    gamma: 1.1424,
    vapour_pressure: &[(-7.4821, 1.0), (2.1105, 1.5), (-2.0761, 2.2), (-3.5539, 4.8), (0.580_04, 6.2)],
    liquid_density: LiquidDensity::Sum(&[(2.117_05, 0.35), (0.902, 1.0), (-0.649_04, 2.0), (0.7892, 3.0)]),
    evaporation: (492_100.0, 0.3841),
    heat_capacity: (1605.3, 71.4, -515.8),
    flammable: true,
};

static R1234ZE_E: Constants = Constants {
    name: "R1234ze(E)",
    source: "Thol and Lemmon, Int. J. Thermophys. 37:28 (2016)",
    molar_mass: 0.114_041_6,
    critical: (382.513, 3.6349e6, 489.238),
    acentric: 0.313_12,
    gamma: 1.0919,
    vapour_pressure: &[(-7.5888, 1.0), (1.9696, 1.5), (-2.0827, 2.2), (-4.1238, 4.6)],
    liquid_density: LiquidDensity::Sum(&[(1.1913, 0.27), (2.2456, 0.7), (-1.7747, 1.25), (1.3096, 1.9)]),
    evaporation: (297_700.0, 0.3835),
    heat_capacity: (1239.9, 46.1, -287.4),
    // No flame limits at room temperature by ASTM E681, but some above 30 °C in damp air (from memory).
    flammable: true,
};

static CARBON_DIOXIDE: Constants = Constants {
    name: "carbon dioxide",
    source: "Span and Wagner, J. Phys. Chem. Ref. Data 25:1509 (1996)",
    molar_mass: 0.044_009_8,
    critical: (304.1282, 7.3773e6, 467.6),
    acentric: 0.223_94,
    gamma: 1.2908,
    vapour_pressure: &[(-7.060_208_7, 1.0), (1.939_121_8, 1.5), (-1.646_359_7, 2.0), (-3.299_563_4, 4.0)],
    liquid_density: LiquidDensity::Logarithm(&[
        (1.924_510_8, 0.34),
        (-0.623_855_55, 0.5),
        (-0.327_311_27, 10.0 / 6.0),
        (0.392_451_42, 11.0 / 6.0),
    ]),
    evaporation: (578_700.0, 0.4022),
    heat_capacity: (1631.2, 95.2, -218.6),
    flammable: false,
};
