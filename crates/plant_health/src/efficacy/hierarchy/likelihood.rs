//! The restricted likelihood of crossed normal effects with known sampling variances, by sparse elimination.
//!
//! With effects u = σ b, b standard normal, and weights w = 1 / (s² + τ²), all that is asked of the fit stands in the symmetric system
//! A = [ΛZᵀWZΛ + I, ΛZᵀW1; 1ᵀWZΛ, 1ᵀW1], which has no pole at σ = 0. The factor with most levels is eliminated first: its block is diagonal.

/// A factor: the level of each observation.
#[derive(Debug)]
pub(super) struct Factor {
    pub(super) levels: usize,
    pub(super) of: Vec<usize>,
}

/// Observations with their factors.
#[derive(Debug)]
pub(super) struct Mixed {
    y: Vec<f64>,
    sampling: Vec<f64>,
    factors: Vec<Factor>,
    /// The factor that is eliminated first.
    first: usize,
    /// Observations by level of that factor.
    groups: Vec<Vec<usize>>,
    /// First column of each other factor in the rest; the intercept stands last.
    starts: Vec<usize>,
    rest: usize,
}

/// The system at given standard deviations: diagonal block, what joins it to the rest, and the factored rest.
pub(super) struct Solved {
    diagonal: Vec<f64>,
    joins: Vec<Vec<(usize, f64)>>,
    lower: Vec<Vec<f64>>,
    /// Solution for the eliminated block, and for the rest.
    first_means: Vec<f64>,
    rest_means: Vec<f64>,
    ln_determinant: f64,
    quadratic: f64,
    ln_weights: f64,
    sds: Vec<f64>,
    first: usize,
    starts: Vec<usize>,
}

impl Mixed {
    /// Observations `y` with sampling variances and at least one factor.
    pub(super) fn new(y: Vec<f64>, sampling: Vec<f64>, factors: Vec<Factor>) -> Self {
        let first = (0..factors.len()).max_by_key(|f| factors[*f].levels).unwrap_or(0);
        let mut groups = vec![Vec::new(); factors[first].levels];
        factors[first].of.iter().enumerate().for_each(|(i, level)| groups[*level].push(i));
        let mut starts = Vec::with_capacity(factors.len());
        let mut rest = 0;
        for (f, factor) in factors.iter().enumerate() {
            starts.push(rest);
            rest += if f == first { 0 } else { factor.levels };
        }
        Self { y, sampling, factors, first, groups, starts, rest: rest + 1 }
    }

    /// Number of standard deviations: one a factor, and the scatter from trial to trial.
    pub(super) fn parameters(&self) -> usize {
        self.factors.len() + 1
    }

    /// Spread of the observations, to begin the search.
    pub(super) fn spread(&self) -> f64 {
        let n = self.y.len() as f64;
        let mean = self.y.iter().sum::<f64>() / n;
        (self.y.iter().map(|y| (y - mean).powi(2)).sum::<f64>() / n).sqrt()
    }

    /// Restricted log likelihood at standard deviations (one a factor, the trial's last).
    pub(super) fn ln_restricted_likelihood(&self, sds: &[f64]) -> f64 {
        let solved = self.solved(sds);
        let free = self.y.len() as f64 - 1.0;
        -0.5 * (free * (2.0 * std::f64::consts::PI).ln() + solved.ln_weights + solved.ln_determinant + solved.quadratic)
    }

    /// Columns of an observation in the rest, with their scale.
    fn columns<'a>(&'a self, i: usize, sds: &'a [f64]) -> impl Iterator<Item = (usize, f64)> + 'a {
        let others = self.factors.iter().enumerate().filter(|(f, _)| *f != self.first);
        others.map(move |(f, factor)| (self.starts[f] + factor.of[i], sds[f])).chain(std::iter::once((self.rest - 1, 1.0)))
    }

