//! Weighted least squares by the normal equations, for fits of a few coefficients.

/// Sums of a weighted least-squares fit: rows are added one by one, then solved.
#[derive(Debug, Clone)]
pub(crate) struct NormalEquations {
    size: usize,
    matrix: Vec<f64>,
    right: Vec<f64>,
}

impl NormalEquations {
    pub(crate) fn new(size: usize) -> NormalEquations {
        NormalEquations { size, matrix: vec![0.0; size * size], right: vec![0.0; size] }
    }

    /// Adds a row of predictors with its response and weight.
    pub(crate) fn add(&mut self, row: &[f64], response: f64, weight: f64) {
        for (i, x) in row.iter().enumerate() {
            let scaled = weight * x;
            self.right[i] += scaled * response;
            for (cell, y) in self.matrix[i * self.size..(i + 1) * self.size].iter_mut().zip(row) {
                *cell += scaled * y;
            }
        }
    }

    /// The coefficients, and the inverse of the matrix row by row; `None` when the rows do not settle every coefficient.
    pub(crate) fn solve(&self) -> Option<(Vec<f64>, Vec<Vec<f64>>)> {
        let n = self.size;
        let mut left: Vec<Vec<f64>> = self.matrix.chunks(n).map(<[f64]>::to_vec).collect();
        let mut inverse: Vec<Vec<f64>> = (0..n).map(|i| (0..n).map(|j| f64::from(u8::from(i == j))).collect()).collect();
        for pivot in 0..n {
            let best = (pivot..n).max_by(|a, b| left[*a][pivot].abs().total_cmp(&left[*b][pivot].abs()))?;
            left.swap(pivot, best);
            inverse.swap(pivot, best);
            let scale = left[pivot][pivot];
            if scale.is_nan() || scale.abs() < 1e-12 {
                return None;
            }
            for cell in left[pivot].iter_mut().chain(inverse[pivot].iter_mut()) {
                *cell /= scale;
            }
            let (pivot_left, pivot_inverse) = (left[pivot].clone(), inverse[pivot].clone());
            for row in (0..n).filter(|row| *row != pivot) {
                let factor = left[row][pivot];
                left[row].iter_mut().zip(&pivot_left).for_each(|(cell, p)| *cell -= factor * p);
                inverse[row].iter_mut().zip(&pivot_inverse).for_each(|(cell, p)| *cell -= factor * p);
            }
        }
        let coefficients = inverse.iter().map(|row| row.iter().zip(&self.right).map(|(a, b)| a * b).sum()).collect();
        Some((coefficients, inverse))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_three_points_is_found() {
        let mut sums = NormalEquations::new(2);
        for (x, y) in [(0.0, 1.0), (1.0, 3.0), (2.0, 5.0)] {
            sums.add(&[1.0, x], y, 1.0);
        }
        let (line, _) = sums.solve().unwrap();
        assert!((line[0] - 1.0).abs() < 1e-12 && (line[1] - 2.0).abs() < 1e-12);
        assert!(NormalEquations::new(2).solve().is_none());
    }
}
