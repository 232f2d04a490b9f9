//! The PDF as other programs find it.

use std::process::Command;

use kurbo::Point;
use retrue::show::print::{Paper, Print, PrintOptions, SheetSize, Throw};

use crate::prints::{PRINTS, pattern, portrait};
use crate::programs::{Program, found};
use crate::reader;
use crate::run::Bench;

#[test]
fn a_viewer_is_told_not_to_scale_and_given_layers() {
    let print =
        Print::of(&pattern("fixtures/dress.svg"), &PrintOptions::usual("dress", portrait(SheetSize::A4)));
    let pdf = print.expect("pages").pdf().expect("a PDF");
    let text = String::from_utf8_lossy(&pdf);
    for needed in
        ["/PrintScaling /None", "/OCProperties", "(Cutting lines)", "(Seamlines)", "/PageLabels", "/Outlines"]
    {
        assert!(text.contains(needed), "{needed}");
    }
}

#[test]
fn the_same_pattern_gives_the_same_bytes() {
    let pattern = pattern("fixtures/coat.svg");
    let pdf = || {
        let options = PrintOptions::usual("coat", portrait(SheetSize::Letter));
        Print::of(&pattern, &options).expect("pages").pdf().expect("a PDF")
    };
    assert!(pdf() == pdf());
}

/// The lengths of what stands where bars do: level lines in the strip above the window, upright ones in that on the left.
fn bars_of(page: &reader::Seen) -> (Vec<f64>, Vec<f64>) {
    let strip = 12.0..20.0;
    let level = page.lines.iter().filter(|(a, b)| (a.y - b.y).abs() < 1e-3 && strip.contains(&a.y));
    let upright = page.lines.iter().filter(|(a, b)| (a.x - b.x).abs() < 1e-3 && strip.contains(&a.x));
    let lengths = |lines: &mut dyn Iterator<Item = &(Point, Point)>| -> Vec<f64> {
        lines.map(|(a, b)| a.distance(*b)).filter(|length| (98.0..105.0).contains(length)).collect()
    };
    (lengths(&mut level.into_iter()), lengths(&mut upright.into_iter()))
}

fn is_about(found: &[f64], wanted: &[f64]) -> bool {
    let mut found = found.to_vec();
    found.sort_by(f64::total_cmp);
    found.len() == wanted.len() && found.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 0.002)
}

/// As a reader finds them in the file, on every page of every print: 100 mm both ways, 4 in where the paper is in inches.
#[test]
fn every_page_in_the_file_has_bars_of_true_length() {
    let mut pages = 0;
    for printed in PRINTS.iter() {
        let pdf = printed.print.pdf().expect("a PDF");
        let wanted: &[f64] = match printed.options.paper {
            Paper::Sheets(SheetSize::A4 | SheetSize::A0, _) => &[100.0],
            _ => &[100.0, 101.6],
        };
        for (i, page) in reader::read(&pdf).pages.iter().enumerate() {
            let (level, upright) = bars_of(page);
            let paper = printed.options.paper.title();
            assert!(is_about(&level, wanted), "page {i} of {paper}: {level:?} across");
            assert!(is_about(&upright, wanted), "page {i} of {paper}: {upright:?} down");
            assert!(page.text().contains("do not cut where one is off"), "page {i} of {paper}");
            pages += 1;
        }
    }
    assert!(pages > 500, "{pages} pages");
}

/// With bars that measured 99 and 100.4 mm, lines are written longer across and shorter down, on paper of the same size.
#[test]
fn a_measured_printer_is_made_good_for_in_the_file() {
    let options = PrintOptions {
        measured: Some("100mm=99mm x 100.4mm".parse().expect("a measure")),
        ..PrintOptions::usual("awkward", portrait(SheetSize::A4))
    };
    let print = Print::of(&pattern("fixtures/awkward.svg"), &options).expect("pages");
    for page in reader::read(&print.pdf().expect("a PDF")).pages {
        assert!((page.width - 210.0).abs() < 0.005 && (page.height - 297.0).abs() < 0.005);
        let (level, upright) = bars_of(&page);
        assert!(is_about(&level, &[100.0 / 0.99]), "{level:?}");
        assert!(is_about(&upright, &[100.0 / 1.004]), "{upright:?}");
    }
}

/// For a projector each cloth is one page at true size, with bars and a grid of squares of 100 mm; the cutting lines are those
/// of a print.
#[test]
fn a_projector_throws_each_cloth_on_one_page_with_a_true_grid() {
    for (file, cloths) in [("fixtures/coat.svg", 2), ("fixtures/dress.svg", 2)] {
        let pattern = pattern(file);
        let options = PrintOptions::usual("thrown", Paper::Light(Throw::LightOnDark));
        let print = Print::of(&pattern, &options).expect("pages");
        let seen = reader::read(&print.pdf().expect("a PDF")).pages;
        assert_eq!((print.areas.len(), seen.len()), (cloths, cloths), "{file}");
        let pieces: usize = print.areas.iter().map(|area| area.pieces.len()).sum();
        assert_eq!(pieces, pattern.pieces().len());
        for (page, laid) in seen.iter().zip(&print.pages) {
            let (level, upright) = bars_of(page);
            assert!(is_about(&level, &[100.0, 101.6]) && is_about(&upright, &[100.0, 101.6]), "{file}");
            let across = |at: f64| (at - laid.window.x0) / 100.0;
            let lines = page.lines.iter().filter(|(from, to)| {
                (from.x - to.x).abs() < 0.01 && ((from.y - to.y).abs() - laid.window.height()).abs() < 0.01
            });
            let mut squares: Vec<f64> = lines.map(|(from, _)| across(from.x)).collect();
            squares.sort_by(f64::total_cmp);
            squares.dedup_by(|a, b| (*a - *b).abs() < 0.5);
            assert!(squares.len() > 11, "{squares:?}");
            assert!(squares.iter().all(|at| (at - at.round()).abs() < 1e-3), "{squares:?}");
        }
    }
}

/// A second reader opens it without a word, and finds its texts.
#[test]
fn other_programs_read_it() {
    let bench = Bench::new().with_fixture("dress.svg");
    bench.retrue("print dress.svg -o dress.pdf --title \"A dress\"").is_true();
    let run = |program: &str, arguments: &[&str]| {
        let done =
            Command::new(program).args(arguments).current_dir(bench.path(".")).output().expect("it runs");
        assert!(done.status.success(), "{program}: {}", String::from_utf8_lossy(&done.stderr));
        assert!(done.stderr.is_empty(), "{program}: {}", String::from_utf8_lossy(&done.stderr));
        String::from_utf8_lossy(&done.stdout).into_owned()
    };
    if found([Program("pdfinfo", "poppler-utils")]).is_some() {
        let told = run("pdfinfo", &["dress.pdf"]);
        assert!(told.contains("A dress"), "{told}");
    }
    if found([Program("pdftotext", "poppler-utils")]).is_some() {
        let text = run("pdftotext", &["-raw", "dress.pdf", "-"]);
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for needed in ["bodice-front", "cut 1 on the fold", "bust-dart, press to waist", "measure both bars"]
        {
            assert!(text.contains(needed), "{needed} is not in:\n{text}");
        }
    }
    if found([Program("qpdf", "qpdf")]).is_some() {
        let told = run("qpdf", &["--check", "dress.pdf"]);
        assert!(!told.to_lowercase().contains("warning"), "{told}");
    }
}
