//! Pages as documents, and what they tell.

use std::path::Path;

use retrue::pattern::Pattern;
use retrue::sheet::{self, ReadOptions};
use retrue::show::report::{Layout, Report};
use retrue::truing;
use retrue::units::Unit;
use roxmltree::{Document, Node};

/// A shipped sheet.
pub fn shipped(file: &str) -> Pattern {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    sheet::read(&std::fs::read(path).expect("a sheet"), &ReadOptions::default()).expect("sound").pattern
}

/// The page on the shipped coat, made narrow, with a layout.
pub fn narrow_coat() -> String {
    let (before, now) = (shipped("fixtures/coat.svg"), shipped("examples/narrow-coat.svg"));
    let layout = "<svg xmlns='http://www.w3.org/2000/svg'><g class='band' data-name='main'/></svg>";
    let report =
        Report::of("narrow-coat", &now, Some((&before).into()), Unit::Millimetre).expect("of one history");
    let layout = Layout::read("layout.svg", layout).expect("an SVG");
    report.with_layouts(vec![layout]).html().expect("a page")
}

/// A step a row: the largest deviation, and what lies twice or is missing.
#[test]
fn what_was_laid_back_is_told_step_by_step() {
    let page = narrow_coat();
    let document = parsed(&page);
    let proof = section(&document, "proof");
    let rows: Vec<Vec<String>> = proof
        .descendants()
        .filter(|node| node.tag_name().name() == "tr")
        .map(|row| row.children().filter(Node::is_element).map(text).collect())
        .collect();
    let record = shipped("examples/narrow-coat.svg").record;
    let names: Vec<&str> =
        record.steps.iter().map(|step| step.step["do"].as_str().expect("a name")).collect();
    let numbers = |is_it: &dyn Fn(&str) -> bool| -> Vec<String> {
        let named = names.iter().zip(1..).filter(|(name, _)| is_it(name));
        named.map(|(_, number): (_, usize)| number.to_string()).collect()
    };
    let princess = &numbers(&|name| name == "add-princess-seam")[0];
    let wanted = [princess, "front → front-centre and front-side", "0.001\u{a0}mm", "–", "none", "none"];
    assert!(rows.iter().any(|row| *row == wanted), "{rows:?}");
    let still = numbers(&|name| name.starts_with("set-") || name == "turn-grain");
    let (last, others) = still.split_last().expect("steps that set something");
    let told = format!("Steps {} and {last} moved no cloth.", others.join(", "));
    assert!(text(proof).contains(&told), "{told} is not in: {}", text(proof));
}

/// The page on a sheet to which nothing was done.
pub fn untouched(file: &str) -> String {
    let now = shipped(file);
    Report::of(file, &now, None, Unit::Inch).expect("sound").html().expect("a page")
}

/// A page as XML, which it must be as well.
pub fn parsed(page: &str) -> Document<'_> {
    let body = page.strip_prefix("<!DOCTYPE html>").expect("a page of HTML");
    Document::parse(body).expect("sound XML")
}

pub fn named<'a>(document: &'a Document<'_>, tag: &'static str) -> impl Iterator<Item = Node<'a, 'a>> {
    document.descendants().filter(move |node| node.is_element() && node.tag_name().name() == tag)
}

pub fn text(node: Node<'_, '_>) -> String {
    node.descendants().filter_map(|part| if part.is_text() { part.text() } else { None }).collect()
}

fn with_class<'a>(document: &'a Document<'_>, class: &'static str) -> Vec<Node<'a, 'a>> {
    document.descendants().filter(|node| node.attribute("class") == Some(class)).collect()
}

fn section<'a>(document: &'a Document<'_>, id: &str) -> Node<'a, 'a> {
    document.descendants().find(|node| node.attribute("id") == Some(id)).expect("the section")
}

