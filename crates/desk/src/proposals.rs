//! Proposals: take-offs and work priced by the firm's own rates, offered to the owner, and what became of them.
//!
//! Direct cost, overhead and profit stay apart; margin is profit over price and markup profit over cost. A price that the book has
//! not is named, and a proposal that lacks one has no total and cannot be offered.

mod lines;
mod paper;

use crate::beds::refused;
use crate::take_off::{TakeOff, total_minutes};
use crate::{Desk, DeskError};
use groundlore_book::firm::Firm;
use groundlore_book::proposals::{Proposal, ProposalLine, ProposalState};
use groundlore_book::tasks::StateChange;
use groundlore_quantity::{Kind, Quantity};
use groundlore_work::price::{CostKind, Line, Priced, Profit, proposal};
use groundlore_work::task::{Reason, Takes, Task, Window};
use jiff::ToSpan as _;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

/// Days that an offer holds where nobody says (common practice).
const VALID_DAYS: i64 = 30;
/// Item of the price list for an hour of labour, where the firm's own figure is not set.
const LABOUR: &str = "labour";

/// A line beside the take-offs, as typed.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ExtraLine {
    /// Item of the price list, or a work norm's key for labour (`weed-bed`).
    pub item: String,
    /// What the owner reads; the item's key where left out.
    pub what: Option<String>,
    /// Amount: `2 yd3`, `500 ft2`, `3`.
    pub amount: String,
}

/// What is to be offered.
#[derive(Debug, Clone, Default)]
pub struct ProposalWishes {
    /// Yard.
    pub yard: String,
    /// Title.
    pub title: String,
    /// Take-offs to price.
    pub take_offs: Vec<TakeOff>,
    /// Lines beside them.
    pub extra: Vec<ExtraLine>,
    /// Profit: `20% margin` or `25% markup`; the firm's margin where left out.
    pub profit: Option<String>,
    /// Overhead on direct cost: `30%`; the firm's where left out.
    pub overhead: Option<String>,
    /// Days that the offer holds; 30 where left out.
    pub valid_days: Option<i64>,
    /// Words to the owner.
    pub text: Option<String>,
    /// What is included beside the lines.
    pub included: Vec<String>,
    /// What is not.
    pub not_included: Vec<String>,
}

/// A line with or without its price.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OfferLine {
    /// What it is.
    pub what: String,
    /// Amount as printed.
    pub amount: String,
    /// Amount in SI.
    pub amount_si: f64,
    /// Item that priced it.
    pub item: Option<String>,
    /// Kind of cost.
    pub kind: CostKind,
    /// Direct cost; `None` has no price yet.
    pub cost: Option<f64>,
    /// Direct cost at the least and the most time of a work norm, for labour.
    pub cost_range: Option<(f64, f64)>,
    /// How the cost was reckoned, or what is missing.
    pub working: String,
}

/// A proposal on the desk.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ProposalOnDesk {
    /// Number in the book, once offered.
    pub id: Option<i64>,
    /// Yard.
    pub yard: String,
    /// To whom, line by line.
    pub addressed_to: Vec<String>,
    /// Title.
    pub title: String,
    /// Day.
    pub date: Date,
    /// Last day on which it may be agreed.
    pub valid_until: Date,
    /// The firm's money.
    pub currency: String,
    /// Words to the owner.
    pub text: Option<String>,
    /// Lines.
    pub lines: Vec<OfferLine>,
    /// Person-minutes, low and high.
    pub minutes: Option<(f64, f64)>,
    /// What has no price yet; with anything here there is no total.
    pub no_price_yet: Vec<String>,
    /// The price, whole, when nothing is missing.
    pub priced: Option<Priced>,
    /// The price if all work takes its least time, and its most; the offer is made at the middle.
    pub price_range: Option<(f64, f64)>,
    /// What is included beside the lines.
    pub included: Vec<String>,
    /// What is not.
    pub not_included: Vec<String>,
    /// How it was reckoned.
    pub working: Vec<String>,
    /// Cautions of the work.
    pub cautions: Vec<String>,
    /// Offered, agreed, refused or lapsed; `None` before it is offered.
    pub state: Option<String>,
}

