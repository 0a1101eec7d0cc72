//! The pages and the API, spoken to over HTTP: every page reads well, keeps what was typed, and refuses strangers.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "pages/html.rs"]
mod html;
#[path = "pages/small_book.rs"]
mod small_book;
#[path = "pages/spoken.rs"]
mod spoken;

use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode};
use groundlore_web::{App, bind, router, serve};
use serde_json::{Value, json};
use small_book::{TROUBLE, YARD, desk};
use spoken::{HOST, get, pages, post, send};
use std::sync::Arc;
use tower::ServiceExt as _;

async fn post_json(router: &Router, address: &str, body: &Value) -> (StatusCode, String, Value) {
    let request =
        Request::post(address).header("host", HOST).header("content-type", "application/json").body(Body::from(body.to_string())).unwrap();
    let said = send(router, request).await;
    (said.status, said.kind, serde_json::from_str(&said.text).unwrap())
}

fn at(room: &str) -> String {
    format!("/yards/Alder%20Bank/{room}")
}

#[tokio::test]
async fn every_page_reads_well() {
    let router = pages();
    let yard_rooms = [
        String::new(),
        "season".to_owned(),
        "troubles".to_owned(),
        "record".to_owned(),
        "beds".to_owned(),
        "beds/Long%20border".to_owned(),
        "price".to_owned(),
        format!("scout/{TROUBLE}"),
        format!("count/{TROUBLE}"),
        format!("treat/{TROUBLE}"),
        format!("treat/{TROUBLE}/applied"),
        format!("treat/{TROUBLE}/follow-up"),
    ];
    let mut addresses: Vec<String> = yard_rooms.iter().map(|room| at(room).trim_end_matches('/').to_owned()).collect();
    for address in [
        "/",
        "/week",
        "/crew",
        "/yards",
        "/yards/new",
        "/letters",
        "/proposals",
        "/machines",
        "/reckon",
        "/lore",
        "/lore?find=grub",
        "/labels",
        "/stock/echinacea-purpurea",
        "/lore/plants/echinacea-purpurea",
        "/lore/troubles/white-grubs-annual",
        "/reckon/depth-fill?area=108%20ft2&depth=3%20in",
    ] {
        addresses.push(address.to_owned());
    }
    addresses.extend(groundlore_reckoner::calculators().iter().map(|calculator| format!("/reckon/{}", calculator.key)));
    for address in addresses {
        let said = get(&router, &address).await;
        assert_eq!(said.status, StatusCode::OK, "{address}: {}", said.text);
        html::check(&said.text).unwrap_or_else(|why| panic!("{address}: {why}"));
        let light = html::without_figures(&said.text).len();
        // The season lists every event of the year, folded by kind: each value carries its column's heading and its role for narrow windows
        // and readers.
        let most = match address.rsplit('/').next() {
            Some("season") => 160_000,
            // Every trouble of lore has its row.
            Some("troubles") => 90_000,
            _ => 60_000,
        };
        assert!(light < most, "{address} weighs {light} bytes without its figures");
    }
}

#[tokio::test]
async fn what_is_not_there_is_said_with_the_way_on() {
    let router = pages();
    for address in ["/nothing", "/yards/Nowhere", "/letters/99", "/letters/x", "/reckon/nothing", "/lore/plants/nothing", "/proposals/9"] {
        let said = get(&router, address).await;
        assert!(said.status.is_client_error(), "{address}: {}", said.status);
        html::check(&said.text).unwrap_or_else(|why| panic!("{address}: {why}"));
    }
    assert!(get(&router, "/yards/Nowhere").await.text.contains("Alder Bank"), "the yards that there are should be named");
}

