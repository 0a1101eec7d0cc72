//! The watch over a control's years: what the follow-ups found, the running sum with its limit under it, and beside them how surely such a
//! watch finds a slide.

use crate::canvas::{ACCENT, Anchor, Canvas, INK, SOFT, Scale, tick};

/// What a year's follow-ups found, shares 0–1.
#[derive(Debug, Clone, Copy)]
pub struct DriftYear {
    /// Year.
    pub year: i16,
    /// Lower end of its interval.
    pub low: f64,
    /// Share controlled.
    pub middle: f64,
    /// Upper end.
    pub high: f64,
    /// Mean of all years before it, against which it is set; none for the first.
    pub centre: Option<f64>,
    /// The running sum after it; none for the first year, which has none before it.
    pub sum: Option<f64>,
}

/// How surely a slide is found.
#[derive(Debug, Clone, Copy)]
pub struct DriftPower {
    /// Share controlled at the end of the years watched, where it began at 90 %.
    pub ends_at: f64,
    /// Chance of an alarm by half of the years, 0–1.
    pub by_half: f64,
    /// Chance of an alarm by all of them.
    pub by_all: f64,
}

/// What is drawn.
#[derive(Debug, Clone)]
pub struct DriftChart {
    /// Title for those who hear it read.
    pub title: String,
    /// The years, in order.
    pub years: Vec<DriftYear>,
    /// Limit of the running sum.
    pub limit: f64,
    /// Year of the alarm.
    pub alarm: Option<i16>,
    /// The operating curve, by rising slide.
    pub power: Vec<DriftPower>,
    /// Years over which its chances are reckoned.
    pub watched_years: usize,
}

const GRID: &str = "#e3dac9";

/// Under this width the operating curve stands below the other panels, not beside them.
const NARROW: f64 = 480.0;

/// Draws three panels: the years above, the running sum under them, the operating curve to the right of both or, on a narrow screen, below.
pub fn draw(chart: &DriftChart, width: f64) -> String {
    let narrow = width < NARROW;
    let mut canvas = Canvas::new(width, if narrow { 690.0 } else { 340.0 }, &chart.title);
    let (Some(first), Some(last)) = (chart.years.first(), chart.years.last()) else {
        canvas.text((width / 2.0, 160.0), 14.0, Anchor::Middle, SOFT, "no year was counted with an untreated strip");
        return canvas.finish();
    };
    let split = if narrow { width + 16.0 } else { width * 0.62 };
    let x = Scale::new(f64::from(first.year) - 0.4, f64::from(last.year).max(f64::from(first.year) + 1.0) + 0.4, 48.0, split - 30.0);
    years(&mut canvas, chart, x, split - 30.0);
    sums(&mut canvas, chart, x, split - 30.0);
    let (left, top) = if narrow { (48.0, 350.0) } else { (split + 30.0, 0.0) };
    power(&mut canvas, chart, (left, width - 14.0), top);
    canvas.finish()
}

fn years(canvas: &mut Canvas, chart: &DriftChart, x: Scale, right: f64) {
    let y = Scale::new(0.0, 1.0, 170.0, 22.0);
    for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
        canvas.line((48.0, y.at(share)), (right, y.at(share)), GRID, 0.7);
        canvas.text((44.0, y.at(share) + 4.0), 11.0, Anchor::End, SOFT, &format!("{:.0}%", share * 100.0));
    }
    let last = chart.years.iter().rev().find_map(|year| year.centre);
    let dashes = last.map_or_else(String::new, |centre| format!("; dashed: mean before, {:.0}%", centre * 100.0));
    canvas.text((48.0, 12.0), 12.0, Anchor::Start, INK, &format!("controlled{dashes}"));
    let centre: Vec<(f64, f64)> =
        chart.years.iter().filter_map(|year| Some((x.at(f64::from(year.year)), y.at(year.centre?.clamp(0.0, 1.0))))).collect();
    centre.windows(2).for_each(|pair| canvas.dashed(pair[0], pair[1], INK, 1.4));
    let at = |year: &DriftYear, share: f64| (x.at(f64::from(year.year)), y.at(share.clamp(0.0, 1.0)));
    for year in &chart.years {
        let (low, high) = (at(year, year.low), at(year, year.high));
        canvas.line(low, high, SOFT, 1.4);
        canvas.line((low.0 - 3.0, low.1), (low.0 + 3.0, low.1), SOFT, 1.4);
        canvas.line((high.0 - 3.0, high.1), (high.0 + 3.0, high.1), SOFT, 1.4);
        canvas.circle(at(year, year.middle), 3.6, INK, INK);
    }
}

