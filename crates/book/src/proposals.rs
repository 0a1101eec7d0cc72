//! Proposals: what was offered, at what price, and what became of it.

use jiff::{Timestamp, civil::Date};
use serde_json::Value as Json;

use crate::book::{Reading, Writing};
use crate::error::BookError;
use crate::record::{record, refuse, words};
use crate::tasks::StateChange;

words! {
    /// What became of a proposal.
    pub enum ProposalState {
        /// Offered.
        #[default]
        Offered = "offered",
        /// Agreed.
        Agreed = "agreed",
        /// Refused.
        Refused = "refused",
        /// Lapsed.
        Lapsed = "lapsed",
    }
}

record! {
    /// A proposal. Its lines stay as they were offered.
    pub struct Proposal in "proposals" checked by days_are_in_order {
        /// The yard.
        yard_id: i64,
        /// The day it was offered.
        date: Date,
        /// Its title.
        title: String => Filled,
        /// The last day on which it may be agreed.
        valid_until: Option<Date>,
        /// Its money.
        currency: String => Filled,
        /// Words to the owner.
        text: Option<String>,
        /// The working of its price.
        working: Option<Json>,
        /// What became of it.
        state: ProposalState,
        /// Why.
        why: Option<String>,
    }
}

record! {
    /// One line of a proposal.
    pub struct ProposalLine in "proposal_lines" {
        /// The proposal.
        proposal_id: i64,
        /// Its place, from 1.
        position: u32 => Positive,
        /// What is offered.
        what: String => Filled,
        /// The price's item.
        item: Option<String>,
        /// How much, as shown: `3.5 yd3`.
        quantity_text: Option<String>,
        /// How much, in SI.
        quantity_si: Option<f64> => NotNegative,
        /// What it costs the firm.
        cost: Option<f64> => NotNegative,
        /// What the owner pays.
        price: f64 => NotNegative,
        /// Anything else.
        note: Option<String>,
    }
}

record! {
    /// One change of a proposal's state.
    pub struct ProposalChange in "proposal_changes" {
        /// The proposal.
        proposal_id: i64,
        /// When.
        at: Timestamp,
        /// From.
        from_state: ProposalState,
        /// To.
        to_state: ProposalState,
        /// Why.
        why: Option<String>,
        /// Who.
        who: Option<String>,
    }
}

fn days_are_in_order(proposal: &Proposal) -> Result<(), BookError> {
    match proposal.valid_until {
        Some(last) if last < proposal.date => {
            refuse("proposals", "valid_until", last, "It cannot lapse before it is offered: choose a later day, or leave it blank")
        }
        _ => Ok(()),
    }
}

impl Reading {
    /// The proposals of a yard, newest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn proposals_of(&self, yard_id: i64) -> Result<Vec<Proposal>, BookError> {
        self.rows_where("yard_id = ?1 ORDER BY date DESC, id DESC", [yard_id])
    }

    /// The lines of a proposal, in order.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn proposal_lines(&self, proposal_id: i64) -> Result<Vec<ProposalLine>, BookError> {
        self.rows_where("proposal_id = ?1 ORDER BY position", [proposal_id])
    }

    /// The changes of a proposal's state, oldest first.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn proposal_changes(&self, proposal_id: i64) -> Result<Vec<ProposalChange>, BookError> {
        self.rows_where("proposal_id = ?1 ORDER BY id", [proposal_id])
    }
}

impl Writing<'_> {
    /// Writes a proposal with its lines, numbered from 1 in the order given, and returns its number.
    ///
    /// # Errors
    /// If a value is refused.
    pub fn add_proposal(&self, proposal: &Proposal, lines: &[ProposalLine]) -> Result<i64, BookError> {
        let proposal_id = self.add(proposal)?;
        for (position, line) in (1u32..).zip(lines) {
            self.add(&ProposalLine { proposal_id, position, ..line.clone() })?;
        }
        Ok(proposal_id)
    }

    /// Changes the state of a proposal and logs the change. What was agreed, refused or lapsed may be offered again, and
    /// nothing else.
    ///
    /// # Errors
    /// [`BookError::NotFound`]; [`BookError::InvalidValue`] for a step that makes no sense.
    pub fn set_proposal_state(&self, proposal_id: i64, wish: &StateChange<'_, ProposalState>) -> Result<(), BookError> {
        let proposal = self.one::<Proposal>(proposal_id)?;
        let (from_state, to) = (proposal.state, wish.to);
        if from_state == to {
            return Ok(());
        }
        if from_state != ProposalState::Offered && to != ProposalState::Offered {
            return refuse("proposals", "state", format!("{from_state} to {to}"), "Offer it again first");
        }
        let why = wish.why.map(str::to_string);
        self.overwrite(&Proposal { state: to, why: why.clone(), ..proposal })?;
        let who = wish.who.map(str::to_string);
        self.add(&ProposalChange { id: 0, proposal_id, at: wish.at, from_state, to_state: to, why, who }).map(|_| ())
    }
}
