//! The application as it was made: written into the append-only record, checked against its card, corrected beside what was written.

use crate::yards::slug;
use crate::{Desk, DeskError};
use groundlore_book::applications::{ApplicationKind, ApplicationRecord};
use groundlore_book::follow_ups::FollowUp as FollowUpRow;
use groundlore_quantity::{Kind, Quantity};
use jiff::ToSpan as _;
use jiff::civil::Date;

/// What the user states of an application.
#[derive(Debug, Clone, Default)]
pub struct ApplicationEntry {
    /// Name of the label card.
    pub card: String,
    /// Day; today where left out.
    pub date: Option<Date>,
    /// Area treated, as `5200 ft2`; the planned area where left out.
    pub area: Option<String>,
    /// Rate used, as on the card.
    pub rate: Option<String>,
    /// Total amount.
    pub amount: Option<String>,
    /// Water that carried it.
    pub carrier: Option<String>,
    /// Who applied it; the firm's applicator where left out.
    pub applicator: Option<String>,
    /// Wind speed.
    pub wind: Option<String>,
    /// Temperature.
    pub temperature: Option<String>,
    /// Was a strip left untreated?
    pub untreated_strip: Option<bool>,
    /// Anything else.
    pub note: Option<String>,
    /// When it began, as `07:30` by the yard's clock.
    pub started: Option<String>,
    /// When it ended.
    pub ended: Option<String>,
    /// The applicator's licence; the firm's where the firm's applicator did it.
    pub licence: Option<String>,
    /// The certified applicator who answers for it, where another applied it.
    pub certified_applicator: Option<String>,
    /// The number of that certificate.
    pub certified_number: Option<String>,
    /// For whom; the yard's owner where left out.
    pub customer: Option<String>,
    /// That person's address; the owner's where left out.
    pub customer_address: Option<String>,
    /// Crop, plant or kind of place, as `home lawn`.
    pub site: Option<String>,
    /// How it was applied.
    pub method: Option<String>,
    /// Does the label say that it is for restricted use?
    pub restricted_use: Option<bool>,
    /// The short form for a spot treatment.
    pub short_form: bool,
    /// Rules that it is held to, as `us-federal-commercial`; the firm's where left out.
    pub rules: Option<String>,
}

impl Desk {
    /// Writes an application into the append-only record and plans its follow-up.
    ///
    /// # Errors
    /// An unknown card, a missing applicator, a quantity of the wrong kind; what the rules ask and the entry lacks, all of it at once. The
    /// record holds no line that lacks what it must have.
    pub fn record_application(&mut self, yard: &str, trouble: &str, entry: &ApplicationEntry) -> Result<i64, DeskError> {
        let on_desk = self.yard(yard)?;
        let trouble = self.trouble(trouble)?.clone();
        let card = self.book.label_card_named(&entry.card)?.ok_or_else(|| {
            DeskError::missing(
                format!("there is no label card `{}`", entry.card),
                "type the label in hand with `groundlore label add FILE`",
            )
        })?;
        let firm = self.book.firm()?;
        let applicator = entry
            .applicator
            .clone()
            .or_else(|| firm.as_ref().and_then(|f| f.applicator.clone()))
            .ok_or_else(|| DeskError::missing("who applied it is not said", "give `--applicator NAME`; the record must name them"))?;
        let planned = self.book.treatments_of(on_desk.row.id)?.into_iter().find(|t| t.trouble == trouble.key);
        let area_m2 = match &entry.area {
            Some(text) => read("area", text, Kind::Area)?.si(),
            None => planned.as_ref().and_then(|t| t.area_m2).map_or_else(|| self.area_to_treat(&on_desk, &trouble), Ok)?,
        };
        let amount = entry.amount.as_deref().map(|text| read("amount", text, Kind::Any)).transpose()?;
        let by = |kind: Kind| amount.as_ref().filter(|q| kind.accepts(&q.unit)).map(Quantity::si);
        if amount.is_some() && by(Kind::Mass).is_none() && by(Kind::Volume).is_none() {
            return Err(DeskError::Refused {
                what: "amount".to_owned(),
                value: entry.amount.clone().unwrap_or_default(),
                why: "is neither a mass nor a volume".to_owned(),
                remedy: "write it as `12 oz` or `1.5 gal`".to_owned(),
            });
        }
        let record = ApplicationRecord {
            kind: ApplicationKind::Pesticide,
            yard_id: on_desk.row.id,
            treatment_id: planned.as_ref().map(|t| t.id),
            written_at: self.now,
            date: entry.date.unwrap_or(self.today),
            yard_name: on_desk.row.name.clone(),
            yard_address: on_desk.row.address.clone(),
            area: planned.as_ref().and_then(|t| t.area.clone()),
            area_m2,
            area_text: entry.area.clone(),
            rate_text: entry.rate.clone().or(card.rate_text.clone()),
            amount_text: entry.amount.clone(),
            amount_kg: by(Kind::Mass),
            amount_m3: by(Kind::Volume),
            carrier_text: entry.carrier.clone(),
            carrier_m3: entry.carrier.as_deref().map(|t| read("carrier", t, Kind::Volume)).transpose()?.map(|q| q.si()),
            target: Some(trouble.name.clone()),
            applicator: applicator.clone(),
            licence: entry.licence.clone().or_else(|| firm.filter(|f| f.applicator.as_ref() == Some(&applicator)).and_then(|f| f.licence)),
            wind_m_s: entry.wind.as_deref().map(|t| read("wind", t, Kind::Speed)).transpose()?.map(|q| q.si()),
            temperature_c: entry
                .temperature
                .as_deref()
                .map(|t| read("temperature", t, Kind::Temperature))
                .transpose()?
                .and_then(|q| q.celsius()),
            note: entry.note.clone(),
            ..ApplicationRecord::default()
        }
        .with_label_card(&card)?;
        let record = self.held_to_rules(&on_desk.row, entry, record)?;
        let due = record.date.checked_add(28.days()).unwrap_or(record.date);
        let follow_up = FollowUpRow {
            yard_id: on_desk.row.id,
            treatment_id: planned.as_ref().map(|t| t.id),
            trouble: trouble.key.clone(),
            control: planned.as_ref().map(|t| t.control.clone()),
            due_on: Some(planned.as_ref().and_then(|t| t.follow_up_on).filter(|d| *d > record.date).unwrap_or(due)),
            note: entry
                .untreated_strip
                .map(|left| if left { "a strip was left untreated".to_owned() } else { "no strip was left untreated".to_owned() }),
            ..FollowUpRow::default()
        };
        let id = self.book.write(|tx| {
            let id = tx.add(&record)?;
            tx.add(&FollowUpRow { application_record_id: Some(id), ..follow_up.clone() })?;
            if let Some(mut plan) = planned.clone() {
                plan.state = groundlore_book::treatments::TreatmentState::Done;
                plan.untreated_strip = entry.untreated_strip;
                tx.change(&plan)?;
            }
            Ok(id)
        })?;
        self.finish_task(&format!("{}/treat/{}", slug(&on_desk.row.name), trouble.key), None)?;
        Ok(id)
    }

