//! The one next look or measure that would settle most: expected fall of the loss of the decision, against the minutes it takes.

use crate::diagnosis::{Cause, CauseTable, Diagnosis, Field, in_field_order, reweighted};
use crate::letter::advice::{Choice, Truth, choose, percent, truths};
use crate::letter::host::{fit, suits};
use crate::letter::{Presence, Reading};
use groundlore_lore::Lore;
use groundlore_lore::finding::LookBy;
use groundlore_lore::trouble::{ActionClass, Trouble};
use serde::{Deserialize, Serialize};

/// A look to take.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct NextLook {
    /// Key of the finding it settles; none for a count or where help comes first.
    pub finding_key: Option<String>,
    /// What to look for.
    pub what: String,
    /// How.
    pub how: String,
    /// Minutes it takes.
    pub minutes: f64,
    /// Who can do it.
    pub look_by: LookBy,
    /// What it costs beside the minutes, US dollars from – to; none where it costs nothing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost_usd: Option<(f64, f64)>,
    /// How long the answer takes, days from – to; none where it is seen at once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wait_days: Option<(f64, f64)>,
    /// What it would settle, in words.
    pub would_settle: String,
    /// Expected fall of the loss of the decision, 0–1.
    pub gain: f64,
    /// Expected fall of the uncertainty about the cause, in bits.
    pub bits: f64,
}

/// Share of a bit's worth in the score: the name of the cause matters less than the decision.
const WORTH_OF_A_BIT: f64 = 0.05;
/// Minutes that any look takes beside its own: asking, going there.
const MINUTES_TO_BEGIN: f64 = 4.0;
/// A visit and a laboratory cost more than an owner's look.
fn burden(look_by: LookBy) -> f64 {
    match look_by {
        LookBy::Owner => 0.0,
        LookBy::Visit => 12.0,
        LookBy::Laboratory => 60.0,
    }
}

/// The best next look for a diagnosis, or none where lore has nothing left to ask.
pub fn next_look(lore: &Lore, table: &CauseTable, diagnosis: &Diagnosis, reading: &Reading) -> Option<NextLook> {
    let field = Field::new(lore, table);
    let posterior = in_field_order(&field, &diagnosis.causes);
    let truths = truths(&field, &reading.understood);
    let now = choose(&field, &truths, &posterior);
    let state = State { field: &field, posterior: &posterior, truths: &truths, now };
    let findings = state.findings(lore, reading);
    let counts = state.counts(reading);
    let tests = state.laboratory();
    findings.into_iter().chain(counts).chain(tests).max_by(|a, b| score(a).total_cmp(&score(b))).map(|mut look| {
        look.gain = look.gain.max(0.0);
        look
    })
}

/// Minutes that a dollar stands for, and that a day of waiting does: judgement of the trade, for ranking only.
const MINUTES_A_DOLLAR: f64 = 1.0;
const MINUTES_A_DAY: f64 = 8.0;

fn score(look: &NextLook) -> f64 {
    let middle = |range: Option<(f64, f64)>| range.map_or(0.0, |(low, high)| f64::midpoint(low, high));
    let paid = MINUTES_A_DOLLAR * middle(look.cost_usd) + MINUTES_A_DAY * middle(look.wait_days);
    (look.gain.max(0.0) + WORTH_OF_A_BIT * look.bits) / (look.minutes + MINUTES_TO_BEGIN + burden(look.look_by) + paid).sqrt()
}

struct State<'a> {
    field: &'a Field<'a>,
    posterior: &'a [f64],
    truths: &'a [Truth],
    now: Choice,
}

