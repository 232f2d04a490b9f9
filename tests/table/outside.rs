//! What others do to the files: noticed, gone on with or told, never overwritten in silence.

use crate::bench::{Bench, keep, narrow_allowances};

const STEP: &str = "\n[[step]]\ndo = \"open-centre\"\npiece = \"back\"\n";

#[test]
fn a_recipe_that_others_changed_is_gone_on_with_and_can_be_undone() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    let (text, sheet, revision) = (bench.text("recipe.toml"), bench.text("pattern.svg"), table.revision());
    bench.write("recipe.toml", &format!("{text}{STEP}# by hand\n"));
    assert!(table.keep(&narrow_allowances(), revision).is_err(), "the page has not seen it");
    assert!(table.revision() > revision);
    let seen = table.seen();
    assert_eq!((seen.steps.len(), seen.outside), (2, None));
    assert!(seen.news.is_some_and(|news| news.contains("recipe")));
    assert!(bench.text("recipe.toml").ends_with("# by hand\n"), "what they wrote stays");
    assert_eq!(bench.text("pattern.svg"), bench.applied());
    table.undo(table.revision()).expect("undone");
    assert_eq!((bench.text("recipe.toml"), bench.text("pattern.svg")), (text, sheet));
}

#[test]
fn a_recipe_that_cannot_be_read_is_told_and_nothing_is_kept_until_it_can() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    let text = bench.text("recipe.toml");
    bench.write("recipe.toml", "step = 4");
    assert!(table.look());
    assert!(table.seen().outside.is_some_and(|outside| !outside.can_be_put_aside));
    assert!(table.keep(&narrow_allowances(), table.revision()).is_err());
    assert_eq!(bench.text("recipe.toml"), "step = 4");
    bench.write("recipe.toml", &text);
    assert!(table.look());
    assert_eq!(table.seen().outside, None);
    keep(&mut table, &narrow_allowances());
}

#[test]
fn a_sheet_that_others_changed_is_put_aside_only_when_that_is_said() {
    for restart in [false, true] {
        let bench = Bench::of_coat();
        let mut table = bench.table();
        keep(&mut table, &narrow_allowances());
        let ours = bench.text("pattern.svg");
        bench.write("pattern.svg", "<svg/>");
        if restart {
            drop(table);
            table = bench.table();
        } else {
            assert!(table.look());
        }
        assert!(table.seen().outside.is_some_and(|outside| outside.can_be_put_aside));
        assert!(table.keep(&narrow_allowances(), table.revision()).is_err());
        assert!(table.undo(table.revision()).is_err());
        assert_eq!(bench.text("pattern.svg"), "<svg/>");
        table.put_aside().expect("put aside");
        assert_eq!(
            (bench.text("pattern.svg"), bench.text("pattern-aside-1.svg")),
            (ours, "<svg/>".to_owned())
        );
        keep(&mut table, &narrow_allowances());
    }
}

#[test]
fn a_pattern_that_others_changed_is_read_anew() {
    let bench = Bench::of_coat();
    let mut table = bench.table();
    keep(&mut table, &narrow_allowances());
    let other = bench.text("coat.svg").replacen("<title>", "<title>Long ", 1) + "\n";
    bench.write("coat.svg", &other);
    assert!(table.look());
    assert!(table.seen().news.is_some_and(|news| news.contains("pattern")));
    assert_eq!(bench.text("pattern.svg"), bench.applied());
}
