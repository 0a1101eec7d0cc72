//! The season of a yard laid out for people: what is now first, then the year as bands, then each kind of thing folded away by itself.

use crate::season::{FrostDay, Season};
use crate::yard_weather::OwnNote;
use crate::{Desk, DeskError};
use groundlore_figure::season_band::{self, BandRow};
use groundlore_lore::event_clock::EventKind;
use groundlore_lore::trouble::TroubleKind;
use groundlore_plant_health::clock::{Standing, Window};
use groundlore_plant_health::event_clock::ClockOdds;
use groundlore_sheet::{Block, Sheet};
use groundlore_weather::drought::index_words;
use jiff::ToSpan as _;
use jiff::civil::Date;

/// Days ahead that the sheet tells of (common practice: two months' work can be planned).
const AHEAD_DAYS: i64 = 60;
/// Most bands of the picture at the head.
const MOST_BANDS: usize = 14;
/// Most things of one kind that are told at the head; the rest stand under their kind.
const MOST_NOW: usize = 4;
/// Heading of each part of the season, in the order shown.
const PARTS: [&str; 18] = [
    "Insects and mites of turf",
    "Diseases of turf",
    "Weeds",
    "Insects and mites of trees, shrubs and beds",
    "Diseases of trees, shrubs and beds",
    "Animals",
    "Weather, soil and people's work",
    "Harmless things that owners see",
    "Mowing",
    "Seeding",
    "Before weeds come up",
    "Planting",
    "Bloom",
    "Leaf drop",
    "Cutting back",
    "Bed work",
    "Irrigation",
    "Frost",
];

/// Something that comes: a stage of a trouble, or an event by a clock.
#[derive(Debug)]
struct Coming {
    /// Place of its heading in [`PARTS`].
    part: usize,
    what: String,
    p10: Option<Date>,
    p50: Option<Date>,
    p90: Option<Date>,
    never: f64,
    stands: Standing,
    by_weather: bool,
    remembered: bool,
    treatable: bool,
    source: String,
}

impl Desk {
    /// The season as a sheet for the owner: what is now, a band figure, and by kind what is past, now and to come.
    ///
    /// # Errors
    /// As [`Desk::season`].
    pub fn season_sheet(&self, yard: &str) -> Result<Sheet, DeskError> {
        let season = self.season(yard)?;
        let mut sheet = self.season_head(&season);
        let mut all: Vec<Coming> =
            season.stages.iter().zip(&season.kinds).map(|((trouble, window), kind)| of_stage(trouble, window, *kind, self.today)).collect();
        let soon = self.today.saturating_add(AHEAD_DAYS.days());
        let events = self.shown_events(yard)?.into_iter().filter(|(_, odds)| odds.p10.is_some_and(|first| first <= soon));
        all.extend(events.map(|(name, odds)| of_event(name, &odds, self.today)));
        self.push_now(&all, &mut sheet);
        self.push_year(&all, &season.frosts, soon, &mut sheet);
        let standing = against_the_record(&season);
        if !standing.is_empty() {
            sheet.push(Block::table("This year against the record", &["what", "this year", "middle year", "rank", "so"], standing));
        }
        sheet.push(Block::heading("By kind"));
        for (place, part) in PARTS.iter().enumerate() {
            let of_part: Vec<&Coming> = all.iter().filter(|coming| coming.part == place).collect();
            sheet.blocks.extend(self.part(part, &of_part));
        }
        let frost = season
            .frosts
            .iter()
            .map(|f| vec![f.name.clone(), day(f.odds.p10), day(f.odds.p50), day(f.odds.p90), format!("{:.0}%", f.odds.never * 100.0)]);
        sheet.push(Block::table("Frost", &["frost", "10%", "50%", "90%", "never#"], frost.collect()));
        sheet.foot.push("A date here is a chance, not a promise: look at the ground before acting on it.".to_owned());
        sheet.foot.push("What is remembered, or is of the calendar, is a wide range and never alone a reason to treat.".to_owned());
        Ok(sheet)
    }

    /// Title, what the weather is made of, and what is not in the odds.
    fn season_head(&self, season: &Season) -> Sheet {
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
        sheet
    }

