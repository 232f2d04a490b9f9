//! Property tests that count the cases that reach their law.

use proptest::prelude::*;
use proptest::test_runner::{TestCaseError, TestRunner};

/// The cases of a property test that were tried, and those that reached the law.
#[derive(Debug, Default)]
pub struct Counted {
    tried: usize,
    reached: usize,
}

impl Counted {
    /// Tries a law on random cases; it says whether a case reached it. Under half of them is a failure.
    pub fn run<S: Strategy>(
        &mut self,
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
        (self.tried, self.reached) = counts.get();
        assert!(
            2 * self.reached >= self.tried,
            "only {} of {} cases reached the law",
            self.reached,
            self.tried
        );
    }
}
