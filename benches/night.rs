//! Whole jobs, by the name a user would give them.
fn main() {
    divan::main();
}
