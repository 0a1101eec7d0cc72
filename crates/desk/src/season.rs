//! The season at a yard: stages of its troubles and frost, with odds. How it is laid out for people stands in [`crate::season_sheet`].

use crate::forecast::FutureNote;
use crate::yard_weather::WeatherNote;
use crate::{Desk, DeskError};
use groundlore_lore::trouble::TroubleKind;
use groundlore_plant_health::clock::Window;
use groundlore_weather::against_record::{HeatStanding, RainStanding, heat_standing, rain_standing};
use groundlore_weather::{Cutoff, DegreeDays, Hemisphere, Kind, Method, Odds};
use std::sync::Arc;

/// A frost date with its odds.
#[derive(Debug, Clone, serde::Serialize)]
pub struct FrostDay {
    /// Name.
    pub name: String,
    /// Odds.
    pub odds: Odds,
}

/// The season of a yard.
#[derive(Debug, Clone, serde::Serialize)]
pub struct Season {
    /// Yard.
    pub yard: String,
    /// The stations, heaviest first.
    pub station: String,
    /// What the weather is made of: stations with weights and distances, the yard's own readings.
    pub weather: WeatherNote,
    /// Futures behind the odds.
    pub futures: usize,
    /// How the futures were made, and with which forecast.
    #[serde(flatten)]
    pub note: FutureNote,
    /// Stages of troubles, by trouble.
    pub stages: Vec<(String, Window)>,
    /// Kinds of those troubles, in the same order.
    #[serde(skip)]
    pub kinds: Vec<TroubleKind>,
    /// Frosts.
    pub frosts: Vec<FrostDay>,
    /// This year's heat so far against the record, above 32 °F (0 °C) and 50 °F (10 °C).
    pub heat: Vec<(String, HeatStanding)>,
    /// The rain of the last weeks against the record.
    pub rain: Vec<RainStanding>,
}

impl Desk {
    /// The season of a yard by its station's weather.
    ///
    /// # Errors
    /// A yard without a station or a place.
    pub fn season(&self, yard: &str) -> Result<Season, DeskError> {
        let yard = self.yard(yard)?;
        let none = || {
            DeskError::missing(
                format!("{} has no weather station, and none of the book is within reach", yard.row.name),
                "name one with `groundlore yard import … --station KEY`",
            )
        };
        let weather = self.yard_weather(&yard.row)?.ok_or_else(none)?;
        let ensemble = self.yard_ensemble(&yard.row)?.ok_or_else(none)?;
        let station = weather.note.stations.iter().map(|station| station.id.as_str()).collect::<Vec<_>>().join(", ");
        let mut stages = Vec::new();
        for (key, windows) in self.all_stage_windows(&yard)? {
            let Some(trouble) = self.lore.troubles.get(&key) else { continue };
            stages.extend(windows.into_iter().map(|window| (trouble.kind, trouble.name.clone(), window)));
        }
        stages.sort_by(|a, b| (a.2.p50.or(a.2.p10), &a.1).cmp(&(b.2.p50.or(b.2.p10), &b.1)));
        let kinds = stages.iter().map(|(kind, ..)| *kind).collect();
        let stages = stages.into_iter().map(|(_, name, window)| (name, window)).collect();
        let (last, first) = match self.coming_by_forecast(&yard.row)? {
            Some(coming) => (coming.last_frosts(0.0), coming.first_frosts(0.0)),
            None => (ensemble.last_frost(0.0), ensemble.first_frost(0.0)),
        };
        let frosts = [("last frost of spring, 32 °F", last, true), ("first frost of autumn, 32 °F", first, false)]
            .into_iter()
            .map(|(name, dates, last)| FrostDay {
                name: name.to_owned(),
                odds: if last { Odds::from_last_dates(&dates, self.today) } else { Odds::from_dates(&dates, self.today) },
            })
            .collect();
        let series = Arc::clone(&weather.series);
        let note = self.coming(&yard.row, &series, Kind::default())?.note.clone();
        let start = if series.hemisphere() == Hemisphere::South { (7, 1) } else { (1, 1) };
        let mut heat = Vec::new();
        for (base_c, name) in [(0.0, "32 °F"), (10.0, "50 °F")] {
            let model = DegreeDays::new(Method::Average, base_c, None, Cutoff::None)?;
            heat.extend(heat_standing(&series, model, start, self.today).map(|standing| (name.to_owned(), standing)));
        }
        let rain = [30, 90].into_iter().filter_map(|days| rain_standing(&series, days, self.today)).collect();
        let weather = weather.note.clone();
        Ok(Season { yard: yard.row.name, station, weather, futures: ensemble.futures().len(), note, stages, kinds, frosts, heat, rain })
    }
}
