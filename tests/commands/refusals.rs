//! What is refused: exit code 2, nothing written, and said with what, where and the way out.

use crate::run::{Bench, Outcome, fixture};

/// A sheet with one rectangular piece `front`, 200 mm by 300 mm, and whatever else stands in its group.
fn sheet_with(more: &str) -> String {
    sheet_of(&format!(
        r#"<g id="front" data-kind="piece">
  <path id="front.top" data-kind="edge" d="M100 100 H300"/>
  <path id="front.side" data-kind="edge" d="M300 100 V400"/>
  <path id="front.hem" data-kind="edge" d="M300 400 H100"/>
  <path id="front.centre" data-kind="edge" d="M100 400 V100"/>
  <path id="front.grain" data-kind="grainline" d="M200 150 V350"/>
  {more}
</g>"#
    ))
}

/// A sheet in millimetres around pieces.
fn sheet_of(pieces: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"800mm\" height=\"800mm\" viewBox=\"0 0 800 800\">\n{pieces}\n</svg>\n"
    )
}

/// The sheet with a part of it put otherwise.
fn changed(from: &str, to: &str) -> String {
    let sheet = sheet_with("");
    assert!(sheet.contains(from), "no {from}");
    sheet.replacen(from, to, 1)
}

/// Every command that reads a sheet refuses this one.
#[track_caller]
fn refused(sheet: impl AsRef<[u8]>) -> Outcome {
    let bench = Bench::new().with_file("sheet.svg", sheet);
    for line in ["show sheet.svg", "check sheet.svg --json"] {
        bench.retrue(line).is_refused().says("sheet.svg");
    }
    let outcome = bench.retrue("set-piece sheet.svg --piece front --name back -o new.svg");
    outcome.is_refused();
    assert_eq!(bench.files(), ["sheet.svg"]);
    outcome
}

#[test]
fn the_sheet_of_these_tests_is_sound() {
    let bench = Bench::new().with_file("sheet.svg", sheet_with(""));
    bench.retrue("check sheet.svg").is_true();
    bench.retrue("set-piece sheet.svg --piece front --name back -o new.svg").is_true();
}

#[test]
fn no_unit() {
    refused(changed("width=\"800mm\" height=\"800mm\"", ""))
        .says("no physical size")
        .says("--unit mm")
        .says("--known");
}

#[test]
fn an_open_outline() {
    refused(changed("M300 400 H100", "M300 400 H120")).says("20").says("hem").says("centre");
}

#[test]
fn a_crossing_outline() {
    refused(changed("M300 100 V400", "M300 100 L50 250 L300 400"))
        .says("crosses itself")
        .says("side")
        .says("centre");
}

#[test]
fn two_edges_of_one_name() {
    refused(changed("front.hem", "front.side")).says("two edges").says("side");
}

#[test]
fn an_edge_sewn_to_something_that_does_not_exist() {
    let sewn = changed("id=\"front.side\"", "id=\"front.side\" data-sewn-to=\"bakc.side\"");
    refused(sewn).says("bakc").says("sheet.svg");
    let sewn = changed("id=\"front.side\"", "id=\"front.side\" data-sewn-to=\"front.centr\"");
    refused(sewn).says("centr").says("did you mean `centre`?");
}

