//! Ground floor: the little linear algebra that a handful of unknowns needs.

/// Lower triangle whose product with its own transpose is a positive definite matrix, of which the lower triangle is read. What
/// stands above the diagonal has no meaning.
pub fn cholesky(mut matrix: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    for i in 0..matrix.len() {
        for j in 0..=i {
            let done: f64 = (0..j).map(|k| matrix[i][k] * matrix[j][k]).sum();
            let left = matrix[i][j] - done;
            matrix[i][j] = match i == j {
                true => left.max(f64::MIN_POSITIVE).sqrt(),
                false => left / matrix[j][j],
            };
        }
    }
    matrix
}

/// Solves a system whose matrix is the lower triangle alone that [`cholesky`] gives.
pub fn half_solved(factor: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let mut x = right.to_vec();
    for i in 0..x.len() {
        let done: f64 = (0..i).map(|k| factor[i][k] * x[k]).sum();
        x[i] = (x[i] - done) / factor[i][i];
    }
    x
}

/// Solves a system whose matrix was factored by [`cholesky`].
pub fn solved(factor: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let n = right.len();
    let mut x = half_solved(factor, right);
    for i in (0..n).rev() {
        let done: f64 = (i + 1..n).map(|k| factor[k][i] * x[k]).sum();
        x[i] = (x[i] - done) / factor[i][i];
    }
    x
}

/// Normal equations of a fit by weighted least squares, gathered row by row.
pub struct NormalEquations {
    /// The lower triangle.
    matrix: Vec<Vec<f64>>,
    right: Vec<f64>,
}

impl NormalEquations {
    /// For so many unknowns.
    pub fn new(unknowns: usize) -> NormalEquations {
        NormalEquations {
            matrix: vec![vec![0.0; unknowns]; unknowns],
            right: vec![0.0; unknowns],
        }
    }

    /// One value that should be the sum of a row's products with the unknowns.
    pub fn add(&mut self, row: &[f64], value: f64, weight: f64) {
        for i in 0..row.len() {
            let weighed = weight * row[i];
            self.right[i] += weighed * value;
            (0..=i).for_each(|j| self.matrix[i][j] += weighed * row[j]);
        }
    }

    /// A billionth more on the diagonal: unknowns of which the rows say nothing come out as 0.
    pub fn ridged(mut self) -> NormalEquations {
        for (i, row) in self.matrix.iter_mut().enumerate() {
            row[i] = row[i] * (1.0 + 1e-9) + 1e-9;
        }
        self
    }

    /// The unknowns, and the factor of the matrix they were solved with.
    pub fn solved(self) -> (Vec<f64>, Vec<Vec<f64>>) {
        let factor = cholesky(self.matrix);
        (solved(&factor, &self.right), factor)
    }
}

/// Sum of products.
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line through three points, one of which counts for nothing; an unknown nobody asks for is 0.
    #[test]
    fn a_weighed_line() {
        let mut equations = NormalEquations::new(3);
        for (x, y, weight) in [(0.0, 1.0, 1.0), (2.0, 5.0, 3.0), (1.0, 70.0, 0.0)] {
            equations.add(&[1.0, x, 0.0], y, weight);
        }
        let (line, _) = equations.ridged().solved();
        for (got, want) in line.iter().zip([1.0, 2.0, 0.0]) {
            assert!((got - want).abs() < 1e-7, "{got}, {want}");
        }
    }

    #[test]
    fn a_small_system() {
        let matrix = vec![
            vec![4.0, 0.0, 0.0],
            vec![2.0, 5.0, 0.0],
            vec![-2.0, 1.0, 6.0],
        ];
        // Times (1, 2, 3): the upper triangle mirrors the lower.
        let x = solved(&cholesky(matrix), &[2.0, 15.0, 18.0]);
        for (got, want) in x.iter().zip([1.0, 2.0, 3.0]) {
            assert!((got - want).abs() < 1e-14, "{got}, {want}");
        }
    }

    #[test]
    fn equations_by_hand() {
        let matrix = vec![
            vec![4.0, 2.0, 0.0],
            vec![2.0, 5.0, 2.0],
            vec![0.0, 2.0, 2.0],
        ];
        // 4x+2y = 8, 2x+5y+2z = 18, 2y+2z = 10: x = 1, y = 2, z = 3.
        let x = solved(&cholesky(matrix), &[8.0, 18.0, 10.0]);
        for (got, want) in x.iter().zip([1.0, 2.0, 3.0]) {
            assert!((got - want).abs() < 1e-12, "{x:?}");
        }
    }
}
