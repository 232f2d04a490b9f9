//! What is drawn on a written sheet besides the pattern.

use retrue::curve::{Affine, Point, Rect};
use retrue::drawing::{self, Node};
use retrue::sheet::{self, ReadOptions};

use crate::{FIXTURES, fixture, pocket, read};

fn nodes(text: &str) -> Vec<Node> {
    drawing::read(text.as_bytes(), &ReadOptions::default()).unwrap().in_own_coordinates().nodes
}

fn derived<'a>(piece: &'a Node, shows: &str) -> Vec<&'a Node> {
    piece.children.iter().filter(|node| node.attribute("data-shows") == Some(shows)).collect()
}

fn pieces(nodes: &[Node]) -> impl Iterator<Item = &Node> {
    nodes.iter().filter(|node| node.attribute("data-kind") == Some("piece"))
}

/// The box of a label, as wide as every viewer sets it, before it is turned.
fn text_box(label: &Node) -> (Rect, Affine) {
    let number = |node: &Node, name: &str| {
        let at = node.raw.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
        node.raw[at..].split('"').next().unwrap().parse::<f64>().unwrap()
    };
    let (x, y, size) = (number(label, "x"), number(label, "y"), number(label, "font-size"));
    let half = number(label, "textLength") / 2.0;
    (Rect::new(x - half, y - size * 0.75, x + half, y + size * 0.2), label.to_mm)
}

fn samples(label: &Node) -> Vec<Point> {
    let (area, map) = text_box(label);
    let at = |i: i32, j: i32| {
        let (u, v) = (f64::from(i) / 20.0, f64::from(j) / 4.0);
        map * Point::new(area.x0 + area.width() * u, area.y0 + area.height() * v)
    };
    (0..=20).flat_map(|i| (0..=4).map(move |j| at(i, j))).collect()
}

/// No label leaves its piece or lies over another; every edge that has room bears its name, and every piece its title.
#[test]
fn labels_keep_clear_of_one_another() {
    for name in FIXTURES {
        let pattern = read(fixture(name));
        let written = sheet::write(&pattern).unwrap();
        let nodes = nodes(&written);
        for (group, piece) in pieces(&nodes).zip(pattern.pieces()) {
            let labels = derived(group, "label");
            assert!(
                labels.iter().any(|label| label.text.as_ref().unwrap().contains("cut ")),
                "{name} {}",
                piece.name()
            );
            for (i, label) in labels.iter().enumerate() {
                for point in samples(label) {
                    assert!(piece.outline().contains(point), "{name} {}: {:?}", piece.name(), label.text);
                }
                for other in &labels[i + 1..] {
                    let (area, map) = text_box(other);
                    let over = samples(label).into_iter().any(|point| area.contains(map.inverse() * point));
                    assert!(!over, "{name} {}: {:?} over {:?}", piece.name(), label.text, other.text);
                }
            }
        }
    }
}

/// One closed cutting line for each piece, around its outline.
#[test]
fn every_piece_has_its_cutting_line() {
    for name in FIXTURES {
        let pattern = read(fixture(name));
        let written = sheet::write(&pattern).unwrap();
        let nodes = nodes(&written);
        assert_eq!(pieces(&nodes).count(), pattern.pieces().len());
        for (group, piece) in pieces(&nodes).zip(pattern.pieces()) {
            let lines = derived(group, "cutting-line");
            let [line] = lines.as_slice() else { panic!("{name} {}", piece.name()) };
            let line = line.geometry.as_ref().unwrap();
            assert!(kurbo::Shape::area(line) >= piece.outline().area() - 1e-3, "{name} {}", piece.name());
        }
    }
}

