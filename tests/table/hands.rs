//! What a hand means that draws a line, takes a dart, an edge, the grain or a piece.

use retrue::cloth::file::{NoFiles, read};
use retrue::curve::Point;
use retrue::pattern::{DartShape, EdgeId, Piece};
use retrue::table::{At, Table, TrialSeen, Wish};
use serde_json::{Value, json};

use crate::bench::{Bench, drag, keep, step, tried};

fn piece(table: &Table, name: &str) -> Piece {
    table.laid().as_it_lies().piece(&name.parse().expect("a name")).expect("a piece").clone()
}

fn edge(piece: &Piece, name: &str) -> EdgeId {
    piece.edge_named(&name.parse().expect("a name")).expect("an edge")
}

/// A place at a share of an edge's length.
fn on(piece: &Piece, name: &str, share: f64) -> [f64; 2] {
    let id = edge(piece, name);
    let at = piece.point_on(id, piece.edge(id).curve.length() * share);
    [at.x, at.y]
}

/// The middle of an edge as it lies on the table.
fn lying(table: &Table, name: &str) -> [f64; 2] {
    let seen = table.seen();
    let mut edges = seen.pieces.iter().flat_map(|piece| &piece.edges);
    edges.find(|edge| edge.name == name).expect("an edge").middle
}

fn cut(name: &str, from: [f64; 2], at: [f64; 2], reach: f64) -> Wish {
    drag(&json!({ "piece": name }), "cut", (from, at), reach)
}

fn recipe(trial: &TrialSeen) -> String {
    trial.recipe.clone().unwrap_or_else(|| panic!("no step: {:?}", trial.refused))
}

/// Wherever a stroke runs across a piece, what it cuts is the piece: the parts are as large together.
#[test]
fn a_stroke_across_a_piece_cuts_it_in_two_or_says_why_not() {
    let (mut strokes, mut cuts) = (0, 0);
    for bench in [Bench::of_coat(), Bench::of("dress.svg")] {
        let table = bench.table();
        let laid = table.laid();
        for piece in laid.pattern().pieces() {
            let middle = piece.bounds().center();
            for turn in 0..6 {
                let way = kurbo::Vec2::from_angle(0.4 + f64::from(turn) * std::f64::consts::PI / 6.0);
                let far = way * piece.diagonal() * 0.6;
                let [from, at] = [middle - far, middle + far].map(|at| [at.x, at.y]);
                let wish = cut(piece.name().as_str(), from, at, 0.0);
                let trial = tried(&table, &wish);
                strokes += 1;
                if let Some(refused) = trial.refused {
                    assert!(!refused.way_out.is_empty(), "{refused:?}");
                    continue;
                }
                let recipe = trial.recipe.expect("a step");
                assert!(recipe.contains("do = \"split\"") || recipe.contains("princess"), "{recipe}");
                assert_eq!(trial.gone, [piece.name().as_str()], "{recipe}");
                assert_eq!(trial.pieces.len(), 2, "{recipe}");
                let step =
                    retrue::recipe::Recipe::read(&recipe, &[]).expect("a recipe").steps[0].step.clone();
                let after = step.apply(laid.pattern()).expect("done").pattern;
                let is_part = |part: &&Piece| laid.pattern().find(part.name()).is_none();
                let parts: f64 = after.pieces().filter(is_part).map(Piece::net_area).sum();
                assert!((parts - piece.net_area()).abs() < 1.0 || recipe.contains("princess"), "{recipe}");
                cuts += 1;
            }
        }
    }
    assert!(2 * cuts > strokes, "{cuts} of {strokes} strokes cut");
}

