//! Choosing a size loses nothing that belongs to every size, and takes nothing of another.

use std::fmt::Write;

use retrue::adopt::{Asked, Found, Guess, SizeChoice, find, offered_sizes};

use crate::drawn::{found, page};
use crate::run::{Bench, fixture};

/// By what sizes are told apart in a drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum By {
    Dashes,
    Colour,
    Width,
    Layer,
}

const ALL: [By; 4] = [By::Dashes, By::Colour, By::Width, By::Layer];
const SIZES: usize = 3;

impl By {
    /// How lines of a size are drawn.
    fn line(self, size: usize) -> &'static str {
        match self {
            By::Dashes => ["stroke-dasharray='6 2'", "stroke-dasharray='1 2'", ""][size],
            By::Colour => ["stroke='#c00000'", "stroke='#00c000'", "stroke='#0000c0'"][size],
            By::Width => ["stroke-width='0.2'", "stroke-width='0.4'", "stroke-width='0.8'"][size],
            By::Layer => "",
        }
    }

    /// A body of a size, in its layer where there are layers.
    fn drawn(self, size: usize, body: &str) -> String {
        match self {
            By::Layer => format!("<g id='size {}'>{body}</g>", 36 + 2 * size),
            _ => format!("<g {}>{body}</g>", self.line(size)),
        }
    }

    fn choice(self, size: usize, drawing: &str) -> SizeChoice {
        let text = match self {
            By::Colour => format!("colour {}", ["#c00000", "#00c000", "#0000c0"][size]),
            By::Layer => format!("layer size {}", 36 + 2 * size),
            By::Dashes | By::Width => {
                let all = find(drawing.as_bytes(), &Asked::default()).expect("found");
                let dashes = [2, 2, 0][size];
                let own = |style: &retrue::adopt::LineStyle| match self {
                    By::Dashes => {
                        style.dashes.len() == dashes
                            && style.dashes.first().is_none_or(|dash| *dash == [6.0, 1.0][size])
                    }
                    _ => (style.width - [0.2, 0.4, 0.8][size]).abs() < 1e-6,
                };
                let line = |style: &retrue::adopt::LineStyle| {
                    style.surface == retrue::adopt::Surface::Line && own(style)
                };
                let style = all.styles.iter().find(|(_, style)| line(style)).expect("a kind of line");
                format!("style {}", style.0.number())
            }
        };
        text.parse().expect("a size")
    }
}

/// Half the width of a size, mm, and how much higher it is at the top.
fn half(size: usize) -> f64 {
    100.0 + 6.0 * size as f64
}

/// The outline of a size with two ticks and a triangle of its own.
fn own(size: usize) -> String {
    let (left, right, top) = (300.0 - half(size), 300.0 + half(size), 150.0 - 4.0 * size as f64);
    format!(
        "<path d='M{left} {top} C260 {} 340 {} {right} {top} L{right} 480 L{left} 480 Z'/>\
         <path d='M{right} 300 h-5'/><path d='M{left} 320 h5'/>\
         <path fill='#000' stroke='none' d='M{right} 397 v6 l-5 -3 z'/>",
        top + 30.0,
        top + 30.0,
    )
}

/// Things that belong to all sizes, each with the middle of its box.
const COMMON: [(&str, &str, (f64, f64)); 9] = [
    ("a test square", "<rect x='20' y='20' width='100' height='100'/>", (70.0, 70.0)),
    ("a grainline", "<path d='M300 200 V440'/>", (300.0, 320.0)),
    ("a notch on the hem", "<path d='M250 480 v-5'/>", (250.0, 477.5)),
    ("a notch beyond the smallest", "<path d='M412 250 h-5'/>", (409.5, 250.0)),
    ("a triangle in lines", "<path d='M347 480 L350 474 L353 480 Z'/>", (350.0, 477.0)),
    ("a dart", "<path d='M330 480 L320 400 L310 480'/>", (320.0, 440.0)),
    ("a drill mark", "<circle cx='340' cy='260' r='3'/>", (340.0, 260.0)),
    ("a pocket's line", "<path d='M240 280 C250 330 290 330 300 285'/>", (270.0, 299.5)),
    ("a pocket", "<rect x='450' y='20' width='90' height='110'/>", (495.0, 75.0)),
];

