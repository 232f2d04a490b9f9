//! Allowance that is not there is told, and no corner's shape takes any.

use kurbo::ParamCurve;
use proptest::prelude::*;
use retrue::allowance::{CutShape, cutting_lines};
use retrue::pattern::Pattern;
use retrue::recut::{Notice, Step};
use retrue::sheet;
use retrue::truing::{self, Finding, FindingKind, Limits};
use retrue::units::Unit;

use crate::ends::{end, pair};
use crate::fixtures::fixtures;
use crate::left_beside::{Left, least_left, written_line};
use crate::pieces::alone;
use crate::random_shapes::rough;

/// What lacks less than this is told by neither measure for sure, mm: a third of a pencil line, and how far straight lines
/// and steps leave the line.
const TOLD: f64 = 0.3;

/// How far the two measures may lie apart, mm: places stand half a millimetre apart in either, beside ends as steep as 60°.
const AGREE: f64 = 1.0;

fn read(name: &str) -> Pattern {
    let file = format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"));
    sheet::read(&std::fs::read(file).unwrap(), &Default::default()).unwrap().pattern
}

fn short(pattern: &Pattern) -> Vec<Finding> {
    let found = truing::check(pattern, &Limits::default());
    let kinds = [FindingKind::AllowanceShort, FindingKind::SeamlineCutOff, FindingKind::CutEnds];
    found.into_iter().filter(|finding| kinds.contains(&finding.kind)).collect()
}

/// The shipped sheets have all of their allowances.
#[test]
fn the_fixtures_lack_nothing() {
    for (name, pattern) in fixtures() {
        let found = short(&pattern);
        let told: Vec<String> = found.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect();
        assert!(told.is_empty(), "{name}: {told:#?}");
        let written = sheet::write(&pattern).unwrap();
        for piece in pattern.pieces() {
            for left in least_left(piece, &written_line(&written, piece.name().as_str())) {
                assert!(left.lacks() <= TOLD, "{name}: {}.{left:?}", piece.name());
            }
        }
    }
}

/// Cuts of one sort: a sheet, a piece, from where, to where.
type Cuts = (&'static str, &'static str, &'static [&'static str], &'static [&'static str]);

const TO_ARMHOLE: &[&str] = &[
    "armhole@8%",
    "armhole@17%",
    "armhole@28%",
    "armhole@36%",
    "armhole@45%",
    "armhole@55%",
    "armhole@66%",
    "armhole@78%",
    "armhole@90%",
];
const FROM_ABOVE: &[&str] = &[
    "neck@20%",
    "neck@50%",
    "neck@80%",
    "shoulder@12%",
    "shoulder@30%",
    "shoulder@50%",
    "shoulder@70%",
    "shoulder@88%",
];
const FROM_ARMHOLE: &[&str] = &["armhole@15%", "armhole@35%", "armhole@50%", "armhole@70%", "armhole@88%"];
const DOWN: &[&str] = &["side@30%", "side@70%", "hem@20%", "hem@50%", "hem@80%", "centre@40%", "centre@80%"];
const DOWN_BODICE: &[&str] = &["side@20%", "side@85%", "waist@15%", "waist@50%", "waist@85%", "centre@50%"];
const CAP: &[&str] = &["cap@8%", "cap@20%", "cap@35%", "cap@50%", "cap@62%", "cap@80%", "cap@93%"];
const SLEEVE_HEM: &[&str] = &["hem@15%", "hem@40%", "hem@60%", "hem@85%"];

const GRID: [Cuts; 12] = [
    ("coat", "front", FROM_ABOVE, TO_ARMHOLE),
    ("coat", "back", FROM_ABOVE, TO_ARMHOLE),
    ("coat", "front", FROM_ARMHOLE, DOWN),
    ("coat", "back", FROM_ARMHOLE, DOWN),
    ("coat", "sleeve", CAP, SLEEVE_HEM),
    ("dress", "bodice-front", FROM_ABOVE, TO_ARMHOLE),
    ("dress", "bodice-back", FROM_ABOVE, TO_ARMHOLE),
    ("dress", "lining-front", FROM_ABOVE, TO_ARMHOLE),
    ("dress", "bodice-front", FROM_ARMHOLE, DOWN_BODICE),
    ("dress", "bodice-back", FROM_ARMHOLE, DOWN_BODICE),
    ("dress", "lining-front", FROM_ARMHOLE, DOWN),
    ("dress", "sleeve", CAP, SLEEVE_HEM),
];

