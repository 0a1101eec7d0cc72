//! A trouble of lore as a handbook would print it: what it is, where and when by this station's clock, signs, look-alikes, counting, what to
//! do, and what the law asks.

use crate::stages::told_words;
use crate::{Desk, DeskError};
use groundlore_figure::life_cycle::{self, Band, LifeCycle, LifeRow};
use groundlore_lore::Lore;
use groundlore_lore::control::{Control, ControlClass, Target};
use groundlore_lore::provenance::{DayRange, QuantityRange, ShareRange, Source};
use groundlore_lore::trouble::{Clock, Condition, CountMethod, Method, Trouble, TroubleKind};
use groundlore_plant_health::clock::{self, Window, month_day};
use groundlore_plant_health::duty;
use groundlore_sheet::{Block, Sheet, Tone};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use std::collections::BTreeSet;

/// When the stages of a trouble come at a place.
#[derive(Debug)]
pub(crate) struct HereAndNow {
    /// Whose clock tells them, in words.
    pub(crate) by: String,
    /// South of the equator, where lore's days are half a year later.
    pub(crate) south: bool,
    /// The windows, one for each stage that can be dated.
    pub(crate) windows: Vec<Window>,
}

impl HereAndNow {
    /// The days of the calendar that lore gives, where there is no station: stages that run by heat have none.
    pub(crate) fn without_a_book(trouble: &Trouble, today: Date) -> Self {
        let of_calendar = trouble.stages.iter().filter(|stage| matches!(stage.clock, Clock::Calendar { .. }));
        let windows = of_calendar.filter_map(|stage| clock::window(stage, 45.0, today, |_| Ok(Vec::new())).ok()).collect();
        Self { by: "days of the calendar, north of the equator; a yard's clock moves them".to_owned(), south: false, windows }
    }
}

impl Desk {
    /// When a trouble's stages come at a yard, or else at the first yard of the book that has a station.
    pub(crate) fn here_and_now(&self, trouble: &Trouble, yard: Option<&str>) -> Result<HereAndNow, DeskError> {
        let named = yard.map(|name| self.yard(name)).transpose()?;
        let yard = match named {
            Some(yard) => Some(yard),
            None => self.first_yard_with_weather()?,
        };
        let Some(yard) = yard.filter(|yard| yard.row.latitude.is_some()) else {
            return Ok(HereAndNow::without_a_book(trouble, self.today));
        };
        let station = self.yard_weather(&yard.row)?.and_then(|weather| weather.note.stations.first().map(|station| station.id.clone()));
        let by = match station {
            Some(station) => format!("by the clock of station {station}, at {}", yard.row.name),
            None => format!("days of the calendar at {}: it has no weather", yard.row.name),
        };
        let south = yard.row.latitude.is_some_and(|latitude| latitude < 0.0);
        Ok(HereAndNow { by, south, windows: self.stage_windows(&yard, trouble)? })
    }

    fn first_yard_with_weather(&self) -> Result<Option<crate::yards::YardOnDesk>, DeskError> {
        for row in self.book.yards()? {
            if row.latitude.is_some() && self.yard_weather(&row)?.is_some() {
                return Ok(Some(self.yard(&row.name)?));
            }
        }
        Ok(None)
    }
}

/// The whole entry.
pub(crate) fn trouble_sheet(lore: &Lore, t: &Trouble, here: &HereAndNow, today: Date) -> Sheet {
    let mut sheet = Sheet::new("lore-entry", t.name.clone(), today);
    sheet.subtitle = t.scientific.clone();
    sheet.push(Block::paragraph(t.summary.clone()));
    regulated(t, &mut sheet);
    let stage = t.action.stage.as_ref().map(|s| format!(" ({})", stage_name(t, s))).unwrap_or_default();
    let tone = match t.kind {
        TroubleKind::Harmless => Tone::Calm,
        _ if t.action.class == groundlore_lore::trouble::ActionClass::Watch => Tone::Watch,
        _ => Tone::Act,
    };
    sheet.push(Block::Verdict { text: format!("{}{stage}", t.action.class.words()), why: t.action.why.clone(), tone });
    sheet.push(Block::Facts { facts: names(lore, t) });
    where_and_when(t, here, today, &mut sheet);
    favours(t, &mut sheet);
    signs(lore, t, &mut sheet);
    tellings(lore, t, &mut sheet);
    look_alikes(lore, t, &mut sheet);
    counting(t, &mut sheet);
    what_to_do(lore, t, &mut sheet);
    laboratory(t, &mut sheet);
    if !t.cautions.is_empty() {
        sheet.push(Block::Cautions { cautions: t.cautions.clone() });
    }
    sheet.push(Block::heading("What the owner is told"));
    sheet.push(Block::paragraph(t.for_the_owner.clone()));
    sheet.push(Block::Sources { sources: sources(lore, t) });
    sheet
}

