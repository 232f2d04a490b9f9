//! The laws of linings: pleats, raised underarms, hems, and where they are sewn to facings.

use approx::assert_abs_diff_eq;
use kurbo::CubicBez;
use proptest::prelude::*;
use retrue::curve::{Curve, PathSeg, Point};
use retrue::pattern::{
    DartKind, Edge, EdgeRef, Finish, Grainline, Level, Pattern, Piece, Purpose, RefusalKind, RunEdge, Walk,
};
use retrue::recut::Notice;
use retrue::sheet;
use retrue::truing::Verdict;
use retrue::units::Length;
use serde_json::{Value, json};

use crate::made::{apply, assert_proven, assert_same_shell, edge, name, piece, step, through_a_sheet};

/// Lengths that are sewn together, mm.
const SEWN: f64 = 0.01;

fn coat() -> Pattern {
    sheet::read(&std::fs::read("fixtures/coat.svg").unwrap(), &Default::default()).unwrap().pattern
}

fn lining(of: &str, wishes: &Value) -> Value {
    let mut fields = wishes.clone();
    fields["do"] = "copy-piece".into();
    fields["piece"] = of.into();
    fields["name"] = format!("{of}-lining").into();
    fields["for"] = "lining".into();
    fields
}

/// The coat with linings of back, front and sleeve.
fn lined(coat: &Pattern, raise: f64, shorter: f64, pleat: &str) -> Pattern {
    let wishes = json!({"raise": format!("{raise}mm"), "shorter": format!("{shorter}mm")});
    let mut back = wishes.clone();
    back["pleat"] = pleat.into();
    let steps = [lining("back", &back), lining("front", &wishes), lining("sleeve", &wishes)];
    steps.into_iter().fold(coat.clone(), |pattern, step| apply(&pattern, step).pattern)
}

fn sewn_length(pattern: &Pattern, names: &str) -> f64 {
    let edges = names.split(' ').map(|name| name.parse::<EdgeRef>().unwrap());
    edges
        .map(|edge| {
            let (piece, id) = pattern.edge(&edge).unwrap();
            piece.sewn_length(id)
        })
        .sum()
}

fn is_sewn(pattern: &Pattern, first: &str, second: &str) -> bool {
    let edge: EdgeRef = first.parse().unwrap();
    pattern.seams_of(&edge).any(|id| {
        let seam = pattern.seam(id);
        seam.edges().any(|run| run.edge.to_string() == second)
            && (Walk::of(pattern, &seam.first).unwrap().length()
                - Walk::of(pattern, &seam.second).unwrap().length()
                - seam.ease.mm())
            .abs()
                <= SEWN
    })
}

/// Half a back of straight lines: its fold 900 mm, its waist 400 mm below the neck.
fn plain_back(centre: Finish) -> Pattern {
    back_with(centre, None)
}

/// The same with a hem that curves up to the side by so much.
fn back_with_hem(rise: f64) -> Pattern {
    back_with(Finish::Fold, Some(rise))
}

fn back_with(centre: Finish, rise: Option<f64>) -> Pattern {
    let p = Point::new;
    let line = |name: &str, from: Point, to: Point, finish: Finish| Edge {
        finish,
        allowance: Length::from_mm(if finish == Finish::Fold { 0.0 } else { 15.0 }),
        ..Edge::new(name.parse().unwrap(), Curve::line(from, to).unwrap())
    };
    let low = p(560.0, 900.0 - rise.unwrap_or(0.0));
    let corners = [p(300.0, 0.0), p(400.0, 40.0), p(560.0, 60.0), low, p(300.0, 900.0)];
    let at = |i: usize| corners[i % 5];
    let hem = line("hem", at(3), at(4), Finish::Hem);
    let curved = |rise: f64| {
        let cubic = CubicBez::new(low, p(480.0, low.y + 0.3 * rise), p(400.0, 900.0), at(4));
        Curve::new([PathSeg::Cubic(cubic)]).unwrap()
    };
    let hem = match rise {
        None => hem,
        Some(rise) => Edge { curve: curved(rise), ..hem },
    };
    let edges = vec![
        line("neck", p(300.0, 0.0), p(400.0, 0.0), Finish::Free),
        line("shoulder", p(400.0, 0.0), at(2), Finish::Free),
        line("side", at(2), at(3), Finish::Free),
        hem,
        line("centre", at(4), at(0), centre),
    ];
    let mut back = Piece::new(name("back"), edges).unwrap();
    back.levels.push(Level {
        name: "waist".parse().unwrap(),
        stretches: vec![(p(300.0, 400.0), p(560.0, 400.0))],
        girth: Default::default(),
        kept: Default::default(),
    });
    back.grainline = Some(Grainline {
        start: p(400.0, 200.0),
        end: p(400.0, 700.0),
        arrows: Default::default(),
        kept: Default::default(),
    });
    Pattern::new(vec![back], Vec::new()).unwrap()
}

