//! The shipped pattern sheets are true.

use std::path::Path;

use retrue::pattern::{EdgeRef, Pattern};
use retrue::truing::{Limits, Meeting, check, walk_seam};
use retrue::units::Unit;

fn fixtures() -> Vec<(String, Pattern)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures");
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let sheets = files.filter(|path| path.extension().is_some_and(|extension| extension == "svg"));
    let read = |path: std::path::PathBuf| {
        let sheet = retrue::sheet::read(&std::fs::read(&path).unwrap(), &Default::default()).unwrap();
        (path.file_name().unwrap().to_string_lossy().into_owned(), sheet.pattern)
    };
    let fixtures: Vec<_> = sheets.map(read).collect();
    assert!(fixtures.len() >= 4, "the fixtures are there");
    fixtures
}

fn fixture(name: &str) -> Pattern {
    fixtures().into_iter().find(|(file, _)| file == name).unwrap().1
}

#[test]
fn nothing_is_found_on_any_fixture() {
    for (name, pattern) in fixtures() {
        let found = check(&pattern, &Limits::default());
        let sentences: Vec<_> = found.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect();
        assert!(found.is_empty(), "{name}: {sentences:#?}");
    }
}

/// Hem, neck, armhole and cap of the coat run on across every seam that ends at them.
#[test]
fn edges_of_the_coat_run_on_across_its_seams() {
    let coat = fixture("coat.svg");
    let runs_on = |first: &str| {
        let edge: EdgeRef = first.parse().unwrap();
        let walk = walk_seam(&coat, coat.seam_named(&edge, None).unwrap()).unwrap();
        [walk.start, walk.end].map(|end| {
            assert_eq!(end.meeting, Meeting::RunOn, "{first} at {}", end.first.neighbour);
            end.kink.unwrap()
        })
    };
    for seam in ["back.side", "back.shoulder", "sleeve.underarm-front", "front-facing.shoulder"] {
        assert!(runs_on(seam).iter().all(|kink| kink.abs() < 0.01), "{seam}");
    }
}
