//! How elements are told apart: by kind, by class, by id, through `use` and layers.

use retrue::pattern::{Snap, Snapped};
use retrue::sheet::{Meant, SheetNote};

use crate::compare::assert_same;
use crate::{FIXTURES, after_trips, fixture, pocket, pocket_with, read, refusal, whole};

fn names(text: &str) -> Vec<String> {
    read(text).pieces().map(|piece| piece.name().to_string()).collect()
}

/// Where a drawing program has lost the kinds, the classes serve.
#[test]
fn classes_serve_in_place_of_kinds() {
    let written = after_trips(&String::from_utf8(fixture("dress")).unwrap(), 1);
    let by_class: String = without(&written, "data-kind");
    let (a, b) = (read(&written), read(&by_class));
    assert_same(&a, &b);
}

/// A text without any attribute of a name, but for the record's and our own style's.
fn without(text: &str, attribute: &str) -> String {
    let mut rest = text;
    let mut out = String::new();
    let needle = format!(" {attribute}=\"");
    while let Some(at) = rest.find(&needle) {
        let value = &rest[at + needle.len()..];
        let end = value.find('"').unwrap();
        let tag = rest[..at].rfind('<').map_or("", |open| &rest[open..at]);
        if tag.starts_with("<style") || tag.starts_with("<metadata") {
            out.push_str(&rest[..at + needle.len() + end + 1]);
        } else {
            out.push_str(&rest[..at]);
        }
        rest = &value[end + 1..];
    }
    out + rest
}

