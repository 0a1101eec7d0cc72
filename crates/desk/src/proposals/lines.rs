//! The lines of a proposal, each priced by the firm's own list or by its cost of labour.

use super::{ExtraLine, LABOUR, OfferLine, ProposalWishes, digits};
use crate::beds::refused;
use crate::take_off::{Labour, TakeOffLine};
use crate::{Desk, DeskError};
use groundlore_book::firm::Firm;
use groundlore_quantity::{Kind, Quantity};
use groundlore_work::price::CostKind;

/// Words for a count in the price list.
const COUNT_WORDS: [&str; 8] = ["each", "ea", "piece", "pieces", "plant", "block", "1", ""];

impl Desk {
    /// Every line of what is to be offered: materials and labour of each take-off, then the lines beside them.
    pub(super) fn offer_lines(&self, firm: &Firm, wishes: &ProposalWishes) -> Result<Vec<OfferLine>, DeskError> {
        let mut lines = Vec::new();
        for take_off in &wishes.take_offs {
            for line in &take_off.lines {
                lines.push(self.material_line(line)?);
            }
            for labour in &take_off.labour {
                lines.push(self.labour_line(firm, labour, &take_off.place)?);
            }
        }
        for extra in &wishes.extra {
            lines.push(self.extra_line(firm, extra)?);
        }
        Ok(lines)
    }

    fn material_line(&self, line: &TakeOffLine) -> Result<OfferLine, DeskError> {
        let amounts = std::iter::once(&line.amount).chain(&line.or_amounts);
        let items = || std::iter::once(&line.item).chain(&line.or_items);
        let mut found = offer_line(&line.what, &line.amount, CostKind::Materials);
        for item in items() {
            let Some(price) = self.book.price_on(item, self.today)? else { continue };
            let Some(each) = price.cost_per_unit else {
                found.working = format!("{} (`{item}` has a fixed price but no cost)", line.what);
                return Ok(found);
            };
            let mut fitting: Vec<f64> = amounts.clone().filter_map(|amount| in_price_unit(amount, &price.unit)).collect();
            if fitting.is_empty() {
                return Err(refused(
                    &format!("price of `{item}`"),
                    &price.unit,
                    &format!("is no unit for {}", line.amount),
                    "put its cost for the unit it is measured in into the price list",
                ));
            }
            // A weight comes as a range: the middle is priced.
            let number = if fitting.len() > 1 { fitting.iter().sum::<f64>() / fitting.len() as f64 } else { fitting.remove(0) };
            found.cost = Some(number * each);
            found.item = Some(item.clone());
            found.working = format!("{}: {} {} × {} = {}", line.what, digits(number), price.unit, digits(each), digits(number * each));
            return Ok(found);
        }
        found.working = format!("{} (`{}`)", line.what, items().cloned().collect::<Vec<_>>().join("` or `"));
        Ok(found)
    }

    fn labour_line(&self, firm: &Firm, labour: &Labour, place: &str) -> Result<OfferLine, DeskError> {
        let minutes = labour.middle_minutes();
        let tenths = ((minutes / 6.0).round() / 10.0).max(0.1);
        let hours = Quantity::new(tenths, "h").map_err(|source| DeskError::Quantity { what: "hours".to_owned(), source })?;
        let what = format!("{}: {}", place, labour.name);
        let mut line = offer_line(&what, &hours, CostKind::Labour);
        line.amount = format!("{} h", digits(hours.value));
        match self.labour_rate(firm)? {
            Some(rate) => {
                line.cost = Some(hours.value * rate);
                line.cost_range = Some((labour.minutes.0 / 60.0 * rate, labour.minutes.1 / 60.0 * rate));
                line.item = Some(LABOUR.to_owned());
                line.working = format!(
                    "{}; middle {minutes:.1} min, to a tenth {} h × {rate} = {} [{}]",
                    labour.working,
                    digits(hours.value),
                    digits(hours.value * rate),
                    labour.source
                );
            }
            None => line.working = "an hour of labour (the firm's own cost, or item `labour`)".to_owned(),
        }
        Ok(line)
    }

    fn labour_rate(&self, firm: &Firm) -> Result<Option<f64>, DeskError> {
        if let Some(rate) = firm.labour_cost_per_h {
            return Ok(Some(rate));
        }
        let price = self.book.price_on(LABOUR, self.today)?;
        let hour = Quantity::new(1.0, "h").map_err(|source| DeskError::Quantity { what: "hours".to_owned(), source })?;
        Ok(price.and_then(|price| Some(price.cost_per_unit? * in_price_unit(&hour, &price.unit)?)))
    }

    fn extra_line(&self, firm: &Firm, extra: &ExtraLine) -> Result<OfferLine, DeskError> {
        let amount = Quantity::parse_as(&extra.amount, Kind::Any)
            .map_err(|source| DeskError::Quantity { what: format!("amount of `{}`", extra.item), source })?;
        if !(amount.value.is_finite() && amount.value > 0.0) {
            return Err(refused(
                &format!("amount of `{}`", extra.item),
                &extra.amount,
                "is not above 0",
                "write an amount such as `2 yd3`",
            ));
        }
        if let Some(norm) = self.lore.work_norms.get(&extra.item) {
            let labour = Labour::of(&self.lore, &extra.item, &amount).ok_or_else(|| {
                let per = norm.per.as_ref().map_or_else(|| "a number".to_owned(), |per| format!("an amount such as {per}"));
                refused(&format!("amount of `{}`", extra.item), &extra.amount, "is of another kind", &format!("the work norm is for {per}"))
            })?;
            let mut line = self.labour_line(firm, &labour, extra.what.as_deref().unwrap_or("Work"))?;
            line.amount = format!("{} ({})", amount.rounded(4), line.amount);
            return Ok(line);
        }
        let line = TakeOffLine {
            item: extra.item.clone(),
            or_items: Vec::new(),
            what: extra.what.clone().unwrap_or_else(|| extra.item.clone()),
            amount,
            or_amounts: Vec::new(),
        };
        self.material_line(&line)
    }
}

fn offer_line(what: &str, amount: &Quantity, kind: CostKind) -> OfferLine {
    OfferLine {
        what: what.to_owned(),
        amount: amount.rounded(4),
        amount_si: amount.si(),
        item: None,
        kind,
        cost: None,
        cost_range: None,
        working: String::new(),
    }
}

/// An amount as a number of the price's units; none where they are of different kinds.
fn in_price_unit(amount: &Quantity, unit: &str) -> Option<f64> {
    let word = unit.trim();
    if amount.unit.is_none() {
        return COUNT_WORDS.contains(&word.to_lowercase().as_str()).then_some(amount.value);
    }
    let whole = if word.starts_with(|c: char| c.is_ascii_digit()) { word.to_owned() } else { format!("1 {word}") };
    let one = Quantity::parse(&whole).ok().filter(|one| one.value > 0.0)?;
    Some(amount.to(&one.unit.to_string()).ok()?.value / one.value)
}
