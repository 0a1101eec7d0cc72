//! What the law asks of the application record: which rules the firm is held to, whether a line is complete, the yearly report, and how long
//! lines are kept.

use crate::treatment::ApplicationEntry;
use crate::yards::square_feet;
use crate::{Desk, DeskError};
use groundlore_book::applications::ApplicationRecord;
use groundlore_book::firm::Owner;
use groundlore_book::record_rules::{RecordRule, days_late, missing, read_rules};
use groundlore_book::rfc4180;
use groundlore_book::yards::Yard;
use groundlore_sheet::{Block, Check, CheckState, Sheet, Tone};
use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use std::collections::BTreeMap;

/// Name of the firm's setting that lists its rules.
const SETTING: &str = "record-rules";

/// A line as a rule sees it.
#[derive(Debug, Clone, serde::Serialize)]
pub struct HeldLine {
    /// The line.
    pub line: ApplicationRecord,
    /// What the rule asks and the line lacks.
    pub missing: Vec<String>,
    /// Days by which it was written too late.
    pub days_late: Option<i32>,
    /// Day up to which it is kept.
    pub keep_until: Date,
}

/// What was used of one product in the year.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct ProductTotal {
    /// Product as typed.
    pub product: String,
    /// Its registration number.
    pub registration_number: Option<String>,
    /// Applications.
    pub applications: usize,
    /// Total by mass, kg.
    pub kg: f64,
    /// Total by volume, m³.
    pub m3: f64,
    /// Total area, m² (an area treated twice counts twice).
    pub area_m2: f64,
}

/// The report of a year by one rule.
#[derive(Debug, Clone, serde::Serialize)]
pub struct YearlyReport {
    /// The rule.
    pub rule: RecordRule,
    /// Where it stands.
    pub cites: &'static str,
    /// Calendar year.
    pub year: i16,
    /// Day by which it is due; none where the rule asks for no report.
    pub due: Option<Date>,
    /// Lines that hold and that the rule asks of, by day.
    pub lines: Vec<HeldLine>,
    /// Totals by product.
    pub totals: Vec<ProductTotal>,
    /// Lines of which the rule asks nothing.
    pub not_asked: usize,
}

impl YearlyReport {
    /// Lines that lack something.
    pub fn incomplete(&self) -> usize {
        self.lines.iter().filter(|l| !l.missing.is_empty()).count()
    }

    /// The report as CSV (RFC 4180): one line an application, quantities as typed and in SI units.
    pub fn csv(&self) -> String {
        const COLUMNS: [&str; 24] = [
            "line",
            "date",
            "started_at",
            "product",
            "registration_number",
            "amount",
            "amount_kg",
            "amount_m3",
            "yard",
            "address",
            "area",
            "area_m2",
            "site",
            "target",
            "rate",
            "method",
            "applicator",
            "licence",
            "certified_applicator",
            "certified_number",
            "customer",
            "customer_address",
            "keep_until",
            "missing",
        ];
        let mut text = String::new();
        rfc4180::write_line(&mut text, COLUMNS.iter().map(|c| Some(*c)));
        for held in &self.lines {
            let l = &held.line;
            let own = |value: &Option<String>| value.clone();
            let number = |value: Option<f64>| value.map(|v| v.to_string());
            let fields: [Option<String>; 24] = [
                Some(l.id.to_string()),
                Some(l.date.to_string()),
                l.started_at.map(|t| t.to_string()),
                Some(l.product.clone()),
                own(&l.registration_number),
                own(&l.amount_text),
                number(l.amount_kg),
                number(l.amount_m3),
                Some(l.yard_name.clone()),
                own(&l.yard_address),
                own(&l.area_text),
                Some(l.area_m2.to_string()),
                own(&l.site),
                own(&l.target),
                own(&l.rate_text),
                own(&l.method),
                Some(l.applicator.clone()),
                own(&l.licence),
                own(&l.certified_applicator),
                own(&l.certified_number),
                own(&l.customer_name),
                own(&l.customer_address),
                Some(held.keep_until.to_string()),
                (!held.missing.is_empty()).then(|| held.missing.join("; ")),
            ];
            rfc4180::write_line(&mut text, fields.iter().map(Option::as_deref));
        }
        text
    }
}

/// Reads a list of rules; the error names the word and what there is.
fn rules_of(text: &str) -> Result<Vec<RecordRule>, DeskError> {
    read_rules(text).map_err(|word| DeskError::Refused {
        what: "rules".to_owned(),
        value: format!("`{word}`"),
        why: "is no rule that we know".to_owned(),
        remedy: format!("use {}", RecordRule::ALL.map(RecordRule::key).join(", ")),
    })
}