#[test]
fn every_part_is_there() {
    let page = narrow_coat();
    let document = parsed(&page);
    for id in [
        "job",
        "warnings",
        "before-after",
        "steps",
        "proof",
        "girths",
        "seams",
        "layouts",
        "order",
        "checklist",
    ] {
        assert!(!text(section(&document, id)).trim().is_empty(), "{id}");
    }
    let steps = with_class(&document, "step");
    let recorded = shipped("examples/narrow-coat.svg").record.steps.len();
    assert_eq!(steps.len(), recorded);
    // A step that moves no cloth is told in words alone; what the lines mean stands once above all.
    let mut drawn = 0;
    for step in steps {
        let count = |class| step.descendants().filter(|node| node.attribute("class") == Some(class)).count();
        let moves_cloth = text(step).contains("Widths and heights");
        assert_eq!(count("picture"), usize::from(moves_cloth), "{}", text(step));
        drawn += count("picture");
    }
    assert!(drawn > 3 && drawn < recorded, "{drawn} of {recorded}");
    let keys =
        section(&document, "steps").descendants().filter(|node| node.attribute("class") == Some("key"));
    let keys: Vec<String> = keys.map(text).collect();
    assert!(matches!(&keys[..], [key] if key.contains("no longer here")), "{keys:?}");
}

/// Every seam is told once: in a row of the table where both sides agree and there is nothing to be met on the way, else
/// drawn, both seamlines at one scale: their lengths are to each other as what is sewn.
#[test]
fn every_seam_is_told_in_a_row_or_unrolled_at_its_sewn_length() {
    let page = narrow_coat();
    let document = parsed(&page);
    let pattern = shipped("examples/narrow-coat.svg");
    let walks = truing::walk_seams(&pattern).expect("sound");
    let drawn = with_class(&document, "unrolled");
    let rows: Vec<String> =
        section(&document, "seams").descendants().filter(|node| node.has_tag_name("td")).map(text).collect();
    let mut drawn_seams = 0;
    for walk in &walks {
        let name = format!("{} unrolled", walk.name);
        let Some(drawn) = drawn.iter().copied().find(|drawn| drawn.attribute("aria-label") == Some(&name))
        else {
            assert!(rows.contains(&walk.name), "{} is not told", walk.name);
            assert!(walk.ease.mm() == 0.0 && walk.difference.mm().abs() < 0.5 && walk.unmatched.is_empty());
            assert!(walk.pairs.iter().all(|pair| pair.first.notch.is_none()), "{}", walk.name);
            continue;
        };
        drawn_seams += 1;
        assert!(!rows.contains(&walk.name), "{} is told twice", walk.name);
        let number = |node: Node<'_, '_>, name: &str| -> f64 {
            node.attribute(name).expect("a number").parse().expect("a number")
        };
        let lines = drawn.children().filter(|node| node.attribute("class") == Some("seamline"));
        let lengths: Vec<f64> = lines.map(|line| number(line, "x2") - number(line, "x1")).collect();
        let [first, second] = lengths[..] else { panic!("two lines of {}", walk.name) };
        let (one, other) = (walk.lengths.0.mm(), walk.lengths.1.mm());
        assert!((first * other - second * one).abs() < 0.02 * (one + other), "{}", walk.name);
        let pairs = drawn.children().filter(|node| node.attribute("class") == Some("pair"));
        assert_eq!(pairs.count(), walk.pairs.len(), "{}", walk.name);
    }
    assert!(drawn_seams == drawn.len() && drawn_seams > 0 && drawn_seams < walks.len(), "{drawn_seams}");
}

