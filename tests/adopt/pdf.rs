//! A drawing as a PDF is the same drawing as an SVG; and whatever is wrong with a PDF, there is an answer.

use std::path::Path;

use retrue::adopt::{AdoptError, Asked, Found, Map, NoOutline, find, make};
use retrue::curve::Curve;
use retrue::drawing::{DrawingError, Password};
use retrue::pattern::Pattern;

use crate::run::{Bench, fixture};

/// How far apart the same drawing may be as SVG and as PDF, mm.
const SAME: f64 = 0.001;

/// How far apart lines of the same numbers may be, mm: the arithmetic of doubles.
const EXACT: f64 = 1e-9;

/// At how many places two lines are compared.
const PLACES: u32 = 64;

const SKIRT: &str = "skirt-shaped-back-cutting-lines";

pub fn bytes_of(name: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/adopt").join(name);
    std::fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// How far two lines are apart where they are furthest.
fn apart(a: &Curve, b: &Curve) -> f64 {
    let place = |curve: &Curve, k: u32| curve.point_at(curve.length() * f64::from(k) / f64::from(PLACES));
    let from_to = |a: &Curve, b: &Curve| {
        (0..=PLACES).map(|k| b.nearest(place(a, k)).distance).fold(a.start().distance(b.start()), f64::max)
    };
    from_to(a, b).max(from_to(b, a))
}

/// How far the edges of two patterns are apart at most, after looking whether they are the same edges.
fn patterns_apart(a: &Pattern, b: &Pattern) -> f64 {
    let edges = |pattern: &Pattern| -> Vec<(String, Curve)> {
        let mut edges = Vec::new();
        for piece in pattern.pieces() {
            let of_piece = piece.edges().iter();
            edges
                .extend(of_piece.map(|edge| (format!("{}.{}", piece.name(), edge.name), edge.curve.clone())));
        }
        edges
    };
    assert_eq!(a.seams().len(), b.seams().len());
    let (a, b) = (edges(a), edges(b));
    assert_eq!(a.len(), b.len());
    let each = a.iter().zip(&b).map(|((name, a), (other, b))| {
        assert_eq!(name, other);
        apart(a, b)
    });
    each.fold(0.0, f64::max)
}

fn map(name: &str) -> (Map, Asked) {
    let text =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/adopt").join(name));
    let map = Map::read(&text.expect("a map")).expect("a map");
    let asked = map.asked().expect("asks");
    (map, asked)
}

/// What is found is the same, line by line; how far the worst of them is apart.
fn found_apart(name: &str, a: &Found, b: &Found) -> f64 {
    let letters = |found: &Found| {
        let outlines = found.outlines.iter().map(|outline| (outline.letter.to_string(), outline.edges.len()));
        outlines.collect::<Vec<_>>()
    };
    assert_eq!(letters(a), letters(b), "{name}");
    assert_eq!(a.lines.len(), b.lines.len(), "{name}");
    let edges = |found: &Found| -> Vec<Curve> {
        let outlines = found.outlines.iter().flat_map(|outline| outline.edges.clone());
        outlines.chain(found.lines.iter().map(|line| line.curve.clone())).collect()
    };
    edges(a).iter().zip(&edges(b)).map(|(a, b)| apart(a, b)).fold(0.0, f64::max)
}

#[test]
fn a_drawing_is_found_alike_as_svg_and_as_pdf() {
    for name in [
        SKIRT,
        "skirt-shaped-back-seamlines",
        "coat-cutting-lines",
        "dress-cutting-lines",
        "awkward-cutting-lines",
    ] {
        let as_svg = find(&bytes_of(&format!("{name}.svg")), &Asked::default()).expect("found");
        let as_pdf = find(&bytes_of(&format!("pdf/{name}.pdf")), &Asked::default()).expect("found");
        assert!(!as_svg.outlines.is_empty());
        let apart = found_apart(name, &as_svg, &as_pdf);
        println!("{name}: {apart:.6} mm apart");
        assert!(apart <= SAME, "{name}: {apart} mm apart");
    }
}

#[test]
fn the_same_map_makes_the_same_pattern_of_an_svg_and_of_each_pdf() {
    for (map_name, svg, pdfs) in [
        (
            "skirt.map.toml",
            SKIRT,
            &["skirt-shaped-back-cutting-lines", "skirt-object-streams", "skirt-encrypted", "skirt-rc4"][..],
        ),
        ("coat.map.toml", "coat-cutting-lines", &["coat-cutting-lines"][..]),
    ] {
        let (map, asked) = map(map_name);
        let made = |bytes: &[u8]| make(&find(bytes, &asked).expect("found"), &map).expect("made").pattern;
        let as_svg = made(&bytes_of(&format!("{svg}.svg")));
        for pdf in pdfs {
            let apart = patterns_apart(&as_svg, &made(&bytes_of(&format!("pdf/{pdf}.pdf"))));
            println!("{pdf}: {apart:.6} mm apart");
            assert!(apart <= SAME, "{pdf}: {apart} mm apart");
        }
    }
}

/// An office program's export rounds each place to 1/100 mm; the map corrects the scale by a square of 100 mm so rounded,
/// which over the skirt's 700 mm makes 0.07 mm more: edges are as long.
#[test]
fn a_drawing_exported_by_an_office_program_makes_the_same_pattern() {
    const ROUNDED: f64 = 0.01 + 0.07;
    let (map, asked) = map("skirt.map.toml");
    let made = |name: &str| make(&find(&bytes_of(name), &asked).expect("found"), &map).expect("made").pattern;
    let (as_svg, exported) = (made(&format!("{SKIRT}.svg")), made("pdf/skirt-office.pdf"));
    assert_eq!(as_svg.seams(), exported.seams());
    for (a, b) in as_svg.pieces().zip(exported.pieces()) {
        assert_eq!((a.name(), a.edges().len(), a.darts.len()), (b.name(), b.edges().len(), b.darts.len()));
        for (one, other) in a.edges().iter().zip(b.edges()) {
            let apart = (one.curve.length() - other.curve.length()).abs();
            assert!(one.name == other.name && apart <= ROUNDED, "{}.{}: {apart} mm", a.name(), one.name);
        }
    }
}

#[test]
fn an_encrypted_file_opens_with_its_password_only() {
    let bytes = bytes_of("pdf/skirt-password.pdf");
    let with = |password: Option<&str>| {
        let asked = Asked { password: password.map(Password::new), ..Asked::default() };
        find(&bytes, &asked)
    };
    assert!(matches!(with(None), Err(AdoptError::Drawing(DrawingError::PdfPassword))));
    assert!(matches!(with(Some("bobbin")), Err(AdoptError::Drawing(DrawingError::PdfWrongPassword))));
    let open = find(&bytes_of(&format!("pdf/{SKIRT}.pdf")), &Asked::default()).expect("found");
    let apart = found_apart("password", &with(Some("selvedge")).expect("found"), &open);
    assert!(apart <= EXACT, "{apart} mm apart");
}

#[test]
fn a_pdf_is_brought_in_from_end_to_end() {
    let map =
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/adopt/skirt.map.toml"));
    let bench = Bench::new()
        .with_file("bought.pdf", bytes_of("pdf/skirt-password.pdf"))
        .with_file("word.txt", "selvedge\n")
        .with_file("empty.txt", "\n")
        .with_file("skirt.map.toml", map.expect("a map"));
    bench.retrue("adopt bought.pdf").is_refused().says("--password-file");
    bench.retrue("adopt bought.pdf --password-file empty.txt").is_refused().says("there is no password");
    bench
        .retrue("adopt bought.pdf --password-file word.txt --size \"style 3\" --correct-scale --picture found.svg")
        .is_true()
        .prints("3 outlines, 15 lines");
    bench.retrue("adopt bought.pdf --password-file word.txt --map skirt.map.toml -o skirt.svg").is_true();
    bench.retrue("check skirt.svg").is_true();
    bench.retrue("check bought.pdf").is_refused().says("retrue adopt");
}

/// A one-page print of our own is the fixture's drawing, wherever it lies on the paper: outlines of the same sizes.
#[test]
fn our_own_print_on_one_sheet_is_read() {
    let bench = Bench::new().with_file("skirt.svg", fixture("skirt-shaped-back.svg"));
    bench.retrue("print skirt.svg --paper a0 -o sheet.pdf").is_true();
    let found =
        find(&std::fs::read(bench.path("sheet.pdf")).expect("written"), &Asked::default()).expect("found");
    assert!(found.no_outline.is_none());
    assert!(found.texts.iter().any(|text| text.text.contains("front")), "{:?}", found.texts);
}

/// A file of `count` pages, each with these contents.
fn pages(count: i32, contents: &str) -> Vec<u8> {
    use pdf_writer::{Pdf, Rect, Ref};
    let page = |at: i32| Ref::new(10 + at);
    let mut pdf = Pdf::new();
    pdf.catalog(Ref::new(1)).pages(Ref::new(2));
    pdf.pages(Ref::new(2)).kids((0..count).map(page)).count(count);
    for at in 0..count {
        let mut page = pdf.page(page(at));
        page.parent(Ref::new(2)).media_box(Rect::new(0.0, 0.0, 595.0, 842.0)).contents(Ref::new(3));
        page.resources();
    }
    pdf.stream(Ref::new(3), contents.as_bytes());
    pdf.finish()
}

#[test]
fn several_pages_with_lines_are_told() {
    let bytes = pages(24, "0 0 m 50 50 l S");
    let error = find(&bytes, &Asked::default()).expect_err("refused");
    assert!(error.to_string().contains("(1, 2, 3, 4, 5, 6 and 18 more)"), "{error}");
    let blank = find(&pages(24, ""), &Asked::default()).expect("found");
    assert_eq!(blank.no_outline, Some(NoOutline::Empty));
}

/// Paint without a path draws nothing, on however many pages.
#[test]
fn pages_that_paint_no_path_are_read() {
    let bytes = pages(24, "S f B h S n 0 0 m 50 50 l S");
    let error = find(&bytes, &Asked::default()).expect_err("refused");
    assert!(error.to_string().contains("(1, 2, 3, 4, 5, 6 and 18 more)"), "{error}");
}

/// Bytes that change a PDF in one place: by chance, from a seed.
fn broken(original: &[u8], seed: u64) -> Vec<u8> {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
    let mut next = move |below: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state % below.max(1) as u64).unwrap_or(0)
    };
    const WORDS: [&[u8]; 16] = [
        b"0",
        b"-1",
        b"4294967295",
        b"1e999",
        b"99999999999",
        b"/Kids",
        b"/Parent 1 0 R",
        b"<<",
        b">>",
        b"[[[[[[[[",
        b"stream\n",
        b"endobj",
        b"1 0 R",
        b"q q q q q q",
        b"/Filter[/FlateDecode/FlateDecode]",
        b"/Type/ObjStm",
    ];
    let mut bytes = original.to_vec();
    for _ in 0..=next(6) {
        let at = next(bytes.len());
        match next(6) {
            0 => bytes[at] ^= 1 << next(8),
            1 => bytes.truncate(at.max(16)),
            2 => drop(bytes.drain(at..(at + 1 + next(40)).min(bytes.len()))),
            3 => drop(bytes.splice(at..at, WORDS[next(WORDS.len())].iter().copied())),
            4 => {
                let word = WORDS[next(WORDS.len())];
                let end = (at + word.len()).min(bytes.len());
                drop(bytes.splice(at..end, word.iter().copied()));
            }
            _ => {
                let from = next(bytes.len());
                let part = bytes[from..(from + 1 + next(400)).min(bytes.len())].to_vec();
                drop(bytes.splice(at..at, part));
            }
        }
        if bytes.is_empty() {
            bytes.push(b'%');
        }
    }
    bytes
}