/// The kind of a trouble in words.
pub(crate) fn kind_words(kind: TroubleKind) -> &'static str {
    match kind {
        TroubleKind::TurfDisease => "disease of turf",
        TroubleKind::TurfInsect => "insect or mite of turf",
        TroubleKind::Weed => "weed",
        TroubleKind::OrnamentalInsect => "insect or mite of trees, shrubs and beds",
        TroubleKind::OrnamentalDisease => "disease of trees, shrubs and beds",
        TroubleKind::Abiotic => "weather, soil, machines or people's own work",
        TroubleKind::Animal => "bird or mammal",
        TroubleKind::Harmless => "harmless",
    }
}

fn names(lore: &Lore, t: &Trouble) -> Vec<(String, String)> {
    let mut facts = vec![("kind".to_owned(), kind_words(t.kind).to_owned())];
    if !t.also_called.is_empty() {
        facts.push(("also called".to_owned(), t.also_called.join(", ")));
    }
    if let Some(wider) = &t.kind_of {
        facts.push(("one of".to_owned(), lore.troubles.get(wider).map_or_else(|| wider.clone(), |w| w.name.clone())));
    }
    facts.push(("seen on".to_owned(), t.hosts.join(", ")));
    facts.push(("holds for".to_owned(), t.region.clone()));
    facts.push(("share of letters".to_owned(), format!("{} of those about these hosts at its season", share(&t.prior))));
    facts.push(("reviewed".to_owned(), t.reviewed.clone()));
    facts
}

/// How owners tell of it, in a few of the voices that lore holds.
fn tellings(lore: &Lore, t: &Trouble, sheet: &mut Sheet) {
    const VOICES: usize = 3;
    let Some(telling) = lore.tellings.get(&t.key).filter(|telling| !telling.told.is_empty()) else { return };
    sheet.push(Block::heading("How owners tell of it"));
    let items = telling.told.iter().take(VOICES).map(|words| format!("\u{201c}{words}\u{201d}")).collect();
    sheet.push(Block::List { ordered: false, items });
}

fn regulated(t: &Trouble, sheet: &mut Sheet) {
    if t.regulated.is_empty() {
        return;
    }
    sheet.push(Block::heading("Regulated: report it, neither treat it nor leave it alone"));
    let rows = t
        .regulated
        .iter()
        .map(|r| vec![r.places.join(", "), r.eppo.clone(), r.tell.clone(), format!("list of {}", r.listed), r.source.to_string()]);
    sheet.push(Block::table("Places where a rule holds", &["places", "EPPO code", "whom to tell", "as of", "source"], rows.collect()));
    sheet.push(Block::List { ordered: true, items: duty::STEPS.iter().map(ToString::to_string).collect() });
}

