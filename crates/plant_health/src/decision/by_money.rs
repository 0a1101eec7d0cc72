//! The answer by money: what each course costs, what a count is worth, and which is the cheapest that there is a warrant for.

use super::money::{break_even, odds_by_stratum, working};
use super::regret::{CountFirst, cost_curve, regret_table};
use super::timing::{Sums, Ways};
use super::value_of_counting::{best_further_count, perfect_knowledge, species_value, worth_of_counts};
use super::{Answer, Case, Costs, CountWorth, CourseKind, Verdict, narrowing_count, percent, reason, sensitivity, treat_or_ask};
use super::{ENOUGH, MOST_WRONG, WORTH_A_DELAY};

pub(super) fn by_money(chosen: &Sums, ways: &Ways, verdict: &mut Verdict) {
    let Sums { case, world, money, curves, gains, leave, treat: best_treated, gain, some_pay, .. } = chosen;
    let (leave, best_treated, now) = (*leave, *best_treated, chosen.now());
    verdict.act = Some(chosen.act.clone());
    verdict.further_counts = worth_of_counts(case, money, curves, gains, now);
    let counted = counts_first(chosen, ways, &verdict.further_counts);
    let of_kind = |kind: CourseKind| std::iter::once(chosen).chain(&ways.others).find(|s| s.act.kind == kind).map(|s| s.treat);
    let counted_at = |kind: CourseKind| counted.iter().find(|c| c.kind == kind).map(CountFirst::expected);
    verdict.costs = Some(Costs {
        leave,
        treat: best_treated,
        count_more: counted_at(CourseKind::CountNow),
        treat_now: of_kind(CourseKind::TreatNow),
        treat_at_stage: of_kind(CourseKind::TreatAtStage),
        count_again: counted_at(CourseKind::CountAgain),
        perfect_knowledge: perfect_knowledge(money, curves, gains, now),
        species_told: species_value(case, money, now),
    });
    if let Some(saved) = verdict.costs.as_ref().and_then(|c| c.species_told).filter(|s| *s > WORTH_A_DELAY * leave.min(best_treated)) {
        verdict.reasons.push(reason(
            "Telling the species costs nothing but a look at the raster of the grubs at hand, and could change the answer",
            format!("worth about {saved:.2} on average"),
            "the sums",
        ));
    }
    verdict.break_even_per_m2 = break_even(world, money, curves.iter().map(|(s, _)| s.area_m2).sum());
    let treating = *some_pay && *gain > 0.0;
    let strata: Vec<String> = verdict.strata.iter().filter(|v| v.gain.is_some_and(|g| g > 0.0)).map(|v| v.name.clone()).collect();
    let by_stratum = odds_by_stratum(world, money, curves, gains, treating);
    for (view, odds) in verdict.strata.iter_mut().zip(&by_stratum) {
        view.p_wrong = Some(odds.all);
    }
    // A further count can only tell how many there are: that part of the doubt decides whether to ask for one.
    let too_few = by_stratum.iter().map(|o| o.density).fold(0.0, f64::max);
    verdict.odds = by_stratum.into_iter().reduce(|a, b| if b.all > a.all { b } else { a });
    verdict.p_wrong = verdict.odds.map(|o| o.all);
    say_what_is_not_priced(case, verdict);
    say_when(ways, verdict);
    verdict.regret = Some(regret_table(chosen, &ways.others, &counted, ways.not_reckoned.clone()));
    let drawn = counted.iter().find(|c| c.kind == CourseKind::CountAgain).or(counted.first());
    verdict.cost_curve = cost_curve(chosen, &ways.others, drawn, highest_to_draw(case, verdict));
    verdict.changes = sensitivity::changes(case, treating);
    verdict.working = working(money, verdict, curves);
    let stake = leave.min(best_treated);
    let worth_it =
        counted.iter().filter(|c| stake - c.expected() > WORTH_A_DELAY * stake).min_by(|a, b| a.expected().total_cmp(&b.expected()));
    if !treating && verdict.strata.iter().any(|v| v.p_injury_treated.is_some_and(|t| t > 0.5)) {
        verdict.reasons.push(reason(
            "Even treated, injury stays likely: there are more than this control can bring down",
            percent(verdict.strata.iter().filter_map(|v| v.p_injury_treated).fold(0.0, f64::max)),
            "the sums",
        ));
    }
    verdict.answer = match (treating, worth_it) {
        (_, Some(first)) => {
            verdict.count_on = (first.kind == CourseKind::CountAgain).then_some(first.then.act.on).flatten();
            Answer::CountMore { stratum: first.count.stratum.clone(), samples: first.count.samples }
        }
        (true, None) if too_few > MOST_WRONG => settle_first(case, strata, verdict),
        (true, None) => treat_or_ask(case, strata, verdict),
        (false, None) => Answer::Leave,
    };
}