#[test]
fn a_line_is_drawn_to_what_is_there_and_says_so() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let (front, sleeve) = (piece(&table, "front"), piece(&table, "sleeve"));
    let near = |[x, y]: [f64; 2], by: f64| [x + by, y];
    let point = front.points.iter().find(|point| point.name.as_str() == "bust-point").expect("a point").at;
    let stroke = json!({
        "holds": { "piece": "front" },
        "from": on(&front, "shoulder", 0.5),
        "trail": [[point.x + 3.0, point.y - 4.0]],
        "at": on(&front, "hem", 0.53),
        "way": "cut",
        "reach": 8.0,
    });
    let princess = tried(&table, &serde_json::from_value(json!({ "hand": stroke })).expect("a wish"));
    let text = recipe(&princess);
    assert!(text.contains("through = \"bust-point\"") && text.contains("from = \"shoulder@50%\""), "{text}");
    assert!(princess.snaps.iter().any(|snap| snap.says == "the point bust-point"), "{:?}", princess.snaps);
    for (name, line) in sleeve.style_lines.iter().map(|line| (line.name.to_string(), &line.curve)) {
        let [start, end] = [line.start(), line.end()].map(|at: Point| [at.x, at.y]);
        for (from, at) in [(near(start, 2.0), near(end, -2.0)), (near(end, 1.0), near(start, 1.0))] {
            let text = recipe(&tried(&table, &cut("sleeve", from, at, 6.0)));
            assert!(text.contains(&format!("line = \"{name}\"")), "{text}");
        }
    }
    let level = &sleeve.levels[0];
    let (start, end) = (level.stretches[0].0, level.stretches[level.stretches.len() - 1].1);
    let along = tried(&table, &cut("sleeve", [start.x, start.y + 2.0], [end.x, end.y + 3.0], 6.0));
    assert!(recipe(&along).contains(&format!("line = \"level {}\"", level.name)), "{along:?}");
    let [x, y] = on(&sleeve, "hem", 0.3);
    let grain = tried(&table, &cut("sleeve", [x, y], [x + 1.0, y - 200.0], 8.0));
    assert!(recipe(&grain).contains("line = \"along at hem@"), "{}", recipe(&grain));
    assert!(grain.snaps.iter().any(|snap| snap.says.contains("along the grain")), "{:?}", grain.snaps);
    let free = tried(&table, &cut("sleeve", on(&sleeve, "hem", 0.3), on(&sleeve, "cap", 0.6), 0.0));
    assert!(recipe(&free).contains(" > cap@"), "{}", recipe(&free));
}

/// The armholes of back and front meet at the side seam, which would run on into the sleeve there.
#[test]
fn a_place_is_drawn_to_where_another_seam_would_run_on() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let sleeve = piece(&table, "sleeve");
    let cap = edge(&sleeve, "cap");
    let share = |way: f64| sleeve.edge(cap).curve.length() * way;
    let found = (1..200).find_map(|at| {
        let point = sleeve.point_on(cap, share(f64::from(at) / 200.0));
        let pointing = json!({ "piece": "sleeve", "at": [point.x, point.y], "reach": 4.0, "fills": "place" });
        let pointing = serde_json::from_value(pointing).expect("a place");
        let pointed = table.laid().pointed(&pointing, At::End).expect("found");
        pointed.says.contains("would run on").then_some(pointed)
    });
    let pointed = found.expect("the shoulder seam or the side seam");
    assert!(pointed.says.contains("back") && pointed.says.contains("front"), "{pointed:?}");
}

/// Along the grain a cut holds where a part is as wide as the cloth, and that part then fits.
#[test]
fn a_cut_along_the_grain_holds_where_a_part_is_as_wide_as_the_cloth() {
    let mut held = 0;
    for (wide, name, from, to) in [("37cm", "sleeve", "hem", "cap"), ("45cm", "skirt-front", "hem", "waist")]
    {
        let bench = Bench::of(if name == "sleeve" { "coat.svg" } else { "dress.svg" });
        let table = bench.table_with(&format!("{wide} x 9m"));
        let piece = piece(&table, name);
        assert!(piece.find_edge(&to.parse().expect("a name")).is_some());
        for share in 5..95 {
            let [x, y] = on(&piece, from, f64::from(share) / 100.0);
            let trial = tried(&table, &cut(name, [x, y + 5.0], [x + 0.2, y - 300.0], 6.0));
            let Some(snap) = trial.snaps.iter().find(|snap| snap.says.contains("as wide as the cloth"))
            else {
                continue;
            };
            let gives = wide.replace("cm", "0 mm");
            assert!(snap.says.contains(&gives), "{snap:?}");
            let is_full = |seen: &retrue::table::PieceSeen| {
                let said = seen.fit.as_ref().map_or("", |fit| fit.sentence.as_str());
                let width = said.split(" is cut ").nth(1).and_then(|rest| rest.split(" mm").next());
                let width: f64 = width.and_then(|width| width.parse().ok()).unwrap_or_default();
                let cloth: f64 = wide.strip_suffix("cm").and_then(|w| w.parse().ok()).unwrap_or_default();
                // The place is rounded to 0.1 mm, and a half piece is twice as wide as its half.
                (0.0..0.4).contains(&(10.0 * cloth - width))
                    && seen.fit.as_ref().and_then(|fit| fit.good) == Some(true)
            };
            assert!(
                trial.pieces.iter().any(is_full),
                "{:?}",
                trial.pieces.iter().map(|p| &p.fit).collect::<Vec<_>>()
            );
            held += 1;
        }
    }
    assert!(held > 1, "it held {held} times");
}