/// Extra cloth at the centre back of a coat's lining, by EWE v1, 7th tailoring lesson: 1 in at the neck, straight to nothing
/// at the waist, `25.4 × (1 − d ÷ 400)` at depth d; 5,080 mm² on each half, nothing below. The rule [S], straight taper
/// and 400 mm assumed, numbers [D].
#[test]
fn a_pleat_to_the_waist_is_as_published() {
    let before = plain_back(Finish::Fold);
    let after = apply(&before, lining("back", &json!({"pleat": "25.4mm to waist"}))).pattern;
    let lined = piece(&after, "back-lining");
    let left = piece(&after, "back-lining").bounds().x0 - piece(&before, "back").bounds().x0 + 25.4;
    let top = lined.bounds().y0;
    let centre = &edge(lined, "centre").curve;
    for (depth, extra) in
        [(0.0, 25.4), (100.0, 19.05), (200.0, 12.7), (300.0, 6.35), (400.0, 0.0), (700.0, 0.0)]
    {
        let across = Curve::line(Point::new(-5e3, top + depth), Point::new(5e3, top + depth)).unwrap();
        let x = match depth == 0.0 {
            true => centre.start().x.min(centre.end().x),
            false => across.crossings(centre)[0].point.x,
        };
        assert_abs_diff_eq!(300.0 + left - x, extra, epsilon = 1e-6);
    }
    let source = piece(&before, "back");
    assert_abs_diff_eq!(lined.outline().area() - source.outline().area(), 5080.0, epsilon = 1e-3);
    assert_abs_diff_eq!(lined.net_area(), source.net_area(), epsilon = 1e-3);
    assert_abs_diff_eq!(sewn_length(&after, "back-lining.neck"), 100.0, epsilon = 1e-6);
    assert_eq!(lined.darts[0].kind, DartKind::Pleat);
    // A fold cannot bend: it is a seam to the mirrored copy, as in the source.
    assert_eq!((edge(lined, "centre").finish, lined.cut.copies, lined.fold()), (Finish::Seam, 2, None));
    assert!(is_sewn(&after, "back-lining.centre", "back-lining.centre/m"));
    assert!(Verdict::of(&after).is_true(), "{:?}", Verdict::of(&after).findings());
    assert_proven(&before, &after);
    let read = through_a_sheet(&after);
    assert!(Verdict::of(&read).is_true(), "{:?}", Verdict::of(&read).findings());
    assert_eq!(piece(&read, "back-lining").darts[0].kind, DartKind::Pleat);
}

/// A pleat as deep all the way moves the fold: as much cloth everywhere, and the neck is sewn as it was.
#[test]
fn an_even_pleat_moves_the_fold() {
    let before = plain_back(Finish::Fold);
    let after = apply(&before, lining("back", &json!({"pleat": "25mm"}))).pattern;
    let (source, lined) = (piece(&before, "back"), piece(&after, "back-lining"));
    assert_abs_diff_eq!(lined.bounds().width() - source.bounds().width(), 25.0, epsilon = 1e-6);
    assert_abs_diff_eq!(lined.outline().area() - source.outline().area(), 25.0 * 900.0, epsilon = 1e-3);
    assert_abs_diff_eq!(lined.net_area(), source.net_area(), epsilon = 1e-3);
    assert_abs_diff_eq!(sewn_length(&after, "back-lining.neck"), 100.0, epsilon = 1e-6);
    assert!(lined.fold().is_some());
    let read = through_a_sheet(&after);
    assert!(Verdict::of(&read).is_true(), "{:?}", Verdict::of(&read).findings());
    assert_abs_diff_eq!(piece(&read, "back-lining").net_area(), source.net_area(), epsilon = 0.01);
}