impl Desk {
    /// The rules that the firm says it is held to; empty where nobody said.
    ///
    /// # Errors
    /// If the book cannot be read, or holds a rule that we do not know.
    pub fn record_rules(&self) -> Result<Vec<RecordRule>, DeskError> {
        rules_of(&self.book.setting(SETTING)?.unwrap_or_default())
    }

    /// Sets the rules that the firm is held to, as `us-federal-commercial, new-york-commercial`; blank for none.
    ///
    /// # Errors
    /// A word that is no rule.
    pub fn set_record_rules(&mut self, text: &str) -> Result<Vec<RecordRule>, DeskError> {
        let rules = rules_of(text)?;
        let keys: Vec<&str> = rules.iter().map(|rule| rule.key()).collect();
        self.book.write(|tx| tx.set_setting(SETTING, &keys.join(", ")))?;
        Ok(rules)
    }

    /// Fills in what the entry and the book tell of what the rules ask, and refuses the line where something is still missing.
    pub(crate) fn held_to_rules(
        &self,
        yard: &Yard,
        entry: &ApplicationEntry,
        line: ApplicationRecord,
    ) -> Result<ApplicationRecord, DeskError> {
        let rules = match &entry.rules {
            Some(text) => rules_of(text)?,
            None => self.record_rules()?,
        };
        let line = self.with_what_rules_ask(yard, entry, line)?;
        let keys: Vec<String> = rules.iter().map(|rule| rule.key().to_owned()).collect();
        complete(&rules, ApplicationRecord { rules: (!keys.is_empty()).then_some(keys), ..line })
    }

    /// The same for a correction: it is held to the rules that the old line was held to, and to those it names.
    pub(crate) fn corrected_by_rules(
        &self,
        yard: &Yard,
        change: &ApplicationEntry,
        line: ApplicationRecord,
    ) -> Result<ApplicationRecord, DeskError> {
        let mut keys = line.rules.clone().unwrap_or_default();
        if let Some(text) = &change.rules {
            keys.extend(rules_of(text)?.iter().map(|rule| rule.key().to_owned()));
            keys.dedup();
        }
        let rules = rules_of(&keys.join(","))?;
        let line = self.with_what_rules_ask(yard, change, line)?;
        complete(&rules, ApplicationRecord { rules: (!keys.is_empty()).then_some(keys), ..line })
    }

    fn with_what_rules_ask(&self, yard: &Yard, entry: &ApplicationEntry, line: ApplicationRecord) -> Result<ApplicationRecord, DeskError> {
        let owner: Option<Owner> = yard.owner_id.map(|id| self.book.one(id)).transpose()?;
        let own_address = owner.as_ref().and_then(|o| o.address.clone());
        let moment = |name: &str, text: &Option<String>| text.as_deref().map(|text| moment_of(name, text, line.date, yard)).transpose();
        let (started_at, ended_at) = (moment("started", &entry.started)?, moment("ended", &entry.ended)?);
        Ok(ApplicationRecord {
            started_at: started_at.or(line.started_at),
            ended_at: ended_at.or(line.ended_at),
            customer_name: entry.customer.clone().or(line.customer_name).or_else(|| owner.map(|o| o.name)),
            customer_address: entry.customer_address.clone().or(line.customer_address).or(own_address),
            site: entry.site.clone().or(line.site),
            method: entry.method.clone().or(line.method),
            restricted_use: entry.restricted_use.or(line.restricted_use),
            certified_applicator: entry.certified_applicator.clone().or(line.certified_applicator),
            certified_number: entry.certified_number.clone().or(line.certified_number),
            short_form: entry.short_form || line.short_form,
            yard_address: line.yard_address.or_else(|| yard.address.clone()),
            ..line
        })
    }

    /// The report of a year by a rule: the firm's own where none is named.
    ///
    /// # Errors
    /// A rule that we do not know; none named where the firm has none or several.
    pub fn yearly_report(&self, year: i16, rule: Option<&str>) -> Result<YearlyReport, DeskError> {
        let rules = rule.map_or_else(|| self.record_rules(), rules_of)?;
        let [rule] = rules[..] else {
            return Err(DeskError::missing(
                format!("{} rules are named, and a report goes by one", rules.len()),
                format!("name one with `--rule`: {}", RecordRule::ALL.map(RecordRule::key).join(", ")),
            ));
        };
        let day = |month, day| {
            Date::new(year, month, day).map_err(|_| DeskError::Refused {
                what: "year".to_owned(),
                value: year.to_string(),
                why: "is no year".to_owned(),
                remedy: "give four digits, for example 2015".to_owned(),
            })
        };
        let all = self.book.applications_between(day(1, 1)?, day(12, 31)?)?;
        let asked_of: Vec<ApplicationRecord> = all.iter().filter(|line| rule.covers(line)).cloned().collect();
        let not_asked = all.len() - asked_of.len();
        let totals = totals(&asked_of);
        let lines = asked_of.into_iter().map(|line| held(rule, line)).collect();
        Ok(YearlyReport { rule, cites: rule.cites(), year, due: rule.report_due(year), lines, totals, not_asked })
    }

