//! Walking seams, girths, the ledger and the checks.

use retrue::sheet;
use retrue::truing::{Limits, check, girths, walk_seam};
use retrue::units::Unit;

fn fixture(name: &str) -> retrue::pattern::Pattern {
    let path = format!("{}/fixtures/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read(&path).expect("the fixture is there");
    sheet::read(&text, &Default::default()).expect("the fixture is read").pattern
}

#[test]
fn explore() {
    for name in ["coat.svg", "dress.svg", "skirt-shaped-back.svg", "awkward.svg"] {
        let pattern = fixture(name);
        let start = std::time::Instant::now();
        let found = check(&pattern, &Limits::default());
        println!("== {name} {:?}", start.elapsed());
        for f in &found {
            println!("{:?} {}", f.weight, f.sentence(Unit::Millimetre));
        }
        for g in girths(&pattern) {
            println!("  {} {} {:?}", g.level, g.around, g.parts);
        }
        for id in pattern.seam_ids() {
            let w = walk_seam(&pattern, id).unwrap();
            println!(
                "  {} d={} ease={} pairs={} lone={} kinks={:?} {:?}",
                w.name,
                w.difference,
                w.ease,
                w.pairs.len(),
                w.lone.len(),
                (w.start.meeting, w.start.kink),
                (w.end.meeting, w.end.kink)
            );
        }
    }
}
