//! Soil temperature by depth: the smooth annual wave, and a column of soil warmed through by each day's air.
//!
//! [`AnnualWave`] says what the soil of a usual year is like on a date; it knows nothing of this year. [`SoilColumn`] follows this year's air: heat
//! is led through layers of soil, from the air through whatever covers the ground (turf, mulch, snow). It leaves out sun on bare ground, heat
//! carried by rain, and the heat of freezing, which holds real soil near 0 °C for days. Trust it to about ± [`SOIL_COLUMN_ERROR_C`]: under
//! grass at Gypsum, Kansas, from mid January to 2 May 2018 it was off by 2.1 °C (root mean square) at 5 and 10 cm, and 2 °C too cold on the
//! mean of spring, since the sun warms the ground beyond the air. One station and one season: measure before acting on soil temperature.
//!
//! # Sources
//! The wave: van Wijk & de Vries (1963); Hillel (1982); formula as read at soilphysics.okstate.edu/toolkit/temperature/model.htm. The column:
//! the equation of heat conduction. Resistances of covers: memory, of the order given in handbooks.

mod side_by_side;

use std::f64::consts::{PI, TAU};

use serde::{Deserialize, Serialize};

pub use side_by_side::{SIDE_BY_SIDE, SoilColumns};

/// Error of [`SoilColumn`] at 5 to 20 cm under turf, °C: a round figure over the 2.1 °C measured at one station in one season (see above).
pub const SOIL_COLUMN_ERROR_C: f64 = 2.5;

/// Depth at which a swing of a period (days) is down to 1/e, m, from the soil's thermal diffusivity (m² d⁻¹).
///
/// # Example
/// ```
/// # use groundlore_weather::soil_temperature::damping_depth_m;
/// // 2·10⁻⁷ m²/s over a year: 1.417 m (transtutors.com 11248940).
/// assert!((damping_depth_m(2e-7 * 86_400.0, 365.0) - 1.417).abs() < 0.001);
/// ```
#[must_use]
pub fn damping_depth_m(diffusivity_m2_day: f64, period_days: f64) -> f64 {
    (period_days * diffusivity_m2_day / PI).sqrt()
}

/// The soil temperature of a usual year: a wave that shrinks and lags with depth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AnnualWave {
    /// Mean temperature of the year, °C.
    pub mean_c: f64,
    /// Half the swing from the coldest to the warmest time at the surface, °C.
    pub amplitude_c: f64,
    /// Day of the year on which the surface is coldest.
    pub coldest_day: f64,
    /// Thermal diffusivity, m² d⁻¹.
    pub diffusivity_m2_day: f64,
}

impl AnnualWave {
    /// Temperature, °C, at a depth (m) on a day of the year: T̄ − A e^(−z/d) cos(2π (t − t₀)/365 − z/d).
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::soil_temperature::AnnualWave;
    /// let loam = AnnualWave { mean_c: 10.0, amplitude_c: 12.0, coldest_day: 30.0, diffusivity_m2_day: 0.045 };
    /// assert!((loam.temperature_c(0.05, 15.0) - -1.283).abs() < 0.001);
    /// ```
    #[must_use]
    pub fn temperature_c(&self, depth_m: f64, day_of_year: f64) -> f64 {
        let lag = if depth_m > 0.0 { depth_m / self.damping_depth_m() } else { 0.0 };
        self.mean_c - self.amplitude_c * (-lag).exp() * (TAU * (day_of_year - self.coldest_day) / 365.0 - lag).cos()
    }

    /// Damping depth of the year, m.
    #[must_use]
    pub fn damping_depth_m(&self) -> f64 {
        damping_depth_m(self.diffusivity_m2_day, 365.0)
    }

    /// Days by which a depth (m) runs behind the surface.
    #[must_use]
    pub fn lag_days(&self, depth_m: f64) -> f64 {
        365.0 / TAU * depth_m / self.damping_depth_m()
    }

