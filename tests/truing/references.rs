//! Published numbers, measured through the library. Behind each source stands how it is known: \[S\] the text was seen
//! in an excerpt, \[D\] arithmetic from it, \[C\] common practice, no source.

use std::f64::consts::{PI, TAU};

use crate::draft::Measures;
use kurbo::{ParamCurve, ParamCurveArclen, PathSeg, Shape};
use retrue::allowance;
use retrue::curve::Point;
use retrue::pattern::{EdgeRef, Pattern, Piece, Walk};
use retrue::recut::{Notice, Recut, Step};
use retrue::sheet;
use retrue::truing::{self, FindingKind, Limits};
use retrue::units::MM_PER_INCH;
use serde_json::{Value, json};

/// Half of the last digit that is published for lengths in hundredths of a millimetre.
const HUNDREDTH: f64 = 0.005;

/// Arcs are kept as cubics and cutting lines as fitted curves, mm along a whole edge.
const DRAWN: f64 = 0.02;

/// The standard allowance for sewing at home is 5/8 in or 1.5 cm (Oregon 4-H 320-19, 2014 \[S\]). A new seam has it
/// where the piece shows no other.
#[test]
fn a_new_seam_has_the_standard_allowance() {
    let opened = done(&pattern(PANEL), json!({"do": "open-centre", "piece": "panel"})).pattern;
    let panel = piece(&opened, "panel");
    let allowance = panel.edges().iter().find(|edge| edge.name.as_str() == "centre").unwrap().allowance.mm();
    assert_eq!(allowance, 15.0);
    assert!((allowance - 0.625 * MM_PER_INCH).abs() < 1.0, "5/8 in to the nearest millimetre");
}

/// A centre seam in place of a fold adds one allowance to each half \[C\].
#[test]
fn a_centre_seam_adds_one_allowance_to_each_half() {
    let coat = fixture("coat");
    let opened = done(&coat, json!({"do": "open-centre", "piece": "back"})).pattern;
    let [before, after] = [&coat, &opened].map(|pattern| cut_box(pattern, "back"));
    assert!((after.width() - before.width() - 15.0).abs() < DRAWN, "{before} became {after}");
    assert_eq!(piece(&coat, "back").cut.copies * 2, piece(&opened, "back").cut.copies);
    assert_eq!(piece(&coat, "back").times(), piece(&opened, "back").times());
}

/// The hem of a sector of angle `φ` that is turned up by `h`: the cut edge is `φ h` longer than the fold, and `2 φ h`
/// longer than where it is sewn down \[D\]. Half circle, 40 mm: 125.66 and 251.33 mm.
#[test]
fn the_cut_edge_of_a_half_circle_is_longer_than_its_fold() {
    let (inner, outer, depth) = (222.82, 822.82, 40.0);
    let skirt = pattern(&sector(inner, outer, 180.0, depth));
    let panel = piece(&skirt, "skirt");
    let fold = panel.edges().iter().find(|edge| edge.name.as_str() == "hem").unwrap().curve.length();
    let cut = length_at_distance(&allowance::cutting_line(&skirt, panel).unwrap().path, outer + depth);
    assert!((cut - fold - 125.66).abs() < DRAWN, "{cut} against {fold}");
    let shorter = pattern(&sector(inner, outer - depth, 180.0, 0.0));
    let sewn = piece(&shorter, "skirt").edges().iter().find(|edge| edge.name.as_str() == "hem").unwrap();
    let sewn = sewn.curve.length();
    assert!((cut - sewn - 251.33).abs() < DRAWN, "{cut} against {sewn}");
}

/// A circle skirt for a waist of 700 mm has the waist radius 111.41, 148.54, 222.82 or 445.63 mm for a full,
/// three-quarter, half or quarter circle \[D\]. Here the sectors are drawn as elliptical arcs and half on the fold.
#[test]
fn circle_skirts_drawn_as_arcs_go_round_the_waist() {
    for (radius, degrees) in [(111.41, 360.0), (148.54, 270.0), (222.82, 180.0), (445.63, 90.0)] {
        let drawn = sector(radius, radius + 500.0, degrees / 2.0, 30.0).replacen("\"seam\"", "\"fold\"", 1);
        let skirt = pattern(&drawn);
        let panel = piece(&skirt, "skirt");
        let waist = panel.edge_named(&"waist".parse().unwrap()).unwrap();
        let around = panel.sewn_length(waist) * f64::from(panel.times());
        let told = HUNDREDTH * degrees.to_radians();
        assert!((around - 700.0).abs() < told + DRAWN, "{degrees} degrees: {around}");
    }
}