#[tokio::test]
async fn a_letter_is_answered_kept_and_put_right() {
    let router = pages();
    let form = "text=The+turf+lifts+like+a+carpet+and+I+found+white+grubs.+Crows+peck+at+it.&yard=Alder+Bank&date=2015-08-16";
    let answered = post(&router, "/letters", form).await;
    assert_eq!(answered.status, StatusCode::OK, "{}", answered.text);
    html::check(&answered.text).unwrap();
    assert!(answered.text.contains("White grubs"), "{}", answered.text);
    let again = post(&router, "/letters", form).await;
    assert_eq!((again.status, again.to.as_str()), (StatusCode::SEE_OTHER, "/letters/1"), "the same letter is kept once");
    let kept = get(&router, "/letters/1").await;
    html::check(&kept.text).unwrap();
    assert!(kept.text.contains("the turf lifts like a carpet"), "{}", kept.text);
    assert!(kept.text.contains("Known beside the letter"), "{}", kept.text);
    html::check(&get(&router, "/letters/1/reply").await.text).unwrap();
    let unsigned = post(&router, "/letters/1/confirm", "trouble=white-grubs-annual&by=").await;
    assert_eq!(unsigned.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&unsigned.text).unwrap();
    assert!(unsigned.text.contains("who confirmed it is not said") && unsigned.text.contains("aria-invalid"), "{}", unsigned.text);
    let righted = post(&router, "/letters/1", "what-0=turf-lifts-like-carpet&value-0=no&more=").await;
    assert_eq!(righted.to, "/letters/2");
    let week = get(&router, "/").await.text;
    assert_eq!(week.matches("letter-1/reply").count(), 0, "the tasks of the first reading are closed");
}

#[tokio::test]
async fn a_wrong_letter_keeps_what_was_typed() {
    let router = pages();
    let said = post(&router, "/letters", "text=Brown+spots&place=91%2C+200&yard=&date=2015-08-16").await;
    assert_eq!(said.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&said.text).unwrap();
    assert!(said.text.contains(">Brown spots</textarea>") && said.text.contains("value=\"91, 200\""), "{}", said.text);
    assert!(said.text.contains("latitude 91") && said.text.contains("aria-invalid"), "{}", said.text);
    let late = post(&router, "/letters", "text=Brown+spots&date=2016-01-01").await;
    assert!(late.text.contains("lies in the future") && late.text.contains("value=\"2016-01-01\""), "{}", late.text);
    let empty = post(&router, "/letters", "text=+&yard=Alder+Bank").await;
    assert!(empty.text.contains("the letter is empty") || empty.text.contains("The letter is empty"), "{}", empty.text);
}

#[tokio::test]
async fn counts_go_in_one_stop_after_another_and_end_in_a_verdict() {
    let router = pages();
    let count = at(&format!("count/{TROUBLE}"));
    let first = get(&router, &count).await.text;
    assert!(first.contains("Stop <strong>1</strong>") && first.contains("few enough at"), "{first}");
    let wrong = post(&router, &count, "stop=1&count=many").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&wrong.text).unwrap();
    assert!(wrong.text.contains("`many`") || wrong.text.contains("<code>many</code>"), "{}", wrong.text);
    assert!(wrong.text.contains("value=\"many\""), "{}", wrong.text);
    for (stop, found) in [12, 9, 14].into_iter().enumerate() {
        let said = post(&router, &count, &format!("stop={}&count={found}", stop + 1)).await;
        assert_eq!(said.status, StatusCode::SEE_OTHER, "{}", said.text);
    }
    post(&router, &count, "stop=4&quick=nobody").await;
    let later = get(&router, &count).await.text;
    html::check(&later).unwrap();
    assert!(later.contains("nobody looked") && later.contains("enough to matter, stop here"), "{later}");
    for stop in 5..40 {
        if post(&router, &count, &format!("stop={stop}&quick=1")).await.status != StatusCode::SEE_OTHER {
            break;
        }
    }
    let wrong = post(&router, &format!("{count}/finish"), "who=Jessamy&date=2016-01-01").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", wrong.text);
    assert!(wrong.text.contains("value=\"Jessamy\""), "{}", wrong.text);
    let finished = post(&router, &format!("{count}/finish"), "who=Jessamy+Rook&digging=yes&stage=&date=").await;
    assert_eq!((finished.status, finished.to), (StatusCode::SEE_OTHER, at(&format!("verdict/{TROUBLE}"))), "{}", finished.text);
    let verdict = get(&router, &at(&format!("verdict/{TROUBLE}"))).await;
    assert_eq!(verdict.status, StatusCode::OK);
    html::check(&verdict.text).unwrap();
    assert!(verdict.text.contains("class=\"verdict"), "{}", verdict.text);
    assert!(get(&router, &count).await.text.contains("Stop <strong>1</strong>"), "the draft is empty again");
}