/// Raising the underarm of the coat by 10 mm shortens its armhole by about 11 mm; the cap by as much.
#[test]
fn a_raised_underarm_shortens_cap_and_armhole_alike() {
    let coat = coat();
    let after = lined(&coat, 10.0, 15.0, "25mm");
    let armholes = "back-lining.armhole front-lining.armhole";
    let was = sewn_length(&coat, "back.armhole front.armhole");
    let shorter = was - sewn_length(&after, armholes);
    let cap = sewn_length(&coat, "sleeve.cap") - sewn_length(&after, "sleeve-lining.cap");
    assert_abs_diff_eq!(shorter, cap, epsilon = SEWN);
    assert_abs_diff_eq!(shorter, 11.0, epsilon = 1.0);
    for side in ["back", "front"] {
        let (own, of) = (format!("{side}-lining.side"), format!("{side}.side"));
        assert_abs_diff_eq!(sewn_length(&after, &own), sewn_length(&coat, &of) + 10.0 - 15.0, epsilon = 0.05);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(16) })]

    /// A lined coat is true: linings are sewn to linings and to the inner edges of the facings, and to nothing else; the shell
    /// is as it was but for the facing's inner edge, which is divided where the lining ends.
    #[test]
    fn linings_are_sewn_to_one_another_and_to_facings(
        raise in 4.0..13.0_f64, shorter in 8.0..25.0_f64, pleat in 12.0..26.0_f64, even in any::<bool>()
    ) {
        let coat = coat();
        let pleat = if even { format!("{pleat:.1}mm") } else { format!("{pleat:.1}mm to waist") };
        let after = lined(&coat, raise, shorter, &pleat);
        prop_assert!(Verdict::of(&after).is_true(), "{:?}", Verdict::of(&after).findings());
        assert_proven(&coat, &after);
        for (first, second) in [
            ("back-lining.side", "front-lining.side"),
            ("back-lining.shoulder", "front-lining.shoulder"),
            ("sleeve-lining.cap", "back-lining.armhole"),
            ("sleeve-lining.underarm-front", "sleeve-lining.underarm-back"),
            ("back-lining.facing", "back-neck-facing.outer"),
            ("front-lining.facing", "front-facing.inner"),
        ] {
            prop_assert!(is_sewn(&after, first, second), "{first} {second}");
        }
        for seam in after.seams() {
            let purposes: Vec<Purpose> = seam.edges().map(|run| after.find(&run.edge.piece).unwrap().purpose).collect();
            if purposes.contains(&Purpose::Lining) && purposes.contains(&Purpose::Plain) {
                prop_assert!(seam.edges().any(|run| run.edge.piece.as_str().ends_with("facing")));
            }
        }
        let divided = through_a_sheet(&after);
        prop_assert!(Verdict::of(&divided).is_true(), "{:?}", Verdict::of(&divided).findings());
        let again = apply(&divided, json!({"do": "follow"}));
        let nothing_to_do = again.notices.iter().any(|told| matches!(told, Notice::NothingToDo { .. }));
        prop_assert!(nothing_to_do, "{:?}", again.notices);
    }
}

/// Where facings are derived, linings end at them all the same, and both follow.
#[test]
fn linings_end_at_derived_facings() {
    let dress = plain_back(Finish::Fold);
    let faced = apply(
        &dress,
        json!({"do": "add-facing", "along": "back.neck", "depth": "50mm", "name": "neck-facing"}),
    )
    .pattern;
    let after = apply(&faced, lining("back", &json!({"pleat": "20mm", "shorter": "20mm"}))).pattern;
    let told: Vec<String> = after
        .pieces()
        .flat_map(|piece| {
            piece.edges().iter().map(move |edge| {
                format!("{}.{} {:?} {:?}", piece.name(), edge.name, edge.curve.start(), edge.curve.end())
            })
        })
        .collect();
    assert!(is_sewn(&after, "back-lining.facing", "neck-facing.inner"), "{told:#?}");
    assert!(Verdict::of(&after).is_true(), "{:?}", Verdict::of(&after).findings());
    assert_same_shell(&dress, &after);
    assert_proven(&dress, &after);
}

