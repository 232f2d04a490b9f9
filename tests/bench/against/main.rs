//! Our side of the comparison that `compare.py` makes: times and accuracy for one pattern sheet, as JSON.
//!
//! `cargo bench --bench against -- COAT.svg [RINGS.json]`: the rings are the offsets of another program, by piece, whose
//! distance from the true seamlines is measured here too.

use std::collections::BTreeMap;
use std::hint::black_box;
use std::time::Instant;

use clipper2_rust::{EndType, JoinType, PathsD, Point as ClipperPoint, inflate_paths_d};
use retrue::allowance::cutting_lines;
use retrue::curve::{BezPath, Curve, Point, offset};
use retrue::pattern::{Finish, Pattern, Piece, Selvedge};
use retrue::recut::{MergeAtSeamline, Split, Step};
use retrue::sheet;
use retrue::tolerance::{FINEST_FLATTENING, OFFSET_ACCURACY};
use retrue::units::Length;

/// How far beside the outlines the even offsets run, mm.
const DISTANCE: f64 = 15.0;

/// How often each thing is timed; the shortest time counts.
const RUNS: usize = 60;

/// How near to a corner a place of the outline has its nearest point for reasons of the corner, mm.
const AT_CORNER: f64 = 0.01;

/// The offsets of another program: rings of points, by piece.
type Rings = BTreeMap<String, Vec<[f64; 2]>>;

fn main() {
    let arguments: Vec<String> =
        std::env::args().skip(1).filter(|argument| !argument.starts_with("--")).collect();
    let coat = std::fs::read(arguments.first().expect("a pattern sheet")).expect("the sheet is there");
    let pattern = sheet::read(&coat, &Default::default()).expect("a pattern sheet").pattern;
    let theirs: Option<Rings> = arguments.get(1).map(|file| {
        serde_json::from_slice(&std::fs::read(file).expect("the rings are there")).expect("rings")
    });
    let flat: Vec<PathsD> = pattern.pieces().map(flattened).collect();
    let (parts, merge) = parted(&pattern);
    let even = even(&pattern);
    let report = serde_json::json!({
        "pieces": pattern.pieces().len(),
        "cutting_lines_us": shortest_of_lines(&coat, |pattern| pattern),
        "even_offsets_us": shortest(|| beside(black_box(&pattern))),
        "clipper_offsets_us": shortest(|| black_box(&flat).iter().map(inflated).collect::<Vec<_>>()),
        "lengths_us": shortest(|| seam_lengths(black_box(&pattern)).len()),
        "seam_lengths": seam_lengths(&pattern),
        "merge_us": shortest(|| merge.apply(black_box(&parts)).expect("parts that join")),
        "even_lines_us": shortest_of_lines(&coat, |pattern| self::even(&pattern)),
        "even_lines_error": error_of_rings(&even, &rings_of_ours(&even)),
        "clipper_error": error_of_rings(&pattern, &clipper_rings(&pattern, &flat)),
        "their_error": theirs.map(|rings| error_of_rings(&pattern, &rings)),
    });
    println!("{report}");
}

/// The shortest of the times that something takes, µs.
fn shortest<T>(mut work: impl FnMut() -> T) -> f64 {
    let times = (0..RUNS).map(|_| {
        let begun = Instant::now();
        black_box(work());
        begun.elapsed().as_secs_f64() * 1e6
    });
    times.fold(f64::INFINITY, f64::min)
}

/// The shortest of the times that cutting lines take, µs: of a sheet read anew each time, since a pattern keeps what was once
/// reckoned of it.
fn shortest_of_lines(coat: &[u8], made: impl Fn(Pattern) -> Pattern) -> f64 {
    let times = (0..RUNS).map(|_| {
        let pattern = made(sheet::read(coat, &Default::default()).expect("a pattern sheet").pattern);
        let begun = Instant::now();
        black_box(cutting_lines(black_box(&pattern)).expect("cutting lines"));
        begun.elapsed().as_secs_f64() * 1e6
    });
    times.fold(f64::INFINITY, f64::min)
}

