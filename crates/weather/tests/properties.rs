//! What must hold whatever the weather.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "properties/hours.rs"]
mod hours;
#[path = "properties/season_science.rs"]
mod season_science;

use groundlore_weather::quantile::{QuantileRule, quantile};
use groundlore_weather::{
    Columns, Cutoff, DegreeDays, Element, HeatSums, Mark, Method, Odds, ReadOptions, Series, Station, fill_gaps, read_bytes, read_ghcn_csv,
    read_ghcn_dly, read_plain_csv,
};
use jiff::ToSpan;
use jiff::civil::{Date, date};
use proptest::prelude::*;

fn methods() -> impl Strategy<Value = Method> {
    prop::sample::select(Method::ALL.to_vec())
}

fn cutoffs() -> impl Strategy<Value = Cutoff> {
    prop::sample::select(Cutoff::ALL.to_vec())
}

/// Minima and maxima of days in a row; some minima above their maximum, some missing.
fn weather() -> impl Strategy<Value = (Vec<f64>, Vec<f64>)> {
    let day = (-20.0..30.0f64, -3.0..18.0f64, 0..20u8);
    prop::collection::vec(day, 1..200).prop_map(|days| {
        let low = days.iter().map(|(low, _, luck)| if *luck == 0 { f64::NAN } else { *low }).collect();
        let high = days.iter().map(|(low, range, luck)| if *luck == 1 { f64::NAN } else { low + range }).collect();
        (low, high)
    })
}