fn where_and_when(t: &Trouble, here: &HereAndNow, today: Date, sheet: &mut Sheet) {
    sheet.push(Block::heading("When"));
    let season = t.season.as_ref().map_or_else(
        || "Its signs may show at any time.".to_owned(),
        |s| {
            let out = t.off_season.as_ref().map_or_else(String::new, |off| format!(" Outside that, {} as likely.", share(off)));
            format!(
                "Its signs show from {} to {} [{}].{out}",
                month_day_words(&s.from, here.south),
                month_day_words(&s.to, here.south),
                s.source
            )
        },
    );
    sheet.push(Block::paragraph(season));
    let chart = life_cycle_of(t, here, today);
    if !chart.rows.is_empty() {
        let alt = chart.rows.iter().map(row_words).collect::<Vec<_>>().join("; ");
        let caption = format!(
            "Life through the year, {}. Bands run from the day by which 1 year of 10 has it to 9 of 10, with a mark at the middle year; without a mark they are days of the calendar.",
            here.by
        );
        sheet.push(Block::figure(|width| life_cycle::draw(&chart, width), 720.0, alt, caption));
    }
    if t.stages.is_empty() {
        return;
    }
    let rows = t.stages.iter().map(|stage| {
        let window = here.windows.iter().find(|w| w.stage == stage.key);
        let (when, told) = window.map_or_else(
            || ("not dated without a station".to_owned(), clock_words(&stage.clock)),
            |w| (window_words(w), format!("{} [{}]", told_words(w), w.source)),
        );
        vec![stage.name.clone(), when, if stage.treatable { "yes" } else { "no" }.to_owned(), told]
    });
    sheet.push(Block::table("Stages", &["stage", "here, this year", "a control works", "told by"], rows.collect()));
}

/// The bands of a trouble's year: its stages, when its signs show, when it is counted.
fn life_cycle_of(t: &Trouble, here: &HereAndNow, today: Date) -> LifeCycle {
    let year = if here.south && today.month() < 7 { today.year() - 1 } else { today.year() };
    let first = date(year, if here.south { 7 } else { 1 }, 1);
    let mut rows: Vec<LifeRow> = here.windows.iter().map(stage_row).collect();
    let days = |name: &str, band: Band, range: &DayRange| {
        let (from, to) = (day_of(&range.from, year, here.south)?, day_of(&range.to, year, here.south)?);
        let to = if to < from { to.saturating_add(1.year()) } else { to };
        let remembered = !range.source.is_published();
        Some(LifeRow {
            name: name.to_owned(),
            band,
            from: Some(from),
            middle: None,
            to: Some(to),
            note: String::new(),
            yearly: true,
            remembered,
        })
    };
    rows.extend(t.season.as_ref().and_then(|range| days("signs show", Band::Signs, range)));
    rows.extend(t.count.as_ref().and_then(|count| days("best counted", Band::Count, &count.when)));
    LifeCycle { title: format!("{} through the year", t.name), first, today: Some(today), rows }
}

fn stage_row(window: &Window) -> LifeRow {
    LifeRow {
        name: window.name.clone(),
        band: if window.treatable { Band::Treatable } else { Band::Stage },
        from: window.p10,
        middle: window.p50.filter(|_| window.by_weather()),
        to: window.p90,
        note: if window.never > 0.02 { format!("not in {:.0}%", window.never * 100.0) } else { String::new() },
        yearly: !window.by_weather(),
        remembered: window.remembered,
    }
}

/// A day of the northern year as a date of the growing year.
fn day_of(text: &str, year: i16, south: bool) -> Option<Date> {
    let (month, day) = month_day(text).ok()?;
    let (year, month) = match (south, month > 6) {
        (false, _) => (year, month),
        (true, true) => (year + 1, month - 6),
        (true, false) => (year, month + 6),
    };
    let first = Date::new(year, month, 1).ok()?;
    Date::new(year, month, day.min(first.days_in_month())).ok()
}

fn month_day_words(text: &str, south: bool) -> String {
    day_of(text, 2001, south).map_or_else(|| text.to_owned(), |day| day.strftime("%-d %B").to_string())
}

fn row_words(row: &LifeRow) -> String {
    let day = |d: Option<Date>| d.map_or_else(|| "after the year".to_owned(), |d| d.strftime("%-d %b").to_string());
    match (row.from, row.middle) {
        (None, _) => format!("{}: not this season", row.name),
        (Some(_), Some(middle)) => format!("{}: about {}, {} to {}", row.name, middle.strftime("%-d %b"), day(row.from), day(row.to)),
        _ => format!("{}: {} to {}", row.name, day(row.from), day(row.to)),
    }
}

