//! What goes wrong around the program: it is killed, the disk is full, a folder may not be written to, a pipe breaks, two
//! run at once. Whatever happens, a file holds all of the old or all of the new.
//!
//! The long ones: `cargo test --release --test commands -- --ignored --nocapture`.
#![cfg(unix)]

use std::fs::{self, Permissions};
use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::CommandExt;
use std::process::{Child, Command, Stdio};

use crate::run::Bench;

/// Whoever has no rights of their own.
const NOBODY: u32 = 65534;

fn bench() -> Bench {
    Bench::new().with_fixture("coat.svg").with_file("new.svg", "old")
}

/// Renames a piece of the coat.
fn rename(bench: &Bench, name: &str, more: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.args(["set-piece", "coat.svg", "--piece", "back", "-o", "new.svg", "--name", name]).args(more);
    command.current_dir(bench.path("")).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

fn spawned(mut command: Command) -> Child {
    command.spawn().expect("the program starts")
}

fn succeeded(mut child: Child) -> bool {
    child.wait().expect("the program ends").success()
}

/// What a renaming of the coat writes.
fn written(bench: &Bench, name: &str) -> String {
    assert!(succeeded(spawned(rename(bench, name, &["--force"]))));
    let text = bench.text_of("new.svg");
    assert!(text.ends_with("</svg>\n") && text.contains(&format!("id=\"{name}.hem\"")));
    text
}

/// Waits until something is seen in the folder, or the program has ended, and so many turns of the machine more; then kills
/// it.
fn kill_when(mut child: Child, turns: u32, seen: impl Fn() -> bool) {
    while !seen() && child.try_wait().expect("the program is waited for").is_none() {
        std::thread::yield_now();
    }
    (0..turns).for_each(|_| std::thread::yield_now());
    let _ = child.kill();
    child.wait().expect("the program ends");
}

#[test]
#[ignore = "kills 200 runs"]
fn two_hundred_kills_leave_the_old_file_or_the_new_one_whole() {
    let bench = bench();
    let new = written(&bench, "rear");
    let (mut old, mut done) = (0, 0);
    for kill in 0..200 {
        fs::write(bench.path("new.svg"), "old").expect("a file");
        let child = spawned(rename(&bench, "rear", &["--force"]));
        kill_when(child, kill * kill, || bench.files().iter().any(|name| name.ends_with(".part")));
        match bench.text_of("new.svg") {
            found if found == "old" => old += 1,
            found if found == new => done += 1,
            found => panic!("kill {kill} left {} bytes", found.len()),
        }
    }
    println!("200 kills: {old} left the old file, {done} the new one");
    assert!(old > 0 && done > 0);
}

#[test]
#[ignore = "kills 50 runs over many files"]
fn killed_batches_leave_every_file_whole_or_not_there() {
    let recipe = "[[step]]\ndo = \"set-piece\"\npiece = \"back\"\nname = \"rear\"\n";
    let bench = (0..8)
        .fold(bench().with_file("r.toml", recipe).with_file("out/.keep", ""), |bench, number| {
            bench.with_file(&format!("sizes/{number}.svg"), crate::run::fixture("coat.svg"))
        });
    let start = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
        command.args(["apply", "r.toml", "--each", "sizes/*.svg", "-o", "out/{name}.svg", "--force"]);
        command.current_dir(bench.path("")).stdout(Stdio::null()).stderr(Stdio::null());
        spawned(command)
    };
    assert!(succeeded(start()));
    let new = bench.text_of("out/0.svg");
    let there = || (0..8).filter(|number| bench.path(&format!("out/{number}.svg")).exists()).count();
    let (mut missing, mut done) = (0, 0);
    for kill in 0..50 {
        (0..8).for_each(|number| drop(fs::remove_file(bench.path(&format!("out/{number}.svg")))));
        kill_when(start(), kill, || there() >= kill as usize % 8);
        for number in 0..8 {
            match fs::read_to_string(bench.path(&format!("out/{number}.svg"))) {
                Ok(found) => {
                    assert_eq!(found, new);
                    done += 1;
                }
                Err(_) => missing += 1,
            }
        }
    }
    println!("50 kills over 8 files: {missing} not there, {done} whole");
    assert!(missing > 0 && done > 0);
}

/// Files may not grow beyond 8 blocks of 512 bytes, and the system says so instead of ending the program.
#[test]
fn no_room_leaves_the_old_file_and_nothing_beside_it() {
    let bench = bench();
    let line =
        "trap '' XFSZ; ulimit -f 8; retrue set-piece coat.svg --piece back --name rear -o new.svg --force";
    bench.shell(line).is_refused().says("no room").says("what was there before is as it was");
    assert_eq!(bench.text_of("new.svg"), "old");
    assert_eq!(bench.files(), ["coat.svg", "new.svg"]);
}

