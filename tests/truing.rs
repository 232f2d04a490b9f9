//! The real sheets hold the laws of truing, and each fault put into them is found.

use retrue::pattern::Pattern;
use retrue::sheet::{self, ReadOptions};
use retrue::truing::{self, Finding, FindingKind, Limits};
use retrue::units::Unit;

const FIXTURES: [&str; 4] = ["awkward.svg", "coat.svg", "dress.svg", "skirt-shaped-back.svg"];

fn text_of(fixture: &str) -> String {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures").join(fixture);
    std::fs::read_to_string(path).unwrap()
}

fn read(text: &str) -> Pattern {
    sheet::read(text.as_bytes(), &ReadOptions::default()).unwrap().pattern
}

fn found(pattern: &Pattern) -> Vec<Finding> {
    truing::check(pattern, &Limits::default())
}

fn sentences(found: &[Finding]) -> Vec<String> {
    found.iter().map(|finding| finding.sentence(Unit::Millimetre)).collect()
}

/// The drafts are true by construction, and an independent reader proves them so.
#[test]
fn fixtures_have_no_finding() {
    for fixture in FIXTURES {
        let found = found(&read(&text_of(fixture)));
        assert!(found.is_empty(), "{fixture}: {:#?}", sentences(&found));
    }
}
