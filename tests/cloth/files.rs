//! Cloth files: what they say, and what is refused in them, shown on its line.

use crate::run::Bench;
use retrue::cloth::file::{FilesBeside, PanelShape, PanelSource, UnreadBeside, read};
use retrue::cloth::{Crosswise, Direction, Selvedges, Stock, StripesAlong, StripesAt};
use retrue::curve::{Curve, Outline, Point, Vec2};
use retrue::pattern::ClothName;
use retrue::toml_file::TextFault;

/// The file of the design, and one of its panels.
const WHOLE: &str = r##"
[main]
width = [["0m", "37.2cm"], ["4m", "36.6cm"]]
length = ["2.1m", "1.8m"]
selvedges = "both"
direction = "one-way"
crosswise = false
gap = "3mm"
flaws = [{ at = ["10cm", "1.3m"], size = ["4cm", "2cm"] }, { at = ["0cm", "0cm"], size = ["1cm", "1cm"], on = 2 }]
stripes = { repeat = "64mm", first = "0mm", along = "width" }

[companion]
width = "110cm"
length = "1.5m"
selvedges = "none"

[[panels]]
cloth = "main"
outline = "panels.svg#skirt-gore"
grain = "thread"
copies = 6
"##;

/// A square for every panel, and what was asked for.
#[derive(Default)]
struct Squares {
    asked: Vec<PanelSource>,
}

impl FilesBeside for Squares {
    fn panel(&mut self, source: &PanelSource) -> Result<PanelShape, UnreadBeside> {
        self.asked.push(source.clone());
        Ok(square())
    }

    fn picture(&mut self, file: &str) -> Result<Vec<u8>, UnreadBeside> {
        Err(format!("there is no {file} here").into())
    }
}

fn square() -> PanelShape {
    let corners = [(0.0, 0.0), (0.0, 400.0), (200.0, 400.0), (200.0, 0.0), (0.0, 0.0)].map(Point::from);
    let outline = Outline::new([Curve::polyline(&corners).expect("a line")]).expect("closed");
    PanelShape { outline, grain: Vec2::new(3.0, 0.0) }
}

fn stock(text: &str) -> Result<Stock, TextFault> {
    read(text, &mut Squares::default())
}

fn cloth<'a>(stock: &'a Stock, name: &str) -> &'a retrue::cloth::Cloth {
    let name: ClothName = name.parse().expect("a name");
    stock.find(&name).expect("the cloth")
}

#[test]
fn a_file_says_all_there_is_to_say_of_a_cloth() {
    let stock = stock(WHOLE).expect("a cloth file");
    let main = cloth(&stock, "main");
    assert_eq!((main.selvedges, main.direction), (Selvedges::Both, Direction::OneWay));
    assert_eq!((main.crosswise, main.gap()), (Crosswise::Forbidden, 3.0));
    let lengths: Vec<f64> = main.bolts().iter().map(|bolt| bolt.length()).collect();
    assert_eq!(lengths, [2100.0, 1800.0]);
    approx::assert_abs_diff_eq!(main.bolts()[0].width().at(2000.0), 369.0, epsilon = 1e-9);
    assert_eq!(main.bolts()[0].flaws()[0].end(), (140.0, 1320.0));
    assert_eq!(main.bolts()[1].flaws().len(), 1);
    assert_eq!(main.stripes()[0].along, StripesAlong::Width);
    assert_eq!(main.stripes()[0].within(200.0), [0.0, 64.0, 128.0, 192.0]);
    let panel = &main.panels()[0];
    assert_eq!((panel.name(), panel.copies(), panel.grain()), ("skirt-gore", 6, Vec2::new(1.0, 0.0)));
    let (across, along) = panel.reach();
    approx::assert_abs_diff_eq!(across, 400.0, epsilon = 1e-9);
    approx::assert_abs_diff_eq!(along, 200.0, epsilon = 1e-9);
    let companion = cloth(&stock, "companion");
    assert_eq!((companion.selvedges, companion.direction), (Selvedges::None, Direction::TwoWay));
    approx::assert_abs_diff_eq!(companion.area(), 1.65e6, epsilon = 1e-6);
}

