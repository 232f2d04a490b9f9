//! Files are written whole or not at all, whenever the program is killed.

use std::process::{Command, Stdio};
use std::time::{Duration, SystemTime};

use crate::run::Bench;

/// A block of the shell's limit of a file's size, bytes.
const BLOCK: usize = 512;

/// The step that is done, its fields and where the outcome goes.
const STEP: [&str; 8] =
    ["set-piece", "skirt-shaped-back.svg", "--piece", "back", "--name", "rear", "-o", "new.svg"];

fn start(bench: &Bench) -> std::process::Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.args(STEP).arg("--force").current_dir(bench.path(""));
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command.spawn().expect("the program starts")
}

fn parts(bench: &Bench) -> Vec<String> {
    bench.files().into_iter().filter(|name| name.ends_with(".part")).collect()
}

/// The system kills the program as it goes beyond each block of the file.
#[cfg(unix)]
#[test]
fn a_kill_in_the_midst_of_writing_leaves_the_old_file() {
    let bench = Bench::new().with_fixture("skirt-shaped-back.svg").with_file("new.svg", "old");
    let step = STEP.join(" ");
    assert!(start(&bench).wait().expect("the program ends").success());
    let new = bench.text_of("new.svg");
    assert!(new.ends_with("</svg>\n"), "{new}");
    let needed = new.len().div_ceil(BLOCK);
    for blocks in 0..needed {
        std::fs::write(bench.path("new.svg"), "old").expect("a file");
        bench.shell(&format!("ulimit -f {blocks}; retrue {step} --force")).is_killed();
        assert_eq!(bench.text_of("new.svg"), "old", "killed after {blocks} blocks");
    }
    assert_eq!(parts(&bench).len(), needed, "each was killed while it wrote");
    bench.shell(&format!("ulimit -f {needed}; retrue {step} --force")).is_true();
    assert_eq!(bench.text_of("new.svg"), new);
}

#[test]
fn parts_that_a_killed_program_left_are_taken_away() {
    let bench = Bench::new().with_fixture("skirt-shaped-back.svg");
    let part = |name: &str, age: Duration| {
        let file = std::fs::File::create(bench.path(name)).expect("a file");
        file.set_modified(SystemTime::now() - age).expect("an age");
        file
    };
    let old = Duration::from_secs(3600);
    part(".retrue-Left01.part", old);
    part(".retrue-Fresh1.part", Duration::ZERO);
    part(".retrue-my-own-notes.part", old);
    let held = part(".retrue-Held01.part", old);
    held.lock().expect("a lock");
    assert!(start(&bench).wait().expect("the program ends").success());
    assert_eq!(parts(&bench), [".retrue-Fresh1.part", ".retrue-Held01.part", ".retrue-my-own-notes.part"]);
    drop(held);
    assert!(start(&bench).wait().expect("the program ends").success());
    assert_eq!(parts(&bench), [".retrue-Fresh1.part", ".retrue-my-own-notes.part"]);
}

/// A dry run judges what it would write: a pattern that no sheet can hold is refused as when it is written.
#[test]
fn a_dry_run_is_refused_what_a_file_would_be() {
    let facing = |number: u32| {
        format!(
            "\n[[step]]\ndo = \"add-facing\"\nalong = \"front.neck\"\ndepth = \"2cm\"\nname = \"f{number}-facing\"\n"
        )
    };
    // An edge is sewn in up to 32 layers.
    let recipe: String = (1..=32).map(facing).collect();
    let bench = Bench::new().with_fixture("coat.svg").with_file("many.toml", recipe);
    for target in ["-o new.svg", "--dry-run"] {
        bench.retrue(&format!("apply many.toml coat.svg {target}")).is_refused().says("over 32 edges");
    }
    assert!(!bench.path("new.svg").exists());
}