/// A rounded allowance `d` about a convex outline of length `P` and area `A` gives the length `P + 2 π d` and the area
/// `A + P d + π d²` (Steiner) \[D\]. Smooth outlines have no corner at which a mitre would differ.
#[test]
fn the_cutting_line_of_a_smooth_convex_piece_obeys_steiner() {
    for (wide, high) in [(100.0, 100.0), (200.0, 90.0), (60.0, 250.0)] {
        for depth in [7.0, 15.0, 40.0] {
            let drawn = pattern(&ellipse(wide, high, depth));
            let pad = piece(&drawn, "pad");
            let (length, area) = (pad.outline().perimeter(), pad.outline().area());
            let cut = allowance::cutting_line(&drawn, pad).unwrap().path;
            let (cut_length, cut_area) = (cut.perimeter(1e-6), cut.area());
            let steiner = (length + TAU * depth, area + length * depth + PI * depth * depth);
            let of = format!("{wide} by {high}, {depth} deep");
            assert!((cut_length - steiner.0).abs() < DRAWN, "{of}: {cut_length} against {}", steiner.0);
            assert!(
                (cut_area - steiner.1).abs() < DRAWN * cut_length,
                "{of}: {cut_area} against {}",
                steiner.1
            );
        }
    }
}

/// With its corners mitred, a convex outline gains `d² Σ tan(turn / 2)` in area instead of `π d²` \[D\].
#[test]
fn mitred_corners_of_a_convex_piece_have_their_closed_form() {
    let corners = [(0.0, 0.0), (200.0, 0.0), (280.0, 150.0), (120.0, 260.0), (-40.0, 140.0)].map(Point::from);
    let depth = 15.0;
    let drawn = pattern(&polygon(&corners, depth));
    let pad = piece(&drawn, "pad");
    let tangents: f64 = (0..corners.len())
        .map(|i| {
            let way = |k: usize| corners[(k + 1) % corners.len()] - corners[k % corners.len()];
            let (arrives, leaves) = (way(i), way(i + 1));
            (arrives.cross(leaves).atan2(arrives.dot(leaves)) / 2.0).tan()
        })
        .sum();
    let area = pad.outline().area() + pad.outline().perimeter() * depth + depth * depth * tangents;
    let length = pad.outline().perimeter() + 2.0 * depth * tangents;
    let cut = allowance::cutting_line(&drawn, pad).unwrap().path;
    assert!((cut.area() - area).abs() < 1e-3, "{} against {area}", cut.area());
    assert!((cut.perimeter(1e-6) - length).abs() < 1e-3, "{} against {length}", cut.perimeter(1e-6));
}

/// Six gores at a hip of 40 in: the front gore half is H/12, the rest of the front 6 2/3 in (Baldt, *Clothing for
/// Women*, 1916, after fig. 56 \[S\]). Cut from a plain half skirt, they go round as far as it did.
#[test]
fn six_gores_cut_from_a_plain_skirt_go_round_the_hip() {
    let mut skirt = pattern(&format!("{}{}", half_skirt("front", 0.0), half_skirt("back", 400.0)));
    for half in ["front", "back"] {
        let line = "waist@84.6667mm from centre > hem@84.6667mm from centre";
        let names = format!("{half}-gore, {half}-side-gore");
        skirt = done(&skirt, json!({"do": "split", "piece": half, "line": line, "names": names})).pattern;
    }
    let girth = truing::girths(&skirt).into_iter().find(|girth| girth.level.as_str() == "hip").unwrap();
    assert!((girth.around.mm() - 40.0 * MM_PER_INCH).abs() < 1e-3, "{:?}", girth.around);
    for (gore, inches) in [
        ("front-gore", 40.0 / 12.0),
        ("back-gore", 40.0 / 12.0),
        ("front-side-gore", 20.0 / 3.0),
        ("back-side-gore", 20.0 / 3.0),
    ] {
        let part = girth.parts.iter().find(|part| part.piece.as_str() == gore).unwrap().width.mm();
        assert!((part - inches * MM_PER_INCH).abs() < 1e-3, "{gore}: {part}");
    }
}