    /// The report for people and for the authority: table, totals, what is missing, how long it is kept.
    pub fn yearly_report_sheet(&self, report: &YearlyReport) -> Sheet {
        let mut sheet = self.sheet("yearly-report", format!("Applications of {} by {}", report.year, report.cites));
        sheet.subtitle = Some(report.rule.words().to_owned());
        let due = report.due.map_or_else(|| "this rule asks for no report; the record is shown on request".to_owned(), |d| d.to_string());
        sheet.push(Block::Facts {
            facts: vec![
                ("applications".to_owned(), report.lines.len().to_string()),
                ("report due by".to_owned(), due),
                ("kept for".to_owned(), format!("{} years after each application", report.rule.keep_years())),
                ("of which the rule asks nothing".to_owned(), report.not_asked.to_string()),
            ],
        });
        if report.incomplete() > 0 {
            sheet.push(Block::Verdict {
                text: format!("{} of {} lines are not complete", report.incomplete(), report.lines.len()),
                why: "Correct each with a new line before the report is sent.".to_owned(),
                tone: Tone::Act,
            });
            sheet.push(Block::Checks { checks: report.lines.iter().filter(|l| !l.missing.is_empty()).map(line_check).collect() });
        }
        let text = |value: &Option<String>| value.clone().filter(|v| !v.trim().is_empty()).unwrap_or_else(|| "not recorded".to_owned());
        let rows = report.lines.iter().map(|held| {
            let l = &held.line;
            vec![
                l.id.to_string(),
                l.date.to_string(),
                l.product.clone(),
                text(&l.registration_number),
                text(&l.amount_text),
                text(&l.yard_address),
                l.area_text.clone().unwrap_or_else(|| square_feet(l.area_m2)),
                held.keep_until.to_string(),
            ]
        });
        let columns = ["line#", "date", "product, as on the label", "registration number", "amount", "address", "area", "keep until"];
        sheet.push(Block::table("Applications, corrected lines in the place of those they correct", &columns, rows.collect()));
        let rows = report.totals.iter().map(|t| {
            vec![t.product.clone(), text(&t.registration_number), t.applications.to_string(), amount_words(t), square_feet(t.area_m2)]
        });
        sheet.push(Block::table("By product", &["product", "registration number", "times#", "amount#", "area#"], rows.collect()));
        let sources = self.lore.cite(&groundlore_lore::provenance::Source(report.rule.sources().iter().map(|s| (*s).to_owned()).collect()));
        sheet.push(Block::Sources { sources });
        sheet.foot.push("A list to work by, and no legal advice: the authority's own text and form are what counts.".to_owned());
        sheet
    }

    /// What the firm's rules say of a line of the record: complete or what is missing, and how long it is kept.
    pub(crate) fn rule_checks(&self, line: &ApplicationRecord) -> Result<Block, DeskError> {
        let mut rules = self.record_rules()?;
        let own = rules_of(&line.rules.clone().unwrap_or_default().join(","))?;
        rules.extend(own.into_iter().filter(|rule| !rules.contains(rule)).collect::<Vec<_>>());
        let mut checks: Vec<Check> = Vec::new();
        for rule in rules {
            if rule.covers(line) {
                let mut check = line_check(&held(rule, line.clone()));
                check.what = rule.cites().to_owned();
                checks.push(check);
            } else {
                let why = "asks nothing of this line".to_owned();
                checks.push(Check { what: rule.cites().to_owned(), state: CheckState::Pass, why });
            }
        }
        if checks.is_empty() {
            checks.push(Check {
                what: "rules of record-keeping".to_owned(),
                state: CheckState::NotChecked,
                why: "the firm has named none; `groundlore treat rules` lists them".to_owned(),
            });
        }
        Ok(Block::Checks { checks })
    }

