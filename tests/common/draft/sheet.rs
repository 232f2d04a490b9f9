//! Pieces laid out on a sheet, and the sheet as SVG text.

use std::fmt::Write;

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Shape, Vec2};

use super::board::{
    Cut, Edge, Finish, Girth, HEM_DEPTH, Mark, MarkKind, Notch, Piece, Purpose, SEAM_ALLOWANCE,
};
use super::curve;

/// Between two pieces in a row: room for both allowances and for the labels outside.
const SIDE_GAP: f64 = 80.0;
/// Between two rows: room for a hem above and a seam allowance below.
const ROW_GAP: f64 = 100.0;
/// Round the whole sheet.
const MARGIN: f64 = 70.0;
/// Decimals of a written coordinate: a ten-thousandth of a millimetre.
const DECIMALS: usize = 4;
/// Height of the letters of a label, and the width of one as a share of it.
const LETTERS: f64 = 11.0;
const LETTER_WIDTH: f64 = 0.6;
/// Where on the grainline a label may stand, the best place first.
const LABEL_PLACES: [f64; 6] = [0.35, 0.45, 0.55, 0.25, 0.65, 0.75];

/// How the sheet looks in a browser. Lines are told apart by their dashes, never by colour alone.
const STYLE: &str = r##"
    path, polyline, circle { fill: none; stroke: #222; stroke-width: 0.8 }
    [data-kind="edge"], .edge { stroke-dasharray: 7 2 }
    [data-finish="hem"] { stroke-dasharray: 14 3; stroke-width: 1.2 }
    [data-finish="fold"] { stroke-dasharray: 16 3 2 3; stroke-width: 1.2 }
    [data-finish="free"] { stroke-dasharray: none; stroke-width: 1.2 }
    [data-kind="dart"], .dart { stroke-dasharray: 4 2; stroke: #803 }
    [data-kind="level"], .level { stroke-dasharray: 1 4; stroke: #068 }
    [data-kind="style-line"] { stroke-dasharray: 10 4 1 4 1 4; stroke: #060 }
    [data-kind="mark"] { stroke-dasharray: 3 3; stroke: #666 }
    [data-kind="notch"], .notch { stroke-width: 1.6 }
    [data-count="2"] { stroke-width: 3.2 }
    [data-kind="grainline"], .grainline { marker-start: url(#arrow); marker-end: url(#arrow) }
    text { font-family: sans-serif; fill: #222; stroke: none }
"##;

const ARROW: &str = r##"  <defs>
    <marker id="arrow" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="8" markerHeight="8" orient="auto-start-reverse">
      <polygon points="0,1.5 10,5 0,8.5" fill="#222"/>
    </marker>
  </defs>
"##;

/// A sheet of pieces in rows.
pub struct Sheet {
    title: String,
    head: String,
    width: f64,
    pieces: Vec<Piece>,
}

impl Sheet {
    /// A sheet whose rows are at most `width` millimetres long. `head` is the comment at the top of
    /// the file: measures and rules of the draft.
    pub fn new(title: &str, head: String, width: f64) -> Self {
        Self { title: title.to_owned(), head, width, pieces: Vec::new() }
    }

    /// Lays the next piece, beside the last one or at the start of a new row.
    pub fn lay(&mut self, piece: Piece) {
        self.pieces.push(piece);
    }

    /// The SVG text.
    pub fn to_svg(&self) -> String {
        let mut body = String::new();
        let mut corner = Point::new(MARGIN, MARGIN);
        let mut row_depth = 0.0_f64;
        let mut used = 0.0_f64;
        for piece in &self.pieces {
            let bounds = bounds(piece);
            if corner.x > MARGIN && corner.x + bounds.width() + MARGIN > self.width {
                corner = Point::new(MARGIN, corner.y + row_depth + ROW_GAP);
                row_depth = 0.0;
            }
            let shift = (corner - bounds.origin()).round();
            let placed = piece.clone().placed(Affine::translate(shift));
            write_piece(&mut body, &placed);
            corner.x += bounds.width() + SIDE_GAP;
            row_depth = row_depth.max(bounds.height());
            used = used.max(corner.x - SIDE_GAP);
        }
        let size = Vec2::new(used + MARGIN, corner.y + row_depth + MARGIN).ceil();
        head_of_sheet(&self.title, &self.head, size) + &body + "</svg>\n"
    }
}

/// All of a sheet up to its first piece.
pub fn head_of_sheet(title: &str, head: &str, size: Vec2) -> String {
    let (width, height) = (size.x, size.y);
    let head = head.trim_end();
    format!(
        "<!--\n{head}\n-->\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
         viewBox=\"0 0 {width} {height}\">\n  <title>{title}</title>\n  <style>{STYLE}  </style>\n{ARROW}"
    )
}

/// A coordinate as written: four decimals, no trailing zeros.
pub fn number(value: f64) -> String {
    let text = format!("{value:.DECIMALS$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// A path as the `d` of the sheet, all commands absolute.
pub fn path_data(path: &BezPath) -> String {
    let point = |p: Point| format!("{} {}", number(p.x), number(p.y));
    let commands = path.elements().iter().map(|element| match *element {
        PathEl::MoveTo(p) => format!("M{}", point(p)),
        PathEl::LineTo(p) => format!("L{}", point(p)),
        PathEl::QuadTo(a, p) => format!("Q{} {}", point(a), point(p)),
        PathEl::CurveTo(a, b, p) => format!("C{} {} {}", point(a), point(b), point(p)),
        PathEl::ClosePath => "Z".to_owned(),
    });
    commands.collect::<Vec<_>>().join(" ")
}

/// The attributes that tell finish, allowance and seam of an edge.
pub fn edge_attributes(edge: &Edge) -> String {
    let (finish, allowance) = match edge.finish {
        Finish::Seam => ("seam", Some(SEAM_ALLOWANCE)),
        Finish::Hem => ("hem", Some(HEM_DEPTH)),
        Finish::Fold => ("fold", None),
        Finish::Free(allowance) => ("free", Some(allowance)),
    };
    let mut text = format!(" data-finish=\"{finish}\"");
    if let Some(allowance) = allowance {
        append(&mut text, format_args!(" data-allowance=\"{}mm\"", number(allowance)));
    }
    if let Some(partners) = &edge.sewn_to {
        append(&mut text, format_args!(" data-sewn-to=\"{partners}\""));
    }
    if let Some(ease) = edge.ease {
        append(&mut text, format_args!(" data-ease=\"{}mm\"", number(ease)));
    }
    text
}

/// The attributes of a piece's group.
pub fn piece_attributes(piece: &Piece) -> String {
    let copies = match piece.cut {
        Cut::One => 1,
        Cut::Pair => 2,
    };
    let girth = match piece.girth {
        Girth::Counted => "",
        Girth::NotCounted => " data-girth=\"no\"",
    };
    let purpose = match piece.purpose {
        Purpose::Plain => "",
        Purpose::Lining => " data-for=\"lining\"",
    };
    format!(" data-cut=\"{copies}\" data-cloth=\"{}\"{purpose}{girth}", piece.cloth)
}

/// A mark as one element of its piece.
///
/// A level that bears the name of an edge says its kind in its id: an id stands once on a sheet.
pub fn mark_element(piece: &Piece, mark: &Mark) -> String {
    let shared = mark.kind == MarkKind::Level && piece.edges.iter().any(|edge| edge.name == mark.name);
    let id = format!("id=\"{}.{}{}\"", piece.name, mark.name, if shared { ".level" } else { "" });
    let data = path_data(&mark.path);
    let kind = match mark.kind {
        MarkKind::Dart => "dart\"",
        MarkKind::Grainline => "grainline\" data-arrows=\"both\"",
        MarkKind::Level => "level\"",
        MarkKind::Notch(Notch::Single) => "notch\" data-count=\"1\"",
        MarkKind::Notch(Notch::Double) => "notch\" data-count=\"2\"",
        MarkKind::StyleLine => "style-line\"",
        MarkKind::Placement => "mark\"",
        MarkKind::Point => {
            let at = curve::start(&mark.path);
            let (x, y) = (number(at.x), number(at.y));
            return format!("<circle {id} data-kind=\"point\" cx=\"{x}\" cy=\"{y}\" r=\"3\"/>");
        }
    };
    format!("<path {id} data-kind=\"{kind} d=\"{data}\"/>")
}

/// The name of a piece and what to cut, beside its grainline: over it where it runs across the
/// sheet, else on the side where there is more room.
pub fn label(piece: &Piece) -> String {
    let Some(grain) = piece.marks.iter().find(|mark| mark.kind == MarkKind::Grainline) else {
        return String::new();
    };
    let (from, to) = (curve::start(&grain.path), curve::end(&grain.path));
    let bounds = bounds(piece);
    let copies = match piece.cut {
        Cut::One => "1",
        Cut::Pair => "2",
    };
    let what = format!("cut {copies}, {}", piece.cloth);
    let across = (to - from).x.abs() > 2.0 * (to - from).y.abs();
    if across {
        let line = format!("{}: {what}", piece.name);
        let at = from.midpoint(to) - Vec2::new(0.0, 4.0);
        return text_element(at, "middle", bounds.width(), &[&line]);
    }
    let lines = [piece.name.as_str(), &what];
    let beside = |share: f64| text_beside(from.lerp(to, share), bounds, &lines);
    let free = LABEL_PLACES.into_iter().find(|&share| {
        let taken = beside(share).1;
        !piece.marks.iter().any(|mark| hides(mark, taken))
    });
    beside(free.unwrap_or(LABEL_PLACES[0])).0
}

/// A label beside a point of the grainline, and the room that it takes.
fn text_beside(at: Point, bounds: Rect, lines: &[&str]) -> (String, Rect) {
    let (shift, anchor, room) = if at.x < bounds.center().x {
        (7.0, "start", bounds.x1 - at.x)
    } else {
        (-7.0, "end", at.x - bounds.x0)
    };
    let start = at + Vec2::new(shift, 0.0);
    let far = start + Vec2::new(shift * 12.0, 0.0);
    let taken = Rect::from_points(start - Vec2::new(0.0, LETTERS), far + Vec2::new(0.0, 1.6 * LETTERS));
    (text_element(start, anchor, room, lines), taken)
}

/// Whether a line of the piece would run through a label.
fn hides(mark: &Mark, taken: Rect) -> bool {
    let is_line =
        matches!(mark.kind, MarkKind::Dart | MarkKind::Level | MarkKind::StyleLine | MarkKind::Placement);
    is_line && mark.path.bounding_box().overlaps(taken)
}

/// Lines of text at most `room` millimetres wide, in letters of at most `LETTERS`.
fn text_element(at: Point, anchor: &str, room: f64, lines: &[&str]) -> String {
    let longest = lines.iter().map(|line| line.len()).max().unwrap_or(1);
    let columns = f64::from(u32::try_from(longest).unwrap_or(u32::MAX));
    let size = (0.85 * room / (columns * LETTER_WIDTH)).min(LETTERS);
    let (x, y, next) = (number(at.x), number(at.y), number(size * 1.3));
    let spans: Vec<_> = lines
        .iter()
        .enumerate()
        .map(|(place, line)| match place {
            0 => (*line).to_owned(),
            _ => format!("<tspan x=\"{x}\" dy=\"{next}\">{line}</tspan>"),
        })
        .collect();
    format!(
        "<text data-kind=\"derived\" data-shows=\"label\" x=\"{x}\" y=\"{y}\" \
         font-size=\"{}\" text-anchor=\"{anchor}\">{}</text>",
        number((size * 10.0).round() / 10.0),
        spans.concat()
    )
}

fn write_piece(body: &mut String, piece: &Piece) {
    let name = &piece.name;
    append(body, format_args!("  <g id=\"{name}\" data-kind=\"piece\"{}>\n", piece_attributes(piece)));
    for edge in &piece.edges {
        append(
            body,
            format_args!(
                "    <path id=\"{name}.{}\" data-kind=\"edge\"{} d=\"{}\"/>\n",
                edge.name,
                edge_attributes(edge),
                path_data(&edge.path)
            ),
        );
    }
    for mark in &piece.marks {
        append(body, format_args!("    {}\n", mark_element(piece, mark)));
    }
    append(body, format_args!("    {}\n  </g>\n", label(piece)));
}

fn bounds(piece: &Piece) -> Rect {
    piece.outline().bounding_box()
}

fn append(text: &mut String, more: std::fmt::Arguments<'_>) {
    text.write_fmt(more).expect("a String takes all text");
}
