//! The job at another yard, with another station, in metric, south of the equator, on another date: nothing is true only of the demo.
use crate::{json, refuses, says};
use std::fmt::Write as _;
use std::path::Path;

/// Thirty invented years of a mild southern station: warm in January, cool in July.
pub(crate) fn weather() -> String {
    let mut text = String::from("date,TMIN (degC),TMAX (degC),PRCP (mm)\n");
    for year in 1991..=2021i16 {
        for (month, days) in [31, if year % 4 == 0 { 29 } else { 28 }, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31].into_iter().enumerate() {
            for day in 1..=days {
                let turn = ((month as f64 + f64::from(day) / 31.0) / 12.0 * std::f64::consts::TAU).cos();
                let wave = f64::from((year * 7 + day as i16 * 13 + month as i16 * 31) % 17) / 3.0 - 2.5;
                let rain = if (day + month as i32 + i32::from(year)) % 5 == 0 { 7.5 } else { 0.0 };
                let _ = writeln!(
                    text,
                    "{year}-{:02}-{day:02},{:.1},{:.1},{rain}",
                    month + 1,
                    8.0 + 6.5 * turn + wave,
                    18.0 + 7.5 * turn + wave
                );
            }
        }
    }
    text
}

/// A small invented yard on open water south of Tasmania; everything in metric.
pub(crate) const MAP: &str = r#"{"type": "FeatureCollection", "name": "Gannet Rise", "features": [
 {"type": "Feature", "id": "lawn", "properties": {"kind": "lawn", "name": "Lawn", "irrigated": true, "shade": "full-sun"},
  "geometry": {"type": "Polygon", "coordinates": [[[148.0, -45.0], [148.0004, -45.0], [148.0004, -44.9998], [148.0, -44.9998], [148.0, -45.0]]]}},
 {"type": "Feature", "id": "bed", "properties": {"kind": "bed", "name": "North bed", "shade": "full-sun"},
  "geometry": {"type": "Polygon", "coordinates": [[[148.0, -44.9998], [148.0002, -44.9998], [148.0002, -44.99977], [148.0, -44.99977], [148.0, -44.9998]]]}},
 {"type": "Feature", "id": "patch", "properties": {"kind": "patch", "name": "Thin turf", "margin": "0.8 m"},
  "geometry": {"type": "Polygon", "coordinates": [[[148.0001, -44.99995], [148.0002, -44.99995], [148.0002, -44.99988], [148.0001, -44.99988], [148.0001, -44.99995]]]}},
 {"type": "Feature", "id": "tree", "properties": {"kind": "tree", "name": "Old elm", "trunk_diameter": "50 cm", "ring": "soil", "ring_height": "30 cm"},
  "geometry": {"type": "Point", "coordinates": [148.00035, -44.99985]}}]}"#;

fn set_up(folder: &Path) {
    std::fs::write(folder.join("w.csv"), weather()).unwrap();
    std::fs::write(folder.join("map.geojson"), MAP).unwrap();
    says(folder, &["book", "create", "--firm", "Gannet Grounds", "--labour", "$31/h", "--overhead", "20%", "--margin", "0.15"]);
    says(folder, &["weather", "add", "south-1", "w.csv", "--latitude", "-45", "--longitude", "148"]);
    let said = says(folder, &["--on", "2021-02-20", "yard", "import", "map.geojson", "--owner", "A. Tern", "--station", "south-1"]);
    assert!(said.contains("SOIL RINGED ROUND THE TRUNK"), "the soil piled at the elm is found:\n{said}");
}

