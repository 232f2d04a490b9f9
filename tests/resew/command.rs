//! `check --against`, as it is run.

use crate::run::Bench;

/// A coat that was moved to narrow cloth, beside the one it was cut from.
fn narrow_coat() -> Bench {
    let recipe = include_str!("../../examples/narrow-coat.toml").replace("../fixtures/", "");
    let bench = Bench::new().with_fixture("coat.svg").with_file("narrow.toml", recipe);
    bench.retrue("-q apply narrow.toml -o narrow.svg").is_true();
    bench
}

/// The operations of the shipped recipe, in order.
fn operations() -> Vec<&'static str> {
    let recipe = include_str!("../../examples/narrow-coat.toml");
    let names = recipe.lines().filter_map(|line| line.strip_prefix("do = "));
    names.map(|name| name.trim_matches('"')).collect()
}

/// The number of the first step of the recipe that does an operation.
fn number_of(operation: &str) -> usize {
    1 + operations().iter().position(|one| *one == operation).expect("a step of the recipe")
}

/// An attribute of an element as it stands in the sheet, name and value.
fn attribute<'a>(sheet: &'a str, id: &str, name: &str) -> &'a str {
    let from = sheet.find(&format!(" id=\"{id}\"")).expect("the element");
    let element = &sheet[from..from + sheet[from..].find('>').expect("its end")];
    let value = element.find(&format!(" {name}=\"")).expect("the attribute") + 1;
    let end = value + name.len() + 2 + element[value + name.len() + 2..].find('"').expect("its end");
    &element[value..=end]
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
    let operations = operations();
    let (moved, princess) = (number_of("move-seam"), number_of("add-princess-seam"));
    let moves_no_cloth = |name: &&&str| name.starts_with("set-") || **name == "turn-grain";
    let still = operations.iter().filter(moves_no_cloth).count();
    let (all, moving) = (operations.len(), operations.len() - still);
    bench
        .retrue("check narrow.svg --against coat.svg")
        .is_true()
        .prints(&format!("step {moved} move-seam: back + front: within 0.000 mm"))
        .prints("shaping carried")
        .prints(&format!("step {princess} add-princess-seam: front → front-centre + front-side: within 0.000 mm, nothing doubled or missing"))
        .prints(&format!("laid back onto coat.svg: {all} steps, {moving} of which moved pieces; what they keep lies within 0.000 mm"))
        .prints("true: ");
    let report = bench.retrue("check narrow.svg --against coat.svg --json").is_true().reports("check");
    assert_eq!(report["resewn"]["against"], "coat.svg");
    let steps = report["resewn"]["steps"].as_array().unwrap();
    assert_eq!(steps.len(), all);
    let set_edge = &steps[number_of("set-edge") - 1];
    assert_eq!(set_edge["groups"].as_array().unwrap().len(), 0, "set-edge moves nothing");
    assert!(steps[princess - 1]["groups"][0]["held"]["distance"].as_f64().unwrap() < 0.001);
    assert!(bench.retrue("check narrow.svg --json").is_true().reports("check").get("resewn").is_none());
}

#[test]
fn an_edge_moved_by_hand_is_found() {
    let bench = narrow_coat();
    for (edge, by) in [("front-centre.shoulder", 1.0), ("cuff.turn", 1.0), ("cuff.turn", -0.01)] {
        let sheet = with_edge_moved(&bench.text_of("narrow.svg"), edge, by);
        let bench = Bench::new().with_fixture("coat.svg").with_file("tampered.svg", sheet);
        let size = f64::abs(by);
        let says = format!("{edge}: changed since: it lies {size:.3} mm off what the recorded steps give");
        bench.retrue("check tampered.svg --against coat.svg").is_untrue().prints(&says);
        let report =
            bench.retrue("check tampered.svg --against coat.svg --json").is_untrue().reports("check");
        let findings = report["findings"].as_array().unwrap();
        let found =
            findings.iter().find(|finding| finding["at"] == edge && finding["kind"] == "changed-since");
        let found = found.unwrap();
        assert!((found["number"].as_f64().unwrap() - size).abs() < 1e-5, "{found}");
        assert!((found["limit"].as_f64().unwrap() - 0.001).abs() < 1e-9, "{found}");
    }
}

