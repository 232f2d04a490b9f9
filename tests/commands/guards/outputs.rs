//! Outputs and inputs of one command are never one file, and folders of outputs are made.

use crate::run::{Bench, fixture};

const RECIPE: &str = "pattern = \"coat.svg\"\n[[step]]\ndo = \"move-seam\"\nseam = \"front.side\"\nfrom = \"back\"\n\
                      fit-cloth = \"cloth.svg.toml\"\n";

const CLOTH: &str = "[main]\nwidth = \"40cm\"\nlength = \"11.4m\"\n[[panels]]\ncloth = \"main\"\noutline = \"panels.svg#gore\"\n";

const PANELS: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"500mm\" height=\"900mm\" viewBox=\"0 0 500 900\">\
                      <path id=\"gore\" d=\"M0 0 H400 V800 H0 Z\"/></svg>";

/// A folder with every file that a command may read, and what stands in each.
fn bench() -> Bench {
    Bench::new()
        .with_fixture("coat.svg")
        .with_file("old.svg", fixture("coat.svg"))
        .with_file("recipe.toml", RECIPE)
        .with_file("cloth.svg.toml", CLOTH)
        .with_file("panels.svg", PANELS)
        .with_file("layout.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9mm\" height=\"9mm\"/>")
        .with_file("taste.toml", "most-new-seams = 4\n")
        .with_file("map.toml", include_str!("../../../examples/adopt/coat.map.toml"))
        .with_file("drawing.svg", fixture("adopt/coat-cutting-lines.svg"))
}

/// Every command that writes a file, with `OUT` for its output, and the files that it reads.
const COMMANDS: [(&str, &[&str]); 12] = [
    (
        "lay coat.svg --cloth cloth.svg.toml --iterations 1 -o OUT",
        &["coat.svg", "cloth.svg.toml", "panels.svg"],
    ),
    ("print coat.svg -o OUT", &["coat.svg"]),
    ("picture coat.svg --before old.svg --format svg -o OUT", &["coat.svg", "old.svg"]),
    ("report coat.svg --before old.svg --layout layout.svg -o OUT", &["coat.svg", "old.svg", "layout.svg"]),
    ("adopt drawing.svg --picture OUT", &["drawing.svg"]),
    ("adopt drawing.svg --map-template OUT", &["drawing.svg"]),
    ("adopt drawing.svg --map map.toml -o OUT", &["drawing.svg", "map.toml"]),
    ("adopt drawing.svg --map map.toml --picture OUT -o new.svg", &["drawing.svg", "map.toml"]),
    ("apply recipe.toml -o OUT", &["recipe.toml", "cloth.svg.toml", "panels.svg"]),
    ("apply recipe.toml old.svg -o OUT", &["recipe.toml", "cloth.svg.toml", "panels.svg"]),
    ("apply recipe.toml --each coat.svg -o OUT", &["recipe.toml", "cloth.svg.toml", "panels.svg"]),
    (
        "move-seam coat.svg --seam front.side --from back --fit-cloth cloth.svg.toml -o OUT",
        &["cloth.svg.toml", "panels.svg"],
    ),
];

/// Every output held against every input, by its name, by another path and by a link, with `--force`: what was there is
/// as it was, and nothing else is written.
#[test]
fn no_output_replaces_what_the_command_reads() {
    let mut tried = 0;
    for (command, inputs) in COMMANDS {
        for input in inputs {
            let bench = bench();
            let link = format!("link-to-{input}");
            #[cfg(unix)]
            std::os::unix::fs::symlink(bench.path(input), bench.path(&link)).unwrap();
            let (before, files) = (bench.text_of(input), bench.files());
            let whole = bench.path(input).display().to_string();
            for name in [(*input).to_owned(), format!("./{input}"), whole, link] {
                let line = format!("{} --force", command.replace("OUT", &name));
                let outcome = bench.retrue(&line);
                let told = match command.contains("--each") {
                    true => outcome.exits(1).stdout(),
                    false => outcome.is_refused().stderr(),
                };
                let why = ["this is what the command reads", "and this name ends in"];
                assert!(why.iter().any(|why| told.contains(why)), "{line}: {told}");
                assert_eq!(bench.text_of(input), before, "{line}");
                assert_eq!(bench.files(), files, "{line}");
                tried += 1;
            }
        }
    }
    assert!(tried > 80, "only {tried}");
}

/// The one exception: an operation writes its own pattern anew when told to.
#[test]
fn an_operation_may_write_its_own_pattern_anew() {
    for line in [
        "set-piece coat.svg --piece front --cut 4 -o coat.svg",
        "apply short.toml coat.svg -o ./coat.svg",
        "apply short.toml --each coat.svg -o {name}.svg",
    ] {
        let recipe = "[[step]]\ndo = \"set-piece\"\npiece = \"belt\"\ncut = \"1\"\n";
        let recipe = recipe.replace("belt", "front").replace("\"1\"", "\"4\"");
        let bench = Bench::new().with_fixture("coat.svg").with_file("short.toml", recipe);
        let before = bench.text_of("coat.svg");
        bench.retrue(&format!("{line} --force")).ends_by_itself();
        assert!(bench.text_of("coat.svg").contains("data-cut=\"4\""), "{line}");
        assert_ne!(bench.text_of("coat.svg"), before, "{line}");
    }
}

