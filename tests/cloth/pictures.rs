//! Pictures of layouts and of the garment as it is sewn: they can be read on paper, and nothing is lost or on the wrong side.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{BezPath, PathEl, Point, Rect, Shape};
use retrue::cloth::layout::{Laid, LaidVerdict, LayTask, LayWish};
use retrue::cloth::{StripesAt, picture};
use retrue::pattern::Pattern;
use retrue::sheet::{ReadOptions, read};
use retrue::units::Unit;

use crate::lay_command::{is_written, pattern, polygon, search, shared, stock, text_boxes};

/// A page of A4 within margins of 10 mm, lying.
const A4: (f64, f64) = (277.0, 190.0);

const NARROW: &str = "[main]\nwidth = \"37cm\"\nlength = \"11.4m\"\ngap = \"2mm\"\n[companion]\nwidth = \"110cm\"\nlength = \"1.5m\"\n";

const MARKED: &str = "[main]\nwidth = \"60cm\"\nlength = \"5m\"\ngap = \"3mm\"\nflaws = [{ at = [\"10cm\", \"1.3m\"], size = [\"4cm\", \"2cm\"] }]\n\
    stripes = { marks = [[\"12cm\", \"teal\"], [\"61cm\", \"rust\"], [\"1.02m\", \"teal\"], [\"1.5m\", \"rust\"], [\"1.9m\", \"teal\"], [\"2.4m\", \"rust\"], \
    [\"2.9m\", \"teal\"], [\"3.3m\", \"rust\"]] }\n";

const WIDE: &str = "[main]\nwidth = \"110cm\"\nlength = \"6m\"\nstripes = { repeat = \"64mm\" }\n[lining]\nwidth = \"1m\"\nlength = \"3m\"\n";

fn narrow_coat() -> Pattern {
    let sheet = include_str!("../../examples/narrow-coat.svg");
    read(sheet.as_bytes(), &ReadOptions::default()).expect("the coat").pattern
}

fn seams(matches: &[&str]) -> LayWish {
    LayWish {
        matches: matches.iter().map(|edge| edge.parse().expect("an edge")).collect(),
        ..LayWish::default()
    }
}

fn laid<'a>(task: &'a (LayTask<'_>, Laid)) -> &'a Laid {
    assert_eq!(task.1.verdict, LaidVerdict::Fits);
    &task.1
}

/// The least size of a text where all of a picture is printed on a page of A4, points.
fn least_on_a4(svg: &str) -> f64 {
    let document = roxmltree::Document::parse(svg).expect("sound XML");
    let view: Vec<f64> = document
        .root_element()
        .attribute("viewBox")
        .expect("a view")
        .split(' ')
        .map(|number| number.parse().expect("a number"))
        .collect();
    let fits = |across: f64, down: f64| (across / view[2]).min(down / view[3]);
    let scale = fits(A4.0, A4.1).max(fits(A4.1, A4.0));
    let is_seen =
        |node: &roxmltree::Node<'_, '_>| !node.ancestors().any(|around| around.has_tag_name("defs"));
    let texts = document.descendants().filter(|node| node.has_tag_name("text")).filter(is_seen);
    let sizes = texts.filter_map(|text| text.attribute("font-size")?.parse::<f64>().ok());
    sizes.fold(f64::INFINITY, f64::min) * scale / 25.4 * 72.0
}

#[test]
fn every_text_of_a_layout_can_be_read_on_a4() {
    let patterns = [narrow_coat(), pattern("skirt-shaped-back.svg"), pattern("dress.svg")];
    let cloths = [NARROW, MARKED, WIDE].map(stock);
    let wishes = [seams(&[]), seams(&["front.side"]), seams(&["skirt-front.side", "sleeve.cap"])];
    for ((pattern, stock), wish) in patterns.iter().zip(&cloths).zip(wishes) {
        let found = search(pattern, stock, wish, 30);
        let svg = picture::layout(&found.0, laid(&found), Unit::Millimetre);
        let least = least_on_a4(&svg);
        assert!(least >= 5.99, "the least text is {least:.2} pt high");
        let texts: Vec<String> = text_boxes(&svg).into_iter().map(|(text, _)| text).collect();
        for copy in &found.0.copies {
            assert!(is_written(&texts, &copy.to_string()), "{copy} is named");
        }
        let sewn = picture::sewn(&found.0, laid(&found), Unit::Millimetre);
        let least = least_on_a4(&sewn);
        assert!(least >= 5.99, "the least text of the garment is {least:.2} pt high");
    }
}

/// The coat on its narrow cloth lies in several rows; what of its cutting lines is in all of them is as long as they are.
#[test]
fn nothing_is_lost_between_the_rows_of_a_long_cloth() {
    let (coat, stock) = (narrow_coat(), stock(NARROW));
    let found = search(&coat, &stock, LayWish::default(), 30);
    let svg = picture::layout(&found.0, laid(&found), Unit::Millimetre);
    let document = roxmltree::Document::parse(&svg).expect("sound XML");
    let groups = || document.root_element().children().filter(|node| node.has_tag_name("g"));
    let rows = groups().filter(|group| group.attribute("class") == Some("band")).count();
    assert!(rows > 3, "{rows} rows");
    let mut long: BTreeMap<String, f64> = BTreeMap::new();
    for group in groups().filter(|group| group.attribute("class").is_none()) {
        let Some(name) = group.attribute("data-name") else { continue };
        let lines = group.children().filter(|node| node.attribute("class") == Some("cutting-line"));
        let lines =
            lines.map(|line| BezPath::from_svg(line.attribute("d").expect("a path")).expect("a path"));
        *long.entry(name.to_owned()).or_default() += lines.map(|line| line.perimeter(1e-3)).sum::<f64>();
    }
    assert_eq!(long.len(), found.0.copies.len());
    for lying in &laid(&found).lying {
        let name = found.0.copies[lying.copy].to_string();
        let (whole, drawn) = (lying.path(&found.0).perimeter(1e-3), long[&name]);
        assert!((whole - drawn).abs() < 0.5, "{name}: {drawn:.1} of {whole:.1} mm");
    }
}

/// Red, white and navy both ways, closer than a piece is wide.
const PLAID: &str = "[main]\nwidth = \"60cm\"\nlength = \"4m\"\nstripes = [\
    { repeat = \"120mm\", marks = [[\"0mm\", \"red\"], [\"30mm\", \"white\"], [\"50mm\", \"navy\"], [\"60mm\", \"white\"]], along = \"width\" }, \
    { repeat = \"100mm\", marks = [[\"0mm\", \"red\"], [\"20mm\", \"white\"], [\"50mm\", \"navy\"], [\"60mm\", \"white\"]], along = \"length\" }]\n";

/// How much light of black lines' ground there is beside theirs, as WCAG 2 reckons it.
fn contrast_to_black(colour: &str) -> f64 {
    let part = |at: usize| {
        let value = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).expect("hexadecimal")) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    let light = 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
    (light + 0.05) / 0.05
}

