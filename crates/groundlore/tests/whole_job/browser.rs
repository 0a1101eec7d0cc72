//! The job in a real browser: Chromium, headless, through WebDriver, at a phone's width and a desk's.
use crate::{groundlore, says};
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use std::io::{BufRead as _, BufReader};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// A process that ends with the test.
struct Running(Child);

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// The driver on a free port; none where it is not installed (an error where the tests are meant to be whole).
fn driver() -> Option<(Running, String)> {
    let started = Command::new("chromedriver").args(["--port=0"]).stdout(Stdio::piped()).stderr(Stdio::null()).spawn();
    let mut child = match started {
        Ok(child) => Running(child),
        Err(_) if std::env::var_os("CI").is_some() || std::env::var_os("GROUNDLORE_WHOLE").is_some() => {
            panic!("chromedriver is needed: apt-get install chromium chromium-driver")
        }
        Err(_) => {
            eprintln!("SKIPPED: the browser test needs chromium and chromium-driver; ./test installs them");
            return None;
        }
    };
    let lines = BufReader::new(child.0.stdout.take().unwrap()).lines();
    let port = lines
        .map_while(Result::ok)
        .find_map(|line| line.split("successfully on port ").nth(1).map(|p| p.trim_end_matches('.').to_owned()))?;
    Some((child, format!("http://127.0.0.1:{port}")))
}

fn server(folder: &std::path::Path) -> (Running, String) {
    let mut command = Command::new(groundlore(folder).get_program());
    command.current_dir(folder).args(["--book", "groundlore-demo/firm.book", "--on", "2015-08-17", "serve", "--address", "127.0.0.1:0"]);
    let mut child = Running(command.stderr(Stdio::piped()).spawn().unwrap());
    let mut line = String::new();
    BufReader::new(child.0.stderr.take().unwrap()).read_line(&mut line).unwrap();
    let address = line.split_whitespace().find(|word| word.starts_with("http://")).unwrap().to_owned();
    (child, address)
}

async fn browser(driver: &str, profile: &std::path::Path, width: u32) -> Client {
    let arguments = [
        "--headless=new".to_owned(),
        "--no-sandbox".to_owned(),
        "--disable-gpu".to_owned(),
        "--disable-quic".to_owned(),
        "--no-first-run".to_owned(),
        "--disable-background-networking".to_owned(),
        "--disable-component-update".to_owned(),
        "--disable-sync".to_owned(),
        format!("--user-data-dir={}", profile.display()),
        format!("--window-size={width},900"),
    ];
    let capabilities = serde_json::json!({"goog:chromeOptions": {"args": arguments}});
    let serde_json::Value::Object(capabilities) = capabilities else { unreachable!() };
    let mut tries = 0;
    loop {
        match ClientBuilder::new(HttpConnector::new()).capabilities(capabilities.clone()).connect(driver).await {
            Ok(client) => return client,
            Err(error) if tries > 20 => panic!("no browser: {error}"),
            Err(_) => tries += 1,
        }
        tokio::time::sleep(Duration::from_millis(250)).await;
    }
}

/// No page is wider than its window, every field has a label, there is one main heading, and nothing failed to load.
async fn is_sound(client: &Client, page: &str) {
    let wide =
        client.execute("return document.documentElement.scrollWidth - document.documentElement.clientWidth", Vec::new()).await.unwrap();
    assert!(wide.as_i64().unwrap() <= 1, "{page} is {wide} px wider than its window");
    let script = "return [...document.querySelectorAll('input:not([type=hidden]),select,textarea')].filter(f => !(f.labels && f.labels.length) && !f.getAttribute('aria-label')).map(f => f.outerHTML)";
    let bare = client.execute(script, Vec::new()).await.unwrap();
    assert_eq!(bare, serde_json::json!([]), "{page} has fields without a label");
    let heads = client.execute("return document.querySelectorAll('h1').length", Vec::new()).await.unwrap();
    assert_eq!(heads, 1, "{page} has {heads} main headings");
}

async fn walk(client: &Client, address: &str) {
    let pages = [
        "/week",
        "/yards",
        "/yards/Linden%20House",
        "/yards/Linden%20House/season",
        "/letters",
        "/yards/Linden%20House/scout/white-grubs-annual",
        "/yards/Linden%20House/count/white-grubs-annual",
        "/yards/Linden%20House/verdict/white-grubs-annual",
        "/yards/Linden%20House/treat/white-grubs-annual",
        "/yards/Linden%20House/record",
        "/yards/Linden%20House/beds",
        "/yards/Linden%20House/price",
        "/proposals",
        "/machines",
        "/reckon",
        "/reckon/mix",
        "/lore",
    ];
    for page in pages {
        client.goto(&format!("{address}{page}")).await.unwrap();
        is_sound(client, page).await;
    }
}

async fn answer_a_letter(client: &Client, address: &str) {
    client.goto(&format!("{address}/letters")).await.unwrap();
    let field = client.find(Locator::Css("textarea[name=text]")).await.unwrap();
    field.send_keys("Orange powder comes off on my shoes when I walk over the lawn, the grass looks yellow.").await.unwrap();
    let script =
        "document.querySelector('textarea[name=text]').form.querySelector('button').scrollIntoView({block: 'center', behavior: 'instant'})";
    client.execute(script, Vec::new()).await.unwrap();
    let button = client.find(Locator::XPath("//textarea[@name='text']/ancestor::form//button")).await.unwrap();
    button.click().await.unwrap();
    // The answer is another page: what is read before it stands may be the old one, gone while it is read.
    let mut text = String::new();
    for _ in 0..100 {
        if let Ok(main) = client.find(Locator::Css("main")).await {
            text = main.text().await.unwrap_or_default().to_lowercase();
        }
        if text.contains("rust") {
            return;
        }
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
    panic!("no rust in the answer: {text}");
}

#[test]
fn the_job_goes_in_a_browser_at_a_phones_width_and_a_desks() {
    let Some((_driver, driver_address)) = driver() else { return };
    let folder = tempfile::tempdir().unwrap();
    says(folder.path(), &["demo"]);
    let (_server, address) = server(folder.path());
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build().unwrap();
    runtime.block_on(async {
        for width in [390, 1440] {
            let profile = tempfile::tempdir().unwrap();
            let client = browser(&driver_address, profile.path(), width).await;
            client.set_window_size(width, 900).await.unwrap();
            walk(&client, &address).await;
            answer_a_letter(&client, &address).await;
            client.close().await.unwrap();
        }
    });
}
