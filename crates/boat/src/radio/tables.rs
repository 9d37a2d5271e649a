//! The tables. Add a band to a part, or a part to a region, and nothing else.

use super::{Band, Region, Spots, Use};

const KHZ: i64 = 1_000;

/// Shorthand for a band whose frequencies stand one step apart.
const fn steps(first_khz: i64, step_khz: i64, count: i64) -> Spots {
    Spots::Steps { first: first_khz * KHZ, step: step_khz * KHZ, count }
}

/// Shorthand for a band without centres.
const fn anywhere(low_khz: i64, high_khz: i64) -> Spots {
    Spots::Anywhere(low_khz * KHZ, high_khz * KHZ)
}

/// A band for any model, with nothing from memory; the others differ from it by a field or two.
const fn band(name: &'static str, edges: [i64; 2], spots: Spots, spacing: i64, source: &'static str) -> Band {
    Band {
        name,
        edges: [edges[0] * KHZ, edges[1] * KHZ],
        spots,
        spacing: if spacing > 0 { Some(spacing * KHZ) } else { None },
        first_number: None,
        usage: Use::Any,
        source,
        from_memory: None,
    }
}

const FIVE_AT_27: Spots = Spots::List(&[26_995_000, 27_045_000, 27_095_000, 27_145_000, 27_195_000]);

/// Common to the countries of CEPT.
const CEPT_27: &[Band] =
    &[band("27 MHz", [26_990, 27_200], FIVE_AT_27, 10, "ERC/REC 70-03 annex 8, ERC/DEC/(01)10")];
const CEPT_35: &[Band] = &[Band {
    usage: Use::AirOnly,
    first_number: Some(60),
    from_memory: Some("the edges and channel numbers"),
    ..band("35 MHz", [34_995, 35_225], steps(35_000, 10, 23), 10, "ERC/REC 70-03 annex 8, ERC/DEC/(01)11")
}];
const CEPT_40: &[Band] =
    &[band("40 MHz", [40_660, 40_700], steps(40_665, 10, 4), 10, "ERC/REC 70-03 annex 8, ERC/DEC/(01)12")];
const CEPT_UHF: &[Band] = &[
    band("2.4 GHz", [2_400_000, 2_483_500], anywhere(2_400_000, 2_483_500), 0, "ERC/REC 70-03 annex 3 b"),
    Band {
        from_memory: Some("the band as a whole"),
        ..band("433 MHz", [433_050, 434_790], anywhere(433_050, 434_790), 0, "ERC/REC 70-03 annex 1")
    },
    Band {
        from_memory: Some("the band as a whole, and that most of it limits how long a set may send"),
        ..band("868 MHz", [863_000, 870_000], anywhere(863_000, 870_000), 0, "ERC/REC 70-03 annex 1")
    },
];

const UK: &[Band] = &[
    band("27 MHz", [26_960, 27_280], anywhere(26_960, 27_280), 10, "Ofcom OfW 311"),
    Band {
        usage: Use::AirOnly,
        first_number: Some(55),
        ..band("35 MHz", [34_945, 35_305], steps(34_950, 10, 36), 10, "Ofcom OfW 311 and club channel lists")
    },
    Band {
        usage: Use::SurfaceOnly,
        first_number: None,
        from_memory: Some("the single centres"),
        ..band("40 MHz", [40_660, 41_000], steps(40_665, 10, 34), 10, "Ofcom OfW 311")
    },
    band("458 MHz", [458_500, 459_500], anywhere(458_500, 459_500), 25, "Ofcom OfW 311"),
];

const US: &[Band] = &[
    band(
        "27 MHz",
        [26_970, 27_280],
        Spots::List(&[26_995_000, 27_045_000, 27_095_000, 27_145_000, 27_195_000, 27_255_000]),
        50,
        "47 CFR 95.763(a)",
    ),
    Band {
        from_memory: Some("the single centres"),
        ..band("49 MHz", [49_820, 49_900], steps(49_830, 15, 5), 15, "47 CFR 15.235")
    },
    Band {
        usage: Use::AirOnly,
        first_number: Some(11),
        from_memory: Some("the channel numbers"),
        ..band("72 MHz", [72_000, 73_000], steps(72_010, 20, 50), 20, "47 CFR 95.731 and 95.763(b)")
    },
    Band {
        usage: Use::SurfaceOnly,
        first_number: Some(61),
        from_memory: Some("the channel numbers"),
        ..band("75 MHz", [75_400, 76_000], steps(75_410, 20, 30), 20, "47 CFR 95.731 and 95.763(c)")
    },
    Band {
        from_memory: Some("the band as a whole"),
        ..band("915 MHz", [902_000, 928_000], anywhere(902_000, 928_000), 0, "47 CFR 15.247")
    },
    band("2.4 GHz", [2_400_000, 2_483_500], anywhere(2_400_000, 2_483_500), 0, "47 CFR 15.247(b)"),
];