    /// The rules, and which of them the firm is held to.
    ///
    /// # Errors
    /// If the book cannot be read.
    pub fn record_rules_sheet(&self) -> Result<Sheet, DeskError> {
        let own = self.record_rules()?;
        let mut sheet = self.sheet("record-rules", "Rules of record-keeping");
        let rows = RecordRule::ALL.iter().map(|rule| {
            vec![
                rule.key().to_owned(),
                rule.cites().to_owned(),
                rule.words().to_owned(),
                format!("{} years", rule.keep_years()),
                rule.report_due(self.today.year()).map_or_else(|| "none".to_owned(), |d| format!("by {d}")),
                if own.contains(rule) { "yes" } else { "no" }.to_owned(),
            ]
        });
        let columns = ["key", "where it stands", "of whom", "kept", "report of this year", "the firm is held to it"];
        sheet.push(Block::table("Rules that a record can be held to", &columns, rows.collect()));
        if own.is_empty() {
            sheet.push(Block::paragraph(
                "The firm has named none, so no record is refused for what it lacks, and none is called complete. Ask your state which hold.",
            ));
        }
        sheet.foot.push("A list to work by, and no legal advice: your state may ask for more.".to_owned());
        Ok(sheet)
    }
}

fn held(rule: RecordRule, line: ApplicationRecord) -> HeldLine {
    HeldLine {
        missing: missing(&[rule], &line).iter().map(|m| format!("{}: {}", m.what, m.remedy)).collect(),
        days_late: days_late(rule, &line),
        keep_until: rule.keep_until(line.date),
        line,
    }
}

fn line_check(held: &HeldLine) -> Check {
    let what = format!("line {}, {}", held.line.id, held.line.date);
    let kept = format!("keep until {}", held.keep_until);
    match (held.missing.is_empty(), held.days_late) {
        (false, _) => Check { what, state: CheckState::Refuse, why: format!("lacks {}", held.missing.join("; ")) },
        (true, Some(days)) => Check {
            what,
            state: CheckState::Doubt,
            why: format!("complete, but written {days} days after the time the rule gives; {kept}"),
        },
        (true, None) => Check { what, state: CheckState::Pass, why: format!("complete; {kept}") },
    }
}

/// The line, or all that is missing at once.
fn complete(rules: &[RecordRule], line: ApplicationRecord) -> Result<ApplicationRecord, DeskError> {
    let lacks = missing(rules, &line);
    if lacks.is_empty() {
        return Ok(line);
    }
    let listed: Vec<String> = lacks.iter().enumerate().map(|(i, m)| format!("{}. {m}", i + 1)).collect();
    Err(DeskError::missing(format!("the record lacks {} of what its rules ask, so it was not written", lacks.len()), listed.join("; ")))
}

fn moment_of(name: &str, text: &str, date: Date, yard: &Yard) -> Result<jiff::Timestamp, DeskError> {
    let refused = |why: &str, remedy: &str| DeskError::Refused {
        what: name.to_owned(),
        value: format!("`{text}`"),
        why: why.to_owned(),
        remedy: remedy.to_owned(),
    };
    let time: Time = text.trim().parse().map_err(|_| refused("is no time of day", "write it as `07:30`"))?;
    let zone = yard.time_zone.as_deref().map(TimeZone::get).transpose().ok().flatten();
    let zone = zone
        .ok_or_else(|| refused("cannot be placed: the yard has no time zone", "give it one with `groundlore yard import … --time-zone`"))?;
    zone.to_timestamp(date.to_datetime(time)).map_err(|_| refused("is no time of that day", "write it as `07:30`"))
}

fn totals(lines: &[ApplicationRecord]) -> Vec<ProductTotal> {
    let mut by_product: BTreeMap<(String, Option<String>), ProductTotal> = BTreeMap::new();
    for line in lines {
        let total = by_product.entry((line.product.clone(), line.registration_number.clone())).or_insert_with(|| ProductTotal {
            product: line.product.clone(),
            registration_number: line.registration_number.clone(),
            applications: 0,
            kg: 0.0,
            m3: 0.0,
            area_m2: 0.0,
        });
        total.applications += 1;
        total.kg += line.amount_kg.unwrap_or(0.0);
        total.m3 += line.amount_m3.unwrap_or(0.0);
        total.area_m2 += line.area_m2;
    }
    by_product.into_values().collect()
}

fn amount_words(total: &ProductTotal) -> String {
    let mut parts = Vec::new();
    if total.kg > 0.0 {
        parts.push(format!("{:.2} lb", total.kg / 0.453_592_37));
    }
    if total.m3 > 0.0 {
        parts.push(format!("{:.2} gal", total.m3 / 0.003_785_411_784));
    }
    if parts.is_empty() { "not recorded".to_owned() } else { parts.join(" and ") }
}
