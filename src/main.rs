//! The program: hands the arguments over and ends with the code that comes back.

#![forbid(unsafe_code)]

use std::process::ExitCode;

fn main() -> ExitCode {
    whytrip::cli::run(std::env::args_os())
}