fn drawing(by: By, common_in: usize) -> String {
    let mut body = String::new();
    for size in 0..SIZES {
        let common: String = if size == common_in {
            COMMON.iter().map(|(_, drawn, _)| *drawn).collect()
        } else {
            String::new()
        };
        let _ = write!(body, "{}", by.drawn(size, &(own(size) + &common)));
    }
    page(&format!(
        "{body}<text x='40' y='60' fill='#000' stroke='none'>100 mm</text>\
         <path fill='#000' stroke='none' d='M300 200 l-3 8 h6 z M347 150'/>"
    ))
}

fn is_found(found: &Found, (x, y): (f64, f64)) -> bool {
    let middles = found.outlines.iter().map(|outline| outline.bounds().center());
    let middles = middles.chain(found.lines.iter().map(|line| line.curve.bounds().center()));
    middles.into_iter().any(|middle| (middle.x - x).abs() < 1.5 && (middle.y - y).abs() < 1.5)
}

/// Of three sizes told apart by dashes, colours, widths or layers, each is chosen with what belongs to all of them drawn
/// like each of them.
#[test]
fn what_belongs_to_every_size_is_found_in_each() {
    for by in ALL {
        for common_in in 0..SIZES {
            let drawing = drawing(by, common_in);
            for chosen in 0..SIZES {
                let asked = Asked { size: Some(by.choice(chosen, &drawing)), ..Asked::default() };
                let found = find(drawing.as_bytes(), &asked).expect("found");
                let case = format!("{by:?}, size {chosen}, drawn like size {common_in}");
                for (name, _, middle) in COMMON {
                    assert!(is_found(&found, middle), "{case}: {name} is lost");
                }
                assert_eq!(found.texts.len(), 1, "{case}");
                assert!(found.scale.check().is_some(), "{case}: no scale");
                let widths: Vec<f64> =
                    found.outlines.iter().map(|outline| outline.bounds().width()).collect();
                assert_eq!(widths.len(), 3, "{case}: {widths:?}");
                assert!((widths[0] - 2.0 * half(chosen)).abs() < 1e-6, "{case}: {widths:?}");
                for size in 0..SIZES {
                    let ticks = [(300.0 + half(size) - 2.5, 300.0), (300.0 - half(size) + 2.5, 320.0)];
                    for tick in ticks.into_iter().chain([(300.0 + half(size) - 2.5, 400.0)]) {
                        assert_eq!(is_found(&found, tick), size == chosen, "{case}: a mark of size {size}");
                    }
                }
            }
        }
    }
}

/// On every page that is kept, in every kind of line of the five sizes, what all sizes have in common is found.
#[test]
fn nothing_common_is_lost_on_the_kept_pages() {
    for name in ["coat", "dress", "awkward", "skirt-shaped-back"] {
        let page = fixture(&format!("adopt/{name}-cutting-lines.svg"));
        let all = find(page.as_bytes(), &Asked::default()).expect("found");
        let sizes: Vec<usize> = all
            .styles
            .iter()
            .filter(|(_, style)| !style.dashes.is_empty())
            .map(|(id, _)| id.number())
            .collect();
        assert!(sizes.len() >= 5, "{name}");
        let is_common = |style: &retrue::adopt::StyleId| !sizes.contains(&style.number());
        let common: Vec<kurbo::Point> = all
            .lines
            .iter()
            .filter(|line| is_common(&line.style) && line.guess != Guess::Line)
            .map(|line| line.curve.bounds().center())
            .collect();
        assert!(common.len() >= 4, "{name}");
        for size in sizes {
            let asked = Asked { size: Some(SizeChoice::Style(size)), ..Asked::default() };
            let found = find(page.as_bytes(), &asked).expect("found");
            assert!(found.scale.check().is_some(), "{name}, style {size}");
            assert_eq!(found.texts.len(), all.texts.len());
            for middle in &common {
                assert!(is_found(&found, (middle.x, middle.y)), "{name}, style {size}: lost at {middle:?}");
            }
        }
    }
}