#[test]
fn another_yard_station_and_hemisphere_go_through_the_job() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    let on = |words: &[&'static str]| -> Vec<&'static str> { ["--on", "2021-02-20"].into_iter().chain(words.iter().copied()).collect() };
    let season = json(folder, &on(&["season", "Gannet Rise"]))["season"].take();
    assert!(season["futures"].as_u64().unwrap() >= 25);
    let small = season["stages"]
        .as_array()
        .unwrap()
        .iter()
        .find(|s| s[1]["stage"] == "small-grubs" && s[0].as_str().unwrap().starts_with("White grubs"))
        .unwrap();
    assert!(small[1]["p50"].as_str().unwrap().starts_with("2021-02"), "late summer is February in the south: {small}");
    std::fs::write(
        folder.join("l.txt"),
        "Yard: Gannet Rise\nDate: 2021-02-18\n\nThe turf peels back like a rug and there are white grubs curled up under it.",
    )
    .unwrap();
    let letter = json(folder, &on(&["letter", "--from", "l.txt"]));
    // Late summer of the south: the stage to act at is running.
    assert_eq!(letter["action"]["class"], "act now");
    let plan = json(folder, &on(&["scout", "plan", "Gannet Rise", "--trouble", "white-grubs-annual"]));
    assert_eq!(plan["plan"]["stop_rules"].as_array().unwrap().len(), 3);
    let none = refuses(folder, &on(&["scout", "verdict", "Gannet Rise", "--trouble", "white-grubs-annual"]));
    assert!(none.contains("nobody has counted"), "{none}");
    says(
        folder,
        &on(&[
            "scout",
            "enter",
            "Gannet Rise",
            "--trouble",
            "white-grubs-annual",
            "--counts",
            "margin=0 1 0 2 0 1",
            "--counts",
            "core=1 0 0 2",
        ]),
    );
    let verdict = json(folder, &on(&["scout", "verdict", "Gannet Rise", "--trouble", "white-grubs-annual"]));
    assert_eq!(verdict["species_told"], false);
    assert_eq!(verdict["verdict"]["not_looked_at"][0], "sound turf", "a stratum that nobody looked at is unknown");
    assert_ne!(verdict["verdict"]["answer"]["answer"], "treat");
    let bed = json(folder, &on(&["plant", "Gannet Rise", "North bed", "--bloom", "November-March", "--moisture", "medium", "--zone", "8"]));
    assert!(!bed["plan"]["plants"].as_array().unwrap().is_empty());
    let mulch = says(folder, &on(&["measure", "mulch", "Gannet Rise", "North bed", "--depth", "7.5 cm"]));
    assert!(mulch.contains("yd") || mulch.contains("m3"), "{mulch}");
    let week = says(folder, &on(&["week"]));
    assert!(week.contains("Gannet Rise"));
}

#[test]
fn wrong_files_name_place_value_and_remedy_and_leave_the_book_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    set_up(folder);
    let before = std::fs::read(folder.join("firm.book")).unwrap();
    let wrong: [(&str, &str, &[&str], &str); 8] = [
        ("a.geojson", "{", &["yard", "import", "a.geojson"], "a.geojson"),
        ("b.geojson", &MAP.replace("\"50 cm\"", "50"), &["yard", "import", "b.geojson"], "50"),
        ("c.geojson", &MAP.replace("\"lawn\", \"name\"", "\"lown\", \"name\""), &["yard", "import", "c.geojson"], "lown"),
        ("d.csv", "date,TMIN,TMAX\n2020-01-01,1,2\n", &["weather", "add", "x", "d.csv"], "unit"),
        ("e.csv", "date,TMIN (degC),TMAX (degC)\n2020-13-01,1,2\n", &["weather", "add", "x", "e.csv"], "2020-13-01"),
        ("f.csv", "date,trouble,count\n2021-02-19,white-grubs-annual,many\n", &["scout", "sheet", "Gannet Rise", "f.csv"], "many"),
        ("g.csv", "item,unit,cost\nbark,yd3,cheap\n", &["rates", "add", "g.csv"], "cheap"),
        ("h.csv", "name,rate\nA card,3 cups\n", &["label", "add", "h.csv"], "3 cups"),
    ];
    for (name, text, words, part) in wrong {
        std::fs::write(folder.join(name), text).unwrap();
        let said = refuses(folder, words);
        assert!(said.contains(part) && said.contains(name), "{name}: {said}");
    }
    assert!(refuses(folder, &["yard", "show", "Gannet Ryse"]).contains("Gannet Rise"));
    assert!(refuses(folder, &["serve", "--address", "0.0.0.0:4181"]).contains("loopback"));
    assert_eq!(before, std::fs::read(folder.join("firm.book")).unwrap(), "nothing was written");
    let said = refuses(&std::env::temp_dir().join("."), &["--book", "no-such.book", "week"]);
    assert!(said.contains("groundlore book create"), "{said}");
}