fn sums(canvas: &mut Canvas, chart: &DriftChart, x: Scale, right: f64) {
    let top = chart.years.iter().filter_map(|y| y.sum).fold(chart.limit, f64::max) * 1.12;
    let y = Scale::new(0.0, top.max(1e-6), 300.0, 206.0);
    for value in y.ticks(3) {
        canvas.line((48.0, y.at(value)), (right, y.at(value)), GRID, 0.7);
        canvas.text((44.0, y.at(value) + 4.0), 11.0, Anchor::End, SOFT, &tick(value));
    }
    canvas.text((48.0, 198.0), 12.0, Anchor::Start, INK, "running sum of falls");
    canvas.dashed((48.0, y.at(chart.limit)), (right, y.at(chart.limit)), ACCENT, 1.6);
    canvas.label((right, y.at(chart.limit) - 5.0), 11.5, Anchor::End, &format!("alarm over {}", short(chart.limit)));
    let path: Vec<(f64, f64)> = chart.years.iter().filter_map(|year| Some((x.at(f64::from(year.year)), y.at(year.sum?)))).collect();
    canvas.path(&path, INK, 2.0);
    for year in &chart.years {
        let Some(sum) = year.sum else { continue };
        let at = (x.at(f64::from(year.year)), y.at(sum));
        // Over the limit the dot is a square: told without colour.
        if sum > chart.limit {
            canvas.rect((at.0 - 4.0, at.1 - 4.0), (8.0, 8.0), INK, INK);
        } else {
            canvas.circle(at, 3.2, "#fbf7ee", INK);
        }
        if chart.alarm == Some(year.year) {
            canvas.label((at.0 - 8.0, at.1 - 6.0), 11.5, Anchor::End, &format!("alarm {}", year.year));
        }
    }
    canvas.line((48.0, 300.0), (right, 300.0), INK, 1.0);
    let every = chart.years.len().div_ceil(8).max(1);
    for year in chart.years.iter().step_by(every) {
        canvas.text((x.at(f64::from(year.year)), 316.0), 11.0, Anchor::Middle, SOFT, &year.year.to_string());
    }
}

