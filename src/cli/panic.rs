//! A panic is a fault of the program. It reaches the user as one sentence, not as a backtrace.

use std::cell::RefCell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

use crate::cli::errors::Failure;

thread_local! {
    /// What the last panic of this thread said, and where.
    static LAST: RefCell<String> = const { RefCell::new(String::new()) };
}

/// That the hook is set, once for all threads.
static HOOK: Once = Once::new();

/// Does some work; a panic in it becomes a failure. With `RUST_BACKTRACE` set the trace is shown as well.
///
/// # Errors
///
/// What the work itself fails with, and a fault of the program.
pub fn caught<T>(work: impl FnOnce() -> Result<T, Failure>) -> Result<T, Failure> {
    HOOK.call_once(|| {
        let usual = panic::take_hook();
        let with_trace = std::env::var_os("RUST_BACKTRACE").is_some();
        panic::set_hook(Box::new(move |panic| {
            // A thread that is ending has nobody left to tell.
            let _ = LAST.try_with(|last| last.replace(panic.to_string()));
            if with_trace {
                usual(panic);
            }
        }));
    });
    // Nothing that the work touches is used after a panic but the streams.
    panic::catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        let last = LAST.take();
        Err(Failure::fault(last.replace('\n', " ")))
    })
}

#[cfg(test)]
mod tests {
    use std::sync::Barrier;

    use super::*;

    /// Ends only when both threads have panicked.
    struct BothPanicked<'a>(&'a Barrier);

    impl Drop for BothPanicked<'_> {
        fn drop(&mut self) {
            self.0.wait();
        }
    }

    #[test]
    fn threads_that_panic_at_once_each_tell_of_their_own() {
        let both = Barrier::new(2);
        let told = |name: &str| {
            let failed = caught(|| -> Result<(), Failure> {
                both.wait();
                let _met = BothPanicked(&both);
                panic!("torn by {name}")
            });
            failed.expect_err("a fault").line()
        };
        std::thread::scope(|scope| {
            let threads = ["weft", "warp"].map(|name| (name, scope.spawn(move || told(name))));
            for (name, thread) in threads {
                let told = thread.join().expect("a caught panic");
                assert!(told.contains(&format!("torn by {name}")), "{told}");
            }
        });
    }
}
