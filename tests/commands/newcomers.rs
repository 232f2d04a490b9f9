//! What someone who sews and never saw the program types first, and what it answers: each answer says enough to go on.

use crate::run::{Bench, fixture};

fn coat() -> Bench {
    Bench::new().with_fixture("coat.svg")
}

#[test]
fn a_cloth_without_a_length_is_answered_with_how_a_size_is_written() {
    for size in ["37cm", "37", "\"37cm by 11m\""] {
        coat().retrue(&format!("fit coat.svg --cloth {size}")).is_refused().says("37cm x 11.4m");
    }
    coat()
        .retrue("move-seam coat.svg --seam front.side --from back --fit-cloth 37cm")
        .is_refused()
        .says("x 11.4m");
    coat().retrue("fit coat.svg --cloth 37cm.toml").is_refused().says("there is no such file");
}

/// A half waistband is sewn as it is drawn above its skirt: the suggestion lays the two side by side.
#[test]
fn the_ends_suggested_for_a_waistband_lay_it_beside_its_skirt() {
    const EDGE: &str = r#"data-kind="edge" data-allowance="15mm" data-finish="free""#;
    let sheet = |sewn_to: &str| {
        format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="900mm" height="900mm" viewBox="0 0 900 900">
<g id="skirt" data-kind="piece"><path id="skirt.centre" data-kind="edge" data-finish="fold" d="M100 700 V200"/>
<path id="skirt.waist" data-kind="edge" data-allowance="15mm" d="M100 200 H300"/>
<path id="skirt.side" {EDGE} d="M300 200 V700"/><path id="skirt.hem" {EDGE} d="M300 700 H100"/></g>
<g id="band" data-kind="piece"><path id="band.upper" {EDGE} d="M500 200 H700"/><path id="band.end" {EDGE} d="M700 200 V240"/>
<path id="band.lower" data-kind="edge" data-allowance="15mm" data-sewn-to="{sewn_to}" d="M700 240 H500"/>
<path id="band.beginning" {EDGE} d="M500 240 V200"/></g></svg>"#
        )
    };
    let bench = Bench::new().with_file("unsaid.svg", sheet("skirt.waist"));
    bench
        .retrue("check unsaid.svg")
        .is_refused()
        .says("data-sewn-to=\"skirt.waist from side\" (or from centre)");
    let read = |sewn_to: &str| retrue::sheet::read(sheet(sewn_to).as_bytes(), &Default::default());
    let pattern = read("skirt.waist from side").expect("a pattern").pattern;
    let seam = &pattern.seams()[0];
    let (first, second) = (seam.first.first_and_last().0, seam.second.first_and_last().0);
    assert_ne!(first.travel, second.travel, "edges side by side are walked in opposite ways round");
}

#[test]
fn the_grain_is_turned_by_words_that_are_told_and_against_the_centre() {
    let bench = coat();
    for word in ["cross", "bias"] {
        let answer = bench.retrue(&format!("turn-grain coat.svg --piece back --to {word}"));
        answer.is_refused().says("lengthwise, crosswise, or a straight line");
    }
    let belt = bench.retrue("turn-grain coat.svg --piece belt --to crosswise --dry-run");
    belt.is_true().says("the grain runs so already, crosswise: square to `centre`");
}

/// A sleeve that is drawn leaning has no centre edge: its own grain says what is lengthwise.
#[test]
fn a_piece_drawn_leaning_is_turned_against_its_own_grain() {
    let upright = "M1214 130.2264 L1214 640.4339";
    let coat = fixture("coat.svg");
    assert!(coat.contains(upright));
    let bench = Bench::new().with_file("coat.svg", coat.replace(upright, "M1300 130.2264 L1128 640.4339"));
    bench
        .retrue("turn-grain coat.svg --piece sleeve --to lengthwise --dry-run")
        .is_true()
        .says("runs so already");
    let across = bench.retrue("turn-grain coat.svg --piece sleeve --to crosswise -o across.svg");
    across.says("turned by a quarter");
    bench.retrue("turn-grain across.svg --piece sleeve --to crosswise --dry-run").says("runs so already");
    bench
        .retrue("turn-grain across.svg --piece sleeve --to lengthwise --dry-run")
        .says("turned by a quarter");
}

#[test]
fn a_dart_that_runs_out_to_the_fold_is_told() {
    let bench = Bench::new().with_fixture("dress.svg");
    let run_out = |fields: &str| {
        bench.retrue(&format!("dart-to-seam dress.svg --piece bodice-front {fields} --dry-run"))
    };
    run_out("--dart bust-dart").says("ends at the fold bodice-front.centre").says("--to");
    let outcome = run_out("--dart bust-dart --to centre@60%");
    assert!(!outcome.stderr().contains("ends at the fold"), "{}", outcome.stderr());
    let outcome = run_out("--dart waist-dart");
    assert!(!outcome.stderr().contains("ends at the fold"), "{}", outcome.stderr());
}