/// The three answers, each with its word: what fits is known by a layout that tells how much it uses.
#[test]
fn three_answers_stand_first() {
    let words = |page: &str| -> Vec<(String, String)> {
        let document = parsed(page);
        let answers = with_class(&document, "answers");
        let [answers] = answers[..] else { panic!("one list of answers") };
        let answers = answers.children().filter(Node::is_element);
        let word = |answer: Node<'_, '_>| {
            let word = answer.children().find(|node| node.has_tag_name("dt")).map(text).expect("a word");
            (answer.attribute("class").expect("a class").to_owned(), word)
        };
        answers.map(word).collect()
    };
    let told = |class: &str, word: &str| (class.to_owned(), word.to_owned());
    let same_and_true = [told("yes", "True"), told("yes", "Same size")];
    let narrow = words(&narrow_coat());
    assert_eq!(narrow[0], told("open", "Fits?"));
    assert_eq!(narrow[1..], same_and_true);
    let (before, now) = (shipped("fixtures/coat.svg"), shipped("examples/narrow-coat.svg"));
    let laid = |pieces: &[String]| {
        let lying: String = pieces.iter().map(|piece| format!("<g data-name='{piece} L'/>")).collect();
        let bands = format!(
            "<g class='band' data-name='main' data-ground='main' data-used='7.8m' data-length='11.4m'/>{lying}"
        );
        let svg = format!("<svg xmlns='http://www.w3.org/2000/svg'>{bands}</svg>");
        let report =
            Report::of("coat", &now, Some((&before).into()), Unit::Millimetre).expect("of one history");
        report.with_layouts(vec![Layout::read("lay.svg", &svg).expect("an SVG")]).html().expect("a page")
    };
    let all = |pattern: &Pattern| -> Vec<String> {
        pattern.pieces().map(|piece| piece.name().to_string()).collect()
    };
    assert_eq!(words(&laid(&all(&now)))[0], told("yes", "Fits"));
    assert_eq!(words(&laid(&all(&now)[1..]))[0], told("open", "Fits in part"));
    assert_eq!(
        words(&laid(&all(&before)))[0],
        told("open", "Fits in part"),
        "a layout of what was there before"
    );
    let mut wider = now.clone();
    let name = "belt".parse().expect("a name");
    wider.piece_mut(&name).expect("the belt").cut.copies = 3;
    let report =
        Report::of("coat", &wider, Some((&before).into()), Unit::Millimetre).expect("of one history");
    assert_eq!(words(&report.html().expect("a page"))[1], told("no", "Not true"));
}

/// Before and after stand at one scale: the wider picture takes all of its room, the other its share.
#[test]
fn before_and_after_stand_at_one_scale() {
    let page = narrow_coat();
    let document = parsed(&page);
    let both = with_class(&document, "both");
    let shown: Vec<Node<'_, '_>> = both[0].children().filter(Node::is_element).collect();
    let number = |text: &str| text.parse::<f64>().expect("a number");
    let shares = shown
        .iter()
        .map(|one| number(one.attribute("style").expect("a share").trim_start_matches("--share: ")));
    let widths = shown.iter().map(|one| {
        let picture = one.children().find(|node| node.has_tag_name((SVG, "svg"))).expect("a picture");
        number(picture.attribute("viewBox").expect("a view").split(' ').nth(2).expect("a width"))
    });
    let scales: Vec<f64> = shares.zip(widths).map(|(share, width)| width / share).collect();
    assert_eq!(scales.len(), 2);
    assert!((scales[0] / scales[1] - 1.0).abs() < 1e-3, "{scales:?}");
}

/// Beside each other, or one above the other, no letter of the two pictures is lower than 9 px on a screen of 1280 px.
#[test]
fn letters_of_before_and_after_are_read() {
    let page = narrow_coat();
    let document = parsed(&page);
    let both = with_class(&document, "both");
    let number = |text: &str| text.parse::<f64>().expect("a number");
    let pictures: Vec<Node<'_, '_>> =
        both[0].descendants().filter(|node| node.has_tag_name((SVG, "svg"))).collect();
    let widths: Vec<f64> = pictures
        .iter()
        .map(|picture| number(picture.attribute("viewBox").expect("a view").split(' ').nth(2).expect("one")))
        .collect();
    let sizes = pictures.iter().flat_map(|picture| picture.descendants());
    let least =
        sizes.filter_map(|node| node.attribute("font-size")).map(number).fold(f64::INFINITY, f64::min);
    let is_stacked = both[0].parent().and_then(|figure| figure.attribute("class")) == Some("pair stacked");
    let shown = if is_stacked { widths.iter().copied().fold(0.0, f64::max) } else { widths.iter().sum() };
    assert!(least * 900.0 / shown >= 9.0, "{:.1} px", least * 900.0 / shown);
}