fn window_words(window: &Window) -> String {
    let day = |d: Option<Date>| d.map_or_else(|| "beyond the season".to_owned(), |d| d.strftime("%-d %b").to_string());
    let Some(first) = window.p10 else { return "not this season in nine years of ten".to_owned() };
    let span = format!("{} to {}", day(Some(first)), day(window.p90));
    if !window.by_weather() {
        return format!("{span}, by the calendar, no odds");
    }
    let never = if window.never > 0.02 { format!("; not in {:.0} of 100 years", window.never * 100.0) } else { String::new() };
    format!("about {}; 8 years in 10 from {span}{never}", day(window.p50))
}

fn clock_words(clock: &Clock) -> String {
    match clock {
        Clock::AirDegreeDays { start, base, method, low, high, region, source } => {
            format!("{low}–{high} degree-days over {base} from {start} ({method}; {region}) [{source}]")
        }
        Clock::Calendar { from, to, region, source } => {
            format!("{} to {} ({region}) [{source}]", month_day_words(from, false), month_day_words(to, false))
        }
    }
}

fn favours(t: &Trouble, sheet: &mut Sheet) {
    if t.favoured_by.is_empty() {
        return;
    }
    let mut found: Vec<_> = t.favoured_by.iter().collect();
    found.sort_by(|a, b| (b.factor.low * b.factor.high).total_cmp(&(a.factor.low * a.factor.high)));
    let rows = found.iter().map(|f| vec![condition_words(f.condition).to_owned(), factor_words(&f.factor), f.factor.source.to_string()]);
    sheet.push(Block::heading("What favours it"));
    sheet.push(Block::table("", &["condition", "then it is", "source"], rows.collect()));
}

/// A factor on the odds in words: `1.2–2 times as likely`; a range that holds 1 settles nothing.
fn factor_words(factor: &ShareRange) -> String {
    let n = |v: f64| groundlore_quantity::number::significant(v, 2);
    let times = if factor.low == factor.high { n(factor.low) } else { format!("{}–{}", n(factor.low), n(factor.high)) };
    match (factor.low, factor.high) {
        (low, high) if low < 1.0 && high > 1.0 => format!("{times} times as likely: it may go either way"),
        (_, high) if high <= 1.0 => format!("less likely: {times} times"),
        _ => format!("{times} times as likely"),
    }
}

fn condition_words(condition: Condition) -> &'static str {
    match condition {
        Condition::DrySpell => "a dry spell",
        Condition::WetSpell => "a wet spell",
        Condition::Heat => "heat",
        Condition::WarmNights => "warm nights",
        Condition::CoolMild => "cool, mild days",
        Condition::SnowLay => "snow that lay",
        Condition::Shade => "shade",
        Condition::Irrigated => "irrigation",
        Condition::Unwatered => "no irrigation",
        Condition::LatelyFed => "fed within the month",
        Condition::Hungry => "little or no nitrogen this year",
        Condition::DullBlades => "dull mower blades",
        Condition::FootTraffic => "much walking or driving",
        Condition::SaltedWay => "a salted road or path beside it",
        Condition::Dog => "a dog",
        Condition::ConfirmedNearby => "confirmed nearby this season",
        Condition::NewPlanting => "planted or laid within two years",
        Condition::RingedTrunk => "mulch or blocks against the trunk",
        Condition::WetSoil => "wet ground",
        Condition::LimySoil => "soil of high pH",
        Condition::ThickThatch => "thick thatch",
        Condition::LateFrost => "a late frost",
        Condition::HardWinter => "a hard winter",
        Condition::Wind => "wind",
        Condition::WeedkillerLately => "weedkiller lately, here or next door",
        Condition::GroundDisturbed => "building or digging over the roots",
    }
}

/// How often, in words, by the middle of a range of shares.
fn often(low: f64, high: f64) -> &'static str {
    match f64::midpoint(low, high) {
        m if m >= 0.85 => "nearly always",
        m if m >= 0.6 => "usually",
        m if m >= 0.35 => "often",
        m if m >= 0.15 => "sometimes",
        m if m >= 0.05 => "seldom",
        _ => "hardly ever",
    }
}

