//! A bag drawn as awkwardly as the sheet allows, and still true: hollows tighter than their
//! allowance, corners of 22 degrees, edges in any order and direction, every way to write a shape.

use std::fmt::Write;

use kurbo::{Affine, BezPath, Point, Vec2};

use super::curve::{chain, curve, line, reversed};
use super::sheet::{head_of_sheet, number, path_data};

/// Size of the whole sheet.
const SHEET: Vec2 = Vec2::new(1080.0, 940.0);
/// Round the bag, and half of the wedge's corner in degrees.
const WIDTH: f64 = 240.0;
const ACUTE: f64 = 22.0;
/// Radius of the hollow of the neck, and its centre: well under the allowance of 15.
const HOLLOW: f64 = 9.0;
const HOLLOW_CENTRE: Point = Point::new(120.0, 30.0);
/// How much smaller the neck facing's own units are than those of the sheet.
const FACING_SCALE: f64 = 0.5;
/// Height of the letters of a label.
const LETTERS: f64 = 10.0;
/// Length of a notch.
const NOTCH: f64 = 6.0;

/// The sheet. It is drawn for no body: it fits a bag of 240 mm round.
pub fn awkward() -> String {
    let head = "A bag 240 mm round: yoke, panel and band joined in rings, a strap with two tabs, a flap of\n\
                two wedges. No body measures. Drawn awkwardly on purpose: hollows of radius 9 and 11 with an\n\
                allowance of 15, corners of 22 degrees, edges in any order and direction, an edge of three\n\
                curves, a polyline, arcs, quadratics, classes and bare ids in place of kinds, a piece drawn\n\
                anticlockwise, one in a turned and scaled group, one made by use.";
    let mut text = head_of_sheet("Awkward bag", head, SHEET);
    for piece in [yoke(), panel(), band(), neck_facing(), wedge_left(), wedge_right(), strap(), tabs()] {
        text += &piece;
    }
    text + "</svg>\n"
}

/// How a piece tells what its elements are.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Telling {
    Kind,
    Class,
    BareId,
}

/// Writes one piece group.
struct Group {
    piece: &'static str,
    telling: Telling,
    text: String,
}

impl Group {
    fn new(piece: &'static str, telling: Telling, transform: &str) -> Self {
        let told = match telling {
            Telling::Kind | Telling::BareId => "data-kind=\"piece\"",
            Telling::Class => "class=\"piece\"",
        };
        let transform =
            if transform.is_empty() { String::new() } else { format!(" transform=\"{transform}\"") };
        let text = format!("  <g id=\"{piece}\" {told} data-cut=\"1\" data-cloth=\"main\"{transform}>\n");
        Self { piece, telling, text }
    }

    fn edge(&mut self, name: &str, attributes: &str, path: &BezPath) {
        self.shape("edge", name, attributes, &format!("d=\"{}\"", path_data(path)));
    }

    fn notch(&mut self, name: &str, count: u8, at: Point, outward: Vec2) {
        let path = line(at, at + outward.normalize() * NOTCH);
        let data = format!("d=\"{}\"", path_data(&path));
        self.shape("notch", name, &format!("data-count=\"{count}\""), &data);
    }

    fn grain(&mut self, from: Point, to: Point) {
        let data = format!("d=\"{}\"", path_data(&line(from, to)));
        self.shape("grainline", "grain", "data-arrows=\"both\"", &data);
    }

    /// An element; an edge may be told by its id alone, since it stands in a piece.
    fn shape(&mut self, kind: &str, name: &str, attributes: &str, geometry: &str) {
        let told = match self.telling {
            Telling::Class => format!(" class=\"{kind}\""),
            Telling::BareId if kind == "edge" => String::new(),
            Telling::Kind | Telling::BareId => format!(" data-kind=\"{kind}\""),
        };
        let element = if geometry.starts_with("points") { "polyline" } else { "path" };
        let id = format!("{}.{name}", self.piece);
        writeln!(self.text, "    <{element} id=\"{id}\"{told} {attributes} {geometry}/>")
            .expect("a String takes all text");
    }

    /// Closes the group with the name of the piece at `label`, in letters of `size` of its units.
    fn close(self, label: Point, size: f64) -> String {
        let (x, y) = (number(label.x), number(label.y));
        format!(
            "{}    <text data-kind=\"derived\" data-shows=\"label\" x=\"{x}\" y=\"{y}\" \
             font-size=\"{}\">{}: cut 1, main</text>\n  </g>\n",
            self.text,
            number(size),
            self.piece
        )
    }
}