/// One-piece sleeve: half its width is half the armhole and 1/2 in, its cap is 4 in high (*School Sewing*, "One-Piece
/// Foundation Sleeve" \[S\]). Drawn so for the coat's armhole and cut in two halfway to the fold, upper and under sleeve
/// are that wide each, and the straight cap is as long as Pythagoras says \[D\].
#[test]
fn a_sleeve_by_the_published_rule_goes_round_as_far_in_two_pieces() {
    let half = partner_length(&fixture("coat"), "sleeve.cap") / 2.0 + MM_PER_INCH / 2.0;
    let cap = 4.0 * MM_PER_INCH;
    let mut sleeve = pattern(&foundation_sleeve(half, cap));
    let cap_length = |pattern: &Pattern| -> f64 {
        let edges = pattern.pieces().flat_map(Piece::edges);
        edges.filter(|edge| edge.name.as_str().starts_with("cap")).map(|edge| edge.curve.length()).sum()
    };
    let straight = 2.0 * half.hypot(cap);
    assert!((cap_length(&sleeve) - straight).abs() < 1e-6);
    for (line, names) in [
        ("cap@75% > hem@25%", "hind-part, fore-strip"),
        ("cap@33.333333333% > hem@66.666666667%", "upper, hind-strip"),
    ] {
        let whole = sleeve.pieces().find(|piece| matches!(piece.name().as_str(), "sleeve" | "hind-part"));
        let whole = whole.unwrap().name().as_str().to_owned();
        let fields = json!({"do": "split", "piece": whole, "line": line, "names": names});
        sleeve = done(&sleeve, fields).pattern;
    }
    let seam = "fore-strip.underarm-front";
    sleeve = done(&sleeve, json!({"do": "merge-at-seamline", "seam": seam, "name": "under"})).pattern;
    let girth = truing::girths(&sleeve).into_iter().find(|girth| girth.level.as_str() == "biceps").unwrap();
    assert!((girth.around.mm() - 2.0 * half).abs() < 1e-3, "{:?} of {}", girth.around, 2.0 * half);
    for name in ["upper", "under"] {
        let part = girth.parts.iter().find(|part| part.piece.as_str() == name).unwrap().width.mm();
        assert!((part - half).abs() < 1e-3, "{name}: {part} of {half}");
    }
    assert!((cap_length(&sleeve) - straight).abs() < 1e-3, "{} of {straight}", cap_length(&sleeve));
}

/// Moving a shoulder seam: what leaves one piece joins the other, the total length is unchanged (Hertzer, *Garment
/// Cutting*, 1892 \[S, analogue\]).
#[test]
fn a_moved_shoulder_seam_leaves_neck_and_armhole_as_long() {
    let coat = fixture("coat");
    for by in ["5mm", "15mm"] {
        let moved =
            done(&coat, json!({"do": "move-seam", "seam": "front.shoulder", "from": "front", "by": by}))
                .pattern;
        for edge in ["sleeve.cap", "collar.neck"] {
            let [before, after] = [&coat, &moved].map(|pattern| partner_length(pattern, edge));
            assert!((before - after).abs() < 0.1, "{edge}, moved {by}: {before} became {after}");
        }
        let strip = area(&coat, "front") - area(&moved, "front");
        assert!(strip > 100.0, "the front gave {strip} mm²");
        let gained = area(&moved, "back") - area(&coat, "back");
        assert!((gained - strip).abs() < 1.0, "{gained} of {strip} mm² joined the back");
    }
}