/// A stripe whose name is a colour is drawn in it wherever cloth is drawn, so light that lines stand out; its name stands in
/// the key, once.
#[test]
fn stripes_are_drawn_in_the_colour_of_their_name() {
    let (skirt, stock) = (pattern("skirt-shaped-back.svg"), stock(PLAID));
    let found = search(&skirt, &stock, seams(&[]), 40);
    let laid = laid(&found);
    let marks = stock.cloths().flat_map(|cloth| cloth.stripes()).flat_map(|stripes| match stripes.at() {
        StripesAt::Marks(marks) => marks.clone(),
        StripesAt::Every { .. } => Vec::new(),
    });
    let tones: BTreeMap<String, String> = marks
        .filter_map(|mark| {
            let [red, green, blue] = picture::stripe_tone(&mark)?.rgb();
            Some((mark.word?, format!("#{red:02x}{green:02x}{blue:02x}")))
        })
        .collect();
    assert_eq!(tones.keys().collect::<Vec<_>>(), ["navy", "red", "white"]);
    for (word, tone) in &tones {
        assert!(contrast_to_black(tone) > 5.5, "{word} is {tone}: {:.1}", contrast_to_black(tone));
    }
    for svg in
        [picture::layout(&found.0, laid, Unit::Millimetre), picture::sewn(&found.0, laid, Unit::Millimetre)]
    {
        let document = roxmltree::Document::parse(&svg).expect("sound XML");
        let is_seen =
            |node: &roxmltree::Node<'_, '_>| !node.ancestors().any(|around| around.has_tag_name("defs"));
        let shapes = || document.descendants().filter(is_seen);
        let drawn: BTreeSet<&str> = shapes()
            .filter(|node| node.attribute("class") == Some("dyed"))
            .filter_map(|node| node.attribute("fill"))
            .collect();
        assert_eq!(drawn, tones.values().map(String::as_str).collect(), "no other colour, and all of them");
        assert_eq!(shapes().filter(|node| node.attribute("class") == Some("stripe")).count(), 0);
        let texts: Vec<&str> =
            shapes().filter(|node| node.has_tag_name("text")).filter_map(|node| node.text()).collect();
        for word in tones.keys() {
            let named = texts.iter().copied().filter(|text| text.split(' ').any(|part| part == word));
            assert_eq!(named.collect::<Vec<_>>(), [format!("{word} stripe")]);
        }
    }
}