#[test]
fn a_dart_whose_mouth_is_not_on_one_edge() {
    refused(sheet_with(r#"<path id="front.dart" data-kind="dart" d="M290 100 L250 200 L300 120"/>"#))
        .says("dart");
    refused(sheet_with(r#"<path id="front.dart" data-kind="dart" d="M190 160 L200 250 L210 160"/>"#))
        .says("dart");
}

#[test]
fn numbers_that_are_none() {
    refused(changed("M300 100 V400", "M300 100 VNaN")).says("sheet.svg:4").says("side");
    refused(changed("M300 100 V400", "M300 100 V1e38")).says("sheet.svg:4").says("side");
    refused(changed("M300 100 V400", "M300 100 V1e400")).says("side");
}

#[test]
fn truncated_path_data() {
    refused(changed("M300 100 V400", "M300 100 C300 200")).says("sheet.svg:4").says("path data");
    refused(changed("M300 100 V400", "M300 100 V400 L")).says("sheet.svg:4").says("path data");
}

#[test]
fn an_edge_without_length() {
    refused(changed("M300 400 H100", "M300 400 H300")).says("hem");
    refused(sheet_with(r#"<path id="front.nothing" data-kind="edge" d="M100 100"/>"#)).says("nothing");
}

#[test]
fn what_is_no_svg() {
    refused("pieces: front, back\n").says("XML");
    refused("<html><body/></html>").says("not an SVG drawing");
    refused("").says("empty");
    refused("%PDF-1.7\n").says("PDF");
    refused([0x1f, 0x8b, 8, 0]).says("gzip");
    refused([0xff, 0xfe, 0x00]).says("sheet.svg");
    refused("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1mm\" viewBox=\"0 0 1 1\"><g>").says("line 1");
}

#[test]
fn a_drawing_without_pieces() {
    refused(sheet_of("<path d=\"M0 0H10V10Z\"/>")).says("no piece on the sheet").says("data-kind=\"piece\"");
}

#[test]
fn entities_that_would_fill_the_memory() {
    let mut entities =
        String::from("<!ENTITY a \"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa\">");
    for (next, last) in ["b", "c", "d", "e", "f", "g"].iter().zip(["a", "b", "c", "d", "e", "f"]) {
        entities.push_str(&format!("<!ENTITY {next} \"{}\">", format!("&{last};").repeat(50)));
    }
    let text = format!("<!DOCTYPE svg [{entities}]>{}", sheet_with("<text>&g;</text>"));
    refused(text).says("sheet.svg:").says("without entities");
}

#[test]
fn a_directory_a_missing_file_and_one_that_cannot_be_read() {
    let bench = Bench::new().with_file("folder/coat.svg", "").with_fixture("coat.svg");
    bench.retrue("check folder").is_refused().says("this is a folder").says("folder");
    bench.retrue("apply folder coat.svg").is_refused().says("this is a folder");
    bench.retrue("check caot.svg").is_refused().says("no such file").says("did you mean `coat.svg`?");
    bench.retrue("check nowhere/coat.svg").is_refused().says("no such file");
    bench.retrue_with_input("check -", "").is_refused().says("standard input").says("empty");
    if cfg!(target_os = "linux") {
        bench.retrue("check /proc/self/mem").is_refused().says("/proc/self/mem").says("cannot be read");
    }
}

/// An operation on the small sheet is refused.
#[track_caller]
fn step_refused(line: &str) -> Outcome {
    let dart = r#"<path id="front.dart" data-kind="dart" d="M190 100 L200 250 L210 100"/>"#;
    let bench = Bench::new().with_file("sheet.svg", sheet_with(dart));
    let (operation, fields) = line.split_once(' ').expect("an operation and its fields");
    let outcome = bench.retrue(&format!("{operation} sheet.svg {fields} -o new.svg"));
    outcome.is_refused();
    assert_eq!(bench.files(), ["sheet.svg"]);
    outcome
}

#[test]
fn a_place_outside_its_edge() {
    step_refused("split --piece front --line \"side@50cm > centre@50%\"")
        .says("front")
        .says("500")
        .says("300");
    step_refused("split --piece front --line \"side@101% > centre@50%\"").says("from 0% to 100%");
}

#[test]
fn a_line_that_leaves_the_piece_or_cuts_off_nothing() {
    step_refused("split --piece front --line \"(50mm, 50mm) > (60mm, 60mm)\"")
        .says("does not run through the piece");
    step_refused("split --piece front --line \"top@20% > (200mm, 20mm) > top@40%\"").says("front");
    step_refused("split --piece front --line \"beside side at 0mm\"").says("front");
}

#[test]
fn a_cut_that_makes_three_pieces() {
    let line = "top@10% > (120mm, 450mm) > (180mm, 450mm) > top@40%";
    step_refused(&format!("split --piece front --line \"{line}\"")).says("front");
}

#[test]
fn a_cut_across_a_dart() {
    let crossing = step_refused("split --piece front --line \"side@20% > centre@80%\"");
    crossing.says("dart").says("pivot-dart");
}

#[test]
fn a_width_the_piece_does_not_have() {
    let bench = Bench::new().with_fixture("coat.svg");
    let line = "move-seam coat.svg --seam front.side --from back --to-width 60cm -o new.svg";
    bench.retrue(line).is_refused().says("back").says("= help");
    assert_eq!(bench.files(), ["coat.svg"]);
}

#[test]
fn names_that_nothing_bears() {
    step_refused("split --piece frnt --line \"level waist\"").says("did you mean `front`?");
    step_refused("split --piece front --line \"level waist\"").says("no level named `waist`");
    step_refused("split --piece front --line \"sied@5cm > centre@50%\"").says("did you mean `side`?");
    step_refused("set-edge --edge front.hemm --finish hem").says("did you mean `hem`?");
}

#[test]
fn a_command_line_that_is_none() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("move-seem coat.svg").is_refused().says("move-seam");
    bench.retrue("move-seam coat.svg --seam front.side").is_refused().says("--from");
    bench.retrue("move-seam coat.svg --seam front.side --from back --by 20").is_refused().says("has no unit");
    bench
        .retrue("move-seam coat.svg --seam front.side --from back --by 2ell")
        .is_refused()
        .says("not a unit");
    bench.retrue("move-seam coat.svg --seam front --from back --by 2cm").is_refused().says("front");
    bench.retrue("").exits(2);
}

/// A recipe for the coat is refused.
#[track_caller]
fn recipe_refused(recipe: &str) -> Outcome {
    let bench = Bench::new().with_fixture("coat.svg").with_file("recipe.toml", recipe);
    let outcome = bench.retrue("apply recipe.toml -o new.svg");
    outcome.is_refused();
    assert_eq!(bench.files(), ["coat.svg", "recipe.toml"]);
    outcome
}

/// A recipe of one step, whose fields begin on the fourth line.
fn step(fields: &str) -> String {
    format!("pattern = \"coat.svg\"\n\n[[step]]\n{fields}\n")
}

#[test]
fn a_recipe_with_an_unknown_step() {
    let refused = recipe_refused(&step("do = \"move-seem\""));
    refused.says("recipe.toml:4").says("do = \"move-seem\"").says("did you mean `move-seam`?");
}

#[test]
fn a_recipe_with_an_unknown_field() {
    let refused = recipe_refused(&step("do = \"move-seam\"\nseam = \"front.side\"\nform = \"back\""));
    refused.says("recipe.toml:6").says("form = \"back\"").says("did you mean `from`?");
    recipe_refused("patern = \"coat.svg\"\n[[step]]\ndo = \"unfold\"\npiece = \"back\"\n")
        .says("recipe.toml:1")
        .says("did you mean `pattern`?");
}

#[test]
fn a_recipe_with_a_wrong_unit() {
    let field = |width: &str| {
        step(&format!("do = \"move-seam\"\nseam = \"front.side\"\nfrom = \"back\"\nto-width = {width}"))
    };
    recipe_refused(&field("\"18.5ell\""))
        .says("recipe.toml:7")
        .says("18.5ell")
        .says("use mm, cm, m, in or yd");
    recipe_refused(&field("\"185\"")).says("recipe.toml:7").says("has no unit");
    recipe_refused(&field("185")).says("recipe.toml:7").says("has no unit");
}

#[test]
fn a_recipe_with_a_wrong_type() {
    for value in ["nan", "inf", "-inf", "true", "[\"back\"]", "{ piece = \"back\" }", "1979-05-27"] {
        let refused = recipe_refused(&step(&format!("do = \"unfold\"\npiece = {value}")));
        refused.says("recipe.toml:5").says("piece");
    }
    recipe_refused(&step("do = 3")).says("recipe.toml:4");
    recipe_refused("step = 3\n").says("recipe.toml:1");
    recipe_refused("pattern = [\"coat.svg\"]\n[[step]]\ndo = \"unfold\"\n").says("recipe.toml:1");
    let shaping =
        "do = \"move-seam\"\nseam = \"front.side\"\nfrom = \"back\"\nby = \"2cm\"\nshaping = \"cary\"";
    recipe_refused(&step(shaping)).says("recipe.toml:8").says("did you mean `carry`?");
}

#[test]
fn a_recipe_with_a_missing_field() {
    recipe_refused(&step("do = \"move-seam\"\nseam = \"front.side\""))
        .says("recipe.toml:4")
        .says("needs `from`");
    recipe_refused(&step("piece = \"back\"")).says("recipe.toml:3").says("does not name its operation");
}

#[test]
fn a_recipe_that_is_none() {
    recipe_refused("").says("no steps");
    recipe_refused("pattern = \"coat.svg\"\n").says("no steps");
    recipe_refused("pattern = \"coat.svg\n").says("recipe.toml:1");
    recipe_refused("[[step]]\ndo = \"unfold\"\npiece = \"back\"\n").says("no pattern is named");
    let bench = Bench::new().with_fixture("coat.svg").with_file("recipe.toml", [0x70, 0xff]);
    bench.retrue("apply recipe.toml coat.svg").is_refused().says("UTF-8");
    bench.retrue("apply - -").is_refused().says("standard input");
}

#[test]
fn a_refused_step_of_a_recipe_names_its_number_and_line() {
    let recipe = step("do = \"unfold\"\npiece = \"back\"\n\n[[step]]\ndo = \"unfold\"\npiece = \"back\"");
    recipe_refused(&recipe).says("step 2, line 9").says("recipe.toml:9").says("= help");
}

/// What is refused is shown where it is written: the name, place, line or length, whichever it is.
#[test]
fn a_refused_step_is_shown_on_the_line_of_the_field_it_is_about() {
    for (fields, line, shown) in [
        ("do = \"split\"\npiece = \"sleve\"\nline = \"fore-line\"", 5, "piece = \"sleve\""),
        ("do = \"split\"\npiece = \"sleeve\"\nline = \"for-line\"", 6, "line = \"for-line\""),
        ("do = \"split\"\nline = \"cap@10% > cap@200cm\"\npiece = \"sleeve\"", 5, "cap@200cm"),
        (
            "do = \"split\"\npiece = \"sleeve\"\nnames = \"front, other\"\nline = \"fore-line\"",
            6,
            "names = \"front, other\"",
        ),
        ("do = \"add-band\"\npiece = \"back\"\nedge = \"hem\"\ndepth = \"0mm\"", 7, "depth = \"0mm\""),
        (
            "do = \"move-seam\"\nseam = \"front.side\"\nfrom = \"back\"\nto-width = \"900cm\"",
            7,
            "to-width = \"900cm\"",
        ),
    ] {
        let place = format!("recipe.toml:{line}");
        recipe_refused(&step(fields)).says(&format!("line {line}")).says(&place).says(shown);
    }
}

#[test]
fn a_refusal_about_the_whole_step_is_shown_where_it_begins() {
    recipe_refused(&step("edge = \"front.side\"\ndo = \"set-edge\""))
        .says("recipe.toml:5")
        .says("nothing is");
}

/// A seam of a piece to itself has no other piece to move it to: what can be done instead is named.
#[test]
fn a_seam_of_a_piece_to_itself_is_not_moved() {
    let bench = Bench::new().with_fixture("coat.svg");
    let opened = bench.retrue("open-centre coat.svg --piece back -o open.svg");
    opened.is_true();
    bench
        .retrue("move-seam open.svg --seam back.centre --from back --by 1cm")
        .is_refused()
        .says("both sides of the seam are on `back`")
        .says("split the piece")
        .says("merge-at-seamline");
}

#[test]
fn writing_over_a_file_or_where_there_is_no_folder() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("folder/a.svg", "");
    let line = |target: &str| format!("set-piece coat.svg --piece hanger --name loop -o {target}");
    bench.retrue(&line("coat.svg")).is_refused().says("exists already").says("--force");
    assert_eq!(bench.text_of("coat.svg"), fixture("coat.svg"));
    bench.retrue(&format!("{} --force", line("folder"))).is_refused().says("folder");
    bench.retrue(&line("coat.svg/new.svg")).is_refused().says("is no folder");
    bench.retrue(&line("coat.svg/new.svg")).is_refused();
    assert_eq!(bench.files(), ["coat.svg", "folder"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_file_as_it_was() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("new.svg", "mine");
    let line = "retrue set-piece coat.svg --piece hanger --name loop -o new.svg --force";
    let full = bench.shell(&format!("trap '' XFSZ; ulimit -f 4; {line}"));
    full.is_refused().says("no room").says("what was there before is as it was");
    assert_eq!(bench.text_of("new.svg"), "mine");
    assert_eq!(bench.files(), ["coat.svg", "new.svg"]);
    bench
        .shell("retrue set-piece coat.svg --piece hanger --name loop >/dev/full")
        .is_refused()
        .says("no room");
}

#[cfg(target_os = "linux")]
#[test]
fn a_kill_in_the_middle_of_writing_leaves_the_old_file_as_it_was() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("new.svg", "mine");
    let line = "retrue set-piece coat.svg --piece hanger --name loop -o new.svg --force";
    bench.shell(&format!("ulimit -c 0; ulimit -f 4; {line}")).is_killed();
    assert_eq!(bench.text_of("new.svg"), "mine");
}

#[test]
fn a_width_that_a_cloth_gives_is_refused_at_the_cloth() {
    let recipe = "[[step]]\ndo = \"limit-width\"\npiece = \"front\"\nfit-cloth = \"1mm x 9m\"\n";
    let bench = Bench::new().with_file("sheet.svg", sheet_with("")).with_file("recipe.toml", recipe);
    bench.retrue("apply recipe.toml sheet.svg").is_refused().says("step 1, line 4");
}

#[test]
fn more_copies_than_are_laid_at_once() {
    let piece = |number: usize| {
        let (x, name) = (number * 20, format!("loop-{number}"));
        format!(
            r#"<g id="{name}" data-kind="piece" data-cut="999 same">
  <path id="{name}.top" data-kind="edge" d="M{x} 100 h10"/>
  <path id="{name}.side" data-kind="edge" d="M{} 100 v10"/>
  <path id="{name}.hem" data-kind="edge" d="M{} 110 h-10"/>
  <path id="{name}.centre" data-kind="edge" d="M{x} 110 v-10"/>
</g>"#,
            x + 10,
            x + 10
        )
    };
    let sheet = sheet_of(&(1..=3).map(piece).collect::<String>());
    let bench = Bench::new().with_file("sheet.svg", sheet);
    bench
        .retrue("lay sheet.svg --cloth \"150cm x 90m\" --iterations 1 -o lay.svg")
        .is_refused()
        .says("`loop-3`, cut 999 times")
        .says("more than 2000 copies")
        .says("set-piece --cut");
}
