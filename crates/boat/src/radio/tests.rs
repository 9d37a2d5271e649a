use super::*;

fn khz(khz: i64) -> i64 {
    khz * 1000
}

fn is_channel(region: Region, kilohertz: i64) -> bool {
    region.bands().any(|b| b.has(khz(kilohertz)))
}

/// 47 CFR 95.763(c): thirty channels for surface craft, 75.41 + 0.02 k MHz. Their numbers 61 to 90
/// are from memory.
#[test]
fn us_surface_craft_have_thirty_channels_at_75_mhz() {
    for k in 0..30 {
        let f = khz(75_410 + 20 * k);
        let band = Region::Us.band_at(f).unwrap();
        assert!(band.has(f), "{}", shown(f));
        assert_eq!((band.usage, band.number(f)), (Use::SurfaceOnly, Some(61 + k)));
    }
    let count = (75_000..77_000).filter(|f| is_channel(Region::Us, *f)).count();
    assert_eq!(count, 30);
    for none in [75_400, 75_420, 76_010] {
        assert!(!is_channel(Region::Us, none), "{none}");
    }
}

/// 47 CFR 95.763(b) and 95.731: fifty channels 72.01 to 72.99 MHz, for aircraft only.
#[test]
fn us_aircraft_have_fifty_channels_at_72_mhz_and_boats_none() {
    let count = (72_000..=73_000).filter(|f| is_channel(Region::Us, *f)).count();
    assert_eq!(count, 50);
    assert!((72_000..=73_000).all(|f| Region::Us.band_at(khz(f)).unwrap().usage == Use::AirOnly));
    let [below, above] = Region::Us.nearest_for_boats(khz(72_310));
    assert_eq!((below.unwrap().0, above.unwrap().0), (khz(49_890), khz(75_410)));
}

/// ERC/DEC/(01)12: 40.665, 40.675, 40.685 and 40.695 MHz, for models in the air, on land, over or
/// under the water.
#[test]
fn europe_has_four_channels_at_40_mhz() {
    let found: Vec<i64> = (40_000..42_000).filter(|f| is_channel(Region::Europe, *f)).collect();
    assert_eq!(found, [40_665, 40_675, 40_685, 40_695]);
    assert_eq!(Region::Europe.band_at(khz(40_665)).unwrap().usage, Use::Any);
    let [below, above] = Region::Europe.nearest_for_boats(khz(40_670));
    assert_eq!((below.unwrap().0, above.unwrap().0), (khz(40_665), khz(40_675)));
}

/// ERC/DEC/(01)10 as cited by the Swiss RIR1007-01: five channels at 27 MHz.
#[test]
fn europe_has_five_channels_at_27_mhz() {
    let found: Vec<i64> = (26_000..28_000).filter(|f| is_channel(Region::Europe, *f)).collect();
    assert_eq!(found, [26_995, 27_045, 27_095, 27_145, 27_195]);
}

/// Ofcom OfW 311: 34.945 to 35.305 MHz for aircraft only, 40.66 to 41.00 MHz for surface models. The
/// club lists number 34.950 as 55 and 35.300 as 90; the 34 centres at 40 MHz are from memory.
#[test]
fn the_uk_keeps_35_mhz_for_aircraft_and_40_for_surface_models() {
    let air = Region::Uk.band_at(khz(34_950)).unwrap();
    assert_eq!(
        (air.usage, air.number(khz(34_950)), air.number(khz(35_300))),
        (Use::AirOnly, Some(55), Some(90))
    );
    assert_eq!(Region::Uk.band_at(khz(34_945)).unwrap().usage, Use::AirOnly);
    assert!(Region::Uk.band_at(khz(34_940)).is_none());
    let found: Vec<i64> = (40_000..42_000).filter(|f| is_channel(Region::Uk, *f)).collect();
    assert_eq!((found.len(), found[0], found[33]), (34, 40_665, 40_995));
}

/// OFCOM (CH): four channels for any model, eighteen further for land and water; the single centres
/// are from memory.
#[test]
fn switzerland_has_eighteen_further_channels() {
    let further: Vec<i64> = (40_700..42_000).filter(|f| is_channel(Region::Switzerland, *f)).collect();
    assert_eq!((further.len(), further[0], further[17]), (18, 40_715, 40_985));
    assert_eq!(Region::Switzerland.band_at(khz(40_715)).unwrap().usage, Use::SurfaceOnly);
}

#[test]
fn every_table_is_sound() {
    for (word, region) in REGIONS {
        assert_eq!(region.word(), *word);
        for band in region.bands() {
            assert!(band.edges[0] < band.edges[1] && !band.source.is_empty(), "{word} {}", band.name);
            let ends = match band.spots {
                Spots::List(list) => {
                    assert!(list.is_sorted());
                    [list[0], list[list.len() - 1]]
                }
                Spots::Steps { first, step, count } => [first, first + step * (count - 1)],
                Spots::Anywhere(low, high) => [low, high],
            };
            assert!(band.edges[0] <= ends[0] && ends[1] <= band.edges[1], "{word} {}", band.name);
            // No aircraft band may swallow a channel that a boat may use.
            let clash = region.bands().any(|o| {
                (o.usage == Use::AirOnly) != (band.usage == Use::AirOnly)
                    && o.edges[0] <= band.edges[1]
                    && band.edges[0] <= o.edges[1]
            });
            assert!(!clash, "{word} {}", band.name);
        }
    }
}

#[test]
fn frequencies_are_shown_as_they_are_written() {
    for (hertz, text) in [
        (40_665_000, "40.665 MHz"),
        (40_000_000, "40.000 MHz"),
        (40_665_500, "40.6655 MHz"),
        (2_400_000_000, "2.4 GHz"),
        (2_483_500_000, "2.4835 GHz"),
        (458_512_500, "458.5125 MHz"),
    ] {
        assert_eq!(shown(hertz), text);
    }
}

#[test]
fn water_shuts_out_the_high_bands_and_the_sea_all() {
    for low in [26_995, 40_665, 75_410] {
        assert!(!water::is_shut_out(khz(low), false));
        assert!(water::is_shut_out(khz(low), true));
    }
    for high in [433_920, 868_300, 2_400_000] {
        assert!(water::is_shut_out(khz(high), false));
    }
}
