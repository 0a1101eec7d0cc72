//! The hindcast as a page of text, and its reliability figure.

use std::fmt::Write as _;

use super::{Figure, Group, Lead, MakerScore, Period, Report, STEP_DAYS};
use crate::futures::Kind;

/// Makers that stand for comparison: past dates and the plain ensemble.
const RIVALS: usize = 2;
/// The place of the default kind among the usual makers.
const DEFAULT_MAKER: usize = 2;

const INTRODUCTION: &str = "\
Every judged year is forecast from the years before it alone, as if it were today, and compared with what came. This shows whether \
the odds \
of the **weather** are honest. It says nothing about the other half of a date: whether the model of an insect or a weed is right.

- **Judged:** each event on each issue day (every {step}th day of the year) on which it had not yet happened and could still come.
- **Coverage:** the share of years inside the window. A year on the window's edge day counts by the share of that day's odds that lies \
inside, so that an honest maker has 50, 80 and 90 % however coarse whole days are. *As printed* is the plain count from p10 to p90, both \
days counted, of the years in which the event came.
- **CRPS:** mean distance of the odds from what came, days; less is better. A year or a future without the event is dated the day \
after the \
event's season, and a last frost that does not come again the day before the issue day.
- **Lead:** the plain ensemble's middle date less the issue day.
- **±** is one standard error by bootstrap over whole years (the issue days of a year share its weather). **Bold** stands more than two \
of them off: from the window's share, or from the plain ensemble's CRPS. Among so many figures about one in twenty does so by chance.
- **Makers:** *past dates* are past years' dates of the event given that it has not yet happened; *plain* is this year so far and \
then each past year as \
it was; *detrended* puts past years on today's warming trend and on the state of the last weeks; *generated* is the stochastic generator.
- **Soil** stands in two ways: `soil-…` by the mean of the air over 14 days; `turf-soil-…` by the temperature 10 cm under turf, led \
down from each day's air through a column of soil. What came is reckoned in the same way from the air that came, not measured: this \
judges the weather that goes into the soil, not the soil. Against the one soil record at hand (Gypsum, Kansas, spring 2018, \
`crates/weather/tests`) the column is off by 2.1 °C (root mean square at 10 cm) and its first days at 5, 8, 10 and 12 °C by 20, 0, \
19 and 0 days; the 14-day mean of the air is late by 19, 23, 51 and 19 days.
";

impl Report {
    /// The whole report as a page in Markdown. `figure` is where the page finds the picture made by [`Report::reliability_svg`].
    #[must_use]
    pub fn page(&self, figure: &str) -> String {
        let mut text = String::from("# Honest odds\n\n");
        let _ = writeln!(text, "Station {}, {} to {}. This page is made by", self.station, self.record.0, self.record.1);
        text.push_str("`cargo run --release -p groundlore-weather --example hindcast`.\n\n");
        text.push_str(&INTRODUCTION.replace("{step}", &STEP_DAYS.to_string()));
        self.choice(&mut text);
        for period in &self.periods {
            summary(&mut text, period);
        }
        let _ = writeln!(text, "\n![Share of years that came by the date given a chance, for each maker]({figure})");
        for period in self.periods.iter().rev() {
            by_event(&mut text, period, Kind::default().word());
        }
        if let Some(all) = self.periods.last() {
            gains_and_losses(&mut text, all);
            by_event_and_lead(&mut text, all, Kind::default().word());
            super::chance::section(&mut text, all, &self.chance, Kind::default().word());
        }
        if let Some(unseen) = self.periods.iter().find(|period| period.purpose == "unseen") {
            super::spreads::section(&mut text, unseen, &self.spreads);
        }
        if let Some((heading, scores)) = &self.second {
            super::dates_alone::section(&mut text, heading, scores);
        }
        text.push_str(WEAK);
        text
    }

    /// The page with the figure beside it.
    #[must_use]
    pub fn markdown(&self) -> String {
        self.page("honest-odds.svg")
    }

    /// How the default was chosen.
    fn choice(&self, text: &mut String) {
        let Some(forms) = &self.forms else { return };
        let _ = writeln!(
            text,
            "\n## What the default was chosen on\n\nYears {}–{} only. The ratio is the mean over events of the CRPS over the plain \
             ensemble's. `detrended` is the default form: trend of all years, state carried, level drawn, each past year three times \
(as it was, and moved by five days either way; its rain by ten).\n",
            forms.first_year, forms.last_year
        );
        text.push_str("| form | ratio | mean CRPS less plain, days | events honest in all three windows |\n| --- | --- | --- | --- |\n");
        for (place, maker) in forms.groups[0].makers.iter().enumerate() {
            let (honest, events) = forms.honest_events(place);
            let less = maker.less_plain_days;
            let _ = writeln!(
                text,
                "| {} | {:.3} | {:+.2} ± {:.2} | {honest} of {events} |",
                maker.maker,
                forms.crps_ratio(place),
                less.value,
                less.error
            );
        }
        text.push_str(CHOICE);
    }