/// A double notch has a tick on either side of its place, so that both meet their partners, and a snip for each where
/// the cloth is cut.
#[test]
fn notches_point_outward_and_are_snipped_at_the_cutting_line() {
    let text = pocket(r#"<path id="pocket.n" data-kind="notch" data-count="2" d="M 100 50 V 44"/>"#)
        .replace(r#"top" data-kind="edge""#, r#"top" data-kind="edge" data-allowance="15mm""#);
    let written = sheet::write(&read(text)).unwrap();
    let nodes = nodes(&written);
    let ticks = derived(pieces(&nodes).next().unwrap(), "notch");
    let drawn: Vec<String> = ticks.iter().map(|tick| tick.geometry.as_ref().unwrap().to_svg()).collect();
    assert_eq!(drawn, ["M98,50 L98,44", "M98,35 L98,39", "M102,50 L102,44", "M102,35 L102,39"]);
}

#[test]
fn arrows_stand_at_the_ends_that_are_asked_for() {
    for (arrows, tips) in [("both", vec![60.0, 140.0]), ("start", vec![60.0]), ("end", vec![140.0])] {
        let text = pocket(&format!(
            r#"<path id="pocket.grain" data-kind="grainline" data-arrows="{arrows}" d="M 80 60 V 140"/>"#
        ));
        let written = sheet::write(&read(text)).unwrap();
        let nodes = nodes(&written);
        let heads = derived(pieces(&nodes).next().unwrap(), "arrow");
        let tip = |head: &&Node| match head.geometry.as_ref().unwrap().elements()[0] {
            kurbo::PathEl::MoveTo(tip) => tip.y,
            _ => f64::NAN,
        };
        assert_eq!(heads.iter().map(tip).collect::<Vec<_>>(), tips);
    }
}

/// Whatever was derived before is dropped and made anew, not kept beside it.
#[test]
fn derived_things_do_not_pile_up() {
    let once = sheet::write(&read(pocket(""))).unwrap();
    let again = sheet::write(&read(&once)).unwrap();
    assert_eq!(once.matches("data-shows=").count(), again.matches("data-shows=").count());
    let without_kind = once.replace(" data-kind=\"derived\" data-shows", " data-shows");
    assert_eq!(sheet::write(&read(&without_kind)).unwrap(), again);
}

/// A cutting line that was changed by hand is told by every reader, with its piece and how far it is off; what a drawing program
/// rounds it to is not.
#[test]
fn a_cutting_line_changed_by_hand_is_told() {
    use retrue::sheet::SheetNote;

    let written = retrue::sheet::write(&read(fixture("coat"))).unwrap();
    let notes = |text: &str| retrue::sheet::read(text.as_bytes(), &Default::default()).unwrap().notes;
    let told = |text: &str| -> Vec<(String, f64)> {
        let notes = notes(text);
        let lines = notes.iter().filter_map(|note| match note {
            SheetNote::OtherCuttingLine { piece, off } => Some((piece.to_string(), off.mm())),
            _ => None,
        });
        lines.collect()
    };
    assert_eq!(told(&written), []);
    let (before, line) = written.split_once("data-shows=\"cutting-line\" d=\"").unwrap();
    let (path, after) = line.split_once('"').unwrap();
    let shifted = |by: f64| {
        let mut moved = kurbo::BezPath::from_svg(path).unwrap();
        moved.apply_affine(kurbo::Affine::translate((by, 0.0)));
        format!("{before}data-shows=\"cutting-line\" d=\"{}\"{after}", moved.to_svg())
    };
    assert_eq!(told(&shifted(0.004)), []);
    let [(_, off)] = &told(&shifted(8.0))[..] else { panic!("one piece") };
    assert!((7.0..=8.01).contains(off), "{off}");
    assert!(notes(&shifted(8.0)).iter().any(SheetNote::is_warning));
}

/// A label that was changed by hand, or left as it was when what it says was changed, is told with its piece; one that says less
/// than it could, as others write them, is not.
#[test]
fn a_label_that_says_other_than_the_attributes_is_told() {
    use retrue::sheet::SheetNote;

    let told = |text: &str| -> Vec<String> {
        let notes = retrue::sheet::read(text.as_bytes(), &Default::default()).unwrap().notes;
        let labels = notes.iter().filter(|note| matches!(note, SheetNote::OtherLabel { .. }));
        labels.map(|note| format!("{} {note}", note.is_warning())).collect()
    };
    let mut changed = 0;
    for name in FIXTURES {
        assert_eq!(told(std::str::from_utf8(&fixture(name)).unwrap()), [""; 0], "{name}, as it is shipped");
        let written = sheet::write(&read(fixture(name))).unwrap();
        assert_eq!(told(&written), [""; 0], "{name}");
        let labels: Vec<(usize, &str)> = written.match_indices("</text>").collect();
        for (end, _) in labels {
            let (before, after) = written.split_at(end - 1);
            if !before.rsplit('<').next().unwrap().contains("data-shows=\"label\"") {
                continue;
            }
            let other = format!("{before}q{}", &after[1..]);
            let found = told(&other);
            assert!(found.len() == 1 && found[0].contains("a label says"), "{name}: {found:?}");
            changed += 1;
        }
    }
    assert!(changed > 100, "{changed}");
    let coat = sheet::write(&read(fixture("coat"))).unwrap();
    for (from, to, piece) in [
        ("id=\"back\" class=\"piece\" data-kind=\"piece\" data-cut=\"1\"", "data-cut=\"2\"", "back"),
        ("id=\"cuff\" class=\"piece\" data-kind=\"piece\" data-cut=\"2\"", "data-cut=\"2 same\"", "cuff"),
    ] {
        assert!(coat.contains(from), "{from}");
        let (kept, _) = from.rsplit_once(" data-cut").unwrap();
        let found = told(&coat.replace(from, &format!("{kept} {to}")));
        assert!(
            found.len() == 1 && found[0].starts_with(&format!("true {piece}: a label says")),
            "{found:?}"
        );
    }
}