/// The contents of a PDF without compression, so that what is broken are its instructions and objects.
fn plain() -> Vec<u8> {
    let line = "q 0.5 0 0 0.5 20 20 cm 3 w [9 2] 0 d 100 100 400 500 re S 0 0 m 9 40 80 90 400 30 c B Q ";
    let text = "BT /F 12 Tf 40 200 Td [(Cut ) -50 (2)] TJ ET /OC /L BDC 10 10 m 200 300 l S EMC ";
    pages(2, &format!("{}{text}", line.repeat(3)))
}

/// `RETRUE_BROKEN_PDFS` files instead of 300.
#[test]
fn broken_pdfs_are_answered() {
    let count =
        std::env::var("RETRUE_BROKEN_PDFS").ok().and_then(|count| count.parse().ok()).unwrap_or(300_u64);
    let mut originals: Vec<Vec<u8>> = ["skirt-object-streams", "skirt-rc4", "skirt-encrypted", SKIRT]
        .map(|name| bytes_of(&format!("pdf/{name}.pdf")))
        .into();
    originals.extend(["cut-exact", "two"].map(|name| bytes_of(&format!("pages/{name}.pdf"))));
    originals.push(plain());
    let mut read = 0;
    for seed in 0..count {
        let original = &originals[usize::try_from(seed).expect("small") % originals.len()];
        let bytes = broken(original, seed);
        let answer = std::panic::catch_unwind(|| find(&bytes, &Asked::default()).map(|_| ()));
        let is_fault =
            |error: &AdoptError| matches!(error, AdoptError::Drawing(DrawingError::Internal { .. }));
        let is_answer = answer.as_ref().is_ok_and(|answer| !answer.as_ref().is_err_and(is_fault));
        if !is_answer {
            let kept = std::env::temp_dir().join("retrue-broken.pdf");
            std::fs::write(&kept, &bytes).expect("written");
            panic!("seed {seed} ended with {answer:?}; kept as {}", kept.display());
        }
        read += u64::from(answer.is_ok_and(|answer| answer.is_ok()));
    }
    println!("{read} of {count} broken files were read");
    assert!(
        read > count / 20 && read < count,
        "{read} of {count} were read: they are not broken as they should be"
    );
}

