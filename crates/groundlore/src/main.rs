//! The one binary: it reads the command line, opens the book, lets the desk work, and shows what came of it.

mod cli;
mod out;
mod verbs;

use clap::Parser as _;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = cli::Arguments::parse();
    match verbs::run(&arguments) {
        Ok(code) => code,
        Err(failure) => out::fail(&failure),
    }
}
