//! Files of little-endian 64-bit floating-point numbers.

use std::io;
use std::path::Path;

/// All numbers of a file.
pub fn read(path: &Path) -> io::Result<Vec<f64>> {
    let bytes = std::fs::read(path)?;
    let number = |eight: &[u8]| eight.try_into().map(f64::from_le_bytes).map_err(|_| io::Error::other("not a whole number of values"));
    bytes.chunks(8).map(number).collect()
}

/// Writes numbers to a file.
pub fn write(path: &Path, numbers: &[f64]) -> io::Result<()> {
    let bytes: Vec<u8> = numbers.iter().flat_map(|number| number.to_le_bytes()).collect();
    std::fs::write(path, bytes)
}