#[test]
fn the_panel_asked_for_is_the_one_named() {
    let mut squares = Squares::default();
    assert!(read(WHOLE, &mut squares).is_ok());
    let [panel] = squares.asked.as_slice() else { panic!("{:?}", squares.asked) };
    assert_eq!((panel.file.as_str(), panel.outline.as_str()), ("panels.svg", "skirt-gore"));
    assert_eq!(panel.grain.as_deref(), Some("thread"));
}

#[test]
fn gradations_are_marked_one_by_one() {
    let text = "[main]\nwidth = \"1m\"\nlength = \"4m\"\nstripes = [{ marks = [\"40cm\", \"1.3m\"] }, \
                { repeat = \"1cm\", along = \"length\" }]";
    let stock = stock(text).expect("a cloth file");
    let [marked, across] = cloth(&stock, "main").stripes() else { panic!("two sets") };
    assert_eq!(marked.within(4000.0), [400.0, 1300.0]);
    assert_eq!(across.along, StripesAlong::Length);
}

/// A cloth of one metre by four whose pattern is told as said.
fn patterned(pattern: &str) -> String {
    format!("[main]\nwidth = \"1m\"\nlength = \"4m\"\n{pattern}\n")
}

#[test]
fn marks_may_have_words() {
    let text = patterned(
        "stripes = { marks = [[\"12cm\", \"teal\"], [\"61cm\", \"rust\"], [\"1.02m\", \"teal\"]] }",
    );
    let stock = stock(&text).expect("a cloth file");
    let StripesAt::Marks(marks) = cloth(&stock, "main").stripes()[0].at() else { panic!("marks") };
    let words: Vec<Option<&str>> = marks.iter().map(|mark| mark.word.as_deref()).collect();
    assert_eq!(words, [Some("teal"), Some("rust"), Some("teal")]);
}

#[test]
fn marks_of_an_uneven_repeat_come_again_as_far_as_the_cloth_reaches() {
    let text = patterned(
        "stripes = { repeat = \"20cm\", marks = [[\"0cm\", \"teal\"], [\"3cm\", \"white\"], [\"8cm\", \"rust\"]] }",
    );
    let stock = stock(&text).expect("a cloth file");
    let main = cloth(&stock, "main");
    let StripesAt::Marks(marks) = main.stripes()[0].at() else { panic!("marks") };
    let length = main.bolts()[0].length();
    assert!(marks.last().is_some_and(|last| last.at > length - 200.0), "{marks:?} on {length}");
    for (i, mark) in marks.iter().enumerate() {
        let (at, word) = [(0.0, "teal"), (30.0, "white"), (80.0, "rust")][i % 3];
        assert_eq!((mark.at, mark.word.as_deref()), ((i / 3) as f64 * 200.0 + at, Some(word)));
    }
}

#[test]
fn colours_are_those_of_one_length() {
    let told = "[[\"0m\", \"#31525b\"], [\"22cm\", \"#7a9e7e\"]]";
    let one = stock(&patterned(&format!("colours = {told}"))).expect("a cloth file");
    assert!(cloth(&one, "main").bolts()[0].colouring().is_some());
    let two = patterned(&format!("colours = [{{ on = 2, measured = {told} }}]"));
    let two = stock(&two.replace("\"4m\"", "[\"4m\", \"3m\"]")).expect("a cloth file");
    let told: Vec<bool> = cloth(&two, "main").bolts().iter().map(|bolt| bolt.colouring().is_some()).collect();
    assert_eq!(told, [false, true]);
}

