//! What a map can say, and how its mistakes are told.

use retrue::pattern::{Arrows, DartShape, Finish, Pattern, Piece};
use retrue::sheet;

use crate::drawn::page;
use crate::run::{Bench, Outcome};

fn adopted(drawing: &str, map: &str) -> (Bench, Outcome) {
    let bench = Bench::new().with_file("d.svg", drawing).with_file("m.toml", map);
    let outcome = bench.retrue("adopt d.svg --map m.toml -o o.svg");
    (bench, outcome)
}

#[track_caller]
fn pattern(drawing: &str, map: &str) -> Pattern {
    let (bench, outcome) = adopted(drawing, map);
    assert!(bench.path("o.svg").exists(), "{}", outcome.stderr());
    sheet::read(bench.text_of("o.svg").as_bytes(), &Default::default()).expect("a sheet").pattern
}

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().expect("a name")).expect("the piece")
}

const SQUARE: &str = "<rect x='100' y='100' width='200' height='300'/>";
const FOUR: &str = "[[piece]]\noutline = \"A\"\nname = \"front\"\nignore = [\"all\"]\n\
                    [[piece.edge]]\nat = 1\nname = \"waist\"\n[[piece.edge]]\nat = 2\nname = \"side\"\n\
                    [[piece.edge]]\nat = 3\nname = \"hem\"\nfinish = \"hem\"\nallowance = \"40mm\"\n\
                    [[piece.edge]]\nat = 4\nname = \"centre\"\nfinish = \"fold\"\n";

#[test]
fn edges_are_named_by_number_by_run_and_from_corner_to_corner() {
    let map = "[[piece]]\noutline = \"A\"\nname = \"front\"\n[[piece.edge]]\nat = \"corner 4 to corner 2\"\nname = \"a\"\n\
               [[piece.edge]]\nat = \"2-3\"\nname = \"b\"\n";
    let made = pattern(&page(SQUARE), map);
    let lengths: Vec<f64> =
        piece(&made, "front").edges().iter().map(|edge| edge.curve.length().round()).collect();
    assert_eq!(lengths, [500.0, 500.0]);
}

#[test]
fn two_edges_meet_without_a_corner_where_the_map_says() {
    let map =
        FOUR.replace("name = \"front\"", "name = \"front\"\nsoft-joints = [\"2@40%\", \"(300mm, 340mm)\"]");
    let map = map.replace(
        "at = 2\nname = \"side\"",
        "at = \"2a\"\nname = \"upper\"\n[[piece.edge]]\nat = \"2b\"\nname = \"middle\"\n[[piece.edge]]\nat = \"2c\"\nname = \"lower\"",
    );
    let made = pattern(&page(SQUARE), &map);
    let front = piece(&made, "front");
    let length = |name: &str| front.edge(front.edge_named(&name.parse().unwrap()).unwrap()).curve.length();
    for (name, wanted) in [("upper", 120.0), ("middle", 120.0), ("lower", 60.0)] {
        assert!((length(name) - wanted).abs() < 1e-6, "{name}");
    }
    let outside = FOUR.replace("name = \"front\"", "name = \"front\"\nsoft-joints = [\"2@400mm\"]");
    adopted(&page(SQUARE), &outside).1.is_refused().says("not between the ends of edge 2").says("m.toml:4:");
}

#[test]
fn a_dart_cut_into_the_outline_becomes_a_dart() {
    let drawing = page("<path d='M100 100 H190 L200 220 L210 100 H300 V400 H100 Z'/>");
    let map = "[[piece]]\noutline = \"A\"\nname = \"front\"\n[[piece.edge]]\nat = \"1, 4\"\nname = \"waist\"\n\
               [[piece.edge]]\nat = \"5-7\"\nname = \"rest\"\n[[piece.dart]]\nname = \"d\"\ncut-in = \"2-3\"\n";
    let made = pattern(&drawing, map);
    let front = piece(&made, "front");
    let dart = &front.darts[0];
    assert_eq!(dart.tips()[0].round(), kurbo::Point::new(200.0, 220.0));
    let mouth = dart.mouth().expect("a mouth");
    assert_eq!((mouth.edge.as_str(), mouth.from.round(), mouth.to.round()), ("waist", 90.0, 110.0));
    assert!((front.outline().area() - 60_000.0).abs() < 1e-3);
}