fn percents(low: f64, high: f64) -> String {
    let n = |v: f64| groundlore_quantity::number::significant(v * 100.0, 2);
    if low == high { format!("{}%", n(low)) } else { format!("{}–{}%", n(low), n(high)) }
}

fn share(range: &ShareRange) -> String {
    format!("{} [{}]", percents(range.low, range.high), range.source)
}

/// Signs seen at least sometimes; the seldom ones, which speak against it, are folded away.
fn signs(lore: &Lore, t: &Trouble, sheet: &mut Sheet) {
    if t.findings.is_empty() {
        return;
    }
    let name_of = |key: &str| lore.findings.get(key).map_or_else(|| key.to_owned(), |f| f.name.clone());
    let mut findings: Vec<_> = t.findings.iter().collect();
    findings.sort_by(|a, b| (b.low + b.high).total_cmp(&(a.low + a.high)));
    let row = |f: &&groundlore_lore::trouble::Likelihood| {
        vec![name_of(&f.finding), format!("{}, {}", often(f.low, f.high), percents(f.low, f.high)), f.source.to_string()]
    };
    let (there, seldom): (Vec<_>, Vec<_>) = findings.into_iter().partition(|f| f64::midpoint(f.low, f.high) >= 0.15);
    let columns = ["sign", "how often", "source"];
    sheet.push(Block::heading("Signs"));
    if !there.is_empty() {
        let caption = "How often each sign is there, where this is the cause and somebody looked";
        sheet.push(Block::table(caption, &columns, there.iter().map(row).collect()));
    }
    if !seldom.is_empty() {
        sheet.push(Block::Fold {
            title: format!("Seldom seen with it, so they speak against it ({})", seldom.len()),
            open: false,
            blocks: vec![Block::table("", &columns, seldom.iter().map(row).collect())],
        });
    }
}

fn look_alikes(lore: &Lore, t: &Trouble, sheet: &mut Sheet) {
    if t.look_alikes.is_empty() {
        return;
    }
    let rows = t.look_alikes.iter().map(|l| {
        let other = lore.troubles.get(&l.trouble);
        let harmless = if other.is_some_and(|o| o.kind == TroubleKind::Harmless) { ", harmless" } else { "" };
        let name = other.map_or(l.trouble.as_str(), |o| o.name.as_str());
        let sign = lore.findings.get(&l.split_by).map_or(l.split_by.as_str(), |f| f.name.as_str());
        let odds = |of: Option<&Trouble>| {
            let found = of.and_then(|of| of.findings.iter().find(|f| f.finding == l.split_by));
            found.map_or_else(|| "not told".to_owned(), |f| percents(f.low, f.high))
        };
        vec![format!("{name}{harmless}"), sign.to_owned(), odds(Some(t)), odds(other), l.how.clone()]
    });
    sheet.push(Block::heading("Taken for"));
    let columns = ["look-alike", "sign that splits them", "with this", "with that", "how to tell"];
    sheet.push(Block::table("", &columns, rows.collect()));
}

fn counting(t: &Trouble, sheet: &mut Sheet) {
    let told = !t.thresholds.is_empty() || !t.thresholds_in_words.is_empty() || t.no_good_threshold.is_some();
    if t.count.is_none() && !told {
        return;
    }
    sheet.push(Block::heading("Counting, and how many are too many"));
    if let Some(count) = &t.count {
        sheet.push(Block::Facts { facts: count_facts(count) });
    }
    if !t.thresholds.is_empty() {
        let rows = t.thresholds.iter().map(|h| {
            let species = h.told_by.as_ref().map_or_else(|| h.species.clone(), |by| format!("{} ({by})", h.species));
            let from = if h.low == h.high { h.low.to_string() } else { format!("{}–{}", h.low.value, h.high) };
            vec![species, h.stage.clone(), from, h.region.clone(), h.condition.clone().unwrap_or_default(), h.source.to_string()]
        });
        let columns = ["species", "stage", "injures from", "where", "on ground", "source"];
        sheet.push(Block::table("Published ranges by species and region; where they disagree, all are kept", &columns, rows.collect()));
    }
    let said = t.thresholds_in_words.iter().chain(&t.no_good_threshold);
    let lines: Vec<String> = said.map(|s| format!("{} [{}]", s.text, s.source)).collect();
    if !lines.is_empty() {
        sheet.push(Block::list(lines));
    }
    if !told {
        sheet.push(Block::paragraph("No good figure is known for how many are too many."));
    }
}

