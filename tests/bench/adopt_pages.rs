//! How long it takes to find the pieces of a pattern of five sizes on 30 pages, each of which draws the whole of it under a
//! clip. The goal is 1 s for 100,000 straight lines and curves: on all pages together, and on the sheet that each page draws.

use std::fmt::Write;

use divan::Bencher;
use retrue::adopt::{Asked, find};

fn main() {
    divan::main();
}

const COLUMNS: usize = 6;
const ROWS: usize = 5;
const SIZES: usize = 5;

/// Whether some pieces of a size are of one shape.
#[derive(Clone, Copy)]
enum Pieces {
    Unlike,
    Alike,
}

/// Twenty pieces in five sizes, each outline of as many straight lines as a converter makes of curves.
fn sheet(segments: usize, pieces: Pieces) -> String {
    let across = 5;
    let each = segments / (20 * SIZES);
    let mut lines = String::from("0.5 w\n");
    for size in 0..SIZES {
        let _ = writeln!(lines, "/OC /L{size} BDC");
        for piece in 0..20 {
            let (x, y) = (110.0 + 225.0 * (piece % across) as f64, 150.0 + 330.0 * (piece / across) as f64);
            let own = match pieces {
                Pieces::Unlike => piece,
                Pieces::Alike => 4 * (piece / across),
            };
            let own = own as f64;
            let (a, b) = (70.0 + 5.0 * size as f64 + 0.7 * own, 120.0 + 6.0 * size as f64 - 0.9 * own);
            for k in 0..each {
                let turn = k as f64 / each as f64 * std::f64::consts::TAU;
                let bend = 1.0 + 0.1 * ((2.0 + own % 4.0) * turn + own).sin();
                let (px, py) = (x + a * turn.cos() * bend, y + b * turn.sin());
                let _ = writeln!(lines, "{px:.3} {py:.3} {}", if k == 0 { "m" } else { "l" });
            }
            let _ = writeln!(lines, "h S");
        }
        lines.push_str("EMC\n");
    }
    lines
}

fn pdf(segments: usize, pieces: Pieces) -> Vec<u8> {
    let form = sheet(segments, pieces);
    let mut objects: Vec<String> = Vec::new();
    let groups: Vec<String> = (0..SIZES).map(|size| format!("{} 0 R", 5 + size)).collect();
    let names: Vec<String> =
        groups.iter().enumerate().map(|(size, group)| format!("/L{size} {group}")).collect();
    let first_page = 5 + SIZES;
    let kids: Vec<String> =
        (0..COLUMNS * ROWS).map(|page| format!("{} 0 R", first_page + 2 * page)).collect();
    let all = groups.join(" ");
    objects.push(format!("<</Type/Catalog/Pages 2 0 R/OCProperties<</OCGs[{all}]/D<</Order[{all}]>>>>>>"));
    objects.push(format!("<</Type/Pages/Kids[{}]/Count {}>>", kids.join(" "), kids.len()));
    objects.push(format!(
        "<</Type/XObject/Subtype/Form/BBox[0 0 1200 1500]/Resources<</Properties<<{}>>>>/Length {}>>stream\n{form}\nendstream",
        names.join(" "),
        form.len() + 1
    ));
    objects.push("<<>>".to_owned());
    objects.extend((0..SIZES).map(|size| format!("<</Type/OCG/Name(size {size})>>")));
    let points = 72.0 / 25.4;
    for page in 0..COLUMNS * ROWS {
        let (x, y) = (10.0 - 190.0 * (page % COLUMNS) as f64, 10.0 - 277.0 * (page / COLUMNS) as f64);
        let content = format!(
            "q {points} 0 0 {points} 0 0 cm 10 10 190 277 re S 10 10 190 277 re W n 1 0 0 1 {x} {y} cm /All Do Q"
        );
        objects.push(format!(
            "<</Type/Page/Parent 2 0 R/MediaBox[0 0 595.276 841.89]/Resources<</XObject<</All 3 0 R>>>>/Contents {} 0 R>>",
            first_page + 2 * page + 1
        ));
        objects.push(format!("<</Length {}>>stream\n{content}\nendstream", content.len() + 1));
    }
    let mut file = b"%PDF-1.7\n".to_vec();
    let mut places = Vec::new();
    for (at, object) in objects.iter().enumerate() {
        places.push(file.len());
        file.extend(format!("{} 0 obj\n{object}\nendobj\n", at + 1).bytes());
    }
    let table = file.len();
    let rows: String = places.iter().map(|place| format!("{place:010} 00000 n \n")).collect();
    let count = objects.len() + 1;
    file.extend(
        format!("xref\n0 {count}\n0000000000 65535 f \n{rows}trailer<</Size {count}/Root 1 0 R>>\n").bytes(),
    );
    file.extend(format!("startxref\n{table}\n%%EOF\n").bytes());
    file
}

/// As many segments has the sheet, and all pages together thirty times as many.
#[divan::bench(args = [100_000 / 30, 50_000, 100_000])]
fn five_sizes_on_30_pages(bencher: Bencher, segments: usize) {
    found_in(bencher, segments, Pieces::Unlike);
}

/// Five of each piece in each size, so that no shape alone says how two pages lie.
#[divan::bench(args = [100_000])]
fn pieces_of_one_shape_on_30_pages(bencher: Bencher, segments: usize) {
    found_in(bencher, segments, Pieces::Alike);
}

fn found_in(bencher: Bencher, segments: usize, pieces: Pieces) {
    let file = pdf(segments, pieces);
    let asked = Asked { size: Some("layer size 2".parse().expect("a size")), ..Asked::default() };
    let found = find(&file, &asked).expect("found");
    let pages = found.pages.map(|told| told.drawings[0].pages.len());
    assert_eq!((found.outlines.len(), pages), (20, Some(COLUMNS * ROWS)));
    bencher.bench_local(|| find(&file, &asked).expect("found"));
}