impl State<'_> {
    fn findings(&self, lore: &Lore, reading: &Reading) -> Vec<NextLook> {
        let known = |key: &str| reading.understood.iter().any(|u| u.finding == key && matches!(u.present, Presence::Yes | Presence::No));
        let group_known = |group: Option<&String>| {
            group.is_some_and(|g| {
                reading
                    .understood
                    .iter()
                    .any(|u| u.present == Presence::Yes && lore.findings.get(&u.finding).is_some_and(|f| f.one_of.as_ref() == Some(g)))
            })
        };
        lore.findings
            .values()
            .filter(|f| {
                !known(&f.key)
                    && suits(self.field.table, &reading.host, &f.key)
                    && !group_known(f.one_of.as_ref())
                    && self.field.table.listing(&f.key).iter().any(|l| self.posterior[l.cause] > 0.01)
            })
            .map(|f| {
                let shares = self.field.shares(f);
                let yes = reweighted(self.posterior, shares.iter().copied());
                let no = reweighted(self.posterior, shares.iter().map(|p| 1.0 - p));
                let (gain, bits) = self.worth(&[(yes.0, &yes.1, self.truths), (no.0, &no.1, self.truths)]);
                NextLook {
                    finding_key: Some(f.key.clone()),
                    what: f.name.clone(),
                    how: f.how_to_look.clone(),
                    minutes: f.effort.in_unit("min").unwrap_or(10.0),
                    look_by: f.look_by,
                    cost_usd: None,
                    wait_days: None,
                    would_settle: self.settles(&yes.1, &no.1),
                    gain,
                    bits,
                }
            })
            .collect()
    }

    /// Counting the likelier countable causes: none, some below the threshold, or enough to matter.
    fn counts(&self, reading: &Reading) -> Vec<NextLook> {
        let counted = |t: &Trouble| crate::diagnosis::density(t, &reading.understood).is_some();
        (0..self.field.troubles.len())
            .filter(|i| fit(&reading.host, self.field.table.hosts(*i)) >= 0.1)
            .filter(|i| self.posterior[*i] > 0.08 && !counted(self.field.troubles[*i]))
            .filter_map(|i| self.count(i))
            .collect()
    }

    fn count(&self, i: usize) -> Option<NextLook> {
        let trouble = self.field.troubles[i];
        let method = trouble.count.as_ref()?;
        let outcomes = [(0.1, 0.88, None), (0.45, 0.11, Some(Truth::Class(ActionClass::Watch))), (0.45, 0.01, None)];
        let after: Vec<(f64, Vec<f64>, Vec<Truth>)> = outcomes
            .iter()
            .map(|(here, elsewhere, truth)| {
                let (chance, posterior) =
                    reweighted(self.posterior, (0..self.posterior.len()).map(|j| if j == i { *here } else { *elsewhere }));
                let mut truths = self.truths.to_vec();
                if let (Some(truth), false) = (truth, trouble.thresholds.is_empty()) {
                    truths[i] = *truth;
                }
                (chance, posterior, truths)
            })
            .collect();
        let views: Vec<(f64, &[f64], &[Truth])> = after.iter().map(|(c, p, t)| (*c, p.as_slice(), t.as_slice())).collect();
        let (gain, bits) = self.worth_of(&views);
        let each = f64::midpoint(method.effort.low.in_unit("min").unwrap_or(5.0), method.effort.high.in_unit("min").unwrap_or(5.0));
        Some(NextLook {
            finding_key: None,
            what: format!("count {}", lower_first(&method.counted)),
            how: format!(
                "{}; four places, first at the margin of the poor patch. It cannot see: {}.",
                method.sample,
                method.blind_to.trim_end_matches('.')
            ),
            minutes: 4.0 * each,
            look_by: LookBy::Visit,
            cost_usd: None,
            wait_days: None,
            would_settle: format!(
                "Whether {} is there, and whether there is enough of it to matter.",
                crate::letter::advice::lower_first(&trouble.name)
            ),
            gain,
            bits,
        })
    }

    /// Laboratory tests of the likelier causes that have one: what they cost, how long they take, and what they cannot tell.
    fn laboratory(&self) -> Vec<NextLook> {
        let live = (0..self.field.troubles.len()).filter(|i| self.posterior[*i] > 0.08);
        live.filter_map(|i| self.test(i)).collect()
    }

    fn test(&self, i: usize) -> Option<NextLook> {
        let test = self.field.troubles[i].laboratory.as_ref()?;
        let (found, passed) = (test.sensitivity.middle(), test.specificity.middle());
        let positive = |j: usize| if j == i { found } else { 1.0 - passed };
        let yes = reweighted(self.posterior, (0..self.posterior.len()).map(positive));
        let no = reweighted(self.posterior, (0..self.posterior.len()).map(|j| 1.0 - positive(j)));
        let (gain, bits) = self.worth(&[(yes.0, &yes.1, self.truths), (no.0, &no.1, self.truths)]);
        let days = |q: &groundlore_quantity::Quantity| q.in_unit("day").unwrap_or(7.0);
        Some(NextLook {
            finding_key: None,
            what: format!("a laboratory test for {}", self.name(i)),
            how: format!(
                "{}. It shows {}. It cannot tell {}.",
                ended(&test.sample),
                lower_first(ended(&test.shows)),
                lower_first(ended(&test.cannot_tell))
            ),
            minutes: 20.0,
            look_by: LookBy::Laboratory,
            cost_usd: Some((test.cost.low, test.cost.high)),
            wait_days: Some((days(&test.takes.low), days(&test.takes.high))),
            would_settle: self.settles(&yes.1, &no.1),
            gain,
            bits,
        })
    }

    fn worth(&self, outcomes: &[(f64, &Vec<f64>, &[Truth])]) -> (f64, f64) {
        let views: Vec<(f64, &[f64], &[Truth])> = outcomes.iter().map(|(c, p, t)| (*c, p.as_slice(), *t)).collect();
        self.worth_of(&views)
    }

    /// Expected fall of loss and of entropy.
    fn worth_of(&self, outcomes: &[(f64, &[f64], &[Truth])]) -> (f64, f64) {
        let after: f64 = outcomes.iter().map(|(chance, posterior, truths)| chance * choose(self.field, truths, posterior).loss).sum();
        let entropy_after: f64 = outcomes.iter().map(|(chance, posterior, _)| chance * entropy(posterior)).sum();
        (self.now.loss - after, entropy(self.posterior) - entropy_after)
    }

    fn settles(&self, yes: &[f64], no: &[f64]) -> String {
        let top = |p: &[f64]| (0..p.len()).max_by(|a, b| p[*a].total_cmp(&p[*b])).map(|i| (self.name(i), p[i]));
        match (top(yes), top(no)) {
            (Some((a, pa)), Some((b, pb))) if a == b => format!("If yes, {a} would stand at {}; if no, at {}.", percent(pa), percent(pb)),
            (Some((a, pa)), Some((b, pb))) => format!("If yes, {a} would be likeliest ({}); if no, {b} ({}).", percent(pa), percent(pb)),
            _ => String::new(),
        }
    }

    fn name(&self, i: usize) -> String {
        self.field.troubles.get(i).map_or_else(|| "something else".to_owned(), |t| crate::letter::advice::lower_first(&t.name))
    }
}