fn count_facts(count: &CountMethod) -> Vec<(String, String)> {
    let method = match count.method {
        Method::Flap => "flaps of sod",
        Method::Flush => "soap flush",
        Method::Flotation => "flotation in a can",
        Method::Trap => "traps, by nights",
        Method::Beat => "beating over a sheet",
        Method::Look => "looking and counting",
        Method::Quadrat => "quadrats",
    };
    let mut facts = vec![
        ("method".to_owned(), format!("{method} [{}]", count.source)),
        ("sample".to_owned(), count.sample.clone()),
        ("count".to_owned(), count.counted.clone()),
        ("cannot see".to_owned(), count.blind_to.clone()),
        ("takes".to_owned(), format!("{} a sample", range(&count.effort))),
        (
            "best".to_owned(),
            format!("{} to {} [{}]", month_day_words(&count.when.from, false), month_day_words(&count.when.to, false), count.when.source),
        ),
    ];
    if let Some(k) = &count.dispersion_k {
        let n = |v: f64| groundlore_quantity::number::significant(v, 3);
        let span = if k.low == k.high { n(k.low) } else { format!("{}–{}", n(k.low), n(k.high)) };
        facts.push(("clumping".to_owned(), format!("k of the negative binomial {span} [{}]; smaller is clumpier", k.source)));
    }
    facts
}

fn what_to_do(lore: &Lore, t: &Trouble, sheet: &mut Sheet) {
    sheet.push(Block::heading("What to do"));
    sheet.push(Block::List { ordered: true, items: t.action.steps.clone() });
    if let Some(recovers) = &t.action.recovers_in {
        sheet.push(Block::paragraph(format!("Left alone it usually looks better after {}.", range(recovers))));
    }
    let rows: Vec<Vec<String>> = controls_of(lore, t).into_iter().map(|(control, targets)| control_row(t, control, &targets)).collect();
    if !rows.is_empty() {
        let columns = ["control", "what it is", "works on", "found to control", "note"];
        sheet.push(Block::table("Controls, culture first; rates and intervals come from your label card alone", &columns, rows));
    }
}

/// The controls that the entry names and those that name the entry: practices, then living and physical ones, then active ingredients.
fn controls_of<'a>(lore: &'a Lore, t: &Trouble) -> Vec<(&'a Control, Vec<&'a Target>)> {
    let mut found = lore.controls_for(&t.key, None);
    for control in t.action.controls.iter().filter_map(|key| lore.controls.get(key)) {
        if found.iter().all(|(known, _)| known.key != control.key) {
            found.push((control, Vec::new()));
        }
    }
    let named = |key: &str| t.action.controls.iter().position(|k| k == key).unwrap_or(usize::MAX);
    found.sort_by_key(|(control, _)| (control.class, named(&control.key)));
    found
}

fn control_row(t: &Trouble, control: &Control, targets: &[&Target]) -> Vec<String> {
    let class = match control.class {
        ControlClass::Practice => "practice",
        ControlClass::Organism => "living or physical",
        ControlClass::ActiveIngredient => "active ingredient",
    };
    let stages: BTreeSet<String> = targets.iter().flat_map(|target| &target.stages).map(|key| stage_name(t, key)).collect();
    let stages = if stages.is_empty() { "any stage".to_owned() } else { stages.into_iter().collect::<Vec<_>>().join(", ") };
    let mut notes = Vec::new();
    if control.needs_label {
        notes.push("a label rules it".to_owned());
    }
    if let Some(group) = &control.group {
        notes.push(format!("{} group {} ({}) [{}]", group.scheme, group.code, group.edition, group.source));
    }
    if let Some(bees) = &control.bee_hazard {
        notes.push(format!("bees: class {} ({}) [{}]", bees.category, bees.edition, bees.source));
    }
    vec![control.name.clone(), class.to_owned(), stages, evidence_words(targets), notes.join("; ")]
}