/// What a cut of the grid came to.
struct Cut {
    name: String,
    found: Vec<Finding>,
    /// What the test measured itself, of each edge of the new pieces.
    left: Vec<(String, Left)>,
    squared: usize,
    gave_way: usize,
}

fn cuts() -> Vec<Cut> {
    let mut cuts = Vec::new();
    for (name, piece, from, to) in GRID {
        let pattern = read(name);
        for line in from.iter().flat_map(|from| to.iter().map(move |to| format!("{from} > {to}"))) {
            let fields = serde_json::json!({ "piece": piece, "line": line, "names": "one, other" });
            let Ok(recut) = Step::read("split", fields).unwrap().apply(&pattern) else { continue };
            let written = sheet::write(&recut.pattern).unwrap();
            if let Some(folder) = std::env::var_os("RETRUE_KEEP") {
                let file = format!("{name}-{piece}-{}.svg", line.replace([' ', '>'], ""));
                std::fs::write(std::path::Path::new(&folder).join(file), &written).unwrap();
            }
            let lines = cutting_lines(&recut.pattern).unwrap();
            let mut cut = Cut {
                name: format!("{name} {piece} {line}"),
                found: short(&recut.pattern),
                left: Vec::new(),
                squared: 0,
                gave_way: 0,
            };
            for new in ["one", "other"] {
                let new = recut.pattern.piece(&new.parse().unwrap()).unwrap();
                for corner in &lines.of(new.name()).unwrap().corners {
                    cut.squared += usize::from(matches!(corner.shape, CutShape::Square(_)));
                    cut.gave_way += usize::from(matches!(corner.shape, CutShape::IntoNeighbour(_)));
                }
                let left = least_left(new, &written_line(&written, new.name().as_str()));
                cut.left.extend(left.into_iter().map(|left| (new.name().to_string(), left)));
            }
            cuts.push(cut);
        }
    }
    cuts
}

/// Cuts from neck and shoulder to the armhole, from the armhole to side, hem and centre, from a sleeve's cap to its hem, on
/// the coat and the dress: none is short in silence, and what is told is what the written line shows; at most one in ten is
/// short at all.
#[test]
fn no_cut_is_short_in_silence() {
    let cuts = cuts();
    let (mut wrong, mut short_cuts) = (Vec::new(), 0);
    for cut in &cuts {
        let lacking: Vec<_> = cut.left.iter().filter(|(_, left)| left.lacks() > TOLD).collect();
        short_cuts += usize::from(!lacking.is_empty());
        for (piece, left) in &lacking {
            let edge = format!("{piece}.{}", left.edge);
            let told = cut.found.iter().filter(|finding| {
                finding.kind == FindingKind::AllowanceShort && finding.at.split(' ').next() == Some(&edge)
            });
            let least = told.map(|finding| finding.number).min_by(f64::total_cmp);
            if least.is_none_or(|least| least > left.left + AGREE) {
                wrong.push(format!("{}: {edge} at {:.1} mm: {left:?}, told {least:?}", cut.name, left.at));
            }
        }
        for finding in &cut.found {
            let measured = lacking
                .iter()
                .any(|(piece, left)| finding.at.split(' ').next() == Some(&format!("{piece}.{}", left.edge)));
            let lacks = finding.kind != FindingKind::CutEnds && finding.number + TOLD < finding.limit;
            if lacks && !measured {
                wrong.push(format!("{}: told {}", cut.name, finding.sentence(Unit::Millimetre)));
            }
        }
    }
    let sum = |of: fn(&Cut) -> usize| cuts.iter().map(of).sum::<usize>();
    println!(
        "{} cuts, {short_cuts} short; of {} ends to be squared {} gave way, in {} cuts",
        cuts.len(),
        sum(|cut| cut.squared + cut.gave_way),
        sum(|cut| cut.gave_way),
        cuts.iter().filter(|cut| cut.gave_way > 0).count()
    );
    assert!(wrong.is_empty(), "{} of {}: {:#?}", wrong.len(), cuts.len(), wrong);
    assert!(cuts.len() >= 300, "{} cuts", cuts.len());
    assert!(10 * short_cuts <= cuts.len(), "{short_cuts} of {} are short", cuts.len());
}

