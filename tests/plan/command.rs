//! `plan` on the command line.

use crate::run::Bench;

const CLOTH: &str = include_str!("../../examples/cloth.toml");

#[test]
fn plans_are_written_as_recipes_that_apply_and_fit() {
    let bench = Bench::new().with_fixture("coat.svg").with_file("cloth.toml", CLOTH);
    let planned = "plan coat.svg --cloth cloth.toml -o plans --alternatives 2 --iterations 50";
    let report = bench.retrue(&format!("{planned} --json")).is_true().reports("plan");
    assert_eq!(report["fits"], true);
    assert_eq!(report["alternatives"].as_array().expect("alternatives").len(), 2);
    for number in 1..=2 {
        bench.retrue(&format!("apply plans/{number}.toml coat.svg -o recut.svg --force")).is_true();
        bench.retrue("check recut.svg").is_true();
        bench.retrue("fit recut.svg --cloth cloth.toml").is_true();
        assert!(bench.text_of(&format!("plans/{number}.svg")).contains("<svg"));
    }
    bench.retrue(planned).is_refused().says("this folder holds plans already");
    bench.retrue(&format!("{planned} --force")).is_true().prints("seams added");
}
