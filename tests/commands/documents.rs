//! What the README and the topics of help tell to type does as they say.

use std::collections::BTreeSet;
use std::path::Path;

use crate::documents::{Document, DocumentCommand};
use crate::run::Bench;

/// What is typed once on a machine, or is this test itself.
const NOT_RUN: [&str; 2] = ["cargo install --path .", "cargo test"];

/// How a search is limited here, so that it is short and the same each time.
const PASSES: &str = "--iterations 60";

/// How the README runs the program before it is installed.
const BY_CARGO: &str = "cargo run --release -- ";

/// An empty folder but for what is shipped.
fn bench() -> Bench {
    let mut bench = Bench::new();
    for folder in ["examples", "fixtures"] {
        bench = with_folder(bench, folder);
    }
    bench
}

fn with_folder(bench: Bench, folder: &str) -> Bench {
    let entries = std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)).expect("a folder");
    entries.fold(bench, |bench, entry| {
        let entry = entry.expect("an entry");
        let name = format!("{folder}/{}", entry.file_name().to_string_lossy());
        match entry.file_type().expect("a file").is_dir() {
            true => with_folder(bench, &name),
            false => bench.with_file(&name, std::fs::read(entry.path()).expect("a file")),
        }
    })
}

/// The line as it is run here: each search as short as it may be.
fn short(line: &str) -> String {
    let mut words: Vec<&str> = line.split(' ').filter(|word| !word.is_empty()).collect();
    if let Some(at) = words.iter().position(|word| *word == "--seconds") {
        words.drain(at..at + 2);
    }
    let searches = ["retrue lay ", "retrue plan "].iter().any(|command| line.starts_with(command));
    if searches && !line.contains("--iterations") {
        words.push(PASSES);
    }
    words.join(" ")
}

/// The files and folders that a line writes, but for those named by `{name}`.
fn written(line: &str) -> Vec<&str> {
    let mut words = line.split(' ');
    let mut written = Vec::new();
    while let Some(word) = words.next() {
        if ["-o", "--sewn", "--picture", "--map-template"].contains(&word) {
            written.extend(words.next().filter(|name| !name.contains("{name}")));
        }
    }
    written
}

fn does_as_it_says(bench: &Bench, name: &str, command: &DocumentCommand) {
    let line = command.line.replace(BY_CARGO, "retrue ");
    if NOT_RUN.contains(&line.as_str()) {
        return;
    }
    if line.starts_with("retrue table ") {
        let address = bench.serve(&line["retrue ".len()..]);
        assert!(address.starts_with("http://127.0.0.1:"), "{name}: {line}: {address}");
        return;
    }
    bench.shell(&short(&line)).exits(command.code);
    for file in written(&line) {
        let path = bench.path(file);
        let is_whole = path.is_dir() || std::fs::metadata(&path).is_ok_and(|file| file.len() > 0);
        assert!(is_whole, "{name}: {line}: {file} is not there");
    }
}

fn all_do_as_they_say(name: &str) {
    let commands = Document::named(name).commands();
    let bench = bench();
    commands.iter().for_each(|command| does_as_it_says(&bench, name, command));
}

macro_rules! documents {
    ($($test:ident $name:literal,)+) => {
        $(
            #[cfg(unix)]
            #[test]
            fn $test() {
                all_do_as_they_say($name);
            }
        )+

        const TESTED: &[&str] = &[$($name,)+];
    };
}

documents! {
    the_commands_of_the_readme_do_as_it_says "README.md",
    the_commands_on_bought_patterns_do_as_they_say "src/cli/topics/bought.md",
    the_commands_on_checks_do_as_they_say "src/cli/topics/checks.md",
    the_commands_on_the_cloth_do_as_they_say "src/cli/topics/cloth.md",
    the_commands_on_linings_do_as_they_say "src/cli/topics/linings.md",
    the_commands_on_maps_do_as_they_say "src/cli/topics/map.md",
    the_commands_on_operations_do_as_they_say "src/cli/topics/operations.md",
    the_commands_on_places_do_as_they_say "src/cli/topics/places.md",
    the_commands_on_plans_do_as_they_say "src/cli/topics/plan.md",
    the_commands_on_prints_do_as_they_say "src/cli/topics/print.md",
    the_commands_on_recipes_do_as_they_say "src/cli/topics/recipe.md",
    the_commands_on_sheets_do_as_they_say "src/cli/topics/sheet.md",
}

#[test]
fn every_document_is_among_those_tested_and_no_command_of_them_is_passed_over() {
    let all = Document::all();
    let names: BTreeSet<&str> = all.iter().map(|document| document.name.as_str()).collect();
    assert_eq!(names, TESTED.iter().copied().collect());
    let lines: usize = all.iter().map(|document| document.commands().len()).sum();
    let run =
        all.iter().flat_map(Document::commands).filter(|command| !NOT_RUN.contains(&command.line.as_str()));
    assert_eq!(run.count() + NOT_RUN.len(), lines);
    assert!(lines > 60, "{lines}");
}