/// The front of the coat cut from the shoulder into the hollow of its armhole.
fn cut_into_the_armhole() -> Pattern {
    let fields = serde_json::json!({
        "piece": "front", "line": "shoulder@50% > armhole@45%", "names": "side, centre"
    });
    Step::read("split", fields).unwrap().apply(&read("coat")).unwrap().pattern
}

/// The seam's line runs into the armhole's own allowance, which stays whole; the other piece is squared as ever.
#[test]
fn a_squared_end_gives_way_to_a_hollow_armhole() {
    let pattern = cut_into_the_armhole();
    assert!(short(&pattern).is_empty(), "{:?}", short(&pattern));
    let lines = cutting_lines(&pattern).unwrap();
    let shapes: Vec<CutShape> = ["side", "centre"]
        .into_iter()
        .flat_map(|name| {
            let piece = pattern.piece(&name.parse().unwrap()).unwrap();
            let corners = lines.of(piece.name()).unwrap().corners.clone();
            let names = |corner: &retrue::allowance::CutCorner| {
                [corner.edges.0, corner.edges.1].map(|id| piece.edge(id).name.to_string())
            };
            let here = move |corner: &retrue::allowance::CutCorner| {
                names(corner).iter().all(|name| ["seam", "armhole"].contains(&name.as_str()))
            };
            corners.into_iter().filter(here).map(|corner| corner.shape).collect::<Vec<_>>()
        })
        .collect();
    let gave_way = |shape: &CutShape| matches!(shape, CutShape::IntoNeighbour(_));
    assert!(shapes.len() == 2 && shapes.iter().filter(|shape| gave_way(shape)).count() == 1, "{shapes:?}");
}

/// Whatever shape is set there, on either piece, no allowance is taken, and the other piece's end goes with it.
#[test]
fn a_corner_set_at_a_hollow_armhole_keeps_its_ends_together() {
    for piece in ["side", "centre"] {
        for shape in ["mitre", "square", "jog", "usual"] {
            let fields =
                serde_json::json!({ "edges": format!("{piece}.seam, {piece}.armhole"), "shape": shape });
            let set = Step::read("set-corner", fields).unwrap().apply(&cut_into_the_armhole()).unwrap();
            let found = short(&set.pattern);
            let told: Vec<String> = found.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect();
            assert!(told.is_empty(), "{piece} {shape}: {told:#?}");
        }
    }
}

