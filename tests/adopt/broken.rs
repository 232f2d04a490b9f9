//! The program itself on drawings that nobody drew as patterns and on patterns that were broken: each command ends by
//! itself with a sentence, in time and in little memory.

use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::run::fixture;

/// Memory that a command may take, KiB; asked of the system, so that more ends it by a signal.
const MOST_MEMORY: usize = 500 * 1000;

/// Processor time that a command may take, seconds; asked of the system, which other work does not sway: two of the program
/// as it is shipped, and three times as long without optimisation.
pub const MOST_SECONDS: u64 = if cfg!(debug_assertions) { 6 } else { 2 };

/// Mutations that are tried each time, and in the longer test.
const MUTATIONS: usize = 500;
const MANY_MUTATIONS: usize = 10_000;

/// Commands that run beside each other.
const BESIDE: usize = 2;

/// The program, or another build of it that `RETRUE_PROGRAM` names: the longer test is for the one that is shipped.
fn program() -> PathBuf {
    let named = std::env::var_os("RETRUE_PROGRAM").map(PathBuf::from);
    named.unwrap_or_else(|| PathBuf::from(env!("CARGO_BIN_EXE_retrue")))
}

/// How the commands on some drawings went.
#[derive(Clone, Copy, Debug, Default)]
struct Went {
    commands: usize,
    by_code: [usize; 3],
}

impl Went {
    fn and(self, other: Went) -> Went {
        Went {
            commands: self.commands + other.commands,
            by_code: [0, 1, 2].map(|code| self.by_code[code] + other.by_code[code]),
        }
    }
}

/// Runs all commands that read a drawing.
fn answered(folder: &Path, what: &str, drawing: &[u8]) -> Went {
    std::fs::write(folder.join("d.svg"), drawing).expect("written");
    for made in ["m.toml", "p.svg", "o.svg"] {
        let _ = std::fs::remove_file(folder.join(made));
    }
    let mut went = run(folder, what, "adopt d.svg --picture p.svg --map-template m.toml");
    if folder.join("m.toml").exists() {
        went = went.and(run(folder, what, "adopt d.svg --map m.toml -o o.svg"));
    }
    went.and(run(folder, what, "show d.svg")).and(run(folder, what, "check d.svg"))
}

fn run(folder: &Path, what: &str, line: &str) -> Went {
    let output = |name: &str| File::create(folder.join(name)).expect("a file");
    let limits = format!("ulimit -v {MOST_MEMORY}; ulimit -t {MOST_SECONDS}");
    let status = Command::new("/bin/sh")
        .args(["-c", &format!("{limits}; exec \"$0\" {line}")])
        .arg(program())
        .current_dir(folder)
        .env_remove("RUST_BACKTRACE")
        .stdin(Stdio::null())
        .stdout(output("out"))
        .stderr(output("err"))
        .status()
        .expect("the program starts");
    let said =
        |name: &str| String::from_utf8_lossy(&std::fs::read(folder.join(name)).expect("read")).into_owned();
    let (out, err) = (said("out"), said("err"));
    let code = status.code();
    let told = !(out.is_empty() && err.is_empty()) || (line.contains("-o o.svg") && code == Some(0));
    let calm = !err.contains("panicked") && !err.contains("the program failed");
    let Some(code @ 0..=2) = code.filter(|_| told && calm) else {
        let kept = std::env::temp_dir().join("retrue-hostile.svg");
        std::fs::copy(folder.join("d.svg"), &kept).expect("kept");
        panic!("{what}, {line}: {status:?}; kept as {}\n{err}", kept.display());
    };
    let mut by_code = [0; 3];
    by_code[usize::try_from(code).expect("a code")] = 1;
    Went { commands: 1, by_code }
}

/// Runs all drawings, some beside each other.
fn all_answered(drawings: &(impl Fn(usize) -> (String, Vec<u8>) + Sync), count: usize) -> Went {
    let next = AtomicUsize::new(0);
    let work = || {
        let folder = tempfile::tempdir().expect("a folder");
        let mut went = Went::default();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            if at >= count {
                return went;
            }
            let (what, drawing) = drawings(at);
            went = went.and(answered(folder.path(), &what, &drawing));
        }
    };
    std::thread::scope(|scope| {
        let workers: Vec<_> = (0..BESIDE).map(|_| scope.spawn(work)).collect();
        let each = workers.into_iter().map(|worker| worker.join().expect("every drawing is answered"));
        each.fold(Went::default(), Went::and)
    })
}

/// A generator of numbers that is the same on every machine (xorshift, Marsaglia 2003).
struct Chance(u64);

impl Chance {
    /// One that goes its own way for each number.
    fn of(number: usize) -> Chance {
        let mut chance = Chance(0x9E37_79B9_7F4A_7C15 ^ ((number as u64 + 1) << 20));
        (0..8).for_each(|_| {
            chance.next(2);
        });
        chance
    }

    fn next(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % (below.max(1) as u64)).expect("small")
    }
}