/// The integral of the definition by 4,000 midpoints, as a check that shares no formula with the code.
fn by_midpoints(model: &DegreeDays, min: f64, max: f64, next: f64) -> f64 {
    let double = model.method.uses_next_minimum();
    let sine = matches!(model.method, Method::SingleSine | Method::DoubleSine);
    let steps = 4000;
    let moment = |step: usize| {
        let t = (step as f64 + 0.5) / steps as f64;
        let foot = if t > 0.5 && double { next } else { min };
        let rise = if sine { 0.5 - 0.5 * (std::f64::consts::TAU * t).cos() } else { 1.0 - (2.0 * t - 1.0).abs() };
        let warmth = foot + (max - foot) * rise;
        let upper = model.upper.unwrap_or(f64::INFINITY);
        let plain = (warmth - model.lower).max(0.0);
        match model.cutoff {
            Cutoff::Horizontal => plain.min(upper - model.lower),
            Cutoff::Intermediate if warmth > upper => (upper - model.lower) - (warmth - upper),
            Cutoff::Vertical if warmth > upper => 0.0,
            _ => plain,
        }
    };
    (0..steps).map(moment).sum::<f64>() / steps as f64
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn closed_forms_equal_the_integral_of_their_definition(
        method in prop::sample::select(vec![Method::SingleSine, Method::DoubleSine, Method::SingleTriangle, Method::DoubleTriangle]),
        cutoff in cutoffs(), min in -10.0..40.0f64, range in 0.0..25.0f64, drift in -20.0..25.0f64, lower in -5.0..30.0f64, width in 1.0..25.0f64,
    ) {
        let model = DegreeDays::new(method, lower, Some(lower + width), cutoff).unwrap();
        let (max, next) = (min + range, min + drift);
        let expected = by_midpoints(&model, min, max, next);
        // A vertical cutoff jumps by `width` at its crossings, each at most one step out.
        prop_assert!((model.day(min, max, next) - expected).abs() < 0.01 + 4.0 * width / 4000.0);
    }

    #[test]
    fn a_higher_base_gives_no_more_heat(method in methods(), min in -10.0..40.0f64, range in 0.0..25.0f64, drift in -9.0..9.0f64, base in -5.0..30.0f64, step in 0.0..9.0f64) {
        let heat = |lower: f64| DegreeDays::new(method, lower, None, Cutoff::None).unwrap().day(min, min + range, min + drift);
        prop_assert!(heat(base + step) <= heat(base) + 1e-9);
        prop_assert!(heat(base) >= 0.0);
    }

    #[test]
    fn cutoffs_take_away_in_their_order(method in methods(), min in -10.0..40.0f64, range in 0.0..25.0f64, lower in -5.0..30.0f64, width in 0.5..25.0f64) {
        let heat = |cutoff| DegreeDays::new(method, lower, Some(lower + width), cutoff).unwrap().day(min, min + range, min);
        prop_assert!(heat(Cutoff::Horizontal) <= heat(Cutoff::None) + 1e-9);
        prop_assert!(heat(Cutoff::Intermediate) <= heat(Cutoff::Horizontal) + 1e-9);
        prop_assert!(heat(Cutoff::Vertical) <= heat(Cutoff::Horizontal) + 1e-9);
        prop_assert!(heat(Cutoff::Vertical) >= -1e-9);
    }

    #[test]
    fn courses_lie_between_the_average_and_half_the_warm_part(min in -10.0..40.0f64, range in 0.0..25.0f64, lower in -5.0..40.0f64) {
        let heat = |method| DegreeDays::new(method, lower, None, Cutoff::None).unwrap().day(min, min + range, min);
        let (average, sine, triangle) = (heat(Method::Average), heat(Method::SingleSine), heat(Method::SingleTriangle));
        prop_assert!(sine >= average - 1e-9 && triangle >= average - 1e-9);
        prop_assert!(sine <= heat(Method::ModifiedAverage) + 1e-9 && triangle <= heat(Method::ModifiedAverage) + 1e-9);
    }

    #[test]
    fn degree_days_are_free_of_scale(method in methods(), cutoff in cutoffs(), min in -10.0..40.0f64, range in 0.0..25.0f64, drift in -9.0..9.0f64, lower in -5.0..30.0f64) {
        let fahrenheit = |celsius: f64| celsius * 1.8 + 32.0;
        let warm = DegreeDays::new(method, fahrenheit(lower), Some(fahrenheit(lower + 15.0)), cutoff).unwrap();
        let in_f = warm.day(fahrenheit(min), fahrenheit(min + range), fahrenheit(min + drift));
        let in_c = warm.fahrenheit_to_celsius().day(min, min + range, min + drift);
        prop_assert!((in_f / 1.8 - in_c).abs() < 1e-8);
    }

    #[test]
    fn a_double_method_with_an_equal_next_night_is_the_single_one(cutoff in cutoffs(), min in -10.0..40.0f64, range in 0.0..25.0f64, lower in -5.0..30.0f64) {
        for (single, double) in [(Method::SingleSine, Method::DoubleSine), (Method::SingleTriangle, Method::DoubleTriangle)] {
            let heat = |method| DegreeDays::new(method, lower, Some(lower + 12.0), cutoff).unwrap().day(min, min + range, min);
            prop_assert!((heat(single) - heat(double)).abs() < 1e-12);
        }
    }

    #[test]
    fn sums_by_prefix_equal_sums_by_loop(method in methods(), cutoff in cutoffs(), (low, high) in weather(), from in 0usize..200, to in 0usize..200, total in -5.0..300.0f64) {
        let model = DegreeDays::new(method, 4.0, Some(18.0), cutoff).unwrap();
        let first = date(2015, 2, 20);
        let sums = HeatSums::over_columns(first, &low, &high, model);
        let (from, to) = (from % low.len(), to % low.len());
        let day = |index: usize| model.day(low[index], high[index], low.get(index + 1).copied().unwrap_or(f64::NAN));
        let known = |index: usize| Some(day(index)).filter(|heat| !heat.is_nan());
        let on = |index: usize| first.checked_add(i64::try_from(index).unwrap().days()).unwrap();
        match sums.sum(on(from), on(to)) {
            Some(sum) => {
                prop_assert!((sum.total - (from..=to).filter_map(known).sum::<f64>()).abs() < 1e-8);
                prop_assert_eq!(sum.missing_days as usize, (from..=to).filter(|index| known(*index).is_none()).count());
            }
            None => prop_assert!(to < from),
        }
        let mut heat = 0.0;
        let reached = (from..low.len()).find(|index| {
            heat += known(*index).unwrap_or(0.0);
            heat >= total - 1e-9 * total.abs().max(1.0)
        });
        prop_assert_eq!(sums.first_day_reaching(on(from), total), reached.map(on));
        prop_assert_eq!(sums.first_day_reaching(on(low.len()), total), None);
    }

    #[test]
    fn later_totals_come_later((low, high) in weather(), total in 0.0..200.0f64, more in 0.0..100.0f64) {
        let sums = HeatSums::over_columns(date(2015, 2, 20), &low, &high, DegreeDays::new(Method::SingleSine, 4.0, None, Cutoff::None).unwrap());
        let reach = |total| sums.first_day_reaching(date(2015, 2, 20), total).unwrap_or(Date::MAX);
        prop_assert!(reach(total) <= reach(total + more));
    }

    #[test]
    fn shuffled_lines_give_the_same_series(days in prop::collection::btree_map(0..900i32, (-20..15i32, 0..20i32, 0..400i32), 1..60), seed in any::<u64>()) {
        let line = |(day, (low, range, rain)): (&i32, &(i32, i32, i32))| {
            format!("{},{low},{},{}\n", date(2014, 1, 1).checked_add(i64::from(*day).days()).unwrap(), low + range, f64::from(*rain) / 10.0)
        };
        let sorted: Vec<String> = days.iter().map(line).collect();
        let mut shuffled = sorted.clone();
        let mut state = seed | 1;
        for place in (1..shuffled.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            shuffled.swap(place, (state >> 33) as usize % (place + 1));
        }
        let read = |lines: &[String]| {
            let text = format!("date,tmin_c,tmax_c,prcp_mm\n{}", lines.concat());
            read_plain_csv(&text, "a.csv", &ReadOptions::default()).unwrap().series
        };
        let (one, other) = (read(&sorted), read(&shuffled));
        prop_assert_eq!(one.first_day(), other.first_day());
        for element in Element::ALL {
            prop_assert_eq!(one.marks(element), other.marks(element));
            let bits = |series: &Series| series.column(element).iter().map(|value| value.to_bits()).collect::<Vec<_>>();
            prop_assert_eq!(bits(&one), bits(&other));
        }
    }

    #[test]
    fn filling_leaves_what_is_known_and_leaves_no_gap_where_anything_is_known((low, high) in weather()) {
        let columns = Columns { tmin_c: low.clone(), tmax_c: high.clone(), ..Columns::default() };
        let series = Series::from_columns(Station::default(), date(2015, 2, 20), columns).unwrap();
        let filled = fill_gaps(&series).series;
        for (element, known) in [(Element::MinimumTemperature, &low), (Element::MaximumTemperature, &high)] {
            for (index, value) in known.iter().enumerate() {
                let now = filled.column(element)[index];
                match filled.marks(element)[index] {
                    Mark::Filled { .. } => prop_assert!(value.is_nan() && !now.is_nan()),
                    Mark::Missing => prop_assert!(known.iter().all(|value| value.is_nan())),
                    _ => prop_assert_eq!(now.to_bits(), value.to_bits()),
                }
            }
        }
    }

    #[test]
    fn chances_rise_with_the_date_and_quantiles_keep_their_order(days in prop::collection::vec(prop::option::of(0..365i64), 1..60), asked in 0..365i64) {
        let on = |day: i64| date(2015, 1, 1).checked_add(day.days()).unwrap();
        let dates: Vec<Option<Date>> = days.iter().map(|day| day.map(on)).collect();
        let odds = Odds::from_dates(&dates, on(100));
        prop_assert!(odds.chance_before(on(asked)) <= odds.chance_by(on(asked)));
        prop_assert!((odds.chance_by(on(asked)) + odds.chance_after(on(asked)) + odds.never - 1.0).abs() < 1e-12);
        let late = |date: Option<Date>| date.unwrap_or(Date::MAX);
        prop_assert!(late(odds.p10) <= late(odds.p50) && late(odds.p50) <= late(odds.p90));
        let last = Odds::from_last_dates(&dates, on(100));
        prop_assert!(last.p10.unwrap_or(Date::MIN) <= last.p50.unwrap_or(Date::MIN) && last.p50.unwrap_or(Date::MIN) <= last.p90.unwrap_or(Date::MIN));
        if dates.iter().all(Option::is_some) {
            let mut numbers: Vec<f64> = days.iter().flatten().map(|day| *day as f64).collect();
            numbers.sort_by(f64::total_cmp);
            let middle = quantile(&numbers, 0.5, QuantileRule::Linear).unwrap();
            prop_assert_eq!(odds.p50, Some(on((middle + 0.5).floor() as i64)));
        }
    }

    #[test]
    fn no_text_makes_a_reader_panic(text in "(?s)[ -~\n\r\"°\u{0}]{0,300}", bytes in prop::collection::vec(any::<u8>(), 0..300), skip_bad in any::<bool>()) {
        let options = ReadOptions { skip_bad, ..ReadOptions::default() };
        let _ = read_bytes(&bytes, "a", &options);
        for reader in [read_plain_csv, read_ghcn_csv, read_ghcn_dly] {
            if let Err(error) = reader(&text, "a", &options) {
                prop_assert!(!error.to_string().is_empty());
            }
        }
    }

    #[test]
    fn no_damage_to_a_good_file_makes_a_reader_panic(cut in 0usize..3000, place in 0usize..3000, put in any::<char>(), skip_bad in any::<bool>()) {
        let options = ReadOptions { skip_bad, ..ReadOptions::default() };
        for good in [include_str!("data/flagged.csv"), include_str!("data/flagged.dly")] {
            let mut letters: Vec<char> = good.chars().collect();
            let place = place % letters.len();
            letters[place] = put;
            letters.truncate(letters.len() - cut % letters.len());
            let text: String = letters.into_iter().collect();
            let _ = groundlore_weather::read_text(&text, "a", &options);
            let _ = read_ghcn_csv(&text, "a", &options);
            let _ = read_ghcn_dly(&text, "a", &options);
        }
    }
}
