//! Every refusal: exit code 2, nothing written, and a message that says what, where, and the way out.

mod common;

use common::{SKIRT, Workroom, skirt_with};

/// Runs `check` on a sheet, which must be refused with all of the words, and hands the outcome on.
#[track_caller]
fn refuses(sheet: impl AsRef<[u8]>, words: &[&str]) {
    let room = Workroom::new().with("faulty.svg", sheet);
    let mut outcome = room.retrue(["check", "faulty.svg"]).is_refused().says("faulty.svg");
    for word in words {
        outcome = outcome.says(word);
    }
    room.retrue(["unfold", "faulty.svg", "--piece", "back", "-o", "new.svg"]).is_refused();
    assert!(!room.path("new.svg").exists());
}

#[test]
fn the_skirt_that_the_faults_are_put_into_is_read() {
    Workroom::new().retrue(["show", "skirt.svg"]).is_true().prints("front.side");
}

#[test]
fn a_sheet_without_a_physical_unit() {
    let unitless = skirt_with(r#" width="700mm" height="500mm""#, "");
    refuses(&unitless, &["physical size", "--unit", "--known"]);
    let room = Workroom::new().with("unitless.svg", unitless);
    room.retrue(["show", "unitless.svg", "--unit", "mm"]).is_true().prints("400 mm");
    room.retrue(["show", "unitless.svg", "--unit", "cm"]).is_true().prints("4000 mm");
    room.retrue(["show", "unitless.svg", "--known", "front.side=80cm"]).is_true().prints("800 mm");
    room.retrue(["show", "unitless.svg", "--known", "front.sid=80cm"]).is_refused().says("front.side");
}

#[test]
fn an_open_outline() {
    refuses(skirt_with("M 250 450 H 50", "M 250 450 H 57"), &["outline is open", "hem", "centre", "7.00 mm"]);
}

#[test]
fn an_outline_that_crosses_itself() {
    let crossed = skirt_with("M 250 50 V 450", "M 250 50 C -300 150 -300 350 250 450");
    refuses(crossed, &["crosses itself", "side", "centre"]);
}

#[test]
fn two_edges_of_one_name() {
    refuses(skirt_with("front.hem", "front.waist"), &["waist"]);
}

#[test]
fn an_edge_sewn_to_something_that_does_not_exist() {
    refuses(skirt_with("back.side\"", "back.sied\""), &["back", "sied", "did you mean `side`?"]);
    refuses(skirt_with("back.side\"", "bakc.side\""), &["bakc", "did you mean `back`?"]);
}

#[test]
fn a_dart_whose_mouth_is_not_on_one_edge() {
    refuses(skirt_with("M 140 50 L 150 150 L 160 50", "M 240 50 L 200 150 L 250 70"), &["waist-dart"]);
    refuses(skirt_with("M 140 50 L 150 150 L 160 50", "M 140 90 L 150 190 L 160 90"), &["waist-dart"]);
}

#[test]
fn numbers_that_are_none_or_beyond_every_sheet() {
    refuses(skirt_with("M 250 50 V 450", "M 250 50 V NaN"), &["front.side"]);
    refuses(skirt_with("M 250 50 V 450", "M 250 50 V 1e38"), &["front.side"]);
    refuses(skirt_with("M 250 50 V 450", "M 250 50 V 1e400"), &["front.side"]);
}

#[test]
fn path_data_that_break_off() {
    refuses(skirt_with("M 250 50 V 450", "M 250 50 C 250 100 250"), &["front.side", "faulty.svg:5"]);
}

#[test]
fn an_edge_of_no_length() {
    refuses(skirt_with("M 250 50 V 450", "M 250 50 V 50"), &["front.side"]);
}

#[test]
fn a_file_that_is_no_svg() {
    refuses("<html><body/></html>", &["not an SVG", "html"]);
    refuses("piece,edge,length", &["not valid XML"]);
    refuses([0x1f, 0x8b, 8, 0, 0], &["svgz", "gzip"]);
    refuses("%PDF-1.4", &["PDF"]);
    refuses([b'<', 0xff, 0xfe, 0xc3, 0x28], &["faulty.svg"]);
    refuses(SKIRT.trim_end().trim_end_matches("</svg>"), &["not valid XML"]);
}

#[test]
fn a_sheet_without_a_piece() {
    refuses(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm" viewBox="0 0 9 9"/>"#,
        &["no piece", "data-kind=\"piece\""],
    );
}

#[test]
fn an_empty_file() {
    refuses("", &["empty"]);
    Workroom::new().retrue_with_input(["check", "-"], "").is_refused().says("standard input").says("empty");
}

#[test]
fn a_directory_in_place_of_a_file() {
    let room = Workroom::new();
    std::fs::create_dir(room.path("folder")).unwrap();
    room.retrue(["check", "folder"]).is_refused().says("folder").says("directory");
    room.retrue(["unfold", "skirt.svg", "--piece", "back", "-o", "folder"]).is_refused().says("directory");
    room.retrue(["unfold", "skirt.svg", "--piece", "back", "-o", "folder", "--force"]).is_refused();
    room.retrue(["apply", "folder"]).is_refused().says("directory");
}

#[test]
fn a_file_that_is_not_there() {
    let room = Workroom::new();
    room.retrue(["show", "skrit.svg"]).is_refused().says("no such file").says("did you mean `skirt.svg`?");
    room.retrue(["show", "nowhere/skirt.svg"]).is_refused().says("no such file");
    room.retrue(["apply", "nothing.toml"]).is_refused().says("no such file").says("nothing.toml");
    let into = ["unfold", "skirt.svg", "--piece", "back", "-o", "nowhere/new.svg"];
    room.retrue(into).is_refused().says("no folder `nowhere`");
}

#[cfg(unix)]
#[test]
fn a_file_that_may_not_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let room = Workroom::new();
    std::fs::set_permissions(room.path("skirt.svg"), std::fs::Permissions::from_mode(0o000)).unwrap();
    let readable_all_the_same = std::fs::read(room.path("skirt.svg")).is_ok();
    let outcome = room.retrue(["show", "skirt.svg"]);
    if readable_all_the_same {
        outcome.is_true();
    } else {
        outcome.is_refused().says("may not read");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_that_fails_while_it_is_read() {
    Workroom::new().retrue(["show", "/proc/self/mem"]).is_refused().says("cannot be read");
}

#[test]
fn a_place_outside_its_edge() {
    let room = Workroom::new();
    let split =
        |line| room.retrue(["split", "skirt.svg", "--piece", "front", "--line", line, "-o", "new.svg"]);
    split("waist@500mm > hem@50%").is_refused().says("waist").says("500");
    split("waits@50% > hem@50%").is_refused().says("waits").says("did you mean `waist`?");
    split("waist@50 > hem@50%").is_refused().says("50");
    split("waist@101% > hem@50%").is_refused().says("101%");
    assert_eq!(room.files(), ["skirt.svg"]);
}

#[test]
fn a_line_that_leaves_the_piece_or_cuts_off_nothing() {
    let room = Workroom::new();
    let split =
        |line| room.retrue(["split", "skirt.svg", "--piece", "front", "--line", line, "-o", "new.svg"]);
    split("side@20% > (400mm, 200mm) > side@80%").is_refused().says("skirt.svg: front");
    split("hem@10% > hem@90%").is_refused().says("skirt.svg: front");
    split("beside centre at 90cm").is_refused();
    assert_eq!(room.files(), ["skirt.svg"]);
}

#[test]
fn a_cut_across_a_dart() {
    let room = Workroom::new();
    let across = "centre@350mm > side@50mm";
    room.retrue(["split", "skirt.svg", "--piece", "front", "--line", across])
        .is_refused()
        .says("waist-dart")
        .says("pivot-dart");
}

#[test]
fn a_cut_that_makes_three_pieces() {
    let hollow = skirt_with("M 250 450 H 50", "M 250 450 L 150 200 L 50 450");
    let room = Workroom::new().with("hollow.svg", hollow);
    let across = ["split", "hollow.svg", "--piece", "front", "--line", "centre@25% > side@75%"];
    room.retrue(across).is_refused().says("hollow.svg: front");
}

#[test]
fn a_width_that_the_piece_does_not_have() {
    let room = Workroom::new();
    let keep =
        ["move-seam", "skirt.svg", "--seam", "front.side", "--from", "back", "-o", "new.svg", "--to-width"];
    let to = |width| room.retrue(keep.into_iter().chain([width]));
    to("90cm").is_refused().says("90");
    to("0mm").is_refused();
    to("-5cm").is_refused();
    to("18.5").is_refused().says("no unit");
    assert_eq!(room.files(), ["skirt.svg"]);
}

#[test]
fn names_that_nothing_bears() {
    let room = Workroom::new();
    room.retrue(["show", "skirt.svg", "--piece", "frnot"]).is_refused().says("did you mean `front`?");
    room.retrue(["unfold", "skirt.svg", "--piece", "bakc"]).is_refused().says("did you mean `back`?");
    room.retrue(["unfold", "skirt.svg", "--piece", "front"]).is_refused().says("skirt.svg: front");
    room.retrue(["unfodl", "skirt.svg"]).is_refused().says("unfold");
    room.retrue(["unfold", "skirt.svg", "--pieec", "back"]).is_refused().says("--piece");
    room.retrue(["man", "splti"]).is_refused().says("did you mean `split`?");
}

#[test]
fn arguments_that_contradict_or_are_missing() {
    let room = Workroom::new();
    room.retrue(["split", "skirt.svg", "--piece", "front"]).is_refused().says("--line");
    room.retrue(["unfold", "--piece", "front"]).is_refused().says("PATTERN");
    room.retrue(["show", "skirt.svg", "--cm", "--in"]).is_refused().says("cannot be used with");
    room.retrue(["show", "skirt.svg", "--unit", "ell"]).is_refused().says("ell");
    room.retrue(["show", "skirt.svg", "--known", "100mm"]).is_refused().says("scale=100mm");
    room.retrue(["show", "skirt.svg", "--color", "pink"]).is_refused().says("pink");
    room.retrue(["check", "skirt.svg", "--kink", "nan"]).is_refused().says("degrees");
    room.retrue(["check", "skirt.svg", "--length", "0.5"]).is_refused().says("no unit");
}

#[test]
fn a_file_in_the_way() {
    let room = Workroom::new().with("old.svg", "precious");
    let unfold = ["unfold", "skirt.svg", "--piece", "back", "-o", "old.svg"];
    room.retrue(unfold).is_refused().says("old.svg").says("exists").says("--force");
    assert_eq!(room.text("old.svg"), "precious");
    room.retrue(["unfold", "skirt.svg", "--piece", "back", "-o", "old.svg", "--force"]).is_true();
    assert!(room.text("old.svg").contains("<svg"));
    assert_eq!(room.files(), ["old.svg", "skirt.svg"]);
}

#[test]
fn a_refused_step_leaves_the_old_file_even_with_force() {
    let room = Workroom::new().with("old.svg", "precious");
    room.retrue(["unfold", "skirt.svg", "--piece", "front", "-o", "old.svg", "--force"]).is_refused();
    assert_eq!(room.text("old.svg"), "precious");
}

#[test]
fn a_json_report_and_a_pattern_on_one_stream() {
    let room = Workroom::new();
    let unfold = ["unfold", "skirt.svg", "--piece", "back", "--json"];
    room.retrue(unfold).is_refused().says("--json").says("-o").says("--dry-run");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_file_as_it_was() {
    let room = Workroom::new().with("old.svg", "precious");
    let full =
        room.shell("trap '' XFSZ; ulimit -f 1; $RETRUE unfold skirt.svg --piece back -o old.svg --force");
    full.is_refused().says("old.svg").says("no room");
    assert_eq!(room.text("old.svg"), "precious");
    assert_eq!(room.files(), ["old.svg", "skirt.svg"]);
    room.shell("$RETRUE unfold skirt.svg --piece back > /dev/full").is_refused().says("standard output");
    room.shell("$RETRUE show skirt.svg > /dev/full").is_refused().says("standard output");
}

#[cfg(target_os = "linux")]
#[test]
fn a_kill_in_the_middle_leaves_the_old_file_as_it_was() {
    let room = Workroom::new().with("old.svg", "precious");
    let killed = room.shell("ulimit -f 1; exec $RETRUE unfold skirt.svg --piece back -o old.svg --force");
    assert_eq!(killed.code, None, "the limit on file sizes did not end it: {killed:?}");
    assert_eq!(room.text("old.svg"), "precious");
}

#[test]
fn a_file_too_large_to_read() {
    let room = Workroom::new();
    let file = std::fs::File::create(room.path("large.svg")).unwrap();
    file.set_len(300 << 20).unwrap();
    room.retrue(["show", "large.svg"]).is_refused().says("large.svg").says("MB");
}
