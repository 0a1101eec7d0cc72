//! Winter chill, from hourly temperatures: chilling hours, Utah units, dynamic portions.
//!
//! The three count different things and cannot be turned into one another: use a plant's need only with the count it was published in.
//!
//! # Sources
//! Utah: Richardson, Seeley & Walker (1974); classes in °F as read at pebender.github.io, the °C classes from memory. Dynamic model: Fishman,
//! Erez & Couvillon (1987), Erez et al. (1990); constants as read in several public repositories.

use serde::{Deserialize, Serialize};

/// Hours with a temperature within a range, both ends counted (°C). NaN hours count as none.
///
/// # Example
/// ```
/// # use groundlore_weather::chill::chilling_hours;
/// assert_eq!(chilling_hours(&[-1.0, 0.0, 3.0, 7.2, 7.3], 0.0, 7.2), 3);
/// ```
#[must_use]
pub fn chilling_hours(temperatures_c: &[f64], from_c: f64, to_c: f64) -> usize {
    temperatures_c.iter().filter(|celsius| (from_c..=to_c).contains(*celsius)).count()
}

/// Hours with a temperature under a limit, which itself is not counted (°C).
#[must_use]
pub fn hours_below(temperatures_c: &[f64], limit_c: f64) -> usize {
    temperatures_c.iter().filter(|celsius| **celsius < limit_c).count()
}

/// The scale in which the classes of the Utah model are cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum UtahScale {
    /// Whole °F, as published.
    Fahrenheit,
    /// Tenths of °C, as often reprinted; a shade wider in the cold.
    Celsius,
}

/// Units of an hour by class, and the highest temperature of each class in °F and in °C.
const UTAH: [(f64, f64, f64); 7] = [
    (0.0, 34.0, 1.4),
    (0.5, 36.0, 2.4),
    (1.0, 48.0, 9.1),
    (0.5, 54.0, 12.4),
    (0.0, 60.0, 15.9),
    (-0.5, 65.0, 18.0),
    (-1.0, f64::INFINITY, f64::INFINITY),
];

impl UtahScale {
    /// Chill units of one hour at a temperature in °C; NaN gives 0.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::chill::UtahScale;
    /// let units = [1.0, 2.0, 6.0, 10.0, 14.0, 17.0, 20.0].map(|celsius| UtahScale::Celsius.units(celsius));
    /// assert_eq!(units, [0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0]);
    /// ```
    #[must_use]
    pub fn units(self, temperature_c: f64) -> f64 {
        // A billionth forgives the way from °F to °C and back.
        let value = match self {
            UtahScale::Fahrenheit => temperature_c * 1.8 + 32.0 - 1e-9,
            UtahScale::Celsius => temperature_c - 1e-9,
        };
        let top = |class: &(f64, f64, f64)| if self == UtahScale::Fahrenheit { class.1 } else { class.2 };
        UTAH.iter().find(|class| value <= top(class)).map_or(0.0, |class| class.0)
    }

    /// Chill units of many hours (°C). Warm hours take units away again; the sum may fall below 0.
    #[must_use]
    pub fn sum(self, temperatures_c: &[f64]) -> f64 {
        temperatures_c.iter().map(|celsius| self.units(*celsius)).sum()
    }
}

/// The dynamic model: cold builds an intermediate that warmth undoes until it is whole; a whole one is fixed as a portion by mild warmth.
///
/// # Example
/// ```
/// use groundlore_weather::chill::DynamicModel;
/// let mut model = DynamicModel::default();
/// for _ in 0..720 {
///     model.hour(6.0);
/// }
/// assert!((model.portions() - 24.433).abs() < 0.001);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct DynamicModel {
    intermediate: f64,
    portions: f64,
}

impl DynamicModel {
    const E0: f64 = 4153.5;
    const E1: f64 = 12_888.8;
    const A0: f64 = 139_500.0;
    const A1: f64 = 2.567e18;
    const SLOPE: f64 = 1.6;
    const FIXING_K: f64 = 277.0;

    /// Lets an hour at a temperature (°C) pass; NaN leaves the model as it is.
    pub fn hour(&mut self, temperature_c: f64) {
        if temperature_c.is_nan() {
            return;
        }
        let kelvin = (temperature_c + 273.0).max(1.0);
        let level = Self::A0 / Self::A1 * ((Self::E1 - Self::E0) / kelvin).exp();
        let pace = Self::A1 * (-Self::E1 / kelvin).exp();
        self.intermediate = level - (level - self.intermediate) * (-pace).exp();
        if self.intermediate >= 1.0 {
            let fixing = (Self::SLOPE * Self::FIXING_K * (kelvin - Self::FIXING_K) / kelvin).exp();
            let fixed = self.intermediate * fixing / (1.0 + fixing);
            self.portions += fixed;
            self.intermediate -= fixed;
        }
    }

    /// Portions fixed so far.
    #[must_use]
    pub fn portions(&self) -> f64 {
        self.portions
    }
}

/// Dynamic portions of many hours (°C), from none.
#[must_use]
pub fn chill_portions(temperatures_c: &[f64]) -> f64 {
    let mut model = DynamicModel::default();
    temperatures_c.iter().for_each(|celsius| model.hour(*celsius));
    model.portions()
}

/// Growing degree-hours above a base, as degree-days (°C d): Σ max(T − base, 0)/24.
#[must_use]
pub fn heat_of_hours(temperatures_c: &[f64], base_c: f64) -> f64 {
    temperatures_c.iter().map(|celsius| (celsius - base_c).max(0.0)).sum::<f64>() / 24.0
}

/// The 24 hours of a day drawn as a sine from its minimum to its maximum and on to the next minimum (°C): the stand-in where only daily
/// extremes are known. The hours stand in order of the day's course, which begins with the minimum.
#[must_use]
pub fn course_of_day(minimum_c: f64, maximum_c: f64, next_minimum_c: f64) -> [f64; 24] {
    std::array::from_fn(|hour| {
        let share = (hour as f64 + 0.5) / 24.0;
        let low = if share < 0.5 { minimum_c } else { next_minimum_c };
        0.5 * (low + maximum_c) - 0.5 * (maximum_c - low) * (std::f64::consts::TAU * share).cos()
    })
}