/// A proposal of the book in a line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProposalSummary {
    /// Number.
    pub id: i64,
    /// Title.
    pub title: String,
    /// Day.
    pub date: Date,
    /// Last day on which it may be agreed.
    pub valid_until: Option<Date>,
    /// What became of it.
    pub state: String,
    /// Total to the cent.
    pub total: f64,
    /// The firm's money.
    pub currency: String,
}

impl ProposalOnDesk {
    /// The total to the cent; none while a price is missing.
    pub fn total(&self) -> Option<f64> {
        self.priced.as_ref().map(|priced| (priced.price * 100.0).round() / 100.0)
    }
}

impl Desk {
    /// Prices a proposal without writing it down.
    ///
    /// # Errors
    /// An unknown yard, no firm, no line, a figure that cannot be read, a price for another kind of unit. Missing prices are no error:
    /// they are listed.
    pub fn draft_proposal(&self, wishes: &ProposalWishes) -> Result<ProposalOnDesk, DeskError> {
        let firm = self.firm()?;
        let yard = self.book.yard_named(&wishes.yard)?;
        check(wishes, &yard.name)?;
        let lines = self.offer_lines(&firm, wishes)?;
        if lines.is_empty() {
            return Err(DeskError::missing("the proposal has no line", "add a take-off, or a line such as `weed-bed` with `500 ft2`"));
        }
        let overhead = share_of(wishes.overhead.as_deref(), "overhead", firm.overhead_share)?;
        let profit = profit_of(wishes.profit.as_deref(), &firm)?;
        let no_price_yet = missing_prices(&lines, overhead, profit);
        let (priced, price_range) = match (no_price_yet.is_empty(), overhead, profit) {
            (true, Some(overhead), Some(profit)) => {
                at_middle_and_ends(&lines, overhead, profit).map(|(priced, range)| (Some(priced), Some(range)))?
            }
            _ => (None, None),
        };
        let not_included = Some(wishes.not_included.clone()).filter(|items| !items.is_empty());
        Ok(ProposalOnDesk {
            id: None,
            yard: yard.name.clone(),
            addressed_to: self.owner_lines(&yard)?,
            title: wishes.title.trim().to_owned(),
            date: self.today,
            valid_until: self.today.saturating_add(wishes.valid_days.unwrap_or(VALID_DAYS).days()),
            currency: firm.currency.clone(),
            text: wishes.text.clone(),
            minutes: wishes.take_offs.iter().filter_map(total_minutes).reduce(|a, b| (a.0 + b.0, a.1 + b.1)),
            working: working(&lines, priced.as_ref(), price_range, &firm.currency),
            included: included(wishes, &self.lore, &lines),
            not_included: not_included.unwrap_or_else(|| vec!["Anything that is not named above.".to_owned()]),
            lines,
            no_price_yet,
            priced,
            price_range,
            cautions: cautions(&wishes.take_offs),
            state: None,
        })
    }

    /// Offers a proposal: writes it into the book with its lines as they stand.
    ///
    /// # Errors
    /// One that lacks a price; nothing is written then.
    pub fn offer_proposal(&mut self, draft: &ProposalOnDesk) -> Result<ProposalOnDesk, DeskError> {
        let Some(priced) = &draft.priced else {
            return Err(DeskError::missing(
                format!("`{}` is incomplete; no price yet: {}", draft.title, draft.no_price_yet.join("; ")),
                "put the prices into the firm's list with `groundlore rates add FILE`, then offer it",
            ));
        };
        let yard = self.book.yard_named(&draft.yard)?;
        let mut offered = ProposalOnDesk { state: Some(ProposalState::Offered.word().to_owned()), id: None, ..draft.clone() };
        let row = Proposal {
            yard_id: yard.id,
            date: draft.date,
            title: draft.title.clone(),
            valid_until: Some(draft.valid_until),
            currency: draft.currency.clone(),
            text: draft.text.clone(),
            working: Some(serde_json::to_value(&offered).map_err(DeskError::science)?),
            ..Proposal::default()
        };
        let lines: Vec<ProposalLine> = draft
            .lines
            .iter()
            .zip(&priced.line_prices)
            .map(|(line, price)| ProposalLine {
                what: line.what.clone(),
                item: line.item.clone(),
                quantity_text: Some(line.amount.clone()),
                quantity_si: Some(line.amount_si),
                cost: line.cost,
                price: *price,
                ..ProposalLine::default()
            })
            .collect();
        offered.id = Some(self.book.write(|tx| tx.add_proposal(&row, &lines))?);
        Ok(offered)
    }

