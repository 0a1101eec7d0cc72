//! Seeded draws: uniform and normal.

use std::f64::consts::TAU;

use rand_chacha::ChaCha12Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A stream of draws that a seed settles.
#[derive(Debug, Clone)]
pub(crate) struct Draws {
    source: ChaCha12Rng,
    spare: Option<f64>,
}

impl Draws {
    pub(crate) fn seeded(seed: u64) -> Draws {
        Draws { source: ChaCha12Rng::seed_from_u64(seed), spare: None }
    }

    /// In 0…1, 1 left out.
    pub(crate) fn uniform(&mut self) -> f64 {
        (self.source.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// An index below `length`.
    pub(crate) fn below(&mut self, length: usize) -> usize {
        ((self.uniform() * length as f64) as usize).min(length.saturating_sub(1))
    }

    /// Standard normal, by the polar form of Box and Muller (1958; memory).
    pub(crate) fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        let (sine, cosine) = (TAU * self.uniform()).sin_cos();
        self.spare = Some(radius * sine);
        radius * cosine
    }
}
