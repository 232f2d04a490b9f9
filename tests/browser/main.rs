//! Pages in a browser: anyone can read them, on any screen, and as they are printed.
//!
//! What it needs are packages of Debian: `apt-get install chromium chromium-driver nodejs poppler-utils`. Where one is
//! missing the tests say so and hold nothing; with `RETRUE_TOOLS=required` they fail.

#[path = "../common/programs.rs"]
mod programs;
#[path = "../common/run.rs"]
mod run;

mod pages;
mod printed;

use std::process::Command;

use programs::Program;

const CHROMIUM: Program = Program("chromium", "chromium");
const DRIVER: Program = Program("chromedriver", "chromium-driver");
const NODE: Program = Program("node", "nodejs");
const POPPLER: Program = Program("pdftoppm", "poppler-utils");

/// Runs a program to its end; what it says where that is no success.
#[track_caller]
fn succeeds(command: &mut Command) -> String {
    let output = command.output().expect("the program starts");
    let told =
        [&output.stdout, &output.stderr].map(|text| String::from_utf8_lossy(text).into_owned()).concat();
    assert!(output.status.success(), "{told}");
    told
}