/// Darts of a lining are folded as pleats when that is asked; their mouths are as deep.
#[test]
fn darts_of_a_lining_are_folded_when_asked() {
    let bytes = std::fs::read("fixtures/dress.svg").unwrap();
    let dress = sheet::read(&bytes, &Default::default()).unwrap().pattern;
    let after = apply(&dress, lining("bodice-front", &json!({"darts": "pleats"}))).pattern;
    let (own, lined) = (piece(&dress, "bodice-front"), piece(&after, "bodice-front-lining"));
    assert_eq!(own.darts.len(), lined.darts.len());
    assert!(!lined.darts.is_empty() && lined.darts.iter().all(|dart| dart.kind == DartKind::Pleat));
    assert_abs_diff_eq!(own.net_area(), lined.net_area(), epsilon = 0.01);
    let read = through_a_sheet(&after);
    assert!(piece(&read, "bodice-front-lining").darts.iter().all(|dart| dart.kind == DartKind::Pleat));
}

/// What a lining cannot have is refused with what, where and the way out.
#[test]
fn what_a_lining_cannot_have_is_refused() {
    let coat = coat();
    let plain =
        |field: &str, value: &str| json!({"do": "copy-piece", "piece": "back", "name": "x", field: value});
    let cases = [
        (plain("pleat", "25mm"), "is for linings"),
        (plain("shorter", "25mm"), "is for linings"),
        (lining("back", &json!({"shorter": "0mm"})), "above the hem"),
        (lining("collar", &json!({"shorter": "20mm"})), "no hem"),
        (lining("collar", &json!({"raise": "10mm"})), "armhole"),
        (lining("sleeve", &json!({"pleat": "25mm"})), "no centre"),
        (lining("back", &json!({"pleat": "0mm"})), "0mm deep"),
        (lining("back", &json!({"pleat": "25mm to elbow"})), "elbow"),
        (lining("back", &json!({"shorter": "2m"})), "hem"),
    ];
    for (fields, says) in cases {
        let told = fields.to_string();
        let refusal = step(fields).apply(&coat).err().unwrap_or_else(|| panic!("{told} is done"));
        assert!(refusal.what.contains(says), "{told}: {refusal}");
        assert!(matches!(refusal.kind, RefusalKind::BadField | RefusalKind::UnknownName), "{refusal:?}");
        assert!(!refusal.way_out.is_empty() && !refusal.at.is_empty());
    }
}

/// The coat is faced, underlined and lined as it is drafted, recut for narrow cloth, and then all that was made of it follows:
/// it ends true, linings are sewn wherever their pieces are, and to the facings made anew.
#[test]
fn what_was_made_of_the_coat_follows_its_recut() {
    let text = std::fs::read_to_string("examples/lined-coat.toml").unwrap();
    let recipe: Value = toml::from_str(&text).unwrap();
    let steps = recipe["step"].as_array().unwrap();
    let after = steps.iter().fold(coat(), |pattern, fields| apply(&pattern, fields.clone()).pattern);
    assert!(Verdict::of(&after).is_true(), "{:?}", Verdict::of(&after).findings());
    assert_proven(&coat(), &after);
    let derived =
        |name: &str| after.pieces().any(|piece| piece.name().as_str() == name && piece.derived.is_some());
    for name in [
        "front-facing",
        "back-neck-facing",
        "front-centre-underlining",
        "front-side-underlining",
        "back-underlining",
    ] {
        assert!(derived(name), "{name}");
    }
    let lined: Vec<&str> = vec!["back", "front-centre", "front-side", "sleeve-upper", "sleeve-under"];
    let mut seams = 0;
    for seam in
        after.seams().iter().filter(|seam| seam.edges().all(|run| lined.contains(&run.edge.piece.as_str())))
    {
        let of_linings = |run: &RunEdge| {
            let lining: EdgeRef = format!("{}-lining.{}", run.edge.piece, run.edge.edge).parse().unwrap();
            after.find_edge(&lining).is_none() || after.seams_of(&lining).next().is_some()
        };
        assert!(seam.edges().all(of_linings), "{} is not sewn of linings", seam.name());
        seams += 1;
    }
    assert_eq!(seams, 6);
    assert!(is_sewn(&after, "front-centre-lining.facing", "front-facing.inner"));
    assert!(is_sewn(&after, "back-lining.facing", "back-neck-facing.inner"));
    let again = apply(&after, json!({"do": "follow"}));
    assert!(
        again.notices.iter().any(|told| matches!(told, Notice::NothingToDo { .. })),
        "{:?}",
        again.notices
    );
}