/// Two sizes as layers, the larger one switched off, as SVG and as PDF: rectangles of 100 and 120 mm by 200 mm.
fn with_a_hidden_size() -> [Vec<u8>; 2] {
    use pdf_writer::{Finish, Name, Pdf, Rect, Ref, TextStr};
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' xmlns:i='http://www.inkscape.org/namespaces/inkscape' \
               width='300mm' height='300mm' viewBox='0 0 300 300'><g fill='none' stroke='#000'>\
               <g i:label='size 38'><rect x='20' y='20' width='100' height='200'/></g>\
               <g i:label='size 40' style='display:none'><rect x='10' y='10' width='120' height='200'/></g></g></svg>";
    let [catalog, pages, page, contents, shown, hidden] = [1, 2, 3, 4, 5, 6].map(Ref::new);
    let mut pdf = Pdf::new();
    let mut root = pdf.catalog(catalog);
    root.pages(pages);
    let mut properties = root.insert(Name(b"OCProperties")).dict();
    properties.insert(Name(b"OCGs")).array().items([shown, hidden]);
    properties.insert(Name(b"D")).dict().insert(Name(b"OFF")).array().items([hidden]);
    properties.finish();
    root.finish();
    pdf.pages(pages).kids([page]).count(1);
    let mut only = pdf.page(page);
    only.parent(pages).media_box(Rect::new(0.0, 0.0, 850.0, 850.0)).contents(contents);
    let mut resources = only.resources();
    resources.insert(Name(b"Properties")).dict().pair(Name(b"A"), shown).pair(Name(b"B"), hidden);
    resources.finish();
    only.finish();
    for (id, name) in [(shown, "size 38"), (hidden, "size 40")] {
        pdf.indirect(id).dict().pair(Name(b"Type"), Name(b"OCG")).pair(Name(b"Name"), TextStr(name));
    }
    let mm = "2.834645669 0 0 2.834645669 0 0 cm";
    let drawn = format!("{mm} /OC /A BDC 20 20 100 200 re S EMC /OC /B BDC 10 10 120 200 re S EMC");
    pdf.stream(contents, drawn.as_bytes());
    [svg.as_bytes().to_vec(), pdf.finish()]
}