/// A grainline 1/8 in off over 24 in stands 0.30° off (Johnson, Oregon 4-H L-87 \[S\]); 1° is 17.5 mm in a metre \[D\].
#[test]
fn grainlines_off_by_the_published_lengths_are_off_by_the_published_angles() {
    for (off, over, degrees) in [(0.125 * MM_PER_INCH, 24.0 * MM_PER_INCH, 0.30), (17.5, 1000.0, 1.00)] {
        let drawn = PANEL.replace("M100 50 V1050", &format!("M100 20 l{off} {over}"));
        let recut = done(&pattern(&drawn), json!({"do": "turn-grain", "piece": "panel", "to": "lengthwise"}));
        let turned = recut.notices.iter().find_map(|told| match told {
            Notice::GrainTurned { degrees, .. } => Some(degrees.abs()),
            _ => None,
        });
        let turned = turned.expect("the grain was turned");
        assert!((turned - degrees).abs() < HUNDREDTH, "{off} mm over {over} mm: {turned}");
    }
}

/// Darts stacked at one point have equal angles wherever they open (NIMI, *CITS Dress Making, Trade Theory*, 2024,
/// p. 180 \[S\]); a longer dart has a wider mouth (Erwin, *Practical Dress Design*, rev. ed. 1954, p. 31 \[S\]). 30 mm at
/// 150 mm, an angle of 11.478°, is 16, 20, 24, 36, 44 and 50 mm wide at 80, 100, 120, 180, 220 and 250 mm \[D\].
#[test]
fn a_pivoted_dart_keeps_its_angle_and_widens_with_its_legs() {
    let angle = 11.478;
    let bodice = pattern(&darted(15.0, (150.0_f64.powi(2) - 15.0_f64.powi(2)).sqrt()));
    for (leg, mouth) in
        [(80.0_f64, 16.0), (100.0, 20.0), (120.0, 24.0), (180.0, 36.0), (220.0, 44.0), (250.0, 50.0)]
    {
        let across = (leg * leg - 80.0 * 80.0).sqrt();
        let to = format!("top@{}mm", 300.0 + across);
        let moved =
            done(&bodice, json!({"do": "pivot-dart", "piece": "front", "dart": "waist-dart", "to": to}));
        let dart = &piece(&moved.pattern, "front").darts[0];
        let (first, second) = dart.legs();
        let wide = first.start().distance(second.start());
        assert!((wide - mouth).abs() < HUNDREDTH, "{leg} mm from the tip: {wide}");
        let now = dart.angle().unwrap();
        assert!((now - angle).abs() < 0.0005, "{leg} mm from the tip: {now} degrees");
    }
}

/// A tip that is shortened with its mouth kept has another angle: 40 mm wide, from 200 to 175 mm, 11.42° become 13.04°
/// \[D\].
#[test]
fn a_shortened_dart_has_a_wider_angle() {
    for (axis, degrees) in [(200.0, 11.42), (175.0, 13.04)] {
        let drawn = pattern(&darted(20.0, axis));
        let angle = piece(&drawn, "front").darts[0].angle().unwrap();
        assert!((angle - degrees).abs() < HUNDREDTH, "{axis} mm long: {angle}");
    }
}

/// Bust girths of ASTM D5585-11e1, sizes 00 to 20, in inches \[S\]: the coat drafted for each is true, and grows by as
/// much as the body.
#[test]
fn the_coat_grows_with_the_body() {
    let busts = [31.125, 31.75, 33.0, 34.125, 35.25, 36.25, 37.25, 38.75, 40.375, 42.125, 44.0, 46.0];
    let mut ease = None;
    for bust in busts {
        let coat = coat_of_bust(bust);
        let faults: Vec<String> = truing::check(&coat, &Limits::default())
            .iter()
            .filter(|finding| !finding.is_tolerated() && finding.kind != FindingKind::AllowanceShort)
            .map(|finding| finding.sentence(Default::default()))
            .collect();
        assert!(faults.is_empty(), "bust {bust}: {faults:#?}");
        let around =
            truing::girths(&coat).into_iter().find(|girth| girth.level.as_str() == "bust").unwrap().around;
        let over = around.mm() - bust * MM_PER_INCH;
        let first = *ease.get_or_insert(over);
        assert!(
            over > 0.0 && (over - first).abs() < 1.0,
            "bust {bust}: {over} mm over the body, {first} at first"
        );
    }
}

