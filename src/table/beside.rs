//! Work that runs beside the table, on a thread of its own: one at a time, ended by a newer wish and when the table ends.
//!
//! It gives way to the hand: where the system lets a thread say so, it and those that it begins run only on what is left.

use std::sync::{Mutex, PoisonError};
use std::thread::JoinHandle;

use crate::cloth::search::Stop;

/// What runs beside the table.
#[derive(Default)]
pub(super) struct Beside {
    now: Mutex<Option<RunningWork>>,
}

/// Does something at last, whatever becomes of what is done before.
pub(super) struct AtLast<F: FnMut()>(pub(super) F);

impl<F: FnMut()> Drop for AtLast<F> {
    fn drop(&mut self) {
        (self.0)();
    }
}

struct RunningWork {
    stop: Stop,
    thread: JoinHandle<()>,
}

impl Beside {
    /// Begins work, which looks whether it is to stop. What ran before is stopped, and ended first.
    pub(super) fn begin(&self, stop: Stop, work: impl FnOnce() + Send + 'static) {
        let mut now = self.now.lock().unwrap_or_else(PoisonError::into_inner);
        let before = now.take();
        if let Some(before) = &before {
            before.stop.raise();
        }
        let thread = std::thread::spawn(move || {
            // What failed before is no reason not to begin.
            let _ = before.map(|before| before.thread.join());
            give_way();
            work();
        });
        *now = Some(RunningWork { stop, thread });
    }

    /// Asks what runs to stop: it goes on with what it found so far.
    pub(super) fn stop(&self) {
        if let Some(work) = &*self.now.lock().unwrap_or_else(PoisonError::into_inner) {
            work.stop.raise();
        }
    }

    /// Whether something runs.
    pub(super) fn is_busy(&self) -> bool {
        let now = self.now.lock().unwrap_or_else(PoisonError::into_inner);
        now.as_ref().is_some_and(|work| !work.thread.is_finished())
    }

    /// Stops what runs, and waits until it has ended.
    pub(super) fn end(&self) {
        let work = self.now.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(work) = work {
            work.stop.raise();
            let _ = work.thread.join();
        }
    }
}

/// Has the thread, and those that it begins, run only on what others leave.
#[cfg(target_os = "linux")]
fn give_way() {
    /// The least that there is.
    const LEAST: i32 = 19;
    // A system that does not let it gives it its share.
    let _ = rustix::process::nice(LEAST);
}

#[cfg(not(target_os = "linux"))]
fn give_way() {}