const SVG: &str = "http://www.w3.org/2000/svg";

/// A layout so long and high, mm, on its cloth.
fn with_layout(length: f64, height: f64) -> String {
    let svg = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {length} {height}'>\
         <g class='band' data-name='main: 7.7 m used'><text>back</text></g></svg>"
    );
    let now = shipped("fixtures/coat.svg");
    let report = Report::of("coat", &now, None, Unit::Millimetre).expect("sound");
    let layout = Layout::read("lay.svg", &svg).expect("an SVG");
    report.with_layouts(vec![layout]).html().expect("a page")
}

/// A layout is called by its cloths, and shown large enough to read.
#[test]
fn a_layout_is_named_by_its_cloths() {
    let page = with_layout(8000.0, 900.0);
    let document = parsed(&page);
    let picture = named(&document, "image").next().and_then(|image| image.parent()).expect("the layout");
    assert_eq!(picture.attribute("aria-label"), Some("Cutting layout lay.svg: main: 7.7 m used"));
    assert_eq!(picture.attribute("style"), Some("--wide: 640mm"));
    assert_eq!(named(&document, "image").count(), 1, "it is written once");
}

/// The parts of a layout that strips show: from the left, from above, length, height.
fn strips(page: &str) -> Vec<[f64; 4]> {
    let document = parsed(page);
    let strip = |strip: &Node<'_, '_>| {
        let svg = strip.children().find(|node| node.has_tag_name((SVG, "svg"))).expect("a drawing");
        let shown = svg.first_element_child().and_then(|shown| shown.attribute("href"));
        assert_eq!(shown, Some("#layout-1"));
        let numbers = svg.attribute("viewBox").expect("a part").split(' ').map(str::parse);
        numbers.collect::<Result<Vec<f64>, _>>().expect("numbers").try_into().expect("four numbers")
    };
    with_class(&document, "strip").iter().map(strip).collect()
}

/// On paper a long layout stands in strips that a page has room for at a scale that can be read: together they show all
/// of it, each a little of the one before.
#[test]
fn a_long_layout_is_printed_in_strips() {
    let strips_of_long = strips(&with_layout(8000.0, 900.0));
    assert_eq!(strips_of_long.len(), 4);
    for [_, y, length, height] in &strips_of_long {
        assert!(*y == 0.0 && *height == 900.0 && *length <= 2250.0);
    }
    for pair in strips_of_long.windows(2) {
        let ([from, _, length, _], [next, ..]) = (pair[0], pair[1]);
        assert!((from + length - next - 100.0).abs() < 1e-6, "{strips_of_long:?}");
    }
    let [last, _, length, _] = strips_of_long[3];
    assert!(strips_of_long[0][0] == 0.0 && (last + length - 8000.0).abs() < 1e-6);
    assert!(strips(&with_layout(2200.0, 900.0)).is_empty());
}