    /// What is now, a line for each kind; stages on which a control works stand first.
    fn push_now(&self, all: &[Coming], sheet: &mut Sheet) {
        let line = |part: usize| {
            let mut now: Vec<&Coming> = all.iter().filter(|c| c.part == part && c.stands == Standing::Now).collect();
            now.sort_by_key(|c| (!c.treatable, c.p90));
            let mut words: Vec<String> = now.iter().take(MOST_NOW).map(|c| format!("{}{}", c.what, until(c.p90, self.today))).collect();
            if now.len() > MOST_NOW {
                words.push(format!("{} more below", now.len() - MOST_NOW));
            }
            (!words.is_empty()).then(|| (PARTS[part].to_owned(), words.join("; ")))
        };
        let facts: Vec<(String, String)> = (0..PARTS.len()).filter_map(line).collect();
        sheet.push(Block::heading("Now"));
        if facts.is_empty() {
            sheet.push(Block::paragraph("Nothing that lore dates is on just now."));
        } else {
            sheet.push(Block::Facts { facts });
        }
    }

    /// The year as bands: stages on which a control works that are on or near, and the frosts.
    fn push_year(&self, all: &[Coming], frosts: &[FrostDay], soon: Date, sheet: &mut Sheet) {
        let near = |c: &&Coming| c.stands == Standing::Now || (c.stands == Standing::NotYet && c.p10.is_some_and(|first| first <= soon));
        let mut near: Vec<&Coming> = all.iter().filter(|c| c.treatable).filter(near).collect();
        near.sort_by_key(|c| (c.p50.or(c.p10), c.p90));
        let more = near.len().saturating_sub(MOST_BANDS);
        let mut rows: Vec<BandRow> = near.into_iter().take(MOST_BANDS).map(band_row).collect();
        rows.extend(frosts.iter().filter(|f| f.odds.past < 0.5).map(|f| BandRow {
            name: f.name.clone(),
            p10: f.odds.p10,
            p50: f.odds.p50,
            p90: f.odds.p90,
            note: never_note(f.odds.never),
            remembered: false,
        }));
        sheet.push(Block::heading("The year"));
        if !rows.is_empty() {
            let left_out = if more > 0 { format!(" {more} more are under their kinds below.") } else { String::new() };
            sheet.push(
                self.bands(
                    &rows,
                    &format!("Stages on which a control works, now and within {AHEAD_DAYS} days, and frost. {BANDS}{left_out}"),
                ),
            );
        }
    }

    fn bands(&self, rows: &[BandRow], caption: &str) -> Block {
        let said = |r: &BandRow| match (r.p50, r.p10, r.p90) {
            (Some(middle), ..) => format!("{}: about {}", r.name, middle.strftime("%-d %b")),
            (None, Some(from), Some(to)) => {
                format!("{}: {} to {} by the calendar", r.name, from.strftime("%-d %b"), to.strftime("%-d %b"))
            }
            _ => format!("{}: not this season", r.name),
        };
        let alt = rows.iter().map(said).collect::<Vec<_>>().join("; ");
        Block::figure(|width| season_band::draw(rows, self.today, width), 720.0, alt, caption)
    }

    /// A kind of thing, folded: its bands, then what is now, to come, and over within sixty days.
    fn part(&self, heading: &str, of_part: &[&Coming]) -> Option<Block> {
        let lately = self.today.saturating_sub(AHEAD_DAYS.days());
        let mut blocks = Vec::new();
        let mut counts = Vec::new();
        for (caption, counted, wanted) in
            [("Now", "now", Standing::Now), ("To come", "to come", Standing::NotYet), ("Past sixty days", "lately over", Standing::Over)]
        {
            let fits = |c: &&&Coming| c.stands == wanted && (wanted != Standing::Over || c.p90.is_some_and(|d| d >= lately));
            let mut found: Vec<&&Coming> = of_part.iter().filter(fits).collect();
            found.sort_by_key(|c| (c.p50.or(c.p10), &c.what));
            if !found.is_empty() {
                counts.push(format!("{} {counted}", found.len()));
                let row = |c: &&&Coming| vec![c.what.clone(), days_words(c), c.source.clone()];
                blocks.push(Block::table(caption, &["what", "when", "source"], found.iter().map(row).collect()));
            }
        }
        if blocks.is_empty() {
            return None;
        }
        let rows: Vec<BandRow> = of_part.iter().filter(|c| c.stands != Standing::Unlikely).map(|c| band_row(c)).collect();
        if rows.len() > 1 {
            blocks.push(self.bands(&rows, BANDS));
        }
        Some(Block::Fold { title: format!("{heading}: {}", counts.join(", ")), open: false, blocks })
    }
}

