//! Order in short lists.

use std::cmp::Ordering;

/// Puts a short list in order, equals staying as they stood. By insertion: the standard library's sort is made for long lists, and each kind of
/// list that used it added 4 kB to what a browser fetches.
pub fn arrange<T>(all: &mut [T], order: impl Fn(&T, &T) -> Ordering) {
    for i in 1..all.len() {
        let mut at = i;
        while at > 0 && order(&all[at - 1], &all[at]) == Ordering::Greater {
            all.swap(at - 1, at);
            at -= 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_the_standard_library_would() {
        let mut x = 1u64;
        for n in 0..60 {
            let mut ours: Vec<(u64, usize)> = (0..n)
                .map(|i| {
                    x = x.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                    (x >> 61, i)
                })
                .collect();
            let mut theirs = ours.clone();
            theirs.sort_by_key(|p| p.0);
            arrange(&mut ours, |a, b| a.0.cmp(&b.0));
            assert_eq!(ours, theirs);
        }
    }
}