#[test]
fn a_filled_triangle_is_a_notch_in_every_size() {
    let size = |at: f64, colour: &str| {
        format!(
            "<rect x='{}' y='100' width='{}' height='300' stroke='{colour}'/>",
            100.0 - at,
            200.0 + 2.0 * at
        )
    };
    let triangles = "<path fill='#c00000' stroke='none' d='M303 197 V203 L296 200 Z'/>\
                     <path fill='#c00000' stroke='none' d='M147 97 h6 l-3 6 z'/>";
    let drawing = page(&format!("{}{}{triangles}", size(0.0, "#c00000"), size(6.0, "#0000c0")));
    for colour in ["#c00000", "#0000c0"] {
        let (report, _) = found(&drawing, &format!("--size \"colour {colour}\""));
        let lines = report["lines"].as_array().unwrap();
        assert_eq!(lines.len(), 2, "{colour}: {report:#}");
    }
    let (report, _) = found(&drawing, "--size \"colour #c00000\"");
    let looks = report["lines"].as_array().unwrap().iter().map(|line| line["looks_like"].as_str().unwrap());
    assert_eq!(looks.collect::<Vec<_>>(), ["notch", "notch"]);
}

#[test]
fn a_size_that_cannot_be_chosen_says_how_it_can() {
    let square = "<rect x='100' y='100' width='200' height='300'/>";
    let refused = |body: &str, size: &str, says: &[&str]| {
        let bench = Bench::new().with_file("d.svg", page(&format!("{square}{body}")));
        let outcome = bench.retrue(&format!("adopt d.svg --size \"{size}\""));
        outcome.is_refused();
        says.iter().for_each(|text| {
            outcome.says(text);
        });
    };
    let shape = "<defs><symbol id='glyph0-1'><path d='M0 0 c4 0 4 9 0 9 z' stroke='none'/></symbol></defs>\
                 <g fill='#000'><use xlink:href='#glyph0-1' x='150' y='150'/></g>";
    let text = "<text x='110' y='120' fill='#000'>40</text>";
    refused("", "text M", &["there is no writing in the drawing", "style 3"]);
    refused(shape, "text M", &["was made into shapes", "choose by the kind of line"]);
    refused(
        &format!("{shape}{text}"),
        "text M",
        &["some of the writing in this drawing was made into shapes"],
    );
    let stroked = "<path d='M110 120 v-8 l4 6 l4 -6 v8'/>";
    refused(stroked, "text M", &["it was made into lines", "choose by the kind of line"]);
    refused(&format!("{stroked}{text}"), "text M", &["may have been made into lines"]);
    refused(text, "text 4O", &["do not stand in the drawing", "did you mean `text 40`?"]);
    refused("", "layer 38", &["the drawing has no layers"]);
    refused("<g id='size 40'><path d='M1 1h9'/></g>", "layer 38", &["there are: `size 40`"]);
    refused("", "style 40", &["no line of the drawing is of this size"]);
}

/// Five darts that lie in one another as sizes do, their ends near to each other, on an outline and short of it.
#[test]
fn darts_of_several_sizes_are_no_open_outline() {
    let dashes = ["6 2", "1 2", "10 3 2 3", "4 4", "14 4"];
    for (foot, alike) in [(100.0, false), (110.0, false), (100.0, true), (110.0, true)] {
        let dart = |at: usize| {
            let off = 3.0 * at as f64;
            let dash = if alike { String::new() } else { format!("stroke-dasharray='{}'", dashes[at]) };
            format!(
                "<path {dash} d='M{} {} L200 {} L{} {}'/>",
                180.0 - off,
                foot - off / 3.0,
                230.0 + off,
                220.0 + off,
                foot - off / 3.0
            )
        };
        let darts: String = (0..5).map(dart).collect();
        let top = if foot == 100.0 { "M100 100 L300 100" } else { "M100 90 L300 90" };
        let (report, outcome) = found(&page(&format!("<path d='{top} V400 H100 Z'/>{darts}")), "");
        outcome.is_true();
        assert!(report["gaps"].as_array().unwrap().is_empty(), "{foot} {alike}: {report:#}");
    }
}

