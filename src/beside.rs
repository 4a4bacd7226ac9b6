//! Work on a second thread beside the rest, where the machine grants one.

use std::thread::{Builder, ScopedJoinHandle, scope};

/// Work that goes on beside the rest.
#[derive(Debug)]
pub struct Beside<'s, A, F> {
    thread: Option<ScopedJoinHandle<'s, A>>,
    work: &'s F,
}

impl<A, F: Fn() -> A> Beside<'_, A, F> {
    /// What came of it; without a thread, or when that failed, it is done now.
    pub fn get(self) -> A {
        self.thread.and_then(|thread| thread.join().ok()).unwrap_or_else(self.work)
    }
}

/// Does the rest with `work` begun on a thread of its own, unless not `worth` one.
pub fn beside<A, B, F>(worth: bool, work: F, rest: impl FnOnce(Beside<'_, A, F>) -> B) -> B
where
    A: Send,
    F: Fn() -> A + Sync,
{
    scope(|scope| {
        let thread = if worth { Builder::new().spawn_scoped(scope, &work).ok() } else { None };
        rest(Beside { thread, work: &work })
    })
}

/// Both, at the same time.
pub fn both<A: Send, B>(first: impl Fn() -> A + Sync, second: impl FnOnce() -> B) -> (A, B) {
    beside(true, first, |first| {
        let second = second();
        (first.get(), second)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_are_done_with_a_thread_and_without() {
        assert_eq!(both(|| 2 + 3, || "five"), (5, "five"));
        for worth in [true, false] {
            assert_eq!(beside(worth, || vec![1, 2], |first| first.get().len() + 1), 3);
        }
    }
}
