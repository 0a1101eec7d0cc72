//! Rules of record-keeping, the yearly report, what was learned and confirmed letters, over HTTP.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[allow(dead_code)]
#[path = "pages/html.rs"]
mod html;
#[allow(dead_code)]
#[path = "pages/small_book.rs"]
mod small_book;
#[allow(dead_code)]
#[path = "pages/spoken.rs"]
mod spoken;

use axum::http::StatusCode;
use serde_json::Value;
use small_book::TROUBLE;
use spoken::{get, pages, post};

#[tokio::test]
async fn rules_are_set_and_a_wrong_one_is_told_at_its_field() {
    let router = pages();
    let page = get(&router, "/records").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    html::check(&page.text).unwrap();
    assert!(page.text.contains("New York ECL 33-1205") && page.text.contains("7 CFR 110.3"));
    let wrong = post(&router, "/records", "rules=new-york").await;
    assert!(wrong.text.contains("`new-york`") || wrong.text.contains("new-york"), "{}", wrong.text);
    assert!(wrong.status.is_client_error() && wrong.text.contains("new-york-commercial"), "{}", wrong.status);
    let set = post(&router, "/records", "rules=new-york-commercial").await;
    assert_eq!(set.status, StatusCode::SEE_OTHER);
    // From now on a record that lacks what the rule asks is refused with what is missing.
    let said = post(&router, &format!("/yards/Alder%20Bank/treat/{TROUBLE}/applied"), "card=no+such+card&area=5200+ft2").await;
    assert!(said.status.is_client_error(), "{}", said.status);
    assert!(said.text.contains("What the rules of record-keeping ask"));
}

#[tokio::test]
async fn the_year_is_a_page_a_table_and_json() {
    let router = pages();
    let page = get(&router, "/records/report?year=2015&rule=new-york-commercial").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    html::check(&page.text).unwrap();
    let csv = get(&router, "/records/report.csv?year=2015&rule=new-york-commercial").await;
    assert_eq!(csv.status, StatusCode::OK);
    assert!(csv.text.starts_with("line,date,started_at,product,"), "{}", csv.text);
    let told: Value = serde_json::from_str(&get(&router, "/api/v1/records/2015?rule=us-federal-private").await.text).unwrap();
    assert_eq!(told["rule"], "us-federal-private");
    for wrong in ["/records/report?year=soon&rule=new-york-commercial", "/records/report?year=2015", "/api/v1/records/2015?rule=mine"] {
        assert!(get(&router, wrong).await.status.is_client_error(), "{wrong}");
    }
}

#[tokio::test]
async fn a_control_is_asked_about_and_confirmed_letters_are_asked_for_first() {
    let router = pages();
    for address in ["/learned", "/letters/confirmed-again"] {
        let page = get(&router, address).await;
        assert_eq!(page.status, StatusCode::OK, "{address}: {}", page.text);
        html::check(&page.text).unwrap();
    }
    let page = get(&router, &format!("/learned?control=trichlorfon&trouble={TROUBLE}&past-its-date=yes")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    html::check(&page.text).unwrap();
    assert!(page.text.contains("cannot be told yet"), "{}", page.text);
    let odd = get(&router, &format!("/learned?control=nothing-of-this-name&trouble={TROUBLE}")).await;
    assert!(odd.status.is_client_error() && odd.text.contains("nothing-of-this-name"), "{}", odd.status);
    let told: Value = serde_json::from_str(&get(&router, &format!("/api/v1/learned/trichlorfon/{TROUBLE}")).await.text).unwrap();
    assert_eq!(told["standing"], "too-little");
    let none = post(&router, "/letters/confirmed-again", "").await;
    assert!(none.status.is_client_error() && none.text.contains("confirmed"), "{}", none.status);
}

#[tokio::test]
async fn confirmed_cases_have_a_page_with_every_run() {
    let router = pages();
    let made =
        post(&router, "/letters", "text=Brown+patches+lift+like+a+carpet+and+there+are+fat+white+grubs+under+the+turf.&yard=Alder+Bank")
            .await;
    assert_eq!(made.status, StatusCode::OK);
    let letter = "/letters/1";
    assert!(made.text.contains("/letters/1/confirm"));
    let confirmed = post(&router, &format!("{letter}/confirm"), &format!("trouble={TROUBLE}&by=seen+on+a+visit")).await;
    assert_eq!(confirmed.status, StatusCode::SEE_OTHER);
    for run in 1..=2 {
        let run_made = post(&router, "/letters/confirmed-again", "").await;
        assert_eq!((run_made.status, run_made.to.as_str()), (StatusCode::SEE_OTHER, "/letters/confirmed-again"));
        let page = get(&router, "/letters/confirmed-again").await;
        html::check(&page.text).unwrap();
        assert!(page.text.contains("How honest the probabilities are") && page.text.contains("Brier score"), "{}", page.text);
        assert_eq!(page.text.contains("Every run, newest first"), run == 2);
    }
    let page = get(&router, "/letters/confirmed-again").await.text;
    assert!(page.contains("No difference that these cases can show"));
    assert!(get(&router, "/letters").await.text.contains("/letters/confirmed-again"));
}