    /// A proposal of the book, as it was offered, with its state today.
    ///
    /// # Errors
    /// An unknown number.
    pub fn offered_proposal(&self, id: i64) -> Result<ProposalOnDesk, DeskError> {
        let row: Proposal = self
            .book
            .find(id)?
            .ok_or_else(|| refused("proposal", id, "is not in the book", "list the yard's proposals to see their numbers"))?;
        let stored = row.working.clone().unwrap_or_default();
        let mut found: ProposalOnDesk = serde_json::from_value(stored)
            .map_err(|e| DeskError::Science(format!("the working of proposal {id} cannot be read ({e}); price it again")))?;
        found.id = Some(row.id);
        found.state = Some(row.state.word().to_owned());
        Ok(found)
    }

    /// Proposals of a yard, newest first.
    ///
    /// # Errors
    /// An unknown yard.
    pub fn proposals(&self, yard: &str) -> Result<Vec<ProposalSummary>, DeskError> {
        let yard = self.book.yard_named(yard)?;
        let mut all = Vec::new();
        for row in self.book.proposals_of(yard.id)? {
            let total: f64 = self.book.proposal_lines(row.id)?.iter().map(|line| line.price).sum();
            all.push(ProposalSummary {
                id: row.id,
                title: row.title,
                date: row.date,
                valid_until: row.valid_until,
                state: row.state.word().to_owned(),
                total: (total * 100.0).round() / 100.0,
                currency: row.currency,
            });
        }
        Ok(all)
    }

    /// What became of a proposal: `agreed` (plans the work), `refused`, `lapsed`, or `offered` again.
    ///
    /// # Errors
    /// An unknown number or word; a step that makes no sense; an offer agreed after its last day.
    pub fn set_proposal(&mut self, id: i64, to: &str, why: Option<&str>, who: Option<&str>) -> Result<ProposalOnDesk, DeskError> {
        let words = || ProposalState::ALL.iter().map(|state| state.word()).collect::<Vec<_>>().join(", ");
        let to = ProposalState::from_word(&to.trim().to_lowercase())
            .ok_or_else(|| refused("state", to, "is not known", &format!("write one of {}", words())))?;
        let found = self.offered_proposal(id)?;
        if to == ProposalState::Agreed && found.valid_until < self.today {
            return Err(refused(
                "proposal",
                id,
                &format!("lapsed on {}", found.valid_until),
                "price it again with today's rates and offer that",
            ));
        }
        let at = self.now;
        self.book.write(|tx| tx.set_proposal_state(id, &StateChange { to, why, who, at }))?;
        if to == ProposalState::Agreed {
            let yard = self.book.yard_named(&found.yard)?;
            let task = agreed_task(&found, id, self.today);
            self.plan_tasks(yard.id, &[task])?;
        }
        self.offered_proposal(id)
    }

    /// Lets every offer lapse whose last day is over. Returns their numbers.
    ///
    /// # Errors
    /// If the book refuses.
    pub fn lapse_proposals(&mut self) -> Result<Vec<i64>, DeskError> {
        let (today, at) = (self.today, self.now);
        let over: Vec<i64> = self
            .book
            .all::<Proposal>()?
            .into_iter()
            .filter(|row| row.state == ProposalState::Offered && row.valid_until.is_some_and(|last| last < today))
            .map(|row| row.id)
            .collect();
        let change = StateChange { to: ProposalState::Lapsed, why: Some("its last day is over"), who: None, at };
        self.book.write(|tx| over.iter().try_for_each(|id| tx.set_proposal_state(*id, &change)))?;
        Ok(over)
    }