    /// The reliability figure as SVG: for each chance given, the share of years that came by its date. On the diagonal the odds are honest. One
    /// panel for each period; makers differ by dash, so that it reads in grey; two standard errors of the default kind are shaded.
    #[must_use]
    pub fn reliability_svg(&self) -> String {
        let panels = self.periods.len().max(1);
        let width = 40 + panels * 300;
        let mut svg = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"400\" viewBox=\"0 0 {width} 400\" role=\"img\" \
             font-family=\"sans-serif\" font-size=\"12\">\n<title>Reliability of the odds</title>\n\
             <desc>Across: the chance given that the event comes by a date. Up: the share of years in which it did, less that \
chance, in hundredths.</desc>\n\
             <rect width=\"{width}\" height=\"400\" fill=\"white\"/>\n"
        );
        svg.push_str(
            "<text x=\"20\" y=\"14\">Years in which the event had come by a date, less the chance given for it, in hundredths; shaded: two \
             standard errors</text>\n<text x=\"20\" y=\"366\">Across: the chance given</text>\n",
        );
        for (place, period) in self.periods.iter().enumerate() {
            panel(&mut svg, period, 50.0 + 300.0 * place as f64);
        }
        for (maker, name) in self.makers.iter().enumerate() {
            let x = 50 + 170 * maker;
            let _ = writeln!(
                svg,
                "<line x1=\"{x}\" y1=\"386\" x2=\"{}\" y2=\"386\" {}/><text x=\"{}\" y=\"390\">{name}</text>",
                x + 40,
                stroke(maker),
                x + 46
            );
        }
        svg.push_str("</svg>\n");
        svg
    }
}

const WEAK: &str = "
## What is weak

- One station's days. Another climate may want another form; run the hindcast on its record. Of the second station only dates of frost are known.
- No forecast goes in: the days a forecast would know are judged as if there were none.
- Dry spells: between 1995 and 2015 the first ten-day dry run came nearer its middle date than any maker said. Nothing was found that tells it \
beforehand. Tried by hand and left: weighing past years by how wet the last 30, 60 or 90 days were (the score grew worse by 0.3 to 0.7 days on \
the years to 1994: beyond the running spell itself, rain here remembers nothing), a trend (the share of wet days from May to September is \
24 to 27 % in every decade), and moving whole years further (frosts and heat suffer). Moving the rain alone by ten days either way was kept: \
it smooths the odds of the first spell and costs nothing else. The years before lay wider apart (the section above), past dates, which assume \
nothing, are as wide, and no cause is known that would tell the next years' spread: narrowing the odds would fit the judged years alone.
- `turf-soil-warm-60f` has more years inside its 50 % window than it should, all makers alike. Among as many windows about that many stand off by \
chance, and here too the early years lay wider apart; nothing was done to it.
- In two futures of three, rain and temperature come from days five days apart in the past year, so that a wet day's coolness is only kept as \
far as weather lasts.
- The generator keeps the record's two- to five-day rain within a fifth (`crates/weather/tests`), but its dates of the first soaking still score worse than \
past years' do. It draws rain without looking at where the weather comes from.
- Soil is reckoned and not measured, without snow, sun or wet: see above. In spring the column is about 2 °C too cold where it could be checked.
- Between 1995 and 2015 fewer years than promised had come by the middle date of *detrended* (the figure): the warmth of late spring \
came later \
than the trend had it, and so did the first hard freeze, which the trend still underrates. It is within what 21 years can tell.
";

const CHOICE: &str = "
Carrying the state, drawing the level and moving past years by five days each help a little; the forms with a trend cannot be told \
apart on these \
years (their differences are well within one standard error). Of those the one with the longest base is taken. Said for honesty: a first \
choice by fewest days alone, the trend of the latest 30 years, had been looked at on the later years before this rule was set; it \
promised springs too early there. How far the rain is moved was settled later, to mend the ten-day dry run: twice, three and four \
times as far as \
the temperature cannot be told apart on these years, and the least of them was taken after all of them had been looked at on the \
later years \
too. So for rain the later years are not unseen.
";

