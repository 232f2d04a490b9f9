//! What no person draws is refused in a sentence that names the limit.

use std::fmt::Write;

use crate::run::{Bench, fixture};

/// The coat with something in place of its first text of a kind.
fn coat_with(old: &str, new: &str) -> Bench {
    let text = fixture("coat.svg");
    assert!(text.contains(old), "{old}");
    Bench::new().with_file("coat.svg", text.replacen(old, new, 1))
}

#[test]
fn an_id_of_100_000_signs_is_refused_by_every_command() {
    let long = "x".repeat(100_000);
    let text = fixture("coat.svg").replace("\"front\"", &format!("\"{long}\""));
    let text = text.replace("\"front.", &format!("\"{long}.")).replace(" front.", &format!(" {long}."));
    let bench = Bench::new().with_file("coat.svg", text);
    let edges = fixture("coat.svg").replace("front.side\"", &format!("front.{long}\""));
    let bench = bench.with_file("edges.svg", edges);
    for file in ["coat.svg", "edges.svg"] {
        for command in [
            "show",
            "check",
            "picture",
            "print -o out.pdf",
            "report",
            "show --json",
            "fit --cloth \"1m x 1m\"",
            "set-piece --piece back --cut 2",
        ] {
            let outcome = bench.retrue(&format!("{command} {file}"));
            outcome.is_refused();
            assert!(outcome.stderr().len() < 2_000, "{command} {file}");
        }
    }
    bench.retrue("show edges.svg").says("signs, and a name up to 120");
    bench.retrue(&format!("split coat.svg --piece {long} --line \"level waist\"")).exits(2);
}

#[test]
fn layers_without_end_are_refused() {
    let layers = vec!["back.side"; 5_000].join("; ");
    let bench = coat_with("data-sewn-to=\"", &format!("data-sewn-to=\"{layers}; "));
    bench.retrue("check coat.svg").is_refused().says("layers are named, and an edge is sewn in up to 32");
    let run = vec!["back.side"; 5_000].join(" ");
    let bench = coat_with("data-sewn-to=\"", &format!("data-sewn-to=\"{run} "));
    bench.retrue("check coat.svg").is_refused().says("a run has up to 500");
    let line = format!("set-edge coat.svg --edge front.side --sewn-to \"{layers}\"");
    Bench::new().with_fixture("coat.svg").retrue(&line).exits(2).says("up to 32");
}

#[test]
fn thousands_of_notches_or_darts_on_a_piece_are_refused() {
    let id = fixture("coat.svg");
    let notch =
        id.lines().find(|line| line.contains("data-kind=\"notch\" data-count")).unwrap().trim().to_owned();
    let name = notch.split("id=\"").nth(1).unwrap().split('"').next().unwrap().to_owned();
    let mut many = String::new();
    for i in 0..2_000 {
        let _ = writeln!(many, "{}", notch.replace(&format!("id=\"{name}\""), &format!("id=\"{name}{i}\"")));
    }
    coat_with(&notch, &many).retrue("check coat.svg").is_refused().says("more than 1000 notches");
}

#[test]
fn a_cloth_that_is_in_no_house_is_refused_on_its_line() {
    let list = |one: &str, count: usize| vec![one; count].join(", ");
    let marks: Vec<String> = (0..20_000).map(|i| format!("\"{i}mm\"")).collect();
    let widths: Vec<String> = (0..20_000).map(|i| format!("[\"{i}mm\", \"140cm\"]")).collect();
    let plain = |more: &str| format!("[main]\nwidth = \"140cm\"\nlength = \"6m\"\n{more}\n");
    for (cloth, says) in [
        (plain("stripes = { repeat = \"0.0001mm\" }"), "finer than stripes are: from 0.5mm"),
        (plain(&format!("stripes = {{ marks = [{}] }}", marks.join(", "))), "up to 10000"),
        (
            plain(&format!(
                "flaws = [{}]",
                list("{ at = [\"1cm\", \"1cm\"], size = [\"1cm\", \"1cm\"] }", 20_000)
            )),
            "up to 10000",
        ),
        (format!("[main]\nwidth = \"140cm\"\nlength = [{}]\n", list("\"6m\"", 5_000)), "up to 2000"),
        (format!("[main]\nwidth = [{}]\nlength = \"6m\"\n", widths.join(", ")), "up to 10000"),
    ] {
        let bench = Bench::new().with_fixture("coat.svg").with_file("cloth.toml", cloth);
        bench.retrue("fit coat.svg --cloth cloth.toml").is_refused().says(says);
    }
    let panels = "[[panels]]\ncloth = \"main\"\noutline = \"panels.svg#gore\"\ncopies = 99\n".repeat(30);
    let bench = with_panels(&panels);
    bench.retrue("fit coat.svg --cloth cloth.toml").is_refused().says("up to 2000");
}

const PANELS: &str = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"2000mm\" height=\"2000mm\" viewBox=\"0 0 2000 2000\">\
                      <path id=\"gore\" d=\"M0 0 H1500 V1900 H0 Z\"/></svg>";

fn with_panels(cloth: &str) -> Bench {
    Bench::new().with_fixture("coat.svg").with_file("cloth.toml", cloth).with_file("panels.svg", PANELS)
}

/// Panels are a cloth by themselves; a slip of a cloth's name is still told.
#[test]
fn panels_need_no_table_of_their_cloth_and_unused_ones_are_told() {
    let panels = "[[panels]]\ncloth = \"main\"\noutline = \"panels.svg#gore\"\ncopies = 6\n";
    let bench = with_panels(panels);
    bench.retrue("fit coat.svg --cloth cloth.toml").is_true();
    bench
        .retrue("lay coat.svg --cloth cloth.toml --iterations 30 -o lay.svg")
        .is_true()
        .says("of the panel `gore` are not used");
    let other = format!("[main]\nwidth = \"140cm\"\nlength = \"8m\"\n{}", panels.replace("main", "velvet"));
    let bench = with_panels(&other);
    for command in
        ["fit coat.svg --cloth cloth.toml", "lay coat.svg --cloth cloth.toml --iterations 5 -o lay.svg"]
    {
        let outcome = bench.retrue(command);
        outcome.ends_by_itself();
        outcome.says("no piece is cut from `velvet`, so that the panel `gore` is not used");
    }
    let slip = format!("[main]\nwidth = \"140cm\"\nlength = \"8m\"\n{}", panels.replace("main", "mian"));
    with_panels(&slip).retrue("fit coat.svg --cloth cloth.toml").is_refused().says("did you mean \"main\"");
}