    fn owner_lines(&self, yard: &groundlore_book::yards::Yard) -> Result<Vec<String>, DeskError> {
        let owner = yard.owner_id.map(|id| self.book.one::<groundlore_book::firm::Owner>(id)).transpose()?;
        let mut lines: Vec<String> = owner.iter().map(|owner| owner.name.clone()).collect();
        let address = owner.and_then(|owner| owner.address).or_else(|| yard.address.clone());
        lines.extend(address.iter().flat_map(|address| address.lines().map(str::to_owned)));
        if lines.is_empty() {
            lines.push(format!("The owner of {}", yard.name));
        }
        Ok(lines)
    }
}

/// What is wrong with the wishes themselves.
fn check(wishes: &ProposalWishes, yard: &str) -> Result<(), DeskError> {
    if wishes.title.trim().is_empty() {
        return Err(DeskError::missing("the proposal has no title", "give one, for example `A mixed bed along the lawn`"));
    }
    if let Some(other) = wishes.take_offs.iter().find(|take_off| !take_off.yard.eq_ignore_ascii_case(yard)) {
        let remedy = format!("offer it there, or measure at {yard}");
        return Err(refused("take-off", &other.what, &format!("is of {}", other.yard), &remedy));
    }
    match wishes.valid_days.filter(|days| !(0..=730).contains(days)) {
        Some(days) => Err(refused("days that the offer holds", days, "make no sense", "give 0 to 730, for example 30")),
        None => Ok(()),
    }
}

/// Everything that has no price yet, each once.
fn missing_prices(lines: &[OfferLine], overhead: Option<f64>, profit: Option<Profit>) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for line in lines.iter().filter(|line| line.cost.is_none()) {
        if !all.contains(&line.working) {
            all.push(line.working.clone());
        }
    }
    all.extend(overhead.is_none().then(|| "overhead: the firm has set no share of cost; set it, or give `30%`".to_owned()));
    all.extend(profit.is_none().then(|| "profit: the firm has set no margin; set it, or give `20% margin` or `25% markup`".to_owned()));
    all
}

/// The price with labour at the middle of its norms, and the prices at the least and the most time.
fn at_middle_and_ends(lines: &[OfferLine], overhead: f64, profit: Profit) -> Result<(Priced, (f64, f64)), DeskError> {
    let at = |cost: fn(&OfferLine) -> Option<f64>| proposal(costed(lines, cost), overhead, profit);
    let least = at(|line| line.cost_range.map(|range| range.0).or(line.cost))?.price;
    let most = at(|line| line.cost_range.map(|range| range.1).or(line.cost))?.price;
    Ok((at(|line| line.cost)?, (least, most)))
}

fn costed(lines: &[OfferLine], cost: fn(&OfferLine) -> Option<f64>) -> Vec<Line> {
    lines
        .iter()
        .filter_map(|line| {
            Some(Line {
                what: line.what.clone(),
                amount: line.amount.clone(),
                kind: line.kind,
                cost: cost(line)?,
                working: line.working.clone(),
            })
        })
        .collect()
}

fn share_of(typed: Option<&str>, what: &str, firm: Option<f64>) -> Result<Option<f64>, DeskError> {
    let read = |text: &str| {
        Quantity::parse_as(text, Kind::Share).map(|q| q.si()).map_err(|source| DeskError::Quantity { what: what.to_owned(), source })
    };
    match typed.map(str::trim).filter(|text| !text.is_empty()) {
        Some(text) => read(text).map(Some),
        None => Ok(firm),
    }
}

/// `20% margin`, `25% markup`, or the firm's margin. A bare share is refused: margin and markup are different things.
fn profit_of(typed: Option<&str>, firm: &Firm) -> Result<Option<Profit>, DeskError> {
    let Some(text) = typed.map(str::trim).filter(|text| !text.is_empty()) else {
        return Ok(firm.margin_share.map(Profit::Margin));
    };
    let wrong = || {
        refused(
            "profit",
            text,
            "does not say whether it is a margin or a markup",
            "write `20% margin` (of the price) or `25% markup` (on the cost)",
        )
    };
    let (number, word) = text.rsplit_once(' ').ok_or_else(wrong)?;
    let share = share_of(Some(number), "profit", None)?.unwrap_or(0.0);
    match word.to_lowercase().as_str() {
        "margin" => Ok(Some(Profit::Margin(share))),
        "markup" => Ok(Some(Profit::Markup(share))),
        _ => Err(wrong()),
    }
}

