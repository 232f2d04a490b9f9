//! Programs that are not part of this crate, with which some tests look at what is written.

use std::path::PathBuf;

/// A program, and the package of Debian that has it.
pub struct Program(pub &'static str, pub &'static str);

/// Where programs are; nothing where one is missing, which is said, or fails with `RETRUE_TOOLS=required`.
pub fn found<const N: usize>(programs: [Program; N]) -> Option<[PathBuf; N]> {
    let folders: Vec<PathBuf> =
        std::env::split_paths(&std::env::var_os("PATH").unwrap_or_default()).collect();
    let find =
        |program: &Program| folders.iter().map(|folder| folder.join(program.0)).find(|path| path.is_file());
    let paths: Vec<Option<PathBuf>> = programs.iter().map(find).collect();
    let missing = programs.iter().zip(&paths).filter(|(_, path)| path.is_none());
    let missing: Vec<&str> = missing.map(|(program, _)| program.1).collect();
    if !missing.is_empty() {
        let told = format!("this did not run, for want of: apt-get install {}", missing.join(" "));
        assert!(std::env::var("RETRUE_TOOLS").as_deref() != Ok("required"), "{told}");
        eprintln!("{told}");
    }
    paths.into_iter().collect::<Option<Vec<_>>>()?.try_into().ok()
}
