//! The program. Everything of substance is in the library; `cli` is the only room that touches
//! files, the clock and the terminal.

mod cli;

fn main() -> std::process::ExitCode {
    cli::main()
}