const SEAM: &str = "data-finish=\"seam\" data-allowance=\"15mm\"";
const FREE: &str = "data-finish=\"free\" data-allowance=\"10mm\"";
const HEM: &str = "data-finish=\"hem\" data-allowance=\"40mm\"";

fn sewn_to(partners: &str) -> String {
    format!("{SEAM} data-sewn-to=\"{partners}\"")
}

/// The join of yoke and panel, left to right: three curves, hollow on either side in turn.
fn wave() -> BezPath {
    let handle = |length: f64| Vec2::new(length, 0.0);
    let (left, right) = (Point::new(0.0, 100.0), Point::new(WIDTH, 100.0));
    chain([
        &curve(left, handle(30.0), WAVE_LOW, handle(12.0)),
        &curve(WAVE_LOW, handle(12.0), WAVE_HIGH, handle(12.0)),
        &curve(WAVE_HIGH, handle(12.0), right, handle(40.0)),
    ])
}

const WAVE_LOW: Point = Point::new(80.0, 112.0);
const WAVE_HIGH: Point = Point::new(130.0, 92.0);

/// The join of panel and band, left to right: three quadratics.
fn swell() -> BezPath {
    let mut path = BezPath::new();
    path.move_to(Point::new(0.0, 250.0));
    path.quad_to(Point::new(40.0, 250.0), SWELL_LEFT);
    path.quad_to(Point::new(120.0, 270.0), SWELL_RIGHT);
    path.quad_to(Point::new(200.0, 250.0), Point::new(WIDTH, 250.0));
    path
}

const SWELL_LEFT: Point = Point::new(80.0, 260.0);
const SWELL_RIGHT: Point = Point::new(160.0, 260.0);

/// Height of the neck at the sides, and where its level ends turn into the hollow.
const NECK: f64 = 8.0;
const NECK_TURN: f64 = 60.0;

#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    LeftToRight,
    RightToLeft,
}

/// Path data of the neck: level, round and down into a hollow arc, up again. Mirrored about its
/// middle, so that the way back is the mirrored way there.
fn neck(scale: f64, way: Way) -> String {
    let at = |x: f64, y: f64| {
        let x = if way == Way::LeftToRight { x } else { WIDTH - x };
        format!("{} {}", number(x * scale), number(y * scale))
    };
    let slant = HOLLOW / 2.0_f64.sqrt();
    let foot = Vec2::new(HOLLOW_CENTRE.x - slant, HOLLOW_CENTRE.y + slant);
    let top = foot - Vec2::new(20.0, 20.0);
    let lead = 16.0 / 2.0_f64.sqrt();
    let sweep = u8::from(way == Way::RightToLeft);
    let radius = number(HOLLOW * scale);
    format!(
        "M{} L{} C{} {} {} L{} A{radius} {radius} 0 0 {sweep} {} L{} C{} {} {} L{}",
        at(0.0, NECK),
        at(NECK_TURN, NECK),
        at(NECK_TURN + 16.0, NECK),
        at(top.x - lead, top.y - lead),
        at(top.x, top.y),
        at(foot.x, foot.y),
        at(WIDTH - foot.x, foot.y),
        at(WIDTH - top.x, top.y),
        at(WIDTH - top.x + lead, top.y - lead),
        at(WIDTH - NECK_TURN - 16.0, NECK),
        at(WIDTH - NECK_TURN, NECK),
        at(WIDTH, NECK),
    )
}

/// Edges out of order, two of them against the clock.
fn yoke() -> String {
    let mut group = Group::new("yoke", Telling::Kind, "translate(60 60)");
    let left = line(Point::new(0.0, NECK), Point::new(0.0, 100.0));
    let right = line(Point::new(WIDTH, NECK), Point::new(WIDTH, 100.0));
    group.edge("lower", &sewn_to("panel.upper"), &wave());
    group.notch("lower-left-notch", 1, WAVE_LOW, Vec2::new(0.0, 1.0));
    group.edge("left", &sewn_to("yoke.right from neck"), &left);
    let data = format!("d=\"{}\"", neck(1.0, Way::LeftToRight));
    group.shape("edge", "neck", &sewn_to("neck-facing.neck"), &data);
    group.notch("neck-notch", 1, Point::new(NECK_TURN, NECK), Vec2::new(0.0, -1.0));
    group.edge("right", SEAM, &right);
    group.notch("lower-right-notch", 2, WAVE_HIGH, Vec2::new(0.0, 1.0));
    group.grain(Point::new(40.0, 30.0), Point::new(40.0, 90.0));
    group.close(Point::new(48.0, 75.0), LETTERS)
}