/// Flips bytes, drops tags, changes numbers, doubles stretches, cuts off the end.
fn mutated(text: &str, chance: &mut Chance) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..=chance.next(4) {
        let at = chance.next(bytes.len());
        match chance.next(8) {
            0 => bytes[at] ^= 1 << chance.next(8),
            1 => {
                let end = bytes[at..].iter().position(|byte| *byte == b'>');
                bytes.drain(at..end.map_or(bytes.len(), |off| at + off + 1));
            }
            2..=5 => change_number(&mut bytes, at, chance),
            6 => {
                let end = (at + chance.next(300)).min(bytes.len());
                let part = bytes[at..end].to_vec();
                bytes.splice(at..at, part);
            }
            _ => bytes.truncate(at.max(40)),
        }
        if bytes.is_empty() {
            bytes.push(b'<');
        }
    }
    bytes
}

fn change_number(bytes: &mut Vec<u8>, at: usize, chance: &mut Chance) {
    const NUMBERS: [&str; 12] =
        ["0", "-1", "1e9", "1e-9", "99999", "NaN", "0.0001", "1e400", "-3.5", "50", "400", "1000"];
    let is_digit = |byte: &u8| byte.is_ascii_digit() || *byte == b'.';
    let from = bytes[at..].iter().position(is_digit).map_or(at, |off| at + off);
    let to = bytes[from..].iter().position(|byte| !is_digit(byte)).map_or(bytes.len(), |off| from + off);
    bytes.splice(from..to, NUMBERS[chance.next(NUMBERS.len())].bytes());
}

fn mutations_are_answered(count: usize) {
    let names = [
        "coat.svg",
        "dress.svg",
        "skirt-shaped-back.svg",
        "awkward.svg",
        "adopt/skirt-shaped-back-cutting-lines.svg",
        "adopt/coat-cutting-lines.svg",
    ];
    let texts = names.map(fixture);
    let drawing = |number: usize| {
        let mut chance = Chance::of(number);
        let text = &texts[chance.next(texts.len())];
        (format!("mutation {number}"), mutated(text, &mut chance))
    };
    let went = all_answered(&drawing, count);
    println!("{count} mutations: {went:?}");
    assert!(went.commands >= 3 * count);
    assert!(went.by_code.iter().all(|commands| *commands > 0), "{went:?}");
}

#[test]
fn broken_patterns_are_answered() {
    mutations_are_answered(MUTATIONS);
}

#[test]
#[ignore = "takes minutes"]
fn ten_thousand_broken_patterns_are_answered() {
    mutations_are_answered(MANY_MUTATIONS);
}

/// The SVG files that the sources of other crates bring.
#[test]
fn drawings_of_other_crates_are_answered() {
    const MOST: usize = 400;
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from);
    let home = home.or_else(|| Some(Path::new(&std::env::var_os("HOME")?).join(".cargo")));
    let mut files = Vec::new();
    if let Some(home) = home {
        drawings_under(&home.join("registry/src"), &mut files);
    }
    files.sort();
    files.truncate(MOST);
    assert!(!files.is_empty(), "the sources of the crates are where cargo fetched them");
    let drawing =
        |at: usize| (files[at].display().to_string(), std::fs::read(&files[at]).unwrap_or_default());
    let went = all_answered(&drawing, files.len());
    println!("{} drawings: {went:?}", files.len());
    assert!(went.commands >= 3 * files.len());
}

fn drawings_under(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        match entry.file_type() {
            Ok(kind) if kind.is_dir() => drawings_under(&path, found),
            Ok(kind) if kind.is_file() && path.extension().is_some_and(|end| end == "svg") => {
                found.push(path)
            }
            _ => {}
        }
    }
}

/// Pieces on which an allowance has no room anywhere.
#[test]
fn a_saw_of_edges_under_deep_allowances_is_answered() {
    let saw = |(step, depth, allowance): (f64, f64, f64)| {
        let count = 440;
        let mut corners = vec![(0.0, 0.0), (f64::from(count) * step, 0.0)];
        corners.extend((0..count).rev().map(|k| (f64::from(k) * step, 300.0 + f64::from(k % 2) * depth)));
        let edge = |k: usize| {
            let ((x, y), (to_x, to_y)) = (corners[k], corners[(k + 1) % corners.len()]);
            format!(
                "<path id='p.e{k}' data-kind='edge' data-allowance='{allowance}mm' d='M{x} {y} L{to_x} {to_y}'/>"
            )
        };
        let edges: String = (0..corners.len()).map(edge).collect();
        format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='4000mm' height='900mm' viewBox='0 0 4000 900'>\
             <g id='p' data-kind='piece'>{edges}</g></svg>"
        )
    };
    let saws = [(4.0, 300.0, 10.0), (8.0, 300.0, 30.0), (0.5, 1000.0, 400.0), (8.0, 60_000.0, 20.0)];
    let drawing = |at: usize| (format!("saw {:?}", saws[at]), saw(saws[at]).into_bytes());
    println!("saws: {:?}", all_answered(&drawing, saws.len()));
}