/// A pleat folded in lies beneath the neck and is caught with it: mirrored in the centre, the edge over the pleat lies on the
/// edge beside it, however that is curved.
#[test]
fn a_folded_pleat_lies_along_the_neck() {
    let coat = coat();
    for (pleat, depth) in [("25mm", 25.0), ("25mm to waist", 25.0), ("40mm", 40.0)] {
        let after = apply(&coat, lining("back", &json!({"pleat": pleat}))).pattern;
        let lined = piece(&after, "back-lining");
        let pleat = lined.darts.iter().find(|dart| dart.kind == DartKind::Pleat).unwrap();
        let mouth = pleat.mouth().unwrap();
        let edge = &lined.edge(lined.edge_named(&mouth.edge).unwrap()).curve;
        let (over, beside) = match mouth.from < 1.0 {
            true => (edge.stretch(mouth.from, mouth.to), edge.stretch(mouth.to, edge.length())),
            false => (edge.stretch(mouth.from, mouth.to), edge.stretch(0.0, mouth.from)),
        };
        let (over, beside) = (over.unwrap(), beside.unwrap());
        let inner = if mouth.from < 1.0 { over.end() } else { over.start() };
        let mirrored =
            over.moved(&retrue::curve::Motion::mirror_in(inner, inner + kurbo::Vec2::new(0.0, 1.0)).unwrap());
        let mut highest: f64 = 0.0;
        for i in 0..=40 {
            let place = mirrored.point_at(mirrored.length() * f64::from(i) / 40.0);
            assert_abs_diff_eq!(beside.nearest(place).distance, 0.0, epsilon = 1e-3);
            highest = highest.max((place.y - inner.y).abs());
        }
        // On the coat's back neck, so far out, straight across would lie lower than this.
        assert!(highest > 0.002 * depth * depth, "{highest}");
    }
}

/// Folded closed, a pleat that goes down to a curved hem ends at the hem: mirrored in the old centre, the hem over the pleat lies
/// on the hem beside it, at whatever height the centre meets it; on a straight one it goes straight on.
#[test]
fn a_folded_pleat_lies_along_the_hem() {
    for (rise, shorter) in [(0.0, None), (15.0, None), (40.0, None), (40.0, Some("20mm"))] {
        let before = back_with_hem(rise);
        let mut fields = lining("back", &json!({"pleat": "30mm"}));
        if let Some(shorter) = shorter {
            fields["shorter"] = shorter.into();
        }
        let after = apply(&before, fields).pattern;
        let lined = piece(&after, "back-lining");
        let (hem, neck) = (&edge(lined, "hem").curve, &edge(lined, "neck").curve);
        let pleat = lined.darts.iter().find(|dart| dart.kind == DartKind::Pleat).unwrap();
        let [(foot, down), (other, _)] = pleat.feet().unwrap();
        // Which of the two is the old centre's: the fold is the other.
        let fold = &edge(lined, "centre").curve;
        let (old, new) = if fold.nearest(foot).distance < 1e-6 { (other, foot) } else { (foot, other) };
        assert!(fold.nearest(new).distance < 1e-6 && fold.nearest(old).distance > 29.0);
        let over = match hem.nearest(new).at < hem.nearest(old).at {
            true => hem.stretch(hem.nearest(new).at, hem.nearest(old).at),
            false => hem.stretch(hem.nearest(old).at, hem.nearest(new).at),
        };
        let mirror = retrue::curve::Motion::mirror_in(old, old + down).unwrap();
        let over = over.unwrap().moved(&mirror);
        let mut bent: f64 = 0.0;
        for i in 0..=40 {
            let place = over.point_at(over.length() * f64::from(i) / 40.0);
            assert_abs_diff_eq!(hem.nearest(place).distance, 0.0, epsilon = 1e-3);
            bent = bent.max((place.y - old.y).abs());
        }
        assert!(if rise == 0.0 { bent < 1e-6 } else { bent > 1e-4 * rise }, "{rise}: {bent}");
        assert!(neck.length() > 129.0);
        assert!(Verdict::of(&after).is_true(), "{rise}: {:?}", Verdict::of(&after).findings());
        assert_proven(&before, &after);
        let read = through_a_sheet(&after);
        assert!(Verdict::of(&read).is_true(), "{rise}: {:?}", Verdict::of(&read).findings());
    }
}