    /// The wave of a place's air through a year, by least squares over daily mean temperatures: (day of the year, °C). It stands in for the
    /// soil surface where nothing better is known. `None` with fewer than 300 days.
    #[must_use]
    pub fn of_air(days: &[(f64, f64)], diffusivity_m2_day: f64) -> Option<AnnualWave> {
        let known: Vec<(f64, f64)> = days.iter().copied().filter(|(_, celsius)| !celsius.is_nan()).collect();
        if known.len() < 300 {
            return None;
        }
        // A year's days stand at even angles, so that the three means are the least-squares answer.
        let count = known.len() as f64;
        let mean_c = known.iter().map(|(_, celsius)| celsius).sum::<f64>() / count;
        let part = |turn: fn(f64) -> f64| {
            2.0 / count * known.iter().map(|(day, celsius)| (celsius - mean_c) * turn(TAU * day / 365.0)).sum::<f64>()
        };
        let (cosine, sine) = (part(f64::cos), part(f64::sin));
        let coldest_day = ((-sine).atan2(-cosine) * 365.0 / TAU).rem_euclid(365.0);
        Some(AnnualWave { mean_c, amplitude_c: cosine.hypot(sine), coldest_day, diffusivity_m2_day })
    }
}

/// What lies between the air and the soil.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Cover {
    /// Bare soil.
    Bare,
    /// Turf with its thatch.
    Turf,
    /// Loose mulch or leaves of a depth, m.
    Mulch {
        /// Depth, m.
        depth_m: f64,
    },
}

impl Cover {
    /// Resistance to heat, m² K W⁻¹: bare 0.02, turf 0.2, mulch 1 m at 0.12 W m⁻¹ K⁻¹ on top of the bare (memory).
    #[must_use]
    pub fn resistance(self) -> f64 {
        const BARE: f64 = 0.02;
        match self {
            Cover::Bare => BARE,
            Cover::Turf => 0.2,
            Cover::Mulch { depth_m } => BARE + depth_m.max(0.0) / 0.12,
        }
    }
}

/// Conductivity of settled snow, W m⁻¹ K⁻¹ (memory; from 0.08 fresh to 0.4 old).
const SNOW_CONDUCTIVITY: f64 = 0.2;

/// MJ m⁻² d⁻¹ in 1 W m⁻².
const MJ_DAY_PER_WATT: f64 = 0.0864;

/// Depths at which the column keeps a temperature, m.
const DEPTHS_M: [f64; 18] = [0.0, 0.02, 0.05, 0.08, 0.12, 0.16, 0.2, 0.3, 0.4, 0.55, 0.75, 1.0, 1.4, 2.0, 2.8, 4.0, 6.0, 9.0];
/// Place of the lowest layer.
const LAST: usize = DEPTHS_M.len() - 1;

/// What the soil is like.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SoilHeat {
    /// Thermal diffusivity, m² d⁻¹: about 0.02 dry sand, 0.045 moist loam, 0.065 wet sand.
    pub diffusivity_m2_day: f64,
    /// Heat capacity, MJ m⁻³ K⁻¹: about 1.3 dry, 2.2 moist, 3 wet.
    pub capacity_mj_m3_k: f64,
}

impl SoilHeat {
    /// Moist loam: 0.045 m² d⁻¹ and 2.2 MJ m⁻³ K⁻¹ (memory).
    pub const MOIST_LOAM: SoilHeat = SoilHeat { diffusivity_m2_day: 0.045, capacity_mj_m3_k: 2.2 };

    fn conductivity_mj_day(self) -> f64 {
        self.diffusivity_m2_day * self.capacity_mj_m3_k
    }

    /// Of a layer: the heat that it stores by the kelvin, and what leads to the layers above and below it.
    fn layer(self, node: usize) -> [f64; 3] {
        let above = if node == 0 { 0.0 } else { DEPTHS_M[node] - DEPTHS_M[node - 1] };
        let below = if node == LAST { 0.0 } else { DEPTHS_M[node + 1] - DEPTHS_M[node] };
        let lead = |gap: f64| if gap > 0.0 { self.conductivity_mj_day() / gap } else { 0.0 };
        [self.capacity_mj_m3_k * (0.5 * (above + below)), lead(above), lead(below)]
    }
}