#[tokio::test]
async fn the_species_is_asked_at_each_stop_and_tallied_for_the_finish() {
    let router = pages();
    let count = at(&format!("count/{TROUBLE}"));
    let first = get(&router, &count).await.text;
    html::check(&first).unwrap();
    assert!(first.contains("Which species, by the raster?") && first.contains("<option value=\"\" selected>not looked at"), "{first}");
    for form in ["stop=1&quick=6&kind=Japanese+beetle", "stop=2&count=11&kind=Japanese+beetle", "stop=3&quick=4&kind="] {
        let said = post(&router, &count, form).await;
        assert_eq!(said.status, StatusCode::SEE_OTHER, "{}", said.text);
    }
    let later = get(&router, &count).await.text;
    let tally = later.split("name=\"species-Japanese beetle\"").nth(1).and_then(|rest| rest.split('>').next()).unwrap();
    assert!(tally.contains("value=\"17\""), "{tally}");
    let wrong = post(&router, &count, "stop=4&quick=2&kind=dragon").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&wrong.text).unwrap();
    assert!(wrong.text.contains("<code>dragon</code> is none of the species"), "{}", wrong.text);
}

#[tokio::test]
async fn a_bed_is_planned_by_wishes_and_drawn() {
    let router = pages();
    let bed = at("beds/Long%20border");
    let wrong = post(&router, &bed, "bloom=Smarch-October&visitors=bees").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", wrong.text);
    html::check(&wrong.text).unwrap();
    assert!(wrong.text.contains("Smarch") && wrong.text.contains("value=\"bees\""), "{}", wrong.text);
    let planned = post(&router, &bed, "bloom=June-September&light=full+sun&taller=yes").await;
    assert_eq!((planned.status, planned.to.as_str()), (StatusCode::SEE_OTHER, bed.as_str()), "{}", planned.text);
    let page = get(&router, &bed).await.text;
    html::check(&page).unwrap();
    assert!(page.matches("role=\"img\"").count() >= 2, "a plan and an elevation are drawn");
    assert!(page.contains("value=\"June-September\""), "the wishes stand in the form for the next time");
}

#[tokio::test]
async fn a_calculator_answers_with_its_working_and_a_wrong_input_keeps_the_rest() {
    let router = pages();
    let right = get(&router, "/reckon/depth-fill?area=108+ft2&depth=3+in&waste=").await.text;
    assert!(right.contains("1 yd3") && right.contains("Working"), "{right}");
    let wrong = get(&router, "/reckon/depth-fill?area=108+ft&depth=3+in").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&wrong.text).unwrap();
    assert!(
        wrong.text.contains("value=\"108 ft\"") && wrong.text.contains("value=\"3 in\"") && wrong.text.contains("aria-invalid"),
        "{}",
        wrong.text
    );
}

#[tokio::test]
async fn tasks_change_their_state_and_could_not_needs_a_why() {
    let router = pages();
    let week = get(&router, "/").await.text;
    let key =
        week.split("name=\"key\" value=\"").nth(1).and_then(|rest| rest.split('"').next()).expect("the small book has a task").to_owned();
    let key = key.replace('/', "%2F");
    let refused = post(&router, "/tasks", &format!("key={key}&to=could+not&why=")).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("Say why"), "{}", refused.text);
    assert_eq!(post(&router, "/tasks", &format!("key={key}&to=begun&why=")).await.status, StatusCode::SEE_OTHER);
    assert!(get(&router, "/").await.text.contains("<strong>begun</strong>"));
    assert_eq!(post(&router, "/tasks", &format!("key={key}&to=gone")).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn machines_are_added_and_their_hours_logged() {
    let router = pages();
    assert_eq!(
        post(&router, "/machines", "what=machine&name=Little+mower&kind=mower&cutting-width=21+in").await.status,
        StatusCode::SEE_OTHER
    );
    let wrong = post(&router, "/machines", "what=hours&machine=Little+mower&hours=many&date=2015-08-16&yard=&who=Tolly").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&wrong.text).unwrap();
    assert!(wrong.text.contains("value=\"many\"") && wrong.text.contains("value=\"Tolly\""), "{}", wrong.text);
    assert_eq!(
        post(&router, "/machines", "what=hours&machine=Little+mower&hours=1.5+h&date=2015-08-16&yard=&who=").await.status,
        StatusCode::SEE_OTHER
    );
    assert!(get(&router, "/machines").await.text.contains("1.5"));
}