/// What of a lining's edges at facings is sewn to them, and how long all those edges are, mm; both as they are sewn.
fn at_facings(pattern: &Pattern, lining: &Piece) -> (f64, f64) {
    let (mut sewn, mut whole) = (0.0, 0.0);
    for id in lining.edge_ids().filter(|id| lining.edge(*id).name.as_str().starts_with("facing")) {
        whole += lining.sewn_length(id);
        let own = lining.edge_ref(id);
        for seam in pattern.seams_of(&own).map(|seam| pattern.seam(seam)) {
            let other = seam.side(seam.side_of(&own).unwrap().other());
            assert!(other.edges().iter().all(|run| run.edge.piece.as_str().ends_with("facing")));
            sewn += Walk::of(pattern, other).unwrap().length();
        }
    }
    (sewn, whole)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(12) })]

    /// A facing that goes on over a princess seam to the next piece holds the linings of both, end to end, whether they are
    /// made after the seam or follow it.
    #[test]
    fn linings_of_several_pieces_end_at_one_facing(share in 45.0..75.0_f64, depth in 35.0..60.0_f64, follows in any::<bool>()) {
        let coat = coat();
        let princess = json!({"do": "add-princess-seam", "piece": "front", "from": format!("neck@{share:.1}%"),
            "through": "bust-point", "to": "hem@45% from centre"});
        let made = |along: &str, name: &str| json!({"do": "add-facing", "along": along,
            "depth": format!("{depth:.1}mm"), "name": name});
        let facing = |along: &str| made(along, "front-facing");
        let linings = |of: &[&str]| of.iter().map(|of| lining(of, &json!({"shorter": "15mm"}))).collect::<Vec<_>>();
        let steps = match follows {
            true => [
                vec![facing("front.centre, front.neck")],
                linings(&["back", "front", "sleeve"]),
                vec![princess, json!({"do": "follow"})],
            ],
            false => [
                vec![princess, facing("front-centre.centre, front-centre.neck, front-side.neck")],
                linings(&["front-centre", "back", "front-side"]),
                linings(&["sleeve"]),
            ],
        };
        let behind = std::iter::once(made("back.neck", "back-neck-facing"));
        let steps = behind.chain(steps.into_iter().flatten());
        let after = steps.fold(coat.clone(), |pattern, step| apply(&pattern, step).pattern);
        for name in ["front-centre-lining", "front-side-lining", "back-lining"] {
            let (sewn, whole) = at_facings(&after, piece(&after, name));
            prop_assert!(whole > 50.0, "{name} {whole}");
            assert_abs_diff_eq!(sewn, whole, epsilon = 0.3);
        }
        prop_assert!(Verdict::of(&after).is_true(), "{:?}", Verdict::of(&after).findings());
        assert_proven(&coat, &after);
        let read = through_a_sheet(&after);
        prop_assert!(Verdict::of(&read).is_true(), "{:?}", Verdict::of(&read).findings());
        let again = apply(&read, json!({"do": "follow"}));
        let nothing_to_do = again.notices.iter().any(|told| matches!(told, Notice::NothingToDo { .. }));
        prop_assert!(nothing_to_do, "{:?}", again.notices);
    }
}

/// What is drawn on a piece and not understood stays on it alone, and that is told.
#[test]
fn marks_that_a_copy_is_made_without_are_told() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/coat.svg");
    let coat = retrue::sheet::read(&std::fs::read(path).unwrap(), &Default::default()).unwrap().pattern;
    let drawn = piece(&coat, "front").marks.iter().filter(|mark| mark.anchor.is_some()).count();
    assert!(drawn > 1);
    let copied =
        apply(&coat, json!({"do": "copy-piece", "piece": "front", "name": "once-more", "for": "plain"}));
    let stay = |notice: &Notice| matches!(notice, Notice::MarksStay { marks, .. } if *marks == drawn);
    assert!(copied.notices.iter().any(stay), "{:?}", copied.notices);
    let under =
        apply(&coat, json!({"do": "copy-piece", "piece": "cuff", "name": "once-more", "for": "plain"}));
    assert!(!under.notices.iter().any(|notice| matches!(notice, Notice::MarksStay { .. })));
}
