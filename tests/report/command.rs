//! The command: what it reads, writes and refuses.

use crate::page::{narrow_coat, parsed, text};
use crate::run::{Bench, fixture};

fn narrowed() -> Bench {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("move-seam coat.svg --seam front.side --from back --by 20mm -o new.svg").is_true();
    bench
}

/// The coat that is shipped, and what was made of it.
fn shipped_coat() -> Bench {
    let narrow = include_str!("../../examples/narrow-coat.svg");
    Bench::new().with_fixture("coat.svg").with_file("narrow-coat.svg", narrow)
}

#[test]
fn the_page_goes_to_a_file_or_to_the_stream_and_is_the_same_each_time() {
    let bench = narrowed();
    bench
        .retrue("report new.svg --before coat.svg -o page.html")
        .is_true()
        .prints_nothing()
        .says("trial garment");
    let page = bench.text_of("page.html");
    parsed(&page);
    bench.retrue("report new.svg --before coat.svg -o page.html").is_refused().says("--force");
    bench.retrue("report new.svg --before coat.svg -o page.html --force").is_true();
    bench
        .retrue("report new.svg --before coat.svg -o page.pdf")
        .is_refused()
        .says("a page in HTML is written")
        .says("end in .html");
    assert_eq!(bench.text_of("page.html"), page);
    assert_eq!(bench.retrue("report new.svg --before coat.svg -o - -q").is_true().stdout(), page);
    let piped = bench.retrue_with_input("report - --before coat.svg", bench.text_of("new.svg"));
    assert_eq!(piped.is_true().stdout(), page);
    assert_eq!(narrow_coat(), narrow_coat());
}

#[test]
fn several_layouts_stand_on_the_page() {
    let layout = "<svg xmlns='http://www.w3.org/2000/svg'><g id='a'/></svg>";
    let bench =
        narrowed().with_file("one.svg", layout).with_file("two.svg", layout).with_file("not.svg", "<p/>");
    let page = bench.retrue("report new.svg --layout one.svg --layout two.svg").is_true().stdout();
    let document = parsed(&page);
    let sources: Vec<&str> =
        crate::page::named(&document, "img").filter_map(|img| img.attribute("src")).collect();
    assert_eq!(sources.len(), 2);
    assert!(sources.iter().all(|source| source.starts_with("data:image/svg+xml;base64,")));
    bench.retrue("report new.svg --layout not.svg").is_refused().says("no SVG").says("not.svg");
    bench.retrue("report new.svg --layout none.svg -o page.html").is_refused().says("no such file");
    assert!(!bench.files().contains(&"page.html".to_owned()));
}

#[test]
fn a_sheet_of_another_history_is_refused() {
    let bench = narrowed().with_file("dress.svg", fixture("dress.svg"));
    bench
        .retrue("report coat.svg --before new.svg")
        .is_refused()
        .says("it is the later of the two")
        .says("--before");
    bench.retrue("move-seam coat.svg --seam front.side --from back --by 21mm -o other.svg").is_true();
    let page = bench.retrue("report new.svg --before other.svg").is_true().stdout();
    assert!(page.contains("the record does not lead here from the older pattern"), "{page}");
    bench.retrue("report - --before -").is_refused().says("only one");
}

/// What the page tells under `Before you cut`, where the proof on the page refers to.
fn before_you_cut(page: &str) -> String {
    let document = parsed(page);
    let part = document.descendants().find(|node| node.attribute("id") == Some("warnings"));
    let told = text(part.expect("the part"));
    assert!(told.contains("Before you cut"), "{told}");
    told
}

/// The page is written all the same: that a sheet is not true is for `check` to say by its exit code.
#[test]
fn what_is_not_true_is_told_and_stands_on_the_page() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("set-allowance coat.svg --edges front.side --allowance 5mm -o new.svg").is_untrue();
    let finding = "back.side + front.side: the allowances of the two sides differ by 10 mm (limit 0.5 mm)";
    bench
        .retrue("report new.svg --before coat.svg -o page.html")
        .is_true()
        .says(&format!("not true: 1 finding, {finding}; see retrue check new.svg --against coat.svg"));
    let page = bench.text_of("page.html");
    let told = before_you_cut(&page);
    assert!(told.contains("Not true:") && told.contains("differ by 10 mm"), "{told}");
    assert!(page.contains("front.side: allowance 5 mm instead of 15 mm"));
}