fn entropy(p: &[f64]) -> f64 {
    -p.iter().filter(|p| **p > 0.0).map(|p| p * p.log2()).sum::<f64>()
}

/// The look for a letter that told nothing.
pub fn first_look() -> NextLook {
    NextLook {
        finding_key: None,
        what: "the edge of the poor place, from near".to_owned(),
        how: "Kneel where poor meets good: tug at a handful, look at single leaves for spots or bites, part the growth and look at the soil; note sun, water and what was done there lately.".to_owned(),
        minutes: 10.0,
        look_by: LookBy::Owner,
        cost_usd: None,
        wait_days: None,
        would_settle: "Whether it is roots, leaves, water or something that lives there.".to_owned(),
        gain: 0.0,
        bits: 0.0,
    }
}

/// The look in danger: none, but help.
pub fn help_first(do_first: &str, keep_clear: &str) -> NextLook {
    NextLook {
        finding_key: None,
        what: "whether everybody is safe".to_owned(),
        how: format!("{do_first} {keep_clear}"),
        minutes: 0.0,
        look_by: LookBy::Owner,
        cost_usd: None,
        wait_days: None,
        would_settle: "Nothing of the garden matters before that.".to_owned(),
        gain: 1.0,
        bits: 0.0,
    }
}

/// The likeliest causes for a sentence, for callers that print a short line.
pub fn likeliest(causes: &[Cause], most: usize) -> Vec<&Cause> {
    causes.iter().take(most).filter(|c| c.probability > 0.05).collect()
}

/// A text without its full stop.
fn ended(text: &str) -> &str {
    text.trim().trim_end_matches('.')
}

/// A clause in the middle of a sentence.
fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
