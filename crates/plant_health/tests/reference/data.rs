//! Reading the small tables of `tests/data/`.

use std::path::Path;

/// Rows of a file, without its header.
pub(crate) fn records(file: &str) -> Vec<csv::StringRecord> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(file);
    csv::Reader::from_path(path).unwrap().records().map(|r| r.unwrap()).collect()
}

/// Counts of one treatment from a table of (treatment, found, number of samples).
pub(crate) fn counts_from_frequencies(file: &str, treatment: &str) -> Vec<u64> {
    let rows = records(file).into_iter().filter(|r| &r[0] == treatment);
    rows.flat_map(|r| vec![r[1].parse().unwrap(); r[2].parse().unwrap()]).collect()
}

/// One column of counts, of the rows whose `key` column holds `value` (all rows where there is no such column).
pub(crate) fn counts_by(file: &str, key: usize, value: &str, column: usize) -> Vec<u64> {
    let rows = records(file).into_iter().filter(|r| r.get(key).is_none_or(|k| k == value));
    rows.map(|r| r[column].parse().unwrap()).collect()
}

/// Sum of a column over the rows in which every key column holds its value.
pub(crate) fn sum_by(file: &str, keys: &[(usize, &str)], column: usize) -> f64 {
    let rows = records(file).into_iter().filter(|r| keys.iter().all(|(key, value)| &r[*key] == *value));
    rows.map(|r| r[column].parse::<f64>().unwrap()).sum()
}