/// The rows of the table in which the pieces are laid back.
fn laid_back(page: &str) -> Vec<Vec<String>> {
    let document = parsed(page);
    let proof = document.descendants().find(|node| node.attribute("id") == Some("proof")).expect("the proof");
    let rows = proof.descendants().filter(|node| node.tag_name().name() == "tr").skip(1);
    let cells = |row: roxmltree::Node<'_, '_>| -> Vec<String> {
        row.children().filter(|cell| cell.is_element()).map(text).collect()
    };
    rows.map(cells).collect()
}

/// The page tells of the shipped coat what `check --against` measures: each step, its largest deviation, and the cloth
/// that lies twice or is missing.
#[test]
fn the_pieces_are_laid_back_onto_the_old_ones() {
    let bench = shipped_coat();
    let page = bench.retrue("report narrow-coat.svg --before coat.svg").is_true().stdout();
    let told = laid_back(&page);
    let checked = bench.retrue("check narrow-coat.svg --against coat.svg --json").is_true().reports("check");
    let steps = checked["resewn"]["steps"].as_array().expect("steps");
    let groups: Vec<_> = steps
        .iter()
        .flat_map(|step| {
            let groups = step["groups"].as_array().expect("groups").iter();
            groups.map(move |group| (step["number"].to_string(), group))
        })
        .collect();
    assert_eq!(told.len(), groups.len());
    let mut areas = 0;
    for (row, (number, group)) in told.iter().zip(groups) {
        assert_eq!(row[0], number);
        let held = group["held"]["distance"].as_f64();
        let told_held = row[2].trim_end_matches("\u{a0}mm").parse::<f64>().ok();
        let agree = match (held, told_held) {
            (Some(held), Some(told)) => told >= held && told - held <= 0.001,
            (held, told) => held.is_none() && told.is_none(),
        };
        assert!(agree, "{row:?}: {held:?}");
        for (cell, area) in [(&row[4], &group["doubled"]), (&row[5], &group["missing"])] {
            let area = area.as_f64().expect("an area");
            let told = if area > 1.0 { format!("{area:.0}\u{a0}mm²") } else { "none".to_owned() };
            assert!(cell.contains(&told), "{row:?}: {told}");
            areas += usize::from(area > 1.0);
        }
    }
    assert!(areas > 0, "no step laid cloth twice or left any: {told:?}");
}

/// A sheet that was drawn on since its last step does not pass.
#[test]
fn a_sheet_drawn_on_since_is_not_true() {
    let bench = shipped_coat();
    let sheet = bench.text_of("narrow-coat.svg");
    let notch =
        sheet.lines().find(|line| line.contains("id=\"front-centre.bust-point\"")).expect("the point");
    let drawn_on = sheet.replace(notch, &notch.replace("<circle", "<circle transform=\"translate(3 0)\""));
    assert_ne!(sheet, drawn_on);
    let bench = bench.with_file("drawn-on.svg", drawn_on);
    let finding = "front-centre.bust-point: changed since: it lies 3.000 mm off what the recorded steps give";
    bench
        .retrue("report drawn-on.svg --before coat.svg -o page.html")
        .is_true()
        .says(&format!("not true: 1 finding, {finding}"))
        .says("; see retrue check drawn-on.svg --against coat.svg");
    let page = bench.text_of("page.html");
    let told = before_you_cut(&page);
    assert!(told.contains(finding), "{told}");
    let document = parsed(&page);
    let proof = document.descendants().find(|node| node.attribute("id") == Some("proof")).expect("the proof");
    assert!(text(proof).contains("one thing is not as the steps say"));
}
