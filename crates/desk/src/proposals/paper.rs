//! A proposal on paper: one sheet for the owner, one for the firm alone.

use super::{ProposalOnDesk, money, percent};
use crate::{Desk, DeskError};
use groundlore_sheet::{Block, Sheet};
use groundlore_work::price::CostKind;

impl Desk {
    /// A proposal as the owner reads it: lines with prices, total, what is included, validity, signatures. Costs and margin stay inside.
    ///
    /// # Errors
    /// None today; kept for sheets that read the book.
    pub fn proposal_sheet(&self, found: &ProposalOnDesk) -> Result<Sheet, DeskError> {
        let number = found.id.map_or_else(|| "draft".to_owned(), |id| format!("number {id}"));
        let mut sheet =
            self.sheet("proposal", found.title.clone()).subtitle(format!("Proposal for {}, {number}, {}", found.yard, found.date));
        sheet.date = found.date;
        sheet.addressed_to = found.addressed_to.clone();
        if let Some(text) = &found.text {
            sheet.push(Block::paragraph(text.clone()));
        }
        sheet.push(self.offer_table(found));
        if found.priced.is_none() {
            sheet.push(Block::Verdict {
                text: "Incomplete: no total".to_owned(),
                why: format!("No price yet: {}.", found.no_price_yet.join("; ")),
                tone: groundlore_sheet::Tone::Watch,
            });
        }
        for (heading, items) in [("Included", &found.included), ("Not included", &found.not_included)] {
            if !items.is_empty() {
                sheet.push(Block::heading(heading));
                sheet.push(Block::list(items.clone()));
            }
        }
        if found.state.as_deref().is_some_and(|state| state != "offered") {
            sheet.push(Block::paragraph(format!("This proposal is {}.", found.state.as_deref().unwrap_or_default())));
        }
        if found.priced.is_some() {
            sheet.push(Block::paragraph(format!(
                "This offer holds until {} ({} days). Amounts are measured from the map; if the ground turns out otherwise we ask before going on.",
                found.valid_until.strftime("%-d %B %Y"),
                crate::week::days_between(found.date, found.valid_until)
            )));
            sheet.push(Block::Signatures { who: vec!["For the owner, with the day".to_owned(), "For the firm, with the day".to_owned()] });
        }
        Ok(sheet)
    }

    /// The same for the firm alone: direct costs, overhead, profit, margin and markup, with the working.
    ///
    /// # Errors
    /// None today; kept for sheets that read the book.
    pub fn proposal_working_sheet(&self, found: &ProposalOnDesk) -> Result<Sheet, DeskError> {
        let mut sheet = self.sheet("proposal-working", format!("Inside: {}", found.title)).subtitle("For the firm, not for the owner");
        let money = |amount: f64| money(&found.currency, amount);
        let rows = found.lines.iter().map(|line| {
            vec![
                line.what.clone(),
                line.amount.clone(),
                kind_word(line.kind).to_owned(),
                line.cost.map_or_else(|| "no price yet".to_owned(), money),
            ]
        });
        sheet.push(Block::table("Direct costs", &["line", "amount#", "kind", "cost#"], rows.collect()));
        if let Some(priced) = &found.priced {
            sheet.push(Block::Facts {
                facts: vec![
                    ("direct cost".to_owned(), money(priced.direct)),
                    ("overhead".to_owned(), money(priced.overhead)),
                    ("cost with overhead".to_owned(), money(priced.cost)),
                    ("profit".to_owned(), money(priced.profit)),
                    ("price".to_owned(), money(priced.price)),
                    (
                        "price at the least and the most time".to_owned(),
                        found.price_range.map_or_else(String::new, |(least, most)| format!("{} to {}", money(least), money(most))),
                    ),
                    ("margin, profit over price".to_owned(), percent(priced.margin)),
                    ("markup, profit over cost".to_owned(), percent(priced.markup)),
                ],
            });
        } else {
            sheet.push(Block::heading("No price yet"));
            sheet.push(Block::list(found.no_price_yet.clone()));
        }
        sheet.push(Block::Working { title: "Working".to_owned(), lines: found.working.clone() });
        if !found.cautions.is_empty() {
            sheet.push(Block::Cautions { cautions: found.cautions.clone() });
        }
        Ok(sheet)
    }

    fn offer_table(&self, found: &ProposalOnDesk) -> Block {
        let price = |place: usize| match &found.priced {
            Some(priced) => money(&found.currency, priced.line_prices.get(place).copied().unwrap_or(0.0)),
            None => "–".to_owned(),
        };
        let rows = found.lines.iter().enumerate().map(|(place, line)| vec![line.what.clone(), line.amount.clone(), price(place)]).collect();
        let Block::Table(mut table) = Block::table("What we offer", &["what", "amount#", "price#"], rows) else { return Block::PageBreak };
        table.total = found.total().map(|total| vec!["Total".to_owned(), String::new(), money(&found.currency, total)]);
        Block::Table(table)
    }
}

fn kind_word(kind: CostKind) -> &'static str {
    match kind {
        CostKind::Labour => "labour",
        CostKind::Materials => "materials",
        CostKind::Machines => "machines",
        CostKind::BoughtIn => "bought in",
    }
}
