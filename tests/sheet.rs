//! Reading and writing pattern sheets.

use retrue::sheet;

fn fixture(name: &str) -> Vec<u8> {
    std::fs::read(format!("{}/fixtures/{name}.svg", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

const FIXTURES: &[&str] = &["coat", "dress", "skirt-shaped-back", "awkward"];

#[test]
fn reads_every_fixture() {
    for name in FIXTURES {
        let sheet = sheet::read(&fixture(name), &Default::default()).unwrap_or_else(|e| panic!("{name}: {e}"));
        println!("{name}: {} pieces, {} seams", sheet.pattern.pieces().len(), sheet.pattern.seams().len());
        for note in &sheet.notes {
            println!("   {note}");
        }
        for seam in sheet.pattern.seams() {
            println!("   {} ease {}", seam.name(), seam.ease);
            println!("       {:?}", seam.first.edges().iter().map(|e| e.travel).collect::<Vec<_>>());
            println!("       {:?}", seam.second.edges().iter().map(|e| e.travel).collect::<Vec<_>>());
        }
        sheet.pattern.assert_sound();
    }
}