/// A corner of 30° that is not quite drawn is told, though both lines run nearly the same way.
#[test]
fn a_sharp_corner_that_is_open_is_told() {
    let (_, outcome) =
        found(&page("<path d='M104 102.3 L300 215.5 C320 280 300 380 200 400 L90 400 L99 104'/>"), "");
    outcome.is_untrue().says("a gap of");
}

/// A garment spread over pages: each page holds its part of the lines, cut off at its frame.
#[test]
fn a_drawing_of_several_pages_says_why_nothing_was_found() {
    let cut = |x: f64, y: f64| {
        format!(
            "<rect x='{x}' y='{y}' width='180' height='260'/>\
             <path d='M{x} {} C{} {} {} {} {} {y}'/><path d='M{} {} C{} {} {} {} {} {}'/>",
            y + 200.0,
            x + 60.0,
            y + 190.0,
            x + 120.0,
            y + 90.0,
            x + 150.0,
            x + 180.0,
            y + 100.0,
            x + 150.0,
            y + 150.0,
            x + 140.0,
            y + 200.0,
            x + 120.0,
            y + 260.0,
        )
    };
    let framed = page(&format!("{}{}", cut(20.0, 20.0), cut(300.0, 20.0)));
    let (report, outcome) = found(&framed, "");
    outcome.is_untrue().says("4 lines are cut off at the edges of 2 pages").says("lay them side by side");
    assert_eq!(report["no_outline"]["why"], "cut-at-pages");
    let bare = "<path d='M0 300 C200 250 300 100 320 0'/><path d='M600 200 C500 250 400 500 380 600'/>\
                <path d='M0 400 C100 420 150 550 160 600'/>";
    let (report, outcome) = found(&page(bare), "");
    outcome.is_untrue().says("3 lines are cut off at the edges of 1 page");
    assert_eq!(report["no_outline"]["lines"], 3);
    let clipped = "<clipPath id='c'><rect x='100' y='100' width='150' height='150'/></clipPath>\
                   <g clip-path='url(#c)'><circle cx='250' cy='250' r='140'/></g>";
    found(&page(clipped), "").1.is_untrue().says("clip paths cut its lines off");
}

#[test]
fn a_drawing_without_outlines_says_what_it_has() {
    let says = |body: &str, why: &str, text: &str| {
        let (report, outcome) = found(&page(body), "");
        outcome.is_untrue().says(text);
        assert_eq!(report["no_outline"]["why"], why, "{body}");
    };
    says("<image x='0' y='0' width='500' height='500' href='scan.png'/>", "picture", "only a picture");
    says("<text x='50' y='50' fill='#000'>Cut two</text>", "writing", "a page of instructions");
    says("", "empty", "nothing is seen");
    says("<rect x='1' y='1' width='12' height='5'/>", "too-small", "12 mm × 5 mm");
    says("<path d='M100 100 C200 150 300 150 400 100'/>", "open", "of 1 line none closes");
    let whole = "<rect x='100' y='100' width='200' height='300'/><path d='M100 200 H300 M100 250 H300 M100 270 C200 280 250 260 300 270'/>\
                 <rect x='400' y='100' width='50' height='80'/>";
    assert!(found(&page(whole), "").0["no_outline"].is_null());
}

/// Sizes are offered from the smallest on, also where one lies as evenly in the next as a seamline in its cutting line.
#[test]
fn sizes_are_offered_by_how_large_they_are() {
    let mut compared = 0;
    for name in [
        "skirt-shaped-back-cutting-lines",
        "skirt-shaped-back-seamlines",
        "coat-cutting-lines",
        "dress-cutting-lines",
    ] {
        let path = format!("{}/fixtures/adopt/pdf/{name}.pdf", env!("CARGO_MANIFEST_DIR"));
        let found = find(&std::fs::read(path).expect("the drawing"), &Asked::default()).expect("found");
        let largest: Vec<f64> = offered_sizes(&found)
            .iter()
            .map(|size| size.outlines.iter().map(|at| found.outlines[*at].ring.area()).fold(0.0, f64::max))
            .collect();
        assert!(largest.len() >= 3, "{name}: {largest:?}");
        for pair in largest.windows(2) {
            compared += 1;
            assert!(pair[0] < pair[1], "{name}: {largest:?}");
        }
    }
    assert!(compared >= 8, "{compared}");
}
