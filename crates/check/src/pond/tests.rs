use super::*;

fn boat(name: &str, region: Option<Region>, khz: i64) -> Boat {
    let hertz = khz * 1000;
    Boat {
        file: format!("{name}.yaml"),
        name: name.to_owned(),
        region,
        hertz: Some(hertz),
        spacing: band(region, hertz).map_or(Some(USUAL_SPACING), |b| b.spacing),
        flies_perhaps: false,
    }
}

fn on(all: &[i64]) -> Pond {
    pond(all.iter().map(|f| boat(&f.to_string(), None, *f)).collect()).unwrap()
}

fn kinds(pond: &Pond) -> Vec<Kind> {
    pond.conflicts.iter().map(|c| c.kind).collect()
}

fn sums_on(pond: &Pond, hertz: i64) -> Vec<String> {
    let hit = pond.conflicts.iter().filter(|c| c.kind == Kind::Intermodulation);
    hit.filter(|c| pond.boats[c.boats[0]].hertz == Some(hertz)).flat_map(|c| c.sums.clone()).collect()
}

/// The example known in the trade: 41.060 and 41.100 MHz come up on 41.020 and on 41.140.
#[test]
fn two_transmitters_mix_onto_either_side() {
    assert!(on(&[41_060, 41_100]).conflicts.is_empty());
    for (victim, sum) in [(41_020, "2 x 41.060 - 41.100 MHz"), (41_140, "2 x 41.100 - 41.060 MHz")] {
        let pond = on(&[41_060, victim, 41_100]);
        assert_eq!(sums_on(&pond, victim * 1000), [sum]);
    }
    assert!(on(&[41_060, 41_100, 41_160]).conflicts.is_empty());
}

/// 40.665 + 40.735 - 40.695 = 40.705; no two of the three come near it: 40.625, 40.635, 40.655, 40.595,
/// 40.725, 40.765, 40.775, 40.805.
#[test]
fn three_transmitters_mix_too() {
    let pond = on(&[40_665, 40_695, 40_735, 40_705]);
    assert_eq!(sums_on(&pond, 40_705_000), ["40.665 + 40.735 - 40.695 MHz"]);
}

#[test]
fn half_a_spacing_still_hits_and_more_does_not() {
    // 2 x 41.060 - 41.100 = 41.020; the spacing is 10 kHz.
    let with = |hertz: i64| {
        let mut third = boat("third", None, 0);
        third.hertz = Some(hertz);
        let pond = pond(vec![boat("a", None, 41_060), boat("b", None, 41_100), third]).unwrap();
        sums_on(&pond, hertz).len()
    };
    assert_eq!(with(41_025_000), 1);
    assert_eq!(with(41_025_001), 0);
}

#[test]
fn one_peg_one_boat_and_a_free_one_between() {
    let us = Some(Region::Us);
    let of = |a, b| kinds(&pond(vec![boat("a", us, a), boat("b", us, b)]).unwrap());
    assert_eq!(of(75_410, 75_410), [Kind::SameFrequency]);
    assert_eq!(of(75_410, 75_430), [Kind::AdjacentChannels]);
    assert_eq!(of(75_410, 75_450), []);
    // One and a half spacings of 20 kHz is not nearer than one and a half.
    assert_eq!(of(75_410, 75_440), []);
    assert_eq!(of(72_410, 75_450), [Kind::AircraftBand]);
}

#[test]
fn sets_that_share_their_band_are_in_nobodys_way() {
    for region in [None, Some(Region::Europe), Some(Region::Us)] {
        let all = (0..4).map(|_| boat("a", region, 2_400_000)).collect();
        assert!(pond(all).unwrap().conflicts.is_empty());
    }
}

#[test]
fn boats_stand_by_frequency_and_those_without_one_last() {
    let mut none = boat("none", None, 0);
    none.hertz = None;
    let all = vec![none, boat("b", None, 40_685), boat("a", None, 40_665)];
    let names: Vec<String> = pond(all).unwrap().boats.into_iter().map(|b| b.name).collect();
    assert_eq!(names, ["a", "b", "none"]);
}

#[test]
fn namesakes_are_told_apart_by_their_files() {
    let mut other = boat("Eel", None, 40_665);
    other.file = "other.yaml".to_owned();
    let pond = pond(vec![boat("Eel", None, 40_665), other]).unwrap();
    assert_eq!(pond.conflicts[0].message, "Eel (Eel.yaml) and Eel (other.yaml) are both on 40.665 MHz");
}

#[test]
fn more_frequencies_than_a_pond_has_are_refused() {
    let all = |count: i64| (0..count).map(|k| boat("a", None, 50_000 + 10 * k)).collect::<Vec<_>>();
    assert!(pond(all(MOST as i64)).is_some());
    assert!(pond(all(MOST as i64 + 1)).is_none());
}