fn power(canvas: &mut Canvas, chart: &DriftChart, (left, right): (f64, f64), top: f64) {
    canvas.text((left - 30.0, top + 12.0), 12.0, Anchor::Start, INK, "chance of the alarm, by true slide");
    let floor = top + 300.0;
    let y = Scale::new(0.0, 1.0, floor, top + 36.0);
    for share in [0.0, 0.25, 0.5, 0.75, 1.0] {
        canvas.line((left, y.at(share)), (right, y.at(share)), GRID, 0.7);
        canvas.text((left - 4.0, y.at(share) + 4.0), 11.0, Anchor::End, SOFT, &format!("{:.0}%", share * 100.0));
    }
    if chart.power.is_empty() {
        canvas.text((f64::midpoint(left, right), top + 160.0), 12.0, Anchor::Middle, SOFT, "needs three years");
        return;
    }
    // From 90 % downwards: what is left of it at the end.
    let lost = |p: &DriftPower| (0.9 - p.ends_at).max(0.0);
    let most = chart.power.iter().map(lost).fold(1e-6, f64::max);
    let x = Scale::new(0.0, most, left, right - 8.0);
    let line = |of: fn(&DriftPower) -> f64| chart.power.iter().map(|p| (x.at(lost(p)), y.at(of(p).clamp(0.0, 1.0)))).collect::<Vec<_>>();
    let (all, half) = (line(|p| p.by_all), line(|p| p.by_half));
    canvas.path(&all, INK, 2.0);
    half.windows(2).for_each(|pair| canvas.dashed(pair[0], pair[1], INK, 1.6));
    // Each name stands at the end of its line, on the side where no line runs: the upper one is flat there, the lower one rises.
    if let (Some(end_of_all), Some(end_of_half)) = (all.last(), half.last()) {
        canvas.label((right, end_of_all.1 + 18.0), 11.5, Anchor::End, &format!("by year {}", chart.watched_years));
        canvas.label((end_of_half.0 - 26.0, end_of_half.1 - 4.0), 11.5, Anchor::End, &format!("by year {}", chart.watched_years / 2));
    }
    canvas.line((left, floor), (right, floor), INK, 1.0);
    let mut free = f64::NEG_INFINITY;
    for point in &chart.power {
        let at = x.at(lost(point));
        if at >= free {
            canvas.text((at, floor + 16.0), 11.0, Anchor::Middle, SOFT, &format!("{:.0}%", point.ends_at.max(0.0) * 100.0));
            free = at + 34.0;
        }
    }
    canvas.text((right, floor + 34.0), 11.5, Anchor::End, INK, &format!("left of 90% after {} years", chart.watched_years));
}

fn short(value: f64) -> String {
    groundlore_quantity::number::significant(value, 3)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn chart() -> DriftChart {
        let year = |year: i16, middle: f64, sum: Option<f64>| DriftYear {
            year,
            low: middle - 0.1,
            middle,
            high: middle + 0.06,
            centre: sum.map(|_| 0.78),
            sum,
        };
        DriftChart {
            title: "Watch".into(),
            years: vec![year(2008, 0.9, None), year(2010, 0.86, Some(0.4)), year(2012, 0.6, Some(2.2)), year(2014, 0.3, Some(5.1))],
            limit: 3.25,
            alarm: Some(2014),
            power: vec![
                DriftPower { ends_at: 0.9, by_half: 0.02, by_all: 0.05 },
                DriftPower { ends_at: 0.7, by_half: 0.3, by_all: 0.8 },
                DriftPower { ends_at: 0.1, by_half: 0.7, by_all: 1.0 },
            ],
            watched_years: 10,
        }
    }

    #[test]
    fn the_three_panels_and_the_alarm_are_named() {
        let svg = draw(&chart(), 720.0);
        for word in [
            "controlled; dashed: mean before, 78%",
            "running sum of falls",
            "alarm over 3.25",
            "alarm 2014",
            "by year 10",
            "by year 5",
            "left of 90% after 10 years",
        ] {
            assert!(svg.contains(word), "{word}");
        }
        assert!(!svg.contains("NaN"));
    }

    #[test]
    fn on_a_narrow_screen_the_panels_stand_one_below_the_other_and_within_it() {
        let svg = draw(&chart(), 320.0);
        assert!(svg.contains("viewBox=\"0 0 320 690\""), "{}", &svg[..200]);
        let ends = svg.match_indices(" x=\"").map(|(at, _)| svg[at + 4..].split('"').next().unwrap().parse::<f64>().unwrap());
        assert!(ends.into_iter().all(|x| (0.0..=320.0).contains(&x)));
    }

    #[test]
    fn a_year_over_the_limit_is_told_without_colour() {
        let squares = |sum: f64| {
            let mut chart = chart();
            chart.years[3].sum = Some(sum);
            draw(&chart, 720.0).matches(r#"width="8" height="8""#).count()
        };
        assert_eq!((squares(5.1), squares(3.0)), (1, 0));
    }

    #[test]
    fn without_years_and_with_two_it_says_what_is_missing() {
        assert!(draw(&DriftChart { years: Vec::new(), ..chart() }, 720.0).contains("no year was counted"));
        assert!(draw(&DriftChart { power: Vec::new(), ..chart() }, 720.0).contains("needs three years"));
    }
}
