//! Several columns of one soil under one cover, each with its own air, a day at a time side by side.

use super::{DEPTHS_M, LAST, MJ_DAY_PER_WATT, SoilColumn};
use crate::wide::widest;

/// As many columns as stand side by side.
pub const SIDE_BY_SIDE: usize = 8;

/// A layer of soil, as a day's step needs it: what is the same on all days without snow.
#[derive(Debug, Clone, Copy, Default)]
struct Layer {
    store: f64,
    up: f64,
    diagonal: f64,
    ratio: f64,
}

/// Several columns of one soil that begin alike and then go their own ways under their own airs, without snow.
///
/// # Example
/// ```
/// use groundlore_weather::soil_temperature::{AnnualWave, Cover, SoilColumn, SoilColumns, SoilHeat};
///
/// let usual = AnnualWave { mean_c: 10.0, amplitude_c: 12.0, coldest_day: 30.0, diffusivity_m2_day: 0.045 };
/// let mut one = SoilColumn::usual(SoilHeat::MOIST_LOAM, Cover::Turf, &usual, 100.0);
/// let mut eight = SoilColumns::of(&one);
/// let soil = eight.days(&[[20.0, 5.0, 8.0, 8.0, 8.0, 8.0, 8.0, 8.0]], &[0.05]);
/// one.day(20.0, 0.0);
/// assert_eq!(soil[0][0], one.temperature_c(0.05));
/// assert!(soil[0][1] < soil[0][0]);
/// ```
#[derive(Debug, Clone)]
pub struct SoilColumns {
    layers: [Layer; DEPTHS_M.len()],
    contact: f64,
    celsius: [[f64; SIDE_BY_SIDE]; DEPTHS_M.len()],
    last_air_c: [f64; SIDE_BY_SIDE],
}

impl SoilColumns {
    /// Columns that all stand as one does.
    #[must_use]
    pub fn of(column: &SoilColumn) -> Self {
        let contact = MJ_DAY_PER_WATT / column.cover.resistance();
        let mut layers = [Layer::default(); DEPTHS_M.len()];
        let mut above = 0.0;
        for (node, layer) in layers.iter_mut().enumerate() {
            let [store, up, down] = column.soil.layer(node);
            let top = if node == 0 { contact } else { 0.0 };
            let diagonal = store + up + down + top - up * above;
            above = down / diagonal;
            *layer = Layer { store, up, diagonal, ratio: above };
        }
        let mut celsius = [[0.0; SIDE_BY_SIDE]; DEPTHS_M.len()];
        celsius.iter_mut().zip(&column.celsius).for_each(|(all, one)| all.fill(*one));
        Self { layers, contact, celsius, last_air_c: [column.last_air_c; SIDE_BY_SIDE] }
    }

    /// Lets days pass with their mean airs (°C; NaN takes the air of the day before), and gives the soil at the end of each at some depths
    /// (m): day by day, in each the depths in their order. It is that of [`SoilColumn::day`].
    pub fn days(&mut self, airs: &[[f64; SIDE_BY_SIDE]], depths_m: &[f64]) -> Vec<[f64; SIDE_BY_SIDE]> {
        let places: Vec<(usize, f64)> = depths_m.iter().map(|depth| super::place(*depth)).collect();
        let mut soil = vec![[0.0; SIDE_BY_SIDE]; airs.len() * places.len()];
        let (out, places) = (soil.as_mut_slice(), places.as_slice());
        widest(
            #[inline(always)]
            move || {
                for (air, out) in airs.iter().zip(out.chunks_exact_mut(places.len().max(1))) {
                    self.day(air);
                    for (out, (upper, share)) in out.iter_mut().zip(places) {
                        let (above, below) = (&self.celsius[*upper], &self.celsius[(*upper + 1).min(LAST)]);
                        for ((out, above), below) in out.iter_mut().zip(above).zip(below) {
                            *out = above + share * (below - above);
                        }
                    }
                }
            },
        );
        soil
    }

    #[inline(always)]
    fn day(&mut self, air: &[f64; SIDE_BY_SIDE]) {
        for (last, air) in self.last_air_c.iter_mut().zip(air) {
            *last = if air.is_nan() { *last } else { *air };
        }
        let mut value = [[0.0; SIDE_BY_SIDE]; DEPTHS_M.len()];
        let mut previous = [0.0; SIDE_BY_SIDE];
        for (node, (layer, value)) in self.layers.iter().zip(&mut value).enumerate() {
            let contact = if node == 0 { self.contact } else { 0.0 };
            let celsius = &self.celsius[node];
            for lane in 0..SIDE_BY_SIDE {
                value[lane] = (layer.store * celsius[lane] + contact * self.last_air_c[lane] + layer.up * previous[lane]) / layer.diagonal;
            }
            previous = *value;
        }
        self.celsius[LAST] = value[LAST];
        let mut below = value[LAST];
        for node in (0..LAST).rev() {
            let celsius = &mut self.celsius[node];
            for lane in 0..SIDE_BY_SIDE {
                celsius[lane] = value[node][lane] + self.layers[node].ratio * below[lane];
            }
            below = *celsius;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::{AnnualWave, Cover, SoilHeat};
    use super::*;

    #[test]
    fn each_of_eight_columns_is_what_it_would_be_alone() {
        let usual = AnnualWave { mean_c: 10.0, amplitude_c: 12.0, coldest_day: 30.0, diffusivity_m2_day: 0.045 };
        let alone = SoilColumn::usual(SoilHeat::MOIST_LOAM, Cover::Turf, &usual, 40.0);
        let air = |day: usize, lane: usize| {
            if day == 3 && lane == 2 { f64::NAN } else { 10.0 - 9.0 * (day as f64 / 50.0).cos() + ((day * 31 + lane * 17) % 13) as f64 }
        };
        let airs: Vec<[f64; SIDE_BY_SIDE]> = (0..200).map(|day| std::array::from_fn(|lane| air(day, lane))).collect();
        let depths = [0.0, 0.03, 0.1, 0.3, 20.0];
        let together = SoilColumns::of(&alone).days(&airs, &depths);
        for lane in 0..SIDE_BY_SIDE {
            let mut column = alone.clone();
            for (day, soil) in together.chunks(depths.len()).enumerate() {
                column.day(air(day, lane), 0.0);
                for (depth, soil) in depths.iter().zip(soil) {
                    assert_eq!(column.temperature_c(*depth), soil[lane], "day {day}, column {lane}, {depth} m");
                }
            }
        }
    }
}