/// Each row of a cloth has strips of its own, one where it is short, with its title above them and the key of lines below;
/// every copy's name stands whole in one of them, and no text is cut by the end of one.
#[test]
fn each_cloth_of_a_layout_has_strips_of_its_own() {
    let bench = crate::run::Bench::new()
        .with_file("narrow.svg", include_str!("../../examples/narrow-coat.svg"))
        .with_file("cloth.toml", include_str!("../../examples/cloth.toml"));
    bench.retrue("lay narrow.svg --cloth cloth.toml --iterations 1 -o lay.svg").is_true();
    let page = bench.retrue("report narrow.svg --layout lay.svg").is_true().stdout();
    let mut parts: Vec<Vec<[f64; 4]>> = Vec::new();
    for strip in strips(&page) {
        match parts.last_mut() {
            Some(part) if part[0][1] == strip[1] => part.push(strip),
            _ => parts.push(vec![strip]),
        }
    }
    let [main @ .., companion] = &parts[..] else { panic!("rows of two cloths: {parts:?}") };
    let [companion] = &companion[..] else { panic!("one strip: {parts:?}") };
    assert!(main.iter().map(Vec::len).sum::<usize>() >= 4, "{parts:?}");
    assert!(companion[2] <= 2250.0 && companion[3] > 1000.0, "{companion:?}");
    for pair in parts.windows(2) {
        assert!(pair[0][0][1] + pair[0][0][3] <= pair[1][0][1], "{parts:?}");
    }
    let document = parsed(&page);
    let all = with_class(&document, "strips");
    let [all] = all[..] else { panic!("strips for a page") };
    let inside =
        |class: &'static str| all.children().filter(move |node| node.attribute("class") == Some(class));
    let titles: Vec<String> = inside("cloth").map(text).collect();
    assert!(titles.len() == parts.len() && titles.last().is_some_and(|title| title.contains("companion")));
    let lines: Vec<String> = inside("lines").flat_map(|list| list.children()).map(text).collect();
    assert!(lines.iter().any(|line| line.contains("cutting line")), "{lines:?}");
    let layout = bench.text_of("lay.svg");
    let names = layout.split("<g data-name=\"").skip(1).filter_map(|rest| rest.split('"').next());
    let written = of_strips(&document, "strip");
    let on_phone = of_strips(&document, "strip-on-phone");
    for name in names {
        for written in [&written, &on_phone] {
            let stands = written.iter().any(|(text, _)| text == name)
                || name.split(['-', ' ']).all(|part| written.iter().any(|(text, _)| text.contains(part)));
            assert!(stands, "{name} is nowhere whole");
        }
    }
    for (text, off) in written.iter().chain(&on_phone) {
        assert!(*off < 1.0, "`{text}` reaches {off} mm out of its strip");
    }
}

/// The level texts of strips, and how far each reaches out of its strip along the cloth.
fn of_strips(document: &Document<'_>, class: &'static str) -> Vec<(String, f64)> {
    let mut texts = Vec::new();
    for strip in with_class(document, class) {
        let svg = strip.children().find(|node| node.has_tag_name((SVG, "svg"))).expect("a drawing");
        let seen: Vec<f64> = svg
            .attribute("viewBox")
            .expect("a part")
            .split(' ')
            .map(|one| one.parse().expect("a number"))
            .collect();
        for node in svg.descendants().filter(|node| node.has_tag_name((SVG, "text"))) {
            let number =
                |name: &str| node.attribute(name).expect("a number").parse::<f64>().expect("a number");
            let half = if node.has_attribute("transform") { 0.0 } else { number("textLength") / 2.0 };
            let (from, to) = (number("x") - half, number("x") + half);
            texts.push((text(node), (seen[0] - from).max(to - seen[0] - seen[2])));
        }
    }
    texts
}

#[test]
fn girths_stand_before_and_after() {
    let page = narrow_coat();
    let document = parsed(&page);
    let rows: Vec<Vec<String>> = section(&document, "girths")
        .descendants()
        .filter(|node| node.tag_name().name() == "tr")
        .map(|row| row.children().filter(Node::is_element).map(text).collect())
        .collect();
    let pattern = shipped("fixtures/coat.svg");
    let girths = truing::girths(&pattern);
    assert_eq!(rows.len(), girths.len() + 1);
    for (girth, row) in girths.iter().zip(&rows[1..]) {
        // Of two sleeves one is told.
        let level = match girth.times {
            1 => girth.level.to_string(),
            times => format!("{}, one of {times}", girth.level),
        };
        let tenths = format!("{}\u{a0}mm", (girth.once().mm() * 10.0).round() / 10.0);
        assert_eq!(row[..3], [level, tenths.clone(), tenths]);
    }
    assert!(rows.iter().any(|row| row[0] == "elbow, one of 2"), "{rows:?}");
}

