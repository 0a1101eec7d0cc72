//! Sprayers and spreaders calibrated from what was caught: pass or fail by nozzle, spray on an area, and what must change.

use crate::{Desk, DeskError};
use groundlore_quantity::{Kind, Quantity, parse_list};
use groundlore_sheet::{Block, Check, CheckState, Sheet, Tone};
use groundlore_work::calibration::{NozzleCaught, SpreaderBand, SpreaderCheck, nozzles, spreader, spreader_check, volume_rate};

/// Tolerance of a nozzle's catch (SportsTurf, April 2014, p. 38: 7 % of the mean; others use 5 or 10, memory).
const NOZZLE_BAND: &str = "7%";
/// Band of a spreader's test (UMass Extension, rotary spreader calibration: 5 %).
const SPREADER_BAND: &str = "5%";

/// What was measured of a sprayer, as typed.
#[derive(Debug, Clone, Default)]
pub struct SprayerTest {
    /// Width that all nozzles together cover, as `6 ft`.
    pub width: String,
    /// Length of the course, as `102 ft`.
    pub distance: String,
    /// Time over the course, as `17 s`; blank where it was not taken.
    pub time: Option<String>,
    /// What each nozzle caught in that time, as `14 floz, 14.5 floz`.
    pub catches: String,
    /// Tolerance of a nozzle; 7 % where left out.
    pub tolerance: Option<String>,
    /// Spray on an area that is wanted, as `40 gal/acre`.
    pub wanted: Option<String>,
}

/// What the sprayer's test showed.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct SprayerTested {
    /// Each nozzle.
    pub nozzles: Vec<NozzleCaught>,
    /// Tolerance used, as a share.
    pub tolerance: f64,
    /// Spray on an area, m³/m².
    pub volume_rate_m: f64,
    /// Speed, m/s.
    pub speed_m_s: Option<f64>,
    /// Spray wanted on an area, m³/m².
    pub wanted_m: Option<f64>,
    /// By what the speed must be multiplied to give the wanted rate at the same pressure.
    pub speed_by: Option<f64>,
}

/// What was measured of a spreader, as typed.
#[derive(Debug, Clone, Default)]
pub struct SpreaderTest {
    /// Whole rate that is wanted, as `5 lb/1000ft2`.
    pub rate: String,
    /// Number of passes.
    pub passes: Option<String>,
    /// What one pass put down, as `2.4 lb`.
    pub spread: String,
    /// On what area, as `1000 ft2`.
    pub area: String,
    /// Band; 5 % where left out.
    pub tolerance: Option<String>,
}

/// What the spreader's test showed.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct SpreaderTested {
    /// Band of the whole rate and the rate of each pass, kg/m².
    pub band: SpreaderBand,
    /// The test.
    pub check: SpreaderCheck,
    /// Tolerance used, as a share.
    pub tolerance: f64,
}

fn read(what: &str, text: &str, kind: Kind) -> Result<f64, DeskError> {
    Quantity::parse_as(text, kind).map(|q| q.si()).map_err(|source| DeskError::Quantity { what: what.to_owned(), source })
}

/// Tests a sprayer.
///
/// # Errors
/// A figure that cannot be read, or at or below nothing, by its name.
pub fn test_sprayer(test: &SprayerTest) -> Result<SprayerTested, DeskError> {
    let catches = parse_list(&test.catches, Kind::Volume)
        .map_err(|source| DeskError::Quantity { what: "catches".to_owned(), source })?
        .iter()
        .map(Quantity::si)
        .collect::<Vec<f64>>();
    let tolerance = read("tolerance", test.tolerance.as_deref().unwrap_or(NOZZLE_BAND), Kind::Share)?;
    let (width, distance) = (read("width", &test.width, Kind::Length)?, read("distance", &test.distance, Kind::Length)?);
    let nozzles = nozzles(&catches, tolerance)?;
    let volume_rate_m = volume_rate(catches.iter().sum(), width, distance)?;
    let speed_m_s = match &test.time {
        None => None,
        Some(text) => {
            let seconds = read("time", text, Kind::Time)?;
            if seconds <= 0.0 {
                return Err(DeskError::Refused {
                    what: "time".to_owned(),
                    value: format!("`{text}`"),
                    why: "must be more than nothing".to_owned(),
                    remedy: "write it as `17 s`".to_owned(),
                });
            }
            Some(distance / seconds)
        }
    };
    let wanted_m = test.wanted.as_deref().map(|text| read("wanted", text, Kind::VolumePerArea)).transpose()?.filter(|w| *w > 0.0);
    Ok(SprayerTested { nozzles, tolerance, volume_rate_m, speed_m_s, wanted_m, speed_by: wanted_m.map(|wanted| volume_rate_m / wanted) })
}