#[test]
fn darts_drawn_inside_as_v_as_legs_as_triangle_and_as_diamond() {
    let v = "<path d='M150 100 L155 200 L160 100'/>";
    let legs = "<path d='M150 100 L155 200'/><path d='M160.2 100.1 L155 200.2' stroke-dasharray='3 1'/>";
    let triangle = "<path d='M150 100 L155 200 L160 100 Z'/>";
    for (drawn, letters) in [(v, "a"), (legs, "a b"), (triangle, "B")] {
        let map = format!("{FOUR}[[piece.dart]]\nname = \"d\"\ndrawn = \"{letters}\"\npress = \"side\"\n");
        let made = pattern(&page(&format!("{SQUARE}{drawn}")), &map);
        let dart = &piece(&made, "front").darts[0];
        assert!(dart.tips()[0].distance(kurbo::Point::new(155.0, 200.0)) < 0.3, "{letters}");
        assert_eq!(dart.mouth().expect("a mouth").edge.as_str(), "waist");
    }
    let diamond = "<path d='M200 200 L210 260 L200 320 L190 260 Z'/>";
    let map = format!("{FOUR}[[piece.dart]]\nname = \"d\"\ndrawn = \"B\"\n");
    let made = pattern(&page(&format!("{SQUARE}{diamond}")), &map);
    assert!(matches!(piece(&made, "front").darts[0].shape, DartShape::Double { .. }));
}

#[test]
fn notches_are_ticks_triangles_and_ts() {
    let marks = "<path d='M300 150 H294'/><path d='M300 197 L294 200 L300 203 Z'/><path d='M300 250 H306 M306 247 V253'/>\
                 <polygon fill='#000' stroke='none' points='300,297 300,303 295,300'/>\
                 <path d='M300 348 H295'/><path d='M300 352 H295'/>";
    let bench = Bench::new().with_file("d.svg", page(&format!("{SQUARE}{marks}")));
    let report = bench.retrue("adopt d.svg --json").reports("adopt");
    let letter = |y: f64| -> String {
        let at = |line: &serde_json::Value| line["from"][1].as_f64().unwrap();
        let lines = report["lines"].as_array().unwrap();
        lines.iter().find(|line| (at(line) - y).abs() < 3.5).unwrap()["letter"].as_str().unwrap().to_owned()
    };
    let mut map = FOUR.to_owned();
    for y in [150.0, 200.0, 250.0, 300.0] {
        map.push_str(&format!("[[piece.notch]]\ndrawn = \"{}\"\n", letter(y)));
    }
    map.push_str("[[piece.notch]]\nname = \"by-place\"\nat = \"hem@25%\"\ncount = 2\n");
    let made = pattern(&page(&format!("{SQUARE}{marks}")), &map);
    let places: Vec<(String, f64)> = piece(&made, "front")
        .notches
        .iter()
        .map(|n| (n.edge.to_string(), (n.at * 10.0).round() / 10.0))
        .collect();
    let side = |at: f64| ("side".to_owned(), at);
    assert_eq!(places, [side(50.0), side(100.0), side(150.0), side(200.0), ("hem".to_owned(), 50.0)]);
}

#[test]
fn marks_on_a_piece_are_named_by_their_letters() {
    let marks = "<path d='M200 350 V150'/><polygon fill='#000' stroke='none' points='200,150 197,158 203,158'/>\
                 <path d='M100 250 H300'/><circle cx='250' cy='200' r='3'/><path d='M100 300 C150 280 250 320 300 300'/>";
    let map =
        FOUR.replace("name = \"front\"", "name = \"front\"\ngrainline = \"a\"\ncut = 2\ncloth = \"lining\"");
    let map = format!(
        "{map}[[piece.level]]\nname = \"waist\"\ndrawn = \"b\"\ngirth = false\n[[piece.point]]\nname = \"bust\"\ndrawn = \"c\"\n\
         [[piece.style-line]]\nname = \"yoke\"\ndrawn = \"d\"\n"
    );
    let made = pattern(&page(&format!("{SQUARE}{marks}")), &map);
    let front = piece(&made, "front");
    let grain = front.grain().expect("a grainline");
    assert_eq!((grain.start.y, grain.end.y, grain.arrows), (150.0, 350.0, Arrows::Start));
    assert_eq!(front.points[0].at.round(), kurbo::Point::new(250.0, 200.0));
    assert_eq!((front.levels.len(), front.style_lines.len()), (1, 1));
    assert_eq!((front.cut.copies, front.cloth.as_str()), (2, "lining"));
}

#[test]
fn allowances_are_taken_off_a_cutting_line() {
    let map = FOUR
        .replace("name = \"front\"\n", "name = \"front\"\ndrawn = \"cutting-line\"\nallowance = \"10mm\"\n");
    let made = pattern(&page(SQUARE), &map);
    let front = piece(&made, "front");
    let bounds = front.bounds();
    assert!((bounds.width() - 190.0).abs() < 0.01 && (bounds.height() - 250.0).abs() < 0.01, "{bounds:?}");
    assert_eq!(front.edge(front.fold().expect("a fold")).finish, Finish::Fold);
    let deep = map.replace("\"40mm\"", "\"400mm\"");
    adopted(&page(SQUARE), &deep).1.is_refused().says("cannot be taken off");
}