/// A seam that was moved goes back to where it was, over the strip that came with it, and all is true.
#[test]
fn a_seam_that_was_moved_is_moved_back() {
    for (seam, one, other, by) in [
        ("front.side", "back", "front", "2cm"),
        ("front.side", "front", "back", "2cm"),
        ("front.shoulder", "front", "back", "1cm"),
    ] {
        let bench = coat();
        let there =
            bench.retrue(&format!("move-seam coat.svg --seam {seam} --from {one} --by {by} -o there.svg"));
        there.is_true();
        let back =
            bench.retrue(&format!("move-seam there.svg --seam {seam} --from {other} --by {by} -o back.svg"));
        back.is_true();
        let check = bench.retrue("check back.svg --against coat.svg");
        check.is_true();
        assert!(!check.stderr().contains("the level ends"), "{seam} from {one}: {}", check.stderr());
        let widths = |sheet: &str| {
            let shown = bench.retrue(&format!("show {sheet}")).stdout();
            let is_width = |line: &&str| line.starts_with("back  ") || line.starts_with("front  ");
            let mut widths: Vec<String> = shown
                .lines()
                .filter(is_width)
                .map(|line| line.split(';').next().unwrap_or_default().to_owned())
                .collect();
            widths.sort();
            widths
        };
        assert_eq!(widths("coat.svg"), widths("back.svg"), "{seam} from {one}");
    }
}

/// Farther back than it came, over the old seam: levels still end at the seamlines.
#[test]
fn a_seam_is_moved_back_beyond_where_it_was() {
    let bench = coat();
    bench.retrue("move-seam coat.svg --seam front.side --from back --by 2cm -o there.svg").is_true();
    bench.retrue("move-seam there.svg --seam front.side --from front --by 5cm -o back.svg").is_true();
    let check = bench.retrue("check back.svg");
    check.is_true();
    assert!(!check.stderr().contains("the level ends"), "{}", check.stderr());
}

#[test]
fn the_turned_edge_of_the_welt_is_opened_and_all_is_true() {
    let bench = coat();
    bench.retrue("open-centre coat.svg --piece pocket-welt -o opened.svg").is_true();
    bench.retrue("check opened.svg").is_true();
}

#[test]
fn a_stretched_sheet_is_told_in_figures_one_can_read() {
    let sheet = fixture("coat.svg");
    let stretched = sheet.replacen("<svg ", "<svg preserveAspectRatio=\"none\" ", 1);
    let height = stretched.find(" height=\"").expect("a height") + " height=\"".len();
    let end = height + stretched[height..].find("mm").expect("mm");
    let high: f64 = stretched[height..end].parse().expect("a number");
    let stretched = format!("{}{}{}", &stretched[..height], high * 8.0 / 9.0, &stretched[end..]);
    let bench = Bench::new().with_file("stretched.svg", stretched);
    bench.retrue("check stretched.svg").is_refused().says("0.8889 mm down").says("1.0000 mm");
}

#[test]
fn a_name_of_the_wrong_sort_is_answered_with_what_it_is() {
    let bench = coat();
    let says = |line: &str, words: &str| {
        bench.retrue(line).is_refused().says(words);
    };
    says("split coat.svg --piece back --line waist", "say \"level waist\"");
    says("split coat.svg --piece back --line side", "`side` is an edge: say \"beside side at 12cm\"");
    says("split coat.svg --piece back --line yoke", "\"A > B\"");
    says(
        "add-princess-seam coat.svg --piece front --from shoulder --through bust-point --to hem@50%",
        "`shoulder` is an edge: say where on it, as shoulder@50%",
    );
    says(
        "add-princess-seam coat.svg --piece back --from shoulder@50% --through bust-point --to hem@50%",
        "name a place on an edge",
    );
    says("dart-to-seam coat.svg --piece front --dart bust-dart", "it has no dart at all");
    says("set-piece coat.svg --piece hanger --name \"back loop\"", "there is a space in it");
    says("split coat.svg --piece back --line \"centre 50% > side 50%\"", "@ before a place");
    says("add-band coat.svg --piece front --edge front.hem --depth 5cm", "one of the two stands alone");
    says(
        "set-edge coat.svg --edge front.side --ease=-5mm",
        "say retrue set-edge --edge back.side --ease 5mm",
    );
}

#[test]
fn a_file_in_the_wrong_place_is_told() {
    let bench = coat().with_file("cloth.toml", "[main]\nwidth = \"37cm\"\nlength = \"11m\"\n");
    bench.retrue("apply coat.svg").is_refused().says("this is a drawing").says("the recipe");
    bench
        .retrue("fit coat.svg --cloth coat.svg")
        .is_refused()
        .says("this is a drawing")
        .says("the cloth file");
    bench.retrue("check cloth.toml").is_refused().says("a pattern is an SVG drawing");
    bench
        .retrue("report coat.svg --layout coat.svg -o coat.html")
        .is_refused()
        .says("a layout that retrue lay drew");
    bench.retrue("check coat").is_refused().says("did you mean `coat.svg`?");
}

#[test]
fn a_missing_file_is_answered_with_one_of_nearly_its_name_alone() {
    let bench = coat().with_file("hard.svg", fixture("coat.svg"));
    let far = bench.retrue("show narrow.svg");
    far.is_refused().says("check the spelling of the name");
    assert!(!far.stderr().contains("did you mean"), "{}", far.stderr());
    for meant in ["caot.svg", "coats.svg", "coat.pdf", "coat"] {
        bench.retrue(&format!("show {meant}")).is_refused().says("did you mean `coat.svg`?");
    }
}

#[test]
fn a_file_is_not_written_under_the_ending_of_another_sort() {
    let bench = coat();
    bench.retrue("picture coat.svg -o coat.jpg").is_refused().says("coat.svg or coat.png");
    bench.retrue("print coat.svg -o coat.png").is_refused().says("end in .pdf");
    bench.retrue("report coat.svg -o coat.pdf").is_refused().says("end in .html");
    bench.retrue("set-piece coat.svg --piece hanger --name loop -o new.pdf").is_refused().says("end in .svg");
    assert_eq!(bench.files(), ["coat.svg"]);
    bench.retrue("print coat.svg -o coat --paper A4").is_true();
}