#[tokio::test]
async fn a_price_without_rates_names_what_is_missing() {
    let router = pages();
    let draft = post(&router, &at("price"), "title=Mulch&mulch=Long+border&do=draft&plants=&edging=&extra=").await;
    assert_eq!(draft.status, StatusCode::OK, "{}", draft.text);
    html::check(&draft.text).unwrap();
    assert!(draft.text.contains("No price yet") && draft.text.contains("value=\"Mulch\""), "{}", draft.text);
    let offered = post(&router, &at("price"), "title=Mulch&mulch=Long+border&do=offer").await;
    assert!(offered.status.is_client_error(), "a proposal that lacks a price cannot be offered");
    let extra = post(&router, &at("price"), "title=Mulch&extra=weed-bed+500&do=draft").await;
    assert!(extra.text.contains("weed-bed 500"), "{}", extra.text);
}

#[tokio::test]
async fn an_application_needs_its_label_card_and_keeps_what_was_typed() {
    let router = pages();
    let said = post(&router, &at(&format!("treat/{TROUBLE}/applied")), "card=Some+bag&date=2015-08-17&area=5200+ft2&note=dry").await;
    assert!(said.status.is_client_error());
    html::check(&said.text).unwrap();
    assert!(said.text.contains("value=\"5200 ft2\"") && said.text.contains("Some bag"), "{}", said.text);
}

#[tokio::test]
async fn a_label_is_typed_and_its_blanks_stay_not_checked() {
    let router = pages();
    let wrong = post(&router, "/labels", "name=Demo+card&rate=3+to+5+ft&signal_word=none").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&wrong.text).unwrap();
    assert!(wrong.text.contains("value=\"3 to 5 ft\"") && wrong.text.contains("aria-invalid"), "{}", wrong.text);
    let right =
        post(&router, "/labels", "name=Demo+card&rate=3+to+5+lb%2F1000ft2&registration_number=00000-0&note=%22invented%22%2C+never+use")
            .await;
    assert_eq!((right.status, right.to.as_str()), (StatusCode::SEE_OTHER, "/labels?card=Demo%20card"), "{}", right.text);
    let card = get(&router, &right.to).await.text;
    html::check(&card).unwrap();
    assert!(card.contains("not checked") && card.contains("value=\"3 to 5 lb/1000ft2\""), "{card}");
}

#[tokio::test]
async fn a_lot_is_judged_at_the_gate_and_what_nobody_looked_at_does_not_pass() {
    let router = pages();
    let page = get(&router, "/stock/echinacea-purpurea").await.text;
    assert!(page.contains("not checked"), "{page}");
    let judged = post(&router, "/stock/echinacea-purpurea", "label=pass&quantity=12&nursery=Low+Mill").await;
    assert_eq!(judged.status, StatusCode::OK, "{}", judged.text);
    html::check(&judged.text).unwrap();
    assert!(judged.text.contains("Not checked yet"), "{}", judged.text);
    let wrong = post(&router, "/stock/echinacea-purpurea", "label=pass&quantity=many&nursery=Low+Mill").await;
    assert!(wrong.text.contains("value=\"many\"") && wrong.text.contains("value=\"Low Mill\""), "{}", wrong.text);
}

#[tokio::test]
async fn the_papers_of_a_treatment_stand_on_a_typed_card() {
    let router = pages();
    let card = "name=Whole+card&active_ingredients=chlorantraniliprole+1%25&sites=lawn&targets=white+grubs&rate=1+to+2+floz%2F1000ft2\
        &carrier=2+gal%2F1000ft2&wind=3+to+10+mph&plants_injured=none&inversion=forbidden&bloom_limit=none";
    let kept = post(&router, "/labels", card).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let shown = get(&router, "/labels?card=Whole%20card").await;
    html::check(&shown.text).unwrap();
    assert!(shown.text.contains("3 to 10 mph") && shown.text.contains("not checked"), "{}", shown.text);
    let wrong = post(&router, "/labels", "name=Whole+card&wind=10+to+3+mph").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text.contains("lower end first") && wrong.text.contains("value=\"10 to 3 mph\""), "{}", wrong.text);
    for (paper, part) in
        [("sheet", "By the label"), ("hours", "Weather by the hour"), ("notice", "What we ask of you"), ("sign", "KEEP OFF")]
    {
        let address = at(&format!("treat/{TROUBLE}/chlorantraniliprole/{paper}?tank=3+gal&next_door=none"));
        let said = get(&router, &address).await;
        assert_eq!(said.status, StatusCode::OK, "{address}: {}", said.text);
        html::check(&said.text).unwrap_or_else(|why| panic!("{address}: {why}"));
        assert!(said.text.contains(part) && said.text.contains("Poison centre"), "{address}: {}", said.text);
    }
    let wrong = get(&router, &at(&format!("treat/{TROUBLE}/chlorantraniliprole/sheet?seeded=in+May"))).await;
    html::check(&wrong.text).unwrap();
    assert!(wrong.text.contains("in May") && wrong.text.contains("2015-09-10") && wrong.text.contains("aria-invalid"), "{}", wrong.text);
    let none = get(&router, &at(&format!("treat/{TROUBLE}/chlorantraniliprole/poem"))).await;
    assert!(none.status.is_client_error() && none.text.contains("notice"), "{}", none.text);
}