/// Tests a spreader.
///
/// # Errors
/// A figure that cannot be read, or at or below nothing, by its name.
pub fn test_spreader(test: &SpreaderTest) -> Result<SpreaderTested, DeskError> {
    let tolerance = read("tolerance", test.tolerance.as_deref().unwrap_or(SPREADER_BAND), Kind::Share)?;
    let passes = read("passes", test.passes.as_deref().unwrap_or("2"), Kind::Bare)?;
    let band = spreader(read("rate", &test.rate, Kind::MassPerArea)?, passes, tolerance)?;
    let check = spreader_check(read("spread", &test.spread, Kind::Mass)?, read("area", &test.area, Kind::Area)?, band.per_pass, tolerance)?;
    Ok(SpreaderTested { band, check, tolerance })
}

fn printed(si: f64, unit: &str) -> String {
    Quantity::from_si(si, unit).map_or_else(|_| si.to_string(), |q| q.rounded(4))
}

fn percent(share: f64) -> String {
    format!("{:+.1} %", share * 100.0)
}

impl Desk {
    /// The sprayer's test, nozzle by nozzle.
    pub fn sprayer_sheet(&self, tested: &SprayerTested) -> Sheet {
        let mut sheet = self.sheet("sprayer-test", "Sprayer, calibrated from its catches");
        let bad = tested.nozzles.iter().filter(|nozzle| !nozzle.passes).count();
        let (text, tone) = if bad == 0 {
            (format!("All {} nozzles pass", tested.nozzles.len()), Tone::Calm)
        } else {
            (format!("{bad} of {} nozzles fail: clean or replace them, and catch again", tested.nozzles.len()), Tone::Act)
        };
        let why = format!(
            "Each is held against the mean of all, within {} % (SportsTurf, 2014).",
            groundlore_quantity::number::significant(tested.tolerance * 100.0, 3)
        );
        sheet.push(Block::Verdict { text, why, tone });
        let checks = tested.nozzles.iter().enumerate().map(|(place, nozzle)| Check {
            what: format!("nozzle {}", place + 1),
            state: if nozzle.passes { CheckState::Pass } else { CheckState::Refuse },
            why: format!("{}, {} of the mean", printed(nozzle.catch_m3, "floz"), percent(nozzle.off_mean)),
        });
        sheet.push(Block::Checks { checks: checks.collect() });
        let mut facts = vec![("spray on an area".to_owned(), printed(tested.volume_rate_m, "gal/acre"))];
        facts.push(("the same".to_owned(), printed(tested.volume_rate_m, "gal/1000ft2")));
        facts.push(("speed".to_owned(), tested.speed_m_s.map_or_else(|| "not timed".to_owned(), |speed| printed(speed, "mph"))));
        if let (Some(wanted), Some(by)) = (tested.wanted_m, tested.speed_by) {
            let off = tested.volume_rate_m / wanted - 1.0;
            facts.push(("wanted".to_owned(), format!("{}; this is {} of it off", printed(wanted, "gal/acre"), percent(off))));
            facts.push((
                "to reach it at this pressure".to_owned(),
                format!("walk or drive at {:.0} % of this speed, and catch again", by * 100.0),
            ));
        }
        sheet.push(Block::Facts { facts });
        sheet.push(Block::Cautions {
            cautions: vec![
                "Calibrate with clean water, and wear what the label asks for all the same: sprayers are seldom clean.".to_owned(),
                self.poison_words(),
            ],
        });
        sheet
    }

