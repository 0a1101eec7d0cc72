//! GHCN-Daily, as `.csv` and as `.dly`, and the guess which form a file has: no bytes panic.
#![no_main]

use groundlore_weather::{ReadOptions, read_bytes, read_ghcn_csv, read_ghcn_dly};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let lenient = ReadOptions { skip_bad: true, ..ReadOptions::default() };
    let guessed = read_bytes(bytes, "fuzz", &lenient);
    let Ok(text) = std::str::from_utf8(bytes) else {
        assert!(guessed.is_err(), "bytes that are no text were read");
        return;
    };
    let read = [
        read_ghcn_csv(text, "fuzz.csv", &lenient),
        read_ghcn_csv(text, "fuzz.csv", &ReadOptions::default()),
        read_ghcn_dly(text, "fuzz.dly", &lenient),
        read_ghcn_dly(text, "fuzz.dly", &ReadOptions::default()),
        guessed,
    ];
    for series in read.into_iter().flatten().map(|reading| reading.series) {
        assert_eq!(series.index(series.last_day()), Some(series.len() - 1));
    }
});