fn stroke(maker: usize) -> &'static str {
    const STROKES: [&str; 4] = [
        "fill=\"none\" stroke=\"#999\" stroke-width=\"1.5\" stroke-dasharray=\"2 3\"",
        "fill=\"none\" stroke=\"#777\" stroke-width=\"2\" stroke-dasharray=\"9 4\"",
        "fill=\"none\" stroke=\"#000\" stroke-width=\"2.5\"",
        "fill=\"none\" stroke=\"#444\" stroke-width=\"1.5\" stroke-dasharray=\"9 3 2 3\"",
    ];
    STROKES[maker % STROKES.len()]
}

/// One panel, 240 by 280: share less chance, so that small errors can be seen.
fn panel(svg: &mut String, period: &Period, left: f64) {
    const MOST: f64 = 0.10;
    let across = |chance: f64| left + 240.0 * chance;
    let up = |off: f64| 190.0 - 140.0 * (off / MOST).clamp(-1.0, 1.0);
    let _ = writeln!(svg, "<text x=\"{left}\" y=\"38\">{} {}–{}</text>", period.purpose, period.first_year, period.last_year);
    let off = |maker: usize, errors: f64| {
        let point = |(chance, shares): &(f64, Vec<Figure>)| {
            let share = shares[maker];
            format!("{:.1} {:.1}", across(*chance), up(share.value - chance + errors * share.error))
        };
        period.reliability.iter().map(point).collect::<Vec<String>>()
    };
    let makers = period.reliability.first().map_or(0, |(_, shares)| shares.len());
    if makers > DEFAULT_MAKER {
        let back: Vec<String> = off(DEFAULT_MAKER, -2.0).into_iter().rev().collect();
        let around = [off(DEFAULT_MAKER, 2.0), back].concat().join(" L");
        let _ = writeln!(svg, "<path d=\"M{around} Z\" fill=\"#e2e2e2\"/>");
    }
    for step in -2..=2 {
        let off = f64::from(step) * 0.05;
        let y = up(off);
        let weight = if step == 0 { "#000" } else { "#ccc" };
        let _ = writeln!(svg, "<line x1=\"{left}\" y1=\"{y}\" x2=\"{}\" y2=\"{y}\" stroke=\"{weight}\"/>", across(1.0));
        let _ = writeln!(svg, "<text x=\"{}\" y=\"{}\" text-anchor=\"end\">{:+.0}</text>", left - 4.0, y + 4.0, 100.0 * off);
    }
    for step in 0..=4 {
        let chance = f64::from(step) / 4.0;
        let _ = writeln!(svg, "<text x=\"{}\" y=\"350\" text-anchor=\"middle\">{:.0} %</text>", across(chance), 100.0 * chance);
    }
    for maker in 0..makers {
        let _ = writeln!(svg, "<path d=\"M{}\" {}/>", off(maker, 0.0).join(" L"), stroke(maker));
    }
}

/// Fewest years whose spread says how sure a figure is; of fewer no error is shown.
const FEWEST_FOR_ERROR: usize = 10;

/// A share in hundredths with its error; bold when more than two errors off.
pub(super) fn share(figure: Figure, wanted: f64, years: usize) -> String {
    if years < FEWEST_FOR_ERROR {
        return format!("{:.0}", 100.0 * figure.value);
    }
    let text = format!("{:.0} ± {:.0}", 100.0 * figure.value, 100.0 * figure.error);
    if (figure.value - wanted).abs() > 2.0 * figure.error { format!("**{text}**") } else { text }
}

fn less_plain(maker: &MakerScore, years: usize) -> String {
    if years < FEWEST_FOR_ERROR {
        return format!("{:+.2}", maker.less_plain_days.value);
    }
    let text = format!("{:+.2} ± {:.2}", maker.less_plain_days.value, maker.less_plain_days.error);
    if maker.is_worse_than_plain() || maker.is_better_than_plain() { format!("**{text}**") } else { text }
}

fn shares(maker: &MakerScore, years: usize) -> String {
    let [half, most, nearly_all] = maker.coverage;
    format!("{} | {} | {}", share(half, 0.5, years), share(most, 0.8, years), share(nearly_all, 0.9, years))
}

/// All events together, by lead and maker.
fn summary(text: &mut String, period: &Period) {
    let _ = writeln!(text, "\n## All events together: {} {}–{}\n", period.purpose, period.first_year, period.last_year);
    text.push_str("| maker | CRPS ratio | events honest in all three windows |\n| --- | --- | --- |\n");
    for (place, maker) in period.groups[0].makers.iter().enumerate() {
        let (honest, events) = period.honest_events(place);
        let _ = writeln!(text, "| {} | {:.3} | {honest} of {events} |", maker.maker, period.crps_ratio(place));
    }
    text.push_str("\n| lead | cases | maker | in 50 % | in 80 % | in 90 % | as printed, 80 % | CRPS, days | less plain |\n");
    text.push_str("| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n");
    for group in period.groups.iter().filter(|group| group.event.is_none()) {
        for maker in &group.makers {
            let lead = group.lead.map_or("all", Lead::words);
            let printed = format!("{:.0} ± {:.0}", 100.0 * maker.printed.value, 100.0 * maker.printed.error);
            let (name, crps, less) = (&maker.maker, maker.crps_days.value, less_plain(maker, group.years));
            let _ =
                writeln!(text, "| {lead} | {} | {name} | {} | {printed} | {crps:.2} | {less} |", group.cases, shares(maker, group.years));
        }
    }
}