/// Drawn anticlockwise.
fn panel() -> String {
    let mut group = Group::new("panel", Telling::Kind, "translate(400 0)");
    let left = line(Point::new(0.0, 100.0), Point::new(0.0, 250.0));
    let right = line(Point::new(WIDTH, 250.0), Point::new(WIDTH, 100.0));
    group.edge("left", &sewn_to("panel.right from upper"), &left);
    group.edge("lower", &sewn_to("band.upper"), &swell());
    group.edge("right", SEAM, &right);
    group.edge("upper", SEAM, &reversed(&wave()));
    group.notch("upper-right-notch", 2, WAVE_HIGH, Vec2::new(0.0, -1.0));
    group.notch("upper-left-notch", 1, WAVE_LOW, Vec2::new(0.0, -1.0));
    group.notch("lower-left-notch", 1, SWELL_LEFT, Vec2::new(-1.0, 4.0));
    group.notch("lower-right-notch", 2, SWELL_RIGHT, Vec2::new(1.0, 4.0));
    group.grain(Point::new(60.0, 130.0), Point::new(60.0, 230.0));
    let middle = format!("d=\"{}\"", path_data(&line(Point::new(0.0, 180.0), Point::new(WIDTH, 180.0))));
    group.shape("level", "middle", "", &middle);
    group.close(Point::new(68.0, 165.0), LETTERS)
}

/// One edge is a polyline.
fn band() -> String {
    let mut group = Group::new("band", Telling::Kind, "translate(60 60)");
    let left = line(Point::new(0.0, 250.0), Point::new(0.0, 320.0));
    let right = line(Point::new(WIDTH, 250.0), Point::new(WIDTH, 320.0));
    group.edge("right", SEAM, &right);
    group.shape("edge", "lower", FREE, "points=\"0,320 60,320 120,326 180,320 240,320\"");
    group.edge("upper", SEAM, &reversed(&swell()));
    group.edge("left", &sewn_to("band.right from upper"), &left);
    group.notch("upper-right-notch", 2, SWELL_RIGHT, Vec2::new(-1.0, -4.0));
    group.notch("upper-left-notch", 1, SWELL_LEFT, Vec2::new(1.0, -4.0));
    group.grain(Point::new(40.0, 265.0), Point::new(40.0, 310.0));
    group.close(Point::new(48.0, 300.0), LETTERS)
}

/// In a group that is turned and scaled, drawn anticlockwise in units of half a millimetre.
fn neck_facing() -> String {
    let mut group = Group::new("neck-facing", Telling::Kind, "");
    let unit = 1.0 / FACING_SCALE;
    let at = |x: f64, y: f64| Point::new(x * unit, y * unit);
    let data = format!("d=\"{}\"", neck(unit, Way::RightToLeft));
    group.shape("edge", "neck", SEAM, &data);
    group.edge("left", &sewn_to("neck-facing.right from neck"), &line(at(0.0, NECK), at(0.0, 75.0)));
    group.edge("outer", FREE, &line(at(0.0, 75.0), at(WIDTH, 75.0)));
    group.edge("right", SEAM, &line(at(WIDTH, 75.0), at(WIDTH, NECK)));
    group.notch("neck-notch", 1, at(NECK_TURN, NECK), Vec2::new(0.0, -1.0));
    group.grain(at(30.0, 20.0), at(30.0, 65.0));
    let piece = group.close(at(36.0, 60.0), LETTERS * unit);
    format!("  <g transform=\"translate(760 60) rotate(25) scale({FACING_SCALE})\">\n{piece}  </g>\n")
}

/// Corners of the flap: its slanted join runs from `high` at the top to `low` at the hem.
struct Flap {
    high: Point,
    low: Point,
    depth: f64,
    width: f64,
}

fn flap() -> Flap {
    let depth = 130.0;
    let run = depth / ACUTE.to_radians().tan();
    let low = 60.0;
    Flap { high: Point::new(low + run, 0.0), low: Point::new(low, depth), depth, width: low + run + 40.0 }
}

/// A third down the slant.
fn slant_notch(flap: &Flap) -> Point {
    flap.high.lerp(flap.low, 1.0 / 3.0)
}