#[test]
fn every_piece_is_ticked_with_its_count_and_cloth() {
    let page = narrow_coat();
    let document = parsed(&page);
    let list = text(section(&document, "checklist"));
    for piece in shipped("examples/narrow-coat.svg").pieces() {
        assert!(list.contains(&format!("{}: cut {}", piece.name(), piece.cut.copies)), "{}", piece.name());
    }
    for needed in ["cut 2: left and right", "on the fold", "companion cloth", "printed bar", "trial garment"]
    {
        assert!(list.contains(needed), "{needed}");
    }
}

#[test]
fn nothing_done_is_told_so_in_the_unit_asked_for() {
    let page = untouched("fixtures/dress.svg");
    let document = parsed(&page);
    assert!(text(section(&document, "job")).contains("Nothing was done"));
    assert!(text(section(&document, "girths")).contains("\u{a0}in"));
    assert!(with_class(&document, "step").is_empty());
}

#[test]
fn a_sheet_changed_by_hand_after_its_steps_is_told() {
    let before = shipped("fixtures/coat.svg");
    let mut now = shipped("examples/narrow-coat.svg");
    let name = "belt".parse().expect("a name");
    now.piece_mut(&name).expect("the belt").cut.copies = 3;
    let report = Report::of("coat", &now, Some((&before).into()), Unit::Millimetre).expect("of one history");
    let page = report.html().expect("a page");
    assert!(page.contains("changed by hand: belt differs from what the steps make"), "{page}");
    let page = narrow_coat();
    assert!(!page.contains("changed by hand"));
}

/// A step that cannot be done again, as one of a later version, is told with why; the rest of the page stands.
#[test]
fn a_step_that_cannot_be_done_again_is_told() {
    let before = shipped("fixtures/coat.svg");
    let mut now = shipped("examples/narrow-coat.svg");
    now.record.steps[2].step = serde_json::json!({ "do": "embroider", "edge": "<b>" });
    let report = Report::of("coat", &now, Some((&before).into()), Unit::Millimetre).expect("of one history");
    let page = report.html().expect("a page");
    let document = parsed(&page);
    let steps = with_class(&document, "step");
    assert!(text(steps[2]).contains("this step cannot be done again"), "{}", text(steps[2]));
    assert!(text(steps[2]).contains("embroider --edge <b>"), "{}", text(steps[2]));
    let pictures = |step: Node<'_, '_>| {
        step.descendants().filter(|node| node.attribute("class") == Some("picture")).count()
    };
    assert_eq!([1, 2, 3].map(|at| pictures(steps[at])), [1, 0, 0], "the side seam was moved before it");
}

/// Every seam that a step made is told as new where it is sewn, also where a later step gave its edges other names.
#[test]
fn every_new_seam_is_told_as_new() {
    let now = shipped("examples/narrow-coat.svg");
    let page = narrow_coat();
    let document = parsed(&page);
    let sentences: Vec<String> = section(&document, "order")
        .descendants()
        .filter(|node| node.has_tag_name("li"))
        .map(text)
        .filter(|text| text.ends_with("This seam is new."))
        .collect();
    let of_sleeve = ["sleeve-upper.seam to", "sleeve-upper.seam-2 to"];
    assert!(of_sleeve.iter().all(|seam| sentences.iter().any(|text| text.contains(seam))), "{sentences:#?}");
    assert_eq!(sentences.len(), 4, "{sentences:#?}");
    let account = truing::account(&now).expect("steps were done");
    assert_eq!(account.new_seams.len(), 4);
    for seam in &account.new_seams {
        assert!(now.edge(&seam.first).is_ok() && now.edge(&seam.second).is_ok(), "{seam:?}");
    }
}