/// Half a panel, nothing sewn.
const PANEL: &str = r#"<g id="panel" data-kind="piece" data-cut="1">
  <path id="panel.centre" data-kind="edge" data-finish="fold" d="M0 1100 V0"/>
  <path id="panel.top" data-kind="edge" data-finish="free" d="M0 0 H200"/>
  <path id="panel.side" data-kind="edge" data-finish="free" d="M200 0 V1100"/>
  <path id="panel.hem" data-kind="edge" data-finish="hem" data-allowance="40mm" d="M200 1100 H0"/>
  <path id="panel.grain" data-kind="grainline" d="M100 50 V1050"/></g>"#;

/// A sector about the origin from the direction of x on, its arcs drawn as they are.
fn sector(inner: f64, outer: f64, degrees: f64, hem: f64) -> String {
    let (x, y) = (degrees.to_radians().cos(), degrees.to_radians().sin());
    format!(
        r#"<g id="skirt" data-kind="piece" data-cut="1">
  <path id="skirt.centre" data-kind="edge" data-finish="seam" data-allowance="0mm" d="M{inner} 0 H{outer}"/>
  <path id="skirt.hem" data-kind="edge" data-finish="hem" data-allowance="{hem}mm" d="M{outer} 0 A{outer} {outer} 0 0 1 {} {}"/>
  <path id="skirt.side" data-kind="edge" data-finish="seam" data-allowance="0mm" d="M{} {} L{} {}"/>
  <path id="skirt.waist" data-kind="edge" data-finish="seam" data-allowance="0mm" d="M{inner} 0 A{inner} {inner} 0 0 1 {} {}"/></g>"#,
        outer * x,
        outer * y,
        outer * x,
        outer * y,
        inner * x,
        inner * y,
        inner * x,
        inner * y,
    )
}

fn ellipse(wide: f64, high: f64, depth: f64) -> String {
    format!(
        r#"<g id="pad" data-kind="piece" data-cut="1">
  <path id="pad.upper" data-kind="edge" data-finish="free" data-allowance="{depth}mm" d="M-{wide} 0 A{wide} {high} 0 0 1 {wide} 0"/>
  <path id="pad.lower" data-kind="edge" data-finish="free" data-allowance="{depth}mm" d="M{wide} 0 A{wide} {high} 0 0 1 -{wide} 0"/></g>"#
    )
}

