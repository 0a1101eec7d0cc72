//! The sheet of what was learned of a control.

use crate::Desk;
use crate::learned::Learned;
use crate::pictures::belief_figure;
use groundlore_figure::drift_chart::{self, DriftChart, DriftPower, DriftYear};
use groundlore_plant_health::efficacy::no_longer_works::Standing;
use groundlore_sheet::{Block, KeyFigure, Sheet, Tone};

fn percent(share: f64) -> String {
    format!("{:.0}%", share * 100.0)
}

impl Desk {
    /// What was learned of a control: how it stands, its curve, why it did poorly, the alarm with its operating curve, and the ranking.
    pub fn learned_sheet(&self, found: &Learned) -> Sheet {
        let mut sheet = self.sheet("learned", format!("{} against {}", found.control_name, found.trouble_name.to_lowercase()));
        sheet.subtitle = found.yard.as_ref().map(|yard| format!("at {yard}, and over the book"));
        let tone = match found.standing {
            Standing::TooLittle | Standing::Sliding => Tone::Watch,
            Standing::Holds => Tone::Calm,
            Standing::NoLongerWorks => Tone::Act,
        };
        sheet.push(Block::Verdict { text: found.says.clone(), why: found.because.clone(), tone });
        figures(found, &mut sheet);
        // A curve of fewer than two years is no picture.
        if found.belief.curve.len() >= 2 {
            sheet.push(belief_figure(&found.control_name, &found.belief));
        }
        sheet.blocks.extend(drift_figure(found));
        years(found, &mut sheet);
        if matches!(found.standing, Standing::Sliding | Standing::NoLongerWorks) || found.signs != with_alarm_only(found) {
            why(found, &mut sheet);
        }
        if !found.ranking.is_empty() {
            sheet.push(Block::heading("How the controls rank here now"));
            sheet.push(Block::paragraph(
                "What a check refuses or leaves in doubt stands lower; among equals, what is expected to control more stands first.",
            ));
            let line = |(name, share): &(String, Option<f64>)| {
                format!(
                    "{name}: {}",
                    share.map_or_else(|| "nobody has seen it on this target".to_owned(), |s| format!("{} expected", percent(s)))
                )
            };
            sheet.push(Block::List { ordered: true, items: found.ranking.iter().map(line).collect() });
        }
        sheet
            .foot
            .push("Odds of why it did poorly are recalled, not read: they say what to look at, and rule nothing by themselves.".to_owned());
        sheet.foot.push("Control is told only against an untreated strip; without one there is only change.".to_owned());
        sheet
    }
}

/// The signs as the counts alone give them.
fn with_alarm_only(found: &Learned) -> groundlore_plant_health::efficacy::no_longer_works::Signs {
    groundlore_plant_health::efficacy::no_longer_works::Signs { alarm: found.signs.alarm, ..Default::default() }
}

fn figures(found: &Learned, sheet: &mut Sheet) {
    if let Some((middle, low, high)) = found.control_now {
        let mut figures = vec![KeyFigure {
            value: percent(middle),
            label: "controlled, on a usual yard".to_owned(),
            note: format!("90 % interval {} to {}, pooled over {} follow-ups", percent(low), percent(high), found.follow_ups.1),
        }];
        if let (Some(adds), Some(yard)) = (found.yard_adds, &found.yard) {
            figures.push(KeyFigure {
                value: format!("×{:.2}", adds.mean.exp()),
                label: format!("survivors at {yard}, beside a usual yard"),
                note: format!("90 % interval ×{:.2} to ×{:.2}", (adds.mean - 1.645 * adds.sd).exp(), (adds.mean + 1.645 * adds.sd).exp()),
            });
        }
        sheet.push(Block::KeyFigures { figures });
    }
    let mut facts = vec![("follow-ups with an untreated strip".to_owned(), found.follow_ups.0.to_string())];
    if let (Some(first), Some(generations)) = (found.first_use, &found.generations) {
        facts.push(("first use known".to_owned(), first.to_string()));
        facts.push(("since then".to_owned(), generations.words()));
    }
    if let Some(trend) = &found.trend {
        let p = trend.p_value.map_or_else(|| "too few years for a test".to_owned(), |p| format!("p {p:.3}"));
        facts.push(("survivors a year, least squares".to_owned(), format!("×{:.2} ({p})", trend.slope.exp())));
    }
    sheet.push(Block::Facts { facts });
    if let Some(pooled) = &found.pooled {
        let s = pooled.scatter;
        sheet.push(Block::Working {
            title: "Pooling of the book's follow-ups".to_owned(),
            lines: vec![
                "ln(survivors treated / survivors untreated) = mean + control on target + its year + year + yard + trial + sampling error"
                    .to_owned(),
                format!(
                    "standard deviations: control on target {:.2}, its years {:.2}, years {:.2}, yards {:.2}, trials {:.2}",
                    s.pair, s.pair_year, s.year, s.yard, s.trial
                ),
                "found by restricted likelihood with a weak prior; intervals are conditional on them, and a little short in a small book"
                    .to_owned(),
            ],
        });
    }
}