/// Money to the cent with thousands apart: `$1,234.50`, `1,234.50 EUR`.
pub(crate) fn money(currency: &str, amount: f64) -> String {
    let cents = format!("{:.2}", amount.abs());
    let (whole, part) = cents.split_once('.').unwrap_or((&cents, "00"));
    let mut grouped = String::new();
    for (place, digit) in whole.chars().enumerate() {
        if place > 0 && (whole.len() - place).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    let sign = if amount < 0.0 { "−" } else { "" };
    if currency.chars().any(char::is_alphabetic) {
        format!("{sign}{grouped}.{part} {currency}")
    } else {
        format!("{sign}{currency}{grouped}.{part}")
    }
}

fn digits(value: f64) -> String {
    groundlore_quantity::number::significant(value, 6)
}

fn percent(share: f64) -> String {
    format!("{}%", groundlore_quantity::number::significant(share * 100.0, 4))
}

fn working(lines: &[OfferLine], priced: Option<&Priced>, range: Option<(f64, f64)>, currency: &str) -> Vec<String> {
    let mut all: Vec<String> = lines
        .iter()
        .map(|line| if line.cost.is_some() { line.working.clone() } else { format!("no price yet: {}", line.working) })
        .collect();
    if let Some(p) = priced {
        all.push(format!(
            "direct cost {} + overhead {} = {}",
            money(currency, p.direct),
            money(currency, p.overhead),
            money(currency, p.cost)
        ));
        all.push(format!(
            "price {}: profit {} is {} of the price (margin) and {} of the cost (markup)",
            money(currency, p.price),
            money(currency, p.profit),
            percent(p.margin),
            percent(p.markup)
        ));
        if let Some((least, most)) = range.filter(|(least, most)| least < most) {
            all.push(format!(
                "labour is priced at the middle of each norm; at the least time the price would be {}, at the most {}",
                money(currency, least),
                money(currency, most)
            ));
        }
        all.push("the price is shared over the lines in proportion to their direct costs, in whole cents that sum to it".to_owned());
    }
    all
}

/// What the owner asked to see included, and what each work norm holds.
fn included(wishes: &ProposalWishes, lore: &groundlore_lore::Lore, lines: &[OfferLine]) -> Vec<String> {
    let mut all = wishes.included.clone();
    let norms =
        lore.work_norms.values().filter(|norm| lines.iter().any(|line| line.kind == CostKind::Labour && line.what.ends_with(&norm.name)));
    all.extend(norms.map(|norm| format!("{}: {}", norm.name, norm.includes)));
    all
}

fn cautions(take_offs: &[TakeOff]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for caution in take_offs.iter().flat_map(|take_off| &take_off.cautions) {
        if !all.contains(caution) {
            all.push(caution.clone());
        }
    }
    all
}

fn agreed_task(found: &ProposalOnDesk, id: i64, today: Date) -> Task {
    let after = |days: i64| today.saturating_add(days.days());
    let total = found.total().map_or_else(|| "no total".to_owned(), |total| money(&found.currency, total));
    Task {
        key: format!("{}/proposal/{id}", crate::yards::slug(&found.yard)),
        yard: found.yard.clone(),
        what: format!("Do what was agreed: {}", found.title),
        place: None,
        window: Window::fixed(
            today,
            after(14),
            after(42),
            "the firm's own pace after the owner's word (common practice); planting keeps its own window",
        ),
        reasons: vec![Reason::new("the owner agreed", total, format!("proposal {id} of {}", found.date))],
        takes: Takes { minutes: found.minutes, ..Takes::default() },
        forbids: Vec::new(),
        cautions: found.cautions.clone(),
    }
}
