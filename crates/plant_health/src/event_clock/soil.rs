//! Soil temperature under turf from the season's air, for clocks that are set by the soil.
//!
//! A column of moist loam under turf is warmed through by each day's air ([`SoilColumn`]), begun from the annual wave of the same year half
//! a year before the season. Snow, shade, wet and bare ground are not in it, so a clock by soil carries [`ERROR_DAYS`] more.

use super::by_future::ByFuture;
use super::outlook::Course;
use groundlore_weather::soil_temperature::{AnnualWave, Cover, SIDE_BY_SIDE, SoilColumn, SoilColumns, SoilHeat};

/// Days by which a soil reckoned from the air may miss a date, either way for eight in ten: the column is good to about 2.5 °C, and soil
/// warms and cools by about a quarter of a degree a day in spring and autumn (memory).
pub(super) const ERROR_DAYS: f64 = 10.0;

/// Depths that are kept, m.
const DEPTHS_M: [f64; 8] = [0.0, 0.02, 0.05, 0.08, 0.12, 0.16, 0.2, 0.3];
/// Days of air that the annual wave is taken from.
const YEAR: usize = 365;

/// Soil temperatures of all futures, °C, by day and kept depth.
#[derive(Debug, Clone)]
pub(super) struct Soil {
    /// The days that are alike in all futures; NaN where the air is not known.
    past: Vec<[f64; DEPTHS_M.len()]>,
    /// Futures side by side.
    ahead: Vec<SideBySide>,
    futures: usize,
}

/// The soil of a few futures after the days that are alike.
#[derive(Debug, Clone)]
struct SideBySide {
    /// Mean air of each day, °C.
    airs: Vec<[f64; SIDE_BY_SIDE]>,
    /// Day by day, in each the depths in their order.
    soil: Vec<[f64; SIDE_BY_SIDE]>,
}

impl Soil {
    /// The soil of every future. The first `alike` days are the same in all of them and are reckoned once.
    pub(super) fn of(courses: &[Course], alike: usize) -> Self {
        let Some(first) = courses.first() else { return Self { past: Vec::new(), ahead: Vec::new(), futures: 0 } };
        let alike = alike.min(first.tmin_c.len());
        let mut column = begun(courses, alike);
        let past = (0..alike).map(|place| after(&mut column, first.mean_c(place))).collect();
        let ahead = courses.chunks(SIDE_BY_SIDE).map(|some| SideBySide::of(&column, alike, some)).collect();
        Self { past, ahead, futures: courses.len() }
    }

    /// The temperature at a depth (m), by a straight line between kept depths; the lowest below them.
    pub(super) fn at(&self, depth_m: f64) -> ByFuture {
        let lower = DEPTHS_M.iter().position(|kept| *kept >= depth_m).unwrap_or(DEPTHS_M.len() - 1);
        let upper = lower.saturating_sub(1);
        let gap = DEPTHS_M[lower] - DEPTHS_M[upper];
        let share = if gap > 0.0 { ((depth_m - DEPTHS_M[upper]) / gap).clamp(0.0, 1.0) } else { 0.0 };
        let between = |above: f64, below: f64| above + share * (below - above);
        let shared = self.past.iter().map(|day| between(day[upper], day[lower])).collect();
        let days = self.ahead.first().map_or(0, |some| some.airs.len());
        let mut apart = vec![0.0; days * self.futures];
        for (some, apart) in self.ahead.iter().zip(apart.chunks_mut((days * SIDE_BY_SIDE).max(1))) {
            for (day, (soil, air)) in some.soil.chunks_exact(DEPTHS_M.len()).zip(&some.airs).enumerate() {
                for (lane, future) in apart.chunks_exact_mut(days).enumerate() {
                    future[day] = if air[lane].is_nan() { f64::NAN } else { between(soil[upper][lane], soil[lower][lane]) };
                }
            }
        }
        ByFuture::new(shared, apart, self.futures)
    }
}

impl SideBySide {
    /// Where there are fewer futures than columns the last ones run idle.
    fn of(column: &SoilColumn, alike: usize, courses: &[Course]) -> Self {
        let air = |place: usize| std::array::from_fn(|lane| courses.get(lane).map_or(f64::NAN, |course| course.mean_c(place)));
        let days = courses.first().map_or(0, |course| course.tmin_c.len());
        let airs: Vec<[f64; SIDE_BY_SIDE]> = (alike..days).map(air).collect();
        let soil = SoilColumns::of(column).days(&airs, &DEPTHS_M);
        Self { airs, soil }
    }
}

/// The column as it stands in a usual year at the first day of a course, which is 1 July in the north and 1 January in the south: of the first
/// future, or where no day is alike in all of them, of their mean.
fn begun(courses: &[Course], alike: usize) -> SoilColumn {
    let some = if alike == 0 { courses } else { &courses[..1.min(courses.len())] };
    let days = some.first().map_or(0, |course| course.tmin_c.len()).min(YEAR);
    let mean = |place: usize| some.iter().map(|course| course.mean_c(place)).sum::<f64>() / some.len() as f64;
    let air: Vec<(f64, f64)> = (0..days).map(|place| (place as f64, mean(place))).collect();
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

    /// The soil of one course at a depth.
    fn at(course: &Course, alike: usize, depth_m: f64) -> Vec<f64> {
        Soil::of(std::slice::from_ref(course), alike).at(depth_m).whole(0)
    }

    fn year() -> Course {
        course(|place| 10.0 - 13.0 * ((place - 200.0) * std::f64::consts::TAU / 365.0).cos())
    }

    #[test]
    fn steady_air_makes_steady_soil() {
        assert!(at(&course(|_| 10.0), 200, 0.1).iter().all(|soil| (soil - 10.0).abs() < 0.01));
    }

    #[test]
    fn soil_lags_the_year_and_deeper_soil_more() {
        // A year whose air is coldest on place 200: in the rise after it soil is colder than air, and deeper soil colder still.
        let (air, shallow, deep) = (year().mean_c(290), at(&year(), 200, 0.025)[290], at(&year(), 200, 0.2)[290]);
        assert!(deep < shallow && shallow < air, "{deep} {shallow} {air}");
        assert!(air - shallow < 4.0, "a hand's depth follows within days: {shallow} for {air}");
    }

    #[test]
    fn days_reckoned_once_are_the_same_as_reckoned_for_each() {
        assert_eq!(at(&year(), 300, 0.05), at(&year(), 0, 0.05));
    }

    #[test]
    fn each_future_has_the_soil_that_it_would_have_alone() {
        let of = |future: usize| course(move |place| if place < 300.0 { 5.0 } else { 5.0 + future as f64 + (place * 0.7).sin() });
        let courses: Vec<Course> = (0..19).map(of).collect();
        let together = Soil::of(&courses, 300).at(0.1);
        for (future, course) in courses.iter().enumerate() {
            // The usual year that the column begins with is that of the first future.
            let alone = Soil::of(&[courses[0].clone(), course.clone()], 300).at(0.1);
            assert_eq!(together.whole(future), alone.whole(1), "future {future}");
        }
    }
}
