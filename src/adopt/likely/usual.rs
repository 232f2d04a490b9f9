//! What a piece or an edge may be called: what is written on it first, then what is usual for such a shape.

use crate::adopt::found::Found;
use crate::adopt::likely::labels::Wording;
use crate::curve::Curve;
use crate::tolerance::ON_OUTLINE;

/// The pieces that most garments have.
const PIECES: [&str; 10] =
    ["front", "back", "sleeve", "collar", "side", "facing", "cuff", "pocket", "yoke", "waistband"];

/// Which way an edge faces, as the piece lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Facing {
    Up,
    Down,
    Aside,
}

/// What an edge is usually called: where it lies, whether it is straight, its name.
const EDGES: [(Facing, EdgeBend, &str); 17] = [
    (Facing::Down, EdgeBend::Any, "hem"),
    (Facing::Up, EdgeBend::Straight, "shoulder"),
    (Facing::Up, EdgeBend::Any, "waist"),
    (Facing::Up, EdgeBend::Curved, "neck"),
    (Facing::Up, EdgeBend::Curved, "cap"),
    (Facing::Up, EdgeBend::Any, "top"),
    (Facing::Aside, EdgeBend::Straight, "centre"),
    (Facing::Aside, EdgeBend::Any, "side"),
    (Facing::Aside, EdgeBend::Curved, "armhole"),
    (Facing::Aside, EdgeBend::Any, "underarm"),
    (Facing::Aside, EdgeBend::Curved, "neck"),
    (Facing::Aside, EdgeBend::Any, "front-edge"),
    (Facing::Aside, EdgeBend::Straight, "end"),
    (Facing::Up, EdgeBend::Curved, "armhole"),
    (Facing::Down, EdgeBend::Any, "neck"),
    (Facing::Down, EdgeBend::Any, "waist"),
    (Facing::Down, EdgeBend::Any, "underarm"),
];

/// The shape that a name goes with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum EdgeBend {
    Any,
    Straight,
    Curved,
}

/// Names that a piece made of an outline may have, the likeliest first.
#[must_use]
pub fn piece_names(found: &Found, outline: &str) -> Vec<String> {
    let at = found.outlines.iter().position(|known| known.letter.as_str() == outline);
    let written = at.map_or_else(Vec::new, |at| Wording::within(found, &with_cut_line(found, at)));
    let written = written.into_iter().filter_map(|wording| wording.said.name);
    once(written.chain(PIECES.map(str::to_owned)))
}

/// Names that an edge of an outline may have, the likeliest first.
#[must_use]
pub fn edge_names(found: &Found, outline: &str, number: usize) -> Vec<String> {
    let Some(at) = found.outlines.iter().position(|known| known.letter.as_str() == outline) else {
        return Vec::new();
    };
    let outline = &found.outlines[at];
    let Some(edge) = number.checked_sub(1).and_then(|at| outline.edges.get(at)) else { return Vec::new() };
    let wordings = Wording::within(found, &with_cut_line(found, at));
    let mut beside: Vec<(f64, String)> =
        wordings.iter().filter_map(|wording| Some((wording.beside(edge)?, wording.edge_name()?))).collect();
    beside.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (facing, straight) = (facing(edge), edge.is_straight(ON_OUTLINE));
    let fits = |shape: EdgeBend| match shape {
        EdgeBend::Any => true,
        EdgeBend::Straight => straight,
        EdgeBend::Curved => !straight,
    };
    let usual = EDGES.iter().filter(|(way, shape, _)| *way == facing && fits(*shape));
    let usual = usual.map(|(_, _, name)| (*name).to_owned());
    once(beside.into_iter().map(|(_, name)| name).chain(usual))
}

/// The outline, and the line that is cut around it, where both are drawn.
fn with_cut_line(found: &Found, at: usize) -> Vec<usize> {
    [Some(at), found.outlines[at].inside].into_iter().flatten().collect()
}

fn once(names: impl Iterator<Item = String>) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for name in names {
        if !all.contains(&name) {
            all.push(name);
        }
    }
    all
}

/// Which way the outside of an edge looks.
fn facing(edge: &Curve) -> Facing {
    /// How much farther up or down than aside the outside of an edge looks that faces there.
    const STEEP: f64 = 1.0;
    let outward = edge.normal_outward(edge.length() / 2.0);
    let chord = edge.end() - edge.start();
    // The way across the whole edge tells more than its middle.
    let across = if chord.hypot() > ON_OUTLINE { crate::curve::left_of(chord.normalize()) } else { outward };
    match (across.y.abs() > STEEP * across.x.abs(), across.y > 0.0) {
        (true, true) => Facing::Down,
        (true, false) => Facing::Up,
        (false, _) => Facing::Aside,
    }
}