/// In the sheet's own coordinates; its acute corner is at the top.
fn wedge_left() -> String {
    let flap = flap();
    let place = Affine::translate((60.0, 480.0));
    let laid = |from: Point, to: Point| place * line(from, to);
    let (left_top, left_foot) = (Point::ZERO, Point::new(0.0, flap.depth));
    let mut group = Group::new("wedge-left", Telling::Kind, "");
    group.edge("hem", HEM, &laid(left_foot, flap.low));
    group.edge("top", FREE, &laid(flap.high, left_top));
    group.edge("slant", &sewn_to("wedge-right.slant"), &laid(flap.low, flap.high));
    group.edge("left", FREE, &laid(left_top, left_foot));
    let outward = Vec2::new(flap.depth, flap.high.x - flap.low.x);
    group.notch("slant-notch", 1, place * slant_notch(&flap), outward);
    group.grain(Point::new(90.0, 500.0), Point::new(90.0, 590.0));
    group.close(Point::new(98.0, 545.0), LETTERS)
}

/// Notice by classes alone; its acute corner is at the hem.
fn wedge_right() -> String {
    let flap = flap();
    let place = Affine::translate((60.0, 740.0));
    let laid = |from: Point, to: Point| place * line(from, to);
    let (right_top, right_foot) = (Point::new(flap.width, 0.0), Point::new(flap.width, flap.depth));
    let mut group = Group::new("wedge-right", Telling::Class, "");
    group.edge("slant", SEAM, &laid(flap.high, flap.low));
    group.edge("right", FREE, &laid(right_foot, right_top));
    group.edge("hem", HEM, &laid(flap.low, right_foot));
    group.edge("top", FREE, &laid(flap.high, right_top));
    let outward = -Vec2::new(flap.depth, flap.high.x - flap.low.x);
    group.notch("slant-notch", 1, place * slant_notch(&flap), outward);
    group.grain(Point::new(440.0, 760.0), Point::new(440.0, 850.0));
    group.close(Point::new(300.0, 815.0), LETTERS)
}

/// Width of strap and tabs, and where their notch lies from the left of the tab.
const STRAP: f64 = 60.0;
const STRAP_NOTCH: f64 = 20.0;

/// Its edges are told by their ids alone.
fn strap() -> String {
    let mut group = Group::new("strap", Telling::BareId, "translate(600 440)");
    let (top_right, foot_right) = (Point::new(STRAP, 0.0), Point::new(STRAP, 280.0));
    let (top_left, foot_left) = (Point::ZERO, Point::new(0.0, 280.0));
    group.edge("end-hind", &sewn_to("tab-2.top"), &line(top_right, top_left));
    group.edge("end-fore", &sewn_to("tab.top"), &line(foot_left, foot_right));
    group.edge("right", FREE, &line(foot_right, top_right));
    group.edge("left", FREE, &line(foot_left, top_left));
    let hind = Point::new(STRAP - STRAP_NOTCH, 0.0);
    group.notch("hind-notch", 1, hind, Vec2::new(0.0, -1.0));
    group.notch("fore-notch", 1, Point::new(STRAP_NOTCH, 280.0), Vec2::new(0.0, 1.0));
    group.grain(Point::new(30.0, 40.0), Point::new(30.0, 240.0));
    group.close(Point::new(70.0, 140.0), LETTERS)
}

/// A tab with a round end, and the same tab used again, shifted and turned.
fn tabs() -> String {
    let mut group = Group::new("tab", Telling::Kind, "translate(760 460)");
    let half = STRAP / 2.0;
    let round = format!("d=\"M0 0 L0 50 A{half} {half} 0 0 0 {STRAP} 50 L{STRAP} 0\"");
    group.shape("edge", "round", FREE, &round);
    group.edge("top", SEAM, &line(Point::ZERO, Point::new(STRAP, 0.0)));
    group.notch("top-notch", 1, Point::new(STRAP_NOTCH, 0.0), Vec2::new(0.0, -1.0));
    group.grain(Point::new(30.0, 12.0), Point::new(30.0, 62.0));
    group.close(Point::new(0.0, 100.0), LETTERS)
        + "  <use id=\"tab-2\" href=\"#tab\" x=\"150\" transform=\"rotate(-20 940 500)\" \
           data-kind=\"piece\" data-cut=\"1\" data-cloth=\"main\"/>\n"
}