/// Each event over all leads: the default's coverage, and every maker's score.
fn by_event(text: &mut String, period: &Period, shown: &str) {
    let _ = writeln!(text, "\n## By event: {} {}–{}\n\nCoverage is of *{shown}*.\n", period.purpose, period.first_year, period.last_year);
    let names: Vec<&str> = period.groups[0].makers.iter().map(|maker| maker.maker.as_str()).collect();
    let less: Vec<String> = names.iter().skip(RIVALS).map(|name| format!("{name} less plain")).collect();
    let rivals: Vec<&str> = names.iter().take(RIVALS).copied().collect();
    let _ = writeln!(
        text,
        "| event | cases | in 50 % | in 80 % | in 90 % | as printed, 80 % | CRPS, days: {} | {} |",
        rivals.join(" | "),
        less.join(" | ")
    );
    let _ = writeln!(text, "|{}", " --- |".repeat(6 + names.len()));
    for group in period.groups.iter().filter(|group| group.event.is_some() && group.lead.is_none()) {
        let Some(default) = group.makers.iter().find(|maker| maker.maker == shown) else { continue };
        let printed = format!("{:.0} ± {:.0}", 100.0 * default.printed.value, 100.0 * default.printed.error);
        let scores: Vec<String> = group
            .makers
            .iter()
            .enumerate()
            .map(|(place, maker)| if place < RIVALS { format!("{:.2}", maker.crps_days.value) } else { less_plain(maker, group.years) })
            .collect();
        let event = group.event.as_deref().unwrap_or("");
        let _ = writeln!(text, "| `{event}` | {} | {} | {printed} | {} |", group.cases, shares(default, group.years), scores.join(" | "));
    }
}

/// Every event and lead at which a kind of future is better or worse than the plain ensemble by more than two errors.
fn gains_and_losses(text: &mut String, period: &Period) {
    let _ = writeln!(text, "\n## Gains and losses against the plain ensemble beyond two standard errors: {}\n", period.purpose);
    for (better, word) in [(true, "Better"), (false, "Worse")] {
        let mut found = Vec::new();
        for group in period.groups.iter().filter(|group| group.event.is_some() && group.years >= FEWEST_FOR_ERROR) {
            for maker in group.makers.iter().skip(RIVALS) {
                if if better { maker.is_better_than_plain() } else { maker.is_worse_than_plain() } {
                    let lead = group.lead.map_or("all leads", Lead::words);
                    let event = group.event.as_deref().unwrap_or("");
                    let less = maker.less_plain_days;
                    found.push(format!("- {}: `{event}`, {lead}: {:+.2} ± {:.2} days", maker.maker, less.value, less.error));
                }
            }
        }
        let list = if found.is_empty() { "- none".to_owned() } else { found.join("\n") };
        let _ = writeln!(text, "{word}:\n\n{list}\n");
    }
}

/// Each event at each lead.
fn by_event_and_lead(text: &mut String, period: &Period, shown: &str) {
    let _ = writeln!(text, "\n## By event and lead: *{shown}*, {} {}–{}\n", period.purpose, period.first_year, period.last_year);
    text.push_str("| event | lead | cases | years | in 50 % | in 80 % | in 90 % | past dates | plain | this | less plain |\n");
    let _ = writeln!(text, "|{}", " --- |".repeat(11));
    for group in period.groups.iter().filter(|group| group.event.is_some() && group.lead.is_some()) {
        let (Some(default), Some(lead)) = (group.makers.iter().find(|maker| maker.maker == shown), group.lead) else { continue };
        let _ = writeln!(text, "{}", lead_row(group, lead, default));
    }
}

fn lead_row(group: &Group, lead: Lead, default: &MakerScore) -> String {
    let event = group.event.as_deref().unwrap_or("");
    let crps = |place: usize| group.makers[place].crps_days.value;
    format!(
        "| `{event}` | {} | {} | {} | {} | {:.2} | {:.2} | {:.2} | {} |",
        lead.words(),
        group.cases,
        group.years,
        shares(default, group.years),
        crps(0),
        crps(1),
        default.crps_days.value,
        less_plain(default, group.years)
    )
}
