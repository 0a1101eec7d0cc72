//! Soil temperature under turf from the season's air, for clocks that are set by the soil.
//!
//! A column of moist loam under turf is warmed through by each day's air ([`SoilColumn`]), begun from the annual wave of the same year half
//! a year before the season. Snow, shade, wet and bare ground are not in it, so a clock by soil carries [`ERROR_DAYS`] more.

use super::outlook::Course;
use groundlore_weather::soil_temperature::{AnnualWave, Cover, SIDE_BY_SIDE, SoilColumn, SoilColumns, SoilHeat};

/// Days by which a soil reckoned from the air may miss a date, either way for eight in ten: the column is good to about 2.5 °C, and soil
/// warms and cools by about a quarter of a degree a day in spring and autumn (memory).
pub(super) const ERROR_DAYS: f64 = 10.0;

/// Depths that are kept, m.
const DEPTHS_M: [f64; 8] = [0.0, 0.02, 0.05, 0.08, 0.12, 0.16, 0.2, 0.3];
/// Days of air that the annual wave is taken from.
const YEAR: usize = 365;

/// Soil temperatures of one future, °C, by day and kept depth; NaN where the air is not known.
#[derive(Debug, Clone)]
pub(super) struct Profile(Vec<[f64; DEPTHS_M.len()]>);

impl Profile {
    /// The temperature of each day at a depth (m), by a straight line between kept depths; the lowest below them.
    pub(super) fn at(&self, depth_m: f64) -> Vec<f64> {
        let lower = DEPTHS_M.iter().position(|kept| *kept >= depth_m).unwrap_or(DEPTHS_M.len() - 1);
        let upper = lower.saturating_sub(1);
        let gap = DEPTHS_M[lower] - DEPTHS_M[upper];
        let share = if gap > 0.0 { ((depth_m - DEPTHS_M[upper]) / gap).clamp(0.0, 1.0) } else { 0.0 };
        self.0.iter().map(|day| day[upper] + share * (day[lower] - day[upper])).collect()
    }
}

/// The soil of every future. The first `known` days are the same in all of them and are reckoned once.
pub(super) fn profiles(courses: &[Course], known: usize) -> Vec<Profile> {
    let Some(first) = courses.first() else { return Vec::new() };
    let known = known.min(first.tmin_c.len());
    let mut column = begun(first);
    let past: Vec<_> = (0..known).map(|place| after(&mut column, first.mean_c(place))).collect();
    courses.chunks(SIDE_BY_SIDE).flat_map(|some| side_by_side(&column, &past, some)).collect()
}

/// The soil of a few futures from the known days on, all at once.
fn side_by_side(column: &SoilColumn, past: &[[f64; DEPTHS_M.len()]], courses: &[Course]) -> Vec<Profile> {
    let length = |course: &Course| course.tmin_c.len();
    let longest = courses.iter().map(length).max().unwrap_or(0).max(past.len());
    // Where there are fewer futures than columns the last ones run idle; past its end a future has no air.
    let air = |place: usize| {
        std::array::from_fn(|lane| {
            courses.get(lane).filter(|course| place < length(course)).map_or(f64::NAN, |course| course.mean_c(place))
        })
    };
    let airs: Vec<[f64; SIDE_BY_SIDE]> = (past.len()..longest).map(air).collect();
    let soil = SoilColumns::of(column).days(&airs, &DEPTHS_M);
    let profile = |(lane, course): (usize, &Course)| {
        let mut days = past.to_vec();
        let known = soil.chunks_exact(DEPTHS_M.len()).zip(&airs).take(length(course).saturating_sub(past.len()));
        days.extend(known.map(|(soil, air)| std::array::from_fn(|depth| if air[lane].is_nan() { f64::NAN } else { soil[depth][lane] })));
        Profile(days)
    };
    courses.iter().enumerate().map(profile).collect()
}

/// The column as it stands in a usual year at the first day of a course, which is 1 July in the north and 1 January in the south.
fn begun(course: &Course) -> SoilColumn {
    let air: Vec<(f64, f64)> = (0..course.tmin_c.len().min(YEAR)).map(|place| (place as f64, course.mean_c(place))).collect();
    let mild =
        AnnualWave { mean_c: 10.0, amplitude_c: 12.0, coldest_day: 200.0, diffusivity_m2_day: SoilHeat::MOIST_LOAM.diffusivity_m2_day };
    // Without a year of air there is no wave of this place: a usual one begins, and a few weeks of air take its place.
    let wave = AnnualWave::of_air(&air, SoilHeat::MOIST_LOAM.diffusivity_m2_day).unwrap_or(mild);
    SoilColumn::usual(SoilHeat::MOIST_LOAM, Cover::Turf, &wave, 0.0)
}

fn after(column: &mut SoilColumn, air_c: f64) -> [f64; DEPTHS_M.len()] {
    column.day(air_c, 0.0);
    DEPTHS_M.map(|depth| if air_c.is_nan() { f64::NAN } else { column.temperature_c(depth) })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn course(mean: impl Fn(f64) -> f64) -> Course {
        let air: Vec<f64> = (0..540).map(|place| mean(f64::from(place))).collect();
        Course { tmin_c: air.clone(), tmax_c: air.clone(), rain_mm: vec![0.0; air.len()] }
    }

    #[test]
    fn steady_air_makes_steady_soil() {
        let soil = profiles(&[course(|_| 10.0)], 200);
        assert!(soil[0].at(0.1).iter().all(|soil| (soil - 10.0).abs() < 0.01));
    }

    #[test]
    fn soil_lags_the_year_and_deeper_soil_more() {
        // A year whose air is coldest on place 200: in the rise after it soil is colder than air, and deeper soil colder still.
        let year = course(|place| 10.0 - 13.0 * ((place - 200.0) * std::f64::consts::TAU / 365.0).cos());
        let soil = profiles(std::slice::from_ref(&year), 200).remove(0);
        let (air, shallow, deep) = (year.mean_c(290), soil.at(0.025)[290], soil.at(0.2)[290]);
        assert!(deep < shallow && shallow < air, "{deep} {shallow} {air}");
        assert!(air - shallow < 4.0, "a hand's depth follows within days: {shallow} for {air}");
    }

    #[test]
    fn known_days_reckoned_once_are_the_same_as_reckoned_for_each() {
        let year = course(|place| 10.0 - 13.0 * ((place - 200.0) * std::f64::consts::TAU / 365.0).cos());
        let (once, each) = (profiles(std::slice::from_ref(&year), 300), profiles(std::slice::from_ref(&year), 0));
        assert_eq!(once[0].at(0.05), each[0].at(0.05));
    }
}
