//! The lore that we ship: it reads, it passes its own check, every figure has a source, and an overlay wins over it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

#[path = "bad_clocks.rs"]
mod bad_clocks;
#[path = "bad_input.rs"]
mod bad_input;
#[path = "clocks.rs"]
mod clocks;
#[path = "properties.rs"]
mod properties;

use groundlore_lore::control::ControlClass;
use groundlore_lore::{Lore, LoreFault, Shelf, Weight, check};
use std::path::Path;

fn list(faults: &[LoreFault]) -> String {
    faults.iter().map(|fault| format!("\n  {fault}")).collect()
}

#[test]
fn the_built_in_lore_reads_without_a_fault() {
    let (_, faults) = Lore::built_in_lenient(None);
    assert!(faults.is_empty(), "{}", list(&faults));
}

#[test]
fn the_built_in_lore_passes_its_check() {
    let (lore, _) = Lore::built_in_lenient(None);
    let faults: Vec<LoreFault> = check(&lore).into_iter().filter(|fault| fault.weight == Weight::Fault).collect();
    assert!(faults.is_empty(), "{} faults:{}", faults.len(), list(&faults));
}

#[test]
fn warnings_can_be_listed_for_the_reviewer() {
    let (lore, _) = Lore::built_in_lenient(None);
    let warnings: Vec<LoreFault> = check(&lore).into_iter().filter(|fault| fault.weight == Weight::Warning).collect();
    println!("{} warnings:{}", warnings.len(), list(&warnings));
    let start = std::time::Instant::now();
    let _ = Lore::built_in_lenient(None);
    println!("read in {:?} (unoptimised)", start.elapsed());
}

#[test]
fn there_is_as_much_on_the_shelves_as_was_promised() {
    let (lore, _) = Lore::built_in_lenient(None);
    let harmless = lore.troubles.values().filter(|trouble| trouble.kind == groundlore_lore::trouble::TroubleKind::Harmless).count();
    assert!(lore.troubles.len() - harmless >= 25, "{} troubles", lore.troubles.len() - harmless);
    assert!(harmless >= 8, "{harmless} harmless");
    assert!(lore.plants.len() >= 60, "{} plants", lore.plants.len());
    assert!(lore.controls.len() >= 12, "{} controls", lore.controls.len());
    assert!(lore.materials.len() >= 10, "{} materials", lore.materials.len());
    assert!(lore.work_norms.len() >= 12, "{} work norms", lore.work_norms.len());
}

/// Every table that holds a range (`low` and `high`) must name its source beside it.
fn ranges_without_source(value: &toml::Value, place: &str, found: &mut Vec<String>) {
    match value {
        toml::Value::Table(table) => {
            if table.contains_key("low") && !table.contains_key("source") {
                found.push(place.to_owned());
            }
            table.iter().for_each(|(key, inner)| ranges_without_source(inner, &format!("{place}.{key}"), found));
        }
        toml::Value::Array(items) => items.iter().for_each(|item| ranges_without_source(item, place, found)),
        _ => {}
    }
}

#[test]
fn every_range_in_every_file_has_a_source_beside_it() {
    let mut found = Vec::new();
    let mut files = 0;
    for folder in std::fs::read_dir(lore_folder()).unwrap().flatten().filter(|entry| entry.path().is_dir()) {
        for file in
            std::fs::read_dir(folder.path()).unwrap().flatten().filter(|entry| entry.path().extension().is_some_and(|e| e == "toml"))
        {
            let table: toml::Table = std::fs::read_to_string(file.path()).unwrap().parse().unwrap();
            ranges_without_source(&toml::Value::Table(table), &file.path().display().to_string(), &mut found);
            files += 1;
        }
    }
    assert!(files > 50 && found.is_empty(), "{files} files; without source: {found:#?}");
}

