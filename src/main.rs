//! The program: everything of substance is in the library; `cli` is the only room
//! that touches files, the clock and the terminal.
fn main() {}