#[test]
fn seams_are_sewn_and_mistakes_in_them_are_shown() {
    let two =
        "<rect x='100' y='100' width='200' height='300'/><rect x='400' y='100' width='150' height='310'/>";
    let back = FOUR.replace("outline = \"A\"", "outline = \"B\"").replace("\"front\"", "\"back\"");
    let seam = "[[seam]]\nfirst = \"back.side\"\nsecond = \"front.side\"\nfrom = \"hem\"\nease = \"10mm\"\n";
    let made = pattern(&page(two), &format!("{FOUR}{back}{seam}"));
    assert_eq!(made.seams().len(), 1);
    assert_eq!(made.seams()[0].ease.mm(), 10.0);
    let wrong = seam.replace("front.side", "front.sied");
    adopted(&page(two), &format!("{FOUR}{back}{wrong}")).1.is_refused().says("did you mean `side`?");
    let fold = seam.replace("front.side", "front.centre").replace("from = \"hem\"\n", "");
    adopted(&page(two), &format!("{FOUR}{back}{fold}")).1.is_refused();
}

#[test]
fn what_the_map_does_not_name_is_told() {
    let body = format!("{SQUARE}<rect x='400' y='400' width='50' height='50'/><path d='M150 200 V300'/>");
    let map = FOUR.replace("ignore = [\"all\"]\n", "");
    let (_, outcome) = adopted(&page(&body), &map);
    outcome.is_true().says("front: line a is not in the map").says("outline B is not in the map");
}

#[test]
fn mistakes_in_a_map_are_shown_on_their_line() {
    let refused = |map: &str, says: &[&str]| {
        let (bench, outcome) = adopted(&page(SQUARE), map);
        outcome.is_refused();
        says.iter().for_each(|text| {
            outcome.says(text);
        });
        assert!(!bench.path("o.svg").exists());
    };
    refused("", &["the map has no piece"]);
    refused("[[piece]\n", &["m.toml:1:"]);
    refused("sise = 4\n", &["`sise` is not known here", "did you mean `size`?", "m.toml:1:1"]);
    refused(&FOUR.replace("\"A\"", "\"C\""), &["there is no outline `C`", "m.toml:2:11"]);
    refused(&FOUR.replace("at = 4", "at = 3"), &["edge 3 of the outline is named twice"]);
    refused(&FOUR.replace("at = 4", "at = 5"), &["there is no edge `5`"]);
    refused(&FOUR.replace("\"hem\"\nallowance", "\"him\"\nallowance"), &["did you mean `hem`?"]);
    refused(&FOUR.replace("40mm", "40"), &["this is not a length"]);
    refused(&FOUR.replace("\"waist\"", "\"side\""), &["two edges are named `side`"]);
    refused(
        &FOUR.replace("[[piece.edge]]\nat = 4\nname = \"centre\"\nfinish = \"fold\"\n", ""),
        &["edges 4 of the outline"],
    );
    refused(&format!("{FOUR}[[piece.notch]]\ncount = 1\n"), &["it is not said where the notch is"]);
    refused(&format!("{FOUR}[[piece.notch]]\ndrawn = \"x\"\n"), &["there is no line `x`"]);
    refused(&format!("{FOUR}[[piece.dart]]\nname = \"d\"\n"), &["it is not said where the dart is"]);
    refused(&format!("corner-angle = 500\n{FOUR}"), &["this is no angle of a corner"]);
    refused(&format!("known = \"A\"\n{FOUR}"), &["this is no known length"]);
    refused(&format!("size = \"seven\"\n{FOUR}"), &["chooses no size"]);
}

#[test]
fn the_template_makes_a_pattern_as_it_is() {
    for name in ["skirt-shaped-back.svg", "coat.svg", "dress.svg", "awkward.svg"] {
        let bench = Bench::new().with_fixture(name);
        bench.retrue(&format!("adopt {name} --map-template m.toml")).is_true();
        let outcome = bench.retrue(&format!("adopt {name} --map m.toml -o o.svg"));
        assert!(bench.path("o.svg").exists(), "{name}: {}", outcome.stderr());
        let made =
            sheet::read(bench.text_of("o.svg").as_bytes(), &Default::default()).expect("a sheet").pattern;
        let original =
            sheet::read(crate::run::fixture(name).as_bytes(), &Default::default()).expect("a sheet").pattern;
        assert_eq!(made.pieces().len(), original.pieces().len(), "{name}");
        for piece in original.pieces() {
            let area = |other: &&Piece| (other.outline().area() / piece.outline().area() - 1.0).abs() < 1e-3;
            assert!(made.pieces().any(|other| area(&other)), "{name}: {}", piece.name());
        }
    }
}

#[test]
fn nothing_is_written_over_what_is_there() {
    let bench =
        Bench::new().with_file("d.svg", page(SQUARE)).with_file("m.toml", FOUR).with_file("o.svg", "kept");
    bench.retrue("adopt d.svg --map m.toml -o o.svg").is_refused().says("exists already");
    assert_eq!(bench.text_of("o.svg"), "kept");
    bench.retrue("adopt d.svg --map m.toml -o o.svg --force").is_true();
    assert_ne!(bench.text_of("o.svg"), "kept");
}