#[test]
fn no_bee_hazard_or_group_is_given_without_its_edition() {
    // Check values: moa_groups.csv and rei_bee_category.csv of the reference folder (UC IPM 2017 scale I to III).
    let lore = Lore::built_in_lenient(None).0;
    let rows = [
        ("imidacloprid", Some("I"), "4A"),
        ("chlorantraniliprole", Some("III"), "28"),
        ("bifenthrin", Some("I"), "3A"),
        ("bacillus-thuringiensis-kurstaki", Some("III"), "11A"),
        ("spinosad", None, "5"),
        ("propiconazole", None, "3"),
        ("prodiamine", None, "3"),
        ("mesotrione", None, "27"),
        ("dithiopyr", None, "3"),
        ("pendimethalin", None, "3"),
        ("potassium-bicarbonate", None, "NC"),
    ];
    for (key, bees, group) in rows {
        let control = &lore.controls[key];
        assert_eq!(control.bee_hazard.as_ref().map(|bees| bees.category.as_str()), bees, "{key}");
        assert_eq!(control.group.as_ref().map(|group| group.code.as_str()), Some(group), "{key}");
    }
}

#[test]
fn every_control_answers_for_every_trouble_that_names_it() {
    let (lore, _) = Lore::built_in_lenient(None);
    for trouble in lore.troubles.values() {
        for key in &trouble.action.controls {
            let control = &lore.controls[key];
            let answers = control.targets.iter().any(|target| target.trouble == trouble.key);
            assert!(answers || control.class == ControlClass::Practice, "{} names {key}, which has no such target", trouble.key);
        }
    }
}

#[test]
fn the_bacterial_grub_control_has_slid_from_nine_in_ten_to_one_in_six() {
    // Check values: common-practice.md CP9 (90–95 % when new) and CP10 (11–20 % some 30 generations later).
    let lore = Lore::built_in_lenient(None).0;
    let evidence = &lore.controls["bacillus-thuringiensis-galleriae"].targets[0].evidence;
    let shares: Vec<(f64, f64)> = evidence.iter().map(|row| (row.control.low, row.control.high)).collect();
    assert_eq!(shares, [(0.90, 0.95), (0.11, 0.20)]);
    assert_eq!(evidence[1].year - evidence[0].year, 30);
    assert!(evidence.iter().all(|row| !row.control.source.is_published()));
}

#[test]
fn edging_block_has_a_face_four_inches_high() {
    // Check value: common-practice.md CP13.
    let lore = Lore::built_in_lenient(None).0;
    assert_eq!(lore.materials["edging-block"].piece[1].high.in_unit("in").unwrap(), 4.0);
}

#[test]
fn reading_twice_gives_the_same() {
    let (first, second) = (Lore::built_in_lenient(None).0, Lore::built_in_lenient(None).0);
    assert_eq!(first.controls, second.controls);
    assert_eq!(first.troubles, second.troubles);
}

#[test]
fn an_overlay_entry_wins_and_the_rest_stays() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::create_dir(dir.path().join("work_norms")).unwrap();
    let ours = std::fs::read_to_string(lore_folder().join("work_norms/spread-mulch.toml")).unwrap();
    std::fs::write(dir.path().join("work_norms/spread-mulch.toml"), ours.replace("\"30 min\"", "\"25 min\"")).unwrap();
    std::fs::write(
        dir.path().join("sources.toml"),
        "[[source]]\nkey = \"our-own-clock\"\ncitation = \"The firm's own time sheets, two seasons\"\nread = true\n",
    )
    .unwrap();
    for lore in [Lore::built_in_lenient(Some(dir.path())).0, Lore::load_lenient(&lore_folder(), Some(dir.path())).0] {
        assert_eq!(lore.work_norms["spread-mulch"].time.low.in_unit("min").unwrap(), 25.0);
        assert!(lore.work_norms.contains_key("mow-lawn"));
        assert!(lore.sources.contains_key("our-own-clock"));
        assert!(lore.file_of(Shelf::WorkNorms, "spread-mulch").unwrap().starts_with(&dir.path().display().to_string()));
    }
}

#[test]
fn the_folder_and_the_embedded_files_say_the_same() {
    let (embedded, folder) = (Lore::built_in_lenient(None).0, Lore::load_lenient(&lore_folder(), None).0);
    assert_eq!(embedded.controls, folder.controls);
    assert_eq!(embedded.materials, folder.materials);
}

fn lore_folder() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../lore")
}