    /// The spreader's test.
    pub fn spreader_sheet(&self, tested: &SpreaderTested) -> Sheet {
        let mut sheet = self.sheet("spreader-test", "Spreader, calibrated from what it put down");
        let (text, tone) = if tested.check.passes {
            ("It passes".to_owned(), Tone::Calm)
        } else {
            ("It fails: change the opening, and test again".to_owned(), Tone::Act)
        };
        let unit = "lb/1000ft2";
        let why = format!(
            "One pass put down {}; {} is wanted, within {} % (UMass Extension).",
            printed(tested.check.rate, unit),
            printed(tested.band.per_pass, unit),
            groundlore_quantity::number::significant(tested.tolerance * 100.0, 3)
        );
        sheet.push(Block::Verdict { text, why, tone });
        sheet.push(Block::Facts {
            facts: vec![
                ("off".to_owned(), percent(tested.check.off)),
                ("it must put down".to_owned(), format!("{:.0} % of what it did", tested.check.change_by * 100.0)),
                ("whole rate accepted".to_owned(), format!("{} to {}", printed(tested.band.low, unit), printed(tested.band.high, unit))),
            ],
        });
        sheet.push(Block::Cautions {
            cautions: vec![
                "Test with this product on this spreader, over a sheet or swept pavement, and sweep up after; wear what the label asks for.".to_owned(),
                self.poison_words(),
            ],
        });
        sheet
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_boom_of_three_passes_and_a_worn_nozzle_fails() {
        // APP-07: 44, 45, 44 fl oz in the 1/128-acre time is 44.33 gal/acre by nozzle: width 340.3125 ft² in all three strips.
        let test = SprayerTest {
            width: "9 ft".into(),
            distance: "113.4375 ft".into(),
            catches: "44 floz, 45 floz, 44 floz".into(),
            ..Default::default()
        };
        let tested = test_sprayer(&test).unwrap();
        assert!((Quantity::from_si(tested.volume_rate_m, "gal/acre").unwrap().value - 44.333).abs() < 0.01);
        assert!(tested.nozzles.iter().all(|n| n.passes) && tested.speed_m_s.is_none());
        let worn = test_sprayer(&SprayerTest { catches: "44 floz, 52 floz, 44 floz".into(), ..test }).unwrap();
        assert_eq!(worn.nozzles.iter().map(|n| n.passes).collect::<Vec<_>>(), [true, false, true]);
    }

    #[test]
    fn speed_and_the_wanted_rate_are_told() {
        // APP-04: two nozzles on 40 in, 102 ft in 17 s, 14 fl oz from both: 14 gal/acre at 4.09 mph.
        let test = SprayerTest {
            width: "40 in".into(),
            distance: "102 ft".into(),
            time: Some("17 s".into()),
            catches: "7 floz, 7 floz".into(),
            wanted: Some("28 gal/acre".into()),
            ..Default::default()
        };
        let tested = test_sprayer(&test).unwrap();
        assert!((Quantity::from_si(tested.volume_rate_m, "gal/acre").unwrap().value - 14.0).abs() < 0.02);
        assert!((Quantity::from_si(tested.speed_m_s.unwrap(), "mph").unwrap().value - 4.09).abs() < 0.01);
        assert!((tested.speed_by.unwrap() - 0.5).abs() < 0.001);
    }

    #[test]
    fn a_spreader_passes_within_its_band() {
        // APP-19: 5.00 lb/1000 ft² in two passes of 2.50, band 5 %.
        let test = |spread: &str| SpreaderTest {
            rate: "5 lb/1000ft2".into(),
            spread: spread.into(),
            area: "1000 ft2".into(),
            ..Default::default()
        };
        assert!(test_spreader(&test("2.4 lb")).unwrap().check.passes);
        let heavy = test_spreader(&test("2.7 lb")).unwrap().check;
        assert!(!heavy.passes && (heavy.change_by - 2.5 / 2.7).abs() < 1e-9);
    }

    #[test]
    fn wrong_figures_name_place_and_value() {
        let good = SprayerTest { width: "9 ft".into(), distance: "100 ft".into(), catches: "44 floz".into(), ..Default::default() };
        let told = |test: SprayerTest| test_sprayer(&test).unwrap_err().to_string();
        assert!(told(SprayerTest { catches: "44 floz, 45 ft".into(), ..good.clone() }).contains("45 ft"));
        assert!(told(SprayerTest { width: "0 ft".into(), ..good.clone() }).contains("width"));
        assert!(told(SprayerTest { catches: "0 floz".into(), ..good.clone() }).contains("catch"));
        assert!(told(SprayerTest { time: Some("0 s".into()), ..good.clone() }).contains("17 s"));
        assert!(told(SprayerTest { tolerance: Some("120%".into()), ..good }).contains("tolerance"));
    }
}