#[test]
fn hidden_layers_are_told_and_taken_when_they_are_chosen() {
    for bytes in with_a_hidden_size() {
        let widths = |found: &Found| -> Vec<f64> {
            found.outlines.iter().map(|outline| outline.bounds().width().round()).collect()
        };
        let told = |found: &Found| found.notes.iter().any(|note| note.to_string().contains("\"size 40\""));
        let all = find(&bytes, &Asked::default()).expect("found");
        assert_eq!(widths(&all), [100.0]);
        assert!(told(&all), "{:?}", all.notes);
        let size = Some("layer size 40".parse().expect("a size"));
        let chosen = find(&bytes, &Asked { size, ..Asked::default() }).expect("found");
        assert_eq!(widths(&chosen), [120.0]);
        assert!(!told(&chosen), "{:?}", chosen.notes);
    }
}

/// A drawing that another program shows in a corner of its page: what is cropped away is cut off, and it is told.
#[test]
fn lines_are_cut_off_at_the_crop_box() {
    let page = |crop: &str| {
        format!(
            "%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj 2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj \
             3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[0 0 850 850]{crop}/Contents 4 0 R>>endobj \
             4 0 obj<</Length 26>>stream\n100 100 400 400 re S      \nendstream endobj\ntrailer<</Root 1 0 R>>\n"
        )
    };
    let whole = find(page("").as_bytes(), &Asked::default()).expect("found");
    assert_eq!(whole.outlines.len(), 1);
    let cut = find(page("/CropBox[50 50 300 850]").as_bytes(), &Asked::default()).expect("found");
    assert!(cut.outlines.is_empty());
    assert!(cut.notes.iter().any(|note| matches!(note, retrue::drawing::Note::Clipped { cut: 1, .. })));
}