/// Evidence from the newest to the oldest, a line each: share, year, place, source.
fn evidence_words(targets: &[&Target]) -> String {
    let mut found: Vec<_> = targets.iter().flat_map(|target| &target.evidence).collect();
    if found.is_empty() {
        return "no figure is known".to_owned();
    }
    found.sort_by_key(|e| std::cmp::Reverse(e.year));
    let line = |e: &&groundlore_lore::control::Evidence| {
        let trials = e.comparisons.map_or_else(String::new, |n| if n == 1 { ", 1 trial".to_owned() } else { format!(", {n} trials") });
        let note = e.note.as_ref().map_or_else(String::new, |note| format!("; {note}"));
        format!("{} ({} {}{trials}{note}) [{}]", percents(e.control.low, e.control.high), e.place, e.year, e.control.source)
    };
    found.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn laboratory(t: &Trouble, sheet: &mut Sheet) {
    let Some(lab) = &t.laboratory else { return };
    sheet.push(Block::heading("Laboratory"));
    let n = |v: f64| groundlore_quantity::number::significant(v, 3);
    let cost = if lab.cost.low == lab.cost.high { n(lab.cost.low) } else { format!("{}–{}", n(lab.cost.low), n(lab.cost.high)) };
    sheet.push(Block::Facts {
        facts: vec![
            ("send".to_owned(), lab.sample.clone()),
            ("shows".to_owned(), lab.shows.clone()),
            ("cannot tell".to_owned(), lab.cannot_tell.clone()),
            ("costs".to_owned(), format!("US$ {cost} [{}]", lab.cost.source)),
            ("takes".to_owned(), range(&lab.takes)),
            ("finds true cases".to_owned(), share(&lab.sensitivity)),
            ("passes sound ones".to_owned(), share(&lab.specificity)),
        ],
    });
}

/// Name of a stage by its key; other words stay as they are.
fn stage_name(t: &Trouble, key: &str) -> String {
    t.stages.iter().find(|stage| stage.key == key).map_or_else(|| key.to_owned(), |stage| stage.name.clone())
}

/// A range of quantities with its source.
pub(crate) fn range(r: &QuantityRange) -> String {
    let unit_once = r.low.unit == r.high.unit;
    let span = if r.low == r.high {
        r.low.to_string()
    } else if unit_once {
        format!("{}–{}", r.low.value, r.high)
    } else {
        format!("{} to {}", r.low, r.high)
    };
    format!("{span} [{}]", r.source)
}

/// Every source that the entry rests on, cited once: published ones by name, then what is remembered.
fn sources(lore: &Lore, t: &Trouble) -> Vec<String> {
    let mut keys: BTreeSet<String> = BTreeSet::new();
    collect(&serde_json::to_value(t).unwrap_or_default(), &mut keys);
    let controls = controls_of(lore, t);
    let evidence = controls.iter().flat_map(|(_, targets)| targets).flat_map(|target| &target.evidence);
    keys.extend(evidence.flat_map(|e| e.control.source.0.clone()));
    let (published, own): (Vec<_>, Vec<_>) = keys.into_iter().partition(|key| lore.sources.contains_key(key));
    let cite = |key: String| lore.cite(&Source(vec![key.clone()])).into_iter().map(move |citation| format!("{key}: {citation}"));
    published.into_iter().flat_map(cite).chain(own).collect()
}

/// Keys under `source` at any depth.
fn collect(value: &serde_json::Value, into: &mut BTreeSet<String>) {
    match value {
        serde_json::Value::Object(map) => {
            for (name, inner) in map {
                match inner {
                    serde_json::Value::Array(keys) if name == "source" => {
                        into.extend(keys.iter().filter_map(|k| k.as_str()).map(str::to_owned))
                    }
                    serde_json::Value::String(key) if name == "source" => drop(into.insert(key.clone())),
                    _ => collect(inner, into),
                }
            }
        }
        serde_json::Value::Array(list) => list.iter().for_each(|inner| collect(inner, into)),
        _ => {}
    }
}