/// Every edge of every piece beside itself, curves kept.
fn beside(pattern: &Pattern) -> Vec<Curve> {
    let edges = pattern.pieces().flat_map(Piece::edges);
    edges.map(|edge| offset(&edge.curve, DISTANCE, OFFSET_ACCURACY).expect("an offset")).collect()
}

/// The lengths of both sides of every seam, measured anew from the segments: a curve keeps its length once measured.
fn seam_lengths(pattern: &Pattern) -> Vec<f64> {
    let edges = pattern.seams().iter().flat_map(|seam| seam.edges());
    let measured = edges.map(|run| {
        let edge = pattern.find_edge(&run.edge).expect("an edge of the pattern");
        Curve::new(edge.curve.segments().iter().copied()).expect("a curve").length()
    });
    measured.collect()
}

/// The pattern with its sleeve in two, and the step that joins them again.
fn parted(pattern: &Pattern) -> (Pattern, Step) {
    let split = Step::from(Split {
        names: Some("sleeve-hind, sleeve-fore".parse().expect("names")),
        ..Split::of("sleeve".parse().expect("a name"), "fore-line".parse().expect("a line"))
    });
    let parts = split.apply(pattern).expect("a sleeve that can be split").pattern;
    let new = parts.record.new_edges().next().expect("a new seam").clone();
    (parts, MergeAtSeamline::of(new).into())
}

fn flattened(piece: &Piece) -> PathsD {
    let points = piece.edges().iter().flat_map(|edge| {
        let mut points = edge.curve.flattened(OFFSET_ACCURACY);
        points.pop();
        points
    });
    vec![points.map(|point| ClipperPoint { x: point.x, y: point.y }).collect()]
}

fn inflated(outline: &PathsD) -> PathsD {
    inflate_paths_d(outline, DISTANCE, JoinType::Miter, EndType::Polygon, 10.0, 3, OFFSET_ACCURACY)
}

fn clipper_rings(pattern: &Pattern, flat: &[PathsD]) -> Rings {
    let rings = pattern.pieces().zip(flat).map(|(piece, outline)| {
        let ring = inflated(outline).into_iter().next().expect("a ring");
        (piece.name().to_string(), ring.into_iter().map(|point| [point.x, point.y]).collect())
    });
    rings.collect()
}

/// How far the places of rings lie from where they should, at most, mm. Where the outline's nearest place is a corner,
/// the ring may rightly be further off.
fn error_of_rings(pattern: &Pattern, rings: &Rings) -> f64 {
    let mut worst: f64 = 0.0;
    for piece in pattern.pieces() {
        let ring = &rings[piece.name().as_str()];
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let (a, b) = (Point::new(a[0], a[1]), Point::new(b[0], b[1]));
            let places = [a, a.midpoint(b)].map(|place| piece.nearest_on_outline(place));
            let inside = places.iter().filter(|near| {
                let length = piece.edge(near.edge).curve.length();
                near.at > AT_CORNER && near.at < length - AT_CORNER
            });
            worst = inside.map(|near| (near.distance - DISTANCE).abs()).fold(worst, f64::max);
        }
    }
    worst
}

/// The same pieces with one allowance all round and nothing sewn to them, so that all corners are mitred.
fn even(pattern: &Pattern) -> Pattern {
    let pieces = pattern.pieces().map(|drawn| {
        let mut piece = drawn.clone();
        piece.darts.clear();
        piece.corners.clear();
        for id in piece.edge_ids() {
            let edge = piece.edge_settings(id);
            *edge.finish = Finish::Free;
            *edge.allowance = Length::from_mm(DISTANCE);
            *edge.selvedge = Selvedge::No;
        }
        piece
    });
    Pattern::new(pieces.collect(), Vec::new()).expect("sound pieces")
}

fn rings_of_ours(pattern: &Pattern) -> Rings {
    let lines = cutting_lines(pattern).expect("cutting lines");
    let ring = |path: &BezPath| {
        Curve::from_path(path)
            .expect("one loop")
            .flattened(FINEST_FLATTENING)
            .into_iter()
            .map(|point| [point.x, point.y])
            .collect()
    };
    lines.iter().map(|(name, line)| (name.to_string(), ring(&line.path))).collect()
}