/// Where all but the ids is lost, lines named `piece.name` in a group of the piece's name are its edges, and circles its
/// points.
#[test]
fn ids_alone_serve_for_edges_and_points() {
    let bare = without(
        &pocket(r#"<circle id="pocket.dot" cx="90" cy="90" r="2"/><path d="M 70 70 H 80"/>"#),
        "data-kind",
    );
    let pattern = read(&bare);
    let piece = pattern.pieces().next().unwrap();
    assert_eq!(piece.edges().len(), 4);
    assert_eq!(piece.points[0].name.as_str(), "dot");
    assert_eq!(piece.marks.len(), 1);
}

#[test]
fn a_group_brought_in_by_use_is_a_piece_of_the_name_of_its_use() {
    let bare = without(&pocket_with("", "", ""), "data-kind")
        .replace("</svg>", r##"<use id="other" href="#pocket" x="150"/></svg>"##);
    let pattern = read(&bare);
    assert_eq!(names(&bare), ["pocket", "other"]);
    let other = pattern.piece(&"other".parse().unwrap()).unwrap();
    assert_eq!(other.edges()[0].name.as_str(), "top");
    assert_eq!(other.bounds().x0, 200.0);
    assert_eq!(names(&after_trips(&bare, 2)), ["pocket", "other"]);
}

/// What a `use` says goes before what it brings in.
#[test]
fn a_use_overrides_what_its_piece_says() {
    let text = pocket_with("", "", "").replace(
        "</svg>",
        r##"<use id="other" href="#pocket" x="150" data-cut="2" data-cloth="lining"/></svg>"##,
    );
    let pattern = read(&text);
    let other = pattern.piece(&"other".parse().unwrap()).unwrap();
    assert_eq!((other.cut.to_string(), other.cloth.as_str()), ("2".to_owned(), "lining"));
}

#[test]
fn edges_come_in_any_order_and_direction() {
    let shuffled = pocket("")
        .replace("M 150 50 V 150", "M 150 150 V 50")
        .replace("M 50 150 V 50", "M 50 50 V 150")
        .replacen("pocket.top", "pocket.x", 1)
        .replacen("pocket.low", "pocket.top", 1)
        .replacen("pocket.x", "pocket.low", 1);
    let pattern = read(&shuffled);
    let piece = pattern.pieces().next().unwrap();
    assert!((piece.outline().area() - 1e4).abs() < 1e-9);
    assert_eq!(piece.edges().len(), 4);
}

#[test]
fn welded_gaps_are_told_with_the_names_of_the_ends() {
    let gap = |d: &str| told(&pocket("").replace("M 150 150 H 50", d));
    assert_eq!(gap("M 150 150.04 H 50"), []);
    let notes = gap("M 150 150.3 L 50 150");
    let [SheetNote::Snapped(Snapped { how: Snap::Joined { ends, starts }, by: gap, .. })] = notes.as_slice()
    else {
        panic!("{notes:?}")
    };
    assert_eq!((ends.as_str(), starts.as_str()), ("right", "low"));
    assert!((gap - 0.3).abs() < 1e-9);
    assert!(notes[0].to_string().contains("0.30 mm"));
}

/// What was tolerated, apart from that the pocket has no allowances.
fn told(text: &str) -> Vec<SheetNote> {
    whole(text).notes.into_iter().filter(|note| *note != SheetNote::NoAllowances).collect()
}

/// The pocket with these attributes on its edges.
fn edges_saying(top: &str, right: &str, low: &str, left: &str) -> String {
    [("top", top), ("right", right), ("low", low), ("left", left)]
        .into_iter()
        .fold(pocket(""), |text, (edge, says)| {
            text.replace(&format!("pocket.{edge}\" "), &format!("pocket.{edge}\" {says} "))
        })
}

/// A misspelt allowance is none: nothing is counted as nothing in silence.
#[test]
fn edges_without_an_allowance_are_told_once_for_their_piece() {
    const GIVEN: &str = r#"data-allowance="15mm""#;
    let sentences = |text: &str| whole(text).notes.iter().map(ToString::to_string).collect::<Vec<_>>();
    assert_eq!(whole(pocket("")).notes, [SheetNote::NoAllowances]);
    assert_eq!(whole(edges_saying(GIVEN, GIVEN, GIVEN, r#"data-allowance="0mm""#)).notes, []);
    let free = [r#"data-finish="free""#, r#"data-finish="fold""#, r#"data-selvedge="yes""#];
    assert_eq!(whole(edges_saying(GIVEN, free[0], free[1], free[2])).notes, []);
    assert_eq!(whole(edges_saying(free[0], free[0], free[1], free[2])).notes, []);
    let two = sentences(&edges_saying(GIVEN, GIVEN, r#"data-finish="hem""#, ""));
    assert!(two.len() == 1 && two[0].starts_with("pocket: `low`, `left` give no allowance"), "{two:?}");
    let one = sentences(&edges_saying(GIVEN, GIVEN, GIVEN, ""));
    assert!(one[0].contains("`left` gives no allowance: taken as 0 mm"), "{one:?}");
    for fixture in FIXTURES.iter().map(|name| crate::fixture(name)) {
        assert_eq!(whole(fixture).notes, []);
    }
}

#[test]
fn attributes_that_are_not_read_are_told_with_what_was_meant() {
    let unread = |text: String| -> Vec<(String, usize, Meant)> {
        let unread = whole(text).notes.into_iter().filter_map(|note| match note {
            SheetNote::UnreadAttribute { name, count, meant, .. } => Some((name, count, meant)),
            _ => None,
        });
        unread.collect()
    };
    let name =
        |written: &str, count, meant: &str| vec![(written.to_owned(), count, Meant::Name(meant.to_owned()))];
    for wrong in ["data-alowance", "data-allowence", "data-Allowance", "allowance"] {
        let says = format!(r#"{wrong}="15mm""#);
        assert_eq!(unread(edges_saying(&says, "", &says, "")), name(wrong, 2, "data-allowance"), "{wrong}");
    }
    let on_top = |says: &str| unread(edges_saying(says, "", "", ""));
    assert_eq!(on_top(r#"data-sewn_to="pocket.low""#), name("data-sewn_to", 1, "data-sewn-to"));
    assert_eq!(on_top(r#"data-name="top" data-note="x" stroke="red" data-id="4""#), []);
    let group = pocket("").replace("data-kind=\"piece\"", r#"data-kind="piece" data-allowance="15mm""#);
    assert_eq!(unread(group), [("data-allowance".to_owned(), 1, Meant::On("an edge".to_owned()))]);
}

#[test]
fn a_kind_that_is_not_known_is_told_and_kept() {
    let text = pocket(r#"<path id="pocket.zip" data-kind="zipper" d="M 70 70 H 80"/>"#);
    assert!(matches!(&told(&text)[..], [SheetNote::UnknownKind { kind, .. }] if kind == "zipper"));
    assert_eq!(whole(text).pattern.pieces().next().unwrap().marks.len(), 1);
}

/// A copied piece brings the ids of its edges along; they are read by their names within it.
#[test]
fn ids_that_stand_twice_are_told() {
    let tab = |id: &str| {
        format!(r#"<g id="tab" data-kind="piece"><path id="{id}" data-kind="edge" d="M0 0 H9 V9 Z"/></g>"#)
    };
    let repeated = |id: &str| told(&pocket_with("", &tab(id), ""));
    assert_eq!(repeated("tab.top"), []);
    let notes = repeated("pocket.top");
    let [SheetNote::RepeatedId { again, before: 2, count: 1 }] = &notes[..] else { panic!("{notes:?}") };
    assert_eq!((again.id.as_deref(), again.line), (Some("pocket.top"), 4));
    let used = pocket("").replace("</svg>", r##"<use id="other" href="#pocket" x="150"/></svg>"##);
    assert_eq!(told(&used), []);
}

/// Likely meant to be read, they are not passed over in silence.
#[test]
fn hidden_pieces_and_edges_outside_pieces_are_told() {
    let hidden = r#"<g id="old" data-kind="piece" display="none"><path id="old.a" d="M0 0 H9 V9 Z"/></g>"#;
    let stray =
        r#"<g><path id="a" data-kind="edge" d="M0 0 H9"/><path id="b" data-kind="edge" d="M0 0 V9"/></g>"#;
    let read = whole(pocket_with("", &format!("{hidden}{stray}"), ""));
    assert_eq!(read.pattern.pieces().len(), 1);
    let notes: Vec<String> = read.notes.iter().map(ToString::to_string).collect();
    assert!(notes[0].contains("\"old\"") && notes[0].contains("hidden"), "{notes:?}");
    assert!(notes[1].contains("\"a\"") && notes[1].contains("1 more"), "{notes:?}");
    assert_eq!(read.pattern.background.foreign.len(), 2);
}

#[test]
fn a_piece_without_edges_or_without_a_name_is_refused() {
    let empty = pocket_with("", r#"<g id="lost" data-kind="piece"/>"#, "");
    assert!(refusal(empty).contains("lost: the piece has no edges"));
    let nameless = pocket("").replace(r#"id="pocket" "#, "");
    assert!(refusal(nameless).contains("give its group an id"));
}

#[test]
fn darts_are_split_at_the_tip() {
    let pattern = read(pocket(
        r#"<path id="pocket.curved" data-kind="dart" data-press="right" d="M 110 50 C 108 60 104 70 100 90 C 96 70 92 60 90 50"/>
        <path id="pocket.fish" data-kind="dart" d="M 95 120 L 120 125 L 145 120 L 120 115 Z"/>"#,
    ));
    let piece = pattern.pieces().next().unwrap();
    let [curved, fish] = piece.darts.as_slice() else { panic!("two darts") };
    assert_eq!(curved.tips(), [retrue::curve::Point::new(100.0, 90.0)]);
    let mouth = curved.mouth().unwrap();
    assert_eq!((mouth.edge.as_str(), mouth.from, mouth.to), ("top", 40.0, 60.0));
    assert_eq!(curved.legs().0.start(), retrue::curve::Point::new(90.0, 50.0));
    let tips: Vec<f64> = fish.tips().iter().map(|tip| tip.x).collect();
    assert_eq!(tips, [95.0, 145.0]);
    assert_eq!(fish.legs().0.point_at(26.0).y.round(), 115.0);
}
