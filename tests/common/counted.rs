//! Property tests that count the cases that reach their law.

use proptest::prelude::*;
use proptest::test_runner::{FileFailurePersistence, TestCaseError, TestRunner};

/// So many cases, of which those that failed are kept in a file. No more may be rejected than are tried, so that half of
/// them at least reach the law.
pub fn kept_in(file: &'static str, cases: u32) -> ProptestConfig {
    ProptestConfig {
        max_global_rejects: cases,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(file))),
        ..ProptestConfig::with_cases(cases)
    }
}

/// Tries a law on random cases; it says whether a case reached it. Under half of them is a failure.
pub fn counted<S: Strategy>(
    config: ProptestConfig,
    cases: S,
    law: impl Fn(S::Value) -> Result<bool, TestCaseError>,
) where
    S::Value: std::fmt::Debug,
{
    let counts = std::cell::Cell::new((0, 0));
    let mut runner = TestRunner::new(config);
    let done = runner.run(&cases, |case| {
        let (tried, reached) = counts.get();
        let is_reached = law(case)?;
        counts.set((tried + 1, reached + usize::from(is_reached)));
        Ok(())
    });
    if let Err(error) = done {
        panic!("{error}");
    }
    let (tried, reached) = counts.get();
    if std::env::var_os("RETRUE_TELL").is_some() {
        println!("{reached} of {tried} cases reached the law");
    }
    assert!(2 * reached >= tried, "only {reached} of {tried} cases reached the law");
}