/// A column of soil under a cover, with its temperature by depth on one day.
///
/// # Example
/// ```
/// use groundlore_weather::soil_temperature::{AnnualWave, Cover, SoilColumn, SoilHeat};
///
/// let usual = AnnualWave { mean_c: 10.0, amplitude_c: 12.0, coldest_day: 30.0, diffusivity_m2_day: 0.045 };
/// let mut soil = SoilColumn::usual(SoilHeat::MOIST_LOAM, Cover::Turf, &usual, 100.0);
/// for _ in 0..10 {
///     soil.day(20.0, 0.0);
/// }
/// assert!(soil.temperature_c(0.05) > soil.temperature_c(0.5), "warm days warm the top first");
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct SoilColumn {
    soil: SoilHeat,
    cover: Cover,
    celsius: Vec<f64>,
    last_air_c: f64,
}

impl SoilColumn {
    /// A column as it stands in a usual year on a day of the year.
    #[must_use]
    pub fn usual(soil: SoilHeat, cover: Cover, wave: &AnnualWave, day_of_year: f64) -> SoilColumn {
        let celsius: Vec<f64> = DEPTHS_M.iter().map(|depth| wave.temperature_c(*depth, day_of_year)).collect();
        SoilColumn { soil, cover, last_air_c: wave.temperature_c(0.0, day_of_year), celsius }
    }

    /// Lets a day pass with a mean air temperature (°C) and lying snow (m). A day whose air is NaN takes the air of the day before.
    pub fn day(&mut self, air_mean_c: f64, snow_m: f64) {
        if !air_mean_c.is_nan() {
            self.last_air_c = air_mean_c;
        }
        let snow = if snow_m > 0.0 { snow_m / SNOW_CONDUCTIVITY } else { 0.0 };
        let contact = MJ_DAY_PER_WATT / (self.cover.resistance() + snow);
        self.conduct(contact);
    }

    /// One step of a day, reckoned backwards in time so that it stays steady: each layer's gain is what its neighbours lead in.
    fn conduct(&mut self, contact: f64) {
        // Thomas's algorithm for the three-banded system, top to bottom and back.
        let mut ratio = [0.0; DEPTHS_M.len()];
        let mut value = [0.0; DEPTHS_M.len()];
        for node in 0..=LAST {
            let [store, up, down] = self.soil.layer(node);
            let (top, air) = if node == 0 { (contact, contact * self.last_air_c) } else { (0.0, 0.0) };
            let (previous_ratio, previous_value) = if node == 0 { (0.0, 0.0) } else { (ratio[node - 1], value[node - 1]) };
            let diagonal = store + up + down + top - up * previous_ratio;
            ratio[node] = down / diagonal;
            value[node] = (store * self.celsius[node] + air + up * previous_value) / diagonal;
        }
        self.celsius[LAST] = value[LAST];
        for node in (0..LAST).rev() {
            self.celsius[node] = value[node] + ratio[node] * self.celsius[node + 1];
        }
    }

    /// Temperature at a depth (m), °C; a straight line between layers, the lowest layer below them.
    #[must_use]
    pub fn temperature_c(&self, depth_m: f64) -> f64 {
        let (upper, share) = place(depth_m);
        let (above, below) = (self.celsius[upper], self.celsius[(upper + 1).min(LAST)]);
        above + share * (below - above)
    }
}

/// The layer above a depth (m) and the share of the way to the next one down.
fn place(depth_m: f64) -> (usize, f64) {
    match DEPTHS_M.iter().position(|layer| *layer >= depth_m) {
        None => (LAST, 0.0),
        Some(0) => (0, 0.0),
        Some(node) => (node - 1, (depth_m - DEPTHS_M[node - 1]) / (DEPTHS_M[node] - DEPTHS_M[node - 1])),
    }
}

/// Soil temperature at a depth (m) at the end of each day, °C, from columns of mean air temperature (°C) and lying snow (mm, NaN counts as
/// none); NaN on days whose air is not known. The column is left as it stands after the last day.
pub fn soil_temperatures(column: &mut SoilColumn, air_mean_c: &[f64], snow_mm: &[f64], depth_m: f64) -> Vec<f64> {
    let day = |(index, air): (usize, &f64)| {
        let snow = snow_mm.get(index).copied().filter(|snow| *snow > 0.0).unwrap_or(0.0);
        column.day(*air, snow / 1000.0);
        if air.is_nan() { f64::NAN } else { column.temperature_c(depth_m) }
    };
    air_mean_c.iter().enumerate().map(day).collect()
}