/// The counts that may be taken before it is decided: the best one now, and the best one on coming back.
fn counts_first<'a>(chosen: &'a Sums<'a>, ways: &'a Ways<'a>, worth: &[CountWorth]) -> Vec<CountFirst<'a>> {
    let mut all = Vec::new();
    if let Some(count) = best_further_count(worth) {
        all.push(CountFirst {
            kind: CourseKind::CountNow,
            name: format!("count {} more, then decide", count.samples),
            then: chosen,
            count,
        });
    }
    if let Some(later) = &ways.again {
        let worth = worth_of_counts(&later.case, &later.money, &later.curves, &later.gains, later.now());
        all.extend(best_further_count(&worth).map(|count| {
            let name = format!("{} ({} samples)", later.act.name, count.samples);
            CountFirst { kind: CourseKind::CountAgain, name, then: later, count }
        }));
    }
    all
}

/// The odds that the stage is met and the injury done by then, as reasons.
fn say_when(ways: &Ways, verdict: &mut Verdict) {
    let Some(act) = verdict.act.clone().filter(|a| a.kind != CourseKind::Treat) else { return };
    verdict.reasons.push(reason(
        format!("The sums are for one time: {}", act.name),
        format!("stage met {}; injury to come that is done before {}", percent(act.reach.met), percent(act.reach.done)),
        "the clock of the stage, and the days on which it injures, spread evenly (memory)",
    ));
    for course in &ways.not_reckoned {
        verdict.reasons.push(reason(format!("Not reckoned: {}", course.name), "not known", course.why.clone()));
    }
}

/// Density up to which costs are drawn: past the thresholds, the break-even and what the counts hold likely.
fn highest_to_draw(case: &Case, verdict: &Verdict) -> f64 {
    let thresholds = case.thresholds.iter().map(|t| t.range.high_per_m2);
    let likely = case.density.looked_at().filter_map(|s| s.estimate.map(|e| e.high_per_m2));
    thresholds.chain(likely).chain(verdict.break_even_per_m2).fold(0.0, f64::max) * 1.15
}

/// Side effects without a price are said to be left out, never taken as nought in silence.
fn say_what_is_not_priced(case: &Case, verdict: &mut Verdict) {
    if case.prices.side_effects_per_m2.is_none() && case.prices.side_effects_visit.is_none() {
        verdict.reasons.push(reason(
            "Side effects of a treatment (bees, soil life, resistance, trust) have no price in your list and are not in the sums",
            "not priced",
            "your price list",
        ));
    }
}

/// Treating pays on average, but the odds that it is for nothing are high: count on, as long as that can tell.
fn settle_first(case: &Case, strata: Vec<String>, verdict: &mut Verdict) -> Answer {
    let (stratum, samples) = narrowing_count(case, &verdict.strata);
    let taken = case.density.looked_at().find(|s| s.name == stratum).map_or(ENOUGH, |s| s.samples);
    let samples = samples.min(ENOUGH.saturating_sub(taken) as u32);
    if samples == 0 {
        return treat_or_ask(case, strata, verdict);
    }
    verdict.reasons.push(reason(
        "Treating would pay on average, but it may well be for nothing: a treatment costs more than its price",
        format!("{} chance that there are too few", percent(verdict.p_wrong.unwrap_or(0.0))),
        "rule of the house",
    ));
    Answer::CountMore { stratum, samples }
}
