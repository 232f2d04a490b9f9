//! What of a piece is other than its recorded steps give.

use crate::curve::{Motion, Point};
use crate::pattern::{Cut, Derived, Edge, EdgeName, Mark, Piece, PieceFields, ShapedCorner};
use crate::resew::changes::found::{Changes, GivenAndDrawn, paired};
use crate::resew::changes::parts::PlacedPiece;
use crate::resew::changes::source;
use crate::tolerance::{REPLAYED, SAME_POINT};

/// Tells what of a piece is other. A piece that was only moved about on the sheet is not.
pub(super) fn compare(given: &Piece, drawn: &Piece, changes: &mut Changes) {
    let motion = placing(given, drawn);
    let PieceFields {
        name,
        edges,
        cut,
        cloth,
        darts,
        notches,
        levels,
        points,
        style_lines,
        grainline,
        marks,
        corners,
        purpose,
        derived,
        kept,
    } = given.fields();
    let now = drawn.fields();
    let Cut { copies: _told_together, twins: _with_them } = cut;
    changes.values(name, "copies cut", cut, now.cut);
    changes.values(name, "cloth", cloth, now.cloth);
    changes.values(name, "made for", &purpose.word(), &now.purpose.word());
    let text = |derived: Option<&Derived>| derived.map(Derived::to_string);
    changes.texts(name, "made from", text(derived).as_deref(), text(now.derived).as_deref());
    compare_corners(name.as_str(), corners, now.corners, changes);
    let mut placed = PlacedPiece { given, drawn, motion, changes };
    placed.kept(name.as_str(), kept, now.kept);
    placed.each(edges, now.edges, |edge| edge.name.as_str(), PlacedPiece::edge);
    placed.each(darts, now.darts, |dart| dart.name.as_str(), PlacedPiece::dart);
    placed.each(notches, now.notches, |notch| notch.name.as_str(), PlacedPiece::notch);
    placed.each(levels, now.levels, |level| level.name.as_str(), PlacedPiece::level);
    placed.each(points, now.points, |point| point.name.as_str(), PlacedPiece::point);
    placed.each(style_lines, now.style_lines, |line| line.name.as_str(), PlacedPiece::style_line);
    placed.each(grainline, now.grainline, |_| "grain", PlacedPiece::grainline);
    compare_marks(&mut placed, marks, now.marks);
}

fn compare_corners(piece: &str, given: &[ShapedCorner], drawn: &[ShapedCorner], changes: &mut Changes) {
    let name =
        |ShapedCorner { edges: (a, b), shape: _told_beside }: &ShapedCorner| format!("{piece}, {a} and {b}");
    let turned = |one: &ShapedCorner| (one.edges.1.clone(), one.edges.0.clone());
    let same = |a: &ShapedCorner, b: &ShapedCorner| a.edges == b.edges || a.edges == turned(b);
    for pair in paired(given, drawn, same) {
        match pair {
            GivenAndDrawn::Both(given, drawn) => {
                let at = name(given);
                changes.values(at, "corner", &given.shape, &drawn.shape);
            }
            GivenAndDrawn::Given(one) => {
                changes.texts(name(one), "corner", Some(&one.shape.to_string()), None)
            }
            GivenAndDrawn::Drawn(one) => {
                changes.texts(name(one), "corner", None, Some(&one.shape.to_string()))
            }
        }
    }
}

/// Marks are known by what they say: those that say the same lie where they did, the others are held against each other
/// by their names.
fn compare_marks(placed: &mut PlacedPiece<'_>, given: &[Mark], drawn: &[Mark]) {
    let piece = placed.given.name().as_str();
    let (mut missing, mut added) = (Vec::new(), Vec::new());
    let motion = placed.motion;
    let same = |given: &Mark, drawn: &Mark| {
        source::is_same(&given.source, &drawn.source) && parts_apart(given, drawn, &motion) <= REPLAYED
    };
    for pair in paired(given, drawn, same) {
        match pair {
            GivenAndDrawn::Both(..) => {}
            GivenAndDrawn::Given(mark) => missing.push(mark),
            GivenAndDrawn::Drawn(mark) => added.push(mark),
        }
    }
    let named = |mark: &Mark| source::named(&mark.source, piece);
    for pair in paired(missing, added, |given, drawn| named(given) == named(drawn)) {
        match pair {
            GivenAndDrawn::Both(given, drawn) => {
                let at = named(given);
                source::compare(&at, &given.source, &drawn.source, placed.changes);
                placed.changes.distance(at, parts_apart(given, drawn, &motion));
            }
            GivenAndDrawn::Given(mark) => placed.changes.missing(named(mark)),
            GivenAndDrawn::Drawn(mark) => placed.changes.added(named(mark)),
        }
    }
}

/// How far two marks of one source lie apart.
fn parts_apart(given: &Mark, drawn: &Mark, motion: &Motion) -> f64 {
    let Mark { id: _in_the_source, source: _compared_before, place, lines, anchor } = given;
    let extent = lines.iter().map(crate::curve::Curve::bounds).reduce(|a, b| a.union(b));
    let at = anchor.map(|at| kurbo::Rect::from_points(at, at));
    let seen = extent.or(at);
    super::parts::places_apart(
        motion.to_affine() * *place,
        drawn.place,
        seen.map(|seen| (motion.to_affine()).transform_rect_bbox(seen)),
    )
}

/// The motion that lays the piece that the steps give on the one that is drawn: none where one of its edges lies as it
/// did, else the one that lays most corners on one another, by the longest edge.
fn placing(given: &Piece, drawn: &Piece) -> Motion {
    let ends = |edge: &Edge| (edge.curve.start(), edge.curve.end());
    let on_both: Vec<((Point, Point), (Point, Point))> = given
        .edges()
        .iter()
        .filter_map(|edge| Some((ends(edge), ends(drawn.edge(find(drawn, &edge.name)?)))))
        .filter(|((start, end), _)| start.distance(*end) > SAME_POINT)
        .collect();
    let lie_together = |motion: &Motion| {
        let is_near = |a: Point, b: Point| motion.apply(a).distance(b) <= REPLAYED;
        on_both.iter().filter(|(from, to)| is_near(from.0, to.0) && is_near(from.1, to.1)).count()
    };
    let stays = Motion::identity();
    if lie_together(&stays) > 0 {
        return stays;
    }
    let candidates = on_both.iter().filter_map(|(from, to)| {
        let motion = Motion::carry(*from, *to).ok()?;
        Some((lie_together(&motion), from.0.distance(from.1), motion))
    });
    let best = candidates.max_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    best.filter(|(count, ..)| *count > 0).map_or(stays, |(.., motion)| motion)
}

fn find(piece: &Piece, edge: &EdgeName) -> Option<crate::pattern::EdgeId> {
    piece.find_edge(edge)
}