#[test]
fn a_dart_is_turned_by_its_mouth_and_run_out_by_its_tip() {
    let bench = Bench::of("dress.svg");
    let table = bench.table();
    let front = piece(&table, "bodice-front");
    let dart =
        |name: &str| front.darts.iter().find(|dart| dart.name.as_str() == name).expect("a dart").clone();
    let at = |point: Point| [point.x, point.y];
    let (bust, waist) = (dart("bust-dart"), dart("waist-dart"));
    let mouth = bust.legs().0.start().midpoint(bust.legs().1.start());
    let holds = |what: &str, name: &str| json!({ what: ["bodice-front", name] });
    let shoulder = on(&front, "shoulder", 0.5);
    let turned = tried(&table, &drag(&holds("mouth", "bust-dart"), "turned", (at(mouth), shoulder), 6.0));
    assert!(recipe(&turned).contains("to = \"shoulder@50%\""), "{}", recipe(&turned));
    assert_eq!(turned.refused, None);
    let stays = tried(&table, &drag(&holds("mouth", "bust-dart"), "turned", (at(mouth), at(mouth)), 0.0));
    assert_eq!((stays.recipe, stays.refused), (None, None));
    let tip = bust.tips()[0];
    let out = tried(&table, &drag(&holds("tip", "bust-dart"), "into-seam", (at(tip), shoulder), 6.0));
    assert!(recipe(&out).contains("do = \"dart-to-seam\"") && out.refused.is_none(), "{out:?}");
    let both =
        tried(&table, &drag(&holds("tip", "bust-dart"), "into-seam", (at(tip), at(waist.tips()[0])), 6.0));
    assert_eq!(both.refused, None, "{}", recipe(&both));
    assert_eq!(both.verdicts.map(|verdicts| verdicts.is_true.good), Some(Some(true)));
    let step = retrue::recipe::Recipe::read(&both.recipe.expect("a step"), &[]).expect("a recipe").steps[0]
        .step
        .clone();
    let after = step.apply(table.laid().pattern()).expect("done").pattern;
    let is_left =
        |piece: &Piece| piece.darts.iter().any(|dart| dart.name == bust.name || dart.name == waist.name);
    let mut parts = after.pieces().filter(|piece| table.laid().pattern().find(piece.name()).is_none());
    assert!(!parts.any(is_left), "both darts are in the seam");
}

/// Every dart of every shipped pattern can be taken by its mouth and laid somewhere on the outline of its piece.
#[test]
fn every_open_dart_can_be_turned_by_hand() {
    let (mut darts, mut turned) = (0, 0);
    let bench = Bench::of("dress.svg");
    let table = bench.table();
    let laid = table.laid();
    for piece in laid.pattern().pieces() {
        for dart in piece.darts.iter().filter(|dart| matches!(dart.shape, DartShape::Open { .. })) {
            darts += 1;
            let mouth = dart.legs().0.start().midpoint(dart.legs().1.start());
            let holds = json!({ "mouth": [piece.name().as_str(), dart.name.as_str()] });
            let is_turned = piece.edge_ids().any(|id| {
                let to = piece.point_on(id, piece.edge(id).curve.length() * 0.5);
                let wish = drag(&holds, "turned", ([mouth.x, mouth.y], [to.x, to.y]), 3.0);
                let trial = tried(&table, &wish);
                trial.recipe.is_some() && trial.refused.is_none()
            });
            turned += usize::from(is_turned);
        }
    }
    assert!(darts > 3 && turned == darts, "{turned} of {darts}");
}

#[test]
fn a_free_edge_is_dragged_outward_into_cloth_and_inward_into_a_band() {
    let bench = Bench::of("dress.svg");
    let table = bench.table();
    let skirt = piece(&table, "skirt-front");
    let [x, y] = on(&skirt, "hem", 0.5);
    let hem = json!({ "edge": "skirt-front.hem" });
    let to = |down: f64, way: &str| recipe(&tried(&table, &drag(&hem, way, ([x, y], [x, y + down]), 0.0)));
    assert!(to(40.0, "border").contains("do = \"extend-edge\"\nby = \"40mm\""), "{}", to(40.0, "border"));
    assert!(to(-50.0, "border").contains("depth = \"50mm\""), "{}", to(-50.0, "border"));
    assert!(to(-50.0, "facing").contains("do = \"add-facing\""), "{}", to(-50.0, "facing"));
    let nothing = tried(&table, &drag(&hem, "border", ([x, y], [x, y + 0.2]), 0.0));
    assert_eq!((nothing.recipe, nothing.refused), (None, None));
}