    /// Builds and factors the system.
    pub(super) fn solved(&self, sds: &[f64]) -> Solved {
        let trial = sds[self.factors.len()].powi(2);
        let variances: Vec<f64> = self.sampling.iter().map(|s| s + trial).collect();
        let mut lower: Vec<Vec<f64>> = (0..self.rest).map(|i| vec![0.0; i + 1]).collect();
        let mut right = vec![0.0; self.rest];
        for r in lower.iter_mut().take(self.rest - 1) {
            if let Some(last) = r.last_mut() {
                *last = 1.0;
            }
        }
        let sd = sds[self.first];
        let (mut diagonal, mut first_right) = (vec![1.0; self.groups.len()], vec![0.0; self.groups.len()]);
        let mut joins = Vec::with_capacity(self.groups.len());
        let mut touched = vec![0.0; self.rest];
        let mut yy = 0.0;
        for (k, group) in self.groups.iter().enumerate() {
            let mut places: Vec<usize> = Vec::new();
            for &i in group {
                let (w, y) = (1.0 / variances[i], self.y[i]);
                diagonal[k] += w * sd * sd;
                first_right[k] += w * sd * y;
                yy += w * y * y;
                for (a, sa) in self.columns(i, sds) {
                    right[a] += w * sa * y;
                    if touched[a] == 0.0 {
                        places.push(a);
                    }
                    touched[a] += w * sa * sd;
                    for (b, sb) in self.columns(i, sds).take_while(|(b, _)| *b <= a) {
                        lower[a][b] += w * sa * sb;
                    }
                }
            }
            places.sort_unstable();
            places.dedup();
            let join: Vec<(usize, f64)> = places.iter().map(|p| (*p, touched[*p])).collect();
            places.iter().for_each(|p| touched[*p] = 0.0);
            for (at, (a, va)) in join.iter().enumerate() {
                let scaled = va / diagonal[k];
                right[*a] -= scaled * first_right[k];
                let row = &mut lower[*a];
                join[..=at].iter().for_each(|(b, vb)| row[*b] -= scaled * vb);
            }
            joins.push(join);
        }
        factorise(&mut lower);
        let half = forward(&lower, &right);
        let rest_means = backward(&lower, &half);
        let first_means: Vec<f64> = joins
            .iter()
            .enumerate()
            .map(|(k, join)| (first_right[k] - join.iter().map(|(a, v)| v * rest_means[*a]).sum::<f64>()) / diagonal[k])
            .collect();
        let explained = half.iter().map(|h| h * h).sum::<f64>() + first_right.iter().zip(&diagonal).map(|(r, d)| r * r / d).sum::<f64>();
        let ln_determinant =
            diagonal.iter().map(|d| d.ln()).sum::<f64>() + 2.0 * lower.iter().filter_map(|row| row.last()).map(|d| d.ln()).sum::<f64>();
        Solved {
            diagonal,
            joins,
            lower,
            first_means,
            rest_means,
            ln_determinant,
            quadratic: yy - explained,
            ln_weights: variances.iter().map(|v| v.ln()).sum(),
            sds: sds.to_vec(),
            first: self.first,
            starts: self.starts.clone(),
        }
    }
}

impl Solved {
    /// Mean and standard deviation of a sum of effects, each `(factor, level)`, with the intercept where `intercept` is set.
    pub(super) fn sum_of(&self, intercept: bool, parts: &[(usize, usize)]) -> (f64, f64) {
        let mut rest = vec![0.0; self.rest_means.len()];
        if intercept && let Some(last) = rest.last_mut() {
            *last = 1.0;
        }
        let (mut mean, mut variance) = (0.0, 0.0);
        for (factor, level) in parts {
            if *factor != self.first {
                rest[self.starts[*factor] + level] += self.sds[*factor];
            }
        }
        mean += rest.iter().zip(&self.rest_means).map(|(r, m)| r * m).sum::<f64>();
        for (_, level) in parts.iter().filter(|(factor, _)| *factor == self.first) {
            let sd = self.sds[self.first];
            mean += sd * self.first_means[*level];
            variance += sd * sd / self.diagonal[*level];
            self.joins[*level].iter().for_each(|(a, v)| rest[*a] -= sd * v / self.diagonal[*level]);
        }
        variance += forward(&self.lower, &rest).iter().map(|h| h * h).sum::<f64>();
        (mean, variance.sqrt())
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (mut sums, mut rest) = ([0.0; 4], 0.0);
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    for (x, y) in a4.remainder().iter().zip(b4.remainder()) {
        rest += x * y;
    }
    for (x, y) in a4.zip(b4) {
        for ((sum, x), y) in sums.iter_mut().zip(x).zip(y) {
            *sum += x * y;
        }
    }
    sums.iter().sum::<f64>() + rest
}

/// Cholesky of a lower triangle in place; the system is positive definite but for rounding, which a floor on the pivot takes up.
fn factorise(lower: &mut [Vec<f64>]) {
    for i in 0..lower.len() {
        let (above, below) = lower.split_at_mut(i);
        let row = &mut below[0];
        for j in 0..i {
            let sum = dot(&row[..j], &above[j][..j]);
            row[j] = (row[j] - sum) / above[j][j];
        }
        let sum = dot(&row[..i], &row[..i]);
        row[i] = (row[i] - sum).max(1e-300).sqrt();
    }
}

fn forward(lower: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let mut found: Vec<f64> = Vec::with_capacity(right.len());
    for (i, row) in lower.iter().enumerate() {
        found.push((right[i] - dot(&row[..i], &found)) / row[i]);
    }
    found
}

fn backward(lower: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let mut found = right.to_vec();
    for i in (0..lower.len()).rev() {
        found[i] /= lower[i][i];
        let value = found[i];
        found[..i].iter_mut().zip(&lower[i][..i]).for_each(|(f, l)| *f -= l * value);
    }
    found
}
