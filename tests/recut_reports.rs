//! What the operations report of sizes and of truth, and refusals at the edges of files and streams.

#[path = "common/run.rs"]
mod run;

use run::{Bench, fixture};

/// The coat with less ease declared on the sleeve's cap than is drawn: 5 mm of the cap are not accounted for.
fn coat_with_a_fault() -> String {
    let coat = fixture("coat.svg");
    let faulty = coat.replacen("data-ease=\"25mm\"", "data-ease=\"20mm\"", 1);
    assert_ne!(faulty, coat);
    faulty
}

#[test]
fn what_was_untrue_before_is_told_as_before_also_under_another_name() {
    let bench = Bench::new().with_file("coat.svg", coat_with_a_fault());
    bench.retrue("check coat.svg").is_untrue().prints("sleeve.cap");
    bench
        .retrue("set-piece coat.svg --piece sleeve --name arm -o arm.svg")
        .is_untrue()
        .says("as before, 1 finding, arm.cap ");
    bench.retrue("check arm.svg").is_untrue().prints("arm.cap");
    let other = bench.retrue("set-allowance coat.svg --edges sleeve.hem --allowance 50mm --dry-run");
    other.is_untrue().says("as before, 1 finding, sleeve.cap ");
}

#[test]
fn what_grows_further_off_is_told() {
    let bench = Bench::new().with_file("coat.svg", coat_with_a_fault());
    let further = bench.retrue("set-edge coat.svg --edge sleeve.cap --ease 10mm --dry-run");
    further.is_untrue().says("not true: ").says("longer by 15 mm");
    let nearer = bench.retrue("set-edge coat.svg --edge sleeve.cap --ease 22mm --dry-run");
    nearer.is_untrue().says("not true: as before, 1 finding, ").says("longer by 3 mm");
}

/// The cutting line of a piece, as it is drawn on a written sheet.
fn cutting_line(sheet: &str, piece: &str) -> kurbo::BezPath {
    let group = sheet.split_once(&format!("id=\"{piece}\"")).expect("the piece").1;
    let tag =
        group.split('<').find(|tag| tag.contains("data-shows=\"cutting-line\"")).expect("its cutting line");
    let data = tag.split_once(" d=\"").expect("path data").1.split_once('"').expect("its end").0;
    kurbo::BezPath::from_svg(data).expect("sound path data")
}

/// Held against the cutting line that is drawn. The coat's back lies with its fold upright on the left and its grain
/// along it.
#[test]
fn widths_are_told_as_cut_with_half_pieces_opened_out() {
    let bench = Bench::new().with_fixture("coat.svg");
    let moved = "move-seam coat.svg --seam front.side --from back --to-width 18.5cm --line grain";
    let text = bench.retrue(&format!("{moved} --dry-run")).is_true().stdout();
    assert!(text.contains("widths as cut, allowances included, half pieces opened out"), "{text}");
    let report = bench.retrue(&format!("{moved} -o moved.svg --json")).is_true().reports("recut");
    let drawn = cutting_line(&bench.text_of("moved.svg"), "back");
    let pieces = report["pieces"].as_array().expect("pieces");
    let back = pieces.iter().find(|piece| piece["name"] == "back").expect("the back");
    let told = back["cut_width_after"].as_f64().expect("a width");
    let opened = 2.0 * kurbo::Shape::bounding_box(&drawn).width();
    approx::assert_abs_diff_eq!(told, opened, epsilon = 0.05);
    let shown = bench.retrue("show coat.svg --piece back --json").reports("show");
    assert_eq!(shown["pieces"][0]["cut_width"], back["cut_width_before"]);
}

#[test]
fn a_seam_that_is_true_already_is_told_in_the_unit_asked_for() {
    let bench = Bench::new().with_fixture("coat.svg");
    let line = "true-seam coat.svg --seam front.side --dry-run";
    bench.retrue(line).is_true().says(" mm long");
    bench.retrue(&format!("{line} --in")).is_true().says(" in long");
}

#[test]
fn a_refused_operation_leaves_the_old_file_even_with_force() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("old.svg", "precious");
    bench.retrue("unfold coat.svg --piece front -o old.svg --force").is_refused().says("front");
    assert_eq!(bench.text_of("old.svg"), "precious");
}

#[test]
fn a_file_too_large_to_be_a_drawing_is_refused() {
    let bench = Bench::new();
    let file = std::fs::File::create(bench.path("large.svg")).expect("a file");
    file.set_len(300 << 20).expect("a sparse file");
    bench.retrue("show large.svg").is_refused().says("large.svg").says("MB");
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_or_stream_that_fails_is_refused() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("show /proc/self/mem").is_refused().says("cannot be read");
    bench.shell("retrue show coat.svg > /dev/full").is_refused().says("standard output");
    bench.shell("retrue unfold coat.svg --piece belt -q > /dev/full").is_refused().says("standard output");
}

/// A device is written to, not replaced by a file of its name.
#[cfg(unix)]
#[test]
fn a_device_or_pipe_stays_what_it_is() {
    use std::os::unix::fs::FileTypeExt;
    let bench = Bench::new().with_fixture("coat.svg");
    let piped = bench
        .shell("mkfifo pipe; cat pipe > read.svg & retrue unfold coat.svg --piece belt -q -o pipe; wait");
    piped.is_true();
    assert!(bench.text_of("read.svg").contains("belt.upper/m"));
    assert!(std::fs::metadata(bench.path("pipe")).expect("the pipe").file_type().is_fifo());
}

/// A link stays a link: what it points to is replaced.
#[cfg(unix)]
#[test]
fn a_link_is_written_through() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("real.svg", "old");
    std::os::unix::fs::symlink("real.svg", bench.path("link.svg")).expect("a link");
    bench.retrue("unfold coat.svg --piece belt -o link.svg").is_refused().says("exists");
    bench.retrue("unfold coat.svg --piece belt -o link.svg --force").is_true();
    assert!(std::fs::symlink_metadata(bench.path("link.svg")).expect("the link").file_type().is_symlink());
    assert!(bench.text_of("real.svg").contains("belt.upper/m"));
}