/// The eighteen beside the four: three, a gap of two, and so on.
const EIGHTEEN_AT_40: Spots = Spots::List(&[
    40_715_000, 40_725_000, 40_735_000, 40_765_000, 40_775_000, 40_785_000, 40_815_000, 40_825_000,
    40_835_000, 40_865_000, 40_875_000, 40_885_000, 40_915_000, 40_925_000, 40_935_000, 40_965_000,
    40_975_000, 40_985_000,
]);
const SWISS: &[Band] = &[Band {
    usage: Use::SurfaceOnly,
    from_memory: Some("the single centres"),
    ..band("40 MHz, further channels", [40_710, 40_990], EIGHTEEN_AT_40, 10, "OFCOM (CH) RIR1007-03")
}];
const GERMAN: &[Band] = &[Band {
    usage: Use::SurfaceOnly,
    from_memory: Some("the single centres"),
    ..band("40 MHz, further channels", [40_710, 40_990], EIGHTEEN_AT_40, 10, "German club lists")
}];

const FRENCH_LISTS: &str = "French club lists of 2008 to 2014";
const FRENCH: &[Band] = &[
    Band {
        from_memory: Some("the spacing"),
        ..band("26 MHz", [26_810, 26_920], steps(26_815, 10, 11), 10, FRENCH_LISTS)
    },
    Band {
        usage: Use::AirOnly,
        from_memory: Some("the spacing"),
        ..band("41 MHz for aircraft", [41_055, 41_105], steps(41_060, 10, 5), 10, FRENCH_LISTS)
    },
    Band {
        from_memory: Some("the spacing"),
        ..band("41 MHz", [41_106, 41_205], steps(41_110, 10, 10), 10, FRENCH_LISTS)
    },
    Band {
        from_memory: Some("the spacing"),
        ..band("72 MHz", [72_200, 72_500], steps(72_210, 20, 15), 20, FRENCH_LISTS)
    },
];

const BELGIAN_LISTS: &str = "Belgian club lists";
const BELGIAN: &[Band] = &[
    Band {
        from_memory: Some("the spacing"),
        ..band("40 MHz", [40_570, 40_700], steps(40_575, 10, 13), 10, BELGIAN_LISTS)
    },
    Band {
        from_memory: Some("the spacing"),
        ..band("72 MHz", [72_000, 72_260], steps(72_010, 20, 13), 20, BELGIAN_LISTS)
    },
];

const AUSTRALIAN_LISTS: &str = "Australian club lists";
const LIPD: &str = "the class licence for low interference potential devices";
const AUSTRALIAN: &[Band] = &[
    band("29 MHz", [29_720, 30_000], anywhere(29_720, 30_000), 10, AUSTRALIAN_LISTS),
    band("36 MHz", [36_000, 36_600], steps(36_010, 20, 30), 20, AUSTRALIAN_LISTS),
    Band {
        from_memory: Some("the band as a whole"),
        ..band("27 MHz", [26_957, 27_283], anywhere(26_957, 27_283), 10, LIPD)
    },
    Band {
        from_memory: Some("the band as a whole"),
        ..band("40 MHz", [40_660, 41_000], anywhere(40_660, 41_000), 10, LIPD)
    },
    Band {
        from_memory: Some("the band as a whole"),
        ..band("2.4 GHz", [2_400_000, 2_483_500], anywhere(2_400_000, 2_483_500), 0, LIPD)
    },
];

/// The parts that make up the table of a region.
pub(super) fn of(region: Region) -> &'static [&'static [Band]] {
    match region {
        Region::Europe => &[CEPT_27, CEPT_35, CEPT_40, CEPT_UHF],
        Region::Uk => &[UK, CEPT_UHF],
        Region::Us => &[US],
        Region::Switzerland => &[CEPT_27, CEPT_35, CEPT_40, SWISS, CEPT_UHF],
        Region::Germany => &[CEPT_27, CEPT_35, CEPT_40, GERMAN, CEPT_UHF],
        Region::France => &[CEPT_27, CEPT_40, FRENCH, CEPT_UHF],
        Region::Belgium => &[CEPT_27, CEPT_35, BELGIAN, CEPT_UHF],
        Region::Australia => &[AUSTRALIAN],
    }
}
