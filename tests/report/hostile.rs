//! Nothing that a sheet, a layout or a name brings in becomes markup.

use retrue::show::report::{Layout, LayoutError, Report};
use retrue::units::Unit;

use crate::page::{named, parsed, shipped, text};
use crate::run::{Bench, fixture};

const BAD: &str = "\"><script>alert(1)</script><b id='job'>\u{202E}&amp;]]>";

#[test]
fn titles_steps_and_proofs_stay_text() {
    let before = shipped("fixtures/coat.svg");
    let mut now = shipped("examples/narrow-coat.svg");
    now.record.steps[2].step = serde_json::json!({ "do": BAD, BAD: BAD });
    let layout = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' onload='x()'><script>alert(1)</script>\
         <g class='band' data-name='{}'/></svg>",
        BAD.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('\'', "&apos;")
    );
    let layout = Layout::read(BAD, &layout).expect("an SVG");
    let report = Report::of(BAD, &now, Some((&before).into()), Unit::Millimetre).expect("of one history");
    let page = report.with_layouts(vec![layout]).html().expect("a page");
    let document = parsed(&page);
    assert_eq!(named(&document, "script").count() + named(&document, "b").count(), 0);
    assert!(!page.contains("<script") && !page.contains("onload"));
    let shown = BAD.replace('\u{202E}', "\u{FFFD}");
    let heading = text(named(&document, "h1").next().expect("a heading"));
    assert_eq!(heading, format!("{shown}: what was done"));
    assert!(text(document.root_element()).matches(&shown).count() > 4);
}

/// What a sheet may name, in signs that HTML has a meaning for.
#[test]
fn names_on_the_sheet_stay_text() {
    let hostile = fixture("coat.svg")
        .replace("<title>Coat</title>", "")
        .replace("data-cloth=\"companion\"", "data-cloth=\"`x`--$%{}\u{202E}\"")
        .replace("front-facing", "frönt`facing{}");
    let bench = Bench::new().with_file("a&b<i>.svg", hostile);
    let page = bench.retrue("report \"a&b<i>.svg\"").is_true().stdout();
    let document = parsed(&page);
    assert!(named(&document, "i").next().is_none());
    assert_eq!(text(named(&document, "h1").next().expect("a heading")), "a&b<i>: what was done");
    assert!(page.contains("frönt`facing{}") && page.contains("`x`--$%{}"));
    assert!(!page.contains('\u{202E}'));
}

#[test]
fn what_is_no_layout_is_refused() {
    assert!(matches!(Layout::read("a", "no XML"), Err(LayoutError::Unsound(_))));
    assert!(matches!(Layout::read("a", "<html/>"), Err(LayoutError::OtherRoot(_))));
    let entities = "<!DOCTYPE svg [<!ENTITY a \"aa\">]><svg xmlns='http://www.w3.org/2000/svg'>&a;</svg>";
    assert!(matches!(Layout::read("a", entities), Err(LayoutError::Unsound(_))));
}
