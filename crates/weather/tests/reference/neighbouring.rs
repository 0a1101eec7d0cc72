//! Several stations, gaps from neighbours, a place's own shift: on made stations whose truth is known.

use groundlore_weather::neighbours::{FlagReason, NeighbourLimits, look_over};
use groundlore_weather::series::FillMethod;
use groundlore_weather::stations::{
    NeighbourRules, OwnShift, Place, ShiftPrior, StationsError, WeightRules, combine, fill_from_neighbours, weights,
};
use groundlore_weather::{Columns, Element, Mark, Series, Station};
use jiff::civil::date;

use super::{milwaukee, near};

/// Whole chances between −1 and 1, without a seed to forget.
fn chance(day: usize, stream: usize) -> f64 {
    let mixed = (day as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add((stream as u64 + 1).wrapping_mul(0xBF58_476D_1CE4_E5B9));
    let mixed = (mixed ^ (mixed >> 31)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((mixed ^ (mixed >> 29)) >> 11) as f64 / (1u64 << 52) as f64 - 1.0
}

fn station(id: &str, latitude: f64, elevation_m: f64) -> Station {
    Station { id: id.to_owned(), latitude: Some(latitude), longitude: Some(-89.0), elevation_m: Some(elevation_m), ..Station::default() }
}

/// A made station beside the record of Milwaukee: its temperatures moved and blurred.
fn beside(id: &str, (latitude, elevation_m): (f64, f64), shift_k: (f64, f64), blur_k: f64, stream: usize) -> Series {
    let record = milwaukee();
    let moved = |values: &[f64], shift: f64, stream: usize| -> Vec<f64> {
        values.iter().enumerate().map(|(day, value)| value + shift + blur_k * 1.7 * chance(day, stream)).collect()
    };
    let columns = Columns {
        tmin_c: moved(record.tmin_c(), shift_k.0, stream),
        tmax_c: moved(record.tmax_c(), shift_k.1, stream + 1),
        prcp_mm: record.prcp_mm().iter().enumerate().map(|(day, rain)| rain * (1.2 + 0.5 * chance(day, stream + 2))).collect(),
        ..Columns::default()
    };
    Series::from_columns(station(id, latitude, elevation_m), record.first_day(), columns).unwrap()
}

#[test]
fn weights_sum_to_one_and_fall_with_distance_and_height() {
    let place = Place { latitude_deg: 43.0, longitude_deg: -89.0, elevation_m: Some(300.0) };
    let all = [station("near", 43.1, 300.0), station("far", 43.6, 300.0), station("high", 43.1, 900.0), station("pole", -90.0, 2800.0)];
    let found = weights(&place, &all.iter().collect::<Vec<_>>(), &WeightRules::default()).unwrap();
    near("sum", found.iter().map(|station| station.weight).sum(), 1.0, 1e-12);
    assert!(found[0].weight > found[1].weight && found[0].weight > found[2].weight && found[3].weight < 1e-9);
    // Alone on the other side of the earth a station still counts 1.
    let alone = weights(&place, &[&all[3]], &WeightRules::default()).unwrap();
    near("alone", alone[0].weight, 1.0, 1e-12);
    // By hand: at one length of distance, exp(−½) of one on the spot.
    let here = station("here", 43.0, 300.0);
    let length = groundlore_weather::stations::distance_km((43.0, -89.0), (43.1, -89.0));
    let pair = weights(&place, &[&here, &all[0]], &WeightRules { distance_km: length, ..WeightRules::default() }).unwrap();
    near("by hand", pair[1].weight / pair[0].weight, (-0.5f64).exp(), 1e-12);
}

#[test]
fn figures_that_cannot_be_used_are_refused() {
    let place = Place { latitude_deg: 43.0, longitude_deg: -89.0, elevation_m: None };
    let rules = WeightRules::default();
    assert_eq!(weights(&place, &[], &rules), Err(StationsError::NoStation));
    assert!(matches!(weights(&place, &[&Station::default()], &rules), Err(StationsError::NoPlace { .. })));
    let lost = Place { latitude_deg: 430.0, ..place };
    assert!(matches!(weights(&lost, &[&station("a", 43.0, 1.0)], &rules), Err(StationsError::BadNumber { what: "latitude", .. })));
    let nothing = WeightRules { distance_km: f64::NAN, ..rules };
    assert!(matches!(weights(&place, &[&station("a", 43.0, 1.0)], &nothing), Err(StationsError::BadNumber { .. })));
}

#[test]
fn a_station_on_the_spot_is_given_back_and_height_takes_its_lapse() {
    let here = beside("here", (43.0, 300.0), (0.0, 0.0), 0.0, 1);
    let place = Place { latitude_deg: 43.0, longitude_deg: -89.0, elevation_m: Some(400.0) };
    let combined = combine(&place, &[&here], &WeightRules::default()).unwrap();
    let day = date(1980, 7, 4);
    let low = Element::MinimumTemperature;
    near("lapse", combined.series.value(low, day).unwrap(), here.value(low, day).unwrap() - 0.65, 1e-9);
    assert_eq!(combined.series.mark(low, day), Mark::Filled { how: FillMethod::Combined });
}

#[test]
fn a_station_that_falls_silent_makes_no_step() {
    let (cold, warm) = (beside("cold", (43.1, 300.0), (-4.0, -4.0), 0.3, 1), beside("warm", (42.9, 300.0), (4.0, 4.0), 0.3, 5));
    let cut = warm.between(warm.first_day(), date(1989, 12, 31)).unwrap();
    let place = Place { latitude_deg: 43.0, longitude_deg: -89.0, elevation_m: Some(300.0) };
    let whole = combine(&place, &[&cold, &warm], &WeightRules::default()).unwrap().series;
    let silent = combine(&place, &[&cold, &cut], &WeightRules::default()).unwrap().series;
    let from = silent.index(date(1990, 1, 1)).unwrap();
    let off: Vec<f64> = (from..silent.len()).map(|day| silent.tmax_c()[day] - whole.tmax_c()[day]).filter(|off| !off.is_nan()).collect();
    // Without the normals the step would be 4 K.
    near("step", off.iter().sum::<f64>() / off.len() as f64, 0.0, 0.5);
}

#[test]
fn filling_from_neighbours_errs_less_than_the_normal_of_the_day() {
    let ours = beside("ours", (43.0, 300.0), (-1.0, 0.5), 1.0, 11).between(date(1980, 1, 1), date(1984, 12, 31)).unwrap();
    let (one, two) = (beside("one", (43.2, 250.0), (2.0, 1.0), 1.0, 21), beside("two", (42.8, 350.0), (0.0, -1.0), 2.0, 31));
    let filled = fill_from_neighbours(&ours, &[&one, &two], &NeighbourRules::default());
    assert_eq!(filled.errors.len(), 3);
    for error in &filled.errors {
        eprintln!("{error:?}");
        assert!(error.root_mean_square < 0.6 * error.climatology_root_mean_square, "{error:?}");
    }
    assert!(filled.errors.iter().filter(|error| error.element.is_temperature()).all(|error| error.mean_error.abs() < 0.2));
}

#[test]
fn a_hole_is_filled_near_its_truth_and_marked() {
    let whole = beside("ours", (43.0, 300.0), (-1.0, 0.5), 0.5, 11).between(date(1980, 1, 1), date(1984, 12, 31)).unwrap();
    let mut columns = Columns { tmin_c: whole.tmin_c().to_vec(), tmax_c: whole.tmax_c().to_vec(), ..Columns::default() };
    let hole = 800..860;
    columns.tmin_c[hole.clone()].fill(f64::NAN);
    let broken = Series::from_columns(whole.station.clone(), whole.first_day(), columns).unwrap();
    let one = beside("one", (43.2, 250.0), (2.0, 1.0), 0.5, 21);
    let filled = fill_from_neighbours(&broken, &[&one], &NeighbourRules::default());
    assert!(filled.filled.contains(&(Element::MinimumTemperature, 60)));
    let squares: f64 = hole.clone().map(|day| (filled.series.tmin_c()[day] - whole.tmin_c()[day]).powi(2)).sum();
    assert!((squares / 60.0).sqrt() < 1.5, "{}", (squares / 60.0).sqrt());
    assert_eq!(filled.series.marks(Element::MinimumTemperature)[801], Mark::Filled { how: FillMethod::Neighbours });
    assert_eq!(broken.marks(Element::MinimumTemperature)[801], Mark::Missing);
}

#[test]
fn a_cold_hollow_of_one_and_a_half_kelvin_is_learned_from_its_own_readings() {
    let reference = milwaukee();
    let hollow = beside("yard", (43.0, 300.0), (-1.5, 0.0), 1.5, 41);
    let season = hollow.between(date(1985, 4, 1), date(1985, 9, 30)).unwrap();
    let shift = OwnShift::learn(&season, &reference, &ShiftPrior::default());
    near("minimum", shift.minimum.mean_k, -1.5, 2.0 * shift.minimum.sd_k + 0.05);
    near("minimum", shift.minimum.mean_k, -1.5, 0.35);
    near("maximum", shift.maximum.mean_k, 0.0, 2.0 * shift.maximum.sd_k + 0.05);
    assert!(shift.minimum.sd_k < 0.3);
    // A week says less, and is drawn further towards nothing.
    let week = OwnShift::learn(&hollow.between(date(1985, 4, 1), date(1985, 4, 7)).unwrap(), &reference, &ShiftPrior::default());
    assert!(week.minimum.sd_k > 2.0 * shift.minimum.sd_k && week.minimum.mean_k.abs() < week.minimum.raw_k.abs());
    let none = OwnShift::learn(
        &hollow.between(date(1985, 4, 1), date(1985, 4, 1)).unwrap(),
        &reference.between(date(1990, 1, 1), date(1990, 2, 1)).unwrap(),
        &ShiftPrior::default(),
    );
    assert_eq!((none.minimum.mean_k, none.minimum.sd_k, none.minimum.days), (0.0, 1.5, 0));
    let applied = shift.applied(&reference);
    let day = date(1990, 5, 1);
    let low = Element::MinimumTemperature;
    near("applied", applied.value(low, day).unwrap(), reference.value(low, day).unwrap() + shift.minimum.mean_k, 1e-9);
}

#[test]
fn planted_faults_are_flagged_and_no_value_is_changed() {
    let ours = beside("ours", (43.0, 300.0), (-1.0, 0.5), 1.0, 11).between(date(1980, 1, 1), date(1989, 12, 31)).unwrap();
    let mut columns =
        Columns { tmin_c: ours.tmin_c().to_vec(), tmax_c: ours.tmax_c().to_vec(), prcp_mm: ours.prcp_mm().to_vec(), ..Columns::default() };
    columns.tmax_c[500] += 15.0;
    columns.tmax_c[900] = 80.0;
    columns.tmin_c[1200..1225].fill(3.3);
    columns.prcp_mm[700] = 900.0;
    let spoilt = Series::from_columns(ours.station.clone(), ours.first_day(), columns).unwrap();
    let one = beside("one", (43.2, 250.0), (2.0, 1.0), 1.0, 21);
    let flags = look_over(&spoilt, &[&one], &NeighbourLimits::default());
    let has = |element, day: usize, reason| {
        flags.iter().any(|flag| flag.element == element && flag.date == spoilt.date(day) && flag.reason == reason)
    };
    assert!(has(Element::MaximumTemperature, 500, FlagReason::Neighbours), "{flags:?}");
    assert!(has(Element::MaximumTemperature, 900, FlagReason::ClimatologicalOutlier), "{flags:?}");
    assert!(has(Element::MinimumTemperature, 1210, FlagReason::Streak));
    assert!(has(Element::Precipitation, 700, FlagReason::ClimatologicalOutlier));
    assert_eq!(flags.len(), 25 + 3, "{:?}", flags.iter().filter(|flag| flag.reason != FlagReason::Streak).collect::<Vec<_>>());
    assert!(flags.iter().all(|flag| spoilt.value(flag.element, flag.date) == Some(flag.value)));
}

#[test]
fn a_good_record_is_flagged_on_few_days() {
    let record = milwaukee();
    let flags = look_over(&record, &[], &NeighbourLimits::default());
    eprintln!("{:?}", flags);
    assert!(flags.len() <= 5, "{}", flags.len());
}

#[test]
fn a_month_given_twice_and_a_blank_typed_as_nought_are_flagged() {
    let ours = beside("ours", (43.0, 300.0), (0.0, 0.0), 1.0, 11).between(date(1980, 1, 1), date(1984, 12, 31)).unwrap();
    let mut columns =
        Columns { tmin_c: ours.tmin_c().to_vec(), tmax_c: ours.tmax_c().to_vec(), prcp_mm: ours.prcp_mm().to_vec(), ..Columns::default() };
    let (from, to) = (ours.index(date(1981, 6, 1)).unwrap(), ours.index(date(1983, 6, 1)).unwrap());
    columns.tmax_c.copy_within(from..from + 30, to);
    let blank = ours.index(date(1982, 4, 9)).unwrap();
    (columns.tmin_c[blank], columns.tmax_c[blank]) = (0.0, 0.0);
    let spoilt = Series::from_columns(ours.station.clone(), ours.first_day(), columns).unwrap();
    let flags = look_over(&spoilt, &[], &NeighbourLimits::default());
    let count = |reason| flags.iter().filter(|flag| flag.reason == reason).count();
    assert_eq!((count(FlagReason::DoubledMonth), count(FlagReason::Nought), flags.len()), (60, 2, 62), "{flags:?}");
    assert!(flags.iter().any(|flag| flag.date == date(1983, 6, 7) && flag.text.contains("1981-06")));
}
