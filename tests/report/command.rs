//! The command: what it reads, writes and refuses.

use crate::page::{narrow_coat, parsed};
use crate::run::{Bench, fixture};

fn narrowed() -> Bench {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("move-seam coat.svg --seam front.side --from back --by 20mm -o new.svg").is_true();
    bench
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
    assert_eq!(bench.text_of("page.html"), page);
    assert_eq!(bench.retrue("report new.svg --before coat.svg -o - -q").is_true().stdout(), page);
    let piped = bench.retrue_with_input("report - --before coat.svg --title new", bench.text_of("new.svg"));
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
    bench.retrue("report coat.svg --before new.svg").is_refused().says("1 recorded steps").says("--before");
    bench.retrue("move-seam coat.svg --seam front.side --from back --by 21mm -o other.svg").is_true();
    bench.retrue("report new.svg --before other.svg").is_refused().says("--before");
    bench.retrue("report - --before -").is_refused().says("only one");
}

#[test]
fn what_is_not_true_is_told_by_the_exit_code_and_on_the_page() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("set-allowance coat.svg --edges front.side --allowance 5mm -o new.svg").is_untrue();
    bench.retrue("report new.svg --before coat.svg -o page.html").is_untrue().says("Before you cut");
    let page = bench.text_of("page.html");
    assert!(page.contains("Not true:") && page.contains("differ by 10 mm"), "{page}");
    assert!(page.contains("front.side: allowance 5 mm instead of 15 mm"));
}