#[test]
#[cfg(target_os = "linux")]
fn standard_output_without_room_is_told() {
    bench()
        .shell("retrue set-piece coat.svg --piece back --name rear > /dev/full")
        .is_refused()
        .says("no room");
}

#[test]
#[ignore = "needs the right to mount a small disk"]
fn a_full_disk_leaves_the_old_file_and_nothing_beside_it() {
    let bench = bench().with_file("disk/.keep", "");
    let line = "mount -t tmpfs -o size=16k none disk && echo old > disk/new.svg && \
                { retrue set-piece coat.svg --piece back --name rear -o disk/new.svg --force; code=$?; \
                ls -A disk; cat disk/new.svg; umount disk; exit $code; }";
    bench.shell(line).exits(2).says("no room");
    assert_eq!(bench.shell(line).stdout(), "new.svg\nold\n");
}

#[test]
fn a_folder_that_may_not_be_written_to_is_told() {
    let bench = bench().with_file("kept/new.svg", "old");
    let read_only = |name: &str| fs::set_permissions(bench.path(name), Permissions::from_mode(0o555));
    read_only("").and_then(|()| read_only("kept")).expect("a mode");
    let mut command = Command::new(env!("CARGO_BIN_EXE_retrue"));
    command.args(["set-piece", "-", "--piece", "back", "--name", "rear", "-o", "kept/new.svg", "--force"]);
    command.current_dir(bench.path("")).stdin(fs::File::open(bench.path("coat.svg")).expect("the coat"));
    let is_root = fs::write(bench.path("kept/probe"), "").is_ok();
    if is_root {
        fs::remove_file(bench.path("kept/probe")).expect("the probe goes");
        command.uid(NOBODY);
    }
    let output = command.output().expect("the program starts");
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert!(said.contains("nothing may be written here"), "{said}");
    assert_eq!(bench.text_of("kept/new.svg"), "old");
    fs::set_permissions(bench.path(""), Permissions::from_mode(0o755)).expect("a mode");
    fs::set_permissions(bench.path("kept"), Permissions::from_mode(0o755)).expect("a mode");
}

/// The writer at the other end of the pipe ends too early, or there is no input at all.
#[test]
fn input_that_ends_early_is_refused_and_writes_nothing() {
    let bench = bench();
    let line = "retrue set-piece - --piece back --name rear -o new.svg --force";
    for cut in [0, 1, 100, 5000] {
        bench.shell(&format!("head -c {cut} coat.svg | {line}")).is_refused();
    }
    bench.shell(&format!("{line} <&-")).is_refused();
    assert_eq!(bench.text_of("new.svg"), "old");
}

#[test]
fn a_reader_that_has_seen_enough_is_no_fault() {
    let bench = bench();
    for line in ["set-piece coat.svg --piece back --name rear", "show coat.svg", "show coat.svg --json"] {
        let told = bench.shell(&format!("{{ retrue -q {line}; echo $? > code; }} | true"));
        told.is_true().says_nothing();
        assert_eq!(bench.text_of("code"), "0\n", "{line}");
    }
}

#[test]
fn of_two_runs_on_one_file_one_stands_whole() {
    let bench = bench();
    let texts = [written(&bench, "rear"), written(&bench, "behind")];
    for _ in 0..10 {
        let both = ["rear", "behind"].map(|name| spawned(rename(&bench, name, &["--force"])));
        assert!(both.map(succeeded).into_iter().all(|done| done));
        assert!(texts.contains(&bench.text_of("new.svg")));
    }
}

/// Without leave to replace, one of the two writes and the other is refused.
#[test]
fn of_two_runs_on_a_new_file_one_is_refused() {
    let bench = bench();
    let texts = [written(&bench, "rear"), written(&bench, "behind")];
    for _ in 0..10 {
        fs::remove_file(bench.path("new.svg")).expect("it is there");
        let both = ["rear", "behind"].map(|name| spawned(rename(&bench, name, &[])));
        let done = both.map(succeeded);
        assert_eq!(done.iter().filter(|done| **done).count(), 1);
        let stands = bench.text_of("new.svg");
        assert_eq!(stands, texts[usize::from(done[1])]);
    }
    assert_eq!(bench.files(), ["coat.svg", "new.svg"]);
}
