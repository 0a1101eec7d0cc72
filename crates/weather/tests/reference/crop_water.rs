//! Real covers, soil evaporation and the root zone: rows W-14 to W-26 and W-31 of the reference note (FAO-56 examples, pages as there).
use groundlore_weather::evapotranspiration::crop_coefficient::{
    CoefficientCurve, Layer, climate_shift, evaporation_under_mulch, initial_coefficient, mixed_coefficient, open_cover_coefficient,
    tall_to_short_ratio,
};
use groundlore_weather::evapotranspiration::root_zone::{RootZone, easy_share_on_day, stress_of_yield};
use groundlore_weather::evapotranspiration::soil_evaporation::{TopSoil, Wetting, covered_share, greatest_coefficient, wet_open_share};
use groundlore_weather::sun::clear_sky::{IneichenSky, haurwitz, relative_air_mass};

use super::{near, rows};

#[test]
fn coefficients_of_real_covers_come_out_as_printed() {
    let initial = initial_coefficient(0.55, 0.70, 20.0);
    near("W-14", initial, 0.60, 0.005);
    near("W-14 ETc", initial * 5.0, 3.0, 0.05);
    near("W-15", 1.20 + climate_shift(1.3, 75.0, 2.0), 1.07, 0.005);
    let curve = CoefficientCurve { stage_days: [25.0, 25.0, 30.0, 20.0], coefficients: [0.15, 1.19, 0.35] };
    for (day, wanted) in [(20.0, 0.15), (40.0, 0.77), (70.0, 1.19), (95.0, 0.56), (300.0, 0.35)] {
        near("W-16", curve.on(day), wanted, 0.0051);
    }
    near("W-17", tall_to_short_ratio(2.2, 30.0), 1.24, 0.005);
    near("W-23", open_cover_coefficient(1.17, 0.15, 0.5, 0.66, 0.75), 0.95, 0.01);
    let layers = [Layer { share: 0.3, height_m: 2.0, coefficient: 1.20 }, Layer { share: 0.7, height_m: 0.3, coefficient: 0.95 }];
    near("W-25", mixed_coefficient(&layers).unwrap(), 1.14, 0.0051);
    assert_eq!(mixed_coefficient(&[]), None);
    near("W-26", evaporation_under_mulch(0.5), 0.75, 1e-12);
}

#[test]
fn ten_dry_days_of_bare_loam_evaporate_as_printed() {
    let mut soil = TopSoil { total_mm: 20.0, readily_mm: 9.0, lost_mm: 0.0 };
    let lost = [4.73, 9.45, 13.98, 16.57, 18.04, 18.88, 19.36, 19.64, 19.79, 19.88];
    let used = [5.4, 5.4, 5.2, 3.3, 2.1, 1.5, 1.2, 0.9, 0.8, 0.8];
    for (lost, used) in lost.into_iter().zip(used) {
        near("W-18 ETc", soil.dry_day(4.5, 0.15, 1.20, 1.0), used, 0.0501);
        near("W-18 De", soil.lost_mm, lost, 0.01);
    }
}

#[test]
fn cotton_under_sprinkler_and_drip_comes_out_as_printed() {
    let greatest = greatest_coefficient(0.9, 3.0, 20.0, 1.0);
    near("W-19 Kcmax", greatest, 1.30, 0.005);
    let covered = covered_share(0.9, 0.15, greatest, 1.0);
    near("W-19 fc", covered, 0.53, 0.005);
    let wet = TopSoil { total_mm: 20.0, readily_mm: 9.0, lost_mm: 0.0 };
    for (id, wetting, open, evaporation) in [("W-19", Wetting::Over(1.0), 0.47, 0.40), ("W-20", Wetting::UnderCanopy(0.3), 0.19, 0.25)] {
        let share = wet_open_share(covered, wetting);
        near(&format!("{id} few"), share, open, 0.0051);
        near(&format!("{id} Ke"), wet.coefficient(0.9, greatest, share), evaporation, 0.0051);
    }
}

#[test]
fn root_zones_hold_and_lose_water_as_printed() {
    let soils = [(0.15, 0.06), (0.32, 0.15), (0.35, 0.23)];
    let wanted = [(0.4, 0.30, [(36.0, 11.0), (68.0, 20.0), (48.0, 14.0)]), (0.8, 0.40, [(72.0, 29.0), (136.0, 54.0), (96.0, 38.0)])];
    for (depth, share, figures) in wanted {
        for ((capacity, wilting), (total, easy)) in soils.into_iter().zip(figures) {
            let zone = RootZone::new(capacity, wilting, depth, share);
            near("W-21 TAW", zone.total_mm, total, 0.51);
            near("W-21 RAW", zone.easy_mm(), easy, 0.51);
        }
    }
    let zone = RootZone { total_mm: 160.0, easy_share: 0.4 };
    let mut drawn = 55.0;
    for (stress, after) in [(1.0, 61.0), (1.0, 67.0), (0.97, 72.8), (0.91, 78.3), (0.85, 83.4), (0.80, 88.2)] {
        near("W-22 Ks", zone.stress(drawn), stress, 0.0051);
        drawn = zone.drawn_after(drawn, 6.0);
        near("W-22 Dr", drawn, after, 0.06);
    }
    near("W-24", stress_of_yield(1100.0, 1800.0, 1.15), 0.66, 0.005);
    near("W-31", easy_share_on_day(0.5, 7.0), 0.42, 1e-12);
    assert_eq!((easy_share_on_day(0.5, 50.0), easy_share_on_day(0.75, 0.0)), (0.1, 0.8));
    assert_eq!((zone.drawn_after(159.9, 1e9), zone.stress(1e9)), (160.0, 0.0));
}

/// U-08: pvlib 0.16.1 `clearsky.haurwitz`, `clearsky.ineichen` (Linke 3.0), `get_relative_airmass('kastenyoung1989')`.
#[test]
fn clear_skies_are_as_bright_as_by_pvlib() {
    let mut count = 0;
    for row in rows(include_str!("../data/clearsky_irradiance.csv")) {
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        let sky = IneichenSky {
            apparent_zenith_deg: number(4),
            elevation_m: number(2),
            pressure_pa: number(3),
            turbidity: 3.0,
            above_air: number(7),
        };
        let light = sky.light();
        near(&format!("{} air mass", row[0]), relative_air_mass(number(4)).unwrap(), number(5), 1e-3);
        near(&format!("{} Haurwitz", row[0]), haurwitz(number(4)), number(8), 0.01);
        near(&format!("{} global", row[0]), light.global, number(9), 0.01);
        near(&format!("{} direct", row[0]), light.direct, number(10), 0.01);
        near(&format!("{} diffuse", row[0]), light.diffuse, number(11), 0.01);
        count += 1;
    }
    assert_eq!(count, 38);
    assert_eq!((haurwitz(95.0), relative_air_mass(91.0)), (0.0, None));
}