    /// What an application breaks: the card's rate, yearly limit and interval, the owner's forbidden days. It is recorded all the same, for
    /// it is what happened; the warnings are for whoever answers for it.
    ///
    /// # Errors
    /// An unknown yard or card.
    pub fn application_warnings(&self, yard: &str, entry: &ApplicationEntry) -> Result<Vec<String>, DeskError> {
        let yard = self.yard(yard)?;
        let mut warnings = Vec::new();
        let date = entry.date.unwrap_or(self.today);
        let weekday = date.strftime("%A").to_string();
        for day in yard.row.forbidden_days.iter().flatten() {
            if day.eq_ignore_ascii_case(&weekday) || *day == date.to_string() {
                warnings.push(format!("the owner forbids work on {day}"));
            }
        }
        let Some(card) = self.book.label_card_named(&entry.card)? else { return Ok(warnings) };
        let rate = entry.rate.as_deref().or(card.rate_text.as_deref()).and_then(|t| Quantity::parse(t).ok()).map(|q| q.si());
        if let (Some(rate), Some(high)) = (rate, card.rate_high_si.or(card.rate_low_si))
            && rate > high * 1.000_001
        {
            warnings.push(format!(
                "the rate {} is above the card's {}",
                entry.rate.clone().unwrap_or_default(),
                card.rate_text.clone().unwrap_or_default()
            ));
        }
        let earlier: Vec<_> =
            self.book.applications_of(yard.row.id)?.into_iter().filter(|l| l.product == card.name && l.date <= date).collect();
        if let (Some(days), Some(last)) = (card.minimum_interval_days, earlier.iter().map(|l| l.date).max()) {
            let since = crate::week::days_between(last, date);
            if f64::from(since) < days {
                warnings.push(format!("{since} days after the last application on {last}; the card asks for {days:.0}"));
            }
        }
        let this_year = earlier.iter().filter(|l| l.date.year() == date.year());
        let used: f64 = this_year.filter_map(|l| l.rate_text.as_deref().and_then(|t| Quantity::parse(t).ok())).map(|q| q.si()).sum();
        if let (Some(limit), Some(rate)) = (card.yearly_limit_si, rate)
            && used + rate > limit * 1.000_001
        {
            warnings.push(format!(
                "with this one the year's total is above the card's yearly limit of {}",
                card.yearly_limit_text.clone().unwrap_or_default()
            ));
        }
        Ok(warnings)
    }

    /// Writes a correction beside a line of the record: the old line stays.
    ///
    /// # Errors
    /// An unknown line, no why, a value of the wrong kind.
    pub fn correct_application(&mut self, id: i64, why: &str, change: &ApplicationEntry) -> Result<i64, DeskError> {
        let mut line: ApplicationRecord = self.book.one(id)?;
        line.written_at = self.now;
        line.date = change.date.unwrap_or(line.date);
        if let Some(area) = &change.area {
            line.area_m2 = read("area", area, Kind::Area)?.si();
            line.area_text = Some(area.clone());
        }
        if let Some(amount) = &change.amount {
            let q = read("amount", amount, Kind::Any)?;
            line.amount_text = Some(amount.clone());
            line.amount_kg = Kind::Mass.accepts(&q.unit).then(|| q.si());
            line.amount_m3 = Kind::Volume.accepts(&q.unit).then(|| q.si());
        }
        line.rate_text = change.rate.clone().or(line.rate_text);
        line.note = change.note.clone().or(line.note);
        line.licence = change.licence.clone().or(line.licence);
        if let Some(who) = &change.applicator {
            line.applicator.clone_from(who);
        }
        let yard: groundlore_book::yards::Yard = self.book.one(line.yard_id)?;
        let line = self.corrected_by_rules(&yard, change, line)?;
        Ok(self.book.write(|tx| tx.correct_application(id, why, &line))?)
    }
}

fn read(what: &str, text: &str, kind: Kind) -> Result<Quantity, DeskError> {
    Quantity::parse_as(text, kind).map_err(|source| DeskError::Quantity { what: what.to_owned(), source })
}
