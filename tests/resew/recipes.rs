//! Every shipped recipe is done, and what it makes is laid back.

use std::path::{Path, PathBuf};

use retrue::pattern::Pattern;
use retrue::resew::{ResewLimits, Resewn, resew};
use retrue::sheet;

use crate::run::Bench;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

/// The shipped recipes, each with the pattern that it names.
pub fn recipes() -> Vec<(PathBuf, PathBuf)> {
    let mut found = Vec::new();
    for folder in [examples(), examples().join("operations")] {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|extension| extension != "toml") {
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let pattern = text.lines().find_map(|line| line.strip_prefix("pattern = "));
            if let (true, Some(pattern)) = (text.contains("[[step]]"), pattern) {
                found.push((path.clone(), folder.join(pattern.trim_matches('"'))));
            }
        }
    }
    found.sort();
    found
}

pub fn read(bytes: &[u8]) -> Pattern {
    sheet::read(bytes, &Default::default()).unwrap().pattern
}

fn told(resewn: &Resewn) -> String {
    let mut text = String::new();
    for step in &resewn.steps {
        for group in &step.groups {
            let (held, redrawn) = (group.held.as_ref(), group.redrawn.as_ref());
            text += &format!(
                "  {}: {:?} -> {:?}: held {:.5} {:?}, redrawn {:.3}, doubled {:.4}, missing {:.4}, changed {:.4}, undeclared {:.4}, declared {:?}\n",
                step.name(),
                group.from.iter().map(|name| name.as_str()).collect::<Vec<_>>(),
                group.to.iter().map(|name| name.as_str()).collect::<Vec<_>>(),
                held.map_or(0.0, |held| held.distance),
                held.map(|held| (held.edge.as_ref().map(|edge| edge.to_string()), held.at)),
                redrawn.map_or(0.0, |redrawn| redrawn.distance),
                group.doubled,
                group.missing,
                group.changed,
                group.undeclared,
                group.declared.iter().map(|d| (d.kind, d.area)).collect::<Vec<_>>()
            );
        }
    }
    text
}

#[test]
fn every_shipped_recipe_is_laid_back_within_the_law() {
    let recipes = recipes();
    assert!(recipes.len() >= 21, "{}", recipes.len());
    let mut wrong = Vec::new();
    for (recipe, pattern) in recipes {
        let new = Bench::new().retrue(&format!("-q apply \"{}\"", recipe.display())).is_true().stdout();
        let (old, new) = (read(&std::fs::read(pattern).unwrap()), read(new.as_bytes()));
        let resewn = resew(&old, &new).unwrap();
        println!("{}\n{}", recipe.file_name().unwrap().display(), told(&resewn));
        let findings = resewn.findings(&ResewLimits::default());
        wrong.extend(findings.into_iter().map(|finding| {
            format!("{}: {}", recipe.display(), finding.sentence(retrue::units::Unit::Millimetre))
        }));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