/// The words of marks stand where no line of a piece runs through them: of those that are colours once, in the key, of others at
/// the edge of the cloth.
#[test]
fn words_of_marks_lie_over_no_line() {
    let (skirt, stock) = (pattern("skirt-shaped-back.svg"), stock(MARKED));
    let found = search(&skirt, &stock, seams(&["front.side"]), 40);
    let svg = picture::layout(&found.0, laid(&found), Unit::Millimetre);
    let words: Vec<Rect> = text_boxes(&svg)
        .into_iter()
        .filter(|(text, _)| ["teal stripe", "rust"].contains(&text.as_str()))
        .map(|(_, place)| place)
        .collect();
    let rusts = laid(&found).uses.iter().map(|usage| usage.used).fold(0.0, f64::max);
    let rusts = [610.0, 1500.0, 2400.0, 3300.0].iter().filter(|at| **at < rusts).count();
    assert!(rusts > 1 && words.len() > rusts, "{} words, {rusts} marks of rust", words.len());
    let document = roxmltree::Document::parse(&svg).expect("sound XML");
    let is_line = |node: &roxmltree::Node<'_, '_>| {
        matches!(node.attribute("class"), Some("cutting-line" | "seamline" | "dart" | "grainline" | "flaw"))
    };
    for line in document.descendants().filter(is_line) {
        let path = BezPath::from_svg(line.attribute("d").expect("a path")).expect("a path");
        for segment in path.segments() {
            let places = (0..=100).map(|i| kurbo::ParamCurve::eval(&segment, f64::from(i) / 100.0));
            for place in places {
                assert!(
                    !words.iter().any(|word| word.contains(place)),
                    "a line runs through a word at {place:?}"
                );
            }
        }
    }
}

/// The groups of views of a sewn picture: their titles, and from the left, from above, length and height.
fn views(svg: &str) -> Vec<(String, [f64; 4])> {
    let document = roxmltree::Document::parse(svg).expect("sound XML");
    let views = document.descendants().filter(|node| node.attribute("class") == Some("view"));
    views
        .map(|view| {
            let part = view.attribute("data-part").expect("its part").split(' ');
            let part: Vec<f64> = part.map(|number| number.parse().expect("a number")).collect();
            (view.attribute("data-name").expect("a title").to_owned(), part.try_into().expect("four"))
        })
        .collect()
}

/// Seen from the front, the right half of the body is at the left: its sleeve as well.
#[test]
fn sleeves_are_on_the_side_of_their_half_of_the_body() {
    let dress = (pattern("dress.svg"), WIDE, "sleeve");
    let coat = (narrow_coat(), NARROW, "sleeve-upper");
    for (pattern, cloth, sleeve) in [dress, coat] {
        let cloth = stock(cloth);
        let found = search(&pattern, &cloth, LayWish::default(), 20);
        let svg = picture::sewn(&found.0, laid(&found), Unit::Millimetre);
        let views = views(&svg);
        let middle = |name: &str| {
            let found = views.iter().find(|(title, _)| title.contains(name));
            found.map(|(_, part)| part[0] + part[2] / 2.0).unwrap_or_else(|| panic!("{name} in {views:?}"))
        };
        let (right, front, left) =
            (middle(&format!("{sleeve} R")), middle("From the front"), middle(&format!("{sleeve} L")));
        assert!(right < front && front < left, "{right} {front} {left}: {views:?}");
        let back = middle("From the back");
        assert!(!(right..left).contains(&back), "{views:?}");
    }
}

/// No piece of a garment that is unrolled lies over another by more than a hair.
#[test]
fn pieces_of_a_sewn_garment_lie_beside_each_other() {
    /// 3 mm deep along a seam.
    const OVER: f64 = 2500.0;
    let dress = (pattern("dress.svg"), WIDE);
    let skirt = (pattern("skirt-shaped-back.svg"), MARKED);
    for (pattern, cloth) in [dress, skirt, (narrow_coat(), NARROW)] {
        let cloth = stock(cloth);
        let found = search(&pattern, &cloth, LayWish::default(), 20);
        let svg = picture::sewn(&found.0, laid(&found), Unit::Millimetre);
        let document = roxmltree::Document::parse(&svg).expect("sound XML");
        let outlines: Vec<(String, BezPath)> = document
            .descendants()
            .filter(|node| node.has_tag_name("clipPath"))
            .map(|clip| {
                let id = clip.attribute("id").expect("an id");
                let view = id.rsplit_once('-').expect("its view").0.to_owned();
                let path = clip.first_element_child().and_then(|path| path.attribute("d")).expect("a path");
                (view, BezPath::from_svg(path).expect("a path"))
            })
            .collect();
        assert!(outlines.len() > 3);
        for (i, (view, first)) in outlines.iter().enumerate() {
            for (_, second) in outlines[i + 1..].iter().filter(|(other, _)| other == view) {
                for (a, b) in
                    rings(first).iter().flat_map(|a| rings(second).into_iter().map(move |b| (a.clone(), b)))
                {
                    let over = shared(&polygon(&a), &polygon(&b));
                    let at: Point = a.bounding_box().center();
                    assert!(over < OVER, "{over:.0} mm² over each other in {view}, at {at:?}");
                }
            }
        }
    }
}

/// The closed parts of a path.
fn rings(path: &BezPath) -> Vec<BezPath> {
    let mut found: Vec<BezPath> = Vec::new();
    for element in path.elements() {
        if matches!(element, PathEl::MoveTo(_)) {
            found.push(BezPath::new());
        }
        if let Some(ring) = found.last_mut() {
            ring.push(*element);
        }
    }
    found
}