#[tokio::test]
async fn a_map_is_brought_in_as_a_file_and_a_wrong_one_is_told_apart() {
    let router = pages();
    let send_map = async |map: &str| {
        let body = format!(
            "--x\r\ncontent-disposition: form-data; name=\"map\"; filename=\"second.geojson\"\r\n\r\n{map}\r\n--x\r\ncontent-disposition: form-data; name=\"name\"\r\n\r\nSecond Yard\r\n--x--\r\n"
        );
        let request = Request::post("/yards/new")
            .header("host", HOST)
            .header("content-type", "multipart/form-data; boundary=x")
            .body(Body::from(body))
            .unwrap();
        send(&router, request).await
    };
    let right = send_map(small_book::MAP).await;
    assert_eq!((right.status, right.to.as_str()), (StatusCode::SEE_OTHER, "/yards/Second%20Yard"), "{}", right.text);
    let wrong = send_map("{\"type\": \"Feature\"").await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    html::check(&wrong.text).unwrap();
    assert!(wrong.text.contains("second.geojson") && wrong.text.contains("value=\"Second Yard\""), "{}", wrong.text);
}

#[tokio::test]
async fn another_host_name_is_refused() {
    let router = pages();
    for host in ["garden.example:7878", "127.0.0.1:80", "localhost", "127.0.0.1.garden.example:7878", "", "192.168.1.2:7878", "[::2]:7878"]
    {
        let said = send(&router, Request::get("/").header("host", host).body(Body::empty()).unwrap()).await;
        assert_eq!(said.status, StatusCode::MISDIRECTED_REQUEST, "{host}");
    }
    for host in ["localhost:7878", "127.0.0.1:7878", "[::1]:7878", "LOCALHOST:7878"] {
        let said = send(&router, Request::get("/").header("host", host).body(Body::empty()).unwrap()).await;
        assert_eq!(said.status, StatusCode::OK, "{host}");
    }
}

#[tokio::test]
async fn a_form_of_another_site_is_refused() {
    let router = pages();
    let from = async |name: &str, value: &str| {
        let request = Request::post("/letters")
            .header("host", HOST)
            .header("content-type", "application/x-www-form-urlencoded")
            .header(name, value)
            .body(Body::from("text=Brown+spots"))
            .unwrap();
        send(&router, request).await.status
    };
    for (name, value) in [
        ("origin", "http://garden.example"),
        ("origin", "null"),
        ("origin", "http://127.0.0.1:9"),
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-site", "same-site"),
    ] {
        assert_eq!(from(name, value).await, StatusCode::FORBIDDEN, "{name}: {value}");
    }
    assert_eq!(from("origin", "http://127.0.0.1:7878").await, StatusCode::OK);
}

#[tokio::test]
async fn every_answer_carries_its_guards() {
    let router = pages();
    for address in ["/", "/style.css", "/nothing", "/api/v1/week"] {
        let answer = router.clone().oneshot(Request::get(address).header("host", HOST).body(Body::empty()).unwrap()).await.unwrap();
        let policy = answer.headers()["content-security-policy"].to_str().unwrap().to_owned();
        assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
        assert_eq!(answer.headers()["x-content-type-options"], "nosniff");
    }
    let script = get(&router, "/count.js").await;
    assert_eq!(script.kind, "text/javascript; charset=utf-8");
}

