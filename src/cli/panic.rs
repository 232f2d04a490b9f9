//! A panic is a fault of the program. It reaches the user as one sentence, not as a backtrace.

use std::panic::{self, AssertUnwindSafe};
use std::sync::{Mutex, Once};

use crate::cli::errors::Failure;

/// What the last panic said, and where.
static LAST: Mutex<String> = Mutex::new(String::new());

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
            if let Ok(mut last) = LAST.lock() {
                *last = panic.to_string();
            }
            if with_trace {
                usual(panic);
            }
        }));
    });
    // Nothing that the work touches is used after a panic but the streams.
    panic::catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        let last = LAST.lock().map(|last| last.clone()).unwrap_or_default();
        Err(Failure::fault(last.replace('\n', " ")))
    })
}
