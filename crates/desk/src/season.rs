//! The season at a yard: stages of its troubles and frost, with odds.

use crate::forecast::FutureNote;
use crate::yard_weather::{OwnNote, WeatherNote};
use crate::{Desk, DeskError};
use groundlore_figure::season_band::{self, BandRow};
use groundlore_plant_health::clock::{Standing, Window};
use groundlore_sheet::{Block, Sheet};
use groundlore_weather::against_record::{HeatStanding, RainStanding, heat_standing, rain_standing};
use groundlore_weather::drought::index_words;
use groundlore_weather::{Cutoff, DegreeDays, Hemisphere, Kind, Method, Odds};
use jiff::ToSpan as _;
use jiff::civil::Date;
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
            let name = self.lore.troubles.get(&key).map_or(&key, |trouble| &trouble.name);
            stages.extend(windows.into_iter().map(|window| (name.clone(), window)));
        }
        stages.sort_by(|a, b| (a.1.p50.or(a.1.p10), &a.0).cmp(&(b.1.p50.or(b.1.p10), &b.0)));
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
        Ok(Season { yard: yard.row.name, station, weather, futures: ensemble.futures().len(), note, stages, frosts, heat, rain })
    }

    /// The season as a sheet for the owner: a band figure, and what is past, now and to come.
    ///
    /// # Errors
    /// As [`Desk::season`].
    pub fn season_sheet(&self, yard: &str) -> Result<Sheet, DeskError> {
        let season = self.season(yard)?;
        let what_comes = match &season.note.forecast {
            Some(used) => format!("and as what may come the {}, then {} past years", used.words(), season.futures),
            None => format!("with {} past years as what may come", season.futures),
        };
        let mut sheet = self
            .sheet("season", format!("The season at {}", season.yard))
            .subtitle(format!("As of {}; weather of station {} {what_comes}", self.today, season.station));
        if season.weather.stations.len() > 1 || season.weather.own.is_some() {
            let own = season.weather.own.iter().flat_map(OwnNote::words).map(|words| format!("; {words}")).collect::<String>();
            sheet.push(Block::paragraph(format!("Weather from {}{own}.", season.weather.stations_words())));
        }
        if let Some(why) = &season.note.forecast_not_used {
            sheet.push(Block::paragraph(format!("No forecast is in these odds: {why}.")));
        }
        let mut rows: Vec<BandRow> = season.stages.iter().map(|(trouble, w)| band_row(trouble, w)).collect();
        rows.extend(season.frosts.iter().filter(|f| f.odds.past < 0.5).map(|f| BandRow {
            name: f.name.clone(),
            p10: f.odds.p10,
            p50: f.odds.p50,
            p90: f.odds.p90,
            note: never_note(f.odds.never),
            remembered: false,
        }));
        let alt = rows
            .iter()
            .map(|r| match (r.p50, r.p10, r.p90) {
                (Some(middle), ..) => format!("{}: about {}", r.name, middle.strftime("%-d %b")),
                (None, Some(from), Some(to)) => {
                    format!("{}: {} to {} by the calendar", r.name, from.strftime("%-d %b"), to.strftime("%-d %b"))
                }
                _ => format!("{}: not this season", r.name),
            })
            .collect::<Vec<_>>()
            .join("; ");
        sheet.push(Block::Figure { svg: season_band::draw(&rows, self.today, 720.0), alt, caption: "Bars run from the day by which 1 year of 10 has it to 9 of 10; the mark is the middle year. Hollow bars rest on memory or common practice, or are days of the calendar without odds.".to_owned() });
        let standing = against_the_record(&season);
        if !standing.is_empty() {
            sheet.push(Block::table("This year against the record", &["what", "this year", "middle year", "rank", "so"], standing));
        }
        let lately = self.today.checked_sub(60.days()).unwrap_or(self.today);
        for (heading, wanted) in [("Now", Standing::Now), ("To come", Standing::NotYet), ("Past sixty days", Standing::Over)] {
            let lines: Vec<Vec<String>> = season
                .stages
                .iter()
                .filter(|(_, w)| w.stands(self.today) == wanted && (wanted != Standing::Over || w.p90.is_some_and(|d| d >= lately)))
                .map(|(trouble, w)| {
                    let (middle, how) = if w.futures == 0 { ("–".to_owned(), ", by the calendar") } else { (day(w.p50), "") };
                    vec![trouble.clone(), w.name.clone(), middle, format!("{} to {}{how}", day(w.p10), day(w.p90)), w.source.to_string()]
                })
                .collect();
            if !lines.is_empty() {
                sheet.push(Block::table(heading, &["of", "stage", "middle day", "8 in 10 years", "source"], lines));
            }
        }
        sheet.blocks.extend(self.event_blocks(yard)?);
        let frost = season
            .frosts
            .iter()
            .map(|f| vec![f.name.clone(), day(f.odds.p10), day(f.odds.p50), day(f.odds.p90), format!("{:.0}%", f.odds.never * 100.0)]);
        sheet.push(Block::table("Frost", &["frost", "10%", "50%", "90%", "never#"], frost.collect()));
        sheet.foot.push("A date here is a chance, not a promise: look at the ground before acting on it.".to_owned());
        Ok(sheet)
    }
}

/// Heat and rain of this year beside the record's, a row each.
fn against_the_record(season: &Season) -> Vec<Vec<String>> {
    let rank = |rank: f64, years: usize| format!("above {:.0} of {years} years", rank * years as f64);
    let heat = season.heat.iter().map(|(base, h)| {
        let so = match h.days_ahead {
            Some(0) => "as the middle year".to_owned(),
            Some(1) => "a day early".to_owned(),
            Some(-1) => "a day late".to_owned(),
            Some(days) if days > 0 => format!("{days} days early"),
            Some(days) => format!("{} days late", -days),
            None => "beyond the middle year".to_owned(),
        };
        let what = format!("heat above {base} since {}", h.since.strftime("%-d %b"));
        let fahrenheit = |celsius: f64| format!("{:.0} °F-days", celsius * 1.8);
        vec![what, fahrenheit(h.total), fahrenheit(h.median), rank(h.rank, h.years), so]
    });
    let rain = season.rain.iter().map(|r| {
        let so = r.index.map_or_else(|| "–".to_owned(), |i| index_words(i).to_owned());
        let inches = |mm: f64| format!("{:.1} in", mm / 25.4);
        vec![format!("rain of the last {} days", r.days), inches(r.total_mm), inches(r.median_mm), rank(r.rank, r.years), so]
    });
    heat.chain(rain).collect()
}

fn band_row(trouble: &str, window: &Window) -> BandRow {
    BandRow {
        name: shortened(&format!("{}, {trouble}", window.name), 46),
        p10: window.p10,
        p50: window.p50.filter(|_| window.futures > 0),
        p90: window.p90,
        note: never_note(window.never),
        remembered: !window.by_weather() || window.remembered,
    }
}

/// Cuts a name at a word so that it fits its column.
fn shortened(name: &str, most: usize) -> String {
    if name.chars().count() <= most {
        return name.to_owned();
    }
    let cut: String = name.chars().take(most).collect();
    format!("{}…", cut.rsplit_once(' ').map_or(cut.as_str(), |(head, _)| head))
}

fn never_note(never: f64) -> String {
    if never > 0.02 { format!("not in {:.0}%", never * 100.0) } else { String::new() }
}

fn day(date: Option<Date>) -> String {
    date.map_or_else(|| "–".to_owned(), |d| d.strftime("%-d %b").to_string())
}
