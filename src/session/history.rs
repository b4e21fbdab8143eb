//! Undo and redo by snapshots.

/// Most steps kept.
const MOST: usize = 200;
/// Changes of the same thing within this time are one step, ms.
const ONE_STEP_MS: f64 = 1500.0;

/// What was, and what was undone.
#[derive(Debug, Clone)]
pub struct History<T> {
    past: Vec<T>,
    future: Vec<T>,
    last: Option<(String, f64)>,
}

impl<T> Default for History<T> {
    fn default() -> Self {
        Self { past: vec![], future: vec![], last: None }
    }
}

impl<T> History<T> {
    /// Keeps `before`, the state that is about to be changed. `what` names the thing changed: quick changes of one thing, such as the
    /// digits of one number, make one step. An empty name always makes a step of its own.
    pub fn keep(&mut self, before: T, what: &str, now_ms: f64) {
        let same = self
            .last
            .as_ref()
            .is_some_and(|(last, at)| !what.is_empty() && last == what && (0.0..ONE_STEP_MS).contains(&(now_ms - at)));
        if !same {
            self.past.push(before);
            if self.past.len() > MOST {
                self.past.remove(0);
            }
        }
        self.future.clear();
        self.last = Some((what.to_string(), now_ms));
    }
    /// The state before the last step; `now` is kept for redo.
    pub fn undo(&mut self, now: T) -> Option<T> {
        let before = self.past.pop()?;
        self.future.push(now);
        self.last = None;
        Some(before)
    }
    /// The state after the step last undone.
    pub fn redo(&mut self, now: T) -> Option<T> {
        let after = self.future.pop()?;
        self.past.push(now);
        self.last = None;
        Some(after)
    }
    /// Every state that is kept.
    pub fn each(&mut self, change: impl FnMut(&mut T)) {
        self.past.iter_mut().chain(&mut self.future).for_each(change);
    }
    /// Is there anything to undo, to redo?
    pub fn can(&self) -> (bool, bool) {
        (!self.past.is_empty(), !self.future.is_empty())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn back_and_forth() {
        let mut h = History::default();
        h.keep(1, "a", 0.0);
        h.keep(2, "b", 10.0);
        assert_eq!(h.undo(3), Some(2));
        assert_eq!(h.undo(2), Some(1));
        assert_eq!(h.undo(1), None);
        assert_eq!(h.can(), (false, true));
        assert_eq!(h.redo(1), Some(2));
        assert_eq!(h.redo(2), Some(3));
        assert_eq!(h.redo(3), None);
        h.undo(3);
        h.keep(2, "c", 20.0);
        assert_eq!(h.can(), (true, false), "a new change ends redo");
    }

    #[test]
    fn the_digits_of_one_number_are_one_step() {
        let mut h = History::default();
        for (i, at) in [0.0, 300.0, 900.0, 2000.0].into_iter().enumerate() {
            h.keep(i, "flow", at);
        }
        assert_eq!(h.undo(9), Some(0));
        let mut h = History::default();
        h.keep(0, "flow", 0.0);
        h.keep(1, "flow", 5000.0);
        h.keep(2, "", 5001.0);
        h.keep(3, "", 5002.0);
        let back: Vec<_> = std::iter::from_fn(|| h.undo(9)).collect();
        assert_eq!(back, [3, 2, 1, 0]);
    }

    #[test]
    fn it_does_not_grow_for_ever() {
        let mut h = History::default();
        for i in 0..1000 {
            h.keep(i, "", 0.0);
        }
        assert_eq!(std::iter::from_fn(|| h.undo(0)).count(), MOST);
    }
}