#[test]
fn a_fold_is_opened_out_or_cut_and_a_seam_is_left_open_banded_and_joined() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let back = piece(&table, "back");
    let trial = |edge: &str, way: &str, from: [f64; 2], at: [f64; 2]| {
        tried(&table, &drag(&json!({ "edge": edge }), way, (from, at), 0.0))
    };
    let [x, y] = on(&back, "centre", 0.5);
    assert!(recipe(&trial("back.centre", "opened-out", [x, y], [x - 9.0, y])).contains("unfold"));
    assert!(recipe(&trial("back.centre", "centre-seam", [x, y], [x, y])).contains("open-centre"));
    let opened = trial("back.side", "opening", on(&back, "side", 0.3), on(&back, "side", 0.5));
    let text = recipe(&opened);
    assert!(text.contains("do = \"open-seam\"") && opened.refused.is_none(), "{text}: {:?}", opened.refused);
    let [x, y] = on(&back, "shoulder", 0.5);
    let yoke = trial("back.shoulder", "band", [x, y], [x, y + 60.0]);
    assert!(recipe(&yoke).contains("add-band"), "{}", recipe(&yoke));
    let joined = trial("back.side", "joined", on(&back, "side", 0.5), on(&back, "side", 0.5));
    assert!(recipe(&joined).contains("merge-at-seamline"), "{joined:?}");
    let strip = trial("back.shoulder", "strip", [x, y], [x, y + 15.0]);
    assert!(recipe(&strip).contains("add-strip"), "{}", recipe(&strip));
    let unmeant = tried(&table, &drag(&json!({ "edge": "back.side" }), "cut", ([x, y], [x, y]), 0.0));
    assert!(unmeant.refused.is_some(), "an edge is no piece to draw on");
}

/// Pushed together at their seam two pieces are joined; as long as they are apart nothing is meant.
#[test]
fn a_piece_is_joined_to_what_it_is_pushed_to() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(
        &mut table,
        &step(json!({ "do": "split", "piece": "sleeve", "line": "fore-line", "names": "hind, fore" })),
    );
    let (from, to) = (lying(&table, "fore.underarm-front"), lying(&table, "hind.underarm-back"));
    let holds = json!({ "piece": "fore" });
    let push = |to: [f64; 2]| tried(&table, &drag(&holds, "laid-on", (from, to), 6.0));
    let joined = push([to[0] + 8.0, to[1] - 5.0]);
    let text = recipe(&joined);
    assert!(text.contains("merge-at-seamline") && text.contains("hind.underarm-back"), "{text}");
    assert!(joined.snaps.iter().any(|snap| snap.says.contains("hind.underarm-back")), "{:?}", joined.snaps);
    let half = push([f64::midpoint(from[0], to[0]), f64::midpoint(from[1], to[1])]);
    assert_eq!((half.recipe, half.refused), (None, None));
    assert!(!half.drawn.is_empty(), "the piece is seen where it is pushed");
    // What is not joined yet is not said to be sewn, and it is told how far it still is.
    let told: Vec<&str> = half.snaps.iter().map(|snap| snap.says.as_str()).collect();
    assert!(
        told.iter().any(|line| line.contains("would be sewn to") && line.contains("nearer:")),
        "{told:?}"
    );
    assert!(half.snaps.iter().all(|snap| !snap.says.contains("is sewn")), "{:?}", half.snaps);
    let wish =
        drag(&holds, "laid-on", (from, [f64::midpoint(from[0], to[0]), f64::midpoint(from[1], to[1])]), 6.0);
    let refused = table.keep(&wish, table.revision()).expect_err("let go too early").to_string();
    assert!(refused.contains("would be sewn to") && refused.contains("nearer:"), "{refused}");
}