/// The years with their running mean, the alarm's path and limit, and its operating curve.
fn drift_figure(found: &Learned) -> Option<Block> {
    let watched = found.watched.as_ref()?;
    let place = |year: i16| watched.years.iter().position(|y| *y == year);
    let years: Vec<DriftYear> = found
        .years
        .iter()
        .map(|y| {
            let share = |z: f64| 1.0 - (y.ln_ratio + z * y.se).exp();
            let centre = place(y.year).map(|i| 1.0 - watched.before[i].exp());
            DriftYear {
                year: y.year,
                low: share(1.645),
                middle: share(0.0),
                high: share(-1.645),
                centre,
                sum: place(y.year).map(|i| watched.path[i]),
            }
        })
        .collect();
    let power = watched.operating_curve.iter().map(|p| DriftPower { ends_at: p.ends_at, by_half: p.by_half, by_all: p.by_all });
    let chart = DriftChart {
        title: format!("{} watched against {}", found.control_name, found.trouble_name.to_lowercase()),
        limit: watched.limit,
        alarm: watched.alarm,
        power: power.collect(),
        watched_years: watched.watch.years,
        years: years.clone(),
    };
    let told: Vec<String> = years
        .iter()
        .map(|y| {
            let sum = y.sum.map_or_else(String::new, |sum| format!(" (running sum {sum:.1})"));
            format!("{} {}{sum}", y.year, percent(y.middle))
        })
        .collect();
    let alarm = watched.alarm.map_or_else(
        || format!("the sum never passes {:.2}: no alarm", watched.limit),
        |year| format!("the sum passes {:.2} in {year}: alarm", watched.limit),
    );
    let surely = watched.operating_curve.iter().find(|p| p.ends_at <= 0.5).map_or_else(String::new, |p| {
        format!(
            "; a slide from 90% to {} over {} years raises it in {} of cases",
            percent(p.ends_at.max(0.0)),
            watched.watch.years,
            percent(p.by_all)
        )
    });
    let caption = format!(
        "Follow-ups by year with their 90 % intervals and the mean of the years before; the running sum of falls with its limit, which a steady control passes in {} of {} years watched; how surely a slide is found",
        percent(watched.watch.false_alarm),
        watched.watch.years
    );
    Some(Block::figure(|width| drift_chart::draw(&chart, width), 720.0, format!("{}; {alarm}{surely}", told.join(", ")), caption))
}

fn years(found: &Learned, sheet: &mut Sheet) {
    if found.years.is_empty() {
        return;
    }
    let watched = found.watched.as_ref();
    let path = |year: i16| {
        watched
            .and_then(|w| w.years.iter().position(|y| *y == year).map(|at| format!("{:.2}", w.path[at])))
            .unwrap_or_else(|| "—".to_owned())
    };
    let rows = found.years.iter().map(|y| {
        let end = |z: f64| percent(1.0 - (y.ln_ratio + z * y.se).exp());
        vec![y.year.to_string(), percent(1.0 - y.ln_ratio.exp()), format!("{} to {}", end(1.645), end(-1.645)), path(y.year)]
    });
    let limit = watched.map_or_else(String::new, |w| format!("; the alarm is over {:.2}", w.limit));
    sheet.push(Block::table(format!("Year by year{limit}"), &["year", "controlled#", "90 % interval#", "running sum#"], rows.collect()));
    if let Some(w) = watched {
        let rows = w
            .operating_curve
            .iter()
            .map(|p| vec![format!("90% to {}", percent(p.ends_at.max(0.0))), percent(p.by_half), percent(p.by_all)]);
        let caption = format!("How surely a slide over {} years is found", w.watch.years);
        let halfway = format!("alarm by year {}#", w.watch.years / 2);
        let at_end = format!("alarm by year {}#", w.watch.years);
        sheet.push(Block::table(caption, &["true slide", &halfway, &at_end], rows.collect()));
    }
}

fn why(found: &Learned, sheet: &mut Sheet) {
    sheet.push(Block::heading("Why it may have done poorly"));
    let rows = found.odds.iter().map(|o| vec![o.why.words().to_owned(), percent(o.before), percent(o.probability)]);
    sheet.push(Block::table(
        "Odds after a poor result; several may be at work at once (recalled figures)",
        &["cause", "before the records#", "with them#"],
        rows.collect(),
    ));
    let told =
        |name: &str, value: Option<bool>| (name.to_owned(), value.map_or("not checked", |v| if v { "yes" } else { "no" }).to_owned());
    let s = found.signs;
    sheet.push(Block::Facts {
        facts: vec![
            told("alarm over the years", s.alarm),
            told("poor in other yards too", s.elsewhere_too),
            told("outside the stage's window", s.outside_window),
            told("rate under the card's", s.rate_below_card),
            told("no water in the label's time", s.dry_after),
            told("material past its date", s.past_its_date),
        ],
    });
    if !found.looks.is_empty() {
        sheet.push(Block::heading("Look at these next, what tells most first"));
        sheet.push(Block::List { ordered: true, items: found.looks.iter().map(|l| l.what.to_owned()).collect() });
    }
}