/// Answers on this machine's own loopback, one request a part, and tells what it was asked.
fn server(answers: Vec<String>) -> (String, std::thread::JoinHandle<Vec<String>>) {
    use std::io::{Read as _, Write as _};
    let listening = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let address = format!("http://{}", listening.local_addr().unwrap());
    let asked = std::thread::spawn(move || {
        let mut asked = Vec::new();
        for answer in answers {
            let (mut caller, _) = listening.accept().unwrap();
            let mut request = vec![0; 8192];
            let length = caller.read(&mut request).unwrap();
            asked.push(String::from_utf8_lossy(&request[..length]).into_owned());
            caller.write_all(answer.as_bytes()).unwrap();
        }
        asked
    });
    (address, asked)
}

#[test]
fn a_station_s_file_is_fetched_kept_and_asked_for_again_only_where_it_changed() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    says(folder, &["book", "create", "--firm", "Gannet Grounds", "--labour", "$31/h", "--overhead", "20%", "--margin", "0.15"]);
    let file = weather();
    let whole = format!("HTTP/1.1 200 OK\r\nETag: \"one\"\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{file}", file.len());
    let unchanged = "HTTP/1.1 304 Not Modified\r\nConnection: close\r\n\r\n".to_owned();
    let nonsense = "HTTP/1.1 200 OK\r\nContent-Length: 11\r\nConnection: close\r\n\r\nnot weather".to_owned();
    let (address, asked) = server(vec![whole, unchanged, nonsense]);
    std::fs::write(folder.join("fetch.toml"), format!("daily = \"{address}/{{station}}.csv\"\ntries = 1\ntimeout = \"5s\"\n")).unwrap();
    let get = ["weather", "get", "SOUTH1", "--settings", "fetch.toml", "--latitude", "-45", "--longitude", "148"];

    let offline: Vec<&str> = get.iter().copied().chain(["--offline"]).collect();
    assert!(refuses(folder, &offline).contains("nothing of station SOUTH1 has been fetched yet"));
    let first = says(folder, &get);
    assert!(first.contains("1991-01-01 to 2021-12-31") && first.contains("fetched just now"), "{first}");
    let second = says(folder, &get);
    assert!(second.contains("1991-01-01 to 2021-12-31") && second.contains("unchanged"), "{second}");
    let third = says(folder, &get);
    assert!(third.contains("1991-01-01 to 2021-12-31") && third.contains("as fetched"), "nonsense takes nothing's place: {third}");
    let asked = asked.join().unwrap();
    assert!(asked[0].starts_with("GET /SOUTH1.csv") && asked[1].to_lowercase().contains("if-none-match: \"one\""), "{asked:?}");
    let gone = says(folder, &get);
    assert!(gone.contains("as fetched") && gone.contains("did not answer"), "{gone}");
    assert!(says(folder, &offline).contains("1991-01-01 to 2021-12-31"));

    assert!(refuses(folder, &["weather", "get", "../etc", "--settings", "fetch.toml"]).contains("../etc"));
    std::fs::write(folder.join("bad.toml"), "dayly = 3\n").unwrap();
    let wrong = refuses(folder, &["weather", "get", "SOUTH1", "--settings", "bad.toml"]);
    assert!(wrong.contains("bad.toml") && wrong.contains("dayly") && wrong.contains("{station}"), "{wrong}");
    assert!(!std::fs::read_dir(folder).unwrap().any(|f| f.unwrap().file_name() == "etc.csv"));
}