/// How the bands are read.
const BANDS: &str = "Bars run from the day by which 1 year of 10 has it to 9 of 10; the mark is the middle year. Hollow bars rest on memory or common practice, or are days of the calendar without odds.";

fn of_stage(trouble: &str, window: &Window, kind: TroubleKind, today: Date) -> Coming {
    let part = match kind {
        TroubleKind::TurfInsect => 0,
        TroubleKind::TurfDisease => 1,
        TroubleKind::Weed => 2,
        TroubleKind::OrnamentalInsect => 3,
        TroubleKind::OrnamentalDisease => 4,
        TroubleKind::Animal => 5,
        TroubleKind::Abiotic => 6,
        TroubleKind::Harmless => 7,
    };
    Coming {
        part,
        what: format!("{}, {}", trouble, window.name),
        p10: window.p10,
        p50: window.p50.filter(|_| window.by_weather()),
        p90: window.p90,
        never: window.never,
        stands: window.stands(today),
        by_weather: window.by_weather(),
        remembered: window.remembered,
        treatable: window.treatable,
        source: window.source.to_string(),
    }
}

fn of_event(name: String, odds: &ClockOdds, today: Date) -> Coming {
    let part = match odds.kind {
        EventKind::TurfInsect => 0,
        EventKind::TurfDisease => 1,
        EventKind::Weed => 2,
        EventKind::OrnamentalInsect => 3,
        EventKind::Mowing => 8,
        EventKind::Seeding => 9,
        EventKind::PreEmergence => 10,
        EventKind::Planting => 11,
        EventKind::Bloom => 12,
        EventKind::LeafDrop => 13,
        EventKind::CutBack => 14,
        EventKind::BedWork => 15,
        EventKind::Irrigation => 16,
        EventKind::Frost => 17,
    };
    let stands = match (odds.p10, odds.p90) {
        (Some(first), _) if today < first => Standing::NotYet,
        (Some(_), Some(last)) if today <= last => Standing::Now,
        (_, Some(_)) => Standing::Over,
        _ => Standing::Unlikely,
    };
    Coming {
        part,
        what: name,
        p10: odds.p10,
        p50: odds.p50,
        p90: odds.p90,
        never: odds.never,
        stands,
        by_weather: odds.futures > 0,
        remembered: odds.remembered,
        treatable: false,
        source: odds.source.to_string(),
    }
}

/// `, to 9 Sep`, with the year where it is another.
fn until(last: Option<Date>, today: Date) -> String {
    last.map_or_else(String::new, |last| {
        let form = if last.year() == today.year() { ", to %-d %b" } else { ", to %-d %b %Y" };
        last.strftime(form).to_string()
    })
}

/// The days of something in words: middle, span, how sure, and how often not at all.
fn days_words(coming: &Coming) -> String {
    let mut words = match (coming.p10, coming.p90) {
        (Some(_), Some(_)) => format!("{} to {}", day(coming.p10), day(coming.p90)),
        (Some(_), None) => format!("from {}", day(coming.p10)),
        _ => "not this season".to_owned(),
    };
    if let Some(middle) = coming.p50 {
        words = format!("about {}; {words}", day(Some(middle)));
    }
    if !coming.by_weather {
        words += ", by the calendar";
    } else if coming.remembered {
        words += ", a remembered clock";
    }
    if coming.never > 0.02 {
        words += &format!("; not in {:.0} of 100 years", coming.never * 100.0);
    }
    words
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

fn band_row(coming: &Coming) -> BandRow {
    BandRow {
        name: coming.what.clone(),
        p10: coming.p10,
        p50: coming.p50,
        p90: coming.p90,
        note: never_note(coming.never),
        remembered: !coming.by_weather || coming.remembered,
    }
}

fn never_note(never: f64) -> String {
    if never > 0.02 { format!("not in {:.0}%", never * 100.0) } else { String::new() }
}

fn day(date: Option<Date>) -> String {
    date.map_or_else(|| "–".to_owned(), |d| d.strftime("%-d %b").to_string())
}
