//! Optics against closed forms, another library's wave optics, and handbook values.

mod mtf;

mod wavefront;

mod instrument;

#[track_caller]
fn check(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "{what}: want {want} within {tolerance}, got {got}"
    );
}

/// Data rows of a fixture, split at tabs: without `#` lines and the line of column names.
pub fn rows(fixture: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    let data = fixture.lines().filter(|line| !line.starts_with('#'));
    data.skip(1).map(|line| line.split('\t').collect())
}

pub fn number(text: &str) -> f64 {
    text.parse().expect("a number in the fixture")
}