#[tokio::test]
async fn too_much_at_once_is_refused() {
    let router = pages();
    let said = post(&router, "/letters", &format!("text={}", "a".repeat(600_000))).await;
    assert_eq!(said.status, StatusCode::PAYLOAD_TOO_LARGE);
}

#[tokio::test]
async fn only_loopback_addresses_are_bound() {
    for address in ["0.0.0.0:0", "192.168.1.2:0", "[::]:0"] {
        let refused = bind(address.parse().unwrap()).await.unwrap_err().to_string();
        assert!(refused.contains("loopback") && refused.contains("127.0.0.1"), "{refused}");
    }
    assert!(bind("127.0.0.1:0".parse().unwrap()).await.is_ok());
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_server_answers_on_its_own_port_and_stops_when_told() {
    let (ready, address) = tokio::sync::oneshot::channel();
    let (stop, stopped) = tokio::sync::oneshot::channel::<()>();
    let app = App::new(desk());
    let server = tokio::spawn(serve(app, "127.0.0.1:0".parse().unwrap(), move |taken| ready.send(taken).unwrap(), async {
        stopped.await.unwrap_or_default()
    }));
    let address = address.await.unwrap();
    let ask = move |host: String| {
        use std::io::{Read as _, Write as _};
        let mut stream = std::net::TcpStream::connect(address).unwrap();
        write!(stream, "GET /yards HTTP/1.1\r\nhost: {host}\r\nconnection: close\r\n\r\n").unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        answer
    };
    let answers = tokio::task::spawn_blocking(move || (ask(address.to_string()), ask("127.0.0.1:1".to_owned()))).await.unwrap();
    assert!(answers.0.starts_with("HTTP/1.1 200") && answers.0.contains("Alder Bank"), "{}", answers.0);
    assert!(answers.1.starts_with("HTTP/1.1 421"), "{}", answers.1);
    stop.send(()).unwrap();
    server.await.unwrap().unwrap();
}

#[tokio::test]
async fn the_desk_moves_on_with_the_clock() {
    let clock: groundlore_web::Clock = Arc::new(|| (jiff::civil::date(2015, 8, 19), "2015-08-19T12:00:00Z".parse().unwrap()));
    let router = router(App::new(desk()).on_port(7878).by_the_clock(clock));
    assert!(get(&router, "/").await.text.contains("Wednesday 19 August 2015"));
}

#[tokio::test]
async fn sheets_are_printed_by_the_printer_that_is_given() {
    let printer: groundlore_web::Printer =
        Arc::new(|sheet| if sheet.kind == "week" { Ok(b"%PDF-1.7 week".to_vec()) } else { Err("the press is out of ink".to_owned()) });
    let router = router(App::new(desk()).on_port(7878).printing_with(printer));
    let said = get(&router, "/?as=pdf").await;
    assert_eq!((said.status, said.kind.as_str()), (StatusCode::OK, "application/pdf"));
    assert!(get(&router, "/").await.text.contains("href=\"/?as=pdf\""));
    let failed = get(&router, &format!("{}?as=pdf", at("season"))).await;
    assert_eq!(failed.status, StatusCode::INTERNAL_SERVER_ERROR);
    assert!(failed.text.contains("out of ink"), "{}", failed.text);
}

#[tokio::test]
async fn the_api_answers_as_the_command_line_does() {
    let router = pages();
    for address in [
        "week",
        "yards",
        "yards/Alder%20Bank",
        "yards/Alder%20Bank/season",
        "yards/Alder%20Bank/record",
        "letters",
        "machines",
        "calculators",
        "calculators/depth-fill",
        "lore?kind=plants",
        "lore/white-grubs-annual",
    ] {
        let said = get(&router, &format!("/api/v1/{address}")).await;
        assert_eq!((said.status, said.kind.as_str()), (StatusCode::OK, "application/json"), "{address}: {}", said.text);
        serde_json::from_str::<Value>(&said.text).unwrap();
    }
    let (status, _, reckoned) =
        post_json(&router, "/api/v1/reckon/depth-fill", &json!({"inputs": {"area": "108 ft2", "depth": "3 in"}, "as": {"volume": "yd3"}}))
            .await;
    assert_eq!((status, &reckoned["outputs"]["volume"]), (StatusCode::OK, &json!({"value": 1.0, "unit": "yd3"})), "{reckoned}");
    let (status, _, letter) =
        post_json(&router, "/api/v1/letters", &json!({"text": "The turf lifts like a carpet.", "yard": YARD, "date": "2015-08-16"})).await;
    assert_eq!(status, StatusCode::CREATED);
    assert!(letter["causes"][0]["probability"].as_f64().unwrap() > 0.0 && letter["reply"].is_string(), "{letter}");
    let counts = json!({"strata": [{"stratum": "margin", "counts": [12, 9, 14, 10]}, {"stratum": "core", "counts": [8, 9, 4]}, {"stratum": "sound turf", "counts": [0, 1, 0]}], "who": "Jessamy Rook"});
    let (status, _, entered) = post_json(&router, &format!("/api/v1/yards/Alder%20Bank/counts/{TROUBLE}"), &counts).await;
    assert_eq!(status, StatusCode::CREATED, "{entered}");
    assert!(entered["verdict"]["verdict"].is_object(), "{entered}");
}

#[tokio::test]
async fn what_the_api_refuses_comes_as_problem_details() {
    let router = pages();
    let wrong = [
        ("/api/v1/reckon/depth-fill", json!({"inputs": {"area": "108 ft"}})),
        ("/api/v1/reckon/nothing", json!({})),
        ("/api/v1/letters", json!({"text": "Brown spots", "date": "16/8/2015"})),
        ("/api/v1/letters", json!({"text": "Brown spots", "yard": "Nowhere"})),
        ("/api/v1/tasks", json!({"key": "none", "to": "done"})),
        ("/api/v1/tasks", json!({"key": "none", "to": "gone"})),
        ("/api/v1/yards/Alder%20Bank/counts/white-grubs-annual", json!({"strata": [{"stratum": "roof", "counts": [1]}]})),
        ("/api/v1/yards/Alder%20Bank/counts/white-grubs-annual", json!({"strata": 3})),
        ("/api/v1/yards/Alder%20Bank/beds/Nowhere", json!({})),
        ("/api/v1/yards/Alder%20Bank/beds/Long%20border", json!({"blooms": "May"})),
    ];
    for (address, body) in wrong {
        let (status, kind, problem) = post_json(&router, address, &body).await;
        assert!(status.is_client_error(), "{address}: {status}");
        assert_eq!(kind, "application/problem+json", "{address}");
        assert_eq!(problem["status"], json!(status.as_u16()), "{problem}");
        assert!(!problem["title"].as_str().unwrap().is_empty() && problem["detail"].as_str().unwrap().len() > 15, "{problem}");
    }
    let missing = get(&router, "/api/v1/nothing").await;
    assert_eq!((missing.status, missing.kind.as_str()), (StatusCode::NOT_FOUND, "application/problem+json"));
    let text =
        Request::post("/api/v1/letters").header("host", HOST).header("content-type", "text/plain").body(Body::from("Brown spots")).unwrap();
    assert_eq!(send(&router, text).await.status, StatusCode::UNSUPPORTED_MEDIA_TYPE);
    let broken = Request::post("/api/v1/letters")
        .header("host", HOST)
        .header("content-type", "application/json")
        .body(Body::from("{\"text\": "))
        .unwrap();
    let broken = send(&router, broken).await;
    assert_eq!((broken.status, broken.kind.as_str()), (StatusCode::BAD_REQUEST, "application/problem+json"));
}

#[tokio::test]
async fn the_description_names_every_route_and_parameter() {
    let described: Value = serde_json::from_str(&get(&pages(), "/api/openapi.json").await.text).unwrap();
    assert_eq!(described["openapi"], "3.1.0");
    let mut names = std::collections::BTreeSet::new();
    for (path, operations) in described["paths"].as_object().unwrap() {
        for operation in operations.as_object().unwrap().values() {
            assert!(names.insert(operation["operationId"].as_str().unwrap().to_owned()), "{path}: a name is used twice");
            let told: Vec<&str> = operation["parameters"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|p| p["in"] == "path")
                .map(|p| p["name"].as_str().unwrap())
                .collect();
            let in_path: Vec<&str> = path.split('/').filter_map(|part| part.strip_prefix('{')?.strip_suffix('}')).collect();
            assert_eq!(told, in_path, "{path}");
        }
    }
    assert!(names.len() > 20, "{names:?}");
}