/// Plans are written to a folder, which is replaced whole: not one that holds what is read.
#[test]
fn plans_do_not_replace_the_folder_that_holds_their_pattern() {
    let bench = Bench::new()
        .with_file("plans/1.svg", fixture("coat.svg"))
        .with_file("plans/1.toml", "most-new-seams = 4\n");
    let line = "plan plans/1.svg --cloth \"140cm x 6m\" --ways 1 --iterations 1 -o plans --force";
    bench.retrue(line).is_refused().says("this is what the command reads");
    assert_eq!(bench.text_of("plans/1.svg"), fixture("coat.svg"));
    let bench = bench.with_fixture("coat.svg");
    let line =
        "plan coat.svg --taste plans/1.toml --cloth \"140cm x 6m\" --ways 1 --iterations 1 -o plans --force";
    std::fs::remove_file(bench.path("plans/1.svg")).unwrap();
    bench.retrue(line).is_refused().says("this is what the command reads");
}

/// A file that a shell puts on standard input is read as well.
#[cfg(target_os = "linux")]
#[test]
fn what_comes_by_standard_input_is_not_replaced() {
    let bench = bench();
    for line in [
        "retrue lay - --cloth \"140cm x 6m\" --iterations 1 -o coat.svg --force < coat.svg",
        "retrue adopt - --picture drawing.svg --force < drawing.svg",
        "retrue report coat.svg --before - -o old.svg --force < old.svg",
    ] {
        bench.shell(line).exits(2);
    }
    assert_eq!(bench.text_of("coat.svg"), fixture("coat.svg"));
    assert_eq!(bench.text_of("old.svg"), fixture("coat.svg"));
}

#[test]
fn two_outputs_of_one_command_are_two_files() {
    let line = "adopt drawing.svg --map map.toml --picture new.svg -o new.svg";
    let bench = bench();
    bench.retrue(line).is_refused().says("new.svg");
    assert!(!bench.path("new.svg").exists());
}

/// Folders of outputs are made, but not when nothing is written to them, and not where a file is in the way.
#[test]
fn folders_of_outputs_are_made() {
    let bench = bench();
    for (line, file) in [
        ("set-piece coat.svg --piece front --cut 2 -o a/b/c.svg", "a/b/c.svg"),
        ("print coat.svg -o p/coat.pdf", "p/coat.pdf"),
        ("picture coat.svg -o q/coat.png --pixels 100", "q/coat.png"),
        ("report coat.svg -o r/s/coat.html", "r/s/coat.html"),
        ("adopt drawing.svg --picture t/u.svg", "t/u.svg"),
        ("lay coat.svg --cloth \"150cm x 8m\" --iterations 2 -o v/w.svg", "v/w.svg"),
        ("man --all m/n", "m/n/retrue.1"),
    ] {
        bench.retrue(line).ends_by_itself();
        assert!(bench.path(file).is_file(), "{line}");
    }
    bench.retrue("split coat.svg --piece nothing --line \"level waist\" -o x/y.svg").is_refused();
    bench.retrue("lay coat.svg --cloth \"1cm x 1cm\" -o x/y.svg").is_untrue();
    assert!(!bench.path("x").exists());
    bench.retrue("print coat.svg -o coat.svg/out/coat.pdf").is_refused().says("is no folder");
}

/// What is offered for a missing file is of the sort that is wanted: a nearer name of another sort is passed over.
#[test]
fn a_missing_file_is_answered_with_one_of_its_sort() {
    let bench = bench()
        .with_file("coat2.svg", fixture("adopt/coat-cutting-lines.svg").replace("data-kind", "data-x"))
        .with_file("recipes.toml", CLOTH);
    std::fs::rename(bench.path("cloth.svg.toml"), bench.path("clothes.toml")).unwrap();
    for (line, offered) in [
        ("show coat1.svg", "`coat.svg`"),
        ("show coat1.sgv", "`coat.svg`"),
        ("apply recipe2.toml", "`recipe.toml`"),
        ("fit coat.svg --cloth cloths.toml", "`clothes.toml`"),
        ("adopt drawing.svg --map maps.toml -o new.svg", "`map.toml`"),
        ("plan coat.svg --cloth clothes.toml --taste tastes.toml", "`taste.toml`"),
        ("report coat.svg --layout layouts.svg", "`layout.svg`"),
    ] {
        bench.retrue(line).exits(2).says(&format!("did you mean {offered}?"));
    }
    let none =
        Bench::new().with_fixture("coat.svg").with_file("gore.svg", PANELS).with_file("coat.toml", RECIPE);
    for line in ["show goreees.svg", "fit coat.svg --cloth coats.toml"] {
        let outcome = none.retrue(line);
        assert!(!outcome.is_refused().stderr().contains("did you mean"), "{line}");
    }
}

/// Sizes of cloth are read as they are written on labels.
#[test]
fn a_size_of_cloth_may_be_written_in_capitals_or_with_another_sign() {
    let bench = bench();
    let told = |size: &str| bench.retrue(&format!("fit coat.svg --cloth \"{size}\" --json")).reports("fit");
    let plain = told("45cm x 6m");
    for size in ["45CM X 6M", "45cm*6m", "45cm × 6m", "45cm×6M"] {
        assert_eq!(told(size), plain, "{size}");
    }
}
