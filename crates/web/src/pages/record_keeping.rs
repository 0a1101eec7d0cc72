//! Rules of record-keeping, and the applications of a year by one of them, on the page, on paper and as CSV.

use crate::app::{Shared, get, post};
use crate::asked::Asked;
use crate::fault::Fault;
use crate::field::Form;
use crate::reply::{Page, Reply, Room};
use axum::Router;
use groundlore_book::record_rules::RecordRule;
use groundlore_desk::Desk;
use groundlore_desk::record_keeping::YearlyReport;
use maud::html;

pub(super) fn routes() -> Router<Shared> {
    Router::new()
        .route("/records", get(rules).merge(post(set_rules)))
        .route("/records/report", get(report))
        .route("/records/report.csv", get(report_csv))
}

fn rules(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(rules_page(desk, asked, None)?.into())
}

fn rules_page(desk: &Desk, asked: &Asked, fault: Option<&Fault>) -> Result<Page, Fault> {
    let own: Vec<&str> = desk.record_rules()?.iter().map(|rule| rule.key()).collect();
    let form = Form::new("rules", asked, fault).with("rules", own.join(", "));
    let last = desk.today.year() - 1;
    let ask = Form::new("report", asked, None).with("year", last.to_string());
    let choices: Vec<(String, String)> =
        RecordRule::ALL.iter().map(|rule| (rule.key().to_owned(), format!("{}: {}", rule.cites(), rule.words()))).collect();
    Ok(Page::of(Room::Yards, desk.record_rules_sheet()?).after_fault(fault).after(html! {
        h2 { "Rules that the firm is held to" }
        (form.summary())
        form method="post" action="/records" {
            (form.line("rules", "Keys of the rules", "as `us-federal-commercial, new-york-commercial`; blank: none"))
            button.first { "Hold records to these" }
        }
        h2 { "The applications of a year" }
        form method="get" action="/records/report" {
            (ask.line("year", "Calendar year", ""))
            (ask.choice("rule", "By which rule", "", &choices))
            button.first { "Show the report" }
        }
    }))
}

fn set_rules(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    match desk.set_record_rules(&asked.given("rules").unwrap_or_default()) {
        Ok(_) => Ok(Reply::See("/records".to_owned())),
        Err(error) => {
            let fault = Fault { field: Some("rules".to_owned()), ..error.into() };
            Ok(rules_page(desk, asked, Some(&fault))?.into())
        }
    }
}

/// The report that the query asks for.
pub(crate) fn asked_report(desk: &Desk, year: Option<&str>, rule: Option<&str>) -> Result<YearlyReport, Fault> {
    let year = match year {
        Some(text) => {
            text.parse::<i16>().map_err(|_| Fault::at_field("year", format!("`{text}` is no year; give four digits, for example 2015")))?
        }
        None => desk.today.year() - 1,
    };
    Ok(desk.yearly_report(year, rule)?)
}

fn report(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    let found = asked_report(desk, asked.query("year"), asked.query("rule"))?;
    let csv = format!("/records/report.csv?year={}&rule={}", found.year, found.rule.key());
    Ok(Page::of(Room::Yards, desk.yearly_report_sheet(&found))
        .after(html! { p { a.button href=(csv) { "The lines as CSV" } a.button href="/records" { "Rules" } } })
        .into())
}

fn report_csv(desk: &mut Desk, asked: &Asked) -> Result<Reply, Fault> {
    Ok(Reply::Csv(asked_report(desk, asked.query("year"), asked.query("rule"))?.csv()))
}
