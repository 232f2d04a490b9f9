//! Pages in a browser: anyone can read them, on any screen, and as they are printed.
//!
//! What it needs are packages of Debian: `apt-get install chromium chromium-driver nodejs poppler-utils`. Where one is
//! missing the tests say so and hold nothing; with `RETRUE_BROWSER=required` they fail.

#[path = "../common/run.rs"]
mod run;

mod pages;
mod printed;

use std::path::PathBuf;
use std::process::Command;

/// A program that is not part of this crate, and the package that has it.
struct Program(&'static str, &'static str);

const CHROMIUM: Program = Program("chromium", "chromium");
const DRIVER: Program = Program("chromedriver", "chromium-driver");
const NODE: Program = Program("node", "nodejs");
const POPPLER: Program = Program("pdftoppm", "poppler-utils");

/// Where programs are; nothing where one is missing, which is said, or fails where they are required.
fn found<const N: usize>(programs: [Program; N]) -> Option<[PathBuf; N]> {
    let folders: Vec<PathBuf> =
        std::env::split_paths(&std::env::var_os("PATH").unwrap_or_default()).collect();
    let find =
        |program: &Program| folders.iter().map(|folder| folder.join(program.0)).find(|path| path.is_file());
    let paths: Vec<Option<PathBuf>> = programs.iter().map(find).collect();
    let missing = programs.iter().zip(&paths).filter(|(_, path)| path.is_none());
    let missing: Vec<&str> = missing.map(|(program, _)| program.1).collect();
    if !missing.is_empty() {
        let told = format!("this did not run, for want of: apt-get install {}", missing.join(" "));
        assert!(std::env::var("RETRUE_BROWSER").as_deref() != Ok("required"), "{told}");
        eprintln!("{told}");
    }
    paths.into_iter().collect::<Option<Vec<_>>>()?.try_into().ok()
}

/// Runs a program to its end; what it says where that is no success.
#[track_caller]
fn succeeds(command: &mut Command) -> String {
    let output = command.output().expect("the program starts");
    let told =
        [&output.stdout, &output.stderr].map(|text| String::from_utf8_lossy(text).into_owned()).concat();
    assert!(output.status.success(), "{told}");
    told
}