/// Cut edge laid on cut edge is together, however wide the allowances; brought as much nearer as is told, too.
#[test]
fn pieces_whose_cut_edges_touch_are_joined() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let halves = json!({ "do": "split", "piece": "sleeve", "line": "fore-line", "names": "hind, fore" });
    keep(&mut table, &step(halves));
    let edges = "hind.underarm-back, fore.underarm-front";
    keep(&mut table, &step(json!({ "do": "set-allowance", "edges": edges, "allowance": "35mm" })));
    let (from, to) = (lying(&table, "fore.underarm-front"), lying(&table, "hind.underarm-back"));
    let apart = (from[0] - to[0]).hypot(from[1] - to[1]);
    let way = [(from[0] - to[0]) / apart, (from[1] - to[1]) / apart];
    let push = |short: f64| {
        let at = [to[0] + short * way[0], to[1] + short * way[1]];
        tried(&table, &drag(&json!({ "piece": "fore" }), "laid-on", (from, at), 6.0))
    };
    assert!(recipe(&push(70.0)).contains("merge-at-seamline"), "cut edge on cut edge");
    // Nearer to this seam than to the one along which they were cut apart.
    let far = 140.0;
    let told = push(far).snaps.remove(0).says;
    let nearer: f64 = told
        .rsplit_once("nearer: ")
        .and_then(|(_, nearer)| nearer.trim_end_matches(" mm").parse().ok())
        .unwrap_or_else(|| panic!("{told}"));
    assert!(told.contains("fore.underarm-front"), "{told}");
    assert_eq!(push(far - nearer + 2.0).recipe, None);
    assert!(push(far - nearer).recipe.is_some(), "{told}");
}

/// On the strip of other cloth a piece is cut from that; on its own cloth, and beside all cloth, nothing is changed.
#[test]
fn a_piece_is_cut_from_the_cloth_that_it_is_pushed_onto() {
    let bench = Bench::of_coat();
    let cloths = "[main]\nwidth = \"37cm\"\nlength = \"11m\"\n[lining]\nwidth = \"1.4m\"\nlength = \"2m\"\n";
    let table = bench.table_on(read(cloths, &mut NoFiles).ok());
    let belt = piece(&table, "belt").bounds().center();
    let pieces = table.seen().pieces;
    assert_eq!(
        pieces.iter().find(|piece| piece.name == "belt").map(|belt| belt.cloth.as_str()),
        Some("main")
    );
    let start = table.laid().pattern().pieces().map(|piece| piece.bounds().x0).fold(f64::INFINITY, f64::min);
    let push = |x: f64| {
        let to = [x, belt.y];
        tried(&table, &drag(&json!({ "piece": "belt" }), "laid-on", ([belt.x, belt.y], to), 6.0))
    };
    // Each cloth lies so far left of what is beside it.
    let beside = 160.0;
    let own = push(start - beside - 100.0);
    assert!(own.recipe.is_none() && !own.drawn.is_empty(), "{own:?}");
    let other = push(start - 2.0 * beside - 370.0 - 700.0);
    let text = recipe(&other);
    assert!(text.contains("do = \"set-piece\"") && text.contains("cloth = \"lining\""), "{text}");
    assert!(other.snaps.iter().any(|snap| snap.says == "cut from lining here"), "{:?}", other.snaps);
    assert!(push(start - beside / 2.0).recipe.is_none(), "between the pieces and the cloth");
}

#[test]
fn the_grain_is_turned_to_where_the_hand_is_and_drawn_to_the_ways_of_the_piece() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let sleeve = piece(&table, "sleeve");
    let grain = sleeve.grain().expect("a grain").clone();
    let middle = grain.start.midpoint(grain.end);
    let to = |x: f64, y: f64, reach: f64| {
        let ends = ([grain.end.x, grain.end.y], [middle.x + x, middle.y + y]);
        tried(&table, &drag(&json!({ "grain": "sleeve" }), "grain", ends, reach))
    };
    assert!(recipe(&to(150.0, 4.0, 8.0)).contains("to = \"crosswise\""), "{}", recipe(&to(150.0, 4.0, 8.0)));
    assert_eq!(to(3.0, 150.0, 8.0).recipe, None, "it runs so already");
    let free = to(100.0, 80.0, 8.0);
    assert!(recipe(&free).contains(" > "), "{}", recipe(&free));
    let turned = free.told.iter().any(|line| line.sentence.contains('°'));
    assert!(turned || free.refused.is_none(), "{free:?}");
}

