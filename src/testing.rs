//! Ground floor, for tests alone: how a number is compared with a published one.

/// Fails where a number is farther from the wanted one than that.
#[track_caller]
pub fn close(what: &str, got: f64, want: f64, tolerance: f64) {
    assert!(
        (got - want).abs() <= tolerance,
        "{what}: want {want} ± {tolerance}, got {got}"
    );
}