fn polygon(corners: &[Point], depth: f64) -> String {
    let edge = |i: usize| {
        let (from, to) = (corners[i], corners[(i + 1) % corners.len()]);
        format!(
            r#"<path id="pad.e{i}" data-kind="edge" data-finish="free" data-allowance="{depth}mm" d="M{} {} L{} {}"/>"#,
            from.x, from.y, to.x, to.y
        )
    };
    let edges: String = (0..corners.len()).map(edge).collect();
    format!(r#"<g id="pad" data-kind="piece" data-cut="1">{edges}</g>"#)
}

/// A straight sleeve, half as wide as told, with a straight cap; the cap's base is its level.
fn foundation_sleeve(half: f64, cap: f64) -> String {
    let (left, middle, right) = (100.0, 100.0 + half, 100.0 + 2.0 * half);
    let (base, hem) = (100.0 + cap, 600.0);
    format!(
        r#"<g id="sleeve" data-kind="piece" data-cut="1">
  <path id="sleeve.cap" data-kind="edge" data-finish="free" d="M{left} {base} L{middle} 100 L{right} {base}"/>
  <path id="sleeve.underarm-front" data-kind="edge" data-finish="seam" data-allowance="15mm" data-sewn-to="sleeve.underarm-back" d="M{right} {base} V{hem}"/>
  <path id="sleeve.hem" data-kind="edge" data-finish="hem" data-allowance="40mm" d="M{right} {hem} H{left}"/>
  <path id="sleeve.underarm-back" data-kind="edge" data-finish="seam" data-allowance="15mm" d="M{left} {hem} V{base}"/>
  <path id="sleeve.biceps" data-kind="level" d="M{left} {base} H{right}"/>
  <path id="sleeve.grain" data-kind="grainline" d="M{middle} 200 V500"/></g>"#
    )
}

/// A quarter of a skirt of 40 in about the hip, half on the fold.
fn half_skirt(name: &str, left: f64) -> String {
    let right = left + 254.0;
    format!(
        r#"<g id="{name}" data-kind="piece" data-cut="1">
  <path id="{name}.centre" data-kind="edge" data-finish="fold" d="M{left} 700 V0"/>
  <path id="{name}.waist" data-kind="edge" data-finish="free" d="M{left} 0 H{right}"/>
  <path id="{name}.side" data-kind="edge" data-finish="seam" data-allowance="15mm" d="M{right} 0 V700"/>
  <path id="{name}.hem" data-kind="edge" data-finish="hem" data-allowance="50mm" d="M{right} 700 H{left}"/>
  <path id="{name}.hip" data-kind="level" d="M{left} 200 H{right}"/>
  <path id="{name}.grain" data-kind="grainline" d="M{} 50 V650"/></g>"#,
        left + 40.0
    )
}

/// A piece with a dart from its lower edge up to the origin, 80 mm below its upper edge.
fn darted(half_mouth: f64, axis: f64) -> String {
    format!(
        r#"<g id="front" data-kind="piece" data-cut="2">
  <path id="front.top" data-kind="edge" data-finish="free" d="M-300 -80 H300"/>
  <path id="front.side" data-kind="edge" data-finish="free" d="M300 -80 V{axis}"/>
  <path id="front.waist" data-kind="edge" data-finish="free" d="M300 {axis} H-300"/>
  <path id="front.centre" data-kind="edge" data-finish="free" d="M-300 {axis} V-80"/>
  <path id="front.waist-dart" data-kind="dart" d="M{half_mouth} {axis} L0 0 L-{half_mouth} {axis}"/>
  <path id="front.grain" data-kind="grainline" d="M-200 -60 V60"/></g>"#
    )
}

fn pattern(pieces: &str) -> Pattern {
    let text = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000">{pieces}</svg>"#
    );
    read(text.as_bytes())
}

fn read(bytes: &[u8]) -> Pattern {
    sheet::read(bytes, &sheet::ReadOptions::default()).unwrap_or_else(|error| panic!("{error}")).pattern
}

fn fixture(name: &str) -> Pattern {
    read(&std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap())
}

fn coat_of_bust(inches: f64) -> Pattern {
    read(crate::draft::coat(&Measures::of_bust(inches)).as_bytes())
}

fn done(pattern: &Pattern, mut fields: Value) -> Recut {
    let name = fields.as_object_mut().unwrap().remove("do").unwrap();
    let step = Step::read(name.as_str().unwrap(), fields).unwrap();
    step.apply(pattern).unwrap_or_else(|refusal| panic!("{refusal}"))
}

fn piece<'a>(pattern: &'a Pattern, name: &str) -> &'a Piece {
    pattern.piece(&name.parse().unwrap()).unwrap()
}

fn area(pattern: &Pattern, name: &str) -> f64 {
    piece(pattern, name).outline().area()
}

fn cut_box(pattern: &Pattern, name: &str) -> kurbo::Rect {
    allowance::cutting_line(pattern, piece(pattern, name)).unwrap().path.bounding_box()
}

/// The sewn length of what an edge is sewn to.
fn partner_length(pattern: &Pattern, edge: &str) -> f64 {
    let edge: EdgeRef = edge.parse().unwrap();
    let id = pattern.seams_of(&edge).next().expect("the edge is sewn");
    let seam = pattern.seam(id);
    let side = seam.side_of(&edge).unwrap().other();
    Walk::of(pattern, seam.side(side)).unwrap().length()
}

/// The length of a path's parts that run at a distance about the origin.
fn length_at_distance(path: &kurbo::BezPath, distance: f64) -> f64 {
    let there = |segment: &PathSeg| {
        [0.0, 0.3, 0.5, 0.7, 1.0]
            .iter()
            .all(|t| (segment.eval(*t).to_vec2().hypot() - distance).abs() < DRAWN)
    };
    path.segments().filter(there).map(|segment| segment.arclen(1e-6)).sum()
}
