//! What is no pattern sheet: what, where, and the way out.

use crate::{pocket, pocket_with, read, refusal};

/// The refusal of the pocket with one passage put in place of another.
fn with(passage: &str, other: &str) -> String {
    let text = pocket("");
    assert!(text.contains(passage), "{passage}");
    refusal(text.replace(passage, other))
}

fn on_it(element: &str) -> String {
    refusal(pocket(element))
}

fn says(refusal: &str, words: &[&str]) {
    for word in words {
        assert!(refusal.contains(word), "`{word}` is not in: {refusal}");
    }
}

#[test]
fn outlines_that_are_none() {
    says(&with("M 150 150 H 50", "M 150 150 H 57"), &["open", "`low`", "`left`", "7.00 mm", "within 0.5 mm"]);
    says(
        &with("M 150 50 V 150", "M 150 50 C -300 80 -300 120 150 150"),
        &["crosses itself", "right", "left"],
    );
    says(&with("pocket.low", "pocket.top"), &["two edges are named `top`"]);
    says(&with("M 150 50 V 150", "M 150 50 V 50"), &["pocket.right", "length is zero"]);
    says(&with("M 150 50 V 150", "M 150 50 V 90 M 150 90 V 150"), &["pocket.right", "several strokes"]);
    says(&with(r#"right" data-kind"#, r#"right" display="none" data-kind"#), &["pocket.right", "hidden"]);
    says(&with("M 150 50 V 150", "M 150 50 V NaN"), &["pocket.right"]);
    says(&with("M 150 50 V 150", "M 150 50 V 1e38"), &["pocket.right"]);
}

#[test]
fn values_that_are_none() {
    let edge =
        |words: &str| with(r#"right" data-kind="edge""#, &format!(r#"right" data-kind="edge" {words}"#));
    says(&edge(r#"data-allowance="15""#), &["pocket.right", "line 5", "`15` has no unit", "15mm"]);
    says(&edge(r#"data-allowance="-3mm""#), &["pocket.right", "-3mm"]);
    says(&edge(r#"data-finish="hemmed""#), &["hemmed", "seam, hem, fold, free"]);
    says(&edge(r#"data-selvedge="maybe""#), &["maybe", "yes, no"]);
    says(&edge(r#"data-ease="lots" data-sewn-to="pocket.left""#), &["lots", "25mm"]);
    says(&edge(r#"data-origin="pocket.right 3""#), &["data-origin"]);
    let group = |words: &str| with(r#"data-kind="piece""#, &format!(r#"data-kind="piece" {words}"#));
    says(&group(r#"data-cut="0""#), &["line 3", "data-cut", "2 same"]);
    says(&group(r#"data-cut="some""#), &["data-cut"]);
    says(&group(r#"data-cloth="a b""#), &["data-cloth"]);
    says(&group(r#"data-corners="top right: round""#), &["mitre, square, turned-up, jog or point"]);
    says(&group(r#"data-corners="top low: jog""#), &["`top` and `low` do not meet"]);
    says(&group(r#"data-corners="top rihgt: jog""#), &["did you mean `right`?"]);
}

#[test]
fn darts_that_are_none() {
    let dart = |d: &str| on_it(&format!(r#"<path id="pocket.d" data-kind="dart" d="{d}"/>"#));
    says(&dart("M 140 50 L 120 90 L 150 70"), &["pocket.d", "not on one edge"]);
    says(&dart("M 90 60 L 100 90 L 110 60"), &["not on one edge", "10.00 mm from `top`"]);
    says(&dart("M 90 50 L 110 50"), &["no tip"]);
    says(&dart("M 90 50 L 95 90 L 105 90 L 110 50"), &["2 sharp corners", "one tip"]);
    says(&dart("M 90 50 L 100 90 L 110 50 Z"), &["closed triangle", "without Z"]);
    says(&dart("M 90 90 L 95 110 L 105 110 L 110 90 Z"), &["4 sharp corners", "two tips"]);
    says(
        &on_it(r#"<path id="pocket.d" data-kind="dart" data-press="low" d="M 90 50 L 100 90 L 110 50"/>"#),
        &["low"],
    );
    let two = r#"<path id="pocket.d" data-kind="dart" d="M 90 50 L 100 90 L 110 50"/>
        <path id="pocket.e" data-kind="dart" d="M 105 50 L 110 90 L 120 50"/>"#;
    says(&on_it(two), &["pocket.e", "`d`", "`top`"]);
    says(&on_it(&two.replace("pocket.e", "pocket.d")), &["another dart of this name"]);
}

/// Mouth ends within half a millimetre of the edge are laid on it.
#[test]
fn mouths_are_laid_on_their_edge() {
    let text = pocket(r#"<path id="pocket.d" data-kind="dart" d="M 90 49.6 L 100 90 L 110 50.4"/>"#);
    let pattern = read(text);
    let dart = &pattern.pieces().next().unwrap().darts[0];
    assert_eq!((dart.legs().0.start().y, dart.legs().1.start().y), (50.0, 50.0));
}

#[test]
fn marks_that_are_none() {
    says(
        &on_it(r#"<path id="pocket.n" data-kind="notch" d="M 100 60 L 100 66"/>"#),
        &["pocket.n", "10.00 mm", "`top`"],
    );
    says(
        &on_it(r#"<path id="pocket.n" data-kind="notch" data-count="3" d="M 100 50 V 44"/>"#),
        &["3", "1, 2"],
    );
    says(&on_it(r#"<path id="pocket.w" data-kind="level" d="M 50 80 Q 100 90 150 80"/>"#), &["curved"]);
    says(&on_it(r#"<path id="pocket.w" data-kind="level" data-girth="x" d="M 50 80 H 150"/>"#), &["yes, no"]);
    says(&on_it(r#"<path data-kind="level" d="M 50 80 H 150"/>"#), &["no name", "front.side"]);
    says(&on_it(r#"<path id="pocket.a b" data-kind="level" d="M 50 80 H 150"/>"#), &["a b"]);
    let bent = r#"<path id="pocket.g" data-kind="grainline" d="M 80 60 L 90 100 L 80 140"/>"#;
    says(&on_it(bent), &["not straight"]);
    let straight = r#"<path id="pocket.g" data-kind="grainline" d="M 80 60 V 140"/>"#;
    says(&on_it(&format!("{straight}{}", straight.replace(".g", ".h"))), &["another grainline"]);
    says(&on_it(&straight.replace(" d=", " data-arrows=\"left\" d=")), &["both, start, end"]);
}

/// A slip in a kind would leave an edge, a dart or a whole piece out.
#[test]
fn kinds_that_are_slips_of_others() {
    for (slip, meant) in [("egde", "edge"), ("Edge", "edge"), ("edges", "edge")] {
        let text = with(r#"right" data-kind="edge""#, &format!(r#"right" data-kind="{slip}""#));
        says(&text, &["pocket.right", "line 5", slip, &format!("did you mean \"{meant}\"?")]);
    }
    says(&with(r#"data-kind="piece""#, r#"data-kind="peice""#), &["line 3", "did you mean \"piece\"?"]);
    says(&on_it(r#"<path id="pocket.g" data-kind="grain" d="M 80 60 V 140"/>"#), &["\"grainline\""]);
    let seams = pocket("").replace(r#"data-kind="edge""#, r#"data-kind="seam""#);
    says(
        &refusal(seams),
        &["has no edges", "pocket.top", "data-kind=\"seam\"", "edge, dart, pleat, grainline"],
    );
}

#[test]
fn two_pieces_of_one_name() {
    let twice =
        pocket_with("", r#"<g id="pocket" data-kind="piece"><path id="pocket.x" d="M0 0 H9 V9 Z"/></g>"#, "");
    says(&refusal(twice), &["a piece is named `pocket` already"]);
}

#[test]
fn records_that_are_none() {
    let record = |text: &str| {
        refusal(pocket_with("", &format!(r#"<metadata data-kind="record">{text}</metadata>"#), ""))
    };
    for text in
        ["", "{", "[]", "{}", r#"{"version":99,"steps":[],"ledger":null}"#, r#"{"version":1,"steps":7}"#]
    {
        says(&record(text), &["record", "take the metadata element out"]);
    }
    says(&record(r#"{"version":99,"steps":[]}"#), &["99"]);
}

/// More edges than any piece has are refused at once, rather than tried against one another.
#[test]
fn a_piece_of_countless_edges() {
    let many: String =
        (0..20_000).map(|i| format!(r#"<path id="pocket.e{i}" data-kind="edge" d="M 9 9 h 1"/>"#)).collect();
    says(&on_it(&many), &["20004 edges", "from corner to corner"]);
}

/// As deep as the drawing reader lets through, on a thread with little stack of its own.
#[test]
fn deep_groups_are_read_on_a_small_stack() {
    let deep = format!("{}{}{}", "<g>".repeat(400), r#"<path d="M0 0 H9"/>"#, "</g>".repeat(400));
    let around = pocket("").replace("<g id", &format!("{}<g id", "<g>".repeat(400)));
    let around = around.replace("</g>", &format!("</g>{}", "</g>".repeat(400)));
    let work = move || {
        assert_eq!(read(pocket_with(&deep, &deep, "")).pieces().len(), 1);
        assert_eq!(read(&around).pieces().len(), 1);
    };
    std::thread::Builder::new().stack_size(256 << 10).spawn(work).unwrap().join().unwrap();
}