/// What no step was asked to change is told with what it was and what it is.
#[test]
fn each_change_by_hand_is_told_with_what_and_where() {
    let sheet = narrow_coat().text_of("narrow.svg");
    let hem = "id=\"front-centre.hem\" class=\"edge\" data-kind=\"edge\" data-finish=\"hem\" data-allowance=";
    let belt = "id=\"belt\" class=\"piece\" data-kind=\"piece\" data-cut=\"1\" data-cloth=\"main\"";
    let edits = [
        (
            "d=\"M 540 1470 L 1124.65 1470\"".to_owned(),
            "d=\"M 832 1450 L 832 1490\"",
            "belt.grain: changed since: it lies",
        ),
        (
            format!("{hem}\"40mm\""),
            &format!("{hem}\"0mm\""),
            "front-centre.hem: changed since: allowance 40mm → 0mm",
        ),
        (" data-selvedge=\"yes\"".to_owned(), "", "back.side: changed since: selvedge yes → no"),
        (belt.to_owned(), &belt.replace("main", "lining"), "belt: changed since: cloth main → lining"),
        (belt.to_owned(), &belt.replace("cut=\"1", "cut=\"2"), "belt: changed since: copies cut 1 → 2"),
        (
            "M697 193.83 L670 193.83".to_owned(),
            "M697 203.83 L670 203.83",
            "front.buttonhole-1: changed since: d ",
        ),
        (
            attribute(&sheet, "front-side.side", "data-ease").to_owned(),
            "data-ease=\"1mm\"",
            "front-side.side + back.side: changed since: ease ",
        ),
    ];
    for (was, is, told) in edits {
        let edited = sheet.replacen(&was, is, 1);
        assert_ne!(sheet, edited, "{was}");
        let bench = Bench::new().with_fixture("coat.svg").with_file("edited.svg", edited);
        bench.retrue("check edited.svg --against coat.svg").is_untrue().prints(told);
    }
}

/// A record from which a step is gone does not lead to the sheet, whichever step it is.
#[test]
fn a_step_taken_out_of_the_record_is_told() {
    let sheet = narrow_coat().text_of("narrow.svg");
    let (before, rest) = sheet.split_once("<metadata data-kind=\"record\">").expect("a record");
    let (record, after) = rest.split_once("</metadata>").expect("its end");
    let record: serde_json::Value = serde_json::from_str(&record.replace("&gt;", ">")).expect("JSON");
    let count = record["steps"].as_array().expect("steps").len();
    assert_eq!(count, operations().len());
    for step in 0..count {
        let mut record = record.clone();
        record["steps"].as_array_mut().expect("steps").remove(step);
        let record = record.to_string().replace('>', "&gt;");
        let text = format!("{before}<metadata data-kind=\"record\">{record}</metadata>{after}");
        let bench = Bench::new().with_fixture("coat.svg").with_file("edited.svg", text);
        bench.retrue("check edited.svg --against coat.svg").is_untrue();
    }
}

/// Steps done one by one through files, the second along a level that the first has cut, are not taken for a change by hand.
#[test]
fn a_split_along_a_level_after_a_princess_seam_is_no_change_by_hand() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench
        .retrue("add-princess-seam coat.svg --piece front --from shoulder@50% --through bust-point --to hem@45% -o one.svg")
        .is_true();
    for piece in ["front-centre", "front-side"] {
        for level in ["bust", "waist", "hip"] {
            bench.retrue(&format!(
                "-q split one.svg --piece {piece} --line \"level {level}\" -o two.svg --force"
            ));
            let told = bench.retrue("check two.svg --against coat.svg").stdout();
            assert!(told.contains("2 steps, 2 of which moved pieces"), "{told}");
            assert!(!told.contains("changed since") && !told.contains("the record does not"), "{told}");
        }
    }
}

