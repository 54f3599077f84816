//! Sorting with one small copy of the algorithm for all types.
//!
//! The standard library's sort is compiled anew for each type and each order,
//! some 5 KB of wasm each time. Here the order of *places* is found once, behind
//! a function pointer, and the list is put in that order. Stable, n log n.

use std::cmp::Ordering;

/// Sorts by a comparison.
pub fn sort_by<T>(list: &mut Vec<T>, compare: impl Fn(&T, &T) -> Ordering) {
    let order = places(list.len(), &|a, b| match (list.get(a), list.get(b)) {
        (Some(a), Some(b)) => compare(a, b),
        _ => Ordering::Equal,
    });
    let mut old: Vec<Option<T>> = list.drain(..).map(Some).collect();
    list.extend(order.into_iter().filter_map(|i| old.get_mut(i)?.take()));
}

/// Sorts by a key.
pub fn sort_by_key<T, K: Ord>(list: &mut Vec<T>, key: impl Fn(&T) -> K) {
    sort_by(list, |a, b| key(a).cmp(&key(b)));
}

/// Sorts.
pub fn sort<T: Ord>(list: &mut Vec<T>) {
    sort_by(list, T::cmp);
}

/// The places `0..n` in order, by merging runs of growing length.
fn places(n: usize, compare: &dyn Fn(usize, usize) -> Ordering) -> Vec<usize> {
    let mut from: Vec<usize> = (0..n).collect();
    let mut to = Vec::with_capacity(n);
    let mut run = 1;
    while run < n {
        to.clear();
        let mut start = 0;
        while start < n {
            let middle = (start + run).min(n);
            let end = (start + 2 * run).min(n);
            let (mut a, mut b) = (start, middle);
            while let (true, Some(&x)) = (a < middle, from.get(a)) {
                match from.get(b).filter(|_| b < end) {
                    Some(&y) if compare(y, x) == Ordering::Less => {
                        to.push(y);
                        b += 1;
                    }
                    _ => {
                        to.push(x);
                        a += 1;
                    }
                }
            }
            to.extend(from.get(b..end).unwrap_or(&[]));
            start = end;
        }
        std::mem::swap(&mut from, &mut to);
        run *= 2;
    }
    from
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// The standard library's stable sort is the outside measure.
        #[test]
        fn sorts_as_the_standard_library_does(mut list: Vec<(u8, u16)>) {
            let mut other = list.clone();
            sort_by_key(&mut list, |x| x.0);
            other.sort_by_key(|x| x.0);
            prop_assert_eq!(&list, &other);
            sort(&mut list);
            other.sort();
            prop_assert_eq!(list, other);
        }
    }
}
