//! The command: what it tells, writes and refuses.

use crate::reader;
use crate::run::Bench;

/// Sizes by ISO 216 and ANSI/ASME Y14.1, as the PDF states them, in points.
#[test]
fn page_sizes_are_those_of_the_standards() {
    let sizes = [
        ("a4", 210.0, 297.0),
        ("a3", 297.0, 420.0),
        ("a2", 420.0, 594.0),
        ("a1", 594.0, 841.0),
        ("a0", 841.0, 1189.0),
        ("letter", 8.5 * 25.4, 11.0 * 25.4),
        ("legal", 8.5 * 25.4, 14.0 * 25.4),
        ("tabloid", 11.0 * 25.4, 17.0 * 25.4),
        ("ansi-c", 17.0 * 25.4, 22.0 * 25.4),
        ("ansi-d", 22.0 * 25.4, 34.0 * 25.4),
        ("ansi-e", 34.0 * 25.4, 44.0 * 25.4),
    ];
    let bench = Bench::new().with_fixture("awkward.svg");
    for (paper, width, height) in sizes {
        for (turned, width, height) in [("", width, height), ("--landscape", height, width)] {
            let line =
                format!("print awkward.svg --piece tab --paper {paper} {turned} -o {paper}.pdf --force");
            bench.retrue(&line).is_true();
            let pdf = std::fs::read(bench.path(&format!("{paper}.pdf"))).expect("a PDF");
            for page in reader::read(&pdf).pages {
                let off = (page.width - width).abs().max((page.height - height).abs());
                assert!(off < 0.005, "{line}: {} by {}", page.width, page.height);
            }
        }
    }
}

#[test]
fn cloths_stand_on_pages_of_their_own() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench
        .retrue("print coat.svg --by-cloth --dry-run")
        .is_true()
        .prints_nothing()
        .says("10 pieces on")
        .says("3 pieces on");
    assert_eq!(bench.files(), ["coat.svg"]);
}

#[test]
fn a_projector_is_asked_for_with_or_without_its_way() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench
        .retrue("print coat.svg --projector -o light.pdf")
        .is_true()
        .says("13 pieces on 2 pages for a projector")
        .says("measure squares of the grid");
    bench.retrue("print coat.svg --projector=dark-on-light -o dark.pdf").is_true();
    let bytes = |name: &str| std::fs::read(bench.path(name)).expect("a PDF");
    assert!(bytes("light.pdf") != bytes("dark.pdf"));
    bench.retrue("print coat.svg --projector --roll 91cm -o both.pdf").is_refused();
    bench.retrue("print coat.svg --projector=sideways -o both.pdf").is_refused().says("light-on-dark");
}

#[test]
fn the_command_tells_pages_and_refuses_what_has_no_room() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("old.pdf", "kept");
    bench
        .retrue("print coat.svg -o coat.pdf --title \"My coat\"")
        .is_true()
        .says("13 pieces on")
        .says("measure both bars on every page: 100 mm")
        .says("sew a trial garment");
    assert!(std::fs::read(bench.path("coat.pdf")).expect("a PDF").starts_with(b"%PDF-1.7"));
    bench.retrue("print coat.svg -o old.pdf").is_refused().says("--force");
    bench.retrue("print coat.svg -o coat.png").is_refused().says("a PDF is written").says("end in .pdf");
    bench.retrue("print coat.svg --piece frnt -o x.pdf").is_refused().says("did you mean `front`?");
    bench.retrue("print coat.svg --paper a2 -o x.pdf").is_refused().says("--tiled");
    bench.retrue("print coat.svg --paper A2 --tiled -o a2.pdf").is_true();
    bench.retrue("print coat.svg --margin 50mm -o x.pdf").is_refused().says("too little for a page");
    bench.retrue("print coat.svg --roll 36 -o x.pdf").is_refused().says("no unit");
    bench
        .retrue("print coat.svg --measured \"100mm=90mm x 100mm\" -o x.pdf")
        .is_refused()
        .says("actual size");
    assert_eq!(bench.files(), ["a2.pdf", "coat.pdf", "coat.svg", "old.pdf"]);
    assert_eq!(bench.text_of("old.pdf"), "kept");
}

#[test]
fn a_printer_that_is_off_is_made_good_for_and_told() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench
        .retrue("print coat.svg --piece belt --paper a3 -o coat.pdf --measured \"100mm=99mm x 100mm\"")
        .is_true()
        .says("`belt` would have come out")
        .says("too short across the paper");
}
