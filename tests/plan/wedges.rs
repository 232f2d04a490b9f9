//! Panels of a skirt of gores, narrow at one end: what lies in them by its shape, and what is cut so that it does.

use crate::run::Bench;

const WAISTCOAT: &str = include_str!("wedges/waistcoat.svg");

/// Gores that are `more` mm wider all along than 180 mm at one end and 300 mm at the other; 620 mm long.
fn bench(copies: u32, more: f64) -> Bench {
    let (upper, lower) = (290.0 + more, 350.0 + more);
    let panels = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"900mm\" height=\"700mm\" viewBox=\"0 0 900 700\">\
         <path id=\"gore\" d=\"M110 30 L{upper} 30 L{lower} 650 L50 650 Z\"/></svg>"
    );
    let cloth = format!(
        "[[panels]]\ncloth = \"main\"\noutline = \"panels.svg#gore\"\ncopies = {copies}\n\
         [main]\ndirection = \"two-way\"\n"
    );
    Bench::new()
        .with_file("waistcoat.svg", WAISTCOAT)
        .with_file("panels.svg", panels)
        .with_file("cloth.toml", cloth)
}

/// The first plan is applied, true, and laid.
fn is_cut_from_gores(bench: &Bench, sheet: &str) {
    bench
        .retrue(&format!("plan {sheet} --cloth cloth.toml -o plans --alternatives 2 --iterations 60"))
        .is_true();
    bench.retrue(&format!("apply plans/1.toml {sheet} -o recut.svg")).is_true();
    bench.retrue("check recut.svg").is_true();
    bench.retrue("fit recut.svg --cloth cloth.toml").is_true();
    bench.retrue("lay recut.svg --cloth cloth.toml --iterations 300 -o layout.svg").is_true();
}

/// The back is 460 mm wide, each half of it 245 mm: less than a gore at its wide end, though no gore holds it.
#[test]
fn a_back_is_cut_until_each_part_lies_in_a_gore() {
    is_cut_from_gores(&bench(6, 0.0), "waistcoat.svg");
}

#[test]
fn a_half_back_that_is_narrower_than_a_gore_at_its_widest_is_cut_once_more() {
    let bench = bench(6, 0.0);
    bench.retrue("open-centre waistcoat.svg --piece back -o halves.svg").is_true();
    bench.retrue("fit halves.svg --cloth cloth.toml").is_untrue().prints("too wide by");
    is_cut_from_gores(&bench, "halves.svg");
}

/// By as much as is told a gore must be wider for the piece to lie in it.
#[test]
fn a_half_back_is_too_wide_by_as_much_as_a_gore_must_be_wider() {
    let found = |more: f64| {
        let bench = bench(6, more);
        bench.retrue("open-centre waistcoat.svg --piece back -o halves.svg").is_true();
        let report = bench.retrue("fit halves.svg --cloth cloth.toml --json").reports("fit");
        let pieces = report["pieces"].as_array().expect("pieces").clone();
        let back = pieces.into_iter().find(|piece| piece["piece"] == "back").expect("a back");
        let laid = bench.retrue("lay halves.svg --cloth cloth.toml --iterations 300 -o layout.svg --json");
        let lies = laid.reports("lay")["verdict"] == "fits";
        (back["fits"].as_bool(), back["lengthwise"]["too_wide"].as_f64().expect("mm"), lies)
    };
    let (fits, by, lies) = found(0.0);
    assert_eq!((fits, lies), (Some(false), false));
    assert!(by > 5.0 && by < 60.0, "{by}");
    let (fits, less, lies) = found(by - 1.0);
    assert_eq!((fits, lies), (Some(false), false));
    approx::assert_abs_diff_eq!(less, 1.0, epsilon = 0.01);
    let (fits, none, lies) = found(by + 0.5);
    assert_eq!((fits, none, lies), (Some(true), 0.0, true));
}

/// Where the back may not be cut it is told which piece is too wide, and by how much; where there are too few gores, how many
/// more are enough.
#[test]
fn what_is_missing_is_told_of_gores() {
    let whole = bench(6, 0.0).with_file("taste.toml", "whole = [\"back\"]\nstay = [\"back.side\"]\n");
    let plan = "plan waistcoat.svg --cloth cloth.toml --iterations 60 -o plans";
    let by = |bench: &Bench| {
        let report = bench.retrue("fit waistcoat.svg --cloth cloth.toml --json").reports("fit");
        report["pieces"][0]["lengthwise"]["too_wide"].as_f64().expect("mm")
    };
    let told = format!("the cloth is too narrow for `back` by {}", (by(&whole) * 10.0).ceil() / 10.0);
    whole.retrue(&format!("{plan} --taste taste.toml")).is_untrue().says(&told);
    bench(4, 0.0).retrue(plan).is_untrue().says("1 more panel like gore of the main cloth would be enough");
}