/// A shape that cannot be had at a corner is told when it is set, with what is cut instead; one that can is not.
#[test]
fn a_shape_that_gives_way_is_told() {
    let (mut told, mut kept) = (0, 0);
    for (piece, neighbour) in ["side", "centre"].into_iter().flat_map(|p| [(p, "armhole"), (p, "shoulder")]) {
        for shape in ["mitre", "square", "jog"] {
            let fields =
                serde_json::json!({ "edges": format!("{piece}.seam, {piece}.{neighbour}"), "shape": shape });
            let set = Step::read("set-corner", fields).unwrap().apply(&cut_into_the_armhole()).unwrap();
            let lines = cutting_lines(&set.pattern).unwrap();
            let of = set.pattern.piece(&piece.parse().unwrap()).unwrap();
            let names = |id| of.edge(id).name.as_str();
            let is_here = |corner: &&retrue::allowance::CutCorner| {
                let edges = [names(corner.edges.0), names(corner.edges.1)];
                edges.contains(&"seam") && edges.contains(&neighbour)
            };
            let cut = lines.of(of.name()).unwrap().corners.iter().find(is_here).unwrap().shape;
            let fits = match shape {
                "mitre" => matches!(cut, CutShape::Mitre | CutShape::CappedMitre),
                "square" => matches!(cut, CutShape::Square(_)),
                _ => cut == CutShape::Jog,
            };
            let warned = set.notices.iter().find(|told| matches!(told, Notice::CornerGaveWay { .. }));
            assert_eq!(warned.is_none(), fits, "{piece} {neighbour} {shape}: {cut:?}, {warned:?}");
            *(if fits { &mut kept } else { &mut told }) += 1;
        }
    }
    assert!(told > 0 && kept > 0, "{told} told, {kept} as set");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    /// Pieces of random angles, hollow and full neighbours, and allowances that differ everywhere: no corner takes any.
    #[test]
    fn no_corner_takes_any_allowance(
        front in [end(), end()],
        back in [end(), end()],
        allowances in (5.0..30.0, 5.0..30.0),
    ) {
        let Some(pattern) = pair([front, back], allowances) else {
            return Err(TestCaseError::reject("an outline that crosses itself"));
        };
        let lines = cutting_lines(&pattern).unwrap();
        for piece in pattern.pieces() {
            let line = lines.of(piece.name()).unwrap();
            for left in least_left(piece, &line.path) {
                prop_assert!(left.lacks() <= TOLD, "{}.{left:?} {:?}", piece.name(), line.corners);
            }
            prop_assert!(line.shortages(piece).is_empty(), "{:?}", line.shortages(piece));
        }
    }

    /// Hollows tighter than their allowance and near-acute corners: what is told to be left is what there is.
    #[test]
    fn what_is_told_to_be_left_is_left(shape in rough()) {
        let line = alone(&shape);
        let told = line.shortages(&shape);
        for left in least_left(&shape, &line.path) {
            let here = told.iter().filter(|short| shape.edge(short.edge).name.as_str() == left.edge);
            let least = here.map(|short| short.left).min_by(f64::total_cmp).unwrap_or(left.asked);
            prop_assert!(
                left.lacks() <= TOLD && left.asked - least <= TOLD || (least - left.left).abs() <= AGREE,
                "{left:?}, told {least}"
            );
        }
    }
}

/// A cut that begins near the fold: what is written ends at the fold, beyond which the other half lies, and what the neck
/// lacks there is told.
#[test]
fn nothing_is_cut_beyond_a_fold() {
    let mut cuts = 0;
    for (piece, to) in
        [("bodice-front", "armhole@20%"), ("lining-front", "armhole@38.8%"), ("bodice-front", "side@80%")]
    {
        for from in ["neck@85%", "neck@91.3%", "neck@92%", "neck@95%"] {
            let fields = serde_json::json!({ "piece": piece, "line": format!("{from} > {to}"), "names": "one, other" });
            let Ok(recut) = Step::read("split", fields).unwrap().apply(&read("dress")) else { continue };
            cuts += 1;
            let written = sheet::write(&recut.pattern).unwrap();
            let folded = recut.pattern.pieces().filter(|new| ["one", "other"].contains(&new.name().as_str()));
            let folded: Vec<_> = folded.filter(|piece| piece.fold().is_some()).collect();
            assert!(!folded.is_empty(), "{piece} {from} > {to}");
            for new in folded {
                let fold = new.edge(new.fold().unwrap()).curve.clone();
                let way = (fold.end() - fold.start()).normalize();
                let line = written_line(&written, new.name().as_str());
                let beyond = line
                    .segments()
                    .flat_map(|segment| (0..=20).map(move |i| segment.eval(f64::from(i) / 20.0)));
                let most = beyond.map(|at| -way.cross(at - fold.start())).fold(f64::NEG_INFINITY, f64::max);
                assert!(most <= 1e-3, "{piece} {from} > {to}: {most} mm beyond the fold");
                let lacks = least_left(new, &line)
                    .into_iter()
                    .find(|left| left.edge == "neck" && left.lacks() > TOLD);
                let told = short(&recut.pattern)
                    .iter()
                    .any(|finding| finding.at.starts_with(&format!("{}.neck", new.name())));
                assert_eq!(lacks.is_some(), told, "{piece} {from} > {to}: {lacks:?}");
            }
        }
    }
    assert!(cuts >= 10, "{cuts} cuts");
}
