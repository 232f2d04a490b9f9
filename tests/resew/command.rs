//! `check --against`, as it is run.

use crate::run::Bench;

/// A coat that was moved to narrow cloth, beside the one it was cut from.
fn narrow_coat() -> Bench {
    let recipe = include_str!("../../examples/narrow-coat.toml").replace("../fixtures/", "");
    let bench = Bench::new().with_fixture("coat.svg").with_file("narrow.toml", recipe);
    bench.retrue("-q apply narrow.toml -o narrow.svg").is_true();
    bench
}

/// The sheet with the straight edge drawn over a point beside its middle, that many mm off.
fn with_edge_moved(sheet: &str, edge: &str, by: f64) -> String {
    let (before, rest) = sheet.split_once(&format!("<path id=\"{edge}\"")).expect("the edge");
    let (attributes, rest) = rest.split_once(" d=\"").expect("its path");
    let (path, rest) = rest.split_once('"').expect("the end of its path");
    let words = path.split(|letter: char| letter.is_whitespace() || letter.is_alphabetic());
    let numbers: Vec<f64> = words.filter_map(|word| word.parse().ok()).collect();
    let [x, y, u, v] = numbers[..] else { panic!("{edge} is not straight: {path}") };
    let length = (u - x).hypot(v - y);
    let middle = ((x + u) / 2.0 - (v - y) / length * by, (y + v) / 2.0 + (u - x) / length * by);
    let path = format!("M {x} {y} L {} {} L {u} {v}", middle.0, middle.1);
    format!("{before}<path id=\"{edge}\"{attributes} d=\"{path}\"{rest}")
}

#[test]
fn a_recut_coat_is_laid_back_onto_the_one_it_was_cut_from() {
    let bench = narrow_coat();
    bench
        .retrue("check narrow.svg --against coat.svg")
        .is_true()
        .prints("step 2 move-seam: back + front: within 0.000 mm")
        .prints("shaping carried")
        .prints("step 6 add-princess-seam: front → front-centre + front-side: within 0.000 mm, nothing doubled or missing")
        .prints("laid back onto coat.svg: 11 steps, 6 of which moved pieces; what they keep lies within 0.000 mm")
        .prints("true: ");
    let report = bench.retrue("check narrow.svg --against coat.svg --json").is_true().reports("check");
    assert_eq!(report["resewn"]["against"], "coat.svg");
    let steps = report["resewn"]["steps"].as_array().unwrap();
    assert_eq!(steps.len(), 11);
    assert_eq!(steps[3]["groups"].as_array().unwrap().len(), 0, "set-edge moves nothing");
    assert!(steps[5]["groups"][0]["held"]["distance"].as_f64().unwrap() < 0.001);
    assert!(bench.retrue("check narrow.svg --json").is_true().reports("check").get("resewn").is_none());
}

#[test]
fn an_edge_moved_by_hand_is_found() {
    let bench = narrow_coat();
    for (edge, by) in [("front-centre.shoulder", 1.0), ("cuff.turn", 1.0), ("cuff.turn", -0.01)] {
        let sheet = with_edge_moved(&bench.text_of("narrow.svg"), edge, by);
        let bench = Bench::new().with_fixture("coat.svg").with_file("tampered.svg", sheet);
        let size = f64::abs(by);
        let says = format!("{edge}: it lies {size:.3} mm off what the recorded steps give");
        bench.retrue("check tampered.svg --against coat.svg").is_untrue().prints(&says);
        let report =
            bench.retrue("check tampered.svg --against coat.svg --json").is_untrue().reports("check");
        let findings = report["findings"].as_array().unwrap();
        let found =
            findings.iter().find(|finding| finding["at"] == edge && finding["kind"] == "drawn-by-hand");
        let found = found.unwrap();
        assert!((found["number"].as_f64().unwrap() - size).abs() < 1e-5, "{found}");
        assert!((found["limit"].as_f64().unwrap() - 0.001).abs() < 1e-9, "{found}");
    }
}

/// A motion in the record that was not the one: the new pieces do not lie where the record says.
#[test]
fn a_motion_that_was_changed_in_the_record_is_found() {
    let bench = narrow_coat();
    let sheet = bench.text_of("narrow.svg");
    let (before, rest) = sheet.split_once("add-princess-seam").expect("the step");
    let (before, last) = before.rsplit_once("\"motion\":[").expect("its last motion");
    let (numbers, between) = last.split_once(']').expect("the end of it");
    let mut numbers: Vec<f64> = numbers.split(',').map(|number| number.parse().unwrap()).collect();
    numbers[5] += 0.5;
    let numbers: Vec<String> = numbers.iter().map(|number| format!("{number:?}")).collect();
    let tampered = format!("{before}\"motion\":[{}]{between}add-princess-seam{rest}", numbers.join(","));
    let bench = Bench::new().with_fixture("coat.svg").with_file("tampered.svg", tampered);
    bench
        .retrue("check tampered.svg --against coat.svg")
        .is_untrue()
        .prints("step 6 add-princess-seam, front")
        .prints("mm off the old piece, and the step does not say so (limit 0.010 mm)");
}

/// A piece that was only moved about on the sheet is what its steps gave.
#[test]
fn a_piece_moved_about_on_the_sheet_is_still_true() {
    let bench = narrow_coat();
    let sheet = bench.text_of("narrow.svg");
    let moved = sheet.replacen("<g id=\"collar\"", "<g transform=\"translate(40 2500)\" id=\"collar\"", 1);
    assert_ne!(sheet, moved);
    let bench = Bench::new().with_fixture("coat.svg").with_file("moved.svg", moved);
    bench.retrue("check moved.svg --against coat.svg").is_true();
}

#[test]
fn another_pattern_is_refused_with_a_sentence() {
    let bench = narrow_coat().with_fixture("dress.svg");
    bench
        .retrue("check narrow.svg --against dress.svg")
        .is_refused()
        .says("it is not the pattern that the newer one was cut from: it has no edge `")
        .says("name the pattern that narrow.svg was cut from");
    bench.retrue("split coat.svg --piece back --line \"across at 20cm below neck@0%\" -o cut.svg").is_true();
    bench
        .retrue("check narrow.svg --against cut.svg")
        .is_refused()
        .says("step 1 of the older pattern is not step 1 of the newer one");
    bench.retrue("check coat.svg --against narrow.svg").is_refused().says("they went different ways");
    let longer = with_edge_moved(&bench.text_of("coat.svg"), "pocket-bag.mouth", 12.0);
    let bench = narrow_coat().with_file("longer.svg", longer);
    bench
        .retrue("check narrow.svg --against longer.svg")
        .is_refused()
        .says("`pocket-bag.mouth` was 160.0 mm long, and is 161.8 mm on it");
}

/// A chain of commands is laid back onto any pattern on its way.
#[test]
fn a_pattern_is_laid_back_onto_one_halfway() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("open-centre coat.svg --piece back -o one.svg").is_true();
    bench.retrue("limit-width one.svg --piece pocket-bag --width 8cm -o two.svg").is_true();
    bench.retrue("check two.svg --against coat.svg").is_true().prints("2 steps, 1 of which moved pieces");
    bench.retrue("check two.svg --against one.svg").is_true().prints("step 2 limit-width: pocket-bag → pocket-bag-1 + pocket-bag-2 + pocket-bag-3 + pocket-bag-4: within 0.000 mm, nothing doubled or missing");
    bench.retrue("check two.svg --against two.svg").is_true().prints("0 steps, none of which moved a piece");
}