#[test]
fn what_is_wrong_with_a_pattern_is_shown_on_its_line() {
    let cases = [
        ("stripes = { marks = [[\"1m\", \"a\"], [\"2m\", \"b\"]] }", "a word of its own"),
        ("stripes = { marks = [] }", "fewer than two marks"),
        ("stripes = { repeat = \"20cm\", marks = [\"0cm\", \"25cm\"] }", "beyond the repeat"),
        ("stripes = { repeat = \"0.001mm\", marks = [\"0mm\"] }", "finer than"),
        ("colours = [[\"1m\", \"#000\"], [\"5m\", \"#fff\"]]", "measure as far as the cloth reaches"),
        ("stripes = { marks = [[\"1m\"], [\"2m\", \"b\"]] }", "a place and a word"),
        ("colours = [[\"0m\", \"teal\"], [\"1m\", \"#fff\"]]", "`teal` is no colour"),
        ("colours = [[\"1m\", \"#000\"], [\"1m\", \"#fff\"]]", "in order along the length"),
        ("colours = [[\"1m\", \"#000\"], [\"5m\", \"#fff\"]]", "beyond the end"),
        ("colours = [[\"1m\", \"#000\"]]", "at two places"),
        ("colours = []", "at two places"),
        ("colours = [[\"1m\", \"#000\", \"x\"]]", "a place and a colour"),
        ("stripes = { repeat = \"1cm\" }\ncolours = [[\"0m\", \"#000\"], [\"1m\", \"#fff\"]]", "not both"),
        ("pictures = [{ file = \"a.jpg\", from = \"0m\", to = \"1m\" }]", "there is no a.jpg"),
        ("pictures = [{ file = \"a.jpg\", from = \"0m\" }]", "needs `to`"),
        ("pictures = [{ file = \"a.jpg\", from = \"0m\", to = \"1m\", on = 2 }]", "from 1 to 1"),
        ("pictures = [{ file = \"a.jpg\", from = \"0m\", to = \"1m\", corners = [[1, 2]] }]", "four pairs"),
    ];
    for (pattern, said) in cases {
        let (shown, sentence) = refused(&patterned(pattern));
        assert!(pattern.ends_with(&shown), "{pattern}: shown `{shown}`");
        assert!(sentence.contains(said), "{pattern}: {sentence}");
    }
}

/// What stands on the line of a fault, and what is said.
fn refused(text: &str) -> (String, String) {
    let fault = stock(text).expect_err("refused");
    let line = text[..fault.span.start].matches('\n').count();
    let shown = text.lines().nth(line).unwrap_or("").to_owned();
    (shown, format!("{}; {}; {}", fault.what, fault.label, fault.way_out))
}

/// Each case changes one thing in the file, and names the line to be shown and a part of what is said.
#[test]
fn whatever_is_wrong_is_shown_on_its_line() {
    let cases = [
        ("gap = \"3mm\"", "gaps = \"3mm\"", "gaps", "did you mean `gap`?"),
        ("gap = \"3mm\"", "gap = \"3\"", "gap", "has no unit"),
        ("gap = \"3mm\"", "gap = 3", "gap", "cannot be a bare number"),
        ("gap = \"3mm\"", "gap = \"-3mm\"", "gap", "cannot be negative"),
        ("[\"2.1m\", \"1.8m\"]", "[\"2.1m\", \"-1.8m\"]", "length", "over zero"),
        ("[\"2.1m\", \"1.8m\"]", "[]", "length", "several"),
        ("[\"2.1m\", \"1.8m\"]", "\"2000m\"", "length", "more than can be laid out"),
        ("[\"4m\", \"36.6cm\"]", "[\"0m\", \"36.6cm\"]", "width", "in order along the length"),
        ("[\"4m\", \"36.6cm\"]", "[\"4m\", \"0cm\"]", "width", "over zero"),
        ("[\"4m\", \"36.6cm\"]", "[\"4m\"]", "width", "two lengths"),
        ("\"one-way\"", "\"oneway\"", "direction", "did you mean \"one-way\"?"),
        ("selvedges = \"both\"", "selvedges = true", "selvedges", "\"left\""),
        ("crosswise = false", "crosswise = \"no\"", "crosswise", "true or false"),
        ("[\"10cm\", \"1.3m\"]", "[\"34cm\", \"1.3m\"]", "flaws", "across, the cloth there only"),
        ("[\"10cm\", \"1.3m\"]", "[\"10cm\", \"2.09m\"]", "flaws", "along, the cloth there only"),
        ("size = [\"1cm\", \"1cm\"], on = 2", "size = [\"1cm\", \"1cm\"], on = 3", "flaws", "from 1 to 2"),
        ("repeat = \"64mm\"", "repeat = \"0mm\"", "stripes", "over zero"),
        ("repeat = \"64mm\"", "marks = [\"1m\", \"2m\"]", "stripes", "not both"),
        ("first = \"0mm\"", "frist = \"0mm\"", "stripes", "did you mean `first`?"),
        ("cloth = \"main\"", "cloth = \"mian\"", "cloth = \"mian\"", "did you mean \"main\"?"),
        ("panels.svg#skirt-gore", "panels.svg", "outline", "no `#`"),
        ("copies = 6", "copies = 0", "copies", "from 1 to 99"),
        ("selvedges = \"none\"", "width = \"90cm\"", "width", "duplicate"),
        ("length = \"1.5m\"\n", "", "[companion]", "needs `length`"),
    ];
    for (old, new, line, said) in cases {
        let text = WHOLE.replacen(old, new, 1);
        assert_ne!(text, WHOLE, "{old}");
        let (shown, sentence) = refused(&text);
        assert!(shown.contains(line), "{new}: shown `{shown}`");
        assert!(sentence.contains(said), "{new}: {sentence}");
    }
    assert!(refused("").1.contains("describes no cloth"));
    assert!(refused("main = 3").1.contains("cannot be a bare number"));
}

