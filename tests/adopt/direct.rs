//! A page of cutting lines that no converter has touched: with the allowances taken off, it is the pattern.

use crate::common::commercial::{Drawn, page};
use crate::compare::{Adopted, adopted_is_the_pattern, read};
use crate::run::{Bench, fixture};

/// How far an edge may be off, mm: what a seamline that comes back is held to.
const OFF: f64 = 0.05;

/// Stretches of a pattern that its cutting lines may hide at most.
const FEW: usize = 6;

fn comes_back(pattern: &str) -> Adopted {
    let page = page(&read(&fixture(&format!("{pattern}.svg"))), Drawn::CuttingLine);
    let adopted = adopted_is_the_pattern(pattern, Drawn::CuttingLine, &page, OFF);
    assert!(adopted.trimmed <= FEW, "{pattern}: {} stretches are told as trimmed", adopted.trimmed);
    adopted
}

#[test]
fn the_coat_comes_back_from_its_cutting_lines() {
    assert!(comes_back("coat").edges > 40);
}

#[test]
fn the_dress_comes_back_from_its_cutting_lines() {
    assert!(comes_back("dress").edges > 20);
}

#[test]
fn the_skirt_comes_back_from_its_cutting_lines() {
    let adopted = comes_back("skirt-shaped-back");
    assert!(adopted.edges > 6);
    assert_eq!(adopted.trimmed, 0);
}

#[test]
fn the_awkward_pieces_come_back_from_their_cutting_lines() {
    assert!(comes_back("awkward").edges > 10);
}

/// No line runs at 15 mm inside a corner rounded to a radius of 10 mm; the edge is named, and its line in the map shown.
#[test]
fn an_allowance_deeper_than_the_shape_permits_names_its_edge() {
    let drawing = |radius: f64| {
        let side = 200.0 - radius;
        crate::drawn::page(&format!(
            "<path d='M100 100 H{0} A{radius} {radius} 0 0 1 300 {1} V300 H100 Z'/>",
            100.0 + side,
            100.0 + radius
        ))
    };
    let map = "[[piece]]\noutline = \"A\"\nname = \"cuff\"\ndrawn = \"cutting-line\"\nallowance = \"15mm\"\n\
               [[piece.edge]]\nat = \"1\"\nname = \"round\"\n[[piece.edge]]\nat = \"2\"\nname = \"lower\"\n\
               [[piece.edge]]\nat = \"3\"\nname = \"side\"\n";
    let adopt = |radius: f64| {
        let bench = Bench::new().with_file("cuff.svg", drawing(radius)).with_file("cuff.map.toml", map);
        let outcome = bench.retrue("adopt cuff.svg --map cuff.map.toml -o out.svg");
        (outcome, bench.path("out.svg").exists())
    };
    let (outcome, is_written) = adopt(20.0);
    outcome.is_true();
    assert!(is_written);
    let (outcome, is_written) = adopt(10.0);
    outcome
        .is_refused()
        .says("round: 15.0 mm cannot be the allowance: the cutting line has room for 10.0 mm");
    outcome.says("name = \"round\"");
    assert!(!is_written);
}
