//! The map of a yard: no text panics, strict and lenient reading agree, and a yard that was read is written as a map that reads.
#![no_main]

use groundlore_site::read::read_map;
use groundlore_site::write::geojson;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let lenient = read_map(text, "fuzz.geojson", true);
    let Ok(strict) = read_map(text, "fuzz.geojson", false) else { return };
    let lenient = match lenient {
        Ok(lenient) => lenient,
        Err(errors) => panic!("read strictly, refused leniently: {errors}"),
    };
    assert!(strict.skipped.is_empty() && lenient.skipped.is_empty(), "a good map has something skipped");
    assert_eq!(strict.yard, lenient.yard);
    let written = geojson(&strict.yard).to_string();
    if let Err(errors) = read_map(&written, "again.geojson", true) {
        panic!("what was written does not read: {errors}\n{written}");
    }
});