const COAT: &str = "coat.svg";

#[test]
fn a_refused_file_is_shown_with_its_line_on_the_command_line() {
    let bench =
        Bench::new().with_fixture(COAT).with_file("cloth.toml", "[main]\nwidth = \"37cm\"\ngpa = \"3mm\"\n");
    let refused = bench.retrue("fit coat.svg --cloth cloth.toml");
    refused.is_refused().says("cloth.toml:3").says("gpa = \"3mm\"").says("did you mean `gap`?");
    bench.retrue("fit coat.svg --cloth missing.toml").is_refused().says("there is no such file");
    bench.retrue("fit coat.svg --cloth \"37 x 11m\"").is_refused().says("has no unit");
    bench.retrue("fit coat.svg --cloth \"0cm x 11m\"").is_refused().says("must be over zero");
}

const PANELS: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="900mm" viewBox="0 0 900 600">
  <path id="gore" d="M 10 10 H 310 L 400 590 H 10 Z"/><path id="open" d="M 0 0 H 50 V 50"/>
  <path id="gore.grain" d="M 100 100 V 300"/>
</svg>"##;

fn panels(outline: &str) -> String {
    format!("[main]\n\n[[panels]]\ncloth = \"main\"\noutline = \"drawn/panels.svg#{outline}\"\ncopies = 2\n")
}

#[test]
fn panels_come_from_a_drawing_beside_the_cloth_file() {
    let bench = Bench::new().with_fixture(COAT).with_file("cloth/drawn/panels.svg", PANELS);
    let bench = bench.with_file("cloth/cloth.toml", panels("gore"));
    let report = bench.retrue("fit coat.svg --cloth cloth/cloth.toml --json").is_untrue().reports("fit");
    approx::assert_abs_diff_eq!(
        report["cloths"][0]["given"].as_f64().expect("an area"),
        2.0 * 580.0 * f64::midpoint(300.0, 390.0),
        epsilon = 1e-3
    );
    let missing =
        bench.with_file("cloth/none.toml", panels("gore").replace("drawn/panels.svg", "panles.svg"));
    let refused = missing.retrue("fit coat.svg --cloth cloth/none.toml");
    refused.is_refused().says("none.toml:5").says("there is no such file").says("`cloth/panles.svg`: ");
    assert!(!refused.stderr().contains("look at"), "{}", refused.stderr());
    for (outline, said) in [("gores", "there is no shape `gores`"), ("open", "not closed")] {
        let bench = Bench::new().with_fixture(COAT).with_file("drawn/panels.svg", PANELS);
        let bench = bench.with_file("cloth.toml", panels(outline));
        bench.retrue("fit coat.svg --cloth cloth.toml").is_refused().says(said).says("cloth.toml:5");
    }
}
