//! How something graded is called.

/// How something graded is called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Caption {
    /// Unique, stable, lower case: `saturn_cassini`.
    pub id: String,
    /// As one would say it: "Cassini Division".
    pub name: String,
    /// What a visitor will really see, in one sentence.
    pub say: String,
}