#[test]
fn a_topic_is_listed_told_and_has_a_page() {
    let bench = Bench::new();
    std::fs::create_dir(bench.path("pages")).expect("a folder");
    bench.retrue("man --all pages").is_true();
    let list = bench.retrue("--help").stdout();
    let readme =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).expect("it");
    for document in Document::all().iter().filter(|document| document.name != "README.md") {
        let name =
            document.name.rsplit('/').next().and_then(|file| file.strip_suffix(".md")).expect("a name");
        let first = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(&document.name));
        let first = first.expect("a text");
        let about = first.lines().next().and_then(|line| line.strip_prefix("# ")).expect("a title");
        assert!(list.contains(&format!("  {name} ")) && list.contains(about), "{name} is not listed");
        bench.retrue(&format!("help {name}")).is_true().prints(about);
        bench.retrue(&format!("man help-{name}")).is_true().prints(".TH retrue-help-");
        assert!(bench.path(&format!("pages/retrue-help-{name}.1")).exists(), "{name}");
        assert!(
            readme.contains(&format!("[{name}]({})", document.name)),
            "the README does not lead to {name}"
        );
    }
    let unknown = bench.retrue("help shete");
    unknown.is_refused().says("did you mean `sheet`?").says("places").says("move-seam");
    bench.retrue("help plan").is_true().prints("--alternatives").prints("Limits of taste");
}

/// Every option that a document names is an option of a command.
#[test]
fn documents_name_options_that_there_are() {
    let bench = Bench::new();
    let words = |text: &str| -> BTreeSet<String> {
        let is_part = |sign: char| sign.is_ascii_alphanumeric() || sign == '-';
        let words = text.split(|sign: char| !is_part(sign));
        let options = words.filter(|word| word.starts_with("--") && word.len() > 3);
        options.map(|word| word.trim_end_matches('-').to_owned()).collect()
    };
    let list = bench.retrue("--help").stdout();
    let (_, commands) = list.split_once("Commands:").expect("the commands");
    let (commands, _) = commands.split_once("Options:").expect("the options after them");
    let names = commands.lines().filter_map(|line| line.strip_prefix("  ")?.split(' ').next());
    let names: Vec<&str> = names.filter(|name| !name.is_empty()).collect();
    assert!(names.len() > 30, "{names:?}");
    let known: BTreeSet<String> =
        names.iter().flat_map(|name| words(&bench.retrue(&format!("{name} --help")).stdout())).collect();
    let mut told = BTreeSet::new();
    for document in Document::all() {
        let typed = document.typed.iter().cloned().chain(document.commands().into_iter().map(|one| one.line));
        for option in typed.flat_map(|text| words(&text)) {
            assert!(
                known.contains(&option) || option == "--release" || option == "--path",
                "{}: {option}",
                document.name
            );
            told.insert(option);
        }
    }
    assert!(told.len() > 50, "{}", told.len());
}

#[test]
fn every_operation_has_a_row_among_them() {
    let rows = Document::topic("operations").typed;
    for name in retrue::recut::Step::NAMES {
        assert!(rows.iter().any(|row| row == name), "{name}");
    }
}

/// A cloth file in which every table has a width and a length.
fn sized(cloth: &str) -> String {
    let lines = cloth.lines().map(|line| match line.split('#').next().map(str::trim_end) {
        Some(head) if head.starts_with('[') && head.ends_with(']') => {
            format!("{line}\nwidth = \"37cm\"\nlength = \"2.7m\"\n")
        }
        _ => format!("{line}\n"),
    });
    lines.collect()
}

/// A photograph of 12 million pixels.
fn photograph() -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    let grey = image::RgbImage::from_pixel(4000, 3000, image::Rgb([90, 120, 130]));
    grey.write_to(&mut bytes, image::ImageFormat::Jpeg).expect("a picture");
    bytes.into_inner()
}

/// The plan file and the recipe that are shown can be read, and all that the cloth file says.
#[test]
fn files_that_the_topics_show_can_be_read() {
    let shown = |topic: &str, at: usize| {
        Document::topic(topic).blocks("toml").nth(at).expect("a file that is shown").to_owned()
    };
    let panel = r#"<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900">
<path id="skirt-gore" d="M100 100 H500 V800 H100 Z"/><path id="skirt-gore.grain" d="M300 200 V700"/></svg>"#;
    let bench = Bench::new()
        .with_fixture("coat.svg")
        .with_file("recipe.toml", shown("recipe", 0))
        .with_file("taste.toml", shown("plan", 0))
        .with_file("cloth.toml", shown("cloth", 0))
        .with_file("panels.svg", panel)
        .with_file("patterned.toml", sized(&shown("cloth", 1)))
        .with_file("bolt-1.jpg", photograph());
    bench.retrue("apply recipe.toml -o new.svg").exits(0).says("left out (off = true)");
    bench.retrue("fit coat.svg --cloth cloth.toml").exits(1);
    bench.retrue("fit coat.svg --cloth patterned.toml").ends_by_itself().says("no piece is cut from");
    bench
        .retrue("plan coat.svg --cloth \"37cm x 11.4m\" --taste taste.toml --ways 1 --iterations 1 -o plans")
        .ends_by_itself()
        .says("the cloth file does not describe");
}
