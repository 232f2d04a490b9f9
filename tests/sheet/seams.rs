//! How seams are declared.

use retrue::pattern::Travel;
use retrue::sheet::SheetNote;
use retrue::units::Length;

use crate::compare::seams;
use crate::{read, refusal, whole};

/// Two pieces side by side, four edges each, with words on some of their edges.
fn pair(words: &[(&str, &str)]) -> String {
    row(&["a", "b"], words)
}

/// Pieces side by side, four edges each, with words on some of their edges.
fn row(pieces: &[&str], words: &[(&str, &str)]) -> String {
    let mut text =
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="800mm" height="200mm" viewBox="0 0 800 200">"#
            .to_owned();
    for (place, piece) in pieces.iter().enumerate() {
        let x = 20.0 + 200.0 * place as f64;
        text.push_str(&format!(r#"<g id="{piece}" data-kind="piece" data-cut="2">"#));
        let (r, low) = (x + 100.0, 120.0);
        for (edge, d) in [
            ("top", format!("M {x} 20 H {r}")),
            ("right", format!("M {r} 20 V {low}")),
            ("hem", format!("M {r} {low} H {x}")),
            ("left", format!("M {x} {low} V 20")),
        ] {
            let id = format!("{piece}.{edge}");
            let says = words.iter().filter(|(on, _)| *on == id).map(|(_, words)| *words);
            let finish = if edge == "hem" { r#"data-finish="hem""# } else { "" };
            let says: String = says.collect();
            text.push_str(&format!(r#"<path id="{id}" data-kind="edge" {finish} {says} d="{d}"/>"#));
        }
        text.push_str("</g>");
    }
    text + "</svg>"
}

fn eases(words: &[(&str, &str)]) -> Vec<f64> {
    let pattern = read(pair(words));
    let on_a = |seam: &retrue::pattern::Seam| seam.first.names().starts_with("a.");
    let ease = |seam: &retrue::pattern::Seam| if on_a(seam) { seam.ease.mm() } else { -seam.ease.mm() };
    pattern.seams().iter().map(ease).collect()
}

#[test]
fn a_seam_may_be_declared_on_either_side_or_both() {
    let once = read(pair(&[("a.right", r#"data-sewn-to="b.left""#)]));
    let other = read(pair(&[("b.left", r#"data-sewn-to="a.right""#)]));
    let both =
        read(pair(&[("a.right", r#"data-sewn-to="b.left""#), ("b.left", r#"data-sewn-to="a.right""#)]));
    assert_eq!(once.seams().len(), 1);
    assert_eq!(seams(&once), seams(&other));
    assert_eq!(seams(&once), seams(&both));
}

#[test]
fn ease_may_stand_on_the_side_that_does_not_declare_the_seam() {
    let declared = ("b.left", r#"data-sewn-to="a.right""#);
    assert_eq!(eases(&[declared, ("a.right", r#"data-ease="5mm""#)]), [5.0]);
    assert_eq!(eases(&[("b.left", r#"data-sewn-to="a.right" data-ease="5mm""#)]), [-5.0]);
    let twice = [("b.left", r#"data-sewn-to="a.right" data-ease="-5mm""#), ("a.right", r#"data-ease="5mm""#)];
    assert_eq!(eases(&twice), [5.0]);
    let differ = [("b.left", r#"data-sewn-to="a.right" data-ease="2mm""#), ("a.right", r#"data-ease="5mm""#)];
    let told = refusal(pair(&differ));
    for said in ["different ease", "a.right", "b.left", "5mm here", "-2mm"] {
        assert!(told.contains(said), "{told}");
    }
    assert!(refusal(pair(&[("a.top", r#"data-ease="5mm""#)])).contains("not for which seam"));
    let more = [("a.right", r#"data-sewn-to="b.left" data-ease="5mm; 1mm""#)];
    assert!(refusal(pair(&more)).contains("ease is given for 2 seams"));
}

/// A sheet says so itself where only one side of a seam can; else it is told.
#[test]
fn ease_under_zero_is_told_where_the_other_side_could_give_it() {
    let notes = |words: &[(&str, &str)]| {
        let notes = whole(pair(words)).notes.into_iter().filter(|note| *note != SheetNote::NoAllowances);
        notes.map(|note| note.to_string()).collect::<Vec<_>>()
    };
    let told = notes(&[("b.left", r#"data-sewn-to="a.right" data-ease="-5mm""#)]);
    assert!(told.len() == 1 && told[0].contains("a.right is the longer side"), "{told:?}");
    assert!(told[0].contains("data-ease=\"5mm\""), "{told:?}");
    let both = [("b.left", r#"data-sewn-to="a.right" data-ease="-5mm""#), ("a.right", r#"data-ease="5mm""#)];
    assert_eq!(notes(&both), Vec::<String>::new());
}

#[test]
fn layers_have_their_own_ease() {
    let layers = [("a.right", r#"data-sewn-to="b.left; b.right" data-ease="0mm; 3mm""#)];
    assert_eq!(eases(&layers), [0.0, 3.0]);
    let pattern = read(pair(&layers));
    let back = read(retrue::sheet::write(&pattern).unwrap());
    assert_eq!(seams(&pattern), seams(&back));
}

/// `from` is heard on whichever side it stands.
#[test]
fn from_may_stand_on_either_side() {
    let plain = [("a.right", r#"data-sewn-to="b.right""#)];
    let straight =
        [("a.right", r#"data-sewn-to="b.right from top""#), ("b.right", r#"data-sewn-to="a.right""#)];
    let other = [("a.right", r#"data-sewn-to="b.right""#), ("b.right", r#"data-sewn-to="a.right from top""#)];
    let both = [
        ("a.right", r#"data-sewn-to="b.right from top""#),
        ("b.right", r#"data-sewn-to="a.right from top""#),
    ];
    let expected = seams(&read(pair(&plain)));
    for words in [&straight, &other, &both] {
        assert_eq!(seams(&read(pair(words))), expected);
    }
    let unknown =
        [("b.right", r#"data-sewn-to="a.right from left""#), ("a.right", r#"data-sewn-to="b.right""#)];
    assert!(refusal(pair(&unknown)).contains("from left"));
}

/// Each edge names the whole run of the other side; the reader puts the two together.
#[test]
fn runs_of_several_edges_on_both_sides() {
    let whole = [
        ("a.right", r#"data-sewn-to="b.left b.top" data-ease="4mm""#),
        ("a.top", r#"data-sewn-to="b.left b.top""#),
        ("b.left", r#"data-sewn-to="a.right a.top""#),
        ("b.top", r#"data-sewn-to="a.right a.top""#),
    ];
    let pattern = read(pair(&whole));
    let [seam] = pattern.seams() else { panic!("{:?}", seams(&pattern)) };
    assert_eq!((seam.first.names(), seam.second.names()), ("a.top a.right".into(), "b.top b.left".into()));
    assert_eq!(seam.ease, Length::from_mm(4.0));
    let back = read(retrue::sheet::write(&pattern).unwrap());
    assert_eq!(seams(&pattern), seams(&back));
}

#[test]
fn sides_that_do_not_agree_are_refused() {
    let runs = [
        ("a.right", r#"data-sewn-to="b.left b.top""#),
        ("b.left", r#"data-sewn-to="a.right""#),
        ("b.top", r#"data-sewn-to="a.right a.top""#),
    ];
    assert!(refusal(pair(&runs)).contains("do not say the same"));
    let copies = [("a.right", r#"data-sewn-to="b.left""#), ("b.left", r#"data-sewn-to="a.right/m""#)];
    assert!(refusal(pair(&copies)).contains("do not say the same"));
}

/// Both copies of a pair may be sewn to one another crosswise, said from either side.
#[test]
fn mirrored_copies_are_the_same_seam_said_from_either_side() {
    let once = read(pair(&[("a.right", r#"data-sewn-to="b.left/m""#)]));
    let both =
        read(pair(&[("a.right", r#"data-sewn-to="b.left/m""#), ("b.left", r#"data-sewn-to="a.right/m""#)]));
    assert_eq!(once.seams().len(), 1);
    assert_eq!(seams(&once), seams(&both));
    let own = read(pair(&[("a.right", r#"data-sewn-to="a.right/m""#)]));
    assert!(own.seams()[0].is_to_own_mirror());
}

#[test]
fn seams_that_cannot_be_are_refused() {
    let says = |words: &str| refusal(pair(&[("a.right", &format!("data-sewn-to=\"{words}\""))]));
    assert!(says("b.lfet").contains("did you mean `left`?"));
    assert!(says("c.left").contains("no piece named `c`"));
    assert!(says("a.right").contains("sewn to itself"));
    assert!(says("b.left b.left").contains("twice"));
    assert!(says("left").contains("write it like front.side"));
    let fold = refusal(pair(&[("a.right", r#"data-finish="fold" data-sewn-to="b.left""#)]));
    assert!(fold.contains("fold") && fold.contains("a.right"));
}

/// Two pockets side by side, each of two edges, or of one that closes on itself, with words on an edge of the first.
fn pockets(edges: &[(&str, &str)], words: &str) -> String {
    let mut text =
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="200mm" viewBox="0 0 400 200">"#
            .to_owned();
    for (piece, x) in [("a", 20), ("b", 220)] {
        text.push_str(&format!(
            r#"<g id="{piece}" data-kind="piece" data-cut="2" transform="translate({x} 20)">"#
        ));
        for (edge, d) in edges {
            let says = if piece == "a" && *edge == "curve" { words } else { "" };
            text.push_str(&format!(r#"<path id="{piece}.{edge}" data-kind="edge" {says} d="{d}"/>"#));
        }
        text.push_str("</g>");
    }
    text + "</svg>"
}

/// Where both ends of an edge meet the same neighbour, or the edge itself, a corner says at which the sewing begins, and
/// is written and read back.
#[test]
fn a_seam_between_rings_begins_at_a_corner() {
    let pocket = [("top", "M 0 0 H 90"), ("curve", "M 90 0 C 90 120 0 120 0 0")];
    let ring = [("curve", "M 0 0 H 90 C 90 120 0 120 0 0")];
    for edges in [&pocket[..], &ring[..]] {
        for (corner, travel) in [("0%", Travel::Clockwise), ("100%", Travel::Anticlockwise)] {
            for copy in ["b.curve", "b.curve/m"] {
                let sewn = format!(r#"data-sewn-to="{copy} from {copy}@{corner}""#);
                let pattern = read(pockets(edges, &sewn));
                let [seam] = pattern.seams() else { panic!("one seam") };
                assert_eq!(seam.second.edges()[0].travel, travel, "{sewn}");
                let written = retrue::sheet::write(&pattern).unwrap();
                assert_eq!(seams(&read(&written)), seams(&pattern), "{sewn}");
            }
        }
        let wrong = |from: &str| refusal(pockets(edges, &format!(r#"data-sewn-to="b.curve from {from}""#)));
        assert!(wrong("b.curve@50%").contains("front.armhole@0%"));
        assert!(wrong("a.curve@0%").contains("neither starts nor ends there"));
    }
    let unsaid = refusal(pockets(&pocket, r#"data-sewn-to="b.curve""#));
    assert!(unsaid.contains("from b.curve@0%") && unsaid.contains("from b.curve@100%"), "{unsaid}");
}

/// An armhole is a ring: sewn together at the shoulder and at the side, it may be walked either way round. What is sewn to
/// it in two parts begins where both sides say that they begin.
#[test]
fn both_sides_of_a_ring_say_where_it_begins() {
    let mut found = Vec::new();
    for (first, second) in [("0%", "0%"), ("0%", "100%"), ("100%", "0%"), ("100%", "100%")] {
        let outer = format!(r#"data-sewn-to="c.right d.left from c.right@{second}""#);
        let inner = format!(r#"data-sewn-to="a.right b.left from a.right@{first}""#);
        let pattern = read(row(
            &["a", "b", "c", "d"],
            &[
                ("a.right", &outer),
                ("b.left", &outer),
                ("c.right", &inner),
                ("d.left", &inner),
                ("a.top", r#"data-sewn-to="b.top""#),
                ("a.hem", r#"data-sewn-to="b.hem""#),
                ("c.top", r#"data-sewn-to="d.top""#),
                ("c.hem", r#"data-sewn-to="d.hem""#),
            ],
        ));
        let written = retrue::sheet::write(&pattern).unwrap();
        assert_eq!(seams(&read(&written)), seams(&pattern), "{first} {second}");
        let is_new = !found.contains(&seams(&pattern));
        assert!(is_new, "{first} {second}");
        found.push(seams(&pattern));
    }
}

/// Where the notches alone tell which ends of a seam meet, the sheet that is written says it: the same notch moved by hand to where
/// it would meet the other way round does not turn the seam about.
#[test]
fn a_notch_moved_by_hand_does_not_turn_its_seam() {
    use retrue::truing::{FindingKind, Limits, check};

    let text = retrue::sheet::write(&read(crate::fixture("awkward"))).unwrap();
    let notch = text.lines().find(|line| line.contains("id=\"tab.top-notch\"")).unwrap();
    let moved = |by: f64| {
        let path = notch.split(" d=\"").nth(1).and_then(|rest| rest.split('"').next()).unwrap();
        let mut line = kurbo::BezPath::from_svg(path).unwrap();
        line.apply_affine(kurbo::Affine::translate((by, 0.0)));
        read(text.replace(notch, &notch.replace(path, &line.to_svg())))
    };
    let drift = |by: f64| {
        let found = check(&moved(by), &Limits::default());
        found
            .iter()
            .filter(|found| found.kind == FindingKind::NotchDrift)
            .map(|found| found.number)
            .fold(0.0, f64::max)
    };
    for by in [3.0, 8.0, 16.0, 20.0, 24.0] {
        let told = drift(by);
        assert!((told - by).abs() < 0.01, "moved {by}: {told}");
    }
}
