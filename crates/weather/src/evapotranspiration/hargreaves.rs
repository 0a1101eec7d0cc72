//! Reference evapotranspiration from temperatures alone. Several equations bear the name Hargreaves; each figure here says which.
//!
//! # What it costs
//! Against the full FAO-56 equation on 59 days at De Bilt, 54 at Fallon and 46 at Holyoke; see [`TEMPERATURES_ONLY`].
//!
//! # Sources
//! FAO-56 eq. 52 (the 1985 form). Hargreaves & Samani (1982) with Samani's (2000) coefficient as in McMahon et al. (2013), *Hydrol. Earth Syst. Sci.*
//! 17:1331, supplement S19 (read through pyet).

use serde::{Deserialize, Serialize};

use super::{LATENT_HEAT_MJ_KG, MM_PER_MJ};

/// Which equation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HargreavesForm {
    /// 0.0023 (T + 17.8) √ΔT Ra, FAO-56 eq. 52.
    Fixed1985,
    /// 0.0135 (T + 17.8) √ΔT Ra times a coefficient that grows with ΔT²: in dry places up to half as much again.
    SwingCoefficient,
}

impl HargreavesForm {
    /// The equation in words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            HargreavesForm::Fixed1985 => "Hargreaves 1985: 0.0023 (T + 17.8) (Tmax − Tmin)^0.5 Ra (FAO-56 eq. 52)",
            HargreavesForm::SwingCoefficient => "Hargreaves with a coefficient of the swing: 0.0135 C (T + 17.8) (Tmax − Tmin)^0.5 Ra",
        }
    }

    /// Reference evapotranspiration, mm d⁻¹, from the day's minimum and maximum (°C) and radiation above the air (MJ m⁻² d⁻¹); never
    /// below 0.
    ///
    /// # Example
    /// ```
    /// # use groundlore_weather::evapotranspiration::hargreaves::HargreavesForm;
    /// // Alice Springs, 20 July 1980: 4.1129 mm by the second form (McMahon et al. 2013, S19).
    /// assert!((HargreavesForm::SwingCoefficient.mm(2.0, 21.0, 23.6182) - 4.1129).abs() < 0.001);
    /// ```
    #[must_use]
    pub fn mm(self, minimum_c: f64, maximum_c: f64, extraterrestrial_mj: f64) -> f64 {
        let swing = (maximum_c - minimum_c).max(0.0);
        let warmth = 0.5 * (minimum_c + maximum_c) + 17.8;
        let depth = match self {
            HargreavesForm::Fixed1985 => 0.0023 * warmth * swing.sqrt() * extraterrestrial_mj * MM_PER_MJ,
            HargreavesForm::SwingCoefficient => {
                let coefficient = 0.001_85 * swing * swing - 0.0433 * swing + 0.4023;
                0.0135 * coefficient * warmth * swing.sqrt() * extraterrestrial_mj / LATENT_HEAT_MJ_KG
            }
        };
        depth.max(0.0)
    }
}

/// What a station's days cost when only temperatures are known.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TemperaturesOnly {
    /// The station.
    pub station: &'static str,
    /// Days compared.
    pub days: usize,
    /// Root mean square difference of FAO-56 with its stand-ins (dewpoint from the minimum, radiation from the swing, 2 m/s), mm d⁻¹.
    pub fao56_mm: f64,
    /// The same of the 1985 form of Hargreaves, mm d⁻¹.
    pub hargreaves_mm: f64,
}

/// Root mean square differences of single days from the full FAO-56 equation, measured by this crate's tests on the days of its test data.
pub const TEMPERATURES_ONLY: [TemperaturesOnly; 3] = [
    TemperaturesOnly { station: "De Bilt, humid lowland", days: 59, fao56_mm: 0.47, hargreaves_mm: 0.55 },
    TemperaturesOnly { station: "Fallon, irrigated desert", days: 54, fao56_mm: 0.72, hargreaves_mm: 0.67 },
    TemperaturesOnly { station: "Holyoke, windy high plains", days: 46, fao56_mm: 0.84, hargreaves_mm: 0.85 },
];