#[test]
fn a_sheet_against_itself_and_one_without_a_record_are_answered_plainly() {
    let bench = narrow_coat();
    bench
        .retrue("check narrow.svg --against narrow.svg")
        .is_true()
        .prints("0 steps, none of which moved a piece");
    bench
        .retrue("check coat.svg --against coat.svg")
        .is_true()
        .prints("0 steps, none of which moved a piece");
    let sheet = bench.text_of("narrow.svg");
    let (before, rest) = sheet.split_once("<metadata data-kind=\"record\">").expect("a record");
    let bare = format!("{before}{}", rest.split_once("</metadata>").expect("its end").1);
    let bench = bench.with_file("bare.svg", bare);
    bench
        .retrue("check bare.svg --against coat.svg")
        .is_untrue()
        .prints("front: changed since: it is gone")
        .prints("front-side: changed since: it was added");
    bench.retrue("check bare.svg --against narrow.svg").is_refused().says("it is the later of the two");
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
        .prints(&format!("step {} add-princess-seam, front", number_of("add-princess-seam")))
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
        .is_untrue()
        .prints(&format!(
            "step 1 {}: the record does not lead here from the older pattern: ",
            operations()[0]
        ))
        .prints("the older pattern's record has `split` there");
    bench
        .retrue("check coat.svg --against narrow.svg")
        .is_refused()
        .says(&format!(
            "it is the later of the two: its record has {} steps, and the other one only the first 0 of them",
            operations().len()
        ))
        .says("name the two the other way round: retrue check narrow.svg --against coat.svg");
    let longer = with_edge_moved(&bench.text_of("coat.svg"), "pocket-bag.mouth", 12.0);
    let bench = narrow_coat().with_file("longer.svg", longer);
    bench
        .retrue("check narrow.svg --against longer.svg")
        .is_untrue()
        .prints("ledger: the record does not lead here from the older pattern: ")
        .prints("`pocket-bag.mouth` is 160.00 mm long in it, and 161.79 mm on the older pattern");
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

/// Two skirt panels whose side seams differ by a millimetre.
fn uneven_skirt() -> String {
    let panel = |name: &str, x: f64, low: f64, side: &str, sewn: &str| {
        let (right, y) = (x + 200.0, 50.0);
        let edge = |edge: &str, says: &str, d: String| {
            format!(
                "<path id=\"{name}.{edge}\" data-kind=\"edge\" {says} data-allowance=\"15mm\" d=\"{d}\"/>"
            )
        };
        let (left_end, right_end) = if side == "right" { (600.0, low) } else { (low, 600.0) };
        let on = |edge: &str| if edge == side { sewn } else { "data-finish=\"free\"" };
        format!(
            "<g id=\"{name}\" data-kind=\"piece\" data-cut=\"1\">{}{}{}{}\
             <path id=\"{name}.grain\" data-kind=\"grainline\" d=\"M {g} 100 V 500\"/></g>",
            edge("waist", "data-finish=\"free\"", format!("M {x} {y} H {right}")),
            edge("right", on("right"), format!("M {right} {y} V {right_end}")),
            edge("hem", "data-finish=\"hem\"", format!("M {right} {right_end} L {x} {left_end}")),
            edge("left", on("left"), format!("M {x} {left_end} V {y}")),
            g = x + 100.0,
        )
    };
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"700mm\" height=\"700mm\" viewBox=\"0 0 700 700\">{}{}</svg>",
        panel("front", 50.0, 600.0, "right", "data-sewn-to=\"back.left from back.left@100%\""),
        panel("back", 400.0, 601.0, "left", "")
    )
}

/// What a trued seam leaves alone is held to lie as it lay, and measured.
#[test]
fn edges_that_truing_does_not_touch_are_held() {
    let bench = Bench::new().with_file("skirt.svg", uneven_skirt());
    bench.retrue("true-seam skirt.svg --seam front.right --by back -o trued.svg");
    let report = bench.retrue("check trued.svg --against skirt.svg --json").reports("check");
    let group = &report["resewn"]["steps"][0]["groups"][0];
    assert!(group["held"]["distance"].as_f64().expect("something is held") < 0.001, "{group}");
    let redrawn = group["redrawn"]["distance"].as_f64().expect("something is drawn anew");
    assert!((redrawn - 1.0).abs() < 0.1, "{group}");
    let sheet = bench.text_of("trued.svg").replace("\"back.hem\"]", "\"back.waist\"]");
    let bench = bench.with_file("other.svg", sheet);
    bench
        .retrue("check other.svg --against skirt.svg")
        .is_untrue()
        .prints("it records that `back.waist` was drawn anew, and keeps it")
        .prints("it does not record that `back.hem` was drawn anew")
        .prints("step 1 true-seam, back.hem: laid back, it lies");
}

/// A piece that was moved on the sheet between two steps is told as that, with how far.
#[test]
fn a_piece_moved_between_two_steps_is_told_by_name_and_distance() {
    let bench = Bench::new().with_fixture("coat.svg");
    bench.retrue("-q set-allowance coat.svg --edges front.hem --allowance 50mm -o one.svg");
    let sheet = bench.text_of("one.svg");
    let moved = sheet.replacen("<g id=\"front\"", "<g transform=\"translate(30 2540)\" id=\"front\"", 1);
    assert_ne!(sheet, moved);
    let bench = bench.with_file("moved.svg", moved);
    bench.retrue("check moved.svg --against coat.svg").prints("laid back onto coat.svg: 1 step");
    bench.retrue("-q split moved.svg --piece front --line \"across at 20cm below neck@0%\" -o two.svg");
    let told = bench.retrue("check two.svg --against coat.svg").is_untrue().stdout();
    assert!(told.contains("`front` lay 2540.18 mm from where the steps before put it"), "{told}");
    assert!(!told.contains("off the old piece"), "{told}");
}