/// Before a step a hand lies on the pattern as it was there, and the answers are those of the whole.
#[test]
fn a_hand_lies_on_the_pattern_as_it_was_before_a_step() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(
        &mut table,
        &step(json!({ "do": "split", "piece": "sleeve", "line": "fore-line", "names": "hind, fore" })),
    );
    keep(&mut table, &step(json!({ "do": "turn-grain", "piece": "hind", "to": "crosswise" })));
    let laid = table.laid();
    let lying = laid.lying(At::Before(1)).expect("what lay there");
    assert!(lying.pieces.iter().any(|piece| piece.name == "sleeve"));
    assert!(laid.lying(At::Before(7)).is_err(), "there is no such step");
    let back = piece(&table, "back");
    let [x, y] = on(&back, "side", 0.5);
    let wish = drag(&json!({ "edge": "back.side" }), "straight", ([x, y], [x - 10.0, y]), 0.0);
    let trial = laid.tried(&wish, At::Before(1));
    assert_eq!(trial.refused, None);
    let sleeve = drag(&json!({ "piece": "sleeve" }), "cut", ([x, y], [x, y]), 0.0);
    assert_eq!(laid.tried(&sleeve, At::Before(1)).refused, None, "it is there before it is cut");
    assert!(laid.tried(&sleeve, At::End).refused.is_some());
    table.keep_at(&wish, At::Before(1), table.revision()).expect("kept");
    assert_eq!(table.seen().steps.len(), 3);
    assert!(table.seen().steps[0].sentence.contains("back.side"), "{:?}", table.seen().steps[0]);
    assert_eq!(bench.text("pattern.svg"), bench.applied());
}

/// The places that a step names can be seen, and dragged in the field that names them.
#[test]
fn the_places_of_a_form_are_told_and_moved() {
    let bench = Bench::of_coat();
    let table = bench.table();
    let line = json!({ "do": "split", "piece": "sleeve", "line": "hem@30% > cap@50%" });
    let places = tried(&table, &step(line)).places;
    assert_eq!(
        places.iter().map(|place| (place.field.as_str(), place.number)).collect::<Vec<_>>(),
        [("line", 0), ("line", 1)]
    );
    assert_eq!(places[1].says, "the middle of cap");
    let sleeve = piece(&table, "sleeve");
    let moved = |value: &str, number: usize, at: [f64; 2]| {
        let fills: Value = json!({ "in-place-of": [value, number] });
        let pointing = json!({ "piece": "sleeve", "at": at, "reach": 4.0, "fills": fills });
        let pointing = serde_json::from_value(pointing).expect("a place");
        table.laid().pointed(&pointing, At::End).map(|pointed| pointed.value)
    };
    assert_eq!(moved("hem@30% > cap@50%", 0, on(&sleeve, "hem", 0.5)).as_deref(), Ok("hem@50% > cap@50%"));
    assert_eq!(moved("hem@30%", 0, on(&sleeve, "cap", 0.5)).as_deref(), Ok("cap@50%"));
    assert_eq!(moved("along at hem@30%", 0, on(&sleeve, "hem", 0.5)).as_deref(), Ok("along at hem@50%"));
    assert!(moved("level elbow", 0, on(&sleeve, "hem", 0.5)).is_err(), "it is named by no place");
    let refused =
        tried(&table, &step(json!({ "do": "split", "piece": "sleeve", "line": "hem@30% > hem@60%" })));
    assert!(refused.refused.is_some() && refused.places.len() == 2, "what is refused can be dragged on");
}

/// A way out that asks for a place is a step without it, which its form then asks for; no press is refused for what it leaves
/// to be said.
#[test]
fn a_way_out_that_asks_for_a_place_leaves_it_to_its_form() {
    let bench = Bench::of("dress.svg");
    let table = bench.table();
    let across = json!({ "do": "split", "piece": "bodice-front", "line": "waist@50% > shoulder@50%" });
    let level = json!({ "do": "split", "piece": "skirt-front", "line": "across at 4cm below waist@50%" });
    let (mut asking, mut plain) = (0, 0);
    for fields in [across, level] {
        let refused = tried(&table, &step(fields)).refused.into_iter();
        for press in refused.flat_map(|refused| refused.presses) {
            assert!(!press.says.contains("PLACE") && !press.step.to_string().contains("PLACE"), "{press:?}");
            let form = table.laid().form(Some(&press.step), At::End).expect("a form");
            let is_missing = form.fields.iter().any(|field| field.needed && field.value.is_empty());
            assert_eq!(is_missing, press.asks, "{press:?}");
            asking += usize::from(press.asks);
            plain += usize::from(!press.asks);
        }
    }
    assert!(asking > 0 && plain > 0, "{asking} ask, {plain} do not");
}
